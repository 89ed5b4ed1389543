//! Works a method text for an invented card, and looks up what it made. Lengths are in inches.
#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "each test file uses its own part, and a test that can't go on may stop"
)]

use draft::worked::{Quantity, Worked};
use draft::{Library, Wish};
use measure::Length;
use measure::card::Card;
use measure::fraction::{Shown, Unit};
use piece::Piece;

/// An invented client with round measures, so that the reckoning can be followed on paper.
pub(crate) fn card() -> Card {
    let inches = [
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
    ];
    inches
        .iter()
        .fold(Card::new("invented", Unit::Inch), |card, (name, inches)| {
            card.with(name, Length::inches(*inches))
        })
}

/// A method worked, with choices set as words.
pub(crate) fn work(text: &str, library: &[&str], set: &[(&str, &str)]) -> Worked {
    let reading = draft::read(text);
    let library = Library::new(library.iter().copied());
    let set: Vec<(String, String)> = set
        .iter()
        .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
        .collect();
    let card = card();
    let wish = Wish {
        card: &card,
        set: &set,
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    let worked = draft::work(&reading, &library, &wish);
    let faults: Vec<String> = worked
        .notes
        .iter()
        .map(|n| format!("line {}: {}", n.span.line, n.says()))
        .chain(worked.faults.iter().cloned())
        .collect();
    assert!(faults.is_empty(), "{}: {}", worked.title, faults.join("\n"));
    worked
}

/// A piece by name.
pub(crate) fn piece<'a>(worked: &'a Worked, name: &str) -> &'a Piece {
    let names: Vec<&str> = worked.pieces.iter().map(|p| p.name.as_str()).collect();
    worked
        .pieces
        .iter()
        .find(|p| p.name == name)
        .unwrap_or_else(|| panic!("{name} is not among {names:?}"))
}

/// The length of an edge of a piece, its darts sewn.
pub(crate) fn edge(worked: &Worked, of: &str, name: &str) -> f64 {
    let piece = piece(worked, of);
    let names: Vec<&str> = piece.edges.iter().map(|e| e.name.as_str()).collect();
    match piece.sewn_length(name) {
        Ok(length) => length.in_inches(),
        Err(fault) => panic!("{of} has no {name}: {fault}; it has {names:?}"),
    }
}

/// A result, in inches or as the number it is.
pub(crate) fn result(worked: &Worked, name: &str) -> f64 {
    let found = worked.results.iter().find(|r| r.name == name);
    match found.map(|r| &r.value) {
        Some(Quantity::Length(length)) => length.in_inches(),
        Some(Quantity::Number(value)) => *value,
        other => panic!("{name}: {other:?}"),
    }
}

/// Every seam of the method agrees to a millionth of an inch.
pub(crate) fn assert_seams_agree(worked: &Worked) {
    for seam in &worked.seams {
        assert!(
            seam.difference.in_inches().abs() < 1e-6,
            "{}: {} with {}, ease {}",
            seam.name,
            seam.a_length.in_inches(),
            seam.b_length.in_inches(),
            seam.ease.in_inches()
        );
    }
}
