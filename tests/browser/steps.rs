//! Step by step and before and after in a browser: by keyboard alone, with scripts off, on a phone.

use fantoccini::key::Key;

use crate::seat::Seat;

/// The demo's first order is a mermaid skirt.
const DRAFT: &str = "/orders/9001/draft";

fn key(key: Key) -> [char; 1] {
    [char::from(key)]
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn the_steps_turn_by_keys_and_the_numbers_hide() {
    let seat = Seat::new().await;
    seat.goto(&format!("{DRAFT}/steps/1")).await;
    // Would catch a turn that loads the whole page: full screen would end with it.
    seat.js("(window.stays = true)").await;
    for _ in 0..6 {
        let next = seat
            .path()
            .await
            .rsplit('/')
            .next()
            .and_then(|n| n.parse::<u32>().ok())
            .expect("a step")
            + 1;
        seat.keys(&key(Key::Right)).await;
        seat.until(&format!("location.pathname.endsWith('/steps/{next}')"))
            .await;
        seat.until(&format!(
            "document.querySelector('.which').textContent.includes('step {next} of')"
        ))
        .await;
    }
    assert_eq!(seat.js("window.stays === true").await, true);
    // The number of this step stands in the drawing, until it is hidden.
    seat.until("document.querySelector('.sofar .huge')?.textContent.includes('½')")
        .await;
    seat.tab_to("#steps .paper").await;
    seat.types("h").await;
    seat.until("document.querySelector('#numbers').textContent === 'Show the numbers'")
        .await;
    seat.until("!document.querySelector('.sofar .huge').textContent.trim()")
        .await;
    seat.until("document.querySelector('h1 .blank')").await;
    // It stays hidden on the next step, and the paper keeps the focus.
    seat.keys(&key(Key::Right)).await;
    seat.until("location.pathname.endsWith('/steps/8') && location.search === '?numbers=hidden'")
        .await;
    seat.until("document.activeElement.matches('.paper')").await;
    seat.types("h").await;
    seat.until("document.querySelector('#numbers').textContent === 'Hide the numbers'")
        .await;
    // The browser's own way back goes a step back.
    seat.js("history.back()").await;
    seat.until("location.search === '?numbers=hidden'").await;
    seat.until("document.querySelector('#numbers').textContent === 'Show the numbers'")
        .await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn on_the_wall_there_is_nothing_but_the_step() {
    let seat = Seat::new().await;
    seat.goto(&format!("{DRAFT}/steps/7")).await;
    seat.tab_to("#wall").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("getComputedStyle(document.querySelector('.house')).display === 'none'")
        .await;
    // A presenter's keys turn the steps.
    seat.keys(&key(Key::PageDown)).await;
    seat.until("location.pathname.endsWith('/steps/8')").await;
    seat.until("getComputedStyle(document.querySelector('.house')).display === 'none'")
        .await;
    seat.tab_to("#wall").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("getComputedStyle(document.querySelector('.house')).display !== 'none'")
        .await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn the_steps_work_with_scripts_off() {
    let seat = Seat::new().await;
    seat.scripts(false).await;
    seat.goto(&format!("{DRAFT}/steps/3")).await;
    seat.tab_to("#numbers").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("document.querySelector('h1 .blank')").await;
    seat.tab_to("#next").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("location.pathname.endsWith('/steps/4') && document.querySelector('#numbers').textContent === 'Show the numbers'").await;
    seat.tab_to("#wall").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("getComputedStyle(document.querySelector('.house')).display === 'none'")
        .await;
    // The list of all steps leads to each of them.
    seat.goto(&format!("{DRAFT}/steps?numbers=hidden")).await;
    seat.tab_to("[aria-label='Step 5']").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("location.pathname.endsWith('/steps/5') && location.search === '?numbers=hidden'")
        .await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn on_a_phone_the_next_step_is_in_reach() {
    let seat = Seat::new().await;
    seat.size(360, 740).await;
    for step in [7, 13, 43] {
        seat.goto(&format!("{DRAFT}/steps/{step}")).await;
        assert_eq!(seat.sideways().await, 0);
        let there = "(() => { const r = document.getElementById('next').getBoundingClientRect(); return r.height >= 44 && r.bottom <= innerHeight && r.top > innerHeight / 2; })()";
        assert_eq!(seat.js(there).await, true, "step {step}");
        // Lettering can be read from where the phone lies.
        let size = seat.js("Math.min(...[...document.querySelectorAll('.sofar .now')].map(t => t.getBoundingClientRect().height))").await;
        assert!(size.as_f64().is_none_or(|s| s > 8.0), "step {step}: {size}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn two_values_are_compared_and_one_is_kept() {
    let seat = Seat::new().await;
    for scripts in [true, false] {
        seat.scripts(scripts).await;
        seat.goto(&format!("{DRAFT}/compare")).await;
        assert!(seat.text("h1").await.contains("from"));
        seat.tab_to("#f-to").await;
        // Select what stands there, then type over it.
        seat.js("document.activeElement.select()").await;
        seat.types(if scripts { "6" } else { "7" }).await;
        seat.keys(&key(Key::Enter)).await;
        seat.until("location.search.includes('to=')").await;
        assert!(
            seat.text("h1")
                .await
                .ends_with(if scripts { "6" } else { "7" })
        );
        seat.tab_to(".tell .press.main").await;
        seat.keys(&key(Key::Enter)).await;
        seat.until("location.pathname.endsWith('/draft')").await;
    }
}
