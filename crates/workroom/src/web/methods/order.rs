//! Which text of its method an order holds, what is newer, and taking that or another method.

use std::sync::Arc;

use axum::extract::{Form, Path, Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use serde::Deserialize;
use std::collections::BTreeMap;

use book::{Change, Entry, MethodText, OrderNo};
use draft::Library;
use maud::{Markup, html};
use measure::names;
use serde_json::{Value, json};

use crate::version::Version;
use crate::web::backs::{self, Way};
use crate::web::layout::{self, OrderHead, Stage};
use crate::web::parts::said::said;
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::visit;

use super::bench::tried;

use super::differing::{many, side_by_side};
use super::keeping::{lines_differ, when};
use super::known::{self, Known, Shelf};
use super::reader::{in_a_row, stands};
use super::{Asked, frame, no_method};

/// What an order holds of its method.
pub(crate) struct Held {
    pub(crate) order: OrderNo,
    /// What is made, in her words.
    pub(crate) title: String,
    pub(crate) seen: u64,
    pub(crate) closed: bool,
    /// It is the demo's.
    pub(crate) demo: bool,
    pub(crate) text: String,
    /// The method at hand that it was taken from.
    pub(crate) known: Option<Known>,
    /// Every text that method ever had, where it is hers.
    pub(crate) texts: Vec<MethodText>,
    /// The choices that are set, without their values.
    pub(crate) set: Vec<String>,
    /// What can be taken back, where that is a change of the method.
    pub(crate) back: Option<Entry>,
}

/// A change of an order's method begins with this word in the journal.
pub(crate) const LABEL: &str = "method";

/// The method at hand that an order's text came from: the one with its title, else the one with the name
/// that the order was entered with.
pub(crate) fn origin<'a>(shelf: &'a Shelf, name: &str, text: &str) -> Option<&'a Known> {
    let title = known::title(text);
    shelf
        .find(name)
        .filter(|k| k.title == title || k.text == text)
        .or_else(|| shelf.titled(&title).filter(|_| !title.is_empty()))
        .or_else(|| shelf.find(name))
}

/// The short mark of a text.
pub(crate) fn mark(text: &str) -> String {
    let mut hash = Version::new();
    hash.with(text);
    hash.short()
}

/// The choices that are set and that a text does not know, on a thread of its own.
pub(crate) fn unknown(set: &[String], text: &str) -> Vec<String> {
    let reading = draft::read(text);
    let choices = &reading.method.choices;
    set.iter()
        .filter(|name| {
            let folded = names::fold(name);
            !choices.iter().any(|c| {
                names::fold(&c.name.name) == folded
                    || c.label.as_ref().is_some_and(|l| names::fold(l) == folded)
            })
        })
        .cloned()
        .collect()
}

/// The changes by which an order takes a text: the text, those it uses, and the choices it does not know
/// let go. On a thread of its own.
pub(crate) fn changes(to: &Known, shelf: &Shelf, set: &[String]) -> Vec<Change> {
    let others = shelf.others(&to.name);
    let used = known::used(&draft::read(&to.text), &others);
    let used: Vec<Value> = used.into_iter().map(|text| json!(text)).collect();
    let put = |key: &str, after: String| Change {
        key: key.to_owned(),
        after: Some(after),
    };
    let mut all = vec![
        put("method", to.text.clone()),
        put("methods", Value::Array(used).to_string()),
    ];
    all.extend(unknown(set, &to.text).into_iter().map(|name| Change {
        key: format!("choice/{name}"),
        after: None,
    }));
    all
}

/// The choices that an order sets.
pub(crate) fn set(holds: &BTreeMap<String, String>) -> Vec<String> {
    holds
        .keys()
        .filter_map(|k| k.strip_prefix("choice/"))
        .map(str::to_owned)
        .collect()
}

/// The page; on a thread of its own.
pub(crate) fn page(held: &Held, shelf: &Shelf) -> Markup {
    let title = known::title(&held.text);
    let called = if title.is_empty() {
        "a method without a name"
    } else {
        title.as_str()
    };
    let newer = held.known.as_ref().filter(|k| k.text != held.text);
    let address = format!("/orders/{}/method", held.order);
    html! {
        div.keeping {
            div.top {
                h1 { "The method of order " (held.order) }
                p.lead {
                    @if held.text.is_empty() { "It has none yet." } @else { (held.title) ": " i { (called) } ", " (as_of(held)) "." }
                }
                @if !held.text.is_empty() {
                    p.small { "The mark of this text: " span.word-fix { (mark(&held.text)) } ". The order keeps it whatever becomes of the method." }
                }
            }
            @if held.closed { p.notyet { "The order is closed: open it again to change its method." } }
            @if let Some(line) = held.back.as_ref().filter(|_| !held.closed) {
                form.naming method="post" action=(address) {
                    p { "Done last: " (line.label) "." }
                    input type="hidden" name="back" value=(line.at);
                    button.press name="do" value="back" { "Take it back" }
                }
            }
            @if let Some(newer) = newer { (newest(held, newer, shelf, &address)) }
            @else if !held.text.is_empty() && held.known.is_some() { p { "That is its newest text." } }
            @if !held.closed {
                section aria-labelledby="another-h" {
                    h2 #another-h { "Another method" }
                    form.naming method="post" action=(address) {
                        input type="hidden" name="seen" value=(held.seen);
                        div {
                            label for="f-method" { "Draft this order by" }
                            select.box #f-method name="method" {
                                @for k in shelf.all.iter().filter(|k| !k.put_away()) {
                                    option value=(k.name) selected[held.known.as_ref().is_some_and(|h| h.name == k.name)] { (k.called()) @if k.own.is_some() { " (your own)" } }
                                }
                            }
                        }
                        button.press name="do" value="look" { "Look what would change" }
                    }
                }
            }
            @if !held.text.is_empty() {
                details.fold {
                    summary { "The text that the order holds" }
                    pre.wholetext tabindex="0" aria-label="The text" { code { (held.text) } }
                }
            }
            p.presses {
                a.press href={ "/orders/" (held.order) "/draft" } { "To the draft" }
                @if let Some(k) = &held.known { a.press.quiet href={ "/methods/" (k.name) } { "Read the method" } }
            }
        }
    }
}

/// From when the order's text is.
fn as_of(held: &Held) -> String {
    let Some(known) = &held.known else {
        return "which is not among your methods any more".to_owned();
    };
    let kept = held.texts.iter().find(|t| t.text == held.text);
    match (kept, known.text == held.text) {
        (_, true) => "as it is now".to_owned(),
        (Some(kept), false) => format!("as it was kept {}", when(kept.made)),
        (None, false) => "as it was when the order took it".to_owned(),
    }
}

fn newest(held: &Held, newer: &Known, shelf: &Shelf, address: &str) -> Markup {
    html! {
        section aria-labelledby="newer-h" {
            h2 #newer-h { "There is a newer text of it: " (lines_differ(many(&held.text, &newer.text))) }
            (what_goes(held, newer, shelf))
            @if !held.closed {
                form method="post" action=(address) {
                    input type="hidden" name="seen" value=(held.seen);
                    input type="hidden" name="method" value=(newer.name);
                    p.presses { button.press.main name="do" value="take" { "Take the newer text" } }
                }
                p.help { "The draft is worked by it then. It can be taken back." }
            }
            (side_by_side(("The order\u{2019}s text", "The newest"), &held.text, &newer.text))
        }
    }
}

/// What taking a text would mean: notes on it, and choices that are let go.
fn what_goes(held: &Held, to: &Known, shelf: &Shelf) -> Markup {
    let others = shelf.others(&to.name);
    let library = Library::new(others.iter().map(String::as_str));
    let reading = draft::read(&to.text);
    let notes = draft::check(&reading, &library).len();
    let gone = unknown(&held.set, &to.text);
    let names: Vec<&str> = gone.iter().map(String::as_str).collect();
    html! {
        @if notes > 0 { p.notyet { (stands(notes)) } }
        @if !gone.is_empty() {
            p.saying { "What you chose for " (in_a_row(&names)) " has no place in it, and is let go." }
        }
    }
}

/// Another method, looked at before it is taken.
pub(crate) fn other(held: &Held, to: &Known, shelf: &Shelf) -> Markup {
    let address = format!("/orders/{}/method", held.order);
    let same = to.text == held.text;
    html! {
        div.keeping {
            div.top {
                h1 { (to.called()) " for order " (held.order) "?" }
                @if same { p.lead { "The order is drafted by just this text already." } }
            }
            (what_goes(held, to, shelf))
            @if !same {
                form method="post" action=(address) {
                    input type="hidden" name="seen" value=(held.seen);
                    input type="hidden" name="method" value=(to.name);
                    p.presses {
                        button.press.main name="do" value="take" { "Take this method" }
                        a.press.quiet href=(address) { "Leave it as it is" }
                    }
                }
                p.help { "Fitting corrections stay with the order: one whose edge this method does not have is told as a stop. It can be taken back." }
            } @else {
                p { a.press href=(address) { "Back" } }
            }
        }
    }
}

/// What an order holds, and her methods.
pub(super) async fn held(
    room: &Arc<Room>,
    number: OrderNo,
) -> Result<(Held, String, Vec<book::Method>), Trouble> {
    room.book(move |book| {
        let order = book.order(number)?;
        let holds = book.holds(number)?;
        let back = book
            .next_back(number)?
            .filter(|line| line.label.starts_with(LABEL));
        let held = Held {
            order: number,
            title: order.title.clone(),
            seen: order.seen,
            closed: order.closed.is_some(),
            demo: order.demo,
            text: holds.get("method").cloned().unwrap_or_default(),
            known: None,
            texts: Vec::new(),
            set: set(&holds),
            back,
        };
        Ok((held, order.method, book.methods(true)?))
    })
    .await
}

/// The number of an order in an address.
pub(super) fn order_no(text: &str) -> Result<OrderNo, Trouble> {
    text.parse()
        .map(OrderNo)
        .map_err(|_| Trouble::missing("such order"))
}

pub(super) async fn method(
    State(room): State<Arc<Room>>,
    Path(number): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let number = order_no(&number)?;
    order_page(&room, number, asked.said.as_deref(), None).await
}

/// The page of an order's method, or of another that is looked at for it.
pub(super) async fn order_page(
    room: &Arc<Room>,
    number: OrderNo,
    code: Option<&str>,
    instead: Option<String>,
) -> Result<Markup, Trouble> {
    let (held, name, own) = held(room, number).await?;
    let (shelf, mut held) = tried(room, move || {
        let shelf = Shelf::of(own);
        let known = origin(&shelf, &name, &held.text).cloned();
        (shelf, Held { known, ..held })
    })
    .await?;
    if let Some(own) = held.known.as_ref().and_then(|k| k.own.clone()) {
        held.texts = room
            .book(move |book| Ok(book.method_texts(&own.name)?))
            .await?;
    }
    let (said, demo) = (said(code), held.demo);
    let body = tried(room, move || match instead {
        Some(name) => {
            let to = shelf.find(&name).ok_or_else(|| no_method(&name))?;
            Ok(other(&held, to, &shelf))
        }
        None => Ok::<_, Trouble>(html! { (said) (page(&held, &shelf)) }),
    })
    .await??;
    let mut frame = frame(format!("The method of order {number}"));
    frame.demo = demo;
    frame.order = Some(OrderHead {
        number,
        stage: Stage::Draft,
    });
    Ok(layout::page(&frame, body))
}

#[derive(Deserialize)]
pub(super) struct Take {
    #[serde(default)]
    seen: u64,
    #[serde(default)]
    method: String,
    /// The line of the journal that the button named.
    #[serde(default)]
    back: Option<u64>,
    #[serde(default, rename = "do")]
    what: String,
}

pub(super) async fn take(
    State(room): State<Arc<Room>>,
    Path(number): Path<String>,
    Form(form): Form<Take>,
) -> Result<Response, Trouble> {
    let number = order_no(&number)?;
    let here = format!("/orders/{number}/method");
    if form.what == "look" {
        return Ok(order_page(&room, number, None, Some(form.method))
            .await?
            .into_response());
    }
    if form.what == "back" {
        let order = format!("/orders/{number}");
        room.book(move |book| {
            let next = book.next_back(number)?;
            let ours = next.is_some_and(|line| line.label.starts_with(LABEL));
            // Without a line that was named it is the last one, where that is a change of the method.
            if ours || form.back.is_some() {
                backs::turn(book, number, Way::Back, form.back, &order)?;
            }
            Ok(())
        })
        .await?;
        return Ok(Redirect::to(&format!("{here}?said=back")).into_response());
    }
    let (held, _, own) = held(&room, number).await?;
    let seen = form.seen;
    let (label, changes) = tried(&room, move || {
        let shelf = Shelf::of(own);
        let to = shelf
            .find(&form.method)
            .filter(|k| !k.put_away())
            .ok_or_else(|| no_method(&form.method))?;
        let was = known::title(&held.text);
        let label = if was == to.title {
            format!("{}: the newer text of {}", LABEL, to.called())
        } else if was.is_empty() {
            format!("{}: {}", LABEL, to.called())
        } else {
            format!("{}: {} in place of {was}", LABEL, to.called())
        };
        Ok::<_, Trouble>((label, changes(to, &shelf, &held.set)))
    })
    .await??;
    let by = visit::now().by;
    let back = here.clone();
    room.book(move |book| {
        match book.change(number, Some(seen), &label, &by, &changes) {
            Ok(_) => Ok(()),
            Err(book::Trouble::Moved { .. }) => Err(Trouble::moved(
                "The order\u{2019}s method was changed in another window. Nothing was written over: look at what it holds now.",
            )
            .back(back, "Look again")),
            Err(trouble) => Err(trouble.into()),
        }
    })
    .await?;
    Ok(Redirect::to(&format!("{here}?said=kept")).into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known(name: &str, text: &str) -> Known {
        Known {
            name: name.to_owned(),
            title: known::title(text),
            text: text.to_owned(),
            own: None,
        }
    }

    #[test]
    fn a_text_is_taken_with_what_it_uses_and_without_choices_it_does_not_know() {
        // Catches a draft that stops on a choice of the method before, and one without its block.
        let block = known("block", "method \"Block\"\ncard\n  hip\n");
        let text = "method \"Mine\"\nchoices\n  flare: 1 in, between 0 in and 2 in, \"Flare\", \"Help\"\nuse \"Block\" as b\n";
        let mine = known("mine", text);
        let shelf = Shelf {
            all: vec![mine.clone(), block.clone()],
        };
        let set = ["flare".to_owned(), "train".to_owned()];
        let all = changes(&mine, &shelf, &set);
        let get = |key: &str| all.iter().find(|c| c.key == key).map(|c| c.after.clone());
        assert_eq!(get("method"), Some(Some(text.to_owned())));
        let methods: Vec<String> = get("methods")
            .flatten()
            .and_then(|t| serde_json::from_str(&t).ok())
            .unwrap_or_default();
        assert_eq!(methods, [block.text]);
        assert_eq!(get("choice/train"), Some(None));
        assert_eq!(get("choice/flare"), None);
    }

    #[test]
    fn an_order_finds_the_method_that_its_text_came_from() {
        let a = known("mine", "method \"Mine\"\n");
        let b = known("renamed", "method \"Old name\"\n");
        let shelf = Shelf { all: vec![a, b] };
        let found = |name: &str, text: &str| origin(&shelf, name, text).map(|k| k.name.clone());
        assert_eq!(
            found("mine", "method \"Mine\"\ncard\n").as_deref(),
            Some("mine")
        );
        // Another was taken since: the title tells, not the name the order was entered with.
        assert_eq!(
            found("mine", "method \"Old name\"\ncard\n").as_deref(),
            Some("renamed")
        );
        assert_eq!(found("mine", "method \"Gone\"\n").as_deref(), Some("mine"));
        assert_eq!(found("nowhere", "method \"Gone\"\n"), None);
    }
}
