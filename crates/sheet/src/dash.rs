//! Dash patterns, fitted so that every line begins and ends in the middle of a dash.
//!
//! Dots belong to the sheet, dashes to the garment.

use crate::drawing::Pen;
use crate::number::count;
use crate::number::real;

/// The pens of the pattern, in millimetres (look of the paper).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Line {
    Cutting,
    Stitching,
    Fold,
    Bracket,
    Grain,
    Balance,
    Fine,
    Joint,
    Dots,
    Frame,
}

impl Line {
    pub(crate) const fn width(self) -> f64 {
        match self {
            Self::Cutting => 0.7,
            Self::Fold | Self::Bracket | Self::Joint | Self::Dots => 0.5,
            Self::Stitching | Self::Grain | Self::Frame => 0.35,
            Self::Balance | Self::Fine => 0.25,
        }
    }

    const fn pattern(self) -> &'static [f64] {
        match self {
            Self::Stitching => &[6.0, 2.0],
            Self::Fold => &[12.0, 2.0, 2.0, 2.0],
            Self::Balance => &[9.0, 2.5],
            Self::Dots => &[0.5, 1.5],
            _ => &[],
        }
    }

    /// The pen for a line so long.
    ///
    /// The pattern is stretched or pressed a little so that a whole number of periods fits; a line
    /// shorter than half a period is drawn solid.
    pub(crate) fn pen(self, length: f64) -> Pen {
        let pattern = self.pattern();
        let period: f64 = pattern.iter().sum();
        if pattern.is_empty() || length < period / 2.0 {
            return Pen::solid(self.width());
        }
        let periods = real(count(length / period).max(1));
        let scale = length / periods / period;
        Pen {
            width: self.width(),
            dash: pattern.iter().map(|d| d * scale).collect(),
            phase: pattern[0] * scale / 2.0,
        }
    }
}
