//! Orders: who wants what, and whether it is still on the table.

use rusqlite::{Connection, Row, params};

use crate::clients::client;
use crate::id::next_apart;
use crate::row::{all, count, one, signed};
use crate::{Book, Change, ClientNo, Id, OrderNo, Stamp, Trouble, holds};

/// An order as it stands in the book. What it holds (card, method, choices, cloths, corrections, notes)
/// is a map of its own: [`Book::holds`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// Its name in the file, for ever.
    pub id: Id,
    /// Its number for people; it stands in addresses.
    pub number: OrderNo,
    /// Whether it is the demo's.
    pub demo: bool,
    /// Whose it is.
    pub client: Id,
    /// The party it belongs to, if it does.
    pub party: Option<Id>,
    /// The order it was made again from, if it was.
    pub after: Option<Id>,
    /// What is made, in her words.
    pub title: String,
    /// The method's name when it was taken.
    pub method: String,
    /// When it was entered.
    pub made: Stamp,
    /// When it was closed, if it is.
    pub closed: Option<Stamp>,
    /// Counts the changes, of what it holds too.
    pub seen: u64,
}

/// An order in a list, with its client.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// Itself.
    pub order: Order,
    /// Whose it is.
    pub client: ClientNo,
    /// Her name.
    pub name: String,
}

/// An order to be entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewOrder {
    /// Whose it is; the order is the demo's if she is.
    pub client: ClientNo,
    /// The party it belongs to.
    pub party: Option<Id>,
    /// The order it is made again from.
    pub after: Option<OrderNo>,
    /// What is made, in her words.
    pub title: String,
    /// The method's name.
    pub method: String,
    /// What it holds at first, by key; it is no change that could be taken back.
    pub holds: Vec<(String, String)>,
}

impl NewOrder {
    /// An order of a client, with nothing in it yet.
    pub const fn of(client: ClientNo) -> Self {
        Self {
            client,
            party: None,
            after: None,
            title: String::new(),
            method: String::new(),
            holds: Vec::new(),
        }
    }
}

/// Which orders are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// Those still on the table.
    Open,
    /// Those that are closed.
    Closed,
    /// All.
    All,
    /// All of one client.
    Of(ClientNo),
    /// All of one party.
    Party(Id),
    /// Those made again after this one.
    After(OrderNo),
}

pub(crate) fn order_of(row: &Row<'_>) -> rusqlite::Result<Order> {
    Ok(Order {
        id: row.get("id")?,
        number: row.get("number")?,
        demo: row.get("demo")?,
        client: row.get("client")?,
        party: row.get("party")?,
        after: row.get("after")?,
        title: row.get("title")?,
        method: row.get("method")?,
        made: row.get("made")?,
        closed: row.get("closed")?,
        seen: count(row, "seen")?,
    })
}

/// An order by its number, on any connection.
pub(crate) fn order(db: &Connection, number: OrderNo) -> Result<Order, Trouble> {
    one(
        db,
        r#"SELECT * FROM "order" WHERE number = ?1"#,
        [number],
        order_of,
    )?
    .ok_or_else(|| Trouble::Missing(format!("order {number}")))
}

/// An order that may be changed.
pub(crate) fn open_order(db: &Connection, number: OrderNo) -> Result<Order, Trouble> {
    let order = order(db, number)?;
    if order.closed.is_some() {
        Err(Trouble::Closed)
    } else {
        Ok(order)
    }
}

/// Sets an order's count.
pub(crate) fn count_up(db: &Connection, order: &Order) -> Result<u64, Trouble> {
    let seen = order.seen + 1;
    db.prepare_cached(r#"UPDATE "order" SET seen = ?2 WHERE id = ?1"#)?
        .execute(params![order.id, signed(seen)])?;
    Ok(seen)
}

impl Book {
    /// Enters an order and gives it a number.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client, or no such order to be made again.
    pub fn new_order(&mut self, new: &NewOrder) -> Result<OrderNo, Trouble> {
        self.write(|db, now| {
            let client = client(db, new.client)?;
            let after = new.after.map(|number| order(db, number)).transpose()?;
            let number = OrderNo(next_apart(db, "order", "order", client.demo)?);
            let id = Id::new();
            db.execute(
                r#"INSERT INTO "order" (id, number, demo, client, party, after, title, method, made)
                   VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)"#,
                params![
                    id,
                    number,
                    client.demo,
                    client.id,
                    new.party,
                    after.map(|o| o.id),
                    new.title,
                    new.method,
                    now
                ],
            )?;
            for (key, value) in &new.holds {
                holds::put(db, id, key, Some(value), 1)?;
            }
            Ok(number)
        })
    }

    /// An order by its number.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none with it.
    pub fn order(&self, number: OrderNo) -> Result<Order, Trouble> {
        order(&self.db, number)
    }

    /// An order by its id.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none with it.
    pub fn order_by_id(&self, id: Id) -> Result<Order, Trouble> {
        self.one(r#"SELECT * FROM "order" WHERE id = ?1"#, [id], order_of)?
            .ok_or_else(|| Trouble::Missing("such order".to_owned()))
    }

    /// Orders with their clients, the newest first, hers before the demo's.
    ///
    /// # Errors
    /// When the file can't be read, or [`Trouble::Missing`] for the client or order that was named.
    pub fn orders(&self, which: Which) -> Result<Vec<OrderLine>, Trouble> {
        let (only, given) = match which {
            Which::Open => ("o.closed IS NULL AND ?1 = ''", String::new()),
            Which::Closed => ("o.closed IS NOT NULL AND ?1 = ''", String::new()),
            Which::All => ("?1 = ''", String::new()),
            Which::Of(number) => ("o.client = ?1", self.client(number)?.id.to_string()),
            Which::Party(id) => ("o.party = ?1", id.to_string()),
            Which::After(number) => ("o.after = ?1", self.order(number)?.id.to_string()),
        };
        all(
            &self.db,
            &format!(
                r#"SELECT o.*, client.number AS of, client.name
                   FROM "order" AS o JOIN client ON client.id = o.client
                   WHERE {only} ORDER BY o.demo, o.number DESC"#
            ),
            [given],
            &mut |row| {
                Ok(OrderLine {
                    order: order_of(row)?,
                    client: row.get("of")?,
                    name: row.get("name")?,
                })
            },
        )
    }

    /// Changes what an order is called and the name of its method (its text is among what it holds);
    /// answers the count to give next time.
    ///
    /// # Errors
    /// [`Trouble::Moved`] if `seen` is no longer its count; [`Trouble::Closed`].
    pub fn change_order(
        &mut self,
        number: OrderNo,
        seen: u64,
        title: &str,
        method: &str,
    ) -> Result<u64, Trouble> {
        self.write(|db, _| {
            let was = open_order(db, number)?;
            if was.title == title && was.method == method {
                return Ok(was.seen);
            }
            if was.seen != seen {
                return Err(Trouble::Moved { now: was.seen });
            }
            db.execute(
                r#"UPDATE "order" SET title = ?2, method = ?3 WHERE id = ?1"#,
                params![was.id, title, method],
            )?;
            count_up(db, &was)
        })
    }

    /// Closes an order: it is looked at and printed as before, but not changed, and what was done to it
    /// can no longer be taken back.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn close_order(&mut self, number: OrderNo) -> Result<(), Trouble> {
        self.write(|db, now| {
            let was = order(db, number)?;
            if was.closed.is_some() {
                return Ok(());
            }
            db.execute(
                r#"UPDATE "order" SET closed = ?2 WHERE id = ?1"#,
                params![was.id, now],
            )?;
            db.execute(
                r#"UPDATE journal SET dropped = 1 WHERE "order" = ?1"#,
                [was.id],
            )?;
            count_up(db, &was)?;
            Ok(())
        })
    }

    /// Opens a closed order again.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn reopen_order(&mut self, number: OrderNo) -> Result<(), Trouble> {
        self.write(|db, _| {
            let was = order(db, number)?;
            db.execute(
                r#"UPDATE "order" SET closed = NULL WHERE id = ?1"#,
                [was.id],
            )?;
            count_up(db, &was)?;
            Ok(())
        })
    }

    /// Changes one key of what an order holds: [`Book::change`] in short.
    ///
    /// # Errors
    /// As [`Book::change`].
    pub fn hold(
        &mut self,
        number: OrderNo,
        label: &str,
        by: &str,
        key: &str,
        after: Option<&str>,
    ) -> Result<u64, Trouble> {
        let change = Change {
            key: key.to_owned(),
            after: after.map(str::to_owned),
        };
        self.change(number, None, label, by, &[change])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{self, about};

    /// Would catch a field that is lost, an order in the wrong list, and a closed order that changes.
    #[test]
    fn orders_come_back_where_they_belong() {
        let mut book = sample::book();
        let (client, first) = sample::order(&mut book);
        assert_eq!(first, OrderNo(1));
        let again = NewOrder {
            after: Some(first),
            title: "The same in ivory".to_owned(),
            ..NewOrder::of(client)
        };
        let second = book.new_order(&again).unwrap();
        let demo = book.new_client(&about("Demo"), true).unwrap();
        let third = book.new_order(&NewOrder::of(demo)).unwrap();
        assert_eq!(third, OrderNo(9001));
        assert!(book.order(third).unwrap().demo);
        let order = book.order(first).unwrap();
        assert_eq!(
            (order.title.as_str(), order.method.as_str()),
            ("Mermaid skirt", "darted")
        );
        assert_eq!(book.order_by_id(order.id).unwrap(), order);
        assert_eq!(book.order(second).unwrap().after, Some(order.id));

        book.close_order(first).unwrap();
        assert!(book.order(first).unwrap().closed.is_some());
        let list = |which| -> Vec<u32> {
            book.orders(which)
                .unwrap()
                .into_iter()
                .map(|l| l.order.number.0)
                .collect()
        };
        assert_eq!(list(Which::Open), [2, 9001]);
        assert_eq!(list(Which::Closed), [1]);
        assert_eq!(list(Which::All), [2, 1, 9001]);
        assert_eq!(list(Which::Of(client)), [2, 1]);
        assert_eq!(list(Which::After(first)), [2]);
        assert_eq!(book.clients().unwrap()[0].open_orders, 1);
        assert!(matches!(
            book.change_order(first, 2, "x", "y"),
            Err(Trouble::Closed)
        ));
        assert!(matches!(
            book.hold(first, "l", "here", "note", Some("x")),
            Err(Trouble::Closed)
        ));
        book.reopen_order(first).unwrap();
        let seen = book.order(first).unwrap().seen;
        assert!(matches!(
            book.change_order(first, 1, "x", "y"),
            Err(Trouble::Moved { .. })
        ));
        assert_eq!(book.change_order(first, seen, "x", "y").unwrap(), seen + 1);
        assert_eq!(book.order(first).unwrap().title, "x");
    }
}
