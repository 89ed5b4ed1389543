//! What a lay leaves over: the largest rectangle without a piece on it.

/// A rectangle that is left, in millimetres on the cloth as it lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Left {
    /// Least x, least y, greatest x, greatest y.
    pub place: [f64; 4],
    /// Whether it comes in two layers.
    pub doubled: bool,
}

impl Left {
    /// Its area, one layer.
    pub fn area(&self) -> f64 {
        (self.place[2] - self.place[0]) * (self.place[3] - self.place[1])
    }
}

/// The side of the squares that the cloth is looked at in, in millimetres; more where it is very long.
const SQUARE: f64 = 5.0;
/// The most squares along the cloth.
const MOST: f64 = 4000.0;

/// The largest rectangle of a stretch of cloth that no outline and no flaw reaches into.
pub(crate) fn largest(
    outlines: &[&[[f64; 2]]],
    flaws: &[[f64; 4]],
    (from, to): (f64, f64),
    height: f64,
    doubled: bool,
) -> Option<Left> {
    let long = to - from;
    if !(long > SQUARE && height > SQUARE) {
        return None;
    }
    let side = SQUARE.max(long / MOST).max(height / MOST);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "bounded above"
    )]
    let (columns, rows) = (
        (long / side).floor() as usize,
        (height / side).floor() as usize,
    );
    let mut taken = vec![false; columns * rows];
    let mut take = |x: f64, y: f64| {
        // The square, and those around it: the outline may just reach into them.
        let (i, j) = (((x - from) / side).floor(), (y / side).floor());
        for (dx, dy) in AROUND {
            let (i, j) = (i + dx, j + dy);
            if i >= 0.0 && j >= 0.0 {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "not below zero"
                )]
                let (i, j) = (i as usize, j as usize);
                if i < columns && j < rows {
                    taken[j * columns + i] = true;
                }
            }
        }
    };
    let rectangles: Vec<Vec<[f64; 2]>> = flaws
        .iter()
        .map(|f| vec![[f[0], f[1]], [f[2], f[1]], [f[2], f[3]], [f[0], f[3]]])
        .collect();
    let shapes = || {
        outlines
            .iter()
            .copied()
            .chain(rectangles.iter().map(Vec::as_slice))
    };
    for line in shapes() {
        for (k, &a) in line.iter().enumerate() {
            let b = line[(k + 1) % line.len()];
            let way = ((b[0] - a[0]).abs()).max((b[1] - a[1]).abs());
            let steps = (way / side * 2.0).ceil().clamp(1.0, 1e5);
            let mut n = 0.0;
            while n < steps {
                let t = n / steps;
                take(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]));
                n += 1.0;
            }
        }
    }
    // What lies inside, row by row.
    for row in 0..rows {
        #[expect(clippy::cast_precision_loss, reason = "small")]
        let y = (row as f64 + 0.5) * side;
        for line in shapes() {
            let mut cuts: Vec<f64> = (0..line.len())
                .map(|k| (line[k], line[(k + 1) % line.len()]))
                .filter(|(a, b)| (a[1] > y) != (b[1] > y))
                .map(|(a, b)| a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
                .collect();
            cuts.sort_by(f64::total_cmp);
            for pair in cuts.chunks_exact(2) {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "clamped to the columns"
                )]
                let at = |x: f64| ((x - from) / side).round().max(0.0) as usize;
                let (a, b) = (at(pair[0]).min(columns), at(pair[1]).min(columns));
                taken[row * columns + a..row * columns + b.max(a)].fill(true);
            }
        }
    }
    let best = largest_free(&taken, columns, rows)?;
    #[expect(clippy::cast_precision_loss, reason = "small")]
    let real = |n: usize| n as f64 * side;
    let (x0, y0, x1, y1) = best;
    // Where nothing lies before the border, it reaches to the border.
    let x1 = if x1 == columns { to } else { from + real(x1) };
    let y1 = if y1 == rows { height } else { real(y1) };
    Some(Left {
        place: [from + real(x0), real(y0), x1, y1],
        doubled,
    })
}

const AROUND: [(f64, f64); 9] = [
    (0.0, 0.0),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.0, 1.0),
    (0.0, -1.0),
    (1.0, 1.0),
    (1.0, -1.0),
    (-1.0, 1.0),
    (-1.0, -1.0),
];

/// The largest rectangle of free squares: first column, first row, and one past the last of each.
fn largest_free(
    taken: &[bool],
    columns: usize,
    rows: usize,
) -> Option<(usize, usize, usize, usize)> {
    let mut heights = vec![0_usize; columns];
    let mut best: Option<(usize, (usize, usize, usize, usize))> = None;
    for row in 0..rows {
        for (i, h) in heights.iter_mut().enumerate() {
            *h = if taken[row * columns + i] { 0 } else { *h + 1 };
        }
        // Columns whose free stretch may still grow, each with where it begins.
        let mut open: Vec<(usize, usize)> = Vec::new();
        for i in 0..=columns {
            let height = heights.get(i).copied().unwrap_or(0);
            let mut begins = i;
            while let Some(&(from, tall)) = open.last() {
                if tall <= height {
                    break;
                }
                open.pop();
                begins = from;
                let size = tall * (i - from);
                if best.is_none_or(|b| size > b.0) {
                    best = Some((size, (from, row + 1 - tall, i, row + 1)));
                }
            }
            if height > 0 && open.last().is_none_or(|l| l.1 < height) {
                open.push((begins, height));
            }
        }
    }
    best.map(|b| b.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Would catch a rectangle that is not the largest, or one that reaches into a piece.
    #[test]
    fn beside_a_board_the_rest_is_left() {
        let board: &[[f64; 2]] = &[[0.0, 0.0], [600.0, 0.0], [600.0, 300.0], [0.0, 300.0]];
        let left = largest(&[board], &[], (0.0, 1000.0), 500.0, false).unwrap();
        // 400 by 500 behind it beats 1000 by 200 above it by nothing: both are right.
        assert!(
            left.area() > 0.95 * 200_000.0 && left.area() <= 200_000.0,
            "{left:?}"
        );
        let left = largest(
            &[board],
            &[[900.0, 0.0, 910.0, 10.0]],
            (0.0, 1000.0),
            500.0,
            false,
        )
        .unwrap();
        assert!(left.place[1] >= 300.0, "{left:?}");
        assert_eq!(largest(&[], &[], (5.0, 5.0), 100.0, false), None);
    }

    proptest! {
        /// No rectangle that is told has any part of a piece on it.
        #[test]
        fn what_is_left_is_free(x in 0.0_f64..800.0, y in -50.0_f64..400.0, w in 20.0_f64..400.0, h in 20.0_f64..300.0) {
            let piece: &[[f64; 2]] = &[[x, y], [x + w, y + h / 3.0], [x + w / 2.0, y + h]];
            if let Some(left) = largest(&[piece], &[], (0.0, 1000.0), 500.0, false) {
                let p = left.place;
                let rectangle = crate::outline::Outline::new(&[[p[0], p[1]], [p[2], p[1]], [p[2], p[3]], [p[0], p[3]]]).unwrap();
                let piece = crate::outline::Outline::new(piece).unwrap();
                prop_assert!(crate::judge::overlap(&rectangle, &piece) < 1e-6);
            }
        }
    }
}
