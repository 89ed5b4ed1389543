//! Her table of allowances and a toile, as a browser sees them: written, drawn by, printed, left aside.
#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use std::collections::BTreeMap;

use axum::http::StatusCode;
use book::{Change, OrderNo, VersionNo};
use draft::worked::Outcome;

use crate::web::calm_lock;
use crate::web::testing::Visit;
use crate::web::working::OnTable;

fn on(visit: &Visit, order: OrderNo) -> OnTable {
    let shelf = visit.room.shelf();
    OnTable::load(&calm_lock(&shelf), order).unwrap()
}

/// The widest allowance of an edge of a draft, in inches.
fn wide(worked: &draft::Worked, piece: &str, edge: &str) -> f64 {
    let piece = worked.pieces.iter().find(|p| p.name == piece).unwrap();
    piece.edge(edge).unwrap().allowance.widest().in_inches()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// Would catch a form that loses what was typed at a slip, one that keeps a slip, and a table that the
/// page shows but no draft is drawn by.
#[test]
fn the_table_is_typed_in_and_every_open_order_is_drawn_by_it() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let at = "/settings/allowances";
    let first = visit.get(at).text();
    assert_eq!(first.matches("value=\"1\"").count(), 8, "the toile's inch");
    assert!(visit.get("/settings").text().contains(at));
    let before = wide(&on(&visit, order).redraw(), "front", "side");
    let slip = visit.post(at, &[("cloth/side", "wide"), ("cloth/hem", "2 1/2")]);
    assert_eq!(slip.status, StatusCode::UNPROCESSABLE_ENTITY);
    let text = slip.text();
    assert!(text.contains("value=\"wide\"") && text.contains("value=\"2 1/2\""));
    assert!(text.contains("href=\"#f-cloth-side\"") && text.contains("Side seams, in the cloth"));
    assert!(near(
        wide(&on(&visit, order).redraw(), "front", "side"),
        before
    ));
    let kept = visit.post(
        at,
        &[
            ("cloth/side", "1 1/2"),
            ("cloth/hem", "¾"),
            ("cloth/zip", "3 cm"),
        ],
    );
    assert_eq!(kept.leads_to(), "/settings/allowances?said=kept");
    let page = visit.get(at).text();
    assert!(page.contains("value=\"1 1/2\"") && page.contains("value=\"3 cm\""));
    let worked = on(&visit, order).redraw();
    assert!(near(wide(&worked, "front", "side"), 1.5));
    assert!(near(wide(&worked, "back", "hem"), 0.75));
    assert!(
        near(wide(&worked, "front", "waist"), 0.75),
        "the method's own"
    );
    let draft = visit.get(&format!("/orders/{order}/draft")).text();
    assert!(draft.contains("Allowances by your table"));
    // Left as the method says, and taken back like any change.
    let page = format!("/orders/{order}");
    assert!(visit.get(&page).text().contains("By your table"));
    visit.post(&page, &[("do", "allowances"), ("by", "method")]);
    assert!(near(
        wide(&on(&visit, order).redraw(), "front", "side"),
        before
    ));
    assert!(visit.get(&page).text().contains("As the method says"));
    visit.post(&page, &[("do", "back")]);
    assert!(near(
        wide(&on(&visit, order).redraw(), "front", "side"),
        1.5
    ));
    visit.post(at, &[("do", "fresh")]);
    assert!(near(
        wide(&on(&visit, order).redraw(), "front", "side"),
        before
    ));
}

/// Would catch a page that reads what was typed in centimetres as inches once she changes the unit.
#[test]
fn a_number_keeps_the_unit_that_it_was_typed_in() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    visit.post("/settings", &[("unit", "cm"), ("fraction", "8")]);
    assert!(
        visit
            .get("/settings/allowances")
            .text()
            .contains("value=\"2.5\"")
    );
    visit.post("/settings/allowances", &[("cloth/side", "4")]);
    visit.post("/settings", &[("unit", "in"), ("fraction", "8")]);
    let page = visit.get("/settings/allowances").text();
    assert!(page.contains("value=\"4 cm\""));
    let side = wide(&on(&visit, order).redraw(), "front", "side");
    assert!(near(side, 4.0 / 2.54), "{side}");
}

/// Would catch a version that is drawn anew by a table of today.
#[test]
fn a_version_keeps_the_table_that_it_was_made_with() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let paper = format!("/orders/{order}/paper");
    let make = || visit.post(&paper, &[("paper", "svg"), ("anyway", "yes")]);
    let version = |n: u32| {
        let shelf = visit.room.shelf();
        let book = calm_lock(&shelf);
        OnTable::version(&book, order, VersionNo(n)).unwrap()
    };
    make();
    visit.post("/settings/allowances", &[("cloth/side", "1 1/2")]);
    make();
    let shown = visit.get(&format!("/orders/{order}/versions/2")).text();
    visit.post("/settings/allowances", &[("cloth/side", "2")]);
    let ((one, first), (two, second)) = (version(1), version(2));
    assert!(near(wide(&one.redraw(), "front", "side"), 1.0));
    assert!(near(wide(&two.redraw(), "front", "side"), 1.5));
    assert_ne!(first.kept.mark, second.kept.mark);
    // Its mark is still its own, and its page is as it was.
    assert_eq!(two.job().version(&two.work()), second.kept.mark);
    let again = visit.get(&format!("/orders/{order}/versions/2")).text();
    assert_eq!(shown, again);
    assert!(again.contains("side seams"), "the table is told");
}

/// A pin of the toile, as it is kept.
const PIN: &str = "[[correction]]\npiece = \"front\"\nedge = \"side\"\nfrom = \"waist\"\nto = \"hip side\"\nstart = \"in 1/2 in\"\nend = 0\nwords = \"pinned on the toile\"\n";

/// Would catch a toile with lining or facings or the cloth's allowances, sheets that do not say toile,
/// and pins that are lost on the way to the cloth.
#[test]
fn a_toile_is_cut_by_its_own_column_and_its_pins_go_over_to_the_cloth() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let page = format!("/orders/{order}");
    visit.post(
        "/settings/allowances",
        &[
            ("cloth/side", "1 1/4"),
            ("toile/side", "1 1/2"),
            ("toile/hem", "1"),
        ],
    );
    let in_cloth = on(&visit, order).work();
    visit.post(&page, &[("do", "stage"), ("stage", "toile")]);
    let toile = on(&visit, order).work();
    assert!(near(wide(&toile, "front", "side"), 1.5));
    assert!(near(wide(&toile, "front", "hem"), 1.0));
    assert!(toile.pieces.len() < in_cloth.pieces.len());
    assert!(
        toile
            .pieces
            .iter()
            .flat_map(|p| &p.cuts)
            .all(|c| c.cloth == "shell")
    );
    assert!(visit.get(&page).text().contains("cut from the shell only"));
    assert!(
        visit
            .get(&format!("{page}/draft"))
            .text()
            .contains("A toile: without lining")
    );
    // Its sheets say so, and are lists of what is cut from the toile's cloth.
    let made = visit.post(
        &format!("{page}/paper"),
        &[("paper", "svg"), ("anyway", "yes")],
    );
    let version = made.leads_to().split('?').next().unwrap().to_owned();
    let svg = visit.get(&format!("{version}/pattern.svg")).text();
    assert!(svg.contains("Toile: cut") && svg.contains("toile, version"));
    let cloth = visit.get(&format!("{page}/cloth")).text();
    assert!(
        cloth.contains("What is the toile cut from?"),
        "a cloth of its own"
    );
    visit.post(
        &format!("{page}/cloth/page"),
        &[("for", "toile"), ("name", "Calico"), ("width", "60 in")],
    );
    assert!(
        visit
            .get(&format!("{page}/cloth"))
            .text()
            .contains("Calico")
    );
    // What is cut in the end can be chosen and laid meanwhile.
    let shell = visit.get(&format!("{page}/cloth?for=shell")).text();
    assert!(!shell.contains("Calico") && shell.contains("for=lining"));
    let quote = visit.get(&format!("{page}/quote")).text();
    assert!(quote.contains("Calico, 60 in wide"), "it is bought too");
    // Pinned on the toile, then on to the cloth.
    let pin = PIN.to_owned();
    visit
        .wait(visit.room.book(move |book| {
            let change = Change {
                key: "correction/pin".to_owned(),
                after: Some(pin),
            };
            Ok(book.change(order, None, "Pinned", "", &[change])?)
        }))
        .unwrap();
    assert!(visit.get(&page).text().contains("So far: one correction"));
    let pinned = on(&visit, order).work();
    assert_eq!(pinned.corrections[0].outcome, Outcome::Made);
    visit.post(&page, &[("do", "stage"), ("stage", "cloth")]);
    assert!(
        visit
            .get(&page)
            .text()
            .contains("Laid on from its fittings: one correction")
    );
    let after = on(&visit, order).work();
    assert_eq!(after.corrections[0].outcome, Outcome::Made);
    assert!(near(wide(&after, "front", "side"), 1.25));
    let curve = |worked: &draft::Worked| {
        let piece = worked.pieces.iter().find(|p| p.name == "front").unwrap();
        piece.edge("side").unwrap().curve.clone()
    };
    assert_eq!(
        curve(&after),
        curve(&pinned),
        "the stitching line is the truth"
    );
    assert_ne!(curve(&after), curve(&in_cloth));
}

/// Would catch an ease in the settings that begins no order.
#[test]
fn an_ease_of_hers_begins_a_new_order() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    visit.post(
        "/settings",
        &[("hip_ease", "1 1/2 in"), ("waist_ease", "1/2 in")],
    );
    let client = on(&visit, order).client.number.to_string();
    let card = on(&visit, order).card_row.unwrap().number.to_string();
    let begun = visit.post(
        "/orders/new",
        &[
            ("client", &client),
            ("card", &card),
            ("method", "mermaid-two"),
        ],
    );
    let new = begun.leads_to().split('?').next().unwrap().to_owned();
    let new = OrderNo::read(new.rsplit('/').next().unwrap()).unwrap();
    let worked = on(&visit, new).work();
    let values: BTreeMap<&str, String> = worked
        .choices
        .iter()
        .map(|c| (&*c.name, c.value.shown(measure::fraction::Shown::inches())))
        .collect();
    assert_eq!(values["hip ease"], "1 1/2 in");
    assert_eq!(values["waist ease"], "1/2 in");
}
