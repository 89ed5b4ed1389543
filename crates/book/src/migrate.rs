//! Editions of the file, and the steps from one to the next.

use rusqlite::Connection;

use crate::Trouble;

/// Marks the file as a book of Ellwand: the letters `Ellw` (SQLite's `application_id`).
pub(crate) const MARK: i32 = 0x456c_6c77;

/// The step to each edition. A released step is never changed: a newer one is added.
pub(crate) const STEPS: &[&str] = &[include_str!("steps/1.sql"), include_str!("steps/2.sql")];

/// The edition that this program writes.
pub(crate) fn edition() -> u32 {
    u32::try_from(STEPS.len()).unwrap_or(u32::MAX)
}

/// The file's edition; 0 for a new one.
///
/// # Errors
/// [`Trouble::Newer`] for one of a newer program, [`Trouble::Other`] for a database of something else.
pub(crate) fn edition_of(db: &Connection) -> Result<u32, Trouble> {
    edition_up_to(db, edition())
}

/// The file's edition, where the newest that is known is this one.
///
/// # Errors
/// As [`edition_of`].
pub(crate) fn edition_up_to(db: &Connection, newest: u32) -> Result<u32, Trouble> {
    let file: i64 = db.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let mark: i32 = db.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let tables: i64 = db.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    let new = file == 0 && mark == 0 && tables == 0;
    if !new && mark != MARK {
        let why = "The file book.db in this folder belongs to something else, and was not touched. \
                   Choose another folder with --data.";
        return Err(Trouble::Other(why.to_owned()));
    }
    let file = u32::try_from(file).unwrap_or(u32::MAX);
    if file > newest {
        return Err(Trouble::Newer {
            file,
            program: newest,
        });
    }
    Ok(file)
}

/// Brings the file to this program's edition, each step in a transaction of its own.
///
/// # Errors
/// When a step does not go through; the file is then as before that step.
pub(crate) fn migrate(db: &mut Connection, from: u32) -> Result<(), Trouble> {
    walk(db, from, STEPS)
}

/// Walks the steps that are still to be done.
///
/// # Errors
/// As [`migrate`].
pub(crate) fn walk(db: &mut Connection, from: u32, steps: &[&str]) -> Result<(), Trouble> {
    for (step, edition) in steps.iter().zip(1_u32..).skip(from as usize) {
        let all = db.transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)?;
        all.execute_batch(step)?;
        all.pragma_update(None, "application_id", MARK)?;
        all.pragma_update(None, "user_version", edition)?;
        all.commit()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests;
