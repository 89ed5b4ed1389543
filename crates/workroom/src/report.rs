//! `report.json`: the whole pattern for other programs. `docs/report.md` is its contract.

use check::{Finding, Measured};
use draft::allowances::Stage;
use draft::correction::{Between, Side};
use draft::worked::{Half, MeasureUsed, Outcome, Quantity, SeamMade, Source, Worked};
use measure::card::Card;
use measure::fraction::Shown;
use measure::{Length, Point};
use piece::allowance::How;
use piece::{Edge, Piece, Role, cutting_line, flat, notch_places, stitching_outline};
use serde_json::{Map, Value, json};

use crate::cut_list::notch_names;
use crate::finding;
use crate::json::{self as js, maybe, mm, number, point};

use crate::quantity;

/// The report of a draft.
///
/// # Errors
/// When a piece has no outline; in a sentence, a message each.
pub(crate) fn report(
    worked: &Worked,
    card: &Card,
    findings: &[Finding],
    measured: &Measured,
    version: &str,
) -> Result<Value, Vec<String>> {
    let mut faults = Vec::new();
    let mut pieces = Vec::new();
    for (i, each) in worked.pieces.iter().enumerate() {
        match piece_value(each, worked.half(i), &|at| notch_names(worked, i, at)) {
            Ok(value) => pieces.push(value),
            Err(fault) => faults.push(format!("The piece `{}` can't be drawn: {fault}", each.name)),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let steps: Vec<Value> = worked
        .steps
        .iter()
        .map(
            |s| json!({"number": s.number, "stage": s.stage, "sentence": s.sentence, "why": s.why}),
        )
        .collect();
    let findings: Vec<Value> = findings.iter().map(finding::value).collect();
    Ok(json!({
        "format": 1,
        "client": card.client(),
        "taken": card.taken().map(|d| d.to_string()),
        "unit": card.unit().sign(),
        "method": worked.title,
        "measures_mm": measures(worked, card),
        "slopes_deg": slopes(card),
        "predicted": predicted(worked),
        "fallbacks": fallbacks(worked),
        "choices": choices(worked),
        "steps": steps,
        "pieces": pieces,
        "seams": worked.seams.iter().map(seam).collect::<Vec<_>>(),
        "truings": truings(worked),
        "corrections": corrections(worked),
        "retrued": retrued(worked),
        "allowances": allowances(worked, card),
        "measured": {
            "waist_mm": maybe(measured.waist),
            "hip_mm": maybe(measured.hip),
            "break_girth_mm": maybe(measured.break_girth),
            "hem_mm": maybe(measured.hem),
            "step_mm": maybe(measured.step.as_ref().map(|s| s.longest)),
        },
        "findings": findings,
        "results": results(worked),
        "version": version,
    }))
}

/// The card's measures as they are, then those that the method took from elsewhere.
fn measures(worked: &Worked, card: &Card) -> Value {
    let mut all = Map::new();
    for m in card.measures() {
        all.insert(m.name.clone(), mm(m.length));
    }
    for m in &worked.measures {
        if !matches!(m.source, Source::Missing) {
            all.insert(m.name.clone(), mm(m.value));
        }
    }
    Value::Object(all)
}

fn slopes(card: &Card) -> Value {
    card.angles()
        .map(|a| (a.name.clone(), number(a.angle.in_degrees())))
        .collect::<Map<_, _>>()
        .into()
}

fn predicted(worked: &Worked) -> Value {
    let band = |m: &MeasureUsed| match m.source {
        Source::Predicted { low, high } => Some(json!({
            "measure": m.name, "mm": mm(m.value), "low_mm": mm(low), "high_mm": mm(high),
        })),
        _ => None,
    };
    worked.measures.iter().filter_map(band).collect()
}

fn fallbacks(worked: &Worked) -> Value {
    worked
        .measures
        .iter()
        .filter(|m| m.source == Source::Fallback)
        .map(|m| json!({"measure": m.name, "mm": mm(m.value)}))
        .collect()
}

fn choices(worked: &Worked) -> Value {
    worked
        .choices
        .iter()
        .filter(|c| c.offered)
        .map(|c| (c.name.clone(), quantity::value(&c.value)))
        .collect::<Map<_, _>>()
        .into()
}

fn results(worked: &Worked) -> Value {
    worked
        .results
        .iter()
        .map(|r| match r.value {
            Quantity::Length(length) => json!({"name": r.name, "mm": mm(length)}),
            _ => json!({"name": r.name, "value": quantity::value(&r.value)}),
        })
        .collect()
}

fn truings(worked: &Worked) -> Value {
    worked
        .truings
        .iter()
        .map(|t| {
            json!({
                "seam": t.seam,
                "moved": t.moved,
                "from": quantity::value(&t.from),
                "to": quantity::value(&t.to),
                "out_before_mm": mm(t.out_before),
                "out_after_mm": mm(t.out_after),
                "met": t.met,
            })
        })
        .collect()
}

fn corrections(worked: &Worked) -> Value {
    worked
        .corrections
        .iter()
        .map(|done| {
            let c = &done.correction;
            let (made, says) = match &done.outcome {
                Outcome::Made => (true, None),
                Outcome::Lost(says) | Outcome::Refused(says) => (false, Some(says)),
            };
            let points: Vec<Value> = c
                .points
                .iter()
                .map(|(at, by)| match at {
                    Between::Length(at) => {
                        json!({"at_mm": mm(*at), "share": null, "offset_mm": mm(*by)})
                    }
                    Between::Share(at) => {
                        json!({"at_mm": null, "share": number(*at), "offset_mm": mm(*by)})
                    }
                })
                .collect();
            let edges: Vec<String> = done
                .edges
                .iter()
                .map(|(piece, edge)| format!("{piece}.{edge}"))
                .collect();
            json!({
                "key": c.key,
                "piece": c.piece,
                "edge": c.edge,
                "side": side(c.side),
                "points": points,
                "words": c.words,
                "sentence": done.sentence,
                "made": made,
                "lost": says,
                "edges": edges,
            })
        })
        .collect()
}

fn retrued(worked: &Worked) -> Value {
    worked
        .retrued
        .iter()
        .map(|again| {
            json!({
                "seam": again.seam,
                "moved": again.edge.as_ref().map(|(piece, edge)| format!("{piece}.{edge}")),
                "by_mm": mm(again.by),
                "out_before_mm": mm(again.out_before),
                "out_after_mm": mm(again.out_after),
                "met": again.met,
                "sentence": again.sentence,
            })
        })
        .collect()
}

/// What a table of allowances did; null when none was laid on.
fn allowances(worked: &Worked, card: &Card) -> Value {
    let Some(laid) = &worked.allowances else {
        return Value::Null;
    };
    let named = |edges: &[(String, String)]| -> Vec<String> {
        edges.iter().map(|(p, e)| format!("{p}.{e}")).collect()
    };
    let rows: Vec<Value> = laid
        .rows
        .iter()
        .map(|r| json!({"row": r.row.key(), "mm": mm(r.width), "edges": named(&r.edges)}))
        .collect();
    json!({
        "stage": match laid.stage { Stage::Cloth => "cloth", Stage::Toile => "toile" },
        "rows": rows,
        "kept": named(&laid.kept),
        "left_out": laid.left_out,
        "sentences": laid.sentences(Shown::usual(card.unit())),
    })
}

fn seam(seam: &SeamMade) -> Value {
    let twin = seam.b.is_empty();
    let other = if twin { &seam.a } else { &seam.b };
    json!({
        "name": seam.name,
        "a": finding::edges(&seam.a),
        "b": finding::edges(other),
        "twin": twin,
        "a_mm": mm(seam.a_length),
        "b_mm": mm(seam.b_length),
        "ease_mm": mm(seam.ease),
        "difference_mm": mm(seam.difference),
        "untrued_a_mm": maybe(seam.before.map(|(a, _)| a)),
        "untrued_b_mm": maybe(seam.before.map(|(_, b)| b)),
    })
}

fn piece_value(
    piece: &Piece,
    half: Option<&Half>,
    names: &dyn Fn(Point) -> Vec<String>,
) -> Result<Value, piece::Fault> {
    let stitching = flat::stitching(piece)?;
    let outline = stitching_outline(piece)?;
    let line = cutting_line(piece)?;
    let cutting = flat::cutting(&line);
    let cuts: Vec<Value> = piece
        .cuts
        .iter()
        .map(|c| json!({"cloth": c.cloth, "count": c.count, "on_fold": c.on_fold, "pair": c.pair}))
        .collect();
    let mut edges = Vec::new();
    for (i, edge) in piece.edges.iter().enumerate() {
        let (from, to) = stitching.edges[i];
        let (begin, end) = outline.edges[i];
        edges.push(json!({
            "name": edge.name,
            "role": role(edge.role),
            "from": from,
            "to": to,
            "length_mm": mm(end - begin),
            "sewn_mm": mm(piece.sewn_length(&edge.name)?),
            "allowance_mm": allowance(edge),
        }));
    }
    let mut darts = Vec::new();
    for dart in &piece.darts {
        let curve = &piece.edge(&dart.edge)?.curve;
        let mouth = [curve.at(dart.mouth.0).point, curve.at(dart.mouth.1).point];
        darts.push(json!({
            "name": dart.name,
            "edge": dart.edge,
            "mouth_mm": mouth.map(point),
            "tip_mm": point(dart.tip),
            "intake_mm": mm(dart.mouth.1 - dart.mouth.0),
        }));
    }
    let places = notch_places(piece)?;
    let notches: Vec<Value> = places
        .iter()
        .map(|n| {
            json!({
                "edge": piece.edges.get(n.edge).map(|e| e.name.as_str()),
                "snips": n.snips,
                "names": names(n.on_stitching),
                "stitching_mm": point(n.on_stitching),
                "cutting_mm": point(n.on_cutting),
            })
        })
        .collect();
    Ok(json!({
        "name": piece.name,
        "label": piece.label,
        "of": half.map_or(piece.name.as_str(), |h| h.of.as_str()),
        "side": half.map(|h| side(h.side)),
        "cut": cuts,
        "stitching_mm": points(&stitching.points),
        "cutting_mm": points(&cutting.points),
        "edges": edges,
        "darts": darts,
        "notches_mm": places.iter().map(|n| point(n.on_stitching)).collect::<Vec<_>>(),
        "notches": notches,
        "grain_mm": piece.grain.map(|g| [point(g.from), point(g.to)]),
        "area_mm2": number(outline.curve.area().abs()),
    }))
}

fn points(chain: &[Point]) -> Value {
    chain.iter().copied().map(point).collect()
}

const fn side(side: Side) -> &'static str {
    match side {
        Side::Both => "both",
        Side::Left => "left",
        Side::Right => "right",
    }
}

const fn role(role: Role) -> &'static str {
    match role {
        Role::Seam => "seam",
        Role::Hem => "hem",
        Role::Fold => "fold",
        Role::Opening => "opening",
    }
}

/// The allowance as a line over the edge: `[at, width]`, twice at one place where it steps.
fn allowance(edge: &Edge) -> Value {
    let whole = edge.curve.length();
    let allowance = &edge.allowance;
    let mut out = vec![(Length::ZERO, allowance.first())];
    let mut width = allowance.first();
    for change in allowance.changes() {
        if change.how == How::Step {
            out.push((change.at, width));
        }
        width = change.width;
        out.push((change.at, width));
    }
    if out.last().is_some_and(|(at, _)| *at < whole) {
        out.push((whole, width));
    }
    out.into_iter()
        .map(|(at, width)| Value::Array(vec![mm(at), mm(width)]))
        .collect()
}

/// The text of a report.
pub(crate) fn text(report: &Value) -> String {
    js::text(report)
}
