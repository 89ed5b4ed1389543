//! Every sheet of every shipped method: no letter touches a line or another letter, none is small,
//! none is off the paper or cut short.
//!
//! Fifty-one cards: the examples and the bodies of `tests/data/bodies.csv`, in inches and in
//! centimetres, and bodies half way between two of those. By default each method gets its share of
//! them, so that a run takes a minute or two; with `ELLWAND_SHEETS=all` every method is made for
//! every card on every paper (about an hour).

use std::path::PathBuf;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::{env, fs, thread};

use check::measured;
use draft::Correction;
use draft::allowances::{Stage, Table};
use draft::correction::{Place, Side};
use measure::Length;
use measure::card::{self, Card};
use sheet::words::{ENGLISH, LANGUAGES, Words};
use sheet::{LargePaper, Order, Paper, audit};

use crate::args::Ways;
use crate::job::{Job, Opened};
use crate::shelf::{self, SHIPPED, Taken};
use crate::{STACK, finding, order};

const PAPERS: [Paper; 3] = [Paper::A4, Paper::Letter, Paper::A3];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A body as the survey's table has it: what it is, and its measures in inches by name.
type Body = (String, Vec<(String, f64)>);

fn bodies() -> Vec<Body> {
    let text = fs::read_to_string(root().join("tests/data/bodies.csv")).unwrap();
    let mut lines = text.lines();
    let names: Vec<&str> = lines.next().unwrap().split(',').skip(1).collect();
    lines
        .map(|line| {
            let (why, rest) = line.split_once(',').unwrap();
            let values = rest.split(',').map(|v| v.parse().unwrap());
            let named = names.iter().map(|n| (*n).to_owned()).zip(values).collect();
            (why.to_owned(), named)
        })
        .collect()
}

fn in_inches((why, all): &Body) -> String {
    let mut text = format!("client = \"{why}\"\nunit = \"in\"\ntaken = 2026-05-02\n[measures]\n");
    for (name, value) in all {
        text += &format!("\"{name}\" = {value}\n");
    }
    text
}

fn in_cm((why, all): &Body) -> String {
    let mut text = format!("client = \"{why}, in cm\"\nunit = \"cm\"\n[measures]\n");
    for (name, value) in all {
        text += &format!("\"{name}\" = {:.1}\n", value * 2.54);
    }
    text
}

/// Half way between two bodies, to the eighth.
fn between(a: &Body, b: &Body) -> Body {
    let half = |x: f64, y: f64| (f64::midpoint(x, y) * 8.0).round() / 8.0;
    let all = a.1.iter().zip(&b.1);
    (
        format!("{} / {}", a.0, b.0),
        all.map(|(p, q)| (p.0.clone(), half(p.1, q.1))).collect(),
    )
}

/// The texts of all cards.
fn cards() -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for name in ["demo", "bea", "cam"] {
        let file = root().join(format!("examples/cards/{name}.toml"));
        let text = fs::read_to_string(file).unwrap();
        out.push(text.clone());
    }
    let bodies = bodies();
    out.extend(bodies.iter().map(in_inches));
    out.extend(bodies.iter().map(in_cm));
    for (i, a) in bodies.iter().enumerate() {
        out.push(in_inches(&between(a, &bodies[(i + 1) % bodies.len()])));
    }
    for (i, a) in bodies.iter().enumerate().take(4) {
        out.push(in_cm(&between(a, &bodies[(i + 7) % bodies.len()])));
    }
    out
}

fn drawn(opened: &Opened, method: &Taken, words: &'static Words) -> Option<Order> {
    corrected(opened, method, words, &[])
}

fn corrected(
    opened: &Opened,
    method: &Taken,
    words: &'static Words,
    corrections: &[Correction],
) -> Option<Order> {
    let ways = Ways {
        set: Vec::new(),
        predict: true,
        untrued: false,
        unit: None,
    };
    // The bodies between two others get a toile: its sheets say more, and its allowances are wider.
    let table = Table::usual();
    let toile = opened.card.client().contains(" / ");
    let job = Job::new(opened, method, &[], &ways)
        .allowing(toile.then_some((&table, Stage::Toile)))
        .corrected(corrections);
    let worked = job.work_soundly().ok()?;
    let findings = finding::all(&job, &worked);
    let measured = measured::measure(&worked, job.card());
    let version = "4S9K-SRX9";
    Some(order::order_in(
        &job, &worked, &findings, &measured, version, words,
    ))
}

fn taken(text: &str, number: usize) -> Option<Card> {
    let read = card::read(text, &[]);
    assert!(number > 2 || read.is_ok(), "{read:?}");
    read.ok()
}

/// What is found on the sheets of one method for one card.
fn look(method: &Taken, opened: &Opened, papers: &[Paper]) -> Option<Vec<String>> {
    drawn(opened, method, &ENGLISH).map(|order| faults(&order, papers))
}

fn faults(order: &Order, papers: &[Paper]) -> Vec<String> {
    let mut found = Vec::new();
    for paper in papers {
        match audit::tiled(order, *paper) {
            Ok(faults) => found.extend(faults.iter().map(ToString::to_string)),
            Err(fault) => found.push(fault.to_string()),
        }
    }
    // One large sheet for each: a roll beside A4, A0 beside the others.
    let large = if papers.contains(&Paper::A4) {
        LargePaper::Roll
    } else {
        LargePaper::A0
    };
    match audit::on_large(order, large) {
        Ok(faults) => found.extend(faults.iter().map(ToString::to_string)),
        Err(fault) => found.push(fault.to_string()),
    }
    match audit::side_by_side(order) {
        Ok(faults) => found.extend(faults.iter().map(ToString::to_string)),
        Err(fault) => found.push(fault.to_string()),
    }
    found
}

// Catches a sentence of the sheets that stands anywhere but in the table of words, and a layout that
// holds only English.
#[test]
fn a_pattern_in_another_language_says_nothing_in_english() {
    let words: &'static Words = Box::leak(Box::new(audit::longer(&ENGLISH)));
    let opened = Opened {
        path: PathBuf::from("card.toml"),
        card: taken(&cards()[0], 0).unwrap(),
    };
    let Some((name, _)) = SHIPPED.iter().find(|(n, _)| n.contains("mermaid")) else {
        // Without the shipped methods there is nothing to look at.
        return;
    };
    let method = shelf::take(name).unwrap();
    let mut order = drawn(&opened, &method, words).unwrap();
    let found = audit::tiled_in(&order, Paper::Letter, words).unwrap();
    let found: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
    // What the method and the checks say is theirs.
    order.steps.clear();
    order.findings.clear();
    order.cautions.clear();
    // Lines may be broken anywhere, so each page is read as one text.
    let pages: Vec<String> = audit::texts_in(&order, Paper::Letter, words)
        .unwrap()
        .iter()
        .map(|lines| lines.join(" "))
        .collect();
    let mut looked = 0;
    for (entry, english) in ENGLISH.all() {
        // The longest stretch between two gaps; single words may be the method's own.
        let Some(part) = english
            .split(['{', '}'])
            .step_by(2)
            .map(|p| p.trim_matches([' ', ',', '.', ':', '(']))
            .max_by_key(|p| p.len())
            .filter(|p| p.split(' ').count() > 2)
        else {
            continue;
        };
        looked += 1;
        for page in &pages {
            assert!(!page.contains(part), "{entry}: `{part}` is said in English");
        }
    }
    assert!(looked > 15, "{looked}");
}

// Catches any word on a line, on another word, too small, off the paper or cut short, on any sheet of
// any shipped method. That it can fail is shown in `sheet::audit`, where each fault is planted.
#[test]
fn no_letter_touches_anything_on_any_sheet() {
    let all = env::var("ELLWAND_SHEETS").is_ok_and(|v| v == "all");
    let cards = cards();
    assert!(cards.len() > 50, "{}", cards.len());
    let mut work: Vec<(usize, usize, Vec<Paper>)> = Vec::new();
    for m in 0..SHIPPED.len() {
        for c in 0..cards.len() {
            let shared = (c + m * 5) % 17 == 3 && c > 0;
            let papers = match (all, c, shared) {
                (true, ..) => PAPERS.to_vec(),
                (_, 0, _) => vec![Paper::A4],
                (_, _, true) => vec![PAPERS[(c / 17 + m) % 3]],
                _ => continue,
            };
            work.push((m, c, papers));
        }
    }
    let next = AtomicUsize::new(0);
    let made = AtomicUsize::new(0);
    let found: Mutex<Vec<String>> = Mutex::new(Vec::new());
    thread::scope(|s| {
        for _ in 0..2 {
            let run = || {
                while let Some((m, c, papers)) = work.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let method = shelf::take(SHIPPED[*m].0).unwrap();
                    let Some(card) = taken(&cards[*c], *c) else {
                        continue;
                    };
                    let opened = Opened {
                        path: PathBuf::from("card.toml"),
                        card,
                    };
                    let Some(faults) = look(&method, &opened, papers) else {
                        continue;
                    };
                    made.fetch_add(1, Ordering::Relaxed);
                    let named = faults
                        .iter()
                        .map(|f| format!("{}, card {c}: {f}", method.name));
                    found.lock().unwrap().extend(named);
                }
            };
            thread::Builder::new()
                .stack_size(STACK)
                .spawn_scoped(s, run)
                .unwrap();
        }
    });
    let (found, made) = (found.into_inner().unwrap(), made.into_inner());
    // A method may refuse a body that its construction can't draw; most it draws.
    assert!(
        SHIPPED.is_empty() || made * 10 >= work.len() * 8,
        "{made} of {}",
        work.len()
    );
    assert!(
        found.is_empty(),
        "{} of {made}\n{}",
        found.len(),
        found.join("\n")
    );
}

// Catches the same on the sheets of pieces that are cut apart for her left and her right, whose words are
// longer.
#[test]
fn no_letter_touches_anything_where_left_and_right_differ() {
    let opened = Opened {
        path: PathBuf::from("card.toml"),
        card: taken(&cards()[0], 0).unwrap(),
    };
    let mut found = Vec::new();
    for (m, (name, _)) in SHIPPED.iter().enumerate() {
        let method = shelf::take(name).unwrap();
        let plain = drawn(&opened, &method, &ENGLISH).unwrap();
        let halves = plain.pieces.iter().map(|p| &p.piece);
        let half = halves
            .filter(|p| p.cuts.iter().all(|c| c.on_fold || c.pair))
            .find_map(|p| {
                let seams = p.edges.iter().filter(|e| e.role == piece::Role::Seam);
                let long = |e: &&piece::Edge| e.curve.length().in_mm();
                let edge = seams.max_by(|a, b| long(a).total_cmp(&long(b)))?;
                Some((p.name.clone(), edge.name.clone()))
            });
        let (of, edge) = half.unwrap();
        let by = [-0.375, -0.25, 0.0].map(Length::inches);
        let mut c = Correction::new(of, edge, (Place::Start, Place::End), by);
        c.side = Side::Left;
        let order = corrected(&opened, &method, &ENGLISH, &[c]).unwrap();
        let differ = |p: &&sheet::SheetPiece| draft::sided::is_sided(&p.piece);
        assert!(order.pieces.iter().any(|p| differ(&p)), "{name}");
        let papers = [PAPERS[(m + 1) % 3]];
        found.extend(
            faults(&order, &papers)
                .iter()
                .map(|f| format!("{name}: {f}")),
        );
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

// Catches a language whose words are too long for their places, that has a letter which the fonts lack,
// or that was added without being looked at on paper.
#[test]
fn every_language_stands_clear_on_every_sheet() {
    let opened = Opened {
        path: PathBuf::from("card.toml"),
        card: taken(&cards()[0], 0).unwrap(),
    };
    let mut found = Vec::new();
    for words in LANGUAGES.into_iter().filter(|w| **w != ENGLISH) {
        for (m, (name, _)) in SHIPPED.iter().enumerate() {
            let method = shelf::take(name).unwrap();
            let order = drawn(&opened, &method, words).unwrap();
            let papers = [PAPERS[m % 3]];
            let told = faults(&order, &papers);
            found.extend(
                told.iter()
                    .map(|f| format!("{name}, {}: {f}", words.own_name)),
            );
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

// Catches the number of a joint that is printed through the line to cut along, where that line runs down
// the narrow strip beside the joint (her left hip taken in, on Letter), and one on a balance mark.
#[test]
fn the_number_of_a_joint_stands_clear_where_a_line_runs_along_it() {
    let opened = Opened {
        path: PathBuf::from("card.toml"),
        card: taken(&cards()[0], 0).unwrap(),
    };
    let Some((name, _)) = SHIPPED.iter().find(|(n, _)| n.starts_with("straight")) else {
        // Without the shipped methods there is nothing to look at.
        return;
    };
    let method = shelf::take(name).unwrap();
    let cases: [(&[&str], [f64; 3]); 3] = [
        (&["front"], [0.0, -0.25, 0.0]),
        (&["front", "back"], [0.0, -0.25, 0.0]),
        (&["front", "back"], [-0.375, -0.1875, 0.0]),
    ];
    let mut found = Vec::new();
    for (pieces, by) in cases {
        let corrections: Vec<Correction> = pieces
            .iter()
            .map(|piece| {
                let ends = (Place::Start, Place::End);
                let mut c = Correction::new(*piece, "side", ends, by.map(Length::inches));
                c.side = Side::Left;
                c
            })
            .collect();
        let order = corrected(&opened, &method, &ENGLISH, &corrections).unwrap();
        let faults = audit::tiled(&order, Paper::Letter).unwrap();
        found.extend(faults.iter().map(|f| format!("{pieces:?} {by:?}: {f}")));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
