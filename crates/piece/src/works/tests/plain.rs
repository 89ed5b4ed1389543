//! The trial piece of the worked numbers.

use super::{inch, long, plain, pt};
use crate::works::{close_dart, cut_along, let_out, open_out, strip, swing_dart, turn_over};

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 6e-4, "{a} is not {b}");
}

const SQUARE_INCH: f64 = 25.4 * 25.4;

/// Source: trade worked example W5 (flare at hem level 24 = 3.350, the chord) and the worked trial
/// numbers (`closed`). Would catch a turn about the wrong point, or the fold moving.
#[test]
fn closing_the_dart_opens_the_hem_by_the_chord() {
    let p = plain();
    let (q, opened) = close_dart(&p, "dart", 1.0, "hem", None).unwrap();
    near(opened.in_inches(), 3.350);
    near(long(&q, "hem"), 23.350);
    near(long(&q, "centre"), 24.0);
    near(long(&q, "waist"), 19.0);
    near(long(&q, "side"), 24.0);
    assert!((q.area() / SQUARE_INCH - 508.11).abs() < 0.006);
    assert!(q.darts.is_empty());
    assert_eq!(
        q.edge("centre").unwrap().curve,
        p.edge("centre").unwrap().curve
    );
}

/// Source: worked trial numbers (`half closed`).
#[test]
fn half_closed() {
    let (q, _) = close_dart(&plain(), "dart", 0.5, "hem", None).unwrap();
    near(long(&q, "hem"), 21.677);
    let d = q.dart("dart").unwrap();
    near((d.mouth.1 - d.mouth.0).in_inches(), 0.5005);
    near(q.edge("waist").unwrap().curve.length().in_inches(), 19.501);
    assert!((q.area() / SQUARE_INCH - 494.12).abs() < 0.006);
    let leg = q
        .edge("waist")
        .unwrap()
        .curve
        .at(d.mouth.0)
        .point
        .distance(d.tip);
    near(leg.in_inches(), 5.5227);
}

/// Source: worked trial numbers (`swung`).
#[test]
fn swung() {
    let (q, wide) = swing_dart(&plain(), "dart", "side", pt(20.0, 8.0)).unwrap();
    near(wide.in_inches(), 1.8664);
    near(q.edge("side").unwrap().curve.length().in_inches(), 25.866);
    near(long(&q, "waist"), 19.0);
    near(long(&q, "hem"), 20.0);
    assert!((q.area() / SQUARE_INCH - 486.83).abs() < 0.006);
    let d = q.dart("dart").unwrap();
    let e = &q.edge("side").unwrap().curve;
    near(e.at(d.mouth.0).point.distance(d.tip).in_inches(), 10.3078);
    near(e.at(d.mouth.1).point.distance(d.tip).in_inches(), 10.3078);
}

#[test]
fn let_out_side_widens_waist_and_hem() {
    let q = let_out(&plain(), "side", inch(0.5)).unwrap();
    near(q.edge("waist").unwrap().curve.length().in_inches(), 20.5);
    near(long(&q, "hem"), 20.5);
    near(long(&q, "side"), 24.0);
    let r = let_out(&q, "side", inch(-0.5)).unwrap();
    near(r.area() / SQUARE_INCH, 480.0);
}

#[test]
fn strip_closes_the_dart() {
    let q = strip(&plain(), "waist", inch(2.5)).unwrap();
    near(long(&q, "waist"), 19.0);
    near(long(&q, "centre"), 2.5);
    near(long(&q, "side"), 2.5);
    assert!(q.darts.is_empty());
    assert!(q.edge("inner edge").is_ok());
}

#[test]
fn opened_out_is_twice_as_large() {
    let q = open_out(&plain(), "centre").unwrap();
    near(q.area() / SQUARE_INCH, 960.0);
    let mut names: Vec<&str> = q.edges.iter().map(|e| e.name.as_str()).collect();
    names.sort_unstable();
    assert_eq!(names, ["hem", "other side", "side", "waist"]);
    assert!(q.dart("other dart").is_ok());
    near(long(&q, "waist"), 38.0);
}

#[test]
fn cut_across_the_dart() {
    let p = plain();
    let cut = super::line(pt(-1.0, 3.0), pt(21.0, 3.0));
    let top = cut_along(&p, &cut, "yoke seam", pt(1.0, 1.0)).unwrap();
    let low = cut_along(&p, &cut, "yoke seam", pt(1.0, 10.0)).unwrap();
    near(long(&top, "waist"), 19.0);
    near(long(&top, "yoke seam"), long(&low, "yoke seam"));
    assert!(top.darts.is_empty());
    assert_eq!(low.darts.len(), 1);
    assert!(turn_over(&top).is_ok());
}
