//! The table under `sheets`.

use super::{Frame, Reader, shorten};
use crate::note::{Note, Span};
use crate::phrase::Phrase;
use crate::tree::{
    Expr, ExprKind, FigureKind, Group, Heading, RefName, TableRow, Value, ValueForm,
};
use crate::words::{Kind, Token};
use measure::words::nearest;

impl Reader {
    // Rows, measures, entries.

    pub(super) fn row(&mut self, tokens: &[Token], end: Span) {
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
                            self.missed.push(name.name.clone());
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
        self.bare_figures(&mut values);
        if has != wants {
            // With a `|` missing, what stands in the cells is not what was meant, and the name may
            // have run into the first of them.
            self.notes.truncate(noted);
            values.fill(None);
            self.miss_beginnings(cells[0]);
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

    /// A figure without a unit beside one with a unit: the unit was forgotten.
    fn bare_figures(&mut self, values: &mut [Option<Value>]) {
        let figure = |value: &Option<Value>| match value.as_ref().map(|v| &v.form) {
            Some(ValueForm::Cases(cases)) => match &cases[..] {
                [
                    (
                        Expr {
                            kind: ExprKind::Figure(amount, kind),
                            span,
                        },
                        None,
                    ),
                ] => Some((*amount, *kind, *span)),
                _ => None,
            },
            _ => None,
        };
        let measured = values
            .iter()
            .filter_map(figure)
            .any(|(_, kind, _)| kind == FigureKind::Length);
        if !measured {
            return;
        }
        for value in values {
            if let Some((amount, FigureKind::Plain, span)) = figure(value)
                && amount != 0.0
                && let Some(value) = value
            {
                self.notes.push(
                    Note::new(span, "A number by itself is no length.")
                        .hint("Write its unit behind it: `in`, `cm` or `mm`."),
                );
                value.form = ValueForm::Cases(vec![(
                    Expr {
                        kind: ExprKind::Spoilt,
                        span,
                    },
                    None,
                )]);
            }
        }
    }

    /// Whether rows of a table may stand here.
    pub(super) fn in_table(&self) -> bool {
        self.heading == Some(Heading::Sheets)
    }

    /// A table without its `sheets`: its first row names the sheets. Whether it could be opened so.
    pub(super) fn loose_table(&mut self, tokens: &[Token]) -> bool {
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

    /// A sheet that only the table names, when its `sheets` could not be read.
    pub(super) fn add_sheet(&mut self, name: RefName, columns: &mut Vec<usize>) {
        if let Some(Frame::Group(group)) = self.frames.last_mut() {
            columns.push(group.names.len());
            group.names.push(name);
        }
    }
}

/// Words as one name.
pub(super) fn said(tokens: &[Token]) -> String {
    let words: Vec<&str> = tokens
        .iter()
        .filter_map(|t| match &t.kind {
            Kind::Word(word) => Some(word.as_str()),
            _ => None,
        })
        .collect();
    words.join(" ")
}
