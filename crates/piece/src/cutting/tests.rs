//! The cutting line against closed forms, corner by corner, and against random pieces.

use super::*;
use crate::samples::{Skirt, at, edge, flounce, polygon, with_dart};
use crate::{Allowance, Change, How, Role, Toward};

/// The largest fault of distance over all true stretches of the cutting line.
pub(super) fn worst(piece: &Piece, line: &CuttingLine) -> f64 {
    let capped: Vec<Curve> = (0..piece.edges.len())
        .map(|i| crate::capped_curve(piece, i).unwrap())
        .collect();
    // Of an edge whose allowance changes: places a quarter millimetre apart, and the width there.
    let placed: Vec<Vec<(Point, Length)>> = capped
        .iter()
        .zip(&piece.edges)
        .map(|(c, e)| {
            if e.allowance.changes().is_empty() {
                return Vec::new();
            }
            let mut all = Vec::new();
            let mut at = Length::ZERO;
            while at <= c.length() {
                all.push((c.at(at).point, e.allowance.width_at(at)));
                at += Length::mm(0.25);
            }
            all
        })
        .collect();
    let mut worst: f64 = 0.0;
    let mut along = Length::ZERO;
    for (owner, length) in line.owners().iter().zip(line.curve.segment_lengths()) {
        if let Some(e) = owner {
            for k in 0..=4 {
                let p = line.curve.at(along + length * (f64::from(k) / 4.0)).point;
                let off = if placed[*e].is_empty() {
                    let away = capped[*e].nearest(p).distance;
                    (away - piece.edges[*e].allowance.first()).in_mm().abs()
                } else {
                    // Near a step, or on a ramp in a hollow, another place of the edge may be nearer
                    // than the one it was set off from: one of all must be right.
                    placed[*e]
                        .iter()
                        .map(|(q, w)| (q.distance(p) - *w).in_mm().abs())
                        .fold(f64::INFINITY, f64::min)
                };
                worst = worst.max(off);
            }
        }
        along += length;
    }
    worst
}

fn made(piece: &Piece) -> CuttingLine {
    let line = cutting_line(piece).unwrap();
    assert!(
        (line.curve.start() - line.curve.end()).size() < 1e-9,
        "it closes"
    );
    assert!(line.curve.area() > 0.0, "it is walked clockwise");
    check(piece, &line).unwrap();
    let off = worst(piece, &line);
    assert!(off < 0.05, "{off}");
    line
}

#[test]
fn a_rectangle_grows_by_its_allowances_all_round() {
    // Catches: wrong side, corners not carried on, unequal allowances mixed up. Closed form.
    let piece = polygon(
        &[(0.0, 0.0), (10.0, 0.0), (10.0, 20.0), (0.0, 20.0)],
        &[0.5, 1.0, 2.0, 0.625],
    );
    let line = made(&piece);
    let area = (10.0 + 1.0 + 0.625) * (20.0 + 0.5 + 2.0) * 25.4 * 25.4;
    assert!((line.curve.area() - area).abs() < 1e-6 * area);
    let (low, high) = line.curve.bounds();
    assert!((low - at(-0.625, -0.5)).size() < 1e-9);
    assert!((high - at(11.0, 22.0)).size() < 1e-9);
}

#[test]
fn the_front_of_w1_is_cut_along_its_fold() {
    let piece = Skirt::W1.piece();
    let line = made(&piece);
    let (low, _) = line.curve.bounds();
    assert!(low.x.abs() < 1e-6, "{low:?}");
    assert!((0..4).all(|e| line.span(e).is_some()));
}

#[test]
fn a_dart_gets_a_cap_and_the_cutting_line_follows_it() {
    for toward in [Toward::Start, Toward::End] {
        let piece = with_dart(Skirt::W1.piece(), 3.5, 1.0, 4.0, toward);
        made(&piece);
    }
}

/// Sample pieces of every kind, named.
fn gallery() -> Vec<(String, Piece)> {
    let mut out: Vec<(String, Piece)> = Vec::new();
    out.push(("w1 front".into(), Skirt::W1.piece()));
    for (name, toward) in [("start", Toward::Start), ("end", Toward::End)] {
        let one = with_dart(Skirt::W1.piece(), 2.0, 0.75, 4.0, toward);
        out.push((
            format!("darts to {name}"),
            with_dart(one, 4.5, 1.0, 3.5, toward),
        ));
    }
    let styles = [
        Corner::Extended,
        Corner::Reflected,
        Corner::Squared,
        Corner::Stepped,
        Corner::Bevelled,
        Corner::Mitred,
    ];
    for style in styles {
        let mut skirt = Skirt::W1.piece();
        skirt.edges[2].start_corner = style;
        skirt.edges[0].end_corner = style;
        out.push((format!("{style:?} hem and waist"), skirt));
        let mut skirt = Skirt::W1.piece();
        skirt.edges[1].start_corner = style;
        skirt.edges[1].end_corner = style;
        out.push((format!("{style:?} side"), skirt));
    }
    let mut zip = Skirt {
        fold: false,
        ..Skirt::W1
    }
    .piece();
    let length = zip.edges[3].curve.length();
    let back = |l: f64| length - Length::inches(l);
    zip.edges[3].allowance = Allowance::changing(
        Length::inches(0.5),
        vec![
            Change {
                at: back(22.0),
                width: Length::inches(0.5),
                how: How::Ramp,
            },
            Change {
                at: back(9.0),
                width: Length::inches(1.25),
                how: How::Ramp,
            },
            Change {
                at: back(4.0),
                width: Length::inches(1.0),
                how: How::Step,
            },
        ],
    );
    out.push(("zip".into(), zip));
    let mut step = Skirt::W1.piece();
    step.edges[1].allowance = Allowance::changing(
        Length::inches(1.0),
        vec![
            Change {
                at: Length::inches(9.0),
                width: Length::inches(0.5),
                how: How::Step,
            },
            Change {
                at: Length::inches(25.0),
                width: Length::inches(0.5),
                how: How::Step,
            },
            Change {
                at: Length::inches(40.0),
                width: Length::inches(1.0),
                how: How::Ramp,
            },
        ],
    );
    out.push(("side that changes".into(), step));
    out.push((
        "tight knee".into(),
        Skirt {
            blend: 0.5,
            side_allowance: 2.0,
            ..Skirt::W1
        }
        .piece(),
    ));
    out.push((
        "sharp knee".into(),
        Skirt {
            blend: 0.02,
            side_allowance: 1.5,
            ..Skirt::W1
        }
        .piece(),
    ));
    for degrees in [90.0, 190.99, 300.0] {
        out.push((
            format!("flounce {degrees}"),
            flounce(4.0, 24.0, degrees, 0.5, 0.5, 1.0),
        ));
    }
    out.push((
        "narrow flounce".into(),
        flounce(1.0, 12.0, 270.0, 0.25, 0.375, 0.25),
    ));
    out.push((
        "gore".into(),
        polygon(
            &[(0.0, 0.0), (3.5, 0.0), (6.0, 36.0), (-2.5, 36.0)],
            &[0.5, 0.625, 2.0, 0.625],
        ),
    ));
    out.push((
        "godet".into(),
        polygon(
            &[(0.0, 0.0), (3.0, 20.0), (-3.0, 20.0)],
            &[0.375, 0.5, 0.375],
        ),
    ));
    out.push((
        "shard".into(),
        polygon(&[(0.0, 0.0), (1.0, 30.0), (-1.0, 30.0)], &[0.5, 1.5, 1.0]),
    ));
    out.push((
        "yoke".into(),
        polygon(
            &[(0.0, 0.0), (4.0, 3.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)],
            &[0.5, 0.375, 1.0, 2.0, 0.25],
        ),
    ));
    out
}

#[test]
fn every_sample_is_cut_right() {
    // Catches: a style or a shape that breaks the line, whichever; 0.05 mm and the ring are checked.
    for (name, piece) in gallery() {
        let line = cutting_line(&piece).unwrap();
        if let Err(fault) = check(&piece, &line) {
            panic!("{name}: {fault}");
        }
        let off = worst(&piece, &line);
        assert!(off < 0.05, "{name}: {off}");
    }
}

#[test]
fn chords_of_every_edge_are_as_long_as_the_edge() {
    // Catches: chords too coarse for the 0.01 mm that the report promises, or wrong indices.
    for (name, piece) in gallery() {
        let sewn = flat::stitching(&piece).unwrap();
        let outline = flat::stitching_outline(&piece).unwrap();
        assert_eq!(sewn.points[0], sewn.points[sewn.points.len() - 1]);
        for (i, (from, to)) in sewn.edges.iter().enumerate() {
            let chords: f64 = sewn.points[*from..=*to]
                .windows(2)
                .map(|w| (w[1] - w[0]).size())
                .sum();
            let edge = (outline.edges[i].1 - outline.edges[i].0).in_mm();
            assert!((chords - edge).abs() < 0.0051, "{name} {i}");
            let capped = crate::capped_curve(&piece, i).unwrap();
            assert!((capped.length().in_mm() - edge).abs() < 1e-6);
            assert!((sewn.points[*from] - capped.start()).size() < 1e-9);
            assert!((sewn.points[*to] - capped.end()).size() < 1e-9);
        }
        let line = cutting_line(&piece).unwrap();
        let cut = flat::cutting(&line);
        assert_eq!(cut.edges.len(), piece.edges.len());
        assert_eq!(cut.points[0], cut.points[cut.points.len() - 1]);
        for (i, (from, to)) in cut.edges.iter().enumerate() {
            let (s, e) = line.span(i).unwrap();
            assert!(
                (cut.points[*from] - line.curve.at(s).point).size() < 1e-6,
                "{name} {i}"
            );
            assert!(
                (cut.points[*to] - line.curve.at(e).point).size() < 1e-6,
                "{name} {i}"
            );
        }
    }
}

#[test]
fn notches_stand_square_to_the_stitching_line_and_on_the_cutting_line() {
    // Catches: a notch on a foreign strip or on the wrong side; the distance is the allowance.
    let mut piece = Skirt::W1.piece();
    let side = piece.edges[1].curve.length();
    piece.edges[1].notches.push(crate::Notch {
        at: Length::inches(19.0),
        snips: 3,
    });
    piece.edges[1].notches.push(crate::Notch {
        at: Length::ZERO,
        snips: 2,
    });
    piece.edges[1]
        .notches
        .push(crate::Notch { at: side, snips: 1 });
    piece.edges[3].notches.push(crate::Notch {
        at: Length::inches(5.0),
        snips: 1,
    });
    let line = cutting_line(&piece).unwrap();
    let places = notch_places(&piece).unwrap();
    assert_eq!(places.len(), 6);
    for place in &places {
        let edge = &piece.edges[place.edge];
        let want = edge.allowance.first().in_mm();
        let off = place.on_cutting - place.on_stitching;
        assert!((off.size() - want).abs() < 0.05, "{place:?}");
        assert!((off + place.direction * want).size() < 0.05);
        assert!(line.curve.nearest(place.on_cutting).distance.in_mm() < 1e-6);
    }
    assert_eq!(places[2].snips, 3);
}

#[test]
fn a_hem_is_longer_at_its_cut_edge_by_depth_times_angle() {
    // trade/worked-examples.md W10, on whole pieces: 8 gores of 12.198 degrees with 2 in of hem: 3.406.
    let gore = flounce(24.367, 56.367, 12.198, 0.5, 0.5, 2.0);
    let line = made(&gore);
    let hem = gore.edge_index("hem").unwrap();
    let (s, e) = line.span(hem).unwrap();
    let excess = ((e - s) - gore.edges[hem].curve.length()).in_inches() * 8.0;
    assert!((excess - 3.406).abs() < 0.005, "{excess}");
}

#[test]
fn strips_that_run_into_each_other_are_told() {
    // Catches: a cutting line that silently has no room for an allowance. The neck of this flounce is
    // half an inch round, its allowance an inch.
    let piece = flounce(0.5, 12.0, 250.0, 1.0, 0.5, 0.5);
    let line = cutting_line(&piece).unwrap();
    let fault = check(&piece, &line).unwrap_err();
    assert!(fault.to_string().contains("`top`"), "{fault}");
}

#[test]
fn rings_of_one_and_two_edges_are_cut_too() {
    // Catches: neighbours that are the edge itself. Closed form of a disc; a lens has two tips.
    let (centre, rim) = (at(0.0, 0.0), at(5.0, 0.0));
    let round = Curve::arc(centre, rim, measure::Angle::degrees(360.0)).unwrap();
    let disc = Piece::from_edges("disc", vec![edge("rim", round, Role::Seam, 0.5)]).unwrap();
    let line = made(&disc);
    let area = core::f64::consts::PI * 5.5 * 5.5 * 645.16;
    assert!((line.curve.area() / area - 1.0).abs() < 1e-4);
    let bow = |a: (f64, f64), b: (f64, f64)| {
        Curve::bowed(at(a.0, a.1), at(b.0, b.1), Length::inches(2.0)).unwrap()
    };
    let upper = edge("upper", bow((-5.0, 0.0), (5.0, 0.0)), Role::Seam, 0.5);
    let lower = edge("lower", bow((5.0, 0.0), (-5.0, 0.0)), Role::Seam, 1.0);
    let lens = Piece::from_edges("lens", vec![upper, lower]).unwrap();
    let line = made(&lens);
    assert!((line.curve.bounds().0.y + 2.5 * 25.4).abs() < 0.05);
    assert!((line.curve.bounds().1.y - 3.0 * 25.4).abs() < 0.05);
}
