//! The cloth of an order: its lay, found while she looks on, moved by hand, compared, printed.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use book::{Book, Change, OrderNo};
use maud::html;
use serde::Deserialize;
use sheet::Paper;
use tokio_stream::wrappers::ReceiverStream;

use super::layout::{Frame, Here, OrderHead, Stage, page};
use super::order::both::Both;
use super::parts::link::escaped;
use super::room::Room;
use super::trouble::Trouble;
use super::visit;
use super::working::OnTable;
use crate::cloth_sheet;
use crate::cut_list::TOILE;
use crate::laying::compare;

mod drawing;
mod hand;
mod kept;
mod marks;
mod ready;
mod search;
mod slips;
#[cfg(test)]
mod tests;
mod typed;
mod view;

use hand::Hand;
use kept::Current;
use ready::{NotReady, Ready};
use typed::Typed;
use view::ClothView;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders/{order}/cloth", get(look))
        .route("/orders/{order}/cloth/page", post(keep_page))
        .route("/orders/{order}/cloth/search", post(begin))
        .route("/orders/{order}/cloth/stop", post(stop))
        .route("/orders/{order}/cloth/live", get(live))
        .route("/orders/{order}/cloth/hand", post(by_hand))
        .route("/orders/{order}/cloth/try", get(tried))
        .route("/orders/{order}/cloth/keep", post(keep))
        .route("/orders/{order}/cloth/compare", post(compared))
        .route("/orders/{order}/cloth/way", post(other_way))
        .route("/orders/{order}/cloth/join", post(with_join))
        .route("/orders/{order}/cloth/{file}", get(file))
}

/// Keys of the page, while a piece of the lay has the focus.
const KEYS: &[(&str, &str)] = &[
    ("Tab, Enter", "on the lay: to a piece, take it in the hand"),
    (
        "Arrows",
        "with a piece in the hand: move it; with Shift finely",
    ),
    ("T, P", "with a piece in the hand: turn it, pin it"),
];

/// What an address may say.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Asked {
    r#for: String,
    piece: Option<usize>,
    said: Option<String>,
    /// The cloth itself is to be changed.
    edit: Option<String>,
}

impl Asked {
    fn kind(&self) -> String {
        kind_of(&self.r#for)
    }
}

fn kind_of(text: &str) -> String {
    if text.trim().is_empty() {
        "shell".to_owned()
    } else {
        text.trim().chars().take(60).collect()
    }
}

fn back(order: u32, kind: &str, more: &str) -> Response {
    Redirect::to(&format!(
        "/orders/{order}/cloth?for={}{more}",
        escaped(kind)
    ))
    .into_response()
}

/// The order, and her settings.
async fn loaded(
    room: &Arc<Room>,
    order: u32,
) -> Result<(OnTable, BTreeMap<String, String>), Trouble> {
    room.book(move |book| Ok((OnTable::load(book, OrderNo(order))?, book.settings()?)))
        .await
}

/// The order as it is laid on this cloth: the toile as a toile, all else as it is cut in the end, for both
/// can be bought at once.
fn as_laid(on: &OnTable, kind: &str) -> OnTable {
    if kind == TOILE {
        on.as_toile()
    } else {
        on.in_the_cloth()
    }
}

/// The order, its cut list, and what of it is cut from this cloth.
async fn ready(
    room: &Arc<Room>,
    (on, settings): (OnTable, BTreeMap<String, String>),
    kind: &str,
) -> Result<(OnTable, Result<Ready, NotReady>), Trouble> {
    let kind = kind.to_owned();
    room.work(move || {
        let on = as_laid(&on, &kind);
        let ready = Ready::of(&on, &settings, &kind);
        (on, ready)
    })
    .await
}

/// The same, where nothing can be done without it.
async fn needed(room: &Arc<Room>, order: u32, kind: &str) -> Result<(OnTable, Ready), Trouble> {
    let (on, ready) = ready(room, loaded(room, order).await?, kind).await?;
    match ready {
        Ok(ready) => Ok((on, ready)),
        Err(why) => Err(Trouble::unclear(why.says.join(" "))),
    }
}

async fn look(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Query(asked): Query<Asked>,
) -> Result<Response, Trouble> {
    let mut kind = asked.kind();
    let held = loaded(&room, order).await?;
    if asked.r#for.trim().is_empty() && held.0.toile_first() {
        TOILE.clone_into(&mut kind);
    }
    let (on, ready) = ready(&room, held, &kind).await?;
    let running = search::running(&room, order, &kind);
    let view = room
        .work(move || {
            let held = on.holds.get(&format!("cloth/{kind}"));
            let typed = Typed::of_page(held.map_or("", String::as_str), on.shown.unit);
            ClothView::of(&on, ready, running, typed, Vec::new(), (&asked, &kind))
        })
        .await?;
    Ok(framed(&view).into_response())
}

fn framed(view: &ClothView) -> maud::Markup {
    let frame = Frame {
        title: format!("Cloth for {}", view.client),
        here: Here::Clients,
        order: Some(OrderHead {
            number: OrderNo(view.order),
            stage: Stage::Cloth,
        }),
        wide: false,
        demo: view.demo,
        scripts: &["cloth.js"],
        keys: KEYS,
    };
    page(&frame, view.body())
}

/// Keeps the page of a cloth as she typed it.
async fn keep_page(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(typed): Form<Typed>,
) -> Result<Response, Trouble> {
    let kind = kind_of(&typed.r#for);
    let text = typed.page();
    if let Err(faults) = lay::cloth::read(&text) {
        let (on, ready) = ready(&room, loaded(&room, order).await?, &kind).await?;
        let says = slips::of_form(&text, &faults);
        let asked = Asked {
            edit: Some("yes".into()),
            ..Asked::default()
        };
        let view = room
            .work(move || ClothView::of(&on, ready, None, typed, says, (&asked, &kind)))
            .await?;
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, framed(&view)).into_response());
    }
    let label = format!("the {kind}’s cloth");
    let seen = typed.seen.parse().ok();
    let of = kind.clone();
    let (on, before) = ready(&room, loaded(&room, order).await?, &kind).await?;
    let lay = before
        .ok()
        .and_then(|before| kept::known_anew(&before, &on.holds));
    room.book(move |book| {
        let mut changes = vec![Change {
            key: format!("cloth/{of}"),
            after: Some(text),
        }];
        if let Some(lay) = lay {
            let key = format!("lay/{of}");
            let since = seen.map_or(Ok(Vec::new()), |s| book.changed_since(OrderNo(order), s))?;
            // One that was laid since the page was made is hers as it is.
            if !since.contains(&key) {
                changes.push(Change {
                    key,
                    after: Some(lay),
                });
            }
        }
        match book.change(OrderNo(order), seen, &label, &visit::now().by, &changes) {
            Err(book::Trouble::Moved { now }) => Err(two_cloths(book, order, &of, &typed, now)?),
            other => {
                other?;
                Ok(())
            }
        }
    })
    .await?;
    Ok(back(order, &kind, "&said=kept"))
}

/// Another window changed the same cloth meanwhile: both are shown, and she keeps one.
fn two_cloths(
    book: &Book,
    order: u32,
    kind: &str,
    mine: &Typed,
    now: u64,
) -> Result<Trouble, Trouble> {
    let held = book.holds(OrderNo(order))?;
    // A page that does not say by what it is sold is not told apart by that.
    let theirs = held
        .get(&format!("cloth/{kind}"))
        .map(|page| Typed::of_page(page, mine.sold_in()).told())
        .unwrap_or_default();
    let now = now.to_string();
    let sent = mine.fields();
    let mut fields: Vec<(&str, &str)> = vec![("for", kind), ("seen", &now)];
    fields.extend(sent.iter().map(|(name, text)| (*name, text.as_str())));
    Ok(Both {
        what: &format!("The {kind}’s cloth"),
        mine: &mine.told(),
        theirs: &theirs,
        action: format!("/orders/{order}/cloth/page"),
        fields: &fields,
        press: ("do", "keep"),
        back: format!("/orders/{order}/cloth?for={}#cloth", escaped(kind)),
    }
    .trouble())
}

/// Changes one thing of the order by a press. With the count of the page, nothing is done where another
/// window changed it meanwhile: what was pressed belongs to what the page showed.
async fn change(
    room: &Arc<Room>,
    order: u32,
    seen: Option<u64>,
    label: String,
    what: (String, String),
) -> Result<(), Trouble> {
    if changed(room, order, seen, label, what).await? {
        return Ok(());
    }
    Err(Trouble::new(
        StatusCode::CONFLICT,
        "This cloth was changed in another window meanwhile.",
        "Nothing was written over. Look at it as it is now, and choose again.",
    ))
}

/// The same; tells whether it was done.
async fn changed(
    room: &Arc<Room>,
    order: u32,
    seen: Option<u64>,
    label: String,
    (key, after): (String, String),
) -> Result<bool, Trouble> {
    room.book(move |book| {
        let change = Change {
            key,
            after: Some(after),
        };
        match book.change(OrderNo(order), seen, &label, &visit::now().by, &[change]) {
            Err(book::Trouble::Moved { .. }) => Ok(false),
            other => {
                other?;
                Ok(true)
            }
        }
    })
    .await
}

/// What a press for a search sends.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Begin {
    r#for: String,
    seconds: Option<f64>,
}

async fn begin(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(asked): Form<Begin>,
) -> Result<Response, Trouble> {
    let kind = kind_of(&asked.r#for);
    let (on, ready) = needed(&room, order, &kind).await?;
    let seconds = asked
        .seconds
        .filter(|s| s.is_finite())
        .unwrap_or(10.0)
        .clamp(1.0, 600.0);
    // A first lay is looked for before, if none is kept.
    let here = Arc::clone(&room);
    let begun = room
        .work(move || search::begin(&here, order, ready, &on.holds, seconds))
        .await?;
    Ok(back(order, &kind, if begun { "" } else { "&said=busy" }))
}

/// What a press that only names the cloth sends.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Of {
    r#for: String,
    /// The order's count when the page was made.
    seen: Option<u64>,
    /// The mark of the lay as the page showed it.
    lay: String,
}

async fn stop(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(asked): Form<Of>,
) -> Result<Response, Trouble> {
    let kind = kind_of(&asked.r#for);
    if let Some(search) = search::running(&room, order, &kind) {
        search.stop();
        // It ends within a moment; then the page shows what was found.
        for _ in 0..40 {
            if search.ended() {
                break;
            }
            tokio::time::sleep(core::time::Duration::from_millis(50)).await;
        }
    }
    Ok(back(order, &kind, ""))
}

/// Every better lay as it is found, until the search ends.
async fn live(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Query(asked): Query<Asked>,
) -> Response {
    let kind = asked.kind();
    let (send, receive) = tokio::sync::mpsc::channel::<Result<Event, core::convert::Infallible>>(4);
    let search = search::running(&room, order, &kind);
    tokio::spawn(async move {
        let mut seen = 0;
        while let Some(search) = &search {
            let (count, markup) = search.told(seen);
            if let Some(markup) = markup {
                seen = count;
                if send
                    .send(Ok(Event::default().event("lay").data(markup.into_string())))
                    .await
                    .is_err()
                {
                    return;
                }
            }
            let time = Event::default().event("time").data(search.progress());
            if send.send(Ok(time)).await.is_err() {
                return;
            }
            if search.ended() {
                break;
            }
            tokio::time::sleep(core::time::Duration::from_millis(400)).await;
        }
        let _ = send
            .send(Ok(Event::default().event("done").data("done")))
            .await;
    });
    Sse::new(ReceiverStream::new(receive))
        .keep_alive(KeepAlive::default())
        .into_response()
}

async fn by_hand(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(pressed): Form<Hand>,
) -> Result<Response, Trouble> {
    let kind = kind_of(&pressed.r#for);
    let (on, ready) = needed(&room, order, &kind).await?;
    if search::running(&room, order, &kind).is_some() {
        return Ok(back(order, &kind, "&said=busy"));
    }
    let seen = on.order.seen;
    let done = room
        .work(move || {
            let current = Current::of(&ready, &on.holds);
            let stale = pressed.stale(&ready, &current);
            (!stale).then(|| pressed.done(&ready, current))
        })
        .await?;
    // Pressed twice, or on an old page, it would move another piece than she saw there.
    let Some(done) = done else {
        return Ok(back(order, &kind, "&said=stale"));
    };
    let done = done.map_err(Trouble::unclear)?;
    if let Some(after) = done.after {
        let what = (format!("lay/{kind}"), after);
        if !changed(&room, order, Some(seen), done.label, what).await? {
            return Ok(back(order, &kind, "&said=stale"));
        }
    }
    Ok(back(
        order,
        &kind,
        &format!("&piece={}&said={}#hand", done.piece, done.said),
    ))
}

/// Where a piece that is being dragged would come to lie.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Try {
    r#for: String,
    piece: usize,
    /// The mark of the lay as the page showed it.
    lay: String,
    dx: f64,
    dy: f64,
}

async fn tried(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Query(asked): Query<Try>,
) -> Result<Response, Trouble> {
    let kind = kind_of(&asked.r#for);
    let (on, settings) = loaded(&room, order).await?;
    let here = Arc::as_ptr(&room).addr();
    let told = room
        .work(move || -> Result<_, NotReady> {
            // A piece that is dragged asks many times: the pattern is worked once for it.
            let of = hand::Dragged::of(here, (order, &kind), &on.holds);
            let lies = match of.known() {
                Some(lies) => lies,
                None => {
                    let ready = Ready::of(&as_laid(&on, &kind), &settings, &kind)?;
                    let current = Current::of(&ready, &on.holds);
                    of.keep(ready, current)
                }
            };
            let by = (asked.dx, asked.dy);
            let piece = (asked.piece, asked.lay.as_str());
            Ok(hand::tried((&lies.0, &lies.1), piece, by))
        })
        .await?;
    let value = told.map_err(|why| Trouble::unclear(why.says.join(" ")))?;
    Ok((
        [(header::CONTENT_TYPE, "application/json")],
        value.to_string(),
    )
        .into_response())
}

/// Keeps the lay that is shown as the one to cut by.
async fn keep(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(asked): Form<Of>,
) -> Result<Response, Trouble> {
    let kind = kind_of(&asked.r#for);
    let (on, ready) = needed(&room, order, &kind).await?;
    let of = kind.clone();
    let kept = room
        .work(move || {
            let current = Current::of(&ready, &on.holds);
            if !asked.lay.is_empty() && asked.lay != current.mark(&ready) {
                return None;
            }
            let found = ready.found(&current.lay);
            let file = cloth_sheet::file(&found, &ready.list, &of, &[], 0);
            Some((ready.key, crate::json::text(&file)))
        })
        .await?;
    let Some((key, found)) = kept else {
        return Ok(back(order, &kind, "&said=stale"));
    };
    let of = kind.clone();
    room.book(move |book| {
        let id = book.keep_lay(OrderNo(order), &of, &key, &found)?;
        book.choose_lay(OrderNo(order), id)?;
        Ok(())
    })
    .await?;
    Ok(back(order, &kind, "&said=lay"))
}

async fn compared(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(asked): Form<Of>,
) -> Result<Response, Trouble> {
    let kind = kind_of(&asked.r#for);
    let (on, ready) = needed(&room, order, &kind).await?;
    room.paper(move || {
        let hers = ready.found(&Current::of(&ready, &on.holds).lay);
        let wanted = ready.wanted(crate::laying::Spend::Seconds(9.0));
        let all = compare(&wanted, &hers, &|| false);
        kept::keep_compared(&ready.page_key, all);
    })
    .await?;
    Ok(back(order, &kind, "#ways"))
}

/// A trouble with the cloth leads back to it.
fn to_the_cloth(trouble: Trouble, order: u32, kind: &str) -> Trouble {
    let at = format!("/orders/{order}/cloth?for={}", escaped(kind));
    trouble.back(at, "Back to the cloth")
}

/// Another way of a card: one line of the cloth's page.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct OtherWay {
    r#for: String,
    seen: Option<u64>,
    way: usize,
}

async fn other_way(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(asked): Form<OtherWay>,
) -> Result<Response, Trouble> {
    let kind = kind_of(&asked.r#for);
    let (on, ready) = needed(&room, order, &kind).await?;
    let ways = lay::compare::ways(&ready.cloth);
    let Some(way) = ways.get(asked.way) else {
        return Err(Trouble::missing("such way"));
    };
    let key = format!("cloth/{kind}");
    let text = on.holds.get(&key).cloned().unwrap_or_default();
    let text = typed::changed(&text, &way.cloth, way.change);
    let label = format!("the {kind}: {}", cloth_sheet::way(way.change, on.shown));
    let seen = asked.seen.or(Some(on.order.seen));
    change(&room, order, seen, label, (key, text))
        .await
        .map_err(|t| to_the_cloth(t, order, &kind))?;
    Ok(back(order, &kind, "&said=way"))
}

/// A piece that is too wide is joined: a line of the cloth's page.
async fn with_join(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(asked): Form<Of>,
) -> Result<Response, Trouble> {
    let kind = kind_of(&asked.r#for);
    let (on, ready) = ready(&room, loaded(&room, order).await?, &kind).await?;
    let key = format!("cloth/{kind}");
    let helps = ready.err().is_some_and(|why| why.join.is_some());
    let Some(text) = on.holds.get(&key).filter(|_| helps) else {
        return Ok(back(order, &kind, ""));
    };
    let allowance = measure::fraction::show(lay::join::usual_allowance(), on.shown);
    let text = typed::with(text, "join", &allowance);
    let label = format!("the {kind}: joined where it is too wide");
    let seen = asked.seen.or(Some(on.order.seen));
    change(&room, order, seen, label, (key, text))
        .await
        .map_err(|t| to_the_cloth(t, order, &kind))?;
    Ok(back(order, &kind, "&said=joined"))
}

/// The lay as paper, as a picture, for a plotter, and for programs.
async fn file(
    State(room): State<Arc<Room>>,
    Path((order, name)): Path<(u32, String)>,
    Query(asked): Query<Asked>,
) -> Result<Response, Trouble> {
    let kind = asked.kind();
    let types = [
        ("lay.pdf", "application/pdf"),
        ("lay-full.pdf", "application/pdf"),
        ("lay.svg", "image/svg+xml"),
        ("lay.plt", "application/vnd.hp-hpgl"),
        ("lay.json", "application/json"),
    ];
    let Some((_, media)) = types.iter().find(|(n, _)| *n == name) else {
        return Err(Trouble::missing("such paper"));
    };
    let (on, ready) = needed(&room, order, &kind).await?;
    let bytes = room
        .paper(move || {
            let current = Current::of(&ready, &on.holds);
            let found = ready.found(&current.lay);
            let code = format!("{}", on.order.number);
            let drawn = cloth_sheet::sheet(&found, &ready.list, &kind, &code, (on.shown, on.words));
            let bytes = match name.as_str() {
                "lay.pdf" => sheet::cloth_pdf(&drawn, Paper::A4),
                "lay-full.pdf" => sheet::cloth_full_pdf(&drawn),
                "lay.svg" => sheet::cloth_svg(&drawn).map(String::into_bytes),
                "lay.plt" => sheet::cloth_plt(&drawn).map(String::into_bytes),
                _ => Ok(
                    crate::json::text(&cloth_sheet::file(&found, &ready.list, &kind, &[], 0))
                        .into_bytes(),
                ),
            };
            bytes.map_err(|fault| Trouble::unclear(fault.to_string()))
        })
        .await??;
    Ok(([(header::CONTENT_TYPE, *media)], bytes).into_response())
}

/// What is said at the head of the page after a press.
fn said(code: Option<&str>) -> maud::Markup {
    let words = match code {
        Some("kept") => "Kept.",
        Some("lay") => "Kept: this is the lay to cut by, and the quote buys by it.",
        Some("joined") => {
            "A piece that is too wide is cut in two now, and joined. How, is said under \u{201c}Before you buy\u{201d}."
        }
        Some("way") => "The cloth lies that way now. Lay it anew.",
        Some("busy") => "A lay is being sought just now. Stop it first, or wait a moment.",
        Some("stale") => {
            "The lay was changed meanwhile, so this press did nothing: here it is as it lies now."
        }
        Some("moved") => "Moved.",
        Some("near") => {
            "There it would lie over something or off the cloth: it lies at the nearest place where it may."
        }
        Some("nowhere") => "There is no place near there where it may lie. It stays where it was.",
        Some("turned") => "Turned.",
        Some("pinned") => "Pinned: the rest is laid round it.",
        Some("loose") => "Loose again.",
        _ => "",
    };
    html! { p.said role="status" { (words) } }
}
