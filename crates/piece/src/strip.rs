//! The outer line of one edge's allowance, before its ends are shaped.

use measure::offset::{Kind, NEARER, SNAP, bridge, cleared};
use measure::{Length, Point, Segment};

use crate::cap;
use crate::edge::Role;
use crate::ring::Piece;

/// A stretch of the cutting line and the edge whose allowance it truly bounds, if any: corners,
/// steps and bridges belong to none.
pub(crate) type Owned = (Segment, Option<usize>);

/// Changes this close to an end, in millimetres, are at the end.
const CLOSE: f64 = 1e-6;

/// What is shorter than this, in millimetres, is left out: its direction is chance.
const CRUMB: f64 = 1e-6;

/// One edge's strip.
#[derive(Clone, Debug)]
pub(crate) struct Strip {
    /// The line beside the edge.
    pub(crate) run: Vec<Owned>,
    /// The stitching line's first stretch, and its last.
    pub(crate) ends: (Segment, Segment),
    /// The width where it begins, and where it ends.
    pub(crate) widths: (f64, f64),
    /// Whether its beginning, and its end, lie outside all of its other parts.
    pub(crate) clear: (bool, bool),
    /// Lies on the fold.
    pub(crate) fold: bool,
    /// Is turned up as a hem.
    pub(crate) hem: bool,
}

/// The strip of an edge, `None` when nothing of it can be made. With `clear` its own loops are cut
/// off: a corner that cuts the strip must not find them.
pub(crate) fn strip(piece: &Piece, index: usize, clear: bool) -> Option<Strip> {
    let edge = &piece.edges[index];
    let fold = edge.role == Role::Fold;
    let width = |at: Length| {
        if fold {
            0.0
        } else {
            edge.allowance.width_at(at).in_mm().max(0.0)
        }
    };
    let parts = cap::parts(piece, index);
    let first = parts.first()?.curve.segments().first().copied()?;
    let last = parts.last()?.curve.segments().last().copied()?;
    let mut run: Vec<Owned> = Vec::new();
    let mut before: Option<f64> = None;
    let mut widths = (0.0, 0.0);
    for part in &parts {
        let mut stops = vec![part.from];
        if !part.cap && !fold {
            for change in edge.allowance.changes() {
                let here = stops[stops.len() - 1];
                let inside =
                    change.at - here > Length::mm(CLOSE) && part.to - change.at > Length::mm(CLOSE);
                if inside {
                    stops.push(change.at);
                }
            }
        }
        stops.push(part.to);
        for stop in stops.windows(2) {
            let (from, to) = (stop[0], stop[1]);
            // Between two changes a width is even or grows evenly, so two places tell the whole.
            let (w0, w1) = if part.cap {
                let w = width((from + to) * 0.5);
                (w, w)
            } else {
                let (q, r) = (
                    width(from + (to - from) * 0.25),
                    width(from + (to - from) * 0.75),
                );
                if (q - r).abs() < 1e-9 {
                    (q, q)
                } else {
                    ((1.5 * q - 0.5 * r).max(0.0), (1.5 * r - 0.5 * q).max(0.0))
                }
            };
            let cut;
            let curve = if stops.len() == 2 {
                &part.curve
            } else if let Ok(c) = part.curve.sub(from - part.from, to - part.from) {
                cut = c;
                &cut
            } else {
                continue;
            };
            let whole = curve.length();
            let by = |s: Length| {
                let part = if w0.total_cmp(&w1).is_eq() {
                    0.0
                } else {
                    (s / whole).clamp(0.0, 1.0)
                };
                Length::mm(w0 + (w1 - w0) * part)
            };
            let mut sides = curve.beside(&by).into_iter().map(|b| {
                let owner = (b.kind == Kind::True).then_some(index);
                (b.segment, owner)
            });
            let Some(next) = sides.next() else { continue };
            if let (Some(w), Some(last)) = (before, run.last().copied()) {
                let reach = 2.0 * w.max(w0);
                let through = bridge(&last.0, curve.start(), &next.0, reach);
                run_to(&mut run, &through, next.0.from());
            } else {
                widths.0 = w0;
            }
            append(&mut run, next);
            for side in sides {
                append(&mut run, side);
            }
            before = Some(w1);
            widths.1 = w1;
        }
    }
    let mut ends_clear = (true, true);
    if clear && !run.is_empty() {
        let segments: Vec<Segment> = run.iter().map(|s| s.0).collect();
        let keeps = |p: Point| {
            parts.iter().all(|part| {
                let near = part.curve.nearest(p);
                let at = if part.cap {
                    (part.from + part.to) * 0.5
                } else {
                    part.from + near.along
                };
                near.distance.in_mm() > width(at) - NEARER
            })
        };
        let kept = cleared(&segments, &|p, _| keeps(p));
        let (start, end) = (segments[0].from(), segments[segments.len() - 1].to());
        ends_clear = (
            keeps(start) && kept.first().is_some_and(|s| s.0.from() == start),
            keeps(end) && kept.last().is_some_and(|s| s.0.to() == end),
        );
        if ends_clear == (true, true) {
            run = kept.iter().map(|(s, of)| (*s, run[*of].1)).collect();
        }
    }
    (!run.is_empty()).then_some(Strip {
        run,
        ends: (first, last),
        widths,
        clear: ends_clear,
        fold,
        hem: edge.role == Role::Hem,
    })
}

/// Adds a stretch, laid on the end of the one before where it is close; a crumb is left out.
pub(crate) fn append(run: &mut Vec<Owned>, next: Owned) {
    let (from, to) = (next.0.from(), next.0.to());
    let least = if next.1.is_some() { CRUMB } else { SNAP };
    let is_crumb = (to - from).size() < least && (next.0.point(0.5) - from).size() < least;
    if is_crumb && !run.is_empty() {
        return;
    }
    let Some(end) = run.last().map(|s| s.0.to()) else {
        run.push(next);
        return;
    };
    let gap = (next.0.from() - end).size();
    if gap > SNAP {
        run.push((
            Segment::Line {
                from: end,
                to: next.0.from(),
            },
            None,
        ));
        run.push(next);
    } else {
        run.push((next.0.from_point(end), next.1));
    }
}

/// Adds straight stretches through these points to `end`.
pub(crate) fn run_to(run: &mut Vec<Owned>, through: &[Point], end: Point) {
    for p in through.iter().copied().chain([end]) {
        let Some(from) = run.last().map(|s| s.0.to()) else {
            return;
        };
        if (p - from).size() > SNAP {
            run.push((Segment::Line { from, to: p }, None));
        }
    }
}
