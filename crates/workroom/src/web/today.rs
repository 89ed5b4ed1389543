//! Today: what comes next.

use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::routing::get;
use maud::{Markup, html};

use super::layout::{Frame, Here, page};
use super::room::Room;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new().route("/", get(today))
}

async fn today(State(room): State<Arc<Room>>) -> Markup {
    let _ = room.today();
    let frame = Frame {
        title: "Today".into(),
        here: Here::Today,
        ..Frame::default()
    };
    page(
        &frame,
        html! {
            div.alone {
                h1 { "The table is clear." }
                p.lead { "Start with a person and a tape." }
            }
        },
    )
}
