//! Letting an edge out or taking it in, all along.

use measure::{Curve, Length, Point};

use super::dart::set_anew;
use super::part::ring;
use super::stretch::Stretch;
use super::{ON, SAME, finished, sane_curve, sane_length};
use crate::allowance::{Allowance, Change};
use crate::edge::Notch;
use crate::fault::Fault;
use crate::ring::{Balance, Dart, Mark, Piece};

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
    let (first, last) = (
        head.length().in_mm(),
        head.length().in_mm() + side.length().in_mm(),
    );

    let mut all: Vec<Stretch> = (0..n).map(|i| Stretch::whole(piece, i)).collect();
    let (before, after) = ((index + n - 1) % n, (index + 1) % n);
    let begin = follow_end(&mut all, before, &long, first, side.start(), reach)?;
    let end = follow_start(&mut all, after, &long, last, side.end(), reach)?;
    let new = long
        .sub(Length::mm(begin), Length::mm(end))
        .map_err(|_| gone())?;
    if end - begin < SAME {
        return Err(gone());
    }
    let told = Follow {
        old: old.clone(),
        new: new.clone(),
        by: amount,
    };
    let s = &mut all[index];
    s.edge.notches = s
        .edge
        .notches
        .iter()
        .map(|n| Notch {
            at: told.along(n.at),
            ..*n
        })
        .collect();
    s.edge.allowance = Allowance::changing(
        s.edge.allowance.first(),
        s.edge
            .allowance
            .changes()
            .iter()
            .map(|c| Change {
                at: told.along(c.at),
                ..*c
            })
            .collect(),
    );
    s.edge.open = s
        .edge
        .open
        .iter()
        .map(|(a, b)| (told.along(*a), told.along(*b)))
        .collect();
    s.darts = s
        .darts
        .iter()
        .map(|d| set_anew(d, &old, &new))
        .collect::<Result<Vec<Dart>, Fault>>()?;
    s.edge.curve = new;

    let (edges, darts) = ring(piece, all)?;
    let new = Piece {
        edges,
        darts,
        marks: piece
            .marks
            .iter()
            .map(|m| Mark {
                name: m.name.clone(),
                point: told.point(m.point),
            })
            .collect(),
        balance: piece.balance.iter().map(|b| told.level(b)).collect(),
        ..piece.clone()
    };
    finished(&[piece], new)
}

/// The neighbour before the edge ends on the new line; tells where on that line.
fn follow_end(
    all: &mut [Stretch],
    index: usize,
    long: &Curve,
    plain: f64,
    side: Point,
    reach: f64,
) -> Result<f64, Fault> {
    let s = all[index].clone();
    let curve = &s.edge.curve;
    let corner = curve.end();
    let on = Curve::line(corner, corner + curve.end_direction() * reach)
        .and_then(|line| Curve::joined([curve, &line]))
        .map_err(|_| Fault::Nothing(format!("the edge `{}`", s.edge.name)))?;
    let Some((here, there, point)) = meeting(&on, long, corner, reach) else {
        all[index] = s.ended_at(side)?;
        return Ok(plain);
    };
    all[index] = if here < s.length() - SAME {
        uncut(&s, 0.0, here)?
    } else {
        s.ended_at(point)?
    };
    Ok(there)
}

/// The neighbour after the edge begins on the new line; tells where on that line.
fn follow_start(
    all: &mut [Stretch],
    index: usize,
    long: &Curve,
    plain: f64,
    side: Point,
    reach: f64,
) -> Result<f64, Fault> {
    let s = all[index].clone();
    let curve = &s.edge.curve;
    let corner = curve.start();
    let on = Curve::line(corner - curve.start_direction() * reach, corner)
        .and_then(|line| Curve::joined([&line, curve]))
        .map_err(|_| Fault::Nothing(format!("the edge `{}`", s.edge.name)))?;
    let Some((here, there, point)) = meeting(&on, long, corner, reach) else {
        all[index] = s.begun_at(side)?;
        return Ok(plain);
    };
    all[index] = if here > reach + SAME {
        uncut(&s, here - reach, s.length())?
    } else {
        s.begun_at(point)?
    };
    Ok(there)
}

/// The crossing of a neighbour with the new line that is nearest to the old corner.
fn meeting(on: &Curve, long: &Curve, corner: Point, reach: f64) -> Option<(f64, f64, Point)> {
    on.crossings(long)
        .into_iter()
        .map(|x| (x.first.in_mm(), x.second.in_mm(), x.point))
        .filter(|x| (x.2 - corner).size() <= reach)
        .min_by(|a, b| (a.2 - corner).size().total_cmp(&(b.2 - corner).size()))
}

/// A stretch cut back, which may not cut into a dart.
pub(super) fn uncut(s: &Stretch, from: f64, to: f64) -> Result<Stretch, Fault> {
    let left = s
        .between(from, to)
        .ok_or_else(|| Fault::Nothing(format!("the edge `{}`", s.edge.name)))?;
    if let Some(d) = s
        .darts
        .iter()
        .find(|d| !left.darts.iter().any(|l| l.name == d.name))
    {
        return Err(Fault::Says(format!(
            "That would cut into the dart `{}`.",
            d.name
        )));
    }
    Ok(Stretch {
        begins: s.begins,
        ends: s.ends,
        edge: crate::edge::Edge {
            start_corner: s.edge.start_corner,
            end_corner: s.edge.end_corner,
            ..left.edge
        },
        ..left
    })
}

/// An edge and its new line, for all that lies on it.
struct Follow {
    old: Curve,
    new: Curve,
    by: f64,
}

impl Follow {
    fn along(&self, at: Length) -> Length {
        let whole = self.old.length();
        if at.in_mm() < SAME {
            return Length::ZERO;
        }
        if (whole - at).in_mm() < SAME {
            return self.new.length();
        }
        let place = self.old.at(at);
        self.new
            .nearest(place.point + place.direction.left() * self.by)
            .along
    }

    fn point(&self, p: Point) -> Point {
        if !p.is_finite() {
            return p;
        }
        let near = self.old.nearest(p);
        if near.distance.in_mm() > ON {
            return p;
        }
        self.new.at(self.along(near.along)).point
    }

    /// A level goes on straight to the new line.
    fn level(&self, level: &Balance) -> Balance {
        let end = |p: Point, other: Point| {
            let on = p.is_finite() && self.old.nearest(p).distance.in_mm() <= ON;
            let Some(way) = (p - other).unit().filter(|_| on) else {
                return p;
            };
            self.new
                .crossings_straight(other, way)
                .into_iter()
                .map(|x| x.1)
                .min_by(|a, b| (*a - p).size().total_cmp(&(*b - p).size()))
                .filter(|q| (*q - p).size() < REACH * self.by.abs() + 1.0)
                .unwrap_or_else(|| self.point(p))
        };
        Balance {
            name: level.name.clone(),
            from: end(level.from, level.to),
            to: end(level.to, level.from),
        }
    }
}
