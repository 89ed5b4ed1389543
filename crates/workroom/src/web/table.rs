//! The draft table of an order: the paper in the middle, what is found beside it, one choice in the hand.

pub(crate) mod hand;
mod measuring;
pub(crate) mod points;
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
use book::{Change, OrderNo};
use check::{Finding, Measured};
use draft::Worked;
use draft::worked::{ChoiceUsed, Quantity};
use maud::{Markup, html};
use measure::fraction::{Shown, Unit, show_number};

use super::backs::{self, Backs, Way};
use super::drawing::place::Paper;
use super::drawing::{self, Trace, View, Wanted};
use super::layout::{Frame, Here, OrderHead, Stage, page};
use super::parts::apart;
use super::parts::number::{n, told};
use super::room::Room;
use super::trouble::Trouble;
use super::visit;
use super::working::{NO_CARD, OnTable};
use measuring::{measure, measure_between, measured_now};

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

/// What a press on the table sends.
#[derive(Clone, Debug, Default, serde::Deserialize)]
#[serde(default)]
struct Pressed {
    seen: Option<u64>,
    choice: String,
    /// What stood in the box, and where the slide was, when the page was made.
    was: String,
    at: Option<f64>,
    /// The kind of its value: length, share, ...
    kind: String,
    value: Option<String>,
    slide: Option<f64>,
    r#do: String,
    /// The lines of the journal that the buttons named.
    back: Option<u64>,
    again: Option<u64>,
    cure: Option<String>,
    view: String,
    hide: String,
}

/// The draft of an order, looked at.
struct Looked {
    on: OnTable,
    backs: Backs,
    worked: Worked,
    faults: Vec<String>,
    findings: Vec<Finding>,
    /// Cures were sought as far as they ever are.
    sought: bool,
    measured: Measured,
}

/// So many drafts are tried for cures before the page is shown; the others are sought on demand.
const AT_ONCE: usize = 24;

impl Looked {
    /// The draft with what is found, and with cures as far as so many trial drafts go.
    fn at(on: OnTable, most: usize) -> Self {
        Self::until(on, most, &|| false)
    }

    /// The same, given up when it is no longer wanted.
    fn until(on: OnTable, most: usize, given_up: &dyn Fn() -> bool) -> Self {
        let (worked, faults) = drawn(&on);
        let (findings, sought) = if faults.is_empty() {
            on.found_within(&worked, most, given_up)
        } else {
            (Vec::new(), true)
        };
        let measured = measured(&on, &worked, &faults);
        Self {
            on,
            backs: Backs::default(),
            worked,
            faults,
            findings,
            sought,
            measured,
        }
    }

    /// The drawing and the numbers alone: no findings are sought.
    fn quick(on: OnTable) -> Self {
        let (worked, faults) = drawn(&on);
        let measured = measured(&on, &worked, &faults);
        Self {
            on,
            backs: Backs::default(),
            worked,
            faults,
            findings: Vec::new(),
            sought: true,
            measured,
        }
    }

    fn view<'a>(&'a self, asked: &'a Asked, done: Option<&'a str>) -> TableView<'a> {
        TableView {
            order: self.on.order.number.0,
            client: self.on.name(),
            client_address: format!("/clients/{}", self.on.client.number),
            facts: facts(&self.on, &self.worked),
            seen: self.on.order.seen,
            worked: &self.worked,
            faults: &self.faults,
            findings: &self.findings,
            sought: self.sought,
            measured: &self.measured,
            shown: self.on.shown,
            asked,
            backs: &self.backs,
            done,
            refused: None,
            unread: self
                .on
                .set
                .iter()
                .map(|(name, _)| name.as_str())
                .filter(|name| !self.faults.is_empty() && !known(&self.worked, name))
                .collect(),
        }
    }
}

/// Whether the method took this choice.
fn known(worked: &Worked, choice: &str) -> bool {
    let folded = measure::names::fold(choice);
    let taken = |c: &ChoiceUsed| measure::names::fold(&c.name) == folded;
    worked.choices.iter().any(taken)
}

/// The draft and what stands in its way. What is drawn in spite of a fault is not shown: she would
/// take it for a pattern.
fn drawn(on: &OnTable) -> (Worked, Vec<String>) {
    let mut worked = on.redraw();
    let faults = on.in_the_way(&worked);
    if !faults.is_empty() {
        worked.pieces.clear();
        worked.origins.clear();
        worked.halves.clear();
        worked.seams.clear();
    }
    (worked, faults)
}

fn measured(on: &OnTable, worked: &Worked, faults: &[String]) -> Measured {
    if faults.is_empty() {
        on.measured(worked)
    } else {
        Measured::default()
    }
}

fn facts(on: &OnTable, worked: &Worked) -> String {
    let mut out = format!("Order {}. ", on.order.number);
    if let Some(card) = &on.card_row {
        out.push_str(&format!(
            "Card of {}. ",
            super::parts::day::long(card.head.taken)
        ));
    }
    if let Some(cloth) = &on.cloth {
        out.push_str(&format!("{}. ", check::told::capital(&cloth.name)));
    }
    match on.corrections.len() {
        0 => {}
        1 => out.push_str("One correction of a fitting is laid over it. "),
        n => out.push_str(&format!("{n} corrections of fittings are laid over it. ")),
    }
    if on.allowed.toile() {
        out.push_str("A toile: without lining and facings. ");
    }
    if on.allowed.laid().is_some() && !on.allowed.by_method {
        out.push_str("Allowances by your table. ");
    }
    out.push_str("Half of each piece on the fold is drawn; pieces are turned so that what is sewn together faces.");
    if !worked.halves.is_empty() {
        out.push_str(" Where left and right differ a piece lies right side up; left and right are as she wears it.");
    }
    out
}

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

/// What a press asks for, as changes of what the order holds, and their label.
fn asked_for(on: &OnTable, worked: &Worked, pressed: &Pressed) -> Option<(String, Vec<Change>)> {
    if let Some((choice, value)) = pressed.cure.as_deref().and_then(|c| c.split_once('=')) {
        let value = Some(value).filter(|v| !v.is_empty());
        return Some(change(on, worked, choice, value));
    }
    let choice = worked.choices.iter().find(|c| c.name == pressed.choice)?;
    let value = match pressed.r#do.as_str() {
        "usual" => return Some(change(on, worked, &choice.name, None)),
        way @ ("less" | "more") => a_step(on, choice, pressed, way == "more"),
        _ => typed(choice, pressed, on.shown),
    };
    let value = value.filter(|v| !v.is_empty())?;
    if value == hand::kept(&choice.value, on.shown) {
        return None;
    }
    Some(change(on, worked, &choice.name, Some(&value)))
}

/// What the box says; where it was left and the slide was moved, what the slide says. Both are held against
/// the page they stood on, for what is kept may have moved on since.
fn typed(choice: &ChoiceUsed, pressed: &Pressed, shown: Shown) -> Option<String> {
    let text = pressed.value.as_deref().unwrap_or_default().trim();
    let step = hand::slide(choice, shown).map(|s| s.step);
    let slid = pressed.slide.zip(pressed.at).zip(step);
    match slid {
        Some(((to, from), step)) if text == pressed.was && (to - from).abs() > step / 2.0 => {
            hand::written(&choice.value, to, shown)
        }
        _ => Some(hand::understood(&choice.value, text, shown)),
    }
}

/// A step from what stands in the box, which may not be kept yet. If the method can't take that, it is the
/// value itself: she is told why.
fn a_step(on: &OnTable, choice: &ChoiceUsed, pressed: &Pressed, more: bool) -> Option<String> {
    let stands = typed(choice, pressed, on.shown)
        .filter(|v| !v.is_empty() && *v != hand::kept(&choice.value, on.shown));
    let Some(stands) = stands else {
        return hand::stepped(choice, on.shown, more);
    };
    let there = on.clone().with(&choice.name, &stands).redraw();
    match there.choices.iter().find(|c| c.name == choice.name) {
        Some(choice) => hand::stepped(choice, on.shown, more),
        None => Some(stands),
    }
}

fn change(
    on: &OnTable,
    worked: &Worked,
    choice: &str,
    value: Option<&str>,
) -> (String, Vec<Change>) {
    let known = worked.choices.iter().find(|c| c.name == choice);
    let label = known.map_or(choice, |c| c.label.as_str());
    let was = known
        .map(|c| hand::kept(&c.value, on.shown))
        .unwrap_or_default();
    let to = value
        .map(str::to_owned)
        .or_else(|| known.map(|c| hand::kept(&c.usual, on.shown)))
        .unwrap_or_default();
    let change = Change {
        key: format!("choice/{choice}"),
        after: value.map(str::to_owned),
    };
    let says = if known.is_some() {
        format!("{label} {was} to {to}")
    } else {
        format!("{label} as the method has it")
    };
    (says, vec![change])
}

/// What came of a press.
enum Came {
    Changed,
    Nothing,
    /// The method can't take this value: why, and what was typed.
    Refused(Refused),
}

/// A value that the method can't take. It is not kept, and not lost: it stands in its box.
pub(crate) struct Refused {
    says: String,
    typed: String,
}

/// Why a method can't take a value, if it can't.
fn refused(on: OnTable, changes: &[Change], typed: &str) -> Option<Refused> {
    let [
        Change {
            key,
            after: Some(value),
        },
    ] = changes
    else {
        return None;
    };
    let name = key.strip_prefix("choice/")?;
    let tried = on.with(name, value);
    let worked = tried.redraw();
    if known(&worked, name) {
        return None;
    }
    let faults = tried.in_the_way(&worked);
    let about = faults.iter().find(|f| f.contains(&format!("`{name}`")));
    Some(Refused {
        says: about.or(faults.first())?.clone(),
        typed: typed.to_owned(),
    })
}

/// Does what was pressed; and what came of it.
async fn done(room: &Arc<Room>, order: u32, pressed: Pressed) -> Result<Came, Trouble> {
    let came = |done: bool| if done { Came::Changed } else { Came::Nothing };
    let number = OrderNo(order);
    let who = visit::now().by;
    if let Some(way) = Way::of(&pressed.r#do) {
        let at = match way {
            Way::Back => pressed.back,
            Way::Again => pressed.again,
        };
        let here = format!("/orders/{order}/draft");
        return room
            .book(move |book| backs::turn(book, number, way, at, &here))
            .await
            .map(came);
    }
    let on = load(room, order).await?;
    let seen = pressed.seen;
    let wanted = room
        .work(move || {
            let worked = on.redraw();
            let (label, changes) = asked_for(&on, &worked, &pressed)?;
            let typed = pressed.value.as_deref().unwrap_or_default();
            Some(match refused(on, &changes, typed) {
                Some(refused) => Err(refused),
                None => Ok((label, changes)),
            })
        })
        .await?;
    let (label, changes) = match wanted {
        None => return Ok(Came::Nothing),
        Some(Err(refused)) => return Ok(Came::Refused(refused)),
        Some(Ok(wanted)) => wanted,
    };
    let mine = changes.clone();
    let kept = room
        .book(
            move |book| match book.change(number, seen, &label, &who, &changes) {
                Err(book::Trouble::Moved { now }) => {
                    let holds = book.holds(number)?;
                    Ok(Err((now, holds)))
                }
                other => Ok(Ok(other?)),
            },
        )
        .await?;
    match kept {
        Ok(_) => Ok(Came::Changed),
        Err((now, holds)) => Err(both(order, now, &mine, &holds)),
    }
}

/// A value of one of two windows: marked where the other has another one.
fn cell(value: &str, alike: bool) -> Markup {
    let value = told(value);
    let value = if alike {
        html! { (value) " " span.help { "the same in both" } }
    } else {
        value
    };
    apart::cell(value, alike)
}

/// Two windows changed the same choice: both values, to keep one.
fn both(order: u32, now: u64, mine: &[Change], holds: &BTreeMap<String, String>) -> Trouble {
    let action = format!("/orders/{order}/draft");
    Trouble::moved("Here are both. Nothing is lost: keep the one you want.")
        .back(action.clone(), "Keep theirs, and go on")
        .with(html! {
            @for change in mine {
                @let name = change.key.strip_prefix("choice/").unwrap_or(&change.key);
                @let value = change.after.as_deref().unwrap_or("as the method has it");
                @let there = holds.get(&change.key).map_or("as the method has it", String::as_str);
                @let alike = value == there;
                table {
                    caption.vh { "The two values" }
                    tbody {
                        tr { th scope="row" { "Yours, " (name) } td { (cell(value, alike)) } }
                        tr { th scope="row" { "Theirs, " (name) } td { (cell(there, alike)) } }
                    }
                }
                form method="post" action=(action) {
                    input type="hidden" name="seen" value=(now);
                    input type="hidden" name="cure" value={ (name) "=" (change.after.as_deref().unwrap_or("")) };
                    button.press.main { "Keep mine: " (told(value)) }
                }
            }
        })
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

/// All that the table shows.
pub(crate) struct TableView<'a> {
    pub(crate) order: u32,
    pub(crate) client: &'a str,
    pub(crate) client_address: String,
    /// Under the title: order, card, cloth.
    pub(crate) facts: String,
    pub(crate) seen: u64,
    pub(crate) worked: &'a Worked,
    pub(crate) faults: &'a [String],
    pub(crate) findings: &'a [Finding],
    pub(crate) sought: bool,
    pub(crate) measured: &'a Measured,
    pub(crate) shown: Shown,
    pub(crate) asked: &'a Asked,
    pub(crate) backs: &'a Backs,
    pub(crate) done: Option<&'a str>,
    pub(crate) refused: Option<&'a Refused>,
    /// Choices of the order whose values the method can't take.
    pub(crate) unread: Vec<&'a str>,
}

/// What the address asks for.
#[derive(Clone, Debug, Default, serde::Deserialize)]
pub(crate) struct Asked {
    /// The choice in the hand.
    pub(crate) hand: Option<String>,
    pub(crate) view: Option<String>,
    /// Lines left off, with commas.
    #[serde(default)]
    pub(crate) hide: String,
    /// The two points to measure between.
    pub(crate) a: Option<String>,
    pub(crate) b: Option<String>,
    pub(crate) edge: Option<String>,
    /// All cures are wanted, however long it takes.
    pub(crate) cures: Option<String>,
    pub(crate) said: Option<String>,
}

impl Asked {
    fn hidden(&self) -> Vec<String> {
        self.hide
            .split(',')
            .filter(|h| !h.is_empty())
            .map(str::to_owned)
            .collect()
    }

    /// The address of the table with one thing of this other.
    fn address(&self, order: u32, key: &str, value: &str) -> String {
        let mut pairs: Vec<(&str, &str)> = Vec::new();
        for (k, v) in [("hand", &self.hand), ("view", &self.view)] {
            if let Some(v) = v.as_deref().filter(|_| k != key) {
                pairs.push((k, v));
            }
        }
        if key != "hide" && !self.hide.is_empty() {
            pairs.push(("hide", &self.hide));
        }
        if !value.is_empty() {
            pairs.push((key, value));
        }
        let query: Vec<String> = pairs
            .iter()
            .map(|(k, v)| format!("{k}={}", super::parts::link::escaped(v)))
            .collect();
        if query.is_empty() {
            format!("/orders/{order}/draft")
        } else {
            format!("/orders/{order}/draft?{}", query.join("&"))
        }
    }
}

/// The choice that is in the hand: the one asked for, else the first length that is offered.
pub(crate) fn in_hand<'a>(worked: &'a Worked, asked: Option<&str>) -> Option<&'a ChoiceUsed> {
    let mut offered = worked.choices.iter().filter(|c| c.offered);
    let is_length = |c: &&ChoiceUsed| matches!(c.value, Quantity::Length(_)) && c.range.is_some();
    asked
        .and_then(|name| worked.choices.iter().find(|c| c.name == name && c.offered))
        .or_else(|| offered.clone().find(is_length))
        .or_else(|| offered.next())
}

/// The page's body.
pub(crate) fn table(view: &TableView<'_>) -> Markup {
    let order = view.order;
    let base = format!("/orders/{order}/draft");
    let unit = if view.shown.unit == Unit::Inch {
        "in"
    } else {
        "cm"
    };
    let paper = Paper::main(view.worked);
    let (says, line) = measured_now(view, &paper).unzip();
    html! {
        form #table method="post" action=(base) data-live={ (base) "/live" } data-keep={ (base) "/keep" }
            data-between={ (base) "/between" } data-steps={ (base) "/steps" } data-compare={ (base) "/compare" } data-cures={ (base) "/cures" } data-unit=(unit) {
            input type="hidden" name="seen" id="seen" value=(view.seen);
            input type="hidden" name="view" value=(view.asked.view.as_deref().unwrap_or(""));
            input type="hidden" name="hide" value=(view.asked.hide);
            // Enter in the box draws: it must not press the first button of the page.
            button.vh name="do" value="draw" tabindex="-1" aria-hidden="true" { "Draw" }
            div.bench.sheet {
                (titleblock(view))
                div.middle {
                    @if no_card(view) { div.undrawn {
                        p { (NO_CARD) }
                        p.presses { a.press.main href={ "/orders/" (order) "/card" } { "To her card" } }
                    } }
                    div.paper #paper role="group" tabindex="0" aria-label="The paper. Arrows move it, plus and minus enlarge it, F goes from finding to finding, M measures" {
                        (pattern(view, &paper, line))
                        (looks(view))
                    }
                    output.told-here #measured role="status" { @if let Some(says) = &says { (told(says)) } }
                    (measure(view, &paper, says.is_some()))
                    (lines(view))
                }
                (strip(view))
                (found(view))
            }
            @match in_hand(view.worked, view.asked.hand.as_deref()) {
                Some(choice) => (hand::hand(choice, view.shown, view.backs, view.refused.map(|r| (r.says.as_str(), r.typed.as_str())))),
                None => (empty_hand(view.backs)),
            }
        }
        form #measuring method="get" action={ (base) "#paper" } {
            @for (name, value) in [("hand", &view.asked.hand), ("view", &view.asked.view)] {
                @if let Some(value) = value { input type="hidden" name=(name) value=(value); }
            }
            @if !view.asked.hide.is_empty() { input type="hidden" name="hide" value=(view.asked.hide); }
        }
        section.tray aria-labelledby="choices-h" {
            div {
                h2 #choices-h { "The choices of this method" }
                (tray(view))
                (allowed(view))
            }
            (others(view))
            (twin::twin(view.worked, view.shown))
        }
    }
}

/// What her table of allowances put in place of the method's, and that it is a toile; a phone, which
/// has no room for the facts at the head, reads it here.
fn allowed(view: &TableView<'_>) -> Markup {
    let laid = view.worked.allowances.as_ref();
    html! {
        @for sentence in laid.map(|l| l.sentences(view.shown)).unwrap_or_default() { p.help { (told(&sentence)) } }
    }
}

fn empty_hand(backs: &Backs) -> Markup {
    html! {
        div.hand #hand {
            p.what { b { "Nothing to choose yet" } }
            div.presses.back { (backs.places()) (backs.buttons()) }
        }
    }
}

fn titleblock(view: &TableView<'_>) -> Markup {
    let base = format!("/orders/{}/draft", view.order);
    html! {
        div.titleblock {
            h1 { a href=(view.client_address) { (view.client) } }
            div.facts {
                p { a.ink href={ "/orders/" (view.order) "/method" } { (view.worked.title) } }
                p.small { (told(&view.facts)) }
            }
            ul.ways {
                li { a href={ (base) "/steps/1" } { "Step by step" } }
                li { a href={ (base) "/compare" } { "Compare" } }
                li { a href="#measure" data-panel="measure" { "Measure" } }
                li { a href="#lines" data-panel="lines" { "Lines" } }
            }
        }
    }
}

/// The drawing of the outside, for the page and for each redraw; with what is measured on it.
fn pattern(view: &TableView<'_>, paper: &Paper<'_>, line: Option<Trace>) -> Markup {
    let hidden = view.asked.hidden();
    drawing::drawing(
        paper,
        view.worked,
        view.findings,
        &Wanted {
            shown: view.shown,
            view: View::of(view.asked.view.as_deref()),
            hidden: &hidden,
            line,
            title: "The pattern, piece beside piece, turned so that what is sewn together faces",
            id: "pattern",
        },
    )
}

/// Ways to look at the paper: links with scripts off, more with them.
fn looks(view: &TableView<'_>) -> Markup {
    let now = view.asked.view.as_deref().unwrap_or("");
    html! {
        nav.looks aria-label="Look at the paper" {
            @for (word, name) in [("", "Whole"), ("top", "Top"), ("hip", "Hip"), ("hem", "Hem")] {
                a href=(view.asked.address(view.order, "view", word)) aria-current=[(now == word).then_some("true")]
                    data-look=[word.is_empty().then_some("whole")] { (name) }
            }
            button type="button" data-look="larger" hidden { "Larger" }
            button type="button" data-look="smaller" hidden { "Smaller" }
        }
    }
}

/// The finished numbers, five at most, always in the same order.
pub(crate) fn strip(view: &TableView<'_>) -> Markup {
    let m = view.measured;
    let all = [
        ("Waist", m.waist),
        ("Hip", m.hip),
        ("Break", m.break_girth),
        ("Hem", m.hem),
        ("Her step", m.step.as_ref().map(|s| s.longest)),
    ];
    let sign = view.shown.unit.sign();
    html! {
        dl.tape #numbers aria-label="Finished" {
            @for (name, length) in all {
                @if let Some(length) = length {
                    div { dt { (name) } dd { (n(&show_number(length, view.shown))) span.u { (sign) } } }
                }
            }
        }
    }
}

/// Whether she has not been measured for it yet.
fn no_card(view: &TableView<'_>) -> bool {
    view.faults.iter().any(|f| f == NO_CARD)
}

fn tray(view: &TableView<'_>) -> Markup {
    let now = in_hand(view.worked, view.asked.hand.as_deref()).map(|c| c.name.as_str());
    html! {
        ul.leaders #tray {
            @for choice in view.worked.choices.iter().filter(|c| c.offered) {
                li.set[choice.set] {
                    a href={ (view.asked.address(view.order, "hand", &choice.name)) "#hand" } aria-current=[(now == Some(choice.name.as_str())).then_some("true")] {
                        (check::told::capital(&choice.label))
                    }
                    span.lead {}
                    // Without her card a usual value would be somebody else’s.
                    @if choice.set || !no_card(view) { @match &choice.value {
                        Quantity::YesNo(_) | Quantity::Word(_) => span.value { (choice.value.shown(view.shown)) },
                        value => (n(&hand::typed(value, view.shown))),
                    } }
                }
            }
        }
    }
}

/// What is found, on its slips.
fn found(view: &TableView<'_>) -> Markup {
    slips::slips(&slips::Slips {
        findings: view.findings,
        faults: view.faults,
        unread: &view.unread,
        done: view.done,
        rules: check::rules::RULES.len(),
        more: (!view.sought).then(|| view.asked.address(view.order, "cures", "all")),
        asked: view.asked.cures.is_some(),
    })
}

fn lines(view: &TableView<'_>) -> Markup {
    let hidden = view.asked.hidden();
    html! {
        div.panel #lines role="group" aria-label="Lines shown or hidden" {
            ul.ticks {
                @for (class, name) in drawing::LINES {
                    @let off = hidden.iter().any(|h| h == class);
                    @let other: Vec<&str> = drawing::LINES.iter().map(|(c, _)| *c)
                        .filter(|c| if c == class { !off } else { hidden.iter().any(|h| h == c) }).collect();
                    li {
                        a href={ (view.asked.address(view.order, "hide", &other.join(","))) "#lines" } data-line=(class) {
                            (name) ": " span.state { (if off { "hidden" } else { "shown" }) }
                        }
                    }
                }
                li { a href={ (view.asked.address(view.order, "", "")) "#paper" } data-shut { "Done" } }
            }
        }
    }
}

/// The pieces that are not in the middle of the table.
fn others(view: &TableView<'_>) -> Markup {
    let paper = Paper::others(view.worked);
    html! {
        @if !paper.pieces.is_empty() {
            details.fold #others {
                summary { "The other pieces: facings, linings, bands" }
                div.sheet.underpaper {
                    (drawing::drawing(&paper, view.worked, &[], &Wanted {
                        shown: view.shown, view: View::Whole, hidden: &[], line: None,
                        title: "The other pieces of the pattern", id: "others-drawing",
                    }))
                }
            }
        }
    }
}
