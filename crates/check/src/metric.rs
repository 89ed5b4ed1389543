//! Figures in inches within fixed sentences, told in centimetres for a reader who thinks in those.
//!
//! A rule of the trade is a round figure: `1 in` is told as `2.5 cm` and never as `2.54 cm`. Under
//! 8 mm it is told in whole millimetres; else in half centimetres, where one is within a millimetre
//! or 2 %, and in tenths where none is.

use crate::finding::Finding;
use crate::rules::F12;

/// Millimetres in an inch.
const INCH: f64 = 25.4;
/// Below this a figure is told in millimetres.
const SMALL_MM: f64 = 8.0;
/// A half centimetre within so many millimetres, or within this share, is round enough.
const ROUND: (f64, f64) = (1.05, 0.02);
/// Figures said in words.
const SAID: [(&str, &str); 3] = [
    ("half an inch", "1.3 cm"),
    ("the first inch", "the first 2.5 cm"),
    ("an inch", "2.5 cm"),
];

/// The same finding with the figures of its fixed sentences in centimetres. What it says of this
/// pattern is told in her unit already; only F12 names an allowance of the trade there.
pub(crate) fn told(mut finding: Finding) -> Finding {
    if finding.rule == F12.id {
        finding.says = in_cm(&finding.says);
    }
    finding.why = finding.why.map(|t| in_cm(&t));
    finding.cure = finding.cure.map(|t| in_cm(&t));
    finding
}

/// A sentence with each `3 in`, `1/8 in`, `2 1/2 in` and `2 to 3 in` of it in centimetres or
/// millimetres.
pub(crate) fn in_cm(text: &str) -> String {
    let mut out: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let after = word.strip_prefix("in");
        let after = after.filter(|a| a.chars().all(|c| c.is_ascii_punctuation()));
        if let Some(after) = after
            && let Some(said) = figures(&out)
        {
            out.truncate(said.from);
            out.push(format!("{}{}{after}", said.before, said.cm));
        } else {
            out.push(word.to_owned());
        }
    }
    let whole = out.join(" ");
    SAID.iter()
        .fold(whole, |text, (inch, cm)| text.replace(inch, cm))
}

/// The figures at the end of some words, told in centimetres.
struct Said {
    /// The word at which they begin.
    from: usize,
    /// What stands before them in that word, such as a bracket.
    before: String,
    cm: String,
}

/// The figure or the two figures joined by `to` at the end of some words; none where a number is a
/// name, as in `gore number 2`.
fn figures(words: &[String]) -> Option<Said> {
    let (mut from, most) = figure(words)?;
    let mut cm = written(most);
    if let Some((to, before)) = words[..from].split_last()
        && to == "to"
        && let Some((start, least)) = figure(before)
    {
        from = start;
        cm = match (written(least).rsplit_once(' '), cm.rsplit_once(' ')) {
            (Some((one, unit)), Some((_, same))) if unit == same => format!("{one} to {cm}"),
            _ => format!("{} to {cm}", written(least)),
        };
    }
    if from > 0 && words[from - 1] == "number" {
        return None;
    }
    let first = &words[from];
    let digits = first.trim_start_matches(|c: char| !c.is_ascii_digit());
    Some(Said {
        from,
        before: first[..first.len() - digits.len()].to_owned(),
        cm,
    })
}

/// The figure at the end of some words, in millimetres, and the word at which it begins.
fn figure(words: &[String]) -> Option<(usize, f64)> {
    let bare = |word: &String| word.trim_start_matches(['(', '"']).to_owned();
    let (last, before) = words.split_last()?;
    let last = bare(last);
    if let Some((over, under)) = last.split_once('/') {
        let (over, under): (u8, u8) = (over.parse().ok()?, under.parse().ok()?);
        if under == 0 {
            return None;
        }
        let part = f64::from(over) / f64::from(under);
        let whole = before.last().and_then(|w| bare(w).parse::<u16>().ok());
        let from = before.len() - usize::from(whole.is_some());
        return Some((from, (f64::from(whole.unwrap_or(0)) + part) * INCH));
    }
    let number: f64 = last.parse().ok()?;
    number.is_finite().then_some((before.len(), number * INCH))
}

/// A round figure in centimetres or millimetres.
fn written(mm: f64) -> String {
    if mm < SMALL_MM {
        return format!("{mm:.0} mm");
    }
    let half = (mm / 5.0).round() * 5.0;
    let near = (half - mm).abs() <= ROUND.0.max(ROUND.1 * mm);
    let tenths = if near { half } else { mm.round() };
    let cm = format!("{:.1}", tenths / 10.0);
    format!("{} cm", cm.trim_end_matches(".0"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::RULES;

    /// Would catch a figure left in inches, one told with false precision, and a word that only looks
    /// like a unit.
    #[test]
    fn figures_are_told_round() {
        for (inch, cm) in [
            (
                "Blend both edges over 2 to 3 in.",
                "Blend both edges over 5 to 7.5 cm.",
            ),
            (
                "Clip to 1/8 in from it every 3/4 in, or to 3/8 in.",
                "Clip to 3 mm from it every 2 cm, or to 1 cm.",
            ),
            ("1 in clear", "2.5 cm clear"),
            (
                "Lower it 1/4 to 3/4 in, to nothing",
                "Lower it 6 mm to 2 cm, to nothing",
            ),
            (
                "the first 1/2 to 1 in from it",
                "the first 1.3 to 2.5 cm from it",
            ),
            ("(2 1/2 in)", "(6.4 cm)"),
            ("square the first inch.", "square the first 2.5 cm."),
            (
                "Pull it in; put it in quarters.",
                "Pull it in; put it in quarters.",
            ),
            ("gore number 2 in the front", "gore number 2 in the front"),
            ("by 20.3 cm in all", "by 20.3 cm in all"),
            ("in 1/0 in", "in 1/0 in"),
            ("", ""),
        ] {
            assert_eq!(in_cm(inch), cm);
        }
    }

    /// Would catch a rule added with a figure that the words above do not read.
    #[test]
    fn no_rule_s_reason_or_cure_is_left_in_inches() {
        for rule in RULES {
            for text in [rule.why, rule.cure] {
                let cm = in_cm(text);
                let words: Vec<&str> = cm.split(' ').collect();
                let left = words.windows(2).any(|w| {
                    w[1].trim_end_matches([',', '.', ';', ')']) == "in"
                        && w[0].ends_with(|c: char| c.is_ascii_digit())
                });
                assert!(!left && !cm.contains("inch"), "{}: {cm}", rule.id);
            }
        }
    }
}
