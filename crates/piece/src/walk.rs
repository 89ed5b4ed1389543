//! Walking one seam line along its partner, from notch to notch.

use measure::Length;

use crate::fault::Fault;
use crate::ring::Piece;

/// Notches nearer than this to a dart's leg, or to the end of a seam, in millimetres, mark the leg or
/// the end and have no partner of their own.
const AT: f64 = 0.01;

/// One edge of a chain that is walked.
#[derive(Clone, Copy, Debug)]
pub struct Leg<'a> {
    /// Its piece.
    pub piece: &'a Piece,
    /// Its name there.
    pub edge: &'a str,
    /// Walked from its end to its beginning.
    pub backward: bool,
}

/// What stands at one end of a stretch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// The beginning of the seam.
    Start,
    /// A pair of notches, counted from 0.
    Notch(usize),
    /// The end of the seam.
    End,
}

/// The seam between two stops that follow each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Where it begins.
    pub from_notch: Stop,
    /// Where it ends.
    pub to_notch: Stop,
    /// How long it is on the first side.
    pub a: Length,
    /// How long it is on the second side.
    pub b: Length,
    /// How much the first is longer than the second and this stretch's share of the ease.
    pub difference: Length,
}

/// A notch without a partner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orphan {
    /// On the first side, or else on the second.
    pub on_first: bool,
    /// How far along that side, darts closed.
    pub at: Length,
}

/// Two sides of a seam laid on each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Walk {
    /// The first side, darts closed.
    pub a: Length,
    /// The second side, darts closed.
    pub b: Length,
    /// How much longer the first is meant to be.
    pub ease: Length,
    /// How much longer it is than the second and the ease.
    pub difference: Length,
    /// From stop to stop.
    pub segments: Vec<Segment>,
    /// Notches that have no partner.
    pub orphans: Vec<Orphan>,
}

/// Walks the second chain of edges along the first.
///
/// Each edge is walked in the direction of its ring; with `turned` the whole second chain is walked
/// from its end (as two sides of one seam are, when both pieces lie right side up). Mouths of darts
/// are left out. Notches are paired in order; when one side has more of them, those that lie nearest
/// to their partners are paired and the others are orphans. The ease is spread evenly over the seam.
///
/// # Errors
/// When an edge is missing, or a side has no edge or no length.
pub fn walk(
    first: &[(&Piece, &str)],
    second: &[(&Piece, &str)],
    turned: bool,
    ease: Length,
) -> Result<Walk, Fault> {
    let legs = |chain: &[(&Piece, &str)]| -> Result<Side, Fault> {
        let legs: Vec<Leg<'_>> = chain
            .iter()
            .map(|(piece, edge)| Leg {
                piece,
                edge,
                backward: false,
            })
            .collect();
        side(&legs)
    };
    let (one, mut two) = (legs(first)?, legs(second)?);
    if turned {
        two.turn();
    }
    Ok(laid(&one, &two, ease))
}

/// The same where each edge of both chains says which way it is walked.
///
/// # Errors
/// When an edge is missing, or a side has no edge or no length.
pub fn walk_legs(first: &[Leg<'_>], second: &[Leg<'_>], ease: Length) -> Result<Walk, Fault> {
    Ok(laid(&side(first)?, &side(second)?, ease))
}

/// Whether the second chain should be walked from its end: the way in which the notches lie nearer
/// to their partners. Without notches to tell, `true`: two pieces that lie right side up.
///
/// # Errors
/// When an edge is missing, or a side has no edge or no length.
pub fn is_turned(first: &[(&Piece, &str)], second: &[(&Piece, &str)]) -> Result<bool, Fault> {
    let off = |turned: bool| -> Result<f64, Fault> {
        let w = walk(first, second, turned, Length::ZERO)?;
        Ok(w.segments.iter().map(|s| s.difference.in_mm().abs()).sum())
    };
    Ok(off(true)? <= off(false)? + AT)
}

/// One side, darts closed: its length and its notches.
struct Side {
    length: Length,
    notches: Vec<Length>,
}

impl Side {
    fn turn(&mut self) {
        for n in &mut self.notches {
            *n = self.length - *n;
        }
        self.notches.reverse();
    }
}

fn side(legs: &[Leg<'_>]) -> Result<Side, Fault> {
    let mut whole = Side {
        length: Length::ZERO,
        notches: Vec::new(),
    };
    for leg in legs {
        let mut next = sewn(leg.piece, leg.edge)?;
        if leg.backward {
            next.turn();
        }
        let before = whole.length;
        whole
            .notches
            .extend(next.notches.iter().map(|n| *n + before));
        whole.length += next.length;
    }
    if whole.length <= Length::ZERO {
        return Err(Fault::Nothing("a side of the seam".to_owned()));
    }
    let end = whole.length;
    // A notch on an end marks the end.
    whole
        .notches
        .retain(|n| n.in_mm() > AT && (end - *n).in_mm() > AT);
    whole.notches.dedup_by(|a, b| (*a - *b).in_mm().abs() < AT);
    Ok(whole)
}

/// An edge with its darts closed.
fn sewn(piece: &Piece, name: &str) -> Result<Side, Fault> {
    let edge = piece.edge(name)?;
    let whole = edge.curve.length();
    let mut mouths: Vec<(Length, Length)> = piece
        .darts
        .iter()
        .filter(|d| d.edge == name)
        .map(|d| d.mouth)
        .collect();
    mouths.sort_by(|a, b| a.0.in_mm().total_cmp(&b.0.in_mm()));
    let closed = |at: Length| {
        let taken: Length = mouths
            .iter()
            .filter(|m| at > m.0)
            .map(|m| at.min(m.1) - m.0)
            .sum();
        at - taken
    };
    let at_leg = |at: Length| {
        mouths
            .iter()
            .any(|m| (at - m.0).in_mm() > -AT && (at - m.1).in_mm() < AT)
    };
    let mut notches: Vec<Length> = edge
        .notches
        .iter()
        .filter(|n| !at_leg(n.at))
        .map(|n| closed(n.at))
        .collect();
    notches.sort_by(|a, b| a.in_mm().total_cmp(&b.in_mm()));
    Ok(Side {
        length: closed(whole),
        notches,
    })
}

fn laid(one: &Side, two: &Side, ease: Length) -> Walk {
    let pairs = paired(&one.notches, &two.notches);
    let mut stops = vec![(Stop::Start, Length::ZERO, Length::ZERO)];
    for (k, (i, j)) in pairs.iter().enumerate() {
        stops.push((Stop::Notch(k), one.notches[*i], two.notches[*j]));
    }
    stops.push((Stop::End, one.length, two.length));
    let segments = stops
        .windows(2)
        .map(|w| {
            let (a, b) = (w[1].1 - w[0].1, w[1].2 - w[0].2);
            let share = ease * (a / one.length);
            Segment {
                from_notch: w[0].0,
                to_notch: w[1].0,
                a,
                b,
                difference: a - b - share,
            }
        })
        .collect();
    let mut orphans = Vec::new();
    for (i, at) in one.notches.iter().enumerate() {
        if !pairs.iter().any(|p| p.0 == i) {
            orphans.push(Orphan {
                on_first: true,
                at: *at,
            });
        }
    }
    for (j, at) in two.notches.iter().enumerate() {
        if !pairs.iter().any(|p| p.1 == j) {
            orphans.push(Orphan {
                on_first: false,
                at: *at,
            });
        }
    }
    Walk {
        a: one.length,
        b: two.length,
        ease,
        difference: one.length - two.length - ease,
        segments,
        orphans,
    }
}

/// Pairs notches in order so that the fewer all have a partner and the distances between partners are
/// least in sum.
fn paired(one: &[Length], two: &[Length]) -> Vec<(usize, usize)> {
    if one.len() > two.len() {
        return paired(two, one).into_iter().map(|(i, j)| (j, i)).collect();
    }
    let (n, m) = (one.len(), two.len());
    // cost[i][j]: the first i of the fewer paired within the first j of the more.
    let mut cost = vec![vec![f64::INFINITY; m + 1]; n + 1];
    cost[0].fill(0.0);
    for i in 1..=n {
        for j in i..=m {
            let with = cost[i - 1][j - 1] + (one[i - 1] - two[j - 1]).in_mm().abs();
            cost[i][j] = with.min(cost[i][j - 1]);
        }
    }
    let mut pairs = Vec::with_capacity(n);
    let (mut i, mut j) = (n, m);
    while i > 0 && j > 0 {
        if cost[i][j] < cost[i][j - 1] {
            pairs.push((i - 1, j - 1));
            i -= 1;
        }
        j -= 1;
    }
    pairs.reverse();
    pairs
}

#[cfg(test)]
mod tests;
