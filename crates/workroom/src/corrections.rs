//! Reading a page of corrections: what was pinned at a fitting. `docs/corrections.md` shows one.

use draft::Correction;
use draft::correction::{Between, Layers, Place, Side};
use measure::Length;
use measure::fraction::{self, Unit};
use measure::page::{self, Entry, Fault, Form, Said, fault, key, quoted};

/// A page longer than this holds more than corrections.
const LONGEST: usize = 256 * 1024;
/// More corrections than this are another pattern.
const MOST: usize = 200;

const FORM: Form = Form {
    called: "page of corrections",
    heading: Some("[correction]"),
    days: &[],
    example: "edge = \"side\"",
    value: "what was pinned",
};

const KEYS: [&str; 13] = [
    "key", "piece", "edge", "from", "to", "start", "middle", "end", "points", "fade", "side",
    "layers", "words",
];

/// Reads a page of corrections, in their order.
///
/// # Errors
/// Every fault of the page at once, in the order of its lines.
pub(crate) fn read(text: &str) -> Result<Vec<Correction>, Vec<Fault>> {
    if text.len() > LONGEST {
        return Err(vec![fault(
            None,
            "This page is too long.",
            "A correction is half a dozen lines.",
        )]);
    }
    let (entries, faults) = page::read(text, &FORM);
    let mut reader = Reader { faults, unit: None };
    let all = reader.page(&entries);
    let mut faults = reader.faults;
    if faults.is_empty() {
        return Ok(all);
    }
    page::in_order(&mut faults);
    Err(faults)
}

struct Reader {
    faults: Vec<Fault>,
    unit: Option<Unit>,
}

impl Reader {
    fn page(&mut self, entries: &[Entry]) -> Vec<Correction> {
        if let Some(entry) = entries.iter().find(|e| e.name == "unit") {
            match &entry.said {
                Said::Text(t) if t.trim() == "in" => self.unit = Some(Unit::Inch),
                Said::Text(t) if t.trim() == "cm" => self.unit = Some(Unit::Cm),
                _ => self.faults.push(entry.fault(
                    format!("The unit can't be {}.", quoted(&entry.typed)),
                    "Write `unit = \"in\"` or `unit = \"cm\"`.",
                )),
            }
        }
        let mut all = Vec::new();
        let mut any = false;
        for entry in entries {
            match (entry.name.as_str(), &entry.said) {
                ("unit", _) => {}
                ("correction", Said::List(list)) => {
                    any = true;
                    for each in list {
                        let Said::Below(lines) = each else {
                            self.faults.push(entry.fault(
                                "This is no correction.",
                                "Each begins with `[[correction]]` on a line by itself.",
                            ));
                            continue;
                        };
                        all.extend(self.one(entry, lines));
                    }
                }
                ("correction", Said::Below(_)) => {
                    any = true;
                    self.faults.push(entry.fault(
                        "The heading `[correction]` wants double brackets, for there may be several.",
                        "Write `[[correction]]`.",
                    ));
                }
                (name, _) => self.faults.push(entry.fault(
                    format!("I don't know {}.", quoted(name)),
                    "A page of corrections has `unit`, and `[[correction]]` above the lines of each.",
                )),
            }
        }
        if !any && self.faults.is_empty() {
            self.faults.push(fault(
                None,
                "There is no correction on this page.",
                "Each begins with `[[correction]]` on a line by itself.",
            ));
        }
        if all.len() > MOST {
            self.faults.push(fault(
                None,
                format!(
                    "{} corrections are too many; {MOST} is the most.",
                    all.len()
                ),
                "Draw the piece anew.",
            ));
        }
        all
    }

    fn one(&mut self, heading: &Entry, lines: &[Entry]) -> Option<Correction> {
        let before = self.faults.len();
        for line in lines {
            if !KEYS.contains(&line.name.as_str()) {
                let hint = match measure::words::nearest(&line.name, KEYS) {
                    Some(meant) => format!("Did you mean `{meant}`?"),
                    None => format!("A correction has {}.", KEYS.join(", ")),
                };
                self.faults
                    .push(line.fault(format!("I don't know {}.", quoted(&line.name)), hint));
            }
        }
        let at = lines.first().unwrap_or(heading);
        let piece = self.needed(at, lines, "piece", "back");
        let edge = self.needed(at, lines, "edge", "side");
        let from = self.place(lines, "from", Place::Start);
        let to = self.place(lines, "to", Place::End);
        let points = self.points(at, lines);
        let fade = find(lines, "fade").and_then(|e| self.length(e));
        let side = self.word(
            lines,
            "side",
            &[
                ("both", Side::Both),
                ("left", Side::Left),
                ("right", Side::Right),
            ],
        );
        let layers = self.word(
            lines,
            "layers",
            &[("all", Layers::All), ("this", Layers::This)],
        );
        let text = |reader: &mut Self, name: &str| {
            find(lines, name)
                .and_then(|e| reader.text(e))
                .unwrap_or_default()
        };
        let (key, words) = (text(self, "key"), text(self, "words"));
        if self.faults.len() > before {
            return None;
        }
        Some(Correction {
            key,
            piece: piece?,
            edge: edge?,
            from: from?,
            to: to?,
            points: points?,
            fade,
            side: side?,
            layers: layers?,
            words,
        })
    }

    fn needed(&mut self, at: &Entry, lines: &[Entry], name: &str, example: &str) -> Option<String> {
        match find(lines, name) {
            Some(entry) => self.text(entry),
            None => {
                self.faults.push(at.fault(
                    format!("This correction does not say its {name}."),
                    format!("Add `{name} = \"{example}\"`."),
                ));
                None
            }
        }
    }

    fn text(&mut self, entry: &Entry) -> Option<String> {
        match &entry.said {
            Said::Text(text) if !text.trim().is_empty() => Some(text.trim().to_owned()),
            _ => {
                self.faults.push(entry.fault(
                    format!("{} is no name.", quoted(&entry.typed)),
                    format!(
                        "Write it in quotes, like `{} = \"side\"`.",
                        key(&entry.name)
                    ),
                ));
                None
            }
        }
    }

    fn place(&mut self, lines: &[Entry], name: &str, usual: Place) -> Option<Place> {
        let Some(entry) = find(lines, name) else {
            return Some(usual);
        };
        let said = match &entry.said {
            Said::Text(text) => text.trim().to_owned(),
            Said::Number(number) => number.clone(),
            _ => String::new(),
        };
        match place(&said, self.unit) {
            Ok(place) => Some(place),
            Err((says, hint)) => {
                self.faults.push(entry.fault(says, hint));
                None
            }
        }
    }

    /// The points of a correction: those listed, or start, middle and end.
    fn points(&mut self, at: &Entry, lines: &[Entry]) -> Option<Vec<(Between, Length)>> {
        let usual = ["start", "middle", "end"].map(|n| find(lines, n));
        if let Some(entry) = find(lines, "points") {
            if let Some(also) = usual.iter().flatten().next() {
                self.faults.push(also.fault(
                    format!(
                        "{} and `points` both say how far the line moves.",
                        quoted(&also.name)
                    ),
                    "Keep one of them.",
                ));
                return None;
            }
            return self.listed(entry);
        }
        let [start, middle, end] = usual;
        if start.is_none() && middle.is_none() && end.is_none() {
            self.faults.push(at.fault(
                "This correction does not say how far the line moves.",
                "Add `start`, `middle` and `end`, like `start = \"in 1/2\"`, or `points`.",
            ));
            return None;
        }
        let mut amount = |entry: Option<&Entry>| match entry {
            Some(entry) => self.amount(entry, &entry.said).map(Some),
            None => Some(None),
        };
        let (start, middle, end) = (amount(start)?, amount(middle)?, amount(end)?);
        let (s, e) = (start.unwrap_or_default(), end.unwrap_or_default());
        // Without a middle it goes over from the one to the other.
        let m = middle.unwrap_or((s + e) * 0.5);
        let at = Between::Share;
        Some(vec![(at(0.0), s), (at(0.5), m), (at(1.0), e)])
    }

    fn listed(&mut self, entry: &Entry) -> Option<Vec<(Between, Length)>> {
        let odd = |reader: &mut Self| {
            reader.faults.push(entry.fault(
                "I can't read these points.",
                "Write where and how far, like `points = [[\"2 in\", \"out 1/8\"], [\"50 %\", \"0\"]]`.",
            ));
        };
        let Said::List(list) = &entry.said else {
            odd(self);
            return None;
        };
        let mut out = Vec::new();
        for pair in list {
            let Said::List(pair) = pair else {
                odd(self);
                return None;
            };
            let [at, by] = pair.as_slice() else {
                odd(self);
                return None;
            };
            let Some(text) = plain(at) else {
                odd(self);
                return None;
            };
            let between = match text.trim().strip_suffix('%') {
                Some(share) => match share.trim().replace(',', ".").parse::<f64>() {
                    Ok(share) if (0.0..=100.0).contains(&share) => Between::Share(share / 100.0),
                    _ => {
                        self.faults.push(entry.fault(
                            format!("{} is no share of the way.", quoted(&text)),
                            "Write `0 %` up to `100 %`.",
                        ));
                        return None;
                    }
                },
                None => match fraction::read(&text, self.unit) {
                    Ok(at) => Between::Length(at),
                    Err(why) => {
                        self.faults.push(entry.fault(why.says, why.hint));
                        return None;
                    }
                },
            };
            out.push((between, self.amount(entry, by)?));
        }
        if out.is_empty() {
            odd(self);
            return None;
        }
        Some(out)
    }

    /// `in 1/2`, `out 1/4 in`, `-1/2`, `0`.
    fn amount(&mut self, entry: &Entry, said: &Said) -> Option<Length> {
        let Some(text) = plain(said) else {
            self.faults.push(entry.fault(
                format!("{} is no amount.", quoted(&entry.typed)),
                "Write `\"in 1/2\"`, `\"out 1/4\"` or `0`.",
            ));
            return None;
        };
        let text = text.trim();
        if text.trim_start_matches(['-', '+']).trim() == "0" {
            return Some(Length::ZERO);
        }
        let lower = text.to_lowercase();
        let (sign, rest) = if let Some(rest) = lower.strip_prefix("in ") {
            (-1.0, rest)
        } else if let Some(rest) = lower.strip_prefix("out ") {
            (1.0, rest)
        } else {
            (1.0, lower.strip_prefix('+').unwrap_or(&lower))
        };
        match fraction::read(rest, self.unit) {
            Ok(length) => Some(length * sign),
            Err(why) => {
                self.faults.push(entry.fault(why.says, why.hint));
                None
            }
        }
    }

    fn length(&mut self, entry: &Entry) -> Option<Length> {
        let text = plain(&entry.said).unwrap_or_default();
        match fraction::read(&text, self.unit) {
            Ok(length) => Some(length.abs()),
            Err(why) => {
                self.faults.push(entry.fault(why.says, why.hint));
                None
            }
        }
    }

    fn word<T: Copy>(&mut self, lines: &[Entry], name: &str, words: &[(&str, T)]) -> Option<T> {
        let (_, usual) = words.first()?;
        let Some(entry) = find(lines, name) else {
            return Some(*usual);
        };
        let said = plain(&entry.said).unwrap_or_default();
        let found = words.iter().find(|w| w.0 == said.trim().to_lowercase());
        if found.is_none() {
            let known: Vec<String> = words.iter().map(|w| format!("`{}`", w.0)).collect();
            self.faults.push(entry.fault(
                format!("{} can't be {}.", quoted(name), quoted(&entry.typed)),
                format!("It is {}.", known.join(" or ")),
            ));
        }
        found.map(|w| w.1)
    }
}

/// A place of an edge as it is written: `hip side`, `notch 2`, `3 in`, `start`; or what is wrong with
/// it and what to write.
pub(crate) fn place(said: &str, unit: Option<Unit>) -> Result<Place, (String, String)> {
    let said = said.trim();
    let lower = said.to_lowercase();
    if lower == "start" {
        return Ok(Place::Start);
    }
    if lower == "end" {
        return Ok(Place::End);
    }
    if let Some(n) = lower.strip_prefix("notch ") {
        return match n.trim().parse::<usize>() {
            Ok(n) if n > 0 => Ok(Place::Notch(n)),
            _ => Err((
                format!("I can't read the notch {}.", quoted(said)),
                "Notches are counted from where the edge begins, like `notch 2`.".into(),
            )),
        };
    }
    if lower.starts_with(|c: char| c.is_ascii_digit() || "½¼¾⅛⅜⅝⅞.".contains(c)) {
        return fraction::read(said, unit)
            .map(Place::Along)
            .map_err(|why| (why.says, why.hint));
    }
    if said.is_empty() {
        return Err((
            "No place of the edge is named.".into(),
            "Write a point or a neighbour, like `\"hip side\"`, a notch, like `\"notch 2\"`, or how far along it is.".into(),
        ));
    }
    Ok(Place::Named(said.to_owned()))
}

fn find<'e>(lines: &'e [Entry], name: &str) -> Option<&'e Entry> {
    lines.iter().find(|e| e.name == name)
}

fn plain(said: &Said) -> Option<String> {
    match said {
        Said::Text(text) => Some(text.clone()),
        Said::Number(number) => Some(number.clone()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch an amount with the wrong sign, a place that is taken for another kind, and a middle
    /// that is not between the two ends when it is left out.
    #[test]
    fn a_page_is_read() {
        let page = "unit = \"in\"\n\n[[correction]]\npiece = \"back\"\nedge = \"side\"\nfrom = \"waist\"\nto = \"hip side\"\nstart = \"in 1/2\"\nend = 0\nwords = \"second fitting\"\n\n[[correction]]\npiece = \"front\"\nedge = \"hem\"\nfrom = \"notch 2\"\nto = \"3 cm\"\npoints = [[\"0\", \"-1/8\"], [\"1/2\", \"out 1/4\"], [\"100 %\", \"0\"]]\nlayers = \"this\"\nside = \"left\"\n";
        let all = read(page).unwrap();
        assert_eq!(all.len(), 2);
        assert_eq!(all[0].from, Place::Named("waist".into()));
        let by: Vec<f64> = all[0].points.iter().map(|p| p.1.in_inches()).collect();
        assert_eq!(by, [-0.5, -0.25, 0.0]);
        assert_eq!(all[0].layers, Layers::All);
        assert_eq!(all[1].from, Place::Notch(2));
        assert_eq!(all[1].to, Place::Along(Length::cm(3.0)));
        assert_eq!(all[1].points[1].0, Between::Length(Length::inches(0.5)));
        assert_eq!(all[1].points[1].1, Length::inches(0.25));
        assert_eq!((all[1].side, all[1].layers), (Side::Left, Layers::This));
    }

    /// Would catch a fault without its line, and one that hides the others.
    #[test]
    fn every_fault_is_told_with_its_line() {
        let page = "[[correction]]\npiece = \"back\"\nedgy = \"side\"\nstart = \"in 1/2\"\nside = \"up\"\n\n[[correction]]\npiece = \"back\"\nedge = \"side\"\n";
        let faults = read(page).unwrap_err();
        let lines: Vec<usize> = faults.iter().filter_map(|f| f.line).collect();
        assert_eq!(lines, [2, 3, 4, 5, 8], "{faults:?}");
        assert!(faults.iter().any(|f| f.hint.contains("`edge`")));
        assert!(read("").is_err());
        assert!(read("waist = 3\n").is_err());
        assert!(read("[correction]\npiece = \"back\"\n").is_err());
    }
}
