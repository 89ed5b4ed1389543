//! The waist: sums of quarters.

use measure::fraction::{Unit, read};
use proptest::prelude::*;

use crate::samples::{CARD, METHOD, funnel, inches, made};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Would catch a dart left open, a quarter counted once, a tolerance that is not kept: each front
    /// and back half is drawn wrong by a fourth of the amount.
    #[test]
    fn a_wrong_sum_is_told_with_its_amount(out in -3.0..3.0_f64) {
        prop_assume!((out.abs() - 0.125).abs() > 0.01);
        let text = METHOD
            .replace("waist of front = quarter waist", &format!("waist of front = quarter waist + {:.4} in", out / 4.0))
            .replace("waist of back = quarter waist", &format!("waist of back = quarter waist + {:.4} in", out / 4.0))
            .replace("+ -", "- ");
        let made = made(CARD, &text, &[("zip length", "9 in")]);
        let found = made.of_rule("F28");
        if out.abs() < 0.125 {
            prop_assert!(found.is_empty(), "{out}: {found:?}");
        } else {
            prop_assert_eq!(found.len(), 1);
            prop_assert!((inches(&found[0]) - out).abs() < 0.01, "{out}: {found:?}");
            // As it is told, too: what it comes to, what it should be, and what is between.
            let figures: Vec<f64> = found[0]
                .says
                .split(|c: char| !(c.is_ascii_digit() || c == ' ' || c == '/'))
                .filter_map(|text| read(text, Some(Unit::Inch)).ok())
                .map(measure::Length::in_inches)
                .collect();
            let [comes, should, by] = figures[..] else {
                return Err(TestCaseError::fail(format!("{found:?}")));
            };
            prop_assert!(((comes - should).abs() - by).abs() < 1e-6, "{found:?}");
        }
    }
}

/// Would catch a dart that takes too much and is not missed: 1/4 in more in each of four darts.
#[test]
fn a_wrong_dart_is_this_rule_alone() {
    let text = METHOD
        .replace("intake dart take", "intake dart take + 1/4 in")
        .replace(
            "waist of front = quarter waist by",
            "waist of front = quarter waist - 1/4 in by",
        )
        .replace(
            "waist of back = quarter waist by",
            "waist of back = quarter waist - 1/4 in by",
        );
    let made = made(CARD, &text, &[]);
    assert_eq!(made.broken(), ["F28"], "{:#?}", made.found());
    let found = made.of_rule("F28");
    assert!((inches(&found[0]) + 1.0).abs() < 0.01);
    assert_eq!(
        found[0].says,
        "The waist comes to 28 1/2 in with the darts sewn; it should be 29 1/2 in: 1 in too little."
    );
}

/// Would catch a waist ease that is not looked at.
#[test]
fn the_ease_she_chose_counts() {
    assert!(
        made(CARD, METHOD, &[("waist ease", "2 in")])
            .of_rule("F28")
            .is_empty()
    );
    assert!(
        made(CARD, METHOD, &[("waist ease", "-1 in")])
            .of_rule("F28")
            .is_empty()
    );
}

/// A band of so much below a top that is gathered on to it.
fn banded(band: &str, eased: &str) -> String {
    let at = crate::samples::FUNNEL.find("seams\n").unwrap();
    format!(
        "{}sheets band\nlevels\n  band top: at the top\n  band foot: 2 in below band top\nuprights\n  \
         band end: at the left\n  band middle: {band} / 2 from band end\n  band far: {band} / 2 from band middle\n\
         edges\n  top: from (at band top and band end), straight to (at band top and band far)\n  \
         far end: from end of top, straight to (at band foot and band far)\n  \
         left: from end of far end, straight to (at band foot and band middle)\n  \
         right: from end of left, straight to (at band foot and band end)\n  \
         near end: from end of right, straight to start of top\n\
         finish\n  top: hem, allowance 1/2 in\n  left and right: seam, allowance 1/2 in\n  \
         far end and near end: opening, allowance 1/2 in\n\
         pieces\n  waistband: on band, outline top then far end then left then right then near end\n    \
         cut 1 from shell\n    grain along band top\n{}  \
         band front: waist of front with left of waistband, ease {eased}\n  \
         band back: waist of back with right of waistband, ease {eased}\n",
        &crate::samples::FUNNEL[..at],
        &crate::samples::FUNNEL[at..],
    )
}

/// Would catch a gathered top that is told to be too wide, or a band that does not fit passed for it.
#[test]
fn a_gathered_top_is_judged_by_its_band() {
    let set = [("waist ease", "30 in"), ("hip ease", "20 in")];
    // 59 in gathered on to a band of 29 in: front and back halves lie on the fold, each 29 1/2 in.
    let fits = made(CARD, &banded("29 in", "15 in"), &set);
    assert!(fits.of_rule("F28").is_empty(), "{:#?}", fits.of_rule("F28"));
    let small = made(CARD, &banded("28 in", "15 1/2 in"), &set);
    let found = small.of_rule("F28");
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!((inches(&found[0]) + 1.0).abs() < 0.01);
    assert_eq!(found[0].place, "waistband.left + waistband.right");
}

/// Would catch a band that is longer than the waist it is sewn to.
#[test]
fn a_band_must_be_as_long_as_the_waist() {
    let set = [("waist ease", "0 in"), ("zip length", "9 in")];
    assert!(
        made(CARD, &banded("29 in", "0 in"), &set)
            .of_rule("F28")
            .is_empty()
    );
    let found = made(CARD, &banded("30 in", "0 in"), &set).of_rule("F28");
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!((inches(&found[0]) + 1.0).abs() < 0.01, "{found:#?}");
}

/// Would catch a method that says nothing of its ease judged as if it wanted none.
#[test]
fn without_a_word_of_ease_only_what_can_not_be_right_is_told() {
    let text = crate::samples::FUNNEL
        .replace(
            "  waist ease: hip - waist, between -20 in and 60 in, \"Round the waist\"\n",
            "",
        )
        .replace("(waist + waist ease) / 4", "(waist + 1 in) / 4");
    let set = [("zip length", "9 in")];
    assert!(made(CARD, &text, &set).of_rule("F28").is_empty());
    let small = text.replace("(waist + 1 in) / 4", "(waist - 1 in) / 4");
    assert_eq!(made(CARD, &small, &set).of_rule("F28").len(), 1);
    assert!(funnel(CARD, &[]).of_rule("F28").is_empty());
}
