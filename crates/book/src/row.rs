//! Reading and writing columns whose types belong to other crates.

use measure::Date;
use rusqlite::types::Type;
use rusqlite::{OptionalExtension, Params, Row, Transaction};

use crate::{Book, Stamp, Trouble};

/// A date in a column that always has one.
pub(crate) fn date(row: &Row<'_>, name: &str) -> rusqlite::Result<Date> {
    let text: String = row.get(name)?;
    Date::read(&text).ok_or_else(|| odd(name, &text))
}

/// A date in a column that may be empty.
pub(crate) fn date_if(row: &Row<'_>, name: &str) -> rusqlite::Result<Option<Date>> {
    let text: Option<String> = row.get(name)?;
    text.map(|t| Date::read(&t).ok_or_else(|| odd(name, &t)))
        .transpose()
}

/// One word of a short list, by the word that stands in the file.
pub(crate) fn word<T: Copy>(row: &Row<'_>, name: &str, words: &[(T, &str)]) -> rusqlite::Result<T> {
    let text: String = row.get(name)?;
    let known = words.iter().find(|(_, w)| *w == text).map(|(t, _)| *t);
    known.ok_or_else(|| odd(name, &text))
}

/// A count, which SQLite keeps with a sign.
pub(crate) fn count(row: &Row<'_>, name: &str) -> rusqlite::Result<u64> {
    row.get::<_, i64>(name)
        .map(|n| u64::try_from(n).unwrap_or(0))
}

/// A count, as SQLite keeps it.
pub(crate) fn signed(count: u64) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

fn odd(name: &str, text: &str) -> rusqlite::Error {
    let why = format!("the column {name} can't hold {text:?}");
    rusqlite::Error::FromSqlConversionFailure(0, Type::Text, why.into())
}

/// A short list of words of the trade, each with the word that stands in the file.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$of:meta])* $one:ident = $word:literal),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $name { $($(#[$of])* $one),* }

        impl $name {
            /// All of them, in their order.
            pub const ALL: &'static [Self] = &[$(Self::$one),*];

            /// The word that stands in the file.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$one => $word),* }
            }

            /// Reads such a word.
            pub fn read(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.word() == word)
            }
        }

        impl rusqlite::types::ToSql for $name {
            fn to_sql(&self) -> rusqlite::Result<rusqlite::types::ToSqlOutput<'_>> {
                Ok(self.word().into())
            }
        }

        impl rusqlite::types::FromSql for $name {
            fn column_result(
                value: rusqlite::types::ValueRef<'_>,
            ) -> rusqlite::types::FromSqlResult<Self> {
                Self::read(value.as_str()?).ok_or(rusqlite::types::FromSqlError::InvalidType)
            }
        }
    };
}
pub(crate) use words;

/// That a change met no row.
pub(crate) fn met(rows: usize, what: &str) -> Result<(), Trouble> {
    if rows == 0 {
        Err(Trouble::Missing(what.to_owned()))
    } else {
        Ok(())
    }
}

impl Book {
    /// All rows of a question, each turned into a value.
    pub(crate) fn all<T>(
        &self,
        sql: &str,
        given: impl Params,
        mut each: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, Trouble> {
        all(&self.db, sql, given, &mut each).map_err(|trouble| self.with_backup(trouble))
    }

    /// The one row of a question, if there is one.
    pub(crate) fn one<T>(
        &self,
        sql: &str,
        given: impl Params,
        each: impl FnOnce(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Option<T>, Trouble> {
        one(&self.db, sql, given, each).map_err(|trouble| self.with_backup(trouble))
    }

    /// Does all of `work` or nothing of it; when it answers, it is on the disk.
    pub(crate) fn write<T>(
        &mut self,
        work: impl FnOnce(&Transaction<'_>, Stamp) -> Result<T, Trouble>,
    ) -> Result<T, Trouble> {
        if self.to_read {
            return Err(Trouble::ReadOnly);
        }
        let now = (self.clock)();
        let done = self
            .db
            .transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)
            .map_err(Trouble::from)
            .and_then(|all| {
                let answer = work(&all, now)?;
                all.commit()?;
                Ok(answer)
            });
        done.map_err(|trouble| self.with_backup(trouble))
    }

    /// Damage that is met while the book is open: what was the last good backup.
    fn with_backup(&self, trouble: Trouble) -> Trouble {
        match (trouble, self.folder()) {
            (Trouble::Damaged { backup: None }, Some(folder)) => Trouble::Damaged {
                backup: crate::backup::last_good(folder),
            },
            (trouble, _) => trouble,
        }
    }
}

/// All rows of a question, each turned into a value.
pub(crate) fn all<T>(
    db: &rusqlite::Connection,
    sql: &str,
    given: impl Params,
    each: &mut dyn FnMut(&Row<'_>) -> rusqlite::Result<T>,
) -> Result<Vec<T>, Trouble> {
    let mut asked = db.prepare_cached(sql)?;
    let rows = asked.query_map(given, each)?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// The one row of a question, if there is one.
pub(crate) fn one<T>(
    db: &rusqlite::Connection,
    sql: &str,
    given: impl Params,
    each: impl FnOnce(&Row<'_>) -> rusqlite::Result<T>,
) -> Result<Option<T>, Trouble> {
    Ok(db.prepare_cached(sql)?.query_row(given, each).optional()?)
}
