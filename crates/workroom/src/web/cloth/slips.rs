//! What does not fit in the form of a cloth, told at its box and in the words of the form.

use measure::page::Fault;

use super::typed::label;

/// What to write instead, box by box.
const HINTS: [(&str, &str); 17] = [
    ("width", "Write it like 60 in or 150 cm."),
    (
        "selvedge",
        "Write what one of them takes, like 1/2 in; or leave the box empty.",
    ),
    (
        "repeat",
        "Write it like 12 in or 30 cm; leave the box empty for plain cloth.",
    ),
    (
        "match",
        "Say after what length the pattern repeats, or empty this box.",
    ),
    (
        "shrink_along",
        "Write a percentage up to 50, like 4 %; or leave the box empty.",
    ),
    (
        "shrink_across",
        "Write a percentage up to 50, like 4 %; or leave the box empty.",
    ),
    (
        "stretch_round_body",
        "Write a percentage up to 300, like 8 %; leave the box empty for woven cloth.",
    ),
    (
        "in_hand",
        "Write it like 3, in yards or metres as it is sold, or like 110 in or 280 cm; or leave the box empty.",
    ),
    (
        "scraps",
        "Write how wide and how long each is, like 12 in wide, 20 in long; the next after a semicolon. Name the 12 largest at most.",
    ),
    ("price", "Write an amount and its currency, like 28.00 EUR."),
    (
        "flaws",
        "Write where each is, like 40 in along, 12 in across; where it is large also how far to keep clear of it, 1 in round. The next after a semicolon.",
    ),
    (
        "fold_depth",
        "It is from the fold to the edge that is turned in, its selvedge with it, and no more than half the width. Leave the box empty where the cloth lies otherwise, or is to be folded as deep as the pieces ask.",
    ),
    (
        "join",
        "Write from 1/8 in to 2 in, usually 1/2 in; or leave the box empty.",
    ),
    (
        "weight",
        "Write grams for a square metre, like 180; or 19 momme, or 5 oz for a square yard.",
    ),
    (
        "fold",
        "Choose two lengths, one on the other; or fold it along its length.",
    ),
    ("nap", "Choose one of the two."),
    ("unit", "Choose yard or metre."),
];

/// The faults of a page of cloth that its form wrote, each with the key of its box.
pub(super) fn of_form(page: &str, faults: &[Fault]) -> Vec<(String, String)> {
    let key = |fault: &Fault| {
        let line = page.lines().nth(fault.line?.checked_sub(1)?)?;
        Some(line.split_once('=')?.0.trim().to_owned())
    };
    let told = |fault: &Fault| {
        let key = key(fault).unwrap_or_else(|| "name".to_owned());
        let hint = HINTS.iter().find(|(k, _)| *k == key).map(|(_, hint)| *hint);
        let says = in_its_words(&fault.says);
        let says = match hint {
            Some(hint) => format!("{says} {hint}"),
            None => says,
        };
        (key, says)
    };
    faults.iter().map(told).collect()
}

/// A sentence about the page of a cloth as one about its form: boxes are called by their labels, and a line
/// that is left out is a box that is empty.
pub(super) fn in_its_words(sentence: &str) -> String {
    let mut out = String::new();
    let mut emptied = false;
    for (i, part) in sentence.split('`').enumerate() {
        if i % 2 == 0 {
            let part = match part.strip_prefix(" out").filter(|_| emptied) {
                Some(rest) => {
                    out.push_str(" empty");
                    rest
                }
                None => part,
            };
            out.push_str(part);
            continue;
        }
        let (key, value) = part.split_once(" = ").unwrap_or((part, ""));
        emptied = value.is_empty() && label(key).is_some() && out.ends_with("leave ");
        if emptied {
            out.push_str("the box ");
        }
        let said = label(key).unwrap_or_else(|| part.trim_matches('"'));
        out.push_str(&format!("\u{201c}{said}\u{201d}"));
        let value = value.trim_matches('"');
        if !value.is_empty() && label(key).is_some() {
            out.push_str(&format!(", like {value}"));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a fault that is told at no box or at another one, and words of the file in the form.
    #[test]
    fn faults_are_told_at_their_boxes_in_words_of_the_form() {
        let page = "name = \"Crepe\"\nwidth = \"wide\"\nselvedge = \"-1 in\"\nmatch = \"hip\"\nshrink_along = \"4\"\nprice = \"dear\"\nflaws = [\"a hole\"]\nfold_depth = \"5 in\"\nweight = \"heavy\"\nunit = \"yd\"\nfold = \"crosswise\"\nnap = \"one-way\"\n";
        let told = of_form(page, &lay::cloth::read(page).unwrap_err());
        let keys: Vec<&str> = told.iter().map(|(key, _)| key.as_str()).collect();
        let boxes = [
            "width",
            "selvedge",
            "match",
            "shrink_along",
            "price",
            "flaws",
            "fold_depth",
            "weight",
            "fold",
        ];
        assert_eq!(keys, boxes, "{told:#?}");
        for (key, says) in &told {
            assert!(
                !says.contains(['`', '=']) && !says.contains(" line"),
                "{says}"
            );
            assert!(HINTS.iter().any(|(k, _)| k == key), "{key}");
        }
        assert!(
            told[1]
                .1
                .starts_with("\u{201c}One selvedge takes\u{201d} is less than nothing."),
            "{}",
            told[1].1
        );
    }

    /// Would catch a fault of the lay that speaks of lines of a file.
    #[test]
    fn what_stands_in_the_way_is_told_in_words_of_the_form() {
        for (says, told) in [
            (
                "Say how wide it is: `width = \"58 in\"`, and `selvedge` for what one selvedge takes.",
                "Say how wide it is: \u{201c}Width, edge to edge\u{201d}, like 58 in, and \u{201c}One selvedge takes\u{201d} for what one selvedge takes.",
            ),
            (
                "Turn it in, or leave `fold_depth` out.",
                "Turn it in, or leave the box \u{201c}Folded so deep\u{201d} empty.",
            ),
            (
                "The piece \"front\" is wide.",
                "The piece \"front\" is wide.",
            ),
        ] {
            assert_eq!(in_its_words(says), told);
        }
    }
}
