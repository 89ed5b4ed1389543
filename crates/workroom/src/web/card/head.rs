//! The head of a card: when it was taken, by whom, over what, in which unit. A new card begins here,
//! with nothing of the last one on it.

use std::sync::Arc;

use axum::Form;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{CardHead, CardNo, Client, Unit};
use maud::{Markup, html};
use measure::date::Date;

use crate::web::clients::{Sent, minor, number, sent, spoken};
use crate::web::layout::{Frame, Here, page};
use crate::web::parts::field::{Choice, Field, Kind, summary};
use crate::web::room::Room;
use crate::web::trouble::Trouble;

const UNITS: &[(&str, &str, &str)] = &[("in", "Inches", "27 3/8"), ("cm", "Centimetres", "69.5")];
const WAISTS: &[(&str, &str, &str)] = &[
    (
        "natural",
        "The natural waist: where a tied tape settles",
        "",
    ),
    (
        "ISO 8559-1",
        "The ISO 8559-1 waist: level, halfway between the lowest rib and the top of the hip bone",
        "lies lower, never mix the two",
    ),
];

fn texts(head: &CardHead) -> Sent {
    [
        ("taken", head.taken.to_string()),
        ("taker", head.taker.clone()),
        ("unit", head.unit.sign().to_owned()),
        ("foundation", head.foundation.clone()),
        ("shoes", head.shoes.clone()),
        ("waist", head.waist.clone()),
        ("notes", head.notes.clone()),
    ]
    .into_iter()
    .map(|(n, t)| (n.to_owned(), t))
    .collect()
}

fn read(form: &Sent, today: Date) -> Result<CardHead, Vec<(String, String)>> {
    let mut faults = Vec::new();
    let taken = match Date::read(sent(form, "taken")) {
        Some(day) if day > today => {
            faults.push(("taken".into(), "That day is still to come.".to_owned()));
            day
        }
        Some(day) => day,
        None => {
            let says = "Write the day she was measured, like 2026-05-02.";
            faults.push(("taken".into(), says.to_owned()));
            today
        }
    };
    if form.values().any(|t| t.chars().count() > 4000) {
        faults.push(("notes".into(), "That is longer than 4,000 letters.".into()));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let text = |name: &str| sent(form, name).replace("\r\n", "\n");
    let waist = WAISTS
        .iter()
        .find(|(w, ..)| *w == sent(form, "waist"))
        .map_or("natural", |(w, ..)| w);
    Ok(CardHead {
        taken,
        taker: text("taker"),
        unit: Unit::read(sent(form, "unit")).unwrap_or(Unit::Inch),
        foundation: text("foundation"),
        shoes: text("shoes"),
        waist: waist.to_owned(),
        notes: text("notes"),
    })
}

/// The form; `card` is the one that is changed, without it a new one begins.
fn form_page(
    client: &Client,
    card: Option<CardNo>,
    form: &Sent,
    seen: u64,
    faults: &[(String, String)],
    today: Date,
) -> Markup {
    let at = format!("/clients/{}/cards", client.number);
    let (title, action, press, back) = match card {
        Some(n) => (
            format!("The head of card {n}"),
            format!("{at}/{n}/head"),
            "Keep it",
            format!("{at}/{n}"),
        ),
        None => (
            format!("A new card for {}", client.about.name),
            format!("{at}/new"),
            "Begin to measure",
            format!("/clients/{}", client.number),
        ),
    };
    let fault = |name: &str| {
        faults
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, says)| says.as_str())
    };
    let frame = Frame {
        title: title.clone(),
        here: Here::Clients,
        demo: client.demo,
        ..Frame::default()
    };
    let field = |name, label| Field::new(name, label, sent(form, name)).fault(fault(name));
    page(
        &frame,
        html! {
            form.stack.full.narrow method="post" action=(action) {
                h1 { (title) }
                (minor(client, today))
                @if card.is_none() { p.help { "Nothing of an earlier card is carried over: her body is measured afresh." } }
                (summary(faults))
                input type="hidden" name="seen" value=(seen);
                (field("taken", "The day she was measured").kind(Kind::Day).required().html())
                (field("taker", "Taken by").help("Someone other than herself.").html())
                (Choice { name: "unit", legend: "Written in", ways: UNITS, chosen: sent(form, "unit") }.html())
                (field("foundation", "Over what").help("Bra, shaper, corset: the foundation of the day.").html())
                (field("shoes", "Shoes").help("Those of the day; their heel is a measure of the card.").html())
                (Choice { name: "waist", legend: "Which waist", ways: WAISTS, chosen: sent(form, "waist") }.html())
                (field("notes", "Notes").kind(Kind::Text(3)).html())
                p.presses { button.press.main { (press) } a.press.quiet href=(back) { "Leave it" } }
            }
        },
    )
}

pub(super) async fn new(
    State(room): State<Arc<Room>>,
    Path(client): Path<String>,
) -> Result<Markup, Trouble> {
    let number = number(&client)?;
    let today = room.today();
    room.book(move |book| {
        let client = book.client(number)?;
        let unit = match book.setting("unit")?.as_deref() {
            Some("cm") => Unit::Cm,
            _ => Unit::Inch,
        };
        let head = CardHead::new(today, unit);
        Ok(form_page(&client, None, &texts(&head), 0, &[], today))
    })
    .await
}

pub(super) async fn begin(
    State(room): State<Arc<Room>>,
    Path(client): Path<String>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let number = number(&client)?;
    let today = room.today();
    room.book(move |book| {
        let head = match read(&form, today) {
            Ok(head) => head,
            Err(faults) => {
                let client = book.client(number)?;
                let page = form_page(&client, None, &form, 0, &faults, today);
                return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
            }
        };
        let card = book.new_card(number, &head)?;
        Ok(Redirect::to(&format!("/clients/{number}/cards/{card}")).into_response())
    })
    .await
}

pub(super) async fn edit(
    State(room): State<Arc<Room>>,
    Path((client, card)): Path<(String, String)>,
) -> Result<Markup, Trouble> {
    let number = number(&client)?;
    let no = CardNo::read(&card).ok_or_else(|| Trouble::missing("card"))?;
    let today = room.today();
    room.book(move |book| {
        let client = book.client(number)?;
        let card = book.card(number, no)?;
        Ok(form_page(
            &client,
            Some(no),
            &texts(&card.head),
            card.seen,
            &[],
            today,
        ))
    })
    .await
}

pub(super) async fn change(
    State(room): State<Arc<Room>>,
    Path((client, card)): Path<(String, String)>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let number = number(&client)?;
    let no = CardNo::read(&card).ok_or_else(|| Trouble::missing("card"))?;
    let today = room.today();
    room.book(move |book| {
        let client = book.client(number)?;
        let card = book.card(number, no)?;
        let seen = sent(&form, "seen").parse().unwrap_or(0);
        let head = match read(&form, today) {
            Ok(head) => head,
            Err(faults) => {
                let page = form_page(&client, Some(no), &form, seen, &faults, today);
                return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
            }
        };
        match book.change_card(card.id, seen, &head) {
            Ok(_) => Ok(
                Redirect::to(&format!("/clients/{number}/cards/{no}?said=kept")).into_response(),
            ),
            Err(book::Trouble::Moved { .. }) => {
                let page = two_windows(&client, &card, &texts(&card.head), &texts(&head));
                Ok((StatusCode::CONFLICT, page).into_response())
            }
            Err(other) => Err(other.into()),
        }
    })
    .await
}

fn two_windows(client: &Client, card: &book::Card, theirs: &Sent, mine: &Sent) -> Markup {
    let at = format!("/clients/{}/cards/{}", client.number, card.number);
    let words = [
        ("taken", "The day she was measured"),
        ("taker", "Taken by"),
        ("unit", "Written in"),
        ("foundation", "Over what"),
        ("shoes", "Shoes"),
        ("waist", "Which waist"),
        ("notes", "Notes"),
    ];
    crate::web::clients::two_windows(
        &Frame {
            title: format!("Two changes to card {}", card.number),
            here: Here::Clients,
            demo: client.demo,
            ..Frame::default()
        },
        (&format!("{at}/head"), &at),
        card.seen,
        &words,
        (theirs, mine),
    )
}

/// The head in a sentence, as it stands under the title of a card.
pub(super) fn sentence(card: &book::Card) -> String {
    let h = &card.head;
    let mut out = format!("Taken {}", spoken(h.taken));
    let mut add = |words: &str, text: &str| {
        if !text.trim().is_empty() {
            out.push_str(&format!(", {words}{}", text.trim()));
        }
    };
    add("by ", &h.taker);
    add("over ", &h.foundation);
    add("in ", &h.shoes);
    if h.waist != "natural" {
        add("at the waist of ", &h.waist);
    }
    out.push_str(match h.unit {
        Unit::Inch => ". In inches.",
        Unit::Cm => ". In centimetres.",
    });
    out
}
