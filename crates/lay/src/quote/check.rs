//! What a quote may be reckoned from: every figure that may not is told at its place.

use super::{Asked, Fault, Share};
use crate::exact::Exact;
use crate::money::Money;

/// No quote has more lines of a kind.
const MOST_LINES: usize = 200;
/// No amount and no number of hours is larger.
const MOST_OF_ONE: i64 = 100_000;
/// Nobody fits oftener.
const MOST_TIMES: u32 = 1000;
/// No price is more, in the smallest coin.
const MOST_MONEY: i64 = 1_000_000_000_000;
/// A margin is a share of the price: at 100 % there would be none left for the cost.
const MOST_MARGIN: i64 = 95;

/// Gathers faults in the order of the page.
struct Look<'a> {
    currency: &'a str,
    faults: Vec<Fault>,
}

impl Look<'_> {
    fn say(&mut self, place: impl Into<String>, says: &str, hint: &str) {
        self.faults.push(Fault::new(place, says, hint));
    }

    fn money(&mut self, place: String, money: Money) {
        if money.currency() != self.currency {
            let hint = format!(
                "This quote is in {}: give all its prices in it.",
                self.currency
            );
            self.say(place, "This is in another currency.", &hint);
        } else if money.minor() < 0 {
            self.say(
                place,
                "This is less than nothing.",
                "Write an amount of 0 or more.",
            );
        } else if money.minor() > MOST_MONEY {
            self.say(
                place,
                "This is too much to reckon with.",
                "Is a figure too many in it?",
            );
        }
    }

    fn amount(&mut self, place: String, amount: Exact) {
        if amount.is_negative() || amount > Exact::whole(MOST_OF_ONE) {
            self.say(
                place,
                "This must be between 0 and 100000.",
                "Is a figure too many in it?",
            );
        }
    }

    fn percent(&mut self, place: &str, percent: Exact, most: i64, hint: &str) {
        if percent.is_negative() || percent > Exact::whole(most) {
            let says = format!("This must be between 0 and {most} percent.");
            self.say(place, &says, hint);
        }
    }

    fn lines(&mut self, place: &str, count: usize) {
        if count > MOST_LINES {
            self.say(
                place,
                "These are more than 200 lines.",
                "Put some of them together.",
            );
        }
    }
}

/// All the faults of what was asked.
pub(super) fn faults(asked: &Asked) -> Vec<Fault> {
    let mut look = Look {
        currency: &asked.currency,
        faults: Vec::new(),
    };
    if Money::new(0, &asked.currency).is_none() {
        look.say(
            "currency",
            "This is no currency.",
            "Write its three letters, like EUR or USD.",
        );
        return look.faults;
    }
    look.lines("goods", asked.goods.len());
    look.lines("work", asked.work.len());
    look.lines("extra", asked.extras.len());
    look.lines("part", asked.parts.len());
    for (at, goods) in asked.goods.iter().enumerate() {
        look.amount(format!("goods/{at}/amount"), goods.amount);
        look.money(format!("goods/{at}/each"), goods.each);
    }
    look.percent("waste", asked.waste, 100, "5 to 10 is usual.");
    for (at, work) in asked.work.iter().enumerate() {
        look.amount(format!("work/{at}/hours"), work.hours);
        if work.times > MOST_TIMES {
            look.say(
                format!("work/{at}/times"),
                "This must be between 0 and 1000.",
                "How often is she fitted?",
            );
        }
        look.money(format!("work/{at}/rate"), work.rate);
    }
    look.money("overhead".into(), asked.overhead);
    for (at, extra) in asked.extras.iter().enumerate() {
        look.money(format!("extra/{at}/money"), extra.money);
    }
    look.percent(
        "margin",
        asked.margin,
        MOST_MARGIN,
        "It is a share of the price: 15 of it is 17.65 on the cost.",
    );
    if let Some(tax) = &asked.tax {
        look.percent("tax", tax.percent, 100, "Write 0 where there is no tax.");
    }
    if !(1..=MOST_MONEY).contains(&asked.rounding.to) {
        look.say(
            "rounding",
            "Nothing can be rounded to this.",
            "Write the step: 0.01, 1 or 5.",
        );
    }
    let mut shares = Some(Exact::ZERO);
    for (at, part) in asked.parts.iter().enumerate() {
        match part.share {
            Share::Percent(percent) => {
                look.percent(&format!("part/{at}"), percent, 100, "Half is 50.");
                shares = shares.and_then(|sum| sum.plus(percent));
            }
            Share::Amount(money) => look.money(format!("part/{at}"), money),
        }
    }
    if shares.is_none_or(|sum| sum > Exact::whole(100)) {
        look.say(
            "part",
            "The parts are more than the whole.",
            "Together they may be 100 percent; what is left is paid at the end.",
        );
    }
    look.faults
}
