//! F21: left and right are one outline. Halves on the fold and mirrored pairs can't differ; a piece that
//! is cut singly is looked at.

use measure::{Length, Motion, Point, Vector};
use piece::{Piece, Role};

use crate::corners;
use crate::finding::{Amount, Finding, Weight};
use crate::lines::Line;
use crate::rules::F21;
use crate::seen::{Part, Place, Seen};
use crate::walked;

/// Left and right may differ by no more, in millimetres: 1/8 in.
const SIDES: f64 = 3.175;
/// Places compared round an outline.
const PLACES: u32 = 180;

/// Looks at every piece of the shell that is cut singly. When all her pieces are cut so, the garment is
/// drawn whole and each still wants its mirror.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out = Vec::new();
    for (p, part) in seen.parts.iter().enumerate() {
        // What a correction for one side made uneven is meant so.
        let meant = seen.worked.half(p).is_some();
        if meant || part.place != Place::Shell || !is_single(part.piece) {
            continue;
        }
        let ring = Line::through(part.ring());
        // Itself turned over, and every other single piece turned over.
        let mut least = unlike(&ring, &ring);
        for (q, other) in seen.parts.iter().enumerate() {
            if q != p && other.place == Place::Shell && is_single(other.piece) {
                least = least.min(unlike(&ring, &Line::through(other.ring())));
            }
        }
        if least <= SIDES || sewn_alike(seen, p) {
            continue;
        }
        let says = format!(
            "{} is cut once, and its left and right differ by {}; no other piece mirrors it.",
            walked::capital(&part.piece.name),
            seen.tell(least)
        );
        let length = |mm: f64| Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO));
        out.push(
            Finding::of(&F21, Weight::Ask, part.piece.name.clone(), says)
                .out_by(length(least), Some(length(SIDES)))
                .at(&part.piece.name, None, middle(part))
                .cured_by("If it is meant to be uneven, leave it; else cut the pair anew, one on the other."),
        );
    }
    out
}

/// Cut from the shell, but neither on the fold nor as a pair.
fn is_single(piece: &Piece) -> bool {
    let mut cuts = piece.cuts.iter().filter(|c| c.cloth == "shell");
    cuts.clone().next().is_some() && cuts.all(|c| !c.on_fold && !c.pair)
}

fn middle(part: &Part<'_>) -> Point {
    let ring = part.ring();
    let mut sum = Vector::new(0.0, 0.0);
    #[expect(
        clippy::cast_precision_loss,
        reason = "an outline has thousands of points"
    )]
    let share = 1.0 / ring.len().max(1) as f64;
    for p in &ring {
        sum = sum + (*p - Point::new(0.0, 0.0)) * share;
    }
    Point::new(0.0, 0.0) + sum
}

/// Whether every sewn edge of a piece has another of the same length that is sewn to the same edge: a
/// band goes round both sides, however far one end of it laps.
fn sewn_alike(seen: &Seen<'_>, p: usize) -> bool {
    let part = &seen.parts[p];
    let mut any = false;
    for (e, edge) in part.edges.iter().enumerate() {
        if edge.edge.role != Role::Seam {
            continue;
        }
        let partners = corners::partners(seen, (p, e));
        if partners.is_empty() {
            continue;
        }
        any = true;
        let alike = part.edges.iter().enumerate().any(|(f, other)| {
            f != e
                && (other.sewn() - edge.sewn()).abs() <= SIDES
                && corners::partners(seen, (p, f)) == partners
        });
        if !alike {
            return false;
        }
    }
    any
}

/// How far one outline lies from another turned over, in millimetres, at the best of all ways of laying
/// them on each other that bring their longest stretches together: the greatest distance of a place.
fn unlike(one: &Line, other: &Line) -> f64 {
    let over = Motion::reflect(Point::new(0.0, 0.0), Vector::new(0.0, 1.0));
    let mut turned: Vec<Point> = other.points().iter().map(|p| over.point(*p)).collect();
    turned.reverse();
    let other = Line::through(turned);
    let (long, short) = (one.length(), other.length());
    if (long - short).abs() > 2.0 * SIDES {
        // Outlines so different in length can't lie on each other; half of that is the least distance.
        return (long - short).abs() / 2.0;
    }
    let places = |line: &Line, from: f64| -> Vec<Point> {
        let whole = line.length();
        (0..PLACES)
            .map(|i| line.at((from + whole * f64::from(i) / f64::from(PLACES)).rem_euclid(whole)))
            .collect()
    };
    let a = places(one, 0.0);
    let step = short / f64::from(PLACES);
    let far = |from: f64| laid(&a, &places(&other, from));
    let mut best = (f64::INFINITY, 0.0);
    for i in 0..PLACES {
        let from = step * f64::from(i);
        let here = far(from);
        if here < best.0 {
            best = (here, from);
        }
    }
    // Between two places, where it lies on the other to a hair.
    let mut by = step / 2.0;
    while by > 0.01 {
        for from in [best.1 - by, best.1 + by] {
            let here = far(from);
            if here < best.0 {
                best = (here, from);
            }
        }
        by /= 2.0;
    }
    best.0
}

/// The places of one outline laid on those of another by the turn and move that bring them nearest: the
/// greatest distance left.
fn laid(a: &[Point], b: &[Point]) -> f64 {
    let n = a.len();
    #[expect(clippy::cast_precision_loss, reason = "180 places")]
    let share = 1.0 / n as f64;
    let zero = Point::new(0.0, 0.0);
    let mean = |all: &[Point]| -> Point {
        let mut sum = Vector::new(0.0, 0.0);
        for p in all {
            sum = sum + (*p - zero) * share;
        }
        zero + sum
    };
    let (ca, cb) = (mean(a), mean(b));
    // The turn that brings the places nearest in the sum of squares.
    let (mut dot, mut cross) = (0.0, 0.0);
    for i in 0..n {
        let (u, v) = (b[i] - cb, a[i] - ca);
        dot += u.dot(v);
        cross += u.cross(v);
    }
    let turn = measure::Angle::radians(measure::angle::atan2(cross, dot));
    let mut far: f64 = 0.0;
    for i in 0..n {
        let laid = ca + (b[i] - cb).turned(turn);
        far = far.max((laid - a[i]).size());
    }
    far
}

#[cfg(test)]
mod tests;
