//! Keeping what was written on a card: readings, answers to its questions, that it is finished.

use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Book, NewReading, Said};
use maud::{Markup, html};
use measure::fraction::{Shown, show_number};
use measure::questions::{Question, Weight};

use super::{Held, echo, key, slug, view};
use crate::web::clients::{Sent, sent};
use crate::web::parts::apart;
use crate::web::trouble::Trouble;

/// Does what the form says, and leads to what comes next.
pub(super) fn save(
    book: &mut Book,
    held: &Held,
    form: &Sent,
    by: &str,
) -> Result<Response, Trouble> {
    let base = held.at.address();
    let wish = sent(form, "do");
    if wish == "finish" || wish == "unfinish" {
        book.finish_card(held.card.id, wish == "finish")?;
        return Ok(Redirect::to(&format!("{base}?said=kept")).into_response());
    }
    let measure = held
        .named(sent(form, "m"))
        .ok_or_else(|| Trouble::missing("measure of that name").back(&base, "Back to the card"))?;
    // Taking the likely value leaves aside what stands in the boxes: it is what was wrong.
    if wish == "take" {
        return take(book, held, form, by, &measure);
    }
    let new = match readings(held, form, &measure) {
        Ok(new) => new,
        Err(faults) => {
            let mut asked = Sent::new();
            asked.insert("m".to_owned(), measure);
            let page = view::page(held, &asked, Some((form, &faults)));
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let seen = sent(form, "seen").parse().ok();
    match book.write_readings(held.card.id, seen, &new, by) {
        Ok(_) => {}
        Err(book::Trouble::Moved { now }) => return Ok(two_hands(held, &measure, &new, now)),
        Err(other) => return Err(other.into()),
    }
    if wish == "right" || wish == "later" {
        let said = if wish == "right" {
            Said::Right
        } else {
            Said::Later
        };
        // Only a question that the card asks can be answered.
        if let Some((key, _)) = held
            .questions()
            .into_iter()
            .find(|(k, _)| view::mark_of(k) == sent(form, "q"))
        {
            book.answer(held.card.id, &key, said)?;
        }
    }
    after(book, held, &measure, wish)
}

/// Where the form leads: to the same measure if the card has a question about it, else to the next.
fn after(book: &Book, held: &Held, measure: &str, wish: &str) -> Result<Response, Trouble> {
    let base = held.at.address();
    let now =
        Held::load(book, held.at.clone(), held.today)?.ok_or_else(|| Trouble::missing("card"))?;
    let asks = now.questions().into_iter().any(|(key, q)| {
        q.measure == measure
            && (q.weight == Weight::Ask || q.rule == "card.readings")
            && !now.answers.contains_key(&key)
    });
    let to = if asks || wish == "stay" {
        Some(measure)
    } else {
        now.next_after(measure)
    };
    Ok(match to {
        Some(name) => Redirect::to(&format!("{base}?m={}&said=kept", slug(name))),
        None => Redirect::to(&format!("{base}?said=kept")),
    }
    .into_response())
}

/// Reads the boxes of a measure; what can't be read comes back as turn and sentence.
fn readings(held: &Held, form: &Sent, measure: &str) -> Result<Vec<NewReading>, Vec<(u8, String)>> {
    let (mut new, mut faults) = (Vec::new(), Vec::new());
    let changed = |turn: u8| {
        let name = format!("r{turn}");
        form.contains_key(&name) && sent(form, &name) != held.text(measure, turn)
    };
    // A tapped part belongs to the last box that was written in.
    let tapped = (1..=3)
        .rev()
        .find(|t| changed(*t) && !sent(form, &format!("r{t}")).is_empty())
        .unwrap_or(1);
    for turn in 1..=3_u8 {
        let name = format!("r{turn}");
        if !form.contains_key(&name) {
            continue;
        }
        let mut text = sent(form, &name).to_owned();
        if turn == tapped && !super::is_angle(measure) {
            text = echo::with_part(&text, sent(form, "part"), held.unit());
        }
        if text == held.text(measure, turn) {
            continue;
        }
        if text.is_empty() {
            new.push(reading(held, measure, turn, String::new(), None));
            continue;
        }
        match echo::read(measure, &text, held.unit()) {
            Ok(understood) => new.push(reading(
                held,
                measure,
                turn,
                understood.text,
                Some(understood.value),
            )),
            Err(says) => faults.push((turn, says)),
        }
    }
    if faults.is_empty() {
        Ok(new)
    } else {
        Err(faults)
    }
}

fn reading(held: &Held, measure: &str, turn: u8, text: String, mm: Option<f64>) -> NewReading {
    let unit = if super::is_angle(measure) {
        "degrees"
    } else {
        measure::fraction::unit_said(&text).map_or(held.card.head.unit.sign(), |u| u.sign())
    };
    NewReading {
        measure: measure.to_owned(),
        turn,
        text,
        unit: unit.to_owned(),
        mm,
    }
}

/// The likely value as it is written on the card.
pub(super) fn likely(held: &Held, question: &Question) -> Option<String> {
    question
        .likely
        .map(|length| show_number(length, Shown::usual(held.unit())))
}

/// Puts the likely value in the place of all readings.
fn take(
    book: &mut Book,
    held: &Held,
    form: &Sent,
    by: &str,
    measure: &str,
) -> Result<Response, Trouble> {
    let base = held.at.address();
    let asked = sent(form, "q");
    let found = held
        .questions()
        .into_iter()
        .find(|(k, q)| view::mark_of(k) == asked && q.measure == measure);
    let Some((key, text)) = found.and_then(|(k, q)| Some((k, likely(held, &q)?))) else {
        // The card reads otherwise by now: she looks at it afresh.
        return Ok(Redirect::to(&format!("{base}?m={}", slug(measure))).into_response());
    };
    let understood = echo::read(measure, &text, held.unit()).map_err(Trouble::unclear)?;
    let mut new = vec![reading(
        held,
        measure,
        1,
        understood.text,
        Some(understood.value),
    )];
    new.extend((2..=3).map(|turn| reading(held, measure, turn, String::new(), None)));
    let seen = sent(form, "seen").parse().ok();
    match book.write_readings(held.card.id, seen, &new, by) {
        Ok(_) => {}
        Err(book::Trouble::Moved { now }) => return Ok(two_hands(held, measure, &new, now)),
        Err(other) => return Err(other.into()),
    }
    book.answer(held.card.id, &key, Said::Taken)?;
    after(book, held, measure, "take")
}

/// A reading of one of two hands: marked where the other wrote another one.
fn cell(text: &str, alike: bool) -> Markup {
    let text = html! { @if text.is_empty() { "nothing" } @else { (text) } };
    apart::cell(text, alike)
}

/// Two hands wrote the same reading: both values side by side.
fn two_hands(held: &Held, measure: &str, mine: &[NewReading], now: u64) -> Response {
    let base = held.at.address();
    let turns = ["First reading", "Second reading", "Third reading"];
    let page = Trouble::moved("Nothing is lost. Choose which reading is to stand.")
        .back(
            format!("{base}?m={}", slug(measure)),
            "Leave it as the other wrote it",
        )
        .with(html! {
            form method="post" action=(base) {
                input type="hidden" name="m" value=(measure);
                input type="hidden" name="seen" value=(now);
                div.wide {
                    table {
                        thead { tr { th scope="col" { (view::label(measure)) } th scope="col" { "On the card now" } th scope="col" { "You wrote" } } }
                        tbody {
                            @for new in mine {
                                @let turn = turns.get(usize::from(new.turn).saturating_sub(1)).unwrap_or(&"Reading");
                                @let there = held.text(measure, new.turn);
                                tr {
                                    th scope="row" { (turn) }
                                    @let alike = there == new.text;
                                    td { (cell(&there, alike)) }
                                    td { (cell(&new.text, alike)) @if alike { " " span.help { "the same in both" } } }
                                }
                                input type="hidden" name={ "r" (new.turn) } value=(new.text);
                            }
                        }
                    }
                }
                p.presses { button.press.main name="do" value="stay" { "Keep what you wrote" } }
            }
        });
    page.into_response()
}

/// Whether a question has been put off.
pub(super) fn put_off(held: &Held, question: &Question) -> bool {
    held.answers.get(&key(question)) == Some(&Said::Later)
}
