//! The cutting line: the stitching line and its allowances, corner by corner.

use measure::{Curve, Length, Point, Segment, Vector, outermost};

use crate::corner::{self, At, Joint};
use crate::edge::{Corner, Edge, Role};
use crate::fault::Fault;
use crate::flat;
use crate::ring::Piece;
use crate::strip::{self, Owned, Strip};

/// The closed line along which a piece is cut, clockwise on the paper.
///
/// Every point of it that belongs to an edge lies at that edge's allowance from the stitching line
/// (dart caps included), within 0.05 mm; corners, steps and bridges belong to none.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingLine {
    /// The line; it ends where it begins.
    pub curve: Curve,
    // Whose allowance each segment of the curve bounds.
    owners: Vec<Option<usize>>,
    // How many edges the piece has.
    edges: usize,
}

/// A stretch of a cutting line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Zone {
    /// Where it begins along the cutting line.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// The number of the edge whose allowance it bounds; corners have none.
    pub edge: Option<usize>,
}

impl CuttingLine {
    /// The stretches in order: true to an edge's allowance, or a corner.
    pub fn zones(&self) -> Vec<Zone> {
        let mut out: Vec<Zone> = Vec::new();
        let mut along = Length::ZERO;
        for (edge, length) in self.owners.iter().zip(self.curve.segment_lengths()) {
            let to = along + length;
            match out.last_mut() {
                Some(last) if last.edge == *edge => last.to = to,
                _ => out.push(Zone {
                    from: along,
                    to,
                    edge: *edge,
                }),
            }
            along = to;
        }
        out
    }

    /// From where to where along the cutting line an edge's allowance reaches; steps and corners
    /// inside the edge lie between. `None` when nothing of it is left.
    pub fn span(&self, edge: usize) -> Option<(Length, Length)> {
        let mut span: Option<(Length, Length)> = None;
        for zone in self.zones() {
            if zone.edge == Some(edge) {
                span = Some((span.map_or(zone.from, |s| s.0), zone.to));
            }
        }
        span
    }

    /// Whose allowance each segment of the curve bounds.
    pub fn owners(&self) -> &[Option<usize>] {
        &self.owners
    }

    /// How many edges the piece has.
    pub const fn edges(&self) -> usize {
        self.edges
    }
}

/// A notch, ready to be snipped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NotchPlace {
    /// The number of the edge that it lies on.
    pub edge: usize,
    /// Its place on the stitching line.
    pub on_stitching: Point,
    /// Its place on the cutting line, straight out from there; the same where nothing is allowed.
    pub on_cutting: Point,
    /// The unit direction of the snip: from the cutting line in towards the stitching line.
    pub direction: Vector,
    /// One, two or three snips.
    pub snips: u8,
}

/// The cutting line of a piece, right to 0.05 mm.
///
/// Each edge is set off outward by its allowance, which may step or ramp along it; where edges meet
/// the corner styles of both are followed. Edges on the fold have no allowance, and the cutting lines
/// of their neighbours end on the fold line. Where an allowance is wider than a hollow edge is round,
/// its loops are cut off; where two strips overlap, the outer line of both is cut.
///
/// # Errors
/// When nothing is left of it.
pub fn cutting_line(piece: &Piece) -> Result<CuttingLine, Fault> {
    let nothing = || Fault::Nothing(format!("the cutting line of `{}`", piece.name));
    let n = piece.edges.len();
    // An edge that a corner style or the fold may cut into.
    let cut_into = |i: usize| {
        let edge = |k: usize| &piece.edges[k % n];
        let plain = |a: &Edge, b: &Edge| {
            a.end_corner == Corner::Extended
                && b.start_corner == Corner::Extended
                && a.role != Role::Fold
                && b.role != Role::Fold
        };
        !plain(edge(i + n - 1), edge(i)) || !plain(edge(i), edge(i + 1))
    };
    let strips: Vec<Strip> = (0..n)
        .map(|i| {
            strip::strip(piece, i, cut_into(i))
                .ok_or_else(|| Fault::Nothing(format!("the edge `{}`", piece.edges[i].name)))
        })
        .collect::<Result<_, _>>()?;
    let joints: Vec<Joint> = (0..n)
        .map(|i| {
            let next = (i + 1) % n;
            let styles = (piece.edges[i].end_corner, piece.edges[next].start_corner);
            corner::join(&strips[i], &strips[next], styles)
        })
        .collect();
    let mut ring: Vec<Owned> = Vec::new();
    for i in 0..n {
        let (before, after) = (&joints[(i + n - 1) % n], &joints[i]);
        let run = &strips[i].run;
        let begin = before.second.unwrap_or((0, 0.0));
        let end = after.first.unwrap_or((run.len() - 1, 1.0));
        cut_run(run, begin, end, &mut ring);
        for s in &after.between {
            strip::append(&mut ring, (*s, None));
        }
    }
    close(&mut ring).ok_or_else(nothing)?;
    let mut owned = ring;
    // Cut where they cross, stretches of curves may meet again by a hair; twice is enough.
    for _ in 0..3 {
        let segments: Vec<Segment> = owned.iter().map(|s| s.0).collect();
        let kept = outermost(&segments).ok_or_else(nothing)?;
        let done = kept.len() == owned.len();
        let mut next: Vec<Owned> = Vec::with_capacity(kept.len());
        for (segment, source) in kept {
            strip::append(&mut next, (segment, owned[source].1));
        }
        close(&mut next).ok_or_else(nothing)?;
        owned = next;
        if done {
            break;
        }
    }
    begin_at_first_edge(&mut owned);
    let owners = owned.iter().map(|s| s.1).collect();
    let curve =
        Curve::from_segments(owned.into_iter().map(|s| s.0).collect()).map_err(|_| nothing())?;
    let line = CuttingLine {
        curve,
        owners,
        edges: n,
    };
    if line.owners.len() == line.curve.segments().len() {
        Ok(line)
    } else {
        Err(nothing())
    }
}

/// Lays the end of a ring on its beginning, by a straight stretch if they are apart.
fn close(ring: &mut Vec<Owned>) -> Option<()> {
    let (start, end) = (ring.first()?.0.from(), ring.last()?.0.to());
    if (start - end).size() > measure::offset::SNAP {
        ring.push((
            Segment::Line {
                from: end,
                to: start,
            },
            None,
        ));
    } else if start != end {
        let last = ring.last_mut()?;
        last.0 = last.0.to_point(start);
    }
    Some(())
}

/// The part of a strip between two places. Where the two ends have overtaken each other the part
/// runs backward and belongs to no edge: what it encloses is cut off afterwards.
fn cut_run(run: &[Owned], begin: At, end: At, out: &mut Vec<Owned>) {
    let backward = begin.0 > end.0 || (begin.0 == end.0 && begin.1 > end.1);
    let ((i, t), (j, u)) = if backward { (end, begin) } else { (begin, end) };
    let mut part: Vec<Owned> = Vec::with_capacity(j - i + 1);
    for (k, (segment, owner)) in run.iter().enumerate().take(j + 1).skip(i) {
        let a = if k == i { t } else { 0.0 };
        let b = if k == j { u } else { 1.0 };
        if a <= 0.0 && b >= 1.0 {
            part.push((*segment, *owner));
        } else if b > a {
            part.push((segment.part(a, b), *owner));
        }
    }
    if backward {
        for (segment, _) in part.iter().rev() {
            strip::append(out, (segment.reversed(), None));
        }
    } else {
        for owned in part {
            strip::append(out, owned);
        }
    }
}

/// Turns a ring so that it begins where the allowance of its first edge begins.
fn begin_at_first_edge(ring: &mut [Owned]) {
    let Some(first) = ring.iter().filter_map(|s| s.1).min() else {
        return;
    };
    let n = ring.len();
    let begins = |k: usize| ring[k].1 == Some(first);
    // After the longest stretch of the ring that is not this edge's.
    let mut best: Option<(usize, usize)> = None;
    for k in 0..n {
        if begins(k) {
            let away = (1..n).take_while(|b| !begins((k + n - b) % n)).count();
            if best.is_none_or(|b| away > b.0) {
                best = Some((away, k));
            }
        }
    }
    if let Some((_, k)) = best {
        ring.rotate_left(k);
    }
}

/// Where each notch of a piece lies on its stitching line and on its cutting line, edge by edge.
///
/// # Errors
/// When the piece has no cutting line.
pub fn notch_places(piece: &Piece) -> Result<Vec<NotchPlace>, Fault> {
    Ok(notch_places_on(piece, &cutting_line(piece)?))
}

/// The same for a cutting line already made.
pub fn notch_places_on(piece: &Piece, cutting: &CuttingLine) -> Vec<NotchPlace> {
    let mut out = Vec::new();
    for (index, edge) in piece.edges.iter().enumerate() {
        for notch in &edge.notches {
            let place = edge.curve.at(notch.at);
            let outward = place.direction.left();
            out.push(NotchPlace {
                edge: index,
                on_stitching: place.point,
                on_cutting: straight_out(cutting, index, place.point, outward),
                direction: -outward,
                snips: notch.snips,
            });
        }
    }
    out
}

/// Where the way straight out meets the cutting line: on the edge's own allowance if it does so
/// there, else the first place at all.
fn straight_out(cutting: &CuttingLine, edge: usize, from: Point, outward: Vector) -> Point {
    let mut best: Option<(bool, f64, Point)> = None;
    for (segment, owner) in cutting.curve.segments().iter().zip(&cutting.owners) {
        for t in segment.crossings_straight(from, outward) {
            let p = segment.point(t);
            let away = (p - from).dot(outward);
            let foreign = *owner != Some(edge);
            if away > -1e-3 && best.is_none_or(|b| (foreign, away) < (b.0, b.1)) {
                best = Some((foreign, away, p));
            }
        }
    }
    best.map_or(from, |b| b.2)
}

/// That the cutting line crosses itself nowhere, goes all round the stitching line, stays on its side
/// of the fold, and that every edge with an allowance keeps some of it.
///
/// # Errors
/// In a sentence that names what is wrong.
pub fn check(piece: &Piece, cutting: &CuttingLine) -> Result<(), Fault> {
    if !cutting.curve.self_crossings_closed().is_empty() {
        return Err(Fault::Says(format!(
            "The cutting line of `{}` crosses itself.",
            piece.name
        )));
    }
    for (i, edge) in piece.edges.iter().enumerate() {
        if edge.allowance.widest() > Length::ZERO && cutting.span(i).is_none() {
            return Err(Fault::Says(format!(
                "The allowance of `{}` is swallowed by its neighbours'; make theirs narrower.",
                edge.name
            )));
        }
    }
    let ring = flat::cutting(cutting).points;
    if let Some(fold) = piece.fold() {
        let (on, out) = (fold.curve.start(), fold.curve.start_direction().left());
        if ring.iter().any(|p| (*p - on).dot(out) > 0.05) {
            return Err(Fault::Says(format!(
                "The cutting line of `{}` runs over the fold `{}`.",
                piece.name, fold.name
            )));
        }
    }
    let stitching = flat::stitching(piece)?;
    for (i, (from, to)) in stitching.edges.iter().enumerate() {
        if stitching.points[*from..=*to]
            .iter()
            .any(|p| !flat::holds(&ring, *p, 0.02))
        {
            return Err(Fault::Says(format!(
                "The cutting line does not go round the edge `{}`.",
                piece.edges[i].name
            )));
        }
    }
    Ok(())
}

#[cfg(test)]
mod random;
#[cfg(test)]
mod tests;
