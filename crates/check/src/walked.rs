//! A seam laid on its partner: from stop to stop, with notches paired afresh.

use draft::correction::Side;
use draft::sided::bare;
use measure::Point;

use crate::finding::Finding;
use crate::seen::{EdgeSeen, Leg, Place, Seam, Seen};

/// Partners lie within this of each other along the seam, in millimetres: 1/2 in.
pub(crate) const PARTNERS: f64 = 12.7;
/// A notch with other snips is taken for a partner only when it lies so much nearer, in millimetres.
const OTHER_SNIPS: f64 = 3.0;
/// A level of the body names a place within this of it, in millimetres: 1/4 in.
const AT_LEVEL: f64 = 6.35;
/// A marked point names a place within this of it, in millimetres.
const AT_MARK: f64 = 1.0;

/// A place at which both sides must meet: an end, or a pair of notches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stop {
    /// How far along the first side, in millimetres, darts sewn.
    pub(crate) a: f64,
    /// How far along the second.
    pub(crate) b: f64,
}

/// From one stop to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stretch {
    /// Where it begins.
    pub(crate) from: Stop,
    /// Where it ends.
    pub(crate) to: Stop,
    /// How much longer the first side is than the second and its share of the ease, in millimetres.
    pub(crate) out: f64,
}

/// A notch with its place on its side and its snips.
pub(crate) type Notch = (f64, u8);

/// Two sides laid on each other.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Walked {
    /// How long the first side is, in millimetres, darts sewn.
    pub(crate) a: f64,
    /// How long the second is.
    pub(crate) b: f64,
    /// How much longer the first is than the second and the declared ease.
    pub(crate) out: f64,
    /// Stretch by stretch.
    pub(crate) stretches: Vec<Stretch>,
    /// Pairs of notches.
    pub(crate) pairs: Vec<(Notch, Notch)>,
    /// Notches of the first side without a partner.
    pub(crate) lone_a: Vec<Notch>,
    /// Notches of the second side without a partner.
    pub(crate) lone_b: Vec<Notch>,
}

/// Lays the second side of a seam on the first. The declared ease is spread evenly.
pub(crate) fn walk(seen: &Seen<'_>, seam: &Seam) -> Walked {
    let (a, b) = (seen.length(&seam.a), seen.length(&seam.b));
    let (one, two) = (seen.notches(&seam.a), seen.notches(&seam.b));
    // What of the first side is left when its ease is taken up.
    let kept = if a > 0.0 { (a - seam.ease) / a } else { 1.0 };
    let apart = |i: usize, j: usize| -> f64 {
        let from_start = one[i].0 * kept - two[j].0;
        let from_end = (a - one[i].0) * kept - (b - two[j].0);
        from_start.abs().min(from_end.abs())
    };
    let pairs = paired(&one, &two, &apart);
    let mut stops = vec![Stop { a: 0.0, b: 0.0 }];
    stops.extend(pairs.iter().map(|(i, j)| Stop {
        a: one[*i].0,
        b: two[*j].0,
    }));
    stops.push(Stop { a, b });
    let stretches = stops
        .windows(2)
        .map(|w| Stretch {
            from: w[0],
            to: w[1],
            out: (w[1].a - w[0].a) * kept - (w[1].b - w[0].b),
        })
        .collect();
    let lone = |all: &[Notch], has: &dyn Fn(usize) -> bool| -> Vec<Notch> {
        (0..all.len())
            .filter(|i| !has(*i))
            .map(|i| all[i])
            .collect()
    };
    let mut walked = Walked {
        a,
        b,
        out: a - b - seam.ease,
        stretches,
        lone_a: lone(&one, &|i| pairs.iter().any(|p| p.0 == i)),
        lone_b: lone(&two, &|j| pairs.iter().any(|p| p.1 == j)),
        pairs: pairs.iter().map(|(i, j)| (one[*i], two[*j])).collect(),
    };
    // Where edges join, and where a dart is sewn, the cloth itself marks the place.
    let (joins_a, joins_b) = (joins(seen, &seam.a), joins(seen, &seam.b));
    let at = |here: f64, joins: &[f64]| joins.iter().any(|j| (here - j).abs() <= PARTNERS);
    walked.lone_a.retain(|n| !at(n.0 * kept, &joins_b));
    walked.lone_b.retain(|n| {
        let on_a: Vec<f64> = joins_a.iter().map(|j| j * kept).collect();
        !at(n.0, &on_a)
    });
    walked
}

/// Places along a side at which two of its edges join or a dart of it is sewn.
fn joins(seen: &Seen<'_>, side: &[Leg]) -> Vec<f64> {
    let mut out = Vec::new();
    let mut before = 0.0;
    for (i, leg) in side.iter().enumerate() {
        let edge = seen.edge(*leg);
        let (from, to) = (edge.closed(leg.stretch.0), edge.closed(leg.stretch.1));
        if i > 0 {
            out.push(before);
        }
        for mouth in &edge.mouths {
            let at = edge.closed(mouth.0);
            if at > from && at < to {
                out.push(before + if leg.backward { to - at } else { at - from });
            }
        }
        before += to - from;
    }
    out
}

/// Pairs notches one to one in their order: as many as have a partner near enough, and those with the
/// least distances in sum.
fn paired(
    one: &[Notch],
    two: &[Notch],
    apart: &dyn Fn(usize, usize) -> f64,
) -> Vec<(usize, usize)> {
    let (n, m) = (one.len(), two.len());
    // least[i][j]: the cost of the first i against the first j; a notch left alone costs half of what
    // partners may lie apart, so a pair is made whenever they lie nearer than that.
    let alone = f64::midpoint(PARTNERS, OTHER_SNIPS);
    let pair = |i: usize, j: usize| {
        let off = apart(i, j);
        let snips = if one[i].1 == two[j].1 {
            0.0
        } else {
            OTHER_SNIPS
        };
        if off <= PARTNERS {
            off + snips
        } else {
            f64::INFINITY
        }
    };
    let mut least = vec![vec![0.0; m + 1]; n + 1];
    for i in 0..=n {
        for j in 0..=m {
            if i == 0 && j == 0 {
                continue;
            }
            let mut best = f64::INFINITY;
            if i > 0 {
                best = best.min(least[i - 1][j] + alone);
            }
            if j > 0 {
                best = best.min(least[i][j - 1] + alone);
            }
            if i > 0 && j > 0 {
                best = best.min(least[i - 1][j - 1] + pair(i - 1, j - 1));
            }
            least[i][j] = best;
        }
    }
    let mut pairs = Vec::new();
    let (mut i, mut j) = (n, m);
    while i > 0 && j > 0 {
        let with = least[i - 1][j - 1] + pair(i - 1, j - 1);
        if with <= least[i - 1][j] + alone && with <= least[i][j - 1] + alone {
            pairs.push((i - 1, j - 1));
            i -= 1;
            j -= 1;
        } else if least[i - 1][j] <= least[i][j - 1] {
            i -= 1;
        } else {
            j -= 1;
        }
    }
    pairs.reverse();
    pairs
}

/// What a place of a seam is called: a level of the body, a marked point, an end by the edge that meets
/// it there, else so far from the seam's beginning.
pub(crate) fn place(seen: &Seen<'_>, seam: &Seam, at: f64) -> String {
    const AT_END: f64 = 0.1;
    let whole = seen.length(&seam.a);
    let begins = at < AT_END;
    if begins || at > whole - AT_END {
        let names = [&seam.a, &seam.b].map(|side| seen.meets(side, begins).map(EdgeSeen::name));
        if let [Some(one), Some(two)] = names
            && (one == two || last_word(one) == last_word(two))
        {
            return last_word(one).to_owned();
        }
    }
    if let Some((leg, point)) = seen.point(&seam.a, at)
        && let Some(name) = near(seen, leg, point)
    {
        return name;
    }
    if begins {
        return "its beginning".into();
    }
    if at > whole - AT_END {
        return "its end".into();
    }
    let first = place(seen, seam, 0.0);
    let first = if first == "its beginning" {
        first
    } else {
        format!("the {first}")
    };
    format!("the notch {} from {first}", seen.tell(at))
}

/// Whether a place of a seam has a name of its own.
pub(crate) fn has_name(seen: &Seen<'_>, seam: &Seam, at: f64) -> bool {
    !place(seen, seam, at).starts_with("the notch ")
}

/// A notch as it is said: `the notch at hip`.
pub(crate) fn notch(seen: &Seen<'_>, seam: &Seam, at: f64) -> String {
    let place = place(seen, seam, at);
    if place.starts_with("the notch ") {
        place
    } else {
        format!("the notch at {place}")
    }
}

fn last_word(name: &str) -> &str {
    let (name, _) = bare(name);
    name.rsplit(' ').next().unwrap_or(name)
}

/// The level of the body or the marked point at a place of a piece.
fn near(seen: &Seen<'_>, leg: Leg, point: Point) -> Option<String> {
    let part = &seen.parts[leg.part];
    let level = part.sheet.and_then(|sheet| {
        seen.worked
            .levels
            .iter()
            .filter(|l| l.sheet == sheet && (l.y - point.y).abs() <= AT_LEVEL)
            .min_by(|a, b| (a.y - point.y).abs().total_cmp(&(b.y - point.y).abs()))
    });
    if let Some(level) = level {
        return Some(level.body.clone());
    }
    part.piece
        .marks
        .iter()
        .filter(|m| (m.point - point).size() <= AT_MARK)
        .min_by(|a, b| {
            (a.point - point)
                .size()
                .total_cmp(&(b.point - point).size())
        })
        .map(|m| m.name.clone())
}

/// A side as it is said: `the front side`, `the right of gore number 1`.
pub(crate) fn said(seen: &Seen<'_>, side: &[Leg]) -> String {
    let each: Vec<String> = side
        .iter()
        .map(|l| said_edge(&seen.parts[l.part].piece.name, seen.edge(*l).name()))
        .collect();
    each.join(" and ")
}

/// An edge as it is said.
pub(crate) fn said_edge(piece: &str, edge: &str) -> String {
    let ((piece, one), (edge, two)) = (bare(piece), bare(edge));
    let simple = !piece.contains(|c: char| c.is_ascii_digit()) && !edge.contains(' ');
    let side = match (one, two) {
        (Side::Left, _) | (_, Side::Left) => " on her left",
        (Side::Right, _) | (_, Side::Right) => " on her right",
        _ => "",
    };
    if simple {
        format!("the {piece} {edge}{side}")
    } else {
        format!("the {edge} of {piece}{side}")
    }
}

/// A name at the beginning of a sentence.
pub(crate) fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Whether an edge of a facing or lining repeats an edge of the piece it was copied from on which the
/// same rule already speaks.
fn repeats(seen: &Seen<'_>, leg: Leg, told: &[Finding], rule: &str) -> bool {
    let part = &seen.parts[leg.part];
    if part.place == Place::Shell {
        return false;
    }
    let from = seen.worked.origins.get(leg.part).map(|o| &o.copied_from);
    let edge = seen.edge(leg).name();
    from.into_iter().flatten().any(|first| {
        told.iter().any(|f| {
            f.rule == rule
                && f.spots
                    .iter()
                    .any(|s| s.piece == *first && s.edge.as_deref().is_none_or(|e| e == edge))
        })
    })
}

/// Whether a seam of facings or linings only repeats what was told of the shell.
pub(crate) fn is_told(seen: &Seen<'_>, seam: &Seam, told: &[Finding], rule: &str) -> bool {
    let mut legs = seam.a.iter().chain(&seam.b).copied();
    legs.all(|l| repeats(seen, l, told, rule))
}

/// The same of one edge of a piece.
pub(crate) fn is_told_of(
    seen: &Seen<'_>,
    part: usize,
    edge: usize,
    told: &[Finding],
    rule: &str,
) -> bool {
    let leg = Leg {
        part,
        edge,
        backward: false,
        stretch: (0.0, seen.parts[part].edges[edge].line.length()),
    };
    repeats(seen, leg, told, rule)
}

/// Seams in the order in which they are told: those of the shell first.
pub(crate) fn shell_first<'s>(seen: &'s Seen<'_>) -> Vec<&'s Seam> {
    let mut seams: Vec<&Seam> = seen.seams.iter().collect();
    seams.sort_by_key(|s| {
        s.a.iter()
            .chain(&s.b)
            .any(|l| seen.parts[l.part].place != Place::Shell)
    });
    seams
}
