//! Tells the steps of a worked draft as a teacher says them.
//!
//! Sentences are made from the step's own structure, by the forms in the vocabulary's table, with this
//! client's numbers in her unit. Each step is told in two lengths from one record: a whole sentence,
//! and few words for the hand sheet. Nothing is drawn here; where a number is wanted it is asked of
//! the walk, put back to where the step was worked.

mod agreeing;
mod cutting;
mod figures;
mod finishing;
mod marks;
mod mentions;
mod names;
mod places;
mod sheets;
mod strokes;
mod sums;
mod values;

use std::collections::VecDeque;

use crate::tree::{Entry, Ref, Says};
use crate::truing::Trued;
use crate::walk::{Key, PieceMade, Told, Walker, What};
use crate::worked::{Outcome, Step, Telling, TruingDone, Worked};
use cutting::ITSELF;
pub(crate) use figures::in_a_row;
use figures::sentence;
use sheets::{Locals, Run};

/// How fully something is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Style {
    /// As a teacher says it: the formula, then the figure.
    Full,
    /// Within another sentence: the figure, the formula behind it in brackets.
    Passing,
    /// As a teacher says it, the figure alone.
    Plain,
    /// For the hand sheet: figures and names.
    Short,
    /// Within a sentence of the hand sheet.
    Brief,
}

impl Style {
    /// Which of a row's forms it takes.
    fn form(self) -> Form {
        match self {
            Self::Full | Self::Plain => Form::Teaching,
            Self::Passing | Self::Brief => Form::Passing,
            Self::Short => Form::Short,
        }
    }

    /// Whether it is for the hand sheet.
    fn few(self) -> bool {
        matches!(self, Self::Short | Self::Brief)
    }

    /// The style of what stands within a sentence of this one.
    fn within(self) -> Self {
        match self {
            Self::Full | Self::Plain | Self::Passing => Self::Passing,
            Self::Short | Self::Brief => Self::Brief,
        }
    }
}

/// The three forms of a row in the vocabulary.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    Teaching,
    Passing,
    Short,
}

/// Tells a worked draft.
struct Teller<'w, 'a> {
    w: &'w mut Walker<'a>,
    /// How many entries speak of each worked value; more than one counts as two.
    users: Vec<u8>,
    /// Which worked values, rulings and drawn things were told.
    told: Vec<bool>,
    /// Values told on this group of sheets, by name and number.
    known: Vec<(String, f64)>,
    /// Sheets of this group that were told and differ from one another.
    kinds: Vec<usize>,
    run: Option<Run>,
    /// Entries whose reason was given.
    reasons: Vec<usize>,
    steps: Vec<Step>,
    /// Values to be told before the step in hand.
    before: Vec<Step>,
    number: u32,
    /// Whose draft this is: empty, or ` of block`.
    of: String,
    stage: String,
    /// The reason of the pieces that are gathered.
    why: Option<String>,
    /// The worked entry in hand.
    here: usize,
    depth: u8,
    /// What the marks of the few words stand for.
    marks: marks::Marks,
    /// Lines of the text that the step in hand tells.
    lines: Vec<u32>,
}

/// Where the walk stood.
struct Stood {
    scope: usize,
    locals: Locals,
    in_hand: Option<PieceMade>,
}

/// The steps of the draft, in order.
pub(crate) fn steps(walker: &mut Walker<'_>, truings: &[TruingDone]) -> Vec<Step> {
    let quiet = core::mem::replace(&mut walker.redrawing, true);
    let mut teller = Teller::new(walker, 0, String::new());
    teller.all(truings, None);
    let steps = core::mem::take(&mut teller.steps);
    walker.redrawing = quiet;
    steps
}

/// The corrections of the fittings as the last steps, and what truing again did after them.
pub(crate) fn corrections(out: &mut Worked, steps: bool) {
    if !steps {
        return;
    }
    let mut number = out.steps.iter().filter_map(|s| s.number).max().unwrap_or(0);
    let mut said: Vec<(String, Option<String>)> = Vec::new();
    for done in out
        .corrections
        .iter()
        .filter(|d| d.outcome == Outcome::Made)
    {
        let words = done.correction.words.trim();
        said.push((
            done.sentence.clone(),
            (!words.is_empty()).then(|| words.to_owned()),
        ));
    }
    said.extend(
        out.retrued
            .iter()
            .filter(|r| r.told)
            .map(|r| (r.sentence.clone(), None)),
    );
    for (sentence, why) in said {
        number += 1;
        out.steps.push(Step {
            number: Some(number),
            stage: "corrections".into(),
            few: vec![Telling::Words(sentence.clone())],
            short: sentence.clone(),
            sentence,
            why,
            draws: Vec::new(),
            pieces: Vec::new(),
            lines: Vec::new(),
        });
    }
}

/// What truing did, as a sentence.
pub(crate) fn truing_sentence<'a>(
    walker: &mut Walker<'a>,
    one: &Trued<'a>,
    moved: &str,
    met: bool,
) -> String {
    let quiet = core::mem::replace(&mut walker.redrawing, true);
    let said = Teller::new(walker, 0, String::new()).truing(one, met);
    walker.redrawing = quiet;
    said.unwrap_or_else(|| agreeing::plain_truing(walker, one, moved, met))
}

/// What another method takes of a used one.
#[derive(Debug, Default)]
struct Wanted {
    pieces: Vec<Key>,
    sheets: Vec<Key>,
}

impl<'w, 'a> Teller<'w, 'a> {
    fn new(w: &'w mut Walker<'a>, number: u32, of: String) -> Self {
        let told = vec![false; w.worked.len()];
        Self {
            w,
            users: Vec::new(),
            told,
            known: Vec::new(),
            kinds: Vec::new(),
            run: None,
            reasons: Vec::new(),
            steps: Vec::new(),
            before: Vec::new(),
            number,
            of,
            stage: String::new(),
            why: None,
            here: usize::MAX,
            depth: 0,
            marks: marks::Marks::default(),
            lines: Vec::new(),
        }
    }

    /// Puts the walk where a worked value stands.
    fn stand(&mut self, by: usize) -> Stood {
        let one = &self.w.worked[by];
        let (scope, locals) = (one.scope, one.locals.clone());
        Stood {
            scope: core::mem::replace(&mut self.w.scope, scope),
            locals: core::mem::replace(&mut self.w.locals, locals),
            in_hand: self.w.in_hand.take(),
        }
    }

    fn stand_back(&mut self, stood: Stood) {
        self.w.scope = stood.scope;
        self.w.locals = stood.locals;
        self.w.in_hand = stood.in_hand;
    }

    /// Counts which values several entries speak of; the same entry on two sheets is one.
    fn count_users(&mut self) {
        let mut last = vec![0_usize; self.w.worked.len()];
        self.users = vec![0; self.w.worked.len()];
        for one in &self.w.worked {
            let reader = match &one.what {
                What::Entry(entry) => core::ptr::from_ref(*entry).addr(),
                What::Cell(row, _) => core::ptr::from_ref(*row).addr(),
            };
            for &read in &one.reads {
                if last.get(read).is_some_and(|l| *l != reader) {
                    last[read] = reader;
                    self.users[read] = self.users[read].saturating_add(1);
                }
            }
        }
    }

    /// Everything, in order; of a used method only what is wanted of it.
    fn all(&mut self, truings: &[TruingDone], wanted: Option<&Wanted>) {
        self.count_users();
        let order = core::mem::take(&mut self.w.order);
        let mut lists: Vec<Vec<usize>> = vec![Vec::new(); self.w.scopes.len()];
        for told in &order {
            if let Told::Worked(i) = told
                && let Some(list) = lists.get_mut(self.w.worked[*i].scope)
            {
                list.push(*i);
            }
        }
        // A piece is there only from where it is made: until then its edges are the sheet's.
        let mut stash: VecDeque<PieceMade> = core::mem::take(&mut self.w.pieces).into();
        let needed_pieces = wanted.map(|w| with_their_models(&stash, w));
        let needs = |key: &Key| needed_pieces.as_ref().is_none_or(|all| all.contains(key));
        let needed_sheets: Option<Vec<usize>> = wanted.map(|w| {
            let of_pieces = stash
                .iter()
                .filter(|p| needs(&p.key))
                .filter_map(|p| p.sheet.filter(|s| s.0.is_none()).map(|s| s.1));
            let named = w.sheets.iter().filter_map(|k| self.w.sheet_of(k));
            of_pieces.chain(named).collect()
        });
        let last_sheet = order
            .iter()
            .rposition(|t| matches!(t, Told::Worked(i) if self.w.worked[*i].scope != 0));
        let first_piece = order.iter().position(|t| matches!(t, Told::Piece { .. }));
        // Seams are walked when all is drawn and nothing is traced off yet.
        let mut true_before = first_piece.filter(|p| last_sheet.is_none_or(|l| l < *p));
        let mut sheets_told = vec![false; self.w.scopes.len()];
        let mut finishes: Vec<finishing::Finished<'a>> = Vec::new();
        let mut cut: Vec<(usize, Key, String, String)> = Vec::new();
        for (place, told) in order.iter().enumerate() {
            if true_before == Some(place) {
                self.flush();
                self.truings(truings);
            }
            match told {
                Told::Worked(i) => {
                    let scope = self.w.worked[*i].scope;
                    if scope == 0 || core::mem::replace(&mut sheets_told[scope], true) {
                        continue;
                    }
                    self.cut_off(&mut cut);
                    if needed_sheets
                        .as_ref()
                        .is_none_or(|all| all.contains(&scope))
                    {
                        let list = core::mem::take(&mut lists[scope]);
                        self.sheet(scope, &list);
                        self.w.scope = 0;
                        self.w.locals.clear();
                    }
                }
                Told::Piece {
                    entry,
                    pieces,
                    locals,
                } => {
                    self.flush();
                    self.stage = format!("pieces{}", self.of);
                    self.w.locals.clone_from(locals);
                    self.here = usize::MAX;
                    for (which, made) in pieces.iter().enumerate() {
                        if let Some(piece) = stash.pop_front() {
                            self.w.pieces.push(piece);
                        }
                        self.one_piece(entry, *made, which, &needs, &mut cut);
                    }
                    self.w.locals.clear();
                }
                Told::Sub(i) => {
                    self.flush();
                    self.cut_off(&mut cut);
                    self.used(*i, &order);
                }
                Told::Finish {
                    entry,
                    scope,
                    locals,
                } => finishes.push((entry, *scope, locals.clone())),
            }
        }
        self.flush();
        self.cut_off(&mut cut);
        self.w.pieces.extend(stash);
        if true_before.take().is_none() {
            self.truings(truings);
        }
        self.finishes(&finishes, &needs);
        self.w.order = order;
    }

    /// One piece; alike ones of one entry are gathered and told together.
    fn one_piece(
        &mut self,
        entry: &'a Entry,
        made: usize,
        which: usize,
        needs: &dyn Fn(&Key) -> bool,
        cut: &mut Vec<(usize, Key, String, String)>,
    ) {
        let Some(key) = self.w.pieces.get(made).map(|p| p.key.clone()) else {
            return;
        };
        if !needs(&key) {
            return;
        }
        self.w.reads.clear();
        let full = self.piece(Style::Full, entry, made, which);
        let short = self.piece(Style::Short, entry, made, which);
        let (Some(full), Some(short)) = (full, short) else {
            return;
        };
        let place = core::ptr::from_ref(entry).addr();
        let fresh = cut
            .last()
            .is_some_and(|(p, _, f, _)| *p != place || *f != full)
            || !self.before.is_empty();
        if fresh {
            let before = core::mem::take(&mut self.before);
            self.cut_off(cut);
            self.steps.extend(before);
        }
        if cut.is_empty() {
            let reason = entry.why.clone().filter(|_| !self.reasons.contains(&place));
            self.reasons.push(place);
            self.why = reason;
            self.lines = vec![entry.head.span.line];
        }
        cut.push((place, key, full, short));
    }

    /// The lines that the step in hand tells, in order; of a used method none, for its text is another.
    fn take_lines(&mut self) -> Vec<u32> {
        let mut lines = core::mem::take(&mut self.lines);
        if !self.of.is_empty() {
            lines.clear();
        }
        lines.sort_unstable();
        lines.dedup();
        lines
    }

    /// Tells the pieces that were gathered.
    fn cut_off(&mut self, cut: &mut Vec<(usize, Key, String, String)>) {
        let keys: Vec<Key> = cut.iter().map(|c| c.1.clone()).collect();
        let all = core::mem::take(cut);
        let Some((_, _, full, short)) = all.into_iter().next() else {
            return;
        };
        let (name, few) = (
            sheets::together(&keys, false),
            sheets::together(&keys, false),
        );
        let full = if keys.len() == 1 {
            let one = Self::the(Style::Full, &keys[0]);
            full.replace(&format!("the {ITSELF}"), &one)
                .replace(ITSELF, &name)
        } else {
            full.replace(&format!("the {ITSELF}"), &format!("each of {name}"))
                .replace(ITSELF, &name)
        };
        self.number += 1;
        let (short, few) = self.marks.few(&sentence(&short.replace(ITSELF, &few)));
        let lines = self.take_lines();
        self.steps.push(Step {
            number: Some(self.number),
            stage: format!("pieces{}", self.of),
            sentence: sentence(&full),
            short,
            few,
            why: self.why.take(),
            draws: Vec::new(),
            pieces: keys.iter().map(Key::shown).collect(),
            lines,
        });
    }

    /// A used method: as much of it as is taken over.
    fn used(&mut self, i: usize, order: &[Told<'a>]) {
        let wanted = self.wanted(i, order);
        let of = format!(" of {}{}", self.w.subs[i].name.shown(), self.of);
        let name = Self::the(Style::Full, &self.w.subs[i].name);
        let number = self.number;
        let walker = &mut self.w.subs[i].walker;
        let title = walker.method.title.clone();
        let truings = core::mem::take(&mut walker.truings);
        let quiet = core::mem::replace(&mut walker.redrawing, true);
        let mut teller = Teller::new(walker, number, of);
        teller.all(&truings, Some(&wanted));
        let (mut steps, number) = (core::mem::take(&mut teller.steps), teller.number);
        let walker = &mut self.w.subs[i].walker;
        walker.redrawing = quiet;
        walker.truings = truings;
        let Some(first) = steps.first() else { return };
        let (short, few) = self.marks.few(&sentence(&format!(
            "first {}",
            name.trim_start_matches("the ")
        )));
        self.steps.push(Step {
            number: None,
            stage: first.stage.clone(),
            sentence: sentence(&format!(
                "first draft {name} by \u{201c}{title}\u{201d}, as far as it is needed here"
            )),
            short,
            few,
            why: None,
            draws: Vec::new(),
            pieces: Vec::new(),
            lines: Vec::new(),
        });
        self.steps.append(&mut steps);
        self.number = number;
    }

    /// What is taken over of a used method: the pieces and sheets that are spoken of.
    fn wanted(&mut self, i: usize, order: &[Told<'a>]) -> Wanted {
        let name = self.w.subs[i].name.clone();
        let mut wanted = Wanted::default();
        let mut seen: Vec<usize> = Vec::new();
        for told in order {
            let entry: &'a Entry = match told {
                Told::Piece { entry, .. } => entry,
                Told::Worked(w) => match &self.w.worked[*w].what {
                    What::Entry(entry) => entry,
                    What::Cell(..) => continue,
                },
                _ => continue,
            };
            let place = core::ptr::from_ref(entry).addr();
            if seen.last() == Some(&place) {
                continue;
            }
            seen.push(place);
            let mut refs: Vec<Ref> = Vec::new();
            let mut keep = |r: &Ref| {
                if r.parts.last().is_some_and(|p| p.name == name.name) {
                    refs.push(r.clone());
                }
            };
            match &entry.says {
                Says::Parts(parts) => mentions::named_in(parts, &mut keep),
                Says::Value(value) => mentions::in_value(value, &mut keep),
                _ => {}
            }
            for r in refs {
                match &r.parts[..] {
                    [_] => {
                        for head in &entry.head.names {
                            wanted.pieces.extend(self.w.key(head));
                        }
                    }
                    [.., owner, _] => {
                        let Some(key) = self.w.key(owner) else {
                            continue;
                        };
                        let sub = &self.w.subs[i].walker;
                        if sub.piece_of(&key).is_some() {
                            wanted.pieces.push(key);
                        } else if sub.sheet_of(&key).is_some() {
                            wanted.sheets.push(key);
                        }
                    }
                    [] => {}
                }
            }
        }
        wanted
    }
}

/// The pieces that are wanted and those they were copied from.
fn with_their_models(made: &VecDeque<PieceMade>, wanted: &Wanted) -> Vec<Key> {
    let mut all: Vec<Key> = wanted.pieces.clone();
    for piece in made {
        if wanted.pieces.contains(&piece.key) {
            all.extend(
                made.iter()
                    .filter(|p| piece.copied_from.contains(&p.key.shown()))
                    .map(|p| p.key.clone()),
            );
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use crate::vocabulary::{Bit, table};

    /// Places of a form that no argument fills: the teller fills them.
    const FILLED: [&str; 18] = [
        "name", "way", "nearest", "toward", "begin", "side", "turning", "a", "through", "around",
        "each", "far", "wide", "fading", "deep", "how", "d", "f",
    ];

    #[test]
    fn every_place_of_every_form_is_filled() {
        // Catches a slip in the table: an unknown place would be left empty without a word.
        for row in table() {
            for form in [row.teaching(), row.passing(), row.short()] {
                for place in form.split('{').skip(1) {
                    let name = place.split_once('}').unwrap().0;
                    let own = row
                        .bits
                        .iter()
                        .any(|b| matches!(b, Bit::Slot(n, _) if *n == name));
                    assert!(
                        own || FILLED.contains(&name),
                        "{{{name}}} in {}",
                        row.pattern
                    );
                }
            }
        }
    }

    #[test]
    fn every_argument_of_a_row_is_told() {
        // Catches a form that drops a length or a point. Questions, sheets and levels of the body are
        // told otherwise or not at all.
        for row in table() {
            for bit in &row.bits {
                let Bit::Slot(name, _) = bit else { continue };
                let silent = row.tells.is_empty() || ["b", "q", "g"].contains(name);
                let told = row.teaching().contains(&format!("{{{name}}}"));
                let otherwise =
                    row.pattern.starts_with("place") || row.pattern.starts_with("outline");
                assert!(silent || told || otherwise, "{{{name}}} of {}", row.pattern);
            }
        }
    }
}
