//! Letters, figures rounded together, and words with lines to write on, on small invented sheets.

use measure::fraction::Shown;
use measure::{Curve, Length, Point};

use super::letters::letter;
use super::plan::Plan;
use super::running::{BLANK, Running, Set};
use super::tables::tables;
use super::*;

const INCH: f64 = 25.4;

fn at(x: f64, y: f64) -> Point {
    Point::new(x * INCH, y * INCH)
}

fn thing(sheet: &str, name: &str, step: u32, shape: HandShape) -> HandThing {
    HandThing {
        sheet: sheet.into(),
        group: "front".into(),
        name: name.into(),
        step,
        shape,
    }
}

fn edge(points: &[Point], bow: Option<(Point, Point)>) -> HandShape {
    let curve = match bow {
        Some((a, b)) => Curve::cubic(points[0], a, b, points[1]).unwrap(),
        None => Curve::polyline(points).unwrap(),
    };
    HandShape::Line {
        curve,
        edge: true,
        softened: Vec::new(),
    }
}

/// A front and a back whose sides are sewn, with awkward figures.
fn skirt() -> Hand {
    let mut drawn = Vec::new();
    for (sheet, x, y) in [("front", 7.46, -0.31), ("back", 8.07, -0.44)] {
        let (top, foot) = (at(x, y), at(10.02, 9.06));
        drawn.push(thing(
            sheet,
            "waist line",
            1,
            HandShape::Level(Length::ZERO, true),
        ));
        drawn.push(thing(
            sheet,
            "centre line",
            1,
            HandShape::Upright(Length::ZERO),
        ));
        drawn.push(thing(sheet, "waist side", 2, HandShape::Point(top)));
        drawn.push(thing(sheet, "hip side", 3, HandShape::Point(foot)));
        drawn.push(thing(
            sheet,
            "side",
            4,
            edge(&[top, foot], Some((at(x + 1.0, 2.0), at(10.02, 5.0)))),
        ));
    }
    Hand {
        drawn,
        seams: vec![HandSeam {
            name: "side seam".into(),
            a: vec![HandEdge {
                sheet: "front".into(),
                edge: "side".into(),
            }],
            b: vec![HandEdge {
                sheet: "back".into(),
                edge: "side".into(),
            }],
            ease: Length::ZERO,
        }],
        ..Hand::default()
    }
}

/// Would catch an I or an O, which are read as figures, and a letter given twice.
#[test]
fn letters_are_never_read_as_figures() {
    let all: Vec<String> = (0..2000).map(letter).collect();
    assert!(all.iter().all(|l| !l.contains(['I', 'O'])));
    let mut sorted = all.clone();
    sorted.sort();
    sorted.dedup();
    assert_eq!(sorted.len(), all.len());
    assert_eq!(
        (&*all[7], &*all[8], &*all[23], &*all[24]),
        ("H", "J", "Z", "AA")
    );
}

/// Would catch a back whose points bear other letters than the front's of the same name.
#[test]
fn a_name_has_one_letter_on_all_sheets_of_its_group() {
    let hand = skirt();
    let plan = Plan::new(&hand);
    for name in ["waist side", "hip side"] {
        let of = |i: usize| {
            let spot = plan.sheets[i].spots.iter().find(|s| s.name == name);
            spot.unwrap().letter.clone()
        };
        assert_eq!(of(0), of(1));
    }
}

/// Would catch sides that are rounded one by one: apart they would differ by more than is drawn here.
#[test]
fn partners_are_rounded_together() {
    let hand = skirt();
    let exact = |i: usize| match &hand.drawn[5 * i + 4].shape {
        HandShape::Line { curve, .. } => curve.length().in_mm(),
        _ => 0.0,
    };
    let apart = exact(0) - exact(1);
    let tables = tables(&hand, Shown::inches());
    let row = tables.seams[0].rows.last().unwrap();
    let thirty_seconds: f64 = {
        let said = row.difference.replace('\u{2013}', "-");
        let (sign, said) = said.strip_prefix('-').map_or((1.0, &*said), |s| (-1.0, s));
        let sum: f64 = said
            .split(' ')
            .map(|p| match p.split_once('/') {
                Some((a, b)) => a.parse::<f64>().unwrap() / b.parse::<f64>().unwrap(),
                None => p.parse().unwrap(),
            })
            .sum();
        sign * sum * INCH
    };
    assert!(
        (thirty_seconds - apart).abs() <= INCH / 32.0,
        "{row:?} {apart}"
    );
}

/// Would catch a line for what everyone has, a rule without its line, or a figure on the class sheet.
#[test]
fn the_class_sheet_leaves_her_numbers_out() {
    let hand = skirt();
    let plan = Plan::new(&hand);
    let step = HandStep {
        number: Some(3),
        stage: HandStage::Sheet,
        heading: "front".into(),
        parts: vec![
            HandPart::Point {
                group: "front".into(),
                name: "hip side".into(),
            },
            HandPart::Words(": on hip line, ".into()),
            HandPart::Figure {
                shown: "10 1/8".into(),
                rule: Some("hip / 4".into()),
                fixed: false,
            },
            HandPart::Words(" out, upright for ".into()),
            HandPart::Figure {
                shown: "1".into(),
                rule: None,
                fixed: true,
            },
            HandPart::Words(" each way.".into()),
        ],
    };
    let said = |blank: bool| -> String {
        let text = Running::step(&plan, &step, &["hip side".into()], blank);
        let lines = text.lines(500.0);
        assert_eq!(lines.len(), 1);
        lines[0]
            .iter()
            .map(|(_, s)| match s {
                Set::Letters(text, _) => format!("{} ", text.replace('\u{a0}', " ")),
                Set::Blank => "___ ".into(),
            })
            .collect()
    };
    assert_eq!(
        said(false),
        "3 B , hip side: on hip line, 10 1/8 out, upright for 1 each way. "
    );
    assert_eq!(
        said(true),
        "3 B , hip side: on hip line, ___ (hip / 4) out, upright for 1 each way. "
    );
    assert!((BLANK - 13.0).abs() < 1e-9);
}

/// Would catch a sheet that is made of nothing, or a fault that is a panic.
#[test]
fn nothing_drawn_is_said() {
    let order = Order::new("Nothing");
    let none = hand_pdf(&order, &Hand::default(), Paper::A4);
    assert_eq!(none, Err(SheetFault::Nothing));
    assert!(hand_pdf(&order, &skirt(), Paper::Letter).is_ok());
    assert!(class_pdf(&order, &skirt(), Paper::A4).is_ok());
}
