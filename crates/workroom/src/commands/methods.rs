//! `ellwand methods`: what there is to draft by.

use std::fmt::Write as _;

use serde_json::{Value, json};

use crate::about::{self, About};
use crate::answer::{Answer, calm};
use crate::args::Methods;
use crate::json as js;
use crate::shelf::{self, SHIPPED};

pub(crate) fn run(asked: &Methods) -> Result<Answer, Vec<String>> {
    let all = match &asked.name {
        Some(word) => {
            let taken = shelf::take(word).map_err(|m| vec![m])?;
            vec![(taken.name.clone(), About::of(&taken.reading, &taken.text))]
        }
        None => SHIPPED
            .iter()
            .map(|(name, text)| ((*name).to_owned(), About::of(&draft::read(text), text)))
            .collect(),
    };
    if asked.json {
        let methods: Vec<Value> = all
            .iter()
            .map(|(name, about)| {
                let mut value = about::value(about);
                if let Value::Object(map) = &mut value {
                    map.shift_insert(0, "name".into(), json!(name));
                }
                value
            })
            .collect();
        return Ok(Answer::says(js::text(
            &json!({"format": 1, "methods": methods}),
        )));
    }
    let mut out = String::new();
    for (name, about) in &all {
        let _ = writeln!(out, "{}: {}", calm(name), calm(&about.title));
        for line in &about.says {
            let _ = writeln!(out, "  {}", calm(line));
        }
        let measures: Vec<&str> = about.measures.iter().map(|m| m.name.as_str()).collect();
        let _ = writeln!(out, "  Takes: {}", calm(&measures.join(", ")));
        if asked.name.is_some() {
            out.push_str(&about::choices_told(about));
        } else {
            let _ = writeln!(out, "  Offers {} choices", about.choices.len());
        }
        out.push('\n');
    }
    if all.is_empty() {
        out.push_str("This program ships no method. Name the file of one of your own.\n");
    } else if asked.name.is_none() {
        out.push_str("`ellwand methods NAME` shows the choices of one.\n");
    }
    Ok(Answer::says(out))
}
