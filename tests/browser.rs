//! The workroom in a real browser: every page, and whole jobs by keyboard, on a phone's width, with
//! scripts off. Each family of pages adds a module of its own under `browser/`.
//!
//! Wanted: chromium and its driver (`./test` installs them), and axe-core, which `./test` puts into
//! `.tools/axe.min.js`.

#[path = "browser/seat.rs"]
mod seat;

#[path = "browser/allowances.rs"]
mod allowances;
#[path = "browser/cloth.rs"]
mod cloth;
#[path = "browser/methods.rs"]
mod methods;

#[path = "browser/pages.rs"]
mod pages;

#[path = "browser/phones.rs"]
mod phones;

#[path = "browser/quote.rs"]
mod quote;

#[path = "browser/shell.rs"]
mod shell;

#[path = "browser/steps.rs"]
mod steps;

#[path = "browser/table.rs"]
mod table;

#[path = "browser/card.rs"]
mod card;

#[path = "browser/whole_jobs.rs"]
mod whole_jobs;
