//! Words on the drawing: set along an edge or level, inside the piece, clear of every line.

use measure::{Point, Vector};

/// A word and where it stands, in units of the drawing.
#[derive(Clone, Debug)]
pub(crate) struct Letter {
    pub(crate) at: Point,
    /// Turned so many degrees.
    pub(crate) turned: f64,
    pub(crate) text: String,
    pub(crate) class: &'static str,
}

/// The height of a line of small lettering, in units.
pub(crate) const LINE: f64 = 15.0;

/// How wide a text is at a size, about.
pub(crate) fn wide(text: &str, size: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a text is short")]
    let many = text.chars().count() as f64;
    many * size * 0.54
}

/// What is already there: words stay clear of it.
#[derive(Debug, Default)]
pub(crate) struct Taken {
    spots: Vec<(Point, f64)>,
}

impl Taken {
    /// Takes a round spot.
    pub(crate) fn spot(&mut self, at: Point, radius: f64) {
        self.spots.push((at, radius));
    }

    /// Whether a round spot is free.
    pub(crate) fn free(&self, at: Point, radius: f64) -> bool {
        self.spots
            .iter()
            .all(|(p, r)| (p.x - at.x).hypot(p.y - at.y) > r + radius)
    }

    /// The spots that a word covers, from end to end.
    pub(crate) fn covers(at: Point, way: Vector, wide: f64, high: f64) -> Vec<(Point, f64)> {
        let radius = high / 2.0;
        let steps = (wide / radius).ceil().max(1.0);
        let mut out = Vec::new();
        let mut i = 0.0;
        while i <= steps {
            let along = wide * (i / steps - 0.5);
            out.push((
                Point::new(at.x + way.x * along, at.y + way.y * along),
                radius,
            ));
            i += 1.0;
        }
        out
    }

    /// Takes the spots if all are free, inside the ring and clear of its lines.
    pub(crate) fn inside(&mut self, spots: &[(Point, f64)], ring: &[Point]) -> bool {
        let fits = spots
            .iter()
            .all(|(p, r)| self.free(*p, *r) && within(*p, ring) && distance(*p, ring) > r + 2.0);
        if fits {
            self.spots.extend_from_slice(spots);
        }
        fits
    }
}

/// Whether a point lies inside a closed chain.
pub(crate) fn within(p: Point, ring: &[Point]) -> bool {
    let mut inside = false;
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
    }
    inside
}

/// How far a point is from a closed chain.
pub(crate) fn distance(p: Point, ring: &[Point]) -> f64 {
    let mut least = f64::MAX;
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let long = dx * dx + dy * dy;
        let t = if long > 0.0 {
            (((p.x - a.x) * dx + (p.y - a.y) * dy) / long).clamp(0.0, 1.0)
        } else {
            0.0
        };
        least = least.min((p.x - a.x - dx * t).hypot(p.y - a.y - dy * t));
    }
    least
}

/// The stretches of a level line that lie inside a chain: from x to x.
pub(crate) fn across(ring: &[Point], y: f64) -> Vec<(f64, f64)> {
    let mut cuts: Vec<f64> = Vec::new();
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        if (a.y > y) != (b.y > y) {
            cuts.push(a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
        }
    }
    cuts.sort_by(f64::total_cmp);
    cuts.chunks_exact(2).map(|c| (c[0], c[1])).collect()
}

/// A text with its fractions as single letters, or raised and lowered figures: `2 1/2` is `2½`.
pub(crate) fn glyphs(text: &str) -> String {
    let mut out = String::new();
    for (i, word) in text.split(' ').enumerate() {
        let fraction = word.split_once('/').filter(|(a, b)| {
            [a, b]
                .iter()
                .all(|f| !f.is_empty() && f.chars().all(|c| c.is_ascii_digit()))
        });
        let after_whole = out.ends_with(|c: char| c.is_ascii_digit());
        if i > 0 && !(fraction.is_some() && after_whole) {
            out.push(' ');
        }
        match fraction {
            Some(("1", "2")) => out.push('½'),
            Some(("1", "4")) => out.push('¼'),
            Some(("3", "4")) => out.push('¾'),
            Some(("1", "8")) => out.push('⅛'),
            Some(("3", "8")) => out.push('⅜'),
            Some(("5", "8")) => out.push('⅝'),
            Some(("7", "8")) => out.push('⅞'),
            Some((a, b)) => {
                out.extend(a.chars().map(|c| figure(c, "⁰¹²³⁴⁵⁶⁷⁸⁹")));
                out.push('⁄');
                out.extend(b.chars().map(|c| figure(c, "₀₁₂₃₄₅₆₇₈₉")));
            }
            None => out.push_str(word),
        }
    }
    out
}

fn figure(c: char, set: &str) -> char {
    let nth = c.to_digit(10).unwrap_or(0) as usize;
    set.chars().nth(nth).unwrap_or(c)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fraction_stands_close_behind_its_whole() {
        assert_eq!(glyphs("side 48 1/2"), "side 48½");
        assert_eq!(glyphs("3/16 in"), "³⁄₁₆ in");
        assert_eq!(glyphs("front and/or back 12"), "front and/or back 12");
    }

    #[test]
    fn a_point_is_inside_or_not_also_beside_a_corner() {
        let ring =
            [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(|(x, y)| Point::new(x, y));
        assert!(within(Point::new(5.0, 5.0), &ring));
        assert!(!within(Point::new(15.0, 5.0), &ring));
        assert!((distance(Point::new(13.0, 14.0), &ring) - 5.0).abs() < 1e-9);
        assert_eq!(across(&ring, 5.0), vec![(0.0, 10.0)]);
    }
}
