//! Patterns drawn by hand for the tests, in inches: what a method would give, without one.

use draft::worked::{EdgeName, LevelMade, Origin, SeamMade, Worked};
use lay::Cloth;
use measure::card::Card;
use measure::fraction::{Shown, Unit};
use measure::{Curve, Length, Point};
use piece::{Allowance, Cut, Edge, Grain, Piece, Role};

use crate::finding::Finding;
use crate::near::Finder;
use crate::seen::{Seen, Subject};

/// A point in inches.
pub(crate) fn at(x: f64, y: f64) -> Point {
    Point::new(x * 25.4, y * 25.4)
}

/// A line of straights through points in inches.
pub(crate) fn through(points: &[(f64, f64)]) -> Curve {
    let points: Vec<Point> = points.iter().map(|p| at(p.0, p.1)).collect();
    Curve::polyline(&points).unwrap()
}

/// An edge with an allowance in inches.
pub(crate) fn edge(name: &str, role: Role, curve: Curve, allowance: f64) -> Edge {
    Edge {
        role,
        allowance: Allowance::even(Length::inches(allowance)),
        ..Edge::plain(name, curve)
    }
}

/// A pattern in the making.
#[derive(Clone, Debug)]
pub(crate) struct Sketch {
    pub(crate) card: Card,
    pub(crate) worked: Worked,
    pub(crate) cloth: Option<Cloth>,
}

impl Sketch {
    pub(crate) fn new() -> Self {
        Self {
            card: Card::new("invented", Unit::Inch),
            worked: Worked::default(),
            cloth: None,
        }
    }

    /// A piece on a sheet of its own name, its grain straight down.
    pub(crate) fn piece(mut self, name: &str, on_fold: bool, edges: Vec<Edge>) -> Self {
        let mut piece = Piece::from_edges(name, edges).unwrap();
        piece.grain = Some(Grain {
            from: at(4.0, 4.0),
            to: at(4.0, 20.0),
        });
        piece.cuts.push(Cut {
            cloth: "shell".into(),
            count: if on_fold { 1 } else { 2 },
            on_fold,
            pair: !on_fold,
        });
        self.worked.pieces.push(piece);
        self.worked.origins.push(Origin {
            sheet: Some(name.to_owned()),
            copied_from: Vec::new(),
            half: None,
        });
        self
    }

    /// Levels of every sheet so far, so many inches below the waist line.
    pub(crate) fn levels(mut self, levels: &[(&str, f64)]) -> Self {
        for piece in &self.worked.pieces {
            for (body, y) in levels {
                self.worked.levels.push(LevelMade {
                    body: (*body).to_owned(),
                    name: format!("{body} line"),
                    sheet: piece.name.clone(),
                    below_waist: Length::inches(*y),
                    y: y * 25.4,
                });
            }
        }
        self
    }

    /// A seam between two edges, `piece.edge` each; to its twin without a second.
    pub(crate) fn seam(mut self, name: &str, a: &str, b: &str) -> Self {
        let named = |s: &str| -> Vec<EdgeName> {
            s.split_once('.')
                .map(|(piece, edge)| EdgeName {
                    piece: piece.into(),
                    edge: edge.into(),
                    between: None,
                })
                .into_iter()
                .collect()
        };
        self.worked.seams.push(SeamMade {
            name: name.into(),
            a: named(a),
            b: named(b),
            a_length: Length::ZERO,
            b_length: Length::ZERO,
            ease: Length::ZERO,
            difference: Length::ZERO,
            before: None,
        });
        self
    }

    pub(crate) fn of_cloth(mut self, cloth: Cloth) -> Self {
        self.cloth = Some(cloth);
        self
    }

    pub(crate) fn subject(&self) -> Subject<'_> {
        Subject {
            card: &self.card,
            worked: &self.worked,
            cloth: self.cloth.as_ref(),
            shown: Shown::inches(),
        }
    }

    /// What one finder finds.
    pub(crate) fn find(&self, finder: Finder) -> Vec<Finding> {
        finder(&Seen::of(&self.subject()))
    }

    /// The rules of hang and cloth that find something, each once.
    pub(crate) fn broken(&self) -> Vec<String> {
        let seen = Seen::of(&self.subject());
        let mut rules: Vec<String> = OURS
            .iter()
            .flat_map(|find| find(&seen))
            .map(|f| f.rule)
            .collect();
        rules.sort();
        rules.dedup();
        rules
    }
}

/// The finders of how it hangs and what it is cut from.
const OURS: &[Finder] = &[
    crate::grain::find,
    crate::blend::find,
    crate::flare::find,
    crate::train::find,
    crate::length::find,
    crate::cloth::find,
    crate::weight::find,
];

/// A flared skirt on the fold, front and back alike: 10 in wide at the hip, 9 in down, and flaring by
/// so much at a hem 40 in down.
pub(crate) fn flared(front: f64, back: f64) -> Sketch {
    let half = |flare: f64| {
        vec![
            edge(
                "waist",
                Role::Seam,
                through(&[(0.0, 0.0), (10.0, 0.0)]),
                0.5,
            ),
            edge(
                "side",
                Role::Seam,
                through(&[(10.0, 0.0), (10.0, 9.0), (10.0 + flare, 40.0)]),
                0.5,
            ),
            edge(
                "hem",
                Role::Hem,
                through(&[(10.0 + flare, 40.0), (0.0, 40.0)]),
                1.0,
            ),
            edge(
                "centre",
                Role::Fold,
                through(&[(0.0, 40.0), (0.0, 0.0)]),
                0.0,
            ),
        ]
    };
    Sketch::new()
        .piece("front", true, half(front))
        .piece("back", true, half(back))
        .levels(&[("waist", 0.0), ("hip", 9.0)])
        .seam("side seam", "front.side", "back.side")
}

/// The front of W1 as the hand drew it, with a back like it: H 40, W 30, break 19, length 47, knee
/// reduction 2 1/2, flare marked 8 (trade page on worked examples, common practice).
pub(crate) fn w1(side: &Curve, allowance: f64) -> Sketch {
    let half = |name: &str| {
        let foot = side.end();
        let hem = Curve::line(foot, at(0.0, 47.0)).unwrap();
        let waist = Curve::line(at(0.0, 0.75), side.start()).unwrap();
        (
            name.to_owned(),
            vec![
                edge("waist", Role::Seam, waist, 0.5),
                edge("side", Role::Seam, side.clone(), allowance),
                edge("hem", Role::Hem, hem, 0.5),
                edge(
                    "centre",
                    Role::Fold,
                    through(&[(0.0, 47.0), (0.0, 0.75)]),
                    0.0,
                ),
            ],
        )
    };
    let (front, back) = (half("front"), half("back"));
    Sketch::new()
        .piece(&front.0, true, front.1)
        .piece(&back.0, true, back.1)
        .levels(&[
            ("waist", 0.0),
            ("hip", 9.0),
            ("break", 19.0),
            ("knee", 22.0),
        ])
        .seam("side seam", "front.side", "back.side")
}

/// The side of W1 as ruled.
pub(crate) fn w1_side() -> Curve {
    through(&[
        (7.5, -0.25),
        (10.0, 8.0),
        (10.0, 10.0),
        (7.5, 18.5),
        (7.5, 19.5),
        (17.427, 45.5),
    ])
}
