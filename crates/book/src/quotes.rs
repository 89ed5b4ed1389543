//! Quotes: kept as they were given, with every figure they were reckoned from.

use measure::Date;
use rusqlite::{Connection, Row, params};

use crate::id::next_number;
use crate::orders::order;
use crate::row::{date, one};
use crate::{Book, Id, OrderNo, QuoteNo, Stamp, Trouble};

/// A quote to be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewQuote {
    /// JSON: every figure it was reckoned from.
    pub asked: String,
    /// What is to be paid, in minor units.
    pub total: i64,
    /// Its currency, by ISO 4217.
    pub currency: String,
    /// The last day that it holds.
    pub valid: Date,
}

/// A quote as it was given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quote {
    /// Its name in the file.
    pub id: Id,
    /// Its number in the order.
    pub number: QuoteNo,
    /// What was kept.
    pub kept: NewQuote,
    /// Whether its sheet is kept with it.
    pub has_sheet: bool,
    /// When it was given.
    pub made: Stamp,
}

pub(crate) fn quote_of(row: &Row<'_>) -> rusqlite::Result<Quote> {
    let kept = NewQuote {
        asked: row.get("asked")?,
        total: row.get("total")?,
        currency: row.get("currency")?,
        valid: date(row, "valid")?,
    };
    Ok(Quote {
        id: row.get("id")?,
        number: row.get("number")?,
        kept,
        has_sheet: row.get("has_sheet")?,
        made: row.get("made")?,
    })
}

const QUOTE: &str = r#"SELECT id, number, asked, total, currency, valid, made, bytes IS NOT NULL AS has_sheet
                       FROM quote WHERE "order" = ?1"#;

fn quote(db: &Connection, of: OrderNo, number: QuoteNo) -> Result<Quote, Trouble> {
    let order = order(db, of)?;
    one(
        db,
        &format!("{QUOTE} AND number = ?2"),
        params![order.id, number],
        quote_of,
    )?
    .ok_or_else(|| Trouble::Missing(format!("quote {number} of order {of}")))
}

fn sheet(db: &Connection, quote: Id) -> Result<Option<Vec<u8>>, Trouble> {
    Ok(one(
        db,
        "SELECT bytes FROM quote WHERE id = ?1",
        [quote],
        |row| row.get(0),
    )?
    .flatten())
}

impl Book {
    /// Keeps a quote and gives it a number. Its figures never change afterwards; a better one is another
    /// quote.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn keep_quote(&mut self, of: OrderNo, new: &NewQuote) -> Result<QuoteNo, Trouble> {
        self.write(|db, now| {
            let order = order(db, of)?;
            let number = QuoteNo(next_number(db, &format!("quote/{}", order.id))?);
            db.execute(
                r#"INSERT INTO quote (id, "order", number, asked, total, currency, valid, made)
                   VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)"#,
                params![
                    Id::new(),
                    order.id,
                    number,
                    new.asked,
                    new.total,
                    new.currency,
                    new.valid.to_string(),
                    now
                ],
            )?;
            Ok(number)
        })
    }

    /// Keeps the sheet of a quote, which bears its number; answers the one that is kept. The first one
    /// stays.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such quote.
    pub fn keep_quote_sheet(
        &mut self,
        of: OrderNo,
        number: QuoteNo,
        bytes: Vec<u8>,
    ) -> Result<Vec<u8>, Trouble> {
        self.write(|db, _| {
            let quote = quote(db, of, number)?;
            if let Some(kept) = sheet(db, quote.id)? {
                return Ok(kept);
            }
            db.execute(
                "UPDATE quote SET bytes = ?2 WHERE id = ?1",
                params![quote.id, bytes],
            )?;
            Ok(bytes)
        })
    }

    /// The quotes of an order, the newest first.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn quotes(&self, of: OrderNo) -> Result<Vec<Quote>, Trouble> {
        let order = self.order(of)?;
        self.all(
            &format!("{QUOTE} ORDER BY number DESC"),
            [order.id],
            quote_of,
        )
    }

    /// A quote by its number.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn quote(&self, of: OrderNo, number: QuoteNo) -> Result<Quote, Trouble> {
        quote(&self.db, of, number)
    }

    /// The sheet of a quote, if one was kept.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such quote.
    pub fn quote_sheet(&self, of: OrderNo, number: QuoteNo) -> Result<Option<Vec<u8>>, Trouble> {
        sheet(&self.db, quote(&self.db, of, number)?.id)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{self, day};

    /// Would catch a figure or a sheet that changes after it was given.
    #[test]
    fn a_quote_stays_as_it_was_given() {
        let mut book = sample::book();
        let (_, order) = sample::order(&mut book);
        let new = NewQuote {
            asked: r#"{"hours":12}"#.to_owned(),
            total: 186_891,
            currency: "EUR".to_owned(),
            valid: day("2026-12-24"),
        };
        let one = book.keep_quote(order, &new).unwrap();
        let two = book
            .keep_quote(
                order,
                &NewQuote {
                    total: 1,
                    ..new.clone()
                },
            )
            .unwrap();
        assert_eq!((one, two), (QuoteNo(1), QuoteNo(2)));
        assert_eq!(book.quote_sheet(order, one).unwrap(), None);
        assert_eq!(book.keep_quote_sheet(order, one, vec![1]).unwrap(), [1]);
        assert_eq!(book.keep_quote_sheet(order, one, vec![2]).unwrap(), [1]);
        assert_eq!(book.quote_sheet(order, one).unwrap(), Some(vec![1]));
        let kept = book.quote(order, one).unwrap();
        assert_eq!((kept.kept, kept.has_sheet), (new, true));
        assert_eq!(
            book.quotes(order)
                .unwrap()
                .iter()
                .map(|q| q.kept.total)
                .collect::<Vec<_>>(),
            [1, 186_891]
        );
        for sql in [
            "UPDATE quote SET total = 5 WHERE number = 2",
            "UPDATE quote SET bytes = x'05' WHERE number = 1",
            "UPDATE quote SET bytes = x'05', total = 6 WHERE number = 2",
            "DELETE FROM quote",
        ] {
            assert!(book.db.execute(sql, []).is_err(), "{sql}");
        }
    }
}
