//! What is added to a step's own words: the letters of corners that have no name, and where a point
//! stands when the table says otherwise than the words.

use super::letters::said;
use super::plan::Plan;
use super::plate::has_same;
use super::rounded::Figures;
use super::tables::figure;
use super::{HandPart, HandStep};
use crate::words::{Words, capital, fill};

/// The names of the points that a step marks on a sheet.
pub(crate) fn own(plan: &Plan<'_>, sheet: usize, step: u32) -> Vec<String> {
    plan.sheets[sheet]
        .spots
        .iter()
        .filter(|s| s.step == step && !s.unnamed)
        .map(|s| s.name.clone())
        .collect()
}

/// The corners that come to be in a step, by their letters.
pub(crate) fn corners(plan: &Plan<'_>, sheet: usize, step: u32, words: &Words) -> Vec<String> {
    let sheet = &plan.sheets[sheet];
    let mut out = Vec::new();
    let letter = |i: usize| sheet.spots[i].letter.as_str();
    let mut in_darts: Vec<usize> = Vec::new();
    for dart in sheet.darts.iter().filter(|d| d.step == step) {
        in_darts.extend([dart.legs.0, dart.legs.1, dart.tip]);
        out.push(fill(
            words.dart_letters,
            &[
                ("a", letter(dart.legs.0)),
                ("b", letter(dart.legs.1)),
                ("tip", letter(dart.tip)),
            ],
        ));
    }
    let mut letters: Vec<&str> = Vec::new();
    for (i, spot) in sheet.spots.iter().enumerate() {
        if spot.step == step
            && spot.unnamed
            && !in_darts.contains(&i)
            && !letters.contains(&letter(i))
        {
            letters.push(letter(i));
        }
    }
    match &letters[..] {
        [] => {}
        [one] => out.push(fill(words.corner_letter, &[("a", one)])),
        [most @ .., last] => out.push(fill(
            words.corner_letters,
            &[("some", &most.join(", ")), ("last", last)],
        )),
    }
    out
}

/// A step with the figures that the table gives its points, where a figure of its own words is the
/// place itself: she reads one number, not two.
pub(crate) fn rounded_together(
    plan: &Plan<'_>,
    figures: &Figures,
    sheet: usize,
    step: &HandStep,
) -> HandStep {
    let mut out = step.clone();
    for (k, s) in plan.sheets[sheet].spots.iter().enumerate() {
        if Some(s.step) != step.number || s.unnamed {
            continue;
        }
        let near = figures.nearest_to(s.at);
        let now = (figures.across(sheet, k), figures.down(sheet, k));
        for (old, new) in [(near.0, now.0), (near.1, now.1)] {
            if old == new || new == 0 {
                continue;
            }
            let (old, new) = (figure(figures, old.abs()), figure(figures, new.abs()));
            let mut same = out.parts.iter_mut().filter_map(|p| match p {
                HandPart::Figure { shown, .. } if *shown == old => Some(shown),
                _ => None,
            });
            if let (Some(one), None) = (same.next(), same.next()) {
                *one = new;
            }
        }
    }
    out
}

/// Where points and rulings of a step stand, if the step's own figures do not say so.
pub(crate) fn places(
    plan: &Plan<'_>,
    figures: &Figures,
    sheet: usize,
    step: &HandStep,
    words: &Words,
) -> Vec<String> {
    let Some(number) = step.number else {
        return Vec::new();
    };
    let shown: Vec<&str> = step
        .parts
        .iter()
        .filter_map(|p| match p {
            HandPart::Figure { shown, .. } => Some(shown.trim_start_matches('-')),
            _ => None,
        })
        .collect();
    let place = &plan.sheets[sheet];
    let way = |parts: i64, down: bool| {
        let amount = figure(figures, parts.abs());
        let word = match (down, parts < 0) {
            (true, false) => words.down,
            (true, true) => words.up,
            (false, false) => words.across,
            (false, true) => words.inward,
        };
        fill(word, &[("d", &amount)])
    };
    let evident = |parts: i64| parts == 0 || shown.contains(&&*figure(figures, parts.abs()));
    // What is traced was told of where it was drawn.
    let model = plan.sheets.iter().position(|s| s.group == place.group);
    let model = model.filter(|m| *m != sheet).map(|m| &plan.sheets[m]);
    let traced = |name: &str| model.is_some_and(|m| has_same(m, place, name));
    let mut out = Vec::new();
    for (k, r) in place.rulings.iter().enumerate() {
        let at = figures.ruling(sheet, k);
        if r.step == number && !evident(at) && !traced(&r.name) {
            let name = capital(&said(&r.name));
            out.push(fill(
                words.stands,
                &[("name", &name), ("where", &way(at, r.level))],
            ));
        }
    }
    for (k, s) in place.spots.iter().enumerate() {
        if s.step != number || s.unnamed || traced(&s.name) {
            continue;
        }
        let on = |level: bool, at: f64| {
            place
                .rulings
                .iter()
                .any(|r| r.level == level && (r.at - at).abs() <= 1e-4)
        };
        let (x, y) = (figures.across(sheet, k), figures.down(sheet, k));
        let mut wheres = Vec::new();
        if !on(false, s.at.x) && !evident(x) {
            wheres.push(way(x, false));
        }
        if !on(true, s.at.y) && !evident(y) {
            wheres.push(way(y, true));
        }
        if !wheres.is_empty() {
            out.push(fill(
                words.stands,
                &[("name", &s.letter), ("where", &wheres.join(", "))],
            ));
        }
    }
    out
}
