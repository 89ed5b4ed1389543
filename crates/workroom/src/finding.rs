//! What is to be told before cloth is cut: the method's own checks, seams that do not match, and
//! what is odd about the card.

use std::fmt::Write as _;

use draft::tree::Weight;
use draft::worked::{EdgeName, SeamMade, Source, Worked};
use measure::fraction::{self, Fineness, Shown};
use measure::{Card, Length, questions};
use serde_json::{Value, json};

use crate::answer::calm;
use crate::json as js;

/// Partners that differ by more than this many inches are asked about; it is what truing must keep.
const ASK_OUT: f64 = 1.0 / 32.0;
/// Partners that differ by more than this many inches can't be sewn flat (trade/faults-and-checks.md
/// F1: 1/8 in is the usual limit).
const STOP_OUT: f64 = 1.0 / 8.0;

/// One finding.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Finding {
    /// What found it: `method/tight break`, `seam difference`, `card/…`.
    pub(crate) rule: String,
    /// How serious it is.
    pub(crate) weight: Weight,
    /// Where: `front.side`, a seam, a measure.
    pub(crate) place: String,
    /// By how much, where that is a length.
    pub(crate) amount: Option<Length>,
    /// What it says.
    pub(crate) says: String,
    /// What to do.
    pub(crate) cure: Option<String>,
}

/// The weight in a word.
pub(crate) const fn word(weight: Weight) -> &'static str {
    match weight {
        Weight::Stop => "stop",
        Weight::Ask => "ask",
        Weight::Note => "note",
    }
}

const fn rank(weight: Weight) -> u8 {
    match weight {
        Weight::Stop => 0,
        Weight::Ask => 1,
        Weight::Note => 2,
    }
}

/// Everything that is found about a draft, the gravest first.
pub(crate) fn all(worked: &Worked, card: &Card, shown: Shown) -> Vec<Finding> {
    let mut out: Vec<Finding> = worked
        .seams
        .iter()
        .filter_map(|seam| of_seam(seam, shown))
        .collect();
    out.extend(worked.truings.iter().filter(|t| !t.met).map(|t| Finding {
        rule: "truing".into(),
        weight: Weight::Ask,
        place: t.seam.clone(),
        amount: Some(t.out_after),
        says: t.sentence.clone(),
        cure: Some("Give what moves more room, or let something else move.".into()),
    }));
    out.extend(worked.findings.iter().map(|f| Finding {
        rule: format!("method/{}", f.rule),
        weight: f.weight,
        place: dotted(&f.place),
        amount: f.amount,
        says: f.says.clone(),
        cure: f.cure.clone(),
    }));
    out.extend(questions::ask(card).into_iter().map(|q| Finding {
        rule: format!("card/{}", q.rule.trim_start_matches("card.")),
        weight: match q.weight {
            questions::Weight::Ask => Weight::Ask,
            questions::Weight::Note => Weight::Note,
        },
        place: q.measure,
        amount: None,
        says: q.says,
        cure: q.likely.map(|l| {
            format!(
                "Take it again; if it is {}, write that on the card.",
                fraction::show(l, shown)
            )
        }),
    }));
    out.extend(of_measures(worked, shown));
    out.sort_by_key(|f| rank(f.weight));
    out
}

/// A seam whose two sides do not go together.
fn of_seam(seam: &SeamMade, shown: Shown) -> Option<Finding> {
    let out = seam.difference.abs();
    let weight = if out.in_inches() > STOP_OUT {
        Weight::Stop
    } else if out.in_inches() > ASK_OUT {
        Weight::Ask
    } else {
        return None;
    };
    let fine = Shown {
        fineness: match shown.unit {
            fraction::Unit::Inch => Fineness::Sixteenth,
            fraction::Unit::Cm => Fineness::Millimetre,
        },
        ..shown
    };
    let show = |l: Length| fraction::show(l, fine);
    let ease = if seam.ease.abs().in_mm() > 0.01 {
        format!(", with {} to be eased in", show(seam.ease))
    } else {
        String::new()
    };
    Some(Finding {
        rule: "seam difference".into(),
        weight,
        place: edges(&seam.a),
        amount: Some(seam.difference),
        says: format!(
            "{}: {} is {} long and {} is {}{ease}. They are {} out.",
            sentence_case(&seam.name),
            spoken(&seam.a),
            show(seam.a_length),
            spoken(&seam.b),
            show(seam.b_length),
            show(out)
        ),
        cure: Some("True the seam between each two notches, never only at the hem.".into()),
    })
}

/// Measures that were reckoned. Where the method's `else` was taken, the draft says so itself.
fn of_measures(worked: &Worked, shown: Shown) -> Vec<Finding> {
    worked
        .measures
        .iter()
        .filter_map(|m| {
            let Source::Predicted { low, high } = m.source else {
                return None;
            };
            Some(Finding {
                rule: "measure/predicted".into(),
                weight: Weight::Note,
                place: m.name.clone(),
                amount: None,
                says: predicted(&m.name, m.value, low, high, shown),
                cure: Some(format!("Take her {} and write it on the card.", m.name)),
            })
        })
        .collect()
}

/// What is said wherever a predicted measure was used.
pub(crate) fn predicted(
    name: &str,
    value: Length,
    low: Length,
    high: Length,
    shown: Shown,
) -> String {
    format!(
        "{} is not on the card. It is reckoned from the other measures as {}; of women like her nine in ten lie between {} and {}.",
        sentence_case(name),
        fraction::show(value, shown),
        fraction::show(low, shown),
        fraction::show(high, shown)
    )
}

/// `side of front` as `front.side`.
fn dotted(place: &str) -> String {
    let mut parts: Vec<&str> = place.split(" of ").collect();
    parts.reverse();
    parts.join(".")
}

/// Edges as a program reads them: `front.side`, more of them with ` + ` between.
pub(crate) fn edges(all: &[EdgeName]) -> String {
    let each: Vec<String> = all
        .iter()
        .map(|e| format!("{}.{}", e.piece, e.edge))
        .collect();
    each.join(" + ")
}

/// Edges as they are said: `side of front`.
pub(crate) fn spoken(all: &[EdgeName]) -> String {
    if all.is_empty() {
        return "its twin".into();
    }
    let each: Vec<String> = all
        .iter()
        .map(|e| format!("{} of {}", e.edge, e.piece))
        .collect();
    each.join(" and ")
}

/// A sentence with its full stop.
pub(crate) fn ended(text: &str) -> String {
    if text.ends_with(['.', '?', '!']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// A name at the beginning of a sentence.
pub(crate) fn sentence_case(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// For a report.
pub(crate) fn value(finding: &Finding) -> Value {
    json!({
        "rule": finding.rule,
        "weight": word(finding.weight),
        "where": finding.place,
        "amount_mm": js::maybe(finding.amount),
        "says": finding.says,
        "cure": finding.cure,
        "try": null,
    })
}

/// For a person: each in a few lines.
pub(crate) fn told(findings: &[Finding]) -> String {
    let mut out = String::new();
    for f in findings {
        let weight = format!("{}:", sentence_case(word(f.weight)));
        let _ = writeln!(out, "  {weight:6}{}", calm(&ended(&f.says)));
        if let Some(cure) = &f.cure {
            let _ = writeln!(out, "        Cure: {}", calm(&ended(cure)));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seam(difference: f64) -> SeamMade {
        let edge = |piece: &str| EdgeName {
            piece: piece.into(),
            edge: "side".into(),
            between: None,
        };
        SeamMade {
            name: "side seam".into(),
            a: vec![edge("front")],
            b: vec![edge("back")],
            a_length: Length::inches(30.0 + difference),
            b_length: Length::inches(30.0),
            ease: Length::ZERO,
            difference: Length::inches(difference),
            before: None,
        }
    }

    /// Would catch a limit that slipped, on either side of each.
    #[test]
    fn a_seam_is_asked_about_past_a_32nd_and_stops_past_an_eighth() {
        let weight = |d: f64| of_seam(&seam(d), Shown::inches()).map(|f| f.weight);
        assert_eq!(weight(0.0312), None);
        assert_eq!(weight(0.0313), Some(Weight::Ask));
        assert_eq!(weight(-0.1249), Some(Weight::Ask));
        assert_eq!(weight(0.1251), Some(Weight::Stop));
        let said = of_seam(&seam(-0.787), Shown::inches()).unwrap().says;
        assert_eq!(
            said,
            "Side seam: side of front is 29 3/16 in long and side of back is 30 in. They are 13/16 in out."
        );
    }

    #[test]
    fn a_place_is_told_the_program_s_way() {
        assert_eq!(dotted("side of front"), "front.side");
        assert_eq!(dotted("hem"), "hem");
        assert_eq!(dotted("waist of back of skirt"), "skirt.back.waist");
    }
}
