//! Numbers set like type: a whole and a built fraction.

use maud::{Markup, html};
use measure::fraction::Unit;

/// What numbers are read in, as a word.
pub(crate) const fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "inches",
        Unit::Cm => "centimetres",
    }
}

/// A number as it is shown: `2 1/2` with a built fraction, any other text as it stands.
pub(crate) fn n(text: &str) -> Markup {
    html! { span.n { (told(text)) } }
}

/// A sentence with its fractions built. Copied or read out, `2 1/2` is "2 1⁄2".
pub(crate) fn told(sentence: &str) -> Markup {
    let bits = split(sentence);
    html! {
        @for bit in bits {
            @match bit {
                Bit::Words(words) => { (words) }
                Bit::Fraction { whole, over, under } => {
                    span.n {
                        @if !whole.is_empty() { (whole) "\u{200a}" }
                        span.fr { sup { (over) } i { "\u{2044}" } sub { (under) } }
                    }
                }
            }
        }
    }
}

#[derive(Debug, PartialEq, Eq)]
enum Bit<'a> {
    Words(&'a str),
    Fraction {
        whole: &'a str,
        over: &'a str,
        under: &'a str,
    },
}

/// The sentence in pieces: a fraction is figures, a stroke, figures, with nothing that goes on before or
/// behind it; a whole is the figures one space before it.
fn split(text: &str) -> Vec<Bit<'_>> {
    let bytes = text.as_bytes();
    let figure = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let back = |mut at: usize| {
        while at > 0 && figure(at - 1) {
            at -= 1;
        }
        at
    };
    let goes_on = |at: Option<usize>| {
        let Some((at, byte)) = at.and_then(|a| Some((a, bytes.get(a)?))) else {
            return false;
        };
        // "27-3/8" goes on, "-3/8" is less than nothing.
        let sign = *byte == b'-' && (at == 0 || !bytes[at - 1].is_ascii_alphanumeric());
        !sign && (byte.is_ascii_alphanumeric() || matches!(byte, b'/' | b'.' | b'-'))
    };
    let mut bits = Vec::new();
    let mut from = 0;
    for (stroke, _) in text.match_indices('/') {
        let over = back(stroke);
        let mut end = stroke + 1;
        while figure(end) {
            end += 1;
        }
        let short = |range: usize| (1..=3).contains(&range);
        if over < from || !short(stroke - over) || !short(end - stroke - 1) {
            continue;
        }
        // "1/8." at the end of a sentence is one; "1/8/2026" and "a1/2" are none.
        let after = bytes.get(end).copied();
        if after.is_some_and(|b| b.is_ascii_alphanumeric() || b == b'/') {
            continue;
        }
        let mut start = over;
        let mut whole = "";
        if over > from && bytes.get(over - 1) == Some(&b' ') {
            let at = back(over - 1);
            if at >= from && at < over - 1 && !goes_on(at.checked_sub(1)) {
                whole = &text[at..over - 1];
                start = at;
            }
        }
        if start == over && goes_on(over.checked_sub(1)) {
            continue;
        }
        if from < start {
            bits.push(Bit::Words(&text[from..start]));
        }
        bits.push(Bit::Fraction {
            whole,
            over: &text[over..stroke],
            under: &text[stroke + 1..end],
        });
        from = end;
    }
    if from < text.len() {
        bits.push(Bit::Words(&text[from..]));
    }
    bits
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str) -> String {
        told(text).into_string()
    }

    #[test]
    fn fractions_are_built_and_nothing_else() {
        let built = |w: &str, o: &str, u: &str| {
            let w = if w.is_empty() {
                String::new()
            } else {
                format!("{w}\u{200a}")
            };
            format!(
                "<span class=\"n\">{w}<span class=\"fr\"><sup>{o}</sup><i>\u{2044}</i><sub>{u}</sub></span></span>"
            )
        };
        assert_eq!(plain("2 1/2"), built("2", "1", "2"));
        assert_eq!(plain("3/8"), built("", "3", "8"));
        assert_eq!(
            plain("Her hip is 40 3/8 in, not 1/4."),
            format!(
                "Her hip is {} in, not {}.",
                built("40", "3", "8"),
                built("", "1", "4")
            )
        );
        assert_eq!(plain("-1 1/2 in"), format!("-{} in", built("1", "1", "2")));
        assert_eq!(plain("from -3/8"), format!("from -{}", built("", "3", "8")));
        assert_eq!(plain("27-3/8"), "27-3/8");
        // A whole that belongs to another word stays with it.
        assert_eq!(plain("A4 1/2"), format!("A4 {}", built("", "1", "2")));
        for same in [
            "1/8/2026", "a/b", "and/or", "1/", "/2", "A1/2", "2.1/2", "1/2x", "40",
        ] {
            assert_eq!(plain(same), same);
        }
    }

    #[test]
    fn any_text_is_safe_in_a_page() {
        // Catches a cut inside a letter of several bytes, and text that is not escaped.
        for text in ["½/2 é1/2é", "<b>1/2</b>", "1/2/3/4 5/6", "  1/2", "１/２"] {
            let html = plain(text);
            assert!(!html.contains("<b>"), "{html}");
        }
    }
}
