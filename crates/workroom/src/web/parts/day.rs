//! Days in words.

use measure::date::Date;
use sheet::words::ENGLISH;

const DAYS: [&str; 7] = [
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
];

/// The name of a month, from 1.
pub(crate) fn month(date: Date) -> &'static str {
    ENGLISH
        .locale
        .months
        .get(usize::from(date.month().saturating_sub(1)))
        .copied()
        .unwrap_or("January")
}

/// The day of the week.
pub(crate) fn weekday(date: Date) -> &'static str {
    // The count begins on a Monday but for one day (25 November 2026 is a Wednesday).
    let nth = usize::try_from((date.day_number() + 1).rem_euclid(7)).unwrap_or(0);
    DAYS.get(nth).copied().unwrap_or("Monday")
}

/// "12 November 2026".
pub(crate) fn long(date: Date) -> String {
    format!("{} {} {}", date.day(), month(date), date.year())
}

/// "Thursday 26 November".
pub(crate) fn named(date: Date) -> String {
    format!("{} {} {}", weekday(date), date.day(), month(date))
}

/// How far it is from today: "tomorrow", "in 9 days", "3 days ago".
pub(crate) fn away(date: Date, today: Date) -> String {
    match date.day_number() - today.day_number() {
        0 => "today".into(),
        1 => "tomorrow".into(),
        -1 => "yesterday".into(),
        n if n > 0 => format!("in {n} days"),
        n => format!("{} days ago", -n),
    }
}

/// How long ago it was, as it is said of a card: nothing within six weeks, then "9 weeks old",
/// "5 months old", "two years old".
pub(crate) fn old(date: Date, today: Date) -> Option<String> {
    const YEARS: [&str; 9] = [
        "a year",
        "two years",
        "three years",
        "four years",
        "five years",
        "six years",
        "seven years",
        "eight years",
        "nine years",
    ];
    let days = today.day_number() - date.day_number();
    let months = (i32::from(today.year()) - i32::from(date.year())) * 12 + i32::from(today.month())
        - i32::from(date.month())
        - i32::from(today.day() < date.day());
    match (days, months) {
        (..=42, _) => None,
        (_, ..=2) => Some(format!("{} weeks old", days / 7)),
        (_, 3..=11) => Some(format!("{months} months old")),
        _ => {
            let years = months / 12;
            let said = usize::try_from(years - 1).ok().and_then(|i| YEARS.get(i));
            Some(match said {
                Some(said) => format!("{said} old"),
                None => format!("{years} years old"),
            })
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;

    #[test]
    fn days_are_named_as_in_the_calendar() {
        // 25 November 2026 is a Wednesday (any perpetual calendar).
        let day = Date::read("2026-11-25").unwrap();
        assert_eq!(named(day), "Wednesday 25 November");
        assert_eq!(weekday(Date::read("2000-01-01").unwrap()), "Saturday");
        assert_eq!(away(day.later(1).unwrap(), day), "tomorrow");
        assert_eq!(away(day.later(-3).unwrap(), day), "3 days ago");
    }

    /// Would catch an old card that passes for a fresh one, and a year that is counted in weeks.
    #[test]
    fn a_card_grows_old_in_weeks_months_and_years() {
        let today = Date::read("2026-11-25").unwrap();
        let old = |day: &str| old(Date::read(day).unwrap(), today);
        assert_eq!(old("2026-10-14"), None, "six weeks to the day");
        assert_eq!(old("2026-10-13").as_deref(), Some("6 weeks old"));
        assert_eq!(old("2026-08-26").as_deref(), Some("13 weeks old"));
        assert_eq!(old("2026-08-25").as_deref(), Some("3 months old"));
        assert_eq!(old("2025-11-26").as_deref(), Some("11 months old"));
        assert_eq!(old("2025-11-25").as_deref(), Some("a year old"));
        assert_eq!(old("2024-10-20").as_deref(), Some("two years old"));
        assert_eq!(old("2010-01-01").as_deref(), Some("16 years old"));
        assert_eq!(old("2027-01-01"), None);
    }
}
