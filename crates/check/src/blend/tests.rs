//! Hollow blends against W1 and the closed form.

use measure::{Angle, Curve, Point};
use proptest::prelude::*;

use super::*;
use crate::sketch::{Sketch, at, through, w1, w1_side};

/// A corner of W1 between its two slopes, blended by an arc of so many inches each way.
fn blended(phi: Angle, t: f64) -> Curve {
    // Coming down inward by 16.39 degrees and leaving outward by the rest, as W1 does.
    let half = phi.in_radians() / 2.0;
    let radius = t / angle::tan(half);
    let inward = Angle::degrees(16.39);
    let down = measure::Vector::new(0.0, 1.0);
    // A clockwise turn of "down" points to the left: inward for a side on the right.
    let (into, away) = (down.turned(inward), down.turned(inward - phi));
    let corner = at(7.5, 19.0);
    let (a, b) = (corner - into * (t * 25.4), corner + away * (t * 25.4));
    let top = a - into * (9.0 * 25.4);
    let foot = b + away * (26.0 * 25.4);
    let centre = a + into.left() * (radius * 25.4);
    let arc = Curve::arc(centre, a, -phi).unwrap();
    let arc = arc.with_ends(a, b).unwrap();
    Curve::joined([
        &Curve::line(Point::new(top.x, -10.0), top).unwrap(),
        &Curve::line(top, a).unwrap(),
        &arc,
        &Curve::line(b, foot).unwrap(),
    ])
    .unwrap()
}

fn hollow_of(sketch: &Sketch) -> Hollow {
    let seen = Seen::of(&sketch.subject());
    hollow(&seen.parts[0].edges[seen.parts[0].edge("side").unwrap()]).unwrap()
}

/// W1: a turn of 37.29 degrees with an allowance of 1/2 in: a blend of 1/2 in each way has radius 1.48
/// and a stretch of 102 %, one of 3 in radius 8.89 and 11.9 % (derived; trade page on faults, F12).
/// Would catch a radius read off chords, or an allowance reckoned once instead of twice.
#[test]
fn w1_s_blends_stretch_as_its_sums_say() {
    let phi = Angle::degrees(37.29);
    for (t, radius, stretch, weight) in [
        (0.5, 1.48, 1.02, Weight::Ask),
        (3.0, 8.89, 0.119, Weight::Note),
    ] {
        let sketch = w1(&blended(phi, t), 0.5);
        let hollow = hollow_of(&sketch);
        assert!(
            (hollow.radius / 25.4 - radius).abs() < 0.02,
            "{t}: {hollow:?}"
        );
        assert!(
            (hollow.stretch - stretch).abs() < 0.012 * stretch,
            "{t}: {hollow:?}"
        );
        let found = sketch.find(find);
        assert_eq!(found.len(), 1, "{found:#?}");
        assert_eq!((found[0].rule.as_str(), found[0].weight), ("F12", weight));
        assert_eq!(sketch.broken(), ["F12"]);
    }
}

/// W1: 16.39 + 20.90 = 37.29 degrees at the break, both straight lines.
#[test]
fn w1_turns_by_37_29_degrees_at_the_break() {
    let sketch = w1(&w1_side(), 0.5);
    let seen = Seen::of(&sketch.subject());
    let part = &seen.parts[0];
    let (turn, point) = turn_at_break(&seen, part, part.edge("side").unwrap()).unwrap();
    assert!((turn.in_degrees() - 37.29).abs() < 0.01, "{turn:?}");
    assert!((point - at(7.5, 19.0)).size() < 0.01);
    // As ruled it is two hard corners half an inch from the break: the allowance can't be pressed open.
    let found = sketch.find(find);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].weight, Weight::Ask);
}

/// Would catch a limit of the turn that slipped.
#[test]
fn a_seam_that_turns_by_more_than_40_degrees_is_asked_about() {
    for (flare, asked) in [(16.0, false), (17.5, true)] {
        // 16.39 inward; outward so that the sum lies on either side of 40.
        let side = through(&[
            (7.5, -0.25),
            (10.0, 8.0),
            (10.0, 10.0),
            (7.5, 18.5),
            (7.5, 19.5),
            (7.5 + flare - 5.0, 45.5),
        ]);
        let sketch = w1(&side, 0.01);
        let turns: Vec<f64> = sketch
            .find(find)
            .iter()
            .filter_map(|f| match f.amount {
                Some(Amount::Angle(a)) => Some(a.in_degrees()),
                _ => None,
            })
            .collect();
        assert_eq!(turns.len(), usize::from(asked), "{turns:?}");
        assert!(turns.iter().all(|t| *t > 40.0 && *t < 42.5), "{turns:?}");
    }
}

/// Would catch a round edge taken for a hollow one: the allowance of a round edge is eased, not
/// stretched.
#[test]
fn a_round_edge_is_not_hollow() {
    let round = Curve::joined([
        &through(&[(8.0, 0.0), (12.0, 12.0)]),
        &through(&[(12.0, 12.0), (10.0, 45.0)]),
    ])
    .unwrap();
    let found = w1(&round, 1.0).find(find);
    assert!(found.is_empty(), "{found:#?}");
}

/// Would catch a stretch without end where the allowance is as wide as the hollow.
#[test]
fn a_hollow_no_wider_than_its_allowance_is_hopeless() {
    assert!(stretch(10.0, 10.0) >= HOPELESS);
    assert!(stretch(9.0, 10.0) >= HOPELESS);
    assert!((stretch(110.0, 10.0) - 0.2).abs() < 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// The closed form 2 SA / (R - SA), R = t / tan(phi / 2), for any blend: the amount is right, and
    /// the weight on either side of both limits.
    #[test]
    fn every_blend_stretches_by_the_closed_form(
        phi in 12.0_f64..39.0,
        t in 1.5_f64..6.0,
        allowance in 0.25_f64..1.0,
    ) {
        let phi = Angle::degrees(phi);
        let radius = t / angle::tan(phi.in_radians() / 2.0);
        // The arc must be longer than the half inch over which it is judged.
        prop_assume!(radius * phi.in_radians() > 0.6 && radius > allowance + 0.5);
        let wanted = 2.0 * allowance / (radius - allowance);
        prop_assume!((wanted - CLIP).abs() > 0.002 && (wanted - ASK).abs() > 0.005);
        let sketch = w1(&blended(phi, t), allowance);
        let stretches: Vec<(Weight, f64)> = sketch
            .find(find)
            .iter()
            .filter_map(|f| match f.amount {
                Some(Amount::Share(s)) => Some((f.weight, s)),
                _ => None,
            })
            .collect();
        if wanted <= CLIP {
            prop_assert!(stretches.is_empty(), "{wanted} {stretches:?}");
        } else {
            prop_assert_eq!(stretches.len(), 1);
            let (weight, said) = stretches[0];
            prop_assert!((said / wanted - 1.0).abs() < 0.01, "{said} for {wanted}");
            prop_assert_eq!(weight, if wanted > ASK { Weight::Ask } else { Weight::Note });
        }
    }
}
