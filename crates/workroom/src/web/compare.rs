//! Compare: two values of one choice, before and after on one another or side by side.

mod changes;

use std::borrow::Cow;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use book::{Book, Change as Kept, OrderNo};
use check::told::capital;
use check::{Finding, Measured};
use draft::Worked;
use draft::worked::{ChoiceUsed, Quantity};
use maud::{Markup, html};
use measure::fraction::Shown;
use measure::names;

use super::drawing::pair::Pair;
use super::drawing::sofar::called;
use super::layout::{Frame, OrderHead, Stage, page};
use super::parts::number::{n, told, unit_word};
use super::parts::said::said;
use super::room::Room;
use super::table::hand::{kept, stepped, typed, understood};
use super::table::in_hand;
use super::trouble::Trouble;
use super::working::OnTable;
use changes::Change;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new().route("/orders/{order}/draft/compare", get(show).post(done))
}

/// What the address asks to be compared.
#[derive(Clone, Debug, Default, serde::Deserialize)]
pub(crate) struct Asked {
    /// The choice; without one, what was changed last.
    choice: Option<String>,
    /// Its value before; without one, as it stands.
    from: Option<String>,
    /// Its value after.
    to: Option<String>,
    /// `beside`: side by side.
    lie: Option<String>,
    said: Option<String>,
}

/// What is pressed.
#[derive(Clone, Debug, serde::Deserialize)]
pub(crate) struct Pressed {
    choice: String,
    value: String,
    /// How the order was when the page was made.
    seen: u64,
}

/// Which two values are compared.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Two {
    choice: String,
    /// Nothing is the method's own value.
    from: Option<String>,
    to: Option<String>,
}

/// The last change of one choice that still stands.
fn last_change(book: &Book, order: OrderNo) -> Result<Option<Two>, Trouble> {
    let journal = book.journal(order)?;
    let newest = journal.iter().filter(|e| !e.undone).max_by_key(|e| e.at);
    Ok(newest.and_then(|entry| {
        let mut choices = entry.changes.iter().filter_map(|c| {
            Some(Two {
                choice: c.key.strip_prefix("choice/")?.to_owned(),
                from: c.before.clone(),
                to: c.after.clone(),
            })
        });
        let first = choices.next()?;
        choices.next().is_none().then_some(first)
    }))
}

/// A draft and what is known of it.
struct Side {
    worked: Worked,
    findings: Vec<Finding>,
    measured: Measured,
    /// The choice's value as it is shown.
    value: String,
    /// Why it can't be drawn.
    faults: Vec<String>,
}

impl Side {
    fn of(table: &OnTable, choice: &str) -> Self {
        let worked = table.redraw();
        let findings = table.seen(&worked);
        let measured = table.measured(&worked);
        let value =
            find(&worked, choice).map_or_else(String::new, |c| typed(&c.value, table.shown));
        Self {
            faults: table.in_the_way(&worked),
            worked,
            findings,
            measured,
            value,
        }
    }
}

/// A choice by its name or its label.
fn find<'a>(worked: &'a Worked, name: &str) -> Option<&'a ChoiceUsed> {
    let folded = names::fold(name);
    let mut all = worked.choices.iter();
    all.clone()
        .find(|c| names::fold(&c.name) == folded)
        .or_else(|| all.find(|c| names::fold(&c.label) == folded))
}

/// What the page shows.
struct CompareView<'a> {
    order: u32,
    seen: u64,
    shown: Shown,
    /// The draft as it stands.
    stands: &'a Worked,
    choice: Option<&'a ChoiceUsed>,
    /// Before and after, when there is something to compare.
    two: Option<(&'a Side, &'a Side)>,
    from: String,
    to: String,
    beside: bool,
    said: Option<&'a str>,
}

async fn show(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let number = OrderNo(order);
    let (table, last) = room
        .book(move |book| Ok((OnTable::load(book, number)?, last_change(book, number)?)))
        .await?;
    room.work(move || {
        let stands = table.work();
        let named = asked.choice.as_deref().filter(|c| !c.trim().is_empty());
        let two = match named {
            Some(choice) => Some(Two {
                choice: choice.to_owned(),
                from: asked.from.clone(),
                to: asked.to.clone(),
            }),
            // Where nothing was changed yet: what is first in the hand.
            None => last.or_else(|| {
                in_hand(&stands, None).map(|c| Two {
                    choice: c.name.clone(),
                    from: Some(kept(&c.value, table.shown)),
                    to: other(c, table.shown),
                })
            }),
        };
        let choice = two.as_ref().and_then(|t| find(&stands, &t.choice));
        let shown = table.shown;
        // From the journal an empty value is the method's own; from the form it is the one that stands.
        let value = |typed: Option<&str>| -> Option<String> {
            let choice = choice?;
            match typed.map(str::trim).filter(|t| !t.is_empty()) {
                Some(text) => Some(understood(&choice.value, text, shown)),
                None if named.is_some() => Some(kept(&choice.value, shown)),
                None => Some(kept(&choice.usual, shown)),
            }
        };
        let from = two.as_ref().and_then(|t| value(t.from.as_deref()));
        let to = two.as_ref().and_then(|t| match t.to.as_deref() {
            // Nothing to compare with yet: a step more, so that there is something to see.
            None if named.is_some() => choice.and_then(|c| other(c, shown)),
            to => value(to),
        });
        let (from, to) = (from.unwrap_or_default(), to.unwrap_or_default());
        let sides = choice.map(|c| {
            let side = |value: &str| {
                // What stands is taken as it is: written down it is rounded.
                let stands = value == kept(&c.value, table.shown);
                let table = if stands {
                    table.clone()
                } else {
                    table.clone().with(&c.name, value)
                };
                Side::of(&table, &c.name)
            };
            (side(&from), side(&to))
        });
        let view = CompareView {
            order,
            seen: table.order.seen,
            shown,
            stands: &stands,
            choice,
            two: sides.as_ref().map(|(a, b)| (a, b)),
            from,
            to,
            beside: asked.lie.as_deref() == Some("beside"),
            said: asked.said.as_deref(),
        };
        let frame = Frame {
            title: "Before and after".to_owned(),
            order: Some(OrderHead {
                number: OrderNo(order),
                stage: Stage::Draft,
            }),
            wide: true,
            demo: table.client.demo,
            ..Frame::default()
        };
        page(&frame, compare(&view))
    })
    .await
}

/// A value beside the one that stands: a step more, the other word.
fn other(choice: &ChoiceUsed, shown: Shown) -> Option<String> {
    match &choice.value {
        Quantity::YesNo(on) => Some(if *on { "no" } else { "yes" }.to_owned()),
        Quantity::Word(word) => choice.words.iter().find(|w| *w != word).cloned(),
        _ => {
            let now = kept(&choice.value, shown);
            stepped(choice, shown, true)
                .filter(|v| *v != now)
                .or_else(|| stepped(choice, shown, false))
        }
    }
}

async fn done(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(pressed): Form<Pressed>,
) -> Result<Response, Trouble> {
    let number = OrderNo(order);
    let by = super::visit::now().by;
    let table = room.book(move |book| OnTable::load(book, number)).await?;
    let (label, value) = {
        let pressed = pressed.clone();
        room.work(move || {
            let stands = table.redraw();
            let choice = find(&stands, &pressed.choice).ok_or_else(|| {
                Trouble::unclear(format!(
                    "This method has no choice called {}.",
                    pressed.choice
                ))
            })?;
            let value = understood(&choice.value, &pressed.value, table.shown);
            let was = typed(&choice.value, table.shown);
            let tried = table.clone().with(&choice.name, &value);
            let after = tried.redraw();
            let faults = tried.in_the_way(&after);
            if !faults.is_empty() {
                return Err(Trouble::unclear(faults.join(" ")));
            }
            let is = find(&after, &choice.name)
                .map_or_else(|| value.clone(), |c| typed(&c.value, table.shown));
            Ok((
                (was != is).then(|| format!("{} {was} to {is}", choice.label)),
                (choice.name.clone(), value),
            ))
        })
        .await?
        .map_err(|t: Trouble| {
            t.back(
                format!("/orders/{order}/draft/compare"),
                "Back to before and after",
            )
        })?
    };
    let Some(label) = label else {
        // It stands so already.
        return Ok(Redirect::to(&format!("/orders/{order}/draft")).into_response());
    };
    let (choice, value) = value;
    room.book(move |book| {
        let change = Kept {
            key: format!("choice/{choice}"),
            after: Some(value),
        };
        book.change(number, Some(pressed.seen), &label, &by, &[change])?;
        Ok(())
    })
    .await
    .map_err(|t| {
        t.back(
            format!("/orders/{order}/draft/compare"),
            "Back to before and after",
        )
    })?;
    Ok(Redirect::to(&format!("/orders/{order}/draft?said=kept")).into_response())
}

fn compare(view: &CompareView<'_>) -> Markup {
    html! {
        (said(view.said))
        @match (view.choice, view.two) {
            (Some(choice), Some((before, after))) => (two(view, choice, before, after)),
            _ => div.alone {
                h1 { "Before and after" }
                p.lead { "Nothing was changed yet that could be compared. Take any choice and try another value: nothing is kept until you say so." }
            },
        }
        (form(view))
    }
}

fn two(view: &CompareView<'_>, choice: &ChoiceUsed, before: &Side, after: &Side) -> Markup {
    let faults: Vec<&String> = before.faults.iter().chain(&after.faults).collect();
    let title = capital(&choice.label);
    let sound = faults.is_empty();
    let cut = sound.then(|| alike(&before.worked, &after.worked));
    let cut = cut.as_ref().map(|(old, new)| (&**old, &**new));
    let pair = cut.map(|(old, new)| (Pair::new(old, new), changes::edges(old, new, view.shown)));
    html! {
        div.sheet.twoup {
            div.paper {
                @if let Some((pair, _)) = &pair { (drawn(view, pair, before, after)) }
            }
            div.tell {
                h1 { (title) ", from " (n(&before.value)) " to " (n(&after.value)) }
                @for fault in &faults { p.fault { (fault) } }
                @if let Some((pair, edges)) = &pair {
                    @if !view.beside { (key()) }
                    (numbers(view, (pair, edges), before, after))
                    (come_and_go(before, after))
                }
                (keep(view, choice, before, after))
                p.lookways {
                    a href=(address(view, choice, !view.beside)) { (if view.beside { "Lay them on one another" } else { "Side by side" }) }
                    a href={ "/orders/" (view.order) "/draft" } { "Back to the whole draft" }
                }
            }
        }
    }
}

fn address(view: &CompareView<'_>, choice: &ChoiceUsed, beside: bool) -> String {
    let e = super::parts::link::escaped;
    format!(
        "/orders/{}/draft/compare?choice={}&from={}&to={}{}",
        view.order,
        e(&choice.name),
        e(&view.from),
        e(&view.to),
        if beside { "&lie=beside" } else { "" }
    )
}

/// Both drafts cut into the same pieces, where her left and her right differ in one of them.
fn alike<'a>(before: &'a Worked, after: &'a Worked) -> (Cow<'a, Worked>, Cow<'a, Worked>) {
    let cut = |one: &'a Worked, like: &Worked| {
        draft::sided::split_like(one, like).map_or(Cow::Borrowed(one), Cow::Owned)
    };
    (cut(before, after), cut(after, before))
}

fn drawn(view: &CompareView<'_>, pair: &Pair<'_>, before: &Side, after: &Side) -> Markup {
    let moved = pair.moved.as_ref().map_or_else(
        || "No line of the outside moved.".to_owned(),
        |m| {
            format!(
                "The {} of the {} moved most.",
                called(&m.edge),
                called(&m.piece)
            )
        },
    );
    html! {
        @if view.beside {
            figure { (pair.alone(false, "The pattern before", "pair-before")) figcaption { "Before, " (n(&before.value)) } }
            figure { (pair.alone(true, "The pattern after", "pair-after")) figcaption { "After, " (n(&after.value)) } }
        } @else {
            (pair.over(view.shown, &format!("The pattern before and after, laid on one another. {moved}")))
        }
    }
}

fn key() -> Markup {
    let sample = |class: &str| {
        html! { svg viewBox="0 0 40 16" aria-hidden="true" focusable="false" { path class=(class) d="M2 8H38" {} } }
    };
    html! {
        p.key {
            span { (sample("before")) "before" }
            span { (sample("stitch")) "after" }
            span { svg viewBox="0 0 40 16" aria-hidden="true" focusable="false" { path.gain d="M2 3H38V13H2Z" {} } "wider by this" }
            span { svg viewBox="0 0 40 16" aria-hidden="true" focusable="false" { path.loss d="M2 14L10 2M10 14L18 2M18 14L26 2M26 14L34 2" {} } "narrower by this" }
        }
    }
}

fn rows(caption: &str, sign: &str, all: &[Change]) -> Markup {
    html! {
        div.wide role="group" tabindex="0" aria-label=(caption) {
            table {
                thead { tr { th scope="col" { (caption) ", in " (sign) } th.r scope="col" { "Before" } th.r scope="col" { "After" } th.r scope="col" { "Change" } } }
                tbody {
                    @for line in all {
                        tr {
                            th scope="row" { (line.what) }
                            td.r { (n(&line.before)) }
                            td.r { (n(&line.after)) }
                            @match &line.by {
                                Some(by) => td.r { (n(by)) },
                                None => td.r.small { "same" },
                            }
                        }
                    }
                }
            }
        }
    }
}

fn numbers(
    view: &CompareView<'_>,
    (pair, edges): (&Pair<'_>, &[Change]),
    before: &Side,
    after: &Side,
) -> Markup {
    let sign = unit_word(view.shown.unit);
    let finished = changes::finished(&before.measured, &after.measured, view.shown);
    html! {
        @if !finished.is_empty() { (rows("Finished", sign, &finished)) }
        @if edges.is_empty() {
            p { "Every edge is as long as before." }
        } @else {
            details.fold open[edges.len() <= 6] {
                summary { (edges.len()) (if edges.len() == 1 { " edge has another length" } else { " edges have another length" }) }
                (rows("Edges, as sewn", sign, edges))
            }
        }
        @for piece in &pair.only_after { p { "A new piece: " (called(piece)) "." } }
        @for piece in &pair.only_before { p { "No longer a piece: " (called(piece)) "." } }
    }
}

fn come_and_go(before: &Side, after: &Side) -> Markup {
    let gone = changes::new(&after.findings, &before.findings);
    let come = changes::new(&before.findings, &after.findings);
    let list = |all: &[&Finding]| {
        html! {
            ul.comego {
                @for finding in all {
                    @let word = crate::finding::word(finding.weight);
                    li { span class={ "weight " (word) } { (capital(word)) } span { (told(&finding.says)) } }
                }
            }
        }
    };
    html! {
        @if !come.is_empty() { h2 { "Found only after" } (list(&come)) }
        @if !gone.is_empty() { h2 { "Gone with it" } (list(&gone)) }
        @if come.is_empty() && gone.is_empty() { p { "What is found stays the same." } }
    }
}

/// Two buttons: keep the one, keep the other.
fn keep(view: &CompareView<'_>, choice: &ChoiceUsed, before: &Side, after: &Side) -> Markup {
    let now = typed(&choice.value, view.shown);
    let button = |side: &Side, value: &str, main: bool| {
        let words = if side.value == now {
            "Stay with "
        } else if main {
            "Keep "
        } else {
            "Go back to "
        };
        html! {
            form method="post" action={ "/orders/" (view.order) "/draft/compare" } {
                input type="hidden" name="choice" value=(choice.name);
                input type="hidden" name="value" value=(value);
                input type="hidden" name="seen" value=(view.seen);
                button class=(if main { "press main" } else { "press" }) { (words) (n(&side.value)) }
            }
        }
    };
    html! {
        div.presses {
            @if after.faults.is_empty() { (button(after, &view.to, true)) }
            @if before.faults.is_empty() && before.value != after.value { (button(before, &view.from, false)) }
        }
    }
}

/// Two values of any choice, chosen by her.
fn form(view: &CompareView<'_>) -> Markup {
    let offered = view.stands.choices.iter().filter(|c| c.offered);
    let chosen = view.choice.map(|c| c.name.as_str());
    let bare = |text: &str, choice: Option<&ChoiceUsed>| {
        // In the boxes the page's unit goes without saying.
        match choice.map(|c| &c.value) {
            Some(Quantity::Length(_)) => text
                .strip_suffix(&format!(" {}", view.shown.unit.sign()))
                .unwrap_or(text)
                .to_owned(),
            _ => text.to_owned(),
        }
    };
    html! {
        section.other aria-labelledby="other-h" {
            h2 #other-h { "Two other values" }
            form method="get" action={ "/orders/" (view.order) "/draft/compare" } {
                div.field {
                    label for="f-choice" { "Choice" }
                    select.box #f-choice name="choice" {
                        @for choice in offered {
                            option value=(choice.name) selected[chosen == Some(choice.name.as_str())] {
                                (capital(&choice.label)) ", now " (typed(&choice.value, view.shown))
                            }
                        }
                    }
                }
                div.field { label for="f-from" { "Before" } input.box #f-from name="from" type="text" autocomplete="off" value=(bare(&view.from, view.choice)) aria-describedby="f-two-help"; }
                div.field { label for="f-to" { "After" } input.box #f-to name="to" type="text" autocomplete="off" value=(bare(&view.to, view.choice)) aria-describedby="f-two-help"; }
                @if view.beside { input type="hidden" name="lie" value="beside"; }
                button.press { "Compare" }
            }
            p.help #f-two-help { "Write a value as you would on the draft table. Where a box is empty, the value that stands now is taken. Nothing is kept until you press Keep." }
        }
    }
}

#[cfg(test)]
mod tests;
