//! What is to agree: the seams whose edges are all drafted, each once, and which of their parts go
//! together.

use measure::Length;

use super::{Figures, Part, Place};
use crate::hand::plan::Plan;
use crate::hand::{Hand, HandEdge};

/// What is to agree: parts of one chain of edges with parts of another.
#[derive(Clone, Debug)]
pub(crate) struct Agreeing {
    pub(crate) name: String,
    pub(crate) a: Vec<Place>,
    pub(crate) b: Vec<Place>,
    /// Part by part, if they go together so; those of the second are counted from its end when turned.
    pub(crate) parts: Option<bool>,
}

impl Figures {
    /// The parts of a seam, each with its partner.
    pub(crate) fn pairs(&self, seam: &Agreeing) -> Vec<(Part, Part)> {
        let (Some(turned), [a], [b]) = (seam.parts, &seam.a[..], &seam.b[..]) else {
            return Vec::new();
        };
        let (a, b) = (&self.edges[a.0][a.1].parts, &self.edges[b.0][b.1].parts);
        let other = |i: usize| if turned { b.len() - 1 - i } else { i };
        (0..a.len().min(b.len()))
            .map(|i| (a[i], b[other(i)]))
            .collect()
    }
}

/// The seams whose edges are all drafted, each once; and on sheets of which only pieces of other
/// methods are made, edges of one name that are equally long.
pub(super) fn seams(plan: &Plan<'_>, hand: &Hand, figures: &Figures) -> Vec<Agreeing> {
    let mut out: Vec<Agreeing> = Vec::new();
    let mut add = |name: &str, a: Vec<Place>, b: Vec<Place>| {
        let same = |s: &Agreeing| (s.a == a && s.b == b) || (s.a == b && s.b == a);
        if a.is_empty() || b.is_empty() || a == b || out.iter().any(same) {
            return;
        }
        let parts = go_together(plan, figures, &a, &b);
        out.push(Agreeing {
            name: name.to_owned(),
            a,
            b,
            parts,
        });
    };
    for seam in &hand.seams {
        let places = |edges: &[HandEdge]| -> Option<Vec<Place>> {
            edges
                .iter()
                .map(|e| first_of(plan, plan.edge(&e.sheet, &e.edge)?))
                .collect()
        };
        if let (Some(a), Some(b)) = (places(&seam.a), places(&seam.b)) {
            add(&seam.name, a, b);
        }
    }
    for (i, sheet) in plan.sheets.iter().enumerate() {
        // Its pieces are made by another method, whose seams are not these edges.
        if !sheet.name.contains(" of ") {
            continue;
        }
        for (j, other) in plan.sheets.iter().enumerate().skip(i + 1) {
            if other.group != sheet.group || other.like.is_some() {
                continue;
            }
            for (k, e) in sheet.edges.iter().enumerate() {
                for (l, f) in other.edges.iter().enumerate() {
                    let apart = e.curve.length() - f.curve.length();
                    if e.name == f.name && apart.abs() < Length::mm(0.05) {
                        add(e.name, vec![(i, k)], vec![(j, l)]);
                    }
                }
            }
        }
    }
    out
}

/// The edge of the earliest sheet that is the same.
fn first_of(plan: &Plan<'_>, (i, k): Place) -> Option<Place> {
    let Some(like) = plan.sheets[i].like else {
        return Some((i, k));
    };
    let name = plan.sheets[i].edges[k].name;
    let l = plan.sheets[like].edges.iter().position(|e| e.name == name);
    l.map(|l| (like, l)).or(Some((i, k)))
}

/// Whether the parts of two edges go together one by one; true when the second is walked backward.
fn go_together(plan: &Plan<'_>, figures: &Figures, a: &[Place], b: &[Place]) -> Option<bool> {
    let ([a], [b]) = (a, b) else { return None };
    let names = |p: &Place| -> Vec<&str> {
        let sheet = &plan.sheets[p.0];
        let joints = sheet.edges[p.1].joints.iter();
        joints.map(|j| sheet.spots[j.spot].name.as_str()).collect()
    };
    let lengths = |p: &Place| -> Vec<f64> {
        figures.edges[p.0][p.1]
            .parts
            .iter()
            .map(|p| p.exact)
            .collect()
    };
    let (an, mut bn) = (names(a), names(b));
    let (al, mut bl) = (lengths(a), lengths(b));
    if al.len() != bl.len() || al.len() < 2 {
        return None;
    }
    let agree = |bl: &[f64]| al.iter().zip(bl).all(|(x, y)| (x - y).abs() < 0.6);
    if an == bn || agree(&bl) {
        return Some(false);
    }
    bn.reverse();
    bl.reverse();
    (an == bn || agree(&bl)).then_some(true)
}
