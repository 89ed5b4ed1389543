//! Figures that follow each other: left and right of one centre line, and the ends of an arc about one
//! centre, get the same figure when they are rounded.

use measure::Point;

use crate::number::whole;

/// Nearer than this two places are alike, in mm.
const ALIKE: f64 = 1e-3;

/// A figure that follows another: so many times that one's, and so much more, in parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Tie {
    pub(crate) figure: usize,
    times: i64,
    more: i64,
}

impl Tie {
    /// Its value when the other has this one.
    pub(crate) fn follow(self, value: i64) -> i64 {
        self.times * value + self.more
    }
}

/// All that follow each other.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ties {
    of: Vec<Vec<Tie>>,
    /// Per sheet, twice the place of each line about which something lies alike.
    centres: Vec<Vec<i64>>,
}

/// So many parts as a number.
#[expect(
    clippy::cast_precision_loss,
    reason = "parts on a sheet of paper are few"
)]
pub(crate) fn real_parts(parts: i64) -> f64 {
    parts as f64
}

impl Ties {
    /// From places and uprights in mm, sheet by sheet, and the two figures of each place.
    pub(crate) fn new(
        places: &[Vec<Point>],
        uprights: &[Vec<f64>],
        spots: &[Vec<(usize, usize)>],
        free: &[bool],
        part: f64,
    ) -> Self {
        let mut near: Vec<Vec<Tie>> = vec![Vec::new(); free.len()];
        let mut centres = Vec::new();
        // A centre must itself stand on a figure.
        let on = |mm: f64| -> Option<i64> {
            let parts = whole(mm / part);
            ((real_parts(parts) * part - mm).abs() < 1e-6).then_some(parts)
        };
        let may = |a: usize, b: usize| a != b && free[a] && free[b];
        let join = |near: &mut Vec<Vec<Tie>>, a: usize, b: usize, times: i64, more: i64| {
            // Both ways: what is turned and moved goes back by the same turn.
            near[a].push(Tie {
                figure: b,
                times,
                more,
            });
            near[b].push(Tie {
                figure: a,
                times,
                more: -times * more,
            });
        };
        for ((places, uprights), spots) in places.iter().zip(uprights).zip(spots) {
            let mut own: Vec<i64> = Vec::new();
            for (a, p) in places.iter().enumerate() {
                for (b, q) in places.iter().enumerate().skip(a + 1) {
                    let (f, g) = (spots[a], spots[b]);
                    for x in uprights {
                        let alike = (p.x + q.x - 2.0 * x).abs() < ALIKE
                            && (p.y - q.y).abs() < ALIKE
                            && (p.x - x).abs() > ALIKE;
                        let (true, Some(centre)) = (alike, on(*x)) else {
                            continue;
                        };
                        if may(f.0, g.0) {
                            join(&mut near, f.0, g.0, -1, 2 * centre);
                            if !own.contains(&(2 * centre)) {
                                own.push(2 * centre);
                            }
                        }
                        if may(f.1, g.1) {
                            join(&mut near, f.1, g.1, 1, 0);
                        }
                    }
                }
            }
            for c in places {
                let (Some(x), Some(y)) = (on(c.x), on(c.y)) else {
                    continue;
                };
                // Places straight across and straight down from it: the figure, its own centre, how far.
                let mut axes: Vec<(usize, i64, f64)> = Vec::new();
                for (p, f) in places.iter().zip(spots) {
                    let way = *p - *c;
                    if way.x.abs() < ALIKE && way.y.abs() > ALIKE {
                        axes.push((f.1, y, way.y));
                    } else if way.y.abs() < ALIKE && way.x.abs() > ALIKE {
                        axes.push((f.0, x, way.x));
                    }
                }
                for (i, (f, from, far)) in axes.iter().enumerate() {
                    for (g, other, reach) in &axes[i + 1..] {
                        if may(*f, *g) && (far.abs() - reach.abs()).abs() < ALIKE {
                            let times = if far * reach > 0.0 { 1 } else { -1 };
                            join(&mut near, *f, *g, times, other - times * from);
                        }
                    }
                }
            }
            centres.push(own);
        }
        Self {
            of: (0..free.len()).map(|f| all_of(&near, f)).collect(),
            centres,
        }
    }

    /// What follows a figure.
    pub(crate) fn of(&self, figure: usize) -> &[Tie] {
        self.of.get(figure).map_or(&[], Vec::as_slice)
    }

    /// Whether nothing follows anything.
    pub(crate) fn none(&self) -> bool {
        self.of.iter().all(Vec::is_empty)
    }

    /// Twice the place of each centre of a sheet, in parts.
    pub(crate) fn centres(&self, sheet: usize) -> &[i64] {
        self.centres.get(sheet).map_or(&[], Vec::as_slice)
    }
}

/// All that follow a figure, also by way of others.
fn all_of(near: &[Vec<Tie>], figure: usize) -> Vec<Tie> {
    let mut out = vec![Tie {
        figure,
        times: 1,
        more: 0,
    }];
    let mut at = 0;
    while let Some(here) = out.get(at).copied() {
        for next in &near[here.figure] {
            if out.iter().all(|t| t.figure != next.figure) {
                out.push(Tie {
                    figure: next.figure,
                    times: next.times * here.times,
                    more: next.times * here.more + next.more,
                });
            }
        }
        at += 1;
    }
    out.remove(0);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a gore whose left half is rounded otherwise than its right one, and the ends of a
    /// quarter circle at two radii.
    #[test]
    fn what_lies_alike_gets_one_figure() {
        let part = 3.175;
        let places = [vec![
            Point::new(0.0, 0.0),
            Point::new(-64.7, 222.25),
            Point::new(64.7, 222.25),
            Point::new(0.0, 500.1),
            Point::new(500.1, 0.0),
        ]];
        let spots = [vec![(0, 1), (2, 3), (4, 5), (0, 6), (7, 1)]];
        let mut free = vec![true; 8];
        (free[0], free[1]) = (false, false);
        let ties = Ties::new(&places, &[vec![0.0]], &spots, &free, part);
        let follow = |f: usize| -> Vec<(usize, i64)> {
            let all = ties.of(f).iter();
            all.map(|t| (t.figure, t.follow(21))).collect()
        };
        assert_eq!(follow(4), [(2, -21)]);
        assert_eq!(follow(3), [(5, 21)]);
        assert_eq!(follow(6), [(7, 21)]);
        assert_eq!(ties.centres(0), [0]);
        assert!(ties.of(0).is_empty());
    }
}
