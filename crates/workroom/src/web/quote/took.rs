//! What her last orders of the same method really took, beside the hours that she quotes.

use std::collections::BTreeMap;

use book::{Book, Order, OrderNo, Which};
use lay::Exact;
use lay::quote::Stage;

use super::typed::TypedWork;
use crate::web::trouble::Trouble;

/// So many of her last orders are looked at.
const LAST: usize = 3;
/// Never farther back than so many orders of the method.
const BACK: usize = 40;

/// What an order took at one stage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Took {
    pub(crate) order: OrderNo,
    pub(crate) minutes: u32,
    /// It is closed: no more hours will come.
    pub(crate) done: bool,
}

/// By the stage's name what the last orders of the method took at it, the newest first.
pub(crate) type Log = BTreeMap<String, Vec<Took>>;

/// The log of the other orders of the same method. Where one of them is closed, only what is closed counts
/// at that stage, not what is still worked on; the demo's count for the demo's only.
pub(crate) fn log(book: &Book, order: &Order) -> Result<Log, Trouble> {
    let mut out = Log::new();
    let all = book.orders(Which::All)?;
    let alike = all
        .iter()
        .map(|line| &line.order)
        .filter(|o| o.number != order.number && o.method == order.method && o.demo == order.demo)
        .take(BACK);
    for other in alike {
        let mut each: BTreeMap<String, u32> = BTreeMap::new();
        for one in book.actuals(other.number)? {
            let known = Stage::read(&one.actual.stage).is_some();
            if known && one.actual.minutes > 0 {
                let sum = each.entry(one.actual.stage.clone()).or_default();
                *sum = sum.saturating_add(one.actual.minutes);
            }
        }
        for (stage, minutes) in each {
            out.entry(stage).or_default().push(Took {
                order: other.number,
                minutes,
                done: other.closed.is_some(),
            });
        }
    }
    for took in out.values_mut() {
        if took.iter().any(|t| t.done) {
            took.retain(|t| t.done);
        }
        took.truncate(LAST);
    }
    Ok(out)
}

/// Hours to the hundredth, of so many minutes.
fn hours(minutes: u64, over: u64) -> Exact {
    let over = over.saturating_mul(60).max(1);
    // To the nearest hundredth of an hour.
    let hundredths = minutes
        .saturating_mul(100)
        .saturating_add(over / 2)
        .checked_div(over)
        .and_then(|h| i64::try_from(h).ok())
        .unwrap_or(0);
    Exact::over(hundredths, 100).unwrap_or(Exact::ZERO)
}

/// What a line of the quote would take by her log: hours each time.
pub(crate) fn each(work: &TypedWork, log: &Log) -> Option<Exact> {
    let took = log.get(&work.stage).filter(|t| !t.is_empty())?;
    let minutes: u64 = took.iter().map(|t| u64::from(t.minutes)).sum();
    let times = work.times.trim().parse::<u64>().unwrap_or(1).max(1);
    let over = u64::try_from(took.len()).ok()?.checked_mul(times)?;
    Some(hours(minutes, over)).filter(|h| *h != Exact::ZERO)
}

/// What is said beside a line: `Order 12 took 3.5 hours, order 9 took 4.`
pub(crate) fn says(work: &TypedWork, log: &Log) -> Option<String> {
    let took = log.get(&work.stage).filter(|t| !t.is_empty())?;
    let said: Vec<String> = took
        .iter()
        .map(|t| {
            format!(
                "order {} took {}{}",
                t.order,
                super::written::hours(hours(u64::from(t.minutes), 1)),
                if t.done { "" } else { " so far" }
            )
        })
        .collect();
    let said = said.join(", ");
    let mut letters = said.chars();
    let first = letters.next()?.to_uppercase();
    Some(format!("{}{}.", first, letters.as_str()))
}

/// Puts the hours of the log into a line of the form; tells whether there were any.
pub(crate) fn take(pairs: &mut Vec<(String, String)>, at: &str, log: &Log) -> bool {
    let said = |pairs: &[(String, String)], field: &str| {
        let name = format!("work/{at}/{field}");
        let found = pairs.iter().find(|(n, _)| *n == name);
        found.map_or_else(String::new, |(_, v)| v.clone())
    };
    let work = TypedWork {
        stage: said(pairs, "stage"),
        times: said(pairs, "times"),
        ..TypedWork::default()
    };
    let Some(hours) = each(&work, log) else {
        return false;
    };
    let name = format!("work/{at}/hours");
    pairs.retain(|(n, _)| *n != name);
    pairs.push((name, hours.to_string()));
    true
}
