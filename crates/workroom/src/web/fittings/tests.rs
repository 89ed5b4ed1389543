//! A fitting as a browser sees it: pinned, corrected, redrawn, kept.
#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use axum::http::StatusCode;
use book::{FittingNo, OrderNo};

use crate::web::testing::{Visit, demo_book};
use crate::web::working::OnTable;

/// The key of an edge, and its sewn length in mm.
fn edge(visit: &Visit, order: OrderNo, piece: &str, edge: &str) -> (String, f64) {
    let shelf = visit.room.shelf();
    let on = OnTable::load(&crate::web::calm_lock(&shelf), order).unwrap();
    let worked = on.redraw();
    let i = worked.pieces.iter().position(|p| p.name == piece).unwrap();
    let k = worked.pieces[i]
        .edges
        .iter()
        .position(|e| e.name == edge)
        .unwrap();
    let length = worked.pieces[i].edges[k].curve.length().in_mm();
    (format!("{i}e{k}"), length)
}

fn hem(visit: &Visit, order: OrderNo) -> f64 {
    edge(visit, order, "front", "hem").1
}

#[test]
fn what_was_pinned_becomes_a_correction_that_a_redraft_keeps_and_that_is_taken_back() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/fittings");
    let begun = visit.post(&base, &[("on", "2026-11-26"), ("garment", "toile")]);
    assert_eq!(begun.leads_to(), format!("{base}/1"), "{}", begun.text());
    let (at, _) = edge(&visit, order, "front", "side");
    let page = visit.get(&format!("{base}/1?at={at}")).text();
    assert!(page.contains("How was it counted?") && page.contains("The version that was fitted"));
    let pin = |counted: &str| {
        visit.post(
            &format!("{base}/1/pins"),
            &[
                ("at", &at),
                ("from", "waist"),
                ("to", "hem"),
                ("action", "take in"),
                ("start", "0"),
                ("end", "1"),
                ("counted", counted),
                ("side", "both"),
                ("partner", "yes"),
            ],
        )
    };
    // Twice as much the one way as the other: it is asked, never guessed.
    assert_eq!(pin("").status, StatusCode::BAD_REQUEST);
    assert_eq!(pin("in all").status, StatusCode::SEE_OTHER);
    let page = visit.get(&format!("{base}/1")).text();
    let id = page
        .split("/pins/")
        .nth(2)
        .or_else(|| page.split("/pins/").nth(1))
        .unwrap();
    let id: String = id.chars().take_while(|c| *c != '/').collect();
    let before = hem(&visit, order);
    let done = visit.post(&format!("{base}/1/pins/{id}/correct"), &[]);
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text());
    let after = hem(&visit, order);
    // 1 in in all is 1/2 in from each edge (records.md: in all x at a seam = x/2 from each edge).
    assert!((before - after - 12.7).abs() < 1.5, "{before} to {after}");
    visit.post(
        &format!("/orders/{order}/draft"),
        &[("choice", "length"), ("value", "46 in"), ("do", "draw")],
    );
    let kept = visit.get(&format!("{base}/1")).text();
    assert!(kept.contains("It became a correction") && !kept.contains("None. A redraft keeps"));
    visit.post(&format!("/orders/{order}/draft"), &[("do", "back")]);
    visit.post(&format!("/orders/{order}/draft"), &[("do", "back")]);
    assert!((hem(&visit, order) - before).abs() < 1e-6);
}

/// One hip only: would catch a pin that is refused or drawn on both sides, a partner on her other side,
/// and a form that no longer knows the edge once it was cut apart.
#[test]
fn what_was_pinned_on_her_left_alone_is_cut_on_her_left_alone() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/fittings");
    visit.post(&base, &[("on", "2026-11-26"), ("garment", "toile")]);
    let (at, before) = edge(&visit, order, "front", "hem");
    let side = at.replace(&at[at.find('e').unwrap()..], &{
        let key = edge(&visit, order, "front", "side").0;
        key[key.find('e').unwrap()..].to_owned()
    });
    let pin = |way: &str| {
        visit.post(
            &format!("{base}/1/pins"),
            &[
                ("at", &side),
                ("from", "waist"),
                ("to", "hem"),
                ("action", "take in"),
                ("end", "1"),
                ("counted", "each"),
                ("side", way),
                ("partner", "yes"),
            ],
        )
    };
    assert_eq!(pin("left").status, StatusCode::SEE_OTHER);
    let page = visit.get(&format!("{base}/1")).text();
    assert!(page.contains("her left only"));
    let id = page.split("/pins/").nth(1).unwrap();
    let id: String = id.chars().take_while(|c| *c != '/').collect();
    let done = visit.post(&format!("{base}/1/pins/{id}/correct"), &[]);
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text());
    let long = |piece: &str, name: &str| edge(&visit, order, piece, name).1;
    let (left, right) = (
        long("front", "hem, her left"),
        long("front", "hem, her right"),
    );
    assert!((right - before).abs() < 1e-6, "{right} was {before}");
    assert!((before - left - 25.4).abs() < 3.0, "{left} was {before}");
    assert!(long("back, her left", "hem") < long("back, her right", "hem") - 20.0);
    // The page draws it, and what is pinned next is still pinned on the front of the draft.
    let page = visit.get(&format!("{base}/1?at={side}")).text();
    assert!(
        page.contains("Back, her left") && page.contains("right side up"),
        "{page}"
    );
    assert!(page.contains("<strong>Front, side</strong>") && !page.contains("weight stop"));
    assert_eq!(pin("both").status, StatusCode::SEE_OTHER);
    visit.post(&format!("/orders/{order}/draft"), &[("do", "back")]);
    assert!((hem(&visit, order) - before).abs() < 1e-6);
}

/// Would catch a whole edge that moves because one place on it was named, an absurd depth, a distance
/// beyond the edge, a help whose example is refused, a correction told without its distances, and a form
/// that is gone with what was typed in it.
#[test]
fn a_curve_changed_by_hand_is_typed_back_and_a_slip_in_it_is_told() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/fittings");
    let (at, before) = edge(&visit, order, "front", "side");
    let hand = |points: &str| {
        visit.post(
            &format!("{base}/hand"),
            &[
                ("at", &at),
                ("points", points),
                ("side", "left"),
                ("words", "her own words"),
            ],
        )
    };
    for (points, why) in [
        ("ten out much", ""),
        ("3 out 1/8", "not said where that begins"),
        ("6 out 1/8\n3 in 1/4", "not said where that begins"),
        ("0\n3 out 1/8", "not said where that ends"),
        ("0\n2 out 12\n4", "10 in is the most"),
        ("0\n70 out 1/8\n71", "lies beyond hem"),
        ("0\n6", "nothing moves"),
        ("", "at which distances"),
    ] {
        let page = hand(points);
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{points}");
        let text = page.text();
        assert!(
            text.contains(why) && text.contains("class=\"fault\""),
            "{points}: {text}"
        );
        assert!(text.contains(&format!("\n{points}</textarea>")) && text.contains("her own words"));
        assert!(text.contains(&format!("<option value=\"{at}\" selected>Front, side (")));
        assert!(text.contains("value=\"left\" checked"), "{points}");
        assert!((edge(&visit, order, "front", "side").1 - before).abs() < 1e-9);
    }
    // The help's own example, a line each, and with the zeros written.
    let help = visit.get(&base).text();
    assert!(
        help.contains("for instance 0, then 3 out 1/8, then 6."),
        "{help}"
    );
    for points in [
        "0, then 3 out 1/8, then 6",
        "0\n3 out 1/8\n6",
        "0 0\n3 out 1/8\n6 0",
    ] {
        let done = hand(points);
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text());
        let told = visit.get(&base).text();
        assert!(
            told.contains("from waist to hem: at waist as it was, at 3"),
            "{told}"
        );
        let key = told.split("name=\"key\" value=\"").nth(1).unwrap();
        let key: String = key.chars().take_while(|c| *c != '"').collect();
        visit.post(&format!("{base}/off"), &[("key", &key)]);
    }
    let both = visit.post(
        &format!("{base}/hand"),
        &[("at", &at), ("points", "0\n4 out 1/4\n8"), ("side", "both")],
    );
    assert_eq!(both.status, StatusCode::SEE_OTHER, "{}", both.text());
    assert!((edge(&visit, order, "front", "side").1 - before).abs() > 0.01);
}

/// Would catch a pin of no length, notches without their place, a note that can't be struck out, a fault
/// of ours where another window made a correction of a pin, and a pin that stays stuck to a correction
/// that was taken off.
#[test]
fn a_pin_is_struck_out_unless_it_is_a_correction_now() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/fittings");
    visit.post(&base, &[("on", "2026-11-26"), ("garment", "toile")]);
    let (at, _) = edge(&visit, order, "front", "side");
    let pin = |action: &str, to: &str, words: &str| {
        visit.post(
            &format!("{base}/1/pins"),
            &[
                ("at", &at),
                ("from", "waist"),
                ("to", to),
                ("action", action),
                ("start", if action == "note" { "" } else { "1/2" }),
                ("counted", "each"),
                ("side", "both"),
                ("words", words),
            ],
        )
    };
    let nowhere = pin("take in", "waist", "");
    assert_eq!(nowhere.status, StatusCode::BAD_REQUEST);
    assert!(nowhere.text().contains("to the same place"));
    let look = || visit.get(&format!("{base}/1?at={at}")).text();
    let notches: Vec<String> = look()
        .split("<option value=\"notch ")
        .skip(1)
        .map(|o| o.split('<').next().unwrap().to_owned())
        .collect();
    assert!(!notches.is_empty());
    assert!(
        notches.iter().all(|o| o.ends_with(" from waist")),
        "{notches:?}"
    );
    let id = |page: &str| -> String {
        let after = page.split("/1/pins/").nth(1).unwrap();
        after.chars().take_while(|c| *c != '/').collect()
    };
    let drop = |id: &str| visit.post(&format!("{base}/1/pins/{id}/drop"), &[]);
    assert_eq!(
        pin("note", "waist", "She stoops").status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(drop(&id(&look())).status, StatusCode::SEE_OTHER);
    assert!(!look().contains("She stoops"));
    assert_eq!(pin("take in", "hem", "").status, StatusCode::SEE_OTHER);
    let it = id(&look());
    visit.post(&format!("{base}/1/pins/{it}/correct"), &[]);
    let stale = drop(&it);
    assert_eq!(stale.status, StatusCode::CONFLICT);
    assert!(stale.text().contains("It is a correction now."));
    assert_eq!(
        visit.post(&format!("{base}/1/remove"), &[]).status,
        StatusCode::CONFLICT
    );
    visit.post(&format!("{base}/off"), &[("key", &it)]);
    assert_eq!(drop(&it).status, StatusCode::SEE_OTHER);
    assert!(look().contains("Nothing yet."));
}

/// Would catch a toile that is written down as the garment in its cloth, and a fitting begun by mistake
/// that stays for ever.
#[test]
fn what_was_fitted_is_the_toile_first_and_is_changed_or_removed() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/fittings");
    let ticked = |page: &str, garment: &str| {
        page.contains(&format!("name=\"garment\" value=\"{garment}\" checked"))
    };
    assert!(ticked(&visit.get(&base).text(), "cloth"));
    let shelf = visit.room.shelf();
    crate::web::calm_lock(&shelf)
        .hold(order, "a toile", "here", "stage", Some("toile"))
        .unwrap();
    assert!(ticked(&visit.get(&base).text(), "toile"));
    visit.post(&base, &[("on", "2026-11-26"), ("garment", "cloth")]);
    let seen = crate::web::calm_lock(&shelf)
        .fitting(order, FittingNo(1))
        .unwrap()
        .seen;
    let note = [
        ("seen", &*seen.to_string()),
        ("garment", "toile"),
        ("notes", ""),
    ];
    assert_eq!(
        visit.post(&format!("{base}/1"), &note).status,
        StatusCode::SEE_OTHER
    );
    let page = visit.get(&format!("{base}/1")).text();
    assert!(
        ticked(&page, "toile") && page.contains("/fittings/1/remove"),
        "{page}"
    );
    let gone = visit.post(&format!("{base}/1/remove"), &[]);
    assert_eq!(gone.status, StatusCode::SEE_OTHER, "{}", gone.text());
    assert!(
        crate::web::calm_lock(&shelf)
            .fittings(order)
            .unwrap()
            .is_empty()
    );
}

#[test]
fn old_versions_open_as_they_were_fitted() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    visit.post(
        &format!("/orders/{order}/fittings"),
        &[("on", "2026-11-26"), ("garment", "cloth")],
    );
    let first = visit.get(&format!("/orders/{order}/versions/1")).text();
    visit.post(
        &format!("/orders/{order}/draft"),
        &[("choice", "length"), ("value", "45 in"), ("do", "draw")],
    );
    assert_eq!(
        first,
        visit.get(&format!("/orders/{order}/versions/1")).text()
    );
}

/// Would catch a note of a fitting that is written over by another window, or one that can't be kept
/// then: both are shown with what is apart marked, and either is kept in one press.
#[test]
fn two_windows_on_a_fitting_show_both_and_keep_one() {
    if crate::shelf::SHIPPED.is_empty() {
        // Without the shipped methods the demo has no orders.
        return;
    }
    let visit = Visit::with(demo_book());
    let shelf = visit.room.shelf();
    let all = crate::web::calm_lock(&shelf)
        .orders(book::Which::All)
        .unwrap();
    let order = all[0].order.number;
    let begun = visit.post(
        &format!("/orders/{order}/fittings"),
        &[("on", "2026-11-25"), ("garment", "toile")],
    );
    assert_eq!(begun.status, StatusCode::SEE_OTHER, "{}", begun.text());
    let at = begun
        .leads_to()
        .split(['?', '#'])
        .next()
        .unwrap()
        .to_owned();
    let no = FittingNo(at.rsplit('/').next().unwrap().parse().unwrap());
    let look = || crate::web::calm_lock(&shelf).fitting(order, no).unwrap();
    let seen = look().seen.to_string();
    let note = |notes: &str, seen: &str| {
        visit.post(
            &at,
            &[("notes", notes), ("signed", "O. M."), ("seen", seen)],
        )
    };
    assert_eq!(note("Waist sits low.", &seen).status, StatusCode::SEE_OTHER);
    let both = note("Waist sits high.\nHem is even.", &seen);
    assert_eq!(both.status, StatusCode::CONFLICT);
    let text = both.text();
    assert_eq!(text.matches("<mark class=\"apart\">").count(), 2);
    assert!(text.contains("The notes, yours") && !text.contains("Signed off, yours"));
    assert_eq!(look().fitting.notes, "Waist sits low.");
    let now = look().seen.to_string();
    assert!(text.contains(&format!("name=\"seen\" value=\"{now}\"")));
    let kept = note("Waist sits high.\nHem is even.", &now);
    assert_eq!(kept.status, StatusCode::SEE_OTHER);
    assert!(look().fitting.notes.starts_with("Waist sits high."));
}
