//! One client who was entered twice, and two who share one entry.

use rusqlite::{Connection, params};

use crate::clients::{client, insert, tell, write_change};
use crate::id::next_number;
use crate::row::all;
use crate::{
    About, Book, CardNo, Changed, Client, ClientNo, Id, Stamp, Trouble, holds, journal, orders,
};

/// To whom a card goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum To {
    /// Somebody who is in the book.
    Client(ClientNo),
    /// Somebody new.
    New(Box<About>),
}

/// Two texts of two entries, the second behind the first.
fn joined(one: &str, two: &str) -> String {
    if two.trim().is_empty() || one.contains(two) {
        one.to_owned()
    } else if one.trim().is_empty() {
        two.to_owned()
    } else {
        format!("{one}\n{two}")
    }
}

/// Gives a card to another client, with the next number of hers.
fn give(db: &Connection, card: Id, to: Id) -> Result<CardNo, Trouble> {
    let number = CardNo(next_number(db, &format!("card/{to}"))?);
    db.execute(
        "UPDATE card SET client = ?2, number = ?3, seen = seen + 1 WHERE id = ?1",
        params![card, to, number],
    )?;
    Ok(number)
}

/// Takes a card off the orders that are worked from it and stay with the client who had it: an order never
/// holds the card of somebody else. What was done is written in their journals, without a word of whose it
/// is now, and is not to be taken back there.
fn take_off(
    db: &Connection,
    from: Id,
    (card, number): (Id, CardNo),
    now: Stamp,
) -> Result<(), Trouble> {
    let on_it = all(
        db,
        r#"SELECT * FROM "order" WHERE client = ?1
           AND id IN (SELECT "order" FROM holds WHERE key = 'card' AND value = ?2) ORDER BY number"#,
        params![from, card.to_string()],
        &mut orders::order_of,
    )?;
    for order in on_it {
        let seen = orders::count_up(db, &order)?;
        holds::put(db, order.id, holds::CARD, None, seen)?;
        let changed = Changed {
            key: holds::CARD.to_owned(),
            before: Some(card.to_string()),
            after: None,
        };
        let label = format!("card {number} given to another client");
        journal::write_settled(db, order.id, &label, &[changed], now)?;
    }
    Ok(())
}

fn not_the_demo(one: &Client, two: &Client) -> Result<(), Trouble> {
    if one.demo == two.demo {
        return Ok(());
    }
    let why = "One of them belongs to the demo, which is never mixed with your own clients.";
    Err(Trouble::Other(why.to_owned()))
}

impl Book {
    /// Makes one client of two entries: all cards, orders and pictures of `double` go to `keep`, what
    /// `keep` lacks is filled in from `double`, remarks are put behind each other, and `double` is gone.
    /// Its number is not given out again. Cards get the next numbers of `keep`, in their order.
    ///
    /// # Errors
    /// [`Trouble::Other`] for one and the same, or for the demo with one of hers; [`Trouble::Missing`].
    pub fn merge_clients(&mut self, keep: ClientNo, double: ClientNo) -> Result<(), Trouble> {
        self.write(|db, now| {
            let one = client(db, keep)?;
            let two = client(db, double)?;
            if one.id == two.id {
                let why = "Both are the same entry already.";
                return Err(Trouble::Other(why.to_owned()));
            }
            not_the_demo(&one, &two)?;
            let cards = all(
                db,
                "SELECT id FROM card WHERE client = ?1 ORDER BY number",
                [two.id],
                &mut |row| row.get(0),
            )?;
            for card in cards {
                give(db, card, one.id)?;
            }
            db.execute(
                r#"UPDATE "order" SET client = ?2, seen = seen + 1 WHERE client = ?1"#,
                params![two.id, one.id],
            )?;
            db.execute(
                "UPDATE picture SET client = ?2 WHERE client = ?1",
                params![two.id, one.id],
            )?;
            let (a, b) = (one.about.clone(), two.about);
            let first = |a: String, b: String| if a.trim().is_empty() { b } else { a };
            let called = if a.name == b.name {
                String::new()
            } else {
                b.name.clone()
            };
            let both = About {
                name: a.name,
                code: first(a.code, b.code),
                contact: joined(&a.contact, &b.contact),
                born: a.born.or(b.born),
                figure: joined(&a.figure, &b.figure),
                // Where the two differ she is asked again; a no is kept.
                photos: agreed(a.photos, b.photos),
                consent: joined(&a.consent, &b.consent),
                guardian: joined(&a.guardian, &b.guardian),
                allergies: joined(&a.allergies, &b.allergies),
                hand: first(a.hand, b.hand),
                notes: joined(&joined(&a.notes, &called), &b.notes),
            };
            // What was changed in the other entry comes along; its counts are not hers.
            db.execute(
                "UPDATE client_change SET client = ?2, seen = 0 WHERE client = ?1",
                params![two.id, one.id],
            )?;
            let seen = write_change(db, &one, &both, "here", now)?;
            let other = format!("client {double}, {}", b.name);
            tell(db, one.id, ("joined", "", &other), seen, "here", now)?;
            db.execute("DELETE FROM client WHERE id = ?1", [two.id])?;
            Ok(())
        })
    }

    /// Gives a card to another client, or to a new one: two sisters were written down as one. Orders that
    /// are worked from this card go with it, if `orders` says so; else they stay and have no card from then
    /// on, which their journals tell. Versions stay as they were made, with their order. Answers whose the
    /// card is now, and its number among hers.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client or card; [`Trouble::Other`] for the demo with one
    /// of hers.
    pub fn move_card(
        &mut self,
        of: ClientNo,
        card: CardNo,
        to: &To,
        orders: bool,
    ) -> Result<(ClientNo, CardNo), Trouble> {
        self.write(|db, now| {
            let from = client(db, of)?;
            let sql = "SELECT id FROM card WHERE client = ?1 AND number = ?2";
            let id: Id = crate::row::one(db, sql, params![from.id, card], |row| row.get(0))?
                .ok_or_else(|| Trouble::Missing(format!("card {card} of client {of}")))?;
            let number = match to {
                To::Client(number) => *number,
                To::New(about) => insert(db, about, from.demo, now)?,
            };
            let target = client(db, number)?;
            not_the_demo(&from, &target)?;
            if target.id == from.id {
                return Ok((of, card));
            }
            let new = give(db, id, target.id)?;
            if orders {
                db.execute(
                    r#"UPDATE "order" SET client = ?2, seen = seen + 1 WHERE client = ?1
                       AND id IN (SELECT "order" FROM holds WHERE key = 'card' AND value = ?3)"#,
                    params![from.id, target.id, id.to_string()],
                )?;
            } else {
                take_off(db, from.id, (id, card), now)?;
            }
            Ok((number, new))
        })
    }
}

/// What counts of two answers about photos: a no, else a yes only if both were asked.
fn agreed(a: crate::Photos, b: crate::Photos) -> crate::Photos {
    use crate::Photos::{No, NotAsked, Yes};
    match (a, b) {
        (No, _) | (_, No) => No,
        (Yes, _) | (_, Yes) => Yes,
        (NotAsked, NotAsked) => NotAsked,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{self, about, day, head};
    use crate::{NewReading, Photos, Which};

    /// Would catch a card, an order or a remark that is lost when two entries become one.
    #[test]
    fn doubles_become_one() {
        let mut book = sample::book();
        let (keep, first) = sample::order(&mut book);
        let (double, second) = sample::order(&mut book);
        for client in [keep, double, double] {
            book.new_card(client, &head()).unwrap();
        }
        let more = About {
            name: "Odile M.".to_owned(),
            born: Some(day("1990-02-03")),
            photos: Photos::No,
            allergies: "nickel".to_owned(),
            notes: "prefers mornings".to_owned(),
            ..About::default()
        };
        book.change_client(double, 1, &more, "here").unwrap();
        let yes = About {
            photos: Photos::Yes,
            notes: "tea".to_owned(),
            ..about("Odile Marchetti")
        };
        book.change_client(keep, 1, &yes, "here").unwrap();
        book.merge_clients(keep, double).unwrap();
        let one = book.client(keep).unwrap().about;
        assert_eq!(one.name, "Odile Marchetti");
        assert_eq!(one.notes, "tea\nOdile M.\nprefers mornings");
        assert_eq!(
            (one.photos, one.allergies.as_str(), one.born),
            (Photos::No, "nickel", more.born)
        );
        let numbers: Vec<_> = book
            .cards(keep)
            .unwrap()
            .into_iter()
            .map(|c| c.number.0)
            .collect();
        assert_eq!(numbers, [3, 2, 1]);
        assert_eq!(book.orders(Which::Of(keep)).unwrap().len(), 2);
        assert_eq!(
            book.order(second).unwrap().client,
            book.order(first).unwrap().client
        );
        assert!(matches!(book.client(double), Err(Trouble::Missing(_))));
        // What was changed in either comes along, and that they were joined.
        let told = book.client_history(keep).unwrap();
        let after: Vec<&str> = told.iter().map(|c| c.after.as_str()).collect();
        assert!(after.contains(&"prefers mornings") && after.contains(&"tea"));
        assert!(after.contains(&"client 2, Odile M."));
        assert_eq!(
            book.new_client(&about("Next"), false).unwrap(),
            ClientNo(3),
            "2 is not given again"
        );
        assert!(book.merge_clients(keep, keep).is_err());
        let demo = book.new_client(&about("Demo"), true).unwrap();
        assert!(book.merge_clients(keep, demo).is_err());
        assert!(book.client(demo).is_ok());
    }

    /// Would catch a sister's card that stays behind, or readings that are lost on the way.
    #[test]
    fn sisters_are_told_apart() {
        let mut book = sample::book();
        let (first, order) = sample::order(&mut book);
        let one = book.new_card(first, &head()).unwrap();
        let two = book.new_card(first, &head()).unwrap();
        let id = book.card(first, two).unwrap().id;
        let waist = NewReading {
            measure: "waist".to_owned(),
            turn: 1,
            text: "27".to_owned(),
            unit: "in".to_owned(),
            mm: None,
        };
        book.write_readings(id, None, &[waist], "here").unwrap();
        book.hold(order, "card", "here", "card", Some(&id.to_string()))
            .unwrap();
        let sister = To::New(Box::new(about("Ines Marchetti")));
        let (whose, number) = book.move_card(first, two, &sister, true).unwrap();
        assert_eq!((whose, number), (ClientNo(2), CardNo(1)));
        assert_eq!(book.card(whose, number).unwrap().id, id);
        assert_eq!(book.readings(id).unwrap().len(), 1);
        assert_eq!(
            book.cards(first)
                .unwrap()
                .iter()
                .map(|c| c.number)
                .collect::<Vec<_>>(),
            [one]
        );
        assert_eq!(book.orders(Which::Of(whose)).unwrap().len(), 1);
        assert_eq!(book.orders(Which::Of(first)).unwrap().len(), 0);
        let (_, back) = book
            .move_card(whose, number, &To::Client(first), false)
            .unwrap();
        assert_eq!(back, CardNo(3), "a number is never given twice");
        assert_eq!(
            book.orders(Which::Of(whose)).unwrap().len(),
            1,
            "not without being asked"
        );
    }

    /// Would catch an order that stays with one sister and is worked from the card of the other: then she
    /// has the other's measures on her sheets, and no page is left when the other is erased.
    #[test]
    fn an_order_that_stays_behind_has_no_card_of_somebody_else() {
        let mut book = sample::book();
        let (first, order) = sample::order(&mut book);
        let one = book.new_card(first, &head()).unwrap();
        let two = book.new_card(first, &head()).unwrap();
        let id = |book: &Book, of, no| book.card(of, no).unwrap().id.to_string();
        let (own, hers) = (id(&book, first, one), id(&book, first, two));
        let hold = |book: &mut Book, order, value: &str| {
            book.hold(order, value, "here", "card", Some(value))
                .unwrap();
        };
        // The older card, then the one that was the sister's, on an order that is closed too.
        hold(&mut book, order, &own);
        hold(&mut book, order, &hers);
        let closed = crate::NewOrder {
            holds: vec![("card".to_owned(), hers.clone())],
            ..crate::NewOrder::of(first)
        };
        let closed = book.new_order(&closed).unwrap();
        book.close_order(closed).unwrap();
        let seen = book.order(order).unwrap().seen;
        let sister = To::New(Box::new(about("Ines Marchetti")));
        let (whose, number) = book.move_card(first, two, &sister, false).unwrap();
        assert_eq!(id(&book, whose, number), hers);
        assert_eq!(book.orders(Which::Of(first)).unwrap().len(), 2, "they stay");
        let card = |book: &Book, order| book.holds(order).unwrap().get("card").cloned();
        assert_eq!((card(&book, order), card(&book, closed)), (None, None));
        // It is told, counted, names nobody, and is not what is taken back next.
        assert!(book.order(order).unwrap().seen > seen);
        let last = book.journal(order).unwrap().pop().unwrap();
        assert_eq!(last.label, "card 2 given to another client");
        assert_eq!(last.changes[0].before.as_deref(), Some(&*hers));
        assert!(last.settled && !last.undone);
        assert_eq!(
            book.journal(closed).unwrap().pop().unwrap().label,
            last.label
        );
        // Taken back and put again step by step, her own card comes back and the sister's never.
        assert_eq!(book.take_back(order).unwrap(), Some(hers.clone()));
        assert_eq!(card(&book, order), Some(own.clone()));
        assert_eq!(book.take_back(order).unwrap(), Some(own.clone()));
        assert_eq!(card(&book, order), None);
        assert_eq!(book.put_again(order).unwrap(), Some(own.clone()));
        assert_eq!(card(&book, order), Some(own.clone()));
        assert_eq!(book.put_again(order).unwrap(), Some(hers.clone()));
        assert_eq!(card(&book, order), None, "the sister's");
        // One that was left so by an older program has none either when she is erased.
        hold(&mut book, order, &hers);
        book.erase_client(whose).unwrap();
        assert_eq!(card(&book, order), None);
        assert!(book.order(order).is_ok());
    }
}
