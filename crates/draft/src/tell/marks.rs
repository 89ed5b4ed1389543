//! Marks in what is told in few words: where a figure stands and by what rule, and where a point is
//! named, so that the hand sheet can call it by its letter and the class sheet leave a line to write on.
//!
//! While words are put together a mark is one character of the planes for private use; `few` takes
//! the finished words apart again. Words and marks are so one record and can't drift apart.

use super::{Style, Teller};
use crate::tree::{Expr, ExprKind, Op, ValueForm};
use crate::walk::{Dim, Key, Num, Thing, What};
use crate::work::capital;
use crate::worked::{Telling, plain};

/// The first mark of a figure, and of a point.
const FIGURES: u32 = 0xF_0000;
const POINTS: u32 = 0x10_0000;
/// As many of each as there are characters in a plane.
const MOST: usize = 0xFFFD;
/// How deep values are looked into for a rule.
const DEEPEST: u8 = 6;

/// What the marks of a telling stand for.
#[derive(Clone, Debug, Default)]
pub(super) struct Marks {
    figures: Vec<Telling>,
    points: Vec<Telling>,
}

/// The mark of a thing; the same for the same thing, so that words can be compared.
fn mark(of: &mut Vec<Telling>, first: u32, telling: Telling) -> Result<char, Telling> {
    let place = match of.iter().position(|t| *t == telling) {
        Some(place) => place,
        None if of.len() < MOST => {
            of.push(telling);
            of.len() - 1
        }
        None => return Err(telling),
    };
    let code = u32::try_from(place).ok().and_then(|p| p.checked_add(first));
    code.and_then(char::from_u32)
        .ok_or(Telling::Words(String::new()))
}

fn words_of(telling: &Telling) -> &str {
    match telling {
        Telling::Words(said) | Telling::Figure { shown: said, .. } => said,
        Telling::Point { name, .. } => name,
    }
}

impl Marks {
    fn of(&self, c: char) -> Option<&Telling> {
        let code = u32::from(c);
        let place = |first: u32| usize::try_from(code - first).ok();
        if code >= POINTS {
            self.points.get(place(POINTS)?)
        } else if code >= FIGURES {
            self.figures.get(place(FIGURES)?)
        } else {
            None
        }
    }

    /// What was put together, as words and as parts.
    pub(super) fn few(&self, said: &str) -> (String, Vec<Telling>) {
        let mut parts: Vec<Telling> = Vec::new();
        let mut words = String::new();
        for c in said.chars() {
            match self.of(c) {
                Some(found) => {
                    if !words.is_empty() {
                        parts.push(Telling::Words(core::mem::take(&mut words)));
                    }
                    parts.push(found.clone());
                }
                None => words.push(c),
            }
        }
        if !words.is_empty() {
            parts.push(Telling::Words(words));
        }
        let all: String = parts.iter().map(words_of).collect();
        (capital(&all), parts)
    }
}

impl<'a> Teller<'_, 'a> {
    /// A figure of few words, marked.
    pub(super) fn marked(&mut self, shown: String, rule: Option<String>, fixed: bool) -> String {
        let figure = Telling::Figure { shown, rule, fixed };
        match mark(&mut self.marks.figures, FIGURES, figure) {
            Ok(c) => c.to_string(),
            Err(figure) => words_of(&figure).to_owned(),
        }
    }

    /// A point of few words, marked; only its name where its sheet is not known.
    pub(super) fn marked_point(&mut self, key: &Key) -> String {
        let name = key.shown();
        let Some(group) = self.group_of(key) else {
            return name;
        };
        match mark(
            &mut self.marks.points,
            POINTS,
            Telling::Point { group, name },
        ) {
            Ok(c) => c.to_string(),
            Err(point) => words_of(&point).to_owned(),
        }
    }

    /// The group of sheets on which a point is sought first.
    fn group_of(&self, key: &Key) -> Option<String> {
        if let Some(hand) = &self.w.in_hand {
            let (sub, scope) = hand.sheet?;
            let (walker, of) = match sub {
                None => (&*self.w, String::new()),
                Some(i) => {
                    let sub = self.w.subs.get(i)?;
                    (&*sub.walker, format!(" of {}", sub.name.shown()))
                }
            };
            let sheet = walker.scopes.get(scope)?;
            sheet.drawn.get(key)?;
            let first = walker.scopes.get(sheet.first_of_group)?.key.as_ref()?;
            return Some(format!("{}{of}{}", first.shown(), self.of));
        }
        let scope = self.w.where_to_look().into_iter().find(|s| {
            let held = self.w.scopes.get(*s).and_then(|s| s.drawn.get(key));
            held.is_some_and(|h| matches!(h.what, Thing::Point(_)))
        })?;
        let sheet = self.w.scopes.get(scope).filter(|_| scope != 0)?;
        let first = self.w.scopes.get(sheet.first_of_group)?.key.as_ref()?;
        Some(format!("{}{}", first.shown(), self.of))
    }

    /// The rule of a sum, as it is written in brackets behind its figure; none when it is only a
    /// figure itself.
    pub(super) fn rule(&mut self, expr: &Expr) -> Option<String> {
        if self.only_figures(expr) {
            return None;
        }
        let mut terms = Vec::new();
        self.rule_terms(expr, true, 0, &mut terms);
        (!terms.is_empty()).then(|| signed(&terms))
    }

    /// The terms of a rule, those that come to nothing left out as in the words.
    fn rule_terms(&mut self, expr: &Expr, plus: bool, deep: u8, out: &mut Vec<(bool, String)>) {
        match &expr.kind {
            ExprKind::Bracket(inner) => self.rule_terms(inner, plus, deep, out),
            ExprKind::Minus(inner) => self.rule_terms(inner, !plus, deep, out),
            ExprKind::Reckon(op @ (Op::Add | Op::Subtract), a, b, _) => {
                self.rule_terms(a, plus, deep, out);
                self.rule_terms(b, plus == (*op == Op::Add), deep, out);
            }
            _ => {
                let nothing = self.w.asked(expr).is_some_and(|n| n.v.abs() < 1e-9);
                if nothing {
                    return;
                }
                if let ExprKind::Named(r) = &expr.kind
                    && deep < DEEPEST
                    && let Some(by) = self.untold_value(r)
                    && let Some(sum) = self.case_of(by)
                {
                    // Told where it is used, so its own rule stands here.
                    let here = self.stand(by);
                    self.rule_terms(sum, plus, deep + 1, out);
                    self.stand_back(here);
                    return;
                }
                let words = self.rule_factor(expr, deep);
                out.push((plus, words));
            }
        }
    }

    /// The worked value behind a name that was not told by itself.
    fn untold_value(&mut self, r: &crate::tree::Ref) -> Option<usize> {
        let found = self.w.find_number(r)?;
        let by = found.by;
        (found.ours && by < self.told.len() && !self.told[by] && !self.moved(by)).then_some(by)
    }

    pub(super) fn case_of(&mut self, by: usize) -> Option<&'a Expr> {
        let value = match self.w.worked.get(by)?.what {
            What::Entry(entry) => crate::walk::value_of(entry)?,
            What::Cell(row, column) => row.cells.get(column)?,
        };
        let ValueForm::Cases(_) = &value.form else {
            return None;
        };
        let here = self.stand(by);
        let sum = self.chosen(value);
        self.stand_back(here);
        sum
    }

    /// What is not a sum, with brackets round a sum within it.
    fn rule_factor(&mut self, expr: &Expr, deep: u8) -> String {
        match &expr.kind {
            ExprKind::Figure(v, crate::tree::FigureKind::Length) => self.figure(
                Style::Plain,
                Num {
                    v: *v,
                    dim: Dim::Length,
                },
            ),
            ExprKind::Figure(v, crate::tree::FigureKind::Angle) => super::figures::degrees(*v),
            ExprKind::Reckon(op @ (Op::Times | Op::Divide), a, b, _) => {
                let sign = if *op == Op::Times { "\u{d7}" } else { "/" };
                let (a, b) = (self.rule_operand(a, deep), self.rule_operand(b, deep));
                format!("{a} {sign} {b}")
            }
            ExprKind::Share(v, _, of) => {
                let of = self.rule_operand(of, deep);
                match one_over(*v) {
                    Some(n) => format!("{of} / {n}"),
                    None => format!("{} % of {of}", plain(v * 100.0, 1)),
                }
            }
            ExprKind::Named(r) => match self.w.find_number(r) {
                Some(found) if found.by == usize::MAX && self.is_counter(r) => {
                    plain(found.what.v, 3)
                }
                _ => crate::said::reference(r),
            },
            _ => crate::said::expr(expr),
        }
    }

    fn is_counter(&self, r: &crate::tree::Ref) -> bool {
        matches!(&r.parts[..], [one] if self.w.locals.iter().any(|(w, _)| *w == one.name))
    }

    fn rule_operand(&mut self, expr: &Expr, deep: u8) -> String {
        // A name in a product says more than what it is made of.
        if let ExprKind::Named(_) = &expr.kind {
            return self.rule_factor(expr, deep);
        }
        let mut terms = Vec::new();
        self.rule_terms(expr, true, deep, &mut terms);
        match &terms[..] {
            [] => "0".to_owned(),
            [(true, one)] if !one.contains(" / ") && !one.contains(" \u{d7} ") => one.clone(),
            all => format!("({})", signed(all)),
        }
    }
}

/// Terms with their signs between.
fn signed(terms: &[(bool, String)]) -> String {
    let mut said = String::new();
    for (i, (plus, words)) in terms.iter().enumerate() {
        match (i, plus) {
            (0, true) => {}
            (0, false) => said.push('\u{2013}'),
            (_, true) => said.push_str(" + "),
            (_, false) => said.push_str(" \u{2013} "),
        }
        said.push_str(words);
    }
    said
}

/// The whole number of which a share is one part.
fn one_over(share: f64) -> Option<String> {
    let n = 1.0 / share;
    (share > 0.0 && share < 1.0 && (n - n.round()).abs() < 1e-9).then(|| plain(n, 0))
}
