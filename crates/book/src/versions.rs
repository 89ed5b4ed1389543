//! Versions of an order: the draft as it was printed or fitted, for ever.

use std::collections::BTreeMap;

use rusqlite::{Connection, Row, params};
use serde_json::{Map, Value};

use crate::id::next_number;
use crate::orders::order;
use crate::row::{all, one, words};
use crate::{Book, Id, OrderNo, Stamp, Trouble, VersionNo};

words! {
    /// Why a version was made.
    Why {
        /// It was printed.
        Paper = "paper",
        /// It was fitted.
        Fitting = "fitting",
    }
}

/// A draft to be kept as a version.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewVersion {
    /// The short hash that stands on every sheet.
    pub mark: String,
    /// Why it is kept.
    pub why: Why,
    /// What the order held when this was drafted.
    pub holds: BTreeMap<String, String>,
    /// The card as a page of its own (CARD.toml), as it was.
    pub card: String,
    /// `report.json`.
    pub report: String,
    /// The stops that stood when it was printed all the same.
    pub stopped: String,
}

/// A version as it was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Version {
    /// Its name in the file.
    pub id: Id,
    /// Its number in the order.
    pub number: VersionNo,
    /// What was kept.
    pub kept: NewVersion,
    /// When.
    pub made: Stamp,
}

/// A version in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VersionLine {
    /// Its number in the order.
    pub number: VersionNo,
    /// The short hash that stands on every sheet.
    pub mark: String,
    /// Why it was kept.
    pub why: Why,
    /// The stops that stood when it was printed all the same.
    pub stopped: String,
    /// When it was kept.
    pub made: Stamp,
    /// How many papers of it there are.
    pub papers: u32,
}

/// A flat map as JSON text.
pub(crate) fn to_text(holds: &BTreeMap<String, String>) -> String {
    let map: Map<String, Value> = holds
        .iter()
        .map(|(k, v)| (k.clone(), Value::String(v.clone())))
        .collect();
    Value::Object(map).to_string()
}

fn from_text(text: &str) -> Option<BTreeMap<String, String>> {
    let all: Value = serde_json::from_str(text).ok()?;
    let mut map = BTreeMap::new();
    for (key, value) in all.as_object()? {
        map.insert(key.clone(), value.as_str()?.to_owned());
    }
    Some(map)
}

pub(crate) fn version_of(row: &Row<'_>) -> rusqlite::Result<Version> {
    let text: String = row.get("holds")?;
    let kept = NewVersion {
        mark: row.get("mark")?,
        why: row.get("why")?,
        holds: from_text(&text).ok_or(rusqlite::Error::InvalidQuery)?,
        card: row.get("card")?,
        report: row.get("report")?,
        stopped: row.get("stopped")?,
    };
    Ok(Version {
        id: row.get("id")?,
        number: row.get("number")?,
        kept,
        made: row.get("made")?,
    })
}

/// A version by its order and number, on any connection.
pub(crate) fn version(db: &Connection, of: OrderNo, number: VersionNo) -> Result<Version, Trouble> {
    let order = order(db, of)?;
    one(
        db,
        r#"SELECT * FROM version WHERE "order" = ?1 AND number = ?2"#,
        params![order.id, number],
        version_of,
    )?
    .ok_or_else(|| Trouble::Missing(format!("version {number} of order {of}")))
}

/// What of an order's map the drawing depends on: neither notes nor a sign-off nor the quote.
fn drawn(holds: &BTreeMap<String, String>) -> BTreeMap<&str, &str> {
    let drawn = holds
        .iter()
        .filter(|(key, _)| !matches!(key.as_str(), "note" | "signed" | "signed/for"))
        .filter(|(key, _)| !key.starts_with("quote/"));
    drawn.map(|(k, v)| (k.as_str(), v.as_str())).collect()
}

/// The version as which the same draft was kept before.
fn alike(db: &Connection, order: Id, new: &NewVersion) -> Result<Option<VersionNo>, Trouble> {
    let marked = all(
        db,
        r#"SELECT * FROM version WHERE "order" = ?1 AND mark = ?2 ORDER BY number DESC"#,
        params![order, new.mark],
        &mut version_of,
    )?;
    let same = marked
        .iter()
        .find(|v| v.kept.card == new.card && drawn(&v.kept.holds) == drawn(&new.holds));
    Ok(same.map(|v| v.number))
}

impl Book {
    /// The version as which a draft was kept before, if it was: [`Book::keep_version`] would answer it.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn kept_as(&self, of: OrderNo, new: &NewVersion) -> Result<Option<VersionNo>, Trouble> {
        alike(&self.db, self.order(of)?.id, new)
    }

    /// Keeps a draft as a version and gives it a number. A draft that was kept before, with the same
    /// mark, card and choices (notes, sign-off and quote apart), is that version: printed once more it needs no
    /// new number.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn keep_version(&mut self, of: OrderNo, new: &NewVersion) -> Result<VersionNo, Trouble> {
        self.write(|db, now| {
            let order = order(db, of)?;
            if let Some(same) = alike(db, order.id, new)? {
                return Ok(same);
            }
            let number = VersionNo(next_number(db, &format!("version/{}", order.id))?);
            db.execute(
                r#"INSERT INTO version (id, "order", number, mark, why, holds, card, report, stopped, made)
                   VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)"#,
                params![
                    Id::new(),
                    order.id,
                    number,
                    new.mark,
                    new.why,
                    to_text(&new.holds),
                    new.card,
                    new.report,
                    new.stopped,
                    now
                ],
            )?;
            Ok(number)
        })
    }

    /// The versions of an order, the newest first.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn versions(&self, of: OrderNo) -> Result<Vec<VersionLine>, Trouble> {
        let order = self.order(of)?;
        self.all(
            r#"SELECT number, mark, why, stopped, made,
                      (SELECT count(*) FROM paper WHERE paper.version = version.id) AS papers
               FROM version WHERE "order" = ?1 ORDER BY number DESC"#,
            [order.id],
            |row| {
                Ok(VersionLine {
                    number: row.get("number")?,
                    mark: row.get("mark")?,
                    why: row.get("why")?,
                    stopped: row.get("stopped")?,
                    made: row.get("made")?,
                    papers: row.get("papers")?,
                })
            },
        )
    }

    /// A version as it was kept.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn version(&self, of: OrderNo, number: VersionNo) -> Result<Version, Trouble> {
        version(&self.db, of, number)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    pub(crate) fn draft(book: &Book, of: OrderNo, mark: &str) -> NewVersion {
        NewVersion {
            mark: mark.to_owned(),
            why: Why::Paper,
            holds: book.holds(of).unwrap(),
            card: "waist = 27".to_owned(),
            report: "{}".to_owned(),
            stopped: "the hem is too steep".to_owned(),
        }
    }

    /// Would catch a version that changes with the order, a number for a second print of the same draft,
    /// and one number for two drafts.
    #[test]
    fn versions_stay_as_they_were() {
        let mut book = sample::book();
        let (_, order) = sample::order(&mut book);
        let first = draft(&book, order, "abc");
        assert_eq!(book.kept_as(order, &first).unwrap(), None);
        assert_eq!(book.keep_version(order, &first).unwrap(), VersionNo(1));
        book.hold(order, "note", "here", "note", Some("silk"))
            .unwrap();
        assert_eq!(
            book.keep_version(order, &draft(&book, order, "abc"))
                .unwrap(),
            VersionNo(1)
        );
        book.hold(order, "knee", "here", "choice/knee", Some("3"))
            .unwrap();
        let second = draft(&book, order, "def");
        assert_eq!(book.kept_as(order, &second).unwrap(), None);
        assert_eq!(book.kept_as(order, &first).unwrap(), Some(VersionNo(1)));
        assert_eq!(book.keep_version(order, &second).unwrap(), VersionNo(2));
        let other_card = NewVersion {
            card: "waist = 28".to_owned(),
            ..first.clone()
        };
        assert_eq!(book.keep_version(order, &other_card).unwrap(), VersionNo(3));
        assert_eq!(
            book.keep_version(order, &first).unwrap(),
            VersionNo(1),
            "back to the first"
        );
        assert_eq!(book.version(order, VersionNo(1)).unwrap().kept, first);
        let list: Vec<_> = book
            .versions(order)
            .unwrap()
            .into_iter()
            .map(|v| v.number.0)
            .collect();
        assert_eq!(list, [3, 2, 1]);
        assert!(
            book.db
                .execute("UPDATE version SET report = 'x'", [])
                .is_err()
        );
        assert!(book.db.execute("DELETE FROM version", []).is_err());
        assert!(matches!(
            book.version(order, VersionNo(4)),
            Err(Trouble::Missing(_))
        ));
    }
}
