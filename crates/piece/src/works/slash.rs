//! Slashing and spreading.

use measure::{Angle, Length, Motion, Point, angle};

use super::part::{Part, bridge, chain, clear_way, dealt, ring, staying};
use super::sewn::Sewn;
use super::{
    SAME, SNAP, Spot, finished, nearest_spot, point_at, sane_length, sane_point, spot_on, straight,
};
use crate::fault::Fault;
use crate::ring::{Mark, Piece};

/// More slashes than this are not made.
const MOST: usize = 40;

/// Where a slash begins or ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Place<'a> {
    /// A point on the outline.
    At(Point),
    /// An edge: slashes are spaced evenly along it, as sewn.
    Edge(&'a str),
}

/// Cuts the piece from one place to another and spreads it there by `spread`, each time: hinged at the
/// far end, or by the same all along. What opens is bridged by a straight line and belongs to the
/// edge in which it opens. With an edge given, so many slashes are spaced evenly along it (one
/// slash stands in its middle).
///
/// # Errors
/// When a place is not on the outline, when several slashes are asked for between two points, when
/// there are more than 40 of them, when the spread is negative or too wide, or when a slash would leave
/// the piece or run through a dart.
pub fn slash(
    piece: &Piece,
    from: Place<'_>,
    toward: Place<'_>,
    times: usize,
    spread: Length,
    all_along: bool,
) -> Result<Piece, Fault> {
    let wide = sane_length(spread)?.in_mm();
    if wide < 0.0 {
        return Err(Fault::Says(
            "A slash spreads by some length; to take width away, take in an edge or lay a dart."
                .to_owned(),
        ));
    }
    if times == 0 || wide < SAME {
        return Ok(piece.clone());
    }
    if times > MOST {
        return Err(Fault::Says(format!(
            "{times} slashes are too many; up to {MOST} can be made."
        )));
    }
    let points = matches!((from, toward), (Place::At(_), Place::At(_)));
    if points && times > 1 {
        return Err(Fault::Says(
            "Several slashes need an edge along which to space them.".to_owned(),
        ));
    }
    if !points
        && times > 1
        && all_along
        && (matches!(from, Place::At(_)) || matches!(toward, Place::At(_)))
    {
        return Err(Fault::Says(
            "To spread several slashes all along, give an edge at both ends.".to_owned(),
        ));
    }
    if let (Place::Edge(a), Place::Edge(b)) = (from, toward)
        && a == b
    {
        return Err(Fault::Says(format!(
            "A slash runs from one edge to another; both are `{a}`."
        )));
    }
    let begin = places(piece, from, times, false)?;
    let end = places(piece, toward, times, true)?;
    let mut work = piece.clone();
    let own = work.marks.len();
    // The ends of the slashes to come are marked, so that they move with their parts.
    for (_, p) in begin.iter().chain(&end) {
        work.marks.push(Mark {
            name: String::new(),
            point: *p,
        });
    }
    for i in 0..times {
        let find = |name: &str, k: usize| -> Result<Spot, Fault> {
            spot_on(&work, work.edge_index(name)?, work.marks[own + k].point)
        };
        let (p, q) = (find(&begin[i].0, i)?, find(&end[i].0, times + i)?);
        work = one(&work, p, q, wide, all_along)?;
    }
    work.marks.truncate(own);
    finished(&[piece], work)
}

/// The places, each with the name of its edge.
fn places(
    piece: &Piece,
    place: Place<'_>,
    times: usize,
    far: bool,
) -> Result<Vec<(String, Point)>, Fault> {
    match place {
        Place::At(p) => {
            let (spot, off) = nearest_spot(piece, sane_point(p)?);
            if off > SNAP {
                return Err(Fault::Says(
                    "A slash runs from edge to edge, and one of its ends does not lie on an edge."
                        .to_owned(),
                ));
            }
            let found = (piece.edges[spot.edge].name.clone(), point_at(piece, spot));
            Ok(vec![found; times])
        }
        Place::Edge(name) => {
            let edge = piece.edge(name)?;
            let sewn = Sewn::of(piece, name)?;
            let whole = sewn.curve.length().in_mm();
            #[expect(clippy::cast_precision_loss, reason = "at most 40")]
            let share = |i: usize| (i + 1) as f64 / (times + 1) as f64;
            // The ring runs down one edge and up the other, so the far edge is counted from its end.
            Ok((0..times)
                .map(|i| if far { 1.0 - share(i) } else { share(i) })
                .map(|part| {
                    let along = sewn.flat(whole * part);
                    (name.to_owned(), edge.curve.at(Length::mm(along)).point)
                })
                .collect())
        }
    }
}

/// One slash from a place of the ring to another.
fn one(piece: &Piece, from: Spot, to: Spot, wide: f64, all_along: bool) -> Result<Piece, Fault> {
    for spot in [from, to] {
        let edge = &piece.edges[spot.edge];
        if let Some(d) = piece.darts.iter().find(|d| {
            d.edge == edge.name
                && spot.along > d.mouth.0.in_mm() + 1e-3
                && spot.along < d.mouth.1.in_mm() - 1e-3
        }) {
            return Err(Fault::Says(format!(
                "A slash would end in the mouth of the dart `{}`; slash beside it.",
                d.name
            )));
        }
    }
    let (p, q) = (point_at(piece, from), point_at(piece, to));
    clear_way(piece, p, q, None)?;
    let cut = straight(p, q, "the slash")?;
    let parts = [
        Part::new(chain(piece, from, to), &[&cut.reversed()])?,
        Part::new(chain(piece, to, from), &[&cut])?,
    ];
    let stays = staying(&parts);
    // The first part lies to the left of the way from `from` to `to`, and opens that way.
    let sign = if stays == 1 { 1.0 } else { -1.0 };
    let by = if all_along {
        Motion::shift(cut.start_direction().left() * (wide * sign))
    } else {
        let half = 0.5 * wide / cut.length().in_mm();
        if half > 0.7 {
            return Err(Fault::Says(
                "The slash is too short to be spread so wide.".to_owned(),
            ));
        }
        Motion::turn(q, Angle::radians(2.0 * angle::asin(half) * sign))
    };
    let (marks, balance, grain) = dealt(piece, &parts, stays, &[&cut], &by);
    let [first, second] = parts;
    let (first, second) = if stays == 1 {
        (first.moved(&by), second.stretches)
    } else {
        (first.stretches, second.moved(&by))
    };
    let none = || Fault::Nothing("one part of the piece".to_owned());
    let start = |c: Option<&super::stretch::Stretch>| c.map(|s| s.edge.curve.start());
    let end = |c: Option<&super::stretch::Stretch>| c.map(|s| s.edge.curve.end());
    let gap = |curve_end: Option<Point>, curve_start: Option<Point>| {
        curve_end.zip(curve_start).ok_or_else(none)
    };
    let (a, b) = gap(end(second.last()), start(first.first()))?;
    let open = bridge(
        &piece.edges[from.edge],
        from.along,
        second.last(),
        first.first(),
        a,
        b,
    )?;
    let mut stretches = vec![open];
    let far = if all_along {
        let (a, b) = gap(end(first.last()), start(second.first()))?;
        Some(bridge(
            &piece.edges[to.edge],
            to.along,
            first.last(),
            second.first(),
            a,
            b,
        )?)
    } else {
        None
    };
    stretches.extend(first);
    stretches.extend(far);
    stretches.extend(second);
    let (edges, darts) = ring(piece, stretches)?;
    Ok(Piece {
        edges,
        darts,
        marks,
        balance,
        grain,
        ..piece.clone()
    })
}
