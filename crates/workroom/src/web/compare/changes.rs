//! What is another between two drafts: finished numbers, edges, findings.

use check::{Finding, Measured};
use draft::Worked;
use measure::Length;
use measure::fraction::{Shown, show_number};

/// A line of the table: what it is, before, after, and by how much it changed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Change {
    pub(super) what: String,
    pub(super) before: String,
    pub(super) after: String,
    /// `+2`, `−1/2`; nothing where it is the same.
    pub(super) by: Option<String>,
}

/// A length before and after. The change is that of the numbers as they are shown: they must add up.
fn length(
    what: &str,
    before: Option<Length>,
    after: Option<Length>,
    shown: Shown,
) -> Option<Change> {
    if before.is_none() && after.is_none() {
        return None;
    }
    let said = |l: Option<Length>| l.map_or_else(|| "none".to_owned(), |l| show_number(l, shown));
    let by = match (before, after) {
        (Some(b), Some(a)) => {
            let by = shown.rounded(a) - shown.rounded(b);
            let number = show_number(by.abs(), shown);
            (number != "0").then(|| {
                let sign = if by < Length::ZERO { '\u{2212}' } else { '+' };
                format!("{sign}{number}")
            })
        }
        (None, Some(_)) => Some("new".to_owned()),
        _ => Some("gone".to_owned()),
    };
    Some(Change {
        what: what.to_owned(),
        before: said(before),
        after: said(after),
        by,
    })
}

/// The finished numbers, always in the same order.
pub(super) fn finished(before: &Measured, after: &Measured, shown: Shown) -> Vec<Change> {
    let step = |m: &Measured| m.step.as_ref().map(|s| s.longest);
    [
        length("Waist", before.waist, after.waist, shown),
        length("Hip", before.hip, after.hip, shown),
        length("Break", before.break_girth, after.break_girth, shown),
        length("Hem", before.hem, after.hem, shown),
        length("Her step", step(before), step(after), shown),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The edges whose sewn length is another.
pub(super) fn edges(before: &Worked, after: &Worked, shown: Shown) -> Vec<Change> {
    let mut out = Vec::new();
    for new in &after.pieces {
        let Some(old) = before.pieces.iter().find(|p| p.name == new.name) else {
            continue;
        };
        let title = check::told::capital(&crate::web::drawing::sofar::called(&new.name));
        let names = old.edges.iter().chain(
            new.edges
                .iter()
                .filter(|e| old.edges.iter().all(|o| o.name != e.name)),
        );
        for edge in names {
            let told = crate::web::drawing::sofar::called(&edge.name);
            out.extend(
                length(
                    &format!("{title}, {told}"),
                    old.sewn_length(&edge.name).ok(),
                    new.sewn_length(&edge.name).ok(),
                    shown,
                )
                .filter(|c| c.by.is_some()),
            );
        }
    }
    out
}

/// Findings that are in the second and not in the first. The same thing found at the same place with
/// another amount is no new one.
pub(super) fn new<'a>(first: &[Finding], second: &'a [Finding]) -> Vec<&'a Finding> {
    second
        .iter()
        .filter(|f| {
            !first
                .iter()
                .any(|g| g.rule == f.rule && g.place == f.place && g.weight == f.weight)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;

    /// Would catch a change that does not agree with the two numbers beside it: 30.06 and 32.06 in are
    /// shown as 30 1/8 (30.0625 rounds up) and 32 1/8, so the change is 2, whatever lies behind.
    #[test]
    fn the_three_numbers_of_a_line_add_up() {
        let i = Length::inches;
        let line = |b, a| length("Hip", Some(i(b)), Some(i(a)), Shown::inches()).unwrap();
        assert_eq!(line(30.0, 32.0).by.as_deref(), Some("+2"));
        // Each rounds by itself: 30 and 30 1/8, so +1/8 although it grew by a sixteenth and a bit.
        assert_eq!(line(30.04, 30.11).by.as_deref(), Some("+1/8"));
        assert_eq!(line(30.11, 30.04).by.as_deref(), Some("\u{2212}1/8"));
        assert_eq!(line(30.01, 30.02).by, None);
        let gone = length("Hem", Some(i(1.0)), None, Shown::inches()).unwrap();
        assert_eq!(
            (gone.after.as_str(), gone.by.as_deref()),
            ("none", Some("gone"))
        );
        assert!(length("Hem", None, None, Shown::inches()).is_none());
    }
}
