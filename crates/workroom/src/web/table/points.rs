//! Points of the pattern by name, and lengths between them and along edges.

use draft::Worked;
use measure::fraction::{Shown, show};
use measure::{Length, Point};
use piece::notch_places;

use super::super::drawing::place::Paper;

/// A point that can be measured from.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Named {
    /// Short, for an address: piece and number.
    pub(crate) key: String,
    /// "Front: where waist meets side".
    pub(crate) name: String,
    pub(crate) piece: String,
    /// On the piece, in mm.
    pub(crate) at: Point,
    /// On the paper, in mm.
    pub(crate) on_paper: Point,
}

/// Pressed this near, in mm of the paper, a point is meant.
const NEAR: f64 = 14.0;

/// The corners, notches and dart points of the pieces on the paper, piece by piece.
pub(crate) fn points(paper: &Paper<'_>) -> Vec<Named> {
    let mut out = Vec::new();
    for placed in &paper.pieces {
        let piece = placed.piece;
        let title = check::told::capital(&piece.name);
        let mut add = |n: usize, kind: char, name: String, at: Point| {
            out.push(Named {
                key: format!("{}{kind}{n}", placed.index),
                name: format!("{title}: {name}"),
                piece: piece.name.clone(),
                at,
                on_paper: placed.on_paper(at),
            });
        };
        for (n, edge) in piece.edges.iter().enumerate() {
            let next = &piece.edges[(n + 1) % piece.edges.len()];
            add(
                n,
                'c',
                format!("where {} meets {}", edge.name, next.name),
                edge.curve.end(),
            );
        }
        for (n, dart) in piece.darts.iter().enumerate() {
            add(n, 'd', format!("point of {}", dart.name), dart.tip);
        }
        for (n, notch) in notch_places(piece).unwrap_or_default().iter().enumerate() {
            let edge = piece.edges.get(notch.edge).map_or("", |e| e.name.as_str());
            add(
                n,
                'n',
                format!("notch {} on {edge}", n + 1),
                notch.on_stitching,
            );
        }
    }
    out
}

/// The point meant by a place that was pressed: the nearest named one, or just there.
pub(crate) fn meant(paper: &Paper<'_>, pressed: Point) -> Named {
    let all = points(paper);
    let far = |n: &Named| n.on_paper.distance(pressed).in_mm();
    let nearest = all.into_iter().min_by(|a, b| far(a).total_cmp(&far(b)));
    if let Some(n) = nearest.filter(|n| far(n) < NEAR) {
        return n;
    }
    let piece = paper
        .pieces
        .iter()
        .find(|p| super::super::drawing::inside(pressed, &p.ring));
    Named {
        key: String::new(),
        name: piece.map_or_else(
            || "a place beside the pieces".to_owned(),
            |p| format!("a place on {}", p.piece.name),
        ),
        piece: piece.map(|p| p.piece.name.clone()).unwrap_or_default(),
        at: piece.map_or(pressed, |p| p.on_piece(pressed)),
        on_paper: pressed,
    }
}

/// How far it is from one point to another, in a sentence.
pub(crate) fn between(a: &Named, b: &Named, shown: Shown) -> String {
    let small = |name: &str| {
        let mut letters = name.chars();
        letters
            .next()
            .map(|c| c.to_lowercase().chain(letters).collect::<String>())
            .unwrap_or_default()
    };
    if a.piece != b.piece || a.piece.is_empty() {
        return format!(
            "{} and {} are not on one piece: between pieces the paper has no measure.",
            a.name,
            small(&b.name)
        );
    }
    format!(
        "From {} to {}: {}, straight.",
        small(&a.name),
        small(&b.name),
        show(a.at.distance(b.at), shown)
    )
}

/// Edges, each with its length along the stitching line and, where they differ, sewn.
pub(crate) fn edges(worked: &Worked, shown: Shown) -> Vec<(String, String)> {
    let mut out = Vec::new();
    for (i, piece) in worked.pieces.iter().enumerate() {
        for (n, edge) in piece.edges.iter().enumerate() {
            let whole = edge.curve.length();
            let sewn = piece.sewn_length(&edge.name).unwrap_or(whole);
            let mut said = show(whole, shown);
            if (whole - sewn).in_mm() > Length::mm(0.5).in_mm() {
                said = format!("{said}, {} with the darts closed", show(sewn, shown));
            }
            out.push((
                format!("{i}e{n}"),
                format!(
                    "{}, {}: {said}",
                    check::told::capital(&piece.name),
                    edge.name
                ),
            ));
        }
    }
    out
}
