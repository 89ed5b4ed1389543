//! Reads the words of one entry: names, sums, questions, and rows of the vocabulary.
//!
//! Nothing here asks what a name stands for, so a misspelt name never changes the tree.

use measure::words::nearest;

use crate::note::{Note, Span};
use crate::tree::{
    Across, Arg, Body, Comparison, Drawn, EdgeRef, End, Expr, ExprKind, FigureKind, Function,
    Makes, Number, Op, Part, Ref, RefName, Value, ValueForm, Way,
};
use crate::vocabulary::{self, BODY_LEVELS, Bit, Row, SHARES, Slot, Where};
use crate::words::{self, Kind, MAY_BEGIN, Measured, Token};

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

    // Sums and questions.

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

    fn counted(&self, count: usize) -> Read<usize> {
        if count >= DEEPEST {
            return self.stuck(
                Note::new(self.span(), "This sum is too long.")
                    .hint("Give a part of it a name of its own."),
            );
        }
        Ok(count + 1)
    }

    fn made(&self, start: usize, kind: ExprKind) -> Expr {
        Expr {
            kind,
            span: self.span_from(start),
        }
    }

    fn both(&mut self) -> Read<Expr> {
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

    fn test(&mut self) -> Read<Expr> {
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

    fn product(&mut self) -> Read<Expr> {
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

    fn signed(&mut self) -> Read<Expr> {
        let start = self.at;
        if self.take_sign("-") {
            let inner = self.deeper(Self::signed)?;
            return Ok(self.made(start, ExprKind::Minus(Box::new(inner))));
        }
        self.deeper(Self::atom)
    }

    fn atom(&mut self) -> Read<Expr> {
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

    fn worded(&mut self, start: usize) -> Read<Expr> {
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
                        args.push(self.deeper(Self::signed)?);
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
    fn at_tail(&self, ahead: usize) -> bool {
        self.peek_at(ahead)
            .is_none_or(|t| t.is_word("may") || t.is_word("each"))
    }

    // Drawn things.

    /// A drawn thing for a place of this kind.
    pub(crate) fn drawn(&mut self, slot: Slot) -> Read<Drawn> {
        if self.at_sign("(") {
            return self.deeper(|p| p.bracket(slot));
        }
        let start = self.at;
        for (word, end) in [("start", End::Start), ("end", End::End), ("tip", End::Tip)] {
            if self.at_word(word) && self.peek_at(1).is_some_and(|t| t.is_word("of")) {
                self.at += 2;
                let inner = if end == End::Tip {
                    Slot::Dart
                } else {
                    Slot::Edge
                };
                let of = self.deeper(|p| p.drawn(inner))?;
                return Ok(Drawn::EndOf(end, Box::new(of), self.span_from(start)));
            }
        }
        match self.peek() {
            Some(Token {
                kind: Kind::Word(_),
                ..
            }) => Ok(Drawn::Named(self.reference()?)),
            _ => self.wanted(slot.wants()),
        }
    }

    fn bracket(&mut self, slot: Slot) -> Read<Drawn> {
        let start = self.at;
        self.at += 1;
        let makes: &[Makes] = match slot {
            Slot::Edge | Slot::Edges => &[Makes::Line],
            Slot::Straight => &[Makes::Line, Makes::Level],
            Slot::Spot => &[Makes::Level, Makes::Point],
            Slot::Ruling => &[Makes::Level],
            _ => &[Makes::Point],
        };
        let mut worst: Option<Box<Stuck>> = None;
        for &make in makes {
            self.at = start + 1;
            match self.bracket_parts(make) {
                Ok(parts) => {
                    let span = self.span_from(start);
                    return Ok(Drawn::Bracket(Box::new(Body {
                        makes: make,
                        parts,
                        span,
                        spoilt: false,
                    })));
                }
                Err(stuck) => {
                    if worst.as_ref().is_none_or(|w| stuck.at > w.at) {
                        worst = Some(stuck);
                    }
                }
            }
        }
        match worst {
            Some(stuck) => Err(stuck),
            None => self.wanted(slot.wants()),
        }
    }

    fn bracket_parts(&mut self, makes: Makes) -> Read<Vec<Part>> {
        let (first, more): (&[Where], &[Where]) = match makes {
            Makes::Point => (&[Where::Place], &[Where::PlaceMore]),
            Makes::Level => (&[Where::Level], &[Where::LevelMore]),
            Makes::Line => (&[Where::Line], &[Where::Leg, Where::LegMore]),
        };
        let mut parts = vec![self.part(first, true)?];
        loop {
            if self.take_sign(")") {
                return Ok(parts);
            }
            if !self.take_sign(",") {
                return self.wanted("a comma or `)`");
            }
            parts.push(self.part(more, true)?);
        }
    }

    /// A line, or a part of one.
    pub(crate) fn edge(&mut self) -> Read<EdgeRef> {
        let line = self.drawn(Slot::Edge)?;
        let mut between = None;
        if self.take_word("between") {
            let a = self.drawn(Slot::Point)?;
            if !self.take_word("and") {
                return self.wanted("`and` and a second point");
            }
            between = Some(Box::new((a, self.drawn(Slot::Point)?)));
        }
        Ok(EdgeRef { line, between })
    }

    pub(crate) fn edges(&mut self) -> Read<Vec<EdgeRef>> {
        let mut all = vec![self.edge()?];
        while self.take_word("then") {
            all.push(self.edge()?);
        }
        Ok(all)
    }

    fn way(&mut self) -> Read<Way> {
        if self.take_word("upright") {
            return Ok(Way::Upright);
        }
        if self.take_word("level") {
            return Ok(Way::Level);
        }
        if self.take_words(&["square", "to"]) {
            return Ok(Way::Square(self.drawn(Slot::Straight)?));
        }
        if self.take_word("toward") {
            return Ok(Way::Toward(self.drawn(Slot::Point)?));
        }
        if self.take_word("along") {
            return Ok(Way::Along(self.drawn(Slot::Straight)?));
        }
        let said = self
            .peek()
            .map(|t| t.raw.to_lowercase())
            .unwrap_or_default();
        match nearest(&said, ["upright", "level", "square", "toward", "along"]) {
            Some("square") if said == "square" => {
                self.at += 1;
                self.wanted("`to` and a line or a ruling, as in `square to side`")
            }
            Some(meant) => {
                let note = Note::new(self.span(), format!("I don't know the direction `{said}`."))
                    .hint(format!("Did you mean `{meant}`?"));
                self.stuck(note)
            }
            None => self
                .wanted("a direction: `upright`, `level`, `square to …`, `toward …` or `along …`"),
        }
    }

    // Rows of the vocabulary.

    /// One part: the row that fits. In brackets a place may leave out its `at`.
    pub(crate) fn part(&mut self, places: &[Where], bracket: bool) -> Read<Part> {
        let start = self.at;
        let mut worst: Option<Box<Stuck>> = None;
        let mut tied = 0usize;
        let mut forms: Vec<String> = Vec::new();
        for &place in places {
            for row in vocabulary::rows(place) {
                if let Some(Bit::Word(first)) = row.bits.first() {
                    if !self.at_word(first) {
                        continue;
                    }
                    forms.push(format!("`{}`", plainly(row.pattern)));
                }
                let stuck = match self.row(row) {
                    Ok(part) => return Ok(part),
                    Err(stuck) => stuck,
                };
                self.at = start;
                match &mut worst {
                    Some(w) if stuck.at == w.at => {
                        tied += 1;
                        // What the form wants next says less than what is wrong in it.
                        let nearer = w.note.hint.is_none() && stuck.note.hint.is_some();
                        if w.form && (!stuck.form || nearer) {
                            *w = stuck;
                        }
                    }
                    Some(w) if stuck.at < w.at => {}
                    _ => {
                        tied = 1;
                        worst = Some(stuck);
                    }
                }
            }
        }
        let known = !forms.is_empty();
        if bracket && !known && places.contains(&Where::Place) {
            return self.bare_place();
        }
        match worst {
            Some(stuck) if known || stuck.at > start => {
                if stuck.form && tied > 1 && stuck.note.hint.is_none() {
                    return self.one_of(stuck.at, &mut forms);
                }
                Err(stuck)
            }
            _ => self.unknown(places),
        }
    }

    /// Says which forms begin as this part does.
    fn one_of<T>(&mut self, at: usize, forms: &mut Vec<String>) -> Read<T> {
        let start = core::mem::replace(&mut self.at, at);
        let message = match self.peek() {
            Some(t) if !t.is_sign(",") && !t.is_sign(")") => {
                format!("I can't read `{}` here.", t.raw)
            }
            _ => "Something is missing here.".to_owned(),
        };
        forms.dedup();
        let note = Note::new(self.span(), message).hint(format!("I know {}.", forms.join(", ")));
        let stuck = self.stuck(note);
        self.at = start;
        stuck
    }

    /// A place in brackets without `at`.
    fn bare_place(&mut self) -> Read<Part> {
        let start = self.at;
        let a = Arg::Drawn(self.drawn(Slot::Spot)?);
        let mut args = vec![a];
        let mut id = vocabulary::Id::At;
        if self.take_word("and") {
            args.push(Arg::Drawn(self.drawn(Slot::Spot)?));
            id = vocabulary::Id::AtCrossing;
        }
        if !self.at_stop() {
            return self.wanted("a comma or `)`");
        }
        let span = self.span_from(start);
        match vocabulary::rows(Where::Place).find(|r| r.id == id) {
            Some(row) => Ok(Part { row, args, span }),
            None => self.wanted("a point"),
        }
    }

    fn unknown<T>(&self, places: &[Where]) -> Read<T> {
        let what = match places.first() {
            Some(Where::Level) => "a level such as `2 in below hip line`",
            Some(Where::Upright) => "an upright such as `3 in from centre line`",
            Some(Where::Place) => "a point such as `at hip line and side line`",
            Some(Where::PlaceMore) => "a move such as `up 1 in`",
            Some(Where::Line) => "a line such as `from hip side, straight to hem side`",
            Some(Where::Leg | Where::LegMore) => "a leg such as `straight to hem side`",
            Some(Where::Dart) => "a dart's `into`, `place`, `intake`, `length` or `pressed toward`",
            Some(Where::Piece) => "a piece's `on`, `outline`, `copy from`, a work on it, or `cut`",
            Some(Where::Finish) => {
                "a finish such as `seam`, `allowance 1/2 in` or `notch at hip line`"
            }
            Some(Where::LevelMore) => "what the level is on the body, such as `the hip level`",
            _ => "the end of the line",
        };
        let Some(Token {
            kind: Kind::Word(said),
            span,
            ..
        }) = self.peek()
        else {
            return self.wanted(what);
        };
        let firsts: Vec<&str> = places
            .iter()
            .flat_map(|p| vocabulary::rows(*p))
            .filter_map(|r| match r.bits.first() {
                Some(Bit::Word(w)) => Some(*w),
                _ => None,
            })
            .collect();
        if let Some(meant) = nearest(said, firsts.iter().copied()) {
            let kind = match places.first() {
                Some(Where::PlaceMore) => "move",
                _ => "word",
            };
            return self.stuck(
                Note::new(*span, format!("I don't know the {kind} `{said}`."))
                    .hint(format!("Did you mean `{meant}`?")),
            );
        }
        self.wanted(what)
    }

    fn row(&mut self, row: &'static Row) -> Read<Part> {
        let start = self.at;
        let mut args = Vec::new();
        for bit in &row.bits {
            match *bit {
                Bit::Word(word) => {
                    if !self.take_word(word) {
                        return self.missing_word(row, word);
                    }
                }
                Bit::Slot(_, slot) => args.push(self.slot(slot)?),
            }
        }
        if !self.at_stop() {
            return self.wanted("a comma, or the end of the line");
        }
        Ok(Part {
            row,
            args,
            span: self.span_from(start),
        })
    }

    fn missing_word<T>(&self, row: &Row, word: &str) -> Read<T> {
        let form = format!("`{word}`, as in `{}`", plainly(row.pattern));
        self.missing_or_near(word, &form).map_err(|mut stuck| {
            stuck.form = true;
            stuck
        })
    }

    /// A fixed word is not here; perhaps it is misspelt.
    fn missing_or_near<T>(&self, word: &str, form: &str) -> Read<T> {
        if let Some(Token {
            kind: Kind::Word(said),
            span,
            ..
        }) = self.peek()
            && nearest(said, [word]).is_some()
        {
            return self.stuck(
                Note::new(*span, format!("I don't know the word `{said}` here."))
                    .hint(format!("Did you mean `{word}`?")),
            );
        }
        self.wanted(form)
    }

    fn slot(&mut self, slot: Slot) -> Read<Arg> {
        Ok(match slot {
            Slot::Length | Slot::Number | Slot::Angle => {
                let start = self.at;
                match self.sum() {
                    Ok(sum) => Arg::Number(sum),
                    // Nothing that is a number began here, so say which kind of number it wants.
                    Err(stuck) if stuck.at == start => return self.wanted(slot.wants()),
                    Err(stuck) => return Err(stuck),
                }
            }
            Slot::Ask => Arg::Number(self.ask()?),
            Slot::Point
            | Slot::Straight
            | Slot::Ruling
            | Slot::Spot
            | Slot::PointOrOwn
            | Slot::Dart
            | Slot::Sheet
            | Slot::Own => Arg::Drawn(self.drawn(slot)?),
            Slot::Points => {
                let mut all = vec![self.drawn(Slot::Point)?];
                while self.take_word("then") {
                    all.push(self.drawn(Slot::Point)?);
                }
                Arg::Several(all)
            }
            Slot::Edge => Arg::Edge(self.edge()?),
            Slot::Edges => Arg::Edges(self.edges()?),
            Slot::Way => Arg::Way(self.way()?),
            Slot::Word => {
                let name = self.name()?;
                Arg::Word(name.name, name.span)
            }
            Slot::BodyLevel => {
                let name = self.name()?;
                match name
                    .name
                    .strip_suffix(" level")
                    .filter(|b| BODY_LEVELS.contains(b))
                {
                    Some(body) => Arg::Word(body.into(), name.span),
                    None => {
                        let bare = name.name.trim_end_matches(" level");
                        let note = Note::new(
                            name.span,
                            format!("I don't know the body level `{}`.", name.name),
                        );
                        let note = match nearest(bare, BODY_LEVELS) {
                            Some(meant) => note.hint(format!("Did you mean `the {meant} level`?")),
                            None => note.hint(format!("I know {}.", BODY_LEVELS.join(", "))),
                        };
                        return self.stuck(note);
                    }
                }
            }
            Slot::Text => match self.take_text() {
                Some((text, _)) => Arg::Text(text),
                None => return self.wanted(slot.wants()),
            },
            Slot::Free => Arg::Free(self.reference()?),
        })
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
