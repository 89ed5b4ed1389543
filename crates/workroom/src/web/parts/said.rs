//! What was done, said once on the page that follows: a short code in the address, never a text.

use maud::{Markup, html};

/// The code of an address's `?said=`, in words; an unknown one says nothing.
pub(crate) fn said(code: Option<&str>) -> Markup {
    let words = code.and_then(|code| {
        WORDS
            .iter()
            .find(|(known, _)| *known == code)
            .map(|(_, words)| *words)
    });
    html! {
        p.said role="status" { @if let Some(words) = words { (words) } }
    }
}

/// Codes and words. Pages add their own, one line each.
const WORDS: &[(&str, &str)] = &[
    ("kept", "Kept."),
    ("made", "Made, and kept as it is."),
    ("backup", "A backup is made, and is whole."),
    (
        "restored",
        "Restored. What was here before is in a backup of today.",
    ),
    ("demo", "The demo is taken away."),
    ("erased", "She is erased."),
    (
        "cleaned",
        "Deleted. No file beside your records holds whoever was erased.",
    ),
    ("taken", "She is taken in, as she was kept in the file."),
    ("back", "Taken back."),
    ("again", "Put again."),
    ("gone", "Put away."),
    ("begun", "Begun."),
    ("moved", "Moved."),
    ("closed", "The order is closed."),
    ("opened", "The order is open again."),
    ("shut", "The workroom is open on this computer only."),
    (
        "forgotten",
        "That phone is forgotten. It opens nothing any more.",
    ),
    ("one", "The two entries are one now."),
    ("given", "The card is with her now."),
];
