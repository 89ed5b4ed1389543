//! Reads a method: text in, tree and notes out. It cannot fail.
//!
//! Lines are sorted into headings, blocks, rows, entries and lines that go on; each entry's words are
//! read by `phrase`. A fault spoils its entry only.

use std::sync::Arc;

use measure::words::nearest;

use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::tree::{
    Check, ChoiceEntry, Each, Entry, Expr, ExprKind, Group, Head, Heading, Item, MeasureEntry,
    Method, Piecewise, Ref, RefName, Says, Seam, TableRow, Truing, Use, Value, ValueForm, Weight,
    When,
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
        last_line: 1,
    };
    for line in lines {
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
struct Open {
    heading: Heading,
    head: Vec<Token>,
    tail: Vec<Token>,
    why: Vec<(usize, String)>,
    broken: bool,
    end: Span,
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
    last_line: u32,
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

    fn line(&mut self, line: Line) {
        self.last_line = line.number;
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
        // A single word of many kinds of slip: headings and blocks stand alone, without a colon.
        if let Kind::Text(text) = &first.kind
            && line.tokens.len() == 1
            && self.heading == Some(Heading::Method)
        {
            self.method.about.push(text.clone());
            self.info(&line, Role::About);
            return;
        }
        let colon = colon_at(&line.tokens);
        if colon.is_none() && self.block(&line, &first) {
            return;
        }
        if colon.is_none() && self.heading_line(&line, &first) {
            return;
        }
        let (mut tokens, broken) = self.closed_brackets(line.tokens.clone());
        let colon = colon_at(&tokens);
        let end = tokens.last().map_or(first.span, |t| Span {
            column: t.span.column + t.span.width,
            width: 1,
            ..t.span
        });
        if self.heading == Some(Heading::Sheets) && tokens.iter().any(|t| t.is_sign("|")) {
            self.close();
            self.info(&line, Role::Row);
            self.row(&tokens, end);
            return;
        }
        if self.heading == Some(Heading::Card) {
            self.close();
            self.info(&line, Role::Entry);
            self.measure(&tokens, colon, end, broken);
            return;
        }
        match (colon, self.heading) {
            (Some(at), Some(heading)) => {
                self.close();
                self.info(&line, Role::Entry);
                let tail = tokens.split_off(at + 1);
                tokens.pop();
                self.open = Some(Open {
                    heading,
                    head: tokens,
                    tail,
                    why: Vec::new(),
                    broken,
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
                self.notes.push(
                    Note::new(first.span, "This line stands under no heading.")
                        .hint("A method begins with `method \"its name\"`, then `card`."),
                );
            }
            (None, Some(_)) => {
                self.info(&line, Role::More);
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
            let end = line.tokens.last().map_or(first.span, |t| t.span);
            let (tokens, broken) = self.closed_brackets(line.tokens[1..].to_vec());
            let mut phrase = Phrase::new(&tokens, end);
            let ask = match phrase.ask() {
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
        if alone && first.is_word("otherwise") {
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
                _ => self.notes.push(
                    Note::new(first.span, "This `otherwise` belongs to no `when`.")
                        .hint("Write `when …` above it."),
                ),
            }
            self.infos_outer(line, Role::Otherwise);
            return true;
        }
        if alone && first.is_word("end") {
            self.close();
            self.close_group_over_when();
            self.infos_outer(line, Role::End);
            if matches!(self.frames.last(), Some(Frame::When { .. })) {
                self.pop();
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
        if matches!(heading, Heading::Card | Heading::Choices | Heading::Method)
            && let Some(Frame::When { span, .. }) = self.frames.last()
        {
            let span = *span;
            self.unclosed(span, Some(line.number));
            self.pop();
        }
        self.info(line, Role::Heading);
        self.heading = Some(heading);
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
                _ => self.notes.push(
                    Note::new(first.span, "A method wants its name in quotation marks.")
                        .hint("Write `method \"Plain skirt\"`."),
                ),
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
        let vocabulary = vocabulary::table()
            .iter()
            .any(|r| matches!(r.bits.first(), Some(vocabulary::Bit::Word(w)) if *w == word));
        vocabulary
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
        if !phrase.done() {
            self.notes.push(
                Note::new(phrase.span(), "I can't read the rest of this line.")
                    .hint("Write `sheets front, back`."),
            );
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
            for cell in named {
                let mut phrase = Phrase::new(cell, end);
                match phrase.name() {
                    Ok(name) => match names.iter().position(|n| n.name == name.name) {
                        Some(i) => columns.push(i),
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
                    Err(stuck) => self.notes.push(
                        stuck
                            .note
                            .hint("The first row of the table names the sheets."),
                    ),
                }
            }
            self.columns = Some(columns);
            return;
        };
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
        if cells.len() - 1 != columns.len() {
            self.notes.push(
                Note::new(
                    name.span,
                    format!(
                        "This row has {} cells, the table has {} columns.",
                        cells.len() - 1,
                        columns.len()
                    ),
                )
                .hint("Put a `|` between the cells."),
            );
        }
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
        let cells = values
            .into_iter()
            .map(|v| v.unwrap_or_else(|| spoilt.clone()))
            .collect();
        if let Some(Frame::Group(group)) = self.frames.last_mut() {
            group.rows.push(TableRow {
                name,
                cells,
                why: None,
            });
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
                .hint("Names are made of words."),
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
            Heading::Method | Heading::Sheets | Heading::Card => {
                let span = open.head.first().map_or(open.end, |t| t.span);
                self.notes.push(
                    Note::new(span, "This line stands under the wrong heading.")
                        .hint("Put a heading such as `values` or `points` above it."),
                );
            }
            _ => self.entry(&open),
        }
    }

    fn head(&mut self, open: &Open) -> Option<Head> {
        let start = open.head.first().map_or(open.end, |t| t.span);
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
            return Some(Head {
                names,
                of,
                span: Span { width: 0, ..span },
            });
        }
        Some(Head { names, of, span })
    }

    fn entry(&mut self, open: &Open) {
        let Some(head) = self.head(open) else { return };
        let mut spoilt = open.broken || head.span.width == 0;
        let (tail, each) = self.tail_each(open);
        let quiet = open.broken;
        let before = self.notes.len();
        let mut phrase = Phrase::new(&tail, open.end);
        let says = match open.heading {
            Heading::Values | Heading::Results => {
                Says::Value(self.whole_value(&mut phrase, &mut spoilt))
            }
            Heading::Seams => Says::Seam(self.seam(&mut phrase, &mut spoilt, open)),
            Heading::Checks => Says::Check(self.check(&mut phrase, &mut spoilt)),
            _ => Says::Parts(self.parts(&mut phrase, open.heading, &mut spoilt)),
        };
        if quiet {
            // The bracket was noted; what follows from it is not noted too.
            self.notes.truncate(before);
        }
        let why = open.why.last().map(|w| w.1.clone());
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
            heading: open.heading,
        }));
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
                && (i == 0 || open.tail[i - 1].is_sign(","))
            {
                place = Some(i);
                break;
            }
        }
        let Some(at) = place else {
            return (open.tail.clone(), None);
        };
        let mut phrase = Phrase::new(&open.tail[at..], open.end);
        let each = self.each(&mut phrase);
        if !phrase.at_stop()
            && let Err(stuck) = phrase.wanted::<()>("a comma, or the end of the line")
        {
            self.notes.push(stuck.note);
        }
        skip(&mut phrase);
        let mut tail = open.tail[..at.saturating_sub(1)].to_vec();
        tail.extend_from_slice(&open.tail[at + phrase.at..]);
        (tail, each)
    }

    fn whole_value(&mut self, phrase: &mut Phrase<'_>, spoilt: &mut bool) -> Value {
        let span = phrase.span();
        match phrase.value() {
            Ok(value) => {
                if !phrase.done() {
                    *spoilt = true;
                    if let Err(stuck) = phrase.wanted::<()>("a sign, or the end of the line") {
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
        let (first, more): (&[Where], &[Where]) = match heading {
            Heading::Levels => (&[Where::Level], &[Where::LevelMore]),
            Heading::Uprights => (&[Where::Upright], &[]),
            Heading::Points => (&[Where::Place], &[Where::PlaceMore]),
            Heading::Lines | Heading::Edges => (&[Where::Line], &[Where::Leg, Where::LegMore]),
            Heading::Darts => (&[Where::Dart], &[Where::Dart]),
            Heading::Finish => (&[Where::Finish], &[Where::Finish]),
            _ => (&[Where::Piece], &[Where::Piece]),
        };
        let mut parts = Vec::new();
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
                    self.notes.push(stuck.note);
                    skip(phrase);
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
        let Some(head) = self.head(open) else { return };
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
            why: open.why.last().map(|w| w.1.clone()),
            spoilt: open.broken || head.span.width == 0,
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
        let Some(head) = self.head(open) else { return };
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
