//! A quote as it was given: its sheet word for word, and all it was reckoned from.

use serde::{Deserialize, Serialize};
use sheet::words::Words;
use sheet::{QuoteRow, QuoteSheet};

use super::typed::Typed;

/// A line of the sheet: what, how much, in all.
type Row = (String, String, String);

/// What is kept of a quote.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Kept {
    pub(crate) typed: Typed,
    from: Vec<String>,
    to: Vec<String>,
    about: Vec<String>,
    currency: String,
    rows: Vec<Row>,
    sums: Vec<Row>,
    parts: Vec<(String, String)>,
    terms: Vec<String>,
    /// The tag of its language; quotes kept before there were several say nothing, and are English.
    language: String,
}

impl Kept {
    /// What is kept of a sheet and what it was reckoned from.
    pub(crate) fn of(typed: Typed, sheet: &QuoteSheet) -> Self {
        let row = |r: &QuoteRow| (r.what.clone(), r.how_much.clone(), r.in_all.clone());
        Self {
            typed,
            from: sheet.from.clone(),
            to: sheet.to.clone(),
            about: sheet.about.clone(),
            currency: sheet.currency.clone(),
            rows: sheet.rows.iter().map(row).collect(),
            sums: sheet.sums.iter().map(row).collect(),
            parts: sheet.parts.clone(),
            terms: sheet.terms.clone(),
            language: sheet.words.language.to_owned(),
        }
    }

    /// The sheet once more.
    pub(crate) fn sheet(&self, order: u32, number: u32) -> QuoteSheet {
        let row = |(what, how_much, in_all): &Row| QuoteRow {
            what: what.clone(),
            how_much: how_much.clone(),
            in_all: in_all.clone(),
        };
        QuoteSheet {
            number: (order, number),
            from: self.from.clone(),
            to: self.to.clone(),
            about: self.about.clone(),
            currency: self.currency.clone(),
            rows: self.rows.iter().map(row).collect(),
            sums: self.sums.iter().map(row).collect(),
            parts: self.parts.clone(),
            terms: self.terms.clone(),
            words: Words::of(&self.language).unwrap_or_default(),
        }
    }

    pub(crate) fn to_json(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    pub(crate) fn of_json(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }
}
