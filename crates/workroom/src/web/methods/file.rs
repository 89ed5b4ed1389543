//! A method as a file: given away, and somebody else's looked at before it is kept.

use std::sync::Arc;

use axum::extract::{Form, Multipart, Path, State};
use axum::http::StatusCode;
use axum::http::{HeaderValue, header};
use axum::response::Redirect;
use axum::response::{IntoResponse, Response};
use draft::Library;
use maud::{Markup, html};
use serde::Deserialize;

use crate::web::parts::link::escaped;

use crate::web::layout::page;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

use super::bench::{DEMO, Trial, Tried, tried};
use super::desk::ticked;
use super::known::{self, Known, MOST, NoText, Shelf};
use super::reader::{faults, in_a_row, stands};
use super::{at_the_table, frame, hers, no_method, no_text, taken_title, title_of};

/// A method's text as a file to keep. `name` is plain already; the title goes beside it for those who
/// can take it (RFC 6266, RFC 8187).
pub(crate) fn attachment(name: &str, title: &str, text: String) -> Response {
    let full = escaped(&file_name(title, name));
    let line = format!("attachment; filename=\"{name}.method\"; filename*=UTF-8''{full}");
    let line = HeaderValue::from_str(&line).unwrap_or(HeaderValue::from_static(
        "attachment; filename=\"a.method\"",
    ));
    (
        [
            (
                header::CONTENT_TYPE,
                HeaderValue::from_static("text/plain; charset=utf-8"),
            ),
            (header::CONTENT_DISPOSITION, line),
            (
                header::X_CONTENT_TYPE_OPTIONS,
                HeaderValue::from_static("nosniff"),
            ),
        ],
        text,
    )
        .into_response()
}

/// A title as a file's name on any system; the plain name where nothing is left of it.
fn file_name(title: &str, name: &str) -> String {
    let kept: String = title
        .chars()
        .filter(|c| !c.is_control() && !matches!(c, '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|'))
        .filter(|c| !matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'))
        .take(80)
        .collect();
    let kept = kept.trim_matches([' ', '.', '-']);
    let device = ["con", "prn", "aux", "nul", "com", "lpt"]
        .iter()
        .any(|d| kept.to_lowercase().starts_with(d) && kept.chars().count() <= d.len() + 1);
    if kept.is_empty() || device {
        format!("{name}.method")
    } else {
        format!("{kept}.method")
    }
}

/// Why a text is not taken, in words.
pub(crate) fn why_not(why: NoText) -> String {
    match why {
        NoText::TooLarge => format!(
            "A method is at most {} KB of text, and this is more.",
            MOST / 1024
        ),
        NoText::NotText => {
            "This is not plain text. A method is a plain text file, its letters in UTF-8: \
                            save it so, and open it again."
                .to_owned()
        }
        NoText::Sign(line) => format!(
            "On line {line} stands a sign that is no writing. A method is a plain text file: \
             take the sign away, and open it again."
        ),
        NoText::Empty => {
            "Nothing stands in it. Choose a file, or paste the text of a method.".to_owned()
        }
    }
}

/// The page to open a file on.
pub(crate) fn open(fault: Option<&str>, pasted: &str) -> Markup {
    html! {
        div.keeping {
            div.top {
                h1 { "Open someone\u{2019}s file" }
                p.lead { "You see it first, its text and what is to be said of it. It is kept only when you say so." }
            }
            @if let Some(fault) = fault {
                div.faults #faults role="alert" tabindex="-1" data-focus aria-labelledby="faults-h" {
                    h2 #faults-h { "One thing to look at" }
                    p { (fault) }
                }
            }
            form.opening method="post" action="/methods/open" enctype="multipart/form-data" {
                div.field {
                    label for="f-file" { "The file" }
                    input.box #f-file type="file" name="file" accept=".method,.txt,text/plain" aria-describedby="file-help";
                    p.help #file-help { "A text of at most " (MOST / 1024) " KB; its name mostly ends in .method." }
                }
                div.field {
                    label for="f-paste" { "Or paste its text here" }
                    textarea.box.code #f-paste name="paste" rows="10" spellcheck="false" wrap="off" { "\n" (pasted) }
                }
                p.presses { button.press.main { "Look at it" } a.press.quiet href="/methods" { "Back to the methods" } }
            }
        }
    }
}

/// Someone's text, before it is kept.
pub(crate) struct Guest<'a> {
    pub(crate) text: &'a str,
    /// What it would be called.
    pub(crate) called: &'a str,
    /// The one here that is called so already, or has its title.
    pub(crate) same: Option<&'a Known>,
    /// Titles of methods that it uses and that are not here.
    pub(crate) missing: &'a [String],
}

/// The page that shows it.
pub(crate) fn guest(guest: &Guest<'_>, tried: &Tried, fault: Option<&str>) -> Markup {
    let missing: Vec<&str> = guest.missing.iter().map(String::as_str).collect();
    let own = guest.same.filter(|k| k.own.is_some());
    html! {
        div.keeping {
            div.top {
                h1 { @if guest.called.is_empty() { "A method without a name" } @else { (guest.called) } }
                p.lead { "This is what the file says. It is not kept yet." }
            }
            @if !missing.is_empty() {
                p.saying { "It is built on " (in_a_row(&missing)) ", which " @if missing.len() == 1 { "is" } @else { "are" } " not here. Ask for that file too, and open it first." }
            }
            @if !tried.notes.is_empty() { p { (stands(tried.notes.len())) } }
            (faults(&tried.faults))
            @if let Some(drawing) = tried.drawing("What it draws for the demo card", "pattern") {
                figure.sheet.mini { (drawing) figcaption.small { "What it draws for the demo card, which is invented." } }
            }
            form.opening method="post" action="/methods/open/keep" {
                textarea.vh name="text" tabindex="-1" aria-hidden="true" readonly { "\n" (guest.text) }
                @if let Some(same) = guest.same {
                    fieldset.choose {
                        legend { "There is a method called " (same.called()) " already" }
                        @if let Some(own) = own.and_then(|k| k.own.as_ref()) {
                            label {
                                input type="radio" name="how" value="newer";
                                span { "It is a newer text of that one" }
                                span.help { "the old text stays among the earlier ones" }
                            }
                            input type="hidden" name="same" value=(own.name);
                            input type="hidden" name="seen" value=(own.seen);
                        }
                        label {
                            input type="radio" name="how" value="beside" checked;
                            span { "Keep it beside that one, under another name" }
                            span.help {}
                        }
                    }
                } @else {
                    input type="hidden" name="how" value="beside";
                }
                div.field {
                    label for="f-called" { "What it is to be called here" }
                    @if let Some(fault) = fault { p.fault #called-fault { (fault) } }
                    input.box #f-called name="called" value=(called_here(guest)) maxlength="80" autocomplete="off" aria-invalid=[fault.map(|_| "true")] aria-describedby=[fault.map(|_| "called-fault")];
                }
                p.presses { button.press.main { "Keep it" } a.press.quiet href="/methods/open" { "Leave it" } }
            }
            @if !tried.notes.is_empty() {
                section aria-labelledby="notes-h" {
                    h2 #notes-h { "What is to be said of it" }
                    ul.saying {
                        @for note in tried.notes.iter().take(40) {
                            li { "Line " (note.line) ": " (ticked(&note.message)) @if let Some(hint) = &note.hint { " " (ticked(hint)) } }
                        }
                        @if tried.notes.len() > 40 { li { "And " (tried.notes.len() - 40) " more." } }
                    }
                }
            }
            section aria-labelledby="text-h" {
                h2 #text-h { "Its text" }
                ol.numbered tabindex="0" aria-label="The text of the file" {
                    @for line in guest.text.lines() { li { code { (line) } } }
                }
            }
        }
    }
}

fn called_here(guest: &Guest<'_>) -> String {
    match guest.same {
        Some(_) => format!("{}, another way", guest.called),
        None => guest.called.to_owned(),
    }
}

pub(super) async fn to_file(
    State(room): State<Arc<Room>>,
    Path(name): Path<String>,
) -> Result<Response, Trouble> {
    at_the_table()?;
    let own = room.book(|book| Ok(book.methods(true)?)).await?;
    tried(&room, move || {
        let shelf = Shelf::of(own);
        let known = shelf.find(&name).ok_or_else(|| no_method(&name))?;
        Ok(attachment(&known.name, &known.title, known.text.clone()))
    })
    .await?
}

pub(super) async fn open_page() -> Result<Markup, Trouble> {
    at_the_table()?;
    Ok(page(&frame("Open someone\u{2019}s file"), open(None, "")))
}

pub(super) async fn opened(
    State(room): State<Arc<Room>>,
    mut parts: Multipart,
) -> Result<Response, Trouble> {
    at_the_table()?;
    let (mut sent, mut pasted) = (Vec::new(), Vec::new());
    while let Some(mut part) = parts.next_field().await.map_err(too_much)? {
        let into = match part.name() {
            Some("file") => &mut sent,
            Some("paste") => &mut pasted,
            _ => continue,
        };
        // Read in bits: a large file is refused at the first byte too many.
        while let Some(bit) = part.chunk().await.map_err(too_much)? {
            if into.len() + bit.len() > MOST {
                return Err(no_text(NoText::TooLarge).back("/methods/open", "Choose another file"));
            }
            into.extend_from_slice(&bit);
        }
    }
    let bytes = if sent.iter().all(u8::is_ascii_whitespace) {
        &pasted
    } else {
        &sent
    };
    let text = match known::clean(bytes) {
        Ok(text) => text,
        Err(why) => {
            let pasted = if why == NoText::NotText {
                String::new()
            } else {
                String::from_utf8_lossy(&pasted).into_owned()
            };
            let body = open(Some(&why_not(why)), &pasted);
            let shown = page(&frame("Open someone\u{2019}s file"), body);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, shown).into_response());
        }
    };
    Ok(guest_page(&room, text, None).await?.into_response())
}

#[expect(
    clippy::needless_pass_by_value,
    reason = "it is handed to map_err by name"
)]
pub(super) fn too_much(fault: axum::extract::multipart::MultipartError) -> Trouble {
    if fault.status() == StatusCode::PAYLOAD_TOO_LARGE {
        no_text(NoText::TooLarge).back("/methods/open", "Choose another file")
    } else {
        Trouble::of(fault.status())
    }
}

/// Someone's text, before it is kept.
pub(super) async fn guest_page(
    room: &Arc<Room>,
    text: String,
    fault: Option<String>,
) -> Result<Markup, Trouble> {
    let (own, settings) = room
        .book(|book| Ok((book.methods(true)?, book.settings()?)))
        .await?;
    let body = tried(room, move || {
        let shelf = Shelf::of(own);
        let title = known::title(&text);
        let same = shelf.titled(&title).filter(|_| !title.is_empty());
        let others: Vec<String> = shelf
            .all
            .iter()
            .filter(|k| same.is_none_or(|s| s.name != k.name))
            .map(|k| k.text.clone())
            .collect();
        let library = Library::new(others.iter().map(String::as_str));
        let missing = known::missing(&draft::read(&text), &library);
        let trial = Trial {
            text,
            others,
            card: DEMO.to_owned(),
            settings,
        };
        let tried = trial.run();
        let shown = Guest {
            text: &trial.text,
            called: &title,
            same,
            missing: &missing,
        };
        guest(&shown, &tried, fault.as_deref())
    })
    .await?;
    Ok(page(&frame("Someone\u{2019}s method"), body))
}

#[derive(Deserialize)]
pub(super) struct GuestKept {
    #[serde(default)]
    text: String,
    #[serde(default)]
    how: String,
    #[serde(default)]
    called: String,
    same: Option<String>,
    #[serde(default)]
    seen: u64,
}

pub(super) async fn open_keep(
    State(room): State<Arc<Room>>,
    Form(form): Form<GuestKept>,
) -> Result<Response, Trouble> {
    at_the_table()?;
    let text = known::clean(form.text.as_bytes())
        .map_err(|why| no_text(why).back("/methods/open", "Choose another file"))?;
    if let (Some(name), "newer") = (form.same, form.how.as_str()) {
        let there = format!("/methods/{name}/edit?said=kept");
        room.book(move |book| {
            hers(&book.methods(true)?, &name)?;
            match book.save_method(&name, form.seen, &text) {
                Ok(_) => Ok(()),
                Err(book::Trouble::Moved { .. }) => Err(Trouble::moved(
                    "Your method was changed meanwhile. Nothing was written over: open the file once more.",
                )
                .back("/methods/open", "Open it again")),
                Err(trouble) => Err(trouble.into()),
            }
        })
        .await?;
        return Ok(Redirect::to(&there).into_response());
    }
    let title = match title_of(&form.called) {
        Ok(title) => title,
        Err(why) => {
            let shown = guest_page(&room, text, Some(why.to_owned())).await?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, shown).into_response());
        }
    };
    let own = room.book(|book| Ok(book.methods(true)?)).await?;
    let same_text = text.clone();
    let made = tried(&room, move || {
        let shelf = Shelf::of(own);
        match taken_title(&shelf, &title) {
            Some(fault) => Err(fault),
            None => {
                let text = if known::title(&same_text) == title {
                    same_text
                } else {
                    known::retitled(&same_text, &title)
                };
                Ok((shelf.free_name(&title), text))
            }
        }
    })
    .await?;
    match made {
        Ok((name, kept)) => {
            let there = format!("/methods/{name}/edit?said=kept");
            room.book(move |book| Ok(book.new_method(&name, "opened from a file", &kept)?))
                .await?;
            Ok(Redirect::to(&there).into_response())
        }
        Err(fault) => {
            let shown = guest_page(&room, text, Some(fault)).await?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, shown).into_response())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_is_a_safe_name_for_a_file_on_any_system() {
        // Catches a path, a device of Windows, a hidden file, letters that turn the reading round, and
        // a header that ends early.
        for (title, name) in [
            ("Mermaid in two patterns", "Mermaid in two patterns.method"),
            ("../../etc/passwd", "etcpasswd.method"),
            ("C:\\x", "Cx.method"),
            ("NUL", "plain.method"),
            ("com1", "plain.method"),
            (".hidden.", "hidden.method"),
            ("gnp.\u{202e}exe", "gnp.exe.method"),
            ("a\r\nSet-Cookie: x", "aSet-Cookie x.method"),
            ("", "plain.method"),
            ("юбка", "юбка.method"),
        ] {
            assert_eq!(file_name(title, "plain"), name, "{title:?}");
        }
        let answer = attachment("plain", "юбка \"a\"\r\nX: y", "text".into());
        let line = answer.headers()[header::CONTENT_DISPOSITION]
            .to_str()
            .unwrap_or_default();
        assert!(
            line.starts_with("attachment; filename=\"plain.method\"; filename*=UTF-8''%D1%8E"),
            "{line}"
        );
        assert!(!line.contains("X:"), "{line}");
        assert_eq!(
            answer.headers()[header::CONTENT_TYPE],
            "text/plain; charset=utf-8"
        );
    }
}
