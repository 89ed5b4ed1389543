//! Points on the paper, and the vectors between them.

use core::ops::{Add, Mul, Neg, Sub};

use crate::angle::{self, Angle};
use crate::length::Length;

/// A point on the paper, in millimetres: x from the left edge, y down.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Point {
    /// Across, from the left edge.
    pub x: f64,
    /// Down, from the top edge.
    pub y: f64,
}

/// What leads from one point to another, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Vector {
    /// Across.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Point {
    /// The point `x` across and `y` down, in millimetres.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The straight distance to another point.
    ///
    /// # Panics
    /// When a coordinate is not finite.
    pub fn distance(self, other: Self) -> Length {
        Length::mm((other - self).size())
    }

    /// The point `part` of the way to another, 0 being here and 1 there.
    #[must_use]
    pub fn toward(self, other: Self, part: f64) -> Self {
        self + (other - self) * part
    }

    /// Whether both coordinates are finite.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }

    pub(crate) const fn to_kurbo(self) -> kurbo::Point {
        kurbo::Point::new(self.x, self.y)
    }

    pub(crate) const fn from_kurbo(p: kurbo::Point) -> Self {
        Self { x: p.x, y: p.y }
    }
}

impl Vector {
    /// Straight up the paper.
    pub const UP: Self = Self { x: 0.0, y: -1.0 };
    /// Straight down the paper.
    pub const DOWN: Self = Self { x: 0.0, y: 1.0 };
    /// Away from the left edge.
    pub const OUTWARD: Self = Self { x: 1.0, y: 0.0 };
    /// Towards the left edge.
    pub const INWARD: Self = Self { x: -1.0, y: 0.0 };

    /// The vector `x` across and `y` down.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Its size in millimetres.
    pub fn size(self) -> f64 {
        angle::hypot(self.x, self.y)
    }

    /// The same direction with size 1, or `None` when it has no size to speak of.
    pub fn unit(self) -> Option<Self> {
        let size = self.size();
        (size.is_finite() && size > 1e-12).then(|| self * (1.0 / size))
    }

    /// How far the two run the same way: the inner product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// How far `other` turns clockwise from this one: the outer product.
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// A quarter turn to the left of this direction: outward, on a ring walked clockwise.
    #[must_use]
    pub const fn left(self) -> Self {
        Self {
            x: self.y,
            y: -self.x,
        }
    }

    /// A quarter turn to the right.
    #[must_use]
    pub const fn right(self) -> Self {
        Self {
            x: -self.y,
            y: self.x,
        }
    }

    /// This vector turned by an angle, clockwise when positive.
    #[must_use]
    pub fn turned(self, by: Angle) -> Self {
        let (s, c) = (angle::sin(by.in_radians()), angle::cos(by.in_radians()));
        Self {
            x: self.x * c - self.y * s,
            y: self.x * s + self.y * c,
        }
    }

    /// The turn from this direction to another, clockwise positive, within half a turn each way.
    pub fn angle_to(self, other: Self) -> Angle {
        Angle::radians(angle::atan2(self.cross(other), self.dot(other)))
    }
}

impl Sub for Point {
    type Output = Vector;
    fn sub(self, other: Self) -> Vector {
        Vector {
            x: self.x - other.x,
            y: self.y - other.y,
        }
    }
}

impl Add<Vector> for Point {
    type Output = Self;
    fn add(self, by: Vector) -> Self {
        Self {
            x: self.x + by.x,
            y: self.y + by.y,
        }
    }
}

impl Sub<Vector> for Point {
    type Output = Self;
    fn sub(self, by: Vector) -> Self {
        Self {
            x: self.x - by.x,
            y: self.y - by.y,
        }
    }
}

impl Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            x: self.x + other.x,
            y: self.y + other.y,
        }
    }
}

impl Sub for Vector {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self {
            x: self.x - other.x,
            y: self.y - other.y,
        }
    }
}

impl Neg for Vector {
    type Output = Self;
    fn neg(self) -> Self {
        Self {
            x: -self.x,
            y: -self.y,
        }
    }
}

impl Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self {
            x: self.x * by,
            y: self.y * by,
        }
    }
}
