//! A pin: written down, and then either a correction of its edges or a changed choice.

use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::Redirect;
use book::{Change, Counted, FittingNo, NewPin, OrderNo, Pin, Side};
use draft::pinned;
use draft::sided::{bare, side_of};
use maud::{Markup, html};
use measure::{Length, fraction};
use serde::{Deserialize, Serialize};

use super::super::card_text::quoted;
use super::super::parts::number::told;
use super::super::room::Room;
use super::super::trouble::Trouble;
use super::super::visit;
use super::super::working::OnTable;
use super::{Table, id, table};

/// Where a pin is, as the book keeps it.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(crate) struct Where {
    piece: String,
    edge: String,
    from: String,
    to: String,
    /// How deep at the first place, halfway, at the second, as typed; empty where nothing was.
    depths: [String; 3],
    unit: String,
    /// The edge it is sewn to moves too.
    partner: bool,
}

impl Where {
    fn of(pin: &Pin) -> Self {
        serde_json::from_str(&pin.pin.place).unwrap_or_default()
    }

    /// The depths as amounts an edge moves by: taken in is below nothing.
    fn amounts(&self, pin: &NewPin) -> Option<[Option<Length>; 3]> {
        let unit = if self.unit == "cm" {
            fraction::Unit::Cm
        } else {
            fraction::Unit::Inch
        };
        let counted = match pin.counted {
            Counted::Each => pinned::Counted::Each,
            Counted::InAll => pinned::Counted::InAll,
        };
        let mut out = [None; 3];
        for (text, amount) in self.depths.iter().zip(&mut out) {
            if !text.trim().is_empty() {
                let depth = fraction::read(text.trim(), Some(unit)).ok()?;
                let signed = if pin.action == "let out" {
                    depth
                } else {
                    -depth
                };
                *amount = Some(pinned::each_edge(signed, counted));
            }
        }
        Some(out)
    }
}

/// Whether what a pin became still lies over the draft: it may have been taken off, or taken back.
fn lives(on: &OnTable, pin: &Pin) -> bool {
    on.holds.contains_key(&pin.became)
}

/// A pin in the list, and what can be made of it.
pub(crate) fn line(table: &Table, base: &str, pin: &Pin) -> Markup {
    let at = Where::of(pin);
    let p = &pin.pin;
    let counted = match p.counted {
        Counted::Each => "each side",
        Counted::InAll => "in all",
    };
    let side = match p.side {
        Side::Both => "",
        Side::Left => ", her left only",
        Side::Right => ", her right only",
    };
    html! {
        div.made {
            p {
                (check::told::capital(&at.piece)) ", " (at.edge) ": "
                @if p.action == "note" { (p.words) } @else {
                    (p.action) " " (told(&p.depth)) " " (counted) ", " (at.from) " to " (at.to) (side) "."
                    @if !p.words.is_empty() { " " (p.words) }
                }
                @if p.on_cloth { " Marked on the cloth." }
            }
            @let lives = lives(&table.on, pin);
            @if lives {
                p.help { @if pin.became.starts_with("choice/") { "It became a changed choice." } @else { "It became a correction over the draft." } }
            } @else if p.action != "note" {
                @if let Some(all) = at.amounts(p) {
                    @let most = all.iter().flatten().map(|l| l.abs()).fold(Length::ZERO, |a, b| if b > a { b } else { a });
                    @let seams = if p.side == Side::Both { 2.0 } else { 1.0 };
                    // Half of three eighths is no eighth.
                    @let fine = table.on.shown.finely();
                    p.help { "Each edge moves " (told(&fraction::show(most, fine))) " at most; round her that is "
                        (told(&fraction::show(most * (2.0 * seams), fine)))
                        @if p.side == Side::Both { " where the seam is on both sides." } @else { "." } }
                }
                form method="post" action={ (base) "/pins/" (pin.id) "/correct" } { p.presses { button.press.main { "Correct the paper" } } }
                details.fold {
                    summary { "Or change a choice of the method" }
                    form.plainform method="post" action={ (base) "/pins/" (pin.id) "/choose" } {
                        label for={ "choice-" (pin.id) } { "Choice"
                            select.box id={ "choice-" (pin.id) } name="choice" {
                                @for c in table.worked.choices.iter().filter(|c| c.offered) {
                                    option value=(c.name) { (check::told::capital(&c.label)) ", now " (c.value.shown(table.on.shown)) }
                                }
                            }
                        }
                        label for={ "value-" (pin.id) } { "To" input.box id={ "value-" (pin.id) } name="value" type="text" required autocomplete="off"; }
                        button.press { "Change it" }
                    }
                }
            }
            // It leaves no trace: that is done at the computer.
            @if !lives && !visit::now().phone {
                form method="post" action={ (base) "/pins/" (pin.id) "/drop" } { button.press.quiet { "Strike it out" } }
            }
        }
    }
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Pinned {
    pub(super) at: String,
    pub(super) from: String,
    pub(super) to: String,
    pub(super) action: String,
    pub(super) start: String,
    pub(super) middle: String,
    pub(super) end: String,
    pub(super) counted: String,
    pub(super) side: String,
    pub(super) partner: Option<String>,
    pub(super) on_cloth: Option<String>,
    pub(super) words: String,
}

pub(crate) async fn add(
    State(room): State<Arc<Room>>,
    Path((order, fitting)): Path<(u32, u32)>,
    Form(pinned): Form<Pinned>,
) -> Result<Redirect, Trouble> {
    let table = table(&room, order).await?;
    let base = format!("/orders/{order}/fittings/{fitting}");
    let unclear = |says: String| {
        Trouble::unclear(says.replace('`', ""))
            .back(
                format!(
                    "{base}?at={}#pin",
                    super::super::parts::link::escaped(&pinned.at)
                ),
                "Back to the pin",
            )
            // Nothing that was typed is lost: the form stands here again as it was sent.
            .with(super::form::pin_form(
                &table,
                &base,
                Some(&pinned.at),
                Some(&pinned),
            ))
    };
    let (piece, edge) = table
        .edge(&pinned.at)
        .ok_or_else(|| unclear("Choose the edge first.".into()))?;
    let unit = table.on.shown.unit;
    let depths = [&pinned.start, &pinned.middle, &pinned.end].map(|d| d.trim().to_owned());
    let mut said = Vec::new();
    for depth in depths.iter().filter(|d| !d.is_empty()) {
        let length = fraction::read(depth, Some(unit))
            .map_err(|why| unclear(format!("{} {}", why.says, why.hint)))?;
        if length < Length::ZERO || length.in_inches() > pinned::DEEPEST {
            return Err(unclear(format!(
                "A pin is between nothing and {} deep; taken in or let out is said beside it.",
                fraction::show(Length::inches(pinned::DEEPEST), table.on.shown)
            )));
        }
        said.push(fraction::show(length, table.on.shown));
    }
    let note = pinned.action == "note";
    if pinned.from.trim() == pinned.to.trim() && !note {
        return Err(unclear(
            "It goes from one place to the same place. Choose another for From or To: what was pinned wants some way between them.".into(),
        ));
    }
    if said.is_empty() && !note {
        return Err(unclear(
            "Say how deep it was pinned, at one place at least.".into(),
        ));
    }
    let counted = match pinned.counted.as_str() {
        "each" => Counted::Each,
        "in all" => Counted::InAll,
        _ if note => Counted::Each,
        _ => return Err(unclear("Say how it was counted: each side, or in all. It is twice as much the one way as the other.".into())),
    };
    let at = Where {
        piece: piece.name.clone(),
        edge: edge.name.clone(),
        from: pinned.from.clone(),
        to: pinned.to.clone(),
        depths,
        unit: unit.sign().to_owned(),
        partner: pinned.partner.is_some(),
    };
    let new = NewPin {
        place: serde_json::to_string(&at).map_err(|_| Trouble::broken())?,
        side: Side::read(&pinned.side).unwrap_or(Side::Both),
        action: match pinned.action.as_str() {
            "let out" => "let out",
            "note" => "note",
            _ => "take in",
        }
        .to_owned(),
        depth: said.join(", "),
        counted,
        words: pinned.words.trim().to_owned(),
        on_cloth: pinned.on_cloth.is_some(),
    };
    let by = visit::now().by;
    room.book(move |book| {
        book.add_pin(OrderNo(order), FittingNo(fitting), &new, &by)?;
        Ok(())
    })
    .await?;
    Ok(Redirect::to(&format!("{base}?said=kept")))
}

async fn find(room: &Arc<Room>, order: u32, fitting: u32, pin: &str) -> Result<Pin, Trouble> {
    let wanted = id(pin)?;
    room.book(move |book| {
        book.pins(OrderNo(order), FittingNo(fitting))?
            .into_iter()
            .find(|p| p.id == wanted)
            .ok_or_else(|| Trouble::missing("such pin"))
    })
    .await
}

/// The page of corrections that a pin becomes: its edge, and the edges it is sewn to.
fn corrections(table: &Table, at: &Where, pin: &NewPin) -> Result<String, String> {
    let amounts = at
        .amounts(pin)
        .ok_or("The depth of this pin can’t be read any more.")?;
    let wanted = match pin.side {
        Side::Both => draft::correction::Side::Both,
        Side::Left => draft::correction::Side::Left,
        Side::Right => draft::correction::Side::Right,
    };
    let line = |name: &str, amount: Option<Length>| {
        amount
            .map(|l| format!("{name} = \"{:.4} mm\"\n", l.in_mm()))
            .unwrap_or_default()
    };
    let amounts = format!(
        "{}{}{}",
        line("start", amounts[0]),
        line("middle", amounts[1]),
        line("end", amounts[2])
    );
    let mut edges = vec![(at.piece.clone(), at.edge.clone())];
    if at.partner {
        // As the draft has it: her left and her right are one there.
        let plain =
            |e: &draft::worked::EdgeName| (bare(&e.piece).0.to_owned(), bare(&e.edge).0.to_owned());
        let is_it = |e: &draft::worked::EdgeName| plain(e) == edges[0];
        let mut others = Vec::new();
        for seam in &table.worked.seams {
            let other = match (seam.a.iter().any(is_it), seam.b.iter().any(is_it)) {
                (true, true) => continue,
                (true, _) => &seam.b,
                (_, true) => &seam.a,
                _ => continue,
            };
            others.extend(other.iter().map(plain));
        }
        for (piece, edge) in others {
            // What was copied from the piece follows by itself.
            let origins = table.worked.origins.iter().enumerate();
            let copied = origins
                .filter(|(i, _)| table.worked.of(*i) == piece)
                .any(|(_, o)| o.copied_from.iter().any(|f| bare(f).0 == at.piece));
            let elsewhere = wanted != draft::correction::Side::Both
                && side_of(&table.worked, &piece, &edge)
                    .is_none_or(|s| s != draft::correction::Side::Both && s != wanted);
            let name = (piece, edge);
            if !copied && !elsewhere && !edges.contains(&name) {
                edges.push(name);
            }
        }
    }
    let mut out = format!("unit = \"{}\"\n", at.unit);
    for (i, (piece, edge)) in edges.iter().enumerate() {
        // The partner's places have names of its own: where hers are not there it is counted along it.
        let named = |place: &str| i == 0 || has(table, piece, edge, place);
        let from = if named(&at.from) {
            at.from.as_str()
        } else {
            "start"
        };
        let to = if named(&at.to) { at.to.as_str() } else { "end" };
        out.push_str(&format!(
            "\n[[correction]]\npiece = {}\nedge = {}\nfrom = {}\nto = {}\n{amounts}{}{}",
            quoted(piece),
            quoted(edge),
            quoted(from),
            quoted(to),
            super::form::side(pin.side),
            super::form::words(&pin.words)
        ));
    }
    Ok(out)
}

fn has(table: &Table, piece: &str, edge: &str, place: &str) -> bool {
    let all = table.worked.drafted();
    let Some(piece) = all.into_iter().find(|p| p.name == piece) else {
        return false;
    };
    draft::correction::places(piece, edge)
        .iter()
        .any(|p| super::form::written(&p.place, table) == place)
}

pub(crate) async fn correct(
    State(room): State<Arc<Room>>,
    Path((order, fitting, pin)): Path<(u32, u32, String)>,
) -> Result<Redirect, Trouble> {
    let table = table(&room, order).await?;
    let base = format!("/orders/{order}/fittings/{fitting}");
    let pin = find(&room, order, fitting, &pin).await?;
    let at = Where::of(&pin);
    let unclear = |says: String| Trouble::unclear(says).back(base.clone(), "Back to the fitting");
    let text = corrections(&table, &at, &pin.pin).map_err(unclear)?;
    if let Err(faults) = crate::corrections::read(&text) {
        let says: Vec<String> = faults
            .iter()
            .map(|f| format!("{} {}", f.says, f.hint))
            .collect();
        return Err(unclear(says.join(" ")));
    }
    let label = format!(
        "{} of {} {} {}",
        at.edge, at.piece, pin.pin.action, pin.pin.depth
    );
    let by = visit::now().by;
    room.book(move |book| {
        let key = format!("correction/{}", pin.id);
        let change = Change {
            key: key.clone(),
            after: Some(text),
        };
        book.change(OrderNo(order), None, &label, &by, &[change])?;
        book.pin_became(OrderNo(order), pin.id, &key)?;
        Ok(())
    })
    .await?;
    Ok(Redirect::to(&format!("{base}?said=kept")))
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Chosen {
    choice: String,
    value: String,
}

pub(crate) async fn choose(
    State(room): State<Arc<Room>>,
    Path((order, fitting, pin)): Path<(u32, u32, String)>,
    Form(chosen): Form<Chosen>,
) -> Result<Redirect, Trouble> {
    let table = table(&room, order).await?;
    let base = format!("/orders/{order}/fittings/{fitting}");
    let pin = find(&room, order, fitting, &pin).await?;
    let choice = table
        .worked
        .choices
        .iter()
        .find(|c| c.name == chosen.choice)
        .ok_or_else(|| {
            Trouble::unclear("Choose one of the method’s choices.")
                .back(base.clone(), "Back to the fitting")
        })?;
    let value = super::super::table::hand::understood(&choice.value, &chosen.value, table.on.shown);
    if value.is_empty() {
        return Err(
            Trouble::unclear("Say to what it is changed.").back(base, "Back to the fitting")
        );
    }
    let key = format!("choice/{}", choice.name);
    let label = format!("{} to {value}, after the fitting", choice.label);
    let by = visit::now().by;
    room.book(move |book| {
        let change = Change {
            key: key.clone(),
            after: Some(value),
        };
        book.change(OrderNo(order), None, &label, &by, &[change])?;
        book.pin_became(OrderNo(order), pin.id, &key)?;
        Ok(())
    })
    .await?;
    Ok(Redirect::to(&format!("{base}?said=kept")))
}

pub(crate) async fn drop_it(
    State(room): State<Arc<Room>>,
    Path((order, fitting, pin)): Path<(u32, u32, String)>,
) -> Result<Redirect, Trouble> {
    let wanted = id(&pin)?;
    let (number, no) = (OrderNo(order), FittingNo(fitting));
    room.book(move |book| {
        let all = book.pins(number, no)?;
        let pin = all
            .into_iter()
            .find(|p| p.id == wanted)
            .ok_or_else(|| Trouble::missing("such pin"))?;
        if !pin.became.is_empty() {
            // Another window made something of it meanwhile.
            if lives(&OnTable::load(book, number)?, &pin) {
                return Err(became(&pin).back(
                    format!("/orders/{order}/fittings/{fitting}"),
                    "Back to the fitting",
                ));
            }
            book.pin_became(number, wanted, "")?;
        }
        Ok(book.drop_pin(number, wanted)?)
    })
    .await?;
    Ok(Redirect::to(&format!(
        "/orders/{order}/fittings/{fitting}?said=gone"
    )))
}

/// A pin of which something was made is not struck out.
fn became(pin: &Pin) -> Trouble {
    let (title, says) = if pin.became.starts_with("choice/") {
        (
            "It is a changed choice of the method now.",
            "Set that choice back on the draft first; then this pin can be struck out.",
        )
    } else {
        (
            "It is a correction now.",
            "Take that off first; then this pin can be struck out.",
        )
    };
    Trouble::new(StatusCode::CONFLICT, title, says)
}
