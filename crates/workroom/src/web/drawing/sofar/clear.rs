//! Finds places for words that are clear of lines and of each other.

use measure::{Point, Vector};

/// A line is felt at points so far apart, in units.
const STEP: f64 = 3.0;
/// White between a word and a line, in units.
const WHITE: f64 = 2.0;

/// A word's box: its middle, the way it runs, half its width and height.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub(super) middle: Point,
    pub(super) way: Vector,
    pub(super) half: (f64, f64),
}

impl Spot {
    /// A level word.
    pub(super) fn level(middle: Point, wide: f64, high: f64) -> Self {
        Self {
            middle,
            way: Vector::new(1.0, 0.0),
            half: (wide / 2.0, high / 2.0),
        }
    }

    /// How far a point is from the box; zero within.
    fn distance(&self, p: Point) -> f64 {
        let to = Vector::new(p.x - self.middle.x, p.y - self.middle.y);
        let along = (to.dot(self.way).abs() - self.half.0).max(0.0);
        let across = (to.cross(self.way).abs() - self.half.1).max(0.0);
        along.hypot(across)
    }

    fn corners(&self) -> [Point; 4] {
        let at = |a: f64, b: f64| {
            Point::new(
                self.middle.x + self.way.x * a - self.way.y * b,
                self.middle.y + self.way.y * a + self.way.x * b,
            )
        };
        let (w, h) = self.half;
        [at(-w, -h), at(w, -h), at(w, h), at(-w, h)]
    }

    fn within(&self, (width, height): (f64, f64)) -> bool {
        self.corners()
            .iter()
            .all(|p| p.x > 1.0 && p.y > 1.0 && p.x < width - 1.0 && p.y < height - 1.0)
    }

    /// Points all over the box, near enough together that no other box slips through.
    fn cover(&self) -> Vec<Point> {
        let (w, h) = self.half;
        let mut out = Vec::new();
        let mut a = -w;
        while a <= w + 1e-9 {
            for b in [-h, -h / 2.0, 0.0, h / 2.0, h] {
                out.push(Point::new(
                    self.middle.x + self.way.x * a - self.way.y * b,
                    self.middle.y + self.way.y * a + self.way.x * b,
                ));
            }
            a += (w / 12.0).max(1.0);
        }
        out
    }
}

/// What is already there.
#[derive(Clone, Debug, Default)]
pub(super) struct Clear {
    /// Lines that no word may cross.
    heavy: Vec<Point>,
    /// Lines that a word crosses only where there is no other place.
    light: Vec<Point>,
    words: Vec<Spot>,
    size: (f64, f64),
}

impl Clear {
    /// Nothing is there yet on a drawing of this width and height.
    pub(super) fn of(size: (f64, f64)) -> Self {
        Self {
            size,
            ..Self::default()
        }
    }

    pub(super) fn line(&mut self, chain: &[Point], heavy: bool) {
        let into = if heavy {
            &mut self.heavy
        } else {
            &mut self.light
        };
        for pair in chain.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let long = (a.x - b.x).hypot(a.y - b.y);
            let mut far = 0.0;
            while far < long {
                into.push(a.toward(b, far / long));
                far += STEP;
            }
        }
        into.extend(chain.last());
    }

    /// A dot that is kept clear all round.
    pub(super) fn dot(&mut self, at: Point, radius: f64) {
        for (x, y) in [(0.0, 0.0), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
            self.heavy
                .push(Point::new(at.x + x * radius, at.y + y * radius));
        }
    }

    /// Takes the first spot that is free. Where none is clear of all lines, one that crosses thin ones.
    pub(super) fn take(&mut self, spots: &[Spot]) -> Option<usize> {
        let found = spots
            .iter()
            .position(|s| self.free(s, true))
            .or_else(|| spots.iter().position(|s| self.free(s, false)))?;
        self.words.push(spots[found]);
        Some(found)
    }

    /// The same for what must be said: where no place is clear of lines, one that is clear of words.
    pub(super) fn take_some(&mut self, spots: &[Spot]) -> Option<usize> {
        self.take(spots).or_else(|| {
            let found = spots
                .iter()
                .position(|s| s.within(self.size) && self.words.iter().all(|w| apart(w, s)))?;
            self.words.push(spots[found]);
            Some(found)
        })
    }

    /// Takes a spot whatever is there.
    pub(super) fn keep(&mut self, spot: Spot) {
        self.words.push(spot);
    }

    fn free(&self, spot: &Spot, strict: bool) -> bool {
        spot.within(self.size)
            && self.heavy.iter().all(|p| spot.distance(*p) > WHITE)
            && (!strict || self.light.iter().all(|p| spot.distance(*p) > WHITE))
            && self.words.iter().all(|w| apart(w, spot))
    }
}

/// Whether two words are clear of each other.
fn apart(a: &Spot, b: &Spot) -> bool {
    let near = (a.middle.x - b.middle.x).hypot(a.middle.y - b.middle.y);
    near > a.half.0 + a.half.1 + b.half.0 + b.half.1
        || b.cover().iter().all(|p| a.distance(*p) > WHITE)
}

/// How wide a text is at a size, about: no letter is cut off for it, in bold either.
pub(super) fn wide(text: &str, size: f64) -> f64 {
    text.chars()
        .map(|c| match c {
            'm' | 'w' | 'M' | 'W' => 0.95,
            'i' | 'l' | 't' | 'f' | 'r' | 'j' | ' ' | '.' | ',' | '\u{2019}' => 0.42,
            _ => 0.62,
        })
        .sum::<f64>()
        * size
}
