//! Where in the repeat of the cloth the match points of a lay lie: all of them keep one place, on every
//! part of the cloth.

use crate::task::{Placed, Task};

/// Where in the repeat these pieces keep the pattern, in the frame of the task: the first of them that has
/// a match point says it. `None` where none has one, or the cloth has no repeat.
pub(crate) fn kept<'p>(task: &Task, placed: impl IntoIterator<Item = &'p Placed>) -> Option<f64> {
    let repeat = task.repeat?;
    placed.into_iter().find_map(|p| {
        let [x, y] = task.kinds.get(p.kind)?.matched?;
        let [c, s] = crate::outline::direction(p.turn);
        let y = if p.over { -y } else { y };
        Some((x * c - y * s + p.at[0]).rem_euclid(repeat))
    })
}
