//! What is measured, on pieces of which every number can be reckoned in the head.

use draft::worked::{LevelMade, Origin};
use measure::fraction::Unit;
use measure::{Curve, Point};
use piece::{Cut, Dart, Edge, Piece, Role};

use super::*;

/// A quarter of a straight skirt, cut on the fold: 250 mm wide, 700 long, a dart of 30 by 100.
fn quarter(name: &str) -> Piece {
    let corners = [(0.0, 0.0), (250.0, 0.0), (250.0, 700.0), (0.0, 700.0)];
    let roles = [
        ("top", Role::Seam),
        ("side", Role::Seam),
        ("foot", Role::Hem),
        ("middle", Role::Fold),
    ];
    let edges = (0..4)
        .map(|i| {
            let (a, b) = (corners[i], corners[(i + 1) % 4]);
            let line = Curve::line(Point::new(a.0, a.1), Point::new(b.0, b.1)).unwrap();
            Edge {
                role: roles[i].1,
                ..Edge::plain(roles[i].0, line)
            }
        })
        .collect();
    let mut piece = Piece::from_edges(name, edges).unwrap();
    piece.darts.push(Dart {
        name: "dart".into(),
        edge: "top".into(),
        mouth: (Length::mm(100.0), Length::mm(130.0)),
        tip: Point::new(115.0, 100.0),
        pressed: None,
    });
    piece.cuts.push(Cut {
        cloth: "shell".into(),
        count: 1,
        on_fold: true,
        pair: false,
    });
    piece
}

fn subject<'a>(worked: &'a Worked, card: &'a Card) -> Subject<'a> {
    Subject {
        card,
        worked,
        cloth: None,
        shown: Shown::cm(),
    }
}

fn skirt() -> Worked {
    let mut facing = quarter("facing");
    facing.darts.clear();
    let mut levels = Vec::new();
    for sheet in ["one", "two"] {
        for (body, y) in [("waist", 0.0), ("high hip", 50.0), ("hip", 200.0)] {
            levels.push(LevelMade {
                body: body.into(),
                name: body.into(),
                sheet: sheet.into(),
                below_waist: Length::mm(y),
                y,
            });
        }
    }
    let on = |sheet: &str, from: &[&str]| Origin {
        sheet: Some(sheet.into()),
        copied_from: from.iter().map(|f| (*f).to_owned()).collect(),
        half: None,
    };
    Worked {
        pieces: vec![quarter("one"), quarter("two"), facing],
        origins: vec![on("one", &[]), on("two", &[]), on("one", &["one"])],
        levels,
        ..Worked::default()
    }
}

/// Would catch a facing counted as shell, a fold counted once, a dart left open.
#[test]
fn a_straight_skirt_measures_what_its_sums_say() {
    let worked = skirt();
    let m = measure(&worked, &Card::new("x", Unit::Cm));
    assert_eq!(m.waist, Some(Length::mm(4.0 * 220.0)));
    assert_eq!(m.hip, Some(Length::mm(4.0 * 250.0)));
    assert_eq!(m.hem, Some(Length::mm(4.0 * 250.0)));
    assert_eq!(m.break_girth, None);
    let card = Card::new("x", Unit::Cm);
    let seen = Seen::of(&subject(&worked, &card));
    // Half way down the dart half of it is left.
    let girth = Round::of(&seen).girth_at(50.0).unwrap();
    assert!((girth - 4.0 * 235.0).abs() < 1e-6, "{girth:?}");
}

/// Would catch a step taken at the wrong level: a straight skirt binds at its hem. The closed form
/// is body/body.md 3.3.
#[test]
fn the_step_is_the_shortest_of_all_levels() {
    let card = Card::new("x", Unit::Cm)
        .with("waist to knee", Length::cm(59.5))
        .with("waist to floor", Length::cm(105.4))
        .with("knee to floor", Length::cm(45.9))
        .with("hip joint to floor", Length::cm(86.2))
        .with("height", Length::cm(163.0))
        .with("knee", Length::cm(36.5))
        .with("calf", Length::cm(35.3))
        .with("thigh", Length::cm(58.0));
    let step = measure(&skirt(), &card).step.unwrap();
    assert!((step.below_waist.in_mm() - 700.0).abs() < 0.1, "{step:?}");
    let at_hem = step::longest_step(&card, Length::mm(1000.0), Length::mm(699.99)).unwrap();
    assert_eq!(step.longest, at_hem.value);
    assert!(step.assumed.is_empty(), "{step:?}");
}

/// Would catch a ring that is sewn to the skirt, drawn on a sheet of its own, counted as if it lay
/// round the hip.
#[test]
fn a_sheet_without_levels_of_the_body_is_not_measured_at_them() {
    let mut worked = skirt();
    worked.pieces.push(quarter("ring"));
    worked.origins.push(Origin {
        sheet: Some("ring".into()),
        copied_from: Vec::new(),
        half: None,
    });
    let m = measure(&worked, &Card::new("x", Unit::Cm));
    assert_eq!(m.hip, Some(Length::mm(4.0 * 250.0)));
    assert_eq!(m.hem, Some(Length::mm(6.0 * 250.0)));
}

/// Would catch a slit that is counted as closed, or a zip as open.
#[test]
fn a_slit_frees_the_levels_below_its_top() {
    let mut worked = skirt();
    let curve_of = |p: &Piece| p.edge("side").unwrap().curve.length();
    let whole = curve_of(&worked.pieces[0]);
    worked.pieces[0].edges[1].open = vec![(Length::mm(500.0), whole)];
    let card = Card::new("x", Unit::Cm).with("height", Length::cm(163.0));
    let step = measure(&worked, &card).step.unwrap();
    assert!(step.below_waist.in_mm() <= 500.0, "{step:?}");
    worked.pieces[0].edges[1].open = vec![(Length::ZERO, Length::mm(180.0))];
    let step = measure(&worked, &card).step.unwrap();
    assert!((step.below_waist.in_mm() - 700.0).abs() < 0.1, "{step:?}");
}
