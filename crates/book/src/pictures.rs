//! Pictures of a client or an order: sketches, swatches, photos.

use rusqlite::{Row, params};

use crate::clients::client;
use crate::orders::order;
use crate::row::{count, met, words};
use crate::{Book, ClientNo, Id, OrderNo, Stamp, Trouble};

words! {
    /// What kind of file a picture is.
    PictureKind {
        /// A JPEG.
        Jpeg = "image/jpeg",
        /// A PNG.
        Png = "image/png",
    }
}

/// What a picture belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// A client.
    Client(ClientNo),
    /// An order.
    Order(OrderNo),
}

/// A picture to be kept. It is made small, and made anew, before it comes here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPicture {
    /// What it shows, in words: its text alternative.
    pub words: String,
    /// If she is seen in it: who agreed that it is kept, and when. Else empty.
    pub consent: String,
    /// What kind of file it is.
    pub kind: PictureKind,
    /// The file.
    pub bytes: Vec<u8>,
}

/// A picture in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PictureLine {
    /// Its name in the file; it stands in its address.
    pub id: Id,
    /// What it shows.
    pub words: String,
    /// If she is seen in it: who agreed that it is kept.
    pub consent: String,
    /// How long the file is, in bytes.
    pub length: u64,
    /// When it was kept.
    pub made: Stamp,
}

/// A picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Its name in the file.
    pub id: Id,
    /// What was kept.
    pub kept: NewPicture,
    /// When.
    pub made: Stamp,
}

impl Book {
    /// Keeps a picture.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client or order.
    pub fn add_picture(&mut self, of: Of, new: &NewPicture) -> Result<Id, Trouble> {
        self.write(|db, now| {
            let (whose, which) = match of {
                Of::Client(number) => (Some(client(db, number)?.id), None),
                Of::Order(number) => (None, Some(order(db, number)?.id)),
            };
            let id = Id::new();
            db.execute(
                r#"INSERT INTO picture (id, client, "order", words, kind, bytes, made, consent)
                   VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)"#,
                params![
                    id,
                    whose,
                    which,
                    new.words,
                    new.kind,
                    new.bytes,
                    now,
                    new.consent
                ],
            )?;
            Ok(id)
        })
    }

    /// The pictures of a client (not those of her orders) or of an order, the first one first.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client or order.
    pub fn pictures(&self, of: Of) -> Result<Vec<PictureLine>, Trouble> {
        let (column, id) = match of {
            Of::Client(number) => ("client", self.client(number)?.id),
            Of::Order(number) => ("\"order\"", self.order(number)?.id),
        };
        self.all(
            &format!(
                "SELECT id, words, consent, made, length(bytes) AS length FROM picture
                 WHERE {column} = ?1 ORDER BY id"
            ),
            [id],
            |row| {
                Ok(PictureLine {
                    id: row.get("id")?,
                    words: row.get("words")?,
                    consent: row.get("consent")?,
                    length: count(row, "length")?,
                    made: row.get("made")?,
                })
            },
        )
    }

    /// A picture by its id.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn picture(&self, id: Id) -> Result<Picture, Trouble> {
        self.one("SELECT * FROM picture WHERE id = ?1", [id], picture_of)?
            .ok_or_else(|| Trouble::Missing("such picture".to_owned()))
    }

    /// Says otherwise what a picture shows.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn describe_picture(&mut self, id: Id, words: &str) -> Result<(), Trouble> {
        self.write(|db, _| {
            let sql = "UPDATE picture SET words = ?2 WHERE id = ?1";
            met(db.execute(sql, params![id, words])?, "such picture")
        })
    }

    /// Takes a picture away for good.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none.
    pub fn drop_picture(&mut self, id: Id) -> Result<(), Trouble> {
        self.write(|db, _| {
            met(
                db.execute("DELETE FROM picture WHERE id = ?1", [id])?,
                "such picture",
            )
        })
    }
}

pub(crate) fn picture_of(row: &Row<'_>) -> rusqlite::Result<Picture> {
    let kept = NewPicture {
        words: row.get("words")?,
        consent: row.get("consent")?,
        kind: row.get("kind")?,
        bytes: row.get("bytes")?,
    };
    Ok(Picture {
        id: row.get("id")?,
        kept,
        made: row.get("made")?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    /// Would catch a picture of one among another's.
    #[test]
    fn pictures_belong_to_one() {
        let mut book = sample::book();
        let (client, order) = sample::order(&mut book);
        let sketch = NewPicture {
            words: "a sketch of the hem".to_owned(),
            consent: "She agreed, 25 November 2026.".to_owned(),
            kind: PictureKind::Png,
            bytes: vec![0x89, 0, 255],
        };
        let photo = NewPicture {
            kind: PictureKind::Jpeg,
            ..sketch.clone()
        };
        let one = book.add_picture(Of::Order(order), &sketch).unwrap();
        let two = book.add_picture(Of::Client(client), &photo).unwrap();
        let line = &book.pictures(Of::Order(order)).unwrap()[0];
        assert_eq!((line.id, &line.consent), (one, &sketch.consent));
        assert_eq!(book.pictures(Of::Client(client)).unwrap()[0].length, 3);
        assert_eq!(book.picture(two).unwrap().kept, photo);
        book.describe_picture(one, "the hem").unwrap();
        assert_eq!(book.picture(one).unwrap().kept.words, "the hem");
        book.drop_picture(one).unwrap();
        assert!(matches!(book.picture(one), Err(Trouble::Missing(_))));
        assert!(book.pictures(Of::Order(order)).unwrap().is_empty());
    }
}
