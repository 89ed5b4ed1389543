//! What was paid for an order, and what it really took.

use measure::Date;
use rusqlite::{Row, params};

use crate::orders::order;
use crate::row::{date, met};
use crate::{Book, Id, OrderNo, Stamp, Trouble};

/// A payment to be entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPayment {
    /// Which day.
    pub on: Date,
    /// In minor units; below nothing when it was paid back.
    pub minor: i64,
    /// Its currency, by ISO 4217.
    pub currency: String,
    /// "deposit", ...
    pub words: String,
}

/// A payment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Payment {
    /// Its name in the file.
    pub id: Id,
    /// What was entered.
    pub payment: NewPayment,
    /// When.
    pub made: Stamp,
}

/// What a stage of the work really took, to be entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewActual {
    /// Which stage, as the quote calls it.
    pub stage: String,
    /// How long it took.
    pub minutes: u32,
    /// What was spent besides, in minor units of the order's currency.
    pub minor: i64,
    /// Which day.
    pub on: Date,
    /// Anything to say about it.
    pub words: String,
}

/// What a stage of the work really took.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Actual {
    /// Its name in the file.
    pub id: Id,
    /// What was entered.
    pub actual: NewActual,
    /// When.
    pub made: Stamp,
}

pub(crate) fn payment_of(row: &Row<'_>) -> rusqlite::Result<Payment> {
    let payment = NewPayment {
        on: date(row, "on_day")?,
        minor: row.get("minor")?,
        currency: row.get("currency")?,
        words: row.get("words")?,
    };
    Ok(Payment {
        id: row.get("id")?,
        payment,
        made: row.get("made")?,
    })
}

pub(crate) fn actual_of(row: &Row<'_>) -> rusqlite::Result<Actual> {
    let actual = NewActual {
        stage: row.get("stage")?,
        minutes: row.get("minutes")?,
        minor: row.get("minor")?,
        on: date(row, "on_day")?,
        words: row.get("words")?,
    };
    Ok(Actual {
        id: row.get("id")?,
        actual,
        made: row.get("made")?,
    })
}

impl Book {
    /// Enters a payment.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn add_payment(&mut self, of: OrderNo, new: &NewPayment) -> Result<Id, Trouble> {
        self.write(|db, now| {
            let id = Id::new();
            db.execute(
                r#"INSERT INTO payment (id, "order", on_day, minor, currency, words, made)
                   VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)"#,
                params![
                    id,
                    order(db, of)?.id,
                    new.on.to_string(),
                    new.minor,
                    new.currency,
                    new.words,
                    now
                ],
            )?;
            Ok(id)
        })
    }

    /// The payments of an order by day.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn payments(&self, of: OrderNo) -> Result<Vec<Payment>, Trouble> {
        let sql = r#"SELECT * FROM payment WHERE "order" = ?1 ORDER BY on_day, id"#;
        self.all(sql, [self.order(of)?.id], payment_of)
    }

    /// Takes away a payment that was entered by mistake (one that was paid back is entered as such).
    ///
    /// # Errors
    /// [`Trouble::Missing`] if it is not one of this order's.
    pub fn drop_payment(&mut self, of: OrderNo, id: Id) -> Result<(), Trouble> {
        self.write(|db, _| {
            let sql = r#"DELETE FROM payment WHERE id = ?1 AND "order" = ?2"#;
            met(
                db.execute(sql, params![id, order(db, of)?.id])?,
                "such payment",
            )
        })
    }

    /// Enters what a stage really took.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn add_actual(&mut self, of: OrderNo, new: &NewActual) -> Result<Id, Trouble> {
        self.write(|db, now| {
            let id = Id::new();
            db.execute(
                r#"INSERT INTO actual (id, "order", stage, minutes, minor, on_day, words, made)
                   VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)"#,
                params![
                    id,
                    order(db, of)?.id,
                    new.stage,
                    new.minutes,
                    new.minor,
                    new.on.to_string(),
                    new.words,
                    now
                ],
            )?;
            Ok(id)
        })
    }

    /// What the stages of an order really took, by day.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn actuals(&self, of: OrderNo) -> Result<Vec<Actual>, Trouble> {
        let sql = r#"SELECT * FROM actual WHERE "order" = ?1 ORDER BY on_day, id"#;
        self.all(sql, [self.order(of)?.id], actual_of)
    }

    /// Takes away what was entered by mistake.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if it is not one of this order's.
    pub fn drop_actual(&mut self, of: OrderNo, id: Id) -> Result<(), Trouble> {
        self.write(|db, _| {
            let sql = r#"DELETE FROM actual WHERE id = ?1 AND "order" = ?2"#;
            met(
                db.execute(sql, params![id, order(db, of)?.id])?,
                "such entry",
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{self, day};

    /// Would catch a field that is lost or changes places, and money of one order among another's.
    #[test]
    fn what_was_paid_and_what_it_took() {
        let mut book = sample::book();
        let (_, order) = sample::order(&mut book);
        let (_, other) = sample::order(&mut book);
        let back = NewPayment {
            on: day("2026-11-24"),
            minor: -500,
            currency: "EUR".to_owned(),
            words: "paid back".to_owned(),
        };
        let deposit = NewPayment {
            on: day("2026-11-01"),
            minor: 50_000,
            ..back.clone()
        };
        let id = book.add_payment(order, &back).unwrap();
        book.add_payment(order, &deposit).unwrap();
        let list: Vec<_> = book
            .payments(order)
            .unwrap()
            .into_iter()
            .map(|p| p.payment)
            .collect();
        assert_eq!(list, [deposit, back]);
        assert!(book.payments(other).unwrap().is_empty());
        assert!(matches!(
            book.drop_payment(other, id),
            Err(Trouble::Missing(_))
        ));
        book.drop_payment(order, id).unwrap();
        assert_eq!(book.payments(order).unwrap().len(), 1);
        let took = NewActual {
            stage: "cutting".to_owned(),
            minutes: 95,
            minor: 120,
            on: day("2026-11-24"),
            words: "two layers".to_owned(),
        };
        let id = book.add_actual(order, &took).unwrap();
        assert_eq!(book.actuals(order).unwrap()[0].actual, took);
        book.drop_actual(order, id).unwrap();
        assert!(book.actuals(order).unwrap().is_empty());
    }
}
