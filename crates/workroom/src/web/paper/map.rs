//! The sheets of a tiled pattern, drawn small: which one shows what.

use maud::{Markup, html};
use measure::Point;
use sheet::{PieceTiles, TileMap};

use super::super::drawing::number;

/// Between two pieces, in mm.
const BETWEEN: f64 = 40.0;

fn ring(points: &[Point], by: (f64, f64)) -> String {
    let mut d = String::new();
    let mut last: Option<Point> = None;
    for (i, p) in points.iter().enumerate() {
        // Chords far finer than a picture of a hand's width needs are left out, corners never.
        let next = points.get(i + 1).unwrap_or(p);
        let bend = last.map_or(1.0, |l| {
            let (a, b) = ((p.x - l.x, p.y - l.y), (next.x - p.x, next.y - p.y));
            let size = a.0.hypot(a.1) * b.0.hypot(b.1);
            if size > 0.0 {
                (a.0 * b.1 - a.1 * b.0).abs() / size
            } else {
                0.0
            }
        });
        if last.is_some_and(|l| l.distance(*p).in_mm() < 8.0) && bend < 0.2 {
            continue;
        }
        d.push(if last.is_none() { 'M' } else { 'L' });
        d.push_str(&format!("{:.0} {:.0}", p.x + by.0, p.y + by.1));
        last = Some(*p);
    }
    d.push('Z');
    d
}

fn reach(piece: &PieceTiles) -> (f64, f64, f64, f64) {
    piece.tiles.iter().fold(
        (f64::MAX, f64::MAX, f64::MIN, f64::MIN),
        |(x0, y0, x1, y1), t| {
            let (x, y, w, h) = t.window;
            (x0.min(x), y0.min(y), x1.max(x + w), y1.max(y + h))
        },
    )
}

/// The map: pieces side by side, in rows where they would grow too wide.
pub(crate) fn map(map: &TileMap) -> Markup {
    let wide = map
        .pieces
        .iter()
        .map(|p| reach(p).2 - reach(p).0)
        .fold(1800.0, f64::max);
    let (mut x, mut y, mut low, mut width) = (0.0, 0.0, 0.0_f64, 0.0_f64);
    let mut placed = Vec::new();
    for piece in &map.pieces {
        let (x0, y0, x1, y1) = reach(piece);
        if x > 0.0 && x + (x1 - x0) > wide {
            (x, y) = (0.0, y + low + BETWEEN);
            low = 0.0;
        }
        placed.push((piece, (x - x0, y - y0)));
        x += x1 - x0 + BETWEEN;
        low = low.max(y1 - y0);
        width = width.max(x - BETWEEN);
    }
    let height = y + low;
    // A unit is a dot of the screen when the map is about 700 dots wide.
    let big = (width / 700.0).max(height / 640.0).max(0.1);
    html! {
        svg.tiles viewBox={ "-8 -8 " (number(width + 16.0)) " " (number(height + 16.0)) } role="img" aria-labelledby="map-title" {
            title #map-title {
                "Map of the sheets: "
                @for (i, piece) in map.pieces.iter().enumerate() {
                    @if i > 0 { ", " } (piece.name) " on " (piece.tiles.len())
                }
            }
            @for (piece, by) in &placed {
                path.cloth d=(ring(&piece.cutting, *by)) {}
                @for tile in &piece.tiles {
                    @let (tx, ty, w, h) = tile.window;
                    rect.tile x=(number(tx + by.0)) y=(number(ty + by.1)) width=(number(w)) height=(number(h)) {}
                }
                path.cut d=(ring(&piece.cutting, *by)) {}
                path.stitch2 d=(ring(&piece.stitching, *by)) {}
                @for tile in &piece.tiles {
                    @let (tx, ty, w, h) = tile.window;
                    text.tilename x=(number(tx + by.0 + w / 2.0)) y=(number(ty + by.1 + h / 2.0 + 6.0 * big)) text-anchor="middle"
                        font-size=(number((17.0 * big).min(w / 3.2))) { (tile.name) }
                }
            }
        }
    }
}

/// The map as a list.
pub(crate) fn list(map: &TileMap) -> Markup {
    html! {
        details.fold {
            summary { "The map as a list" }
            table {
                thead { tr { th scope="col" { "Piece" } th scope="col" { "Sheets" } th.r scope="col" { "Pages of the file" } } }
                tbody {
                    @for piece in &map.pieces {
                        tr {
                            th scope="row" { (check::told::capital(&piece.name)) }
                            td { @for (i, t) in piece.tiles.iter().enumerate() { @if i > 0 { ", " } (t.name) } }
                            td.r { @if let (Some(a), Some(b)) = (piece.tiles.first(), piece.tiles.last()) {
                                @if a.page == b.page { (a.page) } @else { (a.page) " to " (b.page) }
                            } }
                        }
                    }
                }
            }
        }
    }
}
