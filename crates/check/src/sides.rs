//! The four sides of a piece that hangs: its top, its foot and the two sides between.
//!
//! They are found from the ring alone: an edge that is turned up is the foot, and from there the ring
//! turns a corner into each side and another one into the top.

use draft::sided::bare;
use measure::{Point, Vector};
use piece::Role;

use crate::lines::Line;
use crate::seen::Part;

/// Two edges that meet inside an angle smaller than this, in degrees, make a corner of the piece.
const CORNER: f64 = 125.0;
/// The way of a side is taken over this much of it on either hand, in millimetres.
const WAY: f64 = 6.0;

/// One side of a piece: the edges in the order in which they are walked.
#[derive(Clone, Debug)]
pub struct Run {
    /// The edges, as places in [`Part::edges`].
    pub edges: Vec<usize>,
    /// Walked from the top down, or from left to right.
    pub line: Line,
}

/// A piece by its sides, seen right side up: the left is on the left when its foot is below.
#[derive(Clone, Debug)]
pub struct Sides {
    /// The top; without edges on a godet, which ends in a point.
    pub top: Run,
    /// The left side, from the top down.
    pub left: Run,
    /// The right side, from the top down.
    pub right: Run,
    /// The foot, from left to right.
    pub foot: Run,
    /// How far the top turns, in degrees: a part of a circle turns as far as the part is.
    turn: f64,
    /// The old fold of a whole that was opened out because its halves differ, from the top down, and how
    /// far the top turns left and right of it: it is measured half by half, as it was before.
    centre: Option<(Line, f64, f64)>,
}

impl Sides {
    /// The sides of a piece; nothing for one without a foot, or whose ring has other than four corners
    /// (three for a godet).
    pub fn of(part: &Part<'_>) -> Option<Self> {
        Self::with_foot(part, |edge| {
            part.edges[edge].edge.role == Role::Hem && !hangs_below(part, edge)
        })
    }

    /// The same with the foot told.
    pub fn with_foot(part: &Part<'_>, is_foot: impl Fn(usize) -> bool) -> Option<Self> {
        let n = part.edges.len();
        let first = (0..n).find(|i| is_foot(*i) && !is_foot((i + n - 1) % n))?;
        // From the first edge of the foot round the ring, broken at the corners.
        let mut runs: Vec<Vec<usize>> = Vec::new();
        for k in 0..n {
            let edge = (first + k) % n;
            let before = (edge + n - 1) % n;
            let within_foot = k > 0 && is_foot(edge) && is_foot(before);
            let turns = k > 0 && is_foot(edge) != is_foot(before);
            if k == 0 || turns || (!within_foot && part.corner(edge, true) < CORNER) {
                runs.push(Vec::new());
            }
            runs.last_mut()?.push(edge);
        }
        // Walked clockwise, after the foot comes the left side, walked up.
        let (foot, left, top, right) = match runs.as_slice() {
            [foot, left, top, right] => (foot, left, top.clone(), right),
            [foot, left, right] => (foot, left, Vec::new(), right),
            _ => return None,
        };
        let top_line = if top.is_empty() {
            Line::through(vec![part.edges[*right.first()?].line.start()])
        } else {
            line(part, &top, false)
        };
        let turn = -turning(&top_line);
        let centre =
            opened_at(part, &top)
                .zip(opened_at(part, foot))
                .map(|((at, above), (_, below))| {
                    let turn = |edges: &[usize]| -turning(&line(part, edges, false));
                    let fold = Line::through(vec![above, below]);
                    (fold, turn(&top[..at]), turn(&top[at..]))
                });
        Some(Self {
            top: Run {
                line: top_line,
                edges: top,
            },
            left: run(part, left, true),
            right: run(part, right, false),
            foot: run(part, foot, true),
            turn,
            centre,
        })
    }

    /// How far down the shorter of its sides reaches, in millimetres.
    pub fn deep(&self) -> f64 {
        let sides = self.left.line.length().min(self.right.line.length());
        let centre = self.centre.as_ref().map(|c| c.0.length());
        centre.map_or(sides, |c| c.min(sides))
    }

    /// How wide it is so far below its top, in millimetres: across from side to side on an arc that
    /// meets both alike, as the cloth lies round a cone. Exact for straight sides, flat or part of a
    /// circle; where a side curves the arc stands off the level by less than 1 part in 200. Where the
    /// top of one side lies higher than that of the other, so does the place on it.
    pub fn across(&self, below: f64) -> Option<f64> {
        if below < 0.0 || below > self.deep() {
            return None;
        }
        let (left, right) = (&self.left.line, &self.right.line);
        match &self.centre {
            None => between(left, right, self.turn, below),
            Some((centre, one, two)) => {
                Some(between(left, centre, *one, below)? + between(centre, right, *two, below)?)
            }
        }
    }
}

/// How wide it is so far below its top from one line to another, between which the top turns so far.
fn between(left: &Line, right: &Line, turn: f64, below: f64) -> Option<f64> {
    let (a, b) = (left.at(below), right.at(below));
    let apart = (b - a).size();
    let mut spread = way(right, below)?.angle_to(way(left, below)?).in_degrees();
    while spread < turn - 180.0 {
        spread += 360.0;
    }
    while spread > turn + 180.0 {
        spread -= 360.0;
    }
    let half = (spread / 2.0).to_radians();
    if half.abs() < 1e-6 {
        return Some(apart);
    }
    let sine = measure::angle::sin(half);
    (spread.abs() < 355.0 && sine.abs() > 1e-3).then(|| apart * half / sine)
}

/// Where in a run her left and her right of a whole meet that was opened out: the edge that begins there,
/// and the point.
fn opened_at(part: &Part<'_>, run: &[usize]) -> Option<(usize, Point)> {
    let side = |edge: usize| bare(part.edges[edge].name()).1;
    let at = (1..run.len()).find(|i| side(run[i - 1]) != side(run[*i]))?;
    Some((at, part.edges[run[at]].line.start()))
}

/// Which way a side runs at a place of it.
fn way(line: &Line, at: f64) -> Option<Vector> {
    line.toward((at - WAY).max(0.0), (at + WAY).min(line.length()))
}

fn run(part: &Part<'_>, edges: &[usize], backward: bool) -> Run {
    Run {
        line: line(part, edges, backward),
        edges: edges.to_vec(),
    }
}

/// The line along edges that follow each other in the ring, or the same from its end.
fn line(part: &Part<'_>, edges: &[usize], backward: bool) -> Line {
    let mut points: Vec<Point> = Vec::new();
    for edge in edges {
        let own = part.edges[*edge].line.points();
        points.extend(own.iter().skip(usize::from(!points.is_empty())));
    }
    if backward {
        points.reverse();
    }
    Line::through(points)
}

/// How far a line turns from its beginning to its end, clockwise, in degrees.
fn turning(line: &Line) -> f64 {
    let ways: Vec<Vector> = line
        .points()
        .windows(2)
        .filter_map(|w| (w[1] - w[0]).unit())
        .collect();
    ways.windows(2)
        .map(|w| w[0].angle_to(w[1]).in_degrees())
        .sum()
}

/// Whether a level edge has the piece below it: the upper edge of a band may be turned in like a hem,
/// and is none of the garment's.
pub fn hangs_below(part: &Part<'_>, edge: usize) -> bool {
    let line = &part.edges[edge].line;
    let (a, b) = (line.start(), line.end());
    let middle = line.at(line.length() / 2.0);
    let level = (b.y - a.y).abs() < 0.1 * (b.x - a.x).abs();
    level && inside(&part.ring(), Point::new(middle.x, middle.y + 1.0))
}

/// Whether a point lies inside a closed line.
pub fn inside(ring: &[Point], p: Point) -> bool {
    let mut inside = false;
    for w in ring.windows(2) {
        let (a, b) = (w[0], w[1]);
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
    }
    inside
}
