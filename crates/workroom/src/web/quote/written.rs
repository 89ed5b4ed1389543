//! The quote in words: what stands on its sheet, on the page and on paper alike.

use lay::quote::{Asked, Count, Goods, Line, Quote, Stage, TaxWay, View, What, Work};
use lay::{Exact, Money};
use sheet::words::{ENGLISH, Words, fill};
use sheet::{QuoteRow, QuoteSheet};

/// An amount without its currency, as it stands in a column.
pub(crate) fn figure(money: Money) -> String {
    let said = money.to_string();
    said.strip_suffix(money.currency())
        .map_or(said.clone(), |bare| bare.trim_end().to_owned())
}

/// The name of a stage.
pub(crate) const fn stage(stage: Stage) -> &'static str {
    stage_in(stage, &ENGLISH)
}

const fn stage_in(stage: Stage, w: &Words) -> &'static str {
    match stage {
        Stage::Pattern => w.quote_pattern,
        Stage::Toile => w.quote_toile,
        Stage::Cutting => w.quote_cutting,
        Stage::Machine => w.quote_machine,
        Stage::Hand => w.quote_hand,
        Stage::Beads => w.quote_beads,
        Stage::Fitting => w.quote_fitting,
        Stage::Finish => w.quote_finish,
    }
}

/// `1 hour`, `2.5 hours`.
pub(crate) fn hours(hours: Exact) -> String {
    hours_in(hours, &ENGLISH)
}

fn hours_in(hours: Exact, w: &Words) -> String {
    if hours == Exact::ONE {
        w.quote_hour.into()
    } else {
        fill(w.quote_hours, &[("n", &number(hours, w))])
    }
}

/// A number in the signs of a language.
fn number(n: Exact, w: &Words) -> String {
    w.locale.figure(&n.to_string())
}

/// An amount as it stands in a column of a sheet.
fn money(money: Money, w: &Words) -> String {
    w.locale.figure(&figure(money))
}

/// How much of a thing: nothing for one piece.
pub(crate) fn amount(goods: &Goods) -> String {
    amount_in(goods, &ENGLISH)
}

fn amount_in(goods: &Goods, w: &Words) -> String {
    match goods.count {
        Count::Yard => format!("{} {}", goods.amount.fraction(), w.lay_yd),
        Count::Metre => format!("{} {}", number(goods.amount, w), w.lay_m),
        Count::Piece if goods.amount == Exact::ONE => String::new(),
        Count::Piece => number(goods.amount, w),
    }
}

fn times(work: &Work, w: &Words) -> String {
    let each = hours_in(work.hours, w);
    match work.times {
        1 => each,
        n => fill(w.quote_times, &[("n", &n.to_string()), ("hours", &each)]),
    }
}

/// `2 5/8 yd at 28.00`; without an amount only the price.
fn priced(amount: &str, each: Money, w: &Words) -> String {
    if amount.is_empty() {
        return String::new();
    }
    fill(
        w.quote_amount_at,
        &[("amount", amount), ("each", &money(each, w))],
    )
}

/// One line of the sheet.
fn row(asked: &Asked, quote: &Quote, view: View, line: &Line, w: &Words) -> QuoteRow {
    let inside = view == View::Inside;
    let percent = |words: &str, n: Exact| fill(words, &[("n", &number(n, w))]);
    let (what, how_much) = match line.what {
        What::Goods(at) => asked.goods.get(at).map_or_else(Default::default, |goods| {
            let amount = amount_in(goods, w);
            let how_much = match (goods.hers, inside) {
                (true, _) => fill(w.quote_hers, &[("amount", &amount)])
                    .trim_start_matches([',', ' '])
                    .to_owned(),
                (false, true) => priced(&amount, goods.each, w),
                (false, false) => amount,
            };
            (goods.words.clone(), how_much)
        }),
        What::Waste => (w.quote_waste.into(), percent(w.quote_waste_of, asked.waste)),
        What::Work(at) => asked.work.get(at).map_or_else(Default::default, |work| {
            let much = times(work, w);
            let much = if inside {
                priced(&much, work.rate, w)
            } else {
                much
            };
            (stage_in(work.stage, w).into(), much)
        }),
        What::AllWork => {
            let mut names: Vec<String> = Vec::new();
            for work in asked
                .work
                .iter()
                .filter(|w| w.hours != Exact::ZERO && w.times > 0)
            {
                let name = w.locale.within(stage_in(work.stage, w));
                if !names.contains(&name) {
                    names.push(name);
                }
            }
            let what = if names.is_empty() {
                w.quote_work.into()
            } else {
                fill(w.quote_work_of, &[("stages", &names.join(", "))])
            };
            (what, String::new())
        }
        What::Overhead => (
            w.quote_overhead.into(),
            priced(&hours_in(quote.hours, w), asked.overhead, w),
        ),
        What::Extra(at) => (
            asked
                .extras
                .get(at)
                .map(|e| e.words.clone())
                .unwrap_or_default(),
            String::new(),
        ),
        What::Margin => (
            w.quote_margin.into(),
            percent(w.quote_margin_of, asked.margin),
        ),
        What::Rounded => (w.quote_rounded.into(), String::new()),
    };
    QuoteRow {
        what,
        how_much,
        in_all: money(line.money, w),
    }
}

/// The lines and sums of the sheet as that view shows them.
pub(crate) fn rows(
    asked: &Asked,
    quote: &Quote,
    view: View,
    w: &Words,
) -> (Vec<QuoteRow>, Vec<QuoteRow>) {
    let rows = quote
        .lines(view)
        .iter()
        .map(|line| row(asked, quote, view, line, w))
        .collect();
    let sum = |what: String, money: Money| QuoteRow {
        what,
        how_much: String::new(),
        in_all: self::money(money, w),
    };
    let mut sums = Vec::new();
    match (&asked.tax, quote.tax) {
        (Some(tax), Some(money)) => {
            let named = |words: &str| {
                fill(
                    words,
                    &[("name", &tax.name), ("n", &number(tax.percent, w))],
                )
            };
            if tax.way == TaxWay::Added {
                sums.push(sum(w.quote_bare_price.into(), quote.price));
                sums.push(sum(named(w.quote_tax), money));
            } else {
                sums.push(sum(named(w.quote_tax_within), money));
            }
            sums.push(sum(w.quote_total.into(), quote.total));
        }
        _ => sums.push(sum(w.quote_price.into(), quote.total)),
    }
    (rows, sums)
}

/// When what part is paid.
fn parts(asked: &Asked, quote: &Quote, w: &Words) -> Vec<(String, String)> {
    if asked.parts.is_empty() {
        return Vec::new();
    }
    let names = asked
        .parts
        .iter()
        .map(|p| p.words.clone())
        .chain([asked.last.clone()]);
    names
        .zip(quote.parts.iter().map(|m| money(*m, w)))
        .collect()
}

/// The whole sheet: head, lines, parts, terms.
pub(crate) fn sheet(
    head: QuoteSheet,
    asked: &Asked,
    quote: &Quote,
    view: View,
    terms: &str,
) -> QuoteSheet {
    let w = head.words;
    let (rows, sums) = rows(asked, quote, view, w);
    QuoteSheet {
        currency: asked.currency.clone(),
        rows,
        sums,
        parts: parts(asked, quote, w),
        terms: terms
            .lines()
            .map(str::trim)
            .filter(|l| !l.is_empty())
            .map(str::to_owned)
            .collect(),
        ..head
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::web::quote::typed::Typed;

    fn asked(show: &str) -> (Asked, Quote, View) {
        let pairs = [
            ("currency", "USD"),
            ("show", show),
            ("goods/0/kind", "cloth"),
            ("goods/0/words", "Crepe"),
            ("goods/0/amount", "2 5/8"),
            ("goods/0/count", "yd"),
            ("goods/0/each", "28"),
            ("goods/1/kind", "lining"),
            ("goods/1/words", "Lining"),
            ("goods/1/amount", "1.25"),
            ("goods/1/count", "m"),
            ("goods/1/hers", "yes"),
            ("goods/2/words", "Thread"),
            ("goods/2/each", "35"),
            ("waste", "10"),
            ("margin", "15"),
            ("overhead", "6"),
            ("work/0/stage", "hand"),
            ("work/0/hours", "1"),
            ("work/0/rate", "22"),
            ("work/1/stage", "fitting"),
            ("work/1/times", "2"),
            ("work/1/hours", "1.5"),
            ("work/1/rate", "22"),
            ("tax", "20"),
            ("tax_name", "VAT"),
        ];
        let pairs: Vec<(String, String)> = pairs
            .iter()
            .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
            .collect();
        let typed = Typed::of_form(&pairs);
        let asked = typed.read().unwrap();
        let quote = lay::quote::reckon(&asked).unwrap();
        (asked, quote, typed.view())
    }

    /// Would catch an inside figure on the client's sheet: margin, waste, overhead, an hour's price.
    #[test]
    fn the_client_s_sheet_hides_what_is_inside() {
        for show in ["stages", "one line"] {
            let (asked, quote, view) = asked(show);
            let sheet = sheet(QuoteSheet::default(), &asked, &quote, view, "");
            let said = format!("{sheet:?}");
            for hidden in [
                "Margin", "Waste", "Overhead", "22.00", "6.00", "28.00", "15 %", "10 %",
            ] {
                assert!(!said.contains(hidden), "{hidden} in {said}");
            }
        }
        let (asked, quote, view) = asked("inside");
        let said = format!(
            "{:?}",
            sheet(QuoteSheet::default(), &asked, &quote, view, "")
        );
        for told in [
            "2 5/8 yd at 28.00",
            "1.25 m, you bring it",
            "2 times 1.5 hours at 22.00",
            "15 % of the price",
            "4 hours at 6.00",
        ] {
            assert!(said.contains(told), "{told} in {said}");
        }
    }

    /// Would catch a sheet on which the lines do not come to the sums.
    #[test]
    fn lines_come_to_the_sums() {
        for show in ["inside", "stages", "one line"] {
            let (asked, quote, view) = asked(show);
            let cents = |text: &str| {
                Money::read(&format!("{} USD", text.trim_start_matches('-')))
                    .unwrap()
                    .minor()
                    * if text.starts_with('-') { -1 } else { 1 }
            };
            let (rows, sums) = rows(&asked, &quote, view, &ENGLISH);
            let all: i64 = rows.iter().map(|r| cents(&r.in_all)).sum();
            assert_eq!(all, cents(&sums[0].in_all));
            assert_eq!(
                cents(&sums[0].in_all) + cents(&sums[1].in_all),
                cents(&sums[2].in_all)
            );
            assert_eq!(sums[1].what, "VAT, 20 %");
        }
    }
}
