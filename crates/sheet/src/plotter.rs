//! The writer for plotters: HP-GL/2, whole numbers of 0.025 mm, straight strokes only.
//!
//! X runs along the roll, which is down the drawing. Three things are done by hand, because plotters
//! differ in them: dashes are cut into strokes of their own (a plotter's own dashes start afresh at
//! every corner of a chain of chords, or follow the size of the plot); letters are drawn by their
//! outlines (its own letters have no accents); small filled shapes are hatched. So no text of hers is
//! in the file, and nothing in it can be taken for a command.

use core::fmt::Write;

use measure::{Point, Vector};

use crate::drawing::{Drawing, Ink, Item, Pen, Shape, Step};
use crate::face::{Face, Lettering, MM_PER_POINT};
use crate::large::{Bed, large};
use crate::number::{real, whole};
use crate::order::{Order, SheetFault};
use crate::quad::Rect;

/// Plotter units in a millimetre.
const UNITS: f64 = 40.0;
/// How far a chord may lie off a line of the pattern; with the rounding to units it stays below
/// 0.02 mm.
const OFF: f64 = 0.002;
/// The same for letters.
const OFF_LETTERS: f64 = 0.02;
/// The pen for letters and for filled shapes, and how closely these are hatched.
const FINE: f64 = 0.25;
/// White between the ink and the edge of the plot: half of the widest pen, and some more.
const WHITE: f64 = 2.0;
/// Strokes are put in order within bands so wide, so that the paper need not run to and fro.
const BAND: f64 = 300.0;
/// The most trains that are put in order together.
const TOGETHER: usize = 1500;
/// A rectangle with sides from here on is there to be measured: it is drawn first.
const MEASURED: f64 = 100.0;
/// Places in one command: longer ones overflow some plotters.
const PLACES: usize = 40;

/// A place in plotter units.
type Place = (i64, i64);

/// Strokes that are drawn one after the other with one pen: a dashed line, a line of letters.
#[derive(Clone, Debug)]
struct Train {
    strokes: Vec<Vec<Place>>,
    pen: f64,
}

impl Train {
    fn start(&self) -> Place {
        self.strokes[0][0]
    }

    fn end(&self) -> Place {
        let last = &self.strokes[self.strokes.len() - 1];
        last[last.len() - 1]
    }

    fn turned_round(mut self) -> Self {
        self.strokes.reverse();
        for s in &mut self.strokes {
            s.reverse();
        }
        self
    }
}

/// Writes sheets as plots of one file.
pub(crate) fn write(sheets: &[Drawing]) -> String {
    let mut out = String::new();
    for sheet in sheets {
        plot(&mut out, sheet);
    }
    out
}

/// The chains of one entry in millimetres, dashes cut and window kept, with the width of the pen.
fn chains(item: &Item) -> (Vec<Vec<Point>>, f64) {
    let (chains, pen) = match &item.ink {
        Ink::Stroke(shape, pen) => {
            let solid = shape.chains(OFF);
            (
                solid.iter().flat_map(|c| dashes(c, pen)).collect(),
                pen.width,
            )
        }
        Ink::Fill(shape) => {
            let mut all = shape.chains(OFF);
            all.extend(hatch(&all));
            (all, FINE)
        }
        Ink::Letters(letters, at, turn) => (outlines(letters, *at, *turn), FINE),
    };
    match item.clip {
        Some(window) => (
            chains.iter().flat_map(|c| within(c, &window)).collect(),
            pen,
        ),
        None => (chains, pen),
    }
}

/// A chain cut into its dashes.
fn dashes(chain: &[Point], pen: &Pen) -> Vec<Vec<Point>> {
    let period: f64 = pen.dash.iter().sum();
    if pen.dash.is_empty() || period < 0.1 {
        return vec![chain.to_vec()];
    }
    // Where in the pattern the chain begins.
    let mut i = 0;
    let mut left = pen.phase - (pen.phase / period).floor() * period;
    while left >= pen.dash[i] {
        left -= pen.dash[i];
        i = (i + 1) % pen.dash.len();
    }
    let mut left = pen.dash[i] - left;
    let mut out: Vec<Vec<Point>> = Vec::new();
    let mut here: Vec<Point> = chain.first().copied().into_iter().collect();
    for w in chain.windows(2) {
        let long = (w[1] - w[0]).size();
        let mut done = 0.0;
        while long - done > left {
            done += left;
            let at = w[0].toward(w[1], done / long);
            if i % 2 == 0 {
                here.push(at);
                out.push(core::mem::take(&mut here));
            } else {
                here = vec![at];
            }
            i = (i + 1) % pen.dash.len();
            // A pattern of nothings would never end.
            left = pen.dash[i].max(1e-3);
        }
        left -= long - done;
        if i % 2 == 0 {
            here.push(w[1]);
        }
    }
    if i % 2 == 0 {
        out.push(here);
    }
    out.retain(|s| s.len() > 1);
    out
}

/// The parts of a chain inside a window.
fn within(chain: &[Point], window: &Rect) -> Vec<Vec<Point>> {
    let mut out: Vec<Vec<Point>> = Vec::new();
    for w in chain.windows(2) {
        let Some((a, b)) = window.clipped(w[0], w[1]) else {
            continue;
        };
        match out.last_mut() {
            Some(part) if part.last() == Some(&a) => part.push(b),
            _ => out.push(vec![a, b]),
        }
    }
    out
}

/// Level strokes that fill what chains enclose, in one go to and fro.
fn hatch(chains: &[Vec<Point>]) -> Vec<Vec<Point>> {
    let box_ = Rect::around(chains.iter().flatten());
    if box_.height().partial_cmp(&0.0) != Some(core::cmp::Ordering::Greater) {
        return Vec::new();
    }
    let rows = crate::number::count((box_.height() / FINE).ceil()).clamp(1, 400);
    let mut out = Vec::new();
    for row in 0..rows {
        let y = box_.y0 + box_.height() * (real(row) + 0.5) / real(rows);
        let mut cuts: Vec<f64> = chains
            .iter()
            .flat_map(|c| c.windows(2))
            .filter(|w| (w[0].y > y) != (w[1].y > y))
            .map(|w| w[0].x + (y - w[0].y) / (w[1].y - w[0].y) * (w[1].x - w[0].x))
            .collect();
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.chunks_exact(2) {
            let (a, b) = (Point::new(pair[0], y), Point::new(pair[1], y));
            out.push(if row % 2 == 0 { vec![a, b] } else { vec![b, a] });
        }
    }
    out
}

/// Letters by the outlines of their glyphs.
fn outlines(letters: &Lettering, at: Point, turn: measure::Angle) -> Vec<Vec<Point>> {
    letters
        .glyphs
        .iter()
        .flat_map(|g| {
            let k = g.size * MM_PER_POINT / 1000.0;
            let from = at + Vector::new(g.x, -g.rise).turned(turn);
            let place = |p: Point| from + Vector::new(p.x * k, -p.y * k).turned(turn);
            glyph(g.face, g.id, place).chains(OFF_LETTERS)
        })
        .collect()
}

fn glyph(face: Face, id: u16, place: impl Fn(Point) -> Point) -> Shape {
    let steps = face.outline(id);
    Shape::Path(
        steps
            .iter()
            .map(|s| match *s {
                Step::Move(p) => Step::Move(place(p)),
                Step::Line(p) => Step::Line(place(p)),
                Step::Cubic(a, b, c) => Step::Cubic(place(a), place(b), place(c)),
                Step::Close => Step::Close,
            })
            .collect(),
    )
}

/// The pattern for a plotter with a roll 36 in wide: HP-GL/2, the pieces nested as on the roll of
/// paper, at true size. What is longer than 200 in comes as several plots.
///
/// # Errors
/// As [`large_pdf`](crate::large_pdf).
pub fn pattern_plt(order: &Order) -> Result<String, SheetFault> {
    let sheets = large(order, order.words, &Bed::ROLL)?.pages;
    let drawings: Vec<Drawing> = sheets.into_iter().map(|p| p.drawing).collect();
    Ok(write(&drawings))
}

/// One sheet: its frame, what is to be measured first, then all else in an order that spares the pen
/// way.
fn plot(out: &mut String, sheet: &Drawing) {
    let all: Vec<(bool, Vec<Vec<Point>>, f64)> = sheet
        .items
        .iter()
        .map(|item| {
            let (chains, pen) = chains(item);
            (is_measured(item), chains, pen)
        })
        .collect();
    let ink = Rect::around(all.iter().flat_map(|(_, c, _)| c.iter().flatten()));
    if ink == Rect::EMPTY {
        return;
    }
    let origin = (ink.x0 - WHITE, ink.y0 - WHITE);
    let place = |p: &Point| {
        (
            whole((p.y - origin.1) * UNITS),
            whole((p.x - origin.0) * UNITS),
        )
    };
    let mut first: Vec<Train> = Vec::new();
    let mut rest: Vec<Train> = Vec::new();
    for (measured, chains, pen) in &all {
        let strokes: Vec<Vec<Place>> = chains
            .iter()
            .map(|c| {
                let mut stroke: Vec<Place> = c.iter().map(place).collect();
                stroke.dedup();
                stroke
            })
            .filter(|s| !s.is_empty())
            .collect();
        if !strokes.is_empty() {
            let train = Train { strokes, pen: *pen };
            if *measured { &mut first } else { &mut rest }.push(train);
        }
    }
    let long = whole((ink.height() + 2.0 * WHITE).max(ink.width() + 2.0 * WHITE) * UNITS);
    let wide = whole((ink.width() + 2.0 * WHITE) * UNITS);
    // Plotters lay X along the longer side; a short plot is made as long as it is wide.
    let _ = write!(out, "IN;SP1;\nPS{long},{wide};\nPA;LT;\n");
    let here = first.last().map_or((0, 0), Train::end);
    first.extend(in_order(rest, here));
    let mut pen = 0.0;
    for train in &first {
        if (train.pen - pen).abs() > 1e-9 {
            pen = train.pen;
            let _ = writeln!(out, "PW{pen:.2};");
        }
        for stroke in &train.strokes {
            draw(out, stroke);
        }
    }
    out.push_str("PU;SP0;\nPG;\n");
}

/// Whether an entry is a square to be measured before paper is spent on the rest.
fn is_measured(item: &Item) -> bool {
    matches!(&item.ink, Ink::Stroke(Shape::Rect(r), _) if r.width() >= MEASURED && (r.width() - r.height()).abs() < 1e-6)
}

/// One stroke. A place alone is a dot.
fn draw(out: &mut String, stroke: &[Place]) {
    let (x, y) = stroke[0];
    let _ = write!(out, "PU{x},{y};");
    let rest = if stroke.len() > 1 {
        &stroke[1..]
    } else {
        stroke
    };
    for part in rest.chunks(PLACES) {
        out.push_str("PD");
        for (i, (x, y)) in part.iter().enumerate() {
            let comma = if i > 0 { "," } else { "" };
            let _ = write!(out, "{comma}{x},{y}");
        }
        out.push_str(";\n");
    }
}

/// Band after band along the roll, and in each always the nearest beginning or end next.
fn in_order(mut trains: Vec<Train>, mut here: Place) -> Vec<Train> {
    let begins = |t: &Train| t.strokes.iter().flatten().map(|p| p.0).min().unwrap_or(0);
    let band = whole(BAND * UNITS);
    trains.sort_by_cached_key(|t| begins(t) / band);
    let mut out: Vec<Train> = Vec::with_capacity(trains.len());
    while !trains.is_empty() {
        let number = begins(&trains[0]) / band;
        let same = trains
            .iter()
            .take_while(|t| begins(t) / band == number)
            .count();
        let mut open: Vec<Train> = trains.drain(..same.min(TOGETHER)).collect();
        while !open.is_empty() {
            let way = |p: Place| {
                let (dx, dy) = (p.0 - here.0, p.1 - here.1);
                dx * dx + dy * dy
            };
            let nearest = open
                .iter()
                .enumerate()
                .flat_map(|(i, t)| [(way(t.start()), i, false), (way(t.end()), i, true)])
                .min();
            let Some((_, i, back)) = nearest else { break };
            let train = open.swap_remove(i);
            let train = if back { train.turned_round() } else { train };
            here = train.end();
            out.push(train);
        }
    }
    out
}

#[cfg(test)]
mod tests;
