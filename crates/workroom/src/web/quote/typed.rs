//! A quote as she typed it: kept so, and read into what `lay` reckons with.

use std::collections::BTreeMap;

use lay::quote::{
    Asked, Count, Extra, Fault, Goods, Kind, Part, RoundWay, Rounding, Share, Stage, Tax, TaxWay,
    View, Work,
};
use lay::{Exact, Money};
use measure::fraction::ReadFault;
use serde::{Deserialize, Serialize};

use crate::web::parts::quoted::quoted;

/// A line of goods.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct TypedGoods {
    pub(crate) kind: String,
    pub(crate) words: String,
    pub(crate) amount: String,
    pub(crate) count: String,
    pub(crate) each: String,
    /// `yes` when the client brings it.
    pub(crate) hers: String,
    /// Where the amount comes from, told under the line.
    pub(crate) note: String,
    /// The amount that the note is about: another one has no note.
    pub(crate) noted: String,
}

/// A line of work.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct TypedWork {
    pub(crate) stage: String,
    pub(crate) times: String,
    pub(crate) hours: String,
    pub(crate) rate: String,
}

/// Something with a price of its own, or a part that is paid.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct TypedPair {
    pub(crate) words: String,
    pub(crate) much: String,
}

/// All of it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Typed {
    pub(crate) currency: String,
    pub(crate) goods: Vec<TypedGoods>,
    pub(crate) waste: String,
    /// What an hour costs where a stage has no price of its own.
    pub(crate) rate: String,
    pub(crate) work: Vec<TypedWork>,
    pub(crate) overhead: String,
    pub(crate) extras: Vec<TypedPair>,
    pub(crate) margin: String,
    pub(crate) tax_name: String,
    pub(crate) tax: String,
    pub(crate) tax_way: String,
    pub(crate) rounding: String,
    pub(crate) round_way: String,
    pub(crate) parts: Vec<TypedPair>,
    pub(crate) last: String,
    pub(crate) valid: String,
    pub(crate) show: String,
    pub(crate) terms: String,
}

/// Kinds of goods: as kept, and as she reads it.
pub(crate) const KINDS: [(Kind, &str, &str); 6] = [
    (Kind::Cloth, "cloth", "Cloth"),
    (Kind::Lining, "lining", "Lining"),
    (Kind::Interlining, "interlining", "Interlining"),
    (Kind::Net, "net", "Net"),
    (Kind::Notion, "notion", "Notions"),
    (Kind::Trim, "trim", "Trims"),
];

/// Most lines of one sort that a form may bring.
const MOST: usize = 200;

impl TypedGoods {
    pub(crate) fn is_blank(&self) -> bool {
        [&self.words, &self.amount, &self.each]
            .iter()
            .all(|t| t.trim().is_empty())
    }
}

impl TypedGoods {
    /// Without the note when she typed another amount than it tells of.
    fn with_its_note(mut self) -> Self {
        if self.amount != self.noted {
            self.note.clear();
            self.noted.clear();
        }
        self
    }
}

impl TypedWork {
    fn is_blank(&self) -> bool {
        [&self.times, &self.hours]
            .iter()
            .all(|t| t.trim().is_empty())
    }
}

impl TypedPair {
    fn is_blank(&self) -> bool {
        self.words.trim().is_empty() && self.much.trim().is_empty()
    }
}

impl Typed {
    /// What a form brought. Lines that were left blank are left out.
    pub(crate) fn of_form(pairs: &[(String, String)]) -> Self {
        let mut plain: BTreeMap<&str, &str> = BTreeMap::new();
        let mut goods: BTreeMap<usize, TypedGoods> = BTreeMap::new();
        let mut work: BTreeMap<usize, TypedWork> = BTreeMap::new();
        let mut extras: BTreeMap<usize, TypedPair> = BTreeMap::new();
        let mut parts: BTreeMap<usize, TypedPair> = BTreeMap::new();
        for (name, value) in pairs {
            let value = value.trim();
            let mut bits = name.split('/');
            let (list, at, field) = (bits.next(), bits.next(), bits.next());
            let at = at
                .and_then(|a| a.parse::<usize>().ok())
                .filter(|a| *a < MOST);
            let (Some(list), Some(at), Some(field)) = (list, at, field) else {
                plain.insert(name, value);
                continue;
            };
            let value = value.to_owned();
            match (list, field) {
                ("goods", "kind") => goods.entry(at).or_default().kind = value,
                ("goods", "words") => goods.entry(at).or_default().words = value,
                ("goods", "amount") => goods.entry(at).or_default().amount = value,
                ("goods", "count") => goods.entry(at).or_default().count = value,
                ("goods", "each") => goods.entry(at).or_default().each = value,
                ("goods", "hers") => goods.entry(at).or_default().hers = value,
                ("goods", "note") => goods.entry(at).or_default().note = value,
                ("goods", "noted") => goods.entry(at).or_default().noted = value,
                ("work", "stage") => work.entry(at).or_default().stage = value,
                ("work", "times") => work.entry(at).or_default().times = value,
                ("work", "hours") => work.entry(at).or_default().hours = value,
                ("work", "rate") => work.entry(at).or_default().rate = value,
                ("extra", "words") => extras.entry(at).or_default().words = value,
                ("extra", "money") => extras.entry(at).or_default().much = value,
                ("part", "words") => parts.entry(at).or_default().words = value,
                ("part", "share") => parts.entry(at).or_default().much = value,
                _ => {}
            }
        }
        let text = |name: &str| {
            plain
                .get(name)
                .map_or_else(String::new, |v| (*v).to_owned())
        };
        Self {
            currency: text("currency").to_ascii_uppercase(),
            goods: goods
                .into_values()
                .filter(|g| !g.is_blank())
                .map(TypedGoods::with_its_note)
                .collect(),
            waste: text("waste"),
            rate: text("rate"),
            work: work.into_values().filter(|w| !w.is_blank()).collect(),
            overhead: text("overhead"),
            extras: extras.into_values().filter(|e| !e.is_blank()).collect(),
            margin: text("margin"),
            tax_name: text("tax_name"),
            tax: text("tax"),
            tax_way: text("tax_way"),
            rounding: text("rounding"),
            round_way: text("round_way"),
            parts: parts.into_values().filter(|p| !p.is_blank()).collect(),
            last: text("last"),
            valid: text("valid"),
            show: text("show"),
            terms: text("terms"),
        }
    }

    /// As it is kept.
    pub(crate) fn to_json(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// What was kept; what an older program did not know is blank.
    pub(crate) fn of_json(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }

    /// How the client sees it.
    pub(crate) fn view(&self) -> View {
        match self.show.as_str() {
            "inside" => View::Inside,
            "one line" => View::OneLine,
            _ => View::Stages,
        }
    }

    /// Read into what is reckoned with.
    ///
    /// # Errors
    /// Every text that can't be read, at its place.
    pub(crate) fn read(&self) -> Result<Asked, Vec<Fault>> {
        let mut read = Reading {
            currency: &self.currency,
            faults: Vec::new(),
        };
        if Money::new(0, &self.currency).is_none() {
            read.say(
                "currency",
                "This is no currency.",
                "Write its three letters, like EUR or USD.",
            );
            return Err(read.faults);
        }
        let goods = self.goods.iter().enumerate().map(|(at, g)| Goods {
            kind: KINDS
                .iter()
                .find(|(_, name, _)| *name == g.kind)
                .map_or(Kind::Notion, |(k, ..)| *k),
            words: read.words(format!("goods/{at}/words"), &g.words),
            amount: read.amount(format!("goods/{at}/amount"), g),
            count: Count::read(&g.count).unwrap_or(Count::Piece),
            each: if g.hers == "yes" && g.each.is_empty() {
                read.nothing()
            } else {
                read.money(format!("goods/{at}/each"), &g.each)
            },
            hers: g.hers == "yes",
        });
        let goods = goods.collect();
        let waste = read.percent("waste", &self.waste);
        // The usual hour is asked for once, and only where a stage needs it.
        let usual = if self.rate.is_empty() && self.work.iter().all(|w| !w.rate.is_empty()) {
            read.nothing()
        } else {
            read.money("rate".into(), &self.rate)
        };
        let mut work = Vec::new();
        for (at, w) in self.work.iter().enumerate() {
            let times = match w.times.as_str() {
                "" => 1,
                text => text.parse::<u32>().unwrap_or_else(|_| {
                    read.say(
                        format!("work/{at}/times"),
                        "This is no whole number.",
                        "How often is it done: 1, 2, 3?",
                    );
                    1
                }),
            };
            work.push(Work {
                stage: Stage::read(&w.stage).unwrap_or(Stage::Machine),
                times,
                hours: read.number(format!("work/{at}/hours"), &w.hours),
                rate: if w.rate.is_empty() {
                    usual
                } else {
                    read.money(format!("work/{at}/rate"), &w.rate)
                },
            });
        }
        let overhead = if self.overhead.is_empty() {
            read.nothing()
        } else {
            read.money("overhead".into(), &self.overhead)
        };
        let extras = self.extras.iter().enumerate().map(|(at, e)| Extra {
            words: read.words(format!("extra/{at}/words"), &e.words),
            money: read.money(format!("extra/{at}/money"), &e.much),
        });
        let extras = extras.collect();
        let margin = read.percent("margin", &self.margin);
        let percent = read.percent("tax", &self.tax);
        let tax = (percent != Exact::ZERO).then(|| Tax {
            name: if self.tax_name.is_empty() {
                "Tax".into()
            } else {
                self.tax_name.clone()
            },
            percent,
            way: if self.tax_way == "within" {
                TaxWay::Within
            } else {
                TaxWay::Added
            },
        });
        let to = if self.rounding.is_empty() {
            1
        } else {
            read.money("rounding".into(), &self.rounding).minor()
        };
        let way = if self.round_way == "up" {
            RoundWay::Up
        } else {
            RoundWay::Nearest
        };
        let parts = self.parts.iter().enumerate().map(|(at, p)| {
            let place = format!("part/{at}/share");
            let share = match p.much.strip_suffix('%') {
                Some(percent) => Share::Percent(read.number(place, percent.trim())),
                None => Share::Amount(read.money(place, &p.much)),
            };
            Part {
                words: p.words.clone(),
                share,
            }
        });
        let parts = parts.collect();
        let asked = Asked {
            currency: self.currency.clone(),
            goods,
            waste,
            work,
            overhead,
            extras,
            margin,
            tax,
            rounding: Rounding { to, way },
            parts,
            last: self.last.clone(),
        };
        if read.faults.is_empty() {
            Ok(asked)
        } else {
            Err(read.faults)
        }
    }
}

/// Reads text by text, gathering faults.
struct Reading<'a> {
    currency: &'a str,
    faults: Vec<Fault>,
}

impl Reading<'_> {
    fn say(&mut self, place: impl Into<String>, says: &str, hint: &str) {
        self.faults.push(Fault {
            place: place.into(),
            says: says.into(),
            hint: hint.into(),
        });
    }

    fn nothing(&self) -> Money {
        Money::new(0, self.currency)
            .unwrap_or_else(|| unreachable!("the currency was looked at first"))
    }

    fn keep<T>(&mut self, place: String, read: Result<T, ReadFault>, otherwise: T) -> T {
        read.unwrap_or_else(|mut fault| {
            fault.says = quoted(&fault.says);
            self.faults.push(Fault::at(place, fault));
            otherwise
        })
    }

    fn words(&mut self, place: String, text: &str) -> String {
        if text.is_empty() {
            self.say(place, "This line has no name.", "Say what it is.");
        }
        text.to_owned()
    }

    /// How much of it: one piece needs no number, a length of cloth does.
    fn amount(&mut self, place: String, goods: &TypedGoods) -> Exact {
        match (goods.amount.as_str(), Count::read(&goods.count)) {
            ("", Some(Count::Yard | Count::Metre)) => {
                self.say(
                    place,
                    "How much of it is not said.",
                    "Write it like 2 5/8 or 2.4.",
                );
                Exact::ZERO
            }
            ("", _) => Exact::ONE,
            (text, _) => self.number(place, text),
        }
    }

    fn number(&mut self, place: String, text: &str) -> Exact {
        self.keep(place, Exact::read(text), Exact::ZERO)
    }

    /// Blank is nothing; a sign of percent may stand behind it.
    fn percent(&mut self, place: &str, text: &str) -> Exact {
        match text.trim_end_matches('%').trim() {
            "" => Exact::ZERO,
            text => self.number(place.into(), text),
        }
    }

    /// An amount of this quote's currency; its letters may stand behind it.
    fn money(&mut self, place: String, text: &str) -> Money {
        let nothing = self.nothing();
        let bare = text.strip_suffix(self.currency).unwrap_or(text).trim();
        if bare.is_empty() {
            self.say(
                place,
                "There is no price here.",
                "Write what it costs, or 0.",
            );
            return nothing;
        }
        let mut read = Money::read(&format!("{bare} {}", self.currency));
        if let Err(fault) = &mut read {
            // She writes no currency here: it is the quote's.
            fault.hint = "Write an amount like 28.00.".into();
            let with = format!("`{bare} {}`", self.currency);
            fault.says = fault.says.replace(&with, &format!("`{bare}`"));
        }
        self.keep(place, read, nothing)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(pairs: &[(&str, &str)]) -> Typed {
        let pairs: Vec<(String, String)> = pairs
            .iter()
            .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
            .collect();
        Typed::of_form(&pairs)
    }

    /// W13 of the worked examples once more, from the boxes of the page: would catch a box that is read
    /// into another place.
    #[test]
    fn w13_from_the_boxes() {
        let typed = form(&[
            ("currency", "usd"),
            ("goods/0/kind", "cloth"),
            ("goods/0/words", "Cloth"),
            ("goods/0/amount", "5.0"),
            ("goods/0/count", "yd"),
            ("goods/0/each", "28"),
            ("goods/1/kind", "lining"),
            ("goods/1/words", "Lining"),
            ("goods/1/amount", "4 1/4"),
            ("goods/1/count", "yd"),
            ("goods/1/each", "9.00 USD"),
            ("goods/4/kind", "trim"),
            ("goods/4/words", "Trims"),
            ("goods/4/each", "60"),
            ("goods/5/words", "Notions"),
            ("goods/5/each", "35"),
            ("goods/6/kind", "notion"),
            ("goods/6/words", " "),
            ("goods/6/amount", ""),
            ("goods/6/each", ""),
            ("waste", "10 %"),
            ("work/0/stage", "machine"),
            ("work/0/hours", "46"),
            ("work/0/rate", "22"),
            ("overhead", "6"),
            ("margin", "15"),
            ("part/0/words", "With the order"),
            ("part/0/share", "50 %"),
            ("last", "When you fetch it"),
        ]);
        assert_eq!(typed.goods.len(), 4);
        assert_eq!(Typed::of_json(&typed.to_json()), Some(typed.clone()));
        let quote = lay::quote::reckon(&typed.read().unwrap()).unwrap();
        assert_eq!(quote.total.to_string(), "1868.91 USD");
        assert_eq!(quote.parts[0].to_string(), "934.46 USD");
    }

    /// Would catch a bad text that is told at the wrong box, or not at all.
    #[test]
    fn each_bad_text_is_told_at_its_box() {
        let typed = form(&[
            ("currency", "EUR"),
            ("goods/0/words", ""),
            ("goods/0/amount", "two"),
            ("goods/0/each", "nine"),
            ("waste", "-1"),
            ("work/0/times", "x"),
            ("work/0/hours", ""),
            ("work/0/rate", ""),
            ("extra/0/words", "Rush"),
            ("extra/0/money", "1.005"),
            ("margin", "lots"),
            ("rounding", "a"),
            ("part/0/share", "half"),
        ]);
        let faults = typed.read().unwrap_err();
        let places: Vec<&str> = faults.iter().map(|f| f.place.as_str()).collect();
        assert_eq!(
            places,
            [
                "goods/0/words",
                "goods/0/amount",
                "goods/0/each",
                "waste",
                "rate",
                "work/0/times",
                "work/0/hours",
                "extra/0/money",
                "margin",
                "rounding",
                "part/0/share",
            ]
        );
        assert_eq!(
            form(&[("currency", "euro")]).read().unwrap_err()[0].place,
            "currency"
        );
    }
}
