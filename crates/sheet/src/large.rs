//! The pattern on large sheets: a roll 36 in wide, or A0. The pieces are nested, so that little paper
//! is used; what is larger than the paper comes in parts.
//!
//! ```text
//!   pieces, grain down -> whole or in parts -> each drawn with its words -> nested -> sheets with a
//!   head, a name square, a rule at the edge
//! ```

use measure::{Length, Motion, Point, Vector};
use piece::Role;

use crate::drawing::Drawing;
use crate::ellwand::{self, Ellwand};
use crate::grid::{Frame, Grid, grids};
use crate::label::{self, Label};
use crate::letters::ROLL;
use crate::lie::Lie;
use crate::nest::{Laid, Outline, Strip, nest, one_more};
use crate::number::{count, real};
use crate::order::{Order, SheetFault, SheetPiece};
use crate::page::Page;
use crate::pattern::{title, traced_of};
use crate::pdf::{self, About};
use crate::quad::Rect;
use crate::tile::Sheeted;
use crate::traced::Traced;
use crate::wording::Wording;
use crate::words::{Words, capital, fill};

mod part;
mod title;

use part::Parted;
use title::{NARROW, Said, WIDE};

/// White between two pieces, and between a piece and the rule.
const GAP: f64 = 6.0;
const RULE_GAP: f64 = 4.0;
/// The lap of two parts of a piece.
const LAP: f64 = 20.0;
/// White that the words outside a cut take at the edge of a part.
const OUTSIDE: f64 = 14.0;
/// No more parts of one piece than this.
const PARTS: usize = 60;

/// A large paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LargePaper {
    /// A roll 36 in wide; the sheets are as long as they need be, up to 200 in.
    Roll,
    /// 841 by 1189 mm.
    A0,
}

/// What can be drawn on: the paper inside its margins.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bed {
    pub(crate) width: f64,
    pub(crate) length: f64,
    /// White round it.
    pub(crate) margin: f64,
    /// The sheet ends where its drawing ends.
    pub(crate) cut_to_length: bool,
    /// A rule is printed along the right edge.
    pub(crate) ruled: bool,
    /// Pieces may lie across.
    pub(crate) any_way: bool,
}

impl Bed {
    /// A roll: at most 34 1/2 in of its 36 are drawn on, and no sheet is longer than 200 in, the
    /// longest page that every reader of PDF can show.
    pub(crate) const ROLL: Self = Self {
        width: 34.5 * 25.4,
        length: 198.0 * 25.4,
        margin: 0.75 * 25.4,
        cut_to_length: true,
        ruled: true,
        any_way: false,
    };

    /// A0 with 10 mm clear all round.
    pub(crate) const A0: Self = Self {
        width: 821.0,
        length: 1169.0,
        margin: 10.0,
        cut_to_length: false,
        ruled: false,
        any_way: true,
    };

    pub(crate) const fn of(paper: LargePaper) -> Self {
        match paper {
            LargePaper::Roll => Self::ROLL,
            LargePaper::A0 => Self::A0,
        }
    }
}

/// A piece or a part, drawn, and the ways in which it may lie.
struct Thing {
    piece: usize,
    /// Drawn as it is, and turned over if it may be.
    faces: Vec<(Page, Outline)>,
    ways: Vec<Way>,
    /// For the placement: the part of the piece that shows.
    window: Option<Rect>,
}

impl Thing {
    /// Its outline in each of its ways.
    fn outlines(&self) -> Vec<Outline> {
        self.ways
            .iter()
            .map(|w| {
                let lie = Lie::turned(w.quarters);
                self.faces[w.face].1.iter().map(|r| lie.ring(r)).collect()
            })
            .collect()
    }
}

/// Things with their outlines and places, and what is to be said of them.
struct Nested {
    things: Vec<Thing>,
    ways: Vec<Vec<Outline>>,
    laid: Vec<Laid>,
    laying: Vec<String>,
}

/// The part of a bed that pieces may lie on.
fn strip(bed: &Bed, rule: Option<Ellwand>) -> Strip {
    let Some(rule) = rule else {
        return Strip {
            width: bed.width,
            length: bed.length,
            gap: GAP,
            taken: Vec::new(),
        };
    };
    Strip {
        width: bed.width - ellwand::SHORT - RULE_GAP,
        length: bed.length,
        gap: GAP,
        // To the rule a piece may come nearer than to its neighbour.
        taken: rule
            .takes(bed.width, bed.length)
            .iter()
            .map(|r| {
                let nearer = GAP - RULE_GAP;
                let half = (r.height() / 2.0 - nearer).max(0.01);
                let middle = r.centre().y;
                Rect {
                    x0: r.x0 + nearer,
                    x1: r.x1 + nearer,
                    y0: middle - half,
                    y1: middle + half,
                }
            })
            .collect(),
    }
}

#[derive(Clone, Copy, Debug)]
struct Way {
    face: usize,
    quarters: u8,
}

/// Where a piece, or the part of one, lies on a large sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which piece of the order.
    pub piece: usize,
    /// Which sheet.
    pub sheet: usize,
    /// What brings the piece, as the order has it, to its place on the sheet.
    pub motion: Motion,
    /// Of a piece in parts: the box on the sheet in which this part shows, two opposite corners.
    pub window: Option<(Point, Point)>,
}

/// The sheets of a large paper.
pub(crate) struct Large {
    pub(crate) pages: Vec<Page>,
    pub(crate) placed: Vec<Placed>,
}

/// Lays out all sheets.
pub(crate) fn large(order: &Order, words: &Words, bed: &Bed) -> Result<Large, SheetFault> {
    if order.pieces.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let motions: Vec<Motion> = order.pieces.iter().map(grain_down).collect();
    let upright: Vec<SheetPiece> = order
        .pieces
        .iter()
        .zip(&motions)
        .map(|(p, m)| p.moved(m))
        .collect();
    let traced = traced_of(&upright, order)?;
    let over: Vec<Option<SheetPiece>> = upright.iter().map(turned_over).collect();
    let rule = bed.ruled.then(|| Ellwand::of(order.shown.unit));
    let strip = strip(bed, rule);
    let clear = bed.width - ellwand::NUMBERS - RULE_GAP - 4.0;
    // A very wide piece may find no way past the numbers of the rule: then it comes in parts too.
    let widths = if bed.ruled {
        vec![strip.width, clear]
    } else {
        vec![strip.width]
    };
    let mut found: Option<Nested> = None;
    for widest in widths {
        let mut things: Vec<Thing> = Vec::new();
        let mut laying: Vec<String> = Vec::new();
        for (i, piece) in traced.iter().enumerate() {
            let over = over[i].as_ref();
            let made = things_of(order, words, (bed, widest), (piece, over), i)?;
            laying.extend(made.says);
            things.extend(made.things);
        }
        let ways: Vec<Vec<Outline>> = things.iter().map(Thing::outlines).collect();
        if let Some(laid) = nest(&ways, &strip) {
            found = Some(Nested {
                things,
                ways,
                laid,
                laying,
            });
            break;
        }
    }
    let too_large = || {
        let widest = traced
            .iter()
            .max_by(|a, b| a.bounds.width().total_cmp(&b.bounds.width()));
        SheetFault::TooLarge(widest.map_or_else(String::new, |p| p.given.piece.name.clone()))
    };
    let Nested {
        things,
        ways,
        laid,
        laying,
    } = found.ok_or_else(too_large)?;
    let mut sheets: Vec<OneSheet> = Vec::new();
    let mut placed = Vec::new();
    for ((thing, ways), l) in things.iter().zip(&ways).zip(&laid) {
        while sheets.len() <= l.sheet {
            sheets.push(OneSheet::default());
        }
        let way = thing.ways[l.way];
        let lie = Lie::turned(way.quarters).shifted(l.by);
        let (page, _) = &thing.faces[way.face];
        let outline: Outline = ways[l.way]
            .iter()
            .map(|r| r.iter().map(|p| *p + l.by).collect())
            .collect();
        sheets[l.sheet].add(page, lie, outline);
        let mirrored = if way.face == 0 {
            Motion::STILL
        } else {
            MIRROR()
        };
        let turn = Motion::turn(Point::default(), lie.angle()).then(&Motion::shift(lie.by));
        placed.push(Placed {
            piece: thing.piece,
            sheet: l.sheet,
            motion: motions[thing.piece].then(&mirrored).then(&turn),
            window: thing.window.map(|w| {
                let r = lie.rect(&w);
                (Point::new(r.x0, r.y0), Point::new(r.x1, r.y1))
            }),
        });
    }
    head_and_squares(
        &mut sheets,
        &Heading {
            order,
            words,
            pieces: &traced,
            laying,
            rule,
            strip: &strip,
            bed,
        },
    );
    let margin = Vector::new(bed.margin, bed.margin);
    let pages = sheets.iter().map(|s| finished(s, bed, rule)).collect();
    for p in &mut placed {
        p.motion = p.motion.then(&Motion::shift(margin));
        p.window = p.window.map(|(a, b)| (a + margin, b + margin));
    }
    Ok(Large { pages, placed })
}

/// A sheet in the making: drawings that lie on it.
#[derive(Default)]
struct OneSheet {
    page: Option<Page>,
    there: Vec<Outline>,
    foot: f64,
}

impl OneSheet {
    fn add(&mut self, page: &Page, lie: Lie, outline: Outline) {
        self.page
            .get_or_insert_with(|| Page::new(0.0, 0.0))
            .lay(page, lie);
        let low = outline.iter().flatten().map(|p| p.y).fold(0.0, f64::max);
        self.foot = self.foot.max(low);
        self.there.push(outline);
    }
}

/// Puts a sheet inside its margins, with its rule.
fn finished(sheet: &OneSheet, bed: &Bed, rule: Option<Ellwand>) -> Page {
    let mut long = if bed.cut_to_length {
        sheet.foot
    } else {
        bed.length
    };
    if let Some(rule) = rule {
        // The sheet ends with a whole division of the rule.
        long = (real(count((long / rule.step - 1e-9).ceil())) * rule.step).min(bed.length);
    }
    let mut page = Page::new(bed.width + 2.0 * bed.margin, long + 2.0 * bed.margin);
    if let Some(drawn) = &sheet.page {
        page.lay(
            drawn,
            Lie::turned(0).shifted(Vector::new(bed.margin, bed.margin)),
        );
    }
    if let Some(rule) = rule {
        let from = Point::new(bed.margin + bed.width, bed.margin);
        rule.draw(&mut page, from, rule.whole(long));
    }
    page
}

struct Heading<'a> {
    order: &'a Order,
    words: &'a Words,
    pieces: &'a [Traced<'a>],
    laying: Vec<String>,
    rule: Option<Ellwand>,
    strip: &'a Strip,
    bed: &'a Bed,
}

/// Finds room for the head in the largest gap, and for a name square on every other sheet.
fn head_and_squares(sheets: &mut Vec<OneSheet>, h: &Heading<'_>) {
    let said = |laying: &[String], foot: f64, sheet: (usize, usize)| Said {
        order: h.order,
        words: h.words,
        pieces: h.pieces,
        laying: laying.to_vec(),
        rule: h.rule.map(|r| {
            let last = r.whole(foot) / r.numbered * r.numbered;
            if last >= 2 * r.numbered {
                (r.numbered, last)
            } else {
                (0, r.whole(foot))
            }
        }),
        sheet,
    };
    let mut laying = h.laying.clone();
    let of = sheets.len();
    if of > 1 && h.bed.cut_to_length {
        laying.push(fill(h.words.many_sheets, &[("n", &of.to_string())]));
    }
    let foot = sheets.first().map_or(0.0, |s| s.foot);
    // The sheet gets longer only if no gap holds the head.
    let full = if h.bed.cut_to_length {
        foot
    } else {
        h.bed.length
    };
    let mut home: Option<(usize, Page, Lie, Outline)> = None;
    for (n, sheet) in sheets.iter().enumerate() {
        let there = sheet.foot;
        let limit = if h.bed.cut_to_length {
            there
        } else {
            h.bed.length
        };
        let said = said(&laying, there, (n + 1, of));
        let heads = [said.draw(WIDE), said.draw(NARROW)];
        let ways: Vec<Outline> = heads.iter().map(boxed).collect();
        let found = [60.0, 40.0, 25.0, 15.0, GAP]
            .iter()
            .find_map(|room| one_more(&ways, h.strip, &sheet.there, limit, *room));
        if let Some(l) = found {
            let [wide, narrow] = heads;
            let page = if l.way == 0 { wide } else { narrow };
            home = Some((
                n,
                page,
                Lie::turned(0).shifted(l.by),
                moved(&ways[l.way], l.by),
            ));
            break;
        }
    }
    let home = home.or_else(|| {
        let said = said(&laying, full, (1, of));
        let head = said.draw(WIDE);
        let ways = [boxed(&head)];
        let length = h.strip.length;
        let l = one_more(&ways, h.strip, &sheets[0].there, length, GAP);
        l.map(|l| (0, head, Lie::turned(0).shifted(l.by), moved(&ways[0], l.by)))
    });
    let headed = match home {
        Some((n, page, lie, outline)) => {
            sheets[n].add(&page, lie, outline);
            n
        }
        None => {
            // Every sheet is full to the edge: the head gets one of its own.
            let n = sheets.len();
            let page = said(&laying, full, (n + 1, n + 1)).draw(WIDE);
            let outline = boxed(&page);
            let corner = Rect::around(outline.iter().flatten());
            let by = Vector::new(-corner.x0, -corner.y0);
            let mut sheet = OneSheet::default();
            sheet.add(&page, Lie::turned(0).shifted(by), moved(&outline, by));
            sheets.push(sheet);
            n
        }
    };
    let of = sheets.len();
    for n in (0..of).filter(|n| *n != headed) {
        let square = said(&[], 0.0, (n + 1, of)).square();
        let ways = [boxed(&square)];
        let there = sheets[n].foot;
        let limit = if h.bed.cut_to_length {
            there
        } else {
            h.bed.length
        };
        let found = [
            (limit, 20.0),
            (limit, GAP),
            (limit, 2.0),
            (h.strip.length, GAP),
        ]
        .iter()
        .find_map(|(foot, room)| {
            let strip = Strip {
                gap: *room,
                ..h.strip.clone()
            };
            one_more(&ways, &strip, &sheets[n].there, *foot, *room)
        });
        if let Some(l) = found {
            sheets[n].add(&square, Lie::turned(0).shifted(l.by), moved(&ways[0], l.by));
        }
    }
}

/// The box round all that is drawn.
fn boxed(page: &Page) -> Outline {
    let bits = page.bits.iter().map(|b| b.bounds);
    let words = page.words.iter().map(|w| w.0.bounds);
    let all = bits.chain(words).fold(Rect::EMPTY, |a, b| a.joined(&b));
    vec![all.grown(1.0).corners().to_vec()]
}

fn moved(outline: &Outline, by: Vector) -> Outline {
    outline
        .iter()
        .map(|r| r.iter().map(|p| *p + by).collect())
        .collect()
}

/// What a piece becomes, and what is to be said of it.
struct Made {
    things: Vec<Thing>,
    says: Option<String>,
}

/// The whole piece, or its parts, drawn.
fn things_of(
    order: &Order,
    words: &Words,
    (bed, widest): (&Bed, f64),
    (piece, over): (&Traced<'_>, Option<&SheetPiece>),
    i: usize,
) -> Result<Made, SheetFault> {
    let free = (f64::INFINITY, f64::INFINITY);
    let label = label::of(piece, order, words, &ROLL, free);
    let wording = Wording::new(piece, order.shown, words, &ROLL);
    let page = part::whole(piece, &label, &wording);
    let outline = part::outline(&page, &piece.cut_ring);
    let size = Rect::around(outline.iter().flatten());
    let along = size.width() <= widest && size.height() <= bed.length;
    let across = size.height() <= widest && size.width() <= bed.length;
    let name = capital(&piece.given.piece.name);
    if along || across {
        let mut faces = vec![(page, outline)];
        if let Some(over) = over {
            let mut turned = Traced::new(over, piece.number, &order.left_out)?;
            if let Some(long) = &piece.long {
                turned.mark_long(long.moved(&MIRROR()));
            }
            let label = label::of(&turned, order, words, &ROLL, free);
            let wording = Wording::new(&turned, order.shown, words, &ROLL);
            let page = part::whole(&turned, &label, &wording);
            let outline = part::outline(&page, &turned.cut_ring);
            faces.push((page, outline));
        }
        let mut quarters: Vec<u8> = Vec::new();
        if along {
            quarters.extend([0, 2]);
        }
        if across && (bed.any_way || !along) {
            quarters.extend([3, 1]);
        }
        let ways = (0..faces.len())
            .flat_map(|face| quarters.iter().map(move |q| Way { face, quarters: *q }))
            .collect();
        let says = (!along && !bed.any_way).then(|| fill(words.lies_across, &[("piece", &name)]));
        return Ok(Made {
            things: vec![Thing {
                piece: i,
                faces,
                ways,
                window: None,
            }],
            says,
        });
    }
    let too_large = || SheetFault::TooLarge(piece.given.piece.name.clone());
    let windows = [(widest, bed.length), (bed.length, widest)];
    let mut best: Option<(Grid, Label, bool)> = None;
    for (k, window) in windows.iter().enumerate() {
        if k == 1 && !bed.any_way {
            break;
        }
        let window = (window.0 - OUTSIDE, window.1 - OUTSIDE);
        let frame = Frame::parts(window, LAP);
        let room = (frame.step.0 - 10.0, frame.step.1 - 10.0);
        let label = label::of(piece, order, words, &ROLL, room);
        let Some(grid) = grids(piece, &label, frame, 1).into_iter().next() else {
            continue;
        };
        if best.as_ref().is_none_or(|b| grid.on.len() < b.0.on.len()) {
            best = Some((grid, label, k == 1));
        }
    }
    let (grid, label, turned) = best.ok_or_else(too_large)?;
    if grid.on.len() > PARTS {
        return Err(too_large());
    }
    let parted = Parted {
        sheeted: Sheeted {
            piece,
            label: &label,
            wording: &wording,
            grid: &grid,
            first_row: 0,
            order,
            words,
        },
        letters: &ROLL,
    };
    let diamonds = parted.diamonds();
    let things = grid
        .on
        .iter()
        .map(|cell| {
            let page = parted.draw(*cell, &diamonds);
            let window = grid.window(*cell);
            let outline = part::outline(&page, &part::clipped(&piece.cut_ring, &window));
            let size = Rect::around(outline.iter().flatten());
            let mut quarters: Vec<u8> = Vec::new();
            if size.width() <= widest && (!turned || bed.any_way) {
                quarters.extend([0, 2]);
            }
            if bed.any_way && size.height() <= widest {
                quarters.extend([3, 1]);
            }
            if quarters.is_empty() {
                quarters.extend(if turned { [3, 1] } else { [0, 2] });
            }
            Thing {
                piece: i,
                faces: vec![(page, outline)],
                ways: quarters
                    .into_iter()
                    .map(|quarters| Way { face: 0, quarters })
                    .collect(),
                window: Some(window),
            }
        })
        .collect::<Vec<_>>();
    let n = things.len().to_string();
    Ok(Made {
        says: Some(fill(words.in_parts, &[("piece", &name), ("n", &n)])),
        things,
    })
}

/// A turning over that leaves what points down pointing down.
#[expect(
    non_snake_case,
    reason = "as good as a constant; its arithmetic is not const"
)]
fn MIRROR() -> Motion {
    Motion::reflect(Point::default(), Vector::DOWN)
}

/// What turns a piece so that its grain runs down the sheet.
fn grain_down(piece: &SheetPiece) -> Motion {
    let way = piece
        .piece
        .grain
        .and_then(|g| (g.to - g.from).unit())
        .unwrap_or(Vector::DOWN);
    let off = way.angle_to(Vector::DOWN);
    if off.in_degrees().abs() < 1e-6 {
        Motion::STILL
    } else {
        Motion::carry(Point::default(), way, Point::default(), Vector::DOWN)
    }
}

/// The piece turned over, where that is the same when it is cut: a half on a fold, or one of a pair.
fn turned_over(piece: &SheetPiece) -> Option<SheetPiece> {
    let halved = piece.piece.edges.iter().any(|e| e.role == Role::Fold);
    let cuts = &piece.piece.cuts;
    let may = halved && !cuts.is_empty() && cuts.iter().all(|c| c.on_fold || c.pair);
    may.then(|| piece.moved(&MIRROR()))
}

/// The pattern on large sheets, its pieces nested; the first sheet bears the head.
///
/// # Errors
/// When there are no pieces, or one of them has no cutting line or is too large.
pub fn large_pdf(order: &Order, paper: LargePaper) -> Result<Vec<u8>, SheetFault> {
    let large = large(order, order.words, &Bed::of(paper))?;
    let drawings: Vec<Drawing> = large.pages.into_iter().map(|p| p.drawing).collect();
    pdf::write(
        &drawings,
        &About {
            title: &title(order),
            words: order.words,
            off: None,
            packed: true,
        },
    )
}

/// The sizes of the large sheets, so that she knows what to ask the copy shop for.
///
/// # Errors
/// As [`large_pdf`].
pub fn large_sheets(order: &Order, paper: LargePaper) -> Result<Vec<(Length, Length)>, SheetFault> {
    let large = large(order, order.words, &Bed::of(paper))?;
    Ok(large
        .pages
        .iter()
        .map(|p| (Length::mm(p.drawing.width), Length::mm(p.drawing.height)))
        .collect())
}

/// Where every piece lies when the pattern is nested on a strip of this width, in sheets no longer
/// than `most`, without a rule at the edge. The places are measured from the corner of the strip.
///
/// # Errors
/// As [`large_pdf`].
pub fn nested(order: &Order, width: Length, most: Length) -> Result<Vec<Placed>, SheetFault> {
    let bed = Bed {
        width: width.in_mm(),
        length: most.in_mm(),
        margin: 0.0,
        cut_to_length: true,
        ruled: false,
        any_way: false,
    };
    Ok(large(order, order.words, &bed)?.placed)
}

#[cfg(test)]
mod tests;
