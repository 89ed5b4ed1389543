//! A figure in the making: a frame on the body, and what is drawn in it one over the other.

use measure::Point;

use super::strokes::{Place, finely, inside, kept, plainly, shape_within, smooth};
use super::{Figure, Letter, Look, Part};
use crate::quad::Rect;

/// The part of the world that a figure shows, in centimetres of the body.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) low: f64,
}

/// A piece of an outline: its places, and whether a line is drawn along it.
pub(super) struct Run {
    pub(super) chain: Vec<Place>,
    pub(super) drawn: bool,
}

impl Run {
    /// A smooth line through places.
    pub(super) fn smooth(through: &[Place]) -> Self {
        Self {
            chain: smooth(through),
            drawn: true,
        }
    }

    /// The same, where the body goes on behind and no line is drawn.
    pub(super) fn open(through: &[Place]) -> Self {
        Self {
            chain: through.to_vec(),
            drawn: false,
        }
    }
}

pub(super) struct Sketch {
    frame: Frame,
    scale: f64,
    parts: Vec<Part>,
    places: Vec<(Point, &'static str)>,
    letters: Vec<Letter>,
}

/// White between a name and the drawing, and about the drawing, in units.
const GAP: f64 = 4.0;

impl Sketch {
    /// An empty sketch; the scale is the largest at which the frame fits its part of the width and
    /// no more than `high` units down.
    pub(super) fn new(frame: Frame, high: f64) -> Self {
        let across = (Figure::DRAWN - 2.0 * GAP) / (frame.right - frame.left);
        let down = (high - 2.0 * GAP) / (frame.top - frame.low);
        Self {
            frame,
            scale: across.min(down),
            parts: Vec::new(),
            places: Vec::new(),
            letters: Vec::new(),
        }
    }

    pub(super) fn at(&self, (x, h): Place) -> Point {
        Point::new(
            (x - self.frame.left) * self.scale + GAP,
            (self.frame.top - h) * self.scale + GAP,
        )
    }

    /// So many units in centimetres of the body.
    pub(super) fn units(&self, many: f64) -> f64 {
        many / self.scale
    }

    fn window(&self) -> Rect {
        let f = self.frame;
        let (a, b) = (self.at((f.left, f.top)), self.at((f.right, f.low)));
        Rect::around(&[a, b])
    }

    fn chain(&self, places: &[Place]) -> Vec<Point> {
        places.iter().map(|p| self.at(*p)).collect()
    }

    /// A body, or a limb: it hides what was drawn before.
    pub(super) fn flesh(&mut self, runs: &[Run]) {
        let all: Vec<Place> = runs.iter().flat_map(|r| r.chain.iter().copied()).collect();
        self.closed(Look::Flesh, &all);
        for run in runs.iter().filter(|r| r.drawn) {
            self.line(Look::Skin, &run.chain);
        }
    }

    /// A closed shape that hides what was drawn before, when it is one that is filled.
    pub(super) fn closed(&mut self, look: Look, places: &[Place]) {
        let shape = shape_within(&self.chain(places), &self.window());
        if shape.len() < 3 {
            return;
        }
        if matches!(look, Look::Flesh | Look::Band) {
            let given = std::mem::take(&mut self.parts);
            for part in given {
                if part.closed {
                    self.parts.push(part);
                    continue;
                }
                let fine = finely(&part.chain, 0.7);
                for chain in kept(&fine, |p| !inside(&shape, p)) {
                    self.parts.push(Part {
                        look: part.look,
                        chain,
                        closed: false,
                    });
                }
            }
        }
        self.parts.push(Part {
            look,
            chain: shape,
            closed: true,
        });
    }

    /// A line as it runs.
    pub(super) fn line(&mut self, look: Look, places: &[Place]) {
        let window = self.window();
        let fine = finely(&self.chain(places), 0.7);
        for chain in kept(&fine, |p| window.holds(p)) {
            self.parts.push(Part {
                look,
                chain,
                closed: false,
            });
        }
    }

    /// A line that runs smoothly through places.
    pub(super) fn curve(&mut self, look: Look, through: &[Place]) {
        self.line(look, &smooth(through));
    }

    /// The same line on both sides of the body.
    pub(super) fn both(&mut self, look: Look, through: &[Place]) {
        self.curve(look, through);
        self.curve(look, &super::strokes::mirrored(through));
    }

    /// The name of a place; it is lettered beside the drawing.
    pub(super) fn name(&mut self, place: Place, text: &'static str) {
        let at = self.at(place);
        self.places.push((at, text));
    }

    /// Letters all names in a column beside the drawing, clear of it and of each other.
    pub(super) fn seat_letters(&mut self) {
        let edge = self
            .parts
            .iter()
            .flat_map(|p| &p.chain)
            .fold(0.0_f64, |most, p| most.max(p.x));
        let column = edge + 12.0;
        self.places.sort_by(|a, b| a.0.y.total_cmp(&b.0.y));
        let lead = Figure::LETTER + 2.0;
        let mut y = 0.0_f64;
        let mut seats: Vec<f64> = Vec::new();
        for (at, _) in &self.places {
            y = (y + lead)
                .max(at.y + Figure::LETTER * 0.34)
                .max(Figure::LETTER);
            seats.push(y);
        }
        // What was pushed below the frame moves up again.
        let mut low = self.window().y1;
        for seat in seats.iter_mut().rev() {
            *seat = seat.min(low);
            low = *seat - lead;
        }
        let places = std::mem::take(&mut self.places);
        for ((at, text), seat) in places.into_iter().zip(seats) {
            let to = Point::new(column - 3.0, seat - Figure::LETTER * 0.34);
            let way = to - at;
            let size = way.size();
            if size > 6.0 {
                self.parts.push(Part {
                    look: Look::Leader,
                    chain: vec![at + way * (4.0 / size), to],
                    closed: false,
                });
            }
            self.letters.push(Letter {
                at: Point::new(column, seat),
                text,
            });
        }
    }

    pub(super) fn finished(self, says: String) -> Figure {
        let height = self.window().y1 + GAP;
        let parts = self
            .parts
            .into_iter()
            .map(|p| Part {
                chain: plainly(&p.chain),
                ..p
            })
            .collect();
        Figure {
            says,
            width: Figure::WIDTH,
            height,
            parts,
            letters: self.letters,
        }
    }
}
