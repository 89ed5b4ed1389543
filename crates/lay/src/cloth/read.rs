//! Reading a cloth's page. All its faults are told at once, each with its line.

use measure::fraction::{self, Unit};
use measure::page::{self, Entry, Fault, Form, Said, fault, key, quoted};
use measure::{Length, words};

use super::{Cloth, Flaw, Fold, Nap, Price, Runs, Scrap, Sold};
use crate::money::Money;

/// A page longer than this is no cloth.
const LONGEST: usize = 64 * 1024;
/// No cloth is wider, in inches.
const WIDEST: f64 = 200.0;
/// No bolt is longer, in inches: 500 yards.
const LONGEST_BOLT: f64 = 18_000.0;
/// Grams a square metre of a momme of silk (common practice: 4.34; W16).
const MOMME: f64 = 4.34;
/// Grams a square metre of an ounce a square yard: 28.349523125 / 0.9144².
const OUNCE: f64 = 28.349_523_125 / (0.9144 * 0.9144);
/// No cloth is heavier, in grams a square metre.
const HEAVIEST: f64 = 3000.0;

const FORM: Form = Form {
    called: "cloth",
    heading: None,
    days: &[],
    example: "width = \"58 in\"",
    value: "what the shop says",
};

pub(super) const KEYS: [&str; 21] = [
    "name",
    "unit",
    "width",
    "selvedge",
    "fold",
    "fold_depth",
    "nap",
    "length_runs",
    "repeat",
    "match",
    "flaws",
    "join",
    "shrink_along",
    "shrink_across",
    "stretch_round_body",
    "in_hand",
    "scraps",
    "price",
    "fibre",
    "make",
    "weight",
];

/// Reads `CLOTH.toml`.
///
/// `unit` says how bare numbers are meant and how the shop sells: `in` and `yd` mean widths in inches
/// and a price for the yard, `cm` and `m` widths in centimetres and a price for the metre; what is in
/// hand is in the unit itself.
///
/// # Errors
/// Every fault of the page at once, in the order of its lines: text that is not TOML, a name that is
/// not known, a value of the wrong sort, less than nothing or larger than any cloth.
///
/// # Example
/// ```
/// use measure::Length;
/// let page = "name = \"crepe\"\nunit = \"in\"\nwidth = 58\n";
/// let cloth = lay::cloth::read(page).unwrap();
/// assert_eq!(cloth.usable(), Some(Length::inches(58.0)));
///
/// let faults = lay::cloth::read(&page.replace("width", "wide")).unwrap_err();
/// assert_eq!(faults[0].line, Some(3));
/// assert!(faults[0].hint.contains("width"));
/// ```
pub fn read(text: &str) -> Result<Cloth, Vec<Fault>> {
    if text.len() > LONGEST {
        return Err(vec![fault(
            None,
            "This page is too long to be a cloth.",
            "A cloth is a dozen lines: its name, its width, how it lies.",
        )]);
    }
    let (entries, faults) = page::read(text, &FORM);
    let mut reader = Reader {
        entries: &entries,
        faults,
        unit: None,
        told_unit: false,
    };
    let cloth = reader.cloth();
    let mut faults = reader.faults;
    if faults.is_empty() {
        return Ok(cloth);
    }
    page::in_order(&mut faults);
    Err(faults)
}

/// The unit of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum PageUnit {
    Inch,
    Yard,
    Cm,
    Metre,
}

impl PageUnit {
    const fn bare(self) -> Unit {
        match self {
            Self::Inch | Self::Yard => Unit::Inch,
            Self::Cm | Self::Metre => Unit::Cm,
        }
    }

    const fn sold(self) -> Sold {
        match self {
            Self::Inch | Self::Yard => Sold::Yard,
            Self::Cm | Self::Metre => Sold::Metre,
        }
    }

    /// How many of the bare unit one of it is.
    const fn long(self) -> f64 {
        match self {
            Self::Inch | Self::Cm => 1.0,
            Self::Yard => 36.0,
            Self::Metre => 100.0,
        }
    }
}

struct Reader<'a> {
    entries: &'a [Entry],
    faults: Vec<Fault>,
    unit: Option<PageUnit>,
    /// That a bare number needs a unit was told already.
    told_unit: bool,
}

impl<'a> Reader<'a> {
    fn said(&self, name: &str) -> Option<&'a Entry> {
        self.entries.iter().find(|e| e.name == name)
    }

    fn fault(&mut self, entry: &Entry, says: impl Into<String>, hint: impl Into<String>) {
        self.faults.push(entry.fault(says, hint));
    }

    fn cloth(&mut self) -> Cloth {
        for entry in self.entries {
            if !KEYS.contains(&entry.name.as_str()) {
                self.unknown(entry);
            }
        }
        let unit = self.one_of(
            "unit",
            &[
                ("in", PageUnit::Inch),
                ("cm", PageUnit::Cm),
                ("yd", PageUnit::Yard),
                ("m", PageUnit::Metre),
            ],
        );
        // A unit that is wrong has been told; bare numbers are not told again.
        self.told_unit = unit.is_none() && self.said("unit").is_some();
        self.unit = unit;
        let mut cloth = Cloth {
            name: self.text("name").unwrap_or_default(),
            width: self.length("width", WIDEST, true),
            selvedge: self
                .length("selvedge", WIDEST, false)
                .unwrap_or(Length::ZERO),
            repeat: self.length("repeat", WIDEST, true),
            in_hand: self.length("in_hand", LONGEST_BOLT, true),
            flaws: self.flaws(),
            scraps: self.scraps(),
            join: self.join(),
            matched_at: self.text("match"),
            fold_depth: self.length("fold_depth", WIDEST, true),
            shrink_along: self.share("shrink_along", 0.5).unwrap_or(0.0),
            shrink_across: self.share("shrink_across", 0.5).unwrap_or(0.0),
            stretch_round_body: self.share("stretch_round_body", 3.0).unwrap_or(0.0),
            weight: self.weight(),
            fibre: self.text("fibre"),
            make: self.text("make"),
            price: self.price(),
            sold: unit.map(PageUnit::sold),
            ..Cloth::default()
        };
        cloth.fold = self
            .one_of("fold", &Fold::ALL.map(|f| (f.word(), f)))
            .unwrap_or_default();
        cloth.nap = self
            .one_of("nap", &[("two-way", Nap::TwoWay), ("one-way", Nap::OneWay)])
            .unwrap_or_default();
        cloth.length_runs = self
            .one_of(
                "length_runs",
                &[("along", Runs::Along), ("across", Runs::Across)],
            )
            .unwrap_or_default();
        if let (Some(entry), None, None) = (self.said("match"), cloth.repeat, self.said("repeat")) {
            self.fault(
                entry,
                "`match` is for cloth whose pattern repeats.",
                "Say after what length it comes again, `repeat = \"12 in\"`, or leave the line out.",
            );
        }
        if let (Some(entry), Fold::Crosswise, Nap::OneWay) =
            (self.said("fold"), cloth.fold, cloth.nap)
        {
            self.fault(
                entry,
                "Folded across, the upper layer lies the other way round, and this cloth has a nap.",
                "Cut it in two and turn one length round, `fold = \"double\"`; or fold it along its length.",
            );
        }
        if let (Some(entry), Some(depth)) = (self.said("fold_depth"), cloth.fold_depth) {
            if cloth.fold != Fold::Part {
                self.fault(
                    entry,
                    "`fold_depth` is for cloth of which a part is folded.",
                    "Write `fold = \"part\"` with it, or leave the line out.",
                );
            } else if cloth.width.is_some_and(|w| depth * 2.0 > w) {
                self.fault(
                    entry,
                    format!("`fold_depth` is {}, more than half of the width.", quoted(&entry.typed)),
                    "It is from the fold to the edge that is turned in. Without the line it is as deep as the pieces ask.",
                );
            } else if depth <= cloth.selvedge {
                self.fault(
                    entry,
                    "`fold_depth` is no more than the selvedge takes.",
                    "It is from the fold to the edge that is turned in, its selvedge with it.",
                );
            }
        }
        self.flaws_on(&cloth);
        if let (Some(entry), Some(width)) = (self.said("selvedge"), cloth.width)
            && cloth.selvedge * 2.0 >= width
        {
            self.fault(
                entry,
                "The two selvedges together are as wide as the cloth.",
                "`selvedge` is what one of them takes, often 1/2 in.",
            );
        }
        cloth
    }

    /// The allowance of a join: from an eighth of an inch to two inches.
    fn join(&mut self) -> Option<Length> {
        let allowance = self.length("join", WIDEST, true)?;
        if crate::join::may_be_allowed(allowance) {
            return Some(allowance);
        }
        let entry = self.said("join")?;
        self.fault(
            entry,
            format!(
                "`join` is {}, and it is what a join is allowed on each side.",
                quoted(&entry.typed)
            ),
            "Write from 1/8 in to 2 in, usually `join = \"1/2 in\"`.",
        );
        None
    }

    fn unknown(&mut self, entry: &Entry) {
        let folded = entry.name.trim().to_lowercase().replace([' ', '-'], "_");
        let near = if KEYS.contains(&folded.as_str()) {
            Some(folded.as_str())
        } else {
            words::nearest(&folded, KEYS)
        };
        let hint = match near {
            Some(near) => format!("Did you mean `{near}`?"),
            None => format!("A cloth may have {} and `weight`.", {
                let all: Vec<String> = KEYS[..KEYS.len() - 1]
                    .iter()
                    .map(|k| format!("`{k}`"))
                    .collect();
                all.join(", ")
            }),
        };
        self.fault(
            entry,
            format!("A cloth has no {}.", quoted(&entry.name)),
            hint,
        );
    }

    fn text(&mut self, name: &str) -> Option<String> {
        let entry = self.said(name)?;
        match &entry.said {
            Said::Text(text) if !text.trim().is_empty() => Some(text.trim().to_owned()),
            _ => {
                self.fault(
                    entry,
                    format!("`{name}` must be words in quotes."),
                    format!("Write `{name} = \"…\"`, or leave the line out."),
                );
                None
            }
        }
    }

    fn one_of<T: Copy>(&mut self, name: &str, all: &[(&str, T)]) -> Option<T> {
        let entry = self.said(name)?;
        if let Said::Text(text) = &entry.said {
            let found = all.iter().find(|(word, _)| *word == text.trim());
            if let Some((_, value)) = found {
                return Some(*value);
            }
        }
        let ways: Vec<String> = all
            .iter()
            .map(|(word, _)| format!("`{name} = \"{word}\"`"))
            .collect();
        let hint = match ways.as_slice() {
            [first, second] => format!("Write {first} or {second}."),
            [head @ .., last] => format!("Write {} or {last}.", head.join(", ")),
            [] => String::new(),
        };
        let says = match &entry.said {
            Said::Text(text) => format!("`{name}` can't be {}.", quoted(text)),
            _ => format!("`{name}` must be a word in quotes."),
        };
        self.fault(entry, says, hint);
        None
    }

    /// A length, at most so many inches; `some` when nothing will not do.
    fn length(&mut self, name: &str, most: f64, some: bool) -> Option<Length> {
        let entry = self.said(name)?;
        let typed = match &entry.said {
            Said::Text(text) | Said::Number(text) => text.as_str(),
            _ => {
                self.fault(
                    entry,
                    format!("`{name}` must be one length."),
                    format!("Write it like `{name} = \"58 in\"`."),
                );
                return None;
            }
        };
        let bare = fraction::unit_said(typed).is_none();
        let length = self.measured(entry, typed)?;
        let length = match self.unit {
            Some(unit) if bare && name == "in_hand" => length * unit.long(),
            _ => length,
        };
        let inches = length.in_inches();
        if inches < 0.0 || (some && inches <= 0.0) {
            self.fault(
                entry,
                format!(
                    "`{name}` is {}nothing.",
                    if inches < 0.0 { "less than " } else { "" }
                ),
                "Write what the shop says, or leave the line out.",
            );
            return None;
        }
        if inches > most {
            self.fault(
                entry,
                format!("`{name}` is {}, more than any cloth.", quoted(typed)),
                "Look at the number and its unit.",
            );
            return None;
        }
        Some(length)
    }

    /// The length that a text says; bare numbers are in the page's unit.
    fn measured(&mut self, entry: &Entry, typed: &str) -> Option<Length> {
        let bare = self
            .unit
            .map(PageUnit::bare)
            .or_else(|| self.told_unit.then_some(Unit::Inch));
        match fraction::read(typed, bare) {
            Ok(length) => Some(length),
            Err(_) if bare.is_none() && fraction::read(typed, Some(Unit::Inch)).is_ok() => {
                self.told_unit = true;
                self.fault(
                    entry,
                    format!(
                        "{} has a number without a unit, and the cloth names none.",
                        quoted(&entry.name)
                    ),
                    "Add a line `unit = \"in\"`, `\"cm\"`, `\"yd\"` or `\"m\"`.",
                );
                None
            }
            Err(why) => {
                self.fault(
                    entry,
                    format!("{}: {}", quoted(&entry.name), why.says),
                    why.hint,
                );
                None
            }
        }
    }

    /// A share, at most so much of one.
    fn share(&mut self, name: &str, most: f64) -> Option<f64> {
        let entry = self.said(name)?;
        let share = match &entry.said {
            Said::Text(text) => text
                .trim()
                .strip_suffix('%')
                .and_then(|t| plain_number(t.trim()))
                .map(|percent| percent / 100.0),
            // Nothing is nothing in any unit; of another bare number nobody knows whether it is a
            // share or a percentage.
            Said::Number(text) if plain_number(text) == Some(0.0) => Some(0.0),
            _ => None,
        };
        let Some(share) = share else {
            self.fault(
                entry,
                format!(
                    "`{name}` must be a percentage; {} is none.",
                    quoted(&entry.typed)
                ),
                format!("Write it like `{name} = \"4 %\"`."),
            );
            return None;
        };
        if share > most {
            self.fault(
                entry,
                format!("`{name}` is more than {:.0} %.", most * 100.0),
                "Look at the number: (before - after) / before of a square that was steamed, or how far it gives.",
            );
            return None;
        }
        Some(share)
    }

    /// Grams a square metre.
    fn weight(&mut self) -> Option<f64> {
        let entry = self.said("weight")?;
        let grams = match &entry.said {
            Said::Number(text) => plain_number(text),
            Said::Text(text) => {
                let text = text.trim().to_lowercase();
                let split = text
                    .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
                    .unwrap_or(text.len());
                let (number, unit) = text.split_at(split);
                let each = match unit.trim() {
                    "" | "g" | "gsm" | "g/m2" | "g/m²" | "grams" => Some(1.0),
                    // A shop's "mm" of silk is momme, never millimetres (trade page on words).
                    "momme" | "mm" => Some(MOMME),
                    "oz" | "oz/yd2" | "oz/yd²" | "ounces" => Some(OUNCE),
                    _ => None,
                };
                plain_number(number).zip(each).map(|(n, e)| n * e)
            }
            _ => None,
        };
        match grams.filter(|g| *g > 0.0 && *g <= HEAVIEST) {
            Some(grams) => Some(grams),
            None => {
                self.fault(
                    entry,
                    format!("`weight` can't be {}.", quoted(&entry.typed)),
                    "Write grams a square metre, like `weight = 180`, or `\"19 momme\"`, or `\"5 oz\"` a square yard.",
                );
                None
            }
        }
    }

    fn price(&mut self) -> Option<Price> {
        let entry = self.said("price")?;
        let Said::Text(text) = &entry.said else {
            self.fault(
                entry,
                "`price` must be an amount and its currency, in quotes.",
                "Write it like `price = \"28.00 EUR\"`.",
            );
            return None;
        };
        let money = match Money::read(text) {
            Ok(money) => money,
            Err(why) => {
                self.fault(entry, why.says, why.hint);
                return None;
            }
        };
        let Some(unit) = self.unit else {
            if !self.told_unit {
                self.told_unit = true;
                self.fault(
                    entry,
                    "Nothing says whether the price is for the yard or the metre.",
                    "Add a line `unit = \"yd\"` or `unit = \"m\"`.",
                );
            }
            return None;
        };
        Some(Price {
            money,
            per: unit.sold(),
        })
    }

    /// `"40 in along, 12 in across, 1 in round"`, each in a list.
    fn flaws(&mut self) -> Vec<Flaw> {
        let Some(entry) = self.said("flaws") else {
            return Vec::new();
        };
        let Said::List(all) = &entry.said else {
            self.flaw_fault(entry, &entry.typed);
            return Vec::new();
        };
        let mut out = Vec::new();
        for each in all {
            let Said::Text(text) = each else {
                self.flaw_fault(entry, &entry.typed);
                continue;
            };
            let mut flaw = (None, None, None);
            let mut clean = true;
            for part in text.split(',') {
                let (length, word) = part.trim().rsplit_once(' ').unwrap_or((part, ""));
                let slot = match word {
                    "along" => &mut flaw.0,
                    "across" => &mut flaw.1,
                    "round" => &mut flaw.2,
                    _ => {
                        clean = false;
                        break;
                    }
                };
                let told = self.faults.len();
                let read = self.measured(entry, length);
                if self.faults.len() > told {
                    // The length itself has been told.
                    flaw = (None, None, None);
                    clean = true;
                    break;
                }
                clean &= slot.is_none() && read.is_some_and(|l| l >= Length::ZERO);
                *slot = read;
            }
            match flaw {
                (Some(along), Some(across), round) if clean => out.push(Flaw {
                    along,
                    across,
                    round: round.unwrap_or(Length::inches(0.5)),
                }),
                (None, None, None) if clean => {}
                _ => self.flaw_fault(entry, text),
            }
        }
        out
    }

    /// That each flaw is on the cloth: no farther across than it is wide, no farther along than a bolt.
    fn flaws_on(&mut self, cloth: &Cloth) {
        let Some(entry) = self.said("flaws") else {
            return;
        };
        let unit = self.unit.map_or(Unit::Inch, PageUnit::bare);
        let shown = |l: Length| fraction::show(l, fraction::Shown::usual(unit));
        for flaw in &cloth.flaws {
            if let Some(width) = cloth.width
                && flaw.across - flaw.round >= width
            {
                self.fault(
                    entry,
                    format!(
                        "The flaw {} across lies outside the cloth, which is {} wide.",
                        shown(flaw.across),
                        shown(width)
                    ),
                    "Measure it again from one selvedge, and look at its unit; or leave it out.",
                );
            }
            if flaw.along > Length::inches(LONGEST_BOLT) {
                self.fault(
                    entry,
                    format!(
                        "The flaw {} along lies farther than any cloth is long.",
                        shown(flaw.along)
                    ),
                    "Measure it again from the cut end, and look at its unit; or leave it out.",
                );
            }
        }
    }

    /// `"12 in wide, 20 in long"`, each in a list.
    fn scraps(&mut self) -> Vec<Scrap> {
        let Some(entry) = self.said("scraps") else {
            return Vec::new();
        };
        let Said::List(all) = &entry.said else {
            self.scrap_fault(entry, &entry.typed);
            return Vec::new();
        };
        if all.len() > crate::scraps::MOST {
            self.fault(
                entry,
                format!(
                    "There are {} scraps; at most {} are looked at.",
                    all.len(),
                    crate::scraps::MOST
                ),
                "Name the largest.",
            );
            return Vec::new();
        }
        let mut out = Vec::new();
        for each in all {
            let Said::Text(text) = each else {
                self.scrap_fault(entry, &entry.typed);
                continue;
            };
            let (mut wide, mut long) = (None, None);
            let told = self.faults.len();
            for part in text.split(',') {
                let (length, word) = part.trim().rsplit_once(' ').unwrap_or((part, ""));
                let slot = match word {
                    "wide" if wide.is_none() => &mut wide,
                    "long" if long.is_none() => &mut long,
                    _ => {
                        (wide, long) = (None, None);
                        break;
                    }
                };
                *slot = self.measured(entry, length);
            }
            let fits = |l: Length, most: f64| l > Length::ZERO && l.in_inches() <= most;
            match (wide, long) {
                (Some(wide), Some(long)) if fits(wide, WIDEST) && fits(long, LONGEST_BOLT) => {
                    out.push(Scrap { wide, long });
                }
                _ if self.faults.len() > told => {}
                _ => self.scrap_fault(entry, text),
            }
        }
        out
    }

    fn scrap_fault(&mut self, entry: &Entry, text: &str) {
        self.fault(
            entry,
            format!("I can't read the scrap {}.", quoted(text)),
            format!(
                "Write how wide it is across its grain and how long along it: `{} = [\"12 in wide, 20 in long\"]`.",
                key("scraps")
            ),
        );
    }

    fn flaw_fault(&mut self, entry: &Entry, text: &str) {
        self.fault(
            entry,
            format!("I can't read the flaw {}.", quoted(text)),
            format!(
                "Write where it is from the cut end and from one selvedge, and how far to keep from it: `{} = [\"40 in along, 12 in across, 1 in round\"]`.",
                key("flaws")
            ),
        );
    }
}

/// Digits with at most one point or comma.
fn plain_number(text: &str) -> Option<f64> {
    let even = text.replace(',', ".");
    let plain = !even.is_empty()
        && even.len() < 16
        && even.bytes().any(|b| b.is_ascii_digit())
        && even.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    plain.then(|| even.parse().ok()).flatten()
}
