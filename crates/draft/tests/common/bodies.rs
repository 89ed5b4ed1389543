//! Cards from a table of bodies, and what is wrong with a draft that was worked for one.
#![allow(dead_code, reason = "the tests and the example each use a part")]

use draft::worked::{EdgeName, Worked};
use draft::{Library, Reading, Wish};
use measure::card::Card;
use measure::fraction::{Shown, Unit};
use measure::{Length, names};
use piece::Piece;
use piece::walk::{is_turned, walk};

/// Columns of the surveys in the words of the card.
const COLUMNS: [(&str, &str); 18] = [
    ("height_in", "height"),
    ("bust_in", "bust"),
    ("underbust_in", "underbust"),
    ("waist_in", "waist"),
    ("hip_in", "hip"),
    ("thigh_in", "thigh"),
    ("lower_thigh_in", "lower thigh"),
    ("knee_in", "knee"),
    ("calf_in", "calf"),
    ("ankle_in", "ankle"),
    ("waist_to_hip_in", "waist to hip"),
    ("waist_to_knee_in", "waist to knee"),
    ("waist_h_in", "waist to floor"),
    ("knee_h_in", "knee to floor"),
    ("crotch_h_in", "crotch height"),
    ("trochanter_h_in", "hip joint to floor"),
    ("bust_span_in", "bust span"),
    ("shoulder_len_in", "shoulder"),
];

/// One card for each line of a table in inches; the first column names her, the first line the
/// measures, as the card does or as the surveys do. What the card does not know is left out.
pub(crate) fn cards(table: &str) -> Vec<Card> {
    let mut lines = table
        .lines()
        .filter(|l| !l.starts_with('#') && !l.trim().is_empty());
    let heads: Vec<Option<String>> = lines
        .next()
        .unwrap_or_default()
        .split(',')
        .map(|h| {
            let h = h.trim();
            let told = COLUMNS
                .iter()
                .find(|c| c.0 == h)
                .map_or(h, |c| c.1)
                .to_owned();
            names::find(&told).is_some().then_some(told)
        })
        .collect();
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').map(str::trim).collect();
            let mut card = Card::new(cells.first().copied().unwrap_or_default(), Unit::Inch);
            for (head, cell) in heads.iter().zip(&cells) {
                if let (Some(name), Ok(inches)) = (head, cell.parse::<f64>()) {
                    card = card.with(name, Length::inches(inches));
                }
            }
            card
        })
        .collect()
}

/// The worst of a length, and where.
#[derive(Clone, Debug, Default)]
pub(crate) struct Worst {
    pub(crate) inches: f64,
    pub(crate) at: String,
}

impl Worst {
    pub(crate) fn take(&mut self, length: Length, at: impl FnOnce() -> String) {
        let inches = length.in_inches().abs();
        if inches > self.inches || inches.is_nan() {
            self.inches = inches;
            self.at = at();
        }
    }
}

/// What was found in one draft.
#[derive(Clone, Debug, Default)]
pub(crate) struct Verdict {
    /// Faults and notes: no paper could be made.
    pub(crate) faults: Vec<String>,
    /// Findings that stop, with their rule.
    pub(crate) stops: Vec<String>,
    /// Findings that ask or note, with their rule.
    pub(crate) asks: Vec<String>,
    /// Outlines that are no number, cross themselves, or have no cutting line.
    pub(crate) outlines: Vec<String>,
    /// The largest difference of a whole seam.
    pub(crate) seam: Worst,
    /// The largest difference between two notches.
    pub(crate) segment: Worst,
    /// Notches without a partner.
    pub(crate) orphans: Vec<String>,
}

/// Works a method for a card and judges it.
pub(crate) fn judged(
    reading: &Reading,
    library: &Library,
    card: &Card,
    set: &[(String, String)],
    predict: bool,
) -> (Worked, Verdict) {
    let wish = Wish {
        card,
        set,
        predict,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    let worked = draft::work_checked(reading, Vec::new(), library, &wish);
    let verdict = judge(&worked);
    (worked, verdict)
}

/// Judges a worked draft.
pub(crate) fn judge(worked: &Worked) -> Verdict {
    let mut v = Verdict::default();
    v.faults.extend(worked.faults.iter().cloned());
    v.faults.extend(
        worked
            .notes
            .iter()
            .map(|n| format!("line {}: {}", n.span.line, n.says())),
    );
    for f in &worked.findings {
        let line = format!("{}: {}", f.rule, f.says);
        match f.weight {
            draft::tree::Weight::Stop => v.stops.push(line),
            _ => v.asks.push(line),
        }
    }
    for p in &worked.pieces {
        let bad = p.edges.iter().any(|e| {
            let (a, b) = e.curve.bounds();
            ![a.x, a.y, b.x, b.y]
                .iter()
                .all(|c| c.is_finite() && c.abs() < 1e5)
        });
        if bad {
            v.outlines.push(format!("{}: no number", p.name));
            continue;
        }
        if let Err(fault) = p.check_simple() {
            v.outlines.push(format!("{}: {fault}", p.name));
            continue;
        }
        match piece::cutting_line(p) {
            Ok(line) => {
                if let Err(fault) = piece::cutting::check(p, &line) {
                    v.outlines.push(format!("{} cut: {fault}", p.name));
                }
            }
            Err(fault) => v.outlines.push(format!("{} cut: {fault}", p.name)),
        }
        if p.grain.is_none() {
            v.outlines.push(format!("{}: no grain", p.name));
        }
        for e in &p.edges {
            let bare = e.allowance.widest() <= Length::ZERO;
            if bare != (e.role == piece::Role::Fold) {
                v.outlines.push(format!(
                    "{} of {}: allowance {bare} on {:?}",
                    e.name, p.name, e.role
                ));
            }
        }
    }
    for s in &worked.seams {
        v.seam.take(s.difference, || s.name.clone());
        let (Some(a), Some(b)) = (chain(worked, &s.a), chain(worked, &s.b)) else {
            continue;
        };
        if a.is_empty() || b.is_empty() {
            continue;
        }
        let turned = is_turned(&a, &b).unwrap_or(true);
        let Ok(w) = walk(&a, &b, turned, s.ease) else {
            continue;
        };
        for seg in &w.segments {
            v.segment.take(seg.difference, || {
                format!("{} {:?} to {:?}", s.name, seg.from_notch, seg.to_notch)
            });
        }
        for o in &w.orphans {
            v.orphans.push(format!(
                "{}: on {} at {:.3} in",
                s.name,
                if o.on_first {
                    &s.a[0].piece
                } else {
                    &s.b[0].piece
                },
                o.at.in_inches()
            ));
        }
    }
    v
}

fn chain<'w>(worked: &'w Worked, names: &'w [EdgeName]) -> Option<Vec<(&'w Piece, &'w str)>> {
    names
        .iter()
        .map(|n| {
            worked
                .pieces
                .iter()
                .find(|p| p.name == n.piece)
                .map(|p| (p, n.edge.as_str()))
        })
        .collect()
}
