//! Tests of the editions: a kept file of each, and a step that fails.

use std::fs;
use std::path::{Path, PathBuf};

use super::*;
use crate::{BackupKind, Book, CardNo, ClientNo, OrderNo, VersionNo, sample};

fn kept() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data")
}

/// Makes the kept file of this edition, once, before the edition is released:
/// `MAKE_EDITION=1 cargo test -p book a_book_of_every_edition_opens`. One that is there is never touched.
fn make_if_asked(file: &Path) {
    if file.exists() || std::env::var_os("MAKE_EDITION").is_none() {
        return;
    }
    let mut book = sample::book();
    sample::hers(&mut book);
    sample::everything(&mut book, "Odile Marchetti (invented)");
    book.backup_to(file).unwrap();
    // Small pages: the file lies in the repository.
    let db = Connection::open(file).unwrap();
    db.execute_batch("PRAGMA page_size = 512; VACUUM").unwrap();
}

/// Would catch a step that breaks what an older program wrote: a file of every edition there was is kept.
#[test]
fn a_book_of_every_edition_opens() {
    for edition in 1..=edition() {
        let folder = tempfile::tempdir().unwrap();
        let file = kept().join(format!("edition-{edition}.db"));
        make_if_asked(&file);
        fs::copy(&file, folder.path().join("book.db")).unwrap();
        let mut book = Book::open(folder.path(), sample::clock).unwrap();
        let client = book.client(ClientNo(1)).unwrap();
        assert_eq!(client.about.name, "Odile Marchetti (invented)");
        let card = book.card(ClientNo(1), CardNo(1)).unwrap();
        let history = book.reading_history(card.id).unwrap();
        assert_eq!(
            history.iter().map(|r| r.text.as_str()).collect::<Vec<_>>(),
            ["27", "27 1/2"]
        );
        assert_eq!(book.holds(OrderNo(1)).unwrap()["choice/knee"], "2");
        assert_eq!(
            book.put_again(OrderNo(1)).unwrap().as_deref(),
            Some("no knee")
        );
        let paper = book
            .paper(OrderNo(1), VersionNo(1), "pattern-a4.pdf", "")
            .unwrap()
            .unwrap();
        assert_eq!(paper.bytes, b"sheet of Odile Marchetti (invented)");
        assert_eq!(book.prices(sample::day("2026-11-25")).unwrap().len(), 2);
        // It is restored as well as opened.
        let restored = book.restore(&file).unwrap();
        assert_eq!((restored.clients, restored.orders), (1, 2));
    }
}

/// Would catch a step that is done without a backup of what was there, or one that is half done.
#[test]
fn a_step_is_whole_or_not_at_all_and_a_backup_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = Book::open(folder.path(), sample::clock).unwrap();
    sample::everything(&mut book, "Odile");
    let rows = sample::rows(&book);
    drop(book);
    let bad = [
        STEPS[0],
        STEPS[1],
        "ALTER TABLE client ADD COLUMN shoe TEXT; UPDATE nothing SET x = 1",
    ];
    assert!(Book::open_by(folder.path(), sample::clock, &bad).is_err());
    let book = Book::open(folder.path(), sample::clock).unwrap();
    assert_eq!(sample::rows(&book), rows, "as before");
    drop(book);
    let good = [
        STEPS[0],
        STEPS[1],
        "ALTER TABLE client ADD COLUMN shoe TEXT NOT NULL DEFAULT '7'",
    ];
    let book = Book::open_by(folder.path(), sample::clock, &good).unwrap();
    let shoe = book
        .one("SELECT shoe FROM client", [], |row| row.get::<_, String>(0))
        .unwrap();
    assert_eq!(shoe.as_deref(), Some("7"));
    let before = book.backups();
    assert_eq!(
        before
            .iter()
            .filter(|b| b.kind == BackupKind::BeforeStep)
            .count(),
        2
    );
    drop(book);
    // This program is the older one now.
    assert!(matches!(
        Book::open(folder.path(), sample::clock),
        Err(Trouble::Newer {
            file: 3,
            program: 2
        })
    ));
    let other = tempfile::tempdir().unwrap();
    fs::copy(&before[0].path, other.path().join("book.db")).unwrap();
    assert_eq!(
        sample::rows(&Book::open(other.path(), sample::clock).unwrap()),
        rows
    );
}
