//! A party: one design for several, each with an order and a card of her own.

use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Book, CardNo, ClientNo, NewOrder, OrderNo, Party, Which};
use maud::{Markup, html};

use super::begin::card_words;
use super::remade::design;
use super::{Sent, called, number, sent};
use crate::web::layout::{Frame, Here, OrderHead, Stage, page};
use crate::web::parts::field::{Field, summary};
use crate::web::room::Room;
use crate::web::trouble::Trouble;

/// Someone who could be of the party.
struct One {
    client: ClientNo,
    name: String,
    cards: Vec<book::Card>,
    /// She has an order in it already.
    there: Option<OrderNo>,
}

/// What the page needs.
struct Asks {
    order: book::Order,
    name: String,
    party: Option<Party>,
    all: Vec<One>,
}

impl Asks {
    fn load(book: &Book, number: OrderNo) -> Result<Self, Trouble> {
        let order = book.order(number)?;
        let client = book.client_by_id(order.client)?;
        let party = match order.party {
            Some(id) => book.parties()?.into_iter().find(|p| p.id == id),
            None => None,
        };
        let there = match &party {
            Some(party) => book.orders(Which::Party(party.id))?,
            None => Vec::new(),
        };
        let mut all = Vec::new();
        // The demo is never mixed with her own.
        let others = book
            .clients()?
            .into_iter()
            .filter(|l| l.client.id != client.id && l.client.demo == order.demo);
        for line in others {
            all.push(One {
                client: line.client.number,
                cards: book.cards(line.client.number)?,
                there: there
                    .iter()
                    .find(|o| o.client == line.client.number)
                    .map(|o| o.order.number),
                name: line.client.about.name,
            });
        }
        Ok(Self {
            order,
            name: client.about.name,
            party,
            all,
        })
    }
}

pub(super) async fn ask(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
) -> Result<Markup, Trouble> {
    let number = number(&order)?;
    room.book(move |book| Ok(form_page(&Asks::load(book, number)?, &Sent::new(), &[])))
        .await
}

fn form_page(asks: &Asks, form: &Sent, faults: &[(String, String)]) -> Markup {
    let order = asks.order.number;
    let frame = Frame {
        title: format!("A party: {}", called(&asks.order)),
        here: Here::Clients,
        order: Some(OrderHead {
            number: order,
            stage: Stage::Order,
        }),
        demo: asks.order.demo,
        ..Frame::default()
    };
    let usual = asks.party.as_ref().map_or("", |p| p.name.as_str());
    let fault = |name: &str| {
        faults
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, says)| says.as_str())
    };
    page(
        &frame,
        html! {
            div.narrow.stack.full {
                h1 { "The same design for others" }
                (summary(faults))
                p { (called(&asks.order)) ", as it is drafted for " (asks.name) ". Each of the others gets an order of her own: the same method and choices as they are now, her own card. Afterwards each goes her own way." }
                form.stack.full method="post" action={ "/orders/" (order) "/party" } {
                    (Field::new("name", "What the party is called", form.get("name").map_or(usual, String::as_str)).help("The name of the wedding, say.").fault(fault("name")).html())
                    fieldset.choose #f-who {
                        legend { "Who else" }
                        @if let Some(says) = fault("who") { p.fault { (says) } }
                        @for one in &asks.all {
                            @match (one.there, one.cards.first()) {
                                (Some(number), _) => p { (one.name) " has " a href={ "/orders/" (number) } { "order " (number) } " in it." },
                                (None, card) => {
                                    @let name = format!("who-{}", one.client);
                                    label {
                                        input type="checkbox" name=(name) value={ @if let Some(card) = card { (card.number) } @else { "none" } } checked[form.contains_key(&name)];
                                        span {
                                            (one.name)
                                            br;
                                            span.help { @if let Some(card) = card { (card_words(card)) } @else { "not measured yet" } }
                                        }
                                    }
                                }
                            }
                        }
                    }
                    p.help { a href="/clients/new" { "Someone who is not in the book yet" } }
                    p.presses {
                        button.press.main { "Begin their orders" }
                        a.press.quiet href={ "/orders/" (order) } { "Not now" }
                    }
                }
            }
        },
    )
}

pub(super) async fn make(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let number = number(&order)?;
    room.book(move |book| {
        let asks = Asks::load(book, number)?;
        if asks.order.closed.is_some() {
            return Err(Trouble::from(book::Trouble::Closed)
                .back(format!("/orders/{number}"), "Back to the order"));
        }
        let chosen: Vec<(&One, Option<CardNo>)> = asks
            .all
            .iter()
            .filter(|one| one.there.is_none())
            .filter_map(|one| {
                let card = form.get(&format!("who-{}", one.client))?;
                Some((one, CardNo::read(card)))
            })
            .collect();
        let name = sent(&form, "name");
        let mut faults = Vec::new();
        if name.is_empty() {
            faults.push(("name".to_owned(), "Give the party a name.".to_owned()));
        }
        if chosen.is_empty() {
            faults.push(("who".into(), "Who else is of the party?".into()));
        }
        if !faults.is_empty() {
            let page = form_page(&asks, &form, &faults);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
        let party = match &asks.party {
            Some(party) => {
                if party.name != name {
                    book.rename_party(party.id, name)?;
                }
                party.id
            }
            None => {
                let id = book.new_party(name)?;
                book.join_party(number, Some(id))?;
                id
            }
        };
        let holds = book.holds(number)?;
        let stage = holds.get("stage").cloned();
        for (one, card) in chosen {
            let mut new = NewOrder::of(one.client);
            new.party = Some(party);
            new.title.clone_from(&asks.order.title);
            new.method.clone_from(&asks.order.method);
            new.holds = design(&holds);
            if let Some(card) = card.and_then(|n| one.cards.iter().find(|c| c.number == n)) {
                new.holds.push(("card".into(), card.id.to_string()));
            }
            if let Some(stage) = &stage {
                new.holds.push(("stage".into(), stage.clone()));
            }
            book.new_order(&new)?;
        }
        Ok(Redirect::to(&format!("/orders/{number}?said=begun")).into_response())
    })
    .await
}
