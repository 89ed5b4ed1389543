//! Erasing a client, so that no trace of her is left in the file; and taking the demo away.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags, params};

use crate::backup::{Aside, clear_left, copy, put_aside, throw};
use crate::clients::client;
use crate::row::{all, one};
use crate::whole::{Look, look};
use crate::{Book, ClientNo, Id, Stamp, Trouble, folder, migrate};

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
const SWEEP: &str = "book/sweep";
/// Stands there while somebody who was erased is still to be erased in the backups beside it too.
pub(crate) const BACKUPS: &str = "book/clean backups";

/// Writes down that something is still to be done: at the latest when the book is opened the next time.
pub(crate) fn note(db: &Connection, what: &str) -> Result<(), Trouble> {
    db.execute(
        "INSERT OR REPLACE INTO setting (name, value) VALUES (?1, 'due')",
        [what],
    )?;
    Ok(())
}

/// That it is done. Where this can't be written it is done once more, which does no harm.
fn done(db: &Connection, what: &str) {
    let _ = db.execute("DELETE FROM setting WHERE name = ?1", [what]);
}

/// Whether it is still to be done.
pub(crate) fn is_due(db: &Connection, what: &str) -> Result<bool, Trouble> {
    let sql = "SELECT 1 FROM setting WHERE name = ?1";
    Ok(one(db, sql, [what], |_| Ok(()))?.is_some())
}

/// Rewrites the file, so that nothing is left between its rows, nor in what was not yet taken over.
fn rewrite(db: &Connection) -> Result<(), Trouble> {
    db.execute_batch("VACUUM")?;
    let busy: i64 = db.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))?;
    // Somebody who reads keeps what waits beside the file from being let go.
    if busy == 0 {
        Ok(())
    } else {
        Err(Trouble::Busy(None))
    }
}

/// Rewrites the book's file. The note that this is due goes only when it is done: a program that is killed
/// before does it at its next start.
fn sweep(db: &Connection) -> Result<(), Trouble> {
    rewrite(db).map_err(|why| Trouble::Unswept(Box::new(why)))?;
    done(db, SWEEP);
    Ok(())
}

/// What became of the backups beside a book when everybody who was erased was to be erased in them too.
#[derive(Debug, Default)]
pub struct Cleaned {
    /// In how many somebody was erased just now.
    pub cleaned: u32,
    /// The files beside the book that may still hold her: [`Book::throw_away`].
    pub left: Vec<Left>,
}

/// A file beside the book that could not be cleaned.
#[derive(Debug)]
pub struct Left {
    /// Where it is.
    pub path: PathBuf,
    /// Why.
    pub why: Trouble,
}

impl Left {
    /// Its name in the folder.
    pub fn name(&self) -> &str {
        let name = self.path.file_name().and_then(OsStr::to_str);
        name.unwrap_or_default()
    }

    /// Whether it is worth while to try again: what is damaged stays so.
    pub const fn may_pass(&self) -> bool {
        !matches!(self.why, Trouble::Damaged { .. } | Trouble::Newer { .. })
    }
}

/// What became of an erasing that was meant for the backups too. She is erased in the book.
#[derive(Debug)]
pub struct Erased {
    /// [`Trouble::Unswept`], if traces may be left in the book's file until the next start.
    pub unswept: Option<Trouble>,
    /// What became of the backups.
    pub backups: Cleaned,
}

/// Erases in a backup who was erased in the book, and answers whether anybody was in it. A backup of an
/// older edition with nobody to erase is left as that edition; else it becomes one of ours.
///
/// # Errors
/// When it is damaged or newer, or can't be written; it is then as before.
fn clean(place: &Path, backup: &Path, gone: &[(Id, Stamp)]) -> Result<bool, Trouble> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let there = Connection::open_with_flags(backup, flags)?;
    let edition = migrate::edition_of(&there)?;
    if edition == 0 {
        return Err(Trouble::Damaged { backup: None });
    }
    // What is damaged may hold her where no question finds her.
    look(&there, Look::Close)?;
    let mut is_in_it = false;
    for (id, _) in gone {
        is_in_it |= one(&there, "SELECT 1 FROM client WHERE id = ?1", [id], |_| {
            Ok(())
        })?
        .is_some();
    }
    drop(there);
    if !is_in_it {
        return Ok(false);
    }
    let aside = Aside::new(Some(place))?;
    fs::copy(backup, &aside.path)?;
    folder::close(&aside.path, 0o600)?;
    let mut db = Connection::open(&aside.path)?;
    db.pragma_update(None, "trusted_schema", false)?;
    db.pragma_update(None, "secure_delete", true)?;
    db.pragma_update(None, "foreign_keys", true)?;
    db.pragma_update(None, "temp_store", "MEMORY")?;
    migrate::migrate(&mut db, edition)?;
    remember(&db, gone)?;
    erase_again(&mut db)?;
    rewrite(&db)?;
    copy(&db, backup)?;
    Ok(true)
}

impl Book {
    /// Erases a client for good, with her cards, orders, papers and pictures. Only her id is kept, so that
    /// a backup from before, when it is restored, erases her again; the demo's clients leave not even that.
    /// Prints and backups made before still hold her: see [`Book::erase_client_everywhere`]. What is
    /// written about her among other clients' remarks is not found.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client. [`Trouble::Unswept`] if she is erased, but the file
    /// could not be rewritten: that is done when the book is opened the next time.
    pub fn erase_client(&mut self, number: ClientNo) -> Result<(), Trouble> {
        self.erase_rows(number, false)?;
        sweep(&self.db)
    }

    /// Erases a client for good, as [`Book::erase_client`], and also in the backups of the book's own
    /// folder, each by itself: one that can't be cleaned keeps none of the others from it. What stumbles,
    /// and what was still to be done when the program was killed, is tried again when the book is opened
    /// the next time.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client; [`Trouble::Damaged`] if the book can't be read any
    /// more once she is erased in it.
    pub fn erase_client_everywhere(&mut self, number: ClientNo) -> Result<Erased, Trouble> {
        self.erase_rows(number, true)?;
        let unswept = sweep(&self.db).err();
        let backups = self.clean_backups()?;
        Ok(Erased { unswept, backups })
    }

    fn erase_rows(&mut self, number: ClientNo, backups: bool) -> Result<(), Trouble> {
        self.write(|db, now| {
            let who = client(db, number)?;
            erase(db, &[who.id])?;
            if !who.demo {
                remember(db, &[(who.id, now)])?;
            }
            if backups {
                note(db, BACKUPS)?;
            }
            note(db, SWEEP)
        })
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
            note(db, SWEEP)
        })?;
        // Traces of people who were invented harm nobody: where the file can't be rewritten now, the next
        // start does it, and whoever asked goes on as if it were done.
        let _ = sweep(&self.db);
        Ok(())
    }

    /// Does what an erasing left to be done: the disk was too full for it, or the program was killed.
    pub(crate) fn finish_erasing(&self) -> Result<(), Trouble> {
        // Not a reason to stay closed: it is tried again next time.
        if is_due(&self.db, SWEEP)? {
            let _ = sweep(&self.db);
        }
        if is_due(&self.db, BACKUPS)? {
            let _ = self.clean_backups();
        }
        Ok(())
    }

    /// Erases, in the backups of the book's own folder, everybody who was erased from the book. A file that
    /// lies there only for a while goes with them: an upload that waits, for example. One that can't be
    /// cleaned is as before and is told; so is a damaged file that was put aside, which nobody can clean.
    ///
    /// # Errors
    /// When the book can't be read; [`Trouble::ReadOnly`] if it is open only to be read.
    pub fn clean_backups(&self) -> Result<Cleaned, Trouble> {
        if self.to_read {
            return Err(Trouble::ReadOnly);
        }
        let mut told = Cleaned::default();
        let gone = erased(&self.db)?;
        let Some(place) = self.folder().filter(|_| !gone.is_empty()) else {
            done(&self.db, BACKUPS);
            return Ok(told);
        };
        clear_left(place);
        for backup in self.backups() {
            let path = backup.path;
            match clean(place, &path, &gone) {
                Ok(true) => told.cleaned += 1,
                Ok(false) => {}
                Err(why) => told.left.push(Left { path, why }),
            }
        }
        let aside = put_aside(place).into_iter();
        told.left.extend(aside.map(|path| Left {
            path,
            why: Trouble::Damaged { backup: None },
        }));
        self.settle_backups(&told);
        Ok(told)
    }

    /// Cleans the backups once more, and throws the file of this name away if it is still one of those
    /// that may hold somebody who was erased: any other file stays. Answers what is left.
    ///
    /// # Errors
    /// As [`Book::clean_backups`], or when the file can't be removed.
    pub fn throw_away(&self, name: &str) -> Result<Cleaned, Trouble> {
        let mut told = self.clean_backups()?;
        if let Some(at) = told.left.iter().position(|left| left.name() == name) {
            throw(&told.left[at].path)?;
            told.left.remove(at);
            self.settle_backups(&told);
        }
        Ok(told)
    }

    /// Nothing is due any more when nothing is left that could be cleaned another time.
    fn settle_backups(&self, told: &Cleaned) {
        if !told.left.iter().any(Left::may_pass) {
            done(&self.db, BACKUPS);
        }
    }
}

#[cfg(test)]
mod tests;
