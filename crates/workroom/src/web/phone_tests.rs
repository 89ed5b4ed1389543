//! The door to the house, tried from outside.

use std::net::IpAddr;
use std::time::{Duration, Instant};

use axum::body::Body;
use axum::http::{Request, StatusCode, header};

use super::house::{HOURS, hashed};
use super::room::Door;
use super::testing::{Page, Visit, encoded};

const HOST: &str = "192.168.1.20:7643";

fn open_house() -> Visit {
    let visit = Visit::new();
    let at: IpAddr = "192.168.1.20".parse().unwrap();
    visit.room.house.opened(at, Instant::now());
    visit
}

/// A phone's request: over plain http it sends an Origin with a form, and no Sec-Fetch headers.
fn ask(visit: &Visit, method: &str, address: &str, cookie: &str, form: &str) -> Page {
    let mut request = Request::builder()
        .method(method)
        .uri(address)
        .header(header::HOST, HOST)
        .header(header::COOKIE, cookie)
        .extension(Door::House);
    if method == "POST" {
        request = request
            .header(header::ORIGIN, format!("http://{HOST}"))
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
    }
    visit.send(request.body(Body::from(form.to_owned())).unwrap())
}

/// Pairs a phone and gives its cookie.
fn paired(visit: &Visit, name: &str) -> String {
    visit.room.house.new_pairing(Instant::now()).unwrap();
    let (token, _) = visit.room.house.pairing(Instant::now()).unwrap();
    let form = format!("key={}&name={}", token.text(), encoded(name));
    let page = ask(visit, "POST", "/pair", "", &form);
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text());
    let cookie = page.header("set-cookie").to_owned();
    assert!(
        cookie.contains("; HttpOnly; SameSite=Strict; Path=/"),
        "{cookie}"
    );
    cookie.split(';').next().unwrap().to_owned()
}

#[test]
fn the_house_is_shut_until_she_opens_it_and_shuts_by_itself() {
    let visit = Visit::new();
    let shut = ask(&visit, "GET", "/pair?key=x", "", "");
    assert_eq!(shut.status, StatusCode::MISDIRECTED_REQUEST);
    let at: IpAddr = "192.168.1.20".parse().unwrap();
    visit.room.house.opened(at, Instant::now());
    assert_eq!(
        ask(&visit, "GET", "/pair?key=x", "", "").status,
        StatusCode::OK
    );
    // Opened more than four hours ago.
    if let Some(long_ago) = Instant::now().checked_sub(HOURS + Duration::from_secs(1)) {
        visit.room.house.opened(at, long_ago);
        let over = ask(&visit, "GET", "/pair?key=x", "", "");
        assert_eq!(over.status, StatusCode::MISDIRECTED_REQUEST);
    }
    // The other door's names do not open this one, nor this one's the other.
    visit.room.house.opened(at, Instant::now());
    let request = Request::builder()
        .uri("/")
        .header(header::HOST, "127.0.0.1:7643")
        .header(header::COOKIE, &visit.cookie)
        .extension(Door::House)
        .body(Body::empty())
        .unwrap();
    assert_eq!(visit.send(request).status, StatusCode::MISDIRECTED_REQUEST);
}

#[test]
fn a_phone_is_paired_by_pressing_and_looking_spends_nothing() {
    let visit = open_house();
    visit.room.house.new_pairing(Instant::now()).unwrap();
    let (token, _) = visit.room.house.pairing(Instant::now()).unwrap();
    let address = format!("/pair?key={}", token.text());
    for _ in 0..3 {
        let page = ask(&visit, "GET", &address, "", "");
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.text().contains("Pair this phone"));
        assert!(page.header("set-cookie").is_empty());
    }
    let form = format!("key={}&name=Her+phone", token.text());
    assert_eq!(
        ask(&visit, "POST", "/pair", "", &form).status,
        StatusCode::SEE_OTHER
    );
    // Reused.
    let again = ask(&visit, "POST", "/pair", "", &form);
    assert_eq!(again.status, StatusCode::UNAUTHORIZED);
    let names: Vec<String> = visit
        .wait(visit.room.book(|book| Ok(book.devices()?)))
        .unwrap()
        .into_iter()
        .map(|d| d.name)
        .collect();
    assert_eq!(names, ["Her phone"]);
}

#[test]
fn only_a_hash_of_the_phone_s_key_is_kept() {
    let visit = open_house();
    let cookie = paired(&visit, "Phone");
    let key = cookie.split('=').nth(1).unwrap().to_owned();
    let hash = hashed(&key);
    let (by_hash, by_key) = visit
        .wait(visit.room.book(move |book| {
            Ok((
                book.device_with(&hash)?.is_some(),
                book.device_with(&key)?.is_some(),
            ))
        }))
        .unwrap();
    assert!(by_hash && !by_key);
    // SHA-256 of "abc" (FIPS 180-2, B.1).
    assert_eq!(
        hashed("abc"),
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
}

#[test]
fn a_phone_has_fewer_rights_and_none_when_forgotten() {
    let visit = open_house();
    let cookie = paired(&visit, "Phone");
    let home = ask(&visit, "GET", "/", &cookie, "");
    assert_eq!(home.status, StatusCode::OK);
    assert!(!home.text().contains("href=\"/settings\""));
    for address in [
        "/settings",
        "/settings/phones",
        "/clients/1/export",
        "/records",
        "/start?key=x",
    ] {
        let page = ask(&visit, "GET", address, &cookie, "");
        assert_eq!(page.status, StatusCode::FORBIDDEN, "{address}");
    }
    for address in [
        "/settings/restore",
        "/settings/phones/forget",
        "/clients/1/erase",
    ] {
        let page = ask(&visit, "POST", address, &cookie, "");
        assert_eq!(page.status, StatusCode::FORBIDDEN, "{address}");
    }
    // A cookie of this computer's own browser opens nothing from the house.
    assert_eq!(
        ask(&visit, "GET", "/", &visit.cookie, "").status,
        StatusCode::UNAUTHORIZED
    );
    let id = visit
        .wait(visit.room.book(|book| Ok(book.devices()?.remove(0).id)))
        .unwrap();
    let forgotten = visit.post("/settings/phones/forget", &[("id", &id.to_string())]);
    assert_eq!(forgotten.status, StatusCode::SEE_OTHER);
    assert_eq!(
        ask(&visit, "GET", "/", &cookie, "").status,
        StatusCode::UNAUTHORIZED
    );
}

/// Would catch a phone that takes back, or puts again, what only the computer may change (a sign-off, notes,
/// the cloth, the quote, the method), and one that is offered it or strikes out a pin.
#[test]
fn a_phone_takes_back_no_more_than_it_could_have_done() {
    let Some((visit, order)) = Visit::first_of_demo() else {
        return;
    };
    let at: IpAddr = "192.168.1.20".parse().unwrap();
    visit.room.house.opened(at, Instant::now());
    let cookie = paired(&visit, "Phone");
    let draft = format!("/orders/{order}/draft");
    let phone = |form: &str| ask(&visit, "POST", &draft, &cookie, form).status;
    let holds = |key: &str| {
        let shelf = visit.room.shelf();
        let book = crate::web::calm_lock(&shelf);
        book.holds(order).unwrap().get(key).cloned()
    };
    let (flare, note) = (holds("choice/flare"), holds("note"));
    let here = format!("/orders/{order}");
    visit.post(&here, &[("do", "note"), ("note", "Hem by hand")]);
    assert_eq!(phone("do=back"), StatusCode::FORBIDDEN);
    assert_eq!(holds("note").as_deref(), Some("Hem by hand"));
    let shown = ask(&visit, "GET", &draft, &cookie, "").text();
    assert!(!shown.contains("Take back: Notes"), "it is offered");
    assert!(visit.get(&draft).text().contains("Take back: Notes"));
    // A choice is one of those that a phone may change, whoever made it.
    visit.post(
        &draft,
        &[("choice", "flare"), ("value", "8 1/2"), ("do", "draw")],
    );
    assert_ne!(holds("choice/flare"), flare);
    assert_eq!(phone("do=back"), StatusCode::SEE_OTHER);
    assert_eq!(holds("choice/flare"), flare);
    assert_eq!(phone("do=back"), StatusCode::FORBIDDEN);
    visit.post(&here, &[("do", "back")]);
    assert_eq!(holds("note"), note);
    assert_eq!(phone("do=again"), StatusCode::FORBIDDEN);
    assert_eq!(holds("note"), note);
    let pin = format!("{here}/fittings/1/pins/{}/drop", book::Id::new());
    let dropped = ask(&visit, "POST", &pin, &cookie, "");
    assert_eq!(dropped.status, StatusCode::FORBIDDEN);
}

#[test]
fn over_the_house_a_changing_request_needs_its_origin() {
    let visit = open_house();
    let cookie = paired(&visit, "Phone");
    for origin in [
        None,
        Some("http://evil.example"),
        Some("http://127.0.0.1:7643"),
        Some("null"),
    ] {
        let mut request = Request::builder()
            .method("POST")
            .uri("/orders/1/draft")
            .header(header::HOST, HOST)
            .header(header::COOKIE, &cookie)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .extension(Door::House);
        if let Some(origin) = origin {
            request = request.header(header::ORIGIN, origin);
        }
        let page = visit.send(request.body(Body::empty()).unwrap());
        assert_eq!(page.status, StatusCode::FORBIDDEN, "{origin:?}");
    }
}

#[test]
fn pairing_waits_after_five_wrong_tries() {
    let visit = open_house();
    for _ in 0..5 {
        let page = ask(&visit, "POST", "/pair", "", "key=guess&name=x");
        assert_eq!(page.status, StatusCode::UNAUTHORIZED);
    }
    let page = ask(&visit, "POST", "/pair", "", "key=guess&name=x");
    assert_eq!(page.status, StatusCode::TOO_MANY_REQUESTS);
    assert!(!page.header("retry-after").is_empty());
}

#[test]
fn the_square_is_shown_on_this_computer_only_and_holds_the_address() {
    let visit = open_house();
    assert!(
        !visit
            .get("/settings/phones")
            .text()
            .contains("class=\"square\"")
    );
    assert_eq!(
        visit.post("/settings/phones/pair", &[]).status,
        StatusCode::SEE_OTHER
    );
    let page = visit.get("/settings/phones").text();
    let (token, _) = visit.room.house.pairing(Instant::now()).unwrap();
    assert!(page.contains("class=\"square\""));
    assert!(page.contains(&format!(
        "http://192.168.1.20:7643/pair?key={}",
        token.text()
    )));
    // A phone never sees it.
    let cookie = paired(&visit, "Phone");
    visit.room.house.new_pairing(Instant::now()).unwrap();
    let (token, _) = visit.room.house.pairing(Instant::now()).unwrap();
    for address in ["/", "/settings/phones", "/keys"] {
        let text = ask(&visit, "GET", address, &cookie, "").text();
        assert!(!text.contains(token.text()), "{address}");
    }
}
