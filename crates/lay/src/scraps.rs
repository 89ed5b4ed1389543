//! Odd pieces of cloth that she has: what fits on them is cut there first.
//!
//! The largest that fits goes first, on the smallest scrap that takes it, with the grain of the scrap as it
//! would lie with that of the cloth. A left and its right are cut from one scrap or from none, so that both
//! sides are of one dye.

use measure::Length;

use crate::cloth::{Cloth, Fold, Scrap};
use crate::cut_piece::{CutPiece, opened_out};
use crate::laid::LaidPiece;
use crate::outline::double_area;
use crate::solve::{Effort, solve};
use crate::spread::{Rules, Spread};

/// No more scraps are looked at.
pub const MOST: usize = 12;
/// No more lays on scraps are tried.
const TRIES: usize = 150;
/// No more of one piece, or pairs of it, are cut from scraps.
const MOST_ALIKE: u32 = 20;

/// A scrap with what is cut from it, in the order of cutting; x along its length, y up from one side.
#[derive(Clone, Debug, PartialEq)]
pub struct OnScrap {
    /// Which of the scraps, from 1.
    pub number: usize,
    /// How wide it is, across its grain, after shrinking, in millimetres.
    pub wide: f64,
    /// How long, along its grain.
    pub long: f64,
    /// The pieces.
    pub pieces: Vec<LaidPiece>,
}

/// What is cut from which scrap, and what is left to cut from the cloth.
pub(crate) fn used(
    pieces: &[CutPiece],
    cloth: &Cloth,
    rules: Rules,
) -> (Vec<CutPiece>, Vec<OnScrap>) {
    let mut rest = pieces.to_vec();
    let mut scraps: Vec<Tried> = cloth
        .scraps
        .iter()
        .take(MOST)
        .enumerate()
        .map(|(i, Scrap { wide, long })| {
            let shrunk = |l: Length, by: f64| l.in_mm() * (1.0 - by.clamp(0.0, 0.5));
            Tried {
                number: i + 1,
                wide: shrunk(*wide, cloth.shrink_across),
                long: shrunk(*long, cloth.shrink_along),
                on: Vec::new(),
                taken: 0.0,
                pieces: Vec::new(),
            }
        })
        .collect();
    scraps.sort_by(|a, b| a.area().total_cmp(&b.area()).then(a.number.cmp(&b.number)));
    // What may be cut alone: a pair together, of others each.
    let mut units: Vec<(f64, usize)> = Vec::new();
    for (i, p) in pieces.iter().enumerate() {
        // What must meet the pattern of the cloth is cut from the cloth.
        if cloth.repeat.is_some() && p.matched.is_some() {
            continue;
        }
        let each = together(p);
        let many = p.count.checked_div(each).unwrap_or(0);
        for _ in 0..many.min(MOST_ALIKE) {
            units.push((area(p) * f64::from(each), i));
        }
    }
    units.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut tries = 0;
    let mut failed: Vec<(usize, usize)> = Vec::new();
    for (big, i) in units {
        let Some(piece) = rest.get_mut(i) else {
            continue;
        };
        for scrap in &mut scraps {
            // Another of the same found no room here.
            let full = scrap.taken + big > scrap.area();
            if full || failed.contains(&(scrap.number, i)) || tries >= TRIES {
                continue;
            }
            tries += 1;
            let mut with = scrap.on.clone();
            with.push(i);
            if let Some(laid) = lay(pieces, &with, cloth, rules, (scrap.wide, scrap.long)) {
                (scrap.on, scrap.pieces) = (with, laid);
                scrap.taken += big;
                piece.count -= together(piece);
                break;
            }
            failed.push((scrap.number, i));
        }
    }
    scraps.sort_by_key(|s| s.number);
    let laid = scraps
        .into_iter()
        .filter(|s| !s.pieces.is_empty())
        .map(|s| OnScrap {
            number: s.number,
            wide: s.wide,
            long: s.long,
            pieces: s.pieces,
        })
        .collect();
    (rest, laid)
}

/// A scrap while it is filled.
struct Tried {
    number: usize,
    wide: f64,
    long: f64,
    /// What is cut from it, a pair once.
    on: Vec<usize>,
    /// The area of all that.
    taken: f64,
    /// How it lies, as it was tried.
    pieces: Vec<LaidPiece>,
}

impl Tried {
    fn area(&self) -> f64 {
        self.wide * self.long
    }
}

/// How many of a piece are cut together.
fn together(piece: &CutPiece) -> u32 {
    if piece.pair { 2 } else { 1 }
}

/// The area of a piece as it is cut from one layer.
fn area(piece: &CutPiece) -> f64 {
    let whole = match (piece.on_fold, piece.fold) {
        (true, Some(fold)) => opened_out(&piece.outline, fold),
        _ => None,
    };
    (double_area(whole.as_ref().unwrap_or(&piece.outline)) / 2.0).abs()
}

/// Pieces laid on a scrap; none when they don't fit on it.
fn lay(
    pieces: &[CutPiece],
    on: &[usize],
    cloth: &Cloth,
    rules: Rules,
    (wide, long): (f64, f64),
) -> Option<Vec<LaidPiece>> {
    let mut kinds: Vec<usize> = on.to_vec();
    kinds.sort_unstable();
    kinds.dedup();
    let own: Vec<CutPiece> = kinds
        .iter()
        .map(|k| CutPiece {
            count: together(&pieces[*k])
                * u32::try_from(on.iter().filter(|o| *o == k).count()).unwrap_or(0),
            ..pieces[*k].clone()
        })
        .collect();
    let scrap = Cloth {
        width: Length::try_mm(wide),
        fold: Fold::None,
        nap: cloth.nap,
        length_runs: cloth.length_runs,
        ..Cloth::default()
    };
    let spread = Spread::new(&own, &scrap, rules).ok()?;
    let once = Effort {
        workers: 1,
        seed: 0,
    };
    let found = solve(spread.task(), once, &|_| 1.0, &mut |_| ()).ok()?;
    let laid = spread.laid(&found.lay);
    (laid.length <= long + 0.01).then(|| {
        let back = |p: LaidPiece| LaidPiece {
            piece: kinds.get(p.piece).copied().unwrap_or(0),
            ..p
        };
        laid.pieces.into_iter().map(back).collect()
    })
}
