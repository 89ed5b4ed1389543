//! The frame of a sheet: the part of it that is seen, the same at every step, so that nothing jumps;
//! a long plain stretch of a tall sheet is taken out.

use draft::worked::{Drawn, Shape};
use measure::{Length, Point};

/// A drawing is at most so wide and so high, in units, letters left out.
const WIDE: f64 = 330.0;
const HIGH: f64 = 400.0;
/// Left of the drawing for the names of levels, and round it.
const NAMES: f64 = 104.0;
const AROUND: f64 = 30.0;
/// A sheet more than so many times as tall as wide has a stretch taken out, if it has a plain one.
const TALL: f64 = 1.9;
/// What is left of a plain stretch above and below the break in it, in mm.
const LEFT: f64 = 50.0;
/// A stretch shorter than this, in mm, is not worth a break.
const WORTH: f64 = 160.0;
/// The gap of a break, in units.
const GAP: f64 = 16.0;
/// A ruling farther than this from all that is drawn is not worth the paper, in mm.
const NEAR: f64 = 60.0;
/// A chord this near the line is the line, in mm.
pub(super) const CHORD: f64 = 0.25;

/// What is seen of a sheet, and at what size.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    /// The part that is seen, in mm of the sheet.
    x0: f64,
    y0: f64,
    x1: f64,
    y1: f64,
    /// What is taken out, in mm down the sheet.
    out: Option<(f64, f64)>,
    /// So many units are a millimetre.
    pub(super) k: f64,
}

impl Frame {
    /// The frame of all that is ever drawn on a sheet.
    pub(super) fn of(things: &[&Drawn]) -> Self {
        let mut seen = Self {
            x0: f64::MAX,
            y0: f64::MAX,
            x1: f64::MIN,
            y1: f64::MIN,
            out: None,
            k: 1.0,
        };
        for thing in things {
            match &thing.shape {
                Shape::Point(p) => seen.take(*p),
                Shape::Line {
                    curve, edge: true, ..
                } => {
                    let (low, high) = curve.bounds();
                    seen.take(low);
                    seen.take(high);
                }
                Shape::Dart { mouth, tip, .. } => {
                    for p in [mouth.0, mouth.1, *tip] {
                        seen.take(p);
                    }
                }
                Shape::Level(_) | Shape::Upright(_) | Shape::Line { .. } => {}
            }
        }
        if seen.x0 > seen.x1 {
            // Nothing but rulings or lines that help.
            (seen.x0, seen.y0, seen.x1, seen.y1) = (0.0, 0.0, 1.0, 1.0);
            for thing in things {
                match &thing.shape {
                    Shape::Level(y) => seen.take(Point::new(0.0, *y)),
                    Shape::Upright(x) => seen.take(Point::new(*x, 0.0)),
                    Shape::Line { curve, .. } => {
                        seen.take(curve.start());
                        seen.take(curve.end());
                    }
                    _ => {}
                }
            }
        }
        let grown = seen.clone();
        for thing in things {
            match &thing.shape {
                Shape::Level(y) if *y > grown.y0 - NEAR && *y < grown.y1 + NEAR => {
                    seen.take(Point::new(seen.x0, *y));
                }
                Shape::Upright(x) if *x > grown.x0 - NEAR && *x < grown.x1 + NEAR => {
                    seen.take(Point::new(*x, seen.y0));
                }
                _ => {}
            }
        }
        // A band of a few inches would be drawn as large as a skirt.
        let (wide, high) = (
            (seen.x1 - seen.x0).max(120.0),
            (seen.y1 - seen.y0).max(120.0),
        );
        seen.x1 = seen.x1.max(seen.x0 + wide);
        if high > wide * TALL {
            seen.out = plain(things, seen.y0, seen.y1).and_then(|(from, to)| {
                let (from, to) = (from + LEFT, to - LEFT);
                // No more is taken out than makes the drawing as broad as the room.
                let most = (high - wide * HIGH / WIDE).max(0.0);
                let many = (to - from).min(most);
                let middle = f64::midpoint(from, to);
                (many > WORTH).then_some((middle - many / 2.0, middle + many / 2.0))
            });
        }
        let left = high - seen.out.map_or(0.0, |(a, b)| b - a);
        let gap = if seen.out.is_some() { GAP } else { 0.0 };
        seen.k = ((HIGH - gap) / left).min(WIDE / wide);
        seen
    }

    fn take(&mut self, p: Point) {
        self.x0 = self.x0.min(p.x);
        self.y0 = self.y0.min(p.y);
        self.x1 = self.x1.max(p.x);
        self.y1 = self.y1.max(p.y);
    }

    /// Where x and y of the sheet lie in the drawing.
    pub(super) fn x(&self, x: f64) -> f64 {
        NAMES + (x - self.x0) * self.k
    }

    /// See `x`. What is taken out lies in the gap.
    pub(super) fn y(&self, y: f64) -> f64 {
        let down = match self.out {
            Some((_, to)) if y >= to => (y - self.y0 - self.gone()) * self.k + GAP,
            Some((from, to)) if y > from => {
                (from - self.y0) * self.k + GAP * (y - from) / (to - from)
            }
            _ => (y - self.y0) * self.k,
        };
        AROUND + down
    }

    fn gone(&self) -> f64 {
        self.out.map_or(0.0, |(a, b)| b - a)
    }

    /// Where a point of the sheet lies in the drawing.
    pub(super) fn put(&self, p: Point) -> Point {
        Point::new(self.x(p.x), self.y(p.y))
    }

    /// From where to where, in units, things are drawn: left, top, right, bottom.
    pub(super) fn inner(&self) -> (f64, f64, f64, f64) {
        (
            self.x(self.x0),
            self.y(self.y0),
            self.x(self.x1),
            self.y(self.y1),
        )
    }

    /// Width and height of the drawing with its names.
    pub(super) fn size(&self) -> (f64, f64) {
        let (_, _, right, bottom) = self.inner();
        (right + AROUND * 1.6, bottom + AROUND)
    }

    /// The gap of the break, in units: from where to where.
    pub(super) fn gap(&self) -> Option<(f64, f64)> {
        self.out.map(|(from, to)| (self.y(from), self.y(to)))
    }

    /// A chain of points of the sheet as it is seen: cut where a stretch is taken out.
    pub(super) fn chains(&self, points: &[Point]) -> Vec<Vec<Point>> {
        let Some((from, to)) = self.out else {
            return vec![points.iter().map(|p| self.put(*p)).collect()];
        };
        let mut out: Vec<Vec<Point>> = Vec::new();
        let mut open: Vec<Point> = Vec::new();
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                let before = points[i - 1];
                // Where the chord passes the edges of the gap, the nearer first.
                let mut passes: Vec<f64> = [from, to]
                    .into_iter()
                    .filter(|y| (before.y - y) * (p.y - y) < 0.0)
                    .map(|y| (y - before.y) / (p.y - before.y))
                    .collect();
                passes.sort_by(f64::total_cmp);
                for t in passes {
                    open.push(self.put(before.toward(*p, t)));
                    // On the one side it ends here, on the other it begins.
                    let next = vec![self.put(before.toward(*p, t))];
                    out.push(std::mem::replace(&mut open, next));
                }
            }
            open.push(self.put(*p));
        }
        out.push(open);
        let (top, foot) = (self.y(from), self.y(to));
        // What lies in the gap is not seen.
        out.retain(|chain| {
            chain.len() > 1 && !chain.iter().all(|p| p.y > top - 1e-6 && p.y < foot + 1e-6)
        });
        out
    }
}

/// The tallest stretch of a sheet in which nothing is but straight lines: from where to where.
fn plain(things: &[&Drawn], y0: f64, y1: f64) -> Option<(f64, f64)> {
    let mut busy: Vec<(f64, f64)> = vec![(y0, y0), (y1, y1)];
    for thing in things {
        match &thing.shape {
            Shape::Level(y) => busy.push((*y, *y)),
            Shape::Point(p) => busy.push((p.y, p.y)),
            Shape::Dart { mouth, tip, .. } => {
                let ys = [mouth.0.y, mouth.1.y, tip.y];
                busy.push((
                    ys.iter().copied().fold(f64::MAX, f64::min),
                    ys.iter().copied().fold(f64::MIN, f64::max),
                ));
            }
            Shape::Line { curve, .. } => {
                // Long chords are straight parts, short ones a bend.
                let points = curve.flatten(Length::mm(CHORD));
                for pair in points.windows(2) {
                    let (a, b) = (pair[0].y.min(pair[1].y), pair[0].y.max(pair[1].y));
                    if b - a < 60.0 {
                        busy.push((a, b));
                    } else {
                        busy.push((a, a));
                        busy.push((b, b));
                    }
                }
            }
            Shape::Upright(_) => {}
        }
    }
    busy.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best: Option<(f64, f64)> = None;
    let mut reached = y0;
    for (from, to) in busy {
        if from - reached > best.map_or(0.0, |(a, b)| b - a) {
            best = Some((reached, from));
        }
        reached = reached.max(to);
    }
    best
}
