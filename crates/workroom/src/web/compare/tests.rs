//! Before and after, asked for and kept as she does it.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use axum::http::StatusCode;
use book::{Book, OrderNo, Which};

use crate::web::calm_lock;
use crate::web::testing::{Visit, demo_book};

/// The demo's first order: a mermaid skirt.
fn order(book: &Book) -> OrderNo {
    let all = book.orders(Which::All).unwrap();
    let mermaid = all.iter().find(|l| l.order.method == "mermaid-two");
    mermaid.unwrap().order.number
}

/// The demo, its order, and where it is compared.
fn visit() -> (Visit, OrderNo, String) {
    let book = demo_book();
    let order = order(&book);
    (
        Visit::with(book),
        order,
        format!("/orders/{order}/draft/compare"),
    )
}

fn held(visit: &Visit, order: OrderNo, key: &str) -> Option<String> {
    let shelf = visit.room.shelf();
    let book = calm_lock(&shelf);
    book.holds(order).unwrap().get(key).cloned()
}

fn seen(page: &str) -> String {
    let at = page.find("name=\"seen\" value=\"").unwrap() + 19;
    page[at..].split('"').next().unwrap().to_owned()
}

/// Would catch a page that compares something else than what was changed last.
#[test]
fn without_a_choice_the_last_change_is_shown() {
    let (visit, _, at) = visit();
    let page = visit.get(&at);
    assert_eq!(page.status, StatusCode::OK);
    let text = page.text();
    let head = text
        .split("<h1>")
        .nth(1)
        .unwrap()
        .split("</h1>")
        .next()
        .unwrap();
    // The demo's last change: flare 7 1/2 to 8.
    assert!(
        head.contains('7') && head.ends_with("<span class=\"n\">8</span>"),
        "{head}"
    );
    assert!(text.contains("class=\"before\"") && text.contains("class=\"gain\""));
    // The hem grew: the glass tells by how much.
    assert!(text.contains("id=\"glass\""));
    assert!(text.contains(">Her step<"));
}

/// Would catch a value tried that is kept unasked, and one asked for that is not.
#[test]
fn nothing_is_kept_until_she_says_so() {
    let (visit, order, at) = visit();
    let before = held(&visit, order, "choice/hip ease");
    let page = visit.get(&format!("{at}?choice=hip+ease&from=0&to=1+1/2"));
    assert_eq!(page.status, StatusCode::OK);
    let text = page.text();
    assert!(text.contains("Keep <span class=\"n\">"), "{text}");
    assert_eq!(held(&visit, order, "choice/hip ease"), before);
    let form = [
        ("choice", "hip ease"),
        ("value", "1 1/2"),
        ("seen", &seen(&text)),
    ];
    let done = visit.post(&at, &form);
    assert_eq!(done.status, StatusCode::SEE_OTHER);
    assert_eq!(done.leads_to(), format!("/orders/{order}/draft?said=kept"));
    assert_eq!(
        held(&visit, order, "choice/hip ease").as_deref(),
        Some("1 1/2 in")
    );
    // It can be taken back by its name.
    let shelf = visit.room.shelf();
    let label = calm_lock(&shelf).can_take_back(order).unwrap().unwrap();
    assert!(label.contains("1/2 to 1 1/2"), "{label}");
}

/// Would catch a journal line for a value that stands already.
#[test]
fn staying_with_what_stands_changes_nothing() {
    let (visit, order, at) = visit();
    let text = visit.get(&at).text();
    let was = held(&visit, order, "choice/flare").unwrap();
    let form = [
        ("choice", "flare"),
        ("value", was.as_str()),
        ("seen", &seen(&text)),
    ];
    let done = visit.post(&at, &form);
    assert_eq!(done.leads_to(), format!("/orders/{order}/draft"));
    assert_eq!(held(&visit, order, "choice/flare"), Some(was));
}

/// Would catch a change over somebody else's.
#[test]
fn a_change_made_meanwhile_is_not_overwritten() {
    let (visit, order, at) = visit();
    let first = seen(&visit.get(&at).text());
    let one = [
        ("choice", "flare"),
        ("value", "6 in"),
        ("seen", first.as_str()),
    ];
    assert_eq!(visit.post(&at, &one).status, StatusCode::SEE_OTHER);
    let two = [
        ("choice", "flare"),
        ("value", "5 in"),
        ("seen", first.as_str()),
    ];
    assert_eq!(visit.post(&at, &two).status, StatusCode::CONFLICT);
    assert_eq!(held(&visit, order, "choice/flare").as_deref(), Some("6 in"));
}

/// Would catch text of an address that reaches the page as it is, and a value that can't be drawn
/// ending in a page without a way on.
#[test]
fn what_can_not_be_drawn_is_told_and_can_be_mended() {
    let (visit, _, at) = visit();
    let page = visit.get(&format!("{at}?choice=flare&from=8&to=%3Cb%3Emuch"));
    assert_eq!(page.status, StatusCode::OK);
    let text = page.text();
    assert!(!text.contains("<b>much"));
    assert!(text.contains("class=\"fault\""), "no word of what is wrong");
    assert!(text.contains("name=\"to\""));
    let form = [("choice", "flare"), ("value", "much"), ("seen", "0")];
    assert_eq!(visit.post(&at, &form).status, StatusCode::BAD_REQUEST);
    let form = [("choice", "no such"), ("value", "1"), ("seen", "0")];
    assert_eq!(visit.post(&at, &form).status, StatusCode::BAD_REQUEST);
    // A choice that is not there: the page still offers the others.
    assert!(
        visit
            .get(&format!("{at}?choice=no+such"))
            .text()
            .contains("name=\"choice\"")
    );
}

/// Would catch a piece or a choice of words that the page can't compare.
#[test]
fn words_and_pieces_are_compared_too() {
    let (visit, _, at) = visit();
    let page = visit
        .get(&format!("{at}?choice=top+finish&to=waistband"))
        .text();
    assert!(page.contains("A new piece: waistband"), "{page}");
    assert!(page.contains("No longer a piece: front facing"));
    let page = visit.get(&format!("{at}?choice=train&lie=beside")).text();
    assert!(page.contains("The pattern before") && page.contains("The pattern after"));
    assert_eq!(page.matches("<svg class=\"pair\"").count(), 2);
}
