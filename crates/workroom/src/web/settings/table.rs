//! Her table of allowances: by kind of edge, what she allows in the cloth and in a toile.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use draft::allowances::Row;
use maud::{Markup, html};
use measure::Length;
use measure::fraction::{Shown, Unit, show, show_number};

use super::super::allowed::{SETTING, page as kept_page};
use super::super::layout::{Frame, Here, page};
use super::super::order::both::Both;
use super::super::parts::field::{id, summary};
use super::super::parts::number::{told, unit_word};
use super::super::parts::said::said;
use super::super::room::Room;
use super::super::trouble::Trouble;
use super::{mark, quarrel};
use crate::allowances::{self, Typed};

pub(super) fn routes() -> Router<Arc<Room>> {
    Router::new().route("/settings/allowances", get(look).post(keep))
}

/// The columns: their word in the names of the boxes, and how they are called.
const COLUMNS: [(&str, &str); 2] = [("cloth", "In the cloth"), ("toile", "In a toile")];

/// What methods usually say, from and to, in inches: as the shipped ones do (trade/finishing.md 1, 2;
/// common practice, no source).
const fn usually(row: Row) -> (f64, f64) {
    match row {
        Row::Seam | Row::Lining => (0.625, 0.625),
        Row::Side | Row::Centre | Row::Zip | Row::LiningHem => (1.0, 1.0),
        Row::Waist | Row::Enclosed => (0.375, 0.75),
        Row::Hem => (0.375, 2.0),
        Row::Opening => (0.5, 0.75),
        Row::Facing => (0.375, 0.375),
        Row::InnerEdge => (0.25, 0.25),
    }
}

/// A word more about a row, where its name is not enough.
const fn more(row: Row) -> &'static str {
    match row {
        Row::Zip => ". Left empty, as its seam is",
        Row::Hem => ": little on a wide hem, much on a straight one",
        _ => "",
    }
}

fn name(column: &str, row: Row) -> String {
    format!("{column}/{}", row.key())
}

/// The unit of a number that has none.
pub(in crate::web) fn unit(settings: &BTreeMap<String, String>) -> Unit {
    if settings.get("unit").is_some_and(|u| u == "cm") {
        Unit::Cm
    } else {
        Unit::Inch
    }
}

type Sent = BTreeMap<String, String>;

async fn look(State(room): State<Arc<Room>>, Query(sent): Query<Sent>) -> Result<Markup, Trouble> {
    let settings = room.book(|book| Ok(book.settings()?)).await?;
    let unit = unit(&settings);
    Ok(form(
        &as_kept(&settings, unit),
        &[],
        (unit, &mark(&settings, &[SETTING])),
        &settings,
        sent.get("said").map(String::as_str),
    ))
}

/// The table as it is kept.
fn as_kept(settings: &BTreeMap<String, String>, unit: Unit) -> Typed {
    match settings.get(SETTING) {
        Some(text) if !text.is_empty() => shown_in(text, unit),
        _ => allowances::usual(unit),
    }
}

/// The table in words, a line for each box that is not empty.
fn in_words(typed: &Typed) -> String {
    let mut lines = Vec::new();
    for (row, cells) in Row::ALL.iter().zip(typed) {
        for ((column, words), text) in COLUMNS.iter().zip(cells) {
            let cut = *column != "toile" || row.in_toile();
            if cut && !text.is_empty() {
                lines.push(format!("{}, {}: {text}", row.label(), words.to_lowercase()));
            }
        }
    }
    lines.join("\n")
}

/// Another window kept another table meanwhile: both are shown, and she keeps one.
fn two_tables(mine: &Typed, unit: Unit, press: &str, kept: &BTreeMap<String, String>) -> Trouble {
    let mut sent = vec![
        ("seen".to_owned(), mark(kept, &[SETTING])),
        ("unit".to_owned(), unit.sign().to_owned()),
    ];
    for (row, cells) in Row::ALL.iter().zip(mine) {
        for ((column, _), text) in COLUMNS.iter().zip(cells) {
            sent.push((name(column, *row), text.clone()));
        }
    }
    let fields: Vec<(&str, &str)> = sent.iter().map(|(n, t)| (n.as_str(), t.as_str())).collect();
    Both {
        what: "The table",
        mine: &in_words(mine),
        theirs: &in_words(&as_kept(kept, unit)),
        action: "/settings/allowances".to_owned(),
        fields: &fields,
        press: ("do", press),
        back: "/settings/allowances".to_owned(),
    }
    .trouble()
}

/// What was typed, each number with its unit where the workroom's is another by now.
fn shown_in(text: &str, now: Unit) -> Typed {
    let then = if text.starts_with("unit = \"cm\"") {
        Unit::Cm
    } else {
        Unit::Inch
    };
    let mut typed = allowances::typed(text);
    if then != now {
        for cell in typed.iter_mut().flatten() {
            let bare = !cell.is_empty() && measure::fraction::unit_said(cell).is_none();
            if bare && cell != "0" {
                cell.push(' ');
                cell.push_str(then.sign());
            }
        }
    }
    typed
}

/// The page. With the table go the unit of a number that has none, as it is said on the page, and the mark
/// of what was kept when the page was made.
fn form(
    typed: &Typed,
    faults: &[(String, String)],
    (unit, seen): (Unit, &str),
    settings: &BTreeMap<String, String>,
    code: Option<&str>,
) -> Markup {
    let frame = Frame {
        title: "Allowances".into(),
        here: Here::Settings,
        ..Frame::default()
    };
    let shown = Shown::usual(unit);
    page(
        &frame,
        html! {
            (said(code))
            div.office.settings {
                h1 { "Your table of allowances" }
                (summary(faults))
                p.lead { "Each method says what it allows, edge by edge. Write here what you allow, and every draft is drawn so. What you leave empty stays as the method says." }
                form.plainform method="post" action="/settings/allowances" {
                    // Enter in a box keeps the table: it must not empty it.
                    button.vh name="do" value="keep" tabindex="-1" aria-hidden="true" { "Keep" }
                    input type="hidden" name="seen" value=(seen);
                    input type="hidden" name="unit" value=(unit.sign());
                    table.allow {
                        caption.vh { "What is allowed, by kind of edge" }
                        thead { tr {
                            th scope="col" { "Edge" }
                            @for (_, words) in COLUMNS { th scope="col" { (words) } }
                        } }
                        tbody {
                            @for (row, cells) in Row::ALL.iter().zip(typed) {
                                tr {
                                    th scope="row" {
                                        (row.label())
                                        p.help { "Methods say " (told(&usual_words(*row, shown))) (more(*row)) "." }
                                    }
                                    @for ((column, words), text) in COLUMNS.iter().zip(cells) {
                                        td { @if *column == "toile" && !row.in_toile() { span.help { "not cut" } } @else {
                                            (cell(&name(column, *row), &format!("{}: {}", row.label(), words.to_lowercase()), text, faults))
                                        } }
                                    }
                                }
                            }
                        }
                    }
                    p.help { "A number alone is in " (unit_word(unit)) "; 1 1/2, ¾, 3 cm or 2 in are read too. A toile has 1 in everywhere until you write something else: room to let out. It is cut from the shell only, without lining and facings." }
                    p.presses {
                        button.press.main name="do" value="keep" { "Keep the table" }
                        button.press.quiet name="do" value="fresh" { "As at the beginning" }
                    }
                }
                section aria-labelledby="acts-h" {
                    h2 #acts-h { "How it acts" }
                    ul.plain {
                        li { "What is sewn together is allowed alike: a band’s lower edge has the waist’s allowance, and so has the lining’s waist." }
                        li { "Where a method takes an allowance in along an edge, as at the knee of a narrow skirt, or lets it out, as beside a slit, that stays." }
                        li { "An edge on the fold has none, and an edge that a method leaves raw or bound stays so. In a toile every edge but the fold has what stands in the column." }
                        li { "Open orders are drawn by the table as it is now; versions that were printed keep the one they were made with. On its page an order can be left as its method says." }
                    }
                }
                details.fold {
                    summary { "The same as a page for the command line" }
                    pre.src { (kept_page(settings)) }
                }
                p { a.press.quiet href="/settings" { "Back to the settings" } }
            }
        },
    )
}

fn usual_words(row: Row, shown: Shown) -> String {
    let (from, to) = usually(row);
    let (from, to) = (Length::inches(from), Length::inches(to));
    if from == to {
        show(to, shown)
    } else {
        format!("{} to {}", show_number(from, shown), show(to, shown))
    }
}

fn cell(name: &str, label: &str, text: &str, faults: &[(String, String)]) -> Markup {
    let fault = faults.iter().find(|(n, _)| n == name).map(|(_, says)| says);
    let at = id(name);
    let fault_id = format!("{at}-fault");
    html! {
        input.box id=(at) name=(name) type="text" value=(text) autocomplete="off" aria-label=(label)
            aria-invalid=[fault.map(|_| "true")] aria-describedby=[fault.map(|_| &fault_id)];
        @if let Some(says) = fault { p.fault id=(fault_id) { (says) } }
    }
}

async fn keep(State(room): State<Arc<Room>>, Form(sent): Form<Sent>) -> Result<Response, Trouble> {
    let settings = room.book(|book| Ok(book.settings()?)).await?;
    // A number is meant as its page said, also where another window changed the unit since.
    let unit = match sent.get("unit").map(String::as_str) {
        Some("in") => Unit::Inch,
        Some("cm") => Unit::Cm,
        _ => unit(&settings),
    };
    let seen = sent.get("seen").cloned().unwrap_or_default();
    if sent.get("do").is_some_and(|d| d == "fresh") {
        let typed = allowances::usual(unit);
        return keep_as(&room, typed, unit, seen, ("fresh", String::new())).await;
    }
    let mut typed = Typed::default();
    let mut faults = Vec::new();
    for (row, cells) in Row::ALL.iter().zip(&mut typed) {
        for ((column, words), cell) in COLUMNS.iter().zip(cells) {
            let name = name(column, *row);
            let text = sent.get(&name).map_or("", |t| t.trim());
            // Nothing longer is a length; it is kept as typed to be mended.
            *cell = text.chars().take(60).collect();
            if let Err((says, hint)) = allowances::width(cell, Some(unit)) {
                faults.push((
                    name,
                    format!("{}, {}: {says} {hint}", row.label(), words.to_lowercase()),
                ));
            }
        }
    }
    if !faults.is_empty() {
        let page = form(&typed, &faults, (unit, &seen), &settings, None);
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let text = allowances::page_of(&typed, unit);
    if allowances::read(&text).is_err() {
        return Err(Trouble::unclear(
            "A row of the table can't be kept as it is typed. Write it like 1 1/2.",
        )
        .back("/settings/allowances", "Back to the table"));
    }
    keep_as(&room, typed, unit, seen, ("keep", text)).await
}

/// Keeps the table as this page of text, unless another window kept another one since.
async fn keep_as(
    room: &Arc<Room>,
    typed: Typed,
    unit: Unit,
    seen: String,
    (press, text): (&'static str, String),
) -> Result<Response, Trouble> {
    room.book(move |book| {
        let kept = book.settings()?;
        let set = [(SETTING, Some(text.as_str()))];
        if quarrel(&kept, &[SETTING], &seen, &set) {
            return Err(two_tables(&typed, unit, press, &kept));
        }
        Ok(book.set_all(&set)?)
    })
    .await?;
    Ok(Redirect::to("/settings/allowances?said=kept").into_response())
}
