//! The draft of an order, looked at: what is drawn, what stands in its way, and what is found.

use check::{Finding, Measured};
use draft::Worked;
use draft::worked::ChoiceUsed;

use super::asked::Asked;
use super::bench::TableView;
use crate::web::backs::Backs;
use crate::web::parts::day;
use crate::web::working::OnTable;

/// The draft of an order, looked at.
pub(super) struct Looked {
    pub(super) on: OnTable,
    pub(super) backs: Backs,
    pub(super) worked: Worked,
    pub(super) faults: Vec<String>,
    pub(super) findings: Vec<Finding>,
    /// Cures were sought as far as they ever are.
    pub(super) sought: bool,
    pub(super) measured: Measured,
}

impl Looked {
    /// The draft with what is found, and with cures as far as so many trial drafts go.
    pub(super) fn at(on: OnTable, most: usize) -> Self {
        Self::until(on, most, &|| false)
    }

    /// The same, given up when it is no longer wanted.
    pub(super) fn until(on: OnTable, most: usize, given_up: &dyn Fn() -> bool) -> Self {
        Self::seeking(on, |on, worked| on.found_within(worked, most, given_up))
    }

    /// The drawing and the numbers alone: no findings are sought.
    pub(super) fn quick(on: OnTable) -> Self {
        Self::seeking(on, |_, _| (Vec::new(), true))
    }

    /// With the findings that are sought so, and whether cures were sought as far as they ever are; where
    /// something stands in the way nothing is sought.
    fn seeking(on: OnTable, seek: impl FnOnce(&OnTable, &Worked) -> (Vec<Finding>, bool)) -> Self {
        let (worked, faults) = drawn(&on);
        let (findings, sought) = if faults.is_empty() {
            seek(&on, &worked)
        } else {
            (Vec::new(), true)
        };
        let measured = measured(&on, &worked, &faults);
        Self {
            on,
            backs: Backs::default(),
            worked,
            faults,
            findings,
            sought,
            measured,
        }
    }

    pub(super) fn view<'a>(&'a self, asked: &'a Asked, done: Option<&'a str>) -> TableView<'a> {
        TableView {
            order: self.on.order.number.0,
            client: self.on.name(),
            client_address: format!("/clients/{}", self.on.client.number),
            facts: facts(&self.on, &self.worked),
            seen: self.on.order.seen,
            worked: &self.worked,
            faults: &self.faults,
            findings: &self.findings,
            sought: self.sought,
            measured: &self.measured,
            shown: self.on.shown,
            asked,
            backs: &self.backs,
            done,
            refused: None,
            unread: self
                .on
                .set
                .iter()
                .map(|(name, _)| name.as_str())
                .filter(|name| !self.faults.is_empty() && !known(&self.worked, name))
                .collect(),
        }
    }
}

/// Whether the method took this choice.
pub(super) fn known(worked: &Worked, choice: &str) -> bool {
    let folded = measure::names::fold(choice);
    let taken = |c: &ChoiceUsed| measure::names::fold(&c.name) == folded;
    worked.choices.iter().any(taken)
}

/// The draft and what stands in its way. What is drawn in spite of a fault is not shown: she would
/// take it for a pattern.
fn drawn(on: &OnTable) -> (Worked, Vec<String>) {
    let mut worked = on.redraw();
    let faults = on.in_the_way(&worked);
    if !faults.is_empty() {
        worked.pieces.clear();
        worked.origins.clear();
        worked.halves.clear();
        worked.seams.clear();
    }
    (worked, faults)
}

fn measured(on: &OnTable, worked: &Worked, faults: &[String]) -> Measured {
    if faults.is_empty() {
        on.measured(worked)
    } else {
        Measured::default()
    }
}

fn facts(on: &OnTable, worked: &Worked) -> String {
    let mut out = format!("Order {}. ", on.order.number);
    if let Some(card) = &on.card_row {
        let unfinished = if card.finished { "" } else { ", not finished" };
        out.push_str(&format!(
            "Card of {}{unfinished}. ",
            day::long(card.head.taken)
        ));
    }
    if let Some(cloth) = &on.cloth {
        out.push_str(&format!("{}. ", check::told::capital(&cloth.name)));
    }
    match on.corrections.len() {
        0 => {}
        1 => out.push_str("One correction of a fitting is laid over it. "),
        n => out.push_str(&format!("{n} corrections of fittings are laid over it. ")),
    }
    if on.allowed.toile() {
        out.push_str("A toile: without lining and facings. ");
    }
    if on.allowed.laid().is_some() && !on.allowed.by_method {
        out.push_str("Allowances by your table. ");
    }
    let mut cuts = worked.pieces.iter().flat_map(|piece| &piece.cuts);
    if cuts.any(|cut| cut.on_fold) {
        out.push_str("Half of each piece on the fold is drawn. ");
    }
    out.push_str("Pieces are turned so that what is sewn together faces.");
    if !worked.halves.is_empty() {
        out.push_str(" Where left and right differ a piece lies right side up; left and right are as she wears it.");
    }
    out
}
