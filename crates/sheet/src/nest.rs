//! Pieces laid on a strip of paper so that little of its length is used: true outlines, not boxes.
//!
//! The strip is cut into narrow columns. In each column an outline is the stretches of the column
//! that it touches, so that to find the highest free place is to slide stretches down past stretches.
//! Stretches are taken generously: what is laid keeps at least the gap, and never lies over another.
//! All searching is bounded by counts, so that it ends, and ends alike everywhere.

use measure::{Point, Vector};

use crate::quad::Rect;

mod columns;
mod search;

/// What a thing covers: closed rings. What any of them goes round is its own.
pub(crate) type Outline = Vec<Vec<Point>>;

/// The paper to lay on.
#[derive(Clone, Debug)]
pub(crate) struct Strip {
    /// Across, in millimetres.
    pub(crate) width: f64,
    /// The longest sheet.
    pub(crate) length: f64,
    /// Two things stay so far apart; never nothing, columns are a part of it.
    pub(crate) gap: f64,
    /// What is taken on every sheet before anything is laid.
    pub(crate) taken: Vec<Rect>,
}

/// Where a thing lies: on which sheet, in which of its ways, and how far it is shifted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Laid {
    pub(crate) sheet: usize,
    pub(crate) way: usize,
    pub(crate) by: Vector,
}

/// Lays things, each in one of its ways; nothing when one fits in none.
pub(crate) fn nest(things: &[Vec<Outline>], strip: &Strip) -> Option<Vec<Laid>> {
    search::best(things, strip)
}

/// A place for one more thing, in the first of its ways that finds one, without making the sheet
/// longer than `foot`; the things there already are rings. The thing keeps `room` from them, and from
/// the edge of the strip the gap at most.
pub(crate) fn one_more(
    ways: &[Outline],
    strip: &Strip,
    there: &[Outline],
    foot: f64,
    room: f64,
) -> Option<Laid> {
    search::one_more(ways, strip, there, foot, room)
}

#[cfg(test)]
mod tests;
