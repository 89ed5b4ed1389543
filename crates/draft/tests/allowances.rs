//! A table of allowances and a toile over the shipped methods. Without the folder of methods these tests
//! have nothing to try and pass.
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]

#[path = "common/sums.rs"]
mod sums;

use draft::allowances::{Row, Stage, Table, lay_on};
use draft::correction::{Between, Correction, Layers, Place, Side};
use draft::worked::{EdgeName, Worked};
use draft::{Library, Wish};
use measure::Length;
use measure::card::Card;
use measure::fraction::Shown;
use piece::Role;
use sums::shipped;

const CARD: &str = include_str!("../../../tests/data/bodice.toml");

/// An invented woman with all that the shipped methods ask for.
fn card() -> Card {
    measure::card::read(CARD, &[]).unwrap()
}

/// Each shipped method for her, as it is and with all that can be added.
fn all_worked() -> Vec<(String, Worked)> {
    let card = card();
    let more = [
        ("lining", "yes"),
        ("top finish", "waistband"),
        ("hem facing", "yes"),
    ];
    let all = shipped();
    let library = Library::new(all.iter().map(|m| m.1.as_str()));
    let mut out = Vec::new();
    for (name, text) in &all {
        let reading = draft::read(text);
        for set in [&[][..], &more] {
            let offered = |c: &&(&str, &str)| {
                let mut choices = reading.method.choices.iter();
                choices.any(|o| &*o.name.name == c.0)
            };
            let set: Vec<(String, String)> = set
                .iter()
                .filter(offered)
                .map(|(c, v)| ((*c).to_owned(), (*v).to_owned()))
                .collect();
            let wish = Wish {
                card: &card,
                set: &set,
                predict: true,
                untrued: false,
                shown: Shown::inches(),
                corrections: &[],
            };
            let worked = draft::work(&reading, &library, &wish);
            assert!(
                worked.sound(),
                "{name}: {:?} {:?}",
                worked.notes,
                worked.faults
            );
            out.push((name.clone(), worked));
        }
    }
    out
}

/// Would catch a toile that lacks a piece of the shell, or one that is cut with its facings; whether a
/// shipped piece is a facing is told here by its name, in the engine by how it lies.
#[test]
fn no_piece_of_the_shell_is_lost_in_a_toile_and_no_facing_is_kept() {
    for (name, mut worked) in all_worked() {
        let wanted: Vec<String> = worked
            .pieces
            .iter()
            .filter(|p| p.cuts.iter().any(|c| c.cloth == "shell"))
            .filter(|p| !p.name.split(' ').any(|word| word == "facing"))
            .map(|p| p.name.clone())
            .collect();
        lay_on(&mut worked, &Table::usual(), Stage::Toile, Shown::inches());
        let cut: Vec<&String> = worked.pieces.iter().map(|p| &p.name).collect();
        assert_eq!(cut, wanted.iter().collect::<Vec<_>>(), "{name}");
        assert_eq!(worked.origins.len(), worked.pieces.len(), "{name}");
        for piece in &worked.pieces {
            assert!(piece.cuts.iter().all(|c| c.cloth == "shell"), "{name}");
            piece::cutting_line(piece).unwrap();
            for edge in &piece.edges {
                let inches = if edge.role == Role::Fold { 0.0 } else { 1.0 };
                let widths = (edge.allowance.first(), edge.allowance.widest());
                assert_eq!(widths, (Length::inches(inches), Length::inches(inches)));
            }
        }
        let known = |e: &EdgeName| cut.contains(&&e.piece);
        assert!(
            worked
                .seams
                .iter()
                .all(|s| s.a.iter().chain(&s.b).all(known))
        );
    }
}

/// Where her left and her right differ each half is cut by itself. Would catch a facing of one side that
/// is taken for a piece of the shell, or a half that is taken for a facing.
#[test]
fn a_toile_for_one_hip_alone_is_whole_too() {
    let point = |at: f64, by: f64| (Between::Share(at), Length::inches(by));
    let let_out = Correction {
        key: String::new(),
        piece: "front".into(),
        edge: "side".into(),
        from: Place::Start,
        to: Place::End,
        points: vec![point(0.0, 0.25), point(0.5, 0.25), point(1.0, 0.0)],
        fade: None,
        side: Side::Left,
        layers: Layers::All,
        words: String::new(),
    };
    for (name, text) in shipped().iter().filter(|m| m.1.contains("\n  front: ")) {
        let all = shipped();
        let library = Library::new(all.iter().map(|m| m.1.as_str()));
        let wish = Wish {
            card: &card(),
            set: &[],
            predict: true,
            untrued: false,
            shown: Shown::inches(),
            corrections: core::slice::from_ref(&let_out),
        };
        let mut worked = draft::work(&draft::read(text), &library, &wish);
        assert!(worked.sound(), "{name}");
        let wanted: Vec<String> = worked
            .pieces
            .iter()
            .filter(|p| p.cuts.iter().any(|c| c.cloth == "shell"))
            .filter(|p| !p.name.contains("facing"))
            .map(|p| p.name.clone())
            .collect();
        lay_on(&mut worked, &Table::usual(), Stage::Toile, Shown::inches());
        let cut: Vec<&String> = worked.pieces.iter().map(|p| &p.name).collect();
        assert_eq!(cut, wanted.iter().collect::<Vec<_>>(), "{name}");
        let drafted: Vec<&str> = worked.drafted().iter().map(|p| &*p.name).collect();
        assert!(
            !drafted.iter().any(|n| n.contains("facing")),
            "{name}: {drafted:?}"
        );
        assert!(
            !worked.halves.iter().any(|p| p.name.contains("facing")),
            "{name}"
        );
    }
}

/// Would catch two edges that are sewn together and get unlike allowances from two rows: a band's lower
/// edge and the waist, a lining's waist and that of the shell; and a row that no method has an edge of.
#[test]
fn edges_that_are_sewn_together_are_of_one_row() {
    let mut table = Table::default();
    for (row, n) in Row::ALL.into_iter().zip(1_u32..) {
        table.set(row, Stage::Cloth, Some(Length::mm(f64::from(n))));
    }
    let mut seen: Vec<Row> = Vec::new();
    for (name, mut worked) in all_worked() {
        lay_on(&mut worked, &table, Stage::Cloth, Shown::inches());
        let laid = worked.allowances.clone().unwrap();
        let row = |e: &EdgeName| {
            let edge = (e.piece.clone(), e.edge.clone());
            laid.rows
                .iter()
                .find(|r| r.edges.contains(&edge))
                .map(|r| r.row)
        };
        for seam in &worked.seams {
            let all: Vec<_> = seam.a.iter().chain(&seam.b).map(row).collect();
            assert!(
                all.windows(2).all(|w| w[0] == w[1]),
                "{name}: {}: {all:?}",
                seam.name
            );
        }
        seen.extend(laid.rows.iter().map(|r| r.row));
    }
    seen.sort_unstable();
    seen.dedup();
    assert_eq!(seen, Row::ALL);
}

/// A front on the fold whose side is left open, and its lining, on which nothing else lies.
const OPEN: &str = r#"method "Open at the side"

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
  side: opening, allowance 1 in
  hem: hem, allowance 2 in
  centre: fold
pieces
  front: on front, outline waist then side then hem then centre
    cut 1 on the fold from shell
    grain along left line
  front lining: copy from front
    cut 1 on the fold from lining
    grain along left line
"#;

/// An open edge of a lining is as the edge on which it lies, also where that is cut apart for her left and
/// her right and the lining is not. Would catch one that is taken for a seam of the lining.
#[test]
fn an_open_edge_is_as_the_one_below_it_that_is_cut_apart() {
    let mut left = Correction::new(
        "front",
        "hem",
        (Place::Start, Place::End),
        [0.0, 0.25, 0.25].map(Length::inches),
    );
    (left.side, left.layers) = (Side::Left, Layers::This);
    let mut table = Table::default();
    table.set(Row::Opening, Stage::Cloth, Some(Length::inches(0.75)));
    table.set(Row::Lining, Stage::Cloth, Some(Length::inches(0.375)));
    for corrections in [&[][..], &[left]] {
        let wish = Wish {
            card: &card(),
            set: &[],
            predict: true,
            untrued: false,
            shown: Shown::inches(),
            corrections,
        };
        let mut worked = draft::work(&draft::read(OPEN), &Library::default(), &wish);
        assert!(worked.sound(), "{:?} {:?}", worked.notes, worked.faults);
        let apart = worked.pieces[0].edge("side, her left").is_ok();
        assert_eq!(apart, !corrections.is_empty(), "{:?}", worked.corrections);
        lay_on(&mut worked, &table, Stage::Cloth, Shown::inches());
        let lining = worked.pieces.iter().find(|p| p.name == "front lining");
        let side = lining.unwrap().edge("side").unwrap();
        assert_eq!(side.allowance.widest(), Length::inches(0.75));
    }
}
