//! Coming in: the start-up address trades its one-time token for a cookie, and a second start asks
//! the first one for a new address.

use std::sync::Arc;
use std::time::Instant;

use axum::Router;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use serde::Deserialize;

use super::keys::Tried;
use super::room::Room;
use super::trouble::Trouble;

/// The header by which a second start shows that it belongs to the same person.
pub(crate) const AGAIN: &str = "x-ellwand-again";

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/start", get(come_in))
        .route("/start/again", post(again))
}

#[derive(Deserialize)]
struct Asked {
    #[serde(default)]
    key: String,
}

async fn come_in(State(room): State<Arc<Room>>, Query(asked): Query<Asked>) -> Response {
    match room.keys.trade(&asked.key, Instant::now()) {
        Ok(Tried::In(key)) => {
            let cookie = format!(
                "{}={}; HttpOnly; SameSite=Strict; Path=/",
                room.cookie_name(),
                key.text()
            );
            // The redirect takes the token out of the address bar.
            (
                StatusCode::SEE_OTHER,
                [(header::SET_COOKIE, cookie), (header::LOCATION, "/".into())],
            )
                .into_response()
        }
        Ok(Tried::Wrong) => Trouble::new(
            StatusCode::UNAUTHORIZED,
            "This address has been used, or it is not the right one.",
            "A start-up address is good once. If the workroom is open in another window, go on there; \
             else start Ellwand again on this computer, and it opens the page by a new one.",
        )
        .bare()
        .into_response(),
        Ok(Tried::Wait(wait)) => wait_a_while(wait.as_secs() + 1),
        Err(_) => Trouble::broken().bare().into_response(),
    }
}

/// The door is shut for a while.
pub(crate) fn wait_a_while(seconds: u64) -> Response {
    let minutes = seconds.div_ceil(60);
    let mut answer = Trouble::new(
        StatusCode::TOO_MANY_REQUESTS,
        "That was tried too often.",
        match minutes {
            1 => "Wait a minute, then try it once more.".to_owned(),
            n => format!("Wait {n} minutes, then try it once more."),
        },
    )
    .bare()
    .into_response();
    answer
        .headers_mut()
        .insert(header::RETRY_AFTER, HeaderValue::from(seconds));
    answer
}

/// A second start of the program asks for an address of its own.
async fn again(State(room): State<Arc<Room>>, headers: HeaderMap) -> Response {
    let told = headers.get(AGAIN).and_then(|h| h.to_str().ok());
    if !told.is_some_and(|t| room.again.is(t)) {
        return StatusCode::FORBIDDEN.into_response();
    }
    match room.keys.token() {
        Ok(token) => format!("/start?key={}", token.text()).into_response(),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}
