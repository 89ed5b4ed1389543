//! The inspector: every rule of the trade that can be seen on paper, over card, draft and pieces.
//!
//! ```text
//! Subject (card, worked draft, cloth) -> Seen (measured afresh) -> Finding, the gravest first
//! ```
//! Invariants: nothing is taken from the maker but what it drew and what it declares (edges, darts,
//! notches, allowances, which seam is sewn to which, with how much ease): every length, angle and
//! girth is measured afresh here, on chords within [`lines::NEAR_MM`] of the stitching lines, darts
//! closed, allowances left out. A rule that can't be judged honestly says nothing. Each rule stands
//! once in [`rules::RULES`], which RULES.md repeats for people. No garment is known here.
#![warn(clippy::disallowed_methods)]

pub mod cautions;
pub mod cure;
pub mod finding;
pub mod her;
pub mod lines;
pub mod measured;
pub mod round;
pub mod rules;
pub mod seen;
pub mod sides;
pub mod walking;

mod allowances;
mod blend;
mod cloth;
mod corners;
mod cut;
mod darts;
mod flare;
mod grain;
mod hang;
mod hip;
mod length;
mod metric;
mod near;
mod notches;
mod opening;
mod pairs;
mod refit;
mod ring;
mod rounds;
#[cfg(test)]
mod samples;
mod seams;
mod sitting;
#[cfg(test)]
mod sketch;
mod thigh;
pub mod told;
mod train;
mod waist;
mod walked;
mod ways;
mod weight;

use measure::fraction::Unit;

pub use cautions::{Caution, cautions};
pub use finding::{Amount, Finding, Spot, Try, Weight};
pub use measured::{Measured, Step};
pub use seen::{Seen, Subject};

/// All that is to be told before cloth is cut: what the inspector finds, what the method's own checks
/// and the truing say, the card's questions, and measures that were reckoned; the gravest first.
pub fn all(subject: &Subject<'_>) -> Vec<Finding> {
    let mut out = inspect(subject);
    out.extend(told::others(subject));
    out.sort_by_key(|f| f.weight);
    out
}

/// All that the rules find, the gravest first; of the same weight in the order of the finders. For a
/// reader in centimetres the figures of fixed sentences are in centimetres too.
pub fn inspect(subject: &Subject<'_>) -> Vec<Finding> {
    let seen = Seen::of(subject);
    let found = near::FINDERS.iter().flat_map(|find| find(&seen));
    let mut out: Vec<Finding> = match subject.shown.unit {
        Unit::Inch => found.collect(),
        Unit::Cm => found.map(metric::told).collect(),
    };
    out.sort_by_key(|f| f.weight);
    out
}
