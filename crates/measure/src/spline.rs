//! The curves a hand draws: from point to point with directions, through points, with a bow.

use crate::angle;
use crate::curve::{Curve, Degenerate, Segment};
use crate::length::Length;
use crate::point::{Point, Vector};

impl Curve {
    /// A curve from `a` to `b` that leaves and arrives in the given unit directions.
    ///
    /// With the turns of its ends from the chord counted to the same side, both handles are the
    /// chord times (2/3)/(1 + cos of the smaller turn), and a third of the chord when the ends turn
    /// to opposite sides; equal turns give an arc, and nothing jumps between a C and an S. With one
    /// direction given, the other end mirrors it about the chord; with none the line is straight.
    ///
    /// # Errors
    /// When the two points are the same.
    pub fn blend(
        a: Point,
        leaving: Option<Vector>,
        b: Point,
        arriving: Option<Vector>,
    ) -> Result<Self, Degenerate> {
        let chord = b - a;
        let along = chord.unit().ok_or(Degenerate)?;
        let mirrored = |v: Vector| along * (2.0 * v.dot(along)) - v;
        let (leave, arrive) = match (leaving, arriving) {
            (Some(l), Some(r)) => (l, r),
            (Some(l), None) => (l, mirrored(l)),
            (None, Some(r)) => (mirrored(r), r),
            (None, None) => return Self::line(a, b),
        };
        let alpha = leave.angle_to(along).in_radians();
        let beta = along.angle_to(arrive).in_radians();
        if alpha.abs() < 1e-12 && beta.abs() < 1e-12 {
            return Self::line(a, b);
        }
        let least = if alpha * beta > 0.0 {
            alpha.abs().min(beta.abs())
        } else {
            0.0
        };
        let handle = chord.size() * (2.0 / 3.0) / (1.0 + angle::cos(least)).max(0.05);
        Self::cubic(a, a + leave * handle, b - arrive * handle, b)
    }

    /// A curve from `a` to `b` whose middle stands off the chord by `bow`, to the left when positive;
    /// a flat arc.
    ///
    /// # Errors
    /// When the two points are the same.
    pub fn bowed(a: Point, b: Point, bow: Length) -> Result<Self, Degenerate> {
        let chord = b - a;
        let off = chord.unit().ok_or(Degenerate)?.left() * (bow.in_mm() * 4.0 / 3.0);
        Self::cubic(
            a,
            a.toward(b, 1.0 / 3.0) + off,
            a.toward(b, 2.0 / 3.0) + off,
            b,
        )
    }

    /// One smooth curve through all the points (second order smooth, over chord length), leaving and
    /// arriving in the given unit directions, or free where none is given.
    ///
    /// # Errors
    /// When two neighbours are the same point.
    pub fn through(
        points: &[Point],
        leaving: Option<Vector>,
        arriving: Option<Vector>,
    ) -> Result<Self, Degenerate> {
        if points.len() < 3 {
            return match points {
                [a, b] => Self::blend(*a, leaving, *b, arriving),
                _ => Err(Degenerate),
            };
        }
        let n = points.len();
        let chords: Vec<f64> = points.windows(2).map(|w| (w[1] - w[0]).size()).collect();
        if chords.iter().any(|h| *h < 1e-6 || !h.is_finite()) {
            return Err(Degenerate);
        }
        // Tridiagonal system for the derivative at each point, by chord length.
        let (mut low, mut mid, mut high) = (vec![0.0; n], vec![0.0; n], vec![0.0; n]);
        let mut right = vec![Vector::default(); n];
        for i in 1..n - 1 {
            let (h0, h1) = (chords[i - 1], chords[i]);
            low[i] = h1;
            mid[i] = 2.0 * (h0 + h1);
            high[i] = h0;
            right[i] = (points[i] - points[i - 1]) * (3.0 * h1 / h0)
                + (points[i + 1] - points[i]) * (3.0 * h0 / h1);
        }
        if let Some(v) = leaving {
            (mid[0], right[0]) = (1.0, v);
        } else {
            (mid[0], high[0]) = (2.0, 1.0);
            right[0] = (points[1] - points[0]) * (3.0 / chords[0]);
        }
        if let Some(v) = arriving {
            (mid[n - 1], right[n - 1]) = (1.0, v);
        } else {
            (low[n - 1], mid[n - 1]) = (1.0, 2.0);
            right[n - 1] = (points[n - 1] - points[n - 2]) * (3.0 / chords[n - 2]);
        }
        for i in 1..n {
            let f = low[i] / mid[i - 1];
            mid[i] -= f * high[i - 1];
            right[i] = right[i] - right[i - 1] * f;
        }
        let mut slope = vec![Vector::default(); n];
        slope[n - 1] = right[n - 1] * (1.0 / mid[n - 1]);
        for i in (0..n - 1).rev() {
            slope[i] = (right[i] - slope[i + 1] * high[i]) * (1.0 / mid[i]);
        }
        let segments = (0..n - 1)
            .map(|i| Segment::Cubic {
                from: points[i],
                c1: points[i] + slope[i] * (chords[i] / 3.0),
                c2: points[i + 1] - slope[i + 1] * (chords[i] / 3.0),
                to: points[i + 1],
            })
            .collect();
        Self::from_segments(segments)
    }
}
