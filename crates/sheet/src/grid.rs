//! The grid of sheets under a piece: fewest sheets, the label whole on one of them, no notch or
//! corner near a joint.
//!
//! ```text
//!   window k begins at origin + k * step and is `window` wide; it laps over its neighbour by 10 mm;
//!   the joint is the right (lower) edge of the sheet before, 10 mm inside the sheet after
//! ```

use measure::{Point, Vector};

use crate::label::Label;
use crate::number::{count, real};
use crate::order::Paper;
use crate::quad::{Rect, rings};
use crate::traced::Traced;

/// White round the window, and the lap of two sheets.
pub(crate) const MARGIN: f64 = 10.0;
const LAP: f64 = 10.0;
/// Ink keeps this far from the edge of the outermost windows.
const INSIDE: f64 = 5.0;
/// Ink nearer than this to the cut edge of a sheet wants the next sheet too.
const NEAR: f64 = 2.0;
/// The grid is tried in steps of this.
const STEP: f64 = 5.0;
/// No more sheets than this along one side.
const MOST: usize = 60;

/// The measures of a sheet's window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Frame {
    pub(crate) paper: (f64, f64),
    pub(crate) window: (f64, f64),
    pub(crate) step: (f64, f64),
    /// How far two sheets lie over each other.
    pub(crate) lap: f64,
}

impl Frame {
    pub(crate) fn of(paper: Paper) -> Self {
        let (w, h) = paper.size();
        let (w, h) = (w.in_mm(), h.in_mm());
        let window = (w - 2.0 * MARGIN, h - 2.0 * MARGIN);
        Self {
            paper: (w, h),
            window,
            step: (window.0 - LAP, window.1 - LAP),
            lap: LAP,
        }
    }

    /// Windows so large with such a lap, on no sheet in particular.
    pub(crate) const fn parts(window: (f64, f64), lap: f64) -> Self {
        Self {
            paper: window,
            window,
            step: (window.0 - lap, window.1 - lap),
            lap,
        }
    }

    /// No piece of this size takes fewer sheets, if it fills its box.
    pub(crate) fn least(&self, width: f64, height: f64) -> usize {
        let across = Self::sheets(self.window.0, self.step.0, width + 2.0 * INSIDE);
        across * Self::sheets(self.window.1, self.step.1, height + 2.0 * INSIDE)
    }

    /// How many sheets side by side hold so much.
    fn sheets(window: f64, step: f64, size: f64) -> usize {
        count(((size - window) / step).ceil().max(0.0)) + 1
    }
}

/// A sheet of the grid: row and column, from 0.
pub(crate) type Cell = (usize, usize);

/// The grid of one piece.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Grid {
    pub(crate) frame: Frame,
    pub(crate) origin: Point,
    pub(crate) rows: usize,
    pub(crate) columns: usize,
    /// The sheets that are printed, row by row.
    pub(crate) on: Vec<Cell>,
    /// Where the label stands, in the piece's millimetres.
    pub(crate) label: Point,
    /// Whether it stands whole on one sheet.
    pub(crate) label_whole: bool,
}

impl Grid {
    /// The window of a sheet in the piece's millimetres.
    pub(crate) fn window(&self, (row, column): Cell) -> Rect {
        Rect::new(
            self.origin.x + real(column) * self.frame.step.0,
            self.origin.y + real(row) * self.frame.step.1,
            self.frame.window.0,
            self.frame.window.1,
        )
    }

    /// What leads from the piece's millimetres to those of a sheet.
    pub(crate) fn shift(&self, cell: Cell) -> Vector {
        let w = self.window(cell);
        Vector::new(MARGIN - w.x0, MARGIN - w.y0)
    }

    pub(crate) fn has(&self, cell: Cell) -> bool {
        self.on.binary_search(&cell).is_ok()
    }

    /// The neighbour of a printed sheet, if it is printed too.
    pub(crate) fn beside(&self, (row, column): Cell, down: i8, across: i8) -> Option<Cell> {
        let at = |n: usize, by: i8| match by {
            -1 => n.checked_sub(1),
            0 => Some(n),
            _ => n.checked_add(1),
        };
        let cell = (at(row, down)?, at(column, across)?);
        self.has(cell).then_some(cell)
    }
}

/// What the grid must hold and what it must not cut.
struct Wants<'a> {
    ring: &'a [Point],
    keen: &'a [Point],
    label: &'a Label,
    /// The label's box relative to its spot.
    label_box: Rect,
}

/// The places a grid may begin, the best first, at most `most` of them.
pub(crate) fn grids(piece: &Traced<'_>, label: &Label, frame: Frame, most: usize) -> Vec<Grid> {
    let label_box = label.quad(Point::default()).bounds;
    let mut bounds = piece.bounds;
    if label.beside
        && let Some(at) = label.spots.first()
    {
        bounds = bounds.joined(&label_box.shifted(*at - Point::default()).grown(2.0));
    }
    let wants = Wants {
        ring: &piece.cut_ring,
        keen: &piece.keen,
        label,
        label_box,
    };
    let size = (
        bounds.width() + 2.0 * INSIDE,
        bounds.height() + 2.0 * INSIDE,
    );
    let columns = Frame::sheets(frame.window.0, frame.step.0, size.0);
    let rows = Frame::sheets(frame.window.1, frame.step.1, size.1);
    if rows > MOST || columns > MOST {
        return Vec::new();
    }
    let slack = (
        frame.window.0 + real(columns - 1) * frame.step.0 - size.0,
        frame.window.1 + real(rows - 1) * frame.step.1 - size.1,
    );
    let raster = Raster::new(wants.ring, &bounds);
    let mut found: Vec<(usize, bool, usize, Grid)> = Vec::new();
    let tries = |s: f64| count((s / STEP).floor()) + 1;
    for j in 0..tries(slack.1) {
        for i in 0..tries(slack.0) {
            let origin = Point::new(
                bounds.x0 - INSIDE - real(i) * STEP,
                bounds.y0 - INSIDE - real(j) * STEP,
            );
            let mut grid = Grid {
                frame,
                origin,
                rows,
                columns,
                on: Vec::new(),
                label: Point::default(),
                label_whole: false,
            };
            let sheets = (0..rows)
                .flat_map(|r| (0..columns).map(move |c| (r, c)))
                .filter(|c| raster.any(&seen(&grid, *c)))
                .count();
            match whole_label(&grid, &wants) {
                Some(at) => (grid.label, grid.label_whole) = (at, true),
                None => grid.label = label.spots.first().copied().unwrap_or_default(),
            }
            let near = wants.keen.iter().filter(|p| near_joint(&grid, **p)).count();
            let rank = (sheets, !grid.label_whole, near);
            let at = found.partition_point(|f| (f.0, f.1, f.2) <= rank);
            if at < most {
                found.insert(at, (rank.0, rank.1, rank.2, grid));
                found.truncate(most);
            }
        }
    }
    found
        .into_iter()
        .map(|f| {
            let mut grid = f.3;
            grid.on = (0..rows)
                .flat_map(|r| (0..columns).map(move |c| (r, c)))
                .filter(|c| {
                    meets(wants.ring, &seen(&grid, *c))
                        || (label.beside
                            && seen(&grid, *c)
                                .meets(&label_box.shifted(grid.label - Point::default())))
                })
                .collect();
            // What is blank at the right or at the foot is no part of it.
            grid.rows = grid.on.iter().map(|c| c.0 + 1).max().unwrap_or(1);
            grid.columns = grid.on.iter().map(|c| c.1 + 1).max().unwrap_or(1);
            grid
        })
        .collect()
}

/// The part of the pattern that only this sheet shows when all are taped: from joint to joint, a
/// little more towards the cut edges, and without end at the borders.
fn seen(grid: &Grid, cell: Cell) -> Rect {
    let w = grid.window(cell);
    let far = 1e7;
    Rect {
        x0: if cell.1 == 0 {
            -far
        } else {
            w.x0 + grid.frame.lap - NEAR
        },
        y0: if cell.0 == 0 {
            -far
        } else {
            w.y0 + grid.frame.lap - NEAR
        },
        x1: if cell.1 + 1 == grid.columns {
            far
        } else {
            w.x1
        },
        y1: if cell.0 + 1 == grid.rows { far } else { w.y1 },
    }
}

/// A place for the label that one sheet shows whole, clear of the strips that are covered.
fn whole_label(grid: &Grid, wants: &Wants<'_>) -> Option<Point> {
    wants.label.spots.iter().copied().find(|at| {
        let b = wants.label_box.shifted(*at - Point::default());
        let column = ((b.x0 - grid.origin.x) / grid.frame.step.0)
            .floor()
            .max(0.0);
        let row = ((b.y0 - grid.origin.y) / grid.frame.step.1)
            .floor()
            .max(0.0);
        let cell = (
            count(row).min(grid.rows - 1),
            count(column).min(grid.columns - 1),
        );
        inner(grid, cell).holds_all(&b)
    })
}

/// Where a sheet may bear words: not on the strips at the left and the head, nor at the cut edges.
pub(crate) fn inner(grid: &Grid, cell: Cell) -> Rect {
    let w = grid.window(cell);
    let lead = |first: bool| if first { 3.0 } else { grid.frame.lap + 1.0 };
    Rect {
        x0: w.x0 + lead(cell.1 == 0),
        y0: w.y0 + lead(cell.0 == 0),
        x1: w.x1 - 3.0,
        y1: w.y1 - 3.0,
    }
}

fn near_joint(grid: &Grid, p: Point) -> bool {
    let near = |x: f64, origin: f64, window: f64, step: f64, n: usize| {
        (0..n.saturating_sub(1)).any(|k| {
            let joint = origin + window + real(k) * step;
            x > joint - grid.frame.lap - 12.0 && x < joint + 12.0
        })
    };
    near(
        p.x,
        grid.origin.x,
        grid.frame.window.0,
        grid.frame.step.0,
        grid.columns,
    ) || near(
        p.y,
        grid.origin.y,
        grid.frame.window.1,
        grid.frame.step.1,
        grid.rows,
    )
}

/// Whether a ring or what is in it meets a box.
fn meets(ring: &[Point], r: &Rect) -> bool {
    let crosses = ring.iter().enumerate().any(|(i, a)| {
        let b = ring[(i + 1) % ring.len()];
        r.clipped(*a, b).is_some()
    });
    crosses || rings(ring, r.centre())
}

/// A piece of paper in squares of a few millimetres, summed up so that any box is looked up at once.
struct Raster {
    cell: f64,
    origin: Point,
    columns: usize,
    rows: usize,
    sums: Vec<u32>,
}

impl Raster {
    fn new(ring: &[Point], bounds: &Rect) -> Self {
        let cell = (bounds.width().max(bounds.height()) / 800.0).max(1.0);
        let columns = count((bounds.width() / cell).ceil()) + 2;
        let rows = count((bounds.height() / cell).ceil()) + 2;
        let origin = Point::new(bounds.x0 - cell, bounds.y0 - cell);
        let mut full = vec![false; columns * rows];
        let index = |x: f64| count(((x) / cell).floor().max(0.0));
        for (i, a) in ring.iter().enumerate() {
            let b = ring[(i + 1) % ring.len()];
            let steps = count(((b - *a).size() / cell * 2.0).ceil()).max(1);
            for k in 0..=steps {
                let p = a.toward(b, real(k) / real(steps));
                let (c, r) = (index(p.x - origin.x), index(p.y - origin.y));
                if c < columns && r < rows {
                    full[r * columns + c] = true;
                }
            }
        }
        for r in 0..rows {
            let y = origin.y + (real(r) + 0.5) * cell;
            let mut xs: Vec<f64> = ring
                .iter()
                .enumerate()
                .filter_map(|(i, a)| {
                    let b = ring[(i + 1) % ring.len()];
                    ((a.y > y) != (b.y > y)).then(|| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
                })
                .collect();
            xs.sort_by(f64::total_cmp);
            for pair in xs.chunks_exact(2) {
                let (from, to) = (index(pair[0] - origin.x), index(pair[1] - origin.x));
                for c in from..=to.min(columns - 1) {
                    full[r * columns + c] = true;
                }
            }
        }
        let wide = columns + 1;
        let mut sums = vec![0_u32; wide * (rows + 1)];
        for r in 0..rows {
            let mut line = 0;
            for c in 0..columns {
                line += u32::from(full[r * columns + c]);
                sums[(r + 1) * wide + c + 1] = sums[r * wide + c + 1] + line;
            }
        }
        Self {
            cell,
            origin,
            columns,
            rows,
            sums,
        }
    }

    fn any(&self, r: &Rect) -> bool {
        let at = |x: f64, most: usize| count((x / self.cell).floor().max(0.0)).min(most);
        let up = |x: f64, most: usize| count((x / self.cell).ceil().max(0.0)).min(most);
        let (c0, c1) = (
            at(r.x0 - self.origin.x, self.columns),
            up(r.x1 - self.origin.x, self.columns),
        );
        let (r0, r1) = (
            at(r.y0 - self.origin.y, self.rows),
            up(r.y1 - self.origin.y, self.rows),
        );
        if c1 <= c0 || r1 <= r0 {
            return false;
        }
        let wide = self.columns + 1;
        let s = |r: usize, c: usize| i64::from(self.sums[r * wide + c]);
        s(r1, c1) - s(r0, c1) - s(r1, c0) + s(r0, c0) > 0
    }
}

/// The letters of rows, A to Q without I and O, then doubled; X, Y and their like stay free for the
/// long checks.
pub(crate) fn row_name(row: usize) -> String {
    const LETTERS: &[u8; 15] = b"ABCDEFGHJKLMNPQ";
    let letter = |i: usize| char::from(LETTERS[i % 15]);
    if row < 15 {
        letter(row).to_string()
    } else {
        let (a, b) = ((row / 15 - 1) % 15, row % 15);
        format!("{}{}", letter(a), letter(b))
    }
}
