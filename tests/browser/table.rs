//! The draft table in a browser: what a hand meets on a phone, the tape by press and by keys, taking back,
//! and papers chosen by keyboard.

use fantoccini::actions::{InputSource as _, KeyAction, KeyActions};
use fantoccini::key::Key;

use crate::seat::{Seat, within};

const DRAFT: &str = "/orders/9001/draft";

fn key(key: Key) -> [char; 1] {
    [char::from(key)]
}

/// Presses a key while others are held.
async fn chord(seat: &Seat, held: &[Key], key: char) {
    let mut actions = KeyActions::new("chord".to_owned());
    for k in held {
        actions = actions.then(KeyAction::Down {
            value: char::from(*k),
        });
    }
    actions = actions
        .then(KeyAction::Down { value: key })
        .then(KeyAction::Up { value: key });
    for k in held {
        actions = actions.then(KeyAction::Up {
            value: char::from(*k),
        });
    }
    within(seat.browser.perform_actions(actions))
        .await
        .expect("keys are pressed");
}

/// Would catch numbers that lie under the hand, and marks too small for a finger, on a small phone and on
/// a large one.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn on_a_phone_paper_numbers_and_hand_are_seen_together() {
    let seat = Seat::new().await;
    for (wide, high) in [(360, 640), (360, 740), (412, 915)] {
        seat.size(wide, high).await;
        seat.goto(DRAFT).await;
        seat.until("document.querySelector('#pattern')").await;
        let under = "document.querySelector('#numbers').getBoundingClientRect().bottom - document.querySelector('#hand').getBoundingClientRect().top";
        let under = seat.js(under).await.as_f64().unwrap_or(f64::MAX);
        assert!(
            under <= 0.5,
            "{under} px of the numbers under the hand at {wide} x {high}"
        );
        let small = "[...document.querySelectorAll('#pattern .marks a')].map(a => a.getBoundingClientRect()).filter(r => r.width < 44 || r.height < 44).length";
        assert_eq!(seat.js(small).await, 0, "{wide} x {high}");
        assert_eq!(seat.sideways().await, 0);
    }
}

/// Where the hand is read: how much of the numbers lies under it, and which of its words are broken in
/// the middle or stand on top of one another.
const HAND: &str = "(() => { const hand = document.querySelector('#hand'); \
    const under = document.querySelector('#numbers').getBoundingClientRect().bottom - hand.getBoundingClientRect().top; \
    const name = hand.querySelector('.what b'); \
    const range = document.createRange(); range.selectNodeContents(name); \
    const words = name.textContent.trim().split(/\\s+/).length; \
    const lines = new Set([...range.getClientRects()].map(r => Math.round(r.top))).size; \
    const all = [...hand.querySelectorAll('button, .pick label, .box')].filter(e => e.getClientRects().length).map(e => e.getBoundingClientRect()); \
    const small = all.filter(r => r.height < 43.5 || r.width < 43.5 || r.bottom > innerHeight + 0.5 || r.right > innerWidth).length; \
    const over = all.some((a, i) => all.slice(i + 1).some(b => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1)); \
    return { under, broken: lines > words, small, over }; })()";

/// Would catch a hand full of words that covers the numbers, a name broken letter by letter, and presses
/// that are small or lie on one another: with a choice changed, taken back and put again, scripts on and off.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_hand_full_of_words_leaves_the_numbers_free() {
    let seat = Seat::new().await;
    // All three ways back stand in the hand: the usual value, take back, put again.
    for value in ["1 3/8", "1 5/8"] {
        seat.goto(&format!("{DRAFT}?hand=hip%20ease")).await;
        seat.tab_to("#hand-box").await;
        seat.js("document.querySelector('#hand-box').select()")
            .await;
        seat.types(value).await;
        seat.keys(&key(Key::Enter)).await;
        // It has come to the hand before the page is left.
        let eighths = value.replace("1 ", "").replace('/', "⁄");
        seat.until(&format!(
            "document.querySelector('#backs')?.textContent.includes('{eighths}')"
        ))
        .await;
        seat.until("document.querySelector('#hand button[value=usual]')")
            .await;
    }
    seat.goto(&format!("{DRAFT}?hand=hip%20ease")).await;
    seat.until("document.querySelector('#table.live')").await;
    chord(&seat, &[Key::Control], 'z').await;
    seat.until("document.querySelector('#hand button[value=again]') && document.querySelector('#hand button[value=back]')")
        .await;
    for scripts in [true, false] {
        seat.scripts(scripts).await;
        for (wide, high) in [(320, 640), (360, 640), (360, 740)] {
            seat.size(wide, high).await;
            for choice in [
                "hip ease",
                "train shape",
                "tightening way",
                "bustle",
                "flare",
            ] {
                seat.goto(&format!("{DRAFT}?hand={}", choice.replace(' ', "%20")))
                    .await;
                let seen = seat.js(HAND).await;
                let place = format!("{choice} at {wide} x {high}, scripts {scripts}: {seen}");
                assert!(seen["under"].as_f64().unwrap_or(f64::MAX) <= 0.5, "{place}");
                assert_eq!(seen["broken"], false, "{place}");
                assert_eq!(seen["small"], 0, "{place}");
                assert_eq!(seen["over"], false, "{place}");
                assert_eq!(seat.sideways().await, 0, "{place}");
            }
        }
    }
}

/// Would catch a length that is said where nobody sees it: it stands under the paper, and is drawn on it.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn the_tape_is_laid_by_press_by_keys_and_with_scripts_off() {
    let seat = Seat::new().await;
    seat.goto(DRAFT).await;
    // Along an edge, by one key.
    seat.tab_to("#paper").await;
    seat.types("e").await;
    seat.says("#measured", "Front, waist: ").await;
    seat.until("document.querySelector('#pattern #trace .walked')")
        .await;
    seat.types("e").await;
    seat.says("#measured", "Front, side: ").await;
    // Between two points, by keys alone.
    seat.types("m").await;
    seat.until("document.activeElement.id === 'a'").await;
    seat.keys(&key(Key::Down)).await;
    seat.tab_to("#b").await;
    seat.keys(&key(Key::Down)).await;
    seat.keys(&key(Key::Down)).await;
    seat.says("#measured", "straight").await;
    seat.until("document.querySelector('#pattern #trace line')")
        .await;
    // The marks are out of its way meanwhile, and come back.
    let gone =
        "getComputedStyle(document.querySelector('#pattern .marks')).visibility === 'hidden'";
    seat.until(gone).await;
    seat.keys(&key(Key::Escape)).await;
    seat.until(&format!("!({gone})")).await;
    seat.until("document.activeElement.id === 'paper' && !document.querySelector('#trace')")
        .await;
    // Two presses beside the side seam are taken on it.
    seat.js("document.querySelector('[data-panel=measure]').click()")
        .await;
    for part in ["0.3", "0.6"] {
        let press = format!(
            "(() => {{ const e = document.querySelector('#pattern .piece .stitch'); const p = e.getPointAtLength(e.getTotalLength() * {part}).matrixTransform(e.getScreenCTM()); \
             const svg = document.querySelector('#pattern'); \
             svg.dispatchEvent(new PointerEvent('pointerdown', {{ bubbles: true, clientX: p.x, clientY: p.y }})); \
             svg.dispatchEvent(new PointerEvent('pointerup', {{ bubbles: true, clientX: p.x, clientY: p.y }})); \
             svg.dispatchEvent(new PointerEvent('click', {{ bubbles: true, clientX: p.x + 4, clientY: p.y }})); return true; }})()"
        );
        seat.js(&press).await;
        seat.until("document.querySelectorAll('#trace circle').length")
            .await;
    }
    seat.says("#measured", "straight").await;
    assert!(!seat.text("#measured").await.contains("beside the pieces"));

    // With scripts off: the panel opens, the form answers at the paper.
    seat.size(360, 740).await;
    seat.scripts(false).await;
    seat.goto(DRAFT).await;
    seat.tab_to("a[href='#measure']").await;
    seat.keys(&key(Key::Enter)).await;
    seat.tab_to("#a").await;
    seat.keys(&key(Key::Down)).await;
    seat.tab_to("#b").await;
    seat.keys(&key(Key::Down)).await;
    seat.keys(&key(Key::Down)).await;
    seat.tab_to("#measure button").await;
    seat.keys(&key(Key::Enter)).await;
    seat.says("#measured", "straight").await;
    seat.goto(&format!("{DRAFT}#lines")).await;
    seat.tab_to("#lines a").await;
    seat.keys(&key(Key::Enter)).await;
    seat.says("#lines", "hidden").await;
    assert_eq!(seat.sideways().await, 0);
}

/// Would catch keys that take back only with the paper focused, or that take away what a box is typing.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn control_z_takes_back_anywhere_but_in_a_box() {
    let seat = Seat::new().await;
    seat.goto(DRAFT).await;
    let now = seat.js("document.querySelector('#hand-box').value").await;
    seat.tab_to("#hand-slide").await;
    seat.keys(&key(Key::Right)).await;
    seat.until("document.querySelector('#backs').textContent.includes('Take back: Hip ease')")
        .await;
    chord(&seat, &[Key::Control], 'z').await;
    seat.until("document.querySelector('#backs')?.textContent.includes('Put again: Hip ease')")
        .await;
    assert_eq!(
        seat.js("document.querySelector('#hand-box').value").await,
        now
    );
    chord(&seat, &[Key::Control, Key::Shift], 'z').await;
    seat.until("document.querySelector('#backs')?.textContent.includes('Take back: Hip ease')")
        .await;
    seat.tab_to("#hand-box").await;
    chord(&seat, &[Key::Control], 'z').await;
    seat.until("document.querySelector('#backs').textContent.includes('Take back: Hip ease')")
        .await;
}

/// Would catch a value that falls back when she rests over the box before she presses Enter, and an arrow
/// that goes on from where the slide was.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_typed_value_stays_when_enter_comes_late_and_arrows_go_on_from_it() {
    let seat = Seat::new().await;
    seat.goto(&format!("{DRAFT}?hand=hip%20ease")).await;
    seat.tab_to("#hand-box").await;
    let told = "/ to 1\\W*3⁄8/.test(document.querySelector('#backs')?.textContent)";
    seat.js("document.querySelector('#hand-box').select()")
        .await;
    seat.types("1 3/8").await;
    seat.until(told).await;
    assert_eq!(
        seat.js("document.querySelector('#hand-slide').value").await,
        "1.375"
    );
    // Marked, so that the next answer is known to be another.
    let marked = "(document.querySelector('#backs').dataset.seen = 'yes')";
    seat.js(marked).await;
    seat.keys(&key(Key::Enter)).await;
    seat.until(
        "document.querySelector('#backs') && !document.querySelector('#backs').dataset.seen",
    )
    .await;
    assert_eq!(seat.js(told).await, true);
    seat.js(marked).await;
    seat.keys(&key(Key::Up)).await;
    seat.until(
        "document.querySelector('#backs') && !document.querySelector('#backs').dataset.seen",
    )
    .await;
    let on = ["value", "getAttribute('aria-valuetext')"].map(|what| {
        let id = if what == "value" { "box" } else { "slide" };
        format!("document.querySelector('#hand-{id}').{what}")
    });
    assert_eq!(seat.js(&on[0]).await, "1 1/2");
    assert_eq!(seat.js(&on[1]).await, "1 1/2 in");
}

/// Would catch a page that is loaded anew, with the focus lost, at each arrow in the list of papers.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn papers_are_chosen_by_arrows_and_the_focus_stays() {
    let seat = Seat::new().await;
    seat.goto("/orders/9001/paper").await;
    seat.js("(window.stays = true)").await;
    let before = seat.text("#count").await;
    seat.tab_to("input[name=paper]").await;
    seat.keys(&key(Key::Down)).await;
    seat.keys(&key(Key::Down)).await;
    seat.until("location.search.includes('paper=a3')").await;
    seat.until("document.activeElement.value === 'a3' && window.stays")
        .await;
    assert_ne!(seat.text("#count").await, before);
}
