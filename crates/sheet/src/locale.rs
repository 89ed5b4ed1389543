//! How a language writes lengths, figures and dates.

use measure::fraction::{Shown, Unit, show_number};
use measure::{Date, Length};

/// How parts of an inch are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fractions {
    /// As halves to 32nds, which the sheet draws: `9 1/8`.
    Drawn,
    /// With the decimal sign: `9.125`.
    Decimal,
}

/// The ways of one language with figures and dates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Locale {
    /// Between a whole and its tenths.
    pub decimal: &'static str,
    /// Between thousands, from five figures on.
    pub thousands: &'static str,
    /// How parts of an inch are written.
    pub fractions: Fractions,
    /// The sign or word for inches, behind a figure.
    pub inch: &'static str,
    /// The sign or word for centimetres, behind a figure.
    pub cm: &'static str,
    /// The months as they stand in a date.
    pub months: [&'static str; 12],
    /// Nouns begin with a large letter wherever they stand.
    pub large_nouns: bool,
    /// A date, of `{day}`, `{month}` (its name), `{number}` (of the month) and `{year}`.
    pub date: &'static str,
}

impl Locale {
    /// The sign of a unit.
    pub const fn sign(&self, unit: Unit) -> &'static str {
        match unit {
            Unit::Inch => self.inch,
            Unit::Cm => self.cm,
        }
    }

    /// A length without its unit.
    pub fn bare(&self, length: Length, shown: Shown) -> String {
        if shown.unit == Unit::Inch && self.fractions == Fractions::Decimal {
            let said = format!("{:.4}", shown.rounded(length).in_inches());
            return self.figure(said.trim_end_matches('0').trim_end_matches('.'));
        }
        self.figure(&show_number(length, shown))
    }

    /// A length with its unit, which no line end parts from it.
    pub fn length(&self, length: Length, shown: Shown) -> String {
        let number = self.bare(length, shown);
        format!("{number}\u{a0}{}", self.sign(shown.unit))
    }

    /// A number written with a point, in the language's own signs: `12500.5` as `12,500.5`.
    pub fn figure(&self, number: &str) -> String {
        let (first, fraction) = number.split_once(' ').map_or((number, ""), |(w, f)| (w, f));
        let (sign, first) = first
            .strip_prefix('-')
            .map_or(("", first), |rest| ("-", rest));
        let (whole, part) = first.split_once('.').unwrap_or((first, ""));
        if whole.is_empty() || !whole.bytes().all(|b| b.is_ascii_digit()) {
            return number.to_owned();
        }
        let mut out = sign.to_owned();
        for (i, digit) in whole.chars().enumerate() {
            if whole.len() >= 5 && i > 0 && (whole.len() - i) % 3 == 0 {
                out.push_str(self.thousands);
            }
            out.push(digit);
        }
        if !part.is_empty() {
            out.push_str(self.decimal);
            out.push_str(part);
        }
        if !fraction.is_empty() {
            out.push(' ');
            out.push_str(fraction);
        }
        out
    }

    /// A noun that is the head of a line, as it stands within one.
    pub fn within(&self, noun: &str) -> String {
        if self.large_nouns {
            noun.to_owned()
        } else {
            noun.to_lowercase()
        }
    }

    /// A day as it is read.
    pub fn date(&self, date: Date) -> String {
        let month = self
            .months
            .get(usize::from(date.month()).saturating_sub(1))
            .copied()
            .unwrap_or_default();
        crate::words::fill(
            self.date,
            &[
                ("day", &date.day().to_string()),
                ("month", month),
                ("number", &date.month().to_string()),
                ("year", &date.year().to_string()),
            ],
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::ENGLISH;

    // Catches a fraction, a sign or a thousand written the wrong way.
    #[test]
    fn lengths_are_written_the_language_s_way() {
        let english = ENGLISH.locale;
        let other = Locale {
            decimal: ",",
            thousands: ".",
            fractions: Fractions::Decimal,
            inch: "hüvelyk",
            date: "{year}. {number}. {day}.",
            ..english
        };
        let inches = |x: f64| Length::inches(x);
        let cases = [
            (9.125, "9 1/8\u{a0}in", "9,125\u{a0}hüvelyk"),
            (-0.5, "-1/2\u{a0}in", "-0,5\u{a0}hüvelyk"),
            (40.0, "40\u{a0}in", "40\u{a0}hüvelyk"),
            (12500.25, "12,500 1/4\u{a0}in", "12.500,25\u{a0}hüvelyk"),
        ];
        for (x, a, b) in cases {
            assert_eq!(english.length(inches(x), Shown::inches()), a);
            assert_eq!(other.length(inches(x), Shown::inches()), b);
        }
        assert_eq!(english.bare(Length::cm(101.6), Shown::cm()), "101.6");
        assert_eq!(other.bare(Length::cm(101.6), Shown::cm()), "101,6");
        let day = Date::new(2026, 5, 2).unwrap();
        assert_eq!(english.date(day), "2 May 2026");
        assert_eq!(other.date(day), "2026. 5. 2.");
    }
}
