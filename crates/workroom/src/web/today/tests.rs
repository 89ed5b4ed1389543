//! Today, as it is for somebody who opens it.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
use axum::http::StatusCode;
use book::{About, Book, DayKind, NewDay, NewOrder, Stamp};

use crate::web::demo;
use crate::web::testing::Visit;

/// Would catch a page that breaks in an empty book, or greets with the demo's words.
#[test]
fn an_empty_table_says_where_to_start() {
    let page = Visit::new().get("/");
    assert_eq!(page.status, StatusCode::OK);
    let text = page.text();
    assert!(text.contains("The table is clear.") && text.contains("href=\"/clients/new\""));
    assert!(!text.contains("Lantern Lane and everyone"));
    assert_eq!(text.matches("<h1").count(), 1);
}

/// Would catch a headline about somebody else than the next one, a forgotten overdue day, a demo that
/// is not marked.
#[test]
fn the_next_one_is_named_and_what_is_overdue_is_said() {
    let mut book = Book::in_memory(Stamp::now).unwrap();
    let visit = {
        let today = Visit::new().room.today();
        demo::lay_out(&mut book, today).unwrap();
        Visit::with(book)
    };
    let text = visit.get("/").text();
    assert_eq!(text.matches("<h1").count(), 1);
    let head = text.split("<h1>").nth(1).unwrap();
    assert!(
        head.starts_with("Ines Halloway comes tomorrow at half past ten"),
        "{}",
        head.chars().take(120).collect::<String>()
    );
    assert!(
        text.contains("One day is past and not done"),
        "no overdue day"
    );
    assert!(text.contains("12 days ago"));
    assert!(text.contains("class=\"thumb\""));
    assert!(text.contains("Lantern Lane and everyone in it are invented"));
    // Pressed done, it is gone from here.
    let action = text
        .split("action=\"")
        .filter_map(|rest| rest.split('"').next())
        .find(|a| a.contains("/days/"))
        .unwrap();
    let done = visit.post(action, &[("do", "done"), ("from", "today")]);
    assert_eq!(done.leads_to(), "/?said=kept");
    assert!(!visit.get("/").text().contains("is past and not done"));
}

/// Would catch a page without its drawing breaking for an order that has neither card nor method.
#[test]
fn an_order_with_nothing_in_it_hangs_there_too() {
    let mut book = Book::in_memory(Stamp::now).unwrap();
    let about = About {
        name: "<Ana> & Co".into(),
        ..About::default()
    };
    let client = book.new_client(&about, false).unwrap();
    let order = book.new_order(&NewOrder::of(client)).unwrap();
    let visit = Visit::with(book);
    assert!(
        visit
            .get("/")
            .text()
            .contains("One order is on the table, and no day is set.")
    );
    let on = visit.room.today().later(40).unwrap();
    let day = NewDay {
        kind: DayKind::Fitting,
        on,
        time: String::new(),
        words: String::new(),
    };
    visit
        .wait(visit.room.book(move |book| Ok(book.add_day(order, &day)?)))
        .unwrap();
    let text = visit.get("/").text();
    assert!(text.contains("&lt;Ana&gt; &amp; Co comes on"));
    assert!(text.contains("she is not measured yet"));
}

/// Would catch the demo's people in the headline, or among what is overdue, once she has clients of her own.
#[test]
fn once_she_has_clients_the_demo_stands_apart() {
    let mut book = Book::in_memory(Stamp::now).unwrap();
    let today = Visit::new().room.today();
    demo::lay_out(&mut book, today).unwrap();
    let about = About {
        name: "Rosalind".into(),
        ..About::default()
    };
    let client = book.new_client(&about, false).unwrap();
    let order = book.new_order(&NewOrder::of(client)).unwrap();
    let day = NewDay {
        kind: DayKind::Fitting,
        on: today.later(9).unwrap(),
        time: String::new(),
        words: String::new(),
    };
    book.add_day(order, &day).unwrap();
    let visit = Visit::with(book);
    let text = visit.get("/").text();
    let head = text.split("<h1>").nth(1).unwrap();
    assert!(head.starts_with("Rosalind comes on"), "{head:.120}");
    assert!(!text.contains("is past and not done"));
    let (hers, demo) = text.split_once("The demo, to look round with").unwrap();
    assert!(!hers.contains("Ines Halloway") && demo.contains("Ines Halloway"));
    let list = visit.get("/clients").text();
    let (hers, demo) = list.split_once("The demo, invented").unwrap();
    assert!(hers.contains("Rosalind") && !hers.contains("Ines Halloway"));
    assert!(demo.contains("Ines Halloway"));
}
