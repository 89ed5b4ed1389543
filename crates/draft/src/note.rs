//! A note on a method: the place, what is wrong there, and what to do.

use core::fmt;

/// A stretch of the text: a line and where in it, both counted from 1, in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Span {
    /// The line.
    pub line: u32,
    /// The first character.
    pub column: u32,
    /// How many characters.
    pub width: u32,
}

impl Span {
    /// From the beginning of one stretch to the end of another on the same line.
    #[must_use]
    pub fn to(self, end: Self) -> Self {
        if end.line != self.line || end.column < self.column {
            return self;
        }
        Self {
            width: (end.column + end.width).saturating_sub(self.column).max(1),
            ..self
        }
    }
}

/// A note: place, message, hint.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Note {
    /// Where.
    pub span: Span,
    /// What is wrong, as a sentence.
    pub message: String,
    /// What to do, as a sentence, when something can be said.
    pub hint: Option<String>,
    /// Whether only working the draft for a card showed it, not reading the text.
    pub working: bool,
}

impl Note {
    /// A note on the text.
    pub fn new(span: Span, message: impl Into<String>) -> Self {
        Self {
            span,
            message: message.into(),
            hint: None,
            working: false,
        }
    }

    /// The same with a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// Message and hint in one line.
    pub fn says(&self) -> String {
        match &self.hint {
            Some(hint) => format!("{} {hint}", self.message),
            None => self.message.clone(),
        }
    }

    /// The note as it is printed: place, message and hint, the line, and a caret under the word.
    pub fn shown<'a>(&'a self, file: &'a str, text: &'a str) -> impl fmt::Display + 'a {
        Shown {
            note: self,
            file,
            text,
        }
    }
}

struct Shown<'a> {
    note: &'a Note,
    file: &'a str,
    text: &'a str,
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Span { line, column, .. } = self.note.span;
        writeln!(
            f,
            "{}, line {line}, column {column}: {}",
            self.file,
            self.note.says()
        )?;
        let Some(source) = self.text.lines().nth(line.saturating_sub(1) as usize) else {
            return Ok(());
        };
        let shown: String = source
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .take(400)
            .collect();
        writeln!(f, "    {shown}")?;
        let blanks = (column.saturating_sub(1) as usize).min(400);
        write!(f, "    {}^", " ".repeat(blanks))
    }
}
