//! An order as it lies on the table: its card, its method and its choices, ready to be worked.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};

use book::{Book, Id, OrderNo, VersionLine, VersionNo};
use check::{Finding, Measured};
use draft::{Correction, Worked};
use lay::Cloth;
use measure::Card;
use measure::fraction::{Fineness, Shown, Unit};
use measure::names;
use sheet::words::Words;

use super::allowed::Allowed;
use super::calm_lock;
use super::card_text::{self, CardWords};
use super::trouble::Trouble;
use crate::finding;
use crate::job::{Job, Opened, Set};
use crate::shelf::{self, Taken};

/// So many methods stay read: reading one again takes longer than drawing it.
const STAY: usize = 24;

/// Why an order without a card is not drawn.
pub(crate) const NO_CARD: &str = "This order has no card yet. Choose one of hers, or measure her.";

/// A method that was read and looked through.
#[derive(Debug)]
pub(crate) struct Kept {
    pub(crate) taken: Taken,
    /// What is wrong in its text.
    pub(crate) notes: Vec<draft::Note>,
}

static READ: Mutex<Vec<Arc<Kept>>> = Mutex::new(Vec::new());

/// A method's texts, read; those that were read lately are not read again.
pub(crate) fn reading(name: &str, text: &str, others: &[String]) -> Arc<Kept> {
    let mut all = calm_lock(&READ);
    let is_it =
        |k: &Arc<Kept>| k.taken.name == name && k.taken.text == text && k.taken.others == others;
    if let Some(at) = all.iter().position(is_it) {
        let found = all.remove(at);
        all.push(Arc::clone(&found));
        return found;
    }
    drop(all);
    let taken = Taken::kept(name.to_owned(), text.to_owned(), others.to_vec());
    let notes = draft::check(&taken.reading, &taken.library);
    let kept = Arc::new(Kept { taken, notes });
    let mut all = calm_lock(&READ);
    if all.len() >= STAY {
        all.remove(0);
    }
    all.push(Arc::clone(&kept));
    kept
}

/// An order on the table.
#[derive(Clone, Debug)]
pub(crate) struct OnTable {
    pub(crate) order: book::Order,
    pub(crate) client: book::Client,
    /// Her card in the book; none when the order has none yet.
    pub(crate) card_row: Option<book::Card>,
    pub(crate) holds: BTreeMap<String, String>,
    pub(crate) opened: Opened,
    pub(crate) method: Arc<Kept>,
    pub(crate) set: Set,
    /// The cloth of the outside.
    pub(crate) cloth: Option<Cloth>,
    /// Corrections of its fittings, each under its key `correction/<id>`.
    pub(crate) corrections: Vec<Correction>,
    /// Which allowances it is worked with.
    pub(crate) allowed: Allowed,
    pub(crate) shown: Shown,
    /// The language of its papers, as set.
    pub(crate) words: &'static Words,
    /// What she set: a missing measure is reckoned from the others.
    pub(crate) predict: bool,
    pub(crate) take_back: Option<String>,
    pub(crate) put_again: Option<String>,
    /// What stands in the way before any drafting: no card, a card or a cloth that can't be read.
    pub(crate) faults: Vec<String>,
}

impl OnTable {
    /// Takes an order out of the book.
    ///
    /// # Errors
    /// When there is no such order, or the book can't be read.
    pub(crate) fn load(book: &Book, number: OrderNo) -> Result<Self, Trouble> {
        let order = book.order(number)?;
        let holds = book.holds(number)?;
        let card_row = card_of(book, &order, &holds)?;
        let client = book.client_by_id(order.client)?;
        let text = match &card_row {
            Some(row) => Some(card_page(book, &client, row)?),
            None => None,
        };
        let allowed = Allowed::of_order(&holds, &book.settings()?);
        let mut on = Self::of(
            book,
            order,
            client,
            holds,
            text.as_deref(),
            card_row,
            allowed,
        )?;
        on.take_back = book.can_take_back(number)?;
        on.put_again = book.can_put_again(number)?;
        Ok(on)
    }

    /// A version of an order as it was: its own card, method and choices.
    ///
    /// # Errors
    /// When there is no such version, or the book can't be read.
    pub(crate) fn version(
        book: &Book,
        number: OrderNo,
        version: VersionNo,
    ) -> Result<(Self, book::Version), Trouble> {
        let order = book.order(number)?;
        let client = book.client_by_id(order.client)?;
        let kept = book.version(number, version)?;
        let holds = kept.kept.holds.clone();
        let card_row = card_of(book, &order, &holds)?;
        let allowed = Allowed::of_version(&holds);
        let card = Some(&*kept.kept.card);
        let on = Self::of(book, order, client, holds, card, card_row, allowed)?;
        Ok((on, kept))
    }

    fn of(
        book: &Book,
        order: book::Order,
        client: book::Client,
        holds: BTreeMap<String, String>,
        card: Option<&str>,
        card_row: Option<book::Card>,
        allowed: Allowed,
    ) -> Result<Self, Trouble> {
        let settings = book.settings()?;
        let mut faults = Vec::new();
        let text = holds.get("method").cloned().unwrap_or_default();
        let others: Vec<String> = holds
            .get("methods")
            .and_then(|json| serde_json::from_str(json).ok())
            .unwrap_or_default();
        let method = reading(&order.method, &text, &others);
        if text.is_empty() {
            faults.push("This order has no method yet. Choose one.".to_owned());
        }
        let number = card_row.as_ref().map_or(0, |row| row.number.0);
        let opened = match card {
            Some(text) => {
                let unit = card_row.as_ref().map_or(Unit::Inch, unit);
                let (card, more) = read_card(text, &client, unit, &method.taken.own_measures());
                faults.extend(more);
                opened(card, number)
            }
            None => {
                faults.push(NO_CARD.to_owned());
                opened(Card::new(client.about.name.clone(), Unit::Inch), 0)
            }
        };
        // A toile is cut from a cloth of its own.
        let page = if allowed.toile() {
            holds.get("cloth/toile")
        } else {
            holds.get("cloth/shell")
        };
        let cloth = match page {
            Some(page) => match lay::cloth::read(page) {
                Ok(cloth) => Some(cloth),
                Err(wrong) => {
                    faults.extend(wrong.iter().map(|f| format!("The cloth: {f}")));
                    None
                }
            },
            None => None,
        };
        let mut corrections = Vec::new();
        for (key, page) in &holds {
            let Some(id) = key.strip_prefix("correction/") else {
                continue;
            };
            match crate::corrections::read(page) {
                Ok(all) => corrections.extend(all.into_iter().map(|c| Correction {
                    key: id.to_owned(),
                    ..c
                })),
                Err(wrong) => faults.extend(wrong.iter().map(|f| format!("A correction: {f}"))),
            }
        }
        let set = holds
            .iter()
            .filter_map(|(key, value)| {
                Some((key.strip_prefix("choice/")?.to_owned(), value.clone()))
            })
            .collect();
        Ok(Self {
            shown: shown(&settings, &opened.card),
            words: words(&settings),
            predict: holds.get("predict").is_none_or(|p| p != "no"),
            take_back: None,
            put_again: None,
            order,
            client,
            card_row,
            holds,
            opened,
            method,
            set,
            cloth,
            corrections,
            allowed,
            faults,
        })
    }

    /// The same with one choice set to another value, kept or not.
    #[must_use]
    pub(crate) fn with(mut self, choice: &str, value: &str) -> Self {
        let folded = names::fold(choice);
        self.set.retain(|(name, _)| names::fold(name) != folded);
        if !value.trim().is_empty() {
            self.set.push((choice.to_owned(), value.to_owned()));
        }
        self
    }

    /// The same as it is cut from the cloth in the end, whatever stands first.
    #[must_use]
    pub(crate) fn in_the_cloth(&self) -> Self {
        let shell = self.holds.get("cloth/shell");
        Self {
            allowed: self.allowed.in_the_cloth(),
            cloth: shell.and_then(|page| lay::cloth::read(page).ok()),
            ..self.clone()
        }
    }

    /// The same as its toile.
    #[must_use]
    pub(crate) fn as_toile(&self) -> Self {
        let own = self.holds.get("cloth/toile");
        Self {
            allowed: self.allowed.in_a_toile(),
            cloth: own.and_then(|page| lay::cloth::read(page).ok()),
            ..self.clone()
        }
    }

    /// Whether the order is a toile as yet, whatever is looked at.
    pub(crate) fn toile_first(&self) -> bool {
        self.holds.get("stage").is_some_and(|s| s == "toile")
    }

    /// Whether a toile is laid and bought too.
    pub(crate) fn has_toile(&self) -> bool {
        self.toile_first() || self.holds.contains_key("cloth/toile")
    }

    /// What the draft is worked from.
    pub(crate) fn job(&self) -> Job<'_> {
        Job {
            opened: &self.opened,
            method: &self.method.taken,
            set: &self.set,
            cloth: self.cloth.as_ref(),
            corrections: &self.corrections,
            allowances: self.allowed.laid(),
            predict: self.predict,
            untrued: false,
            shown: self.shown,
            words: self.words,
        }
    }

    /// Works the draft with its steps told.
    pub(crate) fn work(&self) -> Worked {
        self.job().work()
    }

    /// Works the draft without its steps: for the eye, while a choice slides.
    pub(crate) fn redraw(&self) -> Worked {
        let job = self.job();
        let wish = draft::Wish {
            card: job.card(),
            set: job.set,
            predict: job.predict,
            untrued: job.untrued,
            shown: job.shown,
            corrections: job.corrections,
        };
        let taken = &self.method.taken;
        job.laid(draft::redraw(
            &taken.reading,
            self.method.notes.clone(),
            &taken.library,
            &wish,
        ))
    }

    /// Why it can't be drawn, a sentence each; nothing when it can.
    pub(crate) fn in_the_way(&self, worked: &Worked) -> Vec<String> {
        let mut out = self.faults.clone();
        if out.is_empty() || self.card_row.is_some() {
            out.extend(
                worked
                    .notes
                    .iter()
                    .map(|n| format!("In the method, line {}: {}", n.span.line, n.message)),
            );
            out.extend(worked.faults.iter().cloned());
        }
        out
    }

    /// What is found, with the cures that can be reckoned.
    pub(crate) fn found(&self, worked: &Worked) -> Vec<Finding> {
        if worked.sound() {
            finding::all(&self.job(), worked)
        } else {
            Vec::new()
        }
    }

    /// What is found, with cures as far as so many trial drafts go; and whether they were enough.
    pub(crate) fn found_within(
        &self,
        worked: &Worked,
        most: usize,
        given_up: &dyn Fn() -> bool,
    ) -> (Vec<Finding>, bool) {
        if worked.sound() {
            finding::within(&self.job(), worked, most, given_up)
        } else {
            (Vec::new(), true)
        }
    }

    /// What is found, without its cures: for the eye, while a choice slides.
    pub(crate) fn seen(&self, worked: &Worked) -> Vec<Finding> {
        if worked.sound() {
            check::all(&self.job().subject(worked))
        } else {
            Vec::new()
        }
    }

    /// What it measures when finished.
    pub(crate) fn measured(&self, worked: &Worked) -> Measured {
        check::measured::measure_in(worked, &self.opened.card, self.cloth.as_ref())
    }

    /// Its paper: that which is of this draft, or else the newest, and whether the draft was changed
    /// after that.
    pub(crate) fn paper<'v>(
        &self,
        worked: &Worked,
        versions: &'v [VersionLine],
    ) -> Option<(&'v VersionLine, bool)> {
        let mut printed = versions.iter().filter(|v| v.papers > 0);
        let newest = printed.clone().next()?;
        let mark = self.job().version(worked);
        Some(match printed.find(|v| v.mark == mark) {
            Some(of_now) => (of_now, false),
            None => (newest, true),
        })
    }

    /// The name that stands at the head of its pages.
    pub(crate) fn name(&self) -> &str {
        &self.client.about.name
    }
}

fn opened(card: Card, number: u32) -> Opened {
    Opened {
        path: PathBuf::from(format!("card {number}")),
        card,
    }
}

/// A card's text as the engine reads it, and what in it could not be read.
fn read_card(text: &str, client: &book::Client, unit: Unit, own: &[String]) -> (Card, Vec<String>) {
    match measure::card::read(text, own) {
        Ok(card) => (card, Vec::new()),
        Err(faults) => {
            let says = faults
                .iter()
                .map(|f| format!("The card: {} {}", f.says, f.hint));
            (Card::new(client.about.name.clone(), unit), says.collect())
        }
    }
}

/// The card that an order is worked from, where it has one. One that is no longer in the book, or is
/// somebody else's now, counts as none: her sheets never bear another's measures.
///
/// # Errors
/// When the book can't be read.
pub(crate) fn card_of(
    book: &Book,
    order: &book::Order,
    holds: &BTreeMap<String, String>,
) -> Result<Option<book::Card>, Trouble> {
    let Some(id) = holds.get("card").and_then(|id| Id::read(id)) else {
        return Ok(None);
    };
    match book.card_by_id(id) {
        Ok(card) => Ok(Some(card).filter(|card| card.client == order.client)),
        Err(book::Trouble::Missing(_)) => Ok(None),
        Err(trouble) => Err(trouble.into()),
    }
}

/// A card of the book as the text of a CARD.toml.
///
/// # Errors
/// When the book can't be read.
pub(crate) fn card_page(
    book: &Book,
    client: &book::Client,
    row: &book::Card,
) -> Result<String, Trouble> {
    let readings = book.readings(row.id)?;
    let mut measures: Vec<(&str, Vec<String>)> = Vec::new();
    for ((measure, _), reading) in &readings {
        // Each keeps the unit it was typed in, also when the card changes its own.
        let typed = match measure::fraction::unit_said(&reading.text) {
            None if names::find(measure).is_none_or(|m| m.kind != names::Kind::Angle)
                && reading.unit != row.head.unit.sign() =>
            {
                format!("{} {}", reading.text, reading.unit)
            }
            _ => reading.text.clone(),
        };
        match measures.last_mut() {
            Some((name, all)) if name == measure => all.push(typed),
            _ => measures.push((measure, vec![typed])),
        }
    }
    Ok(card_text::text(&CardWords {
        client: &client.about.name,
        taken: Some(row.head.taken),
        born: client.about.born,
        unit: unit(row),
        notes: &row.head.notes,
        readings: measures
            .iter()
            .map(|(m, all)| (*m, all.iter().map(String::as_str).collect()))
            .collect(),
    }))
}

/// The unit of a card.
pub(crate) const fn unit(row: &book::Card) -> Unit {
    match row.head.unit {
        book::Unit::Inch => Unit::Inch,
        book::Unit::Cm => Unit::Cm,
    }
}

/// The language of what is printed: by the setting `language`, else English.
pub(crate) fn words(settings: &BTreeMap<String, String>) -> &'static Words {
    settings
        .get("language")
        .and_then(|tag| Words::of(tag))
        .unwrap_or_default()
}

/// How lengths are shown: by the settings `unit` and `fraction`, else as the card has them.
pub(crate) fn shown(settings: &BTreeMap<String, String>, card: &Card) -> Shown {
    let unit = match settings.get("unit").map(String::as_str) {
        Some("in") => Unit::Inch,
        Some("cm") => Unit::Cm,
        _ => card.unit(),
    };
    let mut shown = Shown::usual(unit);
    if unit == Unit::Inch && settings.get("fraction").is_some_and(|f| f == "16") {
        shown.fineness = Fineness::Sixteenth;
    }
    shown
}

/// What an order holds of a shipped method or one of her own: its text and the texts it may use.
///
/// # Errors
/// When there is no method of this name.
pub(crate) fn method_texts(book: &Book, name: &str) -> Result<(String, Vec<String>), Trouble> {
    let own = book.methods(false)?;
    let others: Vec<String> = own
        .iter()
        .filter(|m| m.name != name)
        .map(|m| m.text.clone())
        .chain(shelf::SHIPPED.iter().map(|(_, t)| (*t).to_owned()))
        .collect();
    if let Some(method) = own.iter().find(|m| m.name == name) {
        return Ok((method.text.clone(), others));
    }
    let text = shelf::SHIPPED
        .iter()
        .find(|(n, _)| *n == name)
        .map(|(_, t)| (*t).to_owned())
        .ok_or_else(|| Trouble::missing(&format!("method {name}")))?;
    Ok((text, others))
}

/// What an order holds of a method: the keys `method` and `methods`, the latter with only those texts
/// that it uses, each as it is now.
///
/// # Errors
/// When there is no method of this name.
pub(crate) fn method_holds(book: &Book, name: &str) -> Result<Vec<(String, String)>, Trouble> {
    let (text, others) = method_texts(book, name)?;
    let taken = Taken::kept(name.to_owned(), text.clone(), others);
    let used: Vec<&str> = crate::job::used_texts(&taken).into_iter().skip(1).collect();
    let used = serde_json::to_string(&used).unwrap_or_else(|_| "[]".to_owned());
    Ok(vec![
        ("method".to_owned(), text),
        ("methods".to_owned(), used),
    ])
}
