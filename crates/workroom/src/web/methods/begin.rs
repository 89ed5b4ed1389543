//! Beginning a method: from a short one that works, or as a copy.

use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};

use crate::web::layout::page;
use crate::web::parts::link::escaped;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

use super::bench::tried;
use super::known::{self, Shelf};
use super::{Called, at_the_table, frame, no_method, taken_title, title_of};

/// What a new method begins with.
const TEMPLATE: &str = include_str!("template.method");

pub(super) async fn new_page() -> Result<Markup, Trouble> {
    at_the_table()?;
    Ok(page(&frame("A new method"), ask("", None)))
}

pub(super) async fn new(
    State(room): State<Arc<Room>>,
    Form(form): Form<Called>,
) -> Result<Response, Trouble> {
    at_the_table()?;
    match begin(&room, &form.called, None).await? {
        Ok(name) => Ok(Redirect::to(&format!("/methods/{name}/edit?said=kept")).into_response()),
        Err(fault) => Ok((
            StatusCode::UNPROCESSABLE_ENTITY,
            page(&frame("A new method"), ask(&form.called, Some(&fault))),
        )
            .into_response()),
    }
}

pub(super) async fn copy(
    State(room): State<Arc<Room>>,
    Path(name): Path<String>,
    Form(form): Form<Called>,
) -> Result<Response, Trouble> {
    at_the_table()?;
    match begin(&room, &form.called, Some(name.clone())).await? {
        Ok(copy) => Ok(Redirect::to(&format!("/methods/{copy}/edit?said=kept")).into_response()),
        Err(fault) => {
            let body = html! {
                div.keeping {
                    div.top { h1 { "What is your copy called?" } }
                    form.naming method="post" action={ "/methods/" (escaped(&name)) "/copy" } {
                        div {
                            label for="f-copy" { "What your copy is called" }
                            p.fault #copy-fault { (fault) }
                            input.box #f-copy name="called" value=(form.called) required maxlength="80" autocomplete="off" aria-invalid="true" aria-describedby="copy-fault";
                        }
                        button.press.main { "Copy it" }
                    }
                }
            };
            Ok((
                StatusCode::UNPROCESSABLE_ENTITY,
                page(&frame("What is your copy called?"), body),
            )
                .into_response())
        }
    }
}

/// Keeps a new method, from the template or as a copy; answers its name, or why it can't be called so.
pub(super) async fn begin(
    room: &Arc<Room>,
    called: &str,
    from: Option<String>,
) -> Result<Result<String, String>, Trouble> {
    let title = match title_of(called) {
        Ok(title) => title,
        Err(why) => return Ok(Err(why.to_owned())),
    };
    let own = room.book(|book| Ok(book.methods(true)?)).await?;
    let made = tried(room, move || {
        let shelf = Shelf::of(own);
        if let Some(fault) = taken_title(&shelf, &title) {
            return Ok(Err(fault));
        }
        let (text, source) = match &from {
            Some(name) => {
                let known = shelf.find(name).ok_or_else(|| no_method(name))?;
                (known.text.clone(), format!("copy of {name}"))
            }
            None => (TEMPLATE.to_owned(), "own".to_owned()),
        };
        let name = shelf.free_name(&title);
        Ok::<_, Trouble>(Ok((name, source, known::retitled(&text, &title))))
    })
    .await??;
    let (name, source, text) = match made {
        Ok(made) => made,
        Err(fault) => return Ok(Err(fault)),
    };
    let address = name.clone();
    room.book(move |book| Ok(book.new_method(&name, &source, &text)?))
        .await?;
    Ok(Ok(address))
}

/// The page that asks what a new one is called.
fn ask(called: &str, fault: Option<&str>) -> Markup {
    html! {
        div.keeping {
            div.top {
                h1 { "A new method" }
                p.lead { "It begins as a plain skirt in one piece, which can be drafted as it stands. Change it line by line." }
            }
            form.naming method="post" action="/methods/new" {
                div {
                    label for="f-called" { "What it is called" }
                    @if let Some(fault) = fault { p.fault #called-fault { (fault) } }
                    input.box #f-called name="called" value=(called) required maxlength="80" autocomplete="off" aria-invalid=[fault.map(|_| "true")] aria-describedby=[fault.map(|_| "called-fault")];
                }
                button.press.main { "Begin" }
            }
            p.help { "It is often quicker to copy one that is near to what you do: open it, and press Make it my own." }
            p { a.press.quiet href="/methods" { "Back to the methods" } }
        }
    }
}
