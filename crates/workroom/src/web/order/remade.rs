//! Made again: the same garment a year or two later, from her newer card, with the old corrections offered.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Book, CardNo, NewOrder, OrderNo};
use maud::{Markup, html};
use measure::fraction::{Shown, Unit, show};
use measure::{Date, Length};

use super::begin::card_words;
use super::{Sent, called, number, sent};
use crate::web::card::lengths_that_count;
use crate::web::layout::{Frame, Here, OrderHead, Stage, page};
use crate::web::parts::day;
use crate::web::parts::field::{Field, summary};
use crate::web::parts::number::told;
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::working;

/// What changed by more than this since is shown.
const ASK_MM: f64 = 25.4;

/// What the page needs.
struct Asks {
    order: book::Order,
    client: book::Client,
    holds: BTreeMap<String, String>,
    old: Option<book::Card>,
    cards: Vec<book::Card>,
    /// Each card with what changed by more than an inch since the old one.
    changed: Vec<(CardNo, Vec<String>)>,
    /// Key, and what it says.
    corrections: Vec<(String, String)>,
    today: Date,
}

impl Asks {
    fn load(book: &Book, number: OrderNo, today: Date) -> Result<Self, Trouble> {
        let order = book.order(number)?;
        let client = book.client_by_id(order.client)?;
        let holds = book.holds(number)?;
        let cards = book.cards(client.number)?;
        let old = working::card_of(book, &order, &holds)?;
        let mut changed = Vec::new();
        if let Some(old) = &old {
            for card in cards.iter().filter(|c| c.id != old.id) {
                changed.push((card.number, differences(book, old, card)?));
            }
        }
        let unit = old.as_ref().map_or(Unit::Inch, working::unit);
        let corrections = holds
            .iter()
            .filter(|(key, _)| key.starts_with("correction/"))
            .map(|(key, page)| (key.clone(), correction_words(page, Shown::usual(unit))))
            .collect();
        Ok(Self {
            order,
            client,
            holds,
            old,
            cards,
            changed,
            corrections,
            today,
        })
    }
}

/// What a correction says: where it is, how the edge moves, and her words beside it.
pub(super) fn correction_words(page: &str, shown: Shown) -> String {
    let Ok(all) = crate::corrections::read(page) else {
        return "A correction that can\u{2019}t be read any more.".to_owned();
    };
    let said: Vec<String> = all
        .iter()
        .map(|c| {
            let words = c.words.trim();
            let sentence = c.sentence(shown);
            if words.is_empty() {
                sentence
            } else {
                format!("{sentence} {words}")
            }
        })
        .collect();
    said.join(" ")
}

/// The measures that are more than an inch apart, in words.
pub(super) fn differences(
    book: &Book,
    old: &book::Card,
    new: &book::Card,
) -> Result<Vec<String>, Trouble> {
    let counts = |card: &book::Card| -> Result<BTreeMap<String, f64>, Trouble> {
        Ok(lengths_that_count(&book.readings(card.id)?))
    };
    let (before, now) = (counts(old)?, counts(new)?);
    let shown = Shown::usual(working::unit(new));
    let mut out = Vec::new();
    for (measure, was) in &before {
        let Some(is) = now.get(measure).filter(|is| (*is - was).abs() > ASK_MM) else {
            continue;
        };
        let length = |mm: f64| show(Length::mm(mm), shown);
        out.push(format!("{measure} {} to {}", length(*was), length(*is)));
    }
    Ok(out)
}

pub(super) async fn ask(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
) -> Result<Markup, Trouble> {
    let number = number(&order)?;
    let today = room.today();
    room.book(move |book| {
        let asks = Asks::load(book, number, today)?;
        Ok(form_page(&asks, &Sent::new(), &[]))
    })
    .await
}

fn form_page(asks: &Asks, form: &Sent, faults: &[(String, String)]) -> Markup {
    let order = asks.order.number;
    let frame = Frame {
        title: format!("{} again", called(&asks.order)),
        here: Here::Clients,
        order: Some(OrderHead {
            number: order,
            stage: Stage::Order,
        }),
        demo: asks.order.demo,
        ..Frame::default()
    };
    let first = asks.cards.first().map(|c| c.number.to_string());
    let chosen = match sent(form, "card") {
        "" => first.unwrap_or_default(),
        card => card.to_owned(),
    };
    page(
        &frame,
        html! {
            div.narrow.stack.full {
                h1 { (called(&asks.order)) ", once more for " (asks.client.about.name) }
                (summary(faults))
                p { "A new order by the same method, as it was kept then, with the same choices and cloth. This one stays as it is." }
                @if asks.cards.is_empty() {
                    p.lead { "She has no card. Measure her first." }
                }
                form.stack.full method="post" action={ "/orders/" (order) "/again" } {
                    (Field::new("title", "What is made, in your words", form.get("title").map_or(asks.order.title.as_str(), String::as_str)).html())
                    fieldset.choose {
                        legend { "From which card" }
                        @for card in &asks.cards {
                            label {
                                input type="radio" name="card" value=(card.number) checked[card.number.to_string() == chosen];
                                span {
                                    (card_words(card, asks.today))
                                    @if asks.old.as_ref().is_some_and(|o| o.id == card.id) { ": the one it was made from" }
                                    @for (_, all) in asks.changed.iter().filter(|(n, all)| *n == card.number && !all.is_empty()) {
                                        br; span.help { "More than an inch apart since: " (told(&all.join(", "))) "." }
                                    }
                                }
                            }
                        }
                    }
                    p.help { a href={ "/clients/" (asks.client.number) "/cards/new" } { "Measure her anew first" } " where much time has gone by." }
                    @if asks.corrections.is_empty() {
                        p.help { "Nothing was corrected on it after a fitting." }
                    } @else {
                        fieldset.choose {
                            legend { "Corrections of then, to be made again" }
                            @for (key, says) in &asks.corrections {
                                label {
                                    input type="checkbox" name=(key) value="yes" checked[form.contains_key(key)];
                                    span { (told(says)) }
                                }
                            }
                        }
                        p.help { "They were pinned on her as she was then. Take only those that are her shape, not the day." }
                    }
                    label.tickline {
                        input type="checkbox" name="toile" value="yes" checked[form.contains_key("toile")];
                        span { "A toile first" }
                    }
                    p.presses {
                        button.press.main { "Begin it" }
                        a.press.quiet href={ "/orders/" (order) } { "Not now" }
                    }
                }
                @if let Some(old) = &asks.old { p.help { "It was made from the card of " (day::long(old.head.taken)) "." } }
            }
        },
    )
}

/// What a later order holds of an earlier one: method, choices, cloths; not its card, its notes, its
/// corrections, its quote.
pub(super) fn design(holds: &BTreeMap<String, String>) -> Vec<(String, String)> {
    holds
        .iter()
        .filter(|(key, _)| {
            matches!(
                key.as_str(),
                "method" | "methods" | "predict" | "allowances"
            ) || key.starts_with("choice/")
                || key.starts_with("cloth/")
        })
        .map(|(key, value)| (key.clone(), value.clone()))
        .collect()
}

pub(super) async fn make(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let number = number(&order)?;
    let today = room.today();
    room.book(move |book| {
        let asks = Asks::load(book, number, today)?;
        let card = asks
            .cards
            .iter()
            .find(|c| c.number.to_string() == sent(&form, "card"));
        let Some(card) = card else {
            let says = "From which card? Choose one, or measure her anew.".to_owned();
            let page = form_page(&asks, &form, &[("card".into(), says)]);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        };
        let mut new = NewOrder::of(asks.client.number);
        new.after = Some(number);
        sent(&form, "title").clone_into(&mut new.title);
        new.method.clone_from(&asks.order.method);
        new.holds = design(&asks.holds);
        new.holds.push(("card".into(), card.id.to_string()));
        let stage = if form.contains_key("toile") {
            "toile"
        } else {
            "cloth"
        };
        new.holds.push(("stage".into(), stage.into()));
        let wanted = |key: &str| key.starts_with("correction/") && form.contains_key(key);
        let hers = asks.holds.iter().filter(|(key, _)| wanted(key));
        new.holds
            .extend(hers.map(|(key, page)| (key.clone(), page.clone())));
        let made = book.new_order(&new)?;
        Ok(Redirect::to(&format!("/orders/{made}?said=begun")).into_response())
    })
    .await
}
