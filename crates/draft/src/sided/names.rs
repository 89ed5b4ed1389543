//! What the pieces, edges and seams are called once left and right are cut apart, and how each is cut.

use measure::{Length, Motion, Point, Vector};
use piece::{Cut, Piece};

use super::doubled::Doubled;
use super::flat::opened;
use super::{LINING, bare, ending, told};
use crate::correction::Side;
use crate::handed::Kind;
use crate::refit::lengths;
use crate::worked::{EdgeName, Half, Retrued, SeamMade};

/// What things are called when they are cut.
pub(super) struct Names<'a> {
    pub(super) all: &'a Doubled<'a>,
    pub(super) split: &'a [bool],
    pub(super) pieces: &'a [Piece],
}

impl Names<'_> {
    /// Where and whether a side of a layer is turned over in being cut.
    pub(super) fn motion(&self, layer: usize, side: Side) -> Option<Motion> {
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
    pub(super) fn edge(&self, piece: &str, edge: &str) -> (String, String) {
        let (name, side) = bare(piece);
        let layer = self.all.layer_named(name).filter(|l| self.split[*l]);
        match layer.map(|l| self.all.hands.kind(l)) {
            Some(Kind::Fold(_)) => (name.to_owned(), format!("{edge}{}", ending(side))),
            Some(Kind::Pair) => (piece.to_owned(), edge.to_owned()),
            _ => (name.to_owned(), edge.to_owned()),
        }
    }

    pub(super) fn edges(&self, names: &[EdgeName]) -> Vec<EdgeName> {
        names
            .iter()
            .map(|n| {
                let (name, side) = bare(&n.piece);
                let motion = || {
                    let layer = self.all.layer_named(name)?;
                    self.motion(layer, side)
                };
                let (piece, edge) = self.edge(&n.piece, &n.edge);
                EdgeName {
                    piece,
                    edge,
                    between: n.between.map(|(a, b)| match motion() {
                        Some(m) => (m.point(a), m.point(b)),
                        None => (a, b),
                    }),
                }
            })
            .collect()
    }

    /// Whether the two sides of a seam of halves differ in any of its pieces.
    pub(super) fn differs(&self, seam: &SeamMade) -> bool {
        seam.a.iter().chain(&seam.b).any(|n| {
            let layer = self.all.layer_named(bare(&n.piece).0);
            layer.is_some_and(|l| self.split[l])
        })
    }

    /// What a layer was copied from, for a side of her.
    pub(super) fn models(&self, layer: usize, side: Side) -> Vec<String> {
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

    pub(super) fn seams(&self) -> Vec<SeamMade> {
        let length = |mm: f64| Length::try_mm(mm).unwrap_or_default();
        let made = self.all.sewn.iter().map(|s| &s.made);
        let sides = lengths(&self.all.halves, self.pieces, made);
        let mut out = Vec::new();
        for (sewn, sides) in self.all.sewn.iter().zip(sides) {
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
            let Some((one, two)) = sides else {
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

    pub(super) fn trued(&self, all: &[Retrued]) -> Vec<Retrued> {
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
    pub(super) fn cut(
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
            turned.name = lining(&piece.name);
            turned.label = turned.label.map(|l| lining(&l));
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

/// What the lining of a pattern is called: her side is said last, as everywhere.
fn lining(name: &str) -> String {
    let (rest, side) = bare(name);
    format!("{rest}{LINING}{}", ending(side))
}

/// Turned over about an upright line left of all pieces of the draft.
pub(super) fn beside<'p>(pieces: impl Iterator<Item = &'p Piece>) -> Option<Motion> {
    let low = pieces
        .flat_map(|p| &p.edges)
        .map(|e| e.curve.bounds().0.x)
        .fold(f64::INFINITY, f64::min);
    low.is_finite()
        .then(|| Motion::reflect(Point::new(low, 0.0), Vector::DOWN))
}
