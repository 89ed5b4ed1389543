//! A piece moved by hand: whether it may lie there, what it would lie over, and the nearest place where
//! it may.

use crate::judge::overlap;
use crate::outline::Outline;
use crate::phase;
use crate::strip::Strip;
use crate::table::{Favour, Spot, Table};
use crate::task::{Kind, Lay, Part, Placed, Task};

/// What came of moving a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// The nearest place where it may lie; none within reach.
    pub to: Option<Placed>,
    /// Which pieces of the lay it would have lain over where it was put.
    pub over: Vec<usize>,
    /// Whether it would have left the cloth, lain on a flaw, or off its fold or repeat.
    pub off: bool,
}

impl Moved {
    /// Whether it may lie just where it was put.
    pub const fn legal(&self) -> bool {
        self.over.is_empty() && !self.off && self.to.is_some()
    }
}

/// Moves one piece of a lay, the others staying where they are.
///
/// `which` is its place in `lay.placed`; `wanted` where it is to lie, in the frame of the task. The
/// piece may lie up to `reach` away from there, anywhere on its part of the cloth from the start to
/// `longest`. `None` when there is no such piece.
pub fn moved(
    task: &Task,
    lay: &Lay,
    which: usize,
    wanted: Placed,
    (reach, longest): (f64, f64),
) -> Option<Moved> {
    let placed = lay.placed.get(which)?;
    let kind = task.kinds.get(placed.kind)?;
    let usable = |v: f64| v.is_finite() && v.abs() < Outline::FARTHEST;
    if wanted.kind != placed.kind
        || ![wanted.turn, wanted.at[0], wanted.at[1], longest]
            .into_iter()
            .all(usable)
    {
        return None;
    }
    let part = task.part_of(kind);
    let from = if part == Part::Opened {
        lay.flat_from.unwrap_or(0.0)
    } else {
        0.0
    };
    let to = match lay.flat_from {
        Some(f) if part != Part::Opened => f,
        _ => longest,
    };
    let (up, height) = task.reach_of(part);
    let (hair, near) = (3.0 * task.hair, 10.0 * task.hair);
    let shape = kind
        .outline
        .placed(wanted.turn, wanted.over)
        .moved(wanted.at);
    let others: Vec<(usize, Placed)> = lay
        .placed
        .iter()
        .enumerate()
        .filter(|(i, p)| {
            *i != which
                && task
                    .kinds
                    .get(p.kind)
                    .is_some_and(|k| task.part_of(k) == part)
        })
        .map(|(i, p)| {
            (
                i,
                Placed {
                    at: [p.at[0] - from, p.at[1] - up],
                    ..*p
                },
            )
        })
        .collect();
    let over: Vec<usize> = others
        .iter()
        .filter(|(_, p)| {
            task.kinds.get(p.kind).is_some_and(|k| {
                let there = k
                    .outline
                    .placed(p.turn, p.over)
                    .moved([p.at[0] + from, p.at[1] + up]);
                overlap(&there, &shape) > hair
            })
        })
        .map(|(i, _)| *i)
        .collect();
    // The others as they lie, and this one piece to be put.
    let mut alone = task.clone();
    for (k, own) in alone.kinds.iter_mut().enumerate() {
        own.count =
            others.iter().filter(|(_, p)| p.kind == k).count() + usize::from(k == placed.kind);
    }
    let kinds: Vec<(usize, &Kind)> = alone
        .kinds
        .iter()
        .enumerate()
        .filter(|(_, k)| task.part_of(k) == part && k.count > 0)
        .collect();
    let pinned: Vec<Placed> = others.iter().map(|o| o.1).collect();
    let flaws: Vec<[f64; 4]> = task
        .flaws_of(part)
        .iter()
        .map(|f| [f[0] - from, f[1] - up, f[2] - from, f[3] - up])
        .collect();
    let strip = Strip::new(
        &kinds,
        &pinned,
        (height, task.across),
        &flaws,
        task.repeat,
        task.hair,
    )
    .ok()?;
    let mine = *strip.parts.first()?;
    let poses = &strip.poses[mine];
    let apart = |t: f64| ((t - wanted.turn + 180.0).rem_euclid(360.0) - 180.0).abs();
    let same = |p: &crate::strip::Pose| apart(p.turn) < 1e-6 && p.over == wanted.over;
    // A turn that looks the same as another is kept as one of them.
    let Some(pose) = poses.iter().position(same).or_else(|| {
        let want = kind.outline.placed(wanted.turn, wanted.over);
        poses
            .iter()
            .position(|p| alike(&kind.outline.placed(p.turn, p.over), &want, near))
    }) else {
        return Some(Moved {
            to: None,
            over,
            off: true,
        });
    };
    let b = shape.bounds();
    let asked = Spot {
        x: b[0] - from,
        y: b[1] - up,
        pose,
    };
    let length = (to - from).max(b[2] - b[0]);
    // The others keep their place in the repeat, on whichever part of the cloth they lie. If none does,
    // this one may begin it where it was put.
    let stay = lay.placed.iter().enumerate().filter(|(i, _)| *i != which);
    let kept = phase::kept(task, stay.map(|(_, p)| p)).map(|kept| kept - from);
    let own = poses[pose].matched.map(|m| asked.x + m);
    let phase = match (task.repeat, kept.or(own)) {
        (Some(repeat), Some(phase)) => phase.rem_euclid(repeat),
        _ => 0.0,
    };
    let mut table = Table::new(&strip, length, phase, vec![asked], Favour::Even);
    let off = match table.settled(0, asked) {
        Some(s) => {
            (s.x - asked.x).abs() > near
                || (s.y - asked.y).abs() > near
                || over.is_empty() && table.deepest(0, s, &[]) > 0.0
        }
        None => true,
    };
    let spot = nearest(&mut table, asked, reach);
    let to = spot.map(|s| Placed {
        kind: placed.kind,
        turn: poses[s.pose].turn,
        over: poses[s.pose].over,
        at: [
            s.x - poses[s.pose].low[0] + from,
            s.y - poses[s.pose].low[1] + up,
        ],
    });
    Some(Moved { to, over, off })
}

/// Whether two outlines, laid corner on corner, are the same to within so much.
fn alike(a: &Outline, b: &Outline, within: f64) -> bool {
    let (p, q) = (a.bounds(), b.bounds());
    let b = b.moved([p[0] - q[0], p[1] - q[1]]);
    let close = |x: f64, y: f64| (x - y).abs() <= within;
    close(p[2] - p[0], q[2] - q[0]) && close(p[3] - p[1], q[3] - q[1]) && {
        let area = |o: &Outline| o.area();
        close(area(a), area(&b))
            && a.points().len() == b.points().len()
            && a.points().iter().all(|s| {
                b.points()
                    .iter()
                    .any(|t| close(s[0], t[0]) && close(s[1], t[1]))
            })
    }
}

/// The nearest spot without overlap: rings of growing width round the asked place, each skipping as
/// far as the depth there shows that nothing is free; then the best is drawn in towards the place.
fn nearest(table: &mut Table<'_>, asked: Spot, reach: f64) -> Option<Spot> {
    let far = |s: Spot| {
        let (dx, dy) = (s.x - asked.x, s.y - asked.y);
        (dx * dx + dy * dy).sqrt()
    };
    let free = |table: &mut Table<'_>, s: Spot| -> Result<Spot, f64> {
        match table.settled(0, s) {
            None => Err(f64::MAX),
            Some(s) => {
                let deep = table.deepest(0, s, &[]);
                if deep > 0.0 { Err(deep) } else { Ok(s) }
            }
        }
    };
    let first = match free(table, asked) {
        Ok(s) => return Some(s),
        Err(deep) => deep,
    };
    let step = (reach / 100.0).max(1e-6);
    let mut best: Option<Spot> = None;
    let mut ring = first.min(reach).max(step);
    while ring <= reach {
        if best.is_some_and(|b| far(b) <= ring) {
            break;
        }
        for i in 0..TURNS {
            let [c, s] = crate::outline::direction(360.0 * f64::from(i) / f64::from(TURNS));
            let spot = Spot {
                x: asked.x + ring * c,
                y: asked.y + ring * s,
                ..asked
            };
            if let Ok(found) = free(table, spot)
                && far(found) <= reach
                && best.is_none_or(|b| far(found) < far(b))
            {
                best = Some(found);
            }
        }
        ring += step;
    }
    // Draw it in: halve the way back as long as it stays free.
    let mut best = best?;
    for _ in 0..40 {
        let mut moved = false;
        for part in [0.5, 0.25, 0.1, 0.02] {
            for (dx, dy) in [(1.0, 1.0), (1.0, 0.0), (0.0, 1.0)] {
                let spot = Spot {
                    x: best.x + (asked.x - best.x) * part * dx,
                    y: best.y + (asked.y - best.y) * part * dy,
                    ..best
                };
                if let Ok(found) = free(table, spot)
                    && far(found) + 1e-9 < far(best)
                {
                    best = found;
                    moved = true;
                }
            }
        }
        if !moved {
            break;
        }
    }
    Some(best)
}

/// In how many directions it is looked.
const TURNS: u32 = 72;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judge::faults;
    use crate::task::{Cut, Turns};
    use proptest::prelude::*;

    fn board(id: u64, w: f64, h: f64, count: usize) -> Kind {
        Kind {
            id,
            name: format!("board {id}"),
            outline: Outline::new(&[[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]]).unwrap(),
            count,
            turns: Turns::Only(vec![0.0, 180.0]),
            cut: Cut::Single,
            matched: None,
        }
    }

    fn three() -> (Task, Lay) {
        let task = Task {
            height: 100.0,
            opened: 100.0,
            folded: false,
            beside: None,
            kinds: vec![board(1, 50.0, 40.0, 3)],
            flaws: Vec::new(),
            flaws_opened: Vec::new(),
            pinned: Vec::new(),
            repeat: None,
            across: false,
            hair: 0.004,
        };
        let at = |x: f64, y: f64| Placed {
            kind: 0,
            turn: 0.0,
            over: false,
            at: [x, y],
        };
        let lay = Lay {
            length: 100.0,
            flat_from: None,
            placed: vec![at(0.0, 0.0), at(50.0, 0.0), at(0.0, 50.0)],
        };
        (task, lay)
    }

    /// Would catch a collision that is not told, and a nearest place that is not the nearest.
    #[test]
    fn a_board_slides_off_the_one_it_was_put_on() {
        let (task, lay) = three();
        let put = |x: f64, y: f64| {
            let wanted = Placed {
                at: [x, y],
                ..lay.placed[2]
            };
            moved(&task, &lay, 2, wanted, (200.0, 400.0)).unwrap()
        };
        assert!(put(120.0, 30.0).legal());
        let on = put(20.0, 30.0);
        assert_eq!(
            (on.over.clone(), on.off, on.legal()),
            (vec![0, 1], false, false)
        );
        let to = on.to.unwrap().at;
        assert!(
            (to[0] - 20.0).abs() < 0.5 && (to[1] - 40.0).abs() < 0.5,
            "{to:?}"
        );
        let off = put(20.0, 90.0);
        assert!(off.over.is_empty() && off.off);
        let to = off.to.unwrap().at;
        assert!(
            (to[0] - 20.0).abs() < 0.01 && (to[1] - 60.0).abs() < 0.01,
            "{to:?}"
        );
        assert_eq!(moved(&task, &lay, 9, lay.placed[0], (1.0, 100.0)), None);
    }

    /// By hand: a pair of 100 at 0 keeps its match point at 10; the opened end begins at 100, and the match point
    /// of a single, 40 behind its left edge, meets a repeat of 130 at 140 and 270: it lies at 100 or 230.
    /// Would catch a piece that is let off the pattern because the other one lies on another part.
    #[test]
    fn a_piece_keeps_the_pattern_of_the_other_part() {
        let mut pair = board(1, 100.0, 90.0, 1);
        (pair.cut, pair.matched) = (Cut::Pair, Some([10.0, 0.0]));
        let mut single = board(2, 80.0, 150.0, 1);
        single.matched = Some([40.0, 0.0]);
        let (flat, _) = three();
        let mut task = Task {
            opened: 200.0,
            folded: true,
            kinds: vec![pair, single],
            repeat: Some(130.0),
            ..flat
        };
        let at = |kind: usize, x: f64| Placed {
            kind,
            turn: 0.0,
            over: false,
            at: [x, 0.0],
        };
        let lay = Lay {
            length: 180.0,
            flat_from: Some(100.0),
            placed: vec![at(0, 0.0), at(1, 100.0)],
        };
        assert_eq!(faults(&task, &lay, 0.01), Vec::<String>::new());
        let put = |task: &Task, x: f64| moved(task, &lay, 1, at(1, x), (200.0, 600.0)).unwrap();
        for (x, lies) in [(120.0, 100.0), (180.0, 230.0)] {
            let told = put(&task, x);
            assert!(told.off && !told.legal(), "{x}: {told:?}");
            let to = told.to.unwrap();
            assert!((to.at[0] - lies).abs() < 0.01, "{x}: {to:?}");
            let next = Lay {
                length: 400.0,
                placed: vec![lay.placed[0], to],
                ..lay.clone()
            };
            assert_eq!(faults(&task, &next, 0.01), Vec::<String>::new(), "{x}");
        }
        assert!(put(&task, 230.0).legal());
        // Where no other piece has a match point, this one begins the pattern where it is put.
        task.kinds[0].matched = None;
        assert!(put(&task, 120.0).legal());
    }

    proptest! {
        /// Wherever a piece is put, the place that is told keeps every rule of the lay.
        #[test]
        fn the_place_told_is_legal(x in -50.0_f64..300.0, y in -50.0_f64..150.0, half in any::<bool>()) {
            let (mut task, mut lay) = three();
            task.flaws = vec![[110.0, 20.0, 120.0, 60.0]];
            let turn = if half { 180.0 } else { 0.0 };
            let wanted = Placed { at: [x, y], turn, ..lay.placed[2] };
            let told = moved(&task, &lay, 2, wanted, (500.0, 400.0)).unwrap();
            let to = told.to.unwrap();
            if told.legal() {
                let b = |p: Placed| task.kinds[0].outline.placed(p.turn, p.over).moved(p.at).bounds();
                let (p, q) = (b(to), b(wanted));
                prop_assert!((p[0] - q[0]).abs() < 0.1 && (p[1] - q[1]).abs() < 0.1);
            }
            lay.placed[2] = to;
            lay.length = 400.0;
            prop_assert_eq!(faults(&task, &lay, 0.01), Vec::<String>::new());
        }
    }
}
