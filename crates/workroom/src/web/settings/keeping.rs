//! Backups, restoring one, and taking the demo away.

use std::io::Write as _;
use std::sync::{Arc, Mutex};

use axum::Router;
use axum::extract::{DefaultBodyLimit, Multipart, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::post;
use maud::{Markup, html};

use super::super::calm_lock;
use super::super::layout::{Frame, Here, page};
use super::super::paper::download;
use super::super::parts::day;
use super::super::room::Room;
use super::super::trouble::Trouble;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/settings/backup", post(back_up))
        .route("/settings/backup/file", post(take_away))
        .route(
            "/settings/restore",
            post(look_into).layer(DefaultBodyLimit::disable()),
        )
        .route("/settings/restore/do", post(restore))
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

/// A backup that was sent and looked into, until she says what to do with it.
static WAITS: Mutex<Option<tempfile::NamedTempFile>> = Mutex::new(None);

async fn look_into(State(room): State<Arc<Room>>, mut form: Multipart) -> Result<Markup, Trouble> {
    let unread = || {
        Trouble::unclear("The file did not arrive whole. Choose it again.")
            .back("/settings", "Back to the settings")
    };
    let mut file = tempfile::NamedTempFile::new().map_err(|_| Trouble::broken())?;
    let mut some = false;
    while let Some(mut part) = form.next_field().await.map_err(|_| unread())? {
        if part.name() != Some("file") {
            continue;
        }
        while let Some(bytes) = part.chunk().await.map_err(|_| unread())? {
            some |= !bytes.is_empty();
            file.write_all(&bytes)
                .map_err(|_| Trouble::from(book::Trouble::Full))?;
        }
    }
    file.flush()
        .map_err(|_| Trouble::from(book::Trouble::Full))?;
    if !some {
        return Err(
            Trouble::unclear("No file was chosen.").back("/settings", "Back to the settings")
        );
    }
    let path = file.path().to_owned();
    let told = room
        .book(move |book| {
            book.look_into(&path).map_err(|t| {
                Trouble::unclear(t.to_string()).back("/settings", "Back to the settings")
            })
        })
        .await?;
    *calm_lock(&WAITS) = Some(file);
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
                form method="post" action="/settings/restore/do" { p.presses {
                    button.press.main { "Restore it" }
                    a.press.quiet href="/settings" { "Leave everything as it is" }
                } }
            }
        },
    ))
}

async fn restore(State(room): State<Arc<Room>>) -> Result<Response, Trouble> {
    let Some(file) = calm_lock(&WAITS).take() else {
        return Err(
            Trouble::unclear("There is no backup waiting. Choose the file again.")
                .back("/settings", "Back to the settings"),
        );
    };
    let settings = room
        .book(move |book| {
            book.restore(file.path())?;
            Ok(book.settings()?)
        })
        .await?;
    room.settle(&settings);
    Ok(Redirect::to("/settings?said=restored").into_response())
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
