//! The map of the sheets: which are printed, and which bit of which piece is on each.

use measure::{Point, Vector};

use super::{Covered, thinned};
use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Face, Lettering, set};
use crate::flow::SMALL;
use crate::grid::row_name;
use crate::number::real;
use crate::page::{Page, Spot};
use crate::quad::Rect;
use crate::words::{capital, fill};

/// The map of the sheets: one small grid for each piece, to one scale.
pub(super) struct Map {
    /// Millimetres of the piece to one on the map.
    scale: f64,
    /// How wide a name may be; nothing when only numbers stand over the grids.
    names: f64,
    /// The upper left corner of each grid's first cell, and which grid it is.
    places: Vec<(usize, Point)>,
    /// The first grid that found no room.
    pub(super) last: usize,
}

/// Room for the letters of rows, and for the name and the numbers of columns.
const ROW_LETTER: f64 = 7.5;
const HEADS: f64 = 10.0;

/// How wide the names over the grids may be, in turn: at last the pieces are called by their numbers,
/// which the list of pieces gives.
const NAMES: [f64; 4] = [44.0, 34.0, 24.0, 0.0];

impl Map {
    /// The largest scale at which the grids from `first` on fit into an area; if no scale at which
    /// their letters can be read does, as many as fit.
    pub(super) fn fit(c: &Covered<'_>, area: &Rect, first: usize) -> Option<Self> {
        // Numbers of columns and letters of rows must stand clear of each other.
        let many = c.grids.iter().any(|(g, _)| g.columns > 9);
        let least = (c.frame.step.0 / if many { 5.6 } else { 3.4 }).min(c.frame.step.1 / 4.6);
        let mut part = None;
        for names in NAMES {
            let mut scale = if first == 0 { 12.0 } else { 18.0 };
            loop {
                let (places, last) = Self::flow(c, area, first, scale, names);
                let map = Self {
                    scale,
                    names,
                    places,
                    last,
                };
                if last == c.grids.len() {
                    return Some(map);
                }
                if scale >= least {
                    if part.is_none() && last > first {
                        part = Some(map);
                    }
                    break;
                }
                scale = (scale * 1.03).min(least);
            }
        }
        part
    }

    fn flow(
        c: &Covered<'_>,
        area: &Rect,
        first: usize,
        scale: f64,
        names: f64,
    ) -> (Vec<(usize, Point)>, usize) {
        let mut places = Vec::new();
        let (mut x, mut y, mut row) = (area.x0, area.y0, 0.0_f64);
        for (i, (grid, _)) in c.grids.iter().enumerate().skip(first) {
            let (cw, ch) = (grid.frame.step.0 / scale, grid.frame.step.1 / scale);
            let own = ROW_LETTER + real(grid.columns) * cw;
            let name = name(c, i, names.max(own)).width;
            let width = own.max(name + 1.0);
            let height = HEADS + real(grid.rows) * ch;
            if x > area.x0 && x + width > area.x1 {
                (x, y) = (area.x0, y + row + 3.0);
                row = 0.0;
            }
            if x + width > area.x1 || y + height > area.y1 {
                return (places, i);
            }
            places.push((i, Point::new(x + ROW_LETTER, y + HEADS)));
            x += width + 3.5;
            row = row.max(height);
        }
        (places, c.grids.len())
    }

    pub(super) fn draw(&self, page: &mut Page, c: &Covered<'_>) {
        for (i, at) in &self.places {
            let (grid, first_row) = c.grids[*i];
            let piece = &c.pieces[*i];
            let (cw, ch) = (
                grid.frame.step.0 / self.scale,
                grid.frame.step.1 / self.scale,
            );
            let own = ROW_LETTER + real(grid.columns) * cw;
            let name = name(c, *i, self.names.max(own));
            page.letters(
                Layer::Plain,
                &name,
                Spot::level(*at + Vector::new(-ROW_LETTER, -6.6), 0.0),
            );
            for r in 0..grid.rows {
                let p = *at + Vector::new(-1.4, (real(r) + 0.5) * ch + 1.4);
                page.text_at(
                    Layer::Plain,
                    p,
                    &row_name(first_row + r),
                    (SMALL, Face::Regular),
                    1.0,
                );
            }
            for k in 0..grid.columns {
                let p = *at + Vector::new((real(k) + 0.5) * cw, -1.7);
                page.text_at(
                    Layer::Plain,
                    p,
                    &(k + 1).to_string(),
                    (SMALL, Face::Regular),
                    0.5,
                );
            }
            for r in 0..grid.rows {
                for k in 0..grid.columns {
                    let p = *at + Vector::new(real(k) * cw, real(r) * ch);
                    if grid.has((r, k)) {
                        page.frame(Layer::Plain, Rect::new(p.x, p.y, cw, ch), Line::Fine, false);
                    } else {
                        let m = p + Vector::new(cw / 2.0, ch / 2.0);
                        let a = (cw.min(ch) * 0.25).min(2.0);
                        for v in [Vector::new(a, a), Vector::new(a, -a)] {
                            page.line(Layer::Plain, m - v, m + v, Line::Fine);
                        }
                    }
                }
            }
            // A sheet shows half a lap more than its cell on each side.
            let from = grid.origin + Vector::new(grid.frame.lap / 2.0, grid.frame.lap / 2.0);
            let ring: Vec<Point> = thinned(&piece.cut_ring, self.scale)
                .iter()
                .map(|p| *at + (*p - from) * (1.0 / self.scale))
                .collect();
            let width = if self.scale > 36.0 { 0.5 } else { 0.7 };
            page.stroke(Layer::Plain, Shape::closed(&ring), Pen::solid(width), false);
        }
    }
}

/// What stands over a grid: number and name of the piece, or its number alone where that is too wide.
fn name(c: &Covered<'_>, i: usize, width: f64) -> Lettering {
    let number = (i + 1).to_string();
    let piece = capital(&c.pieces[i].given.piece.name);
    let whole = fill(c.words.map_name, &[("n", &number), ("piece", &piece)]);
    let whole = set(&whole, SMALL, true);
    if whole.width <= width {
        whole
    } else {
        set(&number, SMALL, true)
    }
}
