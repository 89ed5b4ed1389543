//! Angles, and the few functions of trigonometry in a form that is the same on every machine.

use core::ops::{Add, Mul, Neg, Sub};

/// An angle. Positive is clockwise as seen on the paper.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Angle(f64);

impl Angle {
    /// No turn at all.
    pub const ZERO: Self = Self(0.0);

    /// An angle in degrees.
    pub fn degrees(value: f64) -> Self {
        Self(value.to_radians())
    }

    /// An angle in radians.
    pub const fn radians(value: f64) -> Self {
        Self(value)
    }

    /// This angle in radians.
    pub const fn in_radians(self) -> f64 {
        self.0
    }

    /// This angle in degrees.
    pub fn in_degrees(self) -> f64 {
        self.0.to_degrees()
    }

    /// Its size without a sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The same direction, brought between minus half a turn and half a turn.
    #[must_use]
    pub fn wrapped(self) -> Self {
        let turn = core::f64::consts::TAU;
        let mut value = self.0 % turn;
        if value > turn / 2.0 {
            value -= turn;
        } else if value < -turn / 2.0 {
            value += turn;
        }
        Self(value)
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<f64> for Angle {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self(self.0 * by)
    }
}

/// The sine of an angle in radians.
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// The cosine of an angle in radians.
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// The tangent of an angle in radians.
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// The angle whose sine is `x`.
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// The angle whose cosine is `x`.
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// The angle whose tangent is `x`.
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// The angle from the x direction to (`x`, `y`).
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// The long side over a square corner.
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// e to the power `x`.
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// The natural logarithm of `x`.
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}
