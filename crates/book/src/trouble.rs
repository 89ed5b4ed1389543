//! What can go wrong with the book, each as a plain sentence with what to do about it.

use core::fmt;
use std::io;
use std::path::PathBuf;

use rusqlite::ErrorCode;
use rusqlite::ffi;

use crate::Running;

/// Why the book could not do what was asked. Printed, it is a sentence or two for her: what is the
/// matter, and what to do.
#[derive(Debug)]
#[non_exhaustive]
pub enum Trouble {
    /// Another copy of the program has this folder open; its address, where it told one.
    Busy(Option<Running>),
    /// The file was written by a newer program.
    Newer {
        /// The file's edition.
        file: u32,
        /// The newest edition that this program reads.
        program: u32,
    },
    /// The file is damaged. It can still be looked at: [`crate::Book::open_to_read`].
    Damaged {
        /// The newest backup that was found whole.
        backup: Option<PathBuf>,
    },
    /// The disk or the folder can't be written to.
    ReadOnly,
    /// The disk is full. Nothing of the change was kept.
    Full,
    /// What was erased is gone from the book, but its file could not be rewritten, for the reason that is
    /// told, so that traces may be left in it. It is rewritten when the book is opened the next time.
    Unswept(Box<Trouble>),
    /// The folder can't be made or is not a folder; what the system said.
    NoFolder(String),
    /// Somebody changed the same thing meanwhile; the count as it is now.
    Moved {
        /// The count to give next time, after looking at both.
        now: u64,
    },
    /// What was asked for is not in the book: "client 7".
    Missing(String),
    /// A name that is to be unique is taken: "a method called mermaid".
    Taken(String),
    /// The order is closed, and is opened again before it is changed.
    Closed,
    /// Anything else, as a sentence.
    Other(String),
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Busy(Some(running)) => write!(
                f,
                "The workroom is already open, at {}. Use that one, or close it first.",
                running.address
            ),
            Self::Busy(None) => write!(
                f,
                "The workroom is already open in another window of this computer. Use that one, or \
                 close it first."
            ),
            Self::Newer { file, program } => write!(
                f,
                "These records were written by a newer Ellwand (edition {file}; this one reads up to \
                 {program}). Nothing was touched. Start the newer program."
            ),
            Self::Damaged { backup: Some(path) } => write!(
                f,
                "The records are damaged, and were not touched. The last good backup is {}: restore \
                 it, or look at what can still be read.",
                path.display()
            ),
            Self::Damaged { backup: None } => write!(
                f,
                "The records are damaged, and were not touched. No good backup was found beside them: \
                 restore one that you keep elsewhere, or look at what can still be read."
            ),
            Self::ReadOnly => write!(
                f,
                "The records can't be written: the folder or its disk is read-only. Allow writing \
                 there, or choose another folder with --data."
            ),
            Self::Full => write!(
                f,
                "The disk is full, so this was not kept; all that was kept before is safe. Make room \
                 on the disk and do it again."
            ),
            Self::Unswept(why) => match **why {
                Self::Full => write!(
                    f,
                    "What was erased is gone from the records, but the disk is too full to rewrite their \
                     file, so traces may be left in it. Make room and start the workroom again: it is \
                     then done."
                ),
                _ => write!(
                    f,
                    "What was erased is gone from the records, but their file could not be rewritten \
                     just now, so traces may be left in it. Start the workroom again: it is then done."
                ),
            },
            Self::NoFolder(why) => write!(
                f,
                "The folder for the records can't be used: {why}. Choose another with --data."
            ),
            Self::Moved { .. } => write!(
                f,
                "This was changed in another window meanwhile. Nothing was written over: look at both \
                 and choose which to keep."
            ),
            Self::Missing(what) => write!(f, "There is no {what} in the book."),
            Self::Taken(what) => write!(f, "There is already {what}. Choose another name."),
            Self::Closed => write!(f, "This order is closed. Open it again to change it."),
            Self::Other(sentence) => f.write_str(sentence),
        }
    }
}

impl core::error::Error for Trouble {}

impl From<rusqlite::Error> for Trouble {
    fn from(error: rusqlite::Error) -> Self {
        let rusqlite::Error::SqliteFailure(code, said) = &error else {
            return Self::Other(format!("The book could not do this ({error})."));
        };
        match code.code {
            ErrorCode::DiskFull => Self::Full,
            // The file that readers share could not grow.
            ErrorCode::SystemIoFailure if code.extended_code == ffi::SQLITE_IOERR_SHMSIZE => {
                Self::Full
            }
            ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen => {
                Self::ReadOnly
            }
            ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase => Self::Damaged { backup: None },
            ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Self::Busy(None),
            _ => {
                let said = said.clone().unwrap_or_else(|| code.to_string());
                Self::Other(format!("The book could not do this ({said})."))
            }
        }
    }
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::Full,
            io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied => Self::ReadOnly,
            _ => Self::Other(format!(
                "The book's folder can't be used just now ({error})."
            )),
        }
    }
}
