//! Reading and writing a page of allowances: the table of the house. `docs/allowances.md` shows one.

use core::fmt::Write as _;

use draft::allowances::{Row, Stage, Table};
use measure::Length;
use measure::fraction::{self, Unit};
use measure::page::{self, Entry, Fault, Form, Said, fault, key, quoted};

/// A page longer than this holds more than a table.
const LONGEST: usize = 64 * 1024;
/// Nobody allows more than this, in inches; more is a slip of the pen.
const WIDEST: f64 = 10.0;
/// The row that means every row of a heading.
const ALL: &str = "all";

const FORM: Form = Form {
    called: "page of allowances",
    heading: Some("cloth"),
    days: &[],
    example: "side = \"1 1/2\"",
    value: "how much is allowed",
};

/// Reads a page of allowances. Without the heading `[toile]` a toile has 1 in everywhere.
///
/// # Errors
/// Every fault of the page at once, in the order of its lines.
pub(crate) fn read(text: &str) -> Result<Table, Vec<Fault>> {
    if text.len() > LONGEST {
        return Err(vec![fault(
            None,
            "This page is too long.",
            "A table of allowances is two dozen lines.",
        )]);
    }
    let (entries, mut faults) = page::read(text, &FORM);
    let mut unit = None;
    if let Some(entry) = entries.iter().find(|e| e.name == "unit") {
        match &entry.said {
            Said::Text(t) if t.trim() == "in" => unit = Some(Unit::Inch),
            Said::Text(t) if t.trim() == "cm" => unit = Some(Unit::Cm),
            _ => faults.push(entry.fault(
                format!("The unit can't be {}.", quoted(&entry.typed)),
                "Write `unit = \"in\"` or `unit = \"cm\"`.",
            )),
        }
    }
    let mut table = Table::default();
    let mut toile = false;
    for entry in &entries {
        match (entry.name.as_str(), &entry.said) {
            ("unit", _) => {}
            ("cloth", Said::Below(lines)) => {
                rows(lines, Stage::Cloth, unit, &mut table, &mut faults);
            }
            ("toile", Said::Below(lines)) => {
                toile = true;
                rows(lines, Stage::Toile, unit, &mut table, &mut faults);
            }
            (name, _) => faults.push(entry.fault(
                format!("I don't know {} here.", quoted(name)),
                "A page of allowances has `unit`, and its rows below `[cloth]` and `[toile]`.",
            )),
        }
    }
    if !toile {
        let usual = Table::usual();
        for row in Row::ALL {
            table.set(row, Stage::Toile, usual.at(row, Stage::Toile));
        }
    }
    if faults.is_empty() {
        return Ok(table);
    }
    page::in_order(&mut faults);
    Err(faults)
}

/// The rows below one heading; `all` stands for every row that is not named itself.
fn rows(
    lines: &[Entry],
    stage: Stage,
    unit: Option<Unit>,
    table: &mut Table,
    faults: &mut Vec<Fault>,
) {
    let mut told: Vec<(Option<Row>, Length)> = Vec::new();
    for line in lines {
        let row = match Row::called(&line.name) {
            _ if line.name == ALL => None,
            Some(row) if stage == Stage::Toile && !row.in_toile() => {
                faults.push(line.fault(
                    format!("A toile has no {}.", quoted(row.key())),
                    "It is cut without facings and lining. Leave this line out.",
                ));
                continue;
            }
            Some(row) => Some(row),
            None => {
                faults.push(unknown(line));
                continue;
            }
        };
        let text = match &line.said {
            Said::Text(text) => text.trim().to_owned(),
            Said::Number(number) => number.clone(),
            _ => {
                faults.push(line.fault(
                    format!("{} is no length.", quoted(&line.typed)),
                    format!(
                        "Write it in quotes, like `{} = \"1 1/2\"`.",
                        key(&line.name)
                    ),
                ));
                continue;
            }
        };
        match width(&text, unit) {
            Ok(None) => {}
            Ok(Some(width)) => told.push((row, width)),
            Err((says, hint)) => faults.push(line.fault(says, hint)),
        }
    }
    // Every row first, then what is said of one.
    told.sort_by_key(|(row, _)| row.is_some());
    for (row, width) in told {
        match row {
            Some(row) => table.set(row, stage, Some(width)),
            None => {
                for row in Row::ALL {
                    table.set(row, stage, Some(width));
                }
            }
        }
    }
}

fn unknown(line: &Entry) -> Fault {
    let names = Row::ALL.map(Row::key);
    let known: Vec<String> = names.iter().map(|n| format!("`{n}`")).collect();
    let hint = match measure::words::nearest(&line.name, names) {
        Some(meant) => format!("Did you mean `{meant}`?"),
        None => format!("The rows are {}, and `{ALL}`.", known.join(", ")),
    };
    line.fault(
        format!(
            "There is no row {} in a table of allowances.",
            quoted(&line.name)
        ),
        hint,
    )
}

/// What was typed in a row: a width, or nothing; or what is wrong with it and what to write.
pub(crate) fn width(text: &str, unit: Option<Unit>) -> Result<Option<Length>, (String, String)> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    if text == "0" {
        return Ok(Some(Length::ZERO));
    }
    let width = fraction::read(text, unit).map_err(|why| (why.says, why.hint))?;
    if width < Length::ZERO {
        return Err((
            format!("{} is less than nothing.", quoted(text)),
            "Write how much is allowed, like `1 1/2`.".into(),
        ));
    }
    if width > Length::inches(WIDEST) {
        return Err((
            format!("{} is more than anybody allows.", quoted(text)),
            "The most is 10 in.".into(),
        ));
    }
    Ok(Some(width))
}

/// What is typed in the two columns, row by row in order.
pub(crate) type Typed = [[String; 2]; Row::ALL.len()];

/// What a page has in its rows, as it was typed; a page that can't be read has nothing.
pub(crate) fn typed(text: &str) -> Typed {
    let mut out = Typed::default();
    let (entries, _) = page::read(text, &FORM);
    for (column, heading) in ["cloth", "toile"].into_iter().enumerate() {
        let below = entries.iter().find(|e| e.name == heading);
        let Some(Said::Below(lines)) = below.map(|e| &e.said) else {
            continue;
        };
        for line in lines {
            let said = match &line.said {
                Said::Text(text) | Said::Number(text) => text.trim(),
                _ => continue,
            };
            for (row, cells) in Row::ALL.iter().zip(&mut out) {
                if Row::called(&line.name) == Some(*row) {
                    said.clone_into(&mut cells[column]);
                }
            }
        }
    }
    out
}

/// The page of what is typed, in this unit where none is said.
pub(crate) fn page_of(typed: &Typed, unit: Unit) -> String {
    let mut out = format!("unit = \"{}\"\n", unit.sign());
    for (column, heading) in ["cloth", "toile"].into_iter().enumerate() {
        let _ = write!(out, "\n[{heading}]\n");
        for (row, cells) in Row::ALL.iter().zip(typed) {
            let said = cells[column].trim();
            if said.is_empty() || (column == 1 && !row.in_toile()) {
                continue;
            }
            // What is kept was read as a length: of what may stand in it only the mark of inches
            // would end the text.
            let said = said.replace('\\', "").replace('"', " in");
            let _ = writeln!(out, "{} = \"{said}\"", key(row.key()));
        }
    }
    out
}

/// The rows before anything is typed: the cloth as the methods say, the toile with 1 in.
pub(crate) fn usual(unit: Unit) -> Typed {
    let mut out = Typed::default();
    let inch = match unit {
        Unit::Inch => "1",
        Unit::Cm => "2.5",
    };
    for (row, cells) in Row::ALL.iter().zip(&mut out) {
        if row.in_toile() {
            inch.clone_into(&mut cells[1]);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(table: &Table, row: Row, stage: Stage) -> Option<f64> {
        table
            .at(row, stage)
            .map(|l| (l.in_inches() * 1e6).round() / 1e6)
    }

    /// Would catch a row in the wrong column, `all` that overrides what is said of one row, and a toile
    /// without its inch.
    #[test]
    fn a_page_is_read() {
        let table =
            read("unit = \"in\"\n[cloth]\nside = \"1 1/2\"\n\"lining hem\" = \"3 cm\"\nhem = 2\n")
                .unwrap();
        assert_eq!(at(&table, Row::Side, Stage::Cloth), Some(1.5));
        assert_eq!(
            table.at(Row::LiningHem, Stage::Cloth),
            Some(Length::cm(3.0))
        );
        assert_eq!(at(&table, Row::Hem, Stage::Cloth), Some(2.0));
        assert_eq!(at(&table, Row::Waist, Stage::Cloth), None);
        assert_eq!(at(&table, Row::Waist, Stage::Toile), Some(1.0));
        let table = read("[toile]\nhem = \"2 in\"\nall = \"1 1/2 in\"\n").unwrap();
        assert_eq!(at(&table, Row::Hem, Stage::Toile), Some(2.0));
        assert_eq!(at(&table, Row::Side, Stage::Toile), Some(1.5));
        assert_eq!(at(&table, Row::Lining, Stage::Toile), None);
        assert!(read("").unwrap().is_empty(Stage::Cloth));
    }

    /// Would catch a fault without its line, and one that hides the others.
    #[test]
    fn every_fault_is_told_with_its_line() {
        let page = "unit = \"in\"\nwaist = 1\n[cloth]\nsids = \"1\"\nhem = \"broad\"\ncentre = -1\nseam = \"20\"\n[toile]\nlining = \"1\"\n[calico]\nside = 1\n";
        let faults = read(page).unwrap_err();
        let lines: Vec<usize> = faults.iter().filter_map(|f| f.line).collect();
        assert_eq!(lines, [2, 4, 5, 6, 7, 9, 10], "{faults:#?}");
        assert!(faults[1].hint.contains("`side`"));
        assert!(
            read("[cloth]\nside = \"1\"\n").is_err(),
            "a width without a unit"
        );
    }

    /// Would catch a row that is lost between the page that is typed in and the page that is kept.
    #[test]
    fn what_is_typed_is_kept_and_shown_again() {
        let mut typed = usual(Unit::Inch);
        typed[0][0] = "1 1/2".into();
        typed[9][0] = "¼".into();
        typed[6] = ["5 cm".into(), String::new()];
        let page = page_of(&typed, Unit::Inch);
        assert_eq!(super::typed(&page), typed);
        let table = read(&page).unwrap();
        assert_eq!(at(&table, Row::Side, Stage::Cloth), Some(1.5));
        assert_eq!(at(&table, Row::InnerEdge, Stage::Cloth), Some(0.25));
        assert_eq!(table.at(Row::Hem, Stage::Cloth), Some(Length::cm(5.0)));
        assert_eq!(table.at(Row::Hem, Stage::Toile), None);
        let marks = page_of(
            &{
                let mut t = usual(Unit::Cm);
                t[5][0] = "5/8\"".into();
                t
            },
            Unit::Cm,
        );
        assert_eq!(
            at(&read(&marks).unwrap(), Row::Seam, Stage::Cloth),
            Some(0.625)
        );
    }
}
