//! What a method says of itself: its title, the measures it takes, the choices it offers.

use std::fmt::Write as _;

use draft::Reading;
use draft::note::Span;
use draft::tree::{ChoiceEntry, Expr, ExprKind, FigureKind};
use measure::names;
use serde_json::{Value, json};

use crate::answer::calm;

/// A method's own account.
#[derive(Clone, Debug)]
pub(crate) struct About {
    pub(crate) title: String,
    pub(crate) says: Vec<String>,
    pub(crate) measures: Vec<MeasureTaken>,
    pub(crate) choices: Vec<ChoiceOffered>,
}

/// A measure that it takes.
#[derive(Clone, Debug)]
pub(crate) struct MeasureTaken {
    pub(crate) name: String,
    /// What it takes when the card has none, as the method writes it.
    pub(crate) fallback: Option<String>,
    pub(crate) how_taken: Option<String>,
    pub(crate) why: Option<String>,
}

/// A choice that it offers. Values are as the method writes them: they may be sums of measures.
#[derive(Clone, Debug)]
pub(crate) struct ChoiceOffered {
    pub(crate) name: String,
    pub(crate) label: Option<String>,
    pub(crate) usual: String,
    pub(crate) between: Option<(String, String)>,
    pub(crate) words: Vec<String>,
    pub(crate) only_if: Option<String>,
    pub(crate) help: Option<String>,
    pub(crate) why: Option<String>,
    pub(crate) kind: Option<&'static str>,
}

impl About {
    /// What a method says of itself; `text` is the text that was read.
    pub(crate) fn of(reading: &Reading, text: &str) -> Self {
        let lines: Vec<&str> = text.lines().collect();
        let method = &reading.method;
        let measures = method
            .card
            .iter()
            .map(|m| MeasureTaken {
                name: m.name.name.to_string(),
                fallback: m.fallback.as_ref().map(|e| written(&lines, e)),
                how_taken: m
                    .taken
                    .clone()
                    .or_else(|| names::find(&m.name.name).map(|known| known.how_taken.to_owned())),
                why: m.why.clone(),
            })
            .collect();
        Self {
            title: method.title.clone(),
            says: method.about.clone(),
            measures,
            choices: method.choices.iter().map(|c| offered(&lines, c)).collect(),
        }
    }
}

fn offered(lines: &[&str], choice: &ChoiceEntry) -> ChoiceOffered {
    let written = |e: &Expr| written(lines, e);
    let words: Vec<String> = choice.one_of.iter().map(|w| w.name.to_string()).collect();
    let kind = if words.is_empty() {
        let limits = choice.between.iter().flat_map(|(low, high)| [low, high]);
        core::iter::once(&choice.usual).chain(limits).find_map(kind)
    } else {
        Some("one of")
    };
    ChoiceOffered {
        name: choice.name.name.to_string(),
        label: choice.label.clone(),
        usual: written(&choice.usual),
        between: choice
            .between
            .as_ref()
            .map(|(low, high)| (written(low), written(high))),
        words,
        only_if: choice.offered.as_ref().map(written),
        help: choice.help.clone(),
        why: choice.why.clone(),
        kind,
    }
}

/// The kind of a value, where its own words show it.
fn kind(e: &Expr) -> Option<&'static str> {
    match &e.kind {
        ExprKind::Figure(_, FigureKind::Length) => Some("length"),
        ExprKind::Figure(_, FigureKind::Angle) => Some("angle"),
        ExprKind::Figure(_, FigureKind::Plain) => Some("number"),
        ExprKind::Figure(_, FigureKind::Percent) => Some("share"),
        ExprKind::YesNo(_) => Some("yes or no"),
        ExprKind::Minus(inner) | ExprKind::Bracket(inner) => kind(inner),
        _ => None,
    }
}

/// A sum as the method writes it.
fn written(lines: &[&str], e: &Expr) -> String {
    let Span {
        line,
        column,
        width,
    } = e.span;
    let source = lines.get(line.saturating_sub(1) as usize).unwrap_or(&"");
    source
        .chars()
        .skip(column.saturating_sub(1) as usize)
        .take(width as usize)
        .collect()
}

/// For a program.
pub(crate) fn value(about: &About) -> Value {
    json!({
        "title": about.title,
        "about": about.says,
        "measures": measures(about),
        "choices": choices(about),
    })
}

/// The measures, for a program.
pub(crate) fn measures(about: &About) -> Value {
    about
        .measures
        .iter()
        .map(|m| {
            json!({
                "name": m.name,
                "required": m.fallback.is_none(),
                "else": m.fallback,
                "how_taken": m.how_taken,
                "why": m.why,
            })
        })
        .collect()
}

/// The choices, for a program.
pub(crate) fn choices(about: &About) -> Value {
    about
        .choices
        .iter()
        .map(|c| {
            let between = c.between.as_ref().map(|(low, high)| json!([low, high]));
            json!({
                "name": c.name,
                "label": c.label,
                "kind": c.kind,
                "usual": c.usual,
                "between": between,
                "one_of": c.words,
                "if": c.only_if,
                "help": c.help,
                "why": c.why,
            })
        })
        .collect()
}

/// The choices, for a person.
pub(crate) fn choices_told(about: &About) -> String {
    let mut out = String::new();
    for c in &about.choices {
        let _ = write!(out, "    {}: {}", calm(&c.name), calm(&c.usual));
        if let Some((low, high)) = &c.between {
            let _ = write!(out, ", between {} and {}", calm(low), calm(high));
        }
        if !c.words.is_empty() {
            let _ = write!(out, ", one of {}", calm(&c.words.join(", ")));
        }
        if let Some(question) = &c.only_if {
            let _ = write!(out, ", if {}", calm(question));
        }
        out.push('\n');
        for said in [&c.help, &c.why].into_iter().flatten() {
            let _ = writeln!(out, "      {}", calm(said));
        }
    }
    out
}
