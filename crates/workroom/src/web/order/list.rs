//! All orders: those on the table, and those that are closed.

use std::sync::Arc;

use axum::extract::{Query, State};
use book::{OrderLine, Which};
use maud::{Markup, html};

use super::{Sent, called, sent};
use crate::web::layout::{Frame, Here, page};
use crate::web::parts::{day, said};
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::visit;

/// So many closed ones are listed; the others are found by searching.
const CLOSED: usize = 200;

pub(super) async fn list(
    State(room): State<Arc<Room>>,
    Query(asked): Query<Sent>,
) -> Result<Markup, Trouble> {
    let (open, closed) = room
        .book(|book| Ok((book.orders(Which::Open)?, book.orders(Which::Closed)?)))
        .await?;
    let frame = Frame {
        title: "Orders".into(),
        here: Here::Elsewhere,
        demo: open.iter().chain(&closed).any(|l| l.order.demo),
        ..Frame::default()
    };
    let phone = visit::now().phone;
    Ok(page(
        &frame,
        html! {
            div.narrow.stack.full {
                h1 { "Orders" }
                (said::said(Some(sent(&asked, "said"))))
                @if !phone {
                    p.presses { a.press.main href="/orders/new" { "New order" } a.press.quiet href="/search" { "Look for something" } }
                }
                @if open.is_empty() { p.lead { "No order is on the table." } }
                @else { (lines(&open)) }
                @if !closed.is_empty() {
                    details.fold {
                        summary { "Closed orders, " (closed.len()) }
                        (lines(closed.get(..CLOSED).unwrap_or(&closed)))
                        @if closed.len() > CLOSED { p.help { "The newest " (CLOSED) " are listed. " a href="/search" { "Look for an older one" } } }
                    }
                }
            }
        },
    ))
}

fn lines(orders: &[OrderLine]) -> Markup {
    html! {
        ul.leaders {
            @for line in orders {
                li {
                    a href={ "/orders/" (line.order.number) } { (line.order.number) ", " (line.name) }
                    span.lead {}
                    span.help {
                        (called(&line.order))
                        @if let Some(closed) = line.order.closed { ", closed " (day::long(closed.day())) }
                    }
                }
            }
        }
    }
}
