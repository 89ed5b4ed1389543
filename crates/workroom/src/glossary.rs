//! What the program says on paper of measures, cloth and cautions, in the language of the paper.
//!
//! What a method says (its title, pieces, choices and steps) and what the checks find stays in the words
//! in which it was written: a sentence that was put together from figures is not put together again here.

use sheet::words::Words;

use crate::cut_list::TOILE;

mod german;

/// A measure in another language: its name here, its name there, and how it is taken.
type MeasureWords = (&'static str, &'static str, &'static str);

/// Pairs: what is said here, and what is said there.
type Pairs = &'static [(&'static str, &'static str)];

/// What one language says.
struct Glossary {
    measures: &'static [MeasureWords],
    cloths: Pairs,
    cautions: Pairs,
}

/// The glossary of a language; English needs none.
fn of(words: &Words) -> Option<&'static Glossary> {
    match words.language {
        "de" => Some(&german::GLOSSARY),
        _ => None,
    }
}

fn other(all: Pairs, said: &str) -> &str {
    all.iter()
        .find(|(here, _)| *here == said)
        .map_or(said, |(_, there)| there)
}

/// The name of a measure; one of the drafter's own keeps its name.
pub(crate) fn measure<'a>(name: &'a str, words: &Words) -> &'a str {
    of(words)
        .and_then(|g| g.measures.iter().find(|(here, ..)| *here == name))
        .map_or(name, |(_, there, _)| there)
}

/// How a measure of the trade is taken, where that is not said in English.
pub(crate) fn how(name: &str, words: &Words) -> Option<&'static str> {
    let all = of(words)?.measures;
    all.iter()
        .find(|(here, ..)| *here == name)
        .map(|(_, _, how)| *how)
}

/// What a piece is cut from: shell, lining. Any other word is the method's own.
pub(crate) fn cloth<'a>(kind: &'a str, words: &'a Words) -> &'a str {
    if kind == TOILE {
        return words.toile;
    }
    of(words).map_or(kind, |g| other(g.cloths, kind))
}

/// A caution.
pub(crate) fn caution<'a>(says: &'a str, words: &Words) -> &'a str {
    of(words).map_or(says, |g| other(g.cautions, says))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use measure::names;
    use sheet::words::{ENGLISH, LANGUAGES};

    use super::*;
    use crate::cut_list::CLOTHS;

    // Catches a measure, a cloth or a caution that a paper in another language says in English, and a word that
    // no measure or caution bears any more.
    #[test]
    fn every_measure_cloth_and_caution_has_its_words() {
        for words in LANGUAGES.into_iter().filter(|w| w.language != "en") {
            let glossary = of(words).unwrap();
            let mut known: Vec<&str> = glossary.measures.iter().map(|m| m.0).collect();
            let mut all: Vec<&str> = names::all().iter().map(|m| m.name).collect();
            known.sort_unstable();
            all.sort_unstable();
            assert_eq!(known, all, "{}", words.own_name);
            for kind in CLOTHS {
                assert_ne!(cloth(kind, words), kind, "{}", words.own_name);
            }
            let mut known: Vec<&str> = glossary.cautions.iter().map(|c| c.0).collect();
            let mut all: Vec<&str> = check::cautions::ALL.iter().map(|c| c.says).collect();
            known.sort_unstable();
            all.sort_unstable();
            assert_eq!(known, all, "{}", words.own_name);
        }
    }

    // Catches two measures that go by one name on a card: the wrong one would be taken.
    #[test]
    fn no_two_measures_share_a_name() {
        for words in LANGUAGES {
            let mut all: Vec<&str> = names::all()
                .iter()
                .map(|m| measure(m.name, words))
                .collect();
            let whole = all.len();
            all.sort_unstable();
            all.dedup();
            assert_eq!(all.len(), whole, "{}", words.own_name);
        }
    }

    // Catches English that went through a glossary, and a word of hers that was lost in one.
    #[test]
    fn what_is_not_known_stays_as_it_is() {
        let german = Words::of("de").unwrap();
        assert_eq!(measure("waist", &ENGLISH), "waist");
        assert_eq!(measure("waist", german), "Taille");
        assert_eq!(measure("my own tape", german), "my own tape");
        assert_eq!(cloth("power mesh", german), "power mesh");
        assert_eq!(how("my own tape", german), None);
    }
}
