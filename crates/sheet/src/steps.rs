//! The steps of the draft as pages: numbered sentences, the reason under each, in two columns.

use crate::cover::{Paging, head};
use crate::face::{Span, paragraph};
use crate::flow::{Block, Column, Row, SMALL, pour};
use crate::label;
use crate::order::Order;
use crate::page::Page;
use crate::words::{Words, fill};

const SIDE: f64 = 12.0;
const GUTTER: f64 = 10.0;
/// Sentences are set in by this, their numbers stand before them.
const INSET: f64 = 8.0;

/// Draws the pages of the steps; none when there are no steps.
pub(crate) fn pages(order: &Order, words: &Words, paper: (f64, f64), paging: Paging) -> Vec<Page> {
    let (w, h) = paper;
    let width = (w - 2.0 * SIDE - GUTTER) / 2.0;
    let mut blocks = blocks(order, width);
    let mut pages: Vec<Page> = Vec::new();
    while !blocks.is_empty() && pages.len() < 400 {
        let mut page = Page::new(w, h);
        let top = head(
            &mut page,
            order,
            words,
            (words.steps, 22.0),
            &under(order, words),
            (paging.first + pages.len(), paging.of),
        );
        let before: usize = blocks.iter().map(|b| b.rows.len()).sum();
        for x in [SIDE, SIDE + width + GUTTER] {
            let mut column = Column {
                x,
                y: top + 1.5,
                width,
                foot: h - 14.0,
            };
            blocks = pour(&mut page, &mut column, blocks, words);
        }
        let after: usize = blocks.iter().map(|b| b.rows.len()).sum();
        pages.push(page);
        if after == before {
            // A row taller than a page can't be set; it would never end.
            if let Some(first) = blocks.first_mut() {
                first.rows.remove(0);
            }
            blocks.retain(|b| !b.rows.is_empty());
        }
    }
    pages
}

/// Which garment, version and date the steps belong to.
pub(crate) fn under(order: &Order, words: &Words) -> String {
    let mut text = vec![order.title.clone()];
    text.push(label::plain_version(order, words));
    text.extend(
        order
            .taken
            .as_ref()
            .map(|t| fill(words.measured_on, &[("date", t)])),
    );
    text.join(", ")
}

fn blocks(order: &Order, width: f64) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    for step in &order.steps {
        if let Some(head) = step.heading.as_ref().filter(|h| !h.is_empty()) {
            blocks.push(Block {
                head: head.clone(),
                rows: Vec::new(),
            });
        }
        if blocks.is_empty() {
            blocks.push(Block {
                head: String::new(),
                rows: Vec::new(),
            });
        }
        let Some(block) = blocks.last_mut() else {
            continue;
        };
        let mut lines = paragraph(&[Span::plain(step.sentence.clone())], SMALL, width - INSET);
        if let Some(number) = step.number {
            let n = crate::face::set(&number.to_string(), SMALL, true);
            if let Some(first) = lines.first_mut() {
                first.insert(0, (-INSET, n));
            } else {
                lines.push(vec![(-INSET, n)]);
            }
        }
        let why = step.why.as_ref().filter(|w| !w.trim().is_empty());
        // A long text is cut into rows, so that it can run on in the next column.
        let last = lines.len().saturating_sub(1);
        for (i, line) in lines.into_iter().enumerate() {
            block.rows.push(Row::Text {
                lines: vec![line],
                inset: INSET,
                after: if i == last {
                    if why.is_some() { 0.6 } else { 2.4 }
                } else {
                    0.0
                },
                ruled: false,
                // Neither the first line nor the last stands alone.
                holds_next: (last > 0 && (i == 0 || i + 1 == last)) || (i == last && why.is_some()),
            });
        }
        if let Some(why) = why {
            let lines = paragraph(&[Span::plain(why.clone())], SMALL, width - INSET - 4.0);
            for chunk in lines.chunks(6) {
                block.rows.push(Row::Text {
                    lines: chunk.to_vec(),
                    inset: INSET + 4.0,
                    after: 2.8,
                    ruled: true,
                    holds_next: false,
                });
            }
        }
    }
    blocks
}
