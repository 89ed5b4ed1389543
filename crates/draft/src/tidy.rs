//! Prints a method tidied: the same words, evenly set.
//!
//! Headings stand at the margin, entries one step in, their further lines two; a `when` stands as far
//! in as what follows it, and what it holds one step more; the columns of a table are lined up. Only
//! blanks are changed, so the method means the same, and tidying twice changes nothing more.

use crate::reader::{LineInfo, Role, read};
use crate::words::{Kind, MOST_CHARACTERS, MOST_LINES, Token, sources};

/// How far in one step goes, in blanks.
const STEP: usize = 2;
/// A cell wider than this does not push its column out.
const WIDEST_CELL: usize = 60;

/// The text tidied. A line that is too long to be read stays as it is, and so does a text of more
/// lines than a method may have.
///
/// # Example
/// ```
/// let tidied = draft::tidy("points\nhip side :at  hip line,up 1 in\n");
/// assert_eq!(tidied, "points\n  hip side: at hip line, up 1 in\n");
/// ```
pub fn tidy(text: &str) -> String {
    let written: Vec<&str> = sources(text).collect();
    if written.len() > MOST_LINES {
        return text.to_owned();
    }
    let lines = read(text).lines;
    let ins = steps_in(&lines);
    let tables = tables(&lines);
    let mut out = String::new();
    let mut blank = false;
    for ((info, &step), source) in lines.iter().zip(&ins).zip(&written) {
        if info.line.all.is_empty() && info.line.remark.is_none() {
            blank = !out.is_empty();
            continue;
        }
        if blank {
            out.push('\n');
            blank = false;
        }
        let widths = tables.iter().find(|t| t.holds(info.line.number));
        let said = match widths {
            Some(table) if info.role == Role::Row => table.row(info),
            _ => words_of(info),
        };
        let tidied = format!("{}{said}", " ".repeat(step * STEP));
        let too_long = |line: &str| line.chars().count() > MOST_CHARACTERS;
        if too_long(source) || too_long(&tidied) {
            out.push_str(source);
        } else {
            out.push_str(&tidied);
        }
        out.push('\n');
    }
    out
}

/// How many steps each line stands in.
fn steps_in(lines: &[LineInfo]) -> Vec<usize> {
    /// Where headings and entries stand inside one block.
    #[derive(Clone, Copy)]
    struct Inside {
        block: usize,
        heading: usize,
        entry: usize,
    }
    let mut ins = Vec::with_capacity(lines.len());
    let mut blocks: Vec<Inside> = Vec::new();
    let mut root = Inside {
        block: 0,
        heading: 0,
        entry: 1,
    };
    for (i, info) in lines.iter().enumerate() {
        // `otherwise` and `end` stand outside the block that they end, and yet it is theirs.
        let ends = matches!(info.role, Role::Otherwise | Role::End);
        blocks.truncate(info.depth + usize::from(ends));
        let inside = *blocks.last().unwrap_or(&root);
        let step = match info.role {
            Role::Heading => {
                let place = blocks.last_mut().unwrap_or(&mut root);
                place.entry = place.heading + 1;
                place.heading
            }
            Role::Blank | Role::About | Role::Entry | Role::Row => inside.entry,
            Role::More | Role::Why => inside.entry + 1,
            Role::When => {
                let block = if heads(&lines[i + 1..]) {
                    inside.heading
                } else {
                    inside.entry
                };
                blocks.push(Inside {
                    block,
                    heading: block + 1,
                    entry: block + 1,
                });
                block
            }
            Role::Otherwise => match blocks.last_mut() {
                Some(own) => {
                    own.entry = own.block + 1;
                    own.block
                }
                None => inside.heading,
            },
            Role::End => match blocks.pop() {
                Some(own) => own.block,
                None => inside.heading,
            },
        };
        ins.push(step);
    }
    // A remark alone on its line stands as far in as the next line that is not one.
    let mut next = None;
    for (info, step) in lines.iter().zip(&mut ins).rev() {
        if info.role == Role::Blank {
            if let (Some(next), true) = (next, info.line.remark.is_some()) {
                *step = next;
            }
        } else {
            next = Some(*step);
        }
    }
    ins
}

/// Whether a `when` before these lines holds whole headings.
fn heads(after: &[LineInfo]) -> bool {
    after
        .iter()
        .map(|info| info.role)
        .find(|role| !matches!(role, Role::Blank | Role::When))
        == Some(Role::Heading)
}

/// The rows under one `sheets`, and how wide their columns are.
struct Table {
    first: u32,
    last: u32,
    /// The first row names the columns without an empty cell before them.
    bare: bool,
    widths: Vec<usize>,
}

impl Table {
    fn holds(&self, line: u32) -> bool {
        (self.first..=self.last).contains(&line)
    }

    fn row(&self, info: &LineInfo) -> String {
        let cells = cells(info);
        let skipped = usize::from(self.bare && info.line.number == self.first);
        let mut out = String::new();
        if skipped == 1 {
            let width = self.widths.first().copied().unwrap_or(0);
            out.push_str(&" ".repeat(width + 3));
        }
        for (i, cell) in cells.iter().enumerate() {
            if i > 0 {
                out.push_str(" | ");
            }
            out.push_str(cell);
            if i + 1 < cells.len() {
                let width = self.widths.get(i + skipped).copied().unwrap_or(0);
                out.push_str(&" ".repeat(width.saturating_sub(cell.chars().count())));
            }
        }
        out.truncate(out.trim_end_matches(' ').len());
        if let Some(remark) = &info.line.remark {
            remarked(&mut out, remark);
        }
        out
    }
}

fn tables(lines: &[LineInfo]) -> Vec<Table> {
    let mut out: Vec<Table> = Vec::new();
    let mut open = false;
    for info in lines {
        match info.role {
            Role::Heading => open = false,
            Role::Row => {
                let cells = cells(info);
                if !open {
                    out.push(Table {
                        first: info.line.number,
                        last: info.line.number,
                        bare: cells.first().is_some_and(|c| !c.is_empty()),
                        widths: Vec::new(),
                    });
                    open = true;
                }
                let Some(table) = out.last_mut() else {
                    continue;
                };
                table.last = info.line.number;
                let skipped = usize::from(table.bare && table.first == info.line.number);
                for (i, cell) in cells.iter().enumerate() {
                    let wide = cell.chars().count();
                    if table.widths.len() <= i + skipped {
                        table.widths.resize(i + skipped + 1, 0);
                    }
                    if wide <= WIDEST_CELL {
                        table.widths[i + skipped] = table.widths[i + skipped].max(wide);
                    }
                }
            }
            _ => {}
        }
    }
    out
}

fn cells(info: &LineInfo) -> Vec<String> {
    info.line
        .all
        .split(|t| t.is_sign("|"))
        .map(spaced)
        .collect()
}

/// What a line says, without the blanks before it.
fn words_of(info: &LineInfo) -> String {
    let line = &info.line;
    if let Some(why) = &line.why {
        let word = line.all.first().map_or("why", |t| t.raw.as_str());
        let mut out = format!("{word}:");
        if !why.is_empty() {
            out.push(' ');
            out.push_str(why);
        }
        return out;
    }
    let mut out = spaced(&line.all);
    if let Some(remark) = &line.remark {
        remarked(&mut out, remark);
    }
    out
}

fn remarked(out: &mut String, remark: &str) {
    if !out.is_empty() {
        out.push_str("  ");
    }
    out.push_str("--");
    if !remark.is_empty() {
        out.push(' ');
        out.push_str(remark);
    }
}

/// Words with one blank between them, and none before a comma, a colon or a closing bracket.
fn spaced(tokens: &[Token]) -> String {
    let mut out = String::new();
    let mut glued = true;
    let mut before: Option<&Token> = None;
    for (i, token) in tokens.iter().enumerate() {
        let closes = [",", ":", ")"].iter().any(|sign| token.is_sign(sign))
            && before.is_some_and(|b| b.kind != Kind::Unknown);
        if !glued && !closes {
            out.push(' ');
        }
        out.push_str(&token.raw);
        let next_is_minus = tokens.get(i + 1).is_some_and(|t| t.is_sign("-"));
        glued =
            token.is_sign("(") || (token.is_sign("-") && !next_is_minus && stands_alone(before));
        before = Some(token);
    }
    out
}

/// Whether a minus after this takes nothing away from it, but belongs to what follows.
fn stands_alone(before: Option<&Token>) -> bool {
    match before.map(|t| &t.kind) {
        None => true,
        Some(Kind::Sign(sign)) => *sign != ")",
        Some(Kind::Word(word)) => crate::words::joins(word) || word == "else",
        Some(_) => false,
    }
}
