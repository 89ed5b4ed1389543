//! Sample pieces written as a report, for the outside judge.

use std::fmt::Write as _;

use measure::{Length, Point};

use crate::cutting::cutting_line;
use crate::{Allowance, How, Piece, Role, flat};

/// What `tests/judges/outlines.py` reads.
pub(crate) fn report(pieces: &[(String, Piece)]) -> String {
    let mut out = String::from("{\"format\":1,\"pieces\":[");
    for (k, (name, piece)) in pieces.iter().enumerate() {
        let sewn = flat::stitching(piece).unwrap();
        let cut = flat::cutting(&cutting_line(piece).unwrap());
        let outline = flat::stitching_outline(piece).unwrap();
        let comma = if k == 0 { "" } else { "," };
        write!(
            out,
            "{comma}\n{{\"name\":\"{name}\",\"stitching_mm\":{},\"cutting_mm\":{},\"edges\":[",
            points(&sewn.points),
            points(&cut.points)
        )
        .unwrap();
        for (i, edge) in piece.edges.iter().enumerate() {
            let comma = if i == 0 { "" } else { "," };
            let (from, to) = sewn.edges[i];
            let role = match edge.role {
                Role::Seam => "seam",
                Role::Hem => "hem",
                Role::Fold => "fold",
                Role::Opening => "opening",
            };
            let length = (outline.edges[i].1 - outline.edges[i].0).in_mm();
            write!(
                out,
                "{comma}{{\"name\":\"{}\",\"role\":\"{role}\",\"from\":{from},\"to\":{to},\"length_mm\":{length},\"allowance_mm\":{}}}",
                edge.name,
                stops(&edge.allowance, Length::mm(length))
            )
            .unwrap();
        }
        write!(
            out,
            "],\"darts\":[],\"area_mm2\":{}}}",
            outline.curve.area()
        )
        .unwrap();
    }
    out + "\n],\"seams\":[]}"
}

fn points(all: &[Point]) -> String {
    let texts: Vec<String> = all
        .iter()
        .map(|p| format!("[{:.6},{:.6}]", p.x, p.y))
        .collect();
    format!("[{}]", texts.join(","))
}

/// Straight between two entries, a step where two stand at one place.
fn stops(allowance: &Allowance, length: Length) -> String {
    let mut all = vec![(0.0, allowance.first().in_mm())];
    for change in allowance.changes() {
        if change.how == How::Step {
            let before = all[all.len() - 1].1;
            all.push((change.at.in_mm(), before));
        }
        all.push((change.at.in_mm(), change.width.in_mm()));
    }
    all.push((length.in_mm(), all[all.len() - 1].1));
    let texts: Vec<String> = all.iter().map(|(a, w)| format!("[{a},{w}]")).collect();
    format!("[{}]", texts.join(","))
}
