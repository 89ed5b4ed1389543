//! Hems and waists turned at the side and at the fold by so many degrees.

use measure::{Angle, Curve, Vector};
use proptest::prelude::*;

use crate::finding::{Amount, Finding, Weight};
use crate::samples::{Made, skirt};

/// The curve drawn anew with its ends in other directions: turned by so many degrees where it begins and
/// where it ends, the ends themselves staying.
fn turned(curve: &Curve, begin: f64, end: f64) -> Curve {
    let third = (curve.end() - curve.start()).size() / 3.0;
    let way = |v: Vector, by: f64| v.turned(Angle::degrees(by)) * third;
    Curve::cubic(
        curve.start(),
        curve.start() + way(curve.start_direction(), begin),
        curve.end() - way(curve.end_direction(), end),
        curve.end(),
    )
    .unwrap()
}

/// The sample with the back's hem turned where it meets the side, or the fold, by so many degrees.
fn hem_turned(at_side: f64, at_fold: f64) -> Made {
    let mut made = skirt(&[]);
    let hem = made.worked.pieces[1]
        .edges
        .iter_mut()
        .find(|e| e.name == "hem")
        .unwrap();
    hem.curve = turned(&hem.curve, at_side, at_fold);
    made
}

fn degrees(finding: &Finding) -> f64 {
    match finding.amount {
        Some(Amount::Angle(a)) => a.in_degrees(),
        other => panic!("{other:?} is no angle"),
    }
}

fn only(made: &Made, rule: &str) -> Finding {
    let found = made.found();
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].rule, rule, "{found:#?}");
    found[0].clone()
}

#[test]
fn a_point_at_the_side_hem_is_told_in_degrees() {
    // The ring is walked clockwise: a turn to the left at the hem's beginning opens the corner.
    let found = only(&hem_turned(5.0, 0.0), "F3");
    assert_eq!(found.weight, Weight::Ask);
    assert_eq!(found.place, "front.hem + back.hem");
    assert!(
        found.says.ends_with("so the hem has a point there."),
        "{}",
        found.says
    );
    let found = only(&hem_turned(-5.0, 0.0), "F3");
    assert!(
        found.says.ends_with("so the hem has a dip there."),
        "{}",
        found.says
    );
}

#[test]
fn a_hem_that_is_not_square_at_the_fold_is_told() {
    let found = only(&hem_turned(0.0, 3.0), "F4");
    assert_eq!(found.place, "back.hem");
    assert_eq!(found.weight, Weight::Ask);
    assert_eq!(
        found.says,
        "The back hem meets its centre at 93.0° instead of square. Opened out it has a dip of 6.0° there."
    );
    // So much is drawn to a point on purpose.
    let pointed = hem_turned(0.0, -30.0).found();
    let pointed: Vec<&Finding> = pointed.iter().filter(|f| f.rule == "F4").collect();
    assert_eq!(pointed[0].weight, Weight::Note);
}

/// Would catch a seam sewn to its twin taken for any other seam.
#[test]
fn a_slanted_centre_back_is_square_to_its_own_line() {
    let mut made = skirt(&[]);
    let back = &mut made.worked.pieces[1];
    let centre = back.edges.iter_mut().find(|e| e.name == "centre").unwrap();
    centre.role = piece::Role::Seam;
    centre.allowance = piece::Allowance::even(measure::Length::inches(1.0));
    back.cuts[0].on_fold = false;
    back.cuts[0].pair = true;
    back.cuts[0].count = 2;
    let by = measure::Motion::turn(back.edges[0].curve.start(), Angle::degrees(7.0));
    *back = back.moved(&by);
    let mut seam = made.worked.seams[0].clone();
    seam.name = "centre back seam".into();
    seam.a[0].piece = "back".into();
    seam.a[0].edge = "centre".into();
    seam.b.clear();
    made.worked.seams.push(seam);
    let ours = |made: &Made| -> Vec<Finding> {
        let found = made.found();
        found.into_iter().filter(|f| f.rule == "F4").collect()
    };
    assert!(ours(&made).is_empty(), "{:#?}", ours(&made));
    let hem = made.worked.pieces[1]
        .edges
        .iter_mut()
        .find(|e| e.name == "hem")
        .unwrap();
    hem.curve = turned(&hem.curve, 0.0, -2.0);
    let found = ours(&made);
    assert_eq!(found.len(), 1);
    assert!((degrees(&found[0]) + 2.0).abs() < 0.05, "{found:#?}");
    assert!(
        found[0]
            .says
            .contains("Sewn together it has a point of 4.0°"),
        "{}",
        found[0].says
    );
}

/// Would catch corners compared where a facing lies on its shell, or where an opening ends.
#[test]
fn openings_do_not_go_on() {
    let mut made = hem_turned(6.0, 0.0);
    for piece in &mut made.worked.pieces {
        let hem = piece.edges.iter_mut().find(|e| e.name == "hem").unwrap();
        hem.role = piece::Role::Opening;
    }
    let found = made.found();
    assert!(found.iter().all(|f| f.rule != "F3"), "{found:#?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Would catch an angle taken from coarse chords, from the wrong side, or past a slipped limit.
    #[test]
    fn a_corner_at_the_side_is_told_to_a_twentieth_of_a_degree(by in -8.0..8.0f64) {
        let made = hem_turned(by, 0.0);
        if by.abs() < 1.9 {
            prop_assert_eq!(made.broken(), Vec::<String>::new());
        } else if by.abs() > 2.1 {
            let found = only(&made, "F3");
            prop_assert!((degrees(&found) + by).abs() < 0.05, "{} for {by}", degrees(&found));
        }
    }

    #[test]
    fn a_corner_at_the_fold_is_told_to_a_twentieth_of_a_degree(by in -8.0..8.0f64) {
        let made = hem_turned(0.0, by);
        if by.abs() < 0.9 {
            prop_assert_eq!(made.broken(), Vec::<String>::new());
        } else if by.abs() > 1.1 {
            let found = only(&made, "F4");
            prop_assert!((degrees(&found) - by).abs() < 0.05, "{} for {by}", degrees(&found));
        }
    }
}
