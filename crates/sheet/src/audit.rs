//! What is wrong with a sheet, found from its drawing list alone: letters that touch a line or other
//! letters, that are too small, off the paper, on the line to cut along or cut short.
//!
//! The pages are looked at as they go to the writers; what the makers of a page believe of it is not
//! asked. A dashed line counts as a whole one, and a line of letters as the box round its ink.

use core::fmt;

use measure::Point;

use crate::drawing::{Drawing, Ink, Layer, Shape};
use crate::large::{Bed, LargePaper, large};
use crate::order::{Order, Paper, SheetFault};
use crate::pattern::{book, one_sheet};
use crate::quad::{Quad, Rect, rings};
use crate::words::Words;

/// Ink keeps this far from the edge of the paper: what no home printer reaches (paper/pdf.md 1).
const EDGE: f64 = 4.2;
/// Letters nearer than this to a line touch it: a dot of a printer of 300 to the inch.
const DOT: f64 = 0.085;
/// The least size of letters, in points.
const LEAST: f64 = 11.0;
/// Boxes of letters may lap by this: where two words of one line meet.
const LAP: f64 = 0.05;

/// What may be wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// Letters touch a line, or stand in a black shape.
    OnALine,
    /// Letters touch letters.
    OnLetters,
    /// Letters are smaller than 11 points.
    Small,
    /// Letters or lines where no printer prints.
    OffThePaper,
    /// Letters across the edge of what is shown of the pattern.
    OnTheEdge,
    /// A text was shortened with an ellipsis.
    CutShort,
    /// A letter that the font lacks.
    NoSuchLetter,
}

/// A fault, with the words that it concerns.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Which file: `A4`, `one sheet`.
    pub file: String,
    /// Which page of it, from 1.
    pub page: usize,
    /// What is wrong.
    pub what: What,
    /// The letters; nothing for a line.
    pub words: String,
    /// What they touch.
    pub other: String,
    /// Where on the page, in millimetres from its upper left corner.
    pub at: (f64, f64),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} page {}: {:?}, `{}`",
            self.file, self.page, self.what, self.words
        )?;
        if !self.other.is_empty() {
            write!(f, " and `{}`", self.other)?;
        }
        write!(f, " at {:.1} across, {:.1} down", self.at.0, self.at.1)
    }
}

/// All faults of a tiled pattern: cover, sheets and steps.
///
/// # Errors
/// As [`crate::pattern_pdf`].
pub fn tiled(order: &Order, paper: Paper) -> Result<Vec<Fault>, SheetFault> {
    tiled_in(order, paper, order.words)
}

/// All lines of letters of a tiled pattern in the words of a language, page by page.
///
/// # Errors
/// As [`crate::pattern_pdf`].
pub fn texts_in(
    order: &Order,
    paper: Paper,
    words: &Words,
) -> Result<Vec<Vec<String>>, SheetFault> {
    let book = book(order, paper, words)?;
    let said = |p: crate::page::Page| p.words.into_iter().map(|w| w.1).collect();
    Ok(book.pages.into_iter().map(said).collect())
}

/// A made-up language for trials: every word of a table half as long again, with letters of
/// Hungarian, Turkish, Czech and Vietnamese in it, decimal commas and longer units.
pub fn longer(words: &Words) -> Words {
    let mut out = words.each(|_, text| {
        let mut said = String::new();
        let (mut inside, mut letters) = (false, 0);
        for c in text.chars() {
            inside = c == '{' || (inside && c != '}');
            if inside || !c.is_alphabetic() {
                letters = 0;
                said.push(c);
                continue;
            }
            letters += 1;
            said.push(match c {
                'o' => 'ő',
                's' => 'ş',
                'r' => 'ř',
                'e' => 'ế',
                'u' => 'ự',
                'O' => 'Ộ',
                'S' => 'Š',
                'P' => 'Đ',
                'N' => 'Ň',
                other => other,
            });
            if letters % 2 == 0 {
                said.push('ợ');
            }
        }
        // A table lasts as long as the program; a trial may keep a few of them.
        Box::leak(said.into_boxed_str())
    });
    out.locale.decimal = ",";
    out.locale.thousands = "\u{202f}";
    out.locale.inch = "hüvelyk";
    out.locale.months = ["ső Šeptěmbřự"; 12];
    out.locale.date = "{year}. {month} {day}.";
    out
}

/// The same in the words of a language.
///
/// # Errors
/// As [`crate::pattern_pdf`].
pub fn tiled_in(order: &Order, paper: Paper, words: &Words) -> Result<Vec<Fault>, SheetFault> {
    let book = book(order, paper, words)?;
    Ok(pages(
        &format!("{paper:?}"),
        book.pages.iter().map(|p| &p.drawing),
    ))
}

/// All faults of the pieces side by side, as the SVG holds them; each piece is looked at by itself.
///
/// # Errors
/// As [`crate::pattern_svg`].
pub fn side_by_side(order: &Order) -> Result<Vec<Fault>, SheetFault> {
    let sheet = one_sheet(order, order.words)?;
    Ok(pages("one sheet", sheet.pages.iter().map(|p| &p.drawing)))
}

/// All faults of the pattern on large sheets.
///
/// # Errors
/// As [`crate::large_pdf`].
pub fn on_large(order: &Order, paper: LargePaper) -> Result<Vec<Fault>, SheetFault> {
    let large = large(order, order.words, &Bed::of(paper))?;
    let mut found = pages(
        &format!("{paper:?}"),
        large.pages.iter().map(|p| &p.drawing),
    );
    // Parts of pieces lie beside others here: the box in which a part shows is no edge of paper.
    found.retain(|f| f.what != What::OnTheEdge);
    Ok(found)
}

/// All faults of these pages.
pub(crate) fn pages<'a>(file: &str, all: impl IntoIterator<Item = &'a Drawing>) -> Vec<Fault> {
    all.into_iter()
        .zip(1..)
        .flat_map(|(drawing, n)| Page::new(drawing).faults(file, n))
        .collect()
}

/// Straight ink with half its width, the box round it and its layer.
struct Bit {
    layer: Layer,
    a: Point,
    b: Point,
    half: f64,
    bounds: Rect,
}

/// A line of letters.
struct Letters<'a> {
    quad: Quad,
    text: &'a str,
    /// The least size in it, in points.
    least: f64,
    /// It holds the box of a letter that the font lacks.
    lacks: bool,
}

/// A page as it is looked at.
struct Page<'a> {
    drawing: &'a Drawing,
    bits: Vec<Bit>,
    black: Vec<(Vec<Point>, Rect)>,
    letters: Vec<Letters<'a>>,
}

impl<'a> Page<'a> {
    fn new(drawing: &'a Drawing) -> Self {
        let mut this = Self {
            drawing,
            bits: Vec::new(),
            black: Vec::new(),
            letters: Vec::new(),
        };
        // The draft's own layer is off unless she asks for it, and then the pattern lies over it.
        let printed = |layer: Layer| layer != Layer::Construction;
        for item in drawing.items.iter().filter(|i| printed(i.layer)) {
            match &item.ink {
                Ink::Stroke(shape, pen) => {
                    this.lines(item.layer, shape, pen.width / 2.0, item.clip);
                }
                Ink::Fill(shape) => {
                    this.lines(item.layer, shape, 0.0, item.clip);
                    this.black.extend(shape.chords().into_iter().map(|ring| {
                        let bounds = Rect::around(&ring);
                        (ring, bounds)
                    }));
                }
                Ink::Letters(l, at, turn) if !l.text.trim().is_empty() => {
                    this.letters.push(Letters {
                        quad: l.quad(*at, *turn),
                        text: &l.text,
                        least: l.glyphs.iter().map(|g| g.size).fold(f64::MAX, f64::min),
                        lacks: l.glyphs.iter().any(|g| g.id == 0),
                    });
                }
                Ink::Letters(..) => {}
            }
        }
        this
    }

    fn lines(&mut self, layer: Layer, shape: &Shape, half: f64, clip: Option<Rect>) {
        for chain in shape.chords() {
            for w in chain.windows(2) {
                let shown = match clip {
                    Some(r) => r.clipped(w[0], w[1]),
                    None => Some((w[0], w[1])),
                };
                if let Some((a, b)) = shown {
                    let bounds = Rect::around(&[a, b]).grown(half);
                    self.bits.push(Bit {
                        layer,
                        a,
                        b,
                        half,
                        bounds,
                    });
                }
            }
        }
    }

    fn faults(&self, file: &str, page: usize) -> Vec<Fault> {
        let mut out = Vec::new();
        let mut say = |what, words: &str, other: &str, place: &Rect| {
            out.push(Fault {
                file: file.to_owned(),
                page,
                what,
                words: words.to_owned(),
                other: other.to_owned(),
                at: (place.x0, place.y0),
            });
        };
        let sheet = Rect::new(0.0, 0.0, self.drawing.width, self.drawing.height).grown(-EDGE);
        for bit in self.bits.iter().filter(|b| !sheet.holds_all(&b.bounds)) {
            say(What::OffThePaper, "", "", &bit.bounds);
        }
        // Where all that is clipped is clipped alike, it shows one part of the pattern.
        let mut clips = self.drawing.items.iter().filter_map(|i| i.clip);
        let window = clips.next().filter(|w| clips.all(|c| c == *w));
        for (i, word) in self.letters.iter().enumerate() {
            let place = word.quad.bounds;
            let near = place.grown(DOT);
            let lined = self
                .bits
                .iter()
                .filter(|b| b.bounds.meets(&near))
                .find(|b| word.quad.gap_to_line(b.a, b.b) - b.half < DOT);
            let blackened = self
                .black
                .iter()
                .any(|(ring, r)| r.meets(&place) && rings(ring, word.quad.corners[0]));
            if lined.is_some() || blackened {
                let layer = lined.map_or_else(String::new, |b| format!("{:?}", b.layer));
                say(What::OnALine, word.text, &layer, &place);
            }
            for other in &self.letters[i + 1..] {
                if other.quad.bounds.meets(&place) && lap(&word.quad, &other.quad) {
                    say(What::OnLetters, word.text, other.text, &place);
                }
            }
            if word.least < LEAST - 1e-9 {
                say(What::Small, word.text, "", &place);
            }
            if !sheet.holds_all(&place) {
                say(What::OffThePaper, word.text, "", &place);
            }
            if let Some(w) = &window
                && w.meets(&place)
                && !w.holds_all(&place)
            {
                say(What::OnTheEdge, word.text, "", &place);
            }
            if word.text.ends_with('\u{2026}') {
                say(What::CutShort, word.text, "", &place);
            }
            if word.lacks {
                say(What::NoSuchLetter, word.text, "", &place);
            }
        }
        out
    }
}

/// Whether two boxes lap by more than a hair.
fn lap(a: &Quad, b: &Quad) -> bool {
    let shrunk = |q: &Quad| {
        let middle = q.corners[0].toward(q.corners[2], 0.5);
        q.corners.map(|c| {
            let d = (c - middle).size();
            middle.toward(c, if d > LAP { 1.0 - LAP / d } else { 0.0 })
        })
    };
    Quad::of(shrunk(a)).gap_to(&Quad::of(shrunk(b))) <= 0.0
}

#[cfg(test)]
mod tests;
