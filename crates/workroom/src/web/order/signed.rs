//! A sign-off, and what it was given for: the draft by its mark, or a quote. What was signed stays as
//! it was; when the draft or the quote is another one by now, that is said beside it.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Change, OrderNo, VersionLine};
use draft::Worked;
use lay::Money;
use measure::Date;
use serde::{Deserialize, Serialize};

use super::change::{hold, several};
use super::{Held, Sent, sent, view};
use crate::web::parts::day;
use crate::web::quote;
use crate::web::room::Room;
use crate::web::trouble::Trouble;
use crate::web::working::OnTable;

/// The key of her words, and of what they were given for.
pub(super) const TEXT: &str = "signed";
pub(super) const OF: &str = "signed/for";

/// What a sign-off was given for.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Of {
    /// The draft's mark at that moment; empty when the draft was not signed for, or could not be drawn.
    mark: String,
    /// The version of its paper, where one was made.
    #[serde(skip_serializing_if = "Option::is_none")]
    version: Option<u32>,
    /// It was the toile.
    #[serde(skip_serializing_if = "is_no")]
    toile: bool,
    /// The quote that was signed for, and what it came to.
    #[serde(skip_serializing_if = "Option::is_none")]
    quote: Option<u32>,
    #[serde(skip_serializing_if = "String::is_empty")]
    total: String,
    /// What was signed before, the latest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    earlier: Vec<Earlier>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it so")]
const fn is_no(flag: &bool) -> bool {
    !*flag
}

/// A sign-off that another one came after.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Earlier {
    text: String,
    #[serde(rename = "for", skip_serializing_if = "Option::is_none")]
    of: Option<Of>,
}

impl Of {
    /// What it is for, in words; nothing when that was not kept.
    pub(crate) fn words(&self) -> String {
        let draft = match (self.mark.is_empty(), self.version) {
            (true, _) => String::new(),
            (false, None) => format!("mark {}", self.mark),
            (false, Some(number)) => format!("mark {} (version {number})", self.mark),
        };
        let draft = if self.toile && !draft.is_empty() {
            format!("the toile, {draft}")
        } else {
            draft
        };
        let quote = match (self.quote, self.total.is_empty()) {
            (None, _) => String::new(),
            (Some(number), true) => format!("quote {number}"),
            (Some(number), false) => format!("quote {number}, {}", self.total),
        };
        let both = [draft, quote];
        let said: Vec<&str> = both
            .iter()
            .map(String::as_str)
            .filter(|s| !s.is_empty())
            .collect();
        said.join(", and ")
    }

    /// What it is for, from the page under which an order holds it.
    pub(crate) fn read(page: &str) -> Option<Self> {
        serde_json::from_str(page).ok()
    }

    /// It says for what it was given.
    const fn known(&self) -> bool {
        !self.mark.is_empty() || self.quote.is_some()
    }
}

impl Earlier {
    pub(super) fn told(&self) -> String {
        told(&self.text, self.of.as_ref())
    }
}

fn told(text: &str, of: Option<&Of>) -> String {
    match of.filter(|of| of.known()) {
        Some(of) => format!("{text}, for {}", of.words()),
        None => text.to_owned(),
    }
}

/// A sign-off that stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Signed {
    text: String,
    of: Option<Of>,
}

impl Signed {
    /// The sign-off that an order holds.
    pub(super) fn read(holds: &BTreeMap<String, String>) -> Option<Self> {
        let text = holds.get(TEXT).filter(|t| !t.trim().is_empty())?.clone();
        let of = holds.get(OF).and_then(|page| Of::read(page));
        Some(Self { text, of })
    }

    /// Who was content, when, and with what.
    pub(super) fn told(&self) -> String {
        told(&self.text, self.of.as_ref())
    }

    /// What it was given for is known.
    pub(super) fn known(&self) -> bool {
        self.of.as_ref().is_some_and(Of::known)
    }

    pub(super) fn earlier(&self) -> &[Earlier] {
        self.of.as_ref().map_or(&[], |of| &of.earlier)
    }

    /// What is another now than it was then, a sentence each; nothing when all is as it was signed, or
    /// when it is not known what was signed.
    pub(super) fn since(&self, now: &Now) -> Vec<String> {
        let Some(of) = &self.of else {
            return Vec::new();
        };
        let mut out = Vec::new();
        if !of.mark.is_empty() && now.mark.as_deref() != Some(&of.mark) {
            if of.toile != now.toile {
                out.push(
                    if of.toile {
                        "That was the toile; it is in the cloth now."
                    } else {
                        "That was in the cloth; it is a toile now."
                    }
                    .to_owned(),
                );
            }
            if of.toile == now.toile || now.other.as_deref() != Some(&of.mark) {
                out.push(match &now.mark {
                    Some(mark) => format!("The draft was changed since: its mark is {mark} now."),
                    None => "The draft was changed since, and can’t be drawn as it is.".to_owned(),
                });
            }
        }
        if let Some(signed) = of.quote {
            match &now.quote {
                Some(quote) if quote.number != signed => {
                    out.push(format!("Quote {} was given since.", quote.number));
                }
                Some(quote) if quote.changed => {
                    out.push("The quote was changed since.".to_owned());
                }
                _ => {}
            }
        }
        out
    }
}

/// The newest quote that was given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct QuoteNow {
    pub(super) number: u32,
    pub(super) total: String,
    /// What is typed now is not what was given.
    pub(super) changed: bool,
}

/// What an order comes to now: what a sign-off is held against, and what one would be given for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Now {
    /// The draft's mark; none where it can't be drawn.
    pub(super) mark: Option<String>,
    /// The newest version of paper with this mark.
    pub(super) version: Option<u32>,
    pub(super) toile: bool,
    /// Its mark at the other stage, where the sign-off was given for that.
    other: Option<String>,
    pub(super) quote: Option<QuoteNow>,
}

impl Now {
    /// What an order is now: its draft worked already, its sign-off read and its paper found, as
    /// [`OnTable::paper`] finds it.
    pub(super) fn of(
        on: &OnTable,
        worked: &Worked,
        signed: Option<&Signed>,
        paper: Option<(&VersionLine, bool)>,
        quotes: &[book::Quote],
    ) -> Self {
        let drawn = |on: &OnTable, worked: &Worked| {
            on.card_row.is_some() && on.in_the_way(worked).is_empty()
        };
        let sound = drawn(on, worked);
        let printed = paper.filter(|(_, changed)| sound && !changed);
        let printed = printed.map(|(version, _)| version);
        let mark = match printed {
            Some(version) => Some(version.mark.clone()),
            None => sound.then(|| on.job().version(worked)),
        };
        let toile = on.toile_first();
        let of = signed.and_then(|s| s.of.as_ref());
        let other = of
            .filter(|of| !of.mark.is_empty() && of.toile != toile)
            .and_then(|_| {
                let other = if toile {
                    on.in_the_cloth()
                } else {
                    on.as_toile()
                };
                let worked = other.redraw();
                drawn(&other, &worked).then(|| other.job().version(&worked))
            });
        Self {
            version: printed.map(|v| v.number.0),
            toile,
            other,
            quote: quotes.first().map(|q| QuoteNow {
                number: q.number.0,
                total: Money::new(q.kept.total, &q.kept.currency)
                    .map_or_else(String::new, |m| m.to_string()),
                changed: quote::changed_since(&on.holds, q),
            }),
            mark,
        }
    }

    /// What a sign-off that is given now is for: `draft`, `quote` or `both`.
    fn signed_for(&self, what: &str) -> Of {
        let draft = what != "quote" || self.quote.is_none();
        let quote = self.quote.as_ref().filter(|_| what != "draft");
        Of {
            mark: self.mark.clone().filter(|_| draft).unwrap_or_default(),
            version: self.version.filter(|_| draft),
            toile: draft && self.toile,
            quote: quote.map(|q| q.number),
            total: quote.map_or_else(String::new, |q| q.total.clone()),
            earlier: Vec::new(),
        }
    }
}

/// The sign-off as it is sent: her words, or what is still to be said.
fn words(form: &Sent) -> Result<String, (String, String)> {
    let who = sent(form, "who");
    if who.is_empty() {
        let says = "Whose word is it? Her name, or that of who consents for her.";
        return Err(("who".into(), says.to_owned()));
    }
    match sent(form, "on") {
        "" => Ok(who.to_owned()),
        on => match Date::read(on) {
            Some(on) => Ok(format!("{who}, {}", day::long(on))),
            None => {
                let says = "On which day? As in 2026-12-31, or leave it out.";
                Err(("on".into(), says.to_owned()))
            }
        },
    }
}

/// She is content: it is kept with what it is for. What she signed before stays behind it.
pub(super) async fn sign(
    room: &Arc<Room>,
    order: OrderNo,
    form: Sent,
    today: Date,
) -> Result<Response, Trouble> {
    let held = room
        .book(move |book| Held::load(book, order, today))
        .await?;
    if held.closed() {
        return Err(book::Trouble::Closed.into());
    }
    let held = room.work(move || held.looked()).await?;
    let now = &held.now;
    let seen = sent(&form, "mark");
    let is = now.mark.as_deref().unwrap_or_default();
    let what = match sent(&form, "what") {
        "" => "draft",
        what => what,
    };
    let quoted = now.quote.as_ref().map(|quote| quote.number.to_string());
    let read = match words(&form) {
        // She signs what she sees: the page that asked was of this very draft.
        Ok(_) if form.contains_key("mark") && seen != is => Err((
            "what".to_owned(),
            "The draft was changed in another window since this page was opened. Look at it, then write it down."
                .to_owned(),
        )),
        // Nor a price that she did not see.
        Ok(_) if what != "draft"
            && form.contains_key("quote")
            && sent(&form, "quote") != quoted.as_deref().unwrap_or_default() => Err((
            "what".to_owned(),
            "Another quote was given since this page was opened. Look at it, then write it down."
                .to_owned(),
        )),
        other => other,
    };
    let text = match read {
        Ok(text) => text,
        Err(fault) => {
            let page = view::page(&held, &form, &[fault]);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let mut of = now.signed_for(what);
    if let Some(before) = held.signed.clone() {
        let same = before.text == text
            && before.of.as_ref().is_some_and(|b| {
                Of {
                    earlier: Vec::new(),
                    ..b.clone()
                } == of
            });
        of.earlier = before.earlier().to_vec();
        if !same {
            let alone = before.of.map(|b| Of {
                earlier: Vec::new(),
                ..b
            });
            let text = before.text;
            of.earlier.insert(0, Earlier { text, of: alone });
        }
    }
    let label = format!("Signed off: {}", told(&text, Some(&of)));
    room.book(move |book| {
        let page = serde_json::to_string(&of).unwrap_or_default();
        let changes = [hold(TEXT, Some(text)), hold(OF, Some(page))];
        let said = several(
            book,
            order,
            &form,
            ("The sign-off", &label),
            &changes,
            told_of,
        )?;
        Ok(Redirect::to(&format!("/orders/{order}?said={said}")).into_response())
    })
    .await
}

/// The sign-off among the changes that were asked for, or that an order holds, in words.
pub(super) fn told_of(_: &book::Book, holds: &BTreeMap<String, String>) -> String {
    Signed::read(holds).map_or_else(String::new, |s| s.told())
}

/// The last sign-off is taken off; one that was given before stands again.
pub(super) fn off(holds: &BTreeMap<String, String>) -> [Change; 2] {
    let mut earlier = Signed::read(holds).map_or_else(Vec::new, |s| s.earlier().to_vec());
    if earlier.is_empty() {
        return [hold(TEXT, None), hold(OF, None)];
    }
    let back = earlier.remove(0);
    let of = Of {
        earlier,
        ..back.of.unwrap_or_default()
    };
    let page = serde_json::to_string(&of).unwrap_or_default();
    let page = (of != Of::default()).then_some(page);
    [hold(TEXT, Some(back.text)), hold(OF, page)]
}

#[cfg(test)]
mod tests;
