//! How well the printed sheet agrees with itself, and which figures take their other neighbour so that
//! the seams agree better.

use measure::Point;

use super::{By, Figure, Figures, Place};
use crate::hand::plan::Plan;
use crate::number::whole;

impl Figures {
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
    pub(super) fn agree(&mut self, plan: &Plan<'_>) {
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
