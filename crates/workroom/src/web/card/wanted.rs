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

/// What the text of a method asks for, in its own order; without one, what is usual.
pub(super) fn of(method: Option<&str>) -> Vec<Wanted> {
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
        all = GENERAL
            .iter()
            .map(|name| Wanted {
                name: (*name).to_owned(),
                how: None,
                may_miss: false,
            })
            .collect();
    }
    with_heel(all)
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
