//! Entries: a name, a colon, and what it is.

use super::{Frame, NAMELESS, Open, Reader, begins, places, shorten, skip};
use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::tree::{
    Arg, Drawn, Each, Entry, Expr, ExprKind, Head, Heading, Item, Part, RefName, Says, Value,
    ValueForm,
};
use crate::vocabulary::Where;
use crate::words::{self, Kind, Token};
use measure::words::nearest;

impl Reader {
    /// What stands before the colon is no name.
    pub(super) fn bad_head(&mut self, head: &[Token], at: usize) {
        let Some(token) = head.get(at) else { return };
        match &token.kind {
            Kind::Word(word) if words::joins(word) => {
                let name: Vec<String> = head
                    .iter()
                    .map_while(|t| match &t.kind {
                        Kind::Word(word) => Some(word.clone()),
                        _ => None,
                    })
                    .collect();
                if name.len() > 1 {
                    self.bad_names.push((token.span.line, name));
                }
                let try_this = if plain_words(head).len() > 1 {
                    format!("Try `{}`, or another word.", turned(head).join(" "))
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

    pub(super) fn why(&mut self, why: String, span: Span) {
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

    /// Ends the entry whose lines were coming, and reads it.
    pub(super) fn close(&mut self) {
        let Some(open) = self.open.take() else { return };
        match open.heading {
            Heading::Choices => self.choice(&open),
            Heading::Use => self.setting(&open),
            _ => self.entry(&open),
        }
    }

    pub(super) fn head(&mut self, open: &Open) -> Option<(Head, bool)> {
        let start = open
            .head
            .first()
            .or(open.tail.first())
            .map_or(open.end, |t| t.span);
        if open.head.is_empty() {
            self.missed.push(NAMELESS.into());
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
                    Err(_) if names.is_empty() && phrase.at == 0 && !open.head.is_empty() => {
                        reader.bad_head(&open.head, 0);
                        return None;
                    }
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
            names.clear();
            // Declare what it was probably meant to be called, so that its uses are not noted too.
            for guess in [plain_words(&open.head), turned(&open.head)].map(|words| words.join(" "))
            {
                if !guess.is_empty() && !names.iter().any(|n| *n.name == *guess) {
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

    pub(super) fn declare(&mut self, head: &Head) {
        for name in &head.names {
            self.known.insert(name.name.clone());
        }
    }

    pub(super) fn entry(&mut self, open: &Open) {
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

    /// What an entry under this heading says.
    pub(super) fn says(
        &mut self,
        heading: Heading,
        tail: &[Token],
        open: &Open,
        spoilt: &mut bool,
    ) -> Says {
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

    /// Whether `each k up to`, or what was meant so, stands here.
    fn counts(tail: &[Token], i: usize) -> bool {
        let is = |ahead: usize, word: &str| tail.get(i + ahead).is_some_and(|t| t.is_word(word));
        let Kind::Word(word) = &tail[i].kind else {
            return false;
        };
        let after_comma = i == 0 || tail[i - 1].is_sign(",");
        let up_to = is(2, "up") || is(2, "to") || is(1, "up");
        word == "each" && (is(2, "up") || after_comma && up_to)
            || after_comma && is(2, "up") && nearest(word, ["each"]).is_some()
    }

    /// Takes the part `each k up to N` out of an entry, wherever it stands.
    pub(super) fn tail_each(&mut self, open: &Open) -> (Vec<Token>, Option<Each>) {
        let mut depth = 0usize;
        let mut place = None;
        for (i, token) in open.tail.iter().enumerate() {
            if token.is_sign("(") && !open.broken {
                depth += 1;
            } else if token.is_sign(")") {
                depth = depth.saturating_sub(1);
            } else if depth == 0 && Self::counts(&open.tail, i) {
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

    pub(super) fn whole_value(&mut self, phrase: &mut Phrase<'_>, spoilt: &mut bool) -> Value {
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

    pub(super) fn parts(
        &mut self,
        phrase: &mut Phrase<'_>,
        heading: Heading,
        spoilt: &mut bool,
    ) -> Vec<Part> {
        let (first, more) = places(heading);
        let mut parts: Vec<Part> = Vec::new();
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
}

/// Names behind commas where a list with `then` was meant: `outline waist, side, hem`. They are put
/// on the list before them, and noted once.
pub(super) fn bare_list(
    phrase: &mut Phrase<'_>,
    parts: &mut [Part],
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

/// The words of a head that may stand in a name.
fn plain_words(head: &[Token]) -> Vec<&str> {
    head.iter()
        .filter_map(|t| match &t.kind {
            Kind::Word(w) if !words::joins(w) => Some(w.as_str()),
            _ => None,
        })
        .collect()
}

/// The same without its joining word, as one would say it: `height by flare` is a flare height.
fn turned(head: &[Token]) -> Vec<&str> {
    let joins = |t: &Token| matches!(&t.kind, Kind::Word(w) if words::joins(w));
    let at = head.iter().position(joins).unwrap_or(0);
    let (before, after) = head.split_at(at);
    let mut said = plain_words(after);
    said.extend(plain_words(before));
    said
}
