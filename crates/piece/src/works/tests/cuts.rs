//! Cutting, joining, slashing, drawing anew.

use measure::{Curve, Length, Vector, angle};

use super::{inch, line, long, plain, pt};
use crate::allowance::{Allowance, Change, How};
use crate::edge::{Edge, Notch, Role};
use crate::fault::Fault;
use crate::ring::{Balance, Cut, Dart, Grain, Mark, Piece, Toward};
use crate::works::{
    Place, close_dart, cut_along, join, let_out, open_out, replace, slash, strip, swing_dart,
};

const SQUARE_INCH: f64 = 25.4 * 25.4;

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 6e-4, "{a} is not {b}");
}

/// The trial piece with everything on it that must go along.
fn marked() -> Piece {
    let mut p = plain();
    p.marks = vec![
        Mark {
            name: "hip side".to_owned(),
            point: pt(20.0, 9.0),
        },
        Mark {
            name: "waist side".to_owned(),
            point: pt(20.0, 0.0),
        },
        Mark {
            name: "middle".to_owned(),
            point: pt(3.0, 11.0),
        },
    ];
    p.balance = vec![Balance {
        name: "hip line".to_owned(),
        from: pt(0.0, 9.0),
        to: pt(20.0, 9.0),
    }];
    p.grain = Some(Grain {
        from: pt(3.0, 4.0),
        to: pt(3.0, 20.0),
    });
    p.cuts = vec![Cut {
        cloth: "shell".to_owned(),
        count: 1,
        on_fold: true,
        pair: false,
    }];
    let side = &mut p.edges[1];
    side.notches = vec![
        Notch {
            at: inch(9.0),
            snips: 1,
        },
        Notch {
            at: inch(20.0),
            snips: 2,
        },
    ];
    side.allowance = Allowance::changing(
        inch(1.0),
        vec![Change {
            at: inch(18.0),
            width: inch(0.5),
            how: How::Ramp,
        }],
    );
    p
}

/// Source: worked trial numbers (`spread flat`).
#[test]
fn spread_the_same_all_along() {
    let q = slash(
        &plain(),
        Place::At(pt(6.0, 0.0)),
        Place::At(pt(6.0, 24.0)),
        1,
        inch(1.0),
        true,
    )
    .unwrap();
    near(q.edge("waist").unwrap().curve.length().in_inches(), 21.0);
    near(long(&q, "hem"), 21.0);
    near(long(&q, "side"), 24.0);
    near(q.area() / SQUARE_INCH, 504.0);
    let d = q.dart("dart").unwrap();
    near((d.mouth.1 - d.mouth.0).in_inches(), 1.0);
    near(d.tip.x / 25.4, 11.0);
}

/// Closed form: a slash hinged 24 away adds a triangle of sides 24 and base `spread`. Would catch
/// turning the wrong way or the fold part moving.
#[test]
fn three_hinged_slashes_open_the_hem_only() {
    let q = slash(
        &marked(),
        Place::Edge("hem"),
        Place::Edge("waist"),
        3,
        inch(2.0),
        false,
    )
    .unwrap();
    near(long(&q, "hem"), 26.0);
    near(long(&q, "waist"), 19.0);
    near(long(&q, "side"), 24.0);
    near(q.edge("centre").unwrap().curve.start().x, 0.0);
    // Slashes stand at quarters of the sewn waist (19 in) and of the hem.
    let (mut area, mut level) = (480.0, 0);
    for (top, foot) in [(4.75, 5.0), (9.5, 10.0), (15.25, 15.0)] {
        let deep = angle::hypot(24.0, top - foot);
        let half = angle::asin(1.0 / deep);
        area += deep * deep * angle::sin(half) * angle::cos(half);
        level += 1;
    }
    near(q.area() / SQUARE_INCH, area);
    assert_eq!(q.balance.len(), level + 1);
    assert!(q.mark("middle").unwrap().distance(pt(3.0, 11.0)).in_mm() < 1e-9);
}

/// Slashes that share their hinge, and the asks that make no sense.
#[test]
fn slashes_from_an_edge_to_one_point() {
    let p = plain();
    let q = slash(
        &p,
        Place::Edge("hem"),
        Place::At(pt(4.0, 0.0)),
        4,
        inch(1.0),
        false,
    )
    .unwrap();
    near(long(&q, "hem"), 24.0);
    let refused =
        |from, to, times, wide: f64, all| slash(&p, from, to, times, inch(wide), all).unwrap_err();
    refused(Place::Edge("hem"), Place::Edge("hem"), 1, 1.0, false);
    refused(Place::Edge("hem"), Place::Edge("waist"), 41, 1.0, false);
    refused(Place::Edge("hem"), Place::Edge("waist"), 2, -1.0, false);
    refused(Place::Edge("hem"), Place::At(pt(10.0, 9.0)), 1, 1.0, false);
    refused(
        Place::At(pt(10.0, 24.0)),
        Place::At(pt(10.0, 0.0)),
        1,
        1.0,
        false,
    );
    refused(
        Place::At(pt(20.0, 2.0)),
        Place::At(pt(0.0, 2.0)),
        1,
        1.0,
        false,
    );
    assert_eq!(
        slash(
            &p,
            Place::Edge("hm"),
            Place::Edge("waist"),
            1,
            inch(1.0),
            false
        ),
        Err(Fault::NoEdge("hm".to_owned()))
    );
}

/// Source: worked trial numbers (`new hem`): the side is cut back to 22, the new hem is 20.133.
#[test]
fn a_new_hem_cuts_its_neighbours_back() {
    let new = Curve::blend(pt(0.0, 24.0), Some(Vector::OUTWARD), pt(20.0, 22.0), None).unwrap();
    let q = replace(&marked(), "hem", &new).unwrap();
    near(long(&q, "side"), 22.0);
    near(long(&q, "hem"), 20.133);
    near(long(&q, "centre"), 24.0);
    assert!((q.area() / SQUARE_INCH - 466.72).abs() < 6e-3);
    // A line that sticks out is cut, one that stops short of the corner carries the side on.
    let low = line(pt(-2.0, 25.0), pt(23.0, 25.0));
    let r = replace(&plain(), "hem", &low).unwrap();
    near(long(&r, "hem"), 20.0);
    near(long(&r, "side"), 25.0);
    near(long(&r, "centre"), 25.0);
    assert!(replace(&plain(), "hem", &line(pt(3.0, 20.0), pt(15.0, 20.0))).is_err());
}

/// Would catch a dart lost or bent when the waist above it is drawn anew: its angle is 10.389
/// degrees (trade worked example W5), so 1 in higher its mouth is 6.5 x 2 tan 5.194 wide.
#[test]
fn a_dart_follows_a_higher_waist() {
    let q = let_out(&plain(), "waist", inch(1.0)).unwrap();
    let d = q.dart("dart").unwrap();
    let half = angle::atan(0.5 / 5.5);
    near((d.mouth.1 - d.mouth.0).in_inches(), 13.0 * angle::tan(half));
    let e = &q.edge("waist").unwrap().curve;
    let legs = [d.mouth.0, d.mouth.1].map(|m| e.at(m).point.distance(d.tip).in_mm());
    assert!((legs[0] - legs[1]).abs() < 1e-6);
    near(
        e.at(d.mouth.0).point.toward(e.at(d.mouth.1).point, 0.5).x / 25.4,
        10.0,
    );
}

/// Cut and joined again it is the piece it was: same area, same edges and lengths, same notches, the
/// ramp of the allowance unbroken.
#[test]
fn cut_and_joined_again() {
    let p = marked();
    let cut = Curve::blend(pt(0.0, 12.0), Some(Vector::OUTWARD), pt(20.0, 15.0), None).unwrap();
    let top = cut_along(&p, &cut, "cut edge", pt(5.0, 9.5)).unwrap();
    let low = cut_along(&p, &cut, "cut edge", pt(5.0, 20.0)).unwrap();
    assert!(((top.area() + low.area()) / p.area() - 1.0).abs() < 1e-9);
    near(long(&top, "side"), 15.0);
    assert_eq!(top.edge("side").unwrap().notches.len(), 1);
    assert_eq!(low.edge("side").unwrap().notches.len(), 1);
    assert_eq!(top.mark("hip side"), p.mark("hip side"));
    assert_eq!(low.mark("hip side"), None);
    assert_eq!(top.mark("middle"), p.mark("middle"));
    assert_eq!(top.balance.len(), 1);
    assert!(low.balance.is_empty());
    assert!(
        low.grain
            .is_some_and(|g| low.holds(g.from) && low.holds(g.to))
    );
    let again = join(&top, "cut edge", &low, "cut edge").unwrap();
    assert!((again.area() / p.area() - 1.0).abs() < 1e-9);
    for e in &p.edges {
        let f = again.edge(&e.name).unwrap();
        near(f.curve.length().in_inches(), e.curve.length().in_inches());
        assert_eq!(f.notches.len(), e.notches.len());
        for at in [0.0, 5.0, 9.0, 14.0, 17.0, 19.0] {
            near(
                f.allowance.width_at(inch(at)).in_inches(),
                e.allowance.width_at(inch(at)).in_inches(),
            );
        }
    }
    assert_eq!(again.edges.len(), 4);
}

/// A yoke: the part above gets its dart laid together, the part below keeps the rest. Closed form: a
/// cut 3 in down a dart 5 1/2 long leaves 2 1/2 in of it, (5.5 - 3)/5.5 wide.
#[test]
fn a_cut_across_a_dart() {
    let p = marked();
    let cut = line(pt(0.0, 3.0), pt(20.0, 3.0));
    let yoke = cut_along(&p, &cut, "yoke seam", pt(1.0, 1.0)).unwrap();
    assert!(yoke.darts.is_empty());
    near(long(&yoke, "waist"), 19.0);
    near(long(&yoke, "yoke seam"), 20.0 - 2.5 / 5.5);
    near(long(&yoke, "side"), 3.0);
    near(long(&yoke, "centre"), 3.0);
    near(
        yoke.area() / SQUARE_INCH,
        60.0 - 0.5 * 3.0 * (1.0 + 2.5 / 5.5),
    );
    let low = cut_along(&p, &cut, "yoke seam", pt(1.0, 9.0)).unwrap();
    let d = low.dart("dart").unwrap();
    assert_eq!(d.edge, "yoke seam");
    near((d.mouth.1 - d.mouth.0).in_inches(), 2.5 / 5.5);
    near(long(&low, "yoke seam"), long(&yoke, "yoke seam"));
}

/// A slanting cut: what is left of the dart has equal legs, and both seam edges stay within 1/32 in.
#[test]
fn a_slanting_cut_across_a_dart() {
    let cut = line(pt(0.0, 2.0), pt(20.0, 4.0));
    let yoke = cut_along(&plain(), &cut, "yoke seam", pt(1.0, 1.0)).unwrap();
    let low = cut_along(&plain(), &cut, "yoke seam", pt(1.0, 9.0)).unwrap();
    let d = low.dart("dart").unwrap();
    let e = &low.edge("yoke seam").unwrap().curve;
    let legs = [d.mouth.0, d.mouth.1].map(|m| e.at(m).point.distance(d.tip).in_mm());
    assert!((legs[0] - legs[1]).abs() < 1e-6);
    assert!((long(&yoke, "yoke seam") - long(&low, "yoke seam")).abs() < 1.0 / 32.0);
}

/// A panel line through the dart's point: each part has its own leg; together they are the piece
/// without its dart.
#[test]
fn a_panel_line_through_a_dart() {
    let p = marked();
    for start in [10.0, 9.5, 9.8] {
        let cut = Curve::polyline(&[pt(start, 0.0), pt(10.0, 5.5), pt(11.0, 24.0)]).unwrap();
        let front = cut_along(&p, &cut, "panel seam", pt(1.0, 9.0)).unwrap();
        let side = cut_along(&p, &cut, "panel seam", pt(19.0, 9.0)).unwrap();
        near(long(&front, "waist"), 9.5);
        near(long(&side, "waist"), 9.5);
        let leg = angle::hypot(0.5, 5.5);
        for part in [&front, &side] {
            near(long(part, "panel seam"), leg + angle::hypot(1.0, 18.5));
            assert!(part.darts.is_empty());
        }
        near((front.area() + side.area()) / SQUARE_INCH, 480.0 - 2.75);
        assert!(front.cuts[0].on_fold);
        assert_eq!(
            (side.cuts[0].on_fold, side.cuts[0].pair, side.cuts[0].count),
            (false, true, 2)
        );
    }
    // Beside the point it cannot be sewn.
    let beside = line(pt(10.0, 0.0), pt(13.0, 24.0));
    assert!(cut_along(&p, &beside, "panel seam", pt(1.0, 9.0)).is_err());
}

/// Would catch a cut that begins a hair inside, sticks out, or misses.
#[test]
fn cuts_that_stop_short_stick_out_or_miss() {
    let p = plain();
    let short = line(pt(0.03, 12.0), pt(19.97, 12.0));
    let out = line(pt(-5.0, 12.0), pt(30.0, 12.0));
    for cut in [short, out] {
        let q = cut_along(&p, &cut, "cut edge", pt(20.0, 9.0)).unwrap();
        near(long(&q, "side"), 12.0);
        near(long(&q, "cut edge"), 20.0);
    }
    for miss in [
        line(pt(2.0, 12.0), pt(18.0, 12.0)),
        line(pt(0.0, 30.0), pt(20.0, 30.0)),
        line(pt(0.0, 24.0), pt(20.0, 24.0)),
    ] {
        assert!(cut_along(&p, &miss, "cut edge", pt(1.0, 1.0)).is_err());
    }
    // The old hem is cut away, so the new one may have its name.
    let q = cut_along(
        &p,
        &line(pt(0.0, 12.0), pt(20.0, 12.0)),
        "hem",
        pt(5.0, 1.0),
    )
    .unwrap();
    assert!(q.edge("hem").is_ok());
    assert!(
        cut_along(
            &p,
            &line(pt(0.0, 12.0), pt(20.0, 12.0)),
            "cut",
            pt(5.0, 12.0)
        )
        .is_err()
    );
}

/// The bodice: the mouth is a whole edge, which is gone when the dart has been swung. Would catch an
/// edge of no length left behind.
#[test]
fn a_dart_whose_mouth_is_a_whole_edge() {
    let edge = |n: &str, a, b| Edge::plain(n, line(a, b));
    let mut p = Piece::from_edges(
        "front",
        vec![
            edge("shoulder", pt(0.0, 2.0), pt(4.0, 0.0)),
            edge("dart mouth", pt(4.0, 0.0), pt(7.0, 0.0)),
            edge("neckline", pt(7.0, 0.0), pt(10.0, 3.0)),
            edge("centre", pt(10.0, 3.0), pt(10.0, 16.0)),
            edge("waist", pt(10.0, 16.0), pt(0.0, 16.0)),
            edge("side", pt(0.0, 16.0), pt(0.0, 9.0)),
            edge("armhole", pt(0.0, 9.0), pt(0.0, 2.0)),
        ],
    )
    .unwrap();
    p.edges[3].role = Role::Fold;
    p.darts.push(Dart {
        name: "bust dart".to_owned(),
        edge: "dart mouth".to_owned(),
        mouth: (inch(0.0), inch(3.0)),
        tip: pt(5.5, 10.0),
        pressed: Some(Toward::End),
    });
    let (q, wide) = swing_dart(&p, "bust dart", "armhole", pt(0.0, 6.0)).unwrap();
    assert!(q.edge("dart mouth").is_err());
    assert_eq!(q.edges.len(), 6);
    let half = angle::atan(1.5 / 10.0);
    near(
        wide.in_inches(),
        2.0 * angle::hypot(5.5, 4.0) * angle::sin(half),
    );
    near(
        q.edge("armhole").unwrap().curve.length().in_inches(),
        7.0 + wide.in_inches(),
    );
    assert_eq!(q.dart("bust dart").unwrap().edge, "armhole");
    // Pressed toward the centre before and after: from the armhole's mouth the centre lies behind.
    assert_eq!(q.dart("bust dart").unwrap().pressed, Some(Toward::Start));
    assert!(close_dart(&p, "bust dart", 1.0, "waist", None).is_ok());
    assert!(close_dart(&p, "bust dart", 1.0, "dart mouth", None).is_err());
}

/// A godet's half has two sides when it is opened out; a V neckline is one.
#[test]
fn what_runs_on_over_the_fold() {
    let edge = |n: &str, a, b| Edge::plain(n, line(a, b));
    let godet = Piece::from_edges(
        "godet",
        vec![
            edge("side", pt(0.0, 0.0), pt(6.0, 20.0)),
            edge("hem", pt(6.0, 20.0), pt(0.0, 20.0)),
            edge("middle", pt(0.0, 20.0), pt(0.0, 0.0)),
        ],
    )
    .unwrap();
    let q = open_out(&godet, "middle").unwrap();
    let names: Vec<&str> = q.edges.iter().map(|e| e.name.as_str()).collect();
    assert_eq!(names, ["side", "hem", "other side"]);
    assert!(open_out(&q, "hem").is_ok());
    let round = Piece::from_edges(
        "half round",
        vec![
            Edge::plain(
                "rim",
                Curve::arc(pt(0.0, 0.0), pt(0.0, -5.0), measure::Angle::degrees(180.0)).unwrap(),
            ),
            edge("middle", pt(0.0, 5.0), pt(0.0, -5.0)),
        ],
    )
    .unwrap();
    let whole = open_out(&round, "middle").unwrap();
    assert_eq!(whole.edges.len(), 1);
    assert!((whole.area() / SQUARE_INCH - 25.0 * core::f64::consts::PI).abs() < 1e-4);
    assert!(open_out(&round, "rim").is_err());
    // What has but one edge is refused kindly by the works that need two.
    assert!(let_out(&whole, "rim", inch(1.0)).is_err());
    assert!(strip(&whole, "rim", inch(1.0)).is_err());
    assert!(join(&whole, "rim", &whole, "rim").is_err());
    let half = cut_along(
        &whole,
        &line(pt(-9.0, 1.0), pt(9.0, 1.0)),
        "cut",
        pt(0.0, 0.0),
    )
    .unwrap();
    assert_eq!(half.edges.len(), 2);
}

/// Would catch two edges of one name when the middle of an edge is cut away.
#[test]
fn an_edge_whose_middle_is_cut_away_is_two() {
    let cut = Curve::polyline(&[pt(20.0, 6.0), pt(17.0, 8.0), pt(20.0, 10.0)]).unwrap();
    let q = cut_along(&plain(), &cut, "hollow", pt(1.0, 1.0)).unwrap();
    let names: Vec<&str> = q.edges.iter().map(|e| e.name.as_str()).collect();
    assert_eq!(
        names,
        ["waist", "side", "hollow", "side number 2", "hem", "centre"]
    );
    near(long(&q, "side") + long(&q, "side number 2"), 20.0);
}

/// Marks, levels and grain of an opened half.
#[test]
fn opened_out_marks_are_doubled() {
    let q = open_out(&marked(), "centre").unwrap();
    near(q.mark("other hip side").unwrap().x / 25.4, -20.0);
    near(q.mark("hip side").unwrap().x / 25.4, 20.0);
    assert_eq!(q.balance.len(), 1);
    near(q.balance[0].from.x.abs() / 25.4, 20.0);
    assert_eq!(q.cuts[0].count, 1);
    assert!(!q.cuts[0].on_fold);
    let d = (q.dart("dart").unwrap(), q.dart("other dart").unwrap());
    assert_eq!(d.0.pressed, Some(Toward::Start));
    assert_eq!(d.1.pressed, Some(Toward::End));
    near(long(&q, "waist"), 38.0);
    let other = q.edge("other side").unwrap();
    near(other.notches[1].at.in_inches(), 15.0);
}

/// A yoke joined to two different lowers keeps names apart by piece.
#[test]
fn joined_names_are_told_apart_by_piece() {
    let edge = |n: &str, a, b| Edge::plain(n, line(a, b));
    let square = |name: &str, size: f64| {
        Piece::from_edges(
            name,
            vec![
                edge("top", pt(0.0, 0.0), pt(size, 0.0)),
                edge("right", pt(size, 0.0), pt(size, size)),
                edge("foot", pt(size, size), pt(0.0, size)),
                edge("left", pt(0.0, size), pt(0.0, 0.0)),
            ],
        )
        .unwrap()
    };
    // Left end to left end, so the other is turned over: its right lies at the right.
    let (a, b) = (square("front", 4.0), square("yoke", 4.0));
    let q = join(&a, "top", &b, "top").unwrap();
    let mut names: Vec<&str> = q.edges.iter().map(|e| e.name.as_str()).collect();
    names.sort_unstable();
    assert_eq!(names, ["foot", "left", "right", "yoke foot"]);
    near(q.area() / SQUARE_INCH, 32.0);
    let r = join(&a, "top", &b, "foot").unwrap();
    near(r.area() / SQUARE_INCH, 32.0);
    near(long(&r, "right"), 8.0);
    // Upper end to upper end at the side: the tops and feet run on.
    let s = join(&a, "right", &b, "left").unwrap();
    near(long(&s, "top"), 8.0);
    near(long(&s, "foot"), 8.0);
    let t = join(&a, "right", &b, "right").unwrap();
    near(long(&t, "top"), 8.0);
    assert!(join(&a, "top", &square("yoke", 5.0), "top").is_err());
    let eased = join(&a, "right", &square("yoke", 4.2), "left").unwrap();
    near(eased.area() / SQUARE_INCH, 16.0 + 4.2 * 4.2);
}

/// Would catch points left behind or notches lost when an edge goes out.
#[test]
fn what_lies_on_an_edge_goes_out_with_it() {
    let q = let_out(&marked(), "side", inch(0.5)).unwrap();
    near(q.mark("hip side").unwrap().x / 25.4, 20.5);
    near(q.mark("waist side").unwrap().x / 25.4, 20.5);
    near(q.balance[0].to.x / 25.4, 20.5);
    near(q.edge("side").unwrap().notches[0].at.in_inches(), 9.0);
    assert!(let_out(&marked(), "side", inch(-10.0)).is_err());
    assert!(let_out(&marked(), "side", inch(-25.0)).is_err());
    assert_eq!(let_out(&marked(), "side", Length::ZERO).unwrap(), marked());
}

/// Closing the dart parts the hip line, and each half goes with its part.
#[test]
fn levels_and_points_go_with_their_part() {
    let (q, _) = close_dart(&marked(), "dart", 1.0, "hem", None).unwrap();
    assert_eq!(q.balance.len(), 2);
    let hip = q.mark("hip side").unwrap();
    near(hip.distance(q.mark("waist side").unwrap()).in_inches(), 9.0);
    assert!(q.edge("side").unwrap().curve.nearest(hip).distance.in_mm() < 1e-6);
    assert_eq!(q.grain, marked().grain);
    assert_eq!(q.mark("middle"), marked().mark("middle"));
}
