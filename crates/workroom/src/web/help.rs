//! The keys, as a page: the same list that `?` opens.

use std::sync::Arc;

use axum::Router;
use axum::http::StatusCode;
use axum::routing::get;
use maud::{Markup, html};

use super::layout::{Frame, Here, key_list, page};
use super::room::Room;

/// Keys of the pages that have their own.
const MORE: &[(&str, &str)] = &[];

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
                (key_list(MORE))
            }
        },
    )
}
