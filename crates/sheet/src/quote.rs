//! The quote as pages to send: who for, what for how much, in which parts it is paid, two lines to
//! sign on.

use measure::Point;

use crate::dash::Line;
use crate::drawing::{Drawing, Layer, Pen, Shape};
use crate::face::{Set, Span, paragraph, set, shortened};
use crate::flow::{LEAD, SMALL};
use crate::number::real;
use crate::order::{Paper, SheetFault};
use crate::page::{Page, Spot};
use crate::pdf::{self, About};
use crate::words::{Words, fill};

/// A line of the table: what, how much of it, and its figure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct QuoteRow {
    /// What it is.
    pub what: String,
    /// How much of it, or how it is reckoned; may be empty.
    pub how_much: String,
    /// Its figure as it is printed, without the currency.
    pub in_all: String,
}

/// All that stands on a quote. Texts and figures are printed as they come; nothing is reckoned here.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct QuoteSheet {
    /// The order's number, and the quote's in it.
    pub number: (u32, u32),
    /// The workroom: its name, then lines under it.
    pub from: Vec<String>,
    /// The client: her name, then lines under it.
    pub to: Vec<String>,
    /// The order: what is made, then lines under it, as when it was given and until when it holds.
    pub about: Vec<String>,
    /// The three letters of the currency.
    pub currency: String,
    /// The lines that add up.
    pub rows: Vec<QuoteRow>,
    /// Price, tax, total: the last is the largest.
    pub sums: Vec<QuoteRow>,
    /// When what part is paid.
    pub parts: Vec<(String, String)>,
    /// What else was agreed, a paragraph each.
    pub terms: Vec<String>,
    /// The language of what the sheet says of itself.
    pub words: &'static Words,
}

/// White at the sides, the lowest base line from the foot, and where the figures of a row begin.
const SIDE: f64 = 18.0;
const FOOT: f64 = 17.0;
/// From row to row, with the rule between.
const ROW: f64 = 7.6;
/// Above the line to sign on.
const SIGN: f64 = 20.0;
/// More pages than this no quote has; lines beyond are refused.
const MOST: usize = 40;

/// What is set as a whole.
enum Bit {
    /// The head of the table.
    Head,
    /// A row, its name broken into lines; whether it is a sum, and whether the last of them.
    Row {
        what: Vec<Set>,
        how_much: Vec<Set>,
        in_all: String,
        sum: bool,
        heavy: bool,
    },
    /// The head of a part.
    Title(String),
    /// A part that is paid, with dots up to its figure.
    Leader(Vec<Set>, String),
    /// Lines of text.
    Text(Vec<Set>),
    /// Lines to sign on.
    Sign,
}

impl Bit {
    fn height(&self) -> f64 {
        match self {
            Self::Head => 7.6,
            Self::Row { what, how_much, .. } => {
                ROW + real(what.len().max(how_much.len()).saturating_sub(1)) * LEAD
            }
            Self::Title(_) => 13.2,
            Self::Leader(lines, _) => real(lines.len().max(1)) * LEAD + 1.4,
            Self::Text(lines) => real(lines.len()) * LEAD + 1.6,
            Self::Sign => SIGN + 2.0,
        }
    }
}

/// The columns of the table: where each begins, and the right end.
#[derive(Clone, Copy)]
struct Columns {
    how_much: f64,
    right: f64,
}

impl Columns {
    fn of(width: f64) -> Self {
        Self {
            how_much: SIDE + (width - 2.0 * SIDE) * 0.54,
            right: width - SIDE,
        }
    }

    fn all(self) -> f64 {
        self.right - SIDE
    }
}

/// The quote as a PDF.
///
/// # Errors
/// When there is no line on it or more than 40 pages of them, or the fonts inside the program are
/// damaged.
pub fn quote_pdf(sheet: &QuoteSheet, paper: Paper) -> Result<Vec<u8>, SheetFault> {
    let pages = pages(sheet, paper, sheet.words)?;
    let drawings: Vec<Drawing> = pages.into_iter().map(|p| p.drawing).collect();
    let title = [Some(number(sheet, sheet.words)), sheet.to.first().cloned()];
    let title: Vec<String> = title.into_iter().flatten().collect();
    pdf::write(
        &drawings,
        &About {
            title: &crate::face::printable(&title.join(", ")),
            words: sheet.words,
            off: None,
            packed: true,
        },
    )
}

fn number(sheet: &QuoteSheet, words: &Words) -> String {
    fill(
        words.quote_number,
        &[
            ("order", &sheet.number.0.to_string()),
            ("n", &sheet.number.1.to_string()),
        ],
    )
}

fn pages(sheet: &QuoteSheet, paper: Paper, words: &Words) -> Result<Vec<Page>, SheetFault> {
    if sheet.rows.is_empty() && sheet.sums.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let (w, h) = paper.size();
    let size = (w.in_mm(), h.in_mm());
    let groups = groups(sheet, Columns::of(size.0), words);
    // Once to count the pages, once to number them.
    let of = set_all(sheet, &groups, size, 1, words)?.len();
    set_all(sheet, &groups, size, of, words)
}

fn set_all(
    sheet: &QuoteSheet,
    groups: &[Vec<Bit>],
    (w, h): (f64, f64),
    of: usize,
    words: &Words,
) -> Result<Vec<Page>, SheetFault> {
    let columns = Columns::of(w);
    let mut pages: Vec<Page> = Vec::new();
    let mut page = Page::new(w, h);
    let mut y = opening(&mut page, sheet, columns, words);
    let mut fresh = true;
    for (at, group) in groups.iter().enumerate() {
        let height: f64 = group.iter().map(Bit::height).sum();
        if y + height > h - FOOT && !fresh {
            numbered(&mut page, pages.len() + 1, of, words);
            pages.push(core::mem::replace(&mut page, Page::new(w, h)));
            if pages.len() >= MOST {
                return Err(SheetFault::TooLarge(words.quote.into()));
            }
            y = going_on(&mut page, sheet, columns, words);
            let in_table = matches!(group.first(), Some(Bit::Row { .. }));
            if in_table && at > 0 {
                draw(&mut page, &Bit::Head, y, columns, sheet, words);
                y += Bit::Head.height();
            }
        }
        fresh = false;
        for bit in group {
            draw(&mut page, bit, y, columns, sheet, words);
            y += bit.height();
        }
    }
    numbered(&mut page, pages.len() + 1, of, words);
    pages.push(page);
    Ok(pages)
}

/// What is never torn apart: the head with its first row, the last row with the sums, the parts, the
/// lines to sign on.
fn groups(sheet: &QuoteSheet, columns: Columns, words: &Words) -> Vec<Vec<Bit>> {
    let wide = columns.how_much - SIDE - 4.0;
    let middle = columns.right - columns.how_much - 30.0;
    let row = |row: &QuoteRow, sum: bool, heavy: bool| {
        let span = |text: &str| {
            if sum {
                Span::bold(text)
            } else {
                Span::plain(text)
            }
        };
        Bit::Row {
            what: paragraph(&[span(&row.what)], SMALL, wide),
            how_much: paragraph(&[Span::plain(row.how_much.clone())], SMALL, middle),
            in_all: row.in_all.clone(),
            sum,
            heavy,
        }
    };
    let mut all: Vec<Vec<Bit>> = Vec::new();
    let mut now = vec![Bit::Head];
    for (at, line) in sheet.rows.iter().enumerate() {
        now.push(row(line, false, false));
        if at + 1 < sheet.rows.len() {
            all.push(core::mem::take(&mut now));
        }
    }
    let last = sheet.sums.len().saturating_sub(1);
    for (at, sum) in sheet.sums.iter().enumerate() {
        now.push(row(sum, at == last, at == last));
    }
    all.push(now);
    if !sheet.parts.is_empty() {
        let mut paid = vec![Bit::Title(words.quote_paid.into())];
        for (when, much) in &sheet.parts {
            let lines = paragraph(&[Span::plain(when.clone())], SMALL, columns.all() - 40.0);
            paid.push(Bit::Leader(lines, much.clone()));
        }
        // A long list of parts may be torn, its title never alone.
        if paid.len() <= 8 {
            all.push(paid);
        } else {
            let rest = paid.split_off(2);
            all.push(paid);
            all.extend(rest.into_iter().map(|bit| vec![bit]));
        }
    }
    let mut terms = Vec::new();
    for term in &sheet.terms {
        let lines = paragraph(&[Span::plain(term.clone())], SMALL, columns.all());
        // A long paragraph goes on over the page.
        for chunk in lines.chunks(12) {
            terms.push(Bit::Text(chunk.to_vec()));
        }
    }
    let mut first = true;
    for text in terms {
        let group = if first {
            vec![Bit::Title(words.quote_terms.into()), text]
        } else {
            vec![text]
        };
        first = false;
        all.push(group);
    }
    // Nobody signs a page that says nothing.
    match all.last_mut() {
        Some(last) if last.len() <= 8 => last.push(Bit::Sign),
        _ => all.push(vec![Bit::Sign]),
    }
    all
}

/// The top of the first page; gives where the table begins.
fn opening(page: &mut Page, sheet: &QuoteSheet, columns: Columns, words: &Words) -> f64 {
    let plain = Layer::Plain;
    let half = columns.all() / 2.0 - 4.0;
    page.text(plain, Point::new(SIDE, 32.0), words.quote, 24.0, true);
    let mut y = 27.0;
    for (at, line) in sheet.from.iter().take(6).enumerate() {
        let size = if at == 0 { 13.0 } else { SMALL };
        let letters = shortened(line, size, at == 0, columns.all() - 50.0);
        page.letters(
            plain,
            &letters,
            Spot::level(Point::new(columns.right, y), 1.0),
        );
        y += LEAD + if at == 0 { 0.4 } else { 0.0 };
    }
    let rule = (y - LEAD + 4.0).max(36.5);
    page.stroke(
        plain,
        Shape::line(&[Point::new(SIDE, rule), Point::new(columns.right, rule)]),
        Pen::solid(0.7),
        false,
    );
    let mut foot: f64 = rule + 9.0;
    let blocks = [
        (SIDE, words.quote_for.to_owned(), &sheet.to),
        (SIDE + half + 8.0, number(sheet, words), &sheet.about),
    ];
    for (x, head, lines) in blocks {
        let mut y = rule + 9.0;
        let head = shortened(&head, SMALL, true, half);
        page.letters(plain, &head, Spot::level(Point::new(x, y), 0.0));
        y += LEAD + 0.6;
        for line in lines.iter().take(8) {
            let set = paragraph(&[Span::plain(line.clone())], SMALL, half);
            y = page.lines(plain, Point::new(x, y), &set, LEAD);
        }
        foot = foot.max(y);
    }
    foot + 5.0
}

/// The top of a page that goes on.
fn going_on(page: &mut Page, sheet: &QuoteSheet, columns: Columns, words: &Words) -> f64 {
    let plain = Layer::Plain;
    let said = [Some(number(sheet, words)), sheet.to.first().cloned()];
    let said: Vec<String> = said.into_iter().flatten().collect();
    let letters = shortened(&said.join(", "), SMALL, true, columns.all());
    page.letters(plain, &letters, Spot::level(Point::new(SIDE, 24.0), 0.0));
    let ends = [Point::new(SIDE, 27.5), Point::new(columns.right, 27.5)];
    page.stroke(plain, Shape::line(&ends), Pen::solid(0.7), false);
    36.0
}

fn numbered(page: &mut Page, n: usize, of: usize, words: &Words) {
    if of < 2 {
        return;
    }
    let said = fill(
        words.page_of,
        &[("n", &n.to_string()), ("of", &of.to_string())],
    );
    let at = Point::new(page.drawing.width - SIDE, page.drawing.height - 11.0);
    let letters = set(&said, SMALL, false);
    page.letters(Layer::Plain, &letters, Spot::level(at, 1.0));
}

fn draw(page: &mut Page, bit: &Bit, y: f64, c: Columns, sheet: &QuoteSheet, words: &Words) {
    let plain = Layer::Plain;
    let rule = |page: &mut Page, y: f64, width: f64| {
        let ends = [Point::new(SIDE, y), Point::new(c.right, y)];
        page.stroke(plain, Shape::line(&ends), Pen::solid(width), false);
    };
    let right = |page: &mut Page, text: &str, y: f64, bold: bool| {
        let letters = shortened(text, SMALL, bold, 34.0);
        page.letters(plain, &letters, Spot::level(Point::new(c.right, y), 1.0));
    };
    match bit {
        Bit::Head => {
            page.text(plain, Point::new(SIDE, y), words.quote_what, SMALL, false);
            page.text(
                plain,
                Point::new(c.how_much, y),
                words.quote_how_much,
                SMALL,
                false,
            );
            let head = fill(words.quote_in_all, &[("currency", &sheet.currency)]);
            right(page, &head, y, false);
            rule(page, y + 2.4, 0.35);
        }
        Bit::Row {
            what,
            how_much,
            in_all,
            sum,
            heavy,
        } => {
            let y = y + 0.4;
            page.lines(plain, Point::new(SIDE, y), what, LEAD);
            page.lines(plain, Point::new(c.how_much, y), how_much, LEAD);
            right(page, in_all, y, *sum);
            let foot = y + bit.height() - ROW + 2.6;
            rule(page, foot, if *heavy { 0.7 } else { Line::Fine.width() });
        }
        Bit::Title(title) => {
            let letters = shortened(title, SMALL, true, c.all());
            page.letters(plain, &letters, Spot::level(Point::new(SIDE, y + 6.2), 0.0));
        }
        Bit::Leader(lines, much) => {
            let next = page.lines(plain, Point::new(SIDE, y), lines, LEAD);
            let foot = if lines.is_empty() { y } else { next - LEAD };
            let letters = shortened(much, SMALL, false, 34.0);
            let at = Point::new(c.right, foot);
            page.letters(plain, &letters, Spot::level(at, 1.0));
            let from = SIDE
                + lines
                    .last()
                    .and_then(|line| line.last())
                    .map_or(0.0, |(x, word)| x + word.width)
                + 2.0;
            let to = c.right - letters.width - 2.0;
            if to - from > 6.0 {
                let (a, b) = (Point::new(from, foot - 0.3), Point::new(to, foot - 0.3));
                page.line(plain, a, b, Line::Dots);
            }
        }
        Bit::Text(lines) => {
            page.lines(plain, Point::new(SIDE, y), lines, LEAD);
        }
        Bit::Sign => {
            let maker = sheet.from.first().map_or("", String::as_str);
            let half = (c.all() - 12.0) / 2.0;
            let says = [
                (SIDE, words.quote_sign_client.to_owned()),
                (
                    SIDE + half + 12.0,
                    fill(words.quote_sign_maker, &[("maker", maker)]),
                ),
            ];
            for (x, said) in says {
                let ends = [
                    Point::new(x, y + SIGN - 6.0),
                    Point::new(x + half, y + SIGN - 6.0),
                ];
                page.stroke(plain, Shape::line(&ends), Pen::solid(0.35), false);
                let letters = shortened(&said, SMALL, false, half);
                page.letters(plain, &letters, Spot::level(Point::new(x, y + SIGN), 0.0));
            }
        }
    }
}

#[cfg(test)]
mod tests;
