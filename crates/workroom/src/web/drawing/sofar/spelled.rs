//! Names as they are found in a sentence, and set in a narrow column.

use super::clear::wide;

/// Whether a text holds a name as whole words.
pub(super) fn holds(text: &str, name: &str) -> bool {
    find(text, name).is_some()
}

/// Where a text holds a name as whole words.
pub(super) fn find(text: &str, name: &str) -> Option<usize> {
    if name.is_empty() {
        return None;
    }
    let word = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-');
    text.match_indices(name)
        .find(|(at, _)| {
            !word(text[..*at].chars().next_back()) && !word(text[at + name.len()..].chars().next())
        })
        .map(|(at, _)| at)
}

/// A name in rows.
#[derive(Debug, PartialEq)]
pub(super) struct Rows {
    pub(super) rows: Vec<String>,
    pub(super) size: f64,
}

/// A name set in a column so wide: in one row, in one of smaller letters, or in two.
pub(super) fn in_column(name: &str, column: f64, size: f64) -> Rows {
    let small = size * 0.78;
    let one = |size| Rows {
        rows: vec![name.to_owned()],
        size,
    };
    if wide(name, size) <= column {
        return one(size);
    }
    if wide(name, small) <= column {
        return one(small);
    }
    let middle = name.len() / 2;
    let cut = name
        .match_indices(' ')
        .map(|(at, _)| at)
        .min_by_key(|at| at.abs_diff(middle));
    match cut {
        Some(at) => Rows {
            rows: vec![name[..at].to_owned(), name[at + 1..].to_owned()],
            size: small,
        },
        None => one(small),
    }
}

/// Whether a list names a thing: `front and back`, `parts number 1 and 2`, `gores number 1 to 3`.
pub(super) fn listed(text: &str, name: &str) -> bool {
    let text = text.trim().trim_end_matches([':', '.', ';']);
    if text
        .split(", ")
        .flat_map(|t| t.split(" and "))
        .any(|item| item.trim() == name)
    {
        return true;
    }
    let Some((base, n)) = name.rsplit_once(" number ") else {
        return false;
    };
    let Ok(n) = n.parse::<u32>() else {
        return false;
    };
    let many = format!("{base}s number ");
    let Some(at) = find(text, many.trim_end()) else {
        return false;
    };
    let mut last = None;
    let mut to = false;
    for word in text[at + many.len()..]
        .split([' ', ','])
        .filter(|w| !w.is_empty())
    {
        match (word, word.parse::<u32>().ok()) {
            (_, Some(f)) => {
                if f == n || to && last.is_some_and(|l| l <= n && n <= f) {
                    return true;
                }
                last = Some(f);
                to = false;
            }
            ("to", None) => to = true,
            ("and", None) => {}
            _ => return false,
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_within_another_word_is_not_found() {
        assert!(holds("on the hip line go out", "hip line"));
        assert!(!holds("on the hip lines", "hip line"));
        assert!(!holds("half-hip line", "hip line"));
    }

    #[test]
    fn lists_name_each_of_their_things_and_no_other() {
        let text = "waist, parts number 1 and 2";
        assert!(listed(text, "part number 2"));
        assert!(!listed(text, "part number 3"));
        assert!(listed("gores number 1 to 3", "gore number 2"));
        assert!(!listed("gores number 1 to 3", "gore number 4"));
        assert!(listed("side, front and back", "back"));
        // The lining of the front is not the front.
        assert!(!listed("front lining and back lining", "front"));
        assert!(listed("front lining and back lining", "back lining"));
    }

    #[test]
    fn a_long_name_is_made_smaller_and_then_parted() {
        assert_eq!(in_column("hip", 88.0, 20.0).rows.len(), 1);
        assert!(in_column("upper bust", 88.0, 20.0).size < 20.0);
        assert_eq!(in_column("shoulder blade level", 88.0, 20.0).rows.len(), 2);
    }
}
