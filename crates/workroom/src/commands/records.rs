//! The records of the workroom, opened for one command, and what is said when they can't be.

use std::path::{Path, PathBuf};

use book::{Book, Stamp, Trouble};

use crate::answer::calm;
use crate::args::Data;
use crate::file::named;
use crate::web::place;

/// The file of records in its folder.
const FILE: &str = "book.db";

/// The records, open as long as the command works.
#[derive(Debug)]
pub(crate) struct Records {
    pub(crate) folder: PathBuf,
    pub(crate) book: Book,
}

impl Records {
    /// Opens them to be looked at, also while the workroom has them open: nothing in them is changed.
    ///
    /// # Errors
    /// When there are none, or they can't be read; in a sentence.
    pub(crate) fn to_read(at: &Data) -> Result<Self, Vec<String>> {
        let folder = there(at)?;
        match Book::open_to_read(&folder, Stamp::now) {
            Ok(book) => Ok(Self { folder, book }),
            Err(trouble) => Err(fault(trouble, &folder)),
        }
    }

    /// Opens them to be written to; where the disk does not let it, or the workroom has them open, to be
    /// looked at.
    ///
    /// # Errors
    /// As [`Records::to_read`].
    pub(crate) fn to_write(at: &Data) -> Result<Self, Vec<String>> {
        let folder = there(at)?;
        match Book::open(&folder, Stamp::now) {
            Ok(book) => Ok(Self { folder, book }),
            Err(Trouble::ReadOnly | Trouble::Busy(_)) => Self::to_read(at),
            Err(trouble) => Err(fault(trouble, &folder)),
        }
    }

    /// What the book answered, or its trouble as a message.
    ///
    /// # Errors
    /// Its trouble.
    pub(crate) fn told<T>(&self, answer: Result<T, Trouble>) -> Result<T, Vec<String>> {
        answer.map_err(|trouble| fault(trouble, &self.folder))
    }
}

/// The folder that is meant.
///
/// # Errors
/// When the account has none; in a sentence.
pub(crate) fn folder(at: &Data) -> Result<PathBuf, Vec<String>> {
    match &at.data {
        Some(folder) => Ok(folder.clone()),
        None => place::usual().map_err(|m| vec![m]),
    }
}

/// The file of records in a folder.
pub(crate) fn file(folder: &Path) -> PathBuf {
    folder.join(FILE)
}

/// The folder, if records lie in it: to look for them must not make any.
fn there(at: &Data) -> Result<PathBuf, Vec<String>> {
    let folder = folder(at)?;
    if file(&folder).is_file() {
        return Ok(folder);
    }
    if folder.is_dir() && Book::last_good_backup(&folder).is_some() {
        return Err(fault(Trouble::Damaged { backup: None }, &folder));
    }
    Err(vec![format!(
        "{}: There are no records of a workroom here. Name their folder with --data, or open the \
         workroom once with `ellwand`: it begins them.",
        named(&folder)
    )])
}

/// A trouble of the book as a message.
pub(crate) fn fault(trouble: Trouble, folder: &Path) -> Vec<String> {
    let trouble = match trouble {
        // Met in the middle, it does not know yet what can be done.
        Trouble::Damaged { backup: None } => Trouble::Damaged {
            backup: Book::last_good_backup(folder),
        },
        other => other,
    };
    vec![calm(&trouble.to_string())]
}
