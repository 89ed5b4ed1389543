//! What is cut from scraps, each drawn with its pieces.

use measure::{Length, Point};

use super::{ClothLay, EDGE, HEAD, LEAD, Small, TEXT, grain, head, outside, round_about};
use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::set;
use crate::number::real;
use crate::page::{Page, Spot};
use crate::quad::rings;
use crate::words::{Words, capital, fill};

/// Between two scraps on the sheet.
const APART: f64 = 12.0;

/// The page of the scraps; none where nothing is cut from any.
pub(super) fn page(lay: &ClothLay, words: &Words, (w, h): (f64, f64)) -> Option<Page> {
    if lay.scraps.is_empty() {
        return None;
    }
    let mut page = Page::new(w, h);
    head(&mut page, lay, words, None);
    let top = HEAD[2] + 12.0;
    page.text(
        Layer::Text,
        Point::new(EDGE, top),
        words.lay_scraps,
        14.0,
        true,
    );
    // As large as they all go, row by row.
    let scale = (4..200)
        .map(f64::from)
        .find(|s| rows(lay, *s, w).is_some_and(|tall| top + 4.0 + tall <= h - EDGE))
        .unwrap_or(200.0);
    let (mut x, mut y, mut row) = (EDGE, top + 4.0, 0.0_f64);
    let mut number = lay.pieces.len();
    for scrap in &lay.scraps {
        let (long, wide) = (scrap.long.in_mm() / scale, scrap.wide.in_mm() / scale);
        let said = fill(
            words.lay_scrap,
            &[
                ("number", &scrap.number.to_string()),
                ("wide", &words.locale.length(scrap.wide, lay.shown)),
                ("long", &words.locale.length(scrap.long, lay.shown)),
            ],
        );
        let letters = set(&said, TEXT, false);
        let room = long.max(letters.width);
        if x > EDGE && x + room > w - EDGE {
            (x, y, row) = (EDGE, y + row, 0.0);
        }
        row = row.max(wide + 2.0 * LEAD + APART);
        page.letters(
            Layer::Text,
            &letters,
            Spot::level(Point::new(x, y + LEAD), 0.0),
        );
        let small = Small {
            scale,
            origin: Point::new(x, y + LEAD + 3.0 + wide),
        };
        let frame = small.rect([0.0, 0.0, scrap.long.in_mm(), scrap.wide.in_mm()]);
        page.frame(Layer::Sheet, frame, Line::Bracket, false);
        let drawn: Vec<Vec<Point>> = scrap
            .pieces
            .iter()
            .map(|p| p.outline.iter().map(|q| small.at(*q)).collect())
            .collect();
        for (ring, p) in drawn.iter().zip(&scrap.pieces) {
            page.stroke(Layer::Cutting, Shape::closed(ring), Pen::solid(0.7), false);
            grain(&mut page, lay, p, &small);
        }
        for (ring, p) in drawn.iter().zip(&scrap.pieces) {
            number += 1;
            let middle = small.at(p.grain[0]).toward(small.at(p.grain[1]), 0.5);
            let name = set(&format!("{number} {}", capital(&p.name)), TEXT, true);
            let only = set(&number.to_string(), TEXT, true);
            let placed = [name, only].iter().any(|letters| {
                let spots = round_about(ring, middle)
                    .into_iter()
                    .map(|at| Spot::level(at, 0.5))
                    .collect::<Vec<_>>();
                page.place(Layer::Text, letters, spots, 0.6, |q| {
                    q.bounds.corners().iter().all(|c| rings(ring, *c))
                })
            });
            if !placed {
                outside(&mut page, number, middle);
            }
        }
        x += room + APART;
    }
    Some(page)
}

/// How tall the rows are at a scale; none where a scrap is longer than the sheet.
fn rows(lay: &ClothLay, scale: f64, w: f64) -> Option<f64> {
    let (mut x, mut tall, mut row) = (EDGE, 0.0_f64, 0.0_f64);
    for scrap in &lay.scraps {
        let size = |l: Length| l.in_mm() / scale;
        // What is said of a scrap is about so long.
        let room = size(scrap.long).max(real(LETTERS) * 2.2);
        if EDGE + size(scrap.long) > w - EDGE {
            return None;
        }
        if x > EDGE && x + room > w - EDGE {
            (x, tall, row) = (EDGE, tall + row, 0.0);
        }
        row = row.max(size(scrap.wide) + 2.0 * LEAD + APART);
        x += room + APART;
    }
    Some(tall + row)
}

const LETTERS: usize = 40;
