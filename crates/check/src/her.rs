//! Her body as the rules ask for it: from the card, else as the draft took it, else reckoned.

use draft::worked::Source;
use measure::predict::predict;
use measure::{Card, Length};

use crate::seen::Seen;

/// Measures that the walking model may lack and then reckons.
const OF_THE_LEGS: &[&str] = &[
    "hip joint to floor",
    "height",
    "thigh",
    "lower thigh",
    "knee",
    "calf",
    "ankle",
];

/// Her body.
#[derive(Clone, Debug)]
pub struct Her<'s, 'a> {
    seen: &'s Seen<'a>,
    /// The card with what the walking model would reckon anew at every level; it answers as the card
    /// itself does.
    whole: &'s Card,
}

impl<'s, 'a> Her<'s, 'a> {
    /// As the card and the draft have her.
    pub fn of(seen: &'s Seen<'a>) -> Self {
        let whole = seen.whole.get_or_init(|| Self::reckoned(seen.card));
        Self { seen, whole }
    }

    /// A card with what the walking model lacks.
    fn reckoned(card: &Card) -> Card {
        let has = |name: &str| card.barefoot(name).is_some_and(|l| l > Length::ZERO);
        let mut missing: Vec<&str> = OF_THE_LEGS.iter().copied().filter(|n| !has(n)).collect();
        if !has("waist to floor") && !has("waist to knee") {
            missing.push("waist to floor");
        }
        let knee_known = has("knee to floor") || (has("waist to floor") && has("waist to knee"));
        if !knee_known {
            missing.push("knee to floor");
        }
        let mut whole = card.clone();
        for name in missing {
            if let Some(predicted) = predict(card, name) {
                whole = whole.with(name, predicted.value);
            }
        }
        whole
    }

    /// The card with what had to be reckoned for walking.
    pub fn whole(&self) -> &Card {
        self.whole
    }

    /// A measure in millimetres as it was taken, from the card or as the draft had it; nothing when it
    /// is only a method's fallback.
    pub fn taken(&self, name: &str) -> Option<f64> {
        if let Some(length) = self.seen.card.get(name) {
            return (length > Length::ZERO).then(|| length.in_mm());
        }
        let used = self.seen.worked.measures.iter().find(|m| m.name == name)?;
        matches!(used.source, Source::Predicted { .. }).then(|| used.value.in_mm())
    }

    /// A measure in millimetres, and whether it had to be reckoned.
    pub fn known(&self, name: &str) -> Option<(f64, bool)> {
        match self.taken(name) {
            Some(mm) => Some((mm, false)),
            None => Some((predict(self.seen.card, name)?.value.in_mm(), true)),
        }
    }

    /// Her hip in millimetres, over pads when she wears them.
    pub fn hip(&self) -> Option<f64> {
        let hip = self.taken("hip")?;
        Some(
            self.taken("padded hip")
                .map_or(hip, |padded| padded.max(hip)),
        )
    }

    /// How far below the waist the hip lies on the pattern, in millimetres: as the sheets have it, else
    /// as it was measured.
    pub fn hip_level(&self) -> Option<f64> {
        let levels = self.seen.worked.levels.iter();
        let drawn = levels
            .filter(|l| l.body == "hip")
            .map(|l| l.below_waist.in_mm())
            .min_by(f64::total_cmp);
        drawn.or_else(|| self.taken("waist to hip"))
    }

    /// How far the cloth stretches round her, as a part of one; 0 for woven cloth and unknown cloth.
    pub fn stretch(&self) -> f64 {
        let cloth = self.seen.cloth;
        cloth.map_or(0.0, |c| c.stretch_round_body.clamp(0.0, 2.0))
    }

    /// Her height barefoot in millimetres, taken or reckoned.
    pub fn height(&self) -> Option<f64> {
        let mm = self.whole.barefoot("height")?.in_mm();
        (mm > 0.0).then_some(mm)
    }
}
