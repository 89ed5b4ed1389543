//! The draft as numbers and sentences, to draw with ruler and curve: the hand sheet, and the class
//! sheet that leaves the numbers to the pupil.
//!
//! ```text
//! Hand -> plan (sheets, lettered points, edges) -> figures rounded together -> tables -> pages
//! ```
//! Places are in mm, x across from the sheet's left ruling, y down from its top one.

use measure::{Curve, Length, Point};

use crate::drawing::Drawing;
use crate::order::{Fact, Order, Paper, SheetFault};
use crate::pdf::{self, About};
use crate::words::fill;

mod asked;
mod class;
mod dense;
mod letters;
mod pages;
mod plan;
mod plate;
mod proof;
mod rounded;
mod running;
pub mod tables;
#[cfg(test)]
mod tests;
mod ties;
mod told;

/// A part of what a step says in few words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HandPart {
    /// Words.
    Words(String),
    /// A figure of this client.
    Figure {
        /// As it is shown.
        shown: String,
        /// By what rule it was found.
        rule: Option<String>,
        /// The same for everyone.
        fixed: bool,
    },
    /// A point, which is called by its letter.
    Point {
        /// The group of its sheet.
        group: String,
        /// Its name.
        name: String,
    },
}

/// What part of the work a step belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HandStage {
    /// Drawing a sheet.
    Sheet,
    /// Walking a seam and making it agree: all that is printed here is so already.
    Truing,
    /// Taking off a piece.
    Piece,
    /// What each edge is, its allowance and its notches.
    Finish,
}

/// A step of the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandStep {
    /// Its number; a value told on the way has none.
    pub number: Option<u32>,
    /// What it belongs to.
    pub stage: HandStage,
    /// The sheet or stage, as it heads its steps.
    pub heading: String,
    /// What it says, in few words.
    pub parts: Vec<HandPart>,
}

/// What a drawn thing looks like.
#[derive(Clone, Debug, PartialEq)]
pub enum HandShape {
    /// A level, so far down; whether it is a level of the body.
    Level(Length, bool),
    /// An upright, so far across.
    Upright(Length),
    /// A point.
    Point(Point),
    /// A line.
    Line {
        /// Where it runs.
        curve: Curve,
        /// An edge of the garment, not a line that only helps.
        edge: bool,
        /// Points beside which a softened corner passes.
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
pub struct HandThing {
    /// Its sheet.
    pub sheet: String,
    /// The first of the sheets that are drafted by one description.
    pub group: String,
    /// Its name.
    pub name: String,
    /// The number of the step that drew it.
    pub step: u32,
    /// What it looks like.
    pub shape: HandShape,
}

/// An edge of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandEdge {
    /// The sheet.
    pub sheet: String,
    /// The edge.
    pub edge: String,
}

/// A seam between edges that are drafted.
#[derive(Clone, Debug, PartialEq)]
pub struct HandSeam {
    /// Its name.
    pub name: String,
    /// One side.
    pub a: Vec<HandEdge>,
    /// The other.
    pub b: Vec<HandEdge>,
    /// How much longer the first is meant to be.
    pub ease: Length,
}

/// What a piece is cut from and what is added at its edges.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandPiece {
    /// Its name.
    pub name: String,
    /// How many, of what.
    pub cut: String,
    /// Each edge with what is added: "waist 3/4", "side 1 to 1/2".
    pub add: String,
}

/// A choice of the method, as the class sheet asks for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandChoice {
    /// Its name, as the rules of the steps call it.
    pub name: String,
    /// What it is when nothing is set.
    pub usual: String,
}

/// What goes all round her: so many of each piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandGirth {
    /// Its name.
    pub name: String,
    /// The level at which the pieces are measured across; of none, the edges are measured along.
    pub level: Option<String>,
    /// The edges of each piece, and how many times it goes round.
    pub pieces: Vec<(Vec<HandEdge>, u32)>,
}

/// All that the hand sheet and the class sheet say beyond the order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hand {
    /// The steps.
    pub steps: Vec<HandStep>,
    /// What they drew, sheet by sheet.
    pub drawn: Vec<HandThing>,
    /// Which edges are hems: their figures stand farther apart.
    pub hems: Vec<HandEdge>,
    /// The seams between drafted edges.
    pub seams: Vec<HandSeam>,
    /// The pieces that are cut.
    pub pieces: Vec<HandPiece>,
    /// The choices that were set.
    pub set: Vec<Fact>,
    /// Waist and hip, to be added up from the figures.
    pub girths: Vec<HandGirth>,
    /// All choices that the method offers.
    pub choices: Vec<HandChoice>,
}

/// The hand sheet.
///
/// # Errors
/// When nothing was drawn, or the fonts inside the program are damaged.
pub fn hand_pdf(order: &Order, hand: &Hand, paper: Paper) -> Result<Vec<u8>, SheetFault> {
    let (pages, _) = pages::pages(order, hand, order.words, paper)?;
    write(order, order.words.hand_sheet, pages)
}

/// How the pages of a hand sheet came out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Came {
    /// How many pages there are.
    pub pages: usize,
    /// How many of them show plates.
    pub plates: usize,
    /// Letters of new points that found no clear place beside their dot, by plate.
    pub without_place: Vec<String>,
    /// Letters and words that touch a line or one another, or the edge of the page.
    pub touching: Vec<String>,
}

/// How the hand sheet comes out, or the class sheet.
///
/// # Errors
/// As [`hand_pdf`].
pub fn came(order: &Order, hand: &Hand, paper: Paper, class: bool) -> Result<Came, SheetFault> {
    let (pages, mut out) = if class {
        class::pages(order, hand, order.words, paper)?
    } else {
        pages::pages(order, hand, order.words, paper)?
    };
    out.pages = pages.len();
    for page in &pages {
        out.touching.extend(page.touching());
    }
    Ok(out)
}

/// The class sheet: the same words, with lines for the numbers.
///
/// # Errors
/// When nothing was drawn, or the fonts inside the program are damaged.
pub fn class_pdf(order: &Order, hand: &Hand, paper: Paper) -> Result<Vec<u8>, SheetFault> {
    let (pages, _) = class::pages(order, hand, order.words, paper)?;
    write(order, order.words.class_sheet, pages)
}

fn write(order: &Order, what: &str, pages: Vec<crate::page::Page>) -> Result<Vec<u8>, SheetFault> {
    let drawings: Vec<Drawing> = pages.into_iter().map(|p| p.drawing).collect();
    let title = fill(
        order.words.hand_title,
        &[("sheet", what), ("title", &order.title)],
    );
    pdf::write(
        &drawings,
        &About {
            title: &crate::face::printable(&title),
            words: order.words,
            off: None,
            packed: true,
        },
    )
}
