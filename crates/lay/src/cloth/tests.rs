//! A cloth's page: what is read, what is refused, and how it is said.

use proptest::prelude::*;

use super::*;

const PAGE: &str = r#"# as the shop says
name = "silk crepe"
unit = "yd"
width = 54
selvedge = "1/2"
fold = "lengthwise"
nap = "one-way"
length_runs = "along"
repeat = "12 in"
flaws = ["40 in along, 12 in across, 1 in round", "2 yd along, 3 in across"]
shrink_along = "4 %"
shrink_across = "2 %"
stretch_round_body = 0
in_hand = 5
price = "28.00 EUR"
fibre = "silk"
make = "crepe"
weight = "19 momme"
"#;

fn told(page: &str) -> Vec<String> {
    read(page)
        .unwrap_err()
        .iter()
        .map(ToString::to_string)
        .collect()
}

/// Would catch a line that is lost or misread.
#[test]
fn a_whole_page_is_read() {
    let cloth = read(PAGE).unwrap();
    assert_eq!(cloth.name, "silk crepe");
    assert_eq!(cloth.width, Some(Length::inches(54.0)));
    assert_eq!(cloth.selvedge, Length::inches(0.5));
    assert_eq!(
        (cloth.fold, cloth.nap, cloth.length_runs),
        (Fold::Lengthwise, Nap::OneWay, Runs::Along)
    );
    assert_eq!(cloth.repeat, Some(Length::inches(12.0)));
    assert_eq!(
        cloth.flaws,
        [
            Flaw {
                along: Length::inches(40.0),
                across: Length::inches(12.0),
                round: Length::inches(1.0),
            },
            Flaw {
                along: Length::inches(72.0),
                across: Length::inches(3.0),
                round: Length::inches(0.5),
            },
        ]
    );
    assert!((cloth.shrink_along - 0.04).abs() < 1e-12);
    assert!((cloth.shrink_across - 0.02).abs() < 1e-12);
    assert_eq!(cloth.in_hand, Some(Length::inches(180.0)));
    let price = cloth.price.unwrap();
    assert_eq!((price.money.minor(), price.per), (2800, Sold::Yard));
    // usable = width x (1 - shrink) - 2 selvedges.
    let usable = cloth.usable().unwrap().in_inches();
    assert!((usable - (54.0 * 0.98 - 1.0)).abs() < 1e-9, "{usable}");
    let none = read("").unwrap();
    assert_eq!(none, Cloth::default());
    assert_eq!(none.usable(), None);
}

/// W16: 19 momme are 82.46 g/m2, 8 momme 34.72 (common practice, no source). 2.6 oz a square yard are
/// 88 g/m2 (16 CFR 1610.1(d), from memory).
#[test]
fn weights_come_to_grams_a_square_metre() {
    for (said, grams) in [
        ("\"19 momme\"", 82.46),
        ("\"8 momme\"", 34.72),
        ("\"8mm\"", 34.72),
        ("\"2.6 oz\"", 88.15),
        ("180", 180.0),
        ("\"180 g/m2\"", 180.0),
    ] {
        let cloth = read(&format!("weight = {said}")).unwrap();
        assert!((cloth.weight.unwrap() - grams).abs() < 0.01, "{said}");
    }
}

/// Would catch a page whose first fault hides the others, or that is told without its line.
#[test]
fn all_faults_are_told_at_once() {
    let page = r#"name = ""
unit = "inch"
width = 5800
selvedge = "-1 in"
fold = "half"
naps = "one-way"
length_runs = 3
repeat = "twelve"
flaws = "a hole"
shrink_along = 4
stretch_round_body = "400 %"
price = 28
weight = "heavy"
"#;
    expect_test::expect![[r#"
        line 1, column 1: `name` must be words in quotes. Write `name = "…"`, or leave the line out.
        line 2, column 1: `unit` can't be `inch`. Write `unit = "in"`, `unit = "cm"`, `unit = "yd"` or `unit = "m"`.
        line 3, column 1: `width` is `5800`, more than any cloth. Look at the number and its unit.
        line 4, column 1: `selvedge` is less than nothing. Write what the shop says, or leave the line out.
        line 5, column 1: `fold` can't be `half`. Write `fold = "none"`, `fold = "lengthwise"`, `fold = "double"`, `fold = "part"` or `fold = "crosswise"`.
        line 6, column 1: A cloth has no `naps`. Did you mean `nap`?
        line 7, column 1: `length_runs` must be a word in quotes. Write `length_runs = "along"` or `length_runs = "across"`.
        line 8, column 1: `repeat`: I don't know the unit `twelve` in `twelve`. Use `in`, `cm` or `mm`.
        line 9, column 1: I can't read the flaw `"a hole"`. Write where it is from the cut end and from one selvedge, and how far to keep from it: `flaws = ["40 in along, 12 in across, 1 in round"]`.
        line 10, column 1: `shrink_along` must be a percentage; `4` is none. Write it like `shrink_along = "4 %"`.
        line 11, column 1: `stretch_round_body` is more than 300 %. Look at the number: (before - after) / before of a square that was steamed, or how far it gives.
        line 12, column 1: `price` must be an amount and its currency, in quotes. Write it like `price = "28.00 EUR"`.
        line 13, column 1: `weight` can't be `"heavy"`. Write grams a square metre, like `weight = 180`, or `"19 momme"`, or `"5 oz"` a square yard.
    "#]]
    .assert_eq(&format!("{}\n", told(page).join("\n")));
}

/// Would catch a flaw that is taken without a word though it is on no part of the cloth, and one at the edge
/// or far along the bolt that is refused.
#[test]
fn a_flaw_lies_on_the_cloth() {
    let page = |flaw: &str| format!("unit = \"in\"\nwidth = 58\nflaws = [\"{flaw}\"]\n");
    for (flaw, says) in [
        (
            "40 in along, 80 in across",
            "80 in across lies outside the cloth, which is 58 in wide",
        ),
        ("40 in along, 60 in across, 2 in round", "60 in across"),
        (
            "501 yd along, 3 in across",
            "along lies farther than any cloth is long",
        ),
    ] {
        let faults = told(&page(flaw));
        assert!(
            faults.len() == 1 && faults[0].starts_with("line 3") && faults[0].contains(says),
            "{faults:?}"
        );
        assert!(faults[0].contains("Measure it again"), "{faults:?}");
    }
    for flaw in [
        "40 in along, 58 in across, 1/2 in round",
        "60 in along, 59 in across, 2 in round",
        "400 yd along, 0 in across",
    ] {
        assert_eq!(read(&page(flaw)).unwrap().flaws.len(), 1, "{flaw}");
    }
    // Without a width nobody knows.
    assert!(read("unit = \"in\"\nflaws = [\"4 in along, 80 in across\"]\n").is_ok());
}

/// Would catch widths told one by one when the page only lacks its unit.
#[test]
fn a_missing_unit_is_told_once() {
    let faults = told("width = 58\nselvedge = 1\nprice = \"3 EUR\"\n");
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(faults[0].contains("unit"));
    let faults = told("price = \"3 EUR\"\n");
    assert!(faults[0].contains("yard or the metre"), "{faults:?}");
}

/// Would catch a mended line that stays silent, or a heading that is swallowed.
#[test]
fn broken_lines_are_told_as_a_cloth_s() {
    let faults = told("width 58 in\n[cloth]\nunit = \"in\"\n");
    assert_eq!(faults.len(), 2, "{faults:?}");
    assert!(faults[0].starts_with("line 1"), "{faults:?}");
    assert!(faults.iter().all(|f| !f.contains("waist")), "{faults:?}");
}

proptest! {
    /// No page brings it down, and what it reads is never less than nothing.
    #[test]
    fn any_page_is_answered(
        page in "((name|unit|width|selvedge|flaws|price|weight|shrink_along|nap|in_hand|x)( = |=| )(\"(in|m|58|1/2 in|4 %|one-way|3 EUR|1 in along, 2 in across)\"|58|-1|\\[\\]|\\[1\\]|true|\\PC)\n){0,8}"
    ) {
        if let Ok(cloth) = read(&page) {
            prop_assert!(cloth.selvedge >= Length::ZERO);
            prop_assert!(cloth.width.is_none_or(|w| w > Length::ZERO));
            prop_assert!((0.0..=0.5).contains(&cloth.shrink_along));
        }
    }
}

/// Would catch a page for people that tells of a key that is not read, or leaves one out.
#[test]
fn the_page_about_it_is_right() {
    let page = include_str!("../../../../docs/cloth.md");
    let example = page
        .split("```toml\n")
        .nth(1)
        .and_then(|rest| rest.split("```").next())
        .unwrap();
    let cloth = read(example).unwrap();
    assert_eq!(cloth.flaws.len(), 1);
    assert!((cloth.weight.unwrap() - 69.44).abs() < 0.01);
    for key in read::KEYS {
        assert!(
            example.lines().any(|l| l.split(' ').next() == Some(key)),
            "{key} is not on the page"
        );
    }
}
