//! Walks a method from top to bottom: once dry, for kinds and names, or live, for a card.
//!
//! The same code does both. The dry walk visits every column and both sides of every block, and holds
//! kinds in place of numbers; the live walk follows what is true.

use crate::note::Note;
use crate::tree::{Entry, Group, Heading, Item, Says, TableRow, Value, When};

use crate::question::negated;
pub(crate) use crate::question::{Truth, common};
pub(crate) use crate::seek::{Found, Owner};
pub(crate) use crate::shelf::{ANY, DartThing, Dim, Held, Key, Num, Thing, ThingKind};
pub(crate) use crate::state::{
    Finish, Freedom, MOST_ENTRIES, MOST_ROUNDS, MOST_STRETCHES, PieceMade, Purpose, Scope, Setting,
    Sub, Told, Walker, What, Worked,
};

impl<'a> Walker<'a> {
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
            what,
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
            let what = one.what;
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
}

fn column_of(what: &What<'_>) -> usize {
    match what {
        What::Cell(_, column) => *column,
        What::Entry(_) => 0,
    }
}

/// The value of an entry, if it says one.
pub(crate) fn value_of(entry: &Entry) -> Option<&Value> {
    match &entry.says {
        Says::Value(value) => Some(value),
        _ => None,
    }
}
