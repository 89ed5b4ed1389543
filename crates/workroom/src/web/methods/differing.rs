//! Two texts side by side, line by line, with the lines marked in which they differ.

use maud::{Markup, html};

use crate::web::parts::apart::opposite;

/// Alike lines kept beside a difference.
const NEAR: usize = 3;

/// A line of one text, of the other, or of both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Pair<'a> {
    /// Number (from 1) and words of the line in the first text.
    pub(crate) left: Option<(usize, &'a str)>,
    /// The same of the second.
    pub(crate) right: Option<(usize, &'a str)>,
}

impl Pair<'_> {
    fn alike(&self) -> bool {
        matches!((self.left, self.right), (Some(a), Some(b)) if a.1 == b.1)
    }
}

/// The lines of two texts, paired.
pub(crate) fn pairs<'a>(left: &'a str, right: &'a str) -> Vec<Pair<'a>> {
    let a: Vec<&str> = left.lines().collect();
    let b: Vec<&str> = right.lines().collect();
    let line = |text: &[&'a str], at: Option<usize>| at.map(|at| (at + 1, text[at]));
    let pairs = opposite(&a, &b).into_iter();
    pairs
        .map(|(left, right)| Pair {
            left: line(&a, left),
            right: line(&b, right),
        })
        .collect()
}

/// How many lines differ.
pub(crate) fn many(left: &str, right: &str) -> usize {
    pairs(left, right).iter().filter(|p| !p.alike()).count()
}

/// Both texts side by side; `names` say whose each is. Long stretches that are alike are left out.
pub(crate) fn side_by_side(names: (&str, &str), left: &str, right: &str) -> Markup {
    let pairs = pairs(left, right);
    let near: Vec<bool> = (0..pairs.len())
        .map(|i| {
            let reach = i.saturating_sub(NEAR)..pairs.len().min(i + NEAR + 1);
            pairs[reach].iter().any(|p| !p.alike())
        })
        .collect();
    let mut rows: Vec<Row<'_>> = Vec::new();
    let mut skipped = 0;
    for (pair, near) in pairs.iter().zip(near) {
        if near {
            if skipped > 0 {
                rows.push(Row::Alike(std::mem::take(&mut skipped)));
            }
            rows.push(Row::Pair(*pair));
        } else {
            skipped += 1;
        }
    }
    if skipped > 0 {
        rows.push(Row::Alike(skipped));
    }
    html! {
        div.differing role="group" tabindex="0" aria-label={ (names.0) " and " (names.1) ", line by line" } {
            div.heads aria-hidden="true" { p { (names.0) } p { (names.1) } }
            ol {
                @for row in &rows {
                    @match row {
                        Row::Alike(1) => { li.alike { "one line is the same" } }
                        Row::Alike(n) => { li.alike { (n) " lines are the same" } }
                        Row::Pair(pair) if pair.alike() => {
                            li.same { (line(pair.left, "")) (line(pair.right, "twice")) }
                        }
                        Row::Pair(pair) => {
                            li.differs {
                                (side(names.0, pair.left))
                                (side(names.1, pair.right))
                            }
                        }
                    }
                }
            }
        }
    }
}

enum Row<'a> {
    Pair(Pair<'a>),
    Alike(usize),
}

fn line(line: Option<(usize, &str)>, class: &str) -> Markup {
    html! {
        @if let Some((number, words)) = line {
            div.line.(class) aria-hidden=[(class == "twice").then_some("true")] { span.no { (number) } code { (words) } }
        }
    }
}

fn side(name: &str, line: Option<(usize, &str)>) -> Markup {
    html! {
        @match line {
            Some((number, words)) => {
                div.line.its { span.no { (number) } span.vh { (name) ": " } code { (words) @if words.trim().is_empty() { span.empty { "an empty line" } } } }
            }
            None => { div.line.none { span.no { "\u{2013}" } span.empty { span.vh { (name) ": " } "no such line" } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Catches a line that is lost, doubled or out of order on either side.
        #[test]
        fn each_side_reads_as_its_text(a in "[abc\n]{0,60}", b in "[abc\n]{0,60}") {
            let pairs = pairs(&a, &b);
            let left: Vec<_> = pairs.iter().filter_map(|p| p.left).collect();
            let right: Vec<_> = pairs.iter().filter_map(|p| p.right).collect();
            let want = |t: &str| -> Vec<(usize, String)> {
                t.lines().enumerate().map(|(i, l)| (i + 1, l.to_owned())).collect()
            };
            let own = |v: Vec<(usize, &str)>| -> Vec<(usize, String)> {
                v.into_iter().map(|(i, l)| (i, l.to_owned())).collect()
            };
            prop_assert_eq!(own(left), want(&a));
            prop_assert_eq!(own(right), want(&b));
            prop_assert!(pairs.iter().all(|p| p.left.is_some() || p.right.is_some()));
        }
    }

    #[test]
    fn only_what_differs_is_marked() {
        let (a, b) = ("one\ntwo\nthree\nfour", "one\n2\nthree\nfour\nfive");
        assert_eq!(many(a, b), 2);
        let shown = side_by_side(("Mine", "The other"), a, b).into_string();
        assert_eq!(shown.matches("class=\"differs\"").count(), 2, "{shown}");
        assert!(shown.contains("no such line"));
        // A text of thousands of other lines is shown, and does not take for ever.
        let long: String = (0..5000).map(|i| format!("a{i}\n")).collect();
        let other: String = (0..5000).map(|i| format!("b{i}\n")).collect();
        assert_eq!(many(&long, &other), 5000);
        let nasty = side_by_side(("<b>", "x"), "<script>", "").into_string();
        assert!(
            !nasty.contains("<script>") && !nasty.contains("<b>"),
            "{nasty}"
        );
    }
}
