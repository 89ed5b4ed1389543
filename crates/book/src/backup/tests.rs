//! Tests of the backups: every row, how many are kept, which one is good.

use std::cell::Cell;

use super::*;
use crate::sample;

thread_local! {
    static NOW: Cell<i64> = const { Cell::new(0) };
}

fn moving() -> Stamp {
    Stamp::from_seconds(NOW.get())
}

fn set(text: &str) {
    NOW.set(Stamp::read(text).unwrap().seconds());
}

/// Would catch a backup that lacks what the file beside the book (`-wal`) still holds, and one that others
/// can read.
#[test]
fn a_backup_holds_every_row() {
    let place = tempfile::tempdir().unwrap();
    let mut book = Book::open(place.path(), sample::clock).unwrap();
    sample::hers(&mut book);
    sample::everything(&mut book, "Odile");
    let file = place.path().join("elsewhere.db");
    book.backup_to(&file).unwrap();
    assert_eq!(fs::read(&file).unwrap(), book.backup_bytes().unwrap());
    let names: Vec<_> = fs::read_dir(place.path())
        .unwrap()
        .flatten()
        .map(|e| e.file_name())
        .collect();
    assert!(
        !names
            .iter()
            .any(|n| n.to_string_lossy().contains("elsewhere.db.")),
        "{names:?}"
    );
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(
            fs::metadata(&file).unwrap().permissions().mode() & 0o777,
            0o600
        );
        let backups = place.path().join("backups");
        assert_eq!(
            fs::metadata(backups).unwrap().permissions().mode() & 0o777,
            0o700
        );
    }
    let copy = tempfile::tempdir().unwrap();
    fs::copy(&file, copy.path().join("book.db")).unwrap();
    let other = Book::open(copy.path(), sample::clock).unwrap();
    assert_eq!(sample::rows(&other), sample::rows(&book));
}

/// Would catch a backup of each day kept for ever, or the last one thrown away.
#[test]
fn seven_days_and_four_weeks_are_kept() {
    let place = tempfile::tempdir().unwrap();
    set("2026-01-01T10:00:00Z");
    let book = Book::open(place.path(), moving).unwrap();
    for day in 0..60 {
        set("2026-01-01T10:00:00Z");
        NOW.set(NOW.get() + day * 86_400);
        assert!(book.back_up_if_due().unwrap().is_some());
        NOW.set(NOW.get() + 3600);
        assert_eq!(book.back_up_if_due().unwrap(), None, "once a day");
    }
    // 2026-03-01, the last of the 60 days, is a Sunday: seven days back to Monday the 23rd, and the
    // Sundays that end the three weeks before.
    let days: Vec<_> = book
        .backups()
        .iter()
        .map(|b| b.made.day().to_string())
        .collect();
    assert_eq!(
        days,
        [
            "2026-03-01",
            "2026-02-28",
            "2026-02-27",
            "2026-02-26",
            "2026-02-25",
            "2026-02-24",
            "2026-02-23",
            "2026-02-22",
            "2026-02-15",
            "2026-02-08"
        ]
    );
    // A clock that jumps ahead by 70 years, and back again.
    set("2096-01-01T10:00:00Z");
    book.back_up_if_due().unwrap();
    set("2026-03-02T10:00:00Z");
    let made = book.back_up_if_due().unwrap().unwrap();
    assert!(made.path.exists(), "the one just made stays");
    // The day and the week of the jump count as one of seven and one of four, no more.
    assert_eq!(book.backups().len(), 8);
    assert_eq!(
        book.backups()[0],
        made,
        "the newest, whatever the clock said before"
    );
    assert_eq!(last_good(place.path()), Some(made.path));
    book.back_up_as(BackupKind::BeforeRestore).unwrap();
    assert_eq!(book.backups()[0].kind, BackupKind::BeforeRestore);
}

/// Would catch a name in the folder taken for a backup, or a damaged one called good.
#[test]
fn the_last_good_one_is_found() {
    let place = tempfile::tempdir().unwrap();
    set("2026-01-01T10:00:00Z");
    let book = Book::open(place.path(), moving).unwrap();
    assert_eq!(last_good(place.path()), None);
    let good = book.back_up().unwrap();
    set("2026-01-02T10:00:00Z");
    let bad = book.back_up().unwrap();
    fs::write(&bad.path, "not a backup").unwrap();
    fs::write(place.path().join("backups/book-x.db"), "").unwrap();
    fs::write(place.path().join("backups/notes.txt"), "").unwrap();
    assert_eq!(book.backups().len(), 2);
    assert_eq!(last_good(place.path()), Some(good.path));
}

/// Would catch a half-written backup under the name of a whole one.
#[test]
fn a_backup_that_fails_leaves_what_was_there() {
    let place = tempfile::tempdir().unwrap();
    let book = Book::open(place.path(), sample::clock).unwrap();
    let file = place.path().join("no such folder/x.db");
    assert!(book.backup_to(&file).is_err());
    // The name is taken by a folder: the last step fails, after the copy was made.
    let taken = place.path().join("taken.db");
    fs::create_dir(&taken).unwrap();
    fs::write(taken.join("inside"), "").unwrap();
    assert!(book.backup_to(&taken).is_err());
    assert!(taken.join("inside").exists());
    assert!(!place.path().join("taken.db.new").exists());
}

/// Would catch a whole copy of everybody that stays in the folder after the program was killed during a
/// backup, a download or a look into a file; and a file of hers that is taken away with them.
#[test]
fn what_was_left_by_a_killed_program_is_cleared_at_the_next_start() {
    let place = tempfile::tempdir().unwrap();
    let book = Book::open(place.path(), sample::clock).unwrap();
    let made = book.back_up().unwrap();
    let aside = book.aside().unwrap();
    assert!(aside.path().starts_with(place.path().join("backups")));
    fs::write(aside.path(), "everybody").unwrap();
    // As if it were killed: nothing is dropped.
    let left = aside.path().to_owned();
    std::mem::forget(aside);
    let named = |from: &Path, ending: &str| {
        let mut name = from.as_os_str().to_owned();
        name.push(ending);
        PathBuf::from(name)
    };
    let mut go = vec![left.clone()];
    for ending in ["-wal", "-shm", "-journal", ".new", ".new-journal"] {
        go.push(named(&left, ending));
    }
    for ending in [".new", ".new-journal", ".new-wal"] {
        go.push(named(&made.path, ending));
    }
    let backups = place.path().join("backups");
    let stay = [
        made.path.clone(),
        backups.join("notes.new"),
        backups.join("aside-of-mine.txt"),
        backups.join("aside-of-mine.new"),
        backups.join("book-x.db.new"),
    ];
    for path in go.iter().chain(&stay[1..]) {
        fs::write(path, "everybody").unwrap();
    }
    drop(book);
    let book = Book::open(place.path(), sample::clock).unwrap();
    for path in &go {
        assert!(!path.exists(), "{}", path.display());
    }
    for path in &stay {
        assert!(path.exists(), "{}", path.display());
    }
    assert_eq!(book.backups(), [made]);
    // Without being killed it is gone as soon as it is no longer needed.
    let aside = book.aside().unwrap();
    let path = aside.path().to_owned();
    assert!(path.exists());
    drop(aside);
    assert!(!path.exists());
}
