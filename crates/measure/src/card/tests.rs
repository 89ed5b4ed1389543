//! Cards: what is read, what is refused, and how it is said.

use proptest::prelude::*;

use super::*;

const PAGE: &str = r#"client = "Demo"
taken = 2026-05-02
unit = "in"
notes = "flat shoes"
[measures]
waist = "27 1/2"
hip = 40
"waist to hip" = "8 3/4"
"waist to knee" = '58 cm'
heel = 0
"#;

fn told(page: &str) -> Vec<String> {
    read(page, &[])
        .unwrap_err()
        .iter()
        .map(ToString::to_string)
        .collect()
}

/// Catches a field of the page that is lost or misread.
#[test]
fn a_clean_card() {
    let card = read(PAGE, &[]).unwrap();
    assert_eq!(card.client(), "Demo");
    assert_eq!(card.taken(), Date::new(2026, 5, 2));
    assert_eq!(card.unit(), Unit::Inch);
    assert_eq!(card.notes(), "flat shoes");
    assert_eq!(card.get("Waist"), Some(Length::inches(27.5)));
    assert_eq!(card.get("seat"), Some(Length::inches(40.0)));
    let knee = card.measured("waist to knee").unwrap();
    assert_eq!(
        (knee.typed.as_str(), knee.unit, knee.line),
        ("58 cm", Unit::Cm, Some(9))
    );
    let names: Vec<_> = card.measures().map(|m| m.name.as_str()).collect();
    assert_eq!(
        names,
        ["waist", "hip", "waist to hip", "waist to knee", "heel"]
    );
    assert_eq!(card.get("knee"), None);
}

/// Catches a form of number that the page allows and the reader does not.
#[test]
fn bare_and_quoted_numbers() {
    for (value, inches) in [
        ("27", 27.0),
        ("27.5", 27.5),
        ("\"27½\"", 27.5),
        ("'27 1/2\"'", 27.5),
        ("\"700 mm\"", 700.0 / 25.4),
        ("\"27 1/2\\\"\"", 27.5),
        ("\"27-1/2\"", 27.5),
    ] {
        let page = format!("client='x'\nunit='in'\n[measures]\nwaist = {value}\n");
        let card = read(&page, &[]).unwrap();
        let got = card.get("waist").unwrap().in_inches();
        assert!((got - inches).abs() < 1e-9, "{value}: {got}");
    }
    let metric = read("client='x'\nunit='cm'\n[measures]\nwaist = 70\n", &[]).unwrap();
    assert_eq!(metric.get("waist"), Some(Length::cm(70.0)));
}

/// Catches a fault that hides another, or that names the wrong line.
#[test]
fn all_faults_at_once() {
    let page = r#"client = 7
taken = 2026-02-30
unit = "feet"
colour = "red"
[measures]
wast = 27
hip = 27 1/2
"seat" = 41
waist to knee = 23
knee = -3
calf = 0
ankle = "nine"
bust = 500
"both knees" = [1, true]
thigh = 22
thigh = 23
heel = 0
"#;
    let faults = read(page, &[]).unwrap_err();
    let lines: Vec<_> = faults.iter().map(|f| f.line.unwrap()).collect();
    assert_eq!(lines, [1, 2, 3, 4, 6, 7, 8, 9, 10, 11, 12, 13, 14, 16]);
    for fault in &faults {
        assert!(!fault.says.is_empty() && !fault.hint.is_empty());
    }
}

/// Catches a change of wording that makes a message worse.
#[test]
fn what_is_said() {
    let say = |body: &str| told(&format!("client='x'\nunit='in'\n[measures]\n{body}\n")).join("\n");
    let check = |body: &str, expected: &str| assert_eq!(say(body), expected);
    check(
        "wast = 27",
        "line 4, column 1: There is no measure `wast`. Did you mean `waist`?",
    );
    check(
        "hip = 40\nseat = 41",
        "line 5, column 1: `hip` and `seat` are the same measure. It stands already in line 4; keep the right one.",
    );
    check(
        "hip = 40\nhip = 41",
        "line 5: `hip` is on the card twice. It stands already in line 4; keep the right one.",
    );
    check(
        "hip = 40\n\"HIP\" = 41",
        "line 5, column 1: The measure `HIP` is on the card twice. It stands already in line 4; keep the right one.",
    );
    check(
        "waist = 27 1/2",
        "line 4: The value `27 1/2` of `waist` needs quotes. Write `waist = \"27 1/2\"`.",
    );
    check(
        "waist to hip = 9",
        "line 4: The name `waist to hip` needs quotes, because it has blanks or signs in it. Write `\"waist to hip\" = 9`.",
    );
    check(
        "waist = -27",
        "line 4, column 1: `waist` is less than nothing: `-27`. Write what the tape said, without a minus.",
    );
    check(
        "waist = 0",
        "line 4, column 1: `waist` is nothing. Write what the tape said, or leave the line out. Only a heel may be 0.",
    );
    check(
        "waist = 201",
        "line 4, column 1: `waist` is over 200 in: `201`. Look at the number and its unit.",
    );
    check(
        "\"front waist\" = 12",
        "line 4, column 1: There is no measure `front waist`. Is it `front waist length`, `shoulder to waist` or `front waist arc`?",
    );
    check(
        "waist = \"271/2\"",
        "line 4, column 1: `waist`: The fraction 271/2 in `271/2` is not less than one. Did you mean `27 1/2`?",
    );
    check(
        "notes = 'x'",
        "line 4, column 1: There is no measure `notes`. `notes` stands above the heading `[measures]`.",
    );
    check(
        "waist =",
        "line 4: `waist` has no value. Write what the tape said, or leave the line out.",
    );
}

/// Catches a missing part that is not missed.
#[test]
fn what_is_missing() {
    assert_eq!(told("").len(), 2);
    assert_eq!(told("unit='in'\n[measures]\nwaist=27\n").len(), 1);
    assert_eq!(
        told("client='  '\nunit='in'\n[measures]\nwaist=27\n").len(),
        1
    );
    let none = told("client='x'\n[measures]\nwaist=27\nhip=40\n");
    assert!(none[0].contains("unit"), "{none:?}");
    assert!(read("client='x'\n[measures]\nwaist='27 in'\n", &[]).is_ok());
    let above = told("client='x'\nunit='in'\nwaist=27\n[measures]\nhip=40\n");
    assert!(above[0].contains("outside the measures"), "{above:?}");
}

/// Catches a wrong type that passes, or is told on the wrong line.
#[test]
fn wrong_sorts_of_value() {
    for (line, at) in [
        ("client = 5", 1),
        ("client = true", 1),
        ("client = 'x'\ntaken = \"2026-05-02\"", 2),
        ("client = 'x'\ntaken = 20260502", 2),
        ("client = 'x'\ntaken = 2026-05-02T10:00:00", 2),
        ("client = 'x'\ntaken = 10:00:00", 2),
        ("client = 'x'\ntaken = 2026-13-02", 2),
        ("client = 'x'\nunit = 3", 2),
        ("client = 'x'\nunit = \"mm\"", 2),
        ("client = 'x'\nunit = in", 2),
        ("client = 'x'\nnotes = 3", 2),
        ("client = 'x'\nmeasures = 3", 2),
    ] {
        let tail = if line.contains("measures") {
            ""
        } else {
            "[measures]\nwaist = '27 in'\n"
        };
        let faults = read(&format!("{line}\n{tail}"), &[]).unwrap_err();
        assert_eq!(faults[0].line, Some(at), "{line}: {faults:?}");
        assert_eq!(faults.len(), 1, "{line}: {faults:?}");
    }
}

/// Catches a method's own measure that is refused, or one that hides a trade name.
#[test]
fn measures_of_her_own() {
    let page = "client='x'\nunit='in'\n[measures]\n\"Left elbow fold\" = 4\n\"seat\" = 40\n";
    assert!(read(page, &[]).is_err());
    let own = ["left elbow fold".to_owned(), "seat".to_owned()];
    let card = read(page, &own).unwrap();
    assert_eq!(card.get("LEFT elbow  fold"), Some(Length::inches(4.0)));
    assert_eq!(card.get("hip"), Some(Length::inches(40.0)));
    let near = read(&page.replace("Left elbow", "Left elbo"), &own).unwrap_err();
    assert_eq!(near[0].hint, "Did you mean `left elbow fold`?");
}

/// Catches names and notes that are changed or that break the reading.
#[test]
fn names_of_any_script() {
    let notes = "she said \"tighter\" 🙂\nשלום עולם\u{202e}\n# no remark\n[measures]\nwaist = 3";
    let page = format!(
        "client = 'Zoë \"Z\" Ọlá \u{202e}'\nunit = 'in'\nnotes = '''{notes}'''\n[measures]\nwaist = 27\n"
    );
    let card = read(&page, &[]).unwrap();
    assert_eq!(card.client(), "Zoë \"Z\" Ọlá \u{202e}");
    assert_eq!(card.notes(), notes);
    let windows = page.replace('\n', "\r\n");
    assert_eq!(read(&windows, &[]).unwrap().notes(), notes);
    assert!(read(&format!("\u{feff}{page}"), &[]).is_ok());
}

/// Catches notes that are never closed and swallow the card without a word.
#[test]
fn open_notes_are_told_where_they_open() {
    let page = "client = 'x'\nunit = 'in'\nnotes = \"\"\"never closed\nat all\n[measures]\nwaist = 27\nhipp = 4\n";
    let faults = read(page, &[]).unwrap_err();
    let lines: Vec<_> = faults.iter().map(|f| f.line.unwrap()).collect();
    assert_eq!(lines, [3, 7], "{faults:?}");
}

/// Catches a slope that is taken for a length.
#[test]
fn a_slope_is_an_angle() {
    let page = |v: &str| format!("client='x'\nunit='in'\n[measures]\n\"shoulder slope\" = {v}\n");
    for v in ["22", "\"22 deg\"", "\"22°\"", "22.0"] {
        let card = read(&page(v), &[]).unwrap();
        assert!((card.angle("shoulder slope").unwrap().in_degrees() - 22.0).abs() < 1e-9);
        assert_eq!(card.get("shoulder slope"), None);
    }
    assert!(read(&page("\"4 in\""), &[]).is_err());
}

/// Catches a floor length that keeps its heel, or a heel taken off another measure.
#[test]
fn the_heel_comes_off_floor_lengths_only() {
    let card = Card::new("x", Unit::Inch)
        .with("waist to floor", Length::inches(44.0))
        .with("nape to waist", Length::inches(16.0))
        .with("heel", Length::inches(3.0));
    assert_eq!(card.barefoot("waist to floor"), Some(Length::inches(41.0)));
    assert_eq!(
        card.barefoot("back waist length"),
        Some(Length::inches(16.0))
    );
    let replaced = card.clone().with("back waist length", Length::inches(15.0));
    assert_eq!(replaced.measures().count(), 3);
    assert_eq!(card.without("nape to waist").get("back waist length"), None);
}

/// Catches readings that a card's page loses, or takes without reading them.
#[test]
fn a_page_holds_two_readings_of_a_measure() {
    let page = |waist: &str| {
        read(
            &format!("client = \"x\"\nunit = \"in\"\n[measures]\nwaist = {waist}\n"),
            &[],
        )
    };
    let card = page("[\"27 1/2\", \"27 3/4\"]").unwrap();
    assert_eq!(card.get("waist"), Some(Length::inches(27.625)));
    assert_eq!(card.measured("waist").unwrap().readings.len(), 2);
    for bad in [
        "[]",
        "[\"27\", true]",
        "[\"27\", \"x\"]",
        "[\"1\", \"2\", \"3\", \"4\"]",
    ] {
        assert_eq!(page(bad).unwrap_err().len(), 1, "{bad}");
    }
}

/// Catches a mean of readings that do not agree, or one that is lost.
#[test]
fn readings_are_kept_and_their_mean_counts() {
    let inches = |all: &[f64]| all.iter().map(|i| Length::inches(*i)).collect::<Vec<_>>();
    let card = Card::new("x", Unit::Inch);
    let two = card.clone().with_readings("waist", &inches(&[27.5, 27.75]));
    let waist = two.measured("waist").unwrap();
    assert_eq!(waist.length, Length::inches(27.625));
    assert_eq!(waist.typed, "27 1/2 in, 27 3/4 in");
    assert_eq!(waist.readings.len(), 2);
    assert!(waist.is_agreed());
    let far = card.clone().with_readings("waist", &inches(&[27.5, 28.0]));
    assert!(!far.measured("waist").unwrap().is_agreed());
    let third = card
        .clone()
        .with_readings("waist", &inches(&[27.5, 28.5, 28.25]));
    assert_eq!(third.get("waist"), Some(Length::inches(28.375)));
    let narrow = card
        .clone()
        .with_readings("bust span", &inches(&[7.0, 7.25]));
    assert!(!narrow.measured("bust span").unwrap().is_agreed());
    let one = card.clone().with_readings("waist", &inches(&[27.5]));
    assert!(one.measured("waist").unwrap().readings.is_empty());
    assert_eq!(card.clone().with_readings("waist", &[]), card);
}

proptest! {
    /// Catches a panic, an endless repair, or a fault without words, on any page.
    #[test]
    fn any_page_is_read_or_refused(
        page in "(client|unit|taken|notes|\\[measures\\]|waist|hip|\"waist to hip\"|=|=| |\n|\n|'|\"|\"\"\"|27 1/2|40|2026-05-02|\\PC|[|]|\\{|,|#|\\\\){0,40}"
    ) {
        if let Err(faults) = read(&page, &[]) {
            prop_assert!(!faults.is_empty());
            let lines = page.split(['\n', '\r']).count();
            for fault in faults {
                prop_assert!(!fault.says.is_empty() && !fault.hint.is_empty());
                prop_assert!(fault.line.is_none_or(|l| l >= 1 && l <= lines));
            }
        }
    }
}

/// Catches an age that counts the year of birth, or a birthday that has not come yet.
#[test]
fn a_child_s_age_is_in_whole_years() {
    let born = |born: &str| {
        let page = PAGE.replace("unit = ", &format!("born = {born}\nunit = "));
        read(&page, &[])
    };
    assert_eq!(born("2014-05-02").unwrap().age(), Some(12));
    assert_eq!(born("2014-05-03").unwrap().age(), Some(11));
    assert_eq!(born("2026-05-02").unwrap().age(), Some(0));
    assert_eq!(read(PAGE, &[]).unwrap().age(), None);
    let faults = born("2027-01-01").unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].line, Some(3));
    assert!(
        born("\"2014-05-02\"").unwrap_err()[0]
            .says
            .contains("without quotes")
    );
}
