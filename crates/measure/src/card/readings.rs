//! Taking a measure twice: when two readings agree, and which number counts.

use crate::length::Length;
use crate::names::{self, Kind};

/// From this length on a tape is read to the quarter.
const LONG_IN: f64 = 20.0;

/// Whether two readings of a measure agree: within 1/4 in for girths and for lengths over 20 in,
/// within 1/8 in for short lengths and widths. (Tolerances from memory, common practice.)
pub fn agree(name: &str, one: Length, other: Length) -> bool {
    let round = names::find(name).is_some_and(|m| matches!(m.kind, Kind::Girth | Kind::Arc));
    let long = one.max(other).in_inches() > LONG_IN;
    let within = if round || long { 0.25 } else { 0.125 };
    // A hair, so that a difference of exactly a quarter still agrees.
    (one - other).abs().in_inches() <= within + 1e-6
}

/// The number that counts of some readings: the mean of the two nearest when they agree, else the
/// mean of all.
pub(super) fn counted(name: &str, readings: &[Length]) -> Option<Length> {
    let Some((one, other)) = nearest(readings) else {
        return readings.first().copied();
    };
    if agree(name, one, other) {
        return Some((one + other) / 2.0);
    }
    #[expect(clippy::cast_precision_loss, reason = "a measure is read a few times")]
    let count = readings.len() as f64;
    Some(readings.iter().copied().sum::<Length>() / count)
}

/// The two readings that lie nearest together.
pub(crate) fn nearest(readings: &[Length]) -> Option<(Length, Length)> {
    let mut best: Option<(Length, Length)> = None;
    for (i, one) in readings.iter().enumerate() {
        for other in &readings[i + 1..] {
            if best.is_none_or(|(a, b)| (*one - *other).abs() < (a - b).abs()) {
                best = Some((*one, *other));
            }
        }
    }
    best
}

impl super::Measured {
    /// Whether it was read once, or two of its readings agree.
    pub fn is_agreed(&self) -> bool {
        nearest(&self.readings).is_none_or(|(one, other)| agree(&self.name, one, other))
    }
}
