//! Cautions for wearing and cutting, and only those that concern this garment.
//!
//! Common practice, no source, unless a standard is named in trade/cautions.md.

use check::Measured;
use draft::worked::Worked;
use measure::Length;
use measure::card::Card;
use measure::predict::predict;
use piece::Role;

/// A step under this many inches is short on stairs.
const SHORT_STEP: f64 = 15.0;
/// A hem within so many inches of the floor trips.
const NEAR_FLOOR: f64 = 2.0;

/// How far down a garment reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Reach {
    Clear,
    Floor,
    Train,
}

/// The cautions for a worked draft.
pub(crate) fn of(worked: &Worked, card: &Card, measured: &Measured) -> Vec<String> {
    let reach = reach(worked, card);
    let step = measured.step.as_ref().map(|s| s.longest.in_inches());
    let mut out = Vec::new();
    let mut say = |text: &str| out.push(text.to_owned());
    if reach >= Reach::Floor || step.is_some_and(|s| s < SHORT_STEP) {
        say("Stairs: lift the front, hold the rail, one step at a time.");
        say("Driving: change the shoes and gather the hem, clear of the pedals.");
    }
    if reach == Reach::Train {
        say(
            "Escalators, lifts and doors: carry the train, clear of the sides and the comb plates.",
        );
        say("Bustle the train before dancing.");
        say("Keep the train away from candles, hobs and sparklers.");
    }
    let tight = measured
        .waist
        .zip(card.get("waist"))
        .is_some_and(|(finished, body)| finished + Length::mm(3.0) < body);
    if tight {
        say(
            "Tighter than her waist: let her wear it for 20 minutes. Numbness or short breath: let it out.",
        );
    }
    say("Cutting: guard down on the rotary cutter after every cut, and cut away from the body.");
    say("Iron: stand it on its heel, steam away from the hands, unplug it.");
    out
}

/// Whether the shell ends clear of the floor, at it, or lies on it.
fn reach(worked: &Worked, card: &Card) -> Reach {
    let lowest = worked
        .pieces
        .iter()
        .zip(&worked.origins)
        .filter(|(_, origin)| origin.sheet.is_some())
        .flat_map(|(piece, _)| &piece.edges)
        .filter(|edge| edge.role == Role::Hem)
        .flat_map(|edge| [edge.curve.start().y, edge.curve.end().y])
        .max_by(f64::total_cmp);
    let waist = worked.levels.first().map(|l| l.y - l.below_waist.in_mm());
    let floor = card
        .get("waist to floor")
        .or_else(|| Some(predict(card, "waist to floor")?.value));
    let (Some(lowest), Some(waist), Some(floor)) = (lowest, waist, floor) else {
        return Reach::Clear;
    };
    let above = (floor.in_mm() - (lowest - waist)) / 25.4;
    if above < -1.0 {
        Reach::Train
    } else if above < NEAR_FLOOR {
        Reach::Floor
    } else {
        Reach::Clear
    }
}
