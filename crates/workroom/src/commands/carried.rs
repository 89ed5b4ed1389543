//! `ellwand backup`, `ellwand restore` and `ellwand export`: records that are carried away and back.

use std::fmt::Write as _;
use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::Path;

use book::{Book, ClientNo, Stamp, Trouble};

use super::lists::counted;
use super::records::{self, Records, fault};
use crate::answer::{Answer, calm};
use crate::args::{Backup, Export, Restore};
use crate::file::named;
use crate::web::settings::carry::packed;

pub(crate) fn backup(asked: &Backup) -> Result<Answer, Vec<String>> {
    let records = Records::to_read(&asked.at)?;
    may_lie(&asked.file, &records.folder)?;
    match records.book.backup_to(&asked.file) {
        Ok(()) => {}
        Err(Trouble::ReadOnly) => return Err(vec![not_there(&asked.file)]),
        Err(Trouble::Full) => return Err(vec![full(&asked.file)]),
        Err(trouble) => return Err(fault(trouble, &records.folder)),
    }
    let clients = records.told(records.book.clients())?;
    let orders = records.told(records.book.orders(book::Which::All))?;
    let hers = clients.iter().filter(|c| !c.client.demo).count();
    let orders = orders.iter().filter(|o| !o.order.demo).count();
    Ok(Answer::says(format!(
        "{}: everything in the book, {} and {}, the demo not counted. `ellwand restore` puts it back, also on another computer.\n",
        named(&asked.file),
        counted(u32::try_from(hers).unwrap_or(u32::MAX), "client"),
        counted(u32::try_from(orders).unwrap_or(u32::MAX), "order"),
    )))
}

pub(crate) fn restore(asked: &Restore) -> Result<Answer, Vec<String>> {
    let folder = records::folder(&asked.at)?;
    let file = &asked.file;
    readable(file)?;
    let own = records::file(&folder);
    if same(file, &own) {
        return Err(vec![format!(
            "{}: These are the records themselves, not a backup of them. Name a backup: those the workroom \
             made lie in its folder `backups`.",
            named(file)
        )]);
    }
    if !own.exists() {
        // A file that is no backup is to leave no new records behind either.
        let trial = Book::in_memory(Stamp::now).and_then(|book| book.look_into(file));
        trial.map_err(|t| about(file, t, &folder))?;
    }
    let restored = match Book::open(&folder, Stamp::now) {
        Ok(mut book) => book.restore(file),
        Err(Trouble::Damaged { .. }) => {
            Book::restore_over(&folder, Stamp::now, file).map(|(_, told)| told)
        }
        Err(trouble) => return Err(fault(trouble, &folder)),
    };
    let restored = restored.map_err(|t| about(file, t, &folder))?;
    let mut out = format!(
        "Restored: {} and {}, the demo not counted.",
        counted(restored.clients, "client"),
        counted(restored.orders, "order")
    );
    if let Some(newest) = restored.newest {
        let _ = write!(out, " The last thing written in it is of {}.", newest.day());
    }
    out.push('\n');
    if restored.erased > 0 {
        let _ = writeln!(
            out,
            "{} of it stayed erased, as on this computer.",
            counted(restored.erased, "client")
        );
    }
    if let Some(before) = &restored.before {
        let _ = writeln!(out, "What was here before: {}.", named(&before.path));
    }
    Ok(Answer::says(out))
}

pub(crate) fn export(asked: &Export) -> Result<Answer, Vec<String>> {
    let records = Records::to_read(&asked.at)?;
    let number = who(&records, &asked.client)?;
    may_lie(&asked.file, &records.folder)?;
    let export = match records.book.export_client(number) {
        Err(Trouble::Missing(_)) => return Err(vec![no_client(&asked.client)]),
        other => records.told(other)?,
    };
    let bytes = packed(&export).map_err(|t| vec![format!("{} {}", t.title, t.says)])?;
    put(&asked.file, &bytes)?;
    let name = records.told(records.book.client(number))?.about.name;
    Ok(Answer::says(format!(
        "{}: all that is kept about {} (client {number}), with {} beside it.\n",
        named(&asked.file),
        calm(&name),
        counted(
            u32::try_from(export.files.len()).unwrap_or(u32::MAX),
            "file"
        ),
    )))
}

/// The client of a number, or of a name that only one has.
fn who(records: &Records, word: &str) -> Result<ClientNo, Vec<String>> {
    if let Some(number) = ClientNo::read(word.trim()) {
        return Ok(number);
    }
    let wanted = measure::names::fold(word);
    let all = records.told(records.book.clients())?;
    let hers: Vec<ClientNo> = all
        .iter()
        .filter(|c| measure::names::fold(&c.client.about.name) == wanted)
        .map(|c| c.client.number)
        .collect();
    match hers.as_slice() {
        [one] => Ok(*one),
        [] => Err(vec![no_client(word)]),
        many => {
            let numbers: Vec<String> = many.iter().map(ToString::to_string).collect();
            Err(vec![format!(
                "{}: There are {} clients of this name. Say which by her number: {}.",
                calm(word),
                many.len(),
                numbers.join(", ")
            )])
        }
    }
}

fn no_client(word: &str) -> String {
    format!(
        "{}: There is no such client in the book. `ellwand clients` lists them with their numbers.",
        calm(word)
    )
}

/// A backup that can't be restored, by its name.
fn about(file: &Path, trouble: Trouble, folder: &Path) -> Vec<String> {
    match trouble {
        Trouble::Other(says) => vec![format!("{}: {}", named(file), calm(&says))],
        other => fault(other, folder),
    }
}

/// Whether a file to be restored is there and can be read.
fn readable(file: &Path) -> Result<(), Vec<String>> {
    let why = match File::open(file).and_then(|f| f.metadata()) {
        Ok(meta) if meta.is_dir() => "This is a folder. Name the backup in it.".to_owned(),
        Ok(_) => return Ok(()),
        Err(e) if e.kind() == io::ErrorKind::NotFound => {
            "There is no such backup. Look at the name and the folder.".to_owned()
        }
        Err(e) if e.kind() == io::ErrorKind::PermissionDenied => {
            "This backup may not be read. Ask for leave to read it, or copy it.".to_owned()
        }
        Err(e) => format!("This backup could not be read ({e})."),
    };
    Err(vec![format!("{}: {why}", named(file))])
}

/// The folder in which a file lies.
fn place_of(file: &Path) -> &Path {
    match file.parent() {
        Some(place) if !place.as_os_str().is_empty() => place,
        _ => Path::new("."),
    }
}

fn same(one: &Path, other: &Path) -> bool {
    match (fs::canonicalize(one), fs::canonicalize(other)) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    }
}

/// Whether a file may be written there: never among the records themselves, where it could take the
/// place of one.
fn may_lie(file: &Path, folder: &Path) -> Result<(), Vec<String>> {
    let place = place_of(file);
    let says = if file.is_dir() || file.file_name().is_none() {
        "This is a folder. Name a file in it."
    } else if !place.is_dir() {
        "There is no such folder. Make it first, or look at the name."
    } else if same(place, folder) || same(place, &folder.join("backups")) {
        "This folder is the workroom's own, and a file here could harm its records. Choose another place."
    } else {
        return Ok(());
    };
    Err(vec![format!("{}: {says}", named(file))])
}

/// Writes a file that only the owner of the account may read: whole, or not at all.
fn put(file: &Path, bytes: &[u8]) -> Result<(), Vec<String>> {
    let written = tempfile::NamedTempFile::new_in(place_of(file)).and_then(|mut beside| {
        beside.write_all(bytes)?;
        beside.as_file().sync_all()?;
        beside.persist(file).map_err(|e| e.error)?;
        Ok(())
    });
    written.map_err(|e| {
        vec![match e.kind() {
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => not_there(file),
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => full(file),
            _ => format!("{}: This could not be written ({e}).", named(file)),
        }]
    })
}

fn not_there(file: &Path) -> String {
    format!(
        "{}: You may not write there. Choose another place.",
        named(file)
    )
}

fn full(file: &Path) -> String {
    format!(
        "{}: The disk is full, and nothing was written. Make room, or choose another disk.",
        named(file)
    )
}
