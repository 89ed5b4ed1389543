//! Tests of the journal: there and back again, two windows, any run of changes against a plain pile of maps.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::*;
use crate::{Change, sample};

fn change(key: &str, after: Option<&str>) -> Change {
    Change {
        key: key.to_owned(),
        after: after.map(str::to_owned),
    }
}

/// Would catch a change that can't be taken back, or a label that belongs to another.
#[test]
fn there_and_back_and_there_again() {
    let mut book = sample::book();
    let (_, order) = sample::order(&mut book);
    assert_eq!(
        book.can_take_back(order).unwrap(),
        None,
        "what it was entered with stays"
    );
    let both = [
        change("choice/knee", Some("2 3/4")),
        change("note", Some("silk")),
    ];
    let seen = book
        .change(order, Some(1), "knee to 2 3/4", "here", &both)
        .unwrap();
    assert_eq!(seen, 2);
    book.hold(order, "no note", "phone", "note", None).unwrap();
    assert_eq!(book.holds(order).unwrap().get("note"), None);
    assert_eq!(
        book.can_take_back(order).unwrap().as_deref(),
        Some("no note")
    );
    assert_eq!(book.take_back(order).unwrap().as_deref(), Some("no note"));
    assert_eq!(book.holds(order).unwrap()["note"], "silk");
    assert_eq!(
        book.take_back(order).unwrap().as_deref(),
        Some("knee to 2 3/4")
    );
    assert_eq!(book.take_back(order).unwrap(), None);
    let now: Vec<_> = book.holds(order).unwrap().into_iter().collect();
    assert_eq!(now, [("choice/knee".to_owned(), "2 1/2".to_owned())]);
    assert_eq!(
        book.put_again(order).unwrap().as_deref(),
        Some("knee to 2 3/4")
    );
    assert_eq!(
        book.can_put_again(order).unwrap().as_deref(),
        Some("no note")
    );
    // Something else is done: the one taken back is gone.
    book.hold(order, "lined", "here", "choice/lining", Some("yes"))
        .unwrap();
    assert_eq!(book.put_again(order).unwrap(), None);
    let all = book.journal(order).unwrap();
    let told: Vec<_> = all
        .iter()
        .map(|e| (e.label.as_str(), e.undone, e.settled))
        .collect();
    assert_eq!(
        told,
        [
            ("knee to 2 3/4", false, false),
            ("no note", true, true),
            ("lined", false, false)
        ]
    );
    assert_eq!(all[1].by, "phone");
    // What is there already is no change.
    let before = book.order(order).unwrap().seen;
    assert_eq!(
        book.hold(order, "again", "here", "choice/lining", Some("yes"))
            .unwrap(),
        before
    );
    assert_eq!(book.journal(order).unwrap().len(), 3);
}

/// Would catch a button that takes back another line than the one it names, because another window changed
/// something meanwhile; and one that takes back twice as much when it is pressed twice.
#[test]
fn the_line_that_was_named_is_turned_and_no_other() {
    let mut book = sample::book();
    let (_, order) = sample::order(&mut book);
    let hold = |book: &mut Book, label: &str, value: &str| {
        book.hold(order, label, "here", "choice/knee", Some(value))
            .unwrap();
        book.next_back(order).unwrap().unwrap().at
    };
    let knee = |book: &Book| book.holds(order).unwrap()["choice/knee"].clone();
    let three = hold(&mut book, "three", "3");
    let four = hold(&mut book, "four", "4");
    // A page that named "three" is older than "four".
    let seen = book.order(order).unwrap().seen;
    assert!(matches!(
        book.take_back_at(order, three),
        Err(Trouble::Moved { now }) if now == seen
    ));
    assert_eq!(knee(&book), "4");
    for _ in 0..2 {
        let told = book.take_back_at(order, four).unwrap();
        assert_eq!(told.as_deref(), Some("four"));
        assert_eq!(knee(&book), "3", "pressed twice it is taken back once");
    }
    assert_eq!(book.order(order).unwrap().seen, seen + 1);
    // "three" is the next by now: its page may go on.
    book.take_back_at(order, three).unwrap();
    assert_eq!(knee(&book), "2 1/2");
    assert!(matches!(
        book.put_again_at(order, four),
        Err(Trouble::Moved { .. })
    ));
    for _ in 0..2 {
        book.put_again_at(order, three).unwrap();
        assert_eq!(knee(&book), "3");
    }
    // Something else is done: "four" can't be put again, and no place of another order is meant.
    hold(&mut book, "five", "5");
    for at in [four, 999_999] {
        assert!(matches!(
            book.put_again_at(order, at),
            Err(Trouble::Moved { .. })
        ));
        assert!(matches!(
            book.take_back_at(order, at),
            Err(Trouble::Moved { .. })
        ));
    }
    assert_eq!(knee(&book), "5");
}

/// Would catch a change that is taken back after the order was closed and opened again.
#[test]
fn closing_settles_what_was_done() {
    let mut book = sample::book();
    let (_, order) = sample::order(&mut book);
    book.hold(order, "one", "here", "note", Some("1")).unwrap();
    book.close_order(order).unwrap();
    assert!(matches!(book.take_back(order), Err(Trouble::Closed)));
    book.reopen_order(order).unwrap();
    assert_eq!(book.take_back(order).unwrap(), None);
    assert_eq!(book.holds(order).unwrap()["note"], "1");
}

/// Would catch two windows that overwrite each other; and a quarrel where there is none.
#[test]
fn two_windows_on_one_order() {
    let mut book = sample::book();
    let (_, order) = sample::order(&mut book);
    let seen = Some(book.order(order).unwrap().seen);
    let now = book
        .change(
            order,
            seen,
            "a",
            "here",
            &[change("choice/knee", Some("3"))],
        )
        .unwrap();
    // Another key: no quarrel, though the page is old.
    book.change(order, seen, "b", "phone", &[change("note", Some("x"))])
        .unwrap();
    // The same key, the same wish: no quarrel either.
    book.change(
        order,
        seen,
        "c",
        "phone",
        &[change("choice/knee", Some("3"))],
    )
    .unwrap();
    let quarrel = book.change(
        order,
        seen,
        "d",
        "phone",
        &[
            change("choice/hem", Some("1")),
            change("choice/knee", Some("4")),
        ],
    );
    let last = book.order(order).unwrap().seen;
    assert!(
        matches!(quarrel, Err(Trouble::Moved { now }) if now == last),
        "{quarrel:?}"
    );
    assert_eq!(
        book.holds(order).unwrap().get("choice/hem"),
        None,
        "all or nothing"
    );
    assert_eq!(book.changed_since(order, now).unwrap(), ["note"]);
    // Taken back counts as changed, also what was taken off.
    book.take_back(order).unwrap();
    assert!(matches!(
        book.change(order, Some(last), "e", "here", &[change("note", Some("y"))]),
        Err(Trouble::Moved { .. })
    ));
    // Without a count she means it.
    book.change(order, None, "f", "here", &[change("note", Some("y"))])
        .unwrap();
}

/// Would catch a journal whose lines can be changed or thrown away.
#[test]
fn the_journal_refuses_to_be_changed() {
    let mut book = sample::book();
    let (_, order) = sample::order(&mut book);
    book.hold(order, "one", "here", "note", Some("1")).unwrap();
    for sql in [
        "UPDATE journal SET label = 'x'",
        "UPDATE journal SET changes = '[]'",
        "DELETE FROM journal",
    ] {
        assert!(book.db.execute(sql, []).is_err(), "{sql}");
    }
}

#[derive(Clone, Debug)]
enum Act {
    Change(Vec<(u8, Option<u8>)>),
    Back,
    Again,
    CloseAndOpen,
}

fn acts() -> impl Strategy<Value = Vec<Act>> {
    let change = prop::collection::vec((0..4_u8, prop::option::of(0..3_u8)), 1..4);
    let one = prop_oneof![
        4 => change.prop_map(Act::Change),
        3 => Just(Act::Back),
        3 => Just(Act::Again),
        1 => Just(Act::CloseAndOpen),
    ];
    prop::collection::vec(one, 0..40)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    /// Any run of changes, taking back and putting again leaves what a plain pile of whole maps leaves;
    /// and the journal only ever grows.
    #[test]
    fn the_journal_is_as_good_as_a_pile_of_maps(acts in acts()) {
        let mut book = sample::book();
        let (_, order) = sample::order(&mut book);
        // The model: every state there was, and where in the pile we are.
        let mut pile: Vec<BTreeMap<String, String>> = vec![book.holds(order).unwrap()];
        let mut at = 0;
        let mut lines = 0;
        let mut seen = book.order(order).unwrap().seen;
        for act in acts {
            match act {
                Act::Change(changes) => {
                    let mut next = pile[at].clone();
                    let mut asked = Vec::new();
                    for (key, value) in changes {
                        let key = format!("choice/{key}");
                        match value {
                            Some(v) => next.insert(key.clone(), v.to_string()),
                            None => next.remove(&key),
                        };
                        asked.push(Change { key, after: value.map(|v| v.to_string()) });
                    }
                    book.change(order, Some(seen), "x", "here", &asked).unwrap();
                    if next != pile[at] {
                        pile.truncate(at + 1);
                        pile.push(next);
                        at += 1;
                    }
                }
                Act::Back => {
                    let told = book.take_back(order).unwrap();
                    prop_assert_eq!(told.is_some(), at > 0);
                    at = at.saturating_sub(1);
                }
                Act::Again => {
                    let told = book.put_again(order).unwrap();
                    prop_assert_eq!(told.is_some(), at + 1 < pile.len());
                    at = (at + 1).min(pile.len() - 1);
                }
                Act::CloseAndOpen => {
                    book.close_order(order).unwrap();
                    book.reopen_order(order).unwrap();
                    pile = vec![pile[at].clone()];
                    at = 0;
                }
            }
            prop_assert_eq!(&book.holds(order).unwrap(), &pile[at]);
            prop_assert_eq!(book.can_take_back(order).unwrap().is_some(), at > 0);
            prop_assert_eq!(book.can_put_again(order).unwrap().is_some(), at + 1 < pile.len());
            let now = book.journal(order).unwrap().len();
            prop_assert!(now >= lines);
            lines = now;
            let next = book.order(order).unwrap().seen;
            prop_assert!(next >= seen);
            seen = next;
        }
    }
}
