//! A new order: for whom, from which card, by which method, and the day it is for.

use std::sync::Arc;

use axum::extract::{Form, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Book, ClientLine, ClientNo, DayKind, Id, NewDay, NewOrder};
use maud::{Markup, html};
use measure::Date;

use super::{Methods, SHIPPED, Sent, methods, sent};
use crate::web::clients::{has_namesake, mind};
use crate::web::layout::{Frame, Here, page};
use crate::web::parts::day;
use crate::web::parts::field::{Field, Kind, id, summary};
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::working;

/// What the form needs.
struct Asks {
    client: Option<(book::Client, Vec<book::Card>)>,
    clients: Vec<ClientLine>,
    methods: Methods,
    today: Date,
}

impl Asks {
    fn load(book: &Book, client: Option<ClientNo>, today: Date) -> Result<Self, Trouble> {
        let client = match client {
            Some(number) => Some((book.client(number)?, book.cards(number)?)),
            None => None,
        };
        let clients = if client.is_some() {
            Vec::new()
        } else {
            book.clients()?
        };
        Ok(Self {
            client,
            clients,
            methods: methods(book)?,
            today,
        })
    }
}

fn client(text: &str) -> Result<Option<ClientNo>, Trouble> {
    if text.is_empty() {
        return Ok(None);
    }
    ClientNo::read(text)
        .map(Some)
        .ok_or_else(|| Trouble::missing("such client"))
}

pub(super) async fn ask(
    State(room): State<Arc<Room>>,
    Query(form): Query<Sent>,
) -> Result<Markup, Trouble> {
    let number = client(sent(&form, "client"))?;
    let today = room.today();
    let asks = room
        .book(move |book| Asks::load(book, number, today))
        .await?;
    Ok(form_page(&asks, &form, &[]))
}

/// The methods as a box to choose from.
pub(super) fn method_box(methods: &Methods, chosen: &str) -> Markup {
    let way = |(name, title): &(String, String)| {
        html! { option value=(name) selected[name == chosen] { @if title.is_empty() { (name) } @else { (title) } } }
    };
    html! {
        div.field {
            label for=(id("method")) { "Method" }
            select.box id=(id("method")) name="method" {
                @if chosen.is_empty() { option value="" { "Choose one" } }
                @if methods.own.is_empty() {
                    @for m in SHIPPED.iter() { (way(m)) }
                } @else {
                    optgroup label="Yours" { @for m in &methods.own { (way(m)) } }
                    optgroup label="Shipped" { @for m in SHIPPED.iter() { (way(m)) } }
                }
            }
        }
    }
}

/// A card in a list to choose from.
pub(super) fn card_words(card: &book::Card, today: Date) -> String {
    let mut words = format!("Card {}, {}", card.number, day::long(card.head.taken));
    if let Some(old) = day::old(card.head.taken, today) {
        words.push_str(", ");
        words.push_str(&old);
    }
    if !card.finished {
        words.push_str(", not finished");
    }
    words
}

fn form_page(asks: &Asks, form: &Sent, faults: &[(String, String)]) -> Markup {
    let frame = Frame {
        title: "New order".into(),
        here: Here::Clients,
        demo: asks.client.as_ref().is_some_and(|(c, _)| c.demo),
        ..Frame::default()
    };
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
                @match &asks.client {
                    Some((c, _)) => h1 { "A new order for " (c.about.name) },
                    None => h1 { "A new order" },
                }
                (summary(faults))
                @if let Some((c, _)) = &asks.client { (mind(c, asks.today)) }
                @match &asks.client {
                    None if asks.clients.is_empty() => {
                        p.lead { "No one is in the book yet." }
                        p.presses { a.press.main href="/clients/new" { "Someone new has come" } }
                    }
                    None => (for_whom(&asks.clients)),
                    Some((c, cards)) => {
                        form.stack.full method="post" action="/orders/new" {
                            input type="hidden" name="client" value=(c.number);
                            (Field::new("title", "What is made, in your words", sent(form, "title")).help("As you would say it: mermaid skirt with a train, plum crepe.").html())
                            (card_choice(c, cards, sent(form, "card"), asks.today))
                            (method_box(&asks.methods, sent(form, "method")))
                            @if let Some(says) = fault("method") { p.fault { (says) } }
                            p.help { "The choices come on the draft’s page, where the paper follows them." }
                            label.tickline {
                                input type="checkbox" name="toile" value="yes" checked[form.contains_key("toile")];
                                span { "A toile first" }
                            }
                            p.help { "Its sheets say so, and what is pinned on it is carried over to the cloth." }
                            (Field::new("event", "The day it is for, if there is one", sent(form, "event")).kind(Kind::Day).fault(fault("event")).html())
                            (Field::new("fitting", "First fitting, if you have settled it", sent(form, "fitting")).kind(Kind::Day).fault(fault("fitting")).html())
                            p.presses {
                                button.press.main { "Begin the order" }
                                a.press.quiet href={ "/clients/" (c.number) } { "Not now" }
                            }
                        }
                    }
                }
            }
        },
    )
}

fn for_whom(clients: &[ClientLine]) -> Markup {
    html! {
        form.stack.full method="get" action="/orders/new" {
            div.field {
                label for=(id("client")) { "For whom" }
                select.box id=(id("client")) name="client" {
                    @for line in clients { option value=(line.client.number) { (line.client.about.name) @if has_namesake(&line.client, clients) { ", client " (line.client.number) } } }
                }
            }
            p.presses {
                button.press.main { "Go on" }
                a.press.quiet href="/clients/new" { "Someone new has come" }
            }
        }
    }
}

fn card_choice(client: &book::Client, cards: &[book::Card], chosen: &str, today: Date) -> Markup {
    let first = cards.first().map(|c| c.number.to_string());
    let chosen = if chosen.is_empty() {
        first.unwrap_or_else(|| "none".into())
    } else {
        chosen.to_owned()
    };
    html! {
        fieldset.choose {
            legend { "Her card" }
            @for card in cards {
                label {
                    input type="radio" name="card" value=(card.number) checked[card.number.to_string() == chosen];
                    span { (card_words(card, today)) }
                }
            }
            label {
                input type="radio" name="card" value="none" checked[chosen == "none"];
                span { @if cards.is_empty() { "None yet: she is measured afterwards" } @else { "None of these: she is measured anew" } }
            }
        }
        @if cards.is_empty() { p.help { a href={ "/clients/" (client.number) "/cards/new" } { "Measure her first" } } }
    }
}

/// What was typed, read.
struct Read {
    new: NewOrder,
    days: Vec<NewDay>,
}

fn read(
    book: &Book,
    client: &book::Client,
    cards: &[book::Card],
    all: &Methods,
    form: &Sent,
) -> Result<Result<Read, Vec<(String, String)>>, Trouble> {
    let mut faults = Vec::new();
    let mut fault = |name: &str, says: &str| faults.push((name.to_owned(), says.to_owned()));
    let method = sent(form, "method");
    if !all.has(method) {
        fault("method", "Choose the method it is drafted by.");
    }
    let mut days = Vec::new();
    for (name, kind) in [("event", DayKind::Event), ("fitting", DayKind::Fitting)] {
        let text = sent(form, name);
        match Date::read(text) {
            Some(on) => days.push(NewDay {
                kind,
                on,
                time: String::new(),
                words: String::new(),
            }),
            None if text.is_empty() => {}
            None => fault(name, "Which day? As in 2026-12-31."),
        }
    }
    if !faults.is_empty() {
        return Ok(Err(faults));
    }
    let mut new = NewOrder::of(client.number);
    sent(form, "title").clone_into(&mut new.title);
    method.clone_into(&mut new.method);
    new.holds = working::method_holds(book, method)?;
    let text = new
        .holds
        .first()
        .map(|(_, text)| text.clone())
        .unwrap_or_default();
    new.holds
        .extend(super::super::settings::begins(book, &text)?);
    let card = sent(form, "card");
    if let Some(card) = cards.iter().find(|c| c.number.to_string() == card) {
        new.holds.push(("card".into(), card.id.to_string()));
    }
    let stage = if form.contains_key("toile") {
        "toile"
    } else {
        "cloth"
    };
    new.holds.push(("stage".into(), stage.into()));
    Ok(Ok(Read { new, days }))
}

pub(super) async fn begin(
    State(room): State<Arc<Room>>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let number = client(sent(&form, "client"))?.ok_or_else(|| Trouble::missing("such client"))?;
    let today = room.today();
    room.book(move |book| {
        let asks = Asks::load(book, Some(number), today)?;
        let Some((client, cards)) = &asks.client else {
            return Err(Trouble::missing("such client"));
        };
        let read = match read(book, client, cards, &asks.methods, &form)? {
            Ok(read) => read,
            Err(faults) => {
                let page = form_page(&asks, &form, &faults);
                return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
            }
        };
        let order = book.new_order(&read.new)?;
        for day in &read.days {
            book.add_day(order, day)?;
        }
        Ok(Redirect::to(&format!("/orders/{order}?said=begun")).into_response())
    })
    .await
}

/// A card of hers by its id, for a form that names it so.
pub(super) fn card_of(cards: &[book::Card], text: &str) -> Option<book::Card> {
    let id = Id::read(text)?;
    cards.iter().find(|c| c.id == id).cloned()
}
