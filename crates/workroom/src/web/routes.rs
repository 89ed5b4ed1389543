//! Every address of the workroom: one line per page.

use std::sync::Arc;

use axum::Router;
use axum::http::StatusCode;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::IntoResponse as _;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::{DefaultPredicate, NotForContentType, Predicate as _};

use super::room::Room;
use super::trouble::Trouble;
use super::{assets, guard, start};

/// The pages, without their watch.
fn pages() -> Router<Arc<Room>> {
    Router::new()
        .merge(start::routes())
        .merge(assets::routes())
        .merge(super::help::routes())
        .merge(super::phones::routes())
        .merge(super::records::routes())
        .merge(super::today::routes())
        .merge(super::table::routes())
        .merge(super::paper::routes())
        .merge(super::works::routes())
        .merge(super::settings::routes())
        .merge(super::fittings::routes())
        .merge(super::steps::routes())
        .merge(super::compare::routes())
        .merge(super::methods::routes())
        // Pages: one line each.
        .merge(super::order::routes())
        .merge(super::search::routes())
        .merge(super::quote::routes())
        .merge(super::card::routes())
        .merge(super::clients::routes())
        .merge(super::cloth::routes())
        .fallback(|| async { Trouble::of(StatusCode::NOT_FOUND).into_response() })
}

/// The whole house.
pub(crate) fn house(room: &Arc<Room>) -> Router {
    watched(room, pages())
}

/// Pages with their watch, which stands before the routes: the layer that is added last sees a
/// request first.
pub(crate) fn watched(room: &Arc<Room>, pages: Router<Arc<Room>>) -> Router {
    // Papers and whole folders are packed already.
    let packed = DefaultPredicate::new()
        .and(NotForContentType::new("application/pdf"))
        .and(NotForContentType::new("application/zip"));
    Router::new()
        .fallback_service(pages.with_state(Arc::clone(room)))
        .layer(from_fn(guard::words))
        .layer(CatchPanicLayer::custom(guard::panicked))
        .layer(from_fn(guard::bounds))
        .layer(from_fn_with_state(Arc::clone(room), guard::cookie))
        .layer(from_fn(guard::origin))
        .layer(from_fn_with_state(Arc::clone(room), guard::host))
        .layer(CompressionLayer::new().compress_when(packed))
        .layer(CatchPanicLayer::custom(guard::panicked))
        .layer(from_fn(guard::headers))
}
