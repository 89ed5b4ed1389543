//! F24: every notch of a seam has one partner, with as many snips.

use measure::Length;

use crate::finding::{Amount, Finding, Weight};
use crate::rules::F24;
use crate::seams;
use crate::seen::{Leg, Seam, Seen};
use crate::walked::{self, Notch, PARTNERS, Walked};

/// Looks at the notches of all seams. An edge may be sewn in several seams (to a band, a facing, a
/// lining): its notches want a partner in one of them.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let seams: Vec<(&Seam, Walked)> = walked::shell_first(seen)
        .into_iter()
        .filter(|s| !s.twin)
        .map(|s| (s, walked::walk(seen, s)))
        .collect();
    let met = Met::of(seen, &seams);
    let mut out: Vec<Finding> = Vec::new();
    let mut told: Vec<(usize, usize, f64)> = Vec::new();
    for (seam, walked) in &seams {
        for (side, other, lone) in [
            (&seam.a, &seam.b, &walked.lone_a),
            (&seam.b, &seam.a, &walked.lone_b),
        ] {
            let mut lone: Vec<Notch> = lone.clone();
            lone.retain(|n| {
                let Some((leg, drawn)) = drawn(seen, side, n.0) else {
                    return false;
                };
                let again = told
                    .iter()
                    .any(|t| t.0 == leg.part && t.1 == leg.edge && (t.2 - drawn).abs() < SAME);
                if again || met.has(leg, drawn) {
                    return false;
                }
                told.push((leg.part, leg.edge, drawn));
                true
            });
            if !lone.is_empty() && !walked::is_told(seen, seam, &out, F24.id) {
                out.push(of_lone(seen, seam, side, other, &lone));
            }
        }
        let uneven: Vec<&(Notch, Notch)> =
            walked.pairs.iter().filter(|(x, y)| x.1 != y.1).collect();
        if let Some((x, y)) = uneven.first()
            && !walked::is_told(seen, seam, &out, F24.id)
        {
            let says = format!(
                "{}: {} has {} on {} and {} on {}.",
                walked::capital(&seam.name),
                walked::notch(seen, seam, x.0),
                snips(x.1),
                walked::said(seen, &seam.a),
                snips(y.1),
                walked::said(seen, &seam.b),
            );
            let mut finding = Finding::of(&F24, Weight::Ask, seams::seam_place(seen, seam), says)
                .cured_by("Give both the same number of snips.");
            for (a, b) in &uneven {
                finding = spot(seen, finding, &seam.a, a.0);
                finding = spot(seen, finding, &seam.b, b.0);
            }
            out.push(finding);
        }
    }
    out
}

/// Two places along an edge nearer than this are one, in millimetres.
const SAME: f64 = 0.1;

fn snips(count: u8) -> String {
    match count {
        1 => "one snip".into(),
        2 => "two snips".into(),
        3 => "three snips".into(),
        n => format!("{n} snips"),
    }
}

/// A place of a side, darts sewn, as its leg and the place along that edge, darts sewn.
fn drawn(seen: &Seen<'_>, side: &[Leg], at: f64) -> Option<(Leg, f64)> {
    let (leg, point) = seen.point(side, at)?;
    Some((leg, seen.edge(leg).line.nearest(point).0))
}

fn spot(seen: &Seen<'_>, finding: Finding, side: &[Leg], at: f64) -> Finding {
    match seen.point(side, at) {
        Some((leg, point)) => finding.at(
            &seen.parts[leg.part].piece.name,
            Some(seen.edge(leg).name()),
            point,
        ),
        None => finding,
    }
}

/// Notches that have a partner somewhere.
struct Met(Vec<(usize, usize, f64)>);

impl Met {
    fn of(seen: &Seen<'_>, seams: &[(&Seam, Walked)]) -> Self {
        let mut out = Vec::new();
        // Sewn to its twin, every notch meets itself.
        for seam in seen.seams.iter().filter(|s| s.twin) {
            for (at, _) in seen.notches(&seam.a) {
                if let Some((leg, at)) = drawn(seen, &seam.a, at) {
                    out.push((leg.part, leg.edge, at));
                }
            }
        }
        for (seam, walked) in seams {
            for (x, y) in &walked.pairs {
                for (side, at) in [(&seam.a, x.0), (&seam.b, y.0)] {
                    if let Some((leg, at)) = drawn(seen, side, at) {
                        out.push((leg.part, leg.edge, at));
                    }
                }
            }
        }
        Self(out)
    }

    fn has(&self, leg: Leg, at: f64) -> bool {
        self.0
            .iter()
            .any(|m| m.0 == leg.part && m.1 == leg.edge && (m.2 - at).abs() < SAME)
    }
}

fn of_lone(seen: &Seen<'_>, seam: &Seam, side: &[Leg], other: &[Leg], lone: &[Notch]) -> Finding {
    // Places are called as they lie on the side that has them.
    let here = Seam {
        a: side.to_vec(),
        b: other.to_vec(),
        ..seam.clone()
    };
    let places: Vec<String> = lone
        .iter()
        .map(|n| {
            let place = walked::notch(seen, &here, n.0);
            place
                .strip_prefix("the notch ")
                .unwrap_or(&place)
                .to_owned()
        })
        .collect();
    let (one, two) = (walked::said(seen, side), walked::said(seen, other));
    let says = match &places[..] {
        [place] => format!(
            "{}: the notch {place} on {one} has no partner on {two}.",
            walked::capital(&seam.name)
        ),
        many => format!(
            "{}: {} notches on {one} have no partner on {two}: {}.",
            walked::capital(&seam.name),
            many.len(),
            many.join(", ")
        ),
    };
    let finding = Finding::of(&F24, Weight::Ask, seen.named(side), says);
    let finding = Finding {
        tolerance: Length::try_mm(PARTNERS).map(Amount::Length),
        ..finding
    };
    lone.iter().fold(finding, |f, n| spot(seen, f, side, n.0))
}

#[cfg(test)]
mod tests;
