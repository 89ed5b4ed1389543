//! Tests of the table of allowances, on a rectangle by closed form.
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]
use super::*;
use crate::correction::{Correction, Place, Side};
use crate::worked::{Outcome, Worked};
use crate::{Library, Wish};
use measure::fraction::{Shown, Unit};

const PLAIN: &str = r#"method "A plain piece"

sheets front
levels
  top line: at the top
  foot line: 20 in below top line
uprights
  left line: at the left
  right line: 10 in from left line
edges
  waist: from (at top line and left line), straight to (at top line and right line)
  side: from end of waist, straight to (at foot line and right line)
  hem: from end of side, straight to (at foot line and left line)
  centre: from end of hem, straight to (at top line and left line)
finish
  waist: seam, allowance 1/2 in
  side: seam, allowance 1 in, ramping to 1/2 in at end of side
  hem: hem, allowance 2 in
  centre: seam, allowance 5/8 in
pieces
  front: on front, outline waist then side then hem then centre
    cut a pair from shell
    cut a pair from lining
"#;

fn card() -> measure::Card {
    measure::Card::new("Nobody".to_owned(), Unit::Inch)
}

fn worked_of(
    text: &str,
    library: &Library,
    card: &measure::Card,
    set: &[(String, String)],
) -> Worked {
    fitted_of(text, library, (card, set), &[])
}

fn fitted_of(
    text: &str,
    library: &Library,
    (card, set): (&measure::Card, &[(String, String)]),
    corrections: &[Correction],
) -> Worked {
    let wish = Wish {
        card,
        set,
        predict: true,
        untrued: false,
        shown: Shown::inches(),
        corrections,
    };
    let worked = crate::work(&crate::read(text), library, &wish);
    assert!(worked.sound(), "{:?} {:?}", worked.notes, worked.faults);
    worked
}

fn plain() -> Worked {
    worked_of(PLAIN, &Library::default(), &card(), &[])
}

/// The width and the height of what is cut, in inches.
fn cut(worked: &Worked) -> (f64, f64) {
    let line = piece::cutting_line(&worked.pieces[0]).unwrap();
    let (low, high) = line.curve.bounds();
    ((high.x - low.x) / 25.4, (high.y - low.y) / 25.4)
}

/// Closed form: 10 by 20 in with 1 in all round is 12 by 22 in. Would catch an edge that is passed
/// over, or a cutting line that is not drawn anew; and a lining left in the cut list.
#[test]
fn a_toile_of_a_rectangle_has_an_inch_all_round() {
    let mut worked = plain();
    lay_on(&mut worked, &Table::usual(), Stage::Toile, Shown::inches());
    let (wide, high) = cut(&worked);
    assert!((wide - 12.0).abs() < 1e-9 && (high - 22.0).abs() < 1e-9);
    let line = piece::cutting_line(&worked.pieces[0]).unwrap();
    assert!((line.curve.area().abs() / 645.16 - 264.0).abs() < 1e-6);
    let cloths: Vec<&str> = worked.pieces[0].cuts.iter().map(|c| &*c.cloth).collect();
    assert_eq!(cloths, ["shell"]);
}

/// A toile is told as one width all round only if that is so. Would catch false words where a row was left
/// empty and its edges keep what the method allows; and a lining, of which no row of a toile tells, that
/// keeps the short words from being said.
#[test]
fn every_edge_is_told_only_where_every_edge_has_it() {
    let says = |text: &str, table: &Table| {
        let mut worked = worked_of(text, &Library::default(), &card(), &[]);
        lay_on(&mut worked, table, Stage::Toile, Shown::inches());
        worked.allowances.unwrap().sentences(Shown::inches())[0].clone()
    };
    let with_lining = format!(
        "{PLAIN}  under front: copy from front\n    cut a pair from lining\n    grain along left line\n"
    );
    for text in [PLAIN, &with_lining] {
        let all = says(text, &Table::usual());
        assert!(all.contains("1 in on every edge that is no fold"), "{all}");
        let mut some = Table::usual();
        some.set(Row::Waist, Stage::Toile, None);
        let some = says(text, &some);
        assert!(some.contains("side seams 1 in") && some.contains("hem 1 in"));
        assert!(
            !some.contains("every edge") && !some.contains("waist"),
            "{some}"
        );
    }
}

/// Would catch a toile without pieces, of a method that cuts nothing from the shell.
#[test]
fn a_toile_of_what_is_cut_from_no_shell_keeps_its_pieces() {
    let text = PLAIN.replace("    cut a pair from shell\n", "");
    let mut worked = worked_of(&text, &Library::default(), &card(), &[]);
    lay_on(&mut worked, &Table::usual(), Stage::Toile, Shown::inches());
    assert_eq!(worked.pieces.len(), 1);
    assert_eq!(worked.origins.len(), 1);
    assert_eq!(worked.pieces[0].cuts[0].cloth, "lining");
    assert!(worked.allowances.unwrap().left_out.is_empty());
}

/// Would catch a name of what is sewn on along a seam that hides what the seam is: two seams hold the
/// edges together, and one of them says that it is a side seam.
#[test]
fn of_a_seam_s_name_only_side_and_centre_count() {
    let text = PLAIN.replace("  side: from", "  slope: from");
    let text = text
        .replace("from end of side,", "from end of slope,")
        .replace("waist then side then", "waist then slope then")
        .replace("  side: seam", "  slope: seam")
        .replace("at end of side", "at end of slope");
    let text = format!(
        "{text}  back: copy from front\n    cut a pair from shell\nseams\n  side seam: slope of front with slope of back\n  top stitch: slope of front with slope of back\n"
    );
    let mut table = Table::default();
    table.set(Row::Side, Stage::Cloth, Some(Length::inches(1.5)));
    let mut worked = worked_of(&text, &Library::default(), &card(), &[]);
    lay_on(&mut worked, &table, Stage::Cloth, Shown::inches());
    let laid = worked.allowances.unwrap();
    assert_eq!(laid.rows.len(), 1, "{laid:?}");
    assert_eq!(laid.rows[0].row, Row::Side);
    assert_eq!(laid.rows[0].edges.len(), 2, "{laid:?}");
}

/// Would catch an empty row that does something, and a row that acts on another's edges.
#[test]
fn a_row_acts_on_its_own_edges_and_an_empty_one_leaves_the_method_s() {
    let mut worked = plain();
    let before = cut(&worked);
    lay_on(
        &mut worked,
        &Table::default(),
        Stage::Cloth,
        Shown::inches(),
    );
    assert_eq!(cut(&worked), before);
    let mut table = Table::default();
    table.set(Row::Hem, Stage::Cloth, Some(Length::inches(3.0)));
    table.set(Row::Centre, Stage::Cloth, Some(Length::inches(1.0)));
    lay_on(&mut worked, &table, Stage::Cloth, Shown::inches());
    let (wide, high) = cut(&worked);
    assert!((high - 23.5).abs() < 1e-9, "{high}");
    assert!((wide - before.0 - 0.375).abs() < 1e-9, "{wide}");
    let laid = worked.allowances.unwrap();
    let rows: Vec<Row> = laid.rows.iter().map(|r| r.row).collect();
    assert_eq!(rows, [Row::Centre, Row::Hem]);
    assert!(worked.steps.last().unwrap().sentence.contains("hem 3 in"));
}

/// Would catch a narrow place that is filled up in the cloth, and kept in a toile.
#[test]
fn a_narrow_place_stays_in_the_cloth_and_not_in_a_toile() {
    let mut table = Table::usual();
    table.set(Row::Side, Stage::Cloth, Some(Length::inches(1.5)));
    let side = |stage: Stage| {
        let mut worked = plain();
        lay_on(&mut worked, &table, stage, Shown::inches());
        let edge = worked.pieces[0].edge("side").unwrap().clone();
        let whole = edge.curve.length();
        let ends = [Length::ZERO, whole].map(|at| edge.allowance.width_at(at).in_mm() / 25.4);
        (ends[0].max(ends[1]), ends[0].min(ends[1]), worked)
    };
    let (wide, narrow, worked) = side(Stage::Cloth);
    assert!((wide - 1.5).abs() < 1e-9 && (narrow - 0.5).abs() < 1e-9);
    assert_eq!(
        worked.allowances.unwrap().kept,
        [("front".into(), "side".into())]
    );
    let (wide, narrow, worked) = side(Stage::Toile);
    assert!((wide - 1.0).abs() < 1e-9 && (narrow - 1.0).abs() < 1e-9);
    assert!(worked.allowances.unwrap().kept.is_empty());
}

/// Would catch a bound or raw edge that gets an allowance in the cloth, or a fold that gets one.
#[test]
fn a_bare_edge_stays_bare_in_the_cloth_and_a_fold_everywhere() {
    let text = PLAIN
        .replace(
            "waist: seam, allowance 1/2 in",
            "waist: seam, allowance 0 in",
        )
        .replace("centre: seam, allowance 5/8 in", "centre: fold")
        .replace("cut a pair from shell", "cut 1 on the fold from shell");
    let mut table = Table::usual();
    for row in Row::ALL {
        table.set(row, Stage::Cloth, Some(Length::inches(1.0)));
    }
    let widths = |stage: Stage| {
        let mut worked = worked_of(&text, &Library::default(), &card(), &[]);
        lay_on(&mut worked, &table, stage, Shown::inches());
        let piece = &worked.pieces[0];
        ["waist", "centre"].map(|e| piece.edge(e).unwrap().allowance.widest())
    };
    assert_eq!(widths(Stage::Cloth), [Length::ZERO, Length::ZERO]);
    assert_eq!(widths(Stage::Toile), [Length::inches(1.0), Length::ZERO]);
}

/// The page of the table knows each row by its name. Would catch two rows of one name.
#[test]
fn each_row_is_found_by_its_name() {
    for row in Row::ALL {
        assert_eq!(Row::called(row.key()), Some(row));
    }
    assert_eq!(Row::called("Inner  Edge"), Some(Row::InnerEdge));
    assert_eq!(Row::called("pocket"), None);
}

/// A toile of a text, and the same in the cloth.
fn both(text: &str) -> (Worked, Worked) {
    both_with(text, &[])
}

fn both_with(text: &str, corrections: &[Correction]) -> (Worked, Worked) {
    let of = |stage| {
        let library = Library::default();
        let mut worked = fitted_of(text, &library, (&card(), &[]), corrections);
        lay_on(&mut worked, &Table::usual(), stage, Shown::inches());
        worked
    };
    (of(Stage::Toile), of(Stage::Cloth))
}

fn told(worked: &Worked) -> String {
    let all = worked.steps.iter();
    all.map(|s| format!("{} {}\n", s.number.unwrap_or(0), s.sentence))
        .collect()
}

const LINED: &str = "values
  ease: length of hem of front / 10
pieces
  under front: copy from front
    let out side by ease / 4
    cut a pair from lining
    grain along left line
finish
  hem of under front: hem, allowance 1 in
";

/// Would catch steps of a toile that tell how a lining is drawn and finished, a gap in their numbers, a
/// drawn line that is shown at another step than the one that draws it, and a value that is told for a
/// step which is gone.
#[test]
fn the_steps_of_a_toile_leave_out_what_is_not_cut() {
    let (toile, cloth) = both(&format!("{PLAIN}{LINED}"));
    let (said, whole) = (told(&toile), told(&cloth));
    assert!(
        whole.contains("For the under front") && whole.contains("ease"),
        "{whole}"
    );
    assert!(!said.contains("For the under front"), "{said}");
    assert!(
        !said.contains("On the under front") && !said.contains("ease"),
        "{said}"
    );
    assert!(
        said.contains("The 2 steps that are for these alone wait for the cloth."),
        "{said}"
    );
    // The front itself is cut from shell and lining: of the lining nothing is cut.
    let shell = "Cut from the shell only: what a step says of lining waits for the cloth.";
    assert!(said.contains(shell) && !whole.contains(shell), "{said}");
    let numbers: Vec<u32> = toile.steps.iter().filter_map(|s| s.number).collect();
    assert!(
        numbers
            .iter()
            .copied()
            .eq(1..=u32::try_from(numbers.len()).unwrap())
    );
    for thing in &toile.drawn {
        let step = toile
            .steps
            .iter()
            .find(|s| s.number == Some(thing.step))
            .unwrap();
        assert!(
            step.draws
                .iter()
                .any(|(sheet, name)| *sheet == thing.sheet && *name == thing.name)
        );
    }
    assert_eq!(toile.drawn.len(), cloth.drawn.len());
}

/// Would catch steps of the lining that stay told where her left and her right differ: its parts that are
/// cut bear other names than the steps do.
#[test]
fn the_steps_of_a_toile_leave_it_out_where_her_sides_differ_too() {
    let mut left = Correction::new(
        "front",
        "side",
        (Place::Start, Place::End),
        [0.25, 0.25, 0.25].map(Length::inches),
    );
    left.side = Side::Left;
    let twin = "seams\n  centre front seam: centre of front with its twin\n";
    let (toile, cloth) = both_with(&format!("{PLAIN}{LINED}{twin}"), &[left]);
    let made: Vec<&Outcome> = cloth.corrections.iter().map(|c| &c.outcome).collect();
    assert_eq!(made, [&Outcome::Made]);
    let names: Vec<&str> = cloth.pieces.iter().map(|p| &*p.name).collect();
    assert!(names.contains(&"under front, her left"), "{names:?}");
    let (said, whole) = (told(&toile), told(&cloth));
    assert!(whole.contains("For the under front"), "{whole}");
    for what in ["For the under front", "On the under front", "ease"] {
        assert!(!said.contains(what), "{said}");
    }
    let wait = "The 2 steps that are for these alone wait for the cloth.";
    assert!(said.contains(wait), "{said}");
}

/// Would catch a value of many that goes with the lining's step although a piece of the shell speaks of it:
/// it is told as what they are.
#[test]
fn a_value_of_many_stays_where_what_is_cut_speaks_of_it() {
    let model = "pieces\n  over front: copy from front\n    let out side by tucks / 2\n    cut a pair from shell\n    grain along left line\n";
    let lined = LINED.replace("ease", "tucks");
    let (toile, cloth) = both(&format!("{PLAIN}{lined}{model}"));
    let (said, whole) = (told(&toile), told(&cloth));
    assert!(whole.contains("The tucks are "), "{whole}");
    assert!(!said.contains("For the under front"), "{said}");
    assert!(said.contains("The tucks are "), "{said}");
    let (toile, _) = both(&format!("{PLAIN}{lined}"));
    assert!(!told(&toile).contains("tucks"), "{}", told(&toile));
}

/// Would catch a step that is left out although what stays leans on it: a piece of the shell that is
/// copied from the lining, or a length that is taken off it.
#[test]
fn a_step_of_the_lining_stays_where_what_is_cut_leans_on_it() {
    let model = "pieces\n  over front: copy from under front\n    cut a pair from shell\n    grain along left line\n";
    let (toile, _) = both(&format!("{PLAIN}{LINED}{model}"));
    let said = told(&toile);
    assert!(toile.pieces.iter().all(|p| p.name != "under front"));
    assert!(
        said.contains("For the under front") && said.contains("ease"),
        "{said}"
    );
    assert!(
        !said.contains("On the under front"),
        "it is not cut: {said}"
    );
}

/// Would catch a finish of shell and lining together that names, in a toile, the piece which is not cut.
#[test]
fn a_finish_of_several_names_only_what_is_cut() {
    let text = format!("{PLAIN}  under front: copy from front\n    cut a pair from lining\n    grain along left line\nfinish\n  waist of front and under front: seam, allowance 3/4 in\n")
        .replace("  waist: seam, allowance 1/2 in\n", "");
    let (toile, cloth) = both(&text);
    assert!(
        told(&cloth).contains("On front and under front the waist"),
        "{}",
        told(&cloth)
    );
    assert!(
        told(&toile).contains("On the front the waist"),
        "{}",
        told(&toile)
    );
}
