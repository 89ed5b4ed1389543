//! Making a strip longer or shorter within one of its edges: a band whose partner has changed.

use measure::{Curve, Length, Point, Segment, Vector};

use super::follow::carried;
use super::{SAME, finished, sane_curve, sane_length};
use crate::fault::Fault;
use crate::ring::{Balance, Dart, Grain, Mark, Piece};

/// Lines that turn from one another by less than this run alike.
const ALIKE: f64 = 1e-6;
/// A strip is at most so deep, as a share of its length.
const NARROW: f64 = 0.35;

/// Makes a straight strip longer, or shorter when the amount is negative, across the middle of one of
/// its edges: that edge grows by the amount, so does what lies across from it, and everything beyond
/// moves along. A band with stretches for front and back is fitted so, stretch by stretch.
///
/// # Errors
/// When there is no such edge, when it or what lies across is not straight and level with it, when the
/// piece is no strip (deeper than a third of its length), or when there is not so much to take out.
pub fn lengthen(piece: &Piece, edge: &str, by: Length) -> Result<Piece, Fault> {
    let index = piece.edge_index(edge)?;
    let amount = sane_length(by)?.in_mm();
    let none = || {
        Fault::Says(format!(
            "`{}` is no straight strip along `{edge}`; it cannot be made longer there.",
            piece.name
        ))
    };
    for e in &piece.edges {
        sane_curve(&e.curve)?;
    }
    let own = &piece.edges[index].curve;
    let along = (own.end() - own.start()).unit().ok_or_else(none)?;
    let long = own.length().in_mm();
    if long - (own.end() - own.start()).size() > ALIKE * long {
        return Err(none());
    }
    let at = own.start().toward(own.end(), 0.5);
    let place = |p: Point| (p - at).dot(along);

    // What is cut through must run along the strip for as far as is taken out.
    let room = if amount < 0.0 { -amount } else { 0.0 } + SAME;
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut cut = 0;
    for segment in piece.edges.iter().flat_map(|e| e.curve.segments()) {
        let (a, b) = (place(segment.from()), place(segment.to()));
        least = least.min(a);
        most = most.max(a);
        let (p, q) = (a.min(b), a.max(b));
        if q < 0.0 || p > room {
            continue;
        }
        let level = matches!(segment, Segment::Line { .. })
            && (segment.to() - segment.from()).cross(along).abs() <= ALIKE * (q - p);
        if !level || p > -SAME || q < room {
            return Err(none());
        }
        cut += 1;
        let across = (segment.from() - at).cross(along);
        low = low.min(across);
        high = high.max(across);
    }
    if cut != 2 || high - low > NARROW * (most - least) {
        return Err(none());
    }
    if piece.darts.iter().any(|d| d.edge == edge) {
        return Err(none());
    }
    let way = along * amount;
    let point = |p: Point| moved(p, place(p), way);
    let mut edges = Vec::with_capacity(piece.edges.len());
    for e in &piece.edges {
        let segments: Vec<Segment> = e
            .curve
            .segments()
            .iter()
            .map(|s| match *s {
                Segment::Line { from, to } => Segment::Line {
                    from: point(from),
                    to: point(to),
                },
                Segment::Cubic { from, c1, c2, to } => {
                    // No curve is cut through: it lies whole on one side.
                    let far = if place(from) > 0.0 {
                        way
                    } else {
                        Vector::new(0.0, 0.0)
                    };
                    Segment::Cubic {
                        from: from + far,
                        c1: c1 + far,
                        c2: c2 + far,
                        to: to + far,
                    }
                }
            })
            .collect();
        let curve = Curve::from_segments(segments)
            .map_err(|_| Fault::Nothing(format!("the edge `{}`", e.name)))?;
        let told = |l: Length| curve.nearest(point(e.curve.at(l).point)).along;
        let mut new = carried(e, &told);
        new.curve = curve.clone();
        edges.push(new);
    }
    let darts = piece
        .darts
        .iter()
        .map(|d| {
            let (Ok(old), Some(new)) =
                (piece.edge(&d.edge), edges.iter().find(|e| e.name == d.edge))
            else {
                return d.clone();
            };
            let told = |l: Length| new.curve.nearest(point(old.curve.at(l).point)).along;
            Dart {
                mouth: (told(d.mouth.0), told(d.mouth.1)),
                tip: point(d.tip),
                ..d.clone()
            }
        })
        .collect();
    let new = Piece {
        edges,
        darts,
        marks: piece
            .marks
            .iter()
            .map(|m| Mark {
                name: m.name.clone(),
                point: point(m.point),
            })
            .collect(),
        balance: piece
            .balance
            .iter()
            .map(|b| Balance {
                name: b.name.clone(),
                from: point(b.from),
                to: point(b.to),
            })
            .collect(),
        grain: piece.grain.map(|g| Grain {
            from: point(g.from),
            to: point(g.to),
        }),
        ..piece.clone()
    };
    finished(&[piece], new)
}

/// What lies beyond the cut moves along.
fn moved(p: Point, place: f64, way: Vector) -> Point {
    if place > 0.0 { p + way } else { p }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edge::{Edge, Notch};

    /// A band 30 by 2 in, its lower edge in two stretches.
    fn band() -> Piece {
        let p = |x: f64, y: f64| Point::new(x * 25.4, y * 25.4);
        let edge = |name: &str, a, b| Edge::plain(name, Curve::line(a, b).unwrap());
        let mut top = edge("top", p(0.0, 0.0), p(30.0, 0.0));
        top.notches = [5.0, 25.0]
            .map(|s| Notch {
                at: Length::inches(s),
                snips: 1,
            })
            .to_vec();
        Piece::from_edges(
            "band",
            vec![
                top,
                edge("end", p(30.0, 0.0), p(30.0, 2.0)),
                edge("front", p(30.0, 2.0), p(14.0, 2.0)),
                edge("back", p(14.0, 2.0), p(0.0, 2.0)),
                edge("begin", p(0.0, 2.0), p(0.0, 0.0)),
            ],
        )
        .unwrap()
    }

    /// Would catch a stretch that grows at its neighbour's cost, a slanting band, and notches that do
    /// not go along with their place.
    #[test]
    fn one_stretch_of_a_band_grows_and_the_other_keeps_its_length() {
        for by in [0.5, -0.5] {
            let new = lengthen(&band(), "front", Length::inches(by)).unwrap();
            let long = |e: &str| new.edge(e).unwrap().curve.length().in_inches();
            assert!((long("front") - 16.0 - by).abs() < 1e-9);
            assert!((long("back") - 14.0).abs() < 1e-9);
            assert!((long("top") - 30.0 - by).abs() < 1e-9);
            assert!((new.area() / 645.16 - 2.0 * (30.0 + by)).abs() < 1e-6);
            // The cut is at 22 in of the top, or 22 in from the drawing's left: one notch before it.
            let notches = &new.edge("top").unwrap().notches;
            let far = |i: usize| notches[i].at.in_inches();
            assert!((far(1) - far(0) - 20.0 - by).abs() < 1e-9);
        }
    }

    /// Would catch a skirt that is made wider because its waist was to be longer.
    #[test]
    fn what_is_no_strip_is_left() {
        let p = |x: f64, y: f64| Point::new(x * 25.4, y * 25.4);
        let edge = |name: &str, a, b| Edge::plain(name, Curve::line(a, b).unwrap());
        let panel = Piece::from_edges(
            "panel",
            vec![
                edge("waist", p(0.0, 0.0), p(10.0, 0.0)),
                edge("side", p(10.0, 0.0), p(10.0, 24.0)),
                edge("hem", p(10.0, 24.0), p(0.0, 24.0)),
                edge("centre", p(0.0, 24.0), p(0.0, 0.0)),
            ],
        )
        .unwrap();
        assert!(lengthen(&panel, "waist", Length::inches(0.5)).is_err());
        assert!(lengthen(&band(), "front", Length::inches(-20.0)).is_err());
        assert!(lengthen(&band(), "hem", Length::inches(1.0)).is_err());
    }
}
