//! The width of the turning outside a stitching line, which may change along it.

use measure::Length;

/// How a width gives way to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// At once.
    Step,
    /// Evenly, from the change before.
    Ramp,
}

/// From here on along the edge the allowance has this width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// How far along the edge.
    pub at: Length,
    /// The width there.
    pub width: Length,
    /// Whether it is reached by a step or by a ramp.
    pub how: How,
}

/// The seam or hem allowance of an edge: a width at its beginning and changes in order along it.
#[derive(Clone, Debug, PartialEq)]
pub struct Allowance {
    first: Length,
    changes: Vec<Change>,
}

impl Allowance {
    /// No allowance, as on a fold.
    pub const NONE: Self = Self {
        first: Length::ZERO,
        changes: Vec::new(),
    };

    /// The same width all along.
    pub fn even(width: Length) -> Self {
        Self {
            first: width,
            changes: Vec::new(),
        }
    }

    /// A width that changes; the changes are brought into order.
    pub fn changing(first: Length, mut changes: Vec<Change>) -> Self {
        changes.sort_by(|a, b| a.at.in_mm().total_cmp(&b.at.in_mm()));
        Self { first, changes }
    }

    /// The width at the beginning.
    pub const fn first(&self) -> Length {
        self.first
    }

    /// The changes, in order along the edge.
    pub fn changes(&self) -> &[Change] {
        &self.changes
    }

    /// The width so far along; at a step, the width after it.
    pub fn width_at(&self, along: Length) -> Length {
        let mut here = (Length::ZERO, self.first);
        for change in &self.changes {
            if along >= change.at {
                here = (change.at, change.width);
                continue;
            }
            if change.how == How::Ramp && change.at > here.0 {
                let part = (along - here.0) / (change.at - here.0);
                return here.1 + (change.width - here.1) * part;
            }
            break;
        }
        here.1
    }

    /// The widest it gets.
    pub fn widest(&self) -> Length {
        self.changes
            .iter()
            .map(|c| c.width)
            .fold(self.first, Length::max)
    }

    /// The same allowance told from the other end of an edge so long.
    #[must_use]
    pub fn reversed(&self, length: Length) -> Self {
        let widths: Vec<Length> = core::iter::once(self.first)
            .chain(self.changes.iter().map(|c| c.width))
            .collect();
        let n = self.changes.len();
        // A ramp from stop i-1 to stop i becomes a ramp the other way: its end is where it began.
        let mut changes = Vec::new();
        for i in (0..n).rev() {
            let change = self.changes[i];
            match change.how {
                How::Step => changes.push(Change {
                    at: length - change.at,
                    width: widths[i],
                    how: How::Step,
                }),
                How::Ramp => {
                    let began = if i == 0 {
                        Length::ZERO
                    } else {
                        self.changes[i - 1].at
                    };
                    changes.push(Change {
                        at: length - change.at,
                        width: change.width,
                        how: How::Step,
                    });
                    changes.push(Change {
                        at: length - began,
                        width: widths[i],
                        how: How::Ramp,
                    });
                }
            }
        }
        Self {
            first: widths[n],
            changes,
        }
    }

    /// The part of it between two places of the edge, told from the first of them.
    #[must_use]
    pub fn between(&self, from: Length, to: Length) -> Self {
        let mut changes: Vec<Change> = Vec::new();
        for change in &self.changes {
            if change.at <= from {
                continue;
            }
            if change.at < to {
                changes.push(Change {
                    at: change.at - from,
                    ..*change
                });
            } else {
                if change.how == How::Ramp {
                    changes.push(Change {
                        at: to - from,
                        width: self.width_at(to),
                        how: How::Ramp,
                    });
                }
                break;
            }
        }
        Self {
            first: self.width_at(from),
            changes,
        }
    }
}
