//! A client who is in the book twice becomes one; two sisters on one card are parted.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use axum::{Form, Router};
use book::{About, Book, CardNo, Client, ClientNo, OrderLine, To, Which};
use maud::{Markup, html};

use super::{Sent, number, sent, spoken, told};
use crate::web::layout::{Frame, Here, page};
use crate::web::parts::field::{Field, summary};
use crate::web::parts::twin::table;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

pub(super) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/clients/{client}/double", get(double).post(merge))
        .route("/clients/{client}/cards/{card}/split", get(part).post(give))
}

/// One entry with what hangs on it.
struct Entry {
    client: Client,
    cards: Vec<book::Card>,
    orders: Vec<OrderLine>,
}

fn entry(book: &Book, number: ClientNo) -> Result<Entry, Trouble> {
    Ok(Entry {
        client: book.client(number)?,
        cards: book.cards(number)?,
        orders: book.orders(Which::Of(number))?,
    })
}

fn frame(title: &str, client: &Client) -> Frame {
    Frame {
        title: title.to_owned(),
        here: Here::Clients,
        demo: client.demo,
        ..Frame::default()
    }
}

async fn double(
    State(room): State<Arc<Room>>,
    Path(client): Path<String>,
    Query(asked): Query<Sent>,
) -> Result<Markup, Trouble> {
    let keep = number(&client)?;
    let with = ClientNo::read(sent(&asked, "with"));
    let words = sent(&asked, "q").to_owned();
    room.book(move |book| {
        let one = entry(book, keep)?;
        if let Some(two) = with.filter(|w| *w != keep) {
            return Ok(both_page(&one, &entry(book, two)?));
        }
        // Without words those come first whose name shares a word with hers.
        let mut others: Vec<Client> = book
            .find_clients(&words)?
            .into_iter()
            .map(|l| l.client)
            .filter(|c| c.id != one.client.id && c.demo == one.client.demo)
            .collect();
        let hers: Vec<String> = folded(&one.client.about.name);
        others.sort_by_key(|c| !folded(&c.about.name).iter().any(|w| hers.contains(w)));
        others.truncate(40);
        Ok(which_page(&one.client, &words, &others))
    })
    .await
}

fn folded(name: &str) -> Vec<String> {
    name.split_whitespace().map(str::to_lowercase).collect()
}

fn which_page(client: &Client, words: &str, others: &[Client]) -> Markup {
    let at = format!("/clients/{}/double", client.number);
    page(
        &frame("She is in the book twice", client),
        html! {
            div.stack.full.narrow {
                h1 { "Which other entry is " (client.about.name) " too?" }
                form.find method="get" action=(at) role="search" {
                    label for="q" { "Find the other entry" }
                    div.row { input.box #q name="q" type="search" value=(words) autocomplete="off"; button.press { "Find" } }
                }
                @if others.is_empty() { p.help role="status" { "There is no other entry like that." } }
                ul.leaders {
                    @for other in others {
                        li {
                            a href={ (at) "?with=" (other.number) } { (other.about.name) }
                            span.lead {}
                            span.help { "client " (other.number) }
                        }
                    }
                }
                p.presses { a.press.quiet href={ "/clients/" (client.number) } { "Leave it as it is" } }
            }
        },
    )
}

fn both_page(one: &Entry, two: &Entry) -> Markup {
    let column = |entry: &Entry, word: &str| -> Option<Markup> {
        told(&entry.client)
            .into_iter()
            .find(|(w, _)| *w == word)
            .map(|(_, text)| html! { span.kept { (text) } })
    };
    let words = [
        "Contact",
        "Birthday",
        "Posture and figure",
        "Allergies",
        "Photos may be kept",
        "What was agreed",
        "Who consents for her",
        "Hand",
        "Notes",
    ];
    let mut rows = vec![vec![
        html! { "Name" },
        html! { (one.client.about.name) },
        html! { (two.client.about.name) },
    ]];
    for word in words {
        let (a, b) = (column(one, word), column(two, word));
        if a.is_some() || b.is_some() {
            let cell = |m: Option<Markup>| m.unwrap_or_else(|| html! { "\u{2013}" });
            rows.push(vec![html! { (word) }, cell(a), cell(b)]);
        }
    }
    rows.push(vec![html! { "Cards" }, cards(one), cards(two)]);
    rows.push(vec![html! { "Orders" }, orders(one), orders(two)]);
    let (a, b) = (&one.client, &two.client);
    let (first, second) = (
        format!("Client {}", a.number),
        format!("Client {}", b.number),
    );
    let head = [
        ("", false),
        (first.as_str(), false),
        (second.as_str(), false),
    ];
    page(
        &frame("One of two entries", a),
        html! {
            div.stack.full.narrow {
                h1 { "Make one of these two?" }
                (table("Both entries side by side", &head, &rows))
                p { "All cards and orders of both go on under " (a.about.name) ", client " (a.number)
                    ". What is missing there is filled in from client " (b.number)
                    "; remarks are put behind each other; a no to photos stays a no. Client " (b.number)
                    " is gone then, and its number is not given again. This can't be taken back." }
                form method="post" action={ "/clients/" (a.number) "/double" } {
                    input type="hidden" name="with" value=(b.number);
                    input type="hidden" name="seen" value=(a.seen);
                    input type="hidden" name="their_seen" value=(b.seen);
                    p.presses {
                        button.press.main { "Make them one" }
                        a.press href={ "/clients/" (b.number) "/double?with=" (a.number) } { "Keep client " (b.number) " instead" }
                        a.press.quiet href={ "/clients/" (a.number) } { "Leave both" }
                    }
                }
            }
        },
    )
}

fn cards(entry: &Entry) -> Markup {
    html! {
        @if entry.cards.is_empty() { "\u{2013}" }
        ul { @for card in &entry.cards { li { "Card " (card.number) ", " (spoken(card.head.taken)) } } }
    }
}

fn orders(entry: &Entry) -> Markup {
    html! {
        @if entry.orders.is_empty() { "\u{2013}" }
        ul { @for line in &entry.orders { li { "Order " (line.order.number) @if !line.order.title.is_empty() { ", " (line.order.title) } } } }
    }
}

async fn merge(
    State(room): State<Arc<Room>>,
    Path(client): Path<String>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let keep = number(&client)?;
    let with = number(sent(&form, "with"))?;
    let seen: u64 = sent(&form, "seen").parse().unwrap_or(0);
    let their_seen: u64 = sent(&form, "their_seen").parse().unwrap_or(0);
    room.book(move |book| {
        // What the page showed must still be so: it can't be taken back.
        if book.client(keep)?.seen != seen || book.client(with)?.seen != their_seen {
            return Err(Trouble::moved(
                "One of the two entries is no longer as the page showed it. Nothing was changed: look at both again.",
            )
            .back(format!("/clients/{keep}/double?with={with}"), "Look again"));
        }
        book.merge_clients(keep, with).map_err(|t| {
            let says = t.to_string();
            match t {
                book::Trouble::Other(_) => Trouble::new(StatusCode::CONFLICT, "These two stay as they are.", says),
                t => t.into(),
            }
        })
    })
    .await?;
    Ok(Redirect::to(&format!("/clients/{keep}?said=one")).into_response())
}

async fn part(
    State(room): State<Arc<Room>>,
    Path((client, card)): Path<(String, String)>,
    Query(asked): Query<Sent>,
) -> Result<Markup, Trouble> {
    let (of, card) = (number(&client)?, card_number(&card)?);
    let words = sent(&asked, "q").to_owned();
    room.book(move |book| part_page(book, of, card, &words, &Sent::new(), &[]))
        .await
}

pub(super) fn card_number(text: &str) -> Result<CardNo, Trouble> {
    CardNo::read(text).ok_or_else(|| Trouble::missing("card"))
}

/// Whose the card may become, and what goes with it.
fn part_page(
    book: &Book,
    of: ClientNo,
    number: CardNo,
    words: &str,
    form: &Sent,
    faults: &[(String, String)],
) -> Result<Markup, Trouble> {
    let client = book.client(of)?;
    let card = book.card(of, number)?;
    let id = card.id.to_string();
    let mut on_it = Vec::new();
    for line in book.orders(Which::Of(of))? {
        if book.holds(line.order.number)?.get("card") == Some(&id) {
            on_it.push(line);
        }
    }
    let others: Vec<Client> = if words.is_empty() {
        Vec::new()
    } else {
        book.find_clients(words)?
            .into_iter()
            .map(|l| l.client)
            .filter(|c| c.id != client.id && c.demo == client.demo)
            .take(20)
            .collect()
    };
    let at = format!("/clients/{of}/cards/{number}/split");
    let fault = faults.first().map(|(_, f)| f.as_str());
    let readings = book.readings(card.id)?;
    let few: Vec<String> = readings
        .iter()
        .filter(|((_, turn), _)| *turn == 1)
        .take(8)
        .map(|((name, _), r)| format!("{name} {}", r.text))
        .collect();
    Ok(page(
        &frame("Whose card is it?", &client),
        html! {
            div.stack.full.narrow {
                h1 { "Whose is card " (number) "?" }
                (summary(faults))
                div.cols {
                    section { h2 { "This card" } p { (spoken(card.head.taken)) @if !few.is_empty() { ": " (few.join(", ")) } } }
                    section { h2 { "It is now with" } p { (client.about.name) ", client " (of) } }
                }
                p { "The card goes with every reading and its history; it takes the next number of whoever gets it. "
                    @if on_it.is_empty() { "No order is worked from it. " }
                    "Versions that were made from it, and their papers, stay as they were made, each with its order." }
                form.stack.full method="post" action=(at) {
                    @if !on_it.is_empty() {
                        fieldset.choose {
                            legend { "Orders that are worked from it" }
                            ul { @for line in &on_it { li { "Order " (line.order.number) @if !line.order.title.is_empty() { ", " (line.order.title) } } } }
                            label { input type="radio" name="orders" value="yes" checked; span { "They go with the card" } }
                            label { input type="radio" name="orders" value="no"; span { "They stay with " (client.about.name) ", without a card until you choose another" } }
                        }
                    }
                    @if !others.is_empty() {
                        fieldset.choose {
                            legend { "Give it to" }
                            @for (i, other) in others.iter().enumerate() {
                                label { input type="radio" name="to" value=(other.number) checked[i == 0]; span { (other.about.name) } span.help { "client " (other.number) } }
                            }
                            label { input type="radio" name="to" value="new"; span { "Someone new, named below" } }
                        }
                    } @else {
                        input type="hidden" name="to" value="new";
                    }
                    (Field::new("name", "Someone new: her name, or a code", sent(form, "name")).fault(fault).html())
                    p.presses { button.press.main { "Give her the card" } a.press.quiet href={ "/clients/" (of) "/cards/" (number) } { "Leave it here" } }
                }
                form.find method="get" action=(at) role="search" {
                    label for="q" { "Or find somebody who is in the book" }
                    div.row { input.box #q name="q" type="search" value=(words) autocomplete="off"; button.press { "Find" } }
                }
            }
        },
    ))
}

async fn give(
    State(room): State<Arc<Room>>,
    Path((client, card)): Path<(String, String)>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let (of, card) = (number(&client)?, card_number(&card)?);
    room.book(move |book| {
        let name = sent(&form, "name");
        let to = match ClientNo::read(sent(&form, "to")) {
            Some(other) => To::Client(other),
            None if name.is_empty() => {
                let says = "Write the name of the other, or find her in the book.".to_owned();
                let faults = [("name".to_owned(), says)];
                let page = part_page(book, of, card, "", &form, &faults)?;
                return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
            }
            None => To::New(Box::new(About {
                name: name.to_owned(),
                ..About::default()
            })),
        };
        let orders = sent(&form, "orders") == "yes";
        let (client, _) = book.move_card(of, card, &to, orders)?;
        Ok(Redirect::to(&format!("/clients/{client}?said=given")).into_response())
    })
    .await
}
