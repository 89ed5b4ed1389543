//! Making the whole of a half.

use measure::{Angle, Motion, Point};

use super::part::{chain, ring};
use super::stretch::Stretch;
use super::{ON, Spot, finished, unique};
use crate::fault::Fault;
use crate::ring::{Balance, Cut, Dart, Mark, Piece};

/// An edge may lie so far off its chord, in millimetres, and still be opened out.
const STRAIGHT: f64 = 0.1;
/// Edges that meet over the fold and turn there by more than this are two: the point of a godet has
/// two sides, a neckline is one.
const RUNS_ON: f64 = 90.0;

/// Opens a half out over a straight edge: that edge goes, and what was drawn once is there twice.
///
/// What is doubled is called `other side`, `other hip side`; a point on the fold stays single. An
/// edge that runs on over the fold (turning by less than a right angle: hem, waist, neckline)
/// becomes one under its own name. Levels that reach the fold go right across. `Cut on the fold`
/// becomes plain, and a pair of halves becomes single wholes.
///
/// # Errors
/// When there is no such edge, or it is not straight.
pub fn open_out(piece: &Piece, edge: &str) -> Result<Piece, Fault> {
    let index = piece.edge_index(edge)?;
    let fold = &piece.edges[index].curve;
    let (s, e) = (fold.start(), fold.end());
    let bent = || {
        Fault::Says(format!(
            "Only a straight edge can be opened out, and `{edge}` is not straight."
        ))
    };
    let way = (e - s).unit().ok_or_else(bent)?;
    let off = |p: Point| way.cross(p - s).abs();
    let points = fold.flatten(measure::Length::mm(0.01));
    if points.iter().any(|p| off(*p) > STRAIGHT)
        || (fold.length().in_mm() - (e - s).size()) > STRAIGHT
    {
        return Err(bent());
    }
    let over = Motion::reflect(s, way);
    let from = Spot {
        edge: (index + 1) % piece.edges.len(),
        along: 0.0,
    };
    let mut half: Vec<Stretch> = if piece.edges.len() == 1 {
        Vec::new()
    } else {
        chain(
            piece,
            from,
            Spot {
                edge: index,
                along: 0.0,
            },
        )
    };
    if half.is_empty() {
        return Err(Fault::Nothing(format!("`{}`", piece.name)));
    }
    for s in &mut half {
        (s.begins, s.ends) = (true, true);
    }
    let mut twin: Vec<Stretch> = half.iter().rev().map(|s| s.moved(&over)).collect();

    // Where the ring meets the fold it may run on into its own mirror image.
    let turn = |a: &Stretch, b: &Stretch| {
        a.edge
            .curve
            .end_direction()
            .angle_to(b.edge.curve.start_direction())
            .abs()
    };
    let last = half.len() - 1;
    let right_angle = Angle::degrees(RUNS_ON);
    let at_start = turn(&half[last], &twin[0]) <= right_angle;
    let at_end = turn(&twin[last], &half[0]) <= right_angle && (last > 0 || !at_start);

    let names: Vec<String> = piece.edges.iter().map(|e| e.name.clone()).collect();
    let mut taken = names;
    for (i, s) in twin.iter_mut().enumerate() {
        let kept = (i == 0 && at_start) || (i == last && at_end);
        if !kept {
            let name = unique(
                &format!("other {}", s.edge.name),
                taken.iter().map(String::as_str),
            );
            taken.push(name.clone());
            s.edge.name = name;
        }
    }
    if at_start {
        (half[last].ends, twin[0].begins) = (false, false);
    }
    if at_end {
        (twin[last].ends, half[0].begins) = (false, false);
    }
    let dart_names: Vec<&str> = piece.darts.iter().map(|d| d.name.as_str()).collect();
    for s in &mut twin {
        for d in &mut s.darts {
            d.name = unique(&format!("other {}", d.name), dart_names.iter().copied());
        }
    }
    let mut stretches = half;
    stretches.extend(twin);
    let (edges, darts): (_, Vec<Dart>) = ring(piece, stretches)?;

    let mut marks = piece.marks.clone();
    for m in &piece.marks {
        if off(m.point) > ON {
            let name = unique(
                &format!("other {}", m.name),
                marks.iter().map(|m| m.name.as_str()),
            );
            marks.push(Mark {
                name,
                point: over.point(m.point),
            });
        }
    }
    let mut balance = Vec::new();
    for b in &piece.balance {
        let name = b.name.clone();
        match (off(b.from) <= ON, off(b.to) <= ON) {
            (true, true) => balance.push(b.clone()),
            (true, false) => balance.push(Balance {
                name,
                from: over.point(b.to),
                to: b.to,
            }),
            (false, true) => balance.push(Balance {
                name,
                from: b.from,
                to: over.point(b.from),
            }),
            (false, false) => {
                balance.push(b.clone());
                balance.push(Balance {
                    name,
                    from: over.point(b.from),
                    to: over.point(b.to),
                });
            }
        }
    }
    let new = Piece {
        edges,
        darts,
        marks,
        balance,
        cuts: piece.cuts.iter().map(whole).collect(),
        ..piece.clone()
    };
    finished(&[piece], new)
}

/// How the whole is cut where the half was cut so.
fn whole(cut: &Cut) -> Cut {
    Cut {
        cloth: cut.cloth.clone(),
        count: if cut.pair && !cut.on_fold {
            cut.count.div_ceil(2)
        } else {
            cut.count
        },
        on_fold: false,
        pair: false,
    }
}
