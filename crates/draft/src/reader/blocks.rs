//! Blocks: `when`, `otherwise`, `end`, and what stands in them.

use super::{Frame, HEADINGS, Reader, Role, colon_at, shorten};
use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::tree::{Expr, ExprKind, Heading, Item, When};
use crate::words::{Kind, Line, Token};
use measure::words::nearest;

impl Reader {
    // Headings and blocks.

    pub(super) fn block(&mut self, line: &Line, first: &Token) -> bool {
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

    /// The first word of a line, or the `when`, `otherwise` or `end` that was meant by it.
    pub(super) fn block_word(&mut self, line: &Line, first: Token) -> Token {
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

    /// `otherwise` and `end` stand as far out as their `when`.
    pub(super) fn infos_outer(&mut self, line: &Line, role: Role) {
        self.info(line, role);
        if let Some(info) = self.infos.last_mut() {
            info.depth = info.depth.saturating_sub(1);
            info.under.pop();
        }
    }

    pub(super) fn in_sheet(&self) -> bool {
        self.frames.iter().any(|f| matches!(f, Frame::Group(_)))
    }

    /// A group that was begun inside a block ends with it.
    pub(super) fn close_group_over_when(&mut self) {
        if matches!(self.frames.last(), Some(Frame::Group(_)))
            && self.frames.iter().any(|f| matches!(f, Frame::When { .. }))
        {
            self.pop();
        }
    }

    /// Ends the innermost block or group.
    pub(super) fn pop(&mut self) {
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

    pub(super) fn push(&mut self, item: Item) {
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
    pub(super) fn leave_sheet(&mut self, line: Option<u32>) {
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

    pub(super) fn unclosed(&mut self, span: Span, line: Option<u32>) {
        let place = match line {
            Some(line) => format!("I closed it before line {line}."),
            None => "I closed it at the end.".to_owned(),
        };
        self.notes.push(
            Note::new(span, format!("This `when` is never closed. {place}"))
                .hint("Write `end` where it stops."),
        );
    }
}
