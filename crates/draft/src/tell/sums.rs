//! Sums in words: what a length is made of, and the length.

use measure::Length;

use super::figures::{degrees, divided, in_a_row, length, share, times};
use super::{Style, Teller};
use crate::tree::{Across, Expr, ExprKind, FigureKind, Function, Op, Ref, Value, ValueForm};
use crate::walk::{Dim, Key, Num, What};
use crate::worked::{Step, plain};

/// How deep values are told within values.
const DEEPEST: u8 = 12;
/// A formula of more words than this is told by itself before it is used.
const MOST_WORDS: usize = 8;

/// One term of a sum.
#[derive(Clone, Debug)]
pub(super) struct Term {
    plus: bool,
    words: String,
    /// Only a figure, so that it says no more than the amount itself.
    bare: bool,
    /// Only a name.
    name: bool,
}

/// A number and what it is made of.
#[derive(Clone, Debug)]
pub(super) struct Amount {
    pub(super) num: Num,
    terms: Vec<Term>,
}

impl Amount {
    /// Whether it comes to nothing that could be drawn.
    pub(super) fn nothing(&self) -> bool {
        match self.num.dim {
            Dim::Length => self.num.v.abs() < super::figures::HAIR,
            _ => self.num.v.abs() < 1e-9,
        }
    }

    pub(super) fn less_than_nothing(&self) -> bool {
        self.num.v < 0.0
    }
}

impl<'a> Teller<'_, 'a> {
    /// A sum, reckoned and said.
    pub(super) fn amount(&mut self, style: Style, expr: &Expr) -> Option<Amount> {
        let num = self.w.asked(expr)?;
        let mut terms = Vec::new();
        if matches!(style, Style::Full | Style::Passing) {
            self.terms(expr, true, &mut terms)?;
        }
        Some(Amount { num, terms })
    }

    /// An amount in the words of a style; what is less than nothing is said turned round.
    pub(super) fn said(&self, style: Style, amount: &Amount) -> String {
        let turned = amount.num.v < 0.0;
        let figure = self.figure(
            style,
            Num {
                v: amount.num.v.abs(),
                ..amount.num
            },
        );
        if (style.few() || style == Style::Plain) || amount.terms.iter().all(|t| t.bare) {
            return figure;
        }
        // Of what is less than nothing by its own name the figure says enough.
        if amount.terms.iter().all(|t| t.plus == turned) {
            return figure;
        }
        let formula = joined(&amount.terms, turned);
        if formula == figure {
            return figure;
        }
        match style {
            Style::Full => format!("{formula}, {figure},"),
            _ => format!("{figure} ({formula})"),
        }
    }

    /// The figure alone.
    pub(super) fn figure(&self, style: Style, num: Num) -> String {
        let shown = self.w.purpose.shown;
        match num.dim {
            Dim::Length if style.few() => super::figures::bare_length(num.v, shown),
            Dim::Length => length(num.v, shown),
            Dim::Angle => degrees(num.v),
            Dim::Share => share(num.v).unwrap_or_else(|| format!("{} %", plain(num.v * 100.0, 1))),
            Dim::Number => plain(num.v, 3),
            _ => self.w.quantity(num).shown(shown),
        }
    }

    /// The terms of a sum, those that come to nothing left out.
    fn terms(&mut self, expr: &Expr, plus: bool, out: &mut Vec<Term>) -> Option<()> {
        match &expr.kind {
            ExprKind::Bracket(inner) => self.terms(inner, plus, out),
            ExprKind::Minus(inner) => self.terms(inner, !plus, out),
            ExprKind::Reckon(Op::Add, a, b, _) => {
                self.terms(a, plus, out)?;
                self.terms(b, plus, out)
            }
            ExprKind::Reckon(Op::Subtract, a, b, _) => {
                self.terms(a, plus, out)?;
                self.terms(b, !plus, out)
            }
            ExprKind::Named(r) => self.named_terms(r, plus, out),
            ExprKind::Reckon(Op::Divide | Op::Times, a, b, _) if self.is_one(b) => {
                self.terms(a, plus, out)
            }
            ExprKind::Reckon(Op::Times, a, b, _) if self.is_one(a) => self.terms(b, plus, out),
            // Where a limit does not tell for this client, it is not spoken of.
            ExprKind::Function(Function::Least | Function::Greatest, _)
                if self.unlimited(expr).is_some() =>
            {
                let inner = self.unlimited(expr)?;
                self.terms(inner, plus, out)
            }
            _ => {
                let num = self.w.asked(expr)?;
                if num.v.abs() < 1e-9 {
                    return Some(());
                }
                let bare = self.only_figures(expr);
                let words = self.factor(expr, num)?;
                out.push(Term {
                    plus,
                    words,
                    bare,
                    name: false,
                });
                Some(())
            }
        }
    }

    /// What a limited sum comes to when its limit does not tell: the first of two that are compared.
    fn unlimited<'e>(&mut self, expr: &'e Expr) -> Option<&'e Expr> {
        let ExprKind::Function(Function::Least | Function::Greatest, args) = &expr.kind else {
            return None;
        };
        let (all, first) = (self.w.asked(expr)?, self.w.asked(args.first()?)?);
        ((all.v - first.v).abs() <= 1e-9 * all.v.abs().max(1.0)).then_some(args.first()?)
    }

    fn is_one(&mut self, expr: &Expr) -> bool {
        let num = self.w.asked(expr);
        num.is_some_and(|n| matches!(n.dim, Dim::Number | Dim::Share) && (n.v - 1.0).abs() < 1e-9)
    }

    /// All that is compared, of comparisons within comparisons too.
    fn compared<'e>(f: Function, args: &'e [Expr], out: &mut Vec<&'e Expr>) {
        for arg in args {
            let mut inner = arg;
            while let ExprKind::Bracket(e) = &inner.kind {
                inner = e;
            }
            match &inner.kind {
                ExprKind::Function(g, args) if *g == f => Self::compared(f, args, out),
                _ => out.push(arg),
            }
        }
    }

    /// Whether nothing is named in a sum but counters: then it says no more than its figure.
    fn only_figures(&self, expr: &Expr) -> bool {
        match &expr.kind {
            ExprKind::Figure(..) => true,
            ExprKind::Named(r) => {
                matches!(&r.parts[..], [one] if self.w.locals.iter().any(|(w, _)| *w == one.name))
            }
            ExprKind::Bracket(e) | ExprKind::Minus(e) | ExprKind::Share(_, _, e) => {
                self.only_figures(e)
            }
            ExprKind::Reckon(_, a, b, _) => self.only_figures(a) && self.only_figures(b),
            _ => false,
        }
    }

    /// A sum in words, without its figure.
    pub(super) fn formula(&mut self, expr: &Expr) -> Option<String> {
        let mut terms = Vec::new();
        self.terms(expr, true, &mut terms)?;
        Some(joined(&terms, false))
    }

    /// A sum as the object of `half of`, `twice` and the like.
    fn operand(&mut self, expr: &Expr) -> Option<String> {
        let mut terms = Vec::new();
        self.terms(expr, true, &mut terms)?;
        Some(match &terms[..] {
            [] => "nothing".into(),
            [one] => {
                if one.plus {
                    one.words.clone()
                } else {
                    format!("minus {}", one.words)
                }
            }
            all if all.iter().all(|t| t.plus) => {
                let words: Vec<String> = all.iter().map(|t| t.words.clone()).collect();
                format!("{} together", in_a_row(&words))
            }
            [a, b] if a.plus && !b.plus => {
                format!("the difference between {} and {}", a.words, b.words)
            }
            [b, a] if a.plus && !b.plus => {
                format!("the difference between {} and {}", a.words, b.words)
            }
            all if all.iter().any(|t| t.plus) => {
                let pick = |plus: bool| -> Vec<String> {
                    all.iter()
                        .filter(|t| t.plus == plus)
                        .map(|t| t.words.clone())
                        .collect()
                };
                let (more, less) = (pick(true), pick(false));
                let together = if more.len() > 1 { " together" } else { "" };
                format!(
                    "what is left of {}{together} after {}",
                    in_a_row(&more),
                    in_a_row(&less)
                )
            }
            all => joined(all, false),
        })
    }

    /// What is not a sum.
    fn factor(&mut self, expr: &Expr, num: Num) -> Option<String> {
        Some(match &expr.kind {
            ExprKind::Figure(_, FigureKind::Percent) => format!("{} %", plain(num.v * 100.0, 1)),
            ExprKind::Figure(..) => self.figure(Style::Full, num),
            ExprKind::Share(v, ..) => {
                let of = self.operand(of_share(expr)?)?;
                match share(*v) {
                    Some(share) => format!("{share} of {of}"),
                    None => format!("{} % of {of}", plain(v * 100.0, 1)),
                }
            }
            ExprKind::Reckon(Op::Times, a, b, _) => self.product(a, b)?,
            ExprKind::Reckon(_, a, b, _) => self.quotient(a, b)?,
            ExprKind::Function(f, args) => self.function(*f, args)?,
            ExprKind::LengthOf(edge) => format!("the length of {}", self.edge(Style::Full, edge)?),
            ExprKind::Between(across, ends) => {
                let (a, b) = (
                    self.thing(Style::Full, &ends.0)?,
                    self.thing(Style::Full, &ends.1)?,
                );
                match across {
                    Across::Distance => format!("the distance between {a} and {b}"),
                    Across::Drop => format!("the drop between {a} and {b}"),
                    Across::Span => format!("the span between {a} and {b}"),
                }
            }
            _ => self.figure(Style::Full, num),
        })
    }

    fn product(&mut self, a: &Expr, b: &Expr) -> Option<String> {
        let (x, y) = (self.w.asked(a)?, self.w.asked(b)?);
        let counts = |n: Num| matches!(n.dim, Dim::Number | Dim::Share);
        let (by, of, v) = if counts(x) {
            (a, b, x)
        } else if counts(y) {
            (b, a, y)
        } else {
            return Some(format!("{} times {}", self.operand(a)?, self.operand(b)?));
        };
        if (v.v - 1.0).abs() < 1e-9 {
            return self.operand(of);
        }
        if v.dim == Dim::Share {
            return Some(format!(
                "{} % of {}",
                plain(v.v * 100.0, 1),
                self.operand(of)?
            ));
        }
        let mut inner = by;
        while let ExprKind::Bracket(e) = &inner.kind {
            inner = e;
        }
        if let ExprKind::Named(r) = &inner.kind {
            let count = self.count_name(r, v)?;
            let of = self.operand(of)?;
            return Some(if many(&count) {
                format!("{of} for each of the {count}")
            } else {
                format!("{of} times {count}")
            });
        }
        Some(format!("{} {}", times(v.v), self.operand(of)?))
    }

    fn quotient(&mut self, a: &Expr, b: &Expr) -> Option<String> {
        let y = self.w.asked(b)?;
        if y.dim != Dim::Number {
            return Some(format!(
                "{} divided by {}",
                self.operand(a)?,
                self.operand(b)?
            ));
        }
        if (y.v - 1.0).abs() < 1e-9 {
            return self.operand(a);
        }
        let mut inner = b;
        while let ExprKind::Bracket(e) = &inner.kind {
            inner = e;
        }
        if let ExprKind::Named(r) = &inner.kind {
            let count = self.count_name(r, y)?;
            return Some(format!("{} divided by {count}", self.operand(a)?));
        }
        let of = self.operand(a)?;
        Some(match divided(y.v) {
            Some(share) => format!("{share} {of}"),
            None => format!("{of} divided by {}", plain(y.v, 3)),
        })
    }

    /// A number of a plain kind by its name: `8 gores`, `circles (3/4)`.
    fn count_name(&mut self, r: &Ref, num: Num) -> Option<String> {
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
        Some(
            if many(&name) && (num.v - num.v.round()).abs() < 1e-9 && num.v > 1.5 {
                format!("{value} {name}{whose}")
            } else {
                format!("the {name}{whose} ({value})")
            },
        )
    }

    fn function(&mut self, f: Function, args: &[Expr]) -> Option<String> {
        if matches!(f, Function::Least | Function::Greatest) {
            let mut all = Vec::new();
            Self::compared(f, args, &mut all);
            let said: Option<Vec<String>> = all.into_iter().map(|e| self.operand(e)).collect();
            let said = said?;
            let word = match (f, said.len() > 2) {
                (Function::Least, false) => "smaller",
                (Function::Least, true) => "smallest",
                (_, false) => "larger",
                (_, true) => "largest",
            };
            return Some(format!("the {word} of {}", in_a_row(&said)));
        }
        let mut said = Vec::with_capacity(2);
        for arg in args {
            said.push(self.operand(arg)?);
        }
        let (a, b) = (
            said.first()?.clone(),
            said.get(1).cloned().unwrap_or_default(),
        );
        Some(match f {
            Function::Least | Function::Greatest => return None,
            Function::Size => {
                if a.starts_with("the difference") {
                    a
                } else {
                    format!("the size of {a}")
                }
            }
            Function::NextWhole => format!("{a}, taken up to a whole number"),
            Function::WholePart => format!("{a}, taken down to a whole number"),
            Function::Root => format!("the square root of {a}"),
            Function::Slant => format!("the slant of {a} across and {b} down"),
            Function::FlareRise => format!("the flare rise for {a} out and {b} down"),
            Function::CircleRadius => format!("the radius of a circle that measures {a} round"),
            Function::CircleGirth => format!("the girth of a circle of radius {a}"),
            Function::ArcAngle => format!("the angle of an arc as long as {a}, drawn with {b}"),
            Function::StepGirth => format!("the girth for a step of {a}, {b} below the waist"),
            Function::StepLength => {
                format!("the longest step in a girth of {a}, {b} below the waist")
            }
        })
    }

    // Values by name.

    fn named_terms(&mut self, r: &Ref, plus: bool, out: &mut Vec<Term>) -> Option<()> {
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
        let place = match &self.w.worked[by].what {
            What::Entry(entry) => core::ptr::from_ref(*entry).addr(),
            What::Cell(row, _) => core::ptr::from_ref(*row).addr(),
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
        let is = if many(first) || many(&name) {
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
        self.before.push(Step {
            number: None,
            stage: self.stage.clone(),
            sentence: super::figures::sentence(&says),
            short: super::figures::sentence(&format!("{bare} {}", self.figure(Style::Short, num))),
            why: why.map(str::to_owned),
            draws: Vec::new(),
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
        match self.w.worked.get(by)?.what.clone() {
            What::Entry(entry) => crate::walk::value_of(entry).map(|v| (v, entry.why.as_deref())),
            What::Cell(row, column) => row.cells.get(column).map(|v| (v, row.why.as_deref())),
        }
    }

    /// The case that holds.
    fn chosen(&mut self, value: &'a Value) -> Option<&'a Expr> {
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

fn of_share(expr: &Expr) -> Option<&Expr> {
    match &expr.kind {
        ExprKind::Share(_, _, of) => Some(of),
        _ => None,
    }
}

/// Whether a name speaks of several.
fn many(name: &str) -> bool {
    name.ends_with('s') && !name.ends_with("ss") && !name.ends_with("us")
}

/// Terms with `plus` and `less` between; turned round when the whole is less than nothing.
fn joined(terms: &[Term], turned: bool) -> String {
    let more: Vec<&str> = terms
        .iter()
        .filter(|t| t.plus != turned)
        .map(|t| t.words.as_str())
        .collect();
    let less: Vec<String> = terms
        .iter()
        .filter(|t| t.plus == turned)
        .map(|t| t.words.clone())
        .collect();
    let mut said = String::new();
    for (i, term) in more.iter().enumerate() {
        if i > 0 {
            // After a share of a sum the ear needs a pause.
            said.push_str(if said.ends_with("together") {
                ", plus "
            } else {
                " plus "
            });
        }
        said.push_str(term);
    }
    if less.is_empty() {
        return said;
    }
    if said.is_empty() {
        return format!("minus {}", in_a_row(&less));
    }
    format!("{said} less {}", in_a_row(&less))
}
