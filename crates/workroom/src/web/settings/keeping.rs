//! Backups, restoring one, and taking the demo away.

use std::fs::File;
use std::io::Write as _;
use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Form, Multipart, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::post;
use maud::{Markup, html};
use serde::Deserialize;

use super::super::layout::{Frame, Here, page};
use super::super::paper::download;
use super::super::parts::day;
use super::super::room::Room;
use super::super::trouble::Trouble;
use super::waiting::Asked;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/settings/backup", post(back_up))
        .route("/settings/backup/file", post(take_away))
        .route(
            "/settings/restore",
            post(look_into).layer(DefaultBodyLimit::disable()),
        )
        .route("/settings/restore/do", post(restore))
        .route("/settings/restore/leave", post(leave))
        .route("/settings/demo", post(take_demo))
}

async fn back_up(State(room): State<Arc<Room>>) -> Result<Redirect, Trouble> {
    room.book(|book| Ok(book.back_up().map(|_| ())?)).await?;
    Ok(Redirect::to("/settings?said=backup"))
}

async fn take_away(State(room): State<Arc<Room>>) -> Result<Response, Trouble> {
    let today = room.today();
    let bytes = room.book(|book| Ok(book.backup_bytes()?)).await?;
    Ok(download(&format!("ellwand-backup-{today}.db"), bytes))
}

async fn look_into(State(room): State<Arc<Room>>, mut form: Multipart) -> Result<Markup, Trouble> {
    let unread = || {
        Trouble::unclear("The file did not arrive whole. Choose it again.")
            .back("/settings", "Back to the settings")
    };
    let full = || Trouble::from(book::Trouble::Full);
    let aside = room.book(|book| Ok(book.aside()?)).await?;
    let mut file = File::create(aside.path()).map_err(|_| full())?;
    let mut some = false;
    while let Some(mut part) = form.next_field().await.map_err(|_| unread())? {
        if part.name() != Some("file") {
            continue;
        }
        while let Some(bytes) = part.chunk().await.map_err(|_| unread())? {
            some |= !bytes.is_empty();
            file.write_all(&bytes).map_err(|_| full())?;
        }
    }
    file.flush().map_err(|_| full())?;
    drop(file);
    if !some {
        return Err(
            Trouble::unclear("No file was chosen.").back("/settings", "Back to the settings")
        );
    }
    let path = aside.path().to_owned();
    let told = room
        .book(move |book| {
            book.look_into(&path).map_err(|t| {
                Trouble::unclear(t.to_string()).back("/settings", "Back to the settings")
            })
        })
        .await?;
    let word = room.waiting.put(aside).map_err(|_| Trouble::broken())?;
    let frame = Frame {
        title: "Restore a backup".into(),
        here: Here::Settings,
        ..Frame::default()
    };
    Ok(page(
        &frame,
        html! {
            div.alone {
                h1 { "This backup holds " (told.clients) @if told.clients == 1 { " client" } @else { " clients" } " and " (told.orders) @if told.orders == 1 { " order." } @else { " orders." } }
                @if let Some(newest) = told.newest { p.lead { "The last thing written in it is of " (day::long(newest.day())) "." } }
                p { "It takes the place of everything that is here now. A backup of today is made first. Whoever was erased on this computer stays erased; older backups elsewhere still hold her." }
                div.presses {
                    form method="post" action="/settings/restore/do" {
                        input type="hidden" name="word" value=(word);
                        button.press.main { "Restore it" }
                    }
                    form method="post" action="/settings/restore/leave" {
                        input type="hidden" name="word" value=(word);
                        button.press.quiet { "Leave everything as it is" }
                    }
                }
            }
        },
    ))
}

/// Which file a page means.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Meant {
    word: Option<String>,
}

async fn restore(
    State(room): State<Arc<Room>>,
    Form(meant): Form<Meant>,
) -> Result<Response, Trouble> {
    let file = match room.waiting.take(meant.word.as_deref()) {
        Asked::This(file) if file.path().exists() => file,
        Asked::Another => {
            return Err(Trouble::new(
                StatusCode::CONFLICT,
                "Another file was looked into since.",
                "Nothing was replaced: this page told of one file, and another one waits by now. Choose the file that you mean again.",
            )
            .back("/settings", "Back to the settings"));
        }
        // It goes when the backups are cleaned of somebody, too.
        Asked::This(_) | Asked::Nothing => {
            return Err(
                Trouble::unclear("There is no backup waiting. Choose the file again.")
                    .back("/settings", "Back to the settings"),
            );
        }
    };
    let settings = room
        .book(move |book| {
            book.restore(file.path()).map_err(|trouble| match trouble {
                book::Trouble::Other(says) => {
                    Trouble::unclear(says).back("/settings", "Back to the settings")
                }
                other => other.into(),
            })?;
            Ok(book.settings()?)
        })
        .await?;
    room.settle(&settings);
    Ok(Redirect::to("/settings?said=restored").into_response())
}

/// The file that was looked into is a whole copy of everything: it does not stay.
async fn leave(State(room): State<Arc<Room>>, Form(meant): Form<Meant>) -> Redirect {
    drop(room.waiting.take(meant.word.as_deref()));
    Redirect::to("/settings")
}

async fn take_demo(State(room): State<Arc<Room>>) -> Result<Redirect, Trouble> {
    let settings = room
        .book(|book| {
            book.remove_demo()?;
            book.set("demo", "gone")?;
            if book.setting("name")?.as_deref() == Some("Lantern Lane") {
                book.set("name", "")?;
            }
            Ok(book.settings()?)
        })
        .await?;
    room.settle(&settings);
    Ok(Redirect::to("/settings?said=demo"))
}
