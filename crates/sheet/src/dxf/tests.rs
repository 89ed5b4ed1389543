//! What the file says, read pair by pair.

use super::*;
use crate::SheetPiece;
use crate::samples;

/// A pair of the file.
type Pair = (i64, String);

/// Reads the pairs; a value that holds a line end would tear them apart.
fn pairs(text: &str) -> Vec<Pair> {
    let lines: Vec<&str> = text.split_terminator("\r\n").collect();
    assert_eq!(lines.len() % 2, 0, "an odd number of lines");
    lines
        .chunks(2)
        .map(|l| {
            (
                l[0].parse().unwrap_or_else(|_| panic!("{l:?}")),
                l[1].to_owned(),
            )
        })
        .collect()
}

/// The entities of a block: kind, layer, and its pairs.
fn entities(all: &[Pair], block: &str) -> Vec<Vec<Pair>> {
    let mut out: Vec<Vec<Pair>> = Vec::new();
    let mut inside = false;
    for (i, pair) in all.iter().enumerate() {
        if pair.0 == 0 {
            if pair.1 == "BLOCK" {
                inside = all[i..i + 4].iter().any(|p| p.0 == 2 && p.1 == block);
            }
            if pair.1 == "ENDBLK" {
                inside = false;
            }
            if inside {
                out.push(Vec::new());
            }
        }
        if let (true, Some(entity)) = (inside, out.last_mut()) {
            entity.push(pair.clone());
        }
    }
    out
}

fn of(entities: &[Vec<Pair>], kind: &str, layer: &str) -> Vec<Vec<Pair>> {
    entities
        .iter()
        .filter(|e| e[0].1 == kind && e[1] == (8, layer.to_owned()))
        .cloned()
        .collect()
}

fn at(entity: &[Pair]) -> (f64, f64) {
    let real = |code| {
        entity
            .iter()
            .find(|p| p.0 == code)
            .unwrap()
            .1
            .parse()
            .unwrap()
    };
    (real(10), real(20))
}

// Catches an outline that is scaled, mirrored, turned over twice or not at all: a square of 100 mm
// with 10 mm allowed, of which every figure can be written down.
#[test]
fn a_square_is_where_it_was_drawn_with_y_turned_up() {
    let c = [(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)].map(|(x, y)| Point::new(x, y));
    let edges = (0..4)
        .map(|i| {
            let curve = measure::Curve::line(c[i], c[(i + 1) % 4]).unwrap();
            let mut e = piece::Edge::plain(format!("edge {i}"), curve);
            e.allowance = piece::Allowance::even(measure::Length::mm(10.0));
            e
        })
        .collect();
    let mut order = Order::new("Square");
    order.pieces = vec![SheetPiece::new(
        piece::Piece::from_edges("cloth", edges).unwrap(),
    )];
    let all = pairs(&pattern_dxf(&order).unwrap());
    let block = entities(&all, "CLOTH");
    let sorted = |kind, layer| {
        let mut v: Vec<(f64, f64)> = of(&block, kind, layer).iter().map(|e| at(e)).collect();
        v.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        v
    };
    let sewn = [(0.0, -60.0), (0.0, 0.0), (100.0, -60.0), (100.0, 0.0)];
    let cut = [(-10.0, -70.0), (-10.0, 10.0), (110.0, -70.0), (110.0, 10.0)];
    assert_eq!(sorted("VERTEX", SEW), sewn);
    // Where the corners begin the line runs straight on.
    assert_eq!(sorted("POINT", TURN), cut);
    let vertices = sorted("VERTEX", BOUNDARY);
    assert!(cut.iter().all(|c| vertices.contains(c)));
    for (x, y) in &vertices {
        let on = |v: f64, ends: [f64; 2]| ends.contains(&v);
        assert!(on(*x, [-10.0, 110.0]) || on(*y, [-70.0, 10.0]), "{x} {y}");
    }
    let marked = sorted("POINT", TURN).len() + sorted("POINT", CURVE).len();
    assert_eq!(marked, vertices.len());
}

// Catches a piece without its block, a block without its lines, layers that are mixed up.
#[test]
fn the_demo_order_has_every_line_on_its_layer() {
    let order = samples::order();
    let all = pairs(&pattern_dxf(&order).unwrap());
    let blocks: Vec<&String> = all
        .windows(3)
        .filter(|w| w[0] == (0, "BLOCK".to_owned()))
        .map(|w| &w[2].1)
        .collect();
    assert_eq!(
        blocks,
        [SQUARE_BLOCK, "FRONT", "BACK", "WAISTBAND", "FRONT_FACING"]
    );
    for (name, given) in blocks[1..].iter().zip(&order.pieces) {
        let p = &given.piece;
        let block = entities(&all, name);
        for layer in [BOUNDARY, SEW] {
            let rings = of(&block, "POLYLINE", layer);
            assert_eq!(rings.len(), 1, "{name}");
            assert!(
                rings[0].contains(&(70, "1".to_owned())),
                "{name} is not closed"
            );
        }
        let snips: usize = p
            .edges
            .iter()
            .flat_map(|e| &e.notches)
            .map(|n| usize::from(n.snips))
            .sum();
        assert_eq!(
            of(&block, "POINT", NOTCH).len(),
            snips + 2 * p.darts.len(),
            "{name}"
        );
        assert_eq!(
            of(&block, "LINE", GRAIN).len(),
            usize::from(p.grain.is_some()),
            "{name}"
        );
        assert_eq!(
            of(&block, "LINE", FOLD).len(),
            usize::from(p.fold().is_some()),
            "{name}"
        );
        let inner = p.balance.len() + given.alterations.len() + 2 * p.darts.len();
        assert_eq!(of(&block, "LINE", INNER).len(), inner, "{name}");
        assert_eq!(of(&block, "POINT", DRILL).len(), p.darts.len(), "{name}");
        assert!(!of(&block, "TEXT", NOTE).is_empty(), "{name}");
    }
    assert_eq!(all.last().unwrap().1, "EOF");
    assert_eq!(all.iter().filter(|p| p.1 == "INSERT").count(), 5);
}

// Catches a text that brings pairs, escapes or letters of its own into the file, and two pieces in
// one block.
#[test]
fn odd_names_stay_texts_and_blocks_stay_apart() {
    let mut order = samples::order();
    let names = ["a\r\n0\r\nEOF\r\n", "Ä side", "a side!", "שלום"];
    for (piece, name) in order.pieces.iter_mut().zip(names) {
        name.clone_into(&mut piece.piece.name);
    }
    order.title = format!("100 %%d ^J \\U+00E9 {}", "long ".repeat(200));
    order.version = "Test square 100 mm".to_owned();
    order.remarks = vec!["Ế\n999\nnote".to_owned()];
    let text = pattern_dxf(&order).unwrap();
    assert!(text.is_ascii());
    let all = pairs(&text);
    assert_eq!(all.iter().filter(|p| p.0 == 0 && p.1 == "EOF").count(), 1);
    assert!(all.iter().all(|p| p.1.len() <= 255 + 12));
    assert!(
        all.iter()
            .all(|p| !p.1.contains("%%") && !p.1.contains(['^', '\\']))
    );
    let blocks: Vec<&str> = all
        .windows(3)
        .filter(|w| w[0] == (0, "BLOCK".to_owned()))
        .map(|w| w[2].1.as_str())
        .collect();
    assert_eq!(
        blocks,
        [SQUARE_BLOCK, "A_0_EOF", "A_SIDE", "A_SIDE_2", "PIECE_4"]
    );
    assert_eq!(
        block_name("test square 100 mm", 1, &[]),
        "TEST_SQUARE_100_MM_2"
    );
}

// Catches a file that is made of nothing.
/// Would catch a client's name in the file that goes to others: without a code, paper bears her name.
#[test]
fn no_client_is_named() {
    let mut order = samples::order();
    order.client = "Nora Vale".to_owned();
    for code in ["DEMO-07", ""] {
        order.code = code.to_owned();
        let text = pattern_dxf(&order).unwrap();
        assert!(!text.contains("Nora") && !text.contains("Vale"), "{code}");
        assert_eq!(text.contains("DEMO-07"), !code.is_empty());
        assert!(text.contains(&order.version));
    }
}

#[test]
fn without_pieces_there_is_no_file() {
    assert_eq!(pattern_dxf(&Order::new("Empty")), Err(SheetFault::Nothing));
}
