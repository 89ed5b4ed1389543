//! Cloth: what it is, and how pieces lie on it.
//!
//! [`solve::solve`] looks for a short lay: for every two shapes, as they may be turned, it reckons
//! once where the second would overlap the first (`nofit`) and how deep (`depth`); then hands at a
//! table (`table`, `worker`) shorten the strip and take apart what overlaps. [`judge`] looks at a lay
//! again by other means.
//!
//! [`shop`] says what to buy for a lay, [`quote`] what the whole comes to: both in exact numbers
//! ([`exact`]), each shown figure rounded once.
//!
//! Invariants: every width, length and share of a [`Cloth`] is finite and not negative; no lay that is
//! told breaks a rule of its task by more than the task's `hair`; this crate reads no file and knows
//! no clock.
#![warn(clippy::disallowed_methods)]

mod chance;
pub mod cloth;
pub mod compare;
pub mod cut_piece;
mod depth;
pub mod exact;
mod gap;
pub mod join;
pub mod judge;
pub mod laid;
mod left;
pub mod money;
mod nofit;
pub mod outline;
mod phase;
pub mod place;
pub mod quote;
pub mod scraps;
pub mod shop;
pub mod solve;
pub mod spread;
mod start;
mod strip;
mod table;
pub mod task;
mod worker;

pub use cloth::{Cloth, Flaw, Fold, Nap, NoMatch, Price, Runs, Scrap, Sold};
pub use exact::Exact;
pub use money::Money;
