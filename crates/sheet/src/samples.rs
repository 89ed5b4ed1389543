//! Pieces made by hand for trials: a mermaid skirt front and back after worked example W1, a
//! waistband, a narrow facing. All data is invented.

use measure::{Curve, Length, Point, Segment};
use piece::{Allowance, Balance, Change, Cut, Dart, Edge, Grain, How, Notch, Piece, Role, Toward};

use crate::{Fact, NotchWord, Order, SheetPiece, StepText, Told, Weight};

fn at(x: f64, y: f64) -> Point {
    Point::new(x * 25.4, y * 25.4)
}

fn inch(x: f64) -> Length {
    Length::inches(x)
}

fn line(a: Point, b: Point) -> Segment {
    Segment::Line { from: a, to: b }
}

/// From `a` to `b`, leaving along `da` and arriving along `db` (both in inches, as handles).
fn bend(a: Point, da: (f64, f64), db: (f64, f64), b: Point) -> Segment {
    Segment::Cubic {
        from: a,
        c1: Point::new(a.x + da.0 * 25.4, a.y + da.1 * 25.4),
        c2: Point::new(b.x - db.0 * 25.4, b.y - db.1 * 25.4),
        to: b,
    }
}

fn curve(segments: Vec<Segment>) -> Curve {
    Curve::from_segments(segments).unwrap()
}

fn cut(cloth: &str, count: u32, on_fold: bool, pair: bool) -> Cut {
    Cut {
        cloth: cloth.to_owned(),
        count,
        on_fold,
        pair,
    }
}

fn balance(name: &str, from: Point, to: Point) -> Balance {
    Balance {
        name: name.to_owned(),
        from,
        to,
    }
}

fn notch(at: Length, snips: u8) -> Notch {
    Notch { at, snips }
}

/// The side seam of W1 from the waist to the hem.
fn side(waist: (f64, f64), knee: f64, break_down: f64, hem: (f64, f64)) -> Curve {
    let (w, h) = (at(waist.0, waist.1), at(hem.0, hem.1));
    let b1 = at(knee, break_down + 0.5);
    // The corner under the break is softened over three inches each way.
    let (dx, dy) = (hem.0 - knee, hem.1 - break_down - 0.5);
    let size = measure::angle::hypot(dx, dy);
    let (ux, uy) = (dx / size, dy / size);
    let q = at(knee + 3.0 * ux, break_down + 0.5 + 3.0 * uy);
    let up = (10.0 - waist.0) / 8.4;
    curve(vec![
        bend(w, (up * 3.0, 3.0), (0.0, 2.6), at(10.0, 8.0)),
        line(at(10.0, 8.0), at(10.0, 10.0)),
        bend(
            at(10.0, 10.0),
            (0.0, 3.0),
            (0.0, 3.4),
            at(knee, break_down - 0.5),
        ),
        line(at(knee, break_down - 0.5), b1),
        bend(b1, (0.0, 1.5), (1.5 * ux, 1.5 * uy), q),
        line(q, h),
    ])
}

/// The front of W1, half, on the fold.
pub(crate) fn front() -> SheetPiece {
    let side = side((7.5, -0.25), 7.5, 19.0, (17.427, 45.5));
    // The straight lines of W1 add up to 48.311 in.
    assert!((side.length() - inch(48.311)).abs() < inch(0.6));
    let hip = side.nearest(at(10.0, 9.0)).along;
    let knee = side.nearest(at(7.5, 19.0)).along;
    let mut waist = Edge::plain(
        "waist",
        curve(vec![bend(
            at(0.0, 0.75),
            (3.0, 0.0),
            (2.0, -0.6),
            at(7.5, -0.25),
        )]),
    );
    waist.allowance = Allowance::even(inch(0.5));
    let mut seam = Edge::plain("side", side);
    seam.allowance = Allowance::changing(
        inch(1.0),
        vec![
            Change {
                at: hip + inch(2.0),
                width: inch(1.0),
                how: How::Step,
            },
            Change {
                at: knee,
                width: inch(0.5),
                how: How::Ramp,
            },
        ],
    );
    seam.notches = vec![notch(hip, 1), notch(knee, 1), notch(knee + inch(12.0), 1)];
    let mut hem = Edge::plain(
        "hem",
        curve(vec![bend(
            at(17.427, 45.5),
            (-2.6, 1.0),
            (-9.0, 0.0),
            at(0.0, 47.0),
        )]),
    );
    hem.role = Role::Hem;
    hem.allowance = Allowance::even(inch(0.5));
    let mut fold = Edge::plain(
        "centre front",
        curve(vec![line(at(0.0, 47.0), at(0.0, 0.75))]),
    );
    fold.role = Role::Fold;
    let mut piece = Piece::from_edges("front", vec![waist, seam, hem, fold]).unwrap();
    piece.balance = vec![
        balance("hip line", at(0.0, 9.0), at(10.0, 9.0)),
        balance("break line", at(0.0, 19.0), at(7.5, 19.0)),
    ];
    piece.darts = vec![Dart {
        name: "front dart".to_owned(),
        edge: "waist".to_owned(),
        mouth: (inch(3.2), inch(3.9)),
        tip: at(3.6, 4.4),
        pressed: Some(Toward::Start),
    }];
    piece.grain = Some(Grain {
        from: at(5.9, 5.5),
        to: at(5.9, 43.0),
    });
    piece.cuts = vec![cut("shell", 1, true, false), cut("lining", 1, true, false)];
    let flare = knee + inch(12.0);
    SheetPiece {
        seams: vec![
            ("side".to_owned(), "Side, to the back side".to_owned()),
            ("waist".to_owned(), "Waist, to the waistband".to_owned()),
        ],
        notch_words: vec![NotchWord {
            edge: "side".to_owned(),
            at: flare,
            text: "flare".to_owned(),
        }],
        alterations: vec![crate::Alteration {
            from: at(0.0, 14.2),
            to: at(8.25, 14.2),
        }],
        notes: vec!["Lining to the break".to_owned()],
        used: used(),
        ..SheetPiece::new(piece)
    }
}

fn used() -> Vec<Fact> {
    [("waist", "30"), ("hip", "40"), ("ease", "0")]
        .map(|(l, v)| fact(l, v))
        .to_vec()
}

/// The back of W1, a mirrored pair.
pub(crate) fn back() -> SheetPiece {
    let side = side((8.5, -0.489), 8.5, 19.232, (17.656, 46.014));
    let hip = side.nearest(at(10.0, 9.0)).along;
    let knee = side.nearest(at(8.5, 19.232)).along;
    let mut waist = Edge::plain(
        "waist",
        curve(vec![bend(
            at(1.0, 0.5),
            (2.6, 0.25),
            (2.0, -0.4),
            at(8.5, -0.489),
        )]),
    );
    waist.allowance = Allowance::even(inch(0.5));
    let mut seam = Edge::plain("side", side);
    seam.allowance = Allowance::changing(
        inch(1.0),
        vec![
            Change {
                at: hip + inch(2.0),
                width: inch(1.0),
                how: How::Step,
            },
            Change {
                at: knee,
                width: inch(0.5),
                how: How::Ramp,
            },
        ],
    );
    seam.notches = vec![notch(hip, 1), notch(knee, 1), notch(knee + inch(12.0), 1)];
    let mut hem = Edge::plain(
        "hem",
        curve(vec![bend(
            at(17.656, 46.014),
            (-8.5, 3.0),
            (-11.0, -6.0),
            at(-15.0, 54.0),
        )]),
    );
    hem.role = Role::Hem;
    hem.allowance = Allowance::even(inch(0.5));
    let (dx, dy) = (-16.0, 34.5);
    let size = measure::angle::hypot(dx, dy);
    let (ux, uy) = (dx / size, dy / size);
    let q = at(1.0 + 3.0 * ux, 19.5 + 3.0 * uy);
    let centre = curve(vec![
        line(at(-15.0, 54.0), q),
        bend(q, (-1.5 * ux, -1.5 * uy), (0.0, -1.5), at(1.0, 19.5)),
        line(at(1.0, 19.5), at(1.0, 18.5)),
        bend(at(1.0, 18.5), (0.0, -3.4), (0.0, -3.0), at(0.0, 10.0)),
        line(at(0.0, 10.0), at(0.0, 8.0)),
        bend(at(0.0, 8.0), (0.0, -2.6), (0.3, -2.4), at(1.0, 0.5)),
    ]);
    let zip = centre.nearest(at(0.0, 9.0)).along;
    let knee_back = centre.nearest(at(1.0, 19.0)).along;
    let mut cb = Edge::plain("centre back", centre);
    cb.allowance = Allowance::changing(
        inch(0.5),
        vec![
            Change {
                at: zip - inch(3.0),
                width: inch(0.5),
                how: How::Step,
            },
            Change {
                at: zip - inch(1.0),
                width: inch(1.25),
                how: How::Ramp,
            },
        ],
    );
    cb.notches = vec![notch(knee_back, 2), notch(zip, 3)];
    let mut piece = Piece::from_edges("back", vec![waist, seam, hem, cb]).unwrap();
    piece.balance = vec![
        balance("hip line", at(0.0, 9.0), at(10.0, 9.0)),
        balance("break line", at(1.0, 19.0), at(8.5, 19.232)),
    ];
    piece.grain = Some(Grain {
        from: at(6.6, 3.0),
        to: at(6.6, 46.0),
    });
    piece.cuts = vec![cut("shell", 2, false, true), cut("lining", 2, false, true)];
    SheetPiece {
        seams: vec![
            ("side".to_owned(), "Side, to the front side".to_owned()),
            ("waist".to_owned(), "Waist, to the waistband".to_owned()),
            (
                "centre back".to_owned(),
                "Centre back, to the other back".to_owned(),
            ),
        ],
        notch_words: vec![NotchWord {
            edge: "centre back".to_owned(),
            at: zip,
            text: "end of the zip".to_owned(),
        }],
        alterations: vec![crate::Alteration {
            from: at(0.62, 14.2),
            to: at(9.1, 14.2),
        }],
        used: used(),
        ..SheetPiece::new(piece)
    }
}

/// A waistband: a long rectangle, W14.
pub(crate) fn waistband() -> SheetPiece {
    let c = [at(0.0, 0.0), at(31.75, 0.0), at(31.75, 2.5), at(0.0, 2.5)];
    let names = ["upper edge", "right end", "lower edge", "left end"];
    let edges = (0..4)
        .map(|i| {
            let mut e = Edge::plain(names[i], curve(vec![line(c[i], c[(i + 1) % 4])]));
            e.allowance = Allowance::even(inch(0.5));
            e
        })
        .collect();
    let mut piece = Piece::from_edges("waistband", edges).unwrap();
    piece.grain = Some(Grain {
        from: at(2.0, 1.9),
        to: at(29.0, 1.9),
    });
    piece.balance = vec![balance("fold line", at(0.0, 1.25), at(31.75, 1.25))];
    piece.cuts = vec![
        cut("shell", 1, false, false),
        cut("interlining", 1, false, false),
    ];
    SheetPiece {
        one_way: true,
        seams: vec![("lower edge".to_owned(), "To the waist".to_owned())],
        ..SheetPiece::new(piece)
    }
}

/// A narrow curved facing.
pub(crate) fn facing() -> SheetPiece {
    let edges = vec![
        (
            "neck",
            curve(vec![bend(
                at(0.0, 2.0),
                (2.0, 0.0),
                (3.0, -1.6),
                at(8.0, 0.0),
            )]),
        ),
        ("end", curve(vec![line(at(8.0, 0.0), at(8.7, 1.35))])),
        (
            "outer edge",
            curve(vec![bend(
                at(8.7, 1.35),
                (-3.0, 1.7),
                (-2.0, 0.0),
                at(0.0, 3.5),
            )]),
        ),
        (
            "centre front",
            curve(vec![line(at(0.0, 3.5), at(0.0, 2.0))]),
        ),
    ]
    .into_iter()
    .map(|(name, c)| {
        let mut e = Edge::plain(name, c);
        match name {
            "centre front" => e.role = Role::Fold,
            "outer edge" => {}
            _ => e.allowance = Allowance::even(Length::inches(0.375)),
        }
        e
    })
    .collect();
    let mut piece = Piece::from_edges("front facing", edges).unwrap();
    piece.grain = Some(Grain {
        from: at(1.0, 2.2),
        to: at(1.0, 3.4),
    });
    piece.cuts = vec![cut("shell", 1, true, false)];
    SheetPiece::new(piece)
}

fn fact(label: &str, value: &str) -> Fact {
    Fact {
        label: label.to_owned(),
        value: value.to_owned(),
    }
}

fn told(weight: Weight, text: &str) -> Told {
    Told {
        weight,
        text: text.to_owned(),
    }
}

/// The whole demo order.
pub(crate) fn order() -> Order {
    let facts = |all: &[(&str, &str)]| all.iter().map(|(l, v)| fact(l, v)).collect();
    let steps = [
        (
            "Front",
            "Rule the centre front, the fold. Square across at waist 0, hip 9 in, break 19 in, hem 47 in.",
            Some(
                "Every level is measured from the waist, so that one slip does not pass on to the next.",
            ),
        ),
        (
            "",
            "Mark the centre waist 3/4 in down. Mark the side waist 7 1/2 in across and 1/4 in up. Curve from one to the other, square at both ends.",
            None,
        ),
        (
            "",
            "Mark the side hip 10 in across on the hip line. Keep the side upright 1 in above and below it.",
            Some("Two fronts and two backs go round her: a quarter of 40 in is 10 in."),
        ),
        (
            "",
            "Mark the side break 7 1/2 in across on the break line, upright 1/2 in above and below. Curve from the hip.",
            None,
        ),
        (
            "",
            "Mark the side hem 17 3/8 in across, 45 1/2 in down. Rule it to the break and soften the corner over 3 in each way.",
            Some(
                "A sharp corner there would pull; pressed open, its allowance has to lengthen by about 5/8 in.",
            ),
        ),
        (
            "Back",
            "Leave 15 in of paper on the left. Rule an upright with the levels of the front, the train at 54 in.",
            None,
        ),
        (
            "",
            "Mark the side waist 8 1/2 in across and raise it to 1/2 in, so that the back side is as long as the front side.",
            Some("The back side would be 3/4 in short without it."),
        ),
    ];
    Order {
        title: "Mermaid skirt with train".to_owned(),
        code: "DEMO-07".to_owned(),
        client: "Demo client, invented".to_owned(),
        version: "3f9a2c".to_owned(),
        taken: Some("25 November 2026".to_owned()),
        body: facts(&[
            ("waist", "30"),
            ("hip", "40"),
            ("waist to hip", "9"),
            ("waist to knee", "22"),
            ("waist to floor, in shoes", "47 3/4"),
            ("thigh above the knee", "16"),
        ]),
        chosen: facts(&[
            ("hip ease", "0"),
            ("knee tightening, a quarter", "2 1/2"),
            ("break above the knee", "3"),
            ("flare at the side", "7 1/2"),
            ("train, longer by", "7"),
            ("zip", "centre back"),
        ]),
        finished: facts(&[
            ("hip", "40"),
            ("round the break", "30"),
            ("round the hem", "105"),
            ("step, an estimate", "15 3/8"),
        ]),
        findings: vec![
            told(
                Weight::Note,
                "The side seam turns 40° at the break: clip the allowance to 1/8 in from the stitching.",
            ),
            told(
                Weight::Ask,
                "Front side: 2 1/2 in comes off between hip and waist with no dart; the seam turns 21°. Cure: a front dart of 1 in.",
            ),
            told(
                Weight::Ask,
                "Break 30 in: steps of about 15 3/8 in. A tightening of 2 in would give 19 3/4 in.",
            ),
            told(
                Weight::Note,
                "Side seams agree within 1/64 in at each notch.",
            ),
        ],
        cautions: vec!["Train: carry it on escalators and stairs. Mind flames.".to_owned()],
        steps: steps
            .iter()
            .zip(1..)
            .map(|((heading, sentence, why), n)| StepText {
                number: Some(n),
                heading: (!heading.is_empty()).then(|| (*heading).to_owned()),
                sentence: (*sentence).to_owned(),
                why: why.map(str::to_owned),
            })
            .collect(),
        pieces: vec![front(), back(), waistband(), facing()],
        ..Order::new("")
    }
}
