//! What is cut from scraps, each drawn with its pieces.

use measure::{Length, Point};

use super::lay::{ClothFold, ClothLay, ClothScrap};
use super::letters::{figures, outside, round_about};
use super::small::{Small, grain, pin_lines};
use super::told::head;
use super::{EDGE, HEAD, LEAD, TEXT};
use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Lettering, Span, paragraph, set};
use crate::number::real;
use crate::page::{Page, Spot};
use crate::quad::rings;
use crate::words::{Words, capital, fill};

/// Between two scraps on the sheet.
const APART: f64 = 12.0;

/// The page of the scraps, and how far down they go; none where nothing is cut from any.
pub(super) fn page(lay: &ClothLay, words: &Words, (w, h): (f64, f64)) -> Option<(Page, f64)> {
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
    if lay.pieces.is_empty() {
        let letters = set(words.lay_nothing, 14.0, true);
        page.letters(
            Layer::Text,
            &letters,
            Spot::level(Point::new(w - EDGE, top), 1.0),
        );
    }
    let mut next = lay.pieces.len();
    let said: Vec<Lettering> = lay
        .scraps
        .iter()
        .map(|scrap| {
            // What is cut face down looks like any other.
            let mut turned: Vec<String> = Vec::new();
            for p in &scrap.pieces {
                next += 1;
                if p.face_down {
                    turned.push(next.to_string());
                }
            }
            let mut said = fill(
                words.lay_scrap,
                &[
                    ("number", &scrap.number.to_string()),
                    ("wide", &words.locale.length(scrap.wide, lay.shown)),
                    ("long", &words.locale.length(scrap.long, lay.shown)),
                ],
            );
            if !turned.is_empty() {
                said = format!("{said}; {}: {}", turned.join(", "), words.lay_face_down);
            }
            set(&said, TEXT, false)
        })
        .collect();
    let from_edge = paragraph(&[Span::plain(words.lay_scrap_pins)], TEXT, w - 2.0 * EDGE);
    let foot = h - EDGE - LEAD * (real(from_edge.len()) - 1.0);
    // As large as they all go, row by row.
    let scale = (4..200)
        .map(f64::from)
        .find(|s| {
            let rows = Rows::of(&lay.scraps, &said, *s, w);
            rows.wide_enough && top + 4.0 + rows.tall <= foot
        })
        .unwrap_or(200.0);
    let Rows { places, tall, .. } = Rows::of(&lay.scraps, &said, scale, w);
    let mut number = lay.pieces.len();
    for ((scrap, letters), [x, y]) in lay.scraps.iter().zip(&said).zip(places) {
        let y = top + 4.0 + y;
        let wide = scrap.wide.in_mm() / scale;
        page.letters(
            Layer::Text,
            letters,
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
        for ring in &drawn {
            page.stroke(Layer::Cutting, Shape::closed(ring), Pen::solid(0.7), false);
        }
        let cloth = alone(lay, scrap);
        for (i, p) in scrap.pieces.iter().enumerate() {
            grain(&mut page, &cloth, p, &small);
            pin_lines(&mut page, &cloth, i, &small, &drawn);
        }
        for (ring, p) in drawn.iter().zip(&scrap.pieces) {
            number += 1;
            let middle = small.at(p.grain[0]).toward(small.at(p.grain[1]), 0.5);
            let name = set(&format!("{number} {}", capital(&p.name)), TEXT, true);
            let only = set(&number.to_string(), TEXT, true);
            let placed = [&name, &only].into_iter().any(|letters| {
                let spots = round_about(ring, middle)
                    .into_iter()
                    .map(|at| Spot::level(at, 0.5))
                    .collect::<Vec<_>>();
                page.place(Layer::Text, letters, spots, 0.6, |q| {
                    q.bounds.corners().iter().all(|c| rings(ring, *c))
                })
            });
            if !placed {
                outside(&mut page, &only, middle);
            }
        }
        // There is no list to look it up in: what has no room at its arrow stands beside it.
        for i in figures(&mut page, &cloth, words, &small, &drawn) {
            let (far, end, _) = cloth.pins(i)[0];
            let figure = words.locale.bare(Length::mm(far), lay.shown);
            outside(&mut page, &set(&figure, TEXT, false), small.at(end));
        }
    }
    let low = page.lines(
        Layer::Text,
        Point::new(EDGE, top + 4.0 + tall),
        &from_edge,
        LEAD,
    );
    Some((page, low - LEAD))
}

/// A scrap as a cloth of its own, flat and without selvedges, so that its pieces are measured from its
/// edges as those of a cloth are.
fn alone(lay: &ClothLay, scrap: &ClothScrap) -> ClothLay {
    ClothLay {
        width: scrap.wide,
        sold_wide: None,
        selvedge: Length::ZERO,
        fold: ClothFold::Flat,
        turned_in: None,
        flat_from: None,
        length: scrap.long,
        flaws: Vec::new(),
        pieces: scrap.pieces.clone(),
        scraps: Vec::new(),
        ..lay.clone()
    }
}

/// Scraps row by row.
struct Rows {
    /// The left of each, and how far its row begins under the first.
    places: Vec<[f64; 2]>,
    /// How far down all of them come.
    tall: f64,
    /// No scrap is longer than the sheet is wide.
    wide_enough: bool,
}

impl Rows {
    /// The rows at a scale, on a sheet so wide; over each scrap stand its words.
    fn of(scraps: &[ClothScrap], said: &[Lettering], scale: f64, w: f64) -> Self {
        let mut places = Vec::with_capacity(scraps.len());
        let mut wide_enough = true;
        let (mut x, mut tall, mut row) = (EDGE, 0.0_f64, 0.0_f64);
        for (scrap, letters) in scraps.iter().zip(said) {
            let long = scrap.long.in_mm() / scale;
            let room = long.max(letters.width);
            wide_enough &= EDGE + long <= w - EDGE;
            if x > EDGE && x + room > w - EDGE {
                (x, tall, row) = (EDGE, tall + row, 0.0);
            }
            places.push([x, tall]);
            row = row.max(scrap.wide.in_mm() / scale + 2.0 * LEAD + APART);
            x += room + APART;
        }
        Self {
            places,
            tall: tall + row,
            wide_enough,
        }
    }
}
