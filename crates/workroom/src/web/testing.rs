//! A visit to the workroom without a network: for the tests of pages.

use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Request, StatusCode, header};
use book::{Book, OrderNo, Stamp, Which};
use measure::Date;
use tower::ServiceExt as _;

use super::room::{Door, Room};
use super::{demo, routes};
use crate::shelf;

/// The port that a room in memory believes it has.
pub(crate) const PORT: u16 = 7643;
/// Its own name.
pub(crate) const HOST: &str = "127.0.0.1:7643";

/// A room in memory, with a browser that has come in.
pub(crate) struct Visit {
    pub(crate) room: Arc<Room>,
    pub(crate) pages: Router,
    pub(crate) cookie: String,
    runtime: tokio::runtime::Runtime,
}

/// An answer.
#[derive(Debug)]
pub(crate) struct Page {
    pub(crate) status: StatusCode,
    pub(crate) headers: HeaderMap,
    pub(crate) bytes: Vec<u8>,
}

impl Page {
    /// The page's text.
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.bytes).into_owned()
    }

    /// A header's text.
    pub(crate) fn header(&self, name: &str) -> &str {
        self.headers
            .get(name)
            .and_then(|h| h.to_str().ok())
            .unwrap_or_default()
    }

    /// Where it leads.
    pub(crate) fn leads_to(&self) -> &str {
        self.header("location")
    }
}

/// A book with the demo in it, as on 25 November 2026.
pub(crate) fn demo_book() -> Book {
    let mut book = Book::in_memory(Stamp::now).unwrap();
    demo::lay_out(&mut book, Date::new(2026, 11, 25).unwrap()).unwrap();
    book
}

impl Visit {
    /// An empty room.
    pub(crate) fn new() -> Self {
        Self::with(Book::in_memory(Stamp::now).unwrap())
    }

    /// A room with this book.
    pub(crate) fn with(book: Book) -> Self {
        let room = Arc::new(Room::new(PORT, book).unwrap());
        let key = room.keys.session().unwrap();
        Self {
            pages: routes::house(&room),
            cookie: format!("{}={}", room.cookie_name(), key.text()),
            room,
            runtime: tokio::runtime::Builder::new_multi_thread()
                .worker_threads(1)
                .thread_stack_size(crate::STACK)
                .enable_all()
                .build()
                .unwrap(),
        }
    }

    /// The demo as on 25 November 2026, and the first of its orders by this method; nothing where the
    /// program ships no methods.
    pub(crate) fn demo(method: &str) -> Option<(Self, OrderNo)> {
        let book = demo_book();
        if shelf::SHIPPED.is_empty() {
            return None;
        }
        let orders = book.orders(Which::All).unwrap();
        let found = orders.iter().find(|o| o.order.method == method);
        let number = found.expect("the demo has an order by it").order.number;
        Some((Self::with(book), number))
    }

    /// A room with the demo, and its first order: a finished skirt that flares.
    pub(crate) fn first_of_demo() -> Option<(Self, OrderNo)> {
        let book = demo_book();
        if shelf::SHIPPED.is_empty() {
            return None;
        }
        let orders = book.orders(Which::All).unwrap();
        let first = orders.iter().map(|o| o.order.number).min()?;
        Some((Self::with(book), first))
    }

    /// A request of her browser, as yet without a body.
    pub(crate) fn request(&self, method: &str, address: &str) -> axum::http::request::Builder {
        Request::builder()
            .method(method)
            .uri(address)
            .header(header::HOST, HOST)
            .header(header::COOKIE, &self.cookie)
            .extension(Door::Here)
    }

    /// Sends any request.
    pub(crate) fn send(&self, request: Request<Body>) -> Page {
        self.send_to(&self.pages, request)
    }

    /// Sends a request to other pages than the house's.
    pub(crate) fn send_to(&self, pages: &Router, request: Request<Body>) -> Page {
        let pages = pages.clone();
        self.runtime.block_on(async move {
            let answer = pages.oneshot(request).await.unwrap();
            let (head, body) = answer.into_parts();
            let bytes = axum::body::to_bytes(body, usize::MAX).await.unwrap();
            Page {
                status: head.status,
                headers: head.headers,
                bytes: bytes.to_vec(),
            }
        })
    }

    /// Looks at a page.
    pub(crate) fn get(&self, address: &str) -> Page {
        self.send(self.request("GET", address).body(Body::empty()).unwrap())
    }

    /// Presses a button: sends a form, as the browser does.
    pub(crate) fn post(&self, address: &str, form: &[(&str, &str)]) -> Page {
        let body: Vec<String> = form
            .iter()
            .map(|(name, value)| format!("{}={}", encoded(name), encoded(value)))
            .collect();
        let request = self
            .request("POST", address)
            .header(header::ORIGIN, format!("http://{HOST}"))
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .body(Body::from(body.join("&")))
            .unwrap();
        self.send(request)
    }

    /// Works on something that waits.
    pub(crate) fn wait<F: Future>(&self, work: F) -> F::Output {
        self.runtime.block_on(work)
    }
}

/// A text as a form sends it.
pub(crate) fn encoded(text: &str) -> String {
    text.bytes()
        .map(|b| match b {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' => char::from(b).to_string(),
            b => format!("%{b:02X}"),
        })
        .collect()
}
