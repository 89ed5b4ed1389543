//! The cloth page in a browser: a lay that gets shorter while one looks on, a piece moved by keys alone,
//! and all of it with scripts off.

use fantoccini::key::Key;

use crate::seat::Seat;

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
