//! The search for a short lay: shorten the strip, take apart what overlaps, again and again.

use crate::chance::Chance;
use crate::strip::Strip;
use crate::table::{Spot, Table};
use crate::task::{Cut, Kind, Lay, Placed, Task, TaskFault};

/// How long to search, with how many hands, from which seed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Searches that run side by side.
    pub workers: usize,
    /// Where chance starts.
    pub seed: u64,
}

/// Tells how much of the time is spent, from 0 to 1, after a worker has tried so many places; at 1
/// the search ends. This crate knows no clock: who asks has one, or counts places.
pub type Spent<'a> = &'a (dyn Fn(u64) -> f64 + Sync);

/// What a search came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The shortest lay found.
    pub lay: Lay,
    /// Places tried, by all workers.
    pub steps: u64,
    /// Bytes held by the depth fields.
    pub held: usize,
}

#[derive(Clone, Debug)]
struct Kept {
    length: f64,
    phase: f64,
    spots: Vec<Spot>,
}

/// One hand.
struct Worker<'a> {
    table: Table<'a>,
    chance: Chance,
    best: Kept,
    pool: Vec<(f64, Vec<Spot>)>,
    lowest: f64,
    low: Vec<Spot>,
    quiet: u32,
    strikes: u32,
    rounds: u32,
    cut: f64,
    least: f64,
    compressing: bool,
}

/// Share of the time after which the lay is only pressed together.
const EXPLORE: f64 = 0.8;

impl<'a> Worker<'a> {
    fn new(strip: &'a Strip, start: &Kept, chance: Chance, least: f64) -> Self {
        let mut worker = Self {
            table: Table::new(strip, start.length, start.phase, start.spots.clone()),
            chance,
            best: start.clone(),
            pool: Vec::new(),
            lowest: f64::MAX,
            low: start.spots.clone(),
            quiet: 0,
            strikes: 0,
            rounds: 0,
            cut: 0.02,
            least,
            compressing: false,
        };
        worker.begin();
        worker
    }

    /// Goes back to the best lay and makes the strip shorter.
    fn begin(&mut self) {
        let target = (self.best.length * (1.0 - self.cut)).max(self.least);
        self.table.phase = self.best.phase;
        self.table.length = self.best.length;
        self.table.restore(&self.best.spots);
        self.table.forget_weights();
        let at = self.chance.share() * self.best.length;
        self.table.shorten(target, at);
        self.fresh();
        self.pool.clear();
    }

    fn fresh(&mut self) {
        self.lowest = f64::MAX;
        self.quiet = 0;
        self.strikes = 0;
        self.rounds = 0;
    }

    /// One round, and what follows from it.
    fn tick(&mut self, share: f64) {
        let total = self.table.round(&mut self.chance);
        self.rounds += 1;
        if total <= 0.0 {
            self.best = Kept {
                length: self.table.reach(),
                phase: self.table.phase,
                spots: self.table.spots.clone(),
            };
            if !self.compressing {
                self.cut = if self.rounds < 20 {
                    (self.cut * 1.5).min(0.03)
                } else {
                    (self.cut * 0.7).max(0.001)
                };
            }
            self.next(share);
            return;
        }
        if total < self.lowest * 0.98 {
            self.quiet = 0;
        } else {
            self.quiet += 1;
        }
        if total < self.lowest {
            self.lowest = total;
            self.low.clone_from(&self.table.spots);
        }
        let patience = if self.compressing { 100 } else { 200 };
        if self.quiet < patience {
            if share >= EXPLORE && !self.compressing {
                self.next(share);
            }
            return;
        }
        self.strikes += 1;
        self.quiet = 0;
        if self.strikes < 3 && self.cut <= 0.002 {
            self.table.restore(&self.low);
            return;
        }
        // It did not come apart.
        if share >= EXPLORE || self.compressing {
            self.next(share);
            return;
        }
        if self.cut > 0.001 {
            self.cut = (self.cut / 3.0).max(0.001);
            self.begin();
            return;
        }
        let at = self.pool.partition_point(|x| x.0 < self.lowest);
        self.pool.insert(at, (self.lowest, self.low.clone()));
        self.pool.truncate(50);
        let bell = (self.chance.bell() * 0.25).abs().min(0.999);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "a share of a small count"
        )]
        let pick = (bell * self.pool.len() as f64) as usize;
        let spots = self.pool[pick].1.clone();
        self.table.restore(&spots);
        self.disturb();
        self.table.weigh_all();
        self.table.forget_weights();
        self.fresh();
    }

    /// Starts anew from the best lay, exploring or pressing as the time says.
    fn next(&mut self, share: f64) {
        if share >= EXPLORE {
            self.compressing = true;
            let late = ((share - EXPLORE) / (1.0 - EXPLORE)).clamp(0.0, 1.0);
            self.cut = 0.0005 * (1.0 - late) + 0.000_01 * late;
        }
        self.begin();
    }

    /// Lets two large parts change places.
    fn disturb(&mut self) {
        let table = &mut self.table;
        let n = table.spots.len();
        if n < 2 {
            return;
        }
        let area = |table: &Table<'_>, p: usize| table.strip.stamps[table.pose(p, 0).stamp].area;
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|&a, &b| area(table, b).total_cmp(&area(table, a)));
        let whole: f64 = order.iter().map(|&p| area(table, p)).sum();
        let mut sum = 0.0;
        let mut large = 0;
        for &p in &order {
            sum += area(table, p);
            large += 1;
            if sum > 0.75 * whole && large >= 2 {
                break;
            }
        }
        let a = order[self.chance.below(large)];
        let kind = table.strip.parts[a];
        let others: Vec<usize> = order[..large]
            .iter()
            .copied()
            .filter(|&p| table.strip.parts[p] != kind)
            .collect();
        let b = if others.is_empty() {
            order[self.chance.below(large)]
        } else {
            others[self.chance.below(others.len())]
        };
        let (at, to) = (table.spots[a], table.spots[b]);
        for (p, spot) in [(a, to), (b, at)] {
            let poses = table.poses(p);
            let pose = self.chance.below(poses);
            let settled = table
                .settled(p, Spot { pose, ..spot })
                .or_else(|| (0..poses).find_map(|pose| table.settled(p, Spot { pose, ..spot })));
            if let Some(settled) = settled {
                table.put(p, settled);
            }
        }
    }
}

/// The first lay: large pieces first, each as far left as a look along the strip finds.
fn start(strip: &Strip, phase: f64) -> Kept {
    let n = strip.parts.len();
    let widest = |p: usize| {
        let poses = &strip.poses[strip.parts[p]];
        poses.iter().map(|q| strip.stamps[q.stamp].width).fold(0.0, f64::max)
    };
    let far: f64 = (0..n).map(|p| widest(p) + strip.repeat.unwrap_or(0.0)).sum::<f64>()
        + strip.blocks.iter().map(|b| b.at[0] + strip.stamps[b.stamp].width).fold(0.0, f64::max)
        + strip.repeat.unwrap_or(0.0)
        + 1.0;
    let nowhere = vec![Spot { x: 0.0, y: 0.0, pose: 0 }; n];
    let mut table = Table::new(strip, far, phase, nowhere);
    let mut order: Vec<usize> = (0..n).collect();
    let size = |p: usize| {
        let s = &strip.stamps[strip.poses[strip.parts[p]][0].stamp];
        s.area * s.width.max(s.height)
    };
    order.sort_by(|&a, &b| size(b).total_cmp(&size(a)).then(a.cmp(&b)));
    let mut laid: Vec<usize> = Vec::new();
    let rows = if n > 200 { 4 } else { 24 };
    let hop = strip.height * 1e-3;
    // A part of the same kind need not look again where the last one found no room.
    let mut from = vec![0.0_f64; strip.poses.len()];
    for &p in &order {
        let mut best: Option<(f64, Spot)> = None;
        for pose in 0..table.poses(p) {
            let shape = &strip.stamps[table.pose(p, pose).stamp];
            let lines = if table.pose(p, pose).level.is_some() { 0 } else { rows };
            for row in 0..=lines {
                let room = (strip.height - shape.height).max(0.0);
                let y = if lines == 0 { 0.0 } else { room * f64::from(row) / f64::from(lines) };
                let mut x = if n > 200 { from[strip.parts[p]] } else { 0.0 };
                while let Some(spot) = table.settled(p, Spot { x, y, pose }) {
                    if spot.x + 1e-9 < x {
                        x += strip.repeat.unwrap_or(hop);
                        if x > far {
                            break;
                        }
                        continue;
                    }
                    if best.is_some_and(|b| spot.x + shape.width >= b.0) {
                        break;
                    }
                    let deep = table.deepest(p, spot, &laid);
                    if deep <= 0.0 {
                        best = Some((spot.x + shape.width, spot));
                        break;
                    }
                    x = spot.x + deep.max(hop);
                }
            }
        }
        if let Some((_, spot)) = best {
            from[strip.parts[p]] = spot.x;
            table.put(p, spot);
        }
        laid.push(p);
    }
    Kept { length: table.reach(), phase, spots: table.spots.clone() }
}

/// The least length that could be: the longest piece, and the area over the height.
fn bound(strip: &Strip) -> f64 {
    let mut area = 0.0;
    let mut longest = 0.0_f64;
    for &kind in &strip.parts {
        let widths = strip.poses[kind].iter().map(|q| strip.stamps[q.stamp].width);
        longest = longest.max(widths.fold(f64::MAX, f64::min));
        area += strip.poses[kind].first().map_or(0.0, |q| strip.stamps[q.stamp].area);
    }
    longest.max(area / strip.height)
}

/// Lays the pieces.
///
/// `found` is told every better lay, in order. With the same effort and a `spent` that counts
/// places, the answer is the same on every run.
///
/// # Errors
///
/// When the task cannot be laid.
pub fn solve(
    task: &Task,
    effort: Effort,
    spent: Spent<'_>,
    found: &mut dyn FnMut(&Lay),
) -> Result<Outcome, TaskFault> {
    let kinds: Vec<(usize, &Kind)> = task.kinds.iter().enumerate().collect();
    let strip = Strip::new(&kinds, task.height, &task.flaws, task.repeat, task.hair)?;
    let first = start(&strip, 0.0);
    let lay = |kept: &Kept| Lay {
        length: kept.length,
        flat_from: None,
        placed: kept
            .spots
            .iter()
            .zip(&strip.parts)
            .map(|(spot, &kind)| {
                let pose = &strip.poses[kind][spot.pose];
                Placed {
                    kind: kinds[kind].0,
                    turn: pose.turn,
                    over: pose.over,
                    at: [spot.x - pose.low[0], spot.y - pose.low[1]],
                }
            })
            .collect(),
    };
    found(&lay(&first));
    let least = bound(&strip) * (1.0 + 1e-9);
    let mut best = first;
    let mut workers: Vec<Worker<'_>> = (0..effort.workers.max(1))
        .map(|w| Worker::new(&strip, &best, Chance::new(effort.seed, w as u64), least))
        .collect();
    let epoch = 200_000;
    let mut target = 0;
    while best.length > least && spent(target) < 1.0 {
        target += epoch;
        std::thread::scope(|scope| {
            for worker in &mut workers {
                scope.spawn(move || {
                    while worker.table.steps < target {
                        let share = spent(worker.table.steps);
                        if share >= 1.0 {
                            break;
                        }
                        worker.tick(share);
                        if worker.best.length <= worker.least {
                            break;
                        }
                    }
                });
            }
        });
        let mut better = false;
        for worker in &workers {
            if worker.best.length < best.length {
                best = worker.best.clone();
                better = true;
            }
        }
        if better {
            found(&lay(&best));
        }
        for worker in &mut workers {
            let behind = worker.table.length >= best.length;
            if worker.best.length > best.length {
                worker.best = best.clone();
                if behind {
                    worker.begin();
                }
            }
        }
    }
    let _ = Cut::Single;
    Ok(Outcome {
        lay: lay(&best),
        steps: workers.iter().map(|w| w.table.steps).sum(),
        held: strip.held().1,
    })
}
