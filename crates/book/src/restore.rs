//! Restoring a backup: looked through first, beside; then taken over all at once.

use std::fs;
use std::io;
use std::path::Path;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, params};

use crate::backup::{Aside, BackupKind, all_pages, last_good};
use crate::lock::Lock;
use crate::row::all;
use crate::whole::{Look, built_as_ours, look, readable};
use crate::{Backup, Book, Id, Stamp, Trouble, erase, folder, migrate};

/// What a backup holds, or what was restored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restored {
    /// Clients in it, without the demo.
    pub clients: u32,
    /// Orders in it, without the demo.
    pub orders: u32,
    /// When something was last entered in it.
    pub newest: Option<Stamp>,
    /// How many of its clients are not taken over, since they were erased on this computer.
    pub erased: u32,
    /// The backup that was made of the book as it was before.
    pub before: Option<Backup>,
}

/// What of a book stays whatever is put in its place.
#[derive(Default)]
struct Stays {
    /// Who was erased, and when.
    gone: Vec<(Id, Stamp)>,
    /// Which phones were forgotten, and when.
    forgotten: Vec<(Id, Stamp)>,
    /// The backups are still to be cleaned of somebody.
    backups_due: bool,
}

fn forgotten(db: &Connection) -> Result<Vec<(Id, Stamp)>, Trouble> {
    let sql = "SELECT id, forgotten FROM device WHERE forgotten IS NOT NULL";
    all(db, sql, [], &mut |row| Ok((row.get(0)?, row.get(1)?)))
}

impl Stays {
    fn of(db: &Connection) -> Result<Self, Trouble> {
        Ok(Self {
            gone: erase::erased(db)?,
            forgotten: forgotten(db)?,
            backups_due: erase::is_due(db, erase::BACKUPS)?,
        })
    }

    /// The same of a damaged file, as far as it can still be read. It is not written to, and what waits
    /// beside it is not taken over into it.
    fn of_damaged(file: &Path) -> Self {
        if folder::is_empty(file) {
            return Self::default();
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let Ok(db) = Connection::open_with_flags(file, flags) else {
            return Self::default();
        };
        let _ = db.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true);
        Self {
            gone: erase::erased(&db).unwrap_or_default(),
            forgotten: forgotten(&db).unwrap_or_default(),
            backups_due: erase::is_due(&db, erase::BACKUPS).unwrap_or_default(),
        }
    }

    /// Writes into what is restored what erasing does not see to: a phone that was forgotten is not paired
    /// again, and what is due stays due.
    fn write(&self, db: &Connection) -> Result<(), Trouble> {
        for (id, when) in &self.forgotten {
            db.execute(
                "UPDATE device SET forgotten = ?2 WHERE id = ?1 AND forgotten IS NULL",
                params![id, when],
            )?;
        }
        if self.backups_due {
            erase::note(db, erase::BACKUPS)?;
        }
        Ok(())
    }
}

/// Opens a copy of a file from elsewhere, looks it through, brings it to our edition, and erases in it who
/// was erased here.
fn prepare(
    file: &Path,
    aside: &Aside,
    gone: &[(Id, Stamp)],
    page: i64,
) -> Result<(Connection, Restored), Trouble> {
    fs::copy(file, &aside.path).map_err(|error| match error.kind() {
        io::ErrorKind::NotFound => Trouble::Missing("backup of this name".to_owned()),
        _ => error.into(),
    })?;
    folder::close(&aside.path, 0o600)?;
    let mut db = Connection::open(&aside.path)?;
    db.pragma_update(None, "trusted_schema", false)?;
    db.pragma_update(None, "cell_size_check", true)?;
    db.pragma_update(None, "foreign_keys", true)?;
    db.pragma_update(None, "recursive_triggers", true)?;
    db.pragma_update(None, "secure_delete", true)?;
    db.pragma_update(None, "temp_store", "MEMORY")?;
    let edition = migrate::edition_of(&db)?;
    if edition == 0 {
        let why = "This file is not a backup of Ellwand.";
        return Err(Trouble::Other(why.to_owned()));
    }
    look(&db, Look::Close)?;
    built_as_ours(&db, edition)?;
    // Pages of the same size as the book's, or they could not be taken over.
    db.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(()))?;
    migrate::migrate(&mut db, edition)?;
    readable(&db)?;
    erase::remember(&db, gone)?;
    let erased = erase::erase_again(&mut db)?;
    db.pragma_update(None, "page_size", page)?;
    db.execute_batch("VACUUM")?;
    let told = db.query_row(
        r#"SELECT (SELECT count(*) FROM client WHERE demo = 0) AS clients,
                  (SELECT count(*) FROM "order" WHERE demo = 0) AS orders,
                  (SELECT max(made) FROM (SELECT max(changed) AS made FROM client
                                          UNION ALL SELECT max(made) FROM reading
                                          UNION ALL SELECT max(made) FROM "order"
                                          UNION ALL SELECT max(made) FROM journal)) AS newest"#,
        [],
        |row| {
            Ok(Restored {
                clients: row.get("clients")?,
                orders: row.get("orders")?,
                newest: row.get("newest")?,
                erased,
                before: None,
            })
        },
    )?;
    Ok((db, told))
}

/// A file that is no database, or not a whole one, said about a backup and not about the book.
fn about_the_backup(trouble: Trouble) -> Trouble {
    match trouble {
        Trouble::Damaged { .. } => Trouble::Other(
            "This file is not a whole backup of Ellwand. Nothing was changed; choose another one."
                .to_owned(),
        ),
        other => other,
    }
}

impl Book {
    /// Looks into a backup before it is restored.
    ///
    /// # Errors
    /// [`Trouble::Newer`], or [`Trouble::Other`] with why it can't be restored.
    pub fn look_into(&self, file: &Path) -> Result<Restored, Trouble> {
        let aside = Aside::new(self.folder())?;
        let gone = erase::erased(&self.db)?;
        let prepared = prepare(file, &aside, &gone, self.page_size()?);
        prepared.map(|(_, told)| told).map_err(about_the_backup)
    }

    /// Puts a backup in place of everything that is in the book, row by row the same. Two things of today
    /// stay: who was erased is erased in it too, and a phone that was forgotten is not paired again. A
    /// backup of the book as it is now is made first.
    ///
    /// # Errors
    /// [`Trouble::Newer`], or [`Trouble::Other`] with why it can't be restored; the book is then as before.
    pub fn restore(&mut self, file: &Path) -> Result<Restored, Trouble> {
        if self.to_read {
            return Err(Trouble::ReadOnly);
        }
        let aside = Aside::new(self.folder())?;
        let stays = Stays::of(&self.db)?;
        let page = self.page_size()?;
        let (from, told) = prepare(file, &aside, &stays.gone, page).map_err(about_the_backup)?;
        stays.write(&from)?;
        let before = match self.folder() {
            Some(_) => Some(self.back_up_as(BackupKind::BeforeRestore)?),
            None => None,
        };
        // All pages in one change: either the book as it was, or the backup.
        all_pages(&from, &mut self.db)?;
        self.db.flush_prepared_statement_cache();
        look(&self.db, Look::Quick)?;
        self.db
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
        Ok(Restored { before, ..told })
    }

    /// Puts a backup, given as bytes, in place of everything: [`Book::restore`].
    ///
    /// # Errors
    /// As [`Book::restore`].
    pub fn restore_bytes(&mut self, bytes: &[u8]) -> Result<Restored, Trouble> {
        let aside = Aside::new(self.folder())?;
        fs::write(&aside.path, bytes)?;
        self.restore(&aside.path)
    }

    /// Opens a folder whose book is damaged, with a backup in its place. The damaged file is not thrown
    /// away: it is put aside in the folder, under the name `damaged-<when>.db`. As far as it can still be
    /// read, the same stays as with [`Book::restore`]: who was erased, and which phones were forgotten.
    ///
    /// # Errors
    /// As [`Book::open`] and [`Book::restore`]; the damaged file is then as before.
    pub fn restore_over(
        place: &Path,
        clock: fn() -> Stamp,
        file: &Path,
    ) -> Result<(Self, Restored), Trouble> {
        folder::make(place)?;
        let lock = Lock::take(place)?;
        let book = place.join(folder::FILE);
        let stays = Stays::of_damaged(&book);
        let aside = Aside::new(Some(place))?;
        let (db, told) = prepare(file, &aside, &stays.gone, 4096).map_err(about_the_backup)?;
        stays.write(&db)?;
        let whole = Aside::new(Some(place))?;
        crate::backup::copy(&db, &whole.path)?;
        drop(db);
        let when = clock().to_string().replace(':', "-");
        for ending in ["", "-wal", "-shm"] {
            let from = place.join(format!("{}{ending}", folder::FILE));
            if from.exists() {
                fs::rename(
                    from,
                    place.join(format!("{}{when}.db{ending}", folder::DAMAGED)),
                )?;
            }
        }
        fs::rename(&whole.path, &book)?;
        folder::settle(place)?;
        drop(lock);
        Ok((Self::open(place, clock)?, told))
    }

    /// The newest backup in a folder that is whole.
    pub fn last_good_backup(place: &Path) -> Option<std::path::PathBuf> {
        last_good(place)
    }

    fn page_size(&self) -> Result<i64, Trouble> {
        Ok(self
            .db
            .pragma_query_value(None, "page_size", |row| row.get(0))?)
    }
}

#[cfg(test)]
mod tests;
