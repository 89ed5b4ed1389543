//! A sign-off is for what was seen when it was given, and says so when that is no longer what there is.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
use axum::http::StatusCode;
use book::{Book, NewQuote, OrderNo, Which};
use measure::Date;

use crate::shelf::SHIPPED;
use crate::web::testing::{Visit, demo_book};

/// What stands beside a sign-off that no longer holds.
const STALE: &str = "Not signed off as it is now.";

/// The demo; nothing where the program ships no methods, and so no orders.
fn demo() -> Option<Visit> {
    (!SHIPPED.is_empty()).then(|| Visit::with(demo_book()))
}

fn ask<T: Send + 'static>(
    visit: &Visit,
    work: impl FnOnce(&mut Book) -> Result<T, book::Trouble> + Send + 'static,
) -> T {
    visit
        .wait(visit.room.book(move |book| Ok(work(book)?)))
        .unwrap()
}

fn order_of(visit: &Visit, name: &'static str) -> OrderNo {
    let all = ask(visit, |book| book.orders(Which::All));
    all.iter()
        .find(|o| o.name.starts_with(name))
        .unwrap()
        .order
        .number
}

/// The mark that the page would sign for.
fn mark_on(page: &str) -> String {
    let after = page.split("name=\"mark\" value=\"").nth(1).unwrap();
    after.split('"').next().unwrap().to_owned()
}

fn tighten(visit: &Visit, order: OrderNo, to: &'static str) {
    ask(visit, move |b| {
        b.hold(order, "knee", "here", "choice/tightening", Some(to))
    });
}

fn sign(visit: &Visit, at: &str, more: &[(&str, &str)]) {
    let mut form = vec![("do", "sign"), ("who", "Odette"), ("on", "2026-11-25")];
    form.extend(more);
    let done = visit.post(at, &form);
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text());
}

/// Would catch a sign-off that stands as if it were for what was changed later: on the order's page, its
/// sheet and the party's table; and one that is lost when she signs again.
#[test]
fn a_sign_off_says_when_the_draft_was_changed_since() {
    let Some(visit) = demo() else { return };
    let order = order_of(&visit, "Odette");
    let at = format!("/orders/{order}");
    let bisi = ask(&visit, |b| b.orders(Which::All));
    let maid = bisi.iter().find(|o| o.name.starts_with("Bisi")).unwrap();
    let who = format!("who-{}", maid.client);
    visit.post(
        &format!("{at}/party"),
        &[("name", "Marrow wedding"), (&who, "1")],
    );
    let pages = [at.clone(), format!("{at}/sheet"), format!("{at}/party")];
    let first = mark_on(&visit.get(&at).text());
    assert!(!first.is_empty());
    sign(&visit, &at, &[("mark", &first)]);
    let page = visit.get(&at).text();
    assert!(
        page.contains(&format!("Odette, 25 November 2026, for mark {first}")),
        "{page}"
    );
    for page in &pages {
        let text = visit.get(page).text();
        assert!(!text.contains("changed since"), "{page}");
    }
    // The draft is another one.
    tighten(&visit, order, "2 in");
    for page in &pages {
        let text = visit.get(page).text();
        assert!(text.contains(&format!("for mark {first}")), "{page}");
        let now = "The draft was changed since: its mark is ";
        assert!(text.contains(now), "{page}: {text}");
    }
    let page = visit.get(&at).text();
    assert!(page.contains(STALE) && page.contains("Sign it off again"));
    let second = mark_on(&page);
    assert_ne!(first, second);
    // Taken back, it is what she signed again.
    visit.post(&at, &[("do", "back")]);
    assert!(!visit.get(&at).text().contains(STALE));
    visit.post(&at, &[("do", "again")]);
    assert!(visit.get(&at).text().contains(STALE));
    // Signed again, what she signed before is still told; taken off, it stands once more.
    sign(&visit, &at, &[("mark", &second)]);
    let page = visit.get(&at).text();
    assert!(!page.contains(STALE));
    assert!(page.contains(&format!("for mark {second}")));
    assert!(page.contains(&format!(
        "Before that: Odette, 25 November 2026, for mark {first}"
    )));
    visit.post(&at, &[("do", "unsign")]);
    let page = visit.get(&at).text();
    assert!(page.contains(STALE) && page.contains(&format!("for mark {first}")));
    visit.post(&at, &[("do", "unsign")]);
    let holds = ask(&visit, move |b| b.holds(order));
    assert!(!holds.contains_key(super::TEXT) && !holds.contains_key(super::OF));
}

/// Would catch a sign-off of before, whose draft nobody wrote down, that is called out of date, or lost.
#[test]
fn a_sign_off_without_a_mark_stays_as_it_is() {
    let Some(visit) = demo() else { return };
    let order = order_of(&visit, "Odette");
    let at = format!("/orders/{order}");
    ask(&visit, move |b| {
        b.hold(order, "s", "here", "signed", Some("Odette, in May"))
    });
    tighten(&visit, order, "2 in");
    for page in [at.clone(), format!("{at}/sheet")] {
        let text = visit.get(&page).text();
        assert!(text.contains("Odette, in May") && !text.contains("changed since"));
        assert!(text.contains("For which draft was not kept."));
    }
    // Something that can't be read is no reason to lose her words.
    ask(&visit, move |b| {
        b.hold(order, "s", "here", super::OF, Some("{"))
    });
    assert!(visit.get(&at).text().contains("Odette, in May"));
    sign(&visit, &at, &[]);
    let page = visit.get(&at).text();
    assert!(page.contains("Before that: Odette, in May") && !page.contains(STALE));
}

/// Would catch a sign-off of a draft that she did not see: another window changed it meanwhile.
#[test]
fn what_is_signed_is_what_was_seen() {
    let Some(visit) = demo() else { return };
    let order = order_of(&visit, "Odette");
    let at = format!("/orders/{order}");
    let seen = mark_on(&visit.get(&at).text());
    tighten(&visit, order, "2 in");
    let form = [
        ("do", "sign"),
        ("who", "Odette M."),
        ("on", "2026-11-20"),
        ("mark", &seen),
    ];
    let page = visit.post(&at, &form);
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let text = page.text();
    assert!(text.contains("changed in another window"));
    // Nothing that was typed is lost, and the form is of the draft as it is now.
    assert!(text.contains("Odette M.") && text.contains("2026-11-20"));
    let now = mark_on(&text);
    assert_ne!(now, seen);
    assert!(!ask(&visit, move |b| b.holds(order)).contains_key("signed"));
    sign(&visit, &at, &[("mark", &now)]);
}

fn quote(total: i64) -> NewQuote {
    NewQuote {
        asked: "{}".to_owned(),
        total,
        currency: "EUR".to_owned(),
        valid: Date::read("2027-01-01").unwrap(),
    }
}

/// Would catch a price that is changed under a sign-off which was given for it, and a draft blamed for it.
#[test]
fn a_quote_is_signed_off_apart_from_the_draft() {
    let Some(visit) = demo() else { return };
    let order = order_of(&visit, "Odette");
    let at = format!("/orders/{order}");
    ask(&visit, move |b| b.keep_quote(order, &quote(34_000)));
    assert!(visit.get(&at).text().contains("value=\"both\""));
    sign(&visit, &at, &[("what", "quote")]);
    let page = visit.get(&at).text();
    assert!(page.contains("25 November 2026, for quote 1, ") && page.contains("340.00"));
    tighten(&visit, order, "2 in");
    assert!(
        !visit.get(&at).text().contains(STALE),
        "the draft was not signed"
    );
    // What is typed in the quote is another price by now.
    ask(&visit, move |b| {
        b.hold(
            order,
            "q",
            "here",
            "quote/typed",
            Some("{\"currency\":\"EUR\",\"waste\":\"9\"}"),
        )
    });
    assert!(
        visit
            .get(&at)
            .text()
            .contains("The quote was changed since.")
    );
    ask(&visit, move |b| b.keep_quote(order, &quote(36_000)));
    let page = visit.get(&format!("{at}/sheet")).text();
    assert!(page.contains("Quote 2 was given since."));
    sign(&visit, &at, &[("what", "both")]);
    let page = visit.get(&at).text();
    assert!(page.contains("for mark ") && page.contains(", and quote 2, "));
    tighten(&visit, order, "2 1/2 in");
    assert!(
        visit
            .get(&at)
            .text()
            .contains("The draft was changed since")
    );
}

/// Would catch a sign-off of a quote that she did not see: another one was given meanwhile.
#[test]
fn the_quote_that_is_signed_is_the_one_that_was_seen() {
    let Some(visit) = demo() else { return };
    let order = order_of(&visit, "Odette");
    let at = format!("/orders/{order}");
    ask(&visit, move |b| b.keep_quote(order, &quote(34_000)));
    let shown = |n: u32| format!("name=\"quote\" value=\"{n}\"");
    assert!(visit.get(&at).text().contains(&shown(1)));
    ask(&visit, move |b| b.keep_quote(order, &quote(36_000)));
    for what in ["quote", "both"] {
        let form = [
            ("do", "sign"),
            ("who", "Odette M."),
            ("what", what),
            ("quote", "1"),
        ];
        let page = visit.post(&at, &form);
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        let text = page.text();
        assert!(text.contains("Another quote was given since this page was opened."));
        assert!(text.contains("Odette M.") && text.contains(&shown(2)));
        assert!(text.contains(&format!("value=\"{what}\" checked")));
    }
    assert!(!ask(&visit, move |b| b.holds(order)).contains_key("signed"));
    sign(&visit, &at, &[("what", "quote"), ("quote", "2")]);
    // The draft alone is signed whatever the price has become.
    sign(&visit, &at, &[("what", "draft"), ("quote", "1")]);
}

/// Would catch a quote that was signed for and is passed over where nothing else asks for the draft: the
/// order is closed, and has no paper.
#[test]
fn a_newer_quote_is_told_on_a_closed_order_without_paper_too() {
    let Some(visit) = demo() else { return };
    let order = order_of(&visit, "Bisi");
    let at = format!("/orders/{order}");
    ask(&visit, move |b| b.keep_quote(order, &quote(34_000)));
    sign(&visit, &at, &[("what", "quote")]);
    ask(&visit, move |b| b.keep_quote(order, &quote(36_000)));
    visit.post(&at, &[("do", "close")]);
    let page = visit.get(&at).text();
    assert!(page.contains("<dt>Paper</dt><dd>not made yet</dd>"));
    assert!(
        page.contains(STALE) && page.contains("Quote 2 was given since."),
        "{page}"
    );
}

/// Would catch a second press that takes off what she signed before, which no one asked for.
#[test]
fn a_sign_off_is_taken_off_once_however_often_it_is_pressed() {
    let Some(visit) = demo() else { return };
    let order = order_of(&visit, "Odette");
    let at = format!("/orders/{order}");
    sign(&visit, &at, &[]);
    tighten(&visit, order, "2 in");
    sign(&visit, &at, &[]);
    let page = visit.get(&at).text();
    let form = page.split("value=\"unsign\"").next().unwrap();
    let seen = form.rsplit("name=\"seen\" value=\"").next().unwrap();
    let seen = seen.split('"').next().unwrap();
    let press = [("do", "unsign"), ("seen", seen)];
    assert_eq!(visit.post(&at, &press).status, StatusCode::SEE_OTHER);
    let stands = ask(&visit, move |b| b.holds(order));
    assert!(stands.contains_key(super::TEXT));
    let again = visit.post(&at, &press);
    assert_eq!(again.status, StatusCode::CONFLICT, "{}", again.text());
    assert_eq!(ask(&visit, move |b| b.holds(order)), stands);
}

/// Would catch an order that was closed meanwhile and whose draft is said to have changed.
#[test]
fn a_closed_order_says_that_it_is_closed_to_who_signs_it() {
    let Some(visit) = demo() else { return };
    let order = order_of(&visit, "Bisi");
    let at = format!("/orders/{order}");
    let mark = mark_on(&visit.get(&at).text());
    visit.post(&at, &[("do", "close")]);
    let form = [("do", "sign"), ("who", "Bisi"), ("mark", &mark)];
    let page = visit.post(&at, &form);
    assert_eq!(page.status, StatusCode::CONFLICT);
    let text = page.text();
    assert!(
        text.contains("losed") && !text.contains("another window"),
        "{text}"
    );
    assert!(text.contains("Back to the order"));
}

/// Would catch a sign-off of the toile that is taken for one of the cloth, and a change of stage that is
/// told as a change of the draft.
#[test]
fn a_toile_is_signed_off_as_a_toile() {
    let Some(visit) = demo() else { return };
    let order = order_of(&visit, "Odette");
    let at = format!("/orders/{order}");
    visit.post(&at, &[("do", "stage"), ("stage", "toile")]);
    sign(&visit, &at, &[]);
    assert!(visit.get(&at).text().contains("for the toile, mark "));
    visit.post(&at, &[("do", "stage"), ("stage", "cloth")]);
    let page = visit.get(&at).text();
    assert!(page.contains("That was the toile; it is in the cloth now."));
    assert!(!page.contains("The draft was changed since"));
    tighten(&visit, order, "2 in");
    let page = visit.get(&at).text();
    assert!(page.contains("That was the toile") && page.contains("The draft was changed since"));
}
