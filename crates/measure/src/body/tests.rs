//! The model against its published twin, and against plain algebra.

use super::*;
use crate::fraction::Unit;

/// The names of the published model in its order.
const PUBLISHED: [&str; 14] = [
    "height",
    "bust",
    "underbust",
    "waist",
    "hip",
    "thigh",
    "knee",
    "calf",
    "ankle",
    "waist to hip",
    "waist to knee",
    "waist to floor",
    "back waist length",
    "front waist length",
];

fn numbers(text: &str, after: &str) -> Vec<f64> {
    let (_, rest) = text.split_once(after).unwrap();
    rest.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-' || c == 'e'))
        .filter_map(|w| w.parse().ok())
        .collect()
}

/// Catches a table that was made wrongly: means and covariances must be those that were reckoned
/// independently from the same survey, as near as leaving every eighth woman out allows.
#[test]
fn the_table_agrees_with_the_published_model() {
    let text = include_str!("../../testdata/published_model_ln_inches.json");
    let mean = numbers(text, "\"mean\"");
    let cov = numbers(text, "\"cov\"");
    assert_eq!(cov.len(), 14 * 14);
    for (i, name) in PUBLISHED.iter().enumerate() {
        let a = place(name).unwrap();
        assert!((table::MEAN[a] - mean[i]).abs() < 0.005, "{name}");
        for (j, other) in PUBLISHED.iter().enumerate() {
            let b = place(other).unwrap();
            let (high, low) = (a.max(b), a.min(b));
            let ours = f64::from(table::COVARIANCE[high * (high + 1) / 2 + low]) * 1e-8;
            let scale = (cov[i * 14 + i] * cov[j * 14 + j]).sqrt();
            let apart = (ours - cov[i * 14 + j]).abs() / scale;
            assert!(apart < 0.07, "{name} with {other}: {apart}");
        }
    }
}

/// Catches a name of the model that no card can hold, or a measure that should not be in it.
#[test]
fn every_place_is_a_trade_name() {
    for name in NAMES {
        assert_eq!(crate::names::find(name).map(|m| m.name), Some(*name));
    }
    assert_eq!(place("padded hip"), None);
    assert_eq!(place("heel"), None);
}

/// Catches a wrong inverse: what a measure's oddness says must be what predicting it from the
/// others says.
#[test]
fn oddness_is_the_distance_from_the_guess() {
    let card = Card::new("x", Unit::Inch)
        .with("waist", Length::inches(29.0))
        .with("hip", Length::inches(41.0))
        .with("knee", Length::inches(14.0))
        .with("waist to knee", Length::inches(23.0))
        .with("waist to floor", Length::inches(44.0))
        .with("heel", Length::inches(2.0))
        .with("knee to floor", Length::inches(20.5));
    let all = given(&card);
    for bodies in [
        Bodies::Surveyed,
        Bodies::at_large(&all),
        Bodies::Unknown(Larger(0.1)),
    ] {
        assert_eq!(all.len(), 6);
        let fit = fit(&all, bodies).unwrap();
        for (i, one) in all.iter().enumerate() {
            let mut others = all.clone();
            others.remove(i);
            let guess = guess(one.place, &others, bodies);
            let off = table::MEAN[one.place] + one.off - guess.log;
            assert!((fit.odd[i] - off / guess.deviation).abs() < 1e-6);
            assert!((fit.deviation[i] - guess.deviation).abs() < 1e-9);
        }
    }
}

/// Catches a set of all measures that can't be solved.
#[test]
fn everything_together_can_be_solved() {
    let all: Vec<Given> = (0..NAMES.len())
        .map(|place| Given { place, off: 0.0 })
        .collect();
    for bodies in [
        Bodies::Surveyed,
        Bodies::at_large(&all),
        Bodies::Unknown(Larger(0.1)),
    ] {
        let fit = fit(&all, bodies).unwrap();
        assert!(fit.odd.iter().all(|z| z.abs() < 1e-9));
        assert!(distance_squared(&all, bodies).abs() < 1e-9);
    }
}

/// Catches a single slip that makes a usual body pass for a large one, and a large body that does
/// not loosen its girths.
#[test]
fn the_middle_girth_tells_the_size() {
    let off = |girths: [f64; 4]| -> Vec<Given> {
        ["waist", "hip", "thigh", "knee"]
            .iter()
            .zip(girths)
            .filter_map(|(n, g)| Given::new(place(n)?, Length::inches(g)))
            .collect()
    };
    assert_eq!(Larger::of(&off([28.0, 96.5, 23.0, 14.5])), Larger(0.0));
    let Larger(large) = Larger::of(&off([52.0, 60.0, 33.0, 20.0]));
    assert!((0.04..0.12).contains(&large), "{large}");
}
