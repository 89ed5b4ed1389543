//! Searches that run while she looks on: one for each cloth of an order, ended when she says so.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Instant;

use book::{Change, OrderNo};
use lay::task::Lay;
use maud::Markup;

use super::kept::Current;
use super::ready::Ready;
use super::view;
use crate::laying::{Spend, find_on};
use crate::web::calm_lock;
use crate::web::room::Room;
use crate::web::visit;

/// A search that runs.
#[derive(Debug)]
pub(super) struct Search {
    stop: AtomicBool,
    ended: AtomicBool,
    begun: Instant,
    seconds: f64,
    ready: Ready,
    best: Mutex<(u64, Option<Lay>)>,
}

/// A room, an order, a cloth.
type Key = (usize, u32, String);

static RUNNING: Mutex<BTreeMap<Key, Arc<Search>>> = Mutex::new(BTreeMap::new());

/// So many run at once; more would only make each slower.
const MOST: usize = 3;

fn key(room: &Arc<Room>, order: u32, kind: &str) -> Key {
    (Arc::as_ptr(room).addr(), order, kind.to_owned())
}

/// The search that runs for a cloth of an order.
pub(super) fn running(room: &Arc<Room>, order: u32, kind: &str) -> Option<Arc<Search>> {
    let all = calm_lock(&RUNNING);
    all.get(&key(room, order, kind)).cloned()
}

impl Search {
    /// Ends it as soon as it looks up.
    pub(super) fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// Whether it has ended, and its lay is kept.
    pub(super) fn ended(&self) -> bool {
        self.ended.load(Ordering::Relaxed)
    }

    /// The best lay so far.
    pub(super) fn best(&self) -> Option<Lay> {
        calm_lock(&self.best).1.clone()
    }

    /// The best lay drawn, if it is newer than the one with this count.
    pub(super) fn told(&self, seen: u64) -> (u64, Option<Markup>) {
        let (count, lay) = calm_lock(&self.best).clone();
        let newer = lay.filter(|_| count > seen);
        (count, newer.map(|lay| view::live(&self.ready, &lay)))
    }

    /// How far it is, in words.
    pub(super) fn progress(&self) -> String {
        let gone = self.begun.elapsed().as_secs_f64();
        if self.ended() {
            "Done.".to_owned()
        } else if gone < self.seconds {
            format!(
                "Looking for a shorter lay: {gone:.0} of {:.0} seconds.",
                self.seconds
            )
        } else {
            "Looking once more over the best.".to_owned()
        }
    }
}

/// Begins a search; tells whether it could.
pub(super) fn begin(
    room: &Arc<Room>,
    order: u32,
    ready: Ready,
    holds: &BTreeMap<String, String>,
    seconds: f64,
) -> bool {
    let at = key(room, order, &ready.kind);
    let current = Current::of(&ready, holds);
    let search = Arc::new(Search {
        stop: AtomicBool::new(false),
        ended: AtomicBool::new(false),
        begun: Instant::now(),
        seconds,
        ready,
        best: Mutex::new((1, Some(current.lay.clone()))),
    });
    {
        let mut all = calm_lock(&RUNNING);
        if all.contains_key(&at) || all.len() >= MOST {
            return false;
        }
        all.insert(at.clone(), Arc::clone(&search));
    }
    let shelf = room.shelf();
    let own = Arc::clone(&search);
    let by = visit::now().by;
    let run = move || {
        let pins = current.pins();
        let ready = &own.ready;
        let found = find_on(
            &ready.spread,
            &ready.wanted(Spend::Seconds(seconds)),
            &pins,
            &mut |lay| {
                let mut best = calm_lock(&own.best);
                // What lies there already stays until something shorter is found.
                if best.1.as_ref().is_none_or(|b| lay.length < b.length) {
                    *best = (best.0 + 1, Some(lay.clone()));
                }
            },
            &|| own.stop.load(Ordering::Relaxed),
        );
        let best = calm_lock(&own.best).1.clone();
        if let (Ok(_), Some(lay)) = (found, best) {
            let pinned = lay.placed.iter().map(|p| pins.contains(p)).collect();
            let text = Current {
                lay,
                pinned,
                kept: true,
            }
            .text(ready);
            let change = Change {
                key: format!("lay/{}", ready.kind),
                after: Some(text),
            };
            let label = format!("the {} laid", ready.kind);
            // If the book can't be written now, the page still shows what was found before.
            let _ = calm_lock(&shelf).change(OrderNo(order), None, &label, &by, &[change]);
        }
        own.ended.store(true, Ordering::Relaxed);
        calm_lock(&RUNNING).remove(&at);
    };
    let begun = std::thread::Builder::new()
        .stack_size(crate::STACK / 8)
        .spawn(run);
    if begun.is_err() {
        calm_lock(&RUNNING).retain(|_, s| !Arc::ptr_eq(s, &search));
    }
    begun.is_ok()
}
