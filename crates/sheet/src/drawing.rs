//! The drawing list: strokes with a pen, filled shapes and set letters, each on its layer, in true
//! millimetres with y down.

use measure::{Angle, Point, Segment, Vector};

use crate::face::Lettering;
use crate::number::{count, real};
use crate::quad::Rect;

/// What can be shown or hidden together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Layer {
    Cutting,
    Stitching,
    Grain,
    Balance,
    Notches,
    Text,
    /// The lines and points of the draft.
    Construction,
    Sheet,
    /// Pages without a pattern on them have no layers.
    Plain,
}

impl Layer {
    /// The layers in the order in which files list them.
    pub(crate) const ALL: [Self; 8] = [
        Self::Cutting,
        Self::Stitching,
        Self::Grain,
        Self::Balance,
        Self::Notches,
        Self::Text,
        Self::Construction,
        Self::Sheet,
    ];
}

/// What a line is drawn with: a width, and a dash pattern with the place in it where it begins.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Pen {
    pub(crate) width: f64,
    pub(crate) dash: Vec<f64>,
    pub(crate) phase: f64,
}

impl Pen {
    pub(crate) const fn solid(width: f64) -> Self {
        Self {
            width,
            dash: Vec::new(),
            phase: 0.0,
        }
    }
}

/// One step of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Step {
    Move(Point),
    Line(Point),
    Cubic(Point, Point, Point),
    Close,
}

impl Step {
    fn shifted(self, by: Vector) -> Self {
        match self {
            Self::Move(p) => Self::Move(p + by),
            Self::Line(p) => Self::Line(p + by),
            Self::Cubic(a, b, c) => Self::Cubic(a + by, b + by, c + by),
            Self::Close => Self::Close,
        }
    }
}

/// A shape to be stroked or filled.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Shape {
    /// Kept apart, so that it stays exactly a rectangle in the file.
    Rect(Rect),
    Path(Vec<Step>),
}

impl Shape {
    pub(crate) fn line(points: &[Point]) -> Self {
        Self::Path(
            points
                .iter()
                .enumerate()
                .map(|(i, p)| {
                    if i == 0 {
                        Step::Move(*p)
                    } else {
                        Step::Line(*p)
                    }
                })
                .collect(),
        )
    }

    pub(crate) fn closed(points: &[Point]) -> Self {
        let mut steps = match Self::line(points) {
            Self::Path(steps) => steps,
            Self::Rect(_) => Vec::new(),
        };
        steps.push(Step::Close);
        Self::Path(steps)
    }

    /// Segments that follow each other, in one stroke.
    pub(crate) fn segments(segments: &[Segment]) -> Self {
        let mut steps = Vec::with_capacity(segments.len() + 1);
        for s in segments {
            if steps.is_empty() {
                steps.push(Step::Move(s.from()));
            }
            steps.push(match *s {
                Segment::Line { to, .. } => Step::Line(to),
                Segment::Cubic { c1, c2, to, .. } => Step::Cubic(c1, c2, to),
            });
        }
        Self::Path(steps)
    }

    /// A circle of four cubics, right to 0.03 % of its radius.
    pub(crate) fn circle(centre: Point, radius: f64) -> Self {
        let spokes = [
            Vector::new(radius, 0.0),
            Vector::new(0.0, radius),
            Vector::new(-radius, 0.0),
            Vector::new(0.0, -radius),
        ];
        let k = 0.552_284_75;
        let mut steps = vec![Step::Move(centre + spokes[0])];
        for i in 0..4 {
            let (a, b) = (spokes[i], spokes[(i + 1) % 4]);
            steps.push(Step::Cubic(
                centre + a + b * k,
                centre + b + a * k,
                centre + b,
            ));
        }
        steps.push(Step::Close);
        Self::Path(steps)
    }

    #[must_use]
    pub(crate) fn shifted(&self, by: Vector) -> Self {
        match self {
            Self::Rect(r) => Self::Rect(r.shifted(by)),
            Self::Path(steps) => Self::Path(steps.iter().map(|s| s.shifted(by)).collect()),
        }
    }

    /// Chains of chords within a tenth of a millimetre, for finding out what lies where.
    pub(crate) fn chords(&self) -> Vec<Vec<Point>> {
        self.chains(0.1)
    }

    /// Chains of chords that lie no farther than `off` millimetres from the shape.
    pub(crate) fn chains(&self, off: f64) -> Vec<Vec<Point>> {
        let steps = match self {
            Self::Rect(r) => {
                let c = r.corners();
                return vec![vec![c[0], c[1], c[2], c[3], c[0]]];
            }
            Self::Path(steps) => steps,
        };
        let mut chains: Vec<Vec<Point>> = Vec::new();
        for step in steps {
            if let Step::Move(p) = step {
                chains.push(vec![*p]);
                continue;
            }
            let Some(chain) = chains.last_mut() else {
                continue;
            };
            let Some(&here) = chain.last() else { continue };
            match *step {
                Step::Move(_) => {}
                Step::Line(p) => chain.push(p),
                Step::Cubic(a, b, c) => bend(chain, here, (a, b), c, off),
                Step::Close => chain.push(chain[0]),
            }
        }
        chains
    }
}

/// Chords of a cubic, added to a chain that ends at its beginning.
fn bend(chain: &mut Vec<Point>, from: Point, (a, b): (Point, Point), to: Point, off: f64) {
    // The second difference of the handles bounds how far a chord can lie off.
    let d1 = (from - a) + (b - a);
    let d2 = (a - b) + (to - b);
    let most = d1.dot(d1).max(d2.dot(d2)).sqrt();
    let n = count((0.75 * most / off.max(1e-4)).sqrt().ceil()).clamp(1, 4000);
    for i in 1..n {
        let t = real(i) / real(n);
        let u = 1.0 - t;
        let v = (a - from) * (3.0 * u * u * t)
            + (b - from) * (3.0 * u * t * t)
            + (to - from) * (t * t * t);
        chain.push(from + v);
    }
    chain.push(to);
}

/// One entry of the list.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Ink {
    Stroke(Shape, Pen),
    Fill(Shape),
    /// Letters with the beginning of their base line at a point, turned clockwise about it.
    Letters(Lettering, Point, Angle),
}

/// An entry with its layer.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Item {
    pub(crate) layer: Layer,
    /// Drawn inside this window only.
    pub(crate) clip: Option<Rect>,
    pub(crate) ink: Ink,
}

/// What goes on one page.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Drawing {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) items: Vec<Item>,
}
