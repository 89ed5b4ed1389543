//! The book's folder and files, which only the owner of the account may read.

use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::Path;

use crate::Trouble;

/// The file of records.
pub(crate) const FILE: &str = "book.db";
/// The folder of backups.
pub(crate) const BACKUPS: &str = "backups";
/// Held while a copy of the program has the folder open.
pub(crate) const LOCK: &str = "running.lock";
/// How the name of a damaged book begins that was put aside.
pub(crate) const DAMAGED: &str = "damaged-";
/// What the running copy tells a second one.
pub(crate) const RUNNING: &str = "running.json";

/// Makes the folder where it is not there, readable by its owner only. A folder that holds only what the
/// book put there is closed to others too; one with other things in it is left as it is.
///
/// # Errors
/// When it can't be made or looked at.
pub(crate) fn make(folder: &Path) -> Result<(), Trouble> {
    if folder.exists() && !folder.is_dir() {
        return Err(Trouble::NoFolder(format!("{} is a file", folder.display())));
    }
    if !folder.exists() {
        create(folder).map_err(|e| refused(folder, &e))?;
    }
    let mut ours = true;
    for entry in fs::read_dir(folder).map_err(|e| refused(folder, &e))? {
        let name = entry.map_err(|e| refused(folder, &e))?.file_name();
        let name = name.to_string_lossy();
        ours &= name.starts_with(FILE)
            || name.starts_with(DAMAGED)
            || [BACKUPS, LOCK, RUNNING].contains(&&*name);
    }
    if ours { close(folder, 0o700) } else { Ok(()) }
}

fn refused(folder: &Path, error: &io::Error) -> Trouble {
    match error.kind() {
        io::ErrorKind::StorageFull => Trouble::Full,
        io::ErrorKind::ReadOnlyFilesystem => Trouble::ReadOnly,
        _ => Trouble::NoFolder(format!("{}: {error}", folder.display())),
    }
}

/// Makes a folder, and those above it, for the owner only.
fn create(folder: &Path) -> io::Result<()> {
    let mut maker = fs::DirBuilder::new();
    maker.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut maker, 0o700);
    maker.create(folder)
}

/// Makes a folder inside the book's own.
///
/// # Errors
/// When it can't be made.
pub(crate) fn make_inner(folder: &Path) -> Result<(), Trouble> {
    create(folder)?;
    close(folder, 0o700)
}

/// Takes away what others may do with a file or folder, whatever the account's own habit is.
pub(crate) fn close(path: &Path, mode: u32) -> Result<(), Trouble> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let now = fs::metadata(path)?.permissions().mode() & 0o777;
        if now != mode {
            fs::set_permissions(path, fs::Permissions::from_mode(mode))?;
        }
    }
    #[cfg(not(unix))]
    let _ = (path, mode);
    Ok(())
}

/// Opens a file for writing, made for the owner only; what it held is kept unless `afresh`.
///
/// # Errors
/// When it can't be made or opened.
pub(crate) fn open(path: &Path, afresh: bool) -> Result<File, Trouble> {
    let mut how = OpenOptions::new();
    how.read(true).write(true).create(true).truncate(afresh);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut how, 0o600);
    let file = how.open(path)?;
    close(path, 0o600)?;
    Ok(file)
}

/// Whether a file is not there, or has nothing in it.
pub(crate) fn is_empty(file: &Path) -> bool {
    fs::metadata(file).map_or(true, |m| m.len() == 0)
}

/// Makes sure that what was made, renamed or removed in a folder stays so when the power goes.
///
/// # Errors
/// When the disk says no.
pub(crate) fn settle(folder: &Path) -> Result<(), Trouble> {
    #[cfg(unix)]
    File::open(folder)?.sync_all()?;
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}
