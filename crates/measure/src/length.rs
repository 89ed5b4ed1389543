//! A length, kept in millimetres and never a bare number across a crate border.

use core::fmt;
use core::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// Millimetres in an inch, exactly.
pub const MM_PER_INCH: f64 = 25.4;

/// A length on the body, the cloth or the paper. Always finite.
///
/// There is no `From<f64>`: say the unit.
///
/// # Example
/// ```
/// use measure::Length;
/// assert_eq!(Length::inches(2.0) + Length::mm(1.0), Length::mm(51.8));
/// ```
#[derive(Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Length(f64);

impl Length {
    /// No length.
    pub const ZERO: Self = Self(0.0);

    /// A length in millimetres.
    ///
    /// # Panics
    /// When `value` is not finite; [`Length::try_mm`] is the checked twin.
    pub fn mm(value: f64) -> Self {
        assert!(value.is_finite(), "a length is finite");
        Self(value)
    }

    /// A length in millimetres, or `None` when it is not finite.
    pub fn try_mm(value: f64) -> Option<Self> {
        value.is_finite().then_some(Self(value))
    }

    /// A length in inches.
    ///
    /// # Panics
    /// When `value` is not finite; [`Length::try_mm`] is the checked twin.
    pub fn inches(value: f64) -> Self {
        Self::mm(value * MM_PER_INCH)
    }

    /// A length in centimetres.
    ///
    /// # Panics
    /// When `value` is not finite; [`Length::try_mm`] is the checked twin.
    pub fn cm(value: f64) -> Self {
        Self::mm(value * 10.0)
    }

    /// This length in millimetres.
    pub const fn in_mm(self) -> f64 {
        self.0
    }

    /// This length in inches.
    pub fn in_inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }

    /// This length in centimetres.
    pub fn in_cm(self) -> f64 {
        self.0 / 10.0
    }

    /// Its size without a sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The smaller of two lengths.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// The larger of two lengths.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }
}

impl fmt::Debug for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.0)
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::mm(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::mm(self.0 - other.0)
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self::mm(self.0 * by)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, by: f64) -> Self {
        Self::mm(self.0 / by)
    }
}

/// How often one length goes into another.
impl Div for Length {
    type Output = f64;
    fn div(self, by: Self) -> f64 {
        self.0 / by.0
    }
}

impl core::iter::Sum for Length {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}
