//! A plate: the sheet as it stands after some steps, what they add drawn thick, letters beside dots.

use measure::{Curve, Length, Point, Vector};

use super::plan::{Plan, Sheet};
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Lettering, set};
use crate::flow::SMALL;
use crate::page::{Page, Spot as At};
use crate::quad::{Quad, Rect};

/// The scales of plates: 1 to so much.
const SCALES: [f64; 13] = [
    10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 150.0, 200.0, 400.0,
];
/// Old and new lines.
const OLD: f64 = 0.35;
const NEW: f64 = 0.7;
/// White round a drawing, for its letters.
pub(crate) const MARGIN: f64 = 7.0;
/// The same above and below.
const OVER: f64 = 5.0;
/// Letters keep this gap from lines.
const GAP: f64 = 0.6;
/// How often letters that find no place are tried in another order.
const TRIES: usize = 8;

/// The ways from a dot to its letter: out, up, down and in first of all.
const WAYS: [(f64, f64); 16] = [
    (1.0, 0.0),
    (0.0, -1.0),
    (0.0, 1.0),
    (-1.0, 0.0),
    (0.7, 0.7),
    (0.7, -0.7),
    (-0.7, 0.7),
    (-0.7, -0.7),
    (0.92, 0.38),
    (0.92, -0.38),
    (-0.92, 0.38),
    (-0.92, -0.38),
    (0.38, 0.92),
    (0.38, -0.92),
    (-0.38, 0.92),
    (-0.38, -0.92),
];

/// How the sheets of a group are shown: the part of them that is drawn, and the scale.
#[derive(Clone, Copy, Debug)]
pub(crate) struct View {
    /// In true mm.
    pub(crate) window: Rect,
    /// 1 to so much.
    pub(crate) scale: f64,
}

impl View {
    /// The view of a sheet, to go into a box of so many mm: as wide as its whole group and at the
    /// group's scale, so that the uprights stand in line down the page.
    pub(crate) fn of(plan: &Plan<'_>, sheet: usize, room: (f64, f64)) -> Self {
        let own = &plan.sheets[sheet];
        let group: Vec<&Sheet<'_>> = plan
            .sheets
            .iter()
            .filter(|s| s.group == own.group)
            .collect();
        let whole = Self::around(&group, room);
        let alone = Self::around(&[own], room);
        Self {
            window: Rect {
                y0: alone.window.y0,
                y1: alone.window.y1,
                ..whole.window
            },
            scale: whole.scale,
        }
    }

    fn around(sheets: &[&Sheet<'_>], room: (f64, f64)) -> Self {
        let mut window = Rect::EMPTY;
        for sheet in sheets {
            for spot in &sheet.spots {
                window = window.with(spot.at);
            }
            for e in &sheet.edges {
                let (low, high) = e.curve.bounds();
                window = window.with(low).with(high);
            }
            for r in &sheet.rulings {
                // A ruling beyond all points is not worth the paper, one near them is.
                let at = if r.level {
                    Point::new(0.0, r.at)
                } else {
                    Point::new(r.at, 0.0)
                };
                if window.grown(60.0).holds(at) {
                    window = window.with(at);
                }
            }
        }
        if !window.x0.is_finite() || window.width() <= 0.0 && window.height() <= 0.0 {
            window = Rect::new(0.0, 0.0, 100.0, 100.0);
        }
        let fits = |s: f64| {
            window.width() / s <= room.0 - 2.0 * MARGIN
                && window.height() / s <= room.1 - 2.0 * OVER
        };
        let scale = SCALES.into_iter().find(|s| fits(*s)).unwrap_or_else(|| {
            (window.width() / (room.0 - 2.0 * MARGIN))
                .max(window.height() / (room.1 - 2.0 * OVER))
                .ceil()
        });
        Self { window, scale }
    }

    /// How tall a plate is, margins and all.
    pub(crate) fn height(&self) -> f64 {
        self.window.height() / self.scale + 2.0 * OVER
    }

    pub(crate) fn width(&self) -> f64 {
        self.window.width() / self.scale + 2.0 * MARGIN
    }
}

/// Which steps a plate adds.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Steps {
    pub(crate) first: u32,
    pub(crate) last: u32,
}

/// Draws a plate, the top left of its box at `corner`, its letters within `wide` of it. Gives the
/// letters that found no room.
pub(crate) fn draw(
    page: &mut Page,
    plan: &Plan<'_>,
    sheet: usize,
    view: &View,
    steps: Steps,
    (corner, wide): (Point, f64),
) -> Vec<String> {
    let this = &plan.sheets[sheet];
    let model = plan.sheets.iter().position(|s| s.group == this.group);
    let model = model.filter(|m| *m != sheet).map(|m| &plan.sheets[m]);
    let put = |p: Point| -> Point {
        Point::new(
            corner.x + MARGIN + (p.x - view.window.x0) / view.scale,
            corner.y + OVER + (p.y - view.window.y0) / view.scale,
        )
    };
    // What is traced is as good as old.
    let traced = |name: &str| model.is_some_and(|m| has_same(m, this, name));
    let pen = |step: u32, name: &str| {
        let new = step >= steps.first && !traced(name);
        Pen::solid(if new { NEW } else { OLD })
    };
    let there = |step: u32| step <= steps.last;
    let (w0, w1) = (
        put(Point::new(view.window.x0, view.window.y0)),
        put(Point::new(view.window.x1, view.window.y1)),
    );
    let left = put(Point::new(0.0, 0.0));
    for r in this.rulings.iter().filter(|r| there(r.step)) {
        let pen = pen(r.step, &r.name);
        let on = |s: &&super::plan::Spot| {
            let at = if r.level { s.at.y } else { s.at.x };
            there(s.step) && (at - r.at).abs() < 1e-4
        };
        let points: Vec<Point> = this.spots.iter().filter(on).map(|s| put(s.at)).collect();
        if r.level {
            let y = put(Point::new(0.0, r.at)).y;
            if y < w0.y - 0.5 || y > w1.y + 0.5 {
                continue;
            }
            let from = points.iter().map(|p| p.x).fold(left.x.max(w0.x), f64::min);
            line(page, Point::new(from, y), Point::new(w1.x, y), pen);
        } else {
            let x = put(Point::new(r.at, 0.0)).x;
            if x < w0.x - 0.5 || x > w1.x + 0.5 {
                continue;
            }
            let from = points.iter().map(|p| p.y).fold(left.y.max(w0.y), f64::min);
            line(page, Point::new(x, from), Point::new(x, w1.y), pen);
        }
    }
    let frame = view.window.grown(2.0 * view.scale);
    for (name, curve, step) in this.helps.iter().filter(|h| there(h.2)) {
        for chain in clipped(curve, &frame, view.scale) {
            let points: Vec<Point> = chain.into_iter().map(put).collect();
            page.stroke(Layer::Plain, Shape::line(&points), pen(*step, name), false);
        }
    }
    for e in this.edges.iter().filter(|e| there(e.step)) {
        let points: Vec<Point> = e
            .curve
            .flatten(Length::mm(0.03 * view.scale))
            .into_iter()
            .map(put)
            .collect();
        page.stroke(
            Layer::Plain,
            Shape::line(&points),
            pen(e.step, e.name),
            false,
        );
    }
    for dart in this.darts.iter().filter(|d| there(d.step)) {
        let at = |i: usize| put(this.spots[i].at);
        let points = [at(dart.legs.0), at(dart.tip), at(dart.legs.1)];
        page.stroke(
            Layer::Plain,
            Shape::line(&points),
            pen(dart.step, dart.name),
            false,
        );
    }
    let mut letters: Vec<(bool, Point, &str)> = Vec::new();
    for s in this.spots.iter().filter(|s| there(s.step)) {
        let new = s.step >= steps.first && !traced(&s.name);
        let at = put(s.at);
        page.fill(
            Layer::Plain,
            Shape::circle(at, if new { 0.85 } else { 0.6 }),
            false,
        );
        if !letters
            .iter()
            .any(|l| l.2 == s.letter && (l.1 - at).size() < 0.01)
        {
            letters.push((new, at, &s.letter));
        }
    }
    letters.sort_by_key(|l| !l.0);
    let bounds = Rect::new(
        corner.x - 3.0,
        corner.y - 5.0,
        wide.max(view.width()) + 6.0,
        view.height() + 5.0,
    );
    set_letters(page, letters, &bounds)
}

/// A letter to be set: whether its point is new, its dot, and what it is.
type Lettered<'l> = (bool, Point, &'l str);

/// A letter where it stands, with the thin line to its dot if it stands far off.
#[derive(Clone, Debug)]
struct Placed {
    letters: Lettering,
    at: Point,
    quad: Quad,
    leader: Option<(Point, Point)>,
}

/// Sets the letters of a plate. One that finds no place is tried first the next time; the best of a
/// few tries stands. Gives the letters of new points that are left out.
fn set_letters(page: &mut Page, mut letters: Vec<Lettered<'_>>, bounds: &Rect) -> Vec<String> {
    let mut best: Option<(Vec<Placed>, Vec<String>)> = None;
    for _ in 0..TRIES {
        let mut placed: Vec<Placed> = Vec::new();
        let mut left_out: Vec<usize> = Vec::new();
        for (i, (new, dot, letter)) in letters.iter().enumerate() {
            let gaps: &[f64] = if *new { &[GAP, GAP / 2.0] } else { &[GAP] };
            let found = gaps
                .iter()
                .find_map(|gap| place(page, &placed, letter, *dot, bounds, *new, *gap));
            match found {
                Some(found) => placed.push(found),
                None if *new => left_out.push(i),
                None => {}
            }
        }
        let names = left_out.iter().map(|i| letters[*i].2.to_owned()).collect();
        if best.as_ref().is_none_or(|b| left_out.len() < b.1.len()) {
            best = Some((placed, names));
        }
        if left_out.is_empty() {
            break;
        }
        for i in left_out {
            let one = letters.remove(i);
            letters.insert(0, one);
        }
    }
    let (placed, left_out) = best.unwrap_or_default();
    for one in placed {
        if let Some((from, to)) = one.leader {
            line(page, from, to, Pen::solid(0.25));
        }
        page.letters(Layer::Plain, &one.letters, At::level(one.at, 0.0));
    }
    left_out
}

fn line(page: &mut Page, from: Point, to: Point, pen: Pen) {
    if (to - from).size() > 0.05 {
        page.stroke(Layer::Plain, Shape::line(&[from, to]), pen, false);
    }
}

/// The first clear place for a letter beside its dot; a new one may stand farther off.
fn place(
    page: &Page,
    placed: &[Placed],
    letter: &str,
    dot: Point,
    bounds: &Rect,
    new: bool,
    gap: f64,
) -> Option<Placed> {
    let letters = set(letter, SMALL, true);
    let ink = letters.ink;
    let (half_w, half_h) = (ink.width() / 2.0, ink.height() / 2.0);
    let rings: &[f64] = if new {
        &[
            0.75, 1.2, 1.8, 2.6, 3.6, 5.0, 6.5, 8.0, 10.0, 12.0, 15.0, 18.0,
        ]
    } else {
        &[0.75, 1.2, 1.8, 2.6]
    };
    for ring in rings {
        for (x, y) in WAYS {
            let way = Vector::new(x, y);
            let centre = Point::new(
                dot.x + way.x * (0.9 + ring + half_w),
                dot.y + way.y * (0.9 + ring + half_h),
            );
            let at = Point::new(
                centre.x - half_w - ink.x0,
                centre.y - f64::midpoint(ink.y0, ink.y1),
            );
            let quad = letters.quad(at, measure::Angle::ZERO);
            let free = bounds.holds_all(&quad.bounds)
                && page.clear(&quad, gap)
                && placed.iter().all(|p| {
                    p.quad.gap_to(&quad) >= gap
                        && p.leader.is_none_or(|(a, b)| quad.gap_to_line(a, b) >= gap)
                });
            if !free {
                continue;
            }
            let leader = (*ring > 3.0).then(|| {
                let to = Point::new(
                    centre.x - way.x * (half_w + 0.75),
                    centre.y - way.y * (half_h + 0.75),
                );
                (dot + way * 0.9, to)
            });
            // Nor may the thin line run through another letter.
            if let Some((a, b)) = leader {
                let through = page.words.iter().any(|(w, _)| w.gap_to_line(a, b) < gap)
                    || placed.iter().any(|p| p.quad.gap_to_line(a, b) < gap);
                if through {
                    continue;
                }
            }
            return Some(Placed {
                letters,
                at,
                quad,
                leader,
            });
        }
    }
    None
}

/// Whether a thing lies on both sheets at the same place.
pub(crate) fn has_same(a: &Sheet<'_>, b: &Sheet<'_>, name: &str) -> bool {
    let near = |p: Point, q: Point| (p - q).size() < 1e-4;
    let ruling = |s: &Sheet<'_>| {
        s.rulings
            .iter()
            .find(|r| r.name == name)
            .map(|r| (r.level, r.at))
    };
    if let (Some(p), Some(q)) = (ruling(a), ruling(b)) {
        return p.0 == q.0 && (p.1 - q.1).abs() < 1e-4;
    }
    let spot = |s: &Sheet<'_>| s.spots.iter().find(|x| x.name == name).map(|x| x.at);
    if let (Some(p), Some(q)) = (spot(a), spot(b)) {
        return near(p, q);
    }
    let curve = |s: &Sheet<'_>| -> Option<Vec<Point>> {
        let edge = s.edges.iter().find(|e| e.name == name).map(|e| e.curve);
        let help = s.helps.iter().find(|h| h.0 == name).map(|h| h.1);
        let c = edge.or(help)?;
        let whole = c.length().in_mm();
        Some(
            (0..=8)
                .map(|i| c.at(Length::mm(whole * f64::from(i) / 8.0)).point)
                .collect(),
        )
    };
    match (curve(a), curve(b)) {
        (Some(p), Some(q)) => p.iter().zip(&q).all(|(p, q)| near(*p, *q)),
        _ => {
            let dart = |s: &Sheet<'_>| {
                s.darts
                    .iter()
                    .find(|d| d.name == name)
                    .map(|d| s.spots[d.tip].at)
            };
            matches!((dart(a), dart(b)), (Some(p), Some(q)) if near(p, q))
        }
    }
}

/// The parts of a line that lie inside a frame.
fn clipped(curve: &Curve, frame: &Rect, scale: f64) -> Vec<Vec<Point>> {
    let mut out: Vec<Vec<Point>> = Vec::new();
    for pair in curve.flatten(Length::mm(0.03 * scale)).windows(2) {
        let Some((a, b)) = frame.clipped(pair[0], pair[1]) else {
            continue;
        };
        match out.last_mut() {
            Some(chain) if chain.last().is_some_and(|p| (*p - a).size() < 1e-6) => chain.push(b),
            _ => out.push(vec![a, b]),
        }
    }
    out.retain(|c| c.len() > 1);
    out
}
