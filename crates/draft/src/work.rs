//! Works a method for a card: measures and choices, the walk, truing, and what is asked of the draft.

use measure::Length;
use measure::card::Card;
use measure::fraction::Shown;

use crate::correction::Correction;
use crate::note::Note;
use crate::reader::{Reading, read};
use crate::refit::{CutSo, Layer, Refitted, refit};
use crate::taking::tidy_name;
use crate::tree::{Method, Weight};
use crate::truing::{AGREES, Trued, apart, span_of};
use crate::walk::{Dim, Held, Key, Num, PieceMade, Purpose, Setting, Thing, Walker};
use crate::worked::{LevelMade, Origin, SeamMade, TruingDone, Worked};

/// The methods at hand, for `use "…"`.
#[derive(Clone, Debug, Default)]
pub struct Library {
    methods: Vec<Reading>,
}

impl Library {
    /// A library of these texts.
    pub fn new<'a>(texts: impl IntoIterator<Item = &'a str>) -> Self {
        Self {
            methods: texts.into_iter().map(read).collect(),
        }
    }

    /// The method with this title.
    pub fn titled(&self, title: &str) -> Option<&Reading> {
        let title = title.trim().to_lowercase();
        self.methods
            .iter()
            .find(|m| m.method.title.to_lowercase() == title)
    }

    /// All of them.
    pub fn methods(&self) -> &[Reading] {
        &self.methods
    }
}

/// What is wanted of a draft.
#[derive(Clone, Copy, Debug)]
pub struct Wish<'a> {
    /// The card.
    pub card: &'a Card,
    /// Choices set, as words: `("tightening", "2 in")`. A bare number of a length is in the card's unit.
    pub set: &'a [(String, String)],
    /// Predict a missing measure from the others in place of a method's `else`.
    pub predict: bool,
    /// Leave the draft as the hand drew it.
    pub untrued: bool,
    /// How lengths are shown.
    pub shown: Shown,
    /// Corrections of fittings, laid over the finished pieces in this order; usually none.
    pub corrections: &'a [Correction],
}

/// Everything that can be said of a method without a card: what reading noted, and one dry walk.
pub fn check(reading: &Reading, library: &Library) -> Vec<Note> {
    let purpose = Purpose {
        library,
        dry: true,
        untrued: false,
        card: None,
        shown: Shown::inches(),
        predict: false,
    };
    let mut walker = Walker::new(&reading.method, purpose);
    walker.missed.extend(reading.missed.iter().cloned());
    walker.run();
    let mut notes = reading.notes.clone();
    // What was not read well can't be judged well: a line that has a note is left at that.
    walker
        .notes
        .retain(|n| !reading.notes.iter().any(|r| r.span.line == n.span.line));
    notes.append(&mut walker.notes);
    one_a_place(notes)
}

/// Notes in order, one for each place.
fn one_a_place(mut notes: Vec<Note>) -> Vec<Note> {
    notes.sort_by_key(|n| (n.span.line, n.span.column, n.working));
    notes.dedup_by_key(|n| (n.span.line, n.span.column));
    notes
}

/// Works a method for a card.
pub fn work(reading: &Reading, library: &Library, wish: &Wish<'_>) -> Worked {
    let notes = check(reading, library);
    work_checked(reading, notes, library, wish)
}

/// Works a method that was checked, with the notes of that check.
pub fn work_checked(
    reading: &Reading,
    notes: Vec<Note>,
    library: &Library,
    wish: &Wish<'_>,
) -> Worked {
    worked(reading, notes, library, wish, Steps::Told)
}

/// The same without its steps: the pattern alone, for redrawing while a choice moves.
pub fn redraw(reading: &Reading, notes: Vec<Note>, library: &Library, wish: &Wish<'_>) -> Worked {
    worked(reading, notes, library, wish, Steps::LeftOut)
}

/// Whether the steps are told.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Steps {
    Told,
    LeftOut,
}

fn worked(
    reading: &Reading,
    notes: Vec<Note>,
    library: &Library,
    wish: &Wish<'_>,
    steps: Steps,
) -> Worked {
    let purpose = Purpose {
        library,
        dry: false,
        untrued: wish.untrued,
        card: Some(wish.card),
        shown: wish.shown,
        predict: wish.predict,
    };
    let mut walker = Walker::new(&reading.method, purpose);
    walker.settings = wish
        .set
        .iter()
        .map(|(name, value)| {
            let name = choice_named(&reading.method, &tidy_name(name));
            (Key::plain(name), Setting::Text(value.clone()))
        })
        .collect();
    walker.unknown_settings();
    let (before, trued) = walker.drawn_and_trued();
    let mut out = Worked {
        title: reading.method.title.clone(),
        about: reading.method.about.clone(),
        ..Worked::default()
    };
    let corrected = !wish.corrections.is_empty() && walker.faults.is_empty();
    let (mut cut, mut sewn) = (None, None);
    if corrected {
        // The draft is told as it was drawn, and what its text gets wrong is noted, before the
        // corrections move what it drew.
        let seams = walker.seams();
        walker.results();
        tell(&mut walker, &trued, steps, &mut out);
        let refitted = walker.refitted(&seams, wish.corrections);
        out.corrections = refitted.done;
        out.retrued = refitted.trued;
        cut = refitted.cut;
        sewn = refitted.seams;
    }
    let quiet = core::mem::replace(&mut walker.redrawing, corrected);
    out.seams = sewn.take().unwrap_or_else(|| walker.seams());
    for seam in &mut out.seams {
        let name = crate::sided::bare(&seam.name).0;
        let old = before.iter().find(|old| old.name == name);
        seam.before = old.map(|old| (old.a_length, old.b_length));
    }
    out.results = walker.results();
    walker.checks();
    walker.redrawing = quiet;
    if corrected {
        crate::tell::corrections(&mut out, steps == Steps::Told);
    } else {
        tell(&mut walker, &trued, steps, &mut out);
    }
    out.levels = walker.levels();
    out.measures = walker.all_measures();
    out.choices = core::mem::take(&mut walker.choices);
    let mut cut: Option<std::vec::IntoIter<Vec<CutSo>>> = cut.map(Vec::into_iter);
    for made in &walker.pieces {
        if made.cuts == 0 {
            continue;
        }
        let Some(piece) = &made.piece else { continue };
        let sheet = match made.sheet {
            Some((None, scope)) if made.in_place => {
                walker.scopes[scope].key.as_ref().map(Key::shown)
            }
            Some((Some(sub), scope)) if made.in_place => walker.subs[sub].walker.scopes[scope]
                .key
                .as_ref()
                .map(Key::shown),
            _ => None,
        };
        let so = match cut.as_mut().and_then(Iterator::next) {
            Some(so) => so,
            None => vec![(piece.clone(), None, walker.models(made))],
        };
        if so.iter().any(|(_, half, _)| half.is_some()) {
            out.halves.push(piece.clone());
        }
        for (piece, half, copied_from) in so {
            out.pieces.push(piece);
            out.origins.push(Origin {
                sheet: sheet.clone(),
                copied_from,
                half,
            });
        }
    }
    out.findings = core::mem::take(&mut walker.findings);
    out.faults = core::mem::take(&mut walker.faults);
    let mut all = notes;
    // A missing measure or an impossible choice is said once, not at each line that stands on it.
    if out.faults.is_empty() {
        all.append(&mut walker.notes);
    }
    out.notes = one_a_place(all);
    out
}

/// What truing did, and the steps with what they drew.
fn tell<'a>(walker: &mut Walker<'a>, trued: &[Trued<'a>], steps: Steps, out: &mut Worked) {
    out.truings = trued.iter().map(|t| walker.truing_done(t)).collect();
    if steps == Steps::Told {
        out.steps = crate::tell::steps(walker, &out.truings);
        out.drawn = crate::drawing::drawn(walker, &out.steps);
    }
}

pub(crate) fn met(one: &Trued<'_>) -> bool {
    one.after.is_some_and(|(a, b)| (a - b).abs() <= AGREES)
}

/// With a capital at the beginning.
pub(crate) fn capital(said: &str) -> String {
    let mut chars = said.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

/// The name of a choice that was called by its name or by its label.
fn choice_named(method: &Method, said: &str) -> String {
    let named = method.choices.iter().any(|c| *c.name.name == *said);
    let labelled = method
        .choices
        .iter()
        .find(|c| c.label.as_ref().is_some_and(|l| tidy_name(l) == said));
    match labelled {
        Some(choice) if !named => choice.name.name.to_string(),
        _ => said.to_owned(),
    }
}

impl<'a> Walker<'a> {
    /// Measures, choices, and the walk.
    pub(crate) fn run(&mut self) {
        let method: &'a Method = self.method;
        self.scope = 0;
        self.by = usize::MAX;
        for entry in &method.card {
            self.measure(entry);
        }
        for entry in &method.choices {
            self.choice(entry);
        }
        if !self.dry() && !self.faults.is_empty() {
            return;
        }
        self.items(&method.body);
    }

    /// The draft as drawn, trued, and drawn anew; with the seams as they were first, and what was done.
    pub(crate) fn drawn_and_trued(&mut self) -> (Vec<SeamMade>, Vec<Trued<'a>>) {
        self.run();
        if self.purpose.untrued || !self.faults.is_empty() || self.freedoms.is_empty() {
            self.catch_up();
            return (Vec::new(), Vec::new());
        }
        if self.sheets_do_not_tell() {
            self.structural = true;
            self.catch_up();
        }
        let quiet = core::mem::replace(&mut self.redrawing, true);
        let of_sheets = core::mem::replace(&mut self.of_sheets, !self.structural);
        let before = self.seams();
        self.of_sheets = of_sheets;
        self.redrawing = quiet;
        let done = self.true_up();
        if self.structural {
            self.redo();
        } else {
            self.redraw_moved();
            self.catch_up();
        }
        let quiet = core::mem::replace(&mut self.redrawing, true);
        let done = self.truing_report(done);
        self.redrawing = quiet;
        (before, done)
    }

    /// Draws again whatever stands on a value that truing moved.
    pub(crate) fn redraw_moved(&mut self) {
        let mut moved = 0u64;
        for (i, freedom) in self.freedoms.iter().enumerate() {
            if freedom.set.is_some() {
                moved |= 1 << i.min(63);
            }
        }
        let slice: Vec<usize> = (0..self.worked.len())
            .filter(|i| self.worked[*i].deps & moved != 0)
            .collect();
        self.redraw(&slice);
    }

    /// The whole draft anew, with the freedoms as they are set.
    pub(crate) fn redo(&mut self) {
        let method = self.method;
        let fresh = Walker::new(method, self.purpose);
        let old = core::mem::replace(self, fresh);
        self.settings = old.settings;
        self.titles = old.titles;
        self.freedoms = old.freedoms;
        self.budget = old.budget;
        self.exhausted = old.exhausted;
        self.old_subs = old.subs;
        if self.exhausted {
            self.notes = old.notes;
        }
        if self.titles.len() == 1 {
            self.unknown_settings();
        }
        self.run();
        self.catch_up();
        self.old_subs.clear();
    }

    /// The pieces that are cut in this draft from which one was copied, the nearest first.
    ///
    /// A piece copied out of a block often keeps its name there; it is no model of itself.
    fn models(&self, made: &PieceMade) -> Vec<String> {
        let own = made.key.shown();
        let is_cut = |name: &String| {
            let mut all = self.pieces.iter().filter(|p| p.cuts > 0);
            all.any(|p| p.key.shown() == *name)
        };
        let models = made.copied_from.iter().filter(|name| **name != own);
        models.filter(|name| is_cut(name)).cloned().collect()
    }

    /// Lays the corrections over the finished pieces.
    fn refitted(&mut self, seams: &[SeamMade], corrections: &[Correction]) -> Refitted {
        let layers: Vec<Layer> = self
            .pieces
            .iter()
            .filter(|p| p.cuts > 0)
            .filter_map(|made| {
                Some(Layer {
                    piece: made.piece.clone()?,
                    copied_from: self.models(made),
                })
            })
            .collect();
        let shown = self.purpose.shown;
        let refitted = if crate::sided::any(corrections) {
            crate::sided::refit_sides(&layers, seams, corrections, shown)
        } else {
            refit(&layers, seams, corrections, shown)
        };
        let places = self
            .pieces
            .iter_mut()
            .filter(|p| p.cuts > 0 && p.piece.is_some());
        for ((place, new), other) in places.zip(&refitted.pieces).zip(&refitted.others) {
            place.piece = Some(new.clone());
            place.other.clone_from(other);
        }
        refitted
    }

    pub(crate) fn levels(&self) -> Vec<LevelMade> {
        let mut out = Vec::new();
        for scope in &self.scopes[1..] {
            let Some(sheet) = &scope.key else { continue };
            let level = |h: &Held<Thing>| match h.what {
                Thing::Level(y) => Some(y),
                _ => None,
            };
            let waist = scope
                .drawn
                .all
                .iter()
                .find(|h| h.body.as_deref() == Some("waist"))
                .and_then(level)
                .unwrap_or(0.0);
            for held in &scope.drawn.all {
                if let (Some(body), Some(y)) = (&held.body, level(held))
                    && let Some(below_waist) = Length::try_mm(y - waist)
                {
                    out.push(LevelMade {
                        body: body.to_string(),
                        name: held.key.shown(),
                        sheet: sheet.shown(),
                        below_waist,
                        y,
                    });
                }
            }
        }
        for sub in &self.subs {
            for level in sub.walker.levels() {
                if !out
                    .iter()
                    .any(|l: &LevelMade| l.sheet == level.sheet && l.body == level.body)
                {
                    out.push(level);
                }
            }
        }
        out
    }

    pub(crate) fn truing_done(&mut self, one: &Trued<'a>) -> TruingDone {
        let freedom = self.freedoms.get(one.target.freedom).cloned();
        let dim = freedom.as_ref().map_or(Dim::Length, |f| f.dim);
        let moved = freedom.as_ref().map_or_else(String::new, |f| {
            let name = f.key.shown();
            match self.scopes.get(f.scope).and_then(|s| s.key.as_ref()) {
                Some(sheet) => format!("{name} of {}", sheet.shown()),
                None => name,
            }
        });
        let met = met(one);
        let sentence = crate::tell::truing_sentence(self, one, &moved, met);
        if !met && self.titles.len() == 1 {
            self.finding(
                "truing",
                Weight::Stop,
                one.target.seam.shown(),
                sentence.clone(),
                Some("widen its limits, or look at the choices".into()),
            );
        }
        let why = match one.target.what {
            crate::tree::Truing::Between { why, .. } | crate::tree::Truing::Make { why, .. } => {
                why.clone()
            }
        };
        TruingDone {
            seam: one.target.seam.shown(),
            moved,
            from: self.quantity(Num { v: one.from, dim }),
            to: self.quantity(Num { v: one.to, dim }),
            out_before: apart(one.before),
            out_after: apart(one.after),
            met,
            sentence,
            why,
            line: span_of(one.target.what).line,
        }
    }
}
