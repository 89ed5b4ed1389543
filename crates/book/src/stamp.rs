//! Stamps: a moment in UTC, to the second, as text that sorts by time.

use core::fmt;
use std::time::{SystemTime, UNIX_EPOCH};

use measure::Date;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};

/// A moment in UTC, to the second; printed as `2026-11-25T18:45:51Z`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stamp(i64);

/// Seconds of a day.
const DAY: i64 = 86_400;
/// The day number of 1970-01-01, where the seconds begin.
const BEGIN: i64 = 719_469;
/// The last second that four digits of a year can say.
const LAST: i64 = 253_402_300_799;

impl Stamp {
    /// The moment so many seconds after 1970 began; kept within the years 1970 to 9999.
    pub fn from_seconds(seconds: i64) -> Self {
        Self(seconds.clamp(0, LAST))
    }

    /// The computer's clock, now.
    pub fn now() -> Self {
        let since = SystemTime::now().duration_since(UNIX_EPOCH);
        Self::from_seconds(since.map_or(0, |d| i64::try_from(d.as_secs()).unwrap_or(LAST)))
    }

    /// Seconds since 1970 began.
    pub const fn seconds(self) -> i64 {
        self.0
    }

    /// The day of this moment in UTC (at her table it may already be the next, or still the one before).
    pub fn day(self) -> Date {
        let number = i32::try_from(self.0.div_euclid(DAY) + BEGIN).unwrap_or(i32::MAX);
        Date::from_day_number(number).unwrap_or(Date::LAST)
    }

    /// Reads what [`Stamp`] prints; nothing else.
    pub fn read(text: &str) -> Option<Self> {
        let (day, time) = text.strip_suffix('Z')?.split_once('T')?;
        let day = Date::read(day)?;
        let mut parts = time.splitn(3, ':');
        let mut part = |most: i64| {
            let t = parts.next()?;
            let plain = t.len() == 2 && t.bytes().all(|b| b.is_ascii_digit());
            t.parse::<i64>().ok().filter(|n| plain && *n <= most)
        };
        let (hours, minutes, seconds) = (part(23)?, part(59)?, part(59)?);
        let days = i64::from(day.day_number()) - BEGIN;
        let all = days * DAY + hours * 3600 + minutes * 60 + seconds;
        (all >= 0).then_some(Self(all))
    }
}

impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let s = self.0.rem_euclid(DAY);
        let (hours, minutes) = (s / 3600, s / 60 % 60);
        write!(f, "{}T{hours:02}:{minutes:02}:{:02}Z", self.day(), s % 60)
    }
}

impl ToSql for Stamp {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.to_string().into())
    }
}

impl FromSql for Stamp {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::read(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a day or a second lost on the way to text and back.
    #[test]
    fn stamps_read_back() {
        // 1,700,000,000 s is 2023-11-14 22:13:20 UTC (known from POSIX clocks; from memory).
        let known = Stamp::from_seconds(1_700_000_000);
        assert_eq!(known.to_string(), "2023-11-14T22:13:20Z");
        assert_eq!(Stamp::from_seconds(0).to_string(), "1970-01-01T00:00:00Z");
        assert_eq!(
            Stamp::from_seconds(i64::MAX).to_string(),
            "9999-12-31T23:59:59Z"
        );
        for seconds in [0, 59, 86_399, 86_400, 951_782_400, 1_700_000_000, LAST] {
            let stamp = Stamp::from_seconds(seconds);
            assert_eq!(Stamp::read(&stamp.to_string()), Some(stamp));
        }
        for text in [
            "",
            "2026-11-25",
            "2026-11-25T24:00:00Z",
            "2026-11-25T1:00:00Z",
            "2026-11-25T10:00:00",
        ] {
            assert_eq!(Stamp::read(text), None, "{text}");
        }
    }
}
