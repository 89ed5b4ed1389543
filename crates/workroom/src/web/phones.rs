//! Phones at the table: the door to the house, pairing by a square, and forgetting a phone.

use std::net::IpAddr;
use std::sync::Arc;
use std::time::Instant;

use axum::Router;
use axum::extract::{Extension, Form, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use book::{Device, Id};
use maud::{Markup, html};
use qrcode::{EcLevel, QrCode};
use serde::Deserialize;

use super::house::{self, hashed};
use super::keys::{Secret, Tried};
use super::layout::{self, Frame, Here, page};
use super::parts::field::Field;
use super::parts::said::said;
use super::room::{Door, Room};
use super::start::wait_a_while;
use super::trouble::Trouble;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/settings/phones", get(phones))
        .route("/settings/phones/open", post(open))
        .route("/settings/phones/shut", post(shut))
        .route("/settings/phones/pair", post(show_square))
        .route("/settings/phones/forget", post(forget))
        .route("/pair", get(offer).post(pair))
}

#[derive(Deserialize)]
struct Told {
    said: Option<String>,
}

async fn phones(
    State(room): State<Arc<Room>>,
    Query(told): Query<Told>,
) -> Result<Markup, Trouble> {
    let devices = room.book(|book| Ok(book.devices()?)).await?;
    let now = Instant::now();
    let view = View {
        standing: room.house.standing(now).map(|s| {
            let left = s.until.saturating_duration_since(now).as_secs();
            (room.house_address(s.at), left.div_ceil(60))
        }),
        square: room.house.pairing(now),
        devices,
        said: told.said,
    };
    Ok(view.page())
}

struct View {
    /// The address of the open door, and for how many minutes still.
    standing: Option<(String, u64)>,
    square: Option<(Secret, std::time::Duration)>,
    devices: Vec<Device>,
    said: Option<String>,
}

impl View {
    fn page(&self) -> Markup {
        let frame = Frame {
            title: "Phones at the table".into(),
            here: Here::Settings,
            ..Frame::default()
        };
        page(
            &frame,
            html! {
                div.narrow.stack.full {
                    h1 { "Phones at the table" }
                    (said(self.said.as_deref()))
                    @match &self.standing {
                        None => { (shut_house()) }
                        Some((address, minutes)) => { (self.open_house(address, *minutes)) }
                    }
                    h2 { "Paired phones" }
                    @if self.devices.is_empty() {
                        p { "None yet." }
                    } @else {
                        ul.leaders {
                            @for device in &self.devices {
                                li {
                                    span { (device.name) }
                                    span.lead {}
                                    span.help { "last here " (super::parts::day::long(device.seen_at.day())) }
                                    form method="post" action="/settings/phones/forget" {
                                        input type="hidden" name="id" value=(device.id);
                                        button.press aria-label={ "Forget " (device.name) } { "Forget" }
                                    }
                                }
                            }
                        }
                    }
                    p.help { "A phone may measure, look, choose, log fittings and add photographs. It never exports, erases, restores or sets anything." }
                    p { a href="/settings" { "Back to settings" } }
                }
            },
        )
    }

    fn open_house(&self, address: &str, minutes: u64) -> Markup {
        html! {
            p { "The workroom is open to your house at " strong { (address) } ". It shuts by itself in " (lasting(minutes)) "." }
            p.help {
                "What goes between a phone and this computer is not locked up on its way: somebody on the same Wi-Fi who means to could listen. \
                 Open it only in your own house, and shut it afterwards."
            }
            @match &self.square {
                Some((token, left)) => {
                    @let link = format!("{address}/pair?key={}", token.text());
                    h2 { "Point the phone's camera here" }
                    (square(&link))
                    p { "Or type this into its browser: " }
                    p.wide { code { (link) } }
                    p.help { "Good once, for " (left.as_secs().div_ceil(10) * 10) " seconds more. Afterwards come back to this page: the phone stands in the list." }
                }
                None => {}
            }
            div.presses {
                form method="post" action="/settings/phones/pair" {
                    button.press.main { @if self.square.is_some() { "Show a new square" } @else { "Pair a phone" } }
                }
                form method="post" action="/settings/phones/shut" { button.press { "Shut it to the house" } }
                a.press.quiet href="/settings/phones" { "Look again" }
            }
        }
    }
}

/// How long still, in words.
fn lasting(minutes: u64) -> String {
    match minutes {
        0 | 1 => "a minute".to_owned(),
        2..=99 => format!("{minutes} minutes"),
        _ => format!("{} hours", (minutes + 30) / 60),
    }
}

fn shut_house() -> Markup {
    html! {
        p { "The workroom is open on this computer only. You can open it to a phone or tablet in your own house, to measure at the table; it shuts by itself after four hours." }
        p.help { "What goes between a phone and this computer is not locked up on its way: somebody on the same Wi-Fi who means to could listen." }
        form method="post" action="/settings/phones/open" {
            button.press.main { "Open it to the house" }
        }
    }
}

/// A square that a phone's camera reads: black on white by day and by lamp, with the quiet rim that
/// the standard (ISO/IEC 18004) asks for, four fields wide.
fn square(link: &str) -> Markup {
    let Ok(code) = QrCode::with_error_correction_level(link, EcLevel::M) else {
        return html! {};
    };
    let width = code.width();
    let mut path = String::new();
    for (at, colour) in code.to_colors().into_iter().enumerate() {
        if colour == qrcode::Color::Dark {
            path.push_str(&format!("M{} {}h1v1h-1z", at % width + 4, at / width + 4));
        }
    }
    let all = width + 8;
    html! {
        svg.square viewBox={ "0 0 " (all) " " (all) } role="img" aria-label="A square that a phone's camera reads" shape-rendering="crispEdges" {
            rect width=(all) height=(all) {}
            path d=(path) {}
        }
    }
}

async fn open(State(room): State<Arc<Room>>) -> Result<Redirect, Trouble> {
    let Some(at) = house::own_address() else {
        return Err(Trouble::new(
            StatusCode::CONFLICT,
            "This computer is in no house network just now.",
            "Join it to your Wi-Fi first, then try it again.",
        )
        .back("/settings/phones", "Back to the phones"));
    };
    room.house.open(at).await.map_err(|sentence| {
        Trouble::new(
            StatusCode::CONFLICT,
            "The door to the house could not be opened.",
            sentence,
        )
        .back("/settings/phones", "Back to the phones")
    })?;
    Ok(Redirect::to("/settings/phones"))
}

async fn shut(State(room): State<Arc<Room>>) -> Redirect {
    room.house.ask_to_shut().await;
    Redirect::to("/settings/phones?said=shut")
}

async fn show_square(State(room): State<Arc<Room>>) -> Result<Redirect, Trouble> {
    room.house
        .new_pairing(Instant::now())
        .map_err(|_| Trouble::broken())?;
    Ok(Redirect::to("/settings/phones"))
}

#[derive(Deserialize)]
struct Forget {
    id: String,
}

async fn forget(
    State(room): State<Arc<Room>>,
    Form(asked): Form<Forget>,
) -> Result<Redirect, Trouble> {
    let id = Id::read(&asked.id).ok_or_else(|| Trouble::missing("such phone"))?;
    room.book(move |book| Ok(book.forget_device(id)?)).await?;
    Ok(Redirect::to("/settings/phones?said=forgotten"))
}

#[derive(Deserialize)]
struct Offered {
    #[serde(default)]
    key: String,
}

/// The phone's side: looking at it spends nothing.
async fn offer(Extension(door): Extension<Door>, Query(offered): Query<Offered>) -> Response {
    if door != Door::House {
        return Trouble::missing("page for this computer").into_response();
    }
    layout::bare(
        "Pair this phone",
        &html! {
            div.alone {
                h1 { "Pair this phone with the workroom?" }
                p.lead { "It may then measure, look, choose, log fittings and add photographs, until it is forgotten at the computer." }
                form.stack.full method="post" action="/pair" data-stranger {
                    input type="hidden" name="key" value=(offered.key);
                    (Field::new("name", "What to call it", "Phone").help("It stands in the list at the computer, and beside what is done with it.").html())
                    p.presses { button.press.main { "Pair this phone" } }
                }
            }
        },
    )
    .into_response()
}

#[derive(Deserialize)]
struct Pairing {
    #[serde(default)]
    key: String,
    #[serde(default)]
    name: String,
}

async fn pair(
    State(room): State<Arc<Room>>,
    Extension(door): Extension<Door>,
    Form(asked): Form<Pairing>,
) -> Result<Response, Trouble> {
    if door != Door::House {
        return Err(Trouble::missing("page for this computer"));
    }
    let key = match room.house.pair(&asked.key, Instant::now()) {
        Ok(Tried::In(key)) => key,
        Ok(Tried::Wrong) => {
            return Err(Trouble::new(
                StatusCode::UNAUTHORIZED,
                "This square has been used, or its two minutes are over.",
                "Let the computer show a new one, and point the camera at it again.",
            )
            .bare());
        }
        Ok(Tried::Wait(wait)) => return Ok(wait_a_while(wait.as_secs() + 1)),
        Err(_) => return Err(Trouble::broken().bare()),
    };
    let name: String = asked.name.trim().chars().take(40).collect();
    let name = if name.is_empty() {
        "Phone".to_owned()
    } else {
        name
    };
    let hash = hashed(key.text());
    room.book(move |book| Ok(book.pair_device(&name, &hash)?))
        .await?;
    let cookie = format!(
        "{}={}; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000",
        room.cookie_name(),
        key.text()
    );
    Ok((
        StatusCode::SEE_OTHER,
        [
            (header::SET_COOKIE, cookie),
            (header::LOCATION, "/".to_owned()),
        ],
    )
        .into_response())
}

/// How an address stands before its port.
pub(crate) fn host(at: IpAddr) -> String {
    match at {
        IpAddr::V4(at) => at.to_string(),
        IpAddr::V6(at) => format!("[{at}]"),
    }
}
