//! Cutting a piece along a line and keeping one part.

use measure::{Curve, Length, Motion, Point};

use super::dart::{leg, mouth_on};
use super::grain::grain_on;
use super::part::{Part, chain, dealt, part_of, parted, ring, staying};
use super::stretch::Stretch;
use super::{
    ON, SAME, Spot, finished, nearest_spot, point_at, sane_curve, sane_point, straight, unique,
};
use crate::edge::{Edge, Role};
use crate::fault::Fault;
use crate::ring::{Balance, Cut, Dart, Piece};

/// A line may stop this short of the outline, in millimetres.
const SHORT: f64 = 1.0;
/// A mouth narrower than this, in millimetres, is not worth sewing and is left out.
const LITTLE: f64 = 0.5;

/// Cuts a piece along a line and keeps the part in which `keep` lies. The new edge is a plain seam
/// with the name `new_edge`. The line may end on the outline, stick out beyond it, or stop up to 1 mm
/// short; where it crosses the piece several times, it is cut each time.
///
/// **Darts.** A dart wholly on one side stays with it. Cut across, the part with its point keeps what
/// is left of it (same point, same angle, legs equal, square to the new edge), and the part with its
/// mouth, where nothing is left to sew it to, is laid together along the legs as one does with a yoke:
/// there the dart is gone. Cut lengthwise through its point (a panel line), each part gets its own
/// leg as part of the new edge (common practice, no source).
///
/// A part that has lost the fold is cut as a pair.
///
/// # Errors
/// When the line does not cross the piece, or runs into a dart lengthwise beside its point.
pub fn cut_along(piece: &Piece, line: &Curve, new_edge: &str, keep: Point) -> Result<Piece, Fault> {
    sane_curve(line)?;
    sane_point(keep)?;
    let line = reaching(piece, line)?;
    let chords = chords(piece, &line);
    if chords.is_empty() {
        return Err(Fault::Says(
            "The line to cut along does not cross the piece from edge to edge.".to_owned(),
        ));
    }
    let mut part = piece.clone();
    for (a, b) in chords {
        let Ok(chord) = line.sub(Length::mm(a), Length::mm(b)) else {
            continue;
        };
        let middle = chord.at(chord.length() * 0.5).point;
        if part.holds(middle) && nearest_spot(&part, middle).1 > 1e-3 {
            part = cut_once(&part, &chord, new_edge, keep)?;
        }
    }
    if let Some(g) = part.grain {
        part.grain = Some(grain_on(&part.edges, g));
    }
    let had = piece.edges.iter().any(|e| e.role == Role::Fold);
    if had && !part.edges.iter().any(|e| e.role == Role::Fold) {
        part.cuts = part.cuts.iter().map(off_the_fold).collect();
    }
    finished(&[piece], part)
}

/// A part of a piece on the fold that the fold does not touch is needed on both sides.
fn off_the_fold(cut: &Cut) -> Cut {
    if cut.on_fold {
        Cut {
            count: cut.count.saturating_mul(2),
            on_fold: false,
            pair: true,
            ..cut.clone()
        }
    } else {
        cut.clone()
    }
}

/// The line carried on by a little at an end that lies on the outline or just short of it, so that it
/// crosses there for certain.
fn reaching(piece: &Piece, line: &Curve) -> Result<Curve, Fault> {
    let none = |_| Fault::Nothing("the line to cut along".to_owned());
    let mut out = line.clone();
    let ahead = 2.0 * SHORT;
    if nearest_spot(piece, line.start()).1 <= SHORT {
        let head = Curve::line(line.start() - line.start_direction() * ahead, line.start())
            .map_err(none)?;
        out = Curve::joined([&head, &out]).map_err(none)?;
    }
    if nearest_spot(piece, line.end()).1 <= SHORT {
        let tail =
            Curve::line(line.end(), line.end() + line.end_direction() * ahead).map_err(none)?;
        out = Curve::joined([&out, &tail]).map_err(none)?;
    }
    Ok(out)
}

/// The stretches of the line that lie inside the piece, from edge to edge.
fn chords(piece: &Piece, line: &Curve) -> Vec<(f64, f64)> {
    let mut at: Vec<f64> = piece
        .edges
        .iter()
        .flat_map(|e| e.curve.crossings(line))
        .map(|x| x.second.in_mm())
        .collect();
    at.sort_by(f64::total_cmp);
    at.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    at.windows(2)
        .filter(|w| {
            let middle = line.at(Length::mm(0.5 * (w[0] + w[1]))).point;
            w[1] - w[0] > ON && piece.holds(middle) && nearest_spot(piece, middle).1 > 1e-3
        })
        .map(|w| (w[0], w[1]))
        .collect()
}

/// What the cut does to a dart.
enum Meets {
    /// It stays with its mouth.
    Not,
    /// The mouth and the point come on different sides.
    Across,
    /// The cut begins (or ends) in its mouth and runs through its point.
    Lengthwise { at_start: bool },
}

fn meets(piece: &Piece, dart: &Dart, chord: &Curve, ends: [Spot; 2]) -> Result<Meets, Fault> {
    let index = piece.edge_index(&dart.edge)?;
    let edge = &piece.edges[index].curve;
    let tip = sane_point(dart.tip)?;
    let (m0, m1) = (dart.mouth.0.in_mm(), dart.mouth.1.in_mm());
    let legs = [leg(edge, dart.mouth.0, tip)?, leg(edge, dart.mouth.1, tip)?];
    let through = chord.nearest(tip).distance.in_mm() <= SHORT;
    let beside = || {
        Fault::Says(format!(
            "The cut runs into the dart `{}`: let it run through the dart's point, or close the dart first.",
            dart.name
        ))
    };
    let whole = chord.length().in_mm();
    for (k, spot) in ends.iter().enumerate() {
        if spot.edge != index || spot.along < m0 - 1e-3 || spot.along > m1 + 1e-3 {
            continue;
        }
        if through {
            return Ok(Meets::Lengthwise { at_start: k == 0 });
        }
        let within = spot.along > m0 + 1e-3 && spot.along < m1 - 1e-3;
        let step = (0.01 * whole).min(1.0);
        let next = chord
            .at(Length::mm(if k == 0 { step } else { whole - step }))
            .point;
        let wedge = [
            edge.at(dart.mouth.0).point,
            edge.at(dart.mouth.1).point,
            tip,
        ];
        if within || super::part::inside(&wedge, next) {
            return Err(beside());
        }
        return Ok(Meets::Not);
    }
    let crossed = legs
        .iter()
        .map(|l| {
            l.crossings(chord)
                .iter()
                .filter(|x| (x.point - tip).size() > 1e-3)
                .count()
        })
        .collect::<Vec<_>>();
    match (crossed[0], crossed[1]) {
        (0, 0) => Ok(Meets::Not),
        (1, 1) => Ok(Meets::Across),
        _ => Err(beside()),
    }
}

/// One cut, from edge to edge.
fn cut_once(piece: &Piece, chord: &Curve, new_edge: &str, keep: Point) -> Result<Piece, Fault> {
    let none = |_| Fault::Nothing("the line to cut along".to_owned());
    let mut from = nearest_spot(piece, chord.start()).0;
    let mut to = nearest_spot(piece, chord.end()).0;
    let chord = chord
        .with_ends(point_at(piece, from), point_at(piece, to))
        .map_err(none)?;
    let ends = [from, to];

    // `back` leads from the end of the first part's chain to its beginning, `there` of the second's.
    let (mut from2, mut to2) = (from, to);
    let (mut back, mut there) = (chord.reversed(), chord.clone());
    let mut across: Vec<CutAcross> = Vec::new();
    let mut gone: Vec<&str> = Vec::new();
    for d in &piece.darts {
        match meets(piece, d, &chord, ends)? {
            Meets::Not => {}
            Meets::Across => {
                let edge = &piece.edge(&d.edge)?.curve;
                across.push(CutAcross {
                    dart: d.clone(),
                    mouth: [edge.at(d.mouth.0).point, edge.at(d.mouth.1).point],
                });
            }
            Meets::Lengthwise { at_start } => {
                gone.push(&d.name);
                let edge = &piece.edges[piece.edge_index(&d.edge)?].curve;
                let (la, lb) = (leg(edge, d.mouth.0, d.tip)?, leg(edge, d.mouth.1, d.tip)?);
                let spot = |l: Length| Spot {
                    edge: if at_start { ends[0].edge } else { ends[1].edge },
                    along: l.in_mm(),
                };
                if at_start {
                    (from, from2) = (spot(d.mouth.1), spot(d.mouth.0));
                    back = ended_by(&back, d.tip, &lb.reversed())?;
                    there = ended_by(&there.reversed(), d.tip, &la.reversed())?.reversed();
                } else {
                    (to, to2) = (spot(d.mouth.0), spot(d.mouth.1));
                    back = ended_by(&back.reversed(), d.tip, &la.reversed())?.reversed();
                    there = ended_by(&there, d.tip, &lb.reversed())?;
                }
            }
        }
    }
    let mut bare = piece.clone();
    bare.darts.retain(|d| !gone.contains(&d.name.as_str()));
    let parts = [
        Part::new(chain(&bare, from, to), &[&back])?,
        Part::new(chain(&bare, to2, from2), &[&there])?,
    ];
    let kept = if parts[0].away(keep) < ON && parts[1].away(keep) < ON {
        let (a, b) = (part_of(&parts, 0, keep), part_of(&parts, 1, keep));
        if a != b {
            return Err(Fault::Says(
                "The point whose part is to be kept lies on the cut itself.".to_owned(),
            ));
        }
        a
    } else {
        part_of(&parts, 0, keep)
    };

    let mut stretches = parts[kept].stretches.clone();
    let name = unique(new_edge, stretches.iter().map(|s| s.edge.name.as_str()));
    stretches.push(Stretch {
        edge: Edge::plain(
            name.clone(),
            if kept == 0 {
                back.clone()
            } else {
                there.clone()
            },
        ),
        darts: Vec::new(),
        begins: true,
        ends: true,
    });
    let (edges, darts) = ring(piece, stretches)?;
    let mine = |p: Point| p.is_finite() && part_of(&parts, kept, p) == kept;
    let mut balance = Vec::new();
    for level in &piece.balance {
        for (a, b) in parted(level, &[&back, &there]) {
            if mine(a.toward(b, 0.5)) {
                balance.push(Balance {
                    name: level.name.clone(),
                    from: a,
                    to: b,
                });
            }
        }
    }
    let mut part = Piece {
        edges,
        darts,
        marks: piece
            .marks
            .iter()
            .filter(|m| mine(m.point))
            .cloned()
            .collect(),
        balance,
        ..piece.clone()
    };
    for d in across {
        part = if part.darts.iter().any(|o| o.name == d.dart.name) {
            laid_together(&part, &d.dart.name, &name)?
        } else {
            rest_of(part, &d, &name)?
        };
    }
    Ok(part)
}

/// A line walked until it passes a dart's point, and then along a leg to the mouth.
fn ended_by(line: &Curve, tip: Point, leg: &Curve) -> Result<Curve, Fault> {
    let none = |_| Fault::Nothing("the line to cut along".to_owned());
    let near = line.nearest(tip);
    if near.along.in_mm() < SAME {
        return Ok(leg.clone());
    }
    let head = line.sub(Length::ZERO, near.along).map_err(none)?;
    let head = head.with_ends(head.start(), tip).map_err(none)?;
    Curve::joined([&head, leg]).map_err(none)
}

/// A dart that was cut across, with the two ends of its mouth on the paper.
struct CutAcross {
    dart: Dart,
    mouth: [Point; 2],
}

/// The part with the point of a dart that was cut across keeps what is left of it.
fn rest_of(mut part: Piece, cut: &CutAcross, new_edge: &str) -> Result<Piece, Fault> {
    let edge = &part.edge(new_edge)?.curve;
    let tip = cut.dart.tip;
    let [p, q] = cut.mouth;
    let far = edge.nearest(tip).distance.in_mm();
    let angle = (p - tip).angle_to(q - tip);
    if far * angle.in_radians().abs() < LITTLE {
        return Ok(part);
    }
    let mouth = (p.toward(q, 0.5) - tip)
        .unit()
        .and_then(|way| mouth_on(edge, tip, way, angle, far))
        .ok_or_else(|| {
            Fault::Says(format!(
                "What is left of the dart `{}` finds no place in the cut; close it or swing it first.",
                cut.dart.name
            ))
        })?;
    part.darts.push(Dart {
        edge: new_edge.to_owned(),
        mouth,
        ..cut.dart.clone()
    });
    Ok(part)
}

/// The part with the mouth of a dart that was cut across is laid together along its legs.
fn laid_together(part: &Piece, name: &str, new_edge: &str) -> Result<Piece, Fault> {
    let none = || Fault::Nothing(format!("the part beside the dart `{name}`"));
    let d = part.dart(name)?.clone();
    let index = part.edge_index(&d.edge)?;
    let cut = part.edge_index(new_edge)?;
    let edge = &part.edges[index].curve;
    let legs = [leg(edge, d.mouth.0, d.tip)?, leg(edge, d.mouth.1, d.tip)?];
    let met = |l: &Curve| {
        part.edges[cut]
            .curve
            .crossings(l)
            .first()
            .map(|x| Spot {
                edge: cut,
                along: x.first.in_mm(),
            })
            .ok_or_else(none)
    };
    let (on_a, on_b) = (met(&legs[0])?, met(&legs[1])?);
    let spot = |l: Length| Spot {
        edge: index,
        along: l.in_mm(),
    };
    let (a, b) = (spot(d.mouth.0), spot(d.mouth.1));
    let (pa, pb) = (point_at(part, a), point_at(part, b));
    let mut bare = part.clone();
    bare.darts.retain(|o| o.name != name);
    let down_b = straight(point_at(part, on_b), pb, "the dart's leg")?;
    let down_a = straight(pa, point_at(part, on_a), "the dart's leg")?;
    let parts = [
        Part::new(chain(&bare, b, on_b), &[&down_b])?,
        Part::new(chain(&bare, on_a, a), &[&down_a])?,
    ];
    let stays = staying(&parts);
    let angle = (pb - d.tip).angle_to(pa - d.tip);
    let by = Motion::turn(d.tip, if stays == 1 { angle } else { -angle });
    let (marks, balance, grain) = dealt(&bare, &parts, stays, &[&down_a, &down_b], &by);
    let [after, before] = parts;
    let (mut after, mut before) = if stays == 1 {
        (after.moved(&by), before.stretches)
    } else {
        (after.stretches, before.moved(&by))
    };
    // A slanting cut leaves a little step where the legs meet; it is trued to its middle.
    if let (Some(l), Some(f)) = (after.last_mut(), before.first_mut()) {
        let (p, q) = (l.edge.curve.end(), f.edge.curve.start());
        let middle = p.toward(q, 0.5);
        let bent = |c: &Curve, from: Point, to: Point| c.with_ends(from, to).map_err(|_| none());
        l.edge.curve = bent(&l.edge.curve, l.edge.curve.start(), middle)?;
        f.edge.curve = bent(&f.edge.curve, middle, f.edge.curve.end())?;
    }
    after.extend(before);
    let (edges, darts) = ring(part, after)?;
    Ok(Piece {
        edges,
        darts,
        marks,
        balance,
        grain,
        ..part.clone()
    })
}
