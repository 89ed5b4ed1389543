//! The writer of PDF: the only place where millimetres become points.

use std::collections::BTreeMap;

use measure::{Angle, Point, angle};
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect as PdfRect, Ref, Str, TextStr};
use subsetter::GlyphRemapper;

use crate::drawing::{Drawing, Ink, Layer, Pen, Shape, Step};
use crate::face::{Face, Glyph, Lettering};
use crate::number::{object, single};
use crate::order::SheetFault;
use crate::quad::Rect;
use crate::words::Words;

/// Points in a millimetre: the only scale between the drawing list and the paper.
const POINTS: f64 = 72.0 / 25.4;

const FACES: [Face; 2] = [Face::Regular, Face::Bold];

/// What is said about the file.
pub(crate) struct About<'a> {
    pub(crate) title: &'a str,
    pub(crate) words: &'a Words,
    /// This layer is there, and turned off until somebody wants it.
    pub(crate) off: Option<Layer>,
    /// Streams are packed; a test reads them open.
    pub(crate) packed: bool,
}

/// Which glyphs of a face are used, and what they stand for.
struct Used {
    face: Face,
    remap: GlyphRemapper,
    text: BTreeMap<u16, String>,
}

impl Used {
    fn name(&self) -> Name<'static> {
        match self.face {
            Face::Regular => Name(b"R"),
            Face::Bold => Name(b"B"),
        }
    }
}

/// Writes pages as one file.
pub(crate) fn write(pages: &[Drawing], about: &About<'_>) -> Result<Vec<u8>, SheetFault> {
    let used = used(pages);
    let layered = pages
        .iter()
        .flat_map(|p| &p.items)
        .any(|i| i.layer != Layer::Plain);
    // A layer that is off is listed only where there is something on it.
    let there = |l: Layer| pages.iter().flat_map(|p| &p.items).any(|i| i.layer == l);
    let layers: Vec<Layer> = Layer::ALL
        .into_iter()
        .filter(|l| *l != Layer::Construction || there(*l))
        .collect();
    let catalog = Ref::new(1);
    let tree = Ref::new(2);
    let info = Ref::new(3);
    let group = |i: usize| Ref::new(object(4 + i));
    let font = |i: usize| Ref::new(object(16 + 5 * i));
    let page = |i: usize| Ref::new(object(30 + 2 * i));
    let stream = |i: usize| Ref::new(object(31 + 2 * i));

    let mut pdf = Pdf::new();
    pdf.set_version(1, 7);
    let mut c = pdf.catalog(catalog);
    c.pages(tree);
    c.lang(TextStr(about.words.language));
    c.viewer_preferences()
        .pair(Name(b"PrintScaling"), Name(b"None"))
        .pair(Name(b"DisplayDocTitle"), true);
    if layered {
        let mut o = c.insert(Name(b"OCProperties")).dict();
        o.insert(Name(b"OCGs"))
            .array()
            .items((0..layers.len()).map(group));
        let mut d = o.insert(Name(b"D")).dict();
        d.pair(Name(b"BaseState"), Name(b"ON"));
        d.insert(Name(b"Order"))
            .array()
            .items((0..layers.len()).map(group));
        let off = layers.iter().position(|l| Some(*l) == about.off);
        if let Some(i) = off {
            d.insert(Name(b"OFF")).array().items([group(i)]);
        }
    }
    c.finish();
    pdf.document_info(info).title(TextStr(about.title));
    if layered {
        for (i, layer) in layers.iter().enumerate() {
            let mut g = pdf.indirect(group(i)).dict();
            g.pair(Name(b"Type"), Name(b"OCG"));
            g.pair(Name(b"Name"), TextStr(about.words.layer(*layer)));
        }
    }
    pdf.pages(tree)
        .kids((0..pages.len()).map(page))
        .count(object(pages.len()));
    for (i, drawing) in pages.iter().enumerate() {
        let mut p = pdf.page(page(i));
        p.parent(tree);
        p.media_box(PdfRect::new(
            0.0,
            0.0,
            single(drawing.width * POINTS),
            single(drawing.height * POINTS),
        ));
        p.contents(stream(i));
        let mut r = p.resources();
        let mut fonts = r.fonts();
        for (k, u) in used.iter().enumerate() {
            fonts.pair(u.name(), font(k));
        }
        fonts.finish();
        if layered {
            let mut properties = r.insert(Name(b"Properties")).dict();
            for (k, layer) in layers.iter().enumerate() {
                properties.pair(layer_name(*layer), group(k));
            }
        }
        r.finish();
        p.finish();
        let content = contents(drawing, &used);
        stream_of(&mut pdf, stream(i), &content, about.packed);
    }
    for (k, u) in used.iter().enumerate() {
        write_font(&mut pdf, u, font(k), about.packed)?;
    }
    Ok(pdf.finish())
}

fn stream_of(pdf: &mut Pdf, id: Ref, data: &[u8], packed: bool) {
    if packed {
        let small = miniz_oxide::deflate::compress_to_vec_zlib(data, 6);
        pdf.stream(id, &small).filter(Filter::FlateDecode);
    } else {
        pdf.stream(id, data);
    }
}

fn used(pages: &[Drawing]) -> Vec<Used> {
    FACES
        .iter()
        .filter_map(|face| {
            let mut text: BTreeMap<u16, String> = BTreeMap::new();
            let glyphs = pages
                .iter()
                .flat_map(|p| &p.items)
                .filter_map(|i| match &i.ink {
                    Ink::Letters(l, ..) => Some(&l.glyphs),
                    _ => None,
                })
                .flatten()
                .filter(|g| g.face == *face);
            for g in glyphs {
                let known = text.entry(g.id).or_default();
                if known.is_empty() {
                    known.clone_from(&g.text);
                }
            }
            let mut remap = GlyphRemapper::new();
            for id in text.keys() {
                remap.remap(*id);
            }
            (!text.is_empty()).then_some(Used {
                face: *face,
                remap,
                text,
            })
        })
        .collect()
}

const fn layer_name(layer: Layer) -> Name<'static> {
    Name(match layer {
        Layer::Cutting => b"L0",
        Layer::Stitching => b"L1",
        Layer::Grain => b"L2",
        Layer::Balance => b"L3",
        Layer::Notches => b"L4",
        Layer::Text => b"L5",
        Layer::Construction => b"L6",
        Layer::Sheet | Layer::Plain => b"L7",
    })
}

/// The drawing of one page as operators.
struct Pencil<'a> {
    content: Content,
    height: f64,
    used: &'a [Used],
    pen: Option<Pen>,
}

fn contents(drawing: &Drawing, used: &[Used]) -> Vec<u8> {
    let mut p = Pencil {
        content: Content::new(),
        height: drawing.height,
        used,
        pen: None,
    };
    p.content
        .set_line_join(pdf_writer::types::LineJoinStyle::RoundJoin);
    let mut inside: Option<Rect> = None;
    let mut layer = Layer::Plain;
    for item in &drawing.items {
        if layer != item.layer || item.clip != inside {
            if layer != Layer::Plain {
                p.content.end_marked_content();
            }
            layer = Layer::Plain;
        }
        if item.clip != inside {
            if inside.is_some() {
                p.content.restore_state();
            }
            if let Some(window) = item.clip {
                p.content.save_state();
                p.rect(&window);
                p.content.clip_nonzero().end_path();
            }
            p.pen = None;
            inside = item.clip;
        }
        if layer != item.layer && item.layer != Layer::Plain {
            p.content
                .begin_marked_content_with_properties(Name(b"OC"))
                .properties_named(layer_name(item.layer));
        }
        layer = item.layer;
        p.ink(&item.ink);
    }
    if layer != Layer::Plain {
        p.content.end_marked_content();
    }
    if inside.is_some() {
        p.content.restore_state();
    }
    p.content.finish().into_vec()
}

/// A coordinate in points, to a hundred-thousandth: finer than any device, and shorter in the file.
fn points(mm: f64) -> f32 {
    single((mm * POINTS * 1e5).round() / 1e5)
}

impl Pencil<'_> {
    fn xy(&self, p: Point) -> (f32, f32) {
        (points(p.x), points(self.height - p.y))
    }

    fn rect(&mut self, r: &Rect) {
        let (x, y) = self.xy(Point::new(r.x0, r.y1));
        self.content
            .rect(x, y, points(r.width()), points(r.height()));
    }

    fn path(&mut self, shape: &Shape) {
        match shape {
            Shape::Rect(r) => self.rect(r),
            Shape::Path(steps) => {
                for step in steps {
                    match *step {
                        Step::Move(p) => {
                            let (x, y) = self.xy(p);
                            self.content.move_to(x, y);
                        }
                        Step::Line(p) => {
                            let (x, y) = self.xy(p);
                            self.content.line_to(x, y);
                        }
                        Step::Cubic(a, b, c) => {
                            let ((x1, y1), (x2, y2), (x3, y3)) =
                                (self.xy(a), self.xy(b), self.xy(c));
                            self.content.cubic_to(x1, y1, x2, y2, x3, y3);
                        }
                        Step::Close => {
                            self.content.close_path();
                        }
                    }
                }
            }
        }
    }

    fn ink(&mut self, ink: &Ink) {
        match ink {
            Ink::Stroke(shape, pen) => {
                if self.pen.as_ref() != Some(pen) {
                    self.content.set_line_width(points(pen.width));
                    self.content
                        .set_dash_pattern(pen.dash.iter().map(|d| points(*d)), points(pen.phase));
                    self.pen = Some(pen.clone());
                }
                self.path(shape);
                self.content.stroke();
            }
            Ink::Fill(shape) => {
                self.path(shape);
                self.content.fill_nonzero();
            }
            Ink::Letters(letters, at, turn) => self.letters(letters, *at, *turn),
        }
    }

    /// Runs of one face, size and height, each placed by a text matrix; within a run the gaps that
    /// the font does not give itself are adjusted.
    fn letters(&mut self, letters: &Lettering, at: Point, turn: Angle) {
        if letters.glyphs.is_empty() {
            return;
        }
        self.content.begin_text();
        let (sin, cos) = (angle::sin(turn.in_radians()), angle::cos(turn.in_radians()));
        for run in letters.glyphs.chunk_by(|a, b| {
            a.face == b.face
                && a.size.to_bits() == b.size.to_bits()
                && (a.rise - b.rise).abs() < 1e-9
        }) {
            let Some(first) = run.first() else { continue };
            let Some(used) = self.used.iter().find(|u| u.face == first.face) else {
                continue;
            };
            self.content.set_font(used.name(), single(first.size));
            // Down the page is up in the file, so the turn changes its sign.
            let x = at.x + first.x * cos + first.rise * sin;
            let y = at.y + first.x * sin - first.rise * cos;
            let (px, py) = (points(x), points(self.height - y));
            self.content.set_text_matrix([
                single(cos),
                single(-sin),
                single(sin),
                single(cos),
                px,
                py,
            ]);
            show(&mut self.content, used, run);
        }
        self.content.end_text();
    }
}

fn show(content: &mut Content, used: &Used, run: &[Glyph]) {
    let mut bytes: Vec<u8> = Vec::new();
    let mut positioned = content.show_positioned();
    let mut items = positioned.items();
    let mut expected: Option<f64> = None;
    for g in run {
        let per_mm = 1000.0 / (g.size / POINTS);
        if let Some(e) = expected {
            // The pen has moved on by the font's own width; what differs is taken back.
            let back = (e - g.x) * per_mm;
            if back.abs() > 0.01 {
                items.show(Str(&bytes));
                bytes.clear();
                items.adjust(single((back * 1000.0).round() / 1000.0));
            }
        }
        let id = used.remap.get(g.id).unwrap_or(0);
        bytes.extend(id.to_be_bytes());
        expected = Some(g.x + used.face.advance(g.id) / per_mm);
    }
    items.show(Str(&bytes));
}

fn write_font(pdf: &mut Pdf, used: &Used, id: Ref, packed: bool) -> Result<(), SheetFault> {
    let broken = SheetFault::Broken("its letters can't be read");
    let font = used.face.font().ok_or_else(|| broken.clone())?;
    let (cid, descriptor, cmap, file) = (
        Ref::new(id.get() + 1),
        Ref::new(id.get() + 2),
        Ref::new(id.get() + 3),
        Ref::new(id.get() + 4),
    );
    let name: &[u8] = match used.face {
        Face::Regular => b"ELLREG+NotoSans-Regular",
        Face::Bold => b"ELLBLD+NotoSans-Bold",
    };
    let system = SystemInfo {
        registry: Str(b"Adobe"),
        ordering: Str(b"Identity"),
        supplement: 0,
    };
    pdf.type0_font(id)
        .base_font(Name(name))
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(cid)
        .to_unicode(cmap);
    let olds: Vec<u16> = used.remap.remapped_gids().collect();
    let mut c = pdf.cid_font(cid);
    c.subtype(CidFontType::Type2)
        .base_font(Name(name))
        .system_info(system)
        .font_descriptor(descriptor)
        .default_width(0.0)
        .cid_to_gid_map_predefined(Name(b"Identity"));
    c.widths()
        .consecutive(0, olds.iter().map(|g| single(used.face.advance(*g))));
    c.finish();
    let per_mille = |v: i16| single(f64::from(v) * 1000.0 / f64::from(font.units_per_em()));
    let bounds = font.global_bounding_box();
    pdf.font_descriptor(descriptor)
        .name(Name(name))
        .flags(FontFlags::SYMBOLIC)
        .bbox(PdfRect::new(
            per_mille(bounds.x_min),
            per_mille(bounds.y_min),
            per_mille(bounds.x_max),
            per_mille(bounds.y_max),
        ))
        .italic_angle(0.0)
        .ascent(per_mille(font.ascender()))
        .descent(per_mille(font.descender()))
        .cap_height(per_mille(font.capital_height().unwrap_or(714)))
        .stem_v(match used.face {
            Face::Regular => 80.0,
            Face::Bold => 140.0,
        })
        .font_file2(file);
    let mut map = UnicodeCmap::<u16>::new(Name(b"Ellwand"), system);
    for (new, old) in olds.iter().enumerate() {
        let (Ok(new), Some(text)) = (u16::try_from(new), used.text.get(old)) else {
            continue;
        };
        if *old == 0 {
            // One box stands for every letter that the font lacks.
            map.pair(new, '\u{fffd}');
        } else {
            map.pair_with_multiple(new, text.chars());
        }
    }
    let map = map.finish().into_vec();
    stream_of(pdf, cmap, &map, packed);
    let data = subsetter::subset(used.face.data(), 0, &used.remap).map_err(|_| broken)?;
    let length = object(data.len());
    let small = miniz_oxide::deflate::compress_to_vec_zlib(&data, 6);
    pdf.stream(file, &small)
        .filter(Filter::FlateDecode)
        .pair(Name(b"Length1"), length);
    Ok(())
}
