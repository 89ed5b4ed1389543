//! F12: hollow blends, whose allowance must stretch when it is pressed open.
//!
//! Source: derived (trade page on faults, W1): at radius R the allowance SA is cut on R - SA and must
//! lie on R + SA, so it stretches by 2 SA / (R - SA); a blend of t each way at a corner that turns by
//! phi has R = t / tan(phi / 2).

use measure::{Angle, Length, Point, angle};
use piece::Role;

use crate::finding::{Amount, Finding, Spot, Weight};
use crate::hang::{foot_end, runs_down};
use crate::lines::Line;
use crate::rules::F12;
use crate::seen::{EdgeSeen, Leg, Part, Place, Seam, Seen};

/// The bend is taken over so much of the seam, in millimetres: half an inch, about an allowance wide,
/// for cloth shares a strain over that much of itself.
const OVER_MM: f64 = 12.7;
/// Above this share the allowance is clipped or narrowed.
const CLIP: f64 = 0.10;
/// Above this share clipping alone is doubtful.
const ASK: f64 = 0.25;
/// A seam that turns more at the break, in degrees, wants more seams.
const TURN: f64 = 40.0;
/// What is tried against too much turn: all that F12 tries but the blend.
const TURNED: &[&str] = &["tightening", "flare", "gores", "panels"];
/// Cloth that must stretch to so many times its length can't be pressed open at all.
const HOPELESS: f64 = 10.0;
/// A line this near the plumb, in degrees, is held straight.
const UPRIGHT: f64 = 1.0;

/// The tightest hollow of an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Hollow {
    /// Its radius, in millimetres.
    pub(crate) radius: f64,
    /// The allowance there, in millimetres.
    pub(crate) allowance: f64,
    /// How much the allowance must stretch, as a part of one.
    pub(crate) stretch: f64,
    /// Where.
    pub(crate) point: Point,
}

/// How much an allowance must stretch at a hollow of a radius, both in millimetres.
pub(crate) fn stretch(radius: f64, allowance: f64) -> f64 {
    let cut = radius - allowance;
    if cut * HOPELESS <= 2.0 * allowance {
        HOPELESS
    } else {
        2.0 * allowance / cut
    }
}

/// How far a line has turned to the left up to each place along it: places in millimetres, turns in
/// radians, straight in between. Left is hollow, for a ring is walked clockwise.
struct Turning {
    at: Vec<f64>,
    turned: Vec<f64>,
}

impl Turning {
    fn of(line: &Line) -> Self {
        let points = line.points();
        let (mut at, mut turned) = (vec![0.0], vec![0.0]);
        let (mut along, mut sum) = (0.0, 0.0);
        for w in points.windows(3) {
            let (one, two) = (w[1] - w[0], w[2] - w[1]);
            along += one.size();
            let turn = -one.angle_to(two).in_radians();
            // On a curve the turn of a corner of chords belongs to half of each; at a true corner
            // beside long straights to the shorter half.
            let reach = (one.size().min(two.size()) / 2.0).max(1e-6);
            at.push(along - reach);
            turned.push(sum);
            sum += turn;
            at.push(along + reach);
            turned.push(sum);
        }
        at.push(line.length());
        turned.push(sum);
        Self { at, turned }
    }

    fn up_to(&self, at: f64) -> f64 {
        let next = self.at.partition_point(|a| *a < at);
        if next == 0 {
            return 0.0;
        }
        if next == self.at.len() {
            return self.turned[next - 1];
        }
        let (a, b) = (self.at[next - 1], self.at[next]);
        let part = if b > a { (at - a) / (b - a) } else { 1.0 };
        self.turned[next - 1] + part * (self.turned[next] - self.turned[next - 1])
    }
}

/// The hollow of an edge at which its allowance must stretch most.
pub(crate) fn hollow(edge: &EdgeSeen<'_>) -> Option<Hollow> {
    let turning = Turning::of(&edge.line);
    let whole = edge.line.length();
    let over = OVER_MM.min(whole / 2.0);
    let mut worst: Option<Hollow> = None;
    let starts = turning.at.iter().flat_map(|a| [*a, *a - over]);
    for start in starts.filter(|s| *s >= 0.0 && *s + over <= whole) {
        let bend = (turning.up_to(start + over) - turning.up_to(start)) / over;
        if bend < 1e-6 {
            continue;
        }
        let (radius, middle) = (1.0 / bend, start + over / 2.0);
        let allowance = edge.edge.allowance.width_at(Length::mm(middle)).in_mm();
        let stretch = stretch(radius, allowance);
        if worst.is_none_or(|w| stretch > w.stretch) {
            worst = Some(Hollow {
                radius,
                allowance,
                stretch,
                point: edge.line.at(middle),
            });
        }
    }
    worst
}

/// How far an edge turns at the break: the slope inward from hip to break and the slope outward below
/// it. The first is that of the chord without what is held upright, as the trade reckons it; the true
/// curve is steeper in its middle.
pub(crate) fn turn_at_break(
    seen: &Seen<'_>,
    part: &Part<'_>,
    edge: usize,
) -> Option<(Angle, Point)> {
    let hip = seen.level_of(part, "hip")?;
    let at_break = seen.level_of(part, "break")?;
    let from_below = foot_end(part, edge)?;
    let line = &part.edges[edge].line;
    let (mut across, mut down) = (0.0, 0.0);
    let mut steepest: f64 = 0.0;
    // Walked downward the piece lies on the right hand, so outward is the paper's right.
    let outward = if from_below { -1.0 } else { 1.0 };
    for w in line.points().windows(2) {
        let (a, b) = if from_below {
            (w[1], w[0])
        } else {
            (w[0], w[1])
        };
        let step = b - a;
        let middle = f64::midpoint(a.y, b.y);
        let slope = angle::atan2(step.x * outward, step.y);
        if slope.abs().to_degrees() < UPRIGHT || middle < hip {
            continue;
        }
        if middle < at_break {
            across -= step.x * outward;
            down += step.y;
        } else {
            steepest = steepest.max(slope);
        }
    }
    let inward = if down > 0.0 {
        angle::atan2(across.max(0.0), down)
    } else {
        0.0
    };
    let crossing = line.crossings(at_break).last().copied()?;
    Some((Angle::radians(inward + steepest), line.at(crossing)))
}

/// One side of a seam that runs down, and its hollow.
struct Side {
    leg: Leg,
    hollow: Option<Hollow>,
    turn: Option<(Angle, Point)>,
}

fn sides(seen: &Seen<'_>, seam: &Seam) -> Vec<Side> {
    let mut legs: Vec<Leg> = seam.a.clone();
    if !seam.twin {
        legs.extend(seam.b.iter().copied());
    }
    legs.into_iter()
        .filter(|leg| {
            let part = &seen.parts[leg.part];
            let edge = &part.edges[leg.edge];
            let sewn_down = edge.edge.role == Role::Seam && runs_down(edge);
            part.place == Place::Shell && part.sheet.is_some() && sewn_down
        })
        .map(|leg| Side {
            leg,
            hollow: hollow(seen.edge(leg)),
            turn: turn_at_break(seen, &seen.parts[leg.part], leg.edge),
        })
        .collect()
}

fn percent(share: f64) -> String {
    if share >= HOPELESS {
        "more than a thousand percent".into()
    } else {
        format!("{:.0} %", share * 100.0)
    }
}

fn spot(seen: &Seen<'_>, leg: Leg, point: Point) -> Spot {
    let part = &seen.parts[leg.part];
    Spot {
        piece: part.piece.name.clone(),
        edge: Some(part.edges[leg.edge].name().to_owned()),
        point,
    }
}

/// F12 of every seam that runs down.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out = Vec::new();
    // A toile is clipped where it pulls, and let out at her: its wide allowance is no fault of the
    // draft.
    let toile = seen.worked.is_toile();
    // What only wants clipping is told once for all seams.
    let mut clip: Vec<(String, Leg, Hollow)> = Vec::new();
    for seam in &seen.seams {
        let sides = sides(seen, seam);
        let worst = sides
            .iter()
            .filter_map(|s| Some((s.leg, s.hollow?)))
            .max_by(|a, b| a.1.stretch.total_cmp(&b.1.stretch));
        if let Some((leg, hollow)) = worst {
            if hollow.stretch > ASK && !toile {
                out.push(tight(seen, seam, leg, &hollow));
            } else if hollow.stretch > CLIP {
                clip.push((seam.name.clone(), leg, hollow));
            }
        }
        let turns = sides.iter().filter_map(|s| Some((s.leg, s.turn?)));
        let most = turns.max_by(|a, b| a.1.0.in_radians().total_cmp(&b.1.0.in_radians()));
        if let Some((leg, (turn, point))) = most
            && turn.in_degrees() > TURN
        {
            let mut finding = Finding::of(
                &F12,
                Weight::Ask,
                seen.named(&[leg]),
                format!(
                    "The {} turns by {:.0}° at the break; above {TURN}° it drags beside the knee, and a longer blend helps little.",
                    seen.spoken(&[leg]),
                    turn.in_degrees()
                ),
            )
            .out_by(
                Amount::Angle(turn),
                Some(Amount::Angle(Angle::degrees(TURN))),
            )
            .cured_by("More seams, less flare at this one, less tightening, or a longer way from hip to break.")
            .trying(TURNED);
            finding.spots.push(spot(seen, leg, point));
            out.push(finding);
        }
    }
    out.extend(to_clip(seen, &clip));
    out
}

fn tight(seen: &Seen<'_>, seam: &Seam, leg: Leg, hollow: &Hollow) -> Finding {
    let mut place = seen.named(&seam.a);
    if !seam.twin {
        place = format!("{place} + {}", seen.named(&seam.b));
    }
    let mut finding = Finding::of(
        &F12,
        Weight::Ask,
        place,
        format!(
            "The {} is hollow to a radius of {}. Pressed open, its allowance of {} must stretch by {}.",
            seen.spoken(&[leg]),
            seen.tell(hollow.radius),
            seen.tell(hollow.allowance),
            percent(hollow.stretch)
        ),
    )
    .out_by(Amount::Share(hollow.stretch), Some(Amount::Share(ASK)));
    finding.spots.push(spot(seen, leg, hollow.point));
    finding
}

fn to_clip(seen: &Seen<'_>, clip: &[(String, Leg, Hollow)]) -> Option<Finding> {
    let (name, _, worst) = clip
        .iter()
        .max_by(|a, b| a.2.stretch.total_cmp(&b.2.stretch))?;
    let places: Vec<String> = clip.iter().map(|c| seen.named(&[c.1])).collect();
    let says = if clip.len() == 1 {
        format!(
            "Clip the allowance of the {name} at the break: pressed open, {} of it must stretch by {} round a hollow of {} radius.",
            seen.tell(worst.allowance),
            percent(worst.stretch),
            seen.tell(worst.radius)
        )
    } else {
        format!(
            "Clip the allowances at the break in {} seams: pressed open they must stretch, most of all that of the {name}, by {}.",
            clip.len(),
            percent(worst.stretch)
        )
    };
    let mut finding = Finding::of(&F12, Weight::Note, places.join(" + "), says)
        .out_by(Amount::Share(worst.stretch), Some(Amount::Share(CLIP)))
        .cured_by("Clip to 1/8 in from the seam every 3/4 in, or narrow it to 3/8 in and stretch it with the iron.");
    finding
        .spots
        .extend(clip.iter().map(|c| spot(seen, c.1, c.2.point)));
    Some(finding)
}

#[cfg(test)]
mod tests;
