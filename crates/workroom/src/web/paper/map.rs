//! The sheets of a tiled pattern, drawn small: which one shows what.

use maud::{Markup, html};
use measure::Point;
use sheet::{PieceTiles, TileAt, TileMap};

use super::super::drawing::number;

/// Between two pieces, in mm.
const BETWEEN: f64 = 40.0;
/// Where a sheet's name may stand, as parts of the sheet from its middle, the nearest first.
const PLACES: [(f64, f64); 15] = [
    (0.0, 0.0),
    (0.0, -0.17),
    (0.0, 0.17),
    (-0.2, 0.0),
    (0.2, 0.0),
    (-0.2, -0.17),
    (0.2, -0.17),
    (-0.2, 0.17),
    (0.2, 0.17),
    (0.0, -0.34),
    (0.0, 0.34),
    (-0.2, -0.34),
    (0.2, -0.34),
    (-0.2, 0.34),
    (0.2, 0.34),
];

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

/// Half the room of a sheet's name, across and down, at the size that a phone shows it in, in mm.
fn room(name: &str) -> (f64, f64) {
    (name.chars().fold(0.0, |wide, _| wide + 26.0), 36.0)
}

/// Points along what is drawn of a piece, near enough for a name to keep clear of them.
fn drawn(piece: &PieceTiles) -> Vec<Point> {
    let mut out = Vec::new();
    for ring in [&piece.cutting, &piece.stitching] {
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let steps = (a.distance(*b).in_mm() / 6.0).ceil().max(1.0);
            let mut i = 0.0;
            while i < steps {
                out.push(a.toward(*b, i / steps));
                i += 1.0;
            }
        }
    }
    out
}

/// Where the middle of a sheet's name stands: nearest the middle of the sheet where no line runs through
/// it; where there is no such place, where lines are farthest.
fn name_place(tile: &TileAt, drawn: &[Point]) -> (f64, f64) {
    let (x, y, w, h) = tile.window;
    let (half, high) = room(&tile.name);
    let mut best = (0.0, (x + w / 2.0, y + h / 2.0));
    for (dx, dy) in PLACES {
        let at = (x + w * (0.5 + dx), y + h * (0.5 + dy));
        if at.0 - half < x || at.0 + half > x + w || at.1 - high < y || at.1 + high > y + h {
            continue;
        }
        let clear = drawn
            .iter()
            .map(|p| ((p.x - at.0).abs() / half).max((p.y - at.1).abs() / high))
            .fold(f64::MAX, f64::min);
        if clear >= 1.0 {
            return at;
        }
        if clear > best.0 {
            best = (clear, at);
        }
    }
    best.1
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
                @let lines = drawn(piece);
                @for tile in &piece.tiles {
                    @let (tx, ty) = name_place(tile, &lines);
                    text.tilename x=(number(tx + by.0)) y=(number(ty + by.1)) dy=".35em" text-anchor="middle"
                        font-size=(number((17.0 * big).min(tile.window.2 / 3.2))) { (tile.name) }
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

#[cfg(test)]
mod tests {
    use super::*;

    // Catches a name that stands on the line to cut along though its sheet has room beside it, or off its sheet.
    #[test]
    fn a_sheet_s_name_stands_clear_of_the_lines() {
        let tile = TileAt {
            name: "B2".into(),
            page: 1,
            window: (0.0, 0.0, 190.0, 277.0),
        };
        assert_eq!(name_place(&tile, &[]), (95.0, 138.5));
        let across: Vec<Point> = (0..40_u8)
            .map(|i| Point::new(f64::from(i) * 5.0, 138.0))
            .collect();
        let (x, y) = name_place(&tile, &across);
        assert!((y - 138.0).abs() >= room("B2").1, "{y}");
        assert!(x > 0.0 && x < 190.0 && y > 0.0 && y < 277.0);
        // Where lines are everywhere, it stands on its sheet all the same.
        let everywhere: Vec<Point> = (0..20_u8)
            .flat_map(|i| {
                (0..30_u8).map(move |j| Point::new(f64::from(i) * 10.0, f64::from(j) * 10.0))
            })
            .collect();
        let (x, y) = name_place(&tile, &everywhere);
        assert!(x > 0.0 && x < 190.0 && y > 0.0 && y < 277.0);
    }
}
