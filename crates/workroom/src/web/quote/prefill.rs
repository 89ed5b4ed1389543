//! A quote begun from what the order holds: its cloths, its lays, its pattern, her prices and habits.

use std::collections::BTreeMap;

use book::{Price, PriceKind};
use draft::Worked;
use lay::shop::{self, Margin, Purchase, Step};
use lay::{Cloth, Exact, Money, Sold};
use measure::Length;
use measure::fraction::{Shown, show};
use sheet::words::{Words, fill};

use super::habits::Habits;
use super::needs;
use super::typed::{Typed, TypedGoods};
use super::written;
use crate::cut_list::{CLOTHS, TOILE};
use crate::glossary;
use crate::laying;
use crate::web::working;

/// A lay that will be cut.
#[derive(Clone, Debug)]
pub(crate) struct ChosenLay {
    /// Of which cloth: `shell`.
    pub(crate) cloth: String,
    /// How long it comes, the cloth not yet shrunk; nothing, where all is cut from scraps.
    pub(crate) length: Length,
}

/// A pattern that can be worked, and what of it is bought by its length.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pattern<'a> {
    pub(crate) worked: &'a Worked,
    /// Its toile, where it has a cloth for one.
    pub(crate) toile: Option<&'a Worked>,
    /// Round the hem.
    pub(crate) hem: Option<Length>,
    /// From the top to the end of the opening.
    pub(crate) opening: Option<Length>,
}

/// What a quote is begun from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct From<'a> {
    pub(crate) habits: Habits<'a>,
    pub(crate) shown: Shown,
    /// The cloths that the order holds, by what they are for, as they were read.
    pub(crate) cloths: &'a [(String, Cloth)],
    pub(crate) lays: &'a [ChosenLay],
    /// The pattern, where it can be worked.
    pub(crate) pattern: Option<Pattern<'a>>,
    /// What things cost today.
    pub(crate) prices: &'a [Price],
}

/// What to buy of one cloth, and how that is known.
#[derive(Clone, Debug)]
pub(crate) struct ToBuy {
    pub(crate) purchase: Purchase,
    /// Told under the line.
    pub(crate) note: String,
}

impl From<'_> {
    /// The steps and the margin for a cloth that is sold so.
    fn ways(&self, sold: Option<Sold>) -> (Step, Margin) {
        let unit = self.shown.unit;
        let step = laying::step_for(sold, self.habits.step(unit));
        (step, self.habits.margin(unit))
    }

    /// The language of her sheets.
    fn words(&self) -> &'static Words {
        working::words(self.habits.0)
    }

    /// Whether all that is cut from a cloth lies on scraps, by its chosen lay.
    fn on_scraps(&self, called: &str) -> bool {
        let lay = self.lays.iter().find(|l| l.cloth == called);
        lay.is_some_and(|l| l.length == Length::ZERO)
    }

    /// What to buy of a cloth: by its chosen lay, else by the rule of thumb.
    pub(crate) fn bought(&self, called: &str, cloth: &Cloth) -> Option<ToBuy> {
        let (step, margin) = self.ways(cloth.sold);
        let said = |length: Length| {
            let sold = step.sold();
            format!("{} {}", hundredths(length / sold.length()), sign(sold))
        };
        if let Some(lay) = self.lays.iter().find(|l| l.cloth == called) {
            let purchase = shop::buy(lay.length, margin, step).ok()?;
            let note = format!(
                "The lay comes to {}; with {} kept for flaws, to the next {step}.",
                said(lay.length),
                said(purchase.margin)
            );
            return Some(ToBuy { purchase, note });
        }
        let pattern = self.pattern?;
        let (worked, part) = if called == TOILE {
            (pattern.toile?, "shell")
        } else {
            (pattern.worked, called)
        };
        let thumb = needs::by_thumb(worked, part, cloth)?;
        // The rule of thumb leaves enough between the pieces: no margin is added to it.
        let purchase = shop::buy(thumb.length, Margin::NONE, step).ok()?;
        let pieces = if thumb.pieces == 1 {
            "1 piece".to_owned()
        } else {
            format!("{} pieces", thumb.pieces)
        };
        let note = format!(
            "By the rule of thumb: {pieces} one beside the other come to {}. A lay needs less: lay it on the Cloth page.",
            said(thumb.length)
        );
        Some(ToBuy { purchase, note })
    }

    /// What a thing costs today, in that currency.
    fn price(&self, kind: PriceKind, name: &str, currency: &str) -> Option<(Money, String)> {
        priced(self.prices, kind, name, currency)
    }
}

/// The price of a thing by its name, in small or large letters.
pub(crate) fn priced(
    prices: &[Price],
    kind: PriceKind,
    name: &str,
    currency: &str,
) -> Option<(Money, String)> {
    let name = name.trim().to_lowercase();
    let of = prices
        .iter()
        .map(|p| &p.price)
        .filter(|p| p.kind == kind && p.currency == currency);
    let found = of.clone().find(|p| p.name.trim().to_lowercase() == name);
    let found = found?;
    Some((
        Money::new(found.minor, &found.currency)?,
        found.unit.clone(),
    ))
}

/// A number of yards or metres, for reading.
fn hundredths(number: f64) -> String {
    format!("{number:.2}")
}

const fn sign(sold: Sold) -> &'static str {
    match sold {
        Sold::Yard => "yd",
        Sold::Metre => "m",
    }
}

/// An amount as she would type it.
fn typed_amount(amount: Exact, sold: Sold) -> String {
    match sold {
        Sold::Yard => amount.fraction(),
        Sold::Metre => amount.to_string(),
    }
}

/// What a cloth is called on the quote: its name, and how wide it is.
fn cloth_words(called: &str, cloth: &Cloth, shown: Shown, words: &Words) -> String {
    let name = if cloth.name.trim().is_empty() {
        check::told::capital(glossary::cloth(called, words))
    } else {
        cloth.name.trim().to_owned()
    };
    match cloth.width {
        Some(width) => {
            let width = words.locale.length(width, shown).replace('\u{a0}', " ");
            format!("{name}, {}", fill(words.lay_wide, &[("width", &width)]))
        }
        None => name,
    }
}

/// The kind of goods that a cloth of the order is.
fn kind_of(called: &str) -> &'static str {
    match called {
        "shell" | TOILE => "cloth",
        "lining" => "lining",
        "interlining" => "interlining",
        "net" => "net",
        _ => "trim",
    }
}

/// The quote as it begins. What is not known is left blank, and says so.
pub(crate) fn prefill(from: &From<'_>) -> Typed {
    let mut typed = from.habits.begin();
    if typed.currency.is_empty() {
        let priced = from.cloths.iter().find_map(|(_, c)| c.price);
        typed.currency = priced.map_or_else(String::new, |p| p.money.currency().to_owned());
    }
    let (currency, words) = (typed.currency.clone(), from.words());
    for (called, cloth) in from.cloths {
        if from.on_scraps(called) {
            continue;
        }
        let bought = from.bought(called, cloth);
        let (step, _) = from.ways(cloth.sold);
        let mut note = bought.as_ref().map_or_else(
            || {
                "How much is not known yet: its width is missing, or no piece is cut from it."
                    .to_owned()
            },
            |b| b.note.clone(),
        );
        let own = cloth
            .price
            .map(|p| p.money)
            .filter(|m| m.currency() == currency);
        let each = own.or_else(|| {
            from.price(PriceKind::Cloth, &cloth.name, &currency)
                .map(|(m, _)| m)
        });
        if each.is_none() && cloth.price.is_some() {
            note.push_str(" Its price is in another currency.");
        }
        typed.goods.push(TypedGoods {
            kind: kind_of(called).into(),
            words: cloth_words(called, cloth, from.shown, words),
            amount: bought.map_or_else(String::new, |b| {
                typed_amount(b.purchase.amount(), b.purchase.step.sold())
            }),
            count: sign(step.sold()).into(),
            each: each.map_or_else(String::new, written::figure),
            note,
            ..TypedGoods::default()
        });
    }
    if from.cloths.is_empty() {
        typed.goods.push(TypedGoods {
            kind: "cloth".into(),
            words: words.quote_cloth.into(),
            count: sign(from.ways(None).0.sold()).into(),
            note: "No cloth is chosen for this order yet: choose it on the Cloth page, or write here how much it takes.".into(),
            ..TypedGoods::default()
        });
    }
    typed.goods.extend(notions(from, &currency));
    for goods in &mut typed.goods {
        goods.noted.clone_from(&goods.amount);
    }
    typed
}

/// Chosen lays that ask for another amount than the quote says, a sentence each: the cloth was laid
/// again since.
pub(crate) fn laid_again(from: &From<'_>, typed: &Typed) -> Vec<String> {
    let mut all = Vec::new();
    for (called, cloth) in from.cloths {
        if !from.lays.iter().any(|l| l.cloth == *called) {
            continue;
        }
        let words = cloth_words(called, cloth, from.shown, from.words());
        let line = typed.goods.iter().find(|g| g.words == words).or_else(|| {
            let mut of_kind = typed.goods.iter().filter(|g| g.kind == kind_of(called));
            of_kind.next().filter(|_| of_kind.next().is_none())
        });
        if let Some(line) = line.filter(|_| from.on_scraps(called)) {
            if Exact::read(&line.amount).is_ok_and(|says| says != Exact::whole(0)) {
                all.push(format!(
                    "{}: its lay now fits on your scraps, so there is nothing to buy, and the quote says {} {}.",
                    line.words, line.amount, line.count
                ));
            }
            continue;
        }
        let (Some(bought), Some(line)) = (from.bought(called, cloth), line) else {
            continue;
        };
        let asks = bought.purchase.amount();
        if Exact::read(&line.amount).is_ok_and(|says| says != asks) {
            all.push(format!(
                "{}: its lay now asks for {}, and the quote says {} {}.",
                line.words, bought.purchase, line.amount, line.count
            ));
        }
    }
    all
}

/// Cloths that the pattern cuts and no line of the quote names, a sentence each: a lining would be sewn, and
/// not be paid. A line with nothing in it names its cloth too: she leaves it out and knows it.
pub(crate) fn not_quoted(from: &From<'_>, typed: &Typed) -> Vec<String> {
    let Some(pattern) = from.pattern else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for called in CLOTHS.iter().filter(|c| **c != TOILE) {
        let cuts = pattern.worked.pieces.iter().flat_map(|piece| &piece.cuts);
        let pieces: u32 = cuts.filter(|c| c.cloth == *called).map(|c| c.count).sum();
        let name = glossary::cloth(called, from.words());
        let named = |words: &str| words.to_lowercase().contains(&name.to_lowercase());
        let in_it = |g: &TypedGoods| g.kind == kind_of(called) || named(&g.words);
        let own = from.cloths.iter().find(|(c, _)| c == called);
        let own = own.map(|(_, cloth)| cloth_words(called, cloth, from.shown, from.words()));
        if pieces == 0
            || from.on_scraps(called)
            || typed
                .goods
                .iter()
                .any(|g| in_it(g) || own.as_ref() == Some(&g.words))
        {
            continue;
        }
        let pieces = match pieces {
            1 => "1 piece".to_owned(),
            many => format!("{many} pieces"),
        };
        all.push(format!(
            "The pattern cuts {pieces} of {name}, and no line here is for it. Set its cloth on the Cloth page and begin afresh, or write a line for it: with 0 where you make it without."
        ));
    }
    all
}

/// Zip and braid, from the pattern.
fn notions(from: &From<'_>, currency: &str) -> Vec<TypedGoods> {
    let mut all = Vec::new();
    let Some(pattern) = from.pattern else {
        return all;
    };
    let price = |names: &[&str]| {
        let found = names
            .iter()
            .find_map(|name| from.price(PriceKind::Notion, name, currency));
        found.map_or_else(String::new, |(money, _)| written::figure(money))
    };
    if let Some(opening) = pattern.opening {
        let zip = needs::zip(opening, from.shown.unit);
        let called = from.words().quote_zip;
        let words = zip
            .as_ref()
            .map_or_else(|| called.to_owned(), |z| format!("{called}, {z}"));
        let note = match zip {
            Some(_) => format!(
                "The opening is {}; it is bought longer and shortened.",
                show(opening, from.shown)
            ),
            None => format!(
                "The opening is {}: longer than the usual zips.",
                show(opening, from.shown)
            ),
        };
        all.push(TypedGoods {
            kind: "notion".into(),
            each: price(&[&words, called, "zip"]),
            words,
            amount: "1".into(),
            count: "piece".into(),
            note,
            ..TypedGoods::default()
        });
    }
    if let Some(hem) = pattern.hem {
        let (step, _) = from.ways(None);
        let braid = from.words().quote_braid;
        if let Ok(bought) = shop::buy(needs::braid(hem), Margin::NONE, step) {
            all.push(TypedGoods {
                kind: "notion".into(),
                words: braid.into(),
                amount: typed_amount(bought.amount(), step.sold()),
                count: sign(step.sold()).into(),
                each: price(&[braid, "horsehair braid", "braid"]),
                note: format!(
                    "The hem is {} round, and {} to join. Empty this line where there is no braid.",
                    show(hem, from.shown),
                    show(needs::braid(Length::ZERO), from.shown)
                ),
                ..TypedGoods::default()
            });
        }
    }
    all
}

/// Fills in the prices that she left blank, from her price book.
pub(crate) fn fill_prices(typed: &mut Typed, prices: &[Price]) {
    let currency = typed.currency.clone();
    for goods in typed
        .goods
        .iter_mut()
        .filter(|g| g.each.is_empty() && g.hers != "yes")
    {
        let kind = match goods.kind.as_str() {
            "notion" | "trim" => PriceKind::Notion,
            _ => PriceKind::Cloth,
        };
        // The width stands behind the cloth's name, the length behind the zip's.
        let bare = goods.words.split(',').next().unwrap_or_default().to_owned();
        let found = [goods.words.clone(), bare].into_iter().find_map(|name| {
            [kind, PriceKind::Notion, PriceKind::Cloth, PriceKind::Other]
                .into_iter()
                .find_map(|k| priced(prices, k, &name, &currency))
        });
        if let Some((money, unit)) = found {
            goods.each = written::figure(money);
            if goods.amount.is_empty() || goods.count.is_empty() {
                goods.count = unit;
            }
        }
    }
}

/// The cloths that an order holds, read; one whose page has faults is left out.
pub(crate) fn cloths(holds: &BTreeMap<String, String>) -> Vec<(String, Cloth)> {
    let mut all: Vec<(String, Cloth)> = holds
        .iter()
        .filter_map(|(key, page)| {
            Some((
                key.strip_prefix("cloth/")?.to_owned(),
                lay::cloth::read(page).ok()?,
            ))
        })
        .collect();
    let place = |called: &str| CLOTHS.iter().position(|c| *c == called).unwrap_or(9);
    all.sort_by_key(|(called, _)| place(called));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn crepe() -> (String, Cloth) {
        let page = "name = \"Plum crepe\"\nunit = \"yd\"\nwidth = 58\nprice = \"28.00 USD\"\n";
        ("shell".into(), lay::cloth::read(page).unwrap())
    }

    /// Would catch a lay that is bought by the wrong step, or a margin that is not kept: 2 1/2 yd and 5 %
    /// and 10 cm (0.109 yd) are 2.734 yd, so 2 3/4.
    #[test]
    fn a_chosen_lay_is_bought_with_its_margin() {
        let set = BTreeMap::new();
        let cloths = [crepe()];
        let lays = [ChosenLay {
            cloth: "shell".into(),
            length: Length::inches(90.0),
        }];
        let from = From {
            habits: Habits(&set),
            shown: Shown::inches(),
            cloths: &cloths,
            lays: &lays,
            pattern: None,
            prices: &[],
        };
        let typed = prefill(&from);
        assert_eq!(typed.currency, "USD");
        let line = &typed.goods[0];
        assert_eq!(
            (
                line.words.as_str(),
                line.amount.as_str(),
                line.count.as_str(),
                line.each.as_str()
            ),
            ("Plum crepe, 58 in wide", "2 3/4", "yd", "28.00")
        );
        assert!(
            line.note.contains("2.50 yd") && line.note.contains("0.23 yd"),
            "{}",
            line.note
        );
        assert!(laid_again(&from, &typed).is_empty());
        // All of it on scraps: nothing of this cloth is on a quote that is begun, and one that was kept is told.
        let lays = [ChosenLay {
            cloth: "shell".into(),
            length: Length::ZERO,
        }];
        let from = From {
            lays: &lays,
            ..from
        };
        assert!(prefill(&from).goods.is_empty());
        let [told] = &laid_again(&from, &typed)[..] else {
            panic!("it is not told");
        };
        assert!(told.contains("nothing to buy") && told.contains("2 3/4 yd"));
    }

    /// Would catch a quote that is begun in English though her sheets are German.
    #[test]
    fn a_quote_is_begun_in_the_language_of_her_sheets() {
        let german = Words::of("de").unwrap();
        let cloth = lay::cloth::read("width = \"58.5 in\"\n").unwrap();
        let metric = Shown::usual(measure::fraction::Unit::Cm);
        assert_eq!(
            cloth_words("lining", &cloth, metric, german),
            "Futter, 148,6 cm breit"
        );
        assert_eq!(
            cloth_words("lining", &cloth, Shown::inches(), &sheet::words::ENGLISH),
            "Lining, 58 1/2 in wide"
        );
    }
}
