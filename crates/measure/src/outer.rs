//! A chain of stretches that crosses itself: where, and what of it is its outer line.

use crate::curve::Segment;
use crate::point::{Point, Vector};

/// The chain is looked at through chords that lie off it by no more than this, in millimetres.
const FINE: f64 = 0.004;
/// More crossings than this mean that the chain lies on itself; the rest is left.
const MOST: usize = 10_000;

/// One chord of a chain.
#[derive(Clone, Copy)]
struct Chord {
    from: Point,
    to: Point,
    segment: usize,
    t0: f64,
    t1: f64,
}

/// A place where a chain meets itself.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Meeting {
    // Which chord and how far along it, the earlier passing first.
    on: [(usize, f64); 2],
    /// Which segment and which parameter, the earlier passing first.
    pub(crate) at: [(usize, f64); 2],
    point: Point,
}

/// What lies between two meetings that follow each other along the chain.
#[derive(Clone, Debug)]
pub(crate) struct Stretch {
    /// Its segments, each with the number of the segment that it is a part of.
    pub(crate) segments: Vec<(Segment, usize)>,
    /// The meeting at which it begins, or `None` at the beginning of an open chain.
    pub(crate) from: Option<usize>,
    /// The meeting at which it ends.
    pub(crate) to: Option<usize>,
    // The middle of its longest chord, and the direction and size of that.
    middle: Point,
    way: Vector,
    // The segment that this lies on.
    of: usize,
}

impl Stretch {
    /// A point well inside the stretch, and the number of the segment that it lies on.
    pub(crate) const fn middle(&self) -> (Point, usize) {
        (self.middle, self.of)
    }
}

/// A chain of segments seen as chords.
pub(crate) struct Chain<'a> {
    segments: &'a [Segment],
    chords: Vec<Chord>,
    closed: bool,
}

impl<'a> Chain<'a> {
    /// A chain, each segment beginning where the one before ends.
    pub(crate) fn new(segments: &'a [Segment], closed: bool) -> Self {
        let mut chords = Vec::with_capacity(segments.len() * 8);
        for (index, segment) in segments.iter().enumerate() {
            let n = segment.chords(FINE);
            let mut before = (segment.from(), 0.0);
            for i in 1..=n {
                let t = f64::from(i) / f64::from(n);
                let p = if i == n {
                    segment.to()
                } else {
                    segment.point(t)
                };
                if p != before.0 {
                    chords.push(Chord {
                        from: before.0,
                        to: p,
                        segment: index,
                        t0: before.1,
                        t1: t,
                    });
                    before = (p, t);
                }
            }
        }
        Self {
            segments,
            chords,
            closed,
        }
    }

    /// Moves every corner of the chords by up to so much, always in the same way.
    fn shifted(&mut self, most: f64) {
        if most <= 0.0 {
            return;
        }
        let n = self.chords.len();
        let mut state: u32 = 0x9e37_79b9;
        let mut next = || {
            state ^= state << 13;
            state ^= state >> 17;
            state ^= state << 5;
            (f64::from(state) / f64::from(u32::MAX) - 0.5) * 2.0 * most
        };
        for i in 0..n {
            let by = Vector::new(next(), next());
            self.chords[i].from = self.chords[i].from + by;
            let before = (i + n - 1) % n;
            self.chords[before].to = self.chords[i].from;
        }
    }

    /// Every place where two chords that are no neighbours cross.
    pub(crate) fn meetings(&self) -> Vec<Meeting> {
        let n = self.chords.len();
        if n < 3 {
            return Vec::new();
        }
        let (mut low, mut high) = (self.chords[0].from, self.chords[0].from);
        for c in &self.chords {
            low = Point::new(low.x.min(c.to.x), low.y.min(c.to.y));
            high = Point::new(high.x.max(c.to.x), high.y.max(c.to.y));
        }
        let upright = high.y - low.y > high.x - low.x;
        // Along the longer side of the box, and across it.
        let spans: Vec<[f64; 4]> = self
            .chords
            .iter()
            .map(|c| {
                let (x0, x1) = (c.from.x.min(c.to.x), c.from.x.max(c.to.x));
                let (y0, y1) = (c.from.y.min(c.to.y), c.from.y.max(c.to.y));
                if upright {
                    [y0, y1, x0, x1]
                } else {
                    [x0, x1, y0, y1]
                }
            })
            .collect();
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|a, b| spans[*a][0].total_cmp(&spans[*b][0]).then(a.cmp(b)));
        let mut found = Vec::new();
        for (k, &i) in order.iter().enumerate() {
            let a = spans[i];
            for &j in &order[k + 1..] {
                let b = spans[j];
                if b[0] > a[1] {
                    break;
                }
                if b[2] > a[3] || a[2] > b[3] {
                    continue;
                }
                let (first, second) = (i.min(j), i.max(j));
                let neighbours =
                    second - first <= 1 || (self.closed && first == 0 && second == n - 1);
                if neighbours || found.len() >= MOST {
                    continue;
                }
                if let Some(m) = self.meeting(first, second) {
                    found.push(m);
                }
            }
        }
        found.sort_by(|a: &Meeting, b| {
            (a.on[0].0, a.on[1].0)
                .cmp(&(b.on[0].0, b.on[1].0))
                .then(a.on[0].1.total_cmp(&b.on[0].1))
        });
        found
    }

    fn meeting(&self, first: usize, second: usize) -> Option<Meeting> {
        let (a, b) = (&self.chords[first], &self.chords[second]);
        let (d, e) = (a.to - a.from, b.to - b.from);
        // A point on a line counts to its one side, so that a chain through a corner of another is
        // counted once, and one that only touches it twice or never.
        let side = |v: Vector, p: Point, on: Point| v.cross(p - on) >= 0.0;
        if side(d, b.from, a.from) == side(d, b.to, a.from)
            || side(e, a.from, b.from) == side(e, a.to, b.from)
        {
            return None;
        }
        let den = d.cross(e);
        if den == 0.0 {
            return None;
        }
        let t = ((b.from - a.from).cross(e) / den).clamp(0.0, 1.0);
        let u = ((b.from - a.from).cross(d) / den).clamp(0.0, 1.0);
        let rough = a.from + d * t;
        let mut at = [
            (a.segment, a.t0 + (a.t1 - a.t0) * t),
            (b.segment, b.t0 + (b.t1 - b.t0) * u),
        ];
        let (sa, sb) = (&self.segments[a.segment], &self.segments[b.segment]);
        let mut point = rough;
        if let Some((t, u)) = refined(sa, sb, at[0].1, at[1].1) {
            let exact = sa.point(t);
            if (exact - rough).size() < 0.1 {
                at[0].1 = t;
                at[1].1 = u;
                point = exact;
            }
        }
        Some(Meeting {
            on: [(first, t), (second, u)],
            at,
            point,
        })
    }

    /// The chain cut at its meetings, in order.
    pub(crate) fn stretches(&self, meetings: &[Meeting]) -> Vec<Stretch> {
        struct Cut {
            on: (usize, f64),
            at: (usize, f64),
            meeting: usize,
        }
        let mut cuts: Vec<Cut> = Vec::with_capacity(meetings.len() * 2);
        for (index, m) in meetings.iter().enumerate() {
            for k in 0..2 {
                cuts.push(Cut {
                    on: m.on[k],
                    at: m.at[k],
                    meeting: index,
                });
            }
        }
        cuts.sort_by(|a, b| a.on.0.cmp(&b.on.0).then(a.on.1.total_cmp(&b.on.1)));
        for k in 1..cuts.len() {
            // Two crossings close together may have changed places when they were refined.
            if cuts[k].at.0 == cuts[k - 1].at.0 && cuts[k].at.1 < cuts[k - 1].at.1 {
                cuts[k].at.1 = cuts[k - 1].at.1;
            }
        }
        let last = self.segments.len() - 1;
        let end = ((self.chords.len() - 1, 1.0), (last, 1.0));
        let begin = ((0, 0.0), (0, 0.0));
        let mut out = Vec::with_capacity(cuts.len() + 1);
        let mut before = (begin, None);
        for cut in &cuts {
            let here = ((cut.on, cut.at), Some(cut.meeting));
            out.push(self.stretch(before, here, meetings));
            before = here;
        }
        out.push(self.stretch(before, (end, None), meetings));
        if self.closed && out.len() > 1 {
            let mut tail = out.pop().unwrap_or_else(|| out[0].clone());
            let head = out.remove(0);
            if head.way.size() > tail.way.size() {
                (tail.middle, tail.way, tail.of) = (head.middle, head.way, head.of);
            }
            tail.segments.extend(head.segments);
            tail.to = head.to;
            out.push(tail);
        }
        out
    }

    #[expect(
        clippy::type_complexity,
        reason = "a place on chords and segments, twice"
    )]
    fn stretch(
        &self,
        (from, first): (((usize, f64), (usize, f64)), Option<usize>),
        (to, last): (((usize, f64), (usize, f64)), Option<usize>),
        meetings: &[Meeting],
    ) -> Stretch {
        let mut segments = Vec::new();
        let ((i, t), (j, u)) = (from.1, to.1);
        for k in i..=j {
            let a = if k == i { t } else { 0.0 };
            let b = if k == j { u } else { 1.0 };
            if a <= 0.0 && b >= 1.0 {
                segments.push((self.segments[k], k));
            } else if b > a {
                segments.push((self.segments[k].part(a, b), k));
            }
        }
        if let (Some(m), Some(s)) = (first, segments.first_mut()) {
            s.0 = s.0.from_point(meetings[m].point);
        }
        if let (Some(m), Some(s)) = (last, segments.last_mut()) {
            s.0 = s.0.to_point(meetings[m].point);
        }
        let ((i, t), (j, u)) = (from.0, to.0);
        let mut of = self.chords[i].segment;
        let (mut middle, mut way) = (self.chords[i].from, Vector::default());
        for k in i..=j {
            let c = &self.chords[k];
            let a = if k == i { t } else { 0.0 };
            let b = if k == j { u } else { 1.0 };
            let v = (c.to - c.from) * (b - a);
            if b > a && v.size() > way.size() {
                (middle, way, of) = (c.from.toward(c.to, f64::midpoint(a, b)), v, c.segment);
            }
        }
        Stretch {
            segments,
            from: first,
            to: last,
            middle,
            way,
            of,
        }
    }

    /// How often the closed chain goes clockwise round a point.
    fn winding(&self, p: Point) -> i32 {
        let mut count = 0;
        for c in &self.chords {
            if c.from.y <= p.y {
                if c.to.y > p.y && (c.to - c.from).cross(p - c.from) > 0.0 {
                    count += 1;
                }
            } else if c.to.y <= p.y && (c.to - c.from).cross(p - c.from) < 0.0 {
                count -= 1;
            }
        }
        count
    }
}

/// The outer line of a closed chain walked clockwise: what separates the parts that it goes round at
/// least once from those that it does not. Loops that turn the other way are dropped, and so are
/// holes. Each segment comes with the number of the given segment that it is a part of.
///
/// `None` when nothing is left.
pub fn outermost(ring: &[Segment]) -> Option<Vec<(Segment, usize)>> {
    if ring.is_empty() || ring.iter().any(|s| !s.is_finite()) {
        return None;
    }
    let whole = area(ring.iter());
    let mut best: Option<(f64, Vec<(Segment, usize)>)> = None;
    for shift in SHIFTS {
        let mut chain = Chain::new(ring, true);
        if chain.chords.len() < 2 {
            return None;
        }
        chain.shifted(shift);
        let meetings = chain.meetings();
        if meetings.is_empty() {
            return Some(ring.iter().copied().zip(0..).collect());
        }
        if let Some(found) = outer_loop(&chain, &meetings)
            && best.as_ref().is_none_or(|b| found.0 > b.0)
        {
            best = Some(found);
        }
        // Overlaps count twice in the area of the ring, but never make up the half of it.
        if best.as_ref().is_some_and(|b| b.0 > 0.5 * whole) {
            break;
        }
    }
    best.map(|b| b.1)
}

/// By how much, in millimetres, the corners of the chords are moved at each try: where stretches lie
/// exactly on each other it cannot be told which is the outer one, and a hair's breadth settles it.
const SHIFTS: [f64; 4] = [0.0, 1e-4, 3e-4, 1e-3];

fn area<'a>(segments: impl Iterator<Item = &'a Segment>) -> f64 {
    segments
        .map(|s| kurbo::ParamCurveArea::signed_area(&s.kurbo()))
        .sum()
}

/// The loop round the largest area among the stretches that have nothing on their left.
fn outer_loop(chain: &Chain<'_>, meetings: &[Meeting]) -> Option<(f64, Vec<(Segment, usize)>)> {
    let kept: Vec<Stretch> = chain
        .stretches(meetings)
        .into_iter()
        .filter(|s| {
            let Some(left) = s.way.unit().map(Vector::left) else {
                return false;
            };
            let off = left * (s.way.size() * 1e-3).min(1e-3);
            chain.winding(s.middle + off) <= 0 && chain.winding(s.middle - off) >= 1
        })
        .collect();
    let mut used = vec![false; kept.len()];
    let mut best: Option<(f64, Vec<(Segment, usize)>)> = None;
    for begin in 0..kept.len() {
        if used[begin] {
            continue;
        }
        let mut round = Vec::new();
        let mut here = begin;
        let closes = loop {
            used[here] = true;
            round.extend(kept[here].segments.iter().copied());
            if kept[here].to == kept[begin].from {
                break true;
            }
            // Of several ways on, the one that turns most to the left stays outside.
            let arriving = kept[here]
                .segments
                .last()
                .map_or(kept[here].way, |s| s.0.direction(1.0));
            let next = (0..kept.len())
                .filter(|k| !used[*k] && kept[*k].from == kept[here].to)
                .min_by(|a, b| {
                    let turn = |k: usize| {
                        let leaving = kept[k]
                            .segments
                            .first()
                            .map_or(kept[k].way, |s| s.0.direction(0.0));
                        arriving.angle_to(leaving).in_radians()
                    };
                    turn(*a).total_cmp(&turn(*b))
                });
            match next {
                Some(k) => here = k,
                None => break false,
            }
        };
        let size = area(round.iter().map(|s| &s.0));
        if closes && size > 0.0 && best.as_ref().is_none_or(|b| size > b.0) {
            best = Some((size, round));
        }
    }
    best
}

/// The crossing of two segments near these parameters.
fn refined(a: &Segment, b: &Segment, t: f64, u: f64) -> Option<(f64, f64)> {
    if let (Segment::Line { .. }, Segment::Line { .. }) = (a, b) {
        return Some((t, u));
    }
    crate::crossing::newton(a, b, t, u)
}

#[cfg(test)]
mod tests;
