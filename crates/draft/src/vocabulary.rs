//! The vocabulary, one table: form, places and their kinds, and the sentence of every construction.
//!
//! The reader knows the table and nothing of darts or hems. A new construction is a new row in
//! `vocabulary/table.rs`, and an arm where it is worked.

mod table;

use std::sync::LazyLock;

pub use table::Id;

/// Where a row may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Where {
    /// A level.
    Level,
    /// After a level.
    LevelMore,
    /// An upright.
    Upright,
    /// A point.
    Place,
    /// After a point: moves and the like.
    PlaceMore,
    /// A line or edge, at its beginning.
    Line,
    /// A leg of a line.
    Leg,
    /// After a leg.
    LegMore,
    /// A dart.
    Dart,
    /// A piece.
    Piece,
    /// After a seam's sides.
    Seam,
    /// The finish of an edge.
    Finish,
    /// A direction.
    Way,
}

/// The kind of a place in a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slot {
    /// A length.
    Length,
    /// A plain number.
    Number,
    /// An angle.
    Angle,
    /// A question.
    Ask,
    /// A point.
    Point,
    /// Points with `then` between.
    Points,
    /// A line or edge, or a part of one.
    Edge,
    /// Lines or edges with `then` between.
    Edges,
    /// An edge of this piece by its name.
    Own,
    /// A line, edge, level or upright.
    Straight,
    /// A level or upright.
    Ruling,
    /// A level, upright or point.
    Spot,
    /// A point or an edge of this piece.
    PointOrOwn,
    /// A dart.
    Dart,
    /// A sheet or piece.
    Sheet,
    /// A direction.
    Way,
    /// A word of the drafter.
    Word,
    /// A level of the body: words that end with `level`.
    BodyLevel,
    /// A text.
    Text,
    /// A value that may move.
    Free,
}

impl Slot {
    /// What is wanted there, in words.
    pub fn wants(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Number => "a number",
            Self::Angle => "an angle",
            Self::Ask => "a question",
            Self::Point => "a point",
            Self::Points => "points with `then` between",
            Self::Edge => "a line",
            Self::Edges => "lines with `then` between",
            Self::Own => "an edge of this piece",
            Self::Straight => "a line or a ruling",
            Self::Ruling => "a level or an upright",
            Self::Spot => "a level, an upright or a point",
            Self::PointOrOwn => "a point or an edge of this piece",
            Self::Dart => "a dart",
            Self::Sheet => "a sheet or a piece",
            Self::Way => "a direction",
            Self::Word => "a word",
            Self::BodyLevel => "a level of the body",
            Self::Text => "a text in quotation marks",
            Self::Free => "a value that may move",
        }
    }
}

/// A word or a place of a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bit {
    /// A fixed word.
    Word(&'static str),
    /// A place, with its name in the sentence.
    Slot(&'static str, Slot),
}

/// One row of the vocabulary.
#[derive(Clone, Debug)]
pub struct Row {
    /// Where it may stand.
    pub place: Where,
    /// Which construction it is.
    pub id: Id,
    /// Its form, as it is written in the manual.
    pub pattern: &'static str,
    /// The form cut into words and places.
    pub bits: Vec<Bit>,
    /// Its sentence in English, with the places in braces; where they differ, the teaching form, the
    /// form in passing (in brackets, within another sentence) and the short form of the hand sheet,
    /// with bars between; of two forms the last is the short one.
    pub tells: &'static str,
}

impl Row {
    /// The sentence as a teacher says it.
    pub fn teaching(&self) -> &'static str {
        self.tells.split(" | ").next().unwrap_or_default()
    }

    /// The same within another sentence.
    pub fn passing(&self) -> &'static str {
        let mut forms = self.tells.split(" | ");
        let first = forms.next().unwrap_or_default();
        match (forms.next(), forms.next()) {
            (Some(middle), Some(_)) => middle,
            _ => first,
        }
    }

    /// The same in few words, for the hand sheet.
    pub fn short(&self) -> &'static str {
        self.tells.rsplit(" | ").next().unwrap_or_default()
    }
}

static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| {
    table::ROWS
        .iter()
        .map(|&(place, id, pattern, tells)| Row {
            place,
            id,
            pattern,
            bits: bits(pattern),
            tells,
        })
        .collect()
});

/// The whole table.
pub fn table() -> &'static [Row] {
    &TABLE
}

/// The rows that may stand in one place.
pub fn rows(place: Where) -> impl Iterator<Item = &'static Row> {
    TABLE.iter().filter(move |r| r.place == place)
}

fn bits(pattern: &'static str) -> Vec<Bit> {
    let mut out = Vec::new();
    for word in pattern.split(' ') {
        if let Some(inner) = word.strip_prefix('{').and_then(|w| w.strip_suffix('}')) {
            let (name, kind) = inner.split_once(':').unwrap_or((inner, ""));
            let slot = match kind {
                "L" => Slot::Length,
                "N" => Slot::Number,
                "A" => Slot::Angle,
                "?" => Slot::Ask,
                "P" => Slot::Point,
                "P+" => Slot::Points,
                "E" => Slot::Edge,
                "E+" => Slot::Edges,
                "e" => Slot::Own,
                "X" => Slot::Straight,
                "R" => Slot::Ruling,
                "S" => Slot::Spot,
                "Pe" => Slot::PointOrOwn,
                "D" => Slot::Dart,
                "G" => Slot::Sheet,
                "V" => Slot::Way,
                "body" => Slot::BodyLevel,
                "T" => Slot::Text,
                "M" => Slot::Free,
                _ => Slot::Word,
            };
            out.push(Bit::Slot(name, slot));
        } else {
            out.push(Bit::Word(word));
        }
    }
    out
}

/// The levels of the body that a level may be.
pub const BODY_LEVELS: [&str; 13] = [
    "waist",
    "high hip",
    "hip",
    "thigh",
    "break",
    "knee",
    "ankle",
    "floor",
    "bust",
    "underbust",
    "high bust",
    "upper arm",
    "wrist",
];

/// Shares of something: how they are said, and how much.
pub const SHARES: [(&str, f64); 7] = [
    ("half", 1.0 / 2.0),
    ("third", 1.0 / 3.0),
    ("quarter", 1.0 / 4.0),
    ("two thirds", 2.0 / 3.0),
    ("three quarters", 3.0 / 4.0),
    ("sixth", 1.0 / 6.0),
    ("eighth", 1.0 / 8.0),
];
