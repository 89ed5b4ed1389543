//! Running text with figures in it, or in their place lines to write on.

use measure::Point;

use super::asked::rule_said;
use super::plan::Plan;
use super::{HandPart, HandStep};
use crate::dash::Line;
use crate::drawing::Layer;
use crate::face::{kept_together, printable, set};
use crate::flow::SMALL;
use crate::page::{Page, Spot};

/// The line that a pupil writes a number on, in mm.
pub(crate) const BLANK: f64 = 13.0;
/// White at either end of it, for a comma hangs below the base line.
const CLEAR: f64 = 0.4;

/// The most letters of a word on one line.
const LONGEST: usize = 24;

/// A word, or a line to write on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Bit {
    Word {
        text: String,
        bold: bool,
        /// No blank before it.
        glued: bool,
    },
    Blank {
        glued: bool,
    },
}

/// Words and lines to write on, one after the other.
#[derive(Clone, Debug, Default)]
pub(crate) struct Running {
    pub(crate) bits: Vec<Bit>,
    /// What comes next belongs to what stands.
    tight: bool,
}

impl Running {
    pub(crate) fn add(&mut self, text: &str, bold: bool) {
        let clean = printable(text);
        if clean.is_empty() {
            return;
        }
        let mut glued = !clean.starts_with(' ') && self.tight;
        for word in kept_together(&clean).split(' ').filter(|w| !w.is_empty()) {
            // A word wider than any line is cut.
            let letters: Vec<char> = word.chars().collect();
            for (i, part) in letters.chunks(LONGEST).enumerate() {
                self.bits.push(Bit::Word {
                    text: part.iter().collect(),
                    bold,
                    glued: glued && i == 0,
                });
            }
            glued = false;
        }
        self.tight = !clean.ends_with(' ');
    }

    pub(crate) fn space(&mut self) {
        self.tight = false;
    }

    pub(crate) fn blank(&mut self) {
        self.bits.push(Bit::Blank { glued: self.tight });
        self.tight = true;
    }

    /// A further sentence.
    pub(crate) fn sentence(&mut self, text: &str) {
        self.space();
        self.add(text, false);
    }

    /// What a step says: its number, its words with letters for points, and its figures, or lines in
    /// their place with the rule behind.
    pub(crate) fn step(plan: &Plan<'_>, step: &HandStep, own: &[String], blank: bool) -> Self {
        let mut out = Self::default();
        if let Some(number) = step.number {
            out.add(&number.to_string(), true);
            out.space();
        }
        for (i, part) in step.parts.iter().enumerate() {
            match part {
                HandPart::Words(words) => out.add(words, false),
                HandPart::Figure {
                    shown, rule, fixed, ..
                } => {
                    if blank && !*fixed {
                        out.blank();
                        if let Some(rule) = rule {
                            out.space();
                            out.add(&format!("({})", rule_said(rule)), false);
                        }
                    } else {
                        out.add(
                            &shown.replace(' ', "\u{a0}").replace('-', "\u{2013}"),
                            false,
                        );
                    }
                }
                HandPart::Point { group, name } => match plan.letter_of(group, name) {
                    Some(letter) => {
                        out.add(letter, true);
                        // Where it is marked it is called by its name as well.
                        let colon = step.parts.get(i + 1);
                        let heads = matches!(colon, Some(HandPart::Words(w)) if w.starts_with(':'));
                        if heads && own.contains(name) {
                            out.add(&format!(", {}", super::letters::said(name)), false);
                        }
                    }
                    None => out.add(&super::letters::said(name), false),
                },
            }
        }
        out
    }

    /// Broken into lines no wider than `width`.
    pub(crate) fn lines(&self, width: f64) -> Vec<Vec<(f64, Set)>> {
        let gap = set("x x", SMALL, false).width - 2.0 * set("x", SMALL, false).width;
        // What is glued together is broken as one.
        let mut clusters: Vec<Vec<&Bit>> = Vec::new();
        for bit in &self.bits {
            let glued = matches!(
                bit,
                Bit::Word { glued: true, .. } | Bit::Blank { glued: true }
            );
            match clusters.last_mut() {
                Some(last) if glued => last.push(bit),
                _ => clusters.push(vec![bit]),
            }
        }
        let wide = |bit: &Bit| match bit {
            Bit::Word { text, bold, .. } => set(text, SMALL, *bold).width,
            Bit::Blank { .. } => BLANK + 2.0 * CLEAR,
        };
        let mut lines: Vec<Vec<(f64, Set)>> = vec![Vec::new()];
        let mut x = 0.0;
        for cluster in clusters {
            let whole: f64 = cluster.iter().map(|b| wide(b)).sum();
            let empty = lines.last().is_none_or(Vec::is_empty);
            if !empty && x + gap + whole > width {
                lines.push(Vec::new());
                x = 0.0;
            } else if !empty {
                x += gap;
            }
            for bit in cluster {
                let Some(line) = lines.last_mut() else {
                    continue;
                };
                match bit {
                    Bit::Word { text, bold, .. } => {
                        let piece = set(text, SMALL, *bold);
                        let w = piece.width;
                        // Words of one weight are set as one line of letters.
                        match line.last_mut() {
                            Some((at, Set::Letters(said, b))) if *b == *bold => {
                                let joint = if x - *at - set(said, SMALL, *b).width > gap / 2.0 {
                                    " "
                                } else {
                                    ""
                                };
                                said.push_str(joint);
                                said.push_str(text);
                                // Set as one, they may be a hair wider or narrower.
                                x = *at + set(said, SMALL, *b).width;
                            }
                            _ => {
                                line.push((x, Set::Letters(text.clone(), *bold)));
                                x += w;
                            }
                        }
                    }
                    Bit::Blank { .. } => {
                        line.push((x, Set::Blank));
                        x += BLANK + 2.0 * CLEAR;
                    }
                }
            }
        }
        lines.retain(|l| !l.is_empty());
        lines
    }
}

/// What is set at a place of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Set {
    Letters(String, bool),
    Blank,
}

/// Sets lines, the first base line at `at`; gives the base line after the last.
pub(crate) fn put(page: &mut Page, at: Point, lines: &[Vec<(f64, Set)>], lead: f64) -> f64 {
    let mut y = at.y;
    for line in lines {
        for (x, what) in line {
            match what {
                Set::Letters(text, bold) => {
                    let letters = set(text, SMALL, *bold);
                    page.letters(
                        Layer::Plain,
                        &letters,
                        Spot::level(Point::new(at.x + x, y), 0.0),
                    );
                }
                Set::Blank => page.line(
                    Layer::Plain,
                    Point::new(at.x + x + CLEAR, y + 1.0),
                    Point::new(at.x + x + CLEAR + BLANK, y + 1.0),
                    Line::Fine,
                ),
            }
        }
        y += lead;
    }
    y
}
