//! What the drafter does to a piece: cut, join, close, slash, let out, open out.
//!
//! Every work is a function from a piece to a new one, or to a fault said in her words. One scheme
//! serves them all: find two places on the ring, part it into two chains, move one chain with the
//! marks and darts inside it, bridge what opens. **The part with the fold stays; without a fold the
//! larger part stays.** Edges keep their names, allowances, notches, corners and open stretches.
//!
//! Promise: the new ring is closed, walked clockwise, has an area, and crosses itself nowhere unless
//! the old one did already.

mod cut_along;
mod dart;
mod flare;
mod follow;
mod grain;
mod join;
mod lengthen;
mod let_out;
mod open_out;
mod part;
mod rectangle;
mod replace;
mod sewn;
mod shift;
mod slash;
mod smooth;
mod stretch;
mod strip;
mod turn;

pub use cut_along::cut_along;
pub use dart::{close_dart, swing_dart};
pub use flare::let_out_fading;
pub use join::join;
pub use lengthen::lengthen;
pub use let_out::let_out;
pub use open_out::open_out;
pub use rectangle::rectangle;
pub use replace::replace;
pub use shift::{Shift, shift};
pub use slash::{Place, slash};
pub use smooth::smooth;
pub use strip::strip;
pub use turn::{turn_over, turned};

#[cfg(test)]
mod tests;

use measure::{Curve, Length, Point};

use crate::edge::Edge;
use crate::fault::Fault;
use crate::ring::Piece;

/// Lengths beyond this, in millimetres, are a slip of the pen: 100 metres.
const TOO_LONG: f64 = 100_000.0;
/// Places nearer to each other than this, in millimetres, are the same.
const SAME: f64 = 1e-4;
/// What lies this near to a line, in millimetres, lies on it.
const ON: f64 = 1e-2;
/// A point given for an edge may lie this far off it, in millimetres.
const SNAP: f64 = 5.0;

/// That a point is somewhere on a table.
fn sane_point(p: Point) -> Result<Point, Fault> {
    if p.is_finite() && p.x.abs() < TOO_LONG && p.y.abs() < TOO_LONG {
        Ok(p)
    } else {
        Err(Fault::Says(
            "A point lies far off the paper; look at the lengths that lead to it.".to_owned(),
        ))
    }
}

/// That a length fits on a table.
fn sane_length(l: Length) -> Result<Length, Fault> {
    if l.in_mm().abs() < TOO_LONG {
        Ok(l)
    } else {
        Err(Fault::Says(
            "A length is longer than any cloth; look at its unit.".to_owned(),
        ))
    }
}

/// That a curve is somewhere on a table.
fn sane_curve(c: &Curve) -> Result<(), Fault> {
    let (low, high) = c.bounds();
    sane_point(low)?;
    sane_point(high)?;
    Ok(())
}

/// A straight line, or the fault that there is none.
fn straight(from: Point, to: Point, what: &str) -> Result<Curve, Fault> {
    Curve::line(from, to).map_err(|_| Fault::Nothing(what.to_owned()))
}

/// A name that is not taken yet: `hem`, `hem number 2`, `hem number 3`.
fn unique<'a>(name: &str, taken: impl Iterator<Item = &'a str>) -> String {
    let taken: Vec<&str> = taken.collect();
    if !taken.contains(&name) {
        return name.to_owned();
    }
    (2..=taken.len() + 2)
        .map(|n| format!("{name} number {n}"))
        .find(|n| !taken.contains(&n.as_str()))
        .unwrap_or_else(|| format!("{name} again"))
}

/// A place on the ring: which edge, and how far along it in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Spot {
    edge: usize,
    along: f64,
}

/// The place of the ring nearest to a point, and how far away it is.
fn nearest_spot(piece: &Piece, p: Point) -> (Spot, f64) {
    let mut best = (
        Spot {
            edge: 0,
            along: 0.0,
        },
        f64::INFINITY,
    );
    for (edge, e) in piece.edges.iter().enumerate() {
        let near = e.curve.nearest(p);
        if near.distance.in_mm() < best.1 {
            best = (
                Spot {
                    edge,
                    along: near.along.in_mm(),
                },
                near.distance.in_mm(),
            );
        }
    }
    best
}

/// The place of one edge nearest to a point that is meant to lie on it.
fn spot_on(piece: &Piece, edge: usize, p: Point) -> Result<Spot, Fault> {
    let e: &Edge = &piece.edges[edge];
    let near = e.curve.nearest(sane_point(p)?);
    if near.distance.in_mm() > SNAP {
        return Err(Fault::Says(format!(
            "The point does not lie on the edge `{}`.",
            e.name
        )));
    }
    Ok(Spot {
        edge,
        along: near.along.in_mm(),
    })
}

/// Where a place of the ring is on the paper.
fn point_at(piece: &Piece, spot: Spot) -> Point {
    piece.edges[spot.edge]
        .curve
        .at(Length::mm(spot.along))
        .point
}

/// The work is done: the ring must still be one, unless it was none before.
fn finished(before: &[&Piece], after: Piece) -> Result<Piece, Fault> {
    let area: f64 = after.edges.iter().map(|e| e.curve.area()).sum();
    if area < 1e-3 {
        return Err(Fault::Nothing(format!("`{}`", after.name)));
    }
    match after.check_simple() {
        Err(fault) if before.iter().all(|p| p.check_simple().is_ok()) => Err(fault),
        _ => Ok(after),
    }
}
