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
