//! Where each piece lies on the brown paper: in a row, on common levels, turned so that the edges
//! that are sewn together face each other.

use draft::Worked;
use measure::{Length, Point, Vector};
use piece::{CuttingLine, Piece, cutting_line};

/// Between two pieces, in mm: room for the allowance's turning and a few words.
const BETWEEN: f64 = 70.0;
/// Round all of it, in mm.
const AROUND: f64 = 45.0;
/// At the left, in mm: room for the names of levels.
const LEFT: f64 = 100.0;
/// The paper grows in steps of so many mm, so that it does not shake while a choice slides.
const STEP: f64 = 60.0;
/// How far a chord may lie off the line when only the place of words is sought, in mm.
const NEAR: f64 = 2.0;

/// A piece, and where it lies.
#[derive(Debug)]
pub(crate) struct Placed<'a> {
    /// Its place in the draft's pieces.
    pub(crate) index: usize,
    pub(crate) piece: &'a Piece,
    /// Where it is cut; nothing when it can't be.
    pub(crate) cutting: Option<CuttingLine>,
    /// Its stitching line as chords, on the paper.
    pub(crate) ring: Vec<Point>,
    /// Turned over, left for right.
    pub(crate) turned: bool,
    /// How far right and down it was moved, in mm, after turning.
    pub(crate) moved: Vector,
}

impl Placed<'_> {
    /// Where a point of the piece lies on the paper, in mm.
    pub(crate) fn on_paper(&self, p: Point) -> Point {
        let x = if self.turned { -p.x } else { p.x };
        Point::new(x + self.moved.x, p.y + self.moved.y)
    }

    /// A direction on the piece as it runs on the paper.
    pub(crate) fn way(&self, v: Vector) -> Vector {
        Vector::new(if self.turned { -v.x } else { v.x }, v.y)
    }

    /// The point of the piece that lies here on the paper.
    pub(crate) fn on_piece(&self, p: Point) -> Point {
        let x = p.x - self.moved.x;
        Point::new(if self.turned { -x } else { x }, p.y - self.moved.y)
    }

    /// From where to where it reaches on the paper: low x, low y, high x, high y.
    pub(crate) fn reach(&self) -> (f64, f64, f64, f64) {
        reach(&self.ring)
    }
}

/// The least and the greatest coordinates of points.
pub(crate) fn reach(points: &[Point]) -> (f64, f64, f64, f64) {
    points.iter().fold(
        (f64::MAX, f64::MAX, f64::MIN, f64::MIN),
        |(x0, y0, x1, y1), p| (x0.min(p.x), y0.min(p.y), x1.max(p.x), y1.max(p.y)),
    )
}

/// Pieces laid on a sheet of brown paper.
#[derive(Debug, Default)]
pub(crate) struct Paper<'a> {
    pub(crate) pieces: Vec<Placed<'a>>,
    /// Width and height in mm.
    pub(crate) size: (f64, f64),
}

impl<'a> Paper<'a> {
    /// The pieces that make the garment's outside, as they lie on their drafts.
    pub(crate) fn main(worked: &'a Worked) -> Self {
        let chosen = mains(worked);
        let heights: Vec<f64> = chosen.iter().map(|i| waist(worked, *i)).collect();
        row(worked, &chosen, &heights, f64::INFINITY)
    }

    /// The others: facings, linings, bands.
    pub(crate) fn others(worked: &'a Worked) -> Self {
        let mains = mains(worked);
        let rest: Vec<usize> = (0..worked.pieces.len())
            .filter(|i| !mains.contains(i))
            .collect();
        let tops: Vec<f64> = rest
            .iter()
            .map(|i| {
                ring(&worked.pieces[*i])
                    .iter()
                    .map(|p| p.y)
                    .fold(f64::MAX, f64::min)
            })
            .collect();
        row(worked, &rest, &tops, 2400.0)
    }

    /// Another draft of the same pieces, laid exactly as these lie.
    pub(crate) fn like<'b>(&self, worked: &'b Worked) -> Paper<'b> {
        let pieces = self
            .pieces
            .iter()
            .filter_map(|p| {
                let index = worked.pieces.iter().position(|q| q.name == p.piece.name)?;
                let piece = &worked.pieces[index];
                let mut placed = Placed {
                    index,
                    piece,
                    cutting: cutting_line(piece).ok(),
                    ring: Vec::new(),
                    turned: p.turned,
                    moved: p.moved,
                };
                placed.ring = ring(piece).iter().map(|q| placed.on_paper(*q)).collect();
                Some(placed)
            })
            .collect();
        Paper {
            pieces,
            size: self.size,
        }
    }

    /// The piece of this name.
    pub(crate) fn named(&self, name: &str) -> Option<&Placed<'a>> {
        self.pieces.iter().find(|p| p.piece.name == name)
    }
}

/// The numbers of the pieces of the outside that still lie in their place on their sheets and were
/// not copied from another; all, where there is none.
fn mains(worked: &Worked) -> Vec<usize> {
    let outside = |i: &usize| {
        let piece = &worked.pieces[*i];
        let origin = worked.origins.get(*i);
        piece.cuts.first().is_none_or(|c| c.cloth == "shell")
            && origin.is_some_and(|o| {
                // A piece of a block that is not cut itself is no layer above it.
                !o.copied_from.iter().any(|name| {
                    *name != piece.name && worked.pieces.iter().any(|p| p.name == *name)
                })
            })
            && piece.area() > 20_000.0
    };
    let all: Vec<usize> = (0..worked.pieces.len()).collect();
    let main: Vec<usize> = all.iter().copied().filter(outside).collect();
    if main.is_empty() { all } else { main }
}

/// How far down the waist level of a piece's sheet is.
fn waist(worked: &Worked, index: usize) -> f64 {
    let sheet = worked.origins.get(index).and_then(|o| o.sheet.as_deref());
    worked
        .levels
        .iter()
        .find(|l| l.body == "waist" && Some(l.sheet.as_str()) == sheet)
        .map_or(0.0, |l| l.y)
}

fn ring(piece: &Piece) -> Vec<Point> {
    let mut points = Vec::new();
    for edge in &piece.edges {
        points.extend(edge.curve.flatten(Length::mm(NEAR)));
    }
    points
}

/// Lays pieces side by side, each with the height named at the top, beginning a new row where one
/// grows wider than `wide`.
fn row<'a>(worked: &'a Worked, chosen: &[usize], heights: &[f64], wide: f64) -> Paper<'a> {
    let mut pieces: Vec<Placed<'a>> = Vec::new();
    let (mut x, mut top) = (LEFT, AROUND);
    let (mut low, mut first) = (f64::MAX, 0);
    let mut width = 0.0_f64;
    for (index, height) in chosen.iter().zip(heights) {
        let piece = &worked.pieces[*index];
        let mut placed = Placed {
            index: *index,
            piece,
            cutting: cutting_line(piece).ok(),
            ring: Vec::new(),
            // What is for one side of her alone lies right side up, as it is cut.
            turned: worked.half(*index).is_none()
                && pieces.last().map_or_else(
                    || begins_turned(worked, *index, chosen),
                    |p| turned(worked, p, *index),
                ),
            moved: Vector::new(0.0, 0.0),
        };
        let mut flat = ring(piece);
        if let Some(line) = &placed.cutting {
            flat.extend(line.curve.flatten(Length::mm(NEAR * 4.0)));
        }
        let own: Vec<Point> = flat.iter().map(|p| placed.on_paper(*p)).collect();
        let (x0, y0, x1, _) = reach(&own);
        if x > LEFT && x + (x1 - x0) > wide {
            top = settle(&mut pieces[first..], top, low);
            first = pieces.len();
            (x, low) = (LEFT, f64::MAX);
        }
        placed.moved = Vector::new(x - x0, -height);
        low = low.min(y0 - height);
        x += x1 - x0 + BETWEEN;
        width = width.max(x - BETWEEN);
        placed.ring = ring(piece).iter().map(|p| placed.on_paper(*p)).collect();
        pieces.push(placed);
    }
    let bottom = if pieces.is_empty() {
        AROUND
    } else {
        settle(&mut pieces[first..], top, low)
    };
    let up = |v: f64| (v / STEP).ceil() * STEP;
    Paper {
        pieces,
        size: (up(width + AROUND), up(bottom - BETWEEN + AROUND)),
    }
}

/// Moves a row down so that its highest point is at `top`; answers where the next row begins.
fn settle(row: &mut [Placed<'_>], top: f64, low: f64) -> f64 {
    let down = top - low;
    let mut foot = top;
    for p in row {
        p.moved.y += down;
        for q in &mut p.ring {
            q.y += down;
        }
        let cut = p.cutting.as_ref().map(|c| c.curve.bounds().1.y + p.moved.y);
        foot = foot.max(p.reach().3).max(cut.unwrap_or(foot));
    }
    foot + BETWEEN
}

/// The first piece is turned so that what is sewn to another of the row faces right.
fn begins_turned(worked: &Worked, index: usize, row: &[usize]) -> bool {
    let piece = &worked.pieces[index];
    let in_row =
        |name: &str| name != piece.name && row.iter().any(|i| worked.pieces[*i].name == name);
    sewn_x(worked, piece, in_row).is_some_and(|x| x < middle(piece))
}

/// The next is turned so that what is sewn to the one before faces left.
fn turned(worked: &Worked, before: &Placed<'_>, index: usize) -> bool {
    let piece = &worked.pieces[index];
    sewn_x(worked, piece, |name| name == before.piece.name).is_some_and(|x| x > middle(piece))
}

fn middle(piece: &Piece) -> f64 {
    let (x0, _, x1, _) = reach(&ring(piece));
    f64::midpoint(x0, x1)
}

/// How far right the edge is that is sewn to one of those pieces.
fn sewn_x(worked: &Worked, piece: &Piece, to: impl Fn(&str) -> bool) -> Option<f64> {
    worked.seams.iter().find_map(|seam| {
        let sides = [(&seam.a, &seam.b), (&seam.b, &seam.a)];
        sides.into_iter().find_map(|(mine, theirs)| {
            let own = mine.iter().find(|e| e.piece == piece.name)?;
            theirs.iter().find(|e| to(&e.piece))?;
            let curve = &piece.edge(&own.edge).ok()?.curve;
            Some(curve.at(curve.length() * 0.3).point.x)
        })
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;
    use crate::web::testing::demo_book;
    use crate::web::working::OnTable;
    use book::Which;

    /// Would catch a piece that turns its sewn edge away from the piece beside it, as when it is judged by
    /// its facing's seam.
    #[test]
    fn of_two_pieces_beside_each_other_the_edges_that_are_sewn_together_face() {
        if crate::shelf::SHIPPED.is_empty() {
            return;
        }
        let book = demo_book();
        let mut looked = 0;
        for line in book.orders(Which::All).unwrap() {
            let worked = OnTable::load(&book, line.order.number).unwrap().redraw();
            let paper = Paper::main(&worked);
            for pair in paper.pieces.windows(2) {
                let [left, right] = [&pair[0], &pair[1]];
                let x = |p: &Placed<'_>, other: &str| {
                    let x = sewn_x(&worked, p.piece, |name| name == other)?;
                    Some(p.on_paper(Point::new(x, 0.0)).x)
                };
                let (Some(a), Some(b)) = (x(left, &right.piece.name), x(right, &left.piece.name))
                else {
                    continue;
                };
                let mid = |p: &Placed<'_>| f64::midpoint(p.reach().0, p.reach().2);
                looked += 1;
                assert!(b < mid(right), "{} turns away", right.piece.name);
                if left.index == paper.pieces[0].index {
                    assert!(a > mid(left), "{} turns away", left.piece.name);
                }
            }
        }
        assert!(looked >= 2, "no two pieces beside each other are sewn");
    }
}
