//! A card on paper to fill in by hand, away from the table.

use std::sync::Arc;

use axum::extract::{Query, State};
use axum::http::header;
use axum::response::{IntoResponse as _, Response};
use book::OrderNo;
use maud::{Markup, html};
use measure::fraction::Unit;
use sheet::words::Words;
use sheet::{BlankCard, BlankMeasure, Paper, blank_card_pdf};

use super::wanted::{self, Wanted};
use crate::glossary;
use crate::shelf::SHIPPED;
use crate::web::clients::{Sent, sent};
use crate::web::layout::{Frame, Here, page};
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::working;

/// The title of a method: its first line, if it names one.
fn title(text: &str, name: &str) -> String {
    let said = draft::read(text).method.title.trim().to_owned();
    if said.is_empty() {
        name.to_owned()
    } else {
        said
    }
}

/// What the card is for and what it asks for.
fn asked_for(book: &book::Book, asked: &Sent) -> Result<(String, Vec<Wanted>), Trouble> {
    let hers = book.setting(wanted::ORDER)?.unwrap_or_default();
    if let Some(order) = OrderNo::read(sent(asked, "order")) {
        let line = book.order(order)?;
        let method = book.holds(order)?.remove("method");
        return Ok((line.title, wanted::of(method.as_deref(), &hers)));
    }
    let name = sent(asked, "method");
    if name.is_empty() {
        return Ok((String::new(), wanted::of(None, &hers)));
    }
    if name == "every" {
        let all = measure::names::all().iter().map(|m| Wanted {
            name: m.name.to_owned(),
            how: None,
            may_miss: true,
        });
        return Ok(("Every measure".to_owned(), all.collect()));
    }
    let shipped = SHIPPED
        .iter()
        .find(|(n, _)| *n == name)
        .map(|(_, t)| (*t).to_owned());
    let text = match shipped {
        Some(text) => text,
        None => book
            .method_texts(name)?
            .into_iter()
            .max_by_key(|t| t.made)
            .map(|t| t.text)
            .ok_or_else(|| Trouble::missing("method of that name"))?,
    };
    Ok((title(&text, name), wanted::of(Some(&text), &hers)))
}

/// How a measure is taken: in the method's words, else in those of the card's language.
fn how(wanted: &Wanted, words: &Words) -> String {
    match (&wanted.how, glossary::how(&wanted.name, words)) {
        (None, Some(said)) => said.to_owned(),
        _ => wanted::how(Some(wanted), &wanted.name),
    }
}

pub(super) async fn blank(
    State(room): State<Arc<Room>>,
    Query(asked): Query<Sent>,
) -> Result<Response, Trouble> {
    let paper = match sent(&asked, "paper") {
        "a4" => Paper::A4,
        "letter" => Paper::Letter,
        _ => {
            return form(&room, asked)
                .await
                .map(axum::response::IntoResponse::into_response);
        }
    };
    let unit = if sent(&asked, "unit") == "cm" {
        Unit::Cm
    } else {
        Unit::Inch
    };
    let (title, wanted, words) = room
        .book(move |book| {
            let (title, wanted) = asked_for(book, &asked)?;
            Ok((title, wanted, working::words(&book.settings()?)))
        })
        .await?;
    let bytes = room
        .work(move || {
            let measures = wanted
                .iter()
                .map(|w| BlankMeasure {
                    name: w.name.clone(),
                    called: glossary::measure(&w.name, words).to_owned(),
                    how: how(w, words),
                })
                .collect();
            blank_card_pdf(
                &BlankCard {
                    title,
                    unit,
                    measures,
                    words,
                },
                paper,
            )
        })
        .await?
        .map_err(|_| Trouble::broken())?;
    Ok((
        [
            (header::CONTENT_TYPE, "application/pdf"),
            (
                header::CONTENT_DISPOSITION,
                "inline; filename=\"measures.pdf\"",
            ),
        ],
        bytes,
    )
        .into_response())
}

async fn form(room: &Room, asked: Sent) -> Result<Markup, Trouble> {
    let (own, unit) = room
        .book(|book| Ok((book.methods(false)?, book.setting("unit")?)))
        .await?;
    let chosen = sent(&asked, "method").to_owned();
    let cm = unit.as_deref() == Some("cm");
    let frame = Frame {
        title: "A card on paper".into(),
        here: Here::Clients,
        ..Frame::default()
    };
    let methods: Vec<(String, String)> = SHIPPED
        .iter()
        .map(|(name, text)| ((*name).to_owned(), title(text, name)))
        .chain(
            own.into_iter()
                .map(|m| (m.name.clone(), title(&m.text, &m.name))),
        )
        .collect();
    Ok(page(
        &frame,
        html! {
            form.stack.full.narrow method="get" action="/cards/blank" {
                h1 { "A card on paper, to fill in away from the table" }
                p.help { "Each measure with its drawing, how it is taken, and room for two readings, in the order in which they are taken." }
                div.field {
                    label for="method" { "For which garment" }
                    select.box #method name="method" {
                        option value="" { "Skirts and bodices, the usual measures" }
                        @for (name, title) in &methods { option value=(name) selected[*name == chosen] { (title) } }
                        option value="every" { "Every measure" }
                    }
                }
                fieldset.choose {
                    legend { "Paper" }
                    label { input type="radio" name="paper" value="letter" checked[!cm]; span { "Letter" } }
                    label { input type="radio" name="paper" value="a4" checked[cm]; span { "A4" } }
                }
                fieldset.choose {
                    legend { "Written in" }
                    label { input type="radio" name="unit" value="in" checked[!cm]; span { "Inches" } }
                    label { input type="radio" name="unit" value="cm" checked[cm]; span { "Centimetres" } }
                }
                p.presses { button.press.main { "Make the card" } a.press.quiet href="/clients" { "Back to clients" } }
            }
        },
    ))
}
