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

/// What one client carried from another computer may hold, pictures and papers and all.
pub(crate) const CARRIED: u64 = 256 * 1024 * 1024;

/// What may be sent to this address; `None` is without a bound (only a backup to restore).
pub(crate) fn body(path: &str) -> Option<u64> {
    match path {
        "/settings/restore" => None,
        "/settings/import" => Some(CARRIED),
        _ if path.ends_with("/pictures") => Some(PHOTO),
        _ => Some(BODY),
    }
}

/// How long this address may take to answer; `None` is without a bound.
pub(crate) fn answer(path: &str) -> Option<Duration> {
    let long = [
        "/settings/restore",
        "/settings/restore/do",
        "/settings/import",
        "/settings/left",
        "/records/restore",
    ];
    // Erasing goes through every backup.
    let erases = path.starts_with("/clients/") && path.ends_with("/erase");
    (!erases && !long.contains(&path)).then_some(ANSWER)
}
