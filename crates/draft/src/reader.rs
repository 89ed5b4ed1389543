//! Reads a method: text in, tree and notes out. It cannot fail.
//!
//! Lines are sorted into headings, blocks, rows, entries and lines that go on; each entry's words are
//! read by `phrase`. A fault spoils its entry only.

mod blocks;
mod choices;
mod entries;
mod forgotten;
mod headings;
mod seams;
mod tables;

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::tree::{Expr, Group, Heading, Item, Method};
use crate::vocabulary::{self, Where};
use crate::words::{self, Kind, Line, Token};

/// What a line turned out to be; for tidy printing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Nothing but blanks or a remark.
    Blank,
    /// A heading.
    Heading,
    /// The text under `method`.
    About,
    /// An entry with its colon.
    Entry,
    /// A line that goes on with the entry above.
    More,
    /// A `why:` line.
    Why,
    /// A row of a table.
    Row,
    /// `when`.
    When,
    /// `otherwise`.
    Otherwise,
    /// `end`.
    End,
}

/// A line's role and how many blocks hold it.
#[derive(Clone, Debug, PartialEq)]
pub struct LineInfo {
    /// The line's words.
    pub line: Line,
    /// What it is.
    pub role: Role,
    /// How many `when` blocks hold it.
    pub depth: usize,
    /// Whether those blocks stand among the entries of a heading (and not round whole headings).
    pub under: Vec<bool>,
}

/// What reading a text gave.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// What was understood.
    pub method: Method,
    /// What was not, in order of place.
    pub notes: Vec<Note>,
    /// Names that were noted as unknown here already, so that their uses are not noted too; and
    /// `NAMELESS` for each thing whose name is missing.
    pub missed: Vec<Arc<str>>,
    /// The lines and what they are.
    pub lines: Vec<LineInfo>,
}

/// Stands for a name that was left out before its colon: the first name that is nowhere made is it.
pub(crate) const NAMELESS: &str = "?";

/// Reads a text. See the module.
pub fn read(text: &str) -> Reading {
    let mut notes = Vec::new();
    let lines = words::lines(text, &mut notes);
    let mut reader = Reader {
        notes,
        method: Method::default(),
        frames: vec![Frame::Root(Vec::new())],
        heading: None,
        open: None,
        infos: Vec::new(),
        titled: false,
        columns: None,
        known: BTreeSet::new(),
        missed: Vec::new(),
        bad_names: Vec::new(),
        lost: false,
        guessed_from: None,
        told: None,
        orphans: 0,
        adrift: false,
        unheaded: false,
        before_row: false,
        before_heading: false,
        loose_rows: false,
        sheets_bad: false,
        guessed_columns: false,
        before_entry: false,
    };
    // Whether the next line that says something is an entry of its own, and whether it is a row.
    let mut entry_next = vec![(false, false, false); lines.len()];
    let mut next = (false, false, false);
    for (line, entry_next) in lines.iter().zip(&mut entry_next).rev() {
        *entry_next = next;
        if !line.tokens.is_empty() {
            let row = line.tokens.iter().any(|t| t.is_sign("|"));
            let heading =
                line.tokens.len() == 1 && HEADINGS.iter().any(|(w, _)| line.tokens[0].is_word(w));
            next = (row || colon_at(&line.tokens).is_some(), row, heading);
        }
    }
    for (line, next) in lines.into_iter().zip(entry_next) {
        (
            reader.before_entry,
            reader.before_row,
            reader.before_heading,
        ) = next;
        reader.line(line);
    }
    reader.finish();
    let mut notes = reader.notes;
    // A name that could not be one was noted where it is made; its uses are not noted too.
    for (made, name) in &reader.bad_names {
        notes.retain(|n| n.span.line == *made || !stands_in(n.span, name, &reader.infos));
    }
    notes.sort_by_key(|n| n.span);
    Reading {
        method: reader.method,
        notes,
        missed: reader.missed,
        lines: reader.infos,
    }
}

const HEADINGS: [(&str, Heading); 17] = [
    ("method", Heading::Method),
    ("card", Heading::Card),
    ("choices", Heading::Choices),
    ("values", Heading::Values),
    ("use", Heading::Use),
    ("sheets", Heading::Sheets),
    ("levels", Heading::Levels),
    ("uprights", Heading::Uprights),
    ("points", Heading::Points),
    ("lines", Heading::Lines),
    ("edges", Heading::Edges),
    ("darts", Heading::Darts),
    ("finish", Heading::Finish),
    ("pieces", Heading::Pieces),
    ("seams", Heading::Seams),
    ("results", Heading::Results),
    ("checks", Heading::Checks),
];

impl Heading {
    /// Whether it leaves the sheet.
    fn leaves(self) -> bool {
        matches!(
            self,
            Self::Card
                | Self::Choices
                | Self::Pieces
                | Self::Seams
                | Self::Results
                | Self::Checks
                | Self::Use
                | Self::Sheets
                | Self::Method
        )
    }
}

impl Heading {
    /// What an entry under it is, and the heading's own word.
    fn reads_like(self) -> (&'static str, &'static str) {
        match self {
            Self::Levels => ("a level", "levels"),
            Self::Uprights => ("an upright", "uprights"),
            Self::Points => ("a point", "points"),
            Self::Lines => ("a line", "lines"),
            Self::Edges => ("an edge", "edges"),
            Self::Darts => ("a dart", "darts"),
            Self::Finish => ("the finish of an edge", "finish"),
            Self::Pieces => ("a piece", "pieces"),
            Self::Seams => ("a seam", "seams"),
            Self::Checks => ("a check", "checks"),
            Self::Results => ("a result", "results"),
            Self::Choices => ("a choice", "choices"),
            _ => ("a value", "values"),
        }
    }
}

enum Frame {
    Root(Vec<Item>),
    Group(Group),
    When {
        ask: Expr,
        then: Vec<Item>,
        otherwise: Option<Vec<Item>>,
        before: Option<Heading>,
        span: Span,
        in_sheet: bool,
        under: bool,
    },
}

/// An entry whose lines are still coming.
#[derive(Clone)]
struct Open {
    heading: Heading,
    head: Vec<Token>,
    tail: Vec<Token>,
    why: Vec<(usize, String)>,
    broken: bool,
    /// It is read under a heading that was guessed.
    guessed: bool,
    end: Span,
}

impl Open {
    /// The reasons under an entry, in one.
    fn reason(&self) -> Option<String> {
        let all: Vec<&str> = self.why.iter().map(|w| w.1.as_str()).collect();
        (!all.is_empty()).then(|| all.join(" "))
    }
}

#[expect(clippy::struct_excessive_bools, reason = "each is a state of its own")]
struct Reader {
    notes: Vec<Note>,
    method: Method,
    frames: Vec<Frame>,
    heading: Option<Heading>,
    open: Option<Open>,
    infos: Vec<LineInfo>,
    titled: bool,
    /// The order of the table's columns as they were named, by place in the group's names.
    columns: Option<Vec<usize>>,
    /// The names of numbers and things met so far: where a colon was forgotten they tell where a name ends.
    known: BTreeSet<Arc<str>>,
    /// Names noted as unknown.
    missed: Vec<Arc<str>>,
    /// Names with a word in them that joins: the line on which they are made, and their words.
    bad_names: Vec<(u32, Vec<String>)>,
    /// The heading could not be read, so its entries only declare their names.
    lost: bool,
    /// The heading that stands above, when entries showed that another was meant.
    guessed_from: Option<Heading>,
    /// The last guess that was told: what stood above, and what was meant.
    told: Option<(Option<Heading>, Heading)>,
    /// How many `otherwise` belonged to no `when`: their `end` was noted with them.
    orphans: usize,
    /// Lines that go on with no entry were noted.
    adrift: bool,
    /// Lines under no heading were noted.
    unheaded: bool,
    /// The line `sheets` could not be read whole, and was noted.
    sheets_bad: bool,
    /// The columns of the table were taken in the order of the sheets.
    guessed_columns: bool,
    /// A table without its sheets was noted.
    loose_rows: bool,
    /// The next line that says something is an entry of its own.
    before_entry: bool,
    /// The next line that says something is a row of a table.
    before_row: bool,
    /// The next line that says something is a heading alone.
    before_heading: bool,
}

impl Reader {
    pub(super) fn info(&mut self, line: &Line, role: Role) {
        let under: Vec<bool> = self
            .frames
            .iter()
            .filter_map(|f| match f {
                Frame::When { under, .. } => Some(*under),
                _ => None,
            })
            .collect();
        self.infos.push(LineInfo {
            line: line.clone(),
            role,
            depth: under.len(),
            under,
        });
    }

    pub(super) fn line(&mut self, mut line: Line) {
        if let Some(why) = &line.why {
            self.info(&line, Role::Why);
            self.why(
                why.clone(),
                line.all.first().map_or_else(Span::default, |t| t.span),
            );
            return;
        }
        let Some(first) = line.tokens.first().cloned() else {
            let role = if line.all.is_empty() {
                Role::Blank
            } else {
                Role::More
            };
            self.info(&line, role);
            return;
        };
        if line.torn && self.heading == Some(Heading::Method) {
            self.info(&line, Role::About);
            return;
        }
        if let Kind::Text(text) = &first.kind
            && line.tokens.len() == 1
            && (self.heading == Some(Heading::Method) || self.heading.is_none() && !self.unheaded)
        {
            self.method.about.push(text.clone());
            self.info(&line, Role::About);
            return;
        }
        self.without_colon(&mut line, &first);
        let first = self.block_word(&line, first);
        let colon = colon_at(&line.tokens);
        if colon.is_none() && (self.block(&line, &first) || self.heading_line(&line, &first)) {
            return;
        }
        if self.unknown_heading(&line, &first, colon) || self.headless_sheets(&line, &first) {
            return;
        }
        let before = self.notes.len();
        let (mut tokens, mut broken) = self.closed_brackets(line.tokens.clone());
        if line.torn {
            self.notes.truncate(before);
            broken = true;
        }
        let colon = colon_at(&tokens);
        let end = tokens.last().map_or(first.span, |t| Span {
            column: t.span.column + t.span.width,
            width: 1,
            ..t.span
        });
        if tokens.iter().any(|t| t.is_sign("|")) && (colon.is_none() || self.in_table()) {
            self.close();
            if self.in_table() || self.loose_table(&tokens) {
                self.info(&line, Role::Row);
                self.row(&tokens, end);
            } else {
                self.info(&line, Role::Row);
            }
            return;
        }
        if self.heading == Some(Heading::Method) && colon.is_none() && is_words(&tokens) {
            self.close();
            self.notes.push(
                Note::new(first.span, "The heading `card` is missing above this line.")
                    .hint("I read on as if it were there."),
            );
            self.heading = Some(Heading::Card);
        }
        if self.heading == Some(Heading::Card) && !self.is_choice(&tokens, colon) {
            self.close();
            self.info(&line, Role::Entry);
            self.measure(&tokens, colon, end, broken);
            return;
        }
        let colon = match colon {
            Some(at) => Some(at),
            None => self.forgotten_colon(&mut tokens, end),
        };
        match (colon, self.heading) {
            (Some(at), Some(heading)) => {
                self.close();
                let heading = self.heading.unwrap_or(heading);
                self.info(&line, Role::Entry);
                self.adrift = false;
                let tail = tokens.split_off(at + 1);
                tokens.pop();
                self.open = Some(Open {
                    heading,
                    head: tokens,
                    tail,
                    why: Vec::new(),
                    broken,
                    guessed: false,
                    end,
                });
            }
            (None, Some(_)) if self.open.is_some() => {
                self.info(&line, Role::More);
                if let Some(open) = &mut self.open {
                    open.broken |= broken;
                    let ends =
                        open.tail.is_empty() || open.tail.last().is_some_and(|t| t.is_sign(","));
                    if !ends && !tokens.first().is_some_and(|t| t.is_sign(",")) {
                        let span = Span {
                            column: first.span.column,
                            width: 1,
                            line: first.span.line,
                        };
                        open.tail.push(Token {
                            kind: Kind::Sign(","),
                            span,
                            raw: String::new(),
                        });
                    }
                    open.tail.extend(tokens);
                    open.end = end;
                }
            }
            (_, None) => {
                self.info(&line, Role::More);
                if !core::mem::replace(&mut self.unheaded, true) {
                    self.notes.push(
                        Note::new(first.span, "This line stands under no heading.")
                            .hint("A method begins with `method \"its name\"`, then `card`."),
                    );
                }
            }
            (None, Some(_)) => {
                self.info(&line, Role::More);
                self.miss_beginnings(&tokens);
                if self.lost || broken || core::mem::replace(&mut self.adrift, true) {
                    return;
                }
                self.notes.push(
                    Note::new(
                        first.span,
                        format!("I can't tell what `{}` belongs to.", shorten(&first.raw)),
                    )
                    .hint("A line is a name, a colon, and what it is."),
                );
            }
        }
    }

    /// What a line was to be called can't be told, so no name that it may begin with is noted as missing.
    fn miss_beginnings(&mut self, tokens: &[Token]) {
        let mut name = String::new();
        for token in tokens.iter().take(8) {
            let Kind::Word(word) = &token.kind else { break };
            if words::joins(word) {
                break;
            }
            if !name.is_empty() {
                name.push(' ');
            }
            name.push_str(word);
            self.missed.push(name.as_str().into());
        }
    }

    /// Brackets are closed line by line; a comma or colon inside is not counted.
    pub(super) fn closed_brackets(&mut self, mut tokens: Vec<Token>) -> (Vec<Token>, bool) {
        let mut stack: Vec<Span> = Vec::new();
        let mut broken = false;
        let mut keep = Vec::with_capacity(tokens.len());
        for token in tokens.drain(..) {
            if token.is_sign("(") {
                stack.push(token.span);
            } else if token.is_sign(")") && stack.pop().is_none() {
                broken = true;
                self.notes.push(
                    Note::new(token.span, "This bracket closes nothing.")
                        .hint("Take it away, or put `(` where it opens."),
                );
                continue;
            }
            keep.push(token);
        }
        if let Some(open) = stack.first() {
            broken = true;
            self.notes
                .push(Note::new(*open, "This bracket is not closed.").hint("Put `)` at its end."));
            let span = keep.last().map_or(*open, |t| t.span);
            for _ in &stack {
                keep.push(Token {
                    kind: Kind::Sign(")"),
                    span,
                    raw: String::new(),
                });
            }
        }
        (keep, broken)
    }

    pub(super) fn finish(&mut self) {
        self.close();
        self.leave_sheet(None);
        while self.frames.len() > 1 {
            if let Some(Frame::When { span, .. }) = self.frames.last() {
                let span = *span;
                self.unclosed(span, None);
            }
            self.pop();
        }
        if let Some(Frame::Root(items)) = self.frames.pop() {
            self.method.body = items;
        }
        if !self.titled
            && !self.infos.iter().any(|i| {
                i.role == Role::Heading
                    && i.line.tokens.first().is_some_and(|t| t.is_word("method"))
            })
        {
            self.notes.push(
                Note::new(
                    Span {
                        line: 1,
                        column: 1,
                        width: 1,
                    },
                    "The method has no name.",
                )
                .hint("Begin with `method \"Plain skirt\"`."),
            );
        }
    }
}

/// The rows that an entry under a heading may begin with, and those that may follow.
fn places(heading: Heading) -> (&'static [Where], &'static [Where]) {
    match heading {
        Heading::Levels => (&[Where::Level], &[Where::LevelMore]),
        Heading::Uprights => (&[Where::Upright], &[]),
        Heading::Points => (&[Where::Place], &[Where::PlaceMore]),
        Heading::Lines | Heading::Edges => (&[Where::Line], &[Where::Leg, Where::LegMore]),
        Heading::Darts => (&[Where::Dart], &[Where::Dart]),
        Heading::Finish => (&[Where::Finish], &[Where::Finish]),
        Heading::Pieces => (&[Where::Piece], &[Where::Piece]),
        _ => (&[], &[]),
    }
}

/// Whether a word is the first of a row of these places.
fn begins(token: Option<&Token>, places: &[Where]) -> bool {
    places
        .iter()
        .flat_map(|p| vocabulary::rows(*p))
        .any(|row| match row.bits.first() {
            Some(vocabulary::Bit::Word(word)) => token.is_some_and(|t| t.is_word(word)),
            _ => false,
        })
}

/// Whether tokens are words and nothing else.
fn is_words(tokens: &[Token]) -> bool {
    tokens.iter().all(|t| matches!(t.kind, Kind::Word(_)))
}

/// Whether a note points into words that stand one after the other in its line.
fn stands_in(span: Span, words: &[String], infos: &[LineInfo]) -> bool {
    let Some(info) = infos.iter().find(|i| i.line.number == span.line) else {
        return false;
    };
    info.line.tokens.windows(words.len()).any(|run| {
        let (first, last) = (run[0].span, run[run.len() - 1].span);
        let inside = first.column <= span.column && span.column <= last.column + last.width;
        inside
            && run
                .iter()
                .zip(words)
                .all(|(token, word)| token.is_word(word))
    })
}

/// On to the next comma outside brackets.
fn skip(phrase: &mut Phrase<'_>) {
    let mut depth = 0usize;
    while let Some(token) = phrase.peek() {
        if token.is_sign("(") {
            depth += 1;
        } else if token.is_sign(")") {
            depth = depth.saturating_sub(1);
        } else if depth == 0 && token.is_sign(",") {
            return;
        }
        phrase.at += 1;
    }
}

/// The place of the first colon outside brackets.
fn colon_at(tokens: &[Token]) -> Option<usize> {
    let mut depth = 0usize;
    for (i, token) in tokens.iter().enumerate() {
        if token.is_sign("(") {
            depth += 1;
        } else if token.is_sign(")") {
            depth = depth.saturating_sub(1);
        } else if depth == 0 && token.is_sign(":") {
            return Some(i);
        }
    }
    // A bracket left open must not hide the colon of its line.
    tokens
        .iter()
        .position(|t| t.is_sign(":"))
        .filter(|_| depth > 0)
}

fn shorten(said: &str) -> String {
    said.chars().take(40).collect()
}
