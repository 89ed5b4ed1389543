//! Looking for words in everything that is kept.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Query, State};
use axum::routing::get;
use book::{Found, Where};
use maud::{Markup, html};
use serde::Deserialize;

use super::layout::{Frame, Here, page};
use super::parts::number::told;
use super::room::Room;
use super::trouble::Trouble;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new().route("/search", get(search))
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Asked {
    q: String,
}

/// More words than this are not looked for.
const LONGEST: usize = 200;

async fn search(
    State(room): State<Arc<Room>>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let words: String = asked.q.trim().chars().take(LONGEST).collect();
    let looked = words.clone();
    let found = room.book(move |book| Ok(book.find(&looked)?)).await?;
    let frame = Frame {
        title: "Search".into(),
        here: Here::Elsewhere,
        demo: found.iter().any(|f| f.demo),
        ..Frame::default()
    };
    Ok(page(&frame, body(&words, &found)))
}

/// Where a group's finds lie.
fn group(place: &Where) -> usize {
    match place {
        Where::Client(_) => 0,
        Where::Order(_) => 1,
        Where::Card(..) => 2,
        Where::Fitting(..) => 3,
        Where::Method(_) => 4,
        Where::Price => 5,
    }
}

const GROUPS: [&str; 6] = [
    "Clients",
    "Orders",
    "Cards",
    "Fittings",
    "Methods",
    "Price book",
];

fn address(place: &Where) -> String {
    match place {
        Where::Client(client) => format!("/clients/{client}"),
        Where::Card(client, card) => format!("/clients/{client}/cards/{card}"),
        Where::Order(order) => format!("/orders/{order}"),
        Where::Fitting(order, _) => format!("/orders/{order}/fittings"),
        Where::Price => "/settings/prices".to_owned(),
        Where::Method(name) => format!("/methods/{}", super::parts::link::escaped(name)),
    }
}

/// A line of what is kept, as it is read out: of `name = "plum crepe"` the words, of a page for the
/// program the words that she wrote on it.
fn plainly(line: &str, words: &str) -> String {
    let line = line.trim();
    if line.starts_with(['{', '[']) {
        let wanted = words.to_lowercase();
        let holds = |text: &str| {
            let text = text.to_lowercase();
            wanted.split_whitespace().any(|w| text.contains(w))
        };
        let page = serde_json::from_str::<serde_json::Value>(line).unwrap_or_default();
        return said_in(&page, &holds).unwrap_or_default();
    }
    let (name, value) = line.split_once(" = ").unwrap_or(("", ""));
    let is_name = !name.is_empty() && name.chars().all(|c| c.is_ascii_lowercase() || c == '_');
    match value.strip_prefix('"').and_then(|v| v.strip_suffix('"')) {
        Some(value) if is_name => value.replace("\\\"", "\""),
        _ => line.to_owned(),
    }
}

/// The first text on a page in which what is looked for stands.
fn said_in(page: &serde_json::Value, holds: &dyn Fn(&str) -> bool) -> Option<String> {
    match page {
        serde_json::Value::String(text) => holds(text).then(|| text.clone()),
        serde_json::Value::Array(all) => all.iter().find_map(|v| said_in(v, holds)),
        serde_json::Value::Object(all) => all.values().find_map(|v| said_in(v, holds)),
        _ => None,
    }
}

fn body(words: &str, found: &[Found]) -> Markup {
    html! {
        div.narrow.stack.full {
            h1 { @if words.is_empty() { "Look for something" } @else { "Looked for: " (words) } }
            form.find.stack.full method="get" action="/search" role="search" {
                div.field {
                    label for="q" { "Words in anything you keep: names, notes, “order 14”, the mark on a sheet" }
                    input.box #q name="q" type="search" value=(words) autocomplete="off";
                }
                p.presses { button.press.main { "Look" } }
            }
            @if !words.is_empty() {
                p role="status" {
                    @match found.len() {
                        0 => "Nothing has all of these words in it. Fewer words find more.",
                        1 => "One place.",
                        200.. => "The first 200 places. More words find fewer.",
                        n => { (n) " places." }
                    }
                }
            }
            @for (at, name) in GROUPS.iter().enumerate() {
                @let here: Vec<&Found> = found.iter().filter(|f| group(&f.place) == at).collect();
                @if !here.is_empty() {
                    section aria-labelledby={ "found-" (at) } {
                        h2 id={ "found-" (at) } { (name) }
                        ul.foundlist {
                            @for f in here {
                                li {
                                    a href=(address(&f.place)) { (f.title.trim_end_matches([',', ' '])) }
                                    @let line = plainly(&f.line, words);
                                    @if !line.is_empty() { p.help { (told(&line)) } }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use axum::http::StatusCode;

    use super::plainly;
    use crate::web::testing::{Visit, demo_book};

    /// Would catch a line of a page for the program shown to her: names of fields, braces, quotes.
    #[test]
    fn a_line_is_shown_as_words() {
        assert_eq!(plainly("name = \"plum crepe\"", "plum"), "plum crepe");
        let page = r#"{"piece":"front","words":"Her hip is higher","start_mm":-3.175}"#;
        assert_eq!(plainly(page, "HIGHER hip"), "Her hip is higher");
        assert_eq!(plainly(page, "start_mm"), "");
        let hers = "Two = \"as she says\"";
        assert_eq!(plainly(hers, "says"), hers);
        let visit = Visit::with(demo_book());
        let text = visit.get("/search?q=plum%20crepe").text();
        assert!(
            text.contains("plum crepe") && !text.contains("name ="),
            "{text}"
        );
    }

    /// Would catch a place without its way to it, words that are not escaped, an empty question.
    #[test]
    fn what_is_found_leads_there() {
        let visit = Visit::with(demo_book());
        let text = visit.get("/search?q=odette").text();
        assert!(text.contains("<h2 id=\"found-0\">Clients</h2>"));
        assert!(text.contains("<h2 id=\"found-1\">Orders</h2>"));
        assert!(text.contains("href=\"/clients/90") && text.contains("href=\"/orders/90"));
        assert!(text.contains("Lantern Lane and everyone"));
        let none = visit.get("/search?q=%3Cscript%3Ezz").text();
        assert!(none.contains("Looked for: &lt;script&gt;zz") && none.contains("Nothing has all"));
        let empty = visit.get("/search");
        assert_eq!(empty.status, StatusCode::OK);
        assert_eq!(empty.text().matches("<h1").count(), 1);
        assert!(!empty.text().contains("role=\"status\""));
    }
}
