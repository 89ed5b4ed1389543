//! The long check: two marks a whole number of inches apart, as far as the piece allows, slanting so
//! that both directions of the printer count.

use measure::{Length, Motion, Point};

use crate::number::real;
use crate::page::Bit;
use crate::quad::{point_gap, rings};
use crate::traced::Traced;

/// A mark keeps this far from all lines.
const CLEAR: f64 = 9.0;
/// Shorter than this a check is no check, in mm.
const SHORTEST: f64 = 250.0;
/// No more candidates than this are compared, pair by pair.
const MOST: usize = 700;

/// The check of one piece.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LongCheck {
    pub(crate) from: Point,
    pub(crate) to: Point,
    pub(crate) names: (String, String),
    /// How long, exactly.
    pub(crate) length: Length,
    /// How many whole units that is.
    pub(crate) units: i64,
}

impl LongCheck {
    /// The same on the piece elsewhere.
    pub(crate) fn moved(&self, by: &Motion) -> Self {
        Self {
            from: by.point(self.from),
            to: by.point(self.to),
            ..self.clone()
        }
    }
}

/// The names of the marks of the n-th check: letters from the end of the alphabet, since rows of
/// sheets are named from its beginning.
pub(crate) fn names(n: usize) -> (String, String) {
    const PAIRS: [(&str, &str); 4] = [("X", "Y"), ("V", "W"), ("T", "U"), ("R", "S")];
    let (a, b) = PAIRS[n % PAIRS.len()];
    let round = n / PAIRS.len();
    if round == 0 {
        (a.to_owned(), b.to_owned())
    } else {
        // Doubled, as on a map whose letters have run out.
        (a.repeat(round + 1), b.repeat(round + 1))
    }
}

/// Whether a mark may stand here: on the piece, and away from its lines.
fn free(p: Point, bits: &[Bit], ring: &[Point]) -> bool {
    bits.iter()
        .all(|b| !b.bounds.grown(CLEAR).holds(p) || point_gap(p, b.a, b.b) > CLEAR)
        && rings(ring, p)
}

/// The longest check that fits a piece, `unit` being an inch or a centimetre.
pub(crate) fn find(piece: &Traced<'_>, unit: Length, number: usize) -> Option<LongCheck> {
    let b = piece.bounds;
    if b.width().max(b.height()) < SHORTEST {
        return None;
    }
    let unit = unit.in_mm();
    // A lattice just fine enough that the number of candidates stays small.
    let mut pitch = 10.0;
    while (b.width() / pitch) * (b.height() / pitch) > real(MOST) * 4.0 {
        pitch *= 1.15;
    }
    let mut spots: Vec<Point> = Vec::new();
    let mut y = b.y0 + pitch / 2.0;
    while y < b.y1 {
        let mut x = b.x0 + pitch / 2.0;
        while x < b.x1 {
            let p = Point::new(x, y);
            if free(p, &piece.bits, &piece.stitch_ring) {
                spots.push(p);
            }
            x += pitch;
        }
        y += pitch;
    }
    let mut best: Vec<(i64, f64, Point, Point)> = Vec::new();
    for (i, a) in spots.iter().enumerate() {
        for c in &spots[i + 1..] {
            let d = *c - *a;
            let units = (d.size() / unit).floor();
            if units * unit < SHORTEST {
                continue;
            }
            // 9 across and 40 down is slanting enough; more is no better than longer.
            let slant = (d.x.abs().min(d.y.abs()) / d.size()).min(0.2);
            let score = units + slant * 12.0 / (unit / 25.4);
            let units = crate::number::whole(units);
            if best.len() < 60 || best.last().is_some_and(|l| score > l.1) {
                let at = best.partition_point(|l| l.1 >= score);
                best.insert(at, (units, score, *a, *c));
                best.truncate(60);
            }
        }
    }
    let whole_on_it = |a: Point, c: Point| {
        (1..40).all(|i| rings(&piece.cut_ring, a.toward(c, f64::from(i) / 40.0)))
    };
    let exact = |units: i64, a: Point, c: Point| {
        #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
        let length = units as f64 * unit;
        let to = a + (c - a) * (length / (c - a).size());
        free(to, &piece.bits, &piece.stitch_ring).then_some((units, length, a, to))
    };
    let found = best
        .iter()
        .filter(|(_, _, a, c)| whole_on_it(*a, *c))
        .find_map(|(u, _, a, c)| exact(*u, *a, *c).or_else(|| exact(*u, *c, *a)))
        .or_else(|| best.iter().find_map(|(u, _, a, c)| exact(*u, *a, *c)))?;
    let (units, length, a, c) = found;
    // The first letter stands higher.
    let (from, to) = if a.y <= c.y { (a, c) } else { (c, a) };
    Some(LongCheck {
        from,
        to,
        names: names(number),
        length: Length::mm(length),
        units,
    })
}
