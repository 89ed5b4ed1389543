//! The two halves of a piece laid on each other: whether they are one pattern, and how they open out flat.

use measure::{Curve, Motion, Point};
use piece::{Balance, Cut, Dart, Edge, Grain, Mark, Piece};

use super::{ALIKE, ending};
use crate::correction::Side;
use crate::handed::other;

/// Whether a line is straight, within what a fold may be.
pub(super) fn straight(line: &Curve) -> bool {
    (line.end() - line.start()).size() > 1.0
        && (line.length().in_mm() - (line.end() - line.start()).size()).abs() < 0.05
}

/// Whether two pieces are one pattern.
pub(super) fn alike(one: &Piece, two: &Piece) -> bool {
    let near = |a: Point, b: Point| (a - b).size() <= ALIKE;
    let lies = |a: &Edge, b: &Edge| {
        let (long, other) = (a.curve.length(), b.curve.length());
        (long - other).in_mm().abs() <= 2.0 * ALIKE
            && (0..=16).all(|i| {
                let share = f64::from(i) / 16.0;
                near(
                    a.curve.at(long * share).point,
                    b.curve.at(other * share).point,
                )
            })
    };
    let taken = |a: &Dart, b: &Dart| {
        near(a.tip, b.tip)
            && (a.mouth.0 - b.mouth.0).in_mm().abs() <= 2.0 * ALIKE
            && (a.mouth.1 - b.mouth.1).in_mm().abs() <= 2.0 * ALIKE
    };
    one.edges.len() == two.edges.len()
        && one.darts.len() == two.darts.len()
        && one.edges.iter().zip(&two.edges).all(|(a, b)| lies(a, b))
        && one.darts.iter().zip(&two.darts).all(|(a, b)| taken(a, b))
}

/// The two halves of a piece on the fold, opened out flat: one as it is drawn, for the side `drawn`, the
/// other turned over the fold.
pub(super) fn opened(
    name: &str,
    own: &Piece,
    twin: &Piece,
    fold: usize,
    drawn: Side,
) -> Option<Piece> {
    let line = &own.edges[fold].curve;
    let (s, e) = (line.start(), line.end());
    let way = (e - s).unit()?;
    let over = Motion::reflect(s, way);
    let twin = twin.moved(&over);
    let fold_name = &own.edges[fold].name;
    let twin_fold = twin.edge_index(fold_name).ok()?;
    // The edges of a half from the one end of its fold to the other.
    let chain = |p: &Piece, fold: usize, side: Side, from: Point, to: Point| -> Option<Vec<Edge>> {
        let n = p.edges.len();
        let mut edges: Vec<Edge> = (1..n).map(|i| p.edges[(fold + i) % n].clone()).collect();
        let last = edges.len().checked_sub(1)?;
        let ends = |c: &Curve, start: Point, end: Point| c.with_ends(start, end).ok();
        edges[0].curve = ends(&edges[0].curve, from, edges[0].curve.end())?;
        edges[last].curve = ends(&edges[last].curve, edges[last].curve.start(), to)?;
        for edge in &mut edges {
            edge.name = format!("{}{}", edge.name, ending(side));
        }
        Some(edges)
    };
    let side = other(drawn);
    let mut edges = chain(own, fold, drawn, e, s)?;
    edges.extend(chain(&twin, twin_fold, side, s, e)?);

    let off = |p: Point| way.cross(p - s).abs();
    let on_fold = |p: Point| off(p) <= 0.01;
    let mut darts: Vec<Dart> = Vec::new();
    let mut marks: Vec<Mark> = Vec::new();
    for (piece, side) in [(own, drawn), (&twin, side)] {
        let named = |name: &str| format!("{name}{}", ending(side));
        darts.extend(piece.darts.iter().map(|d| Dart {
            name: named(&d.name),
            edge: named(&d.edge),
            ..d.clone()
        }));
        for mark in &piece.marks {
            if !on_fold(mark.point) {
                marks.push(Mark {
                    name: named(&mark.name),
                    ..mark.clone()
                });
            } else if !marks.iter().any(|m| m.name == mark.name) {
                marks.push(mark.clone());
            }
        }
    }
    // A level that reaches the fold goes right across.
    let mut balance: Vec<Balance> = Vec::new();
    for (one, two) in own.balance.iter().zip(&twin.balance) {
        let out = |b: &Balance| match (on_fold(b.from), on_fold(b.to)) {
            (true, false) => Some(b.to),
            (false, true) => Some(b.from),
            _ => None,
        };
        match (out(one), out(two)) {
            (Some(to), Some(from)) => balance.push(Balance {
                name: one.name.clone(),
                from,
                to,
            }),
            _ => balance.extend([one.clone(), two.clone()]),
        }
    }
    balance.push(Balance {
        name: fold_name.clone(),
        from: s,
        to: e,
    });
    // The grain lies on the old fold.
    let grain = own.grain.map(|g| {
        let along = g.to - g.from;
        if along.unit().is_none_or(|u| u.cross(way).abs() > 0.01) {
            return g;
        }
        let foot = |p: Point| s + way * (p - s).dot(way);
        Grain {
            from: foot(g.from),
            to: foot(g.to),
        }
    });
    let cuts = own.cuts.iter().map(|c| Cut {
        on_fold: false,
        pair: false,
        ..c.clone()
    });
    Some(Piece {
        name: name.to_owned(),
        edges,
        darts,
        marks,
        balance,
        grain,
        cuts: cuts.collect(),
        label: own.label.clone(),
    })
}
