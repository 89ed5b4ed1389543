//! Measures that run along the body, across it, or to the floor.

use super::Look;
use super::body::{
    ANKLE_BONE, ARMPIT, BUST, CALF, CROTCH, CROWN, GARMENT, HEEL, HIP, HIP_JOINT, KNEE, Much, NAPE,
    NECK_PIT, NECK_POINT, SEAT_FOLD, SHOULDER_BONE, Seen, UNDERBUST, WAIST, depth, half, mid_leg,
    side, standing, waist_tape,
};
use super::poses::{
    BENT_OUT, SEAT, STRETCHED_IN, SUNK, arm_bent, arm_out, climbing, seated, shod, stepping,
    with_train,
};
use super::sketch::{Frame, Sketch};
use super::strokes::Place;
use super::tape::Ring;

/// Across from the middle to a bust point.
const APEX: f64 = 9.1;
/// The seat and belly where a tape passes over them, from the side.
const OVER_SEAT: f64 = -13.6;

/// The figure of a length, a width, an angle or a wish.
pub(super) fn drawn(name: &str) -> Option<Sketch> {
    upper(name)
        .or_else(|| lower(name))
        .or_else(|| floor(name))
        .or_else(|| wishes(name))
}

/// Over the waist tape from the side, at the middle of her side.
fn from_waist(much: Much, shoes: bool) -> Sketch {
    let mut s = side(much, shoes);
    waist_tape(&mut s, true);
    s.name((depth(WAIST).1, WAIST), "tied tape");
    s
}

fn level(s: &mut Sketch, height: f64, word: &'static str) {
    let (back, front) = depth(height);
    s.level(&Ring::level(back, front, height));
    s.name((front, height), word);
}

fn lower(name: &str) -> Option<Sketch> {
    let at_side = |to: f64, much: Much, word: &'static str| {
        let mut s = from_waist(much, false);
        level(&mut s, to, word);
        s.straight((0.0, WAIST), (0.0, to));
        s
    };
    Some(match name {
        "garment waist drop" => at_side(GARMENT, Much::Hips, "garment top"),
        "waist to hip" => at_side(HIP, Much::Hips, "hip level"),
        "waist to knee" => at_side(KNEE, Much::Below, "mid kneecap"),
        "waist to ankle" => {
            let mut s = from_waist(Much::Below, false);
            s.straight((-0.6, WAIST), (-0.6, ANKLE_BONE));
            s.name((-0.6, ANKLE_BONE), "ankle bone");
            s
        }
        "hip to knee" => {
            let mut s = side(Much::Below, false);
            level(&mut s, HIP, "hip level");
            level(&mut s, KNEE, "mid kneecap");
            s.straight((0.0, HIP), (0.0, KNEE));
            s
        }
        "front waist to hip" => {
            let mut s = from_waist(Much::Hips, false);
            level(&mut s, HIP, "hip level");
            s.tape(&[
                (9.1, WAIST),
                (9.6, 101.0),
                (10.5, 96.0),
                (10.7, 91.5),
                (10.3, 87.0),
                (9.9, HIP),
            ]);
            s
        }
        "back waist to hip" => {
            let mut s = from_waist(Much::Hips, false);
            level(&mut s, HIP, "hip level");
            s.tape(&[
                (-7.9, WAIST),
                (-8.7, 100.0),
                (-11.0, 93.5),
                (-13.0, 88.0),
                (-13.8, HIP),
            ]);
            s
        }
        "front waist to knee" => {
            let mut s = standing(Seen::Front, Much::Below, false);
            waist_tape(&mut s, false);
            s.name((half(WAIST), WAIST), "tied tape");
            s.tape(&[
                (5.8, WAIST - 0.9),
                (6.3, 90.0),
                (6.5, 70.0),
                (mid_leg(KNEE), KNEE),
            ]);
            s.name((mid_leg(KNEE), KNEE), "mid kneecap");
            s
        }
        "back waist to knee" => {
            let mut s = from_waist(Much::Below, false);
            s.tape(&[
                (-7.9, WAIST),
                (-8.7, 100.0),
                (-11.0, 93.5),
                (-13.0, 88.0),
                (OVER_SEAT, HIP),
                (-13.1, 79.0),
                (-11.6, 72.0),
                (-9.2, 60.0),
                (-6.8, 50.0),
                (-6.0, KNEE - 0.6),
            ]);
            s.name((-5.2, KNEE - 0.6), "knee crease");
            s
        }
        "crotch length" => {
            let mut s = from_waist(Much::Hips, false);
            s.tape(&[
                (9.1, WAIST),
                (9.6, 101.0),
                (10.5, 96.0),
                (10.6, 91.5),
                (9.9, 87.0),
                (8.6, 82.6),
            ]);
            s.curve(
                Look::Far,
                &[
                    (8.6, 82.6),
                    (5.6, 78.4),
                    (1.0, 76.2),
                    (-4.0, 76.6),
                    (-8.4, 77.6),
                    (-11.4, 79.2),
                ],
            );
            s.tape(&[
                (-12.4, 79.2),
                (-13.7, 83.0),
                (-13.0, 88.0),
                (-11.0, 93.5),
                (-8.8, 99.6),
                (-7.9, WAIST),
            ]);
            s.name((1.0, 76.2), "between|the legs");
            s
        }
        "body rise" => {
            let mut s = seated(true);
            let (back, front) = depth(WAIST);
            let h = WAIST - SUNK;
            s.tied(&Ring::level(back - 0.3, front + 0.3, h));
            s.straight((0.0, h), (0.0, SEAT));
            s.name((front, h), "tied tape");
            s.name((26.0, SEAT - 1.5), "hard seat");
            s
        }
        _ => return None,
    })
}

fn upper(name: &str) -> Option<Sketch> {
    let front = || standing(Seen::Front, Much::Top, false);
    let back = || standing(Seen::Back, Much::Top, false);
    let tied = |mut s: Sketch| {
        waist_tape(&mut s, false);
        s.name((half(WAIST), WAIST), "tied tape");
        s
    };
    let neck: Place = (6.2, NECK_POINT);
    let bone: Place = (17.6, SHOULDER_BONE);
    Some(match name {
        "bust span" => {
            let mut s = front();
            s.straight((-APEX, BUST), (APEX, BUST));
            s.name((APEX, BUST), "bust point");
            s
        }
        "shoulder to bust" => {
            let mut s = front();
            s.tape(&[neck, (7.4, 130.0), (APEX, BUST)]);
            s.name(neck, "neck point");
            s.name((APEX, BUST), "bust point");
            s
        }
        "shoulder to underbust" => {
            let mut s = front();
            s.tape(&[neck, (7.4, 130.0), (APEX, BUST), (APEX, UNDERBUST + 0.6)]);
            s.name(neck, "neck point");
            s.name((APEX, UNDERBUST + 0.6), "under bust");
            s
        }
        "shoulder to waist" => {
            let mut s = tied(front());
            s.tape(&[
                neck,
                (7.4, 130.0),
                (APEX, BUST),
                (8.6, UNDERBUST),
                (8.0, WAIST - 1.0),
            ]);
            s.name(neck, "neck point");
            s
        }
        "front waist length" => {
            let mut s = tied(front());
            s.straight((0.0, NECK_PIT), (0.0, WAIST - 1.8));
            s.name((0.0, NECK_PIT), "neck pit");
            s
        }
        "back waist length" => {
            let mut s = tied(back());
            s.straight((0.0, NAPE), (0.0, WAIST - 1.8));
            s.name((0.0, NAPE), "nape bone");
            s
        }
        "across chest" => {
            let mut s = front();
            s.tape(&[(-14.8, 125.4), (0.0, 124.6), (14.8, 125.4)]);
            s.name((14.8, 125.4), "armhole");
            s
        }
        "across back" => {
            let mut s = back();
            s.tape(&[(-15.8, 126.6), (0.0, 126.0), (15.8, 126.6)]);
            s.name((15.8, 126.6), "arm crease");
            s
        }
        "shoulder" => {
            let mut s = front();
            s.tape(&[(6.0, 139.6), (8.8, 137.4), (13.0, 135.4), bone]);
            s.name((6.0, 139.6), "neck point");
            s.name(bone, "shoulder|bone");
            s
        }
        "shoulder slope" => {
            let mut s = front();
            s.line(Look::Level, &[(6.0, 139.6), (24.0, 139.6)]);
            s.line(Look::Level, &[(6.0, 139.6), (25.0, 129.5)]);
            let turn: Vec<Place> = Ring {
                middle: (6.0, 139.6),
                half_width: -15.0,
                near: 15.0,
                far: 15.0,
                tilt: 0.0,
            }
            .part(0.0, 0.078);
            s.line(Look::End, &turn);
            s.name((6.0, 139.6), "neck point");
            s.name((20.6, 136.0), "this angle");
            s
        }
        "front shoulder diagonal" => {
            let mut s = tied(front());
            s.tape(&[(0.0, WAIST - 1.8), (9.0, 119.0), bone]);
            s.name(bone, "shoulder|bone");
            s
        }
        "back shoulder diagonal" => {
            let mut s = tied(back());
            s.tape(&[(0.0, WAIST - 1.8), (9.0, 119.0), bone]);
            s.name(bone, "shoulder|bone");
            s
        }
        "armhole depth" => {
            let mut s = back();
            s.tied(&Ring::level(-15.2, 15.2, ARMPIT));
            s.straight((0.0, NAPE), (0.0, ARMPIT - 2.4));
            s.name((0.0, NAPE), "nape bone");
            s.name((15.2, ARMPIT), "level tape");
            s
        }
        "side length" => {
            let mut s = side(Much::Top, false);
            waist_tape(&mut s, true);
            s.straight((-0.3, 120.4), (-0.3, WAIST - 1.2));
            s.name((4.0, 121.6), "1 in below|armpit");
            s.name((depth(WAIST).1, WAIST), "tied tape");
            s
        }
        "sleeve length" => {
            let mut s = arm_bent();
            s.tape(BENT_OUT);
            s.name(bone, "shoulder|bone");
            s.name((34.2, 101.6), "elbow");
            s.name((24.8, 88.0), "wrist bone");
            s
        }
        "underarm sleeve length" => {
            let mut s = arm_out();
            s.straight(STRETCHED_IN.0, STRETCHED_IN.1);
            s.name(STRETCHED_IN.0, "underarm");
            s.name(STRETCHED_IN.1, "wrist");
            s
        }
        _ => return None,
    })
}

fn floor(name: &str) -> Option<Sketch> {
    let down = -HEEL;
    let at_side = |from: f64, word: &'static str| {
        let mut s = side(Much::Below, true);
        level(&mut s, from, word);
        s.straight((0.0, from), (0.0, down));
        s.name((0.0, down), "floor");
        s
    };
    Some(match name {
        "height" => {
            let mut s = Sketch::new(
                Frame {
                    left: -27.0,
                    right: 22.0,
                    top: CROWN + 2.0,
                    low: -2.0,
                },
                290.0,
            );
            super::body::stood(&mut s, false);
            s.line(Look::Thin, &[(-13.6, CROWN + 2.0), (-13.6, 0.0)]);
            s.line(Look::Thin, &[(-27.0, 0.0), (22.0, 0.0)]);
            s.line(Look::Level, &[(-19.0, CROWN), (4.0, CROWN)]);
            s.straight((-19.0, 0.0), (-19.0, CROWN));
            s.name((4.0, CROWN), "crown");
            s.name((20.0, 0.0), "floor");
            s
        }
        "waist to floor" => {
            let mut s = from_waist(Much::Below, true);
            s.straight((0.0, WAIST), (0.0, down));
            s.name((0.0, down), "floor");
            s
        }
        "left waist to floor" | "right waist to floor" => {
            // From the front her left is on the right.
            let left = name.starts_with("left");
            let way = if left { 1.0 } else { -1.0 };
            let mut s = standing(Seen::Front, Much::Below, true);
            waist_tape(&mut s, false);
            let edge: Vec<Place> = [WAIST, 102.0, 98.0, 93.0, 88.0, HIP]
                .into_iter()
                .map(|h| (way * (half(h) + 1.2), h))
                .chain([(way * 18.4, 60.0), (way * 18.4, 20.0), (way * 18.4, down)])
                .collect();
            s.tape(&edge);
            s.name((half(WAIST) + 1.2, WAIST), "tied tape");
            s.name(
                (way * 18.4, 68.0),
                if left { "her left" } else { "her right" },
            );
            s.name((18.4, down), "floor");
            s
        }
        "front waist to floor" => {
            let mut s = standing(Seen::Front, Much::Below, true);
            waist_tape(&mut s, false);
            s.straight((0.0, WAIST - 1.8), (0.0, down));
            s.name((half(WAIST), WAIST), "tied tape");
            s.name((0.0, down), "floor");
            s
        }
        "back waist to floor" => {
            let mut s = from_waist(Much::Below, true);
            s.tape(&[
                (-7.9, WAIST),
                (-8.7, 100.0),
                (-11.0, 93.5),
                (-13.0, 88.0),
                (OVER_SEAT, HIP),
                (OVER_SEAT, 60.0),
                (OVER_SEAT, 20.0),
                (OVER_SEAT, down),
            ]);
            s.name((-12.7, HIP), "over seat");
            s.name((OVER_SEAT, down), "floor");
            s
        }
        "hip joint to floor" => {
            let mut s = side(Much::Below, true);
            s.straight((0.0, HIP_JOINT), (0.0, down));
            s.name((0.0, HIP_JOINT), "hip bone");
            s.name((0.0, down), "floor");
            s
        }
        "hip to floor" => at_side(HIP, "hip level"),
        "crotch height" => {
            let mut s = standing(Seen::Front, Much::Below, true);
            s.straight((0.0, CROTCH), (0.0, down));
            s.name((0.0, CROTCH), "crotch");
            s.name((0.0, down), "floor");
            s
        }
        "thigh to floor" => {
            let mut s = standing(Seen::Back, Much::Below, true);
            let x = mid_leg(KNEE);
            s.straight((x, SEAT_FOLD), (x, down));
            s.name((x, SEAT_FOLD), "seat fold");
            s.name((x, down), "floor");
            s
        }
        "knee to floor" => {
            let mut s = standing(Seen::Front, Much::Legs, true);
            let x = mid_leg(KNEE);
            s.straight((x, KNEE), (x, down));
            s.name((x, KNEE), "mid kneecap");
            s.name((x, down), "floor");
            s
        }
        "calf to floor" => {
            let mut s = side(Much::Legs, true);
            s.straight((-8.8, CALF), (-8.8, down));
            s.name((-7.4, CALF), "fullest calf");
            s.name((-8.8, down), "floor");
            s
        }
        "ankle to floor" => {
            let mut s = shod();
            s.straight((-0.6, ANKLE_BONE), (-0.6, down));
            s.name((-0.6, ANKLE_BONE), "ankle bone");
            s.name((-0.6, down), "floor");
            s
        }
        "hollow to floor" => {
            let mut s = standing(Seen::Front, Much::Whole, true);
            s.straight((0.0, NECK_PIT), (0.0, down));
            s.name((0.0, NECK_PIT), "neck pit");
            s.name((0.0, down), "floor");
            s
        }
        "shoulder to floor" => {
            let mut s = standing(Seen::Front, Much::Whole, true);
            s.tape(&[
                (6.2, NECK_POINT),
                (7.6, 130.0),
                (APEX, BUST),
                (APEX, 100.0),
                (APEX, 50.0),
                (APEX, down),
            ]);
            s.name((6.2, NECK_POINT), "neck point");
            s.name((APEX, BUST), "bust point");
            s.name((APEX, down), "floor");
            s
        }
        _ => return None,
    })
}

fn wishes(name: &str) -> Option<Sketch> {
    Some(match name {
        "heel" => {
            let mut s = shod();
            s.line(Look::Level, &[(-11.5, 0.0), (0.0, 0.0)]);
            s.straight((-9.0, -HEEL), (-9.0, 0.0));
            s.name((0.0, 0.0), "heel rests");
            s.name((-9.0, -HEEL), "floor");
            s
        }
        "stride" => {
            let mut s = stepping();
            s.straight((-29.0, -3.2), (13.8, -3.2));
            s.name((13.8, -3.2), "heel");
            s
        }
        "stair" => {
            let (mut s, rise) = climbing();
            s.straight((19.0, 0.0), (19.0, rise));
            s.name((40.0, rise), "next stair");
            s.name((22.0, 0.0), "this one");
            s
        }
        "train" => {
            let mut s = with_train();
            s.straight((-5.0, -10.4), (-70.0, -10.4));
            s.name((-5.0, -10.4), "heel");
            s
        }
        _ => return None,
    })
}
