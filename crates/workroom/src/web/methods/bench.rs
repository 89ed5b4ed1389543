//! A method's text, tried: read, noted, worked for a card, drawn. Always on a thread of its own, for a
//! text may go deep; only finished words and drawings leave it.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

use draft::{Library, Reading, Wish, Worked};
use maud::Markup;
use measure::card::{self, Card};
use measure::fraction::Shown;
use tokio::sync::Semaphore;

use crate::shelf;
use crate::web::drawing::place::Paper;
use crate::web::drawing::{self, View, Wanted};
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::working;

use super::notes::{self, Mend, Told};

/// The card that is taken where she names none: invented.
pub(crate) const DEMO: &str = include_str!("demo.toml");

/// So many texts are tried at once; the others wait their turn.
static TURNS: Semaphore = Semaphore::const_new(2);

/// A text is tried for so long. The engine counts its work and ends by itself; this is for the page.
const LONG: Duration = Duration::from_secs(20);

/// Tries a text on a thread of its own: two at once, and never for longer than a page can wait.
///
/// # Errors
/// When it takes too long, or something broke inside.
pub(crate) async fn tried<T: Send + 'static>(
    room: &Arc<Room>,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Trouble> {
    let all = async {
        let turn = TURNS.acquire().await.map_err(|_| Trouble::broken())?;
        room.work(move || {
            let done = work();
            drop(turn);
            done
        })
        .await
    };
    tokio::time::timeout(LONG, all)
        .await
        .map_err(|_| Trouble::slow())?
}

/// A text with what it may use, and the card it is worked for.
#[derive(Clone, Debug)]
pub(crate) struct Trial {
    pub(crate) text: String,
    /// Texts that it may use.
    pub(crate) others: Vec<String>,
    /// The page of a card.
    pub(crate) card: String,
    /// How she wants lengths shown.
    pub(crate) settings: BTreeMap<String, String>,
}

/// What came of it; it lives on the thread that works.
pub(crate) struct Tried {
    pub(crate) reading: Reading,
    pub(crate) notes: Vec<Told>,
    /// What is wrong with the card for this method, and whatever else has no place in the text.
    pub(crate) faults: Vec<String>,
    pub(crate) worked: Option<Worked>,
    /// The same with what its notes mean put in, and which words that are.
    mended: Option<(Worked, String)>,
    pub(crate) shown: Shown,
}

impl Trial {
    /// Reads, notes and works it.
    pub(crate) fn run(&self) -> Tried {
        let reading = draft::read(&self.text);
        let library = Library::new(self.others.iter().map(String::as_str));
        let own = shelf::own_measures(library.methods().iter().chain([&reading]));
        let checked = draft::check(&reading, &library);
        let read = card::read(&self.card, &own);
        let (worked, shown, mut faults) = match &read {
            Ok(card) => {
                let shown = working::shown(&self.settings, card);
                let worked = work(&reading, checked.clone(), &library, card, shown);
                let faults = worked.faults.clone();
                (Some(worked), shown, faults)
            }
            Err(faults) => (
                None,
                Shown::inches(),
                faults.iter().map(ToString::to_string).collect(),
            ),
        };
        faults.dedup();
        let all = worked.as_ref().map_or(&checked, |w| &w.notes);
        let notes = notes::told(&self.text, &library, all);
        // What is drawn is drawn as if the slips were mended, where that is known.
        let mended = mended(&self.text, &notes).and_then(|(text, as_if)| {
            let card = read.as_ref().ok()?;
            let reading = draft::read(&text);
            let checked = draft::check(&reading, &library);
            let worked = work(&reading, checked, &library, card, shown);
            (!worked.pieces.is_empty()).then_some((worked, as_if))
        });
        Tried {
            reading,
            notes,
            faults,
            worked,
            mended,
            shown,
        }
    }
}

fn work(
    reading: &Reading,
    checked: Vec<draft::Note>,
    library: &Library,
    card: &Card,
    shown: Shown,
) -> Worked {
    let wish = Wish {
        card,
        set: &[],
        predict: true,
        untrued: false,
        corrections: &[],
        shown,
    };
    draft::work_checked(reading, checked, library, &wish)
}

/// The text with the first mend of each note put in, and what that is in words.
fn mended(text: &str, notes: &[Told]) -> Option<(String, String)> {
    let mut all: Vec<&Mend> = notes.iter().filter_map(|n| n.mends.first()).collect();
    // From the end on, so that no place is moved before its turn.
    all.sort_by_key(|m| std::cmp::Reverse((m.line, m.column)));
    let mut out = None;
    for mend in &all {
        out = Some(mend.put_in(out.as_deref().unwrap_or(text))?);
    }
    let words: Vec<String> = all
        .iter()
        .rev()
        .take(3)
        .map(|m| format!("line {} read as `{}`", m.line, m.with))
        .collect();
    Some((out?, words.join(", ")))
}

impl Tried {
    /// The finished pattern, as far as it could be drawn.
    pub(crate) fn drawing(&self, title: &str, id: &str) -> Option<Markup> {
        let mended = self.mended.as_ref().map(|(worked, _)| worked);
        let worked = mended.or(self.worked.as_ref().filter(|w| !w.pieces.is_empty()))?;
        let paper = Paper::main(worked);
        let wanted = Wanted {
            shown: self.shown,
            view: View::Whole,
            hidden: &[],
            line: None,
            title,
            id,
        };
        Some(drawing::drawing(&paper, worked, &[], &wanted))
    }

    /// With which words in place of those of the text the drawing is drawn; empty when with its own.
    pub(crate) fn as_if(&self) -> &str {
        self.mended.as_ref().map_or("", |(_, words)| words)
    }

    /// A small drawing for a list.
    pub(crate) fn thumb(&self) -> Option<Markup> {
        let worked = self.worked.as_ref().filter(|w| !w.pieces.is_empty())?;
        Some(drawing::thumb(worked))
    }

    /// Lines of the text that have a note, in order.
    pub(crate) fn lines(&self) -> Vec<u32> {
        let mut lines: Vec<u32> = self.notes.iter().map(|n| n.line).collect();
        lines.sort_unstable();
        lines.dedup();
        lines
    }
}
