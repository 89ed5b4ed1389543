//! The cloth on paper, tried.

use measure::Length;
use measure::fraction::Shown;

use super::*;
use crate::audit::longer;
use crate::order::Fact;
use crate::quad::Rect;
use crate::words::ENGLISH;

fn board(name: &str, x: f64, y: f64, (w, h): (f64, f64)) -> ClothPiece {
    ClothPiece {
        name: name.into(),
        copy: (1, 1),
        outline: vec![[x, y], [x + w, y], [x + w, y + h], [x, y + h]],
        grain: [[x + 0.2 * w, y + h / 2.0], [x + 0.8 * w, y + h / 2.0]],
        head_to_foot: false,
        face_down: false,
        opened_out: false,
        layers: ClothLayers::One,
        on_opened: false,
        notches: vec![([[x + w / 2.0, y], [x + w / 2.0, y + 5.0]], 2)],
        joins: Vec::new(),
    }
}

fn demo() -> ClothLay {
    let mut front = board("front", 0.0, 10.0, (1200.0, 700.0));
    front.opened_out = true;
    let mut back = board("back", 1210.0, 300.0, (900.0, 500.0));
    back.face_down = true;
    back.head_to_foot = true;
    back.joins = vec![[[1210.0, 420.0], [1900.0, 420.0]]];
    ClothLay {
        title: "Skirt".into(),
        code: "DEMO-07".into(),
        client: "Demo (invented)".into(),
        version: "7KQ2-9FXA".into(),
        part: "shell".into(),
        cloth: "Plum crepe (invented)".into(),
        shown: Shown::inches(),
        width: Length::inches(60.0),
        sold_wide: None,
        selvedge: Length::inches(1.0),
        fold: ClothFold::Flat,
        turned_in: None,
        flat_from: None,
        length: Length::mm(2110.0),
        ends: Some(Length::inches(90.0)),
        across: false,
        one_way: false,
        flaws: vec![[1300.0, 100.0, 1350.0, 150.0]],
        pieces: vec![front, back, board("tab", 1250.0, 1200.0, (60.0, 40.0))],
        scraps: vec![ClothScrap {
            number: 2,
            wide: Length::mm(300.0),
            long: Length::mm(500.0),
            pieces: vec![
                board("facing", 0.0, 0.0, (400.0, 100.0)),
                board("tab", 0.0, 110.0, (60.0, 40.0)),
            ],
        }],
        buy: Some("2 1/2 yd".into()),
        enough: false,
        facts: vec![Fact {
            label: "Margin".into(),
            value: "5 3/4 in".into(),
        }],
        remarks: vec!["Left over: 20 in by 30 in.".into()],
        words: &ENGLISH,
    }
}

/// Would catch a letter over a line, over another letter or past the edge, in English and in a
/// longer language, flat, folded and opened out.
#[test]
fn no_letter_touches_anything() {
    let mut folded = demo();
    folded.fold = ClothFold::Folded;
    folded.flat_from = Some(Length::mm(1205.0));
    folded.pieces[0].layers = ClothLayers::Fold;
    folded.pieces[0].outline = vec![[0.0, 0.0], [1200.0, 0.0], [1200.0, 500.0], [0.0, 300.0]];
    folded.pieces[0].grain = [[200.0, 100.0], [900.0, 100.0]];
    folded.pieces[1].on_opened = true;
    folded.pieces[2].on_opened = true;
    let mut long = demo();
    long.length = Length::mm(9000.0);
    long.ends = None;
    let mut cm = demo();
    cm.shown = Shown::cm();
    // Long and narrow: what is said comes to stand beside what is to be bought.
    let mut narrow = demo();
    narrow.width = Length::inches(20.0);
    narrow.length = Length::mm(4000.0);
    narrow.flaws.clear();
    narrow.pieces = vec![board("front", 0.0, 10.0, (1200.0, 300.0))];
    narrow.remarks = vec![
            "It is said so much of it that it would go from one edge of the paper to the other. "
                .repeat(4);
            3
        ];
    narrow.facts = vec![narrow.facts[0].clone(); 4];
    // One edge turned in over the front's half, the back beside.
    let mut part = demo();
    part.fold = ClothFold::Folded;
    part.turned_in = Some(Length::mm(505.0));
    part.pieces[0].layers = ClothLayers::Fold;
    part.pieces[0].opened_out = false;
    part.pieces[0].outline = vec![[0.0, 0.0], [1200.0, 0.0], [1200.0, 500.0], [0.0, 300.0]];
    part.pieces[0].grain = [[200.0, 100.0], [900.0, 100.0]];
    part.pieces[1] = board("back", 10.0, 540.0, (1900.0, 380.0));
    part.pieces.truncate(2);
    part.flaws.clear();
    let mut across = demo();
    across.fold = ClothFold::Crosswise;
    for p in &mut across.pieces {
        p.on_opened = true;
    }
    // So many small scraps that they stand in rows, each under its words.
    let mut small = demo();
    small.scraps = (1..=12)
        .map(|number| ClothScrap {
            number,
            wide: Length::mm(61.7),
            long: Length::mm(83.3),
            pieces: vec![board("tab", 0.0, 0.0, (60.0, 40.0))],
        })
        .collect();
    // All of it from scraps: nothing of the cloth is drawn, and nothing bought.
    let mut bare = demo();
    bare.pieces.clear();
    (bare.length, bare.ends, bare.buy) = (Length::ZERO, None, None);
    bare.scraps[0].pieces[1].face_down = true;
    for lay in [demo(), folded, long, cm, narrow, part, across, small, bare] {
        let longer = longer(&ENGLISH);
        for words in [&ENGLISH, &longer] {
            assert_eq!(cloth_touching(&lay, words), Vec::<String>::new());
        }
    }
}

/// Would catch a piece that is drawn at another size than the sheet says, or a full-size sheet that
/// is scaled.
#[test]
fn pieces_have_their_size() {
    let lay = demo();
    let wide = |pages: Vec<Page>| {
        let outline = pages[0]
            .drawing
            .items
            .iter()
            .find_map(|i| match &i.ink {
                crate::drawing::Ink::Stroke(shape, _) if i.layer == Layer::Cutting => {
                    Some(shape.chords())
                }
                _ => None,
            })
            .unwrap();
        Rect::around(outline.iter().flatten()).width()
    };
    assert!((wide(pages(&lay, Paper::A4, &ENGLISH)) - 100.0).abs() < 1e-9);
    let plot = cloth_plt(&lay).unwrap();
    assert!(plot.starts_with("IN;"), "{plot}");
    assert!(cloth_full_pdf(&lay).unwrap().starts_with(b"%PDF"));
    assert!(cloth_svg(&lay).unwrap().contains("Front"));
}

/// Would catch figures at the two ends of a grain arrow that differ, or are not from the edge.
#[test]
fn grain_is_pinned_from_the_nearer_edge() {
    let lay = demo();
    // The front's grain is at 360 from the border, 1 in of selvedge outside it.
    let [a, b] = lay.pins(0);
    assert!((a.0 - 385.4).abs() < 1e-9 && (a.0 - b.0).abs() < 1e-9);
    // The tab is nearer to the upper edge.
    let tab = lay.pins(2)[0];
    assert!((tab.0 - (1524.0 - 25.4 - 1220.0)).abs() < 1e-6, "{tab:?}");
}

/// Would catch an arrow without its figure of which nobody says where the figure is, sentences that fill a page of
/// their own beside an empty one, and a twin on a scrap that is not said to lie face down.
#[test]
fn what_has_no_room_is_said_elsewhere() {
    let listed = |lay: &ClothLay| cloth_svg(lay).unwrap().contains(ENGLISH.lay_listed);
    let mut lay = demo();
    // The tab of 60 by 40 mm is two millimetres high on paper.
    assert!(listed(&lay));
    lay.pieces.truncate(2);
    assert!(!listed(&lay));
    lay.pieces.clear();
    lay.scraps[0].pieces[1].face_down = true;
    assert_eq!(pages(&lay, Paper::A4, &ENGLISH).len(), 1);
    let svg = cloth_svg(&lay).unwrap();
    for said in ["in long; 2: face down", "Left over: 20\u{a0}in"] {
        assert!(svg.contains(said), "{said}");
    }
    lay.remarks = vec!["So much to say that it has no room. ".repeat(120)];
    assert!(pages(&lay, Paper::A4, &ENGLISH).len() > 1);
}

#[test]
fn what_is_no_lay_is_refused() {
    let mut lay = demo();
    lay.pieces[0].outline[0][0] = f64::NAN;
    assert!(cloth_pdf(&lay, Paper::A4).is_err());
    lay.pieces.clear();
    // What lies on scraps only has its own sheet, and none at full size.
    assert!(cloth_svg(&lay).is_ok() && cloth_pdf(&lay, Paper::A4).is_ok());
    assert_eq!(cloth_full_pdf(&lay), Err(SheetFault::Nothing));
    assert_eq!(cloth_plt(&lay), Err(SheetFault::Nothing));
    lay.scraps.clear();
    assert_eq!(cloth_svg(&lay), Err(SheetFault::Nothing));
}

/// Would catch cloth that is asked for in the shop by the width it has once it is shrunk, and a crossed box
/// of which nobody says what it is.
#[test]
fn the_width_that_the_shop_sells_and_the_sign_of_a_flaw_are_said() {
    let mut lay = demo();
    lay.scraps.clear();
    lay.width = Length::inches(20.0);
    lay.length = Length::mm(4000.0);
    lay.pieces = vec![board("front", 0.0, 10.0, (1200.0, 300.0))];
    let plain = cloth_svg(&lay).unwrap();
    assert!(plain.contains("crossed box") && !plain.contains("when shrunk"));
    lay.sold_wide = Some(Length::inches(63.0));
    lay.flaws.clear();
    let svg = cloth_svg(&lay).unwrap();
    for said in ["63\u{a0}in wide", "20\u{a0}in when shrunk"] {
        assert!(svg.contains(said), "{said}");
    }
    // What she has is not bought.
    lay.buy = None;
    assert!(!cloth_svg(&lay).unwrap().contains(ENGLISH.lay_nothing));
    lay.enough = true;
    assert!(cloth_svg(&lay).unwrap().contains(ENGLISH.lay_nothing));
    assert_eq!(cloth_touching(&lay, &ENGLISH), Vec::<String>::new());
    assert!(!svg.contains("crossed box"));
}
