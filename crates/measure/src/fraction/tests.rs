//! Reading and showing lengths, form by form.

use proptest::prelude::*;

use super::*;

fn inches(text: &str) -> f64 {
    read(text, Some(Unit::Inch)).unwrap().in_inches()
}

/// Catches a form of the card's page that is not understood.
#[test]
fn every_way_of_writing_twenty_seven_and_a_half() {
    for text in [
        "27 1/2",
        "27-1/2",
        "27.5",
        "27,5",
        "27½",
        "27 ½",
        "27 1/2 in",
        "27 1/2\"",
        "27 1/2″",
        "27 1/2”",
        "27 1/2''",
        "27.5in",
        "27 1/2 inches",
        "27 1/2 inch",
        " 27  1⁄2 ",
        "27–1/2 in.",
        "2 ft 3 1/2 in",
        "2' 3 1/2\"",
        "2′ 3½″",
        "+27.5",
        "27\u{a0}1/2",
        "27 2/4 IN",
    ] {
        assert!((inches(text) - 27.5).abs() < 1e-9, "{text}");
    }
    for (text, mm) in [
        ("70 cm", 700.0),
        ("700 mm", 700.0),
        ("70cm", 700.0),
        ("1,65 m", 1650.0),
        ("3/8 in", 9.525),
        ("⅜", 9.525),
        ("-1/2 in", -12.7),
        ("−½", -12.7),
        (".5", 12.7),
        ("2 yd", 1828.8),
        ("5 ft", 1524.0),
        ("0", 0.0),
    ] {
        let length = read(text, Some(Unit::Inch)).unwrap();
        assert!((length.in_mm() - mm).abs() < 1e-9, "{text}: {length:?}");
    }
    let bare = read("69,5", Some(Unit::Cm)).unwrap();
    assert!((bare.in_mm() - 695.0).abs() < 1e-9);
}

/// Catches a text that is no length and passes as one.
#[test]
fn what_is_no_length() {
    for text in [
        "",
        "  ",
        "waist",
        "27 1/0",
        "27 3/2",
        "271/2",
        "27 5",
        "27.5 1/2",
        "27 1/2 1/2",
        "27 in cm",
        "27-28",
        "1e3",
        "inf",
        "nan",
        "27 1/2 ln",
        "in",
        "1/2/2",
        "--3",
        "27 / ",
        "1.2.3",
        "1,234.5",
        "5' 14\"",
        "٢٧",
        "27🙂",
        "0x1b",
        "999999999999999999999999999999999999999999999999999999999999999999999999",
    ] {
        let fault = read(text, Some(Unit::Inch)).unwrap_err();
        assert!(
            fault.says.ends_with('.') || fault.says.ends_with('?'),
            "{text}: {fault}"
        );
        assert!(!fault.hint.is_empty());
    }
    assert_eq!(
        read("271/2", Some(Unit::Inch)).unwrap_err().hint,
        "Did you mean `27 1/2`?"
    );
    let fault = read("27 1/2", None).unwrap_err();
    assert_eq!(
        fault.to_string(),
        "A number by itself is no length. 27 1/2 what? Write `27 1/2 in` or `27 1/2 cm`."
    );
}

/// Catches a wrong fraction, a minus before nothing, a decimal that is not a whole millimetre.
#[test]
fn shown_as_on_the_tape() {
    let sixteenths = Shown {
        unit: Unit::Inch,
        fineness: Fineness::Sixteenth,
    };
    let halves = Shown {
        unit: Unit::Cm,
        fineness: Fineness::FiveMillimetres,
    };
    for (length, how, says) in [
        (Length::inches(9.125), Shown::inches(), "9 1/8 in"),
        (Length::inches(0.375), Shown::inches(), "3/8 in"),
        (Length::inches(-0.5), Shown::inches(), "-1/2 in"),
        (Length::inches(-0.01), Shown::inches(), "0 in"),
        (Length::inches(8.99), Shown::inches(), "9 in"),
        (Length::inches(9.0625), Shown::inches(), "9 1/8 in"),
        (Length::inches(-9.0625), Shown::inches(), "-9 1/8 in"),
        (Length::inches(9.0625), sixteenths, "9 1/16 in"),
        (Length::inches(9.5), sixteenths, "9 1/2 in"),
        (Length::mm(232.4), Shown::cm(), "23.2 cm"),
        (Length::mm(230.2), Shown::cm(), "23 cm"),
        (Length::mm(-3.0), Shown::cm(), "-0.3 cm"),
        (Length::mm(233.0), halves, "23.5 cm"),
    ] {
        assert_eq!(show(length, how), says);
    }
}

proptest! {
    /// Catches a shown length that can't be read back, or is rounded by more than half a part.
    #[test]
    fn what_is_shown_can_be_read(mm in -4000.0..4000.0_f64, pick in 0_usize..4) {
        let how = [
            Shown::inches(),
            Shown::cm(),
            Shown { unit: Unit::Inch, fineness: Fineness::Sixteenth },
            Shown { unit: Unit::Cm, fineness: Fineness::FiveMillimetres },
        ][pick];
        let length = Length::mm(mm);
        let back = read(&show(length, how), None).unwrap();
        prop_assert!((back - length).abs().in_mm() <= how.part().in_mm() / 2.0 + 1e-6);
        prop_assert!((back - how.rounded(length)).abs().in_mm() < 1e-9);
    }

    /// Catches a panic on any text.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,20}|[0-9 ,./'\"\\-incm½]{0,12}") {
        if let Ok(length) = read(&text, Some(Unit::Cm)) {
            prop_assert!(length.in_mm().is_finite());
        }
    }
}
