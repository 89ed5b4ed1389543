//! Reading a card's page. All its faults are told at once, each with its line.

use super::{Card, CardFault, Measured, MeasuredAngle, canonical, readings};
use crate::angle::Angle;
use crate::date::Date;
use crate::fraction::{self, Unit};
use crate::length::Length;
use crate::names::{self, Kind};
use crate::page::{self, Entry, Form, Said, fault, key, quoted};
use crate::words;

/// A page longer than this is no card.
const LONGEST: usize = 256 * 1024;

/// Nothing on a body is longer.
const ABSURD: f64 = 200.0;

/// Nothing slopes more, in degrees.
const ABSURD_SLOPE: f64 = 60.0;

const FORM: Form = Form {
    called: "card",
    heading: Some("measures"),
    days: &["taken", "born"],
    example: "waist = \"27 1/2\"",
    value: "what the tape said",
};

const KEYS: [&str; 6] = ["client", "taken", "born", "unit", "notes", "measures"];

/// Reads `CARD.toml`.
///
/// `own_names` are the measures of the drafter's own that some method at hand names; any other
/// unknown name is a fault.
///
/// # Errors
/// Every fault of the page at once, in the order of its lines: text that is not TOML, a heading or
/// name that is not known, a value of the wrong sort, a measure that stands twice, that is no
/// length, nothing or less (only a heel may be nothing), or over 200 in.
///
/// # Example
/// ```
/// use measure::card;
/// let page = "client = \"A\"\nunit = \"in\"\n[measures]\nwaist = \"27 1/2\"\n";
/// let card = card::read(page, &[]).unwrap();
/// assert_eq!(card.get("natural waist"), Some(measure::Length::inches(27.5)));
///
/// let faults = card::read(&page.replace("waist", "wast"), &[]).unwrap_err();
/// assert_eq!(faults[0].line, Some(4));
/// assert!(faults[0].hint.contains("waist"));
/// ```
pub fn read(text: &str, own_names: &[String]) -> Result<Card, Vec<CardFault>> {
    if text.len() > LONGEST {
        return Err(vec![fault(
            None,
            "This page is too long to be a card.",
            "A card holds one client's measures and a few notes.",
        )]);
    }
    let (entries, faults) = page::read(text, &FORM);
    let mut reader = Reader { faults, own_names };
    let card = reader.card(&entries);
    let mut faults = reader.faults;
    if faults.is_empty() {
        return Ok(card);
    }
    page::in_order(&mut faults);
    Err(faults)
}

struct Reader<'a> {
    faults: Vec<CardFault>,
    own_names: &'a [String],
}

impl<'a> Reader<'a> {
    fn fault_at(&mut self, entry: &Entry, says: String, hint: impl Into<String>) {
        self.faults.push(entry.fault(says, hint));
    }

    fn card(&mut self, entries: &[Entry]) -> Card {
        let mut card = Card::new(String::new(), Unit::Inch);
        let said = |key: &str| entries.iter().find(|e| e.name == key);
        for entry in entries {
            if !KEYS.contains(&entry.name.as_str()) {
                self.unknown_key(entry);
            }
        }

        match said("client") {
            Some(entry) => match &entry.said {
                Said::Text(name) if name.trim().is_empty() => self.fault_at(
                    entry,
                    "The client has no name.".to_owned(),
                    "Write her name or a code, like `client = \"Mrs A\"`.",
                ),
                Said::Text(name) => card.client.clone_from(name),
                _ => self.fault_at(
                    entry,
                    "`client` must be a name in quotes.".to_owned(),
                    "Write `client = \"Mrs A\"`.",
                ),
            },
            None => self.missing(
                "client",
                "Add a line `client = \"…\"` with her name or a code.",
            ),
        }
        if let Some(entry) = said("taken") {
            card.taken = self.day(entry);
        }
        if let Some(entry) = said("born") {
            card.born = self.day(entry);
            if card
                .born
                .zip(card.taken)
                .is_some_and(|(born, taken)| born > taken)
            {
                self.fault_at(
                    entry,
                    "She was measured before she was born.".to_owned(),
                    "Look at the years of `born` and `taken`.",
                );
            }
        }
        let unit = match said("unit") {
            Some(entry) => {
                let unit = self.unit(entry);
                // A unit that is wrong has been told; bare numbers are not told again.
                Some(unit.unwrap_or(Unit::Inch))
            }
            None => None,
        };
        if let Some(entry) = said("notes") {
            match &entry.said {
                Said::Text(notes) => card.notes.clone_from(notes),
                _ => self.fault_at(
                    entry,
                    "`notes` must be text in quotes.".to_owned(),
                    "Write `notes = \"…\"`; three quotes at each end let it run over lines.",
                ),
            }
        }
        match said("measures") {
            Some(entry) => match &entry.said {
                Said::Below(below) => self.measures(below, unit, &mut card),
                _ => self.fault_at(
                    entry,
                    "`measures` must be a heading.".to_owned(),
                    "Write `[measures]` on a line by itself, and the measures below it.",
                ),
            },
            None => self.missing(
                "[measures]",
                "Write `[measures]` on a line by itself, and the measures below it.",
            ),
        }
        card.unit = unit
            .or_else(|| card.measured.first().map(|m| m.unit))
            .unwrap_or(Unit::Inch);
        card
    }

    fn missing(&mut self, what: &str, hint: &str) {
        // What could not be read may be just this line; then it has been told already.
        let told = self
            .faults
            .iter()
            .any(|f| f.says.contains(&format!("`{what}`")));
        if !told {
            self.faults
                .push(fault(None, format!("The card has no `{what}`."), hint));
        }
    }

    fn unknown_key(&mut self, entry: &Entry) {
        let known = names::find(&entry.name).is_some() || self.own(&entry.name).is_some();
        let hint = if known {
            "Measures stand below the heading `[measures]`.".to_owned()
        } else {
            match words::nearest(&names::fold(&entry.name), KEYS) {
                Some(near) => format!("Did you mean `{near}`?"),
                None => "Above the measures a card has `client`, `taken`, `unit` and `notes`, and for a child `born`."
                    .to_owned(),
            }
        };
        let says = if known {
            format!(
                "The measure {} stands outside the measures.",
                quoted(&entry.name)
            )
        } else {
            format!("A card has no {}.", quoted(&entry.name))
        };
        self.fault_at(entry, says, hint);
    }

    fn day(&mut self, entry: &Entry) -> Option<Date> {
        let name = &entry.name;
        let hint = format!("Write the day like `{name} = 2026-05-02`, without quotes.");
        let says = match &entry.said {
            Said::Day(day) => return Some(*day),
            Said::Text(text) if Date::read(text).is_some() => {
                format!("`{name}` is a day, and stands without quotes.")
            }
            Said::Text(text) => format!("{} is not a day.", quoted(text)),
            _ => format!("`{name}` must be a day; {} is none.", quoted(&entry.typed)),
        };
        self.fault_at(entry, says, hint);
        None
    }

    fn unit(&mut self, entry: &Entry) -> Option<Unit> {
        match &entry.said {
            Said::Text(text) if text == "in" => Some(Unit::Inch),
            Said::Text(text) if text == "cm" => Some(Unit::Cm),
            Said::Text(text) => {
                self.fault_at(
                    entry,
                    format!("`unit` can't be {}.", quoted(text)),
                    "Write `unit = \"in\"` or `unit = \"cm\"`.",
                );
                None
            }
            _ => {
                self.fault_at(
                    entry,
                    "`unit` must be a word in quotes.".to_owned(),
                    "Write `unit = \"in\"` or `unit = \"cm\"`.",
                );
                None
            }
        }
    }

    fn own(&self, name: &str) -> Option<&'a str> {
        let folded = names::fold(name);
        self.own_names
            .iter()
            .map(String::as_str)
            .find(|own| names::fold(own) == folded)
    }

    /// A measure that was taken two or three times: all readings are kept.
    fn twice(
        &mut self,
        entry: &Entry,
        name: &str,
        all: &[Said],
        unit: Option<Unit>,
        card: &mut Card,
    ) {
        let mut lengths = Vec::new();
        let mut texts = Vec::new();
        for one in all {
            let (Said::Text(text) | Said::Number(text)) = one else {
                lengths.clear();
                break;
            };
            match fraction::read(text, unit) {
                Ok(length) => {
                    if let Some((says, hint)) = unlikely(name, &entry.name, length, text) {
                        self.fault_at(entry, says, hint);
                        return;
                    }
                    lengths.push(length);
                    texts.push(text.as_str());
                }
                Err(why) => {
                    let says = format!("{}: {}", quoted(&entry.name), why.says);
                    self.fault_at(entry, says, why.hint);
                    return;
                }
            }
        }
        let first = lengths.first().copied().filter(|_| lengths.len() <= 3);
        let Some(first) = first else {
            self.fault_at(
                entry,
                format!("{} has readings that can't be read.", quoted(&entry.name)),
                format!(
                    "Write two or three like `{} = [\"27 1/2\", \"27 5/8\"]`.",
                    key(&entry.name)
                ),
            );
            return;
        };
        card.measured.push(Measured {
            name: name.to_owned(),
            length: readings::counted(name, &lengths).unwrap_or(first),
            typed: texts.join(", "),
            unit: unit.unwrap_or(Unit::Inch),
            readings: if lengths.len() > 1 {
                lengths
            } else {
                Vec::new()
            },
            line: Some(entry.line),
        });
    }

    fn measures(&mut self, entries: &[Entry], unit: Option<Unit>, card: &mut Card) {
        let mut told_unit = false;
        let mut seen: Vec<(String, &str, usize)> = Vec::new();
        for entry in entries {
            let known = names::find(&entry.name);
            let own = self.own(&entry.name);
            let Some(name) = known.map(|m| m.name).or(own) else {
                self.unknown_measure(entry);
                continue;
            };
            let folded = canonical(name);
            if let Some((_, before, line)) = seen.iter().find(|(n, _, _)| *n == folded) {
                let says = if names::fold(before) == names::fold(&entry.name) {
                    format!("The measure {} is on the card twice.", quoted(&entry.name))
                } else {
                    format!(
                        "{} and {} are the same measure.",
                        quoted(before),
                        quoted(&entry.name)
                    )
                };
                let hint = format!("It stands already in line {line}; keep the right one.");
                self.fault_at(entry, says, hint);
                continue;
            }
            seen.push((folded, &entry.name, entry.line));

            let typed = match &entry.said {
                Said::Text(text) | Said::Number(text) => text.as_str(),
                Said::List(all) if known.is_none_or(|m| m.kind != Kind::Angle) => {
                    self.twice(entry, name, all, unit, card);
                    continue;
                }
                _ => {
                    self.fault_at(
                        entry,
                        format!("{} must be one length.", quoted(&entry.name)),
                        format!("Write it like `{} = \"27 1/2\"`.", key(&entry.name)),
                    );
                    continue;
                }
            };
            if known.is_some_and(|m| m.kind == Kind::Angle) {
                self.slope(entry, name, typed, card);
                continue;
            }
            // Without a unit on the card one message is enough, however many numbers are bare.
            let bare = unit.or_else(|| told_unit.then_some(Unit::Inch));
            match fraction::read(typed, bare) {
                Ok(length) => {
                    if let Some((says, hint)) = unlikely(name, &entry.name, length, typed) {
                        self.fault_at(entry, says, hint);
                        continue;
                    }
                    card.measured.push(Measured {
                        name: name.to_owned(),
                        length,
                        typed: typed.to_owned(),
                        unit: fraction::unit_said(typed).or(unit).unwrap_or(Unit::Inch),
                        readings: Vec::new(),
                        line: Some(entry.line),
                    });
                }
                Err(_) if unit.is_none() && fraction::read(typed, Some(Unit::Inch)).is_ok() => {
                    told_unit = true;
                    self.fault_at(
                        entry,
                        format!(
                            "{} has a number without a unit, and the card names none.",
                            quoted(&entry.name)
                        ),
                        "Add a line `unit = \"in\"` or `unit = \"cm\"` above the measures.",
                    );
                }
                Err(why) => {
                    self.fault_at(
                        entry,
                        format!("{}: {}", quoted(&entry.name), why.says),
                        why.hint,
                    );
                }
            }
        }
    }

    fn slope(&mut self, entry: &Entry, name: &str, typed: &str, card: &mut Card) {
        let number = typed
            .trim()
            .trim_end_matches("degrees")
            .trim_end_matches("deg")
            .trim_end_matches('°')
            .trim()
            .replace(',', ".");
        let plain = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        let degrees = if plain {
            number.parse::<f64>().ok()
        } else {
            None
        };
        match degrees {
            Some(d) if d > 0.0 && d < ABSURD_SLOPE => card.angles.push(MeasuredAngle {
                name: name.to_owned(),
                angle: Angle::degrees(d),
                typed: typed.to_owned(),
                line: Some(entry.line),
            }),
            _ => self.fault_at(
                entry,
                format!(
                    "{} must be an angle; {} is none.",
                    quoted(&entry.name),
                    quoted(typed)
                ),
                format!("Write it like `{} = \"22 deg\"`.", key(&entry.name)),
            ),
        }
    }

    fn unknown_measure(&mut self, entry: &Entry) {
        let hint = if KEYS.contains(&entry.name.as_str()) {
            format!("`{}` stands above the heading `[measures]`.", entry.name)
        } else {
            match names::meant(&entry.name, self.own_names).as_slice() {
                [] => "`ellwand card --explain` lists the measures. A measure of your own must be named by a method.".to_owned(),
                [one] => format!("Did you mean `{one}`?"),
                [head @ .., last] => format!(
                    "Is it {} or `{last}`?",
                    head.iter().map(|n| format!("`{n}`")).collect::<Vec<_>>().join(", ")
                ),
            }
        };
        self.fault_at(
            entry,
            format!("There is no measure {}.", quoted(&entry.name)),
            hint,
        );
    }
}

/// What makes a length impossible as a measure of a body.
fn unlikely(name: &str, said: &str, length: Length, typed: &str) -> Option<(String, String)> {
    let inches = length.in_inches();
    if inches < 0.0 {
        return Some((
            format!("{} is less than nothing: {}.", quoted(said), quoted(typed)),
            "Write what the tape said, without a minus.".to_owned(),
        ));
    }
    if inches == 0.0 && name != "heel" {
        return Some((
            format!("{} is nothing.", quoted(said)),
            "Write what the tape said, or leave the line out. Only a heel may be 0.".to_owned(),
        ));
    }
    if inches > ABSURD {
        return Some((
            format!("{} is over {ABSURD} in: {}.", quoted(said), quoted(typed)),
            "Look at the number and its unit.".to_owned(),
        ));
    }
    None
}
