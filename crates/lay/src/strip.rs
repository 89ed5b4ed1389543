//! The strip as the search sees it: shapes made ready, in each way that they may lie, and the depth
//! fields between them.

use std::sync::OnceLock;

use crate::depth::Field;
use crate::nofit::{FINEST, Fine, close_up, no_fit};
use crate::outline::Outline;
use crate::task::{Cut, Kind, Placed, Task, TaskFault, Turns};

/// A shape as it lies, with its lower left corner at (0, 0).
#[derive(Clone, Debug)]
pub(crate) struct Stamp {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) area: f64,
    fine: Vec<Fine>,
}

/// One way in which a kind may lie.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pose {
    pub(crate) stamp: usize,
    pub(crate) turn: f64,
    pub(crate) over: bool,
    /// The lower left corner of the turned outline, before it is moved.
    pub(crate) low: [f64; 2],
    /// The only y that the lower left corner may have, if there is one.
    pub(crate) level: Option<f64>,
    /// How far right of the lower left corner the match point lies.
    pub(crate) matched: Option<f64>,
}

/// A place that nothing may touch.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Block {
    pub(crate) stamp: usize,
    pub(crate) at: [f64; 2],
}

/// Everything that stays the same while a strip is laid.
#[derive(Debug)]
pub(crate) struct Strip {
    pub(crate) height: f64,
    pub(crate) stamps: Vec<Stamp>,
    /// For each kind the ways in which it may lie.
    pub(crate) poses: Vec<Vec<Pose>>,
    /// Which kind each part is.
    pub(crate) parts: Vec<usize>,
    pub(crate) blocks: Vec<Block>,
    pub(crate) repeat: Option<f64>,
    /// How far right the pinned pieces reach.
    pub(crate) held_to: f64,
    /// Where in the repeat the match points of pinned pieces lie, if any has one.
    pub(crate) tied: Option<f64>,
    /// Overlap that counts as none.
    pub(crate) hair: f64,
    grid: f64,
    fields: Vec<OnceLock<Field>>,
}

/// The most points that an outline keeps in the search.
const POINTS: usize = 150;

impl Strip {
    /// Makes the shapes ready.
    ///
    /// `kinds` are those that lie on this part of the cloth, each with its place in the task; of
    /// them, `pinned` lie where they are.
    pub(crate) fn new(
        kinds: &[(usize, &Kind)],
        pinned: &[Placed],
        (height, across): (f64, bool),
        flaws: &[[f64; 4]],
        repeat: Option<f64>,
        hair: f64,
    ) -> Result<Self, TaskFault> {
        let mut largest = height;
        for (_, kind) in kinds {
            let b = kind.outline.bounds();
            largest = largest.max(b[2] - b[0] + b[3] - b[1]);
        }
        for f in flaws {
            largest = largest.max(f[2] - f[0]).max(f[3] - f[1]);
        }
        #[expect(clippy::cast_precision_loss, reason = "a power of two")]
        let grid = largest * 1.01 / FINEST as f64;
        let mut strip = Self {
            height,
            stamps: Vec::new(),
            poses: Vec::new(),
            parts: Vec::new(),
            blocks: Vec::new(),
            repeat,
            held_to: 0.0,
            tied: None,
            hair,
            grid,
            fields: Vec::new(),
        };
        for (place, (number, kind)) in kinds.iter().enumerate() {
            // What is not laid at all has no shape here.
            let poses = if kind.count == 0 {
                Vec::new()
            } else {
                strip.poses_of(kind, across)?
            };
            strip.poses.push(poses);
            if strip.stamps.len() > Task::SHAPES {
                return Err(TaskFault::TooManyShapes(
                    kinds.iter().filter(|k| k.1.count > 0).count(),
                ));
            }
            let pins = pinned.iter().filter(|p| p.kind == *number);
            let free = kind.count.saturating_sub(pins.clone().count());
            strip.parts.extend(std::iter::repeat_n(place, free));
            for pin in pins {
                strip.pin(kind, pin);
            }
        }
        for f in flaws {
            // A hair larger: a flaw may not even be touched, and may be a mere point.
            let hair = 2.0 * hair + 4.0 * grid;
            let (w, h) = (f[2] - f[0] + 2.0 * hair, f[3] - f[1] + 2.0 * hair);
            let corners = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]];
            if let Ok(outline) = Outline::new(&corners) {
                let stamp = strip.stamp(&outline);
                let at = [f[0] - hair, f[1] - hair];
                strip.blocks.push(Block { stamp, at });
            }
        }
        let n = strip.stamps.len();
        strip.fields.resize_with(n * (n + 1) / 2, OnceLock::new);
        Ok(strip)
    }

    /// Keeps the place of a pinned piece.
    fn pin(&mut self, kind: &Kind, pin: &Placed) {
        let lies = kind.outline.placed(pin.turn, pin.over);
        let b = lies.bounds();
        let stamp = self.stamp(&lies);
        let at = [b[0] + pin.at[0], b[1] + pin.at[1]];
        self.held_to = self.held_to.max(b[2] + pin.at[0]);
        if let (Some(repeat), Some(m)) = (self.repeat, kind.matched) {
            let [c, s] = crate::outline::direction(pin.turn);
            let y = if pin.over { -m[1] } else { m[1] };
            self.tied = Some((m[0] * c - y * s + pin.at[0]).rem_euclid(repeat));
        }
        self.blocks.push(Block { stamp, at });
    }

    fn poses_of(&mut self, kind: &Kind, grain_across: bool) -> Result<Vec<Pose>, TaskFault> {
        let turns = match &kind.turns {
            Turns::Only(turns) => turns.clone(),
            Turns::Any => free_turns(&kind.outline),
        };
        if turns.is_empty() {
            return Err(TaskFault::NoTurn(kind.name.clone()));
        }
        let sides: &[bool] = match kind.cut {
            Cut::Single => &[false],
            Cut::Pair | Cut::Fold(_) => &[false, true],
        };
        let mut outline = kind.outline.clone();
        let mut within = self.height * 5e-6;
        while outline.points().len() > POINTS && within < self.height {
            outline = kind.outline.fewer(within);
            within *= 2.0;
        }
        let mut poses: Vec<Pose> = Vec::new();
        let (mut across, mut allowed) = (f64::MAX, false);
        for &over in sides {
            for &turn in &turns {
                let turn = turned(turn, over, grain_across);
                let mut level = None;
                let lies = outline.placed(turn, over);
                let b = lies.bounds();
                if let Cut::Fold(line) = kind.cut {
                    let half = (turn - 180.0).rem_euclid(360.0);
                    let turned = half.min(360.0 - half) < 1e-6;
                    let straight =
                        turn.rem_euclid(360.0).min(360.0 - turn.rem_euclid(360.0)) < 1e-6;
                    if !(straight && !over || turned && over) {
                        continue;
                    }
                    let [c, s] = crate::outline::direction(turn);
                    let y = |p: [f64; 2]| p[0] * s + (if over { -p[1] } else { p[1] }) * c;
                    if (y(line[0]) - y(line[1])).abs() > 1e-4 * self.height {
                        continue;
                    }
                    level = Some(b[1] - f64::midpoint(y(line[0]), y(line[1])));
                }
                allowed = true;
                across = across.min(b[3] - b[1]);
                let room = self.height * (1.0 + 1e-9);
                let lowest = level.unwrap_or(0.0);
                if lowest + b[3] - b[1] > room || lowest < -1e-5 * self.height {
                    continue;
                }
                let matched = match (self.repeat, kind.matched) {
                    (Some(_), Some(p)) => {
                        let [c, s] = crate::outline::direction(turn);
                        let y = if over { -p[1] } else { p[1] };
                        Some(p[0] * c - y * s - b[0])
                    }
                    _ => None,
                };
                let stamp = self.stamp(&lies);
                // A half turn of a piece that looks the same gives nothing new.
                let same = |p: &Pose| {
                    p.stamp == stamp
                        && p.level
                            .unwrap_or(-1.0)
                            .total_cmp(&level.unwrap_or(-1.0))
                            .is_eq()
                        && (p.matched.unwrap_or(0.0) - matched.unwrap_or(0.0)).abs()
                            < 1e-6 * self.height
                };
                if !poses.iter().any(same) {
                    poses.push(Pose {
                        stamp,
                        turn,
                        over,
                        low: [b[0], b[1]],
                        level,
                        matched,
                    });
                }
            }
        }
        if !poses.is_empty() {
            return Ok(poses);
        }
        Err(if allowed {
            TaskFault::TooWide {
                name: kind.name.clone(),
                across,
                room: self.height,
            }
        } else {
            TaskFault::NeverOnFold(kind.name.clone())
        })
    }

    /// The stamp of this outline; one that is the same shape is used again.
    fn stamp(&mut self, outline: &Outline) -> usize {
        let b = outline.bounds();
        #[expect(
            clippy::cast_possible_truncation,
            reason = "at most FINEST, by the choice of the grid"
        )]
        let fit = |v: f64| (v / self.grid).round() as i64;
        let mut fine: Vec<Fine> = outline
            .points()
            .iter()
            .map(|p| [fit(p[0] - b[0]), fit(p[1] - b[1])])
            .collect();
        close_up(&mut fine);
        // The same start for the same shape.
        if let Some(first) = (0..fine.len()).min_by_key(|&i| fine[i]) {
            fine.rotate_left(first);
        }
        let close = |a: &[Fine], b: &[Fine]| {
            a.len() == b.len()
                && a.iter()
                    .zip(b)
                    .all(|(p, q)| (p[0] - q[0]).abs() <= 64 && (p[1] - q[1]).abs() <= 64)
        };
        if let Some(known) = self.stamps.iter().position(|s| close(&s.fine, &fine)) {
            return known;
        }
        self.stamps.push(Stamp {
            width: b[2] - b[0],
            height: b[3] - b[1],
            area: outline.area(),
            fine,
        });
        self.stamps.len() - 1
    }

    /// How deep `moving`, moved by (x, y) from the place of `fixed`, overlaps it.
    #[inline]
    pub(crate) fn depth(&self, fixed: usize, moving: usize, x: f64, y: f64) -> f64 {
        let d = if fixed <= moving {
            self.field(fixed, moving).depth(x, y)
        } else {
            self.field(moving, fixed).depth(-x, -y)
        };
        (d - self.hair).max(0.0)
    }

    fn field(&self, fixed: usize, moving: usize) -> &Field {
        self.fields[moving * (moving + 1) / 2 + fixed].get_or_init(|| {
            let lines = no_fit(&self.stamps[fixed].fine, &self.stamps[moving].fine);
            #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
            let lines: Vec<Vec<[f64; 2]>> = lines
                .into_iter()
                .map(|line| {
                    line.into_iter()
                        .map(|p| [p[0] as f64 * self.grid, p[1] as f64 * self.grid])
                        .collect()
                })
                .collect();
            Field::new(&lines)
        })
    }

    /// Bytes that the fields hold in memory.
    pub(crate) fn held(&self) -> usize {
        let made = self.fields.iter().filter_map(OnceLock::get);
        made.map(Field::bytes).sum()
    }
}

/// The least that a kind takes across the cloth, as it may be turned.
pub(crate) fn least_across(kind: &Kind) -> f64 {
    least(kind, 1)
}

/// The least that it takes along the cloth (0) or across it (1).
pub(crate) fn least(kind: &Kind, axis: usize) -> f64 {
    let turns = match &kind.turns {
        Turns::Only(turns) => turns.clone(),
        Turns::Any => free_turns(&kind.outline),
    };
    turns
        .iter()
        .map(|t| {
            let b = kind.outline.placed(*t, false).bounds();
            b[axis + 2] - b[axis]
        })
        .fold(f64::MAX, f64::min)
}

/// By how much a piece is turned: turned over on a strip across which its grain runs, half a turn more
/// keeps its top where it was.
pub(crate) fn turned(turn: f64, over: bool, grain_across: bool) -> f64 {
    if over && grain_across {
        (turn + 180.0).rem_euclid(360.0)
    } else {
        turn
    }
}

/// The angles that are tried for a piece that may lie at any: eighths of a turn, and those that set
/// one of its four longest edges level.
fn free_turns(outline: &Outline) -> Vec<f64> {
    let mut turns: Vec<f64> = (0..8).map(|i| 45.0 * f64::from(i)).collect();
    let points = outline.points();
    let mut edges: Vec<[f64; 2]> = (0..points.len())
        .map(|i| {
            let (a, b) = (points[i], points[(i + 1) % points.len()]);
            [b[0] - a[0], b[1] - a[1]]
        })
        .collect();
    edges.sort_by(|a, b| (b[0] * b[0] + b[1] * b[1]).total_cmp(&(a[0] * a[0] + a[1] * a[1])));
    for e in edges.iter().take(4) {
        let level = -measure::angle::atan2(e[1], e[0]).to_degrees();
        for turn in [level, level + 180.0] {
            let turn = turn.rem_euclid(360.0);
            let apart = |t: f64| (t - turn + 180.0).rem_euclid(360.0) - 180.0;
            if turns.iter().all(|&t| apart(t).abs() > 0.01) {
                turns.push(turn);
            }
        }
    }
    turns
}
