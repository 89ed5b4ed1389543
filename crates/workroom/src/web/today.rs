//! Today: who comes next, what stands in the way, and the days that follow, on a tape.

mod words;

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Query, State};
use axum::routing::get;
use book::{Book, DayKind, DayLine, OrderLine, OrderNo, VersionLine, Which};
use check::Weight;
use maud::{Markup, html};
use measure::Date;
use serde::Deserialize;

use super::drawing;
use super::layout::{Frame, Here, page};
use super::parts::{day, said};
use super::room::Room;
use super::trouble::Trouble;
use super::visit;
use super::working::OnTable;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new().route("/", get(today))
}

/// So many days hang on the tape, and so many of their orders are drawn: the page stays quick.
const HANG: usize = 40;
const DRAWN: usize = 16;

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Asked {
    said: Option<String>,
}

/// How an order stands, without looking its draft through.
#[allow(
    clippy::struct_excessive_bools,
    reason = "four separate facts, each yes or no"
)]
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a plain answer of its own"
)]
pub(super) struct Standing {
    /// It has a card.
    card: bool,
    /// Which is finished.
    finished: bool,
    /// How old the card has grown, if it is to be measured anew.
    old: Option<String>,
    /// A paper of it was made.
    paper: bool,
    /// But something was changed afterwards: what lies there is not the draft as it is now.
    stale: bool,
    /// It is a toile as yet.
    toile: bool,
}

/// What was found in the draft of the next one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Way {
    /// It can't be drawn.
    faulty: bool,
    stops: usize,
    asks: usize,
}

/// All that the page shows.
struct View {
    today: Date,
    overdue: Vec<DayLine>,
    comes: Vec<DayLine>,
    more: usize,
    standing: BTreeMap<OrderNo, Standing>,
    thumbs: BTreeMap<OrderNo, Markup>,
    way: Option<Way>,
    /// Orders on the table with no day to come.
    loose: Vec<OrderLine>,
    anybody: bool,
    /// The demo's days, once she has clients of her own: apart, and never in the headline.
    apart: Vec<DayLine>,
    demo: bool,
    said: Option<String>,
}

/// What is taken out of the book.
struct Taken {
    overdue: Vec<DayLine>,
    comes: Vec<DayLine>,
    more: usize,
    standing: BTreeMap<OrderNo, Standing>,
    /// Orders to draw, each with its versions.
    tables: Vec<(OnTable, Vec<VersionLine>)>,
    loose: Vec<OrderLine>,
    apart: Vec<DayLine>,
    anybody: bool,
}

fn take(book: &Book, today: Date) -> Result<Taken, Trouble> {
    let mut overdue = book.overdue(today)?;
    let mut comes = book.what_comes(today, None)?;
    let clients = book.clients()?;
    let own = clients.iter().any(|l| !l.client.demo);
    let mut apart = Vec::new();
    if own {
        overdue.retain(|l| !l.demo);
        (apart, comes) = comes.into_iter().partition(|l| l.demo);
    }
    let more = comes.len().saturating_sub(HANG);
    comes.truncate(HANG);
    let mut standing = BTreeMap::new();
    let mut tables = Vec::new();
    for line in comes.iter().chain(&overdue) {
        if standing.contains_key(&line.order) {
            continue;
        }
        let on = OnTable::load(book, line.order)?;
        let card = on.card_row.as_ref();
        let versions = book.versions(line.order)?;
        standing.insert(
            line.order,
            Standing {
                card: card.is_some(),
                finished: card.is_some_and(|c| c.finished),
                old: card.and_then(|c| day::old(c.head.taken, today)),
                paper: versions.iter().any(|v| v.papers > 0),
                stale: false,
                toile: on.toile_first(),
            },
        );
        if tables.len() < DRAWN {
            tables.push((on, versions));
        }
    }
    let loose = book
        .orders(Which::Open)?
        .into_iter()
        .filter(|o| !(standing.contains_key(&o.order.number) || own && o.order.demo))
        .take(HANG)
        .collect();
    Ok(Taken {
        overdue,
        comes,
        more,
        standing,
        tables,
        loose,
        apart,
        anybody: !clients.is_empty(),
    })
}

async fn today(
    State(room): State<Arc<Room>>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let today = room.today();
    let taken = room.book(move |book| take(book, today)).await?;
    let next = taken.comes.first().map(|l| l.order);
    let tables = taken.tables;
    let (thumbs, way, stale) = room
        .work(move || {
            let mut thumbs = BTreeMap::new();
            let mut way = None;
            let mut stale = Vec::new();
            for (on, versions) in &tables {
                let worked = on.redraw();
                let number = on.order.number;
                let faulty = !on.in_the_way(&worked).is_empty();
                // Of a closed order only its care is to come: its paper is not made anew.
                let open = on.order.closed.is_none();
                let paper = on.paper(&worked, versions);
                if open && !faulty && paper.is_some_and(|(_, changed)| changed) {
                    stale.push(number);
                }
                if !faulty && !worked.pieces.is_empty() {
                    thumbs.insert(number, drawing::thumb(&worked));
                }
                if Some(number) == next {
                    let found = if faulty { Vec::new() } else { on.seen(&worked) };
                    let count = |w: Weight| found.iter().filter(|f| f.weight == w).count();
                    way = Some(Way {
                        faulty,
                        stops: count(Weight::Stop),
                        asks: count(Weight::Ask),
                    });
                }
            }
            (thumbs, way, stale)
        })
        .await?;
    let mut standing = taken.standing;
    for number in stale {
        if let Some(standing) = standing.get_mut(&number) {
            standing.stale = true;
        }
    }
    let demo = taken.comes.iter().chain(&taken.overdue).any(|l| l.demo)
        || taken.loose.iter().any(|l| l.order.demo)
        || !taken.apart.is_empty();
    let view = View {
        today,
        overdue: taken.overdue,
        comes: taken.comes,
        more: taken.more,
        standing,
        thumbs,
        way,
        loose: taken.loose,
        anybody: taken.anybody,
        apart: taken.apart,
        demo,
        said: asked.said,
    };
    let frame = Frame {
        title: "Today".into(),
        here: Here::Today,
        demo: view.demo,
        ..Frame::default()
    };
    let body = if view.anybody { full(&view) } else { clear() };
    Ok(page(&frame, body))
}

/// Nobody is in the book yet.
fn clear() -> Markup {
    html! {
        div.alone {
            svg.stick viewBox="0 0 400 48" preserveAspectRatio="none" aria-hidden="true" focusable="false" {
                path d="M2 24H398M20 24v-9M40 24v-6M60 24v-9M80 24v-6M100 24v-9M120 24v-6M140 24v-9M160 24v-6M180 24v-9M200 24v-6M220 24v-9M240 24v-6M260 24v-9M280 24v-6M300 24v-9M320 24v-6M340 24v-9M360 24v-6M380 24v-9" {}
            }
            h1 { "The table is clear." }
            p.lead { "Start with a person and a tape. Ten measures are enough for a skirt, and you can stop halfway." }
            p.presses { a.press.main href="/clients/new" { "Someone new has come" } }
            p.help { "What you write is kept on this computer only." }
        }
    }
}

fn full(view: &View) -> Markup {
    let phone = visit::now().phone;
    html! {
        section.next {
            p.lead { (day::named(view.today)) }
            (said::said(view.said.as_deref()))
            @match view.comes.first() {
                Some(line) => {
                    @let standing = view.standing.get(&line.order).cloned().unwrap_or_default();
                    @let told = words::headline(line, view.today, &standing, view.way.unwrap_or_default());
                    h1 { (told.says) }
                    @if !told.then.is_empty() { p { (told.then) } }
                    p.presses {
                        a.press.main href=(told.go) { (told.press) }
                        @if !phone { a.press.quiet href="/clients/new" { "Someone new has come" } }
                    }
                }
                None => {
                    h1 { (words::nothing_comes(&view.overdue, &view.loose)) }
                    p.presses {
                        @if !phone { a.press.main href="/clients/new" { "Someone new has come" } }
                        a.press.quiet href="/orders" { "All orders" }
                    }
                }
            }
        }
        @if !view.overdue.is_empty() {
            section.late aria-labelledby="late-h" {
                h2 #late-h { (words::late(view.overdue.len())) }
                ul {
                    @for line in &view.overdue {
                        li {
                            p {
                                a href={ "/orders/" (line.order) "#days" } { (line.name) }
                                ": " (words::of(line)) ". It was for " (day::named(line.day.day.on)) ", " (day::away(line.day.day.on, view.today)) "."
                            }
                            @if !phone {
                                form.presses method="post" action={ "/orders/" (line.order) "/days/" (line.day.id) } {
                                    input type="hidden" name="from" value="today";
                                    button.press name="do" value="done" aria-label={ "It is done: " (line.name) ", " (words::of(line)) } { "It is done" }
                                    a.press.quiet href={ "/orders/" (line.order) "/days/" (line.day.id) } aria-label={ "Another day for " (line.name) ", " (words::of(line)) } { "Another day" }
                                }
                            }
                        }
                    }
                }
            }
        }
        @if !view.comes.is_empty() {
            section aria-labelledby="days-h" {
                h2.vh #days-h { "What comes next, by day" }
                div.days {
                    @for group in view.comes.chunk_by(|a, b| a.day.day.on == b.day.day.on) {
                        @if let Some(first) = group.first() {
                            div.day {
                                (when(first.day.day.on, view.today))
                                div.hung { @for line in group { (hang(view, line)) } }
                            }
                        }
                    }
                }
                @if view.more > 0 { p.after { (view.more) " more days come later. " a href="/orders" { "All orders" } } }
            }
        }
        @if !view.loose.is_empty() {
            section.loose aria-labelledby="loose-h" {
                h2 #loose-h { "On the table, with no day set" }
                ul.leaders {
                    @for line in &view.loose {
                        li {
                            a href={ "/orders/" (line.order.number) } { (line.name) }
                            span.lead {}
                            span.help { (words::title(&line.order.title, line.order.number)) }
                        }
                    }
                }
            }
        }
        (apart(view))
    }
}

/// The demo's days, folded up.
fn apart(view: &View) -> Markup {
    html! {
        @if !view.apart.is_empty() {
            section.loose { details.fold {
                summary { "The demo, to look round with" }
                ul.leaders {
                    @for line in &view.apart {
                        li {
                            a href={ "/orders/" (line.order) } { (line.name) }
                            span.lead {}
                            span.help { (words::of(line)) ", " (day::named(line.day.day.on)) }
                        }
                    }
                }
            } }
        }
    }
}

/// A place of the tape.
fn when(on: Date, today: Date) -> Markup {
    let month: String = day::month(on).chars().take(3).collect();
    let weekday: String = day::weekday(on).chars().take(3).collect();
    html! {
        p.when {
            b { (on.day()) }
            span { (weekday) ", " (month) @if on.year() != today.year() { " " (on.year()) } }
        }
    }
}

fn hang(view: &View, line: &DayLine) -> Markup {
    let standing = view.standing.get(&line.order).cloned().unwrap_or_default();
    let next = view
        .comes
        .first()
        .is_some_and(|first| first.day.id == line.day.id);
    let way = if next { view.way } else { None };
    let at = match line.day.day.kind {
        DayKind::Measure => "/card",
        _ => "",
    };
    html! {
        div.hang {
            @match view.thumbs.get(&line.order) {
                Some(thumb) => (thumb),
                None => svg.thumb viewBox="0 0 110 100" aria-hidden="true" focusable="false" {},
            }
            h3 { a href={ "/orders/" (line.order) (at) } { (line.name) } }
            p { (words::of(line)) ". " (words::sentence(&words::title(&line.title, line.order))) }
            p.stateline { (words::state(&standing, way)) }
        }
    }
}

#[cfg(test)]
mod tests;
