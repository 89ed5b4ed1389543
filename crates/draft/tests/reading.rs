//! Reading and tidying hold on any text: no panic, no loss, every note inside the text.
//!
//! `READING_CASES` sets how many damaged texts are tried (2000 unless told).
#![allow(
    clippy::unwrap_used,
    reason = "a test or an example stops, and prints, where it must"
)]

mod common;

use common::{Dice, damaged, spanless, texts};
use proptest::prelude::*;

fn cases() -> u32 {
    std::env::var("READING_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(2000)
}

/// Every note points inside the text, or at most just behind the end of its line.
fn assert_inside(text: &str) {
    let widths: Vec<usize> = text.lines().map(|l| l.chars().count()).collect();
    for note in draft::read(text).notes {
        let draft::Span {
            line,
            column,
            width,
        } = note.span;
        let line = line as usize;
        assert!(
            line >= 1 && line <= widths.len().max(1),
            "line {line} of {}: {note:?}\n{text}",
            widths.len()
        );
        let long = widths.get(line - 1).copied().unwrap_or(0);
        let (column, width) = (column as usize, width as usize);
        assert!(column >= 1 && column <= long + 1, "{note:?}\n{text}");
        assert!(
            width >= 1 && column + width <= long + 2,
            "{note:?} on a line of {long}\n{text}"
        );
        assert!(
            !note.message.is_empty() && note.message.ends_with(['.', '?']),
            "{note:?}"
        );
    }
}

/// Tidying changes no word and no meaning, and tidying twice changes nothing more.
fn assert_tidy_keeps(text: &str) {
    let tidied = draft::tidy(text);
    assert_eq!(draft::tidy(&tidied), tidied, "not stable for:\n{text}");
    let (before, after) = (draft::read(text), draft::read(&tidied));
    assert_eq!(
        spanless(&before.method),
        spanless(&after.method),
        "another meaning:\n{text}\n---\n{tidied}"
    );
    let says = |r: &draft::Reading| -> Vec<String> {
        let mut said: Vec<String> = r
            .notes
            .iter()
            .map(|n| {
                n.says()
                    .replace(|c: char| c.is_ascii_digit(), "#")
                    .replace("##", "#")
                    .replace("##", "#")
            })
            .collect();
        said.sort();
        said
    };
    assert_eq!(
        says(&before),
        says(&after),
        "other notes:\n{text}\n---\n{tidied}"
    );
    let words = |text: &str| -> String {
        text.chars()
            .filter(|c| !c.is_whitespace() && *c != '\u{feff}')
            .collect()
    };
    assert_eq!(
        words(text),
        words(&tidied),
        "other words:\n{text}\n---\n{tidied}"
    );
}

#[test]
fn the_texts_are_read_without_a_note_and_are_tidy() {
    for (name, text) in texts() {
        let reading = draft::read(&text);
        let shown: Vec<String> = reading
            .notes
            .iter()
            .map(|n| n.shown(&name, &text).to_string())
            .collect();
        assert!(shown.is_empty(), "{}", shown.join("\n"));
        assert_eq!(draft::tidy(&text), text, "{name}");
        assert_tidy_keeps(&text);
    }
}

/// The shipped methods are texts beside the program: while they are there, they are tried too.
#[test]
fn the_shipped_methods_are_read_without_a_note_and_stay_so_tidied() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../methods");
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for path in entries.flatten().map(|e| e.path()) {
        if path.extension().is_some_and(|e| e == "method") {
            let text = std::fs::read_to_string(&path).unwrap();
            assert_eq!(draft::read(&text).notes, Vec::new(), "{}", path.display());
            assert_tidy_keeps(&text);
        }
    }
}

/// Blanks thrown in anywhere between words come out again.
#[test]
fn a_text_blown_up_with_blanks_is_tidied_back() {
    let mut dice = Dice::new(5);
    for (name, text) in texts() {
        let mut blown = String::new();
        for line in text.lines() {
            if line.trim_start().starts_with("why:") {
                blown.extend(["\t", line.trim(), "  \n"]);
                continue;
            }
            let mut quoted = false;
            for c in line.trim_start().chars() {
                quoted ^= c == '"';
                blown.push(c);
                if c == ' ' && !quoted {
                    blown.push_str([" ", "\t", "   ", ""][dice.below(4)]);
                }
            }
            blown.push_str(
                ["\n", "  \n", "\r\n", "\n\n\n"][dice.below(3) + usize::from(line.is_empty())],
            );
        }
        // Blank lines between entries are kept, one at most; none were put in there but after others.
        assert_eq!(draft::tidy(&blown), text, "{name}");
    }
}

#[test]
fn damaged_methods_never_panic_and_notes_have_places() {
    let all = texts();
    let mut dice = Dice::new(11);
    // A whole method takes longer than the other texts, so fewer are tried.
    for case in 0..cases() / 4 {
        let (_, text) = &all[case as usize % all.len()];
        let text = damaged(text, &mut dice);
        assert_inside(&text);
        assert_tidy_keeps(&text);
    }
}

/// A small piece of text made of the language's own words and signs, at random: finds what damage to
/// whole methods is too tame for.
#[test]
fn soups_of_words_never_panic() {
    let all = texts();
    let mut words: Vec<&str> = all
        .iter()
        .flat_map(|(_, t)| t.split([' ', '\n']))
        .filter(|w| !w.is_empty())
        .collect();
    words.sort_unstable();
    words.dedup();
    let signs = [
        "(",
        ")",
        ",",
        ":",
        "|",
        "--",
        "-",
        "\"",
        "“",
        "”",
        "the",
        "\t",
        "½",
        "²",
        "’",
        "'",
        "\u{301}",
        "\u{200b}",
        "@",
        "why:",
        "when",
        "otherwise",
        "end",
        "%",
        "1/2",
        ".5",
        "9999999999999999999999",
        "1e9",
        "number",
        "each k up to",
        "else",
        "\u{feff}",
        "\r",
        "[",
        "]",
        "≤",
        "–",
    ];
    let mut dice = Dice::new(12);
    for _ in 0..cases() {
        let mut text = String::new();
        for _ in 0..dice.below(120) {
            match dice.below(6) {
                0 => text.push('\n'),
                1 | 2 => text.push_str(signs[dice.below(signs.len())]),
                _ => text.push_str(words[dice.below(words.len())]),
            }
            if dice.below(5) > 0 {
                text.push(' ');
            }
        }
        assert_inside(&text);
        assert_tidy_keeps(&text);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        let text = String::from_utf8_lossy(&bytes);
        assert_inside(&text);
        assert_tidy_keeps(&text);
    }

    #[test]
    fn any_letters_never_panic(text in "(\\PC|[ \n\r\t,:()|\"a-z0-9/-]){0,300}") {
        assert_inside(&text);
        assert_tidy_keeps(&text);
    }
}

/// Reading stays near linear: long texts, deep brackets and long sums are met with a note, not a hang.
#[test]
fn long_and_deep_texts_end_soon() {
    let begun = std::time::Instant::now();
    let deep = "(".repeat(1900);
    let many_when = "when a\n".repeat(5000);
    let sum = "1 + ".repeat(480);
    let words = "a ".repeat(950);
    let brackets = format!("points\np: at {}", "(at (up ".repeat(200));
    let commas = format!("points\np: {}", ", ".repeat(900));
    let more = format!("edges\ne: from a\n{}", "straight to b\n".repeat(4900));
    let rows = format!("sheets a\n|a\n{}", "x | 1 in\n".repeat(4900));
    let wide = "values\na: ".to_owned() + &"b".repeat(100_000);
    let lines = "\n".repeat(100_000);
    let nots = format!("values\na: {}x", "not ".repeat(400));
    let minus = format!("values\na: {}x", "- ".repeat(900));
    for text in [
        &deep,
        &many_when,
        &format!("values\na: {sum}"),
        &format!("values\na: {words}"),
        &brackets,
        &commas,
        &more,
        &rows,
        &wide,
        &lines,
        &nots,
        &minus,
    ] {
        let reading = draft::read(text);
        assert!(reading.notes.len() < 20_000);
        assert_inside(text);
        let _ = draft::tidy(text);
    }
    assert!(begun.elapsed().as_secs() < 20, "{:?}", begun.elapsed());
}
