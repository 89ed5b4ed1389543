//! How much may be sent, and how long it may take: one table for all addresses.

use std::time::Duration;

/// What a form may hold.
pub(crate) const BODY: u64 = 1024 * 1024;
/// What a photograph may hold.
pub(crate) const PHOTO: u64 = 10 * 1024 * 1024;
/// How long an answer may take.
pub(crate) const ANSWER: Duration = Duration::from_secs(30);
/// How long the head of a request may take to arrive.
pub(crate) const HEAD: Duration = Duration::from_secs(10);
/// How many large papers are made at once.
pub(crate) const PAPERS: usize = 2;
/// How many connections are open at once.
pub(crate) const CONNECTIONS: usize = 200;

/// What may be sent to this address; `None` is without a bound (only a backup to restore).
pub(crate) fn body(path: &str) -> Option<u64> {
    if path == "/settings/restore" {
        None
    } else if path.ends_with("/pictures") {
        Some(PHOTO)
    } else {
        Some(BODY)
    }
}

/// How long this address may take to answer; `None` is without a bound.
pub(crate) fn answer(path: &str) -> Option<Duration> {
    (path != "/settings/restore").then_some(ANSWER)
}
