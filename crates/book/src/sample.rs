//! Invented clients and orders for the tests of this crate.

use measure::Date;

use crate::{About, Book, CardHead, ClientNo, NewOrder, OrderNo, Stamp, Unit};

/// Always the same moment: 2026-11-25, a quarter to seven in the evening.
pub(crate) fn clock() -> Stamp {
    Stamp::read("2026-11-25T18:45:51Z").unwrap()
}

pub(crate) fn book() -> Book {
    Book::in_memory(clock).unwrap()
}

pub(crate) fn day(text: &str) -> Date {
    Date::read(text).unwrap()
}

pub(crate) fn about(name: &str) -> About {
    About {
        name: name.to_owned(),
        ..About::default()
    }
}

pub(crate) fn head() -> CardHead {
    CardHead::new(day("2026-11-20"), Unit::Inch)
}

/// An order of a new client.
pub(crate) fn order(book: &mut Book) -> (ClientNo, OrderNo) {
    let client = book.new_client(&about("Odile Marchetti"), false).unwrap();
    let order = NewOrder {
        title: "Mermaid skirt".to_owned(),
        method: "darted".to_owned(),
        holds: vec![("choice/knee".to_owned(), "2 1/2".to_owned())],
        ..NewOrder::of(client)
    };
    (client, book.new_order(&order).unwrap())
}

/// A client with something in every table, whose name stands wherever it may; answers her and her order.
pub(crate) fn everything(book: &mut Book, name: &str) -> (ClientNo, OrderNo) {
    use crate::{
        Change, Counted, DayKind, Garment, NewActual, NewDay, NewFitting, NewPayment, NewPicture,
        NewPin, NewQuote, NewReading, NewVersion, Of, Photos, PictureKind, Said, Side, Why,
    };
    let text = |what: &str| format!("{what} of {name}");
    let about = About {
        name: name.to_owned(),
        contact: text("letters"),
        born: Some(day("1990-02-03")),
        notes: text("remarks"),
        ..About::default()
    };
    let client = book.new_client(&about, false).unwrap();
    let agreed = About {
        photos: Photos::Yes,
        consent: text("agreed"),
        ..about
    };
    book.change_client(client, 1, &agreed, "here").unwrap();
    let number = book
        .new_card(
            client,
            &CardHead {
                notes: text("card"),
                ..head()
            },
        )
        .unwrap();
    let card = book.card(client, number).unwrap().id;
    for words in ["27", "27 1/2"] {
        let reading = NewReading {
            measure: "waist".to_owned(),
            turn: 1,
            text: words.to_owned(),
            unit: "in".to_owned(),
            mm: Some(698.5),
        };
        book.write_readings(card, None, &[reading], &text("phone"))
            .unwrap();
    }
    book.answer(card, &text("question"), Said::Right).unwrap();
    let party = book.new_party(&text("wedding")).unwrap();
    let new = NewOrder {
        title: text("skirt"),
        method: "darted".to_owned(),
        party: Some(party),
        holds: vec![("card".to_owned(), card.to_string())],
        ..NewOrder::of(client)
    };
    let order = book.new_order(&new).unwrap();
    let change = |key: &str, after: Option<String>| Change {
        key: key.to_owned(),
        after,
    };
    let note = change("note", Some(text("note")));
    book.change(
        order,
        None,
        &text("first"),
        "here",
        &[note, change("choice/knee", Some("2".into()))],
    )
    .unwrap();
    book.change(
        order,
        None,
        "no knee",
        "here",
        &[change("choice/knee", None)],
    )
    .unwrap();
    book.take_back(order).unwrap();
    let version = NewVersion {
        mark: "abc".to_owned(),
        why: Why::Paper,
        holds: book.holds(order).unwrap(),
        card: text("page"),
        report: text("report"),
        stopped: String::new(),
    };
    let version = book.keep_version(order, &version).unwrap();
    let sheet = text("sheet").into_bytes();
    book.keep_paper(order, version, "pattern-a4.pdf", "", Some(3), sheet.clone())
        .unwrap();
    book.keep_paper(
        order,
        version,
        "pattern-a4.pdf",
        "large",
        None,
        sheet.clone(),
    )
    .unwrap();
    let fitting = NewFitting {
        on: day("2026-11-24"),
        garment: Garment::Toile,
        notes: text("fitting"),
        signed: name.to_owned(),
        version: Some(version),
    };
    let fitting = book.new_fitting(order, &fitting).unwrap();
    let pin = NewPin {
        place: "{}".to_owned(),
        side: Side::Left,
        action: "take in".to_owned(),
        depth: "3/8".to_owned(),
        counted: Counted::Each,
        words: text("pin"),
        on_cloth: true,
    };
    book.add_pin(order, fitting, &pin, "here").unwrap();
    let on = day("2026-12-24");
    let event = NewDay {
        kind: DayKind::Event,
        on,
        time: "10:30".to_owned(),
        words: text("day"),
    };
    book.add_day(order, &event).unwrap();
    let picture = NewPicture {
        words: text("picture"),
        consent: text("consent"),
        kind: PictureKind::Png,
        bytes: text("pixels").into_bytes(),
    };
    book.add_picture(Of::Client(client), &picture).unwrap();
    book.add_picture(Of::Order(order), &picture).unwrap();
    let lay = book
        .keep_lay(order, "shell", &text("asked"), &text("found"))
        .unwrap();
    book.choose_lay(order, lay).unwrap();
    let quote = NewQuote {
        asked: text("figures"),
        total: 186_891,
        currency: "EUR".to_owned(),
        valid: on,
    };
    let quote = book.keep_quote(order, &quote).unwrap();
    book.keep_quote_sheet(order, quote, sheet).unwrap();
    let payment = NewPayment {
        on,
        minor: 500,
        currency: "EUR".to_owned(),
        words: text("deposit"),
    };
    book.add_payment(order, &payment).unwrap();
    let actual = NewActual {
        stage: "cutting".to_owned(),
        minutes: 9,
        minor: 0,
        on,
        words: text("work"),
    };
    book.add_actual(order, &actual).unwrap();
    let again = NewOrder {
        after: Some(order),
        title: text("second"),
        ..NewOrder::of(client)
    };
    book.new_order(&again).unwrap();
    (client, order)
}

/// Something in the tables that belong to no client.
pub(crate) fn hers(book: &mut Book) {
    book.set("unit", "cm").unwrap();
    book.new_method("her-skirt", "own", "square down").unwrap();
    book.pair_device("phone", "hash").unwrap();
    for demo in [false, true] {
        let price = crate::NewPrice {
            kind: crate::PriceKind::Cloth,
            name: "Silk".to_owned(),
            page: String::new(),
            unit: "m".to_owned(),
            minor: 4500,
            currency: "EUR".to_owned(),
            supplier: String::new(),
            since: day("2026-01-01"),
            demo,
        };
        book.add_price(&price).unwrap();
    }
}

/// Every row of every table as text, sorted, so that two books can be held against each other.
pub(crate) fn rows(book: &Book) -> Vec<String> {
    let tables = book
        .all(
            "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name",
            [],
            |row| row.get::<_, String>(0),
        )
        .unwrap();
    let mut rows = Vec::new();
    for table in tables {
        let more = book
            .all(&format!("SELECT * FROM \"{table}\""), [], |row| {
                let mut cells = vec![table.clone()];
                for i in 0..row.as_ref().column_count() {
                    use rusqlite::types::ValueRef;
                    cells.push(match row.get_ref(i)? {
                        ValueRef::Text(text) => String::from_utf8_lossy(text).into_owned(),
                        ValueRef::Blob(bytes) => format!("{} bytes {bytes:?}", bytes.len()),
                        other => format!("{other:?}"),
                    });
                }
                Ok(cells.join(" | "))
            })
            .unwrap();
        rows.extend(more);
    }
    rows.sort();
    rows
}
