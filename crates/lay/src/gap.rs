//! Outlines made larger all round, so that pieces keep a gap.

use crate::nofit::{FINEST, Fine, close_up, no_fit};
use crate::outline::{Outline, OutlineFault};

/// How many sides the round has that an outline is grown by.
const SIDES: u32 = 24;

/// The outline with all that lies within `by` of it, and at most a hundredth of `by` more.
///
/// # Errors
/// When nothing sound comes of it.
pub(crate) fn grown(outline: &Outline, by: f64) -> Result<Outline, OutlineFault> {
    let b = outline.bounds();
    let size = (b[2] - b[0]).max(b[3] - b[1]) + 2.0 * by;
    #[expect(clippy::cast_precision_loss, reason = "a power of two")]
    let grid = size * 1.01 / FINEST as f64;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "at most FINEST, by the choice of the grid"
    )]
    let fine = |p: [f64; 2]| -> Fine {
        [
            ((p[0] - b[0]) / grid).round() as i64,
            ((p[1] - b[1]) / grid).round() as i64,
        ]
    };
    // Round the circle, so that nothing is grown by less; symmetric, so that its mirror is itself.
    let far = by / measure::angle::cos(core::f64::consts::PI / f64::from(SIDES)) + grid;
    let round: Vec<Fine> = (0..SIDES)
        .map(|i| {
            let [c, s] = crate::outline::direction(360.0 * (f64::from(i) + 0.5) / f64::from(SIDES));
            fine([b[0] + far * c, b[1] + far * s])
        })
        .collect();
    let mut points: Vec<Fine> = outline.points().iter().map(|p| fine(*p)).collect();
    close_up(&mut points);
    #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
    let lines = no_fit(&points, &round).into_iter().map(|line| {
        let points: Vec<[f64; 2]> = line
            .into_iter()
            .map(|p| [b[0] + p[0] as f64 * grid, b[1] + p[1] as f64 * grid])
            .collect();
        points
    });
    // Holes are smaller than the gap: nothing could lie in them.
    let wide = |l: &Vec<[f64; 2]>| {
        let b = crate::outline::bounds(l);
        b[2] - b[0]
    };
    let outer = lines.max_by(|a, b| wide(a).total_cmp(&wide(b)));
    Outline::new(&outer.unwrap_or_default())
}

/// What of a closed line lies at y = 0 and above.
pub(crate) fn above(points: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut out = Vec::with_capacity(points.len());
    for (i, &p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        if p[1] >= 0.0 {
            out.push(p);
        }
        if (p[1] >= 0.0) != (q[1] >= 0.0) {
            let t = p[1] / (p[1] - q[1]);
            out.push([p[0] + t * (q[0] - p[0]), 0.0]);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch an outline that is grown too little anywhere, or much too far.
    #[test]
    fn a_square_grows_by_its_gap_all_round() {
        let square = Outline::new(&[[0.0, 0.0], [100.0, 0.0], [100.0, 50.0], [0.0, 50.0]]).unwrap();
        let grown = grown(&square, 5.0).unwrap();
        // Area of the sum with a disc: area + girth times r + pi r squared (Steiner).
        let disc = 5000.0 + 300.0 * 5.0 + core::f64::consts::PI * 25.0;
        assert!(
            (disc..disc + 12.0).contains(&grown.area()),
            "{}",
            grown.area()
        );
        let b = grown.bounds();
        assert!(
            b.iter()
                .zip([-5.0, -5.0, 105.0, 55.0])
                .all(|(a, b)| (a - b).abs() < 0.06),
            "{b:?}"
        );
    }

    /// Would catch a hollow that is filled, or a fault where the gap closes it.
    #[test]
    fn hollows_close_when_nothing_fits_in_them() {
        let u = Outline::new(&[
            [0.0, 0.0],
            [30.0, 0.0],
            [30.0, 30.0],
            [17.0, 30.0],
            [17.0, 10.0],
            [13.0, 10.0],
            [13.0, 30.0],
            [0.0, 30.0],
        ])
        .unwrap();
        let open = grown(&u, 1.0).unwrap().area();
        let shut = grown(&u, 3.0).unwrap().area();
        assert!(open < 32.0 * 32.0 - 2.0 * 18.0, "{open}");
        assert!(shut > 36.0 * 36.0 - 12.0, "{shut}");
    }
}
