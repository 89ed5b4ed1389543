//! What lies on an edge and what borders on it, when the edge gets a new line.

use measure::{Curve, Length, Point};

use super::dart::set_anew;
use super::shift::Shift;
use super::stretch::Stretch;
use super::{ON, SAME};
use crate::allowance::Change;
use crate::edge::{Edge, Notch};
use crate::fault::Fault;
use crate::ring::{Balance, Dart, Mark, Piece};

/// How a place of the old line is found on the new one.
#[derive(Clone, Debug)]
pub(super) enum Told {
    /// Straight across, so many millimetres to the outside.
    Across(f64),
    /// Straight across, by an amount that changes along it.
    By(Shift),
    /// As far from the beginning.
    Along,
    /// At the same share of the length.
    Share,
}

/// An edge's old line and its new one.
#[derive(Clone, Debug)]
pub(super) struct Follow {
    pub(super) old: Curve,
    pub(super) new: Curve,
    pub(super) told: Told,
    /// A level on the edge may be carried on by so much, in millimetres, to reach the new line.
    pub(super) reach: f64,
}

impl Follow {
    /// The place along the new line.
    pub(super) fn along(&self, at: Length) -> Length {
        let (whole, now) = (self.old.length(), self.new.length());
        if at.in_mm() < SAME {
            return Length::ZERO;
        }
        if (whole - at).in_mm() < SAME {
            return now;
        }
        let across = |by: f64| {
            let place = self.old.at(at);
            let there = place.point + place.direction.left() * by;
            self.new.nearest(there).along
        };
        match &self.told {
            Told::Across(by) => across(*by),
            Told::By(shift) => across(shift.at(at).in_mm()),
            Told::Along => at.min(now),
            Told::Share => now * (at / whole),
        }
    }

    /// Where a point comes to lie: one on the edge goes with it.
    pub(super) fn point(&self, p: Point) -> Point {
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
            let on =
                p.is_finite() && other.is_finite() && self.old.nearest(p).distance.in_mm() <= ON;
            let Some(way) = (p - other).unit().filter(|_| on) else {
                return p;
            };
            self.new
                .crossings_straight(other, way)
                .into_iter()
                .map(|x| x.1)
                .min_by(|a, b| (*a - p).size().total_cmp(&(*b - p).size()))
                .filter(|q| (*q - p).size() < self.reach)
                .unwrap_or_else(|| self.point(p))
        };
        Balance {
            name: level.name.clone(),
            from: end(level.from, level.to),
            to: end(level.to, level.from),
        }
    }

    /// Notches, changes of allowance, open stretches, and darts go to the new line.
    pub(super) fn edge(&self, s: &mut Stretch) -> Result<(), Fault> {
        s.edge = Edge {
            curve: self.new.clone(),
            ..carried(&s.edge, &|l| self.along(l))
        };
        s.darts = s
            .darts
            .iter()
            .map(|d| set_anew(d, &self.old, &self.new))
            .collect::<Result<Vec<Dart>, Fault>>()?;
        Ok(())
    }

    /// Named points and levels of the piece.
    pub(super) fn marked(&self, piece: &Piece) -> (Vec<Mark>, Vec<Balance>) {
        let marks = piece
            .marks
            .iter()
            .map(|m| Mark {
                name: m.name.clone(),
                point: self.point(m.point),
            })
            .collect();
        (marks, piece.balance.iter().map(|b| self.level(b)).collect())
    }
}

/// An edge whose places are told anew; the line itself is left.
pub(super) fn carried(edge: &Edge, along: &dyn Fn(Length) -> Length) -> Edge {
    Edge {
        notches: edge
            .notches
            .iter()
            .map(|n| Notch {
                at: along(n.at),
                ..*n
            })
            .collect(),
        allowance: edge.allowance.become_of(
            edge.allowance.first(),
            edge.allowance
                .changes()
                .iter()
                .map(|c| Change {
                    at: along(c.at),
                    ..*c
                })
                .collect(),
        ),
        open: edge
            .open
            .iter()
            .map(|(a, b)| (along(*a), along(*b)))
            .filter(|(a, b)| (*b - *a).in_mm() > 1e-6)
            .collect(),
        ..edge.clone()
    }
}

/// A neighbour's line, carried on straight beyond the end where it meets the edge.
pub(super) fn carried_on(s: &Stretch, at_end: bool, reach: f64) -> Result<Curve, Fault> {
    let c = &s.edge.curve;
    let on = if at_end {
        Curve::line(c.end(), c.end() + c.end_direction() * reach)
            .and_then(|line| Curve::joined([c, &line]))
    } else {
        Curve::line(c.start() - c.start_direction() * reach, c.start())
            .and_then(|line| Curve::joined([&line, c]))
    };
    on.map_err(|_| Fault::Nothing(format!("the edge `{}`", s.edge.name)))
}

/// A neighbour that now ends (or begins) at a place of its carried-on line.
pub(super) fn ended(
    s: &Stretch,
    at_end: bool,
    reach: f64,
    here: f64,
    point: Point,
) -> Result<Stretch, Fault> {
    let whole = s.length();
    let snapped = |c: &Curve, start: Point, end: Point| {
        c.with_ends(start, end)
            .map_err(|_| Fault::Nothing(format!("the edge `{}`", s.edge.name)))
    };
    if at_end {
        if here < whole - SAME {
            let mut left = uncut(s, 0.0, here)?;
            left.edge.curve = snapped(&left.edge.curve, left.edge.curve.start(), point)?;
            return Ok(left);
        }
        return s.clone().ended_at(point);
    }
    if here > reach + SAME {
        let mut left = uncut(s, here - reach, whole)?;
        left.edge.curve = snapped(&left.edge.curve, point, left.edge.curve.end())?;
        return Ok(left);
    }
    s.clone().begun_at(point)
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
        edge: Edge {
            start_corner: s.edge.start_corner,
            end_corner: s.edge.end_corner,
            ..left.edge
        },
        ..left
    })
}
