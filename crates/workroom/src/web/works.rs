//! Work that takes longer than a moment: it goes on by itself, says in words how far it is, and can be
//! stopped.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::HeaderValue;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use book::{OrderNo, VersionNo};
use maud::html;
use tokio::sync::Notify;

use super::calm_lock;
use super::layout::{Frame, Here, OrderHead, Stage, page};
use super::paper::{self, Asked, ForPaper};
use super::room::Room;
use super::trouble::Trouble;
use crate::outputs::Output;

/// So many works are remembered.
const REMEMBERED: usize = 50;

/// A page waits so long for work that may be done in a moment.
const MOMENT: Duration = if cfg!(test) {
    Duration::from_mins(1)
} else {
    Duration::from_millis(900)
};

pub(crate) struct Work {
    id: u32,
    order: OrderNo,
    /// The version that is made, once it is kept.
    version: Mutex<Option<VersionNo>>,
    /// What is made just now.
    now: Mutex<(usize, String)>,
    of: usize,
    stop: AtomicBool,
    /// Rung when it is to stop, and when it ends.
    bell: Notify,
    ended: Notify,
    end: Mutex<Option<Result<(), String>>>,
}

impl Work {
    /// The page of what was made.
    fn made(&self) -> String {
        match *calm_lock(&self.version) {
            Some(version) => format!("/orders/{}/versions/{version}", self.order),
            None => format!("/orders/{}/paper", self.order),
        }
    }
}

static WORKS: Mutex<(u32, Vec<Arc<Work>>)> = Mutex::new((0, Vec::new()));

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders/{order}/paper/making/{id}", get(show))
        .route("/orders/{order}/paper/making/{id}/stop", post(stop))
}

/// Begins to make papers of a draft as it is now, with what each is called.
pub(crate) fn begin(
    room: &Arc<Room>,
    order: OrderNo,
    made: ForPaper,
    asked: Asked,
    card: String,
    papers: Vec<(&'static str, Output)>,
) -> Arc<Work> {
    let work = {
        let mut all = calm_lock(&WORKS);
        all.0 += 1;
        let first = papers.first().map(|(name, _)| (*name).to_owned());
        let work = Arc::new(Work {
            id: all.0,
            order,
            version: Mutex::new(None),
            now: Mutex::new((0, first.unwrap_or_default())),
            of: papers.len(),
            stop: AtomicBool::new(false),
            bell: Notify::new(),
            ended: Notify::new(),
            end: Mutex::new(None),
        });
        if all.1.len() >= REMEMBERED {
            all.1.remove(0);
        }
        all.1.push(Arc::clone(&work));
        work
    };
    let (room, going) = (Arc::clone(room), Arc::clone(&work));
    tokio::spawn(async move {
        let end = make(&room, &going, made, asked, card, &papers).await;
        *calm_lock(&going.end) = Some(end);
        going.ended.notify_one();
    });
    work
}

/// What is said of a work that was stopped.
fn stopped(work: &Work) -> String {
    // So many papers were made and kept before the one that is made just now.
    match calm_lock(&work.now).0 {
        0 => "It was stopped before a paper was made.".to_owned(),
        _ => "It was stopped. What was made until then is kept.".to_owned(),
    }
}

/// Keeps the version, then makes its papers one after the other.
async fn make(
    room: &Arc<Room>,
    work: &Arc<Work>,
    made: ForPaper,
    asked: Asked,
    card: String,
    papers: &[(&'static str, Output)],
) -> Result<(), String> {
    let stopped = || stopped(work);
    let says = |trouble: Trouble| trouble.says;
    let looks = asked.looks_words(asked.named(&made.on), made.on.words);
    let ready = room.paper(move || {
        let made = made.cured();
        let sheet_order = made.order(&asked)?;
        let version = made.version(book::Why::Paper, card)?;
        Ok::<_, Trouble>((made, sheet_order, version))
    });
    let (made, sheet_order, version) = tokio::select! {
        ready = ready => ready.and_then(|r| r).map_err(says)?,
        () = work.bell.notified() => return Err(stopped()),
    };
    let order = work.order;
    let kept = room
        .book(move |book| Ok(book.keep_version(order, &version)?))
        .await
        .map_err(says)?;
    *calm_lock(&work.version) = Some(kept);
    let made = Arc::new((made, sheet_order));
    for (i, (name, output)) in papers.iter().enumerate() {
        if work.stop.load(Ordering::Relaxed) {
            return Err(stopped());
        }
        *calm_lock(&work.now) = (i, (*name).to_owned());
        let one = paper::keep(room, order, kept, Arc::clone(&made), *output, looks.clone());
        // What is under way when it is stopped is not kept.
        tokio::select! {
            one = one => one.map_err(says)?,
            () = work.bell.notified() => return Err(stopped()),
        }
    }
    Ok(())
}

/// Where to go on: to what was made, if that was a matter of a moment, else to the page that tells how
/// far it is.
pub(crate) async fn soon(work: &Arc<Work>) -> String {
    let _ = tokio::time::timeout(MOMENT, work.ended.notified()).await;
    if matches!(*calm_lock(&work.end), Some(Ok(()))) {
        return format!("{}?said=made", work.made());
    }
    format!("/orders/{}/paper/making/{}", work.order, work.id)
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
        let to = format!("{}?said=made", work.made());
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
                h1 { @if work.of == 1 { "The paper was not made." } @else { "Not every paper was made." } }
                p.lead { (says) }
                p.presses {
                    @if calm_lock(&work.version).is_some() && done > 0 { a.press.main href=(work.made()) { "What was made" } }
                    a.press.quiet href={ "/orders/" (order) "/paper" } { "Back to the paper" }
                }
            } @else {
                h1 role="status" { @if work.of == 1 { "Making the paper." } @else { "Making " (work.of) " papers, " (done) " done." } }
                p.lead { "Now: " (name) "." }
                @if work.of == 1 { progress aria-label="The paper is being made" {} }
                @else { progress value=(done) max=(work.of) aria-label="Papers made" {} }
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
    work.bell.notify_one();
    let _ = tokio::time::timeout(MOMENT, work.ended.notified()).await;
    Ok(Redirect::to(&format!("/orders/{order}/paper/making/{id}")))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;
    use crate::web::testing::Visit;
    use crate::web::working::OnTable;

    /// Would catch papers that are promised to be kept when it was stopped before there were any.
    #[test]
    fn what_was_stopped_says_what_is_kept_of_it() {
        let Some((visit, order)) = Visit::demo("a-line") else {
            return;
        };
        let (papers, id) = visit
            .wait(async {
                let on = visit.room.book(move |book| OnTable::load(book, order));
                let on = on.await?;
                let made = visit.room.paper(move || ForPaper::quick(on)).await?;
                let papers = vec![("A4", Output::A4), ("A3", Output::A3)];
                let asked = Asked::default();
                let work = begin(&visit.room, order, made, asked, String::new(), papers);
                work.bell.notify_one();
                work.ended.notified().await;
                let held = visit.room.book(move |book| Ok(book.versions(order)?));
                let papers: u32 = held.await?.iter().map(|v| v.papers).sum();
                Ok::<_, Trouble>((papers, work.id))
            })
            .unwrap();
        assert_eq!(papers, 0);
        let at = format!("/orders/{order}/paper/making/{id}");
        let page = visit.get(&at).text();
        assert!(page.contains("stopped before a paper was made"), "{page}");
        assert!(!page.contains("is kept") && !page.contains("What was made"));
        // The same once one of the two was made.
        calm_lock(&find(order.0, id).unwrap().now).0 = 1;
        assert_eq!(
            stopped(&find(order.0, id).unwrap()),
            "It was stopped. What was made until then is kept."
        );
    }
}
