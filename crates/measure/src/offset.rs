//! True offsets of a curve, by a constant or a changing distance.

use kurbo::{ParamCurve, ParamCurveDeriv};

use crate::curve::{Curve, Degenerate, Segment};
use crate::length::Length;
use crate::outer::Chain;
use crate::point::{Point, Vector};

/// What is asked of the curve library; it is nearly, not strictly, a bound, so 0.05 mm is promised.
const ASKED: f64 = 0.005;
/// A place that lies nearer to the curve than it should by more than this, in millimetres, is on a
/// loop.
pub const NEARER: f64 = 0.02;
/// What is shorter than this, in millimetres, is left out of an offset.
const CRUMB: f64 = 1e-6;
/// Ends that lie this close, in millimetres, are laid on each other.
pub const SNAP: f64 = 0.01;

/// A stretch of the line beside a curve, before loops are cut off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    /// The stretch.
    pub segment: Segment,
    /// What it is.
    pub kind: Kind,
}

/// What a stretch beside a curve is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// It runs at the distance asked for.
    True,
    /// It leads over a corner.
    Bridge,
    /// It lies nearer than that, where the curve is hollower than the distance.
    Inside,
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
        self.without_loops(&self.beside(by), by)
    }

    /// The line beside this one with all its loops, each stretch beginning where the one before ends.
    /// An inner corner runs to the corner itself and back, and a hollow tighter than `by` no further than
    /// its radius, so that the line goes clockwise round all that lies nearer than `by`.
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
                let bridge = bridge(&last.segment, segment.from(), &first.segment, reach);
                run_to(&mut out, &bridge, first.segment.from());
            }
            for next in &scratch {
                let start = out.last().map_or(next.segment.from(), |b| b.segment.to());
                out.push(Beside {
                    segment: next.segment.from_point(start),
                    ..*next
                });
            }
        }
        out
    }

    /// What of the line beside this one keeps its distance from all of it, in one piece.
    fn without_loops(
        &self,
        beside: &[Beside],
        by: &dyn Fn(Length) -> Length,
    ) -> Result<Self, Degenerate> {
        let raw: Vec<Segment> = beside.iter().map(|b| b.segment).collect();
        let kept = cleared(&raw, &|p, of| {
            let near = self.nearest(p);
            beside[of].kind != Kind::Inside
                && near.distance.in_mm() > by(near.along).in_mm().abs() - NEARER
        });
        Self::from_segments(kept.into_iter().map(|k| k.0).collect())
    }
}

/// What is left of an open chain when it is cut wherever it meets itself and only those stretches
/// stay, in one piece, that pass: `keeps` is asked of one place of each, with the number of the
/// segment that it lies on. Each segment comes with the number of the given one that it is part of.
pub fn cleared(chain: &[Segment], keeps: &dyn Fn(Point, usize) -> bool) -> Vec<(Segment, usize)> {
    let seen = Chain::new(chain, false);
    let meetings = seen.meetings();
    if meetings.is_empty() {
        return chain.iter().copied().zip(0..).collect();
    }
    let stretches = seen.stretches(&meetings);
    let mut out: Vec<(Segment, usize)> = Vec::new();
    let mut at = None;
    for (k, stretch) in stretches.iter().enumerate() {
        // The next one must begin where what is kept ends.
        if !out.is_empty() && stretch.from != at {
            continue;
        }
        let ends_it = k + 1 == stretches.len();
        let (middle, of) = stretch.middle();
        if keeps(middle, of) || (out.is_empty() && ends_it) {
            out.extend(&stretch.segments);
            at = stretch.to;
        }
    }
    out
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
                kind: Kind::Bridge,
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
    out: &mut Vec<Beside>,
) {
    let mut put = |segment: Segment| {
        out.push(Beside {
            segment,
            kind: Kind::True,
        });
    };
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
            put(Segment::Line {
                from: from + off,
                to: to + off,
            });
        }
        return;
    }
    if d0 == 0.0 {
        put(*segment);
        return;
    }
    for (t0, t1, tight) in hollows(segment, d0) {
        let part = if t0 <= 0.0 && t1 >= 1.0 {
            *segment
        } else {
            segment.part(t0, t1)
        };
        if tight {
            within(&part, (d0, d0), out);
        } else if !round(&part, d0, out) {
            let (a, b) = (curve.along(index, t0), curve.along(index, t1));
            changing(curve, index, a, b, by, out);
        }
    }
}

/// Sets a cubic off by the curve library; says whether all came out as numbers.
fn round(segment: &Segment, left: f64, out: &mut Vec<Beside>) -> bool {
    let mut path = kurbo::BezPath::new();
    // The library counts the distance to the right of a curve on paper with y down.
    kurbo::offset::offset_cubic(segment.cubic(), -left, ASKED, &mut path);
    let before = out.len();
    for s in path.segments() {
        let segment = match s {
            kurbo::PathSeg::Line(l) => Segment::Line {
                from: Point::from_kurbo(l.p0),
                to: Point::from_kurbo(l.p1),
            },
            kurbo::PathSeg::Cubic(c) => Segment::from_cubic(c),
            kurbo::PathSeg::Quad(_) => continue,
        };
        // At a cusp the library crumbles.
        if (segment.point(0.5) - segment.from()).size() < CRUMB && segment.is_finite() {
            continue;
        }
        out.push(Beside {
            segment,
            kind: Kind::True,
        });
    }
    let whole = out[before..].iter().all(|s| s.segment.is_finite());
    if !whole {
        out.truncate(before);
    }
    whole
}

/// The parameters between which a segment is hollower than the distance, and those between which it
/// is not, in order. A little on each side counts to the hollow, so that no part ends in a cusp.
fn hollows(segment: &Segment, left: f64) -> Vec<(f64, f64, bool)> {
    const LOOKS: u32 = 24;
    const MARGIN: f64 = 0.02;
    let c = segment.cubic();
    let (d, dd) = (c.deriv(), c.deriv().deriv());
    // How far a place beside the curve goes when the curve goes on by one.
    let pace = |t: f64| {
        let t = t.clamp(1e-9, 1.0 - 1e-9);
        let (v, a) = (d.eval(t).to_vec2(), dd.eval(t).to_vec2());
        let size = v.hypot2().sqrt();
        1.0 + left * v.cross(a) / (size * size * size).max(1e-12)
    };
    let at = |i: u32| f64::from(i) / f64::from(LOOKS);
    if (0..=LOOKS).all(|i| pace(at(i)) >= 0.0) {
        return vec![(0.0, 1.0, false)];
    }
    let tight = |t: f64| pace(t) < MARGIN;
    let mut out = Vec::new();
    let mut begin = 0.0;
    let mut was = tight(0.0);
    for i in 1..=LOOKS {
        if tight(at(i)) == was {
            continue;
        }
        let (mut low, mut high) = (at(i - 1), at(i));
        for _ in 0..30 {
            let middle = f64::midpoint(low, high);
            if tight(middle) == was {
                low = middle;
            } else {
                high = middle;
            }
        }
        if low - begin > 1e-9 {
            out.push((begin, low, was));
        }
        (begin, was) = (low, !was);
    }
    out.push((begin, 1.0, was));
    out
}

/// What lies beside a part that is hollower than the distance: no further out than the radius. What
/// lies beyond that is nearer to another part of the curve, so nothing is lost, and none of it bounds
/// the whole. It begins and ends as the curve does, at the full distance, for what is joined to it.
fn within(segment: &Segment, lefts: (f64, f64), out: &mut Vec<Beside>) {
    const PARTS: u32 = 12;
    const STUB: f64 = 0.02;
    let c = segment.cubic();
    let (d, dd) = (c.deriv(), c.deriv().deriv());
    let beside = |t: f64, most: bool| {
        let left = lefts.0 + (lefts.1 - lefts.0) * t;
        let inside = t.clamp(1e-9, 1.0 - 1e-9);
        let (v, a) = (d.eval(inside).to_vec2(), dd.eval(inside).to_vec2());
        let bend = v.cross(a) / (v.hypot2() * v.hypot2().sqrt()).max(1e-12);
        let short = if most && bend * left < -1.0 {
            -1.0 / bend
        } else {
            left
        };
        segment.point(t) + segment.direction(t).left() * short
    };
    let (q0, q1) = (beside(0.0, false), beside(1.0, false));
    let mut places = vec![q0, q0 + segment.direction(0.0) * STUB];
    for i in 0..=PARTS {
        // The centres of an arc all lie on one place; a crowd of them would cross by chance.
        let p = beside(f64::from(i) / f64::from(PARTS), true);
        if places.last().is_none_or(|q| (p - *q).size() > 0.5 * STUB) {
            places.push(p);
        }
    }
    places.extend([q1 - segment.direction(1.0) * STUB, q1]);
    if places.iter().all(|p| (*p - q0).size() < 4.0 * STUB) {
        // Hardly hollower than the distance: no tail to speak of.
        places = vec![q0, q1];
    }
    for w in places.windows(2) {
        out.push(Beside {
            segment: Segment::Line {
                from: w[0],
                to: w[1],
            },
            kind: Kind::Inside,
        });
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
    out: &mut Vec<Beside>,
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
        // A crumb of a stretch has no room for the usual step off its ends.
        let (hair, step) = (1e-9_f64.min(whole / 4.0), 1e-6_f64.min(whole / 4.0));
        let d = by(s.clamp(s0 + hair, s1 - hair));
        let bend = curve.curvature(Length::mm(s.clamp(s0 + step, s1 - step)));
        // d/ds of p + d·left: the curve's own way, shortened by the bend, and the change of distance.
        let pace = 1.0 + d * bend;
        Beyond {
            t,
            d,
            p: p + v.left() * d,
            go: v * pace + v.left() * slope,
            tight: pace < 0.0,
        }
    };
    let step = whole / f64::from(n);
    let mut before = place(0);
    // Where the hollow that is being crossed began.
    let mut hollow: Option<(f64, f64)> = None;
    for i in 1..=n {
        let now = place(i);
        if before.tight || now.tight {
            let (t, d) = *hollow.get_or_insert((before.t, before.d));
            if !now.tight || i == n {
                within(&segment.part(t, now.t), (d, now.d), out);
                hollow = None;
            }
        } else {
            out.push(Beside {
                segment: Segment::Cubic {
                    from: before.p,
                    c1: before.p + before.go * (step / 3.0),
                    c2: now.p - now.go * (step / 3.0),
                    to: now.p,
                },
                kind: Kind::True,
            });
        }
        before = now;
    }
}

/// A place beside a curve at a changing distance.
struct Beyond {
    t: f64,
    d: f64,
    p: Point,
    // How it goes on as the curve goes on by one.
    go: Vector,
    // Whether the curve is hollower there than the distance.
    tight: bool,
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
        // Where a width grows, the lines beside a hair of a corner may turn the other way than it does;
        // then there is a gap ahead and no loop.
        let gap = e2 - e1;
        if gap.dot(t1) > 0.0 && gap.dot(t2) > 0.0 {
            return Vec::new();
        }
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
