//! Trains that are right, turn back, are narrow or have a corner.

use measure::Curve;
use piece::Piece;
use proptest::prelude::*;

use super::*;
use crate::sketch::{Sketch, edge, flared, through};

/// A back whose two edges fan out from one place: 8 in of hip, side and centre each flaring by so
/// much; the hem is told by how much longer the skirt is at each share of the way from side to centre.
fn back(longer: impl Fn(f64) -> f64) -> Sketch {
    // The fan's apex lies above the middle of the hip; the edges run at 20 degrees to either side.
    let half_angle = 20.0_f64.to_radians();
    let (sin, cos) = (
        measure::angle::sin(half_angle),
        measure::angle::cos(half_angle),
    );
    let first = 4.0 / sin;
    let apex = (4.0, 19.0 - first * cos);
    let length = first + 25.0;
    let on_hem = |u: f64| {
        // From the side (right) to the centre (left).
        let way = half_angle * (1.0 - 2.0 * u);
        let far = length + longer(u);
        (
            apex.0 + far * measure::angle::sin(way),
            apex.1 + far * measure::angle::cos(way),
        )
    };
    let hem: Vec<(f64, f64)> = (0..=400).map(|i| on_hem(f64::from(i) / 400.0)).collect();
    let (side_foot, centre_foot) = (hem[0], hem[400]);
    let edges = vec![
        edge("waist", Role::Seam, through(&[(0.0, 0.0), (8.0, 0.0)]), 0.5),
        edge(
            "side",
            Role::Seam,
            through(&[(8.0, 0.0), (8.0, 19.0), side_foot]),
            0.5,
        ),
        edge("hem", Role::Hem, through(&hem), 0.5),
        edge(
            "centre",
            Role::Seam,
            through(&[centre_foot, (0.0, 19.0), (0.0, 0.0)]),
            0.5,
        ),
    ];
    Sketch::new()
        .piece("back", false, edges)
        .levels(&[("waist", 0.0), ("hip", 9.0), ("break", 19.0)])
        .seam("centre back seam", "back.centre", "")
}

/// The default of the trade page on methods (b): `T (3u² - 2u³)`.
fn usual(length: f64) -> impl Fn(f64) -> f64 {
    move |u| length * u * u * (3.0 - 2.0 * u)
}

/// Would catch a right train found wrong, and a level hem taken for a train.
#[test]
fn the_usual_train_is_right() {
    for length in [0.0, 7.0, 15.0, 40.0] {
        let found = back(usual(length)).find(find);
        assert!(found.is_empty(), "{length}: {found:#?}");
    }
    assert!(flared(3.0, 3.0).find(find).is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// A hem that comes up again is told by how much, on either side of the limit.
    #[test]
    fn a_train_that_turns_back_is_told_by_how_much(dip in 0.0_f64..2.0) {
        prop_assume!((dip - BACK_MM / 25.4).abs() > 0.003);
        // It reaches its length at four fifths of the way, and is shorter by the dip at the centre.
        let hem = move |u: f64| {
            let v = (u / 0.8).min(1.0);
            let back = ((u - 0.8) / 0.2).max(0.0);
            12.0 * v * v * (3.0 - 2.0 * v) - dip * back * back * (3.0 - 2.0 * back)
        };
        let found = back(hem).find(find);
        if dip * 25.4 <= BACK_MM {
            prop_assert!(found.is_empty(), "{found:?}");
        } else {
            prop_assert_eq!(found.len(), 1);
            prop_assert_eq!(found[0].rule.as_str(), "F20");
            let Some(Amount::Length(said)) = found[0].amount else { panic!("{found:?}") };
            prop_assert!((said.in_inches() - dip).abs() < 0.003, "{said:?} for {dip}");
        }
    }

    /// A train that grows only near its end is narrow: with `u^n` half of it is reached at
    /// `0.5^(1/n)` of the way.
    #[test]
    fn a_narrow_train_is_told_by_its_share(n in 1.0_f64..6.0) {
        use measure::angle::{exp, ln};
        let power = |base: f64, n: f64| if base > 0.0 { exp(n * ln(base)) } else { 0.0 };
        let found = back(|u| 8.0 * power(u, n)).find(find);
        // The hem is a little longer where it runs down, so the share along it is a little more.
        let reached = 1.0 - power(0.5, 1.0 / n);
        if reached >= HALF {
            prop_assert!(found.is_empty(), "{found:?}");
        } else if reached < HALF - SLACK - 0.05 {
            prop_assert_eq!(found.len(), 1);
            let Some(Amount::Share(said)) = found[0].amount else { panic!("{found:?}") };
            prop_assert!(said > reached - 0.01 && said < reached + 0.1, "{said} for {reached}");
        }
    }
}

/// Would catch a broken hem taken for smooth, on either side of the limit.
#[test]
fn a_corner_in_the_hem_is_told() {
    for (turn, told) in [(8.0_f64, false), (13.0, true)] {
        let mut sketch = back(usual(12.0));
        let piece: &mut Piece = &mut sketch.worked.pieces[0];
        let hem = piece.edge_index("hem").unwrap();
        let (a, b) = (piece.edges[hem].curve.start(), piece.edges[hem].curve.end());
        // Two straights with one corner: it never turns back, and half is reached half way.
        let chord = b - a;
        let middle = a.toward(b, 0.5);
        let off = chord.size() / 2.0 * measure::angle::tan((turn / 2.0).to_radians());
        let corner = middle + chord.left().unit().unwrap() * -off;
        piece.edges[hem].curve = Curve::polyline(&[a, corner, b]).unwrap();
        let found: Vec<Finding> = sketch
            .find(find)
            .into_iter()
            .filter(|f| matches!(f.amount, Some(Amount::Angle(_))))
            .collect();
        assert_eq!(found.len(), usize::from(told), "{turn}: {found:#?}");
        for f in found {
            let Some(Amount::Angle(said)) = f.amount else {
                panic!("{f:?}")
            };
            assert!((said.in_degrees() - turn).abs() < 1e-6);
        }
    }
}
