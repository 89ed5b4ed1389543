//! Clients: the list, a client's page, and what is kept about her.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::routing::get;
use book::{Book, Client, ClientChange, ClientLine, ClientNo, OrderLine, Which};
use maud::{Markup, html};
use measure::date::Date;

use super::layout::{Frame, Here, page};
pub(super) use super::parts::day::long as spoken;
use super::parts::said::said;
use super::room::Room;
use super::trouble::Trouble;

mod doubles;
mod form;
#[cfg(test)]
mod tests;

pub(in crate::web) use form::{called, two_windows};

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/clients", get(list))
        .route("/clients/new", get(form::new).post(form::enter))
        .route("/clients/{client}", get(client))
        .route("/clients/{client}/edit", get(form::edit).post(form::change))
        .merge(doubles::routes())
}

/// What a form sent: names and texts.
pub(super) type Sent = BTreeMap<String, String>;

/// A text of a form, trimmed, its lines ended alike; empty when it was not sent.
pub(super) fn sent<'a>(form: &'a Sent, name: &str) -> &'a str {
    form.get(name).map_or("", |t| t.trim())
}

/// The client that an address names.
pub(super) fn number(text: &str) -> Result<ClientNo, Trouble> {
    ClientNo::read(text).ok_or_else(|| Trouble::missing("client"))
}

/// Her whole years on a day.
pub(super) fn age(born: Date, on: Date) -> i32 {
    let years = i32::from(on.year()) - i32::from(born.year());
    let before = (on.month(), on.day()) < (born.month(), born.day());
    years - i32::from(before)
}

/// Below this she does not consent for herself.
pub(super) const GROWN: i32 = 18;

async fn list(State(room): State<Arc<Room>>, Query(asked): Query<Sent>) -> Result<Markup, Trouble> {
    let words = sent(&asked, "q").to_owned();
    let code = asked.get("said").cloned();
    let find = words.clone();
    let lines = room.book(move |book| Ok(book.find_clients(&find)?)).await?;
    Ok(list_page(&words, &lines, code.as_deref()))
}

fn list_page(words: &str, lines: &[ClientLine], code: Option<&str>) -> Markup {
    let frame = Frame {
        title: "Clients".into(),
        here: Here::Clients,
        demo: lines.iter().any(|l| l.client.demo),
        ..Frame::default()
    };
    page(
        &frame,
        html! {
            div.clientlist {
                div.top {
                    h1 { "Clients" }
                    p.presses { a.press.main href="/clients/new" { "New client" } }
                }
                (said(code))
                form.find method="get" action="/clients" role="search" {
                    label for="q" { "Find a client: name, code, contact, a word of her notes" }
                    div.row {
                        input.box #q name="q" type="search" value=(words) autocomplete="off";
                        button.press { "Find" }
                    }
                }
                @if lines.is_empty() && words.is_empty() {
                    p.lead { "No one is in the book yet. Start with a person and a tape." }
                } @else if lines.is_empty() {
                    p role="status" { "No one is called that. A part of her name is enough." }
                    p { a href="/clients" { "Show all clients" } }
                } @else {
                    @if !words.is_empty() {
                        p.help role="status" { (found(lines.len())) " " a href="/clients" { "Show all" } }
                    }
                    @let (demo, own): (Vec<&ClientLine>, Vec<&ClientLine>) = lines.iter().partition(|l| l.client.demo);
                    ul.leaders { @for line in own { (one(line, lines)) } }
                    @if !demo.is_empty() {
                        h2 { "The demo, invented" }
                        ul.leaders { @for line in demo { (one(line, lines)) } }
                    }
                }
            }
        },
    )
}

fn found(many: usize) -> String {
    if many == 1 {
        "One found.".into()
    } else {
        format!("{many} found.")
    }
}

/// Whether another client has her name too, as it is read.
pub(crate) fn has_namesake(client: &Client, all: &[ClientLine]) -> bool {
    namesake(client, all).is_some()
}

fn namesake(client: &Client, all: &[ClientLine]) -> Option<ClientNo> {
    let of = |name: &str| measure::names::fold(name);
    let mut others = all.iter().map(|line| &line.client);
    others
        .find(|o| o.id != client.id && of(&o.about.name) == of(&client.about.name))
        .map(|o| o.number)
}

fn one(line: &ClientLine, all: &[ClientLine]) -> Markup {
    let c = &line.client;
    html! {
        li {
            a href={ "/clients/" (c.number) } { (c.about.name) }
            @if has_namesake(c, all) { span.help { "client " (c.number) } }
            @if !c.about.code.is_empty() { span.help { (c.about.code) } }
            span.lead {}
            span.help {
                @if line.open_orders == 1 { "one order, " }
                @if line.open_orders > 1 { (line.open_orders) " orders, " }
                @match line.last_card {
                    Some(day) => { "measured " (spoken(day)) }
                    None => { "not measured yet" }
                }
            }
        }
    }
}

/// What her page shows.
struct HerPage {
    client: Client,
    /// Another of her name.
    namesake: Option<ClientNo>,
    cards: Vec<(book::Card, usize)>,
    orders: Vec<OrderLine>,
    history: Vec<ClientChange>,
    today: Date,
    said: Option<String>,
}

async fn client(
    State(room): State<Arc<Room>>,
    Path(number): Path<String>,
    Query(asked): Query<Sent>,
) -> Result<Markup, Trouble> {
    let number = self::number(&number)?;
    let today = room.today();
    let said = asked.get("said").cloned();
    let view = room
        .book(move |book| {
            let client = book.client(number)?;
            let mut cards = Vec::new();
            for card in book.cards(number)? {
                let taken = taken(book, &card)?;
                cards.push((card, taken));
            }
            Ok(HerPage {
                namesake: namesake(&client, &book.clients()?),
                client,
                cards,
                orders: book.orders(Which::Of(number))?,
                history: book.client_history(number)?,
                today,
                said,
            })
        })
        .await?;
    Ok(her_page(&view))
}

/// How many measures stand on a card.
fn taken(book: &Book, card: &book::Card) -> Result<usize, Trouble> {
    let readings = book.readings(card.id)?;
    let names: std::collections::BTreeSet<&String> =
        readings.keys().map(|(name, _)| name).collect();
    Ok(names.len())
}

fn her_page(view: &HerPage) -> Markup {
    let c = &view.client;
    let at = format!("/clients/{}", c.number);
    let frame = Frame {
        title: c.about.name.clone(),
        here: Here::Clients,
        demo: c.demo,
        ..Frame::default()
    };
    page(
        &frame,
        html! {
            div.herpage {
                div.top {
                    h1 { (c.about.name) }
                    p.small { "Client " (c.number) @if !c.about.code.is_empty() { ", on paper " (c.about.code) } }
                }
                (said(view.said.as_deref()))
                @if let Some(other) = view.namesake {
                    p.help { "Client " (other) " has this name too. Is she the same? "
                        a href={ (at) "/double?with=" (other) } { "Look at both" } }
                }
                (mind(c, view.today))
                div.cols {
                    section aria-labelledby="cards-h" {
                        h2 #cards-h { "Cards" }
                        @if view.cards.is_empty() { p.help { "Not measured yet." } }
                        ul.leaders {
                            @for (card, many) in &view.cards {
                                li {
                                    a href={ (at) "/cards/" (card.number) } { "Card " (card.number) ", " (spoken(card.head.taken)) }
                                    span.lead {}
                                    span.help { (many) @if *many == 1 { " measure" } @else { " measures" } @if !card.finished { ", not finished" } }
                                }
                            }
                        }
                        p.presses {
                            a.press.main href={ (at) "/cards/new" } { @if view.cards.is_empty() { "Begin a card" } @else { "Begin a new card" } }
                            a.press.quiet href="/cards/blank" { "A card on paper to fill in" }
                        }
                    }
                    section aria-labelledby="orders-h" {
                        h2 #orders-h { "Orders" }
                        @if view.orders.is_empty() { p.help { "None yet." } }
                        ul.leaders {
                            @for line in &view.orders {
                                li {
                                    a href={ "/orders/" (line.order.number) } { "Order " (line.order.number) @if !line.order.title.is_empty() { ", " (line.order.title) } }
                                    span.lead {}
                                    span.help { @if line.order.closed.is_some() { "closed" } @else { "open" } }
                                }
                            }
                        }
                        p.presses { a.press href={ "/orders/new?client=" (c.number) } { "New order" } }
                    }
                }
                section aria-labelledby="about-h" {
                    h2 #about-h { "About her" }
                    dl.about { @for (word, text) in told(c) { div { dt { (word) } dd { (text) } } } }
                    p.presses {
                        a.press href={ (at) "/edit" } { "Change" }
                        a.press.quiet href={ (at) "/double" } { "She is in the book twice" }
                        a.press.quiet href={ (at) "/erase" } { "Take her away as a file, or erase her" }
                    }
                    p.help { "Entered " (spoken(c.made.day())) ", last changed " (spoken(c.changed.day())) "." }
                    (history(&view.history))
                }
            }
        },
    )
}

/// What was changed about her, the newest first.
fn history(all: &[ClientChange]) -> Markup {
    let shown = |field: &str, text: &str| -> String {
        match (field, Date::read(text)) {
            (_, _) if text.trim().is_empty() => "nothing".to_owned(),
            ("born", Some(day)) => spoken(day),
            _ => format!("\u{201c}{text}\u{201d}"),
        }
    };
    html! {
        @if !all.is_empty() {
            details.fold {
                summary { "What was changed about her" }
                ul.leaders.history {
                    @for c in all.iter().rev() {
                        li {
                            @if c.field == "joined" {
                                span { "Joined with the other entry of hers: " (c.after) }
                            } @else {
                                span { (called(&c.field)) ": " (shown(&c.field, &c.before)) " became " (shown(&c.field, &c.after)) }
                            }
                            span.lead {}
                            span.help { (spoken(c.made.day())) @if c.by != "here" { ", " (c.by) } }
                        }
                    }
                }
            }
        }
    }
}

/// What must not be forgotten of her: what she is allergic to, and who consents for her.
pub(super) fn mind(client: &Client, today: Date) -> Markup {
    let allergies = client.about.allergies.trim();
    html! {
        @if !allergies.is_empty() { p.noteline { strong { "Allergies: " } (allergies) } }
        (minor(client, today))
    }
}

/// What must not be forgotten of someone under age.
pub(super) fn minor(client: &Client, today: Date) -> Markup {
    let years = client.about.born.map(|born| age(born, today));
    let guardian = client.about.guardian.trim().trim_end_matches('.');
    let young = years.is_some_and(|y| y < GROWN);
    html! {
        @if young || (years.is_none() && !guardian.is_empty()) {
            p.noteline {
                @if let Some(years) = years { "She is " (years) ". " }
                @if guardian.is_empty() {
                    "Who consents for her is not written down yet. "
                    a href={ "/clients/" (client.number) "/edit#f-guardian" } { "Write it down" }
                } @else {
                    "Consent is given by " (guardian) ". Have them there when she is measured and fitted."
                }
            }
        }
    }
}

/// What is kept about her, with the words for it; what is empty is left out.
pub(super) fn told(client: &Client) -> Vec<(&'static str, String)> {
    let a = &client.about;
    let born = a.born.map(spoken).unwrap_or_default();
    let all = [
        ("Contact", a.contact.clone()),
        ("Birthday", born),
        ("Posture and figure", a.figure.clone()),
        ("Allergies", a.allergies.clone()),
        ("Photos may be kept", a.photos.word().to_owned()),
        ("What was agreed", a.consent.clone()),
        ("Who consents for her", a.guardian.clone()),
        ("Hand", a.hand.clone()),
        ("Notes", a.notes.clone()),
    ];
    all.into_iter()
        .filter(|(_, t)| !t.trim().is_empty())
        .collect()
}
