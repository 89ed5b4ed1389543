//! Taking back and putting again, in two windows and pressed twice.
#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use axum::http::StatusCode;

use crate::web::calm_lock;
use crate::web::testing::Visit;

/// The place of the line that a page's button names.
fn place(page: &str, name: &str) -> String {
    let (_, from) = page
        .split_once(&format!("name=\"{name}\" value=\""))
        .unwrap();
    from.split('"').next().unwrap().to_owned()
}

/// Would catch a button that takes back what another window did meanwhile, one that takes back twice when
/// it is pressed twice, and a table with scripts on whose button names an old line.
#[test]
fn a_button_takes_back_what_it_says_and_nothing_else() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let holds = |key: &str| {
        let shelf = visit.room.shelf();
        let book = calm_lock(&shelf);
        book.holds(order).unwrap().get(key).cloned()
    };
    let note = holds("note");
    let draft = format!("/orders/{order}/draft");
    let here = format!("/orders/{order}");
    let tight = [("choice", "tightening"), ("value", "2 1/4"), ("do", "draw")];
    let kept = visit.post(&format!("{draft}/keep"), &tight).text();
    let page = visit.get(&draft).text();
    let named = place(&page, "back");
    assert_eq!(place(&kept, "back"), named, "the live table names it too");
    assert_eq!(place(&visit.get(&here).text(), "back"), named);
    visit.post(&here, &[("do", "note"), ("note", "Hem by hand")]);
    // Both pages are old by now: neither takes the note back.
    for at in [&draft, &here] {
        let moved = visit.post(at, &[("do", "back"), ("back", &named)]);
        assert_eq!(moved.status, StatusCode::CONFLICT, "{at}");
        let text = moved.text();
        assert!(text.contains("Something else was done to this order meanwhile."));
        assert!(text.contains("Take back: Notes written"), "{text}");
        assert_ne!(place(&text, "back"), named);
        assert_eq!(holds("note").as_deref(), Some("Hem by hand"));
    }
    let now = place(&visit.get(&draft).text(), "back");
    for _ in 0..2 {
        let back = visit.post(&draft, &[("do", "back"), ("back", &now)]);
        assert_eq!(back.status, StatusCode::SEE_OTHER);
        assert_eq!(holds("note"), note);
        assert_eq!(
            holds("choice/tightening").as_deref(),
            Some("2 1/4 in"),
            "pressed twice it is taken back once"
        );
    }
    let again = place(&visit.get(&here).text(), "again");
    assert_eq!(again, now);
    for _ in 0..2 {
        let put = visit.post(&here, &[("do", "again"), ("again", &again)]);
        assert_eq!(put.status, StatusCode::SEE_OTHER);
        assert_eq!(holds("note").as_deref(), Some("Hem by hand"));
    }
    // The method's own page is held to its line as well.
    let old = visit.post(
        &format!("{here}/method"),
        &[("do", "back"), ("back", &named)],
    );
    assert_eq!(old.status, StatusCode::CONFLICT);
    assert_eq!(holds("choice/tightening").as_deref(), Some("2 1/4 in"));
}
