//! Works a method for a card: measures and choices, the walk, truing, and what is asked of the draft.

use measure::card::Card;
use measure::fraction::{Shown, Unit};
use measure::words::nearest;
use measure::{Length, names};

use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::reader::{Reading, read};
use crate::said;
use crate::tree::{ChoiceEntry, Expr, ExprKind, FigureKind, Method, RefName, Use, Weight};
use crate::truing::{AGREES, Trued, apart, span_of};
use crate::walk::{Dim, Held, Key, Num, Purpose, Setting, Sub, Thing, Walker};
use crate::words;
use crate::worked::{
    ChoiceUsed, LevelMade, MeasureUsed, Origin, Quantity, Source, TruingDone, Worked,
};

/// How deep methods may use one another.
const DEEPEST_USE: usize = 8;

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

/// Works a method that was checked, with the notes of that check: for redrawing while a choice moves.
pub fn work_checked(
    reading: &Reading,
    notes: Vec<Note>,
    library: &Library,
    wish: &Wish<'_>,
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
        .map(|(name, value)| (Key::plain(tidy_name(name)), Setting::Text(value.clone())))
        .collect();
    walker.unknown_settings();
    let (before, trued) = walker.drawn_and_trued();
    let mut out = Worked {
        title: reading.method.title.clone(),
        about: reading.method.about.clone(),
        ..Worked::default()
    };
    out.seams = walker.seams();
    for seam in &mut out.seams {
        let old = before.iter().find(|old| old.name == seam.name);
        seam.before = old.map(|old| (old.a_length, old.b_length));
    }
    out.results = walker.results();
    walker.checks();
    out.truings = trued.iter().map(|t| walker.truing_done(t)).collect();
    out.levels = walker.levels();
    out.steps = crate::tell::steps(&mut walker, &out.truings);
    out.measures = walker.all_measures();
    out.choices = core::mem::take(&mut walker.choices);
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
        out.pieces.push(piece.clone());
        out.origins.push(Origin {
            sheet,
            copied_from: made.copied_from.clone(),
        });
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

/// A name as the language keeps it.
fn tidy_name(name: &str) -> String {
    name.split_whitespace()
        .filter(|w| !w.eq_ignore_ascii_case("the"))
        .collect::<Vec<_>>()
        .join(" ")
        .to_lowercase()
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
    pub(crate) fn drawn_and_trued(&mut self) -> (Vec<crate::worked::SeamMade>, Vec<Trued<'a>>) {
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
    fn redraw_moved(&mut self) {
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

    // Measures.

    fn measure(&mut self, entry: &'a crate::tree::MeasureEntry) {
        let Some(key) = self.key(&entry.name) else {
            return;
        };
        let name = key.shown();
        let known = names::find(&name);
        let angle = known.is_some_and(|m| m.kind == names::Kind::Angle);
        let dim = if angle { Dim::Angle } else { Dim::Length };
        let fallback = entry.fallback.as_ref();
        if self.dry() {
            if let Some(sum) = fallback {
                let _ = self.of_kind(sum, dim);
            }
            self.put_number(&entry.name, key, Some(Num { v: f64::NAN, dim }));
            return;
        }
        let Some(card) = self.purpose.card else {
            return;
        };
        if angle && let Some(angle) = card.angle(&name) {
            self.put_number(
                &entry.name,
                key,
                Some(Num {
                    v: angle.in_radians(),
                    dim,
                }),
            );
            return;
        }
        let mut used = MeasureUsed {
            name: name.clone(),
            value: Length::ZERO,
            source: Source::Missing,
        };
        if let Some(length) = card.get(&name) {
            used.value = length;
            used.source = Source::Card;
        } else if self.purpose.predict
            && let Some(p) = measure::predict::predict(card, &name)
        {
            used.value = p.value;
            used.source = Source::Predicted {
                low: p.low,
                high: p.high,
            };
        } else if let Some(sum) = fallback {
            if let Some(v) = self.of_kind(sum, dim).and_then(Length::try_mm) {
                used.value = v;
                used.source = Source::Fallback;
                let shown = measure::fraction::show(v, self.purpose.shown);
                self.finding(
                    "fallback",
                    Weight::Note,
                    "card".into(),
                    format!(
                        "{} was not measured; reckoned as {shown}, {}",
                        capital(&name),
                        said::expr(sum)
                    ),
                    Some("measure it".into()),
                );
            }
        } else {
            let how =
                known.map_or_else(String::new, |m| format!(" It is taken so: {}", m.how_taken));
            let hint = match measure::predict::predict(card, &name) {
                Some(p) => format!(
                    " Measure it, or let it be predicted: about {}, 90 % between {} and {}.",
                    measure::fraction::show(p.value, self.purpose.shown),
                    measure::fraction::show(p.low, self.purpose.shown),
                    measure::fraction::show(p.high, self.purpose.shown)
                ),
                None => " Measure it.".into(),
            };
            let taken = entry
                .taken
                .as_ref()
                .map_or(how, |t| format!(" It is taken so: {t}."));
            self.faults.push(format!(
                "The card has no {name}, which the method takes.{taken}{hint}"
            ));
        }
        let source = used.source.clone();
        let v = used.value.in_mm();
        self.measures.push(used);
        let num = (source != Source::Missing).then_some(Num { v, dim });
        self.put_number(&entry.name, key, num);
    }

    /// Its own measures and those of the methods it uses.
    fn all_measures(&self) -> Vec<MeasureUsed> {
        let mut all = self.measures.clone();
        for sub in &self.subs {
            for m in sub.walker.all_measures() {
                if !all.iter().any(|a| a.name == m.name) {
                    all.push(m);
                }
            }
        }
        all
    }

    // Choices.

    /// What was set and is no choice.
    fn unknown_settings(&mut self) {
        let known: Vec<String> = self
            .method
            .choices
            .iter()
            .map(|c| c.name.name.to_string())
            .collect();
        let settings = self.settings.clone();
        for (i, (key, _)) in settings.iter().enumerate() {
            let name = key.shown();
            if !known.contains(&name) {
                let hint = match nearest(&name, known.iter().map(String::as_str)) {
                    Some(meant) => format!("Did you mean `{meant}`?"),
                    None if known.is_empty() => "This method offers no choices.".into(),
                    None => format!("The choices are {}.", known.join(", ")),
                };
                self.faults
                    .push(format!("There is no choice `{name}`. {hint}"));
            } else if settings[..i].iter().any(|(k, _)| k == key) {
                self.faults
                    .push(format!("The choice `{name}` is set twice."));
            }
        }
    }

    fn choice(&mut self, entry: &'a ChoiceEntry) {
        let Some(key) = self.key(&entry.name) else {
            return;
        };
        let words: Vec<std::sync::Arc<str>> = entry.one_of.iter().map(|w| w.name.clone()).collect();
        let usual = if entry.spoilt {
            None
        } else if words.is_empty() {
            self.usual(entry)
        } else {
            self.usual_word(entry, &words)
        };
        if entry.spoilt || usual.is_none() {
            self.put_number(&entry.name, key, None);
            return;
        }
        let usual = usual.unwrap_or(Num {
            v: 0.0,
            dim: Dim::Any,
        });
        let range = match &entry.between {
            Some((low, high)) => {
                let (l, h) = (self.of_kind(low, usual.dim), self.of_kind(high, usual.dim));
                l.zip(h)
            }
            None => None,
        };
        let offered = match &entry.offered {
            Some(ask) => self.ask(ask),
            None => Some(true),
        };
        if self.dry() {
            self.put_number(&entry.name, key, Some(usual));
            return;
        }
        let set = self
            .settings
            .iter()
            .find(|(k, _)| *k == key)
            .map(|s| s.1.clone());
        let value = match &set {
            None => Some(usual),
            Some(Setting::Num(num)) => num.dim.fits(usual.dim).then_some(*num),
            Some(Setting::Word(word)) => word_num(&words, word, usual.dim),
            Some(Setting::Text(text)) => self.set_text(entry, text, usual.dim, &words),
        };
        let Some(value) = value else {
            self.put_number(&entry.name, key, None);
            return;
        };
        let value = Num {
            dim: usual.dim,
            ..value
        };
        let label = entry.label.clone().unwrap_or_else(|| capital(&key.shown()));
        let shown = self.purpose.shown;
        if let Some((low, high)) = range
            && (value.v < low - 1e-6 || value.v > high + 1e-6)
        {
            let (l, h) = (
                self.quantity(Num { v: low, ..usual }),
                self.quantity(Num { v: high, ..usual }),
            );
            let says = format!(
                "{label} is {}; it usually lies between {} and {}",
                self.quantity(value).shown(shown),
                l.shown(shown),
                h.shown(shown)
            );
            self.finding(
                "range",
                Weight::Ask,
                format!("choice {}", key.shown()),
                says,
                Some("look whether it is meant".into()),
            );
        }
        let used = ChoiceUsed {
            name: key.shown(),
            label,
            help: entry.help.clone(),
            value: self.quantity(value),
            usual: self.quantity(usual),
            range: range.map(|(l, h)| {
                (
                    self.quantity(Num { v: l, ..usual }),
                    self.quantity(Num { v: h, ..usual }),
                )
            }),
            words: words.iter().map(ToString::to_string).collect(),
            offered: offered.unwrap_or(true),
            set: set.is_some(),
        };
        self.choices.push(used);
        self.put_number(&entry.name, key, Some(value));
    }

    fn usual(&mut self, entry: &ChoiceEntry) -> Option<Num> {
        let usual = self.asked(&entry.usual)?;
        if self.dry()
            && let Some((low, _)) = &entry.between
        {
            let quiet = core::mem::replace(&mut self.redrawing, true);
            let limit = self.sum(low);
            self.redrawing = quiet;
            if let Some(limit) = limit
                && !usual.dim.fits(limit.dim)
                && self.bare_length(limit.dim, &entry.usual)
            {
                return None;
            }
        }
        Some(usual)
    }

    fn usual_word(&mut self, entry: &ChoiceEntry, words: &[std::sync::Arc<str>]) -> Option<Num> {
        let said = match &entry.usual.kind {
            ExprKind::Named(r) if r.parts.len() == 1 => r.parts[0].name.clone(),
            _ => {
                self.note(Note::new(
                    entry.usual.span,
                    "With `one of` the usual value is one of its words.",
                ));
                return None;
            }
        };
        let Some(place) = words.iter().position(|w| *w == said) else {
            let note = Note::new(
                entry.usual.span,
                format!("`{said}` is not one of its words."),
            );
            self.note(match nearest(&said, words.iter().map(|w| &**w)) {
                Some(meant) => note.hint(format!("Did you mean `{meant}`?")),
                None => note.hint(format!("It is one of {}.", words.join(", "))),
            });
            return None;
        };
        let list = self
            .words
            .iter()
            .position(|w| w == words)
            .unwrap_or_else(|| {
                self.words.push(words.to_vec());
                self.words.len() - 1
            });
        #[expect(clippy::cast_precision_loss, reason = "few words")]
        Some(Num {
            v: place as f64,
            dim: Dim::Word(list),
        })
    }

    /// A choice set in her words.
    fn set_text(
        &mut self,
        entry: &ChoiceEntry,
        text: &str,
        dim: Dim,
        listed: &[std::sync::Arc<str>],
    ) -> Option<Num> {
        let name = entry.name.name.to_string();
        let shown: String = text.chars().filter(|c| !c.is_control()).take(60).collect();
        if !listed.is_empty() {
            let word = tidy_name(text);
            let found = word_num(listed, &word, dim);
            if found.is_none() {
                let hint = match nearest(&word, listed.iter().map(|w| &**w)) {
                    Some(meant) => format!("Did you mean `{meant}`?"),
                    None => format!("It is one of {}.", listed.join(", ")),
                };
                self.faults
                    .push(format!("The choice `{name}` can't be `{shown}`. {hint}"));
            }
            return found;
        }
        let wants = match dim {
            Dim::Length => "a length, such as `2 1/2 in`",
            Dim::Angle => "an angle, such as `12 deg`",
            Dim::Share => "a share, such as `40 %`",
            Dim::YesNo => "`yes` or `no`",
            _ => "a number, such as `8`",
        };
        let mut notes = Vec::new();
        let tokens = words::lines(text, &mut notes)
            .into_iter()
            .next()
            .unwrap_or_default()
            .tokens;
        let mut phrase = Phrase::new(&tokens, Span::default());
        let expr = match phrase.ask() {
            Ok(expr) if phrase.done() && notes.is_empty() && text.lines().count() <= 1 => {
                Some(expr)
            }
            _ => None,
        };
        // What she writes with the inch sign or a comma is a length too.
        let unit = self.purpose.card.map_or(Unit::Inch, Card::unit);
        if dim == Dim::Length
            && let Ok(length) = measure::fraction::read(text, Some(unit))
        {
            return Some(Num {
                v: length.in_mm(),
                dim,
            });
        }
        let Some(expr) = expr else {
            self.faults.push(format!(
                "I can't read `{shown}` for the choice `{name}`: it wants {wants}."
            ));
            return None;
        };
        let quiet = core::mem::replace(&mut self.redrawing, true);
        let num = self.asked(&expr);
        self.redrawing = quiet;
        match num {
            Some(num) if num.dim.fits(dim) => Some(num),
            Some(num) if dim == Dim::Length && bare(&expr) => {
                let length = unit.of(num.v)?;
                Some(Num {
                    v: length.in_mm(),
                    dim,
                })
            }
            _ => {
                self.faults.push(format!(
                    "The choice `{name}` can't be `{shown}`: it wants {wants}."
                ));
                None
            }
        }
    }

    // Other methods.

    pub(crate) fn used(&mut self, used: &'a Use) {
        let Some(key) = self.key(&used.name) else {
            return;
        };
        let library: &'a Library = self.purpose.library;
        let Some(reading) = library.titled(&used.title) else {
            let titles: Vec<&str> = library
                .methods()
                .iter()
                .map(|m| m.method.title.as_str())
                .collect();
            let note = Note::new(
                used.span,
                format!("There is no method \"{}\" at hand.", used.title),
            );
            self.note(match nearest(&used.title, titles.iter().copied()) {
                Some(meant) => note.hint(format!("Did you mean \"{meant}\"?")),
                None => note,
            });
            return;
        };
        let title = used.title.to_lowercase();
        if self.titles.contains(&title) {
            self.note(
                Note::new(
                    used.span,
                    format!("\"{}\" comes back to itself.", used.title),
                )
                .hint("A method can't use itself, not even through others."),
            );
            return;
        }
        if self.titles.len() > DEEPEST_USE {
            self.note(Note::new(
                used.span,
                format!("Methods use one another at most {DEEPEST_USE} deep."),
            ));
            return;
        }
        if self.subs.iter().any(|s| s.name == key) {
            self.note(Note::new(
                used.name.span,
                format!("There is a `{}` already.", key.shown()),
            ));
            return;
        }
        let mut settings: Vec<(Key, Setting)> = Vec::new();
        for (name, expr) in &used.sets {
            if let Some(setting) = self.setting(&reading.method, name, expr, &used.title) {
                settings.push((Key::plain(name.name.clone()), setting));
            }
        }
        if !self.spend(2, used.span) {
            return;
        }
        if !self.dry() {
            self.early();
        }
        let place = self.subs.len();
        self.order.push(crate::walk::Told::Sub(place));
        if let Some(i) = self
            .old_subs
            .iter()
            .position(|s| s.name == key && s.walker.settings == settings)
        {
            let sub = self.old_subs.swap_remove(i);
            self.subs.push(sub);
            return;
        }
        let mut walker = Box::new(Walker::new(&reading.method, self.purpose));
        walker.settings = settings;
        walker.titles.clone_from(&self.titles);
        walker.titles.push(title);
        walker.budget = self.budget;
        if self.dry() {
            walker.run();
            let faulty = !reading.notes.is_empty() || !walker.notes.is_empty();
            if faulty {
                self.note(
                    Note::new(
                        used.span,
                        format!("\"{}\" has faults of its own.", used.title),
                    )
                    .hint("Mend it first."),
                );
            }
        } else {
            let (_, done) = walker.drawn_and_trued();
            for one in done {
                let told = walker.truing_done(&one);
                if !told.met {
                    self.finding(
                        "truing",
                        Weight::Stop,
                        key.shown(),
                        told.sentence.clone(),
                        Some("widen its limits, or look at the choices".into()),
                    );
                }
                walker.truings.push(told);
            }
            for fault in &walker.faults {
                if !self.faults.contains(fault) {
                    self.faults.push(fault.clone());
                }
            }
            if let Some(note) = walker.notes.first() {
                let says = format!(
                    "In \"{}\", line {}: {}",
                    used.title,
                    note.span.line,
                    note.says()
                );
                self.note(Note::new(used.span, says));
            }
            for finding in &walker.findings {
                if finding.rule == "fallback" && !self.findings.contains(finding) {
                    self.findings.push(finding.clone());
                }
            }
        }
        self.budget = walker.budget;
        self.exhausted |= walker.exhausted;
        self.subs.push(Sub { name: key, walker });
    }

    /// What a choice of a used method is set to.
    fn setting(
        &mut self,
        method: &Method,
        name: &RefName,
        expr: &Expr,
        title: &str,
    ) -> Option<Setting> {
        let Some(choice) = method.choices.iter().find(|c| c.name.name == name.name) else {
            let known: Vec<&str> = method.choices.iter().map(|c| &*c.name.name).collect();
            let note = Note::new(
                name.span,
                format!("\"{title}\" has no choice `{}`.", name.name),
            );
            self.note(match nearest(&name.name, known.iter().copied()) {
                Some(meant) => note.hint(format!("Did you mean `{meant}`?")),
                None => note.hint(format!("It has {}.", known.join(", "))),
            });
            return None;
        };
        if !choice.one_of.is_empty() {
            if let ExprKind::Named(r) = &expr.kind
                && let [word] = &r.parts[..]
                && choice.one_of.iter().any(|w| w.name == word.name)
            {
                return Some(Setting::Word(word.name.to_string()));
            }
            let num = self.asked(expr)?;
            if let Quantity::Word(word) = self.quantity(num)
                && (self.dry() || choice.one_of.iter().any(|w| *w.name == *word))
            {
                return Some(Setting::Word(word));
            }
            let words: Vec<&str> = choice.one_of.iter().map(|w| &*w.name).collect();
            self.note(Note::new(
                expr.span,
                format!("`{}` is one of {}.", name.name, words.join(", ")),
            ));
            return None;
        }
        let num = self.asked(expr)?;
        // The kind of the choice is that of its usual value; a figure alone tells it without a walk.
        let wants = match &choice.usual.kind {
            ExprKind::Figure(_, FigureKind::Length) => Some(Dim::Length),
            ExprKind::Figure(_, FigureKind::Angle) => Some(Dim::Angle),
            ExprKind::Figure(_, FigureKind::Percent) => Some(Dim::Share),
            ExprKind::Figure(_, FigureKind::Plain) => Some(Dim::Number),
            ExprKind::YesNo(_) => Some(Dim::YesNo),
            _ => None,
        };
        if let Some(dim) = wants
            && !num.dim.fits(dim)
        {
            if !self.bare_length(dim, expr) {
                self.note(Note::new(
                    expr.span,
                    format!(
                        "`{}` wants {}, and this is {}.",
                        name.name,
                        dim.shown(),
                        num.dim.shown()
                    ),
                ));
            }
            return None;
        }
        Some(Setting::Num(num))
    }

    // What is given out.

    fn levels(&self) -> Vec<LevelMade> {
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

    fn truing_done(&mut self, one: &Trued<'a>) -> TruingDone {
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
        let _ = span_of(one.target.what);
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
        }
    }
}

fn met(one: &Trued<'_>) -> bool {
    one.after.is_some_and(|(a, b)| (a - b).abs() <= AGREES)
}

fn word_num(words: &[std::sync::Arc<str>], word: &str, dim: Dim) -> Option<Num> {
    #[expect(clippy::cast_precision_loss, reason = "few words")]
    words
        .iter()
        .position(|w| **w == *word)
        .map(|i| Num { v: i as f64, dim })
}

/// Whether a sum is a figure without a unit.
fn bare(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Figure(_, FigureKind::Plain) => true,
        ExprKind::Minus(inner) | ExprKind::Bracket(inner) => bare(inner),
        _ => false,
    }
}

/// With a capital at the beginning.
pub(crate) fn capital(said: &str) -> String {
    let mut chars = said.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}
