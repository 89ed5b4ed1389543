//! Where curves cross each other and straight lines.

use kurbo::{ParamCurve, ParamCurveExtrema};

use crate::curve::{Curve, Segment};
use crate::length::Length;
use crate::outer::Chain;
use crate::point::{Point, Vector};

/// A place where two curves cross or touch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// How far along the first.
    pub first: Length,
    /// How far along the second.
    pub second: Length,
    /// Where it is.
    pub point: Point,
}

/// More crossings than this between two curves mean that they lie on each other; the rest is left.
const MOST: usize = 64;
/// Pairs of parts looked at between two segments before the search ends.
const MOST_PAIRS: usize = 20_000;

impl Segment {
    /// The parameters, on this stretch and on another, at which the two cross or touch.
    pub fn crossings(&self, other: &Self) -> Vec<(f64, f64)> {
        pair(self, other)
    }

    /// The parameters at which it crosses the endless straight line through `on` with unit
    /// `direction`, in order.
    pub fn crossings_straight(&self, on: Point, direction: Vector) -> Vec<f64> {
        let off = |p: Point| direction.cross(p - on);
        match *self {
            Self::Line { from, to } => {
                let (a, b) = (off(from), off(to));
                let touches = a * b <= 0.0 || a.abs() < 1e-9 || b.abs() < 1e-9;
                if touches && (a - b).abs() > 1e-9 {
                    vec![(a / (a - b)).clamp(0.0, 1.0)]
                } else if a.abs() < 1e-9 && b.abs() < 1e-9 {
                    vec![0.0]
                } else {
                    Vec::new()
                }
            }
            Self::Cubic { from, c1, c2, to } => {
                let (d0, d1, d2, d3) = (off(from), off(c1), off(c2), off(to));
                let mut roots = zeros([d0, d1, d2, d3]);
                // An end that lies on the line counts, though rounding may put its root outside.
                if d0.abs() < 1e-7 {
                    roots.push(0.0);
                }
                if d3.abs() < 1e-7 {
                    roots.push(1.0);
                }
                roots.retain(|t| (-1e-9..=1.0 + 1e-9).contains(t));
                for t in &mut roots {
                    *t = t.clamp(0.0, 1.0);
                }
                roots.sort_by(f64::total_cmp);
                roots
            }
        }
    }
}

/// Where a cubic, told by its four handles' distances from a line, is on the line.
///
/// Found between the places where it turns, by halving: a closed formula loses several millimetres
/// where the cubic is nearly a parabola, as every bowed line is.
fn zeros(d: [f64; 4]) -> Vec<f64> {
    let at = |t: f64| {
        let u = 1.0 - t;
        u * u * u * d[0] + 3.0 * u * t * (u * d[1] + t * d[2]) + t * t * t * d[3]
    };
    let (e0, e1, e2) = (d[1] - d[0], d[2] - d[1], d[3] - d[2]);
    let (a, b, c) = (e0 - 2.0 * e1 + e2, 2.0 * (e1 - e0), e0);
    let mut ends = vec![0.0];
    let inner = b * b - 4.0 * a * c;
    if inner >= 0.0 {
        let q = -0.5 * (b + inner.sqrt().copysign(b));
        let mut turns = [q / a, c / q];
        turns.sort_by(f64::total_cmp);
        ends.extend(turns.into_iter().filter(|t| *t > 0.0 && *t < 1.0));
    }
    ends.push(1.0);
    let mut found = Vec::new();
    for (i, w) in ends.windows(2).enumerate() {
        let (mut lo, mut hi) = (w[0], w[1]);
        let (f, g) = (at(lo), at(hi));
        // Where it only touches the line it turns on it.
        if i > 0 && f.abs() < 1e-9 {
            found.push(lo);
        }
        if f * g >= 0.0 {
            if f == 0.0 && i == 0 {
                found.push(0.0);
            }
            if g == 0.0 && hi >= 1.0 {
                found.push(1.0);
            }
            continue;
        }
        for _ in 0..60 {
            let middle = 0.5 * (lo + hi);
            if at(middle) * f > 0.0 {
                lo = middle;
            } else {
                hi = middle;
            }
        }
        found.push(0.5 * (lo + hi));
    }
    found
}

impl Curve {
    /// Every place where it crosses another curve, in order along this one. Right to 1e-6 mm; curves
    /// that lie on each other give some places of the common stretch.
    ///
    /// # Panics
    /// Never: a curve is finite.
    pub fn crossings(&self, other: &Self) -> Vec<Crossing> {
        let mut found: Vec<Crossing> = Vec::new();
        for (i, a) in self.segments().iter().enumerate() {
            for (j, b) in other.segments().iter().enumerate() {
                for (t, u) in pair(a, b) {
                    if found.len() >= MOST {
                        break;
                    }
                    found.push(Crossing {
                        first: Length::mm(self.along(i, t)),
                        second: Length::mm(other.along(j, u)),
                        point: a.eval(t),
                    });
                }
            }
        }
        found.sort_by(|a, b| a.first.in_mm().total_cmp(&b.first.in_mm()));
        found.dedup_by(|a, b| {
            (a.first - b.first).in_mm().abs() < 1e-4 && (a.second - b.second).in_mm().abs() < 1e-4
        });
        found
    }

    /// Every place where it crosses the endless straight line through `on` with unit `direction`, as
    /// how far along this curve and where, in order.
    ///
    /// # Panics
    /// Never: a curve is finite.
    pub fn crossings_straight(&self, on: Point, direction: Vector) -> Vec<(Length, Point)> {
        let mut found = Vec::new();
        for (i, segment) in self.segments().iter().enumerate() {
            for t in segment.crossings_straight(on, direction) {
                found.push((Length::mm(self.along(i, t)), segment.eval(t)));
            }
        }
        found.sort_by(|a, b| a.0.in_mm().total_cmp(&b.0.in_mm()));
        found.dedup_by(|a, b| (a.0 - b.0).in_mm().abs() < 1e-4);
        found
    }

    /// Where the curve crosses itself, if it does: the two places along it, the earlier first.
    /// Corners and ends that touch are no crossing, and loops less than 0.004 mm wide may be missed.
    pub fn self_crossings(&self) -> Vec<(Length, Length)> {
        self.self_crossings_where(false)
    }

    /// The same for a curve that closes on itself: its two ends touch and that counts for nothing.
    pub fn self_crossings_closed(&self) -> Vec<(Length, Length)> {
        self.self_crossings_where(true)
    }

    fn self_crossings_where(&self, closed: bool) -> Vec<(Length, Length)> {
        let whole = self.length().in_mm();
        let mut found: Vec<(f64, f64)> = Chain::new(self.segments(), closed)
            .meetings()
            .iter()
            .map(|m| {
                let [(i, t), (j, u)] = m.at;
                (self.along(i, t), self.along(j, u))
            })
            .filter(|(s, e)| {
                let apart = if closed {
                    (e - s).min(whole - (e - s))
                } else {
                    e - s
                };
                apart > 1e-3
            })
            .collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found
            .into_iter()
            .map(|(s, e)| (Length::mm(s), Length::mm(e)))
            .collect()
    }
}

/// The parameters at which two segments cross or touch.
fn pair(a: &Segment, b: &Segment) -> Vec<(f64, f64)> {
    if let (Segment::Line { from: p, to: q }, Segment::Line { from: r, to: s }) = (a, b) {
        return lines(*p, *q, *r, *s).into_iter().collect();
    }
    if !overlap(&a.kurbo().bounding_box(), &b.kurbo().bounding_box()) {
        return Vec::new();
    }
    let (ca, cb) = (a.cubic(), b.cubic());
    let mut out: Vec<(f64, f64)> = Vec::new();
    let mut stack = vec![(ca, 0.0, 1.0, cb, 0.0, 1.0)];
    let mut looked = 0;
    while let Some((sa, t0, t1, sb, u0, u1)) = stack.pop() {
        looked += 1;
        if looked > MOST_PAIRS || out.len() >= MOST {
            break;
        }
        if !overlap(&hull(&sa), &hull(&sb)) {
            continue;
        }
        let (fa, fb) = (flatness(&sa), flatness(&sb));
        if fa < 1e-3 && fb < 1e-3 {
            let at = |p: kurbo::Point| Point::from_kurbo(p);
            let start = lines_near(at(sa.p0), at(sa.p3), at(sb.p0), at(sb.p3));
            let hit = start.and_then(|(t, u)| newton(a, b, t0 + (t1 - t0) * t, u0 + (u1 - u0) * u));
            let known = |h: (f64, f64)| {
                out.iter()
                    .any(|o| (o.0 - h.0).abs() < 1e-7 && (o.1 - h.1).abs() < 1e-7)
            };
            if let Some(hit) = hit
                && !known(hit)
            {
                out.push(hit);
            }
            continue;
        }
        let (tm, um) = (0.5 * (t0 + t1), 0.5 * (u0 + u1));
        if fa >= fb {
            let (x, y) = sa.subdivide();
            stack.push((x, t0, tm, sb, u0, u1));
            stack.push((y, tm, t1, sb, u0, u1));
        } else {
            let (x, y) = sb.subdivide();
            stack.push((sa, t0, t1, x, u0, um));
            stack.push((sa, t0, t1, y, um, u1));
        }
    }
    out.sort_by(|x, y| x.0.total_cmp(&y.0));
    out
}

fn overlap(a: &kurbo::Rect, b: &kurbo::Rect) -> bool {
    const E: f64 = 1e-6;
    a.x0 <= b.x1 + E && b.x0 <= a.x1 + E && a.y0 <= b.y1 + E && b.y0 <= a.y1 + E
}

fn hull(c: &kurbo::CubicBez) -> kurbo::Rect {
    kurbo::Rect::from_points(c.p0, c.p1).union(kurbo::Rect::from_points(c.p2, c.p3))
}

fn flatness(c: &kurbo::CubicBez) -> f64 {
    let d1 = c.p0.to_vec2() - 2.0 * c.p1.to_vec2() + c.p2.to_vec2();
    let d2 = c.p1.to_vec2() - 2.0 * c.p2.to_vec2() + c.p3.to_vec2();
    d1.hypot().max(d2.hypot())
}

fn lines(p: Point, q: Point, r: Point, s: Point) -> Option<(f64, f64)> {
    let (d, e) = (q - p, s - r);
    let den = d.cross(e);
    if den.abs() < 1e-12 * d.size() * e.size() {
        return None;
    }
    let (t, u) = ((r - p).cross(e) / den, (r - p).cross(d) / den);
    let (et, eu) = (1e-7 / d.size(), 1e-7 / e.size());
    ((-et..=1.0 + et).contains(&t) && (-eu..=1.0 + eu).contains(&u))
        .then(|| (t.clamp(0.0, 1.0), u.clamp(0.0, 1.0)))
}

/// As `lines`, but generous at the ends and for parallels: only a start for the refinement.
fn lines_near(p: Point, q: Point, r: Point, s: Point) -> Option<(f64, f64)> {
    let (d, e) = (q - p, s - r);
    let den = d.cross(e);
    if den.abs() < 1e-9 * d.size() * e.size() || den.abs() < 1e-300 {
        return Some((0.5, 0.5));
    }
    let (t, u) = ((r - p).cross(e) / den, (r - p).cross(d) / den);
    ((-0.5..=1.5).contains(&t) && (-0.5..=1.5).contains(&u)).then_some((t, u))
}

pub(crate) fn newton(a: &Segment, b: &Segment, mut t: f64, mut u: f64) -> Option<(f64, f64)> {
    use kurbo::ParamCurveDeriv;
    let (ca, cb) = (a.cubic(), b.cubic());
    let (da, db) = (ca.deriv(), cb.deriv());
    for _ in 0..12 {
        let f = ca.eval(t) - cb.eval(u);
        if f.hypot() < 1e-11 {
            break;
        }
        let (v, w) = (da.eval(t).to_vec2(), db.eval(u).to_vec2());
        let den = v.cross(w);
        if den.abs() < 1e-9 * (v.hypot() * w.hypot()).max(1e-12) {
            break;
        }
        t -= f.cross(w) / den;
        u -= f.cross(v) / den;
        if !(-1.0..=2.0).contains(&t) || !(-1.0..=2.0).contains(&u) {
            return None;
        }
    }
    let e = 1e-7;
    if !(-e..=1.0 + e).contains(&t) || !(-e..=1.0 + e).contains(&u) {
        return None;
    }
    let (t, u) = (t.clamp(0.0, 1.0), u.clamp(0.0, 1.0));
    ((ca.eval(t) - cb.eval(u)).hypot() < 1e-5).then_some((t, u))
}

#[cfg(test)]
mod tests;
