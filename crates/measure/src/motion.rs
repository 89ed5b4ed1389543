//! Moving a thing over the paper without changing its shape: shift, turn, turn over.

use crate::angle::{self, Angle};
use crate::point::{Point, Vector};

/// A rigid motion of the paper: a turn, perhaps a turning over, and a shift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    // The images of the two unit vectors, and of the origin.
    ex: Vector,
    ey: Vector,
    shift: Vector,
}

impl Motion {
    /// Nothing moves.
    pub const STILL: Self = Self {
        ex: Vector::new(1.0, 0.0),
        ey: Vector::new(0.0, 1.0),
        shift: Vector::new(0.0, 0.0),
    };

    /// A shift.
    pub const fn shift(by: Vector) -> Self {
        Self {
            shift: by,
            ..Self::STILL
        }
    }

    /// A turn about a point, clockwise when positive.
    pub fn turn(about: Point, by: Angle) -> Self {
        let (s, c) = (angle::sin(by.in_radians()), angle::cos(by.in_radians()));
        Self::about(about, Vector::new(c, s), Vector::new(-s, c))
    }

    /// A turning over about the line through `on` with the given unit `direction`.
    pub fn reflect(on: Point, direction: Vector) -> Self {
        let (x, y) = (direction.x, direction.y);
        Self::about(
            on,
            Vector::new(x * x - y * y, 2.0 * x * y),
            Vector::new(2.0 * x * y, y * y - x * x),
        )
    }

    /// The motion that brings the point `from` to `to` and the unit direction `from_way` to `to_way`.
    pub fn carry(from: Point, from_way: Vector, to: Point, to_way: Vector) -> Self {
        let (c, s) = (from_way.dot(to_way), from_way.cross(to_way));
        let turn = Self::about(from, Vector::new(c, s), Vector::new(-s, c));
        turn.then(&Self::shift(to - from))
    }

    fn about(fixed: Point, ex: Vector, ey: Vector) -> Self {
        let plain = Self {
            ex,
            ey,
            shift: Vector::default(),
        };
        Self {
            shift: fixed - plain.point(fixed),
            ..plain
        }
    }

    /// This motion, and then another.
    #[must_use]
    pub fn then(&self, next: &Self) -> Self {
        Self {
            ex: next.vector(self.ex),
            ey: next.vector(self.ey),
            shift: next.point(Point::new(self.shift.x, self.shift.y)) - Point::default(),
        }
    }

    /// Where a point comes to lie.
    pub fn point(&self, p: Point) -> Point {
        Point::default() + self.ex * p.x + self.ey * p.y + self.shift
    }

    /// Where a vector comes to point.
    pub fn vector(&self, v: Vector) -> Vector {
        self.ex * v.x + self.ey * v.y
    }

    /// Whether the thing is turned over, so that clockwise becomes anticlockwise.
    pub fn turns_over(&self) -> bool {
        self.ex.cross(self.ey) < 0.0
    }
}
