//! What is found, each on a slip: a mark, a headline, and inside it what to do.

use check::{Finding, Weight};
use maud::{Markup, html};

use super::super::drawing::weight_class;
use super::super::parts::number::told;
use super::super::parts::quoted::quoted;

/// The slips of a draft.
pub(crate) struct Slips<'a> {
    pub(crate) findings: &'a [Finding],
    /// Why nothing can be drawn: faults of card, method or choices.
    pub(crate) faults: &'a [String],
    /// Choices whose values can't be read: each can be left as the method has it.
    pub(crate) unread: &'a [&'a str],
    /// What was done last, when it was just done.
    pub(crate) done: Option<&'a str>,
    /// How many rules were looked at.
    pub(crate) rules: usize,
    /// Where more cures are sought, while some have not been.
    pub(crate) more: Option<String>,
    /// She asked for more cures: what came of it is said, even where it is nothing.
    pub(crate) asked: bool,
}

/// The first sentence, and the rest.
fn parted(says: &str) -> (&str, &str) {
    let mut from = 0;
    while let Some(at) = says[from..].find(['.', ':', ';']) {
        let end = from + at + 1;
        let rest = &says[end..];
        // "2.5 cm" is no end of a sentence.
        if rest.is_empty() || (rest.starts_with(' ') && end > 12) {
            return (says[..end].trim_end_matches(['.', ':', ';']), rest.trim());
        }
        from = end;
    }
    (says, "")
}

/// The word of a weight.
pub(crate) const fn word(weight: Weight) -> &'static str {
    match weight {
        Weight::Stop => "Stop",
        Weight::Ask => "Ask",
        Weight::Note => "Note",
    }
}

/// How many there are of each weight, in words: for the live line, and for lists of orders.
pub(crate) fn counted(findings: &[Finding]) -> String {
    let many = |w: Weight| findings.iter().filter(|f| f.weight == w).count();
    let (stops, asks, notes) = (many(Weight::Stop), many(Weight::Ask), many(Weight::Note));
    if stops + asks + notes == 0 {
        return "Nothing stands in the way".into();
    }
    let mut out = Vec::new();
    for (count, one, more) in [
        (stops, "one stop", "stops"),
        (asks, "one to ask", "to ask"),
        (notes, "one note", "notes"),
    ] {
        match count {
            0 => {}
            1 => out.push(one.to_owned()),
            n => out.push(format!("{} {more}", in_words(n))),
        }
    }
    check::told::capital(&out.join(", "))
}

fn in_words(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(n)
        .map_or_else(|| n.to_string(), |w| (*w).to_owned())
}

/// What came of seeking cures.
fn cures(findings: &[Finding]) -> String {
    match findings.iter().filter(|f| f.attempt.is_some()).count() {
        0 => "No change of one choice alone cures what is found here.".to_owned(),
        1 => "One cure is found: it stands on its slip.".to_owned(),
        n => format!(
            "{} cures are found, each on its slip.",
            check::told::capital(&in_words(n))
        ),
    }
}

/// All of them, the gravest open.
pub(crate) fn slips(view: &Slips<'_>) -> Markup {
    html! {
        section.slips #slips aria-labelledby="slips-h" {
            h2 #slips-h { "Before the cloth is cut" }
            p.quietline role="status" #slips-count {
                @if view.faults.is_empty() { (counted(view.findings)) "." }
                @else { "It can’t be drawn yet." }
            }
            @if let Some(done) = view.done {
                p.slip.top.done { span.says { "Done: " (told(done)) } button.press.quiet name="do" value="back" form="table" { "Take it back" } }
            }
            @for fault in view.faults {
                div.slip { div.top {
                    (shape(Weight::Stop, "!"))
                    span.says { (told(&quoted(fault))) }
                    span.weight.stop { "Stop" }
                } }
            }
            @if !view.unread.is_empty() {
                p.presses { @for choice in view.unread {
                    button.press.main name="cure" value={ (choice) "=" } form="table" { (check::told::capital(choice)) " as the method has it" }
                } }
            }
            @for (i, finding) in view.findings.iter().enumerate() { (slip(i + 1, finding)) }
            @if view.faults.is_empty() {
                @let silent = view.rules.saturating_sub(view.findings.iter().filter(|f| f.rule.starts_with('F')).map(|f| &f.rule).collect::<std::collections::BTreeSet<_>>().len());
                p.quietline { (silent) " more checks found nothing." }
                @if let Some(more) = &view.more { p.quietline data-more { a href={ (more) "#slips" } { "Seek more cures" } } }
                @if view.asked && view.more.is_none() { p.quietline data-cures { (cures(view.findings)) } }
            }
        }
    }
}

fn slip(n: usize, finding: &Finding) -> Markup {
    let (head, rest) = parted(&finding.says);
    let class = weight_class(finding.weight);
    html! {
        details.slip name="finding" id={ "finding-" (n) } open[n == 1] {
            summary {
                (shape(finding.weight, &n.to_string()))
                span.says { (told(&check::told::capital(head))) }
                span class={ "weight " (class) } { (word(finding.weight)) }
            }
            div.more {
                @if !rest.is_empty() { p { (told(&check::told::capital(rest))) } }
                @if let Some(why) = &finding.why { p { (told(&check::told::ended(why))) } }
                @if let Some(cure) = &finding.cure { p { "Cure: " (told(&check::told::ended(cure))) } }
                p.presses {
                    @if let Some(attempt) = &finding.attempt {
                        button.press.main name="cure" value={ (attempt.choice) "=" (attempt.value) } form="table" {
                            (check::told::capital(&attempt.choice)) ": " (told(&attempt.value))
                        }
                    }
                    @if !finding.spots.is_empty() { a.press.quiet href="#paper" data-lit=(n) { "To the place" } }
                }
            }
        }
    }
}

/// The mark of a weight with its number.
pub(crate) fn shape(weight: Weight, text: &str) -> Markup {
    html! {
        svg class={ "slipmark mark " (weight_class(weight)) } viewBox="0 0 28 28" aria-hidden="true" focusable="false" {
            @if weight == Weight::Stop { polygon points="26,19 19,26 9,26 2,19 2,9 9,2 19,2 26,9" {} }
            @else { circle cx="14" cy="14" r="11.5" {} }
            text x="14" y="19" text-anchor="middle" { (text) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_headline_is_the_first_sentence_and_loses_nothing_of_the_rest() {
        assert_eq!(
            parted("She cannot get in: the zip ends too high. It ends 6 in below."),
            (
                "She cannot get in",
                "the zip ends too high. It ends 6 in below."
            )
        );
        assert_eq!(
            parted("Her step is about 18.5 cm."),
            ("Her step is about 18.5 cm", "")
        );
        assert_eq!(parted("No end"), ("No end", ""));
    }

    #[test]
    fn counts_are_said_in_words() {
        assert_eq!(counted(&[]), "Nothing stands in the way");
    }
}
