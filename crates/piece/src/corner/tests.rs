//! Corner by corner, the cases of `trade/finishing.md` 3, with their closed forms.

use measure::angle::{cos, sin, tan};
use measure::{Angle, Curve, Length};

use crate::cutting::{CuttingLine, check, cutting_line};
use crate::samples::{Skirt, at, edge, polygon};
use crate::{Allowance, Change, Corner, Edge, How, Piece, Role};

use super::*;

/// A piece with a corner of this inner angle at (0, 0): edge `e0` arrives along the x axis with the
/// first allowance, `e1` leaves with the second. In inches.
fn wedge(inner: f64, first: f64, second: f64, style: (Corner, Corner)) -> Piece {
    let turn = Angle::degrees(180.0 - inner).in_radians();
    let (x, y) = (20.0 * cos(turn), 20.0 * sin(turn));
    let mut piece = if inner < 180.0 {
        polygon(
            &[(-20.0, 0.0), (0.0, 0.0), (x, y), (-20.0, 40.0)],
            &[first, second, 0.25, 0.25],
        )
    } else {
        polygon(
            &[
                (-20.0, 0.0),
                (0.0, 0.0),
                (x, y),
                (40.0, -40.0),
                (40.0, 40.0),
                (-20.0, 40.0),
            ],
            &[first, second, 0.25, 0.25, 0.25, 0.25],
        )
    };
    let i = piece.edge_index("e0").unwrap();
    assert_eq!(piece.edges[i + 1].name, "e1");
    piece.edges[i].end_corner = style.0;
    piece.edges[i + 1].start_corner = style.1;
    piece
}

fn cut(piece: &Piece) -> CuttingLine {
    let line = cutting_line(piece).unwrap();
    check(piece, &line).unwrap();
    line
}

fn goes_through(line: &CuttingLine, x: f64, y: f64) {
    let away = line.curve.nearest(at(x, y)).distance.in_mm();
    assert!(away < 1e-6, "({x}, {y}) is {away} mm away");
}

/// Where the line has corners near (0, 0), in inches.
fn keeps_out(line: &CuttingLine, x: f64, y: f64) {
    let away = line.curve.nearest(at(x, y)).distance.in_mm();
    assert!(away > 0.5, "the line goes through ({x}, {y})");
}

const E: Corner = Corner::Extended;

#[test]
fn extended_lines_meet_in_a_tip() {
    // Closed form: along the first edge (d2 - d1 cos turn) / sin turn beyond the corner.
    for (inner, d1, d2) in [
        (60.0, 0.5, 0.5),
        (90.0, 2.0, 1.0),
        (120.0, 0.5, 0.75),
        (75.0, 1.0, 0.375),
    ] {
        let turn = Angle::degrees(180.0 - inner).in_radians();
        let line = cut(&wedge(inner, d1, d2, (E, E)));
        goes_through(&line, (d2 - d1 * cos(turn)) / sin(turn), -d1);
    }
}

#[test]
fn a_spike_is_bevelled_at_twice_the_allowance() {
    // Below 60 degrees, with even allowances, the tip would lie further away than that.
    for inner in [10.0, 25.0, 40.0, 58.0] {
        let line = cut(&wedge(inner, 0.5, 0.5, (E, E)));
        let half = Angle::degrees((180.0 - inner) / 2.0).in_radians();
        // Out along the bisector of the corner.
        goes_through(&line, sin(half), -cos(half));
    }
    // And just above it is not.
    let line = cut(&wedge(62.0, 0.5, 0.5, (E, E)));
    let half = Angle::degrees(59.0).in_radians();
    goes_through(&line, 0.5 / cos(half) * sin(half), -0.5);
}

#[test]
fn a_wide_strip_beside_a_narrow_one_ends_square_and_keeps_its_width() {
    // Catches: a narrow neighbour's line that is carried on and cuts the wide strip short.
    let line = cut(&wedge(150.0, 2.0, 0.25, (E, E)));
    goes_through(&line, 0.0, -2.0);
    let turn = Angle::degrees(30.0).in_radians();
    goes_through(&line, 0.0, -0.25 / cos(turn));
    let line = cut(&wedge(180.0 - 1e-7, 1.0, 0.5, (E, E)));
    goes_through(&line, 0.0, -1.0);
    goes_through(&line, 0.0, -0.5);
    // In a hollow corner too.
    let line = cut(&wedge(200.0, 2.0, 0.25, (E, E)));
    goes_through(&line, 0.0, -2.0);
    goes_through(&line, 0.0, -0.25 / cos(Angle::degrees(20.0).in_radians()));
}

#[test]
fn hollow_corners_are_cut_where_the_lines_cross() {
    for (inner, d1, d2) in [
        (240.0, 0.5, 0.5),
        (270.0, 1.0, 0.5),
        (300.0, 0.375, 0.625),
        (350.0, 0.25, 0.25),
    ] {
        let turn = Angle::degrees(180.0 - inner).in_radians();
        let line = cut(&wedge(inner, d1, d2, (E, E)));
        goes_through(&line, (d2 - d1 * cos(turn)) / sin(turn), -d1);
    }
}

#[test]
fn a_reflected_end_lies_under_the_neighbours_edge_when_pressed() {
    // Turned over the first seam (the x axis) the end must lie on the second cutting line.
    for (inner, d1, d2) in [
        (60.0, 1.0, 0.5),
        (90.0, 1.0, 0.5),
        (120.0, 1.0, 0.5),
        (70.0, 2.0, 1.0),
        (135.0, 0.5, 0.75),
    ] {
        let turn = Angle::degrees(180.0 - inner).in_radians();
        let line = cut(&wedge(inner, d1, d2, (Corner::Reflected, E)));
        let foot = d2 / sin(turn);
        goes_through(&line, foot, 0.0);
        goes_through(&line, foot + d1 / tan(turn), -d1);
        for part in [0.25, 0.5, 0.75] {
            let (x, y) = (foot + part * d1 / tan(turn), part * d1);
            goes_through(&line, x, -y);
            // (x, y) turned over lies d2 from the second edge.
            let off = x * sin(turn) - y * cos(turn);
            assert!((off - d2).abs() < 1e-9);
        }
        // The other way round it is the second edge that is turned over.
        let other = cut(&wedge(inner, d2, d1, (E, Corner::Reflected)));
        let foot2 = (d2 / sin(turn) * cos(turn), d2 / sin(turn) * sin(turn));
        goes_through(&other, -foot2.0, -foot2.1);
    }
}

#[test]
fn squared_ends_are_square_and_equally_long_on_both_partners() {
    for inner in [65.0, 90.0, 110.0] {
        let turn = Angle::degrees(180.0 - inner).in_radians();
        let line = cut(&wedge(inner, 1.0, 0.5, (Corner::Squared, E)));
        let foot = 0.5 / sin(turn);
        goes_through(&line, foot, 0.0);
        goes_through(&line, foot, -1.0);
        goes_through(&line, foot, -0.5);
    }
    // Partners whose corners differ: 80 and 100 degrees. Each ends 0.5 / sin beyond the corner.
    let (s80, s100) = (
        sin(Angle::degrees(80.0).in_radians()),
        sin(Angle::degrees(100.0).in_radians()),
    );
    assert!((s80 - s100).abs() < 1e-12);
    goes_through(
        &cut(&wedge(80.0, 1.0, 0.5, (Corner::Squared, E))),
        0.5 / s80,
        -1.0,
    );
    goes_through(
        &cut(&wedge(100.0, 1.0, 0.5, (Corner::Squared, E))),
        0.5 / s100,
        -1.0,
    );
}

#[test]
fn a_stepped_end_stands_at_the_corner_and_leaves_an_eighth() {
    let line = cut(&wedge(90.0, 1.0, 0.5, (Corner::Stepped, E)));
    goes_through(&line, 0.0, -1.0);
    goes_through(&line, 0.0, -0.125);
    goes_through(&line, 0.5, -0.125);
    keeps_out(&line, 0.5, -1.0);
    // Where the neighbour's line passes the corner the step ends on it.
    let line = cut(&wedge(140.0, 1.0, 0.25, (Corner::Stepped, E)));
    goes_through(&line, 0.0, -1.0);
    goes_through(&line, 0.0, -0.25 / cos(Angle::degrees(40.0).in_radians()));
}

#[test]
fn a_bevelled_corner_is_cut_off_at_the_allowance() {
    for inner in [30.0, 60.0, 90.0] {
        let line = cut(&wedge(inner, 0.5, 0.5, (Corner::Bevelled, E)));
        let half = Angle::degrees((180.0 - inner) / 2.0).in_radians();
        goes_through(&line, 0.5 * sin(half), -0.5 * cos(half));
        let tip = line.curve.nearest(at(0.0, 0.0)).distance.in_inches();
        assert!(
            (tip - 0.5).abs() < 1e-6,
            "a full allowance stays round the corner"
        );
    }
}

#[test]
fn a_mitred_corner_folds_along_its_bisector() {
    // Square corner, even widths: a diagonal a quarter of an inch outside the corner.
    let line = cut(&wedge(90.0, 2.0, 2.0, (Corner::Mitred, E)));
    let off = 0.25 * 2.0_f64.sqrt();
    goes_through(&line, off, 0.0);
    goes_through(&line, 0.0, -off);
    goes_through(&line, off - 2.0, -2.0);
    // Uneven: turned in over its own seam each end lies a quarter inch beside the line from the
    // corner to where both turned-in edges meet inside, at (-1, 2).
    let line = cut(&wedge(90.0, 2.0, 1.0, (E, Corner::Mitred)));
    let inside = Vector::new(-1.0, 2.0).unit().unwrap();
    let tips: Vec<Point> = {
        let mut along = Length::ZERO;
        line.curve
            .segment_lengths()
            .map(|l| {
                let p = line.curve.at(along).point;
                along += l;
                p
            })
            .collect()
    };
    let mut seen = 0;
    for p in tips {
        // The end of the first strip lies on its cutting line, 2 in above; the second's 1 in beside.
        let (x, y) = (p.x / 25.4, p.y / 25.4);
        let turned_in = if (y + 2.0).abs() < 1e-6 && x > -5.0 {
            Vector::new(x, 2.0)
        } else if (x - 1.0).abs() < 1e-6 && y < 5.0 {
            Vector::new(-1.0, y)
        } else {
            continue;
        };
        seen += 1;
        assert!(
            (inside.cross(turned_in).abs() - 0.25).abs() < 1e-6,
            "({x}, {y})"
        );
    }
    assert_eq!(seen, 2);
}

#[test]
fn the_sides_of_a_hem_mirror_the_seam_above_it() {
    // Catches: a hem that cannot be turned up. Every place of the hem's side, turned over the hem line
    // at the corner, must lie on the seam's cutting line.
    for on_hem in [true, false] {
        let mut piece = Skirt::W1.piece();
        if on_hem {
            piece.edges[2].start_corner = Corner::Reflected;
        } else {
            piece.edges[1].end_corner = Corner::Reflected;
        }
        // A hem that is not square to its side, so that the mirror shows.
        let hem = Curve::line(piece.edges[1].curve.end(), piece.edges[2].curve.end()).unwrap();
        piece.edges[2].curve = hem;
        let line = cut(&piece);
        let corner = piece.edges[2].curve.start();
        let mirror = Motion::reflect(corner, piece.edges[2].curve.start_direction());
        let outer = piece.edges[1].curve.clone();
        let beyond = Curve::line(outer.end(), outer.end() + outer.end_direction() * 500.0).unwrap();
        let outer = Curve::joined([&outer, &beyond]).unwrap();
        let zones = line.zones();
        let side = zones
            .iter()
            .position(|z| z.edge == Some(1))
            .map(|i| zones[i + 1])
            .unwrap();
        assert_eq!(side.edge, None);
        let mut below = 0;
        for k in 1..40 {
            let p = line
                .curve
                .at(side.from + (side.to - side.from) * (f64::from(k) / 40.0))
                .point;
            let up = mirror.point(p);
            // Between the hem line and the foot of the hem, which is carried on to there.
            let depth = (p - corner).dot(piece.edges[2].curve.start_direction().left());
            if depth > 0.0 && depth < 50.8 - 1e-3 {
                below += 1;
                let away = outer.nearest(up).distance.in_inches();
                assert!((away - 1.0).abs() < 0.002, "{away}");
            }
        }
        assert!(below > 20);
    }
}

#[test]
fn cutting_lines_end_on_the_fold() {
    // A hem that meets the fold at more and at less than a right angle.
    for foot in [16.0, 20.0, 24.0] {
        let corners = [at(0.0, 0.0), at(10.0, 0.0), at(12.0, 20.0), at(0.0, foot)];
        let names = ["waist", "side", "hem", "centre"];
        let edges: Vec<Edge> = (0..4)
            .map(|i| {
                let curve = Curve::line(corners[i], corners[(i + 1) % 4]).unwrap();
                let role = if i == 3 { Role::Fold } else { Role::Seam };
                // An allowance on a fold counts for nothing.
                edge(names[i], curve, role, [0.5, 1.0, 2.0, 3.0][i])
            })
            .collect();
        let line = cut(&Piece::from_edges("half", edges).unwrap());
        let (low, _) = line.curve.bounds();
        assert!(low.x.abs() < 1e-9);
        let slope = (20.0 - foot) / 12.0;
        goes_through(&line, 0.0, foot + 2.0 * (1.0 + slope * slope).sqrt());
        goes_through(&line, 0.0, -0.5);
    }
}

#[test]
fn steps_and_ramps_stand_where_they_are_said() {
    let mut piece = polygon(
        &[(0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (0.0, 10.0)],
        &[1.0],
    );
    let change = |at: f64, width: f64, how: How| Change {
        at: Length::inches(at),
        width: Length::inches(width),
        how,
    };
    piece.edges[0].allowance = Allowance::changing(
        Length::inches(1.0),
        vec![
            change(9.0, 1.25, How::Ramp),
            change(20.0, 0.5, How::Step),
            change(30.0, 0.5, How::Step),
            change(34.0, 0.75, How::Ramp),
        ],
    );
    let line = cut(&piece);
    for (x, y) in [
        (0.0, 1.0),
        (4.5, 1.125),
        (9.0, 1.25),
        (15.0, 1.25),
        (20.0, 1.25),
        (20.0, 0.9),
        (20.0, 0.5),
        (25.0, 0.5),
        (30.0, 0.5),
        (32.0, 0.625),
        (34.0, 0.75),
        (40.0, 0.75),
    ] {
        goes_through(&line, x, -y);
    }
}

#[test]
fn an_edge_without_allowance_is_cut_on_its_line() {
    let line = cut(&polygon(
        &[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)],
        &[0.0, 0.5, 0.0, 0.0],
    ));
    goes_through(&line, 10.0, 0.0);
    goes_through(&line, 10.5, 0.0);
    goes_through(&line, 5.0, 0.0);
    let bare = cut(&polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)], &[0.0]));
    assert!((bare.curve.area() - 50.0 * 645.16).abs() < 1e-6);
}

#[test]
fn styles_that_meet_are_settled_the_same_way_whoever_asks() {
    // Catches: two ends that both want their way and tear the line.
    let all = [
        E,
        Corner::Reflected,
        Corner::Squared,
        Corner::Stepped,
        Corner::Bevelled,
        Corner::Mitred,
    ];
    for first in all {
        for second in all {
            for inner in [
                12.0, 45.0, 75.0, 90.0, 130.0, 165.0, 179.9, 181.0, 230.0, 300.0, 345.0,
            ] {
                for (d1, d2) in [(0.5, 0.5), (2.0, 0.25), (0.25, 2.0), (0.0, 1.0), (1.0, 0.0)] {
                    let piece = wedge(inner, d1, d2, (first, second));
                    let line = cutting_line(&piece).unwrap();
                    if let Err(fault) = check(&piece, &line) {
                        panic!("{first:?} {second:?} {inner} {d1} {d2}: {fault}");
                    }
                }
            }
        }
    }
}

/// Would catch an end that leans on a crumb: at a square corner the neighbour's cutting line begins just
/// where the seam line carried on meets it, give or take the last digit, and that has no direction.
#[test]
fn a_square_corner_is_reflected_however_the_piece_lies() {
    for style in [(E, Corner::Reflected), (Corner::Reflected, E)] {
        for hem in [false, true] {
            let mut piece = wedge(90.0, 1.5, 1.0, style);
            if hem {
                let i = piece.edge_index("e0").unwrap();
                piece.edges[i].role = Role::Hem;
            }
            for degrees in 0..180 {
                let by = Motion::turn(at(3.0, 7.0), Angle::degrees(2.0 * f64::from(degrees)));
                let line = cut(&piece.moved(&by));
                let corner = by.point(at(1.0, -1.5));
                let away = line.curve.nearest(corner).distance.in_mm();
                assert!(away < 1e-6, "{style:?} {hem} at {degrees}: {away} mm away");
            }
        }
    }
}
