//! One hand at the table: it shortens the strip, takes apart what overlaps, and starts anew from
//! what it has learnt.

use crate::chance::Chance;
use crate::solve::{Kept, Spent};
use crate::start::Phase;
use crate::strip::Strip;
use crate::table::{Favour, Spot, Table};

/// Share of the time after which the best lay is only pressed together.
const EXPLORE: f64 = 0.8;
/// Rounds without gain after which it is given up for now: exploring, pressing.
const PATIENCE: (u32, u32) = (200, 100);
/// How often it starts again from the least overlap before it gives up.
const STRIKES: u32 = 3;
/// The smallest cut while exploring, as a share of the length.
const FINE: f64 = 0.001;
/// How many failures are remembered.
const POOL: usize = 50;

/// Where all parts lay on a strip, and where in the repeat they had their match points.
#[derive(Clone)]
struct Laid {
    phase: f64,
    spots: Vec<Spot>,
}

/// One hand. All parts lie where they keep the repeat and the strip, at every moment: a length is only
/// tried at a phase at which each of them has such a place.
pub(crate) struct Worker<'a> {
    table: Table<'a>,
    chance: Chance,
    phases: &'a [Phase],
    best: Kept,
    /// Lays of the present length that did not come apart, by how much they overlap.
    pool: Vec<(f64, Laid)>,
    lowest: f64,
    low: Laid,
    quiet: u32,
    strikes: u32,
    rounds: u32,
    cut: f64,
    least: f64,
    pressing: bool,
}

impl<'a> Worker<'a> {
    pub(crate) fn new(
        strip: &'a Strip,
        start: &Kept,
        phases: &'a [Phase],
        chance: Chance,
        least: f64,
        favour: Favour,
    ) -> Self {
        let spots = start.spots.clone();
        let mut worker = Self {
            table: Table::new(strip, start.length, start.phase, spots, favour),
            chance,
            phases,
            best: start.clone(),
            pool: Vec::new(),
            lowest: f64::MAX,
            low: Laid {
                phase: start.phase,
                spots: start.spots.clone(),
            },
            quiet: 0,
            strikes: 0,
            rounds: 0,
            cut: 0.02,
            least,
            pressing: false,
        };
        worker.begin();
        worker
    }

    pub(crate) fn best(&self) -> &Kept {
        &self.best
    }

    pub(crate) fn steps(&self) -> u64 {
        self.table.steps
    }

    /// Works until it has tried so many places in all, or the time is spent.
    pub(crate) fn until(&mut self, target: u64, spent: Spent<'_>) {
        while self.table.steps < target && self.best.length > self.least {
            let share = spent(self.table.steps);
            if share >= 1.0 {
                break;
            }
            self.tick(share);
        }
    }

    /// Hears of the best lay of all; goes on from there if its own work is behind.
    pub(crate) fn hear(&mut self, best: &Kept) {
        if self.best.length > best.length {
            self.best = best.clone();
            if self.table.length >= best.length {
                self.begin();
            }
        }
    }

    /// Goes back to the best lay and makes the strip shorter. Where the repeat keeps that lay from being
    /// any shorter, the pattern is moved along.
    fn begin(&mut self) {
        let target = (self.best.length * (1.0 - self.cut)).max(self.least);
        self.table.phase = self.best.phase;
        let fits = self.fitting(target);
        if !fits.contains(&self.best.phase) && !fits.is_empty() {
            self.table.phase = fits[self.chance.below(fits.len())];
        }
        self.table.length = self.best.length;
        self.table.restore(&self.best.spots);
        self.table.forget_weights();
        let at = self.chance.share() * self.best.length;
        self.table.shorten(target, at);
        self.fresh();
        self.pool.clear();
    }

    /// The phases at which every part has a place on a strip of this length.
    fn fitting(&self, length: f64) -> Vec<f64> {
        let fit = self.phases.iter().filter(|p| p.least <= length);
        fit.map(|p| p.at).collect()
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
        if total <= 0.0 && self.table.reach() < self.best.length {
            self.best = Kept {
                length: self.table.reach(),
                phase: self.table.phase,
                spots: self.table.spots.clone(),
            };
            if !self.pressing {
                self.cut = if self.rounds < 20 {
                    (self.cut * 1.5).min(0.03)
                } else {
                    (self.cut * 0.7).max(FINE)
                };
            }
            self.next(share);
            return;
        }
        if total <= 0.0 {
            // Nothing is gained and nothing was tried: that counts, so that it comes to an end.
            self.table.steps += 1;
        }
        self.quiet = if total < self.lowest * 0.98 {
            0
        } else {
            self.quiet + 1
        };
        if total < self.lowest {
            self.lowest = total;
            self.low.phase = self.table.phase;
            self.low.spots.clone_from(&self.table.spots);
        }
        if self.quiet
            < if self.pressing {
                PATIENCE.1
            } else {
                PATIENCE.0
            }
        {
            if share >= EXPLORE && !self.pressing {
                self.next(share);
            }
            return;
        }
        self.strikes += 1;
        self.quiet = 0;
        if self.strikes < STRIKES && self.cut <= 2.0 * FINE {
            self.table.phase = self.low.phase;
            self.table.restore(&self.low.spots);
            return;
        }
        // It did not come apart.
        if share >= EXPLORE || self.pressing {
            self.next(share);
        } else if self.cut > FINE {
            self.cut = (self.cut / 3.0).max(FINE);
            self.begin();
        } else {
            self.remember();
            self.disturb();
            self.fresh();
        }
    }

    /// Starts anew from the best lay, exploring or pressing as the time says.
    fn next(&mut self, share: f64) {
        if share >= EXPLORE {
            self.pressing = true;
            let late = ((share - EXPLORE) / (1.0 - EXPLORE)).clamp(0.0, 1.0);
            self.cut = 0.000_5 * (1.0 - late) + 0.000_01 * late;
        }
        self.begin();
    }

    /// Keeps this failure and takes one up again, a better one likelier.
    fn remember(&mut self) {
        let at = self.pool.partition_point(|x| x.0 < self.lowest);
        self.pool.insert(at, (self.lowest, self.low.clone()));
        self.pool.truncate(POOL);
        let bell = (self.chance.bell() * 0.25).abs().min(0.999);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "a share of a small count"
        )]
        let pick = (bell * self.pool.len() as f64) as usize;
        let again = &self.pool[pick].1;
        self.table.phase = again.phase;
        self.table.restore(&again.spots);
    }

    /// Lets two large parts change places; with a repeat, may move the pattern along.
    fn disturb(&mut self) {
        let fits = self.fitting(self.table.length);
        let table = &mut self.table;
        let n = table.spots.len();
        let area = |table: &Table<'_>, p: usize| table.strip.stamps[table.pose(p, 0).stamp].area;
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|&a, &b| area(table, b).total_cmp(&area(table, a)).then(a.cmp(&b)));
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
        let mut others: Vec<usize> = order[..large].to_vec();
        others.retain(|&p| table.strip.parts[p] != kind);
        if others.is_empty() {
            others.extend(&order[..large]);
        }
        let b = others[self.chance.below(others.len())];
        let (at, to) = (table.spots[a], table.spots[b]);
        for (p, spot) in [(a, to), (b, at)] {
            let pose = self.chance.below(table.poses(p));
            table.put_near(p, Spot { pose, ..spot });
        }
        if fits.len() > 1 && self.chance.share() < 0.5 {
            table.phase = fits[self.chance.below(fits.len())];
            for p in 0..n {
                table.put_near(p, table.spots[p]);
            }
        }
        table.weigh_all();
        table.forget_weights();
    }
}
