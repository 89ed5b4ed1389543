//! A client is entered, found, changed in two windows, made one of two, and parted from her sister.

use book::{Book, CardHead, ClientNo, DayKind, NewDay, NewOrder, NewReading, Stamp, To, Unit};
use measure::date::Date;

use crate::web::testing::Visit;

fn clock() -> Stamp {
    Stamp::read("2026-11-25T12:00:00Z").unwrap()
}

fn visit() -> Visit {
    Visit::with(Book::in_memory(clock).unwrap())
}

fn enter(visit: &Visit, name: &str) -> String {
    let answer = visit.post("/clients/new", &[("name", name), ("photos", "not asked")]);
    assert_eq!(answer.status, 303, "{}", answer.text());
    answer
        .leads_to()
        .split('?')
        .next()
        .unwrap_or_default()
        .to_owned()
}

/// Catches a field that is lost on its way into the book or back, and a name that is not escaped.
#[test]
fn a_client_is_entered_and_found() {
    let visit = visit();
    let answer = visit.post(
        "/clients/new",
        &[
            ("name", "Inès <b>Halloway</b>"),
            ("code", "IH"),
            ("contact", "by post"),
            ("born", "1994-05-02"),
            ("figure", "left hip high"),
            ("photos", "yes"),
            ("guardian", ""),
            ("allergies", "nickel, latex"),
            ("hand", "left"),
            ("notes", "prefers mornings"),
        ],
    );
    assert_eq!(answer.status, 303);
    assert_eq!(answer.leads_to(), "/clients/1?said=kept");
    let page = visit.get("/clients/1").text();
    for said in [
        "by post",
        "2 May 1994",
        "left hip high",
        "nickel, latex",
        "left",
        "prefers mornings",
        "IH",
    ] {
        assert!(page.contains(said), "{said}");
    }
    assert!(page.contains("&lt;b&gt;") && !page.contains("<b>Halloway"));
    assert!(
        visit
            .get("/clients?q=halloway")
            .text()
            .contains("href=\"/clients/1\"")
    );
    assert!(
        !visit
            .get("/clients?q=nobody")
            .text()
            .contains("href=\"/clients/1\"")
    );
    assert_eq!(visit.get("/clients/77").status, 404);
    assert_eq!(visit.get("/clients/x").status, 404);
}

/// Catches a form that loses what was typed when something does not fit.
/// Catches two of one name that nobody can tell apart: in the list, where an order is begun, on her page.
#[test]
fn two_of_one_name_are_told_apart() {
    let visit = visit();
    let (one, other) = (enter(&visit, "Rosa Ilves"), enter(&visit, "Mara Ilves"));
    assert!(!visit.get("/clients").text().contains("client 1"));
    assert!(!visit.get(&one).text().contains("has this name too"));
    let third = enter(&visit, "rosa  ilves");
    let list = visit.get("/clients").text();
    assert!(list.contains("client 1") && list.contains("client 3") && !list.contains("client 2"));
    assert!(visit.get("/orders/new").text().contains("client 3"));
    let hers = visit.get(&third).text();
    assert!(hers.contains("Client 1 has this name too") && hers.contains("/double?with=1"));
    assert!(!visit.get(&other).text().contains("has this name too"));
}

#[test]
fn what_does_not_fit_is_said_and_nothing_typed_is_lost() {
    let visit = visit();
    let answer = visit.post(
        "/clients/new",
        &[
            ("name", ""),
            ("born", "2044-01-01"),
            ("notes", "a long story"),
        ],
    );
    assert_eq!(answer.status, 422);
    let page = answer.text();
    assert!(page.contains("href=\"#f-name\"") && page.contains("href=\"#f-born\""));
    assert!(page.contains("a long story") && page.contains("2044-01-01"));
}

/// Catches photos of someone under age without anybody's word, and a page that forgets her age.
#[test]
fn someone_under_age_has_a_guardian() {
    let visit = visit();
    let young = [("name", "Ida"), ("born", "2019-03-04"), ("photos", "yes")];
    let answer = visit.post("/clients/new", &young);
    assert_eq!(answer.status, 422);
    assert!(answer.text().contains("who said that photos may be kept"));
    let answer = visit.post(
        "/clients/new",
        &[young[0], young[1], ("photos", "not asked")],
    );
    assert_eq!(answer.status, 303);
    assert!(
        visit
            .get("/clients/1")
            .text()
            .contains("Who consents for her is not written down yet")
    );
}

/// Catches two windows that overwrite each other, and a choice between them that keeps the wrong one.
#[test]
fn two_windows_show_both_and_keep_what_is_chosen() {
    let visit = visit();
    let at = enter(&visit, "Ines");
    let edit = format!("{at}/edit");
    let first = visit.post(
        &edit,
        &[
            ("name", "Inès"),
            ("notes", "tea"),
            ("seen", "1"),
            ("photos", "not asked"),
        ],
    );
    assert_eq!(first.status, 303);
    let second = visit.post(
        &edit,
        &[
            ("name", "Agnes"),
            ("notes", "coffee"),
            ("seen", "1"),
            ("photos", "not asked"),
        ],
    );
    assert_eq!(second.status, 409);
    let page = second.text();
    for both in [
        "Inès",
        "Agnes",
        "tea",
        "coffee",
        "name=\"seen\" value=\"2\"",
    ] {
        assert!(page.contains(both), "{both}");
    }
    let third = visit.post(
        &edit,
        &[
            ("name", "Agnes"),
            ("notes", "tea"),
            ("seen", "2"),
            ("photos", "not asked"),
        ],
    );
    assert_eq!(third.status, 303);
    let page = visit.get(&at).text();
    assert!(page.contains("Agnes") && page.contains("tea") && !page.contains("coffee"));
}

/// Catches doubles that lose a card when they become one, or that become one unseen.
#[test]
fn doubles_are_shown_side_by_side_and_become_one() {
    let visit = visit();
    let (one, two) = (
        enter(&visit, "Odile Marchetti"),
        enter(&visit, "O. Marchetti"),
    );
    let card = [
        ("taken", "2024-05-20"),
        ("unit", "in"),
        ("waist", "natural"),
    ];
    assert_eq!(visit.post(&format!("{two}/cards/new"), &card).status, 303);
    let which = visit.get(&format!("{one}/double")).text();
    assert!(which.contains("?with=2"), "{which}");
    let both = visit.get(&format!("{one}/double?with=2")).text();
    assert!(
        both.contains("Odile Marchetti")
            && both.contains("O. Marchetti")
            && both.contains("Card 1")
    );
    let stale = visit.post(
        &format!("{one}/double"),
        &[("with", "2"), ("seen", "9"), ("their_seen", "1")],
    );
    assert_eq!(stale.status, 409);
    let done = visit.post(
        &format!("{one}/double"),
        &[("with", "2"), ("seen", "1"), ("their_seen", "1")],
    );
    assert_eq!(done.status, 303, "{}", done.text());
    assert!(visit.get(&one).text().contains("/clients/1/cards/1"));
    assert_eq!(visit.get(&two).status, 404);
}

/// Catches a card that loses its readings when it goes to the other sister.
#[test]
fn sisters_on_one_card_are_parted() {
    let mut book = Book::in_memory(clock).unwrap();
    let of = book
        .new_client(
            &book::About {
                name: "The sisters".into(),
                ..book::About::default()
            },
            false,
        )
        .unwrap();
    let card = book
        .new_card(
            of,
            &CardHead::new(Date::read("2024-05-20").unwrap(), Unit::Inch),
        )
        .unwrap();
    let id = book.card(of, card).unwrap().id;
    let waist = NewReading {
        measure: "waist".into(),
        turn: 1,
        text: "27 1/2".into(),
        unit: "in".into(),
        mm: Some(698.5),
    };
    book.write_readings(id, None, &[waist], "here").unwrap();
    let visit = Visit::with(book);
    let page = visit.get("/clients/1/cards/1/split").text();
    assert!(page.contains("The sisters") && page.contains("waist 27 1/2"));
    let nobody = visit.post("/clients/1/cards/1/split", &[("to", "new"), ("name", " ")]);
    assert_eq!(nobody.status, 422);
    let given = visit.post(
        "/clients/1/cards/1/split",
        &[("to", "new"), ("name", "The younger")],
    );
    assert_eq!(given.leads_to(), "/clients/2?said=given");
    assert!(visit.get("/clients/2").text().contains("1 measure"));
    assert!(visit.get("/clients/1").text().contains("Not measured yet"));
    let shelf = visit.room.shelf();
    let book = shelf.lock().unwrap();
    assert_eq!(book.cards(ClientNo(2)).unwrap()[0].id, id);
    assert_eq!(book.reading_history(id).unwrap().len(), 1);
}

/// Catches an order that stays behind when its card goes to a sister: worked from the sister's measures, or
/// with no page left, not even the first one, when the sister is erased. An older program left such orders.
#[test]
fn an_order_whose_card_went_to_a_sister_can_be_worked_on() {
    for older in [false, true] {
        let mut book = Book::in_memory(clock).unwrap();
        let about = |name: &str| book::About {
            name: name.into(),
            ..book::About::default()
        };
        let of = book.new_client(&about("The elder"), false).unwrap();
        let head = CardHead::new(Date::read("2024-05-20").unwrap(), Unit::Inch);
        let card = book.new_card(of, &head).unwrap();
        let id = book.card(of, card).unwrap().id;
        let waist = NewReading {
            measure: "waist".into(),
            turn: 1,
            text: "27 1/2".into(),
            unit: "in".into(),
            mm: Some(698.5),
        };
        book.write_readings(id, None, &[waist], "here").unwrap();
        let new = NewOrder {
            title: "Skirt".into(),
            holds: vec![("card".into(), id.to_string())],
            ..NewOrder::of(of)
        };
        let order = book.new_order(&new).unwrap();
        let day = NewDay {
            kind: DayKind::Fitting,
            on: Date::read("2090-05-20").unwrap(),
            time: String::new(),
            words: String::new(),
        };
        book.add_day(order, &day).unwrap();
        if older {
            let to = To::New(Box::new(about("The younger")));
            book.move_card(of, card, &to, false).unwrap();
            book.hold(order, "card", "here", "card", Some(&id.to_string()))
                .unwrap();
        }
        let visit = Visit::with(book);
        if !older {
            let page = visit.get("/clients/1/cards/1/split").text();
            assert!(page.contains("Versions that were made from it"), "{page}");
            assert!(page.contains("without a card until you choose another"));
            let given = visit.post(
                "/clients/1/cards/1/split",
                &[("to", "new"), ("name", "The younger"), ("orders", "no")],
            );
            assert_eq!(given.leads_to(), "/clients/2?said=given");
        }
        let her_pages = || {
            for part in [
                "",
                "/card",
                "/draft",
                "/cloth",
                "/paper",
                "/fittings",
                "/sheet",
            ] {
                let page = visit.get(&format!("/orders/{order}{part}"));
                assert_eq!(page.status, 200, "{older} {part}: {}", page.text());
                assert!(!page.text().contains("27 1/2"), "{older} {part}");
            }
            let today = visit.get("/");
            assert_eq!(today.status, 200, "{older}: {}", today.text());
            assert!(today.text().contains("she is not measured yet"));
            let choose = visit.get(&format!("/orders/{order}/card")).text();
            assert!(choose.contains("From which card is it worked?"));
        };
        her_pages();
        let erased = visit.post("/clients/2/erase", &[("name", "The younger")]);
        assert_eq!(erased.leads_to(), "/clients?said=erased");
        her_pages();
        // Taken back as far as it goes, it is not worked from what is gone.
        for _ in 0..3 {
            let back = visit.post(&format!("/orders/{order}/draft"), &[("do", "back")]);
            assert!(back.status.as_u16() < 500, "{}", back.text());
        }
        her_pages();
    }
}

/// Catches a change about her that leaves no trace: who agreed to what, and what stood there before.
#[test]
fn what_was_changed_about_her_stands_on_her_page() {
    let visit = visit();
    let at = enter(&visit, "Ines");
    assert!(!visit.get(&at).text().contains("What was changed about her"));
    let changed = visit.post(
        &format!("{at}/edit"),
        &[
            ("name", "Ines"),
            ("allergies", "nickel"),
            ("photos", "yes"),
            ("consent", "She said so herself, for the fitting book."),
            ("seen", "1"),
        ],
    );
    assert_eq!(changed.status, 303);
    let page = visit.get(&at).text();
    for said in [
        "What was changed about her",
        "Allergies: nothing became \u{201c}nickel\u{201d}",
        "Photos may be kept: \u{201c}not asked\u{201d} became \u{201c}yes\u{201d}",
        "for the fitting book",
        "<strong>Allergies: </strong>nickel",
    ] {
        assert!(page.contains(said), "{said}");
    }
}
