//! F1 and F2: both sides of a seam are equally long, in the whole and from notch to notch.

use measure::Length;

use crate::finding::{Amount, Finding, Weight};
use crate::rounds;
use crate::rules::{F1, F2};
use crate::seen::{Place, Seam, Seen};
use crate::walked::{self, Stretch, Walked};

/// Good work: past it she is asked, in millimetres (1/16 in).
pub(crate) const ASK: f64 = 1.5875;
/// The usual limit: past it the seam can't be sewn so, in millimetres (1/8 in).
pub(crate) const STOP: f64 = 3.175;

/// Looks at all seams, those of the shell first.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out: Vec<Finding> = Vec::new();
    for seam in walked::shell_first(seen) {
        if seam.twin {
            continue;
        }
        let walked = walked::walk(seen, seam);
        // A round edge on a hollow one is F25's.
        let round = rounds::judged(seen, seam, &walked);
        let whole = round.is_none() && walked.out.abs() > ASK;
        if whole && !walked::is_told(seen, seam, &out, F1.id) {
            out.push(of_whole(seen, seam, &walked));
        }
        let apex = round.map(|r| r.fullest);
        if let Some(worst) = worst(&walked, whole, apex)
            && !walked::is_told(seen, seam, &out, F2.id)
        {
            out.push(of_stretch(seen, seam, &walked, worst));
        }
    }
    out
}

fn weight(seen: &Seen<'_>, seam: &Seam, out: f64) -> Weight {
    let under = |legs: &[crate::seen::Leg]| {
        legs.iter()
            .any(|l| seen.parts[l.part].place == Place::Under)
    };
    // What lies under may be eased or pleated a little.
    if out.abs() > STOP && !under(&seam.a) && !under(&seam.b) {
        Weight::Stop
    } else {
        Weight::Ask
    }
}

fn amount(mm: f64) -> Amount {
    Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO))
}

/// `the front side is 3/16 in longer than the back side`.
fn longer(seen: &Seen<'_>, seam: &Seam, out: f64) -> String {
    let (one, two) = (walked::said(seen, &seam.a), walked::said(seen, &seam.b));
    let (long, short) = if out > 0.0 { (one, two) } else { (two, one) };
    format!(
        "{long} is {} longer than {short}",
        seen.tell_small(out.abs())
    )
}

fn with_ease(seen: &Seen<'_>, seam: &Seam) -> String {
    const SOME: f64 = 0.01;
    if seam.ease.abs() < SOME {
        return String::new();
    }
    let eased = walked::said(seen, if seam.ease > 0.0 { &seam.a } else { &seam.b });
    format!(
        " beside the {} of {eased} that is meant to be eased in",
        seen.tell(seam.ease.abs())
    )
}

fn between(seen: &Seen<'_>, seam: &Seam, s: Stretch) -> String {
    format!(
        "between {} and {}",
        walked::place(seen, seam, s.from.a),
        walked::place(seen, seam, s.to.a)
    )
}

/// A spot in the middle of a stretch, on both sides.
fn at(seen: &Seen<'_>, seam: &Seam, finding: Finding, s: Stretch) -> Finding {
    let middles = [
        (&seam.a, f64::midpoint(s.from.a, s.to.a)),
        (&seam.b, f64::midpoint(s.from.b, s.to.b)),
    ];
    middles
        .into_iter()
        .fold(finding, |f, (side, at)| match seen.point(side, at) {
            Some((leg, point)) => f.at(
                &seen.parts[leg.part].piece.name,
                Some(seen.edge(leg).name()),
                point,
            ),
            None => f,
        })
}

pub(crate) fn seam_place(seen: &Seen<'_>, seam: &Seam) -> String {
    if seam.twin {
        return seen.named(&seam.a);
    }
    format!("{} + {}", seen.named(&seam.a), seen.named(&seam.b))
}

/// Stretches joined so that each runs between two places that have a name: levels, marks, ends.
fn named_stretches(seen: &Seen<'_>, seam: &Seam, walked: &Walked) -> Vec<Stretch> {
    let mut out: Vec<Stretch> = Vec::new();
    for s in &walked.stretches {
        match out.last_mut() {
            Some(last) if !walked::has_name(seen, seam, last.to.a) => {
                last.to = s.to;
                last.out += s.out;
            }
            _ => out.push(*s),
        }
    }
    out
}

/// Where it lies: in one stretch, if that holds nearly all of it, or how much in each.
fn lies(seen: &Seen<'_>, seam: &Seam, walked: &Walked, parts: &[Stretch]) -> String {
    /// A part of less than this is not worth telling, in millimetres: 1/32 in.
    const LITTLE: f64 = 0.79;
    const NEARLY_ALL: f64 = 0.9;
    /// More parts than this are too many to read.
    const MOST: usize = 4;
    if parts.len() < 2 {
        return String::new();
    }
    if let Some(s) = parts.iter().find(|s| s.out / walked.out > NEARLY_ALL) {
        return format!(" {}", between(seen, seam, *s));
    }
    let told: Vec<String> = parts
        .iter()
        .filter(|s| s.out * walked.out > 0.0 && s.out.abs() > LITTLE)
        .map(|s| {
            format!(
                "{} {}",
                seen.tell_small(s.out.abs()),
                between(seen, seam, *s)
            )
        })
        .collect();
    match told.split_last() {
        Some((last, rest)) if !rest.is_empty() && told.len() <= MOST => {
            format!(": {} and {last}", rest.join(", "))
        }
        _ => String::new(),
    }
}

fn of_whole(seen: &Seen<'_>, seam: &Seam, walked: &Walked) -> Finding {
    let parts = named_stretches(seen, seam, walked);
    let says = format!(
        "{}: {}{}{}.",
        walked::capital(&seam.name),
        longer(seen, seam, walked.out),
        with_ease(seen, seam),
        lies(seen, seam, walked, &parts)
    );
    let finding = Finding::of(
        &F1,
        weight(seen, seam, walked.out),
        seam_place(seen, seam),
        says,
    )
    .out_by(amount(walked.out), Some(amount(STOP)));
    let main = parts
        .into_iter()
        .max_by(|x, y| (x.out * walked.out).total_cmp(&(y.out * walked.out)));
    match main {
        Some(s) => at(seen, seam, finding, s),
        None => finding,
    }
}

/// The stretch that is most out. Where the whole is out too, only one that is out the other way counts,
/// or one that is out by more than the whole.
fn worst(walked: &Walked, whole: bool, fullest: Option<f64>) -> Option<Stretch> {
    if walked.stretches.len() < 2 {
        return None;
    }
    walked
        .stretches
        .iter()
        .copied()
        .filter(|s| {
            let ease_lies_here = fullest.is_some_and(|at| {
                at > s.from.a - rounds::NEAR_FULLEST && at < s.to.a + rounds::NEAR_FULLEST
            });
            let beyond = if whole && s.out * walked.out > 0.0 {
                s.out.abs() - walked.out.abs()
            } else {
                s.out.abs()
            };
            beyond > ASK && !ease_lies_here
        })
        // Of two that are as much out, the first.
        .rev()
        .max_by(|x, y| hundredths(x.out.abs()).total_cmp(&hundredths(y.out.abs())))
}

fn hundredths(mm: f64) -> f64 {
    (mm * 100.0).round()
}

fn of_stretch(seen: &Seen<'_>, seam: &Seam, walked: &Walked, s: Stretch) -> Finding {
    // The neighbour that is out the other way by about as much tells which notch is off.
    let against = walked
        .stretches
        .iter()
        .copied()
        .filter(|o| o.from == s.to || o.to == s.from)
        .filter(|o| o.out * s.out < 0.0 && o.out.abs() > ASK)
        .max_by(|x, y| x.out.abs().total_cmp(&y.out.abs()));
    let (more, cure) = match against {
        Some(o) => {
            let notch = if o.from == s.to { s.to } else { s.from };
            (
                format!(
                    ", and {} it is {} shorter",
                    between(seen, seam, o),
                    seen.tell_small(o.out.abs())
                ),
                Some(format!(
                    "Move {} on one of them, then true.",
                    walked::notch(seen, seam, notch.a)
                )),
            )
        }
        None => (String::new(), None),
    };
    let says = format!(
        "{}: {} {}{more}.",
        walked::capital(&seam.name),
        longer(seen, seam, s.out),
        between(seen, seam, s)
    );
    let finding = Finding::of(&F2, weight(seen, seam, s.out), seam_place(seen, seam), says)
        .out_by(amount(s.out), Some(amount(ASK)));
    let finding = at(seen, seam, finding, s);
    match cure {
        Some(cure) => finding.cured_by(cure),
        None => finding,
    }
}

#[cfg(test)]
mod tests;
