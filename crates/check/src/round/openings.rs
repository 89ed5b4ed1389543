//! What is left open: zips, slits, vents.

use measure::Point;
use piece::Role;

use super::{AT_WAIST, Lies, Opening, Panel, Round};
use crate::seen::EdgeSeen;

/// An opening this near an end of its edge reaches that end, in millimetres.
const REACHES: f64 = 2.0;

impl Round<'_, '_> {
    pub(super) fn find_openings(&self) -> Vec<Opening> {
        let mut out = Vec::new();
        for panel in &self.panels {
            let part = &self.seen.parts[panel.part];
            for (i, edge) in part.edges.iter().enumerate() {
                let whole = edge.line.length();
                let mut spans: Vec<(f64, f64)> = edge
                    .edge
                    .open
                    .iter()
                    .map(|(a, b)| (a.in_mm(), b.in_mm()))
                    .collect();
                if edge.edge.role == Role::Opening {
                    spans = vec![(0.0, whole)];
                }
                for (from, to) in spans {
                    let ends = [from.min(to), from.max(to)].map(|at| {
                        let point = edge.line.at(at);
                        (depth(panel, i, point), point, at)
                    });
                    let [(Some(a), pa, at_a), (Some(b), pb, at_b)] = ends else {
                        continue;
                    };
                    let across = (pb.x - pa.x).abs() > (pb.y - pa.y).abs();
                    if across && matches!(panel.lies, Lies::Placed { .. }) {
                        continue;
                    }
                    let upside = a <= b;
                    let ((top, top_point, top_at), (foot, foot_point, foot_at)) = if upside {
                        ((a, pa, at_a), (b, pb, at_b))
                    } else {
                        ((b, pb, at_b), (a, pa, at_a))
                    };
                    // The neighbour at each end: the ring goes on after the end of an edge.
                    let at_end = |at: f64| (at - whole).abs() < REACHES;
                    let at_start = |at: f64| at < REACHES;
                    let meets = |at: f64| {
                        if at_end(at) {
                            Some(part.after(i))
                        } else if at_start(at) {
                            Some(part.before(i))
                        } else {
                            None
                        }
                    };
                    out.push(Opening {
                        part: panel.part,
                        edge: i,
                        top,
                        foot,
                        top_point,
                        foot_point,
                        from_top: meets(top_at).is_some()
                            && self.is_top(panel, top, meets(top_at).map(EdgeSeen::name)),
                        to_hem: meets(foot_at).is_some_and(|e| e.edge.role == Role::Hem),
                    });
                }
            }
        }
        // What reaches down from one that begins at the top, or up from one that runs out at the hem,
        // belongs to it.
        for _ in 0..out.len() {
            let known = out.clone();
            for o in &mut out {
                for k in known.iter().filter(|k| k.part == o.part) {
                    o.to_hem |= k.to_hem && (k.top_point - o.foot_point).size() < REACHES;
                    o.from_top |= k.from_top && (k.foot_point - o.top_point).size() < REACHES;
                }
            }
        }
        out
    }

    /// Whether a place so far below the waist, whose ring goes on into the edge of this name, is at the
    /// garment's top.
    fn is_top(&self, panel: &Panel, below: f64, meets: Option<&str>) -> bool {
        let part = &self.seen.parts[panel.part];
        match (&panel.lies, meets.and_then(|m| part.edge(m))) {
            (Lies::Hung { from, sides }, Some(edge)) => {
                *from <= 0.0 && sides.top.edges.contains(&edge)
            }
            // Above the waist a zip goes on to the top of the garment.
            (Lies::Placed { .. }, Some(_)) => below < AT_WAIST,
            _ => false,
        }
    }
}

/// How far below the waist a place on an edge of a piece lies.
fn depth(panel: &Panel, edge: usize, point: Point) -> Option<f64> {
    match &panel.lies {
        Lies::Placed { waist } => Some(point.y - waist),
        Lies::Hung { from, sides } => {
            let runs = [&sides.left, &sides.right];
            let run = runs.into_iter().find(|r| r.edges.contains(&edge))?;
            Some(from + run.line.nearest(point).0)
        }
    }
}
