//! How the figures of an edge are counted, the same for the edges of one name in a group, and where
//! along it they lie: at even steps, as wide as a ruler laid from one to the next allows.

use std::collections::BTreeMap;

use measure::fraction::Unit;
use measure::{Length, Point};

use super::{By, FINE, Figures, Part, Rounded, Row, Sample};
use crate::hand::dense::Dense;
use crate::hand::plan::{Plan, PlanEdge};
use crate::number::{count, real, whole};

/// How far a ruler laid from one printed point to the next may lie off the edge: half an eighth.
const OFF: f64 = 25.4 / 16.0;
/// The most samples and rows of one edge.
const MOST_SAMPLES: usize = 4000;
const MOST_ROWS: usize = 400;
/// A figure nearer to a point than this share of the step says no more than the point.
const NEAR: f64 = 0.3;

/// An edge, and itself in short chords.
type Read<'r> = (&'r PlanEdge<'r>, &'r Dense);

impl Figures {
    /// Settles how the figures of each edge are counted, the same for the edges of one name in a group.
    pub(super) fn lay_out(&mut self, plan: &Plan<'_>) {
        let dense: Vec<Vec<Dense>> = plan
            .sheets
            .iter()
            .map(|s| s.edges.iter().map(|e| Dense::new(e.curve)).collect())
            .collect();
        let mut settled: BTreeMap<(&str, &str), (By, i64)> = BTreeMap::new();
        for sheet in &plan.sheets {
            for e in &sheet.edges {
                // What is like another is counted like it.
                let all: Vec<Read<'_>> = plan
                    .sheets
                    .iter()
                    .zip(&dense)
                    .filter(|(s, _)| s.group == sheet.group && s.like.is_none())
                    .flat_map(|(s, d)| s.edges.iter().zip(d).filter(|(f, _)| f.name == e.name))
                    .collect();
                settled
                    .entry((sheet.group, e.name))
                    .or_insert_with(|| self.way(&all));
            }
        }
        for (sheet, dense) in plan.sheets.iter().zip(&dense) {
            let mut edges = Vec::new();
            for (e, dense) in sheet.edges.iter().zip(dense) {
                let (by, step) = settled
                    .get(&(sheet.group, e.name))
                    .copied()
                    .unwrap_or((By::Along, 8));
                let rows = self.rows((e, dense), by, step);
                let samples = samples(e, dense);
                let near = rows
                    .iter()
                    .map(|r| {
                        samples
                            .partition_point(|s| s.along < r.along)
                            .saturating_sub(1)
                    })
                    .collect();
                edges.push(Rounded {
                    by,
                    step,
                    rows,
                    samples,
                    near,
                    parts: parts(e),
                });
            }
            self.edges.push(edges);
        }
    }

    /// How the figures of these edges are counted, and their step in parts.
    fn way(&self, all: &[Read<'_>]) -> (By, i64) {
        let per_unit = whole(self.shown.unit.of(1.0).map_or(25.4, Length::in_mm) / self.part);
        let inches = self.shown.unit == Unit::Inch;
        let hem = all.iter().any(|e| e.0.hem);
        let fits = |by: By| {
            all.iter()
                .all(|(_, d)| d.bends.iter().all(|b| d.runs(*b, by)))
        };
        let tall = all.iter().map(|e| {
            let (low, high) = e.0.curve.bounds();
            (high.y - low.y) - (high.x - low.x)
        });
        let upright = tall.fold(0.0, |a, b| a + b) > 0.0;
        let by = match (upright, fits(By::Down), fits(By::Across)) {
            (true, true, _) | (false, true, false) => By::Down,
            (_, _, true) => By::Across,
            _ => By::Along,
        };
        let halves: &[i64] = match (inches, by, hem) {
            (true, By::Down, _) => &[2, 1],
            (true, _, true) => &[6, 4, 2, 1],
            (true, ..) => &[4, 2, 1],
            (false, By::Down, _) => &[4, 2, 1],
            (false, _, true) => &[16, 10, 4, 2, 1],
            (false, ..) => &[10, 4, 2, 1],
        };
        for h in halves {
            let step = h * per_unit / 2;
            if step > 0 && all.iter().all(|e| self.close(*e, by, step)) {
                return (by, step);
            }
        }
        (by, (per_unit / 2).max(1))
    }

    /// Whether a ruler laid from figure to figure stays close to the edge.
    fn close(&self, (e, dense): Read<'_>, by: By, step: i64) -> bool {
        let mut places: Vec<f64> = e
            .joints
            .iter()
            .filter(|j| !j.beside)
            .map(|j| j.along)
            .collect();
        places.extend(self.rows((e, dense), by, step).iter().map(|r| r.along));
        places.sort_by(f64::total_cmp);
        places.windows(2).all(|w| dense.bow(w[0], w[1]) <= OFF)
    }

    /// The figures of an edge; none along what is straight from point to point.
    fn rows(&self, (e, dense): Read<'_>, by: By, step: i64) -> Vec<Row> {
        let (Some(first), Some(last)) = (dense.bends.first(), dense.bends.last()) else {
            return Vec::new();
        };
        let whole_length = dense.length();
        let step_mm = self.mm(step);
        // One figure more where it runs on straight, so that the ruler lies.
        let (from, to) = (
            (first.0 - 1.5 * step_mm).max(0.0),
            (last.1 + 1.5 * step_mm).min(whole_length),
        );
        let held = |along: f64, at: f64| {
            e.joints.iter().filter(|j| !j.beside).any(|j| {
                let q = dense.at(j.along);
                let there = match by {
                    By::Down => q.y,
                    By::Across => q.x,
                    By::Along => j.along,
                };
                (there - at).abs() < NEAR * step_mm && (j.along - along).abs() < 2.0 * step_mm
            })
        };
        let mut out: Vec<Row> = Vec::new();
        let mut add = |at: i64, along: f64| {
            if along > from && along < to && out.len() < MOST_ROWS && !held(along, self.mm(at)) {
                out.push(Row {
                    at,
                    along,
                    place: (0, 0),
                    exact: Point::default(),
                });
            }
        };
        if by == By::Along {
            let many = whole(whole_length / step_mm).clamp(0, 4000);
            for k in 1..=many {
                let along = self.mm(k * step);
                if along < whole_length {
                    add(k * step, along);
                }
            }
            return out;
        }
        // Walked in short chords, each line of figures is crossed where it is.
        let n = count((to - from) / FINE).clamp(4, MOST_SAMPLES);
        let value = |s: f64| {
            let p = dense.at(s);
            if by == By::Down { p.y } else { p.x }
        };
        let mut before = (from, value(from));
        for i in 1..=n {
            let s = from + (to - from) * real(i) / real(n);
            let here = (s, value(s));
            let (low, high) = (before.1.min(here.1), before.1.max(here.1));
            let mut k = whole((low / step_mm).ceil());
            while self.mm(k * step) <= high && k <= whole(low / step_mm) + 8 {
                let at = self.mm(k * step);
                if (here.1 - before.1).abs() > 1e-12 && !(at <= low && low < high && i > 1) {
                    let u = (at - before.1) / (here.1 - before.1);
                    add(k * step, before.0 + u * (here.0 - before.0));
                }
                k += 1;
            }
            before = here;
        }
        out.dedup_by(|b, a| a.at == b.at && (a.along - b.along).abs() < step_mm / 4.0);
        out
    }
}

/// An edge in short chords, each place with the points that carry it.
fn samples(e: &PlanEdge<'_>, dense: &Dense) -> Vec<Sample> {
    let hard: Vec<(usize, f64)> = e
        .joints
        .iter()
        .enumerate()
        .filter(|(_, j)| !j.beside)
        .map(|(i, j)| (i, j.along))
        .collect();
    let mut out = Vec::new();
    for pair in hard.windows(2) {
        let ((a, from), (b, to)) = (pair[0], pair[1]);
        let n = count((to - from) / FINE).clamp(1, MOST_SAMPLES);
        let first = usize::from(!out.is_empty());
        for i in first..=n {
            let part = real(i) / real(n);
            let along = from + (to - from) * part;
            out.push(Sample {
                along,
                at: dense.at(along),
                between: (a, b),
                part,
            });
        }
    }
    if out.is_empty() {
        let only = hard.first().map_or(0, |h| h.0);
        for along in [0.0, dense.length()] {
            out.push(Sample {
                along,
                at: dense.at(along),
                between: (only, only),
                part: 0.0,
            });
        }
    }
    out
}

/// The parts of an edge between its joints, what lies over a dart's mouth left out.
fn parts(e: &PlanEdge<'_>) -> Vec<Part> {
    (1..e.joints.len())
        .filter(|to| {
            let from = to - 1;
            !e.mouths.iter().any(|(a, b)| from >= *a && *to <= *b)
        })
        .map(|to| {
            let exact = e.joints[to].along - e.joints[to - 1].along;
            Part {
                from: to - 1,
                to,
                exact,
                printed: exact,
            }
        })
        .collect()
}
