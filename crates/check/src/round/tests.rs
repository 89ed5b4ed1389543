//! Girths against closed forms: cones, rings, tiers, pieces that were spread or drawn apart.

use measure::card::Card;

use super::Round;
use crate::samples::{CARD, Made, made};
use crate::seen::Seen;

const PI: f64 = std::f64::consts::PI;

/// The girth of a made garment so far below the waist, both in inches.
fn girth(made: &Made, below: f64) -> Option<f64> {
    let subject = made.subject();
    let seen = Seen::of(&subject);
    Some(Round::of(&seen).girth_at(below * 25.4)? / 25.4)
}

/// Parts of a ring without any level of the body: each a sector about its own middle, `turn` degrees
/// wide, its top an arc that is part of a waist of 29 in.
fn ring(turn: u32, parts: u32, dip: &str) -> String {
    format!(
        r#"method "Ring for trying"
card
  waist
  waist to hip
values
  radius: {parts} * 0 in + waist / 2 / ({turn} * {parts} * 3.14159265358979 / 180)
sheets part number k, each k up to {parts}
levels
  ring line: at the top
uprights
  front line: at the left
points
  middle: at ring line and front line
  waist start: at middle, down radius
  waist end: turn waist start about middle by {turn} deg, outward
  hem start: at middle, down radius + 24 in
  hem end: turn (at middle, down radius + 24 in + {dip}) about middle by {turn} deg, outward
edges
  waist: from waist start, arc to waist end, around middle, outward
  front: from waist start, straight to hem start
  back: from waist end, straight to hem end
  hem: from hem start, curve to hem end, leaving square to front, arriving square to back
finish
  waist: seam, allowance 1/2 in
  hem: hem, allowance 1/2 in
  back: seam, allowance 1/2 in
when k = 1
  finish
    front: fold
otherwise
  finish
    front: seam, allowance 1/2 in
end
pieces
  skirt number k: on part number k, outline waist then back then hem then front, each k up to {parts}
    cut 1 on the fold from shell, if k = 1
    cut a pair from shell, if k > 1
    grain along front line
seams
  join number k: back of skirt number k with front of skirt number (k + 1), each k up to {parts} - 1
  centre back: back of skirt number {parts} with its twin
"#
    )
}

/// Would catch a chord taken for an arc, a ring beside her: round it is 29 in and the whole turn times the distance (closed form).
#[test]
fn a_ring_without_levels_widens_as_its_turn_says() {
    for (turn, parts) in [(20, 1), (60, 1), (90, 1), (90, 2), (170, 1), (60, 3)] {
        let made = made(CARD, &ring(turn, parts, "0 in"), &[]);
        let whole = f64::from(2 * turn * parts).to_radians();
        for below in [1.0, 8.5, 17.0, 23.9] {
            let wanted = 29.0 + whole * below;
            let is = girth(&made, below).unwrap();
            assert!(
                (is - wanted).abs() < 0.01,
                "{turn} {parts} {below}: {is} {wanted}"
            );
        }
        assert_eq!(girth(&made, 24.1), None);
    }
}

/// Would catch a hem that dips taken for one that is closed all the way down.
#[test]
fn a_dipping_ring_is_closed_down_to_its_shortest_side() {
    let made = made(CARD, &ring(90, 1, "4 in"), &[]);
    let wanted = 29.0 + PI * 24.0;
    assert!((girth(&made, 23.99).unwrap() - wanted).abs() < 0.1);
    assert_eq!(girth(&made, 24.1), None);
}

/// Would catch a hip of pieces without levels that is not known where her card holds the level.
#[test]
fn what_has_no_levels_is_measured_where_she_was() {
    let made = made(CARD, &ring(90, 1, "0 in"), &[]);
    let measured = crate::measured::measure(&made.worked, &made.card);
    let hip = measured.hip.unwrap().in_inches();
    assert!((hip - (29.0 + PI * 8.5)).abs() < 0.01, "{hip}");
    assert!((measured.waist.unwrap().in_inches() - 29.0).abs() < 0.01);
    assert!(measured.step.is_some());
}

/// A half of a cylinder on the fold to 15 in below the waist, and a ring of a quarter turn sewn to it.
const TIERS: &str = r#"method "Tiers for trying"
card
  waist
  hip
  waist to hip
choices
  waist ease: hip - waist, between 0 in and 20 in, "Round the waist"
values
  half: hip / 2
  radius: half / (3.14159265358979 / 2)
sheets top
levels
  waist line: at the top, the waist level
  hip line: waist to hip below waist line, the hip level
  join line: 15 in below waist line
uprights
  front line: at the left
  back line: half from front line
points
  low front: at join line and front line
  low back: at join line and back line
edges
  waist: from (at waist line and front line), straight to (at waist line and back line)
  back: from end of waist, straight to low back
  join: from low back, straight to low front
  front: from low front, straight to start of waist
finish
  waist and back and join: seam, allowance 1/2 in
  front: fold
sheets ring
levels
  ring line: at the top
uprights
  fold line: at the left
points
  middle: at ring line and fold line
  top start: at middle, down radius
  top end: turn top start about middle by 90 deg, outward
  hem start: at middle, down radius + 10 in
  hem end: turn hem start about middle by 90 deg, outward
edges
  top: from top start, arc to top end, around middle, outward
  fold: from top start, straight to hem start
  back: from top end, straight to hem end
  hem: from hem start, arc to hem end, around middle, outward
finish
  top and back: seam, allowance 1/2 in
  fold: fold
  hem: hem, allowance 1/2 in
pieces
  body: on top, outline waist then back then join then front
    cut 1 on the fold from shell
    grain along front line
  flounce: on ring, outline top then back then hem then fold
    cut 1 on the fold from shell
    grain along fold line
seams
  join: top of flounce with join of body
  centre back: back of body with its twin
  flounce back: back of flounce with its twin
"#;

/// Would catch a flounce measured beside her, from the waist, or not at all.
#[test]
fn what_is_sewn_to_a_foot_begins_there() {
    let made = made(CARD, TIERS, &[]);
    for (below, wanted) in [
        (0.0, 40.0),
        (14.9, 40.0),
        (15.1, 40.0 + PI * 0.1),
        (20.0, 40.0 + PI * 5.0),
        (24.9, 40.0 + PI * 9.9),
    ] {
        let is = girth(&made, below).unwrap();
        assert!((is - wanted).abs() < 0.01, "{below}: {is} {wanted}");
    }
    assert_eq!(girth(&made, 25.1), None);
    let hem = crate::measured::measure(&made.worked, &made.card)
        .hem
        .unwrap();
    assert!((hem.in_inches() - (40.0 + PI * 10.0)).abs() < 0.01);
}

/// Would catch a patch or a strap of the same cloth that is measured as if it went round her.
#[test]
fn a_patch_does_not_go_round_her() {
    let patched = TIERS.replace(
        "seams\n",
        "  pocket: on ring, outline top then back then hem then fold\n    cut a pair from shell\n    grain along fold line\nseams\n",
    );
    let (plain, patched) = (made(CARD, TIERS, &[]), made(CARD, &patched, &[]));
    for below in [5.0, 20.0] {
        assert_eq!(girth(&plain, below), girth(&patched, below));
    }
}

/// Would catch girths that hang on where the sheet lies: the same quarters with and without levels of
/// the body, measured by the level and by the sides, agree but for the rise of the side.
#[test]
fn measured_by_the_sides_it_is_what_the_level_says() {
    let text = crate::samples::METHOD;
    let by_level = made(CARD, text, &[("flare", "1 in")]);
    let bare = text
        .replace(", the waist level", "")
        .replace(", the hip level", "");
    let by_sides = made(CARD, &bare, &[("flare", "1 in")]);
    for below in [2.0, 5.0, 8.5, 12.0, 16.0, 20.0, 23.0] {
        let (a, b) = (
            girth(&by_level, below).unwrap(),
            girth(&by_sides, below).unwrap(),
        );
        // Its side begins 1/2 in above the waist level, so by the sides a level lies higher there.
        assert!((a - b).abs() < 0.75, "{below}: {a} {b}");
    }
    // A card without the level has no hip to be measured at.
    let card = Card::new("x", measure::fraction::Unit::Inch);
    let none = crate::measured::measure(&by_sides.worked, &card);
    assert_eq!(none.hip, None);
}

/// Would catch a break that steps down from seam to seam measured straight across: each gore is
/// measured from its left break to its right one.
#[test]
fn a_break_that_steps_down_is_measured_along_its_step() {
    // Without the folder of shipped methods there is nothing to try.
    let Some(text) = crate::samples::shipped("mermaid-gores") else {
        return;
    };
    let text = text.as_str();
    let card = format!("{CARD}heel = 0\n");
    let set = |step: &'static str| [("break step", step), ("shaping", "ruled")];
    let (level, stepped) = (
        made(&card, text, &set("0 in")),
        made(&card, text, &set("3 in")),
    );
    let broken = |m: &Made| {
        let measured = crate::measured::measure(&m.worked, &m.card);
        measured.break_girth.unwrap().in_inches()
    };
    // Ruled, 36 in round; along the step each gore's line slants, by 3/4 in over 4 1/2.
    assert!((broken(&level) - 36.0).abs() < 0.01, "{}", broken(&level));
    let slant = 8.0 * (4.5_f64 * 4.5 + 0.75 * 0.75).sqrt();
    assert!(
        (broken(&stepped) - slant).abs() < 0.02,
        "{} {slant}",
        broken(&stepped)
    );
}

/// Would catch what lies under a vent counted as hem, or a slit in a seam with a zip counted as closed.
#[test]
fn a_vent_opens_the_hem_and_does_not_lengthen_it() {
    // Without the folder of shipped methods there is nothing to try.
    let Some(text) = crate::samples::shipped("straight-skirt") else {
        return;
    };
    let text = text.as_str();
    let measured = |set: &[(&str, &str)]| {
        let made = made(CARD, text, set);
        crate::measured::measure(&made.worked, &made.card)
    };
    for set in [
        &[][..],
        &[
            ("back vent", "no"),
            ("slit", "centre"),
            ("slit height", "8 in"),
        ],
        &[
            ("back vent", "no"),
            ("slit", "sides"),
            ("slit height", "8 in"),
        ],
    ] {
        let m = measured(set);
        assert!(
            (m.hem.unwrap().in_inches() - 42.0).abs() < 0.01,
            "{set:?}: {m:?}"
        );
        // Closed down to 8 in above a hem at 26 in.
        let below = m.step.unwrap().below_waist.in_inches();
        assert!((below - 18.0).abs() < 0.01, "{set:?}: {below}");
    }
    let closed = measured(&[("back vent", "no")]).step.unwrap();
    assert!((closed.below_waist.in_inches() - 26.0).abs() < 0.01);
}
