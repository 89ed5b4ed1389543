//! Searches for the one value at which two sums agree.

use crate::note::{Note, Span};
use crate::tree::Expr;
use crate::walk::{Key, Num, Walker};

/// The first zero of a function between two limits: looked for in `steps` steps, then closed in on.
pub(crate) fn find_zero(
    low: f64,
    high: f64,
    steps: u32,
    f: &mut dyn FnMut(f64) -> Option<f64>,
) -> Option<f64> {
    if !(low.is_finite() && high.is_finite()) {
        return None;
    }
    let mut before: Option<(f64, f64)> = None;
    for i in 0..=steps {
        let v = low + (high - low) * f64::from(i) / f64::from(steps);
        let Some(y) = f(v).filter(|y| y.is_finite()) else {
            before = None;
            continue;
        };
        if y == 0.0 {
            return Some(v);
        }
        if let Some((u, x)) = before
            && (x < 0.0) != (y < 0.0)
        {
            return close_in(u, x, v, y, 0.0, f).map(|c| c.0);
        }
        before = Some((v, y));
    }
    None
}

/// Closes in on a change of sign by halving and false position; ends when within `near` of zero or
/// when the limits meet. Gives the place and what is left there.
pub(crate) fn close_in(
    mut a: f64,
    mut ya: f64,
    mut b: f64,
    mut yb: f64,
    near: f64,
    f: &mut dyn FnMut(f64) -> Option<f64>,
) -> Option<(f64, f64)> {
    let mut best = if ya.abs() < yb.abs() {
        (a, ya)
    } else {
        (b, yb)
    };
    for round in 0..60 {
        if best.1.abs() <= near || (b - a).abs() <= 1e-13 * (a.abs() + b.abs()) {
            break;
        }
        let c = if round % 3 == 2 {
            0.5 * (a + b)
        } else {
            (a * yb - b * ya) / (yb - ya)
        };
        let c = if c > a.min(b) && c < a.max(b) {
            c
        } else {
            0.5 * (a + b)
        };
        let yc = f(c)?;
        if yc.abs() < best.1.abs() {
            best = (c, yc);
        }
        if yc == 0.0 {
            return Some((c, yc));
        }
        if (yc < 0.0) == (ya < 0.0) {
            (a, ya) = (c, yc);
        } else {
            (b, yb) = (c, yc);
        }
    }
    Some(best)
}

impl Walker<'_> {
    /// The value between two limits at which two sums agree.
    pub(crate) fn searched(
        &mut self,
        low: &Expr,
        high: &Expr,
        left: &Expr,
        right: &Expr,
        key: Option<&Key>,
        span: Span,
    ) -> Option<Num> {
        let (l, h) = (self.sum(low)?, self.sum(high)?);
        if !l.dim.fits(h.dim) {
            self.note(Note::new(
                high.span,
                format!("The limits are {} and {}.", l.dim.shown(), h.dim.shown()),
            ));
            return None;
        }
        let key = key?.clone();
        let name = key.name.clone();
        let scope = self.scope;
        let at = |walker: &mut Self, v: f64| -> Option<f64> {
            let held = crate::walk::Held {
                key: Key {
                    name: name.clone(),
                    ..key.clone()
                },
                what: Num { v, dim: l.dim },
                deps: 0,
                by: usize::MAX,
                conds: Vec::new(),
                level: None,
                body: None,
            };
            let before = walker.scopes[scope].numbers.get(&key).cloned();
            let mut shelf = core::mem::take(&mut walker.scopes[scope].numbers);
            let count = shelf.all.len();
            shelf.put(held);
            walker.scopes[scope].numbers = shelf;
            let answer = (walker.sum(left), walker.sum(right));
            let mut shelf = core::mem::take(&mut walker.scopes[scope].numbers);
            match before {
                Some(b) => shelf.put(b),
                None => shelf.drop_last(count),
            }
            walker.scopes[scope].numbers = shelf;
            let (a, b) = (answer.0?, answer.1?);
            if !a.dim.fits(b.dim) {
                walker.note(Note::new(
                    right.span,
                    format!("I can't compare {} with {}.", a.dim.shown(), b.dim.shown()),
                ));
                return None;
            }
            Some(a.v - b.v)
        };
        if self.dry() {
            at(self, 1.0)?;
            return Some(Num {
                v: f64::NAN,
                dim: l.dim,
            });
        }
        if !self.spend(40, span) {
            return None;
        }
        let quiet = core::mem::replace(&mut self.redrawing, true);
        let found = find_zero(l.v.min(h.v), l.v.max(h.v), 24, &mut |v| at(self, v));
        self.redrawing = quiet;
        let Some(v) = found else {
            let shown = self.purpose.shown;
            let (a, b) = (self.quantity(l).shown(shown), self.quantity(h).shown(shown));
            self.note(
                Note::new(
                    span,
                    format!("Between {a} and {b} there is no value at which the two sides agree."),
                )
                .hint("Set the limits wider, or look at the sums."),
            );
            return None;
        };
        Some(Num { v, dim: l.dim })
    }
}
