//! What a typed number says, in the card's unit and in the other.

use axum::extract::Query;
use maud::{Markup, html};
use measure::Length;
use measure::fraction::{self, Shown, Unit};

use crate::web::clients::{Sent, sent};
use crate::web::parts::number::told;
use crate::web::parts::quoted::quoted;

/// Lengths over this are no measure of a body, in inches; slopes in degrees.
const LONGEST: f64 = 200.0;
const STEEPEST: f64 = 60.0;

/// A text as it is kept and what it is in mm (degrees for an angle).
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Understood {
    pub(super) text: String,
    pub(super) value: f64,
}

/// Reads what she typed; what it can't be, in a sentence.
pub(super) fn read(measure: &str, typed: &str, unit: Unit) -> Result<Understood, String> {
    let text = written(typed);
    if super::is_angle(measure) {
        return degrees(&text);
    }
    let one_word = !text.trim().is_empty() && !text.trim().contains(char::is_whitespace);
    if one_word && !text.chars().any(char::is_numeric) {
        let like = if unit == Unit::Inch { "27 1/2" } else { "69.5" };
        return Err(format!(
            "There is no number in “{}”. Write it in figures, like {like}.",
            text.trim()
        ));
    }
    let length = fraction::read(&text, Some(unit)).map_err(|f| quoted(&f.to_string()))?;
    let inches = length.in_inches();
    if inches < 0.0 || (inches == 0.0 && measure != "heel") {
        return Err("A measure is more than nothing. Only a heel may be 0.".to_owned());
    }
    if inches > LONGEST {
        return Err(format!(
            "{} is longer than anyone. Is it written in the other unit?",
            fraction::show(length, Shown::usual(unit))
        ));
    }
    Ok(Understood {
        text,
        value: length.in_mm(),
    })
}

fn degrees(text: &str) -> Result<Understood, String> {
    let number = text
        .trim_end_matches("degrees")
        .trim_end_matches("deg")
        .trim_end_matches('\u{b0}')
        .trim()
        .replace(',', ".");
    let plain = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    match number.parse::<f64>() {
        Ok(value) if plain && value > 0.0 && value < STEEPEST => Ok(Understood {
            text: text.to_owned(),
            value,
        }),
        Ok(_) if plain => {
            Err("A shoulder slopes by more than 0 and less than 60 degrees.".to_owned())
        }
        _ => Err("Write degrees, like 21 or 21.5.".to_owned()),
    }
}

/// `27 3 8`, the way it is said aloud, as it is written: `27 3/8`. All else stays as it was typed.
fn written(typed: &str) -> String {
    let typed = typed.trim();
    let parts: Vec<&str> = typed.split_whitespace().collect();
    if let [whole, over, under] = parts[..]
        && parts
            .iter()
            .all(|p| p.len() <= 3 && p.bytes().all(|b| b.is_ascii_digit()))
    {
        return format!("{whole} {over}/{under}");
    }
    typed.to_owned()
}

/// The number with the eighth (or tenth of a centimetre) that was tapped, if it has no part yet.
pub(super) fn with_part(typed: &str, part: &str, unit: Unit) -> String {
    let typed = typed.trim();
    let whole = !typed.is_empty() && typed.bytes().all(|b| b.is_ascii_digit());
    let figure = part.len() == 1 && part.bytes().all(|b| b.is_ascii_digit());
    if !figure || part == "0" || !(whole || (typed.is_empty() && unit == Unit::Inch)) {
        return typed.to_owned();
    }
    match unit {
        Unit::Cm => format!("{typed}.{part}"),
        Unit::Inch => {
            let Some(eighth) = eighth(part) else {
                return typed.to_owned();
            };
            format!("{typed} {eighth}").trim().to_owned()
        }
    }
}

/// So many eighths as a fraction in its least terms.
pub(super) fn eighth(part: &str) -> Option<&'static str> {
    Some(match part {
        "1" => "1/8",
        "2" => "1/4",
        "3" => "3/8",
        "4" => "1/2",
        "5" => "5/8",
        "6" => "3/4",
        "7" => "7/8",
        _ => return None,
    })
}

/// A length in a unit, and in the other.
pub(super) fn both(mm: f64, unit: Unit) -> Option<(String, String)> {
    let length = Length::try_mm(mm)?;
    let other = match unit {
        Unit::Inch => Unit::Cm,
        Unit::Cm => Unit::Inch,
    };
    Some((
        fraction::show(length, Shown::usual(unit)),
        fraction::show(length, Shown::usual(other)),
    ))
}

/// What a text is understood as, for the line under the boxes.
pub(super) fn line(measure: &str, typed: &str, unit: Unit) -> Markup {
    if typed.trim().is_empty() {
        return html! {};
    }
    match read(measure, typed, unit) {
        Ok(understood) if super::is_angle(measure) => {
            html! { (format!("{} degrees", understood.value)) }
        }
        Ok(understood) => match both(understood.value, unit) {
            Some((one, other)) => html! { (told(&one)) ", that is " (told(&other)) },
            None => html! {},
        },
        Err(says) => html! { (told(&says)) },
    }
}

pub(super) async fn echo(Query(asked): Query<Sent>) -> Markup {
    let unit = if sent(&asked, "unit") == "cm" {
        Unit::Cm
    } else {
        Unit::Inch
    };
    let text: String = sent(&asked, "text").chars().take(80).collect();
    line(sent(&asked, "measure"), &text, unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a way of writing a length that is not understood, or is understood as another.
    #[test]
    fn lengths_are_read_as_she_writes_them() {
        for typed in ["27 3/8", "27-3/8", "27.375", "27 3 8", " 27 3/8 in "] {
            let read = read("waist", typed, Unit::Inch).unwrap_or_else(|e| panic!("{typed}: {e}"));
            assert!((read.value - 27.375 * 25.4).abs() < 1e-9, "{typed}");
        }
        assert!((read("waist", "69,5", Unit::Cm).unwrap().value - 695.0).abs() < 1e-9);
        assert!((read("waist", "69.5 cm", Unit::Inch).unwrap().value - 695.0).abs() < 1e-9);
        assert!((read("shoulder slope", "21\u{b0}", Unit::Cm).unwrap().value - 21.0).abs() < 1e-9);
        for typed in ["", "wide", "-3", "0", "27 3/0", "900", "27 3 8 2"] {
            assert!(read("waist", typed, Unit::Inch).is_err(), "{typed}");
        }
        assert!(read("heel", "0", Unit::Inch).is_ok());
        assert!(read("shoulder slope", "80", Unit::Inch).is_err());
        assert!(
            read("train", "0", Unit::Inch).is_err(),
            "the engine would not read the card"
        );
    }

    /// Catches a reading that is kept, and makes the whole card unreadable for the engine afterwards.
    #[test]
    fn what_is_kept_is_read_by_the_engine() {
        let texts = [
            "0", "0.0", "27", "27 3/8", "27 3 8", "27-3/8", "27,5", "27\u{bd}", "200", "200.1",
            "21\u{b0}", "59.9", "60", "21 deg", "70 cm", "700 mm", "5' 4\"", "2 yd", "+5", "1e1",
            "inf", "NaN", ".5", "5.", "1.2.3",
        ];
        for measure in measure::names::all() {
            for unit in [Unit::Inch, Unit::Cm] {
                for text in texts {
                    let Ok(understood) = read(measure.name, text, unit) else {
                        continue;
                    };
                    let page = format!(
                        "client = \"A\"\nunit = \"{}\"\n[measures]\n\"{}\" = {}\n",
                        unit.sign(),
                        measure.name,
                        crate::web::card_text::quoted(&understood.text)
                    );
                    let card = measure::card::read(&page, &[]);
                    assert!(card.is_ok(), "{} {text}: {card:?}", measure.name);
                    let length = card.ok().and_then(|c| c.get(measure.name));
                    if let Some(length) = length {
                        assert!((length.in_mm() - understood.value).abs() < 1e-9, "{text}");
                    }
                }
            }
        }
    }

    /// Catches a tapped eighth that is lost, or added to a number that has a part already.
    #[test]
    fn tapped_parts_go_behind_whole_numbers_only() {
        assert_eq!(with_part("27", "3", Unit::Inch), "27 3/8");
        assert_eq!(with_part("27", "4", Unit::Inch), "27 1/2");
        assert_eq!(with_part("27 1/8", "3", Unit::Inch), "27 1/8");
        assert_eq!(with_part("27", "0", Unit::Inch), "27");
        assert_eq!(with_part("27", "", Unit::Inch), "27");
        assert_eq!(with_part("27", "9", Unit::Inch), "27");
        assert_eq!(with_part("69", "4", Unit::Cm), "69.4");
        assert_eq!(with_part("69.5", "4", Unit::Cm), "69.5");
        assert_eq!(with_part("27", "3<", Unit::Inch), "27");
    }

    /// Catches the signs of a program in a sentence for a dressmaker.
    #[test]
    fn what_can_t_be_read_is_said_in_plain_words() {
        let says = read("knee", "fourteen and a bit", Unit::Inch).unwrap_err();
        assert!(
            says.contains("\u{201c}bit\u{201d}") && !says.contains('`'),
            "{says}"
        );
    }

    /// Catches a word taken for a unit that nobody wrote.
    #[test]
    fn a_word_without_a_number_is_no_unit() {
        let says = read("bust", "twenty", Unit::Inch).unwrap_err();
        assert_eq!(
            says,
            "There is no number in “twenty”. Write it in figures, like 27 1/2."
        );
        assert!(read("bust", "½", Unit::Inch).is_ok());
    }

    /// Catches an echo that says less than both units, or lets a typed text into the page as it is.
    #[test]
    fn both_units_are_echoed_and_text_is_escaped() {
        let html = line("waist", "27 1/2", Unit::Inch).into_string();
        assert!(html.contains("69.9 cm"), "{html}");
        let html = line("waist", "<b>", Unit::Inch).into_string();
        assert!(!html.contains("<b>"), "{html}");
        assert_eq!(line("waist", " ", Unit::Inch).into_string(), "");
    }
}
