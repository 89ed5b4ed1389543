//! The draft table of an order: the paper in the middle, what is found beside it, one choice in the hand.

mod asked;
mod bench;
pub(crate) mod hand;
mod looked;
mod measuring;
pub(crate) mod points;
mod pressed;
pub(crate) mod slips;
#[cfg(test)]
mod tests;
mod twin;

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use book::OrderNo;
use maud::{Markup, html};

use super::backs::Backs;
use super::drawing::place::Paper;
use super::layout::{Frame, Here, OrderHead, Stage, page};
use super::room::Room;
use super::trouble::Trouble;
use super::working::OnTable;
use asked::Asked;
pub(crate) use asked::in_hand;
use bench::{TableView, found, pattern, strip, table, tray};
use looked::Looked;
use measuring::measure_between;
use pressed::{Came, Pressed, Refused, done};

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders/{order}/draft", get(show).post(press))
        .route("/orders/{order}/draft/live", post(live))
        .route("/orders/{order}/draft/keep", post(keep))
        .route("/orders/{order}/draft/between", get(measure_between))
        .route("/orders/{order}/draft/cures", get(cures))
}

/// Keys of the table, while the paper has the focus.
pub(crate) const KEYS: &[(&str, &str)] = &[
    ("Arrows", "on the paper: move it"),
    ("+, -, 0", "on the paper: larger, smaller, whole"),
    (
        "F, Shift F",
        "on the paper: the next finding, the one before",
    ),
    ("Enter", "on the paper: the cure of the open finding"),
    ("E", "on the paper: the edges of the pieces, one by one"),
    (
        "M",
        "on the paper: measure between two places, or along an edge",
    ),
    ("S, B", "on the paper: step by step; before and after"),
    ("U, R", "on the paper: take back, put again"),
    (
        "Control Z, Control Shift Z",
        "anywhere but in a box: take back, put again",
    ),
    (
        "Up, Down, Page Up, Page Down",
        "in the hand’s box: an eighth or an inch more or less",
    ),
];

/// So many drafts are tried for cures before the page is shown; the others are sought on demand.
const AT_ONCE: usize = 24;

async fn load(room: &Arc<Room>, order: u32) -> Result<OnTable, Trouble> {
    room.book(move |book| OnTable::load(book, OrderNo(order)))
        .await
}

/// The same with what can be taken back and put again, as it is at the same moment.
async fn load_whole(room: &Arc<Room>, order: u32) -> Result<(OnTable, Backs), Trouble> {
    let number = OrderNo(order);
    room.book(move |book| Ok((OnTable::load(book, number)?, Backs::of(book, number)?)))
        .await
}

async fn show(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    shown(&room, order, asked, None).await
}

/// The page, with what was typed into the hand and can't be taken.
async fn shown(
    room: &Arc<Room>,
    order: u32,
    asked: Asked,
    refused: Option<Refused>,
) -> Result<Markup, Trouble> {
    let (on, backs) = load_whole(room, order).await?;
    let most = if asked.cures.is_some() {
        check::cure::MOST_DRAFTS
    } else {
        AT_ONCE
    };
    let looked = room
        .work(move || Looked {
            backs,
            ..Looked::at(on, most)
        })
        .await?;
    let done = asked
        .said
        .as_deref()
        .filter(|s| *s == "done")
        .and(looked.backs.back.as_ref())
        .map(|line| line.label.as_str());
    let frame = Frame {
        title: format!("Draft for {}", looked.on.name()),
        here: Here::Clients,
        order: Some(OrderHead {
            number: OrderNo(order),
            stage: Stage::Draft,
        }),
        wide: true,
        demo: looked.on.order.demo,
        scripts: &["table.js"],
        keys: KEYS,
    };
    let view = TableView {
        refused: refused.as_ref(),
        ..looked.view(&asked, done)
    };
    Ok(page(&frame, table(&view)))
}

async fn press(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(pressed): Form<Pressed>,
) -> Result<Response, Trouble> {
    let asked = Asked {
        hand: Some(pressed.choice.clone()).filter(|c| !c.is_empty()),
        view: Some(pressed.view.clone()).filter(|v| !v.is_empty()),
        hide: pressed.hide.clone(),
        ..Asked::default()
    };
    let cure = pressed.cure.is_some();
    let what = pressed.r#do.clone();
    let said = match (what.as_str(), done(&room, order, pressed).await?) {
        (_, Came::Refused(refused)) => {
            let body = shown(&room, order, asked, Some(refused)).await?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, body).into_response());
        }
        ("back", _) => "back",
        ("again", _) => "again",
        (_, Came::Changed) if cure => "done",
        _ => "",
    };
    // The page comes back at the paper, so that a hand on the keys goes on from there.
    let to = asked.address(order, "said", said);
    Ok(Redirect::to(&format!("{to}#paper")).into_response())
}

/// The drawing and the numbers of a value that is not kept yet.
async fn live(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(pressed): Form<Pressed>,
) -> Result<Markup, Trouble> {
    let on = load(&room, order).await?;
    room.work(move || {
        let typed = pressed.value.as_deref().unwrap_or_default();
        let value = hand::moving(&pressed.kind, typed, on.shown);
        let looked = if value.is_empty() || pressed.choice.is_empty() {
            Looked::quick(on)
        } else {
            Looked::quick(on.with(&pressed.choice, &value))
        };
        let asked = Asked {
            view: Some(pressed.view).filter(|v| !v.is_empty()),
            hide: pressed.hide,
            ..Asked::default()
        };
        let view = looked.view(&asked, None);
        if looked.faults.is_empty() {
            html! { (pattern(&view, &Paper::main(view.worked), None)) (strip(&view)) }
        } else {
            found(&view)
        }
    })
    .await
}

/// Keeps a value and answers with all that follows from it.
async fn keep(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(pressed): Form<Pressed>,
) -> Result<Markup, Trouble> {
    let asked = Asked {
        hand: Some(pressed.choice.clone()).filter(|c| !c.is_empty()),
        view: Some(pressed.view.clone()).filter(|v| !v.is_empty()),
        hide: pressed.hide.clone(),
        ..Asked::default()
    };
    let stepped = matches!(pressed.r#do.as_str(), "less" | "more");
    if let Came::Refused(refused) = done(&room, order, pressed).await? {
        // What is kept stays as it is, and so does what stands in the box.
        return Ok(slips::slips(&slips::Slips {
            findings: &[],
            faults: &[refused.says],
            unread: &[],
            done: None,
            rules: 0,
            more: None,
            asked: false,
        }));
    }
    let (on, backs) = load_whole(&room, order).await?;
    room.work(move || {
        // Cures are fetched behind it: the hand does not wait for them.
        let looked = Looked {
            backs,
            ..Looked::at(on, 0)
        };
        let view = looked.view(&asked, None);
        html! {
            input #seen type="hidden" name="seen" value=(view.seen);
            (pattern(&view, &Paper::main(view.worked), None))
            (strip(&view))
            (found(&view))
            (tray(&view))
            @if let Some(choice) = in_hand(view.worked, asked.hand.as_deref()) {
                (hand::backs(choice, view.shown, view.backs))
                (hand::was(choice, view.shown, None))
                @if stepped { (hand::boxed(choice, view.shown)) (hand::slid(choice, view.shown)) }
            }
        }
    })
    .await
}

/// Which search for cures of an order is the newest: an older one is given up.
static NEWEST: Mutex<BTreeMap<u32, u64>> = Mutex::new(BTreeMap::new());

/// What is found, with all cures that can be computed.
async fn cures(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let on = load(&room, order).await?;
    let mine = {
        let mut all = super::calm_lock(&NEWEST);
        let newest = all.entry(order).or_default();
        *newest += 1;
        *newest
    };
    room.work(move || {
        let old = || super::calm_lock(&NEWEST).get(&order) != Some(&mine);
        let looked = Looked::until(on, check::cure::MOST_DRAFTS, &old);
        found(&looked.view(&asked, None))
    })
    .await
}
