//! Lengths as a drafter writes them: inches with fractions, centimetres, and how finely they are shown.

use core::fmt;

use crate::length::{Length, MM_PER_INCH};

mod read;

pub use read::{ReadFault, read, unit_said};

/// The unit that a drafter thinks in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Inches, shown with fractions.
    Inch,
    /// Centimetres, shown with decimals.
    Cm,
}

impl Unit {
    /// Its short sign, as it stands after a number and on a card: `in` or `cm`.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Cm => "cm",
        }
    }

    /// So many of this unit.
    pub fn of(self, many: f64) -> Option<Length> {
        let mm = match self {
            Self::Inch => many * MM_PER_INCH,
            Self::Cm => many * 10.0,
        };
        Length::try_mm(mm)
    }

    /// How many of this unit a length is.
    pub fn count(self, length: Length) -> f64 {
        match self {
            Self::Inch => length.in_inches(),
            Self::Cm => length.in_cm(),
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.sign())
    }
}

/// How finely a length is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Fineness {
    /// To an eighth of an inch.
    Eighth,
    /// To a sixteenth of an inch.
    Sixteenth,
    /// To a 32nd of an inch: for how far two partners are out.
    ThirtySecond,
    /// To a millimetre.
    Millimetre,
    /// To half a centimetre.
    FiveMillimetres,
}

/// The way in which a length is shown: its unit, and how finely.
///
/// Inches are shown to eighths or sixteenths and centimetres to millimetres. A fineness of the
/// other family is taken as its nearest neighbour: a millimetre beside a sixteenth of an inch, half
/// a centimetre beside an eighth; either fraction of an inch beside a millimetre.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Shown {
    /// The unit shown.
    pub unit: Unit,
    /// The smallest part shown.
    pub fineness: Fineness,
}

impl Shown {
    /// Inches to the eighth.
    pub const fn inches() -> Self {
        Self {
            unit: Unit::Inch,
            fineness: Fineness::Eighth,
        }
    }

    /// Centimetres to the millimetre.
    pub const fn cm() -> Self {
        Self {
            unit: Unit::Cm,
            fineness: Fineness::Millimetre,
        }
    }

    /// The unit of this way, as finely as small differences are told: 32nds of an inch, millimetres.
    #[must_use]
    pub const fn finely(self) -> Self {
        Self {
            unit: self.unit,
            fineness: match self.unit {
                Unit::Inch => Fineness::ThirtySecond,
                Unit::Cm => Fineness::Millimetre,
            },
        }
    }

    /// The usual way of showing a unit.
    pub const fn usual(unit: Unit) -> Self {
        match unit {
            Unit::Inch => Self::inches(),
            Unit::Cm => Self::cm(),
        }
    }

    /// The smallest part that is told apart, as a length.
    pub fn part(self) -> Length {
        let (per_unit, _) = self.parts();
        match self.unit {
            Unit::Inch => Length::inches(1.0 / f64::from(per_unit)),
            Unit::Cm => Length::cm(1.0 / f64::from(per_unit)),
        }
    }

    /// How many parts make one unit, and whether they are written as a fraction.
    const fn parts(self) -> (u32, bool) {
        match (self.unit, self.fineness) {
            (Unit::Inch, Fineness::Eighth | Fineness::FiveMillimetres) => (8, true),
            (Unit::Inch, Fineness::Sixteenth | Fineness::Millimetre) => (16, true),
            (Unit::Inch, Fineness::ThirtySecond) => (32, true),
            (Unit::Cm, Fineness::FiveMillimetres) => (2, false),
            (Unit::Cm, _) => (10, false),
        }
    }

    /// The length that is shown: `length` rounded to the nearest part, halves away from nothing.
    #[must_use]
    pub fn rounded(self, length: Length) -> Length {
        let (per_unit, _) = self.parts();
        self.unit
            .of(self.count_parts(length) / f64::from(per_unit))
            .unwrap_or(length)
    }

    fn count_parts(self, length: Length) -> f64 {
        let (per_unit, _) = self.parts();
        let parts = self.unit.count(length) * f64::from(per_unit);
        // 9 1/16 in kept in millimetres may fall a hair short of the half; the hair is given back.
        let hair = 1e-7_f64.copysign(parts);
        (parts + hair).round()
    }
}

/// A length in words of the tape: `9 1/8 in`, `3/8 in`, `-1/2 in`, `23.2 cm`, `0 in`.
///
/// Rounded to the part that `how` says, halves away from nothing. Only what is shown is rounded.
///
/// # Example
/// ```
/// use measure::fraction::{Shown, show};
/// use measure::Length;
/// assert_eq!(show(Length::inches(9.13), Shown::inches()), "9 1/8 in");
/// assert_eq!(show(Length::mm(232.4), Shown::cm()), "23.2 cm");
/// ```
pub fn show(length: Length, how: Shown) -> String {
    let number = show_number(length, how);
    format!("{number} {}", how.unit)
}

/// The same without its unit, for a column that says the unit at its head.
pub fn show_number(length: Length, how: Shown) -> String {
    let (per_unit, as_fraction) = how.parts();
    let parts = how.count_parts(length);
    let sign = if parts < 0.0 { "-" } else { "" };
    let parts = parts.abs();
    let each = f64::from(per_unit);
    let whole = (parts / each).floor();
    let rest = parts - whole * each;
    if rest < 0.5 {
        return format!("{sign}{whole:.0}");
    }
    if as_fraction {
        let (mut over, mut under) = (rest, each);
        while over % 2.0 < 0.5 {
            over /= 2.0;
            under /= 2.0;
        }
        if whole < 0.5 {
            format!("{sign}{over:.0}/{under:.0}")
        } else {
            format!("{sign}{whole:.0} {over:.0}/{under:.0}")
        }
    } else {
        let tenths = rest * 10.0 / each;
        format!("{sign}{whole:.0}.{tenths:.0}")
    }
}

#[cfg(test)]
mod tests;
