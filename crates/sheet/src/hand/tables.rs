//! The tables of the hand sheet, as they are set: points, figures of every edge that bends, and the
//! proof of the seams. A test redraws the pattern from these texts alone.

use measure::Length;
use measure::fraction::{Shown, show_number};

use super::letters::said;
use super::plan::Plan;
use super::rounded::{By, Figures};
use super::{Hand, HandEdge, proof};
use crate::words::{ENGLISH, Words, capital};

/// A ruling, with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RulingRow {
    /// Its name.
    pub name: String,
    /// How far down, of a level.
    pub down: Option<String>,
    /// How far across, of an upright.
    pub across: Option<String>,
}

/// A point.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PointRow {
    /// Its letter.
    pub letter: String,
    /// What it is.
    pub what: String,
    /// How far down.
    pub down: String,
    /// How far across.
    pub across: String,
    /// It stands at its other neighbour, so that a seam agrees.
    pub moved: bool,
}

/// An edge as its points follow each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EdgeRow {
    /// Its name.
    pub name: String,
    /// The letters along it; whether it passes beside the point.
    pub letters: Vec<(String, bool)>,
}

/// The points of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetTable {
    /// The sheet's name.
    pub name: String,
    /// The sheet that it is like in all that is not told here.
    pub like: Option<String>,
    /// From which ruling one counts down.
    pub down_from: Option<String>,
    /// From which ruling one counts across.
    pub across_from: Option<String>,
    /// Its rulings.
    pub rulings: Vec<RulingRow>,
    /// Its points.
    pub points: Vec<PointRow>,
    /// Its edges.
    pub edges: Vec<EdgeRow>,
}

/// How a table of figures is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadBy {
    /// At each step down: so far across.
    Down,
    /// At each step across: so far down.
    Across,
    /// At each step along the edge: down, then across.
    Along,
}

/// Figures of edges that bend.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CurveTable {
    /// Its title.
    pub title: String,
    /// How it is read.
    pub by: ReadBy,
    /// The edge of each column; of a table by distance along, the one edge.
    pub edges: Vec<HandEdge>,
    /// The step, and the figure of each column.
    pub rows: Vec<(String, Vec<Option<String>>)>,
}

/// A stretch of a seam, or the whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProofRow {
    /// From which letter to which.
    pub what: String,
    /// One side.
    pub a: String,
    /// The other.
    pub b: String,
    /// The first less the second.
    pub difference: String,
}

/// The proof of a seam.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeamTable {
    /// The seam's name.
    pub name: String,
    /// What one side is.
    pub a: String,
    /// What the other is.
    pub b: String,
    /// The edges of the one side.
    pub a_edges: Vec<HandEdge>,
    /// The edges of the other.
    pub b_edges: Vec<HandEdge>,
    /// Its stretches and the whole.
    pub rows: Vec<ProofRow>,
}

/// A girth by the draft, and added up from the printed figures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GirthRow {
    /// Its name.
    pub name: String,
    /// By the draft.
    pub exact: String,
    /// From the printed figures.
    pub drawn: String,
}

/// All tables.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tables {
    /// Points, sheet by sheet.
    pub sheets: Vec<SheetTable>,
    /// Figures of edges that bend.
    pub curves: Vec<CurveTable>,
    /// Proofs of the seams.
    pub seams: Vec<SeamTable>,
    /// Girths all round.
    pub girths: Vec<GirthRow>,
}

/// The tables of a hand sheet.
pub fn tables(hand: &Hand, shown: Shown) -> Tables {
    let plan = Plan::new(hand);
    let figures = Figures::new(&plan, hand, shown);
    of(&plan, &figures, hand, &ENGLISH)
}

/// The minus of a figure is the en dash.
pub(crate) fn minus(figure: &str) -> String {
    figure.replace('-', "\u{2013}")
}

/// A sheet as it heads a column.
pub(crate) fn sheet_word(name: &str) -> String {
    capital(&said(name))
}

pub(crate) fn figure(figures: &Figures, parts: i64) -> String {
    let length = Length::try_mm(figures.mm(parts)).unwrap_or(Length::ZERO);
    minus(&show_number(length, figures.shown))
}

pub(crate) fn of(plan: &Plan<'_>, figures: &Figures, hand: &Hand, words: &Words) -> Tables {
    Tables {
        sheets: sheets(plan, figures),
        curves: curves(plan, figures, words),
        seams: proof::proofs(plan, figures, words),
        girths: proof::girths(plan, figures, hand),
    }
}

fn sheets(plan: &Plan<'_>, figures: &Figures) -> Vec<SheetTable> {
    let mut out = Vec::new();
    for (i, sheet) in plan.sheets.iter().enumerate() {
        let like = sheet.like.map(|l| &plan.sheets[l]);
        let top = |level: bool| {
            let found = sheet
                .rulings
                .iter()
                .find(|r| r.level == level && r.at.abs() < 1e-6);
            found.map(|r| r.name.clone())
        };
        let known = |name: &str, at: f64| {
            like.is_some_and(|l| {
                l.rulings
                    .iter()
                    .any(|r| r.name == name && (r.at - at).abs() < 1e-4)
            })
        };
        let rulings = sheet
            .rulings
            .iter()
            .enumerate()
            .filter(|(_, r)| !known(&r.name, r.at))
            .map(|(k, r)| {
                let at = figure(figures, figures.ruling(i, k));
                RulingRow {
                    name: said(&r.name),
                    down: r.level.then(|| at.clone()),
                    across: (!r.level).then_some(at),
                }
            })
            .collect();
        let mut points: Vec<PointRow> = Vec::new();
        for (k, spot) in sheet.spots.iter().enumerate() {
            if like.is_some_and(|l| l.spots.iter().any(|s| s.name == spot.name)) {
                continue;
            }
            if let Some(row) = points.iter_mut().find(|p| p.letter == spot.letter) {
                row.what = format!("{}, {}", row.what, spot.what);
                continue;
            }
            points.push(PointRow {
                letter: spot.letter.clone(),
                what: spot.what.clone(),
                down: figure(figures, figures.down(i, k)),
                across: figure(figures, figures.across(i, k)),
                moved: figures.moved(i, k),
            });
        }
        points.sort_by_key(|p| (p.letter.len(), p.letter.clone()));
        let edges = if like.is_some() {
            Vec::new()
        } else {
            let row = |e: &super::plan::PlanEdge<'_>| EdgeRow {
                name: said(e.name),
                letters: e
                    .joints
                    .iter()
                    .map(|j| (sheet.spots[j.spot].letter.clone(), j.beside))
                    .collect(),
            };
            sheet.edges.iter().map(row).collect()
        };
        out.push(SheetTable {
            name: sheet.name.to_owned(),
            like: like.map(|l| l.name.to_owned()),
            down_from: top(true),
            across_from: top(false),
            rulings,
            points,
            edges,
        });
    }
    out
}

/// Edges that are counted alike, by the same step.
type Alike = (By, i64, Vec<(usize, usize)>);

/// The most columns of one table.
const COLUMNS: usize = 3;

fn curves(plan: &Plan<'_>, figures: &Figures, words: &Words) -> Vec<CurveTable> {
    let mut out = Vec::new();
    let mut groups: Vec<&str> = Vec::new();
    for sheet in &plan.sheets {
        if !groups.contains(&sheet.group) {
            groups.push(sheet.group);
        }
    }
    for group in groups {
        // The edges that bend, those counted alike together.
        let mut alike: Vec<Alike> = Vec::new();
        for by in [By::Down, By::Across, By::Along] {
            let mut names: Vec<&str> = Vec::new();
            let mine = |s: &super::plan::Sheet<'_>| s.group == group && s.like.is_none();
            for sheet in plan.sheets.iter().filter(|s| mine(s)) {
                for e in &sheet.edges {
                    if !names.contains(&e.name) {
                        names.push(e.name);
                    }
                }
            }
            for name in names {
                for (i, sheet) in plan.sheets.iter().enumerate().filter(|(_, s)| mine(s)) {
                    let Some(k) = sheet.edges.iter().position(|e| e.name == name) else {
                        continue;
                    };
                    let edge = &figures.edges[i][k];
                    if edge.by != by || edge.rows.is_empty() {
                        continue;
                    }
                    let joins = alike.iter_mut().find(|(b, step, places)| {
                        let same = places
                            .iter()
                            .any(|(i, k)| plan.sheets[*i].edges[*k].name == name);
                        *b == by
                            && *step == edge.step
                            && places.len() < COLUMNS
                            && (by == By::Down || (by == By::Across && same))
                    });
                    match joins {
                        Some((_, _, places)) => places.push((i, k)),
                        None => alike.push((by, edge.step, vec![(i, k)])),
                    }
                }
            }
        }
        for (by, _, places) in alike {
            out.push(curve(plan, figures, by, &places, words));
        }
    }
    out
}

fn curve(
    plan: &Plan<'_>,
    figures: &Figures,
    by: By,
    places: &[(usize, usize)],
    words: &Words,
) -> CurveTable {
    let mut titles: Vec<String> = Vec::new();
    let mut edges = Vec::new();
    for (i, k) in places {
        let sheet = &plan.sheets[*i];
        let name = said(sheet.edges[*k].name);
        if !titles.contains(&name) {
            titles.push(name);
        }
        edges.push(HandEdge {
            sheet: sheet.name.to_owned(),
            edge: sheet.edges[*k].name.to_owned(),
        });
    }
    let mut rows = Vec::new();
    let read = match by {
        By::Along => {
            let (i, k) = places[0];
            for row in &figures.edges[i][k].rows {
                let cells = [row.place.1, row.place.0].map(|p| Some(figure(figures, p)));
                rows.push((figure(figures, row.at), cells.to_vec()));
            }
            titles.insert(0, sheet_word(plan.sheets[i].name));
            ReadBy::Along
        }
        _ => {
            let mut at: Vec<i64> = places
                .iter()
                .flat_map(|(i, k)| figures.edges[*i][*k].rows.iter().map(|r| r.at))
                .collect();
            at.sort_unstable();
            at.dedup();
            for a in at {
                let cell = |(i, k): &(usize, usize)| {
                    let row = figures.edges[*i][*k].rows.iter().find(|r| r.at == a)?;
                    let value = if by == By::Down {
                        row.place.0
                    } else {
                        row.place.1
                    };
                    Some(figure(figures, value))
                };
                rows.push((figure(figures, a), places.iter().map(cell).collect()));
            }
            if by == By::Down {
                ReadBy::Down
            } else {
                ReadBy::Across
            }
        }
    };
    let title = match (by, &titles[..]) {
        (By::Along, [sheet, edge]) => format!("{sheet}, {edge}"),
        (_, [most @ .., last]) if !most.is_empty() => {
            capital(&format!("{} {} {last}", most.join(", "), words.and))
        }
        _ => capital(&titles.join(", ")),
    };
    CurveTable {
        title,
        by: read,
        edges,
        rows,
    }
}
