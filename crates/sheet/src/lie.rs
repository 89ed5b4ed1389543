//! How a drawing lies on a larger sheet: quarter turns and a shift, so that no figure is rounded on
//! the way.

use measure::{Angle, Point, Vector};

use crate::drawing::{Ink, Item, Shape, Step};
use crate::page::{Bit, Page};
use crate::quad::{Quad, Rect};

/// Quarter turns clockwise about the origin, then a shift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Lie {
    pub(crate) quarters: u8,
    pub(crate) by: Vector,
}

impl Lie {
    pub(crate) const fn turned(quarters: u8) -> Self {
        Self {
            quarters: quarters % 4,
            by: Vector::new(0.0, 0.0),
        }
    }

    /// The same, shifted on.
    pub(crate) fn shifted(self, by: Vector) -> Self {
        Self {
            by: self.by + by,
            ..self
        }
    }

    pub(crate) fn angle(self) -> Angle {
        Angle::degrees(90.0 * f64::from(self.quarters))
    }

    pub(crate) fn point(self, p: Point) -> Point {
        let turned = match self.quarters % 4 {
            0 => p,
            1 => Point::new(-p.y, p.x),
            2 => Point::new(-p.x, -p.y),
            _ => Point::new(p.y, -p.x),
        };
        turned + self.by
    }

    pub(crate) fn ring(self, ring: &[Point]) -> Vec<Point> {
        ring.iter().map(|p| self.point(*p)).collect()
    }

    pub(crate) fn rect(self, r: &Rect) -> Rect {
        Rect::around(&[
            self.point(Point::new(r.x0, r.y0)),
            self.point(Point::new(r.x1, r.y1)),
        ])
    }

    fn shape(self, shape: &Shape) -> Shape {
        match shape {
            Shape::Rect(r) => Shape::Rect(self.rect(r)),
            Shape::Path(steps) => Shape::Path(
                steps
                    .iter()
                    .map(|s| match *s {
                        Step::Move(p) => Step::Move(self.point(p)),
                        Step::Line(p) => Step::Line(self.point(p)),
                        Step::Cubic(a, b, c) => {
                            Step::Cubic(self.point(a), self.point(b), self.point(c))
                        }
                        Step::Close => Step::Close,
                    })
                    .collect(),
            ),
        }
    }

    fn item(self, item: &Item) -> Item {
        Item {
            layer: item.layer,
            clip: item.clip.map(|r| self.rect(&r)),
            ink: match &item.ink {
                Ink::Stroke(shape, pen) => Ink::Stroke(self.shape(shape), pen.clone()),
                Ink::Fill(shape) => Ink::Fill(self.shape(shape)),
                Ink::Letters(letters, at, turn) => Ink::Letters(
                    letters.clone(),
                    self.point(*at),
                    (*turn + self.angle()).wrapped(),
                ),
            },
        }
    }
}

impl Page {
    /// Lays all that is drawn on another page onto this one.
    pub(crate) fn lay(&mut self, other: &Self, lie: Lie) {
        let items = other.drawing.items.iter().map(|i| lie.item(i));
        self.drawing.items.extend(items);
        let bits = other.bits.iter();
        self.bits
            .extend(bits.map(|b| Bit::new(lie.point(b.a), lie.point(b.b), b.half)));
        let words = other.words.iter();
        self.words.extend(words.map(|(q, text)| {
            let quad = Quad::of(q.corners.map(|c| lie.point(c)));
            (quad, text.clone())
        }));
    }
}
