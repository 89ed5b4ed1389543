//! A cloth as she types it, and its page as text.

use lay::compare::Change;
use lay::{Cloth, Nap, Runs};
use maud::{Markup, html};
use measure::fraction::{Shown, Unit, show};
use serde::Deserialize;

use crate::web::parts::field::{self, Field};

/// The boxes of a cloth. What is empty is not said.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct Typed {
    pub(super) r#for: String,
    /// The count that the page was made with; empty where it is taken from the order.
    pub(super) seen: String,
    name: String,
    unit: String,
    width: String,
    selvedge: String,
    fold: String,
    fold_depth: String,
    nap: String,
    length_runs: String,
    repeat: String,
    #[serde(rename = "match")]
    matched: String,
    flaws: String,
    join: String,
    shrink_along: String,
    shrink_across: String,
    stretch_round_body: String,
    in_hand: String,
    scraps: String,
    price: String,
    fibre: String,
    make: String,
    weight: String,
}

/// A key of the page, its words, and help.
type Row = (&'static str, &'static str, &'static str);

/// What is typed as words, in the order in which it stands in the form.
const ROWS: [Row; 17] = [
    ("name", "What you call it", ""),
    ("width", "Width, edge to edge", "Like 60 in or 150 cm."),
    ("selvedge", "One selvedge takes", "Often 1/2 in or 1 in."),
    (
        "repeat",
        "Pattern repeats every",
        "Leave it empty for plain cloth.",
    ),
    (
        "match",
        "Its pattern meets at the notch",
        "By its name in the method, like hip. Empty: the first that both sides of a seam have.",
    ),
    (
        "shrink_along",
        "Shrinks along",
        "Like 4 %: mark a square, steam it, measure again.",
    ),
    ("shrink_across", "Shrinks across", ""),
    (
        "stretch_round_body",
        "Stretches round the body",
        "Like 8 %; empty for woven cloth.",
    ),
    ("in_hand", "At hand", "A length that you have already."),
    (
        "scraps",
        "Scraps of it",
        "Like 12 in wide, 20 in long; the next after a semicolon. Small pieces are cut there first.",
    ),
    ("price", "Price for one yard or metre", "Like 28.00 EUR."),
    (
        "flaws",
        "Flaws to keep clear of",
        "Like 40 in along, 12 in across; the next after a semicolon.",
    ),
    (
        "fold_depth",
        "Folded so deep",
        "Where only a part is folded: from the fold to the edge. Empty: as the pieces ask.",
    ),
    (
        "join",
        "A join is allowed",
        "On each side. Empty: no piece is joined. 1/2 in: one that is too wide is, in its flare.",
    ),
    ("fibre", "Fibre", ""),
    ("make", "Make", "Satin, crepe, velvet."),
    ("weight", "Weight", "Like 180, or 19 momme."),
];

/// What is chosen of a few, with their words.
type Choice = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
);

/// What is chosen, in the order in which it stands below the boxes. The first is meant where none is.
const CHOICES: [Choice; 4] = [
    (
        "fold",
        "How it lies",
        &[
            ("none", "flat, one layer"),
            ("lengthwise", "folded along its length"),
            ("part", "folded only as deep as the pieces ask"),
            ("double", "two lengths, one on the other"),
            ("crosswise", "folded across: not for a nap"),
        ],
    ),
    (
        "nap",
        "Which way pieces may lie",
        &[
            ("two-way", "head to foot too"),
            ("one-way", "all tops one way: nap, shine or print"),
        ],
    ),
    (
        "length_runs",
        "The garment’s length runs",
        &[
            ("along", "along the selvedge"),
            ("across", "across, from selvedge to selvedge"),
        ],
    ),
    (
        "unit",
        "The shop sells it by the",
        &[("yd", "yard"), ("m", "metre")],
    ),
];

/// What a box is called in the form.
pub(super) fn label(key: &str) -> Option<&'static str> {
    let boxes = ROWS.iter().map(|row| (row.0, row.1));
    let mut all = boxes.chain(CHOICES.iter().map(|choice| (choice.0, choice.1)));
    all.find(|(name, _)| *name == key).map(|(_, label)| label)
}

/// What is a list, typed with semicolons between.
const LISTS: [&str; 2] = ["flaws", "scraps"];

impl Typed {
    /// The boxes filled from a page.
    pub(super) fn of_page(page: &str, unit: Unit) -> Self {
        let mut out = Self::default();
        for line in page.lines() {
            let Some((key, value)) = line.split_once('=') else {
                continue;
            };
            let value = value.trim();
            let plain = unquoted(value);
            let plain = if LISTS.contains(&key.trim()) {
                let inner = value.trim_matches(['[', ']']);
                inner
                    .split("\",")
                    .map(|f| f.trim().trim_matches('"'))
                    .collect::<Vec<_>>()
                    .join("; ")
            } else {
                plain
            };
            if let Some(slot) = out.slot(key.trim()) {
                *slot = plain;
            }
        }
        if out.unit.is_empty() {
            let yards = unit == Unit::Inch;
            (if yards { "yd" } else { "m" }).clone_into(&mut out.unit);
        }
        out
    }

    fn slot(&mut self, key: &str) -> Option<&mut String> {
        Some(match key {
            "name" => &mut self.name,
            "unit" => &mut self.unit,
            "width" => &mut self.width,
            "selvedge" => &mut self.selvedge,
            "fold" => &mut self.fold,
            "fold_depth" => &mut self.fold_depth,
            "nap" => &mut self.nap,
            "length_runs" => &mut self.length_runs,
            "repeat" => &mut self.repeat,
            "match" => &mut self.matched,
            "flaws" => &mut self.flaws,
            "join" => &mut self.join,
            "shrink_along" => &mut self.shrink_along,
            "shrink_across" => &mut self.shrink_across,
            "stretch_round_body" => &mut self.stretch_round_body,
            "in_hand" => &mut self.in_hand,
            "scraps" => &mut self.scraps,
            "price" => &mut self.price,
            "fibre" => &mut self.fibre,
            "make" => &mut self.make,
            "weight" => &mut self.weight,
            _ => return None,
        })
    }

    /// The page of the cloth.
    pub(super) fn page(&self) -> String {
        let mut from = self.clone();
        let mut out = String::new();
        let keys = ROWS
            .iter()
            .map(|r| r.0)
            .chain(["unit", "fold", "nap", "length_runs"]);
        for key in keys {
            let Some(value) = from
                .slot(key)
                .map(|v| v.trim().to_owned())
                .filter(|v| !v.is_empty())
            else {
                continue;
            };
            if LISTS.contains(&key) {
                // One semicolon too many names nothing.
                let all = value.split(';').map(str::trim).filter(|f| !f.is_empty());
                let all: Vec<String> = all.map(quoted).collect();
                out.push_str(&format!("{key} = [{}]\n", all.join(", ")));
            } else {
                out.push_str(&format!("{key} = {}\n", quoted(&value)));
            }
        }
        out
    }

    /// All of it in words, a line each, to be set beside another: what is empty is left out.
    pub(super) fn told(&self) -> String {
        let mut from = self.clone();
        let mut value = |key: &str| from.slot(key).map(|v| v.trim().to_owned());
        let mut lines = Vec::new();
        for (key, label, _) in ROWS {
            if let Some(value) = value(key).filter(|v| !v.is_empty()) {
                lines.push(format!("{label}: {value}"));
            }
        }
        for (key, label, ways) in CHOICES {
            let now = value(key).unwrap_or_default();
            let chosen = ways.iter().find(|(word, _)| *word == now).or(ways.first());
            if let Some((_, says)) = chosen {
                lines.push(format!("{label}: {says}"));
            }
        }
        lines.join("\n")
    }

    /// What its form sends besides which cloth it is and the count.
    pub(super) fn fields(&self) -> Vec<(&'static str, String)> {
        let mut from = self.clone();
        let keys = ROWS
            .iter()
            .map(|row| row.0)
            .chain(CHOICES.iter().map(|choice| choice.0));
        keys.filter_map(|key| Some((key, from.slot(key)?.clone())))
            .collect()
    }

    /// The unit in which it is sold, where she chose one.
    pub(super) fn sold_in(&self) -> Unit {
        if self.unit == "m" {
            Unit::Cm
        } else {
            Unit::Inch
        }
    }

    /// The form; `seen` is the order's count. What does not fit is told at its box.
    pub(super) fn form(
        &self,
        (order, kind): (u32, &str),
        seen: u64,
        wrong: &[(String, String)],
    ) -> Markup {
        let fault = |key: &str| {
            let mut own = wrong.iter().filter(|(of, _)| of == key);
            own.next().map(|(_, says)| says.as_str())
        };
        let seen = match self.seen.as_str() {
            "" => seen.to_string(),
            // What was typed on an older page stays as old as it is.
            older => older.to_owned(),
        };
        let mut from = self.clone();
        let mut value = |key: &str| from.slot(key).cloned().unwrap_or_default();
        html! {
            form.clothform method="post" action={ "/orders/" (order) "/cloth/page" } {
                input type="hidden" name="for" value=(kind);
                input type="hidden" name="seen" value=(seen);
                @for (key, label, help) in ROWS {
                    @let text = value(key);
                    @let field = Field::new(key, label, &text).fault(fault(key));
                    @if help.is_empty() { (field.html()) } @else { (field.help(help).html()) }
                }
                @for (key, label, ways) in CHOICES {
                    @let now = value(key);
                    fieldset.choose id=(field::id(key)) tabindex=[fault(key).map(|_| "-1")] {
                        legend { (label) }
                        @if let Some(says) = fault(key) { p.fault { (says) } }
                        @for (at, (word, says)) in ways.iter().enumerate() {
                            label {
                                input type="radio" name=(key) value=(word) checked[now == *word || (now.is_empty() && at == 0)];
                                span { (says) }
                            }
                        }
                    }
                }
                p.presses { button.press.main { "Keep this cloth" } }
            }
        }
    }
}

/// A text in quotes, as the page of a cloth has it.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// The same without its quotes.
fn unquoted(text: &str) -> String {
    let inner = text
        .strip_prefix('"')
        .and_then(|t| t.strip_suffix('"'))
        .unwrap_or(text);
    inner.replace("\\\"", "\"").replace("\\\\", "\\")
}

/// The page with a line said anew.
pub(super) fn with(page: &str, key: &str, value: &str) -> String {
    format!("{}{key} = {}\n", without(page, key), quoted(value))
}

/// The page without a line.
fn without(page: &str, key: &str) -> String {
    let is_it = |l: &&str| l.split_once('=').is_some_and(|(k, _)| k.trim() == key);
    page.lines()
        .filter(|l| !is_it(l))
        .map(|l| format!("{l}\n"))
        .collect()
}

/// The page with what a way changes.
pub(super) fn changed(page: &str, cloth: &Cloth, change: Change) -> String {
    match change {
        Change::None => page.to_owned(),
        // What is so only of the piece that she has does not go with another width: its card said so.
        Change::Width(width) => {
            let mut out = with(page, "width", &show(width, Shown::inches()));
            let gone = [
                ("flaws", cloth.flaws.is_empty()),
                ("in_hand", cloth.in_hand.is_none()),
                ("fold_depth", cloth.fold_depth.is_none()),
            ];
            for (key, _) in gone.iter().filter(|(_, gone)| *gone) {
                out = without(&out, key);
            }
            out
        }
        Change::OneWay => {
            let one_way = cloth.nap == Nap::OneWay;
            with(page, "nap", if one_way { "one-way" } else { "two-way" })
        }
        Change::Along | Change::Across | Change::Flat | Change::Folded | Change::FoldedPart => {
            let across = cloth.length_runs == Runs::Across;
            let runs = if across { "across" } else { "along" };
            let out = with(&with(page, "fold", cloth.fold.word()), "length_runs", runs);
            if cloth.fold_depth.is_none() {
                without(&out, "fold_depth")
            } else {
                out
            }
        }
    }
}
