//! The price book: a price is never changed, a newer one is added.

use measure::Date;
use rusqlite::{Row, params};

use crate::row::{date, met, words};
use crate::{Book, Id, Stamp, Trouble};

words! {
    /// What a price is for.
    PriceKind {
        /// Cloth, by length.
        Cloth = "cloth",
        /// Zips, hooks, thread.
        Notion = "notion",
        /// An hour of work.
        Hour = "hour",
        /// Anything else.
        Other = "other",
    }
}

/// A price to be entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPrice {
    /// What it is for.
    pub kind: PriceKind,
    /// What it is called. Prices of one kind and name follow each other.
    pub name: String,
    /// A cloth's page.
    pub page: String,
    /// `yd`, `m`, `piece`, `hour`.
    pub unit: String,
    /// In minor units: cents, pence.
    pub minor: i64,
    /// Its currency, by ISO 4217: `EUR`.
    pub currency: String,
    /// Where it is bought.
    pub supplier: String,
    /// The first day that it counts.
    pub since: Date,
    /// Whether it is the demo's.
    pub demo: bool,
}

/// A price in the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// Its name in the file.
    pub id: Id,
    /// What was entered.
    pub price: NewPrice,
    /// When its thing was put away, if it was.
    pub put_away: Option<Stamp>,
}

pub(crate) fn price_of(row: &Row<'_>) -> rusqlite::Result<Price> {
    let price = NewPrice {
        kind: row.get("kind")?,
        name: row.get("name")?,
        page: row.get("page")?,
        unit: row.get("unit")?,
        minor: row.get("minor")?,
        currency: row.get("currency")?,
        supplier: row.get("supplier")?,
        since: date(row, "since")?,
        demo: row.get("demo")?,
    };
    Ok(Price {
        id: row.get("id")?,
        price,
        put_away: row.get("put_away")?,
    })
}

impl Book {
    /// Enters a price, new or newer than one that is there.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn add_price(&mut self, new: &NewPrice) -> Result<Id, Trouble> {
        self.write(|db, _| {
            let id = Id::new();
            db.execute(
                "INSERT INTO price (id, kind, name, page, unit, minor, currency, supplier, since, demo)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
                params![
                    id,
                    new.kind,
                    new.name,
                    new.page,
                    new.unit,
                    new.minor,
                    new.currency,
                    new.supplier,
                    new.since.to_string(),
                    new.demo
                ],
            )?;
            Ok(id)
        })
    }

    /// The price of each thing that counts on a day: its newest that began by then. Things put away are
    /// not among them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn prices(&self, on: Date) -> Result<Vec<Price>, Trouble> {
        self.all(
            "SELECT * FROM price WHERE put_away IS NULL AND id =
                    (SELECT id FROM price AS p
                     WHERE p.kind = price.kind AND p.name = price.name AND p.demo = price.demo
                           AND p.put_away IS NULL AND p.since <= ?1
                     ORDER BY p.since DESC, p.rowid DESC LIMIT 1)
             ORDER BY demo, kind, name COLLATE NOCASE, name",
            [on.to_string()],
            price_of,
        )
    }

    /// Every price that a thing ever had, the newest first.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn price_history(&self, kind: PriceKind, name: &str) -> Result<Vec<Price>, Trouble> {
        self.all(
            "SELECT * FROM price WHERE kind = ?1 AND name = ?2 ORDER BY since DESC, rowid DESC",
            params![kind, name],
            price_of,
        )
    }

    /// A price by its id.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn price(&self, id: Id) -> Result<Price, Trouble> {
        self.one("SELECT * FROM price WHERE id = ?1", [id], price_of)?
            .ok_or_else(|| Trouble::Missing("such price".to_owned()))
    }

    /// Puts a thing away with all its prices, so that it is no longer offered, or takes it out again.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if nothing is called so.
    pub fn put_away_price(
        &mut self,
        kind: PriceKind,
        name: &str,
        away: bool,
    ) -> Result<(), Trouble> {
        self.write(|db, now| {
            let rows = db.execute(
                "UPDATE price SET put_away = ?3 WHERE kind = ?1 AND name = ?2",
                params![kind, name, away.then_some(now)],
            )?;
            met(rows, "such price")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{self, day};

    /// Would catch an old price that counts, a price of the future, and one that is written over.
    #[test]
    fn the_newest_price_counts_and_none_is_changed() {
        let mut book = sample::book();
        let first = NewPrice {
            kind: PriceKind::Cloth,
            name: "Silk satin".to_owned(),
            page: "width = 140".to_owned(),
            unit: "m".to_owned(),
            minor: 4500,
            currency: "EUR".to_owned(),
            supplier: "A mill".to_owned(),
            since: day("2025-01-01"),
            demo: false,
        };
        let at = |minor, since| NewPrice {
            minor,
            since: day(since),
            ..first.clone()
        };
        book.add_price(&first).unwrap();
        book.add_price(&at(4900, "2026-01-01")).unwrap();
        book.add_price(&at(4800, "2026-01-01")).unwrap();
        book.add_price(&at(6000, "2027-01-01")).unwrap();
        book.add_price(&NewPrice {
            kind: PriceKind::Hour,
            name: "Sewing".to_owned(),
            ..first.clone()
        })
        .unwrap();
        let on = |book: &Book, date| -> Vec<i64> {
            book.prices(day(date))
                .unwrap()
                .into_iter()
                .map(|p| p.price.minor)
                .collect()
        };
        assert_eq!(on(&book, "2024-12-31"), [0; 0]);
        assert_eq!(on(&book, "2025-06-01"), [4500, 4500]);
        assert_eq!(
            on(&book, "2026-06-01"),
            [4800, 4500],
            "entered later on the same day"
        );
        let history = book.price_history(PriceKind::Cloth, "Silk satin").unwrap();
        assert_eq!(
            history.iter().map(|p| p.price.minor).collect::<Vec<_>>(),
            [6000, 4800, 4900, 4500]
        );
        assert_eq!(history[3].price, first);
        assert_eq!(book.price(history[3].id).unwrap(), history[3]);
        for sql in ["UPDATE price SET minor = 1", "DELETE FROM price"] {
            assert!(book.db.execute(sql, []).is_err(), "{sql}");
        }
        book.put_away_price(PriceKind::Cloth, "Silk satin", true)
            .unwrap();
        assert_eq!(on(&book, "2026-06-01"), [4500]);
        book.put_away_price(PriceKind::Cloth, "Silk satin", false)
            .unwrap();
        assert_eq!(on(&book, "2026-06-01"), [4800, 4500]);
    }
}
