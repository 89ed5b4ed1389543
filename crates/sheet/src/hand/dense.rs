//! An edge in short chords, to be read off quickly: places along it, how far it bows, where it bends.

use measure::{Curve, Point, Segment, Vector};

use super::rounded::By;
use crate::number::{count, real};

/// From place to place along an edge, in mm.
const FINE: f64 = 1.0;
/// The most places of one segment.
const MOST: usize = 3000;
/// A stretch that bows less than this is straight.
const STRAIGHT: f64 = 0.05;

/// An edge in short chords; distances along it are its own, to a thousandth of a millimetre.
#[derive(Clone, Debug)]
pub(crate) struct Dense {
    along: Vec<f64>,
    at: Vec<Point>,
    /// The stretches that bend.
    pub(crate) bends: Vec<(f64, f64)>,
}

impl Dense {
    pub(crate) fn new(curve: &Curve) -> Self {
        let mut out = Self {
            along: vec![0.0],
            at: vec![curve.start()],
            bends: Vec::new(),
        };
        let mut begin = 0.0;
        for (segment, length) in curve.segments().iter().zip(curve.segment_lengths()) {
            let length = length.in_mm();
            let end = begin + length;
            let n = match segment {
                Segment::Line { .. } => 1,
                Segment::Cubic { .. } => count(length / FINE).clamp(8, MOST),
            };
            let points: Vec<Point> = (0..=n).map(|i| segment.point(real(i) / real(n))).collect();
            let chords: f64 = points.windows(2).map(|w| (w[1] - w[0]).size()).sum();
            // Chords are a hair shorter than the edge.
            let stretch = if chords > 0.0 { length / chords } else { 1.0 };
            let mut so_far = 0.0;
            for w in points.windows(2) {
                so_far += (w[1] - w[0]).size() * stretch;
                out.along.push(begin + so_far);
                out.at.push(w[1]);
            }
            if n > 1 && out.bow(begin, end) > STRAIGHT {
                match out.bends.last_mut() {
                    Some(last) if (last.1 - begin).abs() < 1e-6 => last.1 = end,
                    _ => out.bends.push((begin, end)),
                }
            }
            begin = end;
        }
        out
    }

    pub(crate) fn length(&self) -> f64 {
        self.along.last().copied().unwrap_or(0.0)
    }

    fn before(&self, s: f64) -> usize {
        let i = self.along.partition_point(|a| *a <= s);
        i.saturating_sub(1).min(self.along.len().saturating_sub(2))
    }

    /// The place so far along.
    pub(crate) fn at(&self, s: f64) -> Point {
        let i = self.before(s);
        let Some(to) = self.at.get(i + 1) else {
            return self.at[0];
        };
        let (a, b) = (self.along[i], self.along[i + 1]);
        let part = if b > a {
            ((s - a) / (b - a)).clamp(0.0, 1.0)
        } else {
            0.0
        };
        self.at[i].toward(*to, part)
    }

    /// The way it runs there, not of unit size.
    fn way(&self, s: f64) -> Vector {
        let i = self.before(s);
        self.at
            .get(i + 1)
            .map_or_else(Vector::default, |to| *to - self.at[i])
    }

    /// How far it lies off the ruler laid between two of its places.
    pub(crate) fn bow(&self, from: f64, to: f64) -> f64 {
        let (a, b) = (self.at(from), self.at(to));
        let way = b - a;
        let size = way.size();
        let (i, j) = (self.before(from) + 1, self.before(to));
        let off = |p: &Point| {
            if size < 1e-9 {
                (*p - a).size()
            } else {
                (way.cross(*p - a) / size).abs()
            }
        };
        self.at
            .get(i..=j.max(i))
            .unwrap_or_default()
            .iter()
            .map(off)
            .fold(0.0, f64::max)
    }

    /// Whether a stretch runs on in one way and never lies too flat to be read off in that way.
    pub(crate) fn runs(&self, (from, to): (f64, f64), by: By) -> bool {
        let n = count((to - from) / 3.0).clamp(8, 1500);
        let mut sign = 0.0_f64;
        (0..n).all(|i| {
            let way = self.way(from + (to - from) * (real(i) + 0.5) / real(n));
            let along = match by {
                By::Down => way.y,
                By::Across => way.x,
                By::Along => return true,
            };
            let same = sign * along >= 0.0;
            if along.abs() > 1e-9 {
                sign = along.signum();
            }
            same && along.abs() >= 0.5 * way.size()
        })
    }
}
