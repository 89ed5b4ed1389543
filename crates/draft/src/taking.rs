//! Takes measures from the card, and choices as they are set.

use measure::card::Card;
use measure::fraction::Unit;
use measure::words::nearest;
use measure::{Length, names};

use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::said;
use crate::tree::{ChoiceEntry, Expr, ExprKind, FigureKind, Weight};
use crate::walk::{Dim, Num, Setting, Walker};
use crate::words;
use crate::work::capital;
use crate::worked::{ChoiceUsed, MeasureUsed, Source};

/// A name as the language keeps it.
pub(crate) fn tidy_name(name: &str) -> String {
    name.split_whitespace()
        .filter(|w| !w.eq_ignore_ascii_case("the"))
        .collect::<Vec<_>>()
        .join(" ")
        .to_lowercase()
}

pub(crate) fn word_num(words: &[std::sync::Arc<str>], word: &str, dim: Dim) -> Option<Num> {
    #[expect(clippy::cast_precision_loss, reason = "few words")]
    words
        .iter()
        .position(|w| **w == *word)
        .map(|i| Num { v: i as f64, dim })
}

/// Whether a sum is a figure without a unit.
pub(crate) fn bare(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Figure(_, FigureKind::Plain) => true,
        ExprKind::Minus(inner) | ExprKind::Bracket(inner) => bare(inner),
        _ => false,
    }
}

impl<'a> Walker<'a> {
    pub(crate) fn measure(&mut self, entry: &'a crate::tree::MeasureEntry) {
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
                // A plain figure needs no reckoning told.
                let how = match sum.kind {
                    ExprKind::Figure(..) => String::new(),
                    _ => format!(" ({})", said::expr(sum)),
                };
                self.finding(
                    "fallback",
                    Weight::Note,
                    "card".into(),
                    format!(
                        "{} was not measured; reckoned as {shown}{how}",
                        capital(&name),
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
    pub(crate) fn all_measures(&self) -> Vec<MeasureUsed> {
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

    /// What was set and is no choice.
    pub(crate) fn unknown_settings(&mut self) {
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

    pub(crate) fn choice(&mut self, entry: &'a ChoiceEntry) {
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

    pub(crate) fn usual(&mut self, entry: &ChoiceEntry) -> Option<Num> {
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

    pub(crate) fn usual_word(
        &mut self,
        entry: &ChoiceEntry,
        words: &[std::sync::Arc<str>],
    ) -> Option<Num> {
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
    pub(crate) fn set_text(
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
}
