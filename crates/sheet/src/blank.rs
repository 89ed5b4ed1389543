//! A card to fill in by hand, away from the table: each measure with its drawing, how it is taken,
//! and a box for each of two readings.

use measure::fraction::Unit;
use measure::{Point, Vector};

use crate::dash::Line;
use crate::drawing::{Drawing, Layer, Pen, Shape};
use crate::face::{Set, Span, paragraph, set, shortened};
use crate::figure::{Figure, Look, figure};
use crate::flow::{LEAD, SMALL};
use crate::number::real;
use crate::order::{Paper, SheetFault};
use crate::page::{Page, Spot};
use crate::pdf::{self, About};
use crate::quad::Rect;
use crate::words::{Words, fill};

/// A measure that is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BlankMeasure {
    /// Its name in the trade, or a name of the drafter's own: then it has no drawing.
    pub name: String,
    /// What it is called on the card.
    pub called: String,
    /// How it is taken.
    pub how: String,
}

/// A card to fill in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BlankCard {
    /// What it is for: "Mermaid skirt". May be empty.
    pub title: String,
    /// The unit of all boxes.
    pub unit: Unit,
    /// The measures in the order in which they are taken.
    pub measures: Vec<BlankMeasure>,
    /// The language of what the card says of itself.
    pub words: &'static Words,
}

const SIDE: f64 = 16.0;
const FOOT: f64 = 18.0;
/// Between the two columns, and between a drawing and its words.
const GUTTER: f64 = 8.0;
const GAP: f64 = 3.5;
/// The room of a drawing.
const DRAWN: (f64, f64) = (25.0, 40.0);
/// A box for a reading.
const BOX: f64 = 10.0;
/// Between two measures.
const AFTER: f64 = 6.5;
/// More pages than this no card has.
const MOST: usize = 40;

/// The card as a PDF.
///
/// # Errors
/// When no measure is asked for, or so many that 40 pages do not hold them; when the fonts inside the
/// program are damaged.
pub fn blank_card_pdf(card: &BlankCard, paper: Paper) -> Result<Vec<u8>, SheetFault> {
    let pages = pages(card, paper, card.words)?;
    let drawings: Vec<Drawing> = pages.into_iter().map(|p| p.drawing).collect();
    let title = [card.words.blank, card.title.as_str()]
        .into_iter()
        .filter(|t| !t.is_empty())
        .collect::<Vec<_>>()
        .join(": ");
    pdf::write(
        &drawings,
        &About {
            title: &crate::face::printable(&title),
            words: card.words,
            off: None,
            packed: true,
        },
    )
}

/// A measure, set.
struct Cell {
    figure: Option<Figure>,
    name: Vec<Set>,
    how: Vec<Set>,
    sign: &'static str,
}

impl Cell {
    fn new(
        measure: &BlankMeasure,
        number: usize,
        (unit, words): (Unit, &Words),
        width: f64,
    ) -> Self {
        let figure = figure(&measure.name);
        let known = measure::names::find(&measure.name);
        let angle = known.is_some_and(|m| m.kind == measure::names::Kind::Angle);
        let room = width - DRAWN.0 - GAP;
        let name = format!("{number}. {}", crate::words::capital(&measure.called));
        Self {
            figure,
            name: paragraph(&[Span::bold(name)], SMALL, room),
            how: paragraph(&[Span::plain(measure.how.clone())], SMALL, room),
            sign: if angle {
                "\u{b0}"
            } else {
                words.locale.sign(unit)
            },
        }
    }

    /// How large the drawing is drawn, and how high it is then.
    fn drawn(&self) -> (f64, f64) {
        self.figure.as_ref().map_or((0.0, 0.0), |f| {
            let scale = (DRAWN.0 / Figure::DRAWN).min(DRAWN.1 / f.height.max(1.0));
            (scale, scale * f.height)
        })
    }

    fn words(&self) -> f64 {
        real(self.name.len() + self.how.len()) * LEAD + 1.0
    }

    fn height(&self) -> f64 {
        (self.words() + BOX).max(self.drawn().1)
    }
}

fn pages(card: &BlankCard, paper: Paper, words: &Words) -> Result<Vec<Page>, SheetFault> {
    if card.measures.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let (w, h) = paper.size();
    let size = (w.in_mm(), h.in_mm());
    let width = (size.0 - 2.0 * SIDE - GUTTER) / 2.0;
    let cells: Vec<Cell> = card
        .measures
        .iter()
        .enumerate()
        .map(|(i, m)| Cell::new(m, i + 1, (card.unit, words), width))
        .collect();
    let of = set_all(card, &cells, size, 1, words)?.len();
    set_all(card, &cells, size, of, words)
}

fn set_all(
    card: &BlankCard,
    cells: &[Cell],
    (w, h): (f64, f64),
    of: usize,
    words: &Words,
) -> Result<Vec<Page>, SheetFault> {
    let width = (w - 2.0 * SIDE - GUTTER) / 2.0;
    let mut pages = Vec::new();
    let mut page = Page::new(w, h);
    let mut top = opening(&mut page, card, w, words);
    let (mut column, mut y) = (0.0, top);
    for cell in cells {
        if y + cell.height() > h - FOOT && y > top {
            if column > 0.0 {
                numbered(&mut page, pages.len() + 1, of, words);
                pages.push(core::mem::replace(&mut page, Page::new(w, h)));
                if pages.len() >= MOST {
                    return Err(SheetFault::TooLarge(words.blank.into()));
                }
                top = going_on(&mut page, card, w, words);
                column = 0.0;
            } else {
                column = 1.0;
            }
            y = top;
        }
        draw(
            &mut page,
            cell,
            (SIDE + column * (width + GUTTER), y),
            width,
        );
        y += cell.height() + AFTER;
    }
    notes(
        &mut page,
        (SIDE + column * (width + GUTTER), y),
        width,
        h,
        words,
    );
    numbered(&mut page, pages.len() + 1, of, words);
    pages.push(page);
    Ok(pages)
}

/// The top of the first page: title, lines to write on, how to take them; gives where measures begin.
fn opening(page: &mut Page, card: &BlankCard, w: f64, words: &Words) -> f64 {
    let plain = Layer::Plain;
    let right = w - SIDE;
    page.text(plain, Point::new(SIDE, 26.0), words.blank, 20.0, true);
    let letters = shortened(&card.title, 13.0, true, (right - SIDE) * 0.65);
    page.letters(plain, &letters, Spot::level(Point::new(right, 26.0), 1.0));
    let ends = [Point::new(SIDE, 30.0), Point::new(right, 30.0)];
    page.stroke(plain, Shape::line(&ends), Pen::solid(0.7), false);
    let half = (right - SIDE - GUTTER) / 2.0;
    let asked = [
        (0.0, 0.0, words.blank_for),
        (1.0, 0.0, words.blank_day),
        (0.0, 1.0, words.blank_over),
        (1.0, 1.0, words.blank_taker),
        (0.0, 2.0, words.blank_shoes),
    ];
    for (across, down, word) in asked {
        let at = Point::new(SIDE + across * (half + GUTTER), 41.0 + down * 10.5);
        let letters = set(word, SMALL, false);
        page.letters(plain, &letters, Spot::level(at, 0.0));
        let wide = if down > 1.0 { right - SIDE } else { half };
        let ends = [
            at + Vector::new(letters.width + 2.0, 0.8),
            Point::new(at.x + wide, at.y + 0.8),
        ];
        page.stroke(plain, Shape::line(&ends), Pen::solid(0.25), false);
    }
    let inches = card.unit == Unit::Inch;
    let pick = |i: &'static str, c: &'static str| if inches { i } else { c };
    let twice = fill(
        words.blank_twice,
        &[
            ("long", pick("20 in", "50 cm")),
            ("wide", pick("1/4 in", "6 mm")),
            ("fine", pick("1/8 in", "3 mm")),
        ],
    );
    let told = format!("{} {twice}", words.blank_tie);
    let lines = paragraph(&[Span::plain(told)], SMALL, right - SIDE);
    page.lines(plain, Point::new(SIDE, 72.0), &lines, LEAD) + 3.0
}

/// The top of a page that goes on.
fn going_on(page: &mut Page, card: &BlankCard, w: f64, words: &Words) -> f64 {
    let plain = Layer::Plain;
    let letters = shortened(&card.title, SMALL, true, (w - 2.0 * SIDE) * 0.45);
    let at = Point::new(w - SIDE, 19.0);
    page.letters(plain, &letters, Spot::level(at, 1.0));
    let name = set(words.blank_for, SMALL, false);
    page.letters(plain, &name, Spot::level(Point::new(SIDE, 19.0), 0.0));
    let ends = [
        Point::new(SIDE + name.width + 2.0, 19.8),
        Point::new(SIDE + (w - 2.0 * SIDE) * 0.5, 19.8),
    ];
    page.stroke(plain, Shape::line(&ends), Pen::solid(0.25), false);
    30.0
}

fn numbered(page: &mut Page, n: usize, of: usize, words: &Words) {
    if of < 2 {
        return;
    }
    let said = fill(
        words.page_of,
        &[("n", &n.to_string()), ("of", &of.to_string())],
    );
    let at = Point::new(page.drawing.width - SIDE, page.drawing.height - 10.0);
    let letters = set(&said, SMALL, false);
    page.letters(Layer::Plain, &letters, Spot::level(at, 1.0));
}

/// Lines for what the tape does not tell, where there is room after the last measure.
fn notes(page: &mut Page, (x, y): (f64, f64), width: f64, h: f64, words: &Words) {
    let lines = ((h - FOOT - y - 4.0) / 9.0).floor().clamp(0.0, 6.0);
    if lines < 2.0 {
        return;
    }
    let letters = shortened(words.blank_notes, SMALL, true, width);
    page.letters(
        Layer::Plain,
        &letters,
        Spot::level(Point::new(x, y + 4.0), 0.0),
    );
    for i in 1..=crate::number::count(lines) {
        let down = y + 4.0 + 9.0 * real(i);
        let ends = [Point::new(x, down), Point::new(x + width, down)];
        page.stroke(Layer::Plain, Shape::line(&ends), Pen::solid(0.25), false);
    }
}

fn draw(page: &mut Page, cell: &Cell, (x, y): (f64, f64), width: f64) {
    let plain = Layer::Plain;
    if let Some(figure) = &cell.figure {
        let (scale, _) = cell.drawn();
        draw_figure(page, figure, Point::new(x, y), scale);
    }
    let at = x + DRAWN.0 + GAP;
    let below = page.lines(plain, Point::new(at, y + 3.6), &cell.name, LEAD);
    page.lines(plain, Point::new(at, below), &cell.how, LEAD);
    // The boxes stand at the foot of the cell, so that they line up with the drawing.
    let foot = y + cell.height() - BOX;
    let sign = set(cell.sign, SMALL, false);
    let right = x + width;
    let wide = (right - at - sign.width - 2.0 - 2.0 * 4.2 - 2.0) / 2.0;
    let mut from = at;
    for number in ["1", "2"] {
        let spot = Spot::level(Point::new(from, foot + BOX - 3.2), 0.0);
        page.letters(plain, &set(number, SMALL, false), spot);
        let rect = Rect::new(from + 4.2, foot, wide, BOX);
        page.frame(plain, rect, Line::Frame, false);
        from += 4.2 + wide + 2.0;
    }
    let spot = Spot::level(Point::new(right, foot + BOX - 3.2), 1.0);
    page.letters(plain, &sign, spot);
}

/// Draws a figure with a pen, its corner at a point; its names are left to the words beside it.
fn draw_figure(page: &mut Page, figure: &Figure, corner: Point, scale: f64) {
    for part in &figure.parts {
        let pen = match part.look {
            Look::Flesh | Look::Leader => continue,
            Look::Skin => Pen::solid(0.35),
            Look::Tied | Look::End => Pen::solid(0.7),
            Look::Thin | Look::Level | Look::Tick => Pen::solid(0.18),
            Look::Band => Pen::solid(0.25),
            Look::Far => Pen {
                width: 0.3,
                dash: vec![0.4, 0.9],
                phase: 0.0,
            },
        };
        let points: Vec<Point> = part
            .chain
            .iter()
            .map(|p| Point::new(corner.x + p.x * scale, corner.y + p.y * scale))
            .collect();
        let shape = if part.closed {
            Shape::closed(&points)
        } else {
            Shape::line(&points)
        };
        page.stroke(Layer::Plain, shape, pen, false);
    }
}

#[cfg(test)]
mod tests;
