//! F32: what the skirt weighs.

use measure::Length;
use piece::cutting_line;

use crate::finding::{Amount, Finding, Weight};
use crate::rules::F32;
use crate::seen::{Place, Seen};

/// Above this many grams it is told.
const TELL: f64 = 1500.0;
/// Above this many grams she is asked.
const ASK: f64 = 2000.0;
/// Chords this near the cutting line, in millimetres.
const NEAR_MM: f64 = 0.1;

/// What the shell weighs in grams, allowances included, where the cloth's weight is known.
pub(crate) fn grams(seen: &Seen<'_>) -> Option<f64> {
    let heavy = seen.cloth?.weight?;
    let area: f64 = seen
        .parts
        .iter()
        .filter(|p| p.place != Place::Under)
        .map(|p| {
            let cut = cutting_line(p.piece).ok();
            let inside = cut.map_or_else(|| p.piece.area(), |c| area(&c.curve));
            p.times * inside
        })
        .sum();
    (area > 0.0).then_some(area / 1e6 * heavy)
}

fn area(closed: &measure::Curve) -> f64 {
    let points = closed.flatten(Length::mm(NEAR_MM));
    let twice: f64 = points
        .windows(2)
        .map(|w| w[0].x * w[1].y - w[1].x * w[0].y)
        .sum();
    (twice / 2.0).abs()
}

/// F32.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let Some(grams) = grams(seen).filter(|g| *g > TELL) else {
        return Vec::new();
    };
    let (weight, allowed) = if grams > ASK {
        (Weight::Ask, ASK)
    } else {
        (Weight::Note, TELL)
    };
    vec![
        Finding::of(
            &F32,
            weight,
            "shell",
            format!(
                "The shell weighs about {:.1} kg, allowances and all, and hangs from the waist.",
                grams / 1000.0
            ),
        )
        .out_by(Amount::Grams(grams), Some(Amount::Grams(allowed))),
    ]
}

#[cfg(test)]
mod tests;
