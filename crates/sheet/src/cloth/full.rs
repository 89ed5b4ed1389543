//! The lay at full size, for a roll as wide as the cloth.

use measure::{Length, Point, Vector};

use super::lay::{ClothFold, ClothLay, arrow};
use super::letters::round_about;
use super::small::small_head;
use super::title;
use crate::dash::Line;
use crate::drawing::{Drawing, Layer, Pen, Shape};
use crate::ellwand::Ellwand;
use crate::face::set;
use crate::lie::Lie;
use crate::number::{count, real};
use crate::order::SheetFault;
use crate::page::{Page, Spot, head};
use crate::pdf::{self, About};
use crate::plotter;
use crate::quad::{Rect, rings};
use crate::words::{Words, fill};

/// A sheet is no longer: PDF files end at 200 in.
const LONGEST: f64 = 5000.0;
/// Below the cloth: the rule.
const BELOW: f64 = 16.0;
/// After the end of the lay: the title and the square.
const TAIL: f64 = 190.0;
/// From one snip of a notch to the next.
const SNIPS: f64 = 3.0;
/// White around.
const WHITE: f64 = 5.0;

/// The lay at full size; what is longer than five metres comes in several sheets that meet.
fn sheets(lay: &ClothLay, words: &Words) -> Vec<Page> {
    let (low, high) = lay.reach();
    let long = lay.length.in_mm() + TAIL;
    let many = count((long / LONGEST).ceil().max(1.0));
    (0..many)
        .map(|n| {
            let from = real(n) * LONGEST;
            sheet(
                lay,
                words,
                (from, (from + LONGEST).min(long)),
                (low, high),
                (n + 1, many),
            )
        })
        .collect()
}

fn sheet(
    lay: &ClothLay,
    words: &Words,
    (from, to): (f64, f64),
    (low, high): (f64, f64),
    number: (usize, usize),
) -> Page {
    let (w, h) = (to - from + 2.0 * WHITE, high - low + BELOW + 2.0 * WHITE);
    let mut page = Page::new(w, h);
    page.window = Some(Rect::new(WHITE, 0.0, to - from, h));
    let at = |p: [f64; 2]| Point::new(WHITE + p[0] - from, WHITE + high - p[1]);
    let s = lay.selvedge.in_mm();
    let end = lay.length.in_mm();
    let opened = lay.flat_from.map_or(end, Length::in_mm);
    let folded = lay.fold == ClothFold::Folded;
    let line = |page: &mut Page, a: [f64; 2], b: [f64; 2], line: Line| {
        let (a, b) = (at(a), at(b));
        page.stroke(
            Layer::Sheet,
            Shape::line(&[a, b]),
            line.pen((b - a).size()),
            true,
        );
    };
    for (a, b, top, on_fold) in [
        (0.0, opened, lay.lies(), folded),
        (opened, end, lay.usable(), false),
    ] {
        if b - a < 1.0 {
            continue;
        }
        line(&mut page, [a, top + s], [b, top + s], Line::Bracket);
        let foot = if on_fold { 0.0 } else { -s };
        line(
            &mut page,
            [a, foot],
            [b, foot],
            if on_fold { Line::Fold } else { Line::Bracket },
        );
        if s > 1.0 {
            line(&mut page, [a, top], [b, top], Line::Balance);
            if !on_fold {
                line(&mut page, [a, 0.0], [b, 0.0], Line::Balance);
            }
        }
    }
    if let Some(deep) = lay.turned_in.map(Length::in_mm) {
        line(&mut page, [0.0, deep], [opened, deep], Line::Balance);
        line(&mut page, [0.0, deep + s], [opened, deep + s], Line::Fine);
    }
    let low_at = |x: f64| if folded && x < opened { 0.0 } else { -s };
    line(
        &mut page,
        [0.0, low_at(0.0)],
        [0.0, lay.lies() + s],
        if lay.fold == ClothFold::Crosswise {
            Line::Fold
        } else {
            Line::Bracket
        },
    );
    line(
        &mut page,
        [end, low_at(end - 1.0)],
        [end, high],
        Line::Balance,
    );
    for f in &lay.flaws {
        for (a, b) in [([f[0], f[1]], [f[2], f[3]]), ([f[0], f[3]], [f[2], f[1]])] {
            line(&mut page, a, b, Line::Fine);
        }
    }
    let drawn: Vec<Vec<Point>> = lay
        .pieces
        .iter()
        .map(|p| p.outline.iter().map(|q| at(*q)).collect())
        .collect();
    let here = |p: &Point| p.x > WHITE && p.x < w - WHITE;
    for ring in drawn.iter().filter(|r| r.iter().any(here)) {
        page.stroke(Layer::Cutting, Shape::closed(ring), Pen::solid(0.7), true);
    }
    for (i, p) in lay.pieces.iter().enumerate() {
        let [a, b] = arrow(p.grain).map(at);
        if !drawn[i].iter().any(here) {
            continue;
        }
        let Some(way) = (b - a).unit() else { continue };
        page.stroke(Layer::Grain, Shape::line(&[a, b]), Pen::solid(0.35), true);
        let heads = [(b, way, true), (a, -way, !lay.one_way)];
        for (at, way, wanted) in heads {
            if wanted && here(&at) {
                let shape = if (b - a).size() > 30.0 {
                    head(at, way)
                } else {
                    small_head(at, way)
                };
                page.fill(Layer::Grain, shape, true);
            }
        }
    }
    for (p, _) in lay
        .pieces
        .iter()
        .zip(&drawn)
        .filter(|(_, d)| d.iter().any(here))
    {
        for line in &p.joins {
            let [a, b] = line.map(at);
            page.stroke(
                Layer::Stitching,
                Shape::line(&[a, b]),
                Line::Stitching.pen((b - a).size()),
                true,
            );
        }
        for (notch, snips) in &p.notches {
            let [a, b] = notch.map(at);
            let Some(way) = (b - a).unit() else { continue };
            for n in 0..*snips {
                let aside = way.left() * (SNIPS * (f64::from(n) - f64::from(snips - 1) / 2.0));
                page.stroke(
                    Layer::Notches,
                    Shape::line(&[a + aside, b + aside]),
                    Pen::solid(0.35),
                    true,
                );
            }
        }
    }
    names(&mut page, lay, words, &drawn, at);
    let rule = Ellwand::of(lay.shown.unit);
    level_rule(&mut page, rule, (from, to.min(end)), h - WHITE - BELOW);
    if to > end {
        tail(
            &mut page,
            lay,
            words,
            (at([end, 0.0]).x + 12.0, WHITE),
            number,
        );
    }
    // The cloth's length runs along the roll.
    let mut roll = Page::new(h, w);
    roll.lay(&page, Lie::turned(1).shifted(Vector::new(h, 0.0)));
    roll
}

/// Every piece's name and how it lies, on it.
fn names(
    page: &mut Page,
    lay: &ClothLay,
    words: &Words,
    drawn: &[Vec<Point>],
    at: impl Fn([f64; 2]) -> Point,
) {
    for (i, ring) in drawn.iter().enumerate() {
        let middle = arrow(lay.pieces[i].grain).map(&at);
        let middle = middle[0].toward(middle[1], 0.5);
        let note = lay.note(i, words);
        for (name, under) in [(42.0, 17.0), (24.0, 14.0), (11.0, 11.0)] {
            let lines = [set(&lay.named(i), name, true), set(&note, under, false)];
            let lead = name * 0.6;
            let fits = |page: &Page, p: &Point| {
                lines
                    .iter()
                    .enumerate()
                    .filter(|(_, l)| l.width > 0.0)
                    .all(|(k, l)| {
                        let p = Point::new(p.x, p.y + real(k) * lead);
                        let q = l.quad(l.start(p, measure::Angle::ZERO, 0.5), measure::Angle::ZERO);
                        page.clear(&q, 1.2)
                            && q.bounds.corners().iter().all(|c| rings(ring, *c))
                            && q.bounds.x0 > WHITE
                            && q.bounds.x1 < page.drawing.width - WHITE
                    })
            };
            let spot = round_about(ring, middle)
                .into_iter()
                .find(|p| fits(page, p));
            if let Some(p) = spot {
                for (k, l) in lines.iter().enumerate().filter(|(_, l)| l.width > 0.0) {
                    page.letters(
                        Layer::Text,
                        l,
                        Spot::level(Point::new(p.x, p.y + real(k) * lead), 0.5),
                    );
                }
                break;
            }
        }
    }
}

/// A rule along the foot of the sheet, numbered from the start of the cloth.
fn level_rule(page: &mut Page, rule: Ellwand, (from, to): (f64, f64), y: f64) {
    let first = count((from / rule.step - 1e-9).ceil());
    let last = rule.whole(to);
    for n in first..=last {
        let x = WHITE + real(n) * rule.step - from;
        let numbered = n.is_multiple_of(rule.numbered);
        let long = if numbered { 7.0 } else { 3.5 };
        let pen = Pen::solid(0.35);
        page.stroke(
            Layer::Sheet,
            Shape::line(&[Point::new(x, y + 2.0), Point::new(x, y + 2.0 + long)]),
            pen,
            false,
        );
        if numbered {
            let letters = set(&n.to_string(), 17.0, false);
            page.letters(
                Layer::Sheet,
                &letters,
                Spot::level(Point::new(x + 1.5, y + 13.5), 0.0),
            );
        }
    }
}

/// The title and a square to measure, behind the end of the lay.
fn tail(
    page: &mut Page,
    lay: &ClothLay,
    words: &Words,
    (x, y): (f64, f64),
    number: (usize, usize),
) {
    let inches = lay.shown.unit == measure::fraction::Unit::Inch;
    let side = if inches { 101.6 } else { 100.0 };
    let room = page.drawing.width - WHITE - x;
    if room < side || page.drawing.height < side + 90.0 {
        return;
    }
    page.frame(
        Layer::Sheet,
        Rect::new(x, y + 2.0, side, side),
        Line::Frame,
        false,
    );
    let version = fill(words.version, &[("v", &lay.version)]);
    let mut said = vec![
        words.lay_title.to_owned(),
        lay.title.clone(),
        lay.client.clone(),
        lay.code.clone(),
        version,
        lay.cloth.clone(),
    ];
    if number.1 > 1 {
        said.push(format!("{} / {}", number.0, number.1));
    }
    said.push(
        if inches {
            words.lay_square_inches
        } else {
            words.lay_square_cm
        }
        .to_owned(),
    );
    let mut down = y + side + 12.0;
    for text in said.iter().filter(|t| !t.is_empty()) {
        for line in
            crate::face::paragraph(&[crate::face::Span::plain(text.clone())], 17.0, room - 4.0)
        {
            page.lines(Layer::Sheet, Point::new(x, down), &[line], 0.0);
            down += 8.4;
        }
    }
}

/// The lay at full size as a PDF, one sheet as wide as the cloth lies and as long as the lay.
///
/// # Errors
/// As [`cloth_pdf`](crate::cloth_pdf).
pub fn cloth_full_pdf(lay: &ClothLay) -> Result<Vec<u8>, SheetFault> {
    lay.sound()?;
    if lay.pieces.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let drawings: Vec<Drawing> = sheets(lay, lay.words)
        .into_iter()
        .map(|p| p.drawing)
        .collect();
    pdf::write(
        &drawings,
        &About {
            title: &title(lay, lay.words),
            words: lay.words,
            off: None,
            packed: true,
        },
    )
}

/// The same for a plotter with a roll: HP-GL/2.
///
/// # Errors
/// As [`cloth_pdf`](crate::cloth_pdf).
pub fn cloth_plt(lay: &ClothLay) -> Result<String, SheetFault> {
    lay.sound()?;
    if lay.pieces.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let drawings: Vec<Drawing> = sheets(lay, lay.words)
        .into_iter()
        .map(|p| p.drawing)
        .collect();
    Ok(plotter::write(&drawings))
}
