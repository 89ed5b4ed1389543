//! What an odd number may have been: the slips of the pen that would explain it.

use super::{other, shown};
use crate::angle;
use crate::body::{self, Bodies, Given};
use crate::card::{Card, Measured};
use crate::fraction::{Shown, Unit, show_number};
use crate::length::{Length, MM_PER_INCH};
use crate::names::{self, Kind};

/// What a slip has explained lies within so many deviations.
const EXPLAINED: f64 = 1.5;
/// A mended value lies within so many deviations, or it is no likely value.
const LIKELY: f64 = 2.8;
/// The partner of an exchange lies so many deviations off as well.
const ALSO_ODD: f64 = 2.0;

/// A measure beside others that may speak against it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Suspect {
    /// The measure.
    pub(super) given: Given,
    /// How far it lies from what the others let expect, in deviations.
    pub(super) odd: f64,
    /// The bodies it was held against.
    pub(super) bodies: Bodies,
    /// The deviation, of the logarithm.
    deviation: f64,
}

impl Suspect {
    /// A measure held against others, of which it is none.
    pub(super) fn of(given: Given, others: &[Given]) -> Option<Self> {
        let mut all = others.to_vec();
        all.push(given);
        let bodies = Bodies::at_large(&all);
        let fit = body::fit(&all, bodies)?;
        Some(Self {
            given,
            bodies,
            odd: *fit.odd.last()?,
            deviation: *fit.deviation.last()?,
        })
    }
}

/// What may have happened to a number.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Slip {
    /// Written in the other unit.
    Unit,
    /// Written in metres, on a card in centimetres.
    Metres,
    /// Brought from one unit to the other once too often.
    UnitTwice,
    /// Two digits exchanged.
    Digits,
    /// Taken or written for one half only.
    Half,
    /// Written twice as large.
    Double,
    /// A ten too many or too few.
    Ten,
    /// Exchanged with another measure.
    Exchanged,
}

impl Slip {
    /// Whether it is one of the slips that change a number beyond doubt.
    fn is_of_the_pen(self) -> bool {
        matches!(
            self,
            Self::Unit | Self::Metres | Self::UnitTwice | Self::Digits | Self::Half
        )
    }

    /// How rare it is beside a wrong unit, as the logarithm of its chance.
    fn rarer(self) -> f64 {
        match self {
            Self::Unit | Self::Metres | Self::Digits => 0.0,
            Self::Half | Self::UnitTwice => -0.5,
            Self::Exchanged => -1.5,
            Self::Double | Self::Ten => -2.5,
        }
    }
}

/// A number as it probably was.
#[derive(Clone, Debug)]
pub(super) struct Mended {
    slip: Slip,
    /// As the card would hold it.
    pub(super) length: Length,
    /// How far it still lies from what the others let expect.
    odd: f64,
    /// The measure with which it was exchanged.
    pub(super) partner: Option<usize>,
}

impl Mended {
    /// Whether it is a common slip of the pen that leaves nothing odd.
    pub(super) fn explains(&self) -> bool {
        self.slip.is_of_the_pen() && self.odd.abs() < EXPLAINED
    }

    /// The end of the question: what the number may have been.
    pub(super) fn was_it(&self, measured: &Measured) -> String {
        let likely = shown(measured.unit, self.length);
        match self.slip {
            Slip::Unit => {
                let number = show_number(measured.length, Shown::usual(measured.unit));
                format!("was it {number} {}, {likely}", other(measured.unit))
            }
            Slip::Metres => format!("was it meant in metres, {likely}"),
            Slip::UnitTwice => format!("was it {likely}, brought to the other unit once too often"),
            Slip::Digits => format!("was it {likely}, with two digits exchanged"),
            Slip::Half => format!("is it only half, and the whole {likely}"),
            Slip::Double => format!("was it taken double, and is {likely}"),
            Slip::Ten => format!("was it {likely}"),
            Slip::Exchanged => {
                let partner = self.partner.map_or("", |p| body::NAMES[p]);
                format!("was it exchanged with {partner} {likely}")
            }
        }
    }
}

/// The likeliest slip that would make a suspect a usual measure beside those that are `kept`;
/// `others` are under suspicion too, and may have been exchanged with it.
pub(super) fn mend(
    card: &Card,
    kept: &[Given],
    others: &[Given],
    suspect: &Suspect,
) -> Option<Mended> {
    let name = body::NAMES[suspect.given.place];
    let measured = card.measured(name)?;
    let heel = card.heel_in(name);
    let now = (measured.length - heel).in_mm();
    let mut best: Option<(Mended, f64)> = None;
    let mut consider = |slip: Slip, length: Length, partner: Option<usize>, odd: f64| {
        let score = slip.rarer() - odd * odd / 2.0;
        if odd.abs() < LIKELY && best.as_ref().is_none_or(|(_, b)| score > *b) {
            let mended = Mended {
                slip,
                length,
                odd,
                partner,
            };
            best = Some((mended, score));
        }
    };
    for (slip, length) in repairs(measured) {
        let then = (length - heel).in_mm();
        if then > 0.0 && now > 0.0 {
            let odd = suspect.odd + angle::ln(then / now) / suspect.deviation;
            consider(slip, length, None, odd);
        }
    }
    for partner in partners(kept, others, suspect) {
        if let Some((length, odd)) = exchanged(card, kept, suspect.given, partner) {
            consider(Slip::Exchanged, length, Some(partner.place), odd);
        }
    }
    best.map(|(mended, _)| mended)
}

/// The measures that may have been exchanged with a suspect: a measure that stands in another's
/// place is odd itself.
fn partners(kept: &[Given], others: &[Given], suspect: &Suspect) -> Vec<Given> {
    let mut out = others.to_vec();
    let mut all = kept.to_vec();
    all.push(suspect.given);
    if let Some(fit) = body::fit(&all, Bodies::at_large(&all)) {
        let odd = kept
            .iter()
            .zip(&fit.odd)
            .filter(|(_, odd)| odd.abs() > ALSO_ODD);
        out.extend(odd.map(|(given, _)| *given));
    }
    out
}

/// The lengths that a slip may have turned into the one on the card.
fn repairs(measured: &Measured) -> Vec<(Slip, Length)> {
    let length = measured.length;
    let unit = measured.unit;
    let (to_other, back) = match unit {
        Unit::Inch => (length / 2.54, length * 2.54),
        Unit::Cm => (length * 2.54, length / 2.54),
    };
    let mut out = vec![(Slip::Unit, to_other), (Slip::UnitTwice, back)];
    if unit == Unit::Cm {
        out.push((Slip::Metres, length * 100.0));
    }
    for count in exchanged_digits(unit.count(length)) {
        if let Some(length) = unit.of(count) {
            out.push((Slip::Digits, length));
        }
    }
    let ten = Length::mm(10.0 * MM_PER_INCH * if unit == Unit::Cm { 1.0 / 2.54 } else { 1.0 });
    let round = names::find(&measured.name).is_some_and(|m| m.kind == Kind::Girth);
    if round {
        out.push((Slip::Half, length * 2.0));
        out.push((Slip::Double, length / 2.0));
    }
    out.push((Slip::Ten, length + ten));
    out.push((Slip::Ten, length - ten));
    out
}

/// The numbers that come of exchanging two neighbouring digits before the decimal mark.
fn exchanged_digits(number: f64) -> Vec<f64> {
    if !(0.0..1e6).contains(&number) {
        return Vec::new();
    }
    // A hair, so that 21 in kept in millimetres has 21 for its whole part.
    let whole = (number + 1e-6).floor();
    let rest = number - whole;
    let mut out = Vec::new();
    // 30 written as 03.
    if (1.0..10.0).contains(&whole) {
        out.push(whole * 10.0 + rest);
    }
    let mut power = 1.0;
    while power * 10.0 <= whole {
        let low = (whole / power).floor() % 10.0;
        let high = (whole / (power * 10.0)).floor() % 10.0;
        if (low - high).abs() > 0.5 {
            out.push(whole + (low - high) * 9.0 * power + rest);
        }
        power *= 10.0;
    }
    out
}

/// What the first of two measures would be if they stood in each other's place, and how odd the
/// odder of the two would then be.
fn exchanged(card: &Card, kept: &[Given], a: Given, b: Given) -> Option<(Length, f64)> {
    let (name_a, name_b) = (body::NAMES[a.place], body::NAMES[b.place]);
    let (length_a, length_b) = (card.get(name_a)?, card.get(name_b)?);
    let mut swapped: Vec<Given> = kept
        .iter()
        .filter(|k| k.place != b.place)
        .copied()
        .collect();
    swapped.push(Given::new(a.place, length_b - card.heel_in(name_a))?);
    swapped.push(Given::new(b.place, length_a - card.heel_in(name_b))?);
    let fit = body::fit(&swapped, Bodies::at_large(&swapped))?;
    let odder = fit.odd[swapped.len() - 2..]
        .iter()
        .copied()
        .max_by(|x, y| x.abs().total_cmp(&y.abs()))?;
    Some((length_b, odder))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a pair of digits that is missed, or a decimal that is moved.
    #[test]
    fn neighbouring_digits_are_exchanged() {
        assert_eq!(exchanged_digits(38.25), [83.25]);
        assert_eq!(exchanged_digits(162.0), [126.0 + 0.0, 612.0]);
        assert_eq!(exchanged_digits(3.25), [30.25]);
        assert!(exchanged_digits(33.0).is_empty());
        assert!(exchanged_digits(f64::INFINITY).is_empty());
    }
}
