//! Styles, scripts and the icon: part of the program, each served at an address that changes with it.

use std::sync::LazyLock;

use axum::Router;
use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use sha2::{Digest as _, Sha256};

/// The styles in the order of their layers; one file per family of pages.
const CSS: &[&str] = &[
    include_str!("../../assets/css/base.css"),
    include_str!("../../assets/css/shell.css"),
    include_str!("../../assets/css/parts.css"),
    include_str!("../../assets/css/drawing.css"),
    include_str!("../../assets/css/teach.css"),
    include_str!("../../assets/css/methods.css"),
    // Pages: one line each.
    include_str!("../../assets/css/quote.css"),
    include_str!("../../assets/css/cloth.css"),
    include_str!("../../assets/css/orders.css"),
    include_str!("../../assets/css/pattern.css"),
    include_str!("../../assets/css/table.css"),
    include_str!("../../assets/css/paper.css"),
    include_str!("../../assets/css/clients.css"),
    include_str!("../../assets/css/card.css"),
    include_str!("../../assets/css/settings.css"),
    include_str!("../../assets/css/print.css"),
];

/// The scripts, each an ES module.
const JS: &[(&str, &str)] = &[
    ("js/main.js", include_str!("../../assets/js/main.js")),
    ("js/steps.js", include_str!("../../assets/js/steps.js")),
    ("js/writing.js", include_str!("../../assets/js/writing.js")),
    // Pages: one line each.
    ("js/cloth.js", include_str!("../../assets/js/cloth.js")),
    ("js/table.js", include_str!("../../assets/js/table.js")),
    ("js/paper.js", include_str!("../../assets/js/paper.js")),
    ("js/card.js", include_str!("../../assets/js/card.js")),
];

const ICON: &str = include_str!("../../assets/icon.svg");

struct Shelf {
    hash: String,
    css: String,
}

static SHELF: LazyLock<Shelf> = LazyLock::new(|| {
    let css = CSS.concat();
    let mut hash = Sha256::new();
    hash.update(&css);
    hash.update(ICON);
    for (name, text) in JS {
        hash.update(name);
        hash.update(text);
    }
    let hash = hash.finalize();
    Shelf {
        hash: hash.iter().take(6).map(|b| format!("{b:02x}")).collect(),
        css,
    }
});

/// The address of a file: `js/main.js`, `ellwand.css`.
pub(crate) fn address(name: &str) -> String {
    format!("/a/{}/{name}", SHELF.hash)
}

pub(crate) fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    Router::new()
        .route("/a/{hash}/{*name}", get(file))
        .route("/favicon.ico", get(|| async { svg(ICON) }))
}

fn svg(text: &'static str) -> Response {
    ([(header::CONTENT_TYPE, "image/svg+xml")], text).into_response()
}

async fn file(Path((hash, name)): Path<(String, String)>) -> Response {
    // A page of an older program that is still open gets the file of today, but does not keep it.
    let keep = if hash == SHELF.hash {
        "public, max-age=31536000, immutable"
    } else {
        "no-store"
    };
    let (kind, text): (_, &'static str) = match name.as_str() {
        "ellwand.css" => ("text/css; charset=utf-8", &SHELF.css),
        "icon.svg" => ("image/svg+xml", ICON),
        other => match JS.iter().find(|(n, _)| *n == other) {
            Some((_, text)) => ("text/javascript; charset=utf-8", text),
            None => return StatusCode::NOT_FOUND.into_response(),
        },
    };
    (
        [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, keep)],
        text,
    )
        .into_response()
}
