//! Walking: the longest step that the skirt allows her, and what that means.
//!
//! Two legs in a loop of cloth that swing from the hip joint ([`measure::step`]); the longest step is
//! the least of those that the closed levels allow, from the hip joint down to the hem or to the top of
//! a slit. An estimate, and said to be one.

use draft::worked::LevelMade;
use measure::step::{self, StepAnswer};
use measure::{Length, predict};

use crate::finding::{Amount, Finding, Weight};
use crate::her::Her;
use crate::round::Round;
use crate::rules;
use crate::seen::Seen;

/// Levels are looked at this far apart, in millimetres; between the tightest and its neighbours the
/// level is then sought finely.
const APART: f64 = 4.0;
/// A hair above the foot, in millimetres.
const HAIR: f64 = 0.01;

/// Under this share of her height a step is hobbled.
const HOBBLED: f64 = 0.20;
/// Under this share it is short.
const SHORT: f64 = 0.30;
/// Under this share it is slightly short; from here on she is free.
const FREE: f64 = 0.36;

/// A step this much shorter than she wants it is told, in millimetres: half an inch of an estimate.
const STRIDE: f64 = 0.5 * 25.4;

/// A skirt that ends less than this above the middle of the kneecap still holds the knees, in
/// millimetres.
const ABOVE_KNEE: f64 = 2.0 * 25.4;

/// A loop this large at the knees lets her climb a usual stair foot over foot, in millimetres: 43 in,
/// the least of the two-link leg on stairs of 7 3/4 by 10 in and 7 by 11 in at the published hip angle.
const STAIRS: f64 = 43.0 * 25.4;

/// So much smaller than the loop of two thighs a skirt may be at their top and still go round: flesh
/// gives, and a loop of two circles tells the tape only within 3.3 in a hundred there. No source: set so
/// that the common draft of a mermaid, 2 1/2 in out of each quarter, is not refused to the women of the
/// survey; what is narrow there is asked about under F33.
const THIGHS_GIVE: f64 = 0.20;

/// The level that decides.
#[derive(Clone, Debug)]
pub struct Tightest {
    /// Below the waist, in millimetres.
    pub depth: f64,
    /// The pattern round that level, in millimetres.
    pub girth: f64,
    /// The same when the cloth is stretched.
    pub stretched: f64,
    /// What the walking model says of it.
    pub answer: StepAnswer,
}

impl Tightest {
    /// The loop of cloth round her legs.
    pub fn loop_there(&self) -> Option<Length> {
        Length::try_mm(self.stretched)
    }

    /// The level, as a length.
    pub fn below(&self) -> Option<Length> {
        Length::try_mm(self.depth)
    }

    /// How much larger the loop is than it must be for both legs to stand side by side, in millimetres:
    /// less than nothing when they can't.
    pub fn room(&self) -> f64 {
        self.stretched - self.answer.standing.in_mm()
    }
}

/// What a longest step means for her.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Her legs don't fit side by side.
    Refused,
    /// She hobbles.
    Hobbled,
    /// She takes short steps.
    Short,
    /// A little short of an easy step.
    SlightlyShort,
    /// She walks as she likes.
    Free,
}

/// What a longest step means at her height, both in millimetres; `room` is the loop less the least in
/// which both legs stand.
pub fn verdict(step: f64, height: f64, room: f64) -> Verdict {
    let share = step / height;
    if room < 0.0 {
        Verdict::Refused
    } else if share < HOBBLED {
        Verdict::Hobbled
    } else if share < SHORT {
        Verdict::Short
    } else if share < FREE {
        Verdict::SlightlyShort
    } else {
        Verdict::Free
    }
}

/// One level: what the walking model says of the loop there.
fn level(her: &Her<'_, '_>, depth: f64, girth: f64) -> Option<Tightest> {
    let stretched = girth * (1.0 + her.stretch());
    let answer = step::longest_step(
        her.whole(),
        Length::try_mm(stretched)?,
        Length::try_mm(depth)?,
    );
    Some(Tightest {
        depth,
        girth,
        stretched,
        answer: answer.ok()?,
    })
}

/// Every closed level from the hip joint down, finely, in order.
fn levels(round: &Round<'_, '_>, her: &Her<'_, '_>) -> Vec<Tightest> {
    let Some(foot) = round.closed_foot().map(|f| f - HAIR).filter(|f| *f > 0.0) else {
        return Vec::new();
    };
    let at = |depth: f64| level(her, depth, round.girth_at(depth)?);
    let mut depths: Vec<f64> = Vec::new();
    let mut depth = 0.0;
    while depth < foot {
        depths.push(depth);
        depth += APART;
    }
    depths.push(foot);
    let mut out: Vec<Tightest> = depths.into_iter().filter_map(at).collect();
    // Between the neighbours of each level that is tighter than both.
    let mut finer = Vec::new();
    for (i, here) in out.iter().enumerate() {
        let step = |k: Option<usize>| k.and_then(|k| out.get(k)).map(|t| t.answer.value);
        let (before, after) = (step(i.checked_sub(1)), step(Some(i + 1)));
        let least = |other: Option<Length>| other.is_none_or(|o| here.answer.value <= o);
        if !least(before) || !least(after) {
            continue;
        }
        let (mut low, mut high) = (
            (here.depth - APART).max(0.0),
            (here.depth + APART).min(foot),
        );
        for _ in 0..24 {
            let third = (high - low) / 3.0;
            let (Some(one), Some(two)) = (at(low + third), at(high - third)) else {
                break;
            };
            if one.answer.value <= two.answer.value {
                high -= third;
            } else {
                low += third;
            }
        }
        finer.extend(at(f64::midpoint(low, high)));
    }
    // A break that steps down from piece to piece binds along the step.
    let broken = round.break_girth().filter(|(_, depth)| *depth < foot);
    finer.extend(broken.and_then(|(girth, depth)| level(her, depth, girth)));
    out.extend(finer);
    out.sort_by(|a, b| a.depth.total_cmp(&b.depth));
    out
}

/// The closed level that allows the shortest step; nothing where the skirt is not closed round her legs
/// or her body can't be reckoned.
pub fn tightest(round: &Round<'_, '_>, her: &Her<'_, '_>) -> Option<Tightest> {
    least_step(levels(round, her))
}

fn least_step(levels: Vec<Tightest>) -> Option<Tightest> {
    levels
        .into_iter()
        .min_by(|a, b| a.answer.value.in_mm().total_cmp(&b.answer.value.in_mm()))
}

/// The closed level at which her legs have the least room to stand, if they don't fit there.
///
/// Up to a third of the way from the knee to the top of the thigh, where breaks lie, the loop of two
/// legs is taken as it is. Above, the flesh gives, two thighs together are no more than the hip, and the loop tells the tape only
/// roughly, so more and more is allowed.
fn can_not_stand(levels: &[Tightest], her: &Her<'_, '_>) -> Option<Tightest> {
    let height = her.height()?;
    let taken = |name: &str| her.whole().barefoot(name).map(Length::in_mm);
    let thigh = taken("thigh to floor").unwrap_or(0.457 * height);
    let knee = taken("knee to floor").unwrap_or(0.281 * height);
    let firm = knee + (thigh - knee) / 3.0;
    let hip = her.hip().unwrap_or(f64::INFINITY);
    let short = |t: &Tightest| {
        let z = t.answer.level.in_mm();
        let above = ((z - firm) / (thigh - firm).max(1.0)).clamp(0.0, 1.0);
        let standing = t.answer.standing.in_mm();
        let flesh = standing.min(hip);
        t.stretched - (standing + (flesh * (1.0 - THIGHS_GIVE) - standing) * above)
    };
    levels
        .iter()
        .filter(|t| short(t) < 0.0)
        .min_by(|a, b| short(a).total_cmp(&short(b)))
        .cloned()
}

/// F10: she can't walk in it, or takes short steps.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let (round, her) = (Round::of(seen), Her::of(seen));
    let levels = levels(&round, &her);
    let refused = can_not_stand(&levels, &her);
    let Some(tight) = least_step(levels) else {
        return Vec::new();
    };
    let Some(height) = her.height() else {
        return Vec::new();
    };
    if let Some(no) = refused {
        return vec![said(seen, &round, &her, &no, height, Verdict::Refused)];
    }
    let step = tight.answer.value.in_mm();
    let stride = her.taken("stride").filter(|s| step < s - STRIDE);
    let mut out = match (verdict(step, height, 0.0), stride) {
        (Verdict::Free, None) => return Vec::new(),
        (verdict, _) => said(seen, &round, &her, &tight, height, verdict),
    };
    if let Some(stride) = stride {
        out.weight = out.weight.min(Weight::Ask);
        out.says = format!("She wants to step {}. {}", seen.tell(stride), out.says);
        out.amount = Some(length(step - stride));
    }
    vec![out]
}

fn said(
    seen: &Seen<'_>,
    round: &Round<'_, '_>,
    her: &Her<'_, '_>,
    tight: &Tightest,
    height: f64,
    verdict: Verdict,
) -> Finding {
    let step = tight.answer.value.in_mm();
    let place = place(seen, round, tight);
    let mut round_says = seen.tell(tight.girth);
    if her.stretch() > 0.0 {
        round_says = format!("{round_says} (stretched {})", seen.tell(tight.stretched));
    }
    let (weight, mut says, amount) = match verdict {
        Verdict::Refused => (
            Weight::Stop,
            format!(
                "It is {round_says} round, {place}; her legs side by side need {} there, so she can't stand in it.",
                seen.tell(tight.answer.standing.in_mm())
            ),
            tight.room(),
        ),
        Verdict::Hobbled => (
            Weight::Ask,
            format!(
                "She hobbles: the longest step is about {}, bound {place}, {round_says} round. Does she want it so?",
                seen.tell(step)
            ),
            step - FREE * height,
        ),
        Verdict::Short => (
            Weight::Note,
            format!(
                "She takes short steps of about {} at most, bound {place}, {round_says} round.",
                seen.tell(step)
            ),
            step - FREE * height,
        ),
        Verdict::SlightlyShort => (
            Weight::Note,
            format!(
                "Her step is slightly short, about {} at most, bound {place}, {round_says} round.",
                seen.tell(step)
            ),
            step - FREE * height,
        ),
        Verdict::Free => (
            Weight::Note,
            format!(
                "Her step is about {} at most, bound {place}, {round_says} round.",
                seen.tell(step)
            ),
            step - FREE * height,
        ),
    };
    says.push_str(" This is an estimate");
    let assumed = step::longest_step(
        seen.card,
        tight.loop_there().unwrap_or(Length::ZERO),
        tight.below().unwrap_or(Length::ZERO),
    )
    .map(|a| a.assumed)
    .unwrap_or_default();
    match assumed.as_slice() {
        [] => says.push('.'),
        some => {
            let each: Vec<String> = some
                .iter()
                .map(|p: &predict::Predicted| format!("{} {}", p.name, seen.tell(p.value.in_mm())))
                .collect();
            says.push_str(&format!(
                "; not measured, so reckoned: {}.",
                each.join(", ")
            ));
        }
    }
    if let Some(stairs) = stairs(seen, round, her) {
        says.push(' ');
        says.push_str(&stairs);
    }
    let edges = round.sides_at(tight.depth);
    let mut finding = Finding::of(&rules::F10, weight, edges_named(seen, &edges), says)
        .out_by(length(amount), Some(Amount::Length(Length::ZERO)));
    for (leg, point) in edges {
        let part = &seen.parts[leg.part];
        finding = finding.at(&part.piece.name, Some(part.edges[leg.edge].name()), point);
    }
    finding
}

/// What stairs ask for, when the skirt is closed at her knees and too narrow there.
fn stairs(seen: &Seen<'_>, round: &Round<'_, '_>, her: &Her<'_, '_>) -> Option<String> {
    let knee = her.known("waist to knee")?.0;
    let foot = round.closed_foot()?;
    (foot > knee - ABOVE_KNEE).then_some(())?;
    let here = round.girth_at(knee.min(foot - HAIR))? * (1.0 + her.stretch());
    (here < STAIRS).then(|| {
        format!(
            "Stairs foot over foot want {} or more at the knees and it has {}: she lifts the skirt, or takes them one foot at a time.",
            seen.tell(STAIRS),
            seen.tell(here)
        )
    })
}

/// The level as a drafter says it: `at the break, 21 in below the waist`.
fn place(seen: &Seen<'_>, round: &Round<'_, '_>, tight: &Tightest) -> String {
    let near = |depth: f64, by: f64| (depth - tight.depth).abs() < by;
    let below = format!("{} below the waist", seen.tell(tight.depth));
    if round.slit().is_some_and(|s| near(s.top, 13.0)) {
        return format!("at the top of the opening, {below}");
    }
    if round.foot().is_some_and(|f| near(f, 13.0)) {
        return format!("at the hem, {below}");
    }
    let off = |l: &LevelMade| tight.depth - l.below_waist.in_mm();
    let levels = seen.worked.levels.iter();
    let nearest = levels
        .filter(|l| l.body != "waist" && near(l.below_waist.in_mm(), 80.0))
        .min_by(|a, b| off(a).abs().total_cmp(&off(b).abs()));
    match nearest {
        None => below,
        Some(l) if off(l).abs() < 13.0 => format!("at the {}, {below}", l.body),
        Some(l) => {
            let side = if off(l) < 0.0 { "above" } else { "below" };
            format!("{} {side} the {}, {below}", seen.tell(off(l).abs()), l.body)
        }
    }
}

/// The edges that a level crosses, as a program reads them, each once.
pub(crate) fn edges_named(seen: &Seen<'_>, edges: &[(crate::seen::Leg, measure::Point)]) -> String {
    let mut names: Vec<String> = Vec::new();
    for (leg, _) in edges {
        let name = seen.parts[leg.part].named(leg.edge);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(" + ")
}

/// The difference of two lengths as they are told, so that the sum is right on the paper.
pub(crate) fn gap(seen: &Seen<'_>, one: f64, other: f64) -> String {
    let told = |mm: f64| Length::try_mm(mm).map_or(0.0, |l| seen.shown.rounded(l).in_mm());
    seen.tell((told(one) - told(other)).abs())
}

/// A length as an amount.
pub(crate) fn length(mm: f64) -> Amount {
    Amount::Length(Length::try_mm(mm).unwrap_or(Length::ZERO))
}

#[cfg(test)]
mod tests;
