//! Ids for the file and short numbers for people.

use core::fmt;

use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use rusqlite::{Connection, params};
use uuid::Uuid;

use crate::Trouble;

/// The name of a row for ever: a UUID of version 7 (RFC 9562), which sorts by the time it was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Id(Uuid);

impl Id {
    /// A fresh one. Never the same twice, also when the clock is put back.
    #[expect(clippy::new_without_default, reason = "each one is another")]
    pub fn new() -> Self {
        Self(Uuid::now_v7())
    }

    /// Reads what [`Id`] prints.
    pub fn read(text: &str) -> Option<Self> {
        Uuid::try_parse(text).ok().map(Self)
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.hyphenated().fmt(f)
    }
}

impl ToSql for Id {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.to_string().into())
    }
}

impl FromSql for Id {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::read(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

macro_rules! numbers {
    ($($(#[$doc:meta])* $name:ident),*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl $name {
            /// Reads a plain number, as it stands in an address.
            pub fn read(text: &str) -> Option<Self> {
                let plain = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
                text.parse().ok().filter(|n| plain && *n > 0).map(Self)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl ToSql for $name {
            fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
                Ok(self.0.into())
            }
        }

        impl FromSql for $name {
            fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
                u32::column_result(value).map(Self)
            }
        }
    )*};
}

numbers!(
    /// A client's number. The demo's clients count from 9001 on, so that hers begin with 1.
    ClientNo,
    /// A card's number among the cards of its client, from 1 on.
    CardNo,
    /// An order's number. The demo's orders count from 9001 on, so that hers begin with 1.
    OrderNo,
    /// A version's number in its order, from 1 on.
    VersionNo,
    /// A fitting's number in its order, from 1 on.
    FittingNo,
    /// A quote's number in its order, from 1 on.
    QuoteNo
);

/// The first number of a kind: the demo's clients and orders stand apart.
fn first(kind: &str) -> u32 {
    if kind.starts_with("demo ") { 9001 } else { 1 }
}

/// Gives out the next number of a kind and never that one again, also if its row is erased.
pub(crate) fn next_number(db: &Connection, kind: &str) -> Result<u32, Trouble> {
    let next = db.query_row(
        "INSERT INTO next_number (kind, next) VALUES (?1, ?2 + 1)
         ON CONFLICT (kind) DO UPDATE SET next = next + 1 RETURNING next - 1",
        params![kind, first(kind)],
        |row| row.get(0),
    )?;
    Ok(next)
}

/// The next number among all of hers or all of the demo's; one that the other side has is left out.
pub(crate) fn next_apart(
    db: &Connection,
    kind: &str,
    table: &str,
    demo: bool,
) -> Result<u32, Trouble> {
    let kind = if demo {
        format!("demo {kind}")
    } else {
        kind.to_owned()
    };
    loop {
        let number = next_number(db, &kind)?;
        let taken: bool = db.query_row(
            &format!("SELECT EXISTS (SELECT 1 FROM \"{table}\" WHERE number = ?1)"),
            [number],
            |row| row.get(0),
        )?;
        if !taken {
            return Ok(number);
        }
    }
}
