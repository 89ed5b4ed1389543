//! Finished pattern pieces: edges with roles, allowances, corners, notches, darts, grain; and the work
//! done on them.
//!
//! Invariants: a piece is a ring of named edges walked clockwise on the paper, each beginning where the
//! one before ends; its edges are **stitching** lines, and the cutting line is derived from them. A
//! piece knows no language, page or client: one built by hand is as good as one from a method.
#![warn(clippy::disallowed_methods)]

pub mod allowance;
pub mod cap;
mod corner;
pub mod cutting;
pub mod edge;
pub mod fault;
pub mod flat;
pub mod ring;
#[cfg(test)]
mod samples;
mod strip;
pub mod walk;
pub mod works;

pub use allowance::{Allowance, Change, How};
pub use cap::capped_curve;
pub use cutting::{CuttingLine, NotchPlace, Zone, cutting_line, notch_places, notch_places_on};
pub use edge::{Corner, Edge, Notch, Role};
pub use fault::Fault;
pub use flat::{Flat, Outline, stitching_outline};
pub use ring::{Balance, Cut, Dart, Grain, Mark, Piece, Toward};
pub use walk::{Walk, walk};
