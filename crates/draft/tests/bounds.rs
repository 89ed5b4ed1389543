//! Methods that ask for too much end in a plain note. Catches: work that is counted by no budget.

use measure::Length;
use measure::card::Card;
use measure::fraction::{Shown, Unit};

fn worked(text: &str) -> draft::Worked {
    let library = draft::Library::new([text]);
    let reading = draft::read(text);
    let card = Card::new("bounds", Unit::Inch).with("waist", Length::inches(30.0));
    let wish = draft::Wish {
        card: &card,
        set: &[],
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    draft::work(&reading, &library, &wish)
}

fn sheet(body: &str) -> String {
    format!(
        "method \"Too much\"\ncard\n  waist\nsheets page\nlevels\n  top line: at the top\n  low line: 10 in below top line\n\
         uprights\n  left line: at the left\n  right line: 10 in from left line\npoints\n  a: at top line and left line\n  \
         b: at low line and right line\n{body}\n"
    )
}

fn says(worked: &draft::Worked, words: &str) -> bool {
    worked.notes.iter().any(|n| n.message.contains(words))
}

#[test]
fn lines_that_follow_lines_do_not_double_for_ever() {
    let mut body = String::from("lines\n  line one: from a, straight to b\n");
    let names = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve", "thirteen", "fourteen", "fifteen", "sixteen",
    ];
    for pair in names.windows(2) {
        body.push_str(&format!(
            "  line {}: from a, follow line {}, straight to a, follow line {}\n",
            pair[1], pair[0], pair[0]
        ));
    }
    assert!(says(&worked(&sheet(&body)), "more stretches than I keep"));
}

#[test]
fn sixty_rounds_are_the_most() {
    let found = worked(&sheet(
        "points\n  p number k: at a, down k * 1 in, each k up to 61",
    ));
    assert!(says(&found, "more than I count"));
}

#[test]
fn counted_sheets_full_of_counted_entries_end() {
    let mut text = String::from(
        "method \"Too much\"\ncard\n  waist\nsheets page number s, each s up to 60\nlevels\n  top line: at the top\nuprights\n  left line: at the left\n",
    );
    for i in 0..12 {
        let name = ["a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "l", "m"][i];
        text.push_str(&format!(
            "points\n  {name} number k: at top line and left line, down k * 1 in, each k up to 60\n"
        ));
    }
    assert!(says(&worked(&text), "more work than a draft may take"));
}

#[test]
fn truing_that_never_agrees_ends() {
    // Forty values that may move, each of which moves everything, and none of which helps.
    let mut text = String::from("method \"Too much\"\ncard\n  waist\nvalues\n");
    let names: Vec<String> = (0..40)
        .map(|i| format!("free {}", ["a", "b", "c", "d"][i % 4].repeat(i / 4 + 1)))
        .collect();
    for name in &names {
        text.push_str(&format!("  {name}: 1 in, may move between 0 in and 2 in\n"));
    }
    text.push_str(&format!("  sum: {}\n", names[..30].join(" + ")));
    text.push_str("sheets page\nlevels\n  top line: at the top\nuprights\n  left line: at the left\npoints\n  a: at top line and left line\n");
    for i in 0..40 {
        let name = format!("p {}", ["a", "b", "c", "d"][i % 4].repeat(i / 4 + 1));
        text.push_str(&format!("  {name}: at a, down sum\n"));
    }
    text.push_str("lines\n  all: from a, straight to p a\npieces\n  band: rectangle 10 in by 2 in\n    cut 1 from shell\nseams\n");
    for name in &names {
        text.push_str(&format!(
            "  seam {name}: make length of all of page = waist * 1000 by moving {name}\n"
        ));
    }
    let found = worked(&text);
    assert!(found.truings.iter().all(|t| !t.met));
    assert!(!found.findings.is_empty() || !found.notes.is_empty());
}

#[test]
fn a_method_that_uses_itself_is_told_so() {
    let found = worked("method \"Too much\"\ncard\n  waist\nuse \"Too much\" as more\n");
    assert!(says(&found, "comes back to itself"));
}

#[test]
fn a_search_without_an_answer_is_told_so() {
    let found = worked(
        "method \"Too much\"\ncard\n  waist\nvalues\n  x: found between 1 in and 2 in, so that x * 2 = 9 in\n",
    );
    assert!(says(&found, "no value at which"));
}
