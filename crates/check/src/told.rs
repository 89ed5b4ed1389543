//! What others found: the method's own checks, truing that was not met, the card's questions, and
//! measures that were reckoned.

use draft::tree;
use draft::worked::{MeasureUsed, Source};
use measure::fraction::{Shown, show};
use measure::questions;

use crate::finding::{Amount, Finding, Weight};
use crate::seen::Subject;

/// All of it, in no order of weight.
pub(crate) fn others(subject: &Subject<'_>) -> Vec<Finding> {
    let worked = subject.worked;
    let plain = |rule: String, weight, place: String, says: String, cure: Option<String>| Finding {
        rule,
        weight,
        place,
        spots: Vec::new(),
        amount: None,
        tolerance: None,
        says,
        why: None,
        cure,
        attempt: None,
        choices: None,
    };
    let mut out: Vec<Finding> = Vec::new();
    for truing in worked.truings.iter().filter(|t| !t.met) {
        let mut finding = plain(
            "truing".into(),
            Weight::Ask,
            truing.seam.clone(),
            ended(&truing.sentence),
            Some("Give what moves more room, or let something else move.".into()),
        );
        finding.amount = Some(Amount::Length(truing.out_after));
        out.push(finding);
    }
    for again in worked.retrued.iter().filter(|r| r.told) {
        // Less than a thirty-second is no more than a pin is thick.
        let agrees = again.met || again.out_after.in_mm().abs() < 0.8;
        // Where truing has to move an end by more than an inch, it was hardly meant so (common practice,
        // no source).
        let far = !again.band && again.by.in_inches().abs() > 1.0;
        let weight = if agrees && !far {
            Weight::Note
        } else {
            Weight::Ask
        };
        let mut finding = plain(
            "correction/trued".into(),
            weight,
            again.seam.clone(),
            again.sentence.clone(),
            (weight == Weight::Ask).then(|| {
                if agrees {
                    "See whether the correction is as large as it was pinned, and on its partner too."
                        .into()
                } else {
                    "Correct its partner by as much, or say that it is to be eased in.".into()
                }
            }),
        );
        finding.amount = Some(Amount::Length(again.out_after));
        out.push(finding);
    }
    for found in &worked.findings {
        let weight = match found.weight {
            tree::Weight::Stop => Weight::Stop,
            tree::Weight::Ask => Weight::Ask,
            tree::Weight::Note => Weight::Note,
        };
        let mut finding = plain(
            format!("method/{}", found.rule),
            weight,
            dotted(&found.place),
            ended(&found.says),
            found.cure.as_deref().map(ended),
        );
        finding.amount = found.amount.map(Amount::Length);
        out.push(finding);
    }
    for question in questions::ask(subject.card) {
        out.push(plain(
            format!("card/{}", question.rule.trim_start_matches("card.")),
            match question.weight {
                questions::Weight::Ask => Weight::Ask,
                questions::Weight::Note => Weight::Note,
            },
            question.measure,
            ended(&question.says),
            question.likely.map(|likely| {
                format!(
                    "Take it again; if it is {}, write that on the card.",
                    show(likely, subject.shown)
                )
            }),
        ));
    }
    for measure in &worked.measures {
        if let Some(says) = reckoned(measure, subject.shown) {
            out.push(plain(
                "measure/predicted".into(),
                Weight::Note,
                measure.name.clone(),
                says,
                Some(format!(
                    "Take her {} and write it on the card.",
                    measure.name
                )),
            ));
        }
    }
    out
}

/// What is said wherever a predicted measure was used, with the band of nine women in ten.
pub fn reckoned(measure: &MeasureUsed, shown: Shown) -> Option<String> {
    let Source::Predicted { low, high } = measure.source else {
        return None;
    };
    Some(format!(
        "{} is not on the card. It is reckoned from the other measures as {}; of women like her nine in ten lie between {} and {}.",
        capital(&measure.name),
        show(measure.value, shown),
        show(low, shown),
        show(high, shown)
    ))
}

/// `side of front` as `front.side`.
fn dotted(place: &str) -> String {
    let mut parts: Vec<&str> = place.split(" of ").collect();
    parts.reverse();
    parts.join(".")
}

/// A sentence with its full stop.
pub fn ended(text: &str) -> String {
    if text.is_empty() || text.ends_with(['.', '?', '!']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// A name at the beginning of a sentence.
pub fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_told_the_program_s_way() {
        assert_eq!(dotted("side of front"), "front.side");
        assert_eq!(dotted("hem"), "hem");
        assert_eq!(dotted("waist of back of skirt"), "skirt.back.waist");
    }
}
