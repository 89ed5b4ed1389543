//! The draft under a piece: ruled levels, uprights, lines that help, points with their names.
//!
//! They lie under everything else: no word gives way to them, and their own words stand where it is
//! clear.

use measure::{Length, Point, Vector};

use crate::dash::Line;
use crate::drawing::{Ink, Item, Layer, Pen, Shape};
use crate::face::set;
use crate::order::{Construct, Leave};
use crate::page::{Page, Spot};
use crate::quad::Rect;
use crate::traced::Traced;

/// The draft is drawn so far beyond its piece.
const BEYOND: f64 = 8.0;
/// A point of the draft is a dot of this radius.
const DOT: f64 = 0.6;
const SIZE: f64 = 11.0;

/// Draws the draft under a piece that lies shifted by `by`, as far as it shows in the window.
pub(crate) fn draw(page: &mut Page, piece: &Traced<'_>, by: Vector, window: &Rect) {
    if piece.leaves_out(Leave::Construction) {
        return;
    }
    let near = piece.bounds.grown(BEYOND).shifted(by);
    let seen = Rect {
        x0: near.x0.max(window.x0),
        y0: near.y0.max(window.y0),
        x1: near.x1.min(window.x1),
        y1: near.y1.min(window.y1),
    };
    let mut put = |ink: Ink| {
        page.drawing.items.push(Item {
            layer: Layer::Construction,
            clip: None,
            ink,
        });
    };
    for c in &piece.given.construction {
        match c {
            Construct::Line(curve) => {
                let chain: Vec<Point> = curve
                    .flatten(Length::mm(0.05))
                    .iter()
                    .map(|p| *p + by)
                    .collect();
                for part in inside(&chain, &seen) {
                    let pen = Pen::solid(Line::Fine.width());
                    put(Ink::Stroke(Shape::line(&part), pen));
                }
            }
            Construct::Point(_, at) => {
                if seen.holds(*at + by) {
                    put(Ink::Fill(Shape::circle(*at + by, DOT)));
                }
            }
        }
    }
    for c in &piece.given.construction {
        let Construct::Point(name, at) = c else {
            continue;
        };
        let at = *at + by;
        if !seen.holds(at) {
            continue;
        }
        let letters = set(name, SIZE, false);
        let spots = [
            (1.6, -1.4, 0.0),
            (-1.6, -1.4, 1.0),
            (1.6, 4.2, 0.0),
            (-1.6, 4.2, 1.0),
            (2.6, -4.5, 0.0),
            (-2.6, -4.5, 1.0),
            (2.6, 8.0, 0.0),
            (-2.6, 8.0, 1.0),
        ]
        .map(|(x, y, part)| Spot::level(at + Vector::new(x, y), part));
        page.place(Layer::Construction, &letters, spots, 0.5, |q| {
            window.holds_all(&q.bounds)
        });
    }
}

/// The parts of a chain inside a box.
fn inside(chain: &[Point], r: &Rect) -> Vec<Vec<Point>> {
    let mut out: Vec<Vec<Point>> = Vec::new();
    for w in chain.windows(2) {
        let Some((a, b)) = r.clipped(w[0], w[1]) else {
            continue;
        };
        match out.last_mut() {
            Some(last) if last.last().is_some_and(|l| (*l - a).size() < 1e-6) => last.push(b),
            _ => out.push(vec![a, b]),
        }
    }
    out
}
