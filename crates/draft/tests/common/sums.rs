//! Methods worked in a test: what they report, in inches, degrees or plain numbers.
#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "each test file uses its own part, and a test that can't go on may stop"
)]

use std::path::{Path, PathBuf};

use draft::worked::{Quantity, Worked};
use draft::{Library, Wish};
use measure::Length;
use measure::card::Card;
use measure::fraction::{Shown, Unit};

/// Where the shipped methods lie, if they do: the tests hold without them.
pub(crate) fn shipped_folder() -> Option<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../methods");
    folder.is_dir().then_some(folder)
}

/// The shipped methods by name, in order; none when the folder is not there.
pub(crate) fn shipped() -> Vec<(String, String)> {
    let Some(folder) = shipped_folder() else {
        return Vec::new();
    };
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "method"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).unwrap())
        })
        .collect();
    all.sort();
    all
}

/// A card with these measures, in inches.
pub(crate) fn card(measures: &[(&str, f64)]) -> Card {
    measures
        .iter()
        .fold(Card::new("a test", Unit::Inch), |card, (name, inches)| {
            card.with(name, Length::inches(*inches))
        })
}

/// An invented client with round measures of the whole body.
pub(crate) fn client() -> Card {
    card(&[
        ("bust", 36.0),
        ("waist", 30.0),
        ("hip", 40.0),
        ("waist to hip", 9.0),
        ("waist to knee", 22.0),
        ("waist to floor", 40.0),
        ("neck", 14.0),
        ("shoulder", 5.0),
        ("back waist length", 16.0),
        ("bust span", 7.0),
        ("shoulder to bust", 10.5),
        ("upper arm", 12.0),
        ("wrist", 6.5),
        ("arm length", 23.0),
        ("armhole", 17.0),
        ("armhole depth", 8.5),
        ("across back", 14.0),
        ("across chest", 13.0),
    ])
}

/// The card of worked example W1.
pub(crate) fn w1() -> Card {
    card(&[
        ("waist", 30.0),
        ("hip", 40.0),
        ("waist to hip", 9.0),
        ("waist to knee", 22.0),
    ])
}

/// Works a text with these choices; the shipped methods may be used by it. No notes are allowed.
pub(crate) fn worked(text: &str, card: &Card, set: &[(&str, &str)], untrued: bool) -> Worked {
    let texts = shipped();
    let library = Library::new(texts.iter().map(|t| t.1.as_str()));
    let set: Vec<(String, String)> = set
        .iter()
        .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
        .collect();
    let reading = draft::read(text);
    let out = draft::work(
        &reading,
        &library,
        &Wish {
            card,
            set: &set,
            predict: false,
            untrued,
            shown: Shown::inches(),
            corrections: &[],
        },
    );
    let notes: Vec<String> = out
        .notes
        .iter()
        .map(|n| format!("line {}: {}", n.span.line, n.says()))
        .collect();
    assert!(out.sound(), "{notes:?} {:?}", out.faults);
    out
}

/// A shipped method worked, or nothing when the folder is not there.
pub(crate) fn shipped_worked(name: &str, card: &Card, set: &[(&str, &str)]) -> Option<Worked> {
    let text = shipped().into_iter().find(|s| s.0 == name)?.1;
    Some(worked(&text, card, set, false))
}

/// What a method reports under a name.
pub(crate) fn result(worked: &Worked, name: &str) -> f64 {
    let found = worked.results.iter().find(|r| r.name == name);
    match &found.unwrap_or_else(|| panic!("no result `{name}`")).value {
        Quantity::Length(l) => l.in_inches(),
        Quantity::Angle(a) => a.in_degrees(),
        Quantity::Number(n) | Quantity::Share(n) => *n,
        other => panic!("`{name}` is {other:?}"),
    }
}

/// That what a method reports is this, within a tolerance.
pub(crate) fn comes_to(worked: &Worked, name: &str, wanted: f64, within: f64) {
    let got = result(worked, name);
    assert!(
        (got - wanted).abs() <= within,
        "{name}: {got}, wanted {wanted}"
    );
}
