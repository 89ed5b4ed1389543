//! Pieces to try things on: invented, but shaped like real ones.

use measure::{Angle, Curve, Length, Point, Vector};

use crate::{Allowance, Dart, Edge, Notch, Piece, Role, Toward};

/// A point in inches.
pub(crate) fn at(x: f64, y: f64) -> Point {
    Point::new(x * 25.4, y * 25.4)
}

/// An edge with an even allowance in inches.
pub(crate) fn edge(name: &str, curve: Curve, role: Role, allowance: f64) -> Edge {
    Edge {
        role,
        allowance: Allowance::even(Length::inches(allowance)),
        ..Edge::plain(name, curve)
    }
}

/// Straight edges between points, each with its allowance in inches.
pub(crate) fn polygon(corners: &[(f64, f64)], allowances: &[f64]) -> Piece {
    let n = corners.len();
    let edges = (0..n)
        .map(|i| {
            let (a, b) = (corners[i], corners[(i + 1) % n]);
            let curve = Curve::line(at(a.0, a.1), at(b.0, b.1)).unwrap();
            edge(
                &format!("e{i}"),
                curve,
                Role::Seam,
                allowances[i % allowances.len()],
            )
        })
        .collect();
    Piece::from_edges("polygon", edges).unwrap()
}

/// What a skirt piece is made of, in inches.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Skirt {
    pub(crate) waist: f64,
    pub(crate) rise: f64,
    pub(crate) hip: f64,
    pub(crate) knee: f64,
    pub(crate) blend: f64,
    pub(crate) hem: f64,
    pub(crate) fold: bool,
    pub(crate) waist_allowance: f64,
    pub(crate) side_allowance: f64,
    pub(crate) hem_allowance: f64,
}

impl Skirt {
    /// The front of W1 of `trade/worked-examples.md`.
    pub(crate) const W1: Self = Self {
        waist: 7.5,
        rise: 0.25,
        hip: 10.0,
        knee: 7.5,
        blend: 3.0,
        hem: 17.427,
        fold: true,
        waist_allowance: 0.5,
        side_allowance: 1.0,
        hem_allowance: 2.0,
    };

    /// The right half of a mermaid front: waist, side, hem, centre.
    pub(crate) fn piece(&self) -> Piece {
        let waist = Curve::blend(
            at(0.0, 0.75),
            Some(Vector::OUTWARD),
            at(self.waist, -self.rise),
            None,
        )
        .unwrap();
        let hip_top = Curve::blend(
            at(self.waist, -self.rise),
            None,
            at(self.hip, 8.0),
            Some(Vector::DOWN),
        )
        .unwrap();
        let hip = Curve::line(at(self.hip, 8.0), at(self.hip, 10.0)).unwrap();
        let break_top = at(self.knee, 19.0 - self.blend);
        let flare = (at(self.hem, 45.5) - at(self.knee, 19.0)).unit().unwrap();
        let foot = at(self.knee, 19.0) + flare * (self.blend * 25.4);
        let thigh = Curve::blend(
            at(self.hip, 10.0),
            Some(Vector::DOWN),
            break_top,
            Some(Vector::DOWN),
        )
        .unwrap();
        let knee = Curve::blend(break_top, Some(Vector::DOWN), foot, Some(flare)).unwrap();
        let straight = Curve::line(foot, at(self.hem, 45.5)).unwrap();
        let side = Curve::joined([&hip_top, &hip, &thigh, &knee, &straight]).unwrap();
        let square = flare.right();
        let hem = Curve::blend(
            at(self.hem, 45.5),
            Some(square),
            at(0.0, 47.0),
            Some(Vector::INWARD),
        )
        .unwrap();
        let centre = Curve::line(at(0.0, 47.0), at(0.0, 0.75)).unwrap();
        let mut side = edge("side", side, Role::Seam, self.side_allowance);
        side.notches = [9.0, 18.0]
            .map(|s| Notch {
                at: Length::inches(s),
                snips: 1,
            })
            .to_vec();
        let (role, width) = if self.fold {
            (Role::Fold, 0.0)
        } else {
            (Role::Seam, 1.0)
        };
        Piece::from_edges(
            "front",
            vec![
                edge("waist", waist, Role::Seam, self.waist_allowance),
                side,
                edge("hem", hem, Role::Hem, self.hem_allowance),
                edge("centre", centre, role, width),
            ],
        )
        .unwrap()
    }
}

/// Adds a dart square to the waist.
pub(crate) fn with_dart(
    mut piece: Piece,
    along: f64,
    intake: f64,
    deep: f64,
    pressed: Toward,
) -> Piece {
    let waist = &piece.edge("waist").unwrap().curve;
    let mouth = (
        Length::inches(along - intake / 2.0),
        Length::inches(along + intake / 2.0),
    );
    let (a, b) = (waist.at(mouth.0).point, waist.at(mouth.1).point);
    let tip = a.toward(b, 0.5) + (b - a).unit().unwrap().right() * (deep * 25.4);
    piece.darts.push(Dart {
        name: format!("dart {along}"),
        edge: "waist".into(),
        mouth,
        tip,
        pressed: Some(pressed),
    });
    piece
}

/// A sector of a flounce: inner edge of radius `inner`, outer of radius `outer`, in inches.
pub(crate) fn flounce(
    inner: f64,
    outer: f64,
    degrees: f64,
    top: f64,
    side: f64,
    hem: f64,
) -> Piece {
    let centre = at(0.0, 0.0);
    let sweep = Angle::degrees(degrees);
    let way = Vector::new(1.0, 0.0).turned(Angle::degrees(90.0 - degrees / 2.0));
    let far = way.turned(sweep);
    let reach = |v: Vector, r: f64| centre + v * (r * 25.4);
    let upper = Curve::arc(centre, reach(way, inner), sweep).unwrap();
    let right = Curve::line(reach(way, inner), reach(way, outer)).unwrap();
    let lower = Curve::arc(centre, reach(way, outer), sweep).unwrap();
    let left = Curve::line(reach(far, outer), reach(far, inner)).unwrap();
    Piece::from_edges(
        "flounce",
        vec![
            edge("top", upper, Role::Seam, top),
            edge("left", left, Role::Seam, side),
            edge("hem", lower, Role::Hem, hem),
            edge("right", right, Role::Seam, side),
        ],
    )
    .unwrap()
}
