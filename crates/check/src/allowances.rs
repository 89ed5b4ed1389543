//! F29: every edge has something to sew by, the cutting line lies outside by just that, and the ends of
//! partners' allowances meet.

use measure::{Length, Point};
use piece::{Corner, Role};

use crate::corners;
use crate::cut::Cut;
use crate::finding::{Amount, Finding, Weight};
use crate::rules::F29;
use crate::seams;
use crate::seen::{Leg, Part, Place, Seam, Seen};
use crate::walked;
use crate::ways;

/// Less than this is nothing to sew by, in millimetres.
const NOTHING: f64 = 0.05;
/// The cutting line lies at the allowance to within this, in millimetres.
const WIDTH: f64 = 0.05;
/// Its chords lie within this of it, in millimetres.
const CHORDS: f64 = 0.005;
/// A stitching line may lie outside the cutting line by no more, in millimetres.
const INSIDE: f64 = 0.02;
/// Places looked at along an edge lie so far apart, in millimetres.
const EVERY: f64 = 8.0;
/// An edge of which a dart leaves less than this is all dart, in millimetres.
const NEAR_DART: f64 = 5.0;
/// Farther than this past its allowance a cutting line is not looked for, in millimetres.
const BEYOND: f64 = 400.0;
/// Ends of partners' allowances meet to within this, in millimetres: 1/16 in.
const ENDS: f64 = 1.5875;

/// Looks at all edges and cutting lines, then at the ends of partners.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out = missing(seen);
    let cuts: Vec<Option<Cut>> = seen
        .parts
        .iter()
        .map(|part| {
            let line = piece::cutting_line(part.piece).ok()?;
            Length::try_mm(CHORDS).map(|near| Cut::through(line.curve.flatten(near)))
        })
        .collect();
    for (part, cut) in seen.parts.iter().zip(&cuts) {
        match cut {
            Some(cut) => out.extend(of_cut(seen, part, cut)),
            None => out.push(Finding::of(
                &F29,
                Weight::Stop,
                part.piece.name.clone(),
                format!("{} has no cutting line.", walked::capital(&part.piece.name)),
            )),
        }
    }
    for seam in walked::shell_first(seen) {
        for at_start in [true, false] {
            if let Some(found) = ends(seen, seam, at_start, &cuts)
                && !walked::is_told(seen, seam, &out, F29.id)
            {
                out.push(found);
            }
        }
    }
    out.extend(unlike(seen));
    out
}

/// The least of an edge's allowance.
fn least(part: &Part<'_>, edge: usize) -> f64 {
    let allowance = &part.edges[edge].edge.allowance;
    let steps = allowance.changes().iter().map(|c| c.width.in_mm());
    steps.fold(allowance.first().in_mm(), f64::min)
}

/// Edges without an allowance. A pattern with none at all is drawn without, and that is told once.
fn missing(seen: &Seen<'_>) -> Vec<Finding> {
    let bare = |p: usize, e: usize| least(&seen.parts[p], e) < NOTHING;
    let all: Vec<(usize, usize)> = seen
        .parts
        .iter()
        .enumerate()
        .flat_map(|(p, part)| (0..part.edges.len()).map(move |e| (p, e)))
        .filter(|(p, e)| seen.parts[*p].edges[*e].edge.role != Role::Fold)
        .collect();
    let without: Vec<(usize, usize)> = all.iter().copied().filter(|(p, e)| bare(*p, *e)).collect();
    if !without.is_empty() && without.len() == all.len() {
        return vec![
            Finding::of(
                &F29,
                Weight::Ask,
                "pattern",
                "No edge of this pattern has an allowance.",
            )
            .cured_by("Give the edges their allowances, or add them by hand when you cut."),
        ];
    }
    let mut out: Vec<Finding> = Vec::new();
    for (p, e) in without {
        let part = &seen.parts[p];
        let edge = &part.edges[e];
        let sewn_to = corners::partners(seen, (p, e));
        // A band or a binding may enclose it; no other partner sews an edge that has nothing.
        let enclosed = sewn_to
            .iter()
            .any(|q| !bare(q.0, q.1) && encloses(&seen.parts[q.0].piece.name));
        let weight = match edge.edge.role {
            Role::Seam | Role::Hem if enclosed => Weight::Ask,
            Role::Hem => Weight::Stop,
            Role::Seam if !sewn_to.is_empty() => Weight::Stop,
            _ => Weight::Ask,
        };
        if walked::is_told_of(seen, p, e, &out, F29.id) {
            continue;
        }
        let some = edge.edge.allowance.widest().in_mm() > NOTHING;
        let says = format!(
            "{} has no allowance{}: there is nothing to {} by.",
            walked::capital(&walked::said_edge(&part.piece.name, edge.name())),
            if some { " on a part of its way" } else { "" },
            if edge.edge.role == Role::Hem && sewn_to.is_empty() {
                "turn it up"
            } else {
                "sew it"
            }
        );
        let length = |mm: f64| Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO));
        let finding = Finding::of(&F29, weight, part.named(e), says)
            .out_by(length(least(part, e)), None)
            .at(
                &part.piece.name,
                Some(edge.name()),
                edge.line.at(edge.line.length() / 2.0),
            );
        out.push(if weight == Weight::Ask {
            finding.cured_by("If it is bound or left raw, leave it; else give it an allowance.")
        } else {
            finding
        });
    }
    out
}

/// Whether a piece is one that may enclose the raw edge it is sewn to, by its name.
fn encloses(piece: &str) -> bool {
    let words = piece.split(|c: char| !c.is_alphanumeric());
    words.into_iter().any(|word| {
        let word = word.to_lowercase();
        word == "bias" || word.ends_with("band") || word.ends_with("binding")
    })
}

/// A note for each seam whose two sides have unlike allowances along more than a little of it. An edge
/// that is sewn to a hem's own facing, a band or a lining is looked at like any other.
fn unlike(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out: Vec<Finding> = Vec::new();
    for seam in walked::shell_first(seen).into_iter().filter(|s| !s.twin) {
        let ([a], [b]) = (seam.a.as_slice(), seam.b.as_slice()) else {
            continue;
        };
        let Some((one, two, at)) = most_unlike(seen, *a, *b) else {
            continue;
        };
        if walked::is_told(seen, seam, &out, F29.id) {
            continue;
        }
        let names = [*a, *b]
            .map(|l| walked::said_edge(&seen.parts[l.part].piece.name, seen.edge(l).name()));
        let says = format!(
            "{} has an allowance of {}, {} of {}: the raw edges don't lie together when it is sewn.",
            walked::capital(&names[0]),
            seen.tell(one),
            names[1],
            seen.tell(two)
        );
        let length = |mm: f64| Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO));
        let mut finding = Finding::of(&F29, Weight::Note, seams::seam_place(seen, seam), says)
            .out_by(length(one - two), Some(length(ENDS)))
            .cured_by("If it is meant so, sew by the stitching line; else give both the same.");
        for (leg, along) in [(*a, at.0), (*b, at.1)] {
            let edge = seen.edge(leg);
            finding = finding.at(
                &seen.parts[leg.part].piece.name,
                Some(edge.name()),
                edge.line.at(along),
            );
        }
        out.push(finding);
    }
    out
}

/// The two allowances of a seam's sides where they differ most, and how far along each edge, if they
/// differ at two of its places at least: at a step the one side may be a hair later.
fn most_unlike(seen: &Seen<'_>, a: Leg, b: Leg) -> Option<(f64, f64, (f64, f64))> {
    const PLACES: u32 = 20;
    let along = |leg: Leg, share: f64| {
        let share = if leg.backward { 1.0 - share } else { share };
        leg.stretch.0 + share * (leg.stretch.1 - leg.stretch.0)
    };
    let differ: Vec<(f64, f64, (f64, f64))> = (1..PLACES)
        .map(|i| f64::from(i) / f64::from(PLACES))
        .map(|share| {
            let at = (along(a, share), along(b, share));
            (width(seen.edge(a), at.0), width(seen.edge(b), at.1), at)
        })
        .filter(|(one, two, _)| *one > NOTHING && *two > NOTHING && (one - two).abs() > ENDS)
        .collect();
    if differ.len() < 2 {
        return None;
    }
    let off = |d: &(f64, f64, (f64, f64))| (d.0 - d.1).abs();
    differ.into_iter().max_by(|x, y| off(x).total_cmp(&off(y)))
}

/// The cutting line of a piece against its stitching line.
fn of_cut(seen: &Seen<'_>, part: &Part<'_>, cut: &Cut) -> Vec<Finding> {
    let strips = Strips::of(part);
    let mut out = Vec::new();
    for (e, edge) in part.edges.iter().enumerate() {
        let far = places(edge.line.length(), EVERY / 2.0)
            .into_iter()
            .map(|at| edge.line.at(at))
            .filter_map(|p| Some((cut.outside(p, INSIDE)?, p)))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((far, point)) = far {
            let says = format!(
                "The cutting line of {} runs {} inside its {}.",
                part.piece.name,
                seen.tell_small(far),
                edge.name()
            );
            let length = |mm: f64| Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO));
            out.push(
                Finding::of(&F29, Weight::Stop, part.named(e), says)
                    .out_by(length(-far), Some(length(INSIDE)))
                    .at(&part.piece.name, Some(edge.name()), point),
            );
            continue;
        }
        if let Some((out_by, point)) = worst_width(part, e, &strips, cut) {
            let says = format!(
                "The cutting line along {} lies {} too {}.",
                walked::said_edge(&part.piece.name, edge.name()),
                seen.tell_small(out_by),
                if out_by > 0.0 { "far out" } else { "near" }
            );
            let length = |mm: f64| Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO));
            out.push(
                Finding::of(&F29, Weight::Stop, part.named(e), says)
                    .out_by(length(out_by), Some(length(WIDTH)))
                    .at(&part.piece.name, Some(edge.name()), point),
            );
        }
    }
    out
}

/// The whole stitching line as places with the allowance that each has.
struct Strips(Vec<(Point, f64)>);

impl Strips {
    fn of(part: &Part<'_>) -> Self {
        let mut out = Vec::new();
        for edge in &part.edges {
            let whole = edge.line.length();
            for (i, at) in places(whole, EVERY / 4.0).into_iter().enumerate() {
                let width = if edge.edge.role == Role::Fold || i == 0 || at >= whole {
                    0.0
                } else {
                    width(edge, at)
                };
                out.push((edge.line.at(at), width));
            }
        }
        Self(out)
    }

    /// Whether a place lies well inside the allowance of another place: strips overlap there, or a
    /// hollow is too tight for its allowance.
    fn covers(&self, p: Point) -> bool {
        const WELL: f64 = 0.2;
        self.0.iter().any(|(q, w)| {
            let (off, reach) = (p - *q, w - WELL);
            off.x.abs() < reach && off.y.abs() < reach && off.dot(off) < reach * reach
        })
    }
}

fn width(edge: &crate::seen::EdgeSeen<'_>, at: f64) -> f64 {
    let along = Length::try_mm(at).unwrap_or(Length::ZERO);
    edge.edge.allowance.width_at(along).in_mm()
}

/// Even places along a line, its ends among them.
fn places(whole: f64, every: f64) -> Vec<f64> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "an edge is a few metres at most"
    )]
    let steps = (whole / every).ceil().clamp(1.0, 4000.0) as u32;
    (0..=steps)
        .map(|i| whole * f64::from(i) / f64::from(steps))
        .collect()
}

/// The place at which the cutting line is farthest from an edge's allowance, if it is out at all.
fn worst_width(part: &Part<'_>, index: usize, strips: &Strips, cut: &Cut) -> Option<(f64, Point)> {
    let edge = &part.edges[index];
    if edge.edge.role == Role::Fold {
        return None;
    }
    let whole = edge.line.length();
    let free = Free::of(part, index);
    let mut worst: Option<(f64, Point)> = None;
    for at in places(whole, EVERY) {
        let wide = width(edge, at);
        if !free.holds(at) || wide < NOTHING {
            continue;
        }
        let point = edge.line.at(at);
        let out = edge.line.toward(at - 1.0, at + 1.0)?.left();
        if strips.covers(point + out * wide) {
            continue;
        }
        let off = cut
            .reached(point, out, wide + BEYOND)
            .map_or(-wide, |reached| reached - wide);
        if off.abs() > WIDTH && worst.is_none_or(|w| off.abs() > w.0.abs()) {
            worst = Some((off, point));
        }
    }
    worst
}

/// Where along an edge nothing but its own allowance decides: not near its corners, steps, darts and
/// the corners within it.
struct Free {
    from: f64,
    to: f64,
    but: Vec<(f64, f64)>,
}

impl Free {
    fn of(part: &Part<'_>, index: usize) -> Self {
        const STEP: f64 = 2.0;
        let edge = &part.edges[index];
        let whole = edge.line.length();
        let n = part.edges.len();
        let widest = edge.edge.allowance.widest().in_mm();
        let reach = |begins: bool| -> f64 {
            let (other, corner) = if begins {
                ((index + n - 1) % n, index)
            } else {
                ((index + 1) % n, (index + 1) % n)
            };
            let wide = widest.max(part.edges[other].edge.allowance.widest().in_mm());
            let sine = ways::corner(part, corner)
                .map_or(0.3, |a| measure::angle::sin(a.to_radians()).abs());
            1.5 * wide / sine.max(0.3) + 1.0
        };
        let mut but: Vec<(f64, f64)> = edge
            .mouths
            .iter()
            .map(|m| (m.0 - widest - STEP, m.1 + widest + STEP))
            .collect();
        let allowance = &edge.edge.allowance;
        but.extend(allowance.changes().iter().map(|c| {
            let at = c.at.in_mm();
            (at - STEP, at + STEP)
        }));
        but.extend(
            edge.edge
                .curve
                .corners(measure::Angle::degrees(0.5))
                .iter()
                .map(|(at, _)| {
                    let at = at.in_mm();
                    (at - widest - STEP, at + widest + STEP)
                }),
        );
        Self {
            from: reach(true),
            to: whole - reach(false),
            but,
        }
    }

    fn holds(&self, at: f64) -> bool {
        at > self.from && at < self.to && !self.but.iter().any(|b| at > b.0 && at < b.1)
    }
}

/// The ends of partners' allowances, at an end of their seam at which the edges go on round her.
fn ends(seen: &Seen<'_>, seam: &Seam, at_start: bool, cuts: &[Option<Cut>]) -> Option<Finding> {
    if seam.twin {
        return None;
    }
    let (one, two) = (seen.end(&seam.a, at_start)?, seen.end(&seam.b, at_start)?);
    let places = [one.0.part, two.0.part].map(|p| seen.parts[p].place);
    if places[0] != places[1] || places[0] == Place::Under {
        return None;
    }
    let (x, y) = (
        corners::meeting(seen, one.0, one.1),
        corners::meeting(seen, two.0, two.1),
    );
    if !corners::goes_on(seen, (one.0.part, x), (two.0.part, y)) {
        return None;
    }
    // A dart that opens at the corner has its cap there.
    let dart = |p: usize, e: usize| !seen.parts[p].edges[e].mouths.is_empty();
    let near = |p: usize, e: usize| dart(p, e) && seen.parts[p].edges[e].sewn() < NEAR_DART;
    if near(one.0.part, x) || near(two.0.part, y) {
        return None;
    }
    let (a, b) = (
        corners::corner(seen, one.0, one.1)?,
        corners::corner(seen, two.0, two.1)?,
    );
    if a > corners::RUNS_ON || b > corners::RUNS_ON {
        return None;
    }
    let cut = |leg: Leg| cuts.get(leg.part).and_then(Option::as_ref);
    let (cut_one, cut_two) = (cut(one.0)?, cut(two.0)?);
    // On the seam line itself, carried on to the cut.
    let mut out = beyond(seen, one, cut_one, 0.0)? - beyond(seen, two, cut_two, 0.0)?;
    // Where both ends are cut square the whole ends agree; turned over they mirror their neighbours.
    let square = [(one, a), (two, b)].iter().all(|((leg, begins), _)| {
        let edge = seen.edge(*leg).edge;
        let style = if *begins {
            edge.start_corner
        } else {
            edge.end_corner
        };
        style == Corner::Squared
    });
    if square {
        let narrow = |(leg, begins): (Leg, bool)| {
            let edge = seen.edge(leg);
            let at = if begins { 0.0 } else { edge.line.length() };
            width(edge, at)
        };
        let up = 0.8 * narrow(one).min(narrow(two));
        let outer = beyond(seen, one, cut_one, up)? - beyond(seen, two, cut_two, up)?;
        if outer.abs() > out.abs() {
            out = outer;
        }
    }
    if out.abs() <= ENDS {
        return None;
    }
    let names = [one.0, two.0].map(|l| seen.parts[l.part].piece.name.as_str());
    let (more, less) = if out > 0.0 {
        (names[0], names[1])
    } else {
        (names[1], names[0])
    };
    let says = format!(
        "{} at the {}: the allowance of {more} ends {} beyond that of {less}.",
        walked::capital(&seam.name),
        seen.parts[one.0.part].edges[x].name(),
        seen.tell_small(out)
    );
    let length = |mm: f64| Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO));
    let mut finding = Finding::of(&F29, Weight::Ask, seams::seam_place(seen, seam), says)
        .out_by(length(out), Some(length(ENDS)))
        .cured_by(
            "Give both edges that meet there the same allowance, and both ends the same corner.",
        );
    for (leg, begins) in [one, two] {
        let line = &seen.edge(leg).line;
        finding = finding.at(
            &seen.parts[leg.part].piece.name,
            Some(seen.edge(leg).name()),
            if begins { line.start() } else { line.end() },
        );
    }
    Some(finding)
}

/// How far past the end of an edge its allowance reaches, so far out from the seam line.
fn beyond(seen: &Seen<'_>, end: (Leg, bool), cut: &Cut, up: f64) -> Option<f64> {
    let (leg, begins) = end;
    let edge = seen.edge(leg);
    let whole = edge.line.length();
    let (at, away, out) = if begins {
        let way = ways::way(edge, 0.0, true)?;
        (edge.line.start(), -way, way.left())
    } else {
        let way = ways::way(edge, whole, false)?;
        (edge.line.end(), way, way.left())
    };
    cut.reached(at + out * up, away, BEYOND)
}

#[cfg(test)]
mod tests;
