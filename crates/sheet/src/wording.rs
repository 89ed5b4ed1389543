//! The words on a piece, in their order of right of way: names of levels, words at notches, "Grain",
//! names of edges, figures of allowances. Each has a fixed list of places and takes the first that
//! is clear.

use measure::fraction::Shown;
use measure::{Angle, Curve, Length, Point, Vector};
use piece::{Allowance, Edge, How, Role};

use crate::drawing::Layer;
use crate::face::{Lettering, set};
use crate::label::{readable, upright};
use crate::letters::{HAND, LEAST, Letters};
use crate::order::Leave;
use crate::page::{Page, Spot};
use crate::quad::{Quad, Rect, rings};
use crate::traced::Traced;
use crate::words::{Words, capital, fill};

/// White between a word and a line, and above a balance line.
const GAP: f64 = 1.2;
const GAP_LEVEL: f64 = 0.7;
/// Where along a stretch a word is tried, from the middle outwards.
const ALONG: [f64; 13] = [
    0.5, 0.44, 0.56, 0.38, 0.62, 0.32, 0.68, 0.26, 0.74, 0.2, 0.8, 0.12, 0.88,
];

/// A word along a stretch of an edge.
struct Along {
    edge: usize,
    letters: Lettering,
    from: f64,
    to: f64,
    /// How far off the stitching line the middle of the letters stands, outward positive: in turn.
    off: Vec<f64>,
    /// An allowance, and what it says.
    figure: Option<String>,
}

/// All the words of a piece, set.
pub(crate) struct Wording {
    /// How much larger its letters are than those held in the hand.
    times: f64,
    upright: Angle,
    levels: Vec<(Lettering, Point, Point, f64)>,
    notches: Vec<(Lettering, Point)>,
    grain: Option<(Lettering, Point, Point)>,
    edges: Vec<Along>,
    figures: Vec<Along>,
    curves: Vec<Curve>,
}

impl Wording {
    /// Sets the words of a piece.
    pub(crate) fn new(piece: &Traced<'_>, shown: Shown, words: &Words, letters: &Letters) -> Self {
        let p = &piece.given.piece;
        let size = letters.words;
        let drawn = !piece.leaves_out(Leave::Levels);
        let mut levels: Vec<_> = p
            .balance
            .iter()
            .filter(|_| drawn)
            .map(|b| (set(&capital(&b.name), size, false), b.from, b.to, 0.0))
            .collect();
        for a in piece.given.alterations.iter().filter(|_| drawn) {
            levels.push((set(words.lengthen, size, false), a.from, a.to, 0.8));
        }
        let notches = piece
            .given
            .notch_words
            .iter()
            .filter_map(|w| {
                let edge = p.edge(&w.edge).ok()?;
                Some((set(&w.text, size, false), edge.curve.at(w.at).point))
            })
            .collect();
        let grain = p
            .grain
            .filter(|_| !piece.leaves_out(Leave::Grain))
            .map(|g| {
                let word = if piece.given.one_way {
                    words.grain_one_way
                } else {
                    words.grain
                };
                (set(word, letters.grain, false), g.from, g.to)
            });
        let mut this = Self {
            times: size / HAND.words,
            upright: upright(piece),
            levels,
            notches,
            grain,
            edges: Vec::new(),
            figures: Vec::new(),
            curves: p.edges.iter().map(|e| e.curve.clone()).collect(),
        };
        for (i, edge) in p.edges.iter().enumerate() {
            this.edge(i, edge, &piece.given.seams, words, size);
            if !piece.leaves_out(Leave::Cutting) {
                this.figures(i, edge, (shown, words), size);
            }
        }
        this
    }

    fn edge(
        &mut self,
        i: usize,
        edge: &Edge,
        seams: &[(String, String)],
        words: &Words,
        size: f64,
    ) {
        let own = capital(&edge.name);
        let said = seams.iter().find(|(n, _)| *n == edge.name);
        let text = match said {
            Some((_, text)) => text.clone(),
            None if edge.role == Role::Fold => fill(words.on_the_fold, &[("edge", &own)]),
            None => own,
        };
        let fold = edge.role == Role::Fold;
        let k = self.times;
        self.edges.push(Along {
            edge: i,
            letters: set(&text, size, false),
            from: 0.0,
            to: edge.curve.length().in_mm(),
            off: if fold {
                vec![-11.0 - 4.0 * k, -6.0, -11.0 - 8.0 * k]
            } else {
                [-6.5, -4.5, -9.0, -12.0].map(|off| off * k).to_vec()
            },
            figure: None,
        });
    }

    /// One figure for each stretch of one width; a ramp is told by a figure at each end, which the
    /// stretches beside it give, or else a figure of its own.
    fn figures(&mut self, i: usize, edge: &Edge, (shown, words): (Shown, &Words), size: f64) {
        if edge.role == Role::Fold {
            return;
        }
        let length = edge.curve.length();
        for (from, to, width) in constant(&edge.allowance, length) {
            if width < Length::mm(3.0) {
                continue;
            }
            let text = words.locale.length(width, shown);
            let letters = set(&text, size, false);
            let from = if to - from < Length::mm(16.0) {
                (from - Length::mm(8.0)).max(Length::ZERO)
            } else {
                from
            };
            let to = if to - from < Length::mm(16.0) {
                (to + Length::mm(8.0)).min(length)
            } else {
                to
            };
            self.figures.push(Along {
                edge: i,
                letters,
                from: from.in_mm(),
                to: to.in_mm(),
                off: vec![width.in_mm() / 2.0],
                figure: Some(text),
            });
        }
    }

    /// Sets on a page all words that find room inside `window`; the piece lies shifted by `by`.
    pub(crate) fn place(&self, page: &mut Page, piece: &Traced<'_>, by: Vector, window: &Rect) {
        if piece.leaves_out(Leave::Words) {
            return;
        }
        let k = self.times;
        let ring: Vec<Point> = piece.stitch_ring.iter().map(|p| *p + by).collect();
        let on_it = |q: &Quad| window.holds_all(&q.bounds) && rings(&ring, q.corners[0]);
        for (letters, a, b, extra) in &self.levels {
            if let Some((a, b)) = window.clipped(*a + by, *b + by)
                && (b - a).size() > 24.0 * k
            {
                let turn = readable(Vector::OUTWARD.angle_to(b - a));
                let up = Vector::UP.turned(turn) * (2.2 * k + extra);
                let spots = ALONG.iter().map(|u| Spot {
                    at: a.toward(b, *u) + up,
                    turn,
                    part: 0.5,
                });
                page.place(Layer::Text, letters, spots, GAP_LEVEL, on_it);
            }
        }
        for (letters, at) in &self.notches {
            let at = *at + by;
            if window.grown(8.0).holds(at) {
                let across = readable(self.upright + Angle::degrees(90.0));
                let spots = [self.upright, across].into_iter().flat_map(|turn| {
                    [4.0, 8.0].into_iter().flat_map(move |x| {
                        [1.4, -5.0, 8.0, -9.0, 12.0, -13.0, 16.0]
                            .into_iter()
                            .flat_map(move |y| {
                                [(-x, 1.0), (x, 0.0)].map(|(x, part)| Spot {
                                    at: at + Vector::new(x, y * k).turned(turn),
                                    turn,
                                    part,
                                })
                            })
                    })
                });
                page.place(Layer::Text, letters, spots, GAP, on_it);
            }
        }
        if let Some((letters, a, b)) = &self.grain
            && let Some(way) = (*b - *a).unit()
            && let Some((a, b)) = window.clipped(*a + way * 15.0 + by, *b - way * 15.0 + by)
            && (b - a).size() > letters.width
        {
            let turn = readable(Vector::OUTWARD.angle_to(b - a));
            let over = Vector::UP.turned(turn);
            let spots = [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9]
                .iter()
                .flat_map(|u| [2.2, -5.8].map(|d| (*u, d * k)))
                .map(|(u, d)| Spot {
                    at: a.toward(b, u) + over * d,
                    turn,
                    part: 0.5,
                });
            page.place(Layer::Text, letters, spots, GAP, on_it);
        }
        for along in &self.edges {
            self.along(page, along, by, window, &on_it);
        }
        for along in &self.figures {
            self.along(page, along, by, window, &|q| window.holds_all(&q.bounds));
        }
    }

    /// Sets a word along each part of its stretch that lies inside the window and is long enough.
    fn along(
        &self,
        page: &mut Page,
        along: &Along,
        by: Vector,
        window: &Rect,
        inside: &dyn Fn(&Quad) -> bool,
    ) {
        let Some(curve) = self.curves.get(along.edge) else {
            return;
        };
        let least: f64 = if along.figure.is_some() { 16.0 } else { 25.0 };
        for (from, to) in stretches(curve, along.from, along.to, by, window) {
            if to - from < least.min(along.letters.width + 4.0) {
                continue;
            }
            let spots = along
                .off
                .iter()
                .flat_map(|off| ALONG.iter().map(move |u| (from + (to - from) * u, *off)));
            let places: Vec<(Point, Angle)> = spots
                .map(|(at, off)| {
                    let place = curve.at(Length::mm(at));
                    let turn = readable(Vector::OUTWARD.angle_to(place.direction));
                    (place.point + by + place.direction.left() * off, turn)
                })
                .collect();
            let set_on = |letters: &Lettering| -> Vec<Spot> {
                let down = Vector::new(0.0, middle_of(letters));
                places
                    .iter()
                    .map(|(centre, turn)| Spot {
                        at: *centre + down.turned(*turn),
                        turn: *turn,
                        part: 0.5,
                    })
                    .collect()
            };
            let spots = set_on(&along.letters);
            let done = page.place(
                Layer::Text,
                &along.letters,
                spots.iter().copied(),
                GAP,
                inside,
            );
            if let (false, Some(text)) = (done, &along.figure) {
                // A strip too narrow for the usual white still gets its figure, a smaller one if
                // need be.
                let done = page.place(Layer::Text, &along.letters, spots, 0.6, inside);
                if !done && self.times > 1.0 {
                    let small = set(text, LEAST, false);
                    page.place(Layer::Text, &small, set_on(&small), 0.6, inside);
                }
            }
        }
    }
}

/// How far below the middle of the letters their base line is.
fn middle_of(letters: &Lettering) -> f64 {
    -f64::midpoint(letters.ink.y0, letters.ink.y1)
}

/// The parts of a stretch of a curve that lie inside a window.
fn stretches(curve: &Curve, from: f64, to: f64, by: Vector, window: &Rect) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    let steps = crate::number::count((to - from) / 4.0).max(1);
    let mut open: Option<f64> = None;
    for i in 0..=steps {
        let s = from + (to - from) * crate::number::real(i) / crate::number::real(steps);
        let inside = window.holds(curve.at(Length::mm(s)).point + by);
        match (inside, open) {
            (true, None) => open = Some(s),
            (false, Some(o)) => {
                out.push((o, s));
                open = None;
            }
            _ => {}
        }
    }
    if let Some(o) = open {
        out.push((o, to));
    }
    out
}

/// The stretches of one width, and the ends of ramps that no such stretch tells of.
fn constant(allowance: &Allowance, length: Length) -> Vec<(Length, Length, Length)> {
    let mut out: Vec<(Length, Length, Length)> = Vec::new();
    let (mut at, mut width) = (Length::ZERO, allowance.first());
    for change in allowance.changes() {
        if change.at > length {
            break;
        }
        if change.how == How::Step || (change.width - width).abs() < Length::mm(0.05) {
            if change.how == How::Step {
                push(&mut out, at, change.at, width);
                at = change.at;
                width = change.width;
            }
        } else {
            // The ramp runs from `at` to the change.
            push(&mut out, at, at, width);
            at = change.at;
            width = change.width;
        }
    }
    push(&mut out, at, length, width);
    out
}

fn push(out: &mut Vec<(Length, Length, Length)>, from: Length, to: Length, width: Length) {
    if let Some(last) = out.last_mut()
        && (last.2 - width).abs() < Length::mm(0.05)
        && (from - last.1).abs() < Length::mm(1.0)
    {
        last.1 = to;
        return;
    }
    out.push((from, to, width));
}
