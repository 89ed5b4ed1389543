//! The cover: squares to measure, the map of the sheets, body, choices and finished measures,
//! findings, cautions, what to do before cutting, and the pieces with their long checks.

use measure::fraction::Unit;
use measure::{Point, Vector};

use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Face, Span, paragraph, set, shortened};
use crate::flow::{Block, Column, LEAD, Row, SMALL, pour};
use crate::grid::{Frame, Grid, row_name};
use crate::number::real;
use crate::order::{Fact, Order};
use crate::page::{Page, Spot};
use crate::quad::Rect;
use crate::traced::Traced;
use crate::words::{Words, capital, fill};

/// White at the sides of a page of text, and its lowest base line from the foot.
const SIDE: f64 = 12.0;
const FOOT: f64 = 14.0;
/// The second square is set off by this, so that no two sides of the two run side by side.
const OFF: f64 = 7.0;
const FOUR_INCHES: f64 = 101.6;
const TEN_CM: f64 = 100.0;

/// What the cover is made from.
pub(crate) struct Covered<'a> {
    pub(crate) order: &'a Order,
    pub(crate) words: &'a Words,
    pub(crate) pieces: &'a [Traced<'a>],
    /// Grids, with the numbers of their first rows.
    pub(crate) grids: &'a [(&'a Grid, usize)],
    pub(crate) frame: Frame,
}

/// How the whole file is paged: unknown while it is being laid out, then known.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Paging {
    pub(crate) first: usize,
    pub(crate) of: usize,
}

/// The head of a page of text: title and code, a line under them, a rule.
pub(crate) fn head(
    page: &mut Page,
    order: &Order,
    words: &Words,
    (title, size): (&str, f64),
    under: &str,
    (n, of): (usize, usize),
) -> f64 {
    let right = page.drawing.width - SIDE;
    let width = right - SIDE;
    let code = shortened(&order.code, size, true, width * 0.35);
    page.letters(
        Layer::Plain,
        &code,
        Spot::level(Point::new(right, 25.0), 1.0),
    );
    let room = width - code.width - if code.width > 0.0 { 6.0 } else { 0.0 };
    // A long title is set smaller before it is cut short.
    let title = [size, size * 0.8, 17.0, 14.0]
        .iter()
        .map(|s| set(title, *s, true))
        .find(|l| l.width <= room)
        .unwrap_or_else(|| shortened(title, 14.0, true, room));
    page.letters(
        Layer::Plain,
        &title,
        Spot::level(Point::new(SIDE, 25.0), 0.0),
    );
    let number = set(
        &fill(
            words.page_of,
            &[("n", &n.to_string()), ("of", &of.to_string())],
        ),
        SMALL,
        false,
    );
    page.letters(
        Layer::Plain,
        &number,
        Spot::level(Point::new(right, 33.0), 1.0),
    );
    let under = shortened(under, SMALL, false, width - number.width - 6.0);
    page.letters(
        Layer::Plain,
        &under,
        Spot::level(Point::new(SIDE, 33.0), 0.0),
    );
    page.stroke(
        Layer::Plain,
        Shape::line(&[Point::new(SIDE, 37.0), Point::new(right, 37.0)]),
        Pen::solid(0.7),
        false,
    );
    let mut y = 45.0;
    for remark in &order.remarks {
        let lines = paragraph(&[Span::plain(remark.clone())], SMALL, width);
        y = page.lines(Layer::Plain, Point::new(SIDE, y), &lines, LEAD);
    }
    if order.remarks.is_empty() { y } else { y + 2.5 }
}

/// Client, version and date in one line.
pub(crate) fn under_title(order: &Order, words: &Words) -> String {
    let version = fill(words.version, &[("v", &order.version)]);
    let mut text = if order.client.trim().is_empty() {
        capital(&version)
    } else {
        fill(
            words.pattern_for,
            &[("client", &order.client), ("version", &version)],
        )
    };
    if let Some(taken) = &order.taken {
        text.push_str(", ");
        text.push_str(taken);
    }
    text
}

/// Draws the cover; more pages follow when its texts are long.
pub(crate) fn pages(c: &Covered<'_>, paging: Paging) -> Vec<Page> {
    let (w, h) = c.frame.paper;
    let mut page = Page::new(w, h);
    let title = (c.order.title.as_str(), 26.0);
    let under = under_title(c.order, c.words);
    let top = head(
        &mut page,
        c.order,
        c.words,
        title,
        &under,
        (paging.first, paging.of),
    );
    let area = squares(&mut page, Point::new(SIDE, top - 2.0), c.words);
    let mut maps: Vec<Vec<usize>> = Vec::new();
    if let Some(map) = Map::fit(c, &area, 0) {
        map.draw(&mut page, c);
        if map.last < c.grids.len() {
            maps.push((map.last..c.grids.len()).collect());
        }
    } else if !c.grids.is_empty() {
        maps.push((0..c.grids.len()).collect());
    }
    let left_width = FOUR_INCHES + OFF;
    let foot = h - FOOT;
    let print = if c.order.shown.unit == Unit::Inch {
        c.words.print_full_inches
    } else {
        c.words.print_full_cm
    };
    let mut say = vec![Span::plain(print)];
    if c.grids.iter().any(|(g, _)| g.on.len() < g.rows * g.columns) {
        say.push(Span::plain(c.words.blank_sheets));
    }
    let say = paragraph(&say, SMALL, left_width);
    let y = page.lines(
        Layer::Plain,
        Point::new(SIDE, top - 2.0 + TEN_CM + OFF + 11.0),
        &say,
        LEAD,
    );
    let mut left = Column {
        x: SIDE,
        y: y + 5.0,
        width: left_width,
        foot,
    };
    let gap = 7.0;
    let mut right = Column {
        x: SIDE + left_width + gap,
        y: top + 1.5,
        width: w - SIDE - (SIDE + left_width + gap),
        foot,
    };
    let facts = facts(c);
    let facts_height: f64 = facts.iter().map(Block::height).sum();
    let thumbs = Thumbs::fit(c, right.width, foot - right.y - facts_height + 3.0);
    let (findings, before) = (findings(c, left.width), before(c, left.width));
    let left_height: f64 = findings.iter().chain(&before).map(Block::height).sum();
    // What must be done before cutting stands on the first page in any case.
    let order: Vec<Block> = if left.y + left_height - 9.0 <= foot {
        findings.into_iter().chain(before).collect()
    } else {
        before.into_iter().chain(findings).collect()
    };
    let mut rest = (pour(&mut page, &mut left, order, c.words), Vec::new());
    let thumbs_here = right.y + facts_height + thumbs.height - 3.0 <= foot;
    rest.1 = pour(&mut page, &mut right, facts, c.words);
    if thumbs_here {
        thumbs.draw(&mut page, c, right);
    }
    let mut pages = vec![page];
    while !maps.is_empty() && pages.len() < 40 {
        more_map(&mut pages, c, paging, &mut maps);
    }
    while !(rest.0.is_empty() && rest.1.is_empty()) && pages.len() < 200 {
        let (mut page, top) = next_page(&pages, c, paging);
        for (column, blocks) in [(left, &mut rest.0), (right, &mut rest.1)] {
            let mut column = Column {
                y: top + 1.5,
                ..column
            };
            *blocks = pour(&mut page, &mut column, core::mem::take(blocks), c.words);
        }
        pages.push(page);
    }
    if !thumbs_here {
        let (mut page, top) = next_page(&pages, c, paging);
        let column = Column {
            x: SIDE,
            y: top + 1.5,
            width: w - 2.0 * SIDE,
            foot,
        };
        Thumbs::fit(c, column.width, foot - column.y).draw(&mut page, c, column);
        pages.push(page);
    }
    pages
}

fn next_page(pages: &[Page], c: &Covered<'_>, paging: Paging) -> (Page, f64) {
    let (w, h) = c.frame.paper;
    let mut page = Page::new(w, h);
    let top = head(
        &mut page,
        c.order,
        c.words,
        (&c.order.title, 22.0),
        &under_title(c.order, c.words),
        (paging.first + pages.len(), paging.of),
    );
    (page, top)
}

/// A page of the map when the squares have no room for it.
fn more_map(pages: &mut Vec<Page>, c: &Covered<'_>, paging: Paging, maps: &mut Vec<Vec<usize>>) {
    let Some(first) = maps.pop().and_then(|m| m.first().copied()) else {
        return;
    };
    let (w, h) = c.frame.paper;
    let (mut page, top) = next_page(pages, c, paging);
    let area = Rect::new(SIDE, top + 4.0, w - 2.0 * SIDE, h - FOOT - top - 4.0);
    page.text(
        Layer::Plain,
        Point::new(SIDE, top),
        c.words.tile_map,
        SMALL,
        true,
    );
    let map = Map::fit(c, &area, first);
    if let Some(map) = &map {
        map.draw(&mut page, c);
        if map.last < c.grids.len() {
            maps.push((map.last..c.grids.len()).collect());
        }
    }
    pages.push(page);
}

/// The two squares: 4 in, and 10 cm set off so that their lines cross and never run side by side.
/// The ends of the sides are drawn on, so that a ruler finds them. Gives the room common to both.
fn squares(page: &mut Page, at: Point, words: &Words) -> Rect {
    let four = Rect::new(at.x, at.y, FOUR_INCHES, FOUR_INCHES);
    let ten = Rect::new(at.x + OFF, at.y + OFF, TEN_CM, TEN_CM);
    for r in [four, ten] {
        page.frame(Layer::Plain, r, Line::Frame, false);
    }
    ticks(page, &four, [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0)]);
    ticks(page, &ten, [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0)]);
    page.text(
        Layer::Plain,
        Point::new(four.x0 + 2.5, four.y0 + 5.2),
        words.outer_square,
        SMALL,
        true,
    );
    page.text_at(
        Layer::Plain,
        Point::new(ten.x1 - 1.5, ten.y1 - 1.6),
        words.inner_square,
        (SMALL, Face::Bold),
        1.0,
    );
    Rect {
        x0: ten.x0 + 2.0,
        y0: ten.y0 + 1.5,
        x1: four.x1 - 2.0,
        y1: four.y1 - 2.0,
    }
}

/// Short lines that carry the sides of a square on past its corners.
fn ticks(page: &mut Page, r: &Rect, corners: [(f64, f64); 3]) {
    for (sx, sy) in corners {
        let c = Point::new(
            if sx < 0.0 { r.x0 } else { r.x1 },
            if sy < 0.0 { r.y0 } else { r.y1 },
        );
        for v in [Vector::new(sx * 2.5, 0.0), Vector::new(0.0, sy * 2.5)] {
            page.line(Layer::Plain, c, c + v, Line::Fine);
        }
    }
}

/// The map of the sheets: one small grid for each piece, to one scale.
struct Map {
    /// Millimetres of the piece to one on the map.
    scale: f64,
    /// The upper left corner of each grid's first cell, and which grid it is.
    places: Vec<(usize, Point)>,
    /// The first grid that found no room.
    last: usize,
}

/// Room for the letters of rows, and for the name and the numbers of columns.
const ROW_LETTER: f64 = 7.5;
const HEADS: f64 = 10.0;

impl Map {
    /// The largest scale at which the grids from `first` on fit into an area; if no scale at which
    /// their letters can be read does, as many as fit.
    fn fit(c: &Covered<'_>, area: &Rect, first: usize) -> Option<Self> {
        let mut scale = 12.0;
        let least = c.frame.step.0.min(c.frame.step.1 * 1.1) / 4.6;
        loop {
            let (places, last) = Self::flow(c, area, first, scale);
            if last == c.grids.len() {
                return Some(Self {
                    scale,
                    places,
                    last,
                });
            }
            if scale >= least {
                return (last > first).then_some(Self {
                    scale,
                    places,
                    last,
                });
            }
            scale = (scale * 1.03).min(least);
        }
    }

    fn flow(
        c: &Covered<'_>,
        area: &Rect,
        first: usize,
        scale: f64,
    ) -> (Vec<(usize, Point)>, usize) {
        let mut places = Vec::new();
        let (mut x, mut y, mut row) = (area.x0, area.y0, 0.0_f64);
        for (i, (grid, _)) in c.grids.iter().enumerate().skip(first) {
            let (cw, ch) = (grid.frame.step.0 / scale, grid.frame.step.1 / scale);
            let name = set(&capital(&c.pieces[i].given.piece.name), SMALL, true).width;
            let width = (ROW_LETTER + real(grid.columns) * cw).max(name.min(30.0) + 1.0);
            let height = HEADS + real(grid.rows) * ch;
            if x > area.x0 && x + width > area.x1 {
                (x, y) = (area.x0, y + row + 3.0);
                row = 0.0;
            }
            if x + width > area.x1 || y + height > area.y1 {
                return (places, i);
            }
            places.push((i, Point::new(x + ROW_LETTER, y + HEADS)));
            x += width + 3.5;
            row = row.max(height);
        }
        (places, c.grids.len())
    }

    fn draw(&self, page: &mut Page, c: &Covered<'_>) {
        for (i, at) in &self.places {
            let (grid, first_row) = c.grids[*i];
            let piece = &c.pieces[*i];
            let (cw, ch) = (
                grid.frame.step.0 / self.scale,
                grid.frame.step.1 / self.scale,
            );
            let wide = (ROW_LETTER + real(grid.columns) * cw).max(30.0);
            let name = shortened(&capital(&piece.given.piece.name), SMALL, true, wide);
            page.letters(
                Layer::Plain,
                &name,
                Spot::level(*at + Vector::new(-ROW_LETTER, -6.6), 0.0),
            );
            for r in 0..grid.rows {
                let p = *at + Vector::new(-1.4, (real(r) + 0.5) * ch + 1.4);
                page.text_at(
                    Layer::Plain,
                    p,
                    &row_name(first_row + r),
                    (SMALL, Face::Regular),
                    1.0,
                );
            }
            for k in 0..grid.columns {
                let p = *at + Vector::new((real(k) + 0.5) * cw, -1.7);
                page.text_at(
                    Layer::Plain,
                    p,
                    &(k + 1).to_string(),
                    (SMALL, Face::Regular),
                    0.5,
                );
            }
            for r in 0..grid.rows {
                for k in 0..grid.columns {
                    let p = *at + Vector::new(real(k) * cw, real(r) * ch);
                    if grid.has((r, k)) {
                        page.frame(Layer::Plain, Rect::new(p.x, p.y, cw, ch), Line::Fine, false);
                    } else {
                        let m = p + Vector::new(cw / 2.0, ch / 2.0);
                        let a = (cw.min(ch) * 0.25).min(2.0);
                        for v in [Vector::new(a, a), Vector::new(a, -a)] {
                            page.line(Layer::Plain, m - v, m + v, Line::Fine);
                        }
                    }
                }
            }
            // A sheet shows half a lap more than its cell on each side.
            let from = grid.origin + Vector::new(crate::grid::LAP / 2.0, crate::grid::LAP / 2.0);
            let ring: Vec<Point> = thinned(&piece.cut_ring, self.scale)
                .iter()
                .map(|p| *at + (*p - from) * (1.0 / self.scale))
                .collect();
            page.stroke(Layer::Plain, Shape::closed(&ring), Pen::solid(0.7), false);
        }
    }
}

/// A ring with the points left out that a small drawing can't show.
fn thinned(ring: &[Point], scale: f64) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::new();
    let sharp = crate::traced::sharp(ring);
    for p in ring {
        let far = out.last().is_none_or(|l| (*p - *l).size() > 0.25 * scale);
        if far || sharp.contains(p) {
            out.push(*p);
        }
    }
    out
}

fn facts(c: &Covered<'_>) -> Vec<Block> {
    let unit = if c.order.shown.unit == Unit::Inch {
        c.words.inches
    } else {
        c.words.centimetres
    };
    let block = |head: String, facts: &[Fact]| Block {
        head,
        rows: facts
            .iter()
            .map(|f| Row::Fact(capital(&f.label), f.value.clone()))
            .collect(),
    };
    [
        (format!("{}, {unit}", c.words.body), &c.order.body),
        (c.words.chosen.to_owned(), &c.order.chosen),
        (c.words.finished.to_owned(), &c.order.finished),
    ]
    .into_iter()
    .filter(|(_, f)| !f.is_empty())
    .map(|(head, f)| block(head, f))
    .collect()
}

fn findings(c: &Covered<'_>, width: f64) -> Vec<Block> {
    let mut told: Vec<_> = c.order.findings.iter().collect();
    told.sort_by_key(|t| t.weight);
    let mut blocks = Vec::new();
    if !told.is_empty() {
        blocks.push(Block {
            head: c.words.findings.to_owned(),
            rows: told
                .iter()
                .map(|t| {
                    let weight = Span::bold(format!("{}.", c.words.weight(t.weight)));
                    Row::paragraph(&[weight, Span::plain(t.text.clone())], width, 1.6)
                })
                .collect(),
        });
    }
    if !c.order.cautions.is_empty() {
        blocks.push(Block {
            head: c.words.cautions.to_owned(),
            rows: c
                .order
                .cautions
                .iter()
                .map(|t| Row::paragraph(&[Span::plain(t.clone())], width, 1.0))
                .collect(),
        });
    }
    blocks
}

fn before(c: &Covered<'_>, width: f64) -> Vec<Block> {
    let w = c.words;
    let checks: Vec<String> = c
        .pieces
        .iter()
        .filter_map(|p| p.long.as_ref())
        .map(|l| fill(w.long_check, &[("a", &l.names.0), ("b", &l.names.1)]))
        .collect();
    let tape = match checks.as_slice() {
        [] => w.then_tape_plain.to_owned(),
        [one] => fill(w.then_tape, &[("checks", one)]),
        [first @ .., last] => fill(
            w.then_tape,
            &[("checks", &format!("{} {} {last}", first.join(", "), w.and))],
        ),
    };
    let version = fill(w.version, &[("v", &c.order.version)]);
    let lines = [
        w.measure_squares.to_owned(),
        tape,
        w.seam_on_seam.to_owned(),
        fill(w.same_version, &[("version", &version)]),
    ];
    vec![Block {
        head: w.before.to_owned(),
        rows: lines
            .iter()
            .enumerate()
            .map(|(i, t)| {
                Row::paragraph(
                    &[Span::bold((i + 1).to_string()), Span::plain(t.clone())],
                    width,
                    0.2,
                )
            })
            .collect(),
    }]
}

/// The pieces in small, side by side in rows, with what to cut and the long check under each.
struct Thumbs {
    scale: f64,
    /// Without what to cut, which every label says.
    brief: bool,
    /// Upper left corner of each outline, and the base line under it, from the block's corner.
    places: Vec<(Point, f64)>,
    height: f64,
}

const THUMB_HEAD: f64 = 9.0;
const THUMB_TEXT: f64 = 5.6;

impl Thumbs {
    /// At 1:20, or smaller until it fits; with fewer words before it gets very small.
    fn fit(c: &Covered<'_>, width: f64, height: f64) -> Self {
        const SCALES: [(f64, bool); 10] = [
            (20.0, false),
            (24.0, false),
            (28.0, false),
            (20.0, true),
            (24.0, true),
            (28.0, true),
            (32.0, true),
            (40.0, true),
            (50.0, true),
            (64.0, true),
        ];
        SCALES
            .iter()
            .map(|(s, brief)| Self::at(c, width, *s, *brief))
            .find(|t| t.height <= height && Self::widest(c, t.scale) <= width)
            .unwrap_or_else(|| Self::at(c, width, 64.0, true))
    }

    fn widest(c: &Covered<'_>, scale: f64) -> f64 {
        c.pieces
            .iter()
            .map(|p| p.bounds.width() / scale)
            .fold(0.0, f64::max)
    }

    fn at(c: &Covered<'_>, width: f64, scale: f64, brief: bool) -> Self {
        let mut places = Vec::new();
        let (mut x, mut y) = (0.0, THUMB_HEAD);
        let mut row: Vec<usize> = Vec::new();
        let mut tall = 0.0_f64;
        let mut text = 0.0_f64;
        let mut cells: Vec<(Point, f64)> = vec![(Point::default(), 0.0); c.pieces.len()];
        let close = |row: &mut Vec<usize>,
                     y: &mut f64,
                     tall: &mut f64,
                     text: &mut f64,
                     cells: &mut Vec<(Point, f64)>| {
            for i in row.drain(..) {
                cells[i].0.y = *y;
                cells[i].1 = *y + *tall + 6.5;
            }
            *y += *tall + 6.5 + *text + 5.0;
            (*tall, *text) = (0.0, 0.0);
        };
        for (i, p) in c.pieces.iter().enumerate() {
            let (w, h) = (p.bounds.width() / scale, p.bounds.height() / scale);
            let cell = w.max(texts(c, p, brief).1).min(width);
            if x > 0.0 && x + cell > width {
                close(&mut row, &mut y, &mut tall, &mut text, &mut cells);
                x = 0.0;
            }
            cells[i].0.x = x;
            row.push(i);
            x += cell + 5.0;
            tall = tall.max(h);
            text = text.max(real(texts(c, p, brief).0.len() - 1) * THUMB_TEXT);
        }
        close(&mut row, &mut y, &mut tall, &mut text, &mut cells);
        places.append(&mut cells);
        Self {
            scale,
            brief,
            places,
            height: y,
        }
    }

    fn draw(&self, page: &mut Page, c: &Covered<'_>, column: Column) {
        page.text(
            Layer::Plain,
            Point::new(column.x, column.y),
            c.words.pieces,
            SMALL,
            true,
        );
        page.line(
            Layer::Plain,
            Point::new(column.x, column.y + 1.8),
            Point::new(column.x + column.width, column.y + 1.8),
            Line::Fine,
        );
        let corner = Point::new(column.x, column.y) - Point::default();
        let small = |piece: &Traced<'_>, at: Point, p: Point| {
            let b = piece.bounds;
            at + corner + (p - Point::new(b.x0, b.y0)) * (1.0 / self.scale)
        };
        for (piece, (at, base)) in c.pieces.iter().zip(&self.places) {
            let ring: Vec<Point> = thinned(&piece.cut_ring, self.scale)
                .iter()
                .map(|p| small(piece, *at, *p))
                .collect();
            page.stroke(Layer::Plain, Shape::closed(&ring), Pen::solid(0.5), false);
            let mut y = column.y + base;
            for (k, spans) in texts(c, piece, self.brief).0.iter().enumerate() {
                let size = if k == 0 { 14.0 } else { SMALL };
                let lines = paragraph(spans, size, column.width);
                let first = lines.get(..1).unwrap_or_default();
                page.lines(Layer::Plain, Point::new(column.x + at.x, y), first, LEAD);
                y += THUMB_TEXT + if k == 0 { 0.6 } else { 0.0 };
            }
        }
        // The marks come last: their letters take what room is left.
        for (piece, (at, _)) in c.pieces.iter().zip(&self.places) {
            let Some(long) = &piece.long else { continue };
            let (x, y) = (small(piece, *at, long.from), small(piece, *at, long.to));
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
}

/// What stands under a small piece, and how wide it is.
fn texts(c: &Covered<'_>, p: &Traced<'_>, brief: bool) -> (Vec<Vec<Span>>, f64) {
    let w = c.words;
    let name = shortened(&capital(&p.given.piece.name), 14.0, true, 50.0).text;
    let mut out = vec![vec![Span::bold(format!("{}\u{a0} {name}", p.number.0))]];
    for cut in p.given.piece.cuts.iter().filter(|_| !brief) {
        let template = if cut.on_fold {
            w.on_fold
        } else if cut.pair {
            w.a_pair
        } else {
            w.times
        };
        let how = fill(template, &[("n", &cut.count.to_string())]);
        out.push(vec![Span::plain(format!("{}: {how}", capital(&cut.cloth)))]);
    }
    if let Some(long) = &p.long {
        let names = fill(w.long_check, &[("a", &long.names.0), ("b", &long.names.1)]);
        let unit = c.order.shown.unit.sign();
        out.push(vec![
            Span::bold(names),
            Span::plain(format!("{}\u{a0}{unit}", long.units)),
        ]);
    }
    let wide = out
        .iter()
        .enumerate()
        .map(|(i, spans)| {
            let size = if i == 0 { 14.0 } else { SMALL };
            let lines = paragraph(spans, size, 1e6);
            lines
                .first()
                .and_then(|l| l.last())
                .map_or(0.0, |(x, word)| x + word.width)
        })
        .fold(0.0, f64::max);
    (out, wide)
}
