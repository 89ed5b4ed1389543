//! Two texts beside each other, with what is apart in them marked word by word, and said in words.

use maud::{Markup, html};

/// Above so many pairs the part between what is alike is marked as one.
const MOST: usize = 4_000_000;

/// The places of what stands in both, in order: a longest common subsequence.
pub(crate) fn common(a: &[&str], b: &[&str]) -> Vec<(usize, usize)> {
    let head = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    let ends = a[head..].iter().rev().zip(b[head..].iter().rev());
    let tail = ends.take_while(|(x, y)| x == y).count();
    let between = between(&a[head..a.len() - tail], &b[head..b.len() - tail]);
    let mut out: Vec<(usize, usize)> = (0..head).map(|i| (i, i)).collect();
    out.extend(between.into_iter().map(|(i, j)| (head + i, head + j)));
    out.extend((0..tail).rev().map(|k| (a.len() - 1 - k, b.len() - 1 - k)));
    out
}

/// The same for what is left when both begin and end unlike.
fn between(a: &[&str], b: &[&str]) -> Vec<(usize, usize)> {
    let (n, m) = (a.len(), b.len());
    if n == 0 || m == 0 || n.saturating_mul(m) > MOST {
        return Vec::new();
    }
    let wide = m + 1;
    let mut longest = vec![0_u16; (n + 1) * wide];
    for i in (0..n).rev() {
        for j in (0..m).rev() {
            longest[i * wide + j] = if a[i] == b[j] {
                longest[(i + 1) * wide + j + 1].saturating_add(1)
            } else {
                longest[(i + 1) * wide + j].max(longest[i * wide + j + 1])
            };
        }
    }
    let (mut i, mut j, mut out) = (0, 0, Vec::new());
    while i < n && j < m {
        if a[i] == b[j] {
            out.push((i, j));
            i += 1;
            j += 1;
        } else if longest[(i + 1) * wide + j] >= longest[i * wide + j + 1] {
            i += 1;
        } else {
            j += 1;
        }
    }
    out
}

/// The places of both, side by side in order: what stands in both opposite itself, and between, what stands in
/// one alone, each opposite the next such of the other as long as there is one.
pub(crate) fn opposite(a: &[&str], b: &[&str]) -> Vec<(Option<usize>, Option<usize>)> {
    let mut out = Vec::new();
    let (mut i, mut j) = (0, 0);
    for (in_a, in_b) in common(a, b).into_iter().chain([(a.len(), b.len())]) {
        let alone = |from: usize, to: usize, k: usize| (from + k < to).then_some(from + k);
        for k in 0..(in_a - i).max(in_b - j) {
            out.push((alone(i, in_a, k), alone(j, in_b, k)));
        }
        if in_a < a.len() && in_b < b.len() {
            out.push((Some(in_a), Some(in_b)));
        }
        (i, j) = (in_a + 1, in_b + 1);
    }
    out
}

/// A stretch of a text: in both, or in this one alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Bit<'a> {
    text: &'a str,
    alone: bool,
}

/// One of two texts, as what it holds alone stands in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Side<'a> {
    bits: Vec<Bit<'a>>,
    /// How many words stand in it alone.
    words: usize,
}

/// Two texts, each with what it holds alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Apart<'a> {
    pub(crate) mine: Side<'a>,
    pub(crate) theirs: Side<'a>,
}

/// Where each word of a text stands.
fn words(text: &str) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    let mut from = None;
    for (at, c) in text.char_indices() {
        match (c.is_whitespace(), from) {
            (false, None) => from = Some(at),
            (true, Some(begun)) => {
                out.push((begun, at));
                from = None;
            }
            _ => {}
        }
    }
    if let Some(begun) = from {
        out.push((begun, text.len()));
    }
    out
}

impl<'a> Apart<'a> {
    pub(crate) fn of(mine: &'a str, theirs: &'a str) -> Self {
        let (a, b) = (words(mine), words(theirs));
        let said = |text: &'a str, at: &[(usize, usize)]| -> Vec<&'a str> {
            at.iter().map(|&(from, to)| &text[from..to]).collect()
        };
        let (x, y) = (said(mine, &a), said(theirs, &b));
        let (mut in_a, mut in_b) = (vec![true; a.len()], vec![true; b.len()]);
        for (i, j) in common(&x, &y) {
            in_a[i] = false;
            in_b[j] = false;
        }
        Self {
            mine: Side::of(mine, &a, &in_a),
            theirs: Side::of(theirs, &b, &in_b),
        }
    }

    /// What is marked, in words: for the ear, and for an eye that has missed it.
    pub(crate) fn told(&self) -> String {
        let many = |n: usize| match n {
            1 => "1 word".to_owned(),
            n => format!("{n} words"),
        };
        match (self.mine.words, self.theirs.words) {
            (0, 0) => "Only their spaces or lines are apart.".to_owned(),
            (0, n) => format!("Theirs has {} more, underlined.", many(n)),
            (n, 0) => format!("Yours has {} more, underlined.", many(n)),
            (n, m) => format!(
                "What is apart is underlined: {} of yours, {} of theirs.",
                many(n),
                many(m)
            ),
        }
    }
}

impl<'a> Side<'a> {
    fn of(text: &'a str, at: &[(usize, usize)], alone: &[bool]) -> Self {
        let mut bits: Vec<Bit<'a>> = Vec::new();
        let mut done = 0;
        let mut i = 0;
        while i < at.len() {
            if !alone[i] {
                i += 1;
                continue;
            }
            let begun = i;
            while i + 1 < at.len() && alone[i + 1] {
                i += 1;
            }
            let (from, to) = (at[begun].0, at[i].1);
            if from > done {
                bits.push(Bit {
                    text: &text[done..from],
                    alone: false,
                });
            }
            bits.push(Bit {
                text: &text[from..to],
                alone: true,
            });
            done = to;
            i += 1;
        }
        if done < text.len() {
            bits.push(Bit {
                text: &text[done..],
                alone: false,
            });
        }
        Self {
            bits,
            words: alone.iter().filter(|a| **a).count(),
        }
    }

    /// The text, what it holds alone marked by a line and heavier letters, and told to the ear.
    pub(crate) fn html(&self) -> Markup {
        html! {
            @for bit in &self.bits {
                @if bit.alone { (marked(&html! { (bit.text) })) } @else { (bit.text) }
            }
            @if self.bits.iter().all(|b| b.text.trim().is_empty()) { em { "nothing" } }
        }
    }
}

/// A cell of two tables side by side: marked where the other has another one.
pub(crate) fn cell(what: Markup, alike: bool) -> Markup {
    if alike { what } else { marked(&what) }
}

/// Something that stands in one of two alone.
pub(crate) fn marked(what: &Markup) -> Markup {
    html! { mark.apart { span.vh { " (only here: " } (what) span.vh { ") " } } }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Catches a word that is lost, doubled or marked though both have it; and a step in the middle
        /// of a letter.
        #[test]
        fn each_side_reads_as_its_text(a in "[abcé \n]{0,60}", b in "[abcé \n]{0,60}") {
            let both = Apart::of(&a, &b);
            let read = |s: &Side<'_>| s.bits.iter().map(|b| b.text).collect::<String>();
            prop_assert_eq!(read(&both.mine), a.clone());
            prop_assert_eq!(read(&both.theirs), b.clone());
            let alike = |s: &Side<'_>| -> Vec<String> {
                let text = s.bits.iter().filter(|b| !b.alone).flat_map(|b| b.text.split_whitespace());
                text.map(str::to_owned).collect()
            };
            prop_assert_eq!(alike(&both.mine), alike(&both.theirs));
            let same: Vec<&str> = a.split_whitespace().collect();
            if same == b.split_whitespace().collect::<Vec<_>>() {
                prop_assert_eq!(both.mine.words + both.theirs.words, 0);
            }
        }
    }

    /// Catches a mark that is of colour alone or says nothing to the ear, and text that is taken for tags.
    #[test]
    fn what_is_apart_is_marked_and_told() {
        let both = Apart::of("Ivory crepe, hem by hand", "Ivory silk <b>, hem");
        let (mine, theirs) = (
            both.mine.html().into_string(),
            both.theirs.html().into_string(),
        );
        let mark = |text: &str| {
            format!(
                "<mark class=\"apart\"><span class=\"vh\"> (only here: </span>{text}<span class=\"vh\">) </span></mark>"
            )
        };
        assert_eq!(
            mine,
            format!("Ivory {} hem {}", mark("crepe,"), mark("by hand"))
        );
        assert_eq!(theirs, format!("Ivory {} hem", mark("silk &lt;b&gt;,")));
        assert_eq!(
            both.told(),
            "What is apart is underlined: 3 words of yours, 2 words of theirs."
        );
        let one = Apart::of("", "tea");
        assert_eq!(one.told(), "Theirs has 1 word more, underlined.");
        assert!(one.mine.html().into_string().contains(">nothing<"));
        assert!(
            Apart::of("a b", "a\nb")
                .told()
                .starts_with("Only their spaces")
        );
        // Thousands of other words are shown, and do not take for ever.
        let long: String = (0..5000).map(|i| format!("a{i} ")).collect();
        let other: String = (0..5000).map(|i| format!("b{i} ")).collect();
        assert_eq!(Apart::of(&long, &other).mine.words, 5000);
    }
}
