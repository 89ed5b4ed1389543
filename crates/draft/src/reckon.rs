//! Reckons sums and answers questions; checks that their kinds go together.

use measure::words::nearest;
use measure::{Length, Point};

use crate::note::{Note, Span};
use crate::said;
use crate::tree::{
    Across, Comparison, EdgeRef, Expr, ExprKind, FigureKind, Op, Ref, RefName, Value, ValueForm,
};
use crate::walk::{Dim, Freedom, Key, Num, Walker};

/// A figure as she would write it.
pub(crate) fn fraction_of(v: f64) -> String {
    for below in [1u32, 2, 4, 8, 16, 3] {
        let above = v * f64::from(below);
        if (above - above.round()).abs() < 1e-9 && below > 1 {
            let whole = v.trunc();
            let part = (v - whole).abs() * f64::from(below);
            return if whole.abs() < 0.5 {
                format!("{}/{below}", crate::worked::plain(above, 0))
            } else {
                format!(
                    "{} {}/{below}",
                    crate::worked::plain(whole, 0),
                    crate::worked::plain(part, 0)
                )
            };
        }
        if below == 1 && (v - v.round()).abs() < 1e-9 {
            return crate::worked::plain(v, 0);
        }
    }
    crate::worked::plain(v, 3)
}

impl Walker<'_> {
    /// A value: the first case that holds, or one searched for; and whether it may move.
    pub(crate) fn value(&mut self, value: &Value, key: Option<&Key>) -> Option<Num> {
        let mut num = match &value.form {
            ValueForm::Cases(cases) => self.cases(cases, value.span),
            ValueForm::Found {
                low,
                high,
                left,
                right,
            } => self.searched(low, high, left, right, key, value.span),
        };
        let Some((low, high)) = &value.moves else {
            return num;
        };
        let (low, high) = (self.sum(low), self.sum(high));
        let (Some(n), Some(l), Some(h), Some(key)) = (num, low, high, key) else {
            return num;
        };
        for limit in [l, h] {
            if !n.dim.fits(limit.dim) {
                self.note(Note::new(
                    value.span,
                    format!(
                        "This is {}, and the limits between which it may move are {}.",
                        n.dim.shown(),
                        limit.dim.shown()
                    ),
                ));
                return num;
            }
        }
        if self.dry() {
            let scope = self.scope;
            self.freedoms.push(Freedom {
                scope,
                key: key.clone(),
                low: 0.0,
                high: 0.0,
                stands: 0.0,
                set: None,
                dim: n.dim,
            });
            return num;
        }
        let scope = self.scope;
        let place = match self
            .freedoms
            .iter()
            .position(|f| f.scope == scope && f.key == *key)
        {
            Some(i) => i,
            None => {
                self.freedoms.push(Freedom {
                    scope,
                    key: key.clone(),
                    low: l.v.min(h.v),
                    high: l.v.max(h.v),
                    stands: n.v,
                    set: None,
                    dim: n.dim,
                });
                self.freedoms.len() - 1
            }
        };
        let freedom = &mut self.freedoms[place];
        (freedom.low, freedom.high, freedom.stands) = (l.v.min(h.v), l.v.max(h.v), n.v);
        self.deps |= 1u64
            .checked_shl(u32::try_from(place).unwrap_or(63))
            .unwrap_or(1 << 63);
        if let Some(v) = freedom.set {
            num = Some(Num { v, ..n });
        }
        num
    }

    fn cases(&mut self, cases: &[(Expr, Option<Expr>)], span: Span) -> Option<Num> {
        let mut first: Option<Num> = None;
        let mut spoilt = false;
        let mut chosen = None;
        let mut denied: Vec<String> = Vec::new();
        for (sum, when) in cases {
            let mut answer = true;
            let outer = self.conds.len();
            if let Some(when) = when {
                match self.ask(when) {
                    Some(a) => answer = a,
                    None => {
                        spoilt = true;
                        answer = false;
                    }
                }
                if self.dry() {
                    match self.static_truth(when) {
                        crate::walk::Truth::No => continue,
                        crate::walk::Truth::Open(parts) => self.conds.extend(parts),
                        crate::walk::Truth::Yes => {}
                    }
                }
            }
            if self.dry() {
                self.conds.extend(denied.iter().cloned());
                let num = self.asked(sum);
                self.conds.truncate(outer);
                if let Some(when) = when
                    && let crate::walk::Truth::Open(parts) = self.static_truth(when)
                    && let [one] = &parts[..]
                {
                    denied.push(match one.strip_prefix("not ") {
                        Some(rest) => rest.to_owned(),
                        None => format!("not {one}"),
                    });
                }
                match (first, num) {
                    (Some(a), Some(b)) if !a.dim.fits(b.dim) => {
                        if !self.bare_length(a.dim, sum) {
                            self.note(
                                Note::new(
                                    sum.span,
                                    format!(
                                        "This case is {}, the first is {}.",
                                        b.dim.shown(),
                                        a.dim.shown()
                                    ),
                                )
                                .hint("All cases are of one kind."),
                            );
                        }
                        spoilt = true;
                    }
                    (_, None) => spoilt = true,
                    (None, Some(_)) => first = num,
                    _ => {}
                }
                continue;
            }
            if answer {
                chosen = self.asked(sum);
                break;
            }
        }
        if self.dry() {
            if cases.last().is_some_and(|c| c.1.is_some()) {
                self.note(
                    Note::new(span, "If none of these holds, there is no value.")
                        .hint("End with `else …`."),
                );
                return None;
            }
            return if spoilt { None } else { first };
        }
        if chosen.is_none() && !spoilt && cases.last().is_some_and(|c| c.1.is_some()) {
            self.note(Note::new(span, "None of these cases holds.").hint("End with `else …`."));
        }
        chosen
    }

    /// A question, answered; in the dry walk some answer.
    pub(crate) fn ask(&mut self, expr: &Expr) -> Option<bool> {
        let num = self.asked(expr)?;
        if !Dim::YesNo.fits(num.dim) {
            self.note(
                Note::new(
                    expr.span,
                    format!("Here I want a question, and this is {}.", num.dim.shown()),
                )
                .hint("Compare it: `< 3 in`, `= 2`, `is …`."),
            );
            return None;
        }
        Some(num.v > 0.5)
    }

    /// A sum of this kind.
    pub(crate) fn of_kind(&mut self, expr: &Expr, dim: Dim) -> Option<f64> {
        let num = self.sum(expr)?;
        if num.dim.fits(dim) {
            return Some(num.v);
        }
        if !self.bare_length(dim, expr) {
            self.note(Note::new(
                expr.span,
                format!(
                    "Here I want {}, and this is {}.",
                    dim.shown(),
                    num.dim.shown()
                ),
            ));
        }
        None
    }

    /// A figure by itself where a length is wanted: the commonest slip has a note of its own.
    pub(crate) fn bare_length(&mut self, dim: Dim, expr: &Expr) -> bool {
        if dim != Dim::Length {
            return false;
        }
        let mut inner = expr;
        while let ExprKind::Bracket(e) | ExprKind::Minus(e) = &inner.kind {
            inner = e;
        }
        let ExprKind::Figure(v, FigureKind::Plain) = inner.kind else {
            return false;
        };
        let said = fraction_of(v);
        self.note(
            Note::new(
                expr.span,
                format!("A number by itself is no length. {said} what?"),
            )
            .hint(format!("Write `{said} in` or `{said} cm`.")),
        );
        true
    }

    /// A sum; a question here is a fault.
    pub(crate) fn sum(&mut self, expr: &Expr) -> Option<Num> {
        self.asked(expr)
    }

    fn yes_no(v: bool) -> Num {
        Num {
            v: f64::from(u8::from(v)),
            dim: Dim::YesNo,
        }
    }

    /// A sum or question, worked out.
    pub(crate) fn asked(&mut self, expr: &Expr) -> Option<Num> {
        let num = self.asked_inner(expr)?;
        if !self.dry() && !num.v.is_finite() && num.dim != Dim::Any {
            self.note(
                Note::new(
                    expr.span,
                    format!("`{}` comes to nothing that can be drawn.", said::expr(expr)),
                )
                .hint("Is something divided by nothing, or a root taken of less than nothing?"),
            );
            return None;
        }
        if num.dim == Dim::Any && !self.dry() {
            return None;
        }
        Some(num)
    }

    fn asked_inner(&mut self, expr: &Expr) -> Option<Num> {
        match &expr.kind {
            ExprKind::Spoilt => None,
            ExprKind::Figure(v, kind) => Some(Num {
                v: *v,
                dim: match kind {
                    FigureKind::Length => Dim::Length,
                    FigureKind::Angle => Dim::Angle,
                    FigureKind::Plain => Dim::Number,
                    FigureKind::Percent => Dim::Share,
                },
            }),
            ExprKind::YesNo(v) => Some(Self::yes_no(*v)),
            ExprKind::Bracket(inner) => self.asked(inner),
            ExprKind::Named(r) => self.named(r),
            ExprKind::Minus(inner) => {
                let num = self.sum(inner)?;
                if matches!(num.dim, Dim::YesNo | Dim::Word(_)) {
                    self.note(Note::new(
                        expr.span,
                        format!("I can't take {} away.", num.dim.shown()),
                    ));
                    return None;
                }
                Some(Num { v: -num.v, ..num })
            }
            ExprKind::Reckon(op, a, b, sign) => self.reckon(*op, a, b, *sign),
            ExprKind::Compare(c, a, b, _) => self.compare(*c, a, b),
            ExprKind::Is(a, word) => self.is(a, word),
            ExprKind::And(a, b) => {
                let x = self.ask(a)?;
                Some(Self::yes_no(self.ask(b)? && x))
            }
            ExprKind::Or(a, b) => {
                let x = self.ask(a)?;
                Some(Self::yes_no(self.ask(b)? || x))
            }
            ExprKind::Not(a) => Some(Self::yes_no(!self.ask(a)?)),
            ExprKind::Share(share, said, of) => {
                let num = self.sum(of)?;
                if matches!(num.dim, Dim::YesNo | Dim::Word(_)) {
                    self.note(Note::new(
                        of.span,
                        format!("I can't take {said} of {}.", num.dim.shown()),
                    ));
                    return None;
                }
                Some(Num {
                    v: num.v * share,
                    ..num
                })
            }
            ExprKind::Function(f, args) => self.function(*f, args, expr.span),
            ExprKind::LengthOf(edge) => self.length_of(edge, expr.span),
            ExprKind::Between(across, ends) => {
                let (a, b) = (self.point(&ends.0), self.point(&ends.1));
                let (a, b) = (a?, b?);
                let v = match across {
                    Across::Distance => (b - a).size(),
                    Across::Drop => (b.y - a.y).abs(),
                    Across::Span => (b.x - a.x).abs(),
                };
                Some(Num {
                    v,
                    dim: Dim::Length,
                })
            }
        }
    }

    /// A number by its name.
    fn named(&mut self, r: &Ref) -> Option<Num> {
        if let Some(found) = self.find_number(r) {
            self.read_mark(found.deps, found.by);
            let said = said::reference(r);
            self.conditions(&found.conds, r.span, &said);
            return Some(found.what);
        }
        // On the other shelf it can only be said what it is.
        if r.parts.len() == 1 && &*r.parts[0].name == "here" {
            self.note(
                Note::new(r.span, "`here` is the sheet in hand.").hint("Ask `here is back`."),
            );
            return None;
        }
        if let Some(kind) = self.kind_of_drawn(r) {
            if kind == crate::walk::ThingKind::Any {
                return Some(Num {
                    v: f64::NAN,
                    dim: Dim::Any,
                });
            }
            let hint = match kind {
                crate::walk::ThingKind::Point => "`distance between` two points is a length.",
                crate::walk::ThingKind::Line => "`length of` a line is a length.",
                _ => "Name a number, or measure it.",
            };
            self.note(
                Note::new(r.span, format!("I can't reckon with {}.", kind.shown())).hint(hint),
            );
            return None;
        }
        if !self.redrawing {
            self.no_such(r, true);
        }
        None
    }

    fn reckon(&mut self, op: Op, a: &Expr, b: &Expr, sign: Span) -> Option<Num> {
        let (x, y) = (self.sum(a), self.sum(b));
        let (x, y) = (x?, y?);
        if x.dim == Dim::Any || y.dim == Dim::Any {
            let known = if x.dim == Dim::Any { y.dim } else { x.dim };
            let dim = if matches!(op, Op::Add | Op::Subtract) {
                known
            } else {
                Dim::Any
            };
            return Some(Num { v: f64::NAN, dim });
        }
        for (e, n) in [(a, x), (b, y)] {
            if matches!(n.dim, Dim::YesNo | Dim::Word(_)) {
                self.note(Note::new(
                    e.span,
                    format!("I can't reckon with {}.", n.dim.shown()),
                ));
                return None;
            }
        }
        match op {
            Op::Add | Op::Subtract => {
                if !x.dim.fits(y.dim) {
                    if (x.dim == Dim::Length && self.bare_length(Dim::Length, b))
                        || (y.dim == Dim::Length && self.bare_length(Dim::Length, a))
                    {
                        return None;
                    }
                    let says = if op == Op::Add {
                        format!("I can't add {} and {}.", x.dim.shown(), y.dim.shown())
                    } else {
                        format!("I can't take {} from {}.", y.dim.shown(), x.dim.shown())
                    };
                    self.note(Note::new(sign, says));
                    return None;
                }
                let dim = if x.dim == Dim::Share { y.dim } else { x.dim };
                Some(Num {
                    v: if op == Op::Add { x.v + y.v } else { x.v - y.v },
                    dim,
                })
            }
            Op::Times => {
                let plain = |d: Dim| matches!(d, Dim::Number | Dim::Share);
                let dim = match (x.dim, y.dim) {
                    (Dim::Length, Dim::Length) => Dim::Area,
                    (Dim::Number, Dim::Share) => Dim::Number,
                    (p, q) if plain(p) => q,
                    (p, q) if plain(q) => p,
                    (p, q) => {
                        self.note(Note::new(
                            sign,
                            format!("I can't multiply {} by {}.", p.shown(), q.shown()),
                        ));
                        return None;
                    }
                };
                Some(Num { v: x.v * y.v, dim })
            }
            Op::Divide => {
                let dim = match (x.dim, y.dim) {
                    (p, Dim::Number | Dim::Share) => p,
                    (Dim::Area, Dim::Length) => Dim::Length,
                    (p, q) if p.fits(q) => Dim::Number,
                    (p, q) => {
                        self.note(Note::new(
                            sign,
                            format!("I can't divide {} by {}.", p.shown(), q.shown()),
                        ));
                        return None;
                    }
                };
                if !self.dry() && y.v == 0.0 {
                    self.note(Note::new(
                        b.span,
                        format!("`{}` is nothing, and nothing can't divide.", said::expr(b)),
                    ));
                    return None;
                }
                Some(Num { v: x.v / y.v, dim })
            }
        }
    }

    fn compare(&mut self, c: Comparison, a: &Expr, b: &Expr) -> Option<Num> {
        let (x, y) = (self.sum(a), self.sum(b));
        let (x, y) = (x?, y?);
        if !x.dim.fits(y.dim) {
            if !((x.dim == Dim::Length && self.bare_length(Dim::Length, b))
                || (y.dim == Dim::Length && self.bare_length(Dim::Length, a)))
            {
                self.note(Note::new(
                    b.span,
                    format!("I can't compare {} with {}.", x.dim.shown(), y.dim.shown()),
                ));
            }
            return None;
        }
        // Lengths that agree to a millionth of a millimetre are the same to the drafter.
        let near = (x.v - y.v).abs() <= 1e-9 * x.v.abs().max(y.v.abs()).max(1.0);
        Some(Self::yes_no(match c {
            Comparison::Less => x.v < y.v && !near,
            Comparison::AtMost => x.v < y.v || near,
            Comparison::More => x.v > y.v && !near,
            Comparison::AtLeast => x.v > y.v || near,
            Comparison::Equal => near,
        }))
    }

    fn is(&mut self, a: &Expr, word: &RefName) -> Option<Num> {
        if let ExprKind::Named(r) = &a.kind
            && r.parts.len() == 1
            && &*r.parts[0].name == "here"
        {
            let Some(here) = self.scopes[self.scope].key.clone() else {
                self.note(
                    Note::new(a.span, "There is no sheet in hand here.")
                        .hint("Ask `here is …` under `sheets`."),
                );
                return None;
            };
            let names: Vec<String> = self
                .scopes
                .iter()
                .filter_map(|s| s.key.as_ref())
                .map(|k| k.name.to_string())
                .collect();
            let declared: Vec<String> = self.group_names();
            if !names.iter().chain(&declared).any(|n| *n == *word.name) {
                let note = Note::new(word.span, format!("There is no sheet `{}`.", word.name));
                let note = match nearest(&word.name, declared.iter().map(String::as_str)) {
                    Some(meant) => note.hint(format!("Did you mean `{meant}`?")),
                    None => note,
                };
                self.note_missing(&word.name, note);
                return None;
            }
            let key = self.key(word)?;
            return Some(Self::yes_no(
                here.name == key.name && (key.number.is_none() || here.number == key.number),
            ));
        }
        let num = self.asked(a)?;
        if num.dim == Dim::Any {
            return Some(Num {
                v: f64::NAN,
                dim: Dim::YesNo,
            });
        }
        let Dim::Word(list) = num.dim else {
            self.note(
                Note::new(
                    a.span,
                    format!(
                        "`is` asks after a word of a choice, and this is {}.",
                        num.dim.shown()
                    ),
                )
                .hint("Compare numbers with `=`."),
            );
            return None;
        };
        let words = self.words[list].clone();
        let Some(place) = words.iter().position(|w| *w == word.name) else {
            let note = Note::new(
                word.span,
                format!("`{}` is not one of its words.", word.name),
            );
            let hint = match nearest(&word.name, words.iter().map(|w| &**w)) {
                Some(meant) => format!("Did you mean `{meant}`?"),
                None => format!("It is one of {}.", words.join(", ")),
            };
            self.note(note.hint(hint));
            return None;
        };
        #[expect(clippy::cast_precision_loss, reason = "few words")]
        let place = place as f64;
        Some(Self::yes_no((num.v - place).abs() < 0.5))
    }

    /// The sheets that the method names anywhere.
    fn group_names(&self) -> Vec<String> {
        fn gather(items: &[crate::tree::Item], out: &mut Vec<String>) {
            for item in items {
                match item {
                    crate::tree::Item::Sheets(g) => {
                        out.extend(g.names.iter().map(|n| n.name.to_string()));
                    }
                    crate::tree::Item::When(w) => {
                        gather(&w.then, out);
                        gather(&w.otherwise, out);
                    }
                    _ => {}
                }
            }
        }
        let mut out = Vec::new();
        gather(&self.method.body, &mut out);
        out
    }

    /// The length of a line without its darts.
    fn length_of(&mut self, edge: &EdgeRef, span: Span) -> Option<Num> {
        // `length of front` is the number called `length` if `front` is a sheet.
        if let crate::tree::Drawn::Named(r) = &edge.line
            && edge.between.is_none()
            && self.owner(&r.parts).is_some()
            && self.kind_of_line(r).is_none()
        {
            let mut parts = vec![RefName {
                name: "length".into(),
                number: None,
                span,
            }];
            parts.extend(r.parts.iter().cloned());
            return self.named(&Ref { parts, span });
        }
        let measured = self.sewn_length(edge)?;
        Some(Num {
            v: measured,
            dim: Dim::Length,
        })
    }

    /// A number as it is given out.
    pub(crate) fn quantity(&self, num: Num) -> crate::worked::Quantity {
        use crate::worked::Quantity;
        let v = if num.v.is_finite() { num.v } else { 0.0 };
        match num.dim {
            Dim::Length => Quantity::Length(Length::mm(v)),
            Dim::Angle => Quantity::Angle(measure::Angle::radians(v)),
            Dim::Area => Quantity::Area(v),
            Dim::Number | Dim::Any => Quantity::Number(v),
            Dim::Share => Quantity::Share(v),
            Dim::YesNo => Quantity::YesNo(v > 0.5),
            Dim::Word(list) => {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a place in a short list"
                )]
                let place = v.max(0.0) as usize;
                let word = self.words.get(list).and_then(|w| w.get(place));
                Quantity::Word(word.map_or_else(String::new, ToString::to_string))
            }
        }
    }

    /// A point by its name or construction.
    pub(crate) fn point(&mut self, drawn: &crate::tree::Drawn) -> Option<Point> {
        match self.thing(drawn, crate::vocabulary::Slot::Point)? {
            crate::walk::Thing::Point(p) => Some(p),
            crate::walk::Thing::Unknown(_) if self.dry() => Some(Point::default()),
            _ => None,
        }
    }
}
