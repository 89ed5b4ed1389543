//! The days of an order: entered, changed, done, put off; and when the event moves, the others with it.

use std::sync::Arc;

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Book, Day, DayKind, DayState, Id, NewDay, OrderNo, Which};
use maud::{Markup, html};
use measure::Date;

use super::both::Both;
use super::{Sent, number, sent};
use crate::web::layout::{Frame, Here, OrderHead, Stage, page};
use crate::web::parts::day;
use crate::web::parts::field::{Field, Kind, id, summary};
use crate::web::room::Room;
use crate::web::trouble::Trouble;

/// What a day can be for, in her words.
pub(crate) const KINDS: &[(DayKind, &str)] = &[
    (DayKind::Enquiry, "Enquiry"),
    (DayKind::Measure, "Measuring"),
    (DayKind::Toile, "Toile"),
    (DayKind::Fitting, "Fitting"),
    (DayKind::Hem, "Hem"),
    (DayKind::Collection, "Collection"),
    (DayKind::Event, "The day it is for"),
    (DayKind::Care, "Care"),
];

fn kind_word(kind: DayKind) -> &'static str {
    KINDS
        .iter()
        .find(|(k, _)| *k == kind)
        .map_or("Day", |(_, word)| *word)
}

/// What a day is called: "Second fitting, 10.30", "Collection: the rest is paid then".
pub(crate) fn called(day: &NewDay) -> String {
    let kind = kind_word(day.kind);
    let words = day.words.trim().trim_end_matches('.');
    let says_it = words.to_lowercase().contains(&kind.to_lowercase());
    let mut out = if words.is_empty() {
        kind.to_owned()
    } else if says_it || day.kind == DayKind::Event {
        words.to_owned()
    } else {
        format!("{kind}: {words}")
    };
    if !day.time.is_empty() {
        out.push_str(&format!(", {}", day.time.replace(':', ".")));
    }
    out
}

/// How a day stands, in a word; nothing while it simply comes.
pub(super) fn state_word(day: &Day, today: Date) -> &'static str {
    match day.state {
        DayState::Comes if day.day.on < today => "overdue",
        DayState::Comes => "",
        DayState::Done => "done",
        DayState::Postponed => "put off",
        DayState::Cancelled => "cancelled",
    }
}

fn address(order: OrderNo) -> String {
    format!("/orders/{order}?said=kept#days")
}

fn to(address: &str) -> Response {
    Redirect::to(address).into_response()
}

/// What a form says of a day.
fn read(form: &Sent) -> Result<NewDay, Vec<(String, String)>> {
    let mut faults = Vec::new();
    let kind = DayKind::read(sent(form, "kind"));
    let on = Date::read(sent(form, "on"));
    let time = sent(form, "time");
    let time = time_read(time);
    if kind.is_none() {
        faults.push(("kind".to_owned(), "What is the day for?".to_owned()));
    }
    if on.is_none() {
        faults.push(("on".into(), "Which day? As in 2026-12-31.".into()));
    }
    if time.is_none() {
        faults.push((
            "time".into(),
            "At what time? As in 10:30, or leave it out.".into(),
        ));
    }
    match (kind, on, time) {
        (Some(kind), Some(on), Some(time)) => Ok(NewDay {
            kind,
            on,
            time,
            words: sent(form, "words").to_owned(),
        }),
        _ => Err(faults),
    }
}

/// `10:30` out of `10:30`, `10.30`, `9:05` or `10`; empty stays empty.
fn time_read(text: &str) -> Option<String> {
    if text.is_empty() {
        return Some(String::new());
    }
    let (hour, minute) = text.split_once([':', '.']).unwrap_or((text, "00"));
    let plain = |t: &str| !t.is_empty() && t.len() <= 2 && t.bytes().all(|b| b.is_ascii_digit());
    let hour: u8 = hour.parse().ok().filter(|h| *h < 24 && plain(hour))?;
    let minute: u8 = minute
        .get(..2)
        .filter(|m| plain(m))?
        .parse()
        .ok()
        .filter(|m| *m < 60)?;
    Some(format!("{hour:02}:{minute:02}"))
}

/// The boxes of a day.
pub(super) fn boxes(form: &Sent, faults: &[(String, String)]) -> Markup {
    let fault = |name: &str| {
        faults
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, says)| says.as_str())
    };
    let chosen = sent(form, "kind");
    html! {
        div.field {
            label for=(id("kind")) { "What for" }
            @if let Some(says) = fault("kind") { p.fault { (says) } }
            select.box id=(id("kind")) name="kind" {
                @for (kind, word) in KINDS { option value=(kind.word()) selected[kind.word() == chosen] { (word) } }
            }
        }
        div.dayrow {
            (Field::new("on", "Which day", sent(form, "on")).kind(Kind::Day).required().fault(fault("on")).html())
            (Field::new("time", "At what time", sent(form, "time")).kind(Kind::Time).fault(fault("time")).html())
        }
        (Field::new("words", "Anything to say about it", sent(form, "words")).html())
    }
}

/// A day as its form has it.
fn as_sent(day: &NewDay) -> Sent {
    [
        ("kind", day.kind.word().to_owned()),
        ("on", day.on.to_string()),
        ("time", day.time.clone()),
        ("words", day.words.clone()),
    ]
    .into_iter()
    .map(|(name, text)| (name.to_owned(), text))
    .collect()
}

/// A day in one line, to tell whether it is still the one that a page showed.
fn stamp(day: &Day) -> String {
    format!(
        "{}|{}|{}|{}|{}",
        day.day.kind.word(),
        day.day.on,
        day.day.time,
        day.state.word(),
        day.day.words
    )
}

fn find(book: &Book, order: OrderNo, text: &str) -> Result<Day, Trouble> {
    let missing =
        || Trouble::missing("such day").back(format!("/orders/{order}#days"), "Back to the order");
    let id = Id::read(text).ok_or_else(missing)?;
    book.days(order)?
        .into_iter()
        .find(|d| d.id == id)
        .ok_or_else(missing)
}

fn open(book: &Book, order: OrderNo) -> Result<(), Trouble> {
    if book.order(order)?.closed.is_some() {
        return Err(Trouble::from(book::Trouble::Closed)
            .back(format!("/orders/{order}"), "Back to the order"));
    }
    Ok(())
}

pub(super) async fn add(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let order = number(&order)?;
    room.book(move |book| {
        open(book, order)?;
        match read(&form) {
            Ok(day) => {
                book.add_day(order, &day)?;
                Ok(to(&address(order)))
            }
            Err(faults) => {
                let head = head(book, order)?;
                let body = html! {
                    h1 { "A day for " (head.name) }
                    (summary(&faults))
                    form.stack.full method="post" action={ "/orders/" (order) "/days" } {
                        (boxes(&form, &faults))
                        p.presses { button.press.main { "Keep the day" } a.press.quiet href={ "/orders/" (order) "#days" } { "Not now" } }
                    }
                };
                Ok((StatusCode::UNPROCESSABLE_ENTITY, framed(&head, &body)).into_response())
            }
        }
    })
    .await
}

/// Of all days that still come: put off, cancelled, or that they come again.
pub(super) async fn all(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let order = number(&order)?;
    room.book(move |book| {
        open(book, order)?;
        let (from, state) = match sent(&form, "do") {
            "postpone" => (DayState::Comes, DayState::Postponed),
            "cancel" => (DayState::Comes, DayState::Cancelled),
            "come" => (DayState::Postponed, DayState::Comes),
            _ => return Ok(to(&address(order))),
        };
        book.set_days(order, from, state)?;
        Ok(to(&address(order)))
    })
    .await
}

/// Whose order it is, for the page of a day.
struct Head {
    order: OrderNo,
    name: String,
    demo: bool,
}

fn head(book: &Book, order: OrderNo) -> Result<Head, Trouble> {
    let row = book.order(order)?;
    Ok(Head {
        order,
        name: book.client_by_id(row.client)?.about.name,
        demo: row.demo,
    })
}

fn framed(head: &Head, body: &Markup) -> Markup {
    let frame = Frame {
        title: format!("Days of order {}", head.order),
        here: Here::Clients,
        order: Some(OrderHead {
            number: head.order,
            stage: Stage::Order,
        }),
        demo: head.demo,
        ..Frame::default()
    };
    page(&frame, html! { div.narrow.stack.full { (body) } })
}

pub(super) async fn one(
    State(room): State<Arc<Room>>,
    Path((order, day)): Path<(String, String)>,
) -> Result<Markup, Trouble> {
    let order = number(&order)?;
    room.book(move |book| {
        let day = find(book, order, &day)?;
        Ok(one_page(&head(book, order)?, &day, &as_sent(&day.day), &[]))
    })
    .await
}

fn one_page(head: &Head, day: &Day, form: &Sent, faults: &[(String, String)]) -> Markup {
    let order = head.order;
    framed(
        head,
        &html! {
            h1 { (called(&day.day)) ", " (head.name) }
            (summary(faults))
            form.stack.full method="post" action={ "/orders/" (order) "/days/" (day.id) } {
                input type="hidden" name="was" value=(stamp(day));
                (boxes(form, faults))
                @if day.day.kind == DayKind::Event {
                    p.help { "If this day moves, you are asked whether the days before it move along." }
                }
                p.presses {
                    button.press.main name="do" value="change" { "Keep it" }
                    @if day.day.kind != DayKind::Event {
                        button.press name="do" value="along" { "Keep it, and move the others along" }
                    }
                    a.press.quiet href={ "/orders/" (order) "#days" } { "Leave it as it was" }
                }
                p.presses {
                    button.press.quiet name="do" value="drop" formnovalidate { "It was entered by mistake: take it away" }
                }
            }
        },
    )
}

pub(super) async fn press(
    State(room): State<Arc<Room>>,
    Path((order, day)): Path<(String, String)>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let order = number(&order)?;
    let today = room.today();
    room.book(move |book| {
        open(book, order)?;
        let day = find(book, order, &day)?;
        let back = if sent(&form, "from") == "today" {
            "/?said=kept".to_owned()
        } else {
            address(order)
        };
        let state = match sent(&form, "do") {
            "done" => Some(DayState::Done),
            "postpone" => Some(DayState::Postponed),
            "cancel" => Some(DayState::Cancelled),
            "come" => Some(DayState::Comes),
            _ => None,
        };
        if let Some(state) = state {
            book.set_day(order, day.id, state)?;
            return Ok(to(&back));
        }
        if sent(&form, "do") == "drop" {
            book.drop_day(order, day.id)?;
            return Ok(to(&back));
        }
        let new = match read(&form) {
            Ok(new) => new,
            Err(faults) => {
                let page = one_page(&head(book, order)?, &day, &form, &faults);
                return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
            }
        };
        let was = sent(&form, "was");
        if !was.is_empty() && was != stamp(&day).trim() && new != day.day {
            return Err(both(order, &day, &new, sent(&form, "do"), today));
        }
        let along = match sent(&form, "do") {
            "along" => true,
            _ => new.kind == DayKind::Event && day.day.kind == DayKind::Event,
        };
        // Of a party the event is asked about even where it is the only day: others may move along.
        let of_party = new.kind == DayKind::Event && party(book, order)?.is_some();
        let others = of_party || remaining(book, order)?.iter().any(|d| d.id != day.id);
        if along && others && new.on != day.day.on {
            let query: Vec<String> = as_sent(&new)
                .iter()
                .map(|(name, text)| format!("{name}={}", crate::web::parts::link::escaped(text)))
                .collect();
            return Ok(to(&format!(
                "/orders/{order}/days/{}/move?{}",
                day.id,
                query.join("&")
            )));
        }
        book.change_day(order, day.id, &new)?;
        // A day that was put off and has a new one comes again.
        if day.state == DayState::Postponed && new.on != day.day.on {
            book.set_day(order, day.id, DayState::Comes)?;
        }
        Ok(to(&back))
    })
    .await
}

fn both(order: OrderNo, day: &Day, mine: &NewDay, press: &str, today: Date) -> Trouble {
    let said = |d: &NewDay, word: &str| {
        let word = if word.is_empty() {
            String::new()
        } else {
            format!(", {word}")
        };
        format!("{}: {}{word}", day::long(d.on), called(d))
    };
    let fields = as_sent(mine);
    let was = stamp(day);
    let mut sent: Vec<(&str, &str)> = fields
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    sent.push(("was", &was));
    Both {
        what: "The day",
        mine: &said(mine, ""),
        theirs: &said(&day.day, state_word(day, today)),
        action: format!("/orders/{order}/days/{}", day.id),
        fields: &sent,
        press: ("do", if press == "along" { "along" } else { "change" }),
        back: format!("/orders/{order}#days"),
    }
    .trouble()
}

/// The days of an order that have not been and will be.
fn remaining(book: &Book, order: OrderNo) -> Result<Vec<Day>, Trouble> {
    let mut days = book.days(order)?;
    days.retain(|d| matches!(d.state, DayState::Comes | DayState::Postponed));
    Ok(days)
}

fn unread(order: OrderNo, day: Id) -> Trouble {
    Trouble::unclear("Which day it moves to could not be read. Choose it again.")
        .back(format!("/orders/{order}/days/{day}"), "Back to the day")
}

/// Asks, with the list, before anything is moved.
pub(super) async fn ask(
    State(room): State<Arc<Room>>,
    Path((order, day)): Path<(String, String)>,
    Query(form): Query<Sent>,
) -> Result<Markup, Trouble> {
    let order = number(&order)?;
    let today = room.today();
    room.book(move |book| {
        let day = find(book, order, &day)?;
        let new = read(&form).map_err(|_| unread(order, day.id))?;
        let by = new.on.day_number() - day.day.on.day_number();
        let moved = remaining(book, order)?;
        let head = head(book, order)?;
        let party = party(book, order)?;
        let body = asking(&head, &day, (&new, by), &moved, party.as_ref(), today);
        Ok(framed(&head, &body))
    })
    .await
}

/// The party of an order, and the other open orders in it.
fn party(book: &Book, order: OrderNo) -> Result<Option<(String, Vec<OrderNo>)>, Trouble> {
    let Some(id) = book.order(order)?.party else {
        return Ok(None);
    };
    let name = book.parties()?.into_iter().find(|p| p.id == id);
    let others: Vec<OrderNo> = book
        .orders(Which::Party(id))?
        .into_iter()
        .filter(|o| o.order.number != order && o.order.closed.is_none())
        .map(|o| o.order.number)
        .collect();
    Ok(name
        .map(|p| (p.name, others))
        .filter(|(_, o)| !o.is_empty()))
}

fn asking(
    head: &Head,
    day: &Day,
    (new, by): (&NewDay, i32),
    moved: &[Day],
    party: Option<&(String, Vec<OrderNo>)>,
    today: Date,
) -> Markup {
    let order = head.order;
    let days = match by.abs() {
        1 => "one day".to_owned(),
        n if n % 7 == 0 && n > 7 => format!("{} weeks", n / 7),
        7 => "a week".to_owned(),
        n => format!("{n} days"),
    };
    let way = if by > 0 { "later" } else { "earlier" };
    let target = |d: &Day| {
        if d.id == day.id {
            Some(new.on)
        } else {
            d.day.on.later(by)
        }
    };
    // The day itself may be over and be moved all the same: then it is not among those.
    let others = moved.iter().filter(|d| d.id != day.id).count();
    let alone = others == 0;
    let past = moved.iter().any(|d| target(d).is_some_and(|t| t < today));
    html! {
        h1 { (called(&day.day)) " moves to " (day::long(new.on)) ": " (days) " " (way) "." }
        p { @if alone { "No other day of this order is to come." } @else { "Do the other days of this order move along?" } }
        @if !moved.is_empty() { div.wide role="group" tabindex="0" aria-label="The days, as they are and as they would be" {
            table {
                thead { tr { th scope="col" { "Day" } th scope="col" { "Now" } th scope="col" { "Moved along" } } }
                tbody {
                    @for d in moved {
                        tr {
                            th scope="row" { (called(&d.day)) @if d.state == DayState::Postponed { ", put off; it would come again" } }
                            td { (day::named(d.day.on)) @if d.day.on.year() != today.year() { " " (d.day.on.year()) } }
                            td {
                                @match target(d) {
                                    Some(on) => {
                                        (day::named(on)) @if on.year() != today.year() { " " (on.year()) }
                                        @if on < today { ", which is past" }
                                    }
                                    None => "out of the calendar",
                                }
                            }
                        }
                    }
                }
            }
        } }
        @if past { p.noteline { "Some would fall on a day that is past." } }
        form.stack.full method="post" action={ "/orders/" (order) "/days/" (day.id) "/move" } {
            input type="hidden" name="was" value=(stamp(day));
            @for (name, text) in as_sent(new) { input type="hidden" name=(name) value=(text); }
            @if let Some((name, others)) = party {
                label.tickline {
                    input type="checkbox" name="party" value="yes" checked[day.day.kind == DayKind::Event];
                    span {
                        @if alone { "The days" } @else { "With all together, the days" }
                        " of the others of " (name) " move by as much: "
                        @if others.len() == 1 { "one order" } @else { (others.len()) " orders" } "."
                    }
                }
            }
            div.presses {
                @if alone {
                    button.press.main name="do" value="all" { "Move it" }
                } @else {
                    button.press.main name="do" value="all" { "Move all " (others + 1) " together" }
                    button.press name="do" value="one" { "Move only this one" }
                }
                a.press.quiet href={ "/orders/" (order) "#days" } { "Leave all as they were" }
            }
        }
    }
}

pub(super) async fn go(
    State(room): State<Arc<Room>>,
    Path((order, day)): Path<(String, String)>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let order = number(&order)?;
    let today = room.today();
    room.book(move |book| {
        open(book, order)?;
        let day = find(book, order, &day)?;
        let new = read(&form).map_err(|_| unread(order, day.id))?;
        // Pressed twice, or moved in another window: never twice as far.
        let was = sent(&form, "was");
        if !was.is_empty() && was != stamp(&day).trim() {
            if day.day == new {
                return Ok(to(&address(order)));
            }
            return Err(both(order, &day, &new, "change", today));
        }
        if sent(&form, "do") == "all" {
            let by = new.on.day_number() - day.day.on.day_number();
            let mut all = vec![order];
            if let Some((_, others)) = party(book, order)?.filter(|_| form.contains_key("party")) {
                all.extend(others);
            }
            book.shift_days(&all, by)?;
        }
        book.change_day(order, day.id, &new)?;
        Ok(to(&format!("/orders/{order}?said=moved#days")))
    })
    .await
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;

    /// Would catch a kind that is said twice, or a time that is not read.
    #[test]
    fn a_day_is_called_by_its_words() {
        let day = |kind, words: &str, time: &str| NewDay {
            kind,
            on: Date::read("2026-12-01").unwrap(),
            time: time.into(),
            words: words.into(),
        };
        assert_eq!(
            called(&day(DayKind::Fitting, "Second fitting", "10:30")),
            "Second fitting, 10.30"
        );
        assert_eq!(
            called(&day(DayKind::Collection, "The rest is paid then.", "")),
            "Collection: The rest is paid then"
        );
        assert_eq!(called(&day(DayKind::Event, "", "")), "The day it is for");
        for (typed, read) in [
            ("", Some("")),
            ("9:05", Some("09:05")),
            ("10.30", Some("10:30")),
            ("14", Some("14:00")),
            ("10:30:00", Some("10:30")),
            ("half past", None),
            ("24:00", None),
            ("+9:00", None),
        ] {
            assert_eq!(time_read(typed).as_deref(), read, "{typed}");
        }
    }
}
