//! The list of measures as a page of the documentation.

use super::{Kind, Measure, all};
use crate::questions;

/// The parts of the list: where each begins, and what it is called.
const PARTS: [(&str, &str); 6] = [
    ("height", "Round the body"),
    ("thigh", "Round the legs"),
    ("waist to hip", "Down from the waist"),
    ("waist to floor", "To the floor"),
    ("body rise", "Sitting, and what she wishes"),
    ("bust", "The upper body"),
];

/// How the finer test decides, and how well.
const THE_FINER_TEST: &[&str] = &[
    "The finer test (`card.slip`) holds each measure against all the others: how far, in standard deviations, it",
    "lies from what they let expect, for 1,350 women of a public-domain survey, loosened to women at large. The",
    "farthest is taken away and the rest looked at again; who then fits comes back. It asks",
    "",
    "- from 4.5 deviations, with seven measures and more on the card; from 5 with fewer, because less is known;",
    "- from 3 when a slip of the pen (the other unit, two digits exchanged, half a girth) puts all right: a number",
    "  that is odd *and* has so plain a reason is worth a look.",
    "",
    "A pair never seen asks, but for pairs of *waist to hip*, the loosest measure of all: with seven measures and",
    "more these are only noted while the finer test puts neither farther off than 4. Asked always, they would be",
    "two in three of all needless questions.",
    "",
    "Counted with the model made from one half of the survey and the cards from the other, and on a second survey,",
    "seven measures and more in eighths of an inch: wrong unit and halved girths 100 in 100 asked about under the",
    "right name, exchanged digits 99.6 to 99.9; clean cards asked about 0 to 0.3 in 100. In centimetres",
    "exchanged digits are found 93 to 97 times in 100: 87 for 78 is a likely waist too.",
];

/// `docs/measures.md`: every measure, its other names, how it is taken; and what a card asks.
pub fn page() -> String {
    let mut lines = vec![
        "# Measures".to_owned(),
        String::new(),
        "<!-- Made from the table in the crate `measure`; change that, and run `UPDATE_EXPECT=1 cargo test -p measure`. -->".to_owned(),
        String::new(),
        "A card holds what the tape said, and nothing else: no ease, no guess. Each measure goes by one name, and".to_owned(),
        "is accepted under its other names too; capitals, blanks, hyphens and low lines make no difference.".to_owned(),
        "`ellwand card --explain NAME` prints an entry. A drafter may have measures of her own: a method names them.".to_owned(),
        String::new(),
        "Measure over the foundation garments and in the shoes of the event. Tie a narrow tape round the natural".to_owned(),
        "waist and leave it there: all lengths start at its lower edge. Tape level and snug, not tight. Take each".to_owned(),
        "measure twice: girths, and lengths over 20 in, agree within 1/4 in (6 mm), short widths within 1/8 in (3 mm).".to_owned(),
        String::new(),
        "\"Look again\" is the range outside which a measurer reads the tape once more: common practice, no source.".to_owned(),
        "The card's own questions rest on counted bodies instead; see the end.".to_owned(),
        String::new(),
    ];
    for measure in all() {
        if let Some((_, title)) = PARTS.iter().find(|(first, _)| *first == measure.name) {
            if lines.last().is_some_and(|l| !l.is_empty()) {
                lines.push(String::new());
            }
            lines.push(format!("## {title}"));
            lines.push(String::new());
        }
        lines.push(entry(measure));
    }
    lines.push(String::new());
    lines.push("## What a card asks".to_owned());
    lines.push(String::new());
    lines.push("A question never changes a number. It weighs *ask* when hardly any body is like this, and *note* otherwise.".to_owned());
    lines.push(
        "Floor lengths count less the heel; without a heel on the card they count as barefoot."
            .to_owned(),
    );
    lines.push(String::new());
    lines.extend(THE_FINER_TEST.iter().map(|line| (*line).to_owned()));
    lines.push(String::new());
    lines.push("| rule | asks or notes when |".to_owned());
    lines.push("|---|---|".to_owned());
    for (rule, what) in questions::RULES {
        lines.push(format!("| `{rule}` | {what} |"));
    }
    let mut page = lines.join("\n");
    page.push('\n');
    page
}

fn entry(measure: &Measure) -> String {
    let mut parts = vec![
        format!("- **{}** ({}):", measure.name, measure.kind.word()),
        format!("{}.", measure.definition),
        measure.how_taken.to_owned(),
    ];
    if !measure.synonyms.is_empty() {
        parts.push(format!("*Also:* {}.", measure.synonyms.join(", ")));
    }
    match measure.ask_again {
        Some((low, high)) if measure.kind == Kind::Angle => {
            parts.push(format!("*Look again* outside {low} to {high} degrees."));
        }
        Some((low, high)) => parts.push(format!(
            "*Look again* outside {low} to {high} in ({:.0} to {:.0} cm).",
            low * 2.54,
            high * 2.54
        )),
        None => {}
    }
    parts.join(" ")
}
