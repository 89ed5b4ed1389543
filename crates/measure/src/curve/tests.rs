//! Curves against closed forms and against many chords.

use proptest::prelude::*;

use super::*;
use crate::angle;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn circle(r: f64) -> Curve {
    Curve::arc(p(0.0, 0.0), p(r, 0.0), Angle::degrees(360.0)).unwrap()
}

#[test]
fn a_circle_has_its_closed_forms() {
    // Catches: wrong handles of an arc, wrong sign of area or curvature.
    for r in [5.0, 100.0, 1000.0] {
        let c = circle(r);
        let round = core::f64::consts::TAU * r;
        assert!((c.length().in_mm() - round).abs() < 1e-6 * r);
        assert!((c.area() - core::f64::consts::PI * r * r).abs() < 1e-6 * r * r);
        for k in 0..20 {
            let at = Length::mm(round * (f64::from(k) + 0.37) / 20.0);
            assert!((c.curvature(at) - 1.0 / r).abs() < 1e-4 / r);
            assert!((c.at(at).point.distance(p(0.0, 0.0)).in_mm() - r).abs() < 1e-6 * r);
        }
    }
}

#[test]
fn a_parabola_is_as_long_as_its_closed_form() {
    // y = x² from 0 to 1, a hundredfold: (√5 / 2 + asinh(2) / 4) · 100.
    let (a, b, c) = (p(0.0, 0.0), p(50.0, 0.0), p(100.0, 100.0));
    let curve = Curve::cubic(a, a.toward(b, 2.0 / 3.0), c.toward(b, 2.0 / 3.0), c).unwrap();
    let five = 5.0_f64.sqrt();
    let want = 100.0 * (five / 2.0 + angle::ln(2.0 + five) / 4.0);
    assert!((curve.length().in_mm() - want).abs() < 1e-6);
    // The area under it is a third of the square.
    let ring = Curve::joined([
        &curve,
        &Curve::line(c, p(0.0, 100.0)).unwrap(),
        &Curve::line(p(0.0, 100.0), a).unwrap(),
    ])
    .unwrap();
    assert!((ring.area().abs() - 20_000.0 / 3.0).abs() < 1e-6);
}

#[test]
fn what_has_no_length_or_no_number_is_refused() {
    // Catches: silent repair of bad input.
    let a = p(1.0, 1.0);
    assert!(Curve::line(a, a).is_err());
    assert!(Curve::cubic(a, a, a, a).is_err());
    assert!(Curve::line(a, p(f64::NAN, 0.0)).is_err());
    assert!(Curve::cubic(a, p(f64::INFINITY, 0.0), a, p(2.0, 2.0)).is_err());
    assert!(Curve::polyline(&[a, a, a]).is_err());
    assert!(Curve::polyline(&[a]).is_err());
    assert!(Curve::from_segments(Vec::new()).is_err());
    assert!(Curve::arc(a, a, Angle::degrees(90.0)).is_err());
    assert!(Curve::arc(a, p(2.0, 1.0), Angle::ZERO).is_err());
    assert!(Curve::arc(a, p(2.0, 1.0), Angle::radians(f64::NAN)).is_err());
    let gap = vec![
        Segment::Line {
            from: p(0.0, 0.0),
            to: p(1.0, 0.0),
        },
        Segment::Line {
            from: p(1.1, 0.0),
            to: p(2.0, 0.0),
        },
    ];
    assert!(Curve::from_segments(gap).is_err());
    let line = Curve::line(p(0.0, 0.0), p(10.0, 0.0)).unwrap();
    assert!(line.sub(Length::mm(3.0), Length::mm(3.0)).is_err());
    assert!(line.sub(Length::mm(11.0), Length::mm(12.0)).is_err());
}

#[test]
fn a_part_from_the_later_to_the_earlier_runs_backward() {
    let line = Curve::line(p(0.0, 0.0), p(10.0, 0.0)).unwrap();
    let back = line.sub(Length::mm(7.0), Length::mm(2.0)).unwrap();
    assert_eq!((back.start(), back.end()), (p(7.0, 0.0), p(2.0, 0.0)));
}

#[test]
fn handles_on_the_ends_still_give_directions() {
    // Catches: a direction of no size where a handle lies on its end.
    let c = Curve::cubic(p(0.0, 0.0), p(0.0, 0.0), p(10.0, 10.0), p(10.0, 10.0)).unwrap();
    assert!((c.start_direction().x - c.start_direction().y).abs() < 1e-9);
    assert!((c.end_direction().size() - 1.0).abs() < 1e-9);
}

/// Cubics as a garment has them: 20 mm to a metre and a half, handles up to as long as the chord.
pub(crate) fn cubics() -> impl Strategy<Value = Curve> {
    (
        20.0..1500.0_f64,
        0.1..1.0_f64,
        -1.2..1.2_f64,
        0.1..1.0_f64,
        -1.2..1.2_f64,
        0.0..6.0_f64,
    )
        .prop_filter_map("no length", |(chord, h1, a1, h2, a2, turn)| {
            let way = Vector::new(1.0, 0.0).turned(Angle::radians(turn));
            let (a, b) = (p(0.0, 0.0), p(0.0, 0.0) + way * chord);
            let c1 = a + way.turned(Angle::radians(a1)) * (chord * h1);
            let c2 = b - way.turned(Angle::radians(a2)) * (chord * h2);
            Curve::cubic(a, c1, c2, b).ok()
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn arc_length_is_what_many_chords_add_up_to(curve in cubics()) {
        // Catches: a tolerance that is no bound. Chords are short by about 1/n².
        let segment = curve.segments()[0];
        let n = 20_000;
        let mut sum = 0.0;
        let mut before = segment.point(0.0);
        for i in 1..=n {
            let next = segment.point(f64::from(i) / f64::from(n));
            sum += (next - before).size();
            before = next;
        }
        prop_assert!((sum - curve.length().in_mm()).abs() < 1e-4, "{} {}", sum, curve.length().in_mm());
    }

    #[test]
    fn there_and_back_is_the_same_place(curve in cubics(), part in 0.0..1.0_f64) {
        // Catches: a place that is not as far along as was asked.
        let at = curve.length() * part;
        let place = curve.at(at);
        if let Ok(head) = curve.sub(Length::ZERO, at) {
            prop_assert!((head.length() - at).in_mm().abs() < 1e-6);
            prop_assert!((head.end() - place.point).size() < 1e-6);
            let tail = curve.sub(at, curve.length());
            let rest = tail.map_or(0.0, |t| t.length().in_mm());
            prop_assert!((head.length().in_mm() + rest - curve.length().in_mm()).abs() < 1e-5);
        }
        let near = curve.nearest(place.point);
        prop_assert!(near.distance.in_mm() < 1e-6, "{}", near.distance.in_mm());
        let back = curve.reversed();
        prop_assert!((back.at(curve.length() - at).point - place.point).size() < 1e-5);
    }

    #[test]
    fn chords_stay_within_the_tolerance(curve in cubics(), fine in 0.001..1.0_f64) {
        // Catches: a bound that is none.
        let chain = Curve::polyline(&curve.flatten(Length::mm(fine))).unwrap();
        for i in 0..=200 {
            let place = curve.at(curve.length() * (f64::from(i) / 200.0)).point;
            prop_assert!(chain.nearest(place).distance.in_mm() <= fine + 1e-6);
        }
    }

    #[test]
    fn parts_of_a_long_curve_keep_its_length(a in cubics(), from in 0.0..1.0_f64, to in 0.0..1.0_f64) {
        // Catches: segments lost or doubled where a part begins or ends on a joint.
        let b = Curve::line(a.end(), a.end() + a.end_direction() * 100.0).unwrap();
        let long = Curve::joined([&a, &b]).unwrap();
        let (s, e) = (long.length() * from.min(to), long.length() * from.max(to));
        if let Ok(part) = long.sub(s, e) {
            prop_assert!((part.length() - (e - s)).in_mm().abs() < 1e-5);
        }
        let split = long.sub(Length::ZERO, a.length()).unwrap();
        prop_assert!((split.length() - a.length()).in_mm().abs() < 1e-6);
    }
}
