//! The pieces in small, with number, what to cut and the long check under each.

use measure::{Point, Vector};

use super::{Covered, thinned};
use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Set, Span, paragraph, set};
use crate::flow::{Column, LEAD, SMALL};
use crate::page::{Page, Spot};
use crate::traced::Traced;
use crate::words::{capital, fill};

/// From the base line of the head to the first outline.
const UNDER_HEAD: f64 = 9.0;
/// From the lowest outline of a row to the name under it, and white after a row.
const UNDER_PIECE: f64 = 6.5;
const AFTER_ROW: f64 = 6.0;
/// White between two pieces of a row: room for the letters of their marks.
const BETWEEN: f64 = 7.0;
/// The scale of the pieces; others are taken only where they save a page or a piece is too large.
const SCALE: f64 = 20.0;
/// From a piece to the words at its right, and from its head to their first base line.
const ASIDE: f64 = 7.0;
const DOWN: f64 = 4.6;
/// The widest a name under a piece may be before it is broken.
const NAME: f64 = 46.0;

/// The pieces in small, side by side in rows.
#[derive(Clone, Debug)]
pub(super) struct Small {
    scale: f64,
    /// The words stand at the right of a piece, not under it.
    aside: bool,
    rows: Vec<Row>,
    /// The first row to be drawn.
    first: usize,
    /// Of all rows, with the head.
    pub(super) height: f64,
}

/// Pieces side by side.
#[derive(Clone, Debug, Default)]
struct Row {
    /// Which piece, and how far from the left it stands.
    cells: Vec<(usize, f64)>,
    /// The tallest outline, and the tallest text.
    tall: f64,
    text: f64,
}

impl Row {
    fn height(&self, aside: bool) -> f64 {
        let words = self.text + if aside { DOWN } else { UNDER_PIECE };
        AFTER_ROW
            + if aside {
                self.tall.max(words)
            } else {
                self.tall + words
            }
    }
}

impl Small {
    /// At 1:20, or a little smaller, if all of it finds room in a column.
    pub(super) fn beside(c: &Covered<'_>, width: f64, height: f64) -> Option<Self> {
        [SCALE, 24.0, 28.0]
            .iter()
            .filter(|s| Self::widest(c, **s) <= width)
            .flat_map(|s| [false, true].map(|aside| Self::at(c, width, *s, aside)))
            .find(|t| t.height <= height && t.widest_row(c, width) <= width)
    }

    /// What the head and the first row take.
    pub(super) fn least(&self) -> f64 {
        UNDER_HEAD + self.rows.first().map_or(0.0, |r| r.height(self.aside)) - AFTER_ROW
    }

    /// How far the words at the right of a piece reach.
    fn widest_row(&self, c: &Covered<'_>, width: f64) -> f64 {
        self.rows
            .iter()
            .flat_map(|r| &r.cells)
            .map(|(i, x)| x + self.cell(c, *i, width))
            .fold(0.0, f64::max)
    }

    fn cell(&self, c: &Covered<'_>, i: usize, width: f64) -> f64 {
        let (piece, words) = (
            c.upright[i].bounds.width() / self.scale,
            texts(c, &c.upright[i], width).width,
        );
        if self.aside {
            piece + ASIDE + words
        } else {
            piece.max(words).min(width)
        }
    }

    /// At 1:20 on as many pages as it takes; smaller only when a piece would not fit on one.
    pub(super) fn across(c: &Covered<'_>, width: f64, height: f64) -> Self {
        let mut scale = SCALE;
        loop {
            let small = Self::at(c, width, scale, false);
            let tallest = small
                .rows
                .iter()
                .map(|r| r.height(false))
                .fold(0.0, f64::max);
            let fits = Self::widest(c, scale) <= width && tallest + UNDER_HEAD <= height;
            if fits || scale > 400.0 {
                return small;
            }
            scale *= 1.1;
        }
    }

    fn widest(c: &Covered<'_>, scale: f64) -> f64 {
        c.upright
            .iter()
            .map(|p| p.bounds.width() / scale)
            .fold(0.0, f64::max)
    }

    fn at(c: &Covered<'_>, width: f64, scale: f64, aside: bool) -> Self {
        let mut this = Self {
            scale,
            aside,
            rows: Vec::new(),
            first: 0,
            height: 0.0,
        };
        let mut x = 0.0;
        for (i, p) in c.upright.iter().enumerate() {
            let cell = this.cell(c, i, width);
            if this.rows.is_empty() || x + cell > width {
                this.rows.push(Row::default());
                x = 0.0;
            }
            if let Some(row) = this.rows.last_mut() {
                row.cells.push((i, x));
                row.tall = row.tall.max(p.bounds.height() / scale);
                row.text = row.text.max(texts(c, p, width).height());
            }
            x += cell + BETWEEN;
        }
        let rows: f64 = this.rows.iter().map(|r| r.height(aside)).sum();
        this.height = UNDER_HEAD + rows - AFTER_ROW;
        this
    }

    /// Draws as many rows as the column holds, at least one; what is left comes back.
    pub(super) fn draw(&self, page: &mut Page, c: &Covered<'_>, column: Column) -> Option<Self> {
        let head = if self.first == 0 {
            c.words.pieces.to_owned()
        } else {
            fill(c.words.go_on, &[("head", c.words.pieces)])
        };
        page.text(
            Layer::Plain,
            Point::new(column.x, column.y),
            &head,
            SMALL,
            true,
        );
        page.line(
            Layer::Plain,
            Point::new(column.x, column.y + 1.8),
            Point::new(column.x + column.width, column.y + 1.8),
            Line::Fine,
        );
        let mut y = column.y + UNDER_HEAD;
        let mut drawn: Vec<(usize, Point)> = Vec::new();
        let mut next = self.first;
        for row in self.rows.iter().skip(self.first) {
            if next > self.first && y + row.height(self.aside) - AFTER_ROW > column.foot {
                break;
            }
            for (i, x) in &row.cells {
                let at = Point::new(column.x + x, y);
                self.piece(page, c, *i, at);
                let texts = texts(c, &c.upright[*i], column.width);
                let wide = c.upright[*i].bounds.width() / self.scale;
                let to = if self.aside {
                    Vector::new(wide + ASIDE, DOWN)
                } else {
                    Vector::DOWN * (row.tall + UNDER_PIECE)
                };
                texts.draw(page, at + to);
                drawn.push((*i, at));
            }
            y += row.height(self.aside);
            next += 1;
        }
        // The marks come last: their letters take what room is left.
        for (i, at) in drawn {
            self.marks(page, c, i, at);
        }
        (next < self.rows.len()).then(|| {
            let mut rest = self.clone();
            rest.first = next;
            rest
        })
    }

    /// Where a point of a piece lies, drawn in small from a corner.
    fn small(&self, piece: &Traced<'_>, at: Point, p: Point) -> Point {
        let b = piece.bounds;
        at + (p - Point::new(b.x0, b.y0)) * (1.0 / self.scale)
    }

    fn piece(&self, page: &mut Page, c: &Covered<'_>, i: usize, at: Point) {
        let piece = &c.upright[i];
        let ring: Vec<Point> = thinned(&piece.cut_ring, self.scale)
            .iter()
            .map(|p| self.small(piece, at, *p))
            .collect();
        page.stroke(Layer::Plain, Shape::closed(&ring), Pen::solid(0.5), false);
    }

    fn marks(&self, page: &mut Page, c: &Covered<'_>, i: usize, at: Point) {
        let piece = &c.upright[i];
        let Some(long) = &piece.long else { return };
        let (x, y) = (
            self.small(piece, at, long.from),
            self.small(piece, at, long.to),
        );
        page.line(Layer::Plain, x, y, Line::Dots);
        for p in [x, y] {
            page.fill(Layer::Plain, Shape::circle(p, 0.7), false);
        }
        for (name, p) in [(&long.names.0, x), (&long.names.1, y)] {
            let letters = set(name, SMALL, true);
            let spots = [
                (3.0, -1.0),
                (-3.0, -1.0),
                (3.0, 4.0),
                (-3.0, 4.0),
                (0.0, -2.6),
                (0.0, 5.4),
                (4.0, 1.4),
                (-4.0, 1.4),
                (6.0, 1.4),
                (-6.0, 1.4),
                (6.0, -3.0),
                (-6.0, -3.0),
                (6.0, 6.0),
                (-6.0, 6.0),
            ]
            .iter()
            .map(|(dx, dy)| Spot::level(p + Vector::new(*dx, *dy), 0.5));
            page.place(Layer::Plain, &letters, spots, 0.5, |_| true);
        }
    }
}

/// What stands under a small piece: its lines, each with how far it is from the one before.
struct Texts {
    lines: Vec<(f64, Set)>,
    width: f64,
}

impl Texts {
    /// From the first base line to the last.
    fn height(&self) -> f64 {
        self.lines.iter().skip(1).map(|l| l.0).sum()
    }

    fn draw(&self, page: &mut Page, at: Point) {
        let mut y = at.y;
        for (i, (step, line)) in self.lines.iter().enumerate() {
            y += if i == 0 { 0.0 } else { *step };
            page.lines(
                Layer::Plain,
                Point::new(at.x, y),
                core::slice::from_ref(line),
                LEAD,
            );
        }
    }
}

fn texts(c: &Covered<'_>, p: &Traced<'_>, width: f64) -> Texts {
    let w = c.words;
    let name = Span::bold(capital(&p.given.piece.name));
    let mut lines: Vec<(f64, Set)> = Vec::new();
    let mut add = |spans: &[Span], size: f64, most: f64, steps: (f64, f64)| {
        for (i, line) in paragraph(spans, size, most.min(width))
            .into_iter()
            .enumerate()
        {
            lines.push((if i == 0 { steps.0 } else { steps.1 }, line));
        }
    };
    add(&[name], 14.0, NAME, (6.6, 6.6));
    let (n, of) = (p.number.0.to_string(), p.number.1.to_string());
    let number = fill(w.piece_of, &[("n", &n), ("of", &of)]);
    add(&[Span::plain(number)], SMALL, NAME, (6.0, LEAD));
    for cut in &p.given.piece.cuts {
        let template = if cut.on_fold {
            w.on_fold
        } else if cut.pair {
            w.a_pair
        } else {
            w.times
        };
        let how = fill(template, &[("n", &cut.count.to_string())]);
        let text = fill(
            w.cloth_cut,
            &[("cloth", &capital(&cut.cloth)), ("how", &how)],
        );
        add(&[Span::plain(text)], SMALL, 60.0, (LEAD, LEAD));
    }
    if let Some(long) = &p.long {
        let names = fill(w.long_check, &[("a", &long.names.0), ("b", &long.names.1)]);
        let unit = w.locale.sign(c.order.shown.unit);
        let units = w.locale.figure(&long.units.to_string());
        let spans = [
            Span::bold(names),
            Span::plain(format!("{units}\u{a0}{unit}")),
        ];
        add(&spans, SMALL, NAME, (LEAD, LEAD));
    }
    let right = |l: &Set| l.last().map_or(0.0, |(x, word)| x + word.width);
    let width = lines.iter().map(|(_, l)| right(l)).fold(0.0, f64::max);
    Texts { lines, width }
}
