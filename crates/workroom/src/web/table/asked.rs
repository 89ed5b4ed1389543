//! What the address of the table asks for: the choice in the hand, the look at the paper, what is
//! measured.

use draft::Worked;
use draft::worked::{ChoiceUsed, Quantity};

use crate::web::parts::link;

/// What the address asks for.
#[derive(Clone, Debug, Default, serde::Deserialize)]
pub(crate) struct Asked {
    /// The choice in the hand.
    pub(crate) hand: Option<String>,
    pub(crate) view: Option<String>,
    /// Lines left off, with commas.
    #[serde(default)]
    pub(crate) hide: String,
    /// The two points to measure between.
    pub(crate) a: Option<String>,
    pub(crate) b: Option<String>,
    pub(crate) edge: Option<String>,
    /// All cures are wanted, however long it takes.
    pub(crate) cures: Option<String>,
    pub(crate) said: Option<String>,
}

impl Asked {
    pub(super) fn hidden(&self) -> Vec<String> {
        self.hide
            .split(',')
            .filter(|h| !h.is_empty())
            .map(str::to_owned)
            .collect()
    }

    /// The address of the table with one thing of this other.
    pub(super) fn address(&self, order: u32, key: &str, value: &str) -> String {
        let mut pairs: Vec<(&str, &str)> = Vec::new();
        for (k, v) in [("hand", &self.hand), ("view", &self.view)] {
            if let Some(v) = v.as_deref().filter(|_| k != key) {
                pairs.push((k, v));
            }
        }
        if key != "hide" && !self.hide.is_empty() {
            pairs.push(("hide", &self.hide));
        }
        if !value.is_empty() {
            pairs.push((key, value));
        }
        let query: Vec<String> = pairs
            .iter()
            .map(|(k, v)| format!("{k}={}", link::escaped(v)))
            .collect();
        if query.is_empty() {
            format!("/orders/{order}/draft")
        } else {
            format!("/orders/{order}/draft?{}", query.join("&"))
        }
    }
}

/// The choice that is in the hand: the one asked for, else the first length that is offered.
pub(crate) fn in_hand<'a>(worked: &'a Worked, asked: Option<&str>) -> Option<&'a ChoiceUsed> {
    let mut offered = worked.choices.iter().filter(|c| c.offered);
    let is_length = |c: &&ChoiceUsed| matches!(c.value, Quantity::Length(_)) && c.range.is_some();
    asked
        .and_then(|name| worked.choices.iter().find(|c| c.name == name && c.offered))
        .or_else(|| offered.clone().find(is_length))
        .or_else(|| offered.next())
}
