//! RULES.md and the code hold the same rules.
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use check::rules::{Mark, RULES};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// RULES.md as the code has it.
fn page() -> String {
    let mut out = String::from(
        "# What is looked for before cloth is cut\n\n\
         `ellwand check` and every `ellwand make` go over the finished pieces by these rules. Everything is measured afresh on the stitching lines, darts\n\
         closed, allowances left out; nothing is taken from the sums that made the pattern. `docs/findings.md` shows what a finding looks like and how to\n\
         read it. This page is written from the code (`UPDATE_PAGE=1 cargo test -p check --test rules`), and a test holds the two together.\n\n\
         Each rule has one of five marks: *enforced*: looked for on every pattern; *impossible by construction*: it can't come about; *drafter's duty*: only\n\
         she can see it, and the paper reminds her; *not yet*; *not applicable*. A rule that can't be judged honestly on a pattern (a measure not taken, a\n\
         piece without a level of the body) says nothing. A *source* is a book or standard, a closed form, or `common practice, no source`.\n\n",
    );
    for mark in [
        Mark::Enforced,
        Mark::ByConstruction,
        Mark::DraftersDuty,
        Mark::NotYet,
        Mark::NotApplicable,
    ] {
        let count = RULES.iter().filter(|r| r.mark == mark).count();
        let _ = writeln!(out, "- {}: {count}", mark.words());
    }
    out.push_str(
        "\n## On the pattern\n\n\
         | rule | fault | mark | what is measured | it may be out | source |\n|---|---|---|---|---|---|\n",
    );
    for r in RULES {
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} | {} |",
            r.id,
            r.fault,
            r.mark.words(),
            r.measured,
            r.tolerance,
            r.source
        );
    }
    out.push_str(
        "\n## Why each matters, and what is usually done\n\n| rule | why | cure | choices that are tried |\n|---|---|---|---|\n",
    );
    for r in RULES {
        let tried = if r.choices.is_empty() {
            "-".to_owned()
        } else {
            r.choices.join(", ")
        };
        let _ = writeln!(out, "| {} | {} | {} | {tried} |", r.id, r.why, r.cure);
    }
    out.push_str(
        "\nA computed cure is the least change of a choice that has one of these words in its name or label, by which the finding goes and nothing as\n\
         grave comes in its place; it stands in `try`.\n\n\
         ## On the card\n\nThe card's own questions, under `card/…`:\n\n| rule | what it looks at |\n|---|---|\n",
    );
    for (id, what) in measure::questions::RULES {
        let _ = writeln!(out, "| card/{} | {what} |", id.trim_start_matches("card."));
    }
    out.push_str(
        "\n## What the method and the draft say\n\n| rule | what it tells |\n|---|---|\n\
         | method/… | a check that the method itself makes, by its name; `method/fallback`: its `else` was taken for a measure |\n\
         | truing | a seam could not be trued within the room that was left free |\n\
         | correction/trued | a seam that a correction of a fitting put out was trued again: what moved for it, or what is left |\n\
         | measure/predicted | a measure was reckoned from the others, with the band of nine women in ten |\n",
    );
    out
}

/// Would catch a rule added, dropped or changed on one side only.
#[test]
fn the_page_repeats_the_table() {
    let path = root().join("RULES.md");
    let wanted = page();
    if std::env::var_os("UPDATE_PAGE").is_some() {
        fs::write(&path, &wanted).unwrap();
    }
    let stands = fs::read_to_string(&path).unwrap().replace("\r\n", "\n");
    assert!(
        stands == wanted,
        "RULES.md is not what the code has: UPDATE_PAGE=1 cargo test -p check --test rules"
    );
}

/// Would catch a rule marked as looked for that no finder names, and the reverse.
#[test]
fn a_rule_is_marked_enforced_just_when_a_finder_names_it() {
    let mut source = String::new();
    for file in fs::read_dir(root().join("crates/check/src")).unwrap() {
        let path = file.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.extension().is_some_and(|e| e == "rs") && name != "rules.rs" {
            let text = fs::read_to_string(&path).unwrap();
            // What stands in tests and in comments names rules too.
            let own = text.split("#[cfg(test)]\nmod tests").next().unwrap();
            for line in own.lines().filter(|l| !l.trim_start().starts_with("//")) {
                source.push_str(line);
                source.push('\n');
            }
        }
    }
    // The word alone, not the beginning of `F10`,.
    let named = |id: &str| {
        source
            .split(|c: char| !c.is_ascii_alphanumeric())
            .any(|word| word == id)
    };
    for rule in RULES {
        assert_eq!(
            named(rule.id),
            rule.mark == Mark::Enforced,
            "{} is marked {}",
            rule.id,
            rule.mark.words()
        );
    }
}

/// Would catch two rules of one name, and an id out of its order.
#[test]
fn the_rules_are_f1_to_f34_each_once() {
    for (i, rule) in RULES.iter().enumerate() {
        assert_eq!(rule.id, format!("F{}", i + 1));
    }
    assert_eq!(RULES.len(), 34);
}
