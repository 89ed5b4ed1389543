//! Computed cures: applied, each clears its finding and brings nothing as grave in its place.
//!
//! The women are the invented clients of `examples/cards`. Without the folder of methods these tests
//! have nothing to try and pass.
#![allow(
    clippy::unwrap_used,
    reason = "a test stops, and prints, where it must"
)]

use std::path::{Path, PathBuf};

use check::cure::{MOST_DRAFTS, cure};
use check::{Amount, Finding, Subject, Weight};
use draft::{Library, Reading, Wish, Worked};
use measure::Length;
use measure::card::{self, Card};
use measure::fraction::Shown;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn text(path: &str) -> Option<String> {
    std::fs::read_to_string(root().join(path)).ok()
}

/// A method, a card, and what is set.
struct Order {
    card: Card,
    reading: Reading,
    shown: Shown,
}

impl Order {
    fn of(method: &str, client: &str) -> Option<Self> {
        let card = card::read(&text(&format!("examples/cards/{client}.toml"))?, &[]).unwrap();
        let reading = draft::read(&text(&format!("methods/{method}.method"))?);
        let shown = Shown::usual(card.unit());
        Some(Self {
            card,
            reading,
            shown,
        })
    }

    fn work(&self, set: &[(String, String)]) -> Option<Worked> {
        let wish = Wish {
            card: &self.card,
            set,
            predict: true,
            untrued: false,
            shown: self.shown,
            corrections: &[],
        };
        let worked = draft::redraw(&self.reading, Vec::new(), &Library::default(), &wish);
        worked.sound().then_some(worked)
    }

    fn subject<'a>(&'a self, worked: &'a Worked) -> Subject<'a> {
        Subject {
            card: &self.card,
            worked,
            cloth: None,
            shown: self.shown,
        }
    }

    /// All that is found, cures looked for.
    fn found(&self, set: &[(String, String)]) -> Option<Vec<Finding>> {
        let worked = self.work(set)?;
        let subject = self.subject(&worked);
        let mut findings = check::all(&subject);
        cure(
            &mut findings,
            &subject,
            MOST_DRAFTS,
            &mut |choice, value| self.work(&with(set, choice, value)),
        );
        Some(findings)
    }
}

fn with(set: &[(String, String)], choice: &str, value: &str) -> Vec<(String, String)> {
    let mut out: Vec<(String, String)> = set.iter().filter(|(n, _)| n != choice).cloned().collect();
    out.push((choice.to_owned(), value.to_owned()));
    out
}

/// A pattern broken by a choice, and the rule that then has a cure.
struct Broken {
    method: &'static str,
    client: &'static str,
    set: &'static [(&'static str, &'static str)],
    rule: &'static str,
}

const BROKEN: &[Broken] = &[
    Broken {
        method: "mermaid-two",
        client: "demo",
        set: &[],
        rule: "F8",
    },
    Broken {
        method: "mermaid-two",
        client: "demo",
        set: &[("tightening", "4 in")],
        rule: "F10",
    },
    Broken {
        method: "mermaid-two",
        client: "demo",
        set: &[("zip length", "7 in")],
        rule: "F23",
    },
    Broken {
        method: "mermaid-two",
        client: "cam",
        set: &[("hip ease", "-1 cm")],
        rule: "F8",
    },
    Broken {
        method: "straight-skirt",
        client: "demo",
        set: &[("hip ease", "0 in")],
        rule: "F8",
    },
    Broken {
        method: "plain-skirt",
        client: "bea",
        set: &[("hip ease", "0 in")],
        rule: "F11",
    },
];

/// Would catch a cure that does not cure, one that brings a fault as grave, and one that is not the
/// least: half as far must not do.
#[test]
fn a_cure_applied_clears_its_finding() {
    for Broken {
        method,
        client,
        set,
        rule,
    } in BROKEN
    {
        let Some(order) = Order::of(method, client) else {
            return;
        };
        let set: Vec<(String, String)> = set
            .iter()
            .map(|(n, v)| ((*n).to_owned(), (*v).to_owned()))
            .collect();
        let what = format!("{method} for {client} with {set:?}");
        let found = order.found(&set).unwrap_or_else(|| panic!("{what}"));
        let hit = found
            .iter()
            .find(|f| f.rule == *rule && f.weight < Weight::Note)
            .unwrap_or_else(|| panic!("{what}: no {rule} in {found:#?}"));
        let attempt = hit
            .attempt
            .as_ref()
            .unwrap_or_else(|| panic!("{what}: no cure for {hit:#?}"));
        println!("{what}: {rule}: {} = {}", attempt.choice, attempt.value);
        for f in &found {
            let Some(attempt) = &f.attempt else { continue };
            let cured = order
                .work(&with(&set, &attempt.choice, &attempt.value))
                .unwrap_or_else(|| panic!("{what}: {attempt:?} can't be worked"));
            let after = check::all(&order.subject(&cured));
            assert!(
                !after
                    .iter()
                    .any(|a| a.rule == f.rule && a.place == f.place && a.weight < Weight::Note),
                "{what}: {attempt:?} leaves {f:#?}"
            );
            for a in after.iter().filter(|a| a.weight < Weight::Note) {
                assert!(
                    found
                        .iter()
                        .any(|b| b.rule == a.rule && b.place == a.place && b.weight <= a.weight),
                    "{what}: {attempt:?} brings {a:#?}"
                );
            }
        }
    }
}

/// Would catch a choice that drives a fault past the limit beyond which it may be meant so, and then
/// passes for its cure: the front is short against the side, and dips further at the waist.
#[test]
fn a_choice_that_makes_it_worse_is_no_cure() {
    let Some(mut order) = Order::of("mermaid-two", "demo") else {
        return;
    };
    for (name, inches) in [
        ("waist to floor", 44.75),
        ("front waist to floor", 45.25),
        ("back waist to floor", 45.0),
    ] {
        order.card = order.card.with(name, Length::inches(inches));
    }
    let short = |found: &[Finding]| -> Option<f64> {
        let f = found.iter().find(|f| f.rule == "F18")?;
        let Some(Amount::Length(amount)) = f.amount else {
            panic!("{f:?}")
        };
        Some(amount.in_mm().abs())
    };
    let found = order.found(&[]).unwrap();
    let before = short(&found).unwrap();
    let worse = order.work(&with(&[], "front drop", "7/8 in")).unwrap();
    let noted = check::all(&order.subject(&worse));
    assert!(short(&noted).unwrap() > before + 1.0, "{noted:#?}");
    let f18 = found.iter().find(|f| f.rule == "F18").unwrap();
    let attempt = f18.attempt.as_ref().unwrap();
    let cured = order
        .work(&with(&[], &attempt.choice, &attempt.value))
        .unwrap();
    let after = short(&check::all(&order.subject(&cured))).unwrap_or(0.0);
    assert!(after < before, "{attempt:?}: {before} to {after}");
}

/// Would catch a longer blend offered where the rule itself says that it helps little.
#[test]
fn too_much_turn_is_never_cured_by_a_blend() {
    let Some(order) = Order::of("mermaid-two", "demo") else {
        return;
    };
    let set = [
        ("flare".to_owned(), "12 in".to_owned()),
        ("tightening".to_owned(), "4 in".to_owned()),
    ];
    let found = order.found(&set).unwrap();
    let turned: Vec<&Finding> = found
        .iter()
        .filter(|f| f.says.contains("a longer blend helps little"))
        .collect();
    assert!(!turned.is_empty(), "{found:#?}");
    for f in turned {
        assert!(
            f.attempt.as_ref().is_none_or(|a| a.choice != "blend"),
            "{f:#?}"
        );
    }
}

/// Would catch a search for cures that has no end: all work is counted.
#[test]
fn the_search_for_cures_is_bounded() {
    let Some(order) = Order::of("mermaid-two", "demo") else {
        return;
    };
    let set = [("hip ease".to_owned(), "-2 in".to_owned())];
    let worked = order.work(&set).unwrap();
    let subject = order.subject(&worked);
    let mut findings = check::all(&subject);
    let mut drafts = 0;
    cure(&mut findings, &subject, usize::MAX, &mut |_, _| {
        drafts += 1;
        None
    });
    assert!(drafts > 0 && drafts <= MOST_DRAFTS, "{drafts}");
    assert!(findings.iter().all(|f| f.attempt.is_none()));
}
