//! Her way: how lengths are shown, which paper is usual, backups, and what is kept where.

pub(crate) mod carry;
mod keeping;
mod table;
pub(crate) mod waiting;
mod written;

use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Query, State};
use axum::response::Redirect;
use axum::routing::get;
use book::{Backup, Book};
use maud::{Markup, html};
use serde::Deserialize;
use sheet::words::{ENGLISH, LANGUAGES, Words};

use super::card::wanted;
use super::layout::{Frame, Here, page};
use super::parts::day;
use super::parts::field::{Field, Kind};
use super::parts::said::said;
use super::room::Room;
use super::trouble::Trouble;

pub(in crate::web) use table::unit;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/settings", get(show).post(keep))
        .merge(keeping::routes())
        .merge(carry::routes())
        .merge(table::routes())
}

/// What is set on this page, under its name in the book.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Ways {
    name: String,
    unit: String,
    fraction: String,
    paper: String,
    /// The tag of the language of what is printed.
    language: String,
    letters: String,
    /// Ease that she begins with, for the choices that methods call so.
    waist_ease: String,
    hip_ease: String,
    /// The order in which she measures, one a line.
    measures: String,
}

/// Ease defaults: the setting, and the choice of a method that it begins.
const EASES: &[(&str, &str)] = &[
    ("ease/waist ease", "waist ease"),
    ("ease/hip ease", "hip ease"),
];

/// The choices with which an order of this method begins: those of her ease defaults that it offers.
///
/// # Errors
/// When the book can't be read.
pub(crate) fn begins(book: &Book, text: &str) -> Result<Vec<(String, String)>, Trouble> {
    let settings = book.settings()?;
    let reading = draft::read(text);
    Ok(EASES
        .iter()
        .filter(|(_, choice)| {
            let offers = |c: &draft::tree::ChoiceEntry| c.name.name.to_string() == *choice;
            reading.method.choices.iter().any(offers)
        })
        .filter_map(|(setting, choice)| {
            let value = settings.get(*setting).filter(|v| !v.is_empty())?;
            Some((format!("choice/{choice}"), value.clone()))
        })
        .collect())
}

#[derive(Deserialize)]
struct Told {
    said: Option<String>,
}

/// One of several words, as a row to press.
fn pick(name: &str, legend: &str, ways: &[(&str, &str)], chosen: &str) -> Markup {
    html! {
        fieldset.choose {
            legend { (legend) }
            @for (value, words) in ways {
                label { input type="radio" name=(name) value=(value) checked[*value == chosen]; span { (words) } span {} }
            }
        }
    }
}

async fn show(State(room): State<Arc<Room>>, Query(told): Query<Told>) -> Result<Markup, Trouble> {
    let (settings, backups, folder, demo) = room
        .book(|book| {
            let folder = book.folder().map(|f| f.display().to_string());
            Ok((book.settings()?, book.backups(), folder, book.has_demo()?))
        })
        .await?;
    let at = |name: &str| settings.get(name).map_or("", String::as_str);
    let or = |name: &str, usual: &'static str| {
        let value = settings.get(name).map_or("", String::as_str);
        if value.is_empty() {
            usual.to_owned()
        } else {
            value.to_owned()
        }
    };
    let ways = Ways {
        name: at("name").to_owned(),
        unit: or("unit", "card"),
        fraction: or("fraction", "8"),
        paper: or("paper", "a4"),
        language: or("language", ENGLISH.language),
        letters: or("letters", "on"),
        waist_ease: at("ease/waist ease").to_owned(),
        hip_ease: at("ease/hip ease").to_owned(),
        measures: match at(wanted::ORDER) {
            "" => wanted::usual().join("\n"),
            hers => hers.to_owned(),
        },
    };
    let frame = Frame {
        title: "Settings".into(),
        here: Here::Settings,
        ..Frame::default()
    };
    Ok(page(
        &frame,
        html! {
            (said(told.said.as_deref()))
            div.office.settings {
                h1 { "Your way" }
                (ways_form(&ways))
                section aria-labelledby="also-h" {
                    h2 #also-h { "Also" }
                    ul.leaders {
                        li { a href="/settings/allowances" { "Allowances: your own table, for the cloth and for a toile" } }
                        li { a href="/settings/prices" { "Price book: cloths and notions" } }
                        li { a href="/settings/phones" { "Phones at the table" } }
                    }
                }
                (keeping(&backups, folder.as_deref()))
                @if demo {
                    section aria-labelledby="demo-h" {
                        h2 #demo-h { "The demo" }
                        p { "Invented clients, to look round with. They are never counted among yours." }
                        form method="post" action="/settings/demo" { p.presses { button.press { "Take the demo away" } } }
                    }
                }
                section aria-labelledby="care-h" {
                    h2 #care-h { "Take care" }
                    ul.plain {
                        li { "Irons, rotary cutters and shears hurt: as their makers say, and the blade closed when it lies down." }
                        li { "Trains and long hems: lift them on stairs and escalators, keep them from doors and open flames." }
                        li { "Tight boning and narrow hems: let her sit, breathe and walk before the cloth is cut." }
                    }
                    p.help { "These are the usual cautions. Local rules and licensed practice come first." }
                }
                section aria-labelledby="about-h" {
                    h2 #about-h { "About" }
                    p { "Ellwand " (env!("CARGO_PKG_VERSION")) ". Nothing leaves this computer by itself." }
                }
            }
        },
    ))
}

/// The first line of her order that is no measure.
fn unknown(measures: &str) -> Option<String> {
    wanted::order(measures).err()
}

/// Her ways as a form, with what she typed.
fn ways_form(ways: &Ways) -> Markup {
    html! {
        form.plainform method="post" action="/settings" {
            (Field::new("name", "The workroom’s name, at the head of every page", &ways.name).html())
            (pick("unit", "Lengths are shown", &[("card", "As each card has them"), ("in", "In inches"), ("cm", "In centimetres")], &ways.unit))
            (pick("fraction", "Inches are shown", &[("8", "To an eighth"), ("16", "To a sixteenth")], &ways.fraction))
            (pick("paper", "Usual paper", &[("a4", "A4"), ("letter", "Letter"), ("a3", "A3"), ("roll", "A roll, for a copy shop"), ("hand", "No printer: the hand sheet")], &ways.paper))
            (pick("language", "Language of what is printed", &LANGUAGES.map(|w| (w.language, w.own_name)), &ways.language))
            p.help { "Patterns, lays, quotes and blank cards. These pages, the hand sheets, the steps and what is found stay in English, and a method keeps its own words. What was printed before stays as it is." }
            (Field::new("waist_ease", "Ease at the waist that a new order begins with", &ways.waist_ease)
                .help("With its unit: 1/2 in, or 1 cm. Left empty, the method’s own.").html())
            (Field::new("hip_ease", "Ease at the hip that a new order begins with", &ways.hip_ease)
                .help("Only methods that offer such a choice take it.").html())
            details.fold open[unknown(&ways.measures).is_some()] {
                summary { "The order in which you measure" }
                (Field::new("measures", "One measure a line, as your tape goes", &ways.measures).kind(Kind::Text(8))
                    .help("Cards ask in this order. What a method needs besides comes after; left empty, the usual order.").html())
            }
            (pick("letters", "Single letters as keys, while the paper has the focus", &[("on", "On"), ("off", "Off")], &ways.letters))
            p.presses { button.press.main { "Keep these" } }
        }
    }
}

fn keeping(backups: &[Backup], folder: Option<&str>) -> Markup {
    html! {
        section aria-labelledby="backup-h" {
            h2 #backup-h { "Backup" }
            @if let Some(folder) = folder { p.help { "Everything is kept in " code { (folder) } ". A backup is made there by itself once a day; the last seven days and four weeks are kept." } }
            div.presses {
                form method="post" action="/settings/backup" { button.press.main { "Back up now" } }
                form method="post" action="/settings/backup/file" { button.press { "Take a backup away as a file" } }
            }
            p.help { "That file is all you need on another computer: open Ellwand there, and restore it on this page. Keep one outside the house too. It holds your clients’ measures: keep it as you keep their cards." }
            @if !backups.is_empty() {
                details.fold {
                    summary { "Backups on this computer: " (backups.len()) }
                    ul.leaders {
                        @for b in backups {
                            li { span { (day::long(b.made.day())) } span.lead {} span { (b.length.div_ceil(1024)) " KB" } }
                        }
                    }
                }
            }
        }
        section aria-labelledby="restore-h" {
            h2 #restore-h { "Restore" }
            form.plainform method="post" action="/settings/restore" enctype="multipart/form-data" {
                div.field {
                    label for="backup-file" { "A backup file" }
                    input.box #backup-file type="file" name="file" required;
                    p.help { "First you see what is in it. A backup of today is made before anything is replaced. Whoever was erased here stays erased; older backups elsewhere still hold her." }
                }
                p.presses { button.press { "Look into it" } }
            }
        }
        section aria-labelledby="import-h" {
            h2 #import-h { "One client from a file" }
            form.plainform method="post" action="/settings/import" enctype="multipart/form-data" {
                div.field {
                    label for="client-file" { "A file that was exported here or elsewhere" }
                    input.box #client-file type="file" name="file" accept=".zip" required;
                }
                p.presses { button.press { "Take her in" } }
            }
        }
    }
}

async fn keep(State(room): State<Arc<Room>>, Form(ways): Form<Ways>) -> Result<Redirect, Trouble> {
    for (what, text) in [("waist", &ways.waist_ease), ("hip", &ways.hip_ease)] {
        let text = text.trim();
        if !text.is_empty() && measure::fraction::read(text, None).is_err() {
            return Err(Trouble::unclear(format!(
                "The ease at the {what} has no unit or is no length. Write it like 1/2 in, or 1 cm."
            ))
            .back("/settings", "Leave them as they were")
            .with(ways_form(&ways)));
        }
    }
    if let Some(line) = unknown(&ways.measures) {
        return Err(Trouble::unclear(format!(
            "\u{201c}{line}\u{201d} is no measure that is known here. The names stand on the cards; take it out of your order, or write it as they do."
        ))
        .back("/settings", "Leave them as they were")
        .with(ways_form(&ways)));
    }
    let usual = wanted::usual();
    let measures = match wanted::order(&ways.measures) {
        Ok(hers) if hers != usual => hers.join("\n"),
        _ => String::new(),
    };
    let name: String = ways.name.trim().chars().take(80).collect();
    let one_of =
        |value: &str, all: &[&str]| all.iter().find(|v| **v == value).map(|v| (*v).to_owned());
    let unit = one_of(&ways.unit, &["card", "in", "cm"]);
    let fraction = one_of(&ways.fraction, &["8", "16"]);
    let paper = one_of(&ways.paper, &["a4", "letter", "a3", "roll", "hand"]);
    let language = Words::of(&ways.language).map(|w| w.language.to_owned());
    let letters = one_of(&ways.letters, &["on", "off"]);
    let (waist, hip) = (
        ways.waist_ease.trim().to_owned(),
        ways.hip_ease.trim().to_owned(),
    );
    let settings = room
        .book(move |book| {
            book.set_all(&[
                ("name", Some(&name)),
                ("unit", unit.as_deref()),
                ("fraction", fraction.as_deref()),
                ("paper", paper.as_deref()),
                ("language", language.as_deref()),
                ("letters", letters.as_deref()),
                ("ease/waist ease", Some(&waist)),
                ("ease/hip ease", Some(&hip)),
                (wanted::ORDER, Some(&measures)),
            ])?;
            Ok(book.settings()?)
        })
        .await?;
    room.settle(&settings);
    Ok(Redirect::to("/settings?said=kept"))
}

#[cfg(test)]
mod tests;
