//! Cautions for wearing and cutting, each only where it concerns this garment.
//!
//! They are no rules of the pattern: nothing in them is measured against a tolerance. Where a standard
//! or a code is named, the one in force where she lives comes first, and a fire or building officer,
//! a doctor or a licensed teacher of driving knows better than a pattern does.

use measure::Length;
use measure::predict::predict;
use piece::Role;

use crate::measured::Measured;
use crate::round::Round;
use crate::seen::Seen;
use crate::weight;

/// What to take care of, in a few words, and who says so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// What it is about.
    pub topic: &'static str,
    /// What to do, in one or two short sentences.
    pub says: &'static str,
    /// The standard or code behind it; `common practice, no source` where there is none.
    pub source: &'static str,
}

/// A step under this many inches is short on stairs (trade page on faults, 2).
const SHORT_STEP: f64 = 15.0;
/// A hem within so many inches of the floor is long.
const NEAR_FLOOR: f64 = 2.0;
/// A hem so many inches past the floor lies on it.
const ON_FLOOR: f64 = 1.0;
/// A heel of so many inches is felt on the pedals.
const HEEL: f64 = 2.0;
/// Smaller than her by so many millimetres is tight; less is the tape's.
const TIGHT_MM: f64 = 3.0;
/// Above so many grams a gown is heavy.
const HEAVY_GRAMS: f64 = 2000.0;
/// Plain cloth below so many grams a square metre is tested for flame (16 CFR 1610.1(d), 2.6 oz a
/// square yard); the exemption is from memory.
const LIGHT: f64 = 88.0;

/// How far down a garment reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Reach {
    Clear,
    Floor,
    Train,
}

const STAIRS: Caution = Caution {
    topic: "stairs",
    says: "Stairs: lift the front, hold the rail, one step at a time.",
    source: "stair codes: IBC 1011.5 (riser 7 in), IRC R311.7.5 (7 3/4 in at home)",
};
const DANCING: Caution = Caution {
    topic: "train",
    says: "Hook the train up before dancing and in a crowd.",
    source: "common practice, no source",
};
const ESCALATORS: Caution = Caution {
    topic: "escalators, lifts and doors",
    says: "Escalators, lifts, doors of trains: carry the hem, clear of the sides and the comb plates; stand in mid-step.",
    source: "US Consumer Product Safety Commission, release 08-264",
};
const TRAIN_FIRE: Caution = Caution {
    topic: "fire",
    says: "Keep the train away from candles, hobs and sparklers.",
    source: "16 CFR 1610",
};
const CLOTH_FIRE: Caution = Caution {
    topic: "fire",
    says: "This cloth may burn fast: away from candles, hobs and sparklers. The fire rules where she lives come first.",
    source: "16 CFR 1610; EN 1103",
};
const MELTS: Caution = Caution {
    topic: "fire",
    says: "This cloth melts on to the skin when it burns: away from candles, hobs and sparklers.",
    source: "16 CFR 1610.1(d), from memory; exempt from a test does not mean safe",
};
const TIGHT: Caution = Caution {
    topic: "tight lacing",
    says: "Tighter than she is: wear it for 20 minutes first. Numbness, heartburn or short breath: let it out. Not when expecting, nor with lung or heart trouble without her doctor.",
    source: "from memory",
};
const DRIVING: Caution = Caution {
    topic: "driving",
    says: "Driving: change the shoes and gather the hem, clear of the pedals.",
    source: "UK Highway Code, rule 97",
};
const DRIVING_SHOES: Caution = Caution {
    topic: "driving",
    says: "Driving: change the shoes for low ones.",
    source: "UK Highway Code, rule 97",
};
const DRIVING_HEM: Caution = Caution {
    topic: "driving",
    says: "Driving: gather the hem, clear of the pedals.",
    source: "UK Highway Code, rule 97",
};
const MACHINERY: Caution = Caution {
    topic: "moving machinery",
    says: "No bicycle, fairground ride or treadmill in a hem this long.",
    source: "common practice, no source",
};
const HEAVY: Caution = Caution {
    topic: "heavy gown",
    says: "Heavy: hang it by loops inside, and let a waist stay carry it.",
    source: "common practice, no source",
};
const CORDS_SMALL: Caution = Caution {
    topic: "children's cords",
    says: "A child under 7: no cord or tie at the neck; at the waist no loose end over 14 cm (in the US 3 in), none behind, none below the hem.",
    source: "EN 14682; 16 CFR 1120, ASTM F1816",
};
const CORDS: Caution = Caution {
    topic: "children's cords",
    says: "A child under 14: no loose ends at the neck; at the waist none over 14 cm (in the US 3 in), none behind, none below the hem.",
    source: "EN 14682; 16 CFR 1120, ASTM F1816",
};
const CUTTING: Caution = Caution {
    topic: "workshop",
    says: "Cutting: guard down on the rotary cutter after every cut, cut away from the body, shoes on; no pins in the mouth or on the mat.",
    source: "4-H sewing safety guide",
};
const IRON: Caution = Caution {
    topic: "workshop",
    says: "Iron: stand it on its heel, steam away from the hands, unplug it.",
    source: "4-H sewing safety guide",
};

/// Every caution there is, for a paper that says them in another language.
pub const ALL: [Caution; 16] = [
    STAIRS,
    DANCING,
    ESCALATORS,
    TRAIN_FIRE,
    CLOTH_FIRE,
    MELTS,
    TIGHT,
    DRIVING,
    DRIVING_SHOES,
    DRIVING_HEM,
    MACHINERY,
    HEAVY,
    CORDS_SMALL,
    CORDS,
    CUTTING,
    IRON,
];

/// The cautions that concern a garment, those for wearing it first.
pub fn cautions(seen: &Seen<'_>, measured: &Measured) -> Vec<Caution> {
    let reach = reach(seen);
    let long = reach >= Reach::Floor;
    let short_step = measured
        .step
        .as_ref()
        .is_some_and(|s| s.longest.in_inches() < SHORT_STEP);
    let heel = seen.card.get("heel").is_some_and(|h| h.in_inches() >= HEEL);
    let heavy = weight::grams(seen).is_some_and(|g| g > HEAVY_GRAMS);
    let mut out = Vec::new();
    let mut when = |holds: bool, caution: Caution| {
        if holds {
            out.push(caution);
        }
    };
    when(long || short_step, STAIRS);
    when(long, ESCALATORS);
    when(reach == Reach::Train, DANCING);
    match burns(seen) {
        Some(caution) => when(true, caution),
        None => when(reach == Reach::Train, TRAIN_FIRE),
    }
    when(tight(seen, measured), TIGHT);
    match (heel, long || short_step) {
        (true, true) => when(true, DRIVING),
        (true, false) => when(true, DRIVING_SHOES),
        (false, hem) => when(hem, DRIVING_HEM),
    }
    when(long, MACHINERY);
    when(heavy, HEAVY);
    let age = seen.card.age();
    when(age.is_some_and(|a| a < 7), CORDS_SMALL);
    when(age.is_some_and(|a| (7..14).contains(&a)), CORDS);
    when(true, CUTTING);
    when(true, IRON);
    out
}

/// Whether it is smaller than she is, at the waist or under the bust.
fn tight(seen: &Seen<'_>, measured: &Measured) -> bool {
    let smaller = |finished: Option<Length>, body: &str| {
        finished
            .zip(seen.card.get(body))
            .is_some_and(|(finished, body)| finished + Length::mm(TIGHT_MM) < body)
    };
    let mut levels = seen.worked.levels.iter();
    let under_bust = levels.find(|l| l.body == "underbust").and_then(|l| {
        let round = Round::of(seen).girth_at(l.below_waist.in_mm())?;
        Length::try_mm(round)
    });
    smaller(measured.waist, "waist") || smaller(under_bust, "underbust")
}

/// What is to be said of the cloth and fire.
fn burns(seen: &Seen<'_>) -> Option<Caution> {
    let cloth = seen.cloth?;
    let has = |text: &Option<String>, words: &[&str]| {
        text.as_ref().is_some_and(|t| {
            let t = t.to_lowercase();
            t.split(|c: char| !c.is_alphanumeric())
                .any(|said| words.iter().any(|w| said.starts_with(w)))
        })
    };
    let open = has(
        &cloth.make,
        &[
            "tulle",
            "net",
            "chiffon",
            "feather",
            "illusion",
            "georgette",
            "organza",
            "gauze",
        ],
    );
    let quick = has(
        &cloth.fibre,
        &["rayon", "viscose", "cotton", "acetate", "feather"],
    );
    let light_silk =
        has(&cloth.fibre, &["silk", "linen"]) && cloth.weight.is_some_and(|w| w < LIGHT);
    if open || quick || light_silk {
        return Some(CLOTH_FIRE);
    }
    let melts = has(
        &cloth.fibre,
        &[
            "polyester",
            "nylon",
            "polyamide",
            "acrylic",
            "olefin",
            "elastane",
        ],
    );
    melts.then_some(MELTS)
}

/// Whether the shell ends clear of the floor, at it, or lies on it.
fn reach(seen: &Seen<'_>) -> Reach {
    let floor = seen
        .card
        .get("waist to floor")
        .or_else(|| Some(predict(seen.card, "waist to floor")?.value));
    let (Some(down), Some(floor)) = (longest(seen), floor) else {
        return Reach::Clear;
    };
    let above = (floor.in_mm() - down) / 25.4;
    if above < -ON_FLOOR {
        Reach::Train
    } else if above < NEAR_FLOOR {
        Reach::Floor
    } else {
        Reach::Clear
    }
}

/// How long the skirt is from the waist where it is longest, in millimetres: down the pieces that hang
/// in their place, and down a ring or a frill below them.
fn longest(seen: &Seen<'_>) -> Option<f64> {
    let mut hung: Option<f64> = None;
    let mut hemmed: Option<f64> = None;
    let mut below: Option<f64> = None;
    let more = |most: &mut Option<f64>, new: f64| *most = Some(most.map_or(new, |m| m.max(new)));
    for part in seen.shell() {
        let ends: Vec<f64> = part
            .edges
            .iter()
            .flat_map(|e| [e.line.start().y, e.line.end().y])
            .collect();
        let hem = part.edges.iter().any(|e| e.edge.role == Role::Hem);
        if seen.hangs(part) {
            let Some(waist) = seen.waist_of(part) else {
                continue;
            };
            let down = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max) - waist;
            more(if hem { &mut hemmed } else { &mut hung }, down);
        } else if hem && part.sheet.is_some() {
            for (e, edge) in part.edges.iter().enumerate() {
                let beside = [part.before(e), part.after(e)]
                    .iter()
                    .any(|n| n.edge.role == Role::Hem);
                if beside && matches!(edge.edge.role, Role::Seam | Role::Fold) {
                    more(&mut below, edge.sewn());
                }
            }
        }
    }
    let with_ring = below.map(|b| b + hung.unwrap_or(0.0));
    hemmed.into_iter().chain(with_ring).max_by(f64::total_cmp)
}

#[cfg(test)]
mod tests;
