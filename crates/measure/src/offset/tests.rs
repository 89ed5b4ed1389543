//! Offsets against closed forms, and their distance from what they run beside.

use proptest::prelude::*;

use super::*;
use crate::Angle;
use crate::curve::tests::cubics;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn inches(x: f64) -> Length {
    Length::inches(x)
}

#[test]
fn a_line_goes_to_the_left() {
    // Catches: the wrong side. Walking to the right, left is up the paper.
    let line = Curve::line(p(0.0, 0.0), p(100.0, 0.0)).unwrap();
    let off = line.offset(Length::mm(10.0)).unwrap();
    assert_eq!((off.start(), off.end()), (p(0.0, -10.0), p(100.0, -10.0)));
}

#[test]
fn an_arc_grows_outside_and_shrinks_inside() {
    // Catches: the wrong side of a cubic, or an offset that is no circle. Closed form.
    let arc = Curve::arc(p(0.0, 0.0), p(200.0, 0.0), Angle::degrees(120.0)).unwrap();
    let sweep = Angle::degrees(120.0).in_radians();
    for (by, radius) in [
        (25.4, 225.4),
        (-25.4, 174.6),
        (150.0, 350.0),
        (-150.0, 50.0),
    ] {
        let off = arc.offset(Length::mm(by)).unwrap();
        assert!((off.length().in_mm() - radius * sweep).abs() < 0.05);
        for i in 0..=50 {
            let place = off.at(off.length() * (f64::from(i) / 50.0)).point;
            assert!((place.distance(p(0.0, 0.0)).in_mm() - radius).abs() < 0.011);
        }
    }
}

#[test]
fn the_allowance_at_a_blended_break_must_stretch_as_f12_says() {
    // trade/faults-and-checks.md F12 and W1: the turn is 37.29 degrees; a blend of t on each side has
    // radius t / tan(half the turn). The allowance is cut on R - SA and lies on R + SA.
    let turn = Angle::degrees(37.29);
    let extra = 2.0 * 0.5 * turn.in_radians();
    assert!((extra - 0.651).abs() < 0.0005);
    for (t, radius, percent) in [(0.5, 1.48, 102.0), (3.0, 8.89, 11.9)] {
        let r = t / crate::angle::tan(turn.in_radians() / 2.0);
        assert!((r - radius).abs() < 0.005);
        let arc = Curve::arc(p(0.0, 0.0), p(r * 25.4, 0.0), -turn).unwrap();
        // Walked anticlockwise, the hollow side is on the left.
        let cut = arc.offset(inches(0.5)).unwrap().length();
        let lies = arc.offset(inches(-0.5)).unwrap().length();
        assert!(((lies - cut).in_inches() - extra).abs() < 0.002);
        assert!(
            ((lies / cut - 1.0) * 100.0 - percent).abs() < 0.6,
            "{}",
            lies / cut
        );
    }
}

#[test]
fn a_turned_up_hem_has_the_excess_of_w10() {
    // trade/worked-examples.md W10: depth times the angle of the sector.
    for (degrees, parts, depth, want) in [
        (360.0, 1.0, 1.0, core::f64::consts::TAU),
        (180.0, 1.0, 1.0, core::f64::consts::PI),
        (12.198, 8.0, 2.0, 3.406),
    ] {
        let hem = Curve::arc(p(0.0, 0.0), p(1000.0, 0.0), Angle::degrees(degrees)).unwrap();
        let top = hem.offset(inches(-depth)).unwrap();
        let excess = (hem.length() - top.length()).in_inches() * parts;
        assert!((excess - want).abs() < 0.002, "{excess}");
    }
}

#[test]
fn a_corner_is_carried_on_outside_and_cut_inside() {
    // Catches: a gap or a loop at a corner. Closed form of a square corner.
    let bent = Curve::polyline(&[p(0.0, 0.0), p(100.0, 0.0), p(100.0, 100.0)]).unwrap();
    let out = bent.offset(Length::mm(10.0)).unwrap();
    assert!((out.length().in_mm() - 220.0).abs() < 1e-9);
    let inner = bent.offset(Length::mm(-10.0)).unwrap();
    assert!((inner.length().in_mm() - 180.0).abs() < 1e-6);
    assert!(inner.self_crossings().is_empty());
}

#[test]
fn a_needle_is_bevelled_at_twice_the_distance() {
    let needle = Curve::polyline(&[p(0.0, 0.0), p(100.0, 0.0), p(0.0, 1.0)]).unwrap();
    let off = needle.offset(Length::mm(10.0)).unwrap();
    let (_, high) = off.bounds();
    assert!((high.x - 120.0).abs() < 0.1, "{high:?}");
    let back = Curve::polyline(&[p(0.0, 0.0), p(100.0, 0.0), p(0.0, 0.0)]).unwrap();
    assert!(back.offset(Length::mm(10.0)).is_ok());
}

#[test]
fn a_hollow_tighter_than_the_distance_loses_its_loop() {
    // Catches: the swallow-tail of an offset wider than the radius (a short blend at the break).
    for by in [30.0, 60.0, 90.0] {
        let a = Curve::line(p(0.0, 0.0), p(200.0, 0.0)).unwrap();
        let b = Curve::arc(p(200.0, -20.0), p(200.0, 0.0), Angle::degrees(-60.0)).unwrap();
        let c = Curve::line(b.end(), b.end() + b.end_direction() * 200.0).unwrap();
        let knee = Curve::joined([&a, &b, &c]).unwrap();
        let off = knee.offset(Length::mm(by)).unwrap();
        assert!(off.self_crossings().is_empty());
        for i in 0..=400 {
            let place = off.at(off.length() * (f64::from(i) / 400.0)).point;
            let away = knee.nearest(place).distance.in_mm();
            assert!((away - by).abs() < 0.05, "{by}: {away}");
        }
    }
}

#[test]
fn odd_cubics_are_set_off_without_numbers_that_are_none() {
    // Catches: what paper/geometry.md found: collinear handles that overshoot gave 256 pieces, a
    // single point gave no number.
    let odd = [
        (p(0.0, 0.0), p(300.0, 0.0), p(-200.0, 0.0), p(100.0, 0.0)),
        (p(0.0, 0.0), p(0.0, 0.0), p(100.0, 0.0), p(100.0, 0.0)),
        (p(0.0, 0.0), p(0.0, 0.0), p(0.0, 0.0), p(100.0, 50.0)),
        (p(0.0, 0.0), p(100.0, 0.0), p(100.0, 0.0), p(100.0, 0.0)),
        (p(0.0, 0.0), p(100.0, 100.0), p(0.0, 100.0), p(100.0, 0.0)),
        (p(0.0, 0.0), p(1e-5, 0.0), p(0.0, 1e-5), p(1e-5, 1e-5)),
    ];
    for (a, c1, c2, b) in odd {
        let curve = Curve::cubic(a, c1, c2, b).unwrap();
        for by in [-30.0, 30.0] {
            let raw = curve.beside(&|_| Length::mm(by));
            assert!(raw.len() < 300, "{}", raw.len());
            assert!(raw.iter().all(|s| s.segment.is_finite()));
            let _ = curve.offset(Length::mm(by));
        }
    }
}

#[test]
fn a_ramp_is_as_wide_as_it_says_at_every_place() {
    // paper/geometry.md 2: check the distance point by point against the ramp.
    let s = Curve::cubic(p(0.0, 0.0), p(-60.0, 150.0), p(60.0, 250.0), p(0.0, 400.0)).unwrap();
    let whole = s.length();
    let by = |along: Length| inches(0.5) + inches(0.75) * (along / whole).clamp(0.0, 1.0);
    let off = s.offset_by(&by).unwrap();
    for i in 0..=100 {
        let along = whole * (f64::from(i) / 100.0);
        let place = s.at(along);
        let want = place.point + place.direction.left() * by(along).in_mm();
        assert!(off.nearest(want).distance.in_mm() < 0.01);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn every_place_keeps_its_distance(curve in cubics(), by in 3.0..60.0_f64, left in any::<bool>()) {
        // Catches: an offset that is off by more than the promise, or a loop left in it.
        prop_assume!(curve.self_crossings().is_empty() && curve.length().in_mm() > 2.0 * by);
        let by = if left { by } else { -by };
        // An end that is swallowed by another part has no place of its own; see `offset`.
        let keeps = |at: Length| {
            let place = curve.at(at);
            let end = place.point + place.direction.left() * by;
            curve.nearest(end).distance.in_mm() > by.abs() - 1e-6
        };
        prop_assume!(keeps(Length::ZERO) && keeps(curve.length()));
        if let Ok(off) = curve.offset(Length::mm(by)) {
            for i in 0..=200 {
                let place = off.at(off.length() * (f64::from(i) / 200.0)).point;
                let away = curve.nearest(place).distance.in_mm();
                prop_assert!((away - by.abs()).abs() < 0.05, "{} at {}", away, i);
            }
        }
    }
}

/// Lines that were laid together leave crumbs between them; would catch one that stops the whole work.
#[test]
fn a_crumb_within_a_curve_is_no_hindrance() {
    let p = |x: f64, y: f64| Point::new(x, y);
    let crumb = p(50.0 + 4e-7, 0.0);
    let curve = Curve::from_segments(vec![
        Segment::Line {
            from: p(0.0, 0.0),
            to: p(50.0, 0.0),
        },
        Segment::Cubic {
            from: p(50.0, 0.0),
            c1: p(50.0 + 1e-7, 0.0),
            c2: p(50.0 + 3e-7, 0.0),
            to: crumb,
        },
        Segment::Line {
            from: crumb,
            to: p(100.0, 0.0),
        },
    ])
    .unwrap();
    let beside = curve.offset(Length::mm(10.0)).unwrap();
    assert!((beside.length().in_mm() - 100.0).abs() < 0.05);
}

#[test]
fn a_hair_of_a_corner_under_a_growing_width_is_no_slit() {
    // Catches: a slit from the cutting line to the stitching line and back. So a side came out after a
    // correction: its two stretches meet with an outer corner of a twentieth of a degree, and the lines
    // beside them, which lean with the width, turn inward there.
    let cubic = |from: (f64, f64), c1: (f64, f64), c2: (f64, f64), to: (f64, f64)| Segment::Cubic {
        from: p(from.0, from.1),
        c1: p(c1.0, c1.1),
        c2: p(c2.0, c2.1),
        to: p(to.0, to.1),
    };
    let line = Curve::from_segments(vec![
        cubic(
            (235.342_359, 215.9),
            (235.198_237, 223.896_296),
            (235.088_682, 231.892_593),
            (235.022_440, 239.888_889),
        ),
        cubic(
            (235.022_440, 239.888_889),
            (235.000_607, 242.273_592),
            (234.936_140, 244.662_881),
            (234.831_165, 247.056_417),
        ),
    ])
    .unwrap();
    for slope in [-0.041_188, -0.02, 0.0, 0.02, 0.041_188] {
        let by = |s: Length| Length::mm(25.4 + slope * s.in_mm());
        let beside = line.beside(&by);
        let long: f64 = beside
            .iter()
            .map(|b| (b.segment.to() - b.segment.from()).size())
            .sum();
        assert!(long < line.length().in_mm() + 1.0, "{slope}: {long}");
        for b in &beside {
            for t in [0.0, 0.5, 1.0] {
                let near = line.nearest(b.segment.point(t));
                let off = near.distance.in_mm() - by(near.along).in_mm();
                assert!(off.abs() < 0.05, "{slope}: {off}");
            }
        }
    }
}
