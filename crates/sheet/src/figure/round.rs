//! Measures that go round, or part of the way round.

use super::Look;
use super::body::{
    ANKLE, ARMPIT, BUST, CALF, GARMENT, HIGH_HIP, HIP, KNEE, Much, SEAT_FOLD, Seen, UNDERBUST,
    WAIST, half, leg, standing, waist_tape,
};
use super::poses::{SEAT, arm_bent, hip_pads, seated};
use super::sketch::Sketch;
use super::tape::Ring;

fn trunk_ring(height: f64, more: f64) -> Ring {
    let side = half(height) + more;
    Ring::level(-side, side, height)
}

fn leg_ring(height: f64) -> Ring {
    let (inner, outer) = leg(height);
    Ring::level(inner - 0.3, outer + 0.3, height)
}

/// The figure of a girth or an arc.
pub(super) fn drawn(name: &str) -> Option<Sketch> {
    let hips = || standing(Seen::Front, Much::Hips, false);
    let top = || standing(Seen::Front, Much::Top, false);
    let level = |height: f64, word: &'static str| {
        let mut s = hips();
        if (height - WAIST).abs() > 1.0 {
            waist_tape(&mut s, false);
            s.name((half(WAIST), WAIST), "tied tape");
        }
        s.girth(&trunk_ring(height, 0.4));
        s.name((half(height), height), word);
        s
    };
    Some(match name {
        "waist" => level(WAIST, "waist"),
        "garment waist" => level(GARMENT, "garment top"),
        "high hip" => level(HIGH_HIP, "high hip"),
        "hip" => level(HIP, "fullest hip"),
        "padded hip" => {
            let mut s = hips();
            hip_pads(&mut s);
            waist_tape(&mut s, false);
            s.girth(&trunk_ring(HIP, 2.8));
            s.name((half(WAIST), WAIST), "tied tape");
            s.name((19.8, HIP + 4.0), "pad");
            s
        }
        "front waist arc" => arc(Seen::Front, WAIST),
        "back waist arc" => arc(Seen::Back, WAIST),
        "front hip arc" => arc(Seen::Front, HIP),
        "back hip arc" => arc(Seen::Back, HIP),
        "front bust arc" => arc(Seen::Front, BUST),
        "back bust arc" => arc(Seen::Back, BUST),
        "seated hip" => {
            let mut s = seated(false);
            s.girth(&Ring::between((-13.2, 45.0), (11.6, 56.0), 3.6));
            s.name((0.0, SEAT), "hard stool");
            s
        }
        "thigh" => {
            let mut s = standing(Seen::Front, Much::Hips, false);
            s.girth(&leg_ring(SEAT_FOLD - 1.6));
            s.name((half(SEAT_FOLD), SEAT_FOLD - 1.6), "top of thigh");
            s
        }
        "lower thigh" => one_leg(KNEE + 5.0, "above knee"),
        "knee" => one_leg(KNEE, "mid kneecap"),
        "calf" => one_leg(CALF, "fullest calf"),
        "ankle" => one_leg(ANKLE, "ankle"),
        "both thighs" => both_legs(WAIST - 30.5, "12 in below", Much::Hips),
        "both knees" => both_legs(KNEE, "both knees", Much::Legs),
        "both calves" => both_legs(CALF, "both calves", Much::Legs),
        "bent knee" => {
            let mut s = seated(false);
            s.girth(&Ring::between((36.2, 37.0), (49.4, 51.6), 1.9));
            s.name((49.6, 49.0), "bent knee");
            s
        }
        "bust" => round_top(top(), BUST, "fullest bust"),
        "high bust" => round_top(top(), ARMPIT, "under the|arms"),
        "underbust" => round_top(top(), UNDERBUST, "under bust"),
        "top edge" => round_top(top(), BUST + 3.4, "top edge"),
        "neck" => {
            let mut s = top();
            s.girth(&Ring {
                middle: (0.0, 139.0),
                half_width: 6.4,
                near: 5.6,
                far: 1.8,
                tilt: 0.0,
            });
            s.name((0.0, 133.0), "neck pit");
            s
        }
        "armhole" => {
            let mut s = top();
            s.curve(
                Look::Far,
                &[(17.4, 134.2), (19.4, 130.0), (18.6, 125.6), (15.6, 122.2)],
            );
            s.tape(&[(17.4, 134.2), (15.2, 130.0), (14.0, 126.0), (15.6, 122.2)]);
            s.name((17.4, 134.2), "shoulder|bone");
            s
        }
        "upper arm" => round_arm((17.4, 119.4), (25.2, 120.6), "upper arm"),
        "elbow" => round_arm((26.2, 100.4), (34.4, 101.6), "elbow"),
        "wrist" => round_arm((21.6, 90.6), (26.0, 89.4), "wrist bone"),
        _ => return None,
    })
}

fn arc(seen: Seen, height: f64) -> Sketch {
    let much = if height > 110.0 {
        Much::Top
    } else {
        Much::Hips
    };
    let mut s = standing(seen, much, false);
    if (height - HIP).abs() < 1.0 {
        waist_tape(&mut s, false);
        s.name((half(WAIST), WAIST), "tied tape");
    }
    s.arc(&trunk_ring(height, 0.0));
    s.name((half(height), height), "side seam");
    s
}

fn one_leg(height: f64, word: &'static str) -> Sketch {
    let mut s = standing(Seen::Front, Much::Legs, false);
    s.girth(&leg_ring(height));
    s.name((half(height), height), word);
    s
}

fn both_legs(height: f64, word: &'static str, much: Much) -> Sketch {
    let mut s = standing(Seen::Front, much, false);
    if much == Much::Hips {
        waist_tape(&mut s, false);
        s.name((half(WAIST), WAIST), "tied tape");
    }
    s.girth(&trunk_ring(height, 0.4));
    s.name((half(height), height), word);
    s
}

fn round_top(mut s: Sketch, height: f64, word: &'static str) -> Sketch {
    let side = half(height.min(122.6)) + 0.3;
    s.girth(&Ring::level(-side, side, height));
    s.name((side, height), word);
    s
}

fn round_arm(a: (f64, f64), b: (f64, f64), word: &'static str) -> Sketch {
    let mut s = arm_bent();
    s.girth(&Ring::between(a, b, 1.5));
    s.name(b, word);
    s
}
