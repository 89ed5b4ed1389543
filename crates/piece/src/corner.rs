//! How two allowances end where their edges meet (`trade/finishing.md` 3).

use measure::offset::{bridge, meet};
use measure::{Motion, Point, Segment, Vector};

use crate::edge::Corner;
use crate::strip::Strip;

/// A corner that turns by less than this, or by more than half a turn less 30 degrees, has its lines
/// carried on whatever is asked: turned over or squared they would run far away.
const LEAST_TURN: f64 = 20.0;
const MOST_TURN: f64 = 150.0;
/// A stepped or mitred corner leaves this much outside the stitching, in millimetres: 1/8 in, the
/// least that a snip leaves (`trade/finishing.md` 4).
const LEFT: f64 = 3.175;
/// What a mitre leaves to sew it by, in millimetres: 1/4 in (common practice, no source).
const MITRE: f64 = 6.35;

/// What is shorter than this, in millimetres, has no direction of its own.
const CRUMB: f64 = 1e-6;

/// A place on a chain: which segment, and its parameter.
pub(crate) type At = (usize, f64);

/// How two strips are joined: where the first is cut, what comes between, where the second is cut.
#[derive(Clone, Debug, Default)]
pub(crate) struct Joint {
    /// Where the first strip ends, if not at its end.
    pub(crate) first: Option<At>,
    /// Straight or curved stretches from there to the second; gaps are closed straight.
    pub(crate) between: Vec<Segment>,
    /// Where the second strip begins, if not at its beginning.
    pub(crate) second: Option<At>,
}

/// One side of a corner, walked away from it.
struct Side {
    /// The cutting line, walked away from the corner.
    path: Vec<Segment>,
    /// The direction of the stitching line away from the corner.
    way: Vector,
    /// Square to that, out of the piece.
    out: Vector,
    /// The allowance at the corner.
    width: f64,
    /// How far along its path it has to do with the corner.
    reach: f64,
}

/// Where a line leaves one side of a corner.
struct Hit {
    at: Point,
    /// On the side itself, or on its straight prolongation over the corner.
    cut: Option<At>,
}

impl Side {
    fn start(&self) -> Point {
        self.path[0].from()
    }

    /// Whether a place of its `k`th stretch is near enough to the corner to have to do with it: the far
    /// end of an edge that nearly closes a ring has not.
    fn is_near(&self, k: usize, p: Point) -> bool {
        let before: f64 = self.path[..k]
            .iter()
            .map(|s| (s.to() - s.from()).size())
            .sum();
        before + (p - self.path[k].from()).size() <= self.reach
    }

    /// The line carried on straight over the corner, far enough, as a stretch towards its start.
    fn ahead(&self) -> Segment {
        let way = self.path[0].direction(0.0);
        let far = 12.0 * (self.width + LEFT) + 100.0;
        Segment::Line {
            from: self.start() - way * far,
            to: self.start(),
        }
    }

    /// Where this side, or its prolongation, crosses an endless straight line: of the places that
    /// `fits` allows the one nearest to `near`.
    fn cross(
        &self,
        on: Point,
        way: Vector,
        near: Point,
        fits: impl Fn(Point) -> bool,
    ) -> Option<Hit> {
        let mut best: Option<(f64, Hit)> = None;
        let mut offer = |at: Point, cut: Option<At>| {
            let away = (at - near).size();
            if fits(at) && best.as_ref().is_none_or(|b| away < b.0) {
                best = Some((away, Hit { at, cut }));
            }
        };
        let ahead = self.ahead();
        for t in ahead.crossings_straight(on, way) {
            offer(ahead.point(t), None);
        }
        for (k, segment) in self.path.iter().enumerate() {
            for t in segment.crossings_straight(on, way) {
                let p = segment.point(t);
                if self.is_near(k, p) {
                    offer(p, Some((k, t)));
                }
            }
        }
        best.map(|b| b.1)
    }

    /// The first place of a run at which it meets this side or its prolongation.
    fn first_met(&self, run: &[Segment]) -> Option<(At, Hit)> {
        let ahead = self.ahead();
        for (i, stretch) in run.iter().enumerate() {
            let mut best: Option<(f64, Hit)> = None;
            let mut offer = |t: f64, cut: Option<At>| {
                if best.as_ref().is_none_or(|b| t < b.0) {
                    let at = stretch.point(t);
                    best = Some((t, Hit { at, cut }));
                }
            };
            for (t, _) in stretch.crossings(&ahead) {
                offer(t, None);
            }
            for (k, segment) in self.path.iter().enumerate() {
                for (t, u) in stretch.crossings(segment) {
                    if self.is_near(k, segment.point(u)) {
                        offer(t, Some((k, u)));
                    }
                }
            }
            if let Some((t, hit)) = best {
                return Some(((i, t), hit));
            }
        }
        None
    }

    /// What lies beyond a place of it, carried on straight at the far end.
    fn beyond(&self, hit: &Hit) -> Vec<Segment> {
        let mut out = Vec::new();
        // A crumb has no direction of its own: at a square corner the place is the start itself.
        let mut keep = |s: Segment| {
            if (s.to() - s.from()).size() > CRUMB {
                out.push(s);
            }
        };
        match hit.cut {
            None => {
                keep(Segment::Line {
                    from: hit.at,
                    to: self.start(),
                });
                out.extend(&self.path);
            }
            Some((k, t)) => {
                if t < 1.0 {
                    keep(self.path[k].part(t, 1.0));
                }
                out.extend(&self.path[k + 1..]);
            }
        }
        if let Some(last) = self.path.last() {
            let far = 12.0 * (self.width + LEFT) + 100.0;
            out.push(Segment::Line {
                from: last.to(),
                to: last.to() + last.direction(1.0) * far,
            });
        }
        out
    }
}

/// Joins the strip of one edge to that of the next.
pub(crate) fn join(first: &Strip, second: &Strip, styles: (Corner, Corner)) -> Joint {
    let corner = first.ends.1.to();
    let (v, w) = (first.ends.1.direction(1.0), second.ends.0.direction(0.0));
    let wide = first.widths.1.max(second.widths.0);
    match (first.fold, second.fold) {
        (true, true) => return Joint::default(),
        (false, true) => {
            if let Some(joint) = to_fold(&arriving(first, wide), &leaving(second, wide), corner) {
                return facing(joint, first);
            }
        }
        (true, false) => {
            if let Some(joint) = to_fold(&leaving(second, wide), &arriving(first, wide), corner) {
                return facing(turned(&joint), first);
            }
        }
        (false, false) => {}
    }
    let turn = v.angle_to(w).in_degrees();
    let carried = |reach: f64| {
        let (Some(before), Some(after)) = (first.run.last(), second.run.first()) else {
            return Joint::default();
        };
        let through = bridge(&before.0, corner, &after.0, reach);
        Joint {
            between: straights(before.0.to(), &through),
            ..Joint::default()
        }
    };
    if !(LEAST_TURN..=MOST_TURN).contains(&turn) || !first.clear.1 || !second.clear.0 {
        return carried(2.0 * wide);
    }
    let shaped = match told(first, second, styles) {
        Told::Extended => None,
        Told::Bevelled => return carried(wide),
        Told::Mitred => mitred(&arriving(first, wide), &leaving(second, wide), corner),
        Told::First(style) => ended(
            style,
            &arriving(first, wide),
            &leaving(second, wide),
            corner,
        ),
        Told::Second(style) => ended(
            style,
            &leaving(second, wide),
            &arriving(first, wide),
            corner,
        )
        .map(|joint| turned(&joint)),
    };
    shaped.map_or_else(|| carried(2.0 * wide), |joint| facing(joint, first))
}

/// Which side of a corner has a say, and what.
enum Told {
    Extended,
    Bevelled,
    Mitred,
    First(Corner),
    Second(Corner),
}

/// Of two styles at one corner: a cut that takes both sides goes first; the sides of a hem mirror the
/// seam when either asks for it; else the arriving edge has its way before the leaving one.
fn told(first: &Strip, second: &Strip, styles: (Corner, Corner)) -> Told {
    let is = |style: Corner| styles.0 == style || styles.1 == style;
    if is(Corner::Bevelled) {
        return Told::Bevelled;
    }
    if is(Corner::Mitred) {
        return Told::Mitred;
    }
    if is(Corner::Reflected) && first.hem != second.hem {
        return if first.hem {
            Told::First(Corner::Reflected)
        } else {
            Told::Second(Corner::Reflected)
        };
    }
    match styles {
        (Corner::Extended, Corner::Extended) => Told::Extended,
        (Corner::Extended, style) => Told::Second(style),
        (style, Corner::Extended) => Told::First(style),
        (_, style) if second.hem && !first.hem => Told::Second(style),
        (style, _) => Told::First(style),
    }
}

fn arriving(strip: &Strip, wide: f64) -> Side {
    let way = -strip.ends.1.direction(1.0);
    Side {
        path: strip.run.iter().rev().map(|s| s.0.reversed()).collect(),
        way,
        out: way.right(),
        width: strip.widths.1,
        reach: 12.0 * wide + 1.0,
    }
}

fn leaving(strip: &Strip, wide: f64) -> Side {
    let way = strip.ends.0.direction(0.0);
    Side {
        path: strip.run.iter().map(|s| s.0).collect(),
        way,
        out: way.left(),
        width: strip.widths.0,
        reach: 12.0 * wide + 1.0,
    }
}

/// A joint worked from the second strip to the first, told from the first to the second.
fn turned(joint: &Joint) -> Joint {
    Joint {
        first: joint.second,
        between: joint.between.iter().rev().map(Segment::reversed).collect(),
        second: joint.first,
    }
}

/// A joint worked with both sides walked away from the corner, told with the first walked towards it.
fn facing(joint: Joint, first: &Strip) -> Joint {
    Joint {
        first: joint.first.map(|(k, t)| (first.run.len() - 1 - k, 1.0 - t)),
        ..joint
    }
}

/// Straight stretches from a point through others.
fn straights(from: Point, through: &[Point]) -> Vec<Segment> {
    let mut here = from;
    let mut out = Vec::with_capacity(through.len());
    for p in through {
        if *p != here {
            out.push(Segment::Line { from: here, to: *p });
            here = *p;
        }
    }
    out
}

/// A cutting line ends on the fold line, carried on straight to it or cut off by it; from there the
/// way goes along the fold to the corner.
fn to_fold(side: &Side, fold: &Side, corner: Point) -> Option<Joint> {
    let off = |p: Point| (p - corner).dot(fold.out);
    let start = side.start();
    if off(start) > 1e-9 {
        // It runs over the fold: cut where it first comes back.
        for (k, segment) in side.path.iter().enumerate() {
            if let Some(t) = segment.crossings_straight(corner, fold.way).first() {
                return Some(on_fold(segment.point(*t), Some((k, *t)), fold, corner));
            }
        }
        return None;
    }
    let way = side.path[0].direction(0.0);
    let reached = meet(start, way, corner, fold.way).filter(|p| {
        let ahead = (start - *p).dot(way);
        (-1e-9..=8.0 * side.width + 1.0).contains(&ahead)
    });
    let at = reached.unwrap_or_else(|| start - fold.out * off(start));
    let mut joint = on_fold(at, None, fold, corner);
    joint.between.splice(0..0, straights(start, &[at]));
    Some(joint)
}

fn on_fold(at: Point, cut: Option<At>, fold: &Side, corner: Point) -> Joint {
    let along = (at - corner).dot(fold.way);
    let mut joint = Joint {
        first: cut,
        ..Joint::default()
    };
    if along <= 1e-6 {
        joint.between = straights(at, &[corner]);
    } else {
        // The cutting line meets the fold inside its length.
        let mut best: Option<(f64, At)> = None;
        for (k, segment) in fold.path.iter().enumerate() {
            for t in segment.crossings_straight(at, fold.out) {
                let away = (segment.point(t) - at).size();
                if best.is_none_or(|b| away < b.0) {
                    best = Some((away, (k, t)));
                }
            }
        }
        joint.second = best.map(|b| b.1);
    }
    joint
}

/// The end of one side by its style; the other side is carried on over the corner as far as the
/// stitching line of this one.
fn ended(style: Corner, this: &Side, other: &Side, corner: Point) -> Option<Joint> {
    if this.width < 1e-6 {
        return None;
    }
    let over = |p: Point| (p - corner).dot(this.way) < 1e-9;
    match style {
        Corner::Reflected | Corner::Squared => {
            let foot = other.cross(corner, this.way, corner, over)?;
            // Turns of 20 to 150 degrees keep the foot within three widths.
            if (foot.at - corner).size() > 4.0 * other.width + 1.0 {
                return None;
            }
            let straight = |way: Vector| {
                vec![Segment::Line {
                    from: foot.at,
                    to: foot.at + way * (8.0 * this.width + 100.0),
                }]
            };
            if style == Corner::Squared {
                return end_along(&straight(this.out), &foot, this, other);
            }
            let mirror = Motion::reflect(corner, this.way);
            let beyond = other.beyond(&foot);
            let turned: Vec<Segment> = beyond.iter().map(|s| s.moved(&mirror)).collect();
            end_along(&turned, &foot, this, other).or_else(|| {
                // A neighbour that bends away too soon is turned over as if it were straight.
                let way = mirror.vector(beyond.first()?.direction(0.0));
                end_along(&straight(way), &foot, this, other)
            })
        }
        Corner::Stepped => {
            let height = |p: Point| (p - corner).dot(this.out);
            let least = LEFT.min(this.width * 0.5);
            let wall = other.cross(corner, this.out, corner, |p| {
                height(p) >= least && height(p) <= this.width
            });
            if let Some(wall) = wall {
                let mut between = straights(this.start(), &[wall.at]);
                between.extend(back(other, &wall));
                return Some(Joint {
                    first: None,
                    between,
                    second: wall.cut,
                });
            }
            let low = corner + this.out * least;
            let foot = other.cross(low, this.way, low, over)?;
            let mut between = straights(this.start(), &[low, foot.at]);
            between.extend(back(other, &foot));
            Some(Joint {
                first: None,
                between,
                second: foot.cut,
            })
        }
        _ => None,
    }
}

/// A strip's end along a given run from a foot on the stitching line's prolongation; `None` when it
/// does not lead straight enough out to the strip's edge.
fn end_along(end: &[Segment], foot: &Hit, this: &Side, other: &Side) -> Option<Joint> {
    let ((i, t), hit) = this.first_met(end)?;
    let mut wall: Vec<Segment> = end[..i].to_vec();
    if t > 0.0 {
        wall.push(end[i].part(0.0, t));
    }
    let leads_out = wall.iter().all(|s| {
        [0.0, 0.5, 1.0]
            .into_iter()
            .all(|t| s.direction(t).dot(this.out) > 0.1)
    });
    let aside = (hit.at - foot.at).dot(this.way).abs();
    if !leads_out || aside > 4.0 * this.width + 1.0 {
        return None;
    }
    let mut between = prolonged(this, &hit);
    between.extend(wall.iter().rev().map(Segment::reversed));
    between.extend(back(other, foot));
    Some(Joint {
        first: hit.cut,
        between,
        second: foot.cut,
    })
}

/// From a side's start over its prolongation to where it is left.
fn prolonged(side: &Side, hit: &Hit) -> Vec<Segment> {
    if hit.cut.is_none() {
        straights(side.start(), &[hit.at])
    } else {
        Vec::new()
    }
}

/// From a place on a side's prolongation back to its start.
fn back(side: &Side, hit: &Hit) -> Vec<Segment> {
    if hit.cut.is_none() {
        straights(hit.at, &[side.start()])
    } else {
        Vec::new()
    }
}

/// Both sides end where they meet each other when they are turned in and the corner is folded along
/// its bisector, with a little left to sew them by.
fn mitred(first: &Side, second: &Side, corner: Point) -> Option<Joint> {
    let tip = meet(
        corner + first.out * first.width,
        first.way,
        corner + second.out * second.width,
        second.way,
    )?;
    let out = (tip - corner).unit()?;
    let left = MITRE.min(first.width * 0.5).min(second.width * 0.5);
    if left < 1e-6 {
        return None;
    }
    // Where the two turned-in strips meet, seen inside, turned out again over each stitching line.
    let line = |side: &Side| {
        let way = side.way * (-2.0 * out.dot(side.way)) + out;
        let square = if way.left().dot(out) > 0.0 {
            way.left()
        } else {
            way.right()
        };
        (corner + square * left, way)
    };
    let ((on1, way1), (on2, way2)) = (line(first), line(second));
    let outside = |side: &Side, p: Point| (p - corner).dot(side.out) > 0.0;
    let one = first.cross(on1, way1, corner, |p| outside(first, p))?;
    let two = second.cross(on2, way2, corner, |p| outside(second, p))?;
    let mut between = prolonged(first, &one);
    let through: Vec<Point> = meet(on1, way1, on2, way2)
        .into_iter()
        .chain([two.at])
        .collect();
    between.extend(straights(one.at, &through));
    between.extend(back(second, &two));
    Some(Joint {
        first: one.cut,
        between,
        second: two.cut,
    })
}

#[cfg(test)]
mod tests;
