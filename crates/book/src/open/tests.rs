//! Tests of opening: how SQLite is told to keep it, who may read it, one copy, files that are not ours.

use super::*;
use crate::sample;

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

/// Would catch a setting that SQLite did not take (security.md 16).
#[test]
fn sqlite_keeps_it_as_it_is_told() {
    let place = folder();
    let book = Book::open(place.path(), sample::clock).unwrap();
    let says = |name: &str| -> String {
        book.db
            .pragma_query_value(None, name, |row| {
                row.get_ref(0).map(|v| match v {
                    rusqlite::types::ValueRef::Integer(n) => n.to_string(),
                    v => v.as_str().unwrap().to_owned(),
                })
            })
            .unwrap()
    };
    for (name, value) in [
        ("journal_mode", "wal"),
        ("synchronous", "2"),
        ("foreign_keys", "1"),
        ("trusted_schema", "0"),
        ("cell_size_check", "1"),
        ("secure_delete", "1"),
        ("busy_timeout", "5000"),
        ("user_version", "2"),
        ("application_id", "1164733559"),
    ] {
        assert_eq!(says(name), value, "{name}");
    }
}

/// Would catch a table without types: a STRICT table refuses a text where a number belongs.
#[test]
fn every_table_is_strict() {
    let book = sample::book();
    let loose = book
        .all(
            "SELECT name FROM pragma_table_list WHERE schema = 'main' AND strict = 0 AND name NOT LIKE 'sqlite_%'",
            [],
            |row| row.get::<_, String>(0),
        )
        .unwrap();
    assert!(loose.is_empty(), "{loose:?}");
}

/// Would catch a folder or file that another account of the computer can read, whatever the habit
/// (`umask`) of this one.
#[cfg(unix)]
#[test]
fn only_the_owner_reads_it() {
    use std::os::unix::fs::PermissionsExt;
    let place = folder();
    let inner = place.path().join("a/b");
    std::fs::create_dir_all(&inner).unwrap();
    std::fs::set_permissions(&inner, std::fs::Permissions::from_mode(0o755)).unwrap();
    let mut book = Book::open(&inner, sample::clock).unwrap();
    book.set("unit", "in").unwrap();
    book.announce(&crate::Running {
        address: "http://127.0.0.1:1".into(),
        secret: "s".into(),
    })
    .unwrap();
    let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&inner), 0o700);
    let mut names = Vec::new();
    for entry in std::fs::read_dir(&inner).unwrap() {
        let entry = entry.unwrap();
        names.push(entry.file_name().into_string().unwrap());
        let wanted = if entry.path().is_dir() { 0o700 } else { 0o600 };
        assert_eq!(mode(&entry.path()), wanted, "{}", entry.path().display());
    }
    names.sort();
    for name in [
        "book.db",
        "book.db-shm",
        "book.db-wal",
        "running.json",
        "running.lock",
    ] {
        assert!(names.iter().any(|n| n == name), "{names:?}");
    }
}

/// Would catch the closing of a folder that is not the book's to close.
#[cfg(unix)]
#[test]
fn a_folder_with_other_things_is_left_as_open_as_it_was() {
    use std::os::unix::fs::PermissionsExt;
    let place = folder();
    std::fs::write(place.path().join("letter.txt"), "x").unwrap();
    std::fs::set_permissions(place.path(), std::fs::Permissions::from_mode(0o755)).unwrap();
    drop(Book::open(place.path(), sample::clock).unwrap());
    let mode = std::fs::metadata(place.path())
        .unwrap()
        .permissions()
        .mode()
        & 0o777;
    assert_eq!(mode, 0o755);
}

/// Would catch two copies that write the same file, and a second start that can't find the first.
#[test]
fn a_second_start_is_told_where_the_first_is() {
    let place = folder();
    let first = Book::open(place.path(), sample::clock).unwrap();
    assert!(matches!(
        Book::open(place.path(), sample::clock),
        Err(Trouble::Busy(None))
    ));
    let running = crate::Running {
        address: "http://127.0.0.1:4747".into(),
        secret: "s3cret".into(),
    };
    first.announce(&running).unwrap();
    let Err(trouble) = Book::open(place.path(), sample::clock) else {
        panic!("opened twice")
    };
    let said = format!("{trouble} {trouble:?}");
    assert!(
        said.contains("http://127.0.0.1:4747") && !said.contains("s3cret"),
        "{said}"
    );
    assert!(matches!(trouble, Trouble::Busy(Some(r)) if r == running));
    drop(first);
    assert!(!place.path().join("running.json").exists());
    drop(Book::open(place.path(), sample::clock).unwrap());
}

/// Would catch a newer file that is written by an older program.
#[test]
fn a_newer_file_is_not_touched() {
    let place = folder();
    let book = Book::open(place.path(), sample::clock).unwrap();
    book.db.pragma_update(None, "user_version", 7).unwrap();
    drop(book);
    let before = std::fs::read(place.path().join("book.db")).unwrap();
    let Err(trouble) = Book::open(place.path(), sample::clock) else {
        panic!("opened")
    };
    assert!(
        matches!(
            trouble,
            Trouble::Newer {
                file: 7,
                program: 2
            }
        ),
        "{trouble}"
    );
    assert_eq!(std::fs::read(place.path().join("book.db")).unwrap(), before);
}

/// Would catch a book that is lost and begun anew as if nothing had been there, while what waited beside
/// it, or its backups, say that there was one.
#[test]
fn a_book_that_is_lost_is_not_begun_anew() {
    for backed_up in [true, false] {
        let place = folder();
        let file = place.path().join("book.db");
        let beside = place.path().join("book.db-wal");
        let mut book = Book::open(place.path(), sample::clock).unwrap();
        book.set("unit", "in").unwrap();
        let backup = backed_up.then(|| book.back_up().unwrap());
        let waits = std::fs::read(&beside).unwrap();
        assert!(!waits.is_empty());
        drop(book);
        // As if it were killed, and the file lost.
        std::fs::remove_file(&file).unwrap();
        std::fs::write(&beside, &waits).unwrap();
        for empty in [false, true] {
            if empty {
                std::fs::write(&file, "").unwrap();
            }
            let opened = Book::open(place.path(), sample::clock);
            assert!(
                matches!(&opened, Err(Trouble::Damaged { backup }) if backup.is_some() == backed_up),
                "{opened:?}"
            );
            assert!(Book::open_to_read(place.path(), sample::clock).is_err());
            assert_eq!(std::fs::read(&beside).unwrap(), waits, "not touched");
            assert_eq!(file.exists(), empty);
        }
        if let Some(backup) = backup {
            let (book, _) = Book::restore_over(place.path(), sample::clock, &backup.path).unwrap();
            assert_eq!(book.setting("unit").unwrap().as_deref(), Some("in"));
            let aside = place.path().join("damaged-2026-11-25T18-45-51Z.db-wal");
            assert_eq!(std::fs::read(aside).unwrap(), waits, "put aside");
        }
    }
    // Of one that was put in its place only the damaged file is there, when the power went in between.
    let place = folder();
    std::fs::write(place.path().join("damaged-2026-11-25T18-45-51Z.db"), "x").unwrap();
    assert!(matches!(
        Book::open(place.path(), sample::clock),
        Err(Trouble::Damaged { backup: None })
    ));
}

/// Would catch the tables of another program being written to.
#[test]
fn a_file_of_something_else_is_not_touched() {
    let place = folder();
    let other = Connection::open(place.path().join("book.db")).unwrap();
    other
        .execute_batch("CREATE TABLE recipe (name TEXT)")
        .unwrap();
    drop(other);
    let before = std::fs::read(place.path().join("book.db")).unwrap();
    let Err(Trouble::Other(said)) = Book::open(place.path(), sample::clock) else {
        panic!("opened")
    };
    assert!(said.contains("belongs to something else"), "{said}");
    assert_eq!(std::fs::read(place.path().join("book.db")).unwrap(), before);
}

/// Would catch a folder's place that is a file, said as a riddle.
#[test]
fn a_file_is_no_folder() {
    let place = folder();
    let file = place.path().join("x");
    std::fs::write(&file, "").unwrap();
    assert!(matches!(
        Book::open(&file, sample::clock),
        Err(Trouble::NoFolder(_))
    ));
}

/// Would catch a full file that is told as something else, and a change that is half kept in it. The
/// same on a real disk is in `tests/crash.rs`, where such a one can be made.
#[test]
fn full_is_said_and_nothing_is_half_kept() {
    let mut book = sample::book();
    let pages: i64 = book
        .db
        .pragma_query_value(None, "page_count", |row| row.get(0))
        .unwrap();
    book.db
        .pragma_update(None, "max_page_count", pages + 3)
        .unwrap();
    let before = sample::rows(&book);
    let long = "x".repeat(100_000);
    let trouble = book
        .set_all(&[("a", Some("1")), ("b", Some(&long))])
        .unwrap_err();
    assert!(matches!(trouble, Trouble::Full), "{trouble:?}");
    assert_eq!(sample::rows(&book), before);
    book.set("a", "1").unwrap();
}

thread_local! {
    static NOW: std::cell::Cell<i64> = const { std::cell::Cell::new(0) };
}

/// Would catch a book that is never looked through closely: a line that points to nothing is not seen by
/// the quick look of each start, but within a week; and at once when the clock was put back.
#[test]
fn once_a_week_it_is_looked_through_closely() {
    let moving = || Stamp::from_seconds(NOW.get());
    NOW.set(1_800_000_000);
    let place = folder();
    let book = Book::open(place.path(), moving).unwrap();
    book.db
        .execute_batch(
            "PRAGMA foreign_keys = OFF;
             INSERT INTO card (id, client, number, taken, unit, made) VALUES ('x', 'nobody', 1, 'x', 'in', 'x')",
        )
        .unwrap();
    drop(book);
    let day = 86_400;
    for (days, whole) in [(0, true), (6, true), (7, false), (-1, false)] {
        NOW.set(1_800_000_000 + days * day);
        let opened = Book::open(place.path(), moving);
        assert_eq!(opened.is_ok(), whole, "{days} days: {opened:?}");
        if !whole {
            assert!(matches!(opened, Err(Trouble::Damaged { backup: None })));
        }
    }
}

/// Would catch a list of orders that is refused, or stale, or a second writer, while the workroom is open.
#[test]
fn beside_the_open_book_it_can_be_looked_at() {
    let place = folder();
    let mut first = Book::open(place.path(), sample::clock).unwrap();
    let mut looking = Book::open_to_read(place.path(), sample::clock).unwrap();
    let before = looking.clients().unwrap().len();
    let about = crate::About {
        name: "Odile".into(),
        ..crate::About::default()
    };
    first.new_client(&about, false).unwrap();
    assert_eq!(looking.clients().unwrap().len(), before + 1);
    assert!(looking.only_to_read());
    assert!(matches!(
        looking.new_client(&about, false),
        Err(Trouble::ReadOnly)
    ));
    drop(looking);
    // The first copy still holds the folder.
    assert!(matches!(
        Book::open(place.path(), sample::clock),
        Err(Trouble::Busy(_))
    ));
    first.new_client(&about, false).unwrap();
}
