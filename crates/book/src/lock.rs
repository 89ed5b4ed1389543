//! One running copy for a folder, and how a second finds the first.

use core::fmt;
use std::fs::{self, File, TryLockError};
use std::io::Write;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use crate::{Book, Trouble, folder};

/// What the running copy tells a second one: where its page is, and the secret with which the second may
/// ask it for a page. Both stand in a file that only the owner of the account may read.
#[derive(Clone, PartialEq, Eq)]
pub struct Running {
    /// `http://127.0.0.1:4747`
    pub address: String,
    /// Never shown to anyone, and not printed by `{:?}`.
    pub secret: String,
}

impl fmt::Debug for Running {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Running")
            .field("address", &self.address)
            .finish_non_exhaustive()
    }
}

/// Held as long as the book is open; the system lets go of it also when the program is killed.
#[derive(Debug)]
pub(crate) struct Lock {
    held: File,
    told: PathBuf,
}

impl Lock {
    /// Takes the folder for this copy.
    ///
    /// # Errors
    /// [`Trouble::Busy`] with what the other copy told, when another has it.
    pub(crate) fn take(folder: &Path) -> Result<Self, Trouble> {
        let held = folder::open(&folder.join(folder::LOCK), false)?;
        let told = folder.join(folder::RUNNING);
        match held.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(Trouble::Busy(read(&told))),
            Err(TryLockError::Error(error)) => return Err(error.into()),
        }
        // Whoever told this was killed before it could take it back.
        match fs::remove_file(&told) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(error.into()),
            _ => Ok(Self { held, told }),
        }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.told);
        // A process that is being started by another thread shares the open file for a moment: closing it
        // here alone would leave the folder taken until then.
        let _ = self.held.unlock();
    }
}

fn read(told: &Path) -> Option<Running> {
    let all: Value = serde_json::from_slice(&fs::read(told).ok()?).ok()?;
    let text = |name: &str| all.get(name)?.as_str().map(str::to_owned);
    Some(Running {
        address: text("address")?,
        secret: text("secret")?,
    })
}

impl Book {
    /// Tells a second copy where this one's page is, until the book is closed. A book in memory, and one
    /// that is open only to be read, tells nobody.
    ///
    /// # Errors
    /// When the file can't be written.
    pub fn announce(&self, running: &Running) -> Result<(), Trouble> {
        let Some(lock) = &self.lock else {
            return Ok(());
        };
        let text = json!({ "address": running.address, "secret": running.secret }).to_string();
        // Under another name first: a second copy never reads half of it.
        let beside = lock.told.with_extension("json.new");
        folder::open(&beside, true)?.write_all(text.as_bytes())?;
        fs::rename(&beside, &lock.told)?;
        Ok(())
    }
}
