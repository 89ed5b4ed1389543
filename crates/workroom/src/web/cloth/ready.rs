//! What of an order is cut from one cloth, ready to be laid.

use std::collections::BTreeMap;

use lay::Cloth;
use lay::cut_piece::CutPiece;
use lay::join::Join;
use lay::solve::Effort;
use lay::spread::{Rules, Spread};
use lay::task::Lay;
use measure::fraction::Shown;

use super::{marks, slips};
use crate::cut_list::CutList;
use crate::laying::{self, Buying, Found, Spend, Wanted};
use crate::web::quote::habits::Habits;
use crate::web::working::OnTable;

/// Why nothing can be laid.
#[derive(Clone, Debug, Default)]
pub(super) struct NotReady {
    /// A sentence each.
    pub(super) says: Vec<String>,
    /// How a piece that is too wide would be joined.
    pub(super) join: Option<Box<Join>>,
}

impl From<Vec<String>> for NotReady {
    fn from(says: Vec<String>) -> Self {
        Self { says, join: None }
    }
}

/// Pieces, cloth and ways, ready to be laid.
#[derive(Clone, Debug)]
pub(super) struct Ready {
    pub(super) kind: String,
    pub(super) list: CutList,
    pub(super) pieces: Vec<CutPiece>,
    pub(super) cloth: Cloth,
    pub(super) buying: Buying,
    pub(super) shown: Shown,
    pub(super) spread: Spread,
    /// By this a lay is known to be of these pieces on this cloth: it covers what moves a piece.
    pub(super) key: String,
    /// The same by the whole page of the cloth, its name and price with it.
    pub(super) page_key: String,
}

impl Ready {
    /// What of an order is cut from a cloth; or why it can't be laid, a sentence each.
    pub(super) fn of(
        on: &OnTable,
        settings: &BTreeMap<String, String>,
        kind: &str,
    ) -> Result<Self, NotReady> {
        let worked = on.work();
        let faults = on.in_the_way(&worked);
        if !faults.is_empty() {
            return Err(faults.into());
        }
        let version = on.job().version(&worked);
        let list = CutList::of(&worked, on.name(), &version, on.shown.unit)?;
        let page = on.holds.get(&format!("cloth/{kind}"));
        let cloth = match page {
            None => {
                return Err(vec![format!("This order has no cloth for its {kind} yet.")].into());
            }
            Some(page) => lay::cloth::read(page).map_err(|all| {
                all.iter()
                    .map(|f| slips::in_its_words(&format!("{} {}", f.says, f.hint)))
                    .collect::<Vec<_>>()
            })?,
        };
        let called = cloth.matched_at.as_deref();
        if let Some(fault) = list.no_such_notch(kind, called) {
            return Err(vec![fault].into());
        }
        let pieces = list.of_kind(kind, called);
        if pieces.is_empty() {
            return Err(vec![format!("Nothing of this pattern is cut from its {kind}.")].into());
        }
        let shown = on.shown;
        let spread = Spread::new(&pieces, &cloth, Rules::default()).map_err(|f| NotReady {
            says: vec![slips::in_its_words(&f.says(shown))],
            join: f.join().cloned().map(Box::new),
        })?;
        let habits = Habits(settings);
        let buying = Buying {
            margin: habits.margin(shown.unit),
            step: laying::step_for(cloth.sold, habits.step(shown.unit)),
        };
        Ok(Self {
            key: marks::of_what_lies(&spread, &cloth),
            page_key: marks::of_page(page.map_or("", String::as_str), &spread),
            kind: kind.to_owned(),
            list,
            pieces,
            cloth,
            buying,
            shown,
            spread,
        })
    }

    /// What to ask of the search.
    pub(super) fn wanted(&self, spend: Spend) -> Wanted<'_> {
        Wanted {
            pieces: &self.pieces,
            cloth: &self.cloth,
            rules: Rules::default(),
            effort: Effort {
                workers: std::thread::available_parallelism()
                    .map_or(1, usize::from)
                    .min(8),
                seed: 0,
            },
            spend,
            buying: self.buying,
            shown: self.shown,
        }
    }

    /// What follows from a lay.
    pub(super) fn found(&self, lay: &Lay) -> Found {
        laying::of(&self.spread, lay, &self.pieces, &self.cloth, self.buying, 0)
    }
}
