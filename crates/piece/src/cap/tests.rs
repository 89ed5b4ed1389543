//! Dart caps: folded, they lie level with the edge.

use measure::Vector;
use measure::angle::{atan, tan};

use super::*;
use crate::samples::{Skirt, at, polygon, with_dart};

/// A straight waist with one dart square to it.
fn straight(intake: f64, deep: f64, pressed: Option<Toward>) -> Piece {
    let mut piece = polygon(
        &[(0.0, 0.0), (10.0, 0.0), (10.0, 20.0), (0.0, 20.0)],
        &[0.5],
    );
    piece.darts.push(Dart {
        name: "dart".into(),
        edge: "e0".into(),
        mouth: (
            Length::inches(5.0 - intake / 2.0),
            Length::inches(5.0 + intake / 2.0),
        ),
        tip: at(5.0, deep),
        pressed,
    });
    piece
}

#[test]
fn the_darts_of_w5_have_its_legs_and_angles_and_caps() {
    // trade/worked-examples.md W5: intake 1, length 5.5: leg 5.5227, angle 10.389 degrees, joined
    // straight waist 169.61; 0.5 by 3.5: leg 3.5089, 8.171 degrees. Each side of a cap leans by the
    // whole angle of the dart, so its peak is half the intake times the tangent of that.
    for (intake, deep, leg, degrees) in [(1.0, 5.5, 5.5227, 10.389), (0.5, 3.5, 3.5089, 8.171)] {
        for pressed in [Toward::Start, Toward::End] {
            let piece = straight(intake, deep, Some(pressed));
            let dart = &piece.darts[0];
            let mouth = [dart.mouth.0, dart.mouth.1].map(|m| piece.edges[0].curve.at(m).point);
            let legs = mouth.map(|m| m.distance(dart.tip).in_inches());
            assert!(legs.iter().all(|l| (l - leg).abs() < 5e-5));
            let angle = (mouth[0] - dart.tip).angle_to(mouth[1] - dart.tip);
            assert!((angle.in_degrees() - degrees).abs() < 5e-4);
            let turned = Vector::OUTWARD.turned(angle).angle_to(Vector::INWARD).abs();
            assert!((turned.in_degrees() - (180.0 - degrees)).abs() < 5e-4);
            let capped = capped_curve(&piece, 0).unwrap();
            let (low, _) = capped.bounds();
            let peak = intake / 2.0 * tan(angle.in_radians());
            assert!(
                (low.y / -25.4 - peak).abs() < 1e-9,
                "{} {peak}",
                low.y / -25.4
            );
        }
    }
}

#[test]
fn a_folded_dart_lies_level_with_a_curved_waist() {
    // Catches: a cap mirrored about the wrong line. Fold: the half beside the pressed leg goes over
    // that leg, the other half first over the centre line.
    for toward in [Toward::Start, Toward::End] {
        let piece = with_dart(Skirt::W1.piece(), 4.0, 1.0, 4.0, toward);
        let dart = &piece.darts[0];
        let waist = &piece.edges[0].curve;
        let capped = capped_curve(&piece, 0).unwrap();
        let ends = [waist.at(dart.mouth.0).point, waist.at(dart.mouth.1).point];
        let foot = if toward == Toward::Start {
            ends[0]
        } else {
            ends[1]
        };
        let centre = Motion::reflect(
            dart.tip,
            (ends[0].toward(ends[1], 0.5) - dart.tip).unit().unwrap(),
        );
        let over = Motion::reflect(dart.tip, (foot - dart.tip).unit().unwrap());
        let (s, e) = (capped.nearest(ends[0]).along, capped.nearest(ends[1]).along);
        for k in 0..=40 {
            let part = f64::from(k) / 40.0;
            let p = capped.at(s + (e - s) * part).point;
            let near_start = part < 0.5;
            let p = if near_start == (toward == Toward::Start) {
                p
            } else {
                centre.point(p)
            };
            let lies = over.point(p);
            assert!(waist.nearest(lies).distance.in_mm() < 1e-6, "{part}");
        }
        let outline = crate::stitching_outline(&piece).unwrap();
        assert!(outline.curve.area() > piece.area());
    }
}

#[test]
fn odd_darts_keep_the_edge_as_it_is() {
    // Catches: a panic or a spike instead of a plain mouth.
    let plain = straight(1.0, 5.5, None);
    assert_eq!(capped_curve(&plain, 0).unwrap(), plain.edges[0].curve);
    let odd: [fn(&mut Dart); 7] = [
        |d| d.tip = at(5.0, 0.0),
        |d| d.tip = at(5.0, -3.0),
        |d| d.tip = at(5.0, 0.2),
        |d| d.tip = at(1.0, 4.0),
        |d| d.mouth = (Length::inches(6.0), Length::inches(5.0)),
        |d| d.mouth = (Length::inches(9.5), Length::inches(11.0)),
        |d| d.mouth = (Length::inches(-1.0), Length::inches(0.5)),
    ];
    for change in odd {
        let mut piece = straight(1.0, 5.5, Some(Toward::Start));
        change(&mut piece.darts[0]);
        let capped = capped_curve(&piece, 0).unwrap();
        assert!(capped.self_crossings().is_empty());
        let (low, high) = capped.bounds();
        assert!(low.y > -40.0 && high.y < 40.0);
        assert!(crate::cutting_line(&piece).is_ok());
    }
    assert!(capped_curve(&plain, 9).is_err());
}

#[test]
fn a_mouth_at_the_very_end_of_an_edge_has_its_cap() {
    for (from, to, toward) in [(0.0, 1.0, Toward::Start), (9.0, 10.0, Toward::End)] {
        let mut piece = straight(1.0, 5.5, Some(toward));
        piece.darts[0].mouth = (Length::inches(from), Length::inches(to));
        piece.darts[0].tip = at(f64::midpoint(from, to), 5.5);
        let capped = capped_curve(&piece, 0).unwrap();
        let peak = 0.5 * tan(2.0 * atan(0.5 / 5.5));
        assert!((capped.bounds().0.y / -25.4 - peak).abs() < 1e-9);
        assert!(crate::cutting_line(&piece).is_ok());
    }
}

#[test]
fn darts_in_other_edges_are_left_alone() {
    let mut piece = straight(1.0, 5.5, Some(Toward::Start));
    assert_eq!(capped_curve(&piece, 1).unwrap(), piece.edges[1].curve);
    piece.darts[0].edge = "nowhere".into();
    assert_eq!(capped_curve(&piece, 0).unwrap(), piece.edges[0].curve);
}
