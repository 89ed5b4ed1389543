//! Letting an edge out or taking it in, all along.

use measure::{Curve, Length, Point};

use super::follow::{Follow, Told, carried_on, ended};
use super::part::ring;
use super::stretch::Stretch;
use super::{SAME, finished, sane_curve, sane_length};
use crate::fault::Fault;
use crate::ring::Piece;

/// A neighbour is carried on by at most this many times the amount to meet the new line.
const REACH: f64 = 6.0;

/// Lets an edge out by an amount all along, or takes it in when the amount is negative; letting a hem
/// down or up is the same. The new line is a true offset; the neighbours follow, carried on in their
/// own direction or cut back to it. Where a neighbour runs on in one line with the edge, it gets a
/// step.
///
/// Darts in the edge keep their point and angle, so their mouths grow or shrink; points, notches and
/// levels on the edge go with it.
///
/// # Errors
/// When there is no such edge, when nothing is left, or when a dart would be cut into.
pub fn let_out(piece: &Piece, edge: &str, by: Length) -> Result<Piece, Fault> {
    let index = piece.edge_index(edge)?;
    let amount = sane_length(by)?.in_mm();
    if amount.abs() < SAME {
        return Ok(piece.clone());
    }
    let n = piece.edges.len();
    if n < 2 {
        return Err(Fault::Says(format!(
            "`{edge}` goes all round the piece; there is no neighbour to follow it."
        )));
    }
    let gone = || Fault::Nothing(format!("the edge `{edge}`"));
    let old = piece.edges[index].curve.clone();
    sane_curve(&old)?;
    let side = old.offset(by).map_err(|_| gone())?;
    let reach = REACH * amount.abs() + 1.0;

    // The new line carried on straight at both ends, to meet the neighbours.
    let head = Curve::line(side.start() - side.start_direction() * reach, side.start())
        .map_err(|_| gone())?;
    let tail =
        Curve::line(side.end(), side.end() + side.end_direction() * reach).map_err(|_| gone())?;
    let long = Curve::joined([&head, &side, &tail]).map_err(|_| gone())?;
    let first = head.length().in_mm();
    let last = first + side.length().in_mm();

    let mut all: Vec<Stretch> = (0..n).map(|i| Stretch::whole(piece, i)).collect();
    let (before, after) = ((index + n - 1) % n, (index + 1) % n);
    let mut follow = |i: usize, at_end: bool, plain: f64, beside: Point| {
        let s = &all[i];
        let corner = if at_end {
            s.edge.curve.end()
        } else {
            s.edge.curve.start()
        };
        let on = carried_on(s, at_end, reach)?;
        let met = on
            .crossings(&long)
            .into_iter()
            .filter(|x| (x.point - corner).size() <= reach)
            .min_by(|a, b| {
                (a.point - corner)
                    .size()
                    .total_cmp(&(b.point - corner).size())
            });
        let (new, there) = match met {
            Some(x) => (
                ended(s, at_end, reach, x.first.in_mm(), x.point)?,
                x.second.in_mm(),
            ),
            None if at_end => (s.clone().ended_at(beside)?, plain),
            None => (s.clone().begun_at(beside)?, plain),
        };
        all[i] = new;
        Ok::<f64, Fault>(there)
    };
    let begin = follow(before, true, first, side.start())?;
    let end = follow(after, false, last, side.end())?;
    if end - begin < SAME {
        return Err(gone());
    }
    let new = long
        .sub(Length::mm(begin), Length::mm(end))
        .map_err(|_| gone())?;
    let told = Follow {
        old,
        new,
        told: Told::Across(amount),
        reach,
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
