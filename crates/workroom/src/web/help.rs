//! The keys, as a page: the same list that `?` opens.

use std::sync::Arc;

use axum::Router;
use axum::http::StatusCode;
use axum::routing::get;
use maud::{Markup, html};

use super::layout::{Frame, Here, key_list, own_keys, page};
use super::room::Room;

/// Keys of a page: what each is, and what it does.
type Keys = &'static [(&'static str, &'static str)];

/// The pages that have keys of their own, one line each.
const PAGES: &[(&str, Keys)] = &[
    ("At the draft", super::table::KEYS),
    ("Step by step", super::steps::KEYS),
];

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/keys", get(keys))
        // A page asks whether Ellwand is still there before it sends what she typed.
        .route("/here", get(|| async { StatusCode::NO_CONTENT }))
}

async fn keys() -> Markup {
    let frame = Frame {
        title: "Keys".into(),
        here: Here::Elsewhere,
        ..Frame::default()
    };
    page(
        &frame,
        html! {
            div.alone {
                h1 { "Keys" }
                p.lead { "Everything can be done with a mouse, with a finger, or with these." }
                (key_list(&[]))
                @for (page, keys) in PAGES {
                    h2 { (page) }
                    (own_keys(keys))
                }
            }
        },
    )
}
