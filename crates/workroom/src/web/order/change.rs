//! What is changed on an order's page: its title, card, method, stage, notes, sign-off; what was done
//! last is taken back; closed and opened again.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Book, Change, OrderNo};
use measure::{Date, names};

use super::both::Both;
use super::{Held, Sent, lines, number, sent, signed, unkept};
use crate::shelf;
use crate::web::allowed;
use crate::web::backs::{self, Way};
use crate::web::parts::day;
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::visit;
use crate::web::working;

pub(super) async fn press(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let order = number(&order)?;
    let today = room.today();
    if sent(&form, "do") == "sign" {
        let done = signed::sign(&room, order, form, today).await;
        return done.map_err(|t| back(t, order));
    }
    let (form, faults, held) = match room
        .book(
            move |book| match done(book, order, &form, today).map_err(|t| back(t, order))? {
                Done::Said(said) => Ok(Err(said)),
                Done::Faults(faults) => Ok(Ok((form, faults, Held::load(book, order, today)?))),
            },
        )
        .await?
    {
        Ok(unkept) => unkept,
        Err(said) => {
            return Ok(Redirect::to(&format!("/orders/{order}?said={said}")).into_response());
        }
    };
    unkept(&room, held, form, faults).await
}

/// A trouble of an order leads back to the order.
fn back(trouble: Trouble, order: OrderNo) -> Trouble {
    if trouble.back.0 == "/" && trouble.status != StatusCode::NOT_FOUND {
        trouble.back(format!("/orders/{order}"), "Back to the order")
    } else {
        trouble
    }
}

enum Done {
    Said(&'static str),
    Faults(Vec<(String, String)>),
}

fn done(book: &mut Book, order: OrderNo, form: &Sent, today: Date) -> Result<Done, Trouble> {
    let said = match sent(form, "do") {
        "title" => title(book, order, form)?,
        "card" => card(book, order, form, today)?,
        "method" => return method(book, order, form),
        "stage" => stage(book, order, form)?,
        "allowances" => allowed(book, order, form)?,
        "note" => note(book, order, form)?,
        "unsign" => {
            let changes = signed::off(&book.holds(order)?);
            let what = ("The sign-off", "Sign-off taken off");
            several(book, order, form, what, &changes, signed::told_of)?
        }
        word @ ("back" | "again") => turn(book, order, form, word)?,
        "close" => {
            book.close_order(order)?;
            "closed"
        }
        "open" => {
            book.reopen_order(order)?;
            "opened"
        }
        _ => "",
    };
    Ok(Done::Said(said))
}

/// Takes back, or puts again, the line that the button named.
fn turn(book: &mut Book, order: OrderNo, form: &Sent, word: &str) -> Result<&'static str, Trouble> {
    let Some(way) = Way::of(word) else {
        return Ok("");
    };
    let at = sent(form, way.word()).parse().ok();
    let here = format!("/orders/{order}");
    let turned = backs::turn(book, order, way, at, &here)?;
    Ok(if turned { way.word() } else { "" })
}

pub(super) fn hold(key: &str, after: Option<String>) -> Change {
    Change {
        key: key.to_owned(),
        after,
    }
}

/// The count that the page was made with.
fn seen(form: &Sent) -> Option<u64> {
    sent(form, "seen").parse().ok()
}

fn title(book: &mut Book, order: OrderNo, form: &Sent) -> Result<&'static str, Trouble> {
    let row = book.order(order)?;
    let mine = sent(form, "title");
    let was = form.get("was").map_or(row.title.as_str(), |t| t.trim());
    if row.title.trim() != was && row.title != mine {
        return Err(Both {
            what: "What is made",
            mine,
            theirs: &row.title,
            action: format!("/orders/{order}"),
            fields: &[("title", mine), ("was", &row.title)],
            press: ("do", "title"),
            back: format!("/orders/{order}"),
        }
        .trouble());
    }
    book.change_order(order, row.seen, mine, &row.method)?;
    Ok("kept")
}

/// Changes one key; where another window changed it meanwhile, both are shown.
fn one(
    book: &mut Book,
    order: OrderNo,
    form: &Sent,
    what: &str,
    label: &str,
    (key, after): (&str, Option<String>),
    shown: impl Fn(&Book, &str) -> String,
) -> Result<&'static str, Trouble> {
    let of = |book: &Book, holds: &BTreeMap<String, String>| {
        shown(book, holds.get(key).map_or("", String::as_str))
    };
    several(book, order, form, (what, label), &[hold(key, after)], of)
}

/// Changes what belongs together; where another window changed any of it meanwhile, both are shown, as
/// `shown` says what is held of it.
pub(super) fn several(
    book: &mut Book,
    order: OrderNo,
    form: &Sent,
    (what, label): (&str, &str),
    changes: &[Change],
    shown: impl Fn(&Book, &BTreeMap<String, String>) -> String,
) -> Result<&'static str, Trouble> {
    match book.change(order, seen(form), label, &visit::now().by, changes) {
        Err(book::Trouble::Moved { now }) => {
            let theirs = book.holds(order)?;
            let asked = changes.iter();
            let mine = asked
                .filter_map(|c| Some((c.key.clone(), c.after.clone()?)))
                .collect();
            let now = now.to_string();
            let mut fields: Vec<(&str, &str)> = form
                .iter()
                .filter(|(name, _)| *name != "seen" && *name != "do")
                .map(|(name, text)| (name.as_str(), text.as_str()))
                .collect();
            fields.push(("seen", &now));
            Err(Both {
                what,
                mine: &shown(book, &mine),
                theirs: &shown(book, &theirs),
                action: format!("/orders/{order}"),
                fields: &fields,
                press: ("do", sent(form, "do")),
                back: format!("/orders/{order}"),
            }
            .trouble())
        }
        other => {
            other?;
            Ok("kept")
        }
    }
}

fn note(book: &mut Book, order: OrderNo, form: &Sent) -> Result<&'static str, Trouble> {
    let text = lines(form, "note");
    let after = (!text.is_empty()).then_some(text);
    one(
        book,
        order,
        form,
        "The notes",
        "Notes written",
        ("note", after),
        |_, text| text.to_owned(),
    )
}

fn card(
    book: &mut Book,
    order: OrderNo,
    form: &Sent,
    today: Date,
) -> Result<&'static str, Trouble> {
    let row = book.order(order)?;
    let client = book.client_by_id(row.client)?;
    let cards = book.cards(client.number)?;
    let card = super::begin::card_of(&cards, sent(form, "card"))
        .ok_or_else(|| Trouble::missing("such card of hers"))?;
    let label = format!("Card {}, {}", card.number, day::long(card.head.taken));
    let name = move |_: &Book, id: &str| {
        super::begin::card_of(&cards, id)
            .map_or_else(String::new, |c| super::begin::card_words(&c, today))
    };
    let after = Some(card.id.to_string());
    one(book, order, form, "Her card", &label, ("card", after), name)
}

fn stage(book: &mut Book, order: OrderNo, form: &Sent) -> Result<&'static str, Trouble> {
    let (stage, label) = if sent(form, "stage") == "toile" {
        ("toile", "A toile first")
    } else {
        ("cloth", "From the toile to the cloth")
    };
    one(
        book,
        order,
        form,
        "The stage",
        label,
        ("stage", Some(stage.to_owned())),
        |_, text| text.to_owned(),
    )
}

/// Whose allowances: the method's own, or those of her table.
fn allowed(book: &mut Book, order: OrderNo, form: &Sent) -> Result<&'static str, Trouble> {
    let (after, label) = if sent(form, "by") == "method" {
        (Some("method".to_owned()), "Allowances as the method says")
    } else {
        (None, "Allowances by your table")
    };
    one(
        book,
        order,
        form,
        "The allowances",
        label,
        (allowed::HOLD, after),
        |_, text| {
            if text.is_empty() {
                "by your table"
            } else {
                "as the method says"
            }
            .to_owned()
        },
    )
}

/// Another method: its text comes with it, and those choices that it has too stay as they are.
fn method(book: &mut Book, order: OrderNo, form: &Sent) -> Result<Done, Trouble> {
    let name = sent(form, "method");
    let row = book.order(order)?;
    if !super::methods(book)?.has(name) {
        let says = "Choose the method it is drafted by.".to_owned();
        return Ok(Done::Faults(vec![("method".into(), says)]));
    }
    let held = book.holds(order)?;
    let mut changes: Vec<Change> = working::method_holds(book, name)?
        .into_iter()
        .map(|(key, text)| hold(&key, Some(text)))
        .collect();
    let text = changes
        .iter()
        .find(|c| c.key == "method")
        .and_then(|c| c.after.clone())
        .unwrap_or_default();
    let offered: Vec<String> = draft::read(&text)
        .method
        .choices
        .iter()
        .map(|c| names::fold(&c.name.name))
        .collect();
    for key in held.keys() {
        if let Some(choice) = key.strip_prefix("choice/")
            && !offered.contains(&names::fold(choice))
        {
            changes.push(hold(key, None));
        }
    }
    let (from, to) = (
        shelf::title(held.get("method").map_or("", String::as_str)),
        shelf::title(&text),
    );
    let label = if from.is_empty() {
        format!("Method: {to}")
    } else {
        format!("Method: {from} to {to}")
    };
    let was = row.seen;
    match book.change(order, seen(form), &label, &visit::now().by, &changes) {
        Err(book::Trouble::Moved { now }) => {
            let now = now.to_string();
            return Err(Both {
                what: "The method",
                mine: &to,
                theirs: &from,
                action: format!("/orders/{order}"),
                fields: &[("method", name), ("seen", &now)],
                press: ("do", "method"),
                back: format!("/orders/{order}"),
            }
            .trouble());
        }
        other => other?,
    };
    let now = book.order(order)?;
    if now.method != name {
        book.change_order(order, now.seen, &now.title, name)?;
    }
    Ok(Done::Said(if now.seen == was { "" } else { "kept" }))
}
