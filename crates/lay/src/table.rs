//! The table on which a lay is moved about: where each piece lies and how much it overlaps others.

use crate::chance::Chance;
use crate::strip::{Pose, Strip};

/// Where a part lies: its lower left corner, and in which of its poses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) pose: usize,
}

/// What overlaps count for. Which finds the shorter lay depends on the pieces; it was tried, not derived:
/// `Deep` is the better where pieces may be turned by quarters (docs/lay.md has the figures).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Favour {
    /// By their depth, those of large shapes for much more than those of small ones.
    Large,
    /// By their depth, those of large shapes for a little more.
    Even,
    /// As `Even`, but by the square of the depth: one deep overlap is worse than two of half its depth.
    Deep,
}

/// The room that a part or a block takes.
#[derive(Clone, Copy, Debug)]
struct Room {
    left: f64,
    low: f64,
    right: f64,
    high: f64,
    stamp: usize,
}

/// Parts on a strip of one length, which may overlap; what overlaps is weighed.
#[derive(Clone, Debug)]
pub(crate) struct Table<'a> {
    pub(crate) strip: &'a Strip,
    pub(crate) length: f64,
    /// Where in the repeat the match points lie.
    pub(crate) phase: f64,
    pub(crate) spots: Vec<Spot>,
    rooms: Vec<Room>,
    /// By part and by part or block: how much an overlap of these two counts.
    weights: Vec<f64>,
    /// The same: the loss of these two as they lie, not weighed.
    losses: Vec<f64>,
    /// By stamp and stamp: how much more the depth counts between large shapes.
    scales: Vec<f64>,
    /// Whether depths are squared.
    squared: bool,
    /// Places tried.
    pub(crate) steps: u64,
}

/// A place and what it costs.
#[derive(Clone, Copy, Debug)]
struct Found {
    loss: f64,
    spot: Spot,
}

impl<'a> Table<'a> {
    /// The parts on a strip. `favour` tells what overlaps count for.
    pub(crate) fn new(
        strip: &'a Strip,
        length: f64,
        phase: f64,
        spots: Vec<Spot>,
        favour: Favour,
    ) -> Self {
        let n = spots.len();
        let all = n + strip.blocks.len();
        let kinds = strip.stamps.len();
        let mut scales = Vec::with_capacity(kinds * kinds);
        for a in &strip.stamps {
            for b in &strip.stamps {
                let size = (a.area * b.area).sqrt().sqrt();
                scales.push(match favour {
                    Favour::Large => size,
                    Favour::Even | Favour::Deep => size.sqrt(),
                });
            }
        }
        let mut table = Self {
            strip,
            length,
            phase,
            spots,
            rooms: Vec::with_capacity(all),
            weights: vec![1.0; all * n],
            losses: vec![0.0; all * n],
            scales,
            squared: favour == Favour::Deep,
            steps: 0,
        };
        for p in 0..n {
            let room = table.room(p, table.spots[p]);
            table.rooms.push(room);
        }
        for block in &strip.blocks {
            let stamp = &strip.stamps[block.stamp];
            table.rooms.push(Room {
                left: block.at[0],
                low: block.at[1],
                right: block.at[0] + stamp.width,
                high: block.at[1] + stamp.height,
                stamp: block.stamp,
            });
        }
        table.weigh_all();
        table
    }

    pub(crate) fn pose(&self, part: usize, pose: usize) -> &'a Pose {
        &self.strip.poses[self.strip.parts[part]][pose]
    }

    pub(crate) fn poses(&self, part: usize) -> usize {
        self.strip.poses[self.strip.parts[part]].len()
    }

    fn room(&self, part: usize, spot: Spot) -> Room {
        let stamp = self.pose(part, spot.pose).stamp;
        let shape = &self.strip.stamps[stamp];
        Room {
            left: spot.x,
            low: spot.y,
            right: spot.x + shape.width,
            high: spot.y + shape.height,
            stamp,
        }
    }

    /// The allowed place nearest to this one; none if the pose does not fit into the length.
    #[inline]
    pub(crate) fn settled(&self, part: usize, spot: Spot) -> Option<Spot> {
        let pose = self.pose(part, spot.pose);
        let shape = &self.strip.stamps[pose.stamp];
        let most = self.length - shape.width;
        if most < 0.0 {
            return None;
        }
        let mut x = spot.x.clamp(0.0, most);
        if let (Some(repeat), Some(matched)) = (self.strip.repeat, pose.matched) {
            let first = (self.phase - matched).rem_euclid(repeat);
            let k = ((x - first) / repeat).round().max(0.0);
            x = first + k * repeat;
            if x > most {
                x -= repeat;
            }
            if x < 0.0 {
                return None;
            }
        }
        let y = match pose.level {
            Some(level) => level,
            None => spot
                .y
                .clamp(0.0, (self.strip.height - shape.height).max(0.0)),
        };
        Some(Spot {
            x,
            y,
            pose: spot.pose,
        })
    }

    #[inline]
    fn pair(&self, fixed: &Room, moving: usize, x: f64, y: f64) -> f64 {
        let d = self
            .strip
            .depth(fixed.stamp, moving, x - fixed.left, y - fixed.low);
        if d <= 0.0 {
            return 0.0;
        }
        let d = if self.squared { d * d } else { d };
        d * self.scales[fixed.stamp * self.strip.stamps.len() + moving]
    }

    /// The weighed loss of a part at a place, or something not less than `limit` once it reaches that.
    fn loss_at(&mut self, part: usize, spot: Spot, limit: f64) -> f64 {
        self.steps += 1;
        let room = self.room(part, spot);
        let all = self.rooms.len();
        let weights = &self.weights[part * all..(part + 1) * all];
        let mut sum = 0.0;
        for (other, at) in self.rooms.iter().enumerate() {
            #[expect(
                clippy::needless_bitwise_bool,
                reason = "all four at once are one branch that is seldom guessed wrong"
            )]
            let apart = (room.left >= at.right)
                | (room.right <= at.left)
                | (room.low >= at.high)
                | (room.high <= at.low);
            if apart || other == part {
                continue;
            }
            sum += weights[other] * self.pair(at, room.stamp, spot.x, spot.y);
            if sum >= limit {
                return sum;
            }
        }
        sum
    }

    /// How deep a part would lie in the deepest of these others or a block; so far it is at least
    /// from there to a place where it could lie.
    pub(crate) fn deepest(&mut self, part: usize, spot: Spot, laid: &[usize]) -> f64 {
        self.steps += 1;
        let room = self.room(part, spot);
        let n = self.spots.len();
        let mut most = 0.0_f64;
        for other in laid.iter().copied().chain(n..self.rooms.len()) {
            let at = &self.rooms[other];
            if room.left < at.right
                && room.right > at.left
                && room.low < at.high
                && room.high > at.low
            {
                let d = self
                    .strip
                    .depth(at.stamp, room.stamp, spot.x - at.left, spot.y - at.low);
                most = most.max(d);
            }
        }
        most
    }

    /// Puts a part somewhere else.
    pub(crate) fn put(&mut self, part: usize, spot: Spot) {
        self.spots[part] = spot;
        self.rooms[part] = self.room(part, spot);
    }

    fn weigh(&mut self, part: usize) {
        let all = self.rooms.len();
        let room = self.rooms[part];
        for other in 0..all {
            if other == part {
                continue;
            }
            let at = self.rooms[other];
            let apart = room.left >= at.right
                || room.right <= at.left
                || room.low >= at.high
                || room.high <= at.low;
            let loss = if apart {
                0.0
            } else {
                self.pair(&at, room.stamp, room.left, room.low)
            };
            self.losses[part * all + other] = loss;
            if other < self.spots.len() {
                self.losses[other * all + part] = loss;
            }
        }
    }

    /// Weighs every part anew.
    pub(crate) fn weigh_all(&mut self) {
        for p in 0..self.spots.len() {
            self.weigh(p);
        }
    }

    /// The sum of all losses, not weighed: zero when nothing overlaps.
    pub(crate) fn total(&self) -> f64 {
        let (n, all) = (self.spots.len(), self.rooms.len());
        let mut sum = 0.0;
        for p in 0..n {
            let row = &self.losses[p * all..(p + 1) * all];
            sum += row[p..].iter().sum::<f64>();
        }
        sum
    }

    /// The weighed loss of a part as it lies.
    fn burden(&self, part: usize) -> f64 {
        let all = self.rooms.len();
        let range = part * all..(part + 1) * all;
        let pairs = self.losses[range.clone()].iter().zip(&self.weights[range]);
        pairs.map(|(l, w)| l * w).sum()
    }

    /// Makes what overlaps count more, the worst most, and lets the rest be forgotten.
    fn reweigh(&mut self) {
        let worst = self.losses.iter().copied().fold(0.0, f64::max);
        if worst <= 0.0 {
            return;
        }
        for (w, &l) in self.weights.iter_mut().zip(&self.losses) {
            *w = if l > 0.0 {
                *w * (1.2 + 0.8 * l / worst)
            } else {
                (*w * 0.95).max(1.0)
            };
        }
    }

    pub(crate) fn forget_weights(&mut self) {
        self.weights.fill(1.0);
    }

    /// Puts all parts where they lay before.
    pub(crate) fn restore(&mut self, spots: &[Spot]) {
        for (p, &spot) in spots.iter().enumerate() {
            self.put(p, spot);
        }
        self.weigh_all();
    }

    /// Makes the strip shorter: everything right of `at` moves left by as much.
    pub(crate) fn shorten(&mut self, length: f64, at: f64) {
        let by = self.length - length;
        self.length = length;
        for p in 0..self.spots.len() {
            let mut spot = self.spots[p];
            let room = self.rooms[p];
            if f64::midpoint(room.left, room.right) > at {
                spot.x -= by;
            }
            self.put_near(p, spot);
        }
        self.weigh_all();
    }

    /// Puts a part at the allowed place nearest to this one, in another pose if this one does not
    /// fit; leaves it where it is if none does.
    pub(crate) fn put_near(&mut self, part: usize, spot: Spot) {
        let poses = self.poses(part);
        let settled = self
            .settled(part, spot)
            .or_else(|| (0..poses).find_map(|pose| self.settled(part, Spot { pose, ..spot })));
        if let Some(settled) = settled {
            self.put(part, settled);
        }
    }

    /// How far right a part reaches.
    pub(crate) fn right(&self, part: usize) -> f64 {
        self.rooms[part].right
    }

    /// How far right the parts reach, and those that are pinned.
    pub(crate) fn reach(&self) -> f64 {
        let rooms = &self.rooms[..self.spots.len()];
        rooms
            .iter()
            .map(|r| r.right)
            .fold(self.strip.held_to, f64::max)
    }

    /// One round: every part that overlaps another is put where it costs least, as far as a look
    /// round finds.
    pub(crate) fn round(&mut self, chance: &mut Chance) -> f64 {
        let mut troubled: Vec<usize> = (0..self.spots.len())
            .filter(|&p| self.burden(p) > 0.0)
            .collect();
        chance.shuffle(&mut troubled);
        for p in troubled {
            self.relocate(p, chance);
        }
        let total = self.total();
        self.reweigh();
        total
    }

    fn relocate(&mut self, part: usize, chance: &mut Chance) {
        let now = self.burden(part);
        if now <= 0.0 {
            return;
        }
        let here = self.spots[part];
        let mut best = [Found {
            loss: f64::MAX,
            spot: here,
        }; 3];
        let mut look = |table: &mut Self, spot: Spot| {
            let Some(spot) = table.settled(part, spot) else {
                return;
            };
            let loss = table.loss_at(part, spot, best[2].loss);
            if loss < best[2].loss {
                best[2] = Found { loss, spot };
                best.sort_by(|a, b| a.loss.total_cmp(&b.loss));
            }
        };
        look(self, here);
        let poses = self.poses(part);
        let (w, h) = {
            let room = self.rooms[part];
            (room.right - room.left, room.high - room.low)
        };
        for _ in 0..NEAR {
            let spot = Spot {
                x: here.x + w * chance.between(-0.5, 0.5),
                y: here.y + h * chance.between(-0.5, 0.5),
                pose: if chance.share() < 0.5 {
                    here.pose
                } else {
                    chance.below(poses)
                },
            };
            look(self, spot);
        }
        for _ in 0..ANYWHERE {
            let pose = chance.below(poses);
            let shape = &self.strip.stamps[self.pose(part, pose).stamp];
            let spot = Spot {
                x: chance.share() * (self.length - shape.width),
                y: chance.share() * (self.strip.height - shape.height),
                pose,
            };
            look(self, spot);
        }
        let mut winner = best[0];
        let small = w.min(h);
        for found in &mut best {
            if found.loss < f64::MAX {
                *found = self.descend(part, *found, 0.25 * small, 0.02 * small, chance);
                if found.loss < winner.loss {
                    winner = *found;
                }
            }
        }
        let winner = self.descend(part, winner, 0.01 * small, 0.001 * small, chance);
        if winner.loss < now {
            self.put(part, winner.spot);
            self.weigh(part);
        }
    }

    /// Walks downhill in steps that grow while they help and shrink while they do not.
    fn descend(
        &mut self,
        part: usize,
        from: Found,
        step: f64,
        least: f64,
        chance: &mut Chance,
    ) -> Found {
        let mut best = from;
        let (mut sx, mut sy) = (step, step);
        while best.loss > 0.0 && (sx > least || sy > least) {
            let (dx, dy) = match chance.below(4) {
                0 => (sx, 0.0),
                1 => (0.0, sy),
                2 => (sx, sy),
                _ => (sx, -sy),
            };
            let mut better = false;
            for sign in [1.0, -1.0] {
                let spot = Spot {
                    x: best.spot.x + sign * dx,
                    y: best.spot.y + sign * dy,
                    ..best.spot
                };
                let Some(spot) = self.settled(part, spot) else {
                    continue;
                };
                let loss = self.loss_at(part, spot, best.loss);
                if loss < best.loss {
                    best = Found { loss, spot };
                    better = true;
                }
            }
            let by = if better { 1.1 } else { 0.5 };
            if dx.abs() > 0.0 {
                sx *= by;
            }
            if dy.abs() > 0.0 {
                sy *= by;
            }
        }
        best
    }
}

/// How many places near its own a part looks at, and how many anywhere.
const NEAR: usize = 25;
const ANYWHERE: usize = 50;
