//! F20: a train that grows without turning back, wide enough, on a smooth hem.
//!
//! How long the skirt is at a place of the hem is taken in the fan of the piece: from the place where
//! the two edges beside the hem would meet above it. A swept hem that is square to a slanting centre
//! back lies lower on the paper beside it, and yet is longest there.

use measure::{Angle, Length, Point};
use piece::Role;

use crate::finding::{Amount, Finding, Weight};
use crate::hang::{Fall, fall, the};
use crate::lines::Line;
use crate::rules::F20;
use crate::seen::{Leg, Part, Seen};

/// A piece whose hem is so much longer at one end is trained, in millimetres: 2 in.
const TRAIN_MM: f64 = 50.8;
/// The hem may turn back by so much, in millimetres: 1/16 in.
const BACK_MM: f64 = 1.6;
/// At half the train's length it is at least so wide, as a part of the hem.
const HALF: f64 = 0.5;
/// And may be so much narrower: a hem square at both ends falls near the half, not on it.
const SLACK: f64 = 0.1;
/// A hem that meets the centre at less than this, in degrees, is pointed on purpose.
const POINTED: f64 = 89.0;
/// A train no longer than this, in millimetres, does not roll for being narrow: 6 in, a sweep.
const SWEEP_MM: f64 = 152.4;
/// A hem turns by no more than this at one place, in degrees.
const SMOOTH: f64 = 10.0;

/// A hem with the lengths of the skirt along it, walked from its short end to its long one.
pub(crate) struct Trained {
    line: Line,
    /// How much longer the skirt is at each point of the line than at its short end, in millimetres.
    longer: Vec<f64>,
}

impl Trained {
    /// How much longer it is at its long end, in millimetres.
    pub(crate) fn whole(&self) -> f64 {
        self.longer.last().copied().unwrap_or(0.0)
    }
}

/// F20 of every piece that lies as it hangs.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out = Vec::new();
    for part in seen.shell().filter(|p| seen.hangs(p)) {
        let Some(level) = seen.flares_from(part) else {
            continue;
        };
        for (e, edge) in part.edges.iter().enumerate() {
            if edge.edge.role != Role::Hem {
                continue;
            }
            let Some(hem) = trained(part, e, level) else {
                continue;
            };
            let whole = hem.whole();
            if whole <= TRAIN_MM {
                continue;
            }
            out.extend(turns_back(seen, part, e, &hem));
            if whole > SWEEP_MM && is_whole_train(seen, part, e, &hem) {
                out.extend(narrow(seen, part, e, &hem, whole));
            }
            out.extend(rough(part, e));
        }
    }
    out
}

/// The hem as a train would be walked.
pub(crate) fn trained(part: &Part<'_>, hem: usize, level: f64) -> Option<Trained> {
    let n = part.edges.len();
    let (before, after) = ((hem + n - 1) % n, (hem + 1) % n);
    let one = fall(part, before, level)?;
    let two = fall(part, after, level)?;
    let far = reach(&one, &two);
    let line = &part.edges[hem].line;
    let mut points = line.points().to_vec();
    if far(line.start()) > far(line.end()) {
        points.reverse();
    }
    let first = far(points[0]);
    let longer = points.iter().map(|p| far(*p) - first).collect();
    Some(Trained {
        line: Line::through(points),
        longer,
    })
}

/// Where two edges would meet above, prolonged; none where they run side by side or together downward.
fn apex(one: &Fall, two: &Fall) -> Option<Point> {
    let (a, b) = (one.direction(), two.direction());
    let cross = a.cross(b);
    let meeting = (cross.abs() > 1e-3 * a.size() * b.size()).then(|| {
        let t = (two.from - one.from).cross(b) / cross;
        one.from + a * t
    });
    meeting.filter(|p| p.y < one.from.y.min(two.from.y))
}

/// How far a place of the hem is from where two edges would meet; how far down, when they never do.
pub(crate) fn reach(one: &Fall, two: &Fall) -> impl Fn(Point) -> f64 + use<> {
    let apex = apex(one, two);
    move |p: Point| apex.map_or(p.y, |apex| (p - apex).size())
}

/// How far a place of the hem is below a level, as the cloth falls between two edges.
pub(crate) fn below(level: f64, one: &Fall, two: &Fall) -> impl Fn(Point) -> f64 + use<> {
    let apex = apex(one, two);
    move |p: Point| match apex {
        Some(apex) if p.y > apex.y => (p - apex).size() * (p.y - level) / (p.y - apex.y),
        _ => p.y - level,
    }
}

fn turns_back(seen: &Seen<'_>, part: &Part<'_>, hem: usize, trained: &Trained) -> Option<Finding> {
    let mut most = f64::NEG_INFINITY;
    let mut worst = (0.0, trained.line.start());
    for (far, p) in trained.longer.iter().zip(trained.line.points()) {
        most = most.max(*far);
        if most - far > worst.0 {
            worst = (most - far, *p);
        }
    }
    let (back, point) = worst;
    if back <= BACK_MM {
        return None;
    }
    Some(
        Finding::of(
            &F20,
            Weight::Ask,
            part.named(hem),
            format!(
                "The train of {} turns back: on the way to its end the hem comes up again by {}.",
                the(&part.piece.name),
                seen.tell_small(back)
            ),
        )
        .out_by(
            Amount::Length(Length::try_mm(back)?),
            Some(Amount::Length(Length::mm(BACK_MM))),
        )
        .at(&part.piece.name, Some(part.edges[hem].name()), point),
    )
}

/// Whether the whole of half the train is on this piece: its long end is the middle, on the fold or at
/// a seam to its twin, and beyond its short end the hem is level.
fn is_whole_train(seen: &Seen<'_>, part: &Part<'_>, hem: usize, trained: &Trained) -> bool {
    let n = part.edges.len();
    let sides = [(hem + n - 1) % n, (hem + 1) % n];
    let meets = |edge: usize, end: Point| {
        let line = &part.edges[edge].line;
        (line.start() - end).size() < 0.01 || (line.end() - end).size() < 0.01
    };
    let at = |end: Point| sides.into_iter().find(|e| meets(*e, end));
    let (Some(middle), Some(beginning)) = (at(trained.line.end()), at(trained.line.start())) else {
        return false;
    };
    let is = |leg: &Leg, edge: usize| {
        leg.edge == edge && seen.parts[leg.part].piece.name == part.piece.name
    };
    let twin = seen
        .seams
        .iter()
        .any(|s| s.twin && s.a.iter().any(|l| is(l, middle)));
    let begun_before = seen.seams.iter().filter(|s| !s.twin).any(|s| {
        let other = if s.a.iter().any(|l| is(l, beginning)) {
            &s.b
        } else if s.b.iter().any(|l| is(l, beginning)) {
            &s.a
        } else {
            return false;
        };
        other.iter().any(|l| grows(seen, &seen.parts[l.part]))
    });
    (twin || part.edges[middle].edge.role == Role::Fold) && !begun_before
}

/// Whether a piece is trained itself.
fn grows(seen: &Seen<'_>, part: &Part<'_>) -> bool {
    let Some(level) = seen.flares_from(part) else {
        return false;
    };
    (0..part.edges.len())
        .filter(|e| part.edges[*e].edge.role == Role::Hem)
        .filter_map(|e| trained(part, e, level))
        .any(|t| t.whole() > TRAIN_MM)
}

fn narrow(
    seen: &Seen<'_>,
    part: &Part<'_>,
    hem: usize,
    trained: &Trained,
    whole: f64,
) -> Option<Finding> {
    let points = trained.line.points();
    let last_short = trained.longer.iter().rposition(|l| *l < whole / 2.0)?;
    let from: f64 = points[..=last_short]
        .windows(2)
        .map(|w| (w[1] - w[0]).size())
        .sum();
    let hem_length = trained.line.length();
    let share = (hem_length - from) / hem_length;
    if share >= HALF - SLACK {
        return None;
    }
    // The angle inside the piece where the hem ends at the middle.
    let at_start = (part.edges[hem].line.start() - trained.line.end()).size() < 0.01;
    let weight = if part.corner(hem, at_start) < POINTED {
        Weight::Note
    } else {
        Weight::Ask
    };
    Some(
        Finding::of(
            &F20,
            weight,
            part.named(hem),
            format!(
                "The train of {} is narrow: half way along it is {} wide on each side, {:.0} % of the hem.",
                the(&part.piece.name),
                seen.tell(hem_length - from),
                share * 100.0
            ),
        )
        .out_by(Amount::Share(share), Some(Amount::Share(HALF)))
        .cured_by("Widen it at the centre back, or let it begin nearer to the side.")
        .at(
            &part.piece.name,
            Some(part.edges[hem].name()),
            points[last_short],
        ),
    )
}

fn rough(part: &Part<'_>, hem: usize) -> Option<Finding> {
    let edge = &part.edges[hem];
    let (at, turn) = edge
        .edge
        .curve
        .corners(Angle::degrees(SMOOTH))
        .into_iter()
        .max_by(|a, b| a.1.abs().in_radians().total_cmp(&b.1.abs().in_radians()))?;
    Some(
        Finding::of(
            &F20,
            Weight::Ask,
            part.named(hem),
            format!(
                "The hem of the train has a corner of {:.0}° on {}.",
                turn.abs().in_degrees(),
                the(&part.piece.name)
            ),
        )
        .out_by(
            Amount::Angle(turn.abs()),
            Some(Amount::Angle(Angle::degrees(SMOOTH))),
        )
        .cured_by("Draw the hem as one smooth curve.")
        .at(
            &part.piece.name,
            Some(edge.name()),
            edge.edge.curve.at(at).point,
        ),
    )
}

#[cfg(test)]
mod tests;
