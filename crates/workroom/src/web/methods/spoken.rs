//! A formula of a method as one would say it: "2 × circles, rounded up".

/// How deep brackets are followed; deeper ones are left as they are written.
const DEEP: usize = 12;

/// The formula in words. What is no formula stays as it is.
pub(crate) fn spoken(formula: &str) -> String {
    said(formula.trim(), 0)
}

/// Whether it is a plain value: a figure with its unit, or a word.
pub(crate) fn plain(formula: &str) -> bool {
    let sign = |s: &str| formula.contains(s);
    ![" * ", " / ", " + ", " - ", " of ", "("]
        .into_iter()
        .any(sign)
}

fn said(text: &str, deep: usize) -> String {
    let text = bare(text);
    if deep > DEEP {
        return text.to_owned();
    }
    let inner = |t: &str| said(t, deep + 1);
    if let Some(rest) = text.strip_prefix("next whole of ") {
        return format!("{}, rounded up", inner(rest));
    }
    if let Some(rest) = text.strip_prefix("whole part of ") {
        return format!("{}, rounded down", inner(rest));
    }
    for (start, least) in [("least of ", true), ("greatest of ", false)] {
        let Some((a, b)) = text.strip_prefix(start).and_then(|t| parted(t, " and ")) else {
            continue;
        };
        let (bound, other) = if figure(a) { (a, b) } else { (b, a) };
        if figure(bound) {
            let word = if least { "at most" } else { "at least" };
            return format!("{}, {word} {}", inner(other), inner(bound));
        }
        let word = if least { "smaller" } else { "larger" };
        return format!("the {word} of {} and {}", inner(a), inner(b));
    }
    for (sign, word) in [
        (" >= ", " is at least "),
        (" <= ", " is at most "),
        (" > ", " is more than "),
        (" < ", " is less than "),
        (" + ", " plus "),
        (" - ", " less "),
        (" * ", " × "),
        (" / ", " ÷ "),
    ] {
        if let Some((a, b)) = last_parted(text, sign) {
            return format!("{}{word}{}", part(a, deep), part(b, deep));
        }
    }
    text.to_owned()
}

/// A part of a sum: in brackets where it would be read wrongly without.
fn part(text: &str, deep: usize) -> String {
    let words = said(text, deep + 1);
    if bare(text).len() != text.trim().len() && !plain(bare(text)) {
        format!("({words})")
    } else {
        words
    }
}

/// A figure, with its unit or without.
fn figure(text: &str) -> bool {
    let text = bare(text);
    plain(text)
        && text
            .trim_start_matches('-')
            .starts_with(|c: char| c.is_ascii_digit())
}

/// Without the brackets that hold all of it.
fn bare(text: &str) -> &str {
    let mut text = text.trim();
    while let Some(inner) = text.strip_prefix('(').and_then(|t| t.strip_suffix(')')) {
        let mut depth = 0_i32;
        let whole = inner.chars().all(|c| {
            depth += i32::from(c == '(') - i32::from(c == ')');
            depth >= 0
        });
        if !whole || depth != 0 {
            break;
        }
        text = inner.trim();
    }
    text
}

/// Where a sign stands outside of brackets.
fn places(text: &str, sign: &str) -> Vec<usize> {
    let mut depth = 0_i32;
    let mut out = Vec::new();
    for (at, c) in text.char_indices() {
        depth += i32::from(c == '(') - i32::from(c == ')');
        if depth == 0 && text[at..].starts_with(sign) {
            out.push(at);
        }
    }
    out
}

fn parted<'a>(text: &'a str, sign: &str) -> Option<(&'a str, &'a str)> {
    let at = *places(text, sign).first()?;
    Some((&text[..at], &text[at + sign.len()..]))
}

fn last_parted<'a>(text: &'a str, sign: &str) -> Option<(&'a str, &'a str)> {
    let at = *places(text, sign).last()?;
    Some((&text[..at], &text[at + sign.len()..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_formula_is_said_as_one_would_say_it() {
        for (written, words) in [
            ("next whole of (2 * circles)", "2 × circles, rounded up"),
            (
                "least of 2 1/2 in and (hip / 16)",
                "hip ÷ 16, at most 2 1/2 in",
            ),
            (
                "greatest of 0 and (least of 2 and whole part of ((hip - waist) / waist to hip / 1.2))",
                "(hip less waist) ÷ waist to hip ÷ 1.2, rounded down, at most 2, at least 0",
            ),
            (
                "greatest of 22 in and (hip - 10 in)",
                "hip less 10 in, at least 22 in",
            ),
            ("waist to knee + 4 in", "waist to knee plus 4 in"),
            ("darts > 0", "darts is more than 0"),
            (
                "least of front hip and back hip",
                "the smaller of front hip and back hip",
            ),
            ("2 1/2 in", "2 1/2 in"),
            ("-1/2 in", "-1/2 in"),
            ("swept", "swept"),
            ("(a) + (b)", "a plus b"),
        ] {
            assert_eq!(spoken(written), words);
        }
    }

    #[test]
    fn any_text_comes_back_and_none_is_too_deep() {
        // Catches a cut inside a letter of several bytes, and brackets without an end.
        for text in [
            "",
            "(",
            ")(",
            "é * ü",
            "a - ",
            "next whole of ",
            "least of  and ",
        ] {
            let _ = spoken(text);
        }
        let deep = format!("{}a + b{}", "(x * ".repeat(4000), ")".repeat(4000));
        assert!(spoken(&deep).contains("a + b"));
    }
}
