//! Seams made longer, notches moved: how far, both ways, and not before the tolerance.

use measure::Length;
use proptest::prelude::*;

use crate::finding::{Amount, Finding, Weight};
use crate::samples::{CARD, METHOD, Made, made, skirt};

/// The sample skirt with its back side so much longer below the hip, in inches. Its corners stay.
fn longer_back(by: f64) -> Made {
    let method = METHOD
        .replace(
            "\nlevels\n",
            &format!("\nvalues\n  extra: 0 in when here is front, else {by:.6} in\n\nlevels\n"),
        )
        .replace("hem line: length below", "hem line: length + extra below")
        .replace(
            "by length - waist to hip from",
            "by length + extra - waist to hip from",
        );
    made(CARD, &method, &[])
}

fn inches(amount: Option<Amount>) -> f64 {
    match amount {
        Some(Amount::Length(l)) => l.in_inches(),
        other => panic!("{other:?} is no length"),
    }
}

fn only(made: &Made, rule: &str) -> Finding {
    let found = made.found();
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].rule, rule, "{found:#?}");
    found[0].clone()
}

/// Moves the notch of the back's side by so many inches down.
fn moved_notch(by: f64) -> Made {
    let mut made = skirt(&[]);
    let back = &mut made.worked.pieces[1];
    let side = back.edges.iter_mut().find(|e| e.name == "side").unwrap();
    let n = &mut side.notches[0];
    n.at = Length::mm(n.at.in_mm() + by * 25.4);
    made
}

#[test]
fn the_sentence_names_who_is_longer_and_between_what() {
    let found = only(&longer_back(3.0 / 16.0), "F1");
    assert_eq!(
        found.says,
        "Side seam: the back side is 3/16 in longer than the front side between hip and hem."
    );
    assert_eq!(found.place, "front.side + back.side");
    assert_eq!(found.weight, Weight::Stop);
    assert_eq!(found.spots.len(), 2);
    let found = only(&longer_back(-3.0 / 32.0), "F1");
    assert_eq!(found.weight, Weight::Ask);
    assert_eq!(
        found.says,
        "Side seam: the front side is 3/32 in longer than the back side between hip and hem."
    );
}

#[test]
fn a_notch_that_is_off_is_told_with_both_its_stretches() {
    let found = only(&moved_notch(0.1), "F2");
    assert_eq!(
        found.says,
        "Side seam: the back side is 3/32 in longer than the front side between waist and hip, and between hip and hem it is 3/32 in shorter."
    );
    assert_eq!(
        found.cure.unwrap(),
        "Move the notch at hip on one of them, then true."
    );
    assert_eq!(found.weight, Weight::Ask);
    assert_eq!(only(&moved_notch(-0.2), "F2").weight, Weight::Stop);
}

/// Declared ease is no fault, and what is out beside it is; would catch ease counted on the wrong side.
#[test]
fn declared_ease_is_meant() {
    let eased = |ease: f64, by: f64| {
        let mut made = longer_back(by);
        made.worked.seams[0].ease = Length::inches(ease);
        made
    };
    // The front, named first, is shorter: an ease of less than nothing eases the back.
    let by = 0.25;
    let spread = eased(-by, by);
    // Spread evenly the hip notch is out, though the whole agrees: all of it lies below the hip.
    assert_eq!(spread.broken(), ["F2"], "{:#?}", spread.found());
    assert!(eased(by, by).broken().contains(&"F1".to_owned()));
    // With its notches moved to share it out, nothing is said.
    let mut shared = eased(-by, by);
    let sides: Vec<f64> = shared
        .worked
        .pieces
        .iter()
        .map(|p| p.edge("side").unwrap().curve.length().in_mm())
        .collect();
    let at = shared.worked.pieces[0].edge("side").unwrap().notches[0]
        .at
        .in_mm();
    let back = &mut shared.worked.pieces[1];
    let side = back.edges.iter_mut().find(|e| e.name == "side").unwrap();
    side.notches[0].at = Length::mm(at * sides[1] / sides[0]);
    assert_eq!(
        shared.broken(),
        Vec::<String>::new(),
        "{:#?}",
        shared.found()
    );
}

/// Would catch a facing's or lining's copy of a fault told again.
#[test]
fn a_copy_does_not_repeat_what_the_shell_tells() {
    let mut made = longer_back(0.25);
    for i in 0..2 {
        let mut copy = made.worked.pieces[i].clone();
        let from = copy.name.clone();
        copy.name = format!("{from} lining");
        for cut in &mut copy.cuts {
            cut.cloth = "lining".into();
        }
        made.worked.pieces.push(copy);
        made.worked.origins.push(draft::worked::Origin {
            sheet: None,
            copied_from: vec![from],
            half: None,
        });
    }
    let mut seam = made.worked.seams[0].clone();
    seam.name = "lining side".into();
    seam.a[0].piece = "front lining".into();
    seam.b[0].piece = "back lining".into();
    made.worked.seams.push(seam);
    only(&made, "F1");
    // A lining that is out by itself is told of.
    made.worked.seams.remove(0);
    let found = made.found();
    assert!(
        found
            .iter()
            .any(|f| f.rule == "F1" && f.weight == Weight::Ask),
        "{found:#?}"
    );
}

/// A seam of a part of an edge is walked over that part only; would catch the rest counted in.
#[test]
fn a_part_of_an_edge_is_sewn_by_itself() {
    let mut made = longer_back(1.0);
    let hip = |made: &Made, i: usize| made.worked.pieces[i].mark("hip side").unwrap();
    let waist = |made: &Made, i: usize| made.worked.pieces[i].edge("side").unwrap().curve.start();
    let (f, b) = (
        (waist(&made, 0), hip(&made, 0)),
        (waist(&made, 1), hip(&made, 1)),
    );
    let seam = &mut made.worked.seams[0];
    seam.a[0].between = Some(f);
    seam.b[0].between = Some(b);
    let rules = made.broken();
    assert!(!rules.contains(&"F1".to_owned()), "{rules:?}");
    assert!(!rules.contains(&"F2".to_owned()), "{rules:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Would catch a length measured with allowances or open darts, a lost sign, a slipped limit.
    #[test]
    fn a_longer_side_is_told_to_a_hair(size in 0.0..0.45f64, minus: bool) {
        let by = if minus { -size } else { size };
        let made = longer_back(by);
        if size <= 1.0 / 16.0 - 1e-4 {
            prop_assert_eq!(made.broken(), Vec::<String>::new());
        } else if size >= 1.0 / 16.0 + 1e-4 {
            let found = only(&made, "F1");
            let out = inches(found.amount);
            prop_assert!((out + by).abs() < 5e-4, "{out} for {by}");
            if (size - 0.125).abs() > 1e-3 {
                prop_assert_eq!(found.weight == Weight::Stop, size > 0.125);
            }
        }
    }

    /// Would catch stretches paired wrongly, or a stretch measured from the seam's beginning.
    #[test]
    fn a_moved_notch_is_told_to_a_hair(size in 0.0..0.45f64, minus: bool) {
        let by = if minus { -size } else { size };
        let made = moved_notch(by);
        if size <= 1.0 / 16.0 - 1e-4 {
            prop_assert_eq!(made.broken(), Vec::<String>::new());
        } else if size >= 1.0 / 16.0 + 1e-4 {
            let found = only(&made, "F2");
            prop_assert!((inches(found.amount).abs() - size).abs() < 5e-4, "{:?} for {by}", found.amount);
            if (size - 0.125).abs() > 1e-3 {
                prop_assert_eq!(found.weight == Weight::Stop, size > 0.125);
            }
        }
    }
}
