//! `ellwand step`: how far she can step.

use std::fmt::Write as _;

use measure::fraction::{self, Shown, Unit, show};
use measure::predict::{Predicted, predict};
use measure::step::{StepAnswer, girth_needed, longest_step};
use measure::{Card, Length, names};
use serde_json::json;

use crate::answer::{Answer, calm};
use crate::args::Step;
use crate::json::{self as js, mm};
use crate::{job, shelf};

pub(crate) fn run(asked: &Step) -> Result<Answer, Vec<String>> {
    let opened = job::open(
        &asked.card,
        &shelf::own_measures(shelf::beside(&asked.card).methods()),
    )?;
    let card = &opened.card;
    let mut faults = Vec::new();
    let level = level(card, &asked.at).map_err(|m| faults.push(m)).ok();
    let (girth, text, name) = match (&asked.girth, &asked.wanted) {
        (None, Some(text)) => (false, text.as_str(), "--step"),
        (text, _) => (true, text.as_deref().unwrap_or_default(), "--girth"),
    };
    let value = length(text, name, card.unit())
        .map_err(|m| faults.push(m))
        .ok();
    let (Some(level), Some(given)) = (level, value) else {
        return Err(faults);
    };
    let answer = if girth {
        longest_step(card, given, level.below_waist)
    } else {
        girth_needed(card, given, level.below_waist)
    };
    let mut answer = answer.map_err(|says| vec![format!("--at {}: {says}", calm(&asked.at))])?;
    // A level that was itself reckoned is named first.
    if let Some(reckoned) = level.reckoned
        && !answer.assumed.iter().any(|p| p.name == reckoned.name)
    {
        answer.assumed.insert(0, reckoned);
    }
    if asked.json {
        return Ok(Answer::says(value_of(girth, &answer)));
    }
    let shown = job::shown(asked.unit, card);
    Ok(Answer::says(told(
        girth,
        given,
        level.below_waist,
        &answer,
        shown,
    )))
}

fn value_of(girth: bool, answer: &StepAnswer) -> String {
    let key = if girth { "step_mm" } else { "girth_mm" };
    let assumed: Vec<_> = answer
        .assumed
        .iter()
        .map(|p| {
            json!({"measure": p.name, "mm": mm(p.value), "low_mm": mm(p.low), "high_mm": mm(p.high)})
        })
        .collect();
    js::text(&json!({
        "format": 1,
        key: mm(answer.value),
        "leg_mm": mm(answer.leg),
        "standing_mm": mm(answer.standing),
        "predicted": assumed,
    }))
}

fn told(girth: bool, given: Length, level: Length, answer: &StepAnswer, shown: Shown) -> String {
    let s = |l: Length| show(l, shown);
    let mut out = if girth {
        format!(
            "{} round, {} below the waist: the longest step is about {}, heel to heel.\n",
            s(given),
            s(level),
            s(answer.value)
        )
    } else {
        format!(
            "For a step of {}, heel to heel, the skirt needs about {} round, {} below the waist.\n",
            s(given),
            s(answer.value),
            s(level)
        )
    };
    let _ = writeln!(
        out,
        "One leg is {} round there; both together need {} to stand. A full step of hers is about {}.",
        s(answer.leg),
        s(answer.standing),
        s(answer.height * 0.4)
    );
    if let Some(assumed) = answer.assumed_says(shown) {
        let _ = writeln!(out, "{assumed}");
    }
    out.push_str("An estimate: two straight legs that swing from the hip joint.\n");
    out
}

/// A length of the command line.
fn length(text: &str, name: &str, unit: Unit) -> Result<Length, String> {
    fraction::read(text, Some(unit)).map_err(|fault| format!("{name} {}: {fault}", calm(text)))
}

/// A level of the body.
struct Level {
    below_waist: Length,
    /// Set when it is not on the card.
    reckoned: Option<Predicted>,
}

/// How far below the waist a level lies: a measure from the card, or `18 in below waist`.
fn level(card: &Card, text: &str) -> Result<Level, String> {
    let at = |says: String| format!("--at {}: {says}", calm(text));
    let said = text.trim().to_lowercase();
    let tails = ["below the waist", "below waist"];
    if let Some(number) = tails.iter().find_map(|tail| said.strip_suffix(tail)) {
        return fraction::read(number.trim(), Some(card.unit()))
            .map(|below_waist| Level {
                below_waist,
                reckoned: None,
            })
            .map_err(|fault| at(fault.to_string()));
    }
    // `knee` is the level of her knee, not the girth of it.
    let folded = names::fold(text);
    let name = if folded.starts_with("waist to ") {
        folded
    } else {
        format!("waist to {folded}")
    };
    let Some(measure) = names::find(&name) else {
        return Err(at(
            "I don't know this level. Write `waist to knee`, or `18 in below waist`.".into(),
        ));
    };
    if let Some(below_waist) = card.get(measure.name) {
        return Ok(Level {
            below_waist,
            reckoned: None,
        });
    }
    predict(card, measure.name)
        .map(|p| Level {
            below_waist: p.value,
            reckoned: Some(p),
        })
        .ok_or_else(|| at(format!("`{}` is not on the card.", measure.name)))
}
