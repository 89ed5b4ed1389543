//! The reckoning itself.

use super::{Asked, Fault, Line, Quote, RoundWay, Rounding, Share, TaxWay, What, check};
use crate::exact::Exact;
use crate::money::Money;

/// Reckons a quote.
///
/// # Errors
/// Every figure that cannot be reckoned with, each at its place; or, at place `all`, that the sums
/// become too large to be exact.
///
/// # Example
/// ```
/// use lay::quote::{Asked, Count, Goods, Kind, Rounding, reckon};
/// use lay::{Exact, Money};
/// let asked = Asked {
///     currency: "EUR".into(),
///     goods: vec![Goods {
///         kind: Kind::Cloth,
///         words: "crepe".into(),
///         amount: Exact::read("2.5").unwrap(),
///         count: Count::Metre,
///         each: Money::read("28 EUR").unwrap(),
///         hers: false,
///     }],
///     waste: Exact::whole(10),
///     work: vec![],
///     overhead: Money::read("0 EUR").unwrap(),
///     extras: vec![],
///     margin: Exact::whole(15),
///     tax: None,
///     rounding: Rounding::default(),
///     parts: vec![],
///     last: String::new(),
/// };
/// // 2.5 x 28 = 70, + 10 % = 77, / 0.85 = 90.588...
/// assert_eq!(reckon(&asked).unwrap().total.to_string(), "90.59 EUR");
/// ```
pub fn reckon(asked: &Asked) -> Result<Quote, Vec<Fault>> {
    let faults = check::faults(asked);
    if !faults.is_empty() {
        return Err(faults);
    }
    reckoned(asked).ok_or_else(|| {
        vec![Fault::new(
            "all",
            "These figures become too large, or too fine, to be reckoned exactly.",
            "Look for a price or an amount with a figure too many.",
        )]
    })
}

fn minor(money: Money) -> Exact {
    Exact::whole(money.minor())
}

fn sum(all: impl IntoIterator<Item = Exact>) -> Option<Exact> {
    all.into_iter().try_fold(Exact::ZERO, Exact::plus)
}

fn reckoned(asked: &Asked) -> Option<Quote> {
    let of = |minor: i64| Money::new(minor, &asked.currency);
    let shown = |exact: Exact| of(exact.nearest()?);
    // What each line costs.
    let goods = asked.goods.iter().map(|g| {
        if g.hers {
            Some(Exact::ZERO)
        } else {
            g.amount.times(minor(g.each))
        }
    });
    let goods: Vec<Exact> = goods.collect::<Option<_>>()?;
    let hours: Vec<Exact> = asked
        .work
        .iter()
        .map(super::Work::all)
        .collect::<Option<_>>()?;
    let work = asked
        .work
        .iter()
        .zip(&hours)
        .map(|(w, h)| h.times(minor(w.rate)));
    let work: Vec<Exact> = work.collect::<Option<_>>()?;
    let extras: Vec<Exact> = asked.extras.iter().map(|e| minor(e.money)).collect();

    let materials = sum(goods.iter().copied())?;
    let waste = materials.times(asked.waste.hundredths()?)?;
    let all_hours = sum(hours.iter().copied())?;
    let overhead = all_hours.times(minor(asked.overhead))?;
    let cost = sum([materials, waste, overhead]
        .into_iter()
        .chain(work.iter().copied())
        .chain(extras.iter().copied()))?;
    // The margin is a share of the price.
    let left = Exact::ONE.less(asked.margin.hundredths()?)?;
    let price = cost.shared(left)?;

    // What she pays, rounded once; the tax is a part of that.
    let tax = asked
        .tax
        .as_ref()
        .map(|t| Some((t.percent.hundredths()?, t.way)));
    let tax = match tax {
        Some(share) => Some(share?),
        None => None,
    };
    let exact_total = match tax {
        Some((share, TaxWay::Added)) => price.times(Exact::ONE.plus(share)?)?,
        _ => price,
    };
    let total = rounded(exact_total, asked.rounding)?;
    let taxed = match tax {
        Some((share, way)) => {
            let part = Exact::whole(total)
                .times(share)?
                .shared(Exact::ONE.plus(share)?)?;
            Some((part.nearest()?, way))
        }
        None => None,
    };
    let printed_price = match taxed {
        Some((tax, TaxWay::Added)) => total.checked_sub(tax)?,
        _ => total,
    };

    // The maker's lines: what each costs. The client's: the same with waste, overhead and margin in.
    let line = |what: What, exact: Exact| {
        Some(Line {
            what,
            money: shown(exact)?,
        })
    };
    let closed = |mut lines: Vec<Line>| {
        let mut gap = printed_price;
        for line in &lines {
            gap = gap.checked_sub(line.money.minor())?;
        }
        if gap != 0 {
            lines.push(Line {
                what: What::Rounded,
                money: of(gap)?,
            });
        }
        Some(lines)
    };
    let margin = price.less(cost)?;
    let mut inside = Vec::new();
    let mut stages = Vec::new();
    let with_waste = Exact::ONE.plus(asked.waste.hundredths()?)?.shared(left)?;
    for (at, cost) in goods.iter().enumerate() {
        inside.push(line(What::Goods(at), *cost)?);
        stages.push(line(What::Goods(at), cost.times(with_waste)?)?);
    }
    if waste != Exact::ZERO {
        inside.push(line(What::Waste, waste)?);
    }
    let mut one_line = stages.clone();
    let mut all_work = Exact::ZERO;
    for (at, (cost, hours)) in work.iter().zip(&hours).enumerate() {
        inside.push(line(What::Work(at), *cost)?);
        let told = cost
            .plus(hours.times(minor(asked.overhead))?)?
            .shared(left)?;
        stages.push(line(What::Work(at), told)?);
        all_work = all_work.plus(told)?;
    }
    if !work.is_empty() {
        one_line.push(line(What::AllWork, all_work)?);
    }
    if overhead != Exact::ZERO {
        inside.push(line(What::Overhead, overhead)?);
    }
    for (at, cost) in extras.iter().enumerate() {
        inside.push(line(What::Extra(at), *cost)?);
        let told = line(What::Extra(at), cost.shared(left)?)?;
        stages.push(told);
        one_line.push(told);
    }
    if margin != Exact::ZERO {
        inside.push(line(What::Margin, margin)?);
    }

    let tax = match taxed {
        Some((tax, _)) => Some(of(tax)?),
        None => None,
    };
    Some(Quote {
        inside: closed(inside)?,
        stages: closed(stages)?,
        one_line: closed(one_line)?,
        materials: shown(materials)?,
        hours: all_hours,
        cost: shown(cost)?,
        margin: shown(margin)?,
        price: of(printed_price)?,
        tax,
        total: of(total)?,
        parts: parts(asked, total)?
            .into_iter()
            .map(of)
            .collect::<Option<_>>()?,
        exact_cost: cost,
    })
}

fn rounded(exact: Exact, how: Rounding) -> Option<i64> {
    let steps = exact.shared(Exact::whole(how.to))?;
    let steps = match how.way {
        RoundWay::Nearest => steps.nearest()?,
        RoundWay::Up => steps.ceiling()?,
    };
    steps.checked_mul(how.to)
}

/// Each part of the printed total, rounded once and never more than what is still to be paid; the last
/// takes what is left.
fn parts(asked: &Asked, total: i64) -> Option<Vec<i64>> {
    let mut left = total;
    let mut all = Vec::with_capacity(asked.parts.len() + 1);
    for part in &asked.parts {
        let due = match part.share {
            Share::Percent(percent) => Exact::whole(total)
                .times(percent.hundredths()?)?
                .nearest()?,
            Share::Amount(money) => money.minor(),
        };
        let due = due.min(left);
        left = left.checked_sub(due)?;
        all.push(due);
    }
    all.push(left);
    Some(all)
}
