//! Tests of erasing: no trace is left, not in backups either, and the demo goes whole.

use std::path::Path;

use super::*;
use crate::{OrderNo, Which, sample};

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
    assert_eq!(book.clean_backups().unwrap(), 1);
    assert_eq!(stands_in(place.path(), NAME), [""; 0]);
    assert_eq!(book.clean_backups().unwrap(), 0, "nothing is left to clean");
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
