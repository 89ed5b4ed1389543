//! Names: worked out, refused, and put on their shelves.

use std::sync::Arc;

use crate::note::{Note, Span};
use crate::question::{common, other_side};
use crate::reader::NAMELESS;
use crate::shelf::{ANY, Dim, Held, Key, Num, Thing, ThingKind};
use crate::state::Walker;
use crate::tree::{Expr, ExprKind, Head, Heading, Number, Ref, RefName};

impl Walker<'_> {
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

    pub(crate) fn whole(&mut self, expr: &Expr) -> Option<i64> {
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
    pub(crate) fn refuse(&mut self, name: &RefName, key: &Key) {
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

    pub(crate) fn twice(&mut self, name: &RefName, key: &Key) {
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
}
