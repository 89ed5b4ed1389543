//! The writer of SVG: one user unit is one millimetre.

use core::fmt::Write;
use std::collections::BTreeSet;

use measure::{Point, Vector, angle};

use crate::drawing::{Ink, Layer, Shape, Step};
use crate::face::Face;
use crate::words::Words;

/// A coordinate to a thousandth of a millimetre, without needless noughts.
fn put(out: &mut String, x: f64) {
    let mut text = format!("{x:.3}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" {
        text.remove(0);
    }
    out.push_str(&text);
}

fn put_point(out: &mut String, p: Point) {
    put(out, p.x);
    out.push(' ');
    put(out, p.y);
}

/// The steps of a path as its `d`.
fn steps(path: &[Step]) -> String {
    let mut d = String::new();
    for step in path {
        match *step {
            Step::Move(p) => {
                d.push('M');
                put_point(&mut d, p);
            }
            Step::Line(p) => {
                d.push('L');
                put_point(&mut d, p);
            }
            Step::Cubic(a, b, c) => {
                d.push('C');
                put_point(&mut d, a);
                d.push(' ');
                put_point(&mut d, b);
                d.push(' ');
                put_point(&mut d, c);
            }
            Step::Close => d.push('Z'),
        }
    }
    d
}

/// A text with the signs that XML keeps for itself written out.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // Not letters at all for XML, even when written out.
            '\u{0}'..='\u{8}'
            | '\u{b}'
            | '\u{c}'
            | '\u{e}'..='\u{1f}'
            | '\u{fffe}'
            | '\u{ffff}' => {}
            c => out.push(c),
        }
    }
    out
}

/// A group of the file: an identifier, a title, and what is in it.
pub(crate) struct Group {
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) items: Vec<crate::drawing::Item>,
}

/// Writes groups, each with its layers in it, as one picture of this size; one layer may be there
/// and not shown.
pub(crate) fn write(
    (w, h): (f64, f64),
    groups: &[Group],
    (title, words): (&str, &Words),
    off: Option<Layer>,
) -> String {
    let mut out = String::new();
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">"
    );
    let _ = writeln!(out, "<title>{}</title>", escaped(title));
    let mut glyphs: BTreeSet<(Face, u16)> = BTreeSet::new();
    for item in groups.iter().flat_map(|g| &g.items) {
        if let Ink::Letters(l, ..) = &item.ink {
            for g in &l.glyphs {
                glyphs.insert((g.face, g.id));
            }
        }
    }
    out.push_str("<defs>\n");
    // Blanks have no outline, and are not referred to.
    glyphs.retain(|(face, id)| !face.outline(*id).is_empty());
    for (face, id) in &glyphs {
        // y down, thousandths of the size.
        let d: Vec<Step> = face.outline(*id).iter().map(|s| turned_over(*s)).collect();
        if !d.is_empty() {
            let _ = writeln!(
                out,
                "<path id=\"{}\" d=\"{}\"/>",
                glyph_id(*face, *id),
                steps(&d)
            );
        }
    }
    out.push_str("</defs>\n");
    for layer in Layer::ALL {
        let mut inner = String::new();
        for group in groups {
            let mut part = String::new();
            for item in group.items.iter().filter(|i| i.layer == layer) {
                item_to(&mut part, &item.ink, &glyphs);
            }
            if !part.is_empty() {
                let _ = writeln!(
                    inner,
                    "<g id=\"{}-{}\"><title>{}</title>\n{part}</g>",
                    group.id,
                    Words::layer_id(layer),
                    escaped(&group.title)
                );
            }
        }
        if !inner.is_empty() {
            let _ = writeln!(
                out,
                "<g id=\"{}\" fill=\"none\" stroke=\"#000\" stroke-linejoin=\"round\"{}><title>{}</title>\n{inner}</g>",
                Words::layer_id(layer),
                if off == Some(layer) {
                    " display=\"none\""
                } else {
                    ""
                },
                words.layer(layer)
            );
        }
    }
    out.push_str("</svg>\n");
    out
}

fn glyph_id(face: Face, id: u16) -> String {
    match face {
        Face::Regular => format!("r{id}"),
        Face::Bold => format!("b{id}"),
    }
}

fn turned_over(step: Step) -> Step {
    let over = |p: Point| Point::new(p.x, -p.y);
    match step {
        Step::Move(p) => Step::Move(over(p)),
        Step::Line(p) => Step::Line(over(p)),
        Step::Cubic(a, b, c) => Step::Cubic(over(a), over(b), over(c)),
        Step::Close => Step::Close,
    }
}

fn shape_to(out: &mut String, shape: &Shape, attributes: &str) {
    match shape {
        Shape::Rect(r) => {
            let mut n = [String::new(), String::new(), String::new(), String::new()];
            for (slot, v) in n.iter_mut().zip([r.x0, r.y0, r.width(), r.height()]) {
                put(slot, v);
            }
            let _ = writeln!(
                out,
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{attributes}/>",
                n[0], n[1], n[2], n[3]
            );
        }
        Shape::Path(path) => {
            let _ = writeln!(out, "<path d=\"{}\"{attributes}/>", steps(path));
        }
    }
}

fn item_to(out: &mut String, ink: &Ink, glyphs: &BTreeSet<(Face, u16)>) {
    match ink {
        Ink::Stroke(shape, pen) => {
            let mut a = format!(" stroke-width=\"{}\"", pen.width);
            if !pen.dash.is_empty() {
                a.push_str(" stroke-dasharray=\"");
                for (i, d) in pen.dash.iter().enumerate() {
                    if i > 0 {
                        a.push(' ');
                    }
                    put(&mut a, *d);
                }
                a.push_str("\" stroke-dashoffset=\"");
                put(&mut a, pen.phase);
                a.push('"');
            }
            shape_to(out, shape, &a);
        }
        Ink::Fill(shape) => shape_to(out, shape, " fill=\"#000\" stroke=\"none\""),
        Ink::Letters(letters, at, turn) => {
            let _ = writeln!(
                out,
                "<g fill=\"#000\" stroke=\"none\" aria-label=\"{}\">",
                escaped(&letters.text)
            );
            let (s, c) = (angle::sin(turn.in_radians()), angle::cos(turn.in_radians()));
            for g in &letters.glyphs {
                if !glyphs.contains(&(g.face, g.id)) {
                    continue;
                }
                let p = *at + Vector::new(g.x, -g.rise).turned(*turn);
                let k = g.size * crate::face::MM_PER_POINT / 1000.0;
                let _ = write!(
                    out,
                    "<use href=\"#{}\" transform=\"matrix(",
                    glyph_id(g.face, g.id)
                );
                for v in [k * c, k * s, -k * s, k * c] {
                    let _ = write!(out, "{v:.7} ");
                }
                put_point(out, p);
                out.push_str(")\"/>\n");
            }
            out.push_str("</g>\n");
        }
    }
}
