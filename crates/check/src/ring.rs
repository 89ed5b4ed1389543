//! A closed line, sorted into bands of height, so that a level is asked only of the chords that may
//! reach it.

use measure::Point;

/// So many bands at the most.
const MOST: usize = 128;

/// A closed line: its last point is its first.
#[derive(Clone, Debug)]
pub(crate) struct Ring {
    points: Vec<Point>,
    top: f64,
    /// How high a band is, in millimetres: more than nothing.
    high: f64,
    /// Which chords reach into each band, in order.
    bands: Vec<Vec<usize>>,
}

impl Ring {
    /// Sorts a closed line.
    pub(crate) fn of(points: Vec<Point>) -> Self {
        let top = points.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let foot = points.iter().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
        let many = (points.len() / 2).clamp(1, MOST);
        #[expect(clippy::cast_precision_loss, reason = "128 at the most")]
        let high = ((foot - top) / many as f64).max(1e-6);
        let mut ring = Self {
            points,
            top,
            high,
            bands: vec![Vec::new(); many],
        };
        for (chord, w) in ring.points.windows(2).enumerate() {
            let (a, b) = (ring.band(w[0].y), ring.band(w[1].y));
            for band in &mut ring.bands[a.min(b)..=a.max(b)] {
                band.push(chord);
            }
        }
        ring
    }

    /// The band of a height; one above the line is the first, one below it the last.
    fn band(&self, y: f64) -> usize {
        let at = ((y - self.top) / self.high).floor();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "held between nothing and the last band; what is no number becomes 0"
        )]
        let at = at.clamp(0.0, 1e6) as usize;
        at.min(self.bands.len() - 1)
    }

    /// The points of the line.
    pub(crate) fn points(&self) -> &[Point] {
        &self.points
    }

    /// How much of a level lies inside, in millimetres.
    pub(crate) fn across(&self, y: f64) -> f64 {
        let chords = self.bands[self.band(y)]
            .iter()
            .map(|chord| [self.points[*chord], self.points[*chord + 1]]);
        across(chords, y)
    }
}

/// How much of a level lies inside the closed line of these chords, in millimetres.
pub(crate) fn across(chords: impl Iterator<Item = [Point; 2]>, y: f64) -> f64 {
    let mut cuts: Vec<f64> = chords
        .filter(|[a, b]| (a.y > y) != (b.y > y))
        .map(|[a, b]| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
        .collect();
    cuts.sort_by(f64::total_cmp);
    cuts.chunks_exact(2).map(|c| c[1] - c[0]).sum()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Would catch a chord that is missing from a band: every level is asked of all chords too.
        #[test]
        fn a_level_is_as_wide_as_all_chords_say(
            corners in prop::collection::vec((-500.0..500.0, -500.0..500.0), 3..60),
            level in -600.0..600.0_f64,
            at_a_corner in any::<bool>(),
        ) {
            let mut points: Vec<Point> = corners.iter().map(|(x, y)| Point::new(*x, *y)).collect();
            points.push(points[0]);
            let y = if at_a_corner { points[1].y } else { level };
            let all = across(points.windows(2).map(|w| [w[0], w[1]]), y);
            let banded = Ring::of(points).across(y);
            prop_assert!((all - banded).abs() < 1e-9, "{all} and {banded}");
        }
    }

    /// Would catch a division by the height of a line that has none.
    #[test]
    fn a_level_line_has_no_width() {
        let flat = vec![
            Point::new(0.0, 5.0),
            Point::new(9.0, 5.0),
            Point::new(0.0, 5.0),
        ];
        assert!(Ring::of(flat).across(5.0).abs() < 1e-9);
        assert!(Ring::of(Vec::new()).across(0.0).abs() < 1e-9);
    }
}
