//! A backup that was sent and looked into: it waits here until she says what to do with it.

use std::sync::Mutex;

use book::Aside;

use super::super::calm_lock;
use super::super::keys::Secret;

/// Room for one file. A later one takes the place of the one before, and each has a word of its own, so
/// that a page never restores another file than the one it told of. It is a whole copy of every client:
/// it lies in the book's own folder, and goes with the room at the latest.
#[derive(Debug, Default)]
pub(crate) struct Waiting(Mutex<Option<(Secret, Aside)>>);

/// What a page that asks for its file is given.
#[derive(Debug)]
pub(crate) enum Asked {
    /// The file.
    This(Aside),
    /// Another file waits by now; it stays.
    Another,
    /// None waits.
    Nothing,
}

impl Waiting {
    /// Lets a file wait; answers the word by which its page asks for it.
    ///
    /// # Errors
    /// When the computer gives no random numbers; in a sentence.
    pub(crate) fn put(&self, file: Aside) -> Result<String, String> {
        let word = Secret::new()?;
        let text = word.text().to_owned();
        *calm_lock(&self.0) = Some((word, file));
        Ok(text)
    }

    /// Takes the file with this word; without a word the one that waits.
    pub(crate) fn take(&self, word: Option<&str>) -> Asked {
        let mut waits = calm_lock(&self.0);
        match waits.take() {
            Some((own, file)) if word.is_none_or(|word| own.is(word)) => Asked::This(file),
            Some(another) => {
                *waits = Some(another);
                Asked::Another
            }
            None => Asked::Nothing,
        }
    }

    /// Nothing waits any more.
    pub(crate) fn clear(&self) {
        *calm_lock(&self.0) = None;
    }
}
