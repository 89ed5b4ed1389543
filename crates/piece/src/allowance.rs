//! The width of the turning outside a stitching line, which may change along it.

use measure::Length;

/// Widths as near as this are the same, in millimetres.
const SAME: f64 = 1e-6;

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
///
/// Two are equal when their widths are, wherever they came from.
#[derive(Clone, Debug)]
pub struct Allowance {
    first: Length,
    changes: Vec<Change>,
    // The width that was said first, before any change: it stays so when the edge is told from its
    // other end or cut, so that it is known which widths depart from it.
    plain: Length,
}

impl PartialEq for Allowance {
    fn eq(&self, other: &Self) -> bool {
        self.first == other.first && self.changes == other.changes
    }
}

impl Allowance {
    /// No allowance, as on a fold.
    pub const NONE: Self = Self {
        first: Length::ZERO,
        changes: Vec::new(),
        plain: Length::ZERO,
    };

    /// The same width all along.
    pub fn even(width: Length) -> Self {
        Self {
            first: width,
            changes: Vec::new(),
            plain: width,
        }
    }

    /// A width that changes; the changes are brought into order.
    pub fn changing(first: Length, mut changes: Vec<Change>) -> Self {
        changes.sort_by(|a, b| a.at.in_mm().total_cmp(&b.at.in_mm()));
        Self {
            first,
            changes,
            plain: first,
        }
    }

    /// Other widths of what was once this allowance: what was said first stays known.
    #[must_use]
    pub fn become_of(&self, first: Length, changes: Vec<Change>) -> Self {
        Self {
            plain: self.plain,
            ..Self::changing(first, changes)
        }
    }

    /// The width that was said first, before any change along the edge.
    pub const fn plain(&self) -> Length {
        self.plain
    }

    /// Whether the whole edge has the width that was said first.
    pub fn is_plain(&self) -> bool {
        let plain = |w: Length| (w - self.plain).in_mm().abs() < SAME;
        plain(self.first) && self.changes.iter().all(|c| plain(c.width))
    }

    /// The same with another width in place of the one that was said first. Where it was taken in it
    /// stays as narrow, and where it was let out it stays at least as wide: that was meant.
    #[must_use]
    pub fn replaced(&self, width: Length) -> Self {
        let now = |w: Length| {
            if (w - self.plain).in_mm().abs() < SAME {
                width
            } else if w < self.plain {
                w.min(width)
            } else {
                w.max(width)
            }
        };
        Self {
            first: now(self.first),
            changes: self
                .changes
                .iter()
                .map(|c| Change {
                    width: now(c.width),
                    ..*c
                })
                .collect(),
            plain: width,
        }
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
            plain: self.plain,
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
            plain: self.plain,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(n: f64) -> Length {
        Length::inches(n)
    }

    fn side() -> Allowance {
        let change = |at: f64, width: f64| Change {
            at: inch(at),
            width: inch(width),
            how: How::Ramp,
        };
        // 1 in to the hip, 1 1/4 in there, 1/2 in from the knee down.
        Allowance::changing(
            inch(1.0),
            vec![change(8.0, 1.25), change(20.0, 0.5), change(40.0, 0.5)],
        )
    }

    /// Would catch a table that fills up the narrow place at the knee, or takes from a wider place.
    #[test]
    fn another_width_leaves_what_was_taken_in_and_let_out() {
        let now = side().replaced(inch(0.75));
        let at = |a: &Allowance, x: f64| a.width_at(inch(x));
        assert_eq!(at(&now, 0.0), inch(0.75));
        assert_eq!(at(&now, 8.0), inch(1.25));
        assert_eq!(at(&now, 30.0), inch(0.5));
        let wide = side().replaced(inch(1.5));
        assert_eq!(at(&wide, 0.0), inch(1.5));
        assert_eq!(at(&wide, 8.0), inch(1.5));
        assert_eq!(at(&wide, 30.0), inch(0.5));
        assert!(!wide.is_plain() && Allowance::even(inch(1.0)).is_plain());
    }

    /// Would catch an edge walked the other way, or cut, whose narrow end is then taken for the plain
    /// one.
    #[test]
    fn what_was_said_first_is_known_from_the_other_end() {
        let whole = inch(40.0);
        let back = side().reversed(whole).replaced(inch(1.5)).reversed(whole);
        for x in [0.0, 8.0, 30.0, 40.0] {
            let (one, two) = (side().replaced(inch(1.5)), &back);
            assert_eq!(one.width_at(inch(x)), two.width_at(inch(x)), "at {x} in");
        }
        let below = side().between(inch(25.0), whole);
        assert_eq!(below.replaced(inch(1.5)).width_at(inch(2.0)), inch(0.5));
    }
}
