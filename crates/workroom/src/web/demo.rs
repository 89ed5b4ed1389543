//! The demo: an invented workroom with invented clients, to look round with. It is laid out once, in a
//! book with nobody in it, and taken away in a press.

use book::{
    About, Book, CardHead, Change, ClientNo, DayKind, NewDay, NewOrder, NewReading, OrderNo,
    Photos, Unit,
};
use measure::Date;
use measure::fraction;

use super::trouble::Trouble;
use super::working;

/// The setting that says whether the demo was laid out, or taken away.
const SETTING: &str = "demo";

/// A client of the demo, with her card and her order.
struct Told {
    name: &'static str,
    notes: &'static str,
    allergies: &'static str,
    unit: Unit,
    /// How many days ago she was measured.
    ago: i32,
    foundation: &'static str,
    shoes: &'static str,
    finished: bool,
    readings: &'static [(&'static str, &'static [&'static str])],
    title: &'static str,
    method: &'static str,
    set: &'static [(&'static str, &'static str)],
    cloth: &'static str,
    /// What comes next: kind, in how many days, at what time, words.
    days: &'static [(DayKind, i32, &'static str, &'static str)],
    /// A choice that was changed last: name, value, label.
    last: Option<(&'static str, &'static str, &'static str)>,
}

/// Invented: nobody was measured for these cards.
const PEOPLE: &[Told] = &[
    Told {
        name: "Ines Halloway",
        notes: "Dances. Wants to sit down to dinner in it.",
        allergies: "Nickel: no bare hooks.",
        unit: Unit::Inch,
        ago: 13,
        foundation: "Her shaper",
        shoes: "The shoes of the day, heel 2 1/2 in",
        finished: true,
        readings: &[
            ("waist", &["28 1/2", "28 1/2"]),
            ("high hip", &["34 1/4"]),
            ("hip", &["39 1/4", "39 1/8"]),
            ("waist to hip", &["8 3/4"]),
            ("waist to knee", &["24"]),
            ("waist to floor", &["44 3/4"]),
            ("knee to floor", &["20 3/4"]),
            ("hip joint to floor", &["36 3/4"]),
            ("height", &["65 1/2"]),
            ("thigh", &["23 1/4"]),
            ("knee", &["14 3/4"]),
            ("calf", &["14 1/4"]),
            ("heel", &["2 1/2"]),
        ],
        title: "Mermaid skirt with a train",
        method: "mermaid-two",
        set: &[("hip ease", "1/2 in"), ("zip length", "7 in")],
        cloth: "name = \"plum crepe\"\nwidth = \"58 in\"\nselvedge = \"1/2 in\"\nfold = \"none\"\nnap = \"two-way\"\n",
        days: &[
            (DayKind::Fitting, 1, "10:30", "First fitting"),
            (DayKind::Hem, 15, "", "With the shoes"),
            (DayKind::Event, 24, "", "A winter ball"),
        ],
        last: Some(("flare", "8 in", "flare 7 1/2 to 8 in")),
    },
    Told {
        name: "Tamsin Vale",
        notes: "",
        allergies: "",
        unit: Unit::Inch,
        ago: 2,
        foundation: "As she came",
        shoes: "",
        finished: false,
        readings: &[
            ("waist", &["31"]),
            ("hip", &["41 1/2"]),
            ("waist to hip", &["8 1/4"]),
            ("waist to knee", &["32"]),
        ],
        title: "Straight skirt for the office",
        method: "straight-skirt",
        set: &[],
        cloth: "",
        days: &[(
            DayKind::Measure,
            2,
            "16:00",
            "The rest of her measures, in her shoes",
        )],
        last: None,
    },
    Told {
        name: "Odette Marrow",
        notes: "Ivory only; bring the veil to each fitting.",
        allergies: "",
        unit: Unit::Inch,
        ago: 40,
        foundation: "Corset, laced to 1 in open",
        shoes: "Heel 3 in",
        finished: true,
        readings: &[
            ("waist", &["26"]),
            ("high hip", &["33 1/2"]),
            ("hip", &["37 1/2"]),
            ("waist to hip", &["8 1/2"]),
            ("waist to knee", &["24 1/2"]),
            ("waist to floor", &["45 1/2"]),
            ("height", &["66"]),
            ("knee", &["14"]),
            ("calf", &["13 3/4"]),
            ("heel", &["3"]),
        ],
        title: "Wedding skirt with a flounce",
        method: "mermaid-flounce",
        set: &[],
        cloth: "",
        days: &[
            (DayKind::Toile, -12, "11:00", "Toile"),
            (DayKind::Fitting, 7, "11:00", "Second fitting"),
            (DayKind::Event, 38, "", "The wedding"),
        ],
        last: None,
    },
    Told {
        name: "Bisi Farrow",
        notes: "",
        allergies: "",
        unit: Unit::Cm,
        ago: 30,
        foundation: "Light slip",
        shoes: "Flat",
        finished: true,
        readings: &[
            ("waist", &["82"]),
            ("hip", &["108"]),
            ("waist to hip", &["21"]),
            ("waist to knee", &["60"]),
            ("height", &["170"]),
        ],
        title: "A-line skirt, lined",
        method: "a-line",
        set: &[],
        cloth: "",
        days: &[(DayKind::Collection, 17, "", "The rest is paid then")],
        last: None,
    },
];

/// Lays the demo out, where nobody is in the book yet and it was never there.
///
/// # Errors
/// When the book can't be written.
pub(crate) fn lay_out(book: &mut Book, today: Date) -> Result<(), Trouble> {
    if book.setting(SETTING)?.is_some() || !book.clients()?.is_empty() {
        return Ok(());
    }
    for told in PEOPLE {
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
            name: told.name.to_owned(),
            notes: told.notes.to_owned(),
            allergies: told.allergies.to_owned(),
            photos: Photos::NotAsked,
            ..About::default()
        },
        true,
    )?;
    let mut head = CardHead::new(today.later(-told.ago).unwrap_or(today), told.unit);
    told.foundation.clone_into(&mut head.foundation);
    told.shoes.clone_into(&mut head.shoes);
    "Invented.".clone_into(&mut head.notes);
    let number = book.new_card(client, &head)?;
    let card = book.card(client, number)?;
    let mut readings = Vec::new();
    let unit = match told.unit {
        Unit::Inch => fraction::Unit::Inch,
        Unit::Cm => fraction::Unit::Cm,
    };
    for (measure, texts) in told.readings {
        for (turn, text) in (1..).zip(*texts) {
            readings.push(NewReading {
                measure: (*measure).to_owned(),
                turn,
                text: (*text).to_owned(),
                unit: told.unit.sign().to_owned(),
                mm: fraction::read(text, Some(unit)).ok().map(|l| l.in_mm()),
            });
        }
    }
    book.write_readings(card.id, None, &readings, "here")?;
    book.finish_card(card.id, told.finished)?;
    let mut new = NewOrder::of(client);
    told.title.clone_into(&mut new.title);
    told.method.clone_into(&mut new.method);
    new.holds = working::method_holds(book, told.method)?;
    new.holds.push(("card".to_owned(), card.id.to_string()));
    for (choice, value) in told.set {
        new.holds
            .push((format!("choice/{choice}"), (*value).to_owned()));
    }
    if !told.cloth.is_empty() {
        new.holds
            .push(("cloth/shell".to_owned(), told.cloth.to_owned()));
    }
    let order: OrderNo = book.new_order(&new)?;
    for (kind, days, time, words) in told.days {
        book.add_day(
            order,
            &NewDay {
                kind: *kind,
                on: today.later(*days).unwrap_or(today),
                time: (*time).to_owned(),
                words: (*words).to_owned(),
            },
        )?;
    }
    if let Some((choice, value, label)) = told.last {
        let change = Change {
            key: format!("choice/{choice}"),
            after: Some(value.to_owned()),
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
    fn the_demo_is_laid_out_once_and_its_finished_cards_draft() {
        if crate::shelf::SHIPPED.is_empty() {
            return;
        }
        let today = Date::read("2026-11-25").unwrap();
        let mut book = Book::in_memory(Stamp::now).unwrap();
        lay_out(&mut book, today).unwrap();
        lay_out(&mut book, today).unwrap();
        assert_eq!(book.clients().unwrap().len(), PEOPLE.len());
        assert_eq!(book.counts(today).unwrap(), book::Counts::default());
        let orders = book.orders(book::Which::All).unwrap();
        assert_eq!(orders.len(), PEOPLE.len());
        for told in PEOPLE {
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
