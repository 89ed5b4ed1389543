//! How long a step a narrow skirt allows: two legs in a loop of cloth.
//!
//! A taut loop round two legs of girth g whose axes stand s apart is g + 2s long. The legs swing
//! from the hip joint, so at a level z above the floor a step L parts them by L (H - z) / H, where
//! H is the height of the hip joint; they also stand 8 cm apart from side to side. All heights are
//! barefoot: a heel lifts them all alike. An estimate.

use crate::angle;
use crate::card::Card;
use crate::fraction::{Shown, show};
use crate::length::Length;
use crate::predict::{Predicted, predict};

/// The side-to-side distance of the two legs' axes.
const APART_MM: f64 = 80.0;

/// The lower thigh is taken at the top of the kneecap, so far above its middle.
const KNEECAP_MM: f64 = 2.0 * 25.4;

/// Levels as shares of her height, barefoot: means of the surveyed women of 1988.
const THIGH_SHARE: f64 = 0.457;
const CALF_SHARE: f64 = 0.194;
const ANKLE_SHARE: f64 = 0.037;

/// An answer of the walking model.
#[derive(Clone, Debug, PartialEq)]
pub struct StepAnswer {
    /// The step, heel to heel, or the girth.
    pub value: Length,
    /// What was not on the card and had to be reckoned, with its band.
    pub assumed: Vec<Predicted>,
    /// The girth of one leg at that level.
    pub leg: Length,
    /// The girth below which both legs can't stand side by side at that level: 1.64 of one leg.
    pub standing: Length,
    /// How high the level is above the floor, barefoot.
    pub level: Length,
    /// How high the hip joint is above the floor, barefoot.
    pub hip_joint: Length,
    /// Her height, barefoot: a full step is about 0.4 of it.
    pub height: Length,
}

impl StepAnswer {
    /// What was assumed, in a sentence, or nothing when all was on the card.
    pub fn assumed_says(&self, how: Shown) -> Option<String> {
        if self.assumed.is_empty() {
            return None;
        }
        let each: Vec<String> = self
            .assumed
            .iter()
            .map(|p| {
                format!(
                    "{} {} ({} to {})",
                    p.name,
                    show(p.value, how),
                    show(p.low, how),
                    show(p.high, how)
                )
            })
            .collect();
        Some(format!("Not measured, so reckoned: {}.", each.join(", ")))
    }
}

/// The longest step in a skirt of `girth` at one level, `depth_below_waist`.
///
/// No step at all when the girth does not even hold both legs 8 cm apart. A stretch cloth counts
/// with its stretched girth.
///
/// # Errors
/// When the level lies at the hip joint or above, where a skirt does not bind a step, or below the
/// floor; or when the girth is less than nothing. In a sentence.
///
/// # Example
/// ```
/// use measure::{Card, Length, fraction::Unit, step::longest_step};
/// let card = Card::new("median", Unit::Cm)
///     .with("waist to knee", Length::cm(59.5))
///     .with("knee to floor", Length::cm(45.9))
///     .with("hip joint to floor", Length::cm(86.2))
///     .with("knee", Length::cm(36.5));
/// let step = longest_step(&card, Length::inches(32.0), Length::cm(59.5)).unwrap();
/// assert!((step.value.in_cm() - 44.8).abs() < 0.2);
/// ```
pub fn longest_step(
    card: &Card,
    girth: Length,
    depth_below_waist: Length,
) -> Result<StepAnswer, String> {
    if girth <= Length::ZERO {
        return Err("The girth must be more than nothing.".to_owned());
    }
    let legs = Legs::of(card, depth_below_waist)?;
    let parted = (girth - legs.leg).in_mm() / 2.0;
    let forward = parted * parted - APART_MM * APART_MM;
    let step = if parted > 0.0 && forward > 0.0 {
        forward.sqrt() / legs.share
    } else {
        0.0
    };
    legs.answer(step)
}

/// The girth that a skirt needs at one level, `depth_below_waist`, for a step.
///
/// # Errors
/// As for [`longest_step`]; or when the step is less than nothing.
pub fn girth_needed(
    card: &Card,
    step: Length,
    depth_below_waist: Length,
) -> Result<StepAnswer, String> {
    if step < Length::ZERO {
        return Err("The step must not be less than nothing.".to_owned());
    }
    let legs = Legs::of(card, depth_below_waist)?;
    let parted = angle::hypot(step.in_mm() * legs.share, APART_MM);
    let girth = legs.leg.in_mm() + 2.0 * parted;
    legs.answer(girth)
}

/// A measure of the body in millimetres, barefoot, taken or reckoned.
struct Body<'a> {
    card: &'a Card,
    assumed: Vec<Predicted>,
}

impl Body<'_> {
    /// A measure from the card, if it is there and more than nothing.
    fn taken(&self, name: &str) -> Option<f64> {
        let mm = self.card.barefoot(name)?.in_mm();
        (mm > 0.0).then_some(mm)
    }

    /// A measure from the card, or reckoned and remembered.
    fn get(&mut self, name: &str) -> Result<f64, String> {
        if let Some(mm) = self.taken(name) {
            return Ok(mm);
        }
        let predicted = predict(self.card, name)
            .ok_or_else(|| format!("I need her {name}, and can't reckon it."))?;
        let mm = (predicted.value - self.card.heel_in(name)).in_mm();
        if !self.assumed.iter().any(|p| p.name == name) {
            self.assumed.push(predicted);
        }
        Ok(mm)
    }
}

struct Legs {
    /// Millimetres.
    level: f64,
    hip_joint: f64,
    height: f64,
    leg: Length,
    /// How much of a step the legs are parted at the level.
    share: f64,
    assumed: Vec<Predicted>,
}

impl Legs {
    fn of(card: &Card, depth: Length) -> Result<Self, String> {
        let mut body = Body {
            card,
            assumed: Vec::new(),
        };
        let knee_level = knee_level(&mut body)?;
        let level = level(&mut body, depth.in_mm(), knee_level)?;
        if level < 0.0 {
            return Err("That level lies below the floor.".to_owned());
        }
        let hip_joint = body.get("hip joint to floor")?;
        if level >= hip_joint {
            return Err(
                "That level lies at her hip joint or above, where a skirt does not bind a step."
                    .to_owned(),
            );
        }
        let leg = leg_at(&mut body, level, knee_level)?;
        let height = body.taken("height").or_else(|| {
            let predicted = predict(card, "height")?;
            Some(predicted.value.in_mm())
        });
        Ok(Self {
            level,
            hip_joint,
            height: height.unwrap_or(0.0),
            leg: Length::try_mm(leg).ok_or("The leg can't be reckoned.")?,
            share: (hip_joint - level) / hip_joint,
            assumed: body.assumed,
        })
    }

    fn answer(self, mm: f64) -> Result<StepAnswer, String> {
        let length = |mm: f64| Length::try_mm(mm).ok_or("The lengths are too large.".to_owned());
        Ok(StepAnswer {
            value: length(mm)?,
            leg: self.leg,
            standing: self.leg * (1.0 + 2.0 / core::f64::consts::PI),
            level: length(self.level)?,
            hip_joint: length(self.hip_joint)?,
            height: length(self.height)?,
            assumed: self.assumed,
        })
    }
}

/// The height of the middle of the kneecap above the floor, barefoot, in millimetres.
fn knee_level(body: &mut Body<'_>) -> Result<f64, String> {
    if body.taken("knee to floor").is_none() {
        let both = body
            .taken("waist to floor")
            .zip(body.taken("waist to knee"));
        if let Some((floor, knee)) = both
            && floor > knee
        {
            return Ok(floor - knee);
        }
    }
    body.get("knee to floor")
}

/// The height of a level above the floor, barefoot, from its depth below the waist.
///
/// Straight between the waist, the knee and the floor, so that the knee level is the knee's
/// height as it was taken even where the card's lengths do not quite add up.
fn level(body: &mut Body<'_>, depth: f64, knee_level: f64) -> Result<f64, String> {
    let to_knee = body.taken("waist to knee");
    let to_floor = match (body.taken("waist to floor"), to_knee) {
        (Some(taken), _) => taken,
        (None, Some(to_knee)) => to_knee + knee_level,
        (None, None) => body.get("waist to floor")?,
    };
    let to_knee = to_knee.unwrap_or(to_floor - knee_level);
    if depth <= to_knee && to_knee > 0.0 {
        Ok(to_floor + (knee_level - to_floor) * depth / to_knee)
    } else if to_floor > to_knee {
        Ok(knee_level * (to_floor - depth) / (to_floor - to_knee))
    } else {
        Ok(to_floor - depth)
    }
}

/// The girth of one leg at a level: straight lines through ankle, calf, knee, lower thigh, thigh.
///
/// Above the thigh and below the ankle the leg keeps its girth. Only the girths on either side of
/// the level are needed, and only those are reckoned when they are not on the card.
fn leg_at(body: &mut Body<'_>, level: f64, knee_level: f64) -> Result<f64, String> {
    let places: [(&str, &str, f64); 5] = [
        ("ankle", "ankle to floor", ANKLE_SHARE),
        ("calf", "calf to floor", CALF_SHARE),
        ("knee", "", 0.0),
        ("lower thigh", "", 0.0),
        ("thigh", "thigh to floor", THIGH_SHARE),
    ];
    let mut below: Option<(&str, f64)> = None;
    for (girth, height, share) in places {
        let at = match girth {
            "knee" => knee_level,
            "lower thigh" => knee_level + KNEECAP_MM,
            _ => match body.taken(height) {
                Some(taken) => taken,
                // Only a level beside this one needs it, and only then is her height assumed.
                None if beside(girth, level, knee_level) => share * body.get("height")?,
                None => continue,
            },
        };
        if level <= at {
            let above = body.get(girth)?;
            let Some((name, under)) = below else {
                return Ok(above);
            };
            let lower = body.get(name)?;
            return Ok(if at - under > 1e-9 {
                lower + (above - lower) * (level - under) / (at - under)
            } else {
                above
            });
        }
        below = Some((girth, at));
    }
    match below {
        Some((name, _)) => body.get(name),
        None => Err("The leg can't be reckoned.".to_owned()),
    }
}

/// Whether a level lies on the same side of the knee as a girth that has no height of its own.
fn beside(girth: &str, level: f64, knee_level: f64) -> bool {
    match girth {
        "thigh" => level > knee_level + KNEECAP_MM,
        _ => level < knee_level,
    }
}

#[cfg(test)]
mod tests;
