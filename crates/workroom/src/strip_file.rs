//! Files that tell what to lay: the open format of benchmark instances, and our problems, which add
//! the cloth and the rules of cutting.

use std::collections::BTreeMap;

use lay::outline::Outline;
use lay::task::{Cut, Kind, Lay, Task, TaskFault, Turns};
use serde_json::{Value, json};

use crate::answer::calm;

/// Reads a task. `case` is the name of one of the problem's cases; without it the first is taken.
///
/// # Errors
/// Every fault found, as sentences.
pub(crate) fn read(text: &str, case: Option<&str>) -> Result<Task, Vec<String>> {
    let file: Value = serde_json::from_str(text)
        .map_err(|e| vec![format!("This is no JSON that can be read ({e}).")])?;
    let Some(items) = file.get("items").and_then(Value::as_array) else {
        return Err(vec!["There is no list `items` with the pieces.".into()]);
    };
    let Some(height) = file.get("strip_height").and_then(Value::as_f64) else {
        return Err(vec![
            "There is no number `strip_height`, the usable width.".into(),
        ]);
    };
    let case = one_case(&file, case).map_err(|m| vec![m])?;
    let cloth = file.get("cloth");
    let folded = match cloth.and_then(|c| c.get("fold")).and_then(Value::as_str) {
        None | Some("none") => false,
        Some("lengthwise") => true,
        Some(other) => {
            return Err(vec![format!(
                "I don't know the fold \"{}\": none or lengthwise.",
                calm(other)
            )]);
        }
    };
    let opened = cloth
        .and_then(|c| c.get("usable_mm"))
        .and_then(Value::as_f64)
        .filter(|_| folded)
        .unwrap_or(height);
    let mut faults = Vec::new();
    let mut kinds: Vec<Kind> = Vec::new();
    // A lay names each piece by its number, so two may not share one.
    let mut numbers = BTreeMap::new();
    for (n, item) in items.iter().enumerate() {
        match one_kind(item, n, case) {
            Ok(kind) => match numbers.insert(kind.id, n + 1) {
                None => kinds.push(kind),
                Some(first) => faults.push(format!(
                    "Pieces {first} and {} of the list have the same `id` {}. Give each its own.",
                    n + 1,
                    kind.id
                )),
            },
            Err(message) => faults.push(message),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let flaws = case
        .and_then(|c| c.get("flaws"))
        .or_else(|| cloth.and_then(|c| c.get("flaws")));
    let flaws = match flaws {
        None => Vec::new(),
        Some(list) => rectangles(list).ok_or_else(|| {
            vec![
                "Each of `flaws` is four numbers: least x, least y, greatest x, greatest y.".into(),
            ]
        })?,
    };
    let repeat = match case.and_then(|c| c.get("repeat_mm")) {
        None | Some(Value::Null) => None,
        Some(r) => Some(
            r.as_f64()
                .ok_or_else(|| vec!["`repeat_mm` is no number.".into()])?,
        ),
    };
    let millimetres = file.get("unit").and_then(Value::as_str) == Some("mm");
    Ok(Task {
        height,
        opened,
        folded,
        beside: None,
        kinds,
        flaws_opened: flaws.clone(),
        flaws,
        pinned: Vec::new(),
        repeat,
        across: false,
        hair: if millimetres {
            0.004
        } else {
            height.abs() * 1e-6
        },
    })
}

fn one_case<'a>(file: &'a Value, asked: Option<&str>) -> Result<Option<&'a Value>, String> {
    let cases = file.get("cases").and_then(Value::as_array);
    let Some(asked) = asked else {
        return Ok(cases.and_then(|c| c.first()));
    };
    let cases = cases.map_or(&[][..], Vec::as_slice);
    let name = |c: &&Value| c.get("name").and_then(Value::as_str) == Some(asked);
    if let Some(case) = cases.iter().find(name) {
        return Ok(Some(case));
    }
    let names: Vec<String> = cases
        .iter()
        .filter_map(|c| c.get("name").and_then(Value::as_str))
        .map(|n| format!("\"{}\"", calm(n)))
        .collect();
    Err(if names.is_empty() {
        "This file has no cases: leave --case out.".into()
    } else {
        format!(
            "There is no case \"{}\" here; there are {}.",
            calm(asked),
            names.join(", ")
        )
    })
}

fn one_kind(item: &Value, n: usize, case: Option<&Value>) -> Result<Kind, String> {
    let id = item
        .get("id")
        .and_then(Value::as_u64)
        .ok_or_else(|| format!("Piece {} of the list has no whole number `id`.", n + 1))?;
    let name = item
        .get("name")
        .and_then(Value::as_str)
        .map_or_else(|| format!("{id}"), calm);
    let says = |what: &str| format!("The piece \"{name}\" {what}.");
    let count = item
        .get("demand")
        .and_then(Value::as_u64)
        .and_then(|d| usize::try_from(d).ok())
        .ok_or_else(|| says("has no whole number `demand`: how many to lay"))?;
    let points = item
        .get("shape")
        .and_then(|s| s.get("data"))
        .and_then(Value::as_array)
        .and_then(|list| list.iter().map(point).collect::<Option<Vec<_>>>())
        .ok_or_else(|| says("has no outline: `shape`, `data`, a list of pairs of numbers"))?;
    let outline = Outline::whole(&points)
        .map_err(|fault| spoken(&TaskFault::Outline(name.clone(), fault)))?;
    let turns = item
        .get("free_orientations")
        .or_else(|| case.and_then(|c| c.get("orientations")))
        .or_else(|| item.get("allowed_orientations"))
        .filter(|v| !v.is_null());
    let turns = match turns {
        None => Turns::Any,
        Some(list) => Turns::Only(
            list.as_array()
                .and_then(|l| l.iter().map(Value::as_f64).collect::<Option<Vec<f64>>>())
                .filter(|l| l.iter().all(|a| a.is_finite()))
                .ok_or_else(|| says("has angles that are no numbers"))?,
        ),
    };
    let cut = match item.get("cut").and_then(Value::as_str) {
        None | Some("single") => Cut::Single,
        Some("pair") => Cut::Pair,
        Some("fold") => {
            let line = item
                .get("fold_line")
                .and_then(Value::as_array)
                .and_then(|l| Some([point(l.first()?)?, point(l.get(1)?)?]))
                .ok_or_else(|| says("is cut on the fold and has no `fold_line` of two points"))?;
            Cut::Fold(line)
        }
        Some(_) => return Err(says("is cut in a way I don't know: single, pair or fold")),
    };
    let matched = match item.get("match") {
        None | Some(Value::Null) => None,
        Some(m) => Some(point(m).ok_or_else(|| says("has a `match` that is no point"))?),
    };
    Ok(Kind {
        id,
        name,
        outline,
        count,
        turns,
        cut,
        matched,
    })
}

fn point(value: &Value) -> Option<[f64; 2]> {
    let pair = value.as_array()?;
    (pair.len() == 2).then_some(())?;
    Some([pair[0].as_f64()?, pair[1].as_f64()?])
}

fn rectangles(list: &Value) -> Option<Vec<[f64; 4]>> {
    list.as_array()?
        .iter()
        .map(|r| {
            let r = r.as_array()?;
            (r.len() == 4).then_some(())?;
            Some([
                r[0].as_f64()?,
                r[1].as_f64()?,
                r[2].as_f64()?,
                r[3].as_f64()?,
            ])
        })
        .collect()
}

/// A fault of the task as a whole sentence.
pub(crate) fn spoken(fault: &TaskFault) -> String {
    let text = calm(&fault.to_string());
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), letters.as_str()),
        None => text,
    }
}

/// The lay as a file.
pub(crate) fn write(task: &Task, lay: &Lay) -> Value {
    let placed: Vec<Value> = lay
        .placed
        .iter()
        .map(|p| json!({"id": task.kinds[p.kind].id, "turn": p.turn, "over": p.over, "at": p.at}))
        .collect();
    json!({"length": lay.length, "flat_from": lay.flat_from, "placed": placed})
}
