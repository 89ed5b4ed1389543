//! A piece as it is drawn: its lines in its own millimetres, before any sheet is thought of.

use measure::{Curve, Length, Point, Segment, Vector};
use piece::{Edge, Piece, Role};

use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::long_check::LongCheck;
use crate::order::{Leave, SheetFault, SheetPiece};
use crate::page::{Bit, head};
use crate::quad::Rect;

/// Rings serve to find out what lies where: chords may lie so far off.
const CHORD: f64 = 0.1;
/// A snip is an eighth of an inch deep.
const SNIP: f64 = 3.175;
/// Snips that belong together stand so far apart.
const APART: f64 = 3.2;
/// The fold bracket stands so far inside.
const BRACKET: f64 = 11.0;
/// The awl dot is half an inch short of the tip of a dart.
const AWL: f64 = 12.7;

/// One line or shape of a piece.
#[derive(Clone, Debug)]
pub(crate) struct Mark {
    pub(crate) layer: Layer,
    pub(crate) shape: Shape,
    /// Without a pen it is filled.
    pub(crate) pen: Option<Pen>,
    pub(crate) bounds: Rect,
}

/// A piece with its lines drawn.
#[derive(Clone, Debug)]
pub(crate) struct Traced<'a> {
    pub(crate) given: &'a SheetPiece,
    /// Its number among the pieces, from 1, and how many there are.
    pub(crate) number: (usize, usize),
    pub(crate) marks: Vec<Mark>,
    /// The cutting line with the fold, as a ring of chords.
    pub(crate) cut_ring: Vec<Point>,
    pub(crate) stitch_ring: Vec<Point>,
    pub(crate) bounds: Rect,
    /// Corners, notches and the long check: joints of sheets keep away from them.
    pub(crate) keen: Vec<Point>,
    /// Snips: where each begins on the cutting line, and where it ends inside.
    pub(crate) snips: Vec<(Point, Point)>,
    /// Folds, from cut edge to cut edge.
    pub(crate) folds: Vec<(Point, Point)>,
    /// Awl dots short of the tips of darts.
    pub(crate) dots: Vec<Point>,
    pub(crate) long: Option<LongCheck>,
    /// All ink, as straight bits.
    pub(crate) bits: Vec<Bit>,
    left_out: &'a [Leave],
}

impl<'a> Traced<'a> {
    /// Draws the lines of a piece; the long check comes later, when all pieces are known.
    pub(crate) fn new(
        given: &'a SheetPiece,
        number: (usize, usize),
        left_out: &'a [Leave],
    ) -> Result<Self, SheetFault> {
        let piece = &given.piece;
        let fault = |f| SheetFault::Piece(piece.name.clone(), f);
        let cutting = piece::cutting_line(piece).map_err(fault)?.curve;
        let outline = piece::stitching_outline(piece).map_err(fault)?.curve;
        let mut cut_ring = cutting.flatten(Length::mm(CHORD));
        cut_ring.pop();
        let mut stitch_ring = outline.flatten(Length::mm(CHORD));
        stitch_ring.pop();
        let mut this = Self {
            given,
            number,
            marks: Vec::new(),
            bounds: Rect::around(cut_ring.iter().chain(&stitch_ring)),
            cut_ring,
            stitch_ring,
            keen: Vec::new(),
            snips: Vec::new(),
            folds: Vec::new(),
            dots: Vec::new(),
            long: None,
            bits: Vec::new(),
            left_out,
        };
        if this.bounds.width() > 20_000.0 || this.bounds.height() > 20_000.0 {
            return Err(SheetFault::TooLarge(piece.name.clone()));
        }
        this.cutting(piece, &cutting);
        for edge in &piece.edges {
            this.edge(piece, edge, &cutting);
        }
        this.darts(piece, &cutting);
        for b in &piece.balance {
            this.straight(Layer::Balance, b.from, b.to, Line::Balance);
            this.keen_along(b.from, b.to);
        }
        for a in &given.alterations {
            this.keen_along(a.from, a.to);
            if let Some(way) = (a.to - a.from).unit() {
                for side in [way.left() * 0.75, way.right() * 0.75] {
                    this.straight(Layer::Balance, a.from + side, a.to + side, Line::Fine);
                }
            }
        }
        this.grain(piece);
        Ok(this)
    }

    fn stroke(&mut self, layer: Layer, shape: Shape, pen: Pen) {
        self.add(layer, shape, Some(pen));
    }

    /// Whether this is not to be drawn.
    pub(crate) fn leaves_out(&self, what: Leave) -> bool {
        self.left_out.contains(&what)
    }

    fn add(&mut self, layer: Layer, shape: Shape, pen: Option<Pen>) {
        let kind = match layer {
            Layer::Cutting => Some(Leave::Cutting),
            Layer::Stitching => Some(Leave::Stitching),
            Layer::Balance => Some(Leave::Levels),
            Layer::Notches => Some(Leave::Notches),
            Layer::Text => Some(Leave::Words),
            Layer::Construction => Some(Leave::Construction),
            // On this layer lies the fold as well: without it a half piece would be open at its side.
            Layer::Grain | Layer::Sheet | Layer::Plain => None,
        };
        if kind.is_some_and(|k| self.leaves_out(k)) {
            return;
        }
        let half = pen.as_ref().map_or(0.0, |p| p.width / 2.0);
        let mut bounds = Rect::EMPTY;
        for chain in shape.chords() {
            bounds = bounds.joined(&Rect::around(&chain));
            self.bits
                .extend(chain.windows(2).map(|w| Bit::new(w[0], w[1], half)));
        }
        self.marks.push(Mark {
            layer,
            shape,
            pen,
            bounds: bounds.grown(half),
        });
    }

    fn straight(&mut self, layer: Layer, from: Point, to: Point, line: Line) {
        let length = (to - from).size();
        if length > 1e-6 {
            self.stroke(layer, Shape::line(&[from, to]), line.pen(length));
        }
    }

    /// The cutting line but for what lies on a fold, and the fold from cut edge to cut edge.
    fn cutting(&mut self, piece: &Piece, cutting: &Curve) {
        let segments = cutting.segments();
        let folds: Vec<&Edge> = piece
            .edges
            .iter()
            .filter(|e| e.role == Role::Fold)
            .collect();
        let folded: Vec<bool> = segments
            .iter()
            .map(|s| folds.iter().any(|f| lies_on(s, f)))
            .collect();
        let n = segments.len();
        let pen = Line::Cutting.pen(1.0);
        let first = (0..n)
            .find(|i| folded[*i] && !folded[(i + n - 1) % n])
            .or_else(|| (0..n).find(|i| folded[*i]));
        let Some(first) = first else {
            let mut shape = Shape::segments(segments);
            if let Shape::Path(steps) = &mut shape {
                steps.push(crate::drawing::Step::Close);
            }
            self.stroke(Layer::Cutting, shape, pen);
            return;
        };
        // Begin where a fold begins, so that every chain is whole.
        let order: Vec<usize> = (0..n).map(|k| (first + k) % n).collect();
        for run in order.chunk_by(|a, b| folded[*a] == folded[*b]) {
            let part: Vec<Segment> = run.iter().map(|i| segments[*i]).collect();
            if folded[run[0]] {
                let (from, to) = (part[0].from(), part[part.len() - 1].to());
                self.folds.push((from, to));
                self.straight(Layer::Grain, from, to, Line::Fold);
            } else {
                self.stroke(Layer::Cutting, Shape::segments(&part), pen.clone());
            }
        }
        for f in folds {
            self.bracket(f);
        }
    }

    /// A bent arrow at each end of a fold.
    fn bracket(&mut self, fold: &Edge) {
        let (a, b) = (fold.curve.start(), fold.curve.end());
        let Some(way) = (b - a).unit() else { return };
        let length = (b - a).size();
        let (from, to) = (a + way * (length * 0.12), b - way * (length * 0.12));
        let deep = BRACKET.min(length / 3.0);
        if deep < 7.0 {
            return;
        }
        let inward = way.right();
        let (f, t) = (from + inward * deep, to + inward * deep);
        let pen = Line::Bracket.pen(1.0);
        self.stroke(
            Layer::Grain,
            Shape::line(&[from + inward * 4.5, f, t, to + inward * 4.5]),
            pen,
        );
        for p in [from, to] {
            self.add(Layer::Grain, head(p + inward * 0.5, -inward), None);
        }
    }

    /// The stitching line of an edge, broken at its notches and darts so that a dash is whole there,
    /// and its notches.
    fn edge(&mut self, piece: &Piece, edge: &Edge, cutting: &Curve) {
        self.keen.push(edge.curve.start());
        if edge.role == Role::Fold {
            return;
        }
        let whole = edge.curve.length();
        let mut stops = vec![Length::ZERO, whole];
        stops.extend(edge.notches.iter().map(|n| n.at));
        for d in piece.darts.iter().filter(|d| d.edge == edge.name) {
            stops.extend([d.mouth.0, d.mouth.1]);
        }
        stops.retain(|s| *s >= Length::ZERO && *s <= whole);
        stops.sort_by(|a, b| a.in_mm().total_cmp(&b.in_mm()));
        let capped = piece
            .edge_index(&edge.name)
            .and_then(|i| piece::capped_curve(piece, i))
            .ok();
        for w in stops.windows(2) {
            let mouth = piece
                .darts
                .iter()
                .any(|d| d.edge == edge.name && w[0] >= d.mouth.0 && w[1] <= d.mouth.1);
            let part = match &capped {
                // Across the mouth of a dart the line follows its cap.
                Some(c) if mouth => {
                    let near = |at: Length| c.nearest(edge.curve.at(at).point).along;
                    c.sub(near(w[0]), near(w[1]))
                }
                _ => edge.curve.sub(w[0], w[1]),
            };
            if let Ok(part) = part {
                let pen = Line::Stitching.pen(part.length().in_mm());
                self.stroke(Layer::Stitching, Shape::segments(part.segments()), pen);
            }
        }
        for notch in &edge.notches {
            let n = notch.snips.clamp(1, 5);
            for i in 0..n {
                let aside = (f64::from(i) - f64::from(n - 1) / 2.0) * APART;
                let at = (notch.at + Length::mm(aside)).max(Length::ZERO).min(whole);
                let place = edge.curve.at(at);
                self.snip(place.point, place.direction.left(), cutting);
            }
            self.keen.push(edge.curve.at(notch.at).point);
        }
    }

    /// A snip at the cutting edge, and a fine line from it to the stitching line.
    fn snip(&mut self, at: Point, out: Vector, cutting: &Curve) {
        let beyond = cutting
            .crossings_straight(at, out)
            .into_iter()
            .map(|(_, p)| (p - at).dot(out))
            .filter(|d| *d > 0.05 && *d < 150.0)
            .fold(f64::INFINITY, f64::min);
        if !beyond.is_finite() {
            // No allowance here: the snip goes in from the edge.
            self.snips.push((at, at - out * SNIP));
            self.straight(Layer::Notches, at, at - out * SNIP, Line::Cutting);
            return;
        }
        let edge = at + out * beyond;
        let deep = SNIP.min(beyond / 2.0);
        self.snips.push((edge, edge - out * deep));
        self.straight(Layer::Notches, edge, edge - out * deep, Line::Cutting);
        self.straight(Layer::Notches, edge - out * deep, at, Line::Fine);
    }

    fn darts(&mut self, piece: &Piece, cutting: &Curve) {
        for dart in &piece.darts {
            let Ok(edge) = piece.edge(&dart.edge) else {
                continue;
            };
            let (a, b) = (
                edge.curve.at(dart.mouth.0).point,
                edge.curve.at(dart.mouth.1).point,
            );
            let middle = a.toward(b, 0.5);
            for m in [a, b] {
                self.straight(Layer::Notches, m, dart.tip, Line::Stitching);
                if let Some(out) = (m - dart.tip).unit() {
                    self.snip(m, out, cutting);
                }
                self.keen.push(m);
            }
            let Some(way) = (dart.tip - middle).unit() else {
                continue;
            };
            let length = (dart.tip - middle).size();
            let dot = dart.tip - way * AWL.min(length / 2.0);
            self.dots.push(dot);
            // The fold of the dart runs from the tip of its cap, which is the stitching line there.
            let head = piece::capped_curve(piece, piece.edge_index(&dart.edge).unwrap_or(0))
                .ok()
                .and_then(|c| {
                    c.crossings_straight(middle, -way)
                        .into_iter()
                        .map(|(_, p)| p)
                        .filter(|p| (*p - middle).size() < length)
                        .min_by(|p, q| (*p - middle).size().total_cmp(&(*q - middle).size()))
                })
                .unwrap_or(middle);
            self.straight(Layer::Notches, head, dot - way * 1.1, Line::Fine);
            self.stroke(Layer::Notches, Shape::circle(dot, 1.1), Line::Fine.pen(1.0));
            self.add(Layer::Notches, Shape::circle(dot, 0.5), None);
            self.keen.push(dart.tip);
        }
    }

    fn grain(&mut self, piece: &Piece) {
        if self.leaves_out(Leave::Grain) {
            return;
        }
        let Some(g) = piece.grain else { return };
        let Some(way) = (g.to - g.from).unit() else {
            return;
        };
        let two = !self.given.one_way;
        // The shaft ends inside the heads, so that their points stay sharp.
        let from = if two { g.from + way * 4.0 } else { g.from };
        self.straight(Layer::Grain, from, g.to - way * 4.0, Line::Grain);
        self.add(Layer::Grain, head(g.to, way), None);
        self.keen_along(g.from, g.to);
        if two {
            self.add(Layer::Grain, head(g.from, -way), None);
        }
    }

    /// A long line wants no joint beside it: words and marks of the joint would have no room.
    fn keen_along(&mut self, from: Point, to: Point) {
        let n = crate::number::count(((to - from).size() / 40.0).ceil()).max(1);
        self.keen.extend(
            (0..=n).map(|i| from.toward(to, crate::number::real(i) / crate::number::real(n))),
        );
    }

    /// Draws the long check.
    pub(crate) fn mark_long(&mut self, long: LongCheck) {
        for p in [long.from, long.to] {
            self.stroke(Layer::Sheet, Shape::circle(p, 4.0), Line::Grain.pen(1.0));
            for v in [Vector::OUTWARD * 6.5, Vector::DOWN * 6.5] {
                self.straight(Layer::Sheet, p - v, p + v, Line::Fine);
            }
            self.keen.push(p);
        }
        self.long = Some(long);
    }

    /// Which way is down the garment on this piece: along the grain, else down the paper.
    pub(crate) fn down(&self) -> Vector {
        self.given
            .piece
            .grain
            .and_then(|g| (g.to - g.from).unit())
            .unwrap_or(Vector::DOWN)
    }
}

/// Whether a stretch of the cutting line lies on a fold, or on the fold carried on into the
/// allowances at its ends.
fn lies_on(segment: &Segment, fold: &Edge) -> bool {
    let (a, b) = (fold.curve.start(), fold.curve.end());
    let Some(way) = (b - a).unit() else {
        return false;
    };
    let near = |p: Point| way.cross(p - a).abs() < 0.02;
    let ends = [segment.from(), segment.to()];
    let middle = match *segment {
        Segment::Line { from, to } => from.toward(to, 0.5),
        Segment::Cubic { c1, c2, .. } => c1.toward(c2, 0.5),
    };
    let span = (b - a).size();
    let beside = |p: Point| {
        let along = way.dot(p - a);
        along > -150.0 && along < span + 150.0
    };
    ends.iter().chain([&middle]).all(|p| near(*p) && beside(*p))
}

/// The corners of a ring of chords at which it turns by more than a third of a right angle.
pub(crate) fn sharp(ring: &[Point]) -> Vec<Point> {
    let n = ring.len();
    (0..n)
        .filter(|i| {
            let (a, b, c) = (ring[(i + n - 1) % n], ring[*i], ring[(i + 1) % n]);
            match ((b - a).unit(), (c - b).unit()) {
                (Some(u), Some(v)) => u.dot(v) < 0.87,
                _ => false,
            }
        })
        .map(|i| ring[i])
        .collect()
}
