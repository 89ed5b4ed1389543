//! The quote on paper, tried.

use super::*;
use crate::words::ENGLISH;

fn row(what: &str, how_much: &str, in_all: &str) -> QuoteRow {
    QuoteRow {
        what: what.into(),
        how_much: how_much.into(),
        in_all: in_all.into(),
    }
}

/// An invented quote; its figures are those of the mock pages.
fn invented() -> QuoteSheet {
    let lines = |all: &[&str]| all.iter().map(|s| (*s).to_owned()).collect();
    QuoteSheet {
        number: (14, 1),
        from: lines(&["Lantern Lane", "an invented workroom"]),
        to: lines(&["Ines Halloway", "Evening on 12 December 2026"]),
        about: lines(&[
            "Mermaid skirt with a train, plum stretch crepe",
            "Given 25 November 2026, good until 11 December 2026",
        ]),
        currency: "USD".into(),
        rows: vec![
            row("Crepe, 58 in wide", "2 5/8 yd", "73.50"),
            row("Lining to the break", "1 1/4 yd", "11.25"),
            row("Horsehair, zip, thread, waist stay", "", "35.00"),
            row("Waste", "10 % of these", "11.98"),
            row(
                "Pattern, cutting, sewing, two fittings",
                "14 hours",
                "392.00",
            ),
        ],
        sums: vec![row("Price", "", "616.15")],
        parts: vec![
            ("With the order: it buys the cloth".into(), "308.08".into()),
            ("At the first fitting".into(), "154.04".into()),
            ("When you fetch it".into(), "154.03".into()),
        ],
        terms: lines(&["Changes after the first fitting are quoted anew."]),
        words: &ENGLISH,
    }
}

/// Would catch a letter on a line, on another letter or beyond the edge; and each figure once.
#[test]
fn nothing_touches() {
    for paper in [Paper::A4, Paper::Letter, Paper::A3] {
        let pages = pages(&invented(), paper, &ENGLISH).unwrap();
        assert_eq!(pages.len(), 1);
        assert_eq!(pages[0].touching(), Vec::<String>::new());
        let said: Vec<&str> = pages[0].words.iter().map(|(_, s)| s.as_str()).collect();
        for figure in ["73.50", "616.15", "154.03"] {
            assert_eq!(said.iter().filter(|s| **s == figure).count(), 1, "{figure}");
        }
    }
}

/// Would catch a line that is lost at the foot of a page, sums that stand alone, and a name that runs
/// into the figures.
#[test]
fn a_long_quote_goes_on() {
    let mut sheet = invented();
    let long = "Lace with corded edges, cut single, each motif applied by hand along the neckline";
    sheet.rows = (0..70)
        .map(|n| {
            row(
                &format!("{long} {n}"),
                "12 3/8 yd at 1250.00",
                &format!("{n}.25"),
            )
        })
        .collect();
    sheet.terms = vec!["word ".repeat(1500)];
    sheet.to = vec!["x".repeat(300)];
    let pages = pages(&sheet, Paper::Letter, &ENGLISH).unwrap();
    assert!(pages.len() > 2);
    for page in &pages {
        assert_eq!(page.touching(), Vec::<String>::new());
    }
    let all: Vec<&str> = pages
        .iter()
        .flat_map(|p| &p.words)
        .map(|(_, s)| s.as_str())
        .collect();
    for n in 0..70 {
        assert!(all.contains(&format!("{n}.25").as_str()), "{n}");
    }
    let with_sum = pages
        .iter()
        .find(|p| p.words.iter().any(|(_, s)| s == "616.15"))
        .unwrap();
    assert!(with_sum.words.iter().any(|(_, s)| s == "69.25"));
}

/// Would catch a file that does not begin, or is not the same twice.
#[test]
fn the_file_is_a_pdf_and_the_same_twice() {
    let bytes = quote_pdf(&invented(), Paper::A4).unwrap();
    assert!(bytes.starts_with(b"%PDF-"));
    assert_eq!(bytes, quote_pdf(&invented(), Paper::A4).unwrap());
    assert_eq!(
        quote_pdf(&QuoteSheet::default(), Paper::A4),
        Err(SheetFault::Nothing)
    );
}

/// Would catch a quote without end.
#[test]
fn too_long_is_refused() {
    let mut sheet = invented();
    sheet.rows = vec![row("a", "", "1"); 5000];
    assert!(matches!(
        quote_pdf(&sheet, Paper::A4),
        Err(SheetFault::TooLarge(_))
    ));
}
