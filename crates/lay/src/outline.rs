//! The outline of what is laid: a closed line of straight parts that does not cross itself.

/// What is wrong with an outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutlineFault {
    /// A point is not a number, or so large that nothing can be reckoned with it.
    NotANumber,
    /// Fewer than three points that differ.
    TooFew,
    /// More points than [`Outline::MOST`].
    TooMany,
    /// It crosses itself.
    Crosses,
    /// It encloses nothing.
    Empty,
    /// It runs out from what it encloses and back on the same line.
    Spike,
}

/// A closed line that does not cross itself, counter-clockwise (x right, y up).
///
/// The last point is not the first again; no two points in a row are the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    points: Vec<[f64; 2]>,
}

/// Twice the area of the corner a, b, c; positive when it turns left.
pub(crate) fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Twice the area inside a closed line; negative when it runs clockwise.
pub(crate) fn double_area(points: &[[f64; 2]]) -> f64 {
    let Some(&origin) = points.first() else {
        return 0.0;
    };
    let mut sum = 0.0;
    for pair in points.windows(2) {
        sum += turn(origin, pair[0], pair[1]);
    }
    sum
}

/// The least x, least y, greatest x and greatest y.
pub(crate) fn bounds(points: &[[f64; 2]]) -> [f64; 4] {
    let mut b = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
    for p in points {
        b[0] = b[0].min(p[0]);
        b[1] = b[1].min(p[1]);
        b[2] = b[2].max(p[0]);
        b[3] = b[3].max(p[1]);
    }
    b
}

/// How far a point is from the straight line between two others, squared.
pub(crate) fn distance_squared(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length = dx * dx + dy * dy;
    let t = if length > 0.0 {
        (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (ex, ey) = (p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
    ex * ex + ey * ey
}

impl Outline {
    /// The most points that an outline may have.
    pub const MOST: usize = 5000;

    /// The largest coordinate that is taken.
    pub const FARTHEST: f64 = 1e9;

    /// An outline through these points, in either direction; the last may repeat the first.
    ///
    /// Points that lie on the straight line between their neighbours are left out, and spikes without
    /// width.
    ///
    /// # Errors
    ///
    /// When the points do not enclose a simple area.
    pub fn new(points: &[[f64; 2]]) -> Result<Self, OutlineFault> {
        Self::tidied(points).map(|(outline, _)| outline)
    }

    /// The same, where no point may be lost that lies outside what is enclosed: of a file that a judge
    /// holds the lay against.
    ///
    /// # Errors
    ///
    /// As [`Outline::new`], and [`OutlineFault::Spike`] for a spike without width that leads outward; one
    /// that leads inward is a cut, and changes nothing.
    pub fn whole(points: &[[f64; 2]]) -> Result<Self, OutlineFault> {
        let (outline, tips) = Self::tidied(points)?;
        let b = outline.bounds();
        let hair = (b[2] - b[0]).max(b[3] - b[1]) * HAIR;
        let kept = &outline.points;
        let lost = |p: [f64; 2]| {
            let edges = kept.iter().zip(kept.iter().cycle().skip(1));
            !holds(kept, p)
                && edges
                    .into_iter()
                    .all(|(&a, &b)| distance_squared(p, a, b) > hair * hair)
        };
        if tips.into_iter().any(lost) {
            return Err(OutlineFault::Spike);
        }
        Ok(outline)
    }

    /// The outline, and the tips of spikes that were left out of it.
    fn tidied(points: &[[f64; 2]]) -> Result<(Self, Vec<[f64; 2]>), OutlineFault> {
        if points
            .iter()
            .flatten()
            .any(|c| !c.is_finite() || c.abs() > Self::FARTHEST)
        {
            return Err(OutlineFault::NotANumber);
        }
        if points.len() > Self::MOST {
            return Err(OutlineFault::TooMany);
        }
        let size = {
            let b = bounds(points);
            (b[2] - b[0]).max(b[3] - b[1])
        };
        let mut kept = points.to_vec();
        let tips = tidy(&mut kept, size);
        if kept.len() < 3 {
            return Err(OutlineFault::TooFew);
        }
        if crosses_itself(&kept) {
            return Err(OutlineFault::Crosses);
        }
        let area = double_area(&kept);
        if area.abs() <= size * size * 1e-9 {
            return Err(OutlineFault::Empty);
        }
        if area < 0.0 {
            kept.reverse();
        }
        Ok((Self { points: kept }, tips))
    }

    /// The points, counter-clockwise.
    pub fn points(&self) -> &[[f64; 2]] {
        &self.points
    }

    /// The area inside.
    pub fn area(&self) -> f64 {
        double_area(&self.points) / 2.0
    }

    /// The least x, least y, greatest x and greatest y.
    pub fn bounds(&self) -> [f64; 4] {
        bounds(&self.points)
    }

    /// This outline turned over (y becomes -y) if `over`, then turned by `degrees` counter-clockwise
    /// about (0, 0). Quarter turns are exact.
    #[must_use]
    pub fn placed(&self, degrees: f64, over: bool) -> Self {
        let [c, s] = direction(degrees);
        let mut points: Vec<[f64; 2]> = self
            .points
            .iter()
            .map(|&[x, y]| {
                let y = if over { -y } else { y };
                [x * c - y * s, x * s + y * c]
            })
            .collect();
        if over {
            points.reverse();
        }
        Self { points }
    }

    /// This outline moved.
    #[must_use]
    pub fn moved(&self, by: [f64; 2]) -> Self {
        let points = self.points.iter().map(|p| [p[0] + by[0], p[1] + by[1]]);
        Self {
            points: points.collect(),
        }
    }

    /// An outline of fewer points that has this one inside and lies nowhere farther from it than
    /// `within`; its bounds stay the same.
    #[must_use]
    pub fn fewer(&self, within: f64) -> Self {
        let mut points = self.points.clone();
        // What a point has already been pushed out by, so that many small steps do not add up.
        let mut spent = vec![0.0_f64; points.len()];
        let b = self.bounds();
        loop {
            let mut best: Option<(f64, usize, Option<[f64; 2]>)> = None;
            let n = points.len();
            if n <= 4 {
                break;
            }
            for i in 0..n {
                let (h, p, q, r) = (
                    points[i],
                    points[(i + 1) % n],
                    points[(i + 2) % n],
                    points[(i + 3) % n],
                );
                // A hollow point is bridged.
                if turn(h, p, q) <= 0.0 {
                    let cost = distance_squared(p, h, q).sqrt() + spent[(i + 1) % n];
                    if cost <= within && best.is_none_or(|x| cost < x.0) {
                        best = Some((cost, i, None));
                    }
                } else if turn(p, q, r) > 0.0 {
                    // A full edge is taken out: its neighbours are made longer until they meet.
                    let Some(meet) = meeting(h, p, q, r) else {
                        continue;
                    };
                    let inside =
                        meet[0] >= b[0] && meet[0] <= b[2] && meet[1] >= b[1] && meet[1] <= b[3];
                    let cost = distance_squared(meet, p, q).sqrt()
                        + spent[(i + 1) % n].max(spent[(i + 2) % n]);
                    if inside && cost <= within && best.is_none_or(|x| cost < x.0) {
                        best = Some((cost, i, Some(meet)));
                    }
                }
            }
            let Some((cost, i, meet)) = best else { break };
            let gone = (i + 1) % n;
            match meet {
                None => {
                    spent[i] = spent[i].max(cost);
                    let next = (i + 2) % n;
                    spent[next] = spent[next].max(cost);
                }
                Some(at) => {
                    let next = (i + 2) % n;
                    points[next] = at;
                    spent[next] = cost;
                }
            }
            points.remove(gone);
            spent.remove(gone);
        }
        let fewer = Self { points };
        if crosses_itself(&fewer.points) {
            self.clone()
        } else {
            fewer
        }
    }
}

/// Cosine and sine of an angle in degrees, exact for quarter turns.
pub(crate) fn direction(degrees: f64) -> [f64; 2] {
    let turn = degrees.rem_euclid(360.0);
    for (quarter, cs) in [
        (0.0, [1.0, 0.0]),
        (90.0, [0.0, 1.0]),
        (180.0, [-1.0, 0.0]),
        (270.0, [0.0, -1.0]),
        (360.0, [1.0, 0.0]),
    ] {
        if (turn - quarter).abs() < 1e-12 {
            return cs;
        }
    }
    let radians = turn.to_radians();
    [measure::angle::cos(radians), measure::angle::sin(radians)]
}

/// Where the lines h-p and r-q, made longer past p and q, meet; none if they do not.
fn meeting(h: [f64; 2], p: [f64; 2], q: [f64; 2], r: [f64; 2]) -> Option<[f64; 2]> {
    let (u, v) = ([p[0] - h[0], p[1] - h[1]], [q[0] - r[0], q[1] - r[1]]);
    let cross = u[0] * v[1] - u[1] * v[0];
    // The two must lean towards each other, or they meet on the wrong side.
    if cross >= 0.0 {
        return None;
    }
    let w = [q[0] - p[0], q[1] - p[1]];
    let t = (w[0] * v[1] - w[1] * v[0]) / cross;
    let at = [p[0] + t * u[0], p[1] + t * u[1]];
    (t >= 0.0 && at[0].is_finite() && at[1].is_finite()).then_some(at)
}

/// What is left out of an outline of size one lies no farther from it than this, or is a spike.
const HAIR: f64 = 1e-6;

/// Takes out points that repeat their neighbour, lie on a straight line, or are the tip of a
/// spike without width. The tips are given back.
fn tidy(points: &mut Vec<[f64; 2]>, size: f64) -> Vec<[f64; 2]> {
    let hair = size * 1e-9;
    let mut tips = Vec::new();
    let mut i = 0;
    let mut quiet = 0;
    while points.len() >= 3 && quiet < points.len() {
        let n = points.len();
        i %= n;
        let (a, b, c) = (points[(i + n - 1) % n], points[i], points[(i + 1) % n]);
        let length = distance_squared(a, c, c).sqrt();
        let near = distance_squared(b, a, a).sqrt() <= hair;
        if near || turn(a, b, c).abs() <= hair * length.max(hair) {
            if distance_squared(b, a, c).sqrt() > size * HAIR {
                tips.push(b);
            }
            points.remove(i);
            quiet = 0;
            i = (i + n - 1) % (n - 1).max(1);
        } else {
            quiet += 1;
            i += 1;
        }
    }
    tips
}

/// Whether two parts of a closed line cross, other than by touching.
fn crosses_itself(points: &[[f64; 2]]) -> bool {
    let n = points.len();
    let mut order: Vec<usize> = (0..n).collect();
    let span = |i: usize| {
        let (a, b) = (points[i], points[(i + 1) % n]);
        (a[0].min(b[0]), a[0].max(b[0]))
    };
    order.sort_by(|&i, &j| span(i).0.total_cmp(&span(j).0));
    for (k, &i) in order.iter().enumerate() {
        let (a, b) = (points[i], points[(i + 1) % n]);
        let right = span(i).1;
        for &j in &order[k + 1..] {
            if span(j).0 > right {
                break;
            }
            if cross(a, b, points[j], points[(j + 1) % n]) {
                return true;
            }
        }
    }
    false
}

/// Whether a-b and c-d cross at a point that is inside both.
pub(crate) fn cross(a: [f64; 2], b: [f64; 2], c: [f64; 2], d: [f64; 2]) -> bool {
    let (s, t) = (turn(a, b, c), turn(a, b, d));
    let (u, v) = (turn(c, d, a), turn(c, d, b));
    // A crossing shallower than this is a touch that rounding has made into one.
    let small = 1e-10
        * ((b[0] - a[0]).abs() + (b[1] - a[1]).abs())
        * ((d[0] - c[0]).abs() + (d[1] - c[1]).abs());
    (s > small && t < -small || s < -small && t > small)
        && (u > small && v < -small || u < -small && v > small)
}

/// Whether a point lies inside a closed line.
pub(crate) fn holds(line: &[[f64; 2]], p: [f64; 2]) -> bool {
    let mut inside = false;
    for (i, &a) in line.iter().enumerate() {
        inside ^= passes(p, a, line[(i + 1) % line.len()]);
    }
    inside
}

/// Whether a ray from p to the right passes the line a-b.
pub(crate) fn passes(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> bool {
    (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) * (b[0] - a[0]) / (b[1] - a[1])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a spike that a file has and the lay does not hold, and an outline that is refused though
    /// nothing of it is lost: points doubled or in a row, a ring that is closed, a cut that leads inward.
    #[test]
    fn a_spike_that_leads_outward_is_refused() {
        let spike = [[0, 0], [50, 0], [80, 0], [50, 0], [50, 30], [0, 30]];
        let bent = [
            [0, 0],
            [50, 0],
            [80, 9],
            [90, 0],
            [80, 9],
            [50, 0],
            [50, 30],
            [0, 30],
        ];
        let begun = [[80, 0], [50, 0], [50, 30], [0, 30], [0, 0], [50, 0]];
        let read = |points: &[[i32; 2]]| {
            Outline::whole(&points.iter().map(|p| p.map(f64::from)).collect::<Vec<_>>())
        };
        for points in [&spike[..], &bent, &begun] {
            assert_eq!(read(points), Err(OutlineFault::Spike), "{points:?}");
        }
        let square = read(&[[0, 0], [50, 0], [50, 30], [0, 30]]).unwrap();
        let closed = [
            [0, 0],
            [25, 0],
            [25, 0],
            [40, 0],
            [50, 0],
            [50, 30],
            [50, 30],
            [0, 30],
            [0, 0],
        ];
        let cut = [
            [0, 0],
            [50, 0],
            [50, 30],
            [25, 30],
            [25, 10],
            [25, 30],
            [0, 30],
        ];
        // Back along its own edge, and on again: nothing is outside.
        let back = [[0, 0], [50, 0], [20, 0], [50, 0], [50, 30], [0, 30]];
        for points in [&closed[..], &cut, &back] {
            let read = read(points).unwrap();
            let same = read.points().iter().all(|p| square.points().contains(p));
            assert!(same && read.points().len() == 4, "{points:?}: {read:?}");
        }
    }
}
