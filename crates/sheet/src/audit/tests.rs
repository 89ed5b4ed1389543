//! Faults planted one by one, so that it is known that each is seen.

use crate::words::ENGLISH;
use measure::{Angle, Vector};

use super::*;
use crate::dash::Line;
use crate::drawing::{Layer, Pen};
use crate::face::set;
use crate::page::{Page, Spot};
use crate::samples;

/// A page with two words well apart, and a line under each.
fn good() -> Page {
    let mut p = Page::new(210.0, 297.0);
    p.window = Some(Rect::new(10.0, 10.0, 190.0, 277.0));
    let cut = Shape::line(&[Point::new(20.0, 150.0), Point::new(20.0, 400.0)]);
    p.stroke(Layer::Cutting, cut, Pen::solid(0.7), true);
    for y in [50.0, 70.0] {
        p.text(Layer::Text, Point::new(40.0, y), "Hip line", 11.0, false);
        let (a, b) = (Point::new(20.0, y + 2.0), Point::new(120.0, y + 2.0));
        p.line(Layer::Balance, a, b, Line::Balance);
    }
    p
}

fn kinds(page: &Page) -> Vec<What> {
    let mut all: Vec<What> = pages("trial", [&page.drawing])
        .iter()
        .map(|f| f.what)
        .collect();
    all.sort();
    all.dedup();
    all
}

// Catches an audit that finds fault with nothing, or with everything.
#[test]
fn each_planted_fault_is_found_and_nothing_else() {
    assert_eq!(kinds(&good()), []);
    let word = |at: Point, text: &str, size: f64| {
        let mut p = good();
        p.text(Layer::Text, at, text, size, false);
        kinds(&p)
    };
    let free = Point::new(40.0, 100.0);
    assert_eq!(word(free, "Hem", 11.0), []);
    // Its head reaches the line above it.
    assert_eq!(word(Point::new(40.0, 74.9), "Hem", 11.0), [What::OnALine]);
    assert_eq!(word(Point::new(48.0, 49.0), "Hem", 11.0), [What::OnLetters]);
    assert_eq!(word(free, "Hem", 10.9), [What::Small]);
    assert_eq!(word(Point::new(2.0, 5.0), "Hem", 11.0), [What::OffThePaper]);
    assert_eq!(
        word(Point::new(195.0, 100.0), "Hem", 11.0),
        [What::OnTheEdge]
    );
    assert_eq!(word(free, "He\u{2026}", 11.0), [What::CutShort]);
    assert_eq!(word(free, "👗", 11.0), [What::NoSuchLetter]);
    // A turned word is looked at as it stands, not by the straight box round it.
    let mut p = good();
    let spot = |y| Spot {
        at: Point::new(60.0, y),
        turn: Angle::degrees(45.0),
        part: 0.0,
    };
    p.letters(
        Layer::Text,
        &set("Side, to the back side", 11.0, false),
        spot(100.0),
    );
    p.letters(
        Layer::Text,
        &set("Side, to the back side", 11.0, false),
        spot(107.0),
    );
    assert_eq!(kinds(&p), []);
    // Inside a black shape no line is near.
    let mut p = good();
    let ring = Shape::closed(&[
        Point::new(30.0, 90.0),
        Point::new(90.0, 90.0),
        Point::new(90.0, 110.0),
        Point::new(30.0, 110.0),
    ]);
    p.fill(Layer::Text, ring, false);
    p.text(Layer::Text, free, "Hem", 11.0, false);
    assert_eq!(kinds(&p), [What::OnALine]);
    // A line that leaves the paper; clipped to the window it does not.
    for (clipped, want) in [(false, vec![What::OffThePaper]), (true, vec![])] {
        let mut p = good();
        let line = Shape::line(&[Point::new(100.0, 200.0), Point::new(300.0, 200.0)]);
        p.stroke(Layer::Cutting, line, Pen::solid(0.7), clipped);
        assert_eq!(kinds(&p), want);
    }
}

// Catches an audit that is blind on a true pattern: every word of every sheet, shifted on its own by
// a hand's breadth, is bound to hit something somewhere.
#[test]
fn words_shifted_about_on_true_sheets_are_found() {
    let book = book(&samples::order(), Paper::A4, &ENGLISH).unwrap();
    let mut found = 0;
    for page in &book.pages {
        let mut drawing = page.drawing.clone();
        assert_eq!(pages("as made", [&drawing]), []);
        for item in &mut drawing.items {
            if let Ink::Letters(_, at, _) = &mut item.ink {
                *at = *at + Vector::new(-11.0, 7.0);
            }
        }
        found += usize::from(!pages("shifted", [&drawing]).is_empty());
    }
    assert!(found > book.pages.len() / 2, "{found}");
}
