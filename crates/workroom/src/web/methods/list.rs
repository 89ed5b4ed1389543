//! All methods: her own, those that come with the program, and those put away.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Query, State};
use std::sync::{LazyLock, Mutex};

use maud::{Markup, PreEscaped, html};
use sha2::{Digest as _, Sha256};

use crate::about::About;
use crate::web::calm_lock;
use crate::web::parts::number::told;

use crate::web::layout::page;
use crate::web::parts::said::said;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

use super::bench::{DEMO, Trial, tried};
use super::known::{Known, Shelf};
use super::reader::in_a_row;
use super::{Asked, frame, order, taken};

/// So many small drawings are kept ready.
const KEPT: usize = 300;
/// So many of her own are drawn afresh for one page; the others come with the next.
const DRAWN: usize = 40;

type Kept = Vec<([u8; 32], Option<String>)>;
static THUMBS: LazyLock<Mutex<Kept>> = LazyLock::new(|| Mutex::new(Vec::new()));

/// A method in the list.
pub(crate) struct Line {
    name: String,
    called: String,
    says: Vec<String>,
    takes: String,
    choices: usize,
    /// Orders that hold it.
    orders: Vec<String>,
    hers: bool,
    away: bool,
    thumb: Option<String>,
}

/// The lines of the list; on a thread of its own. `orders` names for a method those that hold it.
pub(crate) fn lines(shelf: &Shelf, orders: impl Fn(&Known) -> Vec<String>) -> Vec<Line> {
    let mut fresh = DRAWN;
    shelf
        .all
        .iter()
        .map(|known| {
            let about = About::of(&draft::read(&known.text), &known.text);
            let names: Vec<&str> = about.measures.iter().map(|m| m.name.as_str()).collect();
            Line {
                name: known.name.clone(),
                called: known.called().to_owned(),
                takes: in_a_row(&names),
                choices: about.choices.len(),
                says: about.says,
                orders: orders(known),
                hers: known.own.is_some(),
                away: known.put_away(),
                thumb: thumb(known, shelf, &mut fresh),
            }
        })
        .collect()
}

/// The small drawing of a method, worked for the demo card.
fn thumb(known: &Known, shelf: &Shelf, fresh: &mut usize) -> Option<String> {
    let others = shelf.others(&known.name);
    let mut hash = Sha256::new();
    for text in std::iter::once(&known.text).chain(&others) {
        hash.update(text);
        hash.update([0]);
    }
    let key: [u8; 32] = hash.finalize().into();
    if let Some((_, kept)) = calm_lock(&THUMBS).iter().find(|(k, _)| *k == key) {
        return kept.clone();
    }
    if *fresh == 0 {
        return None;
    }
    if known.own.is_some() {
        *fresh -= 1;
    }
    let trial = Trial {
        text: known.text.clone(),
        others,
        card: DEMO.to_owned(),
        settings: BTreeMap::new(),
    };
    let drawn = trial.run().thumb().map(PreEscaped::into_string);
    let mut kept = calm_lock(&THUMBS);
    if kept.len() >= KEPT {
        kept.remove(0);
    }
    kept.push((key, drawn.clone()));
    drawn
}

/// The page.
pub(crate) fn list(lines: &[Line], said: &Markup) -> Markup {
    let part = |hers: bool, away: bool| -> Vec<&Line> {
        lines
            .iter()
            .filter(|l| l.hers == hers && l.away == away)
            .collect()
    };
    let (own, shipped, away) = (part(true, false), part(false, false), part(true, true));
    html! {
        (said)
        div.methods {
            div.top {
                h1 { "Methods" }
                p.lead { "A method is a way of drafting, written so that it can be worked for any card." }
                @if !super::super::visit::now().phone { p.presses {
                    a.press href="/methods/new" { "Write a new one" }
                    a.press href="/methods/open" { "Open someone\u{2019}s file" }
                } }
            }
            section aria-labelledby="own-h" {
                h2 #own-h { "Your own" }
                @if own.is_empty() {
                    p.notyet { "None yet. Copy one of those below, or write a new one." }
                } @else { (rows(&own)) }
            }
            section aria-labelledby="shipped-h" {
                h2 #shipped-h { "Come with Ellwand" }
                (rows(&shipped))
            }
            @if !away.is_empty() {
                details.fold {
                    summary { "Put away (" (away.len()) ")" }
                    (rows(&away))
                }
            }
        }
    }
}

fn rows(lines: &[&Line]) -> Markup {
    html! {
        ul.methodlist {
            @for line in lines {
                li {
                    div.small-drawing { @if let Some(thumb) = &line.thumb { (PreEscaped(thumb)) } }
                    div {
                        h3 { a href={ "/methods/" (line.name) } { (line.called) } }
                        @for says in &line.says { p { (told(says)) } }
                        p.small {
                            @if line.takes.is_empty() { "Takes no measure" } @else { "Takes " (line.takes) }
                            @match line.choices { 0 => {} 1 => "; one choice" n => { "; " (n) " choices" } }
                            "."
                            @if !line.orders.is_empty() {
                                " Used by order" @if line.orders.len() > 1 { "s" } " " (line.orders.join(", ")) "."
                            }
                        }
                    }
                }
            }
        }
    }
}

/// All of them.
pub(super) async fn all(
    State(room): State<Arc<Room>>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let taken = taken(&room, None, true).await?;
    let said = said(asked.said.as_deref());
    let body = tried(&room, move || {
        let shelf = Shelf::of(taken.own);
        let held: Vec<(String, Option<String>)> = taken
            .orders
            .into_iter()
            .map(|(order, name, text)| {
                let origin = order::origin(&shelf, &name, &text).map(|k| k.name.clone());
                (order, origin)
            })
            .collect();
        let all = lines(&shelf, |known| {
            held.iter()
                .filter(|(_, origin)| origin.as_deref() == Some(&known.name))
                .map(|(order, _)| order.clone())
                .collect()
        });
        list(&all, &said)
    })
    .await?;
    Ok(page(&frame("Methods"), body))
}
