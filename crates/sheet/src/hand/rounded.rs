//! The figures of the sheet, rounded together: every place to the drafter's own fraction, and where
//! two edges are sewn, to whichever neighbour keeps the seam.
//!
//! An edge is printed as the points that hold it and, where it bends, as figures at even steps. Its
//! shape follows its points: what lies between two of them is carried along as they are rounded. The
//! length of a printed edge is walked with the ruler from point to point.

mod agreement;
mod counting;
mod printed;
mod seams;

use std::collections::BTreeMap;

use measure::fraction::Shown;
use measure::{Length, Point};

use super::Hand;
use super::plan::Plan;
use super::ties::{Ties, real_parts};
use crate::number::whole;
pub(crate) use seams::Agreeing;

/// From sample to sample along an edge.
const FINE: f64 = 1.0;

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
        out.seams = seams::seams(plan, hand, &out);
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
}
