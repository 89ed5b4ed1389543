//! What a card itself asks: which of its numbers look odd, why, and what they may have been.
//!
//! A question never changes a number and never refuses one. It names one measure: the one that the
//! others speak against, not those that bear witness.

use crate::card::Card;
use crate::fraction::{Shown, Unit, show};
use crate::length::Length;
use crate::names::{self, Kind};

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
    let mut questions = slip::ask(card);
    pairs::ask(card, &mut questions);
    seen::ask(card, &mut questions);
    slip::note(card, &mut questions);
    tape::ask(card, &mut questions);
    questions.sort_by_key(|q| q.weight);
    questions
}

/// Whether some question is already about this measure.
fn is_asked(questions: &[Question], name: &str) -> bool {
    questions.iter().any(|q| q.measure == name)
}

/// A measure's value as the question says it, in the unit in which it was typed.
fn said(card: &Card, name: &str) -> String {
    card.measured(name)
        .map(|m| show(m.length, Shown::usual(m.unit)))
        .unwrap_or_default()
}

/// A length in the card's unit.
fn shown(card: &Card, length: Length) -> String {
    show(length, Shown::usual(card.unit()))
}

/// A range in the card's unit, saying the unit once: `8 to 10 in`.
fn range(card: &Card, low: Length, high: Length) -> String {
    let how = Shown::usual(card.unit());
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
        (Kind::Height, false) => "smaller",
        (Kind::Girth | Kind::Arc, true) => "larger",
        (Kind::Girth | Kind::Arc, false) => "smaller",
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
