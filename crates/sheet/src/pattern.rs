//! The pattern as files: tiled for a home printer, and on one sheet for other programs and for the
//! eye.

use measure::{Angle, Length, Motion, Point, Vector};

use crate::construction;
use crate::cover::{Covered, Paging};
use crate::drawing::{Drawing, Layer};
use crate::face::MM_PER_POINT;
use crate::grid::{Frame, Grid, grids};
use crate::label::{self, Label};
use crate::letters::HAND;
use crate::order::{Order, Paper, SheetFault, SheetPiece};
use crate::page::Page;
use crate::pdf::{self, About};
use crate::quad::Rect;
use crate::svg::{self, Group};
use crate::tile::{Sheeted, Tile, diamonds, draw, long_names};
use crate::tile_map::PieceTiles;
use crate::traced::Traced;
use crate::wording::Wording;
use crate::words::Words;
use crate::{png, steps};

/// Grids of a piece that are tried until its words all find room.
const GRIDS: usize = 8;
/// White between pieces that lie side by side.
const BETWEEN: f64 = 25.0;
/// The longer side of the preview, in pixels.
const PREVIEW: f64 = 1600.0;

/// The pieces of an order with their lines and long checks.
pub(crate) fn traced(order: &Order) -> Result<Vec<Traced<'_>>, SheetFault> {
    traced_of(&order.pieces, order)
}

/// The same for the pieces of an order as they lie elsewhere.
pub(crate) fn traced_of<'a>(
    given: &'a [SheetPiece],
    order: &'a Order,
) -> Result<Vec<Traced<'a>>, SheetFault> {
    let of = given.len();
    let mut pieces: Vec<Traced<'_>> = given
        .iter()
        .enumerate()
        .map(|(i, p)| Traced::new(p, (i + 1, of), &order.left_out))
        .collect::<Result<_, _>>()?;
    let unit = order.shown.unit.of(1.0).unwrap_or(Length::inches(1.0));
    let mut number = 0;
    for piece in &mut pieces {
        if let Some(long) = crate::long_check::find(piece, unit, number) {
            piece.mark_long(long);
            number += 1;
        }
    }
    Ok(pieces)
}

/// How many pages a tiled pattern has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pages {
    /// The cover, and what it has no room for.
    pub covers: usize,
    /// Sheets of the pattern; blank ones are not printed.
    pub sheets: usize,
    /// Pages of steps.
    pub steps: usize,
}

/// The pages of a tiled pattern.
pub(crate) struct Book {
    pub(crate) pages: Vec<Page>,
    pub(crate) parts: Pages,
    pub(crate) map: Vec<PieceTiles>,
}

/// Lays out all pages: the cover, the sheets piece by piece, the steps.
pub(crate) fn book(order: &Order, paper: Paper, words: &Words) -> Result<Book, SheetFault> {
    if order.pieces.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let frame = Frame::of(paper);
    let upright = traced(order)?;
    let turned: Vec<Option<(SheetPiece, Motion)>> = upright
        .iter()
        .map(|p| turned_to_save(p, order, words, frame))
        .collect();
    let pieces: Vec<Traced<'_>> = upright
        .iter()
        .zip(&turned)
        .map(|(p, t)| match t {
            Some((given, by)) => {
                let mut new = Traced::new(given, p.number, &order.left_out)?;
                if let Some(long) = &p.long {
                    new.mark_long(long.moved(by));
                }
                Ok(new)
            }
            None => Ok(p.clone()),
        })
        .collect::<Result<_, SheetFault>>()?;
    let room = (frame.step.0 - 8.0, frame.step.1 - 8.0);
    let labels: Vec<Label> = pieces
        .iter()
        .map(|p| label::of(p, order, words, &HAND, room))
        .collect();
    let wordings: Vec<Wording> = pieces
        .iter()
        .map(|p| Wording::new(p, order.shown, words, &HAND))
        .collect();
    // Which grid a piece gets does not depend on page numbers: it is settled first.
    let mut chosen: Vec<(Grid, usize)> = Vec::new();
    let mut row = 0;
    for (i, piece) in pieces.iter().enumerate() {
        let all = grids(piece, &labels[i], frame, GRIDS);
        let mut best: Option<(usize, Grid)> = None;
        for grid in all {
            let missing = {
                let s = sheeted(
                    order,
                    words,
                    &pieces[i],
                    &labels[i],
                    &wordings[i],
                    &grid,
                    row,
                );
                s.sheets(1, 1).iter().filter(|t| !t.complete).count()
            };
            if best.as_ref().is_none_or(|b| missing < b.0) {
                best = Some((missing, grid));
            }
            if missing == 0 {
                break;
            }
        }
        let (_, grid) = best.ok_or_else(|| SheetFault::TooLarge(piece.given.piece.name.clone()))?;
        let rows = grid.rows;
        chosen.push((grid, row));
        row += rows;
    }
    let tiles: usize = chosen.iter().map(|(g, _)| g.on.len()).sum();
    let refs: Vec<(&Grid, usize)> = chosen.iter().map(|(g, r)| (g, *r)).collect();
    let covered = Covered {
        order,
        words,
        pieces: &pieces,
        upright: &upright,
        grids: &refs,
        frame,
    };
    let covers = crate::cover::pages(&covered, Paging { first: 1, of: 1 }).len();
    let last = steps::pages(order, words, frame.paper, Paging { first: 2, of: 2 }).len();
    let of = covers + tiles + last;
    let mut pages = crate::cover::pages(&covered, Paging { first: 1, of });
    let mut map = Vec::with_capacity(pieces.len());
    for (i, piece) in pieces.iter().enumerate() {
        let (grid, row) = &chosen[i];
        let s = sheeted(order, words, piece, &labels[i], &wordings[i], grid, *row);
        let first = pages.len() + 1;
        map.push(PieceTiles::of(&s, first));
        pages.extend(s.sheets(first, of).into_iter().map(|t| t.page));
    }
    let first = pages.len() + 1;
    pages.extend(steps::pages(
        order,
        words,
        frame.paper,
        Paging { first, of },
    ));
    Ok(Book {
        pages,
        parts: Pages {
            covers,
            sheets: tiles,
            steps: last,
        },
        map,
    })
}

/// A piece turned by a quarter, with the turn, where it then takes fewer sheets. It is turned so that
/// its words stand upright with the grain as before.
fn turned_to_save(
    piece: &Traced<'_>,
    order: &Order,
    words: &Words,
    frame: Frame,
) -> Option<(SheetPiece, Motion)> {
    let (w, h) = (piece.bounds.width(), piece.bounds.height());
    if frame.least(h, w) >= frame.least(w, h) {
        return None;
    }
    let now = Vector::DOWN.angle_to(piece.down());
    let quarter = [90.0, -90.0]
        .into_iter()
        .map(Angle::degrees)
        .find(|q| {
            let then = now + *q;
            (label::readable(then) - then.wrapped()).in_degrees().abs() < 1.0
        })
        .unwrap_or(Angle::degrees(90.0));
    let by = Motion::turn(Point::default(), quarter);
    let given = piece.given.moved(&by);
    let takes = |p: &Traced<'_>| {
        let room = (frame.step.0 - 8.0, frame.step.1 - 8.0);
        let label = label::of(p, order, words, &HAND, room);
        let grid = grids(p, &label, frame, 1).into_iter().next()?;
        Some(grid.on.len())
    };
    let then = takes(&Traced::new(&given, piece.number, &order.left_out).ok()?)?;
    if takes(piece).is_some_and(|now| now <= then) {
        return None;
    }
    Some((given, by))
}

fn sheeted<'a>(
    order: &'a Order,
    words: &'a Words,
    piece: &'a Traced<'a>,
    label: &'a Label,
    wording: &'a Wording,
    grid: &'a Grid,
    first_row: usize,
) -> Sheeted<'a> {
    Sheeted {
        piece,
        label,
        wording,
        grid,
        first_row,
        order,
        words,
    }
}

impl Sheeted<'_> {
    /// All printed sheets of the piece.
    fn sheets(&self, first: usize, of: usize) -> Vec<Tile> {
        let joints = diamonds(self);
        self.grid
            .on
            .iter()
            .enumerate()
            .map(|(i, cell)| self.tile(*cell, &joints, first + i, of))
            .collect()
    }
}

/// How many pages the tiled pattern has, so that she knows before she prints.
///
/// # Errors
/// As [`pattern_pdf`].
pub fn pattern_pages(order: &Order, paper: Paper) -> Result<Pages, SheetFault> {
    Ok(book(order, paper, order.words)?.parts)
}

/// The pattern tiled for a home printer, with a cover, every sheet that is not blank, and the steps.
///
/// # Errors
/// When there are no pieces, or one of them has no cutting line or is too large.
pub fn pattern_pdf(order: &Order, paper: Paper) -> Result<Vec<u8>, SheetFault> {
    let book = book(order, paper, order.words)?;
    let drawings: Vec<Drawing> = book.pages.into_iter().map(|p| p.drawing).collect();
    pdf::write(
        &drawings,
        &About {
            title: &title(order),
            words: order.words,
            off: off(order),
            packed: true,
        },
    )
}

/// The layer that waits to be turned on.
pub(crate) const fn off(order: &Order) -> Option<Layer> {
    if order.shows_construction {
        None
    } else {
        Some(Layer::Construction)
    }
}

pub(crate) fn title(order: &Order) -> String {
    crate::face::printable(&if order.code.is_empty() {
        order.title.clone()
    } else {
        format!("{}, {}", order.title, order.code)
    })
}

/// All pieces on one sheet, side by side in rows.
pub(crate) struct OneSheet {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) pages: Vec<Page>,
}

/// Lays the pieces side by side in rows, none over another; with their labels beside them if these
/// found no room inside.
fn side_by_side(pieces: &[Traced<'_>], labels: &[Label]) -> (f64, f64, Vec<Vector>) {
    let boxes: Vec<Rect> = pieces
        .iter()
        .zip(labels)
        .map(|(p, l)| {
            let at = l.spots.first().copied().unwrap_or_default();
            p.bounds.joined(&l.quad(at).bounds)
        })
        .collect();
    in_rows(&boxes)
}

/// Lays boxes side by side in rows: the size of the whole, and by how much each is shifted.
pub(crate) fn in_rows(boxes: &[Rect]) -> (f64, f64, Vec<Vector>) {
    let area: f64 = boxes
        .iter()
        .map(|b| (b.width() + BETWEEN) * (b.height() + BETWEEN))
        .sum();
    let widest = boxes.iter().map(Rect::width).fold(0.0, f64::max);
    let row_width = (area * 1.5).sqrt().max(widest) + 2.0 * BETWEEN;
    let (mut x, mut y, mut tall, mut right) = (BETWEEN, BETWEEN, 0.0_f64, 0.0_f64);
    let mut shifts: Vec<Vector> = Vec::new();
    for b in boxes {
        if x > BETWEEN && x + b.width() + BETWEEN > row_width {
            (x, y) = (BETWEEN, y + tall + BETWEEN);
            tall = 0.0;
        }
        shifts.push(Point::new(x, y) - Point::new(b.x0, b.y0));
        x += b.width() + BETWEEN;
        tall = tall.max(b.height());
        right = right.max(x);
    }
    (right.ceil(), (y + tall + BETWEEN).ceil(), shifts)
}

/// Draws every piece with all its words, at true size.
pub(crate) fn one_sheet(order: &Order, words: &Words) -> Result<OneSheet, SheetFault> {
    if order.pieces.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let pieces = traced(order)?;
    let labels: Vec<Label> = pieces
        .iter()
        .map(|p| label::of(p, order, words, &HAND, (f64::INFINITY, f64::INFINITY)))
        .collect();
    let (width, height, shifts) = side_by_side(&pieces, &labels);
    let window = Rect::new(0.0, 0.0, width, height);
    let pages = pieces
        .iter()
        .enumerate()
        .map(|(i, piece)| {
            let mut page = dressed(order, words, piece, &labels[i], shifts[i], &window);
            construction::draw(&mut page, piece, shifts[i], &window);
            page
        })
        .collect();
    Ok(OneSheet {
        width,
        height,
        pages,
    })
}

/// A piece with its lines and all its words, shifted by `by`, words only inside a window.
pub(crate) fn dressed(
    order: &Order,
    words: &Words,
    piece: &Traced<'_>,
    label: &Label,
    by: Vector,
    window: &Rect,
) -> Page {
    let mut page = Page::new(window.x1, window.y1);
    draw(&mut page, piece, by, None);
    long_names(&mut page, piece, by, window);
    if let Some(at) = label.spots.first() {
        label.draw(&mut page, *at + by);
    }
    Wording::new(piece, order.shown, words, &HAND).place(&mut page, piece, by, window);
    page
}

/// A short name for a file or a layer: plain letters, figures and hyphens.
pub(crate) fn plain_name(name: &str, number: usize) -> String {
    let mut out = String::new();
    for c in name.to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-').to_owned();
    if out.is_empty() {
        format!("piece-{number}")
    } else {
        out
    }
}

/// All pieces in one SVG in millimetres, with a group for each layer and in it one for each piece.
///
/// # Errors
/// When there are no pieces, or one of them has no cutting line.
pub fn pattern_svg(order: &Order) -> Result<String, SheetFault> {
    let sheet = one_sheet(order, order.words)?;
    let mut ids: Vec<String> = Vec::new();
    let groups: Vec<Group> = sheet
        .pages
        .into_iter()
        .enumerate()
        .map(|(i, page)| {
            let name = &order.pieces[i].piece.name;
            let mut id = plain_name(name, i + 1);
            if ids.contains(&id) {
                id = format!("{id}-{}", i + 1);
            }
            ids.push(id.clone());
            Group {
                id,
                title: crate::face::printable(name),
                items: page.drawing.items,
            }
        })
        .collect();
    Ok(svg::write(
        (sheet.width, sheet.height),
        &groups,
        (&title(order), order.words),
        off(order),
    ))
}

/// A picture of all pieces, to look at: their lines, and in letters that can be read in small their
/// names and what to cut.
///
/// # Errors
/// When there are no pieces, or one of them has no cutting line.
pub fn preview_png(order: &Order) -> Result<Vec<u8>, SheetFault> {
    if order.pieces.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let pieces = order
        .pieces
        .iter()
        .enumerate()
        .map(|(i, p)| Traced::new(p, (i + 1, order.pieces.len()), &order.left_out))
        .collect::<Result<Vec<_>, _>>()?;
    let longest = |labels: &[Label]| {
        let (w, h, _) = side_by_side(&pieces, labels);
        w.max(h)
    };
    let labels = |times: f64| -> Vec<Label> {
        pieces
            .iter()
            .map(|p| label::in_small(p, order.words, times))
            .collect()
    };
    // A fact is to stand about 17 pixels high, whatever the size of the garment.
    let first = labels(1.0);
    let times = (longest(&first) / PREVIEW * 17.0 / (14.0 * MM_PER_POINT)).max(1.0);
    let labels = labels(times);
    let (width, height, shifts) = side_by_side(&pieces, &labels);
    let mut page = Page::new(width, height);
    for ((piece, label), shift) in pieces.iter().zip(&labels).zip(&shifts) {
        draw(&mut page, piece, *shift, None);
        if let Some(at) = label.spots.first() {
            label.draw(&mut page, *at + *shift);
        }
    }
    png::write(&page.drawing, PREVIEW / width.max(height))
}

#[cfg(test)]
mod tests;
