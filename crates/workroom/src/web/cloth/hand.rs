//! A piece moved by hand: by a button, a key, or the finger.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use lay::Nap;
use lay::place::{Moved, moved};
use lay::task::Placed;
use measure::Length;
use serde::Deserialize;
use serde_json::{Value, json};

use super::kept::{Current, reach};
use super::ready::Ready;
use crate::web::calm_lock;

/// What a press at a piece sends.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct Hand {
    pub(super) r#for: String,
    /// Which piece, in the order of cutting.
    pub(super) piece: usize,
    /// The mark of the lay as its page showed it.
    lay: String,
    r#do: String,
    /// Finely.
    fine: Option<String>,
    dx: f64,
    dy: f64,
}

/// What comes of a press.
#[derive(Clone, Debug)]
pub(super) struct Done {
    /// The lay after it, as the order holds it; none where nothing changed.
    pub(super) after: Option<String>,
    /// The journal's words.
    pub(super) label: String,
    /// The code of what is said.
    pub(super) said: &'static str,
    /// Which piece it is now, in the order of cutting.
    pub(super) piece: usize,
}

/// How far from where it was put a piece may come to lie, in millimetres.
const REACH: f64 = 400.0;

impl Hand {
    /// Whether it was pressed on another lay than lies there now: then its piece may be another one.
    pub(super) fn stale(&self, ready: &Ready, current: &Current) -> bool {
        self.lay != current.mark(ready)
    }

    /// What comes of it.
    pub(super) fn done(&self, ready: &Ready, mut current: Current) -> Result<Done, String> {
        let laid = ready.spread.laid(&current.lay);
        let piece = laid
            .pieces
            .get(self.piece)
            .ok_or("There is no such piece on the lay.")?;
        let at = index(&current, &piece.placed).ok_or("There is no such piece on the lay.")?;
        let name = piece.name.clone();
        if self.r#do == "pin" || self.r#do == "loose" {
            let pin = self.r#do == "pin";
            current.pinned[at] = pin;
            let label = if pin {
                format!("{name} pinned")
            } else {
                format!("{name} loose")
            };
            return Ok(Done {
                after: Some(current.text(ready)),
                label,
                said: if pin { "pinned" } else { "loose" },
                piece: self.piece,
            });
        }
        let inches = ready.shown.unit == measure::fraction::Unit::Inch;
        let step = match (inches, self.fine.is_some()) {
            (true, false) => Length::inches(1.0),
            (true, true) => Length::inches(0.125),
            (false, false) => Length::cm(2.0),
            (false, true) => Length::mm(2.0),
        }
        .in_mm();
        let mut wanted = piece.placed;
        match self.r#do.as_str() {
            "left" => wanted.at[0] -= step,
            "right" => wanted.at[0] += step,
            "up" => wanted.at[1] += step,
            "down" => wanted.at[1] -= step,
            "put" if self.dx.is_finite() && self.dy.is_finite() => {
                wanted.at[0] += self.dx;
                wanted.at[1] += self.dy;
            }
            "turn" if ready.cloth.nap == Nap::TwoWay => {
                wanted = half_turned(ready, wanted, piece.layers == lay::laid::Layers::Fold);
            }
            _ => return Err("Choose what to do with the piece.".into()),
        }
        let told = put(ready, &current, at, wanted);
        let Some((told, to)) = told.and_then(|t| Some((t.clone(), t.to?))) else {
            return Ok(Done {
                after: None,
                label: String::new(),
                said: "nowhere",
                piece: self.piece,
            });
        };
        current.lay.placed[at] = to;
        current.lay.length = reach(ready, &current.lay.placed);
        let legal = told.legal();
        let turned = self.r#do == "turn";
        let label = format!(
            "{name} {}",
            if turned {
                "turned on the lay"
            } else {
                "moved on the lay"
            }
        );
        let said = match (legal, turned) {
            (true, true) => "turned",
            (true, false) => "moved",
            (false, _) => "near",
        };
        // Moved along the cloth, it may come earlier or later in the order of cutting.
        let laid = ready.spread.laid(&current.lay);
        let piece = laid.pieces.iter().position(|p| p.placed == to);
        Ok(Done {
            after: Some(current.text(ready)),
            label,
            said,
            piece: piece.unwrap_or(self.piece),
        })
    }
}

/// Which of the lay's places this is.
fn index(current: &Current, placed: &Placed) -> Option<usize> {
    current.lay.placed.iter().position(|p| p == placed)
}

/// Turned by half a turn where it lies; a half on the fold is turned over with it.
fn half_turned(ready: &Ready, placed: Placed, on_fold: bool) -> Placed {
    let Some(kind) = ready.spread.task().kinds.get(placed.kind) else {
        return placed;
    };
    let before = kind.outline.placed(placed.turn, placed.over).bounds();
    let mut out = Placed {
        turn: (placed.turn + 180.0) % 360.0,
        over: placed.over != on_fold,
        ..placed
    };
    let after = kind.outline.placed(out.turn, out.over).bounds();
    for axis in 0..2 {
        out.at[axis] += before[axis] - after[axis];
    }
    out
}

/// Where a piece comes to lie.
fn put(ready: &Ready, current: &Current, at: usize, wanted: Placed) -> Option<Moved> {
    let longest = current.lay.length + 2000.0;
    moved(
        ready.spread.task(),
        &current.lay,
        at,
        wanted,
        (REACH, longest),
    )
}

/// What lies on the table, ready.
type Lies = Arc<(Ready, Current)>;

/// For which lay a dragged piece asks: of which room, order and cloth, and all that the order holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Dragged {
    room: usize,
    order: u32,
    kind: String,
    holds: u64,
}

/// So long a lay is known for one that is dragged; what comes of letting go is always reckoned afresh.
const STAYS: Duration = Duration::from_secs(10);

static KNOWN: Mutex<Option<(Dragged, Instant, Lies)>> = Mutex::new(None);

impl Dragged {
    pub(super) fn of(
        room: usize,
        (order, kind): (u32, &str),
        holds: &BTreeMap<String, String>,
    ) -> Self {
        let mut hash = DefaultHasher::new();
        holds.hash(&mut hash);
        Self {
            room,
            order,
            kind: kind.to_owned(),
            holds: hash.finish(),
        }
    }

    /// The lay, if it was worked a moment ago.
    pub(super) fn known(&self) -> Option<Lies> {
        let known = calm_lock(&KNOWN);
        known
            .as_ref()
            .filter(|(of, since, _)| of == self && since.elapsed() < STAYS)
            .map(|(.., lies)| Arc::clone(lies))
    }

    pub(super) fn keep(self, ready: Ready, current: Current) -> Lies {
        let lies = Arc::new((ready, current));
        *calm_lock(&KNOWN) = Some((self, Instant::now(), Arc::clone(&lies)));
        lies
    }
}

/// What a piece that is dragged would lie over, and where it would come to lie.
pub(super) fn tried(
    (ready, current): (&Ready, &Current),
    (piece, lay): (usize, &str),
    (dx, dy): (f64, f64),
) -> Value {
    let laid = ready.spread.laid(&current.lay);
    // Of another lay nothing is told: this would be another piece.
    let same = lay.is_empty() || lay == current.mark(ready);
    let told = laid.pieces.get(piece).filter(|_| same).and_then(|p| {
        let at = index(current, &p.placed)?;
        let wanted = Placed {
            at: [p.placed.at[0] + dx, p.placed.at[1] + dy],
            ..p.placed
        };
        Some((p.placed, put(ready, current, at, wanted)?))
    });
    let Some((from, told)) = told else {
        return json!({ "over": [], "off": true, "to": null });
    };
    // In the order of cutting, as the page counts.
    let over: Vec<usize> = laid
        .pieces
        .iter()
        .enumerate()
        .filter(|(_, p)| told.over.iter().any(|i| current.lay.placed[*i] == p.placed))
        .map(|(i, _)| i)
        .collect();
    let to = told
        .to
        .map(|t| [t.at[0] - from.at[0], t.at[1] - from.at[1]]);
    json!({ "over": over, "off": told.off, "to": to })
}
