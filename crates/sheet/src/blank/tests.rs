//! The card to fill in holds every measure with its drawing, and nothing runs over anything.

use super::*;
use crate::words::ENGLISH;

fn card(unit: Unit) -> BlankCard {
    BlankCard {
        title: "Every measure".into(),
        unit,
        measures: measure::names::all()
            .iter()
            .map(|m| BlankMeasure {
                name: m.name.into(),
                called: m.name.into(),
                how: m.how_taken.into(),
            })
            .collect(),
        words: &ENGLISH,
    }
}

/// Catches letters over lines, over each other or off the sheet, on each paper.
#[test]
fn nothing_runs_over_anything() {
    for (paper, unit) in [(Paper::A4, Unit::Cm), (Paper::Letter, Unit::Inch)] {
        for page in pages(&card(unit), paper, &ENGLISH).unwrap() {
            assert_eq!(page.touching(), Vec::<String>::new(), "{paper:?}");
        }
    }
}

/// Catches a measure that is left out, a box too small to write in, and one that has only one.
#[test]
fn every_measure_has_two_boxes_to_write_in() {
    let pages = pages(&card(Unit::Inch), Paper::Letter, &ENGLISH).unwrap();
    let all = measure::names::all().len();
    let mut boxes = 0;
    for item in pages.iter().flat_map(|p| &p.drawing.items) {
        if let crate::drawing::Ink::Stroke(Shape::Rect(r), _) = &item.ink {
            assert!(r.width() >= 17.0 && r.height() >= 9.9, "{r:?}");
            boxes += 1;
        }
    }
    assert_eq!(boxes, 2 * all);
    let said: Vec<&str> = pages
        .iter()
        .flat_map(|p| p.words.iter().map(|(_, w)| w.as_str()))
        .collect();
    for n in 1..=all {
        assert!(said.iter().any(|w| w.starts_with(&format!("{n}."))), "{n}");
    }
}

/// Catches bytes that differ from run to run, a card of nothing, and one without end.
#[test]
fn the_same_card_gives_the_same_bytes() {
    let one = blank_card_pdf(&card(Unit::Cm), Paper::A4).unwrap();
    assert!(one.starts_with(b"%PDF"));
    assert_eq!(one, blank_card_pdf(&card(Unit::Cm), Paper::A4).unwrap());
    let none = BlankCard {
        measures: Vec::new(),
        ..card(Unit::Cm)
    };
    assert_eq!(blank_card_pdf(&none, Paper::A4), Err(SheetFault::Nothing));
    let mut long = card(Unit::Cm);
    long.measures = long.measures.iter().cycle().take(3000).cloned().collect();
    assert!(matches!(
        blank_card_pdf(&long, Paper::A4),
        Err(SheetFault::TooLarge(_))
    ));
}

/// Catches a measure of the drafter's own that is refused because nobody has drawn it.
#[test]
fn her_own_measures_stand_on_it_too() {
    let own = BlankCard {
        title: String::new(),
        unit: Unit::Cm,
        measures: vec![BlankMeasure {
            name: "left elbow fold".into(),
            called: "left elbow fold".into(),
            how: String::new(),
        }],
        words: &ENGLISH,
    };
    assert_eq!(pages(&own, Paper::A4, &ENGLISH).unwrap().len(), 1);
}

/// Catches a unit behind the boxes that is not in the language of the card.
#[test]
fn boxes_bear_the_sign_of_the_language() {
    let german = Words::of("de").unwrap();
    let one = card(Unit::Inch);
    let sign = |words| Cell::new(&one.measures[1], 1, (Unit::Inch, words), 80.0).sign;
    assert_eq!((sign(&ENGLISH), sign(german)), ("in", "Zoll"));
}
