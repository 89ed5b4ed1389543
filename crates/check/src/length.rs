//! F15 to F19: how long it hangs in front, at the sides and behind, against her floor measures.
//!
//! A line's length is taken along the stitching line from the waist to the hem. Floor measures are
//! taken in shoes. How much less than the floor measure the skirt is, is its clearance; on a level hem
//! it is the same all round, however short the skirt.

use measure::fraction::Unit;
use measure::{Length, Point};
use piece::Role;

use crate::finding::{Amount, Finding, Spot, Weight};
use crate::hang::{Half, fall, half, half_named, the};
use crate::rules::{F15, F16, F17, F18, F19, Rule};
use crate::seen::{EdgeSeen, Leg, Part, Place, Seen};
use crate::train::{below, reach, trained};

/// The hem is level within this, in millimetres: 1/4 in, as near as two readings of a tape agree.
const LEVEL_MM: f64 = 6.35;
/// Above this she is asked, in millimetres: 1 1/2 in. Less is seen and mended when the hem is marked
/// from the floor; a tapered side, longer along its line than it falls, is within it.
const ASK_MM: f64 = 38.1;
/// Longer than level by more than this it is a train, shorter it is meant so, in millimetres: 2 in.
const MEANT_MM: f64 = 50.8;
/// The front is clear of the floor by this at least, in millimetres: 1/2 in.
const CLEAR_MM: f64 = 12.7;
/// Lines that end within this of each other are one as right as the other, in millimetres.
const SAME_MM: f64 = 0.05;
/// A top so near the waist level begins at the waist, in millimetres: 3 1/2 in.
const AT_WAIST_MM: f64 = 88.9;

/// Where round her a line runs down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Line {
    Side,
    Front,
    Back,
}

impl Line {
    const fn words(self) -> &'static str {
        match self {
            Self::Front => "the centre front",
            Self::Side => "the side",
            Self::Back => "the centre back",
        }
    }

    /// Her measure to the floor there.
    const fn measure(self) -> &'static str {
        match self {
            Self::Front => "front waist to floor",
            Self::Side => "waist to floor",
            Self::Back => "back waist to floor",
        }
    }
}

/// A line from waist to hem.
#[derive(Clone, Copy, Debug)]
struct Down {
    line: Line,
    leg: Leg,
    /// Its length, in millimetres.
    long: f64,
}

/// F15 to F19.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let lines = lines(seen);
    let mut out = level(seen, &lines);
    out.extend(between(seen));
    out.extend(trips(seen, &lines));
    out
}

/// The end of an edge that meets the hem, where just one does.
fn at_hem(part: &Part<'_>, edge: usize) -> Option<bool> {
    let hem = |e: &EdgeSeen<'_>| e.edge.role == Role::Hem;
    match (hem(part.before(edge)), hem(part.after(edge))) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        _ => None,
    }
}

/// The lines from waist to hem that can be told apart.
fn lines(seen: &Seen<'_>) -> Vec<Down> {
    let mut out: Vec<Down> = Vec::new();
    let mut add = |line: Option<Line>, leg: Leg| {
        let part = &seen.parts[leg.part];
        if let (Some(line), Some(long)) = (line, from_waist(seen, part, leg.edge))
            && !out.iter().any(|d| d.line == line)
        {
            out.push(Down { line, leg, long });
        }
    };
    let centre = |half: Half| match half {
        Half::Front => Line::Front,
        Half::Back => Line::Back,
    };
    for (p, part) in seen.parts.iter().enumerate() {
        for (e, edge) in part.edges.iter().enumerate() {
            if edge.edge.role == Role::Fold {
                let named = half(part).or_else(|| half_named(edge.name()));
                add(named.map(centre), seen.whole(p, e));
            }
        }
    }
    for seam in &seen.seams {
        if let [a] = seam.a.as_slice()
            && seam.twin
        {
            let named = half(&seen.parts[a.part]).or_else(|| half_named(&seam.name));
            add(named.map(centre), *a);
        }
        if let ([a], [b]) = (seam.a.as_slice(), seam.b.as_slice())
            && !seam.twin
        {
            let halves = (half(&seen.parts[a.part]), half(&seen.parts[b.part]));
            match halves {
                (Some(Half::Front), Some(Half::Back)) => add(Some(Line::Side), *a),
                (Some(Half::Back), Some(Half::Front)) => add(Some(Line::Side), *b),
                _ => {}
            }
        }
    }
    out
}

/// How long an edge is, where it runs from the waist to the hem in one.
fn from_waist(seen: &Seen<'_>, part: &Part<'_>, edge: usize) -> Option<f64> {
    if part.place != Place::Shell {
        return None;
    }
    let foot_at_start = at_hem(part, edge)?;
    let seen_edge = &part.edges[edge];
    if seen.hangs(part) {
        let waist = seen.waist_of(part)?;
        let top = if foot_at_start {
            seen_edge.line.end()
        } else {
            seen_edge.line.start()
        };
        if (top.y - waist).abs() > AT_WAIST_MM {
            return None;
        }
    } else if !seen.worked.levels.is_empty() || part.sheet.is_none() {
        // A ring below a skirt: its edges don't reach up to the waist.
        return None;
    }
    Some(seen_edge.sewn())
}

/// A line, and how far below her floor measure there it ends, in millimetres: its clearance with its
/// sign turned.
type Past = (Down, f64);

/// Whether the hem is level all round.
fn level(seen: &Seen<'_>, lines: &[Down]) -> Vec<Finding> {
    let mut past: Vec<Past> = lines
        .iter()
        .filter_map(|d| Some((*d, d.long - seen.card.get(d.line.measure())?.in_mm())))
        .collect();
    past.sort_by_key(|p| p.0.line);
    let mut out = Vec::new();
    // A train is no fault of the hem; a back or front that is out by more than a fault would be may be
    // meant so, and the others are judged without it.
    for line in [Line::Back, Line::Front] {
        let others = past.iter().filter(|p| p.0.line != line);
        let most = others.copied().max_by(|a, b| a.1.total_cmp(&b.1));
        let here = past.iter().find(|p| p.0.line == line).copied();
        let (Some(most), Some(here)) = (most, here) else {
            continue;
        };
        if (here.1 - most.1).abs() > MEANT_MM {
            past.retain(|p| p.0.line != line);
            if !is_train(seen, &here.0) {
                out.extend(uneven(seen, &here, &most));
            }
        }
    }
    let Some(right) = reference(seen, &past) else {
        return out;
    };
    // Beside a front that lies on the floor what is longer is told, and side and back once if they agree.
    let mut told: Vec<f64> = Vec::new();
    for here in &past {
        let again = right.0.line == Line::Front
            && told
                .iter()
                .any(|p| here.0.line == Line::Back && (p - here.1).abs() <= LEVEL_MM);
        if !again && let Some(found) = uneven(seen, here, &right) {
            told.push(here.1);
            out.push(found);
        }
    }
    out
}

/// The line that the others are held against: of three the one in the middle, of two the side or else
/// the front (lines come in this order). A front that is not clear of the floor is never the one that is too short.
fn reference(seen: &Seen<'_>, past: &[Past]) -> Option<Past> {
    if past.len() < 2 {
        return None;
    }
    let of = |line: Line| past.iter().find(|p| p.0.line == line).copied();
    let mut sorted = past.to_vec();
    sorted.sort_by(|a, b| a.1.total_cmp(&b.1));
    let right = if sorted.len() == 3 {
        // Where the side is as right as the middle one it is the one to name.
        let as_right = |p: &Past| (p.1 - sorted[1].1).abs() < SAME_MM;
        of(Line::Side).filter(as_right).unwrap_or(sorted[1])
    } else {
        past[0]
    };
    match of(Line::Front) {
        Some(front) if front.1 < right.1 && trips(seen, &[front.0]).is_some() => Some(front),
        _ => Some(right),
    }
}

/// Whether a line runs down to a hem that is drawn as a train.
fn is_train(seen: &Seen<'_>, down: &Down) -> bool {
    let part = &seen.parts[down.leg.part];
    let n = part.edges.len();
    let hem = match at_hem(part, down.leg.edge) {
        Some(true) => (down.leg.edge + n - 1) % n,
        Some(false) => (down.leg.edge + 1) % n,
        None => return false,
    };
    seen.flares_from(part)
        .and_then(|level| trained(part, hem, level))
        .is_some_and(|t| t.whole() > MEANT_MM)
}

/// What is told of a line that is too long or too short against another, where it is.
fn uneven(seen: &Seen<'_>, here: &Past, right: &Past) -> Option<Finding> {
    let (down, over) = (&here.0, here.1 - right.1);
    let short = over < 0.0;
    let rule: &Rule = match (down.line, short) {
        (Line::Back, true) => &F16,
        (Line::Back, false) => &F17,
        (Line::Front, true) => &F18,
        (Line::Front, false) | (Line::Side, _) => &F15,
    };
    if over.abs() <= LEVEL_MM {
        return None;
    }
    let meant = over.abs() > MEANT_MM && down.line != Line::Side;
    let weight = if over.abs() > ASK_MM && !meant {
        Weight::Ask
    } else {
        Weight::Note
    };
    let measured = |d: &Down| Some(seen.card.get(d.line.measure())?.in_mm());
    // The difference that they ask for and the amount are rounded, and the third figure is reckoned
    // from these two, so that what is printed adds up.
    let asked = told_mm(seen, measured(down)? - measured(&right.0)?);
    let amount = told_mm(seen, over);
    let compared = |mm: f64| match mm {
        mm if mm.abs() < 1e-6 => "the same".to_owned(),
        mm if mm > 0.0 => format!("{} more", seen.tell_small(mm)),
        mm => format!("{} less", seen.tell_small(mm)),
    };
    let mut finding = Finding::of(
        rule,
        weight,
        seen.named(&[down.leg]),
        format!(
            "Against {}, {} is {} {} than her floor measures ask: they ask for {}, it has {}.{}",
            right.0.line.words(),
            down.line.words(),
            seen.tell_small(over),
            if short { "shorter" } else { "longer" },
            compared(asked),
            compared(asked + amount),
            if meant { " Is it meant so?" } else { "" }
        ),
    )
    .out_by(
        Amount::Length(Length::try_mm(over)?),
        Some(Amount::Length(Length::mm(LEVEL_MM))),
    );
    finding
        .spots
        .push(foot(&seen.parts[down.leg.part], down.leg.edge));
    Some(finding)
}

/// A small amount as it is told, in millimetres, with its sign.
fn told_mm(seen: &Seen<'_>, mm: f64) -> f64 {
    match seen.shown.unit {
        Unit::Inch => Length::try_mm(mm).map_or(mm, |l| seen.shown.finely().rounded(l).in_mm()),
        Unit::Cm => (mm * 10.0).round() / 10.0,
    }
}

/// Where an edge meets the hem.
fn foot(part: &Part<'_>, edge: usize) -> Spot {
    let line = &part.edges[edge].line;
    Spot {
        piece: part.piece.name.clone(),
        edge: Some(part.edges[edge].name().to_owned()),
        point: if at_hem(part, edge) == Some(true) {
            line.start()
        } else {
            line.end()
        },
    }
}

/// F15 between two seams: the hem of a panel that is lower or higher in its middle than at both ends.
fn between(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out = Vec::new();
    for part in seen.shell().filter(|p| seen.hangs(p)) {
        let Some(level) = seen.flares_from(part) else {
            continue;
        };
        for (e, edge) in part.edges.iter().enumerate() {
            if edge.edge.role != Role::Hem {
                continue;
            }
            let n = part.edges.len();
            let beside = |e: usize| fall(part, e, level);
            let (Some(one), Some(two)) = (beside((e + n - 1) % n), beside((e + 1) % n)) else {
                continue;
            };
            // A train is judged as a train.
            if trained(part, e, level).is_some_and(|t| t.whole() > MEANT_MM) {
                continue;
            }
            // From where the edges would meet, and from the level: drafters reckon by either, and only
            // what is out by both is out.
            let (from_apex, from_level) = (reach(&one, &two), below(level, &one, &two));
            let ends = (edge.line.start(), edge.line.end());
            let off = |p: Point| {
                let (one, two) = (beyond(&from_apex, ends, p), beyond(&from_level, ends, p));
                if one * two <= 0.0 {
                    0.0
                } else if one.abs() < two.abs() {
                    one
                } else {
                    two
                }
            };
            let worst = edge
                .line
                .points()
                .iter()
                .map(|p| (off(*p), *p))
                .max_by(|x, y| x.0.abs().total_cmp(&y.0.abs()));
            let Some((over, point)) = worst.filter(|w| w.0.abs() > LEVEL_MM) else {
                continue;
            };
            let Some(amount) = Length::try_mm(over) else {
                continue;
            };
            out.push(
                Finding::of(
                    &F15,
                    if over.abs() > ASK_MM {
                        Weight::Ask
                    } else {
                        Weight::Note
                    },
                    part.named(e),
                    format!(
                        "Between its seams the hem of {} {} by {}.",
                        the(&part.piece.name),
                        if over > 0.0 { "dips" } else { "rises" },
                        seen.tell_small(over)
                    ),
                )
                .out_by(
                    Amount::Length(amount),
                    Some(Amount::Length(Length::mm(LEVEL_MM))),
                )
                .cured_by("Draw the hem as a smooth curve, square to both seams.")
                .at(&part.piece.name, Some(edge.name()), point),
            );
        }
    }
    out
}

/// How far a place of a hem lies past both of its ends, by some reckoning.
fn beyond(far: &impl Fn(Point) -> f64, ends: (Point, Point), p: Point) -> f64 {
    let (a, b, here) = (far(ends.0), far(ends.1), far(p));
    if here > a.max(b) {
        here - a.max(b)
    } else {
        (here - a.min(b)).min(0.0)
    }
}

/// F19: a front that reaches the floor.
fn trips(seen: &Seen<'_>, lines: &[Down]) -> Option<Finding> {
    let front = lines.iter().find(|d| d.line == Line::Front)?;
    // Her waist is seldom higher in front than at the side, so the side's measure flatters.
    let (name, floor) = [Line::Front, Line::Side]
        .into_iter()
        .find_map(|l| Some((l.measure(), seen.card.get(l.measure())?.in_mm())))?;
    let clear = floor - front.long;
    if clear >= CLEAR_MM {
        return None;
    }
    let heel_known = seen.card.get("heel").is_some();
    let (weight, shoes) = if heel_known {
        (Weight::Ask, "")
    } else {
        (
            Weight::Note,
            " If that was measured barefoot, the heels of her shoes come to it.",
        )
    };
    let how = if clear > 1.5 {
        format!("is only {} clear of the floor", seen.tell(clear))
    } else if clear > -1.5 {
        "just touches the floor".to_owned()
    } else {
        format!("lies on the floor by {}", seen.tell(-clear))
    };
    let mut finding = Finding::of(
        &F19,
        weight,
        seen.named(&[front.leg]),
        format!(
            "In front the hem {how}, with her {name} of {}.{shoes}",
            seen.tell(floor)
        ),
    )
    .out_by(
        Amount::Length(Length::try_mm(clear)?),
        Some(Amount::Length(Length::mm(CLEAR_MM))),
    );
    finding
        .spots
        .push(foot(&seen.parts[front.leg.part], front.leg.edge));
    Some(finding)
}

#[cfg(test)]
mod tests;
