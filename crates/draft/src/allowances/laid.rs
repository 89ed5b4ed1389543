//! Lays a table over the finished pieces, and tells what it did.

use measure::Length;
use measure::fraction::{Shown, show};
use piece::{Allowance, Role};

use super::kinds::{Kind, kinds};
use super::{Row, Stage, Table, toile, waiting};
use crate::tell::in_a_row;
use crate::worked::{Step, Telling, Worked};

/// Narrower than this the method leaves an edge without an allowance, in millimetres.
const BARE: f64 = 0.05;

/// What a table did to a draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// What is cut.
    pub stage: Stage,
    /// The rows that took the place of the method's allowances, in order.
    pub rows: Vec<RowLaid>,
    /// Edges that keep a part of the method's allowance, for it changes along them: piece and edge.
    pub kept: Vec<(String, String)>,
    /// Pieces that a toile is cut without.
    pub left_out: Vec<String>,
    /// A row took the place of the method's allowance on every edge of what is cut, but on folds.
    pub everywhere: bool,
}

/// What one row did.
#[derive(Clone, Debug, PartialEq)]
pub struct RowLaid {
    /// The row.
    pub row: Row,
    /// Its width.
    pub width: Length,
    /// The edges that have it now: piece and edge.
    pub edges: Vec<(String, String)>,
}

/// Lays a table over a worked draft: each filled row takes the place of what the method allows on such
/// edges, and a toile is cut without facings and lining. The cutting line is drawn from it anew.
///
/// In the cloth an edge that the method leaves bare stays bare, and where its allowance changes along
/// an edge it stays as narrow where it was taken in, and at least as wide where it was let out
/// ([`Allowance::replaced`]). In a toile the row holds from end to end, and on every edge but folds.
pub fn lay_on(worked: &mut Worked, table: &Table, stage: Stage, shown: Shown) {
    let places = toile::places(worked);
    let all = kinds(worked, &places);
    let mut laid = Laid {
        stage,
        rows: Vec::new(),
        kept: Vec::new(),
        left_out: Vec::new(),
        everywhere: false,
    };
    let mut done: Vec<((usize, usize), Row, Length)> = Vec::new();
    for (at, kind) in &all {
        if let Some((row, width)) = said(worked, table, stage, *at, *kind) {
            done.push((*at, row, width));
        }
    }
    for ((p, e), row, width) in &done {
        let piece = &mut worked.pieces[*p];
        let name = (piece.name.clone(), piece.edges[*e].name.clone());
        let edge = &mut piece.edges[*e];
        edge.allowance = match stage {
            Stage::Cloth => edge.allowance.replaced(*width),
            Stage::Toile => Allowance::even(*width),
        };
        if !edge.allowance.is_plain() {
            laid.kept.push(name.clone());
        }
        match laid.rows.iter_mut().find(|r| r.row == *row) {
            Some(found) => found.edges.push(name),
            None => laid.rows.push(RowLaid {
                row: *row,
                width: *width,
                edges: vec![name],
            }),
        }
    }
    let (mut waiting, mut cloths) = (0, Vec::new());
    if stage == Stage::Toile {
        cloths = toile::cloths_besides(worked, &places);
        let before = waiting::Before::of(worked);
        laid.left_out = toile::leave_out(worked, &places);
        waiting = waiting::take_out(worked, &before, &laid.left_out);
        for row in &mut laid.rows {
            row.edges.retain(|(p, _)| !laid.left_out.contains(p));
        }
        laid.rows.retain(|r| !r.edges.is_empty());
    }
    laid.rows.sort_by_key(|r| r.row);
    laid.everywhere = everywhere(worked, &laid.rows);
    if !worked.steps.is_empty() {
        tell(worked, &laid, (waiting, &cloths), shown);
    }
    worked.allowances = Some(laid);
}

/// Whether these rows hold on every edge but folds.
fn everywhere(worked: &Worked, rows: &[RowLaid]) -> bool {
    let laid = |piece: &str, edge: &str| {
        let mut all = rows.iter().flat_map(|r| &r.edges);
        all.any(|(p, e)| p == piece && e == edge)
    };
    worked.pieces.iter().all(|piece| {
        let mut edges = piece.edges.iter().filter(|e| e.role != Role::Fold);
        edges.all(|e| laid(&piece.name, &e.name))
    })
}

/// What the table says of an edge, where it holds.
fn said(
    worked: &Worked,
    table: &Table,
    stage: Stage,
    (p, e): (usize, usize),
    kind: Kind,
) -> Option<(Row, Length)> {
    let edge = &worked.pieces[p].edges[e];
    let bare = edge.allowance.widest().in_mm() < BARE;
    if edge.role == Role::Fold || (bare && stage == Stage::Cloth) {
        return None;
    }
    table.says(kind, stage)
}

impl Laid {
    /// What it did, a sentence each.
    pub fn sentences(&self, shown: Shown) -> Vec<String> {
        let mut out = Vec::new();
        let widths: Vec<String> = self
            .rows
            .iter()
            .map(|r| format!("{} {}", r.row.short(), show(r.width, shown)))
            .collect();
        let one = self.rows.first().map(|r| r.width);
        let same = self.rows.len() > 1 && self.rows.iter().all(|r| Some(r.width) == one);
        match (self.stage, one) {
            (Stage::Toile, Some(width)) if same && self.everywhere => out.push(format!(
                "For the toile allow {} on every edge that is no fold, in place of the method’s allowances.",
                show(width, shown)
            )),
            (Stage::Toile, Some(_)) => out.push(format!(
                "For the toile allow, in place of the method’s allowances: {}.",
                widths.join("; ")
            )),
            (Stage::Cloth, Some(_)) => out.push(format!(
                "By your table of allowances, in place of the method’s allowances: {}.",
                widths.join("; ")
            )),
            (_, None) => {}
        }
        if !self.kept.is_empty() {
            let edges: Vec<String> = self
                .kept
                .iter()
                .map(|(p, e)| format!("{e} of {p}"))
                .collect();
            out.push(format!(
                "The method takes the allowance in or lets it out along {}: there it stays so.",
                in_a_row(&edges)
            ));
        }
        if !self.left_out.is_empty() {
            out.push(format!(
                "The toile is cut without {}.",
                in_a_row(&self.left_out)
            ));
        }
        out
    }
}

/// The table as the last step.
fn tell(worked: &mut Worked, laid: &Laid, (waiting, cloths): (usize, &[String]), shown: Shown) {
    let mut number = worked
        .steps
        .iter()
        .filter_map(|s| s.number)
        .max()
        .unwrap_or(0);
    let mut sentences = laid.sentences(shown);
    if waiting > 0 {
        sentences.push(match waiting {
            1 => "The step that is for these alone waits for the cloth.".to_owned(),
            n => format!("The {n} steps that are for these alone wait for the cloth."),
        });
    }
    if !cloths.is_empty() {
        sentences.push(format!(
            "Cut from the shell only: what a step says of {} waits for the cloth.",
            in_a_row(cloths)
        ));
    }
    for sentence in sentences {
        number += 1;
        worked.steps.push(Step {
            number: Some(number),
            stage: "allowances".into(),
            few: vec![Telling::Words(sentence.clone())],
            short: sentence.clone(),
            sentence,
            why: None,
            draws: Vec::new(),
            pieces: Vec::new(),
            lines: Vec::new(),
        });
    }
}
