//! The worked examples of the trade, reckoned by the method language and the shipped methods.
//!
//! Each test names its example and how far it can be trusted: *common practice, no source*;
//! *derived* (from plain geometry); *published* with the year; *from memory*. Lengths are inches
//! unless the name says otherwise.

#[path = "common/sums.rs"]
mod sums;

use measure::Point;
use piece::Piece;
use sums::{card, comes_to, result, shipped, shipped_worked, w1, worked};

fn near(got: f64, wanted: f64, within: f64) {
    assert!((got - wanted).abs() <= within, "{got}, wanted {wanted}");
}

/// The corners of an edge in inches, from the upper end to the lower.
fn corners(piece: &Piece, edge: &str) -> Vec<(f64, f64)> {
    let curve = &piece.edge(edge).expect("the edge is there").curve;
    let mut all: Vec<Point> = vec![curve.start()];
    all.extend(curve.segments().iter().map(|s| s.point(1.0)));
    if all[0].y > all[all.len() - 1].y {
        all.reverse();
    }
    all.iter().map(|p| (p.x / 25.4, p.y / 25.4)).collect()
}

fn piece<'w>(worked: &'w draft::Worked, name: &str) -> &'w Piece {
    worked
        .pieces
        .iter()
        .find(|p| p.name == name)
        .expect("the piece is cut")
}

const RULED: [(&str, &str); 3] = [
    ("length", "47 in"),
    ("shaping", "ruled"),
    ("hem rise", "drawn"),
];

/// Trade worked example W1 (common practice, no source; the lengths derived): the mermaid as a hand
/// rules it. Would catch any shift of a point of the common draft.
#[test]
fn w1_mermaid_as_drawn() {
    let Some(text) = shipped().into_iter().find(|s| s.0 == "mermaid-two") else {
        return;
    };
    let drawn = worked(&text.1, &w1(), &RULED, true);
    let wanted = [
        (7.5, -0.25),
        (10.0, 8.0),
        (10.0, 10.0),
        (7.5, 18.5),
        (7.5, 19.5),
        (17.427, 45.5),
    ];
    for (got, want) in corners(piece(&drawn, "front"), "side").iter().zip(wanted) {
        near(got.0, want.0, 0.001);
        near(got.1, want.1, 0.001);
    }
    let wanted = [
        (8.5, -0.25),
        (10.0, 8.0),
        (10.0, 10.0),
        (8.5, 18.5),
        (8.5, 19.5),
        (17.482, 45.5),
    ];
    for (got, want) in corners(piece(&drawn, "back"), "side").iter().zip(wanted) {
        near(got.0, want.0, 0.001);
        near(got.1, want.1, 0.001);
    }
    let side = drawn
        .seams
        .iter()
        .find(|s| s.name == "side seam")
        .expect("declared");
    near(side.a_length.in_inches(), 48.3112, 0.0001);
    near(side.b_length.in_inches(), 47.5243, 0.0001);
    near(side.difference.in_inches(), 0.7870, 0.0001);
}

/// W1, trued (derived): where the back must go, and that it does. Would catch truing at the hem only.
#[test]
fn w1_mermaid_trued() {
    let Some(trued) = shipped_worked("mermaid-two", &w1(), &RULED) else {
        return;
    };
    let wanted = [
        (8.5, -0.489),
        (10.0, 8.0),
        (10.0, 10.0),
        (8.5, 18.732),
        (8.5, 19.732),
        (17.656, 46.014),
    ];
    for (got, want) in corners(piece(&trued, "back"), "side").iter().zip(wanted) {
        near(got.0, want.0, 0.001);
        near(got.1, want.1, 0.001);
    }
    let side = trued
        .seams
        .iter()
        .find(|s| s.name == "side seam")
        .expect("declared");
    near(side.b_length.in_inches(), 48.3112, 0.0001);
    let (a, b) = side.before.expect("it was trued");
    near((a - b).in_inches(), 0.7870, 0.0001);
    comes_to(&trued, "break girth", 30.0, 1e-9);
    comes_to(&trued, "exact hem rise", 1.809, 0.001);
    comes_to(&trued, "train edge", 38.030, 0.001);
}

/// W1, curved: the waist sums right after truing, and the seams still agree. Would catch a waist
/// that is made before the side is trued and not looked at again.
#[test]
fn w1_mermaid_curved_waist_is_hers() {
    let Some(curved) = shipped_worked("mermaid-two", &w1(), &[("length", "47 in")]) else {
        return;
    };
    comes_to(&curved, "waist girth", 30.0, 1e-5);
    assert!(curved.truings.iter().all(|t| t.met));
}

/// W2 (derived: a circle): radii and hems of parts of a circle. Would catch pi taken as 3.
#[test]
fn w2_circles() {
    let text = r#"method "Circles"
card
  waist
results
  full: circle radius of waist
  three quarter: circle radius of (waist / (3/4))
  half one: circle radius of (waist / (1/2))
  quarter one: circle radius of (waist / (1/4))
  full hem: circle girth of (full + 40 in)
  three quarter hem: 3/4 * circle girth of (three quarter + 40 in)
  half hem: 1/2 * circle girth of (half one + 40 in)
  quarter hem: 1/4 * circle girth of (quarter one + 40 in)
"#;
    let w28 = worked(text, &card(&[("waist", 28.0)]), &[], false);
    let w30 = worked(text, &card(&[("waist", 30.0)]), &[], false);
    for (name, a, b) in [
        ("full", 4.456, 4.775),
        ("three quarter", 5.942, 6.366),
        ("half one", 8.913, 9.549),
        ("quarter one", 17.825, 19.099),
    ] {
        comes_to(&w28, name, a, 0.0006);
        comes_to(&w30, name, b, 0.0006);
    }
    for (name, a, b) in [
        ("full hem", 279.33, 281.33),
        ("three quarter hem", 216.50, 218.50),
        ("half hem", 153.66, 155.66),
        ("quarter hem", 90.83, 92.83),
    ] {
        comes_to(&w28, name, a, 0.006);
        comes_to(&w30, name, b, 0.006);
    }
    let metric = worked(text, &card(&[("waist", 72.0 / 2.54)]), &[], false);
    comes_to(&metric, "full", 11.459 / 2.54, 0.001);
    // The shipped skirt cuts the same rings, whatever parts it is cut in.
    for (circles, parts, radius, hem) in [
        ("1", "1", 4.775, 281.33),
        ("1", "2", 4.775, 281.33),
        ("3/4", "3", 6.366, 218.50),
        ("1/2", "1", 9.549, 155.66),
        ("1/4", "1", 19.099, 92.83),
    ] {
        let set = [("circles", circles), ("parts", parts)];
        if let Some(skirt) = shipped_worked("circle-skirt", &w1(), &set) {
            comes_to(&skirt, "waist radius", radius, 0.0006);
            comes_to(&skirt, "hem girth", hem, 0.01);
            comes_to(&skirt, "waist girth", 30.0, 0.001);
        }
    }
}

/// W3 (published 1916): top times depth, divided by bottom less top. Would catch the rule turned over.
#[test]
fn w3_flounce() {
    let text = r#"method "Ring"
values
  top: 72 in
  depth: 12 in
  bottom: 112 in
results
  radius: top * depth / (bottom - top)
  whole: arc angle of top and radius
  outer: 360 deg * (bottom / circle girth of (radius + depth))
  half join: circle radius of (32 in / (1/2))
  half hem: 1/2 * circle girth of (half join + 20 in)
  full join: circle radius of 32 in
  full hem: circle girth of (full join + 20 in)
"#;
    let ring = worked(text, &card(&[]), &[], false);
    comes_to(&ring, "radius", 21.6, 1e-9);
    comes_to(&ring, "whole", 190.99, 0.006);
    comes_to(&ring, "outer", 190.99, 0.006);
    comes_to(&ring, "half join", 10.186, 0.0006);
    comes_to(&ring, "half hem", 94.83, 0.006);
    comes_to(&ring, "full join", 5.093, 0.0006);
    comes_to(&ring, "full hem", 157.66, 0.006);
}

/// W4 (derived): an off-centre circle, shifted by half of the dip. Would catch a shift the wrong way.
#[test]
fn w4_off_centre_circle() {
    let set = [
        ("front depth", "20 in"),
        ("dip", "14 in"),
        ("parts", "2"),
        ("circles", "1"),
    ];
    // A waist of ten pi has a ring of 5 in.
    let client = card(&[("waist", 10.0 * core::f64::consts::PI)]);
    let Some(skirt) = shipped_worked("circle-skirt", &client, &set) else {
        return;
    };
    comes_to(&skirt, "hem radius", 32.0, 1e-6);
    comes_to(&skirt, "centre shift", 7.0, 1e-6);
    comes_to(&skirt, "back depth", 34.0, 1e-4);
    comes_to(&skirt, "hem girth", 201.06, 0.01);
    let side = piece(&skirt, "skirt number 1")
        .edge("back")
        .expect("a side seam");
    near(side.curve.length().in_inches(), 26.225, 0.001);
}

/// W5 (derived): legs, angle, and what closing a dart opens. Would catch a dart that is not square to
/// its edge, or one that is closed by its rule of thumb.
#[test]
fn w5_dart() {
    let text = r#"method "Dart"
choices
  intake: 1 in
  long: 5 1/2 in
sheets flat
levels
  top line: at the top
  foot line: 24 in below top line
uprights
  left line: at the left
  right line: 20 in from left line
edges
  waist: from (at top line and left line), straight to (at top line and right line)
  side: from end of waist, straight to (at foot line and right line)
  hem: from end of side, straight to (at foot line and left line)
  centre: from start of waist, straight to end of hem
darts
  dart: into waist, place 1/2, intake intake, length long
pieces
  plain: on flat, outline waist then side then hem then centre
    cut 1 from shell
  closed: copy from plain
    close dart, opening hem
    cut 1 from shell
results
  opened: distance between start of hem of closed and end of hem of closed - 20 in
  gained: length of hem of closed - 20 in
"#;
    for (intake, long, leg, turn) in [
        ("1 in", "5 1/2 in", 5.5227, 10.389),
        ("1/2 in", "3 1/2 in", 3.5089, 8.171),
    ] {
        let out = worked(
            text,
            &card(&[]),
            &[("intake", intake), ("long", long)],
            false,
        );
        let plain = piece(&out, "plain");
        let dart = &plain.darts[0];
        let edge = &plain.edge("waist").expect("it has one").curve;
        let (a, b) = (edge.at(dart.mouth.0).point, edge.at(dart.mouth.1).point);
        near((dart.tip - a).size() / 25.4, leg, 0.0001);
        near((dart.tip - b).size() / 25.4, leg, 0.0001);
        let (u, v) = (a - dart.tip, b - dart.tip);
        let angle = measure::angle::atan2(u.cross(v).abs(), u.dot(v)).to_degrees();
        near(angle, turn, 0.001);
    }
    let out = worked(text, &card(&[]), &[], false);
    comes_to(&out, "gained", 3.350, 0.001);
}

/// W6 (derived): gores as cones, and the gores of the common draft. Would catch a flare counted once.
#[test]
fn w6_gores() {
    let text = r#"method "Cone"
results
  radius: 5.1875 in * 32 in / (12 in - 5.1875 in)
  turn: arc angle of 5.1875 in and radius
"#;
    let cone = worked(text, &card(&[]), &[], false);
    comes_to(&cone, "radius", 24.367, 0.001);
    comes_to(&cone, "turn", 12.198, 0.001);
    let set = [
        ("length", "47 in"),
        ("break girth", "36 in"),
        ("shaping", "ruled"),
    ];
    if let Some(eight) = shipped_worked("mermaid-gores", &w1(), &set) {
        comes_to(&eight, "one gore hip", 5.1875, 1e-9);
        comes_to(&eight, "one gore break", 4.5, 1e-9);
        comes_to(&eight, "one gore hem", 16.5, 1e-9);
        comes_to(&eight, "hem girth", 132.0, 1e-9);
        comes_to(&eight, "first height", 28.0, 1e-9);
        comes_to(&eight, "first slant", 28.636, 0.001);
        comes_to(&eight, "first rise", 0.622, 0.001);
    }
    let client = card(&[
        ("waist", 28.0),
        ("hip", 38.0),
        ("waist to hip", 9.0),
        ("waist to knee", 22.0),
    ]);
    let set = [
        ("gores", "6"),
        ("hip ease", "2 in"),
        ("break girth", "34 in"),
        ("flare", "8 in"),
    ];
    if let Some(six) = shipped_worked("mermaid-gores", &client, &set) {
        comes_to(&six, "one gore hip", 6.667, 0.001);
        comes_to(&six, "one gore break", 5.667, 0.001);
        comes_to(&six, "one gore hem", 21.667, 0.001);
        comes_to(&six, "hem girth", 130.0, 1e-6);
    }
}

/// W7 (common practice, no source, in part; the rest from memory): quarter sums of published blocks.
#[test]
fn w7_quarter_sums() {
    let text = r#"method "Blocks"
results
  a width: 94 cm / 2 + 1.5 cm
  a back hip: 94 cm / 4 + 1.5 cm
  a front hip: a width - a back hip
  a back waist: 68 cm / 4 + 4.25 cm
  a front waist: 68 cm / 4 + 2.25 cm
  a back side: a back hip - a back waist
  a front side: a front hip - a front waist
  a finished: 2 * (a back waist + a front waist - 2 * 2 cm - 2 cm)
  b width: 96 cm / 2 + 2.5 cm
  b back: b width / 2 + 0.75 cm
  b front: b width - b back
  b back waist: 72 cm / 4 + 2 cm + 1.2 cm
  b front waist: 72 cm / 4 + 2 cm
  half difference: (40 in + 2 in - 30 in - 1 in) / 2
  side all: 40 % * half difference
  front all: 20 % * half difference
  back all: 40 % * half difference
  edge: 13 % * 11 in
  one front: 8 % * 11 in
  one back: 16 % * 11 in
  sum: 4 * edge + 2 * one front + 2 * one back
"#;
    let sums = worked(text, &card(&[]), &[], false);
    for (name, cm) in [
        ("a width", 48.5),
        ("a back hip", 25.0),
        ("a front hip", 23.5),
        ("a back waist", 21.25),
        ("a front waist", 19.25),
        ("a back side", 3.75),
        ("a front side", 4.25),
        ("a finished", 69.0),
        ("b width", 50.5),
        ("b back", 26.0),
        ("b front", 24.5),
        ("b back waist", 21.2),
        ("b front waist", 20.0),
    ] {
        comes_to(&sums, name, cm / 2.54, 1e-9);
    }
    comes_to(&sums, "half difference", 5.5, 1e-9);
    comes_to(&sums, "side all", 2.2, 1e-9);
    comes_to(&sums, "front all", 1.1, 1e-9);
    comes_to(&sums, "back all", 2.2, 1e-9);
    comes_to(&sums, "edge", 1.43, 1e-9);
    comes_to(&sums, "one front", 0.88, 1e-9);
    comes_to(&sums, "one back", 1.76, 1e-9);
    comes_to(&sums, "sum", 11.0, 1e-9);
    // The shipped straight skirt takes the same shares: 1.1 at each side edge, 1.1 front, 2.2 back.
    if let Some(skirt) = shipped_worked("straight-skirt", &w1(), &[]) {
        comes_to(&skirt, "side take off", 1.1, 1e-9);
        comes_to(&skirt, "front dart", 1.1, 1e-9);
        comes_to(&skirt, "back dart", 2.2, 1e-9);
        comes_to(&skirt, "waist girth", 31.0, 1e-5);
    }
}

/// W8 (published about 1900 and 1908): five gores and six. The book's 17 1/2 is its own rounding.
#[test]
fn w8_old_gored_skirts() {
    let text = r#"method "Old"
results
  waist each: 25 in / 5
  hip each: 40 in / 5
  other hems: (2 1/4 * 36 in - 10 in) / 4
  six waist: 24 in / 6
  six seat: 40 in / 6
  six hem: 40 in / 3
  back hem: 2 * six hem
"#;
    let old = worked(text, &card(&[]), &[], false);
    comes_to(&old, "waist each", 5.0, 1e-9);
    comes_to(&old, "hip each", 8.0, 1e-9);
    comes_to(&old, "other hems", 17.75, 1e-9);
    comes_to(&old, "six waist", 4.0, 1e-9);
    comes_to(&old, "six seat", 6.667, 0.001);
    comes_to(&old, "six hem", 13.333, 0.001);
    comes_to(&old, "back hem", 26.667, 0.001);
}

/// W9 (from memory; its numbers reckoned anew): the close-fitting bodice, in cm. Would catch a
/// compass stroke that takes the other crossing.
#[test]
fn w9_bodice() {
    let client = card(&[
        ("bust", 88.0 / 2.54),
        ("back waist length", 41.0 / 2.54),
        ("armhole depth", 21.0 / 2.54),
        ("neck", 37.0 / 2.54),
        ("shoulder", 12.25 / 2.54),
        ("across back", 34.4 / 2.54),
        ("across chest", 32.4 / 2.54),
    ]);
    let Some(bodice) = shipped_worked("bodice-a", &client, &[]) else {
        return;
    };
    let front = piece(&bodice, "front");
    for (name, x, y) in [
        ("back neck", 7.2, 0.0),
        ("back shoulder", 19.47, 5.0),
        ("back arm", 17.7, 23.0),
        ("front arm", 29.3, 23.0),
        ("bust point", 39.15, 25.5),
        ("front neck", 42.3, 0.0),
        ("dart end", 35.30, 0.096),
        ("front shoulder", 24.86, 6.5),
        ("front pitch", 29.3, 23.0 - 5.27),
        ("underarm", 23.5, 23.0),
    ] {
        let p = front.mark(name).expect("a point of the draft");
        near(p.x / 10.0, x, 0.006);
        near(p.y / 10.0, y, 0.006);
    }
    comes_to(&bodice, "leg", 25.694 / 2.54, 0.0005);
    comes_to(&bodice, "other leg", 25.694 / 2.54, 0.0005);
}

/// W12 (derived, the quick trade model), and the checked walking model on the median woman of the
/// survey of 1988. Would catch a ratio taken from the waist instead of the hip.
#[test]
fn w12_step() {
    let text = r#"method "Step"
choices
  step: 16 in
results
  at the knee: 14 1/2 in + 2 * slant of 2 * circle radius of (14 1/2 in) and (step * 13 / 32)
  at the break: 16 in + 2 * slant of 2 * circle radius of (16 in) and (step * 10 / 32)
  standing knee: 14 1/2 in + 4 * circle radius of (14 1/2 in)
  standing break: 16 in + 4 * circle radius of (16 in)
"#;
    let text = text
        .replace("at the knee", "knee girth")
        .replace("at the break", "break girth");
    for (step, knee, at_break) in [
        ("12 in", 27.9, 28.6),
        ("16 in", 30.4, 30.3),
        ("20 in", 33.2, 32.1),
        ("24 in", 36.1, 34.1),
    ] {
        let out = worked(&text, &card(&[]), &[("step", step)], false);
        comes_to(&out, "knee girth", knee, 0.06);
        comes_to(&out, "break girth", at_break, 0.06);
        comes_to(&out, "standing knee", 23.7, 0.06);
        comes_to(&out, "standing break", 26.2, 0.06);
    }
    let median = card(&[
        ("waist to knee", 59.5 / 2.54),
        ("waist to floor", 105.4 / 2.54),
        ("knee to floor", 45.9 / 2.54),
        ("hip joint to floor", 86.2 / 2.54),
        ("knee", 36.5 / 2.54),
    ]);
    let text = r#"method "Walking"
card
  waist to knee
choices
  girth: 30 in
results
  longest: step length of girth and waist to knee
  needed: step girth of longest and waist to knee
"#;
    for (girth, step) in [
        ("26 in", 10.5),
        ("30 in", 15.3),
        ("32 in", 17.6),
        ("38 in", 24.4),
    ] {
        let out = worked(text, &median, &[("girth", girth)], false);
        comes_to(&out, "longest", step, 0.1);
        let wanted: f64 = girth.trim_end_matches(" in").parse().expect("a figure");
        comes_to(&out, "needed", wanted, 1e-6);
    }
}

/// W14 (common practice, no source): the cut size of a waistband, and that the piece has it.
#[test]
fn w14_waistband() {
    let Some(skirt) = shipped_worked("straight-skirt", &w1(), &[]) else {
        return;
    };
    comes_to(&skirt, "band cut long", 32.75, 1e-9);
    comes_to(&skirt, "band cut wide", 3.5, 1e-9);
    let band = piece(&skirt, "waistband");
    let line = piece::cutting_line(band).expect("it is cut");
    let (low, high) = line.curve.bounds();
    near((high.x - low.x) / 25.4, 32.75, 1e-6);
    near((high.y - low.y) / 25.4, 3.5, 1e-6);
}

/// W15 (common practice, no source): the knee is reckoned from the natural hip, not from the pads.
#[test]
fn w15_hip_pads() {
    let client = w1().with("padded hip", measure::Length::inches(46.0));
    let Some(mermaid) = shipped_worked("mermaid-two", &client, &[]) else {
        return;
    };
    comes_to(&mermaid, "knee taken quarterly", 4.0, 1e-9);
    comes_to(&mermaid, "break girth", 30.0, 1e-9);
    comes_to(&mermaid, "hip girth", 46.0, 1e-9);
}

/// W16 and W17 (derived): weight of silk, and the girth of a stretch cloth.
#[test]
fn w16_w17_cloth() {
    let text = r#"method "Cloth"
results
  heavy: 19 * 4.34
  light: 8 * 4.34
  less: 1 - 1 / 1.3
  stretched: 40 in * (1 - less / 2)
"#;
    let cloth = worked(text, &card(&[]), &[], false);
    comes_to(&cloth, "heavy", 82.46, 1e-9);
    comes_to(&cloth, "light", 34.72, 1e-9);
    comes_to(&cloth, "less", 0.231, 0.0005);
    comes_to(&cloth, "stretched", 35.4, 0.06);
}

/// W18 (derived; shares common practice, no source): the panels of a bodice sum to her half girths.
#[test]
fn w18_panel_bodice() {
    let text = r#"method "Panels"
  "What comes out between bust and waist, shared over the seams of a half."
choices
  half bust: 18 in
  half waist: 14 in
  front part: 9 1/2 in
  span: 3 3/4 in
values
  out: half bust - half waist
results
  front princess: 35 % * out
  side part: 25 % * out
  back princess: 25 % * out
  centre back: 15 % * out
  all: front princess + side part + back princess + centre back
  centre panel: span
  side front: front part - span
  back panels: half bust - front part
  round: centre panel + side front + back panels
  waist round: round - all
"#;
    let panels = worked(text, &card(&[]), &[], false);
    for (name, wanted) in [
        ("front princess", 1.4),
        ("side part", 1.0),
        ("back princess", 1.0),
        ("centre back", 0.6),
        ("all", 4.0),
        ("round", 18.0),
        ("waist round", 14.0),
    ] {
        comes_to(&panels, name, wanted, 1e-9);
    }
    assert!(result(&panels, "centre panel") > 0.0);
}
