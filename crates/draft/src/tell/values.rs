//! Values by name: told where they are used when they are short and used once, else before.

use measure::Length;

use super::sums::Term;
use super::{Style, Teller};
use crate::tree::{Expr, Ref, Value, ValueForm};
use crate::walk::{Dim, Key, Num, What};
use crate::worked::Step;

/// How deep values are told within values.
const DEEPEST: u8 = 12;
/// A formula of more words than this is told by itself before it is used.
const MOST_WORDS: usize = 8;

impl<'a> Teller<'_, 'a> {
    /// A number of a plain kind by its name: `8 gores`, `circles (3/4)`.
    pub(super) fn count_name(&mut self, r: &Ref, num: Num) -> Option<String> {
        let (own, owners) = self.parted(r);
        let key = self.w.joined(own)?;
        let value = self.figure(Style::Full, num);
        let name = key.shown();
        if owners.is_empty()
            && r.parts.len() == 1
            && self.w.locals.iter().any(|(w, _)| **w == *name)
        {
            return Some(value);
        }
        let whose = if owners.is_empty() {
            String::new()
        } else {
            format!(" of {}", self.whose(Style::Full, owners)?)
        };
        let whole = (num.v - num.v.round()).abs() < 1e-9 && num.v > 1.5;
        // A dart count of 2 is 2 darts.
        let counted = match name.strip_suffix(" count") {
            Some(one) => Some(format!("{one}s")),
            None => many(&name).then(|| name.clone()),
        };
        Some(match counted {
            Some(counted) if whole => format!("{value} {counted}{whose}"),
            _ => format!("the {name}{whose} ({value})"),
        })
    }

    pub(super) fn named_terms(&mut self, r: &Ref, plus: bool, out: &mut Vec<Term>) -> Option<()> {
        let found = self.w.find_number(r)?;
        let num = found.what;
        if num.v.abs() < 1e-9 && num.dim != Dim::YesNo {
            return Some(());
        }
        let local = r.parts.len() == 1
            && found.by == usize::MAX
            && self.w.locals.iter().any(|(w, _)| *w == r.parts[0].name);
        if num.dim == Dim::Share || local {
            out.push(Term {
                plus,
                words: self.figure(Style::Full, num),
                bare: true,
                name: false,
            });
            return Some(());
        }
        let named = |teller: &mut Self| -> Option<Term> {
            Some(Term {
                plus,
                words: teller.number_name(r, num)?,
                bare: false,
                name: true,
            })
        };
        let by = found.by;
        if !found.ours || by >= self.w.worked.len() {
            out.push(named(self)?);
            return Some(());
        }
        if self.moved(by) {
            let mut term = named(self)?;
            term.words.push_str(" as trued");
            out.push(term);
            return Some(());
        }
        if !self.told[by] && self.is_known(r, num) {
            self.told[by] = true;
        }
        if self.told[by] {
            out.push(named(self)?);
            return Some(());
        }
        let Some((value, why)) = self.value_of(by) else {
            out.push(named(self)?);
            return Some(());
        };
        if self.depth >= DEEPEST {
            out.push(named(self)?);
            return Some(());
        }
        // What is only another name, or a figure, or short and used once, is told where it is used.
        if let ValueForm::Cases(_) = &value.form {
            let here = self.stand(by);
            self.depth += 1;
            let inner = self.chosen(value).and_then(|sum| {
                let mut inner = Vec::new();
                self.terms(sum, plus, &mut inner)?;
                Some(inner)
            });
            self.depth -= 1;
            self.stand_back(here);
            if let Some(inner) = inner {
                let alias = matches!(&inner[..], [one] if one.name || one.bare);
                let words: usize = inner.iter().map(|t| t.words.split(' ').count() + 1).sum();
                let once = self.users.get(by).is_none_or(|u| *u <= 1);
                // A name for less than nothing would have to be said turned round.
                let turned = num.dim == Dim::Length && num.v < 0.0;
                if alias || turned || (once && words <= MOST_WORDS && why.is_none()) {
                    out.extend(inner);
                    return Some(());
                }
            }
        }
        self.tell_value(by, r, num);
        out.push(named(self)?);
        Some(())
    }

    /// Whether a value was told on an earlier sheet of this group, and is the same here.
    fn is_known(&self, r: &Ref, num: Num) -> bool {
        let key = crate::said::reference(r);
        self.known
            .iter()
            .any(|(k, v)| *k == key && (v - num.v).abs() < 1e-9)
    }

    /// Tells a value before the step that speaks of it.
    fn tell_value(&mut self, by: usize, r: &Ref, num: Num) {
        if core::mem::replace(&mut self.told[by], true) {
            return;
        }
        let Some((value, why)) = self.value_of(by) else {
            return;
        };
        // Of a count the name alone is the subject.
        let name = match num.dim {
            Dim::Number => {
                let (own, owners) = self.parted(r);
                let Some(key) = self.w.joined(own) else {
                    return;
                };
                let whose = self.whose(Style::Full, owners).filter(|w| !w.is_empty());
                let whose = whose.map_or_else(String::new, |w| format!(" of {w}"));
                Some(format!("{}{whose}", Self::the(Style::Full, &key)))
            }
            _ => self.number_name(r, num),
        };
        let Some(name) = name else { return };
        let (place, line) = match &self.w.worked[by].what {
            What::Entry(entry) => (core::ptr::from_ref(*entry).addr(), entry.head.span.line),
            What::Cell(row, _) => (core::ptr::from_ref(*row).addr(), row.name.span.line),
        };
        let why = why.filter(|_| !self.reasons.contains(&place));
        if why.is_some() {
            self.reasons.push(place);
        }
        let key = crate::said::reference(r);
        self.known.push((key, num.v));
        let here = self.stand(by);
        self.depth += 1;
        let figure = self.figure(Style::Full, num);
        let first = name
            .strip_prefix("the ")
            .unwrap_or(&name)
            .split(' ')
            .next()
            .unwrap_or_default();
        // The darts wanted are, the darts take is.
        let passive = name.ends_with("ed") || name.ends_with("en");
        let is = if (many(first) && passive) || many(&name) {
            "are"
        } else {
            "is"
        };
        let says = match &value.form {
            ValueForm::Cases(_) => self
                .chosen(value)
                .and_then(|sum| self.formula(sum))
                .map(|f| {
                    if f == figure || f.is_empty() {
                        format!("{name} {is} {figure}")
                    } else {
                        format!("{name} {is} {f}, {figure}")
                    }
                }),
            ValueForm::Found { left, right, .. } => {
                let (a, b) = (self.operand(left), self.operand(right));
                a.zip(b).map(|(a, b)| {
                    format!("{name} is {figure}, found by trying: with it {a} comes to {b}")
                })
            }
        };
        self.depth -= 1;
        self.stand_back(here);
        let Some(says) = says else { return };
        let bare = name.strip_prefix("the ").unwrap_or(&name);
        let here = self.stand(by);
        let rule = self
            .case_of(by)
            .and_then(|sum| self.rule(sum).map(|rule| (rule, self.only_figures(sum))));
        self.stand_back(here);
        let shown = self.figure(Style::Short, num);
        let (rule, fixed) = rule.map_or((None, false), |(r, f)| (Some(r), f));
        let figure = self.marked(shown, rule, fixed);
        let (short, few) = self
            .marks
            .few(&super::figures::sentence(&format!("{bare} {figure}")));
        self.before.push(Step {
            number: None,
            stage: self.stage.clone(),
            sentence: super::figures::sentence(&says),
            short,
            few,
            why: why.map(str::to_owned),
            draws: Vec::new(),
            pieces: Vec::new(),
            lines: if self.of.is_empty() {
                vec![line]
            } else {
                Vec::new()
            },
        });
    }

    /// A number by its name, and whose.
    fn number_name(&mut self, r: &Ref, num: Num) -> Option<String> {
        let (own, owners) = self.parted(r);
        let key: Key = self.w.joined(own)?;
        let name = key.shown();
        if num.dim == Dim::Number {
            return self.count_name(r, num);
        }
        // `waist to hip` and the like are ways, not things.
        let way =
            name.contains(" to ") || ADJECTIVES.contains(&name.as_str()) || key.number.is_some();
        let said = if way { name } else { format!("the {name}") };
        if owners.is_empty() {
            return Some(said);
        }
        Some(format!("{said} of {}", self.whose(Style::Full, owners)?))
    }

    /// The value of a worked entry or cell, with its reason.
    fn value_of(&self, by: usize) -> Option<(&'a Value, Option<&'a str>)> {
        match self.w.worked.get(by)?.what {
            What::Entry(entry) => crate::walk::value_of(entry).map(|v| (v, entry.why.as_deref())),
            What::Cell(row, column) => row.cells.get(column).map(|v| (v, row.why.as_deref())),
        }
    }

    /// The case that holds.
    pub(super) fn chosen(&mut self, value: &'a Value) -> Option<&'a Expr> {
        let ValueForm::Cases(cases) = &value.form else {
            return None;
        };
        for (sum, when) in cases {
            match when {
                None => return Some(sum),
                Some(when) => {
                    if self.w.ask(when)? {
                        return Some(sum);
                    }
                }
            }
        }
        None
    }

    /// Whether truing moved a value so far that it shows.
    pub(super) fn moved(&self, by: usize) -> bool {
        self.w.freedoms.iter().any(|f| {
            let Some(set) = f.set else { return false };
            let held = self
                .w
                .scopes
                .get(f.scope)
                .and_then(|s| s.numbers.get(&f.key));
            if held.is_none_or(|h| h.by != by) {
                return false;
            }
            let part = self.w.purpose.shown;
            match (f.dim, Length::try_mm(set), Length::try_mm(f.stands)) {
                (Dim::Length, Some(a), Some(b)) => part.rounded(a) != part.rounded(b),
                _ => (set - f.stands).abs() > 1e-6,
            }
        })
    }
}

/// Measures and values that are adjectives in themselves.
const ADJECTIVES: [&str; 8] = [
    "wide", "long", "deep", "longer", "wider", "higher", "lower", "half",
];

/// Whether a name speaks of several.
pub(super) fn many(name: &str) -> bool {
    name.ends_with('s') && !name.ends_with("ss") && !name.ends_with("us")
}
