//! The mark of the settings that a form showed: by it the form of an older page is known, and two windows
//! never write over each other without a word.

use std::collections::BTreeMap;

use super::super::house::hashed;

/// The mark of these settings as they are kept. One that was never set is told apart from an empty one.
pub(in crate::web) fn mark(settings: &BTreeMap<String, String>, names: &[&str]) -> String {
    let mut all = String::new();
    for name in names {
        match settings.get(*name) {
            // The length goes before: no two sets of texts read alike.
            Some(text) => all.push_str(&format!("{name} {}:{text};", text.len())),
            None => all.push_str(&format!("{name} -;")),
        }
    }
    hashed(&all)
}

/// Whether a form is of an older page and wants something else than is kept by now. `sent` is the mark that
/// its page showed; without one she means it.
pub(in crate::web) fn quarrel(
    kept: &BTreeMap<String, String>,
    names: &[&str],
    sent: &str,
    wanted: &[(&str, Option<&str>)],
) -> bool {
    let other = |(name, text): &(&str, Option<&str>)| {
        kept.get(*name).map_or("", String::as_str) != text.unwrap_or_default()
    };
    !sent.is_empty() && sent != mark(kept, names) && wanted.iter().any(other)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kept(all: &[(&str, &str)]) -> BTreeMap<String, String> {
        all.iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
            .collect()
    }

    /// Would catch settings that differ and have the same mark, and a quarrel where both windows want the
    /// same, where nothing was changed, or about a setting of another page.
    #[test]
    fn an_older_page_is_known_by_its_mark() {
        let names = ["a", "b"];
        let marks = [
            kept(&[]),
            kept(&[("a", "")]),
            kept(&[("a", "1"), ("b", "")]),
            kept(&[("a", "1")]),
            kept(&[("a", "1b 0:")]),
            kept(&[("b", "1")]),
        ]
        .map(|settings| mark(&settings, &names));
        for (i, one) in marks.iter().enumerate() {
            assert!(marks[i + 1..].iter().all(|other| other != one), "{i}");
        }
        let old = mark(&kept(&[("a", "1")]), &names);
        let now = kept(&[("a", "2"), ("c", "3")]);
        let wants = |text| quarrel(&now, &names, &old, &[("a", Some(text))]);
        assert!(wants("1") && !wants("2"));
        assert!(quarrel(&now, &names, &old, &[("a", None)]));
        assert!(!quarrel(&now, &names, "", &[("a", Some("1"))]));
        let fresh = mark(&kept(&[("a", "2")]), &names);
        assert!(!quarrel(&now, &names, &fresh, &[("a", Some("1"))]));
    }
}
