//! F34: corrections of a fitting that the draft has no place for any more.

use draft::sided::bare;
use draft::worked::Outcome;
use measure::Point;

use crate::finding::{Finding, Spot, Weight};
use crate::rules::F34;
use crate::seen::Seen;

pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out = Vec::new();
    for done in &seen.worked.corrections {
        let c = &done.correction;
        let (says, cure) = match &done.outcome {
            Outcome::Made => continue,
            Outcome::Lost(says) => (
                format!("A correction of a fitting has lost its place. {says}"),
                None,
            ),
            Outcome::Refused(says) => (
                format!("A correction of a fitting could not be made. {says}"),
                Some("Change its places or its amounts, or take it off.".to_owned()),
            ),
        };
        let spots: Vec<Spot> = corner(seen, &c.piece, &c.edge).into_iter().collect();
        let place = format!("{}.{}", c.piece, c.edge);
        let mut finding = Finding::of(&F34, Weight::Stop, place, says);
        finding.spots = spots;
        finding.says = format!("{} It was: {}", finding.says, done.sentence);
        if cure.is_some() {
            finding.cure = cure;
        }
        out.push(finding);
    }
    out
}

/// The middle of an edge, or of its piece where the edge is gone.
fn corner(seen: &Seen<'_>, piece: &str, edge: &str) -> Option<Spot> {
    let of = |i: usize| seen.worked.half(i).map_or("", |h| &h.of);
    let mut parts = seen.parts.iter().enumerate();
    let (_, part) = parts.find(|(i, p)| p.piece.name == piece || of(*i) == bare(piece).0)?;
    let mut edges = part.edges.iter();
    let (named, point): (Option<String>, Point) =
        match edges.find(|e| bare(e.name()).0 == bare(edge).0) {
            Some(found) => {
                let curve = &found.edge.curve;
                let middle = curve.at(curve.length() * 0.5).point;
                (Some(found.name().to_owned()), middle)
            }
            None => (None, part.ring().first().copied()?),
        };
    Some(Spot {
        piece: part.piece.name.clone(),
        edge: named,
        point,
    })
}
