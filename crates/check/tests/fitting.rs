//! Corrected patterns before the inspector, who measures them afresh: what was in order is in order
//! again, and a correction without a place stops. Without the folder of methods these tests have
//! nothing to try and pass.
#![allow(
    clippy::unwrap_used,
    reason = "a test stops, and prints, where it must"
)]

use std::path::Path;

use check::{Finding, Subject, Weight};
use draft::correction::{Correction, Place, Side};
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
    Some(check::all(&Subject {
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

/// Would catch an end that truing moves by inches without asking, a small one that is asked about, and a
/// band that is asked about although it only goes with the waist.
#[test]
fn truing_that_moves_far_is_asked_about() {
    let trued = |method: &str, all: &[Correction]| -> Option<Vec<(Weight, String)>> {
        let found = found(method, all)?;
        assert!(found.iter().all(|f| f.rule != "F34"), "{found:#?}");
        let own = found.into_iter().filter(|f| f.rule == "correction/trued");
        Some(own.map(|f| (f.weight, f.says)).collect())
    };
    let drop = |by: f64| {
        let ends = (Place::Named("centre".into()), Place::Named("side".into()));
        Correction::new(
            "back",
            "waist",
            ends,
            [0.0, -by / 2.0, -by].map(Length::inches),
        )
    };
    let Some(far) = trued("straight-skirt", &[drop(2.0)]) else {
        return;
    };
    let moved = |all: &[(Weight, String)], weight| {
        all.iter()
            .filter(|f| f.0 == weight && f.1.contains("the waist of front was moved"))
            .count()
    };
    assert!(moved(&far, Weight::Ask) > 0, "{far:?}");
    let near = trued("straight-skirt", &[drop(0.25)]).unwrap();
    assert!(
        moved(&near, Weight::Ask) == 0 && moved(&near, Weight::Note) > 0,
        "{near:?}"
    );
    // Its band grows with the waist by as much, and is no question.
    let band: Vec<&(Weight, String)> = far.iter().filter(|f| f.1.contains("longer")).collect();
    assert!(
        band.iter().any(|f| f.1.contains("was made 1 1/")),
        "{far:?}"
    );
    assert!(band.iter().all(|f| f.0 == Weight::Note), "{far:?}");
}

/// A front on the fold and a back in a pair, sewn at the side.
const PLAIN: &str = r#"method "Two plain pieces"

sheets front, back
levels
  top line: at the top
  foot line: 20 in below top line
uprights
  left line: at the left
  right line: 10 in from left line
edges
  waist: from (at top line and left line), straight to (at top line and right line)
  side: from end of waist, straight to (at foot line and right line)
  hem: from end of side, straight to (at foot line and left line)
  centre: from end of hem, straight to (at top line and left line)
finish
  waist: seam, allowance 1/2 in
  side: seam, allowance 1 in
  hem: hem, allowance 2 in
  centre: seam, allowance 5/8 in
pieces
  front: on front, outline waist then side then hem then centre
    fold centre
    cut 1 on the fold from shell
    grain along left line
  back: on back, outline waist then side then hem then centre
    cut a pair from shell
    grain along left line
seams
  side seam: side of front with side of back
  centre back seam: centre of back with its twin
"#;

/// A correction of one side that has lost its place is shown on the half, and on the edge, of that side.
/// Would catch a spot on her other side, which is the first that is cut.
#[test]
fn a_lost_correction_is_shown_on_the_side_that_it_is_for() {
    let made = ["front", "back"].map(|piece| {
        let ends = (Place::Start, Place::End);
        let mut c = Correction::new(piece, "side", ends, [-0.5, -0.5, 0.0].map(Length::inches));
        c.side = Side::Left;
        c
    });
    let lost = |piece: &str, edge: &str, side: Side| {
        let mut c = Correction::new(
            piece,
            edge,
            (Place::Named("slit".into()), Place::End),
            [-0.25, 0.0, 0.0].map(Length::inches),
        );
        c.side = side;
        c
    };
    let card = client();
    let spot = |c: Correction| {
        let corrections = [made[0].clone(), made[1].clone(), c];
        let wish = Wish {
            card: &card,
            set: &[],
            predict: false,
            untrued: false,
            shown: Shown::inches(),
            corrections: &corrections,
        };
        let worked = draft::work(&draft::read(PLAIN), &Library::default(), &wish);
        assert!(worked.sound(), "{:?}", worked.notes);
        let found = check::inspect(&Subject {
            card: &card,
            worked: &worked,
            cloth: None,
            shown: Shown::inches(),
        });
        let all: Vec<&Finding> = found.iter().filter(|f| f.rule == "F34").collect();
        assert_eq!(all.len(), 1, "{all:?}");
        let spot = &all[0].spots[0];
        (spot.piece.clone(), spot.edge.clone().unwrap())
    };
    for (side, said) in [(Side::Left, "her left"), (Side::Right, "her right")] {
        let back = (format!("back, {said}"), "side".to_owned());
        let front = ("front".to_owned(), format!("side, {said}"));
        assert_eq!(spot(lost("back", "side", side)), back);
        assert_eq!(spot(lost(&back.0, "side", Side::Both)), back);
        assert_eq!(spot(lost("front", "side", side)), front);
        assert_eq!(spot(lost("front", &front.1, Side::Both)), front);
    }
}
