//! The few ways from one kind of number to another, each with its reason, in one place.

/// A count as a number to reckon with.
#[expect(
    clippy::cast_precision_loss,
    reason = "counts of things on paper are small"
)]
pub(crate) const fn real(count: usize) -> f64 {
    count as f64
}

/// The nearest whole number; far outside, the end of the range.
#[expect(clippy::cast_possible_truncation, reason = "the cast saturates")]
pub(crate) fn whole(x: f64) -> i64 {
    x.round() as i64
}

/// The nearest count, nothing below nothing.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the cast saturates, and a minus becomes nothing"
)]
pub(crate) fn count(x: f64) -> usize {
    x.round() as usize
}

/// The number as files keep it: a single is right to 0.0003 mm at three metres.
#[expect(clippy::cast_possible_truncation, reason = "meant")]
pub(crate) const fn single(x: f64) -> f32 {
    x as f32
}

/// A reference number for an object.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    reason = "some thousands of objects at most"
)]
pub(crate) const fn object(count: usize) -> i32 {
    count as i32
}
