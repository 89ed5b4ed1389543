//! The figures of the sheet, rounded together: every place to the drafter's own fraction, and where
//! two edges are sewn, to whichever neighbour keeps the seam.
//!
//! An edge is printed as the points that hold it and, where it bends, as figures at even steps. Its
//! shape follows its points: what lies between two of them is carried along as they are rounded. The
//! length of a printed edge is walked with the ruler from point to point.

use std::collections::BTreeMap;

use measure::fraction::{Shown, Unit};
use measure::{Length, Point};

use super::Hand;
use super::dense::Dense;
use super::plan::{Plan, PlanEdge};
use super::ties::{Ties, real_parts};
use crate::number::{count, real, whole};

/// How far a ruler laid from one printed point to the next may lie off the edge: half an eighth.
const OFF: f64 = 25.4 / 16.0;
/// From sample to sample along an edge.
const FINE: f64 = 1.0;
/// The most samples and rows of one edge.
const MOST_SAMPLES: usize = 4000;
const MOST_ROWS: usize = 400;
/// A figure nearer to a point than this share of the step says no more than the point.
const NEAR: f64 = 0.3;

/// How the figures of an edge are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum By {
    /// So far across, at each step down.
    Down,
    /// So far down, at each step across.
    Across,
    /// Across and down, at each step along it: it turns back on itself.
    Along,
}

/// A figure of an edge that bends.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    /// Down, across or along, in parts.
    pub(crate) at: i64,
    /// How far along the exact edge it lies, in mm.
    along: f64,
    /// The place it stands for, in parts across and down.
    pub(crate) place: (i64, i64),
    /// The same before it is rounded, in mm.
    exact: Point,
}

/// A coordinate, rounded.
#[derive(Clone, Copy, Debug)]
struct Figure {
    exact: f64,
    now: i64,
    free: bool,
}

/// An edge with its figures.
#[derive(Clone, Debug)]
pub(crate) struct Rounded {
    pub(crate) by: By,
    /// The step of its figures, in parts.
    pub(crate) step: i64,
    pub(crate) rows: Vec<Row>,
    samples: Vec<Sample>,
    /// For every row, the sample before it.
    near: Vec<usize>,
    /// Lengths between its joints, those over a dart's mouth left out, as printed and exact, in mm.
    pub(crate) parts: Vec<Part>,
}

/// A stretch between two joints.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Part {
    /// The joints.
    pub(crate) from: usize,
    pub(crate) to: usize,
    pub(crate) exact: f64,
    pub(crate) printed: f64,
}

#[derive(Clone, Copy, Debug)]
struct Sample {
    along: f64,
    at: Point,
    /// The joints that carry it, and its place between them.
    between: (usize, usize),
    part: f64,
}

/// A place of an edge in the list of all.
pub(crate) type Place = (usize, usize);

/// What is to agree: parts of one chain of edges with parts of another.
#[derive(Clone, Debug)]
pub(crate) struct Agreeing {
    pub(crate) name: String,
    pub(crate) a: Vec<Place>,
    pub(crate) b: Vec<Place>,
    /// Part by part, if they go together so; those of the second are counted from its end when turned.
    pub(crate) parts: Option<bool>,
}

/// An edge, and itself in short chords.
type Read<'r> = (&'r PlanEdge<'r>, &'r Dense);

/// All figures of the sheets.
#[derive(Clone, Debug)]
pub(crate) struct Figures {
    pub(crate) shown: Shown,
    /// One part in mm.
    pub(crate) part: f64,
    figures: Vec<Figure>,
    /// Per sheet and spot: across and down.
    spots: Vec<Vec<(usize, usize)>>,
    /// Per sheet and ruling.
    rulings: Vec<Vec<usize>>,
    /// Which figures follow which, and the centres of each sheet.
    ties: Ties,
    pub(crate) edges: Vec<Vec<Rounded>>,
    pub(crate) seams: Vec<Agreeing>,
}

impl Figures {
    /// All figures; what lies alike has one figure wherever the seams allow that.
    pub(crate) fn new(plan: &Plan<'_>, hand: &Hand, shown: Shown) -> Self {
        let alike = Self::made(plan, hand, shown, true);
        let out = alike.most_out();
        if out <= alike.part / 2.0 + 0.05 || alike.ties.none() {
            return alike;
        }
        let single = Self::made(plan, hand, shown, false);
        if single.most_out() < out - 0.05 {
            single
        } else {
            alike
        }
    }

    /// How far the worst seam is out beyond what the draft itself is, in mm.
    fn most_out(&self) -> f64 {
        let out = |seam: &Agreeing| {
            let (a, b) = (self.whole(&seam.a), self.whole(&seam.b));
            ((a.0 - b.0) - (a.1 - b.1)).abs()
        };
        self.seams.iter().map(out).fold(0.0, f64::max)
    }

    fn made(plan: &Plan<'_>, hand: &Hand, shown: Shown, alike: bool) -> Self {
        let part = shown.part().in_mm();
        let mut out = Self {
            shown,
            part,
            figures: Vec::new(),
            spots: Vec::new(),
            rulings: Vec::new(),
            ties: Ties::default(),
            edges: Vec::new(),
            seams: Vec::new(),
        };
        out.places(plan);
        if alike {
            out.tie(plan);
        }
        out.lay_out(plan);
        for (i, sheet) in plan.sheets.iter().enumerate() {
            for k in 0..sheet.edges.len() {
                out.draw(plan, (i, k));
            }
        }
        out.seams = seams(plan, hand, &out);
        out.agree(plan);
        out
    }

    /// A rounded coordinate in parts.
    pub(crate) fn across(&self, sheet: usize, spot: usize) -> i64 {
        self.figures[self.spots[sheet][spot].0].now
    }

    pub(crate) fn down(&self, sheet: usize, spot: usize) -> i64 {
        self.figures[self.spots[sheet][spot].1].now
    }

    pub(crate) fn ruling(&self, sheet: usize, ruling: usize) -> i64 {
        self.figures[self.rulings[sheet][ruling]].now
    }

    /// Whether a point was moved from its nearest figure to keep a seam.
    pub(crate) fn moved(&self, sheet: usize, spot: usize) -> bool {
        let (x, y) = self.spots[sheet][spot];
        [x, y].iter().any(|i| {
            let f = &self.figures[*i];
            f.now != self.nearest(f.exact)
        })
    }

    /// The figures nearest to a point, across and down.
    pub(crate) fn nearest_to(&self, at: Point) -> (i64, i64) {
        (self.nearest(at.x), self.nearest(at.y))
    }

    fn nearest(&self, mm: f64) -> i64 {
        let rounded = self
            .shown
            .rounded(Length::try_mm(mm).unwrap_or(Length::ZERO));
        whole(rounded.in_mm() / self.part)
    }

    /// A place of the printed sheet, in mm.
    fn printed(&self, sheet: usize, spot: usize) -> Point {
        Point::new(
            self.mm(self.across(sheet, spot)),
            self.mm(self.down(sheet, spot)),
        )
    }

    #[expect(
        clippy::cast_precision_loss,
        reason = "parts on a sheet of paper are few"
    )]
    pub(crate) fn mm(&self, parts: i64) -> f64 {
        parts as f64 * self.part
    }

    /// Gives every coordinate its figure. Points on a ruling share the ruling's, and what was traced
    /// from another sheet shares that sheet's.
    fn places(&mut self, plan: &Plan<'_>) {
        type Named = (String, String, u8, i64);
        let mut known: BTreeMap<Named, usize> = BTreeMap::new();
        let near = |mm: f64| whole(mm * 1e4);
        for sheet in &plan.sheets {
            let mut take =
                |figures: &mut Vec<Figure>, now: i64, name: &str, kind: u8, at: f64, free: bool| {
                    let key = (sheet.group.to_owned(), name.to_owned(), kind, near(at));
                    *known.entry(key).or_insert_with(|| {
                        figures.push(Figure {
                            exact: at,
                            now,
                            free,
                        });
                        figures.len() - 1
                    })
                };
            let mut rulings = Vec::new();
            for r in &sheet.rulings {
                let now = self.nearest(r.at);
                let free = !r.body && r.at.abs() > 1e-4;
                rulings.push(take(
                    &mut self.figures,
                    now,
                    &r.name,
                    u8::from(r.level),
                    r.at,
                    free,
                ));
            }
            let mut spots = Vec::new();
            for s in &sheet.spots {
                let on = |level: bool, at: f64| {
                    let found = sheet
                        .rulings
                        .iter()
                        .position(|r| r.level == level && (r.at - at).abs() <= 1e-4);
                    found.map(|i| rulings[i])
                };
                let (x_now, y_now) = (self.nearest(s.at.x), self.nearest(s.at.y));
                let x = match on(false, s.at.x) {
                    Some(x) => x,
                    None => take(&mut self.figures, x_now, &s.name, 2, s.at.x, true),
                };
                let y = match on(true, s.at.y) {
                    Some(y) => y,
                    None => take(&mut self.figures, y_now, &s.name, 3, s.at.y, true),
                };
                spots.push((x, y));
            }
            self.rulings.push(rulings);
            self.spots.push(spots);
        }
    }

    /// Ties what lies alike to the left and right of one centre line, or equally far from one point
    /// down and across, so that it gets the same figure.
    fn tie(&mut self, plan: &Plan<'_>) {
        let places: Vec<Vec<Point>> = plan
            .sheets
            .iter()
            .map(|s| s.spots.iter().map(|s| s.at).collect())
            .collect();
        let uprights: Vec<Vec<f64>> = plan
            .sheets
            .iter()
            .map(|s| {
                let upright = s.rulings.iter().filter(|r| !r.level);
                upright.map(|r| r.at).collect()
            })
            .collect();
        let free: Vec<bool> = self.figures.iter().map(|f| f.free).collect();
        self.ties = Ties::new(&places, &uprights, &self.spots, &free, self.part);
        for f in 0..self.figures.len() {
            if self.ties.of(f).iter().all(|t| t.figure > f) {
                self.put(f, self.figures[f].now);
            }
        }
    }

    /// Gives a figure its value, and those that follow it theirs.
    fn put(&mut self, f: usize, value: i64) {
        self.figures[f].now = value;
        for tie in self.ties.of(f) {
            let other = tie.follow(value);
            let figure = &mut self.figures[tie.figure];
            let off = self.part * real_parts(other) - figure.exact;
            // Never more than one part off.
            if off.abs() <= self.part + 1e-3 {
                figure.now = other;
            }
        }
    }

    /// Settles how the figures of each edge are counted, the same for the edges of one name in a group.
    fn lay_out(&mut self, plan: &Plan<'_>) {
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

    /// How far a sample is carried by the rounding of its points.
    fn carried(&self, plan: &Plan<'_>, (i, k): Place, sample: &Sample) -> Point {
        let e = &plan.sheets[i].edges[k];
        let shift = |joint: usize| {
            let spot = e.joints[joint].spot;
            self.printed(i, spot) - plan.sheets[i].spots[spot].at
        };
        let (a, b) = (shift(sample.between.0), shift(sample.between.1));
        sample.at + a * (1.0 - sample.part) + b * sample.part
    }

    /// Finds the figures of an edge anew from its points, and measures it.
    fn draw(&mut self, plan: &Plan<'_>, place: Place) {
        let (i, k) = place;
        let edge = &self.edges[i][k];
        let mut places = Vec::with_capacity(edge.rows.len());
        for (row, near) in edge.rows.iter().zip(&edge.near) {
            let found = match edge.by {
                By::Along => {
                    let (a, b) = (
                        &edge.samples[*near],
                        &edge.samples[(near + 1).min(edge.samples.len() - 1)],
                    );
                    let u = if b.along > a.along {
                        (row.along - a.along) / (b.along - a.along)
                    } else {
                        0.0
                    };
                    let p = self
                        .carried(plan, place, a)
                        .toward(self.carried(plan, place, b), u);
                    ((self.nearest(p.x), self.nearest(p.y)), p)
                }
                by => {
                    let at = self.mm(row.at);
                    let other = self.crossing(plan, place, by, at, *near, row.along);
                    if by == By::Down {
                        ((self.nearest(other), row.at), Point::new(other, at))
                    } else {
                        ((row.at, self.nearest(other)), Point::new(at, other))
                    }
                }
            };
            places.push(found);
        }
        for (row, found) in self.edges[i][k].rows.iter_mut().zip(places) {
            (row.place, row.exact) = found;
        }
        self.walk(plan, place);
    }

    /// The other coordinate where the carried edge crosses a line of figures, nearest to where the
    /// exact edge does.
    fn crossing(
        &self,
        plan: &Plan<'_>,
        place: Place,
        by: By,
        at: f64,
        near: usize,
        along: f64,
    ) -> f64 {
        let samples = &self.edges[place.0][place.1].samples;
        let reach = 3 + count(3.0 * self.part.max(3.0) / FINE);
        let (from, to) = (
            near.saturating_sub(reach),
            (near + reach).min(samples.len() - 1),
        );
        let split = |p: Point| {
            if by == By::Down {
                (p.y, p.x)
            } else {
                (p.x, p.y)
            }
        };
        let mut best: Option<(f64, f64)> = None;
        let mut a = split(self.carried(plan, place, &samples[from]));
        for s in from..to {
            let b = split(self.carried(plan, place, &samples[s + 1]));
            if (a.0 - at) * (b.0 - at) <= 0.0 && (a.0 - b.0).abs() > 1e-12 {
                let u = (at - a.0) / (b.0 - a.0);
                let far = (samples[s].along - along).abs();
                if best.is_none_or(|o| far < o.0) {
                    best = Some((far, a.1 + u * (b.1 - a.1)));
                }
            }
            a = b;
        }
        best.map_or_else(
            || split(self.carried(plan, place, &samples[near])).1,
            |b| b.1,
        )
    }

    /// The printed edge from point to point, with the joint that each point is.
    pub(crate) fn chain(&self, plan: &Plan<'_>, (i, k): Place) -> Vec<(Point, Option<usize>)> {
        let (e, edge) = (&plan.sheets[i].edges[k], &self.edges[i][k]);
        let mut all: Vec<(f64, Point, Option<usize>)> = Vec::new();
        for (j, joint) in e.joints.iter().enumerate() {
            if !joint.beside {
                all.push((joint.along, self.printed(i, joint.spot), Some(j)));
            }
        }
        for row in &edge.rows {
            all.push((
                row.along,
                Point::new(self.mm(row.place.0), self.mm(row.place.1)),
                None,
            ));
        }
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all.into_iter().map(|(_, p, j)| (p, j)).collect()
    }

    /// Measures the printed edge part by part.
    fn walk(&mut self, plan: &Plan<'_>, place: Place) {
        let (i, k) = place;
        let e = &plan.sheets[i].edges[k];
        let chain = self.chain(plan, place);
        let mut at: Vec<f64> = vec![0.0; e.joints.len()];
        let mut so_far = vec![0.0; chain.len()];
        for n in 1..chain.len() {
            so_far[n] = so_far[n - 1] + (chain[n].0 - chain[n - 1].0).size();
        }
        for (n, (_, joint)) in chain.iter().enumerate() {
            if let Some(j) = joint {
                at[*j] = so_far[n];
            }
        }
        // Beside a softened corner the edge is parted where it passes nearest.
        for (j, joint) in e.joints.iter().enumerate() {
            if joint.beside {
                at[j] = nearest_on(&chain, &so_far, self.printed(i, joint.spot));
            }
        }
        for part in &mut self.edges[i][k].parts {
            part.printed = at[part.to] - at[part.from];
        }
    }

    /// The whole of an edge as printed and exact, darts closed.
    pub(crate) fn whole(&self, places: &[Place]) -> (f64, f64) {
        let mut sum = (0.0, 0.0);
        for (i, k) in places {
            for part in &self.edges[*i][*k].parts {
                sum = (sum.0 + part.printed, sum.1 + part.exact);
            }
        }
        sum
    }

    /// The parts of a seam, each with its partner.
    pub(crate) fn pairs(&self, seam: &Agreeing) -> Vec<(Part, Part)> {
        let (Some(turned), [a], [b]) = (seam.parts, &seam.a[..], &seam.b[..]) else {
            return Vec::new();
        };
        let (a, b) = (&self.edges[a.0][a.1].parts, &self.edges[b.0][b.1].parts);
        let other = |i: usize| if turned { b.len() - 1 - i } else { i };
        (0..a.len().min(b.len()))
            .map(|i| (a[i], b[other(i)]))
            .collect()
    }

    /// How ill the printed sheet agrees with itself: seams above all, then lengths, then places.
    fn badness(&self, plan: &Plan<'_>) -> f64 {
        let mut sum = 0.0;
        for seam in &self.seams {
            let pairs = self.pairs(seam);
            let out = |a: f64, b: f64, x: f64, y: f64| (a - b) - (x - y);
            for (a, b) in &pairs {
                let d = out(a.printed, b.printed, a.exact, b.exact);
                sum += d * d;
            }
            let (a, b) = (self.whole(&seam.a), self.whole(&seam.b));
            let d = out(a.0, b.0, a.1, b.1);
            sum += d * d;
        }
        for sheet in &self.edges {
            for edge in sheet {
                for part in &edge.parts {
                    let d = part.printed - part.exact;
                    sum += 0.1 * d * d;
                }
            }
        }
        for f in &self.figures {
            let d = self.mm(f.now) - f.exact;
            sum += 0.12 * d * d;
        }
        for (i, sheet) in plan.sheets.iter().enumerate() {
            for dart in &sheet.darts {
                let tip = self.printed(i, dart.tip);
                let leg = |spot: usize| (self.printed(i, spot) - tip).size();
                let d = leg(dart.legs.0) - leg(dart.legs.1);
                sum += 0.3 * d * d;
            }
        }
        sum
    }

    /// Moves figures to their other neighbour while that makes the seams agree better.
    fn agree(&mut self, plan: &Plan<'_>) {
        if self.seams.is_empty() && plan.sheets.iter().all(|s| s.darts.is_empty()) {
            return;
        }
        // Which edges each figure holds.
        let mut touches: Vec<Vec<Place>> = vec![Vec::new(); self.figures.len()];
        for (i, sheet) in plan.sheets.iter().enumerate() {
            for (k, e) in sheet.edges.iter().enumerate() {
                for joint in &e.joints {
                    let (x, y) = self.spots[i][joint.spot];
                    for f in [x, y] {
                        if !touches[f].contains(&(i, k)) {
                            touches[f].push((i, k));
                        }
                    }
                }
            }
            for dart in &sheet.darts {
                let (x, y) = self.spots[i][dart.tip];
                for f in [x, y] {
                    if touches[f].is_empty() {
                        touches[f].push((i, 0));
                    }
                }
            }
        }
        let mut pairs: Vec<(usize, usize)> = Vec::new();
        for spots in &self.spots {
            for pair in spots {
                let holds = [pair.0, pair.1].iter().any(|f| !touches[*f].is_empty());
                if holds && !pairs.contains(pair) {
                    pairs.push(*pair);
                }
            }
        }
        let mut now = self.badness(plan);
        for _ in 0..6 {
            let before = now;
            for (x, y) in &pairs {
                now = self.better(plan, (*x, *y), &touches, now);
            }
            if before - now < 1e-3 {
                break;
            }
        }
        self.tune(plan, now);
    }

    /// What the points leave, the figures between them take up: one that lies about half-way between
    /// two neighbours may as well take the other.
    fn tune(&mut self, plan: &Plan<'_>, mut now: f64) {
        let mut places: Vec<Place> = Vec::new();
        for seam in &self.seams {
            for place in seam.b.iter().chain(&seam.a) {
                if !places.contains(place) {
                    places.push(*place);
                }
            }
        }
        for _ in 0..3 {
            for (i, k) in &places {
                for r in 0..self.edges[*i][*k].rows.len() {
                    for down in [false, true] {
                        now = self.other_neighbour(plan, (*i, *k), r, down, now);
                    }
                }
            }
        }
    }

    fn other_neighbour(
        &mut self,
        plan: &Plan<'_>,
        place: Place,
        r: usize,
        down: bool,
        now: f64,
    ) -> f64 {
        let edge = &self.edges[place.0][place.1];
        let row = edge.rows[r];
        let fixed = match edge.by {
            By::Down => down,
            By::Across => !down,
            By::Along => false,
        };
        let exact = if down { row.exact.y } else { row.exact.x } / self.part;
        let beyond = exact - exact.floor();
        if fixed || !(0.2..=0.8).contains(&beyond) {
            return now;
        }
        let floor = whole(exact.floor());
        let old = row.place;
        let one = if down { old.1 } else { old.0 };
        let other = if one == floor { floor + 1 } else { floor };
        let new = if down { (old.0, other) } else { (other, old.1) };
        // What lies alike on the other side goes with it.
        let twin = self.twin(place, r);
        let set = |this: &mut Self, at: (i64, i64)| {
            this.edges[place.0][place.1].rows[r].place = at;
            if let Some((k, n, twice)) = twin {
                this.edges[place.0][k].rows[n].place = (twice - at.0, at.1);
                this.walk(plan, (place.0, k));
            }
            this.walk(plan, place);
        };
        set(self, new);
        let bad = self.badness(plan);
        if bad < now - 5e-3 {
            return bad;
        }
        set(self, old);
        now
    }

    /// The figure that lies alike on the other side of a centre: its edge, its row, and twice the
    /// centre's place.
    fn twin(&self, (i, k): Place, r: usize) -> Option<(usize, usize, i64)> {
        let row = &self.edges[i][k].rows[r];
        for twice in self.ties.centres(i) {
            let there = Point::new(self.mm(*twice) - row.exact.x, row.exact.y);
            if (there - row.exact).size() < 1e-3 {
                continue;
            }
            for (l, edge) in self.edges[i].iter().enumerate() {
                let found = edge.rows.iter().position(|q| {
                    (q.exact - there).size() < 1e-3 && q.place == (twice - row.place.0, row.place.1)
                });
                if let Some(n) = found {
                    return Some((l, n, *twice));
                }
            }
        }
        None
    }

    /// Tries the neighbours of one point, and keeps the best.
    fn better(
        &mut self,
        plan: &Plan<'_>,
        (x, y): (usize, usize),
        touches: &[Vec<Place>],
        now: f64,
    ) -> f64 {
        let choices = |f: &Figure| -> Vec<i64> {
            let parts = f.exact / self.part;
            if !f.free || (parts - parts.round()).abs() < 1e-6 {
                return vec![f.now];
            }
            vec![whole(parts.floor()), whole(parts.floor()) + 1]
        };
        let (xs, ys) = (choices(&self.figures[x]), choices(&self.figures[y]));
        if xs.len() * ys.len() < 2 {
            return now;
        }
        let first = (self.figures[x].now, self.figures[y].now);
        let mut places = touches[x].clone();
        let ties = self.ties.of(x).iter().chain(self.ties.of(y));
        for f in ties.map(|t| t.figure).chain([y]) {
            for place in &touches[f] {
                if !places.contains(place) {
                    places.push(*place);
                }
            }
        }
        let mut best = (now, first);
        let set = |this: &mut Self, (a, b): (i64, i64)| {
            this.put(x, a);
            this.put(y, b);
            for place in &places {
                if place.1 < this.edges[place.0].len() {
                    this.draw(plan, *place);
                }
            }
        };
        for a in &xs {
            for b in &ys {
                if (*a, *b) == first {
                    continue;
                }
                set(self, (*a, *b));
                let bad = self.badness(plan);
                // Not for a hair: the nearest figure is what she expects.
                if bad < best.0 - 5e-3 {
                    best = (bad, (*a, *b));
                }
            }
        }
        set(self, best.1);
        best.0
    }
}

/// How far along a chain of chords the place nearest to a point is.
fn nearest_on(chain: &[(Point, Option<usize>)], so_far: &[f64], p: Point) -> f64 {
    let mut best = (f64::INFINITY, 0.0);
    for n in 1..chain.len() {
        let (a, b) = (chain[n - 1].0, chain[n].0);
        let way = b - a;
        let size = way.dot(way);
        let u = if size > 0.0 {
            ((p - a).dot(way) / size).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let far = (a.toward(b, u) - p).size();
        if far < best.0 {
            best = (far, so_far[n - 1] + u * way.size());
        }
    }
    best.1
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

/// The seams whose edges are all drafted, each once; and on sheets of which only pieces of other
/// methods are made, edges of one name that are equally long.
fn seams(plan: &Plan<'_>, hand: &Hand, figures: &Figures) -> Vec<Agreeing> {
    let mut out: Vec<Agreeing> = Vec::new();
    let mut add = |name: &str, a: Vec<Place>, b: Vec<Place>| {
        let same = |s: &Agreeing| (s.a == a && s.b == b) || (s.a == b && s.b == a);
        if a.is_empty() || b.is_empty() || a == b || out.iter().any(same) {
            return;
        }
        let parts = go_together(plan, figures, &a, &b);
        out.push(Agreeing {
            name: name.to_owned(),
            a,
            b,
            parts,
        });
    };
    for seam in &hand.seams {
        let places = |edges: &[super::HandEdge]| -> Option<Vec<Place>> {
            edges
                .iter()
                .map(|e| first_of(plan, plan.edge(&e.sheet, &e.edge)?))
                .collect()
        };
        if let (Some(a), Some(b)) = (places(&seam.a), places(&seam.b)) {
            add(&seam.name, a, b);
        }
    }
    for (i, sheet) in plan.sheets.iter().enumerate() {
        // Its pieces are made by another method, whose seams are not these edges.
        if !sheet.name.contains(" of ") {
            continue;
        }
        for (j, other) in plan.sheets.iter().enumerate().skip(i + 1) {
            if other.group != sheet.group || other.like.is_some() {
                continue;
            }
            for (k, e) in sheet.edges.iter().enumerate() {
                for (l, f) in other.edges.iter().enumerate() {
                    let apart = e.curve.length() - f.curve.length();
                    if e.name == f.name && apart.abs() < Length::mm(0.05) {
                        add(e.name, vec![(i, k)], vec![(j, l)]);
                    }
                }
            }
        }
    }
    out
}

/// The edge of the earliest sheet that is the same.
fn first_of(plan: &Plan<'_>, (i, k): Place) -> Option<Place> {
    let Some(like) = plan.sheets[i].like else {
        return Some((i, k));
    };
    let name = plan.sheets[i].edges[k].name;
    let l = plan.sheets[like].edges.iter().position(|e| e.name == name);
    l.map(|l| (like, l)).or(Some((i, k)))
}

/// Whether the parts of two edges go together one by one; true when the second is walked backward.
fn go_together(plan: &Plan<'_>, figures: &Figures, a: &[Place], b: &[Place]) -> Option<bool> {
    let ([a], [b]) = (a, b) else { return None };
    let names = |p: &Place| -> Vec<&str> {
        let sheet = &plan.sheets[p.0];
        let joints = sheet.edges[p.1].joints.iter();
        joints.map(|j| sheet.spots[j.spot].name.as_str()).collect()
    };
    let lengths = |p: &Place| -> Vec<f64> {
        figures.edges[p.0][p.1]
            .parts
            .iter()
            .map(|p| p.exact)
            .collect()
    };
    let (an, mut bn) = (names(a), names(b));
    let (al, mut bl) = (lengths(a), lengths(b));
    if al.len() != bl.len() || al.len() < 2 {
        return None;
    }
    let agree = |bl: &[f64]| al.iter().zip(bl).all(|(x, y)| (x - y).abs() < 0.6);
    if an == bn || agree(&bl) {
        return Some(false);
    }
    bn.reverse();
    bl.reverse();
    (an == bn || agree(&bl)).then_some(true)
}
