//! Smooth chains through points, and cutting chains off at a frame or behind what is nearer.

use measure::Point;

use crate::number::real;
use crate::quad::Rect;

/// A place on the body in centimetres: across from its middle (or forward), and above the floor.
pub(super) type Place = (f64, f64);

/// A chain that runs smoothly through the places.
pub(super) fn smooth(through: &[Place]) -> Vec<Place> {
    const PARTS: usize = 8;
    let Some(&first) = through.first() else {
        return Vec::new();
    };
    let mut out = vec![first];
    for i in 1..through.len() {
        let (a, b) = (through[i - 1], through[i]);
        let before = if i > 1 { through[i - 2] } else { a };
        let after = through.get(i + 1).copied().unwrap_or(b);
        for k in 1..=PARTS {
            let t = real(k) / real(PARTS);
            out.push((
                eased((before.0, a.0, b.0, after.0), t),
                eased((before.1, a.1, b.1, after.1), t),
            ));
        }
    }
    out
}

/// The cubic that leaves and arrives in the direction of the neighbours.
fn eased((before, a, b, after): (f64, f64, f64, f64), t: f64) -> f64 {
    let (leave, arrive) = ((b - before) / 2.0, (after - a) / 2.0);
    let (t2, t3) = (t * t, t * t * t);
    a * (2.0 * t3 - 3.0 * t2 + 1.0)
        + leave * (t3 - 2.0 * t2 + t)
        + b * (3.0 * t2 - 2.0 * t3)
        + arrive * (t3 - t2)
}

/// A smooth chain that comes back to where it began.
pub(super) fn smooth_ring(through: &[Place]) -> Vec<Place> {
    let n = through.len();
    if n < 3 {
        return through.to_vec();
    }
    // Two turns, of which the middle one is smooth at its seam.
    let twice: Vec<Place> = through
        .iter()
        .chain(through)
        .chain(through.first())
        .copied()
        .collect();
    let all = smooth(&twice);
    let half = n / 2 * 8;
    all.get(half..half + n * 8).unwrap_or(&all).to_vec()
}

/// The other side of the body.
pub(super) fn mirrored(chain: &[Place]) -> Vec<Place> {
    chain.iter().map(|&(x, h)| (-x, h)).collect()
}

/// Where a chain crosses a height, first of all.
pub(super) fn across(chain: &[Place], height: f64) -> Option<f64> {
    chain.windows(2).find_map(|w| {
        let ((xa, a), (xb, b)) = (w[0], w[1]);
        let between = (a - height) * (b - height) <= 0.0 && (a - b).abs() > 1e-9;
        between.then(|| xa + (xb - xa) * (a - height) / (a - b))
    })
}

/// A closed shape cut off at a frame.
pub(super) fn shape_within(shape: &[Point], frame: &Rect) -> Vec<Point> {
    let mut out = shape.to_vec();
    for side in 0..4 {
        let depth = |p: &Point| match side {
            0 => p.x - frame.x0,
            1 => frame.x1 - p.x,
            2 => p.y - frame.y0,
            _ => frame.y1 - p.y,
        };
        let given = std::mem::take(&mut out);
        for (i, p) in given.iter().enumerate() {
            let before = &given[(i + given.len() - 1) % given.len()];
            let (d, e) = (depth(p), depth(before));
            if d * e < 0.0 {
                out.push(before.toward(*p, e / (e - d)));
            }
            if d >= 0.0 {
                out.push(*p);
            }
        }
    }
    out
}

/// The stretches of a chain whose chords satisfy a test at their middles.
pub(super) fn kept(chain: &[Point], keep: impl Fn(Point) -> bool) -> Vec<Vec<Point>> {
    let mut out: Vec<Vec<Point>> = Vec::new();
    let mut open = false;
    for w in chain.windows(2) {
        if !keep(w[0].toward(w[1], 0.5)) {
            open = false;
            continue;
        }
        match out.last_mut().filter(|_| open) {
            Some(run) => run.push(w[1]),
            None => out.push(vec![w[0], w[1]]),
        }
        open = true;
    }
    out
}

/// A chain with no chord longer than this.
pub(super) fn finely(chain: &[Point], most: f64) -> Vec<Point> {
    let mut out: Vec<Point> = chain.first().copied().into_iter().collect();
    for w in chain.windows(2) {
        let n = crate::number::count((w[1] - w[0]).size() / most).clamp(1, 2000);
        for k in 1..=n {
            out.push(w[0].toward(w[1], real(k) / real(n)));
        }
    }
    out
}

/// A chain without the points that lie on their neighbours' chord within a twentieth of a unit.
pub(super) fn plainly(chain: &[Point]) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::new();
    let mut passed: Vec<Point> = Vec::new();
    for &p in chain {
        if let Some(&from) = out.last() {
            let off = passed.iter().any(|q| {
                let way = p - from;
                let size = way.size();
                size < 1e-9 || (way.cross(*q - from) / size).abs() > 0.05
            });
            if off && let Some(last) = passed.pop() {
                out.push(last);
                passed.clear();
            }
            passed.push(p);
        } else {
            out.push(p);
        }
    }
    out.extend(passed.pop());
    out
}

/// Whether a point lies inside a closed shape.
pub(super) fn inside(shape: &[Point], p: Point) -> bool {
    let mut odd = false;
    for (i, a) in shape.iter().enumerate() {
        let b = shape[(i + 1) % shape.len()];
        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
            odd = !odd;
        }
    }
    odd
}
