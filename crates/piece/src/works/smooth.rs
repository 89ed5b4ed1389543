//! The same line without its corners.

use measure::{Curve, Length, Point, Vector, angle};

use super::follow::carried;
use super::sewn::Sewn;
use super::stretch::fitted;
use super::{ON, SAME, finished, sane_curve};
use crate::edge::Edge;
use crate::fault::Fault;
use crate::ring::{Dart, Mark, Piece};

/// So many places along the edge are looked at.
const PLACES: usize = 120;
/// The neighbourhood's spread, in places.
const SPREAD: f64 = 7.0;
/// Near an end the spread is no more than the way to it divided by this, so that the line keeps its
/// direction there: a seam or a fold meets it at the same angle as before.
const TAPER: f64 = 4.0;
/// The curve is laid through every so many places; between them it is off by less than 0.001 mm.
const EVERY: usize = 3;

/// Redraws an edge in one smooth line: each of 120 places becomes the mean of its neighbourhood
/// (Gaussian, 7 places wide, narrower toward the ends), so that ends and end directions stay. The edge is
/// smoothed as sewn, its darts closed. A plain mean would shorten it; its bow is drawn out a little so
/// that **the sewn length stays**, to a millionth of an inch.
///
/// # Errors
/// When there is no such edge, or when it turns so sharply that no smooth line of its length is near.
pub fn smooth(piece: &Piece, edge: &str) -> Result<Piece, Fault> {
    let index = piece.edge_index(edge)?;
    let flat = &piece.edges[index];
    sane_curve(&flat.curve)?;
    let sewn = Sewn::of(piece, edge)?;
    let line = even(&sewn.curve, edge)?;
    let gone = |_| Fault::Nothing(format!("the edge `{edge}`"));

    // Opened again at the darts.
    let whole = line.length().in_mm();
    let mut parts: Vec<Curve> = Vec::new();
    let mut darts: Vec<Dart> = Vec::new();
    let mut starts: Vec<f64> = Vec::new();
    let mut along = 0.0;
    for (i, s) in sewn.sections.iter().enumerate() {
        let until = sewn
            .sections
            .get(i + 1)
            .map_or(whole, |next| next.sewn.min(whole));
        let part = line
            .sub(Length::mm(s.sewn.min(whole)), Length::mm(until))
            .ok();
        let from = line.at(Length::mm(s.sewn)).point;
        let start = s.back.point(from);
        if i > 0 {
            let d = &sewn.darts[i - 1];
            let end = parts.last().map_or_else(|| flat.curve.start(), Curve::end);
            let mouth = flat.curve.sub(d.mouth.0, d.mouth.1).map_err(gone)?;
            let mouth = fitted(&mouth, end, start)?;
            let width = mouth.length().in_mm();
            darts.push(Dart {
                mouth: (Length::mm(along), Length::mm(along + width)),
                ..d.clone()
            });
            along += width;
            parts.push(mouth);
        }
        starts.push(along);
        if let Some(p) = part {
            let p = p.moved(&s.back);
            let p = p
                .with_ends(parts.last().map_or_else(|| p.start(), Curve::end), p.end())
                .map_err(gone)?;
            along += p.length().in_mm();
            parts.push(p);
        }
    }
    let curve = Curve::joined(&parts)
        .and_then(|c| c.with_ends(flat.curve.start(), flat.curve.end()))
        .map_err(gone)?;
    let told = |l: Length| {
        let i = sewn
            .sections
            .iter()
            .rposition(|s| s.flat.0 <= l.in_mm() + SAME)
            .unwrap_or(0);
        let s = &sewn.sections[i];
        let within = (l.in_mm() - s.flat.0).max(0.0);
        if within <= s.flat.1 - s.flat.0 || i >= sewn.darts.len() {
            return Length::mm(starts[i] + within).min(curve.length());
        }
        // Across a mouth by share of its width.
        let (old, new) = (&sewn.darts[i].mouth, &darts[i].mouth);
        new.0 + (new.1 - new.0) * ((l - old.0) / (old.1 - old.0)).clamp(0.0, 1.0)
    };
    let new_edge = Edge {
        curve: curve.clone(),
        ..carried(flat, &told)
    };
    let mut new = piece.clone();
    new.edges[index] = new_edge;
    for d in &mut new.darts {
        if let Some(moved) = darts.iter().find(|n| n.name == d.name) {
            *d = moved.clone();
        }
    }
    new.marks = piece
        .marks
        .iter()
        .map(|m| {
            let near = flat.curve.nearest(m.point);
            let point = if near.distance.in_mm() <= ON {
                curve.at(told(near.along)).point
            } else {
                m.point
            };
            Mark {
                name: m.name.clone(),
                point,
            }
        })
        .collect();
    finished(&[piece], new)
}

/// The smoothed line, as long as the old one.
fn even(curve: &Curve, name: &str) -> Result<Curve, Fault> {
    let gone = |_| Fault::Nothing(format!("the edge `{name}`"));
    let length = curve.length().in_mm();
    let chord = (curve.end() - curve.start()).size();
    if length - chord < 1e-7 * length {
        return Ok(curve.clone());
    }
    for spread in [SPREAD, 5.0, 3.5, 2.0, 1.0] {
        let places = meant(curve, |to_end| spread.min(to_end / TAPER));
        let ends = (curve.start_direction(), curve.end_direction());
        let bow = |k: f64| through(&drawn_out(&places, k), EVERY, Some(ends));
        let long = |k: f64| bow(k).map(|c| c.length().in_mm() - length);
        let (mut k0, mut k1) = (0.0, 0.05);
        let (mut f0, mut f1) = (long(k0).map_err(gone)?, long(k1).map_err(gone)?);
        for _ in 0..30 {
            if f0.abs() < 1e-8 || (f1 - f0).abs() < 1e-14 {
                break;
            }
            let k = k1 - f1 * (k1 - k0) / (f1 - f0);
            (k0, f0) = (k1, f1);
            k1 = k.clamp(-0.9, 0.9);
            f1 = long(k1).map_err(gone)?;
            if f1.abs() < 1e-8 {
                (k0, f0) = (k1, f1);
            }
        }
        if f0.abs() < 1e-6 && k0.abs() < 0.6 {
            return bow(k0).map_err(gone);
        }
    }
    Err(Fault::Says(format!(
        "`{name}` turns too sharply to be smoothed at its length; draw it anew."
    )))
}

/// Even places along a line, each the mean of its neighbourhood; how wide that is, is told by the way to
/// the nearer end, in places.
fn meant(curve: &Curve, spread: impl Fn(f64) -> f64) -> Vec<Point> {
    #[expect(clippy::cast_precision_loss, reason = "120 places")]
    let at = |i: usize| {
        curve
            .at(curve.length() * (i as f64 / (PLACES - 1) as f64))
            .point
    };
    let places: Vec<Point> = (0..PLACES).map(at).collect();
    let last = PLACES - 1;
    // Beyond an end the line is its own image, turned half about that end.
    let image = |i: isize| -> Point {
        if i < 0 {
            places[0] + (places[0] - places[i.unsigned_abs().min(last)])
        } else if i.unsigned_abs() > last {
            let j = (2 * last).saturating_sub(i.unsigned_abs());
            places[last] + (places[last] - places[j])
        } else {
            places[i.unsigned_abs()]
        }
    };
    #[expect(clippy::cast_possible_truncation, reason = "at most 120")]
    let reach = |spread: f64| (5.0 * spread).ceil() as isize;
    #[expect(clippy::cast_precision_loss, reason = "at most 120")]
    let weight =
        |d: isize, spread: f64| angle::exp(-0.5 * (d as f64 / spread) * (d as f64 / spread));
    #[expect(clippy::cast_possible_wrap, reason = "at most 120")]
    (0..PLACES)
        .map(|i| {
            #[expect(clippy::cast_precision_loss, reason = "at most 120")]
            let spread = spread(i.min(last - i) as f64);
            if spread <= 0.0 {
                return places[i];
            }
            let (i, reach) = (i as isize, reach(spread));
            let (mut x, mut y, mut all) = (0.0, 0.0, 0.0);
            for d in -reach..=reach {
                let (p, w) = (image(i + d), weight(d, spread));
                x += p.x * w;
                y += p.y * w;
                all += w;
            }
            Point::new(x / all, y / all)
        })
        .collect()
}

/// The places moved away from the chord by a share of their bow, which begins gently at both ends so
/// that the directions there stay.
#[expect(clippy::cast_precision_loss, reason = "120 places")]
fn drawn_out(places: &[Point], by: f64) -> Vec<Point> {
    let last = places.len() - 1;
    let (a, b) = (places[0], places[last]);
    let Some(way) = (b - a).unit() else {
        return places.to_vec();
    };
    places
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let u = i as f64 / last as f64;
            let window = 16.0 * u * u * (1.0 - u) * (1.0 - u);
            let bow = way.right() * (*p - a).dot(way.right());
            *p + bow * (by * window)
        })
        .collect()
}

/// One smooth curve through every so many of the places, and the last.
fn through(
    places: &[Point],
    every: usize,
    ends: Option<(Vector, Vector)>,
) -> Result<Curve, measure::Degenerate> {
    let last = places.len() - 1;
    let mut some: Vec<Point> = places.iter().step_by(every).copied().collect();
    if !last.is_multiple_of(every) {
        some.pop();
        some.push(places[last]);
    }
    Curve::through(&some, ends.map(|e| e.0), ends.map(|e| e.1))
}

/// How long the line is after a plain mean, in inches: what the worked trial numbers tell.
#[cfg(test)]
pub(super) fn plainly(curve: &Curve) -> f64 {
    through(&meant(curve, |_| SPREAD), 1, None).map_or(f64::NAN, |c| c.length().in_inches())
}
