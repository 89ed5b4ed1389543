//! What the pattern asks for: cloth by the rule of thumb, the zip, the braid at the hem.

use check::round::Round;
use check::{Seen, Subject};
use draft::Worked;
use lay::Cloth;
use lay::shop::{self, Thumb};
use measure::fraction::Unit;
use measure::{Length, Vector};
use piece::{Piece, cutting_line};

/// Ready-made zips, in inches (common practice, no source).
const ZIPS_IN: [f64; 10] = [7.0, 8.0, 9.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 24.0];
/// Ready-made zips, in centimetres (common practice, no source).
const ZIPS_CM: [f64; 10] = [18.0, 20.0, 23.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0];
/// An invisible zip loses so much at its foot, in inches (common practice: 1 to 1 1/2).
const ZIP_LOSS: f64 = 1.0;
/// A braid is joined on itself by so much, in inches (common practice: 1 to 2).
const BRAID_JOIN: f64 = 2.0;

/// How long a cloth comes by the rule of thumb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ByThumb {
    /// The length of cloth, before shrinking is made good.
    pub(crate) length: Length,
    /// How many pieces lie on it.
    pub(crate) pieces: u32,
}

/// The rule of thumb for the pieces of a cloth as it is to be laid: `None` when nothing is cut from it,
/// its width is not known, or a piece is wider than it.
pub(crate) fn by_thumb(worked: &Worked, called: &str, cloth: &Cloth) -> Option<ByThumb> {
    let usable = cloth.usable()?;
    // Where its pattern can't meet, no piece waits for it.
    let repeat = cloth.repeat_as_cut().filter(|_| cloth.no_match().is_none());
    let mut boxes = Vec::new();
    let mut pieces = 0;
    for piece in &worked.pieces {
        for cut in piece.cuts.iter().filter(|c| c.cloth == called) {
            let (width, length) = size(piece)?;
            // On the fold the paper shows half of it.
            let width = if cut.on_fold { width * 2.0 } else { width };
            boxes.push((width, shop::in_repeats(length, repeat), cut.count));
            pieces += cut.count;
        }
    }
    let way = match cloth.length_runs {
        lay::Runs::Across => Thumb::Across,
        lay::Runs::Along => Thumb::Along,
    };
    let length = shop::by_thumb(&boxes, usable, way)?;
    let length = shop::before_shrinking(length, cloth.shrink_along).ok()?;
    Some(ByThumb { length, pieces })
}

/// Width and length of a piece along its grain, to its cutting line.
fn size(piece: &Piece) -> Option<(Length, Length)> {
    let line = cutting_line(piece).ok()?;
    let down = piece
        .grain
        .map(|g| g.to - g.from)
        .filter(|way| way.size() > 1e-6)
        .map_or(Vector::new(0.0, 1.0), |way| way * (1.0 / way.size()));
    let over = down.left();
    let flat = piece::flat::cutting(&line);
    let spread = |along: Vector| {
        let all = flat.points.iter().map(|p| p.x * along.x + p.y * along.y);
        let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| {
            (l.min(d), h.max(d))
        });
        Length::try_mm(high - low)
    };
    Some((spread(over)?, spread(down)?))
}

/// How long the opening is that begins at the top and ends above the hem, on the pieces that go round
/// her: the longest, where there are several.
pub(crate) fn opening(subject: &Subject<'_>) -> Option<Length> {
    let seen = Seen::of(subject);
    let round = Round::of(&seen);
    let from_top = round.openings().iter().filter(|o| o.from_top && !o.to_hem);
    let each = from_top.filter_map(|o| Length::try_mm((o.foot_point - o.top_point).size()));
    each.filter(|l| *l > Length::ZERO).reduce(Length::max)
}

/// The zip to buy for an opening: the next ready-made one that is long enough after what it loses in
/// sewing; it is shortened to fit. `None` when none is long enough.
pub(crate) fn zip(opening: Length, unit: Unit) -> Option<String> {
    let need = opening + Length::inches(ZIP_LOSS);
    let hair = Length::mm(0.5);
    let made = match unit {
        Unit::Inch => ZIPS_IN,
        Unit::Cm => ZIPS_CM,
    };
    let fits = made
        .into_iter()
        .find(|n| unit.of(*n).is_some_and(|l| l + hair >= need))?;
    Some(format!("{fits} {}", unit.sign()))
}

/// Braid for a hem so long round.
pub(crate) fn braid(hem: Length) -> Length {
    hem + Length::inches(BRAID_JOIN)
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;
    use crate::args::Ways;
    use crate::job::{Job, Opened};
    use crate::shelf;

    const METHOD: &str = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/data/darted.method"
    );
    const CARD: &str = include_str!("../../../../../tests/data/anna.toml");

    /// The darted skirt is a front and a back, each once on the fold, one behind the other: before it shrinks
    /// the cloth is a whole number of repeats as bought. Would catch a length that is counted in repeats as
    /// bought and then made good for shrinking as well.
    #[test]
    fn a_repeat_is_counted_in_whole_ones_as_bought() {
        let opened = Opened {
            path: PathBuf::from("anna.toml"),
            card: measure::card::read(CARD, &[]).unwrap(),
        };
        let method = shelf::take(METHOD).unwrap();
        let ways = Ways {
            set: Vec::new(),
            predict: true,
            untrued: false,
            unit: None,
        };
        let worked = Job::new(&opened, &method, &[], &ways)
            .work_soundly()
            .unwrap();
        let print = Cloth {
            width: Some(Length::inches(60.0)),
            repeat: Some(Length::inches(12.0)),
            shrink_along: 0.04,
            ..Cloth::default()
        };
        let found = by_thumb(&worked, "shell", &print).unwrap();
        let repeats = found.length.in_inches() / 12.0;
        assert!(
            repeats > 3.0 && (repeats - repeats.round()).abs() < 1e-6,
            "{repeats}"
        );
        // Across the cloth it can't meet: a piece that fits between the selvedges is not made too long for them.
        let across = Cloth {
            width: Some(Length::inches(45.0)),
            repeat: Some(Length::inches(50.0)),
            length_runs: lay::Runs::Across,
            ..print
        };
        assert!(by_thumb(&worked, "shell", &across).is_some());
    }

    /// Would catch a zip that ends up too short once it is sewn in.
    #[test]
    fn a_zip_is_bought_long_enough() {
        let zip = |inches: f64, unit| zip(Length::inches(inches), unit);
        assert_eq!(zip(7.0, Unit::Inch).as_deref(), Some("8 in"));
        assert_eq!(zip(7.25, Unit::Inch).as_deref(), Some("9 in"));
        assert_eq!(zip(8.0, Unit::Cm).as_deref(), Some("23 cm"));
        assert_eq!(zip(23.0, Unit::Inch).as_deref(), Some("24 in"));
        assert_eq!(zip(30.0, Unit::Inch), None);
    }
}
