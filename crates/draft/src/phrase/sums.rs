//! Sums, questions and values.

use super::{DEEPEST, FUNCTIONS, Phrase, Read};
use crate::note::Note;
use crate::tree::{
    Across, Comparison, Expr, ExprKind, FigureKind, Function, Op, Ref, Value, ValueForm,
};
use crate::vocabulary::{SHARES, Slot};
use crate::words::{self, Kind, MAY_BEGIN, Measured, Token};

impl Phrase<'_> {
    pub(crate) fn ask(&mut self) -> Read<Expr> {
        let start = self.at;
        let mut left = self.both()?;
        let mut count = 0;
        while self.take_word("or") {
            let right = self.both()?;
            left = self.made(start, ExprKind::Or(Box::new(left), Box::new(right)));
            count = self.counted(count)?;
        }
        Ok(left)
    }

    /// Whether a question stands here, up to a comma or the end.
    pub(crate) fn ask_to_stop(&mut self) -> bool {
        self.ask().is_ok() && self.at_stop()
    }

    pub(super) fn counted(&self, count: usize) -> Read<usize> {
        if count >= DEEPEST {
            return self.stuck(
                Note::new(self.span(), "This sum is too long.")
                    .hint("Give a part of it a name of its own."),
            );
        }
        Ok(count + 1)
    }

    pub(super) fn both(&mut self) -> Read<Expr> {
        let start = self.at;
        let mut left = self.test()?;
        let mut count = 0;
        while self.take_word("and") {
            let right = self.test()?;
            left = self.made(start, ExprKind::And(Box::new(left), Box::new(right)));
            count = self.counted(count)?;
        }
        Ok(left)
    }

    pub(super) fn test(&mut self) -> Read<Expr> {
        let start = self.at;
        if self.take_word("not") {
            let inner = self.deeper(Self::test)?;
            return Ok(self.made(start, ExprKind::Not(Box::new(inner))));
        }
        let left = self.sum()?;
        if self.take_word("is") {
            let not = self.take_word("not");
            let word = self.name()?;
            let is = self.made(start, ExprKind::Is(Box::new(left), word));
            return Ok(if not {
                self.made(start, ExprKind::Not(Box::new(is)))
            } else {
                is
            });
        }
        let comparison = [
            ("<", Comparison::Less),
            ("<=", Comparison::AtMost),
            (">", Comparison::More),
            (">=", Comparison::AtLeast),
            ("=", Comparison::Equal),
        ]
        .into_iter()
        .find(|(sign, _)| self.at_sign(sign));
        let Some((_, comparison)) = comparison else {
            return Ok(left);
        };
        let sign = self.span();
        self.at += 1;
        let right = self.sum()?;
        Ok(self.made(
            start,
            ExprKind::Compare(comparison, Box::new(left), Box::new(right), sign),
        ))
    }

    pub(crate) fn sum(&mut self) -> Read<Expr> {
        let start = self.at;
        let mut left = self.product()?;
        let mut count = 0;
        loop {
            let sign = self.span();
            let op = if self.take_sign("+") {
                Op::Add
            } else if self.take_sign("-") {
                Op::Subtract
            } else {
                return Ok(left);
            };
            let right = self.product()?;
            left = self.made(
                start,
                ExprKind::Reckon(op, Box::new(left), Box::new(right), sign),
            );
            count = self.counted(count)?;
        }
    }

    pub(super) fn product(&mut self) -> Read<Expr> {
        let start = self.at;
        let mut left = self.signed()?;
        let mut count = 0;
        loop {
            let sign = self.span();
            let op = if self.take_sign("*") {
                Op::Times
            } else if self.take_sign("/") {
                Op::Divide
            } else {
                return Ok(left);
            };
            let right = self.signed()?;
            left = self.made(
                start,
                ExprKind::Reckon(op, Box::new(left), Box::new(right), sign),
            );
            count = self.counted(count)?;
        }
    }

    pub(super) fn signed(&mut self) -> Read<Expr> {
        let start = self.at;
        if self.take_sign("-") {
            let inner = self.deeper(Self::signed)?;
            return Ok(self.made(start, ExprKind::Minus(Box::new(inner))));
        }
        self.deeper(Self::atom)
    }

    pub(super) fn atom(&mut self) -> Read<Expr> {
        let start = self.at;
        match self.peek() {
            Some(Token {
                kind: Kind::Number { value, unit, .. },
                raw,
                ..
            }) => {
                self.at += 1;
                let (value, kind) = match unit {
                    Some(Measured::Inch) => {
                        (value * measure::length::MM_PER_INCH, FigureKind::Length)
                    }
                    Some(Measured::Cm) => (value * 10.0, FigureKind::Length),
                    Some(Measured::Mm) => (*value, FigureKind::Length),
                    Some(Measured::Degree) => (value.to_radians(), FigureKind::Angle),
                    Some(Measured::Percent) => (value / 100.0, FigureKind::Percent),
                    None => (*value, FigureKind::Plain),
                };
                if self.at_word("of") && matches!(kind, FigureKind::Plain | FigureKind::Percent) {
                    self.at += 1;
                    let of = self.deeper(Self::signed)?;
                    return Ok(self.made(
                        start,
                        ExprKind::Share(value, raw.as_str().into(), Box::new(of)),
                    ));
                }
                Ok(self.made(start, ExprKind::Figure(value, kind)))
            }
            Some(t) if t.is_sign("(") => {
                self.at += 1;
                let inner = self.deeper(Self::ask)?;
                if !self.take_sign(")") {
                    return self.wanted("`)`");
                }
                Ok(self.made(start, ExprKind::Bracket(Box::new(inner))))
            }
            Some(Token {
                kind: Kind::Word(w),
                ..
            }) if !words::joins(w) || MAY_BEGIN.contains(&w.as_str()) => self.worded(start),
            _ => self.wanted("a number"),
        }
    }

    pub(super) fn worded(&mut self, start: usize) -> Read<Expr> {
        let name = self.name()?;
        let said: &str = &name.name;
        if name.number.is_none() {
            if self.at_word("of") {
                if let Some((_, share)) = SHARES.iter().find(|(w, _)| *w == said) {
                    self.at += 1;
                    let of = self.deeper(Self::signed)?;
                    return Ok(self.made(start, ExprKind::Share(*share, name.name, Box::new(of))));
                }
                if let Some((_, function, takes)) = FUNCTIONS.iter().find(|(w, _, _)| *w == said) {
                    self.at += 1;
                    let mut args = Vec::new();
                    if *takes == 1 {
                        let from = self.at;
                        args.push(self.deeper(Self::signed)?);
                        // `circle radius of 2 * girth`: only the 2 would be taken.
                        if matches!(function, Function::CircleRadius | Function::CircleGirth)
                            && matches!(
                                args[0].kind,
                                ExprKind::Figure(_, FigureKind::Plain | FigureKind::Percent)
                            )
                            && (self.at_sign("*") || self.at_sign("/"))
                        {
                            self.at = from;
                            let note = Note::new(
                                self.span(),
                                format!("`{said} of` takes only what stands directly behind it."),
                            );
                            return self.stuck(note.hint("Put brackets round the sum."));
                        }
                    } else {
                        args.push(self.deeper(Self::sum)?);
                        if !self.take_word("and") {
                            return self.wanted(&format!("`and` and a second number for `{said}`"));
                        }
                        args.push(self.deeper(Self::signed)?);
                    }
                    return Ok(self.made(start, ExprKind::Function(*function, args)));
                }
                if said == "length" {
                    self.at += 1;
                    let edge = self.edge()?;
                    return Ok(self.made(start, ExprKind::LengthOf(edge)));
                }
            }
            if self.at_word("between") {
                let across = match said {
                    "distance" => Some(Across::Distance),
                    "drop" => Some(Across::Drop),
                    "span" => Some(Across::Span),
                    _ => None,
                };
                if let Some(across) = across {
                    self.at += 1;
                    let a = self.drawn(Slot::Point)?;
                    if !self.take_word("and") {
                        return self.wanted("`and` and a second point");
                    }
                    let b = self.drawn(Slot::Point)?;
                    return Ok(self.made(start, ExprKind::Between(across, Box::new((a, b)))));
                }
            }
            if ["in", "inch", "inches", "cm", "mm", "deg"].contains(&said) {
                let unit = said.to_owned();
                self.at = start;
                return self.stuck(
                    Note::new(self.span(), format!("A figure is missing before `{unit}`."))
                        .hint(format!("Write `2 {unit}`.")),
                );
            }
            if said == "yes" || said == "no" {
                return Ok(self.made(start, ExprKind::YesNo(said == "yes")));
            }
        }
        let mut parts = vec![name];
        while self.take_word("of") {
            parts.push(self.name()?);
            if parts.len() > 8 {
                return self.wanted("a shorter name");
            }
        }
        let span = self.span_from(start);
        Ok(Expr {
            kind: ExprKind::Named(Ref { parts, span }),
            span,
        })
    }

    /// A value: cases, or one searched for, and whether it may move. Takes commas that belong to it.
    pub(crate) fn value(&mut self) -> Read<Value> {
        let start = self.at;
        let form = if self.at_word("found") && self.peek_at(1).is_some_and(|t| t.is_word("between"))
        {
            self.at += 2;
            let low = self.sum()?;
            if !self.take_word("and") {
                return self.wanted("`and` and the upper limit");
            }
            let high = self.sum()?;
            let _ = self.take_sign(",");
            if !self.take_words(&["so", "that"]) {
                return self.wanted("`so that`");
            }
            let left = self.sum()?;
            if !self.take_sign("=") {
                return self.wanted("`=`");
            }
            let right = self.sum()?;
            ValueForm::Found {
                low,
                high,
                left,
                right,
            }
        } else {
            let mut cases = Vec::new();
            loop {
                if self.take_word("else") {
                    cases.push((self.ask()?, None));
                    break;
                }
                let case = self.ask()?;
                if !self.take_word("when") {
                    cases.push((case, None));
                    break;
                }
                let when = self.ask()?;
                cases.push((case, Some(when)));
                let more = self.at_sign(",") && !self.at_tail(1);
                if !more {
                    break;
                }
                self.at += 1;
            }
            ValueForm::Cases(cases)
        };
        let mut moves = None;
        let comma = usize::from(self.at_sign(","));
        if self.peek_at(comma).is_some_and(|t| t.is_word("may")) {
            self.at += comma;
            self.take_word("may");
            for word in ["move", "between"] {
                if !self.take_word(word) {
                    return self.missing_or_near(word, "`may move between`");
                }
            }
            let low = self.sum()?;
            if !self.take_word("and") {
                return self.wanted("`and` and the upper limit");
            }
            moves = Some((low, self.sum()?));
        }
        Ok(Value {
            form,
            moves,
            span: self.span_from(start),
        })
    }

    /// Whether what follows after `ahead` tokens ends a value: `may move`, `each`.
    pub(super) fn at_tail(&self, ahead: usize) -> bool {
        self.peek_at(ahead)
            .is_none_or(|t| t.is_word("may") || t.is_word("each"))
    }
}
