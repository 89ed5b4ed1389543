//! Eight methods written as a user would, from the page alone, worked for an invented card and held to
//! arithmetic done by hand. The reckonings are closed forms: right triangles, circles, rectangles.
#![allow(
    clippy::unwrap_used,
    reason = "a test or an example stops, and prints, where it must"
)]

#[path = "common/mod.rs"]
mod common;
#[path = "common/worked.rs"]
mod worked;

use core::f64::consts::PI;

use common::text;
use worked::{assert_seams_agree, edge, piece, result, work};

/// Inches agree to a hundred-thousandth: curves are drawn to that.
#[track_caller]
fn close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-5, "{a} against {b}");
}

/// The long side over a square corner.
fn slant(w: f64, h: f64) -> f64 {
    (w * w + h * h).sqrt()
}

/// Text, no choices set.
fn plainly(name: &str) -> draft::worked::Worked {
    work(&text(name), &[], &[])
}

#[test]
fn the_texts_are_read_and_checked_without_a_note() {
    for (name, text) in common::texts() {
        if text.contains("\nuse ") {
            continue;
        }
        let notes = draft::check(&draft::read(&text), &draft::Library::default());
        let said: Vec<String> = notes
            .iter()
            .map(|n| n.shown(&name, &text).to_string())
            .collect();
        assert!(said.is_empty(), "{}", said.join("\n"));
    }
}

/// Cut, close a dart, join, let out: a quarter hip of (40 + 2) / 4 = 10 1/2, a dart of 10 1/2 - 7 1/2 = 3.
#[test]
fn yoked_skirt() {
    let w = plainly("yoke-skirt");
    assert_seams_agree(&w);
    // Half of the waist is left of the joined yoke's upper edge.
    close(edge(&w, "yoke", "waist"), 15.0);
    // A dart 3 wide and `long` deep closes by the angle 2 atan(1.5 / long) about its tip; what lies
    // 5 - long below the tip opens by the chord of that angle.
    let opens = |long: f64| 2.0 * (5.0 - long) * 1.5 / slant(1.5, long);
    close(
        edge(&w, "yoke", "yoke line"),
        2.0 * 10.5 + opens(4.0) + opens(4.5),
    );
    // Half as much again is gathered.
    close(edge(&w, "gathered front", "yoke line"), 1.5 * 10.5);
    close(edge(&w, "gathered front", "side"), 17.0);
    close(result(&w, "front gathers"), 1.5 * 10.5 - 10.5 - opens(4.0));
    // The joined yoke still lies on the fold at the front, and has no dart left.
    let yoke = piece(&w, "yoke");
    close(yoke.fold().unwrap().curve.length().in_inches(), 5.0);
    assert!(yoke.darts.is_empty());
}

/// Sheets called left and right: one body, two sides that differ.
#[test]
fn wrap_skirt() {
    let w = plainly("wrap-skirt");
    assert_seams_agree(&w);
    close(result(&w, "lap"), 4.0 + 8.0);
    close(edge(&w, "back", "edge"), 22.0 - 0.25);
    close(edge(&w, "left front", "edge"), 22.0);
    // From the hip the side runs out 1 over a drop of 13; cut off where it is 13 long, it ends
    // 13 * 13 / slant below the hip.
    let right = piece(&w, "right front");
    let side = right.edge("side").unwrap();
    let ends = [side.curve.start(), side.curve.end()];
    let low = if ends[0].y > ends[1].y {
        ends[0]
    } else {
        ends[1]
    };
    close(low.y / 25.4, 9.0 + 13.0 * 13.0 / slant(1.0, 13.0));
    // Turned over, it lies on the other side of the paper's upright and is as large.
    close(
        edge(&w, "right front", "side"),
        edge(&w, "left front", "side"),
    );
    let strip = piece(&w, "right front").area() - piece(&w, "left front").area();
    // Four inches wider, from a level waist to a hem that leaves square to the side.
    assert!(
        (strip / 645.16 - 4.0 * 22.0).abs() < 1.0,
        "{}",
        strip / 645.16
    );
    assert_eq!(piece(&w, "tie").cuts.len(), 1);
    close(edge(&w, "tie", "top"), 22.5);
}

/// Counted sheets, pieces and results; a straight side is two right triangles.
#[test]
fn skirt_in_six_panels() {
    let w = plainly("panel-skirt");
    assert_eq!(w.pieces.len(), 3);
    let hip = 41.0 / 12.0;
    for (k, longer) in [(1, 0.0), (2, 1.5), (3, 3.0)] {
        let panel = format!("panel number {k}");
        close(edge(&w, &panel, "waist"), 30.0 / 12.0);
        close(edge(&w, &panel, "hem"), 96.0 / 12.0);
        let side = slant(hip - 2.5, 9.0) + slant(8.0 - hip, 13.0 + longer);
        close(edge(&w, &panel, "side"), side);
        close(result(&w, &format!("side number {k}")), side);
    }
    // Eight panels: four sheets, the middle ones twice.
    let eight = work(&text("panel-skirt"), &[], &[("panels", "8")]);
    let cuts: u32 = eight
        .pieces
        .iter()
        .flat_map(|p| &p.cuts)
        .map(|c| c.count)
        .sum();
    assert_eq!((eight.pieces.len(), cuts), (4, 6));
}

/// A godet is a sector of a circle: an arc of 10 on a radius of 12.
#[test]
fn skirt_with_godets() {
    let w = plainly("godet-skirt");
    assert_seams_agree(&w);
    close(edge(&w, "godet", "side"), 30.0 - 18.0);
    close(edge(&w, "godet", "hem"), 5.0);
    // The half godet is half of r times the half arc.
    close(piece(&w, "godet").area() / 645.16, 12.0 * 5.0 / 2.0);
    close(result(&w, "hem round"), 12.0 * (42.0 / 12.0 + 5.0));
    let seam = w.seams.iter().find(|s| s.name == "godet seam").unwrap();
    close(seam.a_length.in_inches(), 12.0);
}

/// The cap is as long as the armhole and its ease; the two underarm lines are as long as each other.
#[test]
fn simple_sleeve() {
    let w = plainly("sleeve");
    assert_seams_agree(&w);
    assert!(w.truings.iter().all(|t| t.met), "{:?}", w.truings);
    close(result(&w, "cap round"), 17.0 + 1.0);
    close(edge(&w, "sleeve", "wrist"), 6.5 + 1.5);
    let high = result(&w, "cap high");
    let wide: f64 = (12.0 + 2.0 - 8.0) / 2.0;
    close(edge(&w, "sleeve", "front under"), slant(wide, 23.0 - high));
    close(edge(&w, "sleeve", "back under"), slant(wide, 23.0 - high));
    // A cap between a straight line and a half circle over the arm.
    assert!(high > 3.0 && high < 7.0, "{high}");
}

/// Half of a circle: neck and hem are arcs of it.
#[test]
fn half_circle_cape() {
    let w = plainly("cape");
    assert_seams_agree(&w);
    let r = 2.0 * 15.0 / (2.0 * PI);
    close(edge(&w, "cape", "neck"), PI / 2.0 * r);
    close(edge(&w, "cape", "hem"), PI / 2.0 * (r + 30.0));
    close(result(&w, "neck round"), 15.0);
    close(edge(&w, "collar", "top"), 15.0);
    // A strip along a level edge: its inner edge is a chord 2 1/2 below.
    let chord = |r: f64| (r * r - 2.5 * 2.5).sqrt();
    close(edge(&w, "facing", "inner edge"), chord(r + 30.0) - chord(r));
    close(edge(&w, "facing", "front"), 30.0);
    let area = PI / 4.0 * ((r + 30.0) * (r + 30.0) - r * r);
    assert!((piece(&w, "cape").area() / 645.16 - area).abs() < 1e-3);
}

/// Rectangles, and a piece that is there only sometimes.
#[test]
fn tiered_skirt() {
    let w = plainly("tiers");
    assert_seams_agree(&w);
    close(edge(&w, "top tier", "bottom"), 44.0);
    close(edge(&w, "second tier", "top"), 66.0);
    close(edge(&w, "third tier", "far end"), 40.0 / 3.0);
    close(result(&w, "widths"), 2.0);
    let two = work(&text("tiers"), &[], &[("tiers", "2")]);
    assert!(two.pieces.iter().all(|p| p.name != "third tier"));
    close(edge(&two, "top tier", "far end"), 20.0);
}

/// A dart drawn in the side and swung into the shoulder: the seams agree with it sewn.
#[test]
fn tunic() {
    let w = plainly("tunic");
    assert_seams_agree(&w);
    close(edge(&w, "front", "shoulder"), 5.0);
    // The front hem lies lower by the dart.
    let back = 16.0 + 9.0 + 4.0 - 8.5;
    close(edge(&w, "back", "side"), back);
    close(edge(&w, "front", "side"), back);
    let swung = piece(&w, "shoulder dart front");
    assert_eq!(swung.darts.len(), 1);
    close(edge(&w, "shoulder dart front", "shoulder"), 5.0);
    close(edge(&w, "shoulder dart front", "side"), back);
    // The tip stays: the dart's angle is the same, and each leg reaches from the shoulder to it.
    let (before, after) = (&piece(&w, "front").darts[0], &swung.darts[0]);
    close((before.tip - after.tip).size(), 0.0);
    // Without a dart there is none to swing.
    let none = work(&text("tunic"), &[], &[("bust dart", "0 in")]);
    assert!(piece(&none, "front").darts.is_empty());
}

/// A counted check says at which panel it spoke, and a measure taken as a plain figure says it once.
#[test]
fn findings_say_where_and_how_much() {
    let text = text("panel-skirt")
        + "
checks
  long side number k: note if length of side of panel number k > 24 in, at side of panel number k, \
         \"A side of [length of side of panel number k]\", each k up to pairs\n";
    let w = work(&text, &[], &[]);
    let told: Vec<(&str, &str)> = w
        .findings
        .iter()
        .map(|f| (f.place.as_str(), f.says.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            ("side of panel number 2", "A side of 24 1/4 in"),
            ("side of panel number 3", "A side of 25 3/4 in"),
        ]
    );
    let cape = plainly("cape");
    let says = &cape.findings[0].says;
    assert_eq!(says, "Cape length was not measured; reckoned as 30 in");
}
