//! Making a page readable line by line, so that one broken line hides no other.
//!
//! What is mended here is never used: each mended line is also a fault. It only lets the rest of
//! the page be read, so that all faults are told at once.

use toml::de::DeTable;

use super::{Fault, Form, fault, key, line_at, quoted};
use crate::words;

/// After so many broken lines the rest can wait.
const MOST: usize = 60;

/// The page with its broken lines mended or emptied, and what was wrong with each.
pub(super) fn repair(text: &str, form: &Form) -> (String, Vec<Fault>) {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let even = text.replace("\r\n", "\n").replace('\r', "\n");
    let mut lines: Vec<String> = even.split('\n').map(str::to_owned).collect();
    let mut touched: Vec<usize> = Vec::new();
    let mut faults = Vec::new();
    loop {
        let page = lines.join("\n");
        let (table, errors) = DeTable::parse_recoverable(&page);
        let Some((at, message)) = errors
            .iter()
            .map(|e| (e.span().map_or(page.len(), |s| s.start), e.message()))
            .min_by_key(|(at, _)| *at)
        else {
            return (page, faults);
        };
        if touched.len() >= MOST {
            faults.push(fault(
                None,
                "There are more lines that I can't read.",
                format!("Mend these first, and read the {} again.", form.called),
            ));
            return (emptied(&lines), faults);
        }
        let index = line_at(&page, at) - 1;
        let open = open_text(table.get_ref(), &page, at).filter(|_| message.contains("multi-line"));
        if let Some(index) = open {
            faults.push(fault(
                Some(index + 1),
                "This text is never closed.",
                "Put the same three quotes at its end.",
            ));
            touched.push(index);
            lines[index].clear();
            // The lines that belonged to it can't be told from the rest, so only entries stay.
            for line in &mut lines[index + 1..] {
                let entry = line.contains('=') || line.trim_start().starts_with('[');
                if !entry {
                    line.clear();
                }
            }
            continue;
        }
        // An error past the end of a line belongs to the last line that says something.
        let Some(index) = (0..=index.min(lines.len() - 1))
            .rev()
            .find(|i| !lines[*i].trim().is_empty())
        else {
            return (emptied(&lines), faults);
        };
        if touched.contains(&index) {
            lines[index].clear();
            continue;
        }
        touched.push(index);
        let (told, mended) = mend(&lines[index], message, &lines[..index], form);
        faults.push(Fault {
            line: Some(index + 1),
            ..told
        });
        lines[index] = mended;
    }
}

/// Nothing but line ends: what is left when a page can't be mended.
fn emptied(lines: &[String]) -> String {
    "\n".repeat(lines.len().saturating_sub(1))
}

/// The line on which the text that is still open at `at` was opened.
fn open_text(table: &DeTable<'_>, page: &str, at: usize) -> Option<usize> {
    let mut found = None;
    let mut tables = vec![table];
    while let Some(table) = tables.pop() {
        for (name, value) in table {
            if let Some(inner) = value.get_ref().as_table() {
                tables.push(inner);
            } else if name.span().start < at && value.span().end >= at {
                found = Some(line_at(page, name.span().start) - 1);
            }
        }
    }
    found
}

/// What is wrong with a line, and a form of it that can be read.
fn mend(line: &str, message: &str, before: &[String], form: &Form) -> (Fault, String) {
    let said = line.trim();
    if said.starts_with('[') {
        let word: String = said.chars().filter(|c| c.is_alphanumeric()).collect();
        if message == "duplicate key" {
            let told = fault(
                None,
                format!("The heading {} stands twice.", quoted(said)),
                format!(
                    "Put all {} below the first one.",
                    form.heading.unwrap_or("lines")
                ),
            );
            return (told, String::new());
        }
        let hint = match form.heading {
            Some(heading) => {
                format!("The heading of the {heading} is `[{heading}]`, on a line by itself.")
            }
            None => format!("A {} has no headings, only lines.", form.called),
        };
        let told = fault(
            None,
            format!("I can't read the heading {}.", quoted(said)),
            hint,
        );
        let meant = form
            .heading
            .filter(|h| words::nearest(&word.to_lowercase(), [*h]).is_some());
        let mended = meant.map_or_else(String::new, |h| format!("[{h}]"));
        return (told, mended);
    }
    let Some((name, value)) = split(line) else {
        let told = fault(
            None,
            format!("I can't read {}.", quoted(said)),
            format!(
                "A line says a name, `=` and a value, like `{}`. A remark begins with `#`.",
                form.example
            ),
        );
        return (told, String::new());
    };
    let (bare_name, bare_value) = (name.trim(), value.trim());
    if message == "duplicate key" {
        let plain = bare_name.trim_matches(['"', '\'']);
        let first = before.iter().position(|l| {
            split(l).is_some_and(|(n, _)| n.trim().trim_matches(['"', '\'']) == plain)
        });
        let hint = match first {
            Some(first) => format!(
                "It stands already in line {}; keep the right one.",
                first + 1
            ),
            None => "Keep the right one.".to_owned(),
        };
        let told = fault(
            None,
            format!("{} is on the {} twice.", quoted(plain), form.called),
            hint,
        );
        return (told, String::new());
    }
    let quotes = ['"', '\'', '\\'];
    if bare_name.is_empty() {
        let told = fault(
            None,
            format!("There is no name before the `=` in {}.", quoted(said)),
            format!("Write it like `{}`.", form.example),
        );
        return (told, String::new());
    }
    if key(bare_name) != bare_name && !bare_name.contains(quotes) && !bare_name.contains('.') {
        let told = fault(
            None,
            format!(
                "The name {} needs quotes, because it has blanks or signs in it.",
                quoted(bare_name)
            ),
            format!("Write `{} = {bare_value}`.", key(bare_name)),
        );
        return (
            told,
            format!("{} = {}", key(bare_name), in_quotes(bare_value)),
        );
    }
    if bare_value.is_empty() {
        let told = fault(
            None,
            format!("{} has no value.", quoted(bare_name)),
            format!("Write {}, or leave the line out.", form.value),
        );
        return (told, String::new());
    }
    if form.days.contains(&bare_name) {
        let told = fault(
            None,
            format!("{} is not a day.", quoted(bare_value)),
            format!("Write the day like `{bare_name} = 2026-05-02`."),
        );
        return (told, String::new());
    }
    if !bare_value.contains(['"', '\'', '\\', '[', '{']) {
        let told = fault(
            None,
            format!(
                "The value {} of {} needs quotes.",
                quoted(bare_value),
                quoted(bare_name)
            ),
            format!("Write `{bare_name} = \"{bare_value}\"`."),
        );
        return (told, format!("{name} = \"{bare_value}\""));
    }
    let inside = bare_value.trim_matches(['"', '\'', '”', '“']);
    let odd = bare_value.matches('"').count() % 2 == 1;
    if odd && !inside.contains(quotes) {
        // An inch tick without quotes round the whole, or a quote that is never closed.
        let told = fault(
            None,
            format!(
                "The quotes of {} don't match: {}.",
                quoted(bare_name),
                quoted(bare_value)
            ),
            format!(
                "Write `{bare_name} = \"{inside}\"`, or `'{inside}\"'` when it ends in an inch mark."
            ),
        );
        return (told, format!("{name} = \"{inside}\""));
    }
    let told = fault(
        None,
        format!("I can't read {} ({message}).", quoted(said)),
        "A text stands in quotes; to hold quotes itself it stands in single ones, like `'27 1/2\"'`.",
    );
    (told, String::new())
}

/// The value in quotes, if it is not in quotes and can't stand without.
fn in_quotes(value: &str) -> String {
    let number = value.parse::<f64>().is_ok();
    if number || value.contains(['"', '\'', '\\']) {
        value.to_owned()
    } else {
        format!("\"{value}\"")
    }
}

/// The name and the value of a line: what stands before and after the first `=` outside quotes,
/// without a remark at the end.
fn split(line: &str) -> Option<(&str, &str)> {
    let mut inside = None;
    let mut equals = None;
    let mut end = line.len();
    for (at, c) in line.char_indices() {
        match (inside, c) {
            (None, '"' | '\'') => inside = Some(c),
            (Some(open), c) if c == open => inside = None,
            (None, '=') if equals.is_none() => equals = Some(at),
            (None, '#') => {
                end = at;
                break;
            }
            _ => {}
        }
    }
    let at = equals?;
    Some((&line[..at], &line[at + 1..end]))
}
