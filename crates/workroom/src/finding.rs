//! What is to be told before cloth is cut, for people and for programs.

use std::fmt::Write as _;

use check::told::capital;
use check::{Amount, Finding, Weight};
use draft::Worked;
use draft::worked::EdgeName;
use serde_json::{Value, json};

use crate::answer::calm;
use crate::job::Job;
use crate::json as js;

/// The weight in a word.
pub(crate) const fn word(weight: Weight) -> &'static str {
    match weight {
        Weight::Stop => "stop",
        Weight::Ask => "ask",
        Weight::Note => "note",
    }
}

/// Everything that is found about a draft, the gravest first, with the cures that can be computed.
pub(crate) fn all(job: &Job<'_>, worked: &Worked) -> Vec<Finding> {
    within(job, worked, check::cure::MOST_DRAFTS, &|| false).0
}

/// The same, with cures as far as so many trial drafts go; and whether they were sought to the end. A
/// draft is no longer tried once `given_up` says so.
pub(crate) fn within(
    job: &Job<'_>,
    worked: &Worked,
    most: usize,
    given_up: &dyn Fn() -> bool,
) -> (Vec<Finding>, bool) {
    let subject = job.subject(worked);
    let mut findings = check::all(&subject);
    let enough = check::cure::cure(&mut findings, &subject, most, &mut |choice, value| {
        if given_up() {
            return None;
        }
        job.reworked(worked, choice, value)
    });
    (findings, enough && !given_up())
}

/// Edges as a program reads them: `front.side`, more of them with ` + ` between.
pub(crate) fn edges(all: &[EdgeName]) -> String {
    let each: Vec<String> = all
        .iter()
        .map(|e| format!("{}.{}", e.piece, e.edge))
        .collect();
    each.join(" + ")
}

/// For a report.
pub(crate) fn value(finding: &Finding) -> Value {
    let in_mm = |amount: Option<Amount>| match amount {
        Some(Amount::Length(length)) => js::mm(length),
        _ => Value::Null,
    };
    let other = |amount: Option<Amount>| match amount {
        Some(Amount::Angle(angle)) => json!({"degrees": js::number(angle.in_degrees())}),
        Some(Amount::Share(share)) => json!({"share": js::number(share)}),
        Some(Amount::Grams(grams)) => json!({"grams": js::number(grams)}),
        Some(Amount::Length(_)) | None => Value::Null,
    };
    let spots: Vec<Value> = finding
        .spots
        .iter()
        .map(|s| json!({"piece": s.piece, "edge": s.edge, "point_mm": js::point(s.point)}))
        .collect();
    json!({
        "rule": finding.rule,
        "weight": word(finding.weight),
        "where": finding.place,
        "amount_mm": in_mm(finding.amount),
        "amount": other(finding.amount),
        "tolerance_mm": in_mm(finding.tolerance),
        "tolerance": other(finding.tolerance),
        "at": spots,
        "says": finding.says,
        "why": finding.why,
        "cure": finding.cure,
        "try": finding.attempt.as_ref().map(|t| json!({"choice": t.choice, "value": t.value})),
    })
}

/// For a person: each in a few lines; with the reasons where she asked what is wrong.
pub(crate) fn told(findings: &[Finding], with_reasons: bool) -> String {
    let mut out = String::new();
    for f in findings {
        let weight = format!("{}:", capital(word(f.weight)));
        let _ = writeln!(out, "  {weight:6}{}", calm(&f.says));
        let reason = f.why.as_deref().filter(|_| with_reasons);
        if let Some(why) = reason {
            let _ = writeln!(out, "        Why: {}", calm(why));
        }
        if let Some(cure) = &f.cure {
            let _ = writeln!(out, "        Cure: {}", calm(&check::told::ended(cure)));
        }
        if let Some(t) = &f.attempt {
            let _ = writeln!(
                out,
                "        Try: --set \"{}={}\"",
                calm(&t.choice),
                calm(&t.value)
            );
        }
    }
    out
}
