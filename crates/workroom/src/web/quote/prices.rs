//! The price book: what cloths and notions cost, since when. A price is never changed; a newer one is added.

use std::sync::Arc;

use axum::extract::{Form, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{NewPrice, Price, PriceKind};
use lay::Money;
use maud::{Markup, html};
use measure::Date;
use serde::Deserialize;
use sheet::words::ENGLISH;

use super::habits::Habits;
use crate::web::layout::{self, Frame, Here};
use crate::web::parts::field::{Choice, Field, Kind, summary};
use crate::web::parts::said::said;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

/// A price as she typed it; also what an address may fill in.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct TypedPrice {
    kind: String,
    name: String,
    unit: String,
    price: String,
    supplier: String,
    since: String,
    said: Option<String>,
}

/// Kinds of things: as kept, as she reads it.
const KINDS: [(&str, &str, PriceKind); 4] = [
    ("cloth", "Cloth", PriceKind::Cloth),
    ("notion", "Notions and trims", PriceKind::Notion),
    ("hour", "Hours", PriceKind::Hour),
    ("other", "Anything else", PriceKind::Other),
];

/// Units that a price may be for.
const UNITS: [(&str, &str, &str); 4] = [
    ("yd", "a yard", ""),
    ("m", "a metre", ""),
    ("piece", "a piece", ""),
    ("hour", "an hour", ""),
];

/// No name is longer.
const LONGEST: usize = 120;

fn kind(text: &str) -> Option<(&'static str, PriceKind)> {
    KINDS
        .iter()
        .find(|(name, ..)| *name == text)
        .map(|(name, _, kind)| (*name, *kind))
}

pub(super) async fn look(
    State(room): State<Arc<Room>>,
    Query(asked): Query<TypedPrice>,
) -> Result<Response, Trouble> {
    shown(room, asked, Vec::new()).await
}

/// A thing with the price that counts today, and every one it ever had.
struct Thing {
    now: Price,
    all: Vec<Price>,
}

async fn shown(
    room: Arc<Room>,
    typed: TypedPrice,
    faults: Vec<(String, String)>,
) -> Result<Response, Trouble> {
    let today = room.today();
    room.book(move |book| {
        let settings = book.settings()?;
        let currency = Habits(&settings).get("quote/currency").to_owned();
        // One that begins later is listed too: it was typed, so it is to be seen.
        let far = Date::LAST;
        let mut things: Vec<Thing> = Vec::new();
        for price in book.prices(far)? {
            let all = book.price_history(price.price.kind, &price.price.name)?;
            let all: Vec<Price> = all
                .into_iter()
                .filter(|p| p.price.demo == price.price.demo && p.put_away.is_none())
                .collect();
            let now = all
                .iter()
                .find(|p| p.price.since <= today)
                .cloned()
                .unwrap_or(price);
            things.push(Thing { now, all });
        }
        let demo = things.iter().any(|t| t.now.price.demo);
        let status = if faults.is_empty() {
            StatusCode::OK
        } else {
            StatusCode::UNPROCESSABLE_ENTITY
        };
        let body = page(&things, &typed, &currency, today, &faults);
        let frame = Frame {
            title: "Price book".into(),
            here: Here::Settings,
            demo,
            ..Frame::default()
        };
        Ok((status, layout::page(&frame, body)).into_response())
    })
    .await
}

fn page(
    things: &[Thing],
    typed: &TypedPrice,
    currency: &str,
    today: Date,
    faults: &[(String, String)],
) -> Markup {
    let fault = |name: &str| {
        faults
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, says)| says.as_str())
    };
    let kinds: Vec<(&str, &str, &str)> = KINDS
        .iter()
        .map(|(value, words, _)| (*value, *words, ""))
        .collect();
    let since = if typed.since.is_empty() {
        today.to_string()
    } else {
        typed.since.clone()
    };
    let help = if currency.is_empty() {
        "With its currency: 28.00 USD.".to_owned()
    } else {
        format!("In {currency}; another currency stands behind it, as 28.00 USD.")
    };
    html! {
        div.quote {
            header {
                h1 { "Price book" }
                p.quietline { "A price is never changed: a newer one is added, and quotes that were given keep theirs." }
            }
            (said(typed.said.as_deref()))
            (summary(faults))
            p.presses { a.press.quiet href="/settings/quote" { "How you quote" } }
            @if things.is_empty() { p { "No prices yet. Write down the first cloth or zip: quotes then fill it in by themselves." } }
            @for (value, words, kind) in KINDS {
                @let of: Vec<&Thing> = things.iter().filter(|t| t.now.price.kind == kind).collect();
                @if !of.is_empty() {
                    section aria-labelledby={ "kind-" (value) } {
                        h2 id={ "kind-" (value) } { (words) }
                        ul.pricelist { @for thing in of { (line(thing, value, today)) } }
                    }
                }
            }
            section aria-labelledby="new-h" {
                h2 #new-h { @if typed.name.is_empty() { "A price" } @else { "A newer price of " (typed.name) } }
                form.entry method="post" action="/settings/prices" {
                    (Field::new("name", "What", &typed.name).fault(fault("name")).required().html())
                    (Choice { name: "kind", legend: "Kind", ways: &kinds, chosen: if typed.kind.is_empty() { "cloth" } else { &typed.kind } }.html())
                    (Field::new("price", "Price of one", &typed.price).fault(fault("price")).help(&help).required().html())
                    (Choice { name: "unit", legend: "It is the price of", ways: &UNITS, chosen: if typed.unit.is_empty() { "yd" } else { &typed.unit } }.html())
                    (Field::new("supplier", "Where it is bought", &typed.supplier).html())
                    (Field::new("since", "Counts from", &since).kind(Kind::Day).fault(fault("since")).html())
                    p.presses { button.press.main { "Enter this price" } }
                }
            }
        }
    }
}

fn line(thing: &Thing, value: &str, today: Date) -> Markup {
    let price = &thing.now.price;
    let date = |d: Date| ENGLISH.locale.date(d);
    let shown =
        |p: &NewPrice| Money::new(p.minor, &p.currency).map_or_else(String::new, |m| m.to_string());
    let newer = format!(
        "/settings/prices?kind={value}&name={}&unit={}&supplier={}#new-h",
        escaped(&price.name),
        escaped(&price.unit),
        escaped(&price.supplier)
    );
    html! {
        li {
            div.thing {
                strong { (price.name) }
                span.n { (shown(price)) }
                span.quietline { "for 1 " (price.unit) ", from " (date(price.since)) @if price.since > today { " (not yet)" } @if !price.supplier.is_empty() { ", " (price.supplier) } }
            }
            @if thing.all.len() > 1 {
                details.fold {
                    summary { "All its prices" span.vh { ": " (price.name) } }
                    ol { @for p in &thing.all { li { span.n { (shown(&p.price)) } " from " (date(p.price.since)) @if !p.price.supplier.is_empty() { ", " (p.price.supplier) } } } }
                }
            }
            div.presses {
                a.press.quiet href=(newer) { "A newer price" span.vh { " of " (price.name) } }
                form method="post" action="/settings/prices/away" {
                    input type="hidden" name="kind" value=(value);
                    input type="hidden" name="name" value=(price.name);
                    button.press.quiet aria-label={ "Put away " (price.name) } { "Put away" }
                }
            }
        }
    }
}

/// A text as it stands in an address.
fn escaped(text: &str) -> String {
    text.bytes()
        .map(|b| match b {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' => char::from(b).to_string(),
            b => format!("%{b:02X}"),
        })
        .collect()
}

pub(super) async fn add(
    State(room): State<Arc<Room>>,
    Form(typed): Form<TypedPrice>,
) -> Result<Response, Trouble> {
    let again = typed.clone();
    let faults = room
        .book(move |book| {
            let settings = book.settings()?;
            let currency = Habits(&settings).get("quote/currency").to_owned();
            let mut faults: Vec<(String, String)> = Vec::new();
            let mut say = |name: &str, says: String| faults.push((name.to_owned(), says));
            let name = typed.name.trim();
            if name.is_empty() {
                say("name", "Say what costs this.".into());
            } else if name.chars().count() > LONGEST {
                say("name", "This name is too long: a few words will do.".into());
            }
            let own = typed.price.trim();
            let money = if own.ends_with(|c: char| c.is_ascii_alphabetic()) {
                Money::read(own)
            } else {
                Money::read(&format!("{own} {currency}"))
            };
            let money = money
                .map_err(|fault| say("price", format!("{} {}", fault.says, fault.hint)))
                .ok();
            let since = Date::read(&typed.since);
            if since.is_none() {
                say("since", "This is no day. Write it like 2026-11-25.".into());
            }
            let unit = UNITS
                .iter()
                .map(|(u, ..)| *u)
                .find(|u| *u == typed.unit)
                .unwrap_or("piece");
            let (_, kind) = kind(&typed.kind).unwrap_or(("other", PriceKind::Other));
            if let (Some(money), Some(since), true) = (money, since, faults.is_empty()) {
                // A thing keeps its letters, whichever way they are typed the next time.
                let known = book.prices(Date::LAST)?;
                let same = known.iter().find(|p| {
                    p.price.kind == kind
                        && p.price.name.to_lowercase() == name.to_lowercase()
                        && !p.price.demo
                });
                book.add_price(&NewPrice {
                    kind,
                    name: same.map_or(name, |p| p.price.name.as_str()).to_owned(),
                    page: same.map_or_else(String::new, |p| p.price.page.clone()),
                    unit: unit.into(),
                    minor: money.minor(),
                    currency: money.currency().to_owned(),
                    supplier: typed.supplier.trim().to_owned(),
                    since,
                    demo: false,
                })?;
            }
            Ok(faults)
        })
        .await?;
    if faults.is_empty() {
        return Ok(Redirect::to("/settings/prices?said=kept").into_response());
    }
    shown(room, again, faults).await
}

pub(super) async fn away(
    State(room): State<Arc<Room>>,
    Form(typed): Form<TypedPrice>,
) -> Result<Redirect, Trouble> {
    room.book(move |book| {
        let (_, kind) = kind(&typed.kind).ok_or_else(|| Trouble::missing("such price"))?;
        Ok(book.put_away_price(kind, &typed.name, true)?)
    })
    .await?;
    Ok(Redirect::to("/settings/prices?said=gone"))
}
