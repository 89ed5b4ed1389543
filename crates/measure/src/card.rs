//! A client's card: her body as the tape found it, on one day. Never eased, never guessed.

use crate::angle::Angle;
use crate::date::Date;
use crate::fraction::{self, Shown, Unit};
use crate::length::Length;
use crate::names::{self, Kind};

mod read;
mod readings;

pub use crate::page::Fault as CardFault;
pub use read::read;
pub use readings::agree;

/// One measure on a card, with what was typed beside what it means.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Its trade name; or, for a measure of the drafter's own, the name as her method has it.
    pub name: String,
    /// How long it is. Only this is reckoned with.
    pub length: Length,
    /// The text as it was typed.
    pub typed: String,
    /// The unit in which it was typed: its own, or else the card's.
    pub unit: Unit,
    /// The readings it is the mean of, when it was read more than once; otherwise empty.
    pub readings: Vec<Length>,
    /// The line of the card's file, when it came from one.
    pub line: Option<usize>,
}

/// One slope on a card.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredAngle {
    /// Its trade name.
    pub name: String,
    /// How steep it is.
    pub angle: Angle,
    /// The text as it was typed.
    pub typed: String,
    /// The line of the card's file, when it came from one.
    pub line: Option<usize>,
}

/// A client's body measures, dated.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    client: String,
    taken: Option<Date>,
    born: Option<Date>,
    unit: Unit,
    notes: String,
    measured: Vec<Measured>,
    angles: Vec<MeasuredAngle>,
}

impl Card {
    /// A card with no measure on it yet.
    pub fn new(client: impl Into<String>, unit: Unit) -> Self {
        Self {
            client: client.into(),
            taken: None,
            born: None,
            unit,
            notes: String::new(),
            measured: Vec::new(),
            angles: Vec::new(),
        }
    }

    /// The same card with one measure more; a measure that stood there already is replaced.
    ///
    /// A name that the trade does not know is kept as a measure of the drafter's own.
    #[must_use]
    pub fn with(self, name: &str, length: Length) -> Self {
        let unit = self.unit;
        let typed = fraction::show(length, Shown::usual(unit));
        self.with_typed(name, length, typed)
    }

    /// The same card with one measure more, and the text in which it was typed.
    #[must_use]
    pub fn with_typed(mut self, name: &str, length: Length, typed: impl Into<String>) -> Self {
        let name = names::find(name).map_or_else(|| name.to_owned(), |m| m.name.to_owned());
        let typed = typed.into();
        let unit = fraction::unit_said(&typed).unwrap_or(self.unit);
        let measured = Measured {
            name,
            length,
            typed,
            unit,
            readings: Vec::new(),
            line: None,
        };
        self.put(measured);
        self
    }

    /// The same card with a measure that was read two or three times.
    ///
    /// The mean of the two that lie nearest together counts when they agree; else the mean of all,
    /// and the card asks. No reading at all changes nothing.
    #[must_use]
    pub fn with_readings(mut self, name: &str, readings: &[Length]) -> Self {
        let Some(length) = readings::counted(name, readings) else {
            return self;
        };
        let how = Shown::usual(self.unit);
        let typed: Vec<String> = readings.iter().map(|r| fraction::show(*r, how)).collect();
        self = self.with_typed(name, length, typed.join(", "));
        let name = canonical(name);
        if let Some(measured) = self
            .measured
            .iter_mut()
            .find(|m| names::fold(&m.name) == name)
            && readings.len() > 1
        {
            measured.readings = readings.to_vec();
        }
        self
    }

    fn put(&mut self, measured: Measured) {
        let folded = names::fold(&measured.name);
        match self
            .measured
            .iter_mut()
            .find(|m| names::fold(&m.name) == folded)
        {
            Some(old) => *old = measured,
            None => self.measured.push(measured),
        }
    }

    /// The same card without one measure.
    #[must_use]
    pub fn without(mut self, name: &str) -> Self {
        let folded = canonical(name);
        self.measured.retain(|m| names::fold(&m.name) != folded);
        self.angles.retain(|m| names::fold(&m.name) != folded);
        self
    }

    /// The same card with the day on which she was born.
    #[must_use]
    pub fn born_on(mut self, day: Date) -> Self {
        self.born = Some(day);
        self
    }

    /// The same card with the day on which it was taken.
    #[must_use]
    pub fn taken_on(mut self, day: Date) -> Self {
        self.taken = Some(day);
        self
    }

    /// The same card with notes.
    #[must_use]
    pub fn noted(mut self, notes: impl Into<String>) -> Self {
        self.notes = notes.into();
        self
    }

    /// Her name, or a code for it, just as it was written.
    pub fn client(&self) -> &str {
        &self.client
    }

    /// The day on which she was measured.
    pub fn taken(&self) -> Option<Date> {
        self.taken
    }

    /// The day on which she was born, if it is on the card.
    pub fn born(&self) -> Option<Date> {
        self.born
    }

    /// How many whole years old she was when she was measured, where both days are on the card.
    pub fn age(&self) -> Option<u16> {
        let (born, taken) = (self.born?, self.taken?);
        let had_birthday = (taken.month(), taken.day()) >= (born.month(), born.day());
        (taken.year().checked_sub(born.year())?).checked_sub(u16::from(!had_birthday))
    }

    /// The unit of bare numbers, in which she and the drafter think.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// Foundation, shoes, posture, anything else: free text, just as it was written.
    pub fn notes(&self) -> &str {
        &self.notes
    }

    /// A measure by its name, a synonym, or a name of the drafter's own.
    pub fn get(&self, name: &str) -> Option<Length> {
        self.measured(name).map(|m| m.length)
    }

    /// A measure with what was typed.
    pub fn measured(&self, name: &str) -> Option<&Measured> {
        if let Some(found) = self.measured.iter().find(|m| m.name == name) {
            return Some(found);
        }
        // Those of the trade stand under their trade names alone.
        if let Some(known) = names::find(name) {
            return self.measured.iter().find(|m| m.name == known.name);
        }
        let folded = names::fold(name);
        self.measured
            .iter()
            .find(|m| names::fold(&m.name) == folded)
    }

    /// A slope by its name.
    pub fn angle(&self, name: &str) -> Option<Angle> {
        let folded = canonical(name);
        self.angles
            .iter()
            .find(|m| names::fold(&m.name) == folded)
            .map(|m| m.angle)
    }

    /// All measures in the order in which they were typed.
    pub fn measures(&self) -> impl Iterator<Item = &Measured> {
        self.measured.iter()
    }

    /// All slopes in the order in which they were typed.
    pub fn angles(&self) -> impl Iterator<Item = &MeasuredAngle> {
        self.angles.iter()
    }

    /// A measure as it would be barefoot: a floor length less the heel, any other as it is.
    ///
    /// Without a heel on the card a floor length counts as barefoot.
    pub fn barefoot(&self, name: &str) -> Option<Length> {
        let length = self.get(name)?;
        Some(length - self.heel_in(name))
    }

    /// What the shoe adds to a measure of this name: the heel for a floor length, else nothing.
    pub fn heel_in(&self, name: &str) -> Length {
        let shod = names::find(name).is_some_and(|m| m.kind == Kind::Floor);
        if shod {
            self.get("heel").unwrap_or(Length::ZERO)
        } else {
            Length::ZERO
        }
    }
}

/// The folded form of the name under which a measure is kept.
fn canonical(name: &str) -> String {
    names::find(name).map_or_else(|| names::fold(name), |m| m.name.to_owned())
}

#[cfg(test)]
mod tests;
