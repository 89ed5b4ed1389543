//! A piece that is wider than its cloth, cut in two along the selvedge, so that a join lies in its flare.
//!
//! The old way: what reaches past the cloth at the side or the hem, a wedge of the flare, is cut beside
//! and sewn on, straight grain on straight grain. The join runs along the selvedge, low down, where
//! folds hide it.

use measure::Length;

use crate::cloth::{Cloth, Fold, Runs};
use crate::cut_piece::{CutPiece, Snip, unit};
use crate::outline::holds;

/// What both sides of a join are allowed, until she says otherwise: half an inch (common practice, no
/// source).
pub fn usual_allowance() -> Length {
    Length::inches(0.5)
}

/// Whether so much may be allowed: from an eighth of an inch to two inches.
pub fn may_be_allowed(allowance: Length) -> bool {
    (0.125..=2.0).contains(&allowance.in_inches())
}

/// What stands behind the name of a piece in that of the part that is joined to it.
pub const JOINED: &str = "joined on part";

/// A part is cut no narrower than this, seam to edge: a sliver can't be sewn on (common practice, no
/// source).
const NARROWEST: f64 = 50.0;
/// A join beside the body begins no higher than this share of the piece's length; one across it no
/// higher than not quite two thirds down. Above, it would not lie in the flare.
const HIGHEST: f64 = 0.25;
const HIGHEST_ACROSS: f64 = 0.65;
/// Joins that begin so nearly level, as a share of the length, are alike.
const ALIKE: f64 = 0.02;
/// A join shorter than this has one notch, in millimetres; a longer one two.
const SHORT: f64 = 150.0;
/// A fold this far off the grain, as a sine, is not along it.
const OFF_GRAIN: f64 = 0.01;

/// A join of one piece. Millimetres on the paper: x right, y **down**.
#[derive(Clone, Debug, PartialEq)]
pub struct Join {
    /// The piece.
    pub piece: String,
    /// What is sewn on to it.
    pub part: String,
    /// Where it is stitched, the upper end first.
    pub line: [[f64; 2]; 2],
    /// What is allowed on both sides of it.
    pub allowance: Length,
    /// How far below the top of the piece it begins, down the garment.
    pub begins: Length,
    /// How wide and how long the part is, as it is cut.
    pub size: (Length, Length),
    /// How many parts are cut.
    pub count: u32,
    /// The piece before, as it is cut.
    pub whole: Vec<[f64; 2]>,
    /// The grain of the piece and of the part, from here on.
    pub grain: [[[f64; 2]; 2]; 2],
}

impl Join {
    /// What of the piece lies beyond the join, without allowance.
    pub fn beyond(&self) -> Vec<[f64; 2]> {
        let [p, q] = self.line;
        let Some(way) = unit([q[0] - p[0], q[1] - p[1]]) else {
            return Vec::new();
        };
        let aside = [way[1], -way[0]];
        let at = dot(p, aside);
        let part = f64::midpoint(dot(self.grain[1][0], aside), dot(self.grain[1][1], aside));
        let back = [-aside[0], -aside[1]];
        if part >= at {
            kept(&self.whole, back, -at)
        } else {
            kept(&self.whole, aside, at)
        }
    }
}

/// How a piece may be cut in two: where, and what comes of it.
struct Split {
    /// Off from the middle of the garment to the part: a direction of length one.
    out: [f64; 2],
    /// How far along `out` it is stitched.
    at: f64,
}

/// The pieces as they are cut from this cloth: those that are too wide in two or three parts, where a
/// join can be had; the others as they are.
pub(crate) fn joined(
    pieces: &[CutPiece],
    cloth: &Cloth,
    (allowance, gap): (Length, Length),
) -> (Vec<CutPiece>, Vec<Join>) {
    let (mut out, mut parts, mut joins) = (Vec::new(), Vec::new(), Vec::new());
    for piece in pieces {
        match join(piece, cloth, (allowance, gap)) {
            Some((main, sewn_on, mut all)) => {
                out.push(main);
                parts.extend(sewn_on);
                joins.append(&mut all);
            }
            None => out.push(piece.clone()),
        }
    }
    out.extend(parts);
    (out, joins)
}

/// How a piece would be joined; none when it is narrow enough, or no join would lie in its flare.
pub(crate) fn join(
    piece: &CutPiece,
    cloth: &Cloth,
    (allowance, gap): (Length, Length),
) -> Option<(CutPiece, Vec<CutPiece>, Vec<Join>)> {
    // An outline that keeps a gap may be a hundredth of it wider than it need be.
    let usable = cloth.usable()?.in_mm() - 0.03 * gap.in_mm();
    let a = allowance.in_mm();
    let mut outline = piece.outline.clone();
    if outline.len() > 1 && outline.first() == outline.last() {
        outline.pop();
    }
    let finite = outline.iter().flatten().all(|v| v.is_finite());
    if outline.len() < 3 || !finite || piece.count == 0 || !(a > 0.0 && usable > 4.0 * a) {
        return None;
    }
    let down = piece.down();
    let aside = [down[1], -down[0]];
    let across = cloth.length_runs == Runs::Across;
    let folded = cloth.fold == Fold::Lengthwise && !across;
    let fold = piece.fold.filter(|_| piece.on_fold);
    let along = fold.map(|f| unit([f[1][0] - f[0][0], f[1][1] - f[0][1]]));
    let (top, foot) = reach(&outline, down);
    let long = foot - top;
    let halved = folded && piece.pair;
    // A pair keeps half the gap clear of the fold, or its two layers would be cut there as one.
    let off_fold = gap.in_mm() / 2.0;
    let (room, sides): (f64, Vec<Split>) = match (across, fold, along) {
        // The length runs across: what is too long is pieced on at the hem.
        (true, ..) => {
            let doubled =
                cloth.fold == Fold::Lengthwise && (piece.pair || fold.is_some() && piece.count > 1);
            let room = match (doubled, piece.pair) {
                (true, true) => usable / 2.0 - off_fold,
                (true, false) => usable / 2.0,
                (false, _) => usable,
            };
            let at = (top + room - a).min(foot - NARROWEST);
            if long <= room * (1.0 + 1e-9) {
                return None;
            }
            (room, vec![Split { out: down, at }])
        }
        (false, Some(f), Some(Some(u))) => {
            if dot(u, aside).abs() > OFF_GRAIN {
                return None;
            }
            let turned_in = cloth.fold_depth.filter(|_| cloth.fold == Fold::Part);
            let room = turned_in.map_or(usable / 2.0, |d| {
                (d - cloth.selvedge - gap * 0.03).in_mm().min(usable / 2.0)
            });
            let on = f64::midpoint(dot(f[0], aside), dot(f[1], aside));
            let (low, high) = reach(&outline, aside);
            // The half lies on one side of its fold.
            let out = if high - on >= on - low {
                aside
            } else {
                [-aside[0], -aside[1]]
            };
            let on = f64::midpoint(dot(f[0], out), dot(f[1], out));
            let wide = reach(&outline, out).1 - on;
            if wide <= room * (1.0 + 1e-9) {
                return None;
            }
            let at = (on + room - a).min(on + wide - NARROWEST);
            (room, vec![Split { out, at }])
        }
        (false, Some(_), _) => return None,
        (false, None, _) => {
            let room = if halved {
                usable / 2.0 - off_fold
            } else {
                usable
            };
            let other = [-aside[0], -aside[1]];
            let mut ways = Vec::new();
            for out in [aside, other] {
                let (low, high) = reach(&outline, out);
                if high - low <= room * (1.0 + 1e-9) {
                    return None;
                }
                ways.push(Split {
                    out,
                    at: (low + room - a).min(high - NARROWEST),
                });
            }
            (room, ways)
        }
    };
    // On folded cloth what comes in pairs is cut through both layers, and keeps clear of the fold as well.
    let part_room = match across {
        true => room,
        false if folded && (piece.pair || fold.is_some()) => usable / 2.0 - off_fold,
        false => usable,
    };
    let highest = long * if across { HIGHEST_ACROSS } else { HIGHEST };
    let begins = |s: &Split| -> Option<f64> {
        let [p, q] = stitched(&outline, s.out, s.at)?;
        // Both cutting lines must be as plain as the stitching line.
        stitched(&outline, s.out, s.at + a)?;
        stitched(&outline, s.out, s.at - a)?;
        let (low, high) = reach(&outline, s.out);
        let part = high - s.at + a;
        let main = s.at + a - low;
        let starts = dot(p, down).min(dot(q, down)) - top;
        let fits = part <= part_room && (main <= room * (1.0 + 1e-9) || fold.is_some());
        (fits && starts >= highest).then_some(starts)
    };
    let mut sides = sides;
    if let [one, other] = &sides[..] {
        let (b, c) = (begins(one), begins(other));
        let alike = match (b, c) {
            (Some(b), Some(c)) => !piece.pair && (b - c).abs() < ALIKE * long,
            (None, None) => true,
            _ => false,
        };
        // Where both sides flare alike, both are joined alike; where one side can't take all, each
        // takes half.
        let (low, high) = reach(&outline, aside);
        let over = f64::midpoint(high - low - room, 2.0 * a).max(NARROWEST);
        let both: Vec<Split> = [aside, [-aside[0], -aside[1]]]
            .into_iter()
            .map(|out| Split {
                out,
                at: reach(&outline, out).1 - over,
            })
            .collect();
        let halves = |s: &Split| -> bool {
            let (low, high) = reach(&outline, s.out);
            let whole = [s.at, s.at + a, s.at - a]
                .iter()
                .all(|at| stitched(&outline, s.out, *at).is_some());
            let starts = stitched(&outline, s.out, s.at)
                .map_or(0.0, |[p, q]| dot(p, down).min(dot(q, down)) - top);
            whole && starts >= highest && high - s.at + a <= part_room && s.at > low + a
        };
        sides = if alike && both.iter().all(halves) {
            both
        } else {
            match (b, c) {
                (Some(b), Some(c)) if c > b => sides.into_iter().skip(1).collect(),
                (None, Some(_)) => sides.into_iter().skip(1).collect(),
                (Some(_), _) => sides.into_iter().take(1).collect(),
                (None, None) => return None,
            }
        };
    } else if !sides.iter().all(|s| begins(s).is_some()) {
        return None;
    }
    let mut main = CutPiece {
        outline: outline.clone(),
        ..piece.clone()
    };
    let (mut parts, mut joins) = (Vec::new(), Vec::new());
    for side in &sides {
        let (kept, part, line) = split(&main, &outline, side, a)?;
        main = kept;
        let (low, high) = reach(&part.outline, across_of(down, across, side.out));
        let (from, to) = reach(&part.outline, along_of(down, across));
        let name = if sides.len() > 1 {
            format!("{}, {JOINED} {}", piece.name, parts.len() + 1)
        } else {
            format!("{}, {JOINED}", piece.name)
        };
        let begins = dot(line[0], down).min(dot(line[1], down)) - top;
        joins.push(Join {
            piece: piece.name.clone(),
            part: name.clone(),
            line,
            allowance,
            begins: Length::mm(begins.max(0.0)),
            size: (Length::mm(high - low), Length::mm(to - from)),
            count: part.count,
            whole: outline.clone(),
            grain: [[[0.0; 2]; 2], part.grain.unwrap_or_default()],
        });
        parts.push(CutPiece { name, ..part });
    }
    main.grain = Some(inside(&main, down));
    for join in &mut joins {
        join.grain[0] = main.grain.unwrap_or_default();
    }
    Some((main, parts, joins))
}

/// The directions by which a part is measured: across and along the cloth.
fn across_of(down: [f64; 2], across: bool, out: [f64; 2]) -> [f64; 2] {
    if across { down } else { out }
}

fn along_of(down: [f64; 2], across: bool) -> [f64; 2] {
    if across { [down[1], -down[0]] } else { down }
}

fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// From where to where a line of points reaches in a direction.
pub(crate) fn reach(points: &[[f64; 2]], way: [f64; 2]) -> (f64, f64) {
    points.iter().fold((f64::MAX, f64::MIN), |(low, high), p| {
        let at = dot(*p, way);
        (low.min(at), high.max(at))
    })
}

/// Where the line that lies `at` along `out` crosses an outline, if it crosses it just twice.
fn stitched(points: &[[f64; 2]], out: [f64; 2], at: f64) -> Option<[[f64; 2]; 2]> {
    let mut found = Vec::with_capacity(2);
    for (i, p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        let (s, t) = (dot(*p, out) - at, dot(q, out) - at);
        if (s > 0.0) != (t > 0.0) {
            if found.len() == 2 {
                return None;
            }
            let part = s / (s - t);
            found.push([p[0] + part * (q[0] - p[0]), p[1] + part * (q[1] - p[1])]);
        }
    }
    <[[f64; 2]; 2]>::try_from(found).ok()
}

/// What of an outline lies up to `at` along `out` (or beyond, with the direction turned round).
fn kept(points: &[[f64; 2]], out: [f64; 2], at: f64) -> Vec<[f64; 2]> {
    let mut all = Vec::with_capacity(points.len() + 2);
    for (i, p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        let (s, t) = (dot(*p, out) - at, dot(q, out) - at);
        if s <= 0.0 {
            all.push(*p);
        }
        if (s > 0.0) != (t > 0.0) {
            let part = s / (s - t);
            all.push([p[0] + part * (q[0] - p[0]), p[1] + part * (q[1] - p[1])]);
        }
    }
    all
}

/// A piece cut in two: what stays, what is sewn on, and where.
fn split(
    piece: &CutPiece,
    whole: &[[f64; 2]],
    side: &Split,
    a: f64,
) -> Option<(CutPiece, CutPiece, [[f64; 2]; 2])> {
    let Split { out, at } = *side;
    let back = [-out[0], -out[1]];
    let down = piece.down();
    let mut line = stitched(whole, out, at)?;
    if dot(line[0], down) > dot(line[1], down) {
        line.reverse();
    }
    let mut main = CutPiece {
        outline: kept(&piece.outline, out, at + a),
        ..piece.clone()
    };
    let mut part = CutPiece {
        outline: kept(whole, back, a - at),
        joins: vec![line],
        ..piece.clone()
    };
    main.joins.push(line);
    // The notches of each, and those that bring the two together.
    main.notches.retain(|n| dot(n.at, out) <= at + a);
    part.notches.retain(|n| dot(n.at, out) >= at - a);
    let long = {
        let way = [line[1][0] - line[0][0], line[1][1] - line[0][1]];
        dot(way, way).sqrt()
    };
    let marks: &[(f64, u8)] = if long < SHORT {
        &[(0.5, 1)]
    } else {
        &[(1.0 / 3.0, 1), (2.0 / 3.0, 2)]
    };
    for (share, snips) in marks {
        let on = [
            line[0][0] + share * (line[1][0] - line[0][0]),
            line[0][1] + share * (line[1][1] - line[0][1]),
        ];
        let off = |by: f64| [on[0] + out[0] * by, on[1] + out[1] * by];
        let snip = |at: [f64; 2]| Snip {
            edge: "join".into(),
            at,
            snips: *snips,
            names: vec!["join".into()],
        };
        main.notches.push(snip(off(a)));
        part.notches.push(snip(off(-a)));
    }
    if let Some(f) = piece.fold.filter(|_| piece.on_fold) {
        let crosses = (dot(f[0], out) - at) * (dot(f[1], out) - at) < 0.0;
        if crosses {
            // Halves both: each keeps its own stretch of the fold.
            let at_fold = |level: f64| {
                let (s, t) = (dot(f[0], out) - level, dot(f[1], out) - level);
                let share = (s / (s - t)).clamp(0.0, 1.0);
                [
                    f[0][0] + share * (f[1][0] - f[0][0]),
                    f[0][1] + share * (f[1][1] - f[0][1]),
                ]
            };
            let first_stays = dot(f[0], out) < at;
            let (m, p) = (at_fold(at + a), at_fold(at - a));
            main.fold = Some(if first_stays { [f[0], m] } else { [m, f[1]] });
            part.fold = Some(if first_stays { [p, f[1]] } else { [f[0], p] });
        } else {
            // Whole, the piece has one on each side.
            part.on_fold = false;
            part.fold = None;
            part.pair = true;
            part.count = piece.count.saturating_mul(2);
        }
    }
    // Its arrow lies beyond the join, so that it tells on which side the part is.
    let beyond = CutPiece {
        outline: kept(whole, back, -at),
        ..part.clone()
    };
    part.grain = Some(inside(&beyond, down));
    Some((main, part, line))
}

/// A grain arrow that lies on the piece: its own if it does, else one down its middle.
fn inside(piece: &CutPiece, down: [f64; 2]) -> [[f64; 2]; 2] {
    if let Some([a, b]) = piece.grain
        && holds(&piece.outline, a)
        && holds(&piece.outline, b)
    {
        return [a, b];
    }
    let aside = [down[1], -down[0]];
    let (low, high) = reach(&piece.outline, aside);
    // The longest straight way down through the piece, of a few.
    let mut best = ([[0.0; 2]; 2], -1.0);
    for i in 1..16 {
        let at = low + (high - low) * f64::from(i) / 16.0;
        if let Some([p, q]) = stitched(&piece.outline, aside, at) {
            let (p, q) = if dot(p, down) <= dot(q, down) {
                (p, q)
            } else {
                (q, p)
            };
            let long = dot(q, down) - dot(p, down);
            if long > best.1 {
                let on = |t: f64| [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])];
                best = ([on(0.15), on(0.85)], long);
            }
        }
    }
    if best.1 > 0.0 {
        return best.0;
    }
    let (top, foot) = reach(&piece.outline, down);
    let middle = f64::midpoint(low, high);
    let at = |t: f64| {
        let far = top + t * (foot - top);
        [
            down[0] * far + aside[0] * middle,
            down[1] * far + aside[1] * middle,
        ]
    };
    [at(0.3), at(0.7)]
}

#[cfg(test)]
mod tests;
