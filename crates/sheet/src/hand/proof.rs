//! The proof of the seams: both sides walked with the ruler on the printed figures, to 1/32 in or half
//! a millimetre, part by part; the parts are rounded and the wholes added up from them.

use measure::fraction::Unit;
use measure::{Length, Point};

use super::plan::Plan;
use super::rounded::{Agreeing, Figures};
use super::tables::{GirthRow, ProofRow, SeamTable, minus, sheet_word};
use super::{Hand, HandEdge};
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
    let unit = grain(figures);
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

/// The girths all round; one of which a piece does not lie on the sheets is left out.
pub(crate) fn girths(plan: &Plan<'_>, figures: &Figures, hand: &Hand) -> Vec<GirthRow> {
    let unit = grain(figures);
    hand.girths
        .iter()
        .filter_map(|girth| {
            let mut sum = (0.0, 0.0);
            for (edges, times) in &girth.pieces {
                let places: Option<Vec<(usize, usize)>> =
                    edges.iter().map(|e| plan.edge(&e.sheet, &e.edge)).collect();
                let one = match &girth.level {
                    None => figures.whole(&places?),
                    Some(level) => across(plan, figures, level, &places?)?,
                };
                let times = f64::from(*times);
                sum = (sum.0 + times * one.0, sum.1 + times * one.1);
            }
            let said = |mm: f64| length(whole(mm / unit), figures.shown.unit);
            (sum.1 > 0.0).then(|| GirthRow {
                name: girth.name.clone(),
                exact: said(sum.1),
                drawn: said(sum.0),
            })
        })
        .collect()
}

/// How wide a piece is at a level, as printed and exact, in mm.
fn across(
    plan: &Plan<'_>,
    figures: &Figures,
    level: &str,
    places: &[(usize, usize)],
) -> Option<(f64, f64)> {
    let sheet = places.first()?.0;
    let rulings = &plan.sheets[sheet].rulings;
    let k = rulings.iter().position(|r| r.level && r.name == level)?;
    let mut printed = Vec::new();
    let mut exact = Vec::new();
    for place in places {
        let chain: Vec<Point> = figures
            .chain(plan, *place)
            .into_iter()
            .map(|(p, _)| p)
            .collect();
        crossings(&chain, figures.mm(figures.ruling(sheet, k)), &mut printed);
        let curve = plan.sheets[place.0].edges[place.1].curve;
        crossings(&curve.flatten(Length::mm(0.02)), rulings[k].at, &mut exact);
    }
    Some((spread(&printed)?, spread(&exact)?))
}

/// Where a chain of chords meets a level.
fn crossings(chain: &[Point], level: f64, out: &mut Vec<f64>) {
    for w in chain.windows(2) {
        let (a, b) = (w[0].y - level, w[1].y - level);
        if a.abs() < 1e-6 {
            out.push(w[0].x);
        } else if b.abs() < 1e-6 {
            out.push(w[1].x);
        } else if a * b < 0.0 {
            out.push(w[0].toward(w[1], a / (a - b)).x);
        }
    }
}

fn spread(all: &[f64]) -> Option<f64> {
    let low = all.iter().copied().fold(f64::INFINITY, f64::min);
    let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (high > low).then_some(high - low)
}

/// What lengths of the proof are rounded to, in mm.
fn grain(figures: &Figures) -> f64 {
    if figures.shown.unit == Unit::Inch {
        25.4 / 32.0
    } else {
        0.5
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
