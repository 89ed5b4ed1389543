//! True offsets of a curve, by a constant or a changing distance.

use crate::curve::{Curve, Degenerate, Segment};
use crate::length::Length;
use crate::point::{Point, Vector};

/// What is asked of the curve library; it is nearly, not strictly, a bound, so 0.05 mm is promised.
const ASKED: f64 = 0.005;

impl Curve {
    /// The curve that runs beside this one at a constant distance: to the left when positive.
    ///
    /// Corners inside the curve are bridged: on the outside the two sides are carried on until they
    /// meet (at most twice the distance away, else bevelled), on the inside they are cut where they
    /// cross. Loops where the distance is more than the radius are cut off. Right to 0.05 mm.
    ///
    /// # Errors
    /// When nothing is left of it.
    pub fn offset(&self, by: Length) -> Result<Self, Degenerate> {
        if by == Length::ZERO {
            return Ok(self.clone());
        }
        let raw = self.offset_raw(&|_| by.in_mm())?;
        raw.without_loops()
    }

    /// The curve beside this one at a distance that changes along it: `by` is told how far along.
    /// Loops are cut off. Right to 0.05 mm where `by` is smooth.
    ///
    /// # Errors
    /// When nothing is left of it.
    pub fn offset_by(&self, by: &dyn Fn(Length) -> Length) -> Result<Self, Degenerate> {
        let raw = self.offset_raw(&|s| by(Length::mm(s)).in_mm())?;
        raw.without_loops()
    }

    fn offset_raw(&self, by: &dyn Fn(f64) -> f64) -> Result<Self, Degenerate> {
        let mut sides: Vec<Vec<Segment>> = Vec::new();
        for (i, segment) in self.segments().iter().enumerate() {
            let (s0, s1) = (self.along(i, 0.0), self.along(i, 1.0));
            sides.push(side(self, segment, i, s0, s1, by));
        }
        sides.retain(|s| !s.is_empty());
        let mut out: Vec<Segment> = sides.first().ok_or(Degenerate)?.clone();
        for next in sides.into_iter().skip(1) {
            bridge(&mut out, next);
        }
        Self::from_segments(out)
    }

    /// The curve with its loops cut off: from the first place where it meets itself again, the part
    /// between is dropped, as long as what is dropped turns back on itself.
    fn without_loops(self) -> Result<Self, Degenerate> {
        let mut curve = self;
        for _ in 0..32 {
            let Some((s, e)) = curve.self_crossings().into_iter().next() else {
                break;
            };
            let whole = curve.length();
            let head = curve.sub(Length::ZERO, s).ok();
            let tail = curve.sub(e, whole).ok();
            curve = match (head, tail) {
                (Some(h), Some(t)) => Self::joined([&h, &t.with_ends(h.end(), t.end())?])?,
                (Some(only), None) | (None, Some(only)) => only,
                (None, None) => return Err(Degenerate),
            };
        }
        Ok(curve)
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
) -> Vec<Segment> {
    let (d0, d1) = (by(s0 + 1e-9), by(s1 - 1e-9));
    let middle = by(0.5 * (s0 + s1));
    let constant = (d0 - d1).abs() < 1e-9 && (d0 - middle).abs() < 1e-9;
    match segment {
        Segment::Line { from, to } if constant => {
            let off = segment.direction(0.0).left() * d0;
            vec![Segment::Line {
                from: *from + off,
                to: *to + off,
            }]
        }
        Segment::Cubic { .. } if constant => {
            let mut path = kurbo::BezPath::new();
            // The library counts the distance to the right of a curve on paper with y down.
            kurbo::offset::offset_cubic(segment.cubic(), -d0, ASKED, &mut path);
            path.segments()
                .filter_map(|s| match s {
                    kurbo::PathSeg::Line(l) => Some(Segment::Line {
                        from: Point::from_kurbo(l.p0),
                        to: Point::from_kurbo(l.p1),
                    }),
                    kurbo::PathSeg::Cubic(c) => Some(Segment::from_cubic(c)),
                    kurbo::PathSeg::Quad(_) => None,
                })
                .collect()
        }
        _ => changing(curve, index, s0, s1, by),
    }
}

/// A side whose distance changes: places along it by equal steps, each with its true direction, and
/// cubics between.
fn changing(
    curve: &Curve,
    index: usize,
    s0: f64,
    s1: f64,
    by: &dyn Fn(f64) -> f64,
) -> Vec<Segment> {
    let whole = s1 - s0;
    let n = (whole / 6.0).ceil().clamp(2.0, 400.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "2 to 400"
    )]
    let n = n as u32;
    let h = 1e-3_f64.min(whole / 100.0);
    let segment = &curve.segments()[index];
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
    let mut out = Vec::new();
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
    out
}

/// Brings the next side to the ones before.
fn bridge(out: &mut Vec<Segment>, next: Vec<Segment>) {
    let Some(last) = out.last().copied() else {
        out.extend(next);
        return;
    };
    let first = next[0];
    let gap = first.from() - last.to();
    if gap.size() < 1e-4 {
        out.extend(next);
        return;
    }
    let (v, w) = (last.direction(1.0), first.direction(0.0));
    if let Some(tip) = meet(last.to(), v, first.from(), w) {
        let (ahead, back) = ((tip - last.to()).dot(v), (first.from() - tip).dot(w));
        let limit = 4.0 * gap.size();
        if ahead >= 0.0 && back >= 0.0 && ahead < limit && back < limit {
            out.push(Segment::Line {
                from: last.to(),
                to: tip,
            });
            out.push(Segment::Line {
                from: tip,
                to: first.from(),
            });
            out.extend(next);
            return;
        }
    }
    // On the inside of a corner the sides cross and the loop is cut off afterwards.
    out.push(Segment::Line {
        from: last.to(),
        to: first.from(),
    });
    out.extend(next);
}

/// Where two straight lines meet.
fn meet(p: Point, v: Vector, q: Point, w: Vector) -> Option<Point> {
    let den = v.cross(w);
    (den.abs() > 1e-9).then(|| p + v * ((q - p).cross(w) / den))
}
