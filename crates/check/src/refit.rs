//! F34: corrections of a fitting that the draft has no place for any more.

use draft::correction::{Correction, Side};
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
        let spots: Vec<Spot> = corner(seen, c).into_iter().collect();
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

/// The middle of an edge, or of its piece where the edge is gone; on the side of her that is meant,
/// where left and right are cut apart.
fn corner(seen: &Seen<'_>, c: &Correction) -> Option<Spot> {
    let ((of, told), (edge, on)) = (bare(&c.piece), bare(&c.edge));
    let mut said = [told, on, c.side].into_iter();
    let side = said.find(|s| *s != Side::Both).unwrap_or(Side::Both);
    let is_it = |i: &usize| seen.parts[*i].piece.name == c.piece || seen.worked.of(*i) == of;
    let all = || (0..seen.parts.len()).filter(is_it);
    let own = |i: &usize| seen.worked.half(*i).is_some_and(|h| h.side == side);
    let part = &seen.parts[all().find(own).or_else(|| all().next())?];
    let like = || part.edges.iter().filter(|e| bare(e.name()).0 == edge);
    let found = like()
        .find(|e| bare(e.name()).1 == side)
        .or_else(|| like().next());
    let (named, point): (Option<String>, Point) = match found {
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
