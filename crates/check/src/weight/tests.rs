//! The weight of the shell by its area.

use lay::Cloth;
use proptest::prelude::*;

use super::*;
use crate::sketch::flared;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Two halves on the fold, each 10 in wide, flaring to 13 below 9 in: with allowances of 1/2 in at
    /// the waist, 1/2 in at the side and 1 in at the hem. Would catch a fold counted once, and an
    /// allowance left out.
    #[test]
    fn it_weighs_its_area_by_the_weight_of_the_cloth(weight in 50.0_f64..1500.0) {
        let sketch = flared(3.0, 3.0).of_cloth(Cloth { weight: Some(weight), ..Cloth::default() });
        let seen = Seen::of(&sketch.subject());
        // Stitching: 10 * 9 + (10 + 13) / 2 * 31; turnings: waist, side and hem along their lines, and
        // corners of less than two square inches in all.
        let inside = 10.0 * 9.0 + 11.5 * 31.0;
        let side = 9.0 + measure::angle::hypot(3.0, 31.0);
        let turned = 0.5 * 10.0 + 0.5 * side + 13.0;
        let square_m = |sq_in: f64| 4.0 * sq_in * 25.4 * 25.4 / 1e6;
        let said = grams(&seen).unwrap();
        prop_assert!(said >= weight * square_m(inside + turned - 0.5), "{said}");
        prop_assert!(said <= weight * square_m(inside + turned + 2.0), "{said}");
        let found = sketch.find(find);
        let wanted = if said > 2000.0 {
            Some(Weight::Ask)
        } else if said > 1500.0 {
            Some(Weight::Note)
        } else {
            None
        };
        prop_assert_eq!(found.first().map(|f| f.weight), wanted);
        prop_assert!(found.iter().all(|f| f.amount == Some(Amount::Grams(said))));
    }
}

/// Would catch a weight guessed where none was told.
#[test]
fn without_the_weight_of_the_cloth_nothing_is_said() {
    assert!(
        flared(3.0, 3.0)
            .of_cloth(Cloth::default())
            .find(find)
            .is_empty()
    );
}
