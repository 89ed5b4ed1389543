//! Which way stitching lines run at a corner, darts closed.

use measure::{Angle, Length, Point, Vector};

use crate::seen::{EdgeSeen, Part};

/// The direction at an end is taken from places so far apart, in millimetres.
const STEP: f64 = 2.0;
/// A dart whose mouth begins or ends nearer than this to a corner is closed there, in millimetres.
const AT: f64 = 0.5;

/// Which way an edge runs at a place, from the chords behind it (`ahead` false) or before it: a parabola
/// through three places, so that a curve is not taken for its chord.
pub(crate) fn way(edge: &EdgeSeen<'_>, at: f64, ahead: bool) -> Option<Vector> {
    let whole = edge.line.length();
    let room = if ahead { whole - at } else { at };
    let step = STEP.min(room / 2.0);
    if step <= 1e-3 {
        return None;
    }
    let sign = if ahead { 1.0 } else { -1.0 };
    let p = |k: f64| -> Option<Point> {
        let along = Length::try_mm((at + sign * k * step).clamp(0.0, whole))?;
        Some(edge.edge.curve.at(along).point)
    };
    let (near, mid, far) = (p(0.0)?, p(1.0)?, p(2.0)?);
    let onward = (mid - near) * 4.0 - (far - near);
    (onward * sign).unit()
}

/// A dart that is closed at a corner: what lies beyond it is turned by this about its tip.
fn closing(tip: Point, from: Point, onto: Point) -> Angle {
    (from - tip).angle_to(onto - tip)
}

/// Which way the ring leaves the corner at which an edge begins, a dart there closed.
pub(crate) fn leaving(part: &Part<'_>, edge: usize) -> Option<Vector> {
    let mut index = edge;
    let mut turned = Angle::ZERO;
    for _ in 0..2 {
        let here = &part.edges[index];
        let whole = here.line.length();
        let Some(dart) = dart_at(part, here, |m| m.0 < AT) else {
            return way(here, 0.0, true).map(|v| v.turned(turned));
        };
        turned = turned
            + closing(
                dart.tip,
                here.line.at(dart.mouth.1),
                here.line.at(dart.mouth.0),
            );
        if dart.mouth.1 < whole - AT {
            return way(here, dart.mouth.1, true).map(|v| v.turned(turned));
        }
        index = (index + 1) % part.edges.len();
    }
    None
}

/// Which way the ring arrives at the corner at which an edge ends, a dart there closed.
pub(crate) fn arriving(part: &Part<'_>, edge: usize) -> Option<Vector> {
    let mut index = edge;
    let mut turned = Angle::ZERO;
    for _ in 0..2 {
        let here = &part.edges[index];
        let whole = here.line.length();
        let Some(dart) = dart_at(part, here, |m| m.1 > whole - AT) else {
            return way(here, whole, false).map(|v| v.turned(turned));
        };
        turned = turned
            + closing(
                dart.tip,
                here.line.at(dart.mouth.0),
                here.line.at(dart.mouth.1),
            );
        if dart.mouth.0 > AT {
            return way(here, dart.mouth.0, false).map(|v| v.turned(turned));
        }
        index = (index + part.edges.len() - 1) % part.edges.len();
    }
    None
}

/// A dart as it lies on its edge.
#[derive(Clone, Copy, Debug)]
pub(crate) struct DartSeen<'a> {
    /// Its name.
    pub(crate) name: &'a str,
    /// Where its legs leave the edge, in millimetres along it.
    pub(crate) mouth: (f64, f64),
    /// Its point.
    pub(crate) tip: Point,
}

/// The darts of an edge, in order along it.
pub(crate) fn darts<'a>(part: &Part<'a>, edge: &EdgeSeen<'_>) -> Vec<DartSeen<'a>> {
    let mut out: Vec<DartSeen<'a>> = part
        .piece
        .darts
        .iter()
        .filter(|d| d.edge == edge.name())
        .map(|d| DartSeen {
            name: &d.name,
            mouth: (d.mouth.0.in_mm(), d.mouth.1.in_mm()),
            tip: d.tip,
        })
        .collect();
    out.sort_by(|a, b| a.mouth.0.total_cmp(&b.mouth.0));
    out
}

fn dart_at<'a>(
    part: &Part<'a>,
    edge: &EdgeSeen<'_>,
    fits: impl Fn((f64, f64)) -> bool,
) -> Option<DartSeen<'a>> {
    darts(part, edge).into_iter().find(|d| fits(d.mouth))
}

/// The angle inside the piece, in degrees, at the corner where an edge begins.
pub(crate) fn corner(part: &Part<'_>, edge: usize) -> Option<f64> {
    let n = part.edges.len();
    let (one, two) = (arriving(part, (edge + n - 1) % n)?, leaving(part, edge)?);
    // The ring is walked clockwise as seen, y down: a right turn is positive.
    Some(180.0 - one.angle_to(two).in_degrees())
}

/// By how many degrees an edge turns where a dart of it is closed: outward (a peak) is positive.
pub(crate) fn kink(edge: &EdgeSeen<'_>, dart: DartSeen<'_>) -> Option<f64> {
    let whole = edge.line.length();
    if dart.mouth.0 < AT || dart.mouth.1 > whole - AT {
        // It is closed at a corner of the piece.
        return None;
    }
    let turn = closing(
        dart.tip,
        edge.line.at(dart.mouth.1),
        edge.line.at(dart.mouth.0),
    );
    let (one, two) = (
        way(edge, dart.mouth.0, false)?,
        way(edge, dart.mouth.1, true)?.turned(turn),
    );
    Some(one.angle_to(two).in_degrees())
}
