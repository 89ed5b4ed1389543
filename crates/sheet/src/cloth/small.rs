//! The cloth in small: its edges, fold and flaws, the rule along it, and the grain arrows with lines to
//! where they are measured from.

use measure::fraction::Unit;
use measure::{Length, Point, Vector};

use super::lay::{ClothFold, ClothLay, ClothPiece, arrow};
use super::{EDGE, TEXT};
use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::set;
use crate::number::{count, real};
use crate::page::{Page, Spot};
use crate::quad::Rect;
use crate::words::Words;

/// Where the cloth lies on the paper.
#[derive(Clone, Copy, Debug)]
pub(super) struct Small {
    pub(super) scale: f64,
    /// The place of x = 0, y = 0.
    pub(super) origin: Point,
}

impl Small {
    pub(super) fn at(&self, p: [f64; 2]) -> Point {
        Point::new(
            self.origin.x + p[0] / self.scale,
            self.origin.y - p[1] / self.scale,
        )
    }

    pub(super) fn rect(&self, r: [f64; 4]) -> Rect {
        let (a, b) = (self.at([r[0], r[3]]), self.at([r[2], r[1]]));
        Rect::new(a.x, a.y, b.x - a.x, b.y - a.y)
    }
}

/// The cloth's edges, its fold, its flaws, and where the lay ends.
pub(super) fn cloth(page: &mut Page, lay: &ClothLay, small: &Small) {
    let s = lay.selvedge.in_mm();
    let end = lay.end();
    let from = lay.flat_from.map_or(end, Length::in_mm);
    let edge = |page: &mut Page, a: [f64; 2], b: [f64; 2]| {
        page.stroke(
            Layer::Sheet,
            Shape::line(&[small.at(a), small.at(b)]),
            Pen::solid(0.7),
            false,
        );
    };
    let thin = |page: &mut Page, a: [f64; 2], b: [f64; 2], line: Line| {
        page.line(Layer::Sheet, small.at(a), small.at(b), line);
    };
    let doubled = lay.fold != ClothFold::Flat;
    let folded = lay.fold == ClothFold::Folded;
    // The part as it is folded, then what is opened out.
    let stretches = [
        (0.0, from, lay.lies(), folded),
        (from, end, lay.usable(), false),
    ];
    for (a, b, high, on_fold) in stretches {
        if b - a < 1.0 {
            continue;
        }
        edge(page, [a, high + s], [b, high + s]);
        if s > 1.0 {
            thin(page, [a, high], [b, high], Line::Balance);
        }
        if on_fold {
            thin(page, [a, 0.0], [b, 0.0], Line::Fold);
        } else {
            edge(page, [a, -s], [b, -s]);
            if s > 1.0 {
                thin(page, [a, 0.0], [b, 0.0], Line::Balance);
            }
        }
    }
    if let Some(deep) = lay.turned_in.map(Length::in_mm) {
        // The edge that is turned in lies on the layer below it.
        thin(page, [0.0, deep], [from, deep], Line::Balance);
        thin(page, [0.0, deep + s], [from, deep + s], Line::Fine);
    }
    let low = |x: f64| if folded && x < from { 0.0 } else { -s };
    if lay.fold == ClothFold::Crosswise {
        thin(page, [0.0, -s], [0.0, lay.lies() + s], Line::Fold);
    } else {
        edge(page, [0.0, low(0.0)], [0.0, lay.lies() + s]);
    }
    let top = if lay.flat_from.is_some() {
        lay.usable()
    } else {
        lay.lies()
    };
    edge(page, [end, low(end - 1.0)], [end, top + s]);
    if doubled && lay.flat_from.is_some() {
        thin(page, [from, -s], [from, lay.usable() + s], Line::Balance);
    }
    let length = lay.length.in_mm();
    if end - length > 1.0 {
        thin(
            page,
            [length, low(length)],
            [length, top + s],
            Line::Balance,
        );
    }
    for f in &lay.flaws {
        let r = small.rect(*f);
        page.frame(Layer::Sheet, r, Line::Fine, false);
        let c = r.corners();
        page.line(Layer::Sheet, c[0], c[2], Line::Fine);
        page.line(Layer::Sheet, c[1], c[3], Line::Fine);
    }
}

/// Yards or metres along the cloth.
pub(super) fn rule(page: &mut Page, lay: &ClothLay, words: &Words, small: &Small, low: f64) {
    let inches = lay.shown.unit == Unit::Inch;
    let (step, long) = if inches { (228.6, 4) } else { (100.0, 5) };
    let (each, sign) = if inches {
        (914.4, words.lay_yd)
    } else {
        (1000.0, words.lay_m)
    };
    let y = small.at([0.0, low]).y + 2.4;
    let last = count((lay.end() / step + 1e-6).floor());
    let mut said = 0.0_f64;
    for n in 0..=last {
        let x = small.at([real(n) * step, 0.0]).x;
        let whole = (real(n) * step / each)
            .fract()
            .min(1.0 - (real(n) * step / each).fract())
            < 1e-6;
        let tall = if whole {
            4.0
        } else if n % long == 0 || inches {
            2.2
        } else {
            1.6
        };
        page.stroke(
            Layer::Sheet,
            Shape::line(&[Point::new(x, y), Point::new(x, y + tall)]),
            Pen::solid(0.35),
            false,
        );
        if whole {
            let letters = set(
                &format!("{}\u{a0}{sign}", (real(n) * step / each).round()),
                TEXT,
                false,
            );
            let at = x.max(EDGE + letters.width / 2.0);
            if n == 0 || at - letters.width / 2.0 > said + 2.0 {
                page.letters(
                    Layer::Text,
                    &letters,
                    Spot::level(Point::new(at, y + 8.6), 0.5),
                );
                said = at + letters.width / 2.0;
            }
        }
    }
}

/// The grain arrow; two heads, one where the cloth has a nap.
pub(super) fn grain(page: &mut Page, lay: &ClothLay, piece: &ClothPiece, small: &Small) {
    let [a, b] = arrow(piece.grain).map(|p| small.at(p));
    let Some(way) = (b - a).unit() else { return };
    page.stroke(Layer::Grain, Shape::line(&[a, b]), Pen::solid(0.35), false);
    let long = (b - a).size();
    if long > 5.0 {
        page.fill(Layer::Grain, small_head(b, way), false);
        if !lay.one_way {
            page.fill(Layer::Grain, small_head(a, -way), false);
        }
    }
}

/// The head of a small arrow.
pub(super) fn small_head(at: Point, way: Vector) -> Shape {
    let back = at - way * 2.6;
    Shape::closed(&[at, back + way.left() * 0.8, back + way.right() * 0.8])
}

/// Thin lines from the ends of the grain arrow to where it is measured from; short ones where another
/// piece lies between.
pub(super) fn pin_lines(
    page: &mut Page,
    lay: &ClothLay,
    i: usize,
    small: &Small,
    drawn: &[Vec<Point>],
) {
    for (_, end, to) in shown_pins(lay, i, small) {
        let (a, b) = (small.at(end), small.at(to));
        let Some(way) = (b - a).unit() else { continue };
        let clear = drawn
            .iter()
            .enumerate()
            .all(|(k, ring)| k == i || !crosses(ring, a, b));
        let stop = if clear {
            b
        } else {
            a + way * (b - a).size().min(STUB)
        };
        page.stroke(
            Layer::Grain,
            Shape::line(&[a, stop]),
            Pen::solid(0.18),
            false,
        );
        if (stop - a).size() > 3.0 {
            page.fill(Layer::Grain, small_head(stop, way), false);
        }
    }
}

/// How long the stub of a line is that would cross another piece.
const STUB: f64 = 6.0;

fn crosses(ring: &[Point], a: Point, b: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    (0..ring.len()).any(|k| {
        let (c, d) = (ring[k], ring[(k + 1) % ring.len()]);
        (side(a, b, c) > 0.0) != (side(a, b, d) > 0.0)
            && (side(c, d, a) > 0.0) != (side(c, d, b) > 0.0)
    })
}

/// The pins that are drawn: both ends of an arrow, of a short one its first.
pub(super) fn shown_pins(
    lay: &ClothLay,
    i: usize,
    small: &Small,
) -> Vec<(f64, [f64; 2], [f64; 2])> {
    let pins = lay.pins(i);
    let apart = (small.at(pins[0].1) - small.at(pins[1].1)).size();
    let many = if apart < 14.0 { 1 } else { 2 };
    pins.into_iter().take(many).collect()
}
