//! The writer of PNG: a picture to look at, not to measure by.

use measure::{Point, Vector};
use tiny_skia::{
    FillRule, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, StrokeDash, Transform,
};

use crate::drawing::{Drawing, Ink, Shape, Step};
use crate::face::{Lettering, MM_PER_POINT};
use crate::number::single;
use crate::order::SheetFault;

/// How wide a line is drawn, in pixels: none so thin that it fades, and still told apart.
fn width(mm: f64, pixels_per_mm: f64) -> f64 {
    (mm * pixels_per_mm).max(0.6 + 2.0 * mm)
}

/// Draws a page black on white, so many pixels to the millimetre.
pub(crate) fn write(drawing: &Drawing, pixels_per_mm: f64) -> Result<Vec<u8>, SheetFault> {
    let broken = SheetFault::Broken("the picture can't be drawn");
    let size = |mm: f64| {
        u32::try_from(crate::number::count(mm * pixels_per_mm))
            .unwrap_or(1)
            .clamp(1, 8000)
    };
    let mut map =
        Pixmap::new(size(drawing.width), size(drawing.height)).ok_or_else(|| broken.clone())?;
    map.fill(tiny_skia::Color::WHITE);
    let mut paint = Paint::default();
    paint.set_color(tiny_skia::Color::BLACK);
    for item in &drawing.items {
        match &item.ink {
            Ink::Stroke(shape, pen) => {
                let Some(path) = path_of(shape, pixels_per_mm) else {
                    continue;
                };
                let px = |mm: f64| single(mm * pixels_per_mm);
                let stroke = Stroke {
                    width: single(width(pen.width, pixels_per_mm)),
                    line_join: LineJoin::Round,
                    dash: StrokeDash::new(pen.dash.iter().map(|d| px(*d)).collect(), px(pen.phase)),
                    ..Stroke::default()
                };
                map.stroke_path(&path, &paint, &stroke, Transform::identity(), None);
            }
            Ink::Fill(shape) => {
                if let Some(path) = path_of(shape, pixels_per_mm) {
                    map.fill_path(
                        &path,
                        &paint,
                        FillRule::Winding,
                        Transform::identity(),
                        None,
                    );
                }
            }
            Ink::Letters(letters, at, turn) => {
                if let Some(path) = letters_path(letters, *at, *turn, pixels_per_mm) {
                    map.fill_path(
                        &path,
                        &paint,
                        FillRule::Winding,
                        Transform::identity(),
                        None,
                    );
                }
            }
        }
    }
    map.encode_png().map_err(|_| broken)
}

fn add(builder: &mut PathBuilder, steps: &[Step], to: impl Fn(Point) -> (f32, f32)) {
    for step in steps {
        match *step {
            Step::Move(p) => {
                let (x, y) = to(p);
                builder.move_to(x, y);
            }
            Step::Line(p) => {
                let (x, y) = to(p);
                builder.line_to(x, y);
            }
            Step::Cubic(a, b, c) => {
                let ((x1, y1), (x2, y2), (x, y)) = (to(a), to(b), to(c));
                builder.cubic_to(x1, y1, x2, y2, x, y);
            }
            Step::Close => builder.close(),
        }
    }
}

fn path_of(shape: &Shape, scale: f64) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let to = |p: Point| (single(p.x * scale), single(p.y * scale));
    match shape {
        Shape::Rect(r) => {
            let c = r.corners();
            let steps = [
                Step::Move(c[0]),
                Step::Line(c[1]),
                Step::Line(c[2]),
                Step::Line(c[3]),
                Step::Close,
            ];
            add(&mut builder, &steps, to);
        }
        Shape::Path(steps) => add(&mut builder, steps, to),
    }
    builder.finish()
}

fn letters_path(letters: &Lettering, at: Point, turn: measure::Angle, scale: f64) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for g in &letters.glyphs {
        let k = g.size * MM_PER_POINT / 1000.0;
        add(&mut builder, &g.face.outline(g.id), |p| {
            let q = at + Vector::new(g.x + p.x * k, -g.rise - p.y * k).turned(turn);
            (single(q.x * scale), single(q.y * scale))
        });
    }
    builder.finish()
}
