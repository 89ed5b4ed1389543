//! Works a method for a card.

use measure::card::Card;
use measure::fraction::Shown;

use crate::note::Note;
use crate::reader::{Reading, read};
use crate::worked::Worked;

/// The methods at hand, for `use "…"`.
#[derive(Clone, Debug, Default)]
pub struct Library {
    methods: Vec<Reading>,
}

impl Library {
    /// A library of these texts.
    pub fn new<'a>(texts: impl IntoIterator<Item = &'a str>) -> Self {
        Self {
            methods: texts.into_iter().map(read).collect(),
        }
    }

    /// The method with this title.
    pub fn titled(&self, title: &str) -> Option<&Reading> {
        let title = title.trim().to_lowercase();
        self.methods
            .iter()
            .find(|m| m.method.title.to_lowercase() == title)
    }

    /// All of them.
    pub fn methods(&self) -> &[Reading] {
        &self.methods
    }
}

/// What is wanted of a draft.
#[derive(Clone, Copy, Debug)]
pub struct Wish<'a> {
    /// The card.
    pub card: &'a Card,
    /// Choices set, as words: `("tightening", "2 in")`. A bare number of a length is in the card's unit.
    pub set: &'a [(String, String)],
    /// Predict a missing measure from the others in place of a method's `else`.
    pub predict: bool,
    /// Leave the draft as the hand drew it.
    pub untrued: bool,
    /// How lengths are shown.
    pub shown: Shown,
}

/// Everything that can be said of a method without a card.
pub fn check(reading: &Reading, _library: &Library) -> Vec<Note> {
    reading.notes.clone()
}

/// Works a method for a card.
pub fn work(_reading: &Reading, _library: &Library, _wish: &Wish<'_>) -> Worked {
    Worked::default()
}
