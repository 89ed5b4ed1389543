//! Outlines as chains of chords, with the place of each edge in them.

use measure::{Curve, Length, Point};

use crate::cap;
use crate::cutting::CuttingLine;
use crate::fault::Fault;
use crate::ring::Piece;

/// How far a chord may lie off the curve.
const OFF: f64 = 0.005;
/// How much shorter the chords of one edge may be than the edge, in millimetres; half of what is
/// promised.
const SHORT: f64 = 0.005;

/// A closed outline as chords within 0.005 mm of the curve; the last point is the first again.
#[derive(Clone, Debug, PartialEq)]
pub struct Flat {
    /// The corners of the chain.
    pub points: Vec<Point>,
    /// For each edge in order the indices in `points` of its beginning and its end. The chords
    /// between are as long as the edge (with its dart caps) within 0.01 mm. In a cutting line:
    /// from the first to the last place at its own allowance; nothing (twice the same) when none is
    /// left.
    pub edges: Vec<(usize, usize)>,
}

/// A whole stitching line with its dart caps.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// The line; it ends where it begins.
    pub curve: Curve,
    /// For each edge in order where it begins and ends along the line.
    pub edges: Vec<(Length, Length)>,
}

/// The stitching line of a piece with its dart caps, as a curve.
///
/// # Errors
/// When the ring does not close.
pub fn stitching_outline(piece: &Piece) -> Result<Outline, Fault> {
    let curves = capped(piece)?;
    let mut along = Length::ZERO;
    let mut edges = Vec::with_capacity(curves.len());
    for c in &curves {
        let to = along + c.length();
        edges.push((along, to));
        along = to;
    }
    let curve = Curve::joined(&curves).map_err(|_| Fault::Nothing(format!("`{}`", piece.name)))?;
    Ok(Outline { curve, edges })
}

/// The stitching line of a piece with its dart caps, as chords.
///
/// # Errors
/// When an edge has no length.
pub fn stitching(piece: &Piece) -> Result<Flat, Fault> {
    let curves = capped(piece)?;
    let mut points: Vec<Point> = Vec::new();
    let mut edges = Vec::with_capacity(curves.len());
    for curve in &curves {
        let chain = chords(curve);
        if points.is_empty() {
            points.push(chain[0]);
        }
        let from = points.len() - 1;
        points.extend(&chain[1..]);
        edges.push((from, points.len() - 1));
    }
    if let (Some(first), Some(last)) = (points.first().copied(), points.last_mut()) {
        *last = first;
    }
    Ok(Flat { points, edges })
}

/// A cutting line as chords.
pub fn cutting(line: &CuttingLine) -> Flat {
    let mut points = vec![line.curve.start()];
    let mut edges: Vec<Option<(usize, usize)>> = vec![None; line.edges()];
    for (segment, owner) in line.curve.segments().iter().zip(line.owners()) {
        let from = points.len() - 1;
        segment.flatten_onto(Length::mm(OFF), &mut points);
        if let Some(edge) = owner {
            let to = points.len() - 1;
            edges[*edge] = Some((edges[*edge].map_or(from, |e| e.0), to));
        }
    }
    if let (Some(first), Some(last)) = (points.first().copied(), points.last_mut()) {
        *last = first;
    }
    Flat {
        points,
        edges: edges.into_iter().map(|e| e.unwrap_or((0, 0))).collect(),
    }
}

fn capped(piece: &Piece) -> Result<Vec<Curve>, Fault> {
    (0..piece.edges.len())
        .map(|i| cap::capped_curve(piece, i))
        .collect()
}

/// Chords near enough the curve, and together nearly as long.
fn chords(curve: &Curve) -> Vec<Point> {
    let whole = curve.length().in_mm();
    let mut off = OFF;
    let mut chain = curve.flatten(Length::mm(off));
    for _ in 0..5 {
        let long: f64 = chain.windows(2).map(|w| (w[1] - w[0]).size()).sum();
        if whole - long < SHORT {
            break;
        }
        off /= 4.0;
        chain = curve.flatten(Length::mm(off));
    }
    chain
}

/// Whether a point lies inside a closed chain walked clockwise, or within `near` of it, in
/// millimetres.
pub(crate) fn holds(ring: &[Point], p: Point, near: f64) -> bool {
    let mut inside = false;
    let mut close = false;
    for w in ring.windows(2) {
        let (a, b) = (w[0], w[1]);
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
        let d = b - a;
        let part = ((p - a).dot(d) / d.dot(d).max(1e-18)).clamp(0.0, 1.0);
        close |= (a + d * part - p).size() < near;
    }
    inside || close
}
