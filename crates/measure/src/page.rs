//! A page of names and values as a person keeps one: a card, a cloth. All its faults are told at once,
//! each with its line.
//!
//! It is written in TOML; nobody else need know, for what is read here is plain: see [`Said`].

use core::fmt;

use toml::de::{DeTable, DeValue};

use crate::date::Date;

mod repair;

/// What kind of page it is, for what is said of its faults.
#[derive(Clone, Copy, Debug)]
pub struct Form {
    /// What it is called: `card`.
    pub called: &'static str,
    /// The one heading that it may have: `measures`.
    pub heading: Option<&'static str>,
    /// The names of its days.
    pub days: &'static [&'static str],
    /// A line as it should be: `waist = "27 1/2"`.
    pub example: &'static str,
    /// What a value says: `what the tape said`.
    pub value: &'static str,
}

/// What is wrong on a page, where, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The line, from 1; none when it is about something that is not there.
    pub line: Option<usize>,
    /// The column in letters, from 1, when it is known.
    pub column: Option<usize>,
    /// What is wrong, in a sentence.
    pub says: String,
    /// What to do, in a sentence.
    pub hint: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}")?;
            if let Some(column) = self.column {
                write!(f, ", column {column}")?;
            }
            write!(f, ": ")?;
        }
        write!(f, "{} {}", self.says, self.hint)
    }
}

impl core::error::Error for Fault {}

/// A value as it stands on the page.
#[derive(Clone, Debug, PartialEq)]
pub enum Said {
    /// Text in quotes.
    Text(String),
    /// A bare number, as it was typed.
    Number(String),
    /// A day without quotes.
    Day(Date),
    /// Several values in brackets.
    List(Vec<Self>),
    /// What stands below a heading.
    Below(Vec<Entry>),
    /// Anything else: yes and no, a time, a day that is none.
    Other,
}

/// One entry of a page: its name, its value, and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its name as it was typed, without quotes.
    pub name: String,
    /// Its value.
    pub said: Said,
    /// The value as it was typed.
    pub typed: String,
    /// The line, from 1.
    pub line: usize,
    /// The column in letters, from 1.
    pub column: usize,
}

impl Entry {
    /// A fault of this entry.
    pub fn fault(&self, says: impl Into<String>, hint: impl Into<String>) -> Fault {
        Fault {
            line: Some(self.line),
            column: Some(self.column),
            says: says.into(),
            hint: hint.into(),
        }
    }
}

/// Reads a page: its entries in order, and what of it could not be read. A line that had to be mended
/// is among the faults.
pub fn read(text: &str, form: &Form) -> (Vec<Entry>, Vec<Fault>) {
    let (page, faults) = repair::repair(text, form);
    let (table, _) = DeTable::parse_recoverable(&page);
    (entries(&page, table.get_ref()), faults)
}

/// Brings faults into the order of their lines.
pub fn in_order(faults: &mut [Fault]) {
    faults.sort_by_key(|f| (f.line.unwrap_or(usize::MAX), f.column));
}

/// A fault of the page.
pub fn fault(line: Option<usize>, says: impl Into<String>, hint: impl Into<String>) -> Fault {
    Fault {
        line,
        column: None,
        says: says.into(),
        hint: hint.into(),
    }
}

/// A name or a value as it is quoted in a message: on one line and not too long.
pub fn quoted(name: &str) -> String {
    let mut out: String = name
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(40)
        .collect();
    if name.chars().count() > 40 {
        out.push('…');
    }
    format!("`{out}`")
}

/// A name as it stands before the `=`, in quotes when it needs them.
pub fn key(name: &str) -> String {
    let plain = !name.is_empty()
        && name
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_');
    if plain {
        name.to_owned()
    } else {
        format!("\"{name}\"")
    }
}

/// The entries of a table in the order of the page.
fn entries(page: &str, table: &DeTable<'_>) -> Vec<Entry> {
    let mut found: Vec<(usize, Entry)> = table
        .iter()
        .map(|(key, value)| {
            let at = key.span().start;
            let typed = page.get(value.span()).unwrap_or_default();
            let entry = Entry {
                name: key.get_ref().to_string(),
                said: said(page, value.get_ref(), typed),
                typed: typed.to_owned(),
                line: line_at(page, at),
                column: column_at(page, at),
            };
            (at, entry)
        })
        .collect();
    found.sort_by_key(|(at, _)| *at);
    found.into_iter().map(|(_, entry)| entry).collect()
}

fn said(page: &str, value: &DeValue<'_>, typed: &str) -> Said {
    match value {
        DeValue::String(text) => Said::Text(text.to_string()),
        DeValue::Integer(_) | DeValue::Float(_) => Said::Number(typed.to_owned()),
        DeValue::Datetime(day) => match (day.date, day.time, day.offset) {
            (Some(day), None, None) => {
                Date::new(day.year, day.month, day.day).map_or(Said::Other, Said::Day)
            }
            _ => Said::Other,
        },
        DeValue::Array(all) => Said::List(
            all.iter()
                .map(|v| {
                    let typed = page.get(v.span()).unwrap_or_default();
                    said(page, v.get_ref(), typed)
                })
                .collect(),
        ),
        DeValue::Table(table) => Said::Below(entries(page, table)),
        DeValue::Boolean(_) => Said::Other,
    }
}

fn line_at(text: &str, at: usize) -> usize {
    1 + text.get(..at).unwrap_or(text).matches('\n').count()
}

fn column_at(text: &str, at: usize) -> usize {
    let before = text.get(..at).unwrap_or_default();
    let line = before.rsplit('\n').next().unwrap_or_default();
    1 + line.chars().count()
}
