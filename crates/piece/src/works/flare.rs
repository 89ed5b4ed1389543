//! Flare added at one end of an edge, fading to nothing.

use measure::{Curve, Length, Point};

use super::follow::{Follow, Told, uncut};
use super::part::ring;
use super::stretch::Stretch;
use super::{SAME, finished, sane_curve, sane_length, spot_on};
use crate::fault::Fault;
use crate::ring::Piece;

/// How the flare grows from nothing (`u` = 0) to its full amount (`u` = 1): gently at first,
/// u²/0.6 up to u = 0.3, then straight, scaled to end at 1.
fn growth(u: f64) -> f64 {
    let u = u.clamp(0.0, 1.0);
    let raw = if u < 0.3 { u * u / 0.6 } else { u - 0.15 };
    raw / 0.85
}

/// Lets an edge out by an amount at the place `at`, fading to nothing at `fading`; negative takes it
/// in. Beyond `at` the whole amount is kept. **The edge keeps its length**, so at a flared side the
/// hem comes up; the neighbour at that end goes straight to the new corner.
///
/// # Errors
/// When there is no such edge, when the points do not lie on it or are the same, or when a dart
/// would be cut into.
pub fn let_out_fading(
    piece: &Piece,
    edge: &str,
    by: Length,
    at: Point,
    fading: Point,
) -> Result<Piece, Fault> {
    let index = piece.edge_index(edge)?;
    let amount = sane_length(by)?.in_mm();
    let (full, none) = (
        spot_on(piece, index, at)?.along,
        spot_on(piece, index, fading)?.along,
    );
    let n = piece.edges.len();
    if n < 2 {
        return Err(Fault::Says(format!(
            "`{edge}` goes all round the piece; it has no end at which to add."
        )));
    }
    let run = (full - none).abs();
    if run < 1.0 {
        return Err(Fault::Says(format!(
            "The flare of `{edge}` must fade over some way: its two places are the same."
        )));
    }
    if amount.abs() < SAME {
        return Ok(piece.clone());
    }
    let gone = || Fault::Nothing(format!("the edge `{edge}`"));
    let old = piece.edges[index].curve.clone();
    sane_curve(&old)?;
    let at_end = full > none;

    // Only the part from the place where it fades out changes; told from there.
    let (still, flared) = if at_end {
        (
            old.sub(Length::ZERO, Length::mm(none)).ok(),
            old.sub(Length::mm(none), old.length()),
        )
    } else {
        (
            old.sub(Length::mm(none), old.length()).ok(),
            old.sub(Length::ZERO, Length::mm(none)),
        )
    };
    let flared = flared.map_err(|_| gone())?;
    let length = flared.length().in_mm();
    let out = flared
        .offset_by(&|s| {
            let from = if at_end {
                s.in_mm()
            } else {
                length - s.in_mm()
            };
            Length::mm(amount * growth(from / run))
        })
        .map_err(|_| gone())?;
    let out = if at_end { out } else { out.reversed() };
    let start = if at_end { flared.start() } else { flared.end() };
    let out = out.with_ends(start, out.end()).map_err(|_| gone())?;
    let long = out.length().in_mm();
    let out = if long > length {
        out.sub(Length::ZERO, Length::mm(length))
    } else {
        Curve::line(out.end(), out.end() + out.end_direction() * (length - long))
            .map_or_else(|_| Ok(out.clone()), |tail| Curve::joined([&out, &tail]))
    }
    .map_err(|_| gone())?;
    let out = if at_end { out } else { out.reversed() };
    let new = match (still, at_end) {
        (None, _) => Ok(out),
        (Some(s), true) => Curve::joined([&s, &out]),
        (Some(s), false) => Curve::joined([&out, &s]),
    }
    .map_err(|_| gone())?;

    let mut all: Vec<Stretch> = (0..n).map(|i| Stretch::whole(piece, i)).collect();
    let beside = if at_end {
        (index + 1) % n
    } else {
        (index + n - 1) % n
    };
    let s = &all[beside];
    let corner = if at_end { new.end() } else { new.start() };
    let near = s.edge.curve.nearest(corner).along.in_mm();
    all[beside] = if at_end {
        uncut(s, near, s.length())?.begun_at(corner)?
    } else {
        uncut(s, 0.0, near)?.ended_at(corner)?
    };
    let told = Follow {
        old,
        new,
        told: Told::Along,
        reach: 6.0 * amount.abs() + 1.0,
    };
    if all[index].darts.is_empty() {
        told.edge(&mut all[index])?;
    } else {
        // Darts on the part that does not change stay as they are.
        let kept = std::mem::take(&mut all[index].darts);
        told.edge(&mut all[index])?;
        for d in kept {
            let (a, b) = (d.mouth.0.in_mm(), d.mouth.1.in_mm());
            let unchanged = if at_end { b <= none } else { a >= none };
            all[index].darts.push(if unchanged {
                d
            } else {
                super::dart::set_anew(&d, &told.old, &told.new)?
            });
        }
    }
    let (edges, darts) = ring(piece, all)?;
    let (marks, balance) = told.marked(piece);
    let new = Piece {
        edges,
        darts,
        marks,
        balance,
        ..piece.clone()
    };
    finished(&[piece], new)
}

#[cfg(test)]
mod tests {
    use super::growth;

    /// Would catch a jump in height or slope where the gentle beginning ends.
    #[test]
    fn it_grows_smoothly_from_nothing_to_all() {
        assert!(growth(0.0).abs() < 1e-12);
        assert!((growth(1.0) - 1.0).abs() < 1e-12);
        assert!((growth(0.3 - 1e-9) - growth(0.3)).abs() < 1e-8);
        let slope = |u: f64| (growth(u + 1e-6) - growth(u - 1e-6)) / 2e-6;
        assert!((slope(0.3 - 1e-5) - slope(0.3 + 1e-5)).abs() < 1e-4);
        assert!(slope(0.0).abs() < 1e-5);
    }
}
