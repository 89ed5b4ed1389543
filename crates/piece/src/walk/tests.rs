//! Seams walked: lengths, notches, darts, ease and orphans.

use measure::Curve;

use super::*;
use crate::samples::{Skirt, at, edge, with_dart};
use crate::{Notch, Role, Toward};

fn band(length: f64, notches: &[f64]) -> Piece {
    let corners = [at(0.0, 0.0), at(length, 0.0), at(length, 3.0), at(0.0, 3.0)];
    let edges = (0..4)
        .map(|i| {
            let curve = Curve::line(corners[i], corners[(i + 1) % 4]).unwrap();
            edge(["top", "far", "bottom", "near"][i], curve, Role::Seam, 0.5)
        })
        .collect();
    let mut piece = Piece::from_edges("band", edges).unwrap();
    piece.edges[0].notches = notches
        .iter()
        .map(|n| Notch {
            at: Length::inches(*n),
            snips: 1,
        })
        .collect();
    piece
}

fn inches(l: Length) -> f64 {
    l.in_inches()
}

#[test]
fn notches_are_met_from_the_other_end_when_turned() {
    // Catches: notches of a turned side counted from the wrong end.
    let (a, b) = (band(10.0, &[2.0, 5.0]), band(10.25, &[5.0, 8.25]));
    let w = walk(&[(&a, "top")], &[(&b, "top")], true, Length::ZERO).unwrap();
    let got: Vec<f64> = w.segments.iter().map(|s| inches(s.difference)).collect();
    for (got, want) in got.iter().zip([0.0, -0.25, 0.0]) {
        assert!((got - want).abs() < 1e-9, "{got} {want}");
    }
    assert!((inches(w.difference) + 0.25).abs() < 1e-9);
    assert!(is_turned(&[(&a, "top")], &[(&b, "top")]).unwrap());
    let straight = walk(&[(&a, "top")], &[(&b, "top")], false, Length::ZERO).unwrap();
    assert!((inches(straight.segments[0].difference) + 3.0).abs() < 1e-9);
}

#[test]
fn declared_ease_is_no_difference() {
    // Catches: ease with the wrong sign, or counted once for each stretch.
    let (a, b) = (band(10.25, &[5.125]), band(10.0, &[5.0]));
    let w = walk(&[(&a, "top")], &[(&b, "top")], false, Length::inches(0.25)).unwrap();
    assert!(w.difference.in_mm().abs() < 1e-9);
    assert!(w.segments.iter().all(|s| s.difference.in_mm().abs() < 1e-9));
}

#[test]
fn the_orphan_is_the_notch_that_fits_no_partner() {
    // Catches: pairing by order when one side has a notch too many (F24).
    let (a, b) = (band(10.0, &[2.0, 4.0, 8.0]), band(10.0, &[2.0, 8.0]));
    for (x, y, first) in [(&a, &b, true), (&b, &a, false)] {
        let w = walk(&[(x, "top")], &[(y, "top")], false, Length::ZERO).unwrap();
        assert_eq!(w.orphans.len(), 1);
        assert_eq!(w.orphans[0].on_first, first);
        assert!((inches(w.orphans[0].at) - 4.0).abs() < 1e-9);
        assert_eq!(w.segments.len(), 3);
        assert!(w.difference.in_mm().abs() < 1e-9);
    }
}

#[test]
fn the_mouth_of_a_dart_is_not_sewn_and_notches_beyond_it_move_up() {
    // Catches: dart mouths counted in a waist; notches on dart legs taken for seam notches.
    let mut front = with_dart(Skirt::W1.piece(), 3.5, 1.0, 4.0, Toward::Start);
    let whole = front.edge("waist").unwrap().curve.length();
    front.edges[0].notches = [3.0, 4.0, 5.0]
        .map(|n| Notch {
            at: Length::inches(n),
            snips: 1,
        })
        .to_vec();
    let b = band(whole.in_inches() - 1.0, &[4.0]);
    let w = walk(&[(&front, "waist")], &[(&b, "top")], false, Length::ZERO).unwrap();
    assert!(w.difference.in_mm().abs() < 1e-6);
    assert_eq!(w.segments.len(), 2);
    assert!(w.segments[0].difference.in_mm().abs() < 1e-6);
}

#[test]
fn a_chain_of_edges_is_walked_as_one() {
    // Catches: lengths of later edges not added to the notches.
    let (a, b) = (band(4.0, &[1.0]), band(6.0, &[3.0]));
    let yoke = band(10.0, &[3.0, 9.0]);
    let w = walk(
        &[(&a, "top"), (&b, "top")],
        &[(&yoke, "top")],
        true,
        Length::ZERO,
    )
    .unwrap();
    assert!(w.segments.iter().all(|s| s.difference.in_mm().abs() < 1e-9));
    let legs = [
        Leg {
            piece: &a,
            edge: "top",
            backward: true,
        },
        Leg {
            piece: &b,
            edge: "top",
            backward: false,
        },
    ];
    let line = [Leg {
        piece: &yoke,
        edge: "top",
        backward: false,
    }];
    let w = walk_legs(&legs, &line, Length::ZERO).unwrap();
    assert!((inches(w.segments[1].a) - 4.0).abs() < 1e-9);
    assert!(walk(&[], &[(&yoke, "top")], true, Length::ZERO).is_err());
    assert!(walk(&[(&a, "side")], &[(&yoke, "top")], true, Length::ZERO).is_err());
}
