//! Walks a method from top to bottom: once dry, for kinds and names, or live, for a card.
//!
//! The same code does both. The dry walk visits every column and both sides of every block, and holds
//! kinds in place of numbers; the live walk follows what is true.

use std::collections::{BTreeSet, HashMap};
use std::rc::Rc;
use std::sync::Arc;

use measure::card::Card;
use measure::fraction::Shown;
use measure::words::nearest;
use measure::{Curve, Point};
use piece::{Piece, Toward};

use crate::note::{Note, Span};
use crate::reader::NAMELESS;
use crate::said;
use crate::tree::{
    Entry, Expr, ExprKind, Group, Head, Heading, Item, Method, Number, Ref, RefName, Says,
    TableRow, Value, When,
};

/// A name with the number in it.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) struct Key {
    pub(crate) name: Arc<str>,
    pub(crate) number: Option<i64>,
}

/// Any number: a counted name in the dry walk.
pub(crate) const ANY: i64 = i64::MIN;

impl Key {
    pub(crate) fn plain(name: impl Into<Arc<str>>) -> Self {
        Self {
            name: name.into(),
            number: None,
        }
    }

    /// As it is written.
    pub(crate) fn shown(&self) -> String {
        let Some(number) = self.number else {
            return self.name.to_string();
        };
        let number = if number == ANY {
            "k".to_owned()
        } else {
            number.to_string()
        };
        match self.name.split_once('\u{1}') {
            Some((before, after)) => format!("{before} number {number} {after}"),
            None => format!("{} number {number}", self.name),
        }
    }
}

/// The kind of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Dim {
    Length,
    Angle,
    Area,
    Number,
    Share,
    YesNo,
    /// One of the words of a list.
    Word(usize),
    /// Of an entry with a fault: fits everywhere.
    Any,
}

impl Dim {
    pub(crate) fn shown(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Area => "an area",
            Self::Number | Self::Share => "a number",
            Self::YesNo => "yes or no",
            Self::Word(_) => "a word of a choice",
            Self::Any => "anything",
        }
    }

    pub(crate) fn fits(self, other: Self) -> bool {
        let plain = |d: Self| if d == Self::Share { Self::Number } else { d };
        self == Self::Any || other == Self::Any || plain(self) == plain(other)
    }
}

/// A number: lengths in mm, angles in radians, areas in mm²; yes is 1; a word is its place in the list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Num {
    pub(crate) v: f64,
    pub(crate) dim: Dim,
}

/// A dart on a sheet.
#[derive(Clone, Debug)]
pub(crate) struct DartThing {
    pub(crate) edge: Key,
    pub(crate) mouth: (f64, f64),
    pub(crate) tip: Point,
    pub(crate) pressed: Option<Toward>,
    pub(crate) length: f64,
    pub(crate) intake: f64,
}

/// A drawn thing.
#[derive(Clone, Debug)]
pub(crate) enum Thing {
    Level(f64),
    Upright(f64),
    Point(Point),
    Line(Rc<Curve>),
    Dart(Rc<DartThing>),
    /// In the dry walk, or of an entry with a fault.
    Unknown(ThingKind),
}

/// The kind of a drawn thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ThingKind {
    Level,
    Upright,
    Point,
    Line,
    Dart,
    Sheet,
    Piece,
    Method,
    Any,
}

impl ThingKind {
    pub(crate) fn shown(self) -> &'static str {
        match self {
            Self::Level => "a level",
            Self::Upright => "an upright",
            Self::Point => "a point",
            Self::Line => "a line",
            Self::Dart => "a dart",
            Self::Sheet => "a sheet",
            Self::Piece => "a piece",
            Self::Method => "a method",
            Self::Any => "anything",
        }
    }
}

impl Thing {
    pub(crate) fn kind(&self) -> ThingKind {
        match self {
            Self::Level(_) => ThingKind::Level,
            Self::Upright(_) => ThingKind::Upright,
            Self::Point(_) => ThingKind::Point,
            Self::Line(_) => ThingKind::Line,
            Self::Dart(_) => ThingKind::Dart,
            Self::Unknown(kind) => *kind,
        }
    }
}

/// Something on a shelf.
#[derive(Clone, Debug)]
pub(crate) struct Held<T> {
    pub(crate) key: Key,
    pub(crate) what: T,
    /// Which freedoms it depends on.
    pub(crate) deps: u64,
    /// Which worked entry made it.
    pub(crate) by: usize,
    /// The questions under which it is there.
    pub(crate) conds: Vec<String>,
    /// The level on which a point was placed, for balance lines.
    pub(crate) level: Option<Key>,
    /// What a level is on the body.
    pub(crate) body: Option<Arc<str>>,
}

/// One shelf: things in the order in which they were made.
#[derive(Clone, Debug)]
pub(crate) struct Shelf<T> {
    pub(crate) all: Vec<Held<T>>,
    index: HashMap<Key, usize>,
}

impl<T> Default for Shelf<T> {
    fn default() -> Self {
        Self {
            all: Vec::new(),
            index: HashMap::new(),
        }
    }
}

impl<T> Shelf<T> {
    pub(crate) fn get(&self, key: &Key) -> Option<&Held<T>> {
        self.index.get(key).map(|i| &self.all[*i])
    }

    /// The dry walk's search: a counted name stands for each of its numbers.
    fn get_loosely(&self, key: &Key) -> Option<&Held<T>> {
        if let Some(found) = self.get(key) {
            return Some(found);
        }
        key.number?;
        self.get(&Key {
            name: key.name.clone(),
            number: Some(ANY),
        })
        .or_else(|| {
            self.all
                .iter()
                .find(|h| h.key.name == key.name && h.key.number.is_some())
        })
    }

    /// Takes away what was put last, down to `count` things.
    pub(crate) fn drop_last(&mut self, count: usize) {
        while self.all.len() > count {
            if let Some(held) = self.all.pop() {
                self.index.remove(&held.key);
            }
        }
    }

    pub(crate) fn put(&mut self, held: Held<T>) {
        match self.index.get(&held.key) {
            Some(i) => self.all[*i] = held,
            None => {
                self.index.insert(held.key.clone(), self.all.len());
                self.all.push(held);
            }
        }
    }
}

/// A role, widths, notches said of an edge of a sheet.
#[derive(Clone, Debug, Default)]
pub(crate) struct Finish {
    pub(crate) role: Option<piece::Role>,
    /// The first width and the changes, along the edge as drawn.
    pub(crate) allowance: Option<(f64, Vec<(f64, f64, piece::How)>)>,
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
    /// The value of the group's counter here.
    pub(crate) counter: Option<(Arc<str>, i64)>,
}

/// A piece, made or (dry) known by its names.
#[derive(Clone, Debug)]
pub(crate) struct PieceMade {
    pub(crate) key: Key,
    pub(crate) piece: Option<Piece>,
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
#[derive(Clone, Debug)]
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
    pub(crate) later: Vec<(usize, &'a Entry, Vec<(Arc<str>, f64)>)>,
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
    pub(crate) put_off: Vec<(usize, &'a Entry, Vec<(Arc<str>, f64)>)>,
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

    // Walking.

    pub(crate) fn items(&mut self, items: &'a [Item]) {
        for item in items {
            if self.exhausted {
                return;
            }
            match item {
                Item::Entry(entry) => self.entry(entry),
                Item::When(when) => self.when(when),
                Item::Use(used) => self.used(used),
                Item::Sheets(group) => self.group(group),
            }
        }
    }

    fn when(&mut self, when: &'a When) {
        self.by = usize::MAX;
        self.deps = 0;
        if !self.dry() {
            if self.scope == 0 && !self.put_off.is_empty() {
                // It may ask after a piece that is not made yet.
                let quiet = core::mem::replace(&mut self.redrawing, true);
                let known = self.ask(&when.ask).is_some();
                self.redrawing = quiet;
                if !known {
                    self.catch_up();
                }
            }
            // A question that cannot be answered spoils what it holds, and is noted where it stands.
            let Some(answer) = self.ask(&when.ask) else {
                return;
            };
            self.structural |= self.deps != 0;
            self.items(if answer { &when.then } else { &when.otherwise });
            return;
        }
        let _ = self.ask(&when.ask);
        match self.static_truth(&when.ask) {
            Truth::Yes => self.items(&when.then),
            Truth::No => self.items(&when.otherwise),
            Truth::Open(parts) => {
                let outer = self.conds.len();
                self.conds.extend(parts.iter().cloned());
                self.items(&when.then);
                self.conds.truncate(outer);
                let not = if parts.len() == 1 {
                    negated(&parts[0])
                } else {
                    format!("not ({})", parts.join(" and "))
                };
                self.conds.push(not);
                self.items(&when.otherwise);
                self.conds.truncate(outer);
            }
        }
    }

    /// Whether the answer is known without a card: `here is back` on a sheet is.
    pub(crate) fn static_truth(&mut self, ask: &Expr) -> Truth {
        match &ask.kind {
            ExprKind::Bracket(inner) => self.static_truth(inner),
            ExprKind::Is(left, word) => {
                if let ExprKind::Named(r) = &left.kind
                    && r.parts.len() == 1
                    && &*r.parts[0].name == "here"
                    && let Some(key) = &self.scopes[self.scope].key
                {
                    return if key.name == word.name {
                        Truth::Yes
                    } else {
                        Truth::No
                    };
                }
                Truth::Open(vec![said::expr(ask)])
            }
            ExprKind::And(a, b) => match (self.static_truth(a), self.static_truth(b)) {
                (Truth::No, _) | (_, Truth::No) => Truth::No,
                (Truth::Yes, other) | (other, Truth::Yes) => other,
                (Truth::Open(mut x), Truth::Open(y)) => {
                    x.extend(y);
                    Truth::Open(x)
                }
            },
            ExprKind::Or(a, b) => match (self.static_truth(a), self.static_truth(b)) {
                (Truth::Yes, _) | (_, Truth::Yes) => Truth::Yes,
                (Truth::No, other) | (other, Truth::No) => other,
                _ => Truth::Open(vec![said::expr(ask)]),
            },
            ExprKind::Not(inner) => match self.static_truth(inner) {
                Truth::Yes => Truth::No,
                Truth::No => Truth::Yes,
                Truth::Open(parts) => Truth::Open(if parts.len() == 1 {
                    vec![negated(&parts[0])]
                } else {
                    vec![format!("not ({})", parts.join(" and "))]
                }),
            },
            _ => Truth::Open(vec![said::expr(ask)]),
        }
    }

    fn group(&mut self, group: &'a Group) {
        if !self.dry() {
            self.early();
        }
        let counters: Vec<Option<i64>> = match &group.each {
            None => vec![None],
            Some(each) => {
                let count = self.count(each);
                if self.dry() {
                    vec![Some(ANY)]
                } else {
                    match count {
                        Some(n) => (1..=n).map(Some).collect(),
                        None => return,
                    }
                }
            }
        };
        let first = self.scopes.len();
        for counter in counters {
            for (column, name) in group.names.iter().enumerate() {
                let locals = self.locals.len();
                if let (Some(each), Some(n)) = (&group.each, counter) {
                    #[expect(clippy::cast_precision_loss, reason = "at most sixty")]
                    self.locals.push((
                        each.counter.clone(),
                        if n == ANY { f64::NAN } else { n as f64 },
                    ));
                    if name.number.is_none() {
                        self.note(
                            Note::new(name.span, "A counted sheet needs its counter in its name.")
                                .hint(format!("Write `{} number {}`.", name.name, each.counter)),
                        );
                    }
                }
                let Some(key) = self.key(name) else {
                    self.locals.truncate(locals);
                    continue;
                };
                let known = self.scopes.iter().any(|s| s.key.as_ref() == Some(&key));
                if known {
                    self.note(Note::new(
                        name.span,
                        format!("There is a sheet `{}` already.", key.shown()),
                    ));
                    self.locals.truncate(locals);
                    continue;
                }
                self.refuse(name, &key);
                self.scopes.push(Scope {
                    key: Some(key),
                    conds: self.conds.clone(),
                    first_of_group: first,
                    counter: group
                        .each
                        .as_ref()
                        .and_then(|e| counter.map(|n| (e.counter.clone(), n))),
                    ..Scope::default()
                });
                self.scope = self.scopes.len() - 1;
                for row in &group.rows {
                    self.cell(row, column);
                }
                if self.dry() {
                    self.columns(group, first);
                }
                self.items(&group.body);
                self.scope = 0;
                self.locals.truncate(locals);
            }
        }
    }

    /// A row is of one kind in all its columns.
    fn columns(&mut self, group: &Group, first: usize) {
        if self.scope == first {
            return;
        }
        for row in &group.rows {
            let Some(key) = self.key(&row.name) else {
                continue;
            };
            let here = self.scopes[self.scope]
                .numbers
                .get(&key)
                .map(|h| h.what.dim);
            let there = self.scopes[first].numbers.get(&key).map(|h| h.what.dim);
            if let (Some(a), Some(b)) = (there, here)
                && !a.fits(b)
            {
                let span = row.name.span;
                self.note(
                    Note::new(
                        span,
                        format!(
                            "`{}` is {} in one column and {} in another.",
                            key.shown(),
                            a.shown(),
                            b.shown()
                        ),
                    )
                    .hint("A row is of one kind."),
                );
            }
        }
    }

    fn cell(&mut self, row: &'a TableRow, column: usize) {
        self.work_one(What::Cell(row, column), self.scope);
    }

    /// Works one cell or entry and remembers it.
    fn work_one(&mut self, what: What<'a>, scope: usize) {
        let span = match &what {
            What::Entry(e) => e.head.span,
            What::Cell(r, _) => r.name.span,
        };
        if !self.spend(1, span) {
            return;
        }
        self.entries += 1;
        if self.entries > MOST_ENTRIES {
            self.budget = 0;
            let _ = self.spend(1, span);
            return;
        }
        self.by = self.worked.len();
        self.deps = 0;
        self.reads.clear();
        self.worked.push(Worked {
            what: what.clone(),
            scope,
            locals: self.locals.clone(),
            deps: 0,
            reads: Vec::new(),
        });
        self.do_one(&what, column_of(&what));
        let by = self.by;
        let reads = core::mem::take(&mut self.reads);
        let one = &mut self.worked[by];
        one.deps = self.deps;
        one.reads = reads;
        self.order.push(Told::Worked(by));
    }

    fn do_one(&mut self, what: &What<'a>, column: usize) {
        match what {
            What::Cell(row, _) => {
                let Some(key) = self.key(&row.name) else {
                    return;
                };
                let num = match row.cells.get(column) {
                    Some(value) => self.value(value, Some(&key)),
                    None => None,
                };
                self.put_number(&row.name, key, num);
            }
            What::Entry(entry) => self.make(entry),
        }
    }

    /// Works again what depends on a freedom, in order; nothing is noted.
    pub(crate) fn redraw(&mut self, slice: &[usize]) {
        let redrawing = core::mem::replace(&mut self.redrawing, true);
        let (scope, locals) = (self.scope, core::mem::take(&mut self.locals));
        for &i in slice {
            let one = &self.worked[i];
            let what = one.what.clone();
            self.scope = one.scope;
            self.locals.clone_from(&one.locals);
            self.by = i;
            self.deps = 0;
            self.reads.clear();
            let span = match &what {
                What::Entry(e) => e.head.span,
                What::Cell(r, _) => r.name.span,
            };
            if !self.spend(1, span) {
                break;
            }
            self.do_one(&what, column_of(&what));
            self.worked[i].deps |= self.deps;
        }
        self.scope = scope;
        self.locals = locals;
        self.redrawing = redrawing;
    }

    fn entry(&mut self, entry: &'a Entry) {
        let rounds: Vec<Option<i64>> = match &entry.each {
            None => vec![None],
            Some(each) => {
                let count = self.count(each);
                // What is finished on counted pieces bears the counter in the piece's name.
                let mut named = entry.head.names.iter().chain(&entry.head.of);
                if named.all(|n| n.number.is_none()) {
                    let span = entry.head.span;
                    self.note(
                        Note::new(span, "A counted entry needs its counter in its name.").hint(
                            format!(
                                "Write `{} number {}`.",
                                entry.head.names.first().map_or("dart", |n| &*n.name),
                                each.counter
                            ),
                        ),
                    );
                }
                if self.dry() {
                    vec![Some(ANY)]
                } else {
                    match count {
                        Some(n) => (1..=n).map(Some).collect(),
                        None => return,
                    }
                }
            }
        };
        for round in rounds {
            let locals = self.locals.len();
            if let (Some(each), Some(n)) = (&entry.each, round) {
                #[expect(clippy::cast_precision_loss, reason = "at most sixty")]
                self.locals.push((
                    each.counter.clone(),
                    if n == ANY { f64::NAN } else { n as f64 },
                ));
            }
            match entry.heading {
                Heading::Values
                | Heading::Levels
                | Heading::Uprights
                | Heading::Points
                | Heading::Lines
                | Heading::Edges
                | Heading::Darts => {
                    if self.scope == 0 && entry.heading != Heading::Values {
                        let span = entry.head.span;
                        let note =
                            Note::new(span, "Drawing is done on a sheet, and there is none here.")
                                .hint("Write `sheets front, back` above it.");
                        // What would be drawn is declared, so that its uses are not noted too.
                        self.note_missing("a sheet", note);
                        self.put_spoilt(&entry.head, entry.heading);
                    } else {
                        if self.scope == 0 {
                            self.early();
                        }
                        self.work_one(What::Entry(entry), self.scope);
                    }
                }
                Heading::Finish | Heading::Pieces if self.dry() => self.make_piece(entry),
                Heading::Finish | Heading::Pieces => {
                    self.put_off.push((self.scope, entry, self.locals.clone()));
                }
                Heading::Seams | Heading::Results | Heading::Checks => {
                    self.later.push((self.scope, entry, self.locals.clone()));
                    if self.dry() {
                        self.look_dry(entry);
                    }
                }
                Heading::Method
                | Heading::Card
                | Heading::Choices
                | Heading::Use
                | Heading::Sheets => {}
            }
            self.locals.truncate(locals);
        }
    }

    /// Works an entry of pieces, or of their finish.
    fn make_piece(&mut self, entry: &'a Entry) {
        self.by = usize::MAX;
        self.deps = 0;
        if entry.heading == Heading::Finish && !self.dry() {
            let (scope, locals) = (self.scope, self.locals.clone());
            self.order.push(Told::Finish {
                entry,
                scope,
                locals,
            });
        }
        match (entry.heading, self.scope) {
            (Heading::Pieces, _) => self.piece_entry(entry),
            (_, 0) => self.finish_pieces(entry),
            _ => self.finish_sheet(entry),
        }
    }

    /// Makes the pieces and finishes that were put off, in order.
    ///
    /// Pieces wait until the sheets are trued, so that each is made once.
    pub(crate) fn catch_up(&mut self) {
        let waiting = core::mem::take(&mut self.put_off);
        let (scope, locals) = (self.scope, core::mem::take(&mut self.locals));
        for (at, entry, counters) in waiting {
            self.scope = at;
            self.locals = counters;
            self.make_piece(entry);
        }
        self.scope = scope;
        self.locals = locals;
    }

    /// What comes after pieces may stand on them: they are made now, and anew after truing.
    pub(crate) fn early(&mut self) {
        if self
            .put_off
            .iter()
            .any(|(_, e, _)| e.heading == Heading::Pieces)
        {
            self.structural = true;
            self.catch_up();
        }
    }

    /// How far an entry is counted.
    fn count(&mut self, each: &crate::tree::Each) -> Option<i64> {
        self.deps = 0;
        let num = self.sum(&each.upto)?;
        self.structural |= self.deps != 0;
        if !Dim::Number.fits(num.dim) {
            self.note(Note::new(
                each.upto.span,
                format!("I count up to a number, and this is {}.", num.dim.shown()),
            ));
            return None;
        }
        if self.dry() {
            return Some(1);
        }
        let whole = num.v.round();
        if !num.v.is_finite() || (num.v - whole).abs() > 1e-6 {
            self.note(
                Note::new(
                    each.upto.span,
                    format!("I can't count up to {}.", crate::worked::plain(num.v, 3)),
                )
                .hint("Use `next whole of` or `whole part of`."),
            );
            return None;
        }
        #[expect(clippy::cast_possible_truncation, reason = "checked against the most")]
        let n = whole.clamp(-1.0, 1e6) as i64;
        if n > MOST_ROUNDS {
            self.note(Note::new(
                each.upto.span,
                format!("{n} rounds are more than I count; {MOST_ROUNDS} is the most."),
            ));
            return None;
        }
        Some(n.max(0))
    }

    // Names.

    /// The name with its number worked out.
    pub(crate) fn key(&mut self, name: &RefName) -> Option<Key> {
        let number = match &name.number {
            None => None,
            Some(Number::Figure(n)) => Some(*n),
            Some(Number::Word(word)) => {
                let r = Ref {
                    parts: vec![RefName {
                        name: word.clone(),
                        number: None,
                        span: name.span,
                    }],
                    span: name.span,
                };
                let expr = Expr {
                    kind: ExprKind::Named(r),
                    span: name.span,
                };
                Some(self.whole(&expr)?)
            }
            Some(Number::Sum(sum)) => Some(self.whole(sum)?),
        };
        Some(Key {
            name: name.name.clone(),
            number,
        })
    }

    fn whole(&mut self, expr: &Expr) -> Option<i64> {
        let num = self.sum(expr)?;
        if !Dim::Number.fits(num.dim) {
            self.note(Note::new(
                expr.span,
                format!(
                    "After `number` I want a count, and this is {}.",
                    num.dim.shown()
                ),
            ));
            return None;
        }
        if self.dry() || num.v.is_nan() {
            return Some(ANY);
        }
        #[expect(clippy::cast_possible_truncation, reason = "clamped")]
        let n = num.v.round().clamp(-1e9, 1e9) as i64;
        Some(n)
    }

    /// Names that are taken, or that could not be told from something else.
    fn refuse(&mut self, name: &RefName, key: &Key) {
        if !self.dry() {
            return;
        }
        if key.number.is_none() && ["here", "yes", "no"].contains(&&*key.name) {
            self.note(
                Note::new(name.span, format!("`{}` is taken.", key.name))
                    .hint("Choose another name."),
            );
        }
        if let Some((first, last)) = key.name.split_once(" of ") {
            let last = last.rsplit(" of ").next().unwrap_or(last);
            let owner = self
                .scopes
                .iter()
                .filter_map(|s| s.key.as_ref())
                .chain(self.pieces.iter().map(|p| &p.key))
                .any(|k| &*k.name == last);
            let function = crate::phrase::FUNCTIONS.iter().any(|f| f.0 == first)
                || crate::vocabulary::SHARES.iter().any(|s| s.0 == first)
                || ["length", "start", "end", "tip"].contains(&first);
            if owner {
                self.note(
                    Note::new(
                        name.span,
                        format!("`{}` would mean what belongs to `{last}`.", key.name),
                    )
                    .hint("Choose a name without `of`."),
                );
            } else if function {
                self.note(
                    Note::new(name.span, format!("`{first} of` is reckoned with."))
                        .hint("Choose a name without `of`."),
                );
            }
        }
    }

    pub(crate) fn put_number(&mut self, name: &RefName, key: Key, num: Option<Num>) {
        let num = num.unwrap_or(Num {
            v: f64::NAN,
            dim: Dim::Any,
        });
        let scope = self.scope;
        let mut conds = self.conds.clone();
        if !self.redrawing {
            self.refuse(name, &key);
            if let Some(before) = self.scopes[scope].numbers.get(&key).cloned() {
                if self.dry() && other_side(&before.conds, &conds) {
                    conds = common(&before.conds, &conds);
                    let dim = before.what.dim;
                    if !dim.fits(num.dim) {
                        self.note(Note::new(
                            name.span,
                            format!(
                                "`{}` is {} on one side and {} on the other.",
                                key.shown(),
                                dim.shown(),
                                num.dim.shown()
                            ),
                        ));
                    }
                } else {
                    self.twice(name, &key);
                    // Which of the two is meant can't be told, so its uses are not judged.
                    if self.dry() {
                        let any = Held {
                            what: Num {
                                v: f64::NAN,
                                dim: Dim::Any,
                            },
                            ..before.clone()
                        };
                        self.scopes[scope].numbers.put(any);
                    }
                    return;
                }
            }
        }
        let held = Held {
            key,
            what: num,
            deps: self.deps,
            by: self.by,
            conds,
            level: None,
            body: None,
        };
        self.scopes[scope].numbers.put(held);
    }

    fn twice(&mut self, name: &RefName, key: &Key) {
        if self.dry() {
            self.note(
                Note::new(name.span, format!("There is a `{}` already.", key.shown()))
                    .hint("One name, one thing: choose another."),
            );
        }
    }

    pub(crate) fn put_drawn(
        &mut self,
        name: &RefName,
        key: Key,
        thing: Thing,
        level: Option<Key>,
        body: Option<Arc<str>>,
    ) {
        let scope = self.scope;
        let mut conds = self.conds.clone();
        if !self.redrawing {
            self.refuse(name, &key);
            if let Some(before) = self.scopes[scope].drawn.get(&key).cloned() {
                if self.dry() && other_side(&before.conds, &conds) {
                    conds = common(&before.conds, &conds);
                } else {
                    self.twice(name, &key);
                    if self.dry() {
                        let any = Held {
                            what: Thing::Unknown(ThingKind::Any),
                            ..before.clone()
                        };
                        self.scopes[scope].drawn.put(any);
                    }
                    return;
                }
            }
        }
        let held = Held {
            key,
            what: thing,
            deps: self.deps,
            by: self.by,
            conds,
            level,
            body,
        };
        self.scopes[scope].drawn.put(held);
    }

    /// Whatever was made with a fault is still named, and fits everywhere.
    pub(crate) fn put_spoilt(&mut self, head: &Head, heading: Heading) {
        for name in &head.names {
            let Some(key) = self.key(name) else { continue };
            match heading {
                Heading::Values | Heading::Results => self.put_number(name, key, None),
                _ => {
                    if matches!(heading, Heading::Edges) {
                        let scope = self.scope;
                        if !self.scopes[scope].edges.contains(&key) {
                            self.scopes[scope].edges.push(key.clone());
                        }
                    }
                    let kind = match heading {
                        Heading::Levels => ThingKind::Level,
                        Heading::Uprights => ThingKind::Upright,
                        Heading::Points => ThingKind::Point,
                        Heading::Lines | Heading::Edges => ThingKind::Line,
                        Heading::Darts => ThingKind::Dart,
                        _ => ThingKind::Any,
                    };
                    self.put_drawn(name, key, Thing::Unknown(kind), None, None);
                }
            }
        }
    }

    /// Marks that something was read.
    pub(crate) fn read_mark(&mut self, deps: u64, by: usize) {
        self.deps |= deps;
        if by != usize::MAX && !self.dry() && !self.reads.contains(&by) {
            self.reads.push(by);
        }
    }

    pub(crate) fn scope_number(&self, scope: usize, key: &Key) -> Option<&Held<Num>> {
        let shelf = &self.scopes[scope].numbers;
        if self.dry() {
            shelf.get_loosely(key)
        } else {
            shelf.get(key)
        }
    }

    pub(crate) fn scope_drawn(&self, scope: usize, key: &Key) -> Option<&Held<Thing>> {
        let shelf = &self.scopes[scope].drawn;
        if self.dry() {
            shelf.get_loosely(key)
        } else {
            shelf.get(key)
        }
    }

    /// A thing that is there only sometimes may be used only under the same question.
    pub(crate) fn conditions(&mut self, conds: &[String], span: Span, what: &str) {
        if !self.dry() {
            return;
        }
        let missing: Vec<&String> = conds.iter().filter(|c| !self.conds.contains(c)).collect();
        if let Some(first) = missing.first() {
            let question = (*first).clone();
            let message = match question.strip_prefix("not ") {
                Some(_) => format!("`{what}` is not always there: only when {question}."),
                None => format!("`{what}` is there only when {question}."),
            };
            let note = Note::new(span, message).hint("Use it under the same question.");
            self.note_missing(&format!("{what} only when {question}"), note);
        }
    }

    /// A note on something that is not there: at its first use alone, for it is one slip.
    pub(crate) fn note_missing(&mut self, name: &str, note: Note) {
        if self.redrawing || !self.missed.insert(name.into()) {
            return;
        }
        // A line without its name was noted: this is what it made.
        if !self.missed.remove(NAMELESS) {
            self.note(note);
        }
    }

    /// The sheet or piece or method of this name, and what is there.
    pub(crate) fn owner(&mut self, parts: &[RefName]) -> Option<Owner> {
        let mut owner = Owner::default();
        let (last, before) = parts.split_last()?;
        let key = self.key(last)?;
        if before.is_empty() {
            owner.sheet = self.sheet_of(&key);
            owner.piece = self.piece_of(&key);
            if owner.sheet.is_none() && owner.piece.is_none() {
                if let Some(i) = self.subs.iter().position(|s| s.name == key) {
                    owner.sub = Some(i);
                    owner.whole = true;
                    return Some(owner);
                }
                return None;
            }
            return Some(owner);
        }
        if before.len() == 1
            && let Some(i) = self.subs.iter().position(|s| s.name == key)
        {
            let inner = self.key(&before[0])?;
            let walker = &self.subs[i].walker;
            owner.sub = Some(i);
            owner.sheet = walker.sheet_of(&inner);
            owner.piece = walker.piece_of(&inner);
            if owner.sheet.is_some() || owner.piece.is_some() {
                return Some(owner);
            }
        }
        None
    }

    pub(crate) fn sheet_of(&self, key: &Key) -> Option<usize> {
        self.scopes
            .iter()
            .position(|s| s.key.as_ref() == Some(key))
            .or_else(|| self.loosely(self.scopes.iter().map(|s| s.key.as_ref()), key))
    }

    pub(crate) fn piece_of(&self, key: &Key) -> Option<usize> {
        self.pieces
            .iter()
            .position(|p| p.key == *key)
            .or_else(|| self.loosely(self.pieces.iter().map(|p| Some(&p.key)), key))
    }

    fn loosely<'k>(
        &self,
        mut all: impl Iterator<Item = Option<&'k Key>>,
        key: &Key,
    ) -> Option<usize> {
        if !self.dry() || key.number.is_none() {
            return None;
        }
        all.position(|k| k.is_some_and(|k| k.name == key.name && k.number.is_some()))
    }

    /// The draft of an owner: this one, or that of a used method.
    pub(crate) fn draft_of(&self, owner: &Owner) -> &Walker<'a> {
        match owner.sub {
            Some(i) => &self.subs[i].walker,
            None => self,
        }
    }

    /// A number by its name, wherever it is.
    pub(crate) fn find_number(&mut self, r: &Ref) -> Option<Found<Num>> {
        let n = r.parts.len();
        for cut in (0..n).rev() {
            // `cut` is the last part that belongs to the name itself; what follows is the owner.
            let (own, owners) = r.parts.split_at(cut + 1);
            let key = self.joined(own)?;
            if owners.is_empty() {
                if n == 1
                    && key.number.is_none()
                    && let Some((_, v)) = self.locals.iter().rev().find(|(w, _)| *w == key.name)
                {
                    return Some(Found {
                        what: Num {
                            v: *v,
                            dim: Dim::Number,
                        },
                        deps: 0,
                        by: usize::MAX,
                        conds: Vec::new(),
                        ours: false,
                    });
                }
                for scope in self.where_to_look() {
                    if let Some(held) = self.scope_number(scope, &key) {
                        return Some(Found {
                            what: held.what,
                            deps: held.deps,
                            by: held.by,
                            conds: held.conds.clone(),
                            ours: true,
                        });
                    }
                }
                continue;
            }
            if let Some(owner) = self.owner(owners) {
                let sub = owner.sub.is_some();
                let found = {
                    let draft = self.draft_of(&owner);
                    let place = match (owner.whole, owner.sheet, owner.piece) {
                        (true, ..) => Some((None, 0)),
                        (_, Some(scope), _) => Some((None, scope)),
                        (_, None, Some(piece)) => draft.pieces[piece].sheet,
                        _ => None,
                    };
                    place.and_then(|(inner, scope)| {
                        let draft = match inner {
                            Some(i) => &draft.subs[i].walker,
                            None => draft,
                        };
                        draft
                            .scope_number(scope, &key)
                            .map(|h| (h.what, h.deps, h.by, h.conds.clone()))
                    })
                };
                if let Some((what, deps, by, conds)) = found {
                    let what = if sub { self.adopt(what, &owner) } else { what };
                    let (deps, by) = if sub { (0, usize::MAX) } else { (deps, by) };
                    return Some(Found {
                        what,
                        deps,
                        by,
                        conds: if sub { Vec::new() } else { conds },
                        ours: !sub,
                    });
                }
            }
        }
        None
    }

    /// A word of a used method's choice, as a word here.
    fn adopt(&mut self, num: Num, owner: &Owner) -> Num {
        let Dim::Word(list) = num.dim else { return num };
        let words = self
            .draft_of(owner)
            .words
            .get(list)
            .cloned()
            .unwrap_or_default();
        let place = self
            .words
            .iter()
            .position(|w| *w == words)
            .unwrap_or_else(|| {
                self.words.push(words);
                self.words.len() - 1
            });
        Num {
            dim: Dim::Word(place),
            ..num
        }
    }

    /// Names with `of` inside, in one.
    pub(crate) fn joined(&mut self, parts: &[RefName]) -> Option<Key> {
        if let [one] = parts {
            return self.key(one);
        }
        let mut number = None;
        let mut said: Vec<&str> = Vec::new();
        for part in parts {
            said.push(&part.name);
            if part.number.is_some() {
                number = self.key(part)?.number;
            }
        }
        Some(Key {
            name: said.join(" of ").into(),
            number,
        })
    }

    /// The sheet in hand (or that of the piece in hand), then the method.
    pub(crate) fn where_to_look(&self) -> Vec<usize> {
        let mut all = Vec::with_capacity(2);
        if self.scope != 0 {
            all.push(self.scope);
        } else if let Some(PieceMade {
            sheet: Some((None, scope)),
            ..
        }) = &self.in_hand
        {
            all.push(*scope);
        }
        all.push(0);
        all
    }

    // Hints.

    /// What to say of a name that is not there.
    pub(crate) fn no_such(&mut self, r: &Ref, wants_number: bool) {
        let said = said::reference(r);
        let first = &r.parts[0];
        let mut note = Note::new(r.span, format!("There is no `{said}`."));
        if r.parts.len() > 1 {
            // Perhaps the owner is wrong, perhaps what belongs to it.
            let owners = &r.parts[1..];
            match self.owner(owners) {
                None => {
                    let known: Vec<String> = self.owners();
                    let last = &owners[owners.len() - 1].name;
                    if let Some(meant) = nearest(last, known.iter().map(String::as_str)) {
                        note = Note::new(
                            owners[owners.len() - 1].span,
                            format!("There is no sheet or piece `{last}`."),
                        )
                        .hint(format!("Did you mean `{meant}`?"));
                    } else {
                        note = Note::new(
                            owners[owners.len() - 1].span,
                            format!("There is no sheet or piece `{last}`."),
                        );
                    }
                }
                Some(owner) => {
                    let draft = self.draft_of(&owner);
                    let faulty = owner
                        .piece
                        .is_some_and(|p| draft.pieces[p].spoilt && draft.pieces[p].sheet.is_none());
                    if faulty {
                        return;
                    }
                    let whose = said::names(owners);
                    let known = self.names_of(&owner, wants_number);
                    let what = if wants_number {
                        "no number"
                    } else {
                        "nothing called"
                    };
                    note = Note::new(
                        first.span,
                        format!("`{whose}` has {what} `{}`.", first.name),
                    );
                    if let Some(meant) = nearest(&first.name, known.iter().map(String::as_str)) {
                        note = Note::new(first.span, format!("`{whose}` has no `{}`.", first.name))
                            .hint(format!("Did you mean `{meant}`?"));
                    }
                }
            }
            // The same name is noted at its first use alone: it is one slip.
            let key = if note.span == first.span {
                &first.name
            } else {
                &owners[owners.len() - 1].name
            };
            let key = key.to_string();
            self.note_missing(&key, note);
            return;
        }
        let name = &first.name;
        // What a piece has whose sheet is not there can't be told.
        let homeless = self
            .in_hand
            .as_ref()
            .is_some_and(|hand| hand.spoilt && hand.sheet.is_none());
        if homeless || self.redrawing || self.missed.contains(&**name) {
            return;
        }
        self.missed.insert(name.clone());
        if self.missed.remove(NAMELESS) {
            return;
        }
        let wanted = self.names_here(wants_number);
        let other = self.names_here(!wants_number);
        if let Some(meant) = nearest(name, wanted.iter().map(String::as_str)) {
            note = note.hint(format!("Did you mean `{meant}`?"));
        } else if let Some(meant) =
            nearest(name, other.iter().map(String::as_str)).filter(|m| m != &&**name)
        {
            note = note.hint(format!("Did you mean `{meant}`?"));
        } else if let Some(owner) = self.elsewhere(name, wants_number) {
            note = note.hint(format!("It is on {owner}: write `{name} of {owner}`."));
        } else if let Some(known) = longest_start(name, wanted.iter().chain(&other)) {
            note = note.hint(format!(
                "I know `{known}`. Is a comma or a sign missing after it?"
            ));
        } else if let Some(owner) = known_below(self, name) {
            note = note.hint(owner);
        }
        self.note(note);
    }

    fn owners(&self) -> Vec<String> {
        let sheets = self
            .scopes
            .iter()
            .filter_map(|s| s.key.as_ref())
            .map(Key::shown);
        let pieces = self.pieces.iter().map(|p| p.key.shown());
        let subs = self.subs.iter().map(|s| s.name.shown());
        sheets.chain(pieces).chain(subs).collect()
    }

    fn names_of(&self, owner: &Owner, numbers: bool) -> Vec<String> {
        let draft = self.draft_of(owner);
        let mut all = Vec::new();
        if let Some(scope) = owner.sheet {
            all.extend(names_on(&draft.scopes[scope], numbers));
        }
        if let Some(piece) = owner.piece {
            all.extend(draft.pieces[piece].edges.iter().cloned());
        }
        all
    }

    fn names_here(&self, numbers: bool) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        if numbers {
            all.extend(self.locals.iter().map(|(w, _)| w.to_string()));
        } else {
            if let Some(piece) = &self.in_hand {
                all.extend(piece.edges.iter().cloned());
            }
            all.extend(self.owners());
        }
        for scope in self.where_to_look() {
            all.extend(names_on(&self.scopes[scope], numbers));
        }
        all
    }

    fn elsewhere(&self, name: &str, numbers: bool) -> Option<String> {
        self.scopes.iter().enumerate().find_map(|(i, scope)| {
            let key = scope.key.as_ref()?;
            (i != self.scope && names_on(scope, numbers).iter().any(|n| n == name))
                .then(|| key.shown())
        })
    }
}

/// A name that comes only later in the method.
fn known_below(walker: &Walker<'_>, name: &str) -> Option<String> {
    fn has(items: &[Item], name: &str) -> bool {
        items.iter().any(|item| match item {
            Item::Entry(e) => e.head.names.iter().any(|n| &*n.name == name),
            Item::When(w) => has(&w.then, name) || has(&w.otherwise, name),
            Item::Sheets(g) => {
                g.rows.iter().any(|r| &*r.name.name == name)
                    || g.names.iter().any(|n| &*n.name == name)
                    || has(&g.body, name)
            }
            Item::Use(_) => false,
        })
    }
    (walker.method.choices.iter().any(|c| &*c.name.name == name) || has(&walker.method.body, name))
        .then(|| "It comes only further down: a thing is written above its first use.".to_owned())
}

fn names_on(scope: &Scope, numbers: bool) -> Vec<String> {
    if numbers {
        scope.numbers.all.iter().map(|h| h.key.shown()).collect()
    } else {
        scope.drawn.all.iter().map(|h| h.key.shown()).collect()
    }
}

/// The longest known name with which the words begin.
fn longest_start<'n>(said: &str, known: impl Iterator<Item = &'n String>) -> Option<&'n String> {
    known
        .filter(|k| {
            said.strip_prefix(k.as_str())
                .is_some_and(|rest| rest.starts_with(' '))
        })
        .max_by_key(|k| k.len())
}

fn column_of(what: &What<'_>) -> usize {
    match what {
        What::Cell(_, column) => *column,
        What::Entry(_) => 0,
    }
}

/// The opposite of a question, as it is kept.
fn negated(part: &str) -> String {
    match part.strip_prefix("not ") {
        Some(rest) => rest.to_owned(),
        None => format!("not {part}"),
    }
}

/// Whether two sets of questions can't both be answered yes because one holds what the other denies.
fn other_side(a: &[String], b: &[String]) -> bool {
    a.iter()
        .any(|x| b.contains(&negated(x)) || b.iter().any(|y| negated(y) == *x))
        || b.iter().any(|y| denies(y, a))
        || a.iter().any(|x| denies(x, b))
}

/// `not (p and q)` denies a set that holds both.
fn denies(not: &str, set: &[String]) -> bool {
    not.strip_prefix("not (")
        .and_then(|r| r.strip_suffix(')'))
        .is_some_and(|all| all.split(" and ").all(|p| set.iter().any(|s| s == p)))
}

/// The questions that hold either way.
pub(crate) fn common(a: &[String], b: &[String]) -> Vec<String> {
    a.iter().filter(|x| b.contains(x)).cloned().collect()
}

/// Whether a question is answered without a card.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Truth {
    Yes,
    No,
    Open(Vec<String>),
}

/// Whose a thing is.
#[derive(Clone, Debug, Default)]
pub(crate) struct Owner {
    pub(crate) sub: Option<usize>,
    pub(crate) sheet: Option<usize>,
    pub(crate) piece: Option<usize>,
    /// The used method itself.
    pub(crate) whole: bool,
}

/// Something found by name.
#[derive(Clone, Debug)]
pub(crate) struct Found<T> {
    pub(crate) what: T,
    pub(crate) deps: u64,
    pub(crate) by: usize,
    pub(crate) conds: Vec<String>,
    pub(crate) ours: bool,
}

/// The value of an entry, if it says one.
pub(crate) fn value_of(entry: &Entry) -> Option<&Value> {
    match &entry.says {
        Says::Value(value) => Some(value),
        _ => None,
    }
}
