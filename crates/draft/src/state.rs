//! The state of a walk, which afterwards is the draft; and how much may be worked.

use std::collections::BTreeSet;
use std::sync::Arc;

use measure::Point;
use measure::card::Card;
use measure::fraction::Shown;
use piece::Piece;

use crate::note::{Note, Span};
use crate::shelf::{Dim, Key, Num, Shelf, Thing};
use crate::tree::{Entry, Method, TableRow};

/// A first width, and changes: where, how wide, and how.
pub(crate) type Widths = (f64, Vec<(f64, f64, piece::How)>);

/// The counters that stand, with their values.
pub(crate) type Counters = Vec<(Arc<str>, f64)>;

/// A role, widths, notches said of an edge of a sheet.
#[derive(Clone, Debug, Default)]
pub(crate) struct Finish {
    pub(crate) role: Option<piece::Role>,
    /// The first width and the changes, along the edge as drawn.
    pub(crate) allowance: Option<Widths>,
    pub(crate) notches: Option<Vec<(f64, u8)>>,
    pub(crate) corners: Vec<(Point, piece::Corner)>,
    pub(crate) open: Option<(f64, f64)>,
}

/// The method itself, or one of its sheets.
#[derive(Clone, Debug, Default)]
pub(crate) struct Scope {
    pub(crate) key: Option<Key>,
    pub(crate) numbers: Shelf<Num>,
    pub(crate) drawn: Shelf<Thing>,
    pub(crate) finishes: Vec<(Key, Finish)>,
    /// Corners that were softened: the line and the point's name.
    pub(crate) softened: Vec<(Key, Key)>,
    /// Edges, apart from lines that only help.
    pub(crate) edges: Vec<Key>,
    /// The questions under which the sheet itself is there.
    pub(crate) conds: Vec<String>,
    /// The first sheet of its group.
    pub(crate) first_of_group: usize,
}

/// A piece, made or (dry) known by its names.
#[derive(Clone, Debug)]
pub(crate) struct PieceMade {
    pub(crate) key: Key,
    pub(crate) piece: Option<Piece>,
    /// Her right of it, where corrections made her left and her right unlike; then `piece` is her left.
    pub(crate) other: Option<Piece>,
    pub(crate) edges: Vec<String>,
    /// Its edges could not be followed by name.
    pub(crate) loose: bool,
    /// Whose sheet it was drawn on: the used method (if another's) and the scope.
    pub(crate) sheet: Option<(Option<usize>, usize)>,
    pub(crate) conds: Vec<String>,
    pub(crate) spoilt: bool,
    pub(crate) cuts: usize,
    /// Still where it was drawn.
    pub(crate) in_place: bool,
    /// The pieces it was copied from, the nearest first.
    pub(crate) copied_from: Vec<String>,
    /// How far each work opened or changed something, for the telling.
    pub(crate) opened: Vec<(usize, f64)>,
}

/// A value that truing may move.
#[derive(Clone, Debug)]
pub(crate) struct Freedom {
    pub(crate) scope: usize,
    pub(crate) key: Key,
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) stands: f64,
    pub(crate) set: Option<f64>,
    pub(crate) dim: Dim,
}

/// What was worked: an entry on a sheet, or a cell of its table.
#[derive(Clone, Copy, Debug)]
pub(crate) enum What<'a> {
    Entry(&'a Entry),
    Cell(&'a TableRow, usize),
}

/// One worked entry.
#[derive(Clone, Debug)]
pub(crate) struct Worked<'a> {
    pub(crate) what: What<'a>,
    pub(crate) scope: usize,
    pub(crate) locals: Vec<(Arc<str>, f64)>,
    pub(crate) deps: u64,
    pub(crate) reads: Vec<usize>,
}

/// A method worked for another.
#[derive(Debug)]
pub(crate) struct Sub<'a> {
    pub(crate) name: Key,
    pub(crate) walker: Box<Walker<'a>>,
}

/// How much may be worked before a plain note ends it: about so many entries, a heavy one counting as
/// many as the time it takes; a second or two in all.
pub(crate) const MOST_WORK: u64 = 150_000;

/// A line of more stretches than this was made by following lines that follow lines.
pub(crate) const MOST_STRETCHES: usize = 3000;

/// How many entries one draft may have.
pub(crate) const MOST_ENTRIES: usize = 20_000;

/// How far one entry may be counted.
pub(crate) const MOST_ROUNDS: i64 = 60;

/// What a choice is set to.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Setting {
    /// In her words.
    Text(String),
    /// By the method that uses this one.
    Num(Num),
    /// A word, by the method that uses this one.
    Word(String),
}

/// What the walk is for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Purpose<'a> {
    pub(crate) library: &'a crate::work::Library,
    pub(crate) dry: bool,
    pub(crate) untrued: bool,
    pub(crate) card: Option<&'a Card>,
    pub(crate) shown: Shown,
    pub(crate) predict: bool,
}

/// The state of a walk; afterwards, the draft.
#[derive(Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a state of its own")]
pub(crate) struct Walker<'a> {
    pub(crate) method: &'a Method,
    pub(crate) purpose: Purpose<'a>,
    pub(crate) notes: Vec<Note>,
    /// Names noted as missing: each is noted once.
    pub(crate) missed: BTreeSet<Arc<str>>,
    pub(crate) faults: Vec<String>,
    /// The method is 0, sheets follow.
    pub(crate) scopes: Vec<Scope>,
    pub(crate) pieces: Vec<PieceMade>,
    pub(crate) subs: Vec<Sub<'a>>,
    pub(crate) words: Vec<Vec<Arc<str>>>,
    pub(crate) freedoms: Vec<Freedom>,
    pub(crate) worked: Vec<Worked<'a>>,
    /// Entries of pieces, seams, results and checks, to be looked at after the drawing.
    pub(crate) later: Vec<(usize, &'a Entry, Counters)>,
    pub(crate) measures: Vec<crate::worked::MeasureUsed>,
    pub(crate) choices: Vec<crate::worked::ChoiceUsed>,
    pub(crate) findings: Vec<crate::worked::Finding>,
    // Where the walk is.
    pub(crate) scope: usize,
    pub(crate) locals: Vec<(Arc<str>, f64)>,
    pub(crate) conds: Vec<String>,
    pub(crate) deps: u64,
    pub(crate) reads: Vec<usize>,
    pub(crate) by: usize,
    /// The piece in hand, whose names come first.
    pub(crate) in_hand: Option<PieceMade>,
    /// Truing speaks of sheets, even when the pieces are there.
    pub(crate) of_sheets: bool,
    /// A redraw: things are overwritten and nothing is noted.
    pub(crate) redrawing: bool,
    pub(crate) budget: u64,
    pub(crate) exhausted: bool,
    pub(crate) entries: usize,
    /// What truing did to a used method, for the telling.
    pub(crate) truings: Vec<crate::worked::TruingDone>,
    /// What was told of the sheets and pieces in order, for the telling.
    pub(crate) order: Vec<Told<'a>>,
    /// What was set of the choices.
    pub(crate) settings: Vec<(Key, Setting)>,
    /// The titles of the methods in use, this one last.
    pub(crate) titles: Vec<String>,
    /// Pieces and finishes that wait until the sheets are trued: on which sheet, what, and counters.
    pub(crate) put_off: Vec<(usize, &'a Entry, Counters)>,
    /// What moves in truing decides what is drawn: then the whole draft is worked anew.
    pub(crate) structural: bool,
    /// Used methods of an earlier walk, for the same choices.
    pub(crate) old_subs: Vec<Sub<'a>>,
}

/// What was worked, in order, for the telling.
#[derive(Clone, Debug)]
pub(crate) enum Told<'a> {
    /// A worked entry or cell, by its place.
    Worked(usize),
    /// A piece.
    Piece {
        entry: &'a Entry,
        pieces: Vec<usize>,
        locals: Vec<(Arc<str>, f64)>,
    },
    /// A used method.
    Sub(usize),
    /// The finish of edges, on a sheet or of pieces.
    Finish {
        entry: &'a Entry,
        scope: usize,
        locals: Vec<(Arc<str>, f64)>,
    },
}

impl<'a> Walker<'a> {
    pub(crate) fn new(method: &'a Method, purpose: Purpose<'a>) -> Self {
        Self {
            method,
            purpose,
            notes: Vec::new(),
            missed: BTreeSet::new(),
            faults: Vec::new(),
            scopes: vec![Scope::default()],
            pieces: Vec::new(),
            subs: Vec::new(),
            words: Vec::new(),
            freedoms: Vec::new(),
            worked: Vec::new(),
            later: Vec::new(),
            measures: Vec::new(),
            choices: Vec::new(),
            findings: Vec::new(),
            scope: 0,
            locals: Vec::new(),
            conds: Vec::new(),
            deps: 0,
            reads: Vec::new(),
            by: 0,
            in_hand: None,
            of_sheets: false,
            redrawing: false,
            budget: MOST_WORK,
            exhausted: false,
            entries: 0,
            truings: Vec::new(),
            order: Vec::new(),
            settings: Vec::new(),
            titles: vec![method.title.to_lowercase()],
            put_off: Vec::new(),
            structural: false,
            old_subs: Vec::new(),
        }
    }

    pub(crate) fn dry(&self) -> bool {
        self.purpose.dry
    }

    pub(crate) fn note(&mut self, note: Note) {
        if !self.redrawing && self.notes.len() < 500 {
            self.notes.push(Note {
                working: !self.purpose.dry,
                ..note
            });
        }
    }

    /// Counts work; false when the budget is spent, which is said once.
    pub(crate) fn spend(&mut self, amount: u64, span: Span) -> bool {
        if self.exhausted {
            return false;
        }
        if self.budget < amount {
            self.exhausted = true;
            let redrawing = core::mem::replace(&mut self.redrawing, false);
            self.note(
                Note::new(
                    span,
                    "This method asks for more work than a draft may take; I stopped here.",
                )
                .hint("Count less far, or search and true fewer values."),
            );
            self.redrawing = redrawing;
            return false;
        }
        self.budget -= amount;
        true
    }
}
