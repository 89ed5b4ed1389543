//! What a rule found: where, by how much, why it matters and what to do.

use measure::{Angle, Length, Point};

use crate::rules::Rule;

/// How serious a finding is, the gravest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// It would fail: it can't be cut so.
    Stop,
    /// She must decide.
    Ask,
    /// Good to know.
    Note,
}

/// By how much, in the kind of the thing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// A length, with its sign.
    Length(Length),
    /// An angle.
    Angle(Angle),
    /// A share, as a part of one.
    Share(f64),
    /// A weight, in grams.
    Grams(f64),
}

/// A place on the paper: where to look.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// The piece.
    pub piece: String,
    /// The edge, if it is on one.
    pub edge: Option<String>,
    /// The point, on the piece as it is drawn.
    pub point: Point,
}

/// A choice that would cure it.
#[derive(Clone, Debug, PartialEq)]
pub struct Try {
    /// The choice's name.
    pub choice: String,
    /// The value that clears the finding, as the drafter would write it: `2 1/8 in`, `yes`, `40 %`.
    pub value: String,
}

/// One finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Which rule: `F10`; `method/…`, `card/…` and `measure/…` for what others found.
    pub rule: String,
    /// How serious.
    pub weight: Weight,
    /// Where: `front.side`, several joined by ` + `; a seam; a measure.
    pub place: String,
    /// Where to look.
    pub spots: Vec<Spot>,
    /// By how much it is out.
    pub amount: Option<Amount>,
    /// How much it may be out.
    pub tolerance: Option<Amount>,
    /// What it says, in one or two sentences with their full stops, in her unit.
    pub says: String,
    /// Why it matters on the body.
    pub why: Option<String>,
    /// What is usually done.
    pub cure: Option<String>,
    /// The choice and value that would do it, where one was found.
    pub attempt: Option<Try>,
    /// Words of choices to be tried for it, where they are others than the rule's.
    pub choices: Option<&'static [&'static str]>,
}

impl Finding {
    /// A finding of a rule at a place, with the rule's own reason and cure.
    pub fn of(
        rule: &Rule,
        weight: Weight,
        place: impl Into<String>,
        says: impl Into<String>,
    ) -> Self {
        Self {
            rule: rule.id.to_owned(),
            weight,
            place: place.into(),
            spots: Vec::new(),
            amount: None,
            tolerance: None,
            says: says.into(),
            why: Some(rule.why.to_owned()),
            cure: Some(rule.cure.to_owned()),
            attempt: None,
            choices: None,
        }
    }

    /// The same with the amount and how much is allowed.
    #[must_use]
    pub fn out_by(mut self, amount: Amount, tolerance: Option<Amount>) -> Self {
        self.amount = Some(amount);
        self.tolerance = tolerance;
        self
    }

    /// The same with a place to look at.
    #[must_use]
    pub fn at(mut self, piece: &str, edge: Option<&str>, point: Point) -> Self {
        self.spots.push(Spot {
            piece: piece.to_owned(),
            edge: edge.map(str::to_owned),
            point,
        });
        self
    }

    /// The same with another cure than the rule's.
    #[must_use]
    pub fn cured_by(mut self, cure: impl Into<String>) -> Self {
        self.cure = Some(cure.into());
        self
    }

    /// The same with other choices to be tried than the rule's.
    #[must_use]
    pub fn trying(mut self, choices: &'static [&'static str]) -> Self {
        self.choices = Some(choices);
        self
    }
}
