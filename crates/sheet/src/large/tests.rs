//! The large sheets of the demo order, and of pieces too long, too wide or too many.

use crate::words::ENGLISH;
use measure::fraction::Shown;
use measure::{Curve, Length};
use piece::{Allowance, Edge, Piece};
use proptest::prelude::{ProptestConfig, proptest};

use super::*;
use crate::drawing::{Ink, Layer, Shape, Step};
use crate::quad::line_gap;
use crate::samples;
use crate::trial::{collisions, rectangle};

const INCH: f64 = 25.4;

fn roll(order: &Order) -> Large {
    large(order, &ENGLISH, &Bed::ROLL).unwrap()
}

fn a0(order: &Order) -> Large {
    large(order, &ENGLISH, &Bed::A0).unwrap()
}

/// The cutting lines as they lie on the sheets.
fn laid(order: &Order, large: &Large) -> Vec<(usize, Vec<Point>, Option<Rect>)> {
    large
        .placed
        .iter()
        .map(|p| {
            let line = piece::cutting_line(&order.pieces[p.piece].piece).unwrap();
            let mut ring: Vec<Point> = line
                .curve
                .flatten(Length::mm(0.05))
                .iter()
                .map(|q| p.motion.point(*q))
                .collect();
            ring.pop();
            (p.sheet, ring, p.window.map(|(a, b)| Rect::around(&[a, b])))
        })
        .collect()
}

/// Nothing touches, everything is inside the bed, and no letter is on a line.
fn judge(order: &Order, large: &Large, bed: &Bed) -> Result<(), String> {
    for (i, page) in large.pages.iter().enumerate() {
        if let Some(found) = collisions(page, &format!("sheet {}", i + 1)).first() {
            return Err(found.clone());
        }
        let inside = Rect::new(
            bed.margin,
            bed.margin,
            bed.width,
            page.drawing.height - 2.0 * bed.margin,
        )
        .grown(0.4);
        for bit in &page.bits {
            if !(inside.holds(bit.a) && inside.holds(bit.b)) {
                return Err(format!("ink at {:?} is outside", bit.bounds));
            }
        }
    }
    let whole = laid(order, large);
    for (i, (sheet, a, in_a)) in whole.iter().enumerate() {
        for (other, b, in_b) in &whole[i + 1..] {
            if sheet != other || in_a.is_some() || in_b.is_some() {
                continue;
            }
            for k in 0..a.len() {
                for l in 0..b.len() {
                    let (p, q) = (a[k], a[(k + 1) % a.len()]);
                    let gap = line_gap(p, q, b[l], b[(l + 1) % b.len()]);
                    if gap < GAP - 0.2 {
                        return Err(format!("two pieces are {gap} apart"));
                    }
                }
            }
        }
    }
    Ok(())
}

fn strokes(page: &Page, layer: Layer) -> Vec<&Shape> {
    page.drawing
        .items
        .iter()
        .filter(|i| i.layer == layer)
        .filter_map(|i| match &i.ink {
            Ink::Stroke(shape, _) => Some(shape),
            _ => None,
        })
        .collect()
}

// Catches pieces that touch, ink outside what a plotter draws, and letters on lines.
#[test]
fn the_demo_order_lies_clear() {
    let order = samples::order();
    for (large, bed) in [(roll(&order), Bed::ROLL), (a0(&order), Bed::A0)] {
        judge(&order, &large, &bed).unwrap();
    }
}

// Catches a roll on which pieces lie one under the other: front and back of the demo are 48 and 56 in
// long, the paper look's picture lays them in 70.
#[test]
fn a_good_hand_s_length_is_not_passed() {
    let mut order = samples::order();
    order.pieces.truncate(2);
    let large = roll(&order);
    assert_eq!(large.pages.len(), 1);
    let long = large.pages[0].drawing.height / INCH;
    assert!(long <= 73.0, "{long}");
}

// Catches a line that is lost, doubled or bent on its way: every stroke of every piece is there once,
// as long as it was.
#[test]
fn every_stroke_is_there_once() {
    let order = samples::order();
    let large = roll(&order);
    assert!(large.placed.iter().all(|p| p.window.is_none()));
    let length = |s: &Shape| -> f64 {
        s.chords()
            .iter()
            .flat_map(|c| c.windows(2))
            .map(|w| (w[1] - w[0]).size())
            .sum()
    };
    let sorted = |mut all: Vec<f64>| {
        all.sort_by(f64::total_cmp);
        all
    };
    for layer in [
        Layer::Cutting,
        Layer::Stitching,
        Layer::Grain,
        Layer::Balance,
        Layer::Notches,
    ] {
        let given = crate::pattern::traced(&order).unwrap();
        let marks = given.iter().flat_map(|t| &t.marks);
        let drawn = marks.filter(|m| m.layer == layer && m.pen.is_some());
        let drawn = sorted(drawn.map(|m| length(&m.shape)).collect());
        let there = large.pages.iter().flat_map(|p| strokes(p, layer));
        let there = sorted(there.map(length).collect());
        assert_eq!(drawn.len(), there.len(), "{layer:?}");
        for (a, b) in drawn.iter().zip(&there) {
            assert!((a - b).abs() < 0.05, "{layer:?}: {a} {b}");
        }
    }
}

// Catches a check that is not as long as the head says.
#[test]
fn long_checks_are_exact() {
    let order = samples::order();
    for large in [roll(&order), a0(&order)] {
        let mut rings: Vec<Point> = Vec::new();
        for page in &large.pages {
            for shape in strokes(page, Layer::Sheet) {
                let Shape::Path(steps) = shape else { continue };
                if let [Step::Move(_), Step::Cubic(..), _, _, _, Step::Close] = steps[..] {
                    let b = Rect::around(shape.chords().iter().flatten());
                    rings.push(b.centre());
                }
            }
        }
        assert!(rings.len() >= 4 && rings.len().is_multiple_of(2));
        if large.pages.len() == 1 {
            for pair in rings.chunks_exact(2) {
                let inches = (pair[1] - pair[0]).size() / INCH;
                assert!((inches - inches.round()).abs() < 1e-6, "{inches}");
                let said = format!("{}\u{a0}in", inches.round());
                let text: Vec<&str> = large.pages[0].words.iter().map(|w| w.1.as_str()).collect();
                assert!(text.contains(&said.as_str()), "{said} {text:?}");
            }
        }
    }
}

// Catches a rule that is not true: every mark stands at a whole inch or centimetre from the first,
// every twelfth or tenth bears its number, at its own height.
#[test]
fn the_ellwand_is_exact() {
    let mut order = samples::order();
    for (shown, step, numbered) in [(Shown::inches(), 25.4, 12), (Shown::cm(), 10.0, 10)] {
        order.shown = shown;
        let large = roll(&order);
        let page = &large.pages[0];
        let edge = Bed::ROLL.margin + Bed::ROLL.width;
        let mut marks: Vec<(f64, f64)> = Vec::new();
        for shape in strokes(page, Layer::Sheet) {
            let Shape::Path(steps) = shape else { continue };
            if let [Step::Move(a), Step::Line(b)] = steps[..]
                && (a.x - edge).abs() < 1e-9
                && (a.y - b.y).abs() < 1e-9
            {
                marks.push((a.y, a.x - b.x));
            }
        }
        let all = count((page.drawing.height - 2.0 * Bed::ROLL.margin) / step);
        assert_eq!(marks.len(), all + 1);
        for (n, (y, long)) in marks.iter().enumerate() {
            assert!((y - Bed::ROLL.margin - real(n) * step).abs() < 1e-9);
            let least = if n.is_multiple_of(numbered) { 9.0 } else { 0.0 };
            assert!(*long > least);
            if n > 0 && n.is_multiple_of(numbered) {
                let said = n.to_string();
                let at = page
                    .words
                    .iter()
                    .find(|w| w.1 == said && w.0.bounds.x1 > edge - 14.0 && w.0.bounds.x1 < edge);
                let middle = at.unwrap().0.bounds.centre().y;
                assert!((middle - y).abs() < 0.5);
            }
        }
    }
}

// Catches pages that a copy shop or a reader can't take.
#[test]
fn sheets_have_their_sizes() {
    let order = samples::order();
    for (paper, width, fixed) in [
        (LargePaper::Roll, 914.4, None),
        (LargePaper::A0, 841.0, Some(1189.0)),
    ] {
        for (w, h) in large_sheets(&order, paper).unwrap() {
            assert!((w.in_mm() - width).abs() < 1e-9);
            assert!(h.in_mm() <= 5080.0 + 1e-9);
            assert!(fixed.is_none_or(|f: f64| (h.in_mm() - f).abs() < 1e-9));
        }
        let bytes = large_pdf(&order, paper).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        assert!(text.contains("/PrintScaling /None") && !text.contains("/UserUnit"));
        let first = text.split("/MediaBox [").nth(1).unwrap();
        let n: Vec<f64> = first
            .split(']')
            .next()
            .unwrap()
            .split_whitespace()
            .map(|v| v.parse().unwrap())
            .collect();
        assert!((n[2] / 72.0 * INCH - width).abs() < 0.001, "{n:?}");
        assert!(n[3] <= 14_400.0);
        assert_eq!(bytes, large_pdf(&order, paper).unwrap());
    }
}

// Catches a pattern longer than a page that is cut off, and one whose sheets are not told apart.
#[test]
fn a_very_long_pattern_takes_more_sheets() {
    let mut order = Order::new("Long");
    order.version = "v1".to_owned();
    order.pieces = (0..7)
        .map(|i| rectangle(&format!("panel {i}"), 500.0, 1900.0))
        .collect();
    let large = roll(&order);
    judge(&order, &large, &Bed::ROLL).unwrap();
    assert!(large.pages.len() > 1);
    for (n, page) in large.pages.iter().enumerate() {
        assert!(page.drawing.height <= 5080.0 + 1e-9);
        let said = format!("sheet {} of {}", n + 1, large.pages.len());
        let there = page.words.iter().any(|w| w.1.to_lowercase() == said);
        assert!(there, "{said}");
        let squares = strokes(page, Layer::Sheet)
            .iter()
            .filter(|s| matches!(s, Shape::Rect(_)))
            .count();
        assert!(squares >= 1);
    }
}

// Catches a part of a wide or long piece that no sheet shows, laps of another width, and joints
// without their marks.
#[test]
fn what_is_larger_than_the_paper_comes_in_parts() {
    for (w, h) in [(1150.0, 1160.0), (300.0, 6000.0), (1900.0, 900.0)] {
        for bed in [Bed::ROLL, Bed::A0] {
            let mut order = Order::new("Wide");
            order.version = "v1".to_owned();
            order.pieces = vec![rectangle("sail", w, h)];
            let large = large(&order, &ENGLISH, &bed).unwrap();
            judge(&order, &large, &bed).unwrap();
            let whole = laid(&order, &large);
            assert!(whole.len() > 1);
            let unmoved = whole.iter().zip(&large.placed);
            // Every place of the piece shows in one part at least, and near a joint in two.
            let mut shown = vec![0; 40 * 40];
            for ((_, _, window), placed) in unmoved {
                for i in 0..40_usize {
                    for j in 0..40_usize {
                        let p = Point::new(real(i) / 39.0 * w, real(j) / 39.0 * h);
                        let inside = window.unwrap().holds(placed.motion.point(p));
                        shown[i * 40 + j] += usize::from(inside);
                    }
                }
            }
            assert!(shown.iter().all(|s| *s >= 1));
            let said: Vec<&str> = large
                .pages
                .iter()
                .flat_map(|p| &p.words)
                .map(|x| x.1.as_str())
                .collect();
            for word in ["cut along this line", "1"] {
                assert!(said.contains(&word), "{word}: {said:?}");
            }
            let lies = said.iter().any(|s| s.ends_with("lies on this strip"));
            assert!(lies, "{said:?}");
        }
    }
    // Two windows side by side lap by 20 mm.
    let frame = Frame::parts((800.0, 5000.0), LAP);
    assert!((frame.window.0 - frame.step.0 - 20.0).abs() < 1e-12);
}

// Catches a piece too wide for the roll that could lie across it, and is cut instead.
#[test]
fn a_wide_piece_that_can_lies_across() {
    let mut order = Order::new("Across");
    order.version = "v1".to_owned();
    order.pieces = vec![rectangle("sash", 1500.0, 300.0)];
    let large = roll(&order);
    assert_eq!(large.placed.len(), 1);
    assert!(large.placed[0].window.is_none());
    let told = large.pages[0].words.iter().any(|w| w.1.contains("across"));
    assert!(told);
}

// Catches words that do not turn with their piece, small print, and a half that is laid turned over
// although it is cut only once.
#[test]
fn words_turn_with_their_piece() {
    let order = samples::order();
    let large = roll(&order);
    for placed in &large.placed {
        let over = placed.motion.turns_over();
        let given = &order.pieces[placed.piece];
        assert!(!over || given.piece.fold().is_some());
        let grain = given.piece.grain.unwrap();
        let way = placed.motion.vector(grain.to - grain.from);
        let name = capital(&given.piece.name);
        for page in &large.pages {
            for item in &page.drawing.items {
                let Ink::Letters(l, _, turn) = &item.ink else {
                    continue;
                };
                assert!(l.glyphs.iter().all(|g| g.size >= 11.0));
                if item.layer == Layer::Text && l.text == name {
                    // Down the letters is down the grain, or they run along it.
                    let down = Vector::DOWN.turned(*turn);
                    let dot = down.dot(way.unit().unwrap());
                    assert!(dot > -0.01, "{name} {dot} {turn:?} {placed:?}");
                }
            }
        }
    }
}

// Catches places for the plotter that are not those on the roll.
#[test]
fn nested_places_lie_on_the_strip() {
    let order = samples::order();
    let width = Length::mm(870.0);
    let all = nested(&order, width, Length::mm(5000.0)).unwrap();
    assert_eq!(all.len(), order.pieces.len());
    for p in &all {
        let line = piece::cutting_line(&order.pieces[p.piece].piece).unwrap();
        for q in line.curve.flatten(Length::mm(0.1)) {
            let q = p.motion.point(q);
            assert!(q.x > -1e-6 && q.x < 870.0 + 1e-6 && q.y > -1e-6);
        }
    }
}

// Catches a panic where there is nothing to draw.
#[test]
fn nothing_is_refused() {
    let none = Order::new("none");
    assert_eq!(large_pdf(&none, LargePaper::Roll), Err(SheetFault::Nothing));
    assert!(large_sheets(&none, LargePaper::A0).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 8,
        // The same pieces every time: a test of the look is no lottery.
        rng_seed: proptest::test_runner::RngSeed::Fixed(11),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    // Catches pieces of odd sizes that touch, leave the paper, or are written over.
    #[test]
    fn any_pieces_lie_clear(
        sizes in proptest::collection::vec((20.0..1400.0_f64, 20.0..1500.0_f64, -0.4..0.4_f64), 1..6),
        on_a0 in proptest::bool::ANY,
    ) {
        let mut order = Order::new("Odd");
        order.version = "v1".to_owned();
        order.pieces = sizes
            .iter()
            .enumerate()
            .map(|(i, (w, h, lean))| {
                let c = [
                    Point::new(0.0, 0.0),
                    Point::new(*w, h * lean * 0.3),
                    Point::new(w * (1.0 + lean), *h),
                    Point::new(w * lean * 0.5, h * 0.9),
                ];
                let edges = (0..4)
                    .map(|k| {
                        let curve = Curve::line(c[k], c[(k + 1) % 4]).unwrap();
                        let mut e = Edge::plain(format!("edge {k}"), curve);
                        e.allowance = Allowance::even(Length::mm(9.0));
                        e
                    })
                    .collect();
                SheetPiece::new(Piece::from_edges(format!("piece {i}"), edges).unwrap())
            })
            .collect();
        let bed = if on_a0 { Bed::A0 } else { Bed::ROLL };
        let large = large(&order, &ENGLISH, &bed).unwrap();
        let judged = judge(&order, &large, &bed);
        proptest::prop_assert!(judged.is_ok(), "{judged:?}");
    }
}
