//! The outer line of rings that cross themselves.

use super::*;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn ring(points: &[(f64, f64)]) -> Vec<Segment> {
    let n = points.len();
    (0..n)
        .map(|i| Segment::Line {
            from: p(points[i].0, points[i].1),
            to: p(points[(i + 1) % n].0, points[(i + 1) % n].1),
        })
        .collect()
}

fn area(kept: &[(Segment, usize)]) -> f64 {
    kept.iter()
        .map(|(s, _)| s.from().x * s.to().y - s.to().x * s.from().y)
        .sum::<f64>()
        / 2.0
}

#[test]
fn a_plain_ring_stays() {
    let square = ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]);
    let kept = outermost(&square).unwrap();
    assert_eq!(kept.len(), 4);
    assert!((area(&kept) - 100.0).abs() < 1e-12);
}

#[test]
fn a_backward_loop_is_cut_off() {
    // Catches: swallow-tails left on an offset. The small triangle turns the other way.
    let tailed = ring(&[
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 10.0),
        (6.0, 10.0),
        (4.0, 12.0),
        (6.0, 12.0),
        (4.0, 10.0),
        (0.0, 10.0),
    ]);
    let kept = outermost(&tailed).unwrap();
    // The square, and the triangle below the crossing.
    assert!((area(&kept) - 101.0).abs() < 1e-9, "{}", area(&kept));
}

#[test]
fn strips_that_overlap_become_one() {
    // Two squares that overlap, walked as one ring: the outer line of both.
    let twice = ring(&[
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 10.0),
        (5.0, 10.0),
        (5.0, 5.0),
        (15.0, 5.0),
        (15.0, 15.0),
        (0.0, 15.0),
    ]);
    let kept = outermost(&twice).unwrap();
    let again: Vec<Segment> = kept.iter().map(|k| k.0).collect();
    assert!(Chain::new(&again, true).meetings().is_empty());
    assert!((area(&kept) - 200.0).abs() < 1e-9, "{}", area(&kept));
}

#[test]
fn nothing_is_left_of_a_ring_walked_backward_or_without_numbers() {
    let back = ring(&[
        (0.0, 0.0),
        (0.0, 10.0),
        (10.0, 10.0),
        (10.0, 0.0),
        (0.0, 5.0),
        (20.0, 5.0),
    ]);
    let _ = outermost(&back);
    assert!(outermost(&[]).is_none());
    let bad = [Segment::Line {
        from: p(0.0, f64::NAN),
        to: p(1.0, 1.0),
    }];
    assert!(outermost(&bad).is_none());
}
