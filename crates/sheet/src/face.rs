//! The two fonts, and setting a line of letters with them.

use std::sync::OnceLock;

use rustybuzz::ttf_parser::{self, GlyphId, OutlineBuilder};
use rustybuzz::{Direction, Feature, UnicodeBuffer};

use measure::{Angle, Point, Vector};

use crate::drawing::Step;
use crate::number::real;
use crate::quad::{Quad, Rect};

/// Millimetres in a printer's point.
pub(crate) const MM_PER_POINT: f64 = 25.4 / 72.0;

/// One of the two fonts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Face {
    Regular,
    Bold,
}

static REGULAR: &[u8] = include_bytes!("../fonts/NotoSans-Regular.ttf");
static BOLD: &[u8] = include_bytes!("../fonts/NotoSans-Bold.ttf");

impl Face {
    pub(crate) const fn data(self) -> &'static [u8] {
        match self {
            Self::Regular => REGULAR,
            Self::Bold => BOLD,
        }
    }

    pub(crate) const fn of(bold: bool) -> Self {
        if bold { Self::Bold } else { Self::Regular }
    }

    /// The font read, or nothing if the program is damaged.
    pub(crate) fn font(self) -> Option<&'static rustybuzz::Face<'static>> {
        static FONTS: [OnceLock<Option<rustybuzz::Face<'static>>>; 2] =
            [OnceLock::new(), OnceLock::new()];
        let slot = match self {
            Self::Regular => &FONTS[0],
            Self::Bold => &FONTS[1],
        };
        slot.get_or_init(|| rustybuzz::Face::from_slice(self.data(), 0))
            .as_ref()
    }

    /// The width that the font itself gives a glyph, in thousandths of its size.
    pub(crate) fn advance(self, glyph: u16) -> f64 {
        self.font()
            .and_then(|f| f.glyph_hor_advance(GlyphId(glyph)).map(|w| (f, w)))
            .map_or(0.0, |(f, w)| {
                f64::from(w) * 1000.0 / f64::from(f.units_per_em())
            })
    }

    /// The outline of a glyph in thousandths of its size, y up.
    pub(crate) fn outline(self, glyph: u16) -> Vec<Step> {
        let mut pencil = Pencil::default();
        if let Some(font) = self.font() {
            pencil.scale = 1000.0 / f64::from(font.units_per_em());
            let _ = font.outline_glyph(GlyphId(glyph), &mut pencil);
        }
        pencil.steps
    }

    fn bounds(self, glyph: u16) -> Option<ttf_parser::Rect> {
        self.font()?.glyph_bounding_box(GlyphId(glyph))
    }
}

#[derive(Default)]
struct Pencil {
    scale: f64,
    steps: Vec<Step>,
    here: Point,
}

impl Pencil {
    fn at(&self, x: f32, y: f32) -> Point {
        Point::new(f64::from(x) * self.scale, f64::from(y) * self.scale)
    }
}

impl OutlineBuilder for Pencil {
    fn move_to(&mut self, x: f32, y: f32) {
        self.here = self.at(x, y);
        self.steps.push(Step::Move(self.here));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.here = self.at(x, y);
        self.steps.push(Step::Line(self.here));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (c, to) = (self.at(x1, y1), self.at(x, y));
        self.steps.push(Step::Cubic(
            self.here.toward(c, 2.0 / 3.0),
            to.toward(c, 2.0 / 3.0),
            to,
        ));
        self.here = to;
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.here = self.at(x, y);
        self.steps
            .push(Step::Cubic(self.at(x1, y1), self.at(x2, y2), self.here));
    }

    fn close(&mut self) {
        self.steps.push(Step::Close);
    }
}

/// One glyph of a line.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Glyph {
    pub(crate) face: Face,
    pub(crate) id: u16,
    /// In points.
    pub(crate) size: f64,
    /// Along the base line from the beginning, in mm.
    pub(crate) x: f64,
    /// Above the base line, in mm.
    pub(crate) rise: f64,
    /// What it stands for.
    pub(crate) text: String,
}

/// A line of letters, set.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Lettering {
    pub(crate) text: String,
    pub(crate) glyphs: Vec<Glyph>,
    /// From beginning to end, in mm.
    pub(crate) width: f64,
    /// The box of its ink, the beginning of the base line at the origin, y down.
    pub(crate) ink: Rect,
}

impl Lettering {
    /// The box it fills when it begins at a point, turned about it.
    pub(crate) fn quad(&self, at: Point, turn: Angle) -> Quad {
        Quad::turned(at, turn, &self.ink)
    }

    /// Where it begins if its middle (0.5) or end (1.0) is to be at a point.
    pub(crate) fn start(&self, at: Point, turn: Angle, part: f64) -> Point {
        at - Vector::new(self.width * part, 0.0).turned(turn)
    }

    fn empty() -> Self {
        Self {
            text: String::new(),
            glyphs: Vec::new(),
            width: 0.0,
            ink: Rect::EMPTY,
        }
    }

    fn push(&mut self, text: &str, face: Face, size: f64, rise: f64, small: bool) {
        let Some(font) = face.font() else { return };
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        // Letters of other scripts are boxes in this font; boxes run one way.
        buffer.set_direction(Direction::LeftToRight);
        let features = if small {
            vec![Feature::new(ttf_parser::Tag::from_bytes(b"dnom"), 1, ..)]
        } else {
            Vec::new()
        };
        let shaped = rustybuzz::shape(font, &features, buffer);
        let unit = size * MM_PER_POINT / f64::from(font.units_per_em());
        let infos = shaped.glyph_infos();
        let mut x = self.width;
        for (i, (info, pos)) in infos.iter().zip(shaped.glyph_positions()).enumerate() {
            let Ok(id) = u16::try_from(info.glyph_id) else {
                continue;
            };
            // A letter that the font lacks is a box in the line, even if it is a mark by right.
            let (dx, dy, advance) = if id == 0 {
                (
                    0.0,
                    0.0,
                    face.advance(0) * f64::from(font.units_per_em()) / 1000.0,
                )
            } else {
                (
                    f64::from(pos.x_offset),
                    f64::from(pos.y_offset),
                    f64::from(pos.x_advance),
                )
            };
            let at = x + dx * unit;
            let up = rise + dy * unit;
            if let Some(b) = face.bounds(id) {
                self.ink = self
                    .ink
                    .with(Point::new(
                        at + f64::from(b.x_min) * unit,
                        -up - f64::from(b.y_max) * unit,
                    ))
                    .with(Point::new(
                        at + f64::from(b.x_max) * unit,
                        -up - f64::from(b.y_min) * unit,
                    ));
            }
            self.glyphs.push(Glyph {
                face,
                id,
                size,
                x: at,
                rise: up,
                text: stands_for(font, text, infos, i),
            });
            x += advance * unit;
        }
        self.width = x;
    }
}

/// The letters that a glyph stands for.
fn stands_for(
    font: &rustybuzz::Face<'_>,
    text: &str,
    infos: &[rustybuzz::GlyphInfo],
    i: usize,
) -> String {
    let start = infos[i].cluster as usize;
    let end = infos
        .iter()
        .map(|g| g.cluster as usize)
        .filter(|c| *c > start)
        .min()
        .unwrap_or(text.len());
    let cluster = text.get(start..end).unwrap_or_default();
    let alone = infos
        .iter()
        .filter(|g| g.cluster == infos[i].cluster)
        .count()
        == 1;
    if alone {
        return cluster.to_owned();
    }
    cluster
        .chars()
        .find(|c| {
            font.glyph_index(*c)
                .is_some_and(|g| u32::from(g.0) == infos[i].glyph_id)
        })
        .map(String::from)
        .unwrap_or_default()
}

/// A text as it can be printed: control and direction characters left out, every kind of blank and
/// line end a plain blank, and no more than two marks over a letter, which is what languages need.
pub(crate) fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut marks = 0;
    for c in text.chars() {
        let mark = matches!(
            c,
            '\u{300}'..='\u{36f}' | '\u{1ab0}'..='\u{1aff}' | '\u{1dc0}'..='\u{1dff}' | '\u{20d0}'..='\u{20ff}'
        );
        marks = if mark { marks + 1 } else { 0 };
        if marks > 2 {
            continue;
        }
        match c {
            '\u{2009}' | '\u{200a}' | '\u{a0}' | '\u{202f}' => out.push(c),
            c if c.is_whitespace() => {
                if !out.ends_with(' ') {
                    out.push(' ');
                }
            }
            c if c.is_control() => {}
            '\u{ad}'
            | '\u{200b}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{feff}'
            | '\u{fe00}'..='\u{fe0f}' => {}
            c => out.push(c),
        }
    }
    out
}

/// Whether paper can show every letter of a text: another is drawn as an empty box.
pub fn can_set(text: &str) -> bool {
    !lacks(text)
}

/// Whether a text holds a letter that the fonts lack, which is drawn as a box.
pub(crate) fn lacks(text: &str) -> bool {
    [Face::Regular, Face::Bold].into_iter().any(|face| {
        face.font().is_none_or(|font| {
            printable(text)
                .chars()
                .any(|c| font.glyph_index(c).is_none_or(|g| g.0 == 0))
        })
    })
}

/// A part of a text: plain, or a fraction to be drawn.
#[derive(Debug, PartialEq, Eq)]
enum Run<'a> {
    Plain(&'a str),
    Fraction(&'a str, &'a str),
}

/// Cuts a text into plain runs and fractions; `9/11` in a date or `3/7/2026` is none.
fn runs(text: &str) -> Vec<Run<'_>> {
    let bytes = text.as_bytes();
    let digit = |i: usize| bytes.get(i).is_some_and(u8::is_ascii_digit);
    let mut out = Vec::new();
    let (mut from, mut i) = (0, 0);
    while i < bytes.len() {
        if !digit(i) {
            i += 1;
            continue;
        }
        let mut j = i;
        while digit(j) {
            j += 1;
        }
        if bytes.get(j) != Some(&b'/') || !digit(j + 1) {
            i = j;
            continue;
        }
        let mut k = j + 1;
        while digit(k) {
            k += 1;
        }
        let before = i.checked_sub(1).map(|b| bytes[b]);
        let alone = !matches!(before, Some(b'/' | b'.' | b',' | b':'))
            && !before.is_some_and(|b| b.is_ascii_alphanumeric())
            && bytes.get(k) != Some(&b'/')
            && !bytes.get(k).is_some_and(u8::is_ascii_alphanumeric);
        let value = |s: &str| s.parse::<u32>().unwrap_or(0);
        let (n, d) = (&text[i..j], &text[j + 1..k]);
        let sane = matches!(
            value(d),
            2 | 3 | 4 | 5 | 6 | 8 | 10 | 12 | 16 | 20 | 32 | 64
        ) && value(n) > 0
            && value(n) < value(d);
        if alone && sane {
            if from < i {
                out.push(Run::Plain(&text[from..i]));
            }
            out.push(Run::Fraction(n, d));
            from = k;
        }
        i = k;
    }
    if from < text.len() {
        out.push(Run::Plain(&text[from..]));
    }
    out
}

/// Sets a line of letters. Fractions are drawn upright on one slant with the font's own small
/// figures at 1.3 of the size, so that a figure stands 0.57 em.
pub(crate) fn set(text: &str, size: f64, bold: bool) -> Lettering {
    let clean = printable(text);
    let face = Face::of(bold);
    let em = size * MM_PER_POINT;
    let mut out = Lettering::empty();
    let all = runs(&clean);
    for (i, run) in all.iter().enumerate() {
        match run {
            Run::Plain(plain) => {
                let after_number = matches!(all.get(i + 1), Some(Run::Fraction(..)))
                    && plain
                        .strip_suffix([' ', '\u{a0}'])
                        .is_some_and(|s| s.ends_with(|c: char| c.is_ascii_digit()));
                if let (true, Some(Run::Fraction(n, _))) = (after_number, all.get(i + 1)) {
                    let cut = plain.trim_end_matches([' ', '\u{a0}']);
                    // A thin space after the whole, a hair more unless the figure is 1.
                    let gap = if n.starts_with('1') {
                        "\u{2009}"
                    } else {
                        "\u{2009}\u{200a}"
                    };
                    out.push(&format!("{cut}{gap}"), face, size, 0.0, false);
                } else {
                    out.push(plain, face, size, 0.0, false);
                }
            }
            Run::Fraction(n, d) => {
                out.push(n, face, size * 1.3, 0.24 * em, true);
                out.push("\u{2044}", face, size * 1.15, -0.05 * em, false);
                out.push(d, face, size * 1.3, -0.09 * em, true);
            }
        }
    }
    out.text = clean;
    if out.ink == Rect::EMPTY {
        out.ink = Rect::new(0.0, 0.0, 0.0, 0.0);
    }
    out.ink.x0 = out.ink.x0.min(0.0);
    out.ink.x1 = out.ink.x1.max(out.width);
    out
}

/// Figures that are to stand under each other: the whole ends at the tab, the fraction begins 0.7 mm
/// after it. Gives the part left of the tab and the part right of it.
pub(crate) fn figures(value: &str) -> Option<(String, String)> {
    let v = value.trim().replace('-', "\u{2013}");
    let is_number = |s: &str| {
        let s = s.strip_prefix('\u{2013}').unwrap_or(s);
        !s.is_empty()
            && s.bytes()
                .all(|b| b.is_ascii_digit() || matches!(b, b'.' | b','))
    };
    let fraction = |s: &str| matches!(runs(s).as_slice(), [Run::Fraction(..)]);
    if let Some((w, f)) = v.split_once(' ')
        && is_number(w)
        && fraction(f)
    {
        return Some((w.to_owned(), f.to_owned()));
    }
    if is_number(&v) {
        return Some((v, String::new()));
    }
    let (minus, rest) = v
        .strip_prefix('\u{2013}')
        .map_or(("", v.as_str()), |r| ("\u{2013}", r));
    fraction(rest).then(|| (minus.to_owned(), rest.to_owned()))
}

/// A stretch of a paragraph in one weight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Span {
    pub(crate) text: String,
    pub(crate) bold: bool,
}

impl Span {
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            bold: false,
        }
    }

    pub(crate) fn bold(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            bold: true,
        }
    }
}

/// A line of a paragraph: stretches of one weight, each with its place from the left.
pub(crate) type Set = Vec<(f64, Lettering)>;

/// Breaks a paragraph into lines no wider than `width` mm. A number keeps its fraction and its unit;
/// a word wider than the line is cut.
pub(crate) fn paragraph(spans: &[Span], size: f64, width: f64) -> Vec<Set> {
    let blank = blank(size);
    // Words with their weight, line by line.
    let mut lines: Vec<Vec<(String, bool)>> = vec![Vec::new()];
    let mut x = 0.0;
    for span in spans {
        let text = kept_together(&printable(&span.text));
        for word in text.split(' ').filter(|w| !w.is_empty()) {
            for part in cut_to(word, size, span.bold, width) {
                let Some(line) = lines.last_mut() else {
                    continue;
                };
                let lead = if line.is_empty() { 0.0 } else { blank };
                if !line.is_empty() && x + lead + part.width > width {
                    x = part.width;
                    lines.push(vec![(part.text, span.bold)]);
                } else {
                    line.push((part.text, span.bold));
                    x += lead + part.width;
                }
            }
        }
    }
    lines.retain(|l| !l.is_empty());
    lines
        .iter()
        .map(|line| {
            let mut x = 0.0;
            line.chunk_by(|a, b| a.1 == b.1)
                .map(|run| {
                    let text: Vec<&str> = run.iter().map(|w| w.0.as_str()).collect();
                    let letters = set(&text.join(" "), size, run[0].1);
                    let at = x;
                    x += letters.width + blank;
                    (at, letters)
                })
                .collect()
        })
        .collect()
}

/// The width of a blank.
fn blank(size: f64) -> f64 {
    set("x x", size, false).width - 2.0 * set("x", size, false).width
}

pub(crate) fn kept_together(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut out = String::new();
    for (i, w) in words.iter().enumerate() {
        if i > 0 {
            let before = words[i - 1];
            let number = before.ends_with(|c: char| c.is_ascii_digit());
            // What already holds together with this one, as a unit does, says nothing of the one before.
            let own = w.split('\u{a0}').next().unwrap_or(w);
            let bare = own.trim_end_matches(|c: char| c.is_ascii_punctuation());
            let fraction = matches!(runs(bare).as_slice(), [Run::Fraction(..)]);
            let unit = matches!(bare, "in" | "cm" | "mm" | "yd" | "m" | "%");
            out.push(if number && (fraction || unit) {
                '\u{a0}'
            } else {
                ' '
            });
        }
        out.push_str(w);
    }
    out
}

fn cut_to(word: &str, size: f64, bold: bool, width: f64) -> Vec<Lettering> {
    let whole = set(word, size, bold);
    if whole.width <= width {
        return vec![whole];
    }
    let letters: Vec<char> = word.chars().collect();
    let fit = (real(letters.len()) * width / whole.width * 0.9).floor();
    let fit = crate::number::count(fit).max(1);
    letters
        .chunks(fit)
        .map(|c| set(&c.iter().collect::<String>(), size, bold))
        .collect()
}

/// A text shortened with an ellipsis until it is no wider than `width` mm.
pub(crate) fn shortened(text: &str, size: f64, bold: bool, width: f64) -> Lettering {
    let whole = set(text, size, bold);
    if whole.width <= width {
        return whole;
    }
    let letters: Vec<char> = printable(text).chars().collect();
    let (mut low, mut high) = (0, letters.len());
    while low < high {
        let mid = usize::midpoint(low, high + 1).min(high);
        let mid = if mid == low { high } else { mid };
        let short: String = letters[..mid].iter().collect();
        if set(&format!("{}\u{2026}", short.trim_end()), size, bold).width <= width {
            low = mid;
        } else {
            high = mid - 1;
        }
    }
    let short: String = letters[..low].iter().collect();
    set(&format!("{}\u{2026}", short.trim_end()), size, bold)
}

#[cfg(test)]
mod tests;
