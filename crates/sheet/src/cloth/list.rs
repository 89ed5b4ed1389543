//! The list of a lay: every piece in the order of cutting, with where it lies.

use measure::{Length, Point};

use super::lay::ClothLay;
use super::told::head;
use super::{EDGE, HEAD, LEAD, TEXT};
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Span, paragraph, set, shortened};
use crate::page::{Page, Spot};
use crate::words::{Words, capital};

/// From row to row.
const ROW: f64 = 6.4;
/// Where the columns begin; the figures end at the last two.
const NAME: f64 = 12.0;
const HOW: f64 = 92.0;
const START: f64 = 205.0;

/// The pages, with what had no room on the first.
pub(super) fn pages(
    lay: &ClothLay,
    words: &Words,
    (w, h): (f64, f64),
    rest: &[String],
) -> Vec<Page> {
    let mut out = Vec::new();
    let mut next = 0;
    let mut said = false;
    while next < lay.pieces.len() || !said {
        let mut page = Page::new(w, h);
        head(&mut page, lay, words, None);
        let mut y = HEAD[2] + 10.0;
        let foot = h - EDGE;
        if next < lay.pieces.len() {
            heads(&mut page, words, y, w);
            y += ROW + 1.6;
            while next < lay.pieces.len() && y < foot {
                row(&mut page, lay, words, next, (y, w));
                y += ROW;
                next += 1;
            }
            y += LEAD;
        }
        if next == lay.pieces.len() && !said {
            let lines: Vec<_> = rest
                .iter()
                .flat_map(|t| paragraph(&[Span::plain(t.clone())], TEXT, w - 2.0 * EDGE))
                .collect();
            #[expect(clippy::cast_precision_loss, reason = "some lines")]
            let tall = lines.len() as f64 * LEAD;
            // A page of their own, if they have no room here; longer than a page they are never.
            if y + tall <= foot + LEAD || y < HEAD[2] + 12.0 {
                page.lines(Layer::Text, Point::new(EDGE, y), &lines, LEAD);
                said = true;
            }
        }
        out.push(page);
    }
    out
}

fn heads(page: &mut Page, words: &Words, y: f64, w: f64) {
    for (x, text) in [(EDGE, words.lay_piece), (HOW, words.lay_how)] {
        page.text(Layer::Text, Point::new(x, y), text, TEXT, true);
    }
    for (x, text) in [
        (START, words.lay_from_start),
        (w - EDGE, words.lay_from_edge),
    ] {
        let letters = set(text, TEXT, true);
        page.letters(Layer::Text, &letters, Spot::level(Point::new(x, y), 1.0));
    }
    let rule = [Point::new(EDGE, y + 1.9), Point::new(w - EDGE, y + 1.9)];
    page.stroke(Layer::Sheet, Shape::line(&rule), Pen::solid(0.25), false);
}

fn row(page: &mut Page, lay: &ClothLay, words: &Words, i: usize, (y, w): (f64, f64)) {
    let p = &lay.pieces[i];
    let number = set(&(i + 1).to_string(), TEXT, true);
    page.letters(
        Layer::Text,
        &number,
        Spot::level(Point::new(EDGE + 5.0, y), 1.0),
    );
    let mut name = capital(&p.name);
    if p.copy.1 > 1 {
        name = format!("{name}, {} ({})", p.copy.0, p.copy.1);
    }
    let name = shortened(&name, TEXT, false, HOW - NAME - 12.0);
    page.letters(
        Layer::Text,
        &name,
        Spot::level(Point::new(EDGE + 8.0, y), 0.0),
    );
    let mut how = lay.note(i, words);
    if how.is_empty() {
        words.lay_as_drawn.clone_into(&mut how);
    }
    let how = shortened(&how, TEXT, false, START - HOW - 34.0);
    page.letters(Layer::Text, &how, Spot::level(Point::new(HOW, y), 0.0));
    let start = p
        .outline
        .iter()
        .map(|q| q[0])
        .fold(f64::MAX, f64::min)
        .max(0.0);
    let figure = |mm: f64| set(&words.locale.length(Length::mm(mm), lay.shown), TEXT, false);
    page.letters(
        Layer::Text,
        &figure(start),
        Spot::level(Point::new(START, y), 1.0),
    );
    let pin = lay.pins(i)[0].0;
    page.letters(
        Layer::Text,
        &figure(pin),
        Spot::level(Point::new(w - EDGE, y), 1.0),
    );
}
