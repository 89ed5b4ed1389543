//! One client's record as a page of plain text: to be read by herself, without any program.

use std::collections::BTreeMap;

use lay::Money;
use measure::date::Date;
use serde_json::Value;

use super::super::clients::called;
use super::super::order::signed::Of;
use super::super::parts::day;

/// A text of a row.
fn text<'a>(row: &'a Value, name: &str) -> &'a str {
    row.get(name)
        .and_then(Value::as_str)
        .unwrap_or_default()
        .trim()
}

/// The rows that belong to a row.
fn rows<'a>(row: &'a Value, name: &str) -> &'a [Value] {
    row.get(name)
        .and_then(Value::as_array)
        .map_or(&[], Vec::as_slice)
}

fn number(row: &Value, name: &str) -> i64 {
    row.get(name).and_then(Value::as_i64).unwrap_or(0)
}

/// A day or a stamp as one says it.
fn said(day: &str) -> String {
    Date::read(day.get(..10).unwrap_or(day)).map_or_else(|| day.to_owned(), day::long)
}

/// A sum of money as its figures and its code: it is kept in the smallest coin of its currency.
fn money(minor: i64, currency: &str) -> String {
    Money::new(minor, currency).map_or_else(
        || format!("{minor} of the smallest coin of {currency}"),
        |sum| sum.to_string(),
    )
}

/// The page: [`book::Export::told`] in words, lines ended as every system reads them.
pub(super) fn written(told: &Value) -> String {
    let empty = Value::Null;
    let her = told.get("client").unwrap_or(&empty);
    let mut page = Page::default();
    page.line(text(her, "name"));
    page.line("What this workroom keeps of her, in words. client.json beside it holds all of it.");
    about(&mut page, her);
    for card in rows(her, "cards") {
        one_card(&mut page, card);
    }
    for order in rows(her, "orders") {
        one_order(&mut page, order);
    }
    let changes = rows(her, "changes");
    if !changes.is_empty() {
        page.head("What was changed about her");
        for c in changes {
            page.told(&said(text(c, "made")), &changed(c));
        }
    }
    page.0
}

/// A change of what is kept about her, in the words of the form it was typed in.
fn changed(change: &Value) -> String {
    let (before, after) = (text(change, "before"), text(change, "after"));
    match text(change, "field") {
        "joined" => format!("joined with the other entry of hers: {after}"),
        field => format!("{}, before \"{before}\", then \"{after}\"", called(field)),
    }
}

#[derive(Default)]
struct Page(String);

impl Page {
    fn line(&mut self, text: &str) {
        for line in text.lines() {
            self.0.push_str(line);
            self.0.push_str("\r\n");
        }
    }

    fn head(&mut self, text: &str) {
        self.0.push_str("\r\n");
        self.line(text);
    }

    /// A word and what it says, where it says anything.
    fn told(&mut self, word: &str, says: &str) {
        if !says.is_empty() {
            let says = says.replace('\n', "\n    ");
            self.line(&format!("  {word}: {says}"));
        }
    }
}

fn about(page: &mut Page, her: &Value) {
    page.head("About her");
    page.told("How she is reached", text(her, "contact"));
    page.told("Birthday", &said(text(her, "born")));
    page.told("Posture and figure", text(her, "figure"));
    page.told("Allergies", text(her, "allergies"));
    page.told("Photographs may be kept", text(her, "photos"));
    page.told("What was agreed about them", text(her, "consent"));
    page.told("Who consents for her", text(her, "guardian"));
    page.told("The hand she uses", text(her, "hand"));
    page.told("Notes", text(her, "notes"));
    page.told("Entered", &said(text(her, "made")));
}

fn one_card(page: &mut Page, card: &Value) {
    let unit = match text(card, "unit") {
        "cm" => "in centimetres",
        _ => "in inches",
    };
    page.head(&format!(
        "Card {}, taken {}, {unit}",
        number(card, "number"),
        said(text(card, "taken"))
    ));
    page.told("Taken by", text(card, "taker"));
    page.told("Over", text(card, "foundation"));
    page.told("Shoes", text(card, "shoes"));
    page.told("Waist", text(card, "waist"));
    page.told("Notes", text(card, "notes"));
    // The newest reading of each turn counts; one that is empty was taken off.
    let mut taken: BTreeMap<&str, BTreeMap<i64, &str>> = BTreeMap::new();
    for reading in rows(card, "readings") {
        taken
            .entry(text(reading, "measure"))
            .or_default()
            .insert(number(reading, "turn"), text(reading, "text"));
    }
    for (measure, turns) in taken {
        let all: Vec<&str> = turns.into_values().filter(|t| !t.is_empty()).collect();
        if !all.is_empty() {
            page.line(&format!("  {measure:<24}{}", all.join(", ")));
        }
    }
}

fn one_order(page: &mut Page, order: &Value) {
    page.head(&format!(
        "Order {}, {}, begun {}",
        number(order, "number"),
        text(order, "title"),
        said(text(order, "made"))
    ));
    page.told("Method", text(order, "method"));
    for held in rows(order, "holds") {
        let key = text(held, "key");
        let choice = key.strip_prefix("choice/");
        if let Some(word) = choice.or_else(|| ["note", "signed"].into_iter().find(|k| *k == key)) {
            page.told(word, text(held, "value"));
        }
        if key == "signed/for"
            && let Some(of) = Of::read(text(held, "value"))
        {
            page.told("signed for", &of.words());
        }
    }
    for day in rows(order, "days") {
        let what = format!(
            "{} {} {}",
            text(day, "kind"),
            text(day, "at_time"),
            text(day, "words")
        );
        let what = what.split_whitespace().collect::<Vec<_>>().join(" ");
        page.told(
            &said(text(day, "on_day")),
            &format!("{what}, {}", text(day, "state")),
        );
    }
    for fitting in rows(order, "fittings") {
        page.told(
            &format!(
                "Fitting {}, {}",
                number(fitting, "number"),
                said(text(fitting, "on_day"))
            ),
            &format!("{} {}", text(fitting, "stage"), text(fitting, "notes")),
        );
        for pin in rows(fitting, "pins") {
            let words = format!(
                "{} {} {}",
                text(pin, "action"),
                text(pin, "depth"),
                text(pin, "words")
            );
            page.told("  Pinned", words.trim());
        }
    }
    for quote in rows(order, "quotes") {
        let total = money(number(quote, "total"), text(quote, "currency"));
        page.told(&format!("Quote {}", number(quote, "number")), &total);
    }
    for paid in rows(order, "payments") {
        let sum = money(number(paid, "minor"), text(paid, "currency"));
        let words = format!("{sum} {}", text(paid, "words"));
        page.told(
            &format!("Paid {}", said(text(paid, "on_day"))),
            words.trim(),
        );
    }
    for picture in rows(order, "pictures") {
        let words = format!("{} {}", text(picture, "words"), text(picture, "consent"));
        page.told("Picture", words.trim());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a measure or a promise that she can't read without a program, a reading that no longer
    /// counts, a sum of a currency without hundredths or with thousandths (ISO 4217: yen and dinar) that
    /// is written wrong, and a change told in the program's own words.
    #[test]
    fn she_can_read_what_is_kept_of_her() {
        let told = serde_json::json!({ "client": {
            "name": "Ada Lind", "contact": "by post\nor telephone", "born": null, "photos": "yes",
            "consent": "For the fitting book.", "made": "2026-11-25T10:00:00Z",
            "cards": [{ "number": 1, "taken": "2024-10-20", "unit": "in", "readings": [
                { "measure": "waist", "turn": 1, "text": "43" },
                { "measure": "waist", "turn": 1, "text": "34 1/2" },
                { "measure": "waist", "turn": 2, "text": "34 3/8" },
                { "measure": "hip", "turn": 1, "text": "40" },
                { "measure": "hip", "turn": 1, "text": "" },
            ]}],
            "orders": [{ "number": 2, "title": "Black skirt", "made": "2026-11-25T10:00:00Z",
                "quotes": [{ "number": 1, "total": 48_000, "currency": "JPY" },
                    { "number": 2, "total": 1_005, "currency": "KWD" }],
                "payments": [{ "minor": -1205, "currency": "GBP", "on_day": "2026-11-25", "words": "paid back" }]
            }],
            "changes": [
                { "field": "contact", "before": "by post", "after": "by post\nor telephone", "made": "2026-11-25T11:00:00Z" },
                { "field": "joined", "before": "", "after": "client 7, A. Lind", "made": "2026-11-26T11:00:00Z" },
            ],
        }});
        let page = written(&told);
        for line in [
            "Ada Lind",
            "  How she is reached: by post",
            "    or telephone",
            "  What was agreed about them: For the fitting book.",
            "Card 1, taken 20 October 2024, in inches",
            "  waist                   34 1/2, 34 3/8",
            "Order 2, Black skirt, begun 25 November 2026",
            "  Quote 1: 48000 JPY",
            "  Quote 2: 1.005 KWD",
            "  Paid 25 November 2026: -12.05 GBP paid back",
            "  25 November 2026: How she is reached, before \"by post\", then \"by post",
            "    or telephone\"",
            "  26 November 2026: joined with the other entry of hers: client 7, A. Lind",
        ] {
            assert!(page.contains(&format!("{line}\r\n")), "{line}\n{page}");
        }
        assert!(!page.contains("43") && !page.contains("hip") && !page.contains("Birthday"));
        assert_eq!(written(&Value::Null).lines().count(), 3);
    }
}
