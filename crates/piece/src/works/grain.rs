//! Keeping the grain arrow on the piece.

use measure::{Length, Point, Vector};

use super::part::inside;
use crate::edge::Edge;
use crate::ring::Grain;

/// Shorter than this, in millimetres, an arrow is moved to where the piece is longer.
const SHORT: f64 = 25.0;

/// The grain arrow on what is left of a piece: the same direction always; the same place as far as
/// it lies on the ring; else a line through the middle of the ring.
pub(super) fn grain_on(edges: &[Edge], grain: Grain) -> Grain {
    let Some(way) = (grain.to - grain.from).unit() else {
        return grain;
    };
    let ring: Vec<Point> = edges
        .iter()
        .flat_map(|e| e.curve.flatten(Length::mm(0.05)))
        .collect();
    let long = (grain.to - grain.from).size();
    let whole: f64 = long.min(SHORT);
    if let Some((a, b)) = longest(edges, &ring, grain.from, way, Some((0.0, long)))
        && b - a >= whole * 0.999
    {
        return Grain {
            from: grain.from + way * a,
            to: grain.from + way * b,
        };
    }
    // Three lines through the ring, and the one that runs longest inside it.
    let across = way.right();
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for p in &ring {
        let d = (*p - grain.from).dot(across);
        (low, high) = (low.min(d), high.max(d));
    }
    let mut best: Option<(Point, f64, f64)> = None;
    for part in [0.5, 0.35, 0.65] {
        let on = grain.from + across * (low + (high - low) * part);
        if let Some((a, b)) = longest(edges, &ring, on, way, None)
            && best.is_none_or(|(_, c, d)| b - a > (d - c) * 1.1)
        {
            best = Some((on, a, b));
        }
    }
    best.map_or(grain, |(on, a, b)| {
        let (middle, half) = (0.5 * (a + b), (0.4 * (b - a)).min(0.5 * long));
        Grain {
            from: on + way * (middle - half),
            to: on + way * (middle + half),
        }
    })
}

/// The longest stretch of a straight line inside a ring, or along its border, as distances from `on`.
fn longest(
    edges: &[Edge],
    ring: &[Point],
    on: Point,
    way: Vector,
    within: Option<(f64, f64)>,
) -> Option<(f64, f64)> {
    let mut at: Vec<f64> = edges
        .iter()
        .flat_map(|e| {
            let ends = [e.curve.start(), e.curve.end()];
            let touching = ends
                .into_iter()
                .filter(|p| (*p - on).cross(way).abs() < 1e-3)
                .collect::<Vec<_>>();
            e.curve
                .crossings_straight(on, way)
                .into_iter()
                .map(|x| x.1)
                .chain(touching)
                .collect::<Vec<_>>()
        })
        .map(|p| (p - on).dot(way))
        .collect();
    if let Some((a, b)) = within {
        at.retain(|s| *s > a && *s < b);
        at.extend([a, b]);
    }
    at.sort_by(f64::total_cmp);
    let mut runs: Vec<(f64, f64)> = Vec::new();
    for w in at.windows(2) {
        let middle = on + way * (0.5 * (w[0] + w[1]));
        let on_it = inside(ring, middle)
            || edges
                .iter()
                .any(|e| e.curve.nearest(middle).distance.in_mm() < super::ON);
        if !on_it {
            continue;
        }
        match runs.last_mut() {
            Some(last) if w[0] - last.1 < 1e-9 => last.1 = w[1],
            _ => runs.push((w[0], w[1])),
        }
    }
    runs.into_iter()
        .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
}
