//! Things laid are held against distances reckoned side by side: nothing of the columns is used.

use proptest::prelude::{ProptestConfig, Strategy, proptest};

use super::*;
use crate::quad::{line_gap, rings};

fn ring(points: &[(f64, f64)]) -> Vec<Point> {
    points.iter().map(|(x, y)| Point::new(*x, *y)).collect()
}

fn square(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    Rect::new(x, y, w, h).corners().to_vec()
}

fn shifted(outline: &Outline, by: Vector) -> Outline {
    outline
        .iter()
        .map(|r| r.iter().map(|p| *p + by).collect())
        .collect()
}

/// How near two outlines come; nothing when they overlap.
fn apart(a: &Outline, b: &Outline) -> f64 {
    let mut best = f64::INFINITY;
    for r in a {
        for s in b {
            if rings(r, s[0]) || rings(s, r[0]) {
                return 0.0;
            }
            for i in 0..r.len() {
                for j in 0..s.len() {
                    let (p, q) = (r[i], r[(i + 1) % r.len()]);
                    best = best.min(line_gap(p, q, s[j], s[(j + 1) % s.len()]));
                }
            }
        }
    }
    best
}

fn strip(width: f64, length: f64) -> Strip {
    Strip {
        width,
        length,
        gap: 6.0,
        taken: Vec::new(),
    }
}

/// Everything is inside, and the gap is kept; gives the length used.
fn judge(things: &[Vec<Outline>], strip: &Strip, laid: &[Laid]) -> Result<f64, String> {
    let placed: Vec<(usize, Outline)> = laid
        .iter()
        .zip(things)
        .map(|(l, ways)| (l.sheet, shifted(&ways[l.way], l.by)))
        .collect();
    let mut foot = 0.0_f64;
    for (i, (sheet, a)) in placed.iter().enumerate() {
        let b = Rect::around(a.iter().flatten());
        let inside = Rect::new(0.0, 0.0, strip.width, strip.length).grown(1e-6);
        if !inside.holds_all(&b) {
            return Err(format!("{i} lies outside at {b:?}"));
        }
        foot = foot.max(b.y1);
        for (j, (other, c)) in placed.iter().enumerate().skip(i + 1) {
            if sheet == other && apart(a, c) < strip.gap - 1e-6 {
                return Err(format!("{i} and {j} are {} apart", apart(a, c)));
            }
        }
        for t in &strip.taken {
            if apart(a, &vec![t.corners().to_vec()]) < strip.gap - 1e-6 {
                return Err(format!("{i} lies on what is taken"));
            }
        }
    }
    Ok(foot)
}

fn both_ways(ring: Vec<Point>) -> Vec<Outline> {
    let turned = ring.iter().map(|p| Point::new(-p.x, -p.y)).collect();
    vec![vec![ring], vec![turned]]
}

// Catches a nest of boxes: two wedges laid head to foot take little more length than one.
#[test]
fn wedges_lie_head_to_foot() {
    let wedge = || {
        both_ways(ring(&[
            (0.0, 0.0),
            (60.0, 0.0),
            (400.0, 900.0),
            (0.0, 900.0),
        ]))
    };
    let things = vec![wedge(), wedge()];
    let strip = strip(500.0, 5000.0);
    let laid = nest(&things, &strip).unwrap();
    let foot = judge(&things, &strip, &laid).unwrap();
    assert!(foot < 980.0, "{foot}");
    assert_ne!(laid[0].way, laid[1].way);
}

// Catches places inside a thing's hollow that are never looked at.
#[test]
fn a_small_thing_lies_in_the_hollow_of_a_large_one() {
    let frame = vec![
        square(0.0, 0.0, 400.0, 40.0),
        square(0.0, 40.0, 40.0, 300.0),
        square(360.0, 40.0, 40.0, 300.0),
        square(0.0, 340.0, 400.0, 40.0),
    ];
    let things = vec![vec![frame], vec![vec![square(0.0, 0.0, 200.0, 200.0)]]];
    let strip = strip(420.0, 5000.0);
    let laid = nest(&things, &strip).unwrap();
    assert!(judge(&things, &strip, &laid).unwrap() < 381.0);
}

// Catches a thing too wide or too long that is laid all the same, and one that fits exactly but not.
#[test]
fn what_fits_in_no_way_is_told() {
    let thing = |w, h| vec![vec![vec![square(0.0, 0.0, w, h)]]];
    let strip = strip(500.0, 1000.0);
    assert!(nest(&thing(500.5, 10.0), &strip).is_none());
    assert!(nest(&thing(10.0, 1000.5), &strip).is_none());
    assert!(nest(&thing(500.0, 1000.0), &strip).is_some());
}

// Catches sheets opened while there is room on an earlier one.
#[test]
fn sheets_are_filled_before_the_next_is_begun() {
    let things: Vec<Vec<Outline>> = (0..8)
        .map(|_| vec![vec![square(0.0, 0.0, 240.0, 480.0)]])
        .collect();
    let strip = strip(500.0, 1000.0);
    let laid = nest(&things, &strip).unwrap();
    judge(&things, &strip, &laid).unwrap();
    assert_eq!(laid.iter().map(|l| l.sheet).max(), Some(1));
}

// Catches one more thing put over another, or a gap that is not found.
#[test]
fn one_more_finds_the_gap() {
    let strip = strip(500.0, 1000.0);
    let there = [
        vec![square(0.0, 0.0, 300.0, 600.0)],
        vec![square(310.5, 400.0, 180.0, 200.0)],
    ];
    let more = vec![vec![square(0.0, 0.0, 150.0, 300.0)]];
    let laid = one_more(&more, &strip, &there, 600.0, 15.0).unwrap();
    let placed = shifted(&more[0], laid.by);
    for t in &there {
        assert!(apart(&placed, t) >= 15.0 - 1e-6);
    }
    assert!(one_more(&more, &strip, &there, 600.0, 60.0).is_none());
}

fn blobs() -> impl Strategy<Value = Vec<Vec<Outline>>> {
    let one = proptest::collection::vec(0.2..1.0_f64, 5..24)
        .prop_flat_map(|r| {
            (
                proptest::strategy::Just(r),
                20.0..260.0_f64,
                20.0..400.0_f64,
            )
        })
        .prop_map(|(r, w, h)| {
            // A star round a middle: hollows and spikes, never crossing itself.
            let n = r.len();
            let points = r
                .iter()
                .enumerate()
                .map(|(i, r)| {
                    let turn =
                        crate::number::real(i) / crate::number::real(n) * core::f64::consts::TAU;
                    let way = Vector::OUTWARD.turned(measure::Angle::radians(turn));
                    Point::new(way.x * r * w, way.y * r * h)
                })
                .collect();
            both_ways(points)
        });
    proptest::collection::vec(one, 1..9)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 24,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    // Catches an overlap, a gap not kept, or a thing off the paper, for pieces of any shape.
    #[test]
    fn any_shapes_lie_apart_and_inside(things in blobs()) {
        let mut strip = strip(620.0, 1500.0);
        strip.taken = vec![Rect::new(611.0, 0.0, 9.0, 1500.0), Rect::new(590.0, 300.0, 25.0, 8.0)];
        let laid = nest(&things, &strip).unwrap();
        let judged = judge(&things, &strip, &laid);
        proptest::prop_assert!(judged.is_ok(), "{judged:?}");
        proptest::prop_assert_eq!(&laid, &nest(&things, &strip).unwrap());
    }
}
