//! Other ways to lay the same pieces: across or along, flat or folded, one way, or on other widths.

use measure::Length;

use crate::cloth::{Cloth, Fold, Nap, Runs};
use crate::cut_piece::{CutPiece, opened_out};
use crate::laid::{Laid, Layers};
use crate::shop::{Thumb, by_thumb};

/// What is other than she asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// Nothing.
    None,
    /// The garment's length runs along the selvedge.
    Along,
    /// It runs across, from selvedge to selvedge.
    Across,
    /// The cloth lies flat.
    Flat,
    /// It is folded along its length.
    Folded,
    /// A part of its width is folded, as deep as the pieces ask.
    FoldedPart,
    /// All tops point one way.
    OneWay,
    /// Another width.
    Width(Length),
}

/// What a way leaves out of what she said of her cloth: it is of the piece that she has, and another width
/// is another piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeftOut {
    /// The places that no piece may touch.
    Flaws,
    /// How much of it is at hand.
    InHand,
    /// How deep a part of the width is folded: the other cloth is too narrow for that.
    FoldDepth,
}

/// A way to lay.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// What is other.
    pub change: Change,
    /// The cloth with that change.
    pub cloth: Cloth,
    /// Stretch that was to go round the body goes down the leg: ask her.
    pub stretch_down: bool,
    /// What of hers is not looked at: to be said beside it.
    pub left_out: Vec<LeftOut>,
}

/// The widths that shops sell most, in inches (cloth of 44/45, 54 and 58/60 in: trade page on cloth).
const WIDTHS: [f64; 3] = [45.0, 54.0, 60.0];

/// Cloth that is no further than this from such a width, in inches, is of that width: 115 cm are sold as
/// 45 in.
const SAME_WIDTH: f64 = 0.5;

/// The ways that are worth comparing, hers first.
pub fn ways(cloth: &Cloth) -> Vec<Way> {
    let mut out: Vec<Way> = Vec::new();
    let mut add = |change: Change, cloth: Cloth| {
        out.push(Way {
            stretch_down: stretch_down(&cloth),
            change,
            cloth,
            left_out: Vec::new(),
        });
    };
    add(Change::None, cloth.clone());
    let with = |change: &dyn Fn(&mut Cloth)| {
        let mut other = cloth.clone();
        change(&mut other);
        // A length that she has is of her cloth as it is.
        other
    };
    match cloth.length_runs {
        Runs::Along => add(
            Change::Across,
            with(&|c| {
                c.length_runs = Runs::Across;
                c.fold = Fold::None;
                c.fold_depth = None;
            }),
        ),
        Runs::Across => add(Change::Along, with(&|c| c.length_runs = Runs::Along)),
    }
    match cloth.fold {
        Fold::None if cloth.length_runs == Runs::Along => {
            add(Change::Folded, with(&|c| c.fold = Fold::Lengthwise));
            add(Change::FoldedPart, with(&|c| c.fold = Fold::Part));
        }
        Fold::None => {}
        Fold::Lengthwise | Fold::Double | Fold::Crosswise => {
            add(Change::Flat, with(&|c| c.fold = Fold::None));
        }
        Fold::Part => {
            let other = |c: &mut Cloth, fold: Fold| (c.fold, c.fold_depth) = (fold, None);
            add(Change::Flat, with(&|c| other(c, Fold::None)));
            add(Change::Folded, with(&|c| other(c, Fold::Lengthwise)));
        }
    }
    if cloth.nap == Nap::TwoWay && cloth.fold != Fold::Crosswise {
        add(Change::OneWay, with(&|c| c.nap = Nap::OneWay));
    }
    if let Some(width) = cloth.width {
        let others = WIDTHS.map(Length::inches);
        out.extend(
            others
                .into_iter()
                .filter(|other| (*other - width).abs() > Length::inches(SAME_WIDTH))
                .map(|other| as_wide(cloth, other)),
        );
    }
    out
}

/// The same on cloth of another width, without what is so only of the piece that she has.
fn as_wide(cloth: &Cloth, width: Length) -> Way {
    let mut other = cloth.clone();
    other.width = Some(width);
    let mut left_out = Vec::new();
    if !other.flaws.is_empty() {
        other.flaws.clear();
        left_out.push(LeftOut::Flaws);
    }
    if other.in_hand.take().is_some() {
        left_out.push(LeftOut::InHand);
    }
    if other.fold_depth.is_some_and(|deep| deep * 2.0 > width) {
        other.fold_depth = None;
        left_out.push(LeftOut::FoldDepth);
    }
    Way {
        change: Change::Width(width),
        stretch_down: stretch_down(&other),
        cloth: other,
        left_out,
    }
}

/// Whether the stretch of a cloth that was meant to go round the body goes down the leg.
pub fn stretch_down(cloth: &Cloth) -> bool {
    cloth.stretch_round_body > 0.0 && cloth.length_runs == Runs::Across
}

/// The width and length of the box round each piece as it is cut, opened out, and how often.
pub fn rectangles(pieces: &[CutPiece]) -> Vec<(Length, Length, u32)> {
    let each = |p: &CutPiece| {
        let whole = match (p.on_fold, p.fold) {
            (true, Some(fold)) => opened_out(&p.outline, fold),
            _ => None,
        };
        let d = p.down();
        let mut b = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
        for q in whole.as_ref().unwrap_or(&p.outline) {
            let at = [q[0] * d[1] - q[1] * d[0], q[0] * d[0] + q[1] * d[1]];
            for axis in 0..2 {
                b[axis] = b[axis].min(at[axis]);
                b[axis + 2] = b[axis + 2].max(at[axis]);
            }
        }
        let mm = |v: f64| Length::try_mm(v.max(0.0)).unwrap_or(Length::ZERO);
        (mm(b[2] - b[0]), mm(b[3] - b[1]), p.count)
    };
    pieces.iter().map(each).collect()
}

/// The length by the rule of thumb: the boxes round the pieces, one beside the other.
pub fn thumb(pieces: &[CutPiece], cloth: &Cloth) -> Option<Length> {
    let way = match cloth.length_runs {
        Runs::Along => Thumb::Along,
        Runs::Across => Thumb::Across,
    };
    by_thumb(&rectangles(pieces), cloth.usable()?, way)
}

/// What a lay asks of the cutter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Care {
    /// How many outlines are cut.
    pub outlines: usize,
    /// Pieces cut once face up and once face down.
    pub twins: usize,
    /// Outlines cut through two layers, which must not shift.
    pub doubled: usize,
    /// Pieces that lie head to foot.
    pub head_to_foot: usize,
    /// The cloth is folded first and opened out later.
    pub opened_later: bool,
    /// The pattern of the cloth must meet.
    pub matched: bool,
}

impl Care {
    /// What this lay asks.
    pub fn of(laid: &Laid, cloth: &Cloth) -> Self {
        let many = |of: &dyn Fn(&crate::laid::LaidPiece) -> bool| {
            let on_scraps = laid.scraps.iter().flat_map(|s| &s.pieces);
            laid.pieces
                .iter()
                .chain(on_scraps)
                .filter(|p| of(p))
                .count()
        };
        Self {
            outlines: many(&|_| true),
            twins: many(&|p| p.face_down && p.layers == Layers::One),
            doubled: many(&|p| p.layers != Layers::One),
            head_to_foot: many(&|p| p.head_to_foot),
            opened_later: laid.flat_from.is_some(),
            matched: cloth.repeat.is_some(),
        }
    }

    /// A number to compare by: about how many things there are to get right.
    pub const fn weight(self) -> usize {
        let later = if self.opened_later { 2 } else { 0 };
        let matched = if self.matched { self.outlines } else { 0 };
        self.outlines + self.twins + self.doubled / 2 + later + matched
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cloth;

    fn cloth(text: &str) -> Cloth {
        cloth::read(text).unwrap()
    }

    /// Would catch a way that is compared with itself, and stretch that is forgotten when it turns.
    #[test]
    fn ways_differ_and_stretch_is_asked_about() {
        let crepe =
            cloth("unit = \"in\"\nwidth = 60\nselvedge = 1\nstretch_round_body = \"8 %\"\n");
        let all = ways(&crepe);
        let changes: Vec<Change> = all.iter().map(|w| w.change).collect();
        assert_eq!(
            changes,
            [
                Change::None,
                Change::Across,
                Change::Folded,
                Change::FoldedPart,
                Change::OneWay,
                Change::Width(Length::inches(45.0)),
                Change::Width(Length::inches(54.0)),
            ]
        );
        assert_eq!(
            all.iter().map(|w| w.stretch_down).collect::<Vec<_>>(),
            [false, true, false, false, false, false, false]
        );
        let velvet =
            cloth("unit = \"in\"\nwidth = 45\nnap = \"one-way\"\nlength_runs = \"across\"\n");
        let changes: Vec<Change> = ways(&velvet).iter().map(|w| w.change).collect();
        assert_eq!(changes.len(), 4);
        assert_eq!(changes[1], Change::Along);
    }

    /// Would catch a width that shops sell and that is not compared because hers is near it, and what is
    /// left out of another width with nothing said of it, so that narrower cloth looks cheaper.
    #[test]
    fn other_widths_stand_beside_hers_and_say_what_they_leave_out() {
        let widths = |text: &str| -> Vec<(f64, Vec<LeftOut>)> {
            let each = ways(&cloth(text)).into_iter();
            each.filter_map(|w| match w.change {
                Change::Width(width) => {
                    assert!(w.cloth.flaws.is_empty() && w.cloth.in_hand.is_none());
                    Some((width.in_inches(), w.left_out))
                }
                _ => {
                    assert!(w.left_out.is_empty(), "{w:?}");
                    None
                }
            })
            .collect()
        };
        let all = |text: &str| -> Vec<f64> { widths(text).into_iter().map(|w| w.0).collect() };
        let [few, much, most] = [45.0, 54.0, 60.0];
        assert_eq!(all("unit = \"in\"\nwidth = 58\n"), [few, much, most]);
        assert_eq!(all("unit = \"in\"\nwidth = 44\n"), [few, much, most]);
        assert_eq!(all("unit = \"in\"\nwidth = 54\n"), [few, most]);
        assert_eq!(all("unit = \"cm\"\nwidth = 115\n"), [much, most]);
        let said = "unit = \"in\"\nwidth = 58\nflaws = [\"40 in along, 12 in across\"]\nin_hand = 200\nfold = \"part\"\nfold_depth = 25\n";
        let (flaws, hand) = (LeftOut::Flaws, LeftOut::InHand);
        assert_eq!(
            widths(said),
            [
                (few, vec![flaws, hand, LeftOut::FoldDepth]),
                (much, vec![flaws, hand]),
                (most, vec![flaws, hand]),
            ]
        );
    }

    /// W11 of the worked examples: a half front of 18 by 48.5 on the fold and a pair of backs of 34.25 by
    /// 55.5, allowances included, are 2.90 yd across and 4.43 yd along 58 in of usable cloth.
    #[test]
    fn the_rule_of_thumb_is_w11() {
        let board = |name: &str, w: f64, l: f64, count: u32, on_fold: bool| CutPiece {
            name: name.into(),
            outline: [[0.0, 0.0], [w, 0.0], [w, l], [0.0, l]]
                .map(|p| p.map(|v| v * 25.4))
                .to_vec(),
            grain: None,
            fold: on_fold.then_some([[0.0, 0.0], [0.0, l * 25.4]]),
            notches: Vec::new(),
            count,
            on_fold,
            pair: !on_fold,
            matched: None,
            joins: Vec::new(),
        };
        let pieces = [
            board("front", 18.0, 48.5, 1, true),
            board("back", 34.25, 55.5, 2, false),
        ];
        let mut crepe = cloth("unit = \"in\"\nwidth = 60\nselvedge = 1\n");
        let yards = |c: &Cloth| thumb(&pieces, c).unwrap().in_inches() / 36.0;
        assert!((yards(&crepe) - 4.43).abs() < 0.005, "{}", yards(&crepe));
        crepe.length_runs = Runs::Across;
        assert!((yards(&crepe) - 2.90).abs() < 0.005, "{}", yards(&crepe));
    }
}
