//! A cutting line as chords: where a way meets it, and what lies outside it.

use measure::{Point, Vector};

use crate::lines::Line;

/// How deep a row of chords is, in millimetres.
const ROW: f64 = 16.0;

/// A cutting line as chords, closed, looked up by how far down they lie.
pub(crate) struct Cut {
    line: Line,
    top: f64,
    rows: Vec<Vec<usize>>,
}

impl Cut {
    pub(crate) fn through(mut points: Vec<Point>) -> Self {
        if let (Some(first), Some(last)) = (points.first().copied(), points.last().copied())
            && first != last
        {
            points.push(first);
        }
        let (low, high) = points
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| {
                (l.min(p.y), h.max(p.y))
            });
        let mut out = Self {
            line: Line::through(points),
            top: if low.is_finite() { low } else { 0.0 },
            rows: Vec::new(),
        };
        out.rows = vec![Vec::new(); out.row(high) + 1];
        for (i, w) in out.line.points().windows(2).enumerate() {
            let (from, to) = (w[0].y.min(w[1].y), w[0].y.max(w[1].y));
            for row in out.row(from)..=out.row(to) {
                out.rows[row].push(i);
            }
        }
        out
    }

    /// The row in which a level lies; those above and below the line in its first and last.
    fn row(&self, y: f64) -> usize {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a piece is a few metres at most"
        )]
        let row = ((y - self.top) / ROW).clamp(0.0, 4000.0) as usize;
        if self.rows.is_empty() {
            row
        } else {
            row.min(self.rows.len() - 1)
        }
    }

    /// The chords that touch the levels between two.
    fn chords(&self, from: f64, to: f64) -> impl Iterator<Item = (Point, Point)> + '_ {
        let points = self.line.points();
        self.rows[self.row(from.min(to))..=self.row(from.max(to))]
            .iter()
            .flatten()
            .map(|i| (points[*i], points[*i + 1]))
    }

    /// How far it is from a point straight on, up to `most`, until the line is met; the nearest that is no
    /// more than a hair behind.
    pub(crate) fn reached(&self, from: Point, way: Vector, most: f64) -> Option<f64> {
        const BEHIND: f64 = -0.1;
        let mut best: Option<f64> = None;
        let (back, on) = (from + way * BEHIND, from + way * most);
        for (a, b) in self.chords(back.y, on.y) {
            let (one, two) = (way.cross(a - from), way.cross(b - from));
            // Both ends on one side of the way: not met here.
            if one * two > 0.0 || (one - two).abs() < 1e-12 {
                continue;
            }
            let far = way.dot(a.toward(b, one / (one - two)) - from);
            if far > BEHIND && far <= most && best.is_none_or(|b| far < b) {
                best = Some(far);
            }
        }
        best
    }

    /// How far a point lies outside, in millimetres, past what is allowed; nothing when it lies inside.
    pub(crate) fn outside(&self, p: Point, allowed: f64) -> Option<f64> {
        let mut inside = false;
        for (a, b) in self.chords(p.y, p.y) {
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
                inside = !inside;
            }
        }
        if inside || self.is_near(p, allowed) {
            return None;
        }
        Some(self.line.nearest(p).1)
    }

    /// Whether a point lies within so much of the line.
    fn is_near(&self, p: Point, within: f64) -> bool {
        self.chords(p.y - within, p.y + within).any(|(a, b)| {
            let chord = b - a;
            let size = chord.dot(chord);
            let part = if size > 0.0 {
                ((p - a).dot(chord) / size).clamp(0.0, 1.0)
            } else {
                0.0
            };
            (p - a.toward(b, part)).size() <= within
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square of 100 by 100; would catch a chord lost between two rows, and a way that passes over it.
    #[test]
    fn a_square_is_met_where_it_is() {
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)];
        let cut = Cut::through(corners.iter().map(|c| Point::new(c.0, c.1)).collect());
        for i in 1..100 {
            let at = Point::new(40.0, f64::from(i));
            assert_eq!(cut.outside(at, 0.02), None);
            let right = cut.reached(at, Vector::OUTWARD, 500.0).unwrap();
            assert!((right - 60.0).abs() < 1e-9, "{right} at {i}");
            let down = cut.reached(at, Vector::DOWN, 500.0).unwrap();
            assert!(
                (down - (100.0 - f64::from(i))).abs() < 1e-9,
                "{down} at {i}"
            );
            assert_eq!(cut.reached(at, Vector::OUTWARD, 59.0), None);
            let out = cut.outside(Point::new(-3.0, f64::from(i)), 0.02).unwrap();
            assert!((out - 3.0).abs() < 1e-9);
        }
        assert_eq!(cut.outside(Point::new(-0.01, 50.0), 0.02), None);
        assert!(cut.outside(Point::new(50.0, 130.0), 0.02).is_some());
        assert!(cut.outside(Point::new(50.0, -30.0), 0.02).is_some());
    }

    /// Would catch a panic on what is no line.
    #[test]
    fn nothing_is_met_of_no_line() {
        let cut = Cut::through(Vec::new());
        assert_eq!(cut.reached(Point::new(0.0, 0.0), Vector::DOWN, 9.0), None);
    }
}
