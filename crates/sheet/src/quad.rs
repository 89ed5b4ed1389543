//! Boxes, straight or turned, and how near they come to lines: what keeps letters off lines.

use measure::{Angle, Point, Vector};

/// A straight box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rect {
    pub(crate) x0: f64,
    pub(crate) y0: f64,
    pub(crate) x1: f64,
    pub(crate) y1: f64,
}

impl Rect {
    /// The box that holds nothing yet.
    pub(crate) const EMPTY: Self = Self {
        x0: f64::INFINITY,
        y0: f64::INFINITY,
        x1: f64::NEG_INFINITY,
        y1: f64::NEG_INFINITY,
    };

    pub(crate) const fn new(x: f64, y: f64, width: f64, height: f64) -> Self {
        Self {
            x0: x,
            y0: y,
            x1: x + width,
            y1: y + height,
        }
    }

    pub(crate) fn around<'a>(points: impl IntoIterator<Item = &'a Point>) -> Self {
        points.into_iter().fold(Self::EMPTY, |r, p| r.with(*p))
    }

    pub(crate) const fn with(self, p: Point) -> Self {
        Self {
            x0: self.x0.min(p.x),
            y0: self.y0.min(p.y),
            x1: self.x1.max(p.x),
            y1: self.y1.max(p.y),
        }
    }

    pub(crate) const fn joined(self, o: &Self) -> Self {
        Self {
            x0: self.x0.min(o.x0),
            y0: self.y0.min(o.y0),
            x1: self.x1.max(o.x1),
            y1: self.y1.max(o.y1),
        }
    }

    pub(crate) fn grown(self, by: f64) -> Self {
        Self {
            x0: self.x0 - by,
            y0: self.y0 - by,
            x1: self.x1 + by,
            y1: self.y1 + by,
        }
    }

    pub(crate) fn shifted(self, by: Vector) -> Self {
        Self {
            x0: self.x0 + by.x,
            y0: self.y0 + by.y,
            x1: self.x1 + by.x,
            y1: self.y1 + by.y,
        }
    }

    pub(crate) fn width(&self) -> f64 {
        self.x1 - self.x0
    }

    pub(crate) fn height(&self) -> f64 {
        self.y1 - self.y0
    }

    pub(crate) const fn centre(&self) -> Point {
        Point::new(
            f64::midpoint(self.x0, self.x1),
            f64::midpoint(self.y0, self.y1),
        )
    }

    pub(crate) fn holds(&self, p: Point) -> bool {
        p.x >= self.x0 && p.x <= self.x1 && p.y >= self.y0 && p.y <= self.y1
    }

    pub(crate) fn holds_all(&self, o: &Self) -> bool {
        o.x0 >= self.x0 && o.x1 <= self.x1 && o.y0 >= self.y0 && o.y1 <= self.y1
    }

    pub(crate) fn meets(&self, o: &Self) -> bool {
        self.x0 <= o.x1 && o.x0 <= self.x1 && self.y0 <= o.y1 && o.y0 <= self.y1
    }

    pub(crate) const fn corners(&self) -> [Point; 4] {
        [
            Point::new(self.x0, self.y0),
            Point::new(self.x1, self.y0),
            Point::new(self.x1, self.y1),
            Point::new(self.x0, self.y1),
        ]
    }

    /// The part of a straight line inside, if any.
    pub(crate) fn clipped(&self, a: Point, b: Point) -> Option<(Point, Point)> {
        let d = b - a;
        let (mut t0, mut t1) = (0.0_f64, 1.0_f64);
        for (p, q) in [
            (-d.x, a.x - self.x0),
            (d.x, self.x1 - a.x),
            (-d.y, a.y - self.y0),
            (d.y, self.y1 - a.y),
        ] {
            if p == 0.0 {
                if q < 0.0 {
                    return None;
                }
            } else if p < 0.0 {
                t0 = t0.max(q / p);
            } else {
                t1 = t1.min(q / p);
            }
        }
        (t0 <= t1).then(|| (a + d * t0, a + d * t1))
    }
}

/// A box that may be turned: where a line of letters stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Quad {
    pub(crate) corners: [Point; 4],
    pub(crate) bounds: Rect,
}

impl Quad {
    /// The box of which `local` is the straight form with its origin at `at`, turned about it.
    pub(crate) fn turned(at: Point, turn: Angle, local: &Rect) -> Self {
        let corners = local
            .corners()
            .map(|c| at + Vector::new(c.x, c.y).turned(turn));
        Self::of(corners)
    }

    pub(crate) fn of(corners: [Point; 4]) -> Self {
        Self {
            corners,
            bounds: Rect::around(&corners),
        }
    }

    pub(crate) fn rect(r: &Rect) -> Self {
        Self::of(r.corners())
    }

    fn sides(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        (0..4).map(|i| (self.corners[i], self.corners[(i + 1) % 4]))
    }

    pub(crate) fn holds(&self, p: Point) -> bool {
        let (mut left, mut right) = (true, true);
        for (a, b) in self.sides() {
            let c = (b - a).cross(p - a);
            left &= c <= 0.0;
            right &= c >= 0.0;
        }
        left || right
    }

    /// How far a straight line stays away; nothing when it enters.
    pub(crate) fn gap_to_line(&self, a: Point, b: Point) -> f64 {
        if self.holds(a) || self.holds(b) {
            return 0.0;
        }
        self.sides()
            .map(|(p, q)| line_gap(p, q, a, b))
            .fold(f64::INFINITY, f64::min)
    }

    /// How far another box stays away; nothing when they overlap.
    pub(crate) fn gap_to(&self, other: &Self) -> f64 {
        if other.holds(self.corners[0]) {
            return 0.0;
        }
        other
            .sides()
            .map(|(a, b)| self.gap_to_line(a, b))
            .fold(f64::INFINITY, f64::min)
    }
}

/// How far a point is from a straight line between two points.
pub(crate) fn point_gap(p: Point, a: Point, b: Point) -> f64 {
    square_gap(p, a, b).sqrt()
}

fn square_gap(p: Point, a: Point, b: Point) -> f64 {
    let d = b - a;
    let size = d.dot(d);
    let t = if size > 0.0 {
        ((p - a).dot(d) / size).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let off = p - (a + d * t);
    off.dot(off)
}

/// How near two straight lines come.
pub(crate) fn line_gap(a: Point, b: Point, c: Point, d: Point) -> f64 {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    if side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0 {
        return 0.0;
    }
    square_gap(a, c, d)
        .min(square_gap(b, c, d))
        .min(square_gap(c, a, b))
        .min(square_gap(d, a, b))
        .sqrt()
}

/// Whether a closed ring of straight lines goes round a point.
pub(crate) fn rings(ring: &[Point], p: Point) -> bool {
    let mut inside = false;
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
    }
    inside
}
