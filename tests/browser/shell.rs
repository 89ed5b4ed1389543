//! The shell in a browser: coming in, the keys, and care for what was typed.

use fantoccini::key::Key;

use crate::seat::{Seat, request};

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn coming_in_by_the_start_address_and_listing_the_keys() {
    let seat = Seat::new().await;
    // The token has left the address bar.
    assert_eq!(seat.path().await, "/");
    let address = seat.js("location.href").await;
    assert!(!address.to_string().contains("key="), "{address}");
    // Scripts of the page can't read the cookie.
    assert_eq!(seat.js("document.cookie").await, "");

    // `?` lists the keys, Esc shuts the list; with scripts off it is a page.
    seat.types("?").await;
    seat.until("document.getElementById('keys').open").await;
    seat.keys(&[char::from(Key::Escape)]).await;
    seat.until("!document.getElementById('keys').open").await;
    seat.scripts(false).await;
    seat.goto("/").await;
    seat.tab_to("[data-keys]").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.says("h1", "Keys").await;
    seat.scripts(true).await;

    // The skip link leads into the middle of the page, by keyboard alone.
    seat.goto("/").await;
    seat.keys(&[char::from(Key::Tab), char::from(Key::Enter)])
        .await;
    assert_eq!(seat.js("document.activeElement.id").await, "main");

    // Another start-up address of the same program works in no other way than once.
    let used = seat.workroom.way_in.clone();
    seat.goto(&used).await;
    seat.says("h1", "has been used").await;
    assert_eq!(seat.path().await, "/start");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn her_own_form_passes_the_watch_and_a_lost_connection_keeps_what_she_typed() {
    let seat = Seat::with(&["--house=127.0.0.2"]).await;
    // A form of ours, sent by a real browser: with another referrer policy it would say `Origin: null`.
    seat.goto("/settings/phones").await;
    seat.tab_to("form[action$='/pair'] button").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.says("main", "Point the phone").await;

    // She types, and meanwhile the program ends: what she typed stays, and she is told.
    seat.goto("/keys").await;
    seat.js(
        "document.querySelector('main').insertAdjacentHTML('beforeend',
            '<form method=\"post\" action=\"/keys\"><label>Waist <input id=\"waist\" name=\"waist\"></label><button>Keep</button></form>')",
    )
    .await;
    seat.tab_to("#waist").await;
    seat.types("27 3/8").await;
    seat.workroom.end();
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("document.querySelector('.lost')").await;
    assert!(seat.text(".lost").await.contains("still here"));
    assert_eq!(
        seat.js("document.getElementById('waist').value").await,
        "27 3/8"
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn the_door_of_the_running_program() {
    // The watch again, at the real socket: what hyper makes of odd requests before ours sees them.
    let folder = tests::Scratch::new();
    let workroom = crate::seat::Workroom::open(&folder.path().join("data"), &[]);
    let host = workroom.address.trim_start_matches("http://").to_owned();
    let ask = |text: String| request(&workroom.address, &text).0;
    assert_eq!(
        ask(format!(
            "GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
        )),
        401
    );
    for odd in [
        "GET / HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n".to_owned(),
        "GET / HTTP/1.1\r\nConnection: close\r\n\r\n".to_owned(),
        format!("GET / HTTP/1.1\r\nHost: {host}\r\nHost: {host}\r\nConnection: close\r\n\r\n"),
        format!("GET http://{host}/ HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"),
        format!("GET http://evil.example/ HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"),
        "GET / HTTP/1.0\r\n\r\n".to_owned(),
    ] {
        assert_eq!(ask(odd.clone()), 421, "{odd}");
    }
    let foreign = format!(
        "POST /start/again HTTP/1.1\r\nHost: {host}\r\nOrigin: http://evil.example\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
    );
    assert_eq!(ask(foreign), 403);
}
