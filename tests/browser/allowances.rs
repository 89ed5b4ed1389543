//! Her table of allowances in a browser: typed in by keyboard on a phone's width, with scripts off, a slip
//! told at its box; then an order drawn by it, and a toile.

use fantoccini::key::Key;

use crate::seat::Seat;

async fn fill(seat: &Seat, name: &str, text: &str) {
    seat.tab_to(&format!("[name=\"{name}\"]")).await;
    // Tab into a box chooses all that stands in it.
    seat.keys(&[char::from(Key::Delete)]).await;
    seat.types(text).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_table_is_typed_in_and_a_toile_is_cut_by_keyboard_without_scripts() {
    let seat = Seat::new().await;
    seat.size(360, 740).await;
    seat.scripts(false).await;
    seat.goto("/settings/allowances").await;
    fill(&seat, "cloth/side", "1 1/4").await;
    fill(&seat, "cloth/hem", "deep").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("document.querySelector('#faults li a')").await;
    assert_eq!(seat.sideways().await, 0);
    let typed = seat
        .js("document.querySelector('[name=\"cloth/side\"]').value")
        .await;
    assert_eq!(typed, "1 1/4");
    fill(&seat, "cloth/hem", "1/2").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("document.querySelector('.said')?.textContent === 'Kept.'")
        .await;

    seat.goto("/orders/9001").await;
    seat.says(".about", "By your table").await;
    seat.tab_to("button[name=do][value=stage]").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("[...document.querySelectorAll('.noteline')].some(n => n.textContent.includes('A toile first'))")
        .await;
    assert_eq!(seat.sideways().await, 0);
    seat.goto("/orders/9001/paper").await;
    seat.says(".top", "A toile. Every sheet says so.").await;
    seat.says(".top", "The toile is cut without").await;
    assert_eq!(seat.sideways().await, 0);
    assert!(seat.console().await.iter().all(|m| m.contains("422")));
}
