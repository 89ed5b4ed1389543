//! Measurement cards: a head, and readings that are only ever added.

use std::collections::BTreeMap;

use measure::Date;
use rusqlite::{Connection, Row, params};

use crate::clients::client;
use crate::id::next_number;
use crate::row::{all, count, date, one, signed, word};
use crate::{Book, CardNo, ClientNo, Id, Stamp, Trouble};

/// The unit that a card is written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Inches.
    Inch,
    /// Centimetres.
    Cm,
}

impl Unit {
    const ALL: [(Self, &'static str); 2] = [(Self::Inch, "in"), (Self::Cm, "cm")];

    /// Its short sign, as it stands in the file and on a card: `in` or `cm`.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Cm => "cm",
        }
    }

    /// Reads a short sign.
    pub fn read(sign: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|(_, s)| *s == sign)
            .map(|(unit, _)| unit)
    }
}

/// The head of a card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardHead {
    /// The day she was measured.
    pub taken: Date,
    /// Who measured her.
    pub taker: String,
    /// The unit she was measured in.
    pub unit: Unit,
    /// What she wore under it.
    pub foundation: String,
    /// Which shoes she wore.
    pub shoes: String,
    /// Which waist: "natural", ...
    pub waist: String,
    /// Anything else.
    pub notes: String,
}

impl CardHead {
    /// A head with nothing in it yet but the day and the unit, at the natural waist.
    pub fn new(taken: Date, unit: Unit) -> Self {
        let none = String::new;
        Self {
            taken,
            taker: none(),
            unit,
            foundation: none(),
            shoes: none(),
            waist: "natural".to_owned(),
            notes: none(),
        }
    }
}

/// A card as it stands in the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// Its name in the file, for ever.
    pub id: Id,
    /// Whose it is.
    pub client: Id,
    /// Its number among her cards; it stands in addresses.
    pub number: CardNo,
    /// What stands at its head.
    pub head: CardHead,
    /// Whether she said that everything is on it.
    pub finished: bool,
    /// When it was begun.
    pub made: Stamp,
    /// Counts the changes of its head.
    pub seen: u64,
}

/// One reading of one measure, as it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Its place in the history of the whole book: later ones are larger.
    pub at: u64,
    /// The measure's name in the trade: "waist to knee".
    pub measure: String,
    /// First, second or third reading.
    pub turn: u8,
    /// As she typed it; empty when it was taken off the card.
    pub text: String,
    /// The unit it was typed in.
    pub unit: String,
    /// What it is in mm (degrees for an angle), if it was understood.
    pub mm: Option<f64>,
    /// When it was written.
    pub made: Stamp,
    /// `here`, or the name of the phone it was written on.
    pub by: String,
}

/// A reading to be written.
#[derive(Clone, Debug, PartialEq)]
pub struct NewReading {
    /// The measure's name in the trade.
    pub measure: String,
    /// First, second or third reading: 1, 2 or 3.
    pub turn: u8,
    /// As she typed it; an empty text takes it off the card.
    pub text: String,
    /// The unit it was typed in.
    pub unit: String,
    /// What it is in mm (degrees for an angle), if it was understood.
    pub mm: Option<f64>,
}

/// The readings that count now, by measure and turn.
pub type Readings = BTreeMap<(String, u8), Reading>;

/// What she answered to a question of the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Said {
    /// She took the likely value.
    Taken,
    /// It is right as it is.
    Right,
    /// She looks at it later.
    Later,
}

impl Said {
    const ALL: [(Self, &'static str); 3] = [
        (Self::Taken, "taken"),
        (Self::Right, "right"),
        (Self::Later, "later"),
    ];

    /// The word that stands in the file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Taken => "taken",
            Self::Right => "right",
            Self::Later => "later",
        }
    }
}

pub(crate) fn card_of(row: &Row<'_>) -> rusqlite::Result<Card> {
    let head = CardHead {
        taken: date(row, "taken")?,
        taker: row.get("taker")?,
        unit: word(row, "unit", &Unit::ALL)?,
        foundation: row.get("foundation")?,
        shoes: row.get("shoes")?,
        waist: row.get("waist")?,
        notes: row.get("notes")?,
    };
    Ok(Card {
        id: row.get("id")?,
        client: row.get("client")?,
        number: row.get("number")?,
        head,
        finished: row.get("finished")?,
        made: row.get("made")?,
        seen: count(row, "seen")?,
    })
}

pub(crate) fn reading_of(row: &Row<'_>) -> rusqlite::Result<Reading> {
    Ok(Reading {
        at: count(row, "at")?,
        measure: row.get("measure")?,
        turn: row.get("turn")?,
        text: row.get("text")?,
        unit: row.get("unit")?,
        mm: row.get("mm")?,
        made: row.get("made")?,
        by: row.get("by")?,
    })
}

fn card_by_id(db: &Connection, id: Id) -> Result<Card, Trouble> {
    one(db, "SELECT * FROM card WHERE id = ?1", [id], card_of)?
        .ok_or_else(|| Trouble::Missing("such card".to_owned()))
}

/// The newest row of each measure and turn, also those that were taken off.
fn newest(db: &Connection, card: Id) -> Result<Readings, Trouble> {
    let rows = all(
        db,
        "SELECT * FROM reading WHERE card = ?1 AND at IN
                (SELECT max(at) FROM reading WHERE card = ?1 GROUP BY measure, turn)",
        [card],
        &mut reading_of,
    )?;
    Ok(rows
        .into_iter()
        .map(|r| ((r.measure.clone(), r.turn), r))
        .collect())
}

impl Book {
    /// Begins a card for a client; nothing of an earlier card is on it.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client.
    pub fn new_card(&mut self, of: ClientNo, head: &CardHead) -> Result<CardNo, Trouble> {
        self.write(|db, now| {
            let client = client(db, of)?;
            let number = CardNo(next_number(db, &format!("card/{}", client.id))?);
            db.execute(
                "INSERT INTO card (id, client, number, taken, taker, unit, foundation, shoes, waist,
                                   notes, made)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
                params![
                    Id::new(),
                    client.id,
                    number,
                    head.taken.to_string(),
                    head.taker,
                    head.unit.sign(),
                    head.foundation,
                    head.shoes,
                    head.waist,
                    head.notes,
                    now
                ],
            )?;
            Ok(number)
        })
    }

    /// A client's cards, the newest first.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client.
    pub fn cards(&self, of: ClientNo) -> Result<Vec<Card>, Trouble> {
        let client = client(&self.db, of)?;
        self.all(
            "SELECT * FROM card WHERE client = ?1 ORDER BY taken DESC, number DESC",
            [client.id],
            card_of,
        )
    }

    /// A card by its client and its number.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client or card.
    pub fn card(&self, of: ClientNo, number: CardNo) -> Result<Card, Trouble> {
        let client = client(&self.db, of)?;
        self.one(
            "SELECT * FROM card WHERE client = ?1 AND number = ?2",
            params![client.id, number],
            card_of,
        )?
        .ok_or_else(|| Trouble::Missing(format!("card {number} of client {of}")))
    }

    /// A card by its id, as an order holds it.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none with it.
    pub fn card_by_id(&self, id: Id) -> Result<Card, Trouble> {
        card_by_id(&self.db, id)
    }

    /// Changes the head of a card; answers the count to give next time.
    ///
    /// # Errors
    /// [`Trouble::Moved`] if `seen` is no longer its count: someone changed it meanwhile.
    pub fn change_card(&mut self, card: Id, seen: u64, head: &CardHead) -> Result<u64, Trouble> {
        self.write(|db, _| {
            let was = card_by_id(db, card)?;
            if was.head == *head {
                return Ok(was.seen);
            }
            if was.seen != seen {
                return Err(Trouble::Moved { now: was.seen });
            }
            db.execute(
                "UPDATE card SET taken = ?2, taker = ?3, unit = ?4, foundation = ?5, shoes = ?6,
                        waist = ?7, notes = ?8, seen = ?9 WHERE id = ?1",
                params![
                    card,
                    head.taken.to_string(),
                    head.taker,
                    head.unit.sign(),
                    head.foundation,
                    head.shoes,
                    head.waist,
                    head.notes,
                    signed(was.seen + 1)
                ],
            )?;
            Ok(was.seen + 1)
        })
    }

    /// Says that everything is on the card, or that it is not.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such card.
    pub fn finish_card(&mut self, card: Id, finished: bool) -> Result<(), Trouble> {
        self.write(|db, _| {
            card_by_id(db, card)?;
            db.execute(
                "UPDATE card SET finished = ?2 WHERE id = ?1",
                params![card, finished],
            )?;
            Ok(())
        })
    }

    /// Writes readings onto a card, all or none. A reading that says what stands there already adds
    /// nothing; an empty text takes the reading off the card; what stood there before is kept in the
    /// history for ever. Answers the card's newest place in the history ([`Reading::at`]).
    ///
    /// `seen` is the newest place that the page knew: where one of the same readings was written later
    /// than that, with another text, nothing is written.
    ///
    /// # Errors
    /// [`Trouble::Moved`] as said; [`Trouble::Missing`] if there is no such card.
    pub fn write_readings(
        &mut self,
        card: Id,
        seen: Option<u64>,
        readings: &[NewReading],
        by: &str,
    ) -> Result<u64, Trouble> {
        self.write(|db, now| {
            card_by_id(db, card)?;
            let stand = newest(db, card)?;
            let stood = stand.values().map(|r| r.at).max().unwrap_or(0);
            let mut last = stood;
            for new in readings {
                let old = stand.get(&(new.measure.clone(), new.turn));
                let same = match old {
                    Some(old) => {
                        old.text == new.text && (old.unit == new.unit || new.text.is_empty())
                    }
                    None => new.text.is_empty(),
                };
                if same {
                    continue;
                }
                if let (Some(seen), Some(old)) = (seen, old)
                    && old.at > seen
                {
                    return Err(Trouble::Moved { now: stood });
                }
                db.execute(
                    "INSERT INTO reading (card, measure, turn, text, unit, mm, made, by)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                    params![
                        card,
                        new.measure,
                        new.turn,
                        new.text,
                        new.unit,
                        new.mm.filter(|mm| mm.is_finite()),
                        now,
                        by
                    ],
                )?;
                last = u64::try_from(db.last_insert_rowid()).unwrap_or(last);
            }
            Ok(last)
        })
    }

    /// The readings that count now, by measure and turn; what was taken off is not among them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn readings(&self, card: Id) -> Result<Readings, Trouble> {
        let mut readings = newest(&self.db, card)?;
        readings.retain(|_, r| !r.text.is_empty());
        Ok(readings)
    }

    /// The card's newest place in the history, to be given back with the next readings.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn readings_seen(&self, card: Id) -> Result<u64, Trouble> {
        let sql = "SELECT coalesce(max(at), 0) AS at FROM reading WHERE card = ?1";
        Ok(self.one(sql, [card], |row| count(row, "at"))?.unwrap_or(0))
    }

    /// Everything that was ever written onto the card, in order.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn reading_history(&self, card: Id) -> Result<Vec<Reading>, Trouble> {
        self.all(
            "SELECT * FROM reading WHERE card = ?1 ORDER BY at",
            [card],
            reading_of,
        )
    }

    /// What she answered to the card's questions, by the question's key; the newest counts.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn answers(&self, card: Id) -> Result<BTreeMap<String, Said>, Trouble> {
        let sql = "SELECT question, said FROM answer WHERE card = ?1 ORDER BY at";
        let all = self.all(sql, [card], |row| {
            Ok((row.get("question")?, word(row, "said", &Said::ALL)?))
        })?;
        Ok(all.into_iter().collect())
    }

    /// Writes down what she answered to a question of the card.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such card.
    pub fn answer(&mut self, card: Id, question: &str, said: Said) -> Result<(), Trouble> {
        self.write(|db, now| {
            card_by_id(db, card)?;
            db.execute(
                "INSERT INTO answer (card, question, said, made) VALUES (?1, ?2, ?3, ?4)",
                params![card, question, said.word(), now],
            )?;
            Ok(())
        })
    }
}

#[cfg(test)]
mod tests;
