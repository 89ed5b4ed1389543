//! The writer of DXF: R12 in plain ASCII, a block for each piece, its layers after ASTM D6673.
//!
//! R12 because it is the smallest file that everything opens: no handles, no classes, no units. Every
//! curve is a chain of chords, the same as in the report: within 0.005 mm. A block holds its piece in
//! the piece's own millimetres with y turned up, once, here; it is placed without scale or turn.
//! What the layers mean is told in `docs/paper.md`, and what of it could not be checked.

use core::fmt::Write;

use measure::{Angle, Point, Vector};
use piece::flat;

use crate::ascii::plain;
use crate::drawing::Ink;
use crate::face::MM_PER_POINT;
use crate::label;
use crate::letters::HAND;
use crate::number::real;
use crate::order::{Order, SheetFault};
use crate::pattern::{dressed, in_rows};
use crate::quad::Rect;
use crate::traced::Traced;
use crate::words::Words;

/// The layers that are used, with a colour for the screen and a line type. Colour means nothing.
const LAYERS: [(&str, i64, &str); 11] = [
    ("0", 7, SOLID),
    (BOUNDARY, 7, SOLID),
    (TURN, 8, SOLID),
    (CURVE, 8, SOLID),
    (NOTCH, 1, SOLID),
    (FOLD, 6, FOLDED),
    (GRAIN, 2, SOLID),
    (INNER, 3, SOLID),
    (DRILL, 1, SOLID),
    (SEW, 4, STITCHED),
    (NOTE, 7, SOLID),
];
const BOUNDARY: &str = "1";
const TURN: &str = "2";
const CURVE: &str = "3";
const NOTCH: &str = "4";
const FOLD: &str = "6";
const GRAIN: &str = "7";
const INNER: &str = "8";
const DRILL: &str = "13";
const SEW: &str = "14";
const NOTE: &str = "15";

const SOLID: &str = "CONTINUOUS";
const STITCHED: &str = "STITCHING";
const FOLDED: &str = "FOLD";

/// Where the cutting line turns by more than this sine, it has a corner: about 3 degrees.
const TURNS: f64 = 0.05;
/// Height of the lines of facts under a piece, and from one to the next.
const HIGH: f64 = 5.0;
const LEAD: f64 = 8.5;
/// A letter of the plainest font is no wider than this part of its height.
const WIDE: f64 = 1.05;
/// The most that one text may hold.
const LONGEST: usize = 250;
/// Capitals of the paper's font stand so high above the base line, in ems.
const CAPITALS: f64 = 0.714;
/// The side of the test square.
const SQUARE: f64 = 100.0;
/// No window at all.
const EVERYWHERE: Rect = Rect::new(-1e6, -1e6, 2e6, 2e6);
const SQUARE_BLOCK: &str = "TEST_SQUARE_100_MM";

/// The file in the making: pairs of a code and a value.
struct Pairs(String);

impl Pairs {
    fn word(&mut self, code: u16, value: &str) {
        let _ = write!(self.0, "{code}\r\n{value}\r\n");
    }

    fn whole(&mut self, code: u16, value: i64) {
        let _ = write!(self.0, "{code}\r\n{value}\r\n");
    }

    fn real(&mut self, code: u16, value: f64) {
        let text = format!("{value:.4}");
        let text = if text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
            "0.0000"
        } else {
            &text
        };
        self.word(code, text);
    }

    /// A point of the paper, y turned up; `more` is added to the codes.
    fn place(&mut self, p: Point, more: u16) {
        self.real(10 + more, p.x);
        self.real(20 + more, -p.y);
        self.real(30 + more, 0.0);
    }

    fn begin(&mut self, entity: &str, layer: &str) {
        self.word(0, entity);
        self.word(8, layer);
    }

    fn point(&mut self, layer: &str, p: Point) {
        self.begin("POINT", layer);
        self.place(p, 0);
    }

    fn line(&mut self, layer: &str, from: Point, to: Point) {
        self.begin("LINE", layer);
        self.place(from, 0);
        self.place(to, 1);
    }

    fn circle(&mut self, layer: &str, centre: Point, radius: f64) {
        self.begin("CIRCLE", layer);
        self.place(centre, 0);
        self.real(40, radius);
    }

    /// A closed chain; its first point is not said twice.
    fn ring(&mut self, layer: &str, points: &[Point]) {
        self.begin("POLYLINE", layer);
        self.whole(66, 1);
        self.place(Point::default(), 0);
        self.whole(70, 1);
        for p in once_each(points) {
            self.begin("VERTEX", layer);
            self.place(p, 0);
        }
        self.begin("SEQEND", layer);
    }

    fn text(&mut self, layer: &str, at: Point, high: f64, text: &str) {
        self.begin("TEXT", layer);
        self.place(at, 0);
        self.real(40, high);
        self.word(1, text);
    }

    /// A text turned clockwise about its beginning that is as wide as on the paper, whatever the
    /// reader's font: it is fitted between two points.
    fn fitted(&mut self, at: Point, (turn, wide, high): (Angle, f64, f64), text: &str) {
        self.text(NOTE, at, high, text);
        self.real(50, -turn.in_degrees());
        self.whole(72, 5);
        self.place(at + Vector::new(wide, 0.0).turned(turn), 1);
    }
}

/// The points of a closed chain, each said once.
fn once_each(points: &[Point]) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::with_capacity(points.len());
    let near = |a: &Point, b: &Point| (a.x - b.x).abs() < 1e-4 && (a.y - b.y).abs() < 1e-4;
    for p in points {
        if out.last().is_none_or(|l| !near(l, p)) {
            out.push(*p);
        }
    }
    while out.len() > 1 && near(&out[0], &out[out.len() - 1]) {
        out.pop();
    }
    out
}

/// A text as this file may hold it: plain ASCII on one line, with nothing that a reader takes for a
/// sign of its own (`%%d`, `^J`, `\U+00E9`).
fn value(text: &str) -> String {
    let mut out = String::new();
    for c in plain(text).chars() {
        match c {
            '%' if out.ends_with('%') => out.push_str(" %"),
            '^' => out.push('\''),
            '\\' => out.push('/'),
            c => out.push(c),
        }
        if out.len() >= LONGEST {
            break;
        }
    }
    out
}

/// A short name that no other block has: capitals, figures and low lines, at most 28 of them.
fn block_name(name: &str, number: usize, taken: &[String]) -> String {
    let mut short = String::new();
    for c in plain(name).to_uppercase().chars() {
        if c.is_ascii_alphanumeric() {
            short.push(c);
        } else if !short.is_empty() && !short.ends_with('_') {
            short.push('_');
        }
        if short.len() >= 24 {
            break;
        }
    }
    let short = short.trim_end_matches('_');
    let short = if short.is_empty() {
        format!("PIECE_{number}")
    } else {
        short.to_owned()
    };
    let mut name = short.clone();
    let mut n = 2;
    while taken.contains(&name) || name == SQUARE_BLOCK {
        name = format!("{short}_{n}");
        n += 1;
    }
    name
}

/// A block: its name, what is in it, and the box round it in millimetres with y down.
struct Block {
    name: String,
    body: String,
    bounds: Rect,
}

/// Adds lines of facts under a box, and joins them to it.
fn facts(out: &mut Pairs, bounds: Rect, lines: &[(&str, String)]) -> Rect {
    let mut all = bounds;
    for (i, (layer, text)) in lines.iter().enumerate() {
        let at = Point::new(bounds.x0, bounds.y1 + LEAD * (real(i) + 1.2));
        out.text(layer, at, HIGH, text);
        let right = Point::new(at.x + real(text.len()) * HIGH * WIDE, at.y - HIGH);
        all = all.with(at).with(right);
    }
    all
}

/// A text broken at blanks into lines of some 64 letters.
fn broken(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        match lines.last_mut() {
            Some(line) if line.len() + word.len() < 64 => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// One line of facts in the standard's own form.
fn fact(keyword: &str, said: &str) -> (&'static str, String) {
    (BOUNDARY, format!("{keyword}: {}", value(said)))
}

fn piece_block(
    piece: &Traced<'_>,
    order: &Order,
    words: &Words,
    name: String,
) -> Result<Block, SheetFault> {
    let p = &piece.given.piece;
    let fault = |f| SheetFault::Piece(p.name.clone(), f);
    let line = piece::cutting_line(p).map_err(fault)?;
    let stitching = flat::stitching(p).map_err(fault)?;
    let mut out = Pairs(String::new());

    let cutting = flat::cutting(&line).points;
    out.ring(BOUNDARY, &cutting);
    let corners = corners(&line.curve);
    for v in once_each(&cutting) {
        let turns = corners.iter().any(|c| (*c - v).size() < 1e-3);
        out.point(if turns { TURN } else { CURVE }, v);
    }
    for (at, inside) in &piece.snips {
        out.point(NOTCH, *at);
        out.line(NOTCH, *at, *inside);
    }
    for (from, to) in &piece.folds {
        out.line(FOLD, *from, *to);
    }
    if let Some(g) = p.grain {
        out.line(GRAIN, g.from, g.to);
    }
    for b in &p.balance {
        out.line(INNER, b.from, b.to);
    }
    for a in &piece.given.alterations {
        out.line(INNER, a.from, a.to);
    }
    for dart in &p.darts {
        let curve = &p.edge(&dart.edge).map_err(fault)?.curve;
        for mouth in [dart.mouth.0, dart.mouth.1] {
            out.line(INNER, curve.at(mouth).point, dart.tip);
        }
    }
    for dot in &piece.dots {
        out.point(DRILL, *dot);
        out.circle(DRILL, *dot, 1.1);
    }
    out.ring(SEW, &stitching.points);

    let label = label::of(piece, order, words, &HAND, (f64::INFINITY, f64::INFINITY));
    let page = dressed(
        order,
        words,
        piece,
        &label,
        Vector::new(0.0, 0.0),
        &EVERYWHERE,
    );
    let mut bounds = piece.bounds;
    for item in &page.drawing.items {
        if let Ink::Letters(letters, at, turn) = &item.ink {
            let Some(size) = letters.glyphs.iter().map(|g| g.size).reduce(f64::min) else {
                continue;
            };
            let said = value(&letters.text);
            if said.is_empty() {
                continue;
            }
            let high = size * MM_PER_POINT * CAPITALS;
            out.fitted(*at, (*turn, letters.width, high), &said);
            bounds = bounds.joined(&letters.quad(*at, *turn).bounds);
        }
    }
    let mut lines = vec![fact("PIECE NAME", &p.name), fact("SIZE", &order.version)];
    if let Some(cut) = p.cuts.first() {
        lines.push(fact("QUANTITY", &cut.count.to_string()));
        lines.push(fact("MATERIAL", &cut.cloth));
    }
    for span in label::cuts(piece, words) {
        lines.push(fact("ANNOTATION", &span.text));
    }
    let bounds = facts(&mut out, bounds, &lines);
    Ok(Block {
        name,
        body: out.0,
        bounds,
    })
}

/// The corners of a closed curve: where two of its segments meet at an angle.
fn corners(curve: &measure::Curve) -> Vec<Point> {
    let all = curve.segments();
    let n = all.len();
    (0..n)
        .filter(|i| {
            let (before, after) = (all[(i + n - 1) % n].direction(1.0), all[*i].direction(0.0));
            before.cross(after).abs() > TURNS || before.dot(after) < 0.0
        })
        .map(|i| all[i].from())
        .collect()
}

/// The square that shows whether a reader took the numbers for millimetres, and what the file is.
fn square_block(order: &Order, words: &Words) -> Block {
    let mut out = Pairs(String::new());
    let square = Rect::new(0.0, 0.0, SQUARE, SQUARE);
    out.ring(INNER, &square.corners());
    out.text(NOTE, Point::new(8.0, 50.0), HIGH, words.dxf_square);
    out.text(NOTE, Point::new(8.0, 60.0), HIGH, words.dxf_units);
    let mut lines = vec![
        fact("STYLE NAME", &order.title),
        fact("AUTHOR", "Ellwand"),
        fact("SAMPLE SIZE", &order.version),
        fact("UNITS", "METRIC"),
    ];
    let taken = order.taken.clone().unwrap_or_default();
    let says = [order.code.clone(), taken, words.dxf_says.to_owned()];
    for note in says.iter().chain(&order.remarks).chain(&order.estimates) {
        lines.extend(broken(&value(note)).into_iter().map(|n| (NOTE, n)));
    }
    let bounds = facts(&mut out, square, &lines);
    Block {
        name: SQUARE_BLOCK.to_owned(),
        body: out.0,
        bounds,
    }
}

fn tables(out: &mut Pairs) {
    out.word(0, "SECTION");
    out.word(2, "TABLES");
    out.word(0, "TABLE");
    out.word(2, "LTYPE");
    out.whole(70, 3);
    for (name, about, dashes) in [
        (SOLID, "Solid line", &[][..]),
        (STITCHED, "Stitching __ __ __", &[6.0, -2.0][..]),
        (FOLDED, "Fold ____ _ ____", &[12.0, -2.0, 2.0, -2.0][..]),
    ] {
        out.word(0, "LTYPE");
        out.word(2, name);
        out.whole(70, 0);
        out.word(3, about);
        out.whole(72, 65);
        out.whole(73, i64::try_from(dashes.len()).unwrap_or(0));
        out.real(40, dashes.iter().map(|d: &f64| d.abs()).sum());
        for d in dashes {
            out.real(49, *d);
        }
    }
    out.word(0, "ENDTAB");
    out.word(0, "TABLE");
    out.word(2, "LAYER");
    out.whole(70, i64::try_from(LAYERS.len()).unwrap_or(0));
    for (name, colour, line) in LAYERS {
        out.word(0, "LAYER");
        out.word(2, name);
        out.whole(70, 0);
        out.whole(62, colour);
        out.word(6, line);
    }
    out.word(0, "ENDTAB");
    out.word(0, "TABLE");
    out.word(2, "STYLE");
    out.whole(70, 1);
    out.word(0, "STYLE");
    out.word(2, "STANDARD");
    out.whole(70, 0);
    out.real(40, 0.0);
    out.real(41, 1.0);
    out.real(50, 0.0);
    out.whole(71, 0);
    out.real(42, HIGH);
    out.word(3, "txt");
    out.word(4, "");
    out.word(0, "ENDTAB");
    out.word(0, "ENDSEC");
}

/// All pieces as DXF R12, side by side at true size in millimetres, with a test square.
///
/// One block for each piece; layers after ASTM D6673 (withdrawn 2019), not certified. Coordinates are
/// those of the cutting and stitching lines as chords within 0.005 mm, written to a ten-thousandth. It is
/// the file that goes to others, so it bears the order's code, never the client's name.
///
/// # Errors
/// When there are no pieces, or one of them has no cutting line.
pub fn pattern_dxf(order: &Order) -> Result<String, SheetFault> {
    if order.pieces.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let order = &Order {
        client: String::new(),
        ..order.clone()
    };
    let words = order.words;
    let mut blocks = vec![square_block(order, words)];
    let mut taken: Vec<String> = Vec::new();
    for (i, given) in order.pieces.iter().enumerate() {
        let piece = Traced::new(given, (i + 1, order.pieces.len()), &order.left_out)?;
        let name = block_name(&given.piece.name, i + 1, &taken);
        taken.push(name.clone());
        blocks.push(piece_block(&piece, order, words, name)?);
    }
    let boxes: Vec<Rect> = blocks.iter().map(|b| b.bounds).collect();
    let (width, height, shifts) = in_rows(&boxes);

    let mut out = Pairs(String::new());
    out.word(0, "SECTION");
    out.word(2, "HEADER");
    out.word(9, "$ACADVER");
    out.word(1, "AC1009");
    for (name, x, y) in [("$EXTMIN", 0.0, 0.0), ("$EXTMAX", width, height)] {
        out.word(9, name);
        out.real(10, x);
        out.real(20, y);
        out.real(30, 0.0);
    }
    out.word(0, "ENDSEC");
    tables(&mut out);
    out.word(0, "SECTION");
    out.word(2, "BLOCKS");
    for block in &blocks {
        out.begin("BLOCK", "0");
        out.word(2, &block.name);
        out.whole(70, 0);
        out.place(Point::default(), 0);
        out.word(3, &block.name);
        out.word(1, "");
        out.0.push_str(&block.body);
        out.begin("ENDBLK", "0");
    }
    out.word(0, "ENDSEC");
    out.word(0, "SECTION");
    out.word(2, "ENTITIES");
    for (block, shift) in blocks.iter().zip(&shifts) {
        out.begin("INSERT", BOUNDARY);
        out.word(2, &block.name);
        // The foot of the whole is nought, so that all of it lies up and to the right.
        out.place(Point::new(shift.x, shift.y - height), 0);
    }
    out.word(0, "ENDSEC");
    out.word(0, "EOF");
    Ok(out.0)
}

#[cfg(test)]
mod tests;
