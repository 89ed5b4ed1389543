//! One client to carry away, to take in, or to erase: her data are hers.

use std::collections::BTreeMap;
use std::io::{Cursor, Read as _, Write as _};
use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Form, Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use book::{ClientNo, Export};
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

async fn erase(
    State(room): State<Arc<Room>>,
    Path(client): Path<u32>,
    Form(sure): Form<Sure>,
) -> Result<Response, Trouble> {
    room.book(move |book| {
        let her = book.client(ClientNo(client))?;
        if sure.name.trim() != her.about.name.trim() {
            let says =
                "That is not her name, so nothing was erased. Type it exactly as it stands above.";
            let page = asking(book, client, &sure, Some(says))?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
        book.erase_client(ClientNo(client))?;
        if sure.backups.is_some() && book.folder().is_some() {
            book.clean_backups()?;
        }
        Ok(Redirect::to("/clients?said=erased").into_response())
    })
    .await
}
