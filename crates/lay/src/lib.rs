//! Cloth: what it is, and how pieces lie on it.
//!
//! Invariants: every width, length and share of a [`Cloth`] is finite and not negative; this crate
//! reads no file and knows no clock.
#![warn(clippy::disallowed_methods)]

mod chance;
pub mod cloth;
mod depth;
pub mod judge;
pub mod money;
mod nofit;
pub mod outline;
pub mod solve;
mod start;
mod strip;
mod table;
pub mod task;
mod worker;

pub use cloth::{Cloth, Flaw, Fold, Nap, Price, Runs, Sold};
pub use money::Money;
