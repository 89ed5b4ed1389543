//! The edge as it is printed: its figures found anew from its rounded points, and its length walked
//! with the ruler from point to point.

use measure::Point;

use super::{By, FINE, Figures, Place, Sample};
use crate::hand::plan::Plan;
use crate::number::count;

impl Figures {
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
    pub(super) fn draw(&mut self, plan: &Plan<'_>, place: Place) {
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
    pub(super) fn walk(&mut self, plan: &Plan<'_>, place: Place) {
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
