//! How she quotes and buys: currency, hours, margin, tax, parts, the shop's steps.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Form, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use lay::quote::{Fault, Stage};
use lay::shop::Step;
use maud::{Markup, html};
use measure::fraction::{Shown, Unit, show};

use super::habits::{self, Habits};
use super::{Besides, written};
use crate::web::layout::{self, Frame, Here};
use crate::web::parts::field::{Choice, Field, Kind, id, summary};
use crate::web::parts::said::said;
use crate::web::room::Room;
use crate::web::settings::unit;
use crate::web::trouble::Trouble;

pub(super) async fn look(
    State(room): State<Arc<Room>>,
    Query(besides): Query<Besides>,
) -> Result<Response, Trouble> {
    room.book(move |book| Ok(shown(&book.settings()?, &[], besides.said.as_deref())))
        .await
}

fn shown(settings: &BTreeMap<String, String>, faults: &[Fault], code: Option<&str>) -> Response {
    let frame = Frame {
        title: "How you quote".into(),
        here: Here::Settings,
        ..Frame::default()
    };
    let status = if faults.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    (status, layout::page(&frame, page(settings, faults, code))).into_response()
}

fn page(settings: &BTreeMap<String, String>, faults: &[Fault], code: Option<&str>) -> Markup {
    let habits = Habits(settings);
    let unit = unit(settings);
    let fault = |name: &str| {
        faults
            .iter()
            .find(|f| f.place == name)
            .map(|f| format!("{} {}", f.says, f.hint))
    };
    let field = |name: &str, label: &str, help: &str| {
        let fault = fault(name);
        let field = Field::new(name, label, habits.get(name)).fault(fault.as_deref());
        if help.is_empty() {
            field.html()
        } else {
            field.help(help).html()
        }
    };
    let text = |name: &str, label: &str, help: &str| {
        let fault = fault(name);
        Field::new(name, label, habits.get(name))
            .kind(Kind::Text(4))
            .fault(fault.as_deref())
            .help(help)
            .html()
    };
    let top: Vec<(String, String)> = faults
        .iter()
        .map(|f| (f.place.clone(), format!("{} {}", f.says, f.hint)))
        .collect();
    let margin = habits.margin(unit);
    let percent = settings
        .get("shop/margin percent")
        .cloned()
        .unwrap_or_else(|| margin.percent.to_string());
    let length = settings
        .get("shop/margin length")
        .cloned()
        .unwrap_or_else(|| match unit {
            Unit::Inch => "4 in".to_owned(),
            Unit::Cm => show(margin.length, Shown::cm()),
        });
    let step = habits.step(unit);
    html! {
        div.quote {
            header {
                h1 { "How you quote" }
                p.quietline { "A new quote begins with these. Quotes that are made already stay as they are." }
            }
            (said(code))
            (summary(&top))
            p.presses { a.press.quiet href="/settings/prices" { "Price book" } }
            form.quoteform method="post" action="/settings/quote" {
                section aria-labelledby="money-h" {
                    h2 #money-h { "Money" }
                    div.twoboxes {
                    (field("quote/currency", "Currency", "Its three letters: EUR, USD, NGN."))
                    (field("quote/rate", "An hour of your work", ""))
                    (field("quote/overhead", "Overhead for each hour", "Rent, power, machines, the office."))
                    (field("quote/waste", "Waste, percent of the materials", "5 to 10 is usual."))
                    (field("quote/margin", "Margin, percent of the price", "15 % of the price is 17.65 % on the cost."))
                    (field("quote/tax", "Tax, percent", "0 where there is none."))
                    (field("quote/tax name", "What the tax is called", ""))
                    (field("quote/rounding", "Round the total to", "Empty for the smallest coin; 1 for whole ones, 5, 10."))
                    }
                    (Choice { name: "quote/tax way", legend: "The tax", ways: &[("added", "comes on top of the price", ""), ("within", "is in the price already", "")], chosen: habits.get("quote/tax way") }.html())
                    (Choice { name: "quote/round way", legend: "Round", ways: &[("nearest", "to the nearest", ""), ("up", "always up", "")], chosen: habits.get("quote/round way") }.html())
                }
                section aria-labelledby="hours-h" {
                    h2 #hours-h { "Hours of a skirt" }
                    p.help { "A guide until you know your own: what it really took is logged under each order." }
                    div.twoboxes {
                    @for stage in Stage::ALL {
                        @let name = format!("quote/hours/{}", stage.name());
                        @let told = fault(&name);
                        (Field::new(&name, written::stage(stage), habits.hours(stage)).fault(told.as_deref()).html())
                    }
                    (field("quote/fittings", "How many fittings", "A skirt has 1 or 2, a gown 3 or 4."))
                    }
                }
                section aria-labelledby="shop-h" {
                    h2 #shop-h { "At the shop" }
                    div.field {
                        label for=(id("shop/step")) { "The shop sells in steps of" }
                        select.box id=(id("shop/step")) name="shop/step" {
                            @for each in Step::ALL { option value=(each.name()) selected[each == step] { (each.name()) } }
                        }
                    }
                    @let told = fault("shop/margin percent");
                    (Field::new("shop/margin percent", "Keep beyond the lay, percent", &percent).fault(told.as_deref()).help("For flaws. Lay and margin are rounded up together, once.").html())
                    @let told = fault("shop/margin length");
                    (Field::new("shop/margin length", "and a length", &length).fault(told.as_deref()).help("For straightening the end.").html())
                }
                section aria-labelledby="sheet-h" {
                    h2 #sheet-h { "On the sheet" }
                    (text("quote/from", "Under the workroom's name", "Address, telephone: a line each."))
                    (text("quote/parts", "How it is paid", "A line each: when = how much. With the order = 50 %"))
                    (field("quote/last", "The last part", ""))
                    (field("quote/weeks", "A quote holds for so many weeks", "It never reaches the day of the event."))
                    (Choice { name: "quote/show", legend: "She sees", ways: &[
                        ("stages", "the work by stages", "margin, waste and overhead are in the lines"),
                        ("one line", "the work as one line", "the hours are hidden too"),
                        ("inside", "everything", "margin, waste and overhead as lines"),
                    ], chosen: habits.get("quote/show") }.html())
                    (text("quote/terms", "Agreed", "A line each."))
                }
                p.presses { button.press.main { "Keep" } }
            }
        }
    }
}

pub(super) async fn keep(
    State(room): State<Arc<Room>>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    room.book(move |book| match habits::of_form(&pairs) {
        Ok(all) => {
            let all: Vec<(&str, Option<&str>)> = all
                .iter()
                .map(|(n, v)| (n.as_str(), Some(v.as_str())))
                .collect();
            book.set_all(&all)?;
            Ok(Redirect::to("/settings/quote?said=kept").into_response())
        }
        Err(faults) => {
            let mut typed = book.settings()?;
            typed.extend(pairs);
            Ok(shown(&typed, &faults, None))
        }
    })
    .await
}
