//! What kind of edge an edge is, from what the method says of it.

use std::collections::BTreeMap;

use piece::Role;

use super::Row;
use super::toile::{Place, like};
use crate::worked::{EdgeName, Worked};

/// What kind an edge is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Kind {
    pub(super) row: Row,
    /// A stretch of it, or of what it is sewn to, is left open; only told of the shell.
    pub(super) zip: bool,
}

/// An edge by the numbers of its piece and of its place in the ring.
type At = (usize, usize);

/// The kind of every edge but folds, piece by piece. Edges that are sewn together are of one kind, so
/// that their raw edges lie together; what lies under the shell is of its own kind only where it is
/// not sewn to it.
pub(super) fn kinds(worked: &Worked, places: &[Place]) -> BTreeMap<At, Kind> {
    let groups = sewn_together(worked);
    let mut out = BTreeMap::new();
    for group in &groups {
        let kind = of_group(worked, places, group);
        for at in &group.edges {
            if worked.pieces[at.0].edges[at.1].role != Role::Fold {
                out.insert(*at, kind);
            }
        }
    }
    // An open edge of a facing or a lining is as the edge that it lies on.
    let known = out.clone();
    for (at, kind) in &mut out {
        if worked.pieces[at.0].edges[at.1].role == Role::Opening
            && places[at.0] != Place::Shell
            && let Some(model) = model(worked, *at)
            && let Some(found) = known.get(&model)
        {
            *kind = *found;
        }
    }
    out
}

/// Edges that are sewn together, and the names of the seams that do it.
#[derive(Clone, Debug, Default)]
struct Group {
    edges: Vec<At>,
    seams: Vec<String>,
}

/// All edges, in groups of those that are sewn to each other, straight or through others.
fn sewn_together(worked: &Worked) -> Vec<Group> {
    let mut group_of: BTreeMap<At, usize> = BTreeMap::new();
    let mut groups: Vec<Group> = Vec::new();
    for (p, piece) in worked.pieces.iter().enumerate() {
        for e in 0..piece.edges.len() {
            group_of.insert((p, e), groups.len());
            groups.push(Group {
                edges: vec![(p, e)],
                seams: Vec::new(),
            });
        }
    }
    for seam in &worked.seams {
        let edges = seam.a.iter().chain(&seam.b);
        let all: Vec<At> = edges.filter_map(|e| find(worked, e)).collect();
        let Some(first) = all.first().and_then(|at| group_of.get(at)).copied() else {
            continue;
        };
        for at in &all {
            let Some(other) = group_of.get(at).copied().filter(|g| *g != first) else {
                continue;
            };
            let taken = core::mem::take(&mut groups[other]);
            for moved in &taken.edges {
                group_of.insert(*moved, first);
            }
            groups[first].edges.extend(taken.edges);
            groups[first].seams.extend(taken.seams);
        }
        groups[first].seams.push(seam.name.clone());
    }
    groups.retain(|g| !g.edges.is_empty());
    groups
}

fn find(worked: &Worked, name: &EdgeName) -> Option<At> {
    let p = worked.pieces.iter().position(|p| p.name == name.piece)?;
    let e = worked.pieces[p].edge_index(&name.edge).ok()?;
    Some((p, e))
}

fn of_group(worked: &Worked, places: &[Place], group: &Group) -> Kind {
    let all: Vec<(&piece::Edge, Place)> = group
        .edges
        .iter()
        .map(|at| (&worked.pieces[at.0].edges[at.1], places[at.0]))
        .collect();
    let has = |place: Place| all.iter().any(|(_, p)| *p == place);
    let outer = if has(Place::Shell) {
        Place::Shell
    } else if has(Place::Facing) {
        Place::Facing
    } else {
        Place::Under
    };
    // What the outermost layer says counts.
    let told = || all.iter().filter(|(_, p)| *p == outer).map(|(e, _)| *e);
    let zip = outer == Place::Shell && told().any(|e| !e.open.is_empty());
    let named = told().filter_map(|e| by_name(&e.name)).max();
    let role = |role: Role| told().any(|e| e.role == role);
    let row = match (outer, named) {
        // The top of a band is turned in, not up.
        (Place::Shell, Some(Named::Enclosed)) => Row::Enclosed,
        (_, Some(Named::Waist)) => Row::Waist,
        (Place::Shell, _) if role(Role::Hem) => Row::Hem,
        (Place::Facing, _) if role(Role::Hem) => Row::InnerEdge,
        (Place::Under, _) if role(Role::Hem) => Row::LiningHem,
        (Place::Facing, _) => Row::Facing,
        (Place::Under, _) => Row::Lining,
        _ if told().all(|e| e.role == Role::Opening) => Row::Opening,
        (Place::Shell, Some(Named::Centre)) => Row::Centre,
        (Place::Shell, Some(Named::Side)) => Row::Side,
        // What is sewn on along a seam says nothing of the seam itself.
        (Place::Shell, _) => {
            let seams = group.seams.iter().filter_map(|s| by_name(s));
            match seams
                .filter(|n| matches!(n, Named::Side | Named::Centre))
                .max()
            {
                Some(Named::Centre) => Row::Centre,
                Some(Named::Side) => Row::Side,
                _ => Row::Seam,
            }
        }
    };
    Kind { row, zip }
}

/// The edge of the same name on the piece from which this one was copied; where only one of the two was
/// cut apart for her left and her right, the edge of that name without its side.
fn model(worked: &Worked, at: At) -> Option<At> {
    let name = &worked.pieces[at.0].edges[at.1].name;
    let from = worked.origins.get(at.0)?.copied_from.first()?;
    let p = worked.pieces.iter().position(|p| p.name == *from)?;
    Some((p, like(&worked.pieces[p], name)?))
}

/// What a name of the trade says of an edge; the later one counts where several are said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Named {
    Side,
    Centre,
    Enclosed,
    Waist,
}

fn by_name(name: &str) -> Option<Named> {
    let lower = name.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric());
    words
        .filter_map(|word| match word {
            "side" => Some(Named::Side),
            "centre" | "center" => Some(Named::Centre),
            "neck" | "neckline" | "armhole" | "top" => Some(Named::Enclosed),
            "waist" => Some(Named::Waist),
            _ => None,
        })
        .max()
}
