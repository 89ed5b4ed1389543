//! Keeping a strip along an edge: a facing.

use measure::{Curve, Length, Motion, Point, Vector};

use super::follow::carried;
use super::grain::grain_on;
use super::part::ring;
use super::sewn::Sewn;
use super::stretch::Stretch;
use super::{ON, SAME, finished, sane_curve, sane_length, unique};
use crate::edge::{Edge, Role};
use crate::fault::Fault;
use crate::ring::{Mark, Piece};

/// Keeps a strip along an edge, so deep, with the darts in it closed: a facing. What bounds it on the
/// inside is the edge `inner edge`, a true offset; its ends keep the names of the edges they came
/// from. The end with the fold stays where it is, else the beginning.
///
/// # Errors
/// When there is no such edge, when the depth is nothing, or when the strip is deeper than the piece.
pub fn strip(piece: &Piece, along: &str, deep: Length) -> Result<Piece, Fault> {
    let index = piece.edge_index(along)?;
    let depth = sane_length(deep)?.in_mm();
    if depth < 0.1 {
        return Err(Fault::Says("A strip needs some depth.".to_owned()));
    }
    let n = piece.edges.len();
    if n < 2 {
        return Err(Fault::Says(format!(
            "`{along}` goes all round the piece; a strip needs ends."
        )));
    }
    sane_curve(&piece.edges[index].curve)?;
    let sewn = Sewn::of(piece, along)?;
    let (before, after) = ((index + n - 1) % n, (index + 1) % n);
    let folds = |i: usize| piece.edges[i].role == Role::Fold;
    // The sewn edge is told with its beginning still; with the fold at its end, that end is still.
    let still = if folds(after) && !folds(before) {
        sewn.last().back
    } else {
        Motion::STILL
    };
    let top = sewn.curve.moved(&still);
    let too_deep = || {
        Fault::Says(format!(
            "The strip along `{along}` would be deeper than the piece."
        ))
    };
    let inner = top.offset(-deep).map_err(|_| too_deep())?;

    let reach = 4.0 * depth;
    let straight_on = |from: Point, way: Vector| Curve::line(from, from + way * reach);
    let head = straight_on(inner.start(), -inner.start_direction())
        .map_err(|_| too_deep())?
        .reversed();
    let tail = straight_on(inner.end(), inner.end_direction()).map_err(|_| too_deep())?;
    let long = Curve::joined([&head, &inner, &tail]).map_err(|_| too_deep())?;

    // Down from both ends of the edge, until the inner line is met.
    let down = |back: bool| -> Result<(Vec<Stretch>, f64), Fault> {
        let motion = if back {
            still
        } else {
            sewn.last().there.then(&still)
        };
        let mut out = Vec::new();
        for k in 1..n {
            let i = if back {
                (index + n - k) % n
            } else {
                (index + k) % n
            };
            let s = Stretch::whole(piece, i).moved(&motion);
            let whole = s.length();
            let mut met: Vec<(f64, f64)> = s
                .edge
                .curve
                .crossings(&long)
                .into_iter()
                .map(|x| (x.first.in_mm(), x.second.in_mm()))
                .collect();
            if back {
                met.reverse();
            }
            let Some((here, there)) = met.first().copied() else {
                out.push(s);
                continue;
            };
            let part = if back {
                s.between(here, whole)
            } else {
                s.between(0.0, here)
            };
            if let Some(mut part) = part {
                (part.begins, part.ends) = (true, true);
                out.push(part);
            }
            return Ok((out, there));
        }
        Err(too_deep())
    };
    let (mut left, from) = down(true)?;
    let (right, to) = down(false)?;
    if left.len() + right.len() > n - 1 && n > 2 {
        return Err(too_deep());
    }
    if to - from < SAME {
        return Err(too_deep());
    }
    let inner = long
        .sub(Length::mm(from), Length::mm(to))
        .map_err(|_| too_deep())?
        .reversed();

    let edge = &piece.edges[index];
    let top_edge = Edge {
        curve: top.clone(),
        ..carried(edge, &|l| sewn.along(l))
    };
    let mut stretches = vec![Stretch {
        edge: top_edge,
        darts: Vec::new(),
        begins: true,
        ends: true,
    }];
    stretches.extend(right);
    let name = unique("inner edge", piece.edges.iter().map(|e| e.name.as_str()));
    stretches.push(Stretch {
        edge: Edge::plain(name, inner),
        darts: Vec::new(),
        begins: true,
        ends: true,
    });
    left.reverse();
    stretches.extend(left);
    // With two edges both ends come from the same one, and are two ends now.
    let mut names: Vec<String> = Vec::new();
    for s in &mut stretches {
        s.edge.name = unique(&s.edge.name, names.iter().map(String::as_str));
        names.push(s.edge.name.clone());
    }
    let (edges, darts) = ring(piece, stretches)?;

    let moved = |p: Point| {
        let near = edge.curve.nearest(p);
        sewn.section(near.along.in_mm()).there.then(&still).point(p)
    };
    let mut new = Piece {
        edges,
        darts,
        marks: Vec::new(),
        balance: Vec::new(),
        ..piece.clone()
    };
    for m in piece.marks.iter().filter(|m| m.point.is_finite()) {
        let point = moved(m.point);
        let on = new
            .edges
            .iter()
            .any(|e| e.curve.nearest(point).distance.in_mm() < ON);
        if on || new.holds(point) {
            new.marks.push(Mark {
                name: m.name.clone(),
                point,
            });
        }
    }
    new.grain = piece.grain.map(|g| {
        let middle = g.from.toward(g.to, 0.5);
        let by = sewn
            .section(edge.curve.nearest(middle).along.in_mm())
            .there
            .then(&still);
        grain_on(
            &new.edges,
            crate::ring::Grain {
                from: by.point(g.from),
                to: by.point(g.to),
            },
        )
    });
    finished(&[piece], new)
}
