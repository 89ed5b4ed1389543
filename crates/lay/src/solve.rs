//! The search for a short lay: the parts of the cloth one after the other, several hands on each.

use crate::chance::Chance;
use crate::judge::overlap;
use crate::outline::Outline;
use crate::phase;
use crate::start::{self, Phase};
use crate::strip::Strip;
use crate::table::{Favour, Spot};
use crate::task::{Kind, Lay, Part, Placed, Task, TaskFault};
use crate::worker::Worker;

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
    /// Bytes held by the depth fields: a few kilobytes for each pair of shapes that came near each
    /// other, at most 64 kilobytes each.
    pub held: usize,
}

/// Where the parts of one strip lie.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Kept {
    pub(crate) length: f64,
    /// Where in the repeat the match points lie.
    pub(crate) phase: f64,
    pub(crate) spots: Vec<Spot>,
}

/// How many places a worker tries before the workers compare what they have.
const EPOCH: u64 = 200_000;

/// One part of the cloth: doubled (or all of it, when it is not folded), beside that, or opened out.
struct Section<'t> {
    kinds: Vec<(usize, &'t Kind)>,
    pinned: Vec<Placed>,
    strip: Strip,
    best: Kept,
    from: f64,
    /// How far up it begins.
    up: f64,
}

impl<'t> Section<'t> {
    fn new(task: &'t Task, part: Part, from: f64, phase: Option<f64>) -> Result<Self, TaskFault> {
        let kinds: Vec<(usize, &Kind)> = task
            .kinds
            .iter()
            .enumerate()
            .filter(|(_, k)| task.part_of(k) == part)
            .collect();
        let (up, height) = task.reach_of(part);
        let flaws: Vec<[f64; 4]> = task
            .flaws_of(part)
            .iter()
            .map(|f| [f[0] - from, f[1] - up, f[2] - from, f[3] - up])
            .collect();
        let pinned: Vec<Placed> = task
            .pinned
            .iter()
            .filter(|p| kinds.iter().any(|k| k.0 == p.kind))
            .copied()
            .collect();
        let held: Vec<Placed> = pinned
            .iter()
            .map(|p| Placed {
                at: [p.at[0], p.at[1] - up],
                ..*p
            })
            .collect();
        pins_apart(&kinds, &held, (height, 3.0 * task.hair))?;
        let strip = Strip::new(
            &kinds,
            &held,
            (height, task.across),
            &flaws,
            task.repeat,
            task.hair,
        )?;
        let phases = match (phase, task.repeat) {
            (Some(phase), Some(repeat)) => vec![(phase - from).rem_euclid(repeat)],
            _ => start::phases(&strip),
        };
        let firsts = phases.iter().map(|&phase| start::first(&strip, phase));
        let best = firsts
            .min_by(|a, b| a.length.total_cmp(&b.length))
            .unwrap_or(Kept {
                length: 0.0,
                phase: 0.0,
                spots: Vec::new(),
            });
        Ok(Self {
            kinds,
            pinned,
            strip,
            best,
            from,
            up,
        })
    }

    /// Whether nothing lies here.
    fn bare(&self) -> bool {
        self.best.spots.is_empty() && self.pinned.is_empty()
    }

    /// No lay of this part can be shorter.
    fn least(&self) -> f64 {
        start::bound(&self.strip) * (1.0 + 1e-9)
    }

    /// How short the part that lies beside this one is to be made: shorter by a share, so that then this one
    /// is gone on with; just as short, where this one can't get shorter.
    fn asks_of_other(&self) -> f64 {
        let share = if self.best.length <= self.least() {
            1.0
        } else {
            PAST
        };
        share * self.best.length
    }

    fn placed<'s>(&'s self, kept: &'s Kept) -> impl Iterator<Item = Placed> + 's {
        kept.spots
            .iter()
            .zip(&self.strip.parts)
            .map(|(spot, &kind)| {
                let pose = &self.strip.poses[kind][spot.pose];
                Placed {
                    kind: self.kinds[kind].0,
                    turn: pose.turn,
                    over: pose.over,
                    at: [
                        spot.x - pose.low[0] + self.from,
                        spot.y - pose.low[1] + self.up,
                    ],
                }
            })
            .chain(self.pinned.iter().copied())
    }

    /// Looks for a shorter lay until `spent` says that it is enough, or it is as short as `floor`.
    ///
    /// The workers compare after a fixed count of places, so that what they find does not depend on
    /// which of them is faster.
    fn search(
        &mut self,
        effort: Effort,
        (free, floor): (bool, f64),
        spent: Spent<'_>,
        found: &mut dyn FnMut(&Self),
    ) -> u64 {
        let strip = &self.strip;
        let phases = if free {
            start::phases(strip)
        } else {
            vec![self.best.phase]
        };
        let phases: Vec<Phase> = phases.iter().map(|&at| Phase::of(strip, at)).collect();
        // The repeat may keep every lay longer than its pieces are.
        let kept = phases.iter().map(|p| p.least).fold(f64::MAX, f64::min);
        let least = self.least().max(floor).max(kept * (1.0 + 1e-9));
        if self.best.spots.is_empty() || self.best.length <= least {
            return 0;
        }
        let mut best = self.best.clone();
        let by_quarters = strip.poses.iter().any(|poses| poses.len() > 2);
        let mut workers: Vec<Worker<'_>> = (0..effort.workers.max(1))
            .map(|w| {
                let chance = Chance::new(effort.seed, w as u64);
                let favour = match (w % 2, by_quarters) {
                    (0, false) => Favour::Even,
                    (0, true) => Favour::Deep,
                    _ => Favour::Large,
                };
                Worker::new(strip, &best, &phases, chance, least, favour)
            })
            .collect();
        let mut lays = Vec::new();
        let mut target = 0;
        while best.length > least && spent(target) < 1.0 {
            target += EPOCH;
            std::thread::scope(|scope| {
                for worker in &mut workers {
                    scope.spawn(move || worker.until(target, spent));
                }
            });
            let shortest = workers
                .iter()
                .map(Worker::best)
                .min_by(|a, b| a.length.total_cmp(&b.length));
            if let Some(shortest) = shortest
                && shortest.length < best.length
            {
                best = shortest.clone();
                lays.push(best.clone());
            }
            for worker in &mut workers {
                worker.hear(&best);
            }
            if let Some(lay) = lays.pop() {
                self.best = lay;
                found(self);
            }
        }
        workers.iter().map(Worker::steps).sum()
    }
}

/// That pinned pieces lie on the cloth, and not over each other.
fn pins_apart(
    kinds: &[(usize, &Kind)],
    pinned: &[Placed],
    (height, reach): (f64, f64),
) -> Result<(), TaskFault> {
    let mut there: Vec<Outline> = Vec::with_capacity(pinned.len());
    for pin in pinned {
        let Some((_, kind)) = kinds.iter().find(|k| k.0 == pin.kind) else {
            continue;
        };
        let shape = kind.outline.placed(pin.turn, pin.over).moved(pin.at);
        let b = shape.bounds();
        let inside = b[0] >= -reach && b[1] >= -reach && b[3] <= height + reach;
        if !inside || there.iter().any(|t| overlap(t, &shape) > reach) {
            return Err(TaskFault::BadPin(kind.name.clone()));
        }
        there.push(shape);
    }
    Ok(())
}

/// Lays the pieces.
///
/// `found` is told every better lay, in order; the first comes at once. With the same effort and a
/// `spent` that counts places, the answer is the same on every run. On folded cloth, single pieces
/// come last, where the cloth is opened out. Lengths are right to the task's `hair`.
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
    task.sound()?;
    // Where pinned pieces keep the pattern, all others do, on every part of the cloth.
    let held = phase::kept(task, &task.pinned);
    let mut main = Section::new(task, Part::Main, 0.0, held)?;
    let phase = |s: &Section<'_>| held.or((!s.bare()).then_some(s.best.phase));
    let mut side = Section::new(task, Part::Beside, 0.0, phase(&main))?;
    let front = |main: &Section<'_>, side: &Section<'_>| main.best.length.max(side.best.length);
    let begins = front(&main, &side);
    let known = phase(&main).or_else(|| phase(&side));
    let mut flat = Section::new(task, Part::Opened, begins, known)?;
    let both = |main: &Section<'_>, side: &Section<'_>, flat: &Section<'_>| {
        let opened = !flat.best.spots.is_empty();
        let mut placed: Vec<Placed> = main.placed(&main.best).collect();
        placed.extend(side.placed(&side.best));
        let from = front(main, side);
        placed.extend(flat.placed(&flat.best).map(|p| Placed {
            at: [p.at[0] - flat.from + from, p.at[1]],
            ..p
        }));
        Lay {
            length: if opened {
                from + flat.best.length
            } else {
                from
            },
            flat_from: opened.then_some(from),
            placed,
        }
    };
    let mut lay = both(&main, &side, &flat);
    found(&lay);
    // With flaws or a repeat, what lies on the opened end depends on where it begins.
    let bare = main.bare() && side.bare();
    let tied = !flat.best.spots.is_empty()
        && !bare
        && (!task.flaws_opened.is_empty() || task.repeat.is_some());
    let counts = (
        main.strip.parts.len() + side.strip.parts.len(),
        flat.strip.parts.len(),
    );
    #[expect(clippy::cast_precision_loss, reason = "at most a thousand")]
    let share = counts.1 as f64 / (counts.0 + counts.1).max(1) as f64;
    let mut steps = 0;
    let mut used = 0;
    let hands = effort.workers.max(1) as u64;
    if !tied {
        let part = |s: u64| portion(spent(s), 0.0, share);
        used += flat.search(effort, (true, 0.0), &part, &mut |flat| {
            lay = both(&main, &side, flat);
            found(&lay);
        });
        steps += used;
    }
    let end = if tied { 1.0 - share } else { 1.0 };
    if side.bare() {
        let begun = spent(used / hands);
        let already = used / hands;
        let part = |s: u64| portion(spent(already + s), begun, end);
        let more = main.search(effort, (held.is_none(), 0.0), &part, &mut |main| {
            if !tied {
                lay = both(main, &side, &flat);
                found(&lay);
            }
        });
        steps += more;
        used += more;
    } else {
        // Doubled part and single part lie side by side: whichever is longer is looked at, until it is
        // shorter by a share, so that where both come level both go on. With a repeat they keep one level
        // of the pattern.
        let free = task.repeat.is_none();
        for left in (1..=ROUNDS).rev() {
            let already = used / hands;
            let begun = spent(already);
            if begun >= end {
                break;
            }
            let until = begun + (end - begun) / f64::from(left);
            let part = |s: u64| portion(spent(already + s), begun, until);
            let mut consider = |next: Lay| {
                if !tied && next.length < lay.length {
                    lay = next;
                    found(&lay);
                }
            };
            let more = if main.best.length >= side.best.length {
                let floor = side.asks_of_other();
                main.search(effort, (free, floor), &part, &mut |main| {
                    consider(both(main, &side, &flat));
                })
            } else {
                let floor = main.asks_of_other();
                side.search(effort, (free, floor), &part, &mut |side| {
                    consider(both(&main, side, &flat));
                })
            };
            steps += more;
            used += more;
        }
    }
    if tied {
        let known = phase(&main).or_else(|| phase(&side));
        let mut flat = Section::new(task, Part::Opened, front(&main, &side), known)?;
        let begun = spent(used / hands);
        let already = used / hands;
        let part = |s: u64| portion(spent(already + s), begun, 1.0);
        let mut consider = |flat: &Section<'_>| {
            let next = both(&main, &side, flat);
            if next.length < lay.length {
                lay = next;
                found(&lay);
            }
        };
        consider(&flat);
        steps += flat.search(effort, (false, 0.0), &part, &mut consider);
    }
    Ok(Outcome {
        lay,
        steps,
        held: main.strip.held() + side.strip.held() + flat.strip.held(),
    })
}

/// How often the search turns to the longer of two parts that lie side by side.
const ROUNDS: u32 = 6;
/// How short one of them is made, as a share of the other, before the search turns to that.
const PAST: f64 = 0.97;

/// How far `now` is on the way from `begun` to `end`; all the way when there is none.
fn portion(now: f64, begun: f64, end: f64) -> f64 {
    if now >= end || end <= begun {
        return 1.0;
    }
    (now - begun) / (end - begun)
}
