//! Corrected patterns before the inspector, who measures them afresh: what was in order is in order
//! again, and a correction without a place stops. Without the folder of methods these tests have
//! nothing to try and pass.
#![allow(
    clippy::unwrap_used,
    reason = "a test stops, and prints, where it must"
)]

use std::path::Path;

use check::{Finding, Subject, Weight};
use draft::correction::{Correction, Place};
use draft::{Library, Wish};
use measure::Length;
use measure::card::Card;
use measure::fraction::{Shown, Unit};

fn client() -> Card {
    [
        ("waist", 30.0),
        ("hip", 40.0),
        ("waist to hip", 9.0),
        ("waist to knee", 23.0),
        ("waist to floor", 41.0),
    ]
    .iter()
    .fold(Card::new("invented", Unit::Inch), |card, (name, inches)| {
        card.with(name, Length::inches(*inches))
    })
}

fn found(method: &str, corrections: &[Correction]) -> Option<Vec<Finding>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../methods");
    let text = std::fs::read_to_string(folder.join(format!("{method}.method"))).ok()?;
    // Some methods are made from others.
    let texts: Vec<String> = std::fs::read_dir(&folder)
        .ok()?
        .filter_map(|f| std::fs::read_to_string(f.ok()?.path()).ok())
        .collect();
    let library = Library::new(texts.iter().map(String::as_str));
    let card = client();
    let wish = Wish {
        card: &card,
        set: &[],
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections,
    };
    let worked = draft::work(&draft::read(&text), &library, &wish);
    assert!(worked.sound(), "{:?}", worked.notes);
    Some(check::inspect(&Subject {
        card: &card,
        worked: &worked,
        cloth: None,
        shown: Shown::inches(),
    }))
}

/// From the waist to the hip line, so many inches at the waist, halfway and at the hip.
fn at_the_hip(piece: &str, amounts: [f64; 3]) -> Correction {
    let named = |name: &str| Place::Named(name.to_owned());
    let places = (named("waist"), named("hip side"));
    Correction::new(piece, "side", places, amounts.map(Length::inches))
}

/// Both side seams, front and back alike, as at most fittings. Would catch a seam, a corner, a notch or
/// an allowance that the correction left out of order.
#[test]
fn a_side_seam_pinned_front_and_back_leaves_the_rest_in_order() {
    let rules = [
        "F1", "F2", "F3", "F4", "F21", "F22", "F24", "F25", "F29", "F34",
    ];
    for method in ["mermaid-two", "straight-skirt", "a-line", "mermaid-flounce"] {
        let Some(plain) = found(method, &[]) else {
            return;
        };
        for amounts in [[-0.5, -0.25, 0.0], [0.5, 0.25, 0.0], [-0.25, -0.25, 0.0]] {
            let both = [at_the_hip("front", amounts), at_the_hip("back", amounts)];
            let now = found(method, &both).unwrap();
            for f in &now {
                println!(
                    "{method} {amounts:?}: {:?} {} {}: {}",
                    f.weight, f.rule, f.place, f.says
                );
            }
            let new: Vec<&Finding> = now
                .iter()
                .filter(|f| rules.contains(&f.rule.as_str()) && f.weight != Weight::Note)
                .filter(|f| !plain.iter().any(|p| p.rule == f.rule && p.place == f.place))
                .collect();
            assert!(new.is_empty(), "{method} {amounts:?}: {new:#?}");
        }
    }
}

/// F34 on both sides of its line: silent while the place is there, a stop that names it when it is
/// gone. Would catch a correction that vanishes.
#[test]
fn a_correction_without_a_place_stops() {
    let made = [at_the_hip("back", [-0.5, -0.25, 0.0])];
    let Some(quiet) = found("straight-skirt", &made) else {
        return;
    };
    assert!(quiet.iter().all(|f| f.rule != "F34"));
    let gone = [at_the_hip("sleeve", [-0.5, -0.25, 0.0])];
    let loud = found("straight-skirt", &gone).unwrap();
    let stop: Vec<&Finding> = loud.iter().filter(|f| f.rule == "F34").collect();
    assert_eq!(stop.len(), 1);
    assert_eq!(stop[0].weight, Weight::Stop);
    assert!(stop[0].says.contains("sleeve"), "{}", stop[0].says);
}
