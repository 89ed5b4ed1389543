//! How she quotes and buys: her settings, and what holds until she sets them.

use std::collections::BTreeMap;

use lay::Exact;
use lay::quote::{Fault, Stage};
use lay::shop::{Margin, NoPurchase, Step, buy};
use measure::Length;
use measure::fraction::{self, Unit};
use sheet::words::{ENGLISH, LANGUAGES, Words};

use super::typed::{Typed, TypedPair, TypedWork};
use super::written;
use crate::web::working;

/// Settings of how she quotes: name, what it is until she sets it.
const USUAL: [(&str, &str); 13] = [
    ("quote/currency", ""),
    ("quote/rate", ""),
    ("quote/overhead", "0"),
    ("quote/waste", "10"),
    ("quote/margin", "15"),
    ("quote/tax", "0"),
    ("quote/tax way", "added"),
    ("quote/rounding", ""),
    ("quote/round way", "nearest"),
    ("quote/weeks", "4"),
    ("quote/fittings", "2"),
    ("quote/from", ""),
    ("quote/show", "stages"),
];

/// What a setting says until she sets it, where that is in the language of her sheets.
fn spoken(name: &str, words: &'static Words) -> Option<&'static str> {
    match name {
        "quote/parts" => Some(words.quote_usual_parts),
        "quote/last" => Some(words.quote_usual_last),
        "quote/terms" => Some(words.quote_usual_terms),
        "quote/tax name" => Some(words.quote_usual_tax),
        _ => None,
    }
}

/// Hours of a stage until she says otherwise: a fitted skirt with a train, in all 14 1/2 hours (a guide,
/// common practice 10 to 18, no source).
const fn usual_hours(stage: Stage) -> &'static str {
    match stage {
        Stage::Pattern | Stage::Cutting => "1.5",
        Stage::Toile | Stage::Beads => "",
        Stage::Machine => "5",
        Stage::Hand => "3",
        Stage::Fitting => "1",
        Stage::Finish => "1.5",
    }
}

/// Her settings.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Habits<'a>(pub(crate) &'a BTreeMap<String, String>);

impl<'a> Habits<'a> {
    /// A setting as she set it, or what holds until then.
    pub(crate) fn get(self, name: &str) -> &'a str {
        // A form that was kept holds the usual words of its day too: they are not hers.
        let usual_once = |set: &str| LANGUAGES.iter().any(|w| spoken(name, w) == Some(set));
        let set = self.0.get(name).map(String::as_str);
        let usual = || {
            USUAL
                .iter()
                .find(|(n, _)| *n == name)
                .map(|(_, usual)| *usual)
        };
        set.filter(|set| !usual_once(set))
            .or_else(|| spoken(name, working::words(self.0)))
            .or_else(usual)
            .unwrap_or_default()
    }

    /// The hours of a stage.
    pub(crate) fn hours(self, stage: Stage) -> &'a str {
        let name = format!("quote/hours/{}", stage.name());
        self.0.get(&name).map_or(usual_hours(stage), String::as_str)
    }

    /// The steps in which her shop sells: as she set it, else eighths of a yard or tenths of a metre.
    pub(crate) fn step(self, unit: Unit) -> Step {
        let set = self
            .0
            .get("shop/step")
            .and_then(|text| Step::read(text).ok());
        set.unwrap_or(match unit {
            Unit::Inch => Step::EighthYard,
            Unit::Cm => Step::TenCm,
        })
    }

    /// What she keeps beyond a lay; what could not be kept, the usual.
    pub(crate) fn margin(self, unit: Unit) -> Margin {
        let usual = Margin::usual();
        let percent = self.0.get("shop/margin percent");
        let length = self.0.get("shop/margin length");
        Margin {
            percent: percent
                .and_then(|t| Exact::read(t).ok())
                .filter(|percent| kept(*percent, Length::ZERO).is_ok())
                .unwrap_or(usual.percent),
            length: length
                .and_then(|t| fraction::read(t, Some(unit)).ok())
                .filter(|length| kept(Exact::ZERO, *length).is_ok())
                .unwrap_or(usual.length),
        }
    }

    /// Weeks for which a quote holds.
    pub(crate) fn weeks(self) -> i32 {
        self.get("quote/weeks")
            .parse()
            .ok()
            .filter(|w| (1..=104).contains(w))
            .unwrap_or(4)
    }

    /// What a new quote begins with, before cloth and notions.
    pub(crate) fn begin(self) -> Typed {
        let mut work = Vec::new();
        for stage in Stage::ALL {
            let hours = self.hours(stage);
            let times = if stage == Stage::Fitting {
                self.get("quote/fittings")
            } else {
                "1"
            };
            if !hours.is_empty() {
                work.push(TypedWork {
                    stage: stage.name().into(),
                    times: times.into(),
                    hours: hours.into(),
                    rate: String::new(),
                });
            }
        }
        let text = |name| self.get(name).to_owned();
        Typed {
            currency: text("quote/currency"),
            goods: Vec::new(),
            waste: text("quote/waste"),
            rate: text("quote/rate"),
            work,
            overhead: text("quote/overhead"),
            extras: Vec::new(),
            margin: text("quote/margin"),
            tax_name: text("quote/tax name"),
            tax: text("quote/tax"),
            tax_way: text("quote/tax way"),
            rounding: text("quote/rounding"),
            round_way: text("quote/round way"),
            parts: parts(self.get("quote/parts")),
            last: text("quote/last"),
            valid: String::new(),
            show: text("quote/show"),
            terms: text("quote/terms"),
        }
    }
}

/// Parts as she writes them, one a line: `With the order = 50 %`.
pub(crate) fn parts(text: &str) -> Vec<TypedPair> {
    let lines = text.lines().map(str::trim).filter(|l| !l.is_empty());
    let part = |line: &str| {
        let (words, much) = line.rsplit_once('=').unwrap_or((line, ""));
        TypedPair {
            words: words.trim().into(),
            much: much.trim().into(),
        }
    };
    lines.map(part).collect()
}

/// Whether so many percent and such a length can be kept beyond a lay.
fn kept(percent: Exact, length: Length) -> Result<(), NoPurchase> {
    let margin = Margin { percent, length };
    buy(Length::ZERO, margin, Step::default()).map(|_| ())
}

/// All the settings of this page, from its form, with every fault at its place.
///
/// # Errors
/// What can't be quoted or bought with.
pub(crate) fn of_form(pairs: &[(String, String)]) -> Result<Vec<(String, String)>, Vec<Fault>> {
    let named = |name: &str| {
        USUAL.iter().any(|(n, _)| *n == name)
            || spoken(name, &ENGLISH).is_some()
            || name
                .strip_prefix("quote/hours/")
                .is_some_and(|s| Stage::read(s).is_some())
            || ["shop/step", "shop/margin percent", "shop/margin length"].contains(&name)
    };
    let mut all: BTreeMap<String, String> = BTreeMap::new();
    for (name, value) in pairs.iter().filter(|(n, _)| named(n)) {
        all.insert(name.clone(), value.trim().replace("\r\n", "\n"));
    }
    if let Some(currency) = all.get_mut("quote/currency") {
        *currency = currency.to_ascii_uppercase();
    }
    let mut faults = Vec::new();
    let mut say = |place: &str, says: String, hint: &str| {
        faults.push(Fault {
            place: place.into(),
            says,
            hint: hint.into(),
        });
    };
    // What a quote would be begun with is read as the quote itself is.
    let habits = Habits(&all);
    let place_of = |place: &str| -> String {
        let work = place
            .strip_prefix("work/")
            .and_then(|rest| rest.split_once('/'));
        if let Some((at, field)) = work {
            let begun = habits.begin();
            let stage = at
                .parse::<usize>()
                .ok()
                .and_then(|at| begun.work.get(at).cloned());
            return match (field, stage) {
                ("hours", Some(work)) => format!("quote/hours/{}", work.stage),
                _ => "quote/fittings".into(),
            };
        }
        if place.starts_with("part") {
            return "quote/parts".into();
        }
        format!("quote/{}", place.replace('_', " "))
    };
    let mut begun = habits.begin();
    // What is not known yet is no slip: it is asked for by the first quote.
    for (text, until) in [(&mut begun.currency, "USD"), (&mut begun.rate, "0")] {
        if text.is_empty() {
            until.clone_into(text);
        }
    }
    let read = begun.read().and_then(|asked| lay::quote::reckon(&asked));
    for fault in read.err().into_iter().flatten() {
        say(&place_of(&fault.place), fault.says, &fault.hint);
    }
    if let Some(Err(fault)) = all.get("shop/step").map(|t| Step::read(t)) {
        say("shop/step", fault.says, &fault.hint);
    }
    match all.get("shop/margin percent").map(|t| Exact::read(t)) {
        Some(Err(fault)) => say("shop/margin percent", fault.says, &fault.hint),
        Some(Ok(percent)) if kept(percent, Length::ZERO).is_err() => say(
            "shop/margin percent",
            "This is more than the lay itself.".into(),
            "Keep 0 to 100 percent.",
        ),
        _ => {}
    }
    let length = all.get("shop/margin length");
    match length.map(|t| fraction::read(t, Some(Unit::Inch))) {
        Some(Err(fault)) => say("shop/margin length", fault.says, &fault.hint),
        Some(Ok(length)) if kept(Exact::ZERO, length).is_err() => say(
            "shop/margin length",
            "This can’t be kept beside a lay.".into(),
            "Keep from nothing to 1 km: 10 cm or 4 in is usual.",
        ),
        _ => {}
    }
    let weeks = all
        .get("quote/weeks")
        .is_some_and(|t| !t.parse::<i32>().is_ok_and(|w| (1..=104).contains(&w)));
    if weeks {
        say(
            "quote/weeks",
            "A quote holds for 1 to 104 weeks.".into(),
            "4 is usual.",
        );
    }
    if faults.is_empty() {
        Ok(all.into_iter().collect())
    } else {
        Err(faults)
    }
}

/// The stages with their names, as a form offers them.
pub(crate) fn stages() -> Vec<(&'static str, &'static str)> {
    Stage::ALL
        .into_iter()
        .map(|s| (s.name(), written::stage(s)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pairs(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter()
            .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
            .collect()
    }

    /// Would catch usual words that a kept form holds to one language for good, and words of hers that are
    /// taken for the usual ones.
    #[test]
    fn usual_words_follow_the_language_of_her_sheets() {
        let kept: BTreeMap<String, String> = pairs(&[
            ("language", "de"),
            ("quote/last", ENGLISH.quote_usual_last),
            ("quote/terms", "As we said."),
        ])
        .into_iter()
        .collect();
        let habits = Habits(&kept);
        assert_eq!(habits.get("quote/last"), "Bei der Abholung");
        assert_eq!(habits.get("quote/tax name"), "MwSt.");
        assert_eq!(habits.get("quote/terms"), "As we said.");
        assert_eq!(habits.get("quote/margin"), "15");
    }

    /// Would catch a setting that a quote does not begin with.
    #[test]
    fn a_quote_begins_with_her_habits() {
        let set = pairs(&[
            ("quote/currency", "eur"),
            ("quote/rate", "30"),
            ("quote/hours/pattern", "4"),
            ("quote/hours/hand", ""),
            ("quote/parts", "At once = 100 %\r\n"),
            ("shop/step", "10 cm"),
            ("shop/margin percent", "3"),
            ("shop/margin length", "2 in"),
        ]);
        let all: BTreeMap<String, String> = of_form(&set).unwrap().into_iter().collect();
        let habits = Habits(&all);
        let typed = habits.begin();
        assert_eq!(typed.currency, "EUR");
        assert_eq!(
            (typed.work[0].hours.as_str(), typed.rate.as_str()),
            ("4", "30")
        );
        assert!(typed.work.iter().all(|w| w.stage != "hand"));
        assert_eq!(typed.parts[0].much, "100 %");
        assert_eq!(habits.step(Unit::Inch), Step::TenCm);
        assert_eq!(habits.margin(Unit::Cm).percent, Exact::whole(3));
        assert!((habits.margin(Unit::Cm).length.in_inches() - 2.0).abs() < 1e-9);
    }

    /// Would catch a setting that is kept though no quote can be reckoned with it.
    #[test]
    fn bad_settings_are_told_at_their_boxes() {
        let set = pairs(&[
            ("quote/currency", "EUR"),
            ("quote/rate", "x"),
            ("quote/margin", "100"),
            ("quote/hours/pattern", "y"),
            ("quote/parts", "At once = 60 %\nLater = 60 %"),
            ("shop/step", "1/3 yd"),
            ("shop/margin percent", "z"),
            ("shop/margin length", "?"),
            ("quote/weeks", "0"),
        ]);
        let faults = of_form(&set).unwrap_err();
        let places: Vec<&str> = faults.iter().map(|f| f.place.as_str()).collect();
        assert_eq!(
            places,
            [
                "quote/rate",
                "quote/hours/pattern",
                "shop/step",
                "shop/margin percent",
                "shop/margin length",
                "quote/weeks"
            ]
        );
        let set = pairs(&[
            ("quote/currency", "EUR"),
            ("quote/rate", "1"),
            ("quote/margin", "100"),
            ("quote/parts", "At once = 60 %\nLater = 60 %"),
        ]);
        let faults = of_form(&set).unwrap_err();
        let places: Vec<&str> = faults.iter().map(|f| f.place.as_str()).collect();
        assert_eq!(places, ["quote/margin", "quote/parts"]);
    }

    /// Would catch a margin that no amount can be bought with: kept, it left every lay without what to buy.
    #[test]
    fn a_margin_out_of_bounds_is_told_and_never_kept() {
        for (name, value) in [
            ("shop/margin percent", "150"),
            ("shop/margin percent", "-5"),
            ("shop/margin length", "-10 cm"),
            ("shop/margin length", "1200 m"),
        ] {
            let set = pairs(&[("quote/currency", "EUR"), (name, value)]);
            let faults = of_form(&set).unwrap_err();
            let places: Vec<&str> = faults.iter().map(|f| f.place.as_str()).collect();
            assert_eq!(places, [name], "{value}");
            // Kept before it was refused, it counts as not set.
            let kept: BTreeMap<String, String> = set.into_iter().collect();
            let margin = Habits(&kept).margin(Unit::Cm);
            assert_eq!(margin, Margin::usual(), "{value}");
        }
        let set = pairs(&[
            ("quote/currency", "EUR"),
            ("shop/margin percent", "100"),
            ("shop/margin length", "0"),
        ]);
        assert!(of_form(&set).is_ok());
    }
}
