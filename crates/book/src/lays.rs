//! Lays that were found for the cloths of an order, so that the search is not done twice.

use rusqlite::{Row, params};

use crate::orders::order;
use crate::row::{met, one};
use crate::{Book, Id, OrderNo, Stamp, Trouble};

/// A lay that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lay {
    /// Its name in the file.
    pub id: Id,
    /// `shell`, `lining`, ...
    pub cloth: String,
    /// JSON: what was laid, on what cloth, how.
    pub asked: String,
    /// JSON: the lay.
    pub found: String,
    /// Whether it is the one that will be cut.
    pub chosen: bool,
    /// When it was found.
    pub made: Stamp,
}

pub(crate) fn lay_of(row: &Row<'_>) -> rusqlite::Result<Lay> {
    Ok(Lay {
        id: row.get("id")?,
        cloth: row.get("cloth")?,
        asked: row.get("asked")?,
        found: row.get("found")?,
        chosen: row.get("chosen")?,
        made: row.get("made")?,
    })
}

impl Book {
    /// Keeps a lay that was found.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn keep_lay(
        &mut self,
        of: OrderNo,
        cloth: &str,
        asked: &str,
        found: &str,
    ) -> Result<Id, Trouble> {
        self.write(|db, now| {
            let id = Id::new();
            db.execute(
                r#"INSERT INTO lay (id, "order", cloth, asked, found, made)
                   VALUES (?1, ?2, ?3, ?4, ?5, ?6)"#,
                params![id, order(db, of)?.id, cloth, asked, found, now],
            )?;
            Ok(id)
        })
    }

    /// The newest lay that was found for exactly this.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn lay_for(&self, of: OrderNo, cloth: &str, asked: &str) -> Result<Option<Lay>, Trouble> {
        self.one(
            r#"SELECT * FROM lay WHERE "order" = ?1 AND cloth = ?2 AND asked = ?3
               ORDER BY rowid DESC LIMIT 1"#,
            params![self.order(of)?.id, cloth, asked],
            lay_of,
        )
    }

    /// All lays of an order, by cloth, the newest first.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn lays(&self, of: OrderNo) -> Result<Vec<Lay>, Trouble> {
        self.all(
            r#"SELECT * FROM lay WHERE "order" = ?1 ORDER BY cloth, rowid DESC"#,
            [self.order(of)?.id],
            lay_of,
        )
    }

    /// Says which lay of a cloth will be cut; the others of that cloth are not chosen any more.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if it is not one of this order's.
    pub fn choose_lay(&mut self, of: OrderNo, id: Id) -> Result<(), Trouble> {
        self.write(|db, _| {
            let order = order(db, of)?;
            let sql = r#"SELECT cloth FROM lay WHERE id = ?1 AND "order" = ?2"#;
            let cloth: Option<String> = one(db, sql, params![id, order.id], |row| row.get(0))?;
            let cloth = cloth.ok_or_else(|| Trouble::Missing("such lay".to_owned()))?;
            db.execute(
                r#"UPDATE lay SET chosen = (id = ?1) WHERE "order" = ?2 AND cloth = ?3"#,
                params![id, order.id, cloth],
            )?;
            Ok(())
        })
    }

    /// Takes away a lay.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if it is not one of this order's.
    pub fn drop_lay(&mut self, of: OrderNo, id: Id) -> Result<(), Trouble> {
        self.write(|db, _| {
            let sql = r#"DELETE FROM lay WHERE id = ?1 AND "order" = ?2"#;
            met(db.execute(sql, params![id, order(db, of)?.id])?, "such lay")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    /// Would catch a lay for other pieces, or two lays of one cloth that are both to be cut.
    #[test]
    fn lays_are_found_again() {
        let mut book = sample::book();
        let (_, order) = sample::order(&mut book);
        let one = book.keep_lay(order, "shell", "a", "found 1").unwrap();
        let two = book.keep_lay(order, "shell", "a", "found 2").unwrap();
        let lining = book.keep_lay(order, "lining", "a", "found 3").unwrap();
        assert_eq!(
            book.lay_for(order, "shell", "a").unwrap().unwrap().found,
            "found 2"
        );
        assert_eq!(book.lay_for(order, "shell", "b").unwrap(), None);
        for id in [lining, two, one] {
            book.choose_lay(order, id).unwrap();
        }
        let chosen: Vec<_> = book
            .lays(order)
            .unwrap()
            .into_iter()
            .filter(|l| l.chosen)
            .map(|l| l.id)
            .collect();
        assert_eq!(chosen, [lining, one]);
        book.drop_lay(order, one).unwrap();
        assert!(matches!(
            book.choose_lay(order, one),
            Err(Trouble::Missing(_))
        ));
    }
}
