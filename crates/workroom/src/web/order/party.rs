//! A party: one design for several, each with an order and a card of her own.

use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Book, CardNo, ClientNo, DayState, NewOrder, OrderNo, Party, Which};
use maud::{Markup, html};
use measure::Date;

use super::begin::card_words;
use super::remade::design;
use super::signed::{Now, Signed};
use super::{Sent, called, days, number, sent};
use crate::web::layout::{Frame, Here, OrderHead, Stage, page};
use crate::web::parts::day;
use crate::web::parts::field::{Field, summary};
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::working::{self, OnTable};

/// Someone who could be of the party.
struct One {
    client: ClientNo,
    name: String,
    cards: Vec<book::Card>,
    /// She has an order in it already.
    there: Option<OrderNo>,
}

/// What is looked at to know whether a sign-off still holds.
type ToLookAt = (OnTable, Vec<book::VersionLine>, Vec<book::Quote>);

/// An order of the party, as its table tells it.
struct Line {
    order: book::Order,
    name: String,
    allergies: String,
    card: Option<book::Card>,
    paper: Option<book::VersionLine>,
    next: Option<book::Day>,
    signed: Option<Signed>,
    /// What is looked at to know whether the sign-off still holds; put away when that is known.
    on: Option<Box<ToLookAt>>,
    /// What is another since it was signed off.
    since: Vec<String>,
}

impl Line {
    fn load(book: &Book, line: book::OrderLine, today: Date) -> Result<Self, Trouble> {
        let number = line.order.number;
        let holds = book.holds(number)?;
        let card = working::card_of(book, &line.order, &holds)?;
        let mut days = book.days(number)?;
        days.retain(|d| d.state == DayState::Comes && d.day.on >= today);
        let versions = book.versions(number)?;
        let signed = Signed::read(&holds);
        let on = match &signed {
            Some(signed) if signed.known() => Some(Box::new((
                OnTable::load(book, number)?,
                versions.clone(),
                book.quotes(number)?,
            ))),
            _ => None,
        };
        Ok(Self {
            allergies: book.client(line.client)?.about.allergies,
            paper: versions.into_iter().find(|v| v.papers > 0),
            next: days.into_iter().min_by_key(|d| d.day.on.day_number()),
            signed,
            on,
            since: Vec::new(),
            name: line.name,
            order: line.order,
            card,
        })
    }

    /// Looks whether its sign-off still holds; for that it works the draft.
    fn look(&mut self) {
        if let (Some(signed), Some(held)) = (&self.signed, self.on.take()) {
            let (on, versions, quotes) = &*held;
            let worked = on.redraw();
            let paper = on.paper(&worked, versions);
            self.since = signed.since(&Now::of(on, &worked, Some(signed), paper, quotes));
        }
    }
}

/// What the page needs.
struct Asks {
    order: book::Order,
    name: String,
    party: Option<Party>,
    lines: Vec<Line>,
    all: Vec<One>,
    today: Date,
}

impl Asks {
    fn load(book: &Book, number: OrderNo, today: Date) -> Result<Self, Trouble> {
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
        let mut lines = Vec::new();
        for line in &there {
            lines.push(Line::load(book, line.clone(), today)?);
        }
        lines.sort_by_key(|l| l.order.number);
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
            lines,
            all,
            today,
        })
    }

    /// The same, looked at whose sign-off still holds.
    fn looked(mut self) -> Self {
        self.lines.iter_mut().for_each(Line::look);
        self
    }
}

pub(super) async fn ask(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
) -> Result<Markup, Trouble> {
    let number = number(&order)?;
    let today = room.today();
    let asks = room
        .book(move |book| Asks::load(book, number, today))
        .await?;
    room.work(move || form_page(&asks.looked(), &Sent::new(), &[]))
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
                @match &asks.party {
                    Some(party) => h1 { (party.name) },
                    None => h1 { "The same design for others" },
                }
                (summary(faults))
                (together(asks))
                @if asks.party.is_some() { h2.noprint { "Someone else joins" } }
                p.noprint { (called(&asks.order)) ", as it is drafted for " (asks.name) ". Each of the others gets an order of her own: the same method and choices as they are now, her own card. Afterwards each goes her own way." }
                form.stack.full.noprint method="post" action={ "/orders/" (order) "/party" } {
                    (Field::new("name", "What the party is called", form.get("name").map_or(usual, String::as_str)).help("The name of the wedding, say.").fault(fault("name")).html())
                    fieldset.choose #f-who {
                        legend { "Who else" }
                        @if let Some(says) = fault("who") { p.fault { (says) } }
                        @if asks.all.is_empty() { p { "Nobody else is in the book yet. Enter them first; this page is under the order then, as before." } }
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
                                            span.help { @if let Some(card) = card { (card_words(card, asks.today)) } @else { "not measured yet" } }
                                        }
                                    }
                                }
                            }
                        }
                    }
                    p.presses { a.press.quiet href="/clients/new" { "Someone who is not in the book yet" } }
                    p.presses {
                        button.press.main { "Begin their orders" }
                        a.press.quiet href={ "/orders/" (order) } { "Not now" }
                    }
                }
            }
        },
    )
}

/// Everyone of the party in one table: measured, paper, next day; to be printed too.
fn together(asks: &Asks) -> Markup {
    html! {
        @if !asks.lines.is_empty() {
            div.wide role="group" tabindex="0" aria-label="Everyone of the party" {
                table {
                    thead { tr { th scope="col" { "Who" } th scope="col" { "Card" } th scope="col" { "Paper" } th scope="col" { "Next" } } }
                    tbody {
                        @for line in &asks.lines {
                            tr {
                                th scope="row" {
                                    a href={ "/orders/" (line.order.number) } { (line.name) }
                                    br; span.help { "Order " (line.order.number) ", " (called(&line.order)) }
                                    @if !line.allergies.trim().is_empty() { br; strong { "Allergies: " } (line.allergies) }
                                }
                                td { @match &line.card { Some(card) => (card_words(card, asks.today)), None => "not measured yet" } }
                                td { @match &line.paper { Some(v) => { "version " (v.number) ", " (v.mark) }, None => "not made yet" } }
                                td {
                                    @if line.order.closed.is_some() { "closed" }
                                    @else if let Some(d) = &line.next { (days::called(&d.day)) ", " (day::named(d.day.on)) @if d.day.on.year() != asks.today.year() { " " (d.day.on.year()) } }
                                    @else { "no day set" }
                                    @if line.signed.is_some() && line.since.is_empty() { ", signed off" }
                                }
                            }
                            @if let (Some(signed), false) = (&line.signed, line.since.is_empty()) {
                                tr { td colspan="4" { strong { (line.name) " has not signed it off as it is now. " } "Signed off: " (signed.told()) ". " (line.since.join(" ")) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

pub(super) async fn make(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let number = number(&order)?;
    let today = room.today();
    let begun = room
        .book(move |book| {
            let asks = Asks::load(book, number, today)?;
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
                return Ok(Some((asks, form, faults)));
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
            Ok(None)
        })
        .await?;
    let Some((asks, form, faults)) = begun else {
        return Ok(Redirect::to(&format!("/orders/{number}?said=begun")).into_response());
    };
    room.work(move || {
        let page = form_page(&asks.looked(), &form, &faults);
        (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
    })
    .await
}
