//! Sums in words: what a length is made of, and the length.

use super::figures::{degrees, divided, in_a_row, length, share, times};
use super::values::many;
use super::{Style, Teller};
use crate::tree::{Across, Expr, ExprKind, FigureKind, Function, Op};
use crate::walk::{Dim, Num};
use crate::worked::plain;

/// One term of a sum.
#[derive(Clone, Debug)]
pub(super) struct Term {
    pub(super) plus: bool,
    pub(super) words: String,
    /// Only a figure, so that it says no more than the amount itself.
    pub(super) bare: bool,
    /// Only a name.
    pub(super) name: bool,
}

/// A number and what it is made of.
#[derive(Clone, Debug)]
pub(super) struct Amount {
    pub(super) num: Num,
    terms: Vec<Term>,
    /// Of few words: the rule, and whether it is only a figure.
    rule: (Option<String>, bool),
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

impl Teller<'_, '_> {
    /// A sum, reckoned and said.
    pub(super) fn amount(&mut self, style: Style, expr: &Expr) -> Option<Amount> {
        let num = self.w.asked(expr)?;
        let mut terms = Vec::new();
        if matches!(style, Style::Full | Style::Passing) {
            self.terms(expr, true, &mut terms)?;
        }
        let rule = if style.few() {
            (self.rule(expr), self.only_figures(expr))
        } else {
            (None, false)
        };
        Some(Amount { num, terms, rule })
    }

    /// An amount in the words of a style; what is less than nothing is said turned round.
    pub(super) fn said(&mut self, style: Style, amount: &Amount) -> String {
        let turned = amount.num.v < 0.0;
        let figure = self.figure(
            style,
            Num {
                v: amount.num.v.abs(),
                ..amount.num
            },
        );
        if style.few() {
            let (rule, fixed) = amount.rule.clone();
            return self.marked(figure, rule, fixed);
        }
        if style == Style::Plain || amount.terms.iter().all(|t| t.bare) {
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
    pub(super) fn terms(&mut self, expr: &Expr, plus: bool, out: &mut Vec<Term>) -> Option<()> {
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
    pub(super) fn only_figures(&self, expr: &Expr) -> bool {
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
    pub(super) fn operand(&mut self, expr: &Expr) -> Option<String> {
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
            return Some(
                if count.starts_with(|c: char| c.is_ascii_digit()) && many(&count) {
                    format!("{of} for each of the {count}")
                } else {
                    format!("{of} times {count}")
                },
            );
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
}

fn of_share(expr: &Expr) -> Option<&Expr> {
    match &expr.kind {
        ExprKind::Share(_, _, of) => Some(of),
        _ => None,
    }
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
