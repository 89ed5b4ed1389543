//! When the file of records is damaged: it is open to be read, as far as it goes, and the last good
//! backup can be put in its place.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::response::Redirect;
use axum::routing::{get, post};
use book::{Book, Stamp};
use maud::{Markup, html};
use measure::date::Date;

use super::layout::{Frame, Here, page};
use super::parts::day;
use super::room::Room;
use super::trouble::Trouble;

/// What is the matter with the records.
#[derive(Clone, Debug)]
pub(crate) struct Ill {
    /// Her folder.
    pub(crate) folder: PathBuf,
    /// Whether anything can be read.
    pub(crate) readable: bool,
    /// The newest backup that was found whole.
    pub(crate) backup: Option<PathBuf>,
}

impl Ill {
    /// Opens damaged records as far as they can be read.
    pub(crate) fn open(folder: &Path, backup: Option<PathBuf>) -> Result<(Book, Self), String> {
        let opened = Book::open_to_read(folder, Stamp::now);
        let readable = opened.is_ok();
        let book = match opened {
            Ok(book) => book,
            Err(_) => Book::in_memory(Stamp::now).map_err(|e| e.to_string())?,
        };
        let ill = Self {
            folder: folder.to_owned(),
            readable,
            backup,
        };
        Ok((book, ill))
    }
}

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/records", get(look))
        .route("/records/restore", post(restore))
}

async fn look(State(room): State<Arc<Room>>) -> Markup {
    let frame = Frame {
        title: "Your records".into(),
        here: Here::Elsewhere,
        ..Frame::default()
    };
    let Some(ill) = room.ill() else {
        return page(
            &frame,
            html! {
                div.alone {
                    h1 { "Your records are whole." }
                    p.presses { a.press.main href="/" { "To today" } }
                }
            },
        );
    };
    let name = ill
        .backup
        .as_deref()
        .and_then(Path::file_name)
        .map(|n| n.to_string_lossy().into_owned());
    page(
        &frame,
        html! {
            div.alone {
                h1 { "The file with your records is damaged." }
                p.lead {
                    "Nothing was changed in it. "
                    @if ill.readable { "It is open to be read, as far as it goes; nothing new can be kept in it." }
                    @else { "It can't be read any more." }
                }
                @match name {
                    Some(name) => {
                        p { "The last good backup is " @if let Some(on) = made_on(&name) { "of " (day::long(on)) ", " } code { (name) } ". Put it in place of the damaged file: what was kept after that backup has to be entered again. The damaged file is put aside, not thrown away." }
                        form.presses method="post" action="/records/restore" {
                            button.press.main { "Put the backup in its place" }
                            @if ill.readable { a.press href="/" { "Look at what can be read" } }
                        }
                    }
                    None => {
                        p { "No good backup lies beside it. If you keep one elsewhere, end Ellwand and type " code { "ellwand restore FILE" } "." }
                        @if ill.readable { p.presses { a.press href="/" { "Look at what can be read" } } }
                    }
                }
            }
        },
    )
}

/// The day that stands in a backup's name.
fn made_on(name: &str) -> Option<Date> {
    (0..name.len()).find_map(|at| Date::read(name.get(at..at + 10)?))
}

async fn restore(State(room): State<Arc<Room>>) -> Result<Redirect, Trouble> {
    room.mend().await?;
    Ok(Redirect::to("/records"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a backup whose day is not told, or is read out of its count.
    #[test]
    fn a_backup_tells_its_day() {
        let on = |name| made_on(name).map(|d| d.to_string());
        let name = "book-00001-2026-11-25T22-27-40Z.db";
        assert_eq!(on(name).as_deref(), Some("2026-11-25"));
        assert_eq!(on("b\u{fc}ch.db"), None);
        assert_eq!(on(""), None);
    }
}
