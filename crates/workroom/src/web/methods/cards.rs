//! The cards that a method can be worked for: the demo card, and hers.

use axum::http::StatusCode;
use book::{Book, CardNo, ClientNo};
use maud::{Markup, html};

use crate::web::parts::day;
use crate::web::trouble::Trouble;
use crate::web::working;

use super::bench::DEMO;

/// A card to choose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Choice {
    /// In an address: `7-2` is the second card of client 7.
    pub(crate) key: String,
    pub(crate) words: String,
}

/// The key of the demo card.
pub(crate) const DEMO_KEY: &str = "demo";

/// So many cards are offered.
const MOST: usize = 400;

/// All cards, the newest of each client first.
///
/// # Errors
/// When the book can't be read.
pub(crate) fn choices(book: &Book) -> Result<Vec<Choice>, Trouble> {
    let mut all = vec![Choice {
        key: DEMO_KEY.to_owned(),
        words: "The demo card, invented".to_owned(),
    }];
    for line in book.clients()? {
        if line.cards == 0 {
            continue;
        }
        let client = &line.client;
        let mut cards = book.cards(client.number)?;
        cards.sort_by_key(|c| std::cmp::Reverse(c.number));
        for card in cards {
            all.push(Choice {
                key: format!("{}-{}", client.number, card.number),
                words: format!(
                    "{}, card {}, {}{}",
                    client.about.name,
                    card.number,
                    day::long(card.head.taken),
                    if client.demo { " (invented)" } else { "" }
                ),
            });
            if all.len() > MOST {
                return Ok(all);
            }
        }
    }
    Ok(all)
}

/// The page of the card with this key; the demo card where there is none.
///
/// # Errors
/// When the book can't be read.
pub(crate) fn page(book: &Book, key: &str) -> Result<(String, String), Trouble> {
    let numbers = key
        .split_once('-')
        .and_then(|(a, b)| Some((ClientNo(a.parse().ok()?), CardNo(b.parse().ok()?))));
    let Some((client, card)) = numbers else {
        return Ok((DEMO_KEY.to_owned(), DEMO.to_owned()));
    };
    match of_the_book(book, client, card) {
        Ok(page) => Ok((key.to_owned(), page)),
        // She was erased, or the address has a slip in it.
        Err(trouble) if trouble.status == StatusCode::NOT_FOUND => {
            Ok((DEMO_KEY.to_owned(), DEMO.to_owned()))
        }
        Err(trouble) => Err(trouble),
    }
}

/// The page of a card of hers.
fn of_the_book(book: &Book, client: ClientNo, card: CardNo) -> Result<String, Trouble> {
    let (row, client) = (book.card(client, card)?, book.client(client)?);
    working::card_page(book, &client, &row)
}

/// A box to choose a card in.
pub(crate) fn picker(id: &str, all: &[Choice], chosen: &str) -> Markup {
    html! {
        label for=(id) { "Worked for" }
        select.box id=(id) name="card" {
            @for card in all {
                option value=(card.key) selected[card.key == chosen] { (card.words) }
            }
        }
    }
}
