//! Phones that were paired: each with a key of which only a hash is kept.

use rusqlite::{Row, params};

use crate::row::met;
use crate::{Book, Id, Stamp, Trouble};

/// A phone that was paired.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// Its name in the file.
    pub id: Id,
    /// What she calls it.
    pub name: String,
    /// When it was paired.
    pub made: Stamp,
    /// When it was last used.
    pub seen_at: Stamp,
    /// When it was forgotten, if it was: its key opens nothing since.
    pub forgotten: Option<Stamp>,
}

pub(crate) fn device_of(row: &Row<'_>) -> rusqlite::Result<Device> {
    Ok(Device {
        id: row.get("id")?,
        name: row.get("name")?,
        made: row.get("made")?,
        seen_at: row.get("seen_at")?,
        forgotten: row.get("forgotten")?,
    })
}

impl Book {
    /// Pairs a phone. `key_hash` is a hash of its key; the key itself is never given to the book.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn pair_device(&mut self, name: &str, key_hash: &str) -> Result<Id, Trouble> {
        self.write(|db, now| {
            let id = Id::new();
            db.execute(
                "INSERT INTO device (id, name, key_hash, made, seen_at) VALUES (?1, ?2, ?3, ?4, ?4)",
                params![id, name, key_hash, now],
            )?;
            Ok(id)
        })
    }

    /// The phone whose key has this hash, unless it was forgotten.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn device_with(&self, key_hash: &str) -> Result<Option<Device>, Trouble> {
        self.one(
            "SELECT * FROM device WHERE key_hash = ?1 AND forgotten IS NULL",
            [key_hash],
            device_of,
        )
    }

    /// Writes down that a phone was used now.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn device_seen(&mut self, id: Id) -> Result<(), Trouble> {
        self.write(|db, now| {
            let sql = "UPDATE device SET seen_at = ?2 WHERE id = ?1";
            met(db.execute(sql, params![id, now])?, "such phone")
        })
    }

    /// All phones that are not forgotten, the last used first.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn devices(&self) -> Result<Vec<Device>, Trouble> {
        self.all(
            "SELECT * FROM device WHERE forgotten IS NULL ORDER BY seen_at DESC, rowid DESC",
            [],
            device_of,
        )
    }

    /// Calls a phone otherwise.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn rename_device(&mut self, id: Id, name: &str) -> Result<(), Trouble> {
        self.write(|db, _| {
            let sql = "UPDATE device SET name = ?2 WHERE id = ?1";
            met(db.execute(sql, params![id, name])?, "such phone")
        })
    }

    /// Forgets a phone: its key opens nothing any more.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn forget_device(&mut self, id: Id) -> Result<(), Trouble> {
        self.write(|db, now| {
            let sql = "UPDATE device SET forgotten = ?2 WHERE id = ?1";
            met(db.execute(sql, params![id, now])?, "such phone")
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::sample;

    /// Would catch a forgotten phone that still opens the book.
    #[test]
    fn a_forgotten_phone_opens_nothing() {
        let mut book = sample::book();
        let id = book.pair_device("phone", "aa").unwrap();
        book.pair_device("tablet", "bb").unwrap();
        assert!(book.pair_device("other", "bb").is_err(), "one key for two");
        assert_eq!(book.device_with("aa").unwrap().unwrap().id, id);
        assert_eq!(book.device_with("cc").unwrap(), None);
        book.rename_device(id, "her phone").unwrap();
        book.device_seen(id).unwrap();
        book.forget_device(id).unwrap();
        assert_eq!(book.device_with("aa").unwrap(), None);
        let names: Vec<_> = book
            .devices()
            .unwrap()
            .into_iter()
            .map(|d| d.name)
            .collect();
        assert_eq!(names, ["tablet"]);
    }
}
