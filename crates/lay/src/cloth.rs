//! One cloth: its width, how it lies, what it does when it is cut and worn.

use measure::Length;

use crate::money::Money;

mod read;
#[cfg(test)]
mod tests;

pub use read::read;

/// How it lies on the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Fold {
    /// Flat, one layer.
    #[default]
    None,
    /// Folded along its length, selvedge on selvedge.
    Lengthwise,
    /// Two layers without a fold.
    Double,
    /// A part of its width: one edge is turned in, the rest is one layer.
    Part,
    /// Across: two layers, the fold at the start.
    Crosswise,
}

impl Fold {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::None,
        Self::Lengthwise,
        Self::Double,
        Self::Part,
        Self::Crosswise,
    ];

    /// As the page of a cloth says it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Lengthwise => "lengthwise",
            Self::Double => "double",
            Self::Part => "part",
            Self::Crosswise => "crosswise",
        }
    }
}

/// Whether up and down may be exchanged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Nap {
    /// All pieces must point the same way.
    OneWay,
    /// Pieces may lie head to foot.
    #[default]
    TwoWay,
}

/// Why the pattern of a cloth can't be brought to meet at the seams as it is to lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoMatch {
    /// Its repeat is known along it, and the garment's length runs across.
    Across,
    /// Of two lengths, the second begins anywhere in the pattern.
    Double,
    /// Folded across, the pattern of the upper layer runs the other way.
    Crosswise,
}

impl NoMatch {
    /// Why, and what would do, in two sentences.
    pub const fn says(self) -> &'static str {
        match self {
            Self::Across => {
                "The pattern of this cloth repeats along it, and the garment's length runs across it, so its notches can't be brought to one level of the pattern. Lay the length along the selvedge; or leave `repeat` out where the pattern need not meet at the seams."
            }
            Self::Double => {
                "The pattern of this cloth repeats, and where two lengths lie one on the other the second begins anywhere in it, so right and left would not meet. Lay the cloth flat or fold it along its length; or leave `repeat` out where the pattern need not meet at the seams."
            }
            Self::Crosswise => {
                "The pattern of this cloth repeats, and folded across it runs the other way in the upper layer, so right and left would not meet. Lay the cloth flat or fold it along its length; or leave `repeat` out where the pattern need not meet at the seams."
            }
        }
    }
}

/// Which way the length of the garment runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Runs {
    /// Along the selvedge.
    #[default]
    Along,
    /// Across, from selvedge to selvedge.
    Across,
}

/// How the shop sells it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sold {
    /// By the yard.
    Yard,
    /// By the metre.
    Metre,
}

impl Sold {
    /// How long it is.
    pub fn length(self) -> Length {
        match self {
            Self::Yard => Length::inches(36.0),
            Self::Metre => Length::cm(100.0),
        }
    }
}

/// What it costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Price {
    /// So much,
    pub money: Money,
    /// for so much of it.
    pub per: Sold,
}

/// A place that no piece may touch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flaw {
    /// How far from the cut end, as bought; of two lengths, from the cut end of its own.
    pub along: Length,
    /// How far from the edge of one selvedge, as bought.
    pub across: Length,
    /// How far to keep clear of it on every side.
    pub round: Length,
}

/// An odd piece of cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scrap {
    /// How wide it is, across its grain.
    pub wide: Length,
    /// How long, along its grain.
    pub long: Length,
}

/// A cloth, as the shop and the drafter know it. What she did not say is not guessed: it is none.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Cloth {
    /// What she calls it.
    pub name: String,
    /// From selvedge to selvedge, as bought.
    pub width: Option<Length>,
    /// What each selvedge takes off the width.
    pub selvedge: Length,
    /// How it lies.
    pub fold: Fold,
    /// Whether it has a nap or a print that points one way.
    pub nap: Nap,
    /// Which way the garment's length runs on it.
    pub length_runs: Runs,
    /// The length after which its pattern comes again, as bought.
    pub repeat: Option<Length>,
    /// At which notch of a seam its pattern meets, by the name of its ruling or point; none, and it is the
    /// first that both sides have.
    pub matched_at: Option<String>,
    /// How much shorter it becomes in the first wash or steam, as a part of one.
    pub shrink_along: f64,
    /// The same across.
    pub shrink_across: f64,
    /// How far it stretches round the body without strain, as a part of one; 0 for woven cloth.
    pub stretch_round_body: f64,
    /// Places that no piece may touch.
    pub flaws: Vec<Flaw>,
    /// Where a part of the width is folded, how far its edge is turned in, from the fold to that edge;
    /// none, and it is as far as the pieces ask.
    pub fold_depth: Option<Length>,
    /// What both sides of a join are allowed, where a piece that is too wide may be joined; none, and no
    /// piece is.
    pub join: Option<Length>,
    /// Odd pieces of it that she has.
    pub scraps: Vec<Scrap>,
    /// How much of it is at hand.
    pub in_hand: Option<Length>,
    /// What it costs.
    pub price: Option<Price>,
    /// How the shop sells it, where its page has a unit.
    pub sold: Option<Sold>,
    /// Its weight in grams a square metre.
    pub weight: Option<f64>,
    /// Its fibre: silk, rayon, cotton, polyester.
    pub fibre: Option<String>,
    /// Its make: satin, tulle, net, chiffon, lace, velvet.
    pub make: Option<String>,
}

impl Cloth {
    /// The width that pieces may use: shrunk, without the selvedges.
    pub fn usable(&self) -> Option<Length> {
        let shrunk = self.shrunk_across(self.width?);
        Some((shrunk - self.selvedge * 2.0).max(Length::ZERO))
    }

    /// What is left of a length along it once it has shrunk.
    pub fn shrunk_along(&self, bought: Length) -> Length {
        bought * (1.0 - self.shrink_along.clamp(0.0, 0.5))
    }

    /// The same of one across it.
    pub fn shrunk_across(&self, bought: Length) -> Length {
        bought * (1.0 - self.shrink_across.clamp(0.0, 0.5))
    }

    /// After what length its pattern comes again when it is cut: it shrinks before.
    pub fn repeat_as_cut(&self) -> Option<Length> {
        self.repeat.map(|repeat| self.shrunk_along(repeat))
    }

    /// Why a pattern that repeats can't be brought to meet at the seams as this cloth is to lie.
    pub fn no_match(&self) -> Option<NoMatch> {
        self.repeat?;
        match (self.length_runs, self.fold) {
            (Runs::Across, _) => Some(NoMatch::Across),
            (Runs::Along, Fold::Double) => Some(NoMatch::Double),
            (Runs::Along, Fold::Crosswise) => Some(NoMatch::Crosswise),
            (Runs::Along, Fold::None | Fold::Lengthwise | Fold::Part) => None,
        }
    }
}
