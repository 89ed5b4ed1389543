//! An outline as stretches of narrow columns.

use measure::Point;

use super::Outline;
use crate::number::{count, real};
use crate::quad::Rect;

/// Stretches of a column, sorted, none touching the next.
pub(super) type Stretches = Vec<(f64, f64)>;

/// An outline in columns, its upper left corner at the beginning of the first.
#[derive(Clone, Debug)]
pub(super) struct Columned {
    pub(super) corner: Point,
    pub(super) width: f64,
    pub(super) height: f64,
    /// What it touches.
    pub(super) own: Vec<Stretches>,
    /// The same with the gap all round; begins `reach` columns to the left.
    pub(super) grown: Vec<Stretches>,
    /// How many columns the gap reaches.
    pub(super) reach: usize,
}

/// How many columns a gap takes.
pub(super) fn reach(gap: f64, column: f64) -> usize {
    count((gap / column - 1e-9).ceil().max(0.0))
}

impl Columned {
    pub(super) fn new(outline: &Outline, column: f64, gap: f64) -> Self {
        let bounds = bounds(outline);
        Self::within(outline, column, gap, bounds, bounds.x0)
    }

    /// An outline that lies somewhere already; gives the column in which it begins, too.
    pub(super) fn there(outline: &Outline, column: f64) -> (Self, usize) {
        let bounds = bounds(outline);
        let first = index(bounds.x0, column);
        let left = real(first) * column;
        (Self::within(outline, column, 0.0, bounds, left), first)
    }

    fn within(outline: &Outline, column: f64, gap: f64, bounds: Rect, left: f64) -> Self {
        let corner = Point::new(left, bounds.y0);
        let (width, height) = (bounds.x1 - left, bounds.height());
        let n = index(width, column) + 1;
        let mut own: Vec<Stretches> = vec![Vec::new(); n];
        for ring in outline {
            add_ring(&mut own, ring, corner, column);
        }
        for stretches in &mut own {
            merge(stretches);
        }
        let reach = reach(gap, column);
        // Two columns that lie so many apart are at least one less apart: what is left of the gap
        // must lie up and down.
        let left = |off: usize| {
            let aside = real(off.saturating_sub(1)) * column;
            (gap * gap - aside * aside).max(0.0).sqrt()
        };
        let grown = (0..n + 2 * reach)
            .map(|k| {
                let (from, to) = (k.saturating_sub(2 * reach).min(n), (k + 1).min(n));
                let mut all: Stretches = Vec::new();
                for (i, stretches) in own.iter().enumerate().take(to).skip(from) {
                    let up = left((i + reach).abs_diff(k));
                    all.extend(stretches.iter().map(|(a, b)| (a - up, b + up)));
                }
                merge(&mut all);
                all
            })
            .collect();
        Self {
            corner,
            width,
            height,
            own,
            grown,
            reach,
        }
    }
}

fn bounds(outline: &Outline) -> Rect {
    Rect::around(outline.iter().flatten())
}

fn index(x: f64, column: f64) -> usize {
    count((x / column).floor().max(0.0))
}

/// Adds what a ring touches in each column: its sides cut at the borders of the column, and what it
/// goes round on these borders. Whatever it holds lies level with one or the other.
fn add_ring(own: &mut [Stretches], ring: &[Point], corner: Point, column: f64) {
    let mut borders: Vec<Vec<f64>> = vec![Vec::new(); own.len() + 1];
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        let (a, b) = (*a - corner, b - corner);
        let (l, r) = if a.x <= b.x { (a, b) } else { (b, a) };
        let (first, last) = (index(l.x, column), index(r.x, column).min(own.len() - 1));
        let at = |x: f64| {
            if r.x - l.x < 1e-12 {
                l.y
            } else {
                l.y + (r.y - l.y) * ((x - l.x) / (r.x - l.x)).clamp(0.0, 1.0)
            }
        };
        for (k, stretches) in own.iter_mut().enumerate().take(last + 1).skip(first) {
            let (from, to) = (l.x.max(real(k) * column), r.x.min(real(k + 1) * column));
            let (y0, y1) = if r.x - l.x < 1e-12 {
                (l.y, r.y)
            } else {
                (at(from), at(to))
            };
            stretches.push((y0.min(y1), y0.max(y1)));
        }
        for (k, border) in borders.iter_mut().enumerate().skip(first) {
            let x = real(k) * column;
            if x > r.x + 1e-9 {
                break;
            }
            if (a.x > x) != (b.x > x) {
                border.push(at(x));
            }
        }
    }
    for (k, border) in borders.iter_mut().enumerate() {
        border.sort_by(f64::total_cmp);
        for pair in border.chunks_exact(2) {
            for c in [k.checked_sub(1), Some(k)].into_iter().flatten() {
                if let Some(stretches) = own.get_mut(c) {
                    stretches.push((pair[0], pair[1]));
                }
            }
        }
    }
}

/// Sorts stretches, and joins those that touch.
pub(super) fn merge(stretches: &mut Stretches) {
    stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Stretches = Vec::with_capacity(stretches.len());
    for s in stretches.iter() {
        match out.last_mut() {
            Some(last) if s.0 <= last.1 + 1e-9 => last.1 = last.1.max(s.1),
            _ => out.push(*s),
        }
    }
    *stretches = out;
}

/// A sheet with what lies on it.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    columns: Vec<Stretches>,
    /// Columns before the first, for gaps that reach over the edge.
    before: usize,
    /// Where the lowest thing ends.
    pub(super) foot: f64,
}

impl Sheet {
    pub(super) fn new(width: f64, column: f64, reach: usize) -> Self {
        Self {
            columns: vec![Vec::new(); index(width, column) + 2 + 2 * reach],
            before: reach,
            foot: 0.0,
        }
    }

    /// Takes up the place of a thing whose columns begin at the given one.
    pub(super) fn take(&mut self, thing: &Columned, first: usize, y: f64) {
        for (i, stretches) in thing.own.iter().enumerate() {
            let Some(column) = self.columns.get_mut(self.before + first + i) else {
                continue;
            };
            if !stretches.is_empty() {
                column.extend(stretches.iter().map(|(a, b)| (a + y, b + y)));
                merge(column);
            }
        }
        self.foot = self.foot.max(y + thing.height);
    }

    /// The highest place from `from` on for a thing whose columns begin at the given one, ending no
    /// lower than `foot`. `work` counts the columns that were looked at.
    pub(super) fn highest(
        &self,
        thing: &Columned,
        first: usize,
        from: f64,
        foot: f64,
        work: &mut u64,
    ) -> Option<f64> {
        let mut y = from;
        let begin = (self.before + first).checked_sub(thing.reach)?;
        loop {
            let before = y;
            for (i, stretches) in thing.grown.iter().enumerate() {
                *work += 1;
                let Some(taken) = self.columns.get(begin + i).filter(|t| !t.is_empty()) else {
                    continue;
                };
                'again: loop {
                    for (a, b) in stretches {
                        let next = taken.partition_point(|t| t.1 <= y + a + 1e-9);
                        if let Some(t) = taken.get(next)
                            && t.0 < y + b - 1e-9
                        {
                            y = t.1 - a;
                            if y + thing.height > foot {
                                return None;
                            }
                            continue 'again;
                        }
                    }
                    break;
                }
            }
            if y <= before {
                return (y + thing.height <= foot).then_some(y);
            }
        }
    }
}
