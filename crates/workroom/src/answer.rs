//! What a command answers: its text, its messages, and how it ends.

use std::io::{self, Write};
use std::process::ExitCode;

/// Ended well.
pub(crate) const DONE: u8 = 0;
/// A check found a stop.
pub(crate) const STOP: u8 = 1;
/// Something could not be read or written.
pub(crate) const FAULT: u8 = 2;

/// A command's whole answer. Nothing is printed before it is complete.
#[derive(Debug, Default)]
pub(crate) struct Answer {
    /// For standard output.
    pub(crate) out: String,
    /// For standard error: one message each.
    pub(crate) messages: Vec<String>,
    /// How the program ends.
    pub(crate) code: u8,
}

impl Answer {
    /// An answer that ends well.
    pub(crate) fn says(out: impl Into<String>) -> Self {
        Self {
            out: out.into(),
            ..Self::default()
        }
    }

    /// The same with another end.
    pub(crate) fn ending(mut self, code: u8) -> Self {
        self.code = code;
        self
    }

    /// The same with a message more.
    pub(crate) fn with(mut self, message: &str) -> Self {
        self.messages.push(message.to_owned());
        self
    }

    /// Faults, and nothing else.
    pub(crate) fn faults(messages: Vec<String>) -> Self {
        Self {
            messages,
            code: FAULT,
            ..Self::default()
        }
    }

    /// Prints it. A reader who has gone away (`ellwand … | head`) is no fault.
    pub(crate) fn print(&self) -> ExitCode {
        let mut err = io::stderr().lock();
        for message in &self.messages {
            let _ = writeln!(err, "{message}");
        }
        let mut out = io::stdout().lock();
        let printed = out
            .write_all(self.out.as_bytes())
            .and_then(|()| out.flush());
        match printed {
            Err(e) if e.kind() != io::ErrorKind::BrokenPipe => {
                let _ = writeln!(err, "The answer could not be written out: {e}.");
                ExitCode::from(FAULT)
            }
            _ => ExitCode::from(self.code),
        }
    }
}

/// A text from outside on one line, safe to print: no control letters, none that turn the direction
/// of what follows.
pub(crate) fn calm(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
                '\u{fffd}'
            }
            '\u{2028}' | '\u{2029}' => ' ',
            c if c.is_control() => ' ',
            c => c,
        })
        .collect()
}

/// The same, each line for itself.
pub(crate) fn calm_lines(text: &str) -> String {
    let lines: Vec<String> = text.lines().map(calm).collect();
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_can_neither_colour_nor_turn_the_terminal() {
        assert_eq!(calm("a\u{1b}[31mb\nc"), "a [31mb c");
        assert_eq!(calm("\u{202e}cba"), "\u{fffd}cba");
        assert_eq!(calm("Ngọc Ánh 🧵"), "Ngọc Ánh 🧵");
    }
}
