//! The standing body from the front, the back and the side.
//!
//! Heights are those of the survey's middle woman, in centimetres above the floor, barefoot; in
//! shoes the floor lies lower.

use super::Look;
use super::sketch::{Frame, Run, Sketch};
use super::strokes::{Place, across, mirrored, smooth, smooth_ring};
use super::tape::Ring;

/// How high the heel of the drawn shoes is.
pub(super) const HEEL: f64 = 7.0;
/// Heights of the body.
pub(super) const CROWN: f64 = 163.0;
pub(super) const NAPE: f64 = 140.6;
pub(super) const NECK_POINT: f64 = 139.5;
pub(super) const SHOULDER_BONE: f64 = 133.6;
pub(super) const NECK_PIT: f64 = 132.8;
pub(super) const ARMPIT: f64 = 123.0;
pub(super) const BUST: f64 = 117.2;
pub(super) const UNDERBUST: f64 = 110.0;
pub(super) const WAIST: f64 = 105.4;
pub(super) const GARMENT: f64 = 98.5;
pub(super) const HIGH_HIP: f64 = 96.0;
pub(super) const HIP: f64 = 83.6;
pub(super) const HIP_JOINT: f64 = 86.2;
pub(super) const CROTCH: f64 = 76.8;
pub(super) const SEAT_FOLD: f64 = 74.3;
pub(super) const KNEE: f64 = 45.8;
pub(super) const CALF: f64 = 31.5;
pub(super) const ANKLE: f64 = 10.5;
pub(super) const ANKLE_BONE: f64 = 6.1;

/// Which way she is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Seen {
    Front,
    Back,
}

/// What of her is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Much {
    /// From crown to floor.
    Whole,
    /// From the crown to the hips.
    Top,
    /// From above the waist to above the knees.
    Hips,
    /// From above the waist to the floor.
    Below,
    /// From above the knees to the floor.
    Legs,
}

const ARM_OUT: &[Place] = &[
    (5.0, 149.0),
    (4.9, 145.0),
    (5.2, 142.0),
    (6.0, 139.6),
    (8.8, 137.4),
    (13.0, 135.4),
    (17.0, 133.8),
    (20.0, 131.2),
    (21.4, 127.0),
    (22.2, 121.0),
    (23.3, 113.0),
    (25.0, 105.0),
    (27.0, 97.0),
    (28.9, 88.0),
    (30.0, 80.5),
    (31.2, 76.0),
    (31.6, 71.0),
    (30.9, 66.5),
    (29.7, 63.4),
    (28.5, 64.6),
    (28.1, 68.5),
    (27.5, 71.0),
    (26.6, 70.2),
    (26.0, 72.8),
    (26.3, 77.0),
    (26.6, 80.5),
    (25.0, 87.0),
    (22.4, 96.0),
    (20.2, 104.0),
    (18.4, 112.0),
    (16.7, 118.0),
    (15.2, ARMPIT),
];
const SHOULDER: &[Place] = &[
    (5.0, 149.0),
    (4.9, 145.0),
    (5.2, 142.0),
    (6.0, 139.6),
    (8.8, 137.4),
    (13.0, 135.4),
    (17.0, 133.8),
    (18.4, 132.4),
    (18.3, 129.5),
    (16.6, 126.0),
    (15.2, ARMPIT),
];
const FLANK: &[Place] = &[
    (15.2, ARMPIT),
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
    (17.2, 79.0),
    (16.7, 73.0),
    (15.8, 66.0),
    (14.4, 58.0),
    (12.9, 51.0),
    (12.1, KNEE),
    (11.9, 41.0),
    (12.4, 36.0),
    (12.2, CALF),
    (11.0, 24.0),
    (9.2, 16.0),
    (8.3, ANKLE),
    (8.6, ANKLE_BONE),
];
const INNER: &[Place] = &[
    (3.4, ANKLE_BONE),
    (3.4, ANKLE),
    (2.9, 16.0),
    (2.0, 24.0),
    (1.1, CALF),
    (1.2, 38.0),
    (1.0, KNEE),
    (0.9, 52.0),
    (0.6, 60.0),
    (0.35, 68.0),
    (0.0, CROTCH),
];

/// Half the width of her from the front at a height, arms left out.
pub(super) fn half(height: f64) -> f64 {
    across(&smooth(FLANK), height).unwrap_or(15.0)
}

/// One leg from its inner to its outer side at a height, from the front.
pub(super) fn leg(height: f64) -> (f64, f64) {
    (across(&smooth(INNER), height).unwrap_or(0.0), half(height))
}

/// The middle of one leg from the front.
pub(super) fn mid_leg(height: f64) -> f64 {
    let (inner, outer) = leg(height);
    f64::midpoint(inner, outer)
}

fn foot(seen: Seen, shoes: bool) -> &'static [Place] {
    match (seen, shoes) {
        (Seen::Front, false) => &[
            (8.6, ANKLE_BONE),
            (9.4, 3.2),
            (10.4, 1.2),
            (9.4, 0.1),
            (6.6, 0.0),
            (4.2, 0.2),
            (3.2, 1.6),
            (3.1, 4.0),
            (3.4, ANKLE_BONE),
        ],
        (Seen::Front, true) => &[
            (8.6, ANKLE_BONE),
            (9.1, 2.0),
            (9.5, -2.0),
            (8.8, -5.4),
            (6.7, -HEEL),
            (4.5, -6.0),
            (3.2, -2.5),
            (3.0, 2.0),
            (3.4, ANKLE_BONE),
        ],
        (Seen::Back, false) => &[
            (8.6, ANKLE_BONE),
            (8.7, 3.0),
            (8.2, 0.6),
            (6.2, 0.0),
            (4.2, 0.6),
            (3.6, 3.0),
            (3.4, ANKLE_BONE),
        ],
        (Seen::Back, true) => &[
            (8.6, ANKLE_BONE),
            (8.6, 3.0),
            (8.0, 0.0),
            (7.1, -3.5),
            (7.0, -HEEL),
            (5.4, -HEEL),
            (5.3, -3.5),
            (4.4, 0.0),
            (3.7, 3.0),
            (3.4, ANKLE_BONE),
        ],
    }
}

/// The ground she stands on.
pub(super) fn ground(shoes: bool) -> f64 {
    if shoes { -HEEL } else { 0.0 }
}

fn frame(much: Much, half_width: f64, shoes: bool) -> (Frame, f64) {
    let floor = ground(shoes) - 1.5;
    let (top, low, high) = match much {
        Much::Whole => (CROWN + 1.0, floor, 290.0),
        Much::Top => (CROWN + 1.0, 92.0, 190.0),
        Much::Hips => (113.0, 62.0, 190.0),
        Much::Below => (113.0, floor, 280.0),
        Much::Legs => (62.0, floor, 210.0),
    };
    let frame = Frame {
        left: -half_width,
        right: half_width,
        top,
        low,
    };
    (frame, high)
}

/// She stands and is seen from the front or the back.
pub(super) fn standing(seen: Seen, much: Much, shoes: bool) -> Sketch {
    let arms = matches!(much, Much::Whole);
    let half_width = match much {
        Much::Whole => 32.5,
        Much::Top => 24.5,
        Much::Hips => 21.0,
        Much::Below => 20.0,
        Much::Legs => 15.0,
    };
    let (frame, high) = frame(much, half_width, shoes);
    let mut sketch = Sketch::new(frame, high);
    let upper = smooth(if arms || much == Much::Top {
        ARM_OUT
    } else {
        SHOULDER
    });
    let right = [
        upper,
        smooth(FLANK),
        smooth(foot(seen, shoes)),
        smooth(INNER),
    ];
    let mut runs: Vec<Run> = Vec::new();
    for chain in &right {
        runs.push(Run {
            chain: chain.clone(),
            drawn: true,
        });
    }
    for chain in right.iter().rev() {
        let mut other = mirrored(chain);
        other.reverse();
        runs.push(Run {
            chain: other,
            drawn: true,
        });
    }
    sketch.flesh(&runs);
    features(&mut sketch, seen, shoes);
    if much == Much::Whole || much == Much::Below || much == Much::Legs {
        let h = ground(shoes);
        sketch.line(Look::Thin, &[(-half_width, h), (half_width, h)]);
    }
    sketch
}

fn features(sketch: &mut Sketch, seen: Seen, shoes: bool) {
    match seen {
        Seen::Front => {
            sketch.both(Look::Thin, &[(1.8, 132.4), (6.0, 133.6), (12.5, 134.0)]);
            sketch.both(
                Look::Thin,
                &[(13.2, 114.6), (10.6, 111.9), (7.0, 111.4), (3.6, 113.4)],
            );
            sketch.curve(Look::Thin, &[(0.0, 98.9), (0.0, 97.5)]);
            sketch.both(Look::Thin, &[(4.0, 48.4), (6.5, 49.2), (9.0, 48.4)]);
            sketch.both(Look::Thin, &[(4.4, 43.2), (6.5, 42.2), (8.6, 43.2)]);
            if shoes {
                sketch.both(
                    Look::Thin,
                    &[(3.3, -1.6), (5.0, -3.4), (8.0, -3.4), (9.3, -1.4)],
                );
            }
        }
        Seen::Back => {
            sketch.curve(Look::Thin, &[(0.0, 133.0), (0.0, 112.0)]);
            sketch.both(Look::Thin, &[(5.2, 129.5), (6.0, 124.5), (9.8, 121.8)]);
            sketch.curve(Look::Thin, &[(0.0, 90.5), (0.0, 78.0)]);
            sketch.both(Look::Thin, &[(1.2, 75.0), (4.0, SEAT_FOLD), (8.2, 75.2)]);
            sketch.both(Look::Thin, &[(3.4, 45.2), (6.5, 44.8), (9.6, 45.2)]);
            if shoes {
                sketch.both(Look::Thin, &[(3.7, 2.8), (6.2, 2.2), (8.5, 2.8)]);
            }
        }
    }
    let head = smooth_ring(&[
        (0.0, CROWN),
        (5.2, 161.0),
        (7.3, 155.5),
        (6.9, 150.0),
        (5.0, 145.2),
        (2.4, 142.6),
        (0.0, 142.0),
        (-2.4, 142.6),
        (-5.0, 145.2),
        (-6.9, 150.0),
        (-7.3, 155.5),
        (-5.2, 161.0),
    ]);
    match seen {
        Seen::Front => {
            closed_flesh(sketch, &head);
            sketch.curve(
                Look::Thin,
                &[(0.0, 162.8), (-1.0, 159.6), (-4.6, 156.6), (-7.1, 153.0)],
            );
            sketch.curve(
                Look::Thin,
                &[(-0.6, 161.0), (3.0, 158.6), (5.8, 156.0), (7.1, 153.0)],
            );
        }
        Seen::Back => {
            // From behind the nape shows under the hair.
            let hair = smooth_ring(&[
                (0.0, CROWN),
                (5.2, 161.0),
                (7.3, 155.5),
                (6.8, 150.0),
                (4.4, 147.2),
                (0.0, 146.6),
                (-4.4, 147.2),
                (-6.8, 150.0),
                (-7.3, 155.5),
                (-5.2, 161.0),
            ]);
            closed_flesh(sketch, &hair);
            let knot: Vec<Place> = Ring {
                middle: (0.0, 153.0),
                half_width: 3.6,
                near: 3.3,
                far: 3.3,
                tilt: 0.0,
            }
            .part(0.0, 1.0);
            sketch.line(Look::Thin, &knot);
            sketch.curve(Look::Thin, &[(-1.8, 155.0), (0.4, 152.8), (-0.6, 150.4)]);
        }
    }
}

/// A closed shape with its outline.
pub(super) fn closed_flesh(sketch: &mut Sketch, ring: &[Place]) {
    let mut chain = ring.to_vec();
    chain.extend(ring.first());
    sketch.flesh(&[Run { chain, drawn: true }]);
}

/// The outline of her front from the side, facing right.
pub(super) const FRONT: &[Place] = &[
    (4.4, 144.0),
    (4.0, 139.5),
    (4.3, 135.8),
    (5.0, NECK_PIT),
    (7.2, 128.0),
    (10.2, 122.5),
    (12.3, 118.8),
    (12.6, 116.3),
    (11.4, 113.0),
    (9.6, UNDERBUST),
    (8.4, 107.4),
    (8.0, WAIST),
    (8.5, 101.0),
    (9.4, 96.0),
    (9.6, 91.5),
    (9.2, 87.0),
    (8.8, HIP),
    (8.9, 77.0),
    (9.0, 70.0),
    (8.5, 62.0),
    (7.5, 54.0),
    (6.8, 49.0),
    (6.6, KNEE),
    (5.7, 42.5),
    (4.7, 38.0),
    (3.7, 30.0),
    (2.9, 20.0),
    (2.7, 12.0),
    (3.0, 8.5),
];
/// The outline of her back from the side.
pub(super) const BACK: &[Place] = &[
    (-5.2, 146.0),
    (-4.8, 141.6),
    (-5.4, 138.5),
    (-7.6, 134.0),
    (-9.6, 128.5),
    (-10.3, 123.0),
    (-9.8, 117.0),
    (-8.3, 111.0),
    (-7.1, 107.0),
    (-6.9, 104.6),
    (-7.8, 99.5),
    (-10.0, 93.5),
    (-12.0, 88.0),
    (-12.7, HIP),
    (-12.1, 79.5),
    (-10.2, 75.6),
    (-9.0, 73.0),
    (-8.7, 69.0),
    (-8.1, 62.0),
    (-6.7, 54.0),
    (-5.4, 48.0),
    (-5.0, 45.0),
    (-5.7, 41.0),
    (-7.0, 36.0),
    (-7.4, CALF),
    (-6.6, 25.0),
    (-5.0, 17.0),
    (-4.2, 11.0),
    (-4.2, 7.0),
];
/// The bare foot from the side, from the heel forward and back up.
pub(super) const BARE: &[Place] = &[
    (-4.2, 7.0),
    (-5.0, 4.0),
    (-5.3, 1.8),
    (-4.2, 0.05),
    (4.0, 0.0),
    (14.0, 0.0),
    (18.0, 0.1),
    (19.0, 1.3),
    (17.4, 2.7),
    (12.0, 4.3),
    (6.5, 6.3),
    (3.0, 8.5),
];

/// From back to front at a height, from the side.
pub(super) fn depth(height: f64) -> (f64, f64) {
    (
        across(&smooth(BACK), height).unwrap_or(-8.0),
        across(&smooth(FRONT), height).unwrap_or(8.0),
    )
}

/// The runs of a shoe with a heel, from the ankle at the back round to the instep.
pub(super) fn shoe() -> [Run; 3] {
    [
        Run::smooth(&[
            (-4.2, 7.0),
            (-5.0, 4.4),
            (-5.4, 1.6),
            (-4.9, -2.0),
            (-4.4, -HEEL),
        ]),
        Run::smooth(&[
            (-4.4, -HEEL),
            (-3.2, -HEEL),
            (-2.9, -3.6),
            (-1.2, -1.8),
            (3.0, -3.2),
            (7.4, -5.6),
            (11.0, -6.9),
            (17.6, -HEEL),
        ]),
        Run::smooth(&[
            (17.6, -HEEL),
            (19.4, -6.4),
            (17.6, -4.6),
            (12.4, -1.6),
            (7.2, 3.2),
            (3.0, 8.5),
        ]),
    ]
}

/// Where the foot goes into the shoe.
pub(super) const SHOE_EDGE: &[Place] = &[
    (-5.1, 3.4),
    (-1.5, 0.6),
    (4.0, -2.6),
    (9.0, -3.8),
    (12.4, -1.6),
];

/// She stands and is seen from the side, facing right; the arm is left out.
pub(super) fn side(much: Much, shoes: bool) -> Sketch {
    let (mut frame, high) = frame(much, 20.0, shoes);
    frame.left = -17.0;
    let mut sketch = Sketch::new(frame, high);
    stood(&mut sketch, shoes);
    if much != Much::Top && much != Much::Hips {
        let h = ground(shoes);
        sketch.line(Look::Thin, &[(frame.left, h), (frame.right, h)]);
    }
    sketch
}

/// Draws her from the side into a frame that is there.
pub(super) fn stood(sketch: &mut Sketch, shoes: bool) {
    let mut runs = vec![Run::smooth(BACK)];
    if shoes {
        runs.extend(shoe());
    } else {
        runs.push(Run::smooth(BARE));
    }
    let mut front = smooth(FRONT);
    front.reverse();
    runs.push(Run {
        chain: front,
        drawn: true,
    });
    sketch.flesh(&runs);
    if shoes {
        sketch.curve(Look::Thin, SHOE_EDGE);
    }
    armhole(sketch);
    head(sketch, (0.0, 0.0));
}

fn armhole(sketch: &mut Sketch) {
    let hole = Ring {
        middle: (-0.3, 128.3),
        half_width: 4.2,
        near: 5.4,
        far: 5.3,
        tilt: 0.0,
    };
    sketch.line(Look::Thin, &hole.part(0.0, 1.0));
    sketch.line(
        Look::Thin,
        &[(0.4, NECK_POINT - 0.4), (-0.2, SHOULDER_BONE)],
    );
}

/// The head from the side.
pub(super) fn head(sketch: &mut Sketch, (dx, dh): Place) {
    let moved =
        |places: &[Place]| -> Vec<Place> { places.iter().map(|(x, h)| (x + dx, h + dh)).collect() };
    let knot = Ring {
        middle: (-9.0 + dx, 155.0 + dh),
        half_width: 3.2,
        near: 3.0,
        far: 3.0,
        tilt: 0.0,
    };
    closed_flesh(sketch, &knot.part(0.0, 1.0));
    closed_flesh(
        sketch,
        &smooth_ring(&moved(&[
            (0.5, CROWN),
            (5.4, 161.3),
            (8.2, 157.0),
            (8.5, 152.0),
            (8.0, 147.3),
            (6.8, 143.6),
            (4.8, 142.3),
            (2.0, 143.6),
            (-2.5, 145.4),
            (-6.3, 147.8),
            (-8.3, 152.0),
            (-8.0, 157.0),
            (-5.0, 161.4),
        ])),
    );
    sketch.curve(
        Look::Thin,
        &moved(&[
            (6.6, 159.8),
            (3.6, 156.4),
            (0.8, 151.6),
            (-2.6, 149.2),
            (-6.4, 148.4),
        ]),
    );
}

/// The tape that is tied round her waist.
pub(super) fn waist_tape(sketch: &mut Sketch, from_side: bool) {
    let ring = if from_side {
        let (back, front) = depth(WAIST);
        Ring::level(back - 0.3, front + 0.3, WAIST)
    } else {
        Ring::level(-half(WAIST) - 0.3, half(WAIST) + 0.3, WAIST)
    };
    sketch.tied(&ring);
}
