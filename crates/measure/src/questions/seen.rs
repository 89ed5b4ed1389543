//! Single measures beyond everything that was ever seen.

use super::{Question, Told, Weight, more_or_less, range, said};
use crate::body;
use crate::card::Card;
use crate::length::Length;
use crate::names::{self, Kind};

/// The smallest and largest of a thousand women, in inches; and whether the top was seen only on
/// bodies of hips up to 48 in, and so grows with a larger hip.
///
/// 0.1 and 99.9 percent points of the pooled surveys: US Army 1988 and 2012 and CDC 2017-2020
/// (public domain), and G. Heinz et al., J. Statistics Education 11(2), 2003.
const SEEN: &[(&str, f64, f64, bool)] = &[
    ("height", 55.29, 72.28, false),
    ("bust", 28.65, 47.66, true),
    ("underbust", 25.45, 37.70, true),
    ("waist", 22.89, 62.30, false),
    ("hip", 30.58, 67.14, false),
    ("thigh", 18.10, 33.23, true),
    ("knee", 11.49, 19.04, true),
    ("calf", 11.38, 18.51, true),
    ("ankle", 6.68, 10.69, true),
    ("waist to hip", 5.14, 11.35, false),
    ("waist to knee", 19.20, 27.22, false),
    ("waist to floor", 35.05, 48.38, false),
    ("knee to floor", 14.02, 21.24, false),
    ("hip to floor", 26.88, 39.42, false),
    ("crotch height", 25.17, 36.41, false),
    ("hip to knee", 11.97, 18.34, false),
    ("back waist length", 11.53, 17.71, false),
    ("front waist length", 9.73, 15.54, false),
    ("shoulder", 4.28, 7.07, false),
    ("bust span", 5.24, 9.37, true),
    ("neck", 11.75, 17.84, true),
    ("upper arm", 8.96, 14.31, true),
    ("wrist", 5.24, 7.13, true),
];

/// A range is widened by this share before it is asked about.
const WIDER: f64 = 1.08;

/// The same where only memory gives the range.
const MUCH_WIDER: f64 = 1.3;

/// The hip up to which the narrow tops were seen, in inches.
const HIP_SEEN: f64 = 48.0;

/// What is known of how far a single measure reaches.
struct Reach {
    /// In inches.
    low: f64,
    high: f64,
    /// How many times beyond it is asked about; never, when nothing but memory gives the range and
    /// the body model knows better.
    ask: Option<f64>,
}

/// Knees, thighs and lengths of larger hips were never surveyed, nor shorter women, in inches.
const HIP_KNOWN: f64 = 53.0;
const HEIGHT_KNOWN: f64 = 56.0;

/// The range of a measure: what was seen, or what a measurer looks at again, whichever reaches
/// farther; widened at the top for a large hip.
fn reach(name: &str, card: &Card) -> Option<Reach> {
    let measure = names::find(name)?;
    let counted = SEEN.iter().find(|(n, ..)| *n == name);
    let again = measure.ask_again.filter(|_| measure.kind != Kind::Angle);
    let (low, mut high) = match (counted, again) {
        (Some((_, low, high, _)), Some((l, h))) => (low.min(l), high.max(h)),
        (Some((_, low, high, _)), None) => (*low, *high),
        (None, Some(range)) => range,
        (None, None) => return None,
    };
    let grows = match counted {
        Some((.., grows)) => *grows,
        None => matches!(measure.kind, Kind::Girth | Kind::Arc),
    };
    if grows && let Some(hip) = card.get("hip") {
        high *= (hip.in_inches() / HIP_SEEN).clamp(1.0, 1.6);
    }
    let ask = match counted {
        Some(_) => Some(WIDER),
        None if body::place(name).is_some() => None,
        None => Some(MUCH_WIDER),
    };
    Some(Reach { low, high, ask })
}

impl Reach {
    fn is_beyond(&self, inches: f64) -> bool {
        self.ask
            .is_some_and(|by| inches < self.low / by || inches > self.high * by)
    }
}

/// Whether a measure, barefoot, lies beyond everything that was seen.
pub(super) fn beyond(name: &str, barefoot: Length, card: &Card) -> bool {
    reach(name, card).is_some_and(|r| r.is_beyond(barefoot.in_inches()))
}

/// Asks about single measures that are beyond everything seen, and notes those at its edge.
pub(super) fn ask(card: &Card, told: &mut Told) {
    for measured in card.measures() {
        let name = measured.name.as_str();
        if told.has(name) {
            continue;
        }
        let (Some(reach), Some(barefoot)) = (reach(name, card), card.barefoot(name)) else {
            continue;
        };
        let (low, high) = (reach.low, reach.high);
        let inches = barefoot.in_inches();
        if (low..=high).contains(&inches) {
            continue;
        }
        let far = reach.is_beyond(inches);
        let heel = card.heel_in(name);
        let usual = range(
            measured.unit,
            Length::inches(low) + heel,
            Length::inches(high) + heel,
        );
        let word = more_or_less(name, inches > high);
        told.push(Question {
            measure: name.to_owned(),
            weight: if far { Weight::Ask } else { Weight::Note },
            rule: "card.seen".to_owned(),
            says: if far {
                format!(
                    "{name} {} is {word} than anyone measured ({usual}); please look again.",
                    said(card, name)
                )
            } else {
                format!(
                    "{name} {} is {word} than usual ({usual}); please look again.",
                    said(card, name)
                )
            },
            likely: None,
        });
    }
    slopes(card, told);
    outside(card, told);
}

/// Notes a body larger or smaller than those that lengths and legs are reckoned from.
fn outside(card: &Card, told: &mut Told) {
    let bodies = [
        ("hip", card.get("hip").filter(|h| h.in_inches() > HIP_KNOWN)),
        (
            "height",
            card.get("height").filter(|h| h.in_inches() < HEIGHT_KNOWN),
        ),
    ];
    for (name, found) in bodies {
        if found.is_some() && !told.has(name) {
            told.push(Question {
                measure: name.to_owned(),
                weight: Weight::Note,
                rule: "card.outside".to_owned(),
                says: format!(
                    "{name} {} lies outside the bodies that missing measures are reckoned from; better measure than reckon.",
                    said(card, name)
                ),
                likely: None,
            });
        }
    }
}

fn slopes(card: &Card, told: &mut Told) {
    for slope in card.angles() {
        let Some((low, high)) = names::find(&slope.name).and_then(|m| m.ask_again) else {
            continue;
        };
        let degrees = slope.angle.in_degrees();
        if !(low..=high).contains(&degrees) {
            told.push(Question {
                measure: slope.name.clone(),
                weight: Weight::Note,
                rule: "card.seen".to_owned(),
                says: format!(
                    "{} {degrees:.0} degrees is unusual ({low:.0} to {high:.0}); please look again.",
                    slope.name
                ),
                likely: None,
            });
        }
    }
}
