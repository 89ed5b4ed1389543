//! The journal of an order: what was changed, taken back and put again, over restarts, until it is closed.

use rusqlite::{Connection, Row, params};
use serde_json::{Value, json};

use crate::row::{count, one, signed};
use crate::{Book, Changed, Id, OrderNo, Stamp, Trouble, holds, orders};

/// One line of the journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its place: later ones are larger.
    pub at: u64,
    /// What was done, in her words.
    pub label: String,
    /// Each key, before and after.
    pub changes: Vec<Changed>,
    /// When.
    pub made: Stamp,
    /// `here`, or the name of a phone.
    pub by: String,
    /// It was taken back.
    pub undone: bool,
    /// It can no longer be taken back or put again: something else was done after it was taken back, the
    /// order was closed, or its card went to another client.
    pub settled: bool,
}

fn to_text(changes: &[Changed]) -> String {
    let all = changes
        .iter()
        .map(|c| json!({ "key": c.key, "before": c.before, "after": c.after }))
        .collect();
    Value::Array(all).to_string()
}

fn from_text(text: &str) -> Option<Vec<Changed>> {
    let all: Value = serde_json::from_str(text).ok()?;
    let mut changes = Vec::new();
    for one in all.as_array()? {
        let text = |name: &str| one.get(name)?.as_str().map(str::to_owned);
        changes.push(Changed {
            key: text("key")?,
            before: text("before"),
            after: text("after"),
        });
    }
    Some(changes)
}

pub(crate) fn entry_of(row: &Row<'_>) -> rusqlite::Result<Entry> {
    let text: String = row.get("changes")?;
    let changes = from_text(&text).ok_or(rusqlite::Error::InvalidQuery)?;
    Ok(Entry {
        at: count(row, "at")?,
        label: row.get("label")?,
        changes,
        made: row.get("made")?,
        by: row.get("by")?,
        undone: row.get("undone")?,
        settled: row.get("dropped")?,
    })
}

/// Writes what was done; what was taken back before can no longer be put again.
pub(crate) fn write(
    db: &Connection,
    order: Id,
    label: &str,
    changes: &[Changed],
    now: Stamp,
    by: &str,
) -> Result<(), Trouble> {
    db.prepare_cached(
        r#"UPDATE journal SET dropped = 1 WHERE "order" = ?1 AND undone = 1 AND dropped = 0"#,
    )?
    .execute([order])?;
    db.prepare_cached(
        r#"INSERT INTO journal ("order", label, changes, made, by) VALUES (?1, ?2, ?3, ?4, ?5)"#,
    )?
    .execute(params![order, label, to_text(changes), now, by])?;
    Ok(())
}

/// Writes what was done and is not to be taken back here.
pub(crate) fn write_settled(
    db: &Connection,
    order: Id,
    label: &str,
    changes: &[Changed],
    now: Stamp,
) -> Result<(), Trouble> {
    write(db, order, label, changes, now, "here")?;
    db.execute(
        "UPDATE journal SET dropped = 1 WHERE at = ?1",
        [db.last_insert_rowid()],
    )?;
    Ok(())
}

/// Whether a card is in the book and the client's own.
fn is_hers(db: &Connection, client: Id, card: &str) -> Result<bool, Trouble> {
    let sql = "SELECT 1 FROM card WHERE id = ?1 AND client = ?2";
    Ok(one(db, sql, params![card, client], |_| Ok(()))?.is_some())
}

/// Which line is next.
#[derive(Clone, Copy)]
enum Way {
    Back,
    Again,
}

fn next(db: &Connection, order: Id, way: Way) -> Result<Option<Entry>, Trouble> {
    let sql = match way {
        Way::Back => {
            r#"SELECT * FROM journal WHERE "order" = ?1 AND undone = 0 AND dropped = 0
               ORDER BY at DESC LIMIT 1"#
        }
        Way::Again => {
            r#"SELECT * FROM journal WHERE "order" = ?1 AND undone = 1 AND dropped = 0
               ORDER BY at LIMIT 1"#
        }
    };
    one(db, sql, [order], entry_of)
}

impl Book {
    /// Takes the last change of an order back; answers its label, or `None` if there is none.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order; [`Trouble::Closed`].
    pub fn take_back(&mut self, number: OrderNo) -> Result<Option<String>, Trouble> {
        self.turn(number, Way::Back, None)
    }

    /// Takes back the line at this place ([`Entry::at`]), which a page said would be taken back. If that is
    /// done already, by the same press or in another window, nothing is changed.
    ///
    /// # Errors
    /// As [`Book::take_back`]; [`Trouble::Moved`] if another line would be taken back by now.
    pub fn take_back_at(&mut self, number: OrderNo, at: u64) -> Result<Option<String>, Trouble> {
        self.turn(number, Way::Back, Some(at))
    }

    /// Does again what was last taken back; answers its label, or `None` if there is nothing, or
    /// something else was done since.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order; [`Trouble::Closed`].
    pub fn put_again(&mut self, number: OrderNo) -> Result<Option<String>, Trouble> {
        self.turn(number, Way::Again, None)
    }

    /// Puts the line at this place again, as [`Book::take_back_at`] takes one back.
    ///
    /// # Errors
    /// As [`Book::put_again`]; [`Trouble::Moved`] if another line would be put again by now.
    pub fn put_again_at(&mut self, number: OrderNo, at: u64) -> Result<Option<String>, Trouble> {
        self.turn(number, Way::Again, Some(at))
    }

    fn turn(
        &mut self,
        number: OrderNo,
        way: Way,
        meant: Option<u64>,
    ) -> Result<Option<String>, Trouble> {
        self.write(|db, _| {
            let order = orders::open_order(db, number)?;
            let entry = next(db, order.id, way)?;
            if let Some(at) = meant
                && entry.as_ref().is_none_or(|entry| entry.at != at)
            {
                let line = r#"SELECT * FROM journal WHERE "order" = ?1 AND at = ?2"#;
                let line = one(db, line, params![order.id, signed(at)], entry_of)?;
                let undone = matches!(way, Way::Back);
                return match line.filter(|l| l.undone == undone && !l.settled) {
                    Some(done) => Ok(Some(done.label)),
                    None => Err(Trouble::Moved { now: order.seen }),
                };
            }
            let Some(entry) = entry else {
                return Ok(None);
            };
            let seen = orders::count_up(db, &order)?;
            for change in &entry.changes {
                let value = match way {
                    Way::Back => &change.before,
                    Way::Again => &change.after,
                };
                let mut value = value.as_deref();
                // A card that went to another client, or was erased with her, is not put back.
                if let (holds::CARD, Some(card)) = (change.key.as_str(), value)
                    && !is_hers(db, order.client, card)?
                {
                    value = None;
                }
                holds::put(db, order.id, &change.key, value, seen)?;
            }
            db.execute(
                "UPDATE journal SET undone = ?2 WHERE at = ?1",
                params![signed(entry.at), matches!(way, Way::Back)],
            )?;
            Ok(Some(entry.label))
        })
    }

    /// The line that [`Book::take_back`] would take back.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn next_back(&self, number: OrderNo) -> Result<Option<Entry>, Trouble> {
        let order = self.order(number)?;
        next(&self.db, order.id, Way::Back)
    }

    /// The line that [`Book::put_again`] would put again.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn next_again(&self, number: OrderNo) -> Result<Option<Entry>, Trouble> {
        let order = self.order(number)?;
        next(&self.db, order.id, Way::Again)
    }

    /// The label of what [`Book::take_back`] would take back.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn can_take_back(&self, number: OrderNo) -> Result<Option<String>, Trouble> {
        Ok(self.next_back(number)?.map(|e| e.label))
    }

    /// The label of what [`Book::put_again`] would put again.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn can_put_again(&self, number: OrderNo) -> Result<Option<String>, Trouble> {
        Ok(self.next_again(number)?.map(|e| e.label))
    }

    /// Everything that was ever done to what an order holds, in order.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn journal(&self, number: OrderNo) -> Result<Vec<Entry>, Trouble> {
        let order = self.order(number)?;
        self.all(
            r#"SELECT * FROM journal WHERE "order" = ?1 ORDER BY at"#,
            [order.id],
            entry_of,
        )
    }
}

#[cfg(test)]
mod tests;
