//! The inspector over a table of allowances and over a toile: what is laid on is looked at like all else.
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]

use check::{Subject, Weight};
use draft::allowances::{Row, Stage, Table, lay_on};
use draft::{Library, Wish, Worked};
use measure::Length;
use measure::card::Card;
use measure::fraction::Shown;

const CARD: &str = include_str!("../../../tests/data/bodice.toml");

/// An invented woman with all that the shipped methods ask for.
fn card() -> Card {
    measure::card::read(CARD, &[]).unwrap()
}

fn shipped() -> Vec<(String, String)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../methods");
    let mut out = Vec::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.ends_with(".method") {
            out.push((name, std::fs::read_to_string(entry.path()).unwrap()));
        }
    }
    out.sort();
    out
}

fn worked(text: &str, library: &Library, card: &Card) -> Worked {
    let wish = Wish {
        card,
        set: &[],
        predict: true,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    draft::work(&draft::read(text), library, &wish)
}

/// The stops, each with its rule and words, and all that is said of allowances.
fn found(worked: &Worked, card: &Card) -> Vec<String> {
    let subject = Subject {
        card,
        worked,
        cloth: None,
        shown: Shown::inches(),
    };
    check::all(&subject)
        .into_iter()
        .filter(|f| f.weight == Weight::Stop || f.rule == "F29")
        .map(|f| format!("{}: {}", f.rule, f.says))
        .collect()
}

/// Would catch a toile or a table whose cutting line is not the one that its allowances ask for, and
/// edges that no longer lie together.
#[test]
fn neither_a_toile_nor_a_wide_table_brings_a_new_fault() {
    let all = shipped();
    assert!(!all.is_empty());
    let library = Library::new(all.iter().map(|m| m.1.as_str()));
    let card = card();
    let mut table = Table::usual();
    for (row, inches) in [
        (Row::Seam, 0.75),
        (Row::Side, 1.25),
        (Row::Centre, 1.0),
        (Row::Waist, 0.75),
        (Row::Lining, 0.75),
    ] {
        table.set(row, Stage::Cloth, Some(Length::inches(inches)));
    }
    for (name, text) in &all {
        let plain = worked(text, &library, &card);
        assert!(
            plain.sound(),
            "{name}: {:?} {:?}",
            plain.notes,
            plain.faults
        );
        let before = found(&plain, &card);
        for stage in [Stage::Cloth, Stage::Toile] {
            let mut now = plain.clone();
            lay_on(&mut now, &table, stage, Shown::inches());
            let fresh: Vec<String> = found(&now, &card)
                .into_iter()
                .filter(|f| !before.contains(f))
                .collect();
            assert!(fresh.is_empty(), "{name}, {stage:?}: {fresh:#?}");
        }
    }
}
