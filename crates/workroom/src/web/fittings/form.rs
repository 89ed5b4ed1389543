//! The forms of a fitting: a pin, and a curve that was changed by hand on the paper.

use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::response::Redirect;
use book::{Change, Id, OrderNo};
use draft::correction::{Place, places};
use maud::{Markup, html};
use measure::fraction;
use serde::Deserialize;

use super::super::card_text::quoted;
use super::super::parts::field::{Field, Kind};
use super::super::parts::number::unit_word;
use super::super::room::Room;
use super::super::trouble::Trouble;
use super::super::visit;
use super::pin::Pinned;
use super::{Table, table};

/// A place as a page of corrections writes it.
pub(crate) fn written(place: &Place, table: &Table) -> String {
    match place {
        Place::Start => "start".into(),
        Place::End => "end".into(),
        Place::Named(name) => name.clone(),
        Place::Notch(n) => format!("notch {n}"),
        Place::Along(at) => fraction::show(*at, table.on.shown),
    }
}

/// Her words as a line of a page of corrections, if she said any.
pub(crate) fn words(words: &str) -> String {
    let words = words.trim();
    if words.is_empty() {
        String::new()
    } else {
        format!("words = {}\n", quoted(words))
    }
}

/// Which edge: a list to choose from. It works without scripts as a step of its own.
fn edges(table: &Table, id: &str, chosen: Option<&str>) -> Markup {
    html! {
        label for=(id) { "Where: piece and edge"
            select.box id=(id) name="at" required {
                @for (i, piece) in table.worked.drafted().into_iter().enumerate() {
                    @for (k, edge) in piece.edges.iter().enumerate() {
                        @if edge.role != piece::Role::Fold {
                            @let key = format!("{i}e{k}");
                            option value=(key) selected[chosen == Some(key.as_str())] { (check::told::capital(&piece.name)) ", " (edge.name) }
                        }
                    }
                }
            }
        }
    }
}

fn place_list(
    table: &Table,
    name: &str,
    label: &str,
    piece: &piece::Piece,
    edge: &str,
    typed: &str,
) -> Markup {
    let all = places(piece, edge);
    let usual = if name == "to" {
        all.len().saturating_sub(1)
    } else {
        0
    };
    let chosen = all
        .iter()
        .position(|p| written(&p.place, table) == typed)
        .unwrap_or(usual);
    html! {
        label for=(name) { (label)
            select.box id=(name) name=(name) {
                @for (i, p) in all.iter().enumerate() {
                    option value=(written(&p.place, table)) selected[i == chosen] { (p.place.words(table.on.shown)) }
                }
            }
        }
    }
}

/// On which side of her, as she wears it.
fn which_side(chosen: &str) -> Markup {
    html! {
        fieldset.choose {
            legend { "On which side of her?" }
            @for (value, words, more) in [
                ("both", "Both", ""),
                ("left", "Her left only", "as she wears it; that side is cut by itself"),
                ("right", "Her right only", "as she wears it; that side is cut by itself"),
            ] {
                label { input type="radio" name="side" value=(value) checked[value == chosen]; span { (words) } span.help { (more) } }
            }
        }
    }
}

/// A side as a line of a page of corrections.
pub(crate) fn side(side: book::Side) -> &'static str {
    match side {
        book::Side::Both => "",
        book::Side::Left => "side = \"left\"\n",
        book::Side::Right => "side = \"right\"\n",
    }
}

/// A pin: first the edge, then how deep from where to where. What was typed before stands in it again.
pub(crate) fn pin_form(
    table: &Table,
    base: &str,
    at: Option<&str>,
    again: Option<&Pinned>,
) -> Markup {
    let unit_word = unit_word(table.on.shown.unit);
    let fresh = Pinned {
        action: "take in".into(),
        side: "both".into(),
        partner: Some("yes".into()),
        ..Pinned::default()
    };
    let typed = again.unwrap_or(&fresh);
    let found = at.and_then(|key| Some((key, table.edge(key)?)));
    html! {
        section.pinning aria-labelledby="pin-h" id="pin" {
            h2 #pin-h { "Something was pinned" }
            form.measure method="get" action={ (base) "#pin" } {
                (edges(table, "pin-at", at))
                button.press { "Here" }
            }
            @if let Some((key, (piece, edge))) = found {
                form.plainform method="post" action={ (base) "/pins" } {
                    input type="hidden" name="at" value=(key);
                    p { strong { (check::told::capital(&piece.name)) ", " (edge.name) } }
                    div.pair {
                        (place_list(table, "from", "From", piece, &edge.name, &typed.from))
                        (place_list(table, "to", "To", piece, &edge.name, &typed.to))
                    }
                    fieldset.choose {
                        legend { "What was done" }
                        @for (value, words, more) in [("take in", "Taken in", "a waist: dropped"), ("let out", "Let out", "a waist: raised"), ("note", "Only a note", "")] {
                            label { input type="radio" name="action" value=(value) checked[value == typed.action]; span { (words) } span.help { (more) } }
                        }
                    }
                    div.pair {
                        (Field::new("start", "How deep at the first place", &typed.start).help(&format!("In {unit_word}; nothing typed is nothing.")).html())
                        (Field::new("middle", "Halfway", &typed.middle).help("Left empty it lies between the two.").html())
                        (Field::new("end", "At the second place", &typed.end).html())
                    }
                    fieldset.choose {
                        legend { "How was it counted?" }
                        label { input type="radio" name="counted" value="each" required checked[typed.counted == "each"]; span { "Each side: from the old seam to the pins" } span.help { "each edge moves by this" } }
                        label { input type="radio" name="counted" value="in all" checked[typed.counted == "in all"]; span { "In all: what the seam takes or gives" } span.help { "each edge moves by half" } }
                    }
                    (which_side(&typed.side))
                    label.tickline { input type="checkbox" name="partner" value="yes" checked[typed.partner.is_some()]; span { "Half front, half back: the edge it is sewn to moves too" } }
                    label.tickline { input type="checkbox" name="on_cloth" value="yes" checked[typed.on_cloth.is_some()]; span { "It is marked on the cloth" } }
                    (Field::new("words", "In your words", &typed.words).kind(Kind::Line).html())
                    p.presses { button.press.main { "Write it down" } }
                }
            }
        }
    }
}

/// A curve changed by hand.
pub(crate) fn hand_form(table: &Table, at: Option<&str>) -> Markup {
    let order = table.on.order.number;
    let unit = table.on.shown.unit.sign();
    html! {
        details.fold open[at.is_some()] {
            summary { "A curve was changed by hand on the paper" }
            form.plainform method="post" action={ "/orders/" (order) "/fittings/hand" } {
                (edges(table, "hand-at", at))
                (Field::new("points", "At which distances along the edge, how far out or in", "").kind(Kind::Text(5))
                    .help(&format!("A line each, counted from the upper end: 3 out 1/8. Bare numbers are {unit}. Begin and end with 0.")).html())
                (which_side("both"))
                (Field::new("words", "In your words", "").html())
                p.presses { button.press { "Lay it over the draft" } }
            }
        }
    }
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Hand {
    at: String,
    points: String,
    side: String,
    words: String,
}

pub(crate) async fn by_hand(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(hand): Form<Hand>,
) -> Result<Redirect, Trouble> {
    let table = table(&room, order).await?;
    let back = format!("/orders/{order}/fittings");
    let (piece, edge) = table.edge(&hand.at).ok_or_else(|| {
        Trouble::unclear("Choose the edge first.").back(back.clone(), "Back to the fittings")
    })?;
    let mut points = Vec::new();
    for line in hand.points.lines().map(str::trim).filter(|l| !l.is_empty()) {
        let (at, moved) = match line.find(" out ").or_else(|| line.find(" in ")) {
            Some(cut) => (line[..cut].trim(), line[cut..].trim()),
            None => (line, "0"),
        };
        points.push(format!("[{}, {}]", quoted(at), quoted(moved)));
    }
    let text = format!(
        "unit = \"{}\"\n\n[[correction]]\npiece = {}\nedge = {}\npoints = [{}]\n{}{}",
        table.on.shown.unit.sign(),
        quoted(&piece.name),
        quoted(&edge.name),
        points.join(", "),
        side(book::Side::read(&hand.side).unwrap_or(book::Side::Both)),
        words(&hand.words)
    );
    if let Err(faults) = crate::corrections::read(&text) {
        let says: Vec<String> = faults
            .iter()
            .map(|f| format!("{} {}", f.says, f.hint))
            .collect();
        return Err(Trouble::unclear(says.join(" "))
            .back(back, "Back to the fittings")
            .with(html! { pre { (hand.points) } }));
    }
    let label = format!("{} of {} changed by hand", edge.name, piece.name);
    let by = visit::now().by;
    room.book(move |book| {
        let change = Change {
            key: format!("correction/{}", Id::new()),
            after: Some(text),
        };
        book.change(OrderNo(order), None, &label, &by, &[change])?;
        Ok(())
    })
    .await?;
    Ok(Redirect::to(&format!("/orders/{order}/fittings?said=kept")))
}
