//! A tree said again in the words of the language.

use crate::tree::{
    Across, Comparison, Drawn, EdgeRef, End, Expr, ExprKind, FigureKind, Function, Number, Op, Ref,
    RefName,
};
use crate::worked::plain;

/// A name as it is written.
pub(crate) fn name(name: &RefName) -> String {
    let Some(number) = &name.number else {
        return name.name.to_string();
    };
    let number = match number {
        Number::Figure(n) => n.to_string(),
        Number::Word(w) => w.to_string(),
        Number::Sum(sum) => format!("({})", expr(sum)),
    };
    match name.name.split_once('\u{1}') {
        Some((before, after)) => format!("{before} number {number} {after}"),
        None => format!("{} number {number}", name.name),
    }
}

/// Names with `of` between.
pub(crate) fn names(parts: &[RefName]) -> String {
    parts.iter().map(name).collect::<Vec<_>>().join(" of ")
}

/// A name and whose it is.
pub(crate) fn reference(r: &Ref) -> String {
    names(&r.parts)
}

/// A drawn thing.
pub(crate) fn drawn(d: &Drawn) -> String {
    match d {
        Drawn::Named(r) => reference(r),
        Drawn::Bracket(_) => "(…)".into(),
        Drawn::EndOf(end, of, _) => {
            let end = match end {
                End::Start => "start",
                End::End => "end",
                End::Tip => "tip",
            };
            format!("{end} of {}", drawn(of))
        }
    }
}

/// A line or part of one.
pub(crate) fn edge(e: &EdgeRef) -> String {
    match &e.between {
        None => drawn(&e.line),
        Some(b) => format!(
            "{} between {} and {}",
            drawn(&e.line),
            drawn(&b.0),
            drawn(&b.1)
        ),
    }
}

/// The words of a function.
pub(crate) fn function(f: Function) -> &'static str {
    crate::phrase::FUNCTIONS
        .iter()
        .find(|x| x.1 == f)
        .map_or("", |x| x.0)
}

/// A sum or question.
pub(crate) fn expr(e: &Expr) -> String {
    match &e.kind {
        ExprKind::Figure(v, FigureKind::Length) => {
            format!("{} in", plain(v / measure::length::MM_PER_INCH, 4))
        }
        ExprKind::Figure(v, FigureKind::Angle) => format!("{} deg", plain(v.to_degrees(), 4)),
        ExprKind::Figure(v, FigureKind::Percent) => format!("{} %", plain(v * 100.0, 4)),
        ExprKind::Figure(v, FigureKind::Plain) => plain(*v, 4),
        ExprKind::Named(r) => reference(r),
        ExprKind::YesNo(true) => "yes".into(),
        ExprKind::YesNo(false) => "no".into(),
        ExprKind::Minus(inner) => format!("-{}", expr(inner)),
        ExprKind::Reckon(op, a, b, _) => {
            let sign = match op {
                Op::Add => "+",
                Op::Subtract => "-",
                Op::Times => "*",
                Op::Divide => "/",
            };
            format!("{} {sign} {}", expr(a), expr(b))
        }
        ExprKind::Compare(c, a, b, _) => {
            let sign = match c {
                Comparison::Less => "<",
                Comparison::AtMost => "<=",
                Comparison::More => ">",
                Comparison::AtLeast => ">=",
                Comparison::Equal => "=",
            };
            format!("{} {sign} {}", expr(a), expr(b))
        }
        ExprKind::Is(a, word) => format!("{} is {}", expr(a), name(word)),
        ExprKind::And(a, b) => format!("{} and {}", expr(a), expr(b)),
        ExprKind::Or(a, b) => format!("{} or {}", expr(a), expr(b)),
        ExprKind::Not(a) => format!("not {}", expr(a)),
        ExprKind::Share(_, said, of) => format!("{said} of {}", expr(of)),
        ExprKind::Function(f, args) => {
            let args: Vec<String> = args.iter().map(expr).collect();
            format!("{} of {}", function(*f), args.join(" and "))
        }
        ExprKind::LengthOf(e) => format!("length of {}", edge(e)),
        ExprKind::Between(across, ends) => {
            let word = match across {
                Across::Distance => "distance",
                Across::Drop => "drop",
                Across::Span => "span",
            };
            format!("{word} between {} and {}", drawn(&ends.0), drawn(&ends.1))
        }
        ExprKind::Bracket(inner) => format!("({})", expr(inner)),
        ExprKind::Spoilt => "…".into(),
    }
}
