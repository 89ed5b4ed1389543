//! Slips of the pen: a wrong unit, digits exchanged, a girth taken halfway round, ten too many.
//!
//! Each measure is held against what all the others let expect. The one that lies farthest off is
//! taken away and the rest is looked at again, so that an innocent measure is not named for being
//! in bad company.

use super::mend::{Mended, Suspect, mend};
use super::{Question, Told, Weight, more_or_less, other, range, said};
use crate::angle;
use crate::body::{self, Bodies, ENOUGH, Given};
use crate::card::Card;
use crate::fraction::Unit;
use crate::length::{Length, MM_PER_INCH};

/// So many deviations off is asked about.
const ASK: f64 = 4.5;
/// So many with only a few measures on the card, where the test is weaker.
const ASK_WHEN_FEW: f64 = 5.0;
/// So many are asked about when a common slip of the pen explains them wholly.
const ASK_WHEN_EXPLAINED: f64 = 3.0;
/// So many deviations off is worth a note.
const NOTE: f64 = 3.5;

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
        body::distance_squared(&moved, Bodies::at_large(&moved))
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
pub(super) fn ask(card: &Card, told: &mut Told) {
    let (kept, suspects) = suspects(card);
    let mut found: Vec<(Suspect, Option<Mended>)> = Vec::new();
    for one in &suspects {
        let others: Vec<Given> = suspects.iter().filter(|s| *s != one).copied().collect();
        if let Some(suspect) = Suspect::of(*one, &kept) {
            let mended = mend(card, &kept, &others, &suspect);
            found.push((suspect, mended));
        }
    }
    found.sort_by(|(a, _), (b, _)| b.odd.abs().total_cmp(&a.odd.abs()));
    for (suspect, mended) in found {
        let name = body::NAMES[suspect.given.place];
        if told.has(name) {
            continue;
        }
        if let Some(partner) = mended.as_ref().and_then(|m| m.partner) {
            told.excuse(body::NAMES[partner]);
        }
        told.push(question(card, &kept, &suspect, mended, Weight::Ask));
    }
}

/// The measures of a card that agree with one another, and those that they speak against.
fn suspects(card: &Card) -> (Vec<Given>, Vec<Given>) {
    let mut kept = body::given(card);
    let mut out: Vec<Given> = Vec::new();
    while kept.len() >= 2 {
        let Some(found) = farthest(&kept) else { break };
        let (mut rest, one) = (kept.clone(), kept[found]);
        rest.remove(found);
        let Some(suspect) = Suspect::of(one, &rest) else {
            break;
        };
        let enough = kept.len() >= ENOUGH;
        let most = if enough { ASK } else { ASK_WHEN_FEW };
        let explained = || {
            suspect.odd.abs() >= ASK_WHEN_EXPLAINED
                && mend(card, &rest, &[], &suspect).is_some_and(|m| m.explains())
        };
        if suspect.odd.abs() < most && !(enough && explained()) {
            break;
        }
        out.push(one);
        kept = rest;
    }
    // Two slips in company may have made the innocent look odd; who fits what is left comes back.
    while out.len() >= 2 {
        let odds = out.iter().map(|one| {
            let odd = Suspect::of(*one, &kept).map_or(f64::INFINITY, |s| s.odd.abs());
            (*one, odd)
        });
        let Some((one, odd)) = odds.min_by(|(_, a), (_, b)| a.total_cmp(b)) else {
            break;
        };
        if odd >= ASK_WHEN_EXPLAINED {
            break;
        }
        out.retain(|o| *o != one);
        kept.push(one);
    }
    (kept, out)
}

/// Of the measures that are not asked about, those that lie far enough off to be noted.
pub(super) fn note(card: &Card, told: &mut Told) {
    let mut kept: Vec<Given> = body::given(card)
        .into_iter()
        .filter(|g| !told.has(body::NAMES[g.place]))
        .collect();
    while kept.len() >= ENOUGH {
        let Some(found) = farthest(&kept) else { return };
        let one = kept.remove(found);
        let Some(suspect) = Suspect::of(one, &kept) else {
            return;
        };
        if suspect.odd.abs() < NOTE {
            return;
        }
        let mended = mend(card, &kept, &[], &suspect);
        told.push(question(card, &kept, &suspect, mended, Weight::Note));
    }
}

/// The measure that lies farthest from what the others let expect.
fn farthest(given: &[Given]) -> Option<usize> {
    let fit = body::fit(given, Bodies::at_large(given))?;
    let mut best: Option<usize> = None;
    for (i, odd) in fit.odd.iter().enumerate() {
        if best.is_none_or(|b| odd.abs() > fit.odd[b].abs()) {
            best = Some(i);
        }
    }
    best
}

/// The question about a suspect, with the slip that explains it if one does.
fn question(
    card: &Card,
    kept: &[Given],
    suspect: &Suspect,
    mended: Option<Mended>,
    weight: Weight,
) -> Question {
    let place = suspect.given.place;
    let name = body::NAMES[place];
    let word = more_or_less(name, suspect.odd > 0.0);
    let measured = card.measured(name);
    let length = measured.map_or(Length::ZERO, |m| m.length);
    let unit = measured.map_or(card.unit(), |m| m.unit);
    let heel = card.heel_in(name);
    let against = if super::seen::beyond(name, length - heel, card) {
        "than anyone measured".to_owned()
    } else {
        let guess = body::guess(place, kept, suspect.bodies);
        let at = |side: f64| {
            let inches = angle::exp(guess.log + side * guess.deviation);
            Length::try_mm(inches * MM_PER_INCH).unwrap_or(length) + heel
        };
        format!(
            "than her other measures let expect, about {}",
            range(unit, at(-1.645), at(1.645))
        )
    };
    let asks = match (&mended, measured) {
        (Some(mended), Some(measured)) => mended.was_it(measured) + "?",
        _ => "please measure it again.".to_owned(),
    };
    Question {
        measure: name.to_owned(),
        weight,
        rule: "card.slip".to_owned(),
        says: format!("{name} {} is {word} {against}; {asks}", said(card, name)),
        likely: mended.map(|m| m.length),
    }
}
