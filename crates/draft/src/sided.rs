//! Corrections for one side of her alone: each half is taken for her left and for her right, both are
//! corrected and trued, and what came out alike on both is one pattern again.
//!
//! A half on the fold whose sides differ is opened out to one whole piece, a pair becomes two single
//! pieces. All of them lie as they are drawn with the right side of the cloth up; left and right are as
//! she wears it.

mod doubled;
mod flat;
mod names;

use measure::fraction::Shown;
use piece::Piece;

use crate::correction::{Correction, Side, same};
use crate::handed::{Kind, kind};
use crate::refit::{Layer, Refitted, refit};
use crate::worked::{CorrectionDone, EdgeName, Half, Origin, Outcome, SeamMade, Worked};
use doubled::Doubled;
use flat::opened;
use names::beside;

/// What stands after the name of a piece or an edge that is for her left alone.
const LEFT: &str = ", her left";
/// What stands after the name of one that is for her right alone.
const RIGHT: &str = ", her right";
/// What stands after the name of a lining that is cut apart from the shell of the same pattern, before
/// what is said of her side.
const LINING: &str = ", lining";
/// Left and right that lie so near to each other, in millimetres, are one pattern.
const ALIKE: f64 = 0.005;
/// At a fold left and right meet within this, in millimetres: what truing leaves.
const MEETS: f64 = 0.1;

const fn ending(side: Side) -> &'static str {
    match side {
        Side::Left => LEFT,
        Side::Right => RIGHT,
        Side::Both => "",
    }
}

/// A name without what it says of her side, and that side.
pub fn bare(name: &str) -> (&str, Side) {
    if let Some(rest) = name.strip_suffix(LEFT) {
        (rest, Side::Left)
    } else if let Some(rest) = name.strip_suffix(RIGHT) {
        (rest, Side::Right)
    } else {
        (name, Side::Both)
    }
}

/// A name in the middle of a sentence: `back on her left`.
pub fn spoken(name: &str) -> String {
    match bare(name) {
        (rest, Side::Left) => format!("{rest} on her left"),
        (rest, Side::Right) => format!("{rest} on her right"),
        (rest, Side::Both) => rest.to_owned(),
    }
}

/// All that is said of the sides in a sentence, told or left out.
fn told(says: &str, both: bool) -> String {
    let (left, right) = if both {
        ("", "")
    } else {
        (" on her left", " on her right")
    };
    let says = says.replace(LEFT, left).replace(RIGHT, right);
    if both {
        says.replace(" on her left", "")
            .replace(" on her right", "")
    } else {
        says
    }
}

/// Whether any of these corrections is for one side alone.
pub(crate) fn any(corrections: &[Correction]) -> bool {
    corrections.iter().any(|c| {
        c.side != Side::Both || bare(&c.piece).1 != Side::Both || bare(&c.edge).1 != Side::Both
    })
}

/// Corrects the pieces, some of them for one side alone, and trues the seams of both sides.
pub(crate) fn refit_sides(
    layers: &[Layer],
    seams: &[SeamMade],
    corrections: &[Correction],
    shown: Shown,
) -> Refitted {
    let doubled = Doubled::of(layers, seams);
    // Why a correction is left out, for each.
    let mut undone: Vec<Option<Outcome>> = vec![None; corrections.len()];
    let meant: Vec<Option<Correction>> = corrections
        .iter()
        .zip(&mut undone)
        .map(|(c, undone)| match doubled.meant(c) {
            Ok(c) => Some(c),
            Err(outcome) => {
                *undone = Some(outcome);
                None
            }
        })
        .collect();
    let sewn: Vec<SeamMade> = doubled.sewn.iter().map(|s| s.made.clone()).collect();
    loop {
        let standing = |i: &usize| undone[*i].is_none();
        let wanted: Vec<(usize, &Correction)> = (0..corrections.len())
            .filter(standing)
            .filter_map(|i| Some((i, meant[i].as_ref()?)))
            .collect();
        if wanted.iter().all(|(_, c)| c.side == Side::Both) {
            // Nothing is left for one side: left and right stay one pattern.
            let both: Vec<Correction> = wanted.iter().map(|(_, c)| (*c).clone()).collect();
            let mut refitted = refit(layers, seams, &both, shown);
            let mut made = core::mem::take(&mut refitted.done).into_iter();
            refitted.done = corrections
                .iter()
                .zip(&undone)
                .filter_map(|(c, undone)| match undone {
                    Some(outcome) => Some(left_out(c, outcome, shown)),
                    None => made.next(),
                })
                .collect();
            return refitted;
        }
        let mut groups: Vec<usize> = Vec::new();
        let mut each: Vec<Correction> = Vec::new();
        for (i, c) in &wanted {
            for one in doubled.each(c) {
                groups.push(*i);
                each.push(one);
            }
        }
        let fitted = refit(&doubled.halves, &sewn, &each, shown);
        let mut fresh = false;
        for (i, done) in groups.iter().zip(&fitted.done) {
            if undone[*i].is_some() || done.outcome == Outcome::Made {
                continue;
            }
            let both = meant[*i].as_ref().is_some_and(|c| c.side == Side::Both);
            undone[*i] = Some(match &done.outcome {
                Outcome::Lost(says) => Outcome::Lost(told(says, both)),
                Outcome::Refused(says) => Outcome::Refused(told(says, both)),
                Outcome::Made => continue,
            });
            fresh = true;
        }
        if !fresh && let Some((layer, says)) = doubled.at_odds(&fitted.pieces) {
            // What is for one side on that piece can't be; or else whatever is for one side.
            let name = &layers[layer].piece.name;
            let one_side =
                |c: &Correction, of: bool| c.side != Side::Both && (!of || same(&c.piece, name));
            let own = wanted.iter().any(|(_, c)| one_side(c, true));
            for (i, c) in &wanted {
                if one_side(c, own) {
                    undone[*i] = Some(Outcome::Refused(says.clone()));
                    fresh = true;
                }
            }
        }
        if fresh {
            continue;
        }
        return doubled.put_together(&fitted, corrections, &groups, &undone, shown);
    }
}

fn left_out(c: &Correction, outcome: &Outcome, shown: Shown) -> CorrectionDone {
    CorrectionDone {
        correction: c.clone(),
        edges: Vec::new(),
        outcome: outcome.clone(),
        sentence: c.sentence(shown),
    }
}

/// Whether a piece, or any of its edges, is for one side of her alone.
pub fn is_sided(piece: &Piece) -> bool {
    bare(&piece.name).1 != Side::Both || piece.edges.iter().any(|e| bare(&e.name).1 != Side::Both)
}

/// On which side of her an edge lies, by the names of the draft: both for an edge of a half, which she
/// wears left and right; nothing for one of a whole piece of which it can't be told.
pub fn side_of(worked: &Worked, piece: &str, edge: &str) -> Option<Side> {
    let from = |name: &str| {
        let mut all = (0..worked.pieces.len()).filter(|i| worked.of(*i) == name);
        all.find_map(|i| worked.origins.get(i))
            .map(|o| o.copied_from.iter().map(|f| bare(f).0.to_owned()))
            .map(|all| {
                let mut out: Vec<String> = all.collect();
                out.dedup();
                out
            })
    };
    let layers: Vec<Layer> = worked
        .drafted()
        .into_iter()
        .map(|p| Layer {
            piece: p.clone(),
            copied_from: from(&p.name).unwrap_or_default(),
        })
        .collect();
    let mut seams: Vec<SeamMade> = Vec::new();
    for seam in &worked.seams {
        let plain = |names: &[EdgeName]| -> Vec<EdgeName> {
            let each = names.iter().map(|n| EdgeName {
                piece: bare(&n.piece).0.to_owned(),
                edge: bare(&n.edge).0.to_owned(),
                between: n.between,
            });
            each.collect()
        };
        let name = bare(&seam.name).0.to_owned();
        if seams.iter().any(|s| s.name == name) {
            continue;
        }
        let (a, mut b) = (plain(&seam.a), plain(&seam.b));
        if a == b {
            b.clear();
        }
        seams.push(SeamMade {
            name,
            a,
            b,
            ..seam.clone()
        });
    }
    let doubled = Doubled::of(&layers, &seams);
    let layer = doubled.layer_named(piece)?;
    if doubled.hands.kind(layer) != Kind::Single {
        return Some(Side::Both);
    }
    doubled
        .seams
        .iter()
        .filter(|s| {
            let mut all = s.a.iter().chain(&s.b);
            all.any(|n| same(&n.piece, piece) && same(&n.edge, edge))
        })
        .find_map(|s| doubled.side_of_seam(s))
}

/// A draft with its halves cut apart as they are in another draft of the same pieces, to be compared with
/// it; nothing where that has none that this has not.
pub fn split_like(one: &Worked, like: &Worked) -> Option<Worked> {
    if like.halves.is_empty() {
        return None;
    }
    let mut out = Worked {
        pieces: Vec::new(),
        origins: Vec::new(),
        ..one.clone()
    };
    let over = beside(one.drafted().into_iter());
    let mut split = false;
    for (i, piece) in one.pieces.iter().enumerate() {
        let origin = one.origins.get(i).cloned().unwrap_or_default();
        let halves: Vec<(&Piece, &Half)> = like
            .pieces
            .iter()
            .enumerate()
            .filter_map(|(i, p)| Some((p, like.half(i)?)))
            .filter(|(p, h)| h.of == piece.name && !bare(&p.name).0.ends_with(LINING))
            .collect();
        let mut parts = Vec::new();
        for (as_in, half) in halves.iter().filter(|_| origin.half.is_none()) {
            let part = match (half.side, kind(piece)) {
                (Side::Both, Kind::Fold(fold)) => {
                    let drawn = as_in.edges.first().map_or(Side::Left, |e| bare(&e.name).1);
                    opened(&piece.name, piece, piece, fold, drawn)
                }
                (Side::Left | Side::Right, Kind::Pair) => {
                    let turned = over.filter(|_| half.turned);
                    let part = turned.map_or_else(|| piece.clone(), |m| piece.moved(&m));
                    Some(Piece {
                        name: as_in.name.clone(),
                        ..part
                    })
                }
                _ => None,
            };
            let Some(part) = part else { continue };
            let half = Some((*half).clone());
            parts.push((
                part,
                Origin {
                    half,
                    ..origin.clone()
                },
            ));
        }
        if parts.is_empty() {
            out.pieces.push(piece.clone());
            out.origins.push(origin);
            continue;
        }
        split = true;
        out.halves.push(piece.clone());
        for (piece, origin) in parts {
            out.pieces.push(piece);
            out.origins.push(origin);
        }
    }
    split.then_some(out)
}

#[cfg(test)]
mod tests;
