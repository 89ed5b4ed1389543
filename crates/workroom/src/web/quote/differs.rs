//! The quotes of two windows side by side: the lines in which they differ, and no others.

use lay::quote::Stage;
use maud::{Markup, html};

use super::typed::{KINDS, Typed, TypedGoods, TypedPair, TypedWork};
use super::written;
use crate::web::parts::apart::{Apart, opposite};
use crate::web::parts::twin::table;

/// What a quote says in one place of its page, line by line.
type Place = (&'static str, Vec<String>);

/// A table of what differs between her quote and theirs, what is apart marked word by word; nothing where
/// they say the same.
pub(super) fn differs(mine: &Typed, theirs: &Typed) -> Option<Markup> {
    let mut rows = Vec::new();
    for ((place, a), (_, b)) in places(mine).iter().zip(&places(theirs)) {
        for (mine, theirs) in unlike(a, b) {
            let both = Apart::of(mine, theirs);
            rows.push(vec![
                html! { (place) },
                both.mine.html(),
                both.theirs.html(),
            ]);
        }
    }
    let head = [("", false), ("Yours", false), ("Theirs", false)];
    (!rows.is_empty()).then(|| table("What differs between yours and theirs", &head, &rows))
}

/// The lines that are not in both, each beside the one that stands in its place; empty beside none.
fn unlike<'a>(a: &'a [String], b: &'a [String]) -> Vec<(&'a str, &'a str)> {
    let texts = |all: &'a [String]| -> Vec<&'a str> { all.iter().map(String::as_str).collect() };
    let (a, b) = (texts(a), texts(b));
    let line = |all: &[&'a str], at: Option<usize>| at.map_or("", |at| all[at]);
    let pairs = opposite(&a, &b).into_iter();
    pairs
        .map(|(i, j)| (line(&a, i), line(&b, j)))
        .filter(|(mine, theirs)| mine != theirs)
        .collect()
}

/// All that is typed in a quote, place by place as its page has them.
fn places(typed: &Typed) -> Vec<Place> {
    let one = |text: &str| -> Vec<String> {
        let text = text.trim();
        (!text.is_empty())
            .then(|| text.to_owned())
            .into_iter()
            .collect()
    };
    let taxed = !matches!(typed.tax.as_str(), "" | "0");
    let tax = if taxed {
        let way = if typed.tax_way == "within" {
            "in the price already"
        } else {
            "on top of the price"
        };
        in_a_row(&[&typed.tax_name, &format!("{} %", typed.tax), way])
    } else {
        String::new()
    };
    let rounding = if typed.rounding.is_empty() {
        String::new()
    } else if typed.round_way == "up" {
        format!("always up to {}", typed.rounding)
    } else {
        format!("to the nearest {}", typed.rounding)
    };
    let sees = match typed.show.as_str() {
        "inside" => "everything",
        "one line" => "the work as one line",
        _ => "the work by stages",
    };
    vec![
        ("Cloth and notions", typed.goods.iter().map(goods).collect()),
        ("Waste, percent of the materials", one(&typed.waste)),
        ("An hour costs", one(&typed.rate)),
        ("Overhead for each hour", one(&typed.overhead)),
        ("Work", typed.work.iter().map(work).collect()),
        ("Besides", typed.extras.iter().map(pair).collect()),
        ("Margin, percent of the price", one(&typed.margin)),
        ("Currency", one(&typed.currency)),
        ("Tax", one(&tax)),
        ("Rounding", one(&rounding)),
        ("How it is paid", typed.parts.iter().map(pair).collect()),
        ("The last part", one(&typed.last)),
        ("Good until", one(&typed.valid)),
        ("She sees", one(sees)),
        ("Agreed", typed.terms.lines().flat_map(one).collect()),
    ]
}

/// What was typed in the boxes of one line, behind each other.
fn in_a_row(boxes: &[&str]) -> String {
    let filled: Vec<&str> = boxes
        .iter()
        .map(|b| b.trim())
        .filter(|b| !b.is_empty())
        .collect();
    filled.join(", ")
}

fn goods(goods: &TypedGoods) -> String {
    let kind = KINDS.iter().find(|(_, name, _)| *name == goods.kind);
    let each = with(&goods.each, " each");
    in_a_row(&[
        kind.map_or("", |(.., words)| words),
        &goods.words,
        &with(&goods.amount, &format!(" {}", goods.count)),
        &each,
        if goods.hers == "yes" {
            "she brings it"
        } else {
            ""
        },
    ])
}

fn work(work: &TypedWork) -> String {
    in_a_row(&[
        Stage::read(&work.stage).map_or("", written::stage),
        &with(&work.times, " times"),
        &with(&work.hours, " hours each"),
        &with(&work.rate, " an hour"),
    ])
}

fn pair(pair: &TypedPair) -> String {
    in_a_row(&[&pair.words, &pair.much])
}

/// A text with what it counts behind it; nothing where the box is empty.
fn with(text: &str, counts: &str) -> String {
    if text.trim().is_empty() {
        String::new()
    } else {
        format!("{}{counts}", text.trim())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &str) -> Vec<String> {
        text.lines().map(str::to_owned).collect()
    }

    /// Would catch a line that is taken out and moves all others against each other, one that is lost at an
    /// end, and one that is the same in both and told.
    #[test]
    fn a_line_stands_beside_the_one_in_its_place() {
        let (a, b) = (
            lines("zip\ncrepe\nthread\nhooks"),
            lines("zip\nsilk\nthread"),
        );
        assert_eq!(unlike(&a, &b), [("crepe", "silk"), ("hooks", "")]);
        assert_eq!(unlike(&b[1..], &b), [("", "zip")]);
        assert!(unlike(&a, &a).is_empty());
    }

    /// Would catch a box of the page that two windows may fill otherwise and nobody is told of.
    #[test]
    fn every_box_of_the_page_is_told_of() {
        let plain = Typed {
            tax: "7.5".into(),
            rounding: "1".into(),
            ..Typed::default()
        };
        assert!(differs(&plain, &plain.clone()).is_none());
        let json = serde_json::to_value(&plain).unwrap_or_default();
        let names: Vec<&String> = json
            .as_object()
            .map(|o| o.keys().collect())
            .unwrap_or_default();
        assert_eq!(names.len(), 18);
        for name in names {
            let mut other = json.clone();
            other[name] = match name.as_str() {
                "goods" => serde_json::json!([{ "words": "zip" }]),
                "work" => serde_json::json!([{ "stage": "hand", "hours": "2" }]),
                "extras" | "parts" => serde_json::json!([{ "words": "rush", "much": "2" }]),
                "tax_way" => "within".into(),
                "round_way" => "up".into(),
                "show" => "inside".into(),
                _ => "9".into(),
            };
            let other = Typed::of_json(&other.to_string()).unwrap_or_default();
            assert_ne!(other, plain, "{name}");
            assert!(differs(&plain, &other).is_some(), "{name}");
        }
    }
}
