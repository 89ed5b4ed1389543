//! An amount of money, exact to its smallest coin.

use core::fmt;

use measure::fraction::ReadFault;
use measure::page::quoted;

/// Currencies without a smaller coin in use, and those with thousandths (ISO 4217, from memory). All
/// others have hundredths.
const WHOLE: [&str; 17] = [
    "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND",
    "VUV", "XAF", "XOF", "XPF",
];
const THOUSANDTHS: [&str; 7] = ["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"];

/// An amount in the smallest coin of a currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Money {
    minor: i64,
    currency: [u8; 3],
}

impl Money {
    /// An amount in the smallest coin; `None` when the code is not three capital letters.
    pub fn new(minor: i64, currency: &str) -> Option<Self> {
        let code: [u8; 3] = currency.as_bytes().try_into().ok()?;
        code.iter().all(u8::is_ascii_uppercase).then_some(Self {
            minor,
            currency: code,
        })
    }

    /// The amount that a text like `28.00 EUR` says.
    ///
    /// # Errors
    /// When it is not an amount of nothing or more and a currency of three letters, or has more places
    /// than the currency has.
    pub fn read(text: &str) -> Result<Self, ReadFault> {
        let fault = |says: String| {
            ReadFault {
            says,
            hint: "Write it like `28.00 EUR`, `28 USD` or `700000 VND`: an amount, and the three letters of the currency.".into(),
        }
        };
        let (amount, code) = text.trim().rsplit_once(' ').unwrap_or((text.trim(), ""));
        let (amount, code) = (amount.trim(), code.to_ascii_uppercase());
        let Some(zero) = Self::new(0, &code) else {
            return Err(fault(format!("{} names no currency.", quoted(text))));
        };
        let places = zero.places();
        let amount = amount.replace(',', ".");
        let (whole, part) = amount.split_once('.').unwrap_or((&amount, ""));
        let digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || !digits(whole) || !digits(part) {
            return Err(fault(format!("{} is no amount.", quoted(text))));
        }
        if part.len() > places {
            return Err(fault(format!(
                "{} has more places than {code} has.",
                quoted(text)
            )));
        }
        let all = format!("{whole}{part:0<places$}");
        match all.parse::<i64>() {
            Ok(minor) if all.len() <= 15 => Ok(Self { minor, ..zero }),
            _ => Err(fault(format!("{} is too much.", quoted(text)))),
        }
    }

    /// How many of the smallest coin.
    pub const fn minor(self) -> i64 {
        self.minor
    }

    /// The three letters of the currency (ISO 4217).
    pub fn currency(&self) -> &str {
        core::str::from_utf8(&self.currency).unwrap_or("")
    }

    /// How many places the currency has.
    pub fn places(self) -> usize {
        let code = self.currency();
        if WHOLE.contains(&code) {
            0
        } else if THOUSANDTHS.contains(&code) {
            3
        } else {
            2
        }
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let places = self.places();
        let unsigned = self.minor.unsigned_abs();
        let sign = if self.minor < 0 { "-" } else { "" };
        let each = 10_u64.pow(u32::try_from(places).unwrap_or(0));
        write!(f, "{sign}{}", unsigned / each)?;
        if places > 0 {
            write!(f, ".{:0places$}", unsigned % each)?;
        }
        write!(f, " {}", self.currency())
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Would catch an amount that goes through a fraction of two and comes out a cent less.
    #[test]
    fn amounts_are_exact() {
        for (text, minor, said) in [
            ("28.00 USD", 2800, "28.00 USD"),
            ("28 EUR", 2800, "28.00 EUR"),
            ("0,29 eur", 29, "0.29 EUR"),
            ("1.1 GBP", 110, "1.10 GBP"),
            ("700000 VND", 700_000, "700000 VND"),
            ("1.005 KWD", 1005, "1.005 KWD"),
        ] {
            let money = Money::read(text).unwrap();
            assert_eq!((money.minor(), money.to_string().as_str()), (minor, said));
        }
    }

    /// Would catch a price that is guessed at.
    #[test]
    fn what_is_no_amount_is_refused() {
        for text in [
            "",
            "28",
            "EUR",
            "28 EURO",
            "28 €",
            "$28",
            "-3 EUR",
            "28.001 EUR",
            "3.5 JPY",
            "1.2.3 EUR",
            "99999999999999999999 EUR",
            "28EUR",
            ". EUR",
            "1e3 EUR",
        ] {
            assert!(Money::read(text).is_err(), "{text}");
        }
    }

    proptest! {
        /// What is shown is read again as it was.
        #[test]
        fn shown_and_read_again(minor in 0_i64..1_000_000_000_000, code in "(EUR|JPY|KWD|NGN|VND)") {
            let money = Money::new(minor, &code).unwrap();
            prop_assert_eq!(Money::read(&money.to_string()).ok(), Some(money));
        }

        /// No text brings it down.
        #[test]
        fn any_text_is_answered(text in "\\PC{0,24}") {
            let _ = Money::read(&text);
        }
    }
}
