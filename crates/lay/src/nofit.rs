//! The no-fit outline of two pieces: where the second may not be put, because it would overlap the
//! first.
//!
//! It is the sum of the first outline and the second one point-mirrored. All its edges lie on the
//! *convolution* of the two: each edge of one at those corners of the other that can touch along it
//! (Guibas, Ramshaw, Stolfi, A kinetic framework for computational geometry, FOCS 1983). Round a
//! point inside, the convolution winds at least once, round a point outside never; so a union that
//! counts windings leaves exactly the no-fit outline.

use std::cmp::Ordering;

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;

/// A point on a fine grid, so that turns can be told exactly.
pub(crate) type Fine = [i64; 2];

/// The largest coordinate that [`no_fit`] takes.
pub(crate) const FINEST: i64 = 1 << 27;

fn cross(a: Fine, b: Fine) -> i64 {
    a[0] * b[1] - a[1] * b[0]
}

fn less(a: Fine, b: Fine) -> Fine {
    [a[0] - b[0], a[1] - b[1]]
}

/// Takes out points that lie on the one before, round the ring: an edge has a direction.
pub(crate) fn close_up(ring: &mut Vec<Fine>) {
    ring.dedup();
    while ring.len() > 1 && ring.first() == ring.last() {
        ring.pop();
    }
}

fn by_direction(a: Fine, b: Fine) -> Ordering {
    let lower = |d: Fine| d[1] < 0 || (d[1] == 0 && d[0] < 0);
    lower(a).cmp(&lower(b)).then_with(|| 0.cmp(&cross(a, b)))
}

/// A corner: between which directions it turns, and whether it turns left.
struct Corner {
    from: usize,
    to: usize,
    left: bool,
}

impl Corner {
    /// Whether a direction lies in the turn.
    fn holds(&self, rank: usize) -> bool {
        let (low, high) = if self.left {
            (self.from, self.to)
        } else {
            (self.to, self.from)
        };
        if low <= high {
            low < rank && rank < high
        } else {
            rank > low || rank < high
        }
    }
}

fn edges(points: &[Fine]) -> Vec<Fine> {
    let n = points.len();
    (0..n)
        .map(|i| less(points[(i + 1) % n], points[i]))
        .collect()
}

fn corners(edges: &[Fine], ranks: &[usize]) -> Vec<Corner> {
    let n = edges.len();
    (0..n)
        .map(|i| {
            let before = (i + n - 1) % n;
            let bend = cross(edges[before], edges[i]);
            let (from, to) = (ranks[before], ranks[i]);
            // A straight corner holds nothing, whichever way it is read.
            let left = bend > 0 || (bend == 0 && from < to);
            Corner { from, to, left }
        })
        .collect()
}

/// Closed lines that bound where `moving` overlaps `fixed`, as moves of `moving` from its own place.
///
/// Both outlines counter-clockwise, no coordinate above [`FINEST`]. Where two pieces fit into each
/// other without any room, the place is lost.
pub(crate) fn no_fit(fixed: &[Fine], moving: &[Fine]) -> Vec<Vec<Fine>> {
    let mirrored: Vec<Fine> = moving.iter().map(|p| [-p[0], -p[1]]).collect();
    let (first, second) = (edges(fixed), edges(&mirrored));
    let (n, m) = (first.len(), second.len());
    let mut order: Vec<(Fine, usize)> = first
        .iter()
        .chain(&second)
        .enumerate()
        .map(|(i, &d)| (d, i))
        .collect();
    // Among equal directions the first outline's come first: as if the second were turned by a hair.
    order.sort_by(|a, b| by_direction(a.0, b.0).then(a.1.cmp(&b.1)));
    let mut ranks = vec![0; n + m];
    for (rank, &(_, i)) in order.iter().enumerate() {
        ranks[i] = rank;
    }
    let (ours, theirs) = (corners(&first, &ranks[..n]), corners(&second, &ranks[n..]));
    let mut ways: Vec<(usize, usize)> = Vec::new();
    let node = |i: usize, j: usize| (i % n) * m + j % m;
    let mut way = |a: usize, b: usize, left: bool| {
        ways.push(if left { (a, b) } else { (b, a) });
    };
    for (i, corner) in ours.iter().enumerate() {
        for j in 0..m {
            if corner.holds(ranks[n + j]) {
                way(node(i, j), node(i, j + 1), corner.left);
            }
        }
    }
    for (j, corner) in theirs.iter().enumerate() {
        for (i, &rank) in ranks[..n].iter().enumerate() {
            if corner.holds(rank) {
                way(node(i, j), node(i + 1, j), corner.left);
            }
        }
    }
    let place = |at: usize| {
        let (a, b) = (fixed[at / m], mirrored[at % m]);
        let fit = |v: i64| i32::try_from(v).unwrap_or(0);
        IntPoint::new(fit(a[0] + b[0]), fit(a[1] + b[1]))
    };
    let loops: Vec<Vec<IntPoint<i32>>> = rounds(&mut ways)
        .into_iter()
        .map(|round| round.into_iter().map(place).collect())
        .collect();
    let shapes = Overlay::from_subj(&loops).overlay(OverlayRule::Subject, FillRule::NonZero);
    shapes
        .into_iter()
        .flatten()
        .map(|line| {
            line.iter()
                .map(|p| [i64::from(p.x), i64::from(p.y)])
                .collect()
        })
        .collect()
}

/// Takes ways that enter every point as often as they leave it apart into closed rounds.
fn rounds(ways: &mut [(usize, usize)]) -> Vec<Vec<usize>> {
    ways.sort_unstable();
    let starts: Vec<usize> = ways.iter().map(|w| w.0).collect();
    let mut used = vec![0_usize; ways.len()];
    let mut next_of = |at: usize| {
        let first = starts.partition_point(|&s| s < at);
        let k = first + *used.get(first)?;
        let way = ways.get(k).filter(|w| w.0 == at)?;
        used[first] += 1;
        Some(way.1)
    };
    let mut all = Vec::new();
    for &start in &starts {
        let Some(mut at) = next_of(start) else {
            continue;
        };
        let mut round = vec![start];
        while at != start {
            round.push(at);
            let Some(next) = next_of(at) else { break };
            at = next;
        }
        all.push(round);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::Chance;
    use crate::depth::Field;
    use crate::judge::overlap;
    use crate::outline::Outline;

    fn fine(outline: &Outline) -> Vec<Fine> {
        let whole = |v: f64| {
            #[expect(clippy::cast_possible_truncation, reason = "small whole numbers")]
            let v = v.round() as i64;
            v
        };
        let points = outline.points().iter();
        points.map(|p| [whole(p[0]), whole(p[1])]).collect()
    }

    fn field(a: &Outline, b: &Outline) -> Field {
        #[expect(clippy::cast_precision_loss, reason = "small whole numbers")]
        let lines: Vec<Vec<[f64; 2]>> = no_fit(&fine(a), &fine(b))
            .iter()
            .map(|l| l.iter().map(|p| [p[0] as f64, p[1] as f64]).collect())
            .collect();
        Field::new(&lines)
    }

    /// Would catch an edge without a length: a closing point that comes to lie on the first makes one, and
    /// what is sorted by directions goes wrong.
    #[test]
    fn a_ring_has_no_edge_without_a_length() {
        let square = [[0, 0], [10, 0], [10, 10], [0, 10]];
        let mut ring = vec![[0, 0], [10, 0], [10, 0], [10, 10], [0, 10], [0, 0], [0, 0]];
        close_up(&mut ring);
        assert_eq!(ring, square);
        let mut point = vec![[3, 3]; 4];
        close_up(&mut point);
        assert_eq!(point, [[3, 3]]);
    }

    /// A star of random corners round a middle: simple, seldom convex.
    fn star(chance: &mut Chance, corners: u32, level: bool) -> Outline {
        let mut points = Vec::new();
        for i in 0..corners {
            let angle = 360.0 * (f64::from(i) + 0.8 * chance.share()) / f64::from(corners);
            let [c, s] = crate::outline::direction(angle);
            let r = chance.between(100.0, 1000.0);
            let step = if level { 100.0 } else { 1.0 };
            points.push([(r * c / step).round() * step, (r * s / step).round() * step]);
        }
        Outline::new(&points).unwrap_or_else(|_| star(chance, corners, level))
    }

    #[test]
    fn inside_the_no_fit_outline_pieces_overlap_and_outside_they_do_not() {
        // Would catch a convolution that misses an edge, a union that fills or drops a part, and a
        // cell of the field that forgets an edge. The judge knows neither.
        let mut chance = Chance::new(11, 0);
        for round in 0..300_u32 {
            let level = round % 2 == 0;
            let (n, m) = (3 + round % 13, 3 + round % 7);
            let a = star(&mut chance, n, level);
            let b = if round % 5 == 0 {
                a.clone()
            } else {
                star(&mut chance, m, level)
            };
            let field = field(&a, &b);
            for _ in 0..60 {
                let by = [
                    chance.between(-2000.0, 2000.0),
                    chance.between(-2000.0, 2000.0),
                ];
                let deep = field.depth(by[0], by[1]);
                let judged = overlap(&a, &b.moved(by));
                assert!(
                    (deep > 1.5) == (judged > 1e-9) || deep.max(judged) < 3.0,
                    "round {round}, by {by:?}: field {deep}, judge {judged}\n{a:?}\n{b:?}"
                );
                // The shortest way out is never shorter than how far the borders reach in.
                assert!(
                    deep + 3.0 >= judged,
                    "round {round}: field {deep}, judge {judged}"
                );
            }
        }
    }
}
