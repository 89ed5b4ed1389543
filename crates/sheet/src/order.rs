//! What a sheet is made from: the texts of an order, and its pieces.

use core::fmt;

use measure::fraction::Shown;
use measure::{Curve, Length, Motion, Point};
use piece::{Fault, Piece};

use crate::words::{ENGLISH, Words};

/// A name and its value, both as they are to be read: "Waist to hip" and "9 1/2".
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// What it is.
    pub label: String,
    /// How much; fractions as `9 1/2`.
    pub value: String,
}

/// How heavy a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// The garment would fail.
    Stop,
    /// She should decide.
    Ask,
    /// Good to know.
    Note,
}

/// A finding in whole sentences.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// How heavy it is.
    pub weight: Weight,
    /// Where, by how much, the cure.
    pub text: String,
}

/// One step of the draft.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepText {
    /// Its number, if it carries one.
    pub number: Option<u32>,
    /// A heading set before it: the name of the sheet being drawn.
    pub heading: Option<String>,
    /// What to do.
    pub sentence: String,
    /// Why, if the author said.
    pub why: Option<String>,
}

/// What can be left out of the drawn files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leave {
    /// The cutting line and the figures of allowances.
    Cutting,
    /// The stitching line.
    Stitching,
    /// The grain arrow.
    Grain,
    /// Levels, and the lines to lengthen or shorten at.
    Levels,
    /// Notches and darts.
    Notches,
    /// All words on the pieces.
    Words,
    /// The lines and points of the draft.
    Construction,
}

/// A word beside a notch: "end of the zip".
#[derive(Clone, Debug, PartialEq)]
pub struct NotchWord {
    /// The edge it is on.
    pub edge: String,
    /// How far along that edge the notch is.
    pub at: Length,
    /// The word.
    pub text: String,
}

/// Where a piece may be lengthened or shortened: a double line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alteration {
    /// One end.
    pub from: Point,
    /// The other end.
    pub to: Point,
}

/// A line or a point of the draft that a piece came from.
#[derive(Clone, Debug, PartialEq)]
pub enum Construct {
    /// A ruled level, an upright, or a line that helps.
    Line(Curve),
    /// A point with its name.
    Point(String, Point),
}

/// A piece, and the words that belong to it.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetPiece {
    /// The finished piece.
    pub piece: Piece,
    /// What is written along an edge, by the edge's name: "Side, to the back side". An edge without
    /// an entry bears its own name.
    pub seams: Vec<(String, String)>,
    /// Words beside notches.
    pub notch_words: Vec<NotchWord>,
    /// Lines at which it may be lengthened or shortened.
    pub alterations: Vec<Alteration>,
    /// Lines to add to the label, whole: "Lining to the break".
    pub notes: Vec<String>,
    /// The measures it was drawn from: waist 30, hip 40.
    pub used: Vec<Fact>,
    /// The cloth has a nap: the grain arrow gets one head.
    pub one_way: bool,
    /// The draft under it, for a piece that still lies in its place there.
    pub construction: Vec<Construct>,
}

impl SheetPiece {
    /// A piece with no words but its own.
    pub const fn new(piece: Piece) -> Self {
        Self {
            piece,
            seams: Vec::new(),
            notch_words: Vec::new(),
            alterations: Vec::new(),
            notes: Vec::new(),
            used: Vec::new(),
            one_way: false,
            construction: Vec::new(),
        }
    }

    /// The same piece elsewhere on the paper, with its words.
    #[must_use]
    pub fn moved(&self, by: &Motion) -> Self {
        let notch_words = self
            .notch_words
            .iter()
            .map(|w| {
                let mut word = w.clone();
                // Turned over, an edge is walked the other way.
                if by.turns_over()
                    && let Ok(edge) = self.piece.edge(&w.edge)
                {
                    word.at = edge.curve.length() - w.at;
                }
                word
            })
            .collect();
        Self {
            piece: self.piece.moved(by),
            notch_words,
            alterations: self
                .alterations
                .iter()
                .map(|a| Alteration {
                    from: by.point(a.from),
                    to: by.point(a.to),
                })
                .collect(),
            construction: self
                .construction
                .iter()
                .map(|c| match c {
                    Construct::Line(curve) => Construct::Line(curve.moved(by)),
                    Construct::Point(name, at) => Construct::Point(name.clone(), by.point(*at)),
                })
                .collect(),
            ..self.clone()
        }
    }
}

/// All that goes on the sheets of one pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// The garment: "Mermaid skirt with train".
    pub title: String,
    /// The order's short code: "DEMO-07". May be empty.
    pub code: String,
    /// The client, as she is to be named on paper.
    pub client: String,
    /// The pattern's version.
    pub version: String,
    /// When the measures were taken, as it is to be read; nothing else dates a sheet.
    pub taken: Option<String>,
    /// The unit that the figures on the sheets are in, and how finely.
    pub shown: Shown,
    /// Body measures.
    pub body: Vec<Fact>,
    /// Choices.
    pub chosen: Vec<Fact>,
    /// Finished measures.
    pub finished: Vec<Fact>,
    /// What the checks found.
    pub findings: Vec<Told>,
    /// Cautions that concern this garment.
    pub cautions: Vec<String>,
    /// What must be said on every page of text.
    pub remarks: Vec<String>,
    /// The measures that were reckoned and not taken, with their bands. Stands in full on the cover;
    /// every sheet points there.
    pub estimates: Option<String>,
    /// The steps of the draft.
    pub steps: Vec<StepText>,
    /// The pieces.
    pub pieces: Vec<SheetPiece>,
    /// What is not drawn.
    pub left_out: Vec<Leave>,
    /// The draft under the pieces is shown from the beginning, not only when its layer is turned on.
    pub shows_construction: bool,
    /// It is a trial garment: every sheet says so beside its version.
    pub toile: bool,
    /// The language of all that the sheets say of themselves.
    pub words: &'static Words,
}

impl Order {
    /// An order of this title with nothing in it, in inches.
    pub fn new(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            code: String::new(),
            client: String::new(),
            version: String::new(),
            taken: None,
            shown: Shown::inches(),
            body: Vec::new(),
            chosen: Vec::new(),
            finished: Vec::new(),
            findings: Vec::new(),
            cautions: Vec::new(),
            remarks: Vec::new(),
            estimates: None,
            steps: Vec::new(),
            pieces: Vec::new(),
            left_out: Vec::new(),
            shows_construction: false,
            toile: false,
            words: &ENGLISH,
        }
    }
}

impl Order {
    /// All texts that came with it.
    pub(crate) fn texts(&self) -> impl Iterator<Item = &str> {
        let facts = self.body.iter().chain(&self.chosen).chain(&self.finished);
        let pieces = self.pieces.iter().flat_map(|p| {
            let edges = p.piece.edges.iter().map(|e| &e.name);
            let cloths = p.piece.cuts.iter().map(|c| &c.cloth);
            let levels = p.piece.balance.iter().map(|b| &b.name);
            let words = p.notch_words.iter().map(|w| &w.text);
            let seams = p.seams.iter().map(|s| &s.1);
            [&p.piece.name]
                .into_iter()
                .chain(&p.piece.label)
                .chain(edges)
                .chain(cloths)
                .chain(levels)
                .chain(words)
                .chain(seams)
                .chain(&p.notes)
        });
        let steps = self
            .steps
            .iter()
            .flat_map(|s| s.heading.iter().chain([&s.sentence]).chain(&s.why));
        [&self.title, &self.code, &self.client, &self.version]
            .into_iter()
            .chain(&self.taken)
            .chain(facts.flat_map(|f| [&f.label, &f.value]))
            .chain(self.findings.iter().map(|t| &t.text))
            .chain(&self.cautions)
            .chain(&self.remarks)
            .chain(&self.estimates)
            .chain(steps)
            .chain(pieces)
            .map(String::as_str)
    }
}

/// The paper in the printer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm.
    A4,
    /// 8 1/2 by 11 in.
    Letter,
    /// 297 by 420 mm.
    A3,
}

impl Paper {
    /// Width and height.
    pub fn size(self) -> (Length, Length) {
        match self {
            Self::A4 => (Length::mm(210.0), Length::mm(297.0)),
            Self::Letter => (Length::inches(8.5), Length::inches(11.0)),
            Self::A3 => (Length::mm(297.0), Length::mm(420.0)),
        }
    }
}

/// Why no sheet could be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SheetFault {
    /// A piece has no cutting line; its name, and what `piece` says.
    Piece(String, Fault),
    /// A piece is larger than any sheet count allows; its name.
    TooLarge(String),
    /// There is nothing to draw.
    Nothing,
    /// The fonts inside the program could not be read, or a picture not be packed.
    Broken(&'static str),
}

impl fmt::Display for SheetFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Piece(name, fault) => write!(f, "The piece `{name}` can't be drawn: {fault}"),
            Self::TooLarge(name) => write!(f, "The piece `{name}` is too large for paper."),
            Self::Nothing => f.write_str("There is no piece to draw."),
            Self::Broken(what) => write!(f, "The program is damaged: {what}."),
        }
    }
}

impl core::error::Error for SheetFault {}
