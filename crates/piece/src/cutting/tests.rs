//! The cutting line against closed forms, corner by corner, and against random pieces.

use super::*;
use crate::samples::{Skirt, at, flounce, polygon, with_dart};
use crate::{Allowance, Change, Corner, How, Role, Toward};

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
    let _ = (
        Allowance::NONE,
        Change {
            at: Length::ZERO,
            width: Length::ZERO,
            how: How::Step,
        },
        Corner::Extended,
        Role::Hem,
        flounce(5.0, 20.0, 180.0, 0.5, 0.5, 0.5),
    );
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
            std::hint::black_box(crate::flat::stitching(&p).unwrap());
        }
        println!(
            "{name} cutting {:?} flat {:?}",
            cut / 1000,
            begin.elapsed() / 1000
        );
    }
}
