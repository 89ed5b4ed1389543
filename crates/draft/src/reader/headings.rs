//! Headings: known, misspelt, unknown, and those that take words of their own.

use super::{Frame, HEADINGS, Reader, Role, colon_at, is_words, places, shorten};
use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::tree::{Each, Group, Heading, Item, Number, Use};
use crate::vocabulary::{self, Where};
use crate::words::{self, Kind, Line, Token};
use measure::words::nearest;
use std::sync::Arc;

impl Reader {
    pub(super) fn heading_line(&mut self, line: &Line, first: &Token) -> bool {
        let Kind::Word(word) = &first.kind else {
            return false;
        };
        let tokens = &line.tokens;
        let alone = tokens.len() == 1;
        let takes_more = matches!(word.as_str(), "method" | "use" | "sheets");
        let known = HEADINGS.iter().find(|(w, _)| w == word).map(|x| x.1);
        let heading = match known {
            Some(h) if alone || (takes_more && Self::takes(word, tokens)) => h,
            // The name of the method without its quotation marks.
            Some(Heading::Method) if self.heading.is_none() && (line.torn || is_words(tokens)) => {
                Heading::Method
            }
            None if nearest(word, ["sheets"]).is_some()
                && tokens.len() > 1
                && (self.before_row || self.before_heading)
                && (are_names(&tokens[1..]) || tokens.iter().any(|t| t.is_word("each"))) =>
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
                        title.trim().clone_into(&mut self.method.title);
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

    pub(super) fn takes(word: &str, tokens: &[Token]) -> bool {
        match word {
            "method" | "use" => tokens
                .get(1)
                .is_some_and(|t| matches!(t.kind, Kind::Text(_))),
            _ => !tokens.iter().any(|t| t.is_sign("|")),
        }
    }

    /// Whether a word alone on a line may be meant as itself and not as a heading.
    pub(super) fn is_own_word(&self, word: &str) -> bool {
        let places: &[Where] = self.heading.map_or(&[], |h| places(h).1);
        let first = |p: &Where| {
            vocabulary::rows(*p)
                .any(|r| matches!(r.bits.first(), Some(vocabulary::Bit::Word(w)) if *w == word))
        };
        places.iter().any(first)
            || (self.heading == Some(Heading::Card)
                && nearest(word, ["waist", "wrist", "height", "heel", "shoulder"]) == Some(word))
    }

    pub(super) fn used(&mut self, phrase: &mut Phrase<'_>, span: Span) {
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

    pub(super) fn sheets(&mut self, phrase: &mut Phrase<'_>, span: Span) {
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
        if each.is_none() {
            for name in &names {
                if let (true, Some(Number::Word(counter))) = (self.sheets_bad, &name.number) {
                    self.missed.push(counter.clone());
                    self.missed.push(name.name.clone());
                }
            }
        }
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

    pub(super) fn each(&mut self, phrase: &mut Phrase<'_>) -> Option<Each> {
        let span = phrase.span();
        let each = phrase.peek().filter(|t| !t.is_word("each"));
        if let Some(slip) = each {
            self.notes.push(
                Note::new(
                    slip.span,
                    format!("I don't know the word `{}` here.", slip.raw),
                )
                .hint("Did you mean `each`?"),
            );
        }
        phrase.at += 1;
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
            self.missed.push(counter.clone());
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

    /// `points:`, `when train:`, `end:` are headings and blocks with a colon too many.
    pub(super) fn without_colon(&mut self, line: &mut Line, first: &Token) {
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
    pub(super) fn unknown_heading(
        &mut self,
        line: &Line,
        first: &Token,
        colon: Option<usize>,
    ) -> bool {
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
    pub(super) fn headless_sheets(&mut self, line: &Line, first: &Token) -> bool {
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
    pub(super) fn meant_word(&self, word: &str) -> bool {
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
}

/// Whether tokens are names with commas between.
pub(super) fn are_names(tokens: &[Token]) -> bool {
    tokens
        .iter()
        .all(|t| t.is_sign(",") || matches!(t.kind, Kind::Word(_)))
}
