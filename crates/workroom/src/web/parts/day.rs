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
}
