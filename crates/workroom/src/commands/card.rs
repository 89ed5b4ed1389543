//! `ellwand card`: what a card itself asks, and what can be reckoned from it.

use std::fmt::Write as _;

use measure::fraction::show;
use measure::predict::{Predicted, predict};
use measure::questions::{self, Question, Weight};
use measure::{Card as Measures, names};
use serde_json::{Map, Value, json};

use crate::answer::{Answer, calm};
use crate::args::Card;
use crate::json::{self as js, maybe, mm};
use crate::{job, shelf};

pub(crate) fn run(asked: &Card) -> Result<Answer, Vec<String>> {
    if let Some(name) = &asked.explain {
        return explain(name);
    }
    let path = asked.file.clone().unwrap_or_default();
    let (own, taken) = if let Some(word) = &asked.method {
        let method = shelf::take(word).map_err(|m| vec![m])?;
        (method.own_measures(), shelf::measures([&method.reading]))
    } else {
        let library = shelf::beside(&path);
        let readings = library.methods();
        (shelf::own_measures(readings), shelf::measures(readings))
    };
    let opened = job::open(&path, &own)?;
    let card = &opened.card;
    let questions = questions::ask(card);
    let predicted = missing(card);
    if asked.json {
        return Ok(Answer::says(js::text(&value(card, &questions, &predicted))));
    }
    let shown = job::shown(asked.unit, card);
    let mut out = format!("{}\n", calm(card.client()));
    if questions.is_empty() {
        out.push_str("  Nothing on this card looks odd.\n");
    }
    for q in &questions {
        let weight = match q.weight {
            Weight::Ask => "Ask: ",
            Weight::Note => "Note:",
        };
        let _ = writeln!(out, "  {weight} {}", calm(&q.says));
    }
    // Sixty reckoned measures would hide the few that a draft may ask for.
    let asked_for: Vec<&Predicted> = predicted
        .iter()
        .filter(|p| taken.contains(&p.name))
        .collect();
    if !asked_for.is_empty() {
        out.push_str("\nNot on the card, and some method takes it. Reckoned from the rest; nine women in ten lie between:\n");
        for p in asked_for {
            let _ = writeln!(
                out,
                "  {}: {} ({} to {})",
                p.name,
                show(p.value, shown),
                show(p.low, shown),
                show(p.high, shown)
            );
        }
    }
    Ok(Answer::says(out))
}

/// Every measure that is not on the card and can be reckoned from it.
fn missing(card: &Measures) -> Vec<Predicted> {
    names::all()
        .iter()
        .filter(|m| card.get(m.name).is_none())
        .filter_map(|m| predict(card, m.name))
        // With nothing to go by it would be any woman's, and say nothing of her.
        .filter(|p| !p.from.is_empty())
        .collect()
}

fn value(card: &Measures, questions: &[Question], predicted: &[Predicted]) -> Value {
    let measures: Map<String, Value> = card
        .measures()
        .map(|m| (m.name.clone(), mm(m.length)))
        .collect();
    let questions: Vec<Value> = questions
        .iter()
        .map(|q| {
            json!({
                "measure": q.measure,
                "weight": match q.weight { Weight::Ask => "ask", Weight::Note => "note" },
                "rule": q.rule,
                "says": q.says,
                "likely_mm": maybe(q.likely),
            })
        })
        .collect();
    let predicted: Vec<Value> = predicted
        .iter()
        .map(|p| {
            json!({"measure": p.name, "mm": mm(p.value), "low_mm": mm(p.low), "high_mm": mm(p.high)})
        })
        .collect();
    json!({
        "format": 1,
        "client": card.client(),
        "measures_mm": measures,
        "questions": questions,
        "predicted": predicted,
    })
}

fn explain(name: &str) -> Result<Answer, Vec<String>> {
    if names::fold(name) == "all" {
        let all: Vec<String> = names::all().iter().map(names::explain).collect();
        return Ok(Answer::says(all.join("\n")));
    }
    if let Some(measure) = names::find(name) {
        return Ok(Answer::says(names::explain(measure)));
    }
    let meant = names::meant(name, &[]);
    let hint = if meant.is_empty() {
        "`ellwand card --explain all` lists every one.".to_owned()
    } else {
        let each: Vec<String> = meant.iter().map(|m| format!("`{m}`")).collect();
        format!("Did you mean {}?", each.join(" or "))
    };
    Err(vec![format!(
        "There is no measure `{}`. {hint}",
        calm(name)
    )])
}
