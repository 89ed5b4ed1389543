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

#[test]
fn a_curve_changed_by_hand_is_typed_back_and_a_slip_in_it_is_told() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/fittings");
    let (at, before) = edge(&visit, order, "front", "side");
    let hand =
        |points: &str| visit.post(&format!("{base}/hand"), &[("at", &at), ("points", points)]);
    assert_eq!(hand("ten out much").status, StatusCode::BAD_REQUEST);
    let done = hand("0\n4 out 1/4\n8");
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text());
    assert!((edge(&visit, order, "front", "side").1 - before).abs() > 0.01);
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
