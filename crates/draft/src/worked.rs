//! A draft worked for one card: what the writers, the inspector and the pages are given.

use measure::fraction::Shown;
use measure::{Angle, Curve, Length, Point};
use piece::Piece;

use crate::allowances::{Laid, Stage};
use crate::correction::{Correction, Side};
use crate::note::Note;
use crate::tree::Weight;

/// A number with its kind.
#[derive(Clone, Debug, PartialEq)]
pub enum Quantity {
    /// A length.
    Length(Length),
    /// An angle.
    Angle(Angle),
    /// A plain number or count.
    Number(f64),
    /// A share, shown in percent.
    Share(f64),
    /// An area, in square millimetres.
    Area(f64),
    /// Yes or no.
    YesNo(bool),
    /// One of the words of a choice.
    Word(String),
}

impl Quantity {
    /// As it is shown to the drafter.
    pub fn shown(&self, how: Shown) -> String {
        match self {
            Self::Length(length) => measure::fraction::show(*length, how),
            Self::Angle(angle) => format!("{}°", plain(angle.in_degrees(), 1)),
            Self::Number(value) => plain(*value, 3),
            Self::Share(value) => format!("{} %", plain(value * 100.0, 1)),
            Self::Area(value) => format!("{} cm²", plain(value / 100.0, 1)),
            Self::YesNo(true) => "yes".into(),
            Self::YesNo(false) => "no".into(),
            Self::Word(word) => word.clone(),
        }
    }
}

/// A figure with at most so many places, and none that say nothing.
pub(crate) fn plain(value: f64, places: usize) -> String {
    let mut said = format!("{value:.places$}");
    if said.contains('.') {
        said.truncate(said.trim_end_matches('0').trim_end_matches('.').len());
    }
    if said == "-0" { "0".into() } else { said }
}

/// Where a measure came from.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// The card holds it.
    Card,
    /// The method's `else` was taken.
    Fallback,
    /// Predicted from the others, with its 90 % band.
    Predicted {
        /// Lower end of the band.
        low: Length,
        /// Upper end of the band.
        high: Length,
    },
    /// Nothing gave it.
    Missing,
}

/// A measure that the method took.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureUsed {
    /// Its name in the method.
    pub name: String,
    /// Its value; zero when missing.
    pub value: Length,
    /// Where it came from.
    pub source: Source,
}

/// A choice of the method, as it stands in this draft.
#[derive(Clone, Debug, PartialEq)]
pub struct ChoiceUsed {
    /// Its name.
    pub name: String,
    /// What it is called on the page.
    pub label: String,
    /// What it does.
    pub help: Option<String>,
    /// Its value here.
    pub value: Quantity,
    /// What it would be if nothing were set.
    pub usual: Quantity,
    /// Its range.
    pub range: Option<(Quantity, Quantity)>,
    /// The words to choose from.
    pub words: Vec<String>,
    /// Whether it is offered with the other choices as they stand.
    pub offered: bool,
    /// Whether she set it.
    pub set: bool,
}

/// A part of what is told in few words.
#[derive(Clone, Debug, PartialEq)]
pub enum Telling {
    /// Words.
    Words(String),
    /// A figure of this client.
    Figure {
        /// As it is shown, without its unit where that goes without saying.
        shown: String,
        /// By what rule it was found: `(hip + hip ease) / 4`; none when it is only measured off.
        rule: Option<String>,
        /// The method itself gives the figure, the same for everyone.
        fixed: bool,
    },
    /// A point.
    Point {
        /// The group of its sheet, as in `Drawn`.
        group: String,
        /// Its name.
        name: String,
    },
}

/// One step of the work, as it is told.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its number; a value told on the way has none.
    pub number: Option<u32>,
    /// The sheet or stage under which it stands: `front`, `pieces`, `truing`.
    pub stage: String,
    /// The whole sentence, as a teacher says it.
    pub sentence: String,
    /// The same in few words, for the hand sheet.
    pub short: String,
    /// The parts of `short`: which are words, which are figures, and which name a point.
    pub few: Vec<Telling>,
    /// The author's reason.
    pub why: Option<String>,
    /// What it draws: the sheet and the name, to light it up.
    pub draws: Vec<(String, String)>,
    /// The pieces that it makes or finishes, and nothing besides; none for any other step. Those of a used
    /// method, as its stage tells, are named as that method names them.
    pub pieces: Vec<String>,
    /// The lines of the method's text on which the entries begin that it tells, counted from 1, in
    /// order; none where another method is used, whose text has lines of its own.
    pub lines: Vec<u32>,
}

/// What a thing on a sheet looks like. Places are in mm from the top left of the sheet's own levels and
/// uprights, y down; they are final, with all that truing moved.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A level, so far down.
    Level(f64),
    /// An upright, so far from the left.
    Upright(f64),
    /// A point.
    Point(Point),
    /// A line.
    Line {
        /// Where it runs, in the way it was drawn.
        curve: Curve,
        /// An edge of the garment, not a line that only helps.
        edge: bool,
        /// Points at which its corner was softened: it passes beside them.
        softened: Vec<String>,
    },
    /// A dart.
    Dart {
        /// The edge it opens.
        edge: String,
        /// Its mouth on that edge.
        mouth: (Point, Point),
        /// Its tip.
        tip: Point,
    },
}

/// A thing that a step drew.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// The sheet, as `Step::draws` names it: `front`, `front of block`.
    pub sheet: String,
    /// The first sheet of those that are drafted by one description: `front` for front and back.
    pub group: String,
    /// Its name.
    pub name: String,
    /// The number of the step that drew it.
    pub step: u32,
    /// The level of the body that it is: waist, hip.
    pub body: Option<String>,
    /// What it looks like.
    pub shape: Shape,
}

/// An edge of a piece by name.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeName {
    /// The piece.
    pub piece: String,
    /// The edge.
    pub edge: String,
    /// The two points between which it is meant, where that is not all of it.
    pub between: Option<(Point, Point)>,
}

/// What is sewn to what, measured.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamMade {
    /// Its name.
    pub name: String,
    /// One side.
    pub a: Vec<EdgeName>,
    /// The other; empty when it is sewn to its own twin.
    pub b: Vec<EdgeName>,
    /// Length of the first side, darts closed.
    pub a_length: Length,
    /// Length of the second.
    pub b_length: Length,
    /// How much longer the first is meant to be.
    pub ease: Length,
    /// First less second less ease.
    pub difference: Length,
    /// The two lengths before truing.
    pub before: Option<(Length, Length)>,
}

/// What truing did.
#[derive(Clone, Debug, PartialEq)]
pub struct TruingDone {
    /// The seam.
    pub seam: String,
    /// What moved: the value and its sheet.
    pub moved: String,
    /// From what.
    pub from: Quantity,
    /// To what.
    pub to: Quantity,
    /// How far it was out.
    pub out_before: Length,
    /// How far it is out now.
    pub out_after: Length,
    /// Whether it was met to a millionth of an inch.
    pub met: bool,
    /// The sentence.
    pub sentence: String,
    /// The author's reason.
    pub why: Option<String>,
    /// The line of the method's text that asks for it, counted from 1.
    pub line: u32,
}

/// A value that the method reports.
#[derive(Clone, Debug, PartialEq)]
pub struct ResultValue {
    /// Its name.
    pub name: String,
    /// Its value.
    pub value: Quantity,
}

/// What a check of the method found, or what working the draft showed.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The check's name.
    pub rule: String,
    /// How serious.
    pub weight: Weight,
    /// Where: `side of front`.
    pub place: String,
    /// How much, where it is a length.
    pub amount: Option<Length>,
    /// What it says.
    pub says: String,
    /// What to do.
    pub cure: Option<String>,
}

/// What came of a correction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// It is made.
    Made,
    /// The draft has no such piece, edge or place any more, as the sentence says; it is not made.
    Lost(String),
    /// It can't be drawn, as the sentence says; it is not made.
    Refused(String),
}

/// A correction of a fitting, and what came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct CorrectionDone {
    /// The correction.
    pub correction: Correction,
    /// The pieces and edges that moved, its own first; none when it was not made.
    pub edges: Vec<(String, String)>,
    /// What came of it.
    pub outcome: Outcome,
    /// What it does.
    pub sentence: String,
}

/// A seam that the corrections put out, and what truing it again did.
#[derive(Clone, Debug, PartialEq)]
pub struct Retrued {
    /// The seam.
    pub seam: String,
    /// The piece and the edge that was moved to bring it right; none when nothing could be.
    pub edge: Option<(String, String)>,
    /// How far that edge was moved at its end, positive outwards.
    pub by: Length,
    /// Whether it is a straight band that was made so much longer or shorter instead: it goes with what it
    /// is sewn to.
    pub band: bool,
    /// How far the corrections had put the seam out.
    pub out_before: Length,
    /// How far it is out now.
    pub out_after: Length,
    /// Whether its sides agree again as they did.
    pub met: bool,
    /// Whether it is enough to be worth telling: 1/64 in.
    pub told: bool,
    /// The sentence.
    pub sentence: String,
}

/// A level of a sheet that is a level of the body.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelMade {
    /// Which level of the body: waist, hip, knee, break.
    pub body: String,
    /// The ruling's name.
    pub name: String,
    /// The sheet.
    pub sheet: String,
    /// How far below the waist level of its sheet.
    pub below_waist: Length,
    /// How far down the paper.
    pub y: f64,
}

/// Where a piece came from, so that she can be measured on it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Origin {
    /// The sheet on which it was outlined, straight or through copies, while what is left of it still
    /// lies in its place there; none once it was turned, spread, joined to or drawn as a rectangle.
    pub sheet: Option<String>,
    /// The pieces of this draft from which it was copied, the nearest first; never the piece itself,
    /// though a piece of the same name in a block may have been its model.
    pub copied_from: Vec<String>,
    /// Which part of her it is for, where corrections made her left and her right unlike.
    pub half: Option<Half>,
}

/// A part of a piece of the draft that is cut by itself, because her left and her right differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Half {
    /// The piece of the draft, as a correction names it.
    pub of: String,
    /// Her left or her right, as she wears it; both for a whole that was opened out from the fold.
    pub side: Side,
    /// It lies turned over against the draft, so that its right side is up.
    pub turned: bool,
}

/// A draft, worked.
#[derive(Clone, Debug, Default)]
pub struct Worked {
    /// The method's title.
    pub title: String,
    /// What the method is about.
    pub about: Vec<String>,
    /// The measures it took.
    pub measures: Vec<MeasureUsed>,
    /// Its choices.
    pub choices: Vec<ChoiceUsed>,
    /// The steps, in order.
    pub steps: Vec<Step>,
    /// What the steps drew, sheet by sheet in the order of work; empty when the steps were left out.
    pub drawn: Vec<Drawn>,
    /// The pieces that are cut, in order; also those of no cloth that others were made from are left out.
    pub pieces: Vec<Piece>,
    /// Where each of `pieces` came from, in the same order.
    pub origins: Vec<Origin>,
    /// The halves that were cut as pieces of their own, as the draft has them and corrections name them;
    /// her left where both sides were corrected apart.
    pub halves: Vec<Piece>,
    /// The seams.
    pub seams: Vec<SeamMade>,
    /// What truing did.
    pub truings: Vec<TruingDone>,
    /// The corrections of its fittings, and what came of each.
    pub corrections: Vec<CorrectionDone>,
    /// What truing the seams again after the corrections did.
    pub retrued: Vec<Retrued>,
    /// What a table of allowances did that was laid on; none when there was none.
    pub allowances: Option<Laid>,
    /// What the method reports.
    pub results: Vec<ResultValue>,
    /// What its checks found.
    pub findings: Vec<Finding>,
    /// The levels of the body.
    pub levels: Vec<LevelMade>,
    /// Faults: of the text, of the card, of what was set. While one stands no paper is made.
    pub notes: Vec<Note>,
    /// Faults that have no place in the text: a measure missing, a choice that is not one.
    pub faults: Vec<String>,
}

impl Worked {
    /// Whether paper may be made of it.
    pub fn sound(&self) -> bool {
        self.notes.is_empty() && self.faults.is_empty()
    }

    /// Which part of her a piece is for, where her left and her right differ on it.
    pub fn half(&self, piece: usize) -> Option<&Half> {
        self.origins.get(piece)?.half.as_ref()
    }

    /// Which piece of the draft a piece is, as corrections name it, however it is cut.
    pub fn of(&self, piece: usize) -> &str {
        let own = self.pieces.get(piece).map_or("", |p| &p.name);
        self.half(piece).map_or(own, |h| &h.of)
    }

    /// Whether it is cut as a toile.
    pub fn is_toile(&self) -> bool {
        let laid = self.allowances.as_ref();
        laid.is_some_and(|l| l.stage == Stage::Toile)
    }

    /// The pieces as the draft has them and corrections name them: a half stands for her left and her
    /// right, however it is cut.
    pub fn drafted(&self) -> Vec<&Piece> {
        let mut out: Vec<&Piece> = Vec::new();
        for (i, piece) in self.pieces.iter().enumerate() {
            let of = self.half(i).map(|h| h.of.as_str());
            let half = of.and_then(|of| self.halves.iter().find(|p| p.name == of));
            let one = half.unwrap_or(piece);
            if !out.iter().any(|p| p.name == one.name) {
                out.push(one);
            }
        }
        out
    }
}
