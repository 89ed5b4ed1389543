//! Who may ask what: the watch that every request passes before a page is looked for, and the
//! headers that every answer carries.

use std::sync::Arc;
use std::time::Duration;

use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};

use book::Device;

use super::room::{Door, Room};
use super::trouble::Trouble;
use super::visit::{self, Visit};
use super::{house, limits, rights};

/// What a browser may load on our pages: our own files, and nothing else from anywhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
     img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; \
     frame-ancestors 'none'";

/// When a phone was last here is written down every five minutes, not at every step.
const SEEN: i64 = 300;

/// The headers of every answer, whatever happened inside.
pub(crate) async fn headers(request: Request, next: Next) -> Response {
    let mut answer = next.run(request).await;
    let all = answer.headers_mut();
    let fixed: [(HeaderName, &'static str); 5] = [
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (header::REFERRER_POLICY, "same-origin"),
        (header::X_FRAME_OPTIONS, "DENY"),
    ];
    for (name, value) in fixed {
        all.insert(name, HeaderValue::from_static(value));
    }
    // A photograph may ask for a stricter policy of its own, never for a looser one.
    all.entry(header::CONTENT_SECURITY_POLICY)
        .or_insert(HeaderValue::from_static(POLICY));
    all.entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    answer
}

/// An answer without words of ours (no such page, a form that did not fit) becomes a page.
pub(crate) async fn words(request: Request, next: Next) -> Response {
    let answer = next.run(request).await;
    let status = answer.status();
    if !status.is_client_error() && !status.is_server_error() {
        return answer;
    }
    let kind = answer.headers().get(header::CONTENT_TYPE);
    let ours = kind.is_some_and(|k| !k.as_bytes().starts_with(b"text/plain"));
    if ours {
        return answer;
    }
    let allow = answer.headers().get(header::ALLOW).cloned();
    let mut page = Trouble::of(status).into_response();
    if let Some(allow) = allow {
        page.headers_mut().insert(header::ALLOW, allow);
    }
    page
}

/// A panic inside a page: a calm page, and nothing about how it came about.
pub(crate) fn panicked(_what: Box<dyn std::any::Any + Send + 'static>) -> Response {
    Trouble::broken().into_response()
}

/// Which host is meant: our own names and port alone. It stands before the routes, so that another
/// name that points here (a rebound one) reaches nothing.
pub(crate) async fn host(State(room): State<Arc<Room>>, request: Request, next: Next) -> Response {
    if request.uri().authority().is_some() || request.uri().scheme().is_some() {
        return elsewhere();
    }
    let mut hosts = request.headers().get_all(header::HOST).iter();
    let (Some(host), None) = (hosts.next(), hosts.next()) else {
        return elsewhere();
    };
    let door = Door::of(&request);
    let known = host
        .to_str()
        .is_ok_and(|h| room.answers_to(&h.to_ascii_lowercase(), door));
    if known {
        next.run(request).await
    } else {
        elsewhere()
    }
}

fn elsewhere() -> Response {
    Trouble::new(
        StatusCode::MISDIRECTED_REQUEST,
        "This is not that house.",
        "Open Ellwand by the address that it shows when it starts.",
    )
    .bare()
    .into_response()
}

/// Whether a request changes nothing by its kind.
fn only_looks(method: &Method) -> bool {
    matches!(*method, Method::GET | Method::HEAD)
}

/// A changing request comes from our own pages.
pub(crate) async fn origin(request: Request, next: Next) -> Response {
    if only_looks(request.method()) {
        return next.run(request).await;
    }
    if *request.method() != Method::POST {
        return Trouble::of(StatusCode::METHOD_NOT_ALLOWED).into_response();
    }
    if from_our_page(request.headers(), Door::of(&request)) {
        if !known_kind(request.headers()) {
            return Trouble::of(StatusCode::UNSUPPORTED_MEDIA_TYPE).into_response();
        }
        next.run(request).await
    } else {
        Trouble::refused(
            "It was asked for by a page that is not Ellwand's own, so nothing was changed.",
        )
        .bare()
        .into_response()
    }
}

fn from_our_page(headers: &HeaderMap, door: Door) -> bool {
    let site = headers.get("sec-fetch-site").map(HeaderValue::as_bytes);
    if site.is_some_and(|s| s != b"same-origin" && s != b"none") {
        return false;
    }
    let mut origins = headers.get_all(header::ORIGIN).iter();
    match (origins.next(), origins.next()) {
        (Some(origin), None) => {
            let host = headers.get(header::HOST).map_or(&b""[..], |h| h.as_bytes());
            origin
                .as_bytes()
                .strip_prefix(b"http://")
                .is_some_and(|o| o.eq_ignore_ascii_case(host))
        }
        // A program on this computer that sends neither; over the house network browsers send no
        // Sec-Fetch headers, so the origin has to be there.
        (None, _) => door == Door::Here,
        (Some(_), Some(_)) => false,
    }
}

/// A body is a form, a file from a form, or JSON that says so: never what a foreign form can send unasked.
fn known_kind(headers: &HeaderMap) -> bool {
    let Some(kind) = headers.get(header::CONTENT_TYPE) else {
        return headers
            .get(header::CONTENT_LENGTH)
            .is_none_or(|l| l.as_bytes() == b"0")
            && !headers.contains_key(header::TRANSFER_ENCODING);
    };
    let kind = kind.to_str().unwrap_or_default().to_ascii_lowercase();
    let kind = kind.split(';').next().unwrap_or_default().trim();
    matches!(
        kind,
        "application/x-www-form-urlencoded" | "multipart/form-data" | "application/json"
    )
}

/// How much is sent and how long it takes.
pub(crate) async fn bounds(mut request: Request, next: Next) -> Response {
    let path = request.uri().path().to_owned();
    match limits::body(&path) {
        Some(most) => {
            let told = request
                .headers()
                .get(header::CONTENT_LENGTH)
                .and_then(|l| l.to_str().ok())
                .and_then(|l| l.parse::<u64>().ok());
            if told.is_some_and(|l| l > most) {
                let mut trouble = Trouble::too_large(most);
                // A picture belongs to an order: back to it.
                if let Some(order) = path.strip_suffix("/pictures") {
                    trouble = trouble.back(format!("{order}#pictures"), "Back to the order");
                }
                let mut answer = trouble.into_response();
                // What she sent is not read, so the line can't be used for another request.
                answer
                    .headers_mut()
                    .insert(header::CONNECTION, HeaderValue::from_static("close"));
                return answer;
            }
            DefaultBodyLimit::max(usize::try_from(most).unwrap_or(usize::MAX)).apply(&mut request);
        }
        None => DefaultBodyLimit::disable().apply(&mut request),
    }
    match limits::answer(&path) {
        Some(limit) => within(limit, next.run(request)).await,
        None => next.run(request).await,
    }
}

/// An answer within a time, or words that it took too long.
pub(crate) async fn within(limit: Duration, answer: impl Future<Output = Response>) -> Response {
    tokio::time::timeout(limit, answer)
        .await
        .unwrap_or_else(|_| Trouble::slow().into_response())
}

/// Who asks: a browser that has come in by the start-up address, or a paired phone with fewer rights.
pub(crate) async fn cookie(
    State(room): State<Arc<Room>>,
    request: Request,
    next: Next,
) -> Response {
    let path = request.uri().path();
    let open = path.starts_with("/a/") || path == "/favicon.ico" || path == "/start";
    let ill = room.ill();
    let base = Visit {
        name: room.name(),
        letters: room.letters(),
        ill: ill.is_some(),
        ..Visit::default()
    };
    if ill.is_some_and(|i| !i.readable) && !open && !path.starts_with("/records") && path != "/keys"
    {
        return Redirect::to("/records").into_response();
    }
    match Door::of(&request) {
        Door::Here => {
            if open
                || path == "/start/again"
                || cookies(request.headers(), &room.cookie_name()).any(|key| room.keys.knows(key))
            {
                visit::during(base, next.run(request)).await
            } else {
                not_in()
            }
        }
        Door::House => {
            if (open && path != "/start") || path == "/pair" {
                return visit::during(base, next.run(request)).await;
            }
            let Some(device) = paired(&room, request.headers()).await else {
                return not_paired();
            };
            let visit = Visit {
                phone: true,
                by: device.name,
                ..base
            };
            if rights::phone_may(request.method(), path) {
                visit::during(visit, next.run(request)).await
            } else {
                let refused = async {
                    Trouble::refused("This is done at the computer, not from a phone.")
                        .into_response()
                };
                visit::during(visit, refused).await
            }
        }
    }
}

/// The phone whose key the request carries.
async fn paired(room: &Room, headers: &HeaderMap) -> Option<Device> {
    let name = room.cookie_name();
    // A browser sends one; a heap of them would only make work.
    let hashes: Vec<String> = cookies(headers, &name).take(3).map(house::hashed).collect();
    if hashes.is_empty() {
        return None;
    }
    let found = room
        .book(move |book| {
            for hash in &hashes {
                if let Some(device) = book.device_with(hash)? {
                    let since = book.now().seconds() - device.seen_at.seconds();
                    if since > SEEN {
                        // When it can't be written down it is still the same phone.
                        let _ = book.device_seen(device.id);
                    }
                    return Ok(Some(device));
                }
            }
            Ok(None)
        })
        .await;
    found.ok().flatten()
}

fn not_paired() -> Response {
    Trouble::new(
        StatusCode::UNAUTHORIZED,
        "This phone is not paired with the workroom.",
        "At the computer open Settings, then Phones at the table: it shows a square for this phone's camera.",
    )
    .bare()
    .into_response()
}

fn not_in() -> Response {
    Trouble::new(
        StatusCode::UNAUTHORIZED,
        "This is somebody's workroom.",
        "It opens by the address that Ellwand shows when it starts, which is good once for one browser. \
         Start Ellwand again on this computer: it opens the page, and shows a new address. \
         What was kept is still there.",
    )
    .bare()
    .into_response()
}

/// The cookies of this name.
pub(crate) fn cookies<'a>(headers: &'a HeaderMap, name: &'a str) -> impl Iterator<Item = &'a str> {
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(move |pair| pair.trim().strip_prefix(name)?.strip_prefix('='))
}
