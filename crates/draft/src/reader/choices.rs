//! Measures of the card, choices, and the choices set of a used method.

use super::{Frame, Open, Reader, skip};
use crate::note::{Note, Span};
use crate::phrase::{Phrase, Stuck};
use crate::tree::{ChoiceEntry, Expr, ExprKind, Item, MeasureEntry};
use crate::words::{Kind, Token};
use measure::words::nearest;

impl Reader {
    pub(super) fn measure(
        &mut self,
        tokens: &[Token],
        colon: Option<usize>,
        end: Span,
        broken: bool,
    ) {
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
        let slip = phrase.peek().filter(|t| {
            matches!(&t.kind, Kind::Word(word) if word != "else" && nearest(word, ["else"]).is_some())
        });
        if let Some(slip) = slip {
            self.notes.push(
                Note::new(
                    slip.span,
                    format!("I don't know the word `{}` here.", slip.raw),
                )
                .hint("Did you mean `else`?"),
            );
            phrase.at += 1;
        }
        if slip.is_some() || phrase.take_word("else") {
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
        if !phrase.done()
            && !broken
            && let Err(stuck) =
                phrase.wanted::<()>("`else` and a length, or how it is taken in quotation marks")
        {
            self.notes.push(stuck.note);
        }
        self.method.card.push(entry);
    }

    pub(super) fn choice(&mut self, open: &Open) {
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

    pub(super) fn setting(&mut self, open: &Open) {
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
}

fn choice_part(
    phrase: &mut Phrase<'_>,
    entry: &mut ChoiceEntry,
    texts: &mut Vec<String>,
) -> Result<(), Note> {
    let note = |s: Box<Stuck>| s.note;
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
