//! Opening the book: its folder, its lock, its file and how SQLite is to keep it.

use core::fmt;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

use crate::lock::Lock;
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
        folder::make(folder)?;
        let lock = Lock::take(folder)?;
        let file = folder.join(folder::FILE);
        // SQLite gives `-wal` and `-shm` the rights of the file itself.
        drop(folder::open(&file, false)?);
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let db = Connection::open_with_flags(&file, flags)?;
        Self::set_up(db, clock, Some((folder, lock)))
    }

    /// A book that is gone when it is dropped, for tests.
    ///
    /// # Errors
    /// When SQLite can't be used at all.
    pub fn in_memory(clock: fn() -> Stamp) -> Result<Self, Trouble> {
        Self::set_up(Connection::open_in_memory()?, clock, None)
    }

    fn set_up(
        mut db: Connection,
        clock: fn() -> Stamp,
        place: Option<(&Path, Lock)>,
    ) -> Result<Self, Trouble> {
        db.busy_timeout(Duration::from_secs(5))?;
        let edition = migrate::edition_of(&db)?;
        keep_safe(&db)?;
        migrate::migrate(&mut db, edition)?;
        let (folder, lock) = place.map(|(f, l)| (f.to_owned(), l)).unzip();
        Ok(Self {
            db,
            clock,
            folder,
            lock,
            to_read: false,
        })
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

/// What SQLite is to do on every connection.
fn keep_safe(db: &Connection) -> Result<(), Trouble> {
    db.pragma_update(None, "trusted_schema", false)?;
    db.pragma_update(None, "cell_size_check", true)?;
    db.pragma_update(None, "foreign_keys", true)?;
    // So that a row of the history can't be replaced either.
    db.pragma_update(None, "recursive_triggers", true)?;
    // What is erased is written over, not only let go.
    db.pragma_update(None, "secure_delete", true)?;
    // The answer of this one is the mode that it is in; a book in memory stays in memory.
    db.query_row("PRAGMA journal_mode = WAL", [], |_| Ok(()))?;
    // In WAL, NORMAL may lose the last changes when the power goes.
    db.pragma_update(None, "synchronous", "FULL")?;
    Ok(())
}

#[cfg(test)]
mod tests;
