//! Columns of text that run on over pages: blocks with a head, cut between their rows.

use measure::Point;

use crate::dash::Line;
use crate::drawing::Layer;
use crate::face::{Lettering, Set, Span, figures, paragraph, set, shortened};
use crate::page::{Page, Spot};
use crate::words::{Words, fill};

/// From base line to base line of running text at 11 points.
pub(crate) const LEAD: f64 = 5.4;
/// The least size of any letter, in points.
pub(crate) const SMALL: f64 = 11.0;

/// One row of a block: cut off as a whole.
#[derive(Clone, Debug)]
pub(crate) enum Row {
    /// A name at the left and a value at the right, figures under figures.
    Fact {
        label: Vec<Set>,
        value: String,
        /// Set after the figures, in a column of its own.
        unit: Option<String>,
        /// Whether any row of the block has a unit.
        units: bool,
        /// From base line to base line.
        pitch: f64,
    },
    /// Lines of text, set in from the left, with white after.
    Text {
        lines: Vec<Set>,
        inset: f64,
        after: f64,
        /// A thin rule at the left.
        ruled: bool,
        /// Never the last row of a column.
        holds_next: bool,
    },
}

impl Row {
    fn height(&self) -> f64 {
        match self {
            Self::Fact { label, pitch, .. } => pitch * crate::number::real(label.len().max(1)),
            Self::Text { lines, after, .. } => crate::number::real(lines.len()) * LEAD + after,
        }
    }

    const fn holds_next(&self) -> bool {
        matches!(
            self,
            Self::Text {
                holds_next: true,
                ..
            }
        )
    }

    /// A name and its value in a column so wide; a name that has no room beside its value takes more
    /// lines, and the value stands on the last.
    pub(crate) fn fact(
        label: &str,
        value: &str,
        (unit, units): (Option<String>, bool),
        width: f64,
        pitch: f64,
    ) -> Self {
        let tab = if units { UNIT_TAB } else { TAB };
        let taken = figures(value).map_or_else(
            || set(value, SMALL, false).width.min(width * WORDS),
            |(whole, _)| tab + set(&whole, SMALL, false).width,
        );
        Self::Fact {
            label: paragraph(&[Span::plain(label)], SMALL, width - taken - 2.5),
            value: value.to_owned(),
            unit,
            units,
            pitch,
        }
    }

    /// A paragraph.
    pub(crate) fn paragraph(spans: &[Span], width: f64, after: f64) -> Self {
        Self::Text {
            lines: paragraph(spans, SMALL, width),
            inset: 0.0,
            after,
            ruled: false,
            holds_next: false,
        }
    }
}

/// Rows under a head.
#[derive(Clone, Debug)]
pub(crate) struct Block {
    pub(crate) head: String,
    pub(crate) rows: Vec<Row>,
}

/// Where wholes end, from the right: with units behind the fractions, and without.
const UNIT_TAB: f64 = 12.0;
const TAB: f64 = 6.5;
/// The part of a column that a value in words may take.
const WORDS: f64 = 0.6;

/// White after a block, and what a head takes.
const AFTER: f64 = 4.5;
const HEAD: f64 = 7.4;

impl Block {
    pub(crate) fn height(&self) -> f64 {
        HEAD + self.rows.iter().map(Row::height).sum::<f64>() + AFTER
    }
}

/// A column of a page: where its text begins, how wide it is, and the lowest base line.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Column {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) width: f64,
    pub(crate) foot: f64,
}

/// A block of so few rows is not torn apart where it can stand whole in the next column.
const FEW: usize = 4;

/// Sets as many blocks as a column holds; what is left comes back, its head marked as going on.
pub(crate) fn pour(
    page: &mut Page,
    column: &mut Column,
    blocks: Vec<Block>,
    words: &Words,
) -> Vec<Block> {
    let mut left: Vec<Block> = Vec::new();
    for (i, block) in blocks.into_iter().enumerate() {
        if !left.is_empty() {
            left.push(block);
            continue;
        }
        if let Some(rest) = pour_one(page, column, block, i == 0, words) {
            left.push(rest);
        }
    }
    left
}

/// How many rows fit from `y` on.
fn fitting(rows: &[Row], y: f64, foot: f64) -> usize {
    let mut at = y;
    let mut n = 0;
    for row in rows {
        // The last base line of a row lies its white and a line above the next row.
        let slack = match row {
            Row::Fact { pitch, .. } => *pitch,
            Row::Text { after, .. } => LEAD + after,
        };
        if at + row.height() - slack > foot + 0.01 {
            break;
        }
        at += row.height();
        n += 1;
    }
    while n > 0 && n < rows.len() && rows[n - 1].holds_next() {
        n -= 1;
    }
    n
}

fn pour_one(
    page: &mut Page,
    c: &mut Column,
    block: Block,
    first: bool,
    words: &Words,
) -> Option<Block> {
    let bare = block.head.is_empty();
    let start = if bare { c.y } else { c.y + HEAD };
    let n = fitting(&block.rows, start, c.foot);
    let torn = n < block.rows.len();
    if torn && (n == 0 || (!first && block.rows.len() <= FEW)) {
        return Some(block);
    }
    if !bare {
        let head = shortened(&block.head, SMALL, true, c.width);
        page.letters(Layer::Plain, &head, Spot::level(Point::new(c.x, c.y), 0.0));
        page.line(
            Layer::Plain,
            Point::new(c.x, c.y + 1.8),
            Point::new(c.x + c.width, c.y + 1.8),
            Line::Fine,
        );
    }
    c.y = start;
    let mut rows = block.rows;
    let rest = rows.split_off(n);
    for row in rows {
        draw(page, c, &row);
        c.y += row.height();
    }
    c.y += AFTER;
    if rest.is_empty() {
        return None;
    }
    let head = if bare
        || block
            .head
            .ends_with(words.go_on.trim_start_matches("{head}"))
    {
        block.head
    } else {
        fill(words.go_on, &[("head", &block.head)])
    };
    Some(Block { head, rows: rest })
}

fn draw(page: &mut Page, c: &Column, row: &Row) {
    match row {
        Row::Fact {
            label,
            value,
            unit,
            units,
            pitch,
        } => {
            let right = c.x + c.width;
            let tab = right - if *units { UNIT_TAB } else { TAB };
            // The name first, as it is read.
            let next = page.lines(Layer::Plain, Point::new(c.x, c.y), label, *pitch);
            let y = if label.is_empty() { c.y } else { next - pitch };
            let mut add = |l: Lettering, x: f64, part: f64| {
                page.letters(Layer::Plain, &l, Spot::level(Point::new(x, y), part));
            };
            if let Some((whole, fraction)) = figures(value) {
                add(set(&whole, SMALL, false), tab, 1.0);
                if !fraction.is_empty() {
                    add(set(&fraction, SMALL, false), tab + 0.7, 0.0);
                }
                if let Some(unit) = unit {
                    add(set(unit, SMALL, false), right, 1.0);
                }
            } else {
                add(shortened(value, SMALL, false, c.width * WORDS), right, 1.0);
            }
        }
        Row::Text {
            lines,
            inset,
            ruled,
            ..
        } => {
            let end = page.lines(Layer::Plain, Point::new(c.x + inset, c.y), lines, LEAD);
            if *ruled && !lines.is_empty() {
                let x = c.x + inset - 2.2;
                page.line(
                    Layer::Plain,
                    Point::new(x, c.y - 3.4),
                    Point::new(x, end - LEAD + 1.2),
                    Line::Fine,
                );
            }
        }
    }
}
