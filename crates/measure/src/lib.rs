//! Lengths, fractions and angles; the card and what each measure means; points, curves.
//!
//! Conventions, written once: the paper's x runs from the left edge (where the centre line usually
//! stands) towards the side seam; y runs **down** the skirt. A turn is positive when it is
//! **clockwise as seen on the paper**. A pattern piece is a ring walked clockwise, so its outside
//! lies to the **left** of the walker. All coordinates are millimetres.
//!
//! Invariant: this is the only crate that names the curve library.
#![warn(clippy::disallowed_methods)]

pub mod angle;
mod body;
pub mod card;
mod crossing;
pub mod curve;
pub mod date;
pub mod fraction;
pub mod length;
pub mod motion;
pub mod names;
pub mod offset;
mod outer;
pub mod page;
pub mod point;
pub mod predict;
pub mod questions;
pub mod spline;
pub mod step;
pub mod words;

pub use angle::Angle;
pub use card::Card;
pub use crossing::Crossing;
pub use curve::{Curve, Degenerate, Near, Place, Segment};
pub use date::Date;
pub use length::Length;
pub use motion::Motion;
pub use outer::outermost;
pub use point::{Point, Vector};
