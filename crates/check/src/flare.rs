//! F13 and F14: how the flare is shared between front and back, and between the sides of a seam.

use measure::{Angle, Length};
use piece::Role;

use crate::finding::{Amount, Finding, Weight};
use crate::hang::{Fall, Half, fall, half, off_plumb, the};
use crate::rules::{F13, F14};
use crate::seen::{Leg, Seen};

/// The front may flare so much more than the back, in millimetres: 1/4 in.
const FRONT_OVER_MM: f64 = 6.35;
/// Above this she is asked: 2 in.
const FRONT_ASK_MM: f64 = 50.8;
/// How far the slopes of the two sides of a seam may differ, in degrees.
const SWING: f64 = 5.0;
/// A grain arrow this near the plumb, in degrees, hangs plumb.
const PLUMB: f64 = 3.0;

/// F13 and F14.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out: Vec<Finding> = front_over_back(seen).into_iter().collect();
    out.extend(seen.seams.iter().filter_map(|seam| {
        match (seam.twin, seam.a.as_slice(), seam.b.as_slice()) {
            (false, [a], [b]) => swing(seen, &seam.name, *a, *b),
            _ => None,
        }
    }));
    out
}

/// The flare of one half of her, once across, and where it is most; none where it has no piece that
/// hangs, or one whose flare can't be seen.
fn flare_of(seen: &Seen<'_>, wanted: Half) -> Option<(f64, Leg, Fall)> {
    let mut sum = 0.0;
    let mut most: Option<(f64, Leg, Fall)> = None;
    for (p, part) in seen.parts.iter().enumerate() {
        if half(part) != Some(wanted) || !seen.hangs(part) {
            continue;
        }
        let level = seen.flares_from(part)?;
        for (e, edge) in part.edges.iter().enumerate() {
            if !matches!(edge.edge.role, Role::Seam | Role::Opening) {
                continue;
            }
            let Some(fall) = fall(part, e, level) else {
                continue;
            };
            sum += part.times / 2.0 * fall.flare();
            if most.is_none_or(|m| fall.flare() > m.0) {
                let leg = seen.whole(p, e);
                most = Some((fall.flare(), leg, fall));
            }
        }
    }
    most.map(|(_, leg, fall)| (sum, leg, fall))
}

fn front_over_back(seen: &Seen<'_>) -> Option<Finding> {
    let (front, leg, at) = flare_of(seen, Half::Front)?;
    let (back, _, _) = flare_of(seen, Half::Back)?;
    let over = front - back;
    if over <= FRONT_OVER_MM {
        return None;
    }
    let part = &seen.parts[leg.part];
    let weight = if over > FRONT_ASK_MM {
        Weight::Ask
    } else {
        Weight::Note
    };
    Some(
        Finding::of(
            &F13,
            weight,
            seen.named(&[leg]),
            format!(
                "Below {} each side of the front flares by {}, {} more than the back.",
                seen.flares_from_what(part),
                seen.tell(front),
                seen.tell(over)
            ),
        )
        .out_by(
            Amount::Length(Length::try_mm(over)?),
            Some(Amount::Length(Length::mm(FRONT_OVER_MM))),
        )
        .at(&part.piece.name, Some(part.edges[leg.edge].name()), at.foot),
    )
}

/// Whether the two sides of a seam slope out alike.
fn swing(seen: &Seen<'_>, name: &str, a: Leg, b: Leg) -> Option<Finding> {
    let falls = |leg: Leg| {
        let part = &seen.parts[leg.part];
        let plumb = off_plumb(part).is_some_and(|off| off <= PLUMB);
        (seen.hangs(part) && plumb)
            .then(|| fall(part, leg.edge, seen.flares_from(part)?))
            .flatten()
    };
    let (one, two) = (falls(a)?, falls(b)?);
    let (slope_a, slope_b) = (one.slope(), two.slope());
    let out = slope_a.in_degrees() - slope_b.in_degrees();
    if out.abs() <= SWING {
        return None;
    }
    let toward = if out > 0.0 { b } else { a };
    Some(
        Finding::of(
            &F14,
            Weight::Ask,
            format!("{} + {}", seen.named(&[a]), seen.named(&[b])),
            format!(
                "The {name} swings toward {}: below {} the {} slopes out by {:.1}°, the {} by {:.1}°.",
                the(&seen.parts[toward.part].piece.name),
                seen.flares_from_what(&seen.parts[a.part]),
                seen.spoken(&[a]),
                slope_a.in_degrees(),
                seen.spoken(&[b]),
                slope_b.in_degrees()
            ),
        )
        .out_by(
            Amount::Angle(Angle::degrees(out)),
            Some(Amount::Angle(Angle::degrees(SWING))),
        )
        .at(
            &seen.parts[a.part].piece.name,
            Some(seen.edge(a).name()),
            one.foot,
        )
        .at(
            &seen.parts[b.part].piece.name,
            Some(seen.edge(b).name()),
            two.foot,
        ),
    )
}

#[cfg(test)]
mod tests;
