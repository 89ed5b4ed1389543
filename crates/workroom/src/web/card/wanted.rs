//! Which measures a card asks for, in which order, and how each is taken.

use measure::names;

/// A measure that is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Wanted {
    /// Its name in the trade, or the method's own.
    pub(super) name: String,
    /// How it is taken, where the method says it in its own words.
    pub(super) how: Option<String>,
    /// The method draws without it too.
    pub(super) may_miss: bool,
}

/// What is taken when no method says it: the least that skirts and bodices need, as the tape goes.
const GENERAL: &[&str] = &[
    "height",
    "waist",
    "high hip",
    "hip",
    "waist to hip",
    "waist to knee",
    "waist to floor",
    "knee",
    "both knees",
    "heel",
    "bust",
    "underbust",
    "bust span",
    "shoulder to bust",
    "front waist length",
    "back waist length",
    "across chest",
    "across back",
    "shoulder",
    "armhole depth",
    "neck",
];

/// The setting with the order in which she measures.
pub(in crate::web) const ORDER: &str = "measures";

/// The order that is usual, for the settings to begin with.
pub(in crate::web) const fn usual() -> &'static [&'static str] {
    GENERAL
}

/// Reads her order: a measure a line, by any name that the trade has for it.
///
/// # Errors
/// The first line that is no measure.
pub(in crate::web) fn order(text: &str) -> Result<Vec<&'static str>, String> {
    let mut all = Vec::new();
    for line in text.lines().map(str::trim).filter(|l| !l.is_empty()) {
        let measure = names::find(line).ok_or_else(|| line.to_owned())?;
        if !all.contains(&measure.name) {
            all.push(measure.name);
        }
    }
    Ok(all)
}

/// What a card asks for: what the method needs, in the order in which she measures, else in the
/// method's. Without a method it is her order alone, else what is usual.
pub(super) fn of(method: Option<&str>, hers: &str) -> Vec<Wanted> {
    let hers = order(hers).unwrap_or_default();
    let mut all = asked(method, &hers);
    // Sorting keeps the method's own order among what she has not placed.
    all.sort_by_key(|w| {
        let place = hers.iter().position(|h| *h == w.name);
        place.unwrap_or(usize::MAX)
    });
    with_heel(all)
}

fn asked(method: Option<&str>, hers: &[&str]) -> Vec<Wanted> {
    let mut all: Vec<Wanted> = Vec::new();
    if let Some(text) = method {
        for entry in draft::read(text).method.card {
            let said = entry.name.name.replace('\u{1}', " ");
            let name = names::find(&said).map_or(said, |m| m.name.to_owned());
            if !all.iter().any(|w| w.name == name) {
                all.push(Wanted {
                    name,
                    how: entry.taken,
                    may_miss: entry.fallback.is_some(),
                });
            }
        }
    }
    if all.is_empty() {
        let usual = if hers.is_empty() { GENERAL } else { hers };
        all = usual
            .iter()
            .map(|name| Wanted {
                name: (*name).to_owned(),
                how: None,
                may_miss: false,
            })
            .collect();
    }
    all
}

/// A floor length is taken in shoes: where one is asked for, so is their heel, right after it.
fn with_heel(mut all: Vec<Wanted>) -> Vec<Wanted> {
    let floor = |w: &Wanted| names::find(&w.name).is_some_and(names::Measure::in_shoes);
    if let Some(at) = all.iter().position(floor)
        && !all.iter().any(|w| w.name == "heel")
    {
        all.insert(
            at + 1,
            Wanted {
                name: "heel".to_owned(),
                how: None,
                may_miss: false,
            },
        );
    }
    all
}

/// How a measure is taken: in the method's words, else in the trade's.
pub(super) fn how(wanted: Option<&Wanted>, name: &str) -> String {
    wanted
        .and_then(|w| w.how.clone())
        .or_else(|| names::find(name).map(|m| m.how_taken.to_owned()))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;

    fn names(all: &[Wanted]) -> Vec<&str> {
        all.iter().map(|w| w.name.as_str()).collect()
    }

    /// Catches an order of hers that is not followed, that loses what a method needs besides, or a floor
    /// length without its heel.
    #[test]
    fn measures_come_in_her_order() {
        assert_eq!(names(&of(None, ""))[..2], ["height", "waist"]);
        let hers = "Hip\nwaist\n\nwaist\nwaist to floor";
        assert_eq!(
            names(&of(None, hers)),
            ["hip", "waist", "waist to floor", "heel"]
        );
        let method = "method \"A skirt\"\n\ncard\n  waist\n  waist to knee\n  hip\n";
        let asked = |hers: &str| names(&of(Some(method), hers)).join(", ");
        assert_eq!(asked(""), "waist, waist to knee, hip");
        assert_eq!(asked(hers), "hip, waist, waist to knee");
        assert_eq!(order("waist\nelbow patch"), Err("elbow patch".to_owned()));
    }
}
