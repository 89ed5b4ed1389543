//! What a card itself asks: which of its numbers look odd, why, and what they may have been.
//!
//! A question never changes a number and never refuses one. It names one measure: the one that the
//! others speak against, not those that bear witness.

use crate::card::Card;
use crate::fraction::{Shown, Unit, show};
use crate::length::Length;
use crate::names::{self, Kind};

mod mend;
mod pairs;
mod seen;
mod slip;
mod tape;

/// How much a question weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// Hardly any body is like this: please look before drafting.
    Ask,
    /// Unusual, or worth knowing.
    Note,
}

/// One question of a card.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// The measure it is about, by its trade name; `unit` when it is about all of them.
    pub measure: String,
    /// How much it weighs.
    pub weight: Weight,
    /// The rule that asks, such as `card.slip` or `card.q4`.
    pub rule: String,
    /// The question in a sentence.
    pub says: String,
    /// What the measure probably was, when there is a likely slip; as the card would hold it.
    pub likely: Option<Length>,
}

/// Every rule that a card's question may come from, and what it looks at.
pub const RULES: &[(&str, &str)] = &[
    (
        "card.unit",
        "the whole card may be written in the other unit",
    ),
    (
        "card.slip",
        "one measure lies far from what all the others let expect",
    ),
    (
        "card.pair",
        "two measures stand to each other as on no body measured",
    ),
    ("card.seen", "a single measure lies beyond what was seen"),
    (
        "card.outside",
        "the body lies outside those that missing measures are reckoned from",
    ),
    ("card.readings", "two readings of one measure do not agree"),
    (
        "card.sum",
        "lengths that make up another do not add up to it, within 1/4 in",
    ),
    (
        "card.q1",
        "front and back arc are not the whole girth, within 1/4 in",
    ),
    ("card.q2", "the high hip does not lie between waist and hip"),
    ("card.q3", "the hip is not 4 to 15 in more than the waist"),
    ("card.q4", "both knees are not 1.5 to 1.75 times one knee"),
    (
        "card.q5",
        "waist to floor less waist to knee leaves no usual knee height",
    ),
    (
        "card.q6",
        "front, side and back of waist to floor are in an unusual order",
    ),
    (
        "card.q7",
        "the back of waist to knee is not up to 2 in longer than the front",
    ),
    (
        "card.q8",
        "sitting makes the hip less, or the thighs are more than the hip",
    ),
    (
        "card.q9",
        "hollow to floor is not front waist length and front waist to floor, within 1/2 in",
    ),
    (
        "card.q10",
        "the lengths of the bodice are in an unusual order",
    ),
    (
        "card.q12",
        "a padded hip without the natural hip, or less than it",
    ),
    ("card.q13", "left and right side differ by more than 3/8 in"),
    ("card.q14", "a floor length without a heel"),
    (
        "card.bent",
        "bending the knee makes it less, or more than 2 in more",
    ),
    ("card.order", "underbust or high bust is more than the bust"),
];

/// All questions of a card: those that weigh most first, then in the order of the tests.
///
/// # Example
/// ```
/// use measure::{Card, Length, fraction::Unit, questions::{Weight, ask}};
/// let mut card = Card::new("x", Unit::Inch);
/// for (name, inches) in [
///     ("waist", 28.0), ("hip", 38.0), ("waist to hip", 22.25), ("waist to knee", 23.5),
///     ("knee", 14.5), ("thigh", 23.0), ("height", 64.0),
/// ] {
///     card = card.with(name, Length::inches(inches));
/// }
/// let questions = ask(&card);
/// let first = &questions[0];
/// assert_eq!((first.measure.as_str(), first.weight), ("waist to hip", Weight::Ask));
/// assert_eq!(first.likely, Some(Length::cm(22.25)));
/// assert!(questions[1..].iter().all(|q| q.weight == Weight::Note));
/// ```
pub fn ask(card: &Card) -> Vec<Question> {
    if let Some(question) = slip::whole_card(card) {
        return vec![question];
    }
    let mut told = Told::default();
    slip::ask(card, &mut told);
    pairs::ask(card, &mut told);
    seen::ask(card, &mut told);
    slip::note(card, &mut told);
    tape::ask(card, &mut told);
    let mut questions = told.questions;
    questions.sort_by_key(|q| q.weight);
    questions
}

/// The questions so far, and the measures that need no question any more.
#[derive(Default)]
struct Told {
    questions: Vec<Question>,
    /// Measures that another one's question explains, such as the partner of an exchange.
    excused: Vec<&'static str>,
}

impl Told {
    /// Whether some question is already about this measure, or explains it.
    fn has(&self, name: &str) -> bool {
        self.excused.contains(&name) || self.questions.iter().any(|q| q.measure == name)
    }

    /// Whether this measure's number is in doubt, so that it can't bear witness.
    fn doubts(&self, name: &str) -> bool {
        let asked = |q: &Question| q.measure == name && q.weight == Weight::Ask;
        self.excused.contains(&name) || self.questions.iter().any(asked)
    }

    fn push(&mut self, question: Question) {
        self.questions.push(question);
    }

    fn excuse(&mut self, name: &'static str) {
        self.excused.push(name);
    }
}

/// A measure's value as the question says it, in the unit in which it was typed.
fn said(card: &Card, name: &str) -> String {
    card.measured(name)
        .map(|m| show(m.length, Shown::usual(m.unit)))
        .unwrap_or_default()
}

/// A length in a unit: that of the measure of which a question speaks, so that its figures can be held
/// against each other.
fn shown(unit: Unit, length: Length) -> String {
    show(length, Shown::usual(unit))
}

/// A range in a unit, saying it once: `8 to 10 in`.
fn range(unit: Unit, low: Length, high: Length) -> String {
    let how = Shown::usual(unit);
    format!(
        "{} to {}",
        crate::fraction::show_number(low, how),
        show(high, how)
    )
}

/// The word for more or less of a measure.
fn more_or_less(name: &str, more: bool) -> &'static str {
    let kind = names::find(name).map_or(Kind::Length, |m| m.kind);
    match (kind, more) {
        (Kind::Height, true) => "taller",
        (Kind::Girth | Kind::Arc, true) => "larger",
        (Kind::Height | Kind::Girth | Kind::Arc, false) => "smaller",
        (Kind::Width, true) => "wider",
        (Kind::Width, false) => "narrower",
        (Kind::Shoe, true) => "higher",
        (Kind::Shoe, false) => "lower",
        (_, true) => "longer",
        (_, false) => "shorter",
    }
}

/// The other unit.
fn other(unit: Unit) -> Unit {
    match unit {
        Unit::Inch => Unit::Cm,
        Unit::Cm => Unit::Inch,
    }
}

#[cfg(test)]
mod tests;
