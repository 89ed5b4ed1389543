//! F22: the grain arrow against the plumb.

use measure::Angle;

use crate::finding::{Amount, Finding, Weight};
use crate::hang::{begin, off_plumb, the};
use crate::rules::F22;
use crate::seen::{Place, Seen};

/// How far off the plumb a grain arrow may be, in degrees.
const OFF: f64 = 3.0;
/// True bias, in degrees.
const BIAS: f64 = 45.0;
/// Across, in degrees: then the weft hangs plumb.
const ACROSS: f64 = 90.0;

/// F22 of every piece that lies as it hangs; and a shell piece without any arrow.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out = Vec::new();
    for part in &seen.parts {
        let name = &part.piece.name;
        let middle = middle(part.piece);
        let Some(off) = off_plumb(part) else {
            if part.place != Place::Under {
                out.push(
                    Finding::of(
                        &F22,
                        Weight::Ask,
                        name.clone(),
                        format!(
                            "{} has no grain arrow, so nothing says how it lies on the cloth.",
                            begin(&the(name))
                        ),
                    )
                    .cured_by("Draw one, parallel to the selvedge.")
                    .at(name, None, middle),
                );
            }
            continue;
        };
        let meant = [0.0, BIAS, ACROSS]
            .iter()
            .any(|way| (off - way).abs() <= OFF);
        if !seen.hangs(part) || meant {
            continue;
        }
        // How far it is off what it is nearest to: plumb, bias or across.
        let nearest = [0.0, BIAS, ACROSS]
            .into_iter()
            .min_by(|a, b| (off - a).abs().total_cmp(&(off - b).abs()))
            .unwrap_or(0.0);
        let word = if nearest > 60.0 {
            "across"
        } else if nearest > 20.0 {
            "the true bias"
        } else {
            "plumb"
        };
        let out_by = (off - nearest).abs();
        out.push(
            Finding::of(
                &F22,
                Weight::Ask,
                name.clone(),
                format!("The grain of {} is {out_by:.1}° off {word}.", the(name)),
            )
            .out_by(
                Amount::Angle(Angle::degrees(out_by)),
                Some(Amount::Angle(Angle::degrees(OFF))),
            )
            .at(name, None, part.piece.grain.map_or(middle, |g| g.from)),
        );
    }
    out
}

/// The middle of a piece's corners, to point at it.
fn middle(piece: &piece::Piece) -> measure::Point {
    let corners: Vec<measure::Point> = piece.edges.iter().map(|e| e.curve.start()).collect();
    let n = f64::from(u32::try_from(corners.len().max(1)).unwrap_or(1));
    let sum = corners
        .iter()
        .fold((0.0, 0.0), |s, p| (s.0 + p.x, s.1 + p.y));
    measure::Point::new(sum.0 / n, sum.1 / n)
}

#[cfg(test)]
mod tests;
