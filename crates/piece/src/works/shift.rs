//! Moving an edge by amounts that change along it: what was pinned at a fitting.

use measure::{Angle, Curve, Length, Point, Vector, angle};

use super::follow::{Follow, Told, carried_on, ended};
use super::part::ring;
use super::stretch::Stretch;
use super::{SAME, finished, sane_curve, sane_length};
use crate::edge::Role;
use crate::fault::Fault;
use crate::ring::{Balance, Mark, Piece};

/// A neighbour is carried on by at most this many times the amount to meet the new line.
const REACH: f64 = 6.0;
/// Where an edge turns into its neighbour by less than this, in degrees, the two are one line to the
/// eye, and the neighbour fades the amount out instead of getting a step.
const RUNS_ON: f64 = 30.0;
/// What runs on fades over this, in millimetres: 3 in, the blend of the trade (common practice, no
/// source), or four times the amount where that is more.
const FADE: f64 = 76.2;

/// How far an edge is moved at places along it, positive to the outside.
///
/// Between two places it goes over smoothly and never beyond either of them; before the first and
/// after the last it stays as it is there.
#[derive(Clone, Debug, PartialEq)]
pub struct Shift {
    // How far along, how much, how fast it changes there; in order.
    knots: Vec<(f64, f64, f64)>,
}

impl Shift {
    /// So much at each of these places, given in any order; level at the first and the last.
    pub fn new(places: &[(Length, Length)]) -> Self {
        Self::through(places, true)
    }

    /// The same without being level at its ends: a stretch of a longer change.
    pub fn part(places: &[(Length, Length)]) -> Self {
        Self::through(places, false)
    }

    fn through(places: &[(Length, Length)], level: bool) -> Self {
        let mut at: Vec<(f64, f64)> = places
            .iter()
            .map(|(s, by)| (s.in_mm(), by.in_mm()))
            .collect();
        at.sort_by(|a, b| a.0.total_cmp(&b.0));
        at.dedup_by(|a, b| (a.0 - b.0).abs() < SAME);
        let rise = |i: usize| (at[i + 1].1 - at[i].1) / (at[i + 1].0 - at[i].0);
        let last = at.len().saturating_sub(1);
        let knots = (0..at.len())
            .map(|i| {
                let slope = if last == 0 {
                    0.0
                } else if i == 0 || i == last {
                    if level { 0.0 } else { rise(i.min(last - 1)) }
                } else {
                    // The harmonic mean of both sides never overshoots (Fritsch and Butland, SIAM J.
                    // Sci. Stat. Comput. 5, 1984; from memory).
                    let (a, b) = (rise(i - 1), rise(i));
                    if a * b <= 0.0 {
                        0.0
                    } else {
                        2.0 * a * b / (a + b)
                    }
                };
                (at[i].0, at[i].1, slope)
            })
            .collect();
        Self { knots }
    }

    /// Nothing at an end of an edge that is so long, but turned there by a slope, out positive, which is
    /// blended to nothing over `fade`.
    fn turning(length: f64, at_start: bool, slope: f64, fade: f64) -> Self {
        let knots = if at_start {
            vec![(0.0, 0.0, slope), (fade, 0.0, 0.0)]
        } else {
            vec![(length - fade, 0.0, 0.0), (length, 0.0, slope)]
        };
        Self { knots }
    }

    /// How much at a place.
    pub fn at(&self, along: Length) -> Length {
        let s = along.in_mm();
        let (Some(first), Some(last)) = (self.knots.first(), self.knots.last()) else {
            return Length::ZERO;
        };
        if s <= first.0 {
            return Length::mm(first.1);
        }
        if s >= last.0 {
            return Length::mm(last.1);
        }
        let i = self.knots.partition_point(|k| k.0 <= s).max(1) - 1;
        let (a, b) = (self.knots[i], self.knots[i + 1]);
        let wide = b.0 - a.0;
        let u = (s - a.0) / wide;
        let (u2, u3) = (u * u, u * u * u);
        let by = a.1 * (2.0 * u3 - 3.0 * u2 + 1.0)
            + a.2 * wide * (u3 - 2.0 * u2 + u)
            + b.1 * (3.0 * u2 - 2.0 * u3)
            + b.2 * wide * (u3 - u2);
        Length::mm(by)
    }

    /// The most it moves anything, without its sign.
    pub fn most(&self) -> Length {
        Length::mm(self.knots.iter().map(|k| k.1.abs()).fold(0.0, f64::max))
    }

    /// The same for the edge walked the other way, which is so long.
    #[must_use]
    pub fn reversed(&self, length: Length) -> Self {
        let whole = length.in_mm();
        let knots = self.knots.iter().rev();
        Self {
            knots: knots.map(|k| (whole - k.0, k.1, -k.2)).collect(),
        }
    }

    /// From where to where along an edge of this length it moves anything.
    fn reach(&self, whole: f64) -> Option<(f64, f64)> {
        let moves = |k: &(f64, f64, f64)| k.1.abs() > SAME || k.2 != 0.0;
        let first = self.knots.iter().position(moves)?;
        let last = self.knots.iter().rposition(moves)?;
        let from = if first == 0 {
            0.0
        } else {
            self.knots[first - 1].0
        };
        let to = self.knots.get(last + 1).map_or(whole, |k| k.0);
        let (from, to) = (from.max(0.0), to.min(whole));
        (to - from > SAME).then_some((from, to))
    }
}

/// Moves an edge by amounts that change along it, square to itself: what was pinned in or let out.
///
/// Where an amount reaches the end of the edge its corner moves: the neighbour is carried on in its
/// own direction or cut back to the new line; one that runs on in the same line fades the amount out
/// over 3 in. Notches, named points and levels go straight across to the new line; darts keep their
/// point and their angle; the grain stays. Where the amount is nothing the line stays exactly as it
/// was. The new line is right to 0.05 mm.
///
/// # Errors
/// When there is no such edge, when nothing is left, when a dart would be cut into, or when the new
/// outline would cross itself.
pub fn shift(piece: &Piece, edge: &str, by: &Shift) -> Result<Piece, Fault> {
    let index = piece.edge_index(edge)?;
    let most = sane_length(by.most())?.in_mm();
    let n = piece.edges.len();
    if n < 2 {
        return Err(Fault::Says(format!(
            "`{edge}` goes all round the piece; there is no neighbour to follow it."
        )));
    }
    let old = piece.edges[index].curve.clone();
    sane_curve(&old)?;
    let whole = old.length().in_mm();
    let Some((from, to)) = by.reach(whole) else {
        return Ok(piece.clone());
    };
    let gone = || Fault::Nothing(format!("the edge `{edge}`"));
    let side = beside(&old, by, from, to).ok_or_else(gone)?;
    let reach = REACH * most + 1.0;
    let ends = [
        by.at(Length::ZERO).in_mm().abs() > SAME,
        by.at(old.length()).in_mm().abs() > SAME,
    ];

    let mut all: Vec<Stretch> = (0..n).map(|i| Stretch::whole(piece, i)).collect();
    let mut followers: Vec<Follow> = Vec::new();
    let mut line = side;
    let beside_of = |at_start: bool| {
        if at_start {
            (index + n - 1) % n
        } else {
            (index + 1) % n
        }
    };
    let runs_on = |at_start: bool| {
        let other = &piece.edges[beside_of(at_start)].curve;
        let turn = if at_start {
            other.end_direction().angle_to(old.start_direction())
        } else {
            old.end_direction().angle_to(other.start_direction())
        };
        turn.abs() < Angle::degrees(RUNS_ON) && n > 2
    };

    // A neighbour in the same line takes the amount over and fades it out.
    for at_start in [true, false] {
        if !ends[usize::from(!at_start)] || !runs_on(at_start) {
            continue;
        }
        let i = beside_of(at_start);
        let other = piece.edges[i].curve.clone();
        let amount = by.at(if at_start { Length::ZERO } else { old.length() });
        let long = other.length();
        let fade = Length::mm(FADE.max(4.0 * amount.in_mm().abs())).min(long);
        let fading = if at_start {
            Shift::new(&[(long - fade, Length::ZERO), (long, amount)])
        } else {
            Shift::new(&[(Length::ZERO, amount), (fade, Length::ZERO)])
        };
        let lost = || Fault::Nothing(format!("the edge `{}`", piece.edges[i].name));
        let (a, b) = fading.reach(long.in_mm()).ok_or_else(lost)?;
        let new = beside(&other, &fading, a, b).ok_or_else(lost)?;
        let new = if at_start {
            new.with_ends(new.start(), line.start())
        } else {
            new.with_ends(line.end(), new.end())
        }
        .map_err(|_| lost())?;
        let told = Follow {
            old: other,
            new,
            told: Told::By(fading),
            reach,
        };
        told.edge(&mut all[i])?;
        followers.push(told);
    }

    // Any other neighbour is met where the two lines cross.
    let meets = [ends[0] && !runs_on(true), ends[1] && !runs_on(false)];
    let straight = |p: Point, v: Vector| Curve::line(p, p + v * reach).ok();
    let head = if meets[0] {
        straight(line.start(), -line.start_direction()).map(|c| c.reversed())
    } else {
        None
    };
    let tail = if meets[1] {
        straight(line.end(), line.end_direction())
    } else {
        None
    };
    let first = head.as_ref().map_or(0.0, |c| c.length().in_mm());
    let last = first + line.length().in_mm();
    let parts: Vec<&Curve> = head.iter().chain([&line]).chain(tail.iter()).collect();
    let long = Curve::joined(parts).map_err(|_| gone())?;
    let (mut begin, mut end) = (first, last);
    for at_start in [true, false] {
        if !meets[usize::from(!at_start)] {
            continue;
        }
        let i = beside_of(at_start);
        let s = &all[i];
        // The neighbour before the edge ends where the new line begins.
        let (corner, plain, beside) = if at_start {
            (s.edge.curve.end(), first, line.start())
        } else {
            (s.edge.curve.start(), last, line.end())
        };
        let on = carried_on(s, at_start, reach)?;
        let met = on
            .crossings(&long)
            .into_iter()
            .filter(|x| (x.point - corner).size() <= reach)
            .min_by(|a, b| {
                let far = |p: Point| (p - beside).size();
                far(a.point).total_cmp(&far(b.point))
            });
        let (new, there) = match met {
            Some(x) => (
                ended(s, at_start, reach, x.first.in_mm(), x.point)?,
                x.second.in_mm(),
            ),
            None if at_start => (s.clone().ended_at(beside)?, plain),
            None => (s.clone().begun_at(beside)?, plain),
        };
        all[i] = new;
        if at_start {
            begin = there;
        } else {
            end = there;
        }
    }
    if end - begin < SAME {
        return Err(gone());
    }
    if meets[0] || meets[1] {
        line = long
            .sub(Length::mm(begin), Length::mm(end))
            .map_err(|_| gone())?;
    }
    let told = Follow {
        old: old.clone(),
        new: line,
        told: Told::By(by.clone()),
        reach,
    };
    told.edge(&mut all[index])?;
    followers.push(told);

    // Where a curved edge was cut back or carried on, the corner is turned back to what it was.
    for at_start in [true, false] {
        if !meets[usize::from(!at_start)] {
            continue;
        }
        let i = beside_of(at_start);
        let other = &piece.edges[i];
        let corner = |edge: &Curve, other: &Curve| {
            if at_start {
                other.end_direction().angle_to(edge.start_direction())
            } else {
                edge.end_direction().angle_to(other.start_direction())
            }
        };
        let off = corner(&all[index].edge.curve, &all[i].edge.curve) - corner(&old, &other.curve);
        if off.abs() < Angle::degrees(0.05) || off.abs() > Angle::degrees(45.0) {
            continue;
        }
        // What runs across is blended, as a waist or a hem is; never a fold.
        let level = |c: &Curve| {
            let chord = c.end() - c.start();
            chord.x.abs() / chord.size().max(SAME)
        };
        let own = other.role == Role::Fold || level(&old) > level(&other.curve);
        if own && piece.edges[index].role == Role::Fold {
            continue;
        }
        let bent = if own { index } else { i };
        let curve = all[bent].edge.curve.clone();
        let long = curve.length().in_mm();
        // The edge ends there, or the neighbour that comes before it does.
        let begins = own == at_start;
        let tan = angle::sin(off.in_radians()) / angle::cos(off.in_radians());
        // Turning the second of two lines by `off` at their corner turns the first back by as much.
        let slope = if begins { tan } else { -tan };
        let fade = FADE.min(long);
        let by = Shift::turning(long, begins, slope, fade);
        let Some(new) = by.reach(long).and_then(|(a, b)| beside(&curve, &by, a, b)) else {
            continue;
        };
        let told = Follow {
            old: curve,
            new,
            told: Told::By(by),
            reach,
        };
        told.edge(&mut all[bent])?;
        followers.push(told);
    }
    let (edges, darts) = ring(piece, all)?;
    let mut marked: (Vec<Mark>, Vec<Balance>) = (piece.marks.clone(), piece.balance.clone());
    for told in &followers {
        let so_far = Piece {
            marks: marked.0,
            balance: marked.1,
            ..piece.clone()
        };
        marked = told.marked(&so_far);
    }
    let new = Piece {
        edges,
        darts,
        marks: marked.0,
        balance: marked.1,
        ..piece.clone()
    };
    finished(&[piece], new)
}

/// The line beside an edge; outside `from` to `to` it is the old one.
fn beside(old: &Curve, by: &Shift, from: f64, to: f64) -> Option<Curve> {
    let whole = old.length();
    let (a, b) = (Length::mm(from), Length::mm(to));
    let before = (from > SAME)
        .then(|| old.sub(Length::ZERO, a).ok())
        .flatten();
    let after = (whole.in_mm() - to > SAME)
        .then(|| old.sub(b, whole).ok())
        .flatten();
    let moved = old.sub(a, b).ok()?.offset_by(&|s| by.at(a + s)).ok()?;
    let start = before.as_ref().map_or_else(
        || {
            if by.at(a).in_mm().abs() > SAME {
                moved.start()
            } else {
                old.start()
            }
        },
        Curve::end,
    );
    let end = after.as_ref().map_or_else(
        || {
            if by.at(b).in_mm().abs() > SAME {
                moved.end()
            } else {
                old.end()
            }
        },
        Curve::start,
    );
    let moved = moved.with_ends(start, end).ok()?;
    let parts: Vec<&Curve> = before.iter().chain([&moved]).chain(after.iter()).collect();
    Curve::joined(parts).ok()
}

#[cfg(test)]
mod tests;
