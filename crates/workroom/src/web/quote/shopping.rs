//! What to buy, by the width of the cloth, with the notions: for one order, or for all on the table.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Path, State};
use book::{OrderNo, Which};
use lay::quote::{Asked, Count, Goods, Kind};
use lay::{Cloth, Exact, Sold};
use maud::{Markup, html};
use measure::Length;
use measure::fraction::{Shown, show};

use super::prefill::{self, ChosenLay};
use super::{Known, number_of, written};
use crate::web::layout::{self, Frame, Here};
use crate::web::parts::number::told;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

/// How long a chosen lay comes on cloth that has not shrunk yet: what `lay.json` says it buys for, or
/// else what the lay takes; nothing, where all of it lies on scraps.
pub(super) fn chosen(lay: &book::Lay) -> Option<ChosenLay> {
    let found: serde_json::Value = serde_json::from_str(&lay.found).ok()?;
    let number = |v: Option<&serde_json::Value>| v.and_then(serde_json::Value::as_f64);
    let shrinks = number(found.pointer("/cloth/shrink_along")).unwrap_or(0.0);
    let unshrunk = |mm: f64| lay::shop::before_shrinking(Length::try_mm(mm)?, shrinks).ok();
    let length = number(found.pointer("/buy/lay_mm"))
        .and_then(Length::try_mm)
        .or_else(|| unshrunk(number(found.get("takes_mm"))?))
        .or_else(|| unshrunk(number(found.get("length_mm"))?))?;
    // All of it lies on scraps: then it is chosen, and nothing is bought for it.
    let some = |key: &str| {
        let all = found.get(key).and_then(serde_json::Value::as_array);
        all.is_some_and(|a| !a.is_empty())
    };
    let on_scraps = length == Length::ZERO && !some("pieces") && some("scraps");
    (length > Length::ZERO || on_scraps).then(|| ChosenLay {
        cloth: lay.cloth.clone(),
        length,
    })
}

/// One thing to buy.
struct Item {
    words: String,
    amount: String,
    /// It lies in her cupboard, and is enough.
    there: bool,
    note: String,
    order: OrderNo,
    title: String,
    /// `kind/words/unit`, by which the amounts of several orders are added.
    key: String,
    count: Count,
    exact: Exact,
}

/// Cloths by width, then the rest.
#[derive(Default)]
struct List {
    /// By the width in tenths of a millimetre, widest first; what has none stands last.
    widths: BTreeMap<core::cmp::Reverse<i64>, (String, Vec<Item>)>,
    notions: Vec<Item>,
    /// Orders whose quote can't be read yet.
    missing: Vec<(OrderNo, String)>,
}

impl List {
    fn add(
        &mut self,
        known: &Known,
        asked: &Asked,
        typed: &super::Typed,
        cloths: &[(String, Cloth)],
    ) {
        let shown = known.shown;
        for (at, goods) in asked.goods.iter().enumerate() {
            if goods.hers || goods.amount == Exact::ZERO {
                continue;
            }
            let mut note = typed
                .goods
                .get(at)
                .map(|g| g.note.clone())
                .unwrap_or_default();
            let amount = match written::amount(goods) {
                amount if amount.is_empty() => goods.amount.to_string(),
                amount => amount,
            };
            let hand = at_hand(known, goods, cloths);
            let there = hand.is_some_and(|(_, enough)| enough);
            if let Some((length, enough)) = hand {
                let length = show(length, shown);
                note = if enough {
                    format!("You have {length}, and the quote takes {amount}: nothing to buy.")
                } else {
                    format!("You have {length}: not enough for it by itself. {note}")
                };
            }
            let item = Item {
                words: goods.words.clone(),
                amount: if there { "in hand".into() } else { amount },
                there,
                note,
                order: known.order.number,
                title: known.order.title.clone(),
                key: format!("{}/{}", goods.words.to_lowercase(), goods.count.sign()),
                count: goods.count,
                exact: goods.amount,
            };
            if matches!(goods.kind, Kind::Notion | Kind::Trim) {
                self.notions.push(item);
                continue;
            }
            let width = width_of(&goods.words, goods.kind, cloths);
            let (key, label) = width.map_or((i64::MIN, "Width not known".to_owned()), |w| {
                (tenths(w), wide(w, shown))
            });
            self.widths
                .entry(core::cmp::Reverse(key))
                .or_insert_with(|| (label, Vec::new()))
                .1
                .push(item);
        }
    }

    fn is_empty(&self) -> bool {
        self.widths.is_empty() && self.notions.is_empty()
    }
}

fn wide(width: Length, shown: Shown) -> String {
    format!("{} wide", show(width, shown))
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "no cloth is wider than a few metres"
)]
fn tenths(width: Length) -> i64 {
    (width.in_mm() * 10.0).round() as i64
}

/// The length of a line's cloth that she has, and whether it is enough: for the chosen lay, or else for what
/// the line says.
fn at_hand(known: &Known, goods: &Goods, cloths: &[(String, Cloth)]) -> Option<(Length, bool)> {
    let (called, cloth) = cloth_of(&goods.words, goods.kind, cloths)?;
    let length = cloth.in_hand?;
    let lay = known.lays.iter().find(|l| l.cloth == *called);
    let needed = lay.map(|l| l.length).or_else(|| {
        let one = match goods.count {
            Count::Yard => Sold::Yard.length(),
            Count::Metre => Sold::Metre.length(),
            Count::Piece => return None,
        };
        Some(one * goods.amount.roughly())
    })?;
    Some((length, length >= needed))
}

/// How wide the cloth of a line is.
fn width_of(words: &str, kind: Kind, cloths: &[(String, Cloth)]) -> Option<Length> {
    cloth_of(words, kind, cloths).and_then(|(_, c)| c.width)
}

/// The cloth of a line: the order's of that name, else of that kind.
fn cloth_of<'a>(
    words: &str,
    kind: Kind,
    cloths: &'a [(String, Cloth)],
) -> Option<&'a (String, Cloth)> {
    let words = words.to_lowercase();
    let named = cloths.iter().find(|(_, c)| {
        !c.name.trim().is_empty() && words.starts_with(&c.name.trim().to_lowercase())
    });
    let called = match kind {
        Kind::Cloth => "shell",
        Kind::Lining => "lining",
        Kind::Interlining => "interlining",
        Kind::Net => "net",
        Kind::Notion | Kind::Trim => return None,
    };
    named.or_else(|| cloths.iter().find(|(c, _)| c == called))
}

/// The same thing for several orders, added up.
fn together(items: &[Item]) -> Vec<(String, String)> {
    let mut sums: BTreeMap<&str, (&Item, Option<Exact>, usize)> = BTreeMap::new();
    for item in items.iter().filter(|i| !i.there) {
        let entry = sums
            .entry(&item.key)
            .or_insert((item, Some(Exact::ZERO), 0));
        entry.1 = entry.1.and_then(|sum| sum.plus(item.exact));
        entry.2 += 1;
    }
    let said = |item: &Item, sum: Exact| match item.count {
        Count::Yard => format!("{} yd", sum.fraction()),
        Count::Metre => format!("{sum} m"),
        Count::Piece => sum.to_string(),
    };
    sums.into_values()
        .filter(|(_, _, orders)| *orders > 1)
        .filter_map(|(item, sum, _)| Some((item.words.clone(), said(item, sum?))))
        .collect()
}

fn page(title: &str, facts: &str, list: &List, back: Option<&str>, many: bool) -> Markup {
    html! {
        div.quote.shopping {
            header { h1 { (title) } p.quietline { (facts) } }
            @if let Some(back) = back {
                p.presses.noprint {
                    a.press.quiet href={ (back) "/quote" } { "Back to the quote" }
                    a.press.quiet href={ (back) "/cloth" } { "The cloth bought is another? Change it and lay it again" }
                    a.press.quiet href="/shopping" { "For all orders" }
                }
            }
            @if list.is_empty() { p { "There is nothing to buy yet: keep a quote first, and its cloth and notions are listed here." } }
            @for (label, items) in list.widths.values() {
                section.keep { h2 { (told(label)) } (lines(items, many)) (sums(items)) }
            }
            @if !list.notions.is_empty() {
                section.keep { h2 { "Notions and trims" } (lines(&list.notions, many)) (sums(&list.notions)) }
            }
            @if !list.missing.is_empty() {
                section {
                    h2 { "Not quoted yet" }
                    ul.missing { @for (order, title) in &list.missing { li { a.press.quiet href={ "/orders/" (order) "/quote" } { "Order " (order) ", " (title) } } } }
                }
            }
        }
    }
}

fn lines(items: &[Item], many: bool) -> Markup {
    html! {
        ul.tobuy {
            @for item in items {
                li {
                    span.tick aria-hidden="true" {}
                    span.item { (told(&item.words)) @if many { span.quietline { " for " a href={ "/orders/" (item.order) "/quote" } { "order " (item.order) } ", " (item.title) } } }
                    span.n { (told(&item.amount)) }
                    @if !item.note.is_empty() { p.help { (told(&item.note)) } }
                }
            }
        }
    }
}

fn sums(items: &[Item]) -> Markup {
    let sums = together(items);
    html! { @for (words, sum) in sums { p { "Together " (told(&words)) ": " strong { (told(&sum)) } } } }
}

/// Adds what an order's quote asks for.
fn take(list: &mut List, known: &Known) {
    let Some(typed) = known.typed() else {
        list.missing
            .push((known.order.number, known.order.title.clone()));
        return;
    };
    match typed.read() {
        Ok(asked) => list.add(known, &asked, &typed, &prefill::cloths(&known.holds)),
        Err(_) => list
            .missing
            .push((known.order.number, known.order.title.clone())),
    }
}

pub(super) async fn of_order(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
) -> Result<Markup, Trouble> {
    let number = number_of(&order)?;
    let today = room.today();
    room.book(move |book| {
        let known = Known::of(book, number, today)?;
        let mut list = List::default();
        take(&mut list, &known);
        let body = page(
            "What to buy",
            &known.facts(),
            &list,
            Some(&format!("/orders/{number}")),
            false,
        );
        Ok(layout::page(&known.frame("What to buy"), body))
    })
    .await
}

pub(super) async fn of_all(State(room): State<Arc<Room>>) -> Result<Markup, Trouble> {
    let today = room.today();
    room.book(move |book| {
        let mut list = List::default();
        let mut orders = book.orders(Which::Open)?;
        // The demo is never mixed in, unless there is nothing else.
        if orders.iter().any(|o| !o.order.demo) {
            orders.retain(|o| !o.order.demo);
        }
        let demo = orders.iter().any(|o| o.order.demo);
        for order in &orders {
            let known = Known::of(book, order.order.number, today)?;
            take(&mut list, &known);
        }
        let facts = match orders.len() {
            1 => "For 1 order on the table".to_owned(),
            n => format!("For {n} orders on the table"),
        };
        let frame = Frame {
            title: "What to buy".into(),
            here: Here::Today,
            demo,
            ..Frame::default()
        };
        Ok(layout::page(
            &frame,
            page("What to buy", &facts, &list, None, true),
        ))
    })
    .await
}
