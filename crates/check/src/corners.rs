//! F3 and F4: at the ends of seams and folds the edge that goes on round her has no peak and no dip.

use measure::Angle;
use piece::Role;

use crate::finding::{Amount, Finding, Weight};
use crate::rules::{F3, F4};
use crate::seen::{Leg, Place, Seam, Seen};
use crate::walked;
use crate::ways;

/// How much two corners of a seam may be out together, in degrees.
const SEAM: f64 = 2.0;
/// How much a corner at the fold or the centre may be out, in degrees.
const CENTRE: f64 = 1.0;
/// More than this at the centre is drawn to a point on purpose, in degrees.
const POINTED: f64 = 20.0;
/// A corner wider than this is none: the edge runs on past the end of the seam, in degrees.
pub(crate) const RUNS_ON: f64 = 150.0;

/// Looks at both ends of every seam, and of every fold.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out: Vec<Finding> = Vec::new();
    for seam in walked::shell_first(seen) {
        if seam.twin {
            for at_start in [true, false] {
                if let Some((leg, begins)) = seen.end(&seam.a, at_start) {
                    at_centre(seen, leg.part, leg.edge, begins, true, &mut out);
                }
            }
            continue;
        }
        for at_start in [true, false] {
            let found = at_seam(seen, seam, at_start);
            if let Some(found) = found
                && !walked::is_told(seen, seam, &out, F3.id)
            {
                out.push(found);
            }
        }
    }
    for place in [Place::Shell, Place::Facing, Place::Under] {
        for (p, part) in seen.parts.iter().enumerate() {
            for (e, edge) in part.edges.iter().enumerate() {
                if part.place == place && edge.edge.role == Role::Fold {
                    for begins in [true, false] {
                        at_centre(seen, p, e, begins, false, &mut out);
                    }
                }
            }
        }
    }
    out
}

/// The corner of a piece where one of its edges begins or ends, in degrees.
pub(crate) fn corner(seen: &Seen<'_>, leg: Leg, begins: bool) -> Option<f64> {
    let part = &seen.parts[leg.part];
    let next = if begins {
        leg.edge
    } else {
        (leg.edge + 1) % part.edges.len()
    };
    ways::corner(part, next)
}

/// The edge that meets another where it begins or ends.
pub(crate) fn meeting(seen: &Seen<'_>, leg: Leg, begins: bool) -> usize {
    let n = seen.parts[leg.part].edges.len();
    if begins {
        (leg.edge + n - 1) % n
    } else {
        (leg.edge + 1) % n
    }
}

fn at_seam(seen: &Seen<'_>, seam: &Seam, at_start: bool) -> Option<Finding> {
    let (one, two) = (seen.end(&seam.a, at_start)?, seen.end(&seam.b, at_start)?);
    // A facing or lining lies on its shell; it does not go on from it.
    if seen.parts[one.0.part].place != seen.parts[two.0.part].place {
        return None;
    }
    let (x, y) = (meeting(seen, one.0, one.1), meeting(seen, two.0, two.1));
    if is_inside(seen, one.0.part, x) || is_inside(seen, two.0.part, y) {
        return None;
    }
    if !goes_on(seen, (one.0.part, x), (two.0.part, y)) {
        return None;
    }
    let (a, b) = (corner(seen, one.0, one.1)?, corner(seen, two.0, two.1)?);
    let out = a + b - 180.0;
    if out.abs() <= SEAM || a > RUNS_ON || b > RUNS_ON {
        return None;
    }
    let edge = seen.parts[one.0.part].edges[x].name();
    let shape = if out < 0.0 { "a point" } else { "a dip" };
    let says = format!(
        "{} at the {edge}: the corners of {} and {} are {:.1}° and {:.1}°, {:.1}° {} than 180° together, so the {edge} has {shape} there.",
        walked::capital(&seam.name),
        seen.parts[one.0.part].piece.name,
        seen.parts[two.0.part].piece.name,
        a,
        b,
        out.abs(),
        if out < 0.0 { "less" } else { "more" },
    );
    let place = format!(
        "{} + {}",
        seen.parts[one.0.part].named(x),
        seen.parts[two.0.part].named(y)
    );
    let mut finding = Finding::of(&F3, Weight::Ask, place, says).out_by(
        Amount::Angle(Angle::degrees(out)),
        Some(Amount::Angle(Angle::degrees(SEAM))),
    );
    for (leg, begins) in [one, two] {
        let edge = seen.edge(leg);
        let point = if begins {
            edge.line.start()
        } else {
            edge.line.end()
        };
        finding = finding.at(&seen.parts[leg.part].piece.name, Some(edge.name()), point);
    }
    Some(finding)
}

/// The free edge of a facing lies inside and is only finished: no one sees a corner in it.
fn is_inside(seen: &Seen<'_>, part: usize, edge: usize) -> bool {
    let part = &seen.parts[part];
    part.place == Place::Facing && part.edges[edge].edge.role == Role::Hem
}

/// Whether two edges that meet at the end of a seam go on into each other round her: two hems, or two
/// edges of one name or one partner. Openings, folds, and edges sewn to each other do not.
pub(crate) fn goes_on(seen: &Seen<'_>, x: (usize, usize), y: (usize, usize)) -> bool {
    let edge = |e: (usize, usize)| &seen.parts[e.0].edges[e.1];
    match (edge(x).edge.role, edge(y).edge.role) {
        (Role::Hem, Role::Hem) => return true,
        (Role::Seam, Role::Seam) => {}
        _ => return false,
    }
    let (px, py) = (partners(seen, x), partners(seen, y));
    if px.contains(&y) || py.contains(&x) || x == y {
        return false;
    }
    let last = |name: &str| name.rsplit(' ').next().map(str::to_owned);
    let alike = last(edge(x).name()) == last(edge(y).name());
    let bound = px.is_empty() && py.is_empty();
    let one_partner = px.iter().any(|p| py.iter().any(|q| p.0 == q.0));
    alike || bound || one_partner
}

/// The edges to which an edge is sewn.
pub(crate) fn partners(seen: &Seen<'_>, edge: (usize, usize)) -> Vec<(usize, usize)> {
    let holds = |legs: &[Leg]| legs.iter().any(|l| (l.part, l.edge) == edge);
    let mut out = Vec::new();
    for seam in &seen.seams {
        for (side, other) in [(&seam.a, &seam.b), (&seam.b, &seam.a)] {
            if holds(side) {
                out.extend(other.iter().map(|l| (l.part, l.edge)));
            }
        }
    }
    out
}

/// An end of a fold, or of a seam that is sewn to its twin: square.
fn at_centre(
    seen: &Seen<'_>,
    part: usize,
    edge: usize,
    begins: bool,
    twin: bool,
    out: &mut Vec<Finding>,
) {
    let whole = seen.parts[part].edges[edge].line.length();
    let leg = Leg {
        part,
        edge,
        backward: false,
        stretch: (0.0, whole),
    };
    let meets = meeting(seen, leg, begins);
    let role = seen.parts[part].edges[meets].edge.role;
    if !matches!(role, Role::Hem | Role::Seam) || is_inside(seen, part, meets) {
        return;
    }
    let Some(angle) = corner(seen, leg, begins) else {
        return;
    };
    let off = angle - 90.0;
    if off.abs() <= CENTRE || angle > RUNS_ON || walked::is_told_of(seen, part, meets, out, F4.id) {
        return;
    }
    let piece = &seen.parts[part].piece.name;
    let name = seen.parts[part].edges[meets].name();
    let own = seen.parts[part].edges[edge].name();
    let opened = if twin { "Sewn together" } else { "Opened out" };
    let shape = if off < 0.0 { "a point" } else { "a dip" };
    let says = format!(
        "{} meets its {own} at {angle:.1}° instead of square. {opened} it has {shape} of {:.1}° there.",
        walked::capital(&walked::said_edge(piece, name)),
        2.0 * off.abs(),
    );
    let weight = if off.abs() > POINTED {
        Weight::Note
    } else {
        Weight::Ask
    };
    let line = &seen.parts[part].edges[edge].line;
    let point = if begins { line.start() } else { line.end() };
    let mut finding = Finding::of(&F4, weight, seen.parts[part].named(meets), says)
        .out_by(
            Amount::Angle(Angle::degrees(off)),
            Some(Amount::Angle(Angle::degrees(CENTRE))),
        )
        .at(piece, Some(name), point);
    if weight == Weight::Note {
        finding =
            finding.cured_by("If a point is wanted there, leave it; else square the first inch.");
    }
    out.push(finding);
}

#[cfg(test)]
mod tests;
