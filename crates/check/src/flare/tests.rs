//! Flares and slopes on either side of their limits.

use measure::angle;
use proptest::prelude::*;

use super::*;
use crate::sketch::flared;

/// Would catch a skirt taken for faulty whose front and back flare alike, or whose back flares a
/// little more.
#[test]
fn front_and_back_alike_are_right() {
    assert!(flared(3.0, 3.0).broken().is_empty());
    assert!(flared(3.0, 5.0).broken().is_empty());
    assert!(flared(3.2, 3.0).broken().is_empty());
}

/// Would catch the flare of a train left out: the back of W1 flares by 16 in at the centre.
#[test]
fn a_centre_back_flare_counts_for_the_back() {
    let mut sketch = flared(6.0, 4.0);
    assert_eq!(sketch.broken(), ["F13"]);
    // The fold of the back becomes a seam to its twin that flares by 3 in.
    let edges = &mut sketch.worked.pieces[1].edges;
    let foot = edges.iter().position(|e| e.name == "hem").unwrap();
    edges[foot].curve = crate::sketch::through(&[(14.0, 40.0), (-3.0, 40.0)]);
    let centre = edges.iter().position(|e| e.name == "centre").unwrap();
    edges[centre].curve = crate::sketch::through(&[(-3.0, 40.0), (0.0, 9.0), (0.0, 0.0)]);
    edges[centre].role = Role::Seam;
    sketch.worked.pieces[1].cuts[0] = piece::Cut {
        cloth: "shell".into(),
        count: 2,
        on_fold: false,
        pair: true,
    };
    let sketch = sketch.seam("centre back seam", "back.centre", "");
    assert!(sketch.broken().is_empty(), "{:?}", sketch.broken());
}

/// W1: the sides slope by 20.90 degrees in front and 19.06 behind (worked examples): within 5.
#[test]
fn w1_s_sides_slope_alike() {
    let sketch = crate::sketch::w1(&crate::sketch::w1_side(), 0.01);
    let seen = Seen::of(&sketch.subject());
    let part = &seen.parts[0];
    let fall = fall(part, part.edge("side").unwrap(), 19.0 * 25.4).unwrap();
    // From the break itself, half an inch of which is held straight.
    assert!((fall.slope().in_degrees() - 20.5).abs() < 0.1, "{fall:?}");
    assert!(sketch.find(find).is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The amounts are right on either side of both limits: flare 31 in below the hip has a closed form.
    #[test]
    fn flares_are_told_by_how_much_they_differ(front in 0.0_f64..12.0, back in 0.0_f64..12.0) {
        let over = front - back;
        let slope = |flare: f64| angle::atan2(flare, 31.0).to_degrees();
        let swings = slope(front) - slope(back);
        prop_assume!((over - 0.25).abs() > 0.001 && (over - 2.0).abs() > 0.001);
        prop_assume!((swings.abs() - SWING).abs() > 0.001);
        let found = flared(front, back).find(find);
        let of = |rule: &str| found.iter().find(|f| f.rule == rule);
        match of("F13") {
            Some(f) => {
                let Some(Amount::Length(said)) = f.amount else { panic!("{f:?}") };
                prop_assert!((said.in_inches() - over).abs() < 1e-6);
                prop_assert_eq!(f.weight, if over > 2.0 { Weight::Ask } else { Weight::Note });
            }
            None => prop_assert!(over <= 0.25),
        }
        match of("F14") {
            Some(f) => {
                let Some(Amount::Angle(said)) = f.amount else { panic!("{f:?}") };
                prop_assert!((said.in_degrees() - swings).abs() < 1e-6);
            }
            None => prop_assert!(swings.abs() <= SWING),
        }
    }
}

/// Would catch a rule that judges what it can't see: a panel laid askew on its sheet.
#[test]
fn a_side_whose_grain_is_not_plumb_is_not_judged() {
    let mut sketch = flared(0.0, 8.0);
    assert_eq!(sketch.broken(), ["F14"]);
    if let Some(grain) = &mut sketch.worked.pieces[0].grain {
        grain.to.x += 30.0;
    }
    assert_eq!(sketch.broken(), ["F22"]);
}
