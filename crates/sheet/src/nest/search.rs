//! Which order and which ways: some good beginnings, then small changes kept when they help.

use super::columns::{Columned, Sheet, reach};
use super::{Laid, Outline, Strip};
use crate::number::{count, real};
use measure::Point;

/// The strip has so many columns when orders are tried, and when the best is laid.
const ROUGH: f64 = 110.0;
const FINE: f64 = 330.0;
/// So many columns may be looked at when orders are tried.
const WORK: u64 = 12_000_000;
/// No more changes than this.
const CHANGES: usize = 260;
/// So many of the best orders are laid finely.
const KEPT: usize = 4;
/// No more sheets than this.
const SHEETS: usize = 60;

/// An order of laying, with the ways that are settled beforehand.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Plan {
    order: Vec<usize>,
    ways: Vec<Option<usize>>,
    /// What is best: to end high, or to begin high.
    by_top: bool,
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
    fn new(things: &[Vec<Outline>], strip: &'a Strip, columns: f64) -> Self {
        let column = strip.width / columns;
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
        by_top: bool,
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
            for first in 0..=last {
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
                if let Some((w, first, y)) =
                    self.place(&sheets[n], ways, plan.ways[i], plan.by_top, work)
                {
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
    let size = |i: usize| table.things[i].first().map_or((0.0, 0.0), |t| (t.width, t.height));
    let keys: [fn((f64, f64)) -> f64; 4] =
        [|s| s.1, |s| s.0 * s.1, |s| s.0, |s| s.0 + s.1];
    let mut out: Vec<Plan> = Vec::new();
    for key in keys {
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|a, b| key(size(*b)).total_cmp(&key(size(*a))));
        for by_top in [false, true] {
            let plan = Plan {
                order: order.clone(),
                ways: vec![None; n],
                by_top,
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
    match dice.below(6) {
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
        _ => new.by_top = !new.by_top,
    }
    new
}

pub(super) fn best(things: &[Vec<Outline>], strip: &Strip) -> Option<Vec<Laid>> {
    if things.is_empty() {
        return Some(Vec::new());
    }
    let rough = Table::new(things, strip, ROUGH);
    let fine = Table::new(things, strip, FINE);
    let least = fine.least();
    let ways: Vec<usize> = things.iter().map(Vec::len).collect();
    let mut work = 0;
    let mut kept: Vec<(Score, Plan)> = Vec::new();
    let mut keep = |score: Score, plan: &Plan| {
        let at = kept.partition_point(|k| !better(&score, &k.0));
        if at < KEPT && !kept.iter().any(|k| k.1 == *plan) {
            kept.insert(at, (score, plan.clone()));
            kept.truncate(KEPT);
        }
    };
    let mut here: Option<(Score, Plan)> = None;
    // The rough columns may be too wide for a tight strip; the fine ones then decide.
    for plan in beginnings(&rough) {
        if let Some((score, _)) = rough.lay(&plan, &mut work) {
            keep(score, &plan);
            if here.as_ref().is_none_or(|h| better(&score, &h.0)) {
                here = Some((score, plan));
            }
        }
    }
    let mut dice = Dice(1);
    for _ in 0..CHANGES {
        let Some((score, plan)) = &mut here else { break };
        let done = score.0 == 1 && score.1 <= least + 1.0;
        if work > WORK || things.len() < 2 || done {
            break;
        }
        let new = changed(plan, &ways, &mut dice);
        if let Some((s, _)) = rough.lay(&new, &mut work)
            && !better(score, &s)
        {
            keep(s, &new);
            (*score, *plan) = (s, new);
        }
    }
    let mut plans: Vec<Plan> = kept.into_iter().map(|k| k.1).collect();
    if plans.is_empty() {
        plans = beginnings(&fine);
        plans.truncate(KEPT);
    }
    let mut best: Option<(Score, Vec<Laid>)> = None;
    for plan in plans {
        if let Some((score, laid)) = fine.lay(&plan, &mut work)
            && best.as_ref().is_none_or(|b| better(&score, &b.0))
        {
            best = Some((score, laid));
        }
    }
    best.map(|b| b.1)
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
        FINE,
    );
    let mut sheet = table.bare.clone();
    for outline in there {
        let (taken, first) = Columned::there(outline, table.column);
        sheet.take(&taken, first, taken.corner.y);
    }
    let mut work = 0;
    table.things.iter().enumerate().find_map(|(way, things)| {
        let place = table.place(&sheet, things, None, true, &mut work)?;
        let thing = &things[place.0];
        let to = Point::new(real(place.1) * table.column, place.2);
        (place.2 + thing.height <= foot + 1e-9).then(|| Laid {
            sheet: 0,
            way,
            by: to - thing.corner,
        })
    })
}
