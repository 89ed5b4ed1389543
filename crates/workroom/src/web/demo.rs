//! The demo: an invented workroom with invented clients, to look round with. It is laid out once, in a
//! book with nobody in it, and taken away in a press.

use book::{
    About, Book, CardHead, Change, ClientNo, DayKind, NewDay, NewOrder, NewReading, OrderNo,
    Photos, Unit,
};
use measure::Date;
use measure::fraction;
use serde::Deserialize;

use super::trouble::Trouble;
use super::working;

/// The setting that says whether the demo was laid out, or taken away.
const SETTING: &str = "demo";

/// Invented: nobody was measured for these cards.
const PEOPLE: &str = include_str!("../../demo/people.json");

/// A client of the demo, with her card and her order.
#[derive(Deserialize)]
struct Told {
    name: String,
    notes: String,
    allergies: String,
    unit: String,
    /// How many days ago she was measured.
    ago: i32,
    foundation: String,
    shoes: String,
    finished: bool,
    readings: Vec<(String, Vec<String>)>,
    title: String,
    method: String,
    set: Vec<(String, String)>,
    cloth: String,
    days: Vec<ToCome>,
    /// A choice that was changed last: name, value, label.
    last: Option<(String, String, String)>,
}

/// A day of an order of the demo.
#[derive(Deserialize)]
struct ToCome {
    kind: Kind,
    /// In how many days.
    r#in: i32,
    time: String,
    words: String,
}

/// The kinds of days that the demo has.
#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Kind {
    Measure,
    Toile,
    Fitting,
    Hem,
    Collection,
    Event,
}

impl From<Kind> for DayKind {
    fn from(kind: Kind) -> Self {
        match kind {
            Kind::Measure => Self::Measure,
            Kind::Toile => Self::Toile,
            Kind::Fitting => Self::Fitting,
            Kind::Hem => Self::Hem,
            Kind::Collection => Self::Collection,
            Kind::Event => Self::Event,
        }
    }
}

/// The people of the demo. A page that can't be read would be a fault of the program, which a test
/// catches: nobody is laid out then.
fn people() -> Vec<Told> {
    serde_json::from_str(PEOPLE).unwrap_or_default()
}

/// Lays the demo out, where nobody is in the book yet and it was never there.
///
/// # Errors
/// When the book can't be written.
pub(crate) fn lay_out(book: &mut Book, today: Date) -> Result<(), Trouble> {
    if book.setting(SETTING)?.is_some() || !book.clients()?.is_empty() {
        return Ok(());
    }
    for told in &people() {
        if crate::shelf::SHIPPED
            .iter()
            .any(|(name, _)| *name == told.method)
        {
            person(book, told, today)?;
        }
    }
    if book.setting("name")?.is_none() {
        book.set("name", "Lantern Lane")?;
    }
    book.set(SETTING, "there")?;
    Ok(())
}

fn person(book: &mut Book, told: &Told, today: Date) -> Result<(), Trouble> {
    let client: ClientNo = book.new_client(
        &About {
            name: told.name.clone(),
            notes: told.notes.clone(),
            allergies: told.allergies.clone(),
            photos: Photos::NotAsked,
            ..About::default()
        },
        true,
    )?;
    let unit = Unit::read(&told.unit).unwrap_or(Unit::Inch);
    let mut head = CardHead::new(today.later(-told.ago).unwrap_or(today), unit);
    told.foundation.clone_into(&mut head.foundation);
    told.shoes.clone_into(&mut head.shoes);
    "Invented.".clone_into(&mut head.notes);
    let number = book.new_card(client, &head)?;
    let card = book.card(client, number)?;
    let mut readings = Vec::new();
    let read_as = match unit {
        Unit::Inch => fraction::Unit::Inch,
        Unit::Cm => fraction::Unit::Cm,
    };
    for (measure, texts) in &told.readings {
        for (turn, text) in (1..).zip(texts) {
            readings.push(NewReading {
                measure: measure.clone(),
                turn,
                text: text.clone(),
                unit: unit.sign().to_owned(),
                mm: fraction::read(text, Some(read_as))
                    .ok()
                    .map(measure::Length::in_mm),
            });
        }
    }
    book.write_readings(card.id, None, &readings, "here")?;
    book.finish_card(card.id, told.finished)?;
    let mut new = NewOrder::of(client);
    told.title.clone_into(&mut new.title);
    told.method.clone_into(&mut new.method);
    new.holds = working::method_holds(book, &told.method)?;
    new.holds.push(("card".to_owned(), card.id.to_string()));
    for (choice, value) in &told.set {
        new.holds.push((format!("choice/{choice}"), value.clone()));
    }
    if !told.cloth.is_empty() {
        new.holds
            .push(("cloth/shell".to_owned(), told.cloth.clone()));
    }
    let order: OrderNo = book.new_order(&new)?;
    for day in &told.days {
        book.add_day(
            order,
            &NewDay {
                kind: day.kind.into(),
                on: today.later(day.r#in).unwrap_or(today),
                time: day.time.clone(),
                words: day.words.clone(),
            },
        )?;
    }
    if let Some((choice, value, label)) = &told.last {
        let change = Change {
            key: format!("choice/{choice}"),
            after: Some(value.clone()),
        };
        book.change(order, None, label, "here", &[change])?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;
    use crate::web::working::OnTable;
    use book::Stamp;

    #[test]
    fn every_person_of_the_page_can_be_read() {
        let all: Vec<Told> = serde_json::from_str(PEOPLE).unwrap();
        assert!(all.len() > 2);
        for told in &all {
            assert!(Unit::read(&told.unit).is_some(), "{}", told.unit);
        }
    }

    #[test]
    fn the_demo_is_laid_out_once_and_its_finished_cards_draft() {
        if crate::shelf::SHIPPED.is_empty() {
            return;
        }
        let today = Date::read("2026-11-25").unwrap();
        let mut book = Book::in_memory(Stamp::now).unwrap();
        lay_out(&mut book, today).unwrap();
        lay_out(&mut book, today).unwrap();
        assert_eq!(book.clients().unwrap().len(), people().len());
        assert_eq!(book.counts(today).unwrap(), book::Counts::default());
        let orders = book.orders(book::Which::All).unwrap();
        assert_eq!(orders.len(), people().len());
        for told in people() {
            let order = orders.iter().find(|o| o.name == told.name).unwrap();
            let on = OnTable::load(&book, order.order.number).unwrap();
            let worked = on.redraw();
            if told.finished {
                assert_eq!(
                    on.in_the_way(&worked),
                    Vec::<String>::new(),
                    "{}",
                    told.name
                );
                assert!(!worked.pieces.is_empty());
            }
        }
    }
}
