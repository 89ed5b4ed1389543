//! Pairs of measures whose quotient is known: no woman's waist is twice her hip.
//!
//! The ranges are the median with 4.5 robust deviations on each side, over four surveys of women:
//! US Army 1988 and 2012 and CDC 2017-2020 (public domain), and G. Heinz et al., J. Statistics
//! Education 11(2), 2003.

use super::{Question, Told, Weight, more_or_less, said};
use crate::body::{self, Bodies, ENOUGH, Given};
use crate::card::Card;

/// The measure whose pairs were never seen in 0.65 % of clean cards, because it is the loosest of
/// all: its pairs are only noted when seven measures and more put neither of the two farther off
/// than [`SURELY_FITS`]. All other pairs together trouble fewer than 0.2 %.
const LOOSEST: &str = "waist to hip";
const SURELY_FITS: f64 = 4.0;

/// One measure over another, and the range of the quotient.
#[expect(
    clippy::approx_constant,
    reason = "0.318 is a share of height, counted, and not 1/pi"
)]
const RULES: &[(&str, &str, f64, f64)] = &[
    ("waist", "hip", 0.57, 1.308),
    ("bust", "hip", 0.714, 1.19),
    ("bust", "waist", 0.979, 1.561),
    ("underbust", "bust", 0.729, 0.99),
    ("thigh", "hip", 0.515, 0.699),
    ("knee", "hip", 0.303, 0.458),
    ("knee", "thigh", 0.498, 0.777),
    ("calf", "knee", 0.789, 1.246),
    ("ankle", "calf", 0.47, 0.754),
    ("ankle", "knee", 0.45, 0.763),
    ("hip", "height", 0.362, 1.232),
    ("waist", "height", 0.27, 1.369),
    ("waist to hip", "height", 0.087, 0.209),
    ("waist to knee", "height", 0.318, 0.423),
    ("waist to floor", "height", 0.589, 0.714),
    ("knee to floor", "height", 0.239, 0.327),
    ("crotch height", "height", 0.404, 0.552),
    ("hip to floor", "height", 0.443, 0.596),
    ("waist to hip", "waist to knee", 0.253, 0.531),
    ("waist to knee", "waist to floor", 0.514, 0.623),
    ("hip to knee", "height", 0.188, 0.289),
    ("back waist length", "height", 0.171, 0.296),
    ("front waist length", "back waist length", 0.684, 1.055),
    // A pad adds to the hip; more than a third is no pad [from memory].
    ("padded hip", "hip", 0.98, 1.35),
];

/// Asks about the pairs that no survey has seen, naming of each pair the measure that the rest of
/// the card speaks against.
pub(super) fn ask(card: &Card, told: &mut Told) {
    for (a, b, low, high) in RULES {
        if told.has(a) || told.has(b) {
            continue;
        }
        let (Some(over), Some(under)) = (card.barefoot(a), card.barefoot(b)) else {
            continue;
        };
        if under.in_mm() <= 0.0 || over.in_mm() <= 0.0 {
            continue;
        }
        let quotient = over / under;
        if (*low..=*high).contains(&quotient) {
            continue;
        }
        let (a_is_odd, odds) = a_is_odder(card, told, a, b);
        let (odd, witness) = if a_is_odd { (a, b) } else { (b, a) };
        let more = (quotient > *high) == a_is_odd;
        let loose = *a == LOOSEST || *b == LOOSEST;
        let weight = if loose && odds.is_some_and(|z| z < SURELY_FITS) {
            Weight::Note
        } else {
            Weight::Ask
        };
        told.push(Question {
            measure: (*odd).to_owned(),
            weight,
            rule: "card.pair".to_owned(),
            says: format!(
                "{odd} {} is {} than any measured beside {witness} {}; please look at both.",
                said(card, odd),
                more_or_less(odd, more),
                said(card, witness),
            ),
            likely: None,
        });
    }
}

/// Whether the first of two measures fits the rest of the card worse than the second; and how far
/// off that one lies, in deviations, when there are enough measures to say so.
fn a_is_odder(card: &Card, told: &Told, a: &str, b: &str) -> (bool, Option<f64>) {
    let known: Vec<Given> = body::given(card)
        .into_iter()
        .filter(|g| !told.has(body::NAMES[g.place]))
        .collect();
    let Some(fit) = body::fit(&known, Bodies::at_large(&known)) else {
        return (true, None);
    };
    let odd = |name: &str| {
        let at = known.iter().position(|g| body::NAMES[g.place] == name)?;
        Some(fit.odd[at].abs())
    };
    let enough = known.len() >= ENOUGH;
    match (odd(a), odd(b)) {
        (Some(a), Some(b)) => (a >= b, enough.then_some(a.max(b))),
        // What the model does not know, such as a pad, gives way to what it does.
        (None, _) => (true, None),
        (_, None) => (false, None),
    }
}
