//! A lay told on the cloth: where each piece lies, how long it comes, and what is left.

use measure::Length;

use crate::cloth::{Fold, Runs};
use crate::join::Join;
pub use crate::left::Left;
use crate::left::largest;
use crate::scraps::OnScrap;
use crate::task::{Part, Placed};

/// How many layers a piece is cut through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layers {
    /// One.
    One,
    /// Two, which gives a right and a left piece.
    Two,
    /// Two, with its fold edge on the fold: half the piece, which comes out whole.
    Fold,
}

/// A piece as it lies. Millimetres: x from the start of the cloth, y from the inner border of one
/// selvedge, or from the fold where the cloth is folded lengthwise; y **up**, right side of the cloth up.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidPiece {
    /// Which of the pieces.
    pub piece: usize,
    /// Its name.
    pub name: String,
    /// The first, the second… of the outlines of this piece.
    pub copy: u32,
    /// How many outlines of it there are.
    pub of: u32,
    /// Where its cutting line lies.
    pub outline: Vec<[f64; 2]>,
    /// Where its grain arrow lies, pointing down the garment.
    pub grain: [[f64; 2]; 2],
    /// By how many degrees it is turned from where all tops point to the start (or, across the cloth,
    /// to one selvedge).
    pub turn: f64,
    /// It lies head to foot.
    pub head_to_foot: bool,
    /// Its pattern lies with the printed side down.
    pub face_down: bool,
    /// How many layers it is cut through.
    pub layers: Layers,
    /// On which part of the cloth it lies.
    pub on: Part,
    /// It is half a piece, opened out to the whole.
    pub opened_out: bool,
    /// Its notches, each from the cutting line inwards, and how many snips it is.
    pub notches: Vec<([[f64; 2]; 2], u8)>,
    /// Where it is joined to another part of the same piece: stitching lines.
    pub joins: Vec<[[f64; 2]; 2]>,
    /// Its place as the search knows it.
    pub placed: Placed,
}

impl LaidPiece {
    /// Least x, least y, greatest x, greatest y.
    pub fn bounds(&self) -> [f64; 4] {
        crate::outline::bounds(&self.outline)
    }

    /// Whether it lies where cloth that is folded or doubled is opened out.
    pub fn on_opened(&self) -> bool {
        self.on == Part::Opened
    }
}

/// A lay on a cloth. The first piece is cut first.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// How long it comes on the table, in millimetres.
    pub length: f64,
    /// From where on folded or doubled cloth is opened out, if it is.
    pub flat_from: Option<f64>,
    /// How the cloth lies.
    pub fold: Fold,
    /// Where a part of the width is folded: how far two layers lie from the fold, and where the single
    /// layer beside them begins.
    pub turned_in: Option<[f64; 2]>,
    /// Which way the garment's length runs.
    pub runs: Runs,
    /// The usable width when opened out.
    pub usable: f64,
    /// What each selvedge takes.
    pub selvedge: f64,
    /// Places that are kept clear, where the cloth lies as it is folded.
    pub flaws: Vec<[f64; 4]>,
    /// The share of the cloth that pieces cover, each layer counted.
    pub cover: f64,
    /// How pieces that are too wide for the cloth are joined.
    pub joins: Vec<Join>,
    /// What is cut from scraps, after the rest.
    pub scraps: Vec<OnScrap>,
    /// The pieces in the order in which they are cut.
    pub pieces: Vec<LaidPiece>,
}

impl Laid {
    /// Whether all that is cut lies on scraps, and nothing of the cloth is needed.
    pub fn all_on_scraps(&self) -> bool {
        self.pieces.is_empty() && !self.scraps.is_empty()
    }

    /// The usable width as the cloth lies.
    pub fn height(&self) -> f64 {
        match self.fold {
            Fold::Lengthwise => self.usable / 2.0,
            Fold::Part => self.usable - self.turned_in.map_or(0.0, |t| t[0]),
            Fold::None | Fold::Double | Fold::Crosswise => self.usable,
        }
    }

    /// How much cloth the lay takes: where two lengths lie one on the other, both count.
    pub fn takes(&self) -> Length {
        let doubled = match self.fold {
            Fold::Double | Fold::Crosswise => self.flat_from.unwrap_or(self.length),
            _ => 0.0,
        };
        Length::mm(self.length + doubled)
    }

    /// Which of the flaws of two lengths lie behind both, in the order in which they were told. One that was
    /// measured along the uncut cloth, not from the cut end of its own length, may lie under a piece.
    pub fn flaws_behind(&self) -> Vec<usize> {
        let flaws = self.flaws.iter().enumerate();
        flaws
            .filter(|(_, f)| self.fold == Fold::Double && f[0] >= self.length)
            .map(|(i, _)| i)
            .collect()
    }

    /// The largest rectangles that are left when so much cloth lies on the table: of each part of
    /// the cloth (doubled, opened out) one, the largest first. Each is free of pieces all over; it may
    /// be up to 2 cm short of the largest that there is.
    pub fn left(&self, cloth: Length) -> Vec<Left> {
        let lies = match self.fold {
            // With an opened end, what is more lies behind it in one layer; else it lies doubled as well.
            Fold::Double | Fold::Crosswise => {
                let half = cloth.in_mm() / 2.0;
                cloth.in_mm() - self.flat_from.map_or(half, |from| from.min(half))
            }
            _ => cloth.in_mm(),
        }
        .max(self.length);
        let mut out = Vec::new();
        let part = |opened: bool| -> Vec<&[[f64; 2]]> {
            let here = self.pieces.iter().filter(|p| p.on_opened() == opened);
            here.map(|p| p.outline.as_slice()).collect()
        };
        let all_flat = self.fold == Fold::None;
        if let Some([deep, beside]) = self.turned_in {
            let end = self.flat_from.unwrap_or(lies);
            let here: Vec<&[[f64; 2]]> = self
                .pieces
                .iter()
                .filter(|p| p.on == Part::Main)
                .map(|p| p.outline.as_slice())
                .collect();
            out.extend(largest(&here, &self.flaws, (0.0, end), deep, true));
            // The single layer, as if it began at nothing.
            let shifted: Vec<Vec<[f64; 2]>> = self
                .pieces
                .iter()
                .filter(|p| p.on == Part::Beside)
                .map(|p| p.outline.iter().map(|q| [q[0], q[1] - beside]).collect())
                .collect();
            let here: Vec<&[[f64; 2]]> = shifted.iter().map(Vec::as_slice).collect();
            let flaws: Vec<[f64; 4]> = self
                .flaws
                .iter()
                .map(|f| [f[0], f[1] - beside, f[2], f[3] - beside])
                .collect();
            let found = largest(&here, &flaws, (0.0, end), self.height() - beside, false);
            out.extend(found.map(|l| Left {
                place: [
                    l.place[0],
                    l.place[1] + beside,
                    l.place[2],
                    l.place[3] + beside,
                ],
                ..l
            }));
            if self.flat_from.is_some() {
                out.extend(largest(&part(true), &[], (end, lies), self.usable, false));
            }
            out.sort_by(|a, b| b.area().total_cmp(&a.area()));
            return out;
        }
        match self.flat_from {
            Some(from) if !all_flat => {
                out.extend(largest(
                    &part(false),
                    &self.flaws,
                    (0.0, from),
                    self.height(),
                    true,
                ));
                out.extend(largest(&part(true), &[], (from, lies), self.usable, false));
            }
            _ => {
                let doubled = !all_flat;
                out.extend(largest(
                    &part(false),
                    &self.flaws,
                    (0.0, lies),
                    self.height(),
                    doubled,
                ));
            }
        }
        out.sort_by(|a, b| b.area().total_cmp(&a.area()));
        out
    }
}
