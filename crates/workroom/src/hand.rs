//! Fills the hand sheet: steps, what they drew, and which drafted edges are sewn together.

use draft::sided::{bare, is_sided};
use draft::worked::{Drawn, EdgeName, Shape, Step, Telling, Worked};
use measure::fraction::{Shown, show_number};
use measure::{Curve, Length};
use piece::{Cut, Edge, Piece, Role};
use sheet::Hand;
use sheet::hand::{
    HandChoice, HandEdge, HandGirth, HandPart, HandPiece, HandSeam, HandShape, HandStage, HandStep,
    HandThing,
};

use check::told::capital as sentence_case;

/// An edge of a piece nearer than this to one of a sheet is that edge, in mm.
const SAME: f64 = 1e-3;

/// The hand sheet of a worked draft.
pub(crate) fn hand(worked: &Worked, shown: Shown) -> Hand {
    let edges: Vec<(EdgeName, HandEdge)> = worked
        .pieces
        .iter()
        .enumerate()
        .flat_map(|(i, piece)| traced(worked, i, piece))
        .collect();
    let drafted = |all: &[EdgeName]| -> Option<Vec<HandEdge>> {
        all.iter()
            .map(|name| {
                // What is sewn along a part only is not walked here.
                let mine = |n: &EdgeName| n.piece == name.piece && n.edge == name.edge;
                let found = edges
                    .iter()
                    .find(|(n, _)| mine(n) && name.between.is_none());
                found.map(|(_, e)| e.clone())
            })
            .collect()
    };
    let seams = worked
        .seams
        .iter()
        .filter(|s| !s.a.is_empty() && !s.b.is_empty())
        .filter_map(|s| {
            Some(HandSeam {
                name: s.name.clone(),
                a: drafted(&s.a)?,
                b: drafted(&s.b)?,
                ease: s.ease,
            })
        })
        .collect();
    let hem = |name: &EdgeName| {
        let piece = worked.pieces.iter().find(|p| p.name == name.piece);
        let edge = piece.and_then(|p| p.edges.iter().find(|e| e.name == name.edge));
        edge.is_some_and(|e| e.role == Role::Hem)
    };
    let girths = girths(worked, &edges);
    Hand {
        girths,
        steps: worked.steps.iter().map(|s| step(worked, s)).collect(),
        drawn: worked.drawn.iter().map(thing).collect(),
        hems: edges
            .iter()
            .filter(|(name, _)| hem(name))
            .map(|(_, e)| e.clone())
            .collect(),
        seams,
        pieces: worked
            .pieces
            .iter()
            .map(|p| cut_and_add(p, shown))
            .collect(),
        // Eases are worth knowing in any case.
        set: worked
            .choices
            .iter()
            .filter(|c| c.offered && (c.set || c.name.ends_with("ease")))
            .map(|c| sheet::Fact {
                label: c.name.clone(),
                value: c.value.shown(shown),
            })
            .collect(),
        choices: worked
            .choices
            .iter()
            .filter(|c| c.offered)
            .map(|c| HandChoice {
                name: c.name.clone(),
                usual: c.usual.shown(shown),
            })
            .collect(),
    }
}

/// Waist and hip all round, if all that goes round her is on the sheets: pieces of the first cloth
/// that cross the hip line.
fn girths(worked: &Worked, edges: &[(EdgeName, HandEdge)]) -> Vec<HandGirth> {
    const HIP: &str = "hip line";
    let cloth = worked.pieces.first().and_then(|p| p.cuts.first());
    let Some(cloth) = cloth.map(|c| c.cloth.clone()) else {
        return Vec::new();
    };
    let mut hip = Vec::new();
    let mut waist = Vec::new();
    for (piece, origin) in worked.pieces.iter().zip(&worked.origins) {
        let times: u32 = piece
            .cuts
            .iter()
            .filter(|c| c.cloth == cloth)
            .map(|c| c.count * if c.on_fold { 2 } else { 1 })
            .sum();
        if times == 0 {
            continue;
        }
        let mine: Vec<&HandEdge> = edges
            .iter()
            .filter(|(name, _)| name.piece == piece.name)
            .map(|(_, e)| e)
            .collect();
        let level = worked.drawn.iter().find_map(|d| match &d.shape {
            Shape::Level(y) if d.name == HIP && Some(&d.sheet) == origin.sheet.as_ref() => Some(*y),
            _ => None,
        });
        if origin.sheet.is_none() {
            return Vec::new();
        }
        // A band has no hip line, and a facing ends above it.
        let Some(level) = level else {
            continue;
        };
        let crossing: Vec<&Edge> = piece
            .edges
            .iter()
            .filter(|e| {
                let (low, high) = e.curve.bounds();
                low.y < level && level < high.y
            })
            .collect();
        // What was worked further there is no longer what the figures draw.
        let drafted = crossing.iter().all(|e| {
            edges
                .iter()
                .any(|(n, _)| n.piece == piece.name && n.edge == e.name)
        });
        if crossing.is_empty() {
            continue;
        }
        if !drafted {
            return Vec::new();
        }
        hip.push((mine.iter().map(|e| (*e).clone()).collect(), times));
        let own = mine.iter().filter(|e| e.edge == "waist");
        waist.push((own.map(|e| (*e).clone()).collect::<Vec<_>>(), times));
    }
    let mut out = Vec::new();
    if hip.is_empty() {
        return out;
    }
    if waist.iter().all(|w| !w.0.is_empty()) {
        out.push(HandGirth {
            name: "Waist".into(),
            level: None,
            pieces: waist,
        });
    }
    out.push(HandGirth {
        name: "Hip".into(),
        level: Some(HIP.into()),
        pieces: hip,
    });
    out
}

/// The edges of a piece that lie on the sheet as they were drawn.
fn traced(worked: &Worked, i: usize, piece: &Piece) -> Vec<(EdgeName, HandEdge)> {
    let origin = worked.origins.get(i);
    let Some(own) = origin.and_then(|o| o.sheet.as_ref()) else {
        return Vec::new();
    };
    // A piece of another method's sheet: `front` of `front of block`.
    let sheets: Vec<&str> = {
        let mut names: Vec<&str> = worked
            .drawn
            .iter()
            .map(|d| d.sheet.as_str())
            .filter(|s| {
                *s == own
                    || s.strip_prefix(own.as_str())
                        .is_some_and(|r| r.starts_with(" of "))
            })
            .collect();
        names.dedup();
        names
    };
    piece
        .edges
        .iter()
        .filter_map(|edge| {
            let found = worked.drawn.iter().find(|d| {
                sheets.contains(&d.sheet.as_str())
                    && d.name == edge.name
                    && matches!(&d.shape, Shape::Line { curve, edge: true, .. } if same(curve, &edge.curve))
            })?;
            Some((
                EdgeName {
                    piece: piece.name.clone(),
                    edge: edge.name.clone(),
                    between: None,
                },
                HandEdge {
                    sheet: found.sheet.clone(),
                    edge: found.name.clone(),
                },
            ))
        })
        .collect()
}

/// Whether two lines are one, in whichever way they run.
fn same(a: &Curve, b: &Curve) -> bool {
    let whole = a.length();
    if (whole - b.length()).abs() > Length::mm(SAME) {
        return false;
    }
    let at = |c: &Curve, part: f64| c.at(Length::mm(whole.in_mm() * part)).point;
    let apart = |turned: bool| {
        (0..=8).any(|i| {
            let part = f64::from(i) / 8.0;
            let other = if turned { 1.0 - part } else { part };
            (at(a, part) - at(b, other)).size() > SAME
        })
    };
    !apart(false) || !apart(true)
}

fn step(worked: &Worked, step: &Step) -> HandStep {
    let stage = if worked.drawn.iter().any(|d| d.sheet == step.stage) {
        HandStage::Sheet
    } else if step.stage.starts_with("truing") {
        HandStage::Truing
    } else if step.stage.starts_with("finish") || step.stage == "allowances" {
        HandStage::Finish
    } else {
        HandStage::Piece
    };
    let mut parts: Vec<HandPart> = step.few.iter().map(part).collect();
    // The whole begins with a capital, whatever part it begins with.
    if let Some(HandPart::Words(first)) = parts.first_mut() {
        *first = sentence_case(first);
    }
    HandStep {
        number: step.number,
        stage,
        heading: step.stage.clone(),
        parts,
    }
}

fn part(telling: &Telling) -> HandPart {
    match telling {
        Telling::Words(words) => HandPart::Words(words.clone()),
        Telling::Figure { shown, rule, fixed } => HandPart::Figure {
            shown: shown.clone(),
            rule: rule.clone(),
            fixed: *fixed,
        },
        Telling::Point { group, name } => HandPart::Point {
            group: group.clone(),
            name: name.clone(),
        },
    }
}

fn thing(drawn: &Drawn) -> HandThing {
    let length = |mm: f64| Length::try_mm(mm).unwrap_or(Length::ZERO);
    HandThing {
        sheet: drawn.sheet.clone(),
        group: drawn.group.clone(),
        name: drawn.name.clone(),
        step: drawn.step,
        shape: match &drawn.shape {
            Shape::Level(y) => HandShape::Level(length(*y), drawn.body.is_some()),
            Shape::Upright(x) => HandShape::Upright(length(*x)),
            Shape::Point(p) => HandShape::Point(*p),
            Shape::Line {
                curve,
                edge,
                softened,
            } => HandShape::Line {
                curve: curve.clone(),
                edge: *edge,
                softened: softened.clone(),
            },
            Shape::Dart { edge, mouth, tip } => HandShape::Dart {
                edge: edge.clone(),
                mouth: *mouth,
                tip: *tip,
            },
        },
    }
}

/// How often a piece is cut, and what is added at each edge.
fn cut_and_add(piece: &Piece, shown: Shown) -> HandPiece {
    let cuts: Vec<String> = piece
        .cuts
        .iter()
        .map(|c| match c {
            Cut {
                count,
                on_fold: true,
                cloth,
                ..
            } => format!("{count} on the fold from {cloth}"),
            Cut {
                pair: true,
                cloth,
                count,
                ..
            } if *count == 2 => format!("a pair from {cloth}"),
            Cut { count, cloth, .. } if is_sided(piece) => {
                format!("{count} from {cloth}, right side up")
            }
            Cut { count, cloth, .. } => format!("{count} from {cloth}"),
        })
        .collect();
    // Left and right are told once: what is added is the same on both.
    let mut told: Vec<&str> = Vec::new();
    let mut adds: Vec<String> = Vec::new();
    for edge in piece.edges.iter().filter(|e| e.role != Role::Fold) {
        let (name, _) = bare(&edge.name);
        if !told.contains(&name) {
            told.push(name);
            let width = widths(edge, shown);
            adds.push(format!("{} {width}", name.replace(" number ", " ")));
        }
    }
    HandPiece {
        name: piece.name.clone(),
        cut: format!("cut {}", cuts.join(" and ")),
        add: adds.join(", "),
    }
}

/// What is added at an edge: `3/4`, `1 to 1/2`.
fn widths(edge: &Edge, shown: Shown) -> String {
    let mut all = vec![edge.allowance.first()];
    all.extend(edge.allowance.changes().iter().map(|c| c.width));
    all.dedup_by(|a, b| (*a - *b).abs() < Length::mm(0.01));
    let said: Vec<String> = all.iter().map(|w| show_number(*w, shown)).collect();
    said.join(" to ")
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test stops, and prints, where it must"
)]
mod tests;
