//! Tests of restoring: every row, files from elsewhere, damaged files, any bytes.

use proptest::prelude::*;

use super::*;
use crate::{ClientNo, sample};

fn place() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

/// Would catch a row that is lost, doubled or changed by a backup and its restoring; what is entered
/// afterwards must go with it.
#[test]
fn every_row_comes_back() {
    let folder = place();
    let mut book = Book::open(folder.path(), sample::clock).unwrap();
    sample::hers(&mut book);
    sample::everything(&mut book, "Odile");
    let backup = book.back_up().unwrap();
    let rows = sample::rows(&book);
    sample::everything(&mut book, "Later");
    let told = book.look_into(&backup.path).unwrap();
    assert_eq!(
        (told.clients, told.orders, told.newest),
        (1, 2, Some(sample::clock()))
    );
    let later = sample::rows(&book);
    let restored = book.restore(&backup.path).unwrap();
    assert_eq!(sample::rows(&book), rows);
    // It goes on as before: settings of SQLite, changes, closing, opening.
    let mode: String = book
        .db
        .pragma_query_value(None, "journal_mode", |row| row.get(0))
        .unwrap();
    assert_eq!(mode, "wal");
    book.set("unit", "in").unwrap();
    drop(book);
    let mut book = Book::open(folder.path(), sample::clock).unwrap();
    assert_eq!(book.setting("unit").unwrap().as_deref(), Some("in"));
    // And what was there before restoring is in a backup of its own.
    book.restore(&restored.before.unwrap().path).unwrap();
    assert_eq!(sample::rows(&book), later);
    let left: Vec<_> = fs::read_dir(folder.path().join("backups"))
        .unwrap()
        .flatten()
        .collect();
    assert!(
        left.iter()
            .all(|e| !e.file_name().to_string_lossy().contains("aside")),
        "{left:?}"
    );
}

/// Would catch moving to another computer by one file.
#[test]
fn it_moves_to_another_computer() {
    let (here, there) = (place(), place());
    let mut book = Book::open(here.path(), sample::clock).unwrap();
    sample::everything(&mut book, "Odile");
    let bytes = book.backup_bytes().unwrap();
    let mut other = Book::open(there.path(), sample::clock).unwrap();
    other.restore_bytes(&bytes).unwrap();
    assert_eq!(sample::rows(&other), sample::rows(&book));
    let mut third = sample::book();
    third.restore_bytes(&bytes).unwrap();
    assert_eq!(sample::rows(&third), sample::rows(&book));
}

/// Would catch somebody who comes back from an old backup after she was erased, and a phone that was
/// forgotten and opens the book again.
#[test]
fn the_erased_and_the_forgotten_do_not_come_back() {
    let folder = place();
    let mut book = Book::open(folder.path(), sample::clock).unwrap();
    sample::everything(&mut book, "Odile");
    let (gone, _) = sample::everything(&mut book, "Philomena");
    let phone = book.pair_device("phone", "hash").unwrap();
    let backup = book.back_up().unwrap();
    book.erase_client(gone).unwrap();
    book.forget_device(phone).unwrap();
    assert_eq!(book.look_into(&backup.path).unwrap().erased, 1);
    let told = book.restore(&backup.path).unwrap();
    assert_eq!((told.erased, told.clients), (1, 1));
    assert!(matches!(book.client(gone), Err(Trouble::Missing(_))));
    assert_eq!(book.client(ClientNo(1)).unwrap().about.name, "Odile");
    assert_eq!(book.device_with("hash").unwrap(), None);
    // A second time: the note of who was erased was not lost by restoring.
    assert_eq!(book.restore(&backup.path).unwrap().erased, 1);
    drop(book);
    for entry in fs::read_dir(folder.path())
        .unwrap()
        .flatten()
        .filter(|e| e.path().is_file())
    {
        let bytes = fs::read(entry.path()).unwrap();
        assert!(!bytes.windows(9).any(|w| w == b"Philomena"), "{entry:?}");
    }
}

/// Would catch the same where the book was damaged meanwhile, as long as it can still be read there: a
/// phone that was given away would open the house again.
#[test]
fn the_erased_and_the_forgotten_do_not_come_back_in_place_of_a_damaged_book() {
    let folder = place();
    let mut book = Book::open(folder.path(), sample::clock).unwrap();
    sample::everything(&mut book, "Odile");
    let (gone, _) = sample::everything(&mut book, "Philomena");
    let phone = book.pair_device("phone", "hash").unwrap();
    book.pair_device("tablet", "other").unwrap();
    let backup = book.back_up().unwrap();
    book.erase_client(gone).unwrap();
    book.forget_device(phone).unwrap();
    let sql = "SELECT rootpage FROM sqlite_schema WHERE name = 'reading'";
    let page: i64 = book.db.query_row(sql, [], |row| row.get(0)).unwrap();
    drop(book);
    let file = folder.path().join("book.db");
    let mut bytes = fs::read(&file).unwrap();
    let at = usize::try_from(page - 1).unwrap() * 4096;
    bytes[at..at + 4096].fill(0xa5);
    fs::write(&file, &bytes).unwrap();
    assert!(matches!(
        Book::open(folder.path(), sample::clock),
        Err(Trouble::Damaged { .. })
    ));
    let (book, told) = Book::restore_over(folder.path(), sample::clock, &backup.path).unwrap();
    assert_eq!((told.clients, told.erased), (1, 1));
    assert!(matches!(book.client(gone), Err(Trouble::Missing(_))));
    assert_eq!(book.device_with("hash").unwrap(), None);
    assert!(book.device_with("other").unwrap().is_some());
}

/// Would catch a file that is taken over though something was slipped into it.
#[test]
fn only_a_book_as_we_build_it_is_taken_over() {
    let folder = place();
    let mut book = Book::open(folder.path(), sample::clock).unwrap();
    sample::everything(&mut book, "Odile");
    let rows = sample::rows(&book);
    let bytes = book.backup_bytes().unwrap();
    let file = folder.path().join("slipped.db");
    for (sql, wanted) in [
        (
            "CREATE TRIGGER x AFTER INSERT ON setting BEGIN DELETE FROM setting; END",
            "not built as",
        ),
        ("CREATE VIEW y AS SELECT 1", "not built as"),
        ("DROP TRIGGER reading_stays", "not built as"),
        (
            "UPDATE client SET born = 'yesterday'",
            "\"client\" can't be read",
        ),
        (
            "UPDATE \"order\" SET number = -1 WHERE number = 1",
            "\"order\" can't be read",
        ),
        (
            "PRAGMA foreign_keys = OFF; DELETE FROM client",
            "not a whole backup",
        ),
        ("PRAGMA application_id = 5", "belongs to something else"),
        ("PRAGMA user_version = 99", "newer Ellwand"),
        ("PRAGMA user_version = -1", "newer Ellwand"),
    ] {
        fs::write(&file, &bytes).unwrap();
        Connection::open(&file).unwrap().execute_batch(sql).unwrap();
        let said = book.restore(&file).unwrap_err().to_string();
        assert!(said.contains(wanted), "{sql}: {said}");
        assert_eq!(sample::rows(&book), rows, "{sql}");
    }
    for nothing in [&b""[..], b"SQLite format 3\0", b"PK\x03\x04"] {
        let said = book.restore_bytes(nothing).unwrap_err().to_string();
        assert!(
            said.contains("not a") || said.contains("belongs to something else"),
            "{said}"
        );
    }
    assert!(book.restore(&folder.path().join("nothing.db")).is_err());
    assert_eq!(sample::rows(&book), rows);
    // Pages of another size are taken over all the same.
    fs::write(&file, &bytes).unwrap();
    Connection::open(&file)
        .unwrap()
        .execute_batch("PRAGMA page_size = 1024; VACUUM")
        .unwrap();
    book.restore(&file).unwrap();
    assert_eq!(sample::rows(&book), rows);
}

/// Would catch a damaged file that is written to, or a start without a way back.
#[test]
fn a_damaged_file_is_left_alone_and_the_way_back_is_named() {
    let folder = place();
    let file = folder.path().join("book.db");
    let mut book = Book::open(folder.path(), sample::clock).unwrap();
    sample::everything(&mut book, "Odile");
    let rows = sample::rows(&book);
    let backup = book.back_up().unwrap();
    drop(book);
    // A page in the middle is written over.
    let mut bytes = fs::read(&file).unwrap();
    for byte in &mut bytes[8192..8192 + 4096] {
        *byte = 0xa5;
    }
    fs::write(&file, &bytes).unwrap();
    let trouble = Book::open(folder.path(), sample::clock).unwrap_err();
    assert!(
        matches!(&trouble, Trouble::Damaged { backup: Some(path) } if *path == backup.path),
        "{trouble}"
    );
    assert_eq!(fs::read(&file).unwrap(), bytes, "not touched");
    // What can still be read is shown, and nothing is changed.
    let mut looking = Book::open_to_read(folder.path(), sample::clock).unwrap();
    assert!(looking.only_to_read());
    assert!(matches!(looking.set("unit", "cm"), Err(Trouble::ReadOnly)));
    assert!(matches!(
        looking.restore(&backup.path),
        Err(Trouble::ReadOnly)
    ));
    let _ = looking.clients();
    assert!(matches!(
        Book::open(folder.path(), sample::clock),
        Err(Trouble::Busy(_))
    ));
    drop(looking);
    assert_eq!(fs::read(&file).unwrap(), bytes, "not touched");
    let (book, told) = Book::restore_over(folder.path(), sample::clock, &backup.path).unwrap();
    assert_eq!(told.clients, 1);
    let mut now = sample::rows(&book);
    now.retain(|row| !row.contains("book/checked"));
    let mut then = rows;
    then.retain(|row| !row.contains("book/checked"));
    assert_eq!(now, then);
    let aside = folder.path().join("damaged-2026-11-25T18-45-51Z.db");
    assert_eq!(
        fs::read(aside).unwrap(),
        bytes,
        "put aside, not thrown away"
    );
    drop(book);
    // A file that is no database at all, and one that is empty where there was a book.
    for bytes in [&b"<html>"[..], b""] {
        fs::write(&file, bytes).unwrap();
        let trouble = Book::open(folder.path(), sample::clock).unwrap_err();
        assert!(
            matches!(&trouble, Trouble::Damaged { backup: Some(_) }),
            "{trouble}"
        );
        assert_eq!(fs::read(&file).unwrap(), bytes);
    }
    fs::remove_file(&file).unwrap();
    assert!(matches!(
        Book::open(folder.path(), sample::clock),
        Err(Trouble::Damaged { .. })
    ));
    assert!(!file.exists());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// Any bytes as a backup: an answer, never a panic, and the book as before unless it was taken over.
    #[test]
    fn any_bytes_as_a_backup(bytes in prop::collection::vec(any::<u8>(), 0..3000), head in any::<bool>()) {
        let mut book = sample::book();
        sample::order(&mut book);
        let rows = sample::rows(&book);
        let mut all = if head { b"SQLite format 3\0".to_vec() } else { Vec::new() };
        all.extend(bytes);
        prop_assert!(book.restore_bytes(&all).is_err());
        prop_assert_eq!(sample::rows(&book), rows);
    }

    /// A real backup with bytes written over: refused, or taken over as something every page can read.
    #[test]
    fn a_backup_with_bytes_written_over(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..20),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let mut book = sample::book();
        sample::everything(&mut book, "Odile");
        let rows = sample::rows(&book);
        let mut bytes = book.backup_bytes().unwrap();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        match book.restore_bytes(&bytes) {
            Err(_) => prop_assert_eq!(sample::rows(&book), rows),
            Ok(_) => {
                readable(&book.db).unwrap();
                for line in book.clients().unwrap() {
                    book.cards(line.client.number).unwrap();
                }
            }
        }
    }
}
