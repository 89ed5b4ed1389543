//! Drawn things: by name, in brackets, an end of another; lines and directions.

use super::{Phrase, Read, Stuck};
use crate::note::Note;
use crate::tree::{Body, Drawn, EdgeRef, End, Makes, Part, Way};
use crate::vocabulary::{Slot, Where};
use crate::words::{Kind, Token};
use measure::words::nearest;

impl Phrase<'_> {
    /// A drawn thing for a place of this kind.
    pub(crate) fn drawn(&mut self, slot: Slot) -> Read<Drawn> {
        if self.at_sign("(") {
            return self.deeper(|p| p.bracket(slot));
        }
        let start = self.at;
        for (word, end) in [("start", End::Start), ("end", End::End), ("tip", End::Tip)] {
            if self.at_word(word) && self.peek_at(1).is_some_and(|t| t.is_word("of")) {
                self.at += 2;
                let inner = if end == End::Tip {
                    Slot::Dart
                } else {
                    Slot::Edge
                };
                let of = self.deeper(|p| p.drawn(inner))?;
                return Ok(Drawn::EndOf(end, Box::new(of), self.span_from(start)));
            }
        }
        match self.peek() {
            Some(Token {
                kind: Kind::Word(_),
                ..
            }) => Ok(Drawn::Named(self.reference()?)),
            _ => self.wanted(slot.wants()),
        }
    }

    pub(super) fn bracket(&mut self, slot: Slot) -> Read<Drawn> {
        let start = self.at;
        self.at += 1;
        let makes: &[Makes] = match slot {
            Slot::Edge | Slot::Edges => &[Makes::Line],
            Slot::Straight => &[Makes::Line, Makes::Level],
            Slot::Spot => &[Makes::Level, Makes::Point],
            Slot::Ruling => &[Makes::Level],
            _ => &[Makes::Point],
        };
        let mut worst: Option<Box<Stuck>> = None;
        for &make in makes {
            self.at = start + 1;
            match self.bracket_parts(make) {
                Ok(parts) => {
                    let span = self.span_from(start);
                    return Ok(Drawn::Bracket(Box::new(Body {
                        makes: make,
                        parts,
                        span,
                        spoilt: false,
                    })));
                }
                Err(stuck) => {
                    if worst.as_ref().is_none_or(|w| stuck.at > w.at) {
                        worst = Some(stuck);
                    }
                }
            }
        }
        match worst {
            Some(stuck) => Err(stuck),
            None => self.wanted(slot.wants()),
        }
    }

    pub(super) fn bracket_parts(&mut self, makes: Makes) -> Read<Vec<Part>> {
        let (first, more): (&[Where], &[Where]) = match makes {
            Makes::Point => (&[Where::Place], &[Where::PlaceMore]),
            Makes::Level => (&[Where::Level], &[Where::LevelMore]),
            Makes::Line => (&[Where::Line], &[Where::Leg, Where::LegMore]),
        };
        let mut parts = vec![self.part(first, true)?];
        loop {
            if self.take_sign(")") {
                return Ok(parts);
            }
            if !self.take_sign(",") {
                return self.wanted("a comma or `)`");
            }
            parts.push(self.part(more, true)?);
        }
    }

    /// A line, or a part of one.
    pub(crate) fn edge(&mut self) -> Read<EdgeRef> {
        let line = self.drawn(Slot::Edge)?;
        let mut between = None;
        if self.take_word("between") {
            let a = self.drawn(Slot::Point)?;
            if !self.take_word("and") {
                return self.wanted("`and` and a second point");
            }
            between = Some(Box::new((a, self.drawn(Slot::Point)?)));
        }
        Ok(EdgeRef { line, between })
    }

    pub(crate) fn edges(&mut self) -> Read<Vec<EdgeRef>> {
        let mut all = vec![self.edge()?];
        while self.take_word("then") {
            all.push(self.edge()?);
        }
        Ok(all)
    }

    pub(super) fn way(&mut self) -> Read<Way> {
        if self.take_word("upright") {
            return Ok(Way::Upright);
        }
        if self.take_word("level") {
            return Ok(Way::Level);
        }
        if self.take_words(&["square", "to"]) {
            return Ok(Way::Square(self.drawn(Slot::Straight)?));
        }
        if self.take_word("toward") {
            return Ok(Way::Toward(self.drawn(Slot::Point)?));
        }
        if self.take_word("along") {
            return Ok(Way::Along(self.drawn(Slot::Straight)?));
        }
        let said = self
            .peek()
            .map(|t| t.raw.to_lowercase())
            .unwrap_or_default();
        match nearest(&said, ["upright", "level", "square", "toward", "along"]) {
            Some("square") if said == "square" => {
                self.at += 1;
                self.wanted("`to` and a line or a ruling, as in `square to side`")
            }
            Some(meant) => {
                let note = Note::new(self.span(), format!("I don't know the direction `{said}`."))
                    .hint(format!("Did you mean `{meant}`?"));
                self.stuck(note)
            }
            None => self
                .wanted("a direction: `upright`, `level`, `square to …`, `toward …` or `along …`"),
        }
    }
}
