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
use crate::web::order::both::Both;
use crate::web::parts::field::{Choice, Field, Kind, id, summary};
use crate::web::parts::said::said;
use crate::web::room::Room;
use crate::web::settings::{mark, quarrel, unit};
use crate::web::trouble::Trouble;

/// The boxes that are typed in, with their words.
const BOXES: [(&str, &str); 16] = [
    ("quote/currency", "Currency"),
    ("quote/rate", "An hour of your work"),
    ("quote/overhead", "Overhead for each hour"),
    ("quote/waste", "Waste, percent of the materials"),
    ("quote/margin", "Margin, percent of the price"),
    ("quote/tax", "Tax, percent"),
    ("quote/tax name", "What the tax is called"),
    ("quote/rounding", "Round the total to"),
    ("quote/fittings", "How many fittings"),
    ("shop/margin percent", "Keep beyond the lay, percent"),
    ("shop/margin length", "and a length"),
    ("quote/from", "Under the workroom's name"),
    ("quote/parts", "How it is paid"),
    ("quote/last", "The last part"),
    ("quote/weeks", "A quote holds for so many weeks"),
    ("quote/terms", "Agreed"),
];

/// What is chosen of a few: its name, its words, and the few with theirs.
type Few = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str, &'static str)],
);

const TAX_WAY: Few = (
    "quote/tax way",
    "The tax",
    &[
        ("added", "comes on top of the price", ""),
        ("within", "is in the price already", ""),
    ],
);
const ROUND_WAY: Few = (
    "quote/round way",
    "Round",
    &[("nearest", "to the nearest", ""), ("up", "always up", "")],
);
const SHOW: Few = (
    "quote/show",
    "She sees",
    &[
        (
            "stages",
            "the work by stages",
            "margin, waste and overhead are in the lines",
        ),
        (
            "one line",
            "the work as one line",
            "the hours are hidden too",
        ),
        (
            "inside",
            "everything",
            "margin, waste and overhead as lines",
        ),
    ],
);
const STEP: (&str, &str) = ("shop/step", "The shop sells in steps of");

/// The words of a box.
fn label(name: &str) -> &'static str {
    let found = BOXES.iter().find(|(known, _)| *known == name);
    found.map_or("", |(_, label)| *label)
}

/// The setting of a stage's hours.
fn hours(stage: Stage) -> String {
    format!("quote/hours/{}", stage.name())
}

/// All settings of this page.
fn names() -> Vec<String> {
    let boxes = BOXES.iter().map(|(name, _)| (*name).to_owned());
    let few = [TAX_WAY.0, ROUND_WAY.0, SHOW.0, STEP.0].map(str::to_owned);
    boxes.chain(few).chain(Stage::ALL.map(hours)).collect()
}

/// Their mark as they are kept.
fn seen(settings: &BTreeMap<String, String>) -> String {
    let names = names();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    mark(settings, &names)
}

/// What stands in a box: as it is set, or what holds until then.
fn stands(settings: &BTreeMap<String, String>, name: &str) -> String {
    let habits = Habits(settings);
    let unit = unit(settings);
    let margin = || habits.margin(unit);
    let set = settings.get(name).cloned();
    match name {
        "shop/margin percent" => set.unwrap_or_else(|| margin().percent.to_string()),
        "shop/margin length" => set.unwrap_or_else(|| match unit {
            Unit::Inch => "4 in".to_owned(),
            Unit::Cm => show(margin().length, Shown::cm()),
        }),
        _ => habits.get(name).to_owned(),
    }
}

/// All of it in words, a line each, to be set beside another: what is empty is left out.
fn in_words(settings: &BTreeMap<String, String>) -> String {
    let habits = Habits(settings);
    let boxes = BOXES.map(|(name, label)| (label, stands(settings, name)));
    let few = [TAX_WAY, ROUND_WAY, SHOW].map(|(name, legend, ways)| {
        let now = habits.get(name);
        let found = ways.iter().find(|(known, ..)| *known == now);
        (legend, found.map_or(now, |(_, words, _)| *words).to_owned())
    });
    let step = habits.step(unit(settings)).name().to_owned();
    let hours = Stage::ALL.map(|s| (written::stage(s), habits.hours(s).to_owned()));
    let all = boxes.into_iter().chain(few).chain([(STEP.1, step)]);
    let lines: Vec<String> = all
        .chain(hours)
        .filter(|(_, text)| !text.trim().is_empty())
        .map(|(label, text)| format!("{label}: {}", text.trim()))
        .collect();
    lines.join("\n")
}

pub(super) async fn look(
    State(room): State<Arc<Room>>,
    Query(besides): Query<Besides>,
) -> Result<Response, Trouble> {
    room.book(move |book| {
        let settings = book.settings()?;
        let seen = seen(&settings);
        Ok(shown(&settings, &seen, &[], besides.said.as_deref()))
    })
    .await
}

/// The page; `seen` is the mark of what was kept when it was made.
fn shown(
    settings: &BTreeMap<String, String>,
    seen: &str,
    faults: &[Fault],
    code: Option<&str>,
) -> Response {
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
    let page = page(settings, seen, faults, code);
    (status, layout::page(&frame, page)).into_response()
}

fn page(
    settings: &BTreeMap<String, String>,
    seen: &str,
    faults: &[Fault],
    code: Option<&str>,
) -> Markup {
    let habits = Habits(settings);
    let fault = |name: &str| {
        faults
            .iter()
            .find(|f| f.place == name)
            .map(|f| format!("{} {}", f.says, f.hint))
    };
    let field = |name: &str, help: &str| {
        let (fault, now) = (fault(name), stands(settings, name));
        let field = Field::new(name, label(name), &now).fault(fault.as_deref());
        if help.is_empty() {
            field.html()
        } else {
            field.help(help).html()
        }
    };
    let text = |name: &str, help: &str| {
        let fault = fault(name);
        Field::new(name, label(name), habits.get(name))
            .kind(Kind::Text(4))
            .fault(fault.as_deref())
            .help(help)
            .html()
    };
    let top: Vec<(String, String)> = faults
        .iter()
        .map(|f| (f.place.clone(), format!("{} {}", f.says, f.hint)))
        .collect();
    let few = |(name, legend, ways): Few| {
        let chosen = habits.get(name);
        Choice {
            name,
            legend,
            ways,
            chosen,
        }
        .html()
    };
    let step = habits.step(unit(settings));
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
                input type="hidden" name="seen" value=(seen);
                section aria-labelledby="money-h" {
                    h2 #money-h { "Money" }
                    div.twoboxes {
                    (field("quote/currency", "Its three letters: EUR, USD, NGN."))
                    (field("quote/rate", ""))
                    (field("quote/overhead", "Rent, power, machines, the office."))
                    (field("quote/waste", "5 to 10 is usual."))
                    (field("quote/margin", "15 % of the price is 17.65 % on the cost."))
                    (field("quote/tax", "0 where there is none."))
                    (field("quote/tax name", ""))
                    (field("quote/rounding", "Empty for the smallest coin; 1 for whole ones, 5, 10."))
                    }
                    (few(TAX_WAY))
                    (few(ROUND_WAY))
                }
                section aria-labelledby="hours-h" {
                    h2 #hours-h { "Hours of a skirt" }
                    p.help { "A guide until you know your own: what it really took is logged under each order." }
                    div.twoboxes {
                    @for stage in Stage::ALL {
                        @let name = hours(stage);
                        @let told = fault(&name);
                        (Field::new(&name, written::stage(stage), habits.hours(stage)).fault(told.as_deref()).html())
                    }
                    (field("quote/fittings", "A skirt has 1 or 2, a gown 3 or 4."))
                    }
                }
                section aria-labelledby="shop-h" {
                    h2 #shop-h { "At the shop" }
                    div.field {
                        label for=(id(STEP.0)) { (STEP.1) }
                        select.box id=(id(STEP.0)) name=(STEP.0) {
                            @for each in Step::ALL { option value=(each.name()) selected[each == step] { (each.name()) } }
                        }
                    }
                    (field("shop/margin percent", "For flaws. Lay and margin are rounded up together, once."))
                    (field("shop/margin length", "For straightening the end."))
                }
                section aria-labelledby="sheet-h" {
                    h2 #sheet-h { "On the sheet" }
                    (text("quote/from", "Address, telephone: a line each."))
                    (text("quote/parts", "A line each: when = how much. With the order = 50 %"))
                    (field("quote/last", ""))
                    (field("quote/weeks", "It never reaches the day of the event."))
                    (few(SHOW))
                    (text("quote/terms", "A line each."))
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
    let sent = pairs.iter().find(|(name, _)| name == "seen");
    let seen = sent.map_or_else(String::new, |(_, seen)| seen.clone());
    room.book(move |book| match habits::of_form(&pairs) {
        Ok(all) => {
            let kept = book.settings()?;
            let names = names();
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            let set: Vec<(&str, Option<&str>)> = all
                .iter()
                .map(|(n, v)| (n.as_str(), Some(v.as_str())))
                .collect();
            if quarrel(&kept, &names, &seen, &set) {
                return Err(two_ways(&pairs, &all, &kept));
            }
            book.set_all(&set)?;
            Ok(Redirect::to("/settings/quote?said=kept").into_response())
        }
        Err(faults) => {
            let mut typed = book.settings()?;
            typed.extend(pairs);
            Ok(shown(&typed, &seen, &faults, None))
        }
    })
    .await
}

/// Another window kept other ways meanwhile: both are shown, and she keeps one. `pairs` are what her form
/// sent, `all` is what they set.
fn two_ways(
    pairs: &[(String, String)],
    all: &[(String, String)],
    kept: &BTreeMap<String, String>,
) -> Trouble {
    let mut mine = kept.clone();
    mine.extend(all.iter().cloned());
    let now = seen(kept);
    let mut fields: Vec<(&str, &str)> = pairs
        .iter()
        .filter(|(name, _)| name != "seen" && name != "do")
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    fields.push(("seen", &now));
    Both {
        what: "How you quote",
        mine: &in_words(&mine),
        theirs: &in_words(kept),
        action: "/settings/quote".to_owned(),
        fields: &fields,
        press: ("do", "keep"),
        back: "/settings/quote".to_owned(),
    }
    .trouble()
}
