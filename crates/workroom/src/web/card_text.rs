//! A card of the book as the page of a card, CARD.toml: the one form in which the engine reads her
//! measures, and in which a version keeps them.

use measure::date::Date;
use measure::fraction::Unit;

/// What the book holds of a card.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CardWords<'a> {
    pub(crate) client: &'a str,
    pub(crate) taken: Option<Date>,
    pub(crate) born: Option<Date>,
    pub(crate) unit: Unit,
    pub(crate) notes: &'a str,
    /// Each measure with its readings, as typed; a bare number is in the card's unit.
    pub(crate) readings: Vec<(&'a str, Vec<&'a str>)>,
}

/// The page of a card.
pub(crate) fn text(card: &CardWords<'_>) -> String {
    let mut out = format!("client = {}\n", quoted(card.client));
    if let Some(day) = card.taken {
        out.push_str(&format!("taken = {day}\n"));
    }
    if let Some(day) = card.born {
        out.push_str(&format!("born = {day}\n"));
    }
    out.push_str(&format!("unit = \"{}\"\n", card.unit.sign()));
    if !card.notes.is_empty() {
        out.push_str(&format!("notes = {}\n", quoted(card.notes)));
    }
    out.push_str("\n[measures]\n");
    for (measure, readings) in &card.readings {
        let readings: Vec<String> = readings
            .iter()
            .filter(|r| !r.trim().is_empty())
            .map(|r| quoted(r))
            .collect();
        match readings.as_slice() {
            [] => {}
            [one] => out.push_str(&format!("{} = {one}\n", quoted(measure))),
            more => out.push_str(&format!("{} = [{}]\n", quoted(measure), more.join(", "))),
        }
    }
    out
}

/// A basic string of TOML (toml.io, version 1.0: strings).
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if u32::from(c) < 0x20 || c == '\u{7f}' => {
                out.push_str(&format!("\\u{:04x}", u32::from(c)));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Catches a name or a note that breaks out of its quotes.
        #[test]
        fn any_name_and_note_come_back_as_they_were(name in "[^\u{0}]{1,40}", notes in "\\PC{0,60}") {
            let card = CardWords {
                client: &name, taken: None, born: None, unit: Unit::Inch, notes: &notes,
                readings: vec![("waist", vec!["28 1/2", "28 5/8"]), ("hip", vec!["39"])],
            };
            let read = measure::card::read(&text(&card), &[]);
            if let Ok(read) = read {
                prop_assert_eq!(read.client().trim(), name.trim());
                prop_assert_eq!(read.measured("waist").unwrap().readings.len(), 2);
                prop_assert!((read.get("hip").unwrap().in_inches() - 39.0).abs() < 1e-9);
            } else {
                // Only a name that is no name is refused, never the page itself.
                prop_assert!(name.trim().is_empty() || !name.chars().any(char::is_alphanumeric) || name.chars().any(char::is_control));
            }
        }
    }
}
