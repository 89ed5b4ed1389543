//! The finished garment measured afresh on its pieces, at the levels of her body.
//!
//! Only the shell that goes round her counts: a facing lies on it, a band above it. What can't be
//! measured honestly is left out: [`crate::round`] says when.

use draft::worked::Worked;
use lay::Cloth;
use measure::card::Card;
use measure::fraction::Shown;
use measure::{Length, step};

use crate::her::Her;
use crate::round::Round;
use crate::seen::{Seen, Subject};
use crate::walking;

/// What the finished garment measures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// Round the waist, along the sewn edges.
    pub waist: Option<Length>,
    /// Round the hip level.
    pub hip: Option<Length>,
    /// Round the break, each piece at its own level of it.
    pub break_girth: Option<Length>,
    /// Along the hem.
    pub hem: Option<Length>,
    /// The step it allows.
    pub step: Option<Step>,
}

/// The longest step, and what decides it.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Heel to heel.
    pub longest: Length,
    /// The level below the waist at which the skirt is tightest for it.
    pub below_waist: Length,
    /// The girth there.
    pub girth: Length,
    /// What of her body was not on the card and was reckoned.
    pub assumed: Vec<String>,
}

/// Measures a worked draft in a cloth that does not stretch.
pub fn measure(worked: &Worked, card: &Card) -> Measured {
    measure_in(worked, card, None)
}

/// Measures a worked draft in its cloth: what stretches gives her a longer step.
pub fn measure_in(worked: &Worked, card: &Card, cloth: Option<&Cloth>) -> Measured {
    let seen = Seen::of(&Subject {
        card,
        worked,
        cloth,
        shown: Shown::usual(card.unit()),
    });
    of(&seen)
}

/// Measures what was seen.
pub fn of(seen: &Seen<'_>) -> Measured {
    let round = Round::of(seen);
    let her = Her::of(seen);
    let mm = |mm: Option<f64>| mm.and_then(Length::try_mm);
    let step = walking::tightest(&round, &her).and_then(|t| {
        let answer = step::longest_step(seen.card, t.loop_there()?, t.below()?).ok()?;
        Some(Step {
            longest: answer.value,
            below_waist: t.below()?,
            girth: Length::try_mm(t.girth)?,
            assumed: answer.assumed.iter().map(|p| p.name.clone()).collect(),
        })
    });
    Measured {
        waist: mm(round.waist()),
        hip: mm(her.hip_level().and_then(|level| round.girth_near(level))),
        break_girth: mm(round.break_girth().map(|(girth, _)| girth)),
        hem: mm(round.hem()),
        step,
    }
}

#[cfg(test)]
mod tests;
