//! What was paid for an order, and what it really took beside the quote.

use std::sync::Arc;

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Id, NewActual, NewPayment, OrderNo};
use lay::quote::{Actual, Stage, against, standing};
use lay::{Exact, Money};
use maud::{Markup, html};
use measure::Date;
use serde::Deserialize;
use sheet::words::ENGLISH;

use super::kept::Kept;
use super::{Besides, Known, habits, number_of, reckoned, written};
use crate::web::layout;
use crate::web::parts::field::{Field, Kind, id, summary};
use crate::web::parts::said::said;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

/// What she typed of a payment.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct TypedPayment {
    on: String,
    money: String,
    words: String,
    /// `yes` when it was paid back.
    back: String,
}

/// What she typed of the work or of what was spent.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct TypedSpent {
    stage: String,
    hours: String,
    money: String,
    day: String,
    note: String,
}

/// What did not fit: the box's name and what to say.
type Faults = Vec<(String, String)>;

pub(super) async fn look(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Query(besides): Query<Besides>,
) -> Result<Response, Trouble> {
    shown(
        room,
        number_of(&order)?,
        besides.said,
        TypedPayment::default(),
        TypedSpent::default(),
        Vec::new(),
    )
    .await
}

async fn shown(
    room: Arc<Room>,
    number: OrderNo,
    code: Option<String>,
    payment: TypedPayment,
    spent: TypedSpent,
    faults: Faults,
) -> Result<Response, Trouble> {
    let today = room.today();
    room.book(move |book| {
        let known = Known::of(book, number, today)?;
        let payments = book.payments(number)?;
        let actuals = book.actuals(number)?;
        let currency = currency(&known);
        // The newest quote that was given counts; before one is given, the one that is worked on.
        let given = known.quotes.first().and_then(|q| Kept::of_json(&q.kept.asked)).map(|k| k.typed);
        let read = given.or_else(|| known.typed()).and_then(|t| reckoned(&t).ok());
        let money = |minor: i64, code: &str| Money::new(minor, code);
        let received: Option<Vec<Money>> = payments.iter().map(|p| money(p.payment.minor, &p.payment.currency)).collect();
        let stands = read.as_ref().zip(received.as_ref()).and_then(|((_, quote), all)| standing(quote, all));
        let log: Option<Vec<Actual>> = actuals
            .iter()
            .map(|a| {
                Some(Actual {
                    stage: Stage::read(&a.actual.stage),
                    minutes: a.actual.minutes,
                    spent: money(a.actual.minor, &currency)?,
                })
            })
            .collect();
        let beside = read.as_ref().zip(log.as_ref()).and_then(|((asked, quote), log)| against(asked, quote, log));
        let fault = |name: &str| faults.iter().find(|(n, _)| n == name).map(|(_, says)| says.as_str());
        let base = format!("/orders/{number}/quote");
        let date = |d: Date| ENGLISH.locale.date(d);
        let day = |typed: &str| if typed.is_empty() { today.to_string() } else { typed.to_owned() };
        let body = html! {
            div.quote {
                header { h1 { "Paid and spent" } p.quietline { (known.facts()) } }
                (said(code.as_deref()))
                (summary(&faults))
                p.presses { a.press.quiet href=(base) { "Back to the quote" } }
                section aria-labelledby="paid-h" {
                    h2 #paid-h { "Paid" }
                    @match (&stands, &read) {
                        (Some(stands), Some((asked, quote))) => {
                            p { "Of " (quote.total) " she has paid " (written::figure(stands.received)) ". "
                                @if stands.balance.minor() > 0 { strong { (written::figure(stands.balance)) " is still to come." } }
                                @else if stands.balance.minor() == 0 { strong { "All is paid." } }
                                @else { strong { (written::figure(stands.balance).trim_start_matches('-')) " too much was paid." } } }
                            ul.leaders {
                                @for (at, part) in stands.parts.iter().enumerate() {
                                    li {
                                        (asked.parts.get(at).map_or_else(|| last(asked), |p| p.words.clone()))
                                        span.lead {}
                                        span.n { (written::figure(part.part)) }
                                        span.quietline { @if part.is_paid() { "paid" } @else if part.received.minor() > 0 { (written::figure(part.received)) " paid" } @else { "to come" } }
                                    }
                                }
                            }
                        }
                        (None, Some(_)) => p { "These payments are in more than one currency, so no balance is told." },
                        _ => p { "Nothing is quoted yet, so no balance can be told." },
                    }
                    @if !payments.is_empty() {
                        ul.entries {
                            @for p in &payments {
                                li {
                                    span { (date(p.payment.on)) @if !p.payment.words.is_empty() { ", " (p.payment.words) } }
                                    span.n { (money(p.payment.minor, &p.payment.currency).map_or_else(String::new, |m| m.to_string())) }
                                    (take_away(&format!("{base}/payments/{}/drop", p.id), &format!("Take away the payment of {}", date(p.payment.on))))
                                }
                            }
                        }
                    }
                    form.entry method="post" action={ (base) "/payments" } {
                        (Field::new("on", "Day", &day(&payment.on)).kind(Kind::Day).fault(fault("on")).html())
                        (Field::new("money", &format!("How much, in {}", named(&currency)), &payment.money).fault(fault("money")).html())
                        (Field::new("words", "What for", &payment.words).html())
                        label.hers { input type="checkbox" name="back" value="yes" checked[payment.back == "yes"]; span { "paid back to her" } }
                        p.presses { button.press { "Enter this payment" } }
                    }
                }
                section aria-labelledby="spent-h" {
                    h2 #spent-h { "What it took" }
                    @if let Some(beside) = &beside { (table(beside, &currency)) }
                    @if !actuals.is_empty() {
                        ul.entries {
                            @for a in &actuals {
                                li {
                                    span {
                                        (date(a.actual.on)) ", "
                                        @match Stage::read(&a.actual.stage) { Some(stage) => (written::stage(stage)), None => "goods" }
                                        @if !a.actual.words.is_empty() { ", " (a.actual.words) }
                                    }
                                    span.n {
                                        @if a.actual.minutes > 0 { (written::hours(hours(a.actual.minutes))) }
                                        @if a.actual.minutes > 0 && a.actual.minor != 0 { ", " }
                                        @if a.actual.minor != 0 { (money(a.actual.minor, &currency).map_or_else(String::new, |m| m.to_string())) }
                                    }
                                    (take_away(&format!("{base}/spent/{}/drop", a.id), &format!("Take away the entry of {}", date(a.actual.on))))
                                }
                            }
                        }
                    }
                    form.entry method="post" action={ (base) "/spent" } {
                        div.field {
                            label for=(id("stage")) { "Stage" }
                            select.box id=(id("stage")) name="stage" {
                                @for (value, words) in habits::stages() { option value=(value) selected[value == spent.stage] { (words) } }
                                option value="goods" selected[spent.stage == "goods"] { "Cloth and notions" }
                            }
                        }
                        (Field::new("hours", "Hours", &spent.hours).fault(fault("hours")).help("Like 2.5 or 2 1/4; empty if none.").html())
                        (Field::new("spent", &format!("Spent besides, in {}", named(&currency)), &spent.money).fault(fault("spent")).html())
                        (Field::new("day", "Day", &day(&spent.day)).kind(Kind::Day).fault(fault("day")).html())
                        (Field::new("note", "Anything to say", &spent.note).html())
                        p.presses { button.press { "Enter this" } }
                    }
                }
            }
        };
        let status = if faults.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
        Ok((status, layout::page(&known.frame("Paid and spent"), body)).into_response())
    })
    .await
}

fn last(asked: &lay::quote::Asked) -> String {
    if asked.parts.is_empty() {
        "In all".into()
    } else {
        asked.last.clone()
    }
}

fn named(currency: &str) -> &str {
    if currency.is_empty() {
        "the quote's currency"
    } else {
        currency
    }
}

fn take_away(action: &str, label: &str) -> Markup {
    html! { form method="post" action=(action) { button.press.quiet aria-label=(label) { "Take away" } } }
}

fn hours(minutes: u32) -> Exact {
    Exact::over(i64::from(minutes), 60).unwrap_or(Exact::ZERO)
}

/// Quoted beside actual.
fn table(beside: &lay::quote::Against, currency: &str) -> Markup {
    let tenth = |hours: Exact| {
        let tenths = hours
            .times(Exact::whole(100))
            .and_then(Exact::nearest)
            .unwrap_or(0);
        Exact::over(tenths, 100).unwrap_or(Exact::ZERO).to_string()
    };
    html! {
        div.wide role="group" tabindex="0" aria-label="Quoted beside what it took" {
            table {
                thead { tr { th scope="col" { "Stage" } th.r scope="col" { "Quoted, hours" } th.r scope="col" { "It took" } } }
                tbody {
                    @for row in &beside.stages {
                        tr { th scope="row" { (written::stage(row.stage)) } td.r { (tenth(row.quoted)) } td.r { (tenth(row.actual)) } }
                    }
                    tr.insum { th scope="row" { "Hours in all" } td.r { (tenth(beside.quoted_hours)) } td.r { (tenth(beside.hours)) } }
                    tr { th scope="row" { "Cost, " (currency) } td.r { (written::figure(beside.quoted_cost)) } td.r { (written::figure(beside.cost)) } }
                }
            }
        }
        p {
            "Left of the price so far: " strong { (written::figure(beside.left)) }
            @if let Some(margin) = beside.margin { ", " (margin.to_string()) " % of it" }
            "."
        }
    }
}

/// The currency of the newest quote, else of the one that is worked on, else as she set it.
fn currency(known: &Known) -> String {
    let given = known.quotes.first().map(|q| q.kept.currency.clone());
    given
        .or_else(|| known.typed().map(|t| t.currency))
        .unwrap_or_else(|| {
            super::Habits(&known.settings)
                .get("quote/currency")
                .to_owned()
        })
}

/// An amount in that currency.
fn amount(text: &str, currency: &str) -> Result<i64, String> {
    let bare = text.trim().strip_suffix(currency).unwrap_or(text).trim();
    if Money::new(0, currency).is_none() {
        return Err(
            "The currency is not known yet: set it under How you quote, or make a quote first."
                .into(),
        );
    }
    Money::read(&format!("{bare} {currency}"))
        .map(Money::minor)
        .map_err(|fault| format!("{} Write an amount like 200.00.", fault.says))
}

fn day(text: &str) -> Result<Date, String> {
    Date::read(text).ok_or_else(|| "This is no day. Write it like 2026-11-25.".to_owned())
}

pub(super) async fn pay(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Form(typed): Form<TypedPayment>,
) -> Result<Response, Trouble> {
    let number = number_of(&order)?;
    let today = room.today();
    let asked = typed.clone();
    let faults = room
        .book(move |book| {
            let known = Known::of(book, number, today)?;
            let currency = currency(&known);
            let mut faults = Faults::new();
            let on = day(&asked.on)
                .map_err(|says| faults.push(("on".into(), says)))
                .ok();
            let minor = amount(&asked.money, &currency).and_then(|m| match m {
                0 => Err("How much was it?".to_owned()),
                m => Ok(m),
            });
            let minor = minor
                .map_err(|says| faults.push(("money".into(), says)))
                .ok();
            if let (Some(on), Some(minor)) = (on, minor) {
                let minor = if asked.back == "yes" { -minor } else { minor };
                book.add_payment(
                    number,
                    &NewPayment {
                        on,
                        minor,
                        currency,
                        words: asked.words.trim().into(),
                    },
                )?;
            }
            Ok(faults)
        })
        .await?;
    if faults.is_empty() {
        return Ok(Redirect::to(&format!("/orders/{number}/quote/paid?said=kept")).into_response());
    }
    shown(room, number, None, typed, TypedSpent::default(), faults).await
}

pub(super) async fn spend(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let number = number_of(&order)?;
    let today = room.today();
    let one = |name: &str| {
        pairs
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, v)| v.trim().to_owned())
            .unwrap_or_default()
    };
    let typed = TypedSpent {
        stage: one("stage"),
        hours: one("hours"),
        money: one("spent"),
        day: one("day"),
        note: one("note"),
    };
    let asked = typed.clone();
    let faults = room
        .book(move |book| {
            let known = Known::of(book, number, today)?;
            let currency = currency(&known);
            let mut faults = Faults::new();
            let on = day(&asked.day)
                .map_err(|says| faults.push(("day".into(), says)))
                .ok();
            let minutes = if asked.hours.is_empty() {
                Ok(0)
            } else {
                minutes(&asked.hours)
            };
            let minutes = minutes
                .map_err(|says| faults.push(("hours".into(), says)))
                .ok();
            let minor = if asked.money.is_empty() {
                Ok(0)
            } else {
                amount(&asked.money, &currency)
            };
            let minor = minor
                .map_err(|says| faults.push(("spent".into(), says)))
                .ok();
            if minutes == Some(0) && minor == Some(0) {
                faults.push(("hours".into(), "Write the hours, or what was spent.".into()));
            }
            if let (Some(on), Some(minutes), Some(minor), true) =
                (on, minutes, minor, faults.is_empty())
            {
                let stage = Stage::read(&asked.stage)
                    .map_or("goods", Stage::name)
                    .to_owned();
                book.add_actual(
                    number,
                    &NewActual {
                        stage,
                        minutes,
                        minor,
                        on,
                        words: asked.note.clone(),
                    },
                )?;
            }
            Ok(faults)
        })
        .await?;
    if faults.is_empty() {
        return Ok(Redirect::to(&format!("/orders/{number}/quote/paid?said=kept")).into_response());
    }
    shown(room, number, None, TypedPayment::default(), typed, faults).await
}

/// Hours to the nearest minute.
fn minutes(text: &str) -> Result<u32, String> {
    let hours = Exact::read(text).map_err(|fault| format!("{} {}", fault.says, fault.hint))?;
    let minutes = hours
        .times(Exact::whole(60))
        .and_then(Exact::nearest)
        .and_then(|m| u32::try_from(m).ok());
    minutes
        .filter(|m| *m <= 60_000)
        .ok_or_else(|| "These are too many hours for one entry.".to_owned())
}

/// Which entry an address means.
fn entry(text: &str) -> Result<Id, Trouble> {
    Id::read(text).ok_or_else(|| Trouble::missing("such entry"))
}

pub(super) async fn drop_payment(
    State(room): State<Arc<Room>>,
    Path((order, payment)): Path<(String, String)>,
) -> Result<Redirect, Trouble> {
    let (number, payment) = (number_of(&order)?, entry(&payment)?);
    room.book(move |book| Ok(book.drop_payment(number, payment)?))
        .await?;
    Ok(Redirect::to(&format!(
        "/orders/{number}/quote/paid?said=gone"
    )))
}

pub(super) async fn drop_spent(
    State(room): State<Arc<Room>>,
    Path((order, spent)): Path<(String, String)>,
) -> Result<Redirect, Trouble> {
    let (number, spent) = (number_of(&order)?, entry(&spent)?);
    room.book(move |book| Ok(book.drop_actual(number, spent)?))
        .await?;
    Ok(Redirect::to(&format!(
        "/orders/{number}/quote/paid?said=gone"
    )))
}
