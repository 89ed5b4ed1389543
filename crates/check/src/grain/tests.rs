//! Grain arrows on either side of their limit.

use measure::angle;
use proptest::prelude::*;

use super::*;
use crate::sketch::{at, flared};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The amount is right on either side of the limit, beside plumb, bias and across.
    #[test]
    fn a_grain_off_its_way_is_told_by_how_much(turned in 0.0_f64..90.0, up in any::<bool>()) {
        let nearest = [0.0, 45.0, 90.0]
            .into_iter()
            .map(|w: f64| (turned - w).abs())
            .fold(f64::INFINITY, f64::min);
        prop_assume!((nearest - OFF).abs() > 1e-6);
        let mut sketch = flared(3.0, 3.0);
        let way = if up { -1.0 } else { 1.0 };
        let (sin, cos) = (angle::sin(turned.to_radians()), angle::cos(turned.to_radians()));
        sketch.worked.pieces[0].grain = Some(piece::Grain {
            from: at(4.0, 20.0),
            to: at(4.0 + 9.0 * sin, 20.0 + 9.0 * way * cos),
        });
        let found = sketch.find(find);
        if nearest <= OFF {
            prop_assert!(found.is_empty(), "{found:?}");
        } else {
            prop_assert_eq!(found.len(), 1);
            let Some(Amount::Angle(said)) = found[0].amount else { panic!("{found:?}") };
            prop_assert!((said.in_degrees() - nearest).abs() < 1e-6);
            prop_assert_eq!(&found[0].place, "front");
        }
    }
}

/// Would catch a shell piece that is cut without anything to lay it by, and a lining asked about too.
#[test]
fn a_shell_piece_without_an_arrow_is_asked_about() {
    let mut sketch = flared(3.0, 3.0);
    sketch.worked.pieces[1].grain = None;
    let found = sketch.find(find);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(
        (found[0].rule.as_str(), found[0].place.as_str()),
        ("F22", "back")
    );
    sketch.worked.pieces[1].cuts[0].cloth = "lining".into();
    assert!(sketch.find(find).is_empty());
}

/// Would catch a band judged by the plumb of the skirt: its sheet has no level of her body.
#[test]
fn a_piece_beside_her_is_not_judged() {
    let mut sketch = flared(3.0, 3.0);
    let mut band = sketch.worked.pieces[0].clone();
    band.name = "band".into();
    band.grain = Some(piece::Grain {
        from: at(0.0, 0.0),
        to: at(9.0, 5.0),
    });
    sketch.worked.pieces.push(band);
    sketch.worked.origins.push(draft::worked::Origin {
        sheet: Some("band".into()),
        copied_from: Vec::new(),
        half: None,
    });
    assert!(sketch.find(find).is_empty());
}
