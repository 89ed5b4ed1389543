//! The lay that lies on the table now: kept with the order, or a first one found in a moment; and the
//! ways that were compared lately.

use std::collections::BTreeMap;
use std::sync::Mutex;

use lay::compare::Change;
use lay::judge::faults;
use lay::task::{Lay, Placed};
use lay::{Cloth, Fold};
use measure::Length;
use serde_json::{Value, json};

use super::marks;
use super::ready::Ready;
use crate::laying::{Other, Spend, Wanted, find, find_on};
use crate::web::calm_lock;

/// The lay on the table.
#[derive(Clone, Debug)]
pub(super) struct Current {
    pub(super) lay: Lay,
    /// Which of its pieces are pinned.
    pub(super) pinned: Vec<bool>,
    /// It was kept, not just found for this page.
    pub(super) kept: bool,
}

/// How deep pieces of a kept lay may overlap: it was written with four places.
const REACH: f64 = 0.02;

impl Current {
    /// The lay that the order holds, if it is one of these pieces on this cloth; else a first one.
    pub(super) fn of(ready: &Ready, holds: &BTreeMap<String, String>) -> Self {
        let held = holds.get(&format!("lay/{}", ready.kind));
        held.and_then(|text| read(ready, text))
            .unwrap_or_else(|| first(ready))
    }

    /// The pinned places.
    pub(super) fn pins(&self) -> Vec<Placed> {
        self.lay
            .placed
            .iter()
            .zip(&self.pinned)
            .filter(|(_, pinned)| **pinned)
            .map(|(p, _)| *p)
            .collect()
    }

    /// As the order holds it.
    pub(super) fn text(&self, ready: &Ready) -> String {
        let placed: Vec<Value> = self
            .lay
            .placed
            .iter()
            .zip(&self.pinned)
            .map(|(p, pin)| json!({"kind": p.kind, "turn": p.turn, "over": p.over, "at": p.at, "pinned": pin}))
            .collect();
        json!({"of": ready.key, "flat_from": self.lay.flat_from, "placed": placed}).to_string()
    }

    /// The mark of the lay as it lies, pins and all: a press made for another lay is known by it.
    pub(super) fn mark(&self, ready: &Ready) -> String {
        marks::of_text(&self.text(ready))
    }
}

/// A kept lay that is known by its cloth's whole page, known by what moves a piece instead: so it stays when
/// its page is typed anew.
pub(super) fn known_anew(ready: &Ready, holds: &BTreeMap<String, String>) -> Option<String> {
    let text = holds.get(&format!("lay/{}", ready.kind))?;
    let value: Value = serde_json::from_str(text).ok()?;
    if value.get("of")?.as_str()? != ready.page_key {
        return None;
    }
    Some(read(ready, text)?.text(ready))
}

/// How far the pieces of a lay reach.
pub(super) fn reach(ready: &Ready, placed: &[Placed]) -> f64 {
    let kinds = &ready.spread.task().kinds;
    placed
        .iter()
        .filter_map(|p| {
            Some(kinds.get(p.kind)?.outline.placed(p.turn, p.over).bounds()[2] + p.at[0])
        })
        .fold(0.0, f64::max)
}

fn read(ready: &Ready, text: &str) -> Option<Current> {
    let value: Value = serde_json::from_str(text).ok()?;
    let of = value.get("of")?.as_str()?;
    if of != ready.key && of != ready.page_key {
        return None;
    }
    let mut placed = Vec::new();
    let mut pinned = Vec::new();
    for p in value.get("placed")?.as_array()? {
        let at = p.get("at")?.as_array()?;
        placed.push(Placed {
            kind: usize::try_from(p.get("kind")?.as_u64()?).ok()?,
            turn: p.get("turn")?.as_f64()?,
            over: p.get("over")?.as_bool()?,
            at: [at.first()?.as_f64()?, at.get(1)?.as_f64()?],
        });
        pinned.push(p.get("pinned")?.as_bool()?);
    }
    let lay = Lay {
        length: reach(ready, &placed),
        flat_from: value.get("flat_from")?.as_f64(),
        placed,
    };
    // Nothing that could not be cut is shown, whoever wrote it.
    faults(ready.spread.task(), &lay, REACH)
        .is_empty()
        .then_some(Current {
            lay,
            pinned,
            kept: true,
        })
}

/// So many places are tried for a first lay: a tenth of a second or less for the pieces of a garment, and
/// what it says to buy is near to what a longer look finds.
const AT_FIRST: u64 = 150_000;

/// A first lay, found in a moment; the same each time.
fn first(ready: &Ready) -> Current {
    let wanted = ready.wanted(Spend::Steps(AT_FIRST));
    let lay = find_on(&ready.spread, &wanted, &[], &mut |_| (), &|| false).map_or(
        Lay {
            length: 0.0,
            flat_from: None,
            placed: Vec::new(),
        },
        |f| f.lay,
    );
    Current {
        pinned: vec![false; lay.placed.len()],
        lay,
        kept: false,
    }
}

/// How much cloth the pieces take with the fold opened out, by a first lay and by what was compared lately;
/// none where the cloth lies flat as it is, or they can't be laid so.
pub(super) fn opened_out(ready: &Ready, others: &[Other]) -> Option<Length> {
    if ready.cloth.fold == Fold::None {
        return None;
    }
    let compared = others.iter().find(|o| o.way.change == Change::Flat);
    let compared = compared.and_then(|o| Some(o.found.as_ref().ok()?.laid.takes()));
    [compared, first_flat(ready)]
        .into_iter()
        .flatten()
        .reduce(Length::min)
}

/// A first lay on flat cloth, found in a moment and known for a while.
fn first_flat(ready: &Ready) -> Option<Length> {
    static FLAT: Mutex<Vec<(String, Option<Length>)>> = Mutex::new(Vec::new());
    let known = calm_lock(&FLAT)
        .iter()
        .find(|(key, _)| *key == ready.key)
        .map(|(_, takes)| *takes);
    if let Some(takes) = known {
        return takes;
    }
    let cloth = Cloth {
        fold: Fold::None,
        fold_depth: None,
        ..ready.cloth.clone()
    };
    let wanted = Wanted {
        cloth: &cloth,
        ..ready.wanted(Spend::Steps(AT_FIRST))
    };
    let found = find(&wanted, &|| false)
        .ok()
        .filter(|f| !f.laid.all_on_scraps());
    let takes = found.map(|f| f.laid.takes());
    let mut flat = calm_lock(&FLAT);
    if flat.len() >= STAY {
        flat.remove(0);
    }
    flat.push((ready.key.clone(), takes));
    takes
}

/// So many comparisons stay in memory.
const STAY: usize = 8;

static COMPARED: Mutex<Vec<(String, Vec<Other>)>> = Mutex::new(Vec::new());

/// Keeps a comparison for a while.
pub(super) fn keep_compared(key: &str, all: Vec<Other>) {
    let mut kept = calm_lock(&COMPARED);
    kept.retain(|(k, _)| k != key);
    if kept.len() >= STAY {
        kept.remove(0);
    }
    kept.push((key.to_owned(), all));
}

/// The comparison of these pieces on this cloth, if it was made lately.
pub(super) fn compared(key: &str) -> Vec<Other> {
    let kept = calm_lock(&COMPARED);
    kept.iter()
        .find(|(k, _)| k == key)
        .map_or_else(Vec::new, |(_, all)| all.clone())
}
