//! Every card of a folder: a pattern for each, on all cores, and a table of them all.

use std::fmt::Write as _;
use std::io::{self, IsTerminal as _, Write as _};
use std::num::NonZero;
use std::panic::AssertUnwindSafe;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::{fs, thread};

use check::Weight;
use measure::fraction::Unit;

use crate::answer::{Answer, DONE, FAULT, calm};
use crate::args::UnitWord;
use crate::commands::make::{Made, Plan, make};
use crate::file::named;
use crate::{STACK, calmly, folder, job};

type Outcome = Result<Made, Vec<String>>;

/// Makes a pattern for every card of a folder.
pub(crate) fn run(from: &Path, out: &Path, plan: &Plan) -> Result<Answer, Vec<String>> {
    let cards = cards(from)?;
    let own = plan.method.own_measures();
    let outcomes = all(&cards, |card| {
        let place = out.join(card.file_stem().unwrap_or_default());
        calmly::tried(AssertUnwindSafe(|| {
            make(&job::open(card, &own)?, &place, plan)
        }))
        .unwrap_or_else(|message| Err(vec![message]))
    })?;
    let unit = match plan.ways.unit {
        Some(UnitWord::Cm) => Unit::Cm,
        _ => Unit::Inch,
    };
    let table = table(&cards, &outcomes, unit);
    folder::fill(out, &[("summary.csv".into(), table.into_bytes())]).map_err(|m| vec![m])?;
    let failed = outcomes.iter().filter(|o| o.is_err()).count();
    let stops = outcomes
        .iter()
        .flatten()
        .filter(|made| count(made, Weight::Stop) > 0)
        .count();
    let mut said = format!(
        "{} of {} patterns made, in {}; summary.csv lists them.\n",
        cards.len() - failed,
        cards.len(),
        named(out)
    );
    if stops > 0 {
        let _ = writeln!(
            said,
            "{stops} of them must not be cut before a stop is looked at."
        );
    }
    let messages = outcomes
        .into_iter()
        .filter_map(Result::err)
        .flatten()
        .collect();
    Ok(Answer {
        out: said,
        messages,
        code: if failed > 0 { FAULT } else { DONE },
    })
}

/// The cards of a folder, by name.
fn cards(from: &Path) -> Result<Vec<PathBuf>, Vec<String>> {
    let all = fs::read_dir(from).map_err(|e| {
        vec![match e.kind() {
            io::ErrorKind::NotFound => {
                format!("{}: There is no such folder. Look at the name.", named(from))
            }
            io::ErrorKind::NotADirectory => format!(
                "{}: This is no folder. Name the folder that holds the cards, or use --card for one.",
                named(from)
            ),
            _ => format!("{}: This folder could not be read ({e}).", named(from)),
        }]
    })?;
    let mut cards: Vec<PathBuf> = all
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    cards.sort();
    if cards.is_empty() {
        return Err(vec![format!(
            "{}: There is no card here. Cards are files that end in `.toml`.",
            named(from)
        )]);
    }
    Ok(cards)
}

/// Does every card, on all cores, and gives the outcomes in the order of the cards.
fn all(
    cards: &[PathBuf],
    one: impl Fn(&Path) -> Outcome + Sync,
) -> Result<Vec<Outcome>, Vec<String>> {
    let next = AtomicUsize::new(0);
    let done = AtomicUsize::new(0);
    let outcomes: Mutex<Vec<Option<Outcome>>> = Mutex::new(vec![None; cards.len()]);
    let workers = thread::available_parallelism()
        .map_or(1, NonZero::get)
        .min(cards.len());
    let bar = Bar::new(cards.len());
    let started = thread::scope(|scope| {
        let work = || {
            while let Some((i, card)) = {
                let i = next.fetch_add(1, Ordering::Relaxed);
                cards.get(i).map(|card| (i, card))
            } {
                let outcome = one(card);
                // A panic is caught inside `one`, so nothing can leave the table half filled.
                let mut table = outcomes
                    .lock()
                    .unwrap_or_else(std::sync::PoisonError::into_inner);
                table[i] = Some(outcome);
                bar.at(done.fetch_add(1, Ordering::Relaxed) + 1);
            }
        };
        (0..workers)
            .filter_map(|_| {
                thread::Builder::new()
                    .stack_size(STACK)
                    .spawn_scoped(scope, work)
                    .ok()
            })
            .count()
    });
    bar.end();
    let outcomes: Option<Vec<Outcome>> = outcomes
        .into_inner()
        .unwrap_or_else(std::sync::PoisonError::into_inner)
        .into_iter()
        .collect();
    outcomes.filter(|_| started > 0).ok_or_else(|| {
        vec!["This computer has no room to work in just now. Close something and try again.".into()]
    })
}

/// A bar on standard error, when a person is looking.
struct Bar {
    of: usize,
    shown: bool,
}

const BAR: usize = 30;

impl Bar {
    fn new(of: usize) -> Self {
        Self {
            of,
            shown: io::stderr().is_terminal(),
        }
    }

    fn at(&self, done: usize) {
        if self.shown {
            let full = BAR * done / self.of.max(1);
            let mut err = io::stderr().lock();
            let _ = write!(
                err,
                "\r[{}{}] {done} of {}",
                "=".repeat(full),
                " ".repeat(BAR - full),
                self.of
            );
            let _ = err.flush();
        }
    }

    fn end(&self) {
        if self.shown {
            let mut err = io::stderr().lock();
            let _ = write!(err, "\r{}\r", " ".repeat(BAR + 30));
            let _ = err.flush();
        }
    }
}

fn count(made: &Made, weight: Weight) -> usize {
    made.findings.iter().filter(|f| f.weight == weight).count()
}

fn table(cards: &[PathBuf], outcomes: &[Outcome], unit: Unit) -> String {
    let mut out = format!("card,stops,asks,biggest seam difference ({unit}),fault\r\n");
    for (card, outcome) in cards.iter().zip(outcomes) {
        let name = card.file_stem().unwrap_or_default().to_string_lossy();
        let (stops, asks, worst, fault) = match outcome {
            Ok(made) => (
                count(made, Weight::Stop).to_string(),
                count(made, Weight::Ask).to_string(),
                made.worst_seam
                    .map(|d| format!("{:.4}", unit.count(d).abs()))
                    .unwrap_or_default(),
                String::new(),
            ),
            Err(faults) => (
                String::new(),
                String::new(),
                String::new(),
                calm(&faults.join(" ")),
            ),
        };
        let _ = write!(
            out,
            "{},{stops},{asks},{worst},{}\r\n",
            cell(&calm(&name)),
            cell(&fault)
        );
    }
    out
}

/// A cell of the table, as RFC 4180 quotes it. A cell that a table program would take for a sum gets a
/// mark in front.
fn cell(text: &str) -> String {
    let text = if text.starts_with(['=', '+', '-', '@']) {
        format!("'{text}")
    } else {
        text.to_owned()
    };
    if text.contains(['"', ',', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_can_neither_break_its_row_nor_be_a_sum() {
        assert_eq!(cell("Ánh, the tall"), "\"Ánh, the tall\"");
        assert_eq!(cell("a \"b\""), "\"a \"\"b\"\"\"");
        assert_eq!(cell("=1+1"), "'=1+1");
        assert_eq!(cell("anna"), "anna");
    }

    /// Would catch an order that depends on which core was faster, or a card that was left out.
    #[test]
    fn every_card_is_done_once_and_in_order() {
        let cards: Vec<PathBuf> = (0..200)
            .map(|i| PathBuf::from(format!("{i}.toml")))
            .collect();
        let outcomes = all(&cards, |c| Err(vec![c.display().to_string()])).unwrap();
        for (card, outcome) in cards.iter().zip(outcomes) {
            assert_eq!(outcome.unwrap_err(), [card.display().to_string()]);
        }
    }
}
