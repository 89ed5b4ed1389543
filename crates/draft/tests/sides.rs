//! Corrections for one side of her alone on the shipped methods. Without the folder of methods these tests
//! have nothing to try and pass.
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]

#[path = "common/sums.rs"]
mod sums;

use draft::correction::{Correction, Place, Side};
use draft::sided::bare;
use draft::worked::{Outcome, Quantity, Worked};
use draft::{Library, Wish};
use measure::fraction::Shown;
use measure::{Length, Motion, Point, Vector};
use piece::{Piece, Role};
use sums::{client, shipped};

fn work(library: &Library, text: &str, set: &[(&str, &str)], corrections: &[Correction]) -> Worked {
    let set: Vec<(String, String)> = set
        .iter()
        .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
        .collect();
    let card = client();
    let wish = Wish {
        card: &card,
        set: &set,
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections,
    };
    draft::work(&draft::read(text), library, &wish)
}

fn whole(piece: &str, edge: &str, amounts: [f64; 3], side: Side) -> Correction {
    let mut c = Correction::new(
        piece,
        edge,
        (Place::Start, Place::End),
        amounts.map(Length::inches),
    );
    c.side = side;
    c
}

/// A method's name, its text, and what is set.
type Job = (String, String, Vec<(&'static str, &'static str)>);

/// Every shipped method as it is usual, and those that have bands and gores with them.
fn jobs() -> Vec<Job> {
    let mut out = Vec::new();
    for (name, text) in shipped() {
        let more: &[(&str, &str)] = match name.as_str() {
            "mermaid-two" => &[("top finish", "waistband")],
            "mermaid-gores" => &[("gores", "7")],
            "circle-skirt" => &[("circles", "2")],
            _ => &[],
        };
        out.push((name.clone(), text.clone(), Vec::new()));
        if !more.is_empty() {
            out.push((name, text, more.to_vec()));
        }
    }
    out
}

/// Every edge of a half that is no copy, but those on the fold.
fn edges_of_halves(worked: &Worked) -> Vec<(String, String)> {
    let mut out = Vec::new();
    for (piece, origin) in worked.pieces.iter().zip(&worked.origins) {
        let half = piece.cuts.iter().all(|c| c.on_fold || c.pair);
        if !origin.copied_from.is_empty() || !half {
            continue;
        }
        let edges = piece.edges.iter().filter(|e| e.role != Role::Fold);
        out.extend(edges.map(|e| (piece.name.clone(), e.name.clone())));
    }
    out
}

fn named<'a>(worked: &'a Worked, name: &str) -> &'a Piece {
    let found = worked.pieces.iter().find(|p| p.name == name);
    found.unwrap_or_else(|| panic!("no {name}"))
}

/// Turned over about an upright line, and moved so that it begins at nothing.
fn turned(piece: &Piece) -> Piece {
    laid(&piece.moved(&Motion::reflect(Point::new(0.0, 0.0), Vector::DOWN)))
}

fn laid(piece: &Piece) -> Piece {
    let (low, _) = piece.outline().unwrap().bounds();
    piece.moved(&Motion::shift(Point::new(0.0, 0.0) - low))
}

/// The greatest distance of two outlines, in millimetres.
fn apart(one: &Piece, two: &Piece) -> f64 {
    let (a, b) = (one.outline().unwrap(), two.outline().unwrap());
    let off = |a: &measure::Curve, b: &measure::Curve| {
        (0..=160).fold(0.0_f64, |most, i| {
            let p = a.at(a.length() * (f64::from(i) / 160.0)).point;
            most.max(b.nearest(p).distance.in_mm())
        })
    };
    off(&a, &b).max(off(&b, &a))
}

/// The same name for her other side.
fn swapped(name: &str) -> String {
    match bare(name) {
        (rest, Side::Left) => format!("{rest}, her right"),
        (rest, Side::Right) => format!("{rest}, her left"),
        (rest, Side::Both) => rest.to_owned(),
    }
}

/// A correction of her left is the mirror image of the same one of her right, piece by piece and edge by
/// edge; would catch left for right in any layer, a lining that is cut as the shell, and a half that
/// follows on the wrong side. Both together are the correction of both sides, one pattern as before.
#[test]
fn left_mirrors_right_and_both_together_are_both() {
    let texts = shipped();
    let library = Library::new(texts.iter().map(|t| t.1.as_str()));
    let mut tried = 0;
    for (name, text, set) in jobs() {
        let plain = work(&library, &text, &set, &[]);
        assert!(
            plain.sound(),
            "{name}: {:?} {:?}",
            plain.faults,
            plain.notes
        );
        for (piece, edge) in edges_of_halves(&plain) {
            let one = |side| whole(&piece, &edge, [-0.375, -0.25, 0.125], side);
            let job = format!("{name} {set:?}: {edge} of {piece}");
            let left = work(&library, &text, &set, &[one(Side::Left)]);
            let right = work(&library, &text, &set, &[one(Side::Right)]);
            let together = work(&library, &text, &set, &[one(Side::Left), one(Side::Right)]);
            let both = work(&library, &text, &set, &[one(Side::Both)]);
            let made = |w: &Worked| w.corrections.iter().all(|c| c.outcome == Outcome::Made);
            assert_eq!(made(&left), made(&right), "{job}");
            if !made(&left) || !made(&both) {
                continue;
            }
            tried += 1;
            assert!(left.origins.iter().any(|o| o.half.is_some()), "{job}");
            assert_eq!(left.pieces.len(), right.pieces.len(), "{job}");
            for (i, made) in left.pieces.iter().enumerate() {
                assert!(made.check_simple().is_ok(), "{job}");
                assert!(
                    made.area() > 0.0
                        && made.fold().is_none() == made.cuts.iter().all(|c| !c.on_fold)
                );
                if left.half(i).is_none() {
                    continue;
                }
                let twin = named(&right, &swapped(&made.name));
                let off = apart(&turned(made), &laid(twin));
                assert!(off < 0.01, "{job}: {} {off}", made.name);
                for edge in &made.edges {
                    let other = if bare(&made.name).1 == Side::Both {
                        swapped(&edge.name)
                    } else {
                        edge.name.clone()
                    };
                    let other = twin.edge(&other).unwrap();
                    let off = (edge.curve.length() - other.curve.length()).in_mm();
                    assert!(off.abs() < 0.01, "{job}: {} {off}", edge.name);
                    assert_eq!(edge.notches.len(), other.notches.len());
                    assert_eq!(edge.role, other.role);
                }
            }
            assert_eq!(together.pieces.len(), both.pieces.len(), "{job}");
            for (a, b) in together.pieces.iter().zip(&both.pieces) {
                let off = apart(a, b);
                assert!(
                    a.name == b.name && a.cuts == b.cuts && off < 0.01,
                    "{job}: {} {off}",
                    a.name
                );
            }
            assert_eq!(together.seams.len(), both.seams.len(), "{job}");
        }
    }
    assert!(shipped().is_empty() || tried > 40, "{tried}");
}

/// Every seam of both sides agrees as it did before, to 0.1 mm, or it is told that it does not; and of
/// every piece that was not split left and right are the same. Would catch a partner left behind.
#[test]
fn the_seams_of_both_sides_agree() {
    let texts = shipped();
    let library = Library::new(texts.iter().map(|t| t.1.as_str()));
    let (mut tried, mut left) = (0, Vec::new());
    for (name, text, set) in jobs() {
        let plain = work(&library, &text, &set, &[]);
        for (piece, edge) in edges_of_halves(&plain) {
            for amounts in [[-0.5, -0.25, 0.0], [0.0, 0.375, 0.0], [0.25; 3]] {
                let c = whole(&piece, &edge, amounts, Side::Left);
                let now = work(&library, &text, &set, &[c]);
                if now.corrections[0].outcome != Outcome::Made {
                    continue;
                }
                for seam in &now.seams {
                    let was = plain.seams.iter().find(|s| s.name == bare(&seam.name).0);
                    let was = was.unwrap();
                    tried += 1;
                    let off = (seam.difference - was.difference).in_mm().abs();
                    let told = now.retrued.iter().any(|r| r.seam == seam.name && !r.met);
                    if off > 0.1 && !told {
                        left.push(format!(
                            "{name} {edge} of {piece} {amounts:?}: {} {off}",
                            seam.name
                        ));
                    }
                    let names = seam.a.iter().chain(&seam.b);
                    for n in names {
                        let piece = named(&now, &n.piece);
                        assert!(piece.edge(&n.edge).is_ok(), "{} {}", n.piece, n.edge);
                    }
                }
            }
        }
    }
    assert!(left.is_empty(), "{} of {tried}: {left:#?}", left.len());
    assert!(shipped().is_empty() || tried > 500, "{tried}");
}

/// What lies right side up on the paper: of a front her left is at the right, of a back at the left; what
/// is worn with its right side in, facing and lining, is the other way round. Would catch a pattern that
/// is cut for the wrong side of her.
#[test]
fn left_and_right_are_as_she_wears_it() {
    let texts = shipped();
    let library = Library::new(texts.iter().map(|t| t.1.as_str()));
    let Some((_, text)) = texts.iter().find(|t| t.0 == "mermaid-two") else {
        return;
    };
    let all = ["front", "back"].map(|p| whole(p, "side", [-0.5, -0.5, 0.0], Side::Left));
    let now = work(&library, text, &[], &all);
    let x = |piece: &str, edge: &str| named(&now, piece).edge(edge).unwrap().curve.start().x;
    for (piece, left_at_right) in [
        ("front", true),
        ("front facing", false),
        ("front lining", false),
    ] {
        let (left, right) = (x(piece, "side, her left"), x(piece, "side, her right"));
        assert_eq!(left > right, left_at_right, "{piece}");
    }
    for (piece, side_at_left) in [
        ("back, her left", true),
        ("back, her right", false),
        ("back facing, her left", false),
        ("back lining, her right", true),
    ] {
        assert_eq!(
            x(piece, "side") < x(piece, "centre"),
            side_at_left,
            "{piece}"
        );
    }
    // Of the draft's own words for a band: it is sewn where it says.
    let set = [("top finish", "waistband")];
    let band = work(&library, text, &set, &[all[0].clone()]);
    let plain = work(&library, text, &set, &[]);
    let long = |w: &Worked, e: &str| {
        named(w, "waistband")
            .edge(e)
            .unwrap()
            .curve
            .length()
            .in_inches()
    };
    assert!((long(&band, "right front") - long(&plain, "right front")).abs() < 1e-4);
    assert!(long(&band, "left front") < long(&plain, "left front") - 0.3);
    // Seven gores: the middle one is whole, and has an edge of its own for each side.
    let Some((_, gores)) = texts.iter().find(|t| t.0 == "mermaid-gores") else {
        return;
    };
    let seven = [("gores", "7")];
    let c = whole("gore number 2", "left", [-0.25; 3], Side::Left);
    let now = work(&library, gores, &seven, &[c]);
    let plain = work(&library, gores, &seven, &[]);
    let front = |w: &Worked, e: &str| named(w, "gore number 1").edge(e).unwrap().curve.clone();
    let sewn: Vec<&str> = now
        .seams
        .iter()
        .filter(|s| {
            s.b.iter()
                .chain(&s.a)
                .any(|e| e.piece == "gore number 2, her left")
        })
        .map(|s| s.name.as_str())
        .collect();
    // Seen from before, the right of the paper is her left.
    assert!(
        sewn.contains(&"seam number 1") && !sewn.contains(&"other first seam"),
        "{sewn:?}"
    );
    assert_eq!(front(&now, "left"), front(&plain, "left"));
}

/// Front on the fold and back in a pair, both of one pattern for shell and lining.
const LINED: &str = r#"method "Lined by the same patterns"

sheets front, back
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
  side: seam, allowance 1 in
  hem: hem, allowance 2 in
  centre: seam, allowance 5/8 in
pieces
  front: on front, outline waist then side then hem then centre
    fold centre
    cut 1 on the fold from shell
    cut 1 on the fold from lining
    grain along left line
  back: on back, outline waist then side then hem then centre
    label "Back"
    cut a pair from shell
    cut a pair from lining
    grain along left line
seams
  side seam: side of front with side of back
  centre back seam: centre of back with its twin
"#;

/// One pattern for shell and lining, corrected for her left: the lining is cut by a piece of its own,
/// whose name says her side like every other. Would catch a lining that is taken for no side, one that
/// lies as the shell does, and a lining among the halves of which another draft is cut alike.
#[test]
fn a_lining_of_the_same_pattern_is_named_with_its_side() {
    let library = Library::default();
    let cut = |c: &[Correction]| work(&library, LINED, &[], c);
    let c = ["front", "back"].map(|p| whole(p, "side", [-0.5, -0.5, 0.0], Side::Left));
    let (plain, now) = (cut(&[]), cut(&c));
    assert!(now.sound(), "{:?} {:?}", now.notes, now.faults);
    let made = now.corrections.iter().all(|c| c.outcome == Outcome::Made);
    assert!(made, "{:?}", now.corrections);
    let names: Vec<&str> = now.pieces.iter().map(|p| &*p.name).collect();
    let wanted = [
        "front",
        "front, lining",
        "back, her left",
        "back, her right",
        "back, lining, her left",
        "back, lining, her right",
    ];
    assert_eq!(names, wanted);
    for (i, piece) in now.pieces.iter().enumerate() {
        let half = now.half(i).unwrap();
        assert_eq!(bare(&piece.name).1, half.side, "{}", piece.name);
        let cloth = if piece.name.contains("lining") {
            "lining"
        } else {
            "shell"
        };
        assert!(piece.cuts.len() == 1 && piece.cuts[0].cloth == cloth);
        assert_eq!(now.of(i), piece.name.split(',').next().unwrap());
    }
    let label = |name: &str| named(&now, name).label.clone().unwrap();
    assert_eq!(label("back, lining, her left"), "Back, lining, her left");
    for side in ["her left", "her right"] {
        let (shell, lining) = (
            named(&now, &format!("back, {side}")),
            named(&now, &format!("back, lining, {side}")),
        );
        let off = apart(&turned(shell), &laid(lining));
        assert!(off < 0.01, "{side}: {off}");
    }
    // The draft before, cut apart alike, has each shell piece once and no lining.
    let alike = draft::sided::split_like(&plain, &now).unwrap();
    let names: Vec<&str> = alike.pieces.iter().map(|p| &*p.name).collect();
    assert_eq!(names, ["front", "back, her left", "back, her right"]);
    assert!(draft::sided::split_like(&now, &plain).is_none());
}

/// A girth changes by what one side gives, not by twice as much, and the method's own sums with it.
#[test]
fn a_girth_changes_by_one_side_only() {
    let texts = shipped();
    let library = Library::new(texts.iter().map(|t| t.1.as_str()));
    let Some((_, text)) = texts.iter().find(|t| t.0 == "mermaid-two") else {
        return;
    };
    let waist = |all: &[Correction]| {
        let worked = work(&library, text, &[], all);
        let found = worked.results.iter().find(|r| r.name == "waist girth");
        match &found.unwrap().value {
            Quantity::Length(l) => l.in_inches(),
            other => panic!("{other:?}"),
        }
    };
    let each = |side| ["front", "back"].map(|p| whole(p, "side", [-0.5, -0.5, 0.0], side));
    let (plain, one, both) = (
        waist(&[]),
        waist(&each(Side::Left)),
        waist(&each(Side::Both)),
    );
    assert!(
        (plain - one - (plain - both) / 2.0).abs() < 1e-3,
        "{plain} {one} {both}"
    );
    assert!((0.8..1.2).contains(&(plain - one)), "{plain} {one}");
}

/// Corrections are named as the draft has its pieces, however they are cut: would catch a second fitting
/// that finds no place because of the first, and one taken off that leaves something behind.
#[test]
fn further_corrections_find_their_place() {
    let texts = shipped();
    let library = Library::new(texts.iter().map(|t| t.1.as_str()));
    let Some((_, text)) = texts.iter().find(|t| t.0 == "mermaid-two") else {
        return;
    };
    let first = whole("back", "side", [-0.5, -0.5, 0.0], Side::Left);
    let second = whole("back", "side", [0.25, 0.0, 0.0], Side::Both);
    let mut third = whole("back, her left", "side", [0.125, 0.0, 0.0], Side::Both);
    let now = work(&library, text, &[], &[first.clone(), second, third.clone()]);
    let made = now.corrections.iter().all(|c| c.outcome == Outcome::Made);
    assert!(made, "{:?}", now.corrections);
    let has = |i: usize, piece: &str| now.corrections[i].edges.iter().any(|e| e.0 == piece);
    assert!(has(0, "back, her left") && !has(0, "back, her right"));
    assert!(has(1, "back, her left") && has(1, "back, her right"));
    assert!(has(2, "back, her left") && !has(2, "back, her right"));
    // As the draft has them there is one back, with one side.
    let drafted = now.drafted();
    let back: Vec<_> = drafted
        .iter()
        .filter(|p| p.name.starts_with("back"))
        .collect();
    assert_eq!(back.len(), 3, "back, its facing, its lining");
    assert!(back[0].edge("side").is_ok());
    assert_eq!(
        draft::sided::side_of(&now, "back", "side"),
        Some(Side::Both)
    );
    third.side = Side::Right;
    let odd = work(&library, text, &[], &[third]);
    assert!(matches!(&odd.corrections[0].outcome, Outcome::Refused(_)));
    let plain = work(&library, text, &[], &[]);
    assert_eq!(odd.pieces, plain.pieces);
    assert_eq!(work(&library, text, &[], &[]).pieces, plain.pieces);
}

/// What can't be said of one side is refused with a sentence, and the rest is drawn: an edge of a whole
/// piece that goes over both sides, and one that lies on her other side.
#[test]
fn a_whole_piece_has_no_side_but_where_it_is_sewn() {
    let texts = shipped();
    let library = Library::new(texts.iter().map(|t| t.1.as_str()));
    let Some((_, text)) = texts.iter().find(|t| t.0 == "mermaid-two") else {
        return;
    };
    let set = [("top finish", "waistband")];
    let all = [
        whole("waistband", "top", [0.25; 3], Side::Left),
        whole("waistband", "right front", [0.25; 3], Side::Left),
        whole("front", "centre", [0.25; 3], Side::Left),
        whole("front", "side", [0.25, 0.0, 0.0], Side::Both),
    ];
    let now = work(&library, text, &set, &all);
    for (done, says) in now
        .corrections
        .iter()
        .zip(["one whole", "her right only", "the fold"])
    {
        match &done.outcome {
            Outcome::Refused(why) => assert!(why.contains(says) && why.ends_with('.'), "{why}"),
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(now.corrections[3].outcome, Outcome::Made);
    let alone = work(&library, text, &set, &all[3..]);
    assert_eq!(now.pieces, alone.pieces);
}
