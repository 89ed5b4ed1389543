//! What a press on the table asks of the order, and what comes of it: the change is kept, or the method
//! can't take the value, or two windows changed one choice.

use std::collections::BTreeMap;
use std::sync::Arc;

use book::{Change, OrderNo};
use draft::Worked;
use draft::worked::ChoiceUsed;
use maud::{Markup, html};
use measure::fraction::Shown;

use super::looked::known;
use super::{hand, load};
use crate::web::backs::{self, Way};
use crate::web::parts::apart;
use crate::web::parts::number::told;
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::visit;
use crate::web::working::OnTable;

/// What a press on the table sends.
#[derive(Clone, Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Pressed {
    seen: Option<u64>,
    pub(super) choice: String,
    /// What stood in the box, and where the slide was, when the page was made.
    was: String,
    at: Option<f64>,
    /// The kind of its value: length, share, ...
    pub(super) kind: String,
    pub(super) value: Option<String>,
    slide: Option<f64>,
    pub(super) r#do: String,
    /// The lines of the journal that the buttons named.
    back: Option<u64>,
    again: Option<u64>,
    pub(super) cure: Option<String>,
    pub(super) view: String,
    pub(super) hide: String,
}

/// What a press asks for, as changes of what the order holds, and their label.
fn asked_for(on: &OnTable, worked: &Worked, pressed: &Pressed) -> Option<(String, Vec<Change>)> {
    if let Some((choice, value)) = pressed.cure.as_deref().and_then(|c| c.split_once('=')) {
        let value = Some(value).filter(|v| !v.is_empty());
        return Some(change(on, worked, choice, value));
    }
    let choice = worked.choices.iter().find(|c| c.name == pressed.choice)?;
    let value = match pressed.r#do.as_str() {
        "usual" => return Some(change(on, worked, &choice.name, None)),
        way @ ("less" | "more") => a_step(on, choice, pressed, way == "more"),
        _ => typed(choice, pressed, on.shown),
    };
    let value = value.filter(|v| !v.is_empty())?;
    if value == hand::kept(&choice.value, on.shown) {
        return None;
    }
    Some(change(on, worked, &choice.name, Some(&value)))
}

/// What the box says; where it was left and the slide was moved, what the slide says. Both are held against
/// the page they stood on, for what is kept may have moved on since.
fn typed(choice: &ChoiceUsed, pressed: &Pressed, shown: Shown) -> Option<String> {
    let text = pressed.value.as_deref().unwrap_or_default().trim();
    let step = hand::slide(choice, shown).map(|s| s.step);
    let slid = pressed.slide.zip(pressed.at).zip(step);
    match slid {
        Some(((to, from), step)) if text == pressed.was && (to - from).abs() > step / 2.0 => {
            hand::written(&choice.value, to, shown)
        }
        _ => Some(hand::understood(&choice.value, text, shown)),
    }
}

/// A step from what stands in the box, which may not be kept yet. If the method can't take that, it is the
/// value itself: she is told why.
fn a_step(on: &OnTable, choice: &ChoiceUsed, pressed: &Pressed, more: bool) -> Option<String> {
    let stands = typed(choice, pressed, on.shown)
        .filter(|v| !v.is_empty() && *v != hand::kept(&choice.value, on.shown));
    let Some(stands) = stands else {
        return hand::stepped(choice, on.shown, more);
    };
    let there = on.clone().with(&choice.name, &stands).redraw();
    match there.choices.iter().find(|c| c.name == choice.name) {
        Some(choice) => hand::stepped(choice, on.shown, more),
        None => Some(stands),
    }
}

fn change(
    on: &OnTable,
    worked: &Worked,
    choice: &str,
    value: Option<&str>,
) -> (String, Vec<Change>) {
    let known = worked.choices.iter().find(|c| c.name == choice);
    let label = known.map_or(choice, |c| c.label.as_str());
    let was = known
        .map(|c| hand::kept(&c.value, on.shown))
        .unwrap_or_default();
    let to = value
        .map(str::to_owned)
        .or_else(|| known.map(|c| hand::kept(&c.usual, on.shown)))
        .unwrap_or_default();
    let change = Change {
        key: format!("choice/{choice}"),
        after: value.map(str::to_owned),
    };
    let says = if known.is_some() {
        format!("{label} {was} to {to}")
    } else {
        format!("{label} as the method has it")
    };
    (says, vec![change])
}

/// What came of a press.
pub(super) enum Came {
    Changed,
    Nothing,
    /// The method can't take this value: why, and what was typed.
    Refused(Refused),
}

/// A value that the method can't take. It is not kept, and not lost: it stands in its box.
pub(crate) struct Refused {
    pub(super) says: String,
    pub(super) typed: String,
}

/// Why a method can't take a value, if it can't.
fn refused(on: OnTable, changes: &[Change], typed: &str) -> Option<Refused> {
    let [
        Change {
            key,
            after: Some(value),
        },
    ] = changes
    else {
        return None;
    };
    let name = key.strip_prefix("choice/")?;
    let tried = on.with(name, value);
    let worked = tried.redraw();
    if known(&worked, name) {
        return None;
    }
    let faults = tried.in_the_way(&worked);
    let about = faults.iter().find(|f| f.contains(&format!("`{name}`")));
    Some(Refused {
        says: about.or(faults.first())?.clone(),
        typed: typed.to_owned(),
    })
}

/// Does what was pressed; and what came of it.
pub(super) async fn done(room: &Arc<Room>, order: u32, pressed: Pressed) -> Result<Came, Trouble> {
    let came = |done: bool| if done { Came::Changed } else { Came::Nothing };
    let number = OrderNo(order);
    let who = visit::now().by;
    if let Some(way) = Way::of(&pressed.r#do) {
        let at = match way {
            Way::Back => pressed.back,
            Way::Again => pressed.again,
        };
        let here = format!("/orders/{order}/draft");
        return room
            .book(move |book| backs::turn(book, number, way, at, &here))
            .await
            .map(came);
    }
    let on = load(room, order).await?;
    let seen = pressed.seen;
    let wanted = room
        .work(move || {
            let worked = on.redraw();
            let (label, changes) = asked_for(&on, &worked, &pressed)?;
            let typed = pressed.value.as_deref().unwrap_or_default();
            Some(match refused(on, &changes, typed) {
                Some(refused) => Err(refused),
                None => Ok((label, changes)),
            })
        })
        .await?;
    let (label, changes) = match wanted {
        None => return Ok(Came::Nothing),
        Some(Err(refused)) => return Ok(Came::Refused(refused)),
        Some(Ok(wanted)) => wanted,
    };
    let mine = changes.clone();
    let kept = room
        .book(
            move |book| match book.change(number, seen, &label, &who, &changes) {
                Err(book::Trouble::Moved { now }) => {
                    let holds = book.holds(number)?;
                    Ok(Err((now, holds)))
                }
                other => Ok(Ok(other?)),
            },
        )
        .await?;
    match kept {
        Ok(_) => Ok(Came::Changed),
        Err((now, holds)) => Err(both(order, now, &mine, &holds)),
    }
}

/// A value of one of two windows: marked where the other has another one.
fn cell(value: &str, alike: bool) -> Markup {
    let value = told(value);
    let value = if alike {
        html! { (value) " " span.help { "the same in both" } }
    } else {
        value
    };
    apart::cell(value, alike)
}

/// Two windows changed the same choice: both values, to keep one.
fn both(order: u32, now: u64, mine: &[Change], holds: &BTreeMap<String, String>) -> Trouble {
    let action = format!("/orders/{order}/draft");
    Trouble::moved("Here are both. Nothing is lost: keep the one you want.")
        .back(action.clone(), "Keep theirs, and go on")
        .with(html! {
            @for change in mine {
                @let name = change.key.strip_prefix("choice/").unwrap_or(&change.key);
                @let value = change.after.as_deref().unwrap_or("as the method has it");
                @let there = holds.get(&change.key).map_or("as the method has it", String::as_str);
                @let alike = value == there;
                table {
                    caption.vh { "The two values" }
                    tbody {
                        tr { th scope="row" { "Yours, " (name) } td { (cell(value, alike)) } }
                        tr { th scope="row" { "Theirs, " (name) } td { (cell(there, alike)) } }
                    }
                }
                form method="post" action=(action) {
                    input type="hidden" name="seen" value=(now);
                    input type="hidden" name="cure" value={ (name) "=" (change.after.as_deref().unwrap_or("")) };
                    button.press.main { "Keep mine: " (told(value)) }
                }
            }
        })
}
