//! Truing: moves a value that the author left free until two lines, or two sums, agree.
//!
//! A freedom is known by its sheet and name. Only the entries on which the measured lines stand, and
//! which stand on the freedom, are drawn again for each trial; at the end the whole draft is.

use measure::Length;

use crate::note::Span;
use crate::search::close_in;
use crate::tree::{Drawn, EdgeRef, Expr, Ref, Seam, Truing};
use crate::walk::{Key, Walker};

/// What agrees to this, in millimetres, agrees: a millionth of an inch.
pub(crate) const AGREES: f64 = 2.54e-5;
/// Where the search stops, a hundredth of that.
const NEAR: f64 = 2.54e-7;

/// How often the whole list is gone through. A waist and a side that lean on each other close in on
/// each other by about ten times a round on a usual figure, and slower on a short hip.
const ROUNDS: usize = 12;

/// One thing to be trued.
#[derive(Clone, Debug)]
pub(crate) struct Target<'a> {
    pub(crate) seam: Key,
    pub(crate) what: &'a Truing,
    pub(crate) sides: Option<&'a (Vec<EdgeRef>, Option<Vec<EdgeRef>>)>,
    pub(crate) ease: Option<&'a Expr>,
    /// The share of the ease that this part of the seam takes.
    pub(crate) share: f64,
    pub(crate) freedom: usize,
    pub(crate) locals: Vec<(std::sync::Arc<str>, f64)>,
}

/// What a truing found and did.
#[derive(Clone, Debug)]
pub(crate) struct Trued<'a> {
    pub(crate) target: Target<'a>,
    pub(crate) before: Option<(f64, f64)>,
    pub(crate) after: Option<(f64, f64)>,
    pub(crate) from: f64,
    pub(crate) to: f64,
}

impl<'a> Walker<'a> {
    /// All that is to be trued, in order.
    fn targets(&mut self) -> Vec<Target<'a>> {
        let mut out = Vec::new();
        let later = self.later.clone();
        for (_, entry, locals) in later {
            let crate::tree::Says::Seam(Seam {
                sides,
                ease,
                truings,
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
            let Some(seam) = self.key(name) else { continue };
            let between = truings
                .iter()
                .filter(|t| matches!(t, Truing::Between { .. }))
                .count();
            for what in truings {
                let moving = match what {
                    Truing::Between { moving, .. } | Truing::Make { moving, .. } => moving,
                };
                let Some(freedom) = self.freedom(moving) else {
                    continue;
                };
                #[expect(clippy::cast_precision_loss, reason = "a few")]
                let share = if between > 1 {
                    1.0 / between as f64
                } else {
                    1.0
                };
                out.push(Target {
                    seam: seam.clone(),
                    what,
                    sides: sides.as_ref(),
                    ease: ease.as_ref(),
                    share,
                    freedom,
                    locals: locals.clone(),
                });
            }
        }
        self.locals.clear();
        out
    }

    /// Whether something to be trued is only there on the pieces.
    pub(crate) fn sheets_do_not_tell(&mut self) -> bool {
        let quiet = core::mem::replace(&mut self.redrawing, true);
        let targets = self.targets();
        let short = targets.iter().any(|t| self.compared(t).is_none());
        self.redrawing = quiet;
        short
    }

    /// The freedom of this name.
    pub(crate) fn freedom(&mut self, moving: &Ref) -> Option<usize> {
        let n = moving.parts.len();
        for cut in (0..n).rev() {
            let (own, owners) = moving.parts.split_at(cut + 1);
            let key = self.joined(own)?;
            let scope = if owners.is_empty() {
                Some(0)
            } else {
                self.owner(owners)
                    .and_then(|o| if o.sub.is_none() { o.sheet } else { None })
            };
            if let Some(scope) = scope {
                let loose = self.dry();
                let found = self.freedoms.iter().position(|f| {
                    f.scope == scope
                        && (f.key == key
                            || (loose
                                && f.key.name == key.name
                                && f.key.number.is_some() == key.number.is_some()))
                });
                if found.is_some() {
                    return found;
                }
            }
        }
        None
    }

    /// The two lengths that are to agree (the second with its ease).
    pub(crate) fn compared(&mut self, target: &Target<'a>) -> Option<(f64, f64)> {
        Some((self.one_side(target, false)?, self.one_side(target, true)?))
    }

    /// One of the two lengths; `deps` tells afterwards on which freedoms it stands.
    fn one_side(&mut self, target: &Target<'a>, second: bool) -> Option<f64> {
        let of_sheets = core::mem::replace(&mut self.of_sheets, true);
        let locals = core::mem::replace(&mut self.locals, target.locals.clone());
        self.deps = 0;
        let side = match target.what {
            Truing::Make { left, right, .. } => {
                self.sum(if second { right } else { left }).map(|n| n.v)
            }
            Truing::Between { from, to, .. } => match target.sides {
                Some((one, _)) if !second => self.chain_between(one, from, to),
                Some((_, Some(other))) => self.chain_between(other, from, to).and_then(|b| {
                    let ease = match target.ease {
                        Some(e) => self.sum(e)?.v * target.share,
                        None => 0.0,
                    };
                    Some(b + ease)
                }),
                _ => None,
            },
        };
        self.of_sheets = of_sheets;
        self.locals = locals;
        side.filter(|v| v.is_finite())
    }

    /// How long a side of a seam is between two of its points, darts sewn.
    fn chain_between(&mut self, chain: &[EdgeRef], from: &Drawn, to: &Drawn) -> Option<f64> {
        if let [edge] = chain
            && edge.between.is_none()
        {
            let part = EdgeRef {
                line: edge.line.clone(),
                between: Some(Box::new((from.clone(), to.clone()))),
            };
            return self.sewn_length(&part);
        }
        // Along several edges: from the point on its edge to the end that goes on, whole edges, and so on.
        let mut curves = Vec::new();
        for edge in chain {
            let curve = self.line_of(edge)?;
            let owner = match &edge.line {
                Drawn::Named(r) => r.parts[1..].to_vec(),
                _ => Vec::new(),
            };
            curves.push((curve, owner, self.sewn_length(edge)?));
        }
        let place = |walker: &mut Self, drawn: &Drawn| -> Option<(usize, f64)> {
            let mut best: Option<(f64, usize, f64)> = None;
            for (i, (curve, owner, _)) in curves.iter().enumerate() {
                let Some(p) = walker.point_near(drawn, owner) else {
                    continue;
                };
                let near = curve.nearest(p);
                if best.is_none_or(|b| near.distance.in_mm() < b.0) {
                    best = Some((near.distance.in_mm(), i, near.along.in_mm()));
                }
            }
            best.map(|b| (b.1, b.2))
        };
        let (a, b) = (place(self, from)?, place(self, to)?);
        let ((i, s), (j, e)) = if a.0 <= b.0 { (a, b) } else { (b, a) };
        if i == j {
            return Some((s - e).abs());
        }
        let onward = |k: usize, at: f64, toward: usize| {
            let (curve, other) = (&curves[k].0, &curves[toward].0);
            let gap = |p: measure::Point| (p - other.start()).size().min((p - other.end()).size());
            if gap(curve.end()) <= gap(curve.start()) {
                curve.length().in_mm() - at
            } else {
                at
            }
        };
        let middle: f64 = curves[i + 1..j].iter().map(|c| c.2).sum();
        Some(onward(i, s, i + 1) + middle + onward(j, e, j - 1))
    }

    /// Trues everything; gives what was found and done. The draft must be drawn anew afterwards.
    pub(crate) fn true_up(&mut self) -> Vec<Trued<'a>> {
        let quiet = core::mem::replace(&mut self.redrawing, true);
        let mut reads = Vec::new();
        let mut done: Vec<Trued<'a>> = Vec::new();
        for target in self.targets() {
            self.reads.clear();
            let before = self.compared(&target);
            reads.extend(self.reads.iter().copied());
            let stands = self.freedoms[target.freedom].stands;
            done.push(Trued {
                target,
                before,
                after: before,
                from: stands,
                to: stands,
            });
        }
        for _ in 0..ROUNDS {
            let mut all = true;
            for one in &mut done {
                if self.exhausted {
                    break;
                }
                let (agrees, fresh) = self.true_one(&one.target);
                all &= agrees;
                // What the others measure may stand on this value too.
                self.reads.clone_from(&reads);
                let mut slice = self.slice(one.target.freedom);
                slice.retain(|i| !fresh.contains(i));
                self.redraw(&slice);
            }
            // Later truings may have moved what earlier ones measured.
            all &= done.iter().all(|one| match self.compared(&one.target) {
                Some((a, b)) => (a - b).abs() <= AGREES,
                None => false,
            });
            if all || self.exhausted {
                break;
            }
        }
        self.redrawing = quiet;
        for one in &mut done {
            one.to = self.freedoms[one.target.freedom].set.unwrap_or(one.from);
        }
        done
    }

    /// Trues one; gives whether it agrees, and which entries are drawn for the value it has now.
    fn true_one(&mut self, target: &Target<'a>) -> (bool, Vec<usize>) {
        let freedom = self.freedoms[target.freedom].clone();
        self.reads.clear();
        let bit = 1u64 << target.freedom.min(63);
        // A side that does not stand on the freedom is measured once.
        let first = self.one_side(target, false);
        let first_moves = self.deps & bit != 0;
        let second = self.one_side(target, true);
        let second_moves = self.deps & bit != 0;
        let (Some(a), Some(b)) = (first, second) else {
            return (false, Vec::new());
        };
        if (a - b).abs() <= NEAR {
            return (true, Vec::new());
        }
        let slice = self.slice(target.freedom);
        let start = freedom.set.unwrap_or(freedom.stands);
        let whole = slice.is_empty();
        let mut at = |walker: &mut Self, x: f64| -> Option<f64> {
            walker.freedoms[target.freedom].set = Some(x);
            if whole {
                walker.redo();
                walker.redrawing = true;
            } else {
                walker.redraw(&slice);
            }
            let a = if first_moves || whole {
                walker.one_side(target, false)?
            } else {
                a
            };
            let b = if second_moves || whole {
                walker.one_side(target, true)?
            } else {
                b
            };
            Some(a - b)
        };
        let found = self
            .secant(start, a - b, freedom.low, freedom.high, &mut at)
            .or_else(|| self.outward(start, freedom.low, freedom.high, &mut at));
        let value = found.unwrap_or(start);
        let left = at(self, value);
        if found.is_none() {
            // Not to be met within its limits: it is left as it stood.
            self.freedoms[target.freedom].set = freedom.set;
            if whole {
                self.redo();
                self.redrawing = true;
            } else {
                self.redraw(&slice);
            }
            return (false, slice);
        }
        (left.is_some_and(|y| y.abs() <= AGREES), slice)
    }

    fn secant(
        &mut self,
        x0: f64,
        y0: f64,
        low: f64,
        high: f64,
        at: &mut dyn FnMut(&mut Self, f64) -> Option<f64>,
    ) -> Option<f64> {
        let room = high - low;
        if room <= 0.0 {
            return None;
        }
        let (mut x, mut y) = (x0, y0);
        let step = (room * 0.05).min(2.0);
        let mut u = if x + step <= high { x + step } else { x - step };
        for _ in 0..14 {
            if u < low - 1e-12 || u > high + 1e-12 {
                return None;
            }
            let v = at(self, u)?;
            if v.abs() <= NEAR {
                return Some(u);
            }
            let slope = (v - y) / (u - x);
            if !slope.is_finite() || slope.abs() < 1e-12 {
                return None;
            }
            (x, y) = (u, v);
            u -= v / slope;
            if (u - x).abs() < 1e-12 {
                return (y.abs() <= AGREES).then_some(x);
            }
        }
        None
    }

    /// Sixteen steps outward to each limit for a change of sign, and then closer.
    fn outward(
        &mut self,
        start: f64,
        low: f64,
        high: f64,
        at: &mut dyn FnMut(&mut Self, f64) -> Option<f64>,
    ) -> Option<f64> {
        let start = start.clamp(low, high);
        for limit in [high, low] {
            let mut before: Option<(f64, f64)> = None;
            for i in 0..=16 {
                let x = start + (limit - start) * f64::from(i) / 16.0;
                let Some(y) = at(self, x) else {
                    before = None;
                    continue;
                };
                if let Some((u, v)) = before
                    && (v < 0.0) != (y < 0.0)
                {
                    let (x, y) = close_in(u, v, x, y, NEAR, &mut |x| at(self, x))?;
                    return (y.abs() <= AGREES).then_some(x);
                }
                before = Some((x, y));
            }
        }
        None
    }

    /// The worked entries that stand on a freedom, and on which what was just measured stands.
    fn slice(&self, freedom: usize) -> Vec<usize> {
        let bit = 1u64 << freedom.min(63);
        let mut seen = vec![false; self.worked.len()];
        let mut stack: Vec<usize> = self.reads.clone();
        while let Some(i) = stack.pop() {
            if i >= seen.len() || seen[i] {
                continue;
            }
            seen[i] = true;
            stack.extend(self.worked[i].reads.iter().copied());
        }
        (0..self.worked.len())
            .filter(|i| seen[*i] && self.worked[*i].deps & bit != 0)
            .collect()
    }

    /// What was found and done, measured on the finished draft.
    pub(crate) fn truing_report(&mut self, mut done: Vec<Trued<'a>>) -> Vec<Trued<'a>> {
        for one in &mut done {
            one.after = self.compared(&one.target);
            one.to = self
                .freedoms
                .get(one.target.freedom)
                .and_then(|f| f.set)
                .unwrap_or(one.from);
        }
        done
    }
}

/// Where a truing stands in the text.
pub(crate) fn span_of(truing: &Truing) -> Span {
    match truing {
        Truing::Between { span, .. } | Truing::Make { span, .. } => *span,
    }
}

/// A difference as a length.
pub(crate) fn apart(pair: Option<(f64, f64)>) -> Length {
    pair.and_then(|(a, b)| Length::try_mm(a - b))
        .unwrap_or_default()
}
