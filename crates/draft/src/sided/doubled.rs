//! Every half taken twice, for her left and for her right, with the seams between them.

use measure::Length;
use measure::fraction::Shown;
use piece::{Piece, Role};

use super::flat::{alike, opened, straight};
use super::names::Names;
use super::{MEETS, bare, ending, left_out, spoken};
use crate::correction::{Correction, Side, same};
use crate::handed::{Hands, Kind, other};
use crate::refit::{Layer, Refitted};
use crate::work::capital;
use crate::worked::{CorrectionDone, EdgeName, Outcome, SeamMade};

/// A half, taken for one side of her; or a piece that is whole already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Taken {
    pub(super) layer: usize,
    pub(super) side: Side,
}

/// A seam of the halves, and of which seam of the draft it is.
pub(super) struct Sewn {
    pub(super) made: SeamMade,
    /// Its number in the draft; none for the two halves of a fold.
    pub(super) of: Option<usize>,
    pub(super) side: Side,
}

pub(super) struct Doubled<'a> {
    pub(super) layers: &'a [Layer],
    pub(super) seams: &'a [SeamMade],
    pub(super) hands: Hands<'a>,
    pub(super) taken: Vec<Taken>,
    pub(super) halves: Vec<Layer>,
    pub(super) sewn: Vec<Sewn>,
}

impl<'a> Doubled<'a> {
    pub(super) fn of(layers: &'a [Layer], seams: &'a [SeamMade]) -> Self {
        let hands = Hands::of(layers, seams);
        let mut taken = Vec::new();
        for layer in 0..layers.len() {
            let sides: &[Side] = if hands.kind(layer) == Kind::Single {
                &[Side::Both]
            } else {
                &[Side::Left, Side::Right]
            };
            taken.extend(sides.iter().map(|side| Taken { layer, side: *side }));
        }
        let mut out = Self {
            layers,
            seams,
            hands,
            taken,
            halves: Vec::new(),
            sewn: Vec::new(),
        };
        out.halves = out.taken.iter().map(|t| out.half(*t)).collect();
        out.sewn = out.sew();
        out
    }

    pub(super) fn layer_named(&self, name: &str) -> Option<usize> {
        self.layers.iter().position(|l| same(&l.piece.name, name))
    }

    pub(super) fn is_half(&self, name: &str) -> bool {
        self.layer_named(name)
            .is_some_and(|l| self.hands.kind(l) != Kind::Single)
    }

    /// The name of a piece as taken for a side of her.
    pub(super) fn name(&self, piece: &str, side: Side) -> String {
        if self.is_half(piece) {
            format!("{piece}{}", ending(side))
        } else {
            piece.to_owned()
        }
    }

    pub(super) fn half(&self, taken: Taken) -> Layer {
        let layer = &self.layers[taken.layer];
        let sides: &[Side] = match taken.side {
            Side::Both => &[Side::Left, Side::Right],
            Side::Left => &[Side::Left],
            Side::Right => &[Side::Right],
        };
        let mut copied_from = Vec::new();
        for from in &layer.copied_from {
            for side in sides {
                let name = self.name(from, *side);
                if !copied_from.contains(&name) {
                    copied_from.push(name);
                }
            }
        }
        Layer {
            piece: Piece {
                name: self.name(&layer.piece.name, taken.side),
                ..layer.piece.clone()
            },
            copied_from,
        }
    }

    /// The seams of both sides of her.
    pub(super) fn sew(&self) -> Vec<Sewn> {
        let mut out: Vec<Sewn> = Vec::new();
        let sided = |names: &[EdgeName], side: Side| -> Vec<EdgeName> {
            let each = names.iter().map(|n| EdgeName {
                piece: self.name(&n.piece, side),
                ..n.clone()
            });
            each.collect()
        };
        for (of, seam) in self.seams.iter().enumerate() {
            let half = |n: &EdgeName| self.is_half(&n.piece);
            let (halves, wholes) = {
                let all = || seam.a.iter().chain(&seam.b);
                (all().any(half), all().any(|n| !half(n)))
            };
            let mut add = |side: Side, a: Vec<EdgeName>, b: Vec<EdgeName>, name: String| {
                out.push(Sewn {
                    made: SeamMade {
                        name,
                        a,
                        b,
                        ..seam.clone()
                    },
                    of: Some(of),
                    side,
                });
            };
            if !halves {
                add(
                    Side::Both,
                    seam.a.clone(),
                    seam.b.clone(),
                    seam.name.clone(),
                );
            } else if seam.b.is_empty() {
                let (a, b) = (sided(&seam.a, Side::Left), sided(&seam.a, Side::Right));
                add(Side::Both, a, b, seam.name.clone());
            } else if wholes && let Some(side) = self.side_of_seam(seam) {
                let (a, b) = (sided(&seam.a, side), sided(&seam.b, side));
                add(Side::Both, a, b, seam.name.clone());
            } else {
                for side in [Side::Left, Side::Right] {
                    let name = format!("{}{}", seam.name, ending(side));
                    add(side, sided(&seam.a, side), sided(&seam.b, side), name);
                }
            }
        }
        // At the fold both halves end in the same two points.
        for (layer, l) in self.layers.iter().enumerate() {
            let Kind::Fold(fold) = self.hands.kind(layer) else {
                continue;
            };
            if !l.copied_from.is_empty() {
                continue;
            }
            let name = &l.piece.edges[fold].name;
            let long = l.piece.edges[fold].curve.length();
            let edge = |side| {
                vec![EdgeName {
                    piece: self.name(&l.piece.name, side),
                    edge: name.clone(),
                    between: None,
                }]
            };
            out.push(Sewn {
                made: SeamMade {
                    name: format!("{name} of {}", l.piece.name),
                    a: edge(Side::Left),
                    b: edge(Side::Right),
                    a_length: long,
                    b_length: long,
                    ease: Length::ZERO,
                    difference: Length::ZERO,
                    before: None,
                },
                of: None,
                side: Side::Both,
            });
        }
        out
    }

    /// On which side of her a seam of halves with whole pieces is: by how the pieces lie, else as it
    /// is called.
    pub(super) fn side_of_seam(&self, seam: &SeamMade) -> Option<Side> {
        self.hands.side_of_seam(seam).or_else(|| {
            let has = |word: &str| seam.name.split_whitespace().any(|w| w == word);
            match (has("left"), has("right")) {
                (true, false) => Some(Side::Left),
                (false, true) => Some(Side::Right),
                _ => None,
            }
        })
    }

    /// A correction by the names of the draft, with the side it is meant for.
    pub(super) fn meant(&self, c: &Correction) -> Result<Correction, Outcome> {
        let mut out = c.clone();
        for name in [&mut out.piece, &mut out.edge] {
            if let (rest, side @ (Side::Left | Side::Right)) = bare(name) {
                if out.side == other(side) {
                    return Err(Outcome::Refused(format!(
                        "It speaks of {}, and of her other side at once.",
                        spoken(name)
                    )));
                }
                out.side = side;
                *name = rest.to_owned();
            }
        }
        let Some(layer) = self.layer_named(&out.piece) else {
            return Ok(out);
        };
        let piece = &self.layers[layer].piece;
        let index = piece.edges.iter().position(|e| same(&e.name, &out.edge));
        let (Some(index), true) = (index, out.side != Side::Both) else {
            return Ok(out);
        };
        let (edge, name) = (&piece.edges[index].name, &piece.name);
        if self.hands.kind(layer) != Kind::Single {
            if self.hands.side(layer).is_some() || piece.edges[index].role == Role::Fold {
                return Ok(out);
            }
            return Err(Outcome::Refused(format!(
                "The draft does not tell whether {name} is drawn for her left or for her right. Correct both, or call the piece or the seam at its centre front or back in the method."
            )));
        }
        // A piece that is cut as a whole has edges of its own for both sides.
        let on: Vec<Side> = self
            .seams
            .iter()
            .filter(|s| {
                let mut all = s.a.iter().chain(&s.b);
                all.any(|n| n.piece == *name && n.edge == *edge)
            })
            .filter_map(|s| self.side_of_seam(s))
            .collect();
        if on.contains(&out.side) {
            out.side = Side::Both;
            return Ok(out);
        }
        Err(Outcome::Refused(match on.first() {
            Some(side) => format!(
                "{} of {name} is on her {} only.",
                capital(edge),
                if *side == Side::Left { "left" } else { "right" }
            ),
            None => format!(
                "{} is cut as one whole, not in two halves, so each of its edges is corrected by its own name. Choose the edge or the places on the side that is meant, and both sides.",
                capital(name)
            ),
        }))
    }

    /// A correction as it is laid on the halves.
    pub(super) fn each(&self, c: &Correction) -> Vec<Correction> {
        let sides: &[Side] = match c.side {
            _ if !self.is_half(&c.piece) => &[Side::Both],
            Side::Both => &[Side::Left, Side::Right],
            Side::Left => &[Side::Left],
            Side::Right => &[Side::Right],
        };
        let piece = self
            .layer_named(&c.piece)
            .map_or(&c.piece, |l| &self.layers[l].piece.name);
        sides
            .iter()
            .map(|side| Correction {
                piece: self.name(piece, *side),
                side: Side::Both,
                ..c.clone()
            })
            .collect()
    }

    /// Her left and her right of a layer that was taken for both.
    pub(super) fn both<'p>(&self, pieces: &'p [Piece], layer: usize) -> Option<[&'p Piece; 2]> {
        let at = self.taken.iter().position(|t| t.layer == layer)?;
        (self.taken[at].side == Side::Left).then(|| [&pieces[at], &pieces[at + 1]])
    }

    /// A layer whose two sides cannot be cut as they came out, and why.
    pub(super) fn at_odds(&self, pieces: &[Piece]) -> Option<(usize, String)> {
        for layer in 0..self.layers.len() {
            let Some([left, right]) = self.both(pieces, layer).filter(|[l, r]| !alike(l, r)) else {
                continue;
            };
            let name = &self.layers[layer].piece.name;
            let Some(drawn) = self.hands.side(layer) else {
                return Some((
                    layer,
                    format!(
                        "It changes {name} too, and the draft does not tell whether that is drawn for her left or for her right. Correct both, or this layer alone."
                    ),
                ));
            };
            if let Kind::Fold(fold) = self.hands.kind(layer) {
                let (l, r) = (&left.edges[fold].curve, &right.edges[fold].curve);
                let apart = (l.start() - r.start())
                    .size()
                    .max((l.end() - r.end()).size());
                if apart > MEETS || !straight(l) || !straight(r) {
                    return Some((
                        layer,
                        format!(
                            "Her left and her right of {name} meet at its {}, and they would no longer meet there. Let it end before the {0}, or correct both.",
                            left.edges[fold].name
                        ),
                    ));
                }
                let (own, twin) = if drawn == Side::Left {
                    (left, right)
                } else {
                    (right, left)
                };
                if opened(name, own, twin, fold, drawn).is_none() {
                    return Some((
                        layer,
                        format!(
                            "{} can’t be opened out from its {} as her left and her right come out. Let it end before the {1}, or correct both.",
                            capital(name),
                            own.edges[fold].name
                        ),
                    ));
                }
            }
        }
        None
    }

    pub(super) fn put_together(
        &self,
        fitted: &Refitted,
        corrections: &[Correction],
        groups: &[usize],
        undone: &[Option<Outcome>],
        shown: Shown,
    ) -> Refitted {
        let split: Vec<bool> = (0..self.layers.len())
            .map(|l| {
                self.both(&fitted.pieces, l)
                    .is_some_and(|[a, b]| !alike(a, b))
            })
            .collect();
        let names = Names {
            all: self,
            split: &split,
            pieces: &fitted.pieces,
        };
        let done = corrections
            .iter()
            .enumerate()
            .map(|(i, c)| {
                if let Some(outcome) = &undone[i] {
                    return left_out(c, outcome, shown);
                }
                let mut edges: Vec<(String, String)> = Vec::new();
                for (_, done) in groups.iter().zip(&fitted.done).filter(|(g, _)| **g == i) {
                    for (piece, edge) in &done.edges {
                        let named = names.edge(piece, edge);
                        if !edges.contains(&named) {
                            edges.push(named);
                        }
                    }
                }
                CorrectionDone {
                    correction: c.clone(),
                    edges,
                    outcome: Outcome::Made,
                    sentence: c.sentence(shown),
                }
            })
            .collect();
        let mut pieces = Vec::new();
        let mut others = Vec::new();
        let mut cut = Vec::new();
        for (layer, split) in split.iter().enumerate() {
            let at = self.taken.iter().position(|t| t.layer == layer);
            let first = at.map_or(&self.layers[layer].piece, |at| &fitted.pieces[at]);
            let drafted = |p: &Piece| Piece {
                name: self.layers[layer].piece.name.clone(),
                ..p.clone()
            };
            pieces.push(drafted(first));
            let Some([left, right]) = self.both(&fitted.pieces, layer).filter(|_| *split) else {
                others.push(None);
                cut.push(vec![(
                    drafted(first),
                    None,
                    names.models(layer, Side::Both),
                )]);
                continue;
            };
            others.push(Some(drafted(right)));
            cut.push(names.cut(layer, left, right));
        }
        Refitted {
            pieces,
            others,
            cut: Some(cut),
            seams: Some(names.seams()),
            done,
            trued: names.trued(&fitted.trued),
        }
    }
}
