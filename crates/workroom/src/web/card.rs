//! A card: her measures in the order in which they are taken, each reading kept as it is written.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use axum::{Form, Router};
use book::{Book, CardNo, Client, ClientNo, Order, OrderNo, Reading, Readings, Said, Unit};
use maud::Markup;
use measure::date::Date;
use measure::questions::{self, Question};
use measure::{Length, fraction, names};

use super::clients::{Sent, number, sent};
use super::room::Room;
use super::trouble::Trouble;
use super::working::card_of;

mod blank;
mod choose;
mod echo;
mod head;
mod save;
#[cfg(test)]
mod tests;
mod view;
pub(in crate::web) mod wanted;

use wanted::Wanted;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/cards/blank", get(blank::blank))
        .route("/cards/echo", get(echo::echo))
        .route(
            "/clients/{client}/cards/new",
            get(head::new).post(head::begin),
        )
        .route("/clients/{client}/cards/{card}", get(card).post(keep))
        .route(
            "/clients/{client}/cards/{card}/head",
            get(head::edit).post(head::change),
        )
        .route("/orders/{order}/card", get(order_card).post(order_keep))
}

/// Where a card is looked at: by itself, or in an order.
#[derive(Clone, Debug)]
enum At {
    Alone(ClientNo, CardNo),
    Order(OrderNo),
}

impl At {
    fn address(&self) -> String {
        match self {
            Self::Alone(client, card) => format!("/clients/{client}/cards/{card}"),
            Self::Order(order) => format!("/orders/{order}/card"),
        }
    }
}

/// A card with all that its page needs.
struct Held {
    at: At,
    client: Client,
    card: book::Card,
    readings: Readings,
    history: Vec<Reading>,
    answers: BTreeMap<String, Said>,
    /// Her newest place in the history, against two windows.
    seen: u64,
    /// The card before this one.
    before: Option<(book::Card, Readings)>,
    order: Option<Order>,
    wanted: Vec<Wanted>,
    today: Date,
}

impl Held {
    /// Takes a card out of the book; `None` for an order that has none yet.
    fn load(book: &Book, at: At, today: Date) -> Result<Option<Self>, Trouble> {
        let (card, order, method) = match &at {
            At::Alone(client, card) => (book.card(*client, *card)?, None, None),
            At::Order(number) => {
                let order = book.order(*number)?;
                let holds = book.holds(*number)?;
                let Some(card) = card_of(book, &order, &holds)? else {
                    return Ok(None);
                };
                let method = holds.get("method").cloned();
                (card, Some(order), method)
            }
        };
        let hers = book.setting(wanted::ORDER)?.unwrap_or_default();
        let client = book.client_by_id(card.client)?;
        let mut before = None;
        for other in book.cards(client.number)? {
            if (other.head.taken, other.number) < (card.head.taken, card.number) && before.is_none()
            {
                let readings = book.readings(other.id)?;
                before = Some((other, readings));
            }
        }
        Ok(Some(Self {
            readings: book.readings(card.id)?,
            history: book.reading_history(card.id)?,
            answers: book.answers(card.id)?,
            seen: book.readings_seen(card.id)?,
            wanted: wanted::of(method.as_deref(), &hers),
            at,
            client,
            card,
            before,
            order,
            today,
        }))
    }

    fn unit(&self) -> fraction::Unit {
        engine_unit(self.card.head.unit)
    }

    /// The text of a reading, with its unit where that is not the card's.
    fn text(&self, measure: &str, turn: u8) -> String {
        self.readings
            .get(&(measure.to_owned(), turn))
            .map(|r| typed(r, self.card.head.unit))
            .unwrap_or_default()
    }

    /// What counts of a measure, and how often it was read.
    fn counts(&self, measure: &str) -> Option<Counted> {
        counted(&self.readings, measure)
    }

    /// The measures that stand on the card and are not asked for, as the tape goes.
    fn others(&self) -> Vec<String> {
        others(&self.readings, &self.wanted)
    }

    /// The card as the engine reads it.
    fn body(&self) -> measure::Card {
        body(&self.client, &self.card, &self.readings)
    }

    /// The questions of the card that are still open, with their keys.
    fn questions(&self) -> Vec<(String, Question)> {
        questions::ask(&self.body())
            .into_iter()
            .map(|q| (key(&q), q))
            .filter(|(key, _)| !matches!(self.answers.get(key), Some(Said::Right | Said::Taken)))
            .collect()
    }

    /// The card without the measures that one of these open questions is about: a doubted 32 must not
    /// make the likely value of the next measure wrong too.
    fn trusted(&self, open: &[(String, Question)]) -> measure::Card {
        let doubted = |name: &str| {
            let mut asked = open.iter().map(|(_, q)| q);
            asked.any(|q| q.weight == questions::Weight::Ask && q.measure == name)
        };
        let mut readings = self.readings.clone();
        readings.retain(|(name, _), _| !doubted(name));
        body(&self.client, &self.card, &readings)
    }

    /// The first measure that is asked for and not taken.
    fn next(&self) -> Option<&str> {
        self.wanted
            .iter()
            .map(|w| w.name.as_str())
            .find(|name| self.counts(name).is_none())
    }

    /// The first measure after this one that is not taken, else the first of all.
    fn next_after(&self, name: &str) -> Option<&str> {
        let from = self
            .wanted
            .iter()
            .position(|w| w.name == name)
            .map_or(0, |i| i + 1);
        let (before, after) = self.wanted.split_at(from.min(self.wanted.len()));
        after
            .iter()
            .chain(before)
            .map(|w| w.name.as_str())
            .find(|n| *n != name && self.counts(n).is_none())
    }

    /// The measure that an address or a form names.
    fn named(&self, text: &str) -> Option<String> {
        if let Some(known) = names::find(text) {
            return Some(known.name.to_owned());
        }
        let folded = names::fold(text);
        let own = self
            .wanted
            .iter()
            .map(|w| w.name.clone())
            .chain(self.others());
        own.into_iter().find(|n| names::fold(n) == folded)
    }
}

/// What counts of the readings of a measure.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Counted {
    /// In mm, or degrees for an angle.
    value: f64,
    angle: bool,
    many: usize,
    agreed: bool,
}

impl Counted {
    fn length(self) -> Option<Length> {
        if self.angle {
            None
        } else {
            Length::try_mm(self.value)
        }
    }
}

fn is_angle(measure: &str) -> bool {
    names::find(measure).is_some_and(|m| m.kind == names::Kind::Angle)
}

fn lengths(readings: &Readings, measure: &str) -> Vec<f64> {
    (1..=3)
        .filter_map(|turn| readings.get(&(measure.to_owned(), turn))?.mm)
        .collect()
}

fn counted(readings: &Readings, measure: &str) -> Option<Counted> {
    let all = lengths(readings, measure);
    let first = all.first()?;
    if is_angle(measure) {
        let mean = all.iter().sum::<f64>() / f64::from(u32::try_from(all.len()).ok()?);
        let most = all.iter().fold(0.0_f64, |m, a| m.max((a - mean).abs()));
        return Some(Counted {
            value: mean,
            angle: true,
            many: all.len(),
            agreed: most <= 1.0,
        });
    }
    let many: Vec<Length> = all.iter().filter_map(|mm| Length::try_mm(*mm)).collect();
    let card = measure::Card::new("-", fraction::Unit::Inch).with_readings(measure, &many);
    let measured = card.measures().next();
    Some(Counted {
        value: measured.map_or(*first, |m| m.length.in_mm()),
        angle: false,
        many: all.len(),
        agreed: measured.is_none_or(measure::card::Measured::is_agreed),
    })
}

fn engine_unit(unit: Unit) -> fraction::Unit {
    match unit {
        Unit::Inch => fraction::Unit::Inch,
        Unit::Cm => fraction::Unit::Cm,
    }
}

/// A reading as it was typed, with its unit where that is not the card's and does not stand in it.
fn typed(reading: &Reading, unit: Unit) -> String {
    let bare = fraction::unit_said(&reading.text).is_none();
    if bare && reading.unit != unit.sign() && !is_angle(&reading.measure) {
        format!("{} {}", reading.text, reading.unit)
    } else {
        reading.text.clone()
    }
}

fn body(client: &Client, card: &book::Card, readings: &Readings) -> measure::Card {
    let mut out = measure::Card::new(client.about.name.clone(), engine_unit(card.head.unit))
        .taken_on(card.head.taken);
    if let Some(born) = client.about.born {
        out = out.born_on(born);
    }
    let names: std::collections::BTreeSet<&String> =
        readings.keys().map(|(name, _)| name).collect();
    for name in names.into_iter().filter(|n| !is_angle(n)) {
        let many: Vec<Length> = lengths(readings, name)
            .into_iter()
            .filter_map(Length::try_mm)
            .collect();
        let first = (1..=3).find_map(|turn| readings.get(&(name.clone(), turn)));
        out = match (many.as_slice(), first) {
            ([one], Some(reading)) => out.with_typed(name, *one, typed(reading, card.head.unit)),
            _ => out.with_readings(name, &many),
        };
    }
    out
}

/// The measures that are read and not asked for, as the tape goes; her own at the end.
fn others(readings: &Readings, wanted: &[Wanted]) -> Vec<String> {
    let on: std::collections::BTreeSet<&str> =
        readings.keys().map(|(name, _)| name.as_str()).collect();
    let asked = |name: &str| wanted.iter().any(|w| w.name == name);
    let known = names::all().iter().map(|m| m.name);
    let own = on.iter().copied().filter(|n| names::find(n).is_none());
    known
        .filter(|n| on.contains(n))
        .chain(own)
        .filter(|n| !asked(n))
        .map(str::to_owned)
        .collect()
}

/// Each measure of a card and what counts of it, in the card's unit: as a method takes them, then the
/// others as the tape goes.
pub(in crate::web) fn as_it_counts(
    card: &book::Card,
    readings: &Readings,
    method: Option<&str>,
    hers: &str,
) -> Vec<(String, String)> {
    let wanted = wanted::of(method, hers);
    let others = others(readings, &wanted);
    let order = wanted.into_iter().map(|w| w.name).chain(others);
    let shown = fraction::Shown::usual(engine_unit(card.head.unit));
    order
        .filter_map(|name| {
            let counts = counted(readings, &name)?;
            let text = match counts.length() {
                Some(length) => fraction::show_number(length, shown),
                None => format!("{}\u{b0}", (counts.value * 10.0).round() / 10.0),
            };
            Some((name, text))
        })
        .collect()
}

/// The lengths of a card, each as it counts, in mm: of three readings the two that agree.
pub(in crate::web) fn lengths_that_count(readings: &Readings) -> BTreeMap<String, f64> {
    let names = readings.keys().map(|(name, _)| name);
    names
        .filter_map(|name| Some((name.clone(), counted(readings, name)?.length()?.in_mm())))
        .collect()
}

/// A question's key: what it asks and what the card read then, so that a new reading asks anew.
fn key(question: &Question) -> String {
    format!("{}|{}|{}", question.rule, question.measure, question.says)
}

/// The name of a measure in an address.
fn slug(measure: &str) -> String {
    measure
        .bytes()
        .map(|b| match b {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' => char::from(b).to_string(),
            b' ' => "-".to_owned(),
            b => format!("%{b:02X}"),
        })
        .collect()
}

fn alone(client: &str, card: &str) -> Result<At, Trouble> {
    let card = CardNo::read(card).ok_or_else(|| Trouble::missing("card"))?;
    Ok(At::Alone(number(client)?, card))
}

fn in_order(order: &str) -> Result<At, Trouble> {
    OrderNo::read(order)
        .map(At::Order)
        .ok_or_else(|| Trouble::missing("order"))
}

async fn card(
    State(room): State<Arc<Room>>,
    Path((client, card)): Path<(String, String)>,
    Query(asked): Query<Sent>,
) -> Result<Markup, Trouble> {
    show(&room, alone(&client, &card)?, asked).await
}

async fn order_card(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Query(asked): Query<Sent>,
) -> Result<Markup, Trouble> {
    show(&room, in_order(&order)?, asked).await
}

async fn show(room: &Room, at: At, asked: Sent) -> Result<Markup, Trouble> {
    let today = room.today();
    room.book(move |book| {
        let none = at.clone();
        match Held::load(book, at, today)? {
            Some(held) => Ok(view::page(&held, &asked, None)),
            None => choose::page(book, &none),
        }
    })
    .await
}

async fn keep(
    State(room): State<Arc<Room>>,
    Path((client, card)): Path<(String, String)>,
    Query(asked): Query<Sent>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    write(&room, alone(&client, &card)?, (asked, form)).await
}

async fn order_keep(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Query(asked): Query<Sent>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    write(&room, in_order(&order)?, (asked, form)).await
}

async fn write(room: &Room, at: At, (asked, mut form): (Sent, Sent)) -> Result<Response, Trouble> {
    // Which question is answered stands in the button's address.
    if let Some(q) = asked.get("q") {
        form.insert("q".to_owned(), q.clone());
    }
    let today = room.today();
    let by = super::visit::now().by;
    room.book(move |book| {
        if let (At::Order(order), "choose") = (&at, sent(&form, "do")) {
            choose::choose(book, *order, &form, &by)?;
            return Ok(Redirect::to(&format!("{}?said=kept", at.address())).into_response());
        }
        let address = at.address();
        let held = Held::load(book, at, today)?.ok_or_else(|| {
            Trouble::unclear("This order has no card yet: choose one first.")
                .back(address, "Choose a card")
        })?;
        save::save(book, &held, &form, &by)
    })
    .await
}
