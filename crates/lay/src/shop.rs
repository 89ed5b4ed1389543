//! What to buy: the lay, the margin that she keeps, and the shop's step, rounded up once.

use core::fmt;

use measure::Length;
use measure::fraction::ReadFault;
use measure::page::quoted;

use crate::Sold;
use crate::exact::Exact;

/// Lengths are taken as whole tenths of a micrometre, of which a millimetre has so many.
const PARTS: f64 = 10_000.0;
/// What lies over a step by no more than this is not bought, in millimetres: a hundredth, as finely as
/// a lay is judged. No shears cut closer, and a lay of 2 1/2 yd stays 2 1/2 yd.
pub const HAIR_MM: f64 = 0.01;
/// No lay is longer, in millimetres: a kilometre of cloth.
const LONGEST_MM: f64 = 1e6;
/// No margin is more, in percent.
const MOST_PERCENT: i64 = 100;

/// The steps in which a shop sells (common practice, no source: yards in eighths, quarters and halves,
/// metres in tenths and halves, lace in pieces of 5 yd).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Step {
    /// An eighth of a yard.
    #[default]
    EighthYard,
    /// A quarter of a yard.
    QuarterYard,
    /// Half a yard.
    HalfYard,
    /// Whole yards.
    Yard,
    /// Pieces of five yards.
    FiveYards,
    /// Five centimetres.
    FiveCm,
    /// Ten centimetres.
    TenCm,
    /// A quarter of a metre.
    QuarterMetre,
    /// Half a metre.
    HalfMetre,
    /// Whole metres.
    Metre,
}

impl Step {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 10] = [
        Self::EighthYard,
        Self::QuarterYard,
        Self::HalfYard,
        Self::Yard,
        Self::FiveYards,
        Self::FiveCm,
        Self::TenCm,
        Self::QuarterMetre,
        Self::HalfMetre,
        Self::Metre,
    ];

    /// Its name, as in settings and on the page: `1/8 yd`, `10 cm`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::EighthYard => "1/8 yd",
            Self::QuarterYard => "1/4 yd",
            Self::HalfYard => "1/2 yd",
            Self::Yard => "1 yd",
            Self::FiveYards => "5 yd",
            Self::FiveCm => "5 cm",
            Self::TenCm => "10 cm",
            Self::QuarterMetre => "1/4 m",
            Self::HalfMetre => "1/2 m",
            Self::Metre => "1 m",
        }
    }

    /// The step of that name.
    ///
    /// # Errors
    /// When no shop's step is called so.
    pub fn read(text: &str) -> Result<Self, ReadFault> {
        let said = text.trim();
        let named = Self::ALL.into_iter().find(|s| s.name() == said);
        named.ok_or_else(|| ReadFault {
            says: format!("{} is no step that a shop sells in.", quoted(text)),
            hint: format!("Choose one of: {}.", Self::ALL.map(Self::name).join(", ")),
        })
    }

    /// What the shop counts in.
    pub const fn sold(self) -> Sold {
        match self {
            Self::EighthYard
            | Self::QuarterYard
            | Self::HalfYard
            | Self::Yard
            | Self::FiveYards => Sold::Yard,
            _ => Sold::Metre,
        }
    }

    /// How many yards or metres it is.
    pub fn amount(self) -> Exact {
        let (over, under) = match self {
            Self::EighthYard => (1, 8),
            Self::QuarterYard | Self::QuarterMetre => (1, 4),
            Self::HalfYard | Self::HalfMetre => (1, 2),
            Self::Yard | Self::Metre => (1, 1),
            Self::FiveYards => (5, 1),
            Self::FiveCm => (1, 20),
            Self::TenCm => (1, 10),
        };
        Exact::over(over, under).unwrap_or(Exact::ONE)
    }
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// What she buys beyond the lay: for flaws, for straightening the end, for a change of mind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// So many percent of the lay,
    pub percent: Exact,
    /// and a length besides.
    pub length: Length,
}

impl Margin {
    /// No margin.
    pub const NONE: Self = Self {
        percent: Exact::ZERO,
        length: Length::ZERO,
    };

    /// 5 % for flaws and 10 cm for straightening (common practice, no source).
    pub fn usual() -> Self {
        Self {
            percent: Exact::whole(5),
            length: Length::cm(10.0),
        }
    }
}

/// Why nothing can be said about what to buy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoPurchase {
    /// The lay is shorter than nothing, or longer than a kilometre.
    Lay,
    /// The margin is below nothing, over 100 %, or longer than a kilometre.
    Margin,
    /// The cloth would shrink to less than half.
    Shrink,
}

impl fmt::Display for NoPurchase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Lay => "The lay must be between nothing and 1 km long.",
            Self::Margin => "Keep a margin of 0 to 100 %, and no more than 1 km.",
            Self::Shrink => "Say how much it shrinks: from nothing to half.",
        })
    }
}

/// What to buy, with the lay and the margin told apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Purchase {
    /// How long the lay comes.
    pub lay: Length,
    /// What is kept beyond it, before rounding.
    pub margin: Length,
    /// The shop's step.
    pub step: Step,
    /// How many steps are bought.
    pub steps: u32,
}

impl Purchase {
    /// How many yards or metres are bought, exactly.
    pub fn amount(&self) -> Exact {
        let steps = Exact::whole(i64::from(self.steps));
        steps.times(self.step.amount()).unwrap_or(Exact::ZERO)
    }

    /// How long it is.
    pub fn bought(&self) -> Length {
        self.step.sold().length() * self.amount().roughly()
    }

    /// What is bought beyond lay and margin, because the shop sells in steps.
    pub fn over(&self) -> Length {
        (self.bought() - self.lay - self.margin).max(Length::ZERO)
    }
}

/// `2 5/8 yd`, `2.5 m`: what is said at the shop.
impl fmt::Display for Purchase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&said(self.amount(), self.step.sold()))
    }
}

/// An amount as the shop says it: yards in fractions, metres in decimals.
pub fn said(amount: Exact, sold: Sold) -> String {
    match sold {
        Sold::Yard => format!("{} yd", amount.fraction()),
        Sold::Metre => format!("{amount} m"),
    }
}

/// What to buy for a lay: lay and margin together, rounded up once to the shop's step.
///
/// Reckoned exactly from whole tenths of a micrometre; what lies over a step by no more than
/// [`HAIR_MM`] is not bought.
///
/// # Errors
/// When lay or margin is out of bounds.
///
/// # Example
/// ```
/// use lay::shop::{Margin, Step, buy};
/// use measure::Length;
/// // W11 of the worked examples: 104 1/2 in of pieces side by side are 3 yd.
/// let bought = buy(Length::inches(104.5), Margin::NONE, Step::QuarterYard).unwrap();
/// assert_eq!(bought.to_string(), "3 yd");
/// ```
pub fn buy(lay: Length, margin: Margin, step: Step) -> Result<Purchase, NoPurchase> {
    let bounds = 0.0..=LONGEST_MM;
    if !bounds.contains(&lay.in_mm()) {
        return Err(NoPurchase::Lay);
    }
    let percent = margin.percent;
    if percent.is_negative()
        || percent > Exact::whole(MOST_PERCENT)
        || !bounds.contains(&margin.length.in_mm())
    {
        return Err(NoPurchase::Margin);
    }
    let reckoned = || {
        let lay = parts(lay);
        let kept = lay
            .times(percent.hundredths()?)?
            .plus(parts(margin.length))?;
        let each = parts(step.sold().length()).times(step.amount())?;
        let over_a_hair = lay.plus(kept)?.less(parts(Length::mm(HAIR_MM)))?;
        let steps = over_a_hair.shared(each)?.ceiling()?.max(0);
        Some((kept, u32::try_from(steps).ok()?))
    };
    let (kept, steps) = reckoned().ok_or(NoPurchase::Margin)?;
    Ok(Purchase {
        lay,
        margin: Length::mm(kept.roughly() / PARTS),
        step,
        steps,
    })
}

/// A length in whole tenths of a micrometre; the caller has bounded it.
#[allow(
    clippy::cast_possible_truncation,
    reason = "a kilometre has 10^10 of them"
)]
fn parts(length: Length) -> Exact {
    Exact::whole((length.in_mm() * PARTS).round() as i64)
}

/// How long a cloth must be before it shrinks by that part of one, to be long enough after.
///
/// # Errors
/// When it would shrink to less than half, or grow.
pub fn before_shrinking(need: Length, shrinks: f64) -> Result<Length, NoPurchase> {
    if (0.0..=0.5).contains(&shrinks) {
        Ok(need / (1.0 - shrinks))
    } else {
        Err(NoPurchase::Shrink)
    }
}

/// The least number of whole repeats that hold a piece; without a repeat, the piece itself.
pub fn in_repeats(piece: Length, repeat: Option<Length>) -> Length {
    match repeat.map(Length::in_mm) {
        Some(each) if each > HAIR_MM => {
            Length::try_mm(((piece.in_mm() - HAIR_MM) / each).ceil().max(0.0) * each)
                .unwrap_or(piece)
        }
        _ => piece,
    }
}

/// How a rule of thumb lays pieces: one rectangle beside the other, none beside another's slant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thumb {
    /// The garment's length runs from selvedge to selvedge: the pieces' widths are added.
    Across,
    /// It runs along the selvedge: the pieces' lengths are added, one after the other.
    Along,
}

/// The length of cloth by the rule of thumb, from each piece's cut width and length, with how often it
/// is cut (W11 of the worked examples; many skirt makers buy so: common practice, no source).
///
/// `None` when a piece is too large for the usable width that way, or nothing is cut. Along the
/// selvedge, pieces of which two or more fit side by side are counted in rows.
pub fn by_thumb(pieces: &[(Length, Length, u32)], usable: Length, way: Thumb) -> Option<Length> {
    let hair = Length::mm(HAIR_MM);
    let mut all = Length::ZERO;
    for &(width, length, count) in pieces {
        let (on_the_length, on_the_width) = match way {
            Thumb::Across => (width, length),
            Thumb::Along => (length, width),
        };
        if on_the_width > usable + hair || on_the_width <= Length::ZERO {
            return None;
        }
        let side_by_side = ((usable + hair) / on_the_width).floor().max(1.0);
        all += on_the_length * (f64::from(count) / side_by_side).ceil();
    }
    (all > Length::ZERO).then_some(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bought(lay: Length, margin: Margin, step: Step) -> String {
        buy(lay, margin, step).unwrap().to_string()
    }

    /// W11 of the worked examples (`trade/worked-examples.md`, its arithmetic is checked by a script of
    /// its own): would catch a sum by the wrong side, or a step that is rounded down.
    #[test]
    fn the_skirt_of_w11() {
        let inches = Length::inches;
        let front = (inches(36.0), inches(48.5), 1);
        let back = (inches(34.25), inches(55.5), 2);
        let usable = inches(58.0);
        let across = by_thumb(&[front, back], usable, Thumb::Across).unwrap();
        assert!((across.in_inches() - 104.5).abs() < 1e-9);
        assert!((across.in_inches() / 36.0 - 2.90).abs() < 0.005);
        assert_eq!(bought(across, Margin::NONE, Step::QuarterYard), "3 yd");
        let along = by_thumb(&[front, back], usable, Thumb::Along).unwrap();
        assert!((along.in_inches() / 36.0 - 4.43).abs() < 0.005);
        assert_eq!(bought(along, Margin::NONE, Step::QuarterYard), "4 1/2 yd");
        // Shrinks by 4 %: 3 -> 3.125 -> 3 1/4 yd.
        let shrunk = before_shrinking(inches(108.0), 0.04).unwrap();
        assert!((shrunk.in_inches() / 36.0 - 3.125).abs() < 1e-9);
        assert_eq!(bought(shrunk, Margin::NONE, Step::QuarterYard), "3 1/4 yd");
        // A repeat of 12: a piece of 55 1/2 takes 60.
        let matched = in_repeats(inches(55.5), Some(inches(12.0)));
        assert!((matched.in_inches() - 60.0).abs() < 1e-9);
    }

    /// Would catch cloth bought for the noise of a float, or for a hair over the step.
    #[test]
    fn a_whole_step_stays_a_whole_step() {
        for step in Step::ALL {
            for times in [1_u32, 2, 3, 7, 13, 20, 77] {
                let exact = step.sold().length() * (step.amount().roughly() * f64::from(times));
                for noise in [-1e-9, 0.0, 1e-9, 1e-6, 0.001, 0.0099] {
                    let lay = exact + Length::mm(noise);
                    assert_eq!(
                        buy(lay, Margin::NONE, step).unwrap().steps,
                        times,
                        "{step} {noise}"
                    );
                }
                let more = exact + Length::mm(0.02);
                assert_eq!(
                    buy(more, Margin::NONE, step).unwrap().steps,
                    times + 1,
                    "{step}"
                );
            }
        }
        // A sixteenth short of 2 1/2 yd, and a margin of a sixteenth.
        let margin = Margin {
            percent: Exact::ZERO,
            length: Length::inches(1.0 / 16.0),
        };
        assert_eq!(
            bought(Length::inches(90.0 - 1.0 / 16.0), margin, Step::EighthYard),
            "2 1/2 yd"
        );
    }

    /// Would catch a margin that is rounded by itself before it is added (twice rounded: 2 5/8).
    #[test]
    fn lay_and_margin_are_rounded_once() {
        let margin = Margin {
            percent: Exact::whole(5),
            length: Length::ZERO,
        };
        let said = buy(Length::inches(84.0), margin, Step::EighthYard).unwrap();
        assert_eq!(said.to_string(), "2 1/2 yd");
        assert!((said.margin.in_inches() - 4.2).abs() < 1e-9);
        assert!((said.over().in_inches() - 1.8).abs() < 1e-9);
        let metric = buy(Length::cm(213.0), Margin::usual(), Step::TenCm).unwrap();
        assert_eq!(metric.to_string(), "2.4 m");
    }

    /// Would catch a width that nothing can be laid on, or bounds that are not kept.
    #[test]
    fn out_of_bounds_is_refused() {
        let mm = Length::mm;
        assert_eq!(
            buy(mm(-1.0), Margin::NONE, Step::Yard),
            Err(NoPurchase::Lay)
        );
        assert_eq!(buy(mm(2e6), Margin::NONE, Step::Yard), Err(NoPurchase::Lay));
        for (percent, length) in [(101, 0.0), (-1, 0.0), (5, -1.0), (5, 1e7)] {
            let margin = Margin {
                percent: Exact::whole(percent),
                length: mm(length),
            };
            assert_eq!(buy(mm(1.0), margin, Step::Yard), Err(NoPurchase::Margin));
        }
        assert_eq!(before_shrinking(mm(1.0), 1.0), Err(NoPurchase::Shrink));
        assert_eq!(before_shrinking(mm(1.0), f64::NAN), Err(NoPurchase::Shrink));
        assert_eq!(
            by_thumb(&[(mm(10.0), mm(50.0), 1)], mm(40.0), Thumb::Across),
            None
        );
        assert_eq!(
            by_thumb(&[(mm(10.0), mm(50.0), 1)], Length::ZERO, Thumb::Along),
            None
        );
        assert_eq!(by_thumb(&[], mm(40.0), Thumb::Along), None);
        assert_eq!(
            buy(Length::ZERO, Margin::NONE, Step::Yard).unwrap().steps,
            0
        );
    }

    /// Would catch a step whose name is not read again.
    #[test]
    fn steps_are_read_by_their_names() {
        for step in Step::ALL {
            assert_eq!(Step::read(step.name()).unwrap(), step);
        }
        assert!(Step::read("1/3 yd").unwrap_err().hint.contains("10 cm"));
    }

    proptest! {
        /// Enough is bought and never a whole step too much; against plain floats where they can tell.
        #[test]
        fn enough_and_no_step_too_much(lay in 0.0_f64..1e5, percent in 0_i64..100, cm in 0.0_f64..200.0, which in 0_usize..10) {
            let step = Step::ALL[which];
            let margin = Margin { percent: Exact::whole(percent), length: Length::cm(cm) };
            let said = buy(Length::mm(lay), margin, step).unwrap();
            #[allow(clippy::cast_precision_loss, reason = "at most 100")]
            let need = lay * (1.0 + percent as f64 / 100.0) + cm * 10.0;
            let each = step.sold().length().in_mm() * step.amount().roughly();
            prop_assert!(said.bought().in_mm() >= need - HAIR_MM - 1e-3);
            prop_assert!(said.bought().in_mm() < need + each);
            prop_assert!((said.lay + said.margin).in_mm() - need < 1e-3);
        }
    }
}
