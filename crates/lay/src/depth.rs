//! How deep one piece lies in another, for every place of the second: a field over the no-fit
//! outline.
//!
//! The depth is the shortest move that takes the pieces apart. A grid over the outline keeps for
//! each cell the edges that can be nearest to a point in it; so the depth is exact and costs a few
//! distances.

use crate::outline::{bounds, distance_squared, passes};

/// One edge: where it starts and ends, where it goes, and one by its squared length.
#[derive(Clone, Copy, Debug)]
struct Edge {
    x: f64,
    y: f64,
    end: [f64; 2],
    dx: f64,
    dy: f64,
    by_length: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Outside,
    Inside,
    /// An edge runs through; at which of the [`MARKS`] it is known whether the cloth is inside.
    Border(u8, bool),
}

/// Points of a cell, as shares of its size, at which inside and outside can be known: none lies on
/// an edge unless by chance, and then another does not.
const MARKS: [[f64; 2]; 5] = [
    [0.503, 0.491],
    [0.283, 0.311],
    [0.729, 0.297],
    [0.271, 0.713],
    [0.707, 0.739],
];

#[derive(Clone, Copy, Debug)]
struct Cell {
    first: u32,
    count: u16,
    kind: Kind,
}

/// The depth of overlap for every move of one piece against another.
#[derive(Clone, Debug)]
pub(crate) struct Field {
    low: [f64; 2],
    size: [f64; 2],
    by_size: [f64; 2],
    across: usize,
    up: usize,
    cells: Vec<Cell>,
    near: Vec<u16>,
    edges: Vec<Edge>,
}

/// How many cells a field has, about.
const CELLS: f64 = 256.0;

impl Field {
    /// The field inside these closed lines (even-odd).
    pub(crate) fn new(lines: &[Vec<[f64; 2]>]) -> Self {
        let all: Vec<[f64; 2]> = lines.iter().flatten().copied().collect();
        if all.is_empty() {
            return Self {
                low: [0.0; 2],
                size: [1.0; 2],
                by_size: [1.0; 2],
                across: 0,
                up: 0,
                cells: Vec::new(),
                near: Vec::new(),
                edges: Vec::new(),
            };
        }
        let b = bounds(&all);
        let (w, h) = ((b[2] - b[0]).max(1e-9), (b[3] - b[1]).max(1e-9));
        let cell = (w * h / CELLS).sqrt();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 4 and 256"
        )]
        let count = |l: f64| (l / cell).ceil().clamp(4.0, 256.0) as usize;
        let (across, up) = (count(w), count(h));
        #[expect(clippy::cast_precision_loss, reason = "small counts")]
        let size = [w / across as f64, h / up as f64];
        let half = 0.5 * (size[0] * size[0] + size[1] * size[1]).sqrt() * 1.000_001;
        let mut edges = Vec::new();
        let mut ends = Vec::new();
        for line in lines {
            for (i, &a) in line.iter().enumerate() {
                let e = line[(i + 1) % line.len()];
                let (dx, dy) = (e[0] - a[0], e[1] - a[1]);
                let length = dx * dx + dy * dy;
                // An outline of so many points was made simpler before; the rest would not be counted.
                if length > 0.0 && edges.len() < usize::from(u16::MAX) {
                    edges.push(Edge {
                        x: a[0],
                        y: a[1],
                        end: e,
                        dx,
                        dy,
                        by_length: 1.0 / length,
                    });
                    ends.push((a, e));
                }
            }
        }
        let mut cells = Vec::with_capacity(across * up);
        let mut near = Vec::new();
        let mut far = vec![0.0; edges.len()];
        for row in 0..up {
            for column in 0..across {
                #[expect(clippy::cast_precision_loss, reason = "small counts")]
                let middle = [
                    b[0] + (column as f64 + 0.5) * size[0],
                    b[1] + (row as f64 + 0.5) * size[1],
                ];
                let mut least = f64::MAX;
                let mut inside = false;
                for (far, (a, e)) in far.iter_mut().zip(&ends) {
                    *far = distance_squared(middle, *a, *e);
                    least = least.min(*far);
                    inside ^= passes(middle, *a, *e);
                }
                let least = least.sqrt();
                let kind = if least <= half {
                    let corner = [middle[0] - 0.5 * size[0], middle[1] - 0.5 * size[1]];
                    let mut best = (-1.0, Kind::Outside);
                    for (i, mark) in MARKS.iter().enumerate() {
                        let at = [corner[0] + mark[0] * size[0], corner[1] + mark[1] * size[1]];
                        let mut clear = f64::MAX;
                        let mut inside = false;
                        for (a, e) in &ends {
                            clear = clear.min(distance_squared(at, *a, *e));
                            inside ^= passes(at, *a, *e);
                        }
                        if clear > best.0 {
                            best = (clear, Kind::Border(u8::try_from(i).unwrap_or(0), inside));
                        }
                    }
                    best.1
                } else if inside {
                    Kind::Inside
                } else {
                    Kind::Outside
                };
                let first = near.len();
                if kind != Kind::Outside {
                    let reach = (least + 2.0 * half) * (least + 2.0 * half);
                    for (i, &far) in far.iter().enumerate() {
                        if far <= reach {
                            near.push(u16::try_from(i).unwrap_or(0));
                        }
                    }
                }
                cells.push(Cell {
                    first: u32::try_from(first).unwrap_or(0),
                    count: u16::try_from(near.len() - first).unwrap_or(u16::MAX),
                    kind,
                });
            }
        }
        Self {
            low: [b[0], b[1]],
            size,
            by_size: [1.0 / size[0], 1.0 / size[1]],
            across,
            up,
            cells,
            near,
            edges,
        }
    }

    /// The shortest move out of the overlap; 0 where there is none.
    #[inline]
    pub(crate) fn depth(&self, x: f64, y: f64) -> f64 {
        let (u, v) = (
            (x - self.low[0]) * self.by_size[0],
            (y - self.low[1]) * self.by_size[1],
        );
        if u < 0.0 || v < 0.0 {
            return 0.0;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "not negative; a cast of too large a number gives the largest"
        )]
        let (column, row) = (u as usize, v as usize);
        if column >= self.across || row >= self.up {
            return 0.0;
        }
        let cell = self.cells[row * self.across + column];
        if cell.kind == Kind::Outside {
            return 0.0;
        }
        let near = &self.near[cell.first as usize..cell.first as usize + usize::from(cell.count)];
        if let Kind::Border(mark, known) = cell.kind {
            let mark = MARKS[usize::from(mark)];
            #[expect(clippy::cast_precision_loss, reason = "small counts")]
            let (mx, my) = (
                self.low[0] + (column as f64 + mark[0]) * self.size[0],
                self.low[1] + (row as f64 + mark[1]) * self.size[1],
            );
            let mut inside = known;
            let (px, py) = (x - mx, y - my);
            for &i in near {
                let e = &self.edges[usize::from(i)];
                let (ax, ay) = (e.x - mx, e.y - my);
                let (bx, by) = (e.end[0] - mx, e.end[1] - my);
                // The ends of the edge on both sides of the way from the mark, and the way's ends
                // on both sides of the edge. A corner is reckoned alike for both its edges.
                let s = px * ay - py * ax;
                let t = px * by - py * bx;
                if (s > 0.0) != (t > 0.0) {
                    let from = e.dy * ax - e.dx * ay;
                    let to = from + e.dx * py - e.dy * px;
                    inside ^= (from > 0.0) != (to > 0.0);
                }
            }
            if !inside {
                return 0.0;
            }
        }
        let mut least = f64::MAX;
        for &i in near {
            let e = &self.edges[usize::from(i)];
            let (ax, ay) = (x - e.x, y - e.y);
            let t = ((ax * e.dx + ay * e.dy) * e.by_length).clamp(0.0, 1.0);
            let (fx, fy) = (ax - t * e.dx, ay - t * e.dy);
            least = least.min(fx * fx + fy * fy);
        }
        least.sqrt()
    }

    /// What this field holds in memory, in bytes.
    pub(crate) fn bytes(&self) -> usize {
        size_of::<Self>()
            + self.cells.len() * size_of::<Cell>()
            + self.near.len() * size_of::<u16>()
            + self.edges.len() * size_of::<Edge>()
    }
}
