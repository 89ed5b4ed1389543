//! The order on one sheet: to print, and to hang beside the cloth.

use std::sync::Arc;

use axum::extract::{Path, State};
use book::{Book, DayState, OrderNo, VersionLine};
use draft::Worked;
use maud::{Markup, html};
use measure::Date;

use super::begin::card_words;
use super::remade::correction_words;
use super::signed::{Now, Signed};
use super::{called, days, number};
use crate::shelf;
use crate::web::card::{as_it_counts, wanted};
use crate::web::layout::{Frame, Here, OrderHead, Stage, page};
use crate::web::parts::day;
use crate::web::parts::number::told;
use crate::web::room::Room;
use crate::web::table::hand;
use crate::web::trouble::Trouble;
use crate::web::working::OnTable;

struct Held {
    on: OnTable,
    /// Measure and what counts of it, in the order in which they are taken.
    measures: Vec<(String, String)>,
    days: Vec<book::Day>,
    versions: Vec<VersionLine>,
    quotes: Vec<book::Quote>,
    today: Date,
}

fn load(book: &Book, number: OrderNo, today: Date) -> Result<Held, Trouble> {
    let on = OnTable::load(book, number)?;
    let measures = match &on.card_row {
        Some(card) => {
            let method = on.holds.get("method").map(String::as_str);
            let hers = book.setting(wanted::ORDER)?.unwrap_or_default();
            as_it_counts(card, &book.readings(card.id)?, method, &hers)
        }
        None => Vec::new(),
    };
    Ok(Held {
        days: book.days(number)?,
        versions: book.versions(number)?,
        quotes: book.quotes(number)?,
        measures,
        on,
        today,
    })
}

pub(super) async fn sheet(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
) -> Result<Markup, Trouble> {
    let number = number(&order)?;
    let today = room.today();
    let held = room.book(move |book| load(book, number, today)).await?;
    room.work(move || {
        let worked = held.on.redraw();
        let sound = held.on.in_the_way(&worked).is_empty();
        sheet_page(&held, &worked, sound)
    })
    .await
}

/// The sign-off, and that the order is another one since where it is.
fn signed_off(held: &Held, worked: &Worked, paper: Option<(&VersionLine, bool)>) -> String {
    let Some(signed) = Signed::read(&held.on.holds) else {
        return String::new();
    };
    let now = Now::of(&held.on, worked, Some(&signed), paper, &held.quotes);
    let mut said = vec![format!("{}.", signed.told())];
    said.extend(signed.since(&now));
    if !signed.known() {
        said.push("For which draft was not kept.".to_owned());
    }
    said.join(" ")
}

fn sheet_page(held: &Held, worked: &Worked, sound: bool) -> Markup {
    let on = &held.on;
    let order = &on.order;
    let about = &on.client.about;
    let frame = Frame {
        title: format!("Order {} on one sheet", order.number),
        here: Here::Clients,
        order: Some(OrderHead {
            number: order.number,
            stage: Stage::Order,
        }),
        demo: order.demo,
        ..Frame::default()
    };
    let hold = |key: &str| on.holds.get(key).map_or("", String::as_str);
    let toile = on.toile_first();
    let paper = on.paper(worked, &held.versions);
    let unit = on
        .card_row
        .as_ref()
        .map_or("", |card| card.head.unit.sign());
    let head = [
        ("For", about.name.clone()),
        ("Contact", about.contact.clone()),
        ("Allergies", about.allergies.clone()),
        ("Consent is given by", about.guardian.clone()),
        (
            "Card",
            on.card_row
                .as_ref()
                .map(|c| card_words(c, held.today))
                .unwrap_or_default(),
        ),
        (
            "Worn under it",
            on.card_row
                .as_ref()
                .map(|c| c.head.foundation.clone())
                .unwrap_or_default(),
        ),
        (
            "Shoes",
            on.card_row
                .as_ref()
                .map(|c| c.head.shoes.clone())
                .unwrap_or_default(),
        ),
        ("Method", shelf::title(hold("method"))),
        (
            "Cloth",
            on.cloth
                .as_ref()
                .map(|c| check::told::capital(&c.name))
                .unwrap_or_default(),
        ),
        (
            "Paper",
            paper
                .map(|(v, changed)| {
                    let made = day::long(v.made.day());
                    let since = if changed {
                        "; the draft was changed afterwards"
                    } else {
                        ""
                    };
                    format!("version {}, {}, {made}{since}", v.number, v.mark)
                })
                .unwrap_or_default(),
        ),
        ("Signed off", signed_off(held, worked, paper)),
    ];
    page(
        &frame,
        html! {
            div.ordersheet {
                div.top {
                    h1 { @if toile { "Toile: " } (called(order)) }
                    p.small { "Order " (order.number) ", as it stands on " (day::long(held.today)) }
                    p.presses.noprint {
                        a.press href={ "/orders/" (order.number) } { "Back to the order" }
                        span.help { "Print it as you print any page." }
                    }
                }
                dl.about { @for (word, text) in head.iter().filter(|(_, t)| !t.trim().is_empty()) { div { dt { (word) } dd { (text) } } } }
                section.keep {
                    h2 { "Days" }
                    @if held.days.is_empty() { p { "None set." } }
                    ul.leaders {
                        @for d in held.days.iter().filter(|d| d.state != DayState::Cancelled) {
                            li { span { (days::called(&d.day)) } span.lead {} span { (day::named(d.day.on)) " " (d.day.on.year()) @let state = days::state_word(d, held.today); @if !state.is_empty() { ", " (state) } } }
                        }
                    }
                }
                div.cols {
                    section {
                        h2 { "Measures" @if !unit.is_empty() { ", " (unit) } }
                        ul.leaders {
                            @for (measure, text) in &held.measures {
                                li { span { (check::told::capital(measure)) } span.lead {} span.n { (told(text)) } }
                            }
                        }
                    }
                    section.choices {
                        h2 { "Choices" }
                        @if !sound { p { "The draft can’t be drawn yet." } }
                        ul.leaders {
                            @for choice in worked.choices.iter().filter(|c| c.offered || c.set) {
                                li { span { (choice.label) } span.lead {} span.n { (told(&hand::kept(&choice.value, on.shown))) } }
                            }
                        }
                    }
                }
                @let corrections: Vec<String> = on.holds.iter().filter(|(k, _)| k.starts_with("correction/")).map(|(_, json)| correction_words(json, on.shown)).collect();
                @if !corrections.is_empty() {
                    section.keep { h2 { "Corrections after fittings" } ul { @for c in &corrections { li { (told(c)) } } } }
                }
                @if !hold("note").is_empty() { section { h2 { "Notes" } p.written { (hold("note")) } } }
                section.keep {
                    h2 { "Written by hand" }
                    div.blanklines aria-hidden="true" { span {} span {} span {} span {} }
                }
            }
        },
    )
}
