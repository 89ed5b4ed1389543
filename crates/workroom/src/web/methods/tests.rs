//! The pages of methods, from outside: as her browser asks for them.

use std::time::{Duration, Instant};

use axum::body::Body;
use axum::http::{StatusCode, header};
use book::{About, Change, ClientNo, NewOrder, OrderNo};

use crate::shelf::SHIPPED;
use crate::web::testing::{HOST, Page, Visit};

use super::known::MOST;

const MINE: &str = include_str!("template.method");

/// Sends a file and a pasted text, as the form of `/methods/open` does.
fn opened(visit: &Visit, file: &[u8], paste: &str) -> Page {
    let mut body = Vec::new();
    for (head, bytes) in [
        (
            "name=\"file\"; filename=\"../x.method\"\r\nContent-Type: text/html",
            file,
        ),
        ("name=\"paste\"", paste.as_bytes()),
    ] {
        body.extend_from_slice(b"--part\r\nContent-Disposition: form-data; ");
        body.extend_from_slice(head.as_bytes());
        body.extend_from_slice(b"\r\n\r\n");
        body.extend_from_slice(bytes);
        body.extend_from_slice(b"\r\n");
    }
    body.extend_from_slice(b"--part--\r\n");
    let request = visit
        .request("POST", "/methods/open")
        .header(header::ORIGIN, format!("http://{HOST}"))
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=part")
        .header(header::CONTENT_LENGTH, body.len())
        .body(Body::from(body));
    visit.send(request.unwrap_or_else(|e| panic!("{e}")))
}

/// A method of her own, made from the template.
fn mine(visit: &Visit, called: &str) -> String {
    let page = visit.post("/methods/new", &[("called", called)]);
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text());
    let there = page.leads_to();
    there
        .trim_start_matches("/methods/")
        .split('/')
        .next()
        .unwrap_or_default()
        .to_owned()
}

/// The value of a hidden box.
fn hidden(page: &Page, name: &str) -> String {
    let text = page.text();
    let from = format!("name=\"{name}\" value=\"");
    let Some((_, rest)) = text.split_once(&from) else {
        panic!("no box {name}: {text}")
    };
    rest.split('"').next().unwrap_or_default().to_owned()
}

fn text_of(visit: &Visit, name: &str) -> String {
    let page = visit.get(&format!("/methods/{name}/file"));
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    page.text()
}

#[test]
fn each_shipped_method_is_a_page_to_learn_from() {
    // Catches a step without its line, a page that breaks on a method, and a measure not told how to take.
    let visit = Visit::new();
    let list = visit.get("/methods").text();
    for (name, text) in SHIPPED {
        assert!(
            list.contains(&format!("href=\"/methods/{name}\"")),
            "{name}"
        );
        let page = visit.get(&format!("/methods/{name}"));
        assert_eq!(page.status, StatusCode::OK);
        let page = page.text();
        let title = crate::shelf::title(text);
        assert!(page.contains(&format!("<h1>{title}</h1>")), "{name}");
        for part in [
            "What it measures",
            "What you decide",
            "Step by step",
            "class=\"pattern\"",
            "<code>",
        ] {
            assert!(page.contains(part), "{name} has no {part}");
        }
        let steps = page.matches("class=\"vh\">Step ").count();
        let lines = page.matches("<code>").count();
        // The steps of a method that this one is built on have their lines on its own page.
        if !text.contains("\nuse \"") {
            assert!(
                steps > 5 && lines * 3 > steps * 2,
                "{name}: {steps} steps, {lines} with their line"
            );
        }
        let edit = visit.get(&format!("/methods/{name}/edit"));
        assert_eq!(
            edit.status,
            StatusCode::NOT_FOUND,
            "a shipped one stays as it is"
        );
    }
    assert_eq!(list.matches("class=\"thumb\"").count(), SHIPPED.len());
    assert_eq!(
        visit.get("/methods/none-such").status,
        StatusCode::NOT_FOUND
    );
}

#[test]
fn a_new_method_works_as_it_stands() {
    let visit = Visit::new();
    let name = mine(&visit, "Anna\u{2019}s way");
    assert_eq!(name, "annas-way");
    let desk = visit.get("/methods/annas-way/edit?said=kept").text();
    assert!(desk.contains("Nothing to put right"), "{desk}");
    assert!(desk.contains("class=\"pattern\"") && desk.contains("Kept."));
    assert!(desk.contains("method &quot;Anna\u{2019}s way&quot;"));
    for (called, why) in [
        ("", "Write what"),
        ("anna\u{2019}s  WAY", "already"),
        (&"x".repeat(81), "long"),
    ] {
        let page = visit.post("/methods/new", &[("called", called)]);
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{called}");
        assert!(page.text().contains(why), "{called}: {}", page.text());
    }
}

#[test]
fn a_copy_is_written_on_kept_and_gone_back_from() {
    let visit = Visit::new();
    let (shipped, _) = SHIPPED[0];
    let made = visit.post(
        &format!("/methods/{shipped}/copy"),
        &[("called", "My own one")],
    );
    assert_eq!(made.leads_to(), "/methods/my-own-one/edit?said=kept");
    let first = text_of(&visit, "my-own-one");
    assert!(first.starts_with("method \"My own one\"\n"));
    let desk = visit.get("/methods/my-own-one/edit");
    let seen = hidden(&desk, "seen");
    // With a note standing it is kept all the same, and the page says what that means.
    let second = first.replacen("  hip\n", "  hip\n  hipp lenght: else wast\n", 1);
    assert_ne!(first, second);
    let kept = visit.post(
        "/methods/my-own-one/edit",
        &[
            ("do", "keep"),
            ("seen", &seen),
            ("text", &second.replace('\n', "\r\n")),
            ("card", "demo"),
        ],
    );
    assert_eq!(kept.leads_to(), "/methods/my-own-one/edit?said=kept");
    assert_eq!(text_of(&visit, "my-own-one"), second);
    let desk = visit.get("/methods/my-own-one/edit").text();
    assert!(desk.contains("no paper is made until"), "{desk}");
    assert!(desk.contains("<li class=\"has\">"));
    let history = visit.get("/methods/my-own-one/history").text();
    assert!(
        history.contains("1 line differs from the newest"),
        "{history}"
    );
    let old = history.matches("/methods/my-own-one/history/").count();
    assert_eq!(old, 2);
    let earlier = visit.get("/methods/my-own-one/history/1");
    assert!(
        earlier.text().contains("Go back to this text"),
        "{}",
        earlier.text()
    );
    let seen = hidden(&earlier, "seen");
    let back = visit.post("/methods/my-own-one/history/1", &[("seen", &seen)]);
    assert_eq!(back.leads_to(), "/methods/my-own-one/history?said=kept");
    assert_eq!(text_of(&visit, "my-own-one"), first);
    let again = visit.post("/methods/my-own-one/history/1", &[("seen", "1")]);
    assert_eq!(
        again.status,
        StatusCode::SEE_OTHER,
        "the same text is no change"
    );
    assert_eq!(
        visit.get("/methods/my-own-one/history/99").status,
        StatusCode::NOT_FOUND
    );
}

#[test]
fn with_scripts_off_buttons_tidy_and_mend_the_text() {
    let visit = Visit::new();
    let name = mine(&visit, "Mine");
    let address = format!("/methods/{name}/edit");
    let text = MINE.replacen("(hip + ", "(hipp + ", 1);
    let looked = visit.post(&address, &[("do", "look"), ("seen", "1"), ("text", &text)]);
    assert_eq!(looked.status, StatusCode::OK);
    let page = looked.text();
    assert!(
        page.contains("There is no") || page.contains("there is no"),
        "{page}"
    );
    let Some((_, rest)) = page.split_once("value=\"mend ") else {
        panic!("no button to mend it: {page}")
    };
    let key = format!("mend {}", rest.split('"').next().unwrap_or_default());
    let mended = visit
        .post(&address, &[("do", &key), ("seen", "1"), ("text", &text)])
        .text();
    assert!(mended.contains("Nothing to put right"), "{mended}");
    assert!(mended.contains("What is written here is not kept yet."));
    let tidied = visit.post(
        &address,
        &[
            ("do", "tidy"),
            ("seen", "1"),
            ("text", &MINE.replace("  ", " ")),
        ],
    );
    assert!(tidied.text().contains("\n  hip\n"), "{}", tidied.text());
    // Nothing of it was kept.
    assert!(text_of(&visit, &name).contains("(hip + fullness)"));
    assert_eq!(
        visit
            .get(&format!("/methods/{name}/history"))
            .text()
            .matches("/history/")
            .count(),
        1
    );
}

#[test]
fn while_she_types_notes_and_drawing_alone_come_back() {
    let visit = Visit::new();
    let name = mine(&visit, "Mine");
    let text = MINE.replacen("(hip + ", "(hipp + ", 1);
    let page = visit.post(
        &format!("/methods/{name}/look"),
        &[("text", &text), ("card", "demo")],
    );
    assert_eq!(page.status, StatusCode::OK);
    let page = page.text();
    assert!(
        page.starts_with("<div class=\"notes\" data-lines=\""),
        "{page}"
    );
    assert!(
        !page.contains("<html") && page.contains("data-with=\"hip\""),
        "{page}"
    );
    let empty = visit.post(&format!("/methods/{name}/look"), &[("text", "")]);
    assert_eq!(empty.status, StatusCode::OK);
}

#[test]
fn two_windows_never_write_over_each_other() {
    let visit = Visit::new();
    let name = mine(&visit, "Mine");
    let address = format!("/methods/{name}/edit");
    let (a, b) = (
        MINE.replace("My way", "Mine")
            .replace("6 in, between", "7 in, between"),
        MINE.replace("My way", "Mine")
            .replace("6 in, between", "8 in, between"),
    );
    let first = visit.post(&address, &[("do", "keep"), ("seen", "1"), ("text", &a)]);
    assert_eq!(first.status, StatusCode::SEE_OTHER);
    let second = visit.post(&address, &[("do", "keep"), ("seen", "1"), ("text", &b)]);
    assert_eq!(second.status, StatusCode::CONFLICT);
    let page = second.text();
    assert!(
        page.contains("1 line differs") && page.contains("Nothing is lost"),
        "{page}"
    );
    assert!(page.contains("fullness: 7 in") && page.contains("fullness: 8 in"));
    assert_eq!(text_of(&visit, &name), a);
    // She keeps the other one: hers is among the earlier texts.
    let seen = hidden(&second, "seen");
    let other = visit.post(&address, &[("do", "other"), ("seen", &seen), ("text", &b)]);
    assert_eq!(other.status, StatusCode::SEE_OTHER);
    assert_eq!(text_of(&visit, &name), a);
    let texts = visit.wait(visit.room.book(move |book| Ok(book.method_texts(&name)?)));
    let texts: Vec<String> = texts
        .unwrap_or_default()
        .into_iter()
        .map(|t| t.text)
        .collect();
    assert_eq!(texts.len(), 4);
    assert_eq!(
        (texts[0].as_str(), texts[1].as_str()),
        (a.as_str(), b.as_str())
    );
}

#[test]
fn a_file_is_plain_text_to_keep_and_nothing_a_browser_would_run() {
    let visit = Visit::new();
    let name = mine(&visit, "<script>alert(1)</script> & \u{202e}");
    let page = visit.get(&format!("/methods/{name}/file"));
    assert_eq!(page.header("content-type"), "text/plain; charset=utf-8");
    assert_eq!(page.header("x-content-type-options"), "nosniff");
    let line = page.header("content-disposition");
    assert!(
        line.starts_with("attachment; filename=\"script-alert-1-script.method\""),
        "{line}"
    );
    assert!(!line.contains('<'), "{line}");
    for address in [
        "/methods".to_owned(),
        format!("/methods/{name}"),
        format!("/methods/{name}/edit"),
        format!("/methods/{name}/history"),
    ] {
        let page = visit.get(&address).text();
        assert!(!page.contains("<script>alert"), "{address}");
        assert!(page.contains("&lt;script&gt;"), "{address}");
    }
}

#[test]
fn someone_s_file_is_shown_before_it_is_kept() {
    let visit = Visit::new();
    let theirs = "method \"<b>Hers</b>\"\r\n  \"<script>x</script>\"\r\ncard\r\n  hip\r\nuse \"Not here\" as block\r\n";
    let page = opened(&visit, theirs.as_bytes(), "");
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    let page = page.text();
    assert!(
        page.contains("It is not kept yet") && page.contains("&lt;script&gt;x&lt;/script&gt;"),
        "{page}"
    );
    assert!(
        !page.contains("<script>x") && !page.contains("<b>Hers"),
        "{page}"
    );
    assert!(
        page.contains("It is built on Not here, which is not here"),
        "{page}"
    );
    let list = visit.get("/methods").text();
    assert!(list.contains("None yet"), "nothing was kept by looking");
    let kept = visit.post(
        "/methods/open/keep",
        &[("text", theirs), ("how", "beside"), ("called", "Hers")],
    );
    assert_eq!(
        kept.leads_to(),
        "/methods/hers/edit?said=kept",
        "{}",
        kept.text()
    );
    // Once more: the name is there already, and is asked about.
    let again = opened(
        &visit,
        b"",
        &theirs
            .replace("<b>Hers</b>", "Hers")
            .replace("\"<script>x</script>\"", "\"newer\""),
    );
    assert!(
        again
            .text()
            .contains("There is a method called Hers already"),
        "{}",
        again.text()
    );
    let (same, seen) = (hidden(&again, "same"), hidden(&again, "seen"));
    let text = theirs
        .replace("<b>Hers</b>", "Hers")
        .replace("<script>x</script>", "newer");
    let clash = visit.post(
        "/methods/open/keep",
        &[("text", &text), ("how", "beside"), ("called", "Hers")],
    );
    assert_eq!(clash.status, StatusCode::UNPROCESSABLE_ENTITY);
    let newer = visit.post(
        "/methods/open/keep",
        &[
            ("text", &text),
            ("how", "newer"),
            ("same", &same),
            ("seen", &seen),
        ],
    );
    assert_eq!(
        newer.leads_to(),
        "/methods/hers/edit?said=kept",
        "{}",
        newer.text()
    );
    let history = visit.get("/methods/hers/history").text();
    assert_eq!(
        history.matches("/methods/hers/history/").count(),
        2,
        "the old text stays"
    );
    // A shipped one is never written over.
    let (shipped, text) = SHIPPED[0];
    let page = opened(&visit, text.as_bytes(), "");
    assert!(page.text().contains("already") && !page.text().contains("value=\"newer\""));
    let forced = visit.post(
        "/methods/open/keep",
        &[
            ("text", text),
            ("how", "newer"),
            ("same", shipped),
            ("seen", "1"),
        ],
    );
    assert_eq!(forced.status, StatusCode::NOT_FOUND);
}

#[test]
fn what_is_no_text_is_refused_in_words() {
    let visit = Visit::new();
    for (bytes, why) in [
        (&b"method \"a\"\ncard\n  h\xffp\n"[..], "not plain text"),
        (b"method \"a\"\ncard\n  h\0p\n", "On line 3"),
        (b"  \n", "Nothing stands in it"),
    ] {
        let page = opened(&visit, bytes, "");
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text().contains(why), "{why}: {}", page.text());
    }
    let much = "x".repeat(MOST + 1);
    let page = opened(&visit, much.as_bytes(), "");
    assert_eq!(page.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(page.text().contains("256 KB"), "{}", page.text());
    let name = mine(&visit, "Mine");
    for what in ["keep", "look"] {
        let page = visit.post(
            &format!("/methods/{name}/edit"),
            &[("do", what), ("seen", "1"), ("text", &much)],
        );
        assert_eq!(page.status, StatusCode::PAYLOAD_TOO_LARGE, "{what}");
    }
    let page = visit.post(
        &format!("/methods/{name}/edit"),
        &[("do", "keep"), ("seen", "1"), ("text", "a\0b<i>")],
    );
    assert_eq!(page.status, StatusCode::BAD_REQUEST);
    assert!(
        page.text().contains("a\0b&lt;i&gt;"),
        "what she wrote is still there to take"
    );
}

#[test]
fn a_monstrous_text_ends_soon_and_leaves_the_house_standing() {
    // Catches a stack that overflows (the whole program would be gone) and work without an end.
    let visit = Visit::new();
    let nested = "(".repeat(MOST - 200);
    let deep_lines: String = (0..4500).map(|_| "when hip > 1 in\n").collect();
    let long_sum = format!("values\n  x: {}1 in\n", "hip + ".repeat(40_000));
    let brackets_down: String = (0..4000)
        .map(|i| format!("  v{i}: (((((((((((((((((((((hip\n"))
        .collect();
    for body in [
        nested,
        deep_lines,
        long_sum,
        format!("values\n{brackets_down}"),
    ] {
        let text = format!("method \"Monster\"\ncard\n  hip\n{body}");
        let began = Instant::now();
        let page = opened(&visit, text.as_bytes(), "");
        assert_eq!(page.status, StatusCode::OK, "{}", &text[..60]);
        assert!(
            began.elapsed() < Duration::from_mins(1),
            "{:?}",
            began.elapsed()
        );
    }
    assert_eq!(visit.get("/methods").status, StatusCode::OK);
}

#[test]
fn renamed_and_put_away_nothing_is_lost() {
    let visit = Visit::new();
    let name = mine(&visit, "Mine");
    let renamed = visit.post(&format!("/methods/{name}/name"), &[("called", "Hers now")]);
    assert_eq!(
        renamed.leads_to(),
        "/methods/hers-now/history?said=kept",
        "{}",
        renamed.text()
    );
    assert_eq!(visit.get("/methods/mine").status, StatusCode::NOT_FOUND);
    assert!(text_of(&visit, "hers-now").starts_with("method \"Hers now\""));
    let shipped = crate::shelf::title(SHIPPED[0].1);
    let taken = visit.post("/methods/hers-now/name", &[("called", &shipped)]);
    assert_eq!(taken.status, StatusCode::CONFLICT);
    let away = visit.post("/methods/hers-now/away", &[("away", "yes")]);
    assert_eq!(away.leads_to(), "/methods?said=gone");
    let list = visit.get("/methods").text();
    assert!(list.contains("Put away (1)"), "{list}");
    assert_eq!(visit.get("/methods/hers-now").status, StatusCode::OK);
    visit.post("/methods/hers-now/away", &[("away", "no")]);
    assert!(!visit.get("/methods").text().contains("Put away ("));
}

/// An order drafted by a method of hers.
fn ordered(visit: &Visit, name: &str) -> OrderNo {
    let (text, name) = (text_of(visit, name), name.to_owned());
    let made = visit.wait(visit.room.book(move |book| {
        let about = About {
            name: "Someone invented".to_owned(),
            ..About::default()
        };
        let client: ClientNo = book.new_client(&about, false)?;
        let order = NewOrder {
            title: "A skirt".to_owned(),
            method: name,
            holds: vec![
                ("method".to_owned(), text),
                ("choice/fullness".to_owned(), "4 in".to_owned()),
            ],
            ..NewOrder::of(client)
        };
        Ok(book.new_order(&order)?)
    }));
    made.unwrap_or_else(|t| panic!("{t:?}"))
}

#[test]
fn an_order_keeps_its_text_and_takes_a_newer_one_when_she_says_so() {
    let visit = Visit::new();
    let name = mine(&visit, "Mine");
    let old = text_of(&visit, &name);
    let order = ordered(&visit, &name);
    let address = format!("/orders/{order}/method");
    assert!(
        visit
            .get(&address)
            .text()
            .contains("That is its newest text.")
    );
    let new = old.replace("fullness", "extra width");
    visit.post(
        &format!("/methods/{name}/edit"),
        &[("do", "keep"), ("seen", "1"), ("text", &new)],
    );
    let held = |key: &'static str| {
        let found = visit.wait(
            visit
                .room
                .book(move |book| Ok(book.holds(order)?.remove(key))),
        );
        found.unwrap_or_else(|t| panic!("{t:?}"))
    };
    assert_eq!(
        held("method").as_deref(),
        Some(old.as_str()),
        "writing on the method changes no order"
    );
    let reader = visit.get(&format!("/methods/{name}")).text();
    assert!(reader.contains("as it was then"), "{reader}");
    let page = visit.get(&address);
    let shown = page.text();
    assert!(
        shown.contains("There is a newer text of it: 2 lines differ"),
        "{shown}"
    );
    assert!(
        shown.contains("What you chose for fullness has no place in it"),
        "{shown}"
    );
    let seen = hidden(&page, "seen");
    let took = visit.post(
        &address,
        &[("do", "take"), ("seen", &seen), ("method", &name)],
    );
    assert_eq!(
        took.leads_to(),
        format!("{address}?said=kept"),
        "{}",
        took.text()
    );
    assert_eq!(held("method").as_deref(), Some(new.as_str()));
    assert_eq!(held("choice/fullness"), None);
    // One change in the journal, taken back in one press.
    let back = visit.post(&address, &[("do", "back")]);
    assert_eq!(back.leads_to(), format!("{address}?said=back"));
    assert_eq!(held("method").as_deref(), Some(old.as_str()));
    assert_eq!(held("choice/fullness").as_deref(), Some("4 in"));
    // Taken with an old count after something else changed it: told, and nothing written over.
    let changed = visit.wait(visit.room.book(move |book| {
        let change = Change {
            key: "method".to_owned(),
            after: Some("method \"Other\"\n".to_owned()),
        };
        Ok(book.change(order, None, "method: by another window", "here", &[change])?)
    }));
    assert!(changed.is_ok());
    let late = visit.post(
        &address,
        &[("do", "take"), ("seen", &seen), ("method", &name)],
    );
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert_eq!(held("method").as_deref(), Some("method \"Other\"\n"));
}

#[test]
fn an_order_is_drafted_by_another_method_with_what_that_one_uses() {
    let visit = Visit::new();
    let name = mine(&visit, "Mine");
    let order = ordered(&visit, &name);
    let address = format!("/orders/{order}/method");
    let built_on = SHIPPED.iter().find(|(_, text)| text.contains("\nuse \""));
    let Some((other, text)) = built_on else {
        return;
    };
    let looked = visit.post(
        &address,
        &[("do", "look"), ("seen", "1"), ("method", other)],
    );
    assert!(
        looked.text().contains("Take this method"),
        "{}",
        looked.text()
    );
    let seen = hidden(&looked, "seen");
    visit.post(
        &address,
        &[("do", "take"), ("seen", &seen), ("method", other)],
    );
    let holds = visit.wait(visit.room.book(move |book| Ok(book.holds(order)?)));
    let holds = holds.unwrap_or_default();
    assert_eq!(holds.get("method").map(String::as_str), Some(*text));
    let used: Vec<String> = holds
        .get("methods")
        .and_then(|json| serde_json::from_str(json).ok())
        .unwrap_or_default();
    assert!(!used.is_empty() && used.iter().all(|u| SHIPPED.iter().any(|(_, t)| t == u)));
    assert_eq!(visit.get("/orders/99/method").status, StatusCode::NOT_FOUND);
    assert_eq!(visit.get("/orders/x/method").status, StatusCode::NOT_FOUND);
    let none = visit.post(
        &address,
        &[("do", "take"), ("seen", "9"), ("method", "none-such")],
    );
    assert_eq!(none.status, StatusCode::NOT_FOUND);
}
