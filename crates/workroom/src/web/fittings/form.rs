//! The forms of a fitting: a pin, and a curve that was changed by hand on the paper.

use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use book::{Change, Id, OrderNo};
use draft::correction::{Place, PlaceOn, places};
use maud::{Markup, html};
use measure::Length;
use measure::fraction::{self, Unit};
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

/// Which edge: a list to choose from, each with a word more. It works without scripts as a step of its own.
fn edges(
    table: &Table,
    id: &str,
    chosen: Option<&str>,
    more: impl Fn(&piece::Piece, &piece::Edge) -> String,
) -> Markup {
    html! {
        label for=(id) { "Where: piece and edge"
            select.box id=(id) name="at" required {
                @for (i, piece) in table.worked.drafted().into_iter().enumerate() {
                    @for (k, edge) in piece.edges.iter().enumerate() {
                        @if edge.role != piece::Role::Fold {
                            @let key = format!("{i}e{k}");
                            option value=(key) selected[chosen == Some(key.as_str())] { (check::told::capital(&piece.name)) ", " (edge.name) (more(piece, edge)) }
                        }
                    }
                }
            }
        }
    }
}

/// Where an edge is counted from and to, by what meets it there.
fn ends(piece: &piece::Piece, edge: &piece::Edge) -> [Place; 2] {
    let all = places(piece, &edge.name);
    let whole = edge.curve.length();
    let at = |found: Option<&PlaceOn>, along: Length, else_: Place| {
        found
            .filter(|p| (p.along - along).in_mm().abs() < 1.0)
            .map_or(else_, |p| p.place.clone())
    };
    [
        at(all.first(), Length::ZERO, Place::Start),
        at(all.last(), whole, Place::End),
    ]
}

/// A place for her to choose: of a notch it is told how far from where the edge begins.
fn where_it_lies(place: &PlaceOn, all: &[PlaceOn], table: &Table) -> String {
    let shown = table.on.shown;
    let words = place.place.words(shown);
    match (&place.place, all.first()) {
        (Place::Notch(_), Some(first)) => format!(
            "{words}, {} from {}",
            fraction::show(place.along - first.along, shown),
            first.place.words(shown)
        ),
        _ => words,
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
                    option value=(written(&p.place, table)) selected[i == chosen] { (where_it_lies(p, &all, table)) }
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
                (edges(table, "pin-at", at, |_, _| String::new()))
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

/// A curve changed by hand. What was sent and could not be kept stands in it again, with what is amiss.
pub(crate) fn hand_form(table: &Table, at: Option<&str>, again: Option<&(Hand, String)>) -> Markup {
    let order = table.on.order.number;
    let shown = table.on.shown;
    let fresh = Hand {
        at: at.unwrap_or_default().to_owned(),
        side: "both".into(),
        ..Hand::default()
    };
    let (typed, fault) = again.map_or((&fresh, None), |(hand, fault)| (hand, Some(fault.as_str())));
    let example = match shown.unit {
        Unit::Cm => "0, then 8 out 0.3, then 15",
        Unit::Inch => "0, then 3 out 1/8, then 6",
    };
    // From which end: an edge that runs across has no upper one.
    let counted = |piece: &piece::Piece, edge: &piece::Edge| {
        format!(
            " ({} from {})",
            fraction::show(edge.curve.length(), shown),
            ends(piece, edge)[0].words(shown)
        )
    };
    html! {
        details.fold open[at.is_some() || again.is_some()] {
            summary { "A curve was changed by hand on the paper" }
            form.plainform method="post" action={ "/orders/" (order) "/fittings/hand" } {
                (edges(table, "hand-at", Some(&typed.at), counted))
                (Field::new("points", "At which distances along the edge, how far out or in", &typed.points).kind(Kind::Text(5)).fault(fault)
                    .help(&format!("A line each: how far along, then out or in, then by how much; a distance alone is where the line is as it was. Begin and end so, for instance {example}. Bare numbers are {}. The list of edges says from where each is counted.", unit_word(shown.unit))).html())
                (which_side(&typed.side))
                (Field::new("words", "In your words", &typed.words).html())
                p.presses { button.press { "Lay it over the draft" } }
            }
        }
    }
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Hand {
    pub(crate) at: String,
    points: String,
    side: String,
    words: String,
}

/// A line of hers as a place and how far the line moves there: `3 out 1/8`, `6`, `6 0`.
fn point(line: &str) -> (String, String) {
    let lower = line.to_lowercase();
    let (at, moved) = match lower.find(" out ").or_else(|| lower.rfind(" in ")) {
        Some(cut) => (lower[..cut].to_owned(), lower[cut..].trim().to_owned()),
        None => {
            let bare = lower
                .strip_suffix('0')
                .filter(|at| at.ends_with(char::is_whitespace));
            (bare.unwrap_or(&lower).to_owned(), "0".to_owned())
        }
    };
    let at = at.trim().trim_end_matches([',', ':', ';']).trim();
    (at.to_owned(), moved)
}

/// The page of the correction that she typed; or what is amiss with it, and what to do.
fn typed(table: &Table, hand: &Hand) -> Result<(String, String), String> {
    let (piece, edge) = table.edge(&hand.at).ok_or("Choose the edge first.")?;
    // On one line too, as the help writes it.
    let typed = hand.points.replace(", then ", "\n");
    let lines = typed.lines().map(str::trim);
    let points: Vec<String> = lines
        .filter(|l| !l.is_empty())
        .map(|line| {
            let (at, moved) = point(line);
            format!("[{}, {}]", quoted(&at), quoted(&moved))
        })
        .collect();
    if points.is_empty() {
        return Err("Say at which distances the line moves, a line each.".into());
    }
    let [from, to] = ends(piece, edge).map(|p| written(&p, table));
    let text = format!(
        "unit = \"{}\"\n\n[[correction]]\npiece = {}\nedge = {}\nfrom = {}\nto = {}\npoints = [{}]\n{}{}",
        table.on.shown.unit.sign(),
        quoted(&piece.name),
        quoted(&edge.name),
        quoted(&from),
        quoted(&to),
        points.join(", "),
        side(book::Side::read(&hand.side).unwrap_or(book::Side::Both)),
        words(&hand.words)
    );
    let all = crate::corrections::read(&text).map_err(|faults| {
        let says: Vec<String> = faults
            .iter()
            .map(|f| format!("{} {}", f.says, f.hint))
            .collect();
        says.join(" ").replace('`', "")
    })?;
    for correction in &all {
        correction.fits(piece, table.on.shown)?;
        if correction.points.iter().all(|p| p.1 == Length::ZERO) {
            return Err("So nothing moves. Say where it goes out or in, like 3 out 1/8.".into());
        }
    }
    Ok((
        text,
        format!("{} of {} changed by hand", edge.name, piece.name),
    ))
}

pub(crate) async fn by_hand(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Form(hand): Form<Hand>,
) -> Result<Response, Trouble> {
    let table = table(&room, order).await?;
    let (text, label) = match typed(&table, &hand) {
        Ok(kept) => kept,
        Err(fault) => {
            let page = super::list_page(&room, &table, None, None, Some(&(hand, fault))).await?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
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
    Ok(Redirect::to(&format!("/orders/{order}/fittings?said=kept")).into_response())
}

#[cfg(test)]
mod tests {
    use super::point;

    /// Would catch a line of the help's own example that is not understood, and inches taken for `in`.
    #[test]
    fn a_line_is_a_place_and_how_far_the_line_moves() {
        for (line, at, moved) in [
            ("3 out 1/8", "3", "out 1/8"),
            ("3 in out 1/8 in", "3 in", "out 1/8 in"),
            ("3 in in 1/8", "3 in", "in 1/8"),
            ("3 1/2: In 1/8", "3 1/2", "in 1/8"),
            ("0", "0", "0"),
            ("0 0", "0", "0"),
            ("6 0", "6", "0"),
            ("6 in", "6 in", "0"),
            ("6 in 0", "6", "in 0"),
            ("10", "10", "0"),
            ("50 %", "50 %", "0"),
        ] {
            assert_eq!(point(line), (at.to_owned(), moved.to_owned()), "{line}");
        }
    }
}
