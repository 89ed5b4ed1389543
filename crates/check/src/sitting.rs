//! Sitting: room for the seat, and for two bent knees side by side.

use crate::finding::{Finding, Weight};
use crate::her::Her;
use crate::hip::spotted;
use crate::round::Round;
use crate::rules;
use crate::seen::Seen;
use crate::walking::{edges_named, length};

const INCH: f64 = 25.4;
/// Draft and tape agree within this, in millimetres.
const EIGHTH: f64 = INCH / 8.0;
/// What a seat without stretch needs at least where the seated hip was not taken.
const FLOOR: f64 = INCH;
/// A knee is this much larger round when it is bent: 12 to 14 in a hundred.
const BENT: f64 = 1.13;
/// The least loop round two legs side by side, as a part of one leg: 1 + 2/pi.
const BOTH: f64 = 1.0 + 2.0 * std::f64::consts::FRAC_1_PI;

/// F11: she can't sit in it.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let (round, her) = (Round::of(seen), Her::of(seen));
    let mut out = Vec::new();
    out.extend(seat(seen, &round, &her));
    out.extend(knees(seen, &round, &her));
    out
}

fn seat(seen: &Seen<'_>, round: &Round<'_, '_>, her: &Her<'_, '_>) -> Option<Finding> {
    let (hip, level) = (her.hip()?, her.hip_level()?);
    // A slit that begins above the seat gives it all the room it wants.
    (round.closed_foot()? > level).then_some(())?;
    let girth = round.girth_near(level)?;
    let ease = girth * (1.0 + her.stretch()) - hip;
    // Less than her hip is the hip's own fault.
    (ease >= -EIGHTH).then_some(())?;
    let seated = her.taken("seated hip").filter(|s| *s >= hip);
    let wanted = seated.map_or(FLOOR, |s| s - hip);
    (ease < wanted - 0.5).then(|| {
        let edges = round.sides_at(level);
        let why = match seated {
            Some(seated) => format!("sitting she is {} round the hip", seen.tell(seated)),
            None => format!(
                "her hip was not taken sitting, and a seat spreads by {} at least",
                seen.tell(FLOOR)
            ),
        };
        let has = if ease < EIGHTH / 2.0 {
            "no ease".to_owned()
        } else {
            format!("{} of ease", seen.tell(ease))
        };
        let says = format!(
            "The pattern has {has} at the hip, {} short for sitting: {why}.",
            seen.tell(wanted - ease)
        );
        let finding = Finding::of(&rules::F11, Weight::Ask, edges_named(seen, &edges), says)
            .out_by(length(ease - wanted), Some(length(0.0)));
        spotted(seen, finding, &edges)
    })
}

fn knees(seen: &Seen<'_>, round: &Round<'_, '_>, her: &Her<'_, '_>) -> Option<Finding> {
    let (level, _) = her.known("waist to knee")?;
    (round.closed_foot()? > level).then_some(())?;
    let girth = round.girth_at(level)?;
    let here = girth * (1.0 + her.stretch());
    let (bent, how) = match her.taken("bent knee") {
        Some(bent) => (bent, String::new()),
        None => {
            let (knee, reckoned) = her.known("knee")?;
            let how = if reckoned {
                format!(
                    " Her knee was not measured, so reckoned as {}.",
                    seen.tell(knee)
                )
            } else {
                String::new()
            };
            (knee * BENT, how)
        }
    };
    let wanted = BOTH * bent;
    (here < wanted - 0.5).then(|| {
        let edges = round.sides_at(level);
        let says = format!(
            "At the knees it is {} round; two bent knees side by side want {}, so it creeps up when she sits.{how}",
            seen.tell(here),
            seen.tell(wanted)
        );
        let finding = Finding::of(&rules::F11, Weight::Ask, edges_named(seen, &edges), says)
            .out_by(length(here - wanted), Some(length(0.0)));
        spotted(seen, finding, &edges)
    })
}

#[cfg(test)]
mod tests;
