//! Seams and checks.

use super::{Open, Reader, skip};
use crate::note::{Note, Span};
use crate::phrase::{Phrase, Stuck};
use crate::tree::{Check, Expr, ExprKind, Piecewise, Ref, Seam, Truing, Weight};
use crate::vocabulary;
use crate::words;

impl Reader {
    pub(super) fn seam(&mut self, phrase: &mut Phrase<'_>, spoilt: &mut bool, open: &Open) -> Seam {
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

    pub(super) fn check(&mut self, phrase: &mut Phrase<'_>, spoilt: &mut bool) -> Check {
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
    pub(super) fn piecewise(
        &mut self,
        text: &str,
        span: Span,
        spoilt: &mut bool,
    ) -> Vec<Piecewise> {
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

pub(super) fn seam_part(phrase: &mut Phrase<'_>, seam: &mut Seam, first: bool) -> Result<(), Note> {
    let note = |s: Box<Stuck>| s.note;
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

pub(super) fn moving(phrase: &mut Phrase<'_>) -> Result<Ref, Note> {
    if !phrase.take_words(&["by", "moving"]) {
        return phrase
            .wanted("`by moving` and a value that may move")
            .map_err(|s| s.note);
    }
    phrase.reference().map_err(|s| s.note)
}
