//! The thighs: a funnel whose girth at any level is reckoned in the head.

use super::*;
use crate::samples::{CARD, funnel, inches, skirt};

/// At 12 in below the waist the funnel to 30 in at 24 in is 42 - 12 (12 - 8.5) / 15.5 = 39.29 in round.
const AT_TWELVE: f64 = 42.0 - 12.0 * 3.5 / 15.5;

/// Would catch both thighs compared at another level than they were taken at, or a tolerance that is
/// not kept.
#[test]
fn both_thighs_are_compared_where_they_were_taken() {
    let found = |both: f64| {
        let card = format!("{CARD}\"both thighs\" = {both:.3}\n");
        funnel(&card, &[("hem girth", "30 in")]).of_rule("F33")
    };
    assert!(found(AT_TWELVE).is_empty());
    assert!(found(AT_TWELVE + 0.1).is_empty());
    let tight = found(AT_TWELVE + 0.75);
    assert_eq!(tight[0].weight, Weight::Ask);
    assert!((inches(&tight[0]) + 0.75).abs() < 0.01, "{tight:?}");
}

/// Would catch the reckoning from one thigh left out, told as if it were measured, or told where it
/// can't be known. 13 1/2 in below the waist her leg is reckoned as 15.5 + 8.5 (28.5 - 20) / 9.705.
#[test]
fn without_them_they_are_reckoned_from_one_leg() {
    let leg = 15.5 + 8.5 * (42.0 - 13.5 - 20.0) / (0.457 * 65.0 - 20.0);
    let wanted = leg * (1.0 + 2.0 / std::f64::consts::PI);
    assert!(wanted < 40.0, "{wanted}");
    let found = |share: f64| {
        // The hem girth that gives this share of it at that level.
        let there = wanted * share;
        let hem = 42.0 + (there - 42.0) * 15.5 / 5.0;
        let made = funnel(CARD, &[("hem girth", &format!("{hem:.3} in"))]);
        made.of_rule("F33")
    };
    assert!(found(0.98).is_empty());
    let tight = found(0.95);
    assert_eq!(tight[0].weight, Weight::Note);
    assert!(
        (inches(&tight[0]) + 0.05 * wanted).abs() < 0.05,
        "{tight:?}"
    );
    assert!(tight[0].says.contains("reckoned"), "{}", tight[0].says);
    assert_eq!(found(0.9)[0].weight, Weight::Ask);
}

/// Would catch a skirt with room told to bind.
#[test]
fn a_flared_skirt_does_not_bind() {
    assert!(skirt(&[]).of_rule("F33").is_empty());
}
