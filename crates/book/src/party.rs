//! Parties: one design for several, each with an order and a card of her own.

use rusqlite::params;

use crate::orders::{count_up, open_order};
use crate::row::met;
use crate::{Book, Id, OrderNo, Stamp, Trouble};

/// A party.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Party {
    /// Its name in the file.
    pub id: Id,
    /// What it is called: "Marchetti wedding".
    pub name: String,
    /// When it was entered.
    pub made: Stamp,
    /// How many orders belong to it; the list of them is [`Book::orders`].
    pub orders: u32,
}

impl Book {
    /// Enters a party.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn new_party(&mut self, name: &str) -> Result<Id, Trouble> {
        self.write(|db, now| {
            let id = Id::new();
            db.execute(
                "INSERT INTO party (id, name, made) VALUES (?1, ?2, ?3)",
                params![id, name, now],
            )?;
            Ok(id)
        })
    }

    /// All parties, the newest first.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn parties(&self) -> Result<Vec<Party>, Trouble> {
        self.all(
            r#"SELECT party.*, (SELECT count(*) FROM "order" AS o WHERE o.party = party.id) AS orders
               FROM party ORDER BY id DESC"#,
            [],
            |row| {
                Ok(Party {
                    id: row.get("id")?,
                    name: row.get("name")?,
                    made: row.get("made")?,
                    orders: row.get("orders")?,
                })
            },
        )
    }

    /// Calls a party otherwise.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn rename_party(&mut self, id: Id, name: &str) -> Result<(), Trouble> {
        self.write(|db, _| {
            let rows = db.execute(
                "UPDATE party SET name = ?2 WHERE id = ?1",
                params![id, name],
            )?;
            met(rows, "such party")
        })
    }

    /// Puts an order into a party, or takes it out of its own.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order or party; [`Trouble::Closed`].
    pub fn join_party(&mut self, of: OrderNo, party: Option<Id>) -> Result<(), Trouble> {
        self.write(|db, _| {
            let order = open_order(db, of)?;
            if let Some(id) = party {
                let sql = "SELECT count(*) FROM party WHERE id = ?1";
                let there = db.query_row(sql, [id], |row| row.get::<_, u16>(0))?;
                met(usize::from(there), "such party")?;
            }
            db.execute(
                r#"UPDATE "order" SET party = ?2 WHERE id = ?1"#,
                params![order.id, party],
            )?;
            count_up(db, &order)?;
            Ok(())
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Which, sample};

    /// Would catch a bridesmaid who is left out of her party.
    #[test]
    fn a_party_gathers_orders() {
        let mut book = sample::book();
        let (_, one) = sample::order(&mut book);
        let (_, two) = sample::order(&mut book);
        let party = book.new_party("Marchetti weding").unwrap();
        book.rename_party(party, "Marchetti wedding").unwrap();
        book.join_party(one, Some(party)).unwrap();
        book.join_party(two, Some(party)).unwrap();
        let list = book.parties().unwrap();
        assert_eq!(
            (list[0].name.as_str(), list[0].orders),
            ("Marchetti wedding", 2)
        );
        assert_eq!(book.orders(Which::Party(party)).unwrap().len(), 2);
        book.join_party(one, None).unwrap();
        assert_eq!(book.orders(Which::Party(party)).unwrap().len(), 1);
        assert!(matches!(
            book.join_party(one, Some(Id::new())),
            Err(Trouble::Missing(_))
        ));
    }
}
