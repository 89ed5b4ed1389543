//! Her own methods: a name for each, and every text it ever had.

use rusqlite::{Connection, Row, params};

use crate::row::{count, one, signed};
use crate::{Book, Id, Stamp, Trouble};

/// A method of hers as it stands in the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Method {
    /// Its name in the file, for ever.
    pub id: Id,
    /// In its address: letters, digits, strokes.
    pub name: String,
    /// `own`, `copy of NAME`, `opened from a file`.
    pub source: String,
    /// Its newest text.
    pub text: String,
    /// When it was first kept.
    pub made: Stamp,
    /// When its newest text was kept.
    pub changed: Stamp,
    /// When it was put away, if it was.
    pub put_away: Option<Stamp>,
    /// Counts the changes.
    pub seen: u64,
}

/// A text that a method had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MethodText {
    /// Its place: later ones are larger.
    pub at: u64,
    /// The text.
    pub text: String,
    /// When it was kept.
    pub made: Stamp,
}

const SQL: &str = "SELECT method.*, t.text, t.made AS changed FROM method
                   JOIN method_text AS t ON t.at =
                        (SELECT max(at) FROM method_text WHERE method_text.method = method.id)";

fn method_of(row: &Row<'_>) -> rusqlite::Result<Method> {
    Ok(Method {
        id: row.get("id")?,
        name: row.get("name")?,
        source: row.get("source")?,
        text: row.get("text")?,
        made: row.get("made")?,
        changed: row.get("changed")?,
        put_away: row.get("put_away")?,
        seen: count(row, "seen")?,
    })
}

fn method(db: &Connection, name: &str) -> Result<Method, Trouble> {
    one(db, &format!("{SQL} WHERE name = ?1"), [name], method_of)?
        .ok_or_else(|| Trouble::Missing(format!("method of yours called {name:?}")))
}

/// Refuses a name that can't stand in an address, or is taken.
fn look_over(db: &Connection, name: &str) -> Result<(), Trouble> {
    let plain = name
        .bytes()
        .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    if !plain || name.is_empty() || name.len() > 60 || name.starts_with('-') || name.ends_with('-')
    {
        let why = "A method's name is made of small letters, digits and strokes: my-skirt-two.";
        return Err(Trouble::Other(why.to_owned()));
    }
    let taken = one(db, "SELECT 1 FROM method WHERE name = ?1", [name], |_| {
        Ok(())
    })?;
    match taken {
        Some(()) => Err(Trouble::Taken(format!("a method called {name:?}"))),
        None => Ok(()),
    }
}

impl Book {
    /// All methods of hers by name; those put away only where `put_away` asks for them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn methods(&self, put_away: bool) -> Result<Vec<Method>, Trouble> {
        self.all(
            &format!("{SQL} WHERE method.put_away IS NULL OR ?1 ORDER BY name"),
            [put_away],
            method_of,
        )
    }

    /// One by its name, put away or not.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn method(&self, name: &str) -> Result<Method, Trouble> {
        method(&self.db, name)
    }

    /// Keeps a new method. `source` says where it comes from: `own`, `copy of NAME`, `opened from a file`.
    ///
    /// # Errors
    /// [`Trouble::Taken`] if the name is, [`Trouble::Other`] if it can't stand in an address.
    pub fn new_method(&mut self, name: &str, source: &str, text: &str) -> Result<(), Trouble> {
        self.write(|db, now| {
            look_over(db, name)?;
            let id = Id::new();
            db.execute(
                "INSERT INTO method (id, name, source, made) VALUES (?1, ?2, ?3, ?4)",
                params![id, name, source, now],
            )?;
            add_text(db, id, text, now)
        })
    }

    /// Keeps a new text of a method; the old ones stay. Answers the count to give next time.
    ///
    /// # Errors
    /// [`Trouble::Moved`] if `seen` is no longer its count; [`Trouble::Missing`].
    pub fn save_method(&mut self, name: &str, seen: u64, text: &str) -> Result<u64, Trouble> {
        self.write(|db, now| {
            let was = method(db, name)?;
            if was.text == text {
                return Ok(was.seen);
            }
            if was.seen != seen {
                return Err(Trouble::Moved { now: was.seen });
            }
            add_text(db, was.id, text, now)?;
            db.execute(
                "UPDATE method SET seen = ?2 WHERE id = ?1",
                params![was.id, signed(was.seen + 1)],
            )?;
            Ok(was.seen + 1)
        })
    }

    /// Gives a method another name. Orders hold its text, and are not touched.
    ///
    /// # Errors
    /// [`Trouble::Missing`]; as [`Book::new_method`] for the new name.
    pub fn rename_method(&mut self, name: &str, to: &str) -> Result<(), Trouble> {
        self.write(|db, _| {
            let was = method(db, name)?;
            if name == to {
                return Ok(());
            }
            look_over(db, to)?;
            db.execute(
                "UPDATE method SET name = ?2, seen = ?3 WHERE id = ?1",
                params![was.id, to, signed(was.seen + 1)],
            )?;
            Ok(())
        })
    }

    /// Puts a method away, so that it is no longer offered, or takes it out again. Its texts stay.
    ///
    /// # Errors
    /// [`Trouble::Missing`].
    pub fn put_away_method(&mut self, name: &str, away: bool) -> Result<(), Trouble> {
        self.write(|db, now| {
            let was = method(db, name)?;
            db.execute(
                "UPDATE method SET put_away = ?2 WHERE id = ?1",
                params![was.id, away.then_some(now)],
            )?;
            Ok(())
        })
    }

    /// Every text a method had, the newest first.
    ///
    /// # Errors
    /// [`Trouble::Missing`].
    pub fn method_texts(&self, name: &str) -> Result<Vec<MethodText>, Trouble> {
        let was = self.method(name)?;
        self.all(
            "SELECT at, text, made FROM method_text WHERE method = ?1 ORDER BY at DESC",
            [was.id],
            |row| {
                Ok(MethodText {
                    at: count(row, "at")?,
                    text: row.get("text")?,
                    made: row.get("made")?,
                })
            },
        )
    }
}

fn add_text(db: &Connection, method: Id, text: &str, now: Stamp) -> Result<(), Trouble> {
    db.execute(
        "INSERT INTO method_text (method, text, made) VALUES (?1, ?2, ?3)",
        params![method, text, now],
    )?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    /// Would catch a text that is lost when a newer one is kept, or a name that breaks an address.
    #[test]
    fn every_text_stays() {
        let mut book = sample::book();
        book.new_method("my-skirt", "copy of darted", "one")
            .unwrap();
        assert_eq!(book.save_method("my-skirt", 1, "two").unwrap(), 2);
        assert_eq!(
            book.save_method("my-skirt", 1, "two").unwrap(),
            2,
            "the same text twice"
        );
        assert!(matches!(
            book.save_method("my-skirt", 1, "three"),
            Err(Trouble::Moved { now: 2 })
        ));
        let method = book.method("my-skirt").unwrap();
        assert_eq!(
            (method.text.as_str(), method.source.as_str()),
            ("two", "copy of darted")
        );
        let texts: Vec<_> = book
            .method_texts("my-skirt")
            .unwrap()
            .into_iter()
            .map(|t| t.text)
            .collect();
        assert_eq!(texts, ["two", "one"]);
        assert!(matches!(
            book.new_method("my-skirt", "own", ""),
            Err(Trouble::Taken(_))
        ));
        for name in ["", "My", "a b", "../x", "a/b", "-a", "a-", "é"] {
            assert!(
                matches!(book.new_method(name, "own", ""), Err(Trouble::Other(_))),
                "{name}"
            );
        }
        book.rename_method("my-skirt", "hers").unwrap();
        assert!(matches!(book.method("my-skirt"), Err(Trouble::Missing(_))));
        book.put_away_method("hers", true).unwrap();
        assert!(book.methods(false).unwrap().is_empty());
        assert_eq!(book.methods(true).unwrap().len(), 1);
        book.put_away_method("hers", false).unwrap();
        assert_eq!(book.methods(false).unwrap().len(), 1);
        assert!(book.db.execute("DELETE FROM method_text", []).is_err());
        assert!(
            book.db
                .execute("UPDATE method_text SET text = 'x'", [])
                .is_err()
        );
    }
}
