//! The pieces in small, with what to cut and the long check under each.

use measure::{Point, Vector};

use super::{Covered, thinned};
use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Span, paragraph, set, shortened};
use crate::flow::{Column, LEAD, SMALL};
use crate::number::real;
use crate::page::{Page, Spot};
use crate::traced::Traced;
use crate::words::{capital, fill};

/// The pieces in small, side by side in rows, with what to cut and the long check under each.
pub(super) struct Small {
    scale: f64,
    /// Without what to cut, which every label says.
    brief: bool,
    /// Upper left corner of each outline, and the base line under it, from the block's corner.
    places: Vec<(Point, f64)>,
    pub(super) height: f64,
}

const UNDER_HEAD: f64 = 9.0;
/// From line to line under a piece.
const STEP: f64 = 5.6;

impl Small {
    /// At 1:20, or smaller until it fits; with fewer words before it gets very small.
    pub(super) fn fit(c: &Covered<'_>, width: f64, height: f64) -> Self {
        const SCALES: [(f64, bool); 10] = [
            (20.0, false),
            (24.0, false),
            (28.0, false),
            (20.0, true),
            (24.0, true),
            (28.0, true),
            (32.0, true),
            (40.0, true),
            (50.0, true),
            (64.0, true),
        ];
        SCALES
            .iter()
            .map(|(s, brief)| Self::at(c, width, *s, *brief))
            .find(|t| t.height <= height && Self::widest(c, t.scale) <= width)
            .unwrap_or_else(|| Self::at(c, width, 64.0, true))
    }

    fn widest(c: &Covered<'_>, scale: f64) -> f64 {
        c.pieces
            .iter()
            .map(|p| p.bounds.width() / scale)
            .fold(0.0, f64::max)
    }

    fn at(c: &Covered<'_>, width: f64, scale: f64, brief: bool) -> Self {
        let mut places = Vec::new();
        let (mut x, mut y) = (0.0, UNDER_HEAD);
        let mut row: Vec<usize> = Vec::new();
        let mut tall = 0.0_f64;
        let mut text = 0.0_f64;
        let mut cells: Vec<(Point, f64)> = vec![(Point::default(), 0.0); c.pieces.len()];
        let close = |row: &mut Vec<usize>,
                     y: &mut f64,
                     tall: &mut f64,
                     text: &mut f64,
                     cells: &mut Vec<(Point, f64)>| {
            for i in row.drain(..) {
                cells[i].0.y = *y;
                cells[i].1 = *y + *tall + 6.5;
            }
            *y += *tall + 6.5 + *text + 5.0;
            (*tall, *text) = (0.0, 0.0);
        };
        for (i, p) in c.pieces.iter().enumerate() {
            let (w, h) = (p.bounds.width() / scale, p.bounds.height() / scale);
            let cell = w.max(texts(c, p, brief).1).min(width);
            if x > 0.0 && x + cell > width {
                close(&mut row, &mut y, &mut tall, &mut text, &mut cells);
                x = 0.0;
            }
            cells[i].0.x = x;
            row.push(i);
            x += cell + 5.0;
            tall = tall.max(h);
            text = text.max(real(texts(c, p, brief).0.len() - 1) * STEP);
        }
        close(&mut row, &mut y, &mut tall, &mut text, &mut cells);
        places.append(&mut cells);
        Self {
            scale,
            brief,
            places,
            height: y,
        }
    }

    pub(super) fn draw(&self, page: &mut Page, c: &Covered<'_>, column: Column) {
        page.text(
            Layer::Plain,
            Point::new(column.x, column.y),
            c.words.pieces,
            SMALL,
            true,
        );
        page.line(
            Layer::Plain,
            Point::new(column.x, column.y + 1.8),
            Point::new(column.x + column.width, column.y + 1.8),
            Line::Fine,
        );
        let corner = Point::new(column.x, column.y) - Point::default();
        let small = |piece: &Traced<'_>, at: Point, p: Point| {
            let b = piece.bounds;
            at + corner + (p - Point::new(b.x0, b.y0)) * (1.0 / self.scale)
        };
        for (piece, (at, base)) in c.pieces.iter().zip(&self.places) {
            let ring: Vec<Point> = thinned(&piece.cut_ring, self.scale)
                .iter()
                .map(|p| small(piece, *at, *p))
                .collect();
            page.stroke(Layer::Plain, Shape::closed(&ring), Pen::solid(0.5), false);
            let mut y = column.y + base;
            for (k, spans) in texts(c, piece, self.brief).0.iter().enumerate() {
                let size = if k == 0 { 14.0 } else { SMALL };
                let lines = paragraph(spans, size, column.width);
                let first = lines.get(..1).unwrap_or_default();
                page.lines(Layer::Plain, Point::new(column.x + at.x, y), first, LEAD);
                y += STEP + if k == 0 { 0.6 } else { 0.0 };
            }
        }
        // The marks come last: their letters take what room is left.
        for (piece, (at, _)) in c.pieces.iter().zip(&self.places) {
            let Some(long) = &piece.long else { continue };
            let (x, y) = (small(piece, *at, long.from), small(piece, *at, long.to));
            page.line(Layer::Plain, x, y, Line::Dots);
            for p in [x, y] {
                page.fill(Layer::Plain, Shape::circle(p, 0.7), false);
            }
            for (name, p) in [(&long.names.0, x), (&long.names.1, y)] {
                let letters = set(name, SMALL, true);
                let spots = [
                    (3.0, -1.0),
                    (-3.0, -1.0),
                    (3.0, 4.0),
                    (-3.0, 4.0),
                    (0.0, -2.6),
                    (0.0, 5.4),
                    (4.0, 1.4),
                    (-4.0, 1.4),
                    (6.0, 1.4),
                    (-6.0, 1.4),
                    (6.0, -3.0),
                    (-6.0, -3.0),
                    (6.0, 6.0),
                    (-6.0, 6.0),
                ]
                .iter()
                .map(|(dx, dy)| Spot::level(p + Vector::new(*dx, *dy), 0.5));
                page.place(Layer::Plain, &letters, spots, 0.5, |_| true);
            }
        }
    }
}

/// What stands under a small piece, and how wide it is.
fn texts(c: &Covered<'_>, p: &Traced<'_>, brief: bool) -> (Vec<Vec<Span>>, f64) {
    let w = c.words;
    let name = shortened(&capital(&p.given.piece.name), 14.0, true, 50.0).text;
    let mut out = vec![vec![Span::bold(format!("{}\u{a0} {name}", p.number.0))]];
    for cut in p.given.piece.cuts.iter().filter(|_| !brief) {
        let template = if cut.on_fold {
            w.on_fold
        } else if cut.pair {
            w.a_pair
        } else {
            w.times
        };
        let how = fill(template, &[("n", &cut.count.to_string())]);
        out.push(vec![Span::plain(format!("{}: {how}", capital(&cut.cloth)))]);
    }
    if let Some(long) = &p.long {
        let names = fill(w.long_check, &[("a", &long.names.0), ("b", &long.names.1)]);
        let unit = c.order.shown.unit.sign();
        out.push(vec![
            Span::bold(names),
            Span::plain(format!("{}\u{a0}{unit}", long.units)),
        ]);
    }
    let wide = out
        .iter()
        .enumerate()
        .map(|(i, spans)| {
            let size = if i == 0 { 14.0 } else { SMALL };
            let lines = paragraph(spans, size, 1e6);
            lines
                .first()
                .and_then(|l| l.last())
                .map_or(0.0, |(x, word)| x + word.width)
        })
        .fold(0.0, f64::max);
    (out, wide)
}
