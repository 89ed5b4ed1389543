//! Fittings: what was pinned, on which side, how deep, and what became of it.

use measure::Date;
use rusqlite::{Connection, Row, params};

use crate::id::next_number;
use crate::orders::order;
use crate::row::{count, date, met, one, signed, words};
use crate::{Book, FittingNo, Id, OrderNo, Stamp, Trouble, VersionNo, versions};

words! {
    /// What was fitted.
    Garment {
        /// A toile.
        Toile = "toile",
        /// The garment in its cloth.
        Cloth = "cloth",
        /// The finished garment.
        Finished = "finished",
    }
}

words! {
    /// The side of a pin, hers.
    Side {
        /// Her left.
        Left = "left",
        /// Her right.
        Right = "right",
        /// Both sides alike.
        Both = "both",
    }
}

words! {
    /// How a depth is counted.
    Counted {
        /// So much at each edge.
        Each = "each",
        /// So much in all, over all edges of the place.
        InAll = "in all",
    }
}

/// A fitting to be entered, or what it is changed to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewFitting {
    /// Which day.
    pub on: Date,
    /// What was fitted.
    pub garment: Garment,
    /// What was seen.
    pub notes: String,
    /// Who was content, and when; empty until then.
    pub signed: String,
    /// The version that was fitted.
    pub version: Option<VersionNo>,
}

/// A fitting of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fitting {
    /// Its name in the file.
    pub id: Id,
    /// Its number in the order.
    pub number: FittingNo,
    /// What it was.
    pub fitting: NewFitting,
    /// When it was entered.
    pub made: Stamp,
    /// Counts the changes.
    pub seen: u64,
}

/// A pin to be entered, or what it is changed to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPin {
    /// Where: JSON with piece, edge, from and to.
    pub place: String,
    /// On which side of her.
    pub side: Side,
    /// `take in`, `let out`, `raise`, `drop`, `note`.
    pub action: String,
    /// How deep, as she typed it.
    pub depth: String,
    /// How the depth is counted.
    pub counted: Counted,
    /// Anything to say about it.
    pub words: String,
    /// Whether it was marked on the cloth.
    pub on_cloth: bool,
}

/// A pin of a fitting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pin {
    /// Its name in the file.
    pub id: Id,
    /// What it is.
    pub pin: NewPin,
    /// What it became: nothing yet, `choice/<name>` or `correction/<id>` among what the order holds.
    pub became: String,
    /// `here`, or the name of a phone.
    pub by: String,
    /// When it was entered.
    pub made: Stamp,
}

pub(crate) fn fitting_of(row: &Row<'_>) -> rusqlite::Result<Fitting> {
    let fitting = NewFitting {
        on: date(row, "on_day")?,
        garment: row.get("stage")?,
        notes: row.get("notes")?,
        signed: row.get("signed")?,
        version: row.get("version_number")?,
    };
    Ok(Fitting {
        id: row.get("id")?,
        number: row.get("number")?,
        fitting,
        made: row.get("made")?,
        seen: count(row, "seen")?,
    })
}

pub(crate) fn pin_of(row: &Row<'_>) -> rusqlite::Result<Pin> {
    let pin = NewPin {
        place: row.get("place")?,
        side: row.get("side")?,
        action: row.get("action")?,
        depth: row.get("depth")?,
        counted: row.get("counted")?,
        words: row.get("words")?,
        on_cloth: row.get("on_cloth")?,
    };
    Ok(Pin {
        id: row.get("id")?,
        pin,
        became: row.get("became")?,
        by: row.get("by")?,
        made: row.get("made")?,
    })
}

pub(crate) const FITTING: &str = "SELECT fitting.*, version.number AS version_number FROM fitting
                         LEFT JOIN version ON version.id = fitting.version";

fn fitting(db: &Connection, of: OrderNo, number: FittingNo) -> Result<Fitting, Trouble> {
    let order = order(db, of)?;
    one(
        db,
        &format!(r#"{FITTING} WHERE fitting."order" = ?1 AND fitting.number = ?2"#),
        params![order.id, number],
        fitting_of,
    )?
    .ok_or_else(|| Trouble::Missing(format!("fitting {number} of order {of}")))
}

/// The id of the version that was fitted.
fn version_id(db: &Connection, of: OrderNo, new: &NewFitting) -> Result<Option<Id>, Trouble> {
    let version = new.version.map(|number| versions::version(db, of, number));
    Ok(version.transpose()?.map(|v| v.id))
}

/// A pin that belongs to the order and became nothing yet.
fn loose_pin(db: &Connection, of: OrderNo, id: Id) -> Result<(), Trouble> {
    let order = order(db, of)?;
    let became: Option<String> = one(
        db,
        r#"SELECT pin.became FROM pin JOIN fitting ON fitting.id = pin.fitting
           WHERE pin.id = ?1 AND fitting."order" = ?2"#,
        params![id, order.id],
        |row| row.get(0),
    )?;
    match became {
        None => Err(Trouble::Missing("such pin".to_owned())),
        Some(became) if became.is_empty() => Ok(()),
        Some(_) => {
            let why = "This pin has already become a change of the draft. Take that back first.";
            Err(Trouble::Other(why.to_owned()))
        }
    }
}

impl Book {
    /// Enters a fitting and gives it a number.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order or version.
    pub fn new_fitting(&mut self, of: OrderNo, new: &NewFitting) -> Result<FittingNo, Trouble> {
        self.write(|db, now| {
            let order = order(db, of)?;
            let version = version_id(db, of, new)?;
            let number = FittingNo(next_number(db, &format!("fitting/{}", order.id))?);
            db.execute(
                r#"INSERT INTO fitting (id, "order", number, on_day, stage, notes, signed, version, made)
                   VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)"#,
                params![
                    Id::new(),
                    order.id,
                    number,
                    new.on.to_string(),
                    new.garment,
                    new.notes,
                    new.signed,
                    version,
                    now
                ],
            )?;
            Ok(number)
        })
    }

    /// The fittings of an order, the first one first.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such order.
    pub fn fittings(&self, of: OrderNo) -> Result<Vec<Fitting>, Trouble> {
        let order = self.order(of)?;
        self.all(
            &format!(r#"{FITTING} WHERE fitting."order" = ?1 ORDER BY fitting.number"#),
            [order.id],
            fitting_of,
        )
    }

    /// A fitting by its number.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn fitting(&self, of: OrderNo, number: FittingNo) -> Result<Fitting, Trouble> {
        fitting(&self.db, of, number)
    }

    /// Changes what is kept of a fitting; answers the count to give next time.
    ///
    /// # Errors
    /// [`Trouble::Moved`] if `seen` is no longer its count; [`Trouble::Missing`].
    pub fn change_fitting(
        &mut self,
        of: OrderNo,
        number: FittingNo,
        seen: u64,
        to: &NewFitting,
    ) -> Result<u64, Trouble> {
        self.write(|db, _| {
            let was = fitting(db, of, number)?;
            if was.fitting == *to {
                return Ok(was.seen);
            }
            if was.seen != seen {
                return Err(Trouble::Moved { now: was.seen });
            }
            db.execute(
                "UPDATE fitting SET on_day = ?2, stage = ?3, notes = ?4, signed = ?5, version = ?6,
                        seen = ?7 WHERE id = ?1",
                params![
                    was.id,
                    to.on.to_string(),
                    to.garment,
                    to.notes,
                    to.signed,
                    version_id(db, of, to)?,
                    signed(was.seen + 1)
                ],
            )?;
            Ok(was.seen + 1)
        })
    }

    /// Takes away a fitting that was begun by mistake: nothing was pinned in it. Its version stays.
    ///
    /// # Errors
    /// [`Trouble::Other`] if something was pinned in it; [`Trouble::Missing`].
    pub fn drop_fitting(&mut self, of: OrderNo, number: FittingNo) -> Result<(), Trouble> {
        self.write(|db, _| {
            let fitting = fitting(db, of, number)?;
            let pins: i64 = db.query_row(
                "SELECT count(*) FROM pin WHERE fitting = ?1",
                [fitting.id],
                |row| row.get(0),
            )?;
            if pins > 0 {
                let why = "Something was pinned in this fitting. Strike that out first.";
                return Err(Trouble::Other(why.to_owned()));
            }
            db.execute("DELETE FROM fitting WHERE id = ?1", [fitting.id])?;
            Ok(())
        })
    }

    /// Writes down a pin.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such fitting.
    pub fn add_pin(
        &mut self,
        of: OrderNo,
        number: FittingNo,
        new: &NewPin,
        by: &str,
    ) -> Result<Id, Trouble> {
        self.write(|db, now| {
            let fitting = fitting(db, of, number)?;
            let id = Id::new();
            db.execute(
                "INSERT INTO pin (id, fitting, place, side, action, depth, counted, words, on_cloth, by,
                                  made)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
                params![
                    id,
                    fitting.id,
                    new.place,
                    new.side,
                    new.action,
                    new.depth,
                    new.counted,
                    new.words,
                    new.on_cloth,
                    by,
                    now
                ],
            )?;
            Ok(id)
        })
    }

    /// The pins of a fitting, in the order in which they were written down.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such fitting.
    pub fn pins(&self, of: OrderNo, number: FittingNo) -> Result<Vec<Pin>, Trouble> {
        let fitting = self.fitting(of, number)?;
        self.all(
            "SELECT * FROM pin WHERE fitting = ?1 ORDER BY id",
            [fitting.id],
            pin_of,
        )
    }

    /// Changes a pin that became nothing yet.
    ///
    /// # Errors
    /// [`Trouble::Other`] if it has become a change of the draft; [`Trouble::Missing`].
    pub fn change_pin(&mut self, of: OrderNo, id: Id, to: &NewPin) -> Result<(), Trouble> {
        self.write(|db, _| {
            loose_pin(db, of, id)?;
            db.execute(
                "UPDATE pin SET place = ?2, side = ?3, action = ?4, depth = ?5, counted = ?6, words = ?7,
                        on_cloth = ?8 WHERE id = ?1",
                params![
                    id,
                    to.place,
                    to.side,
                    to.action,
                    to.depth,
                    to.counted,
                    to.words,
                    to.on_cloth
                ],
            )?;
            Ok(())
        })
    }

    /// Takes away a pin that was written down by mistake.
    ///
    /// # Errors
    /// [`Trouble::Other`] if it has become a change of the draft; [`Trouble::Missing`].
    pub fn drop_pin(&mut self, of: OrderNo, id: Id) -> Result<(), Trouble> {
        self.write(|db, _| {
            loose_pin(db, of, id)?;
            db.execute("DELETE FROM pin WHERE id = ?1", [id])?;
            Ok(())
        })
    }

    /// Says what a pin became: `choice/<name>`, `correction/<id>`, or nothing again (empty) when that was
    /// taken back.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if it is not one of this order's.
    pub fn pin_became(&mut self, of: OrderNo, id: Id, became: &str) -> Result<(), Trouble> {
        self.set_pin(of, id, "became", became)
    }

    /// Says whether a pin was marked on the cloth.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if it is not one of this order's.
    pub fn pin_on_cloth(&mut self, of: OrderNo, id: Id, marked: bool) -> Result<(), Trouble> {
        self.set_pin(of, id, "on_cloth", marked)
    }

    fn set_pin(
        &mut self,
        of: OrderNo,
        id: Id,
        column: &str,
        value: impl rusqlite::ToSql,
    ) -> Result<(), Trouble> {
        self.write(|db, _| {
            let order = order(db, of)?;
            let rows = db.execute(
                &format!(
                    r#"UPDATE pin SET {column} = ?3 WHERE id = ?1
                       AND fitting IN (SELECT id FROM fitting WHERE "order" = ?2)"#
                ),
                params![id, order.id, value],
            )?;
            met(rows, "such pin")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{self, day};

    fn new(notes: &str) -> NewFitting {
        NewFitting {
            on: day("2026-11-25"),
            garment: Garment::Toile,
            notes: notes.to_owned(),
            signed: String::new(),
            version: None,
        }
    }

    /// Would catch a field that is lost or changes places, a pin in the wrong fitting, and a pin that
    /// changes after the draft followed it.
    #[test]
    fn what_was_pinned_comes_back() {
        let mut book = sample::book();
        let (_, order) = sample::order(&mut book);
        let first = book.new_fitting(order, &new("tight at the knee")).unwrap();
        let second = book
            .new_fitting(
                order,
                &NewFitting {
                    garment: Garment::Cloth,
                    ..new("")
                },
            )
            .unwrap();
        assert_eq!((first, second), (FittingNo(1), FittingNo(2)));
        let signed = NewFitting {
            signed: "O. M., 25 November".to_owned(),
            ..new("good")
        };
        assert_eq!(book.change_fitting(order, first, 1, &signed).unwrap(), 2);
        assert!(matches!(
            book.change_fitting(order, first, 1, &new("x")),
            Err(Trouble::Moved { now: 2 })
        ));
        assert_eq!(book.fitting(order, first).unwrap().fitting, signed);
        let pin = NewPin {
            place: r#"{"piece":"front","edge":"side"}"#.to_owned(),
            side: Side::Left,
            action: "take in".to_owned(),
            depth: "3/8".to_owned(),
            counted: Counted::Each,
            words: "waist to hip".to_owned(),
            on_cloth: false,
        };
        let id = book.add_pin(order, first, &pin, "phone").unwrap();
        // A fitting goes only while nothing was pinned in it, and its number is not given again.
        let third = book.new_fitting(order, &new("")).unwrap();
        assert!(matches!(
            book.drop_fitting(order, first),
            Err(Trouble::Other(_))
        ));
        book.drop_fitting(order, third).unwrap();
        assert!(matches!(
            book.drop_fitting(order, third),
            Err(Trouble::Missing(_))
        ));
        assert_eq!(book.fittings(order).unwrap().len(), 2);
        let other = NewPin {
            side: Side::Both,
            counted: Counted::InAll,
            on_cloth: true,
            ..pin.clone()
        };
        book.change_pin(order, id, &other).unwrap();
        let found = book.pins(order, first).unwrap();
        assert_eq!((&found[0].pin, found[0].by.as_str()), (&other, "phone"));
        assert!(book.pins(order, second).unwrap().is_empty());
        book.pin_became(order, id, "correction/1").unwrap();
        assert!(matches!(
            book.change_pin(order, id, &pin),
            Err(Trouble::Other(_))
        ));
        assert!(matches!(book.drop_pin(order, id), Err(Trouble::Other(_))));
        book.pin_on_cloth(order, id, false).unwrap();
        assert!(!book.pins(order, first).unwrap()[0].pin.on_cloth);
        book.pin_became(order, id, "").unwrap();
        let (_, elsewhere) = sample::order(&mut book);
        assert!(matches!(
            book.pin_became(elsewhere, id, "x"),
            Err(Trouble::Missing(_))
        ));
        book.drop_pin(order, id).unwrap();
        assert!(book.pins(order, first).unwrap().is_empty());
        let no_version = NewFitting {
            version: Some(VersionNo(9)),
            ..new("")
        };
        assert!(matches!(
            book.new_fitting(order, &no_version),
            Err(Trouble::Missing(_))
        ));
    }
}
