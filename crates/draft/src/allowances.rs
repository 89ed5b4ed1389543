//! A table of allowances of the house: by kind of edge, what she allows in the cloth and in a toile.
//!
//! The method says an allowance edge by edge; where a row of her table is filled, it takes the place of
//! what the method says of such edges ([`lay_on`]). What kind an edge is, is decided from what the
//! method says of it: its role, its name, what it is sewn to, and the cloth its piece is cut from. No
//! garment is known here.

use measure::Length;

mod kinds;
mod laid;
mod toile;
mod waiting;

pub use laid::{Laid, RowLaid, lay_on};

/// A kind of edge: a row of the table, in the order in which they stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Row {
    /// A side seam.
    Side,
    /// A seam down the centre front or back.
    Centre,
    /// A seam with a stretch left open, for a zip or a slit; left empty, it is as the seam is.
    Zip,
    /// The waist, on all that is sewn to it.
    Waist,
    /// Neck, armhole and top edge: what is enclosed by a facing, a band or a binding.
    Enclosed,
    /// A seam that is no other row's.
    Seam,
    /// The hem.
    Hem,
    /// An edge left open: a vent, the end of a band.
    Opening,
    /// Seams of facings.
    Facing,
    /// The inner edge of a facing.
    InnerEdge,
    /// Seams of linings, and of all that is not cut from the shell.
    Lining,
    /// The hem of a lining.
    LiningHem,
}

impl Row {
    /// All rows, in order.
    pub const ALL: [Self; 12] = [
        Self::Side,
        Self::Centre,
        Self::Zip,
        Self::Waist,
        Self::Enclosed,
        Self::Seam,
        Self::Hem,
        Self::Opening,
        Self::Facing,
        Self::InnerEdge,
        Self::Lining,
        Self::LiningHem,
    ];

    /// Its name on a page that is kept as text.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Seam => "seam",
            Self::Side => "side",
            Self::Centre => "centre",
            Self::Zip => "zip",
            Self::Waist => "waist",
            Self::Enclosed => "enclosed",
            Self::Hem => "hem",
            Self::Opening => "opening",
            Self::Facing => "facing",
            Self::InnerEdge => "inner edge",
            Self::Lining => "lining",
            Self::LiningHem => "lining hem",
        }
    }

    /// What it is called.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Seam => "Other seams",
            Self::Side => "Side seams",
            Self::Centre => "Centre seams, front and back",
            Self::Zip => "A seam with a zip or a slit",
            Self::Waist => "Waist, and what is sewn to it",
            Self::Enclosed => "Neck, armhole, top edge",
            Self::Hem => "Hem",
            Self::Opening => "Open edges: vents, ends of bands",
            Self::Facing => "Seams of facings",
            Self::InnerEdge => "Inner edge of facings",
            Self::Lining => "Seams of the lining",
            Self::LiningHem => "Hem of the lining",
        }
    }

    /// What it is called in a sentence.
    pub const fn short(self) -> &'static str {
        match self {
            Self::Side => "side seams",
            Self::Centre => "centre seams",
            Self::Zip => "seams with a zip or a slit",
            Self::Waist => "waist",
            Self::Enclosed => "neck, armhole and top edge",
            Self::Seam => "other seams",
            Self::Hem => "hem",
            Self::Opening => "open edges",
            Self::Facing => "seams of facings",
            Self::InnerEdge => "inner edge of facings",
            Self::Lining => "seams of the lining",
            Self::LiningHem => "hem of the lining",
        }
    }

    /// The row of this name.
    pub fn called(key: &str) -> Option<Self> {
        let key = measure::names::fold(key);
        Self::ALL.into_iter().find(|r| r.key() == key)
    }

    /// Whether a toile has such edges: it is cut without facings and lining.
    pub const fn in_toile(self) -> bool {
        !matches!(
            self,
            Self::Facing | Self::InnerEdge | Self::Lining | Self::LiningHem
        )
    }

    const fn place(self) -> usize {
        self as usize
    }
}

/// What is cut: the garment in its cloth, or a trial garment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// The garment in its cloth.
    Cloth,
    /// A toile: shell only, without facings.
    Toile,
}

/// The table: for each kind of edge a width in the cloth and one in the toile; an empty one is as the
/// method says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    rows: [[Option<Length>; 2]; Row::ALL.len()],
}

impl Table {
    /// The table as it is before she writes in it: the cloth as the method says, and a toile with 1 in
    /// everywhere (common practice, no source: trade/finishing.md 1).
    pub fn usual() -> Self {
        let mut table = Self::default();
        for row in Row::ALL.into_iter().filter(|r| r.in_toile()) {
            table.set(row, Stage::Toile, Some(Length::inches(1.0)));
        }
        table
    }

    /// What a row says.
    pub fn at(&self, row: Row, stage: Stage) -> Option<Length> {
        self.rows
            .get(row.place())
            .and_then(|widths| widths[usize::from(stage == Stage::Toile)])
    }

    /// Writes in a row, or empties it. A toile has no facings and no lining to write of.
    pub fn set(&mut self, row: Row, stage: Stage, width: Option<Length>) {
        if stage == Stage::Toile && !row.in_toile() {
            return;
        }
        if let Some(widths) = self.rows.get_mut(row.place()) {
            widths[usize::from(stage == Stage::Toile)] = width;
        }
    }

    /// Whether it says nothing of this stage.
    pub fn is_empty(&self, stage: Stage) -> bool {
        Row::ALL.iter().all(|row| self.at(*row, stage).is_none())
    }

    /// What it says of an edge of this kind; a seam with a zip is else as its seam is.
    fn says(&self, kind: kinds::Kind, stage: Stage) -> Option<(Row, Length)> {
        let row = |row: Row| Some((row, self.at(row, stage)?));
        if kind.zip
            && let Some(found) = row(Row::Zip)
        {
            return Some(found);
        }
        row(kind.row)
    }
}

#[cfg(test)]
mod tests;
