//! Corrections for one side of her alone: each half is taken for her left and for her right, both are
//! corrected and trued, and what came out alike on both is one pattern again.
//!
//! A half on the fold whose sides differ is opened out to one whole piece, a pair becomes two single
//! pieces. All of them lie as they are drawn with the right side of the cloth up; left and right are as
//! she wears it.

use measure::fraction::Shown;
use measure::{Curve, Length, Motion, Point, Vector};
use piece::{Balance, Cut, Dart, Edge, Grain, Mark, Piece, Role};

use crate::correction::{Correction, Side, same};
use crate::handed::{Hands, Kind, kind, other};
use crate::refit::{Layer, Refitted, difference, refit};
use crate::work::capital;
use crate::worked::{CorrectionDone, EdgeName, Half, Origin, Outcome, Retrued, SeamMade, Worked};

/// What stands after the name of a piece or an edge that is for her left alone.
const LEFT: &str = ", her left";
/// What stands after the name of one that is for her right alone.
const RIGHT: &str = ", her right";
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

/// A half, taken for one side of her; or a piece that is whole already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Taken {
    layer: usize,
    side: Side,
}

/// A seam of the halves, and of which seam of the draft it is.
struct Sewn {
    made: SeamMade,
    /// Its number in the draft; none for the two halves of a fold.
    of: Option<usize>,
    side: Side,
}

struct Doubled<'a> {
    layers: &'a [Layer],
    seams: &'a [SeamMade],
    hands: Hands<'a>,
    taken: Vec<Taken>,
    halves: Vec<Layer>,
    sewn: Vec<Sewn>,
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
        let sewn: Vec<SeamMade> = doubled.sewn.iter().map(|s| s.made.clone()).collect();
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

impl<'a> Doubled<'a> {
    fn of(layers: &'a [Layer], seams: &'a [SeamMade]) -> Self {
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

    fn layer_named(&self, name: &str) -> Option<usize> {
        self.layers.iter().position(|l| same(&l.piece.name, name))
    }

    fn is_half(&self, name: &str) -> bool {
        self.layer_named(name)
            .is_some_and(|l| self.hands.kind(l) != Kind::Single)
    }

    /// The name of a piece as taken for a side of her.
    fn name(&self, piece: &str, side: Side) -> String {
        if self.is_half(piece) {
            format!("{piece}{}", ending(side))
        } else {
            piece.to_owned()
        }
    }

    fn half(&self, taken: Taken) -> Layer {
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
    fn sew(&self) -> Vec<Sewn> {
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
    fn side_of_seam(&self, seam: &SeamMade) -> Option<Side> {
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
    fn meant(&self, c: &Correction) -> Result<Correction, Outcome> {
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
    fn each(&self, c: &Correction) -> Vec<Correction> {
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
    fn both<'p>(&self, pieces: &'p [Piece], layer: usize) -> Option<[&'p Piece; 2]> {
        let at = self.taken.iter().position(|t| t.layer == layer)?;
        (self.taken[at].side == Side::Left).then(|| [&pieces[at], &pieces[at + 1]])
    }

    /// A layer whose two sides cannot be cut as they came out, and why.
    fn at_odds(&self, pieces: &[Piece]) -> Option<(usize, String)> {
        for layer in 0..self.layers.len() {
            let Some([left, right]) = self.both(pieces, layer).filter(|[l, r]| !alike(l, r)) else {
                continue;
            };
            let name = &self.layers[layer].piece.name;
            if self.hands.side(layer).is_none() {
                return Some((
                    layer,
                    format!(
                        "It changes {name} too, and the draft does not tell whether that is drawn for her left or for her right. Correct both, or this layer alone."
                    ),
                ));
            }
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
            }
        }
        None
    }

    fn put_together(
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

/// What things are called when they are cut.
struct Names<'a> {
    all: &'a Doubled<'a>,
    split: &'a [bool],
    pieces: &'a [Piece],
}

impl Names<'_> {
    /// Where and whether a side of a layer is turned over in being cut.
    fn motion(&self, layer: usize, side: Side) -> Option<Motion> {
        let drawn = self.all.hands.side(layer)?;
        if !self.split[layer] || side == drawn || side == Side::Both {
            return None;
        }
        if let Kind::Fold(fold) = self.all.hands.kind(layer) {
            let [left, right] = self.all.both(self.pieces, layer)?;
            let own = if drawn == Side::Left { left } else { right };
            let line = &own.edges[fold].curve;
            return Some(Motion::reflect(
                line.start(),
                (line.end() - line.start()).unit()?,
            ));
        }
        // Beside the half as it is drawn, and clear of all that is drawn on its sheet.
        beside(self.all.layers.iter().map(|l| &l.piece))
    }

    /// The piece and the edge that are cut, of an edge of a half.
    fn edge(&self, piece: &str, edge: &str) -> (String, String) {
        let (name, side) = bare(piece);
        let layer = self.all.layer_named(name).filter(|l| self.split[*l]);
        match layer.map(|l| self.all.hands.kind(l)) {
            Some(Kind::Fold(_)) => (name.to_owned(), format!("{edge}{}", ending(side))),
            Some(Kind::Pair) => (piece.to_owned(), edge.to_owned()),
            _ => (name.to_owned(), edge.to_owned()),
        }
    }

    fn edges(&self, names: &[EdgeName]) -> Vec<EdgeName> {
        names
            .iter()
            .map(|n| {
                let (name, side) = bare(&n.piece);
                let motion = self
                    .all
                    .layer_named(name)
                    .and_then(|layer| self.motion(layer, side));
                let (piece, edge) = self.edge(&n.piece, &n.edge);
                EdgeName {
                    piece,
                    edge,
                    between: n.between.map(|(a, b)| match motion {
                        Some(m) => (m.point(a), m.point(b)),
                        None => (a, b),
                    }),
                }
            })
            .collect()
    }

    /// Whether the two sides of a seam of halves differ in any of its pieces.
    fn differs(&self, seam: &SeamMade) -> bool {
        seam.a.iter().chain(&seam.b).any(|n| {
            let layer = self.all.layer_named(bare(&n.piece).0);
            layer.is_some_and(|l| self.split[l])
        })
    }

    /// What a layer was copied from, for a side of her.
    fn models(&self, layer: usize, side: Side) -> Vec<String> {
        let mut out = Vec::new();
        for from in &self.all.layers[layer].copied_from {
            let pair = self
                .all
                .layer_named(from)
                .is_some_and(|l| self.split[l] && self.all.hands.kind(l) == Kind::Pair);
            match (pair, side) {
                (false, _) => out.push(from.clone()),
                (true, Side::Both) => {
                    out.extend([Side::Left, Side::Right].map(|s| format!("{from}{}", ending(s))));
                }
                (true, side) => out.push(format!("{from}{}", ending(side))),
            }
        }
        out
    }

    fn seams(&self) -> Vec<SeamMade> {
        let length = |mm: f64| Length::try_mm(mm).unwrap_or_default();
        let mut out = Vec::new();
        for sewn in &self.all.sewn {
            let Some(of) = sewn.of else { continue };
            let old = &self.all.seams[of];
            let differs = self.differs(&sewn.made);
            if !differs && sewn.side == Side::Right {
                continue;
            }
            let mut a = self.edges(&sewn.made.a);
            let mut b = self.edges(&sewn.made.b);
            if old.b.is_empty() && !differs {
                (a, b) = (old.a.clone(), Vec::new());
            }
            let Some((one, two)) = difference(&self.all.halves, self.pieces, &sewn.made) else {
                continue;
            };
            a.dedup();
            b.dedup();
            out.push(SeamMade {
                name: if differs {
                    sewn.made.name.clone()
                } else {
                    old.name.clone()
                },
                a,
                b,
                a_length: length(one),
                b_length: length(two),
                ease: sewn.made.ease,
                difference: length(one - two) - sewn.made.ease,
                before: sewn.made.before,
            });
        }
        out
    }

    fn trued(&self, all: &[Retrued]) -> Vec<Retrued> {
        let mut out = Vec::new();
        for one in all {
            let sewn = self.all.sewn.iter().find(|s| s.made.name == one.seam);
            let differs = sewn.is_none_or(|s| self.differs(&s.made));
            let (name, side) = bare(&one.seam);
            if !differs && side == Side::Right {
                continue;
            }
            out.push(Retrued {
                seam: if differs {
                    one.seam.clone()
                } else {
                    name.to_owned()
                },
                edge: one.edge.as_ref().map(|(p, e)| self.edge(p, e)),
                sentence: if differs {
                    one.sentence.clone()
                } else {
                    told(&one.sentence, true)
                },
                ..one.clone()
            });
        }
        out
    }

    /// The pieces of a layer whose sides differ.
    fn cut(
        &self,
        layer: usize,
        left: &Piece,
        right: &Piece,
    ) -> Vec<(Piece, Option<Half>, Vec<String>)> {
        let drawn = self.all.hands.side(layer).unwrap_or(Side::Left);
        let of = self.all.layers[layer].piece.name.clone();
        let mut out = Vec::new();
        if let Kind::Fold(fold) = self.all.hands.kind(layer) {
            let (own, twin) = if drawn == Side::Left {
                (left, right)
            } else {
                (right, left)
            };
            if let Some(whole) = opened(&of, own, twin, fold, drawn) {
                let half = Half {
                    of: of.clone(),
                    side: Side::Both,
                    turned: false,
                };
                out.push((whole, Some(half), self.models(layer, Side::Both)));
            }
        } else {
            for (side, half) in [(Side::Left, left), (Side::Right, right)] {
                let motion = self.motion(layer, side);
                let mut piece = motion.map_or_else(|| half.clone(), |m| half.moved(&m));
                piece.name = format!("{of}{}", ending(side));
                piece.label = piece.label.map(|l| format!("{l}{}", ending(side)));
                for cut in &mut piece.cuts {
                    *cut = Cut {
                        count: cut.count.div_ceil(2),
                        pair: false,
                        ..cut.clone()
                    };
                }
                let made = Half {
                    of: of.clone(),
                    side,
                    turned: motion.is_some(),
                };
                out.push((piece, Some(made), self.models(layer, side)));
            }
        }
        // Where one pattern serves shell and lining, the lining is worn with its right side in.
        let mut inside = Vec::new();
        for (piece, half, models) in &mut out {
            let lined = |c: &Cut| c.cloth == "lining";
            if !piece.cuts.iter().any(lined) || piece.cuts.iter().all(lined) {
                continue;
            }
            let low = piece
                .edges
                .iter()
                .map(|e| e.curve.bounds().0.x)
                .fold(f64::INFINITY, f64::min);
            let mut turned = piece.moved(&Motion::reflect(Point::new(low, 0.0), Vector::DOWN));
            turned.name = format!("{}, lining", piece.name);
            turned.label = turned.label.map(|l| format!("{l}, lining"));
            turned.cuts.retain(lined);
            piece.cuts.retain(|c| !lined(c));
            let mut half = half.clone();
            if let Some(half) = &mut half {
                half.turned = !half.turned;
            }
            let mut models = models.clone();
            models.insert(0, piece.name.clone());
            inside.push((turned, half, models));
        }
        out.extend(inside);
        out
    }
}

/// Turned over about an upright line left of all pieces of the draft.
fn beside<'p>(pieces: impl Iterator<Item = &'p Piece>) -> Option<Motion> {
    let low = pieces
        .flat_map(|p| &p.edges)
        .map(|e| e.curve.bounds().0.x)
        .fold(f64::INFINITY, f64::min);
    low.is_finite()
        .then(|| Motion::reflect(Point::new(low, 0.0), Vector::DOWN))
}

/// Whether a piece, or each of its edges, is for one side of her alone.
pub fn is_sided(piece: &Piece) -> bool {
    bare(&piece.name).1 != Side::Both || piece.edges.iter().any(|e| bare(&e.name).1 != Side::Both)
}

/// On which side of her an edge lies, by the names of the draft: both for an edge of a half, which she
/// wears left and right; nothing for one of a whole piece of which it can't be told.
pub fn side_of(worked: &Worked, piece: &str, edge: &str) -> Option<Side> {
    let from = |name: &str| {
        let mut all = worked.pieces.iter().zip(&worked.origins);
        all.find(|(p, o)| o.half.as_ref().map_or(&p.name, |h| &h.of) == name)
            .map(|(_, o)| o.copied_from.iter().map(|f| bare(f).0.to_owned()))
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
            .filter(|(p, h)| h.of == piece.name && !p.name.ends_with(", lining"))
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

/// Whether a line is straight, within what a fold may be.
fn straight(line: &Curve) -> bool {
    (line.end() - line.start()).size() > 1.0
        && (line.length().in_mm() - (line.end() - line.start()).size()).abs() < 0.05
}

/// Whether two pieces are one pattern.
fn alike(one: &Piece, two: &Piece) -> bool {
    let near = |a: Point, b: Point| (a - b).size() <= ALIKE;
    let lies = |a: &Edge, b: &Edge| {
        let (long, other) = (a.curve.length(), b.curve.length());
        (long - other).in_mm().abs() <= 2.0 * ALIKE
            && (0..=16).all(|i| {
                let share = f64::from(i) / 16.0;
                near(
                    a.curve.at(long * share).point,
                    b.curve.at(other * share).point,
                )
            })
    };
    let taken = |a: &Dart, b: &Dart| {
        near(a.tip, b.tip)
            && (a.mouth.0 - b.mouth.0).in_mm().abs() <= 2.0 * ALIKE
            && (a.mouth.1 - b.mouth.1).in_mm().abs() <= 2.0 * ALIKE
    };
    one.edges.len() == two.edges.len()
        && one.darts.len() == two.darts.len()
        && one.edges.iter().zip(&two.edges).all(|(a, b)| lies(a, b))
        && one.darts.iter().zip(&two.darts).all(|(a, b)| taken(a, b))
}

/// The two halves of a piece on the fold, opened out flat: one as it is drawn, for the side `drawn`, the
/// other turned over the fold.
fn opened(name: &str, own: &Piece, twin: &Piece, fold: usize, drawn: Side) -> Option<Piece> {
    let line = &own.edges[fold].curve;
    let (s, e) = (line.start(), line.end());
    let way = (e - s).unit()?;
    let over = Motion::reflect(s, way);
    let twin = twin.moved(&over);
    let fold_name = &own.edges[fold].name;
    let twin_fold = twin.edge_index(fold_name).ok()?;
    // The edges of a half from the one end of its fold to the other.
    let chain = |p: &Piece, fold: usize, side: Side, from: Point, to: Point| -> Option<Vec<Edge>> {
        let n = p.edges.len();
        let mut edges: Vec<Edge> = (1..n).map(|i| p.edges[(fold + i) % n].clone()).collect();
        let last = edges.len().checked_sub(1)?;
        let ends = |c: &Curve, start: Point, end: Point| c.with_ends(start, end).ok();
        edges[0].curve = ends(&edges[0].curve, from, edges[0].curve.end())?;
        edges[last].curve = ends(&edges[last].curve, edges[last].curve.start(), to)?;
        for edge in &mut edges {
            edge.name = format!("{}{}", edge.name, ending(side));
        }
        Some(edges)
    };
    let side = other(drawn);
    let mut edges = chain(own, fold, drawn, e, s)?;
    edges.extend(chain(&twin, twin_fold, side, s, e)?);

    let off = |p: Point| way.cross(p - s).abs();
    let on_fold = |p: Point| off(p) <= 0.01;
    let mut darts: Vec<Dart> = Vec::new();
    let mut marks: Vec<Mark> = Vec::new();
    for (piece, side) in [(own, drawn), (&twin, side)] {
        let named = |name: &str| format!("{name}{}", ending(side));
        darts.extend(piece.darts.iter().map(|d| Dart {
            name: named(&d.name),
            edge: named(&d.edge),
            ..d.clone()
        }));
        for mark in &piece.marks {
            if !on_fold(mark.point) {
                marks.push(Mark {
                    name: named(&mark.name),
                    ..mark.clone()
                });
            } else if !marks.iter().any(|m| m.name == mark.name) {
                marks.push(mark.clone());
            }
        }
    }
    // A level that reaches the fold goes right across.
    let mut balance: Vec<Balance> = Vec::new();
    for (one, two) in own.balance.iter().zip(&twin.balance) {
        let out = |b: &Balance| match (on_fold(b.from), on_fold(b.to)) {
            (true, false) => Some(b.to),
            (false, true) => Some(b.from),
            _ => None,
        };
        match (out(one), out(two)) {
            (Some(to), Some(from)) => balance.push(Balance {
                name: one.name.clone(),
                from,
                to,
            }),
            _ => balance.extend([one.clone(), two.clone()]),
        }
    }
    balance.push(Balance {
        name: fold_name.clone(),
        from: s,
        to: e,
    });
    // The grain lies on the old fold.
    let grain = own.grain.map(|g| {
        let along = g.to - g.from;
        if along.unit().is_none_or(|u| u.cross(way).abs() > 0.01) {
            return g;
        }
        let foot = |p: Point| s + way * (p - s).dot(way);
        Grain {
            from: foot(g.from),
            to: foot(g.to),
        }
    });
    let cuts = own.cuts.iter().map(|c| Cut {
        on_fold: false,
        pair: false,
        ..c.clone()
    });
    Some(Piece {
        name: name.to_owned(),
        edges,
        darts,
        marks,
        balance,
        grain,
        cuts: cuts.collect(),
        label: own.label.clone(),
    })
}
