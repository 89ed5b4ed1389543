//! Sheets: drawn in order, rulings told when they are first used, and of a later sheet only what lies
//! elsewhere than on the first.

use std::sync::Arc;

use measure::{Curve, Point, Segment};

use super::figures::{in_a_row, numbered, plainly, sentence};
use super::{Style, Teller};
use crate::tree::{Entry, Heading, Part, Says};
use crate::vocabulary::Id;
use crate::walk::{Key, Thing, What};
use crate::worked::Step;

/// Two places that lie no farther apart than this are the same, in mm.
const SAME: f64 = 1e-6;

/// A run of sheets that are the same as an earlier one.
#[derive(Clone, Debug)]
pub(super) struct Run {
    like: usize,
    first: usize,
    sheets: Vec<usize>,
}

impl<'a> Teller<'_, 'a> {
    /// What a worked entry draws, and its entry.
    fn drawing(&self, i: usize) -> Option<(&'a Entry, &'a [Part])> {
        let What::Entry(entry) = self.w.worked.get(i)?.what else {
            return None;
        };
        match &entry.says {
            Says::Parts(parts) if !entry.spoilt => Some((entry, parts)),
            _ => None,
        }
    }

    /// Puts the walk where an entry was worked; gives the key of what it draws.
    fn at(&mut self, i: usize) -> Option<Key> {
        let (entry, _) = self.drawing(i)?;
        self.w.scope = self.w.worked[i].scope;
        self.w.locals.clone_from(&self.w.worked[i].locals);
        self.w.reads.clear();
        self.here = i;
        let key = self.w.key(entry.head.names.first()?)?;
        let held = self.w.scopes[self.w.scope].drawn.get(&key)?;
        (held.by == i && !matches!(held.what, Thing::Unknown(_))).then_some(key)
    }

    /// Tells one sheet; `list` holds its worked entries in order.
    pub(super) fn sheet(&mut self, scope: usize, list: &[usize]) {
        let first = self.w.scopes[scope].first_of_group;
        let mut drawn: Vec<(usize, Key)> = Vec::with_capacity(list.len());
        for &i in list {
            if let Some(key) = self.at(i) {
                drawn.push((i, key));
            }
        }
        if drawn.is_empty() {
            return;
        }
        let key = self.w.scopes[scope]
            .key
            .clone()
            .unwrap_or_else(|| Key::plain(""));
        let name = format!("{}{}", key.shown(), self.of);
        if scope == first {
            self.flush();
            self.kinds.clear();
            self.known.clear();
            self.kinds.push(scope);
            self.stage = name;
            for (i, _) in &drawn {
                self.told[*i] = false;
            }
            self.draw(&drawn);
            return;
        }
        // The same as one that was told already?
        let like = self
            .kinds
            .iter()
            .copied()
            .find(|s| self.same_sheet(scope, *s, &drawn));
        if let Some(like) = like {
            match &mut self.run {
                Some(run) if run.like == like => run.sheets.push(scope),
                _ => {
                    self.flush();
                    self.run = Some(Run {
                        like,
                        first: scope,
                        sheets: vec![scope],
                    });
                }
            }
            for (i, _) in &drawn {
                self.told[*i] = true;
            }
            return;
        }
        self.flush();
        self.kinds.push(scope);
        self.stage = name.clone();
        let mut same = Vec::new();
        let mut other = Vec::new();
        for (i, key) in drawn {
            let there = self.w.scopes[first].drawn.get(&key).map(|h| &h.what);
            let here = self.w.scopes[scope].drawn.get(&key).map(|h| &h.what);
            if there.zip(here).is_some_and(|(a, b)| same_thing(a, b)) {
                same.push((i, key));
            } else {
                other.push((i, key));
            }
        }
        if same.is_empty() {
            self.draw(&other);
            return;
        }
        let gone: Vec<Key> = self.w.scopes[first]
            .drawn
            .all
            .iter()
            .filter(|h| {
                matches!(h.what, Thing::Dart(_) | Thing::Line(_))
                    && self.w.scopes[scope].drawn.get(&h.key).is_none()
            })
            .map(|h| h.key.clone())
            .collect();
        let new = |key: &Key| self.w.scopes[first].drawn.get(key).is_none();
        let then = match &other[..] {
            [] => "",
            all if all.iter().all(|(_, key)| new(key)) => ", then add what follows",
            _ => ", then change what follows",
        };
        self.trace(scope, first, &same, &gone, then);
        for (i, _) in &same {
            self.told[*i] = true;
        }
        self.draw(&other);
    }

    /// "Trace the front, then change what follows."
    fn trace(
        &mut self,
        scope: usize,
        first: usize,
        same: &[(usize, Key)],
        gone: &[Key],
        then: &str,
    ) {
        let model = self.w.scopes[first]
            .key
            .clone()
            .unwrap_or_else(|| Key::plain(""));
        let mut said = format!("trace {}", Self::the(Style::Full, &model));
        let mut short = format!("trace {}", model.shown());
        if !gone.is_empty() {
            let names: Vec<String> = gone.iter().map(|k| Self::the(Style::Full, k)).collect();
            let bare: Vec<String> = gone.iter().map(Key::shown).collect();
            said = format!("{said} without {}", in_a_row(&names));
            short = format!("{short} without {}", in_a_row(&bare));
        }
        let room = self.room(scope);
        let known = self.room(first);
        let more = (
            if room.0 > known.0 { room.0 } else { 0.0 },
            if room.1 > known.1 { room.1 } else { 0.0 },
        );
        let (spare, short_spare) = (self.spare(scope, more), self.short_spare(more));
        if !spare.is_empty() {
            said = format!("{said}, with {spare}");
        }
        said.push_str(then);
        if !short_spare.is_empty() {
            short = format!("{short}, {short_spare}");
        }
        let sheet = self.sheet_name(scope);
        let draws = same
            .iter()
            .map(|(_, k)| (sheet.clone(), k.shown()))
            .collect();
        self.push(&[said], &[short], None, draws);
    }

    fn sheet_name(&self, scope: usize) -> String {
        format!(
            "{}{}",
            self.w.scopes[scope]
                .key
                .as_ref()
                .map_or_else(String::new, Key::shown),
            self.of
        )
    }

    /// Says of sheets that are the same as one told before that they are.
    pub(super) fn flush(&mut self) {
        let Some(run) = self.run.take() else { return };
        let keys: Vec<Key> = run
            .sheets
            .iter()
            .filter_map(|s| self.w.scopes[*s].key.clone())
            .collect();
        let Some(like) = self.w.scopes[run.like].key.clone() else {
            return;
        };
        let is = if keys.len() > 1 { "are" } else { "is" };
        let said = format!(
            "{} {is} the same as {}",
            together(&keys, true),
            Self::the(Style::Full, &like)
        );
        let short = format!("{}: as {}", together(&keys, false), like.shown());
        self.stage = self.sheet_name(run.first);
        let mut draws = Vec::new();
        for scope in &run.sheets {
            let name = self.sheet_name(*scope);
            draws.extend(
                self.w.scopes[*scope]
                    .drawn
                    .all
                    .iter()
                    .map(|h| (name.clone(), h.key.shown())),
            );
        }
        self.push(&[said], &[short], None, draws);
    }

    fn same_sheet(&self, scope: usize, model: usize, drawn: &[(usize, Key)]) -> bool {
        let (a, b) = (&self.w.scopes[model].drawn, &self.w.scopes[scope].drawn);
        a.all.len() == b.all.len()
            && drawn.iter().all(|(_, key)| match (a.get(key), b.get(key)) {
                (Some(x), Some(y)) => same_thing(&x.what, &y.what),
                _ => false,
            })
    }

    /// Tells what is drawn, in order; rulings wait until they are used.
    fn draw(&mut self, drawn: &[(usize, Key)]) {
        let ruled: Vec<usize> = drawn
            .iter()
            .filter(|(i, _)| self.is_ruling(*i))
            .map(|d| d.0)
            .collect();
        for (i, key) in drawn {
            if self.is_ruling(*i) {
                continue;
            }
            let mut waiting = self.waiting(*i, &ruled);
            // The top and the left of the sheet are ruled together, before all else.
            if waiting.iter().any(|w| self.is_edge(*w)) {
                for w in &ruled {
                    if self.is_edge(*w) && !self.told[*w] && !waiting.contains(w) {
                        waiting.push(*w);
                    }
                }
                waiting.sort_unstable();
            }
            self.drawn(*i, key, &waiting);
        }
        // What nothing was drawn from is still on the sheet: for a notch, or to measure her by.
        let left: Vec<usize> = ruled.into_iter().filter(|i| !self.told[*i]).collect();
        if !left.is_empty() {
            self.rulings(&left);
        }
    }

    fn is_ruling(&self, i: usize) -> bool {
        self.drawing(i)
            .is_some_and(|(e, _)| matches!(e.heading, Heading::Levels | Heading::Uprights))
    }

    /// Whether it rules the top or the left of the paper.
    fn is_edge(&self, i: usize) -> bool {
        self.drawing(i).is_some_and(|(_, p)| {
            p.first()
                .is_some_and(|p| matches!(p.row.id, Id::AtTop | Id::AtLeft))
        })
    }

    /// The rulings that an entry stands on and that were not told yet, those they hang on first.
    fn waiting(&self, i: usize, ruled: &[usize]) -> Vec<usize> {
        let mut out: Vec<usize> = Vec::new();
        let mut stack = vec![i];
        while let Some(at) = stack.pop() {
            for &read in &self.w.worked[at].reads {
                if !self.told[read] && ruled.binary_search(&read).is_ok() && !out.contains(&read) {
                    out.push(read);
                    stack.push(read);
                }
            }
        }
        out.sort_unstable();
        out
    }

    /// Rulings as a step of their own.
    fn rulings(&mut self, all: &[usize]) {
        let sheet = self.sheet_name(self.w.worked[all[0]].scope);
        let (mut said, mut short, mut draws, mut whys) =
            (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        // The first two are ruled in one breath.
        let edge = |teller: &Self, i: usize, id: Id| {
            teller
                .drawing(i)
                .is_some_and(|(_, p)| p.first().is_some_and(|p| p.row.id == id))
        };
        let top = all.iter().copied().find(|i| edge(self, *i, Id::AtTop));
        let left = all.iter().copied().find(|i| edge(self, *i, Id::AtLeft));
        let scope = self.w.worked[all[0]].scope;
        if let (Some(top), Some(left)) = (top, left)
            && let (Some(a), Some(b)) = (self.at(top), self.at(left))
        {
            let spare = self.spare(scope, self.room(scope));
            let (a_name, b_name) = (Self::the(Style::Full, &a), Self::the(Style::Full, &b));
            let mut one = format!(
                "rule {a_name} across the top of the paper and {b_name} down its left edge"
            );
            if !spare.is_empty() {
                one = format!("{one}; leave {spare}");
            }
            said.push(one);
            let room = self.short_spare(self.room(scope));
            let mut few = format!("{} at the top, {} at the left", a.shown(), b.shown());
            if !room.is_empty() {
                few = format!("{few}; {room}");
            }
            short.push(few);
        }
        for &i in all {
            let Some(key) = self.at(i) else { continue };
            self.told[i] = true;
            draws.push((sheet.clone(), key.shown()));
            self.add_why(i, &mut whys);
            if top.zip(left).is_some_and(|(a, b)| i == a || i == b) {
                continue;
            }
            let Some((full, few)) = self.ruled(i, &key) else {
                continue;
            };
            said.push(full);
            short.push(few);
        }
        if said.is_empty() {
            self.lines.clear();
            return;
        }
        let why = (!whys.is_empty()).then(|| whys.join(" "));
        self.push(&said, &[short.join("; ")], why, draws);
    }

    fn ruled(&mut self, i: usize, key: &Key) -> Option<(String, String)> {
        let (_, parts) = self.drawing(i)?;
        let full = self.ruling(Style::Full, parts, &Self::the(Style::Full, key))?;
        let short = self.ruling(Style::Short, parts, &key.shown())?;
        Some((full, short))
    }

    /// One drawn thing as a step, with the rulings that wait for it.
    fn drawn(&mut self, i: usize, key: &Key, waiting: &[usize]) {
        let edges = waiting.iter().any(|w| self.is_edge(*w));
        let mut lead: Option<(String, String, String)> = None;
        let mut whys = Vec::new();
        if waiting.len() > 1 || edges {
            self.rulings(waiting);
        } else if let [one] = waiting
            && let Some(ruling) = self.at(*one)
        {
            self.told[*one] = true;
            lead = self
                .ruled(*one, &ruling)
                .map(|(full, short)| (full, short, ruling.shown()));
            self.add_why(*one, &mut whys);
        }
        if self.at(i).is_none() {
            return;
        }
        self.told[i] = true;
        let sheet = self.sheet_name(self.w.scope);
        let Some((mut said, mut short)) = self.draw_one(i, key) else {
            // It is drawn, and must be shown; its words are the plainest.
            let name = Self::the(Style::Full, key);
            let draws = vec![(sheet, key.shown())];
            self.lines
                .extend(self.drawing(i).map(|(e, _)| e.head.span.line));
            self.push(&[format!("draw {name}")], &[key.shown()], None, draws);
            return;
        };
        self.add_why(i, &mut whys);
        let mut draws = Vec::new();
        if let Some((full, few, ruling)) = lead {
            said.insert(0, full);
            short.insert(0, few);
            draws.push((sheet.clone(), ruling));
        }
        draws.push((sheet, key.shown()));
        let why = (!whys.is_empty()).then(|| whys.join(" "));
        self.push(&said, &[short.join("; ")], why, draws);
    }

    fn draw_one(&mut self, i: usize, key: &Key) -> Option<(Vec<String>, Vec<String>)> {
        let (entry, parts) = self.drawing(i)?;
        match entry.heading {
            Heading::Points => {
                let name = self.spot(Style::Full, key);
                let full = self.place(Style::Full, parts, Some(&name))?;
                let name = self.spot(Style::Short, key);
                let short = self.place(Style::Short, parts, Some(&name))?;
                Some((vec![full], vec![short]))
            }
            Heading::Lines | Heading::Edges => {
                let mut full = self.line(Style::Full, parts, Some(&Self::the(Style::Full, key)))?;
                let mut short = vec![
                    self.line(Style::Short, parts, Some(&key.shown()))?
                        .join("; "),
                ];
                if entry.heading == Heading::Edges
                    && let Some((whole, sewn)) = self.measures(key)
                {
                    let long = self.length(Style::Full, whole);
                    full.push(match sewn {
                        None => format!("it measures {long}"),
                        Some((darts, sewn)) => {
                            let (with, when) = if darts == 1 {
                                ("its dart", "it is")
                            } else {
                                ("its darts", "they are")
                            };
                            format!(
                                "it measures {long} with {with} still open, {} when {when} sewn",
                                self.length(Style::Full, sewn)
                            )
                        }
                    });
                    short.push(format!("{} long", self.length(Style::Short, whole)));
                }
                Some((full, vec![short.join("; ")]))
            }
            Heading::Darts => Some((
                self.dart(Style::Full, parts, key)?,
                self.dart(Style::Short, parts, key)?,
            )),
            _ => None,
        }
    }

    /// The author's reason, told the first time.
    fn add_why(&mut self, i: usize, whys: &mut Vec<String>) {
        let Some((entry, _)) = self.drawing(i) else {
            return;
        };
        self.lines.push(entry.head.span.line);
        let Some(why) = &entry.why else { return };
        let place = core::ptr::from_ref(entry).addr();
        if !self.reasons.contains(&place) {
            self.reasons.push(place);
            whys.push(why.clone());
        }
    }

    /// Adds a numbered step, after the values that it speaks of.
    fn push(
        &mut self,
        said: &[String],
        short: &[String],
        why: Option<String>,
        draws: Vec<(String, String)>,
    ) {
        let mut before = core::mem::take(&mut self.before);
        for step in &mut before {
            step.stage.clone_from(&self.stage);
        }
        self.steps.append(&mut before);
        self.number += 1;
        let sentences: Vec<String> = said.iter().map(|s| sentence(s)).collect();
        let (short, few) = self.marks.few(&sentence(&short.join("; ")));
        let lines = self.take_lines();
        self.steps.push(Step {
            number: Some(self.number),
            stage: self.stage.clone(),
            sentence: sentences.join(" "),
            short,
            few,
            why,
            draws,
            pieces: Vec::new(),
            lines,
        });
    }

    /// How much paper a sheet wants to the left of its left ruling and above its top one, in mm.
    fn room(&self, scope: usize) -> (f64, f64) {
        let sheet = &self.w.scopes[scope];
        let mut low = Point::new(0.0, 0.0);
        for held in &sheet.drawn.all {
            let at = match &held.what {
                Thing::Point(p) => *p,
                Thing::Line(c) if sheet.edges.contains(&held.key) => c.bounds().0,
                _ => continue,
            };
            low = Point::new(low.x.min(at.x), low.y.min(at.y));
        }
        let unit = match self.w.purpose.shown.unit {
            measure::fraction::Unit::Inch => measure::length::MM_PER_INCH,
            measure::fraction::Unit::Cm => 10.0,
        };
        // An inch either way is margin in any case.
        let whole = |mm: f64| {
            if mm < 25.0 {
                0.0
            } else {
                (mm / unit - 1e-6).ceil() * unit
            }
        };
        (whole(-low.x), whole(-low.y))
    }

    /// How much paper is left free, and beside which rulings.
    fn spare(&mut self, scope: usize, (left, above): (f64, f64)) -> String {
        let beside = |id: Id, else_: &str| {
            let found = self.w.scopes[scope].drawn.all.iter().find(|h| {
                self.drawing(h.by)
                    .is_some_and(|(_, p)| p.first().is_some_and(|p| p.row.id == id))
            });
            found.map_or_else(|| else_.to_owned(), |h| Self::the(Style::Full, &h.key))
        };
        let (at_left, at_top) = (beside(Id::AtLeft, "it"), beside(Id::AtTop, "it"));
        let mut all = Vec::new();
        if left > 0.0 {
            let line = at_left;
            all.push(format!(
                "{} of paper to the left of {line}",
                self.length(Style::Full, left)
            ));
        }
        if above > 0.0 {
            let line = at_top;
            all.push(format!("{} above {line}", self.length(Style::Full, above)));
        }
        in_a_row(&all)
    }

    fn short_spare(&mut self, (left, above): (f64, f64)) -> String {
        let mut all = Vec::new();
        if left > 0.0 {
            all.push(format!(
                "leave {} of paper free at its left",
                self.length(Style::Short, left)
            ));
        }
        if above > 0.0 {
            all.push(format!(
                "leave {} of paper free above it",
                self.length(Style::Short, above)
            ));
        }
        all.join(", ")
    }
}

/// Several sheets or pieces as one subject: `the front and the back`, `gores number 2 to 4`.
pub(super) fn together(keys: &[Key], article: bool) -> String {
    let mut said: Vec<String> = Vec::new();
    let mut i = 0;
    while i < keys.len() {
        let key = &keys[i];
        let mut end = i + 1;
        if let Some(from) = key.number {
            while end < keys.len()
                && keys[end].name == key.name
                && keys[end].number == Some(from + i64::try_from(end - i).unwrap_or(0))
            {
                end += 1;
            }
            if end > i + 1 {
                said.push(numbered(
                    &key.name,
                    from,
                    from + i64::try_from(end - i).unwrap_or(1) - 1,
                ));
                i = end;
                continue;
            }
        }
        said.push(if article && keys.len() == 1 {
            Teller::the(Style::Full, key)
        } else {
            key.shown()
        });
        i = end;
    }
    plainly(&in_a_row(&said))
}

/// Whether two drawn things lie on the same place.
fn same_thing(a: &Thing, b: &Thing) -> bool {
    match (a, b) {
        (Thing::Level(x), Thing::Level(y)) | (Thing::Upright(x), Thing::Upright(y)) => {
            (x - y).abs() <= SAME
        }
        (Thing::Point(p), Thing::Point(q)) => near(*p, *q),
        (Thing::Line(c), Thing::Line(d)) => same_curve(c, d),
        (Thing::Dart(d), Thing::Dart(e)) => {
            near(d.tip, e.tip)
                && (d.mouth.0 - e.mouth.0).abs() <= SAME
                && (d.mouth.1 - e.mouth.1).abs() <= SAME
        }
        _ => false,
    }
}

fn near(p: Point, q: Point) -> bool {
    (p.x - q.x).abs() <= SAME && (p.y - q.y).abs() <= SAME
}

fn same_curve(c: &Curve, d: &Curve) -> bool {
    let (a, b) = (c.segments(), d.segments());
    a.len() == b.len()
        && a.iter().zip(b).all(|pair| match pair {
            (Segment::Line { from, to }, Segment::Line { from: f, to: t }) => {
                near(*from, *f) && near(*to, *t)
            }
            (
                Segment::Cubic { from, c1, c2, to },
                Segment::Cubic {
                    from: f,
                    c1: d1,
                    c2: d2,
                    to: t,
                },
            ) => near(*from, *f) && near(*c1, *d1) && near(*c2, *d2) && near(*to, *t),
            _ => false,
        })
}

/// A walk's counters.
pub(super) type Locals = Vec<(Arc<str>, f64)>;
