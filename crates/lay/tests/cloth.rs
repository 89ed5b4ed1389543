//! Pieces of a pattern laid on cloth, judged from outside: random pieces on random cloth, and the
//! skirt of W11.

use lay::compare::Care;
use lay::cut_piece::{CutPiece, Snip};
use lay::judge::overlap;
use lay::laid::{Laid, Layers};
use lay::outline::Outline;
use lay::solve::{Effort, solve};
use lay::spread::{Rules, Spread, SpreadFault};
use lay::{Cloth, Fold, Nap, NoMatch, Runs};
use measure::Length;
use measure::fraction::Shown;
use proptest::prelude::*;

fn cloth(width: f64) -> Cloth {
    Cloth {
        width: Some(Length::mm(width)),
        ..Cloth::default()
    }
}

fn laid(pieces: &[CutPiece], cloth: &Cloth, rules: Rules, steps: u64) -> Result<Laid, SpreadFault> {
    let spread = Spread::new(pieces, cloth, rules)?;
    if let Some(bare) = spread.bare() {
        return Ok(spread.laid(&bare));
    }
    let effort = Effort {
        workers: 1,
        seed: 3,
    };
    #[expect(clippy::cast_precision_loss, reason = "a share")]
    let spent = |s: u64| s as f64 / steps as f64;
    let outcome = solve(spread.task(), effort, &spent, &mut |_| ()).map_err(|f| spread.fault(f))?;
    Ok(spread.laid(&outcome.lay))
}

/// A skirt panel: so wide at the waist and the hem, so long; with its left edge on the fold or not.
fn panel(
    name: &str,
    (waist, hem, long): (f64, f64, f64),
    count: u32,
    on_fold: bool,
    pair: bool,
) -> CutPiece {
    let dip = long * 0.02;
    CutPiece {
        name: name.into(),
        outline: vec![
            [0.0, 0.0],
            [waist, dip],
            [waist * 1.1, long * 0.4],
            [hem, long - dip],
            [0.0, long],
            [0.0, long * 0.5],
            [0.0, 0.0],
        ],
        grain: Some([[waist * 0.4, long * 0.2], [waist * 0.4, long * 0.7]]),
        fold: on_fold.then_some([[0.0, dip], [0.0, long - dip]]),
        notches: Vec::new(),
        count,
        on_fold,
        pair,
        matched: None,
        joins: Vec::new(),
    }
}

/// The box round a piece on the paper: from where to where across the garment and down it.
fn boxed(piece: &CutPiece) -> [f64; 4] {
    let along = |axis: usize| piece.outline.iter().map(move |p| p[axis]);
    [
        along(0).fold(f64::MAX, f64::min),
        along(0).fold(f64::MIN, f64::max),
        along(1).fold(f64::MAX, f64::min),
        along(1).fold(f64::MIN, f64::max),
    ]
}

/// Whether the box round a piece, opened out, is no larger than some scrap.
fn fits_a_scrap(piece: &CutPiece, cloth: &Cloth) -> bool {
    let [low, high, from, to] = boxed(piece);
    let wide = (high - low) * if piece.on_fold { 2.0 } else { 1.0 };
    let (wide, long) = if cloth.length_runs == Runs::Across {
        (to - from, wide)
    } else {
        (wide, to - from)
    };
    let holds = |s: &lay::Scrap| wide <= s.wide.in_mm() + 0.1 && long <= s.long.in_mm() + 0.1;
    cloth.scraps.iter().any(holds)
}

/// What is wrong with a lay on its cloth.
fn faults(laid: &Laid, pieces: &[CutPiece], cloth: &Cloth, gap: f64) -> Vec<String> {
    let mut out = Vec::new();
    let shapes: Vec<Outline> = laid
        .pieces
        .iter()
        .map(|p| Outline::new(&p.outline).expect("an outline"))
        .collect();
    for (p, s) in laid.pieces.iter().zip(&shapes) {
        let b = s.bounds();
        let top = if p.on_opened() {
            laid.usable
        } else {
            laid.height()
        };
        let whole = matches!(laid.fold, Fold::Lengthwise | Fold::Double | Fold::Crosswise);
        if whole && (p.layers == Layers::One) != p.on_opened() {
            out.push(format!("{} lies on the wrong part", p.name));
        }
        let (low, high) = match laid.flat_from {
            Some(from) if p.on_opened() => (from, laid.length),
            Some(from) => (0.0, from),
            None => (0.0, laid.length),
        };
        let (foot, top) = match laid.turned_in {
            Some([deep, _]) if p.layers != Layers::One => (0.0, deep),
            Some([_, beside]) if !p.on_opened() => (beside, top),
            _ => (0.0, top),
        };
        if b[0] < low - 0.01 || b[2] > high + 0.01 || b[1] < foot - 0.01 || b[3] > top + 0.01 {
            out.push(format!("{} leaves the cloth: {b:?}", p.name));
        }
        let [from, to] = p.grain;
        let along = if cloth.length_runs == Runs::Across {
            (to[1] - from[1], to[0] - from[0])
        } else {
            (to[0] - from[0], to[1] - from[1])
        };
        if along.1.abs() > along.0.abs() * 0.0087 {
            out.push(format!("{} lies off the grain: {along:?}", p.name));
        }
        if cloth.nap == Nap::OneWay && along.0 < 0.0 {
            out.push(format!("{} lies against the nap", p.name));
        }
        if p.layers == Layers::Fold && b[1].abs() > 0.01 {
            out.push(format!("{} is off the fold", p.name));
        }
        // The area tells that nothing was lost, and that halves come out whole.
        let own = pieces[p.piece].outline.clone();
        let own =
            Outline::new(&own).expect("an outline").area() * if p.opened_out { 2.0 } else { 1.0 };
        if (s.area() - own).abs() > own * 1e-4 {
            out.push(format!("{} has changed: {} of {own}", p.name, s.area()));
        }
    }
    for (n, piece) in pieces.iter().enumerate() {
        let on_scraps = || laid.scraps.iter().flat_map(|s| &s.pieces);
        let mine = || {
            laid.pieces
                .iter()
                .chain(on_scraps())
                .filter(move |p| p.piece == n)
        };
        let got: u32 = mine()
            .map(|p| if p.layers == Layers::Two { 2 } else { 1 })
            .sum();
        if got != piece.count {
            out.push(format!("{} is cut {got} times", piece.name));
        }
        if piece.pair && matches!(cloth.fold, Fold::None | Fold::Part) {
            let single = || mine().filter(|p| p.layers == Layers::One);
            let down = single().filter(|p| p.face_down).count();
            if down * 2 != single().count() {
                out.push(format!("{} has no twin", piece.name));
            }
        }
    }
    for scrap in &laid.scraps {
        let shapes: Vec<Outline> = scrap
            .pieces
            .iter()
            .map(|p| Outline::new(&p.outline).expect("an outline"))
            .collect();
        for (i, s) in shapes.iter().enumerate() {
            let b = s.bounds();
            if b[0] < -0.01 || b[1] < -0.01 || b[2] > scrap.long + 0.02 || b[3] > scrap.wide + 0.02
            {
                out.push(format!("{i} leaves scrap {}: {b:?}", scrap.number));
            }
            for t in &shapes[i + 1..] {
                if overlap(s, t) > 0.01 {
                    out.push(format!("two overlap on scrap {}", scrap.number));
                }
            }
        }
    }
    for (i, s) in shapes.iter().enumerate() {
        for (j, t) in shapes.iter().enumerate().skip(i + 1) {
            let apart = laid.pieces[i].on_opened() != laid.pieces[j].on_opened();
            if overlap(s, t) > 0.01 {
                out.push(format!("{i} and {j} overlap by {}", overlap(s, t)));
            } else if gap > 0.0 && !apart && distance(s, t) < gap - 0.01 {
                out.push(format!("{i} and {j} are {} apart", distance(s, t)));
            }
        }
    }
    out
}

/// What is told as left over of a lay, and is not: something lies there, or it is off the cloth.
fn taken(laid: &Laid) -> Vec<String> {
    let mut out = Vec::new();
    for left in laid.left(laid.takes()) {
        let [x0, y0, x1, y1] = left.place;
        let opened = laid.flat_from.is_some_and(|from| x0 > from - 0.01);
        let high = if opened { laid.usable } else { laid.height() };
        let within = |from: f64, to: f64, end: f64| from >= -0.01 && from < to && to <= end + 0.01;
        if !within(x0, x1, laid.length) || !within(y0, y1, high) {
            out.push(format!("{left:?} is not on the cloth"));
            continue;
        }
        let corners = [[x0, y0], [x1, y0], [x1, y1], [x0, y1]];
        let place = Outline::new(&corners).expect("a rectangle");
        for p in laid.pieces.iter().filter(|p| p.on_opened() == opened) {
            let deep = overlap(&Outline::new(&p.outline).expect("an outline"), &place);
            if deep > 0.01 {
                out.push(format!("{} lies {deep} deep on {left:?}", p.name));
            }
        }
        for f in laid.flaws.iter().filter(|_| !opened) {
            if f[0] < x1 - 0.01 && x0 < f[2] - 0.01 && f[1] < y1 - 0.01 && y0 < f[3] - 0.01 {
                out.push(format!("a flaw lies on {left:?}"));
            }
        }
    }
    out
}

/// By how much what is cut and what is told as left over of so much cloth are more than there is, in square
/// millimetres.
fn told_twice(laid: &Laid, cloth: Length) -> f64 {
    let area = |points: &[[f64; 2]]| Outline::new(points).expect("an outline").area();
    let layers = |doubled: bool| if doubled { 2.0 } else { 1.0 };
    let cut = laid.pieces.iter();
    let cut: f64 = cut
        .map(|p| area(&p.outline) * layers(p.layers != Layers::One))
        .sum();
    let left = laid.left(cloth);
    let left: f64 = left.iter().map(|l| l.area() * layers(l.doubled)).sum();
    cut + left - laid.usable * cloth.in_mm()
}

/// The distance of two outlines that do not overlap: from the corners of one to the edges of the other.
fn distance(a: &Outline, b: &Outline) -> f64 {
    let mut least = f64::MAX;
    for (p, q) in [(a, b), (b, a)] {
        let edges = q.points();
        for c in p.points() {
            for (k, from) in edges.iter().enumerate() {
                let to = edges[(k + 1) % edges.len()];
                let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
                let t = (((c[0] - from[0]) * dx + (c[1] - from[1]) * dy) / (dx * dx + dy * dy))
                    .clamp(0.0, 1.0);
                let (ex, ey) = (c[0] - from[0] - t * dx, c[1] - from[1] - t * dy);
                least = least.min((ex * ex + ey * ey).sqrt());
            }
        }
    }
    least
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever the pieces and however the cloth lies: nothing overlaps, the gap is kept, all is cut
    /// that is wanted, on its grain, pairs as twins, halves on the fold.
    #[test]
    fn any_pieces_lie_as_they_may(
        sizes in prop::collection::vec((60.0_f64..250.0, 90.0_f64..420.0, 150.0_f64..700.0, 0_u8..4, 1_u32..4), 1..4),
        fold in 0_u8..5,
        deep in prop::option::of(60.0_f64..760.0),
        across in any::<bool>(),
        one_way in any::<bool>(),
        gap in prop_oneof![Just(0.0), 1.0_f64..20.0],
        selvedge in 0.0_f64..30.0,
        flaw in prop::option::of((0.0_f64..900.0, 0.0_f64..1200.0)),
        scraps in prop::collection::vec((50.0_f64..900.0, 50.0_f64..900.0), 0..3),
    ) {
        let pieces: Vec<CutPiece> = sizes
            .iter()
            .enumerate()
            .map(|(i, (waist, hem, long, how, count))| {
                let (on_fold, pair) = (*how == 0, *how == 1);
                panel(&format!("piece {i}"), (*waist, *hem, *long), if pair { 2 * count } else { *count }, on_fold, pair)
            })
            .collect();
        let cloth = Cloth {
            selvedge: Length::mm(selvedge),
            fold: [Fold::None, Fold::Lengthwise, Fold::Double, Fold::Part, Fold::Crosswise][usize::from(fold)],
            fold_depth: deep.map(Length::mm),
            scraps: scraps.iter().map(|(w, l)| lay::Scrap { wide: Length::mm(*w), long: Length::mm(*l) }).collect(),
            length_runs: if across { Runs::Across } else { Runs::Along },
            nap: if one_way { Nap::OneWay } else { Nap::TwoWay },
            flaws: flaw
                .map(|(x, y)| lay::Flaw { along: Length::mm(x), across: Length::mm(y), round: Length::mm(10.0) })
                .into_iter()
                .collect(),
            ..cloth(1500.0)
        };
        let rules = Rules { gap: Length::mm(gap), ..Rules::default() };
        match laid(&pieces, &cloth, rules, 3000) {
            Ok(laid) if laid.all_on_scraps() => {
                prop_assert_eq!(faults(&laid, &pieces, &cloth, gap), Vec::<String>::new());
                prop_assert!(laid.takes() == Length::ZERO && laid.left(laid.takes()).is_empty());
                // Scraps are as large as all that is cut from them, and each piece fits one in its box.
                let room: f64 = cloth.scraps.iter().map(|s| s.wide.in_mm() * s.long.in_mm()).sum();
                let mut takes = 0.0;
                for p in &pieces {
                    prop_assert!(fits_a_scrap(p, &cloth), "{} fits no scrap", p.name);
                    let times = if p.on_fold { 2.0 } else { 1.0 };
                    takes += Outline::new(&p.outline).expect("an outline").area() * times * f64::from(p.count);
                }
                prop_assert!(takes <= room, "{takes} on {room}");
            }
            Ok(laid) => {
                prop_assert_eq!(faults(&laid, &pieces, &cloth, gap), Vec::<String>::new());
                prop_assert_eq!(taken(&laid), Vec::<String>::new());
                let more = laid.takes() + Length::mm(400.0);
                prop_assert!(told_twice(&laid, more) < 1.0, "{:?}", laid.left(more));
            }
            // The only reason: too wide for half the width.
            Err(SpreadFault::TooWide { takes, room, .. }) => prop_assert!(takes > room),
            Err(SpreadFault::NothingToFold) => {
                // Nothing is cut through two layers that half the width would hold; but from scraps.
                prop_assert!(cloth.fold == Fold::Part && cloth.fold_depth.is_none());
                let half = cloth.usable().expect("a width").in_mm() / 2.0;
                for p in pieces.iter().filter(|p| !fits_a_scrap(p, &cloth)) {
                    let [low, high, from, to] = boxed(p);
                    let wide = if across { to - from } else { high - low };
                    prop_assert!(!p.on_fold || across, "{} lies on the fold", p.name);
                    let asks = ((wide + 0.52 * gap + selvedge) / 3.175).ceil() * 3.175 - selvedge;
                    prop_assert!(!p.pair || asks > half, "{} is narrow enough", p.name);
                }
            }
            Err(other) => prop_assert!(false, "{}", other.says(Shown::cm())),
        }
    }
}

/// W11 of the worked examples: its rectangles take 2.90 yd across and 4.43 yd along; the real lays of the
/// same skirt come to about 2.15 and 2.80 yd two-way, 2.69 and 2.90 one-way (cloth/README.md 4, from
/// the outlines of the problems in tests/data/lay).
#[test]
fn the_real_lays_of_w11() {
    let read = |name: &str| {
        let file = format!(
            "{}/../../tests/data/lay/{name}.json",
            env!("CARGO_MANIFEST_DIR")
        );
        std::fs::read_to_string(file).unwrap()
    };
    let outlines = |text: &str| -> Vec<Vec<[f64; 2]>> {
        let problem: serde_json::Value = serde_json::from_str(text).unwrap();
        let items = problem["items"].as_array().unwrap();
        let points =
            |i: &serde_json::Value| serde_json::from_value(i["shape"]["data"].clone()).unwrap();
        items.iter().map(points).collect()
    };
    for (file, two_way, one_way) in [
        ("mermaid-across", 2.15, 2.69),
        ("mermaid-along", 2.80, 2.90),
    ] {
        let all = outlines(&read(file));
        let pieces: Vec<CutPiece> = all
            .iter()
            .enumerate()
            .map(|(i, points)| CutPiece {
                name: format!("{i}"),
                // From the strip (x along, y up) to the paper (y down, length down).
                outline: points.iter().map(|p| [p[1], p[0]]).collect(),
                grain: None,
                fold: None,
                notches: Vec::new(),
                count: 1,
                on_fold: false,
                pair: false,
                matched: None,
                joins: Vec::new(),
            })
            .collect();
        for (nap, wanted) in [(Nap::TwoWay, two_way), (Nap::OneWay, one_way)] {
            let cloth = Cloth {
                nap,
                ..cloth(58.0 * 25.4)
            };
            let yards = laid(&pieces, &cloth, Rules::default(), 1_500_000)
                .unwrap()
                .takes()
                .in_inches()
                / 36.0;
            assert!((yards - wanted).abs() < 0.02, "{file} {nap:?}: {yards}");
        }
    }
}

/// By hand: a facing of 200 by 100, a pair of tabs of 60 by 80 and a front of 600 by 900; a scrap of 100 wide
/// and 320 long takes the facing and the two tabs one behind the other, the front stays on the cloth.
#[test]
fn small_pieces_are_cut_from_scraps_first() {
    let board = |name: &str, (wide, long): (f64, f64), count: u32, pair: bool| CutPiece {
        outline: vec![[0.0, 0.0], [wide, 0.0], [wide, long], [0.0, long]],
        grain: Some([[wide / 2.0, 10.0], [wide / 2.0, long - 10.0]]),
        ..panel(name, (1.0, 1.0, 1.0), count, false, pair)
    };
    let pieces = [
        board("front", (600.0, 900.0), 1, false),
        board("facing", (100.0, 200.0), 1, false),
        board("tab", (80.0, 60.0), 2, true),
    ];
    let scrap = |wide: f64, long: f64| lay::Scrap {
        wide: Length::mm(wide),
        long: Length::mm(long),
    };
    let with = |scraps: Vec<lay::Scrap>| Cloth {
        scraps,
        nap: Nap::OneWay,
        ..cloth(1000.0)
    };
    let some = with(vec![scrap(30.0, 900.0), scrap(100.0, 320.0)]);
    let found = laid(&pieces, &some, Rules::default(), 1).unwrap();
    assert_eq!(faults(&found, &pieces, &some, 0.0), Vec::<String>::new());
    let [on] = &found.scraps[..] else {
        panic!("{:?}", found.scraps)
    };
    assert_eq!((on.number, on.pieces.len(), found.pieces.len()), (2, 3, 1));
    // Too short for both tabs: the facing alone, no single tab.
    let short = with(vec![scrap(100.0, 270.0)]);
    let found = laid(&pieces, &short, Rules::default(), 1).unwrap();
    let names: Vec<&str> = found.scraps[0]
        .pieces
        .iter()
        .map(|p| p.name.as_str())
        .collect();
    assert_eq!(names, ["facing"]);
    // The grain lies along the scrap: turned round it is too short for the facing.
    let across = with(vec![scrap(320.0, 100.0)]);
    let found = laid(&pieces, &across, Rules::default(), 1).unwrap();
    let names: Vec<&str> = found
        .scraps
        .iter()
        .flat_map(|s| &s.pieces)
        .map(|p| p.name.as_str())
        .collect();
    assert_eq!(names, ["tab", "tab"]);
    // What lies on scraps asks its care too: the left tab is cut face down.
    assert_eq!(Care::of(&found, &across).twins, 1);
    let all = with(vec![scrap(900.0, 2000.0)]);
    // Would catch a cloth that is bought though all of it lies on a scrap, and a scrap that is cut from in
    // another way than the cloth would be.
    let found = laid(&pieces, &all, Rules::default(), 1).unwrap();
    assert!(found.all_on_scraps());
    assert_eq!(faults(&found, &pieces, &all, 0.0), Vec::<String>::new());
    assert_eq!(
        (found.takes(), found.scraps[0].pieces.len()),
        (Length::ZERO, 4)
    );
    assert!(found.left(found.takes()).is_empty());
}

/// By hand: on cloth of 1000 the half front of 240 lies on the fold in the part that is turned in; beside it
/// is room for 1000 - 2 * 241.3 (240 to the next eighth of an inch, 95 of them), and both backs of 480 and
/// 450 long lie there one behind the other: 900, as long as the front. Folded in half there is room for
/// the front alone, and the backs go where it is opened out: 900 + 450, since two of 480 lie across 1000.
#[test]
fn a_part_of_the_width_is_folded_just_so_deep() {
    let board = |name: &str, (wide, long): (f64, f64), count: u32, on_fold: bool| CutPiece {
        outline: vec![[0.0, 0.0], [wide, 0.0], [wide, long], [0.0, long]],
        grain: Some([[wide / 2.0, 10.0], [wide / 2.0, long - 10.0]]),
        fold: on_fold.then_some([[0.0, 0.0], [0.0, long]]),
        ..panel(name, (1.0, 1.0, 1.0), count, on_fold, false)
    };
    let pieces = [
        board("front", (240.0, 900.0), 1, true),
        board("back", (480.0, 450.0), 2, false),
    ];
    let part = Cloth {
        fold: Fold::Part,
        nap: Nap::OneWay,
        ..cloth(1000.0)
    };
    let found = laid(&pieces, &part, Rules::default(), 20_000).unwrap();
    assert_eq!(faults(&found, &pieces, &part, 0.0), Vec::<String>::new());
    let [deep, beside] = found.turned_in.unwrap();
    assert!((deep - 76.0 * 3.175).abs() < 1e-9 && (beside - deep).abs() < 1e-9);
    assert!(
        (found.length - 900.0).abs() < 0.1 && found.flat_from.is_none(),
        "{} {:?}",
        found.length,
        found.flat_from
    );
    let half = Cloth {
        fold: Fold::Lengthwise,
        ..part.clone()
    };
    let longer = laid(&pieces, &half, Rules::default(), 20_000).unwrap();
    assert!((longer.length - 1350.0).abs() < 0.1, "{}", longer.length);
    // What is left of 1200: behind the front 300 in two layers, 241.3 wide; behind the backs 300 in one,
    // 1000 - 2 * 241.3 wide. Looked for in squares of 5, less those that a piece just reaches into.
    let sizes: Vec<(bool, f64, f64)> = found
        .left(Length::mm(1200.0))
        .iter()
        .map(|l| (l.doubled, l.place[2] - l.place[0], l.place[3] - l.place[1]))
        .collect();
    let [(one, long, wide), (two, also_long, narrow)] = sizes[..] else {
        panic!("{sizes:?}")
    };
    assert!(!one && two, "{sizes:?}");
    let about = |got: f64, wanted: f64| (wanted - 20.0..=wanted + 0.1).contains(&got);
    assert!(
        about(long, 300.0) && about(also_long, 300.0) && about(wide, 517.4) && about(narrow, 241.3),
        "{sizes:?}"
    );
    // With nothing for two layers there is nothing to fold.
    let none = laid(&pieces[1..], &part, Rules::default(), 1).unwrap_err();
    assert_eq!(none, SpreadFault::NothingToFold);
    // A fold that is too shallow for what lies on it.
    let shallow = Cloth {
        fold_depth: Some(Length::mm(200.0)),
        ..part
    };
    let why = laid(&pieces, &shallow, Rules::default(), 1).unwrap_err();
    assert!(
        why.says(Shown::cm()).contains("\"front\" takes 24 cm"),
        "{}",
        why.says(Shown::cm())
    );
}

/// By hand, with a gap of 6: a pair of 300 keeps half of it from the fold, so it asks for 303, and 0.12 more
/// for its grown outline; 95 and 96 eighths of an inch are 301.625 and 304.8. Would catch a fold that is
/// too shallow for the pair that asked for it, and a pair that is then refused in place of lying beside
/// as two twins.
#[test]
fn a_pair_keeps_half_the_gap_from_the_fold() {
    let board = |name: &str, (wide, long): (f64, f64), count: u32, pair: bool| CutPiece {
        outline: vec![[0.0, 0.0], [wide, 0.0], [wide, long], [0.0, long]],
        grain: Some([[wide / 2.0, 10.0], [wide / 2.0, long - 10.0]]),
        ..panel(name, (1.0, 1.0, 1.0), count, false, pair)
    };
    let pieces = [board("gore", (300.0, 900.0), 2, true)];
    let part = Cloth {
        fold: Fold::Part,
        ..cloth(1000.0)
    };
    let rules = Rules {
        gap: Length::mm(6.0),
        ..Rules::default()
    };
    let found = laid(&pieces, &part, rules, 1000).unwrap();
    assert_eq!(faults(&found, &pieces, &part, 6.0), Vec::<String>::new());
    let [deep, _] = found.turned_in.unwrap();
    assert!((deep - 96.0 * 3.175).abs() < 1e-9, "{deep}");
    assert_eq!(found.pieces.len(), 1);
    // Turned in just too little, it lies beside as twins, behind a half that lies on the fold.
    let half = CutPiece {
        fold: Some([[0.0, 0.0], [0.0, 500.0]]),
        on_fold: true,
        ..board("front", (250.0, 500.0), 1, false)
    };
    let both = [half, pieces[0].clone()];
    for shy in [300.0, 301.7, 303.0] {
        let shallow = Cloth {
            fold_depth: Some(Length::mm(shy)),
            ..part.clone()
        };
        let found = laid(&both, &shallow, rules, 1000).unwrap();
        assert_eq!(faults(&found, &both, &shallow, 6.0), Vec::<String>::new());
        assert_eq!(found.pieces.len(), 3, "{shy}");
    }
}

/// A board that is cut so often in one layer, with a notch on its left edge that meets the pattern.
fn printed(name: &str, (wide, long): (f64, f64), count: u32, notch: f64) -> CutPiece {
    CutPiece {
        outline: vec![[0.0, 0.0], [wide, 0.0], [wide, long], [0.0, long]],
        grain: Some([[wide / 2.0, 10.0], [wide / 2.0, long - 10.0]]),
        notches: vec![Snip {
            edge: "side".into(),
            at: [0.0, notch],
            snips: 1,
            names: Vec::new(),
        }],
        matched: Some([0.0, notch]),
        ..panel(name, (1.0, 1.0, 1.0), count, false, false)
    }
}

/// Would catch a lay that says its notches meet the pattern where they can't: the garment's length across
/// the cloth, the second of two lengths, an upper layer that runs the other way.
#[test]
fn a_pattern_that_cannot_meet_is_refused() {
    let pieces = [printed("gore", (300.0, 700.0), 2, 200.0)];
    let print = Cloth {
        repeat: Some(Length::mm(300.0)),
        ..cloth(1500.0)
    };
    for (fold, length_runs, why) in [
        (Fold::None, Runs::Across, NoMatch::Across),
        (Fold::Part, Runs::Across, NoMatch::Across),
        (Fold::Double, Runs::Along, NoMatch::Double),
        (Fold::Crosswise, Runs::Along, NoMatch::Crosswise),
    ] {
        let so = Cloth {
            fold,
            length_runs,
            ..print.clone()
        };
        let fault = Spread::new(&pieces, &so, Rules::default()).unwrap_err();
        assert_eq!(fault, SpreadFault::NoMatch(why));
        assert!(fault.says(Shown::cm()).contains("leave `repeat` out"));
        // Plain cloth may lie so.
        let plain = Cloth {
            repeat: None,
            fold: if fold == Fold::Part { Fold::None } else { fold },
            ..so
        };
        assert!(
            laid(&pieces, &plain, Rules::default(), 1).is_ok(),
            "{why:?}"
        );
    }
    for fold in [Fold::None, Fold::Lengthwise] {
        let so = Cloth {
            fold,
            ..print.clone()
        };
        assert!(laid(&pieces, &so, Rules::default(), 1).is_ok(), "{fold:?}");
    }
}

/// By hand: bought with a repeat of 300, cloth that shrinks by 4 % is cut with one of 288. Boards of 700 lie
/// three repeats apart, at 0, 864 and 1728, and end at 2428. Would catch notches that are set by the repeat
/// as bought: three repeats further two sides of a seam would miss by 36.
#[test]
fn the_repeat_shrinks_with_the_cloth() {
    let pieces = [printed("gore", (500.0, 700.0), 3, 200.0)];
    let print = Cloth {
        repeat: Some(Length::mm(300.0)),
        shrink_along: 0.04,
        nap: Nap::OneWay,
        ..cloth(600.0)
    };
    let found = laid(&pieces, &print, Rules::default(), 20_000).unwrap();
    assert!((found.length - 2428.0).abs() < 0.1, "{}", found.length);
    let mut at: Vec<f64> = found.pieces.iter().map(|p| p.notches[0].0[0][0]).collect();
    at.sort_by(f64::total_cmp);
    for (at, wanted) in at.iter().zip([200.0, 1064.0, 1928.0]) {
        assert!((at - wanted).abs() < 0.05, "{at}, not {wanted}");
    }
}

/// By hand: a flaw told on the bolt 1000 along and 500 across lies 900 along and 480 across once the cloth
/// has shrunk by 10 and by 4 %, which is 470 from the inner border of a selvedge of 10.
#[test]
fn flaws_shrink_with_the_cloth() {
    let pieces = [printed("gore", (100.0, 200.0), 1, 50.0)];
    let flaw = lay::Flaw {
        along: Length::mm(1000.0),
        across: Length::mm(500.0),
        round: Length::mm(10.0),
    };
    let shrinks = Cloth {
        flaws: vec![flaw],
        selvedge: Length::mm(10.0),
        shrink_along: 0.1,
        shrink_across: 0.04,
        ..cloth(1000.0)
    };
    let found = laid(&pieces, &shrinks, Rules::default(), 1).unwrap();
    for (got, wanted) in found.flaws[0].iter().zip([890.0, 460.0, 910.0, 480.0]) {
        assert!((got - wanted).abs() < 1e-9, "{:?}", found.flaws);
    }
}

/// Would catch a flaw that was measured along the uncut cloth, so that on two lengths it lies under the
/// pieces, and nothing is said of it.
#[test]
fn a_flaw_behind_two_lengths_is_told() {
    let pieces = [CutPiece {
        pair: true,
        ..printed("gore", (900.0, 500.0), 2, 100.0)
    }];
    let behind = |fold: Fold, along: &[f64]| {
        let flaw = |along: &f64| lay::Flaw {
            along: Length::mm(*along),
            across: Length::mm(500.0),
            round: Length::mm(10.0),
        };
        let flawed = Cloth {
            fold,
            flaws: along.iter().map(flaw).collect(),
            ..cloth(1000.0)
        };
        let found = laid(&pieces, &flawed, Rules::default(), 1000).unwrap();
        found.flaws_behind()
    };
    assert_eq!(behind(Fold::Double, &[300.0, 2000.0]), [1]);
    assert_eq!(behind(Fold::Double, &[300.0]), [0_usize; 0]);
    // On one length, and from the fold, what lies behind is not cut.
    assert_eq!(behind(Fold::None, &[2000.0]), [0_usize; 0]);
    assert_eq!(behind(Fold::Crosswise, &[2000.0]), [0_usize; 0]);
}

/// By hand: a pair of gores as wide as the cloth and 2000 long takes 4000 of doubled cloth; of 4400 bought,
/// 200 are left in two layers. Would catch what is left told as 400 in two layers, which would be 800.
#[test]
fn what_is_left_of_doubled_cloth_is_told_once() {
    let gore = CutPiece {
        pair: true,
        ..printed("gore", (1000.0, 2000.0), 2, 100.0)
    };
    let facing = printed("facing", (1000.0, 500.0), 1, 100.0);
    let both = [gore, facing];
    for fold in [Fold::Double, Fold::Crosswise] {
        let two = Cloth {
            fold,
            ..cloth(1000.0)
        };
        let sizes = |pieces: &[CutPiece], bought: f64| -> Vec<(bool, f64, f64)> {
            let found = laid(pieces, &two, Rules::default(), 1000).unwrap();
            let left = found.left(Length::mm(bought));
            left.iter()
                .map(|l| (l.doubled, l.place[0], l.place[2]))
                .collect()
        };
        let one = |all: &[(bool, f64, f64)], doubled: bool, from: f64, to: f64| {
            let [(in_two, begins, ends)] = *all else {
                return false;
            };
            in_two == doubled && (0.0..20.0).contains(&(begins - from)) && (ends - to).abs() < 0.1
        };
        let left = sizes(&both[..1], 4400.0);
        assert!(one(&left, true, 2000.0, 2200.0), "{fold:?}: {left:?}");
        // With a facing where it is opened out, what is more lies behind that in one layer.
        let left = sizes(&both, 4700.0);
        assert!(one(&left, false, 2500.0, 2700.0), "{fold:?}: {left:?}");
    }
}

/// Would catch words that are not true of cloth of which a part is folded: a width that would not do, twice
/// the room, and a join that was allowed already.
#[test]
fn a_fold_that_is_too_shallow_is_told_so() {
    let pieces = [panel("front", (200.0, 450.0, 900.0), 1, true, false)];
    let part = Cloth {
        fold: Fold::Part,
        fold_depth: Some(Length::cm(25.0)),
        selvedge: Length::cm(1.0),
        ..cloth(1200.0)
    };
    let says = |cloth: &Cloth| {
        laid(&pieces, cloth, Rules::default(), 1)
            .unwrap_err()
            .says(Shown::cm())
    };
    let told = says(&part);
    assert!(
        told.contains("takes 45 cm") && told.contains("room for 24 cm as it is folded"),
        "{told}"
    );
    assert!(
        told.contains("Turn its edge in 46 cm from the fold, or leave `fold_depth` out."),
        "{told}"
    );
    assert!(
        !told.contains("would do") && !told.contains("twice the room"),
        "{told}"
    );
    // Turned in so, it goes; and with the line left out.
    for depth in [Some(Length::cm(46.0)), None] {
        let cured = Cloth {
            fold_depth: depth,
            ..part.clone()
        };
        assert!(laid(&pieces, &cured, Rules::default(), 1).is_ok());
    }
    // No fold of this cloth would hold it: it has to be wider, and the fold deeper.
    let narrow = Cloth {
        width: Some(Length::cm(80.0)),
        ..part.clone()
    };
    let told = says(&narrow);
    assert!(
        told.contains("A cloth 92 cm wide would do, with its edge turned in 46 cm from the fold.")
            && !told.contains("twice the room"),
        "{told}"
    );
    let cured = Cloth {
        width: Some(Length::cm(92.0)),
        fold_depth: Some(Length::cm(46.0)),
        ..part.clone()
    };
    assert!(laid(&pieces, &cured, Rules::default(), 1).is_ok());
    // As deep as the cloth allows, a wider one is all that helps.
    let told = says(&Cloth {
        fold_depth: None,
        ..narrow
    });
    assert!(
        told.contains("A cloth 92 cm wide would do. Laid flat"),
        "{told}"
    );
}

/// Would catch a join that is offered where one was allowed, and none could be had with so much allowed.
#[test]
fn a_join_is_offered_only_where_none_was_allowed() {
    let pieces = [panel("front", (200.0, 500.0, 1000.0), 1, true, false)];
    let join = |join: Option<Length>| {
        let narrow = Cloth {
            join,
            ..cloth(470.0)
        };
        match Spread::new(&pieces, &narrow, Rules::default()) {
            Ok(_) => None,
            Err(fault) => Some(fault.join().is_some()),
        }
    };
    // Offered, taken; with two inches on each side it would begin too high, and is not offered again.
    assert_eq!(join(None), Some(true));
    assert_eq!(join(Some(Length::inches(0.5))), None);
    assert_eq!(join(Some(Length::inches(2.0))), Some(false));
}

/// Would catch a message that does not say what width would do.
#[test]
fn too_narrow_cloth_is_told_what_would_do() {
    let pieces = [panel("front", (200.0, 700.0, 900.0), 1, true, false)];
    let folded = Cloth {
        fold: Fold::Lengthwise,
        selvedge: Length::mm(10.0),
        ..cloth(1000.0)
    };
    let says = laid(&pieces, &folded, Rules::default(), 1)
        .unwrap_err()
        .says(Shown::cm());
    assert!(
        says.contains("\"front\" takes 70 cm")
            && says.contains("142 cm wide")
            && says.contains("flat"),
        "{says}"
    );
    let flat = Cloth {
        fold: Fold::None,
        ..folded
    };
    let says = laid(&pieces, &flat, Rules::default(), 1)
        .unwrap_err()
        .says(Shown::cm());
    assert!(
        says.contains("takes 140 cm")
            && says.contains("142 cm wide")
            && says.contains("the other way"),
        "{says}"
    );
    for none in [
        Cloth::default(),
        cloth(0.0),
        Cloth {
            selvedge: Length::mm(500.0),
            ..cloth(1000.0)
        },
    ] {
        assert_eq!(
            laid(&pieces, &none, Rules::default(), 1).unwrap_err(),
            SpreadFault::NoWidth
        );
    }
    let many = [panel("tab", (20.0, 20.0, 30.0), 10_000, false, false)];
    assert_eq!(
        laid(&many, &cloth(1000.0), Rules::default(), 1).unwrap_err(),
        SpreadFault::TooMany(10_000)
    );
    let bad = Rules {
        tilt: f64::NAN,
        ..Rules::default()
    };
    assert!(laid(&pieces, &cloth(3000.0), bad, 1).is_err());
}
