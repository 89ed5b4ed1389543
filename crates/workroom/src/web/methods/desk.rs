//! Writing on a method: its text, the notes beside it while she types, and the drawing that comes of it.

use std::sync::Arc;

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;

use crate::web::parts::number::told;
use crate::web::parts::slip::{Weight, mark};

use crate::web::layout::page;
use crate::web::parts::link::escaped;
use crate::web::parts::said::said;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

use super::bench::{Trial, Tried, tried};
use super::cards::{Choice, DEMO_KEY, picker};
use super::keeping;
use super::known::{self, NoText, Shelf};
use super::notes::Mend;
use super::reader::{faults, stands};
use super::{Asked, Taken, at_the_table, frame, hers, no_method, no_text, taken};

/// So many notes are shown at once.
const SHOWN: usize = 25;

/// What the desk shows.
pub(crate) struct Desk<'a> {
    pub(crate) name: &'a str,
    pub(crate) called: &'a str,
    /// Where it comes from, and when it was kept.
    pub(crate) facts: String,
    pub(crate) seen: u64,
    pub(crate) text: &'a str,
    pub(crate) cards: &'a [Choice],
    pub(crate) card: &'a str,
    /// The text differs from what is kept.
    pub(crate) unkept: bool,
    /// What was done just now, in words.
    pub(crate) said: Markup,
}

/// The page.
pub(crate) fn desk(desk: &Desk<'_>, tried: &Tried) -> Markup {
    let address = format!("/methods/{}/edit", desk.name);
    let lines = tried.lines();
    let many = desk.text.lines().count().max(1);
    html! {
        (desk.said)
        form.desk method="post" action=(address) data-look={ "/methods/" (desk.name) "/look" } data-unkept[desk.unkept] {
            div.top {
                div {
                    h1 { (desk.called) }
                    p.small { (desk.facts) " " span #kept-or-not { @if desk.unkept { "What is written here is not kept yet." } } }
                }
                // On a phone the notes stand under the whole text: their number and the way there stand here.
                p.tonotes #to-notes { @if !tried.notes.is_empty() { a href="#notes-h" { (stands(tried.notes.len())) } } }
                p.presses {
                    button.press.main name="do" value="keep" { "Keep it" }
                    button.press name="do" value="look" data-look-button { "Look it over" }
                    button.press.quiet name="do" value="tidy" { "Tidy it" }
                }
            }
            div.written {
                input type="hidden" name="seen" value=(desk.seen);
                label for="f-text" { "The method, as text" }
                div.writing {
                    ol.lines-no aria-hidden="true" {
                        @for n in 1..=many {
                            li class=[u32::try_from(n).is_ok_and(|n| lines.contains(&n)).then_some("has")] { (n) }
                        }
                    }
                    textarea #f-text name="text" rows=(many + 1) spellcheck="false" autocapitalize="off" autocomplete="off" wrap="off" aria-describedby="notes-h" { "\n" (desk.text) }
                }
            }
            p.vh #heard role="status" {}
            div.beside #beside { (beside(desk, tried)) }
        }
        p.presses.noprint.afterwards {
            a.press.quiet href={ "/methods/" (desk.name) } { "Read it as a page" }
            a.press.quiet href={ "/methods/" (desk.name) "/history" } { "Its earlier texts" }
            a.press.quiet href={ "/methods/" (desk.name) "/file" } { "Keep as a file" }
        }
    }
}

/// What stands beside the text: the notes, the drawing, and the card it is for. Fetched anew while she types.
pub(crate) fn beside(desk: &Desk<'_>, tried: &Tried) -> Markup {
    let lines: Vec<String> = tried.lines().iter().map(u32::to_string).collect();
    let many = tried.notes.len();
    let title = format!("{}, as far as it can be drawn", desk.called);
    html! {
        div.notes data-lines=(lines.join(" ")) {
            h2 #notes-h {
                @match many { 0 => "Nothing to put right", 1 => "One note", n => { (n) " notes" } }
            }
            @if many > 0 { p.small data-stands { (stands(many)) } }
            @for (i, note) in tried.notes.iter().take(SHOWN).enumerate() {
                details.slip id={ "note-" (i + 1) } open[i < 3] {
                    summary {
                        (mark(Weight::Stop, i + 1))
                        span.says { "Line " (note.line) ": " (ticked(&uncapital(&note.message))) }
                        span.weight.stop { "Stop" }
                    }
                    div.more {
                        @if let Some(hint) = &note.hint { p { (ticked(hint)) } }
                        p.presses {
                            @for mend in &note.mends {
                                button.press.main name="do" value={ "mend " (mend.key()) }
                                    data-line=(mend.line) data-column=(mend.column) data-width=(mend.width) data-with=(mend.with) {
                                    "Write " span.word-fix { (mend.with) }
                                }
                            }
                            button.press.scripted type="button" hidden data-go data-line=(note.line) data-column=(note.column) data-width=(note.width) { "Go to line " (note.line) }
                        }
                    }
                }
            }
            @if many > SHOWN { p.small { "And " (many - SHOWN) " more, further down the text." } }
        }
        figure.sheet.mini {
            @if let Some(drawing) = tried.drawing(&title, "pattern") {
                (drawing)
                figcaption.small {
                    @if !tried.as_if().is_empty() { "Drawn with " (ticked(tried.as_if())) ", each choice at its usual value." }
                    @else if many == 0 && tried.faults.is_empty() { "With each choice at its usual value." } @else { "As far as it can be drawn, each choice at its usual value." }
                }
            } @else {
                figcaption.small { "Nothing can be drawn of it yet." }
            }
        }
        (faults(&tried.faults))
        div.naming { div { (picker("f-card", desk.cards, desk.card)) } }
    }
}

/// A sentence with the words between back ticks set as the text sets them.
pub(crate) fn ticked(sentence: &str) -> Markup {
    html! {
        @for (i, part) in sentence.split('`').enumerate() {
            @if i % 2 == 1 { span.word-fix { (part) } } @else { (told(part)) }
        }
    }
}

/// A sentence that goes on behind a colon. "I" stays as it is.
fn uncapital(sentence: &str) -> String {
    let mut chars = sentence.chars();
    match (chars.next(), sentence.split(' ').next()) {
        (Some(first), Some(word)) if word != "I" => first.to_lowercase().chain(chars).collect(),
        _ => sentence.to_owned(),
    }
}

#[derive(Deserialize)]
pub(super) struct Written {
    #[serde(default)]
    text: String,
    #[serde(default)]
    seen: u64,
    card: Option<String>,
    #[serde(default, rename = "do")]
    what: String,
}

pub(super) async fn edit(
    State(room): State<Arc<Room>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    at_the_table()?;
    let taken = taken(&room, asked.card, false).await?;
    let text = hers(&taken.own, &name)?.text.clone();
    let said = said(asked.said.as_deref());
    desk_page(&room, taken, name, text, said).await
}

/// The desk with this text on it.
pub(super) async fn desk_page(
    room: &Arc<Room>,
    taken: Taken,
    name: String,
    text: String,
    said: Markup,
) -> Result<Markup, Trouble> {
    let (title, body) = tried(room, move || {
        let own = hers(&taken.own, &name)?.clone();
        on_the_desk(
            &taken,
            &own,
            text,
            |shown, tried| (format!("Writing on {}", shown.called), desk(shown, tried)),
            said,
        )
    })
    .await??;
    let mut frame = frame(title);
    frame.scripts = &["writing.js"];
    Ok(page(&frame, body))
}

pub(super) fn on_the_desk<T>(
    taken: &Taken,
    own: &book::Method,
    text: String,
    shown: impl FnOnce(&Desk<'_>, &Tried) -> T,
    said: Markup,
) -> Result<T, Trouble> {
    let shelf = Shelf::of(taken.own.clone());
    let known = shelf.find(&own.name).ok_or_else(|| no_method(&own.name))?;
    let trial = Trial {
        text,
        others: shelf.others(&own.name),
        card: taken.card.1.clone(),
        settings: taken.settings.clone(),
    };
    let on = Desk {
        name: &own.name,
        called: known.called(),
        facts: keeping::from_where(own, &shelf),
        seen: own.seen,
        text: &trial.text,
        cards: &taken.cards,
        card: &taken.card.0,
        unkept: trial.text != own.text,
        said,
    };
    Ok(shown(&on, &trial.run()))
}

/// The notes and the drawing alone, while she types.
pub(super) async fn look(
    State(room): State<Arc<Room>>,
    Path(name): Path<String>,
    Form(form): Form<Written>,
) -> Result<Markup, Trouble> {
    at_the_table()?;
    let text = match known::clean(form.text.as_bytes()) {
        Ok(text) => text,
        Err(NoText::Empty) => "\n".to_owned(),
        Err(why) => {
            return Ok(
                html! { div.notes data-lines="" { h2 #notes-h { (super::file::why_not(why)) } } },
            );
        }
    };
    let taken = taken(&room, form.card, false).await?;
    tried(&room, move || {
        let own = hers(&taken.own, &name)?.clone();
        on_the_desk(&taken, &own, text, beside, html! {})
    })
    .await?
}

pub(super) async fn edited(
    State(room): State<Arc<Room>>,
    Path(name): Path<String>,
    Form(form): Form<Written>,
) -> Result<Response, Trouble> {
    at_the_table()?;
    let text = match known::clean(form.text.as_bytes()) {
        Ok(text) => text,
        Err(NoText::Empty) if form.what != "keep" => "\n".to_owned(),
        Err(why) => {
            return Err(no_text(why).with(html! {
                pre.wholetext tabindex="0" aria-label="What you wrote" { code { (form.text) } }
            }));
        }
    };
    let card = form.card.clone();
    if form.what == "keep" || form.what == "other" {
        return keep(&room, name, form, text).await;
    }
    let said = match form.what.as_str() {
        "tidy" => html! { p.said role="status" { "Tidied: only blanks were changed." } },
        _ => html! { p.said role="status" {} },
    };
    let what = form.what;
    let text = tried(&room, move || {
        if what == "tidy" {
            return draft::tidy(&text);
        }
        let mend = what.strip_prefix("mend ").and_then(Mend::from_key);
        mend.and_then(|m| m.put_in(&text)).unwrap_or(text)
    })
    .await?;
    let taken = taken(&room, card, false).await?;
    Ok(desk_page(&room, taken, name, text, said)
        .await?
        .into_response())
}

/// Keeps the text, or, of two windows, the other one's, with this one behind it.
pub(super) async fn keep(
    room: &Arc<Room>,
    name: String,
    form: Written,
    text: String,
) -> Result<Response, Trouble> {
    let (seen, other) = (form.seen, form.what == "other");
    let (mine, at) = (text.clone(), name.clone());
    let kept = room
        .book(move |book| {
            let own = hers(&book.methods(true)?, &at)?.clone();
            let done = if other {
                // Hers goes in first, so that it is among the earlier texts.
                book.save_method(&at, seen, &mine)
                    .and_then(|now| book.save_method(&at, now, &own.text))
            } else {
                book.save_method(&at, seen, &mine)
            };
            match done {
                Ok(_) => Ok(Ok(())),
                Err(book::Trouble::Moved { .. }) => Ok(Err(own)),
                Err(trouble) => Err(trouble.into()),
            }
        })
        .await?;
    let card = form.card.unwrap_or_default();
    match kept {
        Ok(()) => {
            let card = match card.as_str() {
                "" | DEMO_KEY => String::new(),
                card => format!("&card={}", escaped(card)),
            };
            Ok(Redirect::to(&format!("/methods/{name}/edit?said=kept{card}")).into_response())
        }
        Err(own) => {
            let body = tried(room, move || {
                let trouble = html! {
                    div.keeping {
                        div.top { h1 { "This method was changed in another window." } }
                        (keeping::which(&own, &text, &card))
                    }
                };
                page(&frame("Changed in another window"), trouble)
            })
            .await?;
            Ok((StatusCode::CONFLICT, body).into_response())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_the_text_are_set_as_such_and_escaped() {
        let html = ticked("There is no `<b>wast`. Did you mean `waist`?").into_string();
        assert_eq!(
            html,
            "There is no <span class=\"word-fix\">&lt;b&gt;wast</span>. Did you mean <span class=\"word-fix\">waist</span>?"
        );
        assert_eq!(uncapital("I can't tell"), "I can't tell");
        assert_eq!(uncapital("There is"), "there is");
        assert_eq!(uncapital(""), "");
    }
}
