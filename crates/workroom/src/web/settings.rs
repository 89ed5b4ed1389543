//! Her way: how lengths are shown, which paper is usual, backups, and what is kept where.

pub(crate) mod carry;
mod keeping;
mod mark;
mod table;
pub(crate) mod waiting;
mod written;

use std::collections::BTreeMap;
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
use super::order::both::Both;
use super::parts::day;
use super::parts::field::{Field, Kind};
use super::parts::said::said;
use super::room::Room;
use super::trouble::Trouble;

pub(in crate::web) use mark::{mark, quarrel};
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
    /// The mark of what the page showed.
    seen: String,
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

/// The settings of this page.
const NAMES: [&str; 9] = [
    "name",
    "unit",
    "fraction",
    "paper",
    "language",
    "letters",
    "ease/waist ease",
    "ease/hip ease",
    wanted::ORDER,
];

/// What can be chosen of a few, with its words.
type Few = (&'static str, &'static [(&'static str, &'static str)]);

const UNIT: Few = (
    "Lengths are shown",
    &[
        ("card", "As each card has them"),
        ("in", "In inches"),
        ("cm", "In centimetres"),
    ],
);
const FRACTION: Few = (
    "Inches are shown",
    &[("8", "To an eighth"), ("16", "To a sixteenth")],
);
const PAPER: Few = (
    "Usual paper",
    &[
        ("a4", "A4"),
        ("letter", "Letter"),
        ("a3", "A3"),
        ("roll", "A roll, for a copy shop"),
        ("hand", "No printer: the hand sheet"),
    ],
);
const LETTERS: Few = (
    "Single letters as keys, while the paper has the focus",
    &[("on", "On"), ("off", "Off")],
);

/// The words of the other boxes.
const NAME: &str = "The workroom’s name, at the head of every page";
const LANGUAGE: &str = "Language of what is printed";
const WAIST: &str = "Ease at the waist that a new order begins with";
const HIP: &str = "Ease at the hip that a new order begins with";
const MEASURES: &str = "The order in which you measure";

/// One of a few, if it is one of them.
fn one_of((_, ways): Few, value: &str) -> Option<&'static str> {
    let found = ways.iter().find(|(known, _)| *known == value);
    found.map(|(known, _)| *known)
}

impl Ways {
    /// As they are kept, and as it is until she sets them.
    fn of(settings: &BTreeMap<String, String>) -> Self {
        let at = |name: &str| settings.get(name).cloned().unwrap_or_default();
        let or = |name: &str, usual: &str| {
            let set = settings.get(name).filter(|set| !set.is_empty());
            set.cloned().unwrap_or_else(|| usual.to_owned())
        };
        Self {
            seen: mark(settings, &NAMES),
            name: at("name"),
            unit: or("unit", "card"),
            fraction: or("fraction", "8"),
            paper: or("paper", "a4"),
            language: or("language", ENGLISH.language),
            letters: or("letters", "on"),
            waist_ease: at("ease/waist ease"),
            hip_ease: at("ease/hip ease"),
            measures: or(wanted::ORDER, &wanted::usual().join("\n")),
        }
    }

    /// What they set, by name.
    fn set(&self) -> [(&'static str, Option<String>); 9] {
        let few = |few: Few, value: &str| one_of(few, value).map(str::to_owned);
        let measures = match wanted::order(&self.measures) {
            Ok(hers) if hers != wanted::usual() => hers.join("\n"),
            _ => String::new(),
        };
        [
            ("name", Some(self.name.trim().chars().take(80).collect())),
            ("unit", few(UNIT, &self.unit)),
            ("fraction", few(FRACTION, &self.fraction)),
            ("paper", few(PAPER, &self.paper)),
            (
                "language",
                Words::of(&self.language).map(|w| w.language.to_owned()),
            ),
            ("letters", few(LETTERS, &self.letters)),
            ("ease/waist ease", Some(self.waist_ease.trim().to_owned())),
            ("ease/hip ease", Some(self.hip_ease.trim().to_owned())),
            (wanted::ORDER, Some(measures)),
        ]
    }

    /// All of them in words, a line each, to be set beside others: what is empty is left out.
    fn told(&self) -> String {
        let few = |(label, ways): Few, value: &str| {
            let found = ways.iter().find(|(known, _)| *known == value);
            (label, found.map_or("", |(_, words)| *words))
        };
        let own = Words::of(&self.language).map_or("", |w| w.own_name);
        let lines = [
            (NAME, self.name.trim()),
            few(UNIT, &self.unit),
            few(FRACTION, &self.fraction),
            few(PAPER, &self.paper),
            (LANGUAGE, own),
            (WAIST, self.waist_ease.trim()),
            (HIP, self.hip_ease.trim()),
            few(LETTERS, &self.letters),
            (MEASURES, self.measures.trim()),
        ];
        let said = lines.iter().filter(|(_, text)| !text.is_empty());
        let said: Vec<String> = said
            .map(|(label, text)| format!("{label}: {text}"))
            .collect();
        said.join("\n")
    }

    /// Another window set something else meanwhile: both are shown, and she keeps one.
    fn beside(&self, kept: &BTreeMap<String, String>) -> Trouble {
        let theirs = Self::of(kept);
        let fields: [(&str, &str); 10] = [
            ("seen", &theirs.seen),
            ("name", &self.name),
            ("unit", &self.unit),
            ("fraction", &self.fraction),
            ("paper", &self.paper),
            ("language", &self.language),
            ("letters", &self.letters),
            ("waist_ease", &self.waist_ease),
            ("hip_ease", &self.hip_ease),
            ("measures", &self.measures),
        ];
        Both {
            what: "Your way",
            mine: &self.told(),
            theirs: &theirs.told(),
            action: "/settings".to_owned(),
            fields: &fields,
            press: ("do", "keep"),
            back: "/settings".to_owned(),
        }
        .trouble()
    }
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
fn pick(name: &str, (legend, ways): (&str, &[(&str, &str)]), chosen: &str) -> Markup {
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
    let ways = Ways::of(&settings);
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
            input type="hidden" name="seen" value=(ways.seen);
            (Field::new("name", NAME, &ways.name).html())
            (pick("unit", UNIT, &ways.unit))
            (pick("fraction", FRACTION, &ways.fraction))
            (pick("paper", PAPER, &ways.paper))
            (pick("language", (LANGUAGE, &LANGUAGES.map(|w| (w.language, w.own_name))), &ways.language))
            p.help { "Patterns, lays, quotes and blank cards. These pages, the hand sheets, the steps and what is found stay in English, and a method keeps its own words. What was printed before stays as it is." }
            (Field::new("waist_ease", WAIST, &ways.waist_ease)
                .help("With its unit: 1/2 in, or 1 cm. Left empty, the method’s own.").html())
            (Field::new("hip_ease", HIP, &ways.hip_ease)
                .help("Only methods that offer such a choice take it.").html())
            details.fold open[unknown(&ways.measures).is_some()] {
                summary { (MEASURES) }
                (Field::new("measures", "One measure a line, as your tape goes", &ways.measures).kind(Kind::Text(8))
                    .help("Cards ask in this order. What a method needs besides comes after; left empty, the usual order.").html())
            }
            (pick("letters", LETTERS, &ways.letters))
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
    let settings = room
        .book(move |book| {
            let kept = book.settings()?;
            let set = ways.set();
            let set = set.each_ref().map(|(name, text)| (*name, text.as_deref()));
            if quarrel(&kept, &NAMES, &ways.seen, &set) {
                return Err(ways.beside(&kept));
            }
            book.set_all(&set)?;
            Ok(book.settings()?)
        })
        .await?;
    room.settle(&settings);
    Ok(Redirect::to("/settings?said=kept"))
}

#[cfg(test)]
mod tests;
