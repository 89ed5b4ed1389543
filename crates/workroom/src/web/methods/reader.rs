//! A method as a teacher's page: what it is about, what it asks for, and its steps told for one card.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use draft::reader::{LineInfo, Role};
use draft::worked::Step;
use maud::{Markup, html};
use measure::fraction::show_number;

use crate::about::{About, ChoiceOffered, MeasureTaken};
use crate::web::drawing;
use crate::web::layout::page;
use crate::web::parts::number::told;
use crate::web::parts::said::said;
use crate::web::parts::twin::twin;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

use super::bench::{Trial, Tried, tried};
use super::cards::{Choice, picker};
use super::known::{Known, Shelf};
use super::spoken;
use super::{Asked, frame, no_method, order, taken};

/// So many lines of the text stand beside a step.
const LINES: usize = 12;

/// What the page needs beside the method.
pub(crate) struct Around<'a> {
    pub(crate) cards: &'a [Choice],
    pub(crate) card: &'a str,
    pub(crate) used: &'a [Use],
}

/// An order that holds this method.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Use {
    pub(crate) order: String,
    /// It holds the text as it is now.
    pub(crate) as_now: bool,
}

/// The page.
pub(crate) fn reader(known: &Known, tried: &Tried, around: &Around<'_>) -> Markup {
    let about = About::of(&tried.reading, &known.text);
    let client = "#copy";
    // A phone reads; writing is done at the computer.
    let phone = crate::web::visit::now().phone;
    html! {
        article.reader {
            div.top {
                h1 { (known.called()) }
                @for line in &about.says { p.lead { (told(line)) } }
                p { (asks(&about)) }
                @if known.put_away() { p.stateline { "Put away: it is not offered for new orders." } }
                @if !tried.notes.is_empty() {
                    p.notyet { (stands(tried.notes.len())) }
                }
                @if !phone { p.presses.noprint {
                    @if known.own.is_some() {
                        a.press.main href={ "/methods/" (known.name) "/edit" } { "Write on it" }
                        a.press href=(client) { "Copy it" }
                    } @else {
                        a.press.main href=(client) { "Make it my own" }
                    }
                    @if !known.put_away() {
                        a.press href={ "/orders/new?method=" (known.name) } { "Draft with it" }
                    }
                    a.press.quiet href={ "/methods/" (known.name) "/file" } { "Keep as a file" }
                } }
                (where_used(around.used, known))
            }
            section.wholly aria-labelledby="measures-h" {
                h2 #measures-h { "What it measures" }
                @if about.measures.is_empty() { p { "Nothing: it asks for no measure." } }
                ul.tellings { @for m in &about.measures { (measure(m)) } }
            }
            section.wholly aria-labelledby="choices-h" {
                h2 #choices-h { "What you decide" }
                @if about.choices.is_empty() { p { "Nothing: it offers no choice." } }
                ul.tellings { @for c in &about.choices { (choice(c, &about, tried)) } }
            }
            section.wholly aria-labelledby="drawn-h" {
                h2 #drawn-h { "What comes of it" }
                (for_card(known, around))
                (faults(&tried.faults))
                (finished(tried))
            }
            (steps(known, tried))
            @if !phone { (copy_form(known)) }
        }
    }
}

/// What it asks for and offers, in a sentence.
fn asks(about: &About) -> Markup {
    let names: Vec<&str> = about.measures.iter().map(|m| m.name.as_str()).collect();
    let choices = match about.choices.len() {
        0 => "It offers no choice.".to_owned(),
        1 => "It offers one choice.".to_owned(),
        n => format!("It offers {} choices.", in_words(n)),
    };
    html! {
        @if names.is_empty() { "It takes no measure. " } @else { "It takes " (in_a_row(&names)) ". " }
        (choices)
    }
}

/// "a, b and c".
pub(crate) fn in_a_row(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

fn in_words(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(n)
        .map_or_else(|| n.to_string(), |w| (*w).to_owned())
}

/// How many notes stand.
pub(crate) fn stands(notes: usize) -> String {
    let many = in_words(notes);
    if notes == 1 {
        "One note stands on its text: no paper is made until it is mended.".to_owned()
    } else {
        let mut chars = many.chars();
        let many: String = chars
            .next()
            .into_iter()
            .flat_map(char::to_uppercase)
            .chain(chars)
            .collect();
        format!("{many} notes stand on its text: no paper is made until they are mended.")
    }
}

fn where_used(used: &[Use], known: &Known) -> Markup {
    let now: Vec<&Use> = used.iter().filter(|u| u.as_now).collect();
    let then: Vec<&Use> = used.iter().filter(|u| !u.as_now).collect();
    let links = |all: &[&Use]| {
        html! {
            @for (i, u) in all.iter().enumerate() {
                @if i > 0 { ", " }
                a href={ "/orders/" (u.order) "/method" } { (u.order) }
            }
        }
    };
    let word = |n: usize| if n == 1 { "order " } else { "orders " };
    html! {
        @if !now.is_empty() { p.small.noprint { "Used by " (word(now.len())) (links(&now)) @if known.own.is_some() { ", as it is now" } "." } }
        @if !then.is_empty() { p.small.noprint { "Used by " (word(then.len())) (links(&then)) ", as it was then." } }
    }
}

fn measure(m: &MeasureTaken) -> Markup {
    html! {
        li {
            p.head { b { (capital(&m.name)) } }
            @if let Some(how) = &m.how_taken { p.help { (told(how)) } }
            @if let Some(other) = &m.fallback { p.help { "If the card has none: " (told(&spoken::spoken(other))) "." } }
            @if let Some(why) = &m.why { p.reason { (told(why)) } }
        }
    }
}

fn choice(c: &ChoiceOffered, about: &About, tried: &Tried) -> Markup {
    let words: Vec<&str> = c.words.iter().map(String::as_str).collect();
    let called = c.label.as_deref().unwrap_or(&c.name);
    // A formula is told by what it comes to here, and how.
    let worked = tried.worked.iter().flat_map(|w| &w.choices);
    let here = worked
        .filter(|w| w.name == c.name && !spoken::plain(&c.usual))
        .map(|w| w.usual.shown(tried.shown))
        .next();
    html! {
        li {
            p.head {
                b { (capital(called)) }
                span.usual { (told(&here.clone().unwrap_or_else(|| spoken::spoken(&c.usual)))) }
            }
            p.help {
                @if here.is_some() { "Usually " (told(&spoken::spoken(&c.usual))) ": so much for this card. " }
                @if let Some((low, high)) = &c.between { "Between " (told(&spoken::spoken(low))) " and " (told(&spoken::spoken(high))) ". " }
                @if !words.is_empty() { (capital(&in_a_row_or(&words))) ". " }
                @if let Some(question) = &c.only_if { "Only if " (told(&spoken::spoken(&by_label(question, about)))) ". " }
                @if let Some(help) = &c.help { (told(help)) @if !help.ends_with(['.', '!', '?']) { "." } }
            }
            @if let Some(why) = &c.why { p.reason { (told(why)) } }
        }
    }
}

/// A question about another choice, with the name that the page gives it.
fn by_label(question: &str, about: &About) -> String {
    let known = about.choices.iter().find_map(|c| {
        let rest = question.strip_prefix(c.name.as_str())?;
        let label = c.label.as_deref()?;
        rest.starts_with(" is ")
            .then(|| format!("“{}”{rest}", capital(label)))
    });
    known.unwrap_or_else(|| question.to_owned())
}

fn in_a_row_or(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [rest @ .., last] => format!("{} or {last}", rest.join(", ")),
    }
}

fn capital(words: &str) -> String {
    check::told::capital(words)
}

fn for_card(known: &Known, around: &Around<'_>) -> Markup {
    html! {
        form.naming.noprint method="get" action={ "/methods/" (known.name) "#drawn-h" } {
            div { (picker("f-card", around.cards, around.card)) }
            button.press { "Work it for this card" }
        }
        @if let Some(card) = around.cards.iter().find(|c| c.key == around.card) {
            p.onlyprint { "Worked for: " (card.words) "." }
        }
    }
}

/// What is wrong that has no place in the text.
pub(crate) fn faults(all: &[String]) -> Markup {
    html! {
        @if !all.is_empty() {
            ul.saying { @for fault in all.iter().take(20) { li { (told(fault)) } } }
        }
    }
}

/// The finished drawing with its twin table.
fn finished(tried: &Tried) -> Markup {
    let Some(drawing) = tried.drawing("The finished pattern", "pattern") else {
        return html! { p.notyet { "Nothing can be drawn of it yet." } };
    };
    let rows: Vec<Vec<Markup>> = tried
        .worked
        .iter()
        .flat_map(|w| &w.pieces)
        .flat_map(|piece| {
            piece.edges.iter().map(|edge| {
                let sewn = piece
                    .sewn_length(&edge.name)
                    .unwrap_or_else(|_| edge.curve.length());
                vec![
                    html! { (capital(&piece.name)) },
                    html! { (edge.name) },
                    told(&show_number(sewn, tried.shown)),
                ]
            })
        })
        .collect();
    let unit = tried.shown.unit.to_string();
    let cuts: Vec<(String, String)> = tried
        .worked
        .iter()
        .flat_map(|w| &w.pieces)
        .map(|p| (capital(&p.name), drawing::cut_words(p)))
        .collect();
    html! {
        figure.sheet.wholepattern { (drawing) }
        p.small {
            @for (i, (name, cut)) in cuts.iter().enumerate() { @if i > 0 { "; " } (name) ": " (cut) } "."
        }
        (twin("The pattern as a table", "Each edge and its length", &[("Piece", false), ("Edge", false), (&format!("Sewn, {unit}"), true)], &rows))
    }
}

fn steps(known: &Known, tried: &Tried) -> Markup {
    let Some(worked) = tried.worked.as_ref().filter(|w| !w.steps.is_empty()) else {
        return html! {};
    };
    let mut stages: Vec<(&str, Vec<&Step>)> = Vec::new();
    for step in &worked.steps {
        match stages.last_mut() {
            Some((stage, all)) if *stage == step.stage => all.push(step),
            _ => stages.push((&step.stage, vec![step])),
        }
    }
    let text: Vec<&str> = known.text.lines().collect();
    html! {
        h2.wholly.stepsh { "Step by step" }
        @for (stage, all) in &stages {
            h3.wholly { (capital(stage)) }
            ol.steps-list {
                @for step in all {
                    li {
                        div.text {
                            b aria-hidden="true" { @if let Some(n) = step.number { (n) } }
                            div {
                                p { @if let Some(n) = step.number { span.vh { "Step " (n) ": " } } (told(&step.sentence)) }
                                @for said in source(&tried.reading.lines, &text, &step.lines) { code { (said) } }
                            }
                        }
                        @if let Some(why) = &step.why { p.aside { span.vh { "Why: " } (told(why)) } } @else { p.aside.empty {} }
                    }
                }
            }
        }
    }
}

/// The method's own lines: each entry that begins on one of these, with the lines that go on with it.
fn source(lines: &[LineInfo], text: &[&str], begin: &[u32]) -> Vec<String> {
    let mut out = Vec::new();
    for &line in begin {
        let Some(at) = lines.iter().position(|l| l.line.number == line) else {
            continue;
        };
        let mut said: Vec<String> = Vec::new();
        let mut left_out = false;
        for (i, info) in lines.iter().enumerate().skip(at) {
            let words = text
                .get(info.line.number.saturating_sub(1) as usize)
                .map_or("", |w| w.trim());
            let row = words.split_whitespace().collect::<Vec<_>>().join(" ");
            let goes_on = info.role == Role::More && lines[at].role == Role::Entry;
            match info.role {
                Role::Row if i == at => said.push(row),
                _ if i == at => said.push(words.to_owned()),
                // Seams are trued in steps of their own.
                Role::More
                    if goes_on && !words.starts_with("true ") && !words.starts_with("make ") =>
                {
                    if said.len() < LINES {
                        said.push(format!("  {words}"));
                    } else {
                        left_out = true;
                    }
                }
                Role::Why => {}
                _ => break,
            }
        }
        if left_out {
            said.push("  \u{2026}".to_owned());
        }
        out.push(said.join("\n"));
    }
    out
}

fn copy_form(known: &Known) -> Markup {
    let offered = if known.own.is_some() {
        format!("{}, another way", known.called())
    } else {
        format!("My {}", uncapital(known.called()))
    };
    html! {
        section.wholly.noprint #copy aria-labelledby="copy-h" {
            h2 #copy-h { "Make it my own" }
            form.naming method="post" action={ "/methods/" (known.name) "/copy" } {
                div {
                    label for="f-copy" { "What your copy is called" }
                    input.box #f-copy name="called" value=(offered) required maxlength="80" autocomplete="off";
                }
                button.press.main { "Copy it" }
            }
            p.help { "The copy is yours to change. This one stays as it is." }
        }
    }
}

fn uncapital(words: &str) -> String {
    let mut chars = words.chars();
    chars
        .next()
        .into_iter()
        .flat_map(char::to_lowercase)
        .chain(chars)
        .collect()
}

/// One of them.
pub(super) async fn read(
    State(room): State<Arc<Room>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let taken = taken(&room, asked.card, true).await?;
    let said = said(asked.said.as_deref());
    let (title, body) = tried(&room, move || {
        let shelf = Shelf::of(taken.own);
        let known = shelf.find(&name).ok_or_else(|| no_method(&name))?;
        let trial = Trial {
            text: known.text.clone(),
            others: shelf.others(&name),
            card: taken.card.1,
            settings: taken.settings,
        };
        let used: Vec<Use> = taken
            .orders
            .into_iter()
            .filter(|(_, of, text)| {
                order::origin(&shelf, of, text).is_some_and(|k| k.name == known.name)
            })
            .map(|(order, _, text)| Use {
                order,
                as_now: text == known.text,
            })
            .collect();
        let around = Around {
            cards: &taken.cards,
            card: &taken.card.0,
            used: &used,
        };
        let body = html! { (said) (reader(known, &trial.run(), &around)) };
        Ok::<_, Trouble>((known.called().to_owned(), body))
    })
    .await??;
    Ok(page(&frame(title), body))
}
