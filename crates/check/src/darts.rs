//! F5, F6 and F7: a closed dart leaves its edge straight, its legs are equal, and it ends well above the
//! fullest place.

use measure::{Angle, Length};

use crate::finding::{Amount, Finding, Weight};
use crate::rules::{F5, F6, F7};
use crate::seen::{Part, Place, Seen};
use crate::walked;
use crate::ways::{self, DartSeen};

/// How much an edge may turn where a dart is closed, in degrees.
const KINK: f64 = 2.0;
/// How much the legs may differ, in millimetres: 1/16 in.
const LEGS: f64 = 1.5875;
/// Legs that differ by more can't be sewn together, in millimetres: 1/8 in.
const LEGS_STOP: f64 = 3.175;
/// A waist dart ends so far above the fullest level, in millimetres: 3/4 in.
const ABOVE: f64 = 19.05;
/// Half the angle of a dart that does not bubble, in degrees: "about", so that a little more is only
/// noted.
const HALF: f64 = 7.5;
/// Past this it is asked about, in degrees.
const HALF_ASK: f64 = 10.0;

/// Looks at every dart, those of the shell first.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out: Vec<Finding> = Vec::new();
    for place in [Place::Shell, Place::Facing, Place::Under] {
        for (p, part) in seen.parts.iter().enumerate() {
            if part.place != place {
                continue;
            }
            for (e, edge) in part.edges.iter().enumerate() {
                let darts = ways::darts(part, edge);
                let count = darts.len();
                for (i, dart) in darts.into_iter().enumerate() {
                    let called = called(part, e, (i, count));
                    let found = [
                        kinked(part, e, dart, &called),
                        legs(seen, part, e, dart, &called),
                        bubble(seen, part, e, dart, &called),
                    ];
                    for f in found.into_iter().flatten() {
                        if !walked::is_told_of(seen, p, e, &out, &f.rule) {
                            out.push(f);
                        }
                    }
                }
            }
        }
    }
    out
}

/// The dart as it is said: `the dart in the front waist`, `the second dart in the back waist`.
fn called(part: &Part<'_>, edge: usize, (i, count): (usize, usize)) -> String {
    let which = match (count, i) {
        (1, _) => "dart".to_owned(),
        (_, 0) => "first dart".to_owned(),
        (_, 1) => "second dart".to_owned(),
        (_, 2) => "third dart".to_owned(),
        (_, i) => format!("{}th dart", i + 1),
    };
    let edge = walked::said_edge(&part.piece.name, part.edges[edge].name());
    format!("the {which} in {edge}")
}

fn place(part: &Part<'_>, dart: DartSeen<'_>) -> String {
    format!("{}.{}", part.piece.name, dart.name)
}

/// F5.
fn kinked(part: &Part<'_>, edge: usize, dart: DartSeen<'_>, called: &str) -> Option<Finding> {
    let on = &part.edges[edge];
    let kink = ways::kink(on, dart)?;
    if kink.abs() <= KINK {
        return None;
    }
    let shape = if kink > 0.0 { "a point" } else { "a dip" };
    let says = format!(
        "With {called} sewn, the {} has {shape} there: it turns by {:.1}° instead of running on straight.",
        on.name(),
        kink.abs()
    );
    Some(
        Finding::of(&F5, Weight::Ask, place(part, dart), says)
            .out_by(
                Amount::Angle(Angle::degrees(kink)),
                Some(Amount::Angle(Angle::degrees(KINK))),
            )
            .at(
                &part.piece.name,
                Some(on.name()),
                on.line.at(f64::midpoint(dart.mouth.0, dart.mouth.1)),
            ),
    )
}

/// F6.
fn legs(
    seen: &Seen<'_>,
    part: &Part<'_>,
    edge: usize,
    dart: DartSeen<'_>,
    called: &str,
) -> Option<Finding> {
    let on = &part.edges[edge];
    let (one, two) = (
        (on.line.at(dart.mouth.0) - dart.tip).size(),
        (on.line.at(dart.mouth.1) - dart.tip).size(),
    );
    let out = one - two;
    if out.abs() <= LEGS {
        return None;
    }
    let weight = if out.abs() > LEGS_STOP {
        Weight::Stop
    } else {
        Weight::Ask
    };
    let says = format!(
        "The legs of {called} are {} and {}: one is {} longer.",
        seen.tell(one),
        seen.tell(two),
        seen.tell_small(out)
    );
    let length = |mm: f64| Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO));
    Some(
        Finding::of(&F6, weight, place(part, dart), says)
            .out_by(length(out), Some(length(LEGS)))
            .at(&part.piece.name, Some(on.name()), dart.tip),
    )
}

/// F7, of a dart in the waist: one whose edge runs across above the hip line of its sheet. A bust dart
/// points at a place that the pattern does not tell, so it is not judged.
fn bubble(
    seen: &Seen<'_>,
    part: &Part<'_>,
    edge: usize,
    dart: DartSeen<'_>,
    called: &str,
) -> Option<Finding> {
    let on = &part.edges[edge];
    let hip = seen.level(part.sheet?, "hip")?;
    let (a, b) = (on.line.at(dart.mouth.0), on.line.at(dart.mouth.1));
    let across = (b.x - a.x).abs() > (b.y - a.y).abs();
    let down = dart.tip.y > a.y.max(b.y);
    if !across || !down || a.y.max(b.y) >= hip {
        return None;
    }
    let above = hip - dart.tip.y;
    let half = (a - dart.tip).angle_to(b - dart.tip).in_degrees().abs() / 2.0;
    let (low, wide) = (above < ABOVE, half > HALF);
    if !low && !wide {
        return None;
    }
    let length = |mm: f64| Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO));
    let angle = |d: f64| Amount::Angle(Angle::degrees(d));
    let ends = if above >= 0.0 {
        format!("ends only {} above the hip line", seen.tell(above))
    } else {
        format!("ends {} below the hip line", seen.tell(-above))
    };
    let opens = format!(
        "is {} wide for its length of {}, half its angle being {half:.1}°",
        seen.tell((b - a).size()),
        seen.tell((a.toward(b, 0.5) - dart.tip).size()),
    );
    let said = walked::capital(called);
    let says = match (low, wide) {
        (true, true) => format!("{said} {ends}, and {opens}: it may end in a bubble."),
        (true, false) => format!("{said} {ends}: it may end in a bubble."),
        _ => format!("{said} {opens}: it may end in a bubble."),
    };
    let weight = if low || half > HALF_ASK {
        Weight::Ask
    } else {
        Weight::Note
    };
    let finding = Finding::of(&F7, weight, place(part, dart), says);
    let finding = if wide {
        finding.out_by(angle(half), Some(angle(HALF)))
    } else {
        finding.out_by(length(above), Some(length(ABOVE)))
    };
    Some(finding.at(&part.piece.name, Some(on.name()), dart.tip))
}

#[cfg(test)]
mod tests;
