//! Truing: which seam was out, by how much, and what is changed to make it agree.

use super::figures::{apart, change, degrees, or_nothing, sentence};
use super::{Style, Teller};
use crate::tree::{EdgeRef, Truing};
use crate::truing::Trued;
use crate::walk::{Dim, Walker};
use crate::worked::{Quantity, TruingDone, plain};

impl<'a> Teller<'_, 'a> {
    /// What one truing found and did.
    pub(super) fn truing(&mut self, one: &Trued<'a>, met: bool) -> Option<String> {
        let shown = self.w.purpose.shown;
        let locals = core::mem::replace(&mut self.w.locals, one.target.locals.clone());
        let scope = core::mem::replace(&mut self.w.scope, 0);
        let of_sheets = core::mem::replace(&mut self.w.of_sheets, true);
        let parts = self.truing_parts(one);
        self.w.locals = locals;
        self.w.scope = scope;
        self.w.of_sheets = of_sheets;
        let (seam, between, a_name, b_name, moved) = parts?;
        let (a, b) = one.before?;
        let length = self
            .w
            .freedoms
            .get(one.target.freedom)
            .is_some_and(|f| f.dim == Dim::Length);
        let changed = if length {
            change(one.from, one.to, shown)
        } else {
            ((one.from - one.to).abs() > 1e-6).then(|| {
                let said = |v: f64| match self.w.freedoms.get(one.target.freedom).map(|f| f.dim) {
                    Some(Dim::Angle) => degrees(v),
                    _ => plain(v, 3),
                };
                (said(one.from), said(one.to))
            })
        };
        let make = matches!(one.target.what, Truing::Make { .. });
        let (now, wanted) = one.after.unwrap_or((a, b));
        let lengths = match one.target.what {
            Truing::Make { left, .. } => self.w.asked(left).is_none_or(|n| n.dim == Dim::Length),
            Truing::Between { .. } => true,
        };
        let compared = |a: f64, b: f64, now: f64| {
            if lengths {
                return apart(a, b, now, shown);
            }
            let said = |v: f64| plain(v, 3);
            ((a - b).abs() > 1e-6).then(|| [said(a), said(b), said((a - b).abs()), said(now)])
        };
        if !met {
            let out =
                compared(now, wanted, now).map_or_else(|| "a hair".to_owned(), |s| s[2].clone());
            return Some(sentence(&format!(
                "{seam} cannot be made true{between} by moving {moved} within its limits: it is still out by {out}"
            )));
        }
        let all = if lengths {
            or_nothing(now, shown)
        } else {
            plain(now, 3)
        };
        let (found, now) = match (compared(a, b, now), make) {
            (Some([x, y, d, now]), false) => (
                format!(
                    "true {seam}{between}: {a_name} measures {x} and {b_name} {y}, so it is out by {d}"
                ),
                now,
            ),
            (Some([x, y, d, now]), true) => (
                format!(
                    "true {seam}: {a_name} comes to {x} and is to be {b_name}, {y}, so it is out by {d}"
                ),
                now,
            ),
            (None, false) if changed.is_none() => {
                return Some(sentence(&format!(
                    "{seam} is true as drawn{between}: both sides measure {all}"
                )));
            }
            (None, true) if changed.is_none() => {
                return Some(sentence(&format!(
                    "{seam} is true as drawn: {a_name} comes to {all}, as it should"
                )));
            }
            (None, _) => (format!("that done, walk {seam} again{between}"), all),
        };
        let Some((from, to)) = changed else {
            return Some(format!(
                "{} The cure is less than a pencil line.",
                sentence(&found)
            ));
        };
        let then = if make {
            format!("now it comes to {now}")
        } else {
            format!("now both measure {now}")
        };
        Some(format!(
            "{} {}",
            sentence(&found),
            sentence(&format!("change {moved} from {from} to {to}: {then}"))
        ))
    }

    fn truing_parts(
        &mut self,
        one: &Trued<'a>,
    ) -> Option<(String, String, String, String, String)> {
        let target = &one.target;
        let seam = Self::the(Style::Full, &target.seam);
        let (between, a, b, moving) = match target.what {
            Truing::Between {
                from, to, moving, ..
            } => {
                let (one, other) = target.sides?;
                let (p, q) = (
                    self.spot_named(Style::Full, from)?,
                    self.spot_named(Style::Full, to)?,
                );
                let (a, mut b) = (self.side(one)?, self.side(other.as_ref()?)?);
                if let Some(ease) = target.ease {
                    let ease = self.amount(Style::Passing, ease)?;
                    if !ease.nothing() {
                        b.push_str(" with its share of the ease");
                    }
                }
                (format!(" from {p} to {q}"), a, b, moving)
            }
            Truing::Make {
                left,
                right,
                moving,
                ..
            } => (
                String::new(),
                self.formula(left)?,
                self.formula(right)?,
                moving,
            ),
        };
        let (own, owners) = self.parted(moving);
        let mut moved = format!("the {}", self.w.joined(own)?.shown());
        if !owners.is_empty() {
            moved = format!("{moved} of {}", self.whose(Style::Full, owners)?);
        }
        Some((seam, between, a, b, moved))
    }

    fn side(&mut self, edges: &[EdgeRef]) -> Option<String> {
        self.edges(Style::Full, edges)
    }

    /// The truings as steps.
    pub(super) fn truings(&mut self, done: &[TruingDone]) {
        let stage = format!("truing{}", self.of);
        for one in done {
            self.number += 1;
            let said = self.in_short(one);
            let (short, few) = self.marks.few(&said);
            self.steps.push(crate::worked::Step {
                number: Some(self.number),
                stage: stage.clone(),
                sentence: one.sentence.clone(),
                short,
                few,
                why: one.why.clone(),
                draws: Vec::new(),
                pieces: Vec::new(),
                lines: if self.of.is_empty() {
                    vec![one.line]
                } else {
                    Vec::new()
                },
            });
        }
    }

    fn in_short(&mut self, one: &TruingDone) -> String {
        let shown = self.w.purpose.shown;
        if !one.met {
            return sentence(&format!("{}: not to be met by {}", one.seam, one.moved));
        }
        let changed = match (&one.from, &one.to) {
            (Quantity::Length(a), Quantity::Length(b)) => change(a.in_mm(), b.in_mm(), shown),
            (a, b) if a != b => Some((a.shown(shown), b.shown(shown))),
            _ => None,
        };
        match changed {
            Some((from, to)) => {
                let from = self.marked(from, None, false);
                let to = self.marked(to, None, false);
                sentence(&format!("{}: {} {from} to {to}", one.seam, one.moved))
            }
            None => sentence(&format!("{}: true", one.seam)),
        }
    }
}

/// What truing did, in words that name nothing but the values: for when a name could not be found.
pub(super) fn plain_truing(w: &Walker<'_>, one: &Trued<'_>, moved: &str, met: bool) -> String {
    let shown = w.purpose.shown;
    let seam = one.target.seam.shown();
    let Some((a, b)) = one.before else {
        return sentence(&format!(
            "The {seam} could not be measured with these numbers, so it is not trued"
        ));
    };
    let out = apart(a, b, a, shown).map_or_else(|| "a hair".to_owned(), |s| s[2].clone());
    match (met, change(one.from, one.to, shown)) {
        (true, Some((from, to))) => sentence(&format!(
            "True the {seam}: it was out by {out}. Change {moved} from {from} to {to}"
        )),
        (true, None) => sentence(&format!("The {seam} is true as drawn")),
        (false, _) => sentence(&format!(
            "The {seam} cannot be made true by moving {moved} within its limits: it is still out by {out}"
        )),
    }
}
