//! Lays judged from outside the search: by the true outlines, and by what can be reckoned on paper.

use lay::judge::{faults, overlap};
use lay::outline::{Outline, OutlineFault};
use lay::solve::{Effort, Outcome, solve};
use lay::task::{Beside, Cut, Kind, Lay, Placed, Task, TaskFault, Turns};
use proptest::prelude::*;

fn outline(points: &[[f64; 2]]) -> Outline {
    Outline::new(points).expect("a simple outline")
}

fn rectangle(w: f64, h: f64) -> Outline {
    outline(&[[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]])
}

fn kind(id: u64, outline: Outline, count: usize, turns: &[f64]) -> Kind {
    Kind {
        id,
        name: format!("piece {id}"),
        outline,
        count,
        turns: Turns::Only(turns.to_vec()),
        cut: Cut::Single,
        matched: None,
    }
}

#[expect(clippy::cast_precision_loss, reason = "a small count")]
fn real(n: u64) -> f64 {
    n as f64
}

fn flat(height: f64, kinds: Vec<Kind>) -> Task {
    Task {
        height,
        opened: height,
        folded: false,
        beside: None,
        kinds,
        flaws: Vec::new(),
        flaws_opened: Vec::new(),
        pinned: Vec::new(),
        repeat: None,
        across: false,
        hair: 0.004,
    }
}

fn laid(task: &Task, steps: u64, seed: u64) -> Outcome {
    let effort = Effort { workers: 2, seed };
    let mut lays: Vec<Lay> = Vec::new();
    #[expect(clippy::cast_precision_loss, reason = "a share")]
    let spent = |s: u64| s as f64 / steps as f64;
    let outcome = solve(task, effort, &spent, &mut |lay| lays.push(lay.clone()))
        .expect("a task that can be laid");
    for lay in &lays {
        assert_eq!(faults(task, lay, 0.01), Vec::<String>::new());
    }
    assert!(
        lays.windows(2).all(|l| l[1].length < l[0].length),
        "each lay told is shorter than the last"
    );
    assert_eq!(lays.last(), Some(&outcome.lay));
    outcome
}

/// Would catch a search that leaves gaps where none need be: 24 rectangles of one size fill a strip
/// of three times their height and eight times their width (area over height).
#[test]
fn rectangles_fill_their_strip() {
    let task = flat(300.0, vec![kind(1, rectangle(150.0, 100.0), 24, &[0.0])]);
    let length = laid(&task, 400_000, 1).lay.length;
    assert!((1200.0 - 0.1..1203.0).contains(&length), "{length}");
}

/// Would catch a wrong turn: a strip 100 wide holds a 300 by 100 board and three 100 by 100 squares
/// only if the board lies along it; drawn across, it must be turned by 90.
#[test]
fn a_board_drawn_across_is_turned_along() {
    let kinds = vec![
        kind(1, rectangle(100.0, 300.0), 1, &[0.0, 90.0]),
        kind(2, rectangle(100.0, 100.0), 3, &[0.0]),
    ];
    let length = laid(&flat(100.0, kinds), 100_000, 1).lay.length;
    assert!((600.0 - 0.1..600.5).contains(&length), "{length}");
}

/// Would catch a no-fit outline without its hollow: two right triangles make a square only when one
/// is turned by a half; one way round they lie side by side.
#[test]
fn two_triangles_make_a_square_only_on_two_way_cloth() {
    let triangle = outline(&[[0.0, 0.0], [200.0, 0.0], [0.0, 200.0]]);
    let two = flat(200.0, vec![kind(1, triangle.clone(), 2, &[0.0, 180.0])]);
    let one = flat(200.0, vec![kind(1, triangle, 2, &[0.0])]);
    let length = laid(&two, 300_000, 1).lay.length;
    assert!((200.0 - 0.1..201.0).contains(&length), "{length}");
    // Side by side the second begins where the first ends at its height: 200 along the bottom edge,
    // but no less than 400 in all, since both bottom edges would meet.
    let length = laid(&one, 100_000, 1).lay.length;
    assert!((400.0 - 0.1..400.5).contains(&length), "{length}");
}

/// Would catch a piece that leaves its fold, a single piece on doubled cloth, a pair on the opened
/// end. Two boards on the fold lie one after the other; the pair fits above them; the single piece
/// comes last, on the whole width: 300 + 200 + 250.
#[test]
fn folded_cloth_has_its_fold_and_its_opened_end() {
    let on_fold = |id, w: f64| Kind {
        cut: Cut::Fold([[0.0, 0.0], [w, 0.0]]),
        ..kind(id, rectangle(w, 200.0), 1, &[0.0, 180.0])
    };
    let pair = Kind {
        cut: Cut::Pair,
        ..kind(
            3,
            outline(&[[0.0, 0.0], [400.0, 0.0], [0.0, 280.0]]),
            1,
            &[0.0, 180.0],
        )
    };
    let single = kind(4, rectangle(250.0, 900.0), 1, &[0.0]);
    let task = Task {
        height: 500.0,
        opened: 1000.0,
        folded: true,
        ..flat(
            500.0,
            vec![on_fold(1, 300.0), on_fold(2, 200.0), pair, single],
        )
    };
    let lay = laid(&task, 300_000, 1).lay;
    assert!((750.0 - 0.1..751.0).contains(&lay.length), "{lay:?}");
    let from = lay.flat_from.unwrap();
    assert!((from - 500.0).abs() < 1.0, "{lay:?}");
}

/// Would catch a search that is over as soon as the doubled part and the single layer beside it come to one
/// length: both halves of this cloth hold the same pieces in the same room, so they begin level.
#[test]
fn two_like_halves_that_begin_level_get_shorter() {
    let kinds = |cut: Cut| {
        let shapes: [&[[f64; 2]]; 3] = [
            &[[0.0, 0.0], [310.0, 40.0], [250.0, 210.0], [0.0, 170.0]],
            &[[0.0, 0.0], [260.0, 0.0], [60.0, 230.0]],
            &[
                [0.0, 60.0],
                [180.0, 0.0],
                [220.0, 140.0],
                [140.0, 200.0],
                [20.0, 180.0],
            ],
        ];
        shapes.map(|points| Kind {
            cut,
            ..kind(1, outline(points), 3, &[0.0, 180.0])
        })
    };
    let task = Task {
        height: 500.0,
        opened: 1500.0,
        folded: true,
        beside: Some(Beside {
            from: 500.0,
            height: 500.0,
            flaws: Vec::new(),
        }),
        ..flat(500.0, [kinds(Cut::Pair), kinds(Cut::Single)].concat())
    };
    let first = laid(&task, 0, 1);
    let longer = laid(&task, 2_000_000, 1);
    assert!(longer.steps > 100_000, "{} steps", longer.steps);
    assert!(
        longer.lay.length < first.lay.length * 0.99,
        "{} after {}",
        longer.lay.length,
        first.lay.length
    );
}

/// Would catch a flaw that is not kept clear, and a strip whose flaw is only looked at on its edge.
#[test]
fn a_flaw_is_left_free() {
    let mut task = flat(100.0, vec![kind(1, rectangle(100.0, 100.0), 2, &[0.0])]);
    task.flaws = vec![[120.0, 40.0, 130.0, 60.0]];
    let length = laid(&task, 100_000, 1).lay.length;
    assert!((230.0..230.5).contains(&length), "{length}");
    // A flaw that is a mere point counts too.
    task.flaws = vec![[50.0, 50.0, 50.0, 50.0]];
    let length = laid(&task, 100_000, 1).lay.length;
    assert!((250.0..250.5).contains(&length), "{length}");
}

/// Would catch match points that do not keep their place in the repeat: boards of 100 by 100, one
/// after another, cannot lie closer than one repeat of 130.
#[test]
fn match_points_keep_the_repeat() {
    let mut board = kind(1, rectangle(100.0, 100.0), 3, &[0.0]);
    board.matched = Some([30.0, 50.0]);
    let mut task = flat(100.0, vec![board]);
    task.repeat = Some(130.0);
    let length = laid(&task, 100_000, 1).lay.length;
    assert!((360.0 - 0.1..360.5).contains(&length), "{length}");
}

/// A repeat of 300 on a strip 1000 wide: boards, each with how far its match point lies from its start.
fn matched(boards: &[(f64, f64, f64)]) -> Task {
    let kinds = (1..).zip(boards).map(|(id, &(w, h, at))| Kind {
        matched: Some([at, 0.0]),
        ..kind(id, rectangle(w, h), 1, &[0.0])
    });
    let mut task = flat(1000.0, kinds.collect());
    task.repeat = Some(300.0);
    task
}

/// Would catch a search without an end where the repeat keeps every lay longer than its pieces are: with
/// the first board at the start the second begins at 100; with the second there, the first begins at 200.
#[test]
fn the_repeat_may_keep_a_lay_longer_than_its_pieces() {
    let task = matched(&[(1000.0, 400.0, 0.0), (990.0, 400.0, 200.0)]);
    let length = laid(&task, 1000, 1).lay.length;
    assert!((length - 1090.0).abs() < 0.01, "{length}");
}

/// Would catch a lay in which the pattern was moved along for some boards and not for others. With the first
/// two at whole repeats, the last two lie end to end, at 100 and 600: 1020. Moved on by 200, the first
/// board alone would take 1100.
#[test]
fn the_pattern_is_moved_along_for_all_or_for_none() {
    let task = matched(&[
        (900.0, 500.0, 0.0),
        (420.0, 500.0, 0.0),
        (500.0, 500.0, 200.0),
    ]);
    for seed in 0..4 {
        let length = laid(&task, 100_000, seed).lay.length;
        assert!((1020.0 - 0.1..1020.5).contains(&length), "{length}");
    }
}

/// The opened end keeps the repeat and the flaws too, wherever it begins.
#[test]
fn the_opened_end_keeps_repeat_and_flaws() {
    let mut pair = kind(1, rectangle(100.0, 90.0), 2, &[0.0]);
    pair.cut = Cut::Pair;
    pair.matched = Some([10.0, 0.0]);
    let mut single = kind(2, rectangle(80.0, 150.0), 2, &[0.0]);
    single.matched = Some([40.0, 0.0]);
    let task = Task {
        height: 100.0,
        opened: 200.0,
        folded: true,
        flaws: vec![[260.0, 90.0, 262.0, 110.0]],
        flaws_opened: vec![[260.0, 90.0, 262.0, 110.0]],
        repeat: Some(70.0),
        ..flat(100.0, vec![pair, single])
    };
    laid(&task, 100_000, 1);
}

/// Would catch a pinned piece that is moved, laid twice or laid over, and a length that forgets it.
#[test]
fn a_pinned_piece_stays_where_it_is() {
    let mut task = flat(
        100.0,
        vec![
            kind(1, rectangle(100.0, 60.0), 3, &[0.0, 180.0]),
            kind(2, rectangle(50.0, 40.0), 2, &[0.0]),
        ],
    );
    let pin = Placed {
        kind: 0,
        turn: 0.0,
        over: false,
        at: [140.0, 40.0],
    };
    task.pinned = vec![pin];
    let lay = laid(&task, 100_000, 1).lay;
    assert!(lay.placed.contains(&pin), "{lay:?}");
    assert_eq!(lay.placed.len(), 5);
    // One board before it, one after: 340 at least, and the small ones find room beside them.
    assert!((340.0 - 0.1..340.5).contains(&lay.length), "{lay:?}");
    // Pinned far out, it alone decides the length.
    task.pinned = vec![Placed {
        at: [700.0, 0.0],
        ..pin
    }];
    assert!((laid(&task, 100_000, 1).lay.length - 800.0).abs() < 0.01);
    // All of it pinned.
    task.kinds.truncate(1);
    task.pinned = [0.0, 100.0, 250.0]
        .map(|x| Placed {
            at: [x, 0.0],
            ..pin
        })
        .to_vec();
    assert!((laid(&task, 10_000, 1).lay.length - 350.0).abs() < 0.01);
    let effort = Effort {
        workers: 1,
        seed: 0,
    };
    for wrong in [[0.0, 50.0], [-5.0, 0.0], [f64::NAN, 0.0], [60.0, 0.0]] {
        task.pinned = vec![
            Placed {
                at: [120.0, 0.0],
                ..pin
            },
            Placed { at: wrong, ..pin },
        ];
        let fault = solve(&task, effort, &|_| 1.0, &mut |_| ()).unwrap_err();
        assert_eq!(fault, TaskFault::BadPin("piece 1".into()), "{wrong:?}");
    }
}

/// By hand: a single pinned at 25 in the layer beside has its match point at 65 of a repeat of 130, so the
/// pairs, whose match points lie 10 behind their left edges, lie at 55 and 185 and end at 285, though alone
/// they would begin at 0 and end at 230. The other way about, a pair pinned at 30 keeps its own at 40, and
/// singles go to 0 and 130. Would catch parts of the cloth that keep two places of the pattern.
#[test]
fn a_pinned_piece_keeps_the_pattern_on_every_part() {
    let mut pair = kind(1, rectangle(100.0, 90.0), 2, &[0.0]);
    (pair.cut, pair.matched) = (Cut::Pair, Some([10.0, 0.0]));
    let mut single = kind(2, rectangle(80.0, 80.0), 2, &[0.0]);
    single.matched = Some([40.0, 0.0]);
    let mut task = Task {
        height: 100.0,
        opened: 200.0,
        folded: true,
        beside: Some(Beside {
            from: 110.0,
            height: 85.0,
            flaws: Vec::new(),
        }),
        repeat: Some(130.0),
        ..flat(100.0, vec![pair, single])
    };
    let pin = |kind: usize, at: [f64; 2]| Placed {
        kind,
        turn: 0.0,
        over: false,
        at,
    };
    for (held, ends) in [(pin(1, [25.0, 112.0]), 285.0), (pin(0, [30.0, 5.0]), 260.0)] {
        task.pinned = vec![held];
        let lay = laid(&task, 100_000, 1).lay;
        assert!(lay.placed.contains(&held), "{lay:?}");
        assert!((lay.length - ends).abs() < 0.1, "{held:?}: {lay:?}");
    }
}

/// Would catch chance from outside, or workers that race: the same seed, workers and count of
/// places give the same lay, another seed another.
#[test]
fn the_same_effort_gives_the_same_lay() {
    let shapes = [
        outline(&[
            [0.0, 0.0],
            [220.0, 30.0],
            [180.0, 150.0],
            [90.0, 90.0],
            [10.0, 160.0],
        ]),
        outline(&[[0.0, 0.0], [130.0, 0.0], [60.0, 170.0]]),
        outline(&[[0.0, 40.0], [80.0, 0.0], [140.0, 70.0], [70.0, 140.0]]),
    ];
    let kinds = shapes
        .into_iter()
        .zip(1..)
        .map(|(s, id)| kind(id, s, 4, &[0.0, 180.0]));
    let task = flat(400.0, kinds.collect());
    let first = laid(&task, 500_000, 5);
    assert_eq!(first, laid(&task, 500_000, 5));
    assert_ne!(first.lay, laid(&task, 500_000, 6).lay);
}

#[test]
fn what_cannot_be_laid_is_said() {
    let task = |kinds| flat(100.0, kinds);
    let effort = Effort {
        workers: 1,
        seed: 0,
    };
    let fault = |task: &Task| solve(task, effort, &|_| 1.0, &mut |_| ()).unwrap_err();
    let board = kind(1, rectangle(300.0, 120.0), 1, &[0.0, 180.0]);
    assert_eq!(
        fault(&task(vec![board.clone()])),
        TaskFault::TooWide {
            name: "piece 1".into(),
            across: 120.0,
            room: 100.0
        }
    );
    assert_eq!(
        fault(&Task {
            height: 0.0,
            ..task(vec![board.clone()])
        }),
        TaskFault::NoWidth
    );
    assert_eq!(
        fault(&Task {
            opened: f64::NAN,
            ..task(vec![board.clone()])
        }),
        TaskFault::NoWidth
    );
    assert_eq!(fault(&task(Vec::new())), TaskFault::NoPieces);
    let many = Kind {
        count: 10_000,
        ..board.clone()
    };
    assert_eq!(fault(&task(vec![many])), TaskFault::TooMany(10_000));
    // What is kept of each two shapes would fill any memory.
    let sorts = (0..200).map(|i| Kind {
        turns: Turns::Any,
        ..kind(
            i,
            outline(&[[0.0, 0.0], [20.0 + real(i) / 4.0, 3.0], [5.0, 30.0]]),
            1,
            &[],
        )
    });
    assert_eq!(fault(&task(sorts.collect())), TaskFault::TooManyShapes(200));
    // What is laid no times is no fault, however wide it is.
    let none = Kind {
        count: 0,
        ..board.clone()
    };
    let small = kind(2, rectangle(30.0, 20.0), 1, &[0.0]);
    let length = laid(&task(vec![none, small]), 1000, 0).lay.length;
    assert!((length - 30.0).abs() < 1e-6, "{length}");
    let pair = Kind {
        cut: Cut::Pair,
        ..board.clone()
    };
    assert_eq!(
        fault(&task(vec![pair])),
        TaskFault::NotFolded("piece 1".into())
    );
    assert_eq!(
        fault(&task(vec![Kind {
            turns: Turns::Only(Vec::new()),
            ..board
        }])),
        TaskFault::NoTurn("piece 1".into())
    );
    assert_eq!(
        Outline::new(&[[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]]),
        Err(OutlineFault::Crosses)
    );
    assert_eq!(
        Outline::new(&[[0.0, 0.0], [1.0, f64::NAN], [1.0, 0.0]]),
        Err(OutlineFault::NotANumber)
    );
    assert_eq!(
        Outline::new(&[[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]]),
        Err(OutlineFault::TooFew)
    );
}

/// Hundreds of pieces: the first lay comes all the same, and it holds.
#[test]
fn hundreds_of_pieces_are_laid() {
    let triangle = outline(&[[0.0, 0.0], [50.0, 10.0], [20.0, 60.0]]);
    let task = flat(1000.0, vec![kind(1, triangle, 300, &[0.0, 180.0])]);
    let mut first = None;
    let effort = Effort {
        workers: 1,
        seed: 0,
    };
    solve(&task, effort, &|_| 1.0, &mut |lay| {
        first = Some(lay.clone());
    })
    .unwrap();
    assert_eq!(faults(&task, &first.unwrap(), 0.01), Vec::<String>::new());
}

/// The judge itself, on overlaps that can be told by eye.
#[test]
fn the_judge_tells_how_deep() {
    let a = rectangle(100.0, 100.0);
    let at = |x: f64, y: f64| overlap(&a, &a.moved([x, y]));
    assert!(at(100.0, 0.0) < 1e-9);
    assert!(at(100.5, 20.0) < 1e-9);
    assert!((at(99.0, 20.0) - 1.0).abs() < 1e-9);
    // A cross: no corner of either lies in the other.
    let bar = rectangle(300.0, 20.0).moved([-100.0, 40.0]);
    assert!(overlap(&a, &bar) > 9.0);
}

/// An outline of fewer points has the first inside, and lies close to it.
#[test]
fn fewer_points_lie_outside_and_close() {
    let points: Vec<[f64; 2]> = (0..400)
        .map(|i| {
            let t = measure::Angle::degrees(f64::from(i) * 0.9).in_radians();
            let r = 500.0 + 60.0 * measure::angle::sin(5.0 * t);
            [r * measure::angle::cos(t), r * measure::angle::sin(t)]
        })
        .collect();
    let full = outline(&points);
    let fewer = full.fewer(0.5);
    assert!(fewer.points().len() < 200, "{}", fewer.points().len());
    for p in full.points() {
        let dot = |d: f64| rectangle(d, d).moved([p[0] - d / 2.0, p[1] - d / 2.0]);
        assert!(overlap(&fewer, &dot(0.01)) > 0.0, "{p:?} lies outside");
    }
    assert!(fewer.area() >= full.area());
    assert!(fewer.area() - full.area() < 0.5 * 3500.0);
}

fn star(lengths: &[f64]) -> Option<Outline> {
    #[expect(clippy::cast_precision_loss, reason = "a few corners")]
    let points: Vec<[f64; 2]> = lengths
        .iter()
        .enumerate()
        .map(|(i, r)| {
            let t = std::f64::consts::TAU * i as f64 / lengths.len() as f64;
            [r * measure::angle::cos(t), r * measure::angle::sin(t)]
        })
        .collect();
    Outline::new(&points).ok()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    /// Would catch any lay that breaks its rules: random shapes, hollow ones too, every way of
    /// turning, judged by the true outlines.
    #[test]
    fn any_pieces_are_laid_without_overlap(
        shapes in prop::collection::vec(prop::collection::vec(20.0..150.0_f64, 3..14), 1..5),
        counts in prop::collection::vec(1_usize..4, 5),
        way in 0_usize..4,
        seed in 0_u64..1000,
    ) {
        let turns: [&[f64]; 3] = [&[0.0], &[0.0, 180.0], &[0.0, 90.0, 180.0, 270.0]];
        let kinds: Vec<Kind> = shapes
            .iter()
            .filter_map(|s| star(s))
            .zip(&counts)
            .zip(1..)
            .map(|((shape, &count), id)| {
                let mut kind = kind(id, shape, count, turns.get(way).copied().unwrap_or(&[0.0]));
                if way == 3 {
                    kind.turns = Turns::Any;
                }
                kind
            })
            .collect();
        prop_assume!(!kinds.is_empty());
        laid(&flat(330.0, kinds), 20_000, seed);
    }

    /// Would catch a lay that leaves the repeat, and a search that never ends: boards of every length with
    /// their match points anywhere.
    #[test]
    fn any_match_points_keep_the_repeat(
        boards in prop::collection::vec((40.0..400.0_f64, 60.0..330.0_f64, 0.0..400.0_f64, 1_usize..3, any::<bool>()), 1..6),
        repeat in 30.0..500.0_f64,
        both in any::<bool>(),
        seed in 0_u64..1000,
    ) {
        let turns: &[f64] = if both { &[0.0, 180.0] } else { &[0.0] };
        let kinds = boards.iter().zip(1..).map(|(&(w, h, at, count, keeps), id)| Kind {
            matched: keeps.then_some([at.min(w), h / 3.0]),
            ..kind(id, rectangle(w, h), count, turns)
        });
        let mut task = flat(330.0, kinds.collect());
        task.repeat = Some(repeat);
        laid(&task, 20_000, seed);
    }
}
