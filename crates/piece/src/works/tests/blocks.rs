//! The straight skirt block and the A-line made from it, drawn here by hand with `measure` alone and
//! compared with the worked trial numbers (card: waist 30, hip 40, waist to hip 9; in inches).

use measure::{Curve, Vector};

use super::{inch, line, long, pt};
use crate::edge::{Edge, Role};
use crate::ring::{Dart, Mark, Piece, Toward};
use crate::works::smooth::plainly as plainly_smoothed;
use crate::works::{close_dart, cut_along, join, let_out, let_out_fading, open_out, smooth, strip};

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() < within, "{a} is not {b}");
}

/// One quarter of the block.
struct Quarter {
    wide: f64,
    side_taken: f64,
    drop: f64,
    rise: f64,
    length: f64,
    darts: Vec<(f64, f64)>,
    waist: f64,
    fold: bool,
}

impl Quarter {
    fn drawn(&self, trim: f64) -> Piece {
        let centre = pt(0.0, self.drop);
        let waist_side = pt(self.wide - self.side_taken - trim, -self.rise);
        let hip_side = pt(self.wide, 9.0);
        let hem_side = pt(self.wide, self.length);
        let hem_centre = pt(0.0, self.length);
        let top = Curve::blend(waist_side, None, hip_side, Some(Vector::DOWN)).unwrap();
        let square = top.start_direction().left();
        let side = Curve::joined([&top, &line(hip_side, hem_side)]).unwrap();
        let waist = Curve::blend(centre, Some(Vector::OUTWARD), waist_side, Some(square)).unwrap();
        let whole = waist.length();
        let mut middle = Edge::plain("centre", line(hem_centre, centre));
        if self.fold {
            middle.role = Role::Fold;
        }
        let mut hem = Edge::plain("hem", line(hem_side, hem_centre));
        hem.role = Role::Hem;
        let mut piece = Piece::from_edges(
            if self.fold { "front" } else { "back" },
            vec![
                Edge::plain("waist", waist.clone()),
                Edge::plain("side", side),
                hem,
                middle,
            ],
        )
        .unwrap();
        let many = u8::try_from(self.darts.len()).unwrap();
        for (k, (intake, deep)) in (1..=many).zip(&self.darts) {
            let at = whole * (f64::from(k) / f64::from(many + 1));
            let mouth = (at - inch(intake / 2.0), at + inch(intake / 2.0));
            let (a, b) = (waist.at(mouth.0).point, waist.at(mouth.1).point);
            let across = (b - a).unit().unwrap();
            piece.darts.push(Dart {
                name: format!("dart number {k}"),
                edge: "waist".to_owned(),
                mouth,
                tip: a.toward(b, 0.5) + across.right() * (deep * 25.4),
                pressed: Some(Toward::Start),
            });
        }
        for (name, point) in [("hip side", hip_side), ("hem side", hem_side)] {
            piece.marks.push(Mark {
                name: name.to_owned(),
                point,
            });
        }
        piece
    }

    /// Trimmed at the side until the sewn waist is as wanted, as the method does.
    fn trimmed(&self) -> Piece {
        let (mut lo, mut hi) = (-0.5, 0.5);
        for _ in 0..60 {
            let mid = 0.5 * (lo + hi);
            if long(&self.drawn(mid), "waist") > self.waist {
                lo = mid;
            } else {
                hi = mid;
            }
        }
        self.drawn(lo)
    }
}

fn front(length: f64) -> Piece {
    Quarter {
        wide: 10.75,
        side_taken: 1.1,
        drop: 0.0,
        rise: 0.375,
        length,
        darts: vec![(1.1, 3.5)],
        waist: 8.55,
        fold: true,
    }
    .trimmed()
}

fn back(length: f64) -> Piece {
    Quarter {
        wide: 10.25,
        side_taken: 1.1,
        drop: 0.375,
        rise: 0.372,
        length,
        darts: vec![(1.1, 5.5), (1.1, 5.0)],
        waist: 6.95,
        fold: false,
    }
    .trimmed()
}

/// Closes every dart; also tells how far the hem opened each time.
fn closed(piece: &Piece) -> (Piece, Vec<f64>) {
    let names: Vec<String> = piece.darts.iter().map(|d| d.name.clone()).collect();
    let mut work = piece.clone();
    let mut opened = Vec::new();
    for name in names {
        let (next, by) = close_dart(&work, &name, 1.0, "hem", None).unwrap();
        work = next;
        opened.push(by.in_inches());
    }
    (work, opened)
}

fn flared(piece: &Piece) -> Piece {
    let (at, to) = (
        piece.mark("hem side").unwrap(),
        piece.mark("hip side").unwrap(),
    );
    let_out_fading(piece, "side", inch(1.5), at, to).unwrap()
}

/// Source: worked trial numbers, A-line skirt: the hem opens 6, 3 7/16, 3 15/16 in (to the sixteenth).
/// Would catch the wrong part moving, or the hem opening elsewhere than below the point.
#[test]
fn the_hem_opens_as_in_the_worked_a_line() {
    let (_, opened) = closed(&front(23.0));
    near(opened[0], 6.0, 1.0 / 32.0);
    let (q, opened) = closed(&back(23.0));
    near(opened[0], 3.0 + 7.0 / 16.0, 1.0 / 32.0);
    near(opened[1], 3.0 + 15.0 / 16.0, 1.0 / 32.0);
    near(long(&q, "waist"), 6.95, 1e-4);
    near(long(&q, "side"), 23.4666, 1e-3);
}

/// Source: worked trial numbers, A-line: hem 18.248 and 19.069, waist 8.531 and 6.934, side 23.467.
/// Those were smoothed by the plain mean, which shortens; ours keeps the length, so the plain mean is
/// compared with the numbers, and the smoothed edge with the edge before. The back hem differs from
/// the trial's by 0.017 in (0.1 %), for a reason that is not known; it is held to 0.02 in.
#[test]
fn the_a_line_has_the_worked_lengths() {
    for (block, hem, waist, within) in [
        (front(23.0), 18.248, 8.531, 3e-3),
        (back(23.0), 19.069, 6.934, 2e-2),
    ] {
        let p = flared(&closed(&block).0);
        near(long(&p, "side"), 23.4666, 1e-3);
        let plainly = |e: &str| plainly_smoothed(&p.edge(e).unwrap().curve);
        near(plainly("hem"), hem, within);
        near(plainly("waist"), waist, 1e-3);
        let q = smooth(&smooth(&p, "waist").unwrap(), "hem").unwrap();
        near(long(&q, "hem"), long(&p, "hem"), 1e-6);
        near(long(&q, "waist"), long(&p, "waist"), 1e-6);
        assert!(
            q.edge("waist")
                .unwrap()
                .curve
                .corners(measure::Angle::degrees(1.0))
                .is_empty()
        );
    }
}

/// Source: worked trial numbers, straight skirt with a waist of 38: front facing centre 2.500, waist
/// 10.150, side 2.5004, inner edge 10.434.
#[test]
fn the_facing_of_a_plain_front() {
    let front = Quarter {
        wide: 10.75,
        side_taken: 0.6,
        drop: 0.0,
        rise: 0.375,
        length: 24.0,
        darts: vec![],
        waist: 10.15,
        fold: true,
    }
    .trimmed();
    let f = strip(&front, "waist", inch(2.5)).unwrap();
    near(long(&f, "centre"), 2.5, 1e-4);
    near(long(&f, "waist"), 10.15, 1e-4);
    near(long(&f, "side"), 2.5004, 2e-4);
    near(long(&f, "inner edge"), 10.434, 1e-3);
    assert_eq!(f.mark("hip side"), None);
}

/// The same with a dart closed: worked trial numbers give the back facing waist 9.350, inner edge
/// 9.776 for one dart of 0.6.
#[test]
fn the_facing_of_a_darted_back() {
    let back = Quarter {
        wide: 10.25,
        side_taken: 0.3,
        drop: 0.375,
        rise: 0.394,
        length: 24.0,
        darts: vec![(0.6, 5.5)],
        waist: 9.35,
        fold: false,
    }
    .trimmed();
    let f = strip(&back, "waist", inch(2.5)).unwrap();
    near(long(&f, "waist"), 9.35, 1e-4);
    near(long(&f, "centre"), 2.5, 1e-3);
    near(long(&f, "side"), 2.5002, 1e-3);
    near(long(&f, "inner edge"), 9.776, 5e-3);
}

/// Source: worked trial numbers, straight skirt lining: let out 1/8 in at the side and taken up
/// 1 1/2 in at the hem: waist 9.775 (with its dart), hem 10.875, centre 22.500, side 22.996. The
/// trial's offset was not a true one, so the side is held to 0.01 in only.
#[test]
fn the_lining_of_the_straight_skirt() {
    let p = let_out(&front(24.0), "side", inch(0.125)).unwrap();
    let p = let_out(&p, "hem", inch(-1.5)).unwrap();
    near(
        p.edge("waist").unwrap().curve.length().in_inches(),
        9.775,
        1e-3,
    );
    near(long(&p, "hem"), 10.875, 1e-4);
    near(long(&p, "centre"), 22.5, 1e-4);
    near(long(&p, "side"), 22.996, 1e-2);
    near(p.mark("hem side").unwrap().y, 22.5 * 25.4, 1e-3);
}

/// Source: worked trial numbers, A-line: the inner edge of the facing is longer than the waist by
/// 9.834 - 8.531 in front and 8.513 - 6.934 in the back. The trial's smoothing turned the ends of the
/// waist a little; ours keeps their direction, so the depth at the side is held to 0.002 in.
#[test]
fn the_facings_of_the_a_line() {
    for (block, more) in [(front(23.0), 9.834 - 8.531), (back(23.0), 8.513 - 6.934)] {
        let p = smooth(&flared(&closed(&block).0), "waist").unwrap();
        let f = strip(&p, "waist", inch(2.5)).unwrap();
        near(long(&f, "inner edge") - long(&f, "waist"), more, 2e-3);
        near(long(&f, "centre"), 2.5, 1e-4);
        near(long(&f, "side"), 2.5005, 2e-3);
    }
}

/// Known weak in the language's notes: long names after opening out. Would catch a doubled prefix.
#[test]
fn joined_after_opening_out_names_stay_short() {
    let whole = open_out(&front(23.0), "centre").unwrap();
    let q = join(&whole, "side", &back(23.0), "side").unwrap();
    let mut names: Vec<&str> = q.edges.iter().map(|e| e.name.as_str()).collect();
    names.sort_unstable();
    assert_eq!(names, ["centre", "hem", "other side", "waist"]);
    let mut darts: Vec<&str> = q.darts.iter().map(|d| d.name.as_str()).collect();
    darts.sort_unstable();
    assert_eq!(
        darts,
        [
            "back dart number 1",
            "dart number 1",
            "dart number 2",
            "other dart number 1"
        ]
    );
    // Both side curves bow outward; laid chord to chord, the two bows are lost and nothing else.
    let bow = |p: &Piece| {
        let c = &p.edge("side").unwrap().curve;
        c.area() + line(c.end(), c.start()).area()
    };
    let (f, b) = (front(23.0), back(23.0));
    let chord = |p: &Piece| {
        let c = &p.edge("side").unwrap().curve;
        c.start().distance(c.end()).in_mm()
    };
    let lost = bow(&f) + bow(&b);
    // The longer side leaves a sliver, no more than the difference of the two times a width.
    let sliver = (chord(&f) - chord(&b)).abs() * 1000.0;
    near(q.area(), whole.area() + b.area() - lost, 1.0 + sliver);
}

/// The ruled front of the two-pattern mermaid. Source: trade worked example W1 and the worked trial
/// numbers: side corners as listed, waist 7.594.
fn mermaid_front() -> Piece {
    let side = Curve::polyline(&[
        pt(7.5, -0.25),
        pt(10.0, 8.0),
        pt(10.0, 10.0),
        pt(7.5, 18.5),
        pt(7.5, 19.5),
        pt(17.427, 45.5),
    ])
    .unwrap();
    let (top, foot) = (pt(0.0, 0.75), pt(0.0, 47.0));
    let square = |v: Vector| v.left();
    let waist = Curve::blend(
        top,
        Some(Vector::OUTWARD),
        side.start(),
        Some(square(side.start_direction())),
    )
    .unwrap();
    let hem = Curve::blend(
        side.end(),
        Some(side.end_direction().right()),
        foot,
        Some(Vector::INWARD),
    )
    .unwrap();
    let mut centre = Edge::plain("centre", line(foot, top));
    centre.role = Role::Fold;
    Piece::from_edges(
        "front",
        vec![
            Edge::plain("waist", waist),
            Edge::plain("side", side),
            Edge::plain("hem", hem),
            centre,
        ],
    )
    .unwrap()
}

/// Source: worked trial numbers (mermaid in two, ruled): front facing centre 2.500, waist 7.594, side
/// 2.500, inner edge 8.329; front lining centre 18.250, waist 7.719, side 19.651, cut edge 7.633. The
/// trial's offset was not a true one, so the side is held to 0.03 in.
#[test]
fn facing_and_lining_of_the_mermaid_front() {
    let front = mermaid_front();
    near(long(&front, "waist"), 7.594, 1e-3);
    let f = strip(&front, "waist", inch(2.5)).unwrap();
    near(long(&f, "waist"), 7.594, 1e-3);
    near(long(&f, "centre"), 2.5, 1e-3);
    near(long(&f, "side"), 2.5, 1e-3);
    near(long(&f, "inner edge"), 8.329, 2e-3);

    let cut = line(pt(0.0, 19.0), pt(7.5, 18.64));
    let l = cut_along(&front, &cut, "cut edge", pt(10.0, 9.0)).unwrap();
    near(long(&l, "cut edge"), 7.509, 1e-3);
    let l = let_out(&l, "side", inch(0.125)).unwrap();
    near(long(&l, "centre"), 18.25, 1e-3);
    near(long(&l, "waist"), 7.719, 1e-3);
    near(long(&l, "cut edge"), 7.633, 2e-3);
    near(long(&l, "side"), 19.651, 3e-2);
}
/// A yoke cut through both back darts: laid together above, the rest below, and both sides of the new
/// seam agree as sewn. Would catch the second dart lost when the first is laid together.
#[test]
fn a_yoke_through_two_darts() {
    let b = back(23.0);
    let cut = Curve::blend(pt(0.0, 3.2), Some(Vector::OUTWARD), pt(9.9, 2.6), None).unwrap();
    let yoke = cut_along(&b, &cut, "yoke seam", pt(0.5, 1.0)).unwrap();
    let low = cut_along(&b, &cut, "yoke seam", pt(0.5, 12.0)).unwrap();
    assert!(yoke.darts.is_empty());
    assert_eq!(low.darts.len(), 2);
    near(long(&yoke, "waist"), 6.95, 1e-4);
    near(
        long(&yoke, "yoke seam"),
        long(&low, "yoke seam"),
        1.0 / 32.0,
    );
    near(
        long(&yoke, "side") + long(&low, "side"),
        long(&b, "side"),
        1e-4,
    );
    assert_eq!(low.darts[0].pressed, Some(Toward::Start));
}
