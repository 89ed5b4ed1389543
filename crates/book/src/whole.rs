//! Whether a file is whole: SQLite's own checks, our tables, and every row as we read it.

use rusqlite::{Connection, Row};

use crate::row::all;
use crate::{Trouble, cards, clients, days, devices, fittings, journal, lays, migrate, money};
use crate::{orders, pictures, prices, quotes, versions};

/// How closely to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Look {
    /// Every page, but not every index against its table: at each start.
    Quick,
    /// Everything, and every row that points to another: once a week, before a step to a newer edition,
    /// and for each backup.
    Close,
}

/// Looks whether SQLite finds the file whole.
///
/// # Errors
/// [`Trouble::Damaged`] without a backup, if it does not.
pub(crate) fn look(db: &Connection, how: Look) -> Result<(), Trouble> {
    let name = match how {
        Look::Quick => "quick_check",
        Look::Close => "integrity_check",
    };
    let said: String = db.query_row(&format!("PRAGMA {name}(1)"), [], |row| row.get(0))?;
    if said != "ok" {
        return Err(Trouble::Damaged { backup: None });
    }
    if how == Look::Close {
        let mut asked = db.prepare("PRAGMA foreign_key_check")?;
        if asked.query([])?.next()?.is_some() {
            return Err(Trouble::Damaged { backup: None });
        }
    }
    Ok(())
}

/// Every table, index and trigger, as it was written.
type Built = Vec<(String, String, Option<String>)>;

fn built(db: &Connection) -> Result<Built, Trouble> {
    all(
        db,
        "SELECT type, name, sql FROM sqlite_schema ORDER BY type, name",
        [],
        &mut |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
    )
}

/// Looks whether the file is built as a book of its edition is, with nothing added: a trigger in a file
/// from elsewhere would do what it likes.
///
/// # Errors
/// [`Trouble::Other`] if it is built otherwise.
pub(crate) fn built_as_ours(db: &Connection, edition: u32) -> Result<(), Trouble> {
    let mut fresh = Connection::open_in_memory()?;
    migrate::walk(&mut fresh, 0, &migrate::STEPS[..edition as usize])?;
    if built(db)? == built(&fresh)? {
        Ok(())
    } else {
        let why = "This file is not built as a book of Ellwand is, so it was not opened.";
        Err(Trouble::Other(why.to_owned()))
    }
}

/// Reads every row as the pages would.
///
/// # Errors
/// [`Trouble::Other`] naming the table with a row that can't be read.
pub(crate) fn readable(db: &Connection) -> Result<(), Trouble> {
    fn table<T>(
        db: &Connection,
        name: &str,
        sql: &str,
        each: fn(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<(), Trouble> {
        let rows = db.prepare(sql).and_then(|mut asked| {
            let mut rows = asked.query_map([], each)?;
            rows.try_for_each(|row| row.map(|_| ()))
        });
        rows.map_err(|error| match Trouble::from(error) {
            damaged @ Trouble::Damaged { .. } => damaged,
            _ => Trouble::Other(format!(
                "A line of the table \"{name}\" can't be read, so nothing was taken over."
            )),
        })
    }
    table(db, "client", "SELECT * FROM client", clients::client_of)?;
    table(
        db,
        "client_change",
        "SELECT * FROM client_change",
        clients::change_of,
    )?;
    table(db, "card", "SELECT * FROM card", cards::card_of)?;
    table(db, "reading", "SELECT * FROM reading", cards::reading_of)?;
    table(db, "order", r#"SELECT * FROM "order""#, orders::order_of)?;
    table(db, "journal", "SELECT * FROM journal", journal::entry_of)?;
    table(db, "version", "SELECT * FROM version", versions::version_of)?;
    table(
        db,
        "fitting",
        &format!("{} WHERE 1", fittings::FITTING),
        fittings::fitting_of,
    )?;
    table(db, "pin", "SELECT * FROM pin", fittings::pin_of)?;
    table(db, "day", "SELECT * FROM day", days::day_of)?;
    table(db, "picture", "SELECT * FROM picture", pictures::picture_of)?;
    table(db, "price", "SELECT * FROM price", prices::price_of)?;
    table(
        db,
        "quote",
        "SELECT *, 0 AS has_sheet FROM quote",
        quotes::quote_of,
    )?;
    table(db, "payment", "SELECT * FROM payment", money::payment_of)?;
    table(db, "actual", "SELECT * FROM actual", money::actual_of)?;
    table(db, "lay", "SELECT * FROM lay", lays::lay_of)?;
    table(db, "device", "SELECT * FROM device", devices::device_of)
}
