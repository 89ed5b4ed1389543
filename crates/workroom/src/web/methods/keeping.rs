//! What is kept of a method: its earlier texts, two texts side by side, its name, and putting it away.

use std::sync::Arc;

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::Book;
use book::{Method, MethodText, Stamp};
use maud::{Markup, html};
use serde::Deserialize;

use crate::web::layout::page;
use crate::web::parts::said::said;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

use super::bench::tried;
use super::differing::{many, side_by_side};
use super::known::{self, Known, Shelf};
use super::{Asked, Called, at_the_table, frame, hers, taken_title, title_of};

/// A moment as she reads it: the day and the time here.
pub(crate) fn when(stamp: Stamp) -> String {
    jiff::Timestamp::from_second(stamp.seconds()).map_or_else(
        |_| stamp.to_string(),
        |at| {
            at.to_zoned(jiff::tz::TimeZone::system())
                .strftime("%-d %B %Y, %-H:%M")
                .to_string()
        },
    )
}

/// Where a method comes from, in a sentence.
pub(crate) fn from_where(own: &Method, shelf: &Shelf) -> String {
    let from = match own.source.strip_prefix("copy of ") {
        Some(other) => {
            let called = shelf.find(other).map_or(other, Known::called);
            format!("Copied from \u{201c}{called}\u{201d}")
        }
        None if own.source == "own" => "Your own".to_owned(),
        None => "Opened from a file".to_owned(),
    };
    format!("{from}. Kept {}.", when(own.changed))
}

/// The page of all its texts.
pub(crate) fn history(
    own: &Method,
    called: &str,
    texts: &[MethodText],
    others: &[(String, String)],
) -> Markup {
    let away = own.put_away.is_some();
    html! {
        div.keeping {
            div.top {
                h1 { (called) }
                p.lead { "Every text that was kept is still here. Going back keeps the newer ones too." }
            }
            section aria-labelledby="texts-h" {
                h2 #texts-h { "Its texts" }
                ol.texts {
                    @for (i, text) in texts.iter().enumerate() {
                        li {
                            a href={ "/methods/" (own.name) "/history/" (text.at) } { (when(text.made)) }
                            span.small {
                                @if i == 0 { "the newest" } @else if let Some(newest) = texts.first() { (lines_differ(many(&text.text, &newest.text))) " from the newest" }
                            }
                        }
                    }
                }
            }
            section aria-labelledby="name-h" {
                h2 #name-h { "Its name" }
                form.naming method="post" action={ "/methods/" (own.name) "/name" } {
                    div {
                        label for="f-called" { "What it is called" }
                        input.box #f-called name="called" value=(called) required maxlength="80" autocomplete="off" aria-describedby="called-help";
                    }
                    button.press { "Rename it" }
                }
                p.help #called-help {
                    "Orders keep their text as it is. "
                    @if !others.is_empty() {
                        "These use it by its name, and would no longer find it: "
                        @for (i, (name, title)) in others.iter().enumerate() { @if i > 0 { ", " } a href={ "/methods/" (name) } { (title) } } "."
                    }
                }
            }
            section aria-labelledby="away-h" {
                h2 #away-h { @if away { "Take it out again" } @else { "Put it away" } }
                form.naming method="post" action={ "/methods/" (own.name) "/away" } {
                    input type="hidden" name="away" value=(if away { "no" } else { "yes" });
                    button.press { @if away { "Take it out" } @else { "Put it away" } }
                }
                p.help {
                    @if away { "It is offered for new orders again then." }
                    @else { "It is no longer offered for new orders. Nothing is lost: its texts stay, and so do the orders that use it." }
                }
            }
            p { a.press.quiet href={ "/methods/" (own.name) } { "Back to the method" } }
        }
    }
}

/// One earlier text beside the newest.
pub(crate) fn earlier(own: &Method, called: &str, text: &MethodText, newest: bool) -> Markup {
    html! {
        div.keeping {
            div.top {
                h1 { (called) ", as it was" }
                p.lead { "Kept " (when(text.made)) "." }
            }
            @if newest {
                p { "This is the newest text." }
                pre.wholetext tabindex="0" aria-label="The text" { code { (text.text) } }
            } @else {
                form method="post" action={ "/methods/" (own.name) "/history/" (text.at) } {
                    input type="hidden" name="seen" value=(own.seen);
                    p.presses { button.press.main { "Go back to this text" } }
                }
                p.help { "The newer texts are kept as well." }
                h2 { (lines_differ(many(&text.text, &own.text))) }
                (side_by_side(("Then", "Now"), &text.text, &own.text))
                details.fold {
                    summary { "The whole text as it was" }
                    pre.wholetext tabindex="0" aria-label="The text as it was" { code { (text.text) } }
                }
            }
            p { a.press.quiet href={ "/methods/" (own.name) "/history" } { "All its texts" } }
        }
    }
}

/// "3 lines differ".
pub(crate) fn lines_differ(many: usize) -> String {
    match many {
        0 => "no line differs".to_owned(),
        1 => "1 line differs".to_owned(),
        n => format!("{n} lines differ"),
    }
}

/// Two windows: both texts side by side, to keep one; the other stays among the earlier texts.
pub(crate) fn which(own: &Method, mine: &str, card: &str) -> Markup {
    html! {
        p.lead { "Nothing is lost. Both texts are below; the one that you don\u{2019}t keep stays among the earlier ones." }
        form.choosing method="post" action={ "/methods/" (own.name) "/edit" } {
            input type="hidden" name="seen" value=(own.seen);
            input type="hidden" name="card" value=(card);
            textarea.vh name="text" tabindex="-1" aria-hidden="true" readonly { "\n" (mine) }
            p.presses {
                button.press.main name="do" value="keep" { "Keep what I wrote" }
                button.press name="do" value="other" { "Keep the other one" }
                button.press.quiet name="do" value="look" { "Go on writing on mine" }
            }
        }
        h2 { (lines_differ(many(mine, &own.text))) }
        (side_by_side(("What I wrote", "What the other window kept"), mine, &own.text))
    }
}

pub(super) async fn texts(
    State(room): State<Arc<Room>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let at = name.clone();
    let (own, texts) = room
        .book(move |book| {
            let own = book.methods(true)?;
            hers(&own, &at)?;
            let texts = book.method_texts(&at)?;
            Ok((own, texts))
        })
        .await?;
    let said = said(asked.said.as_deref());
    let (title, body) = tried(&room, move || {
        let own_one = hers(&own, &name)?.clone();
        let shelf = Shelf::of(own);
        let called = shelf.find(&name).map_or("", Known::called).to_owned();
        let users = users(&shelf, &called);
        let body = html! { (said) (history(&own_one, &called, &texts, &users)) };
        Ok::<_, Trouble>((format!("Texts of {called}"), body))
    })
    .await??;
    Ok(page(&frame(title), body))
}

/// Name and title of the methods that use one by this title.
pub(super) fn users(shelf: &Shelf, title: &str) -> Vec<(String, String)> {
    let folded = title.trim().to_lowercase();
    shelf
        .all
        .iter()
        .filter(|k| {
            let mut uses = std::collections::BTreeSet::new();
            known::uses(&draft::read(&k.text).method.body, &mut uses);
            uses.iter().any(|u| u.trim().to_lowercase() == folded)
        })
        .map(|k| (k.name.clone(), k.called().to_owned()))
        .collect()
}

/// One of a method's texts, and whether it is the newest.
pub(super) fn one_text(
    book: &Book,
    name: &str,
    at: u64,
) -> Result<(Method, MethodText, bool), Trouble> {
    let own = hers(&book.methods(true)?, name)?.clone();
    let texts = book.method_texts(name)?;
    let newest = texts.first().is_some_and(|t| t.at == at);
    let text = texts.into_iter().find(|t| t.at == at).ok_or_else(|| {
        Trouble::missing("such text").back(format!("/methods/{name}/history"), "To its texts")
    })?;
    Ok((own, text, newest))
}

pub(super) async fn one(
    State(room): State<Arc<Room>>,
    Path((name, at)): Path<(String, u64)>,
) -> Result<Markup, Trouble> {
    let (own, text, newest) = room.book(move |book| one_text(book, &name, at)).await?;
    let (title, body) = tried(&room, move || {
        let called = known::title(&own.text);
        let body = earlier(&own, &called, &text, newest);
        (format!("{called}, as it was"), body)
    })
    .await?;
    Ok(page(&frame(title), body))
}

#[derive(Deserialize)]
pub(super) struct Seen {
    #[serde(default)]
    seen: u64,
}

pub(super) async fn go_back(
    State(room): State<Arc<Room>>,
    Path((name, at)): Path<(String, u64)>,
    Form(form): Form<Seen>,
) -> Result<Redirect, Trouble> {
    at_the_table()?;
    let there = format!("/methods/{name}/history?said=kept");
    room.book(move |book| {
        let (own, text, _) = one_text(book, &name, at)?;
        match book.save_method(&own.name, form.seen, &text.text) {
            Ok(_) => Ok(()),
            Err(book::Trouble::Moved { .. }) => Err(Trouble::moved(
                "A newer text was kept meanwhile, so nothing was changed. Look at it, then go back if you still want to.",
            )
            .back(format!("/methods/{name}/history/{at}"), "Look again")),
            Err(trouble) => Err(trouble.into()),
        }
    })
    .await?;
    Ok(Redirect::to(&there))
}

pub(super) async fn rename(
    State(room): State<Arc<Room>>,
    Path(name): Path<String>,
    Form(form): Form<Called>,
) -> Result<Response, Trouble> {
    at_the_table()?;
    let back = format!("/methods/{name}/history");
    let title = title_of(&form.called)
        .map_err(|why| Trouble::unclear(why).back(back.clone(), "Back to its name"))?;
    let own = room.book(|book| Ok(book.methods(true)?)).await?;
    let at = name.clone();
    let (to, seen, text) = tried(&room, move || {
        let one = hers(&own, &at)?.clone();
        let mut shelf = Shelf::of(own);
        shelf.all.retain(|k| k.name != at);
        if let Some(fault) = taken_title(&shelf, &title) {
            return Err(
                Trouble::new(StatusCode::CONFLICT, "That name is taken.", fault)
                    .back(back, "Back to its name"),
            );
        }
        let to = shelf.free_name(&title);
        Ok((to, one.seen, known::retitled(&one.text, &title)))
    })
    .await??;
    let there = format!("/methods/{to}/history?said=kept");
    room.book(move |book| {
        book.save_method(&name, seen, &text)?;
        Ok(book.rename_method(&name, &to)?)
    })
    .await?;
    Ok(Redirect::to(&there).into_response())
}

#[derive(Deserialize)]
pub(super) struct Away {
    #[serde(default)]
    away: String,
}

pub(super) async fn put_away(
    State(room): State<Arc<Room>>,
    Path(name): Path<String>,
    Form(form): Form<Away>,
) -> Result<Redirect, Trouble> {
    at_the_table()?;
    let away = form.away != "no";
    let there = if away {
        "/methods?said=gone".to_owned()
    } else {
        format!("/methods/{name}/history?said=kept")
    };
    room.book(move |book| {
        hers(&book.methods(true)?, &name)?;
        Ok(book.put_away_method(&name, away)?)
    })
    .await?;
    Ok(Redirect::to(&there))
}
