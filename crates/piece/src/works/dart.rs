//! Closing a dart so that another edge opens, and swinging it there.

use measure::{Angle, Curve, Length, Motion, Point, Vector};

use super::part::{Part, bridge, chain, clear_way, dealt, ring, staying};
use super::stretch::{Stretch, fitted, turned_toward};
use super::{SAME, Spot, finished, point_at, sane_point, spot_on, straight};
use crate::fault::Fault;
use crate::ring::{Dart, Piece};

/// Closes a share `by` of a dart (1 is all of it) by turning one part of the piece about the dart's
/// point, so that the edge `opening` opens: at the place `at`, or else straight below the point (if
/// the edge is not there, straight above it, else in line with the dart, else where it is nearest).
///
/// The edge whose mouth closes stays one edge, and so does the one that opens, bridged by a straight
/// line. With a share below 1 the dart stays, its mouth drawn in. Also returns how far it opened,
/// straight across. A share of 0 changes nothing.
///
/// # Errors
/// When there is no such dart or edge, when the share is not between 0 and 1, or when the cut from
/// the point to the edge is not free: it may leave the piece or run through another dart.
pub fn close_dart(
    piece: &Piece,
    dart: &str,
    by: f64,
    opening: &str,
    at: Option<Point>,
) -> Result<(Piece, Length), Fault> {
    let d = piece.dart(dart)?.clone();
    let edge = piece.edge_index(opening)?;
    if !(0.0..=1.0).contains(&by) {
        return Err(Fault::Says(format!(
            "The dart `{dart}` can be closed by 0 % up to 100 %, not by {:.0} %.",
            by * 100.0
        )));
    }
    if by < 1e-9 {
        return Ok((piece.clone(), Length::ZERO));
    }
    let spot = match at {
        Some(p) => spot_on(piece, edge, p)?,
        None => below(piece, &d, edge)?,
    };
    turned_shut(piece, &d, by, spot, false)
}

/// Swings a dart into another place of an edge: its point stays, and its mouth is now where the
/// cloth opens at `at`. Also returns its new width there, straight across. It is pressed toward the
/// same part of the piece as before.
///
/// # Errors
/// When there is no such dart or edge, when `at` is not on the edge, or when the cut from the point
/// to it is not free.
pub fn swing_dart(
    piece: &Piece,
    dart: &str,
    into: &str,
    at: Point,
) -> Result<(Piece, Length), Fault> {
    let d = piece.dart(dart)?.clone();
    let spot = spot_on(piece, piece.edge_index(into)?, at)?;
    turned_shut(piece, &d, 1.0, spot, true)
}

/// Where an edge opens when nothing is said.
fn below(piece: &Piece, dart: &Dart, edge: usize) -> Result<Spot, Fault> {
    let e = &piece.edges[edge];
    let mouth = piece.edge(&dart.edge)?;
    let middle = mouth
        .curve
        .at(dart.mouth.0)
        .point
        .toward(mouth.curve.at(dart.mouth.1).point, 0.5);
    let mut places: Vec<Spot> = Vec::new();
    let ways = [
        Some(Vector::DOWN),
        Some(Vector::UP),
        (dart.tip - middle).unit(),
    ];
    for way in ways.into_iter().flatten() {
        let mut along: Vec<(f64, f64)> = e
            .curve
            .crossings_straight(dart.tip, way)
            .into_iter()
            .map(|(s, p)| ((p - dart.tip).dot(way), s.in_mm()))
            .filter(|(d, _)| *d > 0.1)
            .collect();
        along.sort_by(|a, b| a.0.total_cmp(&b.0));
        places.extend(along.into_iter().map(|(_, along)| Spot { edge, along }));
    }
    let near = e.curve.nearest(sane_point(dart.tip)?);
    places.push(Spot {
        edge,
        along: near.along.in_mm(),
    });
    let mut first = None;
    for spot in places {
        match clear_way(piece, dart.tip, point_at(piece, spot), Some(&dart.name)) {
            Ok(()) => return Ok(spot),
            Err(fault) => first = first.or(Some(fault)),
        }
    }
    Err(first.unwrap_or_else(|| Fault::NoEdge(e.name.clone())))
}

/// The one motion under both works.
fn turned_shut(
    piece: &Piece,
    dart: &Dart,
    share: f64,
    spot: Spot,
    swung: bool,
) -> Result<(Piece, Length), Fault> {
    let tip = sane_point(dart.tip)?;
    let index = piece.edge_index(&dart.edge)?;
    let edge = &piece.edges[index];
    let spot_of = |l: Length| Spot {
        edge: index,
        along: l.in_mm(),
    };
    let (a, b) = (spot_of(dart.mouth.0), spot_of(dart.mouth.1));
    let opening = &piece.edges[spot.edge];
    if spot.edge == index && spot.along > a.along - SAME && spot.along < b.along + SAME {
        return Err(Fault::Says(format!(
            "The dart `{}` lies already where it is to open.",
            dart.name
        )));
    }
    if let Some(other) = piece.darts.iter().find(|d| {
        d.edge == opening.name
            && d.name != dart.name
            && spot.along > d.mouth.0.in_mm() + SAME
            && spot.along < d.mouth.1.in_mm() - SAME
    }) {
        return Err(Fault::Says(format!(
            "The edge `{}` would open inside the dart `{}`.",
            opening.name, other.name
        )));
    }
    let (pa, pb, po) = (
        point_at(piece, a),
        point_at(piece, b),
        point_at(piece, spot),
    );
    clear_way(piece, tip, po, Some(&dart.name))?;
    let angle = (pb - tip).angle_to(pa - tip) * share;
    if angle.abs() < Angle::radians(1e-9) {
        return Err(Fault::Nothing(format!("the dart `{}`", dart.name)));
    }

    let mut bare = piece.clone();
    bare.darts.retain(|d| d.name != dart.name);
    let slash = straight(tip, po, "the cut")?;
    let (leg_a, leg_b) = (
        straight(pa, tip, "the dart's leg")?,
        straight(tip, pb, "the dart's leg")?,
    );
    let after = Part::new(chain(&bare, b, spot), &[&slash.reversed(), &leg_b])?;
    let before = Part::new(chain(&bare, spot, a), &[&leg_a, &slash])?;
    let parts = [after, before];
    let stays = staying(&parts);
    // Closing brings the end of the mouth to its beginning; if that part stays, the other comes.
    let by = Motion::turn(tip, if stays == 1 { angle } else { -angle });
    let lines = [&slash, &leg_a, &leg_b];
    let (marks, balance, grain) = dealt(&bare, &parts, stays, &lines, &by);
    let [after, before] = parts;
    let (after, before): (Vec<Stretch>, Vec<Stretch>) = if stays == 1 {
        (after.moved(&by), before.stretches)
    } else {
        (after.stretches, before.moved(&by))
    };
    let ends = |v: &[Stretch]| {
        v.first()
            .zip(v.last())
            .map(|(f, l)| (f.edge.curve.start(), l.edge.curve.end()))
    };
    let none = || Fault::Nothing("one part of the piece".to_owned());
    let (from_b, to_o) = ends(&after).ok_or_else(none)?;
    let (from_o, to_a) = ends(&before).ok_or_else(none)?;

    let opened = to_o.distance(from_o);
    let mut open = bridge(
        opening,
        spot.along,
        after.last(),
        before.first(),
        to_o,
        from_o,
    )?;
    if swung {
        open.darts.push(Dart {
            edge: opening.name.clone(),
            mouth: (Length::ZERO, open.edge.curve.length()),
            pressed: dart.pressed.map(turned_toward),
            ..dart.clone()
        });
    }
    let mut stretches = after;
    stretches.push(open);
    let last_of_before = before.last().cloned();
    stretches.extend(before);
    if share < 1.0 - 1e-9 {
        let mouth = edge
            .curve
            .sub(dart.mouth.0, dart.mouth.1)
            .map_err(|_| Fault::Nothing(format!("the dart `{}`", dart.name)))?;
        let mut left = bridge(
            edge,
            a.along,
            last_of_before.as_ref(),
            stretches.first(),
            to_a,
            from_b,
        )?;
        left.edge.curve = fitted(&mouth, to_a, from_b)?;
        let tip = if stays == 1 { tip } else { by.point(tip) };
        left.darts.push(Dart {
            mouth: (Length::ZERO, left.edge.curve.length()),
            tip,
            ..dart.clone()
        });
        stretches.push(left);
    }
    let (edges, darts) = ring(piece, stretches)?;
    let new = Piece {
        edges,
        darts,
        marks,
        balance,
        grain,
        ..piece.clone()
    };
    Ok((finished(&[piece], new)?, opened))
}

/// A straight leg.
pub(super) fn leg(edge: &Curve, at: Length, tip: Point) -> Result<Curve, Fault> {
    straight(edge.at(at).point, tip, "the dart's leg")
}

/// Where a dart with this point and this angle opens into an edge so that its legs are equal: the two
/// places along the edge. It is sought from the direction `toward` of its middle.
pub(super) fn mouth_on(
    edge: &Curve,
    tip: Point,
    toward: Vector,
    angle: Angle,
    far: f64,
) -> Option<(Length, Length)> {
    let half = angle.abs() * 0.5;
    let hit = |way: Vector| {
        edge.crossings_straight(tip, way)
            .into_iter()
            .map(|(s, p)| (s, (p - tip).dot(way)))
            .filter(|(_, d)| *d > 1e-6)
            .min_by(|x, y| (x.1 - far).abs().total_cmp(&(y.1 - far).abs()))
    };
    // How much longer the later leg is, when the middle turns so far from `toward`.
    let legs = |turn: f64| {
        let middle = toward.turned(Angle::radians(turn));
        let (p, q) = (hit(middle.turned(-half))?, hit(middle.turned(half))?);
        let (first, second) = if p.0 < q.0 { (p, q) } else { (q, p) };
        // Counted always on the same leg, so that the difference changes its sign once.
        Some((q.1 - p.1, (first.0, second.0)))
    };
    let start = legs(0.0)?;
    if start.0.abs() < 1e-7 {
        return Some(start.1);
    }
    let step = 0.05;
    for k in 1..=10 {
        for sign in [1.0, -1.0] {
            let (near, away) = (sign * step * f64::from(k - 1), sign * step * f64::from(k));
            let (Some(x), Some(y)) = (legs(near), legs(away)) else {
                continue;
            };
            if x.0 * y.0 > 0.0 {
                continue;
            }
            let (mut lo, mut hi) = (near, away);
            let mut best = x;
            for _ in 0..60 {
                let mid = 0.5 * (lo + hi);
                let m = legs(mid)?;
                best = m;
                if m.0.abs() < 1e-9 {
                    break;
                }
                if m.0 * x.0 > 0.0 {
                    lo = mid;
                } else {
                    hi = mid;
                }
            }
            return (best.0.abs() < 1e-3).then_some(best.1);
        }
    }
    None
}

/// A dart set anew into an edge that has changed its line: the same point and the same angle, so that
/// the cloth it takes away is the same; legs equal.
pub(super) fn set_anew(dart: &Dart, old: &Curve, new: &Curve) -> Result<Dart, Fault> {
    let (p, q) = (old.at(dart.mouth.0).point, old.at(dart.mouth.1).point);
    let angle = (p - dart.tip).angle_to(q - dart.tip);
    let toward = p.toward(q, 0.5) - dart.tip;
    let mouth = toward
        .unit()
        .and_then(|way| mouth_on(new, dart.tip, way, angle, toward.size()))
        .ok_or_else(|| {
            Fault::Says(format!(
                "The dart `{}` finds no place in the new line of `{}`.",
                dart.name, dart.edge
            ))
        })?;
    Ok(Dart {
        mouth,
        ..dart.clone()
    })
}
