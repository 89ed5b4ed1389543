//! Joins, tried: nothing is lost, both sides meet, and none runs up into sight.

use super::*;
use crate::outline::Outline;
use proptest::prelude::*;

/// A panel: so wide at the waist and at the hem, so long; its left edge along the grain.
fn panel((waist, hem, long): (f64, f64, f64), on_fold: bool, pair: bool) -> CutPiece {
    CutPiece {
        name: "front".into(),
        outline: vec![
            [0.0, 0.0],
            [waist, 0.0],
            [waist * 1.1, long * 0.35],
            [hem, long],
            [0.0, long],
            [0.0, 0.0],
        ],
        grain: Some([[waist * 0.4, long * 0.2], [waist * 0.4, long * 0.7]]),
        fold: on_fold.then_some([[0.0, 0.0], [0.0, long]]),
        notches: Vec::new(),
        count: if pair { 2 } else { 1 },
        on_fold,
        pair,
        matched: None,
        joins: Vec::new(),
    }
}

fn cloth(width: f64, fold: Fold, runs: Runs) -> Cloth {
    Cloth {
        width: Some(Length::mm(width)),
        fold,
        length_runs: runs,
        ..Cloth::default()
    }
}

fn area(points: &[[f64; 2]]) -> f64 {
    Outline::new(points).unwrap().area()
}

/// By hand: a half front of 200 at the waist and 700 at the hem, 1000 long, on cloth of 1000 (room for
/// 500 on each side of its middle) with a half inch: stitched 500 - 12.7 from the fold. Its side leaves
/// 220 at 350 down and reaches 700 at 1000, so the join begins at 350 + 650 * (487.3 - 220) / 480.
#[test]
fn a_wide_front_is_joined_low_at_its_side() {
    let front = panel((200.0, 700.0, 1000.0), true, false);
    let narrow = cloth(1000.0, Fold::None, Runs::Along);
    let (main, parts, joins) = join(&front, &narrow, (usual_allowance(), Length::ZERO)).unwrap();
    let [part] = &parts[..] else {
        panic!("{parts:?}")
    };
    let [join] = &joins[..] else {
        panic!("{joins:?}")
    };
    assert!((join.begins.in_mm() - (350.0 + 650.0 * 267.3 / 480.0)).abs() < 1e-6);
    assert!((join.line[0][0] - 487.3).abs() < 1e-9 && (join.line[1][0] - 487.3).abs() < 1e-9);
    assert_eq!(
        (part.name.as_str(), part.count, part.pair, part.on_fold),
        ("front, joined on part", 2, true, false)
    );
    assert!(main.on_fold && main.count == 1 && main.fold == front.fold);
    let (low, high) = reach(&main.outline, [1.0, 0.0]);
    assert!((low - 0.0).abs() < 1e-9 && (high - 500.0).abs() < 1e-9);
    // The hem of the part: from an allowance before the join to the side.
    assert!((join.size.0.in_mm() - (700.0 - 487.3 + 12.7)).abs() < 1e-6);
    // Both have the same two notches, level with each other.
    let level = |p: &CutPiece| {
        p.notches
            .iter()
            .map(|n| (n.at[1], n.snips))
            .collect::<Vec<_>>()
    };
    assert_eq!(level(&main), level(part));
    assert_eq!(level(part).len(), 2);
    // Cloth that is wide enough asks for none.
    assert!(
        super::join(
            &front,
            &cloth(1400.0, Fold::None, Runs::Along),
            (usual_allowance(), Length::ZERO)
        )
        .is_none()
    );
}

/// Would catch a join in sight: a straight panel would be joined from its top.
#[test]
fn a_piece_without_flare_is_not_joined() {
    let board = panel((600.0, 600.0, 1000.0), false, false);
    assert_eq!(
        join(
            &board,
            &cloth(500.0, Fold::None, Runs::Along),
            (usual_allowance(), Length::ZERO)
        ),
        None
    );
    // Nor one that would need more than a part on each side.
    let wide = panel((200.0, 2000.0, 1000.0), true, false);
    assert_eq!(
        join(
            &wide,
            &cloth(700.0, Fold::None, Runs::Along),
            (usual_allowance(), Length::ZERO)
        ),
        None
    );
}

/// A pair whose part, by itself, takes all of the folded width but a millimetre: would catch a part that
/// forgets the half gap that a pair keeps from the fold, and is then too wide for the cloth.
#[test]
fn a_part_keeps_its_gap_from_the_fold_too() {
    let piece = panel((80.0, 727.39, 300.0), false, true);
    let folded = Cloth {
        selvedge: Length::mm(19.4),
        join: Some(Length::mm(23.72)),
        ..cloth(830.9, Fold::Lengthwise, Runs::Along)
    };
    let gap = |mm: f64| crate::spread::Rules {
        gap: Length::mm(mm),
        ..Default::default()
    };
    let laid = |mm: f64| {
        let pieces = std::slice::from_ref(&piece);
        crate::spread::Spread::new(pieces, &folded, gap(mm)).map(|s| s.joins().len())
    };
    assert_eq!(laid(0.0), Ok(1));
    // With the gap one part would be too wide: each side takes half.
    assert_eq!(laid(18.09), Ok(2));
}

/// Would catch a train that is not joined where it is too long for cloth that it lies across.
#[test]
fn what_is_too_long_across_is_joined_at_the_hem() {
    let back = panel((300.0, 600.0, 1300.0), true, false);
    let across = cloth(1100.0, Fold::None, Runs::Across);
    let (main, parts, joins) = join(&back, &across, (usual_allowance(), Length::ZERO)).unwrap();
    assert!((reach(&main.outline, [0.0, 1.0]).1 - 1100.0).abs() < 1e-9);
    // Both are halves, each with its stretch of the fold.
    assert!(main.on_fold && parts[0].on_fold && parts[0].count == 1);
    let fold = |p: &CutPiece| p.fold.unwrap().map(|q| q[1]);
    assert!(fold(&main)[0].abs() < 1e-9 && (fold(&main)[1] - 1100.0).abs() < 1e-9);
    assert!(
        (fold(&parts[0])[0] - (1100.0 - 25.4)).abs() < 1e-9
            && (fold(&parts[0])[1] - 1300.0).abs() < 1e-9
    );
    assert!((joins[0].begins.in_mm() - 1087.3).abs() < 1e-9);
}

proptest! {
    /// Whatever is joined: each side is the piece up to its allowance, nothing is lost, all fits the
    /// cloth, and the join begins in the flare.
    #[test]
    fn both_sides_make_the_piece(
        waist in 80.0_f64..400.0,
        hem in 100.0_f64..1500.0,
        long in 300.0_f64..1600.0,
        width in 300.0_f64..1600.0,
        how in 0_u8..3,
        fold in 0_u8..5,
        deep in prop::option::of(60.0_f64..800.0),
        across in any::<bool>(),
        allowance in 4.0_f64..40.0,
        gap in prop_oneof![Just(0.0), 1.0_f64..20.0],
        selvedge in 0.0_f64..30.0,
    ) {
        let piece = panel((waist, hem, long), how == 0, how == 1);
        let fold = [Fold::None, Fold::Lengthwise, Fold::Double, Fold::Part, Fold::Crosswise][usize::from(fold)];
        let cloth = Cloth {
            selvedge: Length::mm(selvedge),
            fold_depth: deep.map(Length::mm).filter(|_| fold == Fold::Part),
            ..cloth(width, fold, if across { Runs::Across } else { Runs::Along })
        };
        let rules = crate::spread::Rules { gap: Length::mm(gap), ..Default::default() };
        let a = Length::mm(allowance);
        if let Some((main, parts, joins)) = join(&piece, &cloth, (a, rules.gap)) {
            prop_assert!(parts.len() == joins.len() && (1..=2).contains(&parts.len()));
            // The area of all, less the two allowances at each join, is the area of the piece.
            let mut sum = area(&main.outline);
            for (part, join) in parts.iter().zip(&joins) {
                sum += area(&part.outline);
                let out = if across { [0.0, 1.0] } else {
                    let (low, _) = reach(&part.outline, [1.0, 0.0]);
                    if low < join.line[0][0] - 1e-6 && reach(&part.outline, [1.0, 0.0]).1 > join.line[0][0] + allowance { [1.0, 0.0] } else { [-1.0, 0.0] }
                };
                let at = dot(join.line[0], out);
                let strip = kept(&kept(&piece.outline[..5], out, at + allowance), [-out[0], -out[1]], allowance - at);
                sum -= area(&strip);
                prop_assert!(join.begins.in_mm() >= long * HIGHEST - 1e-6);
                let wanted = if how == 0 && !across { 2 } else { piece.count };
                prop_assert_eq!(part.count, wanted);
                // The arrow of each lies on it, along the grain.
                for (p, [from, to]) in [(&main, join.grain[0]), (part, join.grain[1])] {
                    prop_assert!(holds(&p.outline, from) && holds(&p.outline, to));
                    prop_assert!((from[0] - to[0]).abs() < 1e-6 && from[1] < to[1]);
                }
            }
            // Each notch of a part has its fellow on the piece.
            let marks: usize = parts.iter().map(|p| p.notches.len()).sum();
            prop_assert_eq!(marks, main.notches.len());
            let own = area(&piece.outline);
            prop_assert!((sum - own).abs() < own * 1e-6, "{sum} of {own}");
            // And the cloth takes them all.
            let joined = Cloth { join: Some(a), ..cloth.clone() };
            let spread = crate::spread::Spread::new(std::slice::from_ref(&piece), &joined, rules);
            if let Err(crate::spread::SpreadFault::NothingToFold) = spread {
                prop_assert!(joined.fold == Fold::Part && joined.fold_depth.is_none());
                // None of them is cut through two layers that half the cloth would hold.
                let way = if across { [0.0, 1.0] } else { [1.0, 0.0] };
                let half = joined.usable().unwrap().in_mm() / 2.0;
                for p in parts.iter().chain([&main]) {
                    let (low, high) = reach(&p.outline, way);
                    prop_assert!(across || !p.on_fold);
                    prop_assert!(!p.pair || high - low + 0.52 * gap + 3.175 > half, "{} of {half}", high - low);
                }
            } else {
                prop_assert!(spread.is_ok(), "{:?}", spread.err());
            }
        }
    }
}
