//! A damaged method is checked and worked without a panic and without a hang, and what is said of it has
//! a place in its text. `DAMAGE_CASES` sets how many texts are tried, `DAMAGE_SEED` which.
#![allow(
    clippy::print_stdout,
    reason = "a test or an example stops, and prints, where it must"
)]

#[path = "common/mod.rs"]
mod common;
#[path = "common/worked.rs"]
mod worked;

use common::{Dice, damaged, texts};
use draft::{Library, Wish};
use measure::fraction::Shown;

/// Long enough for a slow machine with others at work on it; a hang is longer.
const TOO_LONG: u64 = 60;

fn number(name: &str, usual: u64) -> u64 {
    let said = std::env::var(name).ok();
    said.and_then(|n| n.parse().ok()).unwrap_or(usual)
}

/// One to three figures of a text replaced by figures that no dressmaker would write.
fn absurd(text: &str, dice: &mut Dice) -> String {
    let mut text = text.to_owned();
    for _ in 0..=dice.below(3) {
        let places: Vec<usize> = text
            .char_indices()
            .filter(|(i, c)| {
                c.is_ascii_digit() && !text[..*i].ends_with(|b: char| b.is_ascii_digit())
            })
            .map(|(i, _)| i)
            .collect();
        if places.is_empty() {
            break;
        }
        let at = places[dice.below(places.len())];
        let end = text[at..]
            .find(|c: char| !c.is_ascii_digit())
            .map_or(text.len(), |n| at + n);
        let figures = [
            "0",
            "-3",
            "-0.001",
            "1000000",
            "0.0000001",
            "99999999999999999999",
            "1/64",
            "37",
            "200",
        ];
        text.replace_range(at..end, figures[dice.below(figures.len())]);
    }
    text
}

#[test]
fn damaged_methods_are_checked_and_worked() {
    try_many(number("DAMAGE_CASES", 120), damaged);
}

#[test]
fn methods_with_absurd_figures_are_checked_and_worked() {
    try_many(number("DAMAGE_CASES", 120), absurd);
}

fn try_many(cases: u64, damage: fn(&str, &mut Dice) -> String) {
    let all = texts();
    let library = Library::new(all.iter().map(|(_, t)| t.as_str()));
    let card = worked::card();
    let mut dice = Dice::new(number("DAMAGE_SEED", 21));
    let names = all.iter().cycle();
    let mut slowest = std::time::Duration::ZERO;
    for (case, (name, text)) in (0..cases).zip(names) {
        let text = damage(text, &mut dice);
        let reading = draft::read(&text);
        let notes = draft::check(&reading, &library);
        let lines: Vec<usize> = text.lines().map(|l| l.chars().count()).collect();
        for note in &notes {
            let (line, column) = (note.span.line as usize, note.span.column as usize);
            let inside = line >= 1 && line <= lines.len().max(1);
            assert!(inside, "{name}: {note:?}\n{text}");
            let long = lines.get(line - 1).copied().unwrap_or(0);
            assert!(
                column >= 1 && column <= long + 1,
                "{name}: {note:?}\n{text}"
            );
        }
        let begun = std::time::Instant::now();
        let wish = Wish {
            card: &card,
            set: &[],
            predict: true,
            untrued: case % 3 == 0,
            shown: Shown::inches(),
            corrections: &[],
        };
        let worked = draft::work(&reading, &library, &wish);
        for piece in &worked.pieces {
            assert!(piece.area().is_finite(), "{name}: {}\n{text}", piece.name);
        }
        let took = begun.elapsed();
        slowest = slowest.max(took);
        assert!(took.as_secs() < TOO_LONG, "{name}: {took:?}\n{text}");
    }
    println!("slowest: {slowest:?}");
}
