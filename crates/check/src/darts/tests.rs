//! Darts in a waist drawn so that it runs on straight when they are closed, and then broken.

use measure::angle::{atan, hypot, sin, tan};
use measure::{Angle, Curve, Length, Point, Vector};
use piece::{Dart, Role};
use proptest::prelude::*;

use crate::finding::{Amount, Finding, Weight};
use crate::samples::{CARD, METHOD, made};
use crate::sketch::{Sketch, at, edge, through};

/// Half a skirt with one dart, in inches, its hip so far down. The waist goes up to the dart by as much as
/// it turns when the dart is closed, and by `kink` degrees more.
fn darted(intake: f64, long: f64, hip: f64, kink: f64) -> Sketch {
    let half = Angle::radians(atan(intake / 2.0 / long));
    let (m0, m1) = (5.0 - intake / 2.0, 5.0 + intake / 2.0);
    let up = half.in_radians() * 1.2;
    let left = Vector::OUTWARD.turned(-half - Angle::degrees(kink));
    let right = Vector::OUTWARD.turned(half);
    let leg = |a: Point, from: Vector, to: Vector, b: Point| {
        let third = (b - a).size() / 3.0;
        Curve::cubic(a, a + from * third, b - to * third, b).unwrap()
    };
    let waist = Curve::joined(&[
        leg(at(0.0, 0.0), Vector::OUTWARD, left, at(m0, -up)),
        Curve::line(at(m0, -up), at(m1, -up)).unwrap(),
        leg(at(m1, -up), right, Vector::OUTWARD, at(10.0, 0.0)),
    ])
    .unwrap();
    let first = leg(at(0.0, 0.0), Vector::OUTWARD, left, at(m0, -up)).length();
    let mut sketch = Sketch::new().piece(
        "front",
        true,
        vec![
            edge("waist", Role::Seam, waist, 0.5),
            edge(
                "side",
                Role::Seam,
                through(&[(10.0, 0.0), (10.0, 30.0)]),
                0.5,
            ),
            edge("hem", Role::Hem, through(&[(10.0, 30.0), (0.0, 30.0)]), 1.0),
            edge(
                "centre",
                Role::Fold,
                through(&[(0.0, 30.0), (0.0, 0.0)]),
                0.0,
            ),
        ],
    );
    sketch.worked.pieces[0].darts.push(Dart {
        name: "dart".into(),
        edge: "waist".into(),
        mouth: (first, first + Length::inches(intake)),
        tip: at(5.0, long - up),
        pressed: None,
    });
    sketch.levels(&[("hip", hip)])
}

/// What the rules of sewing find; those of her body have no body here.
fn ours(sketch: &Sketch) -> Vec<Finding> {
    let finders = [
        crate::darts::find,
        crate::corners::find,
        crate::seams::find,
        crate::allowances::find,
    ];
    finders.iter().flat_map(|find| sketch.find(*find)).collect()
}

fn only(sketch: &Sketch, rule: &str) -> Finding {
    let found = ours(sketch);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].rule, rule, "{found:#?}");
    found[0].clone()
}

fn degrees(finding: &Finding) -> f64 {
    match finding.amount {
        Some(Amount::Angle(a)) => a.in_degrees(),
        other => panic!("{other:?} is no angle"),
    }
}

fn inches(finding: &Finding) -> f64 {
    match finding.amount {
        Some(Amount::Length(l)) => l.in_inches(),
        other => panic!("{other:?} is no length"),
    }
}

/// Worked example W5 (closed form): intake 1, length 5.5, a straight waist closed is 169.61 degrees.
#[test]
fn a_straight_waist_closed_is_the_angle_of_w5() {
    let half = atan(0.5 / 5.5).to_degrees();
    let mut sketch = darted(1.0, 5.5, 9.0, 0.0);
    let straight = through(&[(0.0, 0.0), (10.0, 0.0)]);
    sketch.worked.pieces[0].edges[0].curve = straight;
    let dart = &mut sketch.worked.pieces[0].darts[0];
    dart.mouth = (Length::inches(4.5), Length::inches(5.5));
    dart.tip = at(5.0, 5.5);
    let found = only(&sketch, "F5");
    assert_eq!(found.weight, Weight::Ask);
    assert!((degrees(&found) + 2.0 * half).abs() < 1e-6);
    assert!((180.0 - degrees(&found).abs() - 169.61).abs() < 0.005);
    assert_eq!(
        found.says,
        "With the dart in the front waist sewn, the waist has a dip there: it turns by 10.4° instead of running on straight."
    );
}

/// Would catch a method whose waist is smoothed with the darts open.
#[test]
fn the_sample_unsmoothed_kinks_at_its_darts() {
    let rough = made(CARD, &METHOD.replace("    smooth waist\n", ""), &[]);
    assert_eq!(rough.broken(), ["F5"], "{:#?}", rough.found());
    assert_eq!(rough.found().len(), 2);
}

#[test]
fn a_low_tip_and_a_wide_dart_are_one_finding() {
    let found = only(&darted(1.6, 5.5, 6.0, 0.0), "F7");
    assert_eq!(found.weight, Weight::Ask);
    assert!(
        found.says.contains(" above the hip line, and is "),
        "{}",
        found.says
    );
    // Below the hip line.
    let found = only(&darted(0.5, 6.5, 6.0, 0.0), "F7");
    assert!(found.says.contains("below the hip line"), "{}", found.says);
    assert!(inches(&found) < 0.0);
}

/// Would catch a dart judged against a hip that its sheet does not have, or a bust dart against a hip.
#[test]
fn without_a_hip_line_nothing_is_said_of_bubbles() {
    let mut sketch = darted(1.6, 5.5, 6.0, 0.0);
    sketch.worked.levels.clear();
    assert!(ours(&sketch).is_empty());
    // A dart in the side seam points at no level.
    let mut sketch = darted(0.6, 5.5, 9.0, 0.0);
    sketch.worked.pieces[0].darts[0] = Dart {
        name: "side dart".into(),
        edge: "side".into(),
        mouth: (Length::inches(3.0), Length::inches(5.0)),
        tip: at(7.0, 4.0),
        pressed: None,
    };
    assert!(ours(&sketch).iter().all(|f| f.rule != "F7"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Would catch a turn about the wrong point or the wrong way, and chords taken for directions.
    #[test]
    fn a_kink_is_told_to_a_twentieth_of_a_degree(
        intake in 0.4..1.2f64,
        long in 4.8..6.0f64,
        kink in -9.0..9.0f64,
    ) {
        let sketch = darted(intake, long, 9.0, kink);
        if kink.abs() < 1.9 {
            prop_assert!(ours(&sketch).is_empty(), "{:#?}", ours(&sketch));
        } else if kink.abs() > 2.1 {
            let found = only(&sketch, "F5");
            prop_assert!((degrees(&found) - kink).abs() < 0.05, "{} for {kink}", degrees(&found));
        }
    }

    /// The closed form: the tip moved aside by x makes the legs differ.
    #[test]
    fn unequal_legs_are_told_to_a_hair(x in -0.9..0.9f64) {
        let (intake, long) = (0.9, 5.0);
        let mut sketch = darted(intake, long, 9.0, 0.0);
        let tip = &mut sketch.worked.pieces[0].darts[0].tip;
        tip.x += x * 25.4;
        let out = hypot(intake / 2.0 + x, long) - hypot(intake / 2.0 - x, long);
        if out.abs() < 1.0 / 16.0 - 1e-4 {
            prop_assert!(ours(&sketch).is_empty(), "{:#?}", ours(&sketch));
        } else if out.abs() > 1.0 / 16.0 + 1e-4 {
            let found = only(&sketch, "F6");
            prop_assert!((inches(&found) - out).abs() < 1e-4, "{} {out}", inches(&found));
            if (out.abs() - 0.125).abs() > 1e-3 {
                prop_assert_eq!(found.weight == Weight::Stop, out.abs() > 0.125);
            }
        }
    }

    /// Would catch a whole angle taken for half of it, and a limit that slipped.
    #[test]
    fn a_wide_dart_is_told_by_half_its_angle(half in 3.0..14.0f64) {
        let long = 4.0;
        let sketch = darted(2.0 * long * tan(half.to_radians()), long, 9.0, 0.0);
        if half < 7.45 {
            prop_assert!(ours(&sketch).is_empty(), "{:#?}", ours(&sketch));
        } else if half > 7.55 {
            let found = only(&sketch, "F7");
            prop_assert!((degrees(&found) - half).abs() < 1e-3);
            if (half - 10.0).abs() > 0.01 {
                prop_assert_eq!(found.weight == Weight::Ask, half > 10.0);
            }
        }
    }

    /// Would catch the gap taken from the waist, or a tip above the line taken for one below it.
    #[test]
    fn a_low_tip_is_told_to_a_hair(above in -1.0..2.5f64) {
        let (intake, long) = (0.8, 5.0);
        let up = atan(intake / 2.0 / long) * 1.2;
        let sketch = darted(intake, long, long - up + above, 0.0);
        if above > 0.75 + 1e-6 {
            prop_assert!(ours(&sketch).is_empty(), "{:#?}", ours(&sketch));
        } else if above < 0.75 - 1e-6 {
            let found = only(&sketch, "F7");
            prop_assert!((inches(&found) - above).abs() < 1e-6);
            prop_assert_eq!(found.weight, Weight::Ask);
        }
    }
}

/// The helper itself: would catch a dart whose waist is not straight when closed, by the sine rule.
#[test]
fn the_darted_sketch_is_right() {
    assert!(
        ours(&darted(1.0, 5.5, 9.0, 0.0)).is_empty(),
        "{:#?}",
        ours(&darted(1.0, 5.5, 9.0, 0.0))
    );
    let half = atan(0.5 / 5.5);
    let chord = 2.0 * 5.5 / measure::angle::cos(half) * sin(half);
    assert!((chord - 1.0).abs() < 1e-9);
}
