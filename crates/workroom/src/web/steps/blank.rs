//! The numbers of a sentence, and a ruled blank for each that is the client's own.
//!
//! Hidden is a number that the class is to find: one that the step reckons or measures off. What the
//! method itself gives for everyone stays, and so do numbers in names: "dart number 1".

use draft::worked::{Step, Telling};
use maud::{Markup, html};

use crate::web::parts::number::told;

/// A stretch of a sentence.
#[derive(Debug, PartialEq, Eq)]
enum Bit<'a> {
    Said(&'a str),
    Blank,
}

/// A sentence of a step with its fractions built, its numbers hidden or shown.
pub(super) fn sentence(text: &str, step: &Step, hidden: bool) -> Markup {
    let text = &held(text);
    if !hidden {
        return told(text);
    }
    html! {
        @for bit in bits(text, step) {
            @match bit {
                Bit::Said(words) => (told(words)),
                Bit::Blank => span.blank { span.vh { "blank" } },
            }
        }
    }
}

/// The same with each number held to its unit, so that no line begins with the unit.
fn held(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut from = 0;
    for number in numbers(text).iter().filter(|n| n.measured) {
        out.push_str(&text[from..number.to]);
        from = number.to;
        if let Some(rest) = text[from..].strip_prefix(' ') {
            out.push('\u{a0}');
            from = text.len() - rest.len();
        }
    }
    out.push_str(&text[from..]);
    out
}

/// A number in a text: from where to where, and whether a unit of length or angle follows.
#[derive(Debug, PartialEq, Eq)]
struct Number {
    from: usize,
    to: usize,
    measured: bool,
}

/// The numbers of a text: `8 1/8`, `3/4`, `22.5`, `180`.
fn numbers(text: &str) -> Vec<Number> {
    let bytes = text.as_bytes();
    let figure = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let run = |mut at: usize| {
        while figure(at) {
            at += 1;
        }
        at
    };
    let mut out = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        // A figure is one byte, so that the text may be cut before it.
        let inside =
            || text[..at].ends_with(|c: char| c.is_alphanumeric() || matches!(c, '/' | '.'));
        if !figure(at) || inside() {
            at += 1;
            continue;
        }
        let from = at;
        at = run(at);
        let mut fraction = false;
        if bytes.get(at) == Some(&b'/') && figure(at + 1) {
            at = run(at + 1);
            fraction = true;
        } else if bytes.get(at) == Some(&b'.') && figure(at + 1) {
            at = run(at + 1);
        }
        if !fraction && bytes.get(at) == Some(&b' ') && figure(at + 1) {
            let over = run(at + 1);
            if bytes.get(over) == Some(&b'/') && figure(over + 1) {
                at = run(over + 1);
            }
        }
        let rest = &text[at..];
        let unit = |u: &str| {
            rest.strip_prefix([' ', '\u{a0}'])
                .and_then(|r| r.strip_prefix(u))
                .is_some_and(|r| !r.starts_with(char::is_alphanumeric))
        };
        out.push(Number {
            from,
            to: at,
            measured: ["in", "cm", "mm", "degrees"].into_iter().any(unit) || rest.starts_with('°'),
        });
    }
    out
}

/// The number without its unit or its sign.
fn bare(shown: &str) -> &str {
    let shown = shown.trim_start_matches(['-', '\u{2212}']);
    let end = shown
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, ' ' | '/' | '.')))
        .unwrap_or(shown.len());
    shown[..end].trim()
}

fn bits<'a>(text: &'a str, step: &Step) -> Vec<Bit<'a>> {
    let mut open: Vec<&str> = Vec::new();
    let mut fixed: Vec<&str> = Vec::new();
    let mut rules: Vec<&str> = Vec::new();
    let mut nothing = false;
    for part in &step.few {
        let Telling::Figure {
            shown,
            rule,
            fixed: own,
        } = part
        else {
            continue;
        };
        rules.extend(rule.as_deref());
        if *own {
            fixed.push(bare(shown));
        } else {
            nothing |= shown == "nothing";
            open.push(bare(shown));
        }
    }
    let in_a_rule = |number: &str| {
        rules
            .iter()
            .any(|r| numbers(r).iter().any(|n| &r[n.from..n.to] == number))
    };
    let mut out = Vec::new();
    let mut from = 0;
    for number in numbers(text) {
        let said = &text[number.from..number.to];
        // In a name it counts, it does not measure.
        if text[..number.from].trim_end().ends_with("number") {
            continue;
        }
        let hide = if open.contains(&said) {
            true
        } else if fixed.contains(&said) {
            false
        } else {
            number.measured && !in_a_rule(said)
        };
        if hide {
            push(&mut out, &text[from..number.from], nothing);
            out.push(Bit::Blank);
            from = number.to;
        }
    }
    push(&mut out, &text[from..], nothing);
    out
}

/// Words, in which "nothing" is a number too where the step says so.
fn push<'a>(out: &mut Vec<Bit<'a>>, words: &'a str, nothing: bool) {
    let mut rest = words;
    while let Some(at) = rest.find("nothing").filter(|_| nothing) {
        if at > 0 {
            out.push(Bit::Said(&rest[..at]));
        }
        out.push(Bit::Blank);
        rest = &rest[at + "nothing".len()..];
    }
    if !rest.is_empty() {
        out.push(Bit::Said(rest));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(figures: &[(&str, Option<&str>, bool)]) -> Step {
        Step {
            number: Some(1),
            stage: "front".into(),
            sentence: String::new(),
            short: String::new(),
            few: figures
                .iter()
                .map(|(shown, rule, fixed)| Telling::Figure {
                    shown: (*shown).into(),
                    rule: rule.map(str::to_owned),
                    fixed: *fixed,
                })
                .collect(),
            why: None,
            draws: Vec::new(),
            pieces: Vec::new(),
            lines: Vec::new(),
        }
    }

    fn hidden(text: &str, figures: &[(&str, Option<&str>, bool)]) -> String {
        bits(text, &step(figures))
            .iter()
            .map(|b| match b {
                Bit::Said(words) => *words,
                Bit::Blank => "____",
            })
            .collect()
    }

    /// Would catch a number of the client's that a class could read off.
    #[test]
    fn what_is_hers_is_blank() {
        assert_eq!(
            hidden(
                "On the waist line go out the quarter waist, 8 1/8 in, then up the side rise, 1/4 in.",
                &[
                    ("8 1/8", Some("quarter waist"), false),
                    ("1/4", Some("side rise"), false)
                ]
            ),
            "On the waist line go out the quarter waist, ____ in, then up the side rise, ____ in."
        );
        // Truing tells lengths that no figure of its own repeats.
        assert_eq!(
            hidden(
                "The side measures 9 7/32 in, so it is out by 1/32 in. Change the trim from nothing to 1/8 in.",
                &[("nothing", None, false), ("1/8 in", None, false)]
            ),
            "The side measures ____ in, so it is out by ____ in. Change the trim from ____ to ____ in."
        );
        assert_eq!(
            hidden("Turn by 12.5° and go 22.5 cm.", &[]),
            "Turn by ____° and go ____ cm."
        );
    }

    /// Would catch a blank where the class needs the method's own number to reckon.
    #[test]
    fn what_is_the_methods_stays() {
        assert_eq!(
            hidden(
                "The flare mark is the flare plus 1/2 in, 8 in.",
                &[("8", Some("flare + 1/2 in"), false)]
            ),
            "The flare mark is the flare plus 1/2 in, ____ in."
        );
        assert_eq!(
            hidden(
                "Keep a strip 2 1/2 in deep. Cut 1 on the fold.",
                &[("2 1/2", None, true), ("1", None, true)]
            ),
            "Keep a strip 2 1/2 in deep. Cut 1 on the fold."
        );
        assert_eq!(
            hidden(
                "Mark dart number 1 on the waist, 1 in wide.",
                &[("1", None, false)]
            ),
            "Mark dart number 1 on the waist, ____ in wide."
        );
        assert_eq!(
            hidden("40 % of the taken out", &[]),
            "40 % of the taken out"
        );
    }

    /// Would catch a line that begins with "in."
    #[test]
    fn a_number_holds_its_unit() {
        assert_eq!(
            held("go 2 1/2 in, then 3 in from"),
            "go 2 1/2\u{a0}in, then 3\u{a0}in from"
        );
        assert_eq!(held("in 3 inner parts"), "in 3 inner parts");
        assert!(hidden(&held("go 2 in."), &[]).contains("____\u{a0}in."));
    }

    /// Would catch a cut inside a letter of several bytes.
    #[test]
    fn any_text_is_cut_whole() {
        for text in ["½ é1/2é 3", "１/２ 4 in", "7", "", "1/", "a1 in b2.5.6 in"] {
            let all = bits(text, &step(&[("4", None, false)]));
            let _ = all.len();
            let _ = sentence(text, &step(&[]), true).into_string();
        }
    }
}
