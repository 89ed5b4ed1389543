//! Drawing an edge anew.

use measure::{Curve, Length};

use super::follow::{Follow, Told, carried_on, ended};
use super::part::ring;
use super::stretch::Stretch;
use super::{finished, sane_curve};
use crate::fault::Fault;
use crate::ring::Piece;

/// An end may lie so far off its neighbour, in millimetres, and is then laid on it.
const NEAR: f64 = 1.0;

/// Replaces an edge by another line, in whichever direction that was drawn. Its ends are laid on the
/// old corners, or on the neighbours, which are cut back or carried on straight to it; a line that
/// sticks out is cut where it crosses them. Notches and changes of the allowance keep their share of
/// the length; darts keep their point and angle.
///
/// # Errors
/// When there is no such edge, or when the line does not reach its neighbours.
pub fn replace(piece: &Piece, edge: &str, by: &Curve) -> Result<Piece, Fault> {
    let index = piece.edge_index(edge)?;
    sane_curve(by)?;
    let old = piece.edges[index].curve.clone();
    let n = piece.edges.len();
    if n < 2 {
        return Err(Fault::Says(format!(
            "`{edge}` goes all round the piece and cannot be replaced."
        )));
    }
    let gone = || Fault::Nothing(format!("the edge `{edge}`"));
    let straight = (by.start() - old.start()).size() + (by.end() - old.end()).size();
    let crossed = (by.end() - old.start()).size() + (by.start() - old.end()).size();
    let mut new = if crossed < straight {
        by.reversed()
    } else {
        by.clone()
    };
    let mut all: Vec<Stretch> = (0..n).map(|i| Stretch::whole(piece, i)).collect();
    let mut farthest: f64 = 0.0;
    for at_start in [true, false] {
        // The neighbour before the edge ends where the new line begins.
        let beside = if at_start {
            (index + n - 1) % n
        } else {
            (index + 1) % n
        };
        let (corner, end) = if at_start {
            (old.start(), new.start())
        } else {
            (old.end(), new.end())
        };
        let off = (end - corner).size();
        farthest = farthest.max(off);
        let point = if off <= NEAR {
            corner
        } else {
            let s = &all[beside];
            let reach = 2.0 * off + 10.0;
            let on = carried_on(s, at_start, reach)?;
            let near = on.nearest(end);
            let (here, point) = if near.distance.in_mm() <= NEAR {
                (near.along, near.point)
            } else {
                let met = new.crossings(&on);
                let x = if at_start { met.first() } else { met.last() }.ok_or_else(|| {
                    Fault::Says(format!(
                        "The new line for `{edge}` does not reach `{}`.",
                        s.edge.name
                    ))
                })?;
                new = if at_start {
                    new.sub(x.first, new.length())
                } else {
                    new.sub(Length::ZERO, x.first)
                }
                .map_err(|_| gone())?;
                (x.second, x.point)
            };
            all[beside] = ended(s, at_start, reach, here.in_mm(), point)?;
            point
        };
        new = if at_start {
            new.with_ends(point, new.end())
        } else {
            new.with_ends(new.start(), point)
        }
        .map_err(|_| gone())?;
    }
    let told = Follow {
        old,
        new,
        told: Told::Share,
        reach: 2.0 * farthest + 50.0,
    };
    told.edge(&mut all[index])?;
    let (edges, darts) = ring(piece, all)?;
    let (marks, balance) = told.marked(piece);
    let new = Piece {
        edges,
        darts,
        marks,
        balance,
        ..piece.clone()
    };
    finished(&[piece], new)
}
