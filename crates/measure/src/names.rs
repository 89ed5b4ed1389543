//! The measures that the trade knows: what each is called, what it is, how the tape takes it.

use std::collections::BTreeMap;
use std::sync::LazyLock;

mod page;
mod table;

pub use page::page;

/// What sort of thing a measure is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Once round the body, or round one leg or arm.
    Girth,
    /// Part of the way round, from side seam to side seam or from armhole to armhole.
    Arc,
    /// Up from the floor, and taken in the shoes of the event.
    Floor,
    /// Her height, barefoot.
    Height,
    /// Down or along the body, from one place to another.
    Length,
    /// Straight across.
    Width,
    /// A slope.
    Angle,
    /// What the shoe adds.
    Shoe,
    /// What she would like to do or to have, not what the tape found.
    Wish,
}

impl Kind {
    /// The kind in a word or two, for a list.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Girth => "girth",
            Self::Arc => "part of a girth",
            Self::Floor => "floor length, in shoes",
            Self::Height => "height, barefoot",
            Self::Length => "length",
            Self::Width => "width",
            Self::Angle => "angle",
            Self::Shoe => "shoe",
            Self::Wish => "wish",
        }
    }
}

/// A measure by its trade name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    /// The name it goes by on cards, in methods and in reports.
    pub name: &'static str,
    /// Other names under which it is accepted.
    pub synonyms: &'static [&'static str],
    /// What sort of thing it is.
    pub kind: Kind,
    /// What it is, in a few words.
    pub definition: &'static str,
    /// How the tape takes it.
    pub how_taken: &'static str,
    /// The column of the survey of 1988 that holds it, when one does (units left out).
    pub column: Option<&'static str>,
    /// The range in inches outside which a measurer looks again (degrees for an angle).
    ///
    /// From memory, as the page it was taken from says; where bodies were counted, that count decides.
    pub ask_again: Option<(f64, f64)>,
}

impl Measure {
    /// Whether it is taken to the floor in shoes, so that the heel counts in it.
    pub fn in_shoes(&self) -> bool {
        self.kind == Kind::Floor
    }
}

/// Every measure that the trade knows, in the order in which they are taken: all round, down the
/// legs, to the floor, and then the upper body.
pub fn all() -> &'static [Measure] {
    table::ALL
}

/// The measure of this name or synonym. Capitals count as small letters; blanks, hyphens and low
/// lines are all the same.
///
/// # Example
/// ```
/// use measure::names::find;
/// assert_eq!(find("Nape to Waist").map(|m| m.name), Some("back waist length"));
/// assert!(find("wast").is_none());
/// ```
pub fn find(name: &str) -> Option<&'static Measure> {
    // The table is written folded, so only the question needs folding, and a name of the table not even that.
    if let Some(found) = BY_NAME.get(name) {
        return Some(found);
    }
    BY_NAME.get(fold(name).as_str()).copied()
}

/// Every measure under each of its names; a name that stands twice is the first's.
static BY_NAME: LazyLock<BTreeMap<&str, &Measure>> = LazyLock::new(|| {
    let mut out = BTreeMap::new();
    for measure in all() {
        for name in core::iter::once(&measure.name).chain(measure.synonyms) {
            out.entry(*name).or_insert(measure);
        }
    }
    out
});

/// A name with capitals made small and every run of blanks, hyphens and low lines made one blank.
pub fn fold(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for part in name
        .split(|c: char| c.is_whitespace() || c == '-' || c == '_')
        .filter(|p| !p.is_empty())
    {
        if !out.is_empty() {
            out.push(' ');
        }
        if part.is_ascii() {
            out.extend(part.chars().map(|c| c.to_ascii_lowercase()));
        } else {
            out.extend(part.chars().flat_map(char::to_lowercase));
        }
    }
    out
}

/// The right names, own names included, that a wrong one may have meant: the nearest, or all that
/// an unclear word may stand for.
pub fn meant<'a>(wrong: &str, own_names: &'a [String]) -> Vec<&'a str> {
    let folded = fold(wrong);
    if let Some((_, may_be)) = table::UNCLEAR.iter().find(|(word, _)| *word == folded) {
        return may_be.to_vec();
    }
    let known = all()
        .iter()
        .flat_map(|m| core::iter::once(m.name).chain(m.synonyms.iter().copied()))
        .chain(own_names.iter().map(String::as_str));
    crate::words::nearest(&folded, known).into_iter().collect()
}

/// What `ellwand card --explain NAME` prints: the definition, how it is taken, other names.
pub fn explain(measure: &Measure) -> String {
    let mut lines = vec![
        format!("{}: {}", measure.name, measure.definition),
        format!("How it is taken: {}", measure.how_taken),
    ];
    if !measure.synonyms.is_empty() {
        lines.push(format!("Also called: {}", measure.synonyms.join(", ")));
    }
    if measure.in_shoes() {
        lines.push("Write the heel of those shoes on the card too.".to_owned());
    }
    if let Some((low, high)) = measure.ask_again {
        let unit = if measure.kind == Kind::Angle {
            "degrees"
        } else {
            "in"
        };
        lines.push(format!(
            "Look again when it is under {low} or over {high} {unit}."
        ));
    }
    lines.join("\n  ") + "\n"
}

#[cfg(test)]
mod tests;
