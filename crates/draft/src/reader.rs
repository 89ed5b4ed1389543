//! Reads a method: text in, tree and notes out. It cannot fail.
//!
//! Lines are sorted into headings, blocks, rows, entries and lines that go on; each entry's words are
//! read by `phrase`. A fault spoils its entry only.

use std::collections::BTreeSet;
use std::sync::Arc;

use measure::words::nearest;

use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::tree::{
    Arg, Check, ChoiceEntry, Drawn, Each, Entry, Expr, ExprKind, Group, Head, Heading, Item,
    MeasureEntry, Method, Piecewise, Ref, RefName, Says, Seam, TableRow, Truing, Use, Value,
    ValueForm, Weight, When,
};
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
    /// The lines and what they are.
    pub lines: Vec<LineInfo>,
}

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
        lost: false,
        guessed_from: None,
        told: None,
        orphans: 0,
        adrift: false,
        unheaded: false,
        before_row: false,
        loose_rows: false,
        sheets_bad: false,
        guessed_columns: false,
        before_entry: false,
    };
    // Whether the next line that says something is an entry of its own, and whether it is a row.
    let mut entry_next = vec![(false, false); lines.len()];
    let mut next = (false, false);
    for (line, entry_next) in lines.iter().zip(&mut entry_next).rev() {
        *entry_next = next;
        if !line.tokens.is_empty() {
            let row = line.tokens.iter().any(|t| t.is_sign("|"));
            next = (row || colon_at(&line.tokens).is_some(), row);
        }
    }
    for (line, next) in lines.into_iter().zip(entry_next) {
        (reader.before_entry, reader.before_row) = next;
        reader.line(line);
    }
    reader.finish();
    let mut notes = reader.notes;
    notes.sort_by_key(|n| n.span);
    Reading {
        method: reader.method,
        notes,
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
}

impl Reader {
    fn info(&mut self, line: &Line, role: Role) {
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

    fn line(&mut self, mut line: Line) {
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

    /// Brackets are closed line by line; a comma or colon inside is not counted.
    fn closed_brackets(&mut self, mut tokens: Vec<Token>) -> (Vec<Token>, bool) {
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

    // Headings and blocks.

    fn block(&mut self, line: &Line, first: &Token) -> bool {
        let alone = line.tokens.len() == 1;
        if first.is_word("when") {
            self.close();
            // Where the word itself is missing, the question begins at once.
            let asks = usize::from(!first.raw.is_empty());
            let end = line.tokens.last().map_or(first.span, |t| Span {
                column: t.span.column + t.span.width,
                width: 1,
                ..t.span
            });
            let (tokens, broken) = self.closed_brackets(line.tokens[asks..].to_vec());
            let mut phrase = Phrase::new(&tokens, end);
            let ask = match phrase.ask() {
                Err(_) if alone => {
                    self.notes.push(
                        Note::new(first.span, "This `when` asks nothing.")
                            .hint("Write a question behind it: `when here is back`."),
                    );
                    Expr {
                        kind: ExprKind::Spoilt,
                        span: first.span,
                    }
                }
                Ok(ask) if phrase.done() && !broken => ask,
                Ok(_) if broken => Expr {
                    kind: ExprKind::Spoilt,
                    span: first.span,
                },
                Ok(_) => {
                    let note = match phrase.wanted::<()>("the end of the line") {
                        Err(s) => s.note,
                        Ok(()) => return true,
                    };
                    self.notes.push(note);
                    Expr {
                        kind: ExprKind::Spoilt,
                        span: first.span,
                    }
                }
                Err(stuck) => {
                    if !broken {
                        self.notes.push(stuck.note);
                    }
                    Expr {
                        kind: ExprKind::Spoilt,
                        span: first.span,
                    }
                }
            };
            let in_sheet = self.in_sheet();
            let under = self.heading.is_some() && in_sheet;
            self.info(line, Role::When);
            if matches!(
                self.heading,
                Some(Heading::Card | Heading::Choices | Heading::Method) | None
            ) {
                self.notes.push(
                    Note::new(
                        first.span,
                        "A `when` can't stand among measures and choices.",
                    )
                    .hint("Let a choice end with `if …` instead."),
                );
            }
            if self.frames.len() > 24 {
                self.notes.push(Note::new(
                    first.span,
                    "Too many `when` stand in each other here.",
                ));
                return true;
            }
            self.frames.push(Frame::When {
                ask,
                then: Vec::new(),
                otherwise: None,
                before: self.heading,
                span: first.span,
                in_sheet,
                under,
            });
            return true;
        }
        let belongs = line.tokens.get(1).is_some_and(|t| t.is_word("of"));
        if !alone && (first.is_word("otherwise") || first.is_word("end") && !belongs) {
            self.notes.push(
                Note::new(
                    line.tokens[1].span,
                    format!("`{}` stands alone on its line.", first.raw.to_lowercase()),
                )
                .hint("What follows it goes on a line of its own."),
            );
        }
        if first.is_word("otherwise") {
            self.close();
            self.close_group_over_when();
            match self.frames.last_mut() {
                Some(Frame::When {
                    otherwise, before, ..
                }) if otherwise.is_none() => {
                    *otherwise = Some(Vec::new());
                    let before = *before;
                    self.heading = before;
                }
                _ => {
                    self.orphans += 1;
                    self.notes.push(
                        Note::new(first.span, "This `otherwise` belongs to no `when`.")
                            .hint("Write `when …` above it."),
                    );
                }
            }
            self.infos_outer(line, Role::Otherwise);
            return true;
        }
        if first.is_word("end") && !belongs {
            self.close();
            self.close_group_over_when();
            self.infos_outer(line, Role::End);
            if matches!(self.frames.last(), Some(Frame::When { .. })) {
                self.pop();
            } else if self.orphans > 0 {
                self.orphans -= 1;
            } else {
                self.notes.push(
                    Note::new(first.span, "This `end` closes nothing.").hint("Take it away."),
                );
            }
            return true;
        }
        false
    }

    /// `otherwise` and `end` stand as far out as their `when`.
    fn infos_outer(&mut self, line: &Line, role: Role) {
        self.info(line, role);
        if let Some(info) = self.infos.last_mut() {
            info.depth = info.depth.saturating_sub(1);
            info.under.pop();
        }
    }

    fn in_sheet(&self) -> bool {
        self.frames.iter().any(|f| matches!(f, Frame::Group(_)))
    }

    /// A group that was begun inside a block ends with it.
    fn close_group_over_when(&mut self) {
        if matches!(self.frames.last(), Some(Frame::Group(_)))
            && self.frames.iter().any(|f| matches!(f, Frame::When { .. }))
        {
            self.pop();
        }
    }

    /// Ends the innermost block or group.
    fn pop(&mut self) {
        match self.frames.pop() {
            Some(Frame::When {
                ask,
                then,
                otherwise,
                before,
                span,
                ..
            }) => {
                self.heading = before;
                self.lost = false;
                self.guessed_from = None;
                self.push(Item::When(When {
                    ask,
                    then,
                    otherwise: otherwise.unwrap_or_default(),
                    span,
                }));
            }
            Some(Frame::Group(group)) => self.push(Item::Sheets(group)),
            Some(Frame::Root(items)) => self.frames.push(Frame::Root(items)),
            None => {}
        }
    }

    fn push(&mut self, item: Item) {
        match self.frames.last_mut() {
            Some(Frame::Root(items)) => items.push(item),
            Some(Frame::Group(group)) => group.body.push(item),
            Some(Frame::When {
                then, otherwise, ..
            }) => match otherwise {
                Some(items) => items.push(item),
                None => then.push(item),
            },
            None => {}
        }
    }

    /// Leaves the sheet: closes its open blocks, and says so.
    fn leave_sheet(&mut self, line: Option<u32>) {
        while self.in_sheet() {
            if let Some(Frame::When {
                span,
                in_sheet: true,
                ..
            }) = self.frames.last()
            {
                self.unclosed(*span, line);
            }
            self.pop();
        }
    }

    fn unclosed(&mut self, span: Span, line: Option<u32>) {
        let place = match line {
            Some(line) => format!("I closed it before line {line}."),
            None => "I closed it at the end.".to_owned(),
        };
        self.notes.push(
            Note::new(span, format!("This `when` is never closed. {place}"))
                .hint("Write `end` where it stops."),
        );
    }

    fn heading_line(&mut self, line: &Line, first: &Token) -> bool {
        let Kind::Word(word) = &first.kind else {
            return false;
        };
        let tokens = &line.tokens;
        let alone = tokens.len() == 1;
        let takes_more = matches!(word.as_str(), "method" | "use" | "sheets");
        let known = HEADINGS.iter().find(|(w, _)| w == word).map(|x| x.1);
        let heading = match known {
            Some(h) if alone || (takes_more && self.takes(word, tokens)) => h,
            // The name of the method without its quotation marks.
            Some(Heading::Method) if self.heading.is_none() && (line.torn || is_words(tokens)) => {
                Heading::Method
            }
            None if nearest(word, ["sheets"]).is_some()
                && tokens.len() > 1
                && self.before_row
                && are_names(&tokens[1..]) =>
            {
                self.notes.push(Note::new(
                    first.span,
                    format!("There is no heading `{word}`. I read it as `sheets`."),
                ));
                Heading::Sheets
            }
            Some(_) => return false,
            None if alone && !self.is_own_word(word) => {
                let Some(meant) = nearest(word, HEADINGS.iter().map(|x| x.0)) else {
                    return false;
                };
                if word.chars().count() < 4 {
                    return false;
                }
                self.notes.push(Note::new(
                    first.span,
                    format!("There is no heading `{word}`. I read it as `{meant}`."),
                ));
                match HEADINGS.iter().find(|(w, _)| *w == meant) {
                    Some((_, h)) => *h,
                    None => return false,
                }
            }
            None => return false,
        };
        self.close();
        if heading.leaves() && self.in_sheet() {
            self.leave_sheet(Some(line.number));
        }
        if matches!(heading, Heading::Card | Heading::Choices | Heading::Method) {
            while let Some(Frame::When { span, .. }) = self.frames.last() {
                let span = *span;
                self.unclosed(span, Some(line.number));
                self.pop();
            }
        }
        self.info(line, Role::Heading);
        self.heading = Some(heading);
        self.adrift = false;
        self.told = None;
        self.lost = false;
        self.guessed_from = None;
        let rest = &tokens[1..];
        let end = tokens.last().map_or(first.span, |t| Span {
            column: t.span.column + t.span.width,
            width: 1,
            ..t.span
        });
        let mut phrase = Phrase::new(rest, end);
        match heading {
            Heading::Method => match phrase.take_text() {
                Some((title, _)) if phrase.done() => {
                    if self.titled {
                        self.notes.push(
                            Note::new(first.span, "A file holds one method.")
                                .hint("Put the second in a file of its own."),
                        );
                    } else {
                        self.method.title = title.trim().to_owned();
                        self.titled = true;
                    }
                }
                _ => {
                    let said: Vec<&str> = rest.iter().map(|t| t.raw.as_str()).collect();
                    let said = said.join(" ");
                    if !self.titled {
                        self.method.title.clone_from(&said);
                    }
                    let name = if said.is_empty() {
                        "Plain skirt"
                    } else {
                        &said
                    };
                    if line.torn {
                        return true;
                    }
                    self.notes.push(
                        Note::new(first.span, "A method wants its name in quotation marks.")
                            .hint(format!("Write `method \"{}\"`.", name.replace('"', ""))),
                    );
                }
            },
            Heading::Use => self.used(&mut phrase, first.span),
            Heading::Sheets => self.sheets(&mut phrase, first.span),
            _ => {}
        }
        true
    }

    fn takes(&self, word: &str, tokens: &[Token]) -> bool {
        match word {
            "method" | "use" => tokens
                .get(1)
                .is_some_and(|t| matches!(t.kind, Kind::Text(_))),
            _ => !tokens.iter().any(|t| t.is_sign("|")),
        }
    }

    /// Whether a word alone on a line may be meant as itself and not as a heading.
    fn is_own_word(&self, word: &str) -> bool {
        let places: &[Where] = self.heading.map_or(&[], |h| places(h).1);
        let first = |p: &Where| {
            vocabulary::rows(*p)
                .any(|r| matches!(r.bits.first(), Some(vocabulary::Bit::Word(w)) if *w == word))
        };
        places.iter().any(first)
            || (self.heading == Some(Heading::Card)
                && nearest(word, ["waist", "wrist", "height", "heel", "shoulder"]) == Some(word))
    }

    fn used(&mut self, phrase: &mut Phrase<'_>, span: Span) {
        let title = phrase.take_text().map(|t| t.0);
        let named = phrase.take_word("as");
        let name = if named { phrase.name().ok() } else { None };
        match (title, name, phrase.done()) {
            (Some(title), Some(name), true) => {
                self.push(Item::Use(Use {
                    title: title.trim().to_owned(),
                    name,
                    sets: Vec::new(),
                    span,
                }));
            }
            (title, name, _) => {
                self.notes.push(
                    Note::new(span, "I can't read which method is used.")
                        .hint("Write `use \"Straight skirt\" as block`."),
                );
                if let Some(name) = name {
                    self.push(Item::Use(Use {
                        title: title.unwrap_or_default(),
                        name,
                        sets: Vec::new(),
                        span,
                    }));
                }
            }
        }
    }

    fn sheets(&mut self, phrase: &mut Phrase<'_>, span: Span) {
        let before = self.notes.len();
        let mut names = Vec::new();
        let mut each = None;
        loop {
            if phrase.at_word("each") {
                each = self.each(phrase);
                break;
            }
            match phrase.name() {
                Ok(name) => names.push(name),
                Err(stuck) => {
                    self.notes
                        .push(stuck.note.hint("Write `sheets front, back`."));
                    break;
                }
            }
            if !phrase.take_sign(",") {
                break;
            }
        }
        if !phrase.done() && self.notes.len() == before {
            self.notes.push(
                Note::new(phrase.span(), "I can't read the rest of this line.")
                    .hint("Write `sheets front, back`."),
            );
        }
        self.sheets_bad = self.notes.len() > before;
        self.guessed_columns = false;
        if let Some(Frame::Group(group)) = self.frames.last_mut()
            && group.rows.is_empty()
            && group.body.is_empty()
            && self.loose_rows
            && group
                .names
                .iter()
                .map(|n| &n.name)
                .eq(names.iter().map(|n| &n.name))
        {
            // The first row stood above its `sheets`, and was noted.
            return;
        }
        self.columns = None;
        self.frames.push(Frame::Group(Group {
            names,
            each,
            rows: Vec::new(),
            body: Vec::new(),
            span,
        }));
    }

    fn each(&mut self, phrase: &mut Phrase<'_>) -> Option<Each> {
        let span = phrase.span();
        phrase.take_word("each");
        let counter = match phrase.peek() {
            Some(Token {
                kind: Kind::Word(w),
                ..
            }) => {
                let w: Arc<str> = w.as_str().into();
                phrase.at += 1;
                w
            }
            _ => {
                self.notes.push(
                    Note::new(span, "I can't read this count.").hint("Write `each k up to 4`."),
                );
                return None;
            }
        };
        if !phrase.take_words(&["up", "to"]) {
            self.notes
                .push(Note::new(span, "I can't read this count.").hint("Write `each k up to 4`."));
            return None;
        }
        match phrase.sum() {
            Ok(upto) => Some(Each {
                counter,
                upto,
                span,
            }),
            Err(stuck) => {
                self.notes.push(stuck.note);
                None
            }
        }
    }

    // Rows, measures, entries.

    fn row(&mut self, tokens: &[Token], end: Span) {
        let cells: Vec<&[Token]> = tokens.split(|t| t.is_sign("|")).collect();
        let Some(Frame::Group(group)) = self.frames.last() else {
            self.notes.push(
                Note::new(
                    tokens[0].span,
                    "A row of a table stands straight under `sheets`.",
                )
                .hint("Move it there, above the first heading."),
            );
            return;
        };
        let names = group.names.clone();
        let Some(columns) = self.columns.clone() else {
            // The first row names the columns.
            let mut columns = Vec::new();
            let named = if cells[0].is_empty() {
                &cells[1..]
            } else {
                &cells[..]
            };
            let near = |cell: &[Token]| {
                let mut phrase = Phrase::new(cell, end);
                phrase
                    .name()
                    .is_ok_and(|name| nearest(&name.name, names.iter().map(|n| &*n.name)).is_some())
            };
            let joined: Vec<String> = named.iter().map(|cell| said(cell)).collect();
            let sheets: Vec<&str> = names.iter().map(|n| &*n.name).collect();
            if named.len() > 1 && names.len() == 1 && joined.join(" ") == sheets[0] {
                // `sheets front back`: the table tells where the comma belongs.
                self.notes.push(
                    Note::new(names[0].span, "A comma is missing between the sheets.")
                        .hint(format!("Write `sheets {}`.", shorten(&joined.join(", ")))),
                );
                let parted: Vec<RefName> = joined
                    .iter()
                    .map(|name| RefName {
                        name: name.as_str().into(),
                        number: None,
                        span: names[0].span,
                    })
                    .collect();
                self.columns = Some((0..parted.len()).collect());
                if let Some(Frame::Group(group)) = self.frames.last_mut() {
                    group.names = parted;
                }
                return;
            }
            if named.len() == 1 && names.len() > 1 && joined[0] == sheets.join(" ") {
                self.notes.push(
                    Note::new(tokens[0].span, "A `|` is missing between the sheets.")
                        .hint(format!("Write `| {}`.", shorten(&sheets.join(" | ")))),
                );
                self.columns = Some((0..names.len()).collect());
                return;
            }
            if !self.sheets_bad && !named.iter().any(|cell| near(cell)) {
                let said: Vec<&str> = names.iter().map(|n| &*n.name).collect();
                self.notes.push(
                    Note::new(tokens[0].span, "The first row of a table names the sheets.").hint(
                        format!("Write `| {}` above this one.", shorten(&said.join(" | "))),
                    ),
                );
                self.columns = Some((0..names.len()).collect());
                self.guessed_columns = true;
                self.row(tokens, end);
                return;
            }
            for cell in named {
                let mut phrase = Phrase::new(cell, end);
                match phrase.name() {
                    Ok(name) => match names.iter().position(|n| n.name == name.name) {
                        Some(i) => columns.push(i),
                        None if self.sheets_bad => self.add_sheet(name, &mut columns),
                        None => {
                            let note =
                                Note::new(name.span, format!("There is no sheet `{}`.", name.name));
                            self.notes.push(
                                match nearest(&name.name, names.iter().map(|n| &*n.name)) {
                                    Some(meant) => note.hint(format!("Did you mean `{meant}`?")),
                                    None => {
                                        note.hint("The first row of the table names the sheets.")
                                    }
                                },
                            );
                            columns.push(columns.len().min(names.len().saturating_sub(1)));
                        }
                    },
                    Err(stuck) => {
                        let free = (0..names.len()).find(|i| !columns.contains(i));
                        columns.push(free.unwrap_or(names.len().saturating_sub(1)));
                        self.notes.push(
                            stuck
                                .note
                                .hint("The first row of the table names the sheets."),
                        );
                    }
                }
            }
            self.columns = Some(columns);
            return;
        };
        if self.guessed_columns && cells[0].is_empty() {
            let late: Option<Vec<usize>> = cells[1..]
                .iter()
                .map(|cell| names.iter().position(|n| *n.name == *said(cell)))
                .collect();
            if let Some(late) = late {
                self.columns = Some(late);
                return;
            }
        }
        let noted = self.notes.len();
        let mut phrase = Phrase::new(cells[0], tokens[0].span);
        let name = match phrase.name() {
            Ok(name) => name,
            Err(stuck) => {
                self.notes.push(stuck.note);
                return;
            }
        };
        if !phrase.done() {
            self.notes.push(Note::new(
                phrase.span(),
                format!("I can't read the name of this row after `{}`.", name.name),
            ));
        }
        let spoilt = Value {
            form: ValueForm::Cases(vec![(
                Expr {
                    kind: ExprKind::Spoilt,
                    span: name.span,
                },
                None,
            )]),
            moves: None,
            span: name.span,
        };
        let mut values = vec![None; names.len()];
        self.notes.truncate(
            noted + usize::from(cells.len() - 1 == columns.len() && self.notes.len() > noted),
        );
        let (has, wants) = (cells.len() - 1, columns.len());
        if has != wants {
            let count = |n: usize, what: &str| match n {
                0 => format!("no {what}"),
                1 => format!("one {what}"),
                n => format!("{n} {what}s"),
            };
            self.notes.push(
                Note::new(
                    name.span,
                    format!(
                        "This row has {}, and the table has {}.",
                        count(has, "cell"),
                        count(wants, "column")
                    ),
                )
                .hint(if has < wants {
                    "Put a `|` between the cells, one cell for each sheet."
                } else {
                    "Take a cell away, or name its sheet in the first row."
                }),
            );
        }
        let noted = self.notes.len();
        for (cell, column) in cells[1..].iter().zip(&columns) {
            let after = cell.last().map_or(end, |t| Span {
                column: t.span.column + t.span.width,
                width: 1,
                ..t.span
            });
            let mut phrase = Phrase::new(cell, after);
            let value = match phrase.value() {
                Ok(value) if phrase.done() => value,
                Ok(_) => {
                    if let Err(stuck) = phrase.wanted::<()>("a sign, or the end of the cell") {
                        self.notes.push(stuck.note);
                    }
                    spoilt.clone()
                }
                Err(stuck) => {
                    self.notes.push(stuck.note);
                    spoilt.clone()
                }
            };
            if let Some(place) = values.get_mut(*column) {
                *place = Some(value);
            }
        }
        if has != wants {
            // With a `|` missing, what stands in the cells is not what was meant.
            self.notes.truncate(noted);
        }
        let cells = values
            .into_iter()
            .map(|v| v.unwrap_or_else(|| spoilt.clone()))
            .collect();
        if let Some(Frame::Group(group)) = self.frames.last_mut() {
            self.known.insert(name.name.clone());
            group.rows.push(TableRow {
                name,
                cells,
                why: None,
            });
        }
    }

    /// A sheet that only the table names, when its `sheets` could not be read.
    fn add_sheet(&mut self, name: RefName, columns: &mut Vec<usize>) {
        if let Some(Frame::Group(group)) = self.frames.last_mut() {
            columns.push(group.names.len());
            group.names.push(name);
        }
    }

    fn measure(&mut self, tokens: &[Token], colon: Option<usize>, end: Span, broken: bool) {
        let (head, tail) = match colon {
            Some(at) => (&tokens[..at], &tokens[at + 1..]),
            None => (tokens, &[][..]),
        };
        let mut phrase = Phrase::new(head, end);
        let name = match phrase.name() {
            Ok(name) => name,
            Err(stuck) => {
                self.notes.push(stuck.note);
                return;
            }
        };
        if !phrase.done() {
            self.bad_head(head, phrase.at);
            return;
        }
        self.known.insert(name.name.clone());
        let mut entry = MeasureEntry {
            name,
            fallback: None,
            taken: None,
            why: None,
        };
        let mut phrase = Phrase::new(tail, end);
        if phrase.take_word("else") {
            match phrase.sum() {
                Ok(sum) => entry.fallback = Some(sum),
                Err(stuck) => {
                    if !broken {
                        self.notes.push(stuck.note);
                    }
                    entry.fallback = Some(Expr {
                        kind: ExprKind::Spoilt,
                        span: entry.name.span,
                    });
                    self.method.card.push(entry);
                    return;
                }
            }
        }
        phrase.take_sign(",");
        if let Some((text, _)) = phrase.take_text() {
            entry.taken = Some(text);
        }
        if !phrase.done() && !broken {
            if let Err(stuck) =
                phrase.wanted::<()>("`else` and a length, or how it is taken in quotation marks")
            {
                self.notes.push(stuck.note);
            }
        }
        self.method.card.push(entry);
    }

    /// What stands before the colon is no name.
    fn bad_head(&mut self, head: &[Token], at: usize) {
        let Some(token) = head.get(at) else { return };
        match &token.kind {
            Kind::Word(word) if words::joins(word) => {
                let plain: Vec<&str> = head
                    .iter()
                    .filter_map(|t| match &t.kind {
                        Kind::Word(w) if !words::joins(w) => Some(w.as_str()),
                        _ => None,
                    })
                    .collect();
                let mut turned: Vec<&str> = plain.clone();
                turned.reverse();
                let try_this = if turned.len() > 1 {
                    format!("Try `{}`, or another word.", turned.join(" "))
                } else {
                    "Try another word.".into()
                };
                self.notes.push(
                    Note::new(
                        token.span,
                        format!("`{word}` is a joining word and can't stand inside a name."),
                    )
                    .hint(try_this),
                );
            }
            _ => self.notes.push(
                Note::new(
                    token.span,
                    format!("`{}` can't stand inside a name.", shorten(&token.raw)),
                )
                .hint("Names are made of words; a number in a name is said so: `gore number 2`."),
            ),
        }
    }

    fn why(&mut self, why: String, span: Span) {
        if let Some(open) = &mut self.open {
            open.why.push((open.tail.len(), why));
            return;
        }
        match self.heading {
            Some(Heading::Card) => {
                if let Some(last) = self.method.card.last_mut() {
                    last.why = Some(why);
                    return;
                }
            }
            Some(Heading::Sheets) => {
                if let Some(Frame::Group(group)) = self.frames.last_mut()
                    && let Some(row) = group.rows.last_mut()
                {
                    row.why = Some(why);
                    return;
                }
            }
            _ => {}
        }
        if self.adrift || self.lost {
            return;
        }
        self.notes.push(
            Note::new(span, "This `why` stands under no line.")
                .hint("Put it under the line it explains."),
        );
    }

    fn finish(&mut self) {
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

    /// Ends the entry whose lines were coming, and reads it.
    fn close(&mut self) {
        let Some(open) = self.open.take() else { return };
        match open.heading {
            Heading::Choices => self.choice(&open),
            Heading::Use => self.setting(&open),
            _ => self.entry(&open),
        }
    }

    fn head(&mut self, open: &Open) -> Option<(Head, bool)> {
        let start = open
            .head
            .first()
            .or(open.tail.first())
            .map_or(open.end, |t| t.span);
        if open.head.is_empty() {
            self.notes
                .push(Note::new(start, "A name is missing before the colon."));
            return None;
        }
        let finish = open.heading == Heading::Finish;
        let belongs = finish;
        let mut phrase = Phrase::new(&open.head, open.end);
        let list = |reader: &mut Self, phrase: &mut Phrase<'_>| {
            let mut names: Vec<RefName> = Vec::new();
            loop {
                match phrase.name() {
                    Ok(name) => names.push(name),
                    Err(stuck) => {
                        reader.notes.push(stuck.note);
                        return None;
                    }
                }
                if !phrase.take_word("and") {
                    return Some(names);
                }
            }
        };
        let mut names = list(self, &mut phrase)?;
        let mut of = Vec::new();
        if phrase.at_word("of") {
            phrase.take_word("of");
            if belongs {
                of = list(self, &mut phrase)?;
            } else {
                // `pit of neck` is one name.
                let mut rest = phrase.name().ok();
                while let (Some(last), Some(more)) = (names.last_mut(), rest.take()) {
                    last.name = format!("{} of {}", last.name, more.name).into();
                    last.span = last.span.to(more.span);
                    if last.number.is_none() {
                        last.number = more.number;
                    }
                    if phrase.take_word("of") {
                        rest = phrase.name().ok();
                    }
                }
            }
        }
        let span = start.to(open.head.last().map_or(start, |t| t.span));
        if !phrase.done() {
            self.bad_head(&open.head, phrase.at);
            // Declare what it was probably meant to be called, so that its uses are not noted too.
            let plain: Vec<&str> = open
                .head
                .iter()
                .filter_map(|t| match &t.kind {
                    Kind::Word(w) if !words::joins(w) => Some(w.as_str()),
                    _ => None,
                })
                .collect();
            let turned: Vec<&str> = plain.iter().rev().copied().collect();
            for guess in [plain.join(" "), turned.join(" ")] {
                if !guess.is_empty() {
                    names.push(RefName {
                        name: guess.into(),
                        number: None,
                        span,
                    });
                }
            }
            return Some((Head { names, of, span }, true));
        }
        Some((Head { names, of, span }, false))
    }

    fn entry(&mut self, open: &Open) {
        let noted = self.notes.len();
        let Some((head, bad_head)) = self.head(open) else {
            return;
        };
        self.declare(&head);
        let mut spoilt = open.broken || self.lost || bad_head;
        let before = self.notes.len();
        let (tail, each) = self.tail_each(open);
        let says = if self.lost {
            Says::Parts(Vec::new())
        } else {
            self.says(open.heading, &tail, open, &mut spoilt)
        };
        let heading = open.heading;
        if open.broken || self.lost {
            // The bracket or the heading was noted; what follows from it is not noted too.
            self.notes.truncate(before);
        } else if self.notes.len() > before
            && let Some(meant) = self.meant(&tail, open)
        {
            self.notes.truncate(noted);
            self.read_as(meant, head.span);
            self.entry(&Open {
                heading: meant,
                guessed: true,
                ..open.clone()
            });
            return;
        }
        let why = open.reason();
        let why = if matches!(&says, Says::Seam(s) if !s.truings.is_empty()) {
            None
        } else {
            why
        };
        self.push(Item::Entry(Entry {
            head,
            says,
            each,
            why,
            spoilt,
            heading,
        }));
    }

    fn declare(&mut self, head: &Head) {
        for name in &head.names {
            self.known.insert(name.name.clone());
        }
    }

    /// What an entry under this heading says.
    fn says(&mut self, heading: Heading, tail: &[Token], open: &Open, spoilt: &mut bool) -> Says {
        let mut phrase = Phrase::new(tail, open.end);
        match heading {
            Heading::Values | Heading::Results => {
                Says::Value(self.whole_value(&mut phrase, spoilt))
            }
            Heading::Seams => Says::Seam(self.seam(&mut phrase, spoilt, open)),
            Heading::Checks => Says::Check(self.check(&mut phrase, spoilt)),
            Heading::Method | Heading::Sheets | Heading::Card | Heading::Choices | Heading::Use => {
                *spoilt = true;
                let span = open.head.first().map_or(open.end, |t| t.span);
                self.notes.push(
                    Note::new(span, "This line stands under the wrong heading.")
                        .hint("Put a heading such as `values` or `points` above it."),
                );
                Says::Parts(Vec::new())
            }
            _ => Says::Parts(self.parts(&mut phrase, heading, spoilt)),
        }
    }

    // Forgotten headings and colons.

    /// The heading under which an entry would read without a fault, if it has one here.
    fn meant(&mut self, tail: &[Token], open: &Open) -> Option<Heading> {
        if open.guessed {
            return None;
        }
        let after = matches!(
            open.heading,
            Heading::Pieces | Heading::Seams | Heading::Results | Heading::Checks
        );
        let number = if after {
            Heading::Results
        } else {
            Heading::Values
        };
        let reckons = tail.iter().any(|t| match &t.kind {
            Kind::Number { .. } => true,
            Kind::Sign(sign) => matches!(*sign, "+" | "-" | "*" | "/"),
            _ => false,
        });
        // The heading that stands above comes first, then the others in the order of the work.
        let others = [
            Heading::Levels,
            Heading::Uprights,
            Heading::Points,
            Heading::Edges,
            Heading::Darts,
            Heading::Finish,
            Heading::Pieces,
            Heading::Seams,
            Heading::Checks,
        ];
        let in_block = matches!(self.frames.last(), Some(Frame::When { .. }));
        self.guessed_from
            .into_iter()
            .chain(others)
            .chain(reckons.then_some(number))
            .filter(|heading| *heading != open.heading && !(in_block && heading.leaves()))
            // Among uprights, `at the top` is more likely a slip for `at the left`.
            .filter(|heading| (open.heading, *heading) != (Heading::Uprights, Heading::Levels))
            .find(|heading| {
                let before = self.notes.len();
                let mut spoilt = false;
                let _ = self.says(*heading, tail, open, &mut spoilt);
                let clean = self.notes.len() == before && !spoilt;
                self.notes.truncate(before);
                clean
            })
    }

    /// Goes on as if another heading stood above, and says so once.
    fn read_as(&mut self, meant: Heading, span: Span) {
        let written = self.heading;
        if heading_leaves_now(meant, self.in_sheet()) {
            self.leave_sheet(Some(span.line));
        }
        self.heading = Some(meant);
        if self.guessed_from == Some(meant) {
            self.guessed_from = None;
            return;
        }
        self.guessed_from = self.guessed_from.or(written);
        if self.told == Some((written, meant)) {
            return;
        }
        self.told = Some((written, meant));
        let (what, name) = meant.reads_like();
        self.notes.push(
            Note::new(span, format!("This line reads like {what}."))
                .hint(format!("Put the heading `{name}` above it.")),
        );
    }

    /// Under `card`, a line that reads like a choice: the heading `choices` is missing.
    fn is_choice(&mut self, tokens: &[Token], colon: Option<usize>) -> bool {
        let Some(at) = colon else { return false };
        let Some(first) = tokens.get(at + 1) else {
            return false;
        };
        if first.is_word("else") || first.is_sign(",") || matches!(first.kind, Kind::Text(_)) {
            return false;
        }
        let mut phrase = Phrase::new(&tokens[at + 1..], first.span);
        if phrase.ask().is_err() || !phrase.at_stop() {
            return false;
        }
        self.heading = Some(Heading::Choices);
        self.notes.push(
            Note::new(tokens[0].span, "This line reads like a choice.")
                .hint("Put the heading `choices` above it."),
        );
        true
    }

    /// A line without a colon that can't go on with the entry above, and reads well with one.
    fn forgotten_colon(&mut self, tokens: &mut Vec<Token>, end: Span) -> Option<usize> {
        let heading = self.heading.filter(|_| !self.lost)?;
        let (first, more) = places(heading);
        let goes_on = |token: &Token| match heading {
            Heading::Values | Heading::Results => {
                ["else", "may", "each"].iter().any(|w| token.is_word(w))
            }
            Heading::Choices => ["between", "one", "if"].iter().any(|w| token.is_word(w)),
            Heading::Seams => ["ease", "true", "make"].iter().any(|w| token.is_word(w)),
            Heading::Checks => ["at", "cure"].iter().any(|w| token.is_word(w)),
            _ => begins(Some(token), more) || token.is_word("each"),
        };
        if goes_on(tokens.first()?) || tokens.last()?.is_word("level") {
            return None;
        }
        let words = tokens
            .iter()
            .take_while(|t| matches!(&t.kind, Kind::Word(w) if !words::joins(w)))
            .count();
        let open = Open {
            heading,
            head: Vec::new(),
            tail: Vec::new(),
            why: Vec::new(),
            broken: false,
            guessed: false,
            end,
        };
        let at = (1..=words.min(12)).find(|&at| {
            let tail = &tokens[at..];
            let Some(token) = tail.first() else {
                return false;
            };
            let may_begin = match heading {
                Heading::Checks => ["stop", "ask", "note"].iter().any(|w| token.is_word(w)),
                Heading::Points
                | Heading::Lines
                | Heading::Edges
                | Heading::Darts
                | Heading::Finish
                | Heading::Pieces => begins(Some(token), first),
                _ => self.begins_with_known(tail),
            };
            if !may_begin {
                return false;
            }
            let before = self.notes.len();
            let mut spoilt = false;
            match heading {
                Heading::Choices => {
                    let mut phrase = Phrase::new(tail, end);
                    spoilt = phrase.ask().is_err() || !phrase.at_stop();
                }
                Heading::Use => {
                    let mut phrase = Phrase::new(tail, end);
                    spoilt = phrase.ask().is_err() || !phrase.done();
                }
                _ => {
                    let _ = self.says(heading, tail, &open, &mut spoilt);
                }
            }
            let clean = self.notes.len() == before && !spoilt;
            self.notes.truncate(before);
            clean
        })?;
        let said: Vec<&str> = tokens[..at].iter().map(|t| t.raw.as_str()).collect();
        let span = tokens[0].span.to(tokens[at - 1].span);
        self.notes.push(
            Note::new(
                span,
                format!("A colon is missing behind `{}`.", shorten(&said.join(" "))),
            )
            .hint("A line is a name, a colon, and what it is."),
        );
        tokens.insert(
            at,
            Token {
                kind: Kind::Sign(":"),
                span,
                raw: String::new(),
            },
        );
        Some(at)
    }

    /// Whether tokens begin with a figure, a bracket, or a whole name that was declared.
    fn begins_with_known(&self, tokens: &[Token]) -> bool {
        match &tokens[0].kind {
            Kind::Number { .. } => true,
            Kind::Sign(sign) => matches!(*sign, "(" | "-"),
            Kind::Word(_) => {
                let mut phrase = Phrase::new(tokens, tokens[0].span);
                phrase.name().is_ok_and(|name| {
                    self.known.contains(&name.name)
                        || vocabulary::SHARES.iter().any(|(w, _)| *w == &*name.name)
                        || crate::phrase::FUNCTIONS
                            .iter()
                            .any(|(w, _, _)| *w == &*name.name)
                        || *name.name == *"length"
                })
            }
            _ => false,
        }
    }

    /// Whether rows of a table may stand here.
    fn in_table(&self) -> bool {
        self.heading == Some(Heading::Sheets)
    }

    /// A table without its `sheets`: its first row names the sheets. Whether it could be opened so.
    fn loose_table(&mut self, tokens: &[Token]) -> bool {
        if core::mem::replace(&mut self.loose_rows, true) {
            return false;
        }
        let names: Vec<RefName> = tokens
            .split(|t| t.is_sign("|"))
            .filter(|cell| !cell.is_empty())
            .map_while(|cell| {
                let mut phrase = Phrase::new(cell, tokens[0].span);
                phrase.name().ok().filter(|_| phrase.done())
            })
            .collect();
        let note = Note::new(
            tokens[0].span,
            "A row of a table stands straight under `sheets`.",
        );
        if self.in_sheet() || names.is_empty() || !tokens[0].is_sign("|") {
            self.notes
                .push(note.hint("Move it there, above the first heading."));
            return false;
        }
        let said: Vec<&str> = names.iter().map(|n| &*n.name).collect();
        self.notes.push(note.hint(format!(
            "Write `sheets {}` above it.",
            shorten(&said.join(", "))
        )));
        self.heading = Some(Heading::Sheets);
        self.columns = None;
        self.frames.push(Frame::Group(Group {
            names,
            each: None,
            rows: Vec::new(),
            body: Vec::new(),
            span: tokens[0].span,
        }));
        true
    }

    /// The first word of a line, or the `when`, `otherwise` or `end` that was meant by it.
    fn block_word(&mut self, line: &Line, first: Token) -> Token {
        let Kind::Word(word) = &first.kind else {
            return first;
        };
        if colon_at(&line.tokens).is_some() || line.tokens.iter().any(|t| t.is_sign("|")) {
            return first;
        }
        let alone = line.tokens.len() == 1;
        let reads_as_question = |tokens: &[Token]| {
            let mut phrase = Phrase::new(tokens, first.span);
            let asks = tokens.iter().any(|t| {
                t.is_word("is") || ["<", "<=", ">", ">=", "="].iter().any(|s| t.is_sign(s))
            });
            asks && phrase.ask().is_ok() && phrase.done()
        };
        let known = HEADINGS.iter().any(|(w, _)| w == word)
            || ["when", "otherwise", "end"].contains(&word.as_str());
        let under_entries = !matches!(
            self.heading,
            None | Some(Heading::Method | Heading::Card | Heading::Choices)
        );
        if known || !under_entries || self.is_own_word(word) {
            return first;
        }
        let meant = if alone {
            (word.chars().count() > 2)
                .then(|| nearest(word, ["otherwise", "end"]))
                .flatten()
        } else {
            nearest(word, ["when"]).filter(|_| reads_as_question(&line.tokens[1..]))
        };
        if let Some(meant) = meant {
            self.notes.push(Note::new(
                first.span,
                format!("I don't know the word `{word}`. I read it as `{meant}`."),
            ));
            return Token {
                kind: Kind::Word(meant.to_owned()),
                ..first
            };
        }
        let values = matches!(self.heading, Some(Heading::Values | Heading::Results));
        if !values && reads_as_question(&line.tokens) {
            self.notes.push(
                Note::new(
                    first.span,
                    "The word `when` is missing before this question.",
                )
                .hint(format!("Write `when {} …`.", shorten(&first.raw))),
            );
            return Token {
                kind: Kind::Word("when".to_owned()),
                raw: String::new(),
                ..first
            };
        }
        first
    }

    /// `points:`, `when train:`, `end:` are headings and blocks with a colon too many.
    fn without_colon(&mut self, line: &mut Line, first: &Token) {
        let Some(last) = line.tokens.last() else {
            return;
        };
        let at = line.tokens.len() - 1;
        if !last.is_sign(":") || colon_at(&line.tokens) != Some(at) {
            return;
        }
        let Kind::Word(word) = &first.kind else {
            return;
        };
        let block = word == "when" || at == 1 && matches!(word.as_str(), "otherwise" | "end");
        let heading = HEADINGS.iter().any(|(w, _)| w == word)
            && (at == 1 || matches!(word.as_str(), "sheets" | "use" | "method"));
        // A value may be called `darts`, and its cases may stand on the lines below.
        if !(block || heading && self.before_entry) {
            return;
        }
        self.notes.push(
            Note::new(last.span, format!("A line with `{word}` has no colon."))
                .hint("Take it away."),
        );
        line.tokens.pop();
    }

    /// A word alone above entries that is no heading and no word of the language.
    fn unknown_heading(&mut self, line: &Line, first: &Token, colon: Option<usize>) -> bool {
        let Kind::Word(word) = &first.kind else {
            return false;
        };
        let allowed = match self.heading {
            None | Some(Heading::Card | Heading::Method) => false,
            Some(Heading::Values | Heading::Results | Heading::Choices) => self
                .open
                .as_ref()
                .is_none_or(|o| !o.tail.last().is_some_and(|t| t.is_sign(","))),
            Some(_) => true,
        };
        if colon.is_some()
            || line.tokens.len() != 1
            || !allowed
            || !self.before_entry
            || words::joins(word)
            || self.is_own_word(word)
            || self.meant_word(word)
        {
            return false;
        }
        self.close();
        let names: Vec<&str> = HEADINGS.iter().map(|(w, _)| *w).collect();
        self.notes.push(
            Note::new(
                first.span,
                format!("There is no heading `{}`.", shorten(word)),
            )
            .hint(format!("I know {}.", names.join(", "))),
        );
        self.info(line, Role::Heading);
        self.heading = Some(Heading::Points);
        self.lost = true;
        true
    }

    /// `front, back` above a table: the word `sheets` is missing.
    fn headless_sheets(&mut self, line: &Line, first: &Token) -> bool {
        let commas = line.tokens.iter().any(|t| t.is_sign(","));
        if !self.before_row || !commas || self.in_sheet() || !are_names(&line.tokens) {
            return false;
        }
        self.close();
        self.notes.push(
            Note::new(
                first.span,
                "The word `sheets` is missing before these names.",
            )
            .hint("Write `sheets front, back`."),
        );
        self.info(line, Role::Heading);
        self.heading = Some(Heading::Sheets);
        let end = line.tokens.last().map_or(first.span, |t| t.span);
        let mut phrase = Phrase::new(&line.tokens, end);
        self.sheets(&mut phrase, first.span);
        true
    }

    /// Whether a word alone is near a word that may stand alone here.
    fn meant_word(&self, word: &str) -> bool {
        let places: &[Where] = self.heading.map_or(&[], |h| places(h).1);
        let firsts = places
            .iter()
            .flat_map(|p| vocabulary::rows(*p))
            .filter(|r| r.bits.len() == 1)
            .filter_map(|r| match r.bits.first() {
                Some(vocabulary::Bit::Word(w)) => Some(*w),
                _ => None,
            });
        nearest(word, firsts).is_some()
    }

    /// Takes the part `each k up to N` out of an entry, wherever it stands.
    fn tail_each(&mut self, open: &Open) -> (Vec<Token>, Option<Each>) {
        let mut depth = 0usize;
        let mut place = None;
        for (i, token) in open.tail.iter().enumerate() {
            if token.is_sign("(") {
                depth += 1;
            } else if token.is_sign(")") {
                depth = depth.saturating_sub(1);
            } else if depth == 0
                && token.is_word("each")
                && open.tail.get(i + 2).is_some_and(|t| t.is_word("up"))
            {
                place = Some(i);
                break;
            }
        }
        let Some(at) = place else {
            return (open.tail.clone(), None);
        };
        let comma = at > 0 && open.tail[at - 1].is_sign(",");
        if at > 0 && !comma {
            self.notes.push(Note::new(
                open.tail[at].span,
                "A comma is missing before `each`.",
            ));
        }
        let mut phrase = Phrase::new(&open.tail[at..], open.end);
        let each = self.each(&mut phrase);
        if each.is_some()
            && !phrase.at_stop()
            && let Err(stuck) = phrase.wanted::<()>("a comma, or the end of the line")
        {
            self.notes.push(stuck.note);
        }
        skip(&mut phrase);
        let mut tail = open.tail[..at - usize::from(comma)].to_vec();
        tail.extend_from_slice(&open.tail[at + phrase.at..]);
        (tail, each)
    }

    fn whole_value(&mut self, phrase: &mut Phrase<'_>, spoilt: &mut bool) -> Value {
        let span = phrase.span();
        match phrase.value() {
            Ok(value) => {
                if !phrase.done() {
                    *spoilt = true;
                    if phrase.at_word("if") {
                        self.notes.push(
                            Note::new(phrase.span(), "A value asks with `when`, not with `if`.")
                                .hint("Write `1 in when train, else 0 in`."),
                        );
                    } else if let Err(stuck) = phrase.wanted::<()>("a sign, or the end of the line")
                    {
                        self.notes.push(stuck.note);
                    }
                }
                value
            }
            Err(stuck) => {
                *spoilt = true;
                self.notes.push(stuck.note);
                Value {
                    form: ValueForm::Cases(vec![(
                        Expr {
                            kind: ExprKind::Spoilt,
                            span,
                        },
                        None,
                    )]),
                    moves: None,
                    span,
                }
            }
        }
    }

    fn parts(
        &mut self,
        phrase: &mut Phrase<'_>,
        heading: Heading,
        spoilt: &mut bool,
    ) -> Vec<crate::tree::Part> {
        let (first, more) = places(heading);
        let mut parts: Vec<crate::tree::Part> = Vec::new();
        let mut places = first;
        if phrase.done() {
            *spoilt = true;
            self.notes.push(
                Note::new(phrase.span(), "Nothing stands after the colon.").hint("Say what it is."),
            );
        }
        while !phrase.done() {
            if parts.len() > 400 {
                *spoilt = true;
                self.notes
                    .push(Note::new(phrase.span(), "This entry is too long."));
                break;
            }
            match phrase.part(places, false) {
                Ok(part) => parts.push(part),
                Err(stuck) => {
                    *spoilt = true;
                    match bare_list(phrase, &mut parts, places) {
                        Some(note) => self.notes.push(note),
                        None => {
                            self.notes.push(stuck.note);
                            skip(phrase);
                        }
                    }
                    // Without its first part the others can't be judged.
                    if first != more && core::ptr::eq(places, first) {
                        phrase.at = phrase.len();
                    }
                }
            }
            places = more;
            if !phrase.take_sign(",") && !phrase.done() {
                *spoilt = true;
                if let Err(stuck) = phrase.wanted::<()>("a comma") {
                    self.notes.push(stuck.note);
                }
                skip(phrase);
                phrase.take_sign(",");
            }
        }
        parts
    }

    fn choice(&mut self, open: &Open) {
        let Some((head, bad_head)) = self.head(open) else {
            return;
        };
        self.declare(&head);
        if !open.broken
            && !Phrase::new(&open.tail, open.end).ask_to_stop()
            && let Some(meant) = self.meant(&open.tail, open)
        {
            self.read_as(meant, head.span);
            self.entry(&Open {
                heading: meant,
                guessed: true,
                ..open.clone()
            });
            return;
        }
        let Some(name) = head.names.into_iter().next() else {
            return;
        };
        let mut entry = ChoiceEntry {
            usual: Expr {
                kind: ExprKind::Spoilt,
                span: name.span,
            },
            name,
            between: None,
            one_of: Vec::new(),
            offered: None,
            label: None,
            help: None,
            why: open.reason(),
            spoilt: open.broken || bad_head,
        };
        let before = self.notes.len();
        let mut phrase = Phrase::new(&open.tail, open.end);
        match phrase.ask() {
            Ok(usual) => entry.usual = usual,
            Err(stuck) => {
                entry.spoilt = true;
                self.notes.push(stuck.note);
                skip(&mut phrase);
            }
        }
        let mut texts = Vec::new();
        while !phrase.done() {
            if !phrase.take_sign(",") {
                entry.spoilt = true;
                if let Err(stuck) = phrase.wanted::<()>("a comma") {
                    self.notes.push(stuck.note);
                }
                skip(&mut phrase);
                continue;
            }
            if let Err(note) = choice_part(&mut phrase, &mut entry, &mut texts) {
                entry.spoilt = true;
                self.notes.push(note);
                skip(&mut phrase);
            }
        }
        let mut texts = texts.into_iter();
        match (texts.next(), texts.next()) {
            (Some(label), Some(help)) => (entry.label, entry.help) = (Some(label), Some(help)),
            (help, None) => entry.help = help,
            (None, Some(_)) => {}
        }
        if open.broken {
            self.notes.truncate(before);
        }
        self.method.choices.push(entry);
    }

    fn setting(&mut self, open: &Open) {
        let Some((head, _bad_head)) = self.head(open) else {
            return;
        };
        if !open.broken
            && !Phrase::new(&open.tail, open.end).ask_to_stop()
            && let Some(meant) = self.meant(&open.tail, open)
        {
            self.read_as(meant, head.span);
            self.entry(&Open {
                heading: meant,
                guessed: true,
                ..open.clone()
            });
            return;
        }
        let mut phrase = Phrase::new(&open.tail, open.end);
        let set = match phrase.ask() {
            Ok(expr) => {
                if !phrase.done()
                    && let Err(stuck) = phrase.wanted::<()>("the end of the line")
                {
                    self.notes.push(stuck.note);
                }
                expr
            }
            Err(stuck) => {
                if !open.broken {
                    self.notes.push(stuck.note);
                }
                Expr {
                    kind: ExprKind::Spoilt,
                    span: head.span,
                }
            }
        };
        let Some(name) = head.names.into_iter().next() else {
            return;
        };
        let items = match self.frames.last_mut() {
            Some(Frame::Root(items)) => items,
            Some(Frame::Group(group)) => &mut group.body,
            Some(Frame::When {
                then, otherwise, ..
            }) => otherwise.as_mut().unwrap_or(then),
            None => return,
        };
        if let Some(Item::Use(used)) = items.last_mut() {
            used.sets.push((name, set));
        }
    }

    fn seam(&mut self, phrase: &mut Phrase<'_>, spoilt: &mut bool, open: &Open) -> Seam {
        let mut seam = Seam {
            sides: None,
            ease: None,
            truings: Vec::new(),
        };
        let mut first = true;
        while !phrase.done() {
            let start = phrase.at;
            if let Err(note) = seam_part(phrase, &mut seam, first) {
                *spoilt = true;
                self.notes.push(note);
                skip(phrase);
            }
            if let Some(truing) = seam.truings.last_mut() {
                let reason = open
                    .why
                    .iter()
                    .find(|(at, _)| *at >= phrase.at)
                    .map(|w| w.1.clone());
                let next = open.tail.len().min(phrase.at + 1);
                let here = open
                    .why
                    .iter()
                    .any(|(at, _)| (phrase.at..=next).contains(at));
                if let (true, Truing::Between { why, .. } | Truing::Make { why, .. }) =
                    (here, truing)
                {
                    *why = reason;
                }
            }
            first = false;
            if !phrase.take_sign(",") && !phrase.done() {
                *spoilt = true;
                if phrase.at == start {
                    phrase.at += 1;
                }
                if let Err(stuck) = phrase.wanted::<()>("a comma") {
                    self.notes.push(stuck.note);
                }
                skip(phrase);
                phrase.take_sign(",");
            }
        }
        if first {
            *spoilt = true;
            self.notes.push(
                Note::new(phrase.span(), "Nothing stands after the colon.")
                    .hint("Say what is sewn to what: `side of front with side of back`."),
            );
        }
        seam
    }

    fn check(&mut self, phrase: &mut Phrase<'_>, spoilt: &mut bool) -> Check {
        let span = phrase.span();
        let mut check = Check {
            weight: Weight::Note,
            when: Expr {
                kind: ExprKind::Spoilt,
                span,
            },
            at: None,
            says: Vec::new(),
            cure: Vec::new(),
        };
        let weights = [
            ("stop", Weight::Stop),
            ("ask", Weight::Ask),
            ("note", Weight::Note),
        ];
        match weights.into_iter().find(|(w, _)| phrase.at_word(w)) {
            Some((_, weight)) => {
                phrase.at += 1;
                check.weight = weight;
            }
            None => {
                *spoilt = true;
                if let Err(stuck) = phrase.wanted::<()>("`stop if`, `ask if` or `note if`") {
                    self.notes.push(stuck.note);
                }
                return check;
            }
        }
        if !phrase.take_word("if") {
            *spoilt = true;
            if let Err(stuck) = phrase.wanted::<()>("`if`") {
                self.notes.push(stuck.note);
            }
            return check;
        }
        match phrase.ask() {
            Ok(ask) => check.when = ask,
            Err(stuck) => {
                *spoilt = true;
                self.notes.push(stuck.note);
                skip(phrase);
            }
        }
        while !phrase.done() {
            if !phrase.take_sign(",") {
                *spoilt = true;
                if let Err(stuck) = phrase.wanted::<()>("a comma") {
                    self.notes.push(stuck.note);
                }
                skip(phrase);
                continue;
            }
            if phrase.take_word("at") {
                match phrase.reference() {
                    Ok(at) => check.at = Some(at),
                    Err(stuck) => {
                        *spoilt = true;
                        self.notes.push(stuck.note);
                        skip(phrase);
                    }
                }
            } else if phrase.take_word("cure") {
                match phrase.take_text() {
                    Some((text, span)) => check.cure = self.piecewise(&text, span, spoilt),
                    None => {
                        *spoilt = true;
                        if let Err(stuck) = phrase.wanted::<()>("the cure in quotation marks") {
                            self.notes.push(stuck.note);
                        }
                        skip(phrase);
                    }
                }
            } else if let Some((text, span)) = phrase.take_text() {
                check.says = self.piecewise(&text, span, spoilt);
            } else {
                *spoilt = true;
                if let Err(stuck) =
                    phrase.wanted::<()>("`at …`, what it says in quotation marks, or `cure`")
                {
                    self.notes.push(stuck.note);
                }
                skip(phrase);
            }
        }
        if check.says.is_empty() && !*spoilt {
            *spoilt = true;
            self.notes.push(
                Note::new(span, "This check says nothing.")
                    .hint("Add what it says in quotation marks."),
            );
        }
        check
    }

    /// A text with sums in square brackets.
    fn piecewise(&mut self, text: &str, span: Span, spoilt: &mut bool) -> Vec<Piecewise> {
        let mut out = Vec::new();
        let mut rest = text;
        let mut column = span.column + 1;
        while let Some(open) = rest.find('[') {
            if open > 0 {
                out.push(Piecewise::Words(rest[..open].to_owned()));
            }
            column += u32::try_from(rest[..open].chars().count() + 1).unwrap_or(0);
            let inside = &rest[open + 1..];
            let Some(close) = inside.find(']') else {
                *spoilt = true;
                self.notes.push(
                    Note::new(
                        Span {
                            column: column.saturating_sub(1),
                            width: 1,
                            ..span
                        },
                        "This bracket is not closed.",
                    )
                    .hint("Put `]` after the value."),
                );
                return out;
            };
            let mut notes = Vec::new();
            let mut tokens = words::lines(&inside[..close], &mut notes)
                .into_iter()
                .next()
                .unwrap_or_default()
                .tokens;
            for token in &mut tokens {
                token.span = Span {
                    line: span.line,
                    column: column + token.span.column - 1,
                    width: token.span.width,
                };
            }
            let end = Span {
                line: span.line,
                column,
                width: 1,
            };
            let mut phrase = Phrase::new(&tokens, end);
            match phrase.sum() {
                Ok(sum) if phrase.done() => out.push(Piecewise::Number(sum)),
                Ok(_) => {
                    *spoilt = true;
                    if let Err(stuck) = phrase.wanted::<()>("a sign, or `]`") {
                        self.notes.push(stuck.note);
                    }
                }
                Err(stuck) => {
                    *spoilt = true;
                    self.notes.push(stuck.note);
                }
            }
            column += u32::try_from(inside[..close].chars().count() + 1).unwrap_or(0);
            rest = &inside[close + 1..];
        }
        if !rest.is_empty() {
            out.push(Piecewise::Words(rest.to_owned()));
        }
        out
    }
}

fn choice_part(
    phrase: &mut Phrase<'_>,
    entry: &mut ChoiceEntry,
    texts: &mut Vec<String>,
) -> Result<(), Note> {
    let note = |s: Box<crate::phrase::Stuck>| s.note;
    if let Some((text, _)) = phrase.take_text() {
        texts.push(text);
        return Ok(());
    }
    if phrase.take_word("between") {
        let low = phrase.sum().map_err(note)?;
        if !phrase.take_word("and") {
            return phrase.wanted("`and` and the upper limit").map_err(note);
        }
        entry.between = Some((low, phrase.sum().map_err(note)?));
        return Ok(());
    }
    if phrase.take_words(&["one", "of"]) {
        loop {
            entry.one_of.push(phrase.name().map_err(note)?);
            if !phrase.take_word("or") {
                return Ok(());
            }
        }
    }
    if phrase.take_word("if") {
        entry.offered = Some(phrase.ask().map_err(note)?);
        return Ok(());
    }
    phrase
        .wanted("`between … and …`, `one of … or …`, `if …`, or what it does in quotation marks")
        .map_err(note)
}

fn seam_part(phrase: &mut Phrase<'_>, seam: &mut Seam, first: bool) -> Result<(), Note> {
    let note = |s: Box<crate::phrase::Stuck>| s.note;
    let start = phrase.span();
    if phrase.take_word("make") {
        let left = phrase.sum().map_err(note)?;
        if !phrase.take_sign("=") {
            return phrase.wanted("`=`").map_err(note);
        }
        let right = phrase.sum().map_err(note)?;
        let moving = moving(phrase)?;
        seam.truings.push(Truing::Make {
            left,
            right,
            moving,
            span: start,
            why: None,
        });
        return Ok(());
    }
    if !first && phrase.take_word("ease") {
        seam.ease = Some(phrase.sum().map_err(note)?);
        return Ok(());
    }
    if !first && phrase.take_words(&["true", "between"]) {
        let from = phrase.drawn(vocabulary::Slot::Point).map_err(note)?;
        if !phrase.take_word("and") {
            return phrase.wanted("`and` and a second point").map_err(note);
        }
        let to = phrase.drawn(vocabulary::Slot::Point).map_err(note)?;
        let moving = moving(phrase)?;
        seam.truings.push(Truing::Between {
            from,
            to,
            moving,
            span: start,
            why: None,
        });
        return Ok(());
    }
    if first {
        let one = phrase.edges().map_err(note)?;
        if !phrase.take_word("with") {
            return phrase.wanted("`with` and what it is sewn to").map_err(note);
        }
        if phrase.take_words(&["its", "twin"]) {
            seam.sides = Some((one, None));
        } else {
            seam.sides = Some((one, Some(phrase.edges().map_err(note)?)));
        }
        return Ok(());
    }
    phrase
        .wanted("`ease …`, `true between … and … by moving …` or `make … = … by moving …`")
        .map_err(note)
}

fn moving(phrase: &mut Phrase<'_>) -> Result<Ref, Note> {
    if !phrase.take_words(&["by", "moving"]) {
        return phrase
            .wanted("`by moving` and a value that may move")
            .map_err(|s| s.note);
    }
    phrase.reference().map_err(|s| s.note)
}

/// Names behind commas where a list with `then` was meant: `outline waist, side, hem`. They are put
/// on the list before them, and noted once.
fn bare_list(
    phrase: &mut Phrase<'_>,
    parts: &mut [crate::tree::Part],
    places: &[Where],
) -> Option<Note> {
    let last = parts.last_mut()?;
    let span = phrase.span();
    let start = phrase.at;
    let mut end = start;
    loop {
        if begins(phrase.peek(), places) {
            break;
        }
        let Ok(edge) = phrase.edge() else { break };
        if !matches!(edge.line, Drawn::Named(_)) || !phrase.at_stop() {
            break;
        }
        match last.args.last_mut() {
            Some(Arg::Edges(all)) => all.push(edge),
            Some(Arg::Several(all)) => all.push(edge.line),
            _ => break,
        }
        end = phrase.at;
        if !phrase.take_sign(",") {
            break;
        }
    }
    // The comma behind the list is left for what follows.
    phrase.at = end;
    if end == start {
        return None;
    }
    Some(
        Note::new(span, "A comma stands here where the list goes on.")
            .hint("Write `then` between its names: `waist then side then hem`."),
    )
}

/// Whether going on under a heading means leaving the sheet.
fn heading_leaves_now(heading: Heading, in_sheet: bool) -> bool {
    in_sheet && heading.leaves()
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

/// Whether tokens are names with commas between.
fn are_names(tokens: &[Token]) -> bool {
    tokens
        .iter()
        .all(|t| t.is_sign(",") || matches!(t.kind, Kind::Word(_)))
}

/// Whether tokens are words and nothing else.
fn is_words(tokens: &[Token]) -> bool {
    tokens.iter().all(|t| matches!(t.kind, Kind::Word(_)))
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

/// Words as one name.
fn said(tokens: &[Token]) -> String {
    let words: Vec<&str> = tokens
        .iter()
        .filter_map(|t| match &t.kind {
            Kind::Word(word) => Some(word.as_str()),
            _ => None,
        })
        .collect();
    words.join(" ")
}

fn shorten(said: &str) -> String {
    said.chars().take(40).collect()
}
