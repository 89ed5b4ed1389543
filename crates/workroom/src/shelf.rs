//! The methods at hand: those that the program ships, and her own files.

use std::fs;
use std::path::Path;

use draft::{Library, Reading};
use measure::{names, words};

use crate::answer::calm;
use crate::file::{self, named};

/// Name and text of each shipped method, in the order of their names.
pub(crate) const SHIPPED: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/shipped.rs"));

/// Her own methods beside the one she named, at most so many, may be used by it.
const NEIGHBOURS: usize = 200;

/// A method taken from the shelf, with those it may use.
#[derive(Debug)]
pub(crate) struct Taken {
    /// Its name: the file's name without its ending.
    pub(crate) name: String,
    /// As it is named in a message: its file, or its name when it is a shipped one.
    pub(crate) shown: String,
    /// Its text.
    pub(crate) text: String,
    /// Its text, read.
    pub(crate) reading: Reading,
    /// Titles and texts of the methods that it may use, her own before the shipped.
    pub(crate) others: Vec<String>,
    /// The same, read.
    pub(crate) library: Library,
}

impl Taken {
    fn new(name: String, shown: String, text: String, mut others: Vec<String>) -> Self {
        others.extend(SHIPPED.iter().map(|(_, text)| (*text).to_owned()));
        Self {
            reading: draft::read(&text),
            library: Library::new(others.iter().map(String::as_str)),
            name,
            shown,
            text,
            others,
        }
    }

    /// A method that an order keeps, with exactly the texts it was taken with.
    pub(crate) fn kept(name: String, text: String, others: Vec<String>) -> Self {
        Self {
            reading: draft::read(&text),
            library: Library::new(others.iter().map(String::as_str)),
            shown: name.clone(),
            name,
            text,
            others,
        }
    }

    /// The measures that some method at hand names and the trade does not know.
    pub(crate) fn own_measures(&self) -> Vec<String> {
        own_measures(self.library.methods().iter().chain([&self.reading]))
    }
}

/// The methods at hand where a card lies: those in its folder, and the shipped ones.
pub(crate) fn beside(card: &Path) -> Library {
    let own = neighbours(card);
    let shipped = SHIPPED.iter().map(|(_, text)| *text);
    Library::new(own.iter().map(String::as_str).chain(shipped))
}

/// The measures that some of these methods take, by their trade names.
pub(crate) fn measures<'a>(readings: impl IntoIterator<Item = &'a Reading>) -> Vec<String> {
    let mut all: Vec<String> = readings
        .into_iter()
        .flat_map(|r| &r.method.card)
        .map(|m| {
            names::find(&m.name.name).map_or_else(|| m.name.name.to_string(), |m| m.name.to_owned())
        })
        .collect();
    all.sort();
    all.dedup();
    all
}

/// Those of them that the trade does not know: the drafter's own.
pub(crate) fn own_measures<'a>(readings: impl IntoIterator<Item = &'a Reading>) -> Vec<String> {
    let mut own = measures(readings);
    own.retain(|name| names::find(name).is_none());
    own
}

/// Takes the method of this name, or in this file.
///
/// A word with a stroke in it, or that ends in `.method`, is a file; any other is first looked for
/// among the shipped methods, by name and by title, and then as a file.
///
/// # Errors
/// When there is none, or its file can't be read; in a sentence.
pub(crate) fn take(word: &str) -> Result<Taken, String> {
    let path = Path::new(word);
    let is_file = word.contains(['/', '\\'])
        || path
            .extension()
            .is_some_and(|e| e.eq_ignore_ascii_case("method"));
    if !is_file {
        let folded = names::fold(word);
        for (name, text) in SHIPPED {
            if names::fold(name) == folded || names::fold(&title(text)) == folded {
                return Ok(Taken::new(
                    (*name).to_owned(),
                    (*name).to_owned(),
                    (*text).to_owned(),
                    Vec::new(),
                ));
            }
        }
    }
    if is_file || path.is_file() {
        return open(path);
    }
    let nearest = words::nearest(&word.to_lowercase(), SHIPPED.iter().map(|(name, _)| *name));
    let hint = match nearest {
        Some(name) => format!("Did you mean `{name}`?"),
        None if SHIPPED.is_empty() => "Name the file of a method of your own.".to_owned(),
        None => "`ellwand methods` lists those that there are.".to_owned(),
    };
    Err(format!("There is no method `{}`. {hint}", calm(word)))
}

fn open(path: &Path) -> Result<Taken, String> {
    let text = file::text(path, "method")?;
    let name = path
        .file_stem()
        .map(|s| s.to_string_lossy().into_owned())
        .unwrap_or_default();
    Ok(Taken::new(name, named(path), text, neighbours(path)))
}

/// The texts of the other methods in the same folder, in the order of their names.
fn neighbours(path: &Path) -> Vec<String> {
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    let Ok(all) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut files: Vec<_> = all
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|f| f.extension().is_some_and(|e| e == "method"))
        .filter(|f| f.file_name() != path.file_name())
        .collect();
    files.sort();
    files.truncate(NEIGHBOURS);
    files
        .iter()
        .filter_map(|f| file::text(f, "method").ok())
        .collect()
}

/// The title of a method's text.
pub(crate) fn title(text: &str) -> String {
    draft::read(text).method.title
}
