//! The works, against closed forms and the trade's worked numbers.

mod blocks;
mod cuts;
mod plain;
mod promises;

use measure::{Curve, Length, Point};

use crate::edge::{Edge, Role};
use crate::ring::{Dart, Piece, Toward};

/// A point in inches.
pub(super) fn pt(x: f64, y: f64) -> Point {
    Point::new(x * 25.4, y * 25.4)
}

pub(super) fn inch(x: f64) -> Length {
    Length::inches(x)
}

pub(super) fn line(a: Point, b: Point) -> Curve {
    Curve::line(a, b).unwrap()
}

pub(super) fn long(p: &Piece, edge: &str) -> f64 {
    p.sewn_length(edge).unwrap().in_inches()
}

/// The trial piece: 20 by 24, centre on the fold, one dart 1 wide and 5 1/2 long in the middle of the
/// waist.
pub(super) fn plain() -> Piece {
    let edge = |name: &str, a, b| Edge::plain(name, line(a, b));
    let mut centre = edge("centre", pt(0.0, 24.0), pt(0.0, 0.0));
    centre.role = Role::Fold;
    let mut p = Piece::from_edges(
        "plain",
        vec![
            edge("waist", pt(0.0, 0.0), pt(20.0, 0.0)),
            edge("side", pt(20.0, 0.0), pt(20.0, 24.0)),
            edge("hem", pt(20.0, 24.0), pt(0.0, 24.0)),
            centre,
        ],
    )
    .unwrap();
    p.darts.push(Dart {
        name: "dart".to_owned(),
        edge: "waist".to_owned(),
        mouth: (inch(9.5), inch(10.5)),
        tip: pt(10.0, 5.5),
        pressed: Some(Toward::Start),
    });
    p
}
