//! Turning a piece on the table, and turning it over.

use measure::{Angle, Motion, Point, Vector};

use super::{sane_curve, sane_point};
use crate::fault::Fault;
use crate::ring::Piece;

/// The piece turned over about the upright line through its own middle, so that it lies where it
/// lay; what was clockwise is walked clockwise again.
///
/// # Errors
/// When the piece has no outline.
pub fn turn_over(piece: &Piece) -> Result<Piece, Fault> {
    let outline = piece.outline()?;
    sane_curve(&outline)?;
    let (low, high) = outline.bounds();
    Ok(piece.moved(&Motion::reflect(low.toward(high, 0.5), Vector::DOWN)))
}

/// The piece turned about a point, clockwise when the angle is positive.
///
/// # Errors
/// When the point is nowhere on the paper.
pub fn turned(piece: &Piece, about: Point, by: Angle) -> Result<Piece, Fault> {
    if !by.in_radians().is_finite() {
        return Err(Fault::Says("That is no angle to turn by.".to_owned()));
    }
    Ok(piece.moved(&Motion::turn(sane_point(about)?, by)))
}
