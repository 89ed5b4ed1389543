//! Against closed forms, and on a shaped piece.

use measure::{Curve, Length, Point};

use super::{Shift, shift};
use crate::edge::{Edge, Role};
use crate::ring::Piece;
use crate::samples::Skirt;

fn inch(x: f64) -> Length {
    Length::inches(x)
}

fn rectangle() -> Piece {
    let p = |x: f64, y: f64| Point::new(x * 25.4, y * 25.4);
    let edge = |name: &str, a, b| Edge::plain(name, Curve::line(a, b).unwrap());
    let mut centre = edge("centre", p(0.0, 24.0), p(0.0, 0.0));
    centre.role = Role::Fold;
    Piece::from_edges(
        "plain",
        vec![
            edge("waist", p(0.0, 0.0), p(20.0, 0.0)),
            edge("side", p(20.0, 0.0), p(20.0, 24.0)),
            edge("hem", p(20.0, 24.0), p(0.0, 24.0)),
            centre,
        ],
    )
    .unwrap()
}

/// Would catch an amount that overshoots between two places, or a slope where it should be level.
#[test]
fn amounts_go_over_smoothly_and_never_beyond_what_was_said() {
    let by = Shift::new(&[
        (inch(8.0), inch(0.0)),
        (inch(0.0), inch(0.5)),
        (inch(3.0), inch(0.5)),
        (inch(5.0), inch(0.1)),
    ]);
    let mut before = by.at(Length::ZERO).in_inches();
    for i in 0..=800 {
        let now = by.at(inch(f64::from(i) / 100.0)).in_inches();
        assert!(now <= before + 1e-12 && (-1e-12..=0.5 + 1e-12).contains(&now));
        before = now;
    }
    assert!((by.at(inch(1.7)).in_inches() - 0.5).abs() < 1e-12);
    assert!((by.at(inch(5.0)).in_inches() - 0.1).abs() < 1e-12);
    let slope = (by.at(inch(8.0)) - by.at(inch(7.999))).in_inches() / 0.001;
    assert!(slope.abs() < 1e-3);
    assert_eq!(by.at(inch(9.0)), Length::ZERO);
}

/// Would catch walking an edge backward that does not turn its amounts round.
#[test]
fn reversed_it_says_the_same_of_the_same_place() {
    let by = Shift::new(&[
        (inch(1.0), inch(0.5)),
        (inch(4.0), inch(-0.2)),
        (inch(9.0), inch(0.0)),
    ]);
    let back = by.reversed(inch(10.0));
    for i in 0..=20 {
        let s = f64::from(i) / 2.0;
        let (a, b) = (by.at(inch(s)), back.at(inch(10.0 - s)));
        assert!((a - b).in_mm().abs() < 1e-9, "{s}");
    }
}

/// A rectangle let out by an even amount: 1/2 in by 24 in more, as on paper. Would catch a wrong side,
/// a corner that stays behind, or neighbours that do not follow.
#[test]
fn even_amounts_are_a_letting_out() {
    let piece = rectangle();
    let by = Shift::new(&[(Length::ZERO, inch(0.5))]);
    let new = shift(&piece, "side", &by).unwrap();
    let more = (new.area() - piece.area()) / (25.4 * 25.4);
    assert!((more - 12.0).abs() < 1e-6, "{more}");
    assert!((new.edge("waist").unwrap().curve.length().in_inches() - 20.5).abs() < 1e-9);
    let taken = Shift::new(&[(Length::ZERO, inch(-0.5))]);
    let same = shift(&new, "side", &taken).unwrap();
    assert!((same.area() - piece.area()).abs() < 1e-3);
}

/// 1/2 in at the waist, nothing at 8 in: by symmetry of the smooth change, half of 1/2 by 8 in is
/// added. Would catch a change that is cut short, and a hem that moves.
#[test]
fn what_fades_adds_half_of_its_box() {
    let piece = rectangle();
    let by = Shift::new(&[(Length::ZERO, inch(0.5)), (inch(8.0), Length::ZERO)]);
    let new = shift(&piece, "side", &by).unwrap();
    let more = (new.area() - piece.area()) / (25.4 * 25.4);
    assert!((more - 2.0).abs() < 2e-3, "{more}");
    assert_eq!(new.edge("hem").unwrap(), piece.edge("hem").unwrap());
    let (a, b) = (
        &new.edge("side").unwrap().curve,
        &piece.edge("side").unwrap().curve,
    );
    assert!((a.start().x / 25.4 - 20.5).abs() < 1e-6);
    assert_eq!(a.end(), b.end());
}

/// Would catch a corner inside the new line of a shaped side, a notch that wanders, a piece that no
/// longer closes, and a stretch outside the change that is not left alone.
#[test]
fn a_shaped_side_stays_smooth_and_keeps_its_notches() {
    let piece = Skirt::W1.piece();
    let side = piece.edge("side").unwrap();
    let at = |s: f64, by: f64| (inch(s), inch(by));
    for amount in [0.5, -0.5, 0.75] {
        let by = Shift::new(&[at(4.0, 0.0), at(9.0, amount), at(14.0, 0.0)]);
        let new = shift(&piece, "side", &by).unwrap();
        let now = new.edge("side").unwrap();
        // Where the old line's bend changes at once, a change that is steep there turns by a hair: what
        // is kept is what the inspector allows a seam, 2 degrees.
        assert!(now.curve.corners(measure::Angle::degrees(2.0)).is_empty());
        for (old, notch) in side.notches.iter().zip(&now.notches) {
            let place = side.curve.at(old.at);
            let there = now.curve.at(notch.at).point;
            let across = (there - place.point).dot(place.direction.left());
            let along = (there - place.point).dot(place.direction);
            let wanted = by.at(old.at).in_mm();
            assert!(
                (across - wanted).abs() < 0.06 && along.abs() < 0.5,
                "{across} {along}"
            );
        }
        let below = now.curve.length() - inch(20.0);
        let same = side.curve.length() - inch(20.0);
        let (p, q) = (now.curve.at(below).point, side.curve.at(same).point);
        assert!((p - q).size() < 1e-4);
    }
}

/// Would catch an outline that crosses itself and is handed on all the same.
#[test]
fn more_than_there_is_cannot_be_taken_in() {
    let piece = rectangle();
    for by in [-21.0, -100.0] {
        let by = Shift::new(&[(Length::ZERO, inch(by))]);
        assert!(shift(&piece, "side", &by).is_err());
    }
    let by = Shift::new(&[
        (inch(4.0), inch(0.0)),
        (inch(12.0), inch(-25.0)),
        (inch(20.0), inch(0.0)),
    ]);
    assert!(shift(&piece, "side", &by).is_err());
}

/// A waist dropped at the centre: the fold is shorter by it, the side and the hem stay. Would catch a
/// hem that is moved by a waist.
#[test]
fn a_dropped_waist_moves_no_hem() {
    let piece = rectangle();
    let by = Shift::new(&[(Length::ZERO, inch(-0.5)), (inch(20.0), Length::ZERO)]);
    let new = shift(&piece, "waist", &by).unwrap();
    assert!((new.edge("centre").unwrap().curve.length().in_inches() - 23.5).abs() < 1e-6);
    assert_eq!(new.edge("hem").unwrap(), piece.edge("hem").unwrap());
    assert_eq!(new.edge("side").unwrap(), piece.edge("side").unwrap());
}

/// A waist that bends up to the side, cut back by a side that is taken in: would catch a corner that is
/// no longer what it was, which shows as a peak or a dip when the seam is sewn.
#[test]
fn a_corner_keeps_its_angle() {
    let piece = Skirt::W1.piece();
    let corner = |p: &Piece| {
        let (waist, side) = (p.edge("waist").unwrap(), p.edge("side").unwrap());
        waist
            .curve
            .end_direction()
            .angle_to(side.curve.start_direction())
            .in_degrees()
    };
    for amount in [-0.75, -0.25, 0.5, 1.0] {
        let by = Shift::new(&[(Length::ZERO, inch(amount)), (inch(9.0), Length::ZERO)]);
        let new = shift(&piece, "side", &by).unwrap();
        assert!(
            (corner(&new) - corner(&piece)).abs() < 0.2,
            "{amount}: {} {}",
            corner(&new),
            corner(&piece)
        );
        assert!(
            new.edge("waist")
                .unwrap()
                .curve
                .corners(measure::Angle::degrees(2.0))
                .is_empty()
        );
        let by = Shift::new(&[(Length::ZERO, Length::ZERO), (inch(7.0), inch(amount))]);
        let new = shift(&piece, "waist", &by).unwrap();
        assert!(
            (corner(&new) - corner(&piece)).abs() < 0.2,
            "{amount}: {} {}",
            corner(&new),
            corner(&piece)
        );
    }
}
