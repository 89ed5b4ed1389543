//! What was forgotten: a heading above a line, or the colon in it.

use super::{Frame, Open, Reader, begins, is_words, places, shorten};
use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::tree::Heading;
use crate::vocabulary;
use crate::words::{self, Kind, Token};
use measure::words::nearest;

impl Reader {
    // Forgotten headings and colons.

    /// The heading under which an entry would read without a fault, if it has one here.
    pub(super) fn meant(&mut self, tail: &[Token], open: &Open) -> Option<Heading> {
        // `at the lfet` is a slip in the first ruling, not a point, and so is `at the top` of an upright.
        let first_ruling = matches!(open.heading, Heading::Levels | Heading::Uprights)
            && tail.first().is_some_and(|t| t.is_word("at"))
            && tail.get(1).is_some_and(|t| match &t.kind {
                Kind::Word(word) => {
                    word == "top" && open.heading == Heading::Uprights
                        || !["left", "top"].contains(&word.as_str())
                            && nearest(word, ["left", "top"]).is_some()
                }
                _ => false,
            });
        if open.guessed || first_ruling {
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
        // A part of a dart or of a piece is no sign that one was meant: only its beginning is.
        let begun = |heading: Heading| {
            let first = |words: &[&str]| {
                tail.first()
                    .is_some_and(|t| words.iter().any(|w| t.is_word(w)))
            };
            match heading {
                Heading::Darts => first(&["into"]),
                Heading::Pieces => first(&["on", "copy", "rectangle"]),
                Heading::Points => !tail.last().is_some_and(|t| t.is_word("level")),
                _ => true,
            }
        };
        let in_block = matches!(self.frames.last(), Some(Frame::When { .. }));
        self.guessed_from
            .into_iter()
            .chain(others)
            .chain(reckons.then_some(number))
            .filter(|heading| {
                begun(*heading) && *heading != open.heading && !(in_block && heading.leaves())
            })
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
    pub(super) fn read_as(&mut self, meant: Heading, span: Span) {
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
    pub(super) fn is_choice(&mut self, tokens: &[Token], colon: Option<usize>) -> bool {
        let Some(at) = colon else { return false };
        let Some(first) = tokens.get(at + 1) else {
            return false;
        };
        let slip = matches!(&first.kind, Kind::Word(word) if nearest(word, ["else"]).is_some());
        if slip || first.is_sign(",") || matches!(first.kind, Kind::Text(_)) {
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
    pub(super) fn forgotten_colon(&mut self, tokens: &mut Vec<Token>, end: Span) -> Option<usize> {
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
        let body = heading == Heading::Levels
            && tokens.last()?.is_word("level")
            && is_words(tokens)
            && !tokens
                .iter()
                .any(|t| ["above", "below", "at"].iter().any(|w| t.is_word(w)));
        if goes_on(tokens.first()?) || body {
            return None;
        }
        let words = 1 + tokens
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
        let at = (1..=words.min(12).min(tokens.len() - 1)).find(|&at| {
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
                Heading::Levels | Heading::Uprights if token.is_word("at") => true,
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
    pub(super) fn begins_with_known(&self, tokens: &[Token]) -> bool {
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
}

/// Whether going on under a heading means leaving the sheet.
pub(super) fn heading_leaves_now(heading: Heading, in_sheet: bool) -> bool {
    in_sheet && heading.leaves()
}
