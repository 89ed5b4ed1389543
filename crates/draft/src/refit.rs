//! Lays the corrections of a fitting over the finished pieces, and trues the seams again.
//!
//! ```text
//! pieces -> each correction in turn (and in the layers copied from its piece)
//!        -> seams measured: where two sides no longer agree as they did, the end of the side that was
//!           left alone is moved, and its neighbour is blended to it
//! ```
//! What can't be made is told and left; nothing is dropped.

use measure::fraction::{Shown, show};
use measure::{Angle, Length, Point};
use piece::works::{self, Shift};
use piece::{Piece, Role};

use crate::correction::{Correction, Layers, Trouble, same};
use crate::sided::spoken;
use crate::work::capital;
use crate::worked::{CorrectionDone, EdgeName, Half, Outcome, Retrued, SeamMade};

/// The pieces copied from it are corrected where their edge lies this near to that of the piece, in
/// millimetres: a lining's hem hangs an inch and a half above that of the shell.
const LAYER: f64 = 80.0;
/// An edge beside, which the piece itself has not got, follows when its distance is even to this, in
/// millimetres: the inner edge of a facing.
const EVEN: f64 = 3.0;
/// So many places tell how a layer's edge moves.
const PLACES: u32 = 48;
/// Seams are trued again to this, in millimetres.
const AGREES: f64 = 0.01;
/// What truing moves by less than this, in millimetres, is not told: 1/64 in.
const TOLD: f64 = 0.4;
/// Where truing leaves less than this share of a correction, it has taken it back.
const KEPT: f64 = 0.1;
/// Rounds of truing; each brings what is left down by a factor of ten or more.
const ROUNDS: usize = 10;
/// A moved end is blended into its neighbour over 3 in, or eight times the amount where that is more
/// (blend of 2 to 3 in: common practice, no source).
const BLEND: f64 = 76.2;
/// An edge that turns into its neighbour by less than this has no corner there to move.
const TURNS: f64 = 30.0;

/// A finished piece, and the pieces it was copied from.
#[derive(Clone, Debug)]
pub(crate) struct Layer {
    pub(crate) piece: Piece,
    /// Of those that are corrected with it; never the piece itself.
    pub(crate) copied_from: Vec<String>,
}

/// A piece as it is cut, which part of her it is for, and what it was copied from.
pub(crate) type CutSo = (Piece, Option<Half>, Vec<String>);

/// What came of it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Refitted {
    /// All of them, in the order in which they were given.
    pub(crate) pieces: Vec<Piece>,
    /// Her right of those whose left and right differ; then `pieces` has her left.
    pub(crate) others: Vec<Option<Piece>>,
    /// What is cut of each, with what it was copied from, where a correction was for one side alone.
    pub(crate) cut: Option<Vec<Vec<CutSo>>>,
    /// The seams of what is cut, where a correction was for one side alone.
    pub(crate) seams: Option<Vec<SeamMade>>,
    pub(crate) done: Vec<CorrectionDone>,
    pub(crate) trued: Vec<Retrued>,
}

/// Corrects the pieces, and trues the seams that no longer agree as they did.
pub(crate) fn refit(
    layers: &[Layer],
    seams: &[SeamMade],
    corrections: &[Correction],
    shown: Shown,
) -> Refitted {
    let before: Vec<Piece> = layers.iter().map(|l| l.piece.clone()).collect();
    // Why a correction is left out, for each.
    let mut undone: Vec<Option<String>> = vec![None; corrections.len()];
    loop {
        let mut fitting = Fitting {
            layers: layers.to_vec(),
            shown,
        };
        let done: Vec<CorrectionDone> = (0..corrections.len())
            .map(|i| fitting.correct(corrections, i, undone[i].as_ref()))
            .collect();
        let corrected = fitting.clone();
        let trued = if done.iter().any(|d| !d.edges.is_empty()) {
            fitting.true_again(&before, seams)
        } else {
            Vec::new()
        };
        // What truing took back is not told as made: all is laid on anew without it.
        let mut fresh = false;
        for (one, why) in done.iter().zip(&mut undone) {
            let Some(name) = one.edges.first() else {
                continue;
            };
            let moved = |now: &Fitting| now.moved_since(&before, name);
            if moved(&fitting) < KEPT * moved(&corrected) {
                *why = Some(taken_back(name, &trued));
                fresh = true;
            }
        }
        if !fresh {
            return Refitted {
                others: vec![None; layers.len()],
                pieces: fitting.layers.into_iter().map(|l| l.piece).collect(),
                cut: None,
                seams: None,
                done,
                trued,
            };
        }
    }
}

/// Why nothing is left of a correction after truing.
fn taken_back((piece, edge): &(String, String), trued: &[Retrued]) -> String {
    let here = |t: &&Retrued| {
        t.edge
            .as_ref()
            .is_some_and(|e| e.0 == *piece && e.1 == *edge)
    };
    let seam = trued.iter().find(here).map_or("the seams", |t| &t.seam);
    format!(
        "{} of {} had to go back to where it was so that {seam} agrees, and nothing would be left of this. Correct what it is sewn to.",
        capital(edge),
        spoken(piece)
    )
}

/// How long both sides of each seam are on these pieces, in millimetres, darts sewn; nothing for one
/// whose edges are not there.
pub(crate) fn lengths<'s>(
    layers: &[Layer],
    pieces: &[Piece],
    seams: impl Iterator<Item = &'s SeamMade>,
) -> Vec<Option<(f64, f64)>> {
    let now = Fitting {
        layers: with_pieces(layers, pieces),
        shown: Shown::inches(),
    };
    let sides = |seam: &SeamMade| {
        let a = now.side(&seam.a)?;
        let b = if seam.b.is_empty() {
            a
        } else {
            now.side(&seam.b)?
        };
        Some((a, b))
    };
    seams.map(sides).collect()
}

/// The same layers with these pieces, in their order.
fn with_pieces(layers: &[Layer], pieces: &[Piece]) -> Vec<Layer> {
    let each = layers.iter().zip(pieces).map(|(l, p)| Layer {
        piece: p.clone(),
        copied_from: l.copied_from.clone(),
    });
    each.collect()
}

/// The layer and the edge of this name.
pub(crate) fn find(layers: &[Layer], name: &EdgeName) -> Option<(usize, usize)> {
    let layer = layers.iter().position(|l| l.piece.name == name.piece)?;
    let edge = layers[layer].piece.edge_index(&name.edge).ok()?;
    Some((layer, edge))
}

#[derive(Clone, Debug)]
struct Fitting {
    layers: Vec<Layer>,
    shown: Shown,
}

/// One end of an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
struct End {
    layer: usize,
    edge: usize,
    at_start: bool,
}

impl Fitting {
    fn correct(
        &mut self,
        all: &[Correction],
        which: usize,
        undone: Option<&String>,
    ) -> CorrectionDone {
        let c = &all[which];
        let mut done = CorrectionDone {
            correction: c.clone(),
            edges: Vec::new(),
            outcome: Outcome::Made,
            sentence: c.sentence(self.shown),
        };
        if let Some(why) = undone {
            done.outcome = Outcome::Refused(why.clone());
            return done;
        }
        match self.corrected(all, c) {
            Ok(edges) => done.edges = edges,
            Err(Trouble::Lost(says)) => done.outcome = Outcome::Lost(says),
            Err(Trouble::Refused(says)) => done.outcome = Outcome::Refused(says),
        }
        done
    }

    fn corrected(
        &mut self,
        all: &[Correction],
        c: &Correction,
    ) -> Result<Vec<(String, String)>, Trouble> {
        let at = self
            .layers
            .iter()
            .position(|l| same(&l.piece.name, &c.piece))
            .ok_or_else(|| {
                Trouble::Lost(format!(
                    "There is no piece {} in this draft any more.",
                    c.piece
                ))
            })?;
        let piece = &self.layers[at].piece;
        let index = piece
            .edges
            .iter()
            .position(|e| same(&e.name, &c.edge))
            .ok_or_else(|| {
                Trouble::Lost(format!(
                    "There is no {} on {} any more.",
                    c.edge, piece.name
                ))
            })?;
        if piece.edges[index].role == Role::Fold {
            return Err(Trouble::Refused(format!(
                "{} of {} lies on the fold, which stays straight. Correct another edge.",
                capital(&c.edge),
                c.piece
            )));
        }
        let by = c.shift(piece, index, self.shown)?;
        let explicit = |layer: &str, edge: &str| {
            all.iter()
                .any(|o| same(&o.piece, layer) && same(&o.edge, edge))
        };
        let alone = c.layers == Layers::This;
        let old = piece.edges[index].curve.clone();
        let edges = self
            .moved(at, index, &by, |layer, edge| {
                !alone && !explicit(layer, edge)
            })
            .map_err(|fault| Trouble::Refused(fault.to_string()))?;
        // What moved nothing is never told as made.
        let lies = |e: &piece::Edge| same(&e.name, &c.edge) && e.curve == old;
        if by.most() > Length::ZERO && self.layers[at].piece.edges.iter().any(lies) {
            return Err(Trouble::Refused(format!(
                "{} of {} came out just as it was, so nothing is corrected there. Mark it on the cloth.",
                capital(&c.edge),
                c.piece
            )));
        }
        Ok(edges)
    }

    /// Moves an edge, and with it the same edge of the layers that may follow; gives all that moved.
    fn moved(
        &mut self,
        at: usize,
        index: usize,
        by: &Shift,
        follows: impl Fn(&str, &str) -> bool,
    ) -> Result<Vec<(String, String)>, piece::Fault> {
        let old = self.layers[at].piece.clone();
        let name = old.edges[index].name.clone();
        let new = works::shift(&old, &name, by)?;
        let mut edges = vec![(old.name.clone(), name.clone())];
        let mut followed: Vec<(usize, Piece)> = Vec::new();
        for (i, layer) in self.layers.iter().enumerate() {
            let copied = layer.copied_from.iter().any(|from| same(from, &old.name));
            if i == at || !copied {
                continue;
            }
            let mut copy = layer.piece.clone();
            for edge in &layer.piece.edges {
                if !follows(&copy.name, &edge.name) {
                    continue;
                }
                let Some(by) = layered(&old, index, edge, by) else {
                    continue;
                };
                copy = works::shift(&copy, &edge.name, &by).map_err(|fault| {
                    piece::Fault::Says(format!(
                        "{} could not follow: {fault}",
                        capital(&layer.piece.name)
                    ))
                })?;
                edges.push((copy.name.clone(), edge.name.clone()));
            }
            followed.push((i, copy));
        }
        self.layers[at].piece = new;
        for (i, copy) in followed {
            self.layers[i].piece = copy;
        }
        Ok(edges)
    }

    fn find(&self, name: &EdgeName) -> Option<(usize, usize)> {
        find(&self.layers, name)
    }

    /// The most by which an edge lies elsewhere than it did, in millimetres.
    fn moved_since(&self, before: &[Piece], (piece, edge): &(String, String)) -> f64 {
        let (mut most, places) = (0.0_f64, 16);
        for (layer, old) in self.layers.iter().zip(before) {
            if layer.piece.name != *piece {
                continue;
            }
            let (Ok(old), Ok(new)) = (old.edge(edge), layer.piece.edge(edge)) else {
                continue;
            };
            let (old, new) = (&old.curve, &new.curve);
            for i in 0..=places {
                let at = old.length() * (f64::from(i) / f64::from(places));
                most = most.max(new.nearest(old.at(at).point).distance.in_mm());
            }
            most = most.max((new.start() - old.start()).size());
            most = most.max((new.end() - old.end()).size());
        }
        most
    }

    /// How long a side of a seam is, darts sewn.
    fn side(&self, names: &[EdgeName]) -> Option<f64> {
        let mut all = 0.0;
        for name in names {
            let (layer, edge) = self.find(name)?;
            let piece = &self.layers[layer].piece;
            let Some((a, b)) = name.between else {
                all += piece.sewn_length(&name.edge).ok()?.in_mm();
                continue;
            };
            let curve = &piece.edges[edge].curve;
            let (a, b) = (curve.nearest(a).along, curve.nearest(b).along);
            let (low, high) = (a.min(b), a.max(b));
            let taken: Length = piece
                .darts
                .iter()
                .filter(|d| d.edge == name.edge)
                .map(|d| (d.mouth.1.min(high) - d.mouth.0.max(low)).max(Length::ZERO))
                .sum();
            all += (high - low - taken).in_mm();
        }
        Some(all)
    }

    fn difference(&self, seam: &SeamMade) -> Option<f64> {
        Some(self.side(&seam.a)? - self.side(&seam.b)?)
    }

    /// Moves ends of edges until every seam agrees as it did before.
    fn true_again(&mut self, before: &[Piece], seams: &[SeamMade]) -> Vec<Retrued> {
        let old = Fitting {
            layers: with_pieces(&self.layers, before),
            shown: self.shown,
        };
        let wanted: Vec<Option<f64>> = seams.iter().map(|s| old.difference(s)).collect();
        let out = |now: &Self, i: usize| -> Option<f64> {
            let seam = &seams[i];
            if seam.b.is_empty() {
                return None;
            }
            Some(now.difference(seam)? - wanted[i]?)
        };
        let corrected = self.clone();
        let first: Vec<Option<f64>> = (0..seams.len()).map(|i| out(&corrected, i)).collect();
        let mut trims: Vec<Trim> = Vec::new();
        let mut stuck = vec![false; seams.len()];
        // Ends that could not be moved.
        let mut barred: Vec<End> = Vec::new();
        for _ in 0..ROUNDS {
            let mut fresh = false;
            for i in 0..seams.len() {
                let Some(off) = out(self, i).filter(|off| off.abs() > AGREES) else {
                    continue;
                };
                if stuck[i] {
                    continue;
                }
                let known = trims.iter().position(|t| t.seam == i);
                let k = known.or_else(|| {
                    let trim = self.trim_for(&old, i, &seams[i], &barred)?;
                    trims.push(trim);
                    Some(trims.len() - 1)
                });
                let Some(k) = k else {
                    stuck[i] = true;
                    continue;
                };
                // The first side is too long: it is shortened, or else the second is lengthened.
                trims[k].by += if trims[k].of_first { -off } else { off } * trims[k].sine;
                fresh = true;
            }
            if !fresh {
                break;
            }
            // Laid on anew each time, so that the lines are moved once.
            *self = corrected.clone();
            let mut failed = None;
            for (k, trim) in trims.iter().enumerate() {
                if self.trimmed(trim).is_err() {
                    failed = Some(k);
                    break;
                }
            }
            if let Some(k) = failed {
                let trim = trims.remove(k);
                if trim.strip || barred.contains(&trim.end) {
                    stuck[trim.seam] = true;
                }
                barred.push(trim.end);
                *self = corrected.clone();
                for trim in &trims {
                    let _ = self.trimmed(trim);
                }
            }
        }
        let mut told = Vec::new();
        for (i, seam) in seams.iter().enumerate() {
            let (Some(was), Some(left)) = (first[i], out(self, i)) else {
                continue;
            };
            let trim = trims.iter().find(|t| t.seam == i);
            if trim.is_none() && was.abs() <= AGREES && left.abs() <= AGREES {
                continue;
            }
            told.push(self.retrued(seam, was, left, trim));
        }
        told
    }

    fn retrued(&self, seam: &SeamMade, was: f64, left: f64, trim: Option<&Trim>) -> Retrued {
        let length = |mm: f64| Length::try_mm(mm).unwrap_or_default();
        let met = left.abs() <= 10.0 * AGREES;
        let fine = |mm: f64| show(length(mm.abs()), self.shown.finely());
        let edge = trim.map(|t| {
            let piece = &self.layers[t.end.layer].piece;
            let index = if t.strip {
                t.end.edge
            } else {
                self.beside(t.end)
            };
            (piece.name.clone(), piece.edges[index].name.clone())
        });
        let by = trim.map_or(0.0, |t| t.by);
        let first = if was.abs() < TOLD {
            format!("{} followed the seams beside it", capital(&seam.name))
        } else {
            format!(
                "The two sides of the {} came out {} apart by the corrections",
                spoken(&seam.name),
                fine(was)
            )
        };
        let sentence = match (&edge, met) {
            (Some((piece, name)), true) if trim.is_some_and(|t| t.strip) => {
                let way = if by < 0.0 { "shorter" } else { "longer" };
                format!(
                    "{first}; the {name} of {} was made {} {way}, and they agree again.",
                    spoken(piece),
                    fine(by)
                )
            }
            (Some((piece, name)), true) => {
                let at = &self.layers[trim.map_or(0, |t| t.end.layer)].piece.edges
                    [trim.map_or(0, |t| t.end.edge)]
                .name;
                let way = if by < 0.0 { "in" } else { "out" };
                format!(
                    "{first}; the {name} of {} was moved {way} {} where it meets the {at}, and they agree again.",
                    spoken(piece),
                    fine(by)
                )
            }
            (_, true) => format!("{first}, and they agree again."),
            _ => format!("{first}, and {} are left.", fine(left)),
        };
        Retrued {
            seam: seam.name.clone(),
            edge,
            by: length(by),
            band: trim.is_some_and(|t| t.strip),
            out_before: length(was),
            out_after: length(left),
            met,
            told: by.abs() >= TOLD || (!met && left.abs() >= TOLD),
            sentence,
        }
    }

    /// Which end moves so that a seam agrees again: on the side that the corrections left alone, at the
    /// end where the other side changed.
    fn trim_for(&self, old: &Self, seam: usize, made: &SeamMade, barred: &[End]) -> Option<Trim> {
        let change = |names: &[EdgeName]| Some((self.side(names)? - old.side(names)?).abs());
        let mut of_first = change(&made.a)? < change(&made.b)? - AGREES;
        // A copy is fitted to its piece, for what is moved on the piece moves on the copy too.
        if self.copies(&made.a, &made.b) {
            of_first = true;
        } else if self.copies(&made.b, &made.a) {
            of_first = false;
        }
        let (moving, still) = if of_first {
            (&made.a, &made.b)
        } else {
            (&made.b, &made.a)
        };
        if let [only] = moving.as_slice()
            && only.between.is_none()
            && let Some((layer, edge)) = self.find(only)
            && self.layers[layer].copied_from.is_empty()
            && works::lengthen(&self.layers[layer].piece, &only.edge, Length::ZERO).is_ok()
        {
            return Some(Trim {
                seam,
                end: End {
                    layer,
                    edge,
                    at_start: false,
                },
                strip: true,
                of_first,
                sine: 1.0,
                by: 0.0,
            });
        }
        let centre = self.centre_of_change(old, still)?;
        let ends = old.free_ends(still);
        let far = |e: &End| (old.corner(*e) - centre).size();
        let near = ends
            .iter()
            .min_by(|a, b| far(a).total_cmp(&far(b)))
            .copied()?;
        // A change about the middle is taken up away from the hem.
        let hem = |e: &End| old.neighbour(*e).role == Role::Hem;
        let near = ends
            .iter()
            .find(|e| !hem(e) && hem(&near) && far(e) < far(&near) * 1.5)
            .copied()
            .unwrap_or(near);
        let name = &old.neighbour(near).name;
        let mut partners = old.free_ends(moving);
        // A copy is fitted where an edge is its own, so that what it shares with its piece still lies
        // on it. Then comes the end that meets the neighbour of the same name; then, as both pieces
        // lie right side up and one is walked back, the other end of the ring.
        let rank = |e: &End| {
            let other = old.neighbour(*e);
            if old.is_its_own(e.layer, &other.name) {
                0
            } else if other.name == *name {
                1
            } else if last_word(&other.name) == last_word(name) {
                2
            } else if e.at_start != near.at_start {
                3
            } else {
                4
            }
        };
        partners.sort_by_key(rank);
        let end = partners
            .into_iter()
            .find(|e| old.turns(*e) && !barred.contains(e))?;
        Some(Trim {
            seam,
            end,
            strip: false,
            of_first,
            sine: old.sine(end),
            by: 0.0,
        })
    }

    /// Whether a piece is a copy, and the piece it was copied from has no such edge.
    fn is_its_own(&self, layer: usize, edge: &str) -> bool {
        let from = &self.layers[layer].copied_from;
        let has = |l: &Layer| l.piece.edge(edge).is_ok();
        let mut sources = self
            .layers
            .iter()
            .filter(|l| from.iter().any(|f| same(f, &l.piece.name)))
            .peekable();
        sources.peek().is_some() && !sources.any(has)
    }

    /// Whether the pieces of one side were all copied from pieces of another.
    fn copies(&self, one: &[EdgeName], other: &[EdgeName]) -> bool {
        let copied = |name: &EdgeName| {
            self.find(name).is_some_and(|(layer, _)| {
                self.layers[layer]
                    .copied_from
                    .iter()
                    .any(|from| other.iter().any(|o| same(&o.piece, from)))
            })
        };
        !one.is_empty() && one.iter().all(copied)
    }

    /// Where the edges of a side changed, by the weight of how far each place moved.
    fn centre_of_change(&self, old: &Self, names: &[EdgeName]) -> Option<Point> {
        let (mut x, mut y, mut all) = (0.0, 0.0, 0.0);
        for name in names {
            let (layer, edge) = old.find(name)?;
            let was = &old.layers[layer].piece.edges[edge].curve;
            let (layer, edge) = self.find(name)?;
            let now = &self.layers[layer].piece.edges[edge].curve;
            let last = 16;
            for i in 0..=last {
                let share = f64::from(i) / f64::from(last);
                let p = was.at(was.length() * share).point;
                let moved = match i {
                    0 => (now.start() - p).size(),
                    16 => (now.end() - p).size(),
                    _ => now.nearest(p).distance.in_mm(),
                };
                x += p.x * moved;
                y += p.y * moved;
                all += moved;
            }
        }
        (all > 0.0).then(|| Point::new(x / all, y / all))
    }

    /// The ends of a side, where no other edge of the same side goes on.
    fn free_ends(&self, names: &[EdgeName]) -> Vec<End> {
        let found: Vec<(usize, usize)> = names.iter().filter_map(|n| self.find(n)).collect();
        let mut out = Vec::new();
        for &(layer, edge) in &found {
            for at_start in [true, false] {
                let end = End {
                    layer,
                    edge,
                    at_start,
                };
                if !found.contains(&(layer, self.beside(end))) {
                    out.push(end);
                }
            }
        }
        out
    }

    fn beside(&self, end: End) -> usize {
        let n = self.layers[end.layer].piece.edges.len();
        (end.edge + if end.at_start { n - 1 } else { 1 }) % n
    }

    fn neighbour(&self, end: End) -> &piece::Edge {
        &self.layers[end.layer].piece.edges[self.beside(end)]
    }

    fn corner(&self, end: End) -> Point {
        let curve = &self.layers[end.layer].piece.edges[end.edge].curve;
        if end.at_start {
            curve.start()
        } else {
            curve.end()
        }
    }

    fn turn(&self, end: End) -> Angle {
        let curve = &self.layers[end.layer].piece.edges[end.edge].curve;
        let other = &self.neighbour(end).curve;
        if end.at_start {
            other.end_direction().angle_to(curve.start_direction())
        } else {
            curve.end_direction().angle_to(other.start_direction())
        }
    }

    /// Whether the edge has a corner there that can be moved along it.
    fn turns(&self, end: End) -> bool {
        let turn = self.turn(end).abs();
        self.neighbour(end).role != Role::Fold
            && turn > Angle::degrees(TURNS)
            && turn < Angle::degrees(180.0 - TURNS)
    }

    /// How far the neighbour moves out for each millimetre by which the edge grows.
    fn sine(&self, end: End) -> f64 {
        measure::angle::sin(self.turn(end).abs().in_radians())
    }

    /// Moves the neighbour of an end out at that end, blended to nothing along it.
    fn trimmed(&mut self, trim: &Trim) -> Result<(), piece::Fault> {
        if trim.strip {
            let piece = &mut self.layers[trim.end.layer].piece;
            let edge = piece.edges[trim.end.edge].name.clone();
            let by =
                Length::try_mm(trim.by).ok_or_else(|| piece::Fault::Nothing("a length".into()))?;
            *piece = works::lengthen(piece, &edge, by)?;
            return Ok(());
        }
        let index = self.beside(trim.end);
        let long = self.layers[trim.end.layer].piece.edges[index]
            .curve
            .length();
        let by = Length::try_mm(trim.by).ok_or_else(|| piece::Fault::Nothing("a length".into()))?;
        let blend = Length::mm(BLEND.max(8.0 * trim.by.abs().min(1e4))).min(long);
        // The neighbour before an edge ends where the edge begins.
        let shift = if trim.end.at_start {
            Shift::new(&[(long - blend, Length::ZERO), (long, by)])
        } else {
            Shift::new(&[(Length::ZERO, by), (blend, Length::ZERO)])
        };
        self.moved(trim.end.layer, index, &shift, |_, _| true)
            .map(|_| ())
    }
}

/// `neckline` of `back neckline`.
fn last_word(name: &str) -> &str {
    name.split(' ').next_back().unwrap_or(name)
}

/// An end that truing moves.
#[derive(Clone, Debug)]
struct Trim {
    seam: usize,
    end: End,
    /// The edge itself grows within a strip.
    strip: bool,
    of_first: bool,
    sine: f64,
    by: f64,
}

/// How an edge of a layer moves when that of the piece it was copied from does; nothing when it is
/// another edge, or lies elsewhere.
fn layered(old: &Piece, index: usize, edge: &piece::Edge, by: &Shift) -> Option<Shift> {
    let from = &old.edges[index];
    let own = same(&edge.name, &from.name);
    if !own && (edge.role == Role::Fold || old.edges.iter().any(|e| same(&e.name, &edge.name))) {
        return None;
    }
    let whole = edge.curve.length();
    let mut knots = Vec::new();
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for i in 0..=PLACES {
        let at = whole * (f64::from(i) / f64::from(PLACES));
        let here = edge.curve.at(at);
        let near = from.curve.nearest(here.point);
        let there = from.curve.at(near.along);
        let far = near.distance.in_mm();
        least = least.min(far);
        most = most.max(far);
        let alike = if own {
            here.direction.dot(there.direction)
        } else {
            here.direction.dot(there.direction).abs()
        };
        if far > LAYER || alike < 0.7 {
            return None;
        }
        let amount = by.at(near.along);
        // The inner edge of a strip is walked the other way, and out is in.
        let out = here.direction.dot(there.direction) > 0.0;
        knots.push((at, if out { amount } else { -amount }));
    }
    if !own && most - least > EVEN {
        return None;
    }
    knots
        .iter()
        .any(|k| k.1.in_mm().abs() > 1e-3)
        .then(|| Shift::part(&knots))
}
