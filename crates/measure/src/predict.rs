//! What a missing measure may be, from those on the card: a value, and the band it lies in.

use crate::angle;
use crate::body::{self, Bodies, Given};
use crate::card::Card;
use crate::length::Length;
use crate::names;

/// A measure that was not taken, reckoned from others.
#[derive(Clone, Debug, PartialEq)]
pub struct Predicted {
    /// Its trade name.
    pub name: String,
    /// The likeliest value, as the card would hold it: a floor length with the heel in it.
    pub value: Length,
    /// Nine women in ten lie above this or in the band ...
    pub low: Length,
    /// ... from `low` to `high`.
    pub high: Length,
    /// The measures it was reckoned from, the most telling first. Empty when the card holds none
    /// that tells anything: then it is what is usual.
    pub from: Vec<String>,
}

/// Deviations on each side of the mean that hold nine in ten.
const NINE_IN_TEN: f64 = 1.645;

/// Bands are quoted this much wider, because one survey's bands hold 80 to 91 in a hundred of
/// another survey's women instead of 90.
const WIDER: f64 = 1.15;

/// A further measure is used only if it narrows the band by this share at least.
const WORTH_IT: f64 = 0.03;

/// More measures than this in one prediction can't be followed by eye.
const MOST_USED: usize = 4;

/// What a measure may be that the card does not hold, or `None` for one that has no known relation
/// to the others.
///
/// The measures that tell most are picked one by one, and the prediction rests on them alone. A
/// measure that the card holds already is predicted from the others. The padded hip is neither
/// predicted nor used.
///
/// # Example
/// ```
/// use measure::{Card, Length, fraction::Unit, predict::predict};
/// let card = Card::new("x", Unit::Inch).with("waist to floor", Length::inches(41.5));
/// let knee = predict(&card, "waist to knee").unwrap();
/// assert!((knee.value.in_inches() - 23.5).abs() < 0.1);
/// assert!(knee.low < knee.value && knee.value < knee.high);
/// assert_eq!(knee.from, ["waist to floor"]);
/// ```
pub fn predict(card: &Card, name: &str) -> Option<Predicted> {
    let measure = names::find(name)?;
    let place = body::place(measure.name)?;
    let known: Vec<Given> = body::given(card)
        .into_iter()
        .filter(|g| g.place != place)
        .collect();
    let used = telling(place, &known);
    let guess = body::guess(place, &used, Bodies::Surveyed);
    let side = guess.deviation * NINE_IN_TEN * WIDER;
    let heel = card.heel_in(measure.name);
    let at = |log: f64| Some(Length::try_mm(angle::exp(log) * crate::length::MM_PER_INCH)? + heel);
    Some(Predicted {
        name: measure.name.to_owned(),
        value: at(guess.log)?,
        low: at(guess.log - side)?,
        high: at(guess.log + side)?,
        from: used
            .iter()
            .map(|g| body::NAMES[g.place].to_owned())
            .collect(),
    })
}

/// The few known measures that tell most of the one at `place`, the most telling first.
fn telling(place: usize, known: &[Given]) -> Vec<Given> {
    let mut used: Vec<Given> = Vec::new();
    let mut deviation = body::guess(place, &used, Bodies::Surveyed).deviation;
    while used.len() < MOST_USED {
        let mut best: Option<(Given, f64)> = None;
        for next in known.iter().filter(|k| !used.contains(k)) {
            let mut with = used.clone();
            with.push(*next);
            let narrowed = body::guess(place, &with, Bodies::Surveyed).deviation;
            if best.is_none_or(|(_, b)| narrowed < b) {
                best = Some((*next, narrowed));
            }
        }
        let Some((next, narrowed)) = best else { break };
        if narrowed > deviation * (1.0 - WORTH_IT) {
            break;
        }
        used.push(next);
        deviation = narrowed;
    }
    used
}

#[cfg(test)]
mod tests;
