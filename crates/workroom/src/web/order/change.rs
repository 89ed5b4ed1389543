//! What is changed on an order's page: its title, card, method, stage, notes, sign-off; what was done
//! last is taken back; closed and opened again.

use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Book, Change, OrderNo};
use measure::{Date, names};

use super::both::Both;
use super::{Held, Sent, lines, number, sent, view};
use crate::shelf;
use crate::web::allowed;
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
    room.book(
        move |book| match done(book, order, &form, today).map_err(|t| back(t, order))? {
            Done::Said(said) => {
                Ok(Redirect::to(&format!("/orders/{order}?said={said}")).into_response())
            }
            Done::Faults(faults) => {
                let held = Held::load(book, order, today)?;
                let page = view::page(&held, &form, &faults);
                Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
            }
        },
    )
    .await
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
        "sign" => return sign(book, order, form),
        "unsign" => {
            change(
                book,
                order,
                None,
                "Sign-off taken off",
                &[hold("signed", None)],
            )?;
            "kept"
        }
        "back" => match book.take_back(order)? {
            Some(_) => "back",
            None => "",
        },
        "again" => match book.put_again(order)? {
            Some(_) => "again",
            None => "",
        },
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

fn hold(key: &str, after: Option<String>) -> Change {
    Change {
        key: key.to_owned(),
        after,
    }
}

fn change(
    book: &mut Book,
    order: OrderNo,
    seen: Option<u64>,
    label: &str,
    changes: &[Change],
) -> Result<(), Trouble> {
    let by = visit::now().by;
    book.change(order, seen, label, &by, changes)?;
    Ok(())
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
    let mine = after.clone().unwrap_or_default();
    match book.change(
        order,
        seen(form),
        label,
        &visit::now().by,
        &[hold(key, after)],
    ) {
        Err(book::Trouble::Moved { now }) => {
            let theirs = book.holds(order)?.get(key).cloned().unwrap_or_default();
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

fn sign(book: &mut Book, order: OrderNo, form: &Sent) -> Result<Done, Trouble> {
    let who = sent(form, "who");
    if who.is_empty() {
        let says = "Whose word is it? Her name, or that of who consents for her.".to_owned();
        return Ok(Done::Faults(vec![("who".into(), says)]));
    }
    let text = match sent(form, "on") {
        "" => who.to_owned(),
        on => match Date::read(on) {
            Some(on) => format!("{who}, {}", day::long(on)),
            None => {
                let says = "On which day? As in 2026-12-31, or leave it out.".to_owned();
                return Ok(Done::Faults(vec![("on".into(), says)]));
            }
        },
    };
    let label = format!("Signed off: {text}");
    let said = one(
        book,
        order,
        form,
        "The sign-off",
        &label,
        ("signed", Some(text)),
        |_, text| text.to_owned(),
    )?;
    Ok(Done::Said(said))
}
