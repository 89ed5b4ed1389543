//! What an order holds now: a flat map, changed only through the journal.

use std::collections::BTreeMap;

use rusqlite::{Connection, params};

use crate::row::{all, count, one, signed};
use crate::{Book, Id, OrderNo, Trouble, journal, orders};

/// The key of the card that an order is worked from, by the card's id.
pub(crate) const CARD: &str = "card";

/// A change of one key of what an order holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Which: `choice/knee`.
    pub key: String,
    /// What it is to hold; `None` takes it off.
    pub after: Option<String>,
}

/// A change as the journal keeps it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// Which.
    pub key: String,
    /// What it held; `None` if nothing.
    pub before: Option<String>,
    /// What it held afterwards; `None` if nothing.
    pub after: Option<String>,
}

/// Writes one key without a word in the journal.
pub(crate) fn put(
    db: &Connection,
    order: Id,
    key: &str,
    value: Option<&str>,
    seen: u64,
) -> Result<(), Trouble> {
    db.prepare_cached(
        r#"INSERT INTO holds ("order", key, value, seen) VALUES (?1, ?2, ?3, ?4)
           ON CONFLICT ("order", key) DO UPDATE SET value = excluded.value, seen = excluded.seen"#,
    )?
    .execute(params![order, key, value, signed(seen)])?;
    Ok(())
}

/// What a key holds, and the order's count when it was last changed.
fn held(db: &Connection, order: Id, key: &str) -> Result<(Option<String>, u64), Trouble> {
    let row = one(
        db,
        r#"SELECT value, seen FROM holds WHERE "order" = ?1 AND key = ?2"#,
        params![order, key],
        |row| Ok((row.get("value")?, count(row, "seen")?)),
    )?;
    Ok(row.unwrap_or((None, 0)))
}

/// All that an order holds, on any connection.
pub(crate) fn of(db: &Connection, order: Id) -> Result<BTreeMap<String, String>, Trouble> {
    let rows = all(
        db,
        r#"SELECT key, value FROM holds WHERE "order" = ?1 AND value IS NOT NULL"#,
        [order],
        &mut |row| Ok((row.get(0)?, row.get(1)?)),
    )?;
    Ok(rows.into_iter().collect())
}

impl Book {
    /// All that an order holds now.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn holds(&self, number: OrderNo) -> Result<BTreeMap<String, String>, Trouble> {
        of(&self.db, self.order(number)?.id)
    }

    /// Which keys were changed since a page was made with the count `seen`: what to show beside each
    /// other after [`Trouble::Moved`].
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn changed_since(&self, number: OrderNo, seen: u64) -> Result<Vec<String>, Trouble> {
        let order = self.order(number)?;
        self.all(
            r#"SELECT key FROM holds WHERE "order" = ?1 AND seen > ?2 ORDER BY key"#,
            params![order.id, signed(seen)],
            |row| row.get(0),
        )
    }

    /// Changes what an order holds, all or nothing, and writes it in the order's journal under a label in
    /// her words ("knee tightening 2 1/2 to 2 3/4"). A change to what is there already is none; if none
    /// is left, nothing is written. Answers the order's count, to be given back as `seen` next time.
    ///
    /// # Errors
    /// [`Trouble::Moved`] if `seen` is given and one of these keys was changed since, to something else
    /// than is asked now; [`Trouble::Closed`]; [`Trouble::Missing`] if there is no such order.
    pub fn change(
        &mut self,
        number: OrderNo,
        seen: Option<u64>,
        label: &str,
        by: &str,
        changes: &[Change],
    ) -> Result<u64, Trouble> {
        self.write(|db, now| {
            let order = orders::open_order(db, number)?;
            let mut wanted: BTreeMap<&str, Option<&str>> = BTreeMap::new();
            for change in changes {
                wanted.insert(&change.key, change.after.as_deref());
            }
            let mut changed = Vec::new();
            for (key, after) in wanted {
                let (before, key_seen) = held(db, order.id, key)?;
                if before.as_deref() == after {
                    continue;
                }
                if seen.is_some_and(|seen| key_seen > seen) {
                    return Err(Trouble::Moved { now: order.seen });
                }
                changed.push(Changed {
                    key: key.to_owned(),
                    before,
                    after: after.map(str::to_owned),
                });
            }
            if changed.is_empty() {
                return Ok(order.seen);
            }
            let next = orders::count_up(db, &order)?;
            for change in &changed {
                put(db, order.id, &change.key, change.after.as_deref(), next)?;
            }
            journal::write(db, order.id, label, &changed, now, by)?;
            Ok(next)
        })
    }
}
