//! After a fitting: what was pinned, and what became of it on the paper.

mod form;
mod pin;
#[cfg(test)]
mod tests;

use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::Redirect;
use axum::routing::{get, post};
use book::{Change, FittingNo, Garment, Id, NewFitting, OrderNo};
use check::Finding;
use draft::Worked;
use draft::sided::bare;
use maud::{Markup, html};
use measure::Date;
use serde::Deserialize;

use super::drawing::place::Paper as Laid;
use super::drawing::{self, View, Wanted};
use super::layout::{Frame, Here, OrderHead, Stage, page};
use super::order::both::both_ways;
use super::paper::ForPaper;
use super::parts::apart::Apart;
use super::parts::day;
use super::parts::field::{Field, Kind, summary};
use super::parts::number::told;
use super::parts::said::said;
use super::room::Room;
use super::table::points::edge_of;
use super::trouble::Trouble;
use super::visit;
use super::working::OnTable;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders/{order}/fittings", get(list).post(begin))
        .route("/orders/{order}/fittings/{fitting}", get(show).post(note))
        .route("/orders/{order}/fittings/{fitting}/pins", post(pin::add))
        .route(
            "/orders/{order}/fittings/{fitting}/pins/{pin}/correct",
            post(pin::correct),
        )
        .route(
            "/orders/{order}/fittings/{fitting}/pins/{pin}/choose",
            post(pin::choose),
        )
        .route(
            "/orders/{order}/fittings/{fitting}/pins/{pin}/drop",
            post(pin::drop_it),
        )
        .route("/orders/{order}/fittings/{fitting}/remove", post(remove))
        .route("/orders/{order}/fittings/hand", post(form::by_hand))
        .route("/orders/{order}/fittings/off", post(take_off))
}

/// What the address asks for.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Asked {
    /// The edge that is pinned: number of the piece, `e`, number of the edge.
    pub(crate) at: Option<String>,
    pub(crate) said: Option<String>,
}

/// An order's draft with its corrections, worked.
pub(crate) struct Table {
    pub(crate) on: OnTable,
    pub(crate) worked: Worked,
    pub(crate) faults: Vec<String>,
    pub(crate) findings: Vec<Finding>,
}

impl Table {
    pub(crate) fn of(on: OnTable) -> Self {
        let worked = on.redraw();
        let faults = on.in_the_way(&worked);
        let findings = if faults.is_empty() {
            on.seen(&worked)
        } else {
            Vec::new()
        };
        Self {
            on,
            worked,
            faults,
            findings,
        }
    }

    /// The edge of this key, as the draft has it: her left and her right are one there.
    pub(crate) fn edge(&self, key: &str) -> Option<(&piece::Piece, &piece::Edge)> {
        let (piece, edge) = edge_of(key)?;
        let piece = *self.worked.drafted().get(piece)?;
        Some((piece, piece.edges.get(edge)?))
    }
}

pub(crate) async fn table(room: &Arc<Room>, order: u32) -> Result<Table, Trouble> {
    let on = room
        .book(move |book| OnTable::load(book, OrderNo(order)))
        .await?;
    room.work(move || Table::of(on)).await
}

fn frame(table: &Table) -> Frame {
    Frame {
        title: format!("Fittings of {}", table.on.name()),
        here: Here::Clients,
        order: Some(OrderHead {
            number: table.on.order.number,
            stage: Stage::Fittings,
        }),
        demo: table.on.order.demo,
        ..Frame::default()
    }
}

fn garment(of: Garment) -> &'static str {
    match of {
        Garment::Toile => "the toile",
        Garment::Cloth => "in its cloth",
        Garment::Finished => "finished",
    }
}

async fn list(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let table = table(&room, order).await?;
    let (at, words) = (asked.at.as_deref(), asked.said.as_deref());
    list_page(&room, &table, at, words, None).await
}

/// The fittings, and what lies over the draft; with a hand curve that could not be kept, and why.
async fn list_page(
    room: &Arc<Room>,
    table: &Table,
    at: Option<&str>,
    words: Option<&str>,
    again: Option<&(form::Hand, String)>,
) -> Result<Markup, Trouble> {
    let order = table.on.order.number;
    let fittings = room.book(move |book| Ok(book.fittings(order)?)).await?;
    let today = room.today().to_string();
    // What is fitted first is the toile while the order is one.
    let usual = if table.on.toile_first() {
        Garment::Toile
    } else {
        Garment::Cloth
    };
    let faults: Vec<(String, String)> = again
        .iter()
        .map(|(_, fault)| ("points".to_owned(), fault.clone()))
        .collect();
    Ok(page(
        &frame(table),
        html! {
            (said(words))
            div.outpage.fit {
                div.top {
                    (summary(&faults))
                    h1 { "Fittings of " (table.on.name()) }
                    p.small { (table.worked.title) ". Order " (order) "." }
                }
                div {
                    @if fittings.is_empty() { p { "None yet. What is pinned on her comes back onto the paper from here." } }
                    ul.leaders {
                        @for f in fittings.iter().rev() {
                            li {
                                a href={ "/orders/" (order) "/fittings/" (f.number) } { "Fitting " (f.number) ", " (garment(f.fitting.garment)) }
                                span.lead {}
                                span { (day::long(f.fitting.on)) @if !f.fitting.signed.is_empty() { ", signed off" } }
                            }
                        }
                    }
                    form.plainform method="post" action={ "/orders/" (order) "/fittings" } {
                        h2 { "A fitting now" }
                        (Field::new("on", "Day", &today).kind(Kind::Day).required().html())
                        (what_she_wears("What she wears", usual))
                        p.help { "The draft as it is now is kept as a version with the fitting, and opens as it was whatever is changed later." }
                        p.presses { button.press.main { "Begin the fitting" } }
                    }
                }
                div.side.cols {
                    (corrections(table))
                    (form::hand_form(table, at, again))
                }
            }
        },
    ))
}

/// What is fitted, as round buttons.
fn what_she_wears(legend: &str, chosen: Garment) -> Markup {
    html! {
        fieldset.choose {
            legend { (legend) }
            @for (of, words) in [
                (Garment::Toile, "The toile"),
                (Garment::Cloth, "The garment in its cloth"),
                (Garment::Finished, "The finished garment"),
            ] {
                label { input type="radio" name="garment" value=(of.word()) checked[of == chosen]; span { (words) } span {} }
            }
        }
    }
}

/// The corrections that lie over the draft, each with what came of it.
fn corrections(table: &Table) -> Markup {
    let order = table.on.order.number;
    html! {
        section aria-labelledby="corrections-h" {
            h2 #corrections-h { "Corrections over the draft" }
            @if table.on.corrections.is_empty() { p.help { "None. A redraft keeps every one that is laid on." } }
            @for correction in &table.on.corrections {
                div.made {
                    p { (told(&correction.sentence(table.on.shown))) @if !correction.words.is_empty() { " " (correction.words) } }
                    form method="post" action={ "/orders/" (order) "/fittings/off" } {
                        input type="hidden" name="key" value=(correction.key);
                        button.press.quiet { "Take it off" }
                    }
                }
            }
            @for finding in table.findings.iter().filter(|f| f.rule == "F34" || f.rule.starts_with("correction")) {
                div.slip { div.top {
                    (super::table::slips::shape(finding.weight, "!"))
                    span.says { (told(&finding.says)) }
                    span class={ "weight " (drawing::weight_class(finding.weight)) } { (super::table::slips::word(finding.weight)) }
                } }
            }
        }
    }
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Begun {
    on: String,
    garment: String,
}

async fn begin(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(begun): Form<Begun>,
) -> Result<Redirect, Trouble> {
    let number = OrderNo(order);
    let back = format!("/orders/{order}/fittings");
    let on_day = Date::read(&begun.on).ok_or_else(|| {
        Trouble::unclear("The day of the fitting is no day of the calendar.")
            .back(back.clone(), "Back to the fittings")
    })?;
    let garment = Garment::read(&begun.garment).unwrap_or(Garment::Cloth);
    let (on, card) = room
        .book(move |book| {
            let on = OnTable::load(book, number)?;
            let card = match &on.card_row {
                Some(row) => super::working::card_page(book, &on.client, row)?,
                None => String::new(),
            };
            Ok((on, card))
        })
        .await?;
    let version = room
        .work(move || {
            let made = ForPaper::of(on);
            made.faults
                .is_empty()
                .then(|| made.version(book::Why::Fitting, card))
        })
        .await?
        .transpose()?;
    let fitting = room
        .book(move |book| {
            let version = match &version {
                Some(version) => Some(book.keep_version(number, version)?),
                None => None,
            };
            let new = NewFitting {
                on: on_day,
                garment,
                notes: String::new(),
                signed: String::new(),
                version,
            };
            Ok(book.new_fitting(number, &new)?)
        })
        .await?;
    Ok(Redirect::to(&format!("/orders/{order}/fittings/{fitting}")))
}

async fn show(
    State(room): State<Arc<Room>>,
    Path((order, fitting)): Path<(u32, u32)>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let (number, no) = (OrderNo(order), FittingNo(fitting));
    let (f, pins) = room
        .book(move |book| Ok((book.fitting(number, no)?, book.pins(number, no)?)))
        .await?;
    let table = table(&room, order).await?;
    let laid = Laid::main(&table.worked);
    let base = format!("/orders/{order}/fittings/{fitting}");
    Ok(page(
        &frame(&table),
        html! {
            (said(asked.said.as_deref()))
            div.outpage.fit {
                div.top {
                    h1 { "Fitting " (fitting) " of " (table.on.name()) }
                    p.small { (day::long(f.fitting.on)) ", " (garment(f.fitting.garment)) "."
                        @if let Some(v) = f.fitting.version { " " a href={ "/orders/" (order) "/versions/" (v) } { "The version that was fitted" } "." }
                    }
                    @for caution in [&table.on.client.about.allergies].into_iter().filter(|a| !a.is_empty()) { p { strong { "Allergies: " } (caution) } }
                }
                div {
                    @if table.faults.is_empty() {
                        div.sheet.map {
                            (drawing::drawing(&laid, &table.worked, &[], &Wanted {
                                shown: table.on.shown, view: View::Whole, hidden: &[], line: pinned_edge(&table, asked.at.as_deref()),
                                title: "The pattern as it is now, corrections laid on", id: "fitting-drawing",
                            }))
                        }
                    } @else { @for fault in &table.faults { p { (told(fault)) } } }
                    (form::pin_form(&table, &base, asked.at.as_deref(), None))
                }
                div.side.cols {
                    section aria-labelledby="pins-h" {
                        h2 #pins-h { "What was pinned" }
                        @if pins.is_empty() { p.help { "Nothing yet." } }
                        @for p in &pins { (pin::line(&table, &base, p)) }
                    }
                    (corrections(&table))
                    form.plainform method="post" action=(base) {
                        input type="hidden" name="seen" value=(f.seen);
                        (what_she_wears("What she wore", f.fitting.garment))
                        (Field::new("notes", "Notes", &f.fitting.notes).kind(Kind::Text(3)).html())
                        (Field::new("signed", "Signed off: who was content, and when", &f.fitting.signed).html())
                        p.presses { button.press { "Keep the notes" } }
                    }
                    // It leaves no trace: that is done at the computer.
                    @if pins.is_empty() && !visit::now().phone {
                        form method="post" action={ (base) "/remove" } {
                            button.press.quiet { "Remove this fitting" }
                            p.help { "As long as nothing is pinned in it. Its version stays among the order’s." }
                        }
                    }
                    p { a.press.quiet href={ "/orders/" (order) "/fittings" } { "All fittings" } " " a.press.quiet href={ "/orders/" (order) "/draft" } { "To the draft" } }
                }
            }
        },
    ))
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Noted {
    seen: u64,
    garment: String,
    notes: String,
    signed: String,
}

async fn note(
    State(room): State<Arc<Room>>,
    Path((order, fitting)): Path<(u32, u32)>,
    Form(noted): Form<Noted>,
) -> Result<Redirect, Trouble> {
    let (number, no) = (OrderNo(order), FittingNo(fitting));
    room.book(move |book| {
        let now = book.fitting(number, no)?;
        let to = NewFitting {
            garment: Garment::read(&noted.garment).unwrap_or(now.fitting.garment),
            notes: noted.notes.clone(),
            signed: noted.signed.trim().to_owned(),
            ..now.fitting.clone()
        };
        match book.change_fitting(number, no, noted.seen, &to) {
            Err(book::Trouble::Moved { .. }) => Err(Trouble::moved(
                "Someone else wrote on this fitting meanwhile. Here are both; nothing is lost: keep the one you want.",
            )
            .back(format!("/orders/{order}/fittings/{fitting}"), "Keep theirs, and go on")
            .with(html! {
                @if to.notes != now.fitting.notes { (both_ways("The notes", &Apart::of(&to.notes, &now.fitting.notes))) }
                @if to.garment != now.fitting.garment { (both_ways("What she wore", &Apart::of(garment(to.garment), garment(now.fitting.garment)))) }
                @if to.signed != now.fitting.signed { (both_ways("Signed off", &Apart::of(&to.signed, &now.fitting.signed))) }
                form.presses method="post" action={ "/orders/" (order) "/fittings/" (fitting) } {
                    input type="hidden" name="seen" value=(now.seen);
                    textarea.vh name="notes" tabindex="-1" aria-hidden="true" readonly { "\n" (to.notes) }
                    input type="hidden" name="garment" value=(to.garment.word());
                    input type="hidden" name="signed" value=(to.signed);
                    button.press.main { "Keep mine" }
                }
            })),
            other => {
                other?;
                Ok(())
            }
        }
    })
    .await?;
    Ok(Redirect::to(&format!(
        "/orders/{order}/fittings/{fitting}?said=kept"
    )))
}

/// A fitting begun by mistake goes, while nothing was pinned in it.
async fn remove(
    State(room): State<Arc<Room>>,
    Path((order, fitting)): Path<(u32, u32)>,
) -> Result<Redirect, Trouble> {
    let (number, no) = (OrderNo(order), FittingNo(fitting));
    room.book(move |book| {
        if !book.pins(number, no)?.is_empty() {
            return Err(Trouble::new(
                StatusCode::CONFLICT,
                "Something was pinned in this fitting.",
                "It stays as long as it holds a pin. Strike out what was written down by mistake first.",
            )
            .back(format!("/orders/{order}/fittings/{fitting}"), "Back to the fitting"));
        }
        Ok(book.drop_fitting(number, no)?)
    })
    .await?;
    Ok(Redirect::to(&format!("/orders/{order}/fittings?said=gone")))
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Off {
    key: String,
}

async fn take_off(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(off): Form<Off>,
) -> Result<Redirect, Trouble> {
    let by = visit::now().by;
    room.book(move |book| {
        let change = Change {
            key: format!("correction/{}", off.key),
            after: None,
        };
        book.change(
            OrderNo(order),
            None,
            "a correction taken off",
            &by,
            &[change],
        )?;
        Ok(())
    })
    .await?;
    Ok(Redirect::to(&format!("/orders/{order}/fittings?said=kept")))
}

/// An id out of an address.
pub(crate) fn id(text: &str) -> Result<Id, Trouble> {
    Id::read(text).ok_or_else(|| Trouble::missing("such pin"))
}

/// The edge that is chosen for a pin, in chalk on the drawing.
fn pinned_edge(table: &Table, at: Option<&str>) -> Option<drawing::Trace> {
    let (piece, edge) = table.edge(at?)?;
    let worked = &table.worked;
    let pieces = worked.pieces.iter().enumerate();
    let own = pieces.filter(|(i, _)| worked.of(*i) == piece.name);
    let mut cut = own.flat_map(|(i, p)| {
        let edges = p.edges.iter().enumerate();
        let own = edges.filter(|(_, e)| bare(&e.name).0 == edge.name);
        own.map(move |(k, _)| (i, k))
    });
    Some(drawing::Trace {
        edge: cut.next(),
        other: cut.next(),
        ..drawing::Trace::default()
    })
}
