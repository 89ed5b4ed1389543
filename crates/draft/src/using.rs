//! Works another method for this one: `use "…" as name`.

use measure::words::nearest;

use crate::note::Note;
use crate::tree::{Expr, ExprKind, FigureKind, Method, RefName, Use, Weight};
use crate::walk::{Dim, Key, Setting, Sub, Walker};
use crate::work::Library;
use crate::worked::Quantity;

/// How deep methods may use one another.
pub(crate) const DEEPEST_USE: usize = 8;

impl<'a> Walker<'a> {
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
    pub(crate) fn setting(
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
}
