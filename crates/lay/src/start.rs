//! The first lay, found in a moment: large pieces first, each as far left as it goes.

use crate::solve::Kept;
use crate::strip::Strip;
use crate::table::{Favour, Spot, Table};

/// The least length that could be: the longest piece, or the area over the height.
pub(crate) fn bound(strip: &Strip) -> f64 {
    let mut area = 0.0;
    let mut longest = strip.held_to;
    for &kind in &strip.parts {
        let widths = strip.poses[kind]
            .iter()
            .map(|q| strip.stamps[q.stamp].width);
        longest = longest.max(widths.fold(f64::MAX, f64::min));
        area += strip.poses[kind]
            .first()
            .map_or(0.0, |q| strip.stamps[q.stamp].area);
    }
    longest.max(area / strip.height)
}

/// Where in the repeat the match points may lie: those places at which some piece with a match
/// point lies at the very start. Without a repeat, one.
pub(crate) fn phases(strip: &Strip) -> Vec<f64> {
    let Some(repeat) = strip.repeat else {
        return vec![0.0];
    };
    if let Some(tied) = strip.tied {
        return vec![tied];
    }
    let mut all: Vec<f64> = strip
        .poses
        .iter()
        .flatten()
        .filter_map(|q| q.matched)
        .map(|m| m.rem_euclid(repeat))
        .collect();
    all.sort_by(f64::total_cmp);
    all.dedup_by(|a, b| (*a - *b).abs() < strip.hair);
    all.truncate(MOST_PHASES);
    if all.is_empty() {
        all.push(0.0);
    }
    all
}

const MOST_PHASES: usize = 24;

/// Where in the repeat the match points may lie, and how short a strip can then be at the least.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Phase {
    pub(crate) at: f64,
    /// On a strip of this length every part has a place, were it alone.
    pub(crate) least: f64,
}

impl Phase {
    pub(crate) fn of(strip: &Strip, at: f64) -> Self {
        let alone = |kind: usize| {
            let poses = strip.poses[kind].iter().map(|pose| {
                let first = match (strip.repeat, pose.matched) {
                    (Some(repeat), Some(matched)) => (at - matched).rem_euclid(repeat),
                    _ => 0.0,
                };
                first + strip.stamps[pose.stamp].width
            });
            poses.fold(f64::MAX, f64::min)
        };
        let least = strip.parts.iter().map(|&k| alone(k)).fold(0.0, f64::max);
        Self {
            at,
            // What is reckoned in another order may come out longer by the last figure.
            least: least * (1.0 + 1e-12),
        }
    }
}

/// The first lay.
pub(crate) fn first(strip: &Strip, phase: f64) -> Kept {
    let n = strip.parts.len();
    let repeat = strip.repeat.unwrap_or(0.0);
    let width = |stamp: usize| strip.stamps[stamp].width;
    let widest = |kind: usize| {
        let poses = &strip.poses[kind];
        poses.iter().map(|q| width(q.stamp)).fold(0.0, f64::max)
    };
    let blocks = strip.blocks.iter().map(|b| b.at[0] + width(b.stamp));
    // So long that the pieces could lie one after another, behind all flaws.
    let far = strip.parts.iter().map(|&k| widest(k) + repeat).sum::<f64>()
        + blocks.fold(0.0, f64::max)
        + repeat
        + strip.height;
    let nowhere = vec![
        Spot {
            x: 0.0,
            y: 0.0,
            pose: 0
        };
        n
    ];
    let mut table = Table::new(strip, far, phase, nowhere, Favour::Even);
    let mut order: Vec<usize> = (0..n).collect();
    let size = |p: usize| {
        let s = &strip.stamps[strip.poses[strip.parts[p]][0].stamp];
        s.area * s.width.max(s.height)
    };
    order.sort_by(|&a, &b| size(b).total_cmp(&size(a)).then(a.cmp(&b)));
    let rows = if n > MANY { 3 } else { 24 };
    let hop = strip.height * 1e-3;
    let mut laid: Vec<usize> = Vec::new();
    // Among very many parts, one of a kind does not look again where the last found no room.
    let mut from = vec![0.0_f64; strip.poses.len()];
    for &p in &order {
        let kind = strip.parts[p];
        let mut best: Option<(f64, Spot)> = None;
        let begin = if n > MANY { from[kind] } else { 0.0 };
        let ahead: Vec<usize> = laid
            .iter()
            .copied()
            .filter(|&q| table.right(q) > begin)
            .collect();
        for pose in 0..table.poses(p) {
            let shape = &strip.stamps[table.pose(p, pose).stamp];
            let lines = if table.pose(p, pose).level.is_some() {
                0
            } else {
                rows
            };
            for row in 0..=lines {
                let room = (strip.height - shape.height).max(0.0);
                let y = if lines == 0 {
                    0.0
                } else {
                    room * f64::from(row) / f64::from(lines)
                };
                let mut x = begin;
                while x <= far {
                    let Some(spot) = table.settled(p, Spot { x, y, pose }) else {
                        break;
                    };
                    if best.is_some_and(|b| spot.x + shape.width >= b.0) {
                        break;
                    }
                    // Snapped back to where it was looked before.
                    if spot.x + 1e-9 < x {
                        x += if repeat > 0.0 { repeat / 2.0 } else { hop };
                        continue;
                    }
                    // Within the depth there is no free place, so that far it need not look.
                    let deep = table.deepest(p, spot, &ahead);
                    if deep <= 0.0 {
                        best = Some((spot.x + shape.width, spot));
                        break;
                    }
                    x = spot.x + deep.max(hop);
                }
            }
        }
        if let Some((_, spot)) = best {
            from[kind] = spot.x;
            table.put(p, spot);
        }
        laid.push(p);
    }
    Kept {
        length: table.reach(),
        phase,
        spots: table.spots.clone(),
    }
}

/// From how many parts on the first lay looks less closely, to come in a moment all the same.
const MANY: usize = 200;
