//! Allowances taken away and changed, cutting lines moved, ends that do not meet.

use measure::{Length, Motion, Vector};
use piece::{Allowance, Change, How};
use proptest::prelude::*;

use super::*;
use crate::samples::{CARD, METHOD, Made, made, skirt};

fn edge_of<'m>(made: &'m mut Made, piece: usize, name: &str) -> &'m mut piece::Edge {
    let edges = &mut made.worked.pieces[piece].edges;
    edges.iter_mut().find(|e| e.name == name).unwrap()
}

fn only(made: &Made) -> Finding {
    let found = made.found();
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].rule, "F29", "{found:#?}");
    found[0].clone()
}

fn inches(finding: &Finding) -> f64 {
    match finding.amount {
        Some(Amount::Length(l)) => l.in_inches(),
        other => panic!("{other:?} is no length"),
    }
}

#[test]
fn a_bare_hem_stops_and_a_bare_unsewn_edge_is_asked_about() {
    let mut bare = skirt(&[]);
    edge_of(&mut bare, 0, "hem").allowance = Allowance::NONE;
    let found: Vec<Finding> = bare.found();
    assert!(
        found.iter().any(|f| f.weight == Weight::Stop
            && f.place == "front.hem"
            && f.says == "The front hem has no allowance: there is nothing to turn it up by."),
        "{found:#?}"
    );
    // In the sample the waist is sewn to nothing: it may be bound.
    let mut bound = skirt(&[]);
    for piece in 0..2 {
        edge_of(&mut bound, piece, "waist").allowance = Allowance::NONE;
    }
    let found = bound.found();
    assert_eq!(found.len(), 2, "{found:#?}");
    assert!(
        found
            .iter()
            .all(|f| f.rule == "F29" && f.weight == Weight::Ask)
    );
}

#[test]
fn a_seam_with_nothing_on_either_side_stops() {
    let mut none = skirt(&[]);
    for piece in 0..2 {
        edge_of(&mut none, piece, "side").allowance = Allowance::NONE;
    }
    let stops = none.found();
    assert_eq!(
        stops
            .iter()
            .filter(|f| f.weight == Weight::Stop && f.rule == "F29")
            .count(),
        2,
        "{stops:#?}"
    );
    // On a part of its way only.
    let mut part = skirt(&[]);
    let step = Change {
        at: Length::inches(12.0),
        width: Length::ZERO,
        how: How::Step,
    };
    for piece in 0..2 {
        edge_of(&mut part, piece, "side").allowance =
            Allowance::changing(Length::inches(1.0), vec![step]);
    }
    let stops = part.found();
    assert!(
        stops.iter().any(|f| f.says == "The front side has no allowance on a part of its way: there is nothing to sew it by."),
        "{stops:#?}"
    );
}

/// Would catch an edge taken as bound because its partner has an allowance; a band may truly bind it,
/// and then she is asked.
#[test]
fn one_side_without_an_allowance_stops_unless_a_band_encloses_it() {
    let mut one = skirt(&[]);
    edge_of(&mut one, 0, "side").allowance = Allowance::NONE;
    let stops: Vec<Finding> = one.found();
    let told: Vec<&Finding> = stops.iter().filter(|f| f.weight == Weight::Stop).collect();
    assert_eq!(told.len(), 1, "{stops:#?}");
    assert_eq!(told[0].place, "front.side");
    assert_eq!(
        told[0].says,
        "The front side has no allowance: there is nothing to sew it by."
    );
    for (name, weight) in [
        ("waistband", Weight::Ask),
        ("bias binding", Weight::Ask),
        ("yoke", Weight::Stop),
    ] {
        let mut bound = skirt(&[]);
        bound.worked.pieces[1].name = name.to_owned();
        for seam in &mut bound.worked.seams {
            for edge in seam.a.iter_mut().chain(&mut seam.b) {
                if edge.piece == "back" {
                    edge.piece = name.to_owned();
                }
            }
        }
        edge_of(&mut bound, 0, "side").allowance = Allowance::NONE;
        let found = bound.found();
        let told: Vec<&Finding> = found
            .iter()
            .filter(|f| f.place == "front.side" && f.rule == "F29")
            .collect();
        assert_eq!(told.len(), 1, "{name}: {found:#?}");
        assert_eq!(told[0].weight, weight, "{name}");
    }
}

/// Would catch partners with unlike allowances that are passed, and a hair between them that is told.
#[test]
fn unlike_allowances_of_partners_are_noted() {
    for (wide, told) in [(1.0, false), (1.05, false), (0.5, true), (1.5, true)] {
        let mut unlike = skirt(&[]);
        edge_of(&mut unlike, 0, "side").allowance = Allowance::even(Length::inches(wide));
        let found = unlike.found();
        let notes: Vec<&Finding> = found.iter().filter(|f| f.weight == Weight::Note).collect();
        assert_eq!(!notes.is_empty(), told, "{wide}: {found:#?}");
        if told {
            assert_eq!(notes[0].rule, "F29");
            assert!((inches(notes[0]) - (wide - 1.0)).abs() < 1e-6, "{found:#?}");
        }
    }
}

/// A block is drawn without any; would catch every edge of it told one by one.
#[test]
fn a_pattern_without_allowances_is_asked_about_once() {
    let mut block = skirt(&[]);
    for piece in &mut block.worked.pieces {
        for edge in &mut piece.edges {
            edge.allowance = Allowance::NONE;
        }
    }
    let found = only(&block);
    assert_eq!(found.weight, Weight::Ask);
    assert_eq!(found.place, "pattern");
}

/// The cutting line of the front cut with other allowances by so many inches, looked at against its own.
fn cut_wider(edge: &str, by: f64) -> Vec<Finding> {
    let own = skirt(&[]);
    let mut other = skirt(&[]);
    let wide = edge_of(&mut other, 0, edge);
    wide.allowance = Allowance::even(wide.allowance.first() + Length::inches(by));
    let subject = own.subject();
    let seen = Seen::of(&subject);
    let line = piece::cutting_line(&other.worked.pieces[0]).unwrap();
    let cut = Cut::through(line.curve.flatten(Length::mm(CHORDS)));
    of_cut(&seen, &seen.parts[0], &cut)
}

#[test]
fn a_cutting_line_inside_the_stitching_stops() {
    let made = skirt(&[]);
    let subject = made.subject();
    let seen = Seen::of(&subject);
    let line = piece::cutting_line(&made.worked.pieces[0]).unwrap();
    let whole = line.curve.flatten(Length::mm(CHORDS));
    assert!(of_cut(&seen, &seen.parts[0], &Cut::through(whole.clone())).is_empty());
    let aside: Vec<Point> = whole.iter().map(|p| *p + Vector::new(-30.0, 0.0)).collect();
    let found = of_cut(&seen, &seen.parts[0], &Cut::through(aside));
    assert!(
        found
            .iter()
            .any(|f| f.place == "front.side" && f.says.contains("inside its side")),
        "{found:#?}"
    );
}

/// Would catch an answer that hangs on where the piece lies.
#[test]
fn turned_and_turned_over_it_is_right_too() {
    for by in [
        Motion::turn(Point::new(10.0, 20.0), measure::Angle::degrees(41.0)),
        Motion::reflect(Point::new(3.0, 1.0), Vector::new(0.6, 0.8)),
    ] {
        let mut made = skirt(&[]);
        for piece in &mut made.worked.pieces {
            *piece = piece.moved(&by);
        }
        let found = made.found();
        assert!(found.iter().all(|f| f.rule != "F29"), "{found:#?}");
    }
}

/// The sample with another waist allowance on the back.
fn waist_of_back(by: f64) -> Made {
    let mut made = skirt(&[]);
    let waist = edge_of(&mut made, 1, "waist");
    waist.allowance = Allowance::even(waist.allowance.first() + Length::inches(by));
    made
}

#[test]
fn ends_that_do_not_meet_are_told() {
    let found = only(&waist_of_back(0.25));
    assert_eq!(found.weight, Weight::Ask);
    assert_eq!(
        found.says,
        "Side seam at the waist: the allowance of back ends 1/4 in beyond that of front."
    );
}

/// Ends cut square to the seam must be equally long; would catch only the seam line looked at.
#[test]
fn squared_ends_are_equally_long() {
    let method = METHOD.replace("reflected corner at", "squared corner at");
    let made = made(CARD, &method, &[]);
    assert_eq!(made.broken(), Vec::<String>::new(), "{:#?}", made.found());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_wrong_width_is_told_to_the_tolerance(size in 0.0..0.4f64, minus: bool, side: bool) {
        let by = if minus { -size } else { size };
        let edge = if side { "side" } else { "hem" };
        let found = cut_wider(edge, by);
        if size * 25.4 < 0.04 {
            prop_assert!(found.is_empty(), "{found:#?}");
        } else if size * 25.4 > 0.07 {
            prop_assert_eq!(found.len(), 1, "{:#?}", found);
            prop_assert_eq!(&found[0].place, &format!("front.{edge}"));
            prop_assert!((inches(&found[0]) - by).abs() * 25.4 < 0.06, "{:?} {by}", found[0].amount);
        }
    }

    #[test]
    fn ends_are_told_to_a_hair(size in 0.0..0.4f64, minus: bool) {
        let by = if minus { -size } else { size };
        let made = waist_of_back(by);
        if size < 1.0 / 16.0 - 2e-3 {
            prop_assert_eq!(made.broken(), Vec::<String>::new());
        } else if size > 1.0 / 16.0 + 2e-3 {
            let found = only(&made);
            // The corner is a little off square, and the waist a little round.
            prop_assert!((inches(&found) + by).abs() < 4e-3, "{} {by}", inches(&found));
        }
    }
}
