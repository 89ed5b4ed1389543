//! Writing what was made: all of it, or nothing.
//!
//! Everything stands in memory before this begins. Each file is written beside its place under
//! another name; only when all are there do they take their names. A fault on the way takes away
//! what was written and the folders that were made for it.

use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use crate::file::named;

/// A file to be written: its name and what is in it.
pub(crate) type Sheet = (String, Vec<u8>);

/// Writes all files into a folder, which is made when it is not there.
///
/// # Errors
/// When any can't be written; in a sentence. Then none is.
pub(crate) fn fill(folder: &Path, sheets: &[Sheet]) -> Result<(), String> {
    let mut work = Work::default();
    let done = work.fill(folder, sheets);
    if done.is_err() {
        work.undo();
    }
    done
}

#[derive(Default)]
struct Work {
    /// Folders that were made, outermost first.
    folders: Vec<PathBuf>,
    /// Files that stand there and must not, if this fails.
    files: Vec<PathBuf>,
}

impl Work {
    fn fill(&mut self, folder: &Path, sheets: &[Sheet]) -> Result<(), String> {
        self.make(folder)
            .map_err(|e| failed(folder, "This folder could not be made", &e))?;
        let mut pairs = Vec::new();
        for (name, bytes) in sheets {
            let place = folder.join(name);
            if place.is_dir() {
                return Err(format!(
                    "{}: There is a folder of this name where a file should go. Move it away, or choose another --out.",
                    named(&place)
                ));
            }
            let beside = beside(folder, name);
            self.files.push(beside.clone());
            write(&beside, bytes).map_err(|e| failed(&place, "This could not be written", &e))?;
            pairs.push((beside, place));
        }
        for (beside, place) in pairs {
            let fresh = !place.exists();
            fs::rename(&beside, &place)
                .map_err(|e| failed(&place, "This could not be written", &e))?;
            if fresh {
                self.files.push(place);
            }
        }
        Ok(())
    }

    fn make(&mut self, folder: &Path) -> io::Result<()> {
        let mut missing: Vec<&Path> = folder
            .ancestors()
            .take_while(|f| !f.as_os_str().is_empty() && !f.exists())
            .collect();
        missing.reverse();
        for f in missing {
            match fs::create_dir(f) {
                Ok(()) => self.folders.push(f.to_path_buf()),
                // Another card of the same batch may have made it in the meantime.
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists && f.is_dir() => {}
                Err(e) => return Err(e),
            }
        }
        if folder.as_os_str().is_empty() || folder.is_dir() {
            Ok(())
        } else {
            Err(io::ErrorKind::NotADirectory.into())
        }
    }

    /// Takes away what this has made. Nothing more can be done when even that fails.
    fn undo(&self) {
        for file in self.files.iter().rev() {
            let _ = fs::remove_file(file);
        }
        for folder in self.folders.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
}

/// A name beside the place that no other run of the program uses at the same time.
fn beside(folder: &Path, name: &str) -> PathBuf {
    let mut hidden = OsString::from(".");
    hidden.push(name);
    hidden.push(format!(".{}.part", std::process::id()));
    folder.join(hidden)
}

fn write(place: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create(place)?;
    file.write_all(bytes)?;
    // A full disk may show only here.
    file.sync_all()
}

fn failed(place: &Path, what: &str, e: &io::Error) -> String {
    let why = match e.kind() {
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "You may not write there. Choose another folder for --out.".to_owned()
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "The disk is full. Make room, or choose a folder on another disk for --out.".to_owned()
        }
        io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => {
            "A file stands where a folder should be. Choose another folder for --out.".to_owned()
        }
        io::ErrorKind::InvalidFilename => {
            "The name is too long. Choose a shorter one for --out.".to_owned()
        }
        _ => format!("The computer says: {e}."),
    };
    format!("{}: {what}. {why} Nothing was left there.", named(place))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scratch(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("ellwand-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        folder
    }

    #[test]
    fn all_files_are_there_and_nothing_beside_them() {
        let base = scratch("all");
        let folder = base.join("deep/er");
        fill(
            &folder,
            &[("a".into(), b"1".to_vec()), ("b".into(), b"2".to_vec())],
        )
        .unwrap();
        let mut names: Vec<_> = fs::read_dir(&folder)
            .unwrap()
            .map(|e| e.unwrap().file_name())
            .collect();
        names.sort();
        assert_eq!(names, ["a", "b"]);
        fs::remove_dir_all(base).unwrap();
    }

    #[test]
    fn a_fault_at_the_last_file_leaves_nothing_and_no_folder() {
        let base = scratch("none");
        fs::create_dir_all(base.join("there/b")).unwrap();
        let sheets = [("a".to_owned(), vec![1]), ("b".to_owned(), vec![2])];
        let message = fill(&base.join("there"), &sheets).unwrap_err();
        assert!(message.contains("folder of this name"), "{message}");
        assert!(!base.join("there/a").exists());
        let long = "x".repeat(400);
        let message = fill(
            &base.join("new/er"),
            &[("a".into(), vec![1]), (long, vec![2])],
        )
        .unwrap_err();
        assert!(message.contains("Nothing was left"), "{message}");
        assert!(!base.join("new").exists());
        fs::remove_dir_all(base).unwrap();
    }
}
