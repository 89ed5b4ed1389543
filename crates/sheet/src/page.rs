//! A page being drawn: its list, and the watch that no letter touches a line or another letter.

use measure::{Angle, Point, Vector};

use crate::dash::Line;
use crate::drawing::{Drawing, Ink, Item, Layer, Pen, Shape};
use crate::face::{Face, Lettering, Set, set};
use crate::quad::{Quad, Rect};

/// A straight bit of ink, with half the width of its pen.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bit {
    pub(crate) a: Point,
    pub(crate) b: Point,
    pub(crate) half: f64,
    pub(crate) bounds: Rect,
}

impl Bit {
    pub(crate) fn new(a: Point, b: Point, half: f64) -> Self {
        Self {
            a,
            b,
            half,
            bounds: Rect::around(&[a, b]).grown(half),
        }
    }
}

/// Where a word may stand: a point of its base line, a turn, and which part of the word is there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Spot {
    pub(crate) at: Point,
    pub(crate) turn: Angle,
    /// 0 the beginning, 0.5 the middle, 1 the end.
    pub(crate) part: f64,
}

impl Spot {
    pub(crate) const fn level(at: Point, part: f64) -> Self {
        Self {
            at,
            turn: Angle::ZERO,
            part,
        }
    }
}

/// A page in the making.
#[derive(Clone, Debug)]
pub(crate) struct Page {
    pub(crate) drawing: Drawing,
    /// What is drawn clipped shows in here only.
    pub(crate) window: Option<Rect>,
    /// All ink but letters.
    pub(crate) bits: Vec<Bit>,
    /// All letters, with what they say.
    pub(crate) words: Vec<(Quad, String)>,
}

impl Page {
    pub(crate) const fn new(width: f64, height: f64) -> Self {
        Self {
            drawing: Drawing {
                width,
                height,
                items: Vec::new(),
            },
            window: None,
            bits: Vec::new(),
            words: Vec::new(),
        }
    }

    fn watch(&mut self, shape: &Shape, half: f64, clipped: bool) {
        let window = self.window.filter(|_| clipped);
        for chain in shape.chords() {
            for w in chain.windows(2) {
                let bit = match window {
                    Some(r) => r.grown(half).clipped(w[0], w[1]),
                    None => Some((w[0], w[1])),
                };
                if let Some((a, b)) = bit {
                    self.bits.push(Bit::new(a, b, half));
                }
            }
        }
    }

    /// Draws a line.
    pub(crate) fn stroke(&mut self, layer: Layer, shape: Shape, pen: Pen, clipped: bool) {
        self.watch(&shape, pen.width / 2.0, clipped);
        self.drawing.items.push(Item {
            layer,
            clip: self.window.filter(|_| clipped),
            ink: Ink::Stroke(shape, pen),
        });
    }

    /// Draws a straight line from point to point, its dashes fitted to it.
    pub(crate) fn line(&mut self, layer: Layer, from: Point, to: Point, line: Line) {
        let pen = line.pen((to - from).size());
        self.stroke(layer, Shape::line(&[from, to]), pen, false);
    }

    /// Draws a rectangle.
    pub(crate) fn frame(&mut self, layer: Layer, rect: Rect, line: Line, clipped: bool) {
        self.stroke(layer, Shape::Rect(rect), Pen::solid(line.width()), clipped);
    }

    /// Blackens a shape.
    pub(crate) fn fill(&mut self, layer: Layer, shape: Shape, clipped: bool) {
        self.watch(&shape, 0.0, clipped);
        self.drawing.items.push(Item {
            layer,
            clip: self.window.filter(|_| clipped),
            ink: Ink::Fill(shape),
        });
    }

    /// Sets letters, whatever is there already.
    pub(crate) fn letters(&mut self, layer: Layer, letters: &Lettering, spot: Spot) {
        let at = letters.start(spot.at, spot.turn, spot.part);
        self.words
            .push((letters.quad(at, spot.turn), letters.text.clone()));
        self.drawing.items.push(Item {
            layer,
            clip: None,
            ink: Ink::Letters(letters.clone(), at, spot.turn),
        });
    }

    /// Sets a level line of letters.
    pub(crate) fn text(
        &mut self,
        layer: Layer,
        at: Point,
        text: &str,
        size: f64,
        bold: bool,
    ) -> f64 {
        let letters = set(text, size, bold);
        self.letters(layer, &letters, Spot::level(at, 0.0));
        letters.width
    }

    /// Sets a level line that ends (1.0) or is centred (0.5) at a point.
    pub(crate) fn text_at(
        &mut self,
        layer: Layer,
        at: Point,
        text: &str,
        (size, face): (f64, Face),
        part: f64,
    ) {
        let letters = set(text, size, face == Face::Bold);
        self.letters(layer, &letters, Spot::level(at, part));
    }

    /// Sets the lines of a paragraph, the first base line at `at`; gives the base line after the
    /// last.
    pub(crate) fn lines(&mut self, layer: Layer, at: Point, lines: &[Set], lead: f64) -> f64 {
        let mut y = at.y;
        for line in lines {
            for (x, word) in line {
                self.letters(layer, word, Spot::level(Point::new(at.x + x, y), 0.0));
            }
            y += lead;
        }
        y
    }

    /// How near lines and letters come to a box, at most `most`.
    pub(crate) fn room(&self, quad: &Quad, most: f64) -> f64 {
        let near = quad.bounds.grown(most);
        let mut best = most;
        for bit in &self.bits {
            if bit.bounds.meets(&near) {
                best = best.min(quad.gap_to_line(bit.a, bit.b) - bit.half);
                if best <= 0.0 {
                    return 0.0;
                }
            }
        }
        for (word, _) in &self.words {
            if word.bounds.meets(&near) {
                best = best.min(quad.gap_to(word));
            }
        }
        best
    }

    /// What lies over a line, over other letters or beyond the edge.
    pub(crate) fn touching(&self) -> Vec<String> {
        let sheet = Rect::new(0.0, 0.0, self.drawing.width, self.drawing.height);
        let mut out = Vec::new();
        for (i, (word, said)) in self.words.iter().enumerate() {
            let line = self.bits.iter().any(|b| {
                b.bounds.meets(&word.bounds) && word.gap_to_line(b.a, b.b) - b.half <= 0.0
            });
            // Words of one line stand side by side: only what lies one over the other counts.
            let inner = Quad::rect(&word.bounds.grown(-0.3));
            let other = self.words.iter().enumerate().any(|(j, (w, _))| {
                i != j && w.bounds.meets(&inner.bounds) && inner.gap_to(w) <= 0.0
            });
            if line || other || !sheet.holds_all(&word.bounds) {
                out.push(said.clone());
            }
        }
        out
    }

    /// Whether a box keeps this gap from all lines and letters.
    pub(crate) fn clear(&self, quad: &Quad, gap: f64) -> bool {
        let near = quad.bounds.grown(gap);
        self.bits
            .iter()
            .all(|b| !b.bounds.meets(&near) || quad.gap_to_line(b.a, b.b) - b.half >= gap)
            && self
                .words
                .iter()
                .all(|(w, _)| !w.bounds.meets(&near) || quad.gap_to(w) >= gap)
    }

    /// Whether a line keeps this gap from all letters.
    pub(crate) fn misses_letters(&self, a: Point, b: Point, gap: f64) -> bool {
        let mut words = self.words.iter();
        words.all(|(w, _)| w.gap_to_line(a, b) >= gap)
    }

    /// Sets letters at the first spot that is clear and inside; tells whether there was one. Only a
    /// box that no line enters is asked about: one corner speaks for all of it.
    pub(crate) fn place(
        &mut self,
        layer: Layer,
        letters: &Lettering,
        spots: impl IntoIterator<Item = Spot>,
        gap: f64,
        inside: impl Fn(&Quad) -> bool,
    ) -> bool {
        for spot in spots {
            let quad = letters.quad(letters.start(spot.at, spot.turn, spot.part), spot.turn);
            if self.clear(&quad, gap) && inside(&quad) {
                self.letters(layer, letters, spot);
                return true;
            }
        }
        false
    }
}

/// The arrow head of the paper.
pub(crate) fn head(at: Point, way: Vector) -> Shape {
    let back = at - way * 5.0;
    Shape::closed(&[at, back + way.left() * 1.25, back + way.right() * 1.25])
}
