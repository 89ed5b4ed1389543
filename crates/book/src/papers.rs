//! Papers: a sheet once made is kept as made, so that a torn one is printed again exactly.

use rusqlite::{Connection, params};

use crate::row::{count, one};
use crate::versions::version;
use crate::{Book, Id, OrderNo, Stamp, Trouble, VersionNo};

/// A paper as it was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    /// What is known of it.
    pub line: PaperLine,
    /// The file itself.
    pub bytes: Vec<u8>,
}

/// A paper in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperLine {
    /// `pattern-a4.pdf`
    pub name: String,
    /// How it was drawn, where not as usual.
    pub looks: String,
    /// How many sheets it has, where it has sheets.
    pub sheets: Option<u32>,
    /// How long the file is, in bytes.
    pub length: u64,
    /// When it was made.
    pub made: Stamp,
}

fn line_of(row: &rusqlite::Row<'_>) -> rusqlite::Result<PaperLine> {
    Ok(PaperLine {
        name: row.get("name")?,
        looks: row.get("looks")?,
        sheets: row.get("sheets")?,
        length: count(row, "length")?,
        made: row.get("made")?,
    })
}

fn paper(db: &Connection, version: Id, name: &str, looks: &str) -> Result<Option<Paper>, Trouble> {
    one(
        db,
        "SELECT *, length(bytes) AS length FROM paper WHERE version = ?1 AND name = ?2 AND looks = ?3",
        params![version, name, looks],
        |row| {
            Ok(Paper {
                line: line_of(row)?,
                bytes: row.get("bytes")?,
            })
        },
    )
}

impl Book {
    /// Keeps a paper of a version, and answers the one that is kept: where one with the same name and
    /// looks was made before, that one, byte for byte, and the new one is let go.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such version.
    pub fn keep_paper(
        &mut self,
        of: OrderNo,
        number: VersionNo,
        name: &str,
        looks: &str,
        sheets: Option<u32>,
        bytes: Vec<u8>,
    ) -> Result<Vec<u8>, Trouble> {
        self.write(|db, now| {
            let version = version(db, of, number)?;
            if let Some(kept) = paper(db, version.id, name, looks)? {
                return Ok(kept.bytes);
            }
            db.execute(
                "INSERT INTO paper (id, version, name, looks, sheets, bytes, made)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                params![Id::new(), version.id, name, looks, sheets, bytes, now],
            )?;
            Ok(bytes)
        })
    }

    /// A paper that was made before, if it was.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such version.
    pub fn paper(
        &self,
        of: OrderNo,
        number: VersionNo,
        name: &str,
        looks: &str,
    ) -> Result<Option<Paper>, Trouble> {
        paper(&self.db, version(&self.db, of, number)?.id, name, looks)
    }

    /// The papers of a version, in the order in which they were made.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such version.
    pub fn papers(&self, of: OrderNo, number: VersionNo) -> Result<Vec<PaperLine>, Trouble> {
        self.all(
            "SELECT name, looks, sheets, made, length(bytes) AS length FROM paper
             WHERE version = ?1 ORDER BY id",
            [version(&self.db, of, number)?.id],
            line_of,
        )
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use crate::{NewVersion, Why, sample};

    /// Would catch a reprint that is not the sheet that was cut from.
    #[test]
    fn a_reprint_is_the_same_sheet() {
        let mut book = sample::book();
        let (_, order) = sample::order(&mut book);
        let new = NewVersion {
            mark: "abc".to_owned(),
            why: Why::Fitting,
            holds: BTreeMap::new(),
            card: String::new(),
            report: String::new(),
            stopped: String::new(),
        };
        let version = book.keep_version(order, &new).unwrap();
        let name = "pattern-a4.pdf";
        assert_eq!(book.paper(order, version, name, "").unwrap(), None);
        let first = book
            .keep_paper(order, version, name, "", Some(33), vec![1, 0, 255])
            .unwrap();
        assert_eq!(first, [1, 0, 255]);
        let again = book
            .keep_paper(order, version, name, "", Some(33), vec![9])
            .unwrap();
        assert_eq!(
            again,
            [1, 0, 255],
            "made by a newer program, the old one counts"
        );
        let large = book
            .keep_paper(order, version, name, "large", Some(33), vec![9])
            .unwrap();
        assert_eq!(large, [9]);
        assert_eq!(
            book.paper(order, version, name, "").unwrap().unwrap().bytes,
            [1, 0, 255]
        );
        let list = book.papers(order, version).unwrap();
        assert_eq!(list.iter().map(|p| p.length).collect::<Vec<_>>(), [3, 1]);
        assert_eq!(book.versions(order).unwrap()[0].papers, 2);
        for sql in ["UPDATE paper SET bytes = x'00'", "DELETE FROM paper"] {
            assert!(book.db.execute(sql, []).is_err(), "{sql}");
        }
    }
}
