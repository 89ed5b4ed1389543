//! Which order and which ways: some good beginnings, then small changes kept when they help.

use super::columns::{Columned, Sheet, reach};
use super::{Laid, Outline, Strip};
use crate::number::{count, real};
use measure::Point;

/// A gap is so many columns wide when orders are tried, and when the best is laid.
const ROUGH: f64 = 1.0;
/// With no more things than this, orders too are tried finely.
const FEW: usize = 4;
const FINE: f64 = 3.0;
/// So many columns may be looked at when orders are tried.
const WORK: u64 = 10_000_000;
/// No more changes than this.
const CHANGES: usize = 4000;
/// So many of the best orders are laid finely.
const KEPT: usize = 4;
/// When a lay settles, a thing may go so many fine columns aside.
const ASIDE: usize = 3;
/// No more sheets than this.
const SHEETS: usize = 60;

/// An order of laying, with the ways that are settled beforehand.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Plan {
    order: Vec<usize>,
    ways: Vec<Option<usize>>,
    /// What is best: to end high, or to begin high.
    by_top: bool,
    /// Of places equally high, the one furthest to the right.
    right: bool,
}

/// How good a lay is; less is better.
type Score = (usize, f64, f64);

fn better(a: &Score, b: &Score) -> bool {
    a.0.cmp(&b.0)
        .then(a.1.total_cmp(&b.1))
        .then(a.2.total_cmp(&b.2))
        .is_lt()
}

/// Things in columns of one width.
struct Table<'a> {
    things: Vec<Vec<Columned>>,
    strip: &'a Strip,
    column: f64,
    bare: Sheet,
}

impl<'a> Table<'a> {
    fn new(things: &[Vec<Outline>], strip: &'a Strip, column: f64) -> Self {
        let mut bare = Sheet::new(strip.width, column, reach(strip.gap, column));
        for r in &strip.taken {
            let (taken, first) = Columned::there(&vec![r.corners().to_vec()], column);
            bare.take(&taken, first, taken.corner.y);
        }
        bare.foot = 0.0;
        Self {
            things: things
                .iter()
                .map(|ways| {
                    ways.iter()
                        .map(|w| Columned::new(w, column, strip.gap))
                        .collect()
                })
                .collect(),
            strip,
            column,
            bare,
        }
    }

    /// The best place for a thing on a sheet: way, first column, height.
    fn place(
        &self,
        sheet: &Sheet,
        ways: &[Columned],
        settled: Option<usize>,
        (by_top, right): (bool, bool),
        work: &mut u64,
    ) -> Option<(usize, usize, f64)> {
        let mut best: Option<((f64, f64), usize, usize, f64)> = None;
        for (w, thing) in ways.iter().enumerate() {
            if settled.is_some_and(|s| s != w) {
                continue;
            }
            let free = self.strip.width - thing.width;
            if free < -1e-9 || thing.height > self.strip.length + 1e-9 {
                continue;
            }
            let last = count((free / self.column + 1e-9).floor().max(0.0));
            for step in 0..=last {
                let first = if right { last - step } else { step };
                let foot = match &best {
                    Some((rank, ..)) if by_top => {
                        (rank.0 + thing.height + 1e-6).min(self.strip.length + 1e-9)
                    }
                    Some((rank, ..)) => (rank.0 + 1e-6).min(self.strip.length + 1e-9),
                    None => self.strip.length + 1e-9,
                };
                let Some(y) = sheet.highest(thing, first, 0.0, foot, work) else {
                    continue;
                };
                let rank = if by_top {
                    (y, y + thing.height)
                } else {
                    (y + thing.height, y)
                };
                let ahead = best.as_ref().is_none_or(|(b, ..)| {
                    rank.0 < b.0 - 1e-6 || (rank.0 < b.0 + 1e-6 && rank.1 < b.1 - 1e-6)
                });
                if ahead {
                    best = Some((rank, w, first, y));
                }
            }
        }
        best.map(|(_, w, first, y)| (w, first, y))
    }

    /// Lays everything by a plan.
    fn lay(&self, plan: &Plan, work: &mut u64) -> Option<(Score, Vec<Laid>)> {
        let mut sheets = vec![self.bare.clone()];
        let mut laid: Vec<Option<Laid>> = vec![None; self.things.len()];
        let mut ends = 0.0;
        for &i in &plan.order {
            let ways = &self.things[i];
            let mut n = 0;
            loop {
                if n == sheets.len() {
                    if n == SHEETS {
                        return None;
                    }
                    sheets.push(self.bare.clone());
                }
                let fresh = sheets[n].foot <= 0.0;
                if let Some((w, first, y)) = self.place(
                    &sheets[n],
                    ways,
                    plan.ways[i],
                    (plan.by_top, plan.right),
                    work,
                ) {
                    let thing = &ways[w];
                    sheets[n].take(thing, first, y);
                    ends += y + thing.height;
                    let to = Point::new(real(first) * self.column, y);
                    laid[i] = Some(Laid {
                        sheet: n,
                        way: w,
                        by: to - thing.corner,
                    });
                    break;
                }
                if fresh {
                    // It does not even fit on an empty sheet.
                    return None;
                }
                n += 1;
            }
        }
        let used: f64 = sheets.iter().map(|s| s.foot).sum();
        let laid: Option<Vec<Laid>> = laid.into_iter().collect();
        laid.map(|l| ((sheets.len(), used, ends), l))
    }

    /// Takes over a rougher lay, and lets everything rise as far as it can, from the top on. No
    /// sheet gets longer by it: finer columns take less.
    fn settle(&self, rougher: &[Laid], work: &mut u64) -> Option<(Score, Vec<Laid>)> {
        let corner = |i: usize| self.things[i][rougher[i].way].corner + rougher[i].by;
        let mut order: Vec<usize> = (0..rougher.len()).collect();
        order.sort_by(|a, b| corner(*a).y.total_cmp(&corner(*b).y));
        let count_of = rougher.iter().map(|l| l.sheet + 1).max().unwrap_or(1);
        let mut sheets = vec![self.bare.clone(); count_of];
        let mut laid = rougher.to_vec();
        let mut ends = 0.0;
        for i in order {
            let l = rougher[i];
            let thing = &self.things[i][l.way];
            let here = count((corner(i).x / self.column).round().max(0.0));
            let last = count(
                ((self.strip.width - thing.width) / self.column + 1e-9)
                    .floor()
                    .max(0.0),
            );
            // A little to either side it may rise further.
            let (y, first) = (here.saturating_sub(ASIDE)..=(here + ASIDE).min(last))
                .filter_map(|first| {
                    let foot = self.strip.length + 1e-9;
                    let y = sheets[l.sheet].highest(thing, first, 0.0, foot, work)?;
                    Some((y, first))
                })
                .min_by(|a, b| {
                    let off = |f: usize| f.abs_diff(here);
                    a.0.total_cmp(&b.0).then(off(a.1).cmp(&off(b.1)))
                })?;
            sheets[l.sheet].take(thing, first, y);
            ends += y + thing.height;
            let to = Point::new(real(first) * self.column, y);
            laid[i].by = to - thing.corner;
        }
        let used: f64 = sheets.iter().map(|s| s.foot).sum();
        Some(((sheets.len(), used, ends), laid))
    }

    /// No lay can be shorter than this.
    fn least(&self) -> f64 {
        self.things
            .iter()
            .map(|ways| {
                ways.iter()
                    .filter(|w| w.width <= self.strip.width + 1e-9)
                    .map(|w| w.height)
                    .fold(f64::INFINITY, f64::min)
            })
            .fold(0.0, f64::max)
    }
}

/// Good beginnings: the longest first, the largest first, the widest first.
fn beginnings(table: &Table<'_>) -> Vec<Plan> {
    let n = table.things.len();
    let size = |i: usize| {
        table.things[i]
            .first()
            .map_or((0.0, 0.0), |t| (t.width, t.height))
    };
    let keys: [fn((f64, f64)) -> f64; 4] = [|s| s.1, |s| s.0 * s.1, |s| s.0, |s| s.0 + s.1];
    let mut out: Vec<Plan> = Vec::new();
    for key in keys {
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|a, b| key(size(*b)).total_cmp(&key(size(*a))));
        for by_top in [false, true] {
            let plan = Plan {
                order: order.clone(),
                ways: vec![None; n],
                by_top,
                right: false,
            };
            if !out.contains(&plan) {
                out.push(plan);
            }
        }
    }
    out
}

/// Numbers that look like chance and are the same every time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let n = u64::try_from(n.max(1)).unwrap_or(1);
        usize::try_from((self.0 >> 33) % n).unwrap_or(0)
    }
}

/// A plan with something changed: two things swapped, one brought forward, one turned.
fn changed(plan: &Plan, ways: &[usize], dice: &mut Dice) -> Plan {
    let mut new = plan.clone();
    let n = new.order.len();
    match dice.below(7) {
        0 | 1 => {
            let (a, b) = (dice.below(n), dice.below(n));
            new.order.swap(a, b);
        }
        2 => {
            let (a, b) = (dice.below(n), dice.below(n));
            let thing = new.order.remove(a);
            new.order.insert(b, thing);
        }
        3 | 4 => {
            let i = dice.below(n);
            let w = dice.below(ways[i] + 1);
            new.ways[i] = (w < ways[i]).then_some(w);
        }
        5 => new.by_top = !new.by_top,
        _ => new.right = !new.right,
    }
    new
}

pub(super) fn best(things: &[Vec<Outline>], strip: &Strip) -> Option<Vec<Laid>> {
    if things.is_empty() {
        return Some(Vec::new());
    }
    let rough = if things.len() > FEW { ROUGH } else { FINE };
    let rough = Table::new(things, strip, strip.gap / rough);
    let fine = Table::new(things, strip, strip.gap / FINE);
    let mut work = 0;
    let mut kept = Kept::default();
    // The rough columns may be too wide for a tight strip; the fine ones then decide.
    for plan in beginnings(&rough) {
        if let Some((score, laid)) = rough.lay(&plan, &mut work) {
            kept.keep(score, plan, laid);
        }
    }
    let ways: Vec<usize> = things.iter().map(Vec::len).collect();
    let least = fine.least();
    let mut dice = Dice(1);
    let starts: Vec<(Score, Plan)> = kept.0.iter().map(|k| (k.0, k.1.clone())).collect();
    let rounds = u64::try_from(starts.len()).unwrap_or(1);
    for (round, start) in (1..).zip(starts) {
        let (mut score, mut plan) = start;
        for _ in 0..CHANGES {
            let done = score.0 == 1 && score.1 <= least + 1.0;
            if work > WORK * round / rounds || things.len() < 2 || done {
                break;
            }
            let new = changed(&plan, &ways, &mut dice);
            if let Some((s, laid)) = rough.lay(&new, &mut work)
                && !better(&score, &s)
            {
                (score, plan) = (s, new.clone());
                kept.keep(s, new, laid);
            }
        }
    }
    let mut best: Option<(Score, Vec<Laid>)> = None;
    let mut offer = |lay: Option<(Score, Vec<Laid>)>| {
        if let Some((score, laid)) = lay
            && best.as_ref().is_none_or(|b| better(&score, &b.0))
        {
            best = Some((score, laid));
        }
    };
    if kept.0.is_empty() {
        for plan in beginnings(&fine) {
            offer(fine.lay(&plan, &mut work));
        }
    }
    for (_, plan, laid) in &kept.0 {
        offer(fine.lay(plan, &mut work));
        offer(fine.settle(laid, &mut work));
    }
    best.map(|b| b.1)
}

/// The best plans so far with their lays, no two equally good: these are mostly the same.
#[derive(Default)]
struct Kept(Vec<(Score, Plan, Vec<Laid>)>);

impl Kept {
    fn keep(&mut self, score: Score, plan: Plan, laid: Vec<Laid>) {
        let at = self.0.partition_point(|k| better(&k.0, &score));
        let same = self.0.get(at).is_some_and(|k| !better(&score, &k.0));
        if at < KEPT && !same {
            self.0.insert(at, (score, plan, laid));
            self.0.truncate(KEPT);
        }
    }
}

pub(super) fn one_more(
    ways: &[Outline],
    strip: &Strip,
    there: &[Outline],
    foot: f64,
    room: f64,
) -> Option<Laid> {
    let wide = Strip {
        gap: room.max(strip.gap),
        ..strip.clone()
    };
    let table = Table::new(
        &ways.iter().map(|w| vec![w.clone()]).collect::<Vec<_>>(),
        &wide,
        strip.gap / FINE,
    );
    let mut sheet = table.bare.clone();
    for outline in there {
        let (taken, first) = Columned::there(outline, table.column);
        sheet.take(&taken, first, taken.corner.y);
    }
    let mut work = 0;
    table.things.iter().enumerate().find_map(|(way, things)| {
        let place = table.place(&sheet, things, None, (true, false), &mut work)?;
        let thing = &things[place.0];
        let to = Point::new(real(place.1) * table.column, place.2);
        (place.2 + thing.height <= foot + 1e-9).then(|| Laid {
            sheet: 0,
            way,
            by: to - thing.corner,
        })
    })
}
