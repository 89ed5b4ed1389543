//! Clients: who comes, and what is kept about her.

use std::collections::{BTreeMap, BTreeSet};

use measure::Date;
use rusqlite::{Connection, Row, params};

use crate::id::next_apart;
use crate::row::{all, count, date_if, one, signed, word};
use crate::{Book, ClientNo, Id, Stamp, Trouble};

/// Whether photos of her may be kept.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Photos {
    /// She was not asked yet.
    #[default]
    NotAsked,
    /// She said yes.
    Yes,
    /// She said no.
    No,
}

impl Photos {
    /// All of them, with the word that stands in the file.
    pub const ALL: [(Self, &'static str); 3] = [
        (Self::NotAsked, "not asked"),
        (Self::Yes, "yes"),
        (Self::No, "no"),
    ];

    /// The word that stands in the file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotAsked => "not asked",
            Self::Yes => "yes",
            Self::No => "no",
        }
    }
}

/// What is kept about a client; every text may be empty but the name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct About {
    /// Her name, or a code in its place.
    pub name: String,
    /// Stands on paper in place of the name, where she wants that.
    pub code: String,
    /// How she is reached.
    pub contact: String,
    /// Her birthday, where it is needed.
    pub born: Option<Date>,
    /// Posture and figure.
    pub figure: String,
    /// Whether photos of her may be kept.
    pub photos: Photos,
    /// What was agreed about them, in words: who said it, for what, when.
    pub consent: String,
    /// Who consents for her, if she is a minor.
    pub guardian: String,
    /// Nickel hooks, latex, ...
    pub allergies: String,
    /// The hand she uses.
    pub hand: String,
    /// Anything else.
    pub notes: String,
}

/// A client as she stands in the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Client {
    /// Her name in the file, for ever.
    pub id: Id,
    /// Her number for people; it stands in addresses.
    pub number: ClientNo,
    /// Whether she is invented.
    pub demo: bool,
    /// What is kept about her.
    pub about: About,
    /// When she was entered.
    pub made: Stamp,
    /// When something about her was last changed.
    pub changed: Stamp,
    /// Counts the changes: given back with a change, so that two windows never overwrite silently.
    pub seen: u64,
}

/// One thing that was changed about a client.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClientChange {
    /// What: `contact`, `allergies`, ...; `joined` when another entry of hers was joined to this one.
    pub field: String,
    /// What stood there before.
    pub before: String,
    /// What stands there since.
    pub after: String,
    /// The client's count after it.
    pub seen: u64,
    /// When.
    pub made: Stamp,
    /// Where: `here`, or the device's name.
    pub by: String,
}

/// A client in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClientLine {
    /// Herself.
    pub client: Client,
    /// How many cards she has.
    pub cards: u32,
    /// When her newest card was taken.
    pub last_card: Option<Date>,
    /// How many orders of hers are open.
    pub open_orders: u32,
}

pub(crate) fn client_of(row: &Row<'_>) -> rusqlite::Result<Client> {
    let about = About {
        name: row.get("name")?,
        code: row.get("code")?,
        contact: row.get("contact")?,
        born: date_if(row, "born")?,
        figure: row.get("figure")?,
        photos: word(row, "photos", &Photos::ALL)?,
        consent: row.get("consent")?,
        guardian: row.get("guardian")?,
        allergies: row.get("allergies")?,
        hand: row.get("hand")?,
        notes: row.get("notes")?,
    };
    Ok(Client {
        id: row.get("id")?,
        number: row.get("number")?,
        demo: row.get("demo")?,
        about,
        made: row.get("made")?,
        changed: row.get("changed")?,
        seen: count(row, "seen")?,
    })
}

pub(crate) fn change_of(row: &Row<'_>) -> rusqlite::Result<ClientChange> {
    Ok(ClientChange {
        field: row.get("field")?,
        before: row.get("before")?,
        after: row.get("after")?,
        seen: count(row, "seen")?,
        made: row.get("made")?,
        by: row.get("by")?,
    })
}

fn changes(db: &Connection, client: Id) -> Result<Vec<ClientChange>, Trouble> {
    all(
        db,
        "SELECT * FROM client_change WHERE client = ?1 ORDER BY at",
        [client],
        &mut change_of,
    )
}

/// What is kept about a client, thing by thing, as it stands in the file.
fn fields(about: &About) -> [(&'static str, String); 11] {
    let born = about.born.map(|d| d.to_string()).unwrap_or_default();
    [
        ("name", about.name.clone()),
        ("code", about.code.clone()),
        ("contact", about.contact.clone()),
        ("born", born),
        ("figure", about.figure.clone()),
        ("photos", about.photos.word().to_owned()),
        ("consent", about.consent.clone()),
        ("guardian", about.guardian.clone()),
        ("allergies", about.allergies.clone()),
        ("hand", about.hand.clone()),
        ("notes", about.notes.clone()),
    ]
}

/// What is kept about a client out of its things.
fn about_of(fields: &BTreeMap<&str, String>) -> About {
    let text = |name: &str| fields.get(name).cloned().unwrap_or_default();
    let photos = text("photos");
    About {
        name: text("name"),
        code: text("code"),
        contact: text("contact"),
        born: Date::read(&text("born")),
        figure: text("figure"),
        photos: Photos::ALL
            .into_iter()
            .find(|(_, word)| *word == photos)
            .map_or(Photos::NotAsked, |(p, _)| p),
        consent: text("consent"),
        guardian: text("guardian"),
        allergies: text("allergies"),
        hand: text("hand"),
        notes: text("notes"),
    }
}

/// Puts together what two windows changed since `seen`, thing by thing.
fn together(db: &Connection, was: &Client, seen: u64, mine: &About) -> Result<About, Trouble> {
    let since: Vec<ClientChange> = changes(db, was.id)?
        .into_iter()
        .filter(|c| c.seen > seen)
        .collect();
    let steps: BTreeSet<u64> = since.iter().map(|c| c.seen).collect();
    let moved = Trouble::Moved { now: was.seen };
    // Every count since must be told, or what stood there then is not known.
    if was.seen < seen || steps.len() as u64 != was.seen - seen {
        return if was.about == *mine {
            Ok(mine.clone())
        } else {
            Err(moved)
        };
    }
    let theirs: BTreeMap<&str, String> = fields(&was.about).into_iter().collect();
    let mut then = theirs.clone();
    for change in since.iter().rev() {
        if let Some(text) = then.get_mut(change.field.as_str()) {
            text.clone_from(&change.before);
        }
    }
    let mut out = theirs.clone();
    for (name, text) in fields(mine) {
        if then.get(name) == Some(&text) || theirs.get(name) == Some(&text) {
            continue;
        }
        if theirs.get(name) != then.get(name) {
            return Err(moved);
        }
        out.insert(name, text);
    }
    Ok(about_of(&out))
}

/// Writes what is kept about a client, and beside it what it was before; answers her new count.
pub(crate) fn write_change(
    db: &Connection,
    was: &Client,
    about: &About,
    by: &str,
    now: Stamp,
) -> Result<u64, Trouble> {
    let next = was.seen + 1;
    for ((field, before), (_, after)) in fields(&was.about).into_iter().zip(fields(about)) {
        if before != after {
            tell(db, was.id, (field, &before, &after), next, by, now)?;
        }
    }
    put(db, was.id, about, next, now)?;
    Ok(next)
}

/// Puts what is kept about a client into her row, with her count after it.
fn put(db: &Connection, id: Id, about: &About, seen: u64, now: Stamp) -> Result<(), Trouble> {
    db.execute(
        "UPDATE client SET name = ?2, code = ?3, contact = ?4, born = ?5, figure = ?6,
                photos = ?7, guardian = ?8, allergies = ?9, hand = ?10, notes = ?11,
                changed = ?12, seen = ?13, consent = ?14
         WHERE id = ?1",
        params![
            id,
            about.name,
            about.code,
            about.contact,
            about.born.map(|d| d.to_string()),
            about.figure,
            about.photos.word(),
            about.guardian,
            about.allergies,
            about.hand,
            about.notes,
            now,
            signed(seen),
            about.consent
        ],
    )?;
    Ok(())
}

/// Adds a line to a client's history.
pub(crate) fn tell(
    db: &Connection,
    client: Id,
    (field, before, after): (&str, &str, &str),
    seen: u64,
    by: &str,
    now: Stamp,
) -> Result<(), Trouble> {
    db.execute(
        "INSERT INTO client_change (client, field, before, after, seen, made, by)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        params![client, field, before, after, signed(seen), now, by],
    )?;
    Ok(())
}

/// A client by her number, on any connection.
pub(crate) fn client(db: &Connection, number: ClientNo) -> Result<Client, Trouble> {
    one(
        db,
        "SELECT * FROM client WHERE number = ?1",
        [number],
        client_of,
    )?
    .ok_or_else(|| Trouble::Missing(format!("client {number}")))
}

/// Refuses what a client can't do without.
fn look_over(about: &About) -> Result<(), Trouble> {
    if about.name.trim().is_empty() {
        let why = "Write a name for the client, or a code in its place.";
        return Err(Trouble::Other(why.to_owned()));
    }
    Ok(())
}

/// Enters a client, on any connection.
pub(crate) fn insert(
    db: &Connection,
    about: &About,
    demo: bool,
    now: Stamp,
) -> Result<ClientNo, Trouble> {
    look_over(about)?;
    let id = Id::new();
    let number = ClientNo(next_apart(db, "client", "client", demo)?);
    let about = About {
        name: about.name.trim().to_owned(),
        ..about.clone()
    };
    db.execute(
        "INSERT INTO client (id, number, demo, name, made, changed) VALUES (?1, ?2, ?3, ?4, ?5, ?5)",
        params![id, number, demo, about.name, now],
    )?;
    put(db, id, &about, 1, now)?;
    Ok(number)
}

impl Book {
    /// Enters a client and gives her a number.
    ///
    /// # Errors
    /// When she has neither a name nor a code in its place, or it can't be written.
    pub fn new_client(&mut self, about: &About, demo: bool) -> Result<ClientNo, Trouble> {
        self.write(|db, now| insert(db, about, demo, now))
    }

    /// A client by her number.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none with it.
    pub fn client(&self, number: ClientNo) -> Result<Client, Trouble> {
        client(&self.db, number)
    }

    /// A client by her id.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is none with it.
    pub fn client_by_id(&self, id: Id) -> Result<Client, Trouble> {
        self.one("SELECT * FROM client WHERE id = ?1", [id], client_of)?
            .ok_or_else(|| Trouble::Missing("such client".to_owned()))
    }

    /// All clients by name, hers first and the demo's after them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn clients(&self) -> Result<Vec<ClientLine>, Trouble> {
        self.all(
            r#"SELECT client.*,
                      (SELECT count(*) FROM card WHERE card.client = client.id) AS cards,
                      (SELECT max(taken) FROM card WHERE card.client = client.id) AS last_card,
                      (SELECT count(*) FROM "order" AS o
                       WHERE o.client = client.id AND o.closed IS NULL) AS open_orders
               FROM client ORDER BY demo, name COLLATE NOCASE, number"#,
            [],
            |row| {
                Ok(ClientLine {
                    client: client_of(row)?,
                    cards: row.get("cards")?,
                    last_card: date_if(row, "last_card")?,
                    open_orders: row.get("open_orders")?,
                })
            },
        )
    }

    /// Clients of whom every word of `words` stands somewhere in name, code, contact, number or notes;
    /// capitals and accents make no difference. No words find everybody.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn find_clients(&self, words: &str) -> Result<Vec<ClientLine>, Trouble> {
        let wanted = crate::search::Words::new(words);
        let mut all = self.clients()?;
        all.retain(|line| {
            let a = &line.client.about;
            let number = line.client.number.to_string();
            wanted.all_in(&[&a.name, &a.code, &a.contact, &a.notes, &a.figure, &number])
        });
        Ok(all)
    }

    /// Changes what is kept about a client; answers the count to give next time. What another window
    /// changed meanwhile stays, as long as the two did not change the same thing.
    ///
    /// # Errors
    /// [`Trouble::Moved`] if both changed the same thing since `seen`, each otherwise; [`Trouble::Other`]
    /// without a name; [`Trouble::Missing`].
    pub fn change_client(
        &mut self,
        number: ClientNo,
        seen: u64,
        about: &About,
        by: &str,
    ) -> Result<u64, Trouble> {
        look_over(about)?;
        self.write(|db, now| {
            let was = client(db, number)?;
            let mut next = about.clone();
            about.name.trim().clone_into(&mut next.name);
            if was.seen != seen {
                next = together(db, &was, seen, &next)?;
            }
            if was.about == next {
                return Ok(was.seen);
            }
            write_change(db, &was, &next, by, now)
        })
    }

    /// What was changed about a client, the oldest first.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client.
    pub fn client_history(&self, number: ClientNo) -> Result<Vec<ClientChange>, Trouble> {
        changes(&self.db, self.client(number)?.id)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{self, about, day};

    /// Would catch a field that is lost on the way, or two fields that change places.
    #[test]
    fn everything_about_her_comes_back() {
        let mut book = sample::book();
        let all = About {
            name: "Zoë Ångström".to_owned(),
            code: "ZA".to_owned(),
            contact: "by post".to_owned(),
            born: Some(day("2010-02-28")),
            figure: "left hip high".to_owned(),
            photos: Photos::No,
            consent: "Not even for the records.".to_owned(),
            guardian: "her mother".to_owned(),
            allergies: "nickel".to_owned(),
            hand: "left".to_owned(),
            notes: "<b>'; --".to_owned(),
        };
        let number = book.new_client(&all, false).unwrap();
        let client = book.client(number).unwrap();
        assert_eq!((client.about.clone(), client.seen), (all.clone(), 1));
        assert_eq!(book.client_by_id(client.id).unwrap(), client);
        assert_eq!(client.made, sample::clock());
        let other = About {
            photos: Photos::Yes,
            born: None,
            ..all
        };
        assert_eq!(book.change_client(number, 1, &other, "here").unwrap(), 2);
        assert_eq!(book.client(number).unwrap().about, other);
    }

    /// Would catch two windows that overwrite each other without a word.
    #[test]
    fn two_windows_never_overwrite_silently() {
        let mut book = sample::book();
        let number = book.new_client(&about("Ines"), false).unwrap();
        book.change_client(number, 1, &about("Inès"), "here")
            .unwrap();
        let second = book.change_client(number, 1, &about("Agnes"), "here");
        assert!(
            matches!(second, Err(Trouble::Moved { now: 2 })),
            "{second:?}"
        );
        assert_eq!(book.client(number).unwrap().about.name, "Inès");
        // The same form sent twice does no harm.
        assert_eq!(
            book.change_client(number, 1, &about("Inès"), "here")
                .unwrap(),
            2
        );
        // What the other window left alone is kept from both.
        let called = About {
            contact: "by post".to_owned(),
            ..about("Ines")
        };
        assert_eq!(book.change_client(number, 1, &called, "phone").unwrap(), 3);
        let now = book.client(number).unwrap().about;
        assert_eq!(
            (now.name.as_str(), now.contact.as_str()),
            ("Inès", "by post")
        );
        let third = About {
            contact: "by telephone".to_owned(),
            ..about("Ines")
        };
        assert!(matches!(
            book.change_client(number, 1, &third, "here"),
            Err(Trouble::Moved { now: 3 })
        ));
    }

    /// Would catch a change that leaves no trace of what stood there before, or one that can be rubbed out.
    #[test]
    fn what_was_changed_about_her_is_told() {
        let mut book = sample::book();
        let number = book.new_client(&about("Ines"), false).unwrap();
        assert_eq!(book.client_history(number).unwrap(), []);
        let yes = About {
            photos: Photos::Yes,
            consent: "She said so herself, for my own records.".to_owned(),
            ..about("Ines")
        };
        book.change_client(number, 1, &yes, "the blue phone")
            .unwrap();
        let told = book.client_history(number).unwrap();
        let line = |c: &ClientChange| (c.field.clone(), c.before.clone(), c.after.clone());
        assert_eq!(
            line(&told[0]),
            ("photos".into(), "not asked".into(), "yes".into())
        );
        assert_eq!(told[1].field, "consent");
        assert_eq!((told[1].by.as_str(), told[1].seen), ("the blue phone", 2));
        assert!(book.db.execute("DELETE FROM client_change", []).is_err());
        let rub = "UPDATE client_change SET before = ''";
        assert!(book.db.execute(rub, []).is_err());
    }

    /// Would catch the demo's clients taking her numbers.
    #[test]
    fn the_demo_counts_apart() {
        let mut book = sample::book();
        assert_eq!(book.new_client(&about("D"), true).unwrap(), ClientNo(9001));
        assert_eq!(book.new_client(&about("A"), false).unwrap(), ClientNo(1));
        assert_eq!(book.new_client(&about("E"), true).unwrap(), ClientNo(9002));
        assert_eq!(book.new_client(&about("B"), false).unwrap(), ClientNo(2));
        // Hers come to where the demo is.
        book.db
            .execute(
                "UPDATE next_number SET next = 9001 WHERE kind = 'client'",
                [],
            )
            .unwrap();
        assert_eq!(book.new_client(&about("C"), false).unwrap(), ClientNo(9003));
        let names: Vec<_> = book
            .clients()
            .unwrap()
            .into_iter()
            .map(|l| l.client.about.name)
            .collect();
        assert_eq!(names, ["A", "B", "C", "D", "E"]);
    }

    /// Would catch a client who is not found by a part of her name, or without its accents.
    #[test]
    fn she_is_found_by_what_is_remembered_of_her() {
        let mut book = sample::book();
        for name in ["Zoë Ångström", "Odile Marchetti", "Łucja Żak"] {
            book.new_client(&about(name), false).unwrap();
        }
        let found = |words: &str| -> Vec<String> {
            let all = book.find_clients(words).unwrap();
            all.into_iter().map(|l| l.client.about.name).collect()
        };
        assert_eq!(found("zoe ang"), ["Zoë Ångström"]);
        assert_eq!(found("MARCH"), ["Odile Marchetti"]);
        assert_eq!(found("lucja zak"), ["Łucja Żak"]);
        assert_eq!(found("100%"), [""; 0]);
        assert_eq!(found("").len(), 3);
    }

    /// Would catch a client nobody could call.
    #[test]
    fn a_client_has_a_name() {
        let mut book = sample::book();
        assert!(matches!(
            book.new_client(&about("  "), false),
            Err(Trouble::Other(_))
        ));
        assert!(matches!(book.client(ClientNo(7)), Err(Trouble::Missing(w)) if w == "client 7"));
    }
}
