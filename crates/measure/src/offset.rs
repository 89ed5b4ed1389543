//! True offsets of a curve, by a constant or a changing distance.

use crate::curve::{Curve, Degenerate, Segment};
use crate::length::Length;
use crate::outer::Chain;
use crate::point::{Point, Vector};

/// What is asked of the curve library; it is nearly, not strictly, a bound, so 0.05 mm is promised.
const ASKED: f64 = 0.005;
/// Ends that lie this close, in millimetres, are laid on each other.
pub const SNAP: f64 = 2e-3;

/// A stretch of the line beside a curve, before loops are cut off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    /// The stretch.
    pub segment: Segment,
    /// Whether it runs at the distance asked for; the bridges at corners do not.
    pub keeps_distance: bool,
}

impl Curve {
    /// The curve that runs beside this one at a constant distance: to the left when positive.
    ///
    /// Corners inside the curve are bridged: on the outside the two sides are carried on until they
    /// meet (at most twice the distance away, else bevelled), on the inside they are cut where they
    /// cross. Loops where the distance is more than the radius are cut off; only an end that is
    /// swallowed by another part stays square to the curve's end. Right to 0.05 mm.
    ///
    /// # Errors
    /// When nothing is left of it.
    pub fn offset(&self, by: Length) -> Result<Self, Degenerate> {
        if by == Length::ZERO {
            return Ok(self.clone());
        }
        self.offset_by(&|_| by)
    }

    /// The curve beside this one at a distance that changes along it: `by` is told how far along.
    /// Loops are cut off. Right to 0.05 mm where `by` is smooth.
    ///
    /// # Errors
    /// When nothing is left of it.
    pub fn offset_by(&self, by: &dyn Fn(Length) -> Length) -> Result<Self, Degenerate> {
        let raw: Vec<Segment> = self.beside(by).into_iter().map(|b| b.segment).collect();
        self.without_loops(raw, by)
    }

    /// The line beside this one with all its loops, each stretch beginning where the one before ends.
    /// An inner corner runs to the corner itself and back, so that what lies nearer than `by` can be
    /// told from what does not.
    pub fn beside(&self, by: &dyn Fn(Length) -> Length) -> Vec<Beside> {
        let by = |s: f64| by(Length::mm(s)).in_mm();
        let mut out: Vec<Beside> = Vec::with_capacity(self.segments().len() * 3);
        let mut scratch = Vec::new();
        for (i, segment) in self.segments().iter().enumerate() {
            let (s0, s1) = (self.along(i, 0.0), self.along(i, 1.0));
            scratch.clear();
            side(self, segment, i, s0, s1, &by, &mut scratch);
            let Some(first) = scratch.first().copied() else {
                continue;
            };
            if let Some(last) = out.last().copied() {
                let reach = 2.0 * by(s0).abs();
                let bridge = bridge(&last.segment, segment.from(), &first, reach);
                run_to(&mut out, &bridge, first.from());
            }
            for next in &scratch {
                let start = out.last().map_or(next.from(), |b| b.segment.to());
                out.push(Beside {
                    segment: next.from_point(start),
                    keeps_distance: true,
                });
            }
        }
        out
    }

    /// What of the line beside this one keeps its distance from all of it, in one piece.
    fn without_loops(
        &self,
        raw: Vec<Segment>,
        by: &dyn Fn(Length) -> Length,
    ) -> Result<Self, Degenerate> {
        let chain = Chain::new(&raw, false);
        let meetings = chain.meetings();
        if meetings.is_empty() {
            return Self::from_segments(raw);
        }
        let stretches = chain.stretches(&meetings);
        let keeps = |p: Point| {
            let near = self.nearest(p);
            near.distance.in_mm() > by(near.along).in_mm().abs() - 0.02
        };
        let mut out: Vec<Segment> = Vec::new();
        let mut at = None;
        for (k, stretch) in stretches.iter().enumerate() {
            // The next one must begin where what is kept ends.
            if !out.is_empty() && stretch.from != at {
                continue;
            }
            let ends_it = k + 1 == stretches.len();
            if keeps(stretch.middle()) || (out.is_empty() && ends_it) {
                out.extend(stretch.segments.iter().map(|s| s.0));
                at = stretch.to;
            }
        }
        Self::from_segments(out)
    }
}

/// Adds straight stretches through these points, and to the last one.
fn run_to(out: &mut Vec<Beside>, through: &[Point], end: Point) {
    for p in through.iter().copied().chain([end]) {
        let Some(last) = out.last_mut() else { return };
        let from = last.segment.to();
        if (p - from).size() < SNAP && through.is_empty() {
            // What follows is laid here.
            return;
        }
        if p != from {
            out.push(Beside {
                segment: Segment::Line { from, to: p },
                keeps_distance: false,
            });
        }
    }
}

/// One segment set off to the left.
fn side(
    curve: &Curve,
    segment: &Segment,
    index: usize,
    s0: f64,
    s1: f64,
    by: &dyn Fn(f64) -> f64,
    out: &mut Vec<Segment>,
) {
    let (d0, d1) = (by(s0 + 1e-9), by(s1 - 1e-9));
    let middle = by(f64::midpoint(s0, s1));
    let even = (d0 - d1).abs() < 1e-9 && (d0 - middle).abs() < 1e-9;
    if !even {
        return changing(curve, index, s0, s1, by, out);
    }
    let straight = match *segment {
        Segment::Line { from, to } => Some((from, to)),
        Segment::Cubic { from, c1, c2, to } => is_straight(from, c1, c2, to).then_some((from, to)),
    };
    if let Some((from, to)) = straight {
        if let Some(way) = (to - from).unit() {
            let off = way.left() * d0;
            out.push(Segment::Line {
                from: from + off,
                to: to + off,
            });
        }
        return;
    }
    if d0 == 0.0 {
        out.push(*segment);
        return;
    }
    let mut path = kurbo::BezPath::new();
    // The library counts the distance to the right of a curve on paper with y down.
    kurbo::offset::offset_cubic(segment.cubic(), -d0, ASKED, &mut path);
    let before = out.len();
    for s in path.segments() {
        match s {
            kurbo::PathSeg::Line(l) => out.push(Segment::Line {
                from: Point::from_kurbo(l.p0),
                to: Point::from_kurbo(l.p1),
            }),
            kurbo::PathSeg::Cubic(c) => out.push(Segment::from_cubic(c)),
            kurbo::PathSeg::Quad(_) => {}
        }
    }
    if out[before..].iter().any(|s| !s.is_finite()) {
        out.truncate(before);
        changing(curve, index, s0, s1, by, out);
    }
}

/// Whether a cubic is a straight line within a millionth of a millimetre, however its handles lie on
/// it.
fn is_straight(from: Point, c1: Point, c2: Point, to: Point) -> bool {
    (to - from)
        .unit()
        .is_some_and(|way| way.cross(c1 - from).abs() < 1e-6 && way.cross(c2 - from).abs() < 1e-6)
}

/// A side whose distance changes: places along it by equal steps, each with its true direction, and
/// cubics between.
fn changing(
    curve: &Curve,
    index: usize,
    s0: f64,
    s1: f64,
    by: &dyn Fn(f64) -> f64,
    out: &mut Vec<Segment>,
) {
    let whole = s1 - s0;
    let segment = &curve.segments()[index];
    // A straight side needs no more places than the distance does.
    let apart = if let Segment::Line { .. } = segment {
        25.0
    } else {
        8.0
    };
    let n = (whole / apart).ceil().clamp(2.0, 400.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "2 to 400"
    )]
    let n = n as u32;
    let h = 1e-3_f64.min(whole / 100.0);
    let place = |i: u32| {
        let s = s0 + whole * f64::from(i) / f64::from(n);
        let t = segment.inv_arclen(s - s0, whole);
        let (p, v) = (segment.eval(t), segment.direction(t));
        let inside = s.clamp(s0 + h, s1 - h);
        let slope = (by(inside + h * 0.999) - by(inside - h * 0.999)) / (2.0 * h * 0.999);
        let d = by(s.clamp(s0 + 1e-9, s1 - 1e-9));
        let bend = curve.curvature(Length::mm(s.clamp(s0 + 1e-6, s1 - 1e-6)));
        // d/ds of p + d·left: the curve's own way, shortened by the bend, and the change of distance.
        (p + v.left() * d, v * (1.0 + d * bend) + v.left() * slope)
    };
    let step = whole / f64::from(n);
    let mut before = place(0);
    for i in 1..=n {
        let now = place(i);
        out.push(Segment::Cubic {
            from: before.0,
            c1: before.0 + before.1 * (step / 3.0),
            c2: now.0 - now.1 * (step / 3.0),
            to: now.0,
        });
        before = now;
    }
}

/// How the lines beside two stretches that meet at `corner` are brought together: the points between
/// the end of the one and the beginning of the other.
///
/// On the outside of the corner both are carried on straight until they meet; a tip further than
/// `reach` from the corner is bevelled there. Where the nearer line would cut the wider one short,
/// the wider one ends square. On the inside the way goes by the corner itself, and the loop that
/// arises is for the caller to cut off.
pub fn bridge(before: &Segment, corner: Point, after: &Segment, reach: f64) -> Vec<Point> {
    let (e1, e2) = (before.to(), after.from());
    let (t1, t2) = (before.direction(1.0), after.direction(0.0));
    if (e2 - e1).size() < SNAP {
        return Vec::new();
    }
    let turn = t1.cross(t2);
    let (o1, o2) = (e1 - corner, e2 - corner);
    let left = t1.left().dot(o1) + t2.left().dot(o2);
    let back = t1.dot(t2) < 0.0;
    if turn.abs() < 1e-9 && !back {
        return Vec::new();
    }
    if turn * left < 0.0 {
        return vec![corner];
    }
    let Some(tip) = meet(e1, t1, e2, t2) else {
        // Straight back: a square end.
        return vec![e1 + t1 * reach, e2 - t2 * reach];
    };
    let (ahead, behind) = ((tip - e1).dot(t1), (e2 - tip).dot(t2));
    let far = (tip - corner).size();
    if ahead >= 0.0 && behind >= 0.0 {
        if far <= reach {
            return vec![tip];
        }
        let u = (tip - corner) * (1.0 / far);
        let at = |e: Point, t: Vector| {
            let part = (reach - (e - corner).dot(u)) / t.dot(u);
            part.is_finite().then_some(e + t * part.max(0.0))
        };
        return [at(e1, t1), at(e2, -t2)].into_iter().flatten().collect();
    }
    let square = |from: Point, e: Point, t: Vector| {
        let wall = corner - from;
        let p = meet(from, wall.unit()?, e, t)?;
        let part = (p - from).dot(wall) / wall.dot(wall);
        (0.0..=1.0).contains(&part).then_some(p)
    };
    let at = if ahead < 0.0 {
        square(e1, e2, t2)
    } else {
        square(e2, e1, t1)
    };
    at.into_iter().collect()
}

/// Where two endless straight lines meet, each given by a point and a unit direction; `None` when
/// they are parallel.
pub fn meet(p: Point, v: Vector, q: Point, w: Vector) -> Option<Point> {
    let den = v.cross(w);
    let part = (q - p).cross(w) / den;
    (den.abs() > 1e-9 && part.is_finite()).then(|| p + v * part)
}

#[cfg(test)]
mod tests;
