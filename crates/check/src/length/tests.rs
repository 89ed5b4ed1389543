//! Level and uneven hems, each told by its own rule.

use measure::Curve;
use proptest::prelude::*;

use super::*;
use crate::sketch::{Sketch, at, flared, through};

/// A straight skirt with another waist or hem at its centres and sides, in inches: how much longer each
/// is than 40.
fn skirt(front: f64, side: f64, back: f64) -> Sketch {
    let mut sketch = flared(0.0, 0.0);
    for (piece, centre) in sketch.worked.pieces.iter_mut().zip([front, back]) {
        for edge in &mut piece.edges {
            edge.curve = match edge.name.as_str() {
                "waist" => through(&[(0.0, -centre), (10.0, -side)]),
                "side" => through(&[(10.0, -side), (10.0, 40.0)]),
                "hem" => through(&[(10.0, 40.0), (0.0, 40.0)]),
                _ => through(&[(0.0, 40.0), (0.0, -centre)]),
            };
        }
    }
    sketch
}

fn floors(mut sketch: Sketch, front: f64, side: f64, back: f64) -> Sketch {
    for (name, inches) in [
        ("front waist to floor", front),
        ("waist to floor", side),
        ("back waist to floor", back),
        ("heel", 2.0),
    ] {
        sketch.card = sketch.card.with(name, Length::inches(inches));
    }
    sketch
}

/// Would catch a short skirt found uneven because it is short, and floor measures that are taken for
/// one where they differ.
#[test]
fn a_hem_as_level_as_her_floor_measures_is_right() {
    for short in [1.0, 12.0] {
        let sketch = skirt(-0.25, 0.5, 0.75);
        let sketch = floors(sketch, 39.75 + short, 40.5 + short, 40.75 + short);
        assert!(sketch.broken().is_empty(), "{:?}", sketch.broken());
    }
    // Nothing is said where only one of them is on the card.
    let mut sketch = skirt(0.0, 3.0, 0.0);
    sketch.card = sketch.card.with("waist to floor", Length::inches(44.0));
    assert!(sketch.broken().is_empty());
}

/// Would catch a fault told at the wrong line, or by another rule's name.
#[test]
fn each_line_has_its_own_rule() {
    for (front, side, back, rule) in [
        (0.5, 0.0, 0.0, "F15"),
        (0.0, 0.5, 0.0, "F15"),
        (0.0, -0.5, 0.0, "F15"),
        (0.0, 0.0, -0.5, "F16"),
        (0.0, 0.0, 0.5, "F17"),
        (-0.5, 0.0, 0.0, "F18"),
    ] {
        let sketch = floors(skirt(front, side, back), 42.0, 42.0, 42.0);
        assert_eq!(sketch.broken(), [rule], "{front} {side} {back}");
    }
}

/// Would catch a front that is meant to be short taken for a fault, and one that is passed in silence,
/// by which a choice that makes it worse would seem to cure it.
#[test]
fn what_may_be_meant_is_noted_with_its_amount() {
    for (front, back, told) in [
        (0.0, 3.0, &[("F17", 3.0)][..]),
        (0.0, 2.1, &[("F17", 2.1)]),
        (-3.0, 0.0, &[("F18", -3.0)]),
        (-3.0, 3.0, &[("F17", 3.0), ("F18", -3.0)]),
    ] {
        let sketch = floors(skirt(front, 0.0, back), 42.0, 42.0, 42.0);
        let found = sketch.find(find);
        assert_eq!(found.len(), told.len(), "{found:#?}");
        for (f, (rule, inches)) in found.iter().zip(told) {
            let Some(Amount::Length(amount)) = f.amount else {
                panic!("{f:?}")
            };
            assert_eq!(f.rule, *rule);
            assert_eq!(f.weight, Weight::Note);
            assert!((amount.in_inches() - inches).abs() < 1e-6, "{f:?}");
            assert!(f.says.ends_with("Is it meant so?"), "{}", f.says);
        }
    }
}

/// Would catch a sentence whose figures do not add up, and one that hides what a line is held against.
#[test]
fn the_comparison_is_told_whole() {
    let sketch = floors(skirt(-0.25, 0.0, 0.0), 42.5, 42.0, 42.0);
    let found = sketch.find(find);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(
        found[0].says,
        "Against the side, the centre front is 3/4 in shorter than her floor measures ask: they ask for 1/2 in more, it has 1/4 in less."
    );
}

/// Would catch a front that is told too short while it lies on the floor: then the others are too long,
/// and that is told once where they agree.
#[test]
fn a_front_on_the_floor_is_never_too_short() {
    let sketch = floors(skirt(-0.5, 0.0, 0.0), 39.0, 39.0, 39.0);
    let mut rules = sketch.broken();
    rules.sort();
    assert_eq!(rules, ["F15", "F19"]);
    let side = sketch.find(find).into_iter().find(|f| f.rule == "F15");
    assert!(side.is_some_and(|f| f.says.starts_with(
        "Against the centre front, the side is 1/2 in longer than her floor measures ask"
    )));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The amount at the centre back is right, on either side of all limits.
    #[test]
    fn a_back_is_told_by_how_much_it_is_out(out in -1.9_f64..1.9, floor in 41.0_f64..46.0) {
        prop_assume!((out.abs() - 0.25).abs() > 1e-3 && (out.abs() - 1.5).abs() > 1e-3);
        let sketch = floors(skirt(0.0, 0.0, out), floor, floor, floor);
        let found = sketch.find(find);
        if out.abs() <= 0.25 {
            prop_assert!(found.is_empty(), "{found:?}");
        } else {
            prop_assert_eq!(found.len(), 1);
            prop_assert_eq!(found[0].rule.as_str(), if out < 0.0 { "F16" } else { "F17" });
            let Some(Amount::Length(said)) = found[0].amount else { panic!("{found:?}") };
            prop_assert!((said.in_inches() - out).abs() < 1e-6);
            prop_assert_eq!(found[0].weight, if out.abs() > 1.5 { Weight::Ask } else { Weight::Note });
        }
    }

    /// F19: the clearance is right, on either side of half an inch; without a heel on the card it is
    /// only a note.
    #[test]
    fn a_front_is_told_by_how_near_the_floor_it_is(clear in -3.0_f64..3.0, heel in any::<bool>()) {
        prop_assume!((clear - 0.5).abs() > 1e-3);
        let mut sketch = floors(skirt(0.0, 0.0, 0.0), 40.0 + clear, 40.0 + clear, 40.0 + clear);
        if !heel {
            sketch.card = sketch.card.without("heel");
        }
        let found = sketch.find(find);
        if clear >= 0.5 {
            prop_assert!(found.is_empty(), "{found:?}");
        } else {
            prop_assert_eq!(found.len(), 1);
            prop_assert_eq!(found[0].rule.as_str(), "F19");
            let Some(Amount::Length(said)) = found[0].amount else { panic!("{found:?}") };
            prop_assert!((said.in_inches() - clear).abs() < 1e-6);
            prop_assert_eq!(found[0].weight, if heel { Weight::Ask } else { Weight::Note });
        }
    }

    /// A hem that sags or rises between two seams that are right, by so much in its middle.
    #[test]
    fn a_hem_between_two_seams_is_told_by_how_much(out in -2.0_f64..1.9) {
        prop_assume!((out.abs() - 0.25).abs() > 0.01);
        let mut sketch = flared(0.0, 0.0);
        let edges = &mut sketch.worked.pieces[0].edges;
        let hem = edges.iter().position(|e| e.name == "hem").unwrap();
        // A cubic reaches three quarters of its handles' height.
        let y = 40.0 + out * 4.0 / 3.0;
        edges[hem].curve =
            Curve::cubic(at(10.0, 40.0), at(7.0, y), at(3.0, y), at(0.0, 40.0)).unwrap();
        let found = sketch.find(find);
        if out.abs() <= 0.25 {
            prop_assert!(found.is_empty(), "{found:?}");
        } else {
            prop_assert_eq!(found.len(), 1);
            prop_assert_eq!(found[0].rule.as_str(), "F15");
            let Some(Amount::Length(said)) = found[0].amount else { panic!("{found:?}") };
            prop_assert!((said.in_inches() - out).abs() < 0.002, "{said:?} for {out}");
        }
    }
}
