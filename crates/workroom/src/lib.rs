//! The workroom: the command line of Ellwand, and its web pages.
//!
//! It alone reads and writes files. Invariants: nothing is written before everything is made, and
//! then all of it or nothing; no name that comes from a card or a method is ever part of a path; a
//! fault is a sentence with a file, a place and what to do, never a trace of the program; the
//! answers for programs (`--json`, `report.json`) are written by hand from the inner types, which
//! know nothing of them.

use std::env;
use std::panic;
use std::process::ExitCode;
use std::thread;

use clap::Parser as _;

mod about;
mod allowances;
mod answer;
mod args;
mod batch;
mod calmly;
mod cloth_sheet;
mod commands;
mod corrections;
mod cut_list;
mod ending;
#[cfg(test)]
mod every_sheet;
mod file;
mod finding;
mod folder;
mod glossary;
mod hand;
mod job;
mod json;
mod laying;
mod order;
mod outputs;
mod quantity;
mod report;
mod shelf;
mod strip_file;
#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where it fails")]
mod toile_steps;
mod version;
mod web;

use answer::{Answer, FAULT};
use args::{Command, Line};

/// A draft goes deep before its bounds stop it; a small stack would stop it sooner, and rudely.
pub(crate) const STACK: usize = 256 * 1024 * 1024;

/// The program: reads the command line, does what it says, prints the answer.
pub fn ellwand() -> ExitCode {
    let line = match Line::try_parse_from(args::held(env::args_os())) {
        Ok(line) => line,
        Err(fault) => {
            // Help goes to standard output and is no fault; a reader who went away neither.
            let _ = fault.print();
            return ExitCode::from(u8::try_from(fault.exit_code()).unwrap_or(FAULT));
        }
    };
    calmly::hush();
    let work = thread::Builder::new()
        .stack_size(STACK)
        .spawn(move || calmly::tried(panic::AssertUnwindSafe(|| run(line))));
    let answer = match work.map(thread::JoinHandle::join) {
        Ok(Ok(Ok(answer))) => answer,
        Ok(Ok(Err(message))) => Answer::faults(vec![message]),
        Ok(Err(_)) | Err(_) => Answer::faults(vec![
            "This computer has no room to work in just now. Close something and try again.".into(),
        ]),
    };
    answer.print()
}

fn run(line: Line) -> Answer {
    let done = match line.command {
        Some(Command::Methods(asked)) => commands::methods::run(&asked),
        Some(Command::Make(asked)) => commands::make::run(&asked),
        Some(Command::Check(asked)) => commands::check::run(&asked),
        Some(Command::Card(asked)) => commands::card::run(&asked),
        Some(Command::Step(asked)) => commands::step::run(&asked),
        Some(Command::Read(asked)) => commands::read::run(&asked),
        Some(Command::Lay(asked)) => commands::lay::run(&asked),
        Some(Command::Clients(asked)) => commands::lists::clients(&asked),
        Some(Command::Orders(asked)) => commands::lists::orders(&asked),
        Some(Command::Order(asked)) => commands::order::run(&asked),
        Some(Command::Backup(asked)) => commands::carried::backup(&asked),
        Some(Command::Restore(asked)) => commands::carried::restore(&asked),
        Some(Command::Export(asked)) => commands::carried::export(&asked),
        Some(Command::Completions(asked)) => commands::shell::completions(&asked),
        Some(Command::Man(asked)) => commands::shell::man(&asked),
        None => Ok(web::serve(&web::Serve {
            port: line.workroom.port,
            data: line.workroom.data,
            no_open: line.workroom.no_open,
            house: line.workroom.house,
        })),
    };
    done.unwrap_or_else(Answer::faults)
}
