//! The cover: squares to measure, the map of the sheets, body, choices and finished measures,
//! findings, cautions, what to do before cutting, and the pieces with their long checks.

use measure::fraction::Unit;
use measure::{Point, Vector};

use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Face, Span, figures, lacks, paragraph, set, shortened};
use crate::flow::{Block, Column, LEAD, Row, SMALL, pour};
use crate::grid::{Frame, Grid};
use crate::label;
use crate::number::real;
use crate::order::{Fact, Order, Told, Weight};
use crate::page::{Page, Spot};
use crate::quad::Rect;
use crate::traced::Traced;
use crate::words::{Words, capital, fill};

mod map;
mod small;

use map::Map;
use small::Small;

/// White at the sides of a page of text, and its lowest base line from the foot.
pub(crate) const SIDE: f64 = 12.0;
const FOOT: f64 = 14.0;
/// The second square is set off by this, so that no two sides of the two run side by side.
pub(crate) const OFF: f64 = 7.0;
pub(crate) const FOUR_INCHES: f64 = 101.6;
const TEN_CM: f64 = 100.0;

/// What the cover is made from.
pub(crate) struct Covered<'a> {
    pub(crate) order: &'a Order,
    pub(crate) words: &'a Words,
    /// As they lie on the sheets.
    pub(crate) pieces: &'a [Traced<'a>],
    /// As they were drawn.
    pub(crate) upright: &'a [Traced<'a>],
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
    // The version stands here: a long line is broken, never cut short.
    let under = paragraph(&[Span::plain(under)], SMALL, width - number.width - 6.0);
    page.lines(Layer::Plain, Point::new(SIDE, 33.0), &under, LEAD);
    let more = real(under.len().saturating_sub(1)) * LEAD;
    page.stroke(
        Layer::Plain,
        Shape::line(&[
            Point::new(SIDE, 37.0 + more),
            Point::new(right, 37.0 + more),
        ]),
        Pen::solid(0.7),
        false,
    );
    let first = 45.0 + more;
    let mut y = first;
    let see = format!("{}.", capital(words.estimates));
    let estimates = order
        .estimates
        .as_ref()
        .map(|e| if n == 1 { e } else { &see });
    for remark in order.remarks.iter().chain(estimates) {
        let lines = paragraph(&[Span::plain(remark.clone())], SMALL, width);
        y = page.lines(Layer::Plain, Point::new(SIDE, y), &lines, LEAD) + 0.8;
    }
    if y > first { y + 2.5 } else { y }
}

/// Client, version and date in one line.
pub(crate) fn under_title(order: &Order, words: &Words) -> String {
    let version = label::plain_version(order, words);
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
        text.push_str(&fill(words.measured_on, &[("date", taken)]));
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
    let area = squares(
        &mut page,
        Layer::Plain,
        Point::new(SIDE, top - 2.0),
        SMALL,
        c.words,
    );
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
    if !maps.is_empty() {
        say.push(Span::plain(c.words.map_goes_on));
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
    let facts = [5.6, 5.0]
        .map(|pitch| facts(c, right.width, pitch))
        .into_iter()
        .reduce(|wide, close| {
            if heights(&wide) <= foot - right.y + 9.0 {
                wide
            } else {
                close
            }
        })
        .unwrap_or_default();
    let facts_height = heights(&facts);
    let small = Small::beside(c, right.width, foot - right.y - facts_height + 3.0);
    let (findings, before) = (findings(c, left.width), before(c, left.width));
    let left_height = heights(&findings) + heights(&before);
    // What must be done before cutting stands on the first page in any case.
    let order: Vec<Block> = if left.y + left_height - 9.0 <= foot {
        findings.into_iter().chain(before).collect()
    } else {
        before.into_iter().chain(findings).collect()
    };
    let mut rest = (pour(&mut page, &mut left, order, c.words), Vec::new());
    rest.1 = pour(&mut page, &mut right, facts, c.words);
    let mut pending = None;
    match small {
        Some(small) => {
            small.draw(&mut page, c, right);
        }
        None => pending = Some(Small::across(c, w - 2.0 * SIDE, foot - 50.0)),
    }
    let mut pages = vec![page];
    while !maps.is_empty() && pages.len() < 40 {
        more_map(&mut pages, c, paging, &mut maps);
    }
    while !(rest.0.is_empty() && rest.1.is_empty()) && pages.len() < 200 {
        let (mut page, top) = next_page(&pages, c, paging);
        let mut low = top;
        // The facts all stand on the first page: their column has room for the small pieces.
        if rest.1.is_empty()
            && pending.is_some()
            && let Some(small) = Small::beside(c, right.width, foot - top - 1.5)
        {
            let beside = Column {
                y: top + 1.5,
                ..right
            };
            pending = small.draw(&mut page, c, beside);
            low = foot;
        }
        for (column, blocks) in [(left, &mut rest.0), (right, &mut rest.1)] {
            let mut column = Column {
                y: top + 1.5,
                ..column
            };
            *blocks = pour(&mut page, &mut column, core::mem::take(blocks), c.words);
            low = low.max(column.y);
        }
        // The small pieces share the page with what was left over, if it leaves them room.
        if rest.0.is_empty()
            && rest.1.is_empty()
            && pending
                .as_ref()
                .is_some_and(|s| low + 2.0 + s.least() <= foot)
        {
            pending = pending
                .take()
                .and_then(|s| s.draw(&mut page, c, across(w, low + 2.0, foot)));
        }
        pages.push(page);
    }
    while let Some(small) = pending.take() {
        let (mut page, top) = next_page(&pages, c, paging);
        pending = small.draw(&mut page, c, across(w, top + 1.5, foot));
        pages.push(page);
    }
    pages
}

fn heights(blocks: &[Block]) -> f64 {
    blocks.iter().map(Block::height).sum()
}

/// One column as wide as the page.
const fn across(width: f64, y: f64, foot: f64) -> Column {
    Column {
        x: SIDE,
        y,
        width: width - 2.0 * SIDE,
        foot,
    }
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
pub(crate) fn squares(page: &mut Page, layer: Layer, at: Point, size: f64, words: &Words) -> Rect {
    let four = Rect::new(at.x, at.y, FOUR_INCHES, FOUR_INCHES);
    let ten = Rect::new(at.x + OFF, at.y + OFF, TEN_CM, TEN_CM);
    for r in [four, ten] {
        page.frame(layer, r, Line::Frame, false);
    }
    ticks(page, layer, &four, [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0)]);
    ticks(page, layer, &ten, [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0)]);
    page.text(
        layer,
        Point::new(four.x0 + 2.5, four.y0 + 5.0 + (size - SMALL) * 0.2),
        words.outer_square,
        size,
        true,
    );
    page.text_at(
        layer,
        Point::new(ten.x1 - 1.5, ten.y1 - 1.6 + (size - SMALL) * 0.25),
        words.inner_square,
        (size, Face::Bold),
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
fn ticks(page: &mut Page, layer: Layer, r: &Rect, corners: [(f64, f64); 3]) {
    for (sx, sy) in corners {
        let c = Point::new(
            if sx < 0.0 { r.x0 } else { r.x1 },
            if sy < 0.0 { r.y0 } else { r.y1 },
        );
        for v in [Vector::new(sx * 2.5, 0.0), Vector::new(0.0, sy * 2.5)] {
            page.line(layer, c, c + v, Line::Fine);
        }
    }
}

/// The three tables. Where every figure of one has the drafter's unit it is said once, in the head.
fn facts(c: &Covered<'_>, width: f64, pitch: f64) -> Vec<Block> {
    let unit = c.order.shown.unit;
    let sign = c.words.locale.sign(unit);
    let long = if unit == Unit::Inch {
        c.words.inches
    } else {
        c.words.centimetres
    };
    let block = |head: &str, facts: &[Fact], bare: bool| {
        let split: Vec<(&str, Option<&str>)> =
            facts.iter().map(|f| with_unit(&f.value, c.words)).collect();
        let said = split.iter().filter(|s| figures(s.0).is_some()).count();
        let mine = split.iter().filter(|s| s.1 == Some(sign)).count();
        let once = (mine > 0 && mine == said) || (bare && split.iter().all(|s| s.1.is_none()));
        let any = split.iter().any(|s| s.1.is_some()) && !once;
        Block {
            head: if once {
                format!("{head}, {long}")
            } else {
                head.to_owned()
            },
            rows: facts
                .iter()
                .zip(&split)
                .map(|(f, (number, unit))| {
                    let unit = unit.filter(|_| any).map(str::to_owned);
                    Row::fact(&capital(&f.label), number, (unit, any), width, pitch)
                })
                .collect(),
        }
    };
    [
        (c.words.body, &c.order.body, true),
        (c.words.chosen, &c.order.chosen, false),
        (c.words.finished, &c.order.finished, false),
    ]
    .into_iter()
    .filter(|(_, f, _)| !f.is_empty())
    .map(|(head, f, bare)| block(head, f, bare))
    .collect()
}

/// A value cut into its figures and its unit: `7 1/2 in`. Words stay whole.
fn with_unit<'a>(value: &'a str, words: &Words) -> (&'a str, Option<&'a str>) {
    let units = [words.locale.inch, words.locale.cm];
    match value.trim().rsplit_once([' ', '\u{a0}']) {
        Some((number, unit)) if units.contains(&unit) && figures(number).is_some() => {
            (number, Some(unit))
        }
        _ => (value, None),
    }
}

fn findings(c: &Covered<'_>, width: f64) -> Vec<Block> {
    let boxes = Told {
        weight: Weight::Note,
        text: c.words.boxes.to_owned(),
    };
    let mut told: Vec<&Told> = c.order.findings.iter().collect();
    if c.order.texts().any(lacks) {
        told.push(&boxes);
    }
    told.sort_by_key(|t| t.weight);
    let mut blocks = Vec::new();
    if !told.is_empty() {
        blocks.push(Block {
            head: c.words.findings.to_owned(),
            rows: told
                .iter()
                .map(|t| {
                    let weight = Span::bold(format!("{}.", c.words.weight(t.weight)));
                    Row::paragraph(&[weight, Span::plain(capital(&t.text))], width, 1.6)
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
    let version = label::version(c.order, w);
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
