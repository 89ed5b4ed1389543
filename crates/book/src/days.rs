//! The days of an order: what comes when, what was postponed, and what is overdue.

use measure::Date;
use rusqlite::{Row, params};

use crate::orders::order;
use crate::row::{all, date, met, one, words};
use crate::{Book, ClientNo, Id, OrderNo, Stamp, Trouble};

words! {
    /// What a day is for.
    DayKind {
        /// She asked.
        Enquiry = "enquiry",
        /// She is measured.
        Measure = "measure",
        /// The toile is fitted.
        Toile = "toile",
        /// The garment is fitted.
        Fitting = "fitting",
        /// The hem is marked, in the shoes of the day.
        Hem = "hem",
        /// She fetches it.
        Collection = "collection",
        /// The day it is made for.
        Event = "event",
        /// It comes back for care.
        Care = "care",
    }
}

words! {
    /// How a day stands.
    DayState {
        /// It is still to come (or it is overdue).
        Comes = "comes",
        /// It was.
        Done = "done",
        /// It was put off, and the new day is not known.
        Postponed = "postponed",
        /// It will not be.
        Cancelled = "cancelled",
    }
}

/// A day to be entered, or what it is changed to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewDay {
    /// What it is for.
    pub kind: DayKind,
    /// Which day.
    pub on: Date,
    /// `10:30`, or empty.
    pub time: String,
    /// Anything to say about it.
    pub words: String,
}

/// A day of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Day {
    /// Its name in the file.
    pub id: Id,
    /// What it is.
    pub day: NewDay,
    /// How it stands.
    pub state: DayState,
    /// When it was entered.
    pub made: Stamp,
}

/// A day in a list across orders.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayLine {
    /// The day.
    pub day: Day,
    /// Of which order.
    pub order: OrderNo,
    /// What is made.
    pub title: String,
    /// For whom.
    pub client: ClientNo,
    /// Her name.
    pub name: String,
    /// Whether it is the demo's.
    pub demo: bool,
}

/// How much there is in the book; the demo is never counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Clients.
    pub clients: u32,
    /// Orders on the table.
    pub open_orders: u32,
    /// Days that were to be before today and are not done.
    pub overdue: u32,
}

pub(crate) fn day_of(row: &Row<'_>) -> rusqlite::Result<Day> {
    let day = NewDay {
        kind: row.get("kind")?,
        on: date(row, "on_day")?,
        time: row.get("at_time")?,
        words: row.get("words")?,
    };
    Ok(Day {
        id: row.get("id")?,
        day,
        state: row.get("state")?,
        made: row.get("made")?,
    })
}

fn line_of(row: &Row<'_>) -> rusqlite::Result<DayLine> {
    Ok(DayLine {
        day: day_of(row)?,
        order: row.get("order_number")?,
        title: row.get("title")?,
        client: row.get("client_number")?,
        name: row.get("name")?,
        demo: row.get("demo")?,
    })
}

/// Days across orders; what still comes after an order was closed is only its care.
const LINES: &str = r#"
    SELECT day.*, o.number AS order_number, o.title, o.demo, client.number AS client_number, client.name
    FROM day JOIN "order" AS o ON o.id = day."order" JOIN client ON client.id = o.client
    WHERE day.state = 'comes' AND (o.closed IS NULL OR day.kind = 'care')"#;

impl Book {
    /// Enters a day of an order.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn add_day(&mut self, of: OrderNo, new: &NewDay) -> Result<Id, Trouble> {
        self.write(|db, now| {
            let order = order(db, of)?;
            let id = Id::new();
            db.execute(
                r#"INSERT INTO day (id, "order", kind, on_day, at_time, words, made)
                   VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)"#,
                params![
                    id,
                    order.id,
                    new.kind,
                    new.on.to_string(),
                    new.time,
                    new.words,
                    now
                ],
            )?;
            Ok(id)
        })
    }

    /// The days of an order as they follow each other.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn days(&self, of: OrderNo) -> Result<Vec<Day>, Trouble> {
        let order = self.order(of)?;
        self.all(
            r#"SELECT * FROM day WHERE "order" = ?1 ORDER BY on_day, at_time, made, id"#,
            [order.id],
            day_of,
        )
    }

    /// Changes what a day is.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if it is not one of this order's.
    pub fn change_day(&mut self, of: OrderNo, id: Id, to: &NewDay) -> Result<(), Trouble> {
        self.write(|db, _| {
            let order = order(db, of)?;
            let rows = db.execute(
                r#"UPDATE day SET kind = ?3, on_day = ?4, at_time = ?5, words = ?6
                   WHERE id = ?1 AND "order" = ?2"#,
                params![id, order.id, to.kind, to.on.to_string(), to.time, to.words],
            )?;
            met(rows, "such day")
        })
    }

    /// Says how a day stands.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if it is not one of this order's.
    pub fn set_day(&mut self, of: OrderNo, id: Id, state: DayState) -> Result<(), Trouble> {
        self.write(|db, _| {
            let order = order(db, of)?;
            let rows = db.execute(
                r#"UPDATE day SET state = ?3 WHERE id = ?1 AND "order" = ?2"#,
                params![id, order.id, state],
            )?;
            met(rows, "such day")
        })
    }

    /// Takes away a day that was entered by mistake.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if it is not one of this order's.
    pub fn drop_day(&mut self, of: OrderNo, id: Id) -> Result<(), Trouble> {
        self.write(|db, _| {
            let order = order(db, of)?;
            let sql = r#"DELETE FROM day WHERE id = ?1 AND "order" = ?2"#;
            met(db.execute(sql, params![id, order.id])?, "such day")
        })
    }

    /// Moves every day of these orders that is not done or cancelled by so many days (earlier, below
    /// nothing); what was postponed comes again. Answers how many were moved.
    ///
    /// # Errors
    /// [`Trouble::Other`] if one would fall out of the calendar; none of any order is moved then.
    pub fn shift_days(&mut self, of: &[OrderNo], by: i32) -> Result<u32, Trouble> {
        self.write(|db, _| {
            let mut remaining = Vec::new();
            for number in of {
                let order = order(db, *number)?;
                remaining.extend(all(
                    db,
                    r#"SELECT * FROM day WHERE "order" = ?1 AND state IN ('comes', 'postponed')"#,
                    [order.id],
                    &mut day_of,
                )?);
            }
            let mut moved = 0;
            for day in remaining {
                let Some(on) = day.day.on.later(by) else {
                    let why = "One of the days would fall out of the calendar, so none was moved.";
                    return Err(Trouble::Other(why.to_owned()));
                };
                db.execute(
                    "UPDATE day SET on_day = ?2, state = 'comes' WHERE id = ?1",
                    params![day.id, on.to_string()],
                )?;
                moved += 1;
            }
            Ok(moved)
        })
    }

    /// Says of all days of an order that stand so (`from`) that they stand otherwise: all that come are
    /// postponed, or cancelled; all that are postponed come again. Answers how many.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn set_days(&mut self, of: OrderNo, from: DayState, to: DayState) -> Result<u32, Trouble> {
        self.write(|db, _| {
            let order = order(db, of)?;
            let rows = db.execute(
                r#"UPDATE day SET state = ?3 WHERE "order" = ?1 AND state = ?2"#,
                params![order.id, from, to],
            )?;
            Ok(u32::try_from(rows).unwrap_or(u32::MAX))
        })
    }

    /// What comes from today on, across all orders, the nearest first; up to `until`, if it is given.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn what_comes(&self, today: Date, until: Option<Date>) -> Result<Vec<DayLine>, Trouble> {
        let until = until.unwrap_or(Date::LAST);
        self.all(
            &format!(
                "{LINES} AND on_day BETWEEN ?1 AND ?2 ORDER BY on_day, at_time, o.number, day.id"
            ),
            [today.to_string(), until.to_string()],
            line_of,
        )
    }

    /// What was to be before today and is not done, across all orders, the oldest first.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn overdue(&self, today: Date) -> Result<Vec<DayLine>, Trouble> {
        self.all(
            &format!("{LINES} AND on_day < ?1 ORDER BY on_day, at_time, o.number, day.id"),
            [today.to_string()],
            line_of,
        )
    }

    /// How much there is, without the demo.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn counts(&self, today: Date) -> Result<Counts, Trouble> {
        let sql = r#"
            SELECT (SELECT count(*) FROM client WHERE demo = 0) AS clients,
                   (SELECT count(*) FROM "order" WHERE demo = 0 AND closed IS NULL) AS open_orders"#;
        let counts = one(&self.db, sql, [], |row| {
            Ok(Counts {
                clients: row.get("clients")?,
                open_orders: row.get("open_orders")?,
                overdue: 0,
            })
        })?;
        let overdue = self.overdue(today)?.into_iter().filter(|l| !l.demo).count();
        let overdue = u32::try_from(overdue).unwrap_or(u32::MAX);
        Ok(Counts {
            overdue,
            ..counts.unwrap_or_default()
        })
    }

    /// Whether anything of the demo is in the book.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn has_demo(&self) -> Result<bool, Trouble> {
        let sql = "SELECT EXISTS (SELECT 1 FROM client WHERE demo = 1)
                         OR EXISTS (SELECT 1 FROM price WHERE demo = 1) AS demo";
        Ok(self.one(sql, [], |row| row.get("demo"))?.unwrap_or(false))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::NewOrder;
    use crate::sample::{self, about, day};

    fn new(kind: DayKind, on: &str) -> NewDay {
        NewDay {
            kind,
            on: day(on),
            time: String::new(),
            words: String::new(),
        }
    }

    fn shown(book: &Book, order: OrderNo) -> Vec<String> {
        let days = book.days(order).unwrap();
        days.iter()
            .map(|d| format!("{} {} {}", d.day.on, d.day.kind.word(), d.state.word()))
            .collect()
    }

    /// The wedding moves by 10 weeks: would catch a day that stays behind, or one that was and moves.
    #[test]
    fn the_event_moves_and_what_remains_moves_with_it() {
        let mut book = sample::book();
        let (_, order) = sample::order(&mut book);
        let was = book
            .add_day(order, &new(DayKind::Measure, "2026-11-01"))
            .unwrap();
        book.set_day(order, was, DayState::Done).unwrap();
        let off = book
            .add_day(order, &new(DayKind::Toile, "2026-12-01"))
            .unwrap();
        book.set_day(order, off, DayState::Cancelled).unwrap();
        book.add_day(order, &new(DayKind::Event, "2027-01-30"))
            .unwrap();
        let put_off = book
            .add_day(order, &new(DayKind::Fitting, "2026-12-20"))
            .unwrap();
        book.set_day(order, put_off, DayState::Postponed).unwrap();
        assert_eq!(book.shift_days(&[order], 70).unwrap(), 2);
        assert_eq!(
            shown(&book, order),
            [
                "2026-11-01 measure done",
                "2026-12-01 toile cancelled",
                "2027-02-28 fitting comes",
                "2027-04-10 event comes",
            ]
        );
        assert!(matches!(
            book.shift_days(&[order], i32::MAX),
            Err(Trouble::Other(_))
        ));
        // Of a party all are moved or none: a day of the second order can't go.
        let (_, second) = sample::order(&mut book);
        let last = book
            .add_day(second, &new(DayKind::Event, "9999-12-30"))
            .unwrap();
        assert!(matches!(
            book.shift_days(&[order, second], 7),
            Err(Trouble::Other(_))
        ));
        book.drop_day(second, last).unwrap();
        assert_eq!(
            shown(&book, order)[3],
            "2027-04-10 event comes",
            "none moved"
        );
        assert_eq!(
            book.set_days(order, DayState::Comes, DayState::Postponed)
                .unwrap(),
            2
        );
        assert!(book.what_comes(day("2026-11-25"), None).unwrap().is_empty());
        assert_eq!(
            book.set_days(order, DayState::Postponed, DayState::Comes)
                .unwrap(),
            2
        );
        let other = NewDay {
            time: "10:30".into(),
            words: "with shoes".into(),
            ..new(DayKind::Hem, "2027-03-01")
        };
        book.change_day(order, put_off, &other).unwrap();
        assert_eq!(book.days(order).unwrap()[2].day, other);
        book.drop_day(order, was).unwrap();
        assert_eq!(book.days(order).unwrap().len(), 3);
        assert!(matches!(
            book.drop_day(order, was),
            Err(Trouble::Missing(_))
        ));
    }

    /// Would catch what is forgotten, what is shown of a closed order, and the demo in the counts.
    #[test]
    fn what_comes_and_what_is_overdue() {
        let mut book = sample::book();
        let (_, mine) = sample::order(&mut book);
        let (_, other) = sample::order(&mut book);
        let demo = book.new_client(&about("Demo"), true).unwrap();
        let shown_off = book.new_order(&NewOrder::of(demo)).unwrap();
        for (order, kind, on) in [
            (mine, DayKind::Fitting, "2026-11-24"),
            (mine, DayKind::Hem, "2026-11-25"),
            (mine, DayKind::Event, "2026-12-25"),
            (other, DayKind::Fitting, "2026-11-26"),
            (other, DayKind::Care, "2027-05-01"),
            (shown_off, DayKind::Fitting, "2026-11-20"),
            (shown_off, DayKind::Event, "2026-11-27"),
        ] {
            book.add_day(order, &new(kind, on)).unwrap();
        }
        let today = day("2026-11-25");
        let list = |lines: Vec<DayLine>| -> Vec<String> {
            lines
                .iter()
                .map(|l| format!("{} {}", l.order, l.day.day.on))
                .collect()
        };
        assert_eq!(
            list(book.what_comes(today, Some(day("2026-12-01"))).unwrap()),
            ["1 2026-11-25", "2 2026-11-26", "9001 2026-11-27"]
        );
        assert_eq!(
            list(book.overdue(today).unwrap()),
            ["9001 2026-11-20", "1 2026-11-24"]
        );
        let counts = book.counts(today).unwrap();
        assert_eq!(
            counts,
            Counts {
                clients: 2,
                open_orders: 2,
                overdue: 1
            }
        );
        book.close_order(other).unwrap();
        assert_eq!(
            list(book.what_comes(today, None).unwrap()),
            [
                "1 2026-11-25",
                "9001 2026-11-27",
                "1 2026-12-25",
                "2 2027-05-01"
            ]
        );
        assert!(book.has_demo().unwrap());
    }
}
