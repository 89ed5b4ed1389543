//! The cloth page in a browser: a lay that gets shorter while one looks on, a piece moved by keys alone,
//! and all of it with scripts off.

use std::time::Duration;

use fantoccini::actions::{
    InputSource as _, MOUSE_BUTTON_LEFT, MouseActions, PointerAction, TouchActions,
};
use fantoccini::key::Key;
use serde_json::json;

use crate::seat::{Seat, within};

/// The demo's first order is a mermaid skirt.
const CLOTH: &str = "/orders/9001/cloth";

fn key(key: Key) -> [char; 1] {
    [char::from(key)]
}

/// Would catch a search that shows nothing until it ends, or can't be stopped.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_lay_is_sought_while_she_looks_on() {
    let seat = Seat::new().await;
    seat.goto(CLOTH).await;
    assert!(seat.text("#answer").await.contains("Buy"));
    seat.tab_to("button[value='60']").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("document.querySelector('#progress')?.textContent.includes('seconds')")
        .await;
    seat.until("!document.querySelector('#progress').textContent.includes('shorter lay: 0 of')")
        .await;
    seat.tab_to("form[action$='/stop'] button").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("document.querySelector('button[value=\"10\"]')?.textContent.includes('Try again')")
        .await;
    seat.picture("cloth-laid").await;
}

/// Would catch a drag that the keyboard can't do: take a piece, move it, turn it, pin it.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_piece_is_moved_by_keys_alone() {
    let seat = Seat::new().await;
    seat.goto(CLOTH).await;
    seat.tab_to(".lay a").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("document.querySelector('.handform')").await;
    seat.tab_to(".handform button[value='right']").await;
    seat.keys(&key(Key::Right)).await;
    seat.until("location.search.includes('said=')").await;
    seat.until("document.querySelector('.said').textContent.length > 5")
        .await;
    seat.tab_to(".handform button[value='pin']").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("document.querySelector('.lay .pinned')").await;
    seat.until("document.querySelector('.said').textContent.startsWith('Pinned')")
        .await;
}

/// Would catch a page that does nothing without scripts.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn with_scripts_off_it_works_by_pressing() {
    let seat = Seat::new().await;
    seat.scripts(false).await;
    seat.size(360, 740).await;
    seat.goto(CLOTH).await;
    seat.tab_to("button[value='10']").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("document.querySelector('form[action$=\"/stop\"]')")
        .await;
    seat.tab_to("form[action$='/stop'] button").await;
    seat.keys(&key(Key::Enter)).await;
    seat.until("document.querySelector('button[value=\"10\"]')")
        .await;
    assert_eq!(seat.sideways().await, 0);
    seat.picture("cloth-360").await;
}

/// The middle of a piece's name on the lay, as the window sees it.
async fn on_piece(seat: &Seat, piece: usize) -> (f64, f64) {
    let at = seat
        .js(&format!(
            "(() => {{ const e = document.querySelector('.lay [data-of=\"{piece}\"] text'); e.scrollIntoView({{block: 'center', inline: 'center'}}); const b = e.getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2]; }})()"
        ))
        .await;
    (at[0].as_f64().expect("x"), at[1].as_f64().expect("y"))
}

/// A finger put down, drawn on at once, and lifted.
async fn finger(seat: &Seat, (x, y): (f64, f64), (dx, dy): (f64, f64)) {
    let after = |ms: u64| Some(Duration::from_millis(ms));
    let mut actions = TouchActions::new("finger".to_owned())
        .then(PointerAction::MoveTo {
            duration: after(0),
            x: x.round(),
            y: y.round(),
        })
        .then(PointerAction::Down {
            button: MOUSE_BUTTON_LEFT,
        });
    for _ in 0..4 {
        actions = actions.then(PointerAction::MoveBy {
            duration: after(20),
            x: (dx / 4.0).round(),
            y: (dy / 4.0).round(),
        });
    }
    actions = actions.then(PointerAction::Up {
        button: MOUSE_BUTTON_LEFT,
    });
    within(seat.browser.perform_actions(actions))
        .await
        .expect("the finger moves");
}

/// Would catch a piece that a finger can't take, a collision that is not shown while it is held, a lay that
/// is left with pieces over each other, and a page that no longer scrolls under the finger.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_piece_is_dragged_by_a_finger() {
    let seat = Seat::new().await;
    seat.size(360, 740).await;
    seat.devtools(
        "Emulation.setTouchEmulationEnabled",
        json!({"enabled": true, "maxTouchPoints": 1}),
    )
    .await;
    seat.goto(CLOTH).await;
    // Resting on a piece takes it; over another, both are marked, and where it may lie is shown.
    let at = on_piece(&seat, 0).await;
    let by = seat
        .js("(() => { const b = i => document.querySelector(`.lay [data-of=\"${i}\"] text`).getBoundingClientRect(); return [b(1).x - b(0).x, b(1).y - b(0).y]; })()")
        .await;
    let by = (by[0].as_f64().unwrap(), by[1].as_f64().unwrap());
    let touch = async |kind: &str, at: &[(f64, f64)]| {
        let points: Vec<_> = at.iter().map(|(x, y)| json!({"x": x, "y": y})).collect();
        seat.devtools(
            "Input.dispatchTouchEvent",
            json!({"type": kind, "touchPoints": points}),
        )
        .await;
    };
    touch("touchStart", &[at]).await;
    tokio::time::sleep(Duration::from_millis(700)).await;
    for step in 1..=8 {
        let part = f64::from(step) / 8.0;
        touch("touchMove", &[(at.0 + by.0 * part, at.1 + by.1 * part)]).await;
    }
    seat.until("document.querySelector('.lay .clash') && document.querySelector('.lay .held.off')")
        .await;
    // What is in the hand lies above all others, its outline where the piece would be.
    let above = "(l => l && l.matches('.lifted.off') && l.querySelector('.cut').getBoundingClientRect().x === document.querySelector('.held .cut').getBoundingClientRect().x)(document.querySelector('.lay > :nth-last-child(1 of :not(.ghost))'))";
    assert_eq!(seat.js(above).await, json!(true));
    seat.picture("cloth-finger-360").await;
    touch("touchEnd", &[]).await;
    seat.until("location.search.includes('said=')").await;
    seat.until("document.querySelector('.handform')").await;
    // It lies where it may: nothing is over anything, as the server sees it.
    let over = "fetch('/orders/9001/cloth/try?for=shell&piece=0&dx=0&dy=0').then(r => r.json()).then(t => t.over.length)";
    assert_eq!(seat.js(over).await, json!(0));
    // A piece in the hand goes with the finger at once.
    let taken = seat
        .js("Number(document.querySelector('.lay .inhand').dataset.of)")
        .await;
    let piece = usize::try_from(taken.as_u64().unwrap()).unwrap();
    let at = on_piece(&seat, piece).await;
    // The page that tells it has come before another is opened, or it would come instead of that one.
    assert_eq!(seat.js("window.was = true").await, json!(true));
    finger(&seat, at, (8.0, 16.0)).await;
    seat.until("!window.was && document.readyState === 'complete'")
        .await;
    assert_eq!(
        seat.js("location.search.includes('said=')").await,
        json!(true)
    );
    // Another one lets the page scroll, if the finger goes on at once. However long this computer takes over
    // the finger's way, it never rests: the clock by which it would is not wound.
    seat.goto(CLOTH).await;
    let unwound = "(() => { const wound = window.setTimeout; window.setTimeout = (f, ms, ...rest) => ms === 400 ? 0 : wound(f, ms, ...rest); return true; })()";
    assert_eq!(seat.js(unwound).await, json!(true));
    let at = on_piece(&seat, 0).await;
    let before = seat.js("scrollY").await;
    finger(&seat, at, (0.0, -160.0)).await;
    seat.until(&format!("scrollY !== {before}")).await;
    assert_eq!(
        seat.js("document.querySelectorAll('.held').length").await,
        json!(0)
    );
}

/// Would catch a piece that goes out of the hand when it moves along the cloth past another one, and keys that
/// work once only, because the focus is lost with the page.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn keys_move_a_piece_again_and_again() {
    let seat = Seat::new().await;
    seat.goto(&format!("{CLOTH}?for=shell&piece=0#hand")).await;
    seat.until("document.activeElement.matches('.handform button')")
        .await;
    let name = "document.querySelector('.handform legend').textContent.replace(/^[0-9]+ /, '')";
    let held = seat.js(name).await;
    for _ in 0..3 {
        let was = "window.was = true";
        assert_eq!(seat.js(was).await, json!(true));
        seat.keys(&key(Key::Right)).await;
        seat.until("!window.was && document.readyState === 'complete'")
            .await;
        seat.until("document.activeElement.matches('.handform button')")
            .await;
        assert_eq!(seat.js(name).await, held);
    }
    // From the lay itself as well, and the focus stays there.
    seat.js("(() => { document.querySelector('.lay .inhand').focus(); window.was = true; return true; })()")
        .await;
    seat.keys(&key(Key::Left)).await;
    seat.until("!window.was && document.activeElement.matches('.lay .inhand')")
        .await;
    assert_eq!(seat.js(name).await, held);
}

/// Would catch a piece that seems to lie where it may not: let go after the cloth became too narrow in another
/// window, it lies where it lay, and that is said; put back by Escape, it is not taken in the hand instead.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_piece_that_is_refused_goes_back() {
    let seat = Seat::new().await;
    seat.size(1280, 900).await;
    seat.goto(CLOTH).await;
    let at = on_piece(&seat, 0).await;
    let mouse = async |kind: &str, (x, y): (f64, f64)| {
        seat.devtools(
            "Input.dispatchMouseEvent",
            json!({"type": kind, "x": x, "y": y, "button": "left", "buttons": 1, "clickCount": 1}),
        )
        .await;
    };
    let drag = async || {
        mouse("mouseMoved", at).await;
        mouse("mousePressed", at).await;
        for step in 1..=4 {
            mouse("mouseMoved", (at.0 + 4.0 * f64::from(step), at.1)).await;
        }
        seat.until("document.querySelector('.lay .held[transform]')")
            .await;
    };
    let lies = "document.querySelectorAll('.lay [data-of][transform], .held, .lifted, .taken, .ghost, .clash, .off').length";
    drag().await;
    seat.keys(&key(Key::Escape)).await;
    seat.until(&format!("{lies} === 0")).await;
    mouse("mouseReleased", (at.0 + 16.0, at.1)).await;
    tokio::time::sleep(Duration::from_millis(400)).await;
    assert_eq!(seat.js("location.search + location.hash").await, json!(""));
    drag().await;
    let narrow = "fetch('/orders/9001/cloth/page', { method: 'POST', body: new URLSearchParams({ for: 'shell', unit: 'in', width: '12 in' }) }).then(r => r.ok)";
    assert_eq!(seat.js(narrow).await, json!(true));
    mouse("mouseReleased", (at.0 + 16.0, at.1)).await;
    seat.until("document.querySelector('.said').textContent.includes('lies where it lay')")
        .await;
    seat.until(&format!("{lies} === 0")).await;
    assert_eq!(seat.js("location.search + location.hash").await, json!(""));
    seat.picture("cloth-refused").await;
    // The next press on it is one again.
    tokio::time::sleep(Duration::from_millis(400)).await;
    // By the driver's own mouse: it leads to another page, and a release sent to the window itself is not
    // always answered by a window that goes away.
    let press = MouseActions::new("mouse".to_owned())
        .then(PointerAction::MoveTo {
            duration: None,
            x: at.0.round(),
            y: at.1.round(),
        })
        .then(PointerAction::Down {
            button: MOUSE_BUTTON_LEFT,
        })
        .then(PointerAction::Up {
            button: MOUSE_BUTTON_LEFT,
        });
    within(seat.browser.perform_actions(press))
        .await
        .expect("the piece is pressed");
    seat.until("location.search.includes('piece=0')").await;
}
