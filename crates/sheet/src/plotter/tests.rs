//! What a plotter would draw, read by a small plotter of our own.

use crate::words::ENGLISH;
use measure::{Angle, angle};

use super::*;
use crate::drawing::Layer;
use crate::samples;
use crate::{order::SheetPiece, quad::point_gap};

/// What was drawn: strokes in millimetres (x down the roll), each with its pen, and how far the pen
/// travelled in the air.
#[derive(Default)]
struct Plot {
    strokes: Vec<(f64, Vec<(f64, f64)>)>,
    air: f64,
    size: (f64, f64),
}

/// Runs the commands of a file. Anything but a letter or two with numbers is a fault.
fn run(text: &str) -> Plot {
    let mut plot = Plot::default();
    let (mut pen, mut down, mut here) = (0.0, false, (0.0, 0.0));
    for command in text.split(';').map(str::trim).filter(|c| !c.is_empty()) {
        let (name, rest) = command.split_at(2);
        let numbers: Vec<f64> = rest
            .split(',')
            .filter(|n| !n.is_empty())
            .map(|n| n.parse().unwrap_or_else(|_| panic!("{command}")))
            .collect();
        match name {
            "IN" | "PA" | "LT" | "SP" | "PG" => {}
            "PS" => plot.size = (numbers[0] / 40.0, numbers[1] / 40.0),
            "PW" => pen = numbers[0],
            "PU" | "PD" => {
                let begins = !down && name == "PD";
                down = name == "PD";
                if begins {
                    plot.strokes.push((pen, vec![here]));
                }
                for p in numbers.chunks(2) {
                    assert!(p.iter().all(|v| v.fract() == 0.0 && *v >= 0.0), "{command}");
                    let to = (p[0] / 40.0, p[1] / 40.0);
                    if down {
                        plot.strokes.last_mut().unwrap().1.push(to);
                    } else {
                        plot.air += angle::hypot(to.0 - here.0, to.1 - here.1);
                    }
                    here = to;
                }
            }
            other => panic!("{other} is no command of ours"),
        }
    }
    plot
}

fn length(stroke: &[(f64, f64)]) -> f64 {
    stroke
        .windows(2)
        .map(|w| angle::hypot(w[1].0 - w[0].0, w[1].1 - w[0].1))
        .sum()
}

fn sheet(items: Vec<Ink>) -> Drawing {
    let items = items.into_iter().map(|ink| Item {
        layer: Layer::Cutting,
        clip: None,
        ink,
    });
    Drawing {
        width: 900.0,
        height: 2000.0,
        items: items.collect(),
    }
}

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

// Catches a plot that is mirrored, turned the wrong way, or not at 40 units to the millimetre.
#[test]
fn down_the_paper_is_along_the_roll_and_nothing_is_mirrored() {
    // An L: down 300 mm, then 50 mm to the right.
    let l = Shape::line(&[p(10.0, 20.0), p(10.0, 320.0), p(60.0, 320.0)]);
    let text = write(&[sheet(vec![Ink::Stroke(l, Pen::solid(0.7))])]);
    assert!(text.starts_with("IN;SP1;\nPS12160,2160;"), "{text}");
    assert!(
        text.contains("PW0.70;\nPU80,80;PD12080,80,12080,2080;"),
        "{text}"
    );
    assert!(text.ends_with("PU;SP0;\nPG;\n"), "{text}");
    // From below on the right: a quarter turn of the page, so a right turn stays a left turn seen with
    // y up. The cross product tells a mirrored one.
    let s = &run(&text).strokes[0].1;
    let cross = (s[1].0 - s[0].0) * (s[2].1 - s[1].1) - (s[1].1 - s[0].1) * (s[2].0 - s[1].0);
    assert!(cross > 0.0);
}

// Catches dashes that a plotter would draw otherwise than the paper: 6-2 with half a dash at both
// ends, going on round a corner.
#[test]
fn dashes_are_strokes_of_their_own() {
    let pen = Pen {
        width: 0.35,
        dash: vec![6.0, 2.0],
        phase: 3.0,
    };
    let bent = Shape::line(&[p(0.0, 0.0), p(0.0, 16.0), p(24.0, 16.0)]);
    let plot = run(&write(&[sheet(vec![Ink::Stroke(bent, pen)])]));
    let lengths: Vec<f64> = plot.strokes.iter().map(|s| length(&s.1)).collect();
    let wanted = [3.0, 6.0, 6.0, 6.0, 6.0, 3.0];
    assert_eq!(lengths.len(), wanted.len(), "{lengths:?}");
    for (l, w) in lengths.iter().zip(wanted) {
        assert!((l - w).abs() < 0.05, "{lengths:?}");
    }
    assert_eq!(
        plot.strokes[2].1.len(),
        3,
        "the dash round the corner turns with it"
    );
    assert!(
        (plot.air - 10.0 - 8_f64.sqrt()).abs() < 0.05,
        "{}",
        plot.air
    );
}

// Catches a curve that is cut too coarsely: a circle of 400 mm, of which radius and length are known.
#[test]
fn a_circle_is_round_within_a_fiftieth_of_a_millimetre() {
    let circle = Shape::circle(p(500.0, 500.0), 400.0);
    let plot = run(&write(&[sheet(vec![Ink::Stroke(circle, Pen::solid(0.7))])]));
    let s = &plot.strokes[0].1;
    // Four cubics stand for the circle within 0.0273 % of the radius, always outside of it.
    let most = 400.0 * 0.000_273;
    for w in s.windows(2) {
        let middle = (f64::midpoint(w[0].0, w[1].0), f64::midpoint(w[0].1, w[1].1));
        for q in [w[0], middle] {
            let off = angle::hypot(q.0 - 402.0, q.1 - 402.0) - 400.0;
            assert!(off > -0.02 && off < most + 0.02, "{off}");
        }
    }
    assert!((length(s) - 800.0 * core::f64::consts::PI).abs() < 0.5);
    assert_eq!(s.first(), s.last());
}

// Catches letters that are mirrored, upside down or in the plotter's own font.
#[test]
fn letters_are_drawn_by_their_outlines() {
    let letters = crate::face::set("Ế", 100.0, false);
    let ink = letters.ink;
    let text = write(&[sheet(vec![Ink::Letters(
        letters,
        p(50.0, 80.0),
        Angle::ZERO,
    )])]);
    assert!(!text.contains("LB") && text.is_ascii());
    let plot = run(&text);
    assert!(plot.strokes.len() >= 3, "E, its hat and its accent");
    let all: Vec<(f64, f64)> = plot.strokes.iter().flat_map(|s| s.1.clone()).collect();
    let tall = all.iter().map(|q| q.0).fold(0.0, f64::max) - 2.0;
    assert!((tall - ink.height()).abs() < 0.1, "{tall} {ink:?}");
    // The stem of the E stands at the beginning of the line over most of its height.
    let stem = plot
        .strokes
        .iter()
        .flat_map(|s| s.1.windows(2))
        .filter(|w| (w[0].0 - w[1].0).abs() > ink.height() * 0.5 && (w[0].1 - w[1].1).abs() < 0.1)
        .map(|w| w[0].1)
        .fold(f64::INFINITY, f64::min);
    assert!(stem < 4.0, "{stem}");
}

// Catches a filled head that is drawn as a hollow one.
#[test]
fn heads_of_arrows_are_hatched() {
    let head = crate::page::head(p(100.0, 100.0), Vector::DOWN);
    let plot = run(&write(&[sheet(vec![Ink::Fill(head)])]));
    let all: f64 = plot.strokes.iter().map(|s| length(&s.1)).sum();
    // Its area is 5 by 2.5 / 2; lines 0.25 mm apart, and its outline.
    let outline = 2.5 + 2.0 * (25.0 + 1.25 * 1.25_f64).sqrt();
    assert!((all - outline - 6.25 / 0.25).abs() < 1.0, "{all}");
}

// Catches a window that is not kept.
#[test]
fn what_lies_outside_a_window_is_not_drawn() {
    let mut drawing = sheet(vec![Ink::Stroke(
        Shape::line(&[p(0.0, 50.0), p(300.0, 50.0), p(300.0, 500.0)]),
        Pen::solid(0.7),
    )]);
    drawing.items[0].clip = Some(Rect::new(100.0, 0.0, 1000.0, 200.0));
    let plot = run(&write(&[drawing]));
    assert_eq!(plot.strokes.len(), 1);
    assert!((length(&plot.strokes[0].1) - 350.0).abs() < 0.03);
}

// Catches a demo order in which a line of a piece is missing or out of place, a square that is not
// drawn first, ink outside of the plot.
#[test]
fn the_demo_order_is_drawn_true() {
    let order = samples::order();
    let text = pattern_plt(&order).unwrap();
    assert!(text.bytes().all(|b| b == b'\n' || (32..127).contains(&b)));
    let plot = run(&text);
    let square = &plot.strokes[0].1;
    assert_eq!(square.len(), 5);
    for w in square.windows(2) {
        let side = length(w);
        assert!(
            (side - 100.0).abs() < 1e-9 || (side - 101.6).abs() < 1e-9,
            "{square:?}"
        );
    }
    assert!(plot.size.1 <= 914.4 && plot.size.0 >= plot.size.1);
    for q in plot.strokes.iter().flat_map(|s| &s.1) {
        assert!(q.0 <= plot.size.0 && q.1 <= plot.size.1, "{q:?}");
    }
    // Each cutting line somewhere on the plot, turned so that down is along the roll.
    let heavy: Vec<&Vec<(f64, f64)>> = plot
        .strokes
        .iter()
        .filter(|s| (s.0 - 0.7).abs() < 1e-9)
        .map(|s| &s.1)
        .collect();
    let placed = large(&order, &ENGLISH, &Bed::ROLL).unwrap().placed;
    for place in &placed {
        assert!(
            place.window.is_none(),
            "the demo order has no piece in parts"
        );
        let given = order.pieces[place.piece].moved(&place.motion);
        let p = crate::traced::Traced::new(&given, (1, 1), &[]).unwrap();
        let cut = p.marks.iter().find(|m| m.layer == Layer::Cutting).unwrap();
        let want = &cut.shape.chains(0.5)[0];
        let found = heavy.iter().any(|s| lies_on(want, s));
        assert!(found, "{} is not there", given.piece.name);
    }
    assert_eq!(placed.len(), order.pieces.len());
}

/// Whether a chain of the paper lies on a stroke, within a shift and a fiftieth of a millimetre.
fn lies_on(chain: &[Point], stroke: &[(f64, f64)]) -> bool {
    let on_paper: Vec<Point> = stroke.iter().map(|q| p(q.1, q.0)).collect();
    let (a, b) = (Rect::around(chain), Rect::around(&on_paper));
    if (a.width() - b.width()).abs() > 0.1 || (a.height() - b.height()).abs() > 0.1 {
        return false;
    }
    // The boxes are as far apart as the pieces, but for the coarser chords: look at the corner.
    let ends = [on_paper[0], on_paper[on_paper.len() - 1]];
    ends.iter().any(|e| {
        let by = *e - chain[0];
        chain.iter().all(|c| {
            on_paper
                .windows(2)
                .any(|w| point_gap(*c + by, w[0], w[1]) < 0.04)
        })
    })
}

// Catches an order of strokes that sends the pen to and fro.
#[test]
fn the_pen_travels_less_than_in_the_order_of_the_drawing() {
    let order = samples::order();
    let sorted = run(&pattern_plt(&order).unwrap());
    let mut items: Vec<Ink> = Vec::new();
    for page in crate::pattern::one_sheet(&order, &ENGLISH).unwrap().pages {
        items.extend(page.drawing.items.into_iter().map(|i| i.ink));
    }
    let as_drawn: f64 = {
        let mut here = p(0.0, 0.0);
        let mut air = 0.0;
        for item in sheet(items).items {
            for c in chains(&item).0 {
                air += (c[0] - here).size();
                here = c[c.len() - 1];
            }
        }
        air
    };
    assert!(sorted.air < as_drawn * 0.75, "{} of {as_drawn}", sorted.air);
}

// Catches text of hers that becomes a command.
#[test]
fn no_name_is_a_command() {
    let mut order = samples::order();
    let plain = run(&pattern_plt(&order).unwrap()).strokes.len();
    order.pieces[0].piece.name = "x;SP3;PU0,0;\u{3}\r\nLBx".to_owned();
    let text = pattern_plt(&order).unwrap();
    assert!(!text.contains("SP3") && !text.contains("LB"));
    assert!(run(&text).strokes.len() > plain / 2);
    let mut none = samples::order();
    none.pieces = Vec::<SheetPiece>::new();
    assert_eq!(pattern_plt(&none), Err(SheetFault::Nothing));
}
