//! Work that takes longer than a moment: it goes on by itself, says in words how far it is, and can be
//! stopped.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};

use axum::Router;
use axum::extract::{Path, State};
use axum::http::HeaderValue;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use book::{OrderNo, VersionNo};
use maud::html;
use sheet::Order;

use super::calm_lock;
use super::layout::{Frame, Here, OrderHead, Stage, page};
use super::paper::{self, ForPaper, PAPERS};
use super::room::Room;
use super::trouble::Trouble;

/// So many works are remembered.
const REMEMBERED: usize = 50;

struct Work {
    id: u32,
    order: OrderNo,
    version: VersionNo,
    /// What is made just now.
    now: Mutex<(usize, String)>,
    of: usize,
    stop: AtomicBool,
    end: Mutex<Option<Result<(), String>>>,
}

static WORKS: Mutex<(u32, Vec<Arc<Work>>)> = Mutex::new((0, Vec::new()));

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders/{order}/paper/making/{id}", get(show))
        .route("/orders/{order}/paper/making/{id}/stop", post(stop))
}

/// Begins to make every paper of a version; answers the number of the work.
pub(crate) fn begin(
    room: &Arc<Room>,
    order: OrderNo,
    version: VersionNo,
    made: ForPaper,
    sheet_order: Order,
    looks: String,
) -> u32 {
    let work = {
        let mut all = calm_lock(&WORKS);
        all.0 += 1;
        let work = Arc::new(Work {
            id: all.0,
            order,
            version,
            now: Mutex::new((0, String::new())),
            of: PAPERS.len(),
            stop: AtomicBool::new(false),
            end: Mutex::new(None),
        });
        if all.1.len() >= REMEMBERED {
            all.1.remove(0);
        }
        all.1.push(Arc::clone(&work));
        work
    };
    let id = work.id;
    let room = Arc::clone(room);
    tokio::spawn(async move {
        let made = Arc::new((made, sheet_order));
        let mut end = Ok(());
        for (i, (_, name, output)) in PAPERS.iter().enumerate() {
            if work.stop.load(Ordering::Relaxed) {
                end = Err("It was stopped. What was made until then is kept.".to_owned());
                break;
            }
            *calm_lock(&work.now) = (i, (*name).to_owned());
            let kept = paper::keep(
                &room,
                order,
                version,
                Arc::clone(&made),
                *output,
                looks.clone(),
            );
            if let Err(trouble) = kept.await {
                end = Err(trouble.says);
                break;
            }
        }
        *calm_lock(&work.end) = Some(end);
    });
    id
}

fn find(order: u32, id: u32) -> Result<Arc<Work>, Trouble> {
    let all = calm_lock(&WORKS);
    all.1
        .iter()
        .find(|w| w.id == id && w.order == OrderNo(order))
        .cloned()
        .ok_or_else(|| Trouble::missing("work under way"))
}

async fn show(Path((order, id)): Path<(u32, u32)>) -> Result<Response, Trouble> {
    let work = find(order, id)?;
    let end = calm_lock(&work.end).clone();
    if matches!(end, Some(Ok(()))) {
        let to = format!("/orders/{order}/versions/{}?said=made", work.version);
        return Ok(Redirect::to(&to).into_response());
    }
    let (done, name) = calm_lock(&work.now).clone();
    let frame = Frame {
        title: "Making the papers".into(),
        here: Here::Clients,
        order: Some(OrderHead {
            number: work.order,
            stage: Stage::Paper,
        }),
        ..Frame::default()
    };
    let going = end.is_none();
    let body = html! {
        div.alone {
            @if let Some(Err(says)) = &end {
                h1 { "Not every paper was made." }
                p.lead { (says) }
                p.presses {
                    a.press.main href={ "/orders/" (order) "/versions/" (work.version) } { "What was made" }
                    a.press.quiet href={ "/orders/" (order) "/paper" } { "Back to the paper" }
                }
            } @else {
                h1 role="status" { "Making " (work.of) " papers, " (done) " done." }
                p.lead { "Now: " (name) "." }
                progress value=(done) max=(work.of) aria-label="Papers made" {}
                form method="post" action={ "/orders/" (order) "/paper/making/" (id) "/stop" } {
                    p.presses { button.press { "Stop" } }
                }
                p.help { "This page looks again by itself, every second." }
            }
        }
    };
    let mut answer = page(&frame, body).into_response();
    if going {
        answer
            .headers_mut()
            .insert("refresh", HeaderValue::from_static("1"));
    }
    Ok(answer)
}

async fn stop(
    State(_room): State<Arc<Room>>,
    Path((order, id)): Path<(u32, u32)>,
) -> Result<Redirect, Trouble> {
    let work = find(order, id)?;
    work.stop.store(true, Ordering::Relaxed);
    Ok(Redirect::to(&format!("/orders/{order}/paper/making/{id}")))
}
