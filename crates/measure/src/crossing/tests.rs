//! Crossings against closed forms, and that they are found in bounded time.

use proptest::prelude::*;

use super::*;
use crate::Angle;
use crate::curve::tests::cubics;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn circle(x: f64, r: f64) -> Curve {
    Curve::arc(p(x, 0.0), p(x + r, 0.0), Angle::degrees(360.0)).unwrap()
}

#[test]
fn two_circles_cross_where_euclid_says() {
    // Radii 130 and 150, centres 140 apart: x = (140² + 130² - 150²) / 280 = 50, y = ± 120.
    let found = circle(0.0, 130.0).crossings(&circle(140.0, 150.0));
    assert_eq!(found.len(), 2, "{found:?}");
    for c in found {
        assert!((c.point.x - 50.0).abs() < 1e-3 && (c.point.y.abs() - 120.0).abs() < 1e-3);
    }
}

#[test]
fn a_circle_and_a_straight_line() {
    // Chord of a 3-4-5 triangle; and a line that misses.
    let c = circle(0.0, 50.0);
    let found = c.crossings_straight(p(-100.0, 30.0), Vector::OUTWARD);
    assert_eq!(found.len(), 2);
    assert!(found.iter().all(|f| (f.1.x.abs() - 40.0).abs() < 1e-4));
    assert!(
        c.crossings_straight(p(0.0, 50.1), Vector::OUTWARD)
            .is_empty()
    );
}

#[test]
fn a_line_that_only_touches_an_end_is_met() {
    // Catches: an end missed by rounding.
    let line = Curve::line(p(0.1, 0.3), p(0.7, 0.9)).unwrap();
    assert_eq!(
        line.crossings_straight(p(0.7, 0.9), Vector::OUTWARD).len(),
        1
    );
    assert_eq!(line.crossings_straight(p(0.1, 0.3), Vector::DOWN).len(), 1);
}

#[test]
fn curves_that_lie_on_each_other_end_in_bounded_time() {
    // Catches: a search that never ends, or a flood of answers.
    let c = Curve::cubic(
        p(0.0, 0.0),
        p(100.0, 300.0),
        p(300.0, -200.0),
        p(500.0, 0.0),
    )
    .unwrap();
    assert!(c.crossings(&c).len() <= 64);
    assert!(c.crossings(&c.reversed()).len() <= 64);
    let near = c.moved(&crate::Motion::shift(Vector::new(1e-9, 0.0)));
    assert!(c.crossings(&near).len() <= 64);
    let round = circle(0.0, 300.0);
    assert!(round.crossings(&round).len() <= 64 * 64);
    let line = Curve::line(p(0.0, 0.0), p(10.0, 0.0)).unwrap();
    assert!(line.crossings(&line).len() <= 2);
}

#[test]
fn circles_that_touch_give_few_places_close_together() {
    let found = circle(0.0, 100.0).crossings(&circle(200.0, 100.0));
    assert!(found.len() < 20);
    assert!(found.iter().all(|c| (c.point - p(100.0, 0.0)).size() < 0.2));
}

#[test]
fn a_loop_is_found_and_a_closed_ring_is_none() {
    let knot = Curve::cubic(
        p(0.0, 0.0),
        p(300.0, 200.0),
        p(-200.0, 200.0),
        p(100.0, 0.0),
    )
    .unwrap();
    let found = knot.self_crossings();
    assert_eq!(found.len(), 1);
    let (a, b) = (knot.at(found[0].0).point, knot.at(found[0].1).point);
    assert!((a - b).size() < 1e-6);
    assert!(circle(0.0, 80.0).self_crossings_closed().is_empty());
    let bow = Curve::polyline(&[
        p(0.0, 0.0),
        p(10.0, 10.0),
        p(10.0, 0.0),
        p(0.0, 10.0),
        p(0.0, 0.0),
    ])
    .unwrap();
    assert_eq!(bow.self_crossings_closed().len(), 1);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn crossings_lie_on_both_and_none_is_missed(a in cubics(), b in cubics(), x in -0.5..0.5_f64, y in -0.5..0.5_f64) {
        // Catches: false places, and places missed: the count is compared with fine chords.
        let size = a.length().in_mm();
        let b = b.moved(&crate::Motion::shift(Vector::new(x * size, y * size)));
        let found = a.crossings(&b);
        for c in &found {
            prop_assert!((a.at(c.first).point - c.point).size() < 1e-5);
            prop_assert!((b.at(c.second).point - c.point).size() < 1e-5);
        }
        let (pa, pb) = (a.flatten(Length::mm(0.0005)), b.flatten(Length::mm(0.0005)));
        let mut count = 0;
        let mut touching = false;
        for v in pa.windows(2) {
            for w in pb.windows(2) {
                let (d, e) = (v[1] - v[0], w[1] - w[0]);
                let (s0, s1) = (d.cross(w[0] - v[0]), d.cross(w[1] - v[0]));
                let (t0, t1) = (e.cross(v[0] - w[0]), e.cross(v[1] - w[0]));
                if (s0 >= 0.0) != (s1 >= 0.0) && (t0 >= 0.0) != (t1 >= 0.0) {
                    count += 1;
                    touching |= d.cross(e).abs() < 0.01 * d.size() * e.size();
                }
            }
        }
        prop_assert!(touching || count == found.len(), "{} {:?}", count, found);
    }
}

#[test]
fn a_bowed_line_is_met_where_its_parabola_is() {
    // Catches: a closed formula for cubics that jumps by millimetres where the cubic is a parabola.
    // Closed form: the bow over the share t of the chord is 4 t (1 - t) times the bow in its middle.
    for bow in [-25.0, -3.0, 1e-3, 7.0, 25.0] {
        let c = Curve::bowed(p(0.0, 0.0), p(500.0, 0.0), Length::mm(bow)).unwrap();
        for k in 1..50 {
            let t = f64::from(k) / 50.0;
            let found = c.crossings_straight(p(500.0 * t, 40.0), Vector::UP);
            assert_eq!(found.len(), 1, "{bow} {k}");
            assert!((found[0].1.y + 4.0 * bow * t * (1.0 - t)).abs() < 1e-9);
        }
    }
}
