//! One client to carry away, to take in, or to erase: her data are hers.

use std::collections::BTreeMap;
use std::io::{Cursor, Read as _, Write as _};
use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Form, Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use book::{ClientNo, Export, Left};
use maud::{Markup, html};
use serde::Deserialize;
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

use super::super::layout::{Frame, Here, page};
use super::super::paper::download;
use super::super::parts::field::Field;
use super::super::room::Room;
use super::super::trouble::Trouble;

/// A file of one client unpacks to no more than this.
const MOST: u64 = 512 * 1024 * 1024;
/// No client has more files.
const FILES: usize = 20_000;
/// A packed file that is sent.
const SENT: usize = 256 * 1024 * 1024;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/clients/{client}/export", post(export))
        .route("/clients/{client}/erase", get(ask).post(erase))
        .route("/settings/left", post(throw_away))
        .route(
            "/settings/import",
            post(import).layer(DefaultBodyLimit::max(SENT)),
        )
}

const README: &str = "One client of a workroom that uses Ellwand.\r\n\r\n\
about-her.txt is for reading: what is kept about her, her cards, orders, dates and payments, in words.\r\n\
client.json holds everything, every reading that was ever typed and every change, for another program.\r\n\
Beside them lie her papers (PDF) and pictures, in folders named by order. Nothing more is needed to read it\r\n\
than a text editor and a PDF reader. To take her into another workroom, open Settings there and choose this\r\n\
file whole, as it is.\r\n";

/// A client as one packed file.
pub(crate) fn packed(export: &Export) -> Result<Vec<u8>, Trouble> {
    let broken = |_| Trouble::broken();
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let how = SimpleFileOptions::default();
    let mut put = |name: &str, bytes: &[u8]| -> Result<(), zip::result::ZipError> {
        zip.start_file(name, how)?;
        zip.write_all(bytes)?;
        Ok(())
    };
    put("readme.txt", README.as_bytes()).map_err(broken)?;
    let page = super::written::written(&export.told);
    put("about-her.txt", page.as_bytes()).map_err(broken)?;
    let told = serde_json::to_vec_pretty(&export.told).map_err(|_| Trouble::broken())?;
    put("client.json", &told).map_err(broken)?;
    for (name, bytes) in &export.files {
        put(name, bytes).map_err(broken)?;
    }
    Ok(zip.finish().map_err(broken)?.into_inner())
}

/// The parts of such a file, each by its name; names are only looked up, never written to a disk.
pub(crate) fn unpacked(bytes: &[u8]) -> Result<BTreeMap<String, Vec<u8>>, String> {
    let odd = |_| "This is no file of a client, or not a whole one.".to_owned();
    let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(odd)?;
    if zip.len() > FILES {
        return Err("There is too much in this file for one client.".to_owned());
    }
    let mut out = BTreeMap::new();
    let mut left = MOST;
    for i in 0..zip.len() {
        let file = zip.by_index(i).map_err(odd)?;
        let name = file.name().to_owned();
        let mut bytes = Vec::new();
        // What a file says of its own size may be a lie: it is counted while it is unpacked.
        let read = file.take(left + 1).read_to_end(&mut bytes);
        let many = read.map_err(|_| "This file is damaged.".to_owned())? as u64;
        left = left
            .checked_sub(many)
            .ok_or_else(|| "There is too much in this file for one client.".to_owned())?;
        out.insert(name, bytes);
    }
    Ok(out)
}

async fn export(
    State(room): State<Arc<Room>>,
    Path(client): Path<u32>,
) -> Result<Response, Trouble> {
    let export = room
        .book(move |book| Ok(book.export_client(ClientNo(client))?))
        .await?;
    let bytes = room.work(move || packed(&export)).await??;
    Ok(download(&format!("client-{client}.zip"), bytes))
}

async fn import(State(room): State<Arc<Room>>, mut form: Multipart) -> Result<Redirect, Trouble> {
    let unread = |says: String| Trouble::unclear(says).back("/settings", "Back to the settings");
    let mut bytes = Vec::new();
    loop {
        let part = form
            .next_field()
            .await
            .map_err(|_| unread("The file did not arrive whole.".into()))?;
        let Some(part) = part else { break };
        if part.name() == Some("file") {
            bytes = part
                .bytes()
                .await
                .map_err(|_| unread("The file did not arrive whole, or is too large.".into()))?
                .to_vec();
        }
    }
    let mut parts = room.work(move || unpacked(&bytes)).await?.map_err(unread)?;
    let told = parts
        .remove("client.json")
        .and_then(|b| serde_json::from_slice::<serde_json::Value>(&b).ok())
        .ok_or_else(|| unread("There is no client in this file.".into()))?;
    let number = room
        .book(move |book| {
            book.import_client(&told, &mut |name| parts.remove(name))
                .map_err(|t| unread(t.to_string()))
        })
        .await?;
    Ok(Redirect::to(&format!("/clients/{number}?said=taken")))
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Sure {
    name: String,
    backups: Option<String>,
}

async fn ask(State(room): State<Arc<Room>>, Path(client): Path<u32>) -> Result<Markup, Trouble> {
    room.book(move |book| asking(book, client, &Sure::default(), None))
        .await
}

/// The page that asks; with what was typed, and what is wrong with it.
fn asking(
    book: &book::Book,
    client: u32,
    sure: &Sure,
    fault: Option<&str>,
) -> Result<Markup, Trouble> {
    let her = book.client(ClientNo(client))?;
    let orders = book.orders(book::Which::Of(ClientNo(client)))?.len();
    let ticked = fault.is_none() || sure.backups.is_some();
    let frame = Frame {
        title: format!("Erase {}", her.about.name),
        here: Here::Clients,
        demo: her.demo,
        ..Frame::default()
    };
    Ok(page(
        &frame,
        html! {
            div.alone {
                h1 { "Erase " (her.about.name) "?" }
                p { "Her name, cards, pictures and " (orders) @if orders == 1 { " order" } @else { " orders" } " go for good, with their papers. It can’t be taken back." }
                p { "What stays: prints and files that were given away, backups kept elsewhere, and what was written about her among other clients’ notes. Take her data away as a file first, if she wants it." }
                form method="post" action={ "/clients/" (client) "/export" } { p.presses { button.press { "Take her away as a file" } } }
                form.plainform method="post" action={ "/clients/" (client) "/erase" } {
                    (Field::new("name", "To be sure, type her name", &sure.name).required().fault(fault).html())
                    label.tickline { input type="checkbox" name="backups" value="yes" checked[ticked]; span { "Erase her in the backups on this computer too" } }
                    p.presses {
                        button.press.main { "Erase her" }
                        a.press.quiet href={ "/clients/" (client) } { "Leave her" }
                    }
                }
            }
        },
    ))
}

/// Whether what was typed is her name: as the page shows it, where runs of blanks are one, in large or small
/// letters.
fn same_name(typed: &str, hers: &str) -> bool {
    let words =
        |name: &str| -> Vec<String> { name.split_whitespace().map(str::to_lowercase).collect() };
    words(typed) == words(hers)
}

async fn erase(
    State(room): State<Arc<Room>>,
    Path(client): Path<u32>,
    Form(sure): Form<Sure>,
) -> Result<Response, Trouble> {
    room.book(move |book| {
        let her = book.client(ClientNo(client))?;
        if !same_name(&sure.name, &her.about.name) {
            let says =
                "That is not her name, so nothing was erased. Type it exactly as it stands above.";
            let page = asking(book, client, &sure, Some(says))?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
        if sure.backups.is_some() {
            let done = book.erase_client_everywhere(ClientNo(client))?;
            return Ok(erased(done.unswept.as_ref(), &done.backups.left));
        }
        match book.erase_client(ClientNo(client)) {
            Ok(()) => Ok(erased(None, &[])),
            Err(traces @ book::Trouble::Unswept(_)) => Ok(erased(Some(&traces), &[])),
            Err(trouble) => Err(trouble.into()),
        }
    })
    .await
}

/// She is erased: back to the others, or first what may still hold her on this computer.
pub(super) fn erased(traces: Option<&book::Trouble>, left: &[Left]) -> Response {
    if traces.is_none() && left.is_empty() {
        return Redirect::to("/clients?said=erased").into_response();
    }
    let frame = Frame {
        title: "She is erased".into(),
        here: Here::Clients,
        ..Frame::default()
    };
    let body = html! {
        div.alone {
            h1 { "She is erased." }
            @if let Some(traces) = traces { p.lead { (traces.to_string()) } }
            (left_over(left))
            p.presses { a.press href="/clients" { "Back to the clients" } }
        }
    };
    page(&frame, body).into_response()
}

/// The files that may still hold somebody who was erased, each with why, and a way to delete it.
fn left_over(left: &[Left]) -> Markup {
    html! {
        @if !left.is_empty() {
            p { "These files on this computer could not be cleaned, and may still hold whoever was erased. A file that is deleted can\u{2019}t be brought back, and what was kept only in it goes with it." }
            @for (i, file) in left.iter().enumerate() {
                form.plainform method="post" action="/settings/left" {
                    input type="hidden" name="name" value=(file.name());
                    p id={ "left-" (i) } { code { (file.name()) } ": " (why(&file.why)) }
                    p.presses { button.press aria-describedby={ "left-" (i) } { "Delete this file" } }
                }
            }
        }
    }
}

/// Why a file could not be cleaned.
fn why(trouble: &book::Trouble) -> &'static str {
    use book::Trouble as T;
    match trouble {
        T::Damaged { .. } => "it is damaged, so nothing can be taken out of it.",
        T::Newer { .. } => "a newer Ellwand made it. Clean it with that one, or delete it.",
        T::Full => {
            "the disk is too full to clean it. Make room and start the workroom again: it is then done."
        }
        T::ReadOnly => {
            "it can\u{2019}t be written. Allow writing there and start the workroom again: it is then done."
        }
        _ => "it could not be cleaned just now. It is tried again when the workroom starts.",
    }
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Named {
    name: String,
}

/// Deletes a file that could not be cleaned of somebody who was erased; the name is looked for among
/// those, and never made a path.
async fn throw_away(
    State(room): State<Arc<Room>>,
    Form(named): Form<Named>,
) -> Result<Response, Trouble> {
    let told = room
        .book(move |book| Ok(book.throw_away(&named.name)?))
        .await?;
    if told.left.is_empty() {
        return Ok(Redirect::to("/clients?said=cleaned").into_response());
    }
    let frame = Frame {
        title: "What is left of the erased".into(),
        here: Here::Clients,
        ..Frame::default()
    };
    let body = html! {
        div.alone {
            h1 { "Something is still left." }
            (left_over(&told.left))
            p.presses { a.press href="/clients" { "Back to the clients" } }
        }
    };
    Ok(page(&frame, body).into_response())
}
