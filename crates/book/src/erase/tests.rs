//! Tests of erasing: no trace is left, not in backups either, and the demo goes whole.

use std::time::Duration;

use super::*;
use crate::{BackupKind, OrderNo, Which, sample};

const NAME: &str = "Philomena Quartermaine";

/// Whether a text stands anywhere in the files of a folder, as the program `strings` would find it.
fn stands_in(folder: &Path, text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(stands_in(&path, text));
        } else {
            let bytes = fs::read(&path).unwrap();
            if bytes.windows(text.len()).any(|w| w == text.as_bytes()) {
                found.push(path.display().to_string());
            }
        }
    }
    found
}

/// Would catch any trace of her: in a table that was forgotten, between rows, in the file beside the book.
#[test]
fn no_trace_is_left() {
    let place = tempfile::tempdir().unwrap();
    let mut book = Book::open(place.path(), sample::clock).unwrap();
    sample::hers(&mut book);
    sample::everything(&mut book, "Odile Marchetti");
    let before = sample::rows(&book);
    let (client, order) = sample::everything(&mut book, NAME);
    let id = book.client(client).unwrap().id;
    assert!(
        !stands_in(place.path(), NAME).is_empty(),
        "the test sees her while she is there"
    );
    book.erase_client(client).unwrap();
    assert_eq!(stands_in(place.path(), NAME), [""; 0]);
    assert!(matches!(book.client(client), Err(Trouble::Missing(_))));
    assert!(matches!(book.order(order), Err(Trouble::Missing(_))));
    // What is left is what was there before her, her id, and the numbers that are not given again.
    let mut after = sample::rows(&book);
    after.retain(|row| !row.contains(&id.to_string()));
    let plain = |rows: Vec<String>| -> Vec<String> {
        let rows = rows.into_iter().filter(|r| !r.starts_with("next_number"));
        rows.collect()
    };
    assert_eq!(plain(after), plain(before));
    assert_eq!(erased(&book.db).unwrap(), [(id, sample::clock())]);
    assert_eq!(
        book.new_client(&sample::about("Next"), false).unwrap(),
        ClientNo(3)
    );
    drop(book);
    assert_eq!(stands_in(place.path(), NAME), [""; 0]);
}

/// Would catch a backup that still holds her after she was to be erased there too.
#[test]
fn backups_are_cleaned() {
    let place = tempfile::tempdir().unwrap();
    let mut book = Book::open(place.path(), sample::clock).unwrap();
    let (other, _) = sample::everything(&mut book, "Odile Marchetti");
    let (client, _) = sample::everything(&mut book, NAME);
    let backup = book.back_up().unwrap();
    book.erase_client(client).unwrap();
    assert_eq!(
        stands_in(place.path(), NAME),
        [backup.path.display().to_string()]
    );
    let told = book.clean_backups().unwrap();
    assert_eq!((told.cleaned, told.left.len()), (1, 0));
    assert_eq!(stands_in(place.path(), NAME), [""; 0]);
    let told = book.clean_backups().unwrap();
    assert_eq!(told.cleaned, 0, "nothing is left to clean");
    assert_eq!(told.left.len(), 0);
    assert_eq!(
        Book::last_good_backup(place.path()),
        Some(backup.path.clone())
    );
    let left: Vec<_> = fs::read_dir(place.path().join("backups"))
        .unwrap()
        .flatten()
        .collect();
    assert_eq!(left.len(), 1, "{left:?}");
    book.restore(&backup.path).unwrap();
    assert!(book.client(other).is_ok());
}

/// Would catch a backup from before a step to a newer edition that holds her for ever; and one with nobody
/// to erase that is written to all the same.
#[test]
fn a_backup_of_an_older_edition_is_cleaned_too() {
    let name = "Odile Marchetti (invented)";
    let place = tempfile::tempdir().unwrap();
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/edition-1.db");
    fs::copy(kept, place.path().join("book.db")).unwrap();
    let mut book = Book::open(place.path(), sample::clock).unwrap();
    let backups = book.backups();
    let [before] = backups.as_slice() else {
        panic!("{backups:?}")
    };
    assert_eq!(before.kind, BackupKind::BeforeStep);
    let bytes = fs::read(&before.path).unwrap();
    let other = book.new_client(&sample::about("Next"), false).unwrap();
    let told = book.erase_client_everywhere(other).unwrap().backups;
    assert_eq!((told.cleaned, told.left.len()), (0, 0));
    assert_eq!(fs::read(&before.path).unwrap(), bytes, "not touched");
    let told = book.erase_client_everywhere(ClientNo(1)).unwrap();
    assert!(told.unswept.is_none());
    assert_eq!((told.backups.cleaned, told.backups.left.len()), (1, 0));
    assert_eq!(stands_in(place.path(), name), [""; 0]);
    assert_eq!(
        Book::last_good_backup(place.path()),
        Some(before.path.clone())
    );
    assert_eq!(book.restore(&before.path).unwrap().clients, 0);
}

/// Would catch one backup that can't be cleaned and keeps all older ones from it; a whole copy of her that
/// nobody is told of, or that can't be thrown away; and a file thrown away that was not meant.
#[test]
fn what_can_t_be_cleaned_is_told_and_thrown_away_by_its_name() {
    let place = tempfile::tempdir().unwrap();
    let mut book = Book::open(place.path(), sample::clock).unwrap();
    let (client, _) = sample::everything(&mut book, NAME);
    let older = book.back_up_as(BackupKind::BeforeRestore).unwrap();
    let newer = book.back_up_as(BackupKind::BeforeRestore).unwrap();
    let sql = "SELECT rootpage FROM sqlite_schema WHERE name = 'client'";
    let page: i64 = book.db.query_row(sql, [], |row| row.get(0)).unwrap();
    let at = usize::try_from(page - 1).unwrap() * 4096;
    let mut bytes = fs::read(&newer.path).unwrap();
    bytes[at..at + 4096].fill(0xa5);
    fs::write(&newer.path, &bytes).unwrap();
    let aside = place.path().join("damaged-2026-01-01T10-00-00Z.db");
    let beside = place.path().join("damaged-2026-01-01T10-00-00Z.db-wal");
    fs::write(&aside, NAME).unwrap();
    fs::write(&beside, NAME).unwrap();
    let waits = book.aside().unwrap();
    fs::write(waits.path(), NAME).unwrap();
    let told = book.erase_client_everywhere(client).unwrap();
    assert!(told.unswept.is_none());
    assert_eq!(told.backups.cleaned, 1);
    let left = told.backups.left;
    let names: Vec<&str> = left.iter().map(Left::name).collect();
    let name = |path: &Path| path.file_name().unwrap().to_str().unwrap().to_owned();
    assert_eq!(names, [name(&newer.path), name(&aside)]);
    for one in &left {
        assert!(matches!(one.why, Trouble::Damaged { .. }), "{one:?}");
        assert!(!one.may_pass());
    }
    assert!(!is_due(&book.db, BACKUPS).unwrap(), "no use at each start");
    let all = |files: &[&Path]| {
        let mut all: Vec<_> = files.iter().map(|f| f.display().to_string()).collect();
        all.sort();
        all
    };
    let stands = || {
        let mut all = stands_in(place.path(), NAME);
        all.sort();
        all
    };
    assert_eq!(stands(), all(&[&newer.path, &aside, &beside]));
    // What holds nobody, or lies elsewhere, is not thrown away.
    for other in [name(&older.path).as_str(), "book.db", "../book.db", ""] {
        assert_eq!(book.throw_away(other).unwrap().left.len(), 2, "{other}");
    }
    assert!(older.path.exists());
    assert_eq!(book.throw_away(&name(&newer.path)).unwrap().left.len(), 1);
    assert_eq!(stands(), all(&[&aside, &beside]));
    assert_eq!(book.throw_away(&name(&aside)).unwrap().left.len(), 0);
    assert_eq!(stands(), [""; 0]);
    let there: Vec<_> = book.backups().into_iter().map(|b| b.path).collect();
    assert_eq!(there, [older.path]);
}

/// Somebody in the middle of reading the book, who keeps what waits beside the file from being let go.
fn somebody_reads(folder: &Path) -> Connection {
    let reader = Connection::open(folder.join("book.db")).unwrap();
    reader.execute_batch("BEGIN").unwrap();
    let seen: i64 = reader
        .query_row("SELECT count(*) FROM client", [], |row| row.get(0))
        .unwrap();
    assert_eq!(seen, 1);
    reader
}

/// Would catch an erasing that stumbles and does not go on to the backups, or is not finished later: here
/// somebody reads, and keeps what waits beside the file from being let go.
#[test]
fn an_erasing_that_stumbles_goes_on_and_is_finished_at_the_next_start() {
    let place = tempfile::tempdir().unwrap();
    let mut book = Book::open(place.path(), sample::clock).unwrap();
    let (client, _) = sample::everything(&mut book, NAME);
    book.back_up().unwrap();
    let reader = somebody_reads(place.path());
    book.db.busy_timeout(Duration::ZERO).unwrap();
    let told = book.erase_client_everywhere(client).unwrap();
    let Some(Trouble::Unswept(why)) = &told.unswept else {
        panic!("{told:?}")
    };
    assert!(matches!(**why, Trouble::Busy(_)), "{why:?}");
    assert!(matches!(book.client(client), Err(Trouble::Missing(_))));
    assert_eq!((told.backups.cleaned, told.backups.left.len()), (1, 0));
    assert!(is_due(&book.db, SWEEP).unwrap());
    drop(reader);
    drop(book);
    let book = Book::open(place.path(), sample::clock).unwrap();
    assert!(!is_due(&book.db, SWEEP).unwrap());
    assert_eq!(stands_in(place.path(), NAME), [""; 0]);
}

/// Would catch a program that is killed once she is erased, and forgets that she still stands in the
/// backups and between the rows.
#[test]
fn what_was_still_to_be_done_when_it_was_killed_is_done_at_the_next_start() {
    let place = tempfile::tempdir().unwrap();
    let mut book = Book::open(place.path(), sample::clock).unwrap();
    let (client, _) = sample::everything(&mut book, NAME);
    let backup = book.back_up().unwrap();
    // Only the first step of it.
    book.erase_rows(client, true).unwrap();
    // What is restored meanwhile does not make it forget.
    book.restore(&backup.path).unwrap();
    drop(book);
    assert!(stands_in(place.path(), NAME).contains(&backup.path.display().to_string()));
    let book = Book::open(place.path(), sample::clock).unwrap();
    assert_eq!(stands_in(place.path(), NAME), [""; 0]);
    assert!(!is_due(&book.db, BACKUPS).unwrap() && !is_due(&book.db, SWEEP).unwrap());
}

/// Would catch a note that goes before the file is rewritten: killed in between, nobody would do it.
#[test]
fn the_note_stays_until_the_file_is_rewritten() {
    let book = sample::book();
    note(&book.db, SWEEP).unwrap();
    // A question that is not answered to its end keeps the file from being rewritten.
    let mut asked = book.db.prepare("SELECT 1 UNION ALL SELECT 2").unwrap();
    let mut rows = asked.query([]).unwrap();
    assert!(rows.next().unwrap().is_some());
    assert!(matches!(sweep(&book.db), Err(Trouble::Unswept(_))));
    assert!(is_due(&book.db, SWEEP).unwrap());
    drop(rows);
    drop(asked);
    sweep(&book.db).unwrap();
    assert!(!is_due(&book.db, SWEEP).unwrap());
}

/// Would catch a row of hers that goes with the demo, or one of the demo's that stays.
#[test]
fn the_demo_goes_whole() {
    let mut book = sample::book();
    sample::everything(&mut book, "Odile Marchetti");
    book.new_party("still to be filled").unwrap();
    let before: Vec<_> = sample::rows(&book)
        .into_iter()
        .filter(|r| !r.starts_with("next_number"))
        .collect();
    sample::everything(&mut book, NAME);
    book.db
        .execute_batch(
            "UPDATE client SET demo = 1 WHERE number = 2;
             UPDATE \"order\" SET demo = 1 WHERE client = (SELECT id FROM client WHERE number = 2)",
        )
        .unwrap();
    let price = crate::NewPrice {
        kind: crate::PriceKind::Hour,
        name: "Demo".to_owned(),
        page: String::new(),
        unit: "hour".to_owned(),
        minor: 1,
        currency: "EUR".to_owned(),
        supplier: String::new(),
        since: sample::day("2026-01-01"),
        demo: true,
    };
    book.add_price(&price).unwrap();
    assert!(book.has_demo().unwrap());
    book.remove_demo().unwrap();
    assert!(!book.has_demo().unwrap());
    let after: Vec<_> = sample::rows(&book)
        .into_iter()
        .filter(|r| !r.starts_with("next_number"))
        .collect();
    assert_eq!(after, before);
    assert_eq!(
        book.orders(Which::All)
            .unwrap()
            .last()
            .unwrap()
            .order
            .number,
        OrderNo(1)
    );
    book.remove_demo().unwrap();
}

/// Would catch a demo that is gone and told as a trouble, so that what belongs to its going is not done.
#[test]
fn a_demo_whose_file_can_t_be_rewritten_is_gone_all_the_same() {
    let place = tempfile::tempdir().unwrap();
    let mut book = Book::open(place.path(), sample::clock).unwrap();
    sample::everything(&mut book, NAME);
    book.db
        .execute_batch("UPDATE client SET demo = 1; UPDATE \"order\" SET demo = 1")
        .unwrap();
    let reader = somebody_reads(place.path());
    book.db.busy_timeout(Duration::ZERO).unwrap();
    book.remove_demo().unwrap();
    assert!(!book.has_demo().unwrap());
    assert!(is_due(&book.db, SWEEP).unwrap());
    drop(reader);
    drop(book);
    Book::open(place.path(), sample::clock).unwrap();
    assert_eq!(stands_in(place.path(), NAME), [""; 0]);
}
