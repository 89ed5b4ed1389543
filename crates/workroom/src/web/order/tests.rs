//! Orders, as she goes about them: begun, changed, moved, taken back, closed, made again, for a party.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
use axum::body::Body;
use axum::http::{StatusCode, header};
use book::{Book, ClientNo, DayKind, DayState, NewDay, Of, OrderNo, Photos, Which};
use image::{Rgb, RgbImage};
use measure::Date;

use crate::web::testing::{HOST, Visit, demo_book};

fn demo() -> Visit {
    Visit::with(demo_book())
}

/// Asks the book behind a visit.
fn ask<T: Send + 'static>(
    visit: &Visit,
    work: impl FnOnce(&mut Book) -> Result<T, book::Trouble> + Send + 'static,
) -> T {
    visit
        .wait(visit.room.book(move |book| Ok(work(book)?)))
        .unwrap()
}

/// The order of someone of the demo.
fn order_of(visit: &Visit, name: &'static str) -> (OrderNo, ClientNo) {
    let all = ask(visit, |book| book.orders(Which::All));
    let line = all.iter().find(|o| o.name.starts_with(name)).unwrap();
    (line.order.number, line.client)
}

fn day(kind: DayKind, on: &str) -> NewDay {
    NewDay {
        kind,
        on: Date::read(on).unwrap(),
        time: String::new(),
        words: String::new(),
    }
}

/// Would catch an order that begins without its method's text or card, or a toile that is forgotten.
#[test]
fn an_order_is_begun_from_a_card_and_a_method() {
    let visit = demo();
    let (_, client) = order_of(&visit, "Bisi");
    let form = visit.get(&format!("/orders/new?client={client}"));
    assert_eq!(form.status, StatusCode::OK);
    assert!(form.text().contains("name=\"card\" value=\"1\" checked"));
    let to = client.to_string();
    let begun = visit.post(
        "/orders/new",
        &[
            ("client", &to),
            ("card", "1"),
            ("method", "a-line"),
            ("title", "A skirt for <Sunday>"),
            ("toile", "yes"),
            ("event", "2027-02-01"),
        ],
    );
    assert_eq!(begun.status, StatusCode::SEE_OTHER, "{}", begun.text());
    let at = begun.leads_to().split('?').next().unwrap().to_owned();
    let number = OrderNo::read(at.rsplit('/').next().unwrap()).unwrap();
    let (holds, days) = ask(&visit, move |book| {
        Ok((book.holds(number)?, book.days(number)?))
    });
    assert!(holds["method"].contains("method") && holds.contains_key("card"));
    assert_eq!(holds["stage"], "toile");
    assert_eq!(days[0].day.kind, DayKind::Event);
    let page = visit.get(&at).text();
    assert!(page.contains("A skirt for &lt;Sunday&gt;") && page.contains("A toile first"));
    assert_eq!(page.matches("<h1").count(), 1);
    assert!(!page.contains("style="));
    assert_eq!(visit.get(&format!("{at}/draft")).status, StatusCode::OK);
    // To the cloth: the stage is a change like any other, and is taken back like any other.
    visit.post(&at, &[("do", "stage"), ("stage", "cloth")]);
    assert_eq!(ask(&visit, move |b| b.holds(number))["stage"], "cloth");
    visit.post(&at, &[("do", "back")]);
    assert_eq!(ask(&visit, move |b| b.holds(number))["stage"], "toile");
}

/// Would catch a form that loses what was typed, and an order for nobody.
#[test]
fn what_is_missing_is_said_and_what_was_typed_stays() {
    let visit = demo();
    let (_, client) = order_of(&visit, "Bisi");
    let to = client.to_string();
    let page = visit.post(
        "/orders/new",
        &[("client", &to), ("title", "Velvet"), ("event", "soon")],
    );
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let text = page.text();
    assert!(text.contains("2 things to look at") && text.contains("value=\"Velvet\""));
    assert_eq!(visit.post("/orders/new", &[]).status, StatusCode::NOT_FOUND);
    for nowhere in [
        "/orders/9999",
        "/orders/none",
        "/orders/9999/again",
        "/orders/9999/party",
        "/orders/9999/sheet",
        "/orders/new?client=777",
        "/pictures/none",
        "/pictures/01890000-0000-7000-8000-000000000000",
    ] {
        assert_eq!(
            visit.get(nowhere).status,
            StatusCode::NOT_FOUND,
            "{nowhere}"
        );
    }
}

/// Would catch a day that is left behind when the wedding moves, one that moves before she was asked,
/// and a second press that moves it twice.
#[test]
fn the_event_moves_and_she_is_asked_about_the_others() {
    let visit = demo();
    let (order, _) = order_of(&visit, "Bisi");
    let ids = ask(&visit, move |book| {
        for day in book.days(order)? {
            book.drop_day(order, day.id)?;
        }
        let was = book.add_day(order, &day(DayKind::Measure, "2026-10-01"))?;
        book.set_day(order, was, DayState::Done)?;
        book.add_day(order, &day(DayKind::Fitting, "2026-12-10"))?;
        book.add_day(order, &day(DayKind::Event, "2027-01-09"))
    });
    let at = format!("/orders/{order}/days/{ids}");
    let asked = visit.post(
        &at,
        &[("do", "change"), ("kind", "event"), ("on", "2027-01-23")],
    );
    assert!(asked.leads_to().starts_with(&format!("{at}/move?")));
    let on = move |book: &mut Book| -> Result<Vec<String>, book::Trouble> {
        Ok(book
            .days(order)?
            .iter()
            .map(|d| format!("{} {}", d.day.on, d.state.word()))
            .collect())
    };
    assert_eq!(
        ask(&visit, on)[2],
        "2027-01-09 comes",
        "moved before she was asked"
    );
    let page = visit.get(asked.leads_to());
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    let text = page.text();
    assert!(text.contains("2 weeks later") && text.contains("Move all 2 together"));
    assert!(text.contains("Thursday 24 December"));
    let was = text
        .split("name=\"was\" value=\"")
        .nth(1)
        .and_then(|t| t.split('"').next())
        .unwrap()
        .to_owned();
    for _ in 0..2 {
        let moved = visit.post(
            &format!("{at}/move"),
            &[
                ("do", "all"),
                ("kind", "event"),
                ("on", "2027-01-23"),
                ("was", &was),
            ],
        );
        assert_eq!(moved.status, StatusCode::SEE_OTHER, "{}", moved.text());
    }
    assert_eq!(
        ask(&visit, on),
        ["2026-10-01 done", "2026-12-24 comes", "2027-01-23 comes"]
    );
    // All put off, and after all.
    visit.post(&format!("/orders/{order}/days/all"), &[("do", "postpone")]);
    assert_eq!(ask(&visit, on)[1], "2026-12-24 postponed");
    visit.post(&format!("/orders/{order}/days/all"), &[("do", "come")]);
    assert_eq!(ask(&visit, on)[1], "2026-12-24 comes");
    // A day that cannot be read keeps what was typed.
    let unread = visit.post(
        &format!("/orders/{order}/days"),
        &[("kind", "hem"), ("on", "soon"), ("words", "bring shoes")],
    );
    assert_eq!(unread.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(unread.text().contains("value=\"bring shoes\""));
}

/// Would catch one window writing over the other without a word: notes, title, a day.
#[test]
fn two_windows_show_both() {
    let visit = demo();
    let (order, _) = order_of(&visit, "Bisi");
    let at = format!("/orders/{order}");
    let seen = ask(&visit, move |b| b.order(order)).seen.to_string();
    visit.post(
        &at,
        &[("do", "note"), ("seen", &seen), ("note", "theirs <b>")],
    );
    let mine = visit.post(&at, &[("do", "note"), ("seen", &seen), ("note", "mine")]);
    assert_eq!(mine.status, StatusCode::CONFLICT);
    let text = mine.text();
    assert!(text.contains("theirs &lt;b&gt;") && text.contains(">mine<"));
    // What is apart is marked, to the ear too, and never by colour alone.
    assert_eq!(text.matches("<mark class=\"apart\">").count(), 2);
    assert!(text.contains("What is apart is underlined: 1 word of yours, 2 words of theirs."));
    let now = text
        .split("name=\"seen\" value=\"")
        .nth(1)
        .and_then(|t| t.split('"').next())
        .unwrap();
    let kept = visit.post(&at, &[("do", "note"), ("seen", now), ("note", "mine")]);
    assert_eq!(kept.status, StatusCode::SEE_OTHER);
    assert_eq!(ask(&visit, move |b| b.holds(order))["note"], "mine");

    let title = ask(&visit, move |b| b.order(order)).title;
    visit.post(&at, &[("do", "title"), ("was", &title), ("title", "One")]);
    let other = visit.post(&at, &[("do", "title"), ("was", &title), ("title", "Two")]);
    assert_eq!(other.status, StatusCode::CONFLICT);
    assert!(other.text().contains(">One<") && other.text().contains(">Two<"));

    let id = ask(&visit, move |b| Ok(b.days(order)?[0].id));
    let page = visit.get(&format!("{at}/days/{id}")).text();
    let was = page
        .split("name=\"was\" value=\"")
        .nth(1)
        .and_then(|t| t.split('"').next())
        .unwrap()
        .to_owned();
    let send = |on: &str| {
        visit.post(
            &format!("{at}/days/{id}"),
            &[
                ("do", "change"),
                ("kind", "collection"),
                ("on", on),
                ("was", &was),
            ],
        )
    };
    assert_eq!(send("2026-12-20").status, StatusCode::SEE_OTHER);
    assert_eq!(send("2026-12-21").status, StatusCode::CONFLICT);
}

/// Would catch a closed order that is changed after all, or can't be opened again.
#[test]
fn a_closed_order_is_looked_at_and_not_changed() {
    let visit = demo();
    let (order, _) = order_of(&visit, "Bisi");
    let at = format!("/orders/{order}");
    let id = ask(&visit, move |b| Ok(b.days(order)?[0].id));
    assert_eq!(
        visit.post(&at, &[("do", "close")]).status,
        StatusCode::SEE_OTHER
    );
    let page = visit.get(&at).text();
    assert!(page.contains("Closed ") && page.contains("Open it again"));
    assert!(!page.contains("Keep the notes") && !page.contains("Another day"));
    for (address, form) in [
        (at.clone(), [("do", "note"), ("note", "late")]),
        (at.clone(), [("do", "back"), ("", "")]),
        (
            format!("{at}/days"),
            [("kind", "hem"), ("on", "2026-12-12")],
        ),
        (format!("{at}/days/{id}"), [("do", "done"), ("", "")]),
        (format!("{at}/days/all"), [("do", "cancel"), ("", "")]),
        (format!("{at}/party"), [("name", "x"), ("", "")]),
    ] {
        let refused = visit.post(&address, &form);
        assert_eq!(refused.status, StatusCode::CONFLICT, "{address}");
        assert!(refused.text().contains("Back to the order"), "{address}");
    }
    assert!(visit.get("/orders").text().contains("Closed orders, 1"));
    visit.post(&at, &[("do", "open")]);
    assert_eq!(
        visit.post(&at, &[("do", "note"), ("note", "late")]).status,
        StatusCode::SEE_OTHER
    );
}

/// Would catch a method that leaves choices behind which it does not know, and a name that is not the
/// text's.
#[test]
fn another_method_takes_its_text_along() {
    let visit = demo();
    let (order, _) = order_of(&visit, "Odette");
    let at = format!("/orders/{order}");
    ask(&visit, move |b| {
        b.hold(order, "x", "here", "choice/knee tightening", Some("2 in"))
    });
    visit.post(&at, &[("do", "method"), ("method", "a-line")]);
    let (row, holds) = ask(&visit, move |b| Ok((b.order(order)?, b.holds(order)?)));
    assert_eq!(row.method, "a-line");
    assert!(!holds.contains_key("choice/knee tightening"));
    assert!(visit.get(&at).text().contains("Take back: Method"));
    let page = visit.get(&format!("{at}/draft"));
    assert_eq!(page.status, StatusCode::OK);
    visit.post(&at, &[("do", "back")]);
    let holds = ask(&visit, move |b| b.holds(order));
    assert_eq!(holds["choice/knee tightening"], "2 in");
    assert_eq!(
        visit
            .post(&at, &[("do", "method"), ("method", "no-such")])
            .status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    // Signed off, with a name.
    assert_eq!(
        visit.post(&at, &[("do", "sign"), ("who", " ")]).status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    visit.post(
        &at,
        &[("do", "sign"), ("who", "Odette"), ("on", "2026-11-25")],
    );
    assert!(visit.get(&at).text().contains("Odette, 25 November 2026"));
}

/// Would catch old corrections or notes that come along unasked, and an old card that is prefilled.
#[test]
fn made_again_it_takes_only_what_she_ticks() {
    let visit = demo();
    let (order, client) = order_of(&visit, "Odette");
    let fixed = "[[correction]]\npiece = \"front\"\nedge = \"side\"\nmiddle = \"-3/8 in\"\nside = \"left\"\nwords = \"Pinned twice.\"\n";
    ask(&visit, move |b| {
        b.hold(order, "a", "here", "correction/a", Some(fixed))?;
        b.hold(order, "b", "here", "correction/b", Some(fixed))?;
        b.hold(order, "n", "here", "note", Some("old note"))?;
        let head = book::CardHead::new(Date::read("2028-11-01").unwrap(), book::Unit::Inch);
        let new = b.new_card(client, &head)?;
        let new = b.card(client, new)?;
        let reading = book::NewReading {
            measure: "waist".into(),
            turn: 1,
            text: "28 1/2".into(),
            unit: "in".into(),
            mm: Some(28.5 * 25.4),
        };
        // Of three readings the two that agree count, as on the card: 30 in, not the mean of all.
        let knee = |turn: u8, text: &str, inches: f64| book::NewReading {
            measure: "waist to knee".into(),
            turn,
            text: text.into(),
            unit: "in".into(),
            mm: Some(inches * 25.4),
        };
        let knees = [
            knee(1, "30", 30.0),
            knee(2, "34", 34.0),
            knee(3, "30", 30.0),
        ];
        b.write_readings(
            new.id,
            None,
            &[
                reading,
                knees[0].clone(),
                knees[1].clone(),
                knees[2].clone(),
            ],
            "here",
        )?;
        Ok(())
    });
    // The order that goes on with the old card says what has changed since.
    let page = visit.get(&format!("/orders/{order}")).text();
    assert!(page.contains("She has a newer card, of 1 November 2028."));
    assert!(page.contains("More than an inch apart since: waist "));
    let at = format!("/orders/{order}/again");
    let text = visit.get(&at).text();
    assert!(
        text.contains("name=\"card\" value=\"2\" checked"),
        "the newer card comes first"
    );
    assert!(text.contains("More than an inch apart since") && text.contains("waist"));
    let knee = text.split("More than an inch apart since").nth(1).unwrap();
    let knee = knee.split("waist to knee ").nth(1).unwrap();
    let knee = knee.split('.').next().unwrap();
    assert!(knee.contains(" to 30 in"), "{knee}");
    assert!(
        text.contains("Side of front, from")
            && text.contains("on her left only. Pinned twice.")
            && !text.contains("name=\"correction/a\" value=\"yes\" checked")
    );
    let made = visit.post(
        &at,
        &[("card", "2"), ("title", "Again"), ("correction/a", "yes")],
    );
    assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text());
    let all = ask(&visit, move |b| b.orders(Which::After(order)));
    let number = all[0].order.number;
    let holds = ask(&visit, move |b| b.holds(number));
    assert!(holds.contains_key("correction/a") && !holds.contains_key("correction/b"));
    assert!(!holds.contains_key("note"));
    let old = ask(&visit, move |b| b.holds(order));
    assert_eq!(holds["method"], old["method"]);
    assert_ne!(holds["card"], old["card"]);
    assert!(
        visit
            .get(&format!("/orders/{number}"))
            .text()
            .contains("Made again after")
    );
    assert!(visit.get(&format!("/orders/{number}/sheet")).status == StatusCode::OK);
}

/// Would catch a bridesmaid who is given another's card, or one who gets two orders.
#[test]
fn a_party_is_one_design_and_a_card_each() {
    let visit = demo();
    let (order, bride) = order_of(&visit, "Odette");
    let (_, maid) = order_of(&visit, "Bisi");
    let at = format!("/orders/{order}/party");
    let who = format!("who-{maid}");
    assert_eq!(
        visit.post(&at, &[("name", "Marrow wedding")]).status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    for _ in 0..2 {
        visit.post(&at, &[("name", "Marrow wedding"), (&who, "1")]);
    }
    let party = ask(&visit, move |b| b.order(order)).party.unwrap();
    let all = ask(&visit, move |b| b.orders(Which::Party(party)));
    assert_eq!(all.len(), 2);
    let hers = all.iter().find(|o| o.client == maid).unwrap().order.number;
    let (mine, theirs) = ask(&visit, move |b| Ok((b.holds(order)?, b.holds(hers)?)));
    assert_eq!(mine["method"], theirs["method"]);
    assert_ne!(mine["card"], theirs["card"]);
    assert_ne!(bride, maid);
    // The wedding moves: whoever wants it moves the others along.
    let wedding = day(DayKind::Event, "2027-06-05");
    ask(&visit, move |b| {
        b.add_day(hers, &day(DayKind::Hem, "2027-05-20"))
    });
    let event = ask(&visit, move |b| b.add_day(order, &wedding));
    let move_at = format!("/orders/{order}/days/{event}/move");
    let query = "?kind=event&on=2027-06-12&time=&words=";
    let asks = visit.get(&format!("{move_at}{query}")).text();
    assert!(asks.contains(
        "With all together, the days of the others of Marrow wedding move by as much: one order."
    ));
    let sent = [
        ("kind", "event"),
        ("on", "2027-06-12"),
        ("do", "all"),
        ("party", "yes"),
    ];
    assert_eq!(visit.post(&move_at, &sent).status, StatusCode::SEE_OTHER);
    let theirs = ask(&visit, move |b| b.days(hers));
    assert!(theirs.iter().any(|d| d.day.on.to_string() == "2027-05-27"));
    // A day that comes too late says so.
    ask(&visit, move |b| {
        b.add_day(hers, &day(DayKind::Event, "2027-05-01"))
    });
    let page = visit.get(&format!("/orders/{hers}")).text();
    assert_eq!(page.matches("after the day it is for").count(), 1);
    // Everyone of it in one table.
    let table = visit.get(&at).text();
    let table = table.split("</table>").next().unwrap();
    for said in [
        "<h1>Marrow wedding</h1>",
        "Odette",
        "Bisi",
        "Card 1, 26 October 2026",
    ] {
        assert!(table.contains(said), "{said}");
    }
    assert!(
        visit
            .get(&format!("/orders/{order}"))
            .text()
            .contains("Marrow wedding")
    );
}

/// A form with a file, as the browser sends it (RFC 7578).
fn send_picture(
    visit: &Visit,
    order: OrderNo,
    fields: &[(&str, &str)],
    file: &[u8],
) -> crate::web::testing::Page {
    let mut body = Vec::new();
    for (name, value) in fields {
        body.extend(
            format!("--SEAM\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
                .into_bytes(),
        );
    }
    body.extend(b"--SEAM\r\nContent-Disposition: form-data; name=\"file\"; filename=\"../../a.html\"\r\nContent-Type: text/html\r\n\r\n");
    body.extend(file);
    body.extend(b"\r\n--SEAM--\r\n");
    let request = visit
        .request("POST", &format!("/orders/{order}/pictures"))
        .header(header::ORIGIN, format!("http://{HOST}"))
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=SEAM")
        .body(Body::from(body))
        .unwrap();
    visit.send(request)
}

/// Would catch a photograph of her that is kept without asking, a page that is served as a picture, a
/// picture without its words.
#[test]
fn a_picture_is_asked_for_drawn_afresh_and_served_as_a_picture() {
    let visit = demo();
    let (order, client) = order_of(&visit, "Bisi");
    let mut png = std::io::Cursor::new(Vec::new());
    RgbImage::from_pixel(40, 30, Rgb([9, 99, 199]))
        .write_to(&mut png, image::ImageFormat::Png)
        .unwrap();
    let png = png.into_inner();
    let of_her = [("words", "Back, pinned"), ("of", "her")];
    let unasked = send_picture(&visit, order, &of_her, &png);
    assert_eq!(unasked.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        unasked.text().contains("Ask her first")
            && unasked.text().contains("value=\"Back, pinned\"")
    );
    let page = send_picture(
        &visit,
        order,
        &[("words", "x"), ("of", "thing")],
        b"<html><script>",
    );
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(ask(&visit, move |b| b.pictures(Of::Order(order))).len(), 0);

    let agreed = [("words", "Back, pinned"), ("of", "her"), ("agreed", "yes")];
    let kept = send_picture(&visit, order, &agreed, &png);
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text());
    let id = ask(&visit, move |b| Ok(b.pictures(Of::Order(order))?[0].id));
    let picture = visit.get(&format!("/pictures/{id}"));
    assert_eq!(picture.header("content-type"), "image/jpeg");
    assert!(picture.header("content-disposition").starts_with("inline"));
    assert_eq!(picture.header("x-content-type-options"), "nosniff");
    // Else a photograph of her would lie in the browser's own store.
    assert_eq!(picture.header("cache-control"), "no-store");
    assert!(
        picture
            .header("content-security-policy")
            .contains("sandbox")
    );
    assert!(picture.bytes.starts_with(b"\xff\xd8\xff"));
    assert!(
        visit
            .get(&format!("/orders/{order}"))
            .text()
            .contains("alt=\"Back, pinned")
    );
    let consent = ask(&visit, move |b| {
        Ok(b.pictures(Of::Order(order))?[0].consent.clone())
    });
    assert!(
        consent.starts_with("She was asked about this one, and agreed, "),
        "{consent}"
    );
    // Who said yes once is not asked each time.
    ask(&visit, move |b| {
        let row = b.client(client)?;
        let about = book::About {
            photos: Photos::Yes,
            consent: "For the fitting book only.".into(),
            ..row.about
        };
        b.change_client(client, row.seen, &about, "here")
    });
    assert_eq!(
        send_picture(&visit, order, &of_her, &png).status,
        StatusCode::SEE_OTHER
    );
    let consent = ask(&visit, move |b| {
        Ok(b.pictures(Of::Order(order))?[1].consent.clone())
    });
    assert!(
        consent.starts_with("For the fitting book only."),
        "{consent}"
    );
    // Taken away for good, by this order only.
    let (other, _) = order_of(&visit, "Odette");
    let not_hers = visit.post(&format!("/orders/{other}/pictures/{id}"), &[("do", "drop")]);
    assert_eq!(not_hers.status, StatusCode::NOT_FOUND);
    visit.post(&format!("/orders/{order}/pictures/{id}"), &[("do", "drop")]);
    assert_eq!(
        visit.get(&format!("/pictures/{id}")).status,
        StatusCode::NOT_FOUND
    );
}

/// Would catch a refused picture after which the page calls the draft changed and not to be drawn, and a
/// sign-off that can't be given from it.
#[test]
fn a_refused_picture_changes_nothing_of_the_draft() {
    let visit = demo();
    let (order, _) = order_of(&visit, "Odette");
    let at = format!("/orders/{order}");
    let mark = |page: &str| -> String {
        let after = page.split("name=\"mark\" value=\"").nth(1).unwrap();
        after.split('"').next().unwrap().to_owned()
    };
    let first = mark(&visit.get(&at).text());
    assert!(!first.is_empty());
    let form = [("do", "sign"), ("who", "Odette"), ("mark", &first)];
    assert_eq!(visit.post(&at, &form).status, StatusCode::SEE_OTHER);
    let refused = send_picture(&visit, order, &[], b"");
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    let text = refused.text();
    assert!(text.contains("What does it show?") && text.contains("Choose the picture."));
    assert!(!text.contains("changed since") && !text.contains("drawn as it is"));
    assert_eq!(mark(&text), first);
}

/// Would catch paper that passes for the draft's when something was changed after it was made, and a
/// fitting's version that passes for paper.
#[test]
fn paper_made_before_the_last_change_is_told() {
    let visit = demo();
    let (order, _) = order_of(&visit, "Bisi");
    let at = format!("/orders/{order}");
    let stale = "Something was changed after her paper was made.";
    let begun = visit.post(
        &format!("{at}/fittings"),
        &[("on", "2026-11-25"), ("garment", "toile")],
    );
    assert_eq!(begun.status, StatusCode::SEE_OTHER, "{}", begun.text());
    let page = visit.get(&at).text();
    assert!(page.contains("<dt>Paper</dt><dd>not made yet</dd>"));
    let made = visit.post(&format!("{at}/paper"), &[("paper", "a4")]);
    assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text());
    let page = visit.get(&at).text();
    assert!(page.contains("/versions/") && !page.contains(stale));
    let sheet = visit.get(&format!("{at}/sheet")).text();
    assert!(!sheet.contains("the draft was changed afterwards"));
    // Letting one choice be another makes it old; taking that back makes it right again.
    ask(&visit, move |b| {
        b.hold(
            order,
            "hip ease",
            "here",
            "choice/hip ease",
            Some("3 1/4 in"),
        )
    });
    assert!(visit.get(&at).text().contains(stale));
    let sheet = visit.get(&format!("{at}/sheet")).text();
    assert!(sheet.contains("the draft was changed afterwards"));
    assert!(
        visit
            .get("/")
            .text()
            .contains("Paper: made before the last change")
    );
    ask(&visit, move |b| b.take_back(order));
    assert!(!visit.get(&at).text().contains(stale));
    assert!(
        !visit
            .get("/")
            .text()
            .contains("made before the last change")
    );
    // Paper of the change as well: taken back, the older paper is the draft's, for page and sheet.
    ask(&visit, move |b| b.put_again(order));
    let made = visit.post(&format!("{at}/paper"), &[("paper", "a4")]);
    assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text());
    let versions = ask(&visit, move |b| b.versions(order));
    let newest = versions.iter().find(|v| v.papers > 0).unwrap().mark.clone();
    assert!(visit.get(&at).text().contains(&newest));
    ask(&visit, move |b| b.take_back(order));
    let older = versions
        .iter()
        .rfind(|v| v.papers > 0)
        .unwrap()
        .mark
        .clone();
    let (page, sheet) = (
        visit.get(&at).text(),
        visit.get(&format!("{at}/sheet")).text(),
    );
    assert!(page.contains(&format!(", {older}</a>")) && !page.contains(stale));
    assert!(sheet.contains(&older) && !sheet.contains(&newest));
    assert!(!sheet.contains("the draft was changed afterwards"));
    // A closed order is not made anew, whatever it was worked with since.
    ask(&visit, move |b| {
        b.hold(order, "hip ease", "here", "choice/hip ease", Some("4 in"))
    });
    assert!(visit.get(&at).text().contains(stale));
    visit.post(&at, &[("do", "close")]);
    assert!(!visit.get(&at).text().contains(stale));
    let sheet = visit.get(&format!("{at}/sheet")).text();
    assert!(sheet.contains("the draft was changed afterwards"));
}

/// Would catch a day that is over and asked about as the only one, or a table with nothing in it.
#[test]
fn a_day_that_is_over_is_moved_with_what_is_still_to_come() {
    let visit = demo();
    let (order, _) = order_of(&visit, "Bisi");
    let (event, fitting) = ask(&visit, move |book| {
        for day in book.days(order)? {
            book.drop_day(order, day.id)?;
        }
        let event = book.add_day(order, &day(DayKind::Event, "2026-11-20"))?;
        book.set_day(order, event, DayState::Done)?;
        let fitting = book.add_day(order, &day(DayKind::Fitting, "2026-12-10"))?;
        Ok((event, fitting))
    });
    let move_to = format!("/orders/{order}/days/{event}/move?kind=event&on=2026-12-20");
    let asked = visit.get(&move_to).text();
    assert!(asked.contains("Do the other days of this order move along?"));
    assert!(asked.contains("Move all 2 together") && asked.contains("Move only this one"));
    ask(&visit, move |b| b.drop_day(order, fitting));
    let alone = visit.get(&move_to).text();
    assert!(alone.contains("No other day of this order is to come.") && alone.contains("Move it"));
    assert!(!alone.contains("<table"), "nothing to list");
}
