//! The proof of the seams: both sides walked with the ruler on the printed figures, to 1/32 in or half
//! a millimetre, part by part; the parts are rounded and the wholes added up from them.

use measure::fraction::Unit;

use super::HandEdge;
use super::plan::Plan;
use super::rounded::{Agreeing, Figures};
use super::tables::{ProofRow, SeamTable, minus, sheet_word};
use crate::number::whole;
use crate::words::{Words, fill};

/// The proofs of all seams.
pub(crate) fn proofs(plan: &Plan<'_>, figures: &Figures, words: &Words) -> Vec<SeamTable> {
    figures
        .seams
        .iter()
        .map(|seam| proof(plan, figures, seam, words))
        .collect()
}

fn proof(plan: &Plan<'_>, figures: &Figures, seam: &Agreeing, words: &Words) -> SeamTable {
    let unit = if figures.shown.unit == Unit::Inch {
        25.4 / 32.0
    } else {
        0.5
    };
    let count = |mm: f64| whole(mm / unit);
    let row = |what: String, a: i64, b: i64| ProofRow {
        what,
        a: length(a, figures.shown.unit),
        b: length(b, figures.shown.unit),
        difference: length(a - b, figures.shown.unit),
    };
    let mut rows = Vec::new();
    let mut sums = (0, 0);
    let pairs = figures.pairs(seam);
    if let ([a], true) = (&seam.a[..], !pairs.is_empty()) {
        let sheet = &plan.sheets[a.0];
        let joints = &sheet.edges[a.1].joints;
        let letter = |j: usize| sheet.spots[joints[j].spot].letter.as_str();
        for (x, y) in &pairs {
            let (p, q) = (count(x.printed), count(y.printed));
            sums = (sums.0 + p, sums.1 + q);
            let what = fill(words.from_to, &[("a", letter(x.from)), ("b", letter(x.to))]);
            rows.push(row(what, p, q));
        }
    }
    if rows.is_empty() {
        let sum = |places: &[(usize, usize)]| -> i64 {
            let parts = places
                .iter()
                .flat_map(|(i, k)| &figures.edges[*i][*k].parts);
            parts.map(|p| count(p.printed)).sum()
        };
        sums = (sum(&seam.a), sum(&seam.b));
    }
    rows.push(row(words.whole_seam.to_owned(), sums.0, sums.1));
    let head = |places: &[(usize, usize)]| -> String {
        let all: Vec<String> = places
            .iter()
            .map(|(i, k)| {
                let sheet = &plan.sheets[*i];
                format!(
                    "{} {}",
                    sheet_word(sheet.name),
                    super::letters::said(sheet.edges[*k].name)
                )
            })
            .collect();
        all.join(" + ")
    };
    let edges = |places: &[(usize, usize)]| -> Vec<HandEdge> {
        let edge = |(i, k): &(usize, usize)| HandEdge {
            sheet: plan.sheets[*i].name.to_owned(),
            edge: plan.sheets[*i].edges[*k].name.to_owned(),
        };
        places.iter().map(edge).collect()
    };
    SeamTable {
        name: seam.name.clone(),
        a: head(&seam.a),
        b: head(&seam.b),
        a_edges: edges(&seam.a),
        b_edges: edges(&seam.b),
        rows,
    }
}

/// So many thirty-seconds of an inch, or half millimetres as centimetres.
fn length(count: i64, unit: Unit) -> String {
    let sign = if count < 0 { "-" } else { "" };
    let n = count.unsigned_abs();
    minus(&match unit {
        Unit::Cm => {
            let (cm, rest) = (n / 20, n % 20 * 5);
            match rest {
                0 => format!("{sign}{cm}"),
                r if r % 10 == 0 => format!("{sign}{cm}.{}", r / 10),
                r => format!("{sign}{cm}.{r:02}"),
            }
        }
        Unit::Inch => {
            let (inches, mut over) = (n / 32, n % 32);
            let mut under = 32;
            while over > 0 && over % 2 == 0 {
                over /= 2;
                under /= 2;
            }
            match (inches, over) {
                (_, 0) => format!("{sign}{inches}"),
                (0, _) => format!("{sign}{over}/{under}"),
                _ => format!("{sign}{inches} {over}/{under}"),
            }
        }
    })
}
