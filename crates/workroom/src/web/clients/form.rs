//! Entering a client and changing what is kept about her, in two windows too.

use std::sync::Arc;

use axum::Form;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{About, Client, ClientNo, Photos};
use maud::{Markup, html};
use measure::date::Date;

use super::{GROWN, Sent, age, number, sent};
use crate::web::layout::{Frame, Here, page};
use crate::web::parts::apart::Apart;
use crate::web::parts::field::{Choice, Field, Kind, summary};
use crate::web::room::Room;
use crate::web::trouble::Trouble;

/// The boxes: name in the form, words, and how they are shown.
const BOXES: &[(&str, &str, Kind, &str)] = &[
    ("name", "Name, or a code in its place", Kind::Line, ""),
    (
        "code",
        "Code for paper",
        Kind::Line,
        "Stands on patterns and quotes in place of her name. May stay empty.",
    ),
    ("contact", "How she is reached", Kind::Text(2), ""),
    (
        "born",
        "Birthday",
        Kind::Day,
        "Only where it is needed: someone under 18 has a guardian.",
    ),
    (
        "guardian",
        "Who consents for her, if she is under 18",
        Kind::Line,
        "Name, and how to reach them.",
    ),
    (
        "figure",
        "Posture and figure",
        Kind::Text(3),
        "One hip higher, sway back, one shoulder lower: what you see, in your words.",
    ),
    (
        "allergies",
        "Allergies",
        Kind::Line,
        "Nickel (hooks, zips), latex (elastic), wool, dyes.",
    ),
    (
        "hand",
        "The hand she uses",
        Kind::Line,
        "On which side a zip is easy for her.",
    ),
    ("notes", "Notes", Kind::Text(3), ""),
];

/// What a thing that is kept about her is called, by its name in the form.
pub(in crate::web) fn called(field: &str) -> &str {
    match field {
        "name" => "Name",
        "guardian" => "Who consents for her",
        "photos" => "Photos may be kept",
        "consent" => "What was agreed about photos",
        _ => BOXES
            .iter()
            .find(|(name, ..)| *name == field)
            .map_or(field, |(_, words, ..)| words),
    }
}

/// What the form holds, as texts.
fn texts(about: &About) -> Sent {
    let pairs = [
        ("name", about.name.clone()),
        ("code", about.code.clone()),
        ("contact", about.contact.clone()),
        (
            "born",
            about.born.map(|d| d.to_string()).unwrap_or_default(),
        ),
        ("guardian", about.guardian.clone()),
        ("figure", about.figure.clone()),
        ("allergies", about.allergies.clone()),
        ("hand", about.hand.clone()),
        ("notes", about.notes.clone()),
        ("photos", about.photos.word().to_owned()),
        ("consent", about.consent.clone()),
    ];
    pairs.into_iter().map(|(n, t)| (n.to_owned(), t)).collect()
}

/// Reads the form; what does not fit comes back as box and sentence.
fn read(form: &Sent, today: Date) -> Result<About, Vec<(String, String)>> {
    let mut faults = Vec::new();
    let text = |name: &str| sent(form, name).replace("\r\n", "\n");
    let born = match sent(form, "born") {
        "" => None,
        typed => match Date::read(typed) {
            Some(day) if day <= today => Some(day),
            Some(_) => {
                faults.push(("born".into(), "Her birthday lies in the future.".into()));
                None
            }
            None => {
                let says = format!("\u{201c}{typed}\u{201d} is no day. Write it like 1994-05-02.");
                faults.push(("born".into(), says));
                None
            }
        },
    };
    let photos = Photos::ALL
        .into_iter()
        .find(|(_, word)| *word == sent(form, "photos"))
        .map_or(Photos::NotAsked, |(p, _)| p);
    if sent(form, "name").is_empty() {
        faults.push((
            "name".into(),
            "Write a name for the client, or a code in its place.".into(),
        ));
    }
    let young = born.is_some_and(|b| age(b, today) < GROWN);
    if young && photos == Photos::Yes && sent(form, "guardian").is_empty() {
        faults.push((
            "guardian".into(),
            "She is under 18: write who said that photos may be kept.".into(),
        ));
    }
    if form.values().any(|t| t.chars().count() > 4000) {
        faults.push(("notes".into(), "That is longer than 4,000 letters.".into()));
    }
    if faults.is_empty() {
        Ok(About {
            name: text("name"),
            code: text("code"),
            contact: text("contact"),
            born,
            figure: text("figure"),
            photos,
            consent: text("consent"),
            guardian: text("guardian"),
            allergies: text("allergies"),
            hand: text("hand"),
            notes: text("notes"),
        })
    } else {
        Err(faults)
    }
}

/// The form as a page, with what was typed still in it.
fn form_page(of: Option<&Client>, form: &Sent, seen: u64, faults: &[(String, String)]) -> Markup {
    let (title, action, press) = match of {
        Some(c) => (
            format!("Change {}", c.about.name),
            format!("/clients/{}/edit", c.number),
            "Keep it",
        ),
        None => (
            "New client".to_owned(),
            "/clients/new".to_owned(),
            "Enter her",
        ),
    };
    let fault = |name: &str| {
        faults
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, says)| says.as_str())
    };
    let frame = Frame {
        title: title.clone(),
        here: Here::Clients,
        demo: of.is_some_and(|c| c.demo),
        ..Frame::default()
    };
    let back = of.map_or_else(
        || "/clients".to_owned(),
        |c| format!("/clients/{}", c.number),
    );
    page(
        &frame,
        html! {
            form.stack.full.narrow.clientform method="post" action=(action) {
                h1 { (title) }
                (summary(faults))
                input type="hidden" name="seen" value=(seen);
                @for (name, label, kind, help) in BOXES {
                    @let field = Field::new(name, label, sent(form, name)).kind(*kind).fault(fault(name));
                    @let field = if help.is_empty() { field } else { field.help(help) };
                    @if *name == "name" { (field.required().html()) } @else { (field.html()) }
                }
                (Choice {
                    name: "photos",
                    legend: "May photos of her be kept?",
                    ways: &[("not asked", "Not asked yet", ""), ("yes", "She said yes", ""), ("no", "She said no", "")],
                    chosen: if sent(form, "photos").is_empty() { "not asked" } else { sent(form, "photos") },
                }.html())
                (Field::new("consent", "What was agreed, in words", sent(form, "consent")).kind(Kind::Text(2)).fault(fault("consent"))
                    .help("Who said so, for what, and when: for your own records, for the fitting book, to be shown.").html())
                p.presses { button.press.main { (press) } a.press.quiet href=(back) { @if of.is_some() { "Leave it as it was" } @else { "Not now" } } }
            }
        },
    )
}

pub(super) async fn new() -> Markup {
    form_page(None, &Sent::new(), 0, &[])
}

pub(super) async fn enter(
    State(room): State<Arc<Room>>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let about = match read(&form, room.today()) {
        Ok(about) => about,
        Err(faults) => {
            let page = form_page(None, &form, 0, &faults);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let number = room
        .book(move |book| Ok(book.new_client(&about, false)?))
        .await?;
    Ok(Redirect::to(&format!("/clients/{number}?said=kept")).into_response())
}

pub(super) async fn edit(
    State(room): State<Arc<Room>>,
    Path(client): Path<String>,
) -> Result<Markup, Trouble> {
    let number = number(&client)?;
    let client = room.book(move |book| Ok(book.client(number)?)).await?;
    Ok(form_page(
        Some(&client),
        &texts(&client.about),
        client.seen,
        &[],
    ))
}

/// What came of a change.
enum Done {
    Kept,
    Moved(Box<Client>),
}

pub(super) async fn change(
    State(room): State<Arc<Room>>,
    Path(client): Path<String>,
    Form(form): Form<Sent>,
) -> Result<Response, Trouble> {
    let number = number(&client)?;
    let seen = sent(&form, "seen").parse().unwrap_or(0);
    let about = match read(&form, room.today()) {
        Ok(about) => about,
        Err(faults) => {
            let client = room.book(move |book| Ok(book.client(number)?)).await?;
            let page = form_page(Some(&client), &form, seen, &faults);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let mine = about.clone();
    let by = crate::web::visit::now().by;
    let done = room
        .book(move |book| keep(book, number, seen, &about, &by))
        .await?;
    Ok(match done {
        Done::Kept => Redirect::to(&format!("/clients/{number}?said=kept")).into_response(),
        Done::Moved(theirs) => (
            StatusCode::CONFLICT,
            her_two_windows(&theirs, &texts(&theirs.about), &texts(&mine)),
        )
            .into_response(),
    })
}

fn keep(
    book: &mut book::Book,
    number: ClientNo,
    seen: u64,
    about: &About,
    by: &str,
) -> Result<Done, Trouble> {
    match book.change_client(number, seen, about, by) {
        Ok(_) => Ok(Done::Kept),
        Err(book::Trouble::Moved { .. }) => Ok(Done::Moved(Box::new(book.client(number)?))),
        Err(other) => Err(other.into()),
    }
}

fn her_two_windows(client: &Client, theirs: &Sent, mine: &Sent) -> Markup {
    let words: Vec<(&str, &str)> = BOXES
        .iter()
        .map(|(name, words, ..)| (*name, *words))
        .chain([
            ("photos", "May photos of her be kept?"),
            ("consent", "What was agreed about photos"),
        ])
        .collect();
    let at = format!("/clients/{}", client.number);
    two_windows(
        &Frame {
            title: format!("Two changes to {}", client.about.name),
            here: Here::Clients,
            demo: client.demo,
            ..Frame::default()
        },
        (&format!("{at}/edit"), &at),
        client.seen,
        &words,
        (theirs, mine),
    )
}

/// Both values of what differs, side by side; nothing is lost until she chooses. `addresses` are where
/// the choice is sent, and where it is left as the other has it.
pub(in crate::web) fn two_windows(
    frame: &Frame,
    (action, back): (&str, &str),
    seen: u64,
    words: &[(&str, &str)],
    (theirs, mine): (&Sent, &Sent),
) -> Markup {
    page(
        frame,
        html! {
            form.stack.full.narrow method="post" action=(action) {
                h1 { "Someone else changed this while you were typing." }
                p.lead { "Nothing is lost. Choose what is to stand, line by line. What is apart is underlined." }
                input type="hidden" name="seen" value=(seen);
                @for (name, words) in words {
                    @let (a, b) = (sent(theirs, name), sent(mine, name));
                    @let apart = Apart::of(b, a);
                    @if a == b {
                        input type="hidden" name=(name) value=(a);
                    } @else {
                        fieldset.choose {
                            legend { (words) }
                            label { input type="radio" name=(name) value=(b) checked; span.kept { (apart.mine.html()) } span.help { "yours" } }
                            label { input type="radio" name=(name) value=(a); span.kept { (apart.theirs.html()) } span.help { "the other" } }
                        }
                    }
                }
                p.presses {
                    button.press.main { "Keep these" }
                    a.press.quiet href=(back) { "Leave it as the other has it" }
                }
            }
        },
    )
}
