//! The waist: whether its edges add up to what she wears, and to the band or bodice they are sewn to.

use draft::worked::Quantity;

use crate::finding::{Finding, Weight};
use crate::her::Her;
use crate::round::Round;
use crate::rules;
use crate::seen::{Leg, Place, Seen};
use crate::walking::length;

const INCH: f64 = 25.4;
/// How far the sum may be out, in millimetres.
const EIGHTH: f64 = INCH / 8.0;
/// A hair, in millimetres.
const HAIR: f64 = 0.05;
/// Eased in by more than this part of the band the top is gathered or pleated: then the band fits her.
const GATHERED: f64 = 0.05;
/// Where nothing says how easily it is meant to sit, a waist this much larger slips down.
const SLIPS: f64 = 2.0 * INCH;

/// What is sewn to the top from above: a band or a bodice.
struct Band {
    legs: Vec<Leg>,
    /// Its edges, in millimetres, once round.
    round: f64,
    /// The top edges that are sewn to it.
    top: f64,
    /// How much longer they are meant to be.
    ease: f64,
}

/// F28: the waist does not add up.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let (round, her) = (Round::of(seen), Her::of(seen));
    let top = round.top();
    let Some(sum) = round.waist() else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let band = band(seen, &top);
    let gathered = band
        .as_ref()
        .is_some_and(|b| b.ease.abs() > GATHERED * b.round);
    let body = waist_measure(seen, &her);
    if let Some(body) = body {
        let (finished, legs, wanted) = match &band {
            Some(band) if gathered => (
                band.round,
                &band.legs,
                ease(seen, "band ease").map(|e| body + e),
            ),
            _ => (sum, &top, wanted(seen, body)),
        };
        out.extend(against_body(seen, finished, legs, body, wanted));
    }
    if let Some(band) = band {
        let off = band.top - band.ease - band.round;
        if off.abs() > EIGHTH + HAIR {
            let how = if off > 0.0 { "more" } else { "less" };
            let says = format!(
                "What is sewn to the waist is {} round, the waist {}: {} {how} than is to be eased in.",
                seen.tell(band.round),
                seen.tell(band.top),
                seen.tell(off.abs())
            );
            out.push(told(seen, &top, says, off));
        }
    }
    out
}

/// The waist she wears it at.
fn waist_measure(seen: &Seen<'_>, her: &Her<'_, '_>) -> Option<f64> {
    let lower = seen
        .worked
        .measures
        .iter()
        .any(|m| m.name == "garment waist");
    if lower {
        her.taken("garment waist")
    } else {
        her.taken("waist")
    }
}

/// A choice that is on offer and whose name or label says this ease.
fn ease(seen: &Seen<'_>, words: &str) -> Option<f64> {
    seen.worked.choices.iter().find_map(|c| {
        let says = c.name.to_lowercase().contains(words) || c.label.to_lowercase().contains(words);
        match c.value {
            Quantity::Length(l) if c.offered && says => Some(l.in_mm()),
            _ => None,
        }
    })
}

/// How long the waist is meant to be: by its ease, else as the method itself reports.
fn wanted(seen: &Seen<'_>, body: f64) -> Option<f64> {
    if let Some(ease) = ease(seen, "waist ease") {
        return Some(body + ease);
    }
    seen.worked.results.iter().find_map(|r| match r.value {
        Quantity::Length(l) if r.name == "waist girth" || r.name == "waist" => Some(l.in_mm()),
        _ => None,
    })
}

/// Band or bodice, if the top is sewn to one.
fn band(seen: &Seen<'_>, top: &[Leg]) -> Option<Band> {
    let in_top = |l: &Leg| top.iter().any(|t| t.part == l.part && t.edge == l.edge);
    let mut legs: Vec<Leg> = Vec::new();
    let mut own: Vec<Leg> = Vec::new();
    let mut eased = 0.0;
    for seam in seen.seams.iter().filter(|s| !s.twin) {
        let (low, high, sign) = if seam.a.iter().all(in_top) {
            (&seam.a, &seam.b, 1.0)
        } else if seam.b.iter().all(in_top) {
            (&seam.b, &seam.a, -1.0)
        } else {
            continue;
        };
        let above = high
            .iter()
            .all(|l| seen.parts[l.part].place == Place::Shell && !in_top(l));
        if !above {
            continue;
        }
        let times = |legs: &[Leg]| {
            legs.iter()
                .map(|l| seen.parts[l.part].times)
                .fold(f64::INFINITY, f64::min)
        };
        eased += sign * seam.ease * times(low).min(times(high));
        for (from, to) in [(low, &mut own), (high, &mut legs)] {
            for leg in from {
                if !to
                    .iter()
                    .any(|l| l.part == leg.part && l.edge == leg.edge && l.stretch == leg.stretch)
                {
                    to.push(*leg);
                }
            }
        }
    }
    let total = |legs: &[Leg]| -> f64 {
        legs.iter()
            .map(|l| seen.length(&[*l]) * seen.parts[l.part].times)
            .sum()
    };
    (!legs.is_empty()).then(|| Band {
        round: total(&legs),
        top: total(&own),
        ease: eased,
        legs,
    })
}

fn against_body(
    seen: &Seen<'_>,
    finished: f64,
    legs: &[Leg],
    body: f64,
    wanted: Option<f64>,
) -> Option<Finding> {
    let (out, says) = match wanted {
        Some(wanted) => {
            let out = finished - wanted;
            (out.abs() > EIGHTH + HAIR).then_some(())?;
            let how = if out > 0.0 { "too much" } else { "too little" };
            let [comes, should, by] = seen.tell_apart(finished, wanted);
            (
                out,
                format!(
                    "The waist comes to {comes} with the darts sewn; it should be {should}: {by} {how}."
                ),
            )
        }
        None if finished < body - EIGHTH - HAIR => (
            finished - body,
            format!(
                "The waist comes to {} with the darts sewn, {} less than hers.",
                seen.tell(finished),
                seen.tell_small(body - finished)
            ),
        ),
        None if finished > body + SLIPS => (
            finished - body,
            format!(
                "The waist comes to {} with the darts sewn, {} more than hers: it slips down.",
                seen.tell(finished),
                seen.tell(finished - body)
            ),
        ),
        None => return None,
    };
    Some(told(seen, legs, says, out))
}

fn told(seen: &Seen<'_>, legs: &[Leg], says: String, out: f64) -> Finding {
    let mut names: Vec<String> = Vec::new();
    for leg in legs {
        let name = seen.parts[leg.part].named(leg.edge);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let mut finding = Finding::of(&rules::F28, Weight::Ask, names.join(" + "), says)
        .out_by(length(out), Some(length(EIGHTH)));
    for leg in legs {
        let line = &seen.edge(*leg).line;
        let part = &seen.parts[leg.part];
        finding = finding.at(
            &part.piece.name,
            Some(part.edges[leg.edge].name()),
            line.at(line.length() / 2.0),
        );
    }
    finding
}

#[cfg(test)]
mod tests;
