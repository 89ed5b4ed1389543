//! The printed ellwand: a rule along the edge of a roll, to lay a tape on.

use measure::Point;
use measure::fraction::Unit;

use crate::dash::Line;
use crate::drawing::Layer;
use crate::face::set;
use crate::number::{count, real};
use crate::page::{Page, Spot};
use crate::quad::Rect;

/// What a rule is divided into.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ellwand {
    /// One division, in mm.
    pub(crate) step: f64,
    /// Every so many divisions a number.
    pub(crate) numbered: usize,
}

/// How long the marks are, and how far numbers reach from the edge.
pub(crate) const SHORT: f64 = 4.0;
const MIDDLE: f64 = 6.5;
const LONG: f64 = 9.5;
pub(crate) const NUMBERS: f64 = 25.0;
const SIZE: f64 = 17.0;

impl Ellwand {
    /// Inches numbered by 12, centimetres by 10.
    pub(crate) const fn of(unit: Unit) -> Self {
        match unit {
            Unit::Inch => Self {
                step: 25.4,
                numbered: 12,
            },
            Unit::Cm => Self {
                step: 10.0,
                numbered: 10,
            },
        }
    }

    /// The number of whole divisions in a length.
    pub(crate) fn whole(self, length: f64) -> usize {
        count((length / self.step + 1e-9).floor().max(0.0))
    }

    /// What its longer marks and its numbers take of a strip so wide and long; the short marks take
    /// the whole edge.
    pub(crate) fn takes(self, width: f64, length: f64) -> Vec<Rect> {
        let mut out = vec![Rect::new(width - LONG, -0.5, LONG, 1.0)];
        let half = self.numbered / 2;
        let mut n = half;
        while real(n) * self.step <= length {
            let y = real(n) * self.step;
            out.push(if n.is_multiple_of(self.numbered) {
                Rect::new(width - NUMBERS, y - 4.0, NUMBERS, 8.0)
            } else {
                Rect::new(width - MIDDLE, y - 0.5, MIDDLE, 1.0)
            });
            n += half;
        }
        out
    }

    /// Draws it upwards to the left of a line: its beginning, and so many divisions down.
    pub(crate) fn draw(self, page: &mut Page, from: Point, divisions: usize) {
        let down = |n: usize| Point::new(from.x, from.y + real(n) * self.step);
        page.line(Layer::Sheet, from, down(divisions), Line::Grain);
        for n in 0..=divisions {
            let long = if n.is_multiple_of(self.numbered) {
                LONG
            } else if (2 * n).is_multiple_of(self.numbered) {
                MIDDLE
            } else {
                SHORT
            };
            let at = down(n);
            let end = Point::new(at.x - long, at.y);
            page.line(Layer::Sheet, at, end, Line::Grain);
            if n > 0 && n.is_multiple_of(self.numbered) {
                let letters = set(&n.to_string(), SIZE, false);
                let middle = f64::midpoint(letters.ink.y0, letters.ink.y1);
                let spot = Spot::level(Point::new(end.x - 1.6, end.y - middle), 1.0);
                page.letters(Layer::Sheet, &letters, spot);
            }
        }
    }
}
