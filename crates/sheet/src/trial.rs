//! What the tests of several kinds of sheets share.

use measure::{Curve, Length, Point};
use piece::{Allowance, Edge, Piece};

use crate::SheetPiece;
use crate::page::Page;
use crate::quad::Rect;

/// Every word box against every line and every other word of its page.
pub(crate) fn collisions(page: &Page, name: &str) -> Vec<String> {
    let mut out = Vec::new();
    for (i, (quad, text)) in page.words.iter().enumerate() {
        if text.trim().is_empty() {
            continue;
        }
        for bit in &page.bits {
            if quad.gap_to_line(bit.a, bit.b) < bit.half {
                out.push(format!("{name}: `{text}` on a line at {:?}", quad.bounds));
                break;
            }
        }
        for (other, said) in &page.words[i + 1..] {
            // Words of one line of text stand a blank apart; their boxes may touch but not overlap.
            if !said.trim().is_empty()
                && quad.gap_to(other) <= 0.0
                && overlap(&quad.bounds, &other.bounds) > 0.05
            {
                out.push(format!("{name}: `{text}` on `{said}` at {:?}", quad.bounds));
            }
        }
        let sheet = Rect::new(0.0, 0.0, page.drawing.width, page.drawing.height).grown(-4.0);
        if !sheet.holds_all(&quad.bounds) {
            out.push(format!(
                "{name}: `{text}` off the sheet at {:?}",
                quad.bounds
            ));
        }
    }
    out
}

fn overlap(a: &Rect, b: &Rect) -> f64 {
    (a.x1.min(b.x1) - a.x0.max(b.x0)).min(a.y1.min(b.y1) - a.y0.max(b.y0))
}

/// A plain box with 10 mm all round.
pub(crate) fn rectangle(name: &str, width: f64, height: f64) -> SheetPiece {
    let c = [
        Point::new(0.0, 0.0),
        Point::new(width, 0.0),
        Point::new(width, height),
        Point::new(0.0, height),
    ];
    let edges = (0..4)
        .map(|i| {
            let curve = Curve::line(c[i], c[(i + 1) % 4]).unwrap();
            let mut e = Edge::plain(format!("edge {i}"), curve);
            e.allowance = Allowance::even(Length::mm(10.0));
            e
        })
        .collect();
    SheetPiece::new(Piece::from_edges(name, edges).unwrap())
}
