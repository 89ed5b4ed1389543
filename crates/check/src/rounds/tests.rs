//! A round panel edge sewn to a hollow one, made longer and shorter.

use measure::angle::{cos, sin};
use measure::{Angle, Curve, Length};
use piece::{Cut, Role};
use proptest::prelude::*;

use crate::finding::{Amount, Finding, Weight};
use crate::sketch::{Sketch, at, edge, through};

/// Radius of the seam, in inches, and how far it turns.
const R: f64 = 10.0;
const SWEEP: f64 = 50.0;

/// A place at so many inches from the middle, so many degrees round from the top. The panels lie to the
/// right of it.
fn ray(r: f64, degrees: f64) -> (f64, f64) {
    let a = degrees.to_radians();
    (r * cos(a), r * sin(a))
}

/// Two panels: the outer edge of `inner` is round, the inner edge of `outer` is hollow; both end square.
/// The round one runs on straight at its foot by so many inches (the hollow one, when less than nothing).
fn panels(longer: f64) -> Sketch {
    let tail = |r: f64, by: f64| -> (f64, f64) {
        let (x, y) = ray(r, SWEEP);
        let a = SWEEP.to_radians();
        (x - by * sin(a), y + by * cos(a))
    };
    let seam = |by: f64| -> Curve {
        let (from, to) = (ray(R, 0.0), ray(R, SWEEP));
        let arc = Curve::arc(at(0.0, 0.0), at(from.0, from.1), Angle::degrees(SWEEP)).unwrap();
        if by <= 0.0 {
            return arc;
        }
        Curve::joined(&[arc, through(&[to, tail(R, by)])]).unwrap()
    };
    let (more, less) = (longer.max(0.0), (-longer).max(0.0));
    let inner = vec![
        edge(
            "top",
            Role::Seam,
            through(&[ray(5.0, 0.0), ray(R, 0.0)]),
            0.5,
        ),
        edge("panel", Role::Seam, seam(more), 0.5),
        edge(
            "foot",
            Role::Hem,
            through(&[tail(R, more), tail(5.0, more)]),
            1.0,
        ),
        edge(
            "far",
            Role::Opening,
            through(&[tail(5.0, more), ray(5.0, 0.0)]),
            0.5,
        ),
    ];
    let outer = vec![
        edge(
            "top",
            Role::Seam,
            through(&[ray(R, 0.0), ray(15.0, 0.0)]),
            0.5,
        ),
        edge(
            "far",
            Role::Opening,
            through(&[ray(15.0, 0.0), tail(15.0, less)]),
            0.5,
        ),
        edge(
            "foot",
            Role::Hem,
            through(&[tail(15.0, less), tail(R, less)]),
            1.0,
        ),
        edge("panel", Role::Seam, seam(less), 0.5),
    ];
    Sketch::new()
        .piece("inner", false, inner)
        .piece("outer", false, outer)
        .seam("panel seam", "inner.panel", "outer.panel")
}

/// All but that the hollow edge is to be clipped, which is true.
fn ours(sketch: &Sketch) -> Vec<Finding> {
    let found = crate::inspect(&sketch.subject());
    found.into_iter().filter(|f| f.rule != "F12").collect()
}

fn only(sketch: &Sketch) -> Finding {
    let found = ours(sketch);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].rule, "F25", "{found:#?}");
    found[0].clone()
}

#[test]
fn a_round_edge_may_be_a_little_longer_but_not_shorter() {
    assert!(ours(&panels(0.0)).is_empty(), "{:#?}", ours(&panels(0.0)));
    assert!(ours(&panels(0.22)).is_empty(), "{:#?}", ours(&panels(0.22)));
    let found = only(&panels(0.3125));
    assert_eq!(found.weight, Weight::Ask);
    assert_eq!(
        found.says,
        "Panel seam: the inner panel is round and 5/16 in longer than the outer panel, which is hollow; up to 1/4 in can be eased in."
    );
    let found = only(&panels(-0.1875));
    assert_eq!(
        found.says,
        "Panel seam: the inner panel is round and 3/16 in shorter than the outer panel, which is hollow; it should be as long, or a little longer."
    );
}

/// Would catch two round edges, such as a hip's, taken for a round and a hollow one.
#[test]
fn two_round_edges_are_no_such_seam() {
    let mut sketch = panels(0.3125);
    let inner = sketch.worked.pieces[0].clone();
    sketch.worked.pieces[1] = piece::Piece {
        name: "outer".into(),
        ..inner.clone()
    };
    assert!(ours(&sketch).is_empty());
    // The same out of true is F1's.
    let mut other = panels(0.0).worked.pieces[0].clone();
    other.name = "outer".into();
    other.cuts = vec![Cut {
        cloth: "shell".into(),
        count: 2,
        on_fold: false,
        pair: true,
    }];
    sketch.worked.pieces[1] = other;
    let found = ours(&sketch);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].rule, "F1");
}

/// Ease that is declared counts; would catch a gathered or eased round edge asked about.
#[test]
fn declared_ease_is_kept() {
    let mut sketch = panels(1.0);
    sketch.worked.seams[0].ease = Length::inches(1.0);
    assert!(ours(&sketch).is_empty(), "{:#?}", ours(&sketch));
    sketch.worked.seams[0].ease = Length::inches(1.5);
    let found = only(&sketch);
    assert!(found.says.contains("only 1 in longer"), "{}", found.says);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Would catch a lost sign and a slipped limit: from 1/8 in shorter to 1/4 in longer is right.
    #[test]
    fn out_of_its_ease_it_is_told_to_a_hair(longer in -0.6..0.8f64) {
        let sketch = panels(longer);
        if longer > -0.125 + 1e-3 && longer < 0.25 - 1e-3 {
            prop_assert!(ours(&sketch).is_empty(), "{:#?}", ours(&sketch));
        } else if !(-0.125 - 1e-3..=0.25 + 1e-3).contains(&longer) {
            let found = only(&sketch);
            let Some(Amount::Length(amount)) = found.amount else { panic!("{found:#?}") };
            prop_assert!((amount.in_inches() - longer).abs() < 1e-3, "{amount:?} {longer}");
            if (longer + 0.25).abs() > 0.01 && (longer - 0.375).abs() > 0.01 {
                prop_assert_eq!(found.weight == Weight::Stop, !(-0.25..=0.375).contains(&longer));
            }
        }
    }
}
