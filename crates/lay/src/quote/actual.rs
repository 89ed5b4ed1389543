//! What it really took, beside what was quoted.

use super::{Asked, Quote, Stage, TaxWay};
use crate::exact::Exact;
use crate::money::Money;

/// What one entry of her log says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Actual {
    /// At which stage; `None` for goods and what has a price of its own.
    pub stage: Option<Stage>,
    /// How long it took.
    pub minutes: u32,
    /// What was spent.
    pub spent: Money,
}

/// One stage, quoted beside actual.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Beside {
    /// The stage.
    pub stage: Stage,
    /// Hours as quoted.
    pub quoted: Exact,
    /// Hours as logged.
    pub actual: Exact,
}

/// The whole order, quoted beside actual.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Against {
    /// The stages that were quoted or worked, in the order of the work.
    pub stages: Vec<Beside>,
    /// Hours as quoted, in all.
    pub quoted_hours: Exact,
    /// Hours as logged, in all.
    pub hours: Exact,
    /// What making it was reckoned to cost.
    pub quoted_cost: Money,
    /// What it did cost: what was spent, and the hours at their rates with the overhead.
    pub cost: Money,
    /// The price without tax, less the cost.
    pub left: Money,
    /// The same in percent of the price, to a tenth; `None` when the price is nothing.
    pub margin: Option<Exact>,
}

/// Sets what was logged beside what was quoted.
///
/// An hour of a stage costs the rate that was quoted for it; a stage that was not quoted costs the
/// first rate of the quote. `None` when money is of another currency or the sums become too large.
pub fn against(asked: &Asked, quote: &Quote, log: &[Actual]) -> Option<Against> {
    let currency = quote.total.currency();
    let usual = asked.work.first().map_or(0, |w| w.rate.minor());
    let mut stages = Vec::new();
    let (mut cost, mut hours) = (Exact::ZERO, Exact::ZERO);
    for stage in Stage::ALL {
        let quoted = asked.work.iter().filter(|w| w.stage == stage);
        let quoted = quoted
            .map(super::Work::all)
            .try_fold(Exact::ZERO, |sum, h| sum.plus(h?))?;
        let minutes: u64 = log
            .iter()
            .filter(|a| a.stage == Some(stage))
            .map(|a| u64::from(a.minutes))
            .sum();
        let actual = Exact::over(i64::try_from(minutes).ok()?, 60)?;
        let rate = asked
            .work
            .iter()
            .find(|w| w.stage == stage)
            .map_or(usual, |w| w.rate.minor());
        let rate = Exact::whole(rate.checked_add(asked.overhead.minor())?);
        cost = cost.plus(actual.times(rate)?)?;
        hours = hours.plus(actual)?;
        if quoted != Exact::ZERO || actual != Exact::ZERO {
            stages.push(Beside {
                stage,
                quoted,
                actual,
            });
        }
    }
    for entry in log {
        if entry.spent.currency() != currency {
            return None;
        }
        cost = cost.plus(Exact::whole(entry.spent.minor()))?;
    }
    let within = asked.tax.as_ref().is_some_and(|t| t.way == TaxWay::Within);
    let tax = quote.tax.filter(|_| within).map_or(0, Money::minor);
    let price = Exact::whole(quote.price.minor().checked_sub(tax)?);
    let told_cost = cost.nearest()?;
    let left = price.less(cost)?;
    let margin = if price == Exact::ZERO {
        None
    } else {
        let tenths = left.shared(price)?.times(Exact::whole(1000))?.nearest()?;
        Some(Exact::over(tenths, 10)?)
    };
    Some(Against {
        stages,
        quoted_hours: quote.hours,
        hours,
        quoted_cost: Money::new(quote.exact_cost.nearest()?, currency)?,
        cost: Money::new(told_cost, currency)?,
        // Of a half cent one of the two has it: price, cost and what is left agree as they are told.
        left: Money::new(price.less(Exact::whole(told_cost))?.nearest()?, currency)?,
        margin,
    })
}
