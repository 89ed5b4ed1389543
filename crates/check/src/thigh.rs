//! The thighs: a narrow skirt binds where both thighs are together.

use measure::{Length, step};

use crate::finding::{Finding, Weight};
use crate::her::Her;
use crate::hip::spotted;
use crate::round::Round;
use crate::rules;
use crate::seen::Seen;
use crate::walking::{edges_named, gap, length};

const INCH: f64 = 25.4;
/// Both thighs are taken so far below the waist.
const BOTH_THIGHS: f64 = 12.0 * INCH;
/// Where they were not taken it is tried so far below the hip line.
const BELOW_HIP: f64 = 5.0 * INCH;
/// Draft and tape agree within this.
const EIGHTH: f64 = INCH / 8.0;
/// A loop round two thighs as it is reckoned is right within this part of it for two women of three:
/// 1.637 of the thigh against the hip of the women surveyed in 1988.
const SPREAD: f64 = 0.033;

/// F33: it binds at the thighs.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    look(seen).into_iter().collect()
}

fn look(seen: &Seen<'_>) -> Option<Finding> {
    let (round, her) = (Round::of(seen), Her::of(seen));
    let foot = round.closed_foot()?;
    let (level, wanted, how, weight) = if let Some(both) = her.taken("both thighs") {
        let how = "her thighs together".to_owned();
        (BOTH_THIGHS, both, how, Weight::Ask)
    } else {
        let level = her.hip_level()? + BELOW_HIP;
        (level < foot).then_some(())?;
        let girth = round.girth_at(level)? * (1.0 + her.stretch());
        let answer =
            step::longest_step(seen.card, Length::try_mm(girth)?, Length::try_mm(level)?).ok()?;
        // Her thighs together are never more than her hip, over which it is pulled.
        let wanted = answer
            .standing
            .in_mm()
            .min(her.hip().unwrap_or(f64::INFINITY));
        let how = format!(
            "her thighs together, reckoned from one leg of {} there,",
            seen.tell(answer.leg.in_mm())
        );
        // Within the spread of the reckoning nothing is known.
        (girth < wanted * (1.0 - SPREAD)).then_some(())?;
        let sure = girth < wanted * (1.0 - 2.0 * SPREAD);
        (
            level,
            wanted,
            how,
            if sure { Weight::Ask } else { Weight::Note },
        )
    };
    (level < foot).then_some(())?;
    let girth = round.girth_at(level)? * (1.0 + her.stretch());
    (girth < wanted - EIGHTH).then(|| {
        let edges = round.sides_at(level);
        let says = format!(
            "{} below the waist it is {} round; {how} come to {}, so it is {} too narrow and rides up.",
            seen.tell(level),
            seen.tell(girth),
            seen.tell(wanted),
            gap(seen, wanted, girth)
        );
        let finding = Finding::of(&rules::F33, weight, edges_named(seen, &edges), says)
            .out_by(length(girth - wanted), Some(length(0.0)));
        spotted(seen, finding, &edges)
    })
}

#[cfg(test)]
mod tests;
