//! `ellwand read`: what is to be put right in a method; the text tidied; its steps for a card.

use std::fmt::Write as _;

use draft::{Note, Worked};
use serde_json::{Value, json};

use crate::about::{self, About};
use crate::answer::{Answer, DONE, FAULT, calm, calm_lines};
use crate::args::Read;
use crate::job::{self, Job, Opened};
use crate::json as js;
use crate::shelf::Taken;

pub(crate) fn run(asked: &Read) -> Result<Answer, Vec<String>> {
    let (method, set, opened) = job::gather(&asked.file, &asked.ways.set, asked.card.as_deref())?;
    let job = opened
        .as_ref()
        .map(|opened| Job::new(opened, &method, &set, &asked.ways));
    let worked = job.as_ref().map(Job::work);
    // With a card the draft is worked too, and what only that shows is told with the rest.
    let notes = match &worked {
        Some(worked) => worked.notes.clone(),
        None => draft::check(&method.reading, &method.library),
    };
    let faults: &[String] = worked.as_ref().map_or(&[], |w| &w.faults);
    let code = if notes.is_empty() && faults.is_empty() {
        DONE
    } else {
        FAULT
    };
    if asked.json {
        let value = value(asked, &method, worked.as_ref(), &notes, faults);
        return Ok(Answer::says(js::text(&value)).ending(code));
    }
    let mut messages: Vec<String> = notes
        .iter()
        .map(|n| calm_lines(&n.shown(&method.shown, &method.text).to_string()))
        .collect();
    messages.extend(faults.iter().map(|f| calm(f)));
    let out = if asked.tidy {
        draft::tidy(&method.text)
    } else if let (true, Some(worked), Some(opened)) = (asked.steps, &worked, &opened) {
        steps(worked, opened)
    } else if notes.is_empty() {
        summary(&method)
    } else {
        String::new()
    };
    Ok(Answer {
        out,
        messages,
        code,
    })
}

fn value(
    asked: &Read,
    method: &Taken,
    worked: Option<&Worked>,
    notes: &[Note],
    faults: &[String],
) -> Value {
    let about = About::of(&method.reading, &method.text);
    let notes: Vec<Value> = notes
        .iter()
        .map(|n| {
            json!({
                "line": n.span.line,
                "column": n.span.column,
                "message": n.message,
                "hint": n.hint,
            })
        })
        .collect();
    let mut value = json!({
        "format": 1,
        "title": about.title,
        "notes": notes,
        "measures": about::measures(&about),
        "choices": about::choices(&about),
    });
    if asked.tidy {
        value["tidied"] = json!(draft::tidy(&method.text));
    }
    if let Some(worked) = worked {
        value["faults"] = json!(faults);
        if asked.steps {
            value["steps"] = worked
                .steps
                .iter()
                .map(|s| {
                    json!({
                        "number": s.number,
                        "stage": s.stage,
                        "sentence": s.sentence,
                        "why": s.why,
                    })
                })
                .collect();
        }
    }
    value
}

fn steps(worked: &Worked, opened: &Opened) -> String {
    let mut out = format!(
        "{} for {}\n",
        calm(&worked.title),
        calm(opened.card.client())
    );
    let mut stage = "";
    for step in &worked.steps {
        if step.stage != stage {
            stage = &step.stage;
            let _ = writeln!(out, "\n{}", calm(stage));
        }
        let number = step
            .number
            .map_or_else(|| "    ".to_owned(), |n| format!("{n:>3}."));
        let _ = writeln!(out, "{number} {}", calm(&step.sentence));
        if let Some(why) = &step.why {
            let _ = writeln!(out, "     Why: {}", calm(why));
        }
    }
    out
}

fn summary(method: &Taken) -> String {
    let about = About::of(&method.reading, &method.text);
    let mut out = format!("{}: nothing to put right.\n", calm(&about.title));
    let measures: Vec<&str> = about.measures.iter().map(|m| m.name.as_str()).collect();
    let _ = writeln!(out, "  Takes: {}", calm(&measures.join(", ")));
    out.push_str("  Offers:\n");
    out.push_str(&about::choices_told(&about));
    out
}
