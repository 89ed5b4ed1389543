//! Tests of the cards: what counts, what stays, and two hands on one card.

use super::*;
use crate::sample::{self, about, day, head};

fn reading(measure: &str, turn: u8, text: &str) -> NewReading {
    NewReading {
        measure: measure.to_owned(),
        turn,
        text: text.to_owned(),
        unit: "in".to_owned(),
        mm: Some(1.5),
    }
}

fn card(book: &mut Book) -> Id {
    let client = book.new_client(&about("Odile"), false).unwrap();
    let number = book.new_card(client, &head()).unwrap();
    book.card(client, number).unwrap().id
}

/// Would catch a field of the head that is lost or changes places, and a card of one client among
/// another's.
#[test]
fn cards_come_back_by_client_and_number() {
    let mut book = sample::book();
    let one = book.new_client(&about("One"), false).unwrap();
    let two = book.new_client(&about("Two"), false).unwrap();
    let full = CardHead {
        taken: day("2024-05-02"),
        taker: "Mara".to_owned(),
        unit: Unit::Cm,
        foundation: "corset".to_owned(),
        shoes: "8 cm".to_owned(),
        waist: "tape".to_owned(),
        notes: "tired".to_owned(),
    };
    assert_eq!(book.new_card(one, &full).unwrap(), CardNo(1));
    assert_eq!(book.new_card(two, &head()).unwrap(), CardNo(1));
    assert_eq!(book.new_card(one, &head()).unwrap(), CardNo(2));
    assert_eq!(book.card(one, CardNo(1)).unwrap().head, full);
    let numbers: Vec<_> = book
        .cards(one)
        .unwrap()
        .into_iter()
        .map(|c| c.number)
        .collect();
    assert_eq!(numbers, [CardNo(2), CardNo(1)]);
    assert!(matches!(
        book.card(two, CardNo(2)),
        Err(Trouble::Missing(_))
    ));
    let id = book.card(two, CardNo(1)).unwrap().id;
    assert_eq!(book.change_card(id, 1, &full).unwrap(), 2);
    assert!(matches!(
        book.change_card(id, 1, &head()),
        Err(Trouble::Moved { now: 2 })
    ));
    assert_eq!(book.card_by_id(id).unwrap().head, full);
    assert!(!book.card_by_id(id).unwrap().finished);
    book.finish_card(id, true).unwrap();
    assert!(book.card_by_id(id).unwrap().finished);
    let lines = book.clients().unwrap();
    assert_eq!(
        (lines[0].cards, lines[0].last_card),
        (2, Some(day("2026-11-20")))
    );
}

/// Would catch a reading that is written over instead of added, or one that counts after it was taken
/// off.
#[test]
fn the_newest_reading_counts_and_the_old_ones_stay() {
    let mut book = sample::book();
    let id = card(&mut book);
    let all = [
        reading("waist", 1, "27 1/2"),
        reading("hip", 1, "38"),
        reading("waist", 2, "27 5/8"),
    ];
    book.write_readings(id, None, &all, "here").unwrap();
    book.write_readings(id, None, &[reading("waist", 1, "27 3/4")], "phone")
        .unwrap();
    book.write_readings(id, None, &[reading("hip", 1, "")], "here")
        .unwrap();
    let now: Vec<_> = book
        .readings(id)
        .unwrap()
        .into_iter()
        .map(|(k, r)| (k.0, k.1, r.text))
        .collect();
    assert_eq!(
        now,
        [
            ("waist".into(), 1, "27 3/4".into()),
            ("waist".into(), 2, "27 5/8".into())
        ]
    );
    let history = book.reading_history(id).unwrap();
    let texts: Vec<_> = history.iter().map(|r| r.text.as_str()).collect();
    assert_eq!(texts, ["27 1/2", "38", "27 5/8", "27 3/4", ""]);
    assert_eq!(history[3].by, "phone");
    assert_eq!(history[3].made, sample::clock());
    // The same text again is no change.
    book.write_readings(
        id,
        None,
        &[reading("waist", 1, "27 3/4"), reading("knee", 1, "")],
        "here",
    )
    .unwrap();
    assert_eq!(book.reading_history(id).unwrap().len(), 5);
}

/// Would catch history that can be changed or thrown away, by whatever words of SQL.
#[test]
fn history_refuses_to_be_changed() {
    let mut book = sample::book();
    let id = card(&mut book);
    book.write_readings(id, None, &[reading("waist", 1, "27 1/2")], "here")
        .unwrap();
    book.answer(id, "waist 27 1/2", Said::Right).unwrap();
    for sql in [
        "UPDATE reading SET text = '28'",
        "DELETE FROM reading",
        "INSERT OR REPLACE INTO reading SELECT at, card, measure, turn, '28', unit, mm, made, by FROM reading",
        "UPDATE answer SET said = 'later'",
        "DELETE FROM answer",
    ] {
        let said = book.db.execute(sql, []);
        assert!(said.is_err(), "{sql}: {said:?}");
    }
    assert_eq!(book.reading_history(id).unwrap()[0].text, "27 1/2");
}

/// Would catch a phone and a page that write over each other's measures; different measures are no
/// quarrel.
#[test]
fn two_hands_on_one_card() {
    let mut book = sample::book();
    let id = card(&mut book);
    let seen = book
        .write_readings(id, None, &[reading("waist", 1, "27")], "here")
        .unwrap();
    assert_eq!(book.readings_seen(id).unwrap(), seen);
    let later = book
        .write_readings(id, Some(seen), &[reading("waist", 1, "28")], "phone")
        .unwrap();
    let mine = [reading("hip", 1, "38"), reading("waist", 1, "29")];
    let quarrel = book.write_readings(id, Some(seen), &mine, "here");
    assert!(
        matches!(quarrel, Err(Trouble::Moved { now }) if now == later),
        "{quarrel:?}"
    );
    assert_eq!(book.readings(id).unwrap().len(), 1, "all or none");
    let agreed = [reading("hip", 1, "38"), reading("waist", 1, "28")];
    book.write_readings(id, Some(seen), &agreed, "here")
        .unwrap();
    assert_eq!(book.readings(id).unwrap().len(), 2);
}

/// Would catch an answer that does not come back, or an old one that counts.
#[test]
fn answers_come_back() {
    let mut book = sample::book();
    let id = card(&mut book);
    book.answer(id, "a", Said::Later).unwrap();
    book.answer(id, "b", Said::Taken).unwrap();
    book.answer(id, "a", Said::Right).unwrap();
    let all: Vec<_> = book.answers(id).unwrap().into_iter().collect();
    assert_eq!(all, [("a".into(), Said::Right), ("b".into(), Said::Taken)]);
}
