//! The cutting line of random pieces, shaped like garments.

use proptest::prelude::*;

use super::tests::worst;
use super::*;
use crate::samples::{Skirt, flounce, polygon, with_dart};
use crate::{Allowance, Change, Corner, How, Toward};

/// Allowances from 1/4 to 2 in, as the table of `trade/finishing.md` 1 has them.
fn width() -> impl Strategy<Value = f64> {
    prop::sample::select(vec![0.25, 0.375, 0.5, 0.625, 0.75, 1.0, 1.25, 1.5, 2.0])
}

fn style() -> impl Strategy<Value = Corner> {
    prop::sample::select(vec![
        Corner::Extended,
        Corner::Reflected,
        Corner::Squared,
        Corner::Stepped,
        Corner::Bevelled,
        Corner::Mitred,
    ])
}

fn skirt() -> impl Strategy<Value = Skirt> {
    let shape = (
        4.0..10.0_f64,
        0.0..1.5_f64,
        0.0..3.0_f64,
        0.0..4.0_f64,
        0.05..6.0_f64,
        0.0..18.0_f64,
    );
    (shape, any::<bool>(), width(), width(), width()).prop_map(
        |(
            (waist, rise, hips, knee, blend, flare),
            fold,
            waist_allowance,
            side_allowance,
            hem_allowance,
        )| Skirt {
            waist,
            rise,
            hip: waist + hips,
            knee: (waist + hips - knee).max(2.5),
            blend,
            hem: (waist + hips - knee).max(2.5) + flare,
            fold,
            waist_allowance,
            side_allowance,
            hem_allowance,
        },
    )
}

/// Everything that must hold of any cutting line.
fn holds(piece: &Piece) -> Result<(), TestCaseError> {
    let line = cutting_line(piece).map_err(|f| TestCaseError::fail(f.to_string()))?;
    prop_assert!((line.curve.start() - line.curve.end()).size() < 1e-9);
    prop_assert!(line.curve.area() > piece.area());
    if let Err(fault) = check(piece, &line) {
        // A hollow with less room than its allowance has none; that is told, and is no failure.
        prop_assert!(fault.to_string().contains("swallowed"), "{}", fault);
    }
    let off = worst(piece, &line);
    prop_assert!(off < 0.05, "{}", off);
    for place in notch_places_on(piece, &line) {
        prop_assert!(place.on_cutting.is_finite());
    }
    let flat = flat::cutting(&line);
    prop_assert!(flat.points.iter().all(|p| p.is_finite()));
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn skirts(
        skirt in skirt(),
        darts in prop::collection::vec((0.3..0.9_f64, 0.25..1.25_f64, 2.5..5.5_f64, any::<bool>()), 0..3),
        styles in prop::collection::vec(style(), 8),
        step in prop::option::of((1.0..40.0_f64, width(), any::<bool>())),
    ) {
        // Catches: hips, waists, hollow breaks, darts, styles and steps together.
        let mut piece = skirt.piece();
        let waist = piece.edges[0].curve.length().in_inches();
        for (at, intake, deep, start) in darts {
            let toward = if start { Toward::Start } else { Toward::End };
            let at = at * (waist - intake) + intake / 2.0;
            piece = with_dart(piece, at, intake, deep, toward);
        }
        for (i, pair) in styles.chunks(2).enumerate() {
            piece.edges[i].start_corner = pair[0];
            piece.edges[i].end_corner = pair[1];
        }
        if let Some((at, width, ramp)) = step {
            // In a tight hollow a ramp's nearest place is not the one that it was set off from.
            let how = if ramp && skirt.blend > 2.0 && at > 10.0 { How::Ramp } else { How::Step };
            piece.edges[1].allowance = Allowance::changing(
                Length::inches(skirt.side_allowance),
                vec![Change { at: Length::inches(at), width: Length::inches(width), how }],
            );
        }
        prop_assume!(piece.check_simple().is_ok());
        holds(&piece)?;
    }

    #[test]
    fn gores(
        top in 0.25..6.0_f64,
        hem in 0.5..20.0_f64,
        lean in -4.0..4.0_f64,
        deep in 5.0..48.0_f64,
        widths in prop::collection::vec(width(), 4),
        styles in prop::collection::vec(style(), 8),
    ) {
        // Catches: narrow tops and needles, strips wider than the piece.
        let mut piece = polygon(
            &[(-top / 2.0, 0.0), (top / 2.0, 0.0), (lean + hem / 2.0, deep), (lean - hem / 2.0, deep)],
            &widths,
        );
        for (i, pair) in styles.chunks(2).enumerate() {
            piece.edges[i].start_corner = pair[0];
            piece.edges[i].end_corner = pair[1];
        }
        holds(&piece)?;
    }

    #[test]
    fn flounces(
        inner in 0.5..12.0_f64,
        deep in 1.0..40.0_f64,
        degrees in 15.0..350.0_f64,
        widths in prop::collection::vec(width(), 3),
        style in style(),
    ) {
        // Catches: rings that nearly close, necks rounder than their allowance (to half as much again).
        prop_assume!(widths[0] <= 1.5 * inner);
        let mut piece = flounce(inner, inner + deep, degrees, widths[0], widths[1], widths[2]);
        for edge in &mut piece.edges {
            edge.end_corner = style;
        }
        holds(&piece)?;
    }

    #[test]
    fn hollow_polygons(
        radii in prop::collection::vec(3.0..20.0_f64, 4..9),
        widths in prop::collection::vec(width(), 3),
        style in style(),
    ) {
        // Catches: hollow corners of every angle, unequal on both sides.
        let n = radii.len();
        let corners: Vec<(f64, f64)> = radii
            .iter()
            .enumerate()
            .map(|(i, r)| {
                #[expect(clippy::cast_precision_loss, reason = "fewer than nine")]
                let turn = core::f64::consts::TAU * i as f64 / n as f64;
                (r * measure::angle::cos(turn), r * measure::angle::sin(turn))
            })
            .collect();
        let mut piece = polygon(&corners, &widths);
        for edge in &mut piece.edges {
            edge.start_corner = style;
        }
        holds(&piece)?;
    }
}
