//! Tests of the export: out and back, other computers, and exports that were tampered with.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::*;
use crate::{OrderNo, sample};

fn from(export: &Export) -> impl FnMut(&str) -> Option<Vec<u8>> {
    let files: BTreeMap<String, Vec<u8>> = export.files.iter().cloned().collect();
    move |name| files.get(name).cloned()
}

/// Without what belongs to nobody: numbers given out, who was erased, the day of the last check.
fn hers(book: &Book) -> Vec<String> {
    let mut rows = sample::rows(book);
    rows.retain(|r| {
        !["next_number", "erased", "setting"]
            .iter()
            .any(|t| r.starts_with(t))
    });
    rows
}

/// Would catch a line, a file or a number that is lost on the way out and back: erased and taken in again,
/// through text, she is the same row by row.
#[test]
fn out_and_back_is_the_same() {
    let mut book = sample::book();
    let (number, _) = sample::everything(&mut book, "Odile \u{1f9f5} \"M\"\n");
    let before = hers(&book);
    let export = book.export_client(number).unwrap();
    book.erase_client(number).unwrap();
    assert!(hers(&book).is_empty());
    let text = serde_json::to_string_pretty(&export.told).unwrap();
    let told: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(
        book.import_client(&told, &mut from(&export)).unwrap(),
        number
    );
    assert_eq!(hers(&book), before);
    assert_eq!(book.export_client(number).unwrap(), export);
    // Numbers go on where they were, for her cards too.
    assert_eq!(
        book.new_card(number, &sample::head()).unwrap(),
        crate::CardNo(2)
    );
    assert_eq!(
        book.new_order(&crate::NewOrder::of(number)).unwrap(),
        OrderNo(3)
    );
    // Twice she is not taken in, and an older backup does not erase her again.
    let twice = book.import_client(&told, &mut from(&export));
    assert!(matches!(&twice, Err(Trouble::Taken(_))), "{twice:?}");
    assert!(crate::erase::erased(&book.db).unwrap().is_empty());
}

/// Would catch a client from another computer who takes the number of one who is here, or was.
#[test]
fn on_another_computer_she_gets_numbers_of_its_own() {
    let mut here = sample::book();
    let (number, _) = sample::everything(&mut here, "Odile");
    let export = here.export_client(number).unwrap();
    let mut there = sample::book();
    let (first, _) = sample::order(&mut there);
    let second = there.new_client(&sample::about("Erased"), false).unwrap();
    there.erase_client(second).unwrap();
    let number = there
        .import_client(&export.told, &mut from(&export))
        .unwrap();
    assert_eq!((first, number), (ClientNo(1), ClientNo(3)));
    let orders = there.orders(crate::Which::Of(number)).unwrap();
    assert_eq!(
        orders.iter().map(|l| l.order.number.0).collect::<Vec<_>>(),
        [3, 2]
    );
    assert_eq!(orders[0].order.after, Some(orders[1].order.id));
    let again = there.export_client(number).unwrap();
    assert_eq!(
        again.told["client"]["cards"],
        export.told["client"]["cards"]
    );
    let mut empty = sample::book();
    let far = Export {
        told: there.export_client(number).unwrap().told,
        files: again.files,
    };
    assert_eq!(
        empty.import_client(&far.told, &mut from(&far)).unwrap(),
        ClientNo(3),
        "never given here"
    );
    assert_eq!(
        empty.new_client(&sample::about("Next"), false).unwrap(),
        ClientNo(4)
    );
}

/// Would catch an export that only the program can read, or a file's name that leads out of its folder.
#[test]
fn it_reads_without_the_program() {
    let mut book = sample::book();
    let (number, order) = sample::everything(&mut book, "Odile");
    let version = book.versions(order).unwrap()[0].number;
    for name in ["../../x", "C:\\a.pdf", "CON", "..", "é\u{0}"] {
        book.keep_paper(order, version, name, "", None, vec![1])
            .unwrap();
    }
    let export = book.export_client(number).unwrap();
    let told = &export.told;
    assert_eq!(told["client"]["name"], "Odile");
    assert_eq!(told["client"]["cards"][0]["readings"][1]["text"], "27 1/2");
    assert_eq!(told["client"]["cards"][0]["readings"][1]["mm"], "698.5");
    assert_eq!(
        told["client"]["orders"][0]["fittings"][0]["pins"][0]["depth"],
        "3/8"
    );
    assert_eq!(told["parties"][0]["name"], "wedding of Odile");
    let names: Vec<_> = export.files.iter().map(|(name, _)| name.as_str()).collect();
    for wanted in [
        "picture.png",
        "orders/1/picture.png",
        "orders/1/quote-1.pdf",
        "orders/1/version-1/pattern-a4.pdf",
        "orders/1/version-1/pattern-a4-2.pdf",
    ] {
        assert!(names.contains(&wanted), "{wanted} not in {names:?}");
    }
    for name in &names {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "/.-".contains(c);
        assert!(
            name.chars().all(plain) && !name.contains("..") && !name.starts_with('/'),
            "{name}"
        );
    }
    assert_eq!(names.iter().collect::<BTreeSet<_>>().len(), names.len());
}

/// All places in a JSON value, as pointers.
fn places(value: &Value, at: &str, into: &mut Vec<String>) {
    into.push(at.to_owned());
    match value {
        Value::Object(map) => map
            .iter()
            .for_each(|(k, v)| places(v, &format!("{at}/{k}"), into)),
        Value::Array(all) => all
            .iter()
            .enumerate()
            .for_each(|(i, v)| places(v, &format!("{at}/{i}"), into)),
        _ => {}
    }
}

fn anything() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        Just(json!([])),
        Just(json!({})),
        Just(json!({ "file": "nothing" })),
        Just(json!(true)),
        any::<i64>().prop_map(|n| json!(n)),
        any::<f64>().prop_map(|n| json!(n)),
        "\\PC{0,12}".prop_map(|t| json!(t)),
        Just(json!("9999999999999999999")),
        Just(json!("2026-02-30")),
        Just(json!("{01A2142E-C91E-725A-8B32-7D7D0B7FBF21}")),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    /// An export with something in it replaced: refused with the book as before, or taken in as something
    /// that every page can read, and after which new clients still get numbers. Never a panic.
    #[test]
    fn an_export_that_was_tampered_with(
        changes in prop::collection::vec((any::<prop::sample::Index>(), anything()), 1..4),
    ) {
        let mut here = sample::book();
        let (number, _) = sample::everything(&mut here, "Odile");
        let export = here.export_client(number).unwrap();
        let mut told = export.told.clone();
        for (at, value) in changes {
            let mut all = Vec::new();
            places(&told, "", &mut all);
            if let Some(place) = told.pointer_mut(&all[at.index(all.len())]) {
                *place = value;
            }
        }
        let mut there = sample::book();
        sample::order(&mut there);
        let before = sample::rows(&there);
        if there.import_client(&told, &mut from(&export)).is_err() {
            prop_assert_eq!(sample::rows(&there), before);
        }
        readable(&there.db).unwrap();
        for line in there.clients().unwrap() {
            there.cards(line.client.number).unwrap();
            there.export_client(line.client.number).unwrap();
        }
        there.new_client(&sample::about("Next"), false).unwrap();
        sample::order(&mut there);
    }
}
