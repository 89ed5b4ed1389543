//! The cutting line against closed forms, corner by corner, and against random pieces.

use super::*;
use crate::samples::{Skirt, at, flounce, polygon, with_dart};
use crate::{Allowance, Change, Corner, How, Toward};

/// Distance of a point from an edge's stitching line with its caps.
fn distance(piece: &Piece, edge: usize, p: Point) -> f64 {
    crate::capped_curve(piece, edge)
        .unwrap()
        .nearest(p)
        .distance
        .in_mm()
}

/// The largest fault of distance over all true stretches of all edges with an even allowance.
fn worst(piece: &Piece, line: &CuttingLine) -> f64 {
    let mut worst: f64 = 0.0;
    let mut along = Length::ZERO;
    for (owner, length) in line.owners().iter().zip(line.curve.segment_lengths()) {
        if let Some(e) = owner {
            let d = piece.edges[*e].allowance.first().in_mm();
            if piece.edges[*e].allowance.changes().is_empty() {
                for k in 0..=8 {
                    let p = line.curve.at(along + length * (f64::from(k) / 8.0)).point;
                    worst = worst.max((distance(piece, *e, p) - d).abs());
                }
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

#[test]
#[ignore = "a timing, to be run in release"]
#[expect(clippy::disallowed_methods, reason = "a timing needs a clock")]
fn timing() {
    let plain = Skirt::W1.piece();
    let mut hem = Skirt::W1.piece();
    hem.edges[2].start_corner = Corner::Reflected;
    let piece = with_dart(Skirt::W1.piece(), 3.5, 1.0, 4.0, Toward::Start);
    for (name, p) in [("plain", plain), ("hem", hem), ("dart", piece)] {
        let begin = std::time::Instant::now();
        for _ in 0..1000 {
            std::hint::black_box(cutting_line(&p).unwrap());
        }
        let cut = begin.elapsed();
        let begin = std::time::Instant::now();
        for _ in 0..1000 {
            std::hint::black_box(flat::stitching(&p).unwrap());
        }
        println!(
            "{name} cutting {:?} flat {:?}",
            cut / 1000,
            begin.elapsed() / 1000
        );
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
#[ignore = "prints a report for tests/judges/outlines.py"]
fn print_a_report() {
    println!("{}", crate::samples::report::report(&gallery()));
}
