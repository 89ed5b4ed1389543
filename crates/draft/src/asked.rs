//! What is asked of a finished draft: seams, results, checks.

use measure::Length;

use crate::note::Note;
use crate::said;
use crate::tree::{
    Check, Drawn, EdgeRef, Entry, Heading, Piecewise, Ref, RefName, Says, Seam, Truing, Weight,
};
use crate::walk::{Dim, Walker};
use crate::worked::{EdgeName, Finding, Quantity, ResultValue, SeamMade};

impl<'a> Walker<'a> {
    /// Kinds and names of a seam, result or check, where it stands.
    pub(crate) fn look_dry(&mut self, entry: &'a Entry) {
        if entry.spoilt {
            if entry.heading == Heading::Results {
                self.put_spoilt(&entry.head, entry.heading);
            }
            return;
        }
        match &entry.says {
            Says::Value(value) => {
                if self.scope != 0 {
                    return;
                }
                self.by = usize::MAX;
                self.deps = 0;
                let Some(name) = entry.head.names.first() else {
                    return;
                };
                let Some(key) = self.key(name) else { return };
                let num = self.value(value, None);
                self.put_number(name, key, num);
            }
            Says::Seam(seam) => self.seam_dry(seam),
            Says::Check(check) => {
                let _ = self.ask(&check.when);
                let outer = self.conds.len();
                if let crate::walk::Truth::Open(parts) = self.static_truth(&check.when) {
                    self.conds.extend(parts);
                }
                for text in check.says.iter().chain(&check.cure) {
                    if let Piecewise::Number(sum) = text {
                        let _ = self.asked(sum);
                    }
                }
                if let Some(at) = &check.at
                    && self.kind_of_drawn(at).is_none()
                {
                    let loose = self.loose_owner(at);
                    if !loose {
                        self.no_such(at, false);
                    }
                }
                self.conds.truncate(outer);
            }
            Says::Parts(_) => {}
        }
    }

    /// Whether a thing's owner is a piece whose edges could not be followed.
    fn loose_owner(&mut self, at: &Ref) -> bool {
        if at.parts.len() < 2 {
            return false;
        }
        let owner = self.owner(&at.parts[1..]);
        owner.is_some_and(|o| {
            let piece = o.piece.map(|p| &self.draft_of(&o).pieces[p]);
            piece.is_some_and(|p| p.loose || p.spoilt)
        })
    }

    /// The sheet that a side of a seam lies on.
    fn sheet_of_side(&mut self, owners: &[RefName]) -> Option<usize> {
        let owner = self.owner(owners).filter(|o| o.sub.is_none())?;
        let of_piece = || self.pieces[owner.piece?].sheet.filter(|s| s.0.is_none());
        owner.sheet.or_else(|| Some(of_piece()?.1))
    }

    /// Whether the points between which a seam is trued are to be found on both of its sides. One that
    /// is said to be of one side's sheet lies on that side alone.
    fn on_both_sides(&mut self, sides: &[&EdgeRef], ends: [&Drawn; 2]) -> bool {
        for end in ends {
            let mut of = end;
            while let Drawn::EndOf(_, inner, _) = of {
                of = inner;
            }
            let Drawn::Named(r) = of else { continue };
            let Some(own) = self.sheet_of_side(&r.parts[1..]) else {
                continue;
            };
            let elsewhere = sides.iter().any(|side| match &side.line {
                Drawn::Named(r) => self
                    .sheet_of_side(&r.parts[1..])
                    .is_some_and(|sheet| sheet != own),
                _ => false,
            });
            if elsewhere {
                let whose = said::names(&r.parts[1..]);
                self.note(
                    Note::new(
                        end.span(),
                        format!("This point is on {whose} alone, and I need it on both sides."),
                    )
                    .hint(
                        "Leave `of …` away if both sides have it, or write `make length of … = length of … by moving …`.",
                    ),
                );
                return false;
            }
        }
        true
    }

    fn seam_dry(&mut self, seam: &'a Seam) {
        let mut sides: Vec<&EdgeRef> = Vec::new();
        if let Some((one, other)) = &seam.sides {
            sides.extend(one.iter());
            sides.extend(other.iter().flatten());
        }
        let mut ok = true;
        for edge in &sides {
            ok &= self.sewn_length(edge).is_some();
        }
        if let Some(ease) = &seam.ease {
            let _ = self.of_kind(ease, Dim::Length);
        }
        for truing in &seam.truings {
            let moving = match truing {
                Truing::Between {
                    from,
                    to,
                    moving,
                    span,
                    ..
                } => {
                    if seam.sides.as_ref().is_none_or(|s| s.1.is_none()) {
                        self.note(
                            Note::new(*span, "There are no two sides to true here.")
                                .hint("Say what is sewn to what first."),
                        );
                        continue;
                    }
                    if ok && !self.on_both_sides(&sides, [from, to]) {
                        continue;
                    }
                    if ok {
                        for drawn in [from, to] {
                            for edge in &sides {
                                let owner = match &edge.line {
                                    Drawn::Named(r) => r.parts[1..].to_vec(),
                                    _ => Vec::new(),
                                };
                                if self.point_near(drawn, &owner).is_none() {
                                    break;
                                }
                            }
                        }
                    }
                    moving
                }
                Truing::Make {
                    left,
                    right,
                    moving,
                    ..
                } => {
                    let (a, b) = (self.sum(left), self.sum(right));
                    if let (Some(a), Some(b)) = (a, b)
                        && !a.dim.fits(b.dim)
                        && !self.bare_length(a.dim, right)
                    {
                        self.note(Note::new(
                            right.span,
                            format!(
                                "I can't make {} agree with {}.",
                                a.dim.shown(),
                                b.dim.shown()
                            ),
                        ));
                    }
                    moving
                }
            };
            if self.freedom(moving).is_some() {
                continue;
            }
            let said = said::reference(moving);
            match self.find_number(moving) {
                Some(found) if found.what.dim == Dim::Any => {}
                Some(_) => self.note(
                    Note::new(moving.span, format!("`{said}` is not free to move."))
                        .hint("Where its value stands, add `, may move between … and …`."),
                ),
                None => self.no_such(moving, true),
            }
        }
    }

    /// Names of the edges of one side, and its length with the darts sewn.
    fn side(&mut self, edges: &'a [EdgeRef]) -> Option<(Vec<EdgeName>, f64)> {
        let mut names = Vec::new();
        let mut length = 0.0;
        for edge in edges {
            length += self.sewn_length(edge)?;
            let (piece, name) = match &edge.line {
                Drawn::Named(r) => {
                    let name = self.joined(&r.parts[..1])?.shown();
                    let owner = if r.parts.len() > 1 {
                        self.owner(&r.parts[1..])
                    } else {
                        None
                    };
                    let piece = match owner {
                        Some(o) => {
                            let draft = self.draft_of(&o);
                            let key = o
                                .piece
                                .map(|p| &draft.pieces[p].key)
                                .or(o.sheet.and_then(|s| draft.scopes[s].key.as_ref()));
                            key.map_or_else(String::new, crate::walk::Key::shown)
                        }
                        None => String::new(),
                    };
                    (piece, name)
                }
                other => (String::new(), said::drawn(other)),
            };
            let between = self.between(edge);
            names.push(EdgeName {
                piece,
                edge: name,
                between,
            });
        }
        Some((names, length))
    }

    /// All seams, measured on the pieces.
    pub(crate) fn seams(&mut self) -> Vec<SeamMade> {
        let mut out = Vec::new();
        let later = self.later.clone();
        for (_, entry, locals) in later {
            let Says::Seam(Seam {
                sides: Some((one, other)),
                ease,
                ..
            }) = &entry.says
            else {
                continue;
            };
            if entry.spoilt {
                continue;
            }
            self.locals.clone_from(&locals);
            let Some(name) = entry.head.names.first() else {
                continue;
            };
            let Some(key) = self.key(name) else { continue };
            let Some((a, a_length)) = self.side(one) else {
                continue;
            };
            let (b, b_length) = match other {
                Some(other) => match self.side(other) {
                    Some(side) => side,
                    None => continue,
                },
                None => (Vec::new(), a_length),
            };
            let ease = ease
                .as_ref()
                .and_then(|e| self.of_kind(e, Dim::Length))
                .unwrap_or(0.0);
            let (Some(al), Some(bl), Some(el)) = (
                Length::try_mm(a_length),
                Length::try_mm(b_length),
                Length::try_mm(ease),
            ) else {
                continue;
            };
            out.push(SeamMade {
                name: key.shown(),
                a,
                b,
                a_length: al,
                b_length: bl,
                ease: el,
                difference: al - bl - el,
                before: None,
            });
        }
        self.locals.clear();
        out
    }

    /// The results, in order; later ones and the checks may speak of them.
    pub(crate) fn results(&mut self) -> Vec<ResultValue> {
        let mut out = Vec::new();
        let later = self.later.clone();
        for (_, entry, locals) in later {
            let (Says::Value(value), Heading::Results) = (&entry.says, entry.heading) else {
                continue;
            };
            if entry.spoilt {
                continue;
            }
            self.locals.clone_from(&locals);
            self.by = usize::MAX;
            self.deps = 0;
            let Some(name) = entry.head.names.first() else {
                continue;
            };
            let Some(key) = self.key(name) else { continue };
            let num = self.value(value, None);
            if let Some(num) = num {
                out.push(ResultValue {
                    name: key.shown(),
                    value: self.quantity(num),
                });
            }
            self.put_number(name, key, num);
        }
        self.locals.clear();
        out
    }

    /// What the method's own checks say.
    pub(crate) fn checks(&mut self) {
        let later = self.later.clone();
        for (_, entry, locals) in later {
            let Says::Check(check) = &entry.says else {
                continue;
            };
            if entry.spoilt {
                continue;
            }
            self.locals.clone_from(&locals);
            if self.ask(&check.when) == Some(true) {
                let rule = match entry.head.names.first() {
                    Some(name) => self.shown_names(core::slice::from_ref(name)),
                    None => String::new(),
                };
                self.speaks(&rule, check);
            }
        }
        self.locals.clear();
    }

    fn speaks(&mut self, rule: &str, check: &Check) {
        let mut amount = None;
        let mut told = |walker: &mut Self, texts: &[Piecewise]| {
            let mut said = String::new();
            for text in texts {
                match text {
                    Piecewise::Words(words) => said.push_str(words),
                    Piecewise::Number(sum) => {
                        if let Some(num) = walker.asked(sum) {
                            let quantity = walker.quantity(num);
                            if let (None, Quantity::Length(length)) = (amount, &quantity) {
                                amount = Some(*length);
                            }
                            said.push_str(&quantity.shown(walker.purpose.shown));
                        }
                    }
                }
            }
            said
        };
        let says = told(self, &check.says);
        let cure = (!check.cure.is_empty()).then(|| told(self, &check.cure));
        let place = match &check.at {
            Some(at) => self.shown_names(&at.parts),
            None => String::new(),
        };
        self.findings.push(Finding {
            rule: rule.to_owned(),
            weight: check.weight,
            place,
            amount,
            says,
            cure,
        });
    }

    /// Names with their numbers as they are here: `side of panel number 2`.
    fn shown_names(&mut self, parts: &[RefName]) -> String {
        let said: Vec<String> = parts
            .iter()
            .map(|name| match self.key(name) {
                Some(key) => key.shown(),
                None => said::name(name),
            })
            .collect();
        said.join(" of ")
    }

    /// A finding of our own.
    pub(crate) fn finding(
        &mut self,
        rule: &str,
        weight: Weight,
        place: String,
        says: String,
        cure: Option<String>,
    ) {
        self.findings.push(Finding {
            rule: rule.to_owned(),
            weight,
            place,
            amount: None,
            says,
            cure,
        });
    }
}
