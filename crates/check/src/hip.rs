//! The hip: how easily the pattern goes round it, how the side lies over it, and what pads do to the
//! knee.

use draft::worked::Quantity;
use measure::Point;
use piece::Role;

use crate::finding::{Amount, Finding, Weight};
use crate::her::Her;
use crate::round::Round;
use crate::rules;
use crate::seen::{EdgeSeen, Leg, Seen};
use crate::sides;
use crate::walking::{edges_named, gap, length};

const INCH: f64 = 25.4;
/// Draft and tape agree within this, in millimetres: 1/8 in.
const EIGHTH: f64 = INCH / 8.0;
/// What woven cloth wants round the hip at least.
const WOVEN: f64 = INCH;
/// The high hip is taken 3 to 4 in below the waist.
const HIGH_HIP: f64 = 3.5 * INCH;
/// The highest level at which the high hip is taken.
const HIGHEST: f64 = 3.0 * INCH;
/// A skirt with more ease than this round the hip is not fitted there.
const FITTED: f64 = 4.0 * INCH;
/// A quarter of an inch.
const QUARTER: f64 = INCH / 4.0;
/// The side may turn so far, in degrees, within [`WITHIN`] at the hip line.
const TURN: f64 = 20.0;
const WITHIN: f64 = 2.0 * INCH;
/// What the break may be out with pads.
const PADS: f64 = INCH;

/// F8: tight or loose over the hip.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let (round, her) = (Round::of(seen), Her::of(seen));
    let (Some(hip), Some(level)) = (her.hip(), her.hip_level()) else {
        return Vec::new();
    };
    let Some(girth) = round.girth_near(level) else {
        return Vec::new();
    };
    let stretch = her.stretch();
    let ease = girth * (1.0 + stretch) - hip;
    let pads = her.taken("padded hip").is_some_and(|p| p >= hip);
    let body = if pads {
        "her hip over the pads"
    } else {
        "her hip"
    };
    let woven = stretch <= 0.0;
    let (weight, says, wanted) = if ease < -EIGHTH {
        let says = if woven {
            let cloth = if seen.cloth.is_some() {
                "and the cloth does not stretch"
            } else {
                "which only cloth that stretches allows"
            };
            format!(
                "The pattern is {} round the hip, {} less than {body}, {cloth}.",
                seen.tell(girth),
                gap(seen, girth, hip)
            )
        } else {
            format!(
                "The pattern is {} round the hip; stretched it is {}, {} less than {body}.",
                seen.tell(girth),
                seen.tell(girth * (1.0 + stretch)),
                gap(seen, girth * (1.0 + stretch), hip)
            )
        };
        (Weight::Stop, says, 0.0)
    } else if woven && ease < WOVEN - 0.5 {
        let has = if ease.abs() <= EIGHTH / 2.0 {
            format!("just as large as {body}")
        } else if ease < 0.0 {
            format!("{} less than {body}", gap(seen, girth, hip))
        } else {
            format!("{} more than {body}", gap(seen, girth, hip))
        };
        let says = format!(
            "The pattern is {} round the hip, {has}; cloth that does not stretch wants {} of ease. Does she want it so close?",
            seen.tell(girth),
            seen.tell(WOVEN)
        );
        (Weight::Ask, says, WOVEN)
    } else {
        return Vec::new();
    };
    let edges = round.sides_at(level);
    let mut finding = Finding::of(&rules::F8, weight, edges_named(seen, &edges), says)
        .out_by(length(ease), Some(length(wanted)));
    finding = spotted(seen, finding, &edges);
    vec![finding]
}

/// The finding with its places.
pub(crate) fn spotted(seen: &Seen<'_>, mut finding: Finding, edges: &[(Leg, Point)]) -> Finding {
    for (leg, point) in edges {
        let part = &seen.parts[leg.part];
        finding = finding.at(&part.piece.name, Some(part.edges[leg.edge].name()), *point);
    }
    finding
}

/// F9: too narrow over the high hip, or a side that makes a shelf of the hip.
pub(crate) fn find_high(seen: &Seen<'_>) -> Vec<Finding> {
    let (round, her) = (Round::of(seen), Her::of(seen));
    let mut out = Vec::new();
    out.extend(high_hip(seen, &round, &her));
    if let Some(level) = her.hip_level() {
        for (leg, point) in round.sides_at(level) {
            let edge = seen.edge(leg);
            if edge.edge.role == Role::Opening {
                continue;
            }
            // On pieces that were turned the paper has no level to look along.
            out.extend(turned(seen, leg, edge, point));
            if round.waist_on(leg.part).is_some() {
                out.extend(bows(seen, leg, edge, point.y));
            }
        }
    }
    out
}

fn high_hip(seen: &Seen<'_>, round: &Round<'_, '_>, her: &Her<'_, '_>) -> Option<Finding> {
    let body = her.taken("high hip")?;
    let levels = seen.worked.levels.iter();
    let level = levels
        .filter(|l| l.body == "high hip")
        .map(|l| l.below_waist.in_mm())
        .min_by(f64::total_cmp)
        .unwrap_or(HIGH_HIP);
    let girth = round.girth_at(level)?;
    let ease = girth * (1.0 + her.stretch()) - body;
    if ease >= -QUARTER {
        return stands_off(seen, round, her, body);
    }
    Some({
        let edges = round.sides_at(level);
        let says = format!(
            "{} below the waist the pattern is {} round, {} less than her high hip of {}.",
            seen.tell(level),
            seen.tell(girth),
            gap(seen, girth, body),
            seen.tell(body)
        );
        let finding = Finding::of(&rules::F9, Weight::Ask, edges_named(seen, &edges), says)
            .out_by(length(ease), Some(length(QUARTER)));
        spotted(seen, finding, &edges)
    })
}

/// A shelf above the hip: even 3 in below the waist, the highest at which the high hip is taken, there
/// is more than 1/4 in a quarter over the high hip and the ease that the hip has.
fn stands_off(
    seen: &Seen<'_>,
    round: &Round<'_, '_>,
    her: &Her<'_, '_>,
    body: f64,
) -> Option<Finding> {
    let (hip, level) = (her.hip()?, her.hip_level()?);
    let ease = (round.girth_near(level)? - hip).max(0.0);
    // What falls free of the hip stands off above it too.
    (ease <= FITTED).then_some(())?;
    let girth = round.girth_at(HIGHEST)?;
    let over = girth - body - ease;
    (over > 4.0 * QUARTER).then(|| {
        let edges = round.sides_at(HIGHEST);
        let says = format!(
            "{} below the waist the pattern is {} round, {} more than her high hip and its ease: it stands off above the hip.",
            seen.tell(HIGHEST),
            seen.tell(girth),
            seen.tell(over)
        );
        let finding = Finding::of(&rules::F9, Weight::Note, edges_named(seen, &edges), says)
            .out_by(length(over), Some(length(4.0 * QUARTER)));
        spotted(seen, finding, &edges)
    })
}

/// How far a side bows out above the hip line, beyond both the waist and the hip.
fn bows(seen: &Seen<'_>, leg: Leg, edge: &EdgeSeen<'_>, hip: f64) -> Option<Finding> {
    let part = &seen.parts[leg.part];
    let line = &edge.line;
    let at = *line.crossings(hip).first()?;
    let (from, to) = if line.start().y < hip {
        (0.0, at)
    } else {
        (at, line.length())
    };
    let (top, low) = (line.at(from), line.at(to));
    // Outward is away from the piece.
    let ring = part.ring();
    let right = sides::inside(&ring, Point::new(low.x - 1.0, hip));
    let outward = |p: Point| if right { p.x } else { -p.x };
    let limit = outward(top).max(outward(low));
    let steps = 60;
    let (bow, point) = (0..=steps)
        .map(|k| line.at(from + (to - from) * f64::from(k) / f64::from(steps)))
        .map(|p| (outward(p) - limit, p))
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    (bow > QUARTER).then(|| {
        let says = format!(
            "The {} of the {} bows out {} beyond waist and hip: it makes a bump above the hip.",
            edge.name(),
            part.piece.name,
            seen.tell_small(bow)
        );
        Finding::of(&rules::F9, Weight::Note, part.named(leg.edge), says)
            .out_by(length(bow), Some(length(QUARTER)))
            .at(&part.piece.name, Some(edge.name()), point)
    })
}

/// The sharpest turn of a side over 2 in of it, from 2 in above the hip line to 2 in below.
fn turned(seen: &Seen<'_>, leg: Leg, edge: &EdgeSeen<'_>, hip: Point) -> Option<Finding> {
    let line = &edge.line;
    let (at, _) = line.nearest(hip);
    let mut worst: Option<(f64, f64)> = None;
    for k in -4..=4 {
        let middle = at + f64::from(k) * WITHIN / 8.0;
        let (from, to) = (middle - WITHIN / 2.0, middle + WITHIN / 2.0);
        if from < 2.0 || to > line.length() - 2.0 {
            continue;
        }
        let (Some(one), Some(two)) = (line.toward(from - 2.0, from), line.toward(to, to + 2.0))
        else {
            continue;
        };
        let turn = one.angle_to(two).in_degrees().abs();
        if worst.is_none_or(|(w, _)| turn > w) {
            worst = Some((turn, middle));
        }
    }
    let (turn, middle) = worst?;
    (turn > TURN).then(|| {
        let part = &seen.parts[leg.part];
        let says = format!(
            "The {} of the {} turns {turn:.0} degrees within {} at the hip line and may show a corner there.",
            edge.name(),
            part.piece.name,
            seen.tell(WITHIN)
        );
        Finding::of(&rules::F9, Weight::Note, part.named(leg.edge), says)
            .out_by(
                Amount::Angle(measure::Angle::degrees(turn)),
                Some(Amount::Angle(measure::Angle::degrees(TURN))),
            )
            .at(&part.piece.name, Some(edge.name()), line.at(middle))
    })
}

/// F27: a break that was reckoned from the padded hip.
pub(crate) fn find_pads(seen: &Seen<'_>) -> Vec<Finding> {
    let her = Her::of(seen);
    let (Some(hip), Some(padded)) = (her.taken("hip"), her.taken("padded hip")) else {
        return Vec::new();
    };
    if padded <= hip {
        return Vec::new();
    }
    let choice = |words: &[&str]| {
        seen.worked.choices.iter().find_map(|c| match c.value {
            Quantity::Length(l) if c.offered && words.contains(&c.name.as_str()) => Some(l.in_mm()),
            _ => None,
        })
    };
    let round = Round::of(seen);
    let Some((girth, level)) = round.break_girth() else {
        return Vec::new();
    };
    let natural = hip + choice(&["hip ease"]).unwrap_or(0.0);
    let wanted = if let Some(taken) = choice(&["tightening"]) {
        natural - 4.0 * taken
    } else if let Some(girth) = choice(&["girth wanted", "break girth"]) {
        girth
    } else {
        return Vec::new();
    };
    let out = girth - wanted;
    // A softened break is wider than its hard corner by an inch or so; reckoned from the pads it is
    // wider by all that they add.
    if out >= -PADS && out <= PADS + (padded - hip) / 2.0 {
        return Vec::new();
    }
    let how = if out > 0.0 { "more" } else { "less" };
    let says = format!(
        "The break is {} round; reckoned from her own hip of {} it is {}, so it has {} {how}. The pads are not there at the knee.",
        seen.tell(girth),
        seen.tell(hip),
        seen.tell(wanted),
        gap(seen, girth, wanted)
    );
    let edges = round.sides_at(level);
    let finding = Finding::of(&rules::F27, Weight::Ask, edges_named(seen, &edges), says)
        .out_by(length(out), Some(length(PADS)));
    vec![spotted(seen, finding, &edges)]
}

#[cfg(test)]
mod tests;
