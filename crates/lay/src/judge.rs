//! Judges a lay by the true outlines, and by other means than the search that found it: no no-fit
//! outlines, no fields.

use crate::outline::{Outline, distance_squared, holds, turn};
use crate::task::{Cut, Lay, Part, Task, Turns};

/// How deep two outlines overlap: how far the border of one reaches inside the other.
///
/// Looked at where the borders cross and halfway between, and at every corner. 0 when they lie
/// apart or only touch.
pub fn overlap(a: &Outline, b: &Outline) -> f64 {
    let (p, q) = (a.bounds(), b.bounds());
    if p[0] >= q[2] || q[0] >= p[2] || p[1] >= q[3] || q[1] >= p[3] {
        return 0.0;
    }
    reaches(a.points(), b.points()).max(reaches(b.points(), a.points()))
}

/// How far the border of `a` reaches inside `b`.
fn reaches(a: &[[f64; 2]], b: &[[f64; 2]]) -> f64 {
    let mut most = 0.0_f64;
    let around = crate::outline::bounds(b);
    let mut cuts: Vec<f64> = Vec::new();
    for (i, &from) in a.iter().enumerate() {
        let to = a[(i + 1) % a.len()];
        if from[0].min(to[0]) > around[2]
            || from[0].max(to[0]) < around[0]
            || from[1].min(to[1]) > around[3]
            || from[1].max(to[1]) < around[1]
        {
            continue;
        }
        cuts.clear();
        cuts.extend([0.0, 1.0]);
        for (j, &c) in b.iter().enumerate() {
            let d = b[(j + 1) % b.len()];
            let (s, t) = (turn(c, d, from), turn(c, d, to));
            if (s > 0.0) != (t > 0.0) {
                cuts.push(s / (s - t));
            }
        }
        cuts.sort_by(f64::total_cmp);
        let mut look = |t: f64| {
            let p = [
                from[0] + t * (to[0] - from[0]),
                from[1] + t * (to[1] - from[1]),
            ];
            if holds(b, p) {
                most = most.max(clearance(b, p));
            }
        };
        for pair in cuts.windows(2) {
            look(pair[0]);
            look(f64::midpoint(pair[0], pair[1]));
        }
    }
    most
}

/// How far a point is from a closed line.
fn clearance(line: &[[f64; 2]], p: [f64; 2]) -> f64 {
    let mut least = f64::MAX;
    for (i, &a) in line.iter().enumerate() {
        least = least.min(distance_squared(p, a, line[(i + 1) % line.len()]));
    }
    least.sqrt()
}

/// What is wrong with a lay; nothing if it can be cut. `reach` is how far a piece may reach over a
/// border or into a neighbour.
///
/// Each fault is a short note for whoever mends the search, not for the cutter.
pub fn faults(task: &Task, lay: &Lay, reach: f64) -> Vec<String> {
    let mut faults = Vec::new();
    let mut laid = Vec::new();
    let mut counts = vec![0; task.kinds.len()];
    let mut phases: Vec<f64> = Vec::new();
    for p in &lay.placed {
        let Some(kind) = task.kinds.get(p.kind) else {
            faults.push(format!("there is no kind {}", p.kind));
            continue;
        };
        counts[p.kind] += 1;
        let name = &kind.name;
        let shape = kind.outline.placed(p.turn, p.over).moved(p.at);
        let b = shape.bounds();
        let part = task.part_of(kind);
        let (low, high) = task.reach_of(part);
        let (left, right) = match (part, lay.flat_from) {
            (Part::Opened, Some(from)) => (from, lay.length),
            (Part::Opened, None) => (f64::MAX, lay.length),
            (_, Some(from)) => (0.0, from),
            (_, None) => (0.0, lay.length),
        };
        let top = low + high;
        if b[0] < left - reach || b[2] > right + reach || b[1] < low - reach || b[3] > top + reach {
            faults.push(format!("{name} leaves its part of the cloth: {b:?}"));
        }
        if let Turns::Only(turns) = &kind.turns {
            let apart = |t: f64| ((t - p.turn + 180.0).rem_euclid(360.0) - 180.0).abs();
            let own = |t: f64| crate::strip::turned(t, p.over, task.across);
            if turns.iter().all(|&t| apart(own(t)) > 1e-9) {
                faults.push(format!("{name} is turned by {}", p.turn));
            }
        }
        match kind.cut {
            Cut::Single if p.over => faults.push(format!("{name} is turned over")),
            Cut::Single => {}
            Cut::Pair | Cut::Fold(_) if !task.folded => {
                faults.push(format!("{name} needs folded cloth"));
            }
            Cut::Pair => {}
            Cut::Fold(line) => {
                let [c, s] = crate::outline::direction(p.turn);
                for end in line {
                    let y = if p.over { -end[1] } else { end[1] };
                    if (end[0] * s + y * c + p.at[1]).abs() > reach {
                        faults.push(format!("{name} does not lie on the fold"));
                    }
                }
                if p.over != ((p.turn - 180.0).abs() < 1e-9) {
                    faults.push(format!("{name} lies on the fold the wrong way"));
                }
            }
        }
        for f in task.flaws_of(part) {
            let corners = [[f[0], f[1]], [f[2], f[1]], [f[2], f[3]], [f[0], f[3]]];
            if let Ok(flaw) = Outline::new(&corners)
                && overlap(&shape, &flaw) > reach
            {
                faults.push(format!("{name} lies over a flaw"));
            }
        }
        if let (Some(repeat), Some(m)) = (task.repeat, kind.matched) {
            let [c, s] = crate::outline::direction(p.turn);
            let y = if p.over { -m[1] } else { m[1] };
            phases.push((m[0] * c - y * s + p.at[0]).rem_euclid(repeat));
        }
        laid.push((name, shape));
    }
    for (kind, &count) in task.kinds.iter().zip(&counts) {
        if kind.count != count {
            faults.push(format!(
                "{} is laid {count} times, not {}",
                kind.name, kind.count
            ));
        }
    }
    for (i, (a, s)) in laid.iter().enumerate() {
        for (b, t) in &laid[i + 1..] {
            let deep = overlap(s, t);
            if deep > reach {
                faults.push(format!("{a} and {b} overlap by {deep}"));
            }
        }
    }
    if let (Some(repeat), Some(&first)) = (task.repeat, phases.first()) {
        let apart = |m: f64| ((m - first + repeat / 2.0).rem_euclid(repeat) - repeat / 2.0).abs();
        if phases.iter().any(|&m| apart(m) > reach) {
            faults.push("the match points do not keep the repeat".into());
        }
    }
    faults
}
