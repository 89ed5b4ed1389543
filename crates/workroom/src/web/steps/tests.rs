//! Every step of the demo, looked at as its page.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use axum::http::StatusCode;
use book::{Book, OrderNo, Which};

use crate::web::testing::{Visit, demo_book};

/// The demo's first order: a mermaid skirt.
fn order(book: &Book) -> OrderNo {
    let all = book.orders(Which::All).unwrap();
    let mermaid = all.iter().find(|l| l.order.method == "mermaid-two");
    mermaid.unwrap().order.number
}

/// The demo, and where its first order is drafted.
fn visit() -> (Visit, String) {
    let book = demo_book();
    let draft = format!("/orders/{}/draft", order(&book));
    (Visit::with(book), draft)
}

fn page(visit: &Visit, address: &str) -> String {
    let page = visit.get(address);
    assert_eq!(page.status, StatusCode::OK, "{address}");
    page.text()
}

/// The part of a page between two texts.
fn between<'a>(page: &'a str, from: &str, to: &str) -> &'a str {
    let at = page.find(from).unwrap_or_else(|| panic!("no {from}")) + from.len();
    let end = page[at..].find(to).unwrap();
    &page[at..at + end]
}

fn drawing(page: &str) -> &str {
    between(page, "<svg class=\"sofar", "</svg>")
}

/// Would catch a step that is missing or has no drawing, a way on that leads elsewhere, a drawing that
/// jumps from step to step, and a last step that leads nowhere.
#[test]
fn the_steps_lead_from_the_first_to_the_last() {
    let (visit, draft) = visit();
    let mut number = 1;
    let mut frames: Vec<(String, String)> = Vec::new();
    loop {
        let page = page(&visit, &format!("{draft}/steps/{number}"));
        assert_eq!(page.matches("<h1").count(), 1);
        let stage = between(&page, "<p class=\"which\">", ", step").to_owned();
        let box_of = between(drawing(&page), "viewBox=\"", "\"").to_owned();
        frames.push((stage, box_of));
        let next = format!("{draft}/steps/{}\" rel=\"next\"", number + 1);
        if !page.contains(&next) {
            assert!(page.contains("That was the last step"), "step {number}");
            assert!(page.contains("/paper\""));
            break;
        }
        assert!(!page.contains("That was the last step"));
        number += 1;
    }
    assert!(number > 40, "only {number} steps");
    for sheet in ["Front", "Back"] {
        let mut own: Vec<&String> = frames
            .iter()
            .filter(|(stage, _)| stage == sheet)
            .map(|(_, frame)| frame)
            .collect();
        assert!(own.len() > 5, "{sheet}");
        own.dedup();
        assert_eq!(own.len(), 1, "{sheet} jumps: {own:?}");
    }
}

/// Would catch a drawing that shows what comes later, or forgets what was drawn.
#[test]
fn only_what_is_drawn_so_far_is_shown() {
    let (visit, draft) = visit();
    let second = page(&visit, &format!("{draft}/steps/2"));
    assert!(drawing(&second).contains(">waist<"));
    assert!(!drawing(&second).contains(">hip<"));
    assert!(!drawing(&second).contains("class=\"drawn\""));
    let fourth = page(&visit, &format!("{draft}/steps/4"));
    // Waist to hip of the card is 8 3/4.
    assert!(drawing(&fourth).contains(">hip<") && drawing(&fourth).contains("8¾"));
    assert!(!drawing(&fourth).contains(">hem<"));
}

/// Would catch a number that can be read where it is to be found by the class, and a link that forgets
/// that the numbers are hidden.
#[test]
fn hidden_numbers_are_nowhere_on_the_page() {
    let (visit, draft) = visit();
    for number in 1..=30 {
        let shown = page(&visit, &format!("{draft}/steps/{number}"));
        let hidden = page(&visit, &format!("{draft}/steps/{number}?numbers=hidden"));
        assert!(shown.contains(">Hide the numbers<") && hidden.contains(">Show the numbers<"));
        // Everything that is lettered in the drawing as a number of this step.
        for word in drawing(&shown).split("huge now\"").skip(1) {
            let said = between(word, ">", "<");
            assert!(
                !drawing(&hidden).contains(&format!(">{said}<")),
                "step {number}: {said}"
            );
        }
        let table = between(&hidden, "<table", "</table>");
        assert!(!table.contains("class=\"n\""), "step {number}");
        for link in hidden.split(&format!("href=\"{draft}/steps/")).skip(1) {
            let address = link.split('"').next().unwrap();
            let toggles = link.contains("Show the numbers") && link.find("Show the").unwrap() < 90;
            assert!(
                toggles || address.contains("numbers=hidden"),
                "step {number}: {address}"
            );
        }
    }
    let third = page(&visit, &format!("{draft}/steps/3?numbers=hidden"));
    let says = between(&third, "<h1 id=\"say\"", "</h1>");
    assert_eq!(says.matches("class=\"blank\"").count(), 2, "{says}");
    assert!(
        !says
            .chars()
            .skip_while(|c| *c != '>')
            .any(|c| c.is_ascii_digit()),
        "{says}"
    );
}

/// Would catch a head on the wall, and a way of looking that is lost on the way.
#[test]
fn the_wall_goes_with_her() {
    let (visit, draft) = visit();
    let page = page(&visit, &format!("{draft}/steps/3?numbers=hidden&wall=1"));
    assert!(page.contains("class=\"sheet teach wall\""));
    assert!(page.contains(&format!("{draft}/steps/4?numbers=hidden&amp;wall=1")));
    assert!(page.contains(">Back to the page<"));
}

/// Would catch a step that is not there ending in an empty page.
#[test]
fn a_step_that_is_not_there_has_a_way_back() {
    let (visit, draft) = visit();
    for number in [0, 999] {
        let page = visit.get(&format!("{draft}/steps/{number}"));
        assert_eq!(page.status, StatusCode::NOT_FOUND);
        assert!(
            page.text().contains(&format!("href=\"{draft}\"")),
            "{number}"
        );
    }
    assert_eq!(
        visit.get("/orders/99999/draft/steps/1").status,
        StatusCode::NOT_FOUND
    );
    assert!(
        visit
            .get(&format!("{draft}/steps/x"))
            .status
            .is_client_error()
    );
}

/// Would catch a step left off the printed list, and her name on a sheet to hand out.
#[test]
fn the_list_has_every_step_and_hides_her_with_the_numbers() {
    let (visit, draft) = visit();
    let list = page(&visit, &format!("{draft}/steps"));
    for number in 1..=40 {
        assert!(
            list.contains(&format!("aria-label=\"Step {number}\"")),
            "{number}"
        );
    }
    assert!(list.contains("Ines Halloway"));
    assert!(list.matches("<svg class=\"sofar").count() >= 2);
    let hidden = page(&visit, &format!("{draft}/steps?numbers=hidden"));
    assert!(!hidden.contains("Ines Halloway"));
    assert!(hidden.contains("class=\"blank\""));
}
