//! Widths, naps and prints with closed forms.

use piece::Notch;
use proptest::prelude::*;

use super::*;
use crate::sketch::{Sketch, flared};

/// The flared sample with so wide a cloth, in inches.
fn on(width: f64) -> Cloth {
    Cloth {
        width: Some(Length::inches(width)),
        ..Cloth::default()
    }
}

/// The sample with a grain arrow that points the other way on one piece.
fn turned() -> Sketch {
    let mut sketch = flared(3.0, 3.0);
    if let Some(grain) = &mut sketch.worked.pieces[1].grain {
        core::mem::swap(&mut grain.from, &mut grain.to);
    }
    sketch
}

/// The sample with notches on both sides, so many inches down the straight of 9 in and the flare below.
fn notched(front: &[f64], back: &[f64]) -> Sketch {
    let mut sketch = flared(3.0, 3.0);
    for (piece, places) in sketch.worked.pieces.iter_mut().zip([front, back]) {
        let side = piece.edge_index("side").unwrap();
        piece.edges[side].notches = places
            .iter()
            .map(|p| Notch {
                at: Length::inches(*p),
                snips: 1,
            })
            .collect();
    }
    sketch
}

fn printed(repeat: f64) -> Cloth {
    Cloth {
        repeat: Some(Length::inches(repeat)),
        ..on(60.0)
    }
}

/// W1 opened out: its front is 17.427 in at the hem, called 35 in all, and 36 with its allowances
/// (W11, common practice). Would catch a fold that is not opened out, or allowances left out.
#[test]
fn w1_s_front_is_36_in_wide() {
    let sketch = crate::sketch::w1(&crate::sketch::w1_side(), 0.5);
    let (across, along) = size(&sketch.worked.pieces[0]).unwrap();
    // Half an inch at each side, straight out from a slope of 20.9 degrees; the hem's corner besides.
    assert!((35.8..36.6).contains(&(across / 25.4)), "{}", across / 25.4);
    assert!((47.5..49.0).contains(&(along / 25.4)), "{}", along / 25.4);
    assert!(sketch.of_cloth(on(37.0)).find(find).is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The sample's width has a closed form: the amount is right on either side of the cloth's width,
    /// and it stops, for it is too long to be turned.
    #[test]
    fn a_piece_is_told_by_how_much_it_is_too_wide(width in 20.0_f64..60.0, nap in any::<bool>()) {
        let cloth = Cloth {
            nap: if nap { Nap::OneWay } else { Nap::TwoWay },
            ..on(width)
        };
        let sketch = flared(3.0, 3.0).of_cloth(cloth);
        let (across, along) = size(&sketch.worked.pieces[0]).unwrap();
        let (across, along) = (across / 25.4, along / 25.4);
        // The side is carried on over an inch of hem, half an inch outside of its slope of 3 in 31.
        let wanted = 2.0 * (13.0 + 3.0 / 31.0 + 0.5 * measure::angle::hypot(3.0, 31.0) / 31.0);
        prop_assert!((across - wanted).abs() < 0.001, "{across} {wanted}");
        prop_assume!((width - across).abs() > 0.01 && (width - along).abs() > 0.01);
        let found = sketch.find(find);
        if width > across {
            prop_assert!(found.is_empty(), "{found:?}");
        } else {
            prop_assert_eq!(found.len(), 1);
            prop_assert_eq!(found[0].rule.as_str(), "F30");
            prop_assert_eq!(found[0].weight, Weight::Stop);
            let Some(Amount::Length(said)) = found[0].amount else { panic!("{found:?}") };
            prop_assert!((said.in_inches() - (across - width)).abs() < 1e-6);
            prop_assert_eq!(found[0].spots.len(), 2);
        }
    }

    /// Without a cloth only what is wider than the widest usual one is told, and only as a note.
    #[test]
    fn without_a_cloth_it_is_measured_by_the_widest(flare in 5.0_f64..40.0) {
        let mut sketch = flared(flare, flare);
        sketch.cloth = None;
        let (across, _) = size(&sketch.worked.pieces[0]).unwrap();
        let over = across / 25.4 - 60.0;
        prop_assume!(over.abs() > 0.01);
        let found = sketch.find(find);
        if over < 0.0 {
            prop_assert!(found.is_empty(), "{found:?}");
        } else {
            prop_assert_eq!((found.len(), found[0].weight), (1, Weight::Note));
            let Some(Amount::Length(said)) = found[0].amount else { panic!("{found:?}") };
            prop_assert!((said.in_inches() - over).abs() < 1e-6);
        }
    }

    /// A motif matched at the first notch is off at the second by how much farther it lies on one side,
    /// less whole repeats: the straight of the sample is plumb, so its notches have a closed form.
    #[test]
    fn a_print_is_told_by_how_much_it_is_off(further in 0.0_f64..6.0, repeat in 2.0_f64..6.0) {
        let off = further - repeat * (further / repeat).round();
        prop_assume!((off.abs() - 0.125).abs() > 1e-3);
        let found = notched(&[1.0, 2.0], &[1.0, 2.0 + further]).of_cloth(printed(repeat)).find(find);
        if off.abs() <= 0.125 {
            prop_assert!(found.is_empty(), "{found:?}");
        } else {
            prop_assert_eq!(found.len(), 1);
            prop_assert_eq!(found[0].rule.as_str(), "F26");
            let Some(Amount::Length(said)) = found[0].amount else { panic!("{found:?}") };
            prop_assert!((said.in_inches().abs() - off.abs()).abs() < 1e-6, "{said:?} for {off}");
        }
    }
}

/// Would catch a print that is judged by its repeat as bought: one of 4 in that shrinks by a quarter comes
/// again every 3 in, so notches 3 in apart meet, and those 4 in apart are off by one.
#[test]
fn a_print_shrinks_with_its_cloth() {
    let shrunk = || Cloth {
        shrink_along: 0.25,
        ..printed(4.0)
    };
    let found = |further: f64| {
        let sketch = notched(&[1.0, 2.0], &[1.0, 2.0 + further]);
        sketch.of_cloth(shrunk()).find(find)
    };
    assert!(found(3.0).is_empty(), "{:?}", found(3.0));
    let off = found(4.0);
    assert_eq!(off.len(), 1, "{off:?}");
    let Some(Amount::Length(said)) = off[0].amount else {
        panic!("{off:?}")
    };
    assert!((said.in_inches().abs() - 1.0).abs() < 1e-6, "{said:?}");
}

/// Would catch cloth that is laid across judged by its length the wrong way round.
#[test]
fn laid_across_the_length_must_fit() {
    let across = |width: f64| Cloth {
        length_runs: Runs::Across,
        ..on(width)
    };
    let found = flared(3.0, 3.0).of_cloth(across(45.0)).find(find);
    assert!(found.is_empty(), "{found:?}");
    // 40 in and allowances of 1/2 and 1 in do not fit across 40 in, but lie well along it.
    let found = flared(3.0, 3.0).of_cloth(across(40.0)).find(find);
    assert_eq!(
        (found.len(), found[0].weight),
        (1, Weight::Ask),
        "{found:?}"
    );
}

/// Would catch one panel that shades, and all panels the same way up taken for a fault.
#[test]
fn one_piece_upside_down_is_told_only_on_cloth_with_one_way_up() {
    let one_way = || Cloth {
        nap: Nap::OneWay,
        ..on(60.0)
    };
    assert!(turned().of_cloth(on(60.0)).find(find).is_empty());
    assert!(flared(3.0, 3.0).of_cloth(one_way()).find(find).is_empty());
    let sketch = turned().of_cloth(one_way());
    let found = sketch.find(find);
    assert_eq!(
        (found.len(), found[0].place.as_str()),
        (1, "back"),
        "{found:?}"
    );
    assert_eq!(sketch.broken(), ["F26"]);
    let mut both = turned();
    if let Some(grain) = &mut both.worked.pieces[0].grain {
        core::mem::swap(&mut grain.from, &mut grain.to);
    }
    assert!(both.of_cloth(one_way()).find(find).is_empty());
}

/// Would catch a nap round the body, or a stretch down the leg, that goes by in silence.
#[test]
fn what_must_not_lie_across_is_asked_about() {
    let across = Cloth {
        length_runs: Runs::Across,
        ..on(60.0)
    };
    for (cloth, asked) in [
        (across.clone(), 0),
        (
            Cloth {
                nap: Nap::OneWay,
                ..across.clone()
            },
            1,
        ),
        (
            Cloth {
                stretch_round_body: 0.3,
                ..across.clone()
            },
            1,
        ),
        (
            Cloth {
                stretch_round_body: 0.3,
                ..on(60.0)
            },
            0,
        ),
    ] {
        let found = flared(3.0, 3.0).of_cloth(cloth).find(find);
        assert_eq!(found.len(), asked, "{found:?}");
        assert!(found.iter().all(|f| f.weight == Weight::Ask));
    }
}
