//! Getting in: how far the opening must reach for her hip to pass, or her shoulders.

use crate::finding::{Finding, Weight};
use crate::her::Her;
use crate::round::{Opening, Round};
use crate::rules;
use crate::seen::Seen;
use crate::walking::length;

const INCH: f64 = 25.4;
/// Levels are looked at this far apart, in millimetres.
const APART: f64 = 2.0;
/// What a tape can't tell, in millimetres: 1/16 in.
const HAIR: f64 = INCH / 16.0;

/// The narrowest closed level between two, and how far below the waist it lies.
fn narrowest(round: &Round<'_, '_>, stretch: f64, from: f64, to: f64) -> Option<(f64, f64)> {
    let mut least: Option<(f64, f64)> = None;
    let mut at = from;
    loop {
        if let Some(girth) = round.girth_at(at) {
            let girth = girth * (1.0 + stretch);
            if least.is_none_or(|(l, _)| girth < l) {
                least = Some((girth, at));
            }
        }
        if at >= to {
            return least;
        }
        at = (at + APART).min(to);
    }
}

/// F23: she can't get into it.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    look(seen).into_iter().collect()
}

fn look(seen: &Seen<'_>) -> Option<Finding> {
    let (round, her) = (Round::of(seen), Her::of(seen));
    let (hip, level) = (her.hip()?, her.hip_level()?);
    let stretch = her.stretch();
    let from_top: Vec<&Opening> = round.openings().iter().filter(|o| o.from_top).collect();
    if from_top.iter().any(|o| o.to_hem) {
        return None;
    }
    // Of the two edges of one opening the first is told.
    let lowest = from_top.iter().copied().reduce(|best, next| {
        if next.foot > best.foot + HAIR {
            next
        } else {
            best
        }
    });
    let foot = lowest.map_or(0.0, |o| o.foot.max(0.0));
    if foot >= level {
        return None;
    }
    let at_hip = round.girth_near(level)? * (1.0 + stretch);
    // Above the lowest place of the top a level crosses only a part of the pieces; the top itself is
    // measured along its edges.
    let whole = foot.max(round.top_dips().unwrap_or(0.0)).min(level);
    let (mut least, mut at) = narrowest(&round, stretch, whole, level)?;
    if lowest.is_none()
        && let Some(waist) = round.waist().map(|w| w * (1.0 + stretch))
        && waist <= least
    {
        (least, at) = (waist, 0.0);
    }
    // That the hip itself is drawn too small is another fault.
    let wanted = hip.min(at_hip);
    let short = wanted - least;
    if short <= HAIR {
        return None;
    }
    // Over the head: every closed level must pass her bust and her shoulders, and those below the hip
    // her hip as well.
    let shoulders = ["shoulder girth", "round the shoulders", "shoulders"]
        .iter()
        .find_map(|n| her.taken(n));
    let end = round.closed_foot()? - 0.01;
    let above = narrowest(&round, stretch, whole, level.min(end));
    let below = narrowest(&round, stretch, level.min(end), end);
    let over_head = her.taken("bust").is_some_and(|bust| {
        let past = bust.max(shoulders.unwrap_or(0.0));
        above.is_none_or(|(above, _)| above.min(least) + HAIR >= past)
            && below.is_none_or(|(least, _)| least + HAIR >= past.max(wanted))
    });
    if over_head && shoulders.is_some() {
        return None;
    }
    let weight = if over_head {
        Weight::Ask
    } else if short > INCH || lowest.is_none() {
        Weight::Stop
    } else {
        Weight::Ask
    };
    let reach = reaches(&round, stretch, whole, level, wanted);
    let mut says = match lowest {
        Some(o) => format!(
            "The opening ends {} below the waist, {} above the hip, where it is {} round: her hip wants {}, so she {} get in.",
            seen.tell(o.foot),
            seen.tell(level - o.foot),
            seen.tell(least),
            seen.tell(wanted),
            if short > INCH { "can't" } else { "can hardly" }
        ),
        None => format!(
            "No opening is marked, and it is {} round {}: her hip wants {}, so she can't get in.",
            seen.tell(least),
            if at < INCH {
                "the waist".to_owned()
            } else {
                format!("{} below the waist", seen.tell(at))
            },
            seen.tell(wanted)
        ),
    };
    if over_head {
        says = format!(
            "She can't step into it: it is {} round where her hip wants {}. Over the head it passes her bust; try whether it passes her shoulders.",
            seen.tell(least),
            seen.tell(wanted)
        );
    }
    let cure = format!(
        "Let the opening reach {} below the waist, where it is as wide as her hip.",
        seen.tell(reach)
    );
    let (place, spot) = match lowest {
        Some(o) => (
            seen.parts[o.part].named(o.edge),
            Some((o.part, o.edge, o.foot_point)),
        ),
        None => {
            let top = round.top();
            let first = top.first().copied();
            let names: Vec<String> = top
                .iter()
                .map(|l| seen.parts[l.part].named(l.edge))
                .collect();
            let spot = first.map(|l| {
                let line = &seen.edge(l).line;
                (l.part, l.edge, line.at(line.length() / 2.0))
            });
            (names.join(" + "), spot)
        }
    };
    let mut finding = Finding::of(&rules::F23, weight, place, says)
        .out_by(length(-short), Some(length(0.0)))
        .cured_by(cure);
    if let Some((part, edge, point)) = spot {
        let p = &seen.parts[part];
        finding = finding.at(&p.piece.name, Some(p.edges[edge].name()), point);
    }
    Some(finding)
}

/// How far below the waist every closed level from there to the hip is wide enough.
fn reaches(round: &Round<'_, '_>, stretch: f64, foot: f64, level: f64, wanted: f64) -> f64 {
    let mut at = level;
    while at > foot {
        let wide = round
            .girth_at(at)
            .is_none_or(|g| g * (1.0 + stretch) >= wanted - HAIR);
        if !wide {
            return (at + APART).min(level);
        }
        at -= APART;
    }
    foot
}

#[cfg(test)]
mod tests;
