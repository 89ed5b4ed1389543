//! Paths for the screen, as short as they can be: whole tenths of a millimetre, each step from the
//! one before.

use measure::Point;
use measure::curve::{Curve, Segment};

/// So many units of a path are a millimetre.
pub(crate) const FINE: f64 = 10.0;

#[expect(
    clippy::cast_possible_truncation,
    reason = "pieces are at most a few metres; a saturated coordinate would still be drawn"
)]
fn unit(v: f64) -> i64 {
    (v * FINE).round() as i64
}

/// A path that is being written.
#[derive(Debug, Default)]
pub(crate) struct Path {
    d: String,
    at: (i64, i64),
}

impl Path {
    /// The text of its `d`.
    pub(crate) fn text(self) -> String {
        self.d
    }

    fn number(&mut self, v: i64) {
        // A minus parts two numbers by itself.
        let parted = self.d.ends_with(|c: char| c.is_ascii_alphabetic());
        if !parted && v >= 0 {
            self.d.push(' ');
        }
        self.d.push_str(&v.to_string());
    }

    fn pair(&mut self, p: (i64, i64)) {
        let at = self.at;
        self.number(p.0 - at.0);
        self.number(p.1 - at.1);
    }

    /// Goes to a point without drawing.
    pub(crate) fn to(&mut self, p: Point) {
        let p = (unit(p.x), unit(p.y));
        self.d.push_str(&format!("M{} {}", p.0, p.1));
        self.at = p;
    }

    /// Draws a straight line.
    pub(crate) fn line(&mut self, p: Point) {
        let p = (unit(p.x), unit(p.y));
        if p != self.at {
            self.d.push('l');
            self.pair(p);
            self.at = p;
        }
    }

    /// Draws on along a curve, from where it begins.
    pub(crate) fn along(&mut self, curve: &Curve) {
        for segment in curve.segments() {
            match *segment {
                Segment::Line { to, .. } => self.line(to),
                Segment::Cubic { c1, c2, to, .. } => {
                    self.d.push('c');
                    for p in [c1, c2, to] {
                        self.pair((unit(p.x), unit(p.y)));
                    }
                    self.at = (unit(to.x), unit(to.y));
                }
            }
        }
    }

    /// Closes the ring.
    pub(crate) fn close(&mut self) {
        self.d.push('z');
    }
}

/// One curve as a path.
pub(crate) fn of(curve: &Curve) -> String {
    let mut path = Path::default();
    path.to(curve.start());
    path.along(curve);
    path.text()
}

/// Points joined by straight lines.
pub(crate) fn through(points: &[Point]) -> String {
    let mut path = Path::default();
    for (i, p) in points.iter().enumerate() {
        if i == 0 {
            path.to(*p);
        } else {
            path.line(*p);
        }
    }
    path.text()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;

    #[test]
    fn a_path_says_each_step_from_the_one_before_and_loses_no_tenth() {
        let a = Point::new(10.0, 20.0);
        let b = Point::new(12.34, 18.06);
        let curve = Curve::cubic(a, Point::new(10.0, 19.0), Point::new(12.0, 18.0), b).unwrap();
        assert_eq!(of(&curve), "M100 200c0-10 20-20 23-19");
        assert_eq!(through(&[a, b]), "M100 200l23-19");
    }
}
