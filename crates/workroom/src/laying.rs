//! Laying the pieces of one cloth: the search, what to buy for the lay, and its other ways.

use std::time::Instant;

use lay::compare::{Care, Change, Way, stretch_down, thumb, ways};
use lay::cut_piece::CutPiece;
use lay::exact::Exact;
use lay::laid::Laid;
use lay::shop::{Margin, Purchase, Step, before_shrinking, buy};
use lay::solve::{Effort, solve};
use lay::spread::{Rules, Spread, SpreadFault};
use lay::task::{Lay, Placed};
use lay::{Cloth, Money, Sold};
use measure::Length;
use measure::fraction::Shown;

/// How long to look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Spend {
    /// So many seconds.
    Seconds(f64),
    /// So many places tried by each worker: the same lay on every run.
    Steps(u64),
}

impl Spend {
    /// A share of it.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a share of a count"
    )]
    pub(crate) fn share(self, part: f64) -> Self {
        match self {
            Self::Seconds(s) => Self::Seconds(s * part),
            Self::Steps(n) => Self::Steps(((n as f64) * part).max(1.0) as u64),
        }
    }
}

/// How she buys.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Buying {
    pub(crate) margin: Margin,
    pub(crate) step: Step,
}

/// In which steps a cloth is bought that is sold so: in those that she set; where it is sold by the other
/// measure than they are, in eighths of a yard or tenths of a metre.
pub(crate) fn step_for(sold: Option<Sold>, set: Step) -> Step {
    match sold {
        Some(sold) if sold != set.sold() => match sold {
            Sold::Yard => Step::EighthYard,
            Sold::Metre => Step::TenCm,
        },
        _ => set,
    }
}

/// A purchase in parts as they are shown: each is a whole number of them, and they add up to what is bought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sums {
    /// What the lay takes of cloth that has shrunk.
    pub(crate) lay: Length,
    /// What goes by shrinking.
    pub(crate) shrinking: Length,
    pub(crate) margin: Length,
    /// What is bought beyond these, because the shop sells in steps.
    pub(crate) over: Length,
    pub(crate) bought: Length,
}

impl Sums {
    /// Sums are rounded, and what is shown between two of them is their difference.
    pub(crate) fn of(takes: Length, purchase: &Purchase, shown: Shown) -> Self {
        let round = |l: Length| shown.part() * (l / shown.part()).round();
        let bought = round(purchase.bought());
        let lay = round(takes).min(bought);
        let unshrunk = round(purchase.lay).max(lay).min(bought);
        let kept = round(purchase.lay + purchase.margin)
            .max(unshrunk)
            .min(bought);
        Self {
            lay,
            shrinking: unshrunk - lay,
            margin: kept - unshrunk,
            over: bought - kept,
            bought,
        }
    }
}

/// What is missing, to the next part that is shown: never less than it is, and never nothing.
pub(crate) fn missing(length: Length, shown: Shown) -> Length {
    shown.part() * (length / shown.part() - 1e-6).ceil().max(1.0)
}

/// What is left, in whole parts as they are shown: never more than it is.
pub(crate) fn left_over(length: Length, shown: Shown) -> Length {
    shown.part() * (length / shown.part() + 1e-6).floor().max(0.0)
}

/// A lay that was found, with all that follows from it.
#[derive(Clone, Debug)]
pub(crate) struct Found {
    pub(crate) cloth: Cloth,
    pub(crate) laid: Laid,
    /// As the search knows it, for pins and for another search.
    pub(crate) lay: Lay,
    /// What to buy; none when all lies on scraps, or it is out of all bounds.
    pub(crate) purchase: Option<Purchase>,
    /// What that costs, if the cloth has a price.
    pub(crate) cost: Option<Money>,
    /// Whether it fits on the cloth that she has, and how much of that is left or missing: as it was bought,
    /// before it shrinks.
    pub(crate) in_hand: Option<(bool, Length)>,
    /// The length by the rule of thumb.
    pub(crate) thumb: Option<Length>,
    pub(crate) care: Care,
    /// Stretch goes down the leg.
    pub(crate) stretch_down: bool,
    pub(crate) steps: u64,
}

/// What is to be laid on what, and how.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wanted<'a> {
    pub(crate) pieces: &'a [CutPiece],
    pub(crate) cloth: &'a Cloth,
    pub(crate) rules: Rules,
    pub(crate) effort: Effort,
    pub(crate) spend: Spend,
    pub(crate) buying: Buying,
    /// How lengths in messages are shown.
    pub(crate) shown: Shown,
}

/// Spreads the cloth and looks for a lay; once `ended` says so, the search ends.
///
/// # Errors
/// When they can't be laid.
pub(crate) fn find(
    wanted: &Wanted<'_>,
    ended: &(dyn Fn() -> bool + Sync),
) -> Result<Found, SpreadFault> {
    // What it takes to spread the cloth is of the time that may be spent.
    let begun = Instant::now();
    let spread = Spread::new(wanted.pieces, wanted.cloth, wanted.rules)?;
    search(&spread, wanted, begun, &mut |_| (), ended)
}

/// Looks for a lay on a cloth that is spread for this already, with some pieces pinned where they lie.
/// `told` hears of every better one; once `ended` says so, the search ends.
///
/// # Errors
/// When they can't be laid.
pub(crate) fn find_on(
    spread: &Spread,
    wanted: &Wanted<'_>,
    pins: &[Placed],
    told: &mut dyn FnMut(&Lay),
    ended: &(dyn Fn() -> bool + Sync),
) -> Result<Found, SpreadFault> {
    let begun = Instant::now();
    search(&spread.pinned(pins), wanted, begun, told, ended)
}

fn search(
    spread: &Spread,
    wanted: &Wanted<'_>,
    begun: Instant,
    told: &mut dyn FnMut(&Lay),
    ended: &(dyn Fn() -> bool + Sync),
) -> Result<Found, SpreadFault> {
    let Wanted {
        pieces,
        cloth,
        effort,
        spend,
        buying,
        ..
    } = *wanted;
    if let Some(bare) = spread.bare() {
        return Ok(of(spread, &bare, pieces, cloth, buying, 0));
    }
    let spent = |steps: u64| {
        if ended() {
            return 1.0;
        }
        match spend {
            #[expect(clippy::cast_precision_loss, reason = "a share")]
            Spend::Steps(most) => steps as f64 / most.max(1) as f64,
            Spend::Seconds(s) => begun.elapsed().as_secs_f64() / s.max(1e-3),
        }
    };
    let outcome = solve(spread.task(), effort, &spent, told).map_err(|f| spread.fault(f))?;
    Ok(of(
        spread,
        &outcome.lay,
        pieces,
        cloth,
        buying,
        outcome.steps,
    ))
}

/// What follows from a lay.
pub(crate) fn of(
    spread: &Spread,
    lay: &Lay,
    pieces: &[CutPiece],
    cloth: &Cloth,
    buying: Buying,
    steps: u64,
) -> Found {
    let laid = spread.laid(lay);
    let takes = laid.takes();
    // Where all lies on scraps there is nothing to buy, no margin of it either.
    let some = !laid.all_on_scraps();
    let need = before_shrinking(takes, cloth.shrink_along)
        .ok()
        .filter(|_| some);
    let purchase = purchase(takes, cloth, buying).filter(|_| some);
    let in_hand = cloth.in_hand.zip(need).map(|(have, need)| {
        let over = have - need;
        (over.in_mm() >= -lay::shop::HAIR_MM, over.abs())
    });
    Found {
        cost: purchase.as_ref().and_then(|p| cost(p, cloth)),
        purchase,
        in_hand,
        thumb: thumb(pieces, cloth).filter(|_| some),
        care: Care::of(&laid, cloth),
        stretch_down: some && stretch_down(cloth),
        cloth: cloth.clone(),
        lay: lay.clone(),
        laid,
        steps,
    }
}

/// What to buy for a lay that takes so much of the cloth once it has shrunk.
pub(crate) fn purchase(takes: Length, cloth: &Cloth, buying: Buying) -> Option<Purchase> {
    let need = before_shrinking(takes, cloth.shrink_along).ok()?;
    buy(need, buying.margin, buying.step).ok()
}

/// What a purchase costs: rounded once, at the end.
fn cost(purchase: &Purchase, cloth: &Cloth) -> Option<Money> {
    let price = cloth.price?;
    // 1 yd is 0.9144 m exactly.
    let yard = Exact::over(9144, 10_000)?;
    let amount = match (purchase.step.sold(), price.per) {
        (Sold::Yard, Sold::Metre) => purchase.amount().times(yard)?,
        (Sold::Metre, Sold::Yard) => purchase.amount().shared(yard)?,
        _ => purchase.amount(),
    };
    let minor = amount.times(Exact::whole(price.money.minor()))?.nearest()?;
    Money::new(minor, price.money.currency())
}

/// Another way to lay, and what came of it.
#[derive(Clone, Debug)]
pub(crate) struct Other {
    pub(crate) way: Way,
    /// The lay, or why there is none.
    pub(crate) found: Result<Found, String>,
}

/// Lays the pieces in every other way that is worth comparing, each for a like share; hers comes first, and
/// is the very lay that she has. Once `ended` says so, what is not laid yet is left out, and so is the way
/// that was cut short.
pub(crate) fn compare(
    wanted: &Wanted<'_>,
    hers: &Found,
    ended: &(dyn Fn() -> bool + Sync),
) -> Vec<Other> {
    let all = ways(wanted.cloth);
    #[expect(clippy::cast_precision_loss, reason = "a handful")]
    let spend = wanted
        .spend
        .share(1.0 / all.len().saturating_sub(1).max(1) as f64);
    let mut out = Vec::with_capacity(all.len());
    for way in all {
        let found = if way.change == Change::None {
            Ok(hers.clone())
        } else if ended() {
            break;
        } else {
            let wanted = Wanted {
                cloth: &way.cloth,
                spend,
                ..*wanted
            };
            let found = find(&wanted, ended).map_err(|fault| fault.says(wanted.shown));
            if ended() {
                break;
            }
            found
        };
        out.push(Other { way, found });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch printed figures that do not add up to what is bought, whatever is rounded: with shrinkage,
    /// in inches and in centimetres.
    #[test]
    fn what_is_bought_is_the_sum_of_what_is_shown() {
        for shown in [Shown::inches(), Shown::cm()] {
            for tenths in 0..400_u32 {
                let takes = Length::mm(1800.0 + 3.7 * f64::from(tenths));
                for shrinks in [0.0, 0.003, 0.03, 0.25] {
                    for step in Step::ALL {
                        let need = before_shrinking(takes, shrinks).unwrap();
                        let bought = buy(need, Margin::usual(), step).unwrap();
                        let sums = Sums::of(takes, &bought, shown);
                        let each = [sums.lay, sums.shrinking, sums.margin, sums.over];
                        let count = |l: Length| (l / shown.part()).round();
                        let all: f64 = each.into_iter().map(count).sum();
                        assert!((all - count(sums.bought)).abs() < 0.5, "{sums:?}");
                        for (one, true_one) in [
                            (sums.lay, takes),
                            (sums.shrinking, need - takes),
                            (sums.margin, bought.margin),
                            (sums.over, bought.over()),
                        ] {
                            let off = (one - true_one).abs() / shown.part();
                            assert!(off < 1.01 && one >= Length::ZERO, "{sums:?}");
                        }
                        assert!(shrinks > 0.0 || sums.shrinking == Length::ZERO);
                    }
                }
            }
        }
    }

    /// Would catch a shortage that is shown as nothing, and more cloth left than there is.
    #[test]
    fn what_is_missing_never_reads_nothing() {
        let shown = Shown::inches();
        let part = shown.part();
        assert_eq!(missing(Length::mm(0.02), shown), part);
        assert_eq!(missing(part * 2.0, shown), part * 2.0);
        assert_eq!(missing(part * 2.1, shown), part * 3.0);
        assert_eq!(left_over(part * 2.9, shown), part * 2.0);
        assert_eq!(left_over(Length::mm(0.02), shown), Length::ZERO);
    }

    /// Would catch cloth sold by the metre that is bought in eighths of a yard, and a step of hers that is
    /// forgotten where it serves.
    #[test]
    fn cloth_is_bought_as_it_is_sold() {
        for (sold, set, step) in [
            (Some(Sold::Metre), Step::EighthYard, Step::TenCm),
            (Some(Sold::Yard), Step::TenCm, Step::EighthYard),
            (Some(Sold::Metre), Step::HalfMetre, Step::HalfMetre),
            (Some(Sold::Yard), Step::QuarterYard, Step::QuarterYard),
            (None, Step::QuarterYard, Step::QuarterYard),
        ] {
            assert_eq!(step_for(sold, set), step);
        }
    }
}
