//! One sheet of a tiled pattern.

use measure::{Angle, Point, Vector};

use crate::construction;
use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Lettering, Span, paragraph, set, shortened};
use crate::grid::{Cell, Grid, MARGIN, inner, row_name};
use crate::label::{Label, plain_signature, plain_version, signature, version};
use crate::number::{count, real};
use crate::order::{Leave, Order};
use crate::page::{Page, Spot};
use crate::quad::{Quad, Rect, rings};
use crate::traced::Traced;
use crate::wording::Wording;
use crate::words::{Words, capital, fill};

/// So many lines stand clear of each other in the name square.
const SQUARE_LINES: usize = 6;
/// Half the diagonal of the diamond on a joint.
const DIAMOND: f64 = 9.0;

/// A joint between two printed sheets: the sheet before it, and whether it lies to the right of that
/// sheet or below it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Joint {
    pub(crate) cell: Cell,
    pub(crate) below: bool,
}

/// All that a sheet of one piece rests on.
pub(crate) struct Sheeted<'a> {
    pub(crate) piece: &'a Traced<'a>,
    pub(crate) label: &'a Label,
    pub(crate) wording: &'a Wording,
    pub(crate) grid: &'a Grid,
    /// The number of the grid's first row over all pieces.
    pub(crate) first_row: usize,
    pub(crate) order: &'a Order,
    pub(crate) words: &'a Words,
}

/// A sheet, and whether everything that may never be left out found a clear place.
pub(crate) struct Tile {
    pub(crate) page: Page,
    pub(crate) complete: bool,
}

impl Sheeted<'_> {
    /// The joints in the order of their numbers.
    pub(crate) fn joints(&self) -> Vec<Joint> {
        let mut out = Vec::new();
        for cell in &self.grid.on {
            for below in [false, true] {
                let (d, a) = if below { (1, 0) } else { (0, 1) };
                if self.grid.beside(*cell, d, a).is_some() {
                    out.push(Joint { cell: *cell, below });
                }
            }
        }
        out
    }

    /// The name of a sheet: the letter of its row and the number of its column.
    pub(crate) fn name(&self, (row, column): Cell) -> String {
        format!("{}{}", row_name(self.first_row + row), column + 1)
    }

    /// Draws one sheet; `page` of `of` is what it says of its place in the file.
    pub(crate) fn tile(
        &self,
        cell: Cell,
        joints: &[(Joint, Point)],
        page: usize,
        of: usize,
    ) -> Tile {
        let frame = self.grid.frame;
        let mut p = Page::new(frame.paper.0, frame.paper.1);
        let window = Rect::new(MARGIN, MARGIN, frame.window.0, frame.window.1);
        p.window = Some(window);
        let by = self.grid.shift(cell);
        draw(&mut p, self.piece, by, Some(&window));
        self.joint_lines(&mut p, cell, &window);
        let label = self.label.quad(self.grid.label + by);
        draw_diamonds(&mut p, cell, joints, by, &window, &label);
        long_names(&mut p, self.piece, by, &window);
        let inside = inner(self.grid, cell).shifted(by);
        let label_box = self.label.quad(self.grid.label).bounds.shifted(by);
        let labelled = inside.holds_all(&label_box);
        if labelled {
            self.label.draw(&mut p, self.grid.label + by);
        }
        self.strips(&mut p, cell, &window);
        // The names of edges may go, the square may not: where both find no room it comes first.
        let bare = p.clone();
        self.wording.place(&mut p, self.piece, by, &inside);
        let mut complete = self.square(&mut p, cell, by, &inside, (page, of));
        if !complete {
            p = bare;
            complete = self.square(&mut p, cell, by, &inside, (page, of));
            self.wording.place(&mut p, self.piece, by, &inside);
        }
        if !labelled {
            self.repeat(&mut p, by, &inside);
        }
        self.cuts(&mut p, cell, &window);
        construction::draw(&mut p, self.piece, by, &window);
        Tile { page: p, complete }
    }

    fn joint_lines(&self, p: &mut Page, cell: Cell, w: &Rect) {
        let has = |d, a| self.grid.beside(cell, d, a).is_some();
        let lap = self.grid.frame.lap;
        let (x, y) = (w.x0 + lap, w.y0 + lap);
        if has(0, -1) {
            p.line(
                Layer::Sheet,
                Point::new(x, w.y0),
                Point::new(x, w.y1),
                Line::Dots,
            );
        }
        if has(-1, 0) {
            p.line(
                Layer::Sheet,
                Point::new(w.x0, y),
                Point::new(w.x1, y),
                Line::Dots,
            );
        }
        for (down, across) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
            let meets = [(-1, -1), (-1, 0), (0, -1), (0, 0)]
                .iter()
                .map(|(d, a)| (d + down, a + across))
                .filter(|n| *n != (0, 0))
                .any(|(d, a)| has(d, a));
            if meets {
                let x = if across == 0 { w.x0 + lap } else { w.x1 };
                let y = if down == 0 { w.y0 + lap } else { w.y1 };
                for v in [Vector::OUTWARD * 7.0, Vector::DOWN * 7.0] {
                    let c = Point::new(x, y);
                    p.stroke(
                        Layer::Sheet,
                        Shape::line(&[c - v, c + v]),
                        Pen::solid(Line::Joint.width()),
                        true,
                    );
                }
            }
        }
    }

    /// What is written on the strips that the sheets before will cover.
    fn strips(&self, p: &mut Page, cell: Cell, w: &Rect) {
        let says = |c: Cell| fill(self.words.lies_here, &[("tile", &self.name(c))]);
        if let Some(left) = self.grid.beside(cell, 0, -1) {
            let letters = set(&says(left), 11.0, false);
            let spots = (0..40).map(|i| Spot {
                at: Point::new(w.x0 + 6.4, w.y0 + 60.0 + real(i) * 5.0),
                turn: Angle::degrees(-90.0),
                part: 0.5,
            });
            p.place(Layer::Sheet, &letters, spots, 1.6, |q| {
                w.holds_all(&q.bounds)
            });
        }
        if let Some(above) = self.grid.beside(cell, -1, 0) {
            let letters = set(&says(above), 11.0, false);
            let most = count(((w.width() - 60.0) / 4.0).max(1.0));
            let spots = (0..most)
                .map(|i| Spot::level(Point::new(w.x0 + 45.0 + real(i) * 4.0, w.y0 + 6.4), 0.5));
            p.place(Layer::Sheet, &letters, spots, 1.6, |q| {
                w.holds_all(&q.bounds)
            });
        }
    }

    /// The line to cut along at the right and at the foot, with its words outside.
    fn cuts(&self, p: &mut Page, cell: Cell, w: &Rect) {
        let letters = set(self.words.cut_here, 11.0, false);
        if self.grid.beside(cell, 0, 1).is_some() {
            p.line(
                Layer::Sheet,
                Point::new(w.x1, w.y0),
                Point::new(w.x1, w.y1),
                Line::Frame,
            );
            p.letters(
                Layer::Sheet,
                &letters,
                Spot {
                    at: Point::new(w.x1 + 4.6, w.y0 + 40.0),
                    turn: Angle::degrees(-90.0),
                    part: 0.5,
                },
            );
        }
        if self.grid.beside(cell, 1, 0).is_some() {
            p.line(
                Layer::Sheet,
                Point::new(w.x0, w.y1),
                Point::new(w.x1, w.y1),
                Line::Frame,
            );
            p.letters(
                Layer::Sheet,
                &letters,
                Spot::level(Point::new(w.x0 + 40.0, w.y1 + 4.4), 0.5),
            );
        }
    }

    /// The name square: exactly 2 in, or 5 cm; outside the piece where it can stand there, else in
    /// the clearest place.
    fn square(
        &self,
        p: &mut Page,
        cell: Cell,
        by: Vector,
        inside: &Rect,
        (page, of): (usize, usize),
    ) -> bool {
        let inches = self.order.shown.unit == measure::fraction::Unit::Inch;
        let side = if inches { 50.8 } else { 50.0 };
        let ring: Vec<Point> = self.piece.cut_ring.iter().map(|c| *c + by).collect();
        let mut best: Option<(bool, f64, Point)> = None;
        for gap in [6.0, 3.0, 1.5] {
            let white = if gap > 2.0 { 4.0 } else { 0.5 };
            let mut y = inside.y0 + white;
            while y + side < inside.y1 - 2.0 {
                let mut x = inside.x0 + white;
                while x + side < inside.x1 - 2.0 {
                    let quad = Quad::rect(&Rect::new(x, y, side, side));
                    let room = p.room(&quad, 16.0);
                    if room >= gap {
                        let outside = !rings(&ring, quad.corners[0]);
                        let score = room - y / 90.0;
                        if best.is_none_or(|b| (outside, score) > (b.0, b.1)) {
                            best = Some((outside, score, Point::new(x, y)));
                        }
                    }
                    x += 3.0;
                }
                y += 3.0;
            }
            if best.is_some() {
                break;
            }
        }
        let complete = best.is_some();
        let at = best.map_or_else(
            || Point::new(inside.x1 - side - 3.0, inside.y1 - side - 3.0),
            |b| b.2,
        );
        let w = self.words;
        p.frame(
            Layer::Sheet,
            Rect::new(at.x, at.y, side, side),
            Line::Frame,
            false,
        );
        let name = self.name(cell);
        let room = side - 8.0;
        let used = p.text(Layer::Sheet, at + Vector::new(4.0, 15.5), &name, 36.0, true);
        let piece = capital(&self.piece.given.piece.name);
        let beside = set(&piece, 17.0, false);
        // Each line with a rank: what may go first where there are too many.
        let mut lines: Vec<(u8, Lettering)> = Vec::new();
        if beside.width <= room - used - 3.0 {
            p.letters(
                Layer::Sheet,
                &beside,
                Spot::level(at + Vector::new(side - 4.0, 15.5), 1.0),
            );
        } else {
            // Never cut short: it ends with the side of her that it is for.
            let broken = paragraph(&[Span::bold(&piece)], 11.0, room);
            lines.extend(broken.into_iter().flatten().map(|(_, l)| (0, l)));
        }
        // That it is a toile has a line of its own: the version has no room for it beside.
        if self.order.toile {
            lines.push((0, shortened(&capital(w.toile), 11.0, true, room)));
        }
        let whole = set(&plain_signature(self.order, w), 11.0, false);
        if whole.width <= room {
            lines.push((0, whole));
        } else {
            // The version is never cut short: it keeps two patterns from being mixed.
            let client = set(&self.order.client, 11.0, false);
            if !self.order.code.is_empty() {
                lines.push((1, shortened(&self.order.code, 11.0, false, room)));
            } else if client.width > 0.0 && client.width <= room {
                lines.push((3, client));
            }
            let version = plain_version(self.order, w);
            lines.push((0, shortened(&version, 11.0, false, room)));
        }
        if let Some(taken) = &self.order.taken {
            lines.push((2, shortened(taken, 11.0, false, room)));
        }
        let numbers = [("n", page.to_string()), ("of", of.to_string())];
        let numbers = numbers.each_ref().map(|(k, v)| (*k, v.as_str()));
        lines.push((0, set(&fill(w.page_of, &numbers), 11.0, false)));
        let see = if !self.order.remarks.is_empty() {
            w.read_first
        } else if self.order.estimates.is_some() {
            w.estimates
        } else {
            ""
        };
        let measure = if inches { w.square_inches } else { w.square_cm };
        for span in [Span::plain(see), Span::bold(measure)] {
            let broken = paragraph(&[span], 11.0, room);
            lines.extend(broken.into_iter().flatten().map(|(_, l)| (0, l)));
        }
        while lines.len() > SQUARE_LINES {
            let rank = lines.iter().map(|l| l.0).max().filter(|r| *r > 0);
            let Some(i) = lines.iter().position(|l| Some(l.0) == rank) else {
                break;
            };
            lines.remove(i);
        }
        // The last line keeps off the foot of the square, however many there are.
        let first = if lines.len() > 5 { 22.4 } else { 24.6 };
        let lead = ((46.8 - first) / (real(lines.len()) - 1.0).max(1.0)).min(6.6);
        for (i, (_, letters)) in lines.iter().enumerate() {
            p.letters(
                Layer::Sheet,
                letters,
                Spot::level(at + Vector::new(4.0, first + real(i) * lead), 0.0),
            );
        }
        complete
    }

    /// The short label on every sheet that does not bear the whole one.
    fn repeat(&self, p: &mut Page, by: Vector, inside: &Rect) {
        if self.piece.leaves_out(Leave::Words) {
            return;
        }
        let order = if self.order.code.is_empty() {
            version(self.order, self.words)
        } else {
            signature(self.order, self.words)
        };
        let text = format!("{}, {order}", capital(&self.piece.given.piece.name));
        let letters = shortened(&text, 14.0, true, inside.width() * 0.7);
        let ring: Vec<Point> = self.piece.stitch_ring.iter().map(|c| *c + by).collect();
        let middle = inside.centre();
        let mut spots: Vec<Spot> = Vec::new();
        let mut y = inside.y0 + 6.0;
        while y < inside.y1 {
            let mut x = inside.x0 + 6.0;
            while x < inside.x1 {
                spots.push(Spot::level(Point::new(x, y), 0.5));
                x += 6.0;
            }
            y += 6.0;
        }
        spots.sort_by(|a, b| (a.at - middle).size().total_cmp(&(b.at - middle).size()));
        for gap in [8.0, 3.0] {
            let done = p.place(Layer::Text, &letters, spots.iter().copied(), gap, |q| {
                inside.holds_all(&q.bounds) && rings(&ring, q.corners[0])
            });
            if done {
                return;
            }
        }
    }
}

/// The numbered diamonds on the joints of this sheet, half of each on either side.
pub(crate) fn draw_diamonds(
    p: &mut Page,
    (row, column): Cell,
    joints: &[(Joint, Point)],
    by: Vector,
    window: &Rect,
    label: &Quad,
) {
    let mine: Vec<(usize, Joint, Point)> = joints
        .iter()
        .enumerate()
        .filter(|(_, (joint, _))| {
            let (r, c) = joint.cell;
            let after = if joint.below { (r + 1, c) } else { (r, c + 1) };
            joint.cell == (row, column) || after == (row, column)
        })
        .map(|(i, (joint, at))| (i + 1, *joint, *at + by))
        .collect();
    let h = DIAMOND;
    for (_, _, at) in &mine {
        p.stroke(
            Layer::Sheet,
            Shape::closed(&[
                *at + Vector::INWARD * h,
                *at + Vector::UP * h,
                *at + Vector::OUTWARD * h,
                *at + Vector::DOWN * h,
            ]),
            Pen::solid(Line::Joint.width()),
            true,
        );
    }
    for (number, joint, at) in mine {
        let letters = set(&number.to_string(), 11.0, true);
        let off = (0.9 + letters.width / 2.0).max(3.5);
        for side in [-1.0, 1.0] {
            let e = if joint.below {
                at + Vector::new(0.0, side * 3.7 + 1.4)
            } else {
                at + Vector::new(side * off, 1.4)
            };
            if !window.holds(e) {
                continue;
            }
            let inside = |q: &Quad| window.holds_all(&q.bounds) && q.gap_to(label) > 1.0;
            // Where the edge of the piece runs along the joint itself, the number steps aside.
            let beside = |u: &[f64], v: &[f64]| -> Vec<Vector> {
                let across = |u: f64, v: f64| {
                    if joint.below {
                        Vector::new(u, v * side)
                    } else {
                        Vector::new(v * side, u)
                    }
                };
                let all = u.iter().flat_map(|u| v.iter().map(move |v| (*u, *v)));
                all.map(|(u, v)| across(u, v)).collect()
            };
            let along = [0.0, 13.0, -13.0, 17.0, -17.0, 22.0, -22.0];
            let aside = beside(&along, &[0.0, 3.0, 6.0, 10.0, 14.0, 18.0]);
            let spots = aside.iter().map(|by| Spot::level(e + *by, 0.5));
            let mut done = p.place(Layer::Sheet, &letters, spots, 0.3, inside);
            if !done {
                // A narrow strip beside the line: finer steps, and further along the joint; beside an
                // upright joint the number is turned, as the words in such a strip are.
                let along = [
                    0.0, 8.5, -8.5, 13.0, -13.0, 17.0, -17.0, 22.0, -22.0, 27.0, -27.0, 32.0, -32.0,
                ];
                let fine = beside(&along, &[0.0, -1.0, 1.5, -1.8, 4.5, 7.5, 12.0]);
                let middle = at + Vector::new(side * 3.7 + 1.4, 0.0);
                let turned = fine.iter().map(|by| {
                    if joint.below {
                        Spot::level(e + *by, 0.5)
                    } else {
                        Spot {
                            at: middle + *by,
                            turn: Angle::degrees(-90.0),
                            part: 0.5,
                        }
                    }
                });
                done = p.place(Layer::Sheet, &letters, turned, 0.3, inside);
            }
            if !done {
                p.letters(Layer::Sheet, &letters, Spot::level(e, 0.5));
            }
        }
    }
}

/// Draws the lines of a piece shifted by `by`; with a window only what shows in it.
pub(crate) fn draw(p: &mut Page, piece: &Traced<'_>, by: Vector, window: Option<&Rect>) {
    for mark in &piece.marks {
        if window.is_some_and(|w| !w.meets(&mark.bounds.shifted(by))) {
            continue;
        }
        let shape = mark.shape.shifted(by);
        match &mark.pen {
            Some(pen) => p.stroke(mark.layer, shape, pen.clone(), window.is_some()),
            None => p.fill(mark.layer, shape, window.is_some()),
        }
    }
}

/// The letters beside the marks of the long check.
pub(crate) fn long_names(p: &mut Page, piece: &Traced<'_>, by: Vector, window: &Rect) {
    let Some(long) = &piece.long else { return };
    for (name, at) in [(&long.names.0, long.from), (&long.names.1, long.to)] {
        let at = at + by;
        if !window.grown(-2.0).holds(at) {
            continue;
        }
        let letters = set(name, 17.0, true);
        let w = letters.width;
        let spots = [
            Spot::level(at + Vector::new(5.5, -3.0), 0.0),
            Spot::level(at + Vector::new(-5.5, -3.0), 1.0),
            Spot::level(at + Vector::new(5.5, 7.5), 0.0),
            Spot::level(at + Vector::new(-5.5, 7.5), 1.0),
            Spot::level(at + Vector::new(9.0, 2.0), 0.0),
            Spot::level(at + Vector::new(-9.0 - w, 2.0), 0.0),
        ];
        p.place(Layer::Sheet, &letters, spots, 0.6, |q| {
            window.holds_all(&q.bounds)
        });
    }
}

/// Where the diamonds of all joints stand, in the piece's millimetres.
pub(crate) fn diamonds(sheeted: &Sheeted<'_>) -> Vec<(Joint, Point)> {
    let lap = sheeted.grid.frame.lap;
    let label = standing_label(sheeted);
    sheeted
        .joints()
        .into_iter()
        .map(|joint| {
            let w = sheeted.grid.window(joint.cell);
            let (from, to) = if joint.below {
                (
                    Point::new(w.x0 + lap + 17.0, w.y1),
                    Point::new(w.x1 - 17.0, w.y1),
                )
            } else {
                (
                    Point::new(w.x1, w.y0 + lap + 17.0),
                    Point::new(w.x1, w.y1 - 17.0),
                )
            };
            (joint, diamond(sheeted.piece, label.as_ref(), from, to))
        })
        .collect()
}

/// The box of the label, where it stands on one sheet for certain.
pub(crate) fn standing_label(sheeted: &Sheeted<'_>) -> Option<Quad> {
    (sheeted.grid.label_whole || sheeted.label.beside)
        .then(|| sheeted.label.quad(sheeted.grid.label))
}

/// Where a diamond stands on its joint: off the label before all; sliding in steps of 5 mm from the
/// middle until 14 mm from any line, else as far from lines as it can be.
pub(crate) fn diamond(piece: &Traced<'_>, label: Option<&Quad>, from: Point, to: Point) -> Point {
    let span = (to - from).size().max(0.001);
    let steps = count((span / 2.0 / 5.0).floor());
    let mut best: Option<(bool, f64, Point)> = None;
    for i in 0..=steps {
        for side in [1.0, -1.0] {
            let at = from.toward(to, 0.5 + side * real(i) * 5.0 / span);
            let off = label.is_none_or(|l| l.gap_to_line(at, at) > DIAMOND + 1.6);
            let gap = diamond_gap(piece, at);
            if off && gap >= 14.0 {
                return at;
            }
            if best.is_none_or(|b| (off && !b.0) || (off == b.0 && gap > b.1 + 0.5)) {
                best = Some((off, gap, at));
            }
        }
    }
    best.map_or(from.toward(to, 0.5), |b| b.2)
}

fn diamond_gap(piece: &Traced<'_>, at: Point) -> f64 {
    let near = Rect::new(at.x, at.y, 0.0, 0.0).grown(15.0);
    piece
        .bits
        .iter()
        .filter(|b| b.bounds.meets(&near))
        .map(|b| crate::quad::point_gap(at, b.a, b.b))
        .fold(15.0, f64::min)
}
