//! A lay to cut by: the cloth in small with every piece on it, and the list of what to cut in order.

use measure::Point;

use crate::dash::Line;
use crate::drawing::{Drawing, Layer, Pen, Shape};
use crate::order::{Paper, SheetFault};
use crate::page::Page;
use crate::pdf::{self, About};
use crate::svg::{self, Group};
use crate::words::Words;

mod full;
mod lay;
mod letters;
mod list;
mod scraps;
mod small;
mod told;

pub use full::{cloth_full_pdf, cloth_plt};
pub use lay::{ClothFold, ClothLay, ClothLayers, ClothPiece, ClothScrap};
use small::Small;

/// The scales that are tried: twelve inches are one, then smaller.
const SCALES: [f64; 10] = [12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 200.0];
/// White at the edge of the sheet.
const EDGE: f64 = 12.0;
/// The base lines of the title and of what is under it, and the rule below.
const HEAD: [f64; 3] = [21.0, 29.0, 34.0];
/// Where the cloth may begin.
const TOP: f64 = 42.0;
/// What stands at the right: what to buy.
const BESIDE: f64 = 48.0;
/// The rule under the cloth, with its figures.
const RULE: f64 = 12.0;
/// Room for sentences at the foot, at the least.
const FOOT: f64 = 16.0;
const LEAD: f64 = 5.4;
const TEXT: f64 = 11.0;

/// The pages of a lay: the cloth in small, then the list.
pub(crate) fn pages(lay: &ClothLay, paper: Paper, words: &Words) -> Vec<Page> {
    let (w, h) = paper.size();
    // The long side lies level.
    let (w, h) = (h.in_mm(), w.in_mm());
    if lay.pieces.is_empty() {
        // Nothing is cut from the cloth itself: its scraps, and what there is to say.
        let Some((mut page, low)) = scraps::page(lay, words, (w, h)) else {
            return Vec::new();
        };
        let mut all = vec![words.lay_in_order.to_owned()];
        all.extend(told::turned(lay, words));
        all.extend(lay.remarks.iter().cloned());
        let rest = told::sentences(&mut page, all, (low + LEAD, 0.0));
        let mut out = vec![page];
        if !rest.is_empty() {
            out.extend(list::pages(lay, words, (w, h), &rest));
        }
        return out;
    }
    let (low, high) = lay.reach();
    let room = (w - 2.0 * EDGE - BESIDE, h - TOP - RULE - FOOT - EDGE);
    let scale = SCALES
        .into_iter()
        .find(|s| lay.end() / s <= room.0 && (high - low) / s <= room.1)
        .unwrap_or_else(|| (lay.end() / room.0).max((high - low) / room.1));
    let small = Small {
        scale,
        origin: Point::new(EDGE + 1.0, TOP + high / scale),
    };
    let mut page = Page::new(w, h);
    told::head(&mut page, lay, words, Some(scale));
    small::cloth(&mut page, lay, &small);
    small::rule(&mut page, lay, words, &small, low);
    let drawn: Vec<Vec<Point>> = lay
        .pieces
        .iter()
        .map(|p| p.outline.iter().map(|q| small.at(*q)).collect())
        .collect();
    for ring in &drawn {
        page.stroke(Layer::Cutting, Shape::closed(ring), Pen::solid(0.7), false);
    }
    for line in lay.pieces.iter().flat_map(|p| &p.joins) {
        let [a, b] = line.map(|p| small.at(p));
        page.line(Layer::Stitching, a, b, Line::Stitching);
    }
    for (i, p) in lay.pieces.iter().enumerate() {
        small::grain(&mut page, lay, p, &small);
        small::pin_lines(&mut page, lay, i, &small, &drawn);
    }
    let beside = told::beside(&mut page, lay, words, w);
    letters::names(&mut page, lay, words, &small, &drawn);
    let lacking = letters::figures(&mut page, lay, words, &small, &drawn);
    letters::signs(&mut page, lay, words, &small);
    let foot = small.at([0.0, low]).y + RULE + LEAD;
    let rest = told::remarks(&mut page, lay, words, !lacking.is_empty(), (foot, beside));
    let mut out = vec![page];
    out.extend(list::pages(lay, words, (w, h), &rest));
    out.extend(scraps::page(lay, words, (w, h)).map(|p| p.0));
    out
}

fn title(lay: &ClothLay, words: &Words) -> String {
    format!("{}: {}", words.lay_title, lay.title)
}

/// The lay to cut by: the cloth in small on one page, then the pieces in the order of cutting.
///
/// # Errors
/// When there is nothing to draw, or it is no place on any cloth.
pub fn cloth_pdf(lay: &ClothLay, paper: Paper) -> Result<Vec<u8>, SheetFault> {
    lay.sound()?;
    let drawings: Vec<Drawing> = pages(lay, paper, lay.words)
        .into_iter()
        .map(|p| p.drawing)
        .collect();
    pdf::write(
        &drawings,
        &About {
            title: &title(lay, lay.words),
            words: lay.words,
            off: None,
            packed: true,
        },
    )
}

/// The same drawing of the cloth, as a picture of lines.
///
/// # Errors
/// As [`cloth_pdf`].
pub fn cloth_svg(lay: &ClothLay) -> Result<String, SheetFault> {
    lay.sound()?;
    let mut pages = pages(lay, Paper::A4, lay.words);
    let page = pages.swap_remove(0);
    let size = (page.drawing.width, page.drawing.height);
    let group = Group {
        id: "lay".into(),
        title: lay.words.lay_title.into(),
        items: page.drawing.items,
    };
    Ok(svg::write(
        size,
        &[group],
        (&title(lay, lay.words), lay.words),
        None,
    ))
}

/// What of a lay's sheets lies over a line, over other letters or beyond the edge; for tests.
#[doc(hidden)]
pub fn cloth_touching(lay: &ClothLay, words: &Words) -> Vec<String> {
    let all = pages(lay, Paper::A4, words);
    all.iter().flat_map(Page::touching).collect()
}

/// Whether any letter of its texts is missing in the font; for tests.
#[doc(hidden)]
pub fn cloth_lacks(lay: &ClothLay) -> bool {
    lay.texts().any(crate::face::lacks)
}

#[cfg(test)]
mod tests;
