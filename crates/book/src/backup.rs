//! Backups: whole copies of the file, made by SQLite, looked through, and only then given their name.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::path::{Path, PathBuf};

use measure::Date;
use rusqlite::backup::StepResult;
use rusqlite::{Connection, OpenFlags};

use crate::whole::{Look, look};
use crate::{Book, Id, Stamp, Trouble, folder};

/// Why a backup was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BackupKind {
    /// As every day; kept for the last 7 days and the last 4 weeks with a backup.
    Daily,
    /// Before a step to a newer edition; kept for ever.
    BeforeStep,
    /// Before another backup was restored over it; kept for ever.
    BeforeRestore,
}

impl BackupKind {
    const ALL: [(Self, &'static str); 3] = [
        (Self::Daily, "book-"),
        (Self::BeforeStep, "before-step-"),
        (Self::BeforeRestore, "before-restore-"),
    ];

    const fn prefix(self) -> &'static str {
        match self {
            Self::Daily => "book-",
            Self::BeforeStep => "before-step-",
            Self::BeforeRestore => "before-restore-",
        }
    }
}

/// A backup in the book's folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Backup {
    /// Where it is.
    pub path: PathBuf,
    /// Why it was made.
    pub kind: BackupKind,
    /// When.
    pub made: Stamp,
    /// How long it is, in bytes.
    pub length: u64,
}

/// Days and weeks of which a backup is kept.
const DAYS: usize = 7;
const WEEKS: usize = 4;

/// A backup's name bears a count besides the time: the clock may be wrong, the count is not.
fn name_of(kind: BackupKind, count: u32, made: Stamp) -> String {
    // No colons: some systems don't take them in a name.
    let made = made.to_string().replace(':', "-");
    format!("{}{count:05}-{made}.db", kind.prefix())
}

fn read_name(name: &str) -> Option<(BackupKind, u32, Stamp)> {
    let rest = name.strip_suffix(".db")?;
    BackupKind::ALL.iter().find_map(|(kind, prefix)| {
        let (count, made) = rest.strip_prefix(prefix)?.split_once('-')?;
        let (day, time) = made.split_once('T')?;
        let made = Stamp::read(&format!("{day}T{}", time.replace('-', ":")))?;
        Some((*kind, count.parse().ok()?, made))
    })
}

/// The backups in a folder with their counts, the newest first.
fn counted(place: &Path) -> Vec<(u32, Backup)> {
    let Ok(entries) = fs::read_dir(place.join(folder::BACKUPS)) else {
        return Vec::new();
    };
    let mut all: Vec<_> = entries
        .flatten()
        .filter_map(|entry| {
            let (kind, count, made) = read_name(entry.file_name().to_str()?)?;
            let length = entry.metadata().ok()?.len();
            Some((
                count,
                Backup {
                    path: entry.path(),
                    kind,
                    made,
                    length,
                },
            ))
        })
        .collect();
    all.sort_by(|(a, one), (b, other)| (b, &other.path).cmp(&(a, &one.path)));
    all
}

/// The backups in a folder, the newest first.
pub(crate) fn list(place: &Path) -> Vec<Backup> {
    counted(place)
        .into_iter()
        .map(|(_, backup)| backup)
        .collect()
}

/// The newest backup in a folder that is whole.
pub(crate) fn last_good(place: &Path) -> Option<PathBuf> {
    list(place).into_iter().map(|b| b.path).find(|path| {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        Connection::open_with_flags(path, flags)
            .map_err(Trouble::from)
            .and_then(|db| look(&db, Look::Close))
            .is_ok()
    })
}

/// Which of the daily ones are let go: all but the newest of each of the last days and weeks that have
/// one. Days are counted by the backups there are, never by today: a clock that jumps takes none away.
fn too_many(daily: &[Backup]) -> Vec<&Backup> {
    let mut days = BTreeSet::new();
    let mut weeks = BTreeSet::new();
    let mut go = Vec::new();
    for backup in daily {
        let day = backup.made.day();
        let week = week_of(day);
        let new_day = days.len() < DAYS && days.insert(day);
        let new_week = weeks.len() < WEEKS && weeks.insert(week);
        if !new_day && !new_week {
            go.push(backup);
        }
    }
    go
}

/// Weeks from Monday to Sunday, counted.
fn week_of(day: Date) -> i32 {
    // 2024-01-01 was a Monday (ISO 8601); any Monday does.
    let monday = Date::new(2024, 1, 1).map_or(0, Date::day_number);
    (day.day_number() - monday).div_euclid(7)
}

/// Takes all pages of one database over into another, all at once.
pub(crate) fn all_pages(from: &Connection, to: &mut Connection) -> Result<(), Trouble> {
    match rusqlite::backup::Backup::new(from, to)?.step(-1)? {
        StepResult::Done => Ok(()),
        _ => Err(Trouble::Busy(None)),
    }
}

/// Writes a whole copy of a database, looks it through, and only then gives it its name.
pub(crate) fn copy(db: &Connection, to: &Path) -> Result<(), Trouble> {
    let mut beside = to.as_os_str().to_owned();
    beside.push(UNFINISHED);
    let beside = PathBuf::from(beside);
    let made = copy_aside(db, &beside).and_then(|()| {
        fs::rename(&beside, to)?;
        let place = to.parent().filter(|p| !p.as_os_str().is_empty());
        folder::settle(place.unwrap_or(Path::new(".")))
    });
    if made.is_err() {
        clear(&beside);
    }
    made
}

fn copy_aside(db: &Connection, beside: &Path) -> Result<(), Trouble> {
    drop(folder::open(beside, true)?);
    {
        let mut copy = Connection::open(beside)?;
        all_pages(db, &mut copy)?;
        // One file, with nothing beside it.
        copy.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(()))?;
        look(&copy, Look::Close)?;
    }
    File::options()
        .read(true)
        .write(true)
        .open(beside)?
        .sync_all()?;
    Ok(())
}

impl Book {
    /// Writes a backup of everything to a place of her choice. What is there with that name is replaced
    /// only when the copy is whole.
    ///
    /// # Errors
    /// [`Trouble::Full`], [`Trouble::ReadOnly`], or [`Trouble::Damaged`] if the copy is not whole.
    pub fn backup_to(&self, file: &Path) -> Result<(), Trouble> {
        copy(&self.db, file)
    }

    /// A backup of everything as bytes, to be downloaded.
    ///
    /// # Errors
    /// As [`Book::backup_to`].
    pub fn backup_bytes(&self) -> Result<Vec<u8>, Trouble> {
        let copy = Aside::new(self.folder())?;
        copy_aside(&self.db, &copy.path)?;
        Ok(fs::read(&copy.path)?)
    }

    /// Makes a backup in the book's own folder, and lets go of those that are too many: of the daily ones
    /// the newest of each of the last 7 days and the last 4 weeks are kept, the others for ever.
    ///
    /// # Errors
    /// As [`Book::backup_to`]; [`Trouble::Other`] for a book in memory.
    pub fn back_up(&self) -> Result<Backup, Trouble> {
        let made = self.back_up_as(BackupKind::Daily)?;
        let mut daily = self.backups();
        daily.retain(|b| b.kind == BackupKind::Daily);
        for backup in too_many(&daily) {
            fs::remove_file(&backup.path)?;
        }
        Ok(made)
    }

    /// Makes a backup unless there is one of today (in UTC).
    ///
    /// # Errors
    /// As [`Book::back_up`].
    pub fn back_up_if_due(&self) -> Result<Option<Backup>, Trouble> {
        let today = self.now().day();
        let there = self
            .backups()
            .iter()
            .any(|b| b.kind == BackupKind::Daily && b.made.day() == today);
        if there {
            Ok(None)
        } else {
            self.back_up().map(Some)
        }
    }

    pub(crate) fn back_up_as(&self, kind: BackupKind) -> Result<Backup, Trouble> {
        let Some(place) = self.folder() else {
            let why = "A book in memory has no folder for backups.";
            return Err(Trouble::Other(why.to_owned()));
        };
        let backups = place.join(folder::BACKUPS);
        folder::make_inner(&backups)?;
        let made = self.now();
        let last = counted(place).first().map_or(0, |(count, _)| *count);
        let path = backups.join(name_of(kind, last.saturating_add(1), made));
        self.backup_to(&path)?;
        let length = fs::metadata(&path)?.len();
        Ok(Backup {
            path,
            kind,
            made,
            length,
        })
    }

    /// The backups in the book's own folder, the newest first. Those older than an erasure still hold her
    /// who was erased: [`Book::clean_backups`].
    pub fn backups(&self) -> Vec<Backup> {
        self.folder().map(list).unwrap_or_default()
    }
}

/// A file that is gone, with what SQLite puts beside it, when it is no longer needed. It lies in the book's
/// `backups/`, for the owner only; one that was left there when the program was killed is cleared away at
/// the next start.
#[derive(Debug)]
pub struct Aside {
    pub(crate) path: PathBuf,
}

impl Aside {
    /// A fresh name in the book's folder, or, for a book in memory, among the system's own temporary files.
    pub(crate) fn new(place: Option<&Path>) -> Result<Self, Trouble> {
        let place = match place {
            Some(place) => {
                let backups = place.join(folder::BACKUPS);
                folder::make_inner(&backups)?;
                backups
            }
            None => std::env::temp_dir(),
        };
        let path = place.join(format!("{ASIDE}{}{UNFINISHED}", Id::new()));
        drop(folder::open(&path, true)?);
        Ok(Self { path })
    }

    /// Where it lies. The file is there, and empty at first.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

impl Drop for Aside {
    fn drop(&mut self) {
        clear(&self.path);
    }
}

impl Book {
    /// An empty file for a while: an upload that is to be looked into and restored, for example. It is
    /// gone when the answer is dropped, at the latest when the book is opened the next time, and also when
    /// somebody is erased in the backups: it may hold her.
    ///
    /// # Errors
    /// [`Trouble::Full`], [`Trouble::ReadOnly`].
    pub fn aside(&self) -> Result<Aside, Trouble> {
        Aside::new(self.folder())
    }
}

/// How the name of an [`Aside`] begins.
const ASIDE: &str = "aside-";
/// How the name of a copy ends that is not whole yet, or only for a while.
const UNFINISHED: &str = ".new";
/// What SQLite puts beside a file.
const BESIDE: [&str; 3] = ["-wal", "-shm", "-journal"];

/// The name of the file to which another belongs, or its own.
fn without_beside(name: &str) -> &str {
    let whose = BESIDE.iter().find_map(|ending| name.strip_suffix(ending));
    whose.unwrap_or(name)
}

/// Whether a file of this name was only for a while: one put aside, or a backup that was never whole. A
/// name that the book does not give is not meant.
fn for_a_while(name: &str) -> bool {
    let name = without_beside(name);
    let front = name.trim_end_matches(UNFINISHED);
    let aside = front.strip_prefix(ASIDE).and_then(Id::read);
    front.len() < name.len() && (aside.is_some() || read_name(front).is_some())
}

/// Clears away what was left in `backups/` when the program was killed: each is a whole copy, or a part of
/// one, that nobody looks after. Only for whoever holds the lock; what can't be removed waits for the next
/// start.
pub(crate) fn clear_left(place: &Path) {
    let Ok(entries) = fs::read_dir(place.join(folder::BACKUPS)) else {
        return;
    };
    for entry in entries.flatten() {
        if entry.file_name().to_str().is_some_and(for_a_while) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// The damaged books that were put aside in a folder, by name. Of one only what belongs beside it may be
/// left.
pub(crate) fn put_aside(place: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(place) else {
        return Vec::new();
    };
    let names: BTreeSet<String> = entries
        .flatten()
        .filter_map(|entry| {
            let name = entry.file_name().into_string().ok()?;
            let file = without_beside(&name);
            let when = file.strip_prefix(folder::DAMAGED)?;
            when.strip_suffix(".db").map(|_| file.to_owned())
        })
        .collect();
    names.into_iter().map(|name| place.join(name)).collect()
}

/// Throws a file away for good, with what belongs beside it.
///
/// # Errors
/// When it can't be removed.
pub(crate) fn throw(path: &Path) -> Result<(), Trouble> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => return Err(error.into()),
        _ => clear(path),
    }
    match path.parent() {
        Some(place) => folder::settle(place),
        None => Ok(()),
    }
}

/// Takes a file away, with what SQLite left beside it: a full disk leaves a journal.
fn clear(path: &Path) {
    let _ = fs::remove_file(path);
    for ending in BESIDE {
        let mut name = path.as_os_str().to_owned();
        name.push(ending);
        let _ = fs::remove_file(name);
    }
}

#[cfg(test)]
mod tests;
