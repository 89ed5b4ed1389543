//! A day of the calendar. There is no clock here: a date is only what someone wrote.

use core::fmt;

/// A civil date of the years 1 to 9999.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// The date, or `None` when the calendar has no such day.
    ///
    /// # Example
    /// ```
    /// use measure::Date;
    /// assert!(Date::new(2028, 2, 29).is_some());
    /// assert!(Date::new(2026, 2, 29).is_none());
    /// ```
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let real = (1..=9999).contains(&year) && (1..=12).contains(&month);
        (real && day >= 1 && day <= days_in(year, month)).then_some(Self { year, month, day })
    }

    /// The date that a text like `2026-05-02` says, or `None`.
    pub fn read(text: &str) -> Option<Self> {
        let mut parts = text.trim().splitn(3, '-');
        let (y, m, d) = (parts.next()?, parts.next()?, parts.next()?);
        let digits = |t: &str, n: usize| t.len() == n && t.bytes().all(|b| b.is_ascii_digit());
        if !(digits(y, 4) && digits(m, 2) && digits(d, 2)) {
            return None;
        }
        Self::new(y.parse().ok()?, m.parse().ok()?, d.parse().ok()?)
    }

    /// The year.
    pub const fn year(self) -> u16 {
        self.year
    }

    /// The month, 1 to 12.
    pub const fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, from 1.
    pub const fn day(self) -> u8 {
        self.day
    }

    /// Days since a fixed day long ago, so that two dates can be told apart in days.
    pub fn day_number(self) -> i32 {
        // The year begins in March, so that a leap day is its last.
        let (y, m) = (i32::from(self.year), i32::from(self.month));
        let (y, m) = if m <= 2 { (y - 1, m + 9) } else { (y, m - 3) };
        365 * y + y.div_euclid(4) - y.div_euclid(100)
            + y.div_euclid(400)
            + (153 * m + 2) / 5
            + i32::from(self.day)
    }

    /// The last day that four digits of a year can say.
    pub const LAST: Self = Self {
        year: 9999,
        month: 12,
        day: 31,
    };

    /// The day with this [`Date::day_number`], or `None` outside the years 1 to 9999.
    pub fn from_day_number(number: i32) -> Option<Self> {
        let first = Self::new(1, 1, 1)?;
        if !(first.day_number()..=Self::LAST.day_number()).contains(&number) {
            return None;
        }
        // 400 years have 146,097 days; the guess is a year off at most.
        let guess = i64::from(number) * 400 / 146_097 + 1;
        let mut year = u16::try_from(guess).ok()?.min(9999);
        while Self::new(year, 1, 1)?.day_number() > number {
            year -= 1;
        }
        let mut month = 12;
        while Self::new(year, month, 1)?.day_number() > number {
            month -= 1;
        }
        let day = number - Self::new(year, month, 1)?.day_number() + 1;
        Self::new(year, month, u8::try_from(day).ok()?)
    }

    /// The day so many days later (earlier, below nothing), or `None` outside the years 1 to 9999.
    pub fn later(self, days: i32) -> Option<Self> {
        Self::from_day_number(self.day_number().checked_add(days)?)
    }
}

fn days_in(year: u16, month: u8) -> u8 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 31,
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a day that the calendar does not have, and text that only looks like a date.
    #[test]
    fn only_real_days() {
        for text in ["2026-05-02", "2000-02-29", "0001-01-01", "9999-12-31"] {
            assert_eq!(Date::read(text).unwrap().to_string(), text);
        }
        for text in [
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "2026-5-2",
            "0000-01-01",
            "2026-05-02T10:00:00",
            "02-05-2026",
            "",
            "2026-05",
            "２０２６-05-02",
            "+026-05-02",
        ] {
            assert_eq!(Date::read(text), None, "{text}");
        }
    }

    /// Catches a slip in the count of days, by walking eight hundred years day by day.
    #[test]
    fn days_are_counted_one_by_one() {
        let mut last = Date::new(1600, 1, 1).unwrap().day_number();
        for year in 1600..2400 {
            for month in 1..=12 {
                for day in 1..=days_in(year, month) {
                    let now = Date::new(year, month, day).unwrap().day_number();
                    if (year, month, day) != (1600, 1, 1) {
                        assert_eq!(now, last + 1);
                    }
                    last = now;
                    let date = Date::new(year, month, day).unwrap();
                    assert_eq!(Date::from_day_number(now), Some(date));
                }
            }
        }
    }

    /// Catches a step over the ends of the calendar, or a day lost at a turn of the year.
    #[test]
    fn days_later_and_earlier() {
        let date = |t: &str| Date::read(t).unwrap();
        assert_eq!(date("2027-12-30").later(3), Some(date("2028-01-02")));
        assert_eq!(date("2028-03-01").later(-1), Some(date("2028-02-29")));
        assert_eq!(date("0001-01-01").later(-1), None);
        assert_eq!(Date::LAST.later(1), None);
        assert_eq!(Date::LAST.later(i32::MAX), None);
        assert_eq!(date("0001-01-01").later(0), Some(date("0001-01-01")));
        assert_eq!(Date::LAST.later(0), Some(Date::LAST));
    }
}
