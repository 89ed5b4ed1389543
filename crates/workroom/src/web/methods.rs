//! Her ways of drafting: those that come with the program and her own, read, written, kept and shared.
//!
//! A text is only ever tried on a thread of its own with a deep stack (`bench`), and never while the
//! book is held. Every text that was kept stays.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::routing::{get, post};
use book::{Book, Which};
use serde::Deserialize;

use super::layout::{Frame, Here};
use super::room::Room;
use super::trouble::Trouble;
use super::visit;

mod begin;
mod bench;
mod cards;
mod desk;
mod differing;
mod file;
mod keeping;
mod known;
mod list;
mod notes;
mod order;
mod reader;
mod spoken;
#[cfg(test)]
mod tests;

use cards::{Choice, DEMO_KEY};
use known::{NoText, Shelf};

/// A form with a text in it: the text, written in the longest way that a form may write it.
const FORM: usize = 3 * known::MOST + 64 * 1024;
/// A title is at most so many letters.
const LONGEST: usize = 80;

pub(crate) fn routes() -> Router<Arc<Room>> {
    let texts = Router::new()
        .route("/methods/open", get(file::open_page).post(file::opened))
        .route("/methods/open/keep", post(file::open_keep))
        .route("/methods/{name}/edit", get(desk::edit).post(desk::edited))
        .route("/methods/{name}/look", post(desk::look))
        .layer(DefaultBodyLimit::max(FORM));
    Router::new()
        .route("/methods", get(list::all))
        .route("/methods/new", get(begin::new_page).post(begin::new))
        .route("/methods/{name}", get(reader::read))
        .route("/methods/{name}/copy", post(begin::copy))
        .route("/methods/{name}/file", get(file::to_file))
        .route("/methods/{name}/history", get(keeping::texts))
        .route(
            "/methods/{name}/history/{at}",
            get(keeping::one).post(keeping::go_back),
        )
        .route("/methods/{name}/name", post(keeping::rename))
        .route("/methods/{name}/away", post(keeping::put_away))
        .route(
            "/orders/{order}/method",
            get(order::method).post(order::take),
        )
        .merge(texts)
}

fn frame(title: impl Into<String>) -> Frame {
    Frame {
        title: title.into(),
        here: Here::Methods,
        ..Frame::default()
    }
}

/// A phone reads methods; it does not write them.
fn at_the_table() -> Result<(), Trouble> {
    if visit::now().phone {
        return Err(Trouble::refused(
            "Methods are written on the computer itself. From a phone they can be read.",
        ));
    }
    Ok(())
}

fn no_method(name: &str) -> Trouble {
    let plain: String = name.chars().filter(|c| !c.is_control()).take(60).collect();
    Trouble::missing(&format!("method called {plain}")).back("/methods", "To the methods")
}

/// What pages read from the book at once.
struct Taken {
    own: Vec<book::Method>,
    cards: Vec<Choice>,
    card: (String, String),
    settings: BTreeMap<String, String>,
    /// Order, its method's name, and the text it holds.
    orders: Vec<(String, String, String)>,
}

/// Reads what a page of a method needs.
async fn taken(
    room: &Arc<Room>,
    card: Option<String>,
    with_orders: bool,
) -> Result<Taken, Trouble> {
    room.book(move |book| {
        Ok(Taken {
            own: book.methods(true)?,
            cards: cards::choices(book)?,
            card: cards::page(book, card.as_deref().unwrap_or(DEMO_KEY))?,
            settings: book.settings()?,
            orders: if with_orders {
                orders(book)?
            } else {
                Vec::new()
            },
        })
    })
    .await
}

fn orders(book: &Book) -> Result<Vec<(String, String, String)>, Trouble> {
    let mut all = Vec::new();
    for line in book.orders(Which::All)? {
        let number = line.order.number;
        let text = book.holds(number)?.remove("method").unwrap_or_default();
        all.push((number.to_string(), line.order.method, text));
    }
    Ok(all)
}

#[derive(Deserialize)]
pub(super) struct Asked {
    card: Option<String>,
    said: Option<String>,
}

#[derive(Deserialize)]
pub(super) struct Called {
    #[serde(default)]
    called: String,
}

/// A title as it is kept.
fn title_of(called: &str) -> Result<String, &'static str> {
    let plain: String = called
        .chars()
        .filter(|c| !c.is_control() && !matches!(c, '"' | '\u{201c}' | '\u{201d}' | '`'))
        .collect();
    let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    if plain.is_empty() {
        Err("Write what it is to be called.")
    } else if plain.chars().count() > LONGEST {
        Err("That is long for a name: keep it under 80 letters.")
    } else {
        Ok(plain)
    }
}

/// Why a title can't be had.
fn taken_title(shelf: &Shelf, title: &str) -> Option<String> {
    shelf.titled(title).map(|k| {
        format!(
            "There is a method called {} already. Call yours something else, so that the two are not mixed up.",
            k.called()
        )
    })
}

/// Only her own are written on.
fn hers<'a>(own: &'a [book::Method], name: &str) -> Result<&'a book::Method, Trouble> {
    own.iter().find(|m| m.name == name).ok_or_else(|| {
        if crate::shelf::SHIPPED.iter().any(|(n, _)| *n == name) {
            Trouble::new(
                StatusCode::NOT_FOUND,
                "That one comes with Ellwand and stays as it is.",
                "Copy it, and write on the copy.",
            )
            .back(format!("/methods/{name}#copy"), "To the method")
        } else {
            no_method(name)
        }
    })
}

/// A text that can't be one, as a page; what she wrote is in it.
fn no_text(why: NoText) -> Trouble {
    let says = file::why_not(why);
    match why {
        NoText::TooLarge => Trouble::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            "That is too large for a method.",
            says,
        ),
        _ => Trouble::unclear(says),
    }
}
