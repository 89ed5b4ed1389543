//! The letters on the cloth: names, figures and signs, each where it is clear.

use measure::{Length, Point, Vector};

use super::lay::{ClothFold, ClothLay, arrow};
use super::small::{Small, shown_pins};
use super::{EDGE, LEAD, TEXT};
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Lettering, set};
use crate::number::{count, real};
use crate::page::{Page, Spot};
use crate::quad::{Quad, Rect, rings};
use crate::words::Words;

/// Name and how it lies, on the piece, where it is clear.
pub(super) fn names(
    page: &mut Page,
    lay: &ClothLay,
    words: &Words,
    small: &Small,
    drawn: &[Vec<Point>],
) {
    for (i, ring) in drawn.iter().enumerate() {
        let arrow = arrow(lay.pieces[i].grain).map(|p| small.at(p));
        let middle = arrow[0].toward(arrow[1], 0.5);
        let inside = |q: &Quad| {
            rings(ring, Rect::around(&q.bounds.corners()).centre())
                && rings(ring, q.bounds.corners()[0])
        };
        let (name, note) = (lay.named(i), lay.note(i, words));
        let bold = |text: &str, size: f64| set(text, size, true);
        let under = |parts: &[&str]| -> Vec<Lettering> {
            let said = parts.iter().filter(|p| !p.is_empty());
            said.map(|p| set(p, TEXT, false)).collect()
        };
        let apart: Vec<&str> = note.split(", ").collect();
        let number = (i + 1).to_string();
        let with = |first: Lettering, rest: Vec<Lettering>| -> Vec<Lettering> {
            core::iter::once(first).chain(rest).collect()
        };
        // How it lies matters more than a large name.
        let tries = [
            with(bold(&name, 14.0), under(&[&note])),
            with(bold(&name, 14.0), under(&apart)),
            with(bold(&name, TEXT), under(&[&note])),
            with(bold(&name, TEXT), under(&apart)),
            with(bold(&number, TEXT), under(&apart)),
            vec![bold(&name, TEXT)],
            vec![bold(&number, TEXT)],
        ];
        let spots = round_about(ring, middle);
        let done = tries.iter().any(|lines| {
            spots.iter().any(|at| {
                let quads: Vec<Quad> = lines
                    .iter()
                    .enumerate()
                    .map(|(k, l)| {
                        let p = Point::new(at.x, at.y + real(k) * LEAD);
                        l.quad(l.start(p, measure::Angle::ZERO, 0.5), measure::Angle::ZERO)
                    })
                    .collect();
                let fits = quads.iter().all(|q| page.clear(q, 0.9) && inside(q));
                if fits {
                    for (k, l) in lines.iter().enumerate() {
                        page.letters(
                            Layer::Text,
                            l,
                            Spot::level(Point::new(at.x, at.y + real(k) * LEAD), 0.5),
                        );
                    }
                }
                fits
            })
        });
        if !done {
            outside(page, &bold(&number, TEXT), middle);
        }
    }
}

/// Places inside a ring's box, the nearest to a point first.
pub(super) fn round_about(ring: &[Point], near: Point) -> Vec<Point> {
    let b = Rect::around(ring);
    let step = (b.width().max(b.height()) / 40.0).max(1.0);
    let (columns, rows) = (count(b.width() / step), count(b.height() / step));
    let mut out = Vec::new();
    for i in 0..=columns {
        for j in 0..=rows {
            let p = Point::new(b.x0 + real(i) * step, b.y0 + real(j) * step);
            if rings(ring, p) {
                out.push(p);
            }
        }
    }
    let far = |p: &Point| {
        // Beside the arrow, just above it, is best.
        let v = *p - (near - Vector::new(0.0, 6.0));
        v.dot(v)
    };
    out.sort_by(|a, b| far(a).total_cmp(&far(b)));
    out
}

/// A number that has no room on its piece, beside it, with a thin line to where it belongs.
pub(super) fn outside(page: &mut Page, letters: &Lettering, middle: Point) {
    let half = Vector::new(letters.width / 2.0 + 0.8, 2.6);
    for far in [6.0, 9.0, 12.0, 16.0, 20.0, 26.0, 34.0_f64] {
        for turn in 0..16 {
            let way = Vector::new(1.0, 0.0).turned(measure::Angle::degrees(22.5 * f64::from(turn)));
            let at = middle + way * far;
            let spot = Spot::level(Point::new(at.x, at.y + 1.4), 0.5);
            let quad = letters.quad(letters.start(spot.at, spot.turn, 0.5), spot.turn);
            // The line ends at the box of the letters.
            let reach = (half.x / way.x.abs().max(1e-9)).min(half.y / way.y.abs().max(1e-9));
            let from = middle + way * (far - reach);
            if far > reach && page.clear(&quad, 0.6) && page.misses_letters(from, middle, 0.3) {
                page.letters(Layer::Text, letters, spot);
                page.stroke(
                    Layer::Text,
                    Shape::line(&[from, middle]),
                    Pen::solid(0.18),
                    false,
                );
                return;
            }
        }
    }
}

/// The figures at the ends of the grain arrows, on the piece; tells which pieces have room for none.
pub(super) fn figures(
    page: &mut Page,
    lay: &ClothLay,
    words: &Words,
    small: &Small,
    drawn: &[Vec<Point>],
) -> Vec<usize> {
    let mut lacking = Vec::new();
    for (i, ring) in drawn.iter().enumerate() {
        // Both ends of an arrow have the same figure.
        let mut said = false;
        for (far, end, to) in shown_pins(lay, i, small) {
            let letters = set(&words.locale.bare(Length::mm(far), lay.shown), TEXT, false);
            let (a, b) = (small.at(end), small.at(to));
            let way = (b - a).unit().unwrap_or(Vector::DOWN);
            let long = (b - a).size();
            let level = way.x.abs() > way.y.abs();
            let half = letters.width / 2.0;
            let mut spots = Vec::new();
            for k in 0..=8 {
                let along = a + way * (2.0 * f64::from(k)).min(long);
                let aside = if level {
                    [Vector::new(0.0, -1.6), Vector::new(0.0, 4.6)]
                } else {
                    [Vector::new(half + 1.4, 1.4), Vector::new(-half - 1.4, 1.4)]
                };
                spots.extend(aside.map(|v| Spot::level(along + v, 0.5)));
            }
            let inside = |q: &Quad| q.bounds.corners().iter().all(|c| rings(ring, *c));
            said |= page.place(Layer::Text, &letters, spots, 0.6, inside);
        }
        if !said {
            lacking.push(i);
        }
    }
    lacking
}

/// Fold, where it is opened out, where the lay ends.
pub(super) fn signs(page: &mut Page, lay: &ClothLay, words: &Words, small: &Small) {
    let s = lay.selvedge.in_mm();
    let from = lay.flat_from.map(Length::in_mm);
    if lay.fold == ClothFold::Folded {
        let letters = set(words.lay_fold, TEXT, false);
        let spots = (0..60).map(|k| {
            let at = small.at([0.0, 0.0]);
            Spot::level(Point::new(at.x + 2.0 + 4.0 * f64::from(k), at.y - 1.4), 0.0)
        });
        let spots: Vec<Spot> = spots.collect();
        page.place(Layer::Text, &letters, spots, 0.5, |_| true);
    }
    if let Some(deep) = lay.turned_in.map(Length::in_mm) {
        let letters = set(words.lay_edge, TEXT, false);
        let until = small.at([from.unwrap_or(lay.length.in_mm()), 0.0]).x - letters.width;
        let spots: Vec<Spot> = (0..60)
            .map(|k| {
                let at = small.at([0.0, deep + s]);
                Spot::level(Point::new(at.x + 2.0 + 4.0 * f64::from(k), at.y - 1.4), 0.0)
            })
            .filter(|s| s.at.x < until)
            .collect();
        page.place(Layer::Text, &letters, spots, 0.5, |_| true);
    }
    let mut over = |text: &str, x: f64, high: f64| {
        let letters = set(text, TEXT, false);
        let at = small.at([x, high + s]);
        let spots = [1.0, 0.5, 0.0].map(|part| Spot::level(Point::new(at.x, at.y - 2.2), part));
        page.place(Layer::Text, &letters, spots, 0.5, |q| {
            q.bounds.x0 > EDGE - 1.0
        });
    };
    let high = if from.is_some() {
        lay.usable()
    } else {
        lay.lies()
    };
    if lay.end() - lay.length.in_mm() > 1.0 {
        over(words.lay_ends, lay.length.in_mm(), high);
    }
    if let Some(from) = from {
        over(words.lay_flat_from, from, high);
    }
    for f in &lay.flaws {
        let r = small.rect(*f);
        let letters = set(words.lay_flaw, TEXT, false);
        let spots = [
            Spot::level(Point::new(r.x1 + 1.0, r.y1), 0.0),
            Spot::level(Point::new(r.x0 - 1.0, r.y1), 1.0),
            Spot::level(Point::new(r.centre().x, r.y1 + 4.4), 0.5),
            Spot::level(Point::new(r.centre().x, r.y0 - 1.6), 0.5),
        ];
        page.place(Layer::Text, &letters, spots, 0.5, |_| true);
    }
}
