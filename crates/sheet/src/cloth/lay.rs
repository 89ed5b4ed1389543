//! The lay as it is handed over: the cloth, its pieces and its scraps in millimetres of the cloth, and
//! what follows from where they lie.

use measure::Length;
use measure::fraction::Shown;

use crate::order::{Fact, SheetFault};
use crate::words::{Words, capital};

/// How the cloth lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClothFold {
    /// One layer, right side up.
    Flat,
    /// Folded along its length; the fold is at y = 0.
    Folded,
    /// Two lengths, one on the other.
    Double,
    /// Folded across; the fold is at x = 0.
    Crosswise,
}

/// Through how many layers a piece is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClothLayers {
    /// One.
    One,
    /// Two: a right and a left piece.
    Two,
    /// Two, with its edge on the fold.
    Fold,
}

/// A piece on the cloth. Millimetres: x from the start of the cloth, y **up** from the inner border of
/// a selvedge, or from the fold.
#[derive(Clone, Debug, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "each is told on its own")]
pub struct ClothPiece {
    /// Its name.
    pub name: String,
    /// The first, the second… of its outlines, and how many there are.
    pub copy: (u32, u32),
    /// Its cutting line, closed or not.
    pub outline: Vec<[f64; 2]>,
    /// Its grain arrow, pointing down the garment.
    pub grain: [[f64; 2]; 2],
    /// It lies head to foot.
    pub head_to_foot: bool,
    /// Its pattern lies with the printed side down.
    pub face_down: bool,
    /// It is half a piece opened out.
    pub opened_out: bool,
    /// Through how many layers it is cut.
    pub layers: ClothLayers,
    /// It lies where cloth that is folded or doubled is opened out.
    pub on_opened: bool,
    /// Its notches, each from the cutting line inwards, and how many snips it is.
    pub notches: Vec<([[f64; 2]; 2], u8)>,
    /// Where it is joined to another part of the same piece: stitching lines.
    pub joins: Vec<[[f64; 2]; 2]>,
}

/// An odd piece of cloth, with what is cut from it. Pieces as on a cloth, y up from one side of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ClothScrap {
    /// Which of the scraps.
    pub number: usize,
    /// Across its grain.
    pub wide: Length,
    /// Along its grain.
    pub long: Length,
    /// The pieces.
    pub pieces: Vec<ClothPiece>,
}

/// A lay, with all that its sheet says. Pieces in the order in which they are cut.
#[derive(Clone, Debug, PartialEq)]
pub struct ClothLay {
    /// What the pattern is called.
    pub title: String,
    /// The order's number or code; may be empty.
    pub code: String,
    /// Whose it is.
    pub client: String,
    /// The pattern's version.
    pub version: String,
    /// What is cut from it: shell, lining.
    pub part: String,
    /// What the cloth is called.
    pub cloth: String,
    /// How lengths are shown.
    pub shown: Shown,
    /// From edge to edge, as it is cut.
    pub width: Length,
    /// How wide the shop sells it, where it shrinks across before it is cut.
    pub sold_wide: Option<Length>,
    /// What a selvedge takes.
    pub selvedge: Length,
    /// How it lies.
    pub fold: ClothFold,
    /// Where only a part of the width is folded, how far two layers lie from the fold.
    pub turned_in: Option<Length>,
    /// From where on folded or doubled cloth is opened out.
    pub flat_from: Option<Length>,
    /// Where the lay ends.
    pub length: Length,
    /// Where the cloth ends that lies there, if that is known.
    pub ends: Option<Length>,
    /// The garment's length runs across.
    pub across: bool,
    /// All tops point one way.
    pub one_way: bool,
    /// Places to keep clear, as [`ClothPiece::outline`]: least x, least y, greatest x, greatest y.
    pub flaws: Vec<[f64; 4]>,
    /// The pieces.
    pub pieces: Vec<ClothPiece>,
    /// What is cut from scraps; numbered on after the pieces.
    pub scraps: Vec<ClothScrap>,
    /// What to buy, as the shop says it: `2 5/8 yd`.
    pub buy: Option<String>,
    /// What she has is enough: nothing is bought.
    pub enough: bool,
    /// What stands under it: margin, what she has, what it costs.
    pub facts: Vec<Fact>,
    /// Sentences below the lay.
    pub remarks: Vec<String>,
    /// The language of what the sheet says of itself.
    pub words: &'static Words,
}

impl ClothLay {
    /// The usable width of one layer, opened out.
    pub(crate) fn usable(&self) -> f64 {
        (self.width - self.selvedge * 2.0).in_mm().max(1.0)
    }

    /// How high the doubled part, or all of flat cloth, lies between its borders.
    pub(crate) fn lies(&self) -> f64 {
        if let Some(deep) = self.turned_in {
            self.usable() - deep.in_mm()
        } else if self.fold == ClothFold::Folded {
            self.usable() / 2.0
        } else {
            self.usable()
        }
    }

    /// Where the drawn cloth ends.
    pub(crate) fn end(&self) -> f64 {
        self.ends
            .map_or(0.0, Length::in_mm)
            .max(self.length.in_mm())
    }

    /// The lowest and the highest y of cloth, selvedges with it.
    pub(crate) fn reach(&self) -> (f64, f64) {
        let s = self.selvedge.in_mm();
        let low = if self.fold == ClothFold::Folded && self.flat_from.is_none() {
            0.0
        } else {
            -s
        };
        let high = if self.flat_from.is_some() {
            self.usable()
        } else {
            self.lies()
        };
        (low, high + s)
    }

    /// Its name with its number, as it stands on the piece.
    pub(crate) fn named(&self, i: usize) -> String {
        format!("{} {}", i + 1, capital(&self.pieces[i].name))
    }

    /// How a piece lies, in words; empty when there is nothing to say.
    pub(crate) fn note(&self, i: usize, words: &Words) -> String {
        let p = &self.pieces[i];
        let mut out: Vec<&str> = Vec::new();
        match p.layers {
            ClothLayers::Fold => out.push(words.lay_on_fold),
            ClothLayers::Two => out.push(words.lay_two),
            ClothLayers::One if p.opened_out => out.push(words.lay_opened_out),
            ClothLayers::One => {}
        }
        if p.face_down {
            out.push(words.lay_face_down);
        }
        if p.head_to_foot {
            out.push(words.lay_head_to_foot);
        }
        out.join(", ")
    }

    /// From where to where the grain of a piece is measured, at both ends of its arrow: from an edge of
    /// the cloth, the fold or the start. The places are those of the arrow that is drawn.
    pub(crate) fn pins(&self, i: usize) -> [(f64, [f64; 2], [f64; 2]); 2] {
        let p = &self.pieces[i];
        let s = self.selvedge.in_mm();
        let folded = self.fold == ClothFold::Folded && !p.on_opened;
        let (low, high) = if folded {
            (0.0, self.lies() + s)
        } else {
            (-s, self.usable() + s)
        };
        let arrow = arrow(p.grain);
        let along = (arrow[1][0] - arrow[0][0]).abs() >= (arrow[1][1] - arrow[0][1]).abs();
        let middle = f64::midpoint(arrow[0][1], arrow[1][1]);
        arrow.map(|end| {
            let to = match (along, middle - low <= high - middle) {
                (true, true) => [end[0], low],
                (true, false) => [end[0], high],
                (false, _) => [0.0, end[1]],
            };
            let far = (end[0] - to[0]).abs() + (end[1] - to[1]).abs();
            (far, end, to)
        })
    }

    /// All texts that came with it.
    pub(super) fn texts(&self) -> impl Iterator<Item = &str> {
        let own = [
            &self.title,
            &self.code,
            &self.client,
            &self.version,
            &self.part,
            &self.cloth,
        ];
        let facts = self.facts.iter().flat_map(|f| [&f.label, &f.value]);
        own.into_iter()
            .chain(facts)
            .chain(&self.remarks)
            .chain(&self.buy)
            .chain(self.pieces.iter().map(|p| &p.name))
            .chain(self.scraps.iter().flat_map(|s| &s.pieces).map(|p| &p.name))
            .map(String::as_str)
    }

    /// Refuses what can't be drawn.
    pub(crate) fn sound(&self) -> Result<(), SheetFault> {
        if self.pieces.is_empty() && self.scraps.is_empty() {
            return Err(SheetFault::Nothing);
        }
        let finite = |v: &f64| v.is_finite() && v.abs() < FARTHEST;
        for p in self
            .pieces
            .iter()
            .chain(self.scraps.iter().flat_map(|s| &s.pieces))
        {
            let marks = p
                .joins
                .iter()
                .chain(p.notches.iter().map(|n| &n.0))
                .flatten();
            let all = || {
                p.outline
                    .iter()
                    .chain(&p.grain)
                    .chain(marks.clone())
                    .flatten()
            };
            let ok = p.outline.len() > 2 && all().all(finite);
            if !ok {
                return Err(SheetFault::TooLarge(p.name.clone()));
            }
        }
        let far = [self.end(), self.usable(), self.selvedge.in_mm()];
        if far.iter().all(finite) && self.flaws.iter().flatten().all(finite) {
            Ok(())
        } else {
            Err(SheetFault::TooLarge(self.cloth.clone()))
        }
    }
}

/// No cloth is longer, in millimetres.
const FARTHEST: f64 = 1e6;

/// The part of a grain line that is drawn as its arrow.
pub(super) fn arrow(grain: [[f64; 2]; 2]) -> [[f64; 2]; 2] {
    let at = |t: f64| {
        [
            grain[0][0] + t * (grain[1][0] - grain[0][0]),
            grain[0][1] + t * (grain[1][1] - grain[0][1]),
        ]
    };
    [at(0.2), at(0.8)]
}
