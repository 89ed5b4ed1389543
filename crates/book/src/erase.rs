//! Erasing a client, so that no trace of her is left in the file; and taking the demo away.

use std::fs;

use rusqlite::{Connection, params};

use crate::backup::copy;
use crate::clients::client;
use crate::row::all;
use crate::{Book, ClientNo, Id, Stamp, Trouble, migrate};

/// What goes with a client, those first that point to others. `?1` is her id.
const HERS: &[&str] = &[
    "DELETE FROM pin WHERE fitting IN (SELECT id FROM fitting WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1))",
    "DELETE FROM fitting WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM paper WHERE version IN (SELECT id FROM version WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1))",
    "DELETE FROM version WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM holds WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM journal WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM day WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM picture WHERE client = ?1 OR \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM lay WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM quote WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM payment WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM actual WHERE \"order\" IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "DELETE FROM next_number WHERE substr(kind, instr(kind, '/') + 1) IN (SELECT id FROM \"order\" WHERE client = ?1)",
    "UPDATE \"order\" SET after = NULL WHERE after IN (SELECT id FROM \"order\" WHERE client = ?1)",
    // A party of hers alone: its name may be hers.
    "INSERT OR IGNORE INTO erasing SELECT party FROM \"order\" WHERE client = ?1 AND party IS NOT NULL",
    "DELETE FROM \"order\" WHERE client = ?1",
    "DELETE FROM party WHERE id IN (SELECT client FROM erasing) AND id NOT IN (SELECT party FROM \"order\" WHERE party IS NOT NULL)",
    // An order of somebody else that was worked from a card of hers: an older program let it stay so.
    "UPDATE holds SET value = NULL WHERE key = 'card' AND value IN (SELECT id FROM card WHERE client = ?1)",
    "DELETE FROM answer WHERE card IN (SELECT id FROM card WHERE client = ?1)",
    "DELETE FROM reading WHERE card IN (SELECT id FROM card WHERE client = ?1)",
    "DELETE FROM card WHERE client = ?1",
    "DELETE FROM next_number WHERE kind = 'card/' || ?1",
    "DELETE FROM client_change WHERE client = ?1",
    "DELETE FROM client WHERE id = ?1",
];

/// Erases clients by their ids, inside a transaction.
fn erase(db: &Connection, ids: &[Id]) -> Result<(), Trouble> {
    for id in ids {
        db.execute("INSERT INTO erasing (client) VALUES (?1)", [id])?;
        for sql in HERS {
            let mut asked = db.prepare(sql)?;
            if asked.parameter_count() == 0 {
                asked.execute([])?;
            } else {
                asked.execute([id])?;
            }
        }
        db.execute("DELETE FROM erasing", [])?;
    }
    Ok(())
}

/// Erases everybody who was erased before and stands in the file all the same, since it is older.
pub(crate) fn erase_again(db: &mut Connection) -> Result<u32, Trouble> {
    let all_or_none = db.transaction()?;
    let ids: Vec<Id> = all(
        &all_or_none,
        "SELECT id FROM client WHERE id IN (SELECT client FROM erased)",
        [],
        &mut |row| row.get(0),
    )?;
    erase(&all_or_none, &ids)?;
    all_or_none.commit()?;
    Ok(u32::try_from(ids.len()).unwrap_or(u32::MAX))
}

/// Who was erased, and when.
pub(crate) fn erased(db: &Connection) -> Result<Vec<(Id, Stamp)>, Trouble> {
    all(db, "SELECT client, made FROM erased", [], &mut |row| {
        Ok((row.get(0)?, row.get(1)?))
    })
}

/// Writes down who was erased, beside those who are written down already.
pub(crate) fn remember(db: &Connection, erased: &[(Id, Stamp)]) -> Result<(), Trouble> {
    for (id, made) in erased {
        db.execute(
            "INSERT OR IGNORE INTO erased (client, made) VALUES (?1, ?2)",
            params![id, made],
        )?;
    }
    Ok(())
}

/// Stands among the settings while the file is still to be rewritten after somebody was erased.
const DUE: &str = "book/sweep";

fn note_sweep(db: &Connection) -> Result<(), Trouble> {
    db.execute(
        "INSERT OR REPLACE INTO setting (name, value) VALUES (?1, 'due')",
        [DUE],
    )?;
    Ok(())
}

/// Rewrites the file, so that nothing is left between its rows, nor in what was not yet taken over.
fn sweep(db: &Connection) -> Result<(), Trouble> {
    db.execute("DELETE FROM setting WHERE name = ?1", [DUE])?;
    let swept = db
        .execute_batch("VACUUM")
        .map_err(Trouble::from)
        .and_then(|()| {
            db.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
            Ok(())
        });
    swept.map_err(|trouble| {
        // Next time, when the book is opened.
        let _ = note_sweep(db);
        match trouble {
            Trouble::Full => Trouble::Other(
                "She is erased, but the disk is too full to rewrite the file, so traces may be left \
                 in it. Make room and start the workroom again: it is then done."
                    .to_owned(),
            ),
            other => other,
        }
    })
}

impl Book {
    /// Erases a client for good, with her cards, orders, papers and pictures. Only her id is kept, so that
    /// a backup from before, when it is restored, erases her again; the demo's clients leave not even that.
    /// Prints and backups made before still hold her: see [`Book::clean_backups`] for those in the book's
    /// own folder. What is written about her among other clients' remarks is not found.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client.
    pub fn erase_client(&mut self, number: ClientNo) -> Result<(), Trouble> {
        self.write(|db, now| {
            let who = client(db, number)?;
            erase(db, &[who.id])?;
            if !who.demo {
                remember(db, &[(who.id, now)])?;
            }
            note_sweep(db)
        })?;
        sweep(&self.db)
    }

    /// Takes everything of the demo away: its clients, their orders, its prices. Hers is not touched.
    ///
    /// # Errors
    /// When it can't be written; nothing is taken away then.
    pub fn remove_demo(&mut self) -> Result<(), Trouble> {
        self.write(|db, _| {
            let ids: Vec<Id> = all(db, "SELECT id FROM client WHERE demo = 1", [], &mut |row| {
                row.get(0)
            })?;
            erase(db, &ids)?;
            db.execute("INSERT INTO erasing (client) VALUES ('demo')", [])?;
            db.execute("DELETE FROM price WHERE demo = 1", [])?;
            db.execute("DELETE FROM erasing", [])?;
            note_sweep(db)
        })?;
        sweep(&self.db)
    }

    /// Rewrites the file if somebody was erased and the disk was too full for it then.
    pub(crate) fn sweep_if_due(&self) -> Result<(), Trouble> {
        match self.setting(DUE)? {
            // Not a reason to stay closed: it is tried again next time.
            Some(_) => sweep(&self.db).or(Ok(())),
            None => Ok(()),
        }
    }

    /// Erases, in the backups of the book's own folder, everybody who was erased from the book. A backup
    /// of an older edition, or one that is damaged, is left as it is. Answers how many were cleaned.
    ///
    /// # Errors
    /// [`Trouble::Full`] or [`Trouble::ReadOnly`]; each backup is either as before or clean.
    pub fn clean_backups(&self) -> Result<u32, Trouble> {
        let gone = erased(&self.db)?;
        let mut cleaned = 0;
        for backup in self.backups() {
            let aside = crate::backup::Aside::new(self.folder())?;
            fs::copy(&backup.path, &aside.path)?;
            let mut db = Connection::open(&aside.path)?;
            if !matches!(migrate::edition_of(&db), Ok(e) if e == migrate::edition()) {
                continue;
            }
            db.pragma_update(None, "secure_delete", true)?;
            db.pragma_update(None, "foreign_keys", true)?;
            db.pragma_update(None, "temp_store", "MEMORY")?;
            remember(&db, &gone)?;
            if erase_again(&mut db)? > 0 {
                sweep(&db)?;
                copy(&db, &backup.path)?;
                cleaned += 1;
            }
        }
        Ok(cleaned)
    }
}

#[cfg(test)]
mod tests;
