//! Notes on a method's text, and the words that would mend one.
//!
//! A mend is offered only when it was tried: with it put in, that note is gone and no other has come.

use std::time::{Duration, Instant};

use draft::{Library, Note};

/// So many mends are tried for one page; and none more once trying has taken this long.
const TRIED: usize = 8;
const LONG: Duration = Duration::from_millis(400);

/// A note as the page tells it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Told {
    pub(crate) line: u32,
    pub(crate) column: u32,
    pub(crate) width: u32,
    /// What is wrong, as a sentence.
    pub(crate) message: String,
    /// What to do.
    pub(crate) hint: Option<String>,
    /// What can be put in.
    pub(crate) mends: Vec<Mend>,
}

/// Words that are put in the place of others: of `width` letters, from a line and column counted from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Mend {
    pub(crate) line: u32,
    pub(crate) column: u32,
    pub(crate) width: u32,
    pub(crate) with: String,
}

impl Mend {
    /// The text with it put in; nothing where the text has no such place.
    pub(crate) fn put_in(&self, text: &str) -> Option<String> {
        let line = usize::try_from(self.line.checked_sub(1)?).ok()?;
        let skip = usize::try_from(self.column.checked_sub(1)?).ok()?;
        let width = usize::try_from(self.width).ok()?;
        let mut out = String::with_capacity(text.len() + self.with.len());
        let mut found = false;
        for (i, source) in text.split_inclusive('\n').enumerate() {
            if i != line {
                out.push_str(source);
                continue;
            }
            let (words, end) = source
                .strip_suffix('\n')
                .map_or((source, ""), |words| (words, "\n"));
            let all: Vec<char> = words.chars().collect();
            if skip + width > all.len() {
                return None;
            }
            out.extend(&all[..skip]);
            out.push_str(&self.with);
            out.extend(&all[skip + width..]);
            out.push_str(end);
            found = true;
        }
        found.then_some(out)
    }

    /// As it stands in a form's button.
    pub(crate) fn key(&self) -> String {
        format!("{} {} {} {}", self.line, self.column, self.width, self.with)
    }

    /// Back from a form's button.
    pub(crate) fn from_key(key: &str) -> Option<Self> {
        let mut parts = key.splitn(4, ' ');
        let mut number = || parts.next()?.parse().ok();
        let (line, column, width) = (number()?, number()?, number()?);
        let with = parts.next()?;
        let plain =
            !with.is_empty() && with.chars().count() <= 200 && !with.contains(char::is_control);
        plain.then(|| Self {
            line,
            column,
            width,
            with: with.to_owned(),
        })
    }
}

/// The notes on a text, with what would mend each.
pub(crate) fn told(text: &str, library: &Library, notes: &[Note]) -> Vec<Told> {
    let began = Instant::now();
    let mut left = TRIED;
    notes
        .iter()
        .map(|note| {
            let mut mends = Vec::new();
            if !note.working {
                for mend in meant(text, note) {
                    if left == 0 || began.elapsed() > LONG {
                        break;
                    }
                    left -= 1;
                    if helps(&mend, text, library, notes, note) {
                        mends.push(mend);
                    }
                }
            }
            Told {
                line: note.span.line,
                column: note.span.column,
                width: note.span.width,
                message: note.message.clone(),
                hint: note.hint.clone(),
                mends,
            }
        })
        .collect()
}

/// What a note's words name as the right ones.
fn meant(text: &str, note: &Note) -> Vec<Mend> {
    let here = |with: &str| Mend {
        line: note.span.line,
        column: note.span.column,
        width: note.span.width,
        with: with.to_owned(),
    };
    let hint = note.hint.as_deref().unwrap_or_default();
    let mut out: Vec<Mend> = Vec::new();
    let names_it = ["Did you mean ", "Write ", "I read it as ", "It is on "];
    if names_it.iter().any(|w| hint.starts_with(w)) {
        let quoted = ticked(hint).filter(|w| !w.contains('\u{2026}'));
        out.extend(quoted.take(3).map(here));
    } else if let Some((_, read_as)) = note.message.split_once("I read it as ") {
        out.extend(ticked(read_as).take(1).map(here));
    }
    if hint.starts_with("Put `)` at its end") {
        out.extend(closing(text, note));
    }
    out
}

/// A bracket that was left open is closed before a comma that follows it, or at the end of its line.
fn closing(text: &str, note: &Note) -> Vec<Mend> {
    let Some(source) = text.lines().nth(note.span.line.saturating_sub(1) as usize) else {
        return Vec::new();
    };
    let code = source.split("--").next().unwrap_or_default().trim_end();
    let end = code.chars().count();
    let from = note.span.column as usize;
    let mut places: Vec<usize> = code
        .chars()
        .enumerate()
        .skip(from)
        .filter(|(_, c)| *c == ',')
        .map(|(i, _)| i)
        .collect();
    places.push(end);
    places
        .into_iter()
        .rev()
        .take(4)
        .map(|at| Mend {
            line: note.span.line,
            column: u32::try_from(at + 1).unwrap_or(1),
            width: 0,
            with: ")".to_owned(),
        })
        .collect()
}

/// What stands between pairs of back ticks.
fn ticked(words: &str) -> impl Iterator<Item = &str> {
    words
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|w| !w.is_empty())
}

/// Whether a note is gone with it, and no other has come.
fn helps(mend: &Mend, text: &str, library: &Library, notes: &[Note], note: &Note) -> bool {
    let Some(mended) = mend.put_in(text) else {
        return false;
    };
    let after = draft::check(&draft::read(&mended), library);
    let before = notes.iter().filter(|n| !n.working).count();
    let place = |n: &Note| (n.span.line, n.span.column);
    after.len() < before && after.iter().all(|n| place(n) != place(note))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn notes_of(text: &str) -> Vec<Told> {
        let library = Library::default();
        let notes = draft::check(&draft::read(text), &library);
        told(text, &library, &notes)
    }

    const SKIRT: &str = include_str!("template.method");

    #[test]
    fn a_slip_of_the_pen_is_mended_by_the_word_that_was_meant() {
        // Catches a mend that is cut at the wrong letter, and one for a text with letters of two bytes.
        for (right, wrong, with) in [
            ("(hip + ", "(hipp + ", "hip"),
            ("2 in, between", "2, between", "2 in"),
        ] {
            let text = SKIRT.replacen(right, wrong, 1);
            assert_ne!(text, SKIRT);
            let all = notes_of(&text);
            assert!(!all.is_empty(), "{wrong}");
            let mend = all
                .iter()
                .flat_map(|n| &n.mends)
                .find(|m| m.with == with)
                .unwrap_or_else(|| panic!("{wrong}: {all:?}"));
            assert_eq!(mend.put_in(&text).as_deref(), Some(SKIRT));
            assert_eq!(Mend::from_key(&mend.key()).as_ref(), Some(mend));
        }
    }

    #[test]
    fn nothing_is_offered_that_does_not_mend() {
        // Catches a button that puts something in and leaves the note standing.
        let text = format!("{SKIRT}\npoints\n  odd place: somewhere about there\n");
        for note in notes_of(&text) {
            for mend in &note.mends {
                let mended = mend.put_in(&text).unwrap_or_default();
                assert!(notes_of(&mended).len() < notes_of(&text).len());
            }
        }
    }

    #[test]
    fn a_key_from_elsewhere_is_taken_as_it_is_or_not_at_all() {
        for odd in ["", "1 2", "1 2 3 ", "a 2 3 x", "1 2 3 a\nb", "-1 2 3 x"] {
            assert_eq!(Mend::from_key(odd), None, "{odd:?}");
        }
        let far = Mend::from_key("9 9 9 x").unwrap_or_else(|| panic!("a key"));
        assert_eq!(far.put_in("one\ntwo"), None);
        let none = Mend::from_key("0 1 1 x").unwrap_or_else(|| panic!("a key"));
        assert_eq!(none.put_in("one"), None);
        let late = Mend::from_key("1 3 9 x").unwrap_or_else(|| panic!("a key"));
        assert_eq!(late.put_in("one"), None);
        let two = Mend::from_key("2 2 1 é").unwrap_or_else(|| panic!("a key"));
        assert_eq!(two.put_in("ü\nßaß\nz").as_deref(), Some("ü\nßéß\nz"));
    }
}
