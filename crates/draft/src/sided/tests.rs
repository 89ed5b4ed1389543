//! Tests of her two sides where truing leaves little, on a front by closed form.
#![allow(
    clippy::unwrap_used,
    reason = "a test stops, and prints, where it must"
)]

use measure::{Curve, Point};
use piece::{Cut, Edge, Piece, Role};

use super::doubled::Doubled;
use crate::refit::Layer;

/// Half a front on the fold, with a short edge at the foot of its fold: where that begins and where it
/// ends, in millimetres below the top.
fn front(name: &str, foot: f64, end: f64) -> Piece {
    let corners = [
        ("fold", (0.0, foot), (0.0, 0.0)),
        ("waist", (0.0, 0.0), (200.0, 0.0)),
        ("side", (200.0, 0.0), (200.0, 400.0)),
        ("hem", (200.0, 400.0), (0.0, end)),
        ("tail", (0.0, end), (0.0, foot)),
    ];
    let edges = corners.map(|(name, from, to)| {
        let at = |(x, y)| Point::new(x, y);
        Edge::plain(name, Curve::line(at(from), at(to)).unwrap())
    });
    let mut piece = Piece::from_edges(name, edges.to_vec()).unwrap();
    let fold = piece.edge_index("fold").unwrap();
    piece.edges[fold].role = Role::Fold;
    piece.cuts = vec![Cut {
        cloth: "shell".into(),
        count: 1,
        on_fold: true,
        pair: false,
    }];
    piece
}

/// Her left and her right meet at the fold as nearly as they must, but the edge next to it is shorter than
/// that and would be gone. Would catch a piece that can't be opened out and is left out of what is cut.
#[test]
fn a_piece_that_can_t_be_opened_out_is_refused() {
    let layers = [Layer {
        piece: front("front", 400.0, 401.0),
        copied_from: Vec::new(),
    }];
    let doubled = Doubled::of(&layers, &[]);
    assert_eq!(doubled.halves.len(), 2);
    let at_odds = |left: (f64, f64), right: (f64, f64)| {
        let each = [("front, her left", left), ("front, her right", right)];
        let pieces = each.map(|(name, (foot, end))| front(name, foot, end));
        doubled.at_odds(&pieces)
    };
    assert_eq!(at_odds((400.0, 401.0), (400.0, 400.05)), None);
    for (left, right) in [
        ((400.0, 401.0), (400.05, 400.0)),
        ((400.05, 401.0), (400.0, 400.05)),
    ] {
        let (layer, says) = at_odds(left, right).unwrap();
        assert_eq!(layer, 0);
        assert!(
            says.starts_with("Front can’t be opened out from its fold"),
            "{says}"
        );
    }
}
