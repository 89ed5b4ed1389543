//! Reads the words of one entry: names, sums, questions, and rows of the vocabulary.
//!
//! Nothing here asks what a name stands for, so a misspelt name never changes the tree.

mod drawn;
mod rows;
mod sums;

use measure::words::nearest;

use crate::note::{Note, Span};
use crate::tree::{Expr, ExprKind, Function, Number, Ref, RefName};
use crate::words::{self, Kind, MAY_BEGIN, Token};

/// Why a phrase could not be read, and how far it got.
#[derive(Clone, Debug)]
pub(crate) struct Stuck {
    pub(crate) at: usize,
    pub(crate) note: Note,
    /// The form of a row was left at one of its fixed words.
    form: bool,
}

type Read<T> = Result<T, Box<Stuck>>;

/// Brackets and sums may stand in each other this deep.
const DEEPEST: usize = 40;

/// The tokens of an entry, and how far they are read.
pub(crate) struct Phrase<'a> {
    tokens: &'a [Token],
    pub(crate) at: usize,
    /// Where to point when nothing is left.
    end: Span,
    depth: usize,
}

pub(crate) const FUNCTIONS: [(&str, Function, usize); 13] = [
    ("least", Function::Least, 2),
    ("greatest", Function::Greatest, 2),
    ("size", Function::Size, 1),
    ("next whole", Function::NextWhole, 1),
    ("whole part", Function::WholePart, 1),
    ("root", Function::Root, 1),
    ("slant", Function::Slant, 2),
    ("flare rise", Function::FlareRise, 2),
    ("circle radius", Function::CircleRadius, 1),
    ("circle girth", Function::CircleGirth, 1),
    ("arc angle", Function::ArcAngle, 2),
    ("step girth", Function::StepGirth, 2),
    ("step length", Function::StepLength, 2),
];

impl<'a> Phrase<'a> {
    pub(crate) fn new(tokens: &'a [Token], end: Span) -> Self {
        Self {
            tokens,
            at: 0,
            end,
            depth: 0,
        }
    }

    pub(crate) fn peek(&self) -> Option<&'a Token> {
        self.tokens.get(self.at)
    }

    fn peek_at(&self, ahead: usize) -> Option<&'a Token> {
        self.tokens.get(self.at + ahead)
    }

    pub(crate) fn len(&self) -> usize {
        self.tokens.len()
    }

    pub(crate) fn done(&self) -> bool {
        self.at >= self.tokens.len()
    }

    pub(crate) fn span(&self) -> Span {
        self.peek().map_or(self.end, |t| t.span)
    }

    fn span_from(&self, start: usize) -> Span {
        let first = self.tokens.get(start).map_or(self.end, |t| t.span);
        match self.at.checked_sub(1).and_then(|i| self.tokens.get(i)) {
            Some(last) if self.at > start => first.to(last.span),
            _ => first,
        }
    }

    pub(crate) fn at_word(&self, word: &str) -> bool {
        self.peek().is_some_and(|t| t.is_word(word))
    }

    pub(crate) fn at_sign(&self, sign: &str) -> bool {
        self.peek().is_some_and(|t| t.is_sign(sign))
    }

    pub(crate) fn take_word(&mut self, word: &str) -> bool {
        let here = self.at_word(word);
        if here {
            self.at += 1;
        }
        here
    }

    pub(crate) fn take_words(&mut self, all: &[&str]) -> bool {
        let here = all
            .iter()
            .enumerate()
            .all(|(i, w)| self.peek_at(i).is_some_and(|t| t.is_word(w)));
        if here {
            self.at += all.len();
        }
        here
    }

    pub(crate) fn take_sign(&mut self, sign: &str) -> bool {
        let here = self.at_sign(sign);
        if here {
            self.at += 1;
        }
        here
    }

    pub(crate) fn take_text(&mut self) -> Option<(String, Span)> {
        match self.peek() {
            Some(Token {
                kind: Kind::Text(text),
                span,
                ..
            }) => {
                self.at += 1;
                Some((text.clone(), *span))
            }
            _ => None,
        }
    }

    /// At a comma, a closing bracket, or the end.
    pub(crate) fn at_stop(&self) -> bool {
        self.peek()
            .is_none_or(|t| t.is_sign(",") || t.is_sign(")") || t.is_sign("|"))
    }

    pub(crate) fn stuck<T>(&self, note: Note) -> Read<T> {
        Err(Box::new(Stuck {
            at: self.at,
            note,
            form: false,
        }))
    }

    /// Says what was found where something else was wanted.
    pub(crate) fn wanted<T>(&self, what: &str) -> Read<T> {
        if let Some(note) = self.wrong_unit() {
            return self.stuck(note);
        }
        let note = match self.peek() {
            None => Note::new(
                self.end,
                format!("Something is missing here: I want {what}."),
            ),
            Some(t) if t.is_sign(",") => Note::new(
                t.span,
                format!("Something is missing before this comma: I want {what}."),
            ),
            Some(t) if t.is_sign(")") => Note::new(
                t.span,
                format!("Something is missing before this bracket: I want {what}."),
            ),
            Some(t) if t.is_sign("=") && self.at > 0 && self.tokens[self.at - 1].is_sign("=") => {
                Note::new(t.span, "One `=` is enough.").hint("Take the second away.")
            }
            Some(t) => match &t.kind {
                Kind::Word(w) if words::joins(w) => Note::new(
                    t.span,
                    format!("Something is missing before `{w}`: I want {what}."),
                ),
                Kind::Number { .. } => Note::new(
                    t.span,
                    format!("I can't read `{}` here: I want {what}.", t.raw),
                )
                .hint("Is a comma or a sign missing before it?"),
                _ => Note::new(
                    t.span,
                    format!("I can't read `{}` here: I want {what}.", t.raw),
                ),
            },
        };
        self.stuck(note)
    }

    /// A word behind a figure that was meant as its unit.
    fn wrong_unit(&self) -> Option<Note> {
        let before = self.at.checked_sub(1).and_then(|i| self.tokens.get(i))?;
        let Token {
            kind: Kind::Word(said),
            span,
            ..
        } = self.peek()?
        else {
            return None;
        };
        let Kind::Number { unit, .. } = before.kind else {
            return None;
        };
        let units = ["in", "inch", "inches", "cm", "mm", "deg", "degrees"];
        if unit.is_some() && units.contains(&said.as_str()) {
            return Some(
                Note::new(*span, format!("`{} {said}` has two units.", before.raw))
                    .hint("Take one of them away."),
            );
        }
        let other = [
            "yard",
            "yards",
            "yd",
            "yds",
            "feet",
            "foot",
            "ft",
            "metre",
            "metres",
            "meter",
            "meters",
            "m",
            "dm",
            "pt",
            "px",
            "percent",
            "cms",
            "centimetre",
            "centimetres",
            "centimeter",
            "centimeters",
            "millimetre",
            "millimetres",
            "millimeter",
            "millimeters",
            "zoll",
            "pouces",
        ];
        if unit.is_some() || words::joins(said) {
            return None;
        }
        let note = Note::new(*span, format!("I don't know the unit `{said}`."));
        if let Some(meant) = nearest(
            said,
            units
                .iter()
                .copied()
                .filter(|u| u.len() > 2 || said.len() < 4),
        ) {
            return Some(note.hint(format!("Did you mean `{meant}`?")));
        }
        other
            .contains(&said.as_str())
            .then(|| note.hint("I know `in`, `cm` and `mm`; `deg` for angles; `%` for shares."))
    }

    fn plain_word(&self, ahead: usize) -> Option<&'a str> {
        match self.peek_at(ahead) {
            Some(Token {
                kind: Kind::Word(w),
                ..
            }) if !words::joins(w) => Some(w),
            _ => None,
        }
    }

    /// A name: the longest run of words that do not join.
    pub(crate) fn name(&mut self) -> Read<RefName> {
        let start = self.at;
        let mut said: Vec<&str> = Vec::new();
        if let Some(Token {
            kind: Kind::Word(w),
            ..
        }) = self.peek()
            && MAY_BEGIN.contains(&w.as_str())
            && self.plain_word(1).is_some_and(|n| n != "to")
        {
            said.push(w);
            self.at += 1;
        }
        while let Some(word) = self.plain_word(0) {
            if word == "to" && (said.is_empty() || self.plain_word(1).is_none()) {
                break;
            }
            said.push(word);
            self.at += 1;
        }
        if said.is_empty() {
            self.at = start;
            if let Some(Token {
                kind: Kind::Word(w),
                span,
                ..
            }) = self.peek()
                && words::joins(w)
            {
                return self.stuck(Note::new(*span, format!("A name is missing before `{w}`.")));
            }
            return self.wanted("a name");
        }
        let mut name = said.join(" ");
        let mut number = None;
        if self.at_word("number") {
            match self.peek_at(1) {
                Some(Token {
                    kind:
                        Kind::Number {
                            value, whole: true, ..
                        },
                    ..
                }) => {
                    #[expect(clippy::cast_possible_truncation, reason = "rounded and clamped")]
                    let figure = value.clamp(-1e9, 1e9) as i64;
                    number = Some(Number::Figure(figure));
                    self.at += 2;
                }
                Some(Token {
                    kind: Kind::Word(w),
                    ..
                }) if !words::joins(w) => {
                    number = Some(Number::Word(w.as_str().into()));
                    self.at += 2;
                }
                Some(t) if t.is_sign("(") => {
                    self.at += 2;
                    let sum = self.deeper(Self::ask)?;
                    if !self.take_sign(")") {
                        return self.wanted("`)`");
                    }
                    number = Some(Number::Sum(Box::new(sum)));
                }
                _ => {
                    self.at += 1;
                    return self.wanted("a figure, a counter or a sum in brackets");
                }
            }
            let mut after: Vec<&str> = Vec::new();
            while let Some(word) = self.plain_word(0) {
                if word == "to" && (after.is_empty() || self.plain_word(1).is_none()) {
                    break;
                }
                after.push(word);
                self.at += 1;
            }
            if !after.is_empty() {
                name.push('\u{1}');
                name.push_str(&after.join(" "));
            }
        }
        Ok(RefName {
            name: name.into(),
            number,
            span: self.span_from(start),
        })
    }

    /// A name, and perhaps whose.
    pub(crate) fn reference(&mut self) -> Read<Ref> {
        let start = self.at;
        let mut parts = vec![self.name()?];
        while self.take_word("of") {
            parts.push(self.name()?);
            if parts.len() > 8 {
                return self.wanted("a shorter name");
            }
        }
        Ok(Ref {
            parts,
            span: self.span_from(start),
        })
    }

    fn deeper<T>(&mut self, read: impl FnOnce(&mut Self) -> Read<T>) -> Read<T> {
        if self.depth >= DEEPEST {
            return self.stuck(
                Note::new(self.span(), "Too much stands in brackets here.")
                    .hint("Give a part of it a name of its own."),
            );
        }
        self.depth += 1;
        let out = read(self);
        self.depth -= 1;
        out
    }

    fn made(&self, start: usize, kind: ExprKind) -> Expr {
        Expr {
            kind,
            span: self.span_from(start),
        }
    }
}

/// A pattern as it reads, without its kinds.
pub(crate) fn plainly(pattern: &str) -> String {
    pattern
        .split(' ')
        .map(
            |word| match word.strip_prefix('{').and_then(|w| w.strip_suffix('}')) {
                Some(inner) => match inner.split_once(':').map(|x| x.1) {
                    Some("L" | "N" | "A") => "…",
                    _ => "…",
                },
                None => word,
            },
        )
        .collect::<Vec<_>>()
        .join(" ")
}
