//! F25: a round edge sewn to a hollow one has a little ease, and none is pulled.

use measure::{Length, Vector};

use crate::finding::{Amount, Finding, Weight};
use crate::rules::F25;
use crate::seams;
use crate::seen::{Leg, Seam, Seen};
use crate::walked::{self, Walked};

/// A seam is of this kind when one side turns outward where the other turns inward, by so much in all:
/// degrees.
const TURN: f64 = 15.0;
/// How far apart the places are at which the turn is taken, in millimetres.
const EVERY: f64 = 10.0;
/// Ease lies within this of the fullest place, in millimetres: 3 in.
pub(crate) const NEAR_FULLEST: f64 = 76.2;
/// As much ease as a panel seam takes up undeclared, in millimetres: 1/4 in.
const EASE: f64 = 6.35;
/// The round edge may be shorter by so much, and ease that is declared may be out by so much, in
/// millimetres: 1/8 in.
const OUT: f64 = 3.175;

/// A round edge on a hollow one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Round {
    /// Whether the first side is the round one.
    pub(crate) first: bool,
    /// Where along the first side it is fullest, in millimetres.
    pub(crate) fullest: f64,
}

/// How much a side turns outward from place to place, in degrees.
fn turns(seen: &Seen<'_>, side: &[Leg], places: &[f64]) -> Vec<f64> {
    const H: f64 = 2.0;
    let whole = seen.length(side);
    let way = |at: f64| -> Option<(Vector, bool)> {
        let (from, to) = ((at - H).max(0.0), (at + H).min(whole));
        let (leg, p) = seen.point(side, from)?;
        let (other, q) = seen.point(side, to)?;
        // Over a join of two pieces there is no one direction.
        (leg.part == other.part).then_some(())?;
        Some(((q - p).unit()?, leg.backward))
    };
    places
        .windows(2)
        .map(|w| match (way(w[0]), way(w[1])) {
            (Some((u, back)), Some((v, _))) => {
                let turn = u.angle_to(v).in_degrees();
                // In its ring a right turn is outward; walked back it is seen from the other side.
                if back { -turn } else { turn }
            }
            _ => 0.0,
        })
        .collect()
}

/// Whether a seam joins a round edge to a hollow one, by the curvature of both lines.
pub(crate) fn judged(seen: &Seen<'_>, seam: &Seam, walked: &Walked) -> Option<Round> {
    let (mut on_a, mut on_b): (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
    for s in &walked.stretches {
        let long = (s.to.a - s.from.a).max(s.to.b - s.from.b);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a seam is a few metres at most"
        )]
        let steps = ((long / EVERY).ceil().clamp(1.0, 1000.0)) as u32;
        for i in 0..steps {
            let part = f64::from(i) / f64::from(steps);
            on_a.push(s.from.a + part * (s.to.a - s.from.a));
            on_b.push(s.from.b + part * (s.to.b - s.from.b));
        }
    }
    on_a.push(walked.a);
    on_b.push(walked.b);
    let (a, b) = (turns(seen, &seam.a, &on_a), turns(seen, &seam.b, &on_b));
    let against = |x: f64, y: f64| if x > 0.0 && y < 0.0 { x.min(-y) } else { 0.0 };
    let one: f64 = a.iter().zip(&b).map(|(x, y)| against(*x, *y)).sum();
    let two: f64 = a.iter().zip(&b).map(|(x, y)| against(*y, *x)).sum();
    let first = one >= two;
    if one.max(two) < TURN {
        return None;
    }
    let round = if first { &a } else { &b };
    let mut fullest = (0.0, 0.0);
    for i in 0..round.len() {
        // Over three places, so that one corner of the chords does not decide.
        let near = &round[i.saturating_sub(1)..(i + 2).min(round.len())];
        let turn: f64 = near.iter().sum();
        if turn > fullest.0 {
            fullest = (turn, f64::midpoint(on_a[i], on_a[i + 1]));
        }
    }
    Some(Round {
        first,
        fullest: fullest.1,
    })
}

/// Looks at every seam of a round edge with a hollow one.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out: Vec<Finding> = Vec::new();
    for seam in walked::shell_first(seen) {
        if seam.twin {
            continue;
        }
        let walked = walked::walk(seen, seam);
        let Some(round) = judged(seen, seam, &walked) else {
            continue;
        };
        let sign = if round.first { 1.0 } else { -1.0 };
        let (more, declared) = (sign * (walked.a - walked.b), sign * seam.ease);
        let (least, most) = (declared.min(0.0) - OUT, EASE.max(declared + OUT));
        let least = if declared > 0.0 {
            declared - OUT
        } else {
            least
        };
        let beyond = (more - most).max(least - more);
        if beyond <= 0.0 || walked::is_told(seen, seam, &out, F25.id) {
            continue;
        }
        let weight = if beyond > OUT {
            Weight::Stop
        } else {
            Weight::Ask
        };
        let (r, h) = if round.first {
            (&seam.a, &seam.b)
        } else {
            (&seam.b, &seam.a)
        };
        let (r, h) = (walked::said(seen, r), walked::said(seen, h));
        let ease = if declared > 0.0 {
            format!(", and {} of ease is meant", seen.tell(declared))
        } else {
            format!("; up to {} can be eased in", seen.tell(EASE))
        };
        let says = if more > most {
            format!(
                "{}: {r} is round and {} longer than {h}, which is hollow{ease}.",
                walked::capital(&seam.name),
                seen.tell_small(more)
            )
        } else if more < 0.0 {
            format!(
                "{}: {r} is round and {} shorter than {h}, which is hollow; it should be as long, or a little longer.",
                walked::capital(&seam.name),
                seen.tell_small(more)
            )
        } else {
            format!(
                "{}: {r} is round and only {} longer than {h}, which is hollow{ease}.",
                walked::capital(&seam.name),
                seen.tell_small(more)
            )
        };
        let length = |mm: f64| Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO));
        let mut finding = Finding::of(&F25, weight, seams::seam_place(seen, seam), says).out_by(
            length(more),
            Some(length(if more > most { most } else { OUT })),
        );
        let middle = walked.b * round.fullest / walked.a.max(1e-9);
        for (side, at) in [(&seam.a, round.fullest), (&seam.b, middle)] {
            if let Some((leg, point)) = seen.point(side, at) {
                finding = finding.at(
                    &seen.parts[leg.part].piece.name,
                    Some(seen.edge(leg).name()),
                    point,
                );
            }
        }
        out.push(finding);
    }
    out
}

#[cfg(test)]
mod tests;
