//! F34: corrections of a fitting that the draft has no place for any more.

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
    let part = seen.parts.iter().find(|p| p.piece.name == piece)?;
    let (named, point): (Option<String>, Point) = match part.edge(edge) {
        Some(i) => {
            let curve = &part.edges[i].edge.curve;
            let middle = curve.at(curve.length() * 0.5).point;
            (Some(edge.to_owned()), middle)
        }
        None => (None, part.ring().first().copied()?),
    };
    Some(Spot {
        piece: piece.to_owned(),
        edge: named,
        point,
    })
}
