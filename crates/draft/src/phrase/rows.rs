//! Parts: the row of the vocabulary that fits, with its places filled.

use super::{Phrase, Read, Stuck, plainly};
use crate::note::Note;
use crate::tree::{Arg, Part};
use crate::vocabulary::{self, BODY_LEVELS, Bit, Row, Slot, Where};
use crate::words::{Kind, Token};
use measure::words::nearest;

impl Phrase<'_> {
    /// One part: the row that fits. In brackets a place may leave out its `at`.
    pub(crate) fn part(&mut self, places: &[Where], bracket: bool) -> Read<Part> {
        let start = self.at;
        let mut worst: Option<Box<Stuck>> = None;
        let mut tied = 0usize;
        let mut forms: Vec<String> = Vec::new();
        for &place in places {
            for row in vocabulary::rows(place) {
                if let Some(Bit::Word(first)) = row.bits.first() {
                    if !self.at_word(first) {
                        continue;
                    }
                    forms.push(format!("`{}`", plainly(row.pattern)));
                }
                let stuck = match self.row(row) {
                    Ok(part) => return Ok(part),
                    Err(stuck) => stuck,
                };
                self.at = start;
                match &mut worst {
                    Some(w) if stuck.at == w.at => {
                        tied += 1;
                        // What the form wants next says less than what is wrong in it.
                        let nearer = w.note.hint.is_none() && stuck.note.hint.is_some();
                        if w.form && (!stuck.form || nearer) {
                            *w = stuck;
                        }
                    }
                    Some(w) if stuck.at < w.at => {}
                    _ => {
                        tied = 1;
                        worst = Some(stuck);
                    }
                }
            }
        }
        let known = !forms.is_empty();
        if bracket && !known && places.contains(&Where::Place) {
            return self.bare_place();
        }
        match worst {
            Some(stuck) if known || stuck.at > start => {
                if stuck.form && tied > 1 && stuck.note.hint.is_none() {
                    return self.one_of(stuck.at, &mut forms);
                }
                Err(stuck)
            }
            _ => self.unknown(places),
        }
    }

    /// Says which forms begin as this part does.
    pub(super) fn one_of<T>(&mut self, at: usize, forms: &mut Vec<String>) -> Read<T> {
        let start = core::mem::replace(&mut self.at, at);
        let message = match self.peek() {
            Some(t) if !t.is_sign(",") && !t.is_sign(")") => {
                format!("I can't read `{}` here.", t.raw)
            }
            _ => "Something is missing here.".to_owned(),
        };
        forms.dedup();
        let note = Note::new(self.span(), message).hint(format!("I know {}.", forms.join(", ")));
        let stuck = self.stuck(note);
        self.at = start;
        stuck
    }

    /// A place in brackets without `at`.
    pub(super) fn bare_place(&mut self) -> Read<Part> {
        let start = self.at;
        let a = Arg::Drawn(self.drawn(Slot::Spot)?);
        let mut args = vec![a];
        let mut id = vocabulary::Id::At;
        if self.take_word("and") {
            args.push(Arg::Drawn(self.drawn(Slot::Spot)?));
            id = vocabulary::Id::AtCrossing;
        }
        if !self.at_stop() {
            return self.wanted("a comma or `)`");
        }
        let span = self.span_from(start);
        match vocabulary::rows(Where::Place).find(|r| r.id == id) {
            Some(row) => Ok(Part { row, args, span }),
            None => self.wanted("a point"),
        }
    }

    pub(super) fn unknown<T>(&self, places: &[Where]) -> Read<T> {
        let what = match places.first() {
            Some(Where::Level) => "a level such as `2 in below hip line`",
            Some(Where::Upright) => "an upright such as `3 in from centre line`",
            Some(Where::Place) => "a point such as `at hip line and side line`",
            Some(Where::PlaceMore) => "a move such as `up 1 in`",
            Some(Where::Line) => "a line such as `from hip side, straight to hem side`",
            Some(Where::Leg | Where::LegMore) => "a leg such as `straight to hem side`",
            Some(Where::Dart) => "a dart's `into`, `place`, `intake`, `length` or `pressed toward`",
            Some(Where::Piece) => "a piece's `on`, `outline`, `copy from`, a work on it, or `cut`",
            Some(Where::Finish) => {
                "a finish such as `seam`, `allowance 1/2 in` or `notch at hip line`"
            }
            Some(Where::LevelMore) => "what the level is on the body, such as `the hip level`",
            _ => "the end of the line",
        };
        let Some(Token {
            kind: Kind::Word(said),
            span,
            ..
        }) = self.peek()
        else {
            return self.wanted(what);
        };
        let firsts: Vec<&str> = places
            .iter()
            .flat_map(|p| vocabulary::rows(*p))
            .filter_map(|r| match r.bits.first() {
                Some(Bit::Word(w)) => Some(*w),
                _ => None,
            })
            .collect();
        if let Some(meant) = nearest(said, firsts.iter().copied()) {
            let kind = match places.first() {
                Some(Where::PlaceMore) => "move",
                _ => "word",
            };
            return self.stuck(
                Note::new(*span, format!("I don't know the {kind} `{said}`."))
                    .hint(format!("Did you mean `{meant}`?")),
            );
        }
        self.wanted(what)
    }

    pub(super) fn row(&mut self, row: &'static Row) -> Read<Part> {
        let start = self.at;
        let mut args = Vec::new();
        for bit in &row.bits {
            match *bit {
                Bit::Word(word) => {
                    if !self.take_word(word) {
                        return self.missing_word(row, word);
                    }
                }
                Bit::Slot(_, slot) => args.push(self.slot(slot)?),
            }
        }
        if !self.at_stop() {
            return self.wanted("a comma, or the end of the line");
        }
        Ok(Part {
            row,
            args,
            span: self.span_from(start),
        })
    }

    pub(super) fn missing_word<T>(&self, row: &Row, word: &str) -> Read<T> {
        let form = format!("`{word}`, as in `{}`", plainly(row.pattern));
        self.missing_or_near(word, &form).map_err(|mut stuck| {
            stuck.form = true;
            stuck
        })
    }

    /// A fixed word is not here; perhaps it is misspelt.
    pub(super) fn missing_or_near<T>(&self, word: &str, form: &str) -> Read<T> {
        if let Some(Token {
            kind: Kind::Word(said),
            span,
            ..
        }) = self.peek()
            && nearest(said, [word]).is_some()
        {
            return self.stuck(
                Note::new(*span, format!("I don't know the word `{said}` here."))
                    .hint(format!("Did you mean `{word}`?")),
            );
        }
        self.wanted(form)
    }

    pub(super) fn slot(&mut self, slot: Slot) -> Read<Arg> {
        Ok(match slot {
            Slot::Length | Slot::Number | Slot::Angle => {
                let start = self.at;
                match self.sum() {
                    Ok(sum) => Arg::Number(sum),
                    // Nothing that is a number began here, so say which kind of number it wants.
                    Err(stuck) if stuck.at == start => return self.wanted(slot.wants()),
                    Err(stuck) => return Err(stuck),
                }
            }
            Slot::Ask => Arg::Number(self.ask()?),
            Slot::Point
            | Slot::Straight
            | Slot::Ruling
            | Slot::Spot
            | Slot::PointOrOwn
            | Slot::Dart
            | Slot::Sheet
            | Slot::Own => Arg::Drawn(self.drawn(slot)?),
            Slot::Points => {
                let mut all = vec![self.drawn(Slot::Point)?];
                while self.take_word("then") {
                    all.push(self.drawn(Slot::Point)?);
                }
                Arg::Several(all)
            }
            Slot::Edge => Arg::Edge(self.edge()?),
            Slot::Edges => Arg::Edges(self.edges()?),
            Slot::Way => Arg::Way(self.way()?),
            Slot::Word => {
                let name = self.name()?;
                Arg::Word(name.name, name.span)
            }
            Slot::BodyLevel => {
                let name = self.name()?;
                match name
                    .name
                    .strip_suffix(" level")
                    .filter(|b| BODY_LEVELS.contains(b))
                {
                    Some(body) => Arg::Word(body.into(), name.span),
                    None => {
                        let bare = name.name.trim_end_matches(" level");
                        let note = Note::new(
                            name.span,
                            format!("I don't know the body level `{}`.", name.name),
                        );
                        let note = match nearest(bare, BODY_LEVELS) {
                            Some(meant) => note.hint(format!("Did you mean `the {meant} level`?")),
                            None => note.hint(format!("I know {}.", BODY_LEVELS.join(", "))),
                        };
                        return self.stuck(note);
                    }
                }
            }
            Slot::Text => match self.take_text() {
                Some((text, _)) => Arg::Text(text),
                None => return self.wanted(slot.wants()),
            },
            Slot::Free => Arg::Free(self.reference()?),
        })
    }
}
