//! Dart caps: what the edge of a piece does across the mouth of a dart, so that the folded dart's
//! edge lies level with it.

use measure::{Curve, Length, Motion, Point, Segment};

use crate::fault::Fault;
use crate::ring::{Dart, Piece, Toward};

/// A part of an edge as it is cut: a stretch of the stitching line, or a cap in place of a mouth.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Part {
    /// The line.
    pub(crate) curve: Curve,
    /// Where it begins, as a length along the edge without caps.
    pub(crate) from: Length,
    /// Where it ends, likewise.
    pub(crate) to: Length,
    /// Whether it is a cap.
    pub(crate) cap: bool,
}

/// The stitching line of an edge with the mouth of each pressed dart replaced by its cap.
///
/// The cap is the edge beyond the leg on the pressed side, turned over that leg until it meets the
/// dart's centre line, and then mirrored about that: folded, the dart's edge lies on the edge of the
/// piece (`trade/methods.md` a9). A dart too odd to have one keeps the edge as it is.
///
/// # Errors
/// When the piece has no edge of this number.
pub fn capped_curve(piece: &Piece, edge_index: usize) -> Result<Curve, Fault> {
    let edge = piece
        .edges
        .get(edge_index)
        .ok_or_else(|| Fault::NoEdge(edge_index.to_string()))?;
    let parts = parts(piece, edge_index);
    if parts.len() < 2 {
        return Ok(edge.curve.clone());
    }
    Curve::joined(parts.iter().map(|p| &p.curve))
        .map_err(|_| Fault::Nothing(format!("the edge `{}`", edge.name)))
}

/// The parts of an edge, caps among them.
pub(crate) fn parts(piece: &Piece, edge_index: usize) -> Vec<Part> {
    let edge = &piece.edges[edge_index];
    let whole = edge.curve.length();
    let plain = |curve: Curve, from: Length, to: Length| Part {
        curve,
        from,
        to,
        cap: false,
    };
    let mut darts: Vec<&Dart> = piece
        .darts
        .iter()
        .filter(|d| d.edge == edge.name && d.pressed.is_some())
        .collect();
    if darts.is_empty() {
        return vec![plain(edge.curve.clone(), Length::ZERO, whole)];
    }
    darts.sort_by(|a, b| a.mouth.0.in_mm().total_cmp(&b.mouth.0.in_mm()));
    let mut out = Vec::new();
    let mut here = Length::ZERO;
    for (k, dart) in darts.iter().enumerate() {
        let (a, b) = dart.mouth;
        let next = darts.get(k + 1).map_or(whole, |d| d.mouth.0);
        if a < here || b <= a || b > whole + Length::mm(1e-6) {
            continue;
        }
        let Some(cap) = cap(&edge.curve, dart, here, next.max(b)) else {
            continue;
        };
        if let Ok(before) = edge.curve.sub(here, a) {
            out.push(plain(before, here, a));
        }
        out.push(Part {
            curve: cap,
            from: a,
            to: b,
            cap: true,
        });
        here = b;
    }
    if let Ok(rest) = edge.curve.sub(here, whole) {
        out.push(plain(rest, here, whole));
    }
    out
}

/// The cap of one dart; `low` and `high` bound the edge that may be turned over.
fn cap(edge: &Curve, dart: &Dart, low: Length, high: Length) -> Option<Curve> {
    let (a, b) = dart.mouth;
    let (pa, pb) = (edge.at(a).point, edge.at(b).point);
    let mouth = (pb - pa).size();
    let centre = (pa.toward(pb, 0.5) - dart.tip).unit()?;
    let toward = dart.pressed?;
    let (foot, beyond) = match toward {
        Toward::Start => (pa, edge.sub(a, low.max(a - (b - a) * 4.0)).ok()),
        Toward::End => (pb, edge.sub(b, high.min(b + (b - a) * 4.0)).ok()),
    };
    let way = match toward {
        Toward::Start => -edge.at(a).direction,
        Toward::End => edge.at(b).direction,
    };
    let mut run: Vec<Segment> = beyond
        .iter()
        .flat_map(|c| c.segments().iter().copied())
        .collect();
    let (from, way) = beyond
        .as_ref()
        .map_or((foot, way), |c| (c.end(), c.end_direction()));
    run.push(Segment::Line {
        from,
        to: from + way * (4.0 * mouth),
    });
    let leg = (foot - dart.tip).unit()?;
    let folded = Curve::from_segments(run)
        .ok()?
        .moved(&Motion::reflect(foot, leg));
    let (along, peak) = folded
        .crossings_straight(dart.tip, centre)
        .into_iter()
        .find(|(along, _)| along.in_mm() > 1e-6)?;
    // A peak far from the mouth, or on the inner side of the tip, is no cap.
    let rise = (peak - pa.toward(pb, 0.5)).dot(centre);
    if along.in_mm() > 2.0 * mouth || rise.abs() > mouth || (peak - dart.tip).dot(centre) <= 0.0 {
        return None;
    }
    let half = folded.sub(Length::ZERO, along).ok()?;
    let other = half.moved(&Motion::reflect(dart.tip, centre)).reversed();
    let (first, second) = match toward {
        Toward::Start => (half, other),
        Toward::End => (other.reversed(), half.reversed()),
    };
    // Legs that differ by a hair still meet their mouth; legs that differ by more have no cap.
    let near = |p: Point, q: Point| (p - q).size() < 0.5;
    if !near(first.start(), pa) || !near(second.end(), pb) {
        return None;
    }
    let first = first.with_ends(pa, peak).ok()?;
    let second = second.with_ends(peak, pb).ok()?;
    let joined = Curve::joined([&first, &second]).ok()?;
    joined.self_crossings().is_empty().then_some(joined)
}

#[cfg(test)]
mod tests;
