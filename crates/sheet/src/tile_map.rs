//! Which sheet shows what of which piece: to be seen before anything is printed.

use measure::Point;
use piece::flat;

use crate::order::{Order, Paper, SheetFault};
use crate::pattern::{Pages, book};
use crate::tile::Sheeted;

/// A sheet of a tiled pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct TileAt {
    /// Its name on the paper: `C4`.
    pub name: String,
    /// Its page in the file, from 1.
    pub page: usize,
    /// What of the piece it shows: left, top, width and height, in mm of the piece as it is laid.
    pub window: (f64, f64, f64, f64),
}

/// A piece and the sheets it is printed on.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceTiles {
    /// The piece's name.
    pub name: String,
    /// Rows and columns of its grid; those of its sheets that would be blank are not printed.
    pub grid: (usize, usize),
    /// The printed sheets, row by row.
    pub tiles: Vec<TileAt>,
    /// The stitching line as chords, in mm of the piece as it is laid.
    pub stitching: Vec<Point>,
    /// The cutting line as chords.
    pub cutting: Vec<Point>,
}

impl PieceTiles {
    /// The sheets of one piece, the first of them on this page of the file.
    pub(crate) fn of(sheeted: &Sheeted<'_>, first: usize) -> Self {
        let piece = &sheeted.piece.given.piece;
        let tiles = sheeted.grid.on.iter().enumerate().map(|(i, cell)| {
            let w = sheeted.grid.window(*cell);
            TileAt {
                name: sheeted.name(*cell),
                page: first + i,
                window: (w.x0, w.y0, w.width(), w.height()),
            }
        });
        let cutting = piece::cutting_line(piece).map(|line| flat::cutting(&line).points);
        Self {
            name: piece.name.clone(),
            grid: (sheeted.grid.rows, sheeted.grid.columns),
            tiles: tiles.collect(),
            stitching: flat::stitching(piece).map(|f| f.points).unwrap_or_default(),
            cutting: cutting.unwrap_or_default(),
        }
    }
}

/// How a pattern comes out on tiled paper.
#[derive(Clone, Debug, PartialEq)]
pub struct TileMap {
    /// How many pages there are of each kind.
    pub pages: Pages,
    /// The pieces in the order of the file.
    pub pieces: Vec<PieceTiles>,
}

/// How the pattern comes out on this paper.
///
/// # Errors
/// As [`crate::pattern_pdf`].
pub fn tile_map(order: &Order, paper: Paper) -> Result<TileMap, SheetFault> {
    let book = book(order, paper, order.words)?;
    Ok(TileMap {
        pages: book.parts,
        pieces: book.map,
    })
}
