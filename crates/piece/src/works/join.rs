//! Laying one piece against another.

use measure::{Angle, Curve, Motion, Point, Vector};

use super::part::{chain, ring};
use super::stretch::Stretch;
use super::{ON, Spot, finished, sane_curve, straight, unique};
use crate::edge::{Edge, Role};
use crate::fault::Fault;
use crate::ring::{Dart, Mark, Piece};

/// Edges that meet at a joint and turn there by less than this run on in one line.
const RUNS_ON: f64 = 2.0;
/// Two edges may differ by this much, in millimetres, or by this share of the shorter one.
const DIFFER: (f64, f64) = (12.7, 0.05);

/// Lays a piece against an edge: the upper ends of the two edges are brought together (the left ends,
/// if an edge is more level than upright), then their other ends into line; turned over if need be, so
/// that `other` lies on the outside. Both edges go.
///
/// Edges that now run on become one with this piece's name: those of the same name, and those of the
/// same role that meet in one line (within 2 degrees). Any other name that is taken gets the name of
/// the piece it came from before it: `yoke side`. Marks and darts likewise. Grain, cuts and label
/// are this piece's.
///
/// A difference in length leaves a small step at the lower (right) end, so that it is seen.
///
/// # Errors
/// When an edge is missing, when they differ by more than 1/2 in and more than 5 %, or when the joined
/// piece would lie over itself.
pub fn join(piece: &Piece, at: &str, other: &Piece, other_at: &str) -> Result<Piece, Fault> {
    let (i, j) = (piece.edge_index(at)?, other.edge_index(other_at)?);
    let (e, f) = (&piece.edges[i].curve, &other.edges[j].curve);
    sane_curve(e)?;
    sane_curve(f)?;
    if piece.edges.len() < 2 || other.edges.len() < 2 {
        return Err(Fault::Says(
            "An edge that goes all round a piece cannot be joined.".to_owned(),
        ));
    }
    let (long, short) = (e.length().max(f.length()), e.length().min(f.length()));
    let off = (long - short).in_mm();
    if off > DIFFER.0 && off > DIFFER.1 * short.in_mm() {
        return Err(Fault::Says(format!(
            "`{at}` and `{other_at}` of {} differ too much in length to be laid together.",
            other.name
        )));
    }
    let looped = || Fault::Nothing(format!("the edge `{at}`"));
    let (e_up, f_up) = (starts_up(e), starts_up(f));
    let other = if e_up == f_up {
        other.moved(&Motion::reflect(f.start(), Vector::DOWN))
    } else {
        other.clone()
    };
    let j = other.edge_index(other_at)?;
    let f = &other.edges[j].curve;
    // Now the two are walked opposite ways; the upper ends meet.
    let (e_from, e_to) = if e_up {
        (e.start(), e.end())
    } else {
        (e.end(), e.start())
    };
    let (f_from, f_to) = if e_up {
        (f.end(), f.start())
    } else {
        (f.start(), f.end())
    };
    let ways = (f_to - f_from).unit().zip((e_to - e_from).unit());
    let (f_way, e_way) = ways.ok_or_else(looped)?;
    let other = other.moved(&Motion::carry(f_from, f_way, e_from, e_way));

    let corner = |p: &Piece, i: usize| {
        let n = p.edges.len();
        let begin = Spot {
            edge: (i + 1) % n,
            along: 0.0,
        };
        let end = Spot {
            edge: i,
            along: 0.0,
        };
        let mut c = chain(p, begin, end);
        for s in &mut c {
            (s.begins, s.ends) = (true, true);
        }
        c
    };
    let mine = corner(piece, i);
    let mut theirs = corner(&other, j);
    closed_up(&mut theirs, e.start(), e.end())?;

    // Which edges run on, at the end of my chain and at its beginning.
    let (m, t) = (mine.len() - 1, theirs.len() - 1);
    let at_end = runs_on(&mine[m], &theirs[0]);
    let at_start = runs_on(&mine[0], &theirs[t]) && !(at_end && t == 0 && m == 0);
    let mut taken: Vec<String> = mine.iter().map(|s| s.edge.name.clone()).collect();
    let mut mine = mine;
    for (k, s) in theirs.iter_mut().enumerate() {
        if k == 0 && at_end {
            s.edge.name.clone_from(&mine[m].edge.name);
            s.begins = false;
        }
        if k == t && at_start {
            // An edge that runs on at both ends has one name.
            if k == 0 && at_end {
                let old = mine[0].edge.name.clone();
                let one = mine[m].edge.name.clone();
                for s in mine.iter_mut().filter(|s| s.edge.name == old) {
                    s.edge.name.clone_from(&one);
                }
            } else {
                s.edge.name.clone_from(&mine[0].edge.name);
            }
            s.ends = false;
        }
        if (k == 0 && at_end) || (k == t && at_start) {
            continue;
        }
        if taken.contains(&s.edge.name) {
            s.edge.name = from_other(&s.edge.name, &other.name, &taken);
        }
        taken.push(s.edge.name.clone());
    }
    if at_end {
        mine[m].ends = false;
    }
    if at_start {
        mine[0].begins = false;
    }

    let darts: Vec<String> = piece.darts.iter().map(|d| d.name.clone()).collect();
    for s in &mut theirs {
        for d in &mut s.darts {
            if darts.contains(&d.name) {
                d.name = from_other(&d.name, &other.name, &darts);
            }
        }
    }
    let mut stretches = mine;
    stretches.extend(theirs);
    let (edges, darts): (Vec<Edge>, Vec<Dart>) = ring(piece, stretches)?;

    let mut marks = piece.marks.clone();
    let mut names: Vec<String> = marks.iter().map(|m| m.name.clone()).collect();
    for m in &other.marks {
        let same = piece.mark(&m.name);
        if same.is_some_and(|p| (p - m.point).size() < ON) {
            continue;
        }
        let name = if names.contains(&m.name) {
            from_other(&m.name, &other.name, &names)
        } else {
            m.name.clone()
        };
        names.push(name.clone());
        marks.push(Mark {
            name,
            point: m.point,
        });
    }
    let mut balance = piece.balance.clone();
    balance.extend(other.balance.iter().cloned());
    let new = Piece {
        edges,
        darts,
        marks,
        balance,
        ..piece.clone()
    };
    finished(&[piece, &other], new)
}

/// Whether the edge's upper end is its beginning; of a level edge, its left end.
fn starts_up(c: &Curve) -> bool {
    let v = c.end() - c.start();
    if v.y.abs() >= v.x.abs() {
        v.y >= 0.0
    } else {
        v.x >= 0.0
    }
}

/// The other piece's chain begins and ends on the corners of the edge against which it is laid; a
/// difference is bridged straight.
fn closed_up(chain: &mut [Stretch], from: Point, to: Point) -> Result<(), Fault> {
    // My edge runs from `from` to `to`; the other's chain runs from its beginning to its end.
    let last = chain.len() - 1;
    let first = chain[0].clone();
    chain[0] = if (first.edge.curve.start() - from).size() < ON {
        first
    } else {
        first.begun_at(from)?
    };
    let end = chain[last].clone();
    chain[last] = if (end.edge.curve.end() - to).size() < ON {
        end
    } else {
        straight(end.edge.curve.end(), to, "the joint")?;
        end.ended_at(to)?
    };
    Ok(())
}

/// Whether two edges that meet at the joint are one from now on.
fn runs_on(a: &Stretch, b: &Stretch) -> bool {
    let same = a.edge.role == b.edge.role;
    if a.edge.name == b.edge.name {
        return same;
    }
    let ends = [
        (a.edge.curve.end(), b.edge.curve.start()),
        (a.edge.curve.start(), b.edge.curve.end()),
    ];
    let turn = if (ends[0].0 - ends[0].1).size() < ON {
        a.edge
            .curve
            .end_direction()
            .angle_to(b.edge.curve.start_direction())
    } else if (ends[1].0 - ends[1].1).size() < ON {
        b.edge
            .curve
            .end_direction()
            .angle_to(a.edge.curve.start_direction())
    } else {
        return false;
    };
    same && a.edge.role != Role::Opening && turn.abs() <= Angle::degrees(RUNS_ON)
}

/// A name with the piece it came from before it.
fn from_other(name: &str, piece: &str, taken: &[String]) -> String {
    unique(&format!("{piece} {name}"), taken.iter().map(String::as_str))
}
