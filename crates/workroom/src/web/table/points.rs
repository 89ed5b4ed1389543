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

/// Pressed this near, in mm of the paper, a point is meant, where the page does not say how large a
/// finger is on it.
const NEAR: f64 = 14.0;
/// However small the paper is shown, a finger covers no more of it, in mm.
const FINGER: f64 = 90.0;
/// A point lies on an edge that passes it this near, in mm.
const ON: f64 = 0.5;

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
        let notches = notch_places(piece).unwrap_or_default();
        for (n, notch) in notches.iter().enumerate() {
            let Some(edge) = piece.edges.get(notch.edge) else {
                continue;
            };
            // Counted on its edge, as a pin counts them.
            let before = notches[..n].iter().filter(|o| o.edge == notch.edge);
            let number = draft::correction::notch_number(edge, before.count());
            add(
                n,
                'n',
                format!("notch {number} on {}", edge.name),
                notch.on_stitching,
            );
        }
    }
    out
}

/// The point meant by a place that was pressed, by a finger that covers so many mm: the nearest named
/// one, else the nearest on a line, or just there.
pub(crate) fn meant(paper: &Paper<'_>, pressed: Point, finger: Option<f64>) -> Named {
    let near = finger
        .filter(|f| f.is_finite())
        .map_or(NEAR, |f| f.clamp(2.0, FINGER));
    let all = points(paper);
    let far = |n: &Named| n.on_paper.distance(pressed).in_mm();
    let nearest = all.into_iter().min_by(|a, b| far(a).total_cmp(&far(b)));
    if let Some(n) = nearest.filter(|n| far(n) < near) {
        return n;
    }
    if let Some(n) = on_line(paper, pressed, near) {
        return n;
    }
    let piece = paper
        .pieces
        .iter()
        .find(|p| super::super::drawing::inside(pressed, &p.ring));
    Named {
        key: String::new(),
        name: piece.map_or_else(
            || "A place beside the pieces".to_owned(),
            |p| format!("A place inside {}", p.piece.name),
        ),
        piece: piece.map(|p| p.piece.name.clone()).unwrap_or_default(),
        at: piece.map_or(pressed, |p| p.on_piece(pressed)),
        on_paper: pressed,
    }
}

/// The nearest point on a stitching line.
fn on_line(paper: &Paper<'_>, pressed: Point, near: f64) -> Option<Named> {
    let mut best: Option<(f64, Named)> = None;
    for placed in &paper.pieces {
        let at = placed.on_piece(pressed);
        for edge in &placed.piece.edges {
            let found = edge.curve.nearest(at);
            let far = found.distance.in_mm();
            if far < near && best.as_ref().is_none_or(|(b, _)| far < *b) {
                let here = edge.curve.at(found.along).point;
                let name = format!(
                    "{}: a place on {}",
                    check::told::capital(&placed.piece.name),
                    edge.name
                );
                let named = Named {
                    key: String::new(),
                    name,
                    piece: placed.piece.name.clone(),
                    at: here,
                    on_paper: placed.on_paper(here),
                };
                best = Some((far, named));
            }
        }
    }
    best.map(|(_, named)| named)
}

/// An edge on which both points lie, and how far it is along it.
fn along(paper: &Paper<'_>, a: &Named, b: &Named) -> Option<(String, Length)> {
    let piece = paper.pieces.iter().find(|p| p.piece.name == a.piece)?.piece;
    piece.edges.iter().find_map(|edge| {
        let (from, to) = (edge.curve.nearest(a.at), edge.curve.nearest(b.at));
        let on = from.distance.in_mm() < ON && to.distance.in_mm() < ON;
        on.then(|| (edge.name.clone(), (to.along - from.along).abs()))
    })
}

/// A sentence that goes on with this name.
fn small(name: &str) -> String {
    let mut letters = name.chars();
    letters
        .next()
        .map(|c| c.to_lowercase().chain(letters).collect())
        .unwrap_or_default()
}

/// The first of two places, and what is wanted next.
pub(crate) fn first(a: &Named) -> String {
    format!("{}. Now the other end.", a.name)
}

/// How far it is from one point to another, in a sentence; and the figure alone.
pub(crate) fn between(paper: &Paper<'_>, a: &Named, b: &Named, shown: Shown) -> (String, String) {
    if a.piece != b.piece || a.piece.is_empty() {
        let says = format!(
            "{} and {} are not on one piece: between pieces the paper has no measure.",
            a.name,
            small(&b.name)
        );
        return (says, String::new());
    }
    let straight = show(a.at.distance(b.at), shown);
    let within = |n: &Named| {
        let start = format!("{}: ", check::told::capital(&n.piece));
        small(n.name.strip_prefix(&start).unwrap_or(&n.name))
    };
    let mut says = format!(
        "On {}, from {} to {}: {straight}, straight",
        a.piece,
        within(a),
        within(b)
    );
    if let Some((edge, length)) = along(paper, a, b) {
        says.push_str(&format!("; {} along {edge}", show(length, shown)));
    }
    says.push('.');
    (says, straight)
}

/// The numbers of piece and edge that such a key means.
pub(crate) fn edge_of(key: &str) -> Option<(usize, usize)> {
    let (piece, edge) = key.split_once('e')?;
    Some((piece.parse().ok()?, edge.parse().ok()?))
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
