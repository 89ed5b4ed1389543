//! An open curve of straight lines and cubics, measured along itself.

use kurbo::{
    ParamCurve, ParamCurveArclen, ParamCurveArea, ParamCurveDeriv, ParamCurveExtrema,
    ParamCurveNearest,
};

use crate::angle::{self, Angle};
use crate::length::Length;
use crate::motion::Motion;
use crate::point::{Point, Vector};

/// Arc lengths are right to this, in millimetres; a hundred thousand times finer than is promised
/// (0.01 mm), so that truing to a millionth of an inch has room.
pub(crate) const ARC_TOLERANCE: f64 = 1e-8;
/// Anything shorter than this, in millimetres, is no line.
pub(crate) const SHORTEST: f64 = 1e-7;

/// A curve was asked for that has no length, or whose points are not finite.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Degenerate;

impl core::fmt::Display for Degenerate {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str("a line without length")
    }
}

impl core::error::Error for Degenerate {}

/// One stretch of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Straight.
    Line {
        /// Where it begins.
        from: Point,
        /// Where it ends.
        to: Point,
    },
    /// A cubic with its two handles.
    Cubic {
        /// Where it begins.
        from: Point,
        /// First handle.
        c1: Point,
        /// Second handle.
        c2: Point,
        /// Where it ends.
        to: Point,
    },
}

impl Segment {
    /// Where it begins.
    pub const fn from(&self) -> Point {
        match *self {
            Self::Line { from, .. } | Self::Cubic { from, .. } => from,
        }
    }

    /// Where it ends.
    pub const fn to(&self) -> Point {
        match *self {
            Self::Line { to, .. } | Self::Cubic { to, .. } => to,
        }
    }

    pub(crate) fn kurbo(&self) -> kurbo::PathSeg {
        match *self {
            Self::Line { from, to } => {
                kurbo::PathSeg::Line(kurbo::Line::new(from.to_kurbo(), to.to_kurbo()))
            }
            Self::Cubic { .. } => kurbo::PathSeg::Cubic(self.cubic()),
        }
    }

    pub(crate) fn cubic(&self) -> kurbo::CubicBez {
        match *self {
            Self::Line { from, to } => kurbo::CubicBez::new(
                from.to_kurbo(),
                from.toward(to, 1.0 / 3.0).to_kurbo(),
                from.toward(to, 2.0 / 3.0).to_kurbo(),
                to.to_kurbo(),
            ),
            Self::Cubic { from, c1, c2, to } => {
                kurbo::CubicBez::new(from.to_kurbo(), c1.to_kurbo(), c2.to_kurbo(), to.to_kurbo())
            }
        }
    }

    pub(crate) const fn from_cubic(c: kurbo::CubicBez) -> Self {
        Self::Cubic {
            from: Point::from_kurbo(c.p0),
            c1: Point::from_kurbo(c.p1),
            c2: Point::from_kurbo(c.p2),
            to: Point::from_kurbo(c.p3),
        }
    }

    pub(crate) fn arclen(&self) -> f64 {
        match *self {
            Self::Line { from, to } => (to - from).size(),
            Self::Cubic { .. } => self.cubic().arclen(ARC_TOLERANCE),
        }
    }

    pub(crate) fn inv_arclen(&self, s: f64, whole: f64) -> f64 {
        match self {
            Self::Line { .. } => (s / whole).clamp(0.0, 1.0),
            Self::Cubic { .. } => {
                if s <= 0.0 {
                    0.0
                } else if s >= whole {
                    1.0
                } else {
                    self.cubic().inv_arclen(s, ARC_TOLERANCE)
                }
            }
        }
    }

    /// The point at parameter `t`, from 0 where it begins to 1 where it ends.
    pub fn point(&self, t: f64) -> Point {
        self.eval(t)
    }

    /// Adds the points of chords that stay within `tolerance` of it, its beginning left out.
    pub fn flatten_onto(&self, tolerance: Length, points: &mut Vec<Point>) {
        let n = self.chords(tolerance.in_mm());
        points.extend((1..n).map(|i| self.eval(f64::from(i) / f64::from(n))));
        points.push(self.to());
    }

    /// How far a chord may lie off decides how many chords stand for it: within `tolerance`.
    pub(crate) fn chords(&self, tolerance: f64) -> u32 {
        let Self::Cubic { .. } = self else { return 1 };
        let c = self.cubic();
        // The second difference of the handles bounds how far a chord can lie off.
        let d1 = c.p0.to_vec2() - 2.0 * c.p1.to_vec2() + c.p2.to_vec2();
        let d2 = c.p1.to_vec2() - 2.0 * c.p2.to_vec2() + c.p3.to_vec2();
        let bend = d1.hypot2().max(d2.hypot2()).sqrt();
        let n = (0.75 * bend / tolerance.max(1e-6))
            .sqrt()
            .ceil()
            .clamp(1.0, 4096.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "1 to 4096"
        )]
        let n = n as u32;
        n
    }

    pub(crate) fn eval(&self, t: f64) -> Point {
        Point::from_kurbo(self.kurbo().eval(t))
    }

    /// The unit direction at parameter `t`; falls back on the neighbourhood where a handle lies on
    /// its end.
    pub fn direction(&self, t: f64) -> Vector {
        match *self {
            Self::Line { from, to } => (to - from).unit().unwrap_or(Vector::OUTWARD),
            Self::Cubic { from, c1, c2, to } => {
                let c = self.cubic();
                let d = c.deriv().eval(t);
                let scale = (to - from).size() + (c1 - from).size() + (c2 - to).size();
                let v = Vector::new(d.x, d.y);
                if v.size() > 1e-9 * scale {
                    return v.unit().unwrap_or(Vector::OUTWARD);
                }
                let away = if t < 0.5 {
                    [c2 - from, to - from]
                        .into_iter()
                        .find(|v| v.size() > 1e-9 * scale)
                } else {
                    [to - c1, to - from]
                        .into_iter()
                        .find(|v| v.size() > 1e-9 * scale)
                };
                away.and_then(Vector::unit).unwrap_or(Vector::OUTWARD)
            }
        }
    }

    /// The part between two parameters, the smaller first.
    #[must_use]
    pub fn part(&self, t0: f64, t1: f64) -> Self {
        self.sub(t0, t1)
    }

    /// The same stretch with its beginning laid on a point close by; the handle goes along.
    #[must_use]
    pub fn from_point(&self, start: Point) -> Self {
        match *self {
            Self::Line { to, .. } => Self::Line { from: start, to },
            Self::Cubic { from, c1, c2, to } => Self::Cubic {
                from: start,
                c1: c1 + (start - from),
                c2,
                to,
            },
        }
    }

    /// The same stretch with its end laid on a point close by; the handle goes along.
    #[must_use]
    pub fn to_point(&self, end: Point) -> Self {
        self.reversed().from_point(end).reversed()
    }

    pub(crate) fn sub(&self, t0: f64, t1: f64) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line {
                from: from.toward(to, t0),
                to: from.toward(to, t1),
            },
            Self::Cubic { .. } => Self::from_cubic(self.cubic().subsegment(t0..t1)),
        }
    }

    /// The same stretch walked the other way.
    #[must_use]
    pub const fn reversed(&self) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line { from: to, to: from },
            Self::Cubic { from, c1, c2, to } => Self::Cubic {
                from: to,
                c1: c2,
                c2: c1,
                to: from,
            },
        }
    }

    /// The same stretch elsewhere on the paper.
    #[must_use]
    pub fn moved(&self, by: &Motion) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line {
                from: by.point(from),
                to: by.point(to),
            },
            Self::Cubic { from, c1, c2, to } => Self::Cubic {
                from: by.point(from),
                c1: by.point(c1),
                c2: by.point(c2),
                to: by.point(to),
            },
        }
    }

    /// Whether all its points are finite.
    pub fn is_finite(&self) -> bool {
        match *self {
            Self::Line { from, to } => from.is_finite() && to.is_finite(),
            Self::Cubic { from, c1, c2, to } => {
                from.is_finite() && c1.is_finite() && c2.is_finite() && to.is_finite()
            }
        }
    }
}

/// A place on a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Where it is on the paper.
    pub point: Point,
    /// The unit direction in which the curve runs there.
    pub direction: Vector,
}

/// The nearest place of a curve to some point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Near {
    /// How far along the curve.
    pub along: Length,
    /// How far away from the point.
    pub distance: Length,
    /// Where it is on the paper.
    pub point: Point,
}

/// An open curve: one or more segments, each beginning where the one before ends.
///
/// Invariants: at least one segment, all coordinates finite, a length of at least 1e-7 mm; a segment
/// that comes to nothing is left out. Lengths along it are right to 1e-6 mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    segments: Vec<Segment>,
    // How far along each segment begins, and the whole length at the end.
    starts: Vec<f64>,
}

impl Curve {
    /// A straight line.
    ///
    /// # Errors
    /// When the two points are the same, or not finite.
    pub fn line(from: Point, to: Point) -> Result<Self, Degenerate> {
        Self::from_segments(vec![Segment::Line { from, to }])
    }

    /// One cubic.
    ///
    /// # Errors
    /// When it has no length, or is not finite.
    pub fn cubic(from: Point, c1: Point, c2: Point, to: Point) -> Result<Self, Degenerate> {
        Self::from_segments(vec![Segment::Cubic { from, c1, c2, to }])
    }

    /// A straight line through all the points in turn.
    ///
    /// # Errors
    /// When nothing has a length.
    pub fn polyline(points: &[Point]) -> Result<Self, Degenerate> {
        Self::from_segments(
            points
                .windows(2)
                .map(|w| Segment::Line {
                    from: w[0],
                    to: w[1],
                })
                .collect(),
        )
    }

    /// A curve from segments; each must begin where the one before ends (within 1e-6 mm, and is then
    /// laid exactly there).
    ///
    /// # Errors
    /// When nothing of it has a length, when it is not finite, or when there is a gap.
    pub fn from_segments(segments: Vec<Segment>) -> Result<Self, Degenerate> {
        let mut kept: Vec<Segment> = Vec::with_capacity(segments.len());
        let mut starts = Vec::with_capacity(segments.len() + 1);
        let mut along = 0.0;
        for mut segment in segments {
            if !segment.is_finite() {
                return Err(Degenerate);
            }
            if let Some(before) = kept.last() {
                let end = before.to();
                if (segment.from() - end).size() > 1e-4 {
                    return Err(Degenerate);
                }
                match &mut segment {
                    Segment::Line { from, .. } | Segment::Cubic { from, .. } => *from = end,
                }
            }
            let length = segment.arclen();
            if length < SHORTEST {
                continue;
            }
            starts.push(along);
            along += length;
            kept.push(segment);
        }
        starts.push(along);
        if kept.is_empty() || !along.is_finite() {
            return Err(Degenerate);
        }
        Ok(Self {
            segments: kept,
            starts,
        })
    }

    /// Curves laid end to end.
    ///
    /// # Errors
    /// When there is a gap, or nothing has a length.
    pub fn joined<'a>(curves: impl IntoIterator<Item = &'a Self>) -> Result<Self, Degenerate> {
        Self::from_segments(
            curves
                .into_iter()
                .flat_map(|c| c.segments.iter().copied())
                .collect(),
        )
    }

    /// A circular arc about `centre` from `from`, turning by `sweep` (clockwise when positive).
    ///
    /// Made of cubics, each at most an eighth of a turn: right to a ten-millionth of the radius.
    ///
    /// # Errors
    /// When radius or sweep is nothing.
    pub fn arc(centre: Point, from: Point, sweep: Angle) -> Result<Self, Degenerate> {
        let sweep = sweep.in_radians();
        if !sweep.is_finite() || sweep.abs() > 100.0 {
            return Err(Degenerate);
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "at most a few hundred"
        )]
        let parts = (sweep.abs() / core::f64::consts::FRAC_PI_8).ceil().max(1.0) as usize;
        #[expect(clippy::cast_precision_loss, reason = "at most a few hundred")]
        let step = sweep / parts as f64;
        let handle = 4.0 / 3.0 * angle::tan(step / 4.0);
        let radius = from - centre;
        let mut segments = Vec::with_capacity(parts);
        let mut spoke = radius;
        for i in 0..parts {
            #[expect(clippy::cast_precision_loss, reason = "at most a few hundred")]
            let next = radius.turned(Angle::radians(step * (i + 1) as f64));
            segments.push(Segment::Cubic {
                from: centre + spoke,
                c1: centre + spoke + spoke.right() * handle,
                c2: centre + next - next.right() * handle,
                to: centre + next,
            });
            spoke = next;
        }
        Self::from_segments(segments)
    }

    /// The segments in order.
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Where it begins.
    pub fn start(&self) -> Point {
        self.segments[0].from()
    }

    /// Where it ends.
    pub fn end(&self) -> Point {
        self.segments[self.segments.len() - 1].to()
    }

    /// The unit direction in which it leaves its beginning.
    pub fn start_direction(&self) -> Vector {
        self.segments[0].direction(0.0)
    }

    /// The unit direction in which it arrives at its end.
    pub fn end_direction(&self) -> Vector {
        self.segments[self.segments.len() - 1].direction(1.0)
    }

    /// Its whole length, right to 1e-6 mm.
    ///
    /// # Panics
    /// Never: a curve is finite.
    pub fn length(&self) -> Length {
        Length::mm(self.starts[self.segments.len()])
    }

    /// How long each of its segments is, in order.
    ///
    /// # Panics
    /// Never: a curve is finite.
    pub fn segment_lengths(&self) -> impl Iterator<Item = Length> + '_ {
        self.starts.windows(2).map(|w| Length::mm(w[1] - w[0]))
    }

    /// Which segment holds the place `along`, and the parameter in it.
    pub(crate) fn locate(&self, along: f64) -> (usize, f64) {
        let last = self.segments.len() - 1;
        let index = match self.starts[..=last].binary_search_by(|s| s.total_cmp(&along)) {
            Ok(i) => i,
            Err(i) => i.saturating_sub(1),
        };
        let whole = self.starts[index + 1] - self.starts[index];
        (
            index,
            self.segments[index].inv_arclen(along - self.starts[index], whole),
        )
    }

    /// How far along the place with parameter `t` in segment `index` is.
    pub(crate) fn along(&self, index: usize, t: f64) -> f64 {
        let part = if t <= 0.0 {
            0.0
        } else if t >= 1.0 {
            self.starts[index + 1] - self.starts[index]
        } else {
            self.segments[index].sub(0.0, t).arclen()
        };
        self.starts[index] + part
    }

    /// The place so far along; beyond an end, that end.
    pub fn at(&self, along: Length) -> Place {
        let (index, t) = self.locate(along.in_mm());
        Place {
            point: self.segments[index].eval(t),
            direction: self.segments[index].direction(t),
        }
    }

    /// The bend at a place: one over the radius, positive when it turns clockwise; per millimetre.
    pub fn curvature(&self, along: Length) -> f64 {
        let (index, t) = self.locate(along.in_mm());
        match self.segments[index] {
            Segment::Line { .. } => 0.0,
            Segment::Cubic { .. } => {
                let c = self.segments[index].cubic();
                let d = c.deriv();
                let (v, a) = (d.eval(t).to_vec2(), d.deriv().eval(t).to_vec2());
                let size = v.hypot();
                if size < 1e-9 {
                    0.0
                } else {
                    v.cross(a) / (size * size * size)
                }
            }
        }
    }

    /// The corners inside the curve: how far along, and the turn there, where it is more than `over`.
    ///
    /// # Panics
    /// Never: a curve is finite.
    pub fn corners(&self, over: Angle) -> Vec<(Length, Angle)> {
        (1..self.segments.len())
            .filter_map(|i| {
                let turn = self.segments[i - 1]
                    .direction(1.0)
                    .angle_to(self.segments[i].direction(0.0));
                (turn.abs() > over).then(|| (Length::mm(self.starts[i]), turn))
            })
            .collect()
    }

    /// The place nearest to a point.
    ///
    /// # Panics
    /// When the point is not finite.
    pub fn nearest(&self, p: Point) -> Near {
        let mut best = (f64::INFINITY, 0, 0.0);
        for (index, segment) in self.segments.iter().enumerate() {
            let near = match segment {
                Segment::Line { .. } => segment.kurbo().nearest(p.to_kurbo(), 1e-9),
                Segment::Cubic { .. } => segment.cubic().nearest(p.to_kurbo(), 1e-12),
            };
            if near.distance_sq < best.0 {
                best = (near.distance_sq, index, near.t);
            }
        }
        let point = self.segments[best.1].eval(best.2);
        Near {
            along: Length::mm(self.along(best.1, best.2)),
            distance: point.distance(p),
            point,
        }
    }

    /// The part between two places; from the later to the earlier it runs backward.
    ///
    /// # Errors
    /// When nothing lies between them.
    pub fn sub(&self, from: Length, to: Length) -> Result<Self, Degenerate> {
        if to < from {
            return self.sub(to, from).map(|c| c.reversed());
        }
        let whole = self.length().in_mm();
        let (from, to) = (from.in_mm().clamp(0.0, whole), to.in_mm().clamp(0.0, whole));
        if to - from < SHORTEST {
            return Err(Degenerate);
        }
        let ((i, t), (j, u)) = (self.locate(from), self.locate(to));
        let mut segments = Vec::with_capacity(j - i + 1);
        for k in i..=j {
            let a = if k == i { t } else { 0.0 };
            let b = if k == j { u } else { 1.0 };
            if a == 0.0 && b >= 1.0 {
                segments.push(self.segments[k]);
            } else if b > a {
                segments.push(self.segments[k].sub(a, b));
            }
        }
        Self::from_segments(segments)
    }

    /// The same curve walked the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let segments = self.segments.iter().rev().map(Segment::reversed).collect();
        let whole = self.starts[self.segments.len()];
        let starts = self.starts.iter().rev().map(|s| whole - s).collect();
        Self { segments, starts }
    }

    /// The same curve elsewhere on the paper.
    #[must_use]
    pub fn moved(&self, by: &Motion) -> Self {
        Self {
            segments: self.segments.iter().map(|s| s.moved(by)).collect(),
            starts: self.starts.clone(),
        }
    }

    /// The same curve with its ends laid exactly on these points; meant for closing gaps of rounding.
    ///
    /// # Errors
    /// When nothing is left.
    pub fn with_ends(&self, start: Point, end: Point) -> Result<Self, Degenerate> {
        let mut segments = self.segments.clone();
        let last = segments.len() - 1;
        match &mut segments[0] {
            Segment::Line { from, .. } | Segment::Cubic { from, .. } => *from = start,
        }
        match &mut segments[last] {
            Segment::Line { to, .. } | Segment::Cubic { to, .. } => *to = end,
        }
        Self::from_segments(segments)
    }

    /// The points of a chain of chords that stays within `tolerance` of the curve, both ends included.
    pub fn flatten(&self, tolerance: Length) -> Vec<Point> {
        let mut points = vec![self.start()];
        for segment in &self.segments {
            segment.flatten_onto(tolerance, &mut points);
        }
        points
    }

    /// The box round it: its upper left and lower right corner.
    pub fn bounds(&self) -> (Point, Point) {
        let mut low = Point::new(f64::INFINITY, f64::INFINITY);
        let mut high = Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
        for segment in &self.segments {
            let b = segment.kurbo().bounding_box();
            low = Point::new(low.x.min(b.x0), low.y.min(b.y0));
            high = Point::new(high.x.max(b.x1), high.y.max(b.y1));
        }
        (low, high)
    }

    /// Its part of the area of a ring, in square millimetres: positive for a ring walked clockwise.
    pub fn area(&self) -> f64 {
        self.segments.iter().map(|s| s.kurbo().signed_area()).sum()
    }
}

#[cfg(test)]
pub(crate) mod tests;
