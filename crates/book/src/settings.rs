//! Her way: settings by name.

use std::collections::BTreeMap;

use rusqlite::params;

use crate::row::one;
use crate::{Book, Trouble};

impl Book {
    /// A setting, if she ever set it.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn setting(&self, name: &str) -> Result<Option<String>, Trouble> {
        one(
            &self.db,
            "SELECT value FROM setting WHERE name = ?1",
            [name],
            |row| row.get(0),
        )
    }

    /// All settings that were ever set, by name; the book's own (`book/...`) are not among them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn settings(&self) -> Result<BTreeMap<String, String>, Trouble> {
        let all = self.all(
            "SELECT name, value FROM setting WHERE name NOT LIKE 'book/%'",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        Ok(all.into_iter().collect())
    }

    /// Sets one.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn set(&mut self, name: &str, value: &str) -> Result<(), Trouble> {
        self.set_all(&[(name, Some(value))])
    }

    /// Sets several at once, all or none; `None` goes back to the habit of the program.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn set_all(&mut self, settings: &[(&str, Option<&str>)]) -> Result<(), Trouble> {
        self.write(|db, _| {
            for (name, value) in settings {
                match value {
                    Some(value) => db.execute(
                        "INSERT INTO setting (name, value) VALUES (?1, ?2)
                         ON CONFLICT (name) DO UPDATE SET value = excluded.value",
                        params![name, value],
                    )?,
                    None => db.execute("DELETE FROM setting WHERE name = ?1", [name])?,
                };
            }
            Ok(())
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::sample;

    /// Would catch a setting that does not come back, or can't be given up.
    #[test]
    fn settings_come_back() {
        let mut book = sample::book();
        assert_eq!(book.setting("unit").unwrap(), None);
        book.set("unit", "in").unwrap();
        book.set("unit", "cm").unwrap();
        book.set_all(&[("fraction", Some("16")), ("paper", Some("a4"))])
            .unwrap();
        book.set_all(&[("paper", None)]).unwrap();
        let all: Vec<_> = book.settings().unwrap().into_iter().collect();
        assert_eq!(
            all,
            [
                ("fraction".into(), "16".into()),
                ("unit".into(), "cm".into())
            ]
        );
    }
}
