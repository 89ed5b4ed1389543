//! The methods at hand: her own, and those that come with the program.

use std::collections::BTreeSet;

use draft::tree::{Item, When};
use draft::{Library, Reading};

use crate::shelf::SHIPPED;

/// A method at hand.
#[derive(Clone, Debug)]
pub(crate) struct Known {
    /// In its address.
    pub(crate) name: String,
    pub(crate) title: String,
    pub(crate) text: String,
    /// As the book has it, where it is hers.
    pub(crate) own: Option<book::Method>,
}

impl Known {
    fn shipped(name: &str, text: &str) -> Self {
        Self {
            name: name.to_owned(),
            title: title(text),
            text: text.to_owned(),
            own: None,
        }
    }

    fn hers(own: book::Method) -> Self {
        Self {
            name: own.name.clone(),
            title: title(&own.text),
            text: own.text.clone(),
            own: Some(own),
        }
    }

    /// Its title, or its name where it has none.
    pub(crate) fn called(&self) -> &str {
        if self.title.is_empty() {
            &self.name
        } else {
            &self.title
        }
    }

    /// Whether she has put it away.
    pub(crate) fn put_away(&self) -> bool {
        self.own.as_ref().is_some_and(|o| o.put_away.is_some())
    }
}

/// The title that a method's text gives itself.
pub(crate) fn title(text: &str) -> String {
    draft::read(text).method.title
}

/// All methods at hand, her own before the shipped, those put away last.
#[derive(Clone, Debug, Default)]
pub(crate) struct Shelf {
    pub(crate) all: Vec<Known>,
}

impl Shelf {
    /// Her own from the book (those put away too), and the shipped ones.
    pub(crate) fn of(own: Vec<book::Method>) -> Self {
        let (away, mut all): (Vec<Known>, Vec<Known>) =
            own.into_iter().map(Known::hers).partition(Known::put_away);
        all.extend(
            SHIPPED
                .iter()
                .map(|(name, text)| Known::shipped(name, text)),
        );
        all.extend(away);
        Self { all }
    }

    /// The method with this name.
    pub(crate) fn find(&self, name: &str) -> Option<&Known> {
        self.all.iter().find(|m| m.name == name)
    }

    /// The method with this title.
    pub(crate) fn titled(&self, title: &str) -> Option<&Known> {
        let title = title.trim().to_lowercase();
        self.all.iter().find(|m| m.title.to_lowercase() == title)
    }

    /// The texts that a method of this name may use: all but its own.
    pub(crate) fn others(&self, name: &str) -> Vec<String> {
        self.all
            .iter()
            .filter(|m| m.name != name)
            .map(|m| m.text.clone())
            .collect()
    }

    /// A name for an address, made of a title, that no method here has.
    pub(crate) fn free_name(&self, title: &str) -> String {
        let plain = address(title);
        let mut name = plain.clone();
        let mut next = 2;
        while self.find(&name).is_some() {
            name = format!("{plain}-{next}");
            next += 1;
        }
        name
    }
}

/// Words as they stand in an address: small letters, digits and strokes, at most 40.
pub(crate) fn address(words: &str) -> String {
    let mut out = String::new();
    for c in words.chars().flat_map(char::to_lowercase) {
        match c {
            'a'..='z' | '0'..='9' => out.push(c),
            'à'..='å' | 'ă' | 'ą' => out.push('a'),
            'æ' => out.push_str("ae"),
            'ç' | 'č' | 'ć' => out.push('c'),
            'ď' | 'đ' => out.push('d'),
            'è'..='ë' | 'ě' | 'ę' => out.push('e'),
            'ì'..='ï' => out.push('i'),
            'ł' => out.push('l'),
            'ñ' | 'ň' | 'ń' => out.push('n'),
            'ò'..='ö' | 'ø' | 'ő' => out.push('o'),
            'œ' => out.push_str("oe"),
            'ř' => out.push('r'),
            'š' | 'ś' | 'ş' => out.push('s'),
            'ß' => out.push_str("ss"),
            'ť' => out.push('t'),
            'ù'..='ü' | 'ů' | 'ű' => out.push('u'),
            'ý' | 'ÿ' => out.push('y'),
            'ž' | 'ź' | 'ż' => out.push('z'),
            // Marks that hang on a letter, and the letters of a short word, leave no gap.
            '\u{300}'..='\u{36f}' | '\'' | '\u{2019}' => {}
            _ if !out.ends_with('-') && !out.is_empty() => out.push('-'),
            _ => {}
        }
        if out.len() >= 40 {
            break;
        }
    }
    let plain = out.trim_matches('-');
    match plain {
        // These words are addresses of pages.
        "" | "new" | "open" => format!("{plain}-method").trim_matches('-').to_owned(),
        _ => plain.to_owned(),
    }
}

/// The titles of the methods that a text uses and that are not at hand.
pub(crate) fn missing(reading: &Reading, library: &Library) -> Vec<String> {
    let mut all = BTreeSet::new();
    uses(&reading.method.body, &mut all);
    all.into_iter()
        .filter(|title| library.titled(title).is_none())
        .collect()
}

/// The texts among these that a text uses, and those that they use in turn.
pub(crate) fn used(reading: &Reading, texts: &[String]) -> Vec<String> {
    let readings: Vec<Reading> = texts.iter().map(|t| draft::read(t)).collect();
    let mut wanted = BTreeSet::new();
    uses(&reading.method.body, &mut wanted);
    let mut taken = vec![false; texts.len()];
    let mut waiting: Vec<String> = wanted.into_iter().collect();
    while let Some(title) = waiting.pop() {
        let folded = title.trim().to_lowercase();
        let found = readings
            .iter()
            .position(|r| r.method.title.to_lowercase() == folded);
        if let Some(i) = found
            && !std::mem::replace(&mut taken[i], true)
        {
            let mut more = BTreeSet::new();
            uses(&readings[i].method.body, &mut more);
            waiting.extend(more);
        }
    }
    texts
        .iter()
        .zip(taken)
        .filter(|(_, taken)| *taken)
        .map(|(text, _)| text.clone())
        .collect()
}

/// The titles that are used, at any depth.
pub(crate) fn uses(items: &[Item], out: &mut BTreeSet<String>) {
    let mut stack: Vec<&[Item]> = vec![items];
    while let Some(items) = stack.pop() {
        for item in items {
            match item {
                Item::Use(used) => {
                    out.insert(used.title.clone());
                }
                Item::When(When {
                    then, otherwise, ..
                }) => {
                    stack.push(then);
                    stack.push(otherwise);
                }
                Item::Sheets(group) => stack.push(&group.body),
                Item::Entry(_) => {}
            }
        }
    }
}

/// A text with another title in its heading. Where it has none, one is put above it.
pub(crate) fn retitled(text: &str, title: &str) -> String {
    let title: String = title
        .chars()
        .filter(|c| !c.is_control() && !matches!(c, '"' | '\u{201c}' | '\u{201d}'))
        .collect();
    let heading = format!("method \"{}\"", title.trim());
    let mut done = false;
    let mut out = String::with_capacity(text.len() + title.len());
    for source in text.split_inclusive('\n') {
        let words = source.trim();
        let is_heading = words
            .strip_prefix("method")
            .is_some_and(|rest| rest.trim_start().starts_with(['"', '\u{201c}', '\'']));
        if is_heading && !done {
            done = true;
            out.push_str(&heading);
            if source.ends_with('\n') {
                out.push('\n');
            }
        } else {
            out.push_str(source);
        }
    }
    if done {
        out
    } else {
        format!("{heading}\n{text}")
    }
}

/// Why a text can't be a method's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NoText {
    /// It is larger than a method may be.
    TooLarge,
    /// It is not UTF-8.
    NotText,
    /// It has a sign in it that is no writing, on this line.
    Sign(usize),
    /// Nothing stands in it.
    Empty,
}

/// A method is at most so many bytes of text.
pub(crate) const MOST: usize = 256 * 1024;

/// A text as it is kept: without a mark of its byte order, each line ended in one way.
///
/// # Errors
/// Why it is none.
pub(crate) fn clean(bytes: &[u8]) -> Result<String, NoText> {
    if bytes.len() > MOST {
        return Err(NoText::TooLarge);
    }
    let text = std::str::from_utf8(bytes).map_err(|_| NoText::NotText)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut text = text.replace("\r\n", "\n").replace('\r', "\n");
    if text.trim().is_empty() {
        return Err(NoText::Empty);
    }
    let odd = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    if let Some(line) = text.lines().position(|l| l.contains(odd)) {
        return Err(NoText::Sign(line + 1));
    }
    if !text.ends_with('\n') {
        text.push('\n');
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_name_can_stand_in_an_address() {
        for (words, name) in [
            ("My mermaid", "my-mermaid"),
            ("Věřina sukně", "verina-sukne"),
            ("  ../../etc/passwd ", "etc-passwd"),
            ("Anna's way, no. 2", "annas-way-no-2"),
            ("юбка", "method"),
            ("", "method"),
            ("New", "new-method"),
            ("<b>", "b"),
        ] {
            assert_eq!(address(words), name);
        }
    }

    proptest! {
        /// Catches a name that the book would refuse, and a title that breaks out of its heading.
        #[test]
        fn any_words_make_a_name_and_a_title(words in "\\PC{0,80}") {
            let name = address(&words);
            prop_assert!(!name.is_empty() && name.len() <= 60);
            prop_assert!(name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-'));
            prop_assert!(!name.starts_with('-') && !name.ends_with('-'));
            let text = retitled("method \"Old\"\n  \"about\"\ncard\n  hip\n", &words);
            let read = draft::read(&text);
            prop_assert_eq!(read.method.card.len(), 1);
            prop_assert_eq!(text.lines().count(), 4);
        }
    }

    #[test]
    fn a_text_is_given_another_title_and_nothing_else_is_changed() {
        let text = "-- mine\nmethod \"Old\"\n  \"method about\"\ncard\n  hip\n";
        assert_eq!(
            retitled(text, "New \"one\""),
            "-- mine\nmethod \"New one\"\n  \"method about\"\ncard\n  hip\n"
        );
        assert_eq!(
            retitled("card\n  hip\n", "New"),
            "method \"New\"\ncard\n  hip\n"
        );
    }

    #[test]
    fn only_writing_is_taken_as_a_text() {
        assert_eq!(
            clean("\u{feff}a\r\nb\rc".as_bytes()).as_deref(),
            Ok("a\nb\nc\n")
        );
        assert_eq!(clean(b"a\n\xff"), Err(NoText::NotText));
        assert_eq!(clean(b"a\nb\0c"), Err(NoText::Sign(2)));
        assert_eq!(clean(b" \n"), Err(NoText::Empty));
        assert_eq!(clean(&vec![b'a'; MOST + 1]), Err(NoText::TooLarge));
        assert!(clean(&vec![b'a'; MOST - 1]).is_ok());
    }

    #[test]
    fn free_names_are_free_and_titles_are_found() {
        let shelf = Shelf::of(Vec::new());
        for (name, _) in SHIPPED {
            assert_ne!(shelf.free_name(name), *name);
            let known = shelf.find(name);
            let titled = known.and_then(|k| shelf.titled(&k.title.to_uppercase()));
            assert_eq!(titled.map(|t| t.name.as_str()), Some(*name));
        }
    }

    #[test]
    fn what_a_method_uses_goes_with_it() {
        // Catches an order that holds its method without the one it is built on.
        let all: Vec<String> = ["a", "b", "c"]
            .into_iter()
            .zip([
                "use \"B\" as block",
                "use \"C\" as block\nuse \"B\" as twice",
                "card\n  hip",
            ])
            .map(|(name, body)| format!("method \"{}\"\n{body}\n", name.to_uppercase()))
            .collect();
        let reading = draft::read(&all[0]);
        assert_eq!(used(&reading, &all[1..]), all[1..]);
        assert!(used(&draft::read(&all[2]), &all).is_empty());
        let library = Library::new([all[2].as_str()]);
        assert_eq!(missing(&reading, &library), ["B"]);
    }
}
