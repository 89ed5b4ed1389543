//! The workroom's pages: a server on this computer, for this computer, until she opens it to the house.
//!
//! Every request passes the watch of `guard` before a page is looked for; every answer carries the
//! same headers. Pages are one file each under `web/`, merged in `web/routes.rs`. Whatever she does
//! is a form and a redirect; scripts only add.

use std::path::PathBuf;
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::answer::Answer;

mod again;
pub(crate) mod allowed;
pub(crate) mod assets;
mod backs;
mod browser;
mod card;
pub(crate) mod card_text;
mod clients;
mod cloth;
mod compare;
mod demo;
pub(crate) mod drawing;
pub(crate) mod figure;
mod fittings;
mod guard;
mod help;
mod house;
mod keys;
pub(crate) mod layout;
mod limits;
mod listen;
mod methods;
mod order;
pub(crate) mod paper;
pub(crate) mod parts;
#[cfg(test)]
mod phone_tests;
mod phones;
pub(crate) mod place;
mod quote;
mod records;
mod rights;
pub(crate) mod room;
mod routes;
mod search;
pub(crate) mod settings;
mod start;
mod steps;
mod table;
#[cfg(test)]
pub(crate) mod testing;
mod today;
pub(crate) mod trouble;
pub(crate) mod visit;
#[cfg(test)]
mod watch_tests;
pub(crate) mod working;
mod works;

/// How the workroom is opened.
#[derive(Debug, Default)]
pub(crate) struct Serve {
    /// The port; without it the usual one, or the next that is free.
    pub(crate) port: Option<u16>,
    /// The folder with her data; without it the usual one.
    pub(crate) data: Option<PathBuf>,
    /// Leave the browser shut.
    pub(crate) no_open: bool,
    /// Open to the house network too, at this address or at the usual one.
    pub(crate) house: Option<String>,
}

/// Opens the workroom, and comes back when it is shut.
pub(crate) fn serve(ask: &Serve) -> Answer {
    listen::serve(ask).unwrap_or_else(|message| Answer::faults(vec![message]))
}

/// A lock that is still good after a panic: what it guards is kept whole by other means.
pub(crate) fn calm_lock<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
