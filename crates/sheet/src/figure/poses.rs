//! She sits, steps, climbs, bends an arm or stands with a train.

use super::Look;
use super::body::{BARE, CROWN, HEEL, HIP, NECK_POINT, WAIST, closed_flesh, head, stood};
use super::sketch::{Frame, Run, Sketch};
use super::strokes::{Place, smooth, smooth_ring};

/// The height of the seat of her chair.
pub(super) const SEAT: f64 = 39.0;
/// How much lower everything above the waist is when she sits.
pub(super) const SUNK: f64 = 38.4;

/// The outline of a limb that runs through places, each with its half width.
fn limb(through: &[(Place, f64)]) -> (Vec<Place>, Vec<Place>) {
    let n = through.len();
    let mut left = Vec::new();
    let mut right = Vec::new();
    for i in 0..n {
        let (a, b) = (
            through[i.saturating_sub(1)].0,
            through[(i + 1).min(n - 1)].0,
        );
        let (dx, dh) = (b.0 - a.0, b.1 - a.1);
        let size = (dx * dx + dh * dh).sqrt().max(1e-9);
        let ((x, h), half) = through[i];
        left.push((x - dh / size * half, h + dx / size * half));
        right.push((x + dh / size * half, h - dx / size * half));
    }
    (left, right)
}

fn draw_limb(sketch: &mut Sketch, through: &[(Place, f64)], end: &[Place]) {
    let (left, mut right) = limb(through);
    right.reverse();
    let mut tip: Vec<Place> = left.last().copied().into_iter().collect();
    tip.extend(end);
    tip.extend(right.first());
    let mut runs = vec![Run::smooth(&left)];
    runs.push(if end.is_empty() {
        Run::open(&tip)
    } else {
        Run::smooth(&tip)
    });
    runs.push(Run::smooth(&right));
    sketch.flesh(&runs);
}

/// She sits on a stool, from the side; the whole of her, or from the waist down.
pub(super) fn seated(whole: bool) -> Sketch {
    let top = if whole {
        CROWN - SUNK + 1.0
    } else {
        WAIST - SUNK + 9.0
    };
    let frame = Frame {
        left: -19.0,
        right: 58.0,
        top,
        low: -1.5,
    };
    let mut sketch = Sketch::new(frame, 230.0);
    // The stool: a board on legs.
    sketch.line(Look::Thin, &[(-15.0, SEAT), (27.0, SEAT)]);
    sketch.line(
        Look::Thin,
        &[
            (-15.0, SEAT),
            (-15.0, SEAT - 3.0),
            (27.0, SEAT - 3.0),
            (27.0, SEAT),
        ],
    );
    for x in [-12.0, -9.5, 21.5, 24.0] {
        sketch.line(Look::Thin, &[(x, SEAT - 3.0), (x, 0.0)]);
    }
    sketch.line(Look::Thin, &[(-19.0, 0.0), (58.0, 0.0)]);
    let back: Vec<Place> = super::body::BACK
        .iter()
        .filter(|p| p.1 > 103.0)
        .map(|(x, h)| (*x, h - SUNK))
        .chain([
            (-8.0, 61.5),
            (-10.6, 55.5),
            (-12.6, 49.5),
            (-12.8, 44.0),
            (-11.0, 40.4),
            (-7.5, 39.1),
        ])
        .collect();
    let front: Vec<Place> = super::body::FRONT
        .iter()
        .filter(|p| p.1 > 104.0)
        .map(|(x, h)| (*x, h - SUNK))
        .chain([(9.2, 62.5), (11.2, 58.6), (12.0, 55.6)])
        .collect();
    let under: &[Place] = &[
        (-7.5, 39.1),
        (6.0, SEAT),
        (20.0, SEAT),
        (30.0, 39.2),
        (35.5, 39.6),
        (36.6, 38.0),
    ];
    let calf: &[Place] = &[
        (36.6, 38.0),
        (35.6, 33.5),
        (35.7, 28.0),
        (37.4, 20.0),
        (38.9, 12.0),
        (39.2, 7.0),
    ];
    let lap: &[Place] = &[
        (42.0 + 4.3, 8.5),
        (46.0, 12.0),
        (46.2, 22.0),
        (47.0, 32.0),
        (48.2, 38.0),
        (49.3, 43.0),
        (49.3, 47.5),
        (47.0, 51.0),
        (43.0, 52.2),
        (36.0, 53.0),
        (26.0, 54.2),
        (18.0, 55.0),
        (12.0, 55.6),
    ];
    let foot: Vec<Place> = BARE.iter().map(|(x, h)| (x + 43.3, *h)).collect();
    let mut up = smooth(&front);
    up.reverse();
    sketch.flesh(&[
        Run::smooth(&back),
        Run::smooth(under),
        Run::smooth(calf),
        Run::smooth(&foot),
        Run::smooth(lap),
        Run {
            chain: up,
            drawn: true,
        },
    ]);
    sketch.curve(Look::Thin, &[(12.0, 55.6), (9.6, 53.6), (6.8, 52.6)]);
    if whole {
        let hole = super::tape::Ring {
            middle: (-0.3, 128.3 - SUNK),
            half_width: 4.2,
            near: 5.4,
            far: 5.3,
            tilt: 0.0,
        };
        sketch.line(Look::Thin, &hole.part(0.0, 1.0));
        sketch.line(
            Look::Thin,
            &[(0.4, NECK_POINT - 0.4 - SUNK), (-0.2, 133.6 - SUNK)],
        );
        head(&mut sketch, (0.0, -SUNK));
    }
    sketch
}

/// A bare foot under an ankle: from the back of it round to the front.
fn foot_at((x, h): Place) -> Vec<Place> {
    BARE.iter()
        .skip(1)
        .take(BARE.len() - 2)
        .map(|p| (p.0 + x, p.1 + h))
        .collect()
}

fn trunk(sketch: &mut Sketch) {
    let back: Vec<Place> = super::body::BACK
        .iter()
        .filter(|p| p.1 > 79.0)
        .copied()
        .collect();
    let mut front: Vec<Place> = super::body::FRONT
        .iter()
        .filter(|p| p.1 > 83.0)
        .copied()
        .collect();
    front.reverse();
    let (a, b) = (back.last().copied(), front.first().copied());
    let base: Vec<Place> = a
        .into_iter()
        .chain([(-6.0, 78.0), (3.0, 79.0)])
        .chain(b)
        .collect();
    sketch.flesh(&[Run::smooth(&back), Run::open(&base), Run::smooth(&front)]);
}

/// She takes a long step, from the side.
pub(super) fn stepping() -> Sketch {
    let frame = Frame {
        left: -36.0,
        right: 42.0,
        top: 113.0,
        low: -7.0,
    };
    let mut sketch = Sketch::new(frame, 210.0);
    sketch.line(Look::Thin, &[(-36.0, 0.0), (42.0, 0.0)]);
    let far: &[(Place, f64)] = &[
        ((-2.0, 86.0), 9.5),
        ((-5.0, 72.0), 8.6),
        ((-9.5, 58.0), 6.9),
        ((-13.4, 46.0), 5.7),
        ((-18.4, 32.0), 5.4),
        ((-22.4, 18.0), 3.8),
        ((-24.4, 9.0), 3.5),
    ];
    draw_limb(&mut sketch, far, &foot_at((-23.8, 0.0)));
    let near: &[(Place, f64)] = &[
        ((-1.4, 86.0), 10.0),
        ((2.4, 72.0), 8.8),
        ((7.4, 58.0), 7.0),
        ((11.0, 46.0), 5.8),
        ((13.2, 32.0), 5.5),
        ((16.6, 18.0), 3.8),
        ((18.4, 9.0), 3.5),
    ];
    draw_limb(&mut sketch, near, &foot_at((19.0, 0.0)));
    trunk(&mut sketch);
    sketch
}

/// She climbs a stair, from the side; gives the height of the stair.
pub(super) fn climbing() -> (Sketch, f64) {
    const RISE: f64 = 19.0;
    let frame = Frame {
        left: -22.0,
        right: 56.0,
        top: 113.0,
        low: -1.5,
    };
    let mut sketch = Sketch::new(frame, 210.0);
    sketch.line(
        Look::Thin,
        &[(-22.0, 0.0), (22.0, 0.0), (22.0, RISE), (56.0, RISE)],
    );
    let near: &[(Place, f64)] = &[
        ((-1.0, 85.0), 10.0),
        ((8.0, 74.0), 9.0),
        ((19.0, 68.0), 7.4),
        ((28.0, 63.0), 6.2),
        ((30.0, 56.0), 5.6),
        ((28.6, 46.0), 5.5),
        ((27.6, 36.0), 3.8),
        ((27.8, 28.0), 3.5),
    ];
    let far: &[(Place, f64)] = &[
        ((-2.0, 86.0), 9.6),
        ((-0.6, 72.0), 8.6),
        ((0.4, 58.0), 7.0),
        ((0.8, 46.0), 5.8),
        ((-1.2, 32.0), 5.4),
        ((-1.0, 18.0), 3.8),
        ((-0.6, 9.0), 3.5),
    ];
    draw_limb(&mut sketch, far, &foot_at((0.0, 0.0)));
    draw_limb(&mut sketch, near, &foot_at((28.4, RISE)));
    trunk(&mut sketch);
    (sketch, RISE)
}

/// Where the bent arm has its shoulder bone, elbow and wrist, on the outside.
pub(super) const BENT_OUT: &[Place] = &[
    (17.2, 134.2),
    (20.8, 131.0),
    (22.8, 126.0),
    (26.4, 118.0),
    (31.4, 109.0),
    (34.0, 103.6),
    (34.2, 100.6),
    (32.4, 97.0),
    (28.6, 92.2),
    (24.4, 88.0),
];

fn bust_and_collar(sketch: &mut Sketch) {
    sketch.both(Look::Thin, &[(1.8, 132.4), (6.0, 133.6), (12.5, 134.0)]);
    sketch.both(
        Look::Thin,
        &[(13.2, 114.6), (10.6, 111.9), (7.0, 111.4), (3.6, 113.4)],
    );
}

fn half_body(sketch: &mut Sketch) {
    let right: &[Place] = &[
        (15.2, 123.0),
        (14.9, 119.8),
        (14.6, 116.8),
        (13.7, 112.8),
        (12.5, 108.8),
        (12.0, WAIST),
        (12.4, 102.0),
        (13.6, 98.0),
        (15.2, 93.0),
        (16.6, 88.0),
        (17.2, HIP),
    ];
    let shoulder: &[Place] = &[
        (5.2, 146.0),
        (5.2, 142.0),
        (6.0, 139.6),
        (8.8, 137.4),
        (13.0, 135.4),
        (17.0, 133.8),
    ];
    let mut top = smooth(shoulder);
    let mut other = super::strokes::mirrored(&top);
    other.reverse();
    let mut runs = vec![Run {
        chain: other,
        drawn: true,
    }];
    runs.push(Run {
        chain: std::mem::take(&mut top),
        drawn: true,
    });
    runs.push(Run::open(&[(17.0, 133.8), (15.2, 123.0)]));
    runs.push(Run::smooth(right));
    runs.push(Run::open(&[(17.2, HIP), (-17.2, HIP)]));
    let mut left = super::strokes::mirrored(&smooth(right));
    left.reverse();
    runs.push(Run {
        chain: left,
        drawn: true,
    });
    sketch.flesh(&runs);
    bust_and_collar(sketch);
}

/// Her left arm bent, the hand on the hip, from the front.
pub(super) fn arm_bent() -> Sketch {
    let frame = Frame {
        left: -9.0,
        right: 36.0,
        top: 145.0,
        low: 83.0,
    };
    let mut sketch = Sketch::new(frame, 190.0);
    half_body(&mut sketch);
    let inner: &[Place] = &[
        (20.4, 89.4),
        (24.4, 92.6),
        (26.6, 96.4),
        (26.4, 100.4),
        (23.8, 106.0),
        (20.6, 112.6),
        (17.8, 118.4),
        (15.2, 123.0),
    ];
    let hand: &[Place] = &[
        (24.4, 88.0),
        (22.4, 87.0),
        (20.0, 85.2),
        (17.0, 86.0),
        (14.4, 88.2),
        (14.2, 90.2),
        (16.6, 89.8),
        (18.4, 89.2),
        (20.4, 89.4),
    ];
    // The forearm's lower side is the outside of the bend; its inner side faces the waist.
    let out = smooth(BENT_OUT);
    sketch.flesh(&[
        Run {
            chain: out,
            drawn: true,
        },
        Run::smooth(hand),
        Run::smooth(inner),
        Run::open(&[(15.2, 123.0), (13.6, 128.0), (17.2, 134.2)]),
    ]);
    sketch
}

/// The stretched arm's inner side, from the underarm to the wrist.
pub(super) const STRETCHED_IN: (Place, Place) = ((17.0, 121.6), (47.2, 93.4));

/// Her left arm stretched out and down, from the front.
pub(super) fn arm_out() -> Sketch {
    let frame = Frame {
        left: -9.0,
        right: 63.0,
        top: 144.0,
        low: 74.0,
    };
    let mut sketch = Sketch::new(frame, 190.0);
    half_body(&mut sketch);
    let out: &[Place] = &[
        (17.2, 134.2),
        (21.2, 132.6),
        (25.4, 129.0),
        (32.0, 121.6),
        (38.6, 114.6),
        (44.6, 106.6),
        (51.6, 97.6),
    ];
    let hand: &[Place] = &[
        (51.6, 97.6),
        (55.6, 95.0),
        (59.4, 90.6),
        (62.0, 86.0),
        (60.4, 84.4),
        (56.4, 86.6),
        (53.4, 88.0),
        (51.6, 88.6),
        (49.6, 91.0),
        (48.6, 93.2),
    ];
    let inner: &[Place] = &[
        (48.6, 93.2),
        (40.8, 100.6),
        (33.8, 106.8),
        (27.4, 112.8),
        (21.0, 118.4),
        (15.2, 122.0),
    ];
    sketch.flesh(&[
        Run::smooth(out),
        Run::smooth(hand),
        Run::smooth(inner),
        Run::open(&[(15.2, 122.0), (13.6, 128.0), (17.2, 134.2)]),
    ]);
    sketch
}

/// She stands in a gown with a train, from the side.
pub(super) fn with_train() -> Sketch {
    let frame = Frame {
        left: -74.0,
        right: 22.0,
        top: 120.0,
        low: -13.0,
    };
    let mut sketch = Sketch::new(frame, 220.0);
    stood(&mut sketch, true);
    sketch.line(Look::Thin, &[(-74.0, -HEEL), (22.0, -HEEL)]);
    sketch.curve(
        Look::Skin,
        &[
            (-7.2, WAIST),
            (-11.0, 94.0),
            (-14.0, 82.0),
            (-17.0, 60.0),
            (-23.0, 32.0),
            (-36.0, 8.0),
            (-52.0, -3.4),
            (-70.0, -6.4),
        ],
    );
    sketch.curve(
        Look::Skin,
        &[
            (8.3, WAIST),
            (10.4, 92.0),
            (11.6, 70.0),
            (13.6, 40.0),
            (16.6, 12.0),
            (19.6, -5.6),
        ],
    );
    sketch
}

/// A foot in a shoe, from the side, with the leg above it.
pub(super) fn shod() -> Sketch {
    let frame = Frame {
        left: -14.0,
        right: 21.0,
        top: 24.0,
        low: -8.5,
    };
    let mut sketch = Sketch::new(frame, 160.0);
    stood(&mut sketch, true);
    sketch.line(Look::Thin, &[(-14.0, -HEEL), (21.0, -HEEL)]);
    sketch
}

/// A pad over the hip at both sides.
pub(super) fn hip_pads(sketch: &mut Sketch) {
    let pad: &[Place] = &[
        (14.4, 95.0),
        (18.0, 91.0),
        (19.6, 85.0),
        (19.4, 79.0),
        (17.2, 74.0),
        (16.9, 79.0),
        (17.0, 84.0),
        (16.4, 89.0),
    ];
    let ring = smooth_ring(pad);
    closed_flesh(sketch, &ring);
    closed_flesh(sketch, &super::strokes::mirrored(&ring));
}
