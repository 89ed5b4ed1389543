//! The watch, tried from outside: docs/safety.md names these tests line by line.

use axum::Router;
use axum::body::Body;
use axum::extract::Form;
use axum::http::{Request, StatusCode, header};
use axum::routing::{get, post};
use book::{About, Book, NewOrder, Stamp};

use super::room::Door;
use super::routes;
use super::testing::{HOST, Page, Visit, encoded};

const SAME: [(&str, &str); 5] = [
    ("x-content-type-options", "nosniff"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("referrer-policy", "same-origin"),
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; \
         form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
];

fn carries_headers(page: &Page, what: &str) {
    for (name, value) in SAME {
        assert_eq!(page.header(name), value, "{name} of {what}");
    }
    assert!(!page.header("cache-control").is_empty(), "{what}");
    for name in page.headers.keys() {
        assert!(
            !name.as_str().starts_with("access-control"),
            "{what} lets other sites in"
        );
    }
}

/// Pages with a test-only route that panics, one that is slow, and one that takes a form.
fn odd_pages(visit: &Visit) -> Router {
    async fn breaks() -> &'static str {
        panic!("Ines Halloway, waist 27")
    }
    async fn counts(Form(all): Form<Vec<(String, String)>>) -> String {
        all.len().to_string()
    }
    routes::watched(
        &visit.room,
        Router::new()
            .route("/breaks", get(breaks))
            .route("/counts", post(counts))
            .route(
                "/orders/1/pictures",
                post(|body: axum::body::Bytes| async move { body.len().to_string() }),
            ),
    )
}

#[test]
fn another_host_name_or_port_reaches_nothing() {
    // Catches DNS rebinding: a foreign name that points to this computer.
    let visit = Visit::new();
    for host in [
        "127.0.0.1:7643",
        "localhost:7643",
        "[::1]:7643",
        "LOCALHOST:7643",
    ] {
        assert_eq!(ask_host(&visit, &[host]).status, StatusCode::OK, "{host}");
    }
    for hosts in [
        &["evil.example"][..],
        &["evil.example:7643"],
        &["127.0.0.1"],
        &["127.0.0.1:80"],
        &["127.0.0.1:7643."],
        &["127.0.0.1.evil.example:7643"],
        &["192.168.1.20:7643"],
        &["0.0.0.0:7643"],
        &[""],
        &[],
        &["127.0.0.1:7643", "127.0.0.1:7643"],
        &["127.0.0.1:7643", "evil.example"],
    ] {
        let page = ask_host(&visit, hosts);
        assert_eq!(page.status, StatusCode::MISDIRECTED_REQUEST, "{hosts:?}");
        carries_headers(&page, "421");
    }
    let absolute = Request::builder()
        .uri("http://127.0.0.1:7643/")
        .header(header::HOST, HOST)
        .header(header::COOKIE, &visit.cookie)
        .extension(Door::Here)
        .body(Body::empty())
        .unwrap();
    assert_eq!(visit.send(absolute).status, StatusCode::MISDIRECTED_REQUEST);
}

fn ask_host(visit: &Visit, hosts: &[&str]) -> Page {
    let mut request = Request::builder()
        .uri("/")
        .header(header::COOKIE, &visit.cookie)
        .extension(Door::Here);
    for host in hosts {
        request = request.header(header::HOST, *host);
    }
    visit.send(request.body(Body::empty()).unwrap())
}

#[test]
fn a_changing_request_from_elsewhere_is_refused() {
    let visit = Visit::new();
    let pages = odd_pages(&visit);
    let ask = |headers: &[(&str, &str)]| {
        let mut request = visit.request("POST", "/counts");
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let form = header::CONTENT_TYPE.as_str();
        let request = if headers.iter().any(|(n, _)| *n == form) {
            request
        } else {
            request.header(form, "application/x-www-form-urlencoded")
        };
        visit.send_to(&pages, request.body(Body::from("a=1")).unwrap())
    };
    let own = "http://127.0.0.1:7643";
    for good in [
        &[("origin", own), ("sec-fetch-site", "same-origin")][..],
        &[("origin", own)],
        &[("sec-fetch-site", "none")],
        &[],
    ] {
        assert_eq!(ask(good).status, StatusCode::OK, "{good:?}");
    }
    for bad in [
        &[("origin", "http://evil.example")][..],
        &[("origin", "http://127.0.0.1:7644")],
        &[("origin", "https://127.0.0.1:7643")],
        &[("origin", "http://localhost:7643")],
        &[("origin", "null")],
        &[("origin", "")],
        &[("origin", own), ("sec-fetch-site", "cross-site")],
        &[("origin", own), ("sec-fetch-site", "same-site")],
        &[("sec-fetch-site", "cross-site")],
        &[("origin", own), ("origin", "http://evil.example")],
    ] {
        let page = ask(bad);
        assert_eq!(page.status, StatusCode::FORBIDDEN, "{bad:?}");
        carries_headers(&page, "403");
    }
    for kind in ["text/plain", "application/jsonp", "", "image/svg+xml"] {
        let page = ask(&[("origin", own), ("content-type", kind)]);
        assert_eq!(page.status, StatusCode::UNSUPPORTED_MEDIA_TYPE, "{kind}");
    }
    for method in ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"] {
        let request = visit.request(method, "/counts").body(Body::empty());
        let page = visit.send_to(&pages, request.unwrap());
        assert_eq!(page.status, StatusCode::METHOD_NOT_ALLOWED, "{method}");
    }
}

#[test]
fn no_cookie_no_page() {
    let visit = Visit::new();
    let name = visit.room.cookie_name();
    for cookie in [
        String::new(),
        format!("{name}="),
        format!("{name}=00000000000000000000000000000000"),
        visit.cookie.replace('=', "x="),
        format!("x{}", visit.cookie),
    ] {
        let request = Request::builder()
            .uri("/")
            .header(header::HOST, HOST)
            .header(header::COOKIE, &cookie)
            .extension(Door::Here)
            .body(Body::empty())
            .unwrap();
        let page = visit.send(request);
        assert_eq!(page.status, StatusCode::UNAUTHORIZED, "{cookie}");
        assert!(page.text().contains("Start Ellwand again"));
        carries_headers(&page, "401");
    }
    // Among other cookies the right one is found.
    let request = Request::builder()
        .uri("/")
        .header(header::HOST, HOST)
        .header(header::COOKIE, format!("a=b; {}; c=d", visit.cookie))
        .extension(Door::Here)
        .body(Body::empty())
        .unwrap();
    assert_eq!(visit.send(request).status, StatusCode::OK);
}

#[test]
fn the_start_address_works_once_and_leaves_the_address_bar() {
    let visit = Visit::new();
    let token = visit.room.keys.token().unwrap();
    let address = format!("/start?key={}", token.text());
    let ask = || {
        let request = Request::builder()
            .uri(&address)
            .header(header::HOST, HOST)
            .extension(Door::Here)
            .body(Body::empty())
            .unwrap();
        visit.send(request)
    };
    let first = ask();
    assert_eq!(first.status, StatusCode::SEE_OTHER);
    assert_eq!(first.leads_to(), "/");
    let cookie = first.header("set-cookie");
    assert!(cookie.starts_with("ellwand-door-7643="), "{cookie}");
    assert!(
        cookie.ends_with("; HttpOnly; SameSite=Strict; Path=/"),
        "{cookie}"
    );
    assert!(!cookie.contains(token.text()));
    carries_headers(&first, "start");
    let second = ask();
    assert_eq!(second.status, StatusCode::UNAUTHORIZED);
    assert!(second.header("set-cookie").is_empty());
    // Five wrong tries shut the door for everyone, also with a right token.
    for _ in 0..4 {
        visit.get("/start?key=guess");
    }
    let token = visit.room.keys.token().unwrap();
    let shut = visit.get(&format!("/start?key={}", token.text()));
    assert_eq!(shut.status, StatusCode::TOO_MANY_REQUESTS);
    assert!(!shut.header("retry-after").is_empty());
}

#[test]
fn a_second_start_is_let_in_by_its_secret_alone() {
    let visit = Visit::new();
    let ask = |secret: &str| {
        let request = Request::builder()
            .method("POST")
            .uri("/start/again")
            .header(header::HOST, HOST)
            .header(super::start::AGAIN, secret)
            .extension(Door::Here)
            .body(Body::empty())
            .unwrap();
        visit.send(request)
    };
    assert_eq!(ask("guess").status, StatusCode::FORBIDDEN);
    let told = ask(visit.room.again.text());
    assert_eq!(told.status, StatusCode::OK);
    let page = visit.get(&told.text());
    assert_eq!(page.status, StatusCode::SEE_OTHER);
}

#[test]
fn a_body_is_bounded_whether_it_tells_its_length_or_not() {
    let visit = Visit::new();
    let pages = odd_pages(&visit);
    let megabyte = 1024 * 1024;
    let send = |address: &str, length: usize, told: bool| {
        let request = visit
            .request("POST", address)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        let bytes = vec![b'a'; length];
        let request = if told {
            request
                .header(header::CONTENT_LENGTH, length)
                .body(Body::from(bytes))
        } else {
            let parts: Vec<Result<_, std::io::Error>> = bytes
                .chunks(64 * 1024)
                .map(|c| Ok(axum::body::Bytes::copy_from_slice(c)))
                .collect();
            request.body(Body::from_stream(tokio_stream::iter(parts)))
        };
        visit.send_to(&pages, request.unwrap())
    };
    for told in [true, false] {
        assert_eq!(send("/counts", megabyte, told).status, StatusCode::OK);
        let over = send("/counts", megabyte + 1, told);
        assert_eq!(over.status, StatusCode::PAYLOAD_TOO_LARGE, "told: {told}");
        carries_headers(&over, "413");
        let photo = "/orders/1/pictures";
        assert_eq!(send(photo, 10 * megabyte, told).status, StatusCode::OK);
        let over = send(photo, 10 * megabyte + 1, told);
        assert_eq!(over.status, StatusCode::PAYLOAD_TOO_LARGE, "told: {told}");
    }
}

#[test]
fn an_answer_that_takes_too_long_is_given_up() {
    let visit = Visit::new();
    let answer = visit.wait(super::guard::within(
        std::time::Duration::from_millis(20),
        std::future::pending(),
    ));
    assert_eq!(answer.status(), StatusCode::SERVICE_UNAVAILABLE);
    assert_eq!(
        super::limits::answer("/orders/1/draft"),
        Some(std::time::Duration::from_secs(30))
    );
    assert_eq!(super::limits::answer("/settings/restore"), None);
    assert_eq!(super::limits::answer("/clients/7/erase"), None);
    assert!(super::limits::answer("/clients/7").is_some());
}

#[test]
fn a_panic_is_a_calm_page_and_the_room_works_on() {
    crate::calmly::hush();
    let visit = Visit::new();
    let pages = odd_pages(&visit);
    let request = visit.request("GET", "/breaks").body(Body::empty()).unwrap();
    let page = visit.send_to(&pages, request);
    assert_eq!(page.status, StatusCode::INTERNAL_SERVER_ERROR);
    carries_headers(&page, "500");
    // The addresses in its head have figures of their own.
    let text = page.text();
    let body = text.split("<main").nth(1).unwrap();
    for word in ["Ines", "27", "panic", ".rs"] {
        assert!(!body.contains(word), "the page tells {word}");
    }
    // A panic while the book is in hand leaves it usable.
    let room = std::sync::Arc::clone(&visit.room);
    let broke = visit.wait(room.book(|_| -> Result<(), _> { panic!("Ines Halloway") }));
    assert_eq!(broke.unwrap_err().status, StatusCode::INTERNAL_SERVER_ERROR);
    assert!(visit.wait(room.book(|_| Ok(1))).is_ok());
    assert_eq!(visit.get("/").status, StatusCode::OK);
}

#[test]
fn every_answer_carries_the_headers_and_every_fault_is_a_page() {
    let visit = Visit::new();
    for (address, status) in [
        ("/", 200),
        ("/keys", 200),
        ("/here", 204),
        ("/favicon.ico", 200),
        ("/nowhere", 404),
        ("/a/old/nothing.js", 404),
        ("/start/again", 405),
        ("/start?key=x", 401),
    ] {
        let page = visit.get(address);
        assert_eq!(page.status.as_u16(), status, "{address}");
        carries_headers(&page, address);
        if status >= 400 {
            assert!(page.text().contains("<h1>"), "{address} has no words");
            assert!(page.text().contains("lang=\"en\""), "{address}");
        }
    }
    // Styles and scripts are there, and may be kept.
    let home = visit.get("/").text();
    for part in ["href=\"/a/", "src=\"/a/"] {
        let at = home.find(part).unwrap() + part.len() - 3;
        let address: String = home[at..].chars().take_while(|c| *c != '"').collect();
        let file = visit.get(&address);
        assert_eq!(file.status, StatusCode::OK, "{address}");
        assert!(file.header("cache-control").contains("immutable"));
        carries_headers(&file, &address);
    }
    assert_eq!(visit.get("/").header("cache-control"), "no-store");
}

#[test]
fn no_page_holds_a_script_or_a_style_of_its_own() {
    // The policy would block it: this finds it before a browser does.
    let visit = Visit::new();
    for address in ["/", "/keys", "/nowhere"] {
        let text = visit.get(address).text();
        assert!(!text.contains(" style="), "{address}");
        assert!(!text.contains("<style"), "{address}");
        for (at, _) in text.match_indices("<script") {
            let tag: String = text[at..].chars().take_while(|c| *c != '>').collect();
            assert!(tag.contains("src=\"/a/"), "{address}: {tag}");
        }
        for handler in [" onclick", " onload", " onerror", "javascript:"] {
            assert!(!text.contains(handler), "{address}: {handler}");
        }
    }
}

#[test]
fn texts_are_packed_when_the_browser_can_unpack() {
    let visit = Visit::new();
    let request = visit
        .request("GET", "/")
        .header(header::ACCEPT_ENCODING, "gzip")
        .body(Body::empty())
        .unwrap();
    let page = visit.send(request);
    assert_eq!(page.header("content-encoding"), "gzip");
    assert_eq!(&page.bytes[..2], b"\x1f\x8b");
}

#[test]
fn a_form_is_encoded_as_browsers_do() {
    assert_eq!(encoded("2 1/2 é"), "2%201%2F2%20%C3%A9");
}

/// Addresses that show what she typed. Whoever adds a page that shows a name adds its line.
const SHOWING: &[&str] = &[
    "/",
    "/clients",
    "/clients/1",
    "/clients/1/edit",
    "/clients/1/cards/1",
    "/clients/1/cards/new",
    "/orders/1",
    "/orders",
    "/orders/1/again",
    "/orders/1/party",
    "/orders/1/sheet",
    "/orders/1/card",
    "/orders/1/draft",
    "/orders/1/draft/steps/1",
    "/orders/1/draft/compare",
    "/orders/1/cloth",
    "/orders/1/quote",
    "/orders/1/paper",
    "/orders/1/fittings",
    "/orders/1/versions/1",
    "/orders/new?client=1",
    "/methods",
    "/search?q=%3Cscript%3Ealert(1)%3C%2Fscript%3E",
    "/settings",
    "/settings/allowances",
    "/settings/prices",
    "/settings/phones",
    "/shopping",
];

#[test]
fn a_nasty_name_is_text_on_every_page() {
    // Catches a page that puts what she typed into HTML, an attribute or a drawing unescaped.
    let nasty = "<script>alert(1)</script>\"'><svg onload=alert(2)>&\r\n]]>{{7*7}}\u{202e}";
    let mut book = Book::in_memory(Stamp::now).unwrap();
    let about = About {
        name: nasty.to_owned(),
        code: nasty.to_owned(),
        contact: nasty.to_owned(),
        figure: nasty.to_owned(),
        guardian: nasty.to_owned(),
        allergies: nasty.to_owned(),
        hand: nasty.to_owned(),
        notes: nasty.to_owned(),
        ..About::default()
    };
    let client = book.new_client(&about, false).unwrap();
    let mut order = NewOrder::of(client);
    order.title = nasty.to_owned();
    order.method = nasty.to_owned();
    order.holds = vec![("note".into(), nasty.into())];
    book.new_order(&order).unwrap();
    book.pair_device(nasty, "00").unwrap();
    book.set("name", nasty).unwrap();
    let visit = Visit::with(book);
    let mut shown = 0;
    for address in SHOWING {
        let page = visit.get(address);
        carries_headers(&page, address);
        let text = page.text();
        for part in ["<script>alert", "\"'>", "<svg onload", "=alert(2)>"] {
            assert!(!text.contains(part), "{address} lets {part} through");
        }
        shown += usize::from(text.contains("&lt;script&gt;alert(1)"));
    }
    // Its workroom's name stands on every page, so the test is not empty.
    assert_eq!(shown, SHOWING.len());
}

#[test]
fn two_papers_are_made_at_once_and_no_more() {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicUsize, Ordering};
    let visit = Visit::new();
    let (now, most) = (Arc::new(AtomicUsize::new(0)), Arc::new(AtomicUsize::new(0)));
    visit.wait(async {
        let mut all = Vec::new();
        for _ in 0..6 {
            let (room, now, most) = (Arc::clone(&visit.room), Arc::clone(&now), Arc::clone(&most));
            all.push(tokio::spawn(async move {
                room.paper(move || {
                    most.fetch_max(now.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                    std::thread::sleep(std::time::Duration::from_millis(30));
                    now.fetch_sub(1, Ordering::SeqCst);
                })
                .await
            }));
        }
        for one in all {
            one.await.unwrap().unwrap();
        }
    });
    assert_eq!(most.load(Ordering::SeqCst), 2);
}
