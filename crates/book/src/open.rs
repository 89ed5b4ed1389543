//! Opening the book: its folder, its lock, its file and how SQLite is to keep it.

use core::fmt;
use std::path::{Path, PathBuf};
use std::time::Duration;

use measure::Date;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};

use crate::backup::{BackupKind, clear_left, last_good, list, put_aside};
use crate::lock::Lock;
use crate::whole::{Look, look};
use crate::{Stamp, Trouble, folder, migrate};

/// Everything that the workroom keeps, open.
///
/// One thread at a time uses it: the workroom keeps it behind a mutex. A panic of the one who holds it
/// leaves nothing half done, since a change that was not finished is taken back.
pub struct Book {
    pub(crate) db: Connection,
    pub(crate) clock: fn() -> Stamp,
    pub(crate) folder: Option<PathBuf>,
    pub(crate) lock: Option<Lock>,
    pub(crate) to_read: bool,
}

impl fmt::Debug for Book {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Book")
            .field("folder", &self.folder)
            .finish_non_exhaustive()
    }
}

impl Book {
    /// Opens the book of a folder, which is made where it is not there. `clock` says what time it is
    /// whenever something is written ([`Stamp::now`], save in tests).
    ///
    /// # Errors
    /// [`Trouble::Busy`] if another copy has it open, [`Trouble::Newer`] if a newer program wrote it,
    /// [`Trouble::Damaged`] with the last good backup, [`Trouble::ReadOnly`], [`Trouble::Full`],
    /// [`Trouble::NoFolder`]. The file is not touched then.
    pub fn open(folder: &Path, clock: fn() -> Stamp) -> Result<Self, Trouble> {
        Self::open_by(folder, clock, migrate::STEPS)
    }

    /// As [`Book::open`], by other steps than ours: what an edition to come would do.
    pub(crate) fn open_by(
        folder: &Path,
        clock: fn() -> Stamp,
        steps: &[&str],
    ) -> Result<Self, Trouble> {
        folder::make(folder)?;
        let lock = Lock::take(folder)?;
        clear_left(folder);
        let file = folder.join(folder::FILE);
        if folder::is_empty(&file) && was_a_book(folder) {
            // A new one in its place would look as if all were lost, and what waits beside the file, which
            // is never taken over into an empty one, would be gone.
            return Err(Trouble::Damaged {
                backup: last_good(folder),
            });
        }
        // SQLite gives `-wal` and `-shm` the rights of the file itself.
        drop(folder::open(&file, false)?);
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let db = Connection::open_with_flags(&file, flags)?;
        match Self::set_up(db, clock, Some((folder, lock)), steps) {
            Err(Trouble::Damaged { .. }) => Err(Trouble::Damaged {
                backup: last_good(folder),
            }),
            opened => opened,
        }
    }

    /// A book that is gone when it is dropped, for tests.
    ///
    /// # Errors
    /// When SQLite can't be used at all.
    pub fn in_memory(clock: fn() -> Stamp) -> Result<Self, Trouble> {
        Self::set_up(Connection::open_in_memory()?, clock, None, migrate::STEPS)
    }

    /// Opens a book only to be looked at: a damaged one, one in a folder that can't be written to, or one
    /// that another copy has open; what that one writes meanwhile is seen from the next call on.
    /// Nothing is checked or changed, every change is refused, and what is damaged is answered as
    /// [`Trouble::Damaged`] where it is met.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none, [`Trouble::Damaged`] if not even its
    /// beginning can be read, [`Trouble::Newer`].
    pub fn open_to_read(place: &Path, clock: fn() -> Stamp) -> Result<Self, Trouble> {
        let file = place.join(folder::FILE);
        if !file.is_file() {
            return Err(Trouble::Missing(format!("book in {}", place.display())));
        }
        if folder::is_empty(&file) && was_a_book(place) {
            // Opened, even if only to be read, what waits beside it would be gone.
            return Err(Trouble::Damaged {
                backup: last_good(place),
            });
        }
        let lock = match Lock::take(place) {
            Ok(lock) => Some(lock),
            // Where nothing can be written, no other copy writes either; beside one that does, SQLite keeps
            // readers and the writer apart.
            Err(Trouble::ReadOnly | Trouble::Busy(_)) => None,
            Err(trouble) => return Err(trouble),
        };
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
            | OpenFlags::SQLITE_OPEN_NO_MUTEX
            | OpenFlags::SQLITE_OPEN_URI;
        let opened = Connection::open_with_flags(&file, flags)
            .map_err(Trouble::from)
            .and_then(|db| {
                migrate::edition_of(&db)?;
                Ok(db)
            });
        let db = match opened {
            Err(Trouble::ReadOnly) if no_more_to_take_over(place) => {
                // SQLite can't put its own files beside it, and doesn't need to: nobody writes.
                let mut name = String::from("file:");
                for byte in file.as_os_str().as_encoded_bytes() {
                    name.push_str(&format!("%{byte:02x}"));
                }
                let db = Connection::open_with_flags(format!("{name}?immutable=1"), flags)?;
                migrate::edition_of(&db)?;
                db
            }
            opened => opened?,
        };
        db.busy_timeout(Duration::from_secs(5))?;
        db.pragma_update(None, "trusted_schema", false)?;
        db.pragma_update(None, "cell_size_check", true)?;
        Ok(Self {
            db,
            clock,
            folder: Some(place.to_owned()),
            lock,
            to_read: true,
        })
    }

    fn set_up(
        db: Connection,
        clock: fn() -> Stamp,
        place: Option<(&Path, Lock)>,
        steps: &[&str],
    ) -> Result<Self, Trouble> {
        db.busy_timeout(Duration::from_secs(5))?;
        // Until it is known to be whole and ours, not even closing it changes it.
        db.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
        let newest = u32::try_from(steps.len()).unwrap_or(u32::MAX);
        let edition = migrate::edition_up_to(&db, newest)?;
        keep_safe(&db)?;
        let old = (1..newest).contains(&edition);
        let (folder, lock) = place.map(|(f, l)| (f.to_owned(), l)).unzip();
        if folder.is_some() && edition > 0 {
            look(&db, if old { Look::Close } else { Look::Quick })?;
        }
        db.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false)?;
        // The answer of this one is the mode that it is in; a book in memory stays in memory.
        db.query_row("PRAGMA journal_mode = WAL", [], |_| Ok(()))?;
        let mut book = Self {
            db,
            clock,
            folder,
            lock,
            to_read: false,
        };
        if old && book.folder.is_some() {
            book.back_up_as(BackupKind::BeforeStep)?;
        }
        migrate::walk(&mut book.db, edition, steps)?;
        if book.folder.is_some() {
            book.look_closely_if_due()?;
            book.finish_erasing()?;
        }
        Ok(book)
    }

    /// Once a week everything is checked closely. A clock that was put back counts as a week.
    fn look_closely_if_due(&mut self) -> Result<(), Trouble> {
        let today = self.now().day();
        let last = self.setting(CHECKED)?.and_then(|day| Date::read(&day));
        let since = last.map(|last| today.day_number() - last.day_number());
        if since.is_some_and(|days| (0..7).contains(&days)) {
            return Ok(());
        }
        look(&self.db, Look::Close)?;
        match self.set(CHECKED, &today.to_string()) {
            // It is checked again next time.
            Err(Trouble::Full) => Ok(()),
            other => other,
        }
    }

    /// The folder it lies in; `None` for one in memory.
    pub fn folder(&self) -> Option<&Path> {
        self.folder.as_deref()
    }

    /// Whether it is open only to be read: every change is refused with [`Trouble::ReadOnly`].
    pub const fn only_to_read(&self) -> bool {
        self.to_read
    }

    /// The clock's time, as it would be written now.
    pub fn now(&self) -> Stamp {
        (self.clock)()
    }
}

/// The day of the last close check.
const CHECKED: &str = "book/checked";

/// Whether there was a book in a folder where none is: its backups are there, what waited beside it, or a
/// damaged one that was put aside.
fn was_a_book(place: &Path) -> bool {
    !(list(place).is_empty() && no_more_to_take_over(place) && put_aside(place).is_empty())
}

/// Whether nothing waits beside the file to be taken over into it.
fn no_more_to_take_over(place: &Path) -> bool {
    let wal = place.join(format!("{}-wal", folder::FILE));
    folder::is_empty(&wal)
}

/// What SQLite is to do on every connection.
fn keep_safe(db: &Connection) -> Result<(), Trouble> {
    db.pragma_update(None, "trusted_schema", false)?;
    db.pragma_update(None, "cell_size_check", true)?;
    db.pragma_update(None, "foreign_keys", true)?;
    // So that a row of the history can't be replaced either.
    db.pragma_update(None, "recursive_triggers", true)?;
    // What is erased is written over, not only let go.
    db.pragma_update(None, "secure_delete", true)?;
    // Nothing of hers in the system's temporary files.
    db.pragma_update(None, "temp_store", "MEMORY")?;
    // In WAL, NORMAL may lose the last changes when the power goes.
    db.pragma_update(None, "synchronous", "FULL")?;
    Ok(())
}

#[cfg(test)]
mod tests;
