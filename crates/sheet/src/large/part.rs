//! A piece, or the part of one that fits on the paper, drawn in its own millimetres with all its
//! words; and the outline that it needs on a sheet.

use measure::{Angle, Point, Vector};

use crate::dash::Line;
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{set, shortened};
use crate::grid::{Cell, inner};
use crate::label::{Label, signature};
use crate::letters::Letters;
use crate::nest::Outline;
use crate::number::{count, real};
use crate::order::Leave;
use crate::page::{Page, Spot};
use crate::quad::{Quad, Rect, point_gap, rings};
use crate::tile::{Joint, Sheeted, diamond, draw, draw_diamonds, long_names, standing_label};
use crate::traced::Traced;
use crate::wording::Wording;
use crate::words::{capital, fill};

/// Marks of a joint stand out so far beyond the piece.
const BEYOND: f64 = 6.0;

/// A whole piece with its words; nothing is clipped.
pub(super) fn whole(piece: &Traced<'_>, label: &Label, wording: &Wording) -> Page {
    let mut page = Page::new(0.0, 0.0);
    let all = piece.bounds.grown(1000.0);
    draw(&mut page, piece, Vector::default(), None);
    long_names(&mut page, piece, Vector::default(), &all);
    if let Some(at) = label.spots.first() {
        label.draw(&mut page, *at);
    }
    wording.place(&mut page, piece, Vector::default(), &all);
    page
}

/// The parts of a piece that is larger than the paper.
pub(super) struct Parted<'a> {
    pub(super) sheeted: Sheeted<'a>,
    pub(super) letters: &'a Letters,
}

/// One side of a joint on a part.
struct Side {
    /// From one end of the joint to the other, a little beyond the piece.
    from: Point,
    to: Point,
    /// The part beyond.
    other: Cell,
    /// The other part comes to lie on this one.
    covered: bool,
    /// The joint runs across the piece.
    level: bool,
}

impl Parted<'_> {
    /// `Back, part 2 of 3`.
    pub(super) fn name(&self, cell: Cell) -> String {
        let grid = self.sheeted.grid;
        let n = grid.on.iter().position(|c| *c == cell).map_or(0, |i| i + 1);
        fill(
            self.sheeted.words.part_of,
            &[
                ("piece", &capital(&self.sheeted.piece.given.piece.name)),
                ("n", &n.to_string()),
                ("of", &grid.on.len().to_string()),
            ],
        )
    }

    /// The stretch of a joint that the piece reaches, a little longer; nothing when it does not.
    fn stretch(&self, joint: Joint) -> Option<(Point, Point)> {
        let grid = self.sheeted.grid;
        let w = grid.window(joint.cell);
        let lap = grid.frame.lap;
        let band = if joint.below {
            Rect {
                y0: w.y1 - lap,
                ..w
            }
        } else {
            Rect {
                x0: w.x1 - lap,
                ..w
            }
        };
        let there = Rect::around(&clipped(&self.sheeted.piece.cut_ring, &band));
        if there.width() < 0.0 {
            return None;
        }
        Some(if joint.below {
            (
                Point::new((there.x0 - BEYOND).max(w.x0), w.y1),
                Point::new((there.x1 + BEYOND).min(w.x1), w.y1),
            )
        } else {
            (
                Point::new(w.x1, (there.y0 - BEYOND).max(w.y0)),
                Point::new(w.x1, (there.y1 + BEYOND).min(w.y1)),
            )
        })
    }

    /// The diamonds of all joints.
    pub(super) fn diamonds(&self) -> Vec<(Joint, Point)> {
        let label = standing_label(&self.sheeted);
        self.sheeted
            .joints()
            .into_iter()
            .filter_map(|joint| {
                let (from, to) = self.stretch(joint)?;
                let at = diamond(self.sheeted.piece, label.as_ref(), from, to);
                Some((joint, at))
            })
            .collect()
    }

    fn sides(&self, cell: Cell) -> Vec<Side> {
        let grid = self.sheeted.grid;
        [(0, -1), (-1, 0), (0, 1), (1, 0)]
            .into_iter()
            .filter_map(|(down, across)| {
                let other = grid.beside(cell, down, across)?;
                let covered = down + across < 0;
                let joint = Joint {
                    cell: if covered { other } else { cell },
                    below: down != 0,
                };
                let (from, to) = self.stretch(joint)?;
                Some(Side {
                    from,
                    to,
                    other,
                    covered,
                    level: down != 0,
                })
            })
            .collect()
    }

    /// Draws one part.
    pub(super) fn draw(&self, cell: Cell, diamonds: &[(Joint, Point)]) -> Page {
        let s = &self.sheeted;
        let w = s.grid.window(cell);
        let still = Vector::default();
        let mut p = Page::new(0.0, 0.0);
        p.window = Some(w);
        draw(&mut p, s.piece, still, Some(&w));
        let sides = self.sides(cell);
        for side in &sides {
            let line = if side.covered {
                Line::Dots
            } else {
                Line::Frame
            };
            p.line(Layer::Sheet, side.from, side.to, line);
            for c in [side.from, side.to] {
                for v in [Vector::OUTWARD * 7.0, Vector::DOWN * 7.0] {
                    let pen = Pen::solid(Line::Joint.width());
                    p.stroke(Layer::Sheet, Shape::line(&[c - v, c + v]), pen, true);
                }
            }
        }
        let label = s.label.quad(s.grid.label);
        draw_diamonds(&mut p, cell, diamonds, still, &w, &label);
        long_names(&mut p, s.piece, still, &w);
        let inside = inner(s.grid, cell);
        let labelled = inside.holds_all(&label.bounds);
        if labelled {
            s.label.draw(&mut p, s.grid.label);
        }
        for side in &sides {
            self.say(&mut p, side, &w);
        }
        s.wording.place(&mut p, s.piece, still, &inside);
        if !labelled {
            self.repeat(&mut p, cell, &inside);
        }
        p
    }

    /// What is written along a joint: on the strip that will be covered, or outside the cut.
    fn say(&self, p: &mut Page, side: &Side, w: &Rect) {
        let words = self.sheeted.words;
        let size = self.letters.words;
        let text = if side.covered {
            fill(words.lies_here, &[("tile", &self.name(side.other))])
        } else {
            words.cut_here.to_owned()
        };
        let length = (side.to - side.from).size();
        let turn = Angle::degrees(if side.level { 0.0 } else { -90.0 });
        let lap = self.sheeted.grid.frame.lap;
        let off = if side.covered {
            // Before the joint, on the strip.
            -lap / 2.0 + size * 0.12
        } else {
            size * 0.42
        };
        let aside = if side.level {
            Vector::DOWN
        } else {
            Vector::OUTWARD
        } * off;
        // On a short joint the words are cut short rather than left out.
        let letters = shortened(&text, size, false, length - 2.0);
        let steps = count((length / 4.0).floor()).max(1);
        let spots = (0..=steps).map(|i| Spot {
            at: side.from.toward(side.to, spread(i, steps)) + aside,
            turn,
            part: 0.5,
        });
        for gap in [1.6, 0.5] {
            let done = p.place(Layer::Sheet, &letters, spots.clone(), gap, |q| {
                !side.covered || w.holds_all(&q.bounds)
            });
            if done {
                return;
            }
        }
    }

    /// The short label on a part that does not bear the whole one.
    fn repeat(&self, p: &mut Page, cell: Cell, inside: &Rect) {
        let s = &self.sheeted;
        if s.piece.leaves_out(Leave::Words) {
            return;
        }
        let text = format!("{}, {}", self.name(cell), signature(s.order, s.words));
        let ring = clipped(&s.piece.cut_ring, inside);
        let there = Rect::around(&ring);
        if there.width() < 0.0 {
            return;
        }
        let letters = shortened(&text, self.letters.repeat, true, there.width().max(60.0));
        let middle = there.centre();
        let mut spots: Vec<Spot> = Vec::new();
        for turn in [Angle::ZERO, Angle::degrees(-90.0)] {
            let mut some: Vec<Spot> = Vec::new();
            let mut y = there.y0;
            while y < there.y1 {
                let mut x = there.x0;
                while x < there.x1 {
                    some.push(Spot {
                        at: Point::new(x, y),
                        turn,
                        part: 0.5,
                    });
                    x += 8.0;
                }
                y += 8.0;
            }
            some.sort_by(|a, b| (a.at - middle).size().total_cmp(&(b.at - middle).size()));
            spots.extend(some);
        }
        for gap in [8.0, 2.0] {
            let done = p.place(Layer::Text, &letters, spots.iter().copied(), gap, |q| {
                inside.holds_all(&q.bounds) && rings(&s.piece.stitch_ring, q.corners[0])
            });
            if done {
                return;
            }
        }
        // The part is too small: its name stands beside it.
        let name = set(&self.name(cell), self.letters.words, true);
        let at = Point::new(there.x0, there.y0);
        let beside = [
            Point::new(at.x, there.y1 + 10.0),
            Point::new(at.x, at.y - 5.0),
            Point::new(at.x - name.width - 5.0, middle.y),
        ];
        let beside = beside.map(|at| Spot::level(at, 0.0));
        p.place(Layer::Text, &name, beside, 1.2, |_| true);
    }
}

/// From the middle outwards, as a share of the whole.
fn spread(i: usize, steps: usize) -> f64 {
    let half = real(i.div_ceil(2)) / real(steps);
    if i.is_multiple_of(2) {
        0.5 + half
    } else {
        0.5 - half
    }
}

/// The part of a ring inside a box (cut along one side after the other).
pub(super) fn clipped(ring: &[Point], r: &Rect) -> Vec<Point> {
    let mut out = ring.to_vec();
    let sides: [fn(Point, &Rect) -> f64; 4] = [
        |p, r| p.x - r.x0,
        |p, r| r.x1 - p.x,
        |p, r| p.y - r.y0,
        |p, r| r.y1 - p.y,
    ];
    for inside in sides {
        let before = core::mem::take(&mut out);
        for (i, a) in before.iter().enumerate() {
            let b = before[(i + 1) % before.len()];
            let (da, db) = (inside(*a, r), inside(b, r));
            if da >= 0.0 {
                out.push(*a);
            }
            if (da >= 0.0) != (db >= 0.0) {
                out.push(a.toward(b, da / (da - db)));
            }
        }
    }
    out
}

/// What a drawing needs on a sheet: the piece itself, and all ink that stands out beyond it.
pub(super) fn outline(page: &Page, ring: &[Point]) -> Outline {
    let mut out: Outline = vec![ring.to_vec()];
    let bounds = Rect::around(ring);
    let on_it = |p: Point| {
        bounds.grown(0.5).holds(p)
            && (rings(ring, p)
                || (0..ring.len()).any(|i| point_gap(p, ring[i], ring[(i + 1) % ring.len()]) < 0.5))
    };
    for bit in &page.bits {
        if !(on_it(bit.a) && on_it(bit.b)) {
            out.push(bit.bounds.grown(0.2).corners().to_vec());
        }
    }
    for (quad, _) in &page.words {
        let quad: &Quad = quad;
        if !quad.corners.iter().all(|c| on_it(*c)) {
            out.push(quad.bounds.grown(1.0).corners().to_vec());
        }
    }
    out
}
