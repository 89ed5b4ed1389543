//! Reading the texts that she gives us, with a message that she can act on when it fails.

use std::fs::File;
use std::io::{self, Read as _};
use std::path::Path;

use crate::answer::calm;

/// No card and no method is longer.
const LONGEST: u64 = 1024 * 1024;

/// A path as it is named in a message.
pub(crate) fn named(path: &Path) -> String {
    calm(&path.to_string_lossy())
}

/// The text of a file; `what` is what it should be: "card", "method".
///
/// # Errors
/// When it is not there, is a folder, may not be read, is no text, or is too long; in a sentence.
pub(crate) fn text(path: &Path, what: &str) -> Result<String, String> {
    text_within(path, what, LONGEST)
}

/// The same for a file that may be so many bytes long.
///
/// # Errors
/// As [`text`].
pub(crate) fn text_within(path: &Path, what: &str, longest: u64) -> Result<String, String> {
    let name = named(path);
    let failed = |e: &io::Error| failed(&name, what, e);
    let file = File::open(path).map_err(|e| failed(&e))?;
    if file.metadata().map_err(|e| failed(&e))?.is_dir() {
        return Err(format!(
            "{name}: This is a folder, not a {what}. Name the file in it."
        ));
    }
    let mut bytes = Vec::new();
    file.take(longest + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| failed(&e))?;
    if bytes.len() as u64 > longest {
        return Err(format!("{name}: This is too long to be a {what}."));
    }
    let text = String::from_utf8(bytes).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        let line = good.split(|b| *b == b'\n').count();
        format!(
            "{name}, line {line}: There is a letter here that I can't read. \
             Save the {what} as plain text in UTF-8."
        )
    })?;
    Ok(match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_owned(),
        None => text,
    })
}

fn failed(name: &str, what: &str, e: &io::Error) -> String {
    match e.kind() {
        io::ErrorKind::NotFound => {
            format!("{name}: There is no such {what}. Look at the name and the folder.")
        }
        io::ErrorKind::PermissionDenied => {
            format!("{name}: This {what} may not be read. Ask for leave to read it, or copy it.")
        }
        io::ErrorKind::NotADirectory => {
            format!("{name}: There is no such folder. Look at the name.")
        }
        _ => format!("{name}: This {what} could not be read ({e})."),
    }
}
