//! The draft table without a browser: choices kept and taken back, the tape, cures, values that are none.
#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use axum::http::StatusCode;

use crate::web::testing::Visit;

#[test]
fn the_table_shows_pattern_numbers_findings_and_the_choice_in_the_hand() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let page = visit.get(&format!("/orders/{order}/draft"));
    assert_eq!(page.status, StatusCode::OK);
    let text = page.text();
    for part in [
        "id=\"pattern\"",
        "Her step",
        "Before the cloth is cut",
        "id=\"hand-slide\"",
        "Take back: flare",
        "The same drawing as a table",
    ] {
        assert!(text.contains(part), "{part}");
    }
}

#[test]
fn a_choice_is_kept_taken_back_and_put_again_with_scripts_off() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let press = |form: &[(&str, &str)]| visit.post(&format!("/orders/{order}/draft"), form);
    let answer = press(&[("choice", "tightening"), ("value", "2 1/4"), ("do", "draw")]);
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    assert!(
        answer
            .leads_to()
            .starts_with(&format!("/orders/{order}/draft?hand=tightening"))
    );
    let kept = |visit: &Visit| {
        let book = visit.room.shelf();
        let book = crate::web::calm_lock(&book);
        book.holds(order).unwrap().get("choice/tightening").cloned()
    };
    assert_eq!(kept(&visit).as_deref(), Some("2 1/4 in"));
    press(&[("choice", "tightening"), ("do", "more"), ("value", "2 1/4")]);
    assert_eq!(kept(&visit).as_deref(), Some("2 3/8 in"));
    press(&[("do", "back")]);
    assert_eq!(kept(&visit).as_deref(), Some("2 1/4 in"));
    press(&[("do", "back")]);
    assert_eq!(kept(&visit), None);
    press(&[("do", "again")]);
    assert_eq!(kept(&visit).as_deref(), Some("2 1/4 in"));
}

/// Would catch a value that falls back to where the slide was: typed and kept while she rested, and then
/// Enter; or a step that goes on from what was kept, and forgets what she typed.
#[test]
fn what_is_typed_stays_whatever_the_slide_says() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let kept = || {
        let book = visit.room.shelf();
        let book = crate::web::calm_lock(&book);
        book.holds(order).unwrap().get("choice/tightening").cloned()
    };
    let page = visit
        .get(&format!("/orders/{order}/draft?hand=tightening"))
        .text();
    let stood = |name: &str| {
        let from = page.split(&format!("name=\"{name}\" value=\"")).nth(1);
        from.and_then(|t| t.split('"').next()).unwrap().to_owned()
    };
    let (was, at) = (stood("was"), stood("at"));
    assert_ne!(was, "2 1/4");
    let press = |way: &str, value: &str, slide: &str| {
        let form = [
            ("choice", "tightening"),
            ("was", was.as_str()),
            ("at", at.as_str()),
            ("value", value),
            ("slide", slide),
            ("do", way),
        ];
        visit.post(&format!("/orders/{order}/draft/keep"), &form)
    };
    for _ in 0..2 {
        let answer = press("draw", "2 1/4", &at).text();
        assert_eq!(kept().as_deref(), Some("2 1/4 in"));
        // The page is told what stands there now.
        assert!(answer.contains("id=\"hand-was\" type=\"hidden\" name=\"was\" value=\"2 1/4\""));
        assert!(answer.contains("id=\"hand-at\" type=\"hidden\" name=\"at\" value=\"2.25\""));
    }
    press("more", "2 1/2", &at);
    assert_eq!(kept().as_deref(), Some("2 5/8 in"));
    // The slide alone, where the box was left as it stood.
    press("draw", &was, "2.75");
    assert_eq!(kept().as_deref(), Some("2 3/4 in"));
    // A step from what the method can't take is refused, with what is kept left as it is.
    let refused = press("more", "two", &at).text();
    assert!(refused.contains("id=\"slips\""), "{refused}");
    assert_eq!(kept().as_deref(), Some("2 3/4 in"));
}

#[test]
fn two_windows_never_overwrite_silently() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let seen = {
        let book = visit.room.shelf();
        let seen = crate::web::calm_lock(&book).order(order).unwrap().seen;
        seen.to_string()
    };
    let press = |value: &str| {
        visit.post(
            &format!("/orders/{order}/draft"),
            &[
                ("seen", &seen),
                ("choice", "flare"),
                ("value", value),
                ("do", "draw"),
            ],
        )
    };
    assert_eq!(press("8 1/2").status, StatusCode::SEE_OTHER);
    let both = press("9");
    assert_eq!(both.status, StatusCode::CONFLICT);
    assert!(both.text().contains("Keep mine") && both.text().contains("Theirs"));
    assert_eq!(both.text().matches("<mark class=\"apart\">").count(), 2);
}

/// Would catch a value that is kept although nothing can be drawn with it: no other could be typed
/// over it. It is told at its box, and stands there still.
#[test]
fn a_value_that_is_none_is_told_and_not_kept_and_not_lost() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/draft");
    let typed = |value: &str| {
        visit.post(
            &base,
            &[("choice", "flare"), ("value", value), ("do", "draw")],
        )
    };
    let answer = typed("softly");
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = answer.text();
    assert!(page.contains("value=\"softly\""), "what was typed is gone");
    assert!(
        page.contains("id=\"hand-fault\"") && !page.contains('`'),
        "no word about it"
    );
    assert!(page.contains("id=\"pattern\"") && page.contains("name=\"choice\" value=\"flare\""));
    let kept = visit.post(
        &format!("{base}/keep"),
        &[("choice", "flare"), ("value", "softly"), ("do", "draw")],
    );
    assert!(
        kept.text().contains("It can’t be drawn yet"),
        "{}",
        kept.text()
    );
    assert_eq!(typed("8 1/2").status, StatusCode::SEE_OTHER);
    let page = visit.get(&format!("{base}?hand=flare")).text();
    assert!(page.contains("value=\"8 1/2\""));
}

/// Would catch an order that was kept with such a value, restored or imported, and has no way out.
#[test]
fn a_value_kept_that_can_t_be_read_has_a_way_out() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/draft");
    {
        let book = visit.room.shelf();
        let change = book::Change {
            key: "choice/flare".to_owned(),
            after: Some("softly".to_owned()),
        };
        crate::web::calm_lock(&book)
            .change(order, None, "flare softly", "", &[change])
            .unwrap();
    }
    let page = visit.get(&base).text();
    assert!(page.contains("value=\"flare=\""), "no way out");
    visit.post(&base, &[("cure", "flare=")]);
    assert!(!visit.get(&base).text().contains("It can’t be drawn yet"));
}

/// Would catch a place that can only be measured at a corner, and an answer that is not drawn.
#[test]
fn places_that_are_pressed_are_measured_where_a_finger_means() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/draft");
    let page = visit.get(&base).text();
    for part in ["id=\"measure\"", "id=\"lines\"", "href=\"#measure\""] {
        assert!(page.contains(part), "{part}");
    }
    let edge = visit.get(&format!("{base}/between?edge=0e1")).text();
    assert!(
        edge.contains("class=\"walked\"") && edge.contains("Front, side: "),
        "{edge}"
    );
    // Two corners by name: straight, and along the edge that both lie on.
    let two = visit.get(&format!("{base}/between?a=0c0&b=0c1")).text();
    assert!(
        two.contains("On front, from where waist meets side"),
        "{two}"
    );
    assert!(two.contains(" along side."), "{two}");
    assert!(
        two.contains("<line ") && two.contains("letter chalked"),
        "{two}"
    );
    // A press in the middle of nowhere is not taken for a place; one beside a line is on it.
    let point = |text: &str, name: &str| {
        let at = text.find(name).unwrap() + name.len();
        text[at..]
            .split('"')
            .next()
            .unwrap()
            .parse::<f64>()
            .unwrap()
    };
    let mm: f64 = point(&page, "data-mm=\"");
    let corner = |n: usize, axis: &str| {
        let circle = two.split("<circle ").nth(n).unwrap();
        point(circle, &format!("c{axis}=\"")) * mm
    };
    let near = (corner(1, "x"), corner(1, "y") + 60.0);
    let one = visit
        .get(&format!(
            "{base}/between?x1={}&y1={}&finger=60",
            near.0, near.1
        ))
        .text();
    assert!(one.contains("Now the other end"), "{one}");
    assert!(
        one.contains("a place on side") || one.contains("notch"),
        "{one}"
    );
    let off = visit
        .get(&format!("{base}/between?x1=1&y1=1&finger=9"))
        .text();
    assert!(off.contains("A place beside the pieces"), "{off}");
    for nasty in [
        "x1=NaN&y1=inf",
        "x1=1e300&y1=-1e300&finger=1e300",
        "edge=99e99",
        "a=%00&b=z",
    ] {
        let answer = visit.get(&format!("{base}/between?{nasty}"));
        assert_eq!(answer.status, StatusCode::OK, "{nasty}");
    }
    // With scripts off the same stands on the page, drawn.
    let page = visit.get(&format!("{base}?a=0c0&b=0c1&edge=1e0")).text();
    assert!(page.contains("class=\"walked\"") && page.contains(" along side."));
}

/// Would catch a search of cures that was given up and answers as if all had been sought.
#[test]
fn a_search_that_is_given_up_says_so() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let on = visit
        .wait(
            visit
                .room
                .book(move |book| crate::web::working::OnTable::load(book, order)),
        )
        .unwrap();
    let sought = visit.wait(visit.room.work(move || {
        let worked = on.redraw();
        let most = check::cure::MOST_DRAFTS;
        [false, true].map(|given_up| on.found_within(&worked, most, &|| given_up).1)
    }));
    assert_eq!(sought.unwrap(), [true, false]);
}

/// Would catch a hand that waits for the search for cures.
#[test]
fn what_is_kept_is_answered_at_once_and_cures_follow() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/draft");
    let kept = visit.post(
        &format!("{base}/keep"),
        &[("choice", "hip ease"), ("value", "0"), ("do", "draw")],
    );
    let text = kept.text();
    assert!(
        text.contains("data-more") && !text.contains("name=\"cure\""),
        "{text}"
    );
    let cures = visit.get(&format!("{base}/cures")).text();
    assert!(cures.contains("name=\"cure\"") && !cures.contains("data-more"));
    let all = visit.get(&format!("{base}?cures=all")).text();
    assert!(all.contains("name=\"cure\"") && !all.contains("data-more"));
}

#[test]
fn the_live_answer_is_small_and_keeps_nothing() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let before = visit.get(&format!("/orders/{order}/draft")).text();
    let live = visit.post(
        &format!("/orders/{order}/draft/live"),
        &[
            ("choice", "tightening"),
            ("kind", "length"),
            ("value", "1 1/2"),
        ],
    );
    assert_eq!(live.status, StatusCode::OK);
    assert!(live.bytes.len() < 16_000, "{} bytes", live.bytes.len());
    assert!(live.text().contains("id=\"pattern\""));
    assert_eq!(before, visit.get(&format!("/orders/{order}/draft")).text());
}

/// Would catch a piece for one of her sides that has no name on the whole drawing, where the name has room on
/// two lines only.
#[test]
fn a_piece_for_her_left_is_named_on_the_whole_drawing() {
    let Some((visit, order)) = Visit::demo("a-line") else {
        return;
    };
    let begun = visit.post(
        &format!("/orders/{order}/fittings"),
        &[("on", "2026-11-25"), ("garment", "cloth")],
    );
    let at = begun
        .leads_to()
        .split(['?', '#'])
        .next()
        .unwrap()
        .to_owned();
    visit.post(
        &format!("{at}/pins"),
        &[
            ("at", "0e1"),
            ("from", "waist"),
            ("to", "hem"),
            ("action", "take in"),
            ("start", "1/4 cm"),
            ("end", "0"),
            ("counted", "each"),
            ("side", "left"),
            ("partner", "yes"),
        ],
    );
    let page = visit.get(&at).text();
    let pin = page.split(&format!("{at}/pins/")).nth(1).unwrap();
    let pin = pin.split('/').next().unwrap();
    let done = visit.post(&format!("{at}/pins/{pin}/correct"), &[]);
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text());
    let draft = visit.get(&format!("/orders/{order}/draft")).text();
    for word in [">Back,<", ">her left<", ">her right<"] {
        assert!(draft.contains(word), "{word}");
    }
}
