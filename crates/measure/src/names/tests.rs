//! The table of measures keeps its promises.

use super::*;

/// Catches two measures that claim one name, and a name that is not written as it is folded.
#[test]
fn every_name_belongs_to_one_measure() {
    let mut seen: Vec<(&str, &str)> = Vec::new();
    for measure in all() {
        for name in core::iter::once(&measure.name).chain(measure.synonyms) {
            assert_eq!(fold(name), **name, "written folded");
            if let Some((_, other)) = seen.iter().find(|(n, _)| n == name) {
                panic!("{name} belongs to {other} and {}", measure.name);
            }
            seen.push((name, measure.name));
            assert_eq!(find(name).unwrap().name, measure.name);
        }
    }
}

/// Catches a measure of the list, or of a shipped method, that the table does not hold.
#[test]
fn the_names_that_cards_and_methods_use() {
    for name in [
        "height",
        "bust",
        "underbust",
        "waist",
        "high hip",
        "hip",
        "padded hip",
        "seated hip",
        "thigh",
        "knee",
        "both knees",
        "calf",
        "ankle",
        "waist to hip",
        "waist to knee",
        "waist to floor",
        "front waist to floor",
        "back waist to floor",
        "knee to floor",
        "hip joint to floor",
        "crotch height",
        "back waist length",
        "front waist length",
        "bust span",
        "shoulder to bust",
        "heel",
        "nape to waist",
        "armhole depth",
        "neck",
        "shoulder",
        "across back",
        "across chest",
        "thigh above the knee",
        "lower thigh",
    ] {
        assert!(find(name).is_some(), "{name}");
    }
    assert_eq!(find("WAIST_to-Hip ").unwrap().name, "waist to hip");
    assert!(find("").is_none());
}

/// Catches text that ends without a stop, or a range turned round.
#[test]
fn every_entry_is_whole() {
    for m in all() {
        assert!(m.how_taken.ends_with('.'), "{}", m.name);
        assert!(!m.definition.ends_with('.'), "{}", m.name);
        if let Some((low, high)) = m.ask_again {
            assert!(low < high, "{}", m.name);
        }
        assert!(explain(m).starts_with(m.name));
    }
}

/// Catches an unclear word that became a name, or that points at a name which is not there.
#[test]
fn unclear_words_point_at_real_names() {
    for (word, may_be) in table::UNCLEAR {
        assert!(find(word).is_none(), "{word}");
        for name in *may_be {
            assert_eq!(find(name).map(|m| m.name), Some(*name));
        }
    }
    assert_eq!(meant("wast", &[]), ["waist"]);
    assert_eq!(meant("front waist", &[]).len(), 3);
    assert_eq!(
        meant("left elbo fold", &["left elbow fold".to_owned()]),
        ["left elbow fold"]
    );
    assert!(meant("zzzzzz", &[]).is_empty());
}

/// Catches a page of the documentation that has gone stale.
#[test]
fn the_page_of_measures_is_up_to_date() {
    expect_test::expect_file!["../../../../docs/measures.md"].assert_eq(&page());
}
