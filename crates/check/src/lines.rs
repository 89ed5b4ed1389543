//! A stitching line as chords, measured afresh.

use measure::{Curve, Length, Point, Vector};

/// Chords lie within this of the curve, in millimetres.
pub const NEAR_MM: f64 = 0.002;

/// A line as chords, with how far along it each of its points is, in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    points: Vec<Point>,
    along: Vec<f64>,
}

impl Line {
    /// The chords of a curve.
    pub fn of(curve: &Curve) -> Self {
        Self::through(curve.flatten(Length::mm(NEAR_MM)))
    }

    /// A line through points; of fewer than two it is a line without length.
    pub fn through(mut points: Vec<Point>) -> Self {
        if points.is_empty() {
            points.push(Point::new(0.0, 0.0));
        }
        let mut far = 0.0;
        let mut along = Vec::with_capacity(points.len());
        along.push(0.0);
        for w in points.windows(2) {
            far += (w[1] - w[0]).size();
            along.push(far);
        }
        Self { points, along }
    }

    /// Its points.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// How long it is, in millimetres.
    pub fn length(&self) -> f64 {
        self.along[self.along.len() - 1]
    }

    /// Its first point.
    pub fn start(&self) -> Point {
        self.points[0]
    }

    /// Its last point.
    pub fn end(&self) -> Point {
        self.points[self.points.len() - 1]
    }

    /// The chord in which a place so far along lies, and how far into it as a part of one.
    fn locate(&self, at: f64) -> Option<(usize, f64)> {
        if self.points.len() < 2 {
            return None;
        }
        let next = self
            .along
            .partition_point(|a| *a < at)
            .clamp(1, self.points.len() - 1);
        let (from, to) = (self.along[next - 1], self.along[next]);
        let part = if to > from {
            (at - from) / (to - from)
        } else {
            0.0
        };
        Some((next - 1, part.clamp(0.0, 1.0)))
    }

    /// The point so far along, in millimetres; beyond an end, that end.
    pub fn at(&self, at: f64) -> Point {
        self.locate(at).map_or(self.points[0], |(i, part)| {
            self.points[i].toward(self.points[i + 1], part)
        })
    }

    /// Which way the line runs between two places along it: the unit vector of the chord.
    pub fn toward(&self, from: f64, to: f64) -> Option<Vector> {
        (self.at(to) - self.at(from)).unit()
    }

    /// How far along the point nearest to `p` is, and how far away it lies, in millimetres.
    pub fn nearest(&self, p: Point) -> (f64, f64) {
        let mut best = (0.0, (p - self.points[0]).size());
        for (i, w) in self.points.windows(2).enumerate() {
            let chord = w[1] - w[0];
            let size = chord.dot(chord);
            let part = if size > 0.0 {
                ((p - w[0]).dot(chord) / size).clamp(0.0, 1.0)
            } else {
                0.0
            };
            let off = (p - w[0].toward(w[1], part)).size();
            if off < best.1 {
                best = (self.along[i] + part * size.sqrt(), off);
            }
        }
        best
    }

    /// Places along it, in millimetres, where it crosses the level `y`, in order.
    pub fn crossings(&self, y: f64) -> Vec<f64> {
        self.points
            .windows(2)
            .enumerate()
            .filter(|(_, w)| (w[0].y > y) != (w[1].y > y))
            .map(|(i, w)| {
                let part = (y - w[0].y) / (w[1].y - w[0].y);
                self.along[i] + part * (self.along[i + 1] - self.along[i])
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use measure::Angle;

    use super::*;

    /// Would catch chords too coarse to measure by: a quarter of a circle has a closed form.
    #[test]
    fn a_quarter_circle_is_as_long_as_its_closed_form() {
        let r = 250.0;
        let arc = Curve::arc(
            Point::new(0.0, 0.0),
            Point::new(r, 0.0),
            Angle::degrees(90.0),
        )
        .unwrap();
        let line = Line::of(&arc);
        let wanted = r * std::f64::consts::FRAC_PI_2;
        assert!((line.length() - wanted).abs() < 0.01, "{}", line.length());
        let half = line.at(wanted / 2.0);
        assert!((half - Point::new(r * 0.5_f64.sqrt(), r * 0.5_f64.sqrt())).size() < 0.01);
        let (at, off) = line.nearest(Point::new(r, r));
        assert!((at - wanted / 2.0).abs() < 0.5 && (off - r * (2_f64.sqrt() - 1.0)).abs() < 0.01);
        assert_eq!(line.crossings(100.0).len(), 1);
    }
}
