//! Which pieces lie on or under others: what a toile is cut without.

use measure::Length;
use piece::Piece;

use crate::sided::bare;
use crate::worked::Worked;

/// The cloth of the outside.
pub(super) const SHELL: &str = "shell";
/// A facing is a strip no deeper than this along the edge that it faces (2 to 4 in: trade/finishing.md
/// 2); anything deeper hangs on its own.
const DEEPEST: f64 = 4.5;
/// The edge that a facing shares with its piece is as long as the piece's own to within this share.
const AS_LONG: f64 = 0.02;

/// How a piece belongs to the garment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// Cut from the shell.
    Shell,
    /// A strip of the shell that lies on an edge of another piece.
    Facing,
    /// Not cut from the shell: lining, interlining.
    Under,
}

/// How each piece belongs to the garment.
pub(super) fn places(worked: &Worked) -> Vec<Place> {
    (0..worked.pieces.len())
        .map(|i| {
            if !of_shell(&worked.pieces[i]) {
                Place::Under
            } else if faces(worked, i) {
                Place::Facing
            } else {
                Place::Shell
            }
        })
        .collect()
}

fn of_shell(piece: &Piece) -> bool {
    piece.cuts.iter().any(|c| c.cloth == SHELL)
}

/// Whether a piece is a facing: copied from another piece of the shell, a strip along a whole edge of
/// it, lying on it and not beyond it. When in doubt it is none, for a piece that is not there can't be
/// cut.
fn faces(worked: &Worked, i: usize) -> bool {
    let piece = &worked.pieces[i];
    let Some(origin) = worked.origins.get(i) else {
        return false;
    };
    origin.copied_from.iter().any(|from| {
        let mut others = worked.pieces.iter();
        let model = others.find(|p| p.name == *from && p.name != piece.name && of_shell(p));
        model.is_some_and(|model| {
            piece
                .edges
                .iter()
                .any(|edge| lies_along(piece, edge, model))
        })
    })
}

/// The edge of this name on a piece, or else the first that has it without its side of her.
pub(super) fn like(piece: &Piece, name: &str) -> Option<usize> {
    let own = |e: &piece::Edge| bare(&e.name).0 == bare(name).0;
    let exact = piece.edge_index(name).ok();
    exact.or_else(|| piece.edges.iter().position(own))
}

fn lies_along(piece: &Piece, edge: &piece::Edge, model: &Piece) -> bool {
    // Darts are folded shut before a facing is cut.
    let sewn = |p: &Piece, e: &piece::Edge| p.sewn_length(&e.name).unwrap_or_default().in_mm();
    // Where her left and her right differ a piece on the fold is opened out, and has an edge twice.
    let name = bare(&edge.name).0;
    let all = |p: &Piece| -> Vec<f64> {
        let own = p.edges.iter().filter(|e| bare(&e.name).0 == name);
        own.map(|e| sewn(p, e)).collect()
    };
    let Some(other) = like(model, &edge.name).map(|i| &model.edges[i]) else {
        return false;
    };
    let long: f64 = all(piece).iter().sum();
    let mut whole = all(model);
    whole.push(whole.iter().sum());
    if long < 1.0 || !whole.iter().any(|w| (long - w).abs() <= AS_LONG * w) {
        return false;
    }
    // Both rings are walked clockwise: on the same side of the edge they run the same way.
    let run = |e: &piece::Edge| e.curve.end() - e.curve.start();
    let same_side = run(edge).dot(run(other)) > 0.0;
    let strip = piece.area() / long <= Length::inches(DEEPEST).in_mm();
    same_side && strip && piece.area() < model.area()
}

/// From which cloths the pieces of a toile are cut in the end, besides the shell.
pub(super) fn cloths_besides(worked: &Worked, places: &[Place]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let stay = worked.pieces.iter().zip(places);
    let stay = stay.filter(|(_, place)| **place == Place::Shell);
    for cut in stay.flat_map(|(piece, _)| &piece.cuts) {
        if cut.cloth != SHELL && !out.contains(&cut.cloth) {
            out.push(cut.cloth.clone());
        }
    }
    out
}

/// Leaves out what a toile is cut without; the names of the pieces that are left out. Where nothing is
/// cut from the shell there is nothing else to try on her, and all of it stays.
pub(super) fn leave_out(worked: &mut Worked, places: &[Place]) -> Vec<String> {
    if !places.contains(&Place::Shell) {
        return Vec::new();
    }
    let mut left = Vec::new();
    let mut keep = places.iter().map(|p| *p == Place::Shell);
    let mut kept: Vec<bool> = Vec::new();
    worked.pieces.retain(|piece| {
        let stays = keep.next().unwrap_or(true);
        kept.push(stays);
        if !stays {
            left.push(piece.name.clone());
        }
        stays
    });
    let mut of = kept.iter();
    worked.origins.retain(|_| *of.next().unwrap_or(&true));
    for piece in &mut worked.pieces {
        piece.cuts.retain(|c| c.cloth == SHELL);
    }
    let gone_wholly = |name: &str| {
        let half = |o: &crate::worked::Origin| o.half.as_ref().is_some_and(|h| h.of == name);
        !worked.origins.iter().any(half)
    };
    worked.halves.retain(|p| !gone_wholly(&p.name));
    let gone = |edges: &[crate::worked::EdgeName]| edges.iter().any(|e| left.contains(&e.piece));
    worked.seams.retain(|s| !gone(&s.a) && !gone(&s.b));
    worked.findings.retain(|f| {
        !left
            .iter()
            .any(|name| f.place == *name || f.place.ends_with(&format!(" of {name}")))
    });
    left
}
