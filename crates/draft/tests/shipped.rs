//! The shipped methods: read without a note, and worked for women of every figure.
//!
//! The women are those of `data/women.csv` (public surveys, named there). Without the folder of
//! methods these tests have nothing to try and pass.

#[path = "common/bodies.rs"]
mod bodies;
#[path = "common/sums.rs"]
mod sums;

use bodies::{cards, judge};
use draft::tree::{Heading, Item};
use draft::worked::Worked;
use draft::{Library, Wish};
use measure::card::Card;
use measure::fraction::Shown;
use sums::{card, comes_to, shipped, shipped_worked, w1, worked};

const WOMEN: &str = include_str!("data/women.csv");

/// What a partner may be out by, along a seam or between two of its notches: a thirty-second.
const TRUE_TO: f64 = 1.0 / 32.0;

/// All skirts; the bodice wants measures that the surveys do not have.
fn skirts() -> Vec<(String, String)> {
    shipped()
        .into_iter()
        .filter(|s| s.0 != "bodice-a")
        .collect()
}

fn library(texts: &[(String, String)]) -> Library {
    Library::new(texts.iter().map(|t| t.1.as_str()))
}

fn tried(
    name: &str,
    text: &str,
    library: &Library,
    card: &Card,
    set: &[(String, String)],
) -> Worked {
    let reading = draft::read(text);
    let out = draft::work(
        &reading,
        library,
        &Wish {
            card,
            set,
            predict: false,
            untrued: false,
            shown: Shown::inches(),
            corrections: &[],
        },
    );
    let v = judge(&out);
    let who = format!("{name} for {} with {set:?}", card.client());
    assert!(v.faults.is_empty(), "{who}: {:?}", v.faults);
    assert!(v.stops.is_empty(), "{who}: {:?}", v.stops);
    assert!(v.outlines.is_empty(), "{who}: {:?}", v.outlines);
    assert!(v.orphans.is_empty(), "{who}: {:?}", v.orphans);
    assert!(v.seam.inches <= TRUE_TO, "{who}: {:?}", v.seam);
    assert!(v.segment.inches <= TRUE_TO, "{who}: {:?}", v.segment);
    assert!(!out.pieces.is_empty(), "{who}: nothing to cut");
    out
}

/// Would catch any slip in a shipped text.
#[test]
fn every_shipped_method_reads_without_a_note() {
    let all = shipped();
    let library = library(&all);
    for (name, text) in &all {
        let notes = draft::check(&draft::read(text), &library);
        let said: Vec<String> = notes
            .iter()
            .map(|n| n.shown(name, text).to_string())
            .collect();
        assert!(said.is_empty(), "{}", said.join("\n"));
    }
}

/// Would catch a figure for whom an outline crosses itself, a level misses an edge, a dart comes out
/// less than nothing, or a seam stays untrue: short hips, waists over hips, hips of 30 and 70 in.
#[test]
fn every_skirt_runs_for_every_woman_of_the_sample() {
    let texts = skirts();
    let all = shipped();
    let library = library(&all);
    let women = cards(WOMEN);
    assert!(women.len() > 50 || texts.is_empty());
    // Each woman tries two of the skirts here; `bodies` tries all on all.
    for (i, woman) in women.iter().enumerate() {
        for (j, (name, text)) in texts.iter().enumerate() {
            if (i + j) % texts.len() < 2 {
                tried(name, text, &library, woman, &[]);
            }
        }
    }
}

/// Would catch a waist over a hip that passes in silence, or that draws a dart of less than nothing.
#[test]
fn a_waist_over_the_hip_is_said_and_drawn_straight() {
    let woman = card(&[
        ("waist", 47.0),
        ("hip", 44.0),
        ("waist to hip", 8.5),
        ("waist to knee", 23.0),
    ]);
    let all = shipped();
    let library = library(&all);
    for (name, text) in skirts() {
        let out = tried(&name, &text, &library, &woman, &[]);
        assert!(out.pieces.iter().all(|p| p.darts.is_empty()), "{name}");
        if name != "circle-skirt" {
            assert!(
                out.findings.iter().any(|f| f.rule == "large waist"),
                "{name}"
            );
        }
    }
}

/// Would catch an edge that is sewn to nothing, and one without a turning.
#[test]
fn every_seam_edge_has_a_seam() {
    let all = shipped();
    let library = library(&all);
    for (name, text) in skirts() {
        for set in [
            vec![],
            vec![("top finish".to_owned(), "facing".to_owned())],
            vec![("top finish".to_owned(), "waistband".to_owned())],
            vec![("hem facing".to_owned(), "yes".to_owned())],
            vec![("back vent".to_owned(), "no".to_owned())],
            vec![("lining".to_owned(), "no".to_owned())],
            vec![("gores".to_owned(), "7".to_owned())],
            vec![("circles".to_owned(), "2".to_owned())],
            vec![("front seam".to_owned(), "yes".to_owned())],
            vec![("train".to_owned(), "no".to_owned())],
        ] {
            let offers = |choice: &str| {
                draft::read(&text)
                    .method
                    .choices
                    .iter()
                    .any(|c| &*c.name.name == choice)
            };
            if set.iter().any(|s| !offers(&s.0)) {
                continue;
            }
            let out = tried(&name, &text, &library, &w1(), &set);
            for p in &out.pieces {
                for e in p.edges.iter().filter(|e| e.role == piece::Role::Seam) {
                    let sewn = out.seams.iter().any(|s| {
                        s.a.iter()
                            .chain(&s.b)
                            .any(|n| n.piece == p.name && n.edge == e.name)
                    });
                    assert!(sewn, "{name} {set:?}: {} of {}", e.name, p.name);
                }
            }
        }
    }
}

/// Would catch a choice whose end of range breaks the draft.
#[test]
fn both_ends_of_some_ranges() {
    let all = shipped();
    let library = library(&all);
    let set = |a: &str, b: &str| vec![(a.to_owned(), b.to_owned())];
    for (name, choices) in [
        (
            "mermaid-two",
            vec![
                set("darts", "2"),
                set("tightening way", "step"),
                set("tightening way", "girth"),
                set("train shape", "round"),
                set("train shape", "pointed"),
                set("train", "no"),
                set("train length", "60 in"),
                set("blend", "6 in"),
                set("break lift", "8 in"),
                set("bustle", "yes"),
                set("hip ease", "3 in"),
            ],
        ),
        (
            "mermaid-gores",
            vec![
                set("gores", "5"),
                set("gores", "14"),
                set("break step", "4 in"),
                set("flare growth", "8 in"),
                set("train", "yes"),
                set("break way", "step"),
            ],
        ),
        (
            "straight-skirt",
            vec![
                set("slit", "centre"),
                set("slit", "sides"),
                set("vent height", "14 in"),
                set("length", "14 in"),
                set("dart count", "chosen"),
            ],
        ),
        (
            "circle-skirt",
            vec![
                set("dip", "30 in"),
                set("circles", "1.5"),
                set("gathering", "3"),
            ],
        ),
        (
            "mermaid-flounce",
            vec![
                set("hem girth", "240 in"),
                set("dip", "0 in"),
                set("dip", "40 in"),
            ],
        ),
        (
            "a-line",
            vec![set("closing", "0 %"), set("side flare", "4 in")],
        ),
    ] {
        let Some((_, text)) = all.iter().find(|t| t.0 == name) else {
            continue;
        };
        for choice in choices {
            tried(name, text, &library, &w1(), &choice);
        }
    }
}

/// The hem is as long as she asked for, whatever the dip. Would catch the rule of top and depth used
/// for a ring that is deeper behind (120 in came out 126).
#[test]
fn a_flounce_has_the_hem_that_was_asked_for() {
    for (hem, dip) in [
        ("120 in", "0 in"),
        ("120 in", "6 in"),
        ("150 in", "20 in"),
        ("240 in", "6 in"),
    ] {
        let set = [("hem girth", hem), ("dip", dip)];
        let Some(out) = shipped_worked("mermaid-flounce", &w1(), &set) else {
            return;
        };
        let wanted: f64 = hem.trim_end_matches(" in").parse().expect("a figure");
        comes_to(&out, "hem", wanted, 1e-5);
        let (hem, join) = (sums::result(&out, "hem"), sums::result(&out, "join"));
        let measured: f64 = out
            .pieces
            .iter()
            .filter(|p| p.name.starts_with("flounce"))
            .map(|p| 2.0 * p.edge("hem").expect("a hem").curve.length().in_inches())
            .sum();
        assert!((measured - hem).abs() < 1e-4, "{measured} {hem}");
        assert!(join < hem);
    }
}

/// Her arcs say where the side seam lies. Would catch arcs that are read and not used.
#[test]
fn measured_arcs_move_the_side_seam() {
    let arcs = w1()
        .with("front hip arc", measure::Length::inches(21.0))
        .with("front waist arc", measure::Length::inches(15.5));
    let Some(out) = shipped_worked("straight-skirt", &arcs, &[]) else {
        return;
    };
    let width = |name: &str| {
        let p = out.pieces.iter().find(|p| p.name == name).expect("cut");
        let at = p.mark("hip side").expect("a point");
        at.x / 25.4
    };
    assert!((width("front") - 11.0).abs() < 1e-9);
    assert!((width("back") - 10.0).abs() < 1e-9);
    comes_to(&out, "waist girth", 31.0, 1e-5);
    comes_to(&out, "hip girth", 42.0, 1e-9);
}

/// A step asked for is the step she gets. Would catch a break reckoned at another level.
#[test]
fn tightening_by_step_gives_that_step() {
    for (way, more, value) in [
        ("step", "step wanted", "14 in"),
        ("girth", "girth wanted", "31 in"),
    ] {
        let set = [("tightening way", way), (more, value)];
        let Some(out) = shipped_worked("mermaid-two", &w1(), &set) else {
            return;
        };
        if way == "step" {
            comes_to(&out, "her step", 14.0, 1e-6);
        } else {
            comes_to(&out, "break girth", 31.0, 1e-9);
        }
    }
}

/// Renames every point, line and ruling of a text: `hip side` becomes `place one`, and so on.
fn renamed(text: &str) -> (String, usize) {
    fn names(items: &[Item], out: &mut Vec<String>) {
        for item in items {
            match item {
                Item::Entry(e)
                    if matches!(
                        e.heading,
                        Heading::Levels | Heading::Uprights | Heading::Points | Heading::Lines
                    ) =>
                {
                    out.extend(
                        e.head
                            .names
                            .iter()
                            .filter(|n| n.number.is_none())
                            .map(|n| n.name.to_string()),
                    );
                }
                Item::When(w) => {
                    names(&w.then, out);
                    names(&w.otherwise, out);
                }
                Item::Sheets(g) => names(&g.body, out),
                _ => {}
            }
        }
    }
    let mut all = Vec::new();
    names(&draft::read(text).method.body, &mut all);
    all.sort_by_key(|n| core::cmp::Reverse(n.len()));
    all.dedup();
    // A name of one word might be part of another; those of two words and more stand alone.
    all.retain(|n| n.contains(' '));
    let mut out = text.to_owned();
    for (i, name) in all.iter().enumerate() {
        let other = format!("mark {}", "z".repeat(i + 1));
        let mut rest = out.as_str();
        let mut next = String::new();
        while let Some(at) = rest.find(name.as_str()) {
            let before = rest[..at].chars().next_back();
            let after = rest[at + name.len()..].chars().next();
            let alone = |c: Option<char>| !c.is_some_and(char::is_alphanumeric);
            next.push_str(&rest[..at]);
            if alone(before) && alone(after) {
                next.push_str(&other);
            } else {
                next.push_str(name);
            }
            rest = &rest[at + name.len()..];
        }
        next.push_str(rest);
        out = next;
    }
    (out, all.len())
}

/// No number and no outline hangs on what a point is called. Would catch a garment known to Rust.
#[test]
fn renaming_every_point_changes_nothing() {
    for name in [
        "mermaid-two",
        "straight-skirt",
        "mermaid-gores",
        "plain-skirt",
        "circle-skirt",
    ] {
        let Some((_, text)) = shipped().into_iter().find(|s| s.0 == name) else {
            return;
        };
        let (other, count) = renamed(&text);
        assert!(count >= 3, "{name}: {count} names");
        assert_ne!(text, other);
        let a = worked(&text, &w1(), &[], false);
        let b = worked(&other, &w1(), &[], false);
        assert_eq!(a.results, b.results, "{name}");
        assert_eq!(a.pieces.len(), b.pieces.len());
        for (p, q) in a.pieces.iter().zip(&b.pieces) {
            assert_eq!(p.edges, q.edges, "{name}: {}", p.name);
            assert_eq!(p.darts, q.darts, "{name}: {}", p.name);
            assert_eq!(p.grain, q.grain, "{name}: {}", p.name);
        }
        for (s, t) in a.seams.iter().zip(&b.seams) {
            assert_eq!((s.a_length, s.b_length), (t.a_length, t.b_length));
        }
    }
}
