//! A lay to cut by: the cloth in small with every piece on it, and the list of what to cut in order.

use measure::fraction::{Shown, Unit};
use measure::{Length, Point, Vector};

use crate::dash::Line;
use crate::drawing::{Drawing, Layer, Pen, Shape};
use crate::face::{Lettering, Span, paragraph, set, shortened};
use crate::number::{count, real};
use crate::order::{Fact, Paper, SheetFault};
use crate::page::{Page, Spot};
use crate::pdf::{self, About};
use crate::quad::{Quad, Rect, rings};
use crate::svg::{self, Group};
use crate::words::{Words, capital, fill};

mod full;
mod list;
mod scraps;

pub use full::{cloth_full_pdf, cloth_plt};

/// How the cloth lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClothFold {
    /// One layer, right side up.
    Flat,
    /// Folded along its length; the fold is at y = 0.
    Folded,
    /// Two lengths, one on the other.
    Double,
    /// Folded across; the fold is at x = 0.
    Crosswise,
}

/// Through how many layers a piece is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClothLayers {
    /// One.
    One,
    /// Two: a right and a left piece.
    Two,
    /// Two, with its edge on the fold.
    Fold,
}

/// A piece on the cloth. Millimetres: x from the start of the cloth, y **up** from the inner border of
/// a selvedge, or from the fold.
#[derive(Clone, Debug, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "each is told on its own")]
pub struct ClothPiece {
    /// Its name.
    pub name: String,
    /// The first, the second… of its outlines, and how many there are.
    pub copy: (u32, u32),
    /// Its cutting line, closed or not.
    pub outline: Vec<[f64; 2]>,
    /// Its grain arrow, pointing down the garment.
    pub grain: [[f64; 2]; 2],
    /// It lies head to foot.
    pub head_to_foot: bool,
    /// Its pattern lies with the printed side down.
    pub face_down: bool,
    /// It is half a piece opened out.
    pub opened_out: bool,
    /// Through how many layers it is cut.
    pub layers: ClothLayers,
    /// It lies where cloth that is folded or doubled is opened out.
    pub on_opened: bool,
    /// Its notches, each from the cutting line inwards, and how many snips it is.
    pub notches: Vec<([[f64; 2]; 2], u8)>,
    /// Where it is joined to another part of the same piece: stitching lines.
    pub joins: Vec<[[f64; 2]; 2]>,
}

/// An odd piece of cloth, with what is cut from it. Pieces as on a cloth, y up from one side of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ClothScrap {
    /// Which of the scraps.
    pub number: usize,
    /// Across its grain.
    pub wide: Length,
    /// Along its grain.
    pub long: Length,
    /// The pieces.
    pub pieces: Vec<ClothPiece>,
}

/// A lay, with all that its sheet says. Pieces in the order in which they are cut.
#[derive(Clone, Debug, PartialEq)]
pub struct ClothLay {
    /// What the pattern is called.
    pub title: String,
    /// The order's number or code; may be empty.
    pub code: String,
    /// Whose it is.
    pub client: String,
    /// The pattern's version.
    pub version: String,
    /// What is cut from it: shell, lining.
    pub part: String,
    /// What the cloth is called.
    pub cloth: String,
    /// How lengths are shown.
    pub shown: Shown,
    /// From edge to edge, as it is cut.
    pub width: Length,
    /// What a selvedge takes.
    pub selvedge: Length,
    /// How it lies.
    pub fold: ClothFold,
    /// Where only a part of the width is folded, how far two layers lie from the fold.
    pub turned_in: Option<Length>,
    /// From where on folded or doubled cloth is opened out.
    pub flat_from: Option<Length>,
    /// Where the lay ends.
    pub length: Length,
    /// Where the cloth ends that lies there, if that is known.
    pub ends: Option<Length>,
    /// The garment's length runs across.
    pub across: bool,
    /// All tops point one way.
    pub one_way: bool,
    /// Places to keep clear, as [`ClothPiece::outline`]: least x, least y, greatest x, greatest y.
    pub flaws: Vec<[f64; 4]>,
    /// The pieces.
    pub pieces: Vec<ClothPiece>,
    /// What is cut from scraps; numbered on after the pieces.
    pub scraps: Vec<ClothScrap>,
    /// What to buy, as the shop says it: `2 5/8 yd`.
    pub buy: Option<String>,
    /// What stands under it: margin, what she has, what it costs.
    pub facts: Vec<Fact>,
    /// Sentences below the lay.
    pub remarks: Vec<String>,
    /// The language of what the sheet says of itself.
    pub words: &'static Words,
}

impl ClothLay {
    /// The usable width of one layer, opened out.
    pub(crate) fn usable(&self) -> f64 {
        (self.width - self.selvedge * 2.0).in_mm().max(1.0)
    }

    /// How high the doubled part, or all of flat cloth, lies between its borders.
    pub(crate) fn lies(&self) -> f64 {
        if let Some(deep) = self.turned_in {
            self.usable() - deep.in_mm()
        } else if self.fold == ClothFold::Folded {
            self.usable() / 2.0
        } else {
            self.usable()
        }
    }

    /// Where the drawn cloth ends.
    pub(crate) fn end(&self) -> f64 {
        self.ends
            .map_or(0.0, Length::in_mm)
            .max(self.length.in_mm())
    }

    /// The lowest and the highest y of cloth, selvedges with it.
    pub(crate) fn reach(&self) -> (f64, f64) {
        let s = self.selvedge.in_mm();
        let low = if self.fold == ClothFold::Folded && self.flat_from.is_none() {
            0.0
        } else {
            -s
        };
        let high = if self.flat_from.is_some() {
            self.usable()
        } else {
            self.lies()
        };
        (low, high + s)
    }

    /// Its name with its number, as it stands on the piece.
    pub(crate) fn named(&self, i: usize) -> String {
        format!("{} {}", i + 1, capital(&self.pieces[i].name))
    }

    /// How a piece lies, in words; empty when there is nothing to say.
    pub(crate) fn note(&self, i: usize, words: &Words) -> String {
        let p = &self.pieces[i];
        let mut out: Vec<&str> = Vec::new();
        match p.layers {
            ClothLayers::Fold => out.push(words.lay_on_fold),
            ClothLayers::Two => out.push(words.lay_two),
            ClothLayers::One if p.opened_out => out.push(words.lay_opened_out),
            ClothLayers::One => {}
        }
        if p.face_down {
            out.push(words.lay_face_down);
        }
        if p.head_to_foot {
            out.push(words.lay_head_to_foot);
        }
        out.join(", ")
    }

    /// From where to where the grain of a piece is measured, at both ends of its arrow: from an edge of
    /// the cloth, the fold or the start. The places are those of the arrow that is drawn.
    pub(crate) fn pins(&self, i: usize) -> [(f64, [f64; 2], [f64; 2]); 2] {
        let p = &self.pieces[i];
        let s = self.selvedge.in_mm();
        let folded = self.fold == ClothFold::Folded && !p.on_opened;
        let (low, high) = if folded {
            (0.0, self.lies() + s)
        } else {
            (-s, self.usable() + s)
        };
        let arrow = arrow(p.grain);
        let along = (arrow[1][0] - arrow[0][0]).abs() >= (arrow[1][1] - arrow[0][1]).abs();
        let middle = f64::midpoint(arrow[0][1], arrow[1][1]);
        arrow.map(|end| {
            let to = match (along, middle - low <= high - middle) {
                (true, true) => [end[0], low],
                (true, false) => [end[0], high],
                (false, _) => [0.0, end[1]],
            };
            let far = (end[0] - to[0]).abs() + (end[1] - to[1]).abs();
            (far, end, to)
        })
    }

    /// All texts that came with it.
    fn texts(&self) -> impl Iterator<Item = &str> {
        let own = [
            &self.title,
            &self.code,
            &self.client,
            &self.version,
            &self.part,
            &self.cloth,
        ];
        let facts = self.facts.iter().flat_map(|f| [&f.label, &f.value]);
        own.into_iter()
            .chain(facts)
            .chain(&self.remarks)
            .chain(&self.buy)
            .chain(self.pieces.iter().map(|p| &p.name))
            .chain(self.scraps.iter().flat_map(|s| &s.pieces).map(|p| &p.name))
            .map(String::as_str)
    }

    /// Refuses what can't be drawn.
    pub(crate) fn sound(&self) -> Result<(), SheetFault> {
        if self.pieces.is_empty() && self.scraps.is_empty() {
            return Err(SheetFault::Nothing);
        }
        let finite = |v: &f64| v.is_finite() && v.abs() < FARTHEST;
        for p in self
            .pieces
            .iter()
            .chain(self.scraps.iter().flat_map(|s| &s.pieces))
        {
            let marks = p
                .joins
                .iter()
                .chain(p.notches.iter().map(|n| &n.0))
                .flatten();
            let all = || {
                p.outline
                    .iter()
                    .chain(&p.grain)
                    .chain(marks.clone())
                    .flatten()
            };
            let ok = p.outline.len() > 2 && all().all(finite);
            if !ok {
                return Err(SheetFault::TooLarge(p.name.clone()));
            }
        }
        let far = [self.end(), self.usable(), self.selvedge.in_mm()];
        if far.iter().all(finite) && self.flaws.iter().flatten().all(finite) {
            Ok(())
        } else {
            Err(SheetFault::TooLarge(self.cloth.clone()))
        }
    }
}

/// No cloth is longer, in millimetres.
const FARTHEST: f64 = 1e6;

/// The part of a grain line that is drawn as its arrow.
fn arrow(grain: [[f64; 2]; 2]) -> [[f64; 2]; 2] {
    let at = |t: f64| {
        [
            grain[0][0] + t * (grain[1][0] - grain[0][0]),
            grain[0][1] + t * (grain[1][1] - grain[0][1]),
        ]
    };
    [at(0.2), at(0.8)]
}

/// The scales that are tried: twelve inches are one, then smaller.
const SCALES: [f64; 10] = [12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 200.0];
/// White at the edge of the sheet.
const EDGE: f64 = 12.0;
/// The base lines of the title and of what is under it, and the rule below.
const HEAD: [f64; 3] = [21.0, 29.0, 34.0];
/// Where the cloth may begin.
const TOP: f64 = 42.0;
/// What stands at the right: what to buy.
const BESIDE: f64 = 48.0;
/// The rule under the cloth, with its figures.
const RULE: f64 = 12.0;
/// Room for sentences at the foot, at the least.
const FOOT: f64 = 16.0;
const LEAD: f64 = 5.4;
const TEXT: f64 = 11.0;

/// Where the cloth lies on the paper.
#[derive(Clone, Copy, Debug)]
struct Small {
    scale: f64,
    /// The place of x = 0, y = 0.
    origin: Point,
}

impl Small {
    fn at(&self, p: [f64; 2]) -> Point {
        Point::new(
            self.origin.x + p[0] / self.scale,
            self.origin.y - p[1] / self.scale,
        )
    }

    fn rect(&self, r: [f64; 4]) -> Rect {
        let (a, b) = (self.at([r[0], r[3]]), self.at([r[2], r[1]]));
        Rect::new(a.x, a.y, b.x - a.x, b.y - a.y)
    }
}

/// The pages of a lay: the cloth in small, then the list.
pub(crate) fn pages(lay: &ClothLay, paper: Paper, words: &Words) -> Vec<Page> {
    let (w, h) = paper.size();
    // The long side lies level.
    let (w, h) = (h.in_mm(), w.in_mm());
    if lay.pieces.is_empty() {
        // Nothing is cut from the cloth itself: its scraps, and what there is to say.
        let Some((mut page, low)) = scraps::page(lay, words, (w, h)) else {
            return Vec::new();
        };
        let mut all = vec![words.lay_in_order.to_owned()];
        all.extend(turned(lay, words));
        all.extend(lay.remarks.iter().cloned());
        let rest = sentences(&mut page, all, (low + LEAD, 0.0));
        let mut out = vec![page];
        if !rest.is_empty() {
            out.extend(list::pages(lay, words, (w, h), &rest));
        }
        return out;
    }
    let (low, high) = lay.reach();
    let room = (w - 2.0 * EDGE - BESIDE, h - TOP - RULE - FOOT - EDGE);
    let scale = SCALES
        .into_iter()
        .find(|s| lay.end() / s <= room.0 && (high - low) / s <= room.1)
        .unwrap_or_else(|| (lay.end() / room.0).max((high - low) / room.1));
    let small = Small {
        scale,
        origin: Point::new(EDGE + 1.0, TOP + high / scale),
    };
    let mut page = Page::new(w, h);
    head(&mut page, lay, words, Some(scale));
    cloth(&mut page, lay, &small);
    rule(&mut page, lay, words, &small, low);
    let drawn: Vec<Vec<Point>> = lay
        .pieces
        .iter()
        .map(|p| p.outline.iter().map(|q| small.at(*q)).collect())
        .collect();
    for ring in &drawn {
        page.stroke(Layer::Cutting, Shape::closed(ring), Pen::solid(0.7), false);
    }
    for line in lay.pieces.iter().flat_map(|p| &p.joins) {
        let [a, b] = line.map(|p| small.at(p));
        page.line(Layer::Stitching, a, b, Line::Stitching);
    }
    for (i, p) in lay.pieces.iter().enumerate() {
        grain(&mut page, lay, p, &small);
        pin_lines(&mut page, lay, i, &small, &drawn);
    }
    let beside = beside(&mut page, lay, words, w);
    names(&mut page, lay, words, &small, &drawn);
    let lacking = figures(&mut page, lay, words, &small, &drawn);
    signs(&mut page, lay, words, &small);
    let foot = small.at([0.0, low]).y + RULE + LEAD;
    let rest = remarks(&mut page, lay, words, !lacking.is_empty(), (foot, beside));
    let mut out = vec![page];
    out.extend(list::pages(lay, words, (w, h), &rest));
    out.extend(scraps::page(lay, words, (w, h)).map(|p| p.0));
    out
}

/// Title, whose it is, and the scale.
fn head(page: &mut Page, lay: &ClothLay, words: &Words, scale: Option<f64>) {
    let w = page.drawing.width;
    let code = shortened(&lay.code, 22.0, true, 60.0);
    page.letters(
        Layer::Text,
        &code,
        Spot::level(Point::new(w - EDGE, HEAD[0]), 1.0),
    );
    let mut said = vec![lay.title.clone()];
    if !lay.client.is_empty() {
        said.push(lay.client.clone());
    }
    if !lay.version.is_empty() {
        said.push(fill(words.version, &[("v", &lay.version)]));
    }
    let cloth = match (lay.part.is_empty(), lay.cloth.is_empty()) {
        (false, false) => format!("{}: {}", capital(&lay.part), lay.cloth),
        (false, true) => capital(&lay.part),
        (true, _) => lay.cloth.clone(),
    };
    if !cloth.is_empty() {
        said.push(cloth);
    }
    let right = scale.map_or(0.0, |s| {
        let said = fill(
            words.lay_scale,
            &[("scale", &words.locale.figure(&format!("{}", s.round())))],
        );
        let letters = set(&said, TEXT, false);
        page.letters(
            Layer::Text,
            &letters,
            Spot::level(Point::new(w - EDGE, HEAD[1]), 1.0),
        );
        letters.width + 6.0
    });
    let title = shortened(
        words.lay_title,
        22.0,
        true,
        w - 2.0 * EDGE - code.width - 8.0,
    );
    page.letters(
        Layer::Text,
        &title,
        Spot::level(Point::new(EDGE, HEAD[0]), 0.0),
    );
    let under = shortened(&said.join(", "), TEXT, false, w - 2.0 * EDGE - right);
    page.letters(
        Layer::Text,
        &under,
        Spot::level(Point::new(EDGE, HEAD[1]), 0.0),
    );
    page.stroke(
        Layer::Sheet,
        Shape::line(&[Point::new(EDGE, HEAD[2]), Point::new(w - EDGE, HEAD[2])]),
        Pen::solid(0.7),
        false,
    );
}

/// The cloth's edges, its fold, its flaws, and where the lay ends.
fn cloth(page: &mut Page, lay: &ClothLay, small: &Small) {
    let s = lay.selvedge.in_mm();
    let end = lay.end();
    let from = lay.flat_from.map_or(end, Length::in_mm);
    let edge = |page: &mut Page, a: [f64; 2], b: [f64; 2]| {
        page.stroke(
            Layer::Sheet,
            Shape::line(&[small.at(a), small.at(b)]),
            Pen::solid(0.7),
            false,
        );
    };
    let thin = |page: &mut Page, a: [f64; 2], b: [f64; 2], line: Line| {
        page.line(Layer::Sheet, small.at(a), small.at(b), line);
    };
    let doubled = lay.fold != ClothFold::Flat;
    let folded = lay.fold == ClothFold::Folded;
    // The part as it is folded, then what is opened out.
    let stretches = [
        (0.0, from, lay.lies(), folded),
        (from, end, lay.usable(), false),
    ];
    for (a, b, high, on_fold) in stretches {
        if b - a < 1.0 {
            continue;
        }
        edge(page, [a, high + s], [b, high + s]);
        if s > 1.0 {
            thin(page, [a, high], [b, high], Line::Balance);
        }
        if on_fold {
            thin(page, [a, 0.0], [b, 0.0], Line::Fold);
        } else {
            edge(page, [a, -s], [b, -s]);
            if s > 1.0 {
                thin(page, [a, 0.0], [b, 0.0], Line::Balance);
            }
        }
    }
    if let Some(deep) = lay.turned_in.map(Length::in_mm) {
        // The edge that is turned in lies on the layer below it.
        thin(page, [0.0, deep], [from, deep], Line::Balance);
        thin(page, [0.0, deep + s], [from, deep + s], Line::Fine);
    }
    let low = |x: f64| if folded && x < from { 0.0 } else { -s };
    if lay.fold == ClothFold::Crosswise {
        thin(page, [0.0, -s], [0.0, lay.lies() + s], Line::Fold);
    } else {
        edge(page, [0.0, low(0.0)], [0.0, lay.lies() + s]);
    }
    let top = if lay.flat_from.is_some() {
        lay.usable()
    } else {
        lay.lies()
    };
    edge(page, [end, low(end - 1.0)], [end, top + s]);
    if doubled && lay.flat_from.is_some() {
        thin(page, [from, -s], [from, lay.usable() + s], Line::Balance);
    }
    let length = lay.length.in_mm();
    if end - length > 1.0 {
        thin(
            page,
            [length, low(length)],
            [length, top + s],
            Line::Balance,
        );
    }
    for f in &lay.flaws {
        let r = small.rect(*f);
        page.frame(Layer::Sheet, r, Line::Fine, false);
        let c = r.corners();
        page.line(Layer::Sheet, c[0], c[2], Line::Fine);
        page.line(Layer::Sheet, c[1], c[3], Line::Fine);
    }
}

/// Yards or metres along the cloth.
fn rule(page: &mut Page, lay: &ClothLay, words: &Words, small: &Small, low: f64) {
    let inches = lay.shown.unit == Unit::Inch;
    let (step, long) = if inches { (228.6, 4) } else { (100.0, 5) };
    let (each, sign) = if inches {
        (914.4, words.lay_yd)
    } else {
        (1000.0, words.lay_m)
    };
    let y = small.at([0.0, low]).y + 2.4;
    let last = count((lay.end() / step + 1e-6).floor());
    let mut said = 0.0_f64;
    for n in 0..=last {
        let x = small.at([real(n) * step, 0.0]).x;
        let whole = (real(n) * step / each)
            .fract()
            .min(1.0 - (real(n) * step / each).fract())
            < 1e-6;
        let tall = if whole {
            4.0
        } else if n % long == 0 || inches {
            2.2
        } else {
            1.6
        };
        page.stroke(
            Layer::Sheet,
            Shape::line(&[Point::new(x, y), Point::new(x, y + tall)]),
            Pen::solid(0.35),
            false,
        );
        if whole {
            let letters = set(
                &format!("{}\u{a0}{sign}", (real(n) * step / each).round()),
                TEXT,
                false,
            );
            let at = x.max(EDGE + letters.width / 2.0);
            if n == 0 || at - letters.width / 2.0 > said + 2.0 {
                page.letters(
                    Layer::Text,
                    &letters,
                    Spot::level(Point::new(at, y + 8.6), 0.5),
                );
                said = at + letters.width / 2.0;
            }
        }
    }
}

/// The grain arrow; two heads, one where the cloth has a nap.
fn grain(page: &mut Page, lay: &ClothLay, piece: &ClothPiece, small: &Small) {
    let [a, b] = arrow(piece.grain).map(|p| small.at(p));
    let Some(way) = (b - a).unit() else { return };
    page.stroke(Layer::Grain, Shape::line(&[a, b]), Pen::solid(0.35), false);
    let long = (b - a).size();
    if long > 5.0 {
        page.fill(Layer::Grain, small_head(b, way), false);
        if !lay.one_way {
            page.fill(Layer::Grain, small_head(a, -way), false);
        }
    }
}

/// The head of a small arrow.
fn small_head(at: Point, way: Vector) -> Shape {
    let back = at - way * 2.6;
    Shape::closed(&[at, back + way.left() * 0.8, back + way.right() * 0.8])
}

/// Thin lines from the ends of the grain arrow to where it is measured from; short ones where another
/// piece lies between.
fn pin_lines(page: &mut Page, lay: &ClothLay, i: usize, small: &Small, drawn: &[Vec<Point>]) {
    for (_, end, to) in shown_pins(lay, i, small) {
        let (a, b) = (small.at(end), small.at(to));
        let Some(way) = (b - a).unit() else { continue };
        let clear = drawn
            .iter()
            .enumerate()
            .all(|(k, ring)| k == i || !crosses(ring, a, b));
        let stop = if clear {
            b
        } else {
            a + way * (b - a).size().min(STUB)
        };
        page.stroke(
            Layer::Grain,
            Shape::line(&[a, stop]),
            Pen::solid(0.18),
            false,
        );
        if (stop - a).size() > 3.0 {
            page.fill(Layer::Grain, small_head(stop, way), false);
        }
    }
}

/// How long the stub of a line is that would cross another piece.
const STUB: f64 = 6.0;

fn crosses(ring: &[Point], a: Point, b: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    (0..ring.len()).any(|k| {
        let (c, d) = (ring[k], ring[(k + 1) % ring.len()]);
        (side(a, b, c) > 0.0) != (side(a, b, d) > 0.0)
            && (side(c, d, a) > 0.0) != (side(c, d, b) > 0.0)
    })
}

/// What to buy, the largest word on the sheet, and what stands under it; tells how far down it goes.
fn beside(page: &mut Page, lay: &ClothLay, words: &Words, w: f64) -> f64 {
    let right = w - EDGE;
    let mut y = TOP + 9.0;
    if let Some(buy) = &lay.buy {
        for text in [words.lay_buy, buy] {
            let letters = shortened(text, 26.0, true, BESIDE - 2.0);
            page.letters(
                Layer::Text,
                &letters,
                Spot::level(Point::new(right, y), 1.0),
            );
            y += 11.0;
        }
    }
    let length = |l: Length| words.locale.length(l, lay.shown);
    let wide = fill(words.lay_wide, &[("width", &length(lay.width))]);
    let nap = if lay.one_way {
        words.lay_one_way
    } else {
        words.lay_two_way
    };
    for text in [wide.as_str(), nap] {
        y = right_lines(page, text, (right, y), false);
    }
    y += 3.0;
    for f in &lay.facts {
        if y > page.drawing.height - EDGE - FOOT {
            break;
        }
        y = right_lines(page, &f.label, (right, y), false);
        y = right_lines(page, &f.value, (right, y), true) + 1.6;
    }
    y
}

fn right_lines(page: &mut Page, text: &str, (right, mut y): (f64, f64), bold: bool) -> f64 {
    let span = if bold {
        Span::bold(text)
    } else {
        Span::plain(text)
    };
    for line in paragraph(&[span], TEXT, BESIDE - 6.0) {
        let width = line.iter().map(|(x, l)| x + l.width).fold(0.0, f64::max);
        for (x, letters) in &line {
            page.letters(
                Layer::Text,
                letters,
                Spot::level(Point::new(right - width + x, y), 0.0),
            );
        }
        y += LEAD;
    }
    y
}

/// Name and how it lies, on the piece, where it is clear.
fn names(page: &mut Page, lay: &ClothLay, words: &Words, small: &Small, drawn: &[Vec<Point>]) {
    for (i, ring) in drawn.iter().enumerate() {
        let arrow = arrow(lay.pieces[i].grain).map(|p| small.at(p));
        let middle = arrow[0].toward(arrow[1], 0.5);
        let inside = |q: &Quad| {
            rings(ring, Rect::around(&q.bounds.corners()).centre())
                && rings(ring, q.bounds.corners()[0])
        };
        let (name, note) = (lay.named(i), lay.note(i, words));
        let bold = |text: &str, size: f64| set(text, size, true);
        let under = |parts: &[&str]| -> Vec<Lettering> {
            let said = parts.iter().filter(|p| !p.is_empty());
            said.map(|p| set(p, TEXT, false)).collect()
        };
        let apart: Vec<&str> = note.split(", ").collect();
        let number = (i + 1).to_string();
        let with = |first: Lettering, rest: Vec<Lettering>| -> Vec<Lettering> {
            core::iter::once(first).chain(rest).collect()
        };
        // How it lies matters more than a large name.
        let tries = [
            with(bold(&name, 14.0), under(&[&note])),
            with(bold(&name, 14.0), under(&apart)),
            with(bold(&name, TEXT), under(&[&note])),
            with(bold(&name, TEXT), under(&apart)),
            with(bold(&number, TEXT), under(&apart)),
            vec![bold(&name, TEXT)],
            vec![bold(&number, TEXT)],
        ];
        let spots = round_about(ring, middle);
        let done = tries.iter().any(|lines| {
            spots.iter().any(|at| {
                let quads: Vec<Quad> = lines
                    .iter()
                    .enumerate()
                    .map(|(k, l)| {
                        let p = Point::new(at.x, at.y + real(k) * LEAD);
                        l.quad(l.start(p, measure::Angle::ZERO, 0.5), measure::Angle::ZERO)
                    })
                    .collect();
                let fits = quads.iter().all(|q| page.clear(q, 0.9) && inside(q));
                if fits {
                    for (k, l) in lines.iter().enumerate() {
                        page.letters(
                            Layer::Text,
                            l,
                            Spot::level(Point::new(at.x, at.y + real(k) * LEAD), 0.5),
                        );
                    }
                }
                fits
            })
        });
        if !done {
            outside(page, &bold(&number, TEXT), middle);
        }
    }
}

/// Places inside a ring's box, the nearest to a point first.
fn round_about(ring: &[Point], near: Point) -> Vec<Point> {
    let b = Rect::around(ring);
    let step = (b.width().max(b.height()) / 40.0).max(1.0);
    let (columns, rows) = (count(b.width() / step), count(b.height() / step));
    let mut out = Vec::new();
    for i in 0..=columns {
        for j in 0..=rows {
            let p = Point::new(b.x0 + real(i) * step, b.y0 + real(j) * step);
            if rings(ring, p) {
                out.push(p);
            }
        }
    }
    let far = |p: &Point| {
        // Beside the arrow, just above it, is best.
        let v = *p - (near - Vector::new(0.0, 6.0));
        v.dot(v)
    };
    out.sort_by(|a, b| far(a).total_cmp(&far(b)));
    out
}

/// A number that has no room on its piece, beside it, with a thin line to where it belongs.
fn outside(page: &mut Page, letters: &Lettering, middle: Point) {
    let half = Vector::new(letters.width / 2.0 + 0.8, 2.6);
    for far in [6.0, 9.0, 12.0, 16.0, 20.0, 26.0, 34.0_f64] {
        for turn in 0..16 {
            let way = Vector::new(1.0, 0.0).turned(measure::Angle::degrees(22.5 * f64::from(turn)));
            let at = middle + way * far;
            let spot = Spot::level(Point::new(at.x, at.y + 1.4), 0.5);
            let quad = letters.quad(letters.start(spot.at, spot.turn, 0.5), spot.turn);
            // The line ends at the box of the letters.
            let reach = (half.x / way.x.abs().max(1e-9)).min(half.y / way.y.abs().max(1e-9));
            let from = middle + way * (far - reach);
            if far > reach && page.clear(&quad, 0.6) && page.misses_letters(from, middle, 0.3) {
                page.letters(Layer::Text, letters, spot);
                page.stroke(
                    Layer::Text,
                    Shape::line(&[from, middle]),
                    Pen::solid(0.18),
                    false,
                );
                return;
            }
        }
    }
}

/// The figures at the ends of the grain arrows, on the piece; tells which pieces have room for none.
fn figures(
    page: &mut Page,
    lay: &ClothLay,
    words: &Words,
    small: &Small,
    drawn: &[Vec<Point>],
) -> Vec<usize> {
    let mut lacking = Vec::new();
    for (i, ring) in drawn.iter().enumerate() {
        // Both ends of an arrow have the same figure.
        let mut said = false;
        for (far, end, to) in shown_pins(lay, i, small) {
            let letters = set(&words.locale.bare(Length::mm(far), lay.shown), TEXT, false);
            let (a, b) = (small.at(end), small.at(to));
            let way = (b - a).unit().unwrap_or(Vector::DOWN);
            let long = (b - a).size();
            let level = way.x.abs() > way.y.abs();
            let half = letters.width / 2.0;
            let mut spots = Vec::new();
            for k in 0..=8 {
                let along = a + way * (2.0 * f64::from(k)).min(long);
                let aside = if level {
                    [Vector::new(0.0, -1.6), Vector::new(0.0, 4.6)]
                } else {
                    [Vector::new(half + 1.4, 1.4), Vector::new(-half - 1.4, 1.4)]
                };
                spots.extend(aside.map(|v| Spot::level(along + v, 0.5)));
            }
            let inside = |q: &Quad| q.bounds.corners().iter().all(|c| rings(ring, *c));
            said |= page.place(Layer::Text, &letters, spots, 0.6, inside);
        }
        if !said {
            lacking.push(i);
        }
    }
    lacking
}

/// The pins that are drawn: both ends of an arrow, of a short one its first.
fn shown_pins(lay: &ClothLay, i: usize, small: &Small) -> Vec<(f64, [f64; 2], [f64; 2])> {
    let pins = lay.pins(i);
    let apart = (small.at(pins[0].1) - small.at(pins[1].1)).size();
    let many = if apart < 14.0 { 1 } else { 2 };
    pins.into_iter().take(many).collect()
}

/// Fold, where it is opened out, where the lay ends.
fn signs(page: &mut Page, lay: &ClothLay, words: &Words, small: &Small) {
    let s = lay.selvedge.in_mm();
    let from = lay.flat_from.map(Length::in_mm);
    if lay.fold == ClothFold::Folded {
        let letters = set(words.lay_fold, TEXT, false);
        let spots = (0..60).map(|k| {
            let at = small.at([0.0, 0.0]);
            Spot::level(Point::new(at.x + 2.0 + 4.0 * f64::from(k), at.y - 1.4), 0.0)
        });
        let spots: Vec<Spot> = spots.collect();
        page.place(Layer::Text, &letters, spots, 0.5, |_| true);
    }
    if let Some(deep) = lay.turned_in.map(Length::in_mm) {
        let letters = set(words.lay_edge, TEXT, false);
        let until = small.at([from.unwrap_or(lay.length.in_mm()), 0.0]).x - letters.width;
        let spots: Vec<Spot> = (0..60)
            .map(|k| {
                let at = small.at([0.0, deep + s]);
                Spot::level(Point::new(at.x + 2.0 + 4.0 * f64::from(k), at.y - 1.4), 0.0)
            })
            .filter(|s| s.at.x < until)
            .collect();
        page.place(Layer::Text, &letters, spots, 0.5, |_| true);
    }
    let mut over = |text: &str, x: f64, high: f64| {
        let letters = set(text, TEXT, false);
        let at = small.at([x, high + s]);
        let spots = [1.0, 0.5, 0.0].map(|part| Spot::level(Point::new(at.x, at.y - 2.2), part));
        page.place(Layer::Text, &letters, spots, 0.5, |q| {
            q.bounds.x0 > EDGE - 1.0
        });
    };
    let high = if from.is_some() {
        lay.usable()
    } else {
        lay.lies()
    };
    if lay.end() - lay.length.in_mm() > 1.0 {
        over(words.lay_ends, lay.length.in_mm(), high);
    }
    if let Some(from) = from {
        over(words.lay_flat_from, from, high);
    }
    for f in &lay.flaws {
        let r = small.rect(*f);
        let letters = set(words.lay_flaw, TEXT, false);
        let spots = [
            Spot::level(Point::new(r.x1 + 1.0, r.y1), 0.0),
            Spot::level(Point::new(r.x0 - 1.0, r.y1), 1.0),
            Spot::level(Point::new(r.centre().x, r.y1 + 4.4), 0.5),
            Spot::level(Point::new(r.centre().x, r.y0 - 1.6), 0.5),
        ];
        page.place(Layer::Text, &letters, spots, 0.5, |_| true);
    }
}

/// What is said below the lay; gives back what had no room.
fn remarks(
    page: &mut Page,
    lay: &ClothLay,
    words: &Words,
    listed: bool,
    at: (f64, f64),
) -> Vec<String> {
    let length = |l: Length| words.locale.length(l, lay.shown);
    let lies = match lay.fold {
        ClothFold::Flat => words.lay_flat.to_owned(),
        ClothFold::Folded => lay.turned_in.map_or_else(
            || words.lay_folded.to_owned(),
            |deep| fill(words.lay_part, &[("deep", &length(deep + lay.selvedge))]),
        ),
        ClothFold::Double => words.lay_double.to_owned(),
        ClothFold::Crosswise => words.lay_crosswise.to_owned(),
    };
    let pins = match (lay.across, lay.fold == ClothFold::Folded) {
        (true, _) => words.lay_pins_across,
        (false, true) => words.lay_pins_fold,
        (false, false) => words.lay_pins,
    };
    let long = fill(words.lay_long, &[("length", &length(lay.length))]);
    let mut all = vec![
        format!("{lies} {long} {}", words.lay_in_order),
        pins.to_owned(),
    ];
    if listed {
        all.push(words.lay_listed.to_owned());
    }
    all.extend(turned(lay, words));
    all.extend(lay.remarks.iter().cloned());
    sentences(page, all, at)
}

/// What is said where pieces lie head to foot.
fn turned(lay: &ClothLay, words: &Words) -> Option<String> {
    let on_scraps = lay.scraps.iter().flat_map(|s| &s.pieces);
    let any = lay.pieces.iter().chain(on_scraps).any(|p| p.head_to_foot);
    any.then(|| words.lay_turned.to_owned())
}

/// Sentences at the foot, beside what stands at the right as far as that goes; what has no room comes back.
fn sentences(page: &mut Page, all: Vec<String>, (mut y, beside): (f64, f64)) -> Vec<String> {
    let foot = page.drawing.height - EDGE + 3.0;
    let mut rest = Vec::new();
    for text in all {
        // Beside what is to be bought, it keeps clear of that.
        let less = if y < beside { BESIDE } else { 0.0 };
        let width = page.drawing.width - 2.0 * EDGE - less;
        let lines = paragraph(&[Span::plain(text.clone())], TEXT, width);
        if !rest.is_empty() || y + real(lines.len().saturating_sub(1)) * LEAD > foot {
            rest.push(text);
            continue;
        }
        y = page.lines(Layer::Text, Point::new(EDGE, y), &lines, LEAD);
    }
    rest
}

fn title(lay: &ClothLay, words: &Words) -> String {
    format!("{}: {}", words.lay_title, lay.title)
}

/// The lay to cut by: the cloth in small on one page, then the pieces in the order of cutting.
///
/// # Errors
/// When there is nothing to draw, or it is no place on any cloth.
pub fn cloth_pdf(lay: &ClothLay, paper: Paper) -> Result<Vec<u8>, SheetFault> {
    lay.sound()?;
    let drawings: Vec<Drawing> = pages(lay, paper, lay.words)
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

/// The same drawing of the cloth, as a picture of lines.
///
/// # Errors
/// As [`cloth_pdf`].
pub fn cloth_svg(lay: &ClothLay) -> Result<String, SheetFault> {
    lay.sound()?;
    let mut pages = pages(lay, Paper::A4, lay.words);
    let page = pages.swap_remove(0);
    let size = (page.drawing.width, page.drawing.height);
    let group = Group {
        id: "lay".into(),
        title: lay.words.lay_title.into(),
        items: page.drawing.items,
    };
    Ok(svg::write(
        size,
        &[group],
        (&title(lay, lay.words), lay.words),
        None,
    ))
}

/// What of a lay's sheets lies over a line, over other letters or beyond the edge; for tests.
#[doc(hidden)]
pub fn cloth_touching(lay: &ClothLay, words: &Words) -> Vec<String> {
    let all = pages(lay, Paper::A4, words);
    all.iter().flat_map(Page::touching).collect()
}

/// Whether any letter of its texts is missing in the font; for tests.
#[doc(hidden)]
pub fn cloth_lacks(lay: &ClothLay) -> bool {
    lay.texts().any(crate::face::lacks)
}

#[cfg(test)]
mod tests;
