//! Slips of the pen: a wrong unit, digits exchanged, a girth taken halfway round, ten too many.
//!
//! Each measure is held against what all the others let expect. The one that lies farthest off is
//! taken away and the rest is looked at again, so that an innocent measure is not named for being
//! in bad company (body/body.md 4.3, "finer test").

use super::{Question, Weight, is_asked, more_or_less, other, range, said, shown};
use crate::angle;
use crate::body::{self, Bodies, Fit, Given};
use crate::card::{Card, Measured};
use crate::fraction::{Shown, Unit, show, show_number};
use crate::length::{Length, MM_PER_INCH};

/// So many deviations off is asked about.
const ASK: f64 = 4.5;
/// So many are asked about when a common slip of the pen explains them wholly.
const ASK_WHEN_EXPLAINED: f64 = 3.8;
/// What a slip has explained lies within so many deviations.
const EXPLAINED: f64 = 1.5;
/// So many deviations off is worth a note.
const NOTE: f64 = 3.5;
/// A mended value lies within so many deviations, or it is no likely value.
const LIKELY: f64 = 2.8;
/// With fewer measures than this the test is weak, and says less.
const ENOUGH: usize = 7;

/// Whether all the numbers were written in the other unit.
pub(super) fn whole_card(card: &Card) -> Option<Question> {
    let given = body::given(card);
    if given.len() < 3 {
        return None;
    }
    let scaled = |by: f64| -> f64 {
        let moved: Vec<Given> = given
            .iter()
            .map(|g| Given {
                off: g.off + angle::ln(by),
                ..*g
            })
            .collect();
        body::distance_squared(&moved, Bodies::AtLarge)
    };
    let now = scaled(1.0);
    let metres = 2.54;
    let (by, unit) = if scaled(1.0 / metres) < scaled(metres) {
        (1.0 / metres, Unit::Cm)
    } else {
        (metres, Unit::Inch)
    };
    let then = scaled(by);
    // All bodies lie about as far off as they have measures; twice that is still a body.
    #[expect(clippy::cast_precision_loss, reason = "a card has few measures")]
    let usual = given.len() as f64;
    let clearly = now > 60.0 + 4.0 * usual && then < 3.0 * usual + 12.0;
    clearly.then(|| Question {
        measure: "unit".to_owned(),
        weight: Weight::Ask,
        rule: "card.unit".to_owned(),
        says: format!(
            "No body has these numbers in {}, but one may have them in {}. Was the whole card written in {}?",
            other(unit),
            unit,
            match unit {
                Unit::Cm => "centimetres",
                Unit::Inch => "inches",
            }
        ),
        likely: None,
    })
}

/// The measures that the others speak against.
pub(super) fn ask(card: &Card) -> Vec<Question> {
    let mut questions = Vec::new();
    let mut known = body::given(card);
    while known.len() >= 2 {
        let Some(fit) = body::fit(&known, Bodies::AtLarge) else {
            break;
        };
        let Some(found) = farthest(&fit) else { break };
        let odd = fit.odd[found];
        if odd.abs() < ASK_WHEN_EXPLAINED {
            break;
        }
        let mended = mend(card, &known, &fit, found);
        let explained = mended
            .as_ref()
            .is_some_and(|m| m.slip.is_of_the_pen() && m.odd.abs() < EXPLAINED);
        if odd.abs() < ASK && !(explained && known.len() >= ENOUGH) {
            break;
        }
        let partner = mended.as_ref().and_then(|m| m.partner);
        questions.push(question(card, &known, &fit, found, mended));
        let gone = known[found].place;
        known.retain(|g| g.place != gone && Some(g.place) != partner);
    }
    questions
}

/// Of the measures that are not asked about, those that lie far enough off to be noted.
pub(super) fn note(card: &Card, questions: &mut Vec<Question>) {
    let mut known: Vec<Given> = body::given(card)
        .into_iter()
        .filter(|g| !is_asked(questions, body::NAMES[g.place]))
        .collect();
    while known.len() >= ENOUGH {
        let Some(fit) = body::fit(&known, Bodies::AtLarge) else {
            return;
        };
        let Some(found) = farthest(&fit) else { return };
        if fit.odd[found].abs() < NOTE {
            return;
        }
        let mended = mend(card, &known, &fit, found);
        let mut question = question(card, &known, &fit, found, mended);
        question.weight = Weight::Note;
        questions.push(question);
        known.remove(found);
    }
}

/// The measure that lies farthest from what the others let expect.
pub(super) fn farthest(fit: &Fit) -> Option<usize> {
    let mut best: Option<usize> = None;
    for (i, odd) in fit.odd.iter().enumerate() {
        if best.is_none_or(|b| odd.abs() > fit.odd[b].abs()) {
            best = Some(i);
        }
    }
    best
}

/// What may have happened to a number.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Slip {
    /// Written in the other unit.
    Unit,
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
        matches!(self, Self::Unit | Self::Digits | Self::Half)
    }

    /// How rare it is beside a wrong unit, as the logarithm of its chance.
    fn rarer(self) -> f64 {
        match self {
            Self::Unit => 0.0,
            Self::Digits => -0.5,
            Self::Half => -1.0,
            Self::Exchanged => -1.5,
            Self::Double => -2.5,
            Self::Ten => -2.5,
        }
    }
}

/// A number as it probably was.
#[derive(Clone, Debug)]
struct Mended {
    slip: Slip,
    /// As the card would hold it.
    length: Length,
    /// How far it still lies from what the others let expect.
    odd: f64,
    /// The measure with which it was exchanged.
    partner: Option<usize>,
}

/// The likeliest slip that would make the measure at `found` a usual one.
fn mend(card: &Card, known: &[Given], fit: &Fit, found: usize) -> Option<Mended> {
    let name = body::NAMES[known[found].place];
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
            let odd = fit.odd[found] + angle::ln(then / now) / fit.deviation[found];
            consider(slip, length, None, odd);
        }
    }
    for (j, partner) in known.iter().enumerate() {
        if j == found {
            continue;
        }
        if let Some((length, odd)) = exchanged(card, known, found, j) {
            consider(Slip::Exchanged, length, Some(partner.place), odd);
        }
    }
    best.map(|(mended, _)| mended)
}

/// The lengths that a slip may have turned into the one on the card.
fn repairs(measured: &Measured) -> Vec<(Slip, Length)> {
    let length = measured.length;
    let unit = measured.unit;
    let to_other = match unit {
        Unit::Inch => length / 2.54,
        Unit::Cm => length * 2.54,
    };
    let mut out = vec![(Slip::Unit, to_other)];
    for count in exchanged_digits(unit.count(length)) {
        if let Some(length) = unit.of(count) {
            out.push((Slip::Digits, length));
        }
    }
    let ten = Length::mm(10.0 * MM_PER_INCH * if unit == Unit::Cm { 1.0 / 2.54 } else { 1.0 });
    out.push((Slip::Half, length * 2.0));
    out.push((Slip::Double, length / 2.0));
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

/// What the two measures would be if they stood in each other's place, and how odd the odder of
/// the two would be.
fn exchanged(card: &Card, known: &[Given], a: usize, b: usize) -> Option<(Length, f64)> {
    let (name_a, name_b) = (body::NAMES[known[a].place], body::NAMES[known[b].place]);
    let (length_a, length_b) = (card.get(name_a)?, card.get(name_b)?);
    let mut swapped = known.to_vec();
    swapped[a] = Given::new(known[a].place, length_b - card.heel_in(name_a))?;
    swapped[b] = Given::new(known[b].place, length_a - card.heel_in(name_b))?;
    let fit = body::fit(&swapped, Bodies::AtLarge)?;
    let odder = if fit.odd[a].abs() > fit.odd[b].abs() {
        fit.odd[a]
    } else {
        fit.odd[b]
    };
    Some((length_b, odder))
}

/// The question about the measure at `found`, with the slip that explains it if one does.
fn question(
    card: &Card,
    known: &[Given],
    fit: &Fit,
    found: usize,
    mended: Option<Mended>,
) -> Question {
    let place = known[found].place;
    let name = body::NAMES[place];
    let more = fit.odd[found] > 0.0;
    let word = more_or_less(name, more);
    let measured = card.measured(name);
    let length = measured.map_or(Length::ZERO, |m| m.length);
    let barefoot = length - card.heel_in(name);
    let against = match super::seen::beyond(name, barefoot, card) {
        Some(true) => "than anyone measured".to_owned(),
        _ => {
            let others: Vec<Given> = known.iter().filter(|g| g.place != place).copied().collect();
            let guess = body::guess(place, &others, Bodies::AtLarge);
            let at = |side: f64| {
                let inches = angle::exp(guess.log + side * guess.deviation);
                Length::try_mm(inches * MM_PER_INCH).unwrap_or(length) + card.heel_in(name)
            };
            format!(
                "than her other measures let expect, about {}",
                range(card, at(-1.645), at(1.645))
            )
        }
    };
    let asks = match (&mended, measured) {
        (Some(m), Some(measured)) => was_it(card, measured, m),
        _ => "please measure it again".to_owned(),
    };
    Question {
        measure: name.to_owned(),
        weight: Weight::Ask,
        rule: "card.slip".to_owned(),
        says: format!("{} {} is {word} {against}; {asks}", name, said(card, name)) + end(&mended),
        likely: mended.map(|m| m.length),
    }
}

fn end(mended: &Option<Mended>) -> &'static str {
    if mended.is_some() { "?" } else { "." }
}

/// The end of the question: what the number may have been.
fn was_it(card: &Card, measured: &Measured, mended: &Mended) -> String {
    let likely = shown(card, mended.length);
    match mended.slip {
        Slip::Unit => {
            let number = show_number(measured.length, Shown::usual(measured.unit));
            format!("was it {number} {}, {likely}", other(measured.unit))
        }
        Slip::Digits => format!("was it {likely}, with two digits exchanged"),
        Slip::Half => format!("is it only half, and the whole {likely}"),
        Slip::Double => format!("was it taken double, and is {likely}"),
        Slip::Ten => format!("was it {likely}"),
        Slip::Exchanged => {
            let partner = mended.partner.map_or("", |p| body::NAMES[p]);
            format!(
                "was it exchanged with {partner} {}",
                show(mended.length, Shown::usual(card.unit()))
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a pair of digits that is missed, or a decimal that is moved.
    #[test]
    fn neighbouring_digits_are_exchanged() {
        assert_eq!(exchanged_digits(38.25), [83.25]);
        assert_eq!(exchanged_digits(162.0), [126.0 + 0.0, 612.0]);
        assert!(exchanged_digits(8.75).is_empty());
        assert!(exchanged_digits(33.0).is_empty());
        assert!(exchanged_digits(f64::INFINITY).is_empty());
    }
}
